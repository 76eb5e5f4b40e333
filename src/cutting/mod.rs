//! Parts in, what a machine is told to cut out: closed shapes on layers, each layer one operation, as one cutting shop wants
//! them. Corners are relieved here, and what is drawn is proved clean before anything is written. Knows no file format.

pub mod coupon;
pub mod jigs;
pub mod layers;
mod motion;
mod narrow;
pub mod nested;
mod pockets;
mod sound;
mod tabs;
pub mod words;

use std::collections::BTreeSet;

pub use motion::Motion;

use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, Part};
use crate::plans::Plans;
use crate::shape::relief::{self, Air, Bone, Lobe, ReliefFault};
use crate::shape::{Arc, Extents, Outline, Plate, Point};
use crate::trade::Face;
use crate::values::{CuttingShop, LayerKind, Relief};

/// How much larger than its bit's the radius of a relief's lobe is, so that the bit goes round in it and does not stand and burn.
/// A twentieth of a millimetre is more than machines are off by and less than shows (common practice).
pub const LOOSE: Length = Length::from_units(80_000 / 20);

/// The thinnest bridge of wood that is left between two cuts, or between a relief and the next edge (common practice: cutting
/// shops publish 2 mm as their least).
pub const BRIDGE: Length = Length::from_units(80_000 * 2);

/// The shortest segment of a line: shorter than a step of the machines' own (common practice: 0.0025 to 0.01 mm), it moves
/// nothing and makes a control stop to think.
pub const SHORTEST: Length = Length::from_units(80_000 * 3 / 1000);

/// What is done within or along a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    Outside,
    Inside,
    Pocket {
        from: Face,
        depth: Length,
    },
    DrillThrough {
        diameter: Length,
    },
    Drill {
        from: Face,
        diameter: Length,
        depth: Length,
    },
    Countersink {
        from: Face,
        diameter: Length,
    },
    /// a hole right through that is longer than wide
    Slot {
        diameter: Length,
    },
    /// letters, engraved
    Label,
    /// words that are not cut
    Text,
    /// the square of known size; not cut
    Reference,
    /// the edge of a sheet; not cut
    Sheet,
    /// along the outline, where it is not cut through: wood of this height is left
    Tab {
        height: Length,
    },
}

/// What there is to set for an operation: the face it is worked from, how deep, how wide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    pub face: Option<Face>,
    pub depth: Option<Length>,
    pub diameter: Option<Length>,
    /// What is left standing.
    pub height: Option<Length>,
}

impl Operation {
    pub fn figures(self) -> Figures {
        let none = Figures::default();
        match self {
            Operation::Pocket { from, depth } => Figures { face: Some(from), depth: Some(depth), ..none },
            Operation::DrillThrough { diameter } | Operation::Slot { diameter } => {
                Figures { diameter: Some(diameter), ..none }
            }
            Operation::Drill { from, diameter, depth } => {
                Figures { face: Some(from), depth: Some(depth), diameter: Some(diameter), ..none }
            }
            Operation::Countersink { from, diameter } => {
                Figures { face: Some(from), diameter: Some(diameter), ..none }
            }
            Operation::Tab { height } => Figures { height: Some(height), ..none },
            _ => none,
        }
    }

    pub const fn kind(self) -> LayerKind {
        match self {
            Operation::Outside => LayerKind::Outside,
            Operation::Inside => LayerKind::Inside,
            Operation::Pocket { .. } => LayerKind::Pocket,
            Operation::DrillThrough { .. } => LayerKind::DrillThrough,
            Operation::Drill { .. } => LayerKind::Drill,
            Operation::Countersink { .. } => LayerKind::Countersink,
            Operation::Slot { .. } => LayerKind::Slot,
            Operation::Label => LayerKind::Label,
            Operation::Text => LayerKind::Text,
            Operation::Reference => LayerKind::Reference,
            Operation::Sheet => LayerKind::Sheet,
            Operation::Tab { .. } => LayerKind::Tab,
        }
    }
}

