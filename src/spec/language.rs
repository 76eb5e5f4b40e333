//! The language of the spec as plain structs, one key a field. From each `section!` come the struct, its reader, its
//! rows of the JSON Schema and of the reference: a key stands in one place only. Formulas stay text here; their
//! meaning is worked out in `values`.

pub use super::cutting::*;
pub use super::full_size::*;
pub use super::jigs::*;
pub use super::nesting::*;
use super::read::{BoardName, Flag, Formula, Name, Named, OneOrMany, Words, choice, section};
pub use super::sections::*;
pub use super::service::*;
pub use super::supply::*;
pub use super::titles::*;

section! {
    /// The whole file.
    pub struct Spec {
        /// Who and what the job is for; goes into every title block.
        pub job: Option<JobSpec>,
        /// What a bare number means: `inch` or `mm`. Default `inch`.
        pub units: Option<UnitsChoice>,
        /// Other files of the same folder tree to read first; this file's own keys win.
        pub include: OneOrMany<Words>,
        /// Saws, bits and fits of the shop.
        pub shop: Option<ShopSpec>,
        /// What the boards are cut from, by name.
        pub stock: Vec<Named<StockSpec>>,
        /// Things to be stored or built round, by name: `crate.width` can be used in formulas.
        pub things: Vec<Named<ThingSpec>>,
        /// Named formulas for the whole job.
        pub values: Vec<Named<Formula>>,
        /// What is built, by name.
        pub assemblies: Vec<Named<AssemblySpec>>,
        /// What the buying list needs to know: boxes, finishes, prices.
        pub buy: Option<BuySpec>,
        /// Paper and drawing practice.
        pub sheets: Option<SheetsSpec>,
        /// Parts to print at full size, to be marked out from paper (default every part that is not a plain rectangle), and
        /// templates for the router.
        pub templates: Vec<PaperTemplateSpec>,
        /// Story rods: all positions along one line, printed at full size.
        pub rods: Vec<RodSpec>,
        /// How hard to look for a good layout of parts on sheets.
        pub nests: Option<NestsSpec>,
        /// The room the work stands in, for movement, sag and weight.
        pub service: Option<ServiceSpec>,
        /// Conditions on the whole job.
        pub require: Vec<RequireSpec>,
    }
}

choice! {
    /// What a bare number means.
    pub enum UnitsChoice { Inch = "inch", Mm = "mm" }
}

section! {
    /// `shop`: what the shop can cut.
    pub struct ShopSpec {
        /// Width of the saw's cut. Default that of a usual blade, 1/8" or 3.2 mm; the sheets say so.
        pub kerf: Option<Formula>,
        /// Widest rip the saw's fence allows.
        pub rip: Option<Formula>,
        /// Longest crosscut in one pass.
        pub crosscut: Option<Formula>,
        /// Diameter of the bit that cuts slots, housings and cut-outs.
        pub bit: Option<Formula>,
        /// Named fits: the gap left on each side where wood bears on wood.
        pub fits: Vec<Named<Formula>>,
        /// Least wood to leave beside a notch before it is called weak.
        pub least_wood: Option<Formula>,
        /// Printers for templates and story rods at full size, by name; each that is listed gets its files.
        pub printers: Vec<Named<PrinterSpec>>,
        /// Strip cut off along every factory edge of a whole sheet before anything else, the kerf included. Default 0.
        pub edge_trim: Option<Formula>,
        /// The least offcut that goes into the rack: `[short side, long side]`. Default 4" by 24".
        pub keep_offcut: OneOrMany<Formula>,
        /// Offcuts in the rack, which are used before a sheet is bought.
        pub offcuts: Vec<OffcutSpec>,
        /// Shops that cut parts by machine, by name, and how each wants its DXF; each that is listed gets its files.
        pub cutting_shops: Vec<Named<CuttingShopSpec>>,
        /// Bits, guide collars and base of the routers.
        #[flat]
        pub routers: RouterShopSpec,
        /// How rough wood is worked.
        #[flat]
        pub milling: MillingSpec,
    }
}

