//! Spec and values in, placed boards out: every board with its three exact intervals in the room, its outline before
//! any joint, and what the spec asked of its joints. Knows no overlap: what meets what is worked out in `joints`.

mod asked;
mod build;
mod conditions;
mod edges;
mod features;
mod layout;
mod measures;
mod outline;
pub mod place;
mod profile;
pub mod repeat;
mod room;

use crate::diagnose::{Diagnostic, Faults, Place, Severity};
use crate::length::{Interval, Length};
use crate::shape::slot::hole_outline;
pub use crate::shape::slot::{Slot, SlotWay};
pub use crate::shape::solid::{Arris, Profile};
use crate::shape::{Outline, Point};
use crate::spec::language::Spec;
use crate::trade::{Face, FaceFrame, Grain, Side};
use crate::values::solver::Solver;
use crate::values::{Job, Load};

/// Index of a board in [`Boards::boards`]; it stays the same through every later stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoardId(pub usize);

/// A placed plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// As people and formulas say it: `bench.divider[2]`, or `bench.top` where there is only one.
    pub name: String,
    /// Index into [`Job::assemblies`].
    pub assembly: usize,
    /// The key under `parts`.
    pub entry: String,
    /// 1 for the first of a run; `None` where the entry is a single board.
    pub index: Option<u32>,
    /// The key under `parts` in the YAML.
    pub place: Place,
    /// Index into [`Job::stock`].
    pub stock: usize,
    /// Room coordinates; one of the three is the stock's thickness.
    pub span: [Interval; 3],
    /// Face coordinates: datum corner at the lower left of the show face, (0, 0).
    pub frame: FaceFrame,
    pub grain: Grain,
    /// In face coordinates, before any joint: rectangle, or shaped by corners, arches, tapers, a free path.
    pub outline: Outline,
    /// Explicit openings right through.
    pub inside: Vec<Outline>,
    /// What was written beside each of `inside`, in its order.
    pub inside_notes: Vec<Option<String>>,
    /// Cut-outs and recesses by the name they were given, as asked.
    pub cutouts: Vec<(String, Outline)>,
    /// Explicit recesses.
    pub pockets: Vec<Pocket>,
    /// Explicit holes.
    pub holes: Vec<Hole>,
    /// Edges that were given a profile, a scribe allowance or a finish.
    pub edges: Vec<Edge>,
    /// What holds it besides its joints.
    pub held_by: Option<Held>,
    /// What it carries, as asked.
    pub load: Option<Load>,
    pub finish: Option<String>,
    pub note: Option<String>,
}

impl AsRef<Board> for Board {
    fn as_ref(&self) -> &Board {
        self
    }
}

impl Board {
    pub fn thick(&self) -> Length {
        self.span[self.frame.into.axis().index()].size()
    }
}

/// What holds a board from outside the assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Held {
    Wall,
    Floor,
}

/// A recess of even depth.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Face coordinates of the show face, whichever face it is cut from.
    pub outline: Outline,
    pub depth: Length,
    pub from: Face,
    pub kind: PocketKind,
    /// What was written beside it; nothing is compared by it.
    pub note: Option<String>,
    pub place: Place,
}

/// What a recess is, named by where it is and which way it runs against the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PocketKind {
    /// across the grain, between two faces of wood (dado)
    Housing,
    /// along the grain (or where the stock has none, along the board)
    Groove,
    /// along an edge, open to it (rabbet)
    Rebate,
    /// asked for by hand
    Recess,
}

impl PocketKind {
    pub const fn word(self) -> &'static str {
        match self {
            PocketKind::Housing => "housing",
            PocketKind::Groove => "groove",
            PocketKind::Rebate => "rebate",
            PocketKind::Recess => "recess",
        }
    }
}

/// A round hole or a slot with round ends, square to the face.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Face coordinates of the show face, whichever face it is drilled from.
    pub at: Point,
    pub diameter: Length,
    /// `None`: right through.
    pub depth: Option<Length>,
    pub from: Face,
    /// Head diameter of a countersink on the side it is drilled from.
    pub countersink: Option<Length>,
    /// Where it is longer than wide: a slot with round ends, `diameter` wide, `at` its middle.
    pub slot: Option<Slot>,
    pub why: HoleKind,
    /// What was written beside it; nothing is compared by it.
    pub note: Option<String>,
    pub place: Place,
}

/// What a hole is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HoleKind {
    /// asked for by hand
    Asked,
    /// clearance for the shank of a screw
    Clearance,
    /// pilot for the thread of a screw
    Pilot,
    Dowel,
}

/// A straight run of a board's edge that is more than a plain sawn edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The side as the spec names it, seen before the assembly was turned.
    pub side: Side,
    /// The whole edge in face coordinates, along the outline's direction (wood on the left); what joints leave of it carries the profile.
    pub from: Point,
    pub to: Point,
    pub profile: Option<(Profile, Arris)>,
    /// Extra wood left on for scribing, outside the finished size.
    pub scribe: Length,
    pub finish: Option<String>,
    pub place: Place,
}