/// A drawing for a machine before it is written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contents {
    pub shapes: Vec<Shape>,
}

/// One shape on its layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub operation: Operation,
    /// As the file names it.
    pub layer: String,
    pub form: Form,
}

impl Shape {
    /// A shape on the layer that the shop has for the operation.
    pub fn new(shop: &CuttingShop, operation: Operation, form: Form) -> Shape {
        Shape { operation, layer: layers::name(shop, operation), form }
    }

    /// The same shape moved.
    pub fn moved(&self, motion: Motion) -> Shape {
        let form = match &self.form {
            Form::Closed(outline) => Form::Closed(motion.outline(outline)),
            Form::Circle { at, diameter } => Form::Circle { at: motion.point(*at), diameter: *diameter },
            Form::Line { from, to } => Form::Line { from: motion.point(*from), to: motion.point(*to) },
            Form::Words { at, height, text } => {
                Form::Words { at: motion.point(*at), height: *height, text: text.clone() }
            }
        };
        Shape { form, ..self.clone() }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    Closed(Outline),
    Circle {
        at: Point,
        diameter: Length,
    },
    /// A straight line that closes round nothing: a mark.
    Line {
        from: Point,
        to: Point,
    },
    /// A line of text that reads from the bottom, on its baseline; the height is that of a capital.
    Words {
        at: Point,
        height: Length,
        text: String,
    },
}

/// What is cut of one part, in the part's own coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Piece {
    /// The outline first, then openings, pockets, holes.
    pub shapes: Vec<Shape>,
    /// Corners that were relieved.
    pub lobes: Vec<Lobe>,
}

impl Piece {
    /// Outlines cut right through, the outer one first.
    pub fn through(&self) -> impl Iterator<Item = &Outline> {
        self.shapes.iter().filter_map(|shape| match (&shape.form, shape.operation) {
            (Form::Closed(outline), Operation::Outside | Operation::Inside) => Some(outline),
            _ => None,
        })
    }

    /// How many tabs hold it.
    pub fn tabs(&self) -> usize {
        self.shapes.iter().filter(|shape| matches!(shape.operation, Operation::Tab { .. })).count()
    }

    /// Round all that is cut, where it lies so.
    pub fn extents(&self, lies: Motion) -> Option<Extents> {
        let closed = self.shapes.iter().filter_map(|shape| match &shape.form {
            Form::Closed(outline) if shape.operation.kind().is_cut() => Some(lies.outline(outline).extents()),
            _ => None,
        });
        closed.reduce(|a, b| Extents {
            low: Point::new(a.low.x.min(b.low.x), a.low.y.min(b.low.y)),
            high: Point::new(a.high.x.max(b.high.x), a.high.y.max(b.high.y)),
        })
    }

    /// Area of the face in mm², openings taken off.
    pub fn area_mm2(&self) -> f64 {
        let mut all = self.through().map(Outline::area_mm2);
        let whole = all.next().unwrap_or(0.0);
        whole - all.sum::<f64>()
    }

    /// Length of all cuts right through, mm.
    pub fn cut_length_mm(&self) -> f64 {
        self.through().map(Outline::perimeter_mm).sum()
    }
}

/// The shops that files are made for: those that are listed, else the one that nothing is known of.
pub fn shops(made: &Made) -> Vec<CuttingShop> {
    match made.job.shop.cutting_shops.as_slice() {
        [] => vec![CuttingShop::usual()],
        listed => listed.to_vec(),
    }
}

/// How a shop relieves corners; `None` where it does not.
fn bone(shop: &CuttingShop) -> Option<Bone> {
    match shop.relief {
        Relief::None => None,
        Relief::DogBone => Some(Bone::Dog),
        Relief::TBoneLonger => Some(Bone::TLonger),
        Relief::TBoneShorter => Some(Bone::TShorter),
    }
}