section! {
    /// One kind of `stock`: sheet goods (`sheet`) or solid boards (`board: yes`).
    pub struct StockSpec {
        /// Sheet goods: width and length of a whole sheet; the grain runs along the second.
        pub sheet: OneOrMany<Formula>,
        /// Sheet goods: further sizes that can be had; those are taken that cost least together where all have a price, else those of least area.
        pub other_sizes: Vec<SheetSizeSpec>,
        /// Solid wood.
        pub board: Option<Flag>,
        /// Actual thickness, as the caliper says.
        pub thick: Formula,
        /// What the trade calls it; a label only.
        pub called: Option<Words>,
        /// Which way the grain runs on a sheet: `long`, `short`, or `none` (MDF).
        pub grain: Option<GrainOfSheet>,
        /// Solid wood: widths that can be had; the widest is the limit unless `glue_up: yes`.
        pub widths: OneOrMany<Formula>,
        /// Solid wood or trim: lengths that can be had.
        pub lengths: OneOrMany<Formula>,
        /// Solid wood: wider parts are glued up from several boards.
        pub glue_up: Option<Flag>,
        /// Species, for the lists, the pilot holes and all that is worked out of the wood.
        pub species: Option<Words>,
        /// What it is as wood.
        #[flat]
        pub wood: WoodSpec,
        /// How it is sold.
        #[flat]
        pub supply: SupplySpec,
    }
}

choice! {
    /// Grain of a sheet.
    pub enum GrainOfSheet { Long = "long", Short = "short", None = "none" }
}

section! {
    /// One of the `things`: outer sizes at their largest (rim, handle, lid).
    pub struct ThingSpec {
        /// Left to right as it stands in place.
        pub width: Formula,
        /// Front to back.
        pub depth: Formula,
        /// Bottom to top.
        pub height: Formula,
        /// Room for the hand that every opening must leave on each side and above. Default 0.
        pub clearance: Option<Formula>,
        /// What it is.
        pub about: Option<Words>,
    }
}

section! {
    /// One of the `assemblies`: a template with its parameters, or parts written here, or both.
    pub struct AssemblySpec {
        /// Name of a template: built in, or a file `templates/NAME.yaml` beside the job.
        pub template: Option<Name>,
        /// Values for the template's parameters.
        pub with: Vec<Named<Formula>>,
        /// Where the assembly's own zero lies in the room. Default 0, 0, 0.
        pub at: Option<AtSpec>,
        /// Quarter turns seen from above, about the assembly's own zero: `left`, `right`, or `round`.
        pub turn: Option<TurnChoice>,
        /// Everything that a template can hold can be added or changed here.
        #[flat]
        pub body: TemplateSpec,
    }
}

choice! {
    /// How an assembly is turned, seen from above.
    pub enum TurnChoice { None = "none", Left = "left", Right = "right", Round = "round" }
}

section! {
    /// `at`: a place in the room.
    pub struct AtSpec {
        /// Distance from the room's left.
        pub left: Option<Formula>,
        /// Distance from the room's front.
        pub front: Option<Formula>,
        /// Height above the floor.
        pub bottom: Option<Formula>,
    }
}

section! {
    /// A template file; the same keys may stand in an assembly.
    pub struct TemplateSpec {
        /// What it is, in a line.
        pub about: Option<Words>,
        /// What can be set from outside.
        pub parameters: Vec<Named<ParameterSpec>>,
        /// Named formulas.
        pub values: Vec<Named<Formula>>,
        /// The boards, by name.
        pub parts: Vec<Named<PartSpec>>,
        /// Spaces that must stay clear, by name.
        pub openings: Vec<Named<OpeningSpec>>,
        /// How boards meet.
        pub joints: Vec<JointSpec>,
        /// Conditions on the sizes.
        pub require: Vec<RequireSpec>,
        /// The order of work, for the helper's sheet.
        pub steps: Vec<StepSpec>,
    }
}

