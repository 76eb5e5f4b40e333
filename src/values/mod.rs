//! Spec in, values out: stock, things, the shop's figures and every named formula worked out, dimension checked.
//! Knows no board: formulas that name boards' faces are answered by `boards`, which adds each face that it places.

mod convert;
mod cutting;
mod evaluate;
mod figures;
pub mod formula;
mod full_size;
mod jigs;
pub mod job;
mod lexer;
mod likely;
pub mod names;
mod nesting;
mod parameters;
mod parser;
pub mod quantity;
mod sections;
mod sentence;
mod service;
pub mod solver;
pub mod supply;
mod tabs;

pub use cutting::{cutting_shops, placeholders};
pub use full_size::full_size;
pub use nesting::{Nesting, RackOffcut, SheetSize};
pub(crate) use service::load;
pub use service::{Load, Sawn, Service, Wood};
pub use tabs::Tabs;

use crate::diagnose::Place;
use crate::length::Length;
use crate::trade::{Axis, Face, Grain, Side, Units};

/// What the whole job shares.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    pub titles: Titles,
    pub units: Units,
    pub shop: Shop,
    pub stock: Vec<Stock>,
    pub things: Vec<Thing>,
    pub assemblies: Vec<Assembly>,
    pub sheets: SheetChoices,
    pub full_size: FullSize,
    pub service: Service,
    /// What is bought, and how rough wood is worked.
    pub supply: supply::Supply,
}

/// What is to be printed at full size, and on what.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FullSize {
    pub printers: Vec<Printer>,
    /// Empty: every part that is not a plain rectangle.
    pub templates: Vec<TemplateAsked>,
    pub rods: Vec<RodAsked>,
    pub routers: RouterShop,
    /// Templates that guide a router.
    pub jigs: Vec<RouterAsked>,
}

/// A printer of the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printer {
    pub name: String,
    pub place: Place,
    pub paper: PrinterPaper,
    /// Blank strip along every edge of the paper.
    pub margin: Length,
    /// What the bars of the test page measured, true sizes 100 mm, 100 mm and 100 √2 mm: across, up, corner to corner.
    pub measured: Option<[Length; 3]>,
}

/// What a printer prints on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PrinterPaper {
    /// As in the spec: `a4`, `tabloid` …
    Sheets(String),
    /// A roll of this width.
    Roll(Length),
}

/// Parts of which a paper template is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateAsked {
    /// Names of parts or boards as typed, each with its place.
    pub parts: Vec<(String, Place)>,
    /// Faces the paper is to lie on; empty: those that are worked.
    pub faces: Vec<Face>,
    /// True where only the regions round notches, cut-outs and shaped edges are printed.
    pub worked_edges: bool,
}

/// A story rod that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RodAsked {
    /// Name of the assembly; `None`: everything in the room.
    pub of: Option<String>,
    /// The end that all marks are measured from; its axis is that of the rod.
    pub from: Side,
    pub place: Place,
}

/// What the shop's routers have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RouterShop {
    /// Diameters; empty: any bit can be asked for.
    pub bits: Vec<Length>,
    /// Empty: any collar can be asked for.
    pub collars: Vec<Collar>,
    /// Diameter of the base.
    pub base: Length,
}

/// A guide collar: the tube under the router's base that runs along a template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Collar {
    /// Outside diameter.
    pub outside: Length,
    /// How far it stands out below the base, where that is known.
    pub stands_out: Option<Length>,
}

/// Where a bit has its bearing: beside the shank, the template above the work; or at the tip, the template below.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bearing {
    Top,
    Bottom,
}

/// What runs along a router template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guide {
    Collar(Collar),
    /// A bearing as large as the bit.
    Bearing(Bearing),
}

/// What becomes of inside corners, which a bit leaves round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerRule {
    SquareByHand,
    /// The part that goes in is rounded.
    RoundMate,
    /// The bit runs on until its edge reaches the true corner.
    Relieve,
}

/// What a router template cuts; names as typed, with their places.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CutAsked {
    /// Notches or slots that these boards pass through.
    Notch(Vec<(String, Place)>),
    /// A cut-out or recess.
    Opening(String, Place),
    /// The housing, groove or rebate that this board sits in.
    Housing(String, Place),
    /// What is seen of the outline from a side, as the assembly has it before it is turned.
    Edge(Side, Place),
    Whole,
}

/// A router template that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RouterAsked {
    pub part: (String, Place),
    pub cut: CutAsked,
    /// Diameter.
    pub bit: Length,
    pub guide: Guide,
    pub corners: CornerRule,
    /// Of the template.
    pub thick: Length,
    /// Width of the strip for clamps.
    pub clamp: Length,
    /// The face that the template lies on.
    pub face: Face,
    /// Where screws may go into the part: across and up from its datum corner on the show face.
    pub screws: Vec<([Length; 2], Place)>,
    pub place: Place,
}