/// As people say it where a sentence names a part.
fn called(made: &Made, part: &Part) -> String {
    let first = part.boards.first().and_then(|id| made.placed.get(id.0));
    first.map_or(part.id.clone(), |placed| placed.board.name.clone())
}

fn say(made: &Made, length: Length) -> String {
    tell(length, made.job.units)
}

fn say_at(made: &Made, at: Point) -> String {
    format!("{} right and {} up of its datum", say_near(made, at.x), say_near(made, at.y))
}

/// A length that a curve or a slant may have led to: beyond a tenth of a millimetre it is of no interest then.
fn say_near(made: &Made, length: Length) -> String {
    let exact = tell(length, made.job.units);
    if exact.starts_with("about") {
        tell(Length::from_mm(libm::round(length.to_mm() * 10.0) / 10.0), made.job.units)
    } else {
        exact
    }
}

/// One place, or the first and how many more: ` 2" right and 3" up of its datum, as at 3 more,`.
fn say_all(made: &Made, all: &[Point]) -> String {
    match all {
        [] => String::new(),
        [one] => format!(" {}", say_at(made, *one)),
        [first, more @ ..] => format!(" {}, as of {} more,", say_at(made, *first), more.len()),
    }
}

/// What is cut of a part for a shop, and what stands in the way of it. Where a corner cannot be relieved the part comes as
/// far as it goes; nothing may be cut from it.
pub fn piece(made: &Made, part: &Part, shop: &CuttingShop) -> (Piece, Vec<Diagnostic>) {
    let mut work = Work { made, part, shop, piece: Piece::default(), faults: Vec::new() };
    let outside = part.as_cut();
    let plate = Plate { outline: outside.clone(), inside: part.inside.clone() };
    work.through(&outside, Air::Around, Operation::Outside);
    for opening in &part.inside {
        work.through(opening, Air::Within, Operation::Inside);
    }
    pockets::pockets(&mut work, &plate);
    let mut holes = BTreeSet::new();
    for hole in &part.holes {
        let (from, diameter) = (hole.from, hole.diameter);
        let slot = hole.outline().filter(|_| hole.slot.is_some());
        let drill = match (hole.depth, &slot) {
            (None, Some(_)) => Operation::Slot { diameter },
            (Some(depth), Some(_)) => Operation::Pocket { from, depth },
            (None, None) => Operation::DrillThrough { diameter },
            (Some(depth), None) => Operation::Drill { from, diameter, depth },
        };
        // A slot right through is cut with a bit of its own width; a blind one is cleared like any pocket.
        if let (Operation::Pocket { .. }, Some(slot)) = (drill, &slot) {
            work.tight_curves(slot, Air::Within);
        }
        let head = hole.countersink.map(|diameter| Operation::Countersink { from, diameter });
        let round = |diameter: Length| Form::Circle { at: hole.at, diameter };
        let body = slot.map_or(round(diameter), Form::Closed);
        for (operation, form) in [(Some(drill), body), (head, round(hole.countersink.unwrap_or_default()))] {
            // A hole that two fixings ask for is drilled once.
            if let Some(operation) = operation.filter(|operation| holes.insert((*operation, hole.at))) {
                work.put(operation, form);
            }
        }
    }
    sound::check(&mut work);
    tabs::tabs(&mut work);
    (work.piece, work.faults)
}

/// Everything that is wrong with what the shops are to be sent.
pub fn check(made: &Made, plans: &Plans) -> Faults {
    let mut faults = Faults::new();
    for shop in &made.job.shop.cutting_shops {
        let mut known = layers::Known::new(made, shop, &mut faults);
        for part in made.parts.iter().filter(|part| shop.cuts(part.stock)) {
            let (piece, found) = piece(made, part, shop);
            faults.extend(found);
            known.add(part, &piece, &mut faults);
        }
        nested::check(made, plans, shop, &mut faults);
    }
    faults
}

/// A part on its way to the machine.
struct Work<'a> {
    made: &'a Made,
    part: &'a Part,
    shop: &'a CuttingShop,
    piece: Piece,
    faults: Vec<Diagnostic>,
}

