//! The waist: boards and joints in, cut pieces out. Equal boards are one part with a quantity; mirror images are told
//! apart and marked as a pair. Checks, plans, sheets and files look no further back than this. Knows no paper, file or saw.

mod alike;
mod hand;
pub mod marks;
mod named;
mod naming;
pub mod runs;

pub use alike::{faces_differ, same_outline, same_piece};
pub use hand::{Hand, hand};
pub use named::{Unnamed, named};

use std::collections::{BTreeMap, BTreeSet};

use crate::boards::{Board, BoardId, Boards, Edge, Hole, Opening, Pocket, WorkStep};
use crate::diagnose::{Faults, Place};
use crate::joints::{self, Bevel, Bore, Cut, Faces, Fixing, Joint, Joints, Worked};
use crate::length::Length;
use crate::shape::grow::grow_sides;
use crate::shape::solid::Solid;
use crate::shape::{Outline, Point};
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
    /// What was written beside each of `inside`, in its order.
    pub inside_notes: Vec<Option<String>>,
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

impl AsRef<Board> for Placed {
    fn as_ref(&self) -> &Board {
        &self.board
    }
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
    /// The outline as it is to be cut: the finished outline with the wood that is left on for scribing, outside the datum where it
    /// is left on at the left or the bottom. Falls back to the finished outline where the sides cannot be moved out.
    pub fn as_cut(&self) -> Outline {
        let left_on = |from: Point, to: Point| {
            let edge = self.edges.iter().find(|edge| self.edge_runs(edge).contains(&(from, to)));
            edge.map_or(Length::ZERO, |edge| edge.scribe)
        };
        let out: Vec<Length> = self.outline.segments().map(|(from, to)| left_on(from.at, to)).collect();
        if out.iter().all(|by| *by == Length::ZERO) {
            return self.outline.clone();
        }
        grow_sides(&self.outline, &out).unwrap_or_else(|_| self.outline.clone())
    }

    /// The size of its blank along the grain and across it, with what is left on for scribing. Where the grain is free the longer
    /// way is along.
    pub fn blank(&self) -> (Length, Length) {
        let around = self.as_cut().extents();
        let (wide, high) = (around.width(), around.height());
        match self.grain {
            Grain::AlongU => (wide, high),
            Grain::AlongV => (high, wide),
            Grain::Free => (wide.max(high), wide.min(high)),
        }
    }

    /// What is left of an edge that was given a profile or a finish, as straight runs of the outline, wood on the left.
    pub fn edge_runs(&self, edge: &Edge) -> Vec<(Point, Point)> {
        joints::runs_left(&self.outline, edge.from, edge.to)
    }

    /// Its solid, where part coordinates lie in the room as `frame` says.
    pub fn solid(&self, frame: FaceFrame) -> Solid {
        self.solid_with(frame, &self.holes)
    }

    /// The same with some of its holes left out, by their indices in `holes`.
    pub fn solid_without(&self, frame: FaceFrame, left_out: &BTreeSet<usize>) -> Solid {
        let kept = self.holes.iter().enumerate().filter(|(index, _)| !left_out.contains(index));
        let kept: Vec<Hole> = kept.map(|(_, hole)| hole.clone()).collect();
        self.solid_with(frame, &kept)
    }

    fn solid_with(&self, frame: FaceFrame, holes: &[Hole]) -> Solid {
        let profiles =
            self.edges.iter().filter_map(|edge| edge.profile.map(|shape| (edge.from, edge.to, shape)));
        let faces = Faces {
            outline: self.outline.clone(),
            inside: &self.inside,
            pockets: &self.pockets,
            holes,
            bevels: &self.bevels,
            profiles: profiles.collect(),
        };
        joints::build(frame, self.thick, faces)
    }
}

/// Sorts the worked boards into parts: equal ones of an assembly are one part, mirror images a pair. Every board gets the
/// frame in which its part lies where it stands, and its solid from the part, so that what is proved later is proved of what
/// is cut.
pub fn make(boards: Boards, joints: Joints) -> (Made, Faults) {
    let mut parts: Vec<Part> = Vec::new();
    let mut found: Vec<(PartId, FaceFrame)> = Vec::with_capacity(boards.boards.len());
    let mut alike: BTreeMap<alike::Kind, Vec<PartId>> = BTreeMap::new();
    let none = Worked::default();
    for (index, board) in boards.boards.iter().enumerate() {
        let (raw, low) = raw(BoardId(index), board, joints.worked.get(index).unwrap_or(&none));
        let candidates = alike.entry(alike::Kind::of(&raw, board.assembly)).or_default();
        let known = candidates
            .iter()
            .find_map(|id| alike::motion_between(&parts[id.0], &raw).map(|motion| (*id, motion)));
        let (id, motion) = known.unwrap_or_else(|| {
            let id = PartId(parts.len());
            candidates.push(id);
            parts.push(raw.clone());
            (id, alike::Motion::NONE)
        });
        let part = &mut parts[id.0];
        if known.is_some() {
            part.quantity += 1;
            part.boards.push(BoardId(index));
            let known: BTreeSet<&String> = written(part).collect();
            let mut new: Vec<String> = written(&raw).filter(|note| !known.contains(note)).cloned().collect();
            new.dedup();
            part.notes.extend(new);
        }
        found.push((id, motion.frame(board, low, &raw)));
    }
    pair(&mut parts, &alike);
    naming::name(&mut parts, &boards);
    let placed = boards.boards.into_iter().zip(found).map(|(board, (part, frame))| {
        let solid = parts[part.0].solid(frame);
        Placed { board, part, frame, solid }
    });
    let placed = placed.collect();
    let made = Made {
        job: boards.job,
        parts,
        placed,
        joints: joints.joints,
        fixings: joints.fixings,
        openings: boards.openings,
        steps: boards.steps,
    };
    (made, Faults::new())
}