/// Fields of the title block as they are printed; empty where nothing was given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Titles {
    pub title: String,
    pub number: String,
    pub client: String,
    pub site: String,
    pub date: String,
    pub revision: String,
    pub shop: String,
    pub drawn_by: String,
    /// When the room was measured.
    pub measured: String,
    pub approved_by: String,
}

/// What the shop can cut; `None` where the spec is silent and the check is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shop {
    pub kerf: Option<Length>,
    pub rip: Option<Length>,
    pub crosscut: Option<Length>,
    pub bit: Option<Length>,
    pub least_wood: Option<Length>,
    /// How sheet goods are cut up.
    pub nesting: Nesting,
    pub cutting_shops: Vec<CuttingShop>,
    /// The line of the spec each figure came from is that of `shop`.
    pub place: Place,
}

/// How a shop wants the drawings for its machine.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingShop {
    /// Empty for the shop that nothing is known of.
    pub name: String,
    pub place: Place,
    /// Unit of the coordinates.
    pub units: Units,
    /// A file a sheet, not a file a part.
    pub nested: bool,
    /// Indices into [`Job::stock`] of what it cuts; empty: everything.
    pub stock: Vec<usize>,
    /// Names of layers, one for each of [`LayerKind::ALL`] and in its order.
    pub layers: Vec<Pattern>,
    pub text: CutText,
    pub relief: Relief,
    /// Diameter of the bit that cuts outlines, slots and pockets.
    pub bit: Option<Length>,
    pub bit_place: Place,
    /// True where a square of known size is drawn beside the part.
    pub reference: bool,
    /// R12 instead of R2000.
    pub r12: bool,
    pub file_name: Pattern,
    pub origin: Origin,
    /// Which way the grain is to run, `u` being x; `None`: as on the part's drawing.
    pub grain: Option<Grain>,
    /// How much the outer slots of the coupon differ from the thickness.
    pub coupon_step: Length,
    /// Tabs that hold small parts; `None`: none.
    pub tabs: Option<Tabs>,
}

/// A text with names in braces that stand for something, and where it was typed (nowhere: by default).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pattern {
    pub text: String,
    pub place: Place,
}

/// What lies on one layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LayerKind {
    Outside,
    Inside,
    Pocket,
    DrillThrough,
    Drill,
    Countersink,
    /// holes right through that are longer than wide
    Slot,
    /// letters that are engraved
    Label,
    /// words that are not cut
    Text,
    /// the square of known size
    Reference,
    /// the edge of a sheet
    Sheet,
    /// where a small part stays joined to its sheet
    Tab,
}

/// Words in a drawing for a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutText {
    IgnoredLayer,
    Outlines,
    None,
}

/// What is done at inside corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relief {
    None,
    DogBone,
    /// a T-bone into the longer of the two walls
    TBoneLonger,
    TBoneShorter,
}

/// What lies at 0, 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    Datum,
    LowerLeft,
    Centre,
}

/// What boards are cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    pub name: String,
    pub place: Place,
    /// Actual.
    pub thick: Length,
    pub thick_place: Place,
    pub called: Option<String>,
    pub species: Option<String>,
    pub wood: Wood,
    pub form: StockForm,
}

#[derive(Clone, Debug, PartialEq)]
pub enum StockForm {
    /// Width and length of a whole sheet.
    Sheet { width: Length, length: Length, grain: SheetGrain },
    /// Solid wood; empty lists: not limited.
    Solid { widths: Vec<Length>, lengths: Vec<Length>, glue_up: bool },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetGrain {
    AlongLength,
    AlongWidth,
    None,
}

/// A thing to be stored, at its largest.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    pub name: String,
    pub place: Place,
    pub width: Length,
    pub depth: Length,
    pub height: Length,
    pub clearance: Length,
}

/// An assembly and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    pub name: String,
    pub place: Place,
    /// Room position of the assembly's own zero.
    pub at: [Length; 3],
    /// Quarter turns to the left, seen from above, about that zero.
    pub turns: u8,
    /// Name of the template, where one was used.
    pub template: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetChoices {
    /// As in the spec: `a3`, `tabloid` …
    pub paper: String,
    pub asme: bool,
    pub third_angle: bool,
    pub units: Units,
    pub step: Length,
    /// Whether the nearest mark of a rule with that step stands beside figures that lie on none.
    pub rule_marks: bool,
    /// Empty for an assembly: one section through its widest bay.
    pub sections: Vec<SectionAsked>,
}

/// A plane of the room through an assembly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SectionAsked {
    /// Index into [`Job::assemblies`].
    pub assembly: usize,
    /// The room axis that the plane is square to, and where on it.
    pub axis: Axis,
    pub at: Length,
    pub place: Place,
}