section! {
    /// One of the `parameters`.
    pub struct ParameterSpec {
        /// What kind of value: `length`, `count`, `number`, `yes_no`, `stock`, or `one_of`.
        pub is: ParameterKind,
        /// Used where nothing is given; without it the parameter must be given.
        pub default: Option<Formula>,
        /// Smallest value allowed.
        pub least: Option<Formula>,
        /// Largest value allowed.
        pub most: Option<Formula>,
        /// What a new job begins with, where there can be no default.
        pub start: Option<Formula>,
        /// For `one_of`: the words to choose from.
        pub of: OneOrMany<Name>,
        /// What it means.
        pub about: Option<Words>,
    }
}

choice! {
    /// Kinds of parameter.
    pub enum ParameterKind {
        Length = "length",
        Count = "count",
        Number = "number",
        YesNo = "yes_no",
        Stock = "stock",
        OneOf = "one_of",
    }
}

section! {
    /// One of the `parts`: a board, or a run of equal boards.
    pub struct PartSpec {
        /// The stock it is cut from: a name of `stock`, or a parameter that is one.
        pub stock: Option<Name>,
        /// Where the broad faces look: `side`, `front` or `up`.
        pub faces: Option<FacesChoice>,
        /// Formula that must be true for the part to be there at all. Default yes.
        pub when: Option<Formula>,
        /// How many; in formulas `i` runs from 1.
        pub count: Option<Formula>,
        /// `count` boards with equal gaps along their thickness.
        pub spread: Option<SpreadSpec>,
        /// `count` boards at a fixed distance from centre to centre.
        pub centres: Option<CentresSpec>,
        /// Boards at the middle, then at the middle of each half, and so on.
        pub halves: Option<HalvesSpec>,
        /// Left face or edge, measured from the assembly's left.
        pub left: Option<Formula>,
        /// Right face or edge.
        pub right: Option<Formula>,
        /// Size from left to right.
        pub width: Option<Formula>,
        /// Front face or edge, measured from the assembly's front.
        pub front: Option<Formula>,
        /// Back face or edge.
        pub back: Option<Formula>,
        /// Size from front to back.
        pub depth: Option<Formula>,
        /// Lower face or edge, measured from the assembly's zero height.
        pub bottom: Option<Formula>,
        /// Upper face or edge.
        pub top: Option<Formula>,
        /// Size from bottom to top.
        pub height: Option<Formula>,
        /// Which way the grain runs: `across` (left to right), `deep` (front to back), `up`, or `free`.
        pub grain: Option<GrainChoice>,
        /// Sheet goods: boards of the assembly with the same name here are cut side by side from one piece, in the order in which
        /// they stand, so that the grain runs on from one to the next.
        pub grain_match: Option<Name>,
        /// The face that is seen: `left`, `right`, `front`, `back`, `bottom` or `top`.
        pub show: Option<SideChoice>,
        /// Treatment of the left edge.
        pub left_edge: Option<EdgeSpec>,
        /// Treatment of the right edge.
        pub right_edge: Option<EdgeSpec>,
        /// Treatment of the front edge.
        pub front_edge: Option<EdgeSpec>,
        /// Treatment of the back edge.
        pub back_edge: Option<EdgeSpec>,
        /// Treatment of the bottom edge.
        pub bottom_edge: Option<EdgeSpec>,
        /// Treatment of the top edge.
        pub top_edge: Option<EdgeSpec>,
        /// Corners that are cut, rounded or stepped.
        pub corners: Vec<CornerSpec>,
        /// An edge hollowed to an arc.
        pub arch: Vec<ArchSpec>,
        /// An edge that runs out of parallel.
        pub taper: Vec<TaperSpec>,
        /// A free outline instead of the rectangle, in the drawing's own coordinates from the lower left corner of the
        /// show face, anticlockwise or clockwise.
        pub path: Vec<PathStep>,
        /// Openings through the board, or recesses in it, by name.
        pub cutouts: Vec<Named<CutoutSpec>>,
        /// Holes, by name.
        pub holes: Vec<Named<HoleSpec>>,
        /// What holds the board besides its joints: `wall` or `floor`.
        pub held_by: Option<HeldChoice>,
        /// What it bears.
        #[flat]
        pub bears: BearsSpec,
        /// Finish in a word, for the lists.
        pub finish: Option<Words>,
        /// A note for the part's drawing.
        pub note: Option<Words>,
        /// `no` takes a template's part out.
        pub keep: Option<Flag>,
    }
}

