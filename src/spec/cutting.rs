//! The keys of what a cutting shop wants to be sent. Part of `language`, which holds the rest.

use super::language::UnitsChoice;
use super::read::{Flag, Formula, Name, OneOrMany, Words, choice, section};
pub use super::tabs::TabsSpec;

section! {
    /// One of the shop's `cutting_shops`: how it wants its DXF. Shops contradict each other, so ask yours.
    pub struct CuttingShopSpec {
        /// Unit of the drawings: `mm` or `inch`. Default `mm`.
        pub units: Option<UnitsChoice>,
        /// `single` sends a file for each part, `nested` a file for each sheet as it is to be cut; parts that lie on no sheet are then sent one by one. Default `single`.
        pub parts: Option<PartsChoice>,
        /// The stock that this shop cuts. Default all.
        pub stock: OneOrMany<Name>,
        /// Names of layers, for each kind of operation.
        pub layers: Option<LayersSpec>,
        /// Words in the drawing: `ignored_layer` as text on a layer that is not cut, `outlines` the same as closed lines, or `none`. Default `ignored_layer`.
        pub text: Option<TextChoice>,
        /// What is done at inside corners, which a round bit leaves round: `none`, `dog_bone` (in both walls alike) or `t_bone` (in one wall only). Default `none`.
        pub relief: Option<ReliefChoice>,
        /// The wall that a T-bone goes into: the `longer` or the `shorter` of the two. Default `longer`.
        pub relief_wall: Option<WallChoice>,
        /// Diameter of the bit that cuts outlines, slots and pockets. Default `bit` of the shop.
        pub bit: Option<Formula>,
        /// A square of known size (100 mm or 4 inches) on a layer that is not cut, to see the scale by. Default `yes`.
        pub reference: Option<Flag>,
        /// Version of the format: `r2000` or `r12`. Default `r2000`.
        pub version: Option<VersionChoice>,
        /// Names of the files, with `{job}`, `{part}`, `{mark}`, `{stock}`, `{thick}`, `{quantity}`, `{revision}`, `{units}` and `{sheet}`; a piece between two `_` whose name stands for nothing is left out. Default `{job}_{part}_{stock}_{thick}_x{quantity}_rev{revision}`, on sheets with `{sheet}` for `{part}`, and with `_{units}` before the revision in R12.
        pub file_name: Option<Words>,
        /// What lies at 0, 0: the part's `datum` corner as on its drawing, the `lower_left` corner of all that is cut, pockets that run out past its edge included, or the `centre` of its outline. Default `datum`.
        pub origin: Option<OriginChoice>,
        /// Which way the grain runs in the file: `as_drawn` as on the part's drawing, or along `x` or `y`; a part is then turned by a quarter, never mirrored. Default `as_drawn`.
        pub grain: Option<GrainAxisChoice>,
        /// Tabs that hold small parts in their sheet. Default none.
        pub tabs: Option<TabsSpec>,
        /// How much tighter and looser the outer slots of the test coupon are. Default 0.1 mm, in an inch file 0.005".
        pub coupon_step: Option<Formula>,
    }
}

section! {
    /// `layers` of a cutting shop. In a name `{depth}`, `{diameter}` and `{face}` (`SHOW`, `BACK`) stand for those of the operation; no two operations may come to one layer.
    pub struct LayersSpec {
        /// Outlines of parts. Default `OUTSIDE_THROUGH`.
        pub outside: Option<Words>,
        /// Slots and cut-outs right through. Default `INSIDE_THROUGH`.
        pub inside: Option<Words>,
        /// Housings, grooves, rebates and recesses. Default `POCKET_{face}_{depth}`.
        pub pocket: Option<Words>,
        /// Holes right through. Default `DRILL_THROUGH_{diameter}`, in R12 `DRILL_THRU_{diameter}`.
        pub drill_through: Option<Words>,
        /// Blind holes. Default `DRILL_{face}_{diameter}_DEEP_{depth}`, in R12 `DRILL_{face}_{diameter}_D{depth}`.
        pub drill: Option<Words>,
        /// Countersinks, `{diameter}` that of the head. Default `COUNTERSINK_{face}_{diameter}`.
        pub countersink: Option<Words>,
        /// Slots for screws on which solid wood moves, `{diameter}` their width. Default `SLOT_THROUGH_{diameter}`, in R12 `SLOT_THRU_{diameter}`.
        pub slot: Option<Words>,
        /// Letters engraved on the test coupon. Default `ENGRAVE_LABEL`.
        pub label: Option<Words>,
        /// Words that are not cut. Default `TEXT_NOT_CUT`.
        pub text: Option<Words>,
        /// The square of known size. Default `REFERENCE_NOT_CUT`.
        pub reference: Option<Words>,
        /// Tabs, `{height}` being the wood that is left. Default `TAB_{height}`.
        pub tab: Option<Words>,
        /// The edge of the sheet that parts are laid on. Default `SHEET_NOT_CUT`.
        pub sheet: Option<Words>,
    }
}

choice! {
    /// What goes into one file.
    pub enum PartsChoice { Single = "single", Nested = "nested" }
}

choice! {
    /// Words in a file for a machine.
    pub enum TextChoice { IgnoredLayer = "ignored_layer", Outlines = "outlines", None = "none" }
}

choice! {
    /// Relief of inside corners.
    pub enum ReliefChoice { None = "none", DogBone = "dog_bone", TBone = "t_bone" }
}

choice! {
    /// One of the two walls that meet in a corner.
    pub enum WallChoice { Longer = "longer", Shorter = "shorter" }
}

choice! {
    /// Version of the format.
    pub enum VersionChoice { R2000 = "r2000", R12 = "r12" }
}

choice! {
    /// Zero of a file.
    pub enum OriginChoice { Datum = "datum", LowerLeft = "lower_left", Centre = "centre" }
}

choice! {
    /// Direction of the grain in a file.
    pub enum GrainAxisChoice { AsDrawn = "as_drawn", X = "x", Y = "y" }
}