/// One board as a part of its own, the lower left corner of its outline at (0, 0), and where that corner lies on the board.
fn raw(id: BoardId, board: &Board, worked: &Worked) -> (Part, Point) {
    let outline = worked.outline.clone().unwrap_or_else(|| board.outline.clone());
    let around = outline.extents();
    let by = Point::new(-around.low.x, -around.low.y);
    let moved = |point: Point| Point::new(point.x + by.x, point.y + by.y);
    let pocket = |pocket: &Pocket| Pocket { outline: pocket.outline.moved(by), ..pocket.clone() };
    let bore = |bore: &Bore| Bore { at: moved(bore.at), leaves: moved(bore.leaves), ..bore.clone() };
    let bevel = |bevel: &Bevel| Bevel { from: moved(bevel.from), to: moved(bevel.to), ..bevel.clone() };
    let edge = |edge: &Edge| Edge { from: moved(edge.from), to: moved(edge.to), ..edge.clone() };
    let (inside_notes, lost) = notes_of_openings(board, &worked.inside);
    let part = Part {
        id: String::new(),
        mark: String::new(),
        name: String::new(),
        quantity: 1,
        boards: vec![id],
        stock: board.stock,
        thick: board.thick(),
        width: around.width(),
        height: around.height(),
        grain: board.grain,
        mirrored_of: None,
        pair: None,
        outline: outline.moved(by).canonical(),
        inside: worked.inside.iter().map(|inside| inside.moved(by)).collect(),
        inside_notes,
        pockets: worked.pockets.iter().map(pocket).collect(),
        holes: worked.holes.iter().map(|hole| Hole { at: moved(hole.at), ..hole.clone() }).collect(),
        bores: worked.bores.iter().map(bore).collect(),
        bevels: worked.bevels.iter().map(bevel).collect(),
        edges: board.edges.iter().map(edge).collect(),
        cuts: worked.cuts.iter().map(|cut| Cut { outline: cut.outline.moved(by), ..cut.clone() }).collect(),
        finish: board.finish.clone(),
        notes: board.note.iter().cloned().chain(lost).collect(),
        place: board.place,
    };
    (part, around.low)
}

/// The notes of a board's openings, in the order of what the joints left of them; those of openings that a joint ran into the
/// board's edge are left over.
fn notes_of_openings(board: &Board, left: &[Outline]) -> (Vec<Option<String>>, Vec<String>) {
    let mut notes: Vec<Option<String>> = vec![None; left.len()];
    let mut lost = Vec::new();
    for (asked, note) in board.inside.iter().zip(&board.inside_notes) {
        let Some(note) = note else { continue };
        let within = |opening: &Outline| {
            let (one, other) = (asked.extents(), opening.extents());
            other.low.x <= one.low.x
                && other.low.y <= one.low.y
                && other.high.x >= one.high.x
                && other.high.y >= one.high.y
        };
        let found = left.iter().position(|opening| opening == asked).or_else(|| left.iter().position(within));
        match found.and_then(|index| notes.get_mut(index)) {
            Some(Some(known)) => *known = format!("{known}; {note}"),
            Some(free) => *free = Some(note.clone()),
            None => lost.push(note.clone()),
        }
    }
    (notes, lost)
}

/// All that is written beside a part and what is cut in it.
fn written(part: &Part) -> impl Iterator<Item = &String> {
    let pockets = part.pockets.iter().filter_map(|pocket| pocket.note.as_ref());
    let holes = part.holes.iter().filter_map(|hole| hole.note.as_ref());
    part.notes.iter().chain(part.inside_notes.iter().flatten()).chain(pockets).chain(holes)
}

/// Marks mirror images as pairs. A part that is its own mirror image has none.
fn pair(parts: &mut [Part], alike: &BTreeMap<alike::Kind, Vec<PartId>>) {
    for candidates in alike.values() {
        for (place, &first) in candidates.iter().enumerate() {
            if parts[first.0].pair.is_some() || alike::is_own_mirror_image(&parts[first.0]) {
                continue;
            }
            let later = candidates[place + 1..].iter().find(|second| {
                parts[second.0].pair.is_none() && alike::are_mirror_images(&parts[first.0], &parts[second.0])
            });
            if let Some(&second) = later {
                parts[first.0].pair = Some(second);
                parts[second.0].pair = Some(first);
                parts[second.0].mirrored_of = Some(first);
            }
        }
    }
}