choice! {
    /// Where the broad faces look.
    pub enum FacesChoice { Side = "side", Front = "front", Up = "up" }
}

choice! {
    /// Which way the grain runs.
    pub enum GrainChoice { Across = "across", Deep = "deep", Up = "up", Free = "free" }
}

choice! {
    /// A side.
    pub enum SideChoice {
        Left = "left", Right = "right", Front = "front", Back = "back", Bottom = "bottom", Top = "top",
    }
}

choice! {
    /// What holds a board from outside.
    pub enum HeldChoice { Wall = "wall", Floor = "floor" }
}

section! {
    /// `spread`: equal gaps.
    pub struct SpreadSpec {
        /// Where the run begins.
        pub from: Formula,
        /// Where it ends.
        pub to: Formula,
        /// What stands at the ends: `gaps`, `pieces`, or `piece_then_gap`. Default `gaps`.
        pub ends: Option<SpreadEnds>,
    }
}

choice! {
    /// What stands at the two ends of a spread run.
    pub enum SpreadEnds { Gaps = "gaps", Pieces = "pieces", PieceThenGap = "piece_then_gap" }
}

section! {
    /// `centres`: fixed pitch.
    pub struct CentresSpec {
        /// Centre of the first board.
        pub first: Formula,
        /// From centre to centre.
        pub pitch: Formula,
    }
}

section! {
    /// `halves`: set out by halving, which gives 1, 3, 7 … boards.
    pub struct HalvesSpec {
        /// Where the run begins.
        pub from: Formula,
        /// Where it ends.
        pub to: Formula,
        /// How many times to halve: 1, 2, 3 …
        pub times: Formula,
    }
}

section! {
    /// Treatment of an edge.
    pub struct EdgeSpec {
        /// A flat cut at 45° of this width, or `[along the face, down the edge]`.
        pub chamfer: OneOrMany<Formula>,
        /// A quarter round of this radius.
        pub round: Option<Formula>,
        /// A step: `[width on the face, depth]`.
        pub rebate: OneOrMany<Formula>,
        /// Which arris: `show`, `back` or `both`. Default `show`.
        pub on: Option<ArrisChoice>,
        /// Extra wood left on for scribing, not part of the finished size.
        pub scribe: Option<Formula>,
        /// What is done to the edge: banded, sanded, left.
        pub finish: Option<Words>,
    }
}

choice! {
    /// Which arris of an edge.
    pub enum ArrisChoice { Show = "show", Back = "back", Both = "both" }
}

section! {
    /// One of the `corners`.
    pub struct CornerSpec {
        /// The two sides that meet there: `[front, top]`.
        pub at: OneOrMany<SideChoice>,
        /// A straight cut: one leg, or one along each of the sides in the order of `at`.
        pub cut: OneOrMany<Formula>,
        /// A rounded corner of this radius.
        pub radius: Option<Formula>,
        /// A square step: how far it reaches in from each of the sides in the order of `at`.
        pub step: OneOrMany<Formula>,
    }
}

section! {
    /// `arch`: an edge hollowed (or swelled) to a circular arc.
    pub struct ArchSpec {
        /// The edge.
        pub edge: SideChoice,
        /// How far the crown lies in from the edge; negative swells outward.
        pub rise: Formula,
        /// Straight length left at each end. Default 0.
        pub ends: Option<Formula>,
    }
}

section! {
    /// `taper`: an edge that moves in towards one end.
    pub struct TaperSpec {
        /// The edge that is cut.
        pub edge: SideChoice,
        /// The end where most comes off.
        pub towards: SideChoice,
        /// How much comes off there.
        pub by: Formula,
        /// Length over which it runs out. Default the whole edge.
        pub over: Option<Formula>,
    }
}

section! {
    /// A corner of a free `path`.
    pub struct PathStep {
        /// The point: `[across, up]` of the drawing.
        pub to: OneOrMany<Formula>,
        /// How far the way to this point bulges outward, measured at its middle; negative hollows it. Default straight.
        pub rise: Option<Formula>,
    }
}