impl Hole {
    /// Its outline on the face.
    pub fn outline(&self) -> Option<Outline> {
        hole_outline(self.at, self.diameter, self.slot)
    }
}

/// A space that must stay clear and take a thing from the front.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    pub name: String,
    pub assembly: usize,
    pub span: [Interval; 3],
    /// The room side that the thing comes in from.
    pub front: Side,
    /// Index into [`Job::things`].
    pub holds: Option<usize>,
    pub place: Place,
}

/// How one pair of boards is to meet, as asked; names are already boards.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    pub joint: Verb,
    /// The board that is worked: notched, halved, housed, butted, mitred.
    pub first: BoardId,
    pub second: Other,
    /// Gap left on each side where wood bears on wood.
    pub fit: Length,
    /// For a housing: how far it stops short of room sides.
    pub stopped: Vec<(Side, Length)>,
    /// For a halving: the room side from which `first` is cut.
    pub cut_from: Option<Side>,
    pub fix: Vec<Fix>,
    pub note: Option<String>,
    /// The joint in the YAML.
    pub place: Place,
    /// True where the line names several boards and this pair is one of many: a pair that does not meet is then no fault as
    /// long as each named board meets one.
    pub one_of_many: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    Notch,
    Halve,
    House,
    Butt,
    Mitre,
}

impl Verb {
    pub const fn word(self) -> &'static str {
        match self {
            Verb::Notch => "notch",
            Verb::Halve => "halving",
            Verb::House => "housing",
            Verb::Butt => "butt",
            Verb::Mitre => "mitre",
        }
    }
}

/// The other side of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Other {
    Board(BoardId),
    Wall,
    Floor,
}

/// How a joint is fixed, as asked; what is `None` comes from the table of trade rules.
#[derive(Clone, Debug, PartialEq)]
pub struct Fix {
    pub by: FixingKind,
    pub length: Option<Length>,
    /// Dowel diameter.
    pub diameter: Option<Length>,
    /// Screw gauge number.
    pub gauge: Option<i64>,
    pub count: Option<i64>,
    pub spacing: Option<Length>,
    pub ends: Option<Length>,
    /// Room side it is driven or cut from.
    pub from: Option<Side>,
    /// Screws: the holes are slots along which the board that they hold may move.
    pub slots: bool,
    pub place: Place,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FixingKind {
    Screws,
    PocketScrews,
    Staples,
    Brads,
    Dowels,
    Glue,
}

impl FixingKind {
    /// As lists name it.
    pub const fn word(self) -> &'static str {
        match self {
            FixingKind::Screws => "screw",
            FixingKind::PocketScrews => "pocket screw",
            FixingKind::Staples => "staple",
            FixingKind::Brads => "brad",
            FixingKind::Dowels => "dowel",
            FixingKind::Glue => "glue",
        }
    }
}

/// A step of the work, with the boards it concerns.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkStep {
    pub assembly: usize,
    pub text: String,
    pub boards: Vec<BoardId>,
    pub stop: Option<String>,
    pub place: Place,
}

/// All boards of a job and what was asked of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Boards {
    pub job: Job,
    pub boards: Vec<Board>,
    pub openings: Vec<Opening>,
    pub asked: Vec<Asked>,
    pub steps: Vec<WorkStep>,
}

/// Findings that leave every board where it is: what they concern is worked out as if it had not been given, so that what is
/// wrong with the boards is told in the same run.
const BESIDE: [&str; 12] = [
    "bit-not-there",
    "collar-not-there",
    "collar-too-small",
    "cutting-shop",
    "measure-notation",
    "price-per",
    "printer-measured",
    "printer-paper",
    "rod-end",
    "router-template",
    "share-out-of-range",
    "template-thin",
];

/// True where all boards stand as the spec has them, whatever else is wrong.
pub fn all_placed(faults: &Faults) -> bool {
    let hinders = |fault: &Diagnostic| fault.severity == Severity::Error && !BESIDE.contains(&fault.check);
    !faults.iter().any(hinders)
}

/// Places every board and opening of a spec and works out what it asks of its joints. What is wrong is told all at once;
/// a board that failed is left out, and what only follows from that stays quiet.
pub fn place(spec: &Spec) -> (Boards, Faults) {
    let mut solver = Solver::new(spec, &measures::Layout);
    let job = crate::values::job::resolve(&mut solver);
    let laid = build::boards(&mut solver, &job);
    let openings = build::openings(&mut solver, &job);
    let mut all_asked = Vec::new();
    let mut steps = Vec::new();
    for (number, assembly) in job.assemblies.iter().enumerate() {
        let first = all_asked.len();
        asked::joints(&mut solver, number, &laid.named, &mut all_asked);
        all_asked.iter_mut().skip(first).for_each(|asked| room::put_asked(assembly, asked));
        steps.extend(conditions::steps(&mut solver, number, &laid.named));
    }
    conditions::required(&mut solver);
    (Boards { job, boards: laid.boards, openings, asked: all_asked, steps }, solver.faults)
}