impl Work<'_> {
    fn put(&mut self, operation: Operation, form: Form) {
        self.piece.shapes.push(Shape::new(self.shop, operation, form));
    }

    fn fault(&mut self, check: &'static str, message: String, cure: impl Into<String>) {
        let cut_by = format!("cut by {}", self.shop.name);
        let fault = Diagnostic::error(check, self.part.place, message);
        let fault = if self.shop.name.is_empty() { fault } else { fault.also(self.shop.place, cut_by) };
        self.faults.push(fault.propose(cure));
    }

    /// Radius of the lobes, where corners are relieved.
    fn relief(&self) -> Option<(Length, Bone)> {
        Some((self.shop.bit?.half() + LOOSE, bone(self.shop)?))
    }

    fn through(&mut self, outline: &Outline, air: Air, operation: Operation) {
        self.tight_curves(outline, air);
        let outline = match self.relief() {
            Some((radius, bone)) => self.relieved(outline, air, radius, bone, |_| true),
            None => outline.clone(),
        };
        self.put(operation, Form::Closed(outline));
    }

    /// The outline with its corners relieved; as it was where that fails.
    fn relieved(
        &mut self,
        outline: &Outline,
        air: Air,
        radius: Length,
        bone: Bone,
        wants: impl Fn(usize) -> bool,
    ) -> Outline {
        match relief::relieved(outline, air, radius, bone, wants) {
            Ok(found) => {
                self.piece.lobes.extend(found.lobes);
                found.outline
            }
            Err(all) => {
                self.no_room(&all);
                outline.clone()
            }
        }
    }

    fn no_room(&mut self, all: &[ReliefFault]) {
        let (made, shop) = (self.made, self.shop);
        let bit = say(made, shop.bit.unwrap_or_default());
        let short = |fault: &&ReliefFault| matches!(fault, ReliefFault::WallTooShort { .. });
        let (too_short, others): (Vec<&ReliefFault>, Vec<_>) = all.iter().partition(short);
        for (faults, why) in
            [(too_short, "runs into the next one or past the end of its wall"), (others, "cuts another side")]
        {
            if faults.is_empty() {
                continue;
            }
            let corners: Vec<Point> = faults.iter().map(|fault| fault.corner()).collect();
            let message = format!(
                "{}: the relief of the corner{} {why} with the {bit} bit of {}",
                called(made, self.part),
                say_all(made, &corners),
                shop.name
            );
            let cure = match shop.relief {
                Relief::DogBone => "write relief: t_bone, take a smaller bit, or make the cut wider",
                _ => {
                    "take a smaller bit, write relief: dog_bone or relief_wall: for the other wall, or make the cut wider"
                }
            };
            self.fault("corner-relief", message, cure);
        }
    }

    /// Curves that a round bit cannot follow because they are tighter than it is.
    fn tight_curves(&mut self, outline: &Outline, air: Air) {
        let Some(bit) = self.shop.bit else { return };
        let radius = bit.half();
        let tight = outline.segments().filter_map(|(from, to)| {
            let hollow = if air == Air::Within { from.bulge > 0.0 } else { from.bulge < 0.0 };
            let arc = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge).filter(|_| hollow)?;
            (arc.radius < radius.to_mm() - 1e-4).then_some((from.at, arc.radius))
        });
        let (at, radii): (Vec<Point>, Vec<f64>) = tight.unzip();
        let Some(least) = radii.into_iter().reduce(f64::min) else { return };
        let message = format!(
            "{}: the curve{} has a radius of {}; the {} bit of {} cuts none below {}",
            called(self.made, self.part),
            say_all(self.made, &at),
            say(self.made, Length::from_mm(least)),
            say(self.made, bit),
            self.shop.name,
            say(self.made, radius)
        );
        let cure = format!("give it a radius of {} or more, or take a smaller bit", say(self.made, radius));
        self.fault("curve-tighter-than-bit", message, cure);
    }
}