section! {
    /// One of the `cutouts`: placed as a board is, in the assembly's own measures, by two of each three.
    pub struct CutoutSpec {
        /// Formula that must be true for the cut-out to be there; in a run of boards `i` is the board's number. Default yes.
        pub when: Option<Formula>,
        /// Left side.
        pub left: Option<Formula>,
        /// Right side.
        pub right: Option<Formula>,
        /// Size from left to right.
        pub width: Option<Formula>,
        /// Front side.
        pub front: Option<Formula>,
        /// Back side.
        pub back: Option<Formula>,
        /// Size from front to back.
        pub depth: Option<Formula>,
        /// Lower side.
        pub bottom: Option<Formula>,
        /// Upper side.
        pub top: Option<Formula>,
        /// Size from bottom to top.
        pub height: Option<Formula>,
        /// Radius of the corners. Default 0, square.
        pub radius: Option<Formula>,
        /// How deep a recess; without it the cut-out goes right through.
        pub deep: Option<Formula>,
        /// Which face a recess is cut from: `show` or `back`. Default `show`.
        pub from: Option<FaceChoice>,
        /// What it is for: switch, pipe, hand.
        pub note: Option<Words>,
    }
}

choice! {
    /// A broad face.
    pub enum FaceChoice { Show = "show", Back = "back" }
}

section! {
    /// One of the `holes`, or a row of them; the centre by the two measures that lie in the board's face.
    pub struct HoleSpec {
        /// How many; in formulas `i` runs from 1.
        pub count: Option<Formula>,
        /// Centre, from the assembly's left.
        pub across: Option<Formula>,
        /// Centre, from the assembly's front.
        pub deep: Option<Formula>,
        /// Centre, from the assembly's zero height.
        pub up: Option<Formula>,
        /// Diameter.
        pub diameter: Formula,
        /// How deep; without it the hole goes right through.
        pub depth: Option<Formula>,
        /// Which face it is drilled from: `show` or `back`. Default `show`.
        pub from: Option<FaceChoice>,
        /// What it is for.
        pub note: Option<Words>,
    }
}

section! {
    /// One of the `openings`: a space, placed as a board is, that a thing must pass into from the front.
    pub struct OpeningSpec {
        /// How many; in formulas `i` runs from 1.
        pub count: Option<Formula>,
        /// Left side.
        pub left: Option<Formula>,
        /// Right side.
        pub right: Option<Formula>,
        /// Size from left to right.
        pub width: Option<Formula>,
        /// Front side.
        pub front: Option<Formula>,
        /// Back side.
        pub back: Option<Formula>,
        /// Size from front to back.
        pub depth: Option<Formula>,
        /// Lower side.
        pub bottom: Option<Formula>,
        /// Upper side.
        pub top: Option<Formula>,
        /// Size from bottom to top.
        pub height: Option<Formula>,
        /// The thing it must take.
        pub holds: Option<Name>,
    }
}

section! {
    /// One of the `joints`: `notch … around`, `halve … with`, `house … in`, `butt … against` or `mitre … with`.
    pub struct JointSpec {
        /// Boards that are notched or slotted: a part, one of a run as `divider[2]`, or another assembly's `wall.panel`.
        pub notch: OneOrMany<BoardName>,
        /// Boards that pass through.
        pub around: OneOrMany<BoardName>,
        /// Boards that give one half.
        pub halve: OneOrMany<BoardName>,
        /// Boards whose edge sits in another's face; a groove in an edge is not made.
        pub house: OneOrMany<BoardName>,
        /// Boards that take the housing, rebate or groove.
        pub r#in: OneOrMany<BoardName>,
        /// Boards whose face touches another's.
        pub butt: OneOrMany<BoardName>,
        /// Boards that are touched; `wall` and `floor` are known too.
        pub against: OneOrMany<BoardName>,
        /// Boards that are bevelled, each ending at the outer face of the other; not a frame's mitre, flat in its plane.
        pub mitre: OneOrMany<BoardName>,
        /// The other boards of a halving or a mitre.
        pub with: OneOrMany<BoardName>,
        /// Gap left on each side where wood bears on wood: a length, or a name of the shop's `fits`. Default 0.
        pub fit: Option<Formula>,
        /// For a housing: how far it stops short of a side.
        pub stopped: Option<StoppedSpec>,
        /// For a halving: the side from which the first board is cut. Default `top`, or `front` where they lie flat.
        pub cut_from: Option<SideChoice>,
        /// How it is fixed.
        pub fix: OneOrMany<FixSpec>,
        /// A note for the drawings.
        pub note: Option<Words>,
    }
}

