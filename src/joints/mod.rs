//! Boards in, joints out: every overlap and contact matched with the joint that resolves it, the wood it takes away, and
//! the fixings laid out on it. Knows no paper, file or saw. That nothing clashes in the end is proved later, in `checks`.

mod bored;
mod clear;
mod contact;
mod fixing;
mod housing;
mod meet;
mod mitre;
pub mod movement;
mod notch;
mod rules;
mod section;
mod spread;
mod work;

use crate::boards::{BoardId, Boards, FixingKind, Hole, Other, Pocket, Verb};
use crate::diagnose::{Faults, Place};
use crate::length::Length;
use crate::shape::{Outline, Point};
use crate::trade::{Face, Position, Side};

/// What joints take away from one board, in its face coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worked {
    /// Final outline.
    pub outline: Option<Outline>,
    /// All openings right through, those asked for by hand included.
    pub inside: Vec<Outline>,
    /// All recesses.
    pub pockets: Vec<Pocket>,
    /// All holes, those for fixings included.
    pub holes: Vec<Hole>,
    /// Pocket-screw bores, slanted.
    pub bores: Vec<Bore>,
    /// Bevels of mitres: run of the edge and how far the bevel reaches in over the full thickness.
    pub bevels: Vec<Bevel>,
    /// Notches and slots one by one, as a worker would say them; for lists, dimensions and checks.
    pub cuts: Vec<Cut>,
}

/// One through cut that a joint made.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    pub kind: CutKind,
    /// The wood taken away, clipped to the board: its outline in face coordinates.
    pub outline: Outline,
    /// The board that passes through.
    pub by: BoardId,
    /// Gap on each bearing side.
    pub fit: Length,
    /// Index into [`Joints::joints`].
    pub joint: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutKind {
    /// breaks an edge
    Notch,
    /// breaks none
    Slot,
    /// a notch to half the overlap
    Halving,
}

impl CutKind {
    pub const fn word(self) -> &'static str {
        match self {
            CutKind::Notch => "notch",
            CutKind::Slot => "slot",
            CutKind::Halving => "halving",
        }
    }
}

/// A bevel along an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Bevel {
    /// Run of the outline in face coordinates, wood on the left; the outline is that of the longer face.
    pub from: Point,
    pub to: Point,
    /// How far the bevel reaches in over the full thickness.
    pub run: Length,
    /// The face that stays the longer.
    pub long: Face,
    /// Degrees off square.
    pub degrees: f64,
    pub joint: usize,
}

/// A bore that leaves an edge: a pocket for a screw, slanted from a face, or (`degrees` 0) a straight hole into the edge
/// for a dowel, whose `at` is then its blind end.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// Where the axis of the bore meets the face, in face coordinates.
    pub at: Point,
    /// Where the axis leaves the edge, in face coordinates, and its depth below the show face.
    pub leaves: Point,
    pub leaves_depth: Length,
    pub from: Face,
    pub diameter: Length,
    pub degrees: f64,
    pub fixing: usize,
}

/// One joint between two boards, or between a board and the house.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    pub verb: Verb,
    pub first: BoardId,
    pub second: Other,
    /// Said as on a drawing: `housing 1/4" deep in bench.end_left` is built from these by the sheets.
    pub depth: Option<Length>,
    pub fit: Length,
    /// Touching area in the room: axis-aligned boxes of no thickness, true areas after all cuts.
    pub contact: Vec<ContactArea>,
    pub glue: bool,
    pub note: Option<String>,
    pub place: Place,
    /// True where the joint could not be made and its fault is told already: what only follows from it stays quiet.
    pub refused: bool,
}

/// A rectangle where two boards touch; across a mitre the box round the slanted area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ContactArea {
    pub low: Position,
    pub high: Position,
    /// Side of the first board that touches.
    pub side: Side,
}

/// One screw, staple, brad or dowel.
#[derive(Clone, Debug, PartialEq)]
pub struct Fixing {
    pub kind: FixingKind,
    /// Index into [`Joints::joints`].
    pub joint: usize,
    /// Where the head sits (or where a dowel's middle lies), room millimetres are exact units.
    pub head: Position,
    /// Unit direction of driving, room axes.
    pub direction: [f64; 3],
    pub length: Length,
    /// Shank, wire or dowel diameter.
    pub diameter: Length,
    /// Screw gauge number, where it is a screw.
    pub gauge: Option<i64>,
    /// The board it goes in through.
    pub through: BoardId,
    /// What the point ends in.
    pub into: Other,
    /// True where its hole is a slot, so that the board it holds can move across its grain.
    pub free: bool,
    /// The line that asked for it.
    pub place: Place,
}

/// Everything the joints did.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joints {
    /// Indexed by [`BoardId`].
    pub worked: Vec<Worked>,
    pub joints: Vec<Joint>,
    pub fixings: Vec<Fixing>,
}

pub use work::{Faces, build, runs_left, solid};

/// Works out every joint that the spec asks for. Order of the work: notches, slots and halvings from the boards as they are,
/// then housings of what is left, then mitres; contacts and fixings on the final solids.
pub fn join(boards: &Boards) -> (Joints, Faults) {
    let mut work = work::Work::new(boards);
    let matched = meet::matched(boards, &mut work.faults);
    for pair in &matched {
        work.joints.push(Joint {
            verb: pair.asked.joint,
            first: pair.asked.first,
            second: pair.asked.second,
            depth: None,
            fit: pair.asked.fit,
            contact: Vec::new(),
            glue: false,
            note: pair.asked.note.clone(),
            place: pair.asked.place,
            refused: false,
        });
    }
    let solids: Vec<_> = (0..boards.boards.len()).map(|id| work.solid(BoardId(id))).collect();
    let rounds: [&[Verb]; 3] = [&[Verb::Notch, Verb::Halve], &[Verb::House], &[Verb::Mitre, Verb::Butt]];
    for verbs in rounds {
        for (joint, pair) in matched.iter().enumerate().filter(|(_, pair)| verbs.contains(&pair.asked.joint))
        {
            let (Other::Board(second), Some(meeting)) = (pair.asked.second, pair.meeting) else { continue };
            match (pair.asked.joint, meeting) {
                (Verb::Notch, _) => notch::notch(&mut work, joint, pair.asked, second, &solids),
                (Verb::Halve, meet::Meeting::Overlap(shared)) => {
                    notch::halve(&mut work, joint, pair.asked, second, &shared, &solids);
                }
                (Verb::House, meet::Meeting::Overlap(shared)) => {
                    housing::house(&mut work, joint, pair.asked, second, &shared);
                }
                (Verb::Mitre, meet::Meeting::Overlap(shared)) => {
                    mitre::mitre(&mut work, joint, pair.asked, second, &shared);
                }
                (Verb::Butt, meet::Meeting::Overlap(shared)) => {
                    contact::overlap_at_butt(&mut work, joint, pair.asked, second, &shared);
                }
                _ => {}
            }
        }
    }
    contact::touching(&mut work, &matched);
    let fixings = fixing::lay_out(&mut work, &matched);
    (Joints { worked: work.worked, joints: work.joints, fixings }, work.faults)
}
