//! The waist: boards and joints in, cut pieces out. Equal boards are one part with a quantity; mirror images are told
//! apart and marked as a pair. Checks, plans, sheets and files look no further back than this. Knows no paper, file or saw.

use crate::boards::{Board, BoardId, Edge, Hole, Opening, Pocket, WorkStep};
use crate::diagnose::Place;
use crate::joints::{Bevel, Bore, Cut, Fixing, Joint};
use crate::length::Length;
use crate::shape::Outline;
use crate::shape::solid::Solid;
use crate::trade::{FaceFrame, Grain};
use crate::values::Job;

/// Index of a part in [`Made::parts`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);

/// A piece to cut, seen looking at its show face: u to the right, v up, datum corner of its extents at (0, 0).
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Safe in file names and stable: `bench-divider`, `bench-end-left`.
    pub id: String,
    /// Short mark for balloons and labels: `B3`.
    pub mark: String,
    /// As people say it: `divider`.
    pub name: String,
    pub quantity: usize,
    /// The boards it is, in order.
    pub boards: Vec<BoardId>,
    /// Index into [`Job::stock`].
    pub stock: usize,
    pub thick: Length,
    /// Finished size along u and v.
    pub width: Length,
    pub height: Length,
    pub grain: Grain,
    /// The part whose mirror image this one is; given to the second of a pair.
    pub mirrored_of: Option<PartId>,
    /// The other of the pair, given to both.
    pub pair: Option<PartId>,
    pub outline: Outline,
    pub inside: Vec<Outline>,
    pub pockets: Vec<Pocket>,
    pub holes: Vec<Hole>,
    pub bores: Vec<Bore>,
    pub bevels: Vec<Bevel>,
    pub edges: Vec<Edge>,
    pub cuts: Vec<Cut>,
    pub finish: Option<String>,
    pub notes: Vec<String>,
    /// The key under `parts` of its first board.
    pub place: Place,
}

/// A board with the part it is, where the part's coordinates lie in the room.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub board: Board,
    pub part: PartId,
    /// Part coordinates (u, v, depth) to room.
    pub frame: FaceFrame,
    /// The final solid.
    pub solid: Solid,
}

/// Everything that is made: the one value that later stages read.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    pub job: Job,
    pub parts: Vec<Part>,
    /// Indexed by [`BoardId`].
    pub placed: Vec<Placed>,
    pub joints: Vec<Joint>,
    pub fixings: Vec<Fixing>,
    pub openings: Vec<Opening>,
    pub steps: Vec<WorkStep>,
}

impl Part {
    /// The outline as it is to be cut: the finished outline with the wood that is left on for scribing.
    pub fn as_cut(&self) -> Outline {
        self.outline.clone()
    }
}