section! {
    /// `stopped`: how far a housing stops short of each side.
    pub struct StoppedSpec {
        /// Short of the left.
        pub left: Option<Formula>,
        /// Short of the right.
        pub right: Option<Formula>,
        /// Short of the front.
        pub front: Option<Formula>,
        /// Short of the back.
        pub back: Option<Formula>,
        /// Short of the bottom.
        pub bottom: Option<Formula>,
        /// Short of the top.
        pub top: Option<Formula>,
    }
}

section! {
    /// How a joint is fixed. A bare word stands for `by: WORD` with the rules' defaults.
    #[bare(by)]
    pub struct FixSpec {
        /// What with.
        pub by: FixingChoice,
        /// Length of the fixing, for dowels too.
        pub length: Option<Formula>,
        /// Diameter of a dowel, or the gauge of a screw as a number (`8` for a #8).
        pub size: Option<Formula>,
        /// How many in each contact.
        pub count: Option<Formula>,
        /// Most distance between two.
        pub spacing: Option<Formula>,
        /// Distance of the first and last from the ends of the contact.
        pub ends: Option<Formula>,
        /// Which side the fixing is driven or the pocket is cut from.
        pub from: Option<SideChoice>,
        /// Screws: `yes` makes their holes slots, as long as the solid board that they hold moves across its grain.
        pub slots: Option<Flag>,
    }
}

choice! {
    /// Kinds of fixing.
    pub enum FixingChoice {
        Screws = "screws",
        PocketScrews = "pocket_screws",
        Staples = "staples",
        Brads = "brads",
        Dowels = "dowels",
        Glue = "glue",
    }
}

section! {
    /// One of the conditions under `require`.
    pub struct RequireSpec {
        /// Formula that must be true.
        pub that: Formula,
        /// What to say where it is not; formulas in braces are shown as values.
        pub r#else: Words,
        /// `yes` makes it a warning.
        pub warn: Option<Flag>,
    }
}

section! {
    /// One of the `steps`.
    pub struct StepSpec {
        /// What to do, in a sentence.
        pub r#do: Words,
        /// The parts it concerns.
        pub parts: OneOrMany<BoardName>,
        /// When to stop and ask.
        pub stop: Option<Words>,
    }
}

section! {
    /// `sheets`: paper and practice.
    pub struct SheetsSpec {
        /// `a4`, `a3`, `a2`, `a1`, `letter`, `tabloid`, `arch-c` or `arch-d`.
        pub paper: Option<PaperChoice>,
        /// `iso` or `asme`. Default by the units.
        pub practice: Option<PracticeChoice>,
        /// `first` or `third` angle. Default by the practice.
        pub projection: Option<ProjectionChoice>,
        /// Unit of the dimensions: `inch` or `mm`. Default the spec's.
        pub units: Option<UnitsChoice>,
        /// Marks of the rule: the nearest stands in parentheses beside a figure that lies on none. Default 1/32"; in
        /// millimetres only where it is given.
        pub step: Option<Formula>,
        /// Planes of sections, one entry each. Default one through the middle of the widest bay of every assembly.
        pub sections: Vec<SectionSpec>,
    }
}

choice! {
    /// Sheet sizes.
    pub enum PaperChoice {
        A4 = "a4", A3 = "a3", A2 = "a2", A1 = "a1",
        Letter = "letter", Tabloid = "tabloid", ArchC = "arch-c", ArchD = "arch-d",
    }
}

choice! {
    /// Drawing practice.
    pub enum PracticeChoice { Iso = "iso", Asme = "asme" }
}

choice! {
    /// Which angle of projection.
    pub enum ProjectionChoice { First = "first", Third = "third" }
}
