//! The keys of router templates and of what the shop's routers have. Part of `language`, which holds the rest.

use super::language::SideChoice;
use super::read::{BoardName, Flag, Formula, Name, OneOrMany, choice, section};

section! {
    /// Keys of one of the `templates` that guides a router. One of `notch`, `opening`, `housing`, `edge` and `whole` says
    /// what is cut.
    pub struct RouterTemplateSpec {
        /// The part that is routed, as formulas name it: `bench.divider`.
        pub router: Option<BoardName>,
        /// The boards whose notches or slots are cut. Equal notches of all parts share one jig.
        pub notch: OneOrMany<Name>,
        /// A cut-out or recess, by its name under `cutouts`.
        pub opening: Option<Name>,
        /// The board whose housing, groove or rebate is cut.
        pub housing: Option<Name>,
        /// An edge of the part: all of the outline that is seen from that side.
        pub edge: Option<SideChoice>,
        /// The whole outline.
        pub whole: Option<Flag>,
        /// Diameter of the bit. Default the shop's `bit`.
        pub bit: Option<Formula>,
        /// Outside diameter of the guide collar.
        pub collar: Option<Formula>,
        /// In place of a collar a bit with a bearing: `top` beside the shank, `bottom` at the tip.
        pub bearing: Option<BearingChoice>,
        /// What becomes of inside corners, which the bit leaves round: `square_by_hand`, `round_mate` (the part that goes in
        /// is rounded) or `relieve` (the bit runs on to the true corner). Default `square_by_hand`.
        pub corners: Option<CornerChoice>,
        /// Thickness of the template. Default 1/2" or 12 mm, or what the collar stands out if that is more.
        pub template_thick: Option<Formula>,
        /// Strip for clamps beyond the reach of the router's base. Default 1 1/2" or 40 mm.
        pub clamp: Option<Formula>,
        /// Where screws may go through a template of the `whole` outline into the part: places that become waste or are not
        /// seen. Default pins in two holes of the part, where it has them; else the card asks for double-sided tape.
        pub screws: Vec<TemplateScrewSpec>,
    }
}

section! {
    /// One of the `screws` of a router template, from the part's datum corner, looking at its show face.
    pub struct TemplateScrewSpec {
        /// To the right.
        pub across: Formula,
        /// Up.
        pub up: Formula,
    }
}

choice! {
    /// Where a bit has its bearing.
    pub enum BearingChoice { Top = "top", Bottom = "bottom" }
}

choice! {
    /// What becomes of inside corners.
    pub enum CornerChoice { SquareByHand = "square_by_hand", RoundMate = "round_mate", Relieve = "relieve" }
}

section! {
    /// What the shop's routers have; stands under `shop`.
    pub struct RouterShopSpec {
        /// Diameters of the router bits in the drawer. Where given, a template for another bit is an error.
        pub bits: OneOrMany<Formula>,
        /// Guide collars. Where given, a template for another collar is an error.
        pub collars: Vec<CollarSpec>,
        /// Diameter of the router's base. Default 6" or 150 mm.
        pub router_base: Option<Formula>,
    }
}

section! {
    /// One of the `collars`. A bare length stands for `outside: LENGTH`.
    #[bare(outside)]
    pub struct CollarSpec {
        /// Outside diameter.
        pub outside: Formula,
        /// How far it stands out below the base: no template is thinner.
        pub stands_out: Option<Formula>,
    }
}
