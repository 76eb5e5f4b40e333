//! A fixing as a line in space, the stretches of it that lie in each board, and how findings about fixings are gathered.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use crate::boards::{BoardId, FixingKind, Other};
use crate::checks::measure::{Point3, along, direction_on_face, on_face};
use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::joints::Fixing;
use crate::length::Length;
use crate::parts::{Made, Placed};

/// Rounding of a measured distance, mm: no fault hangs on it.
pub(super) const HAIR: f64 = 0.0025;

/// Air or wood between a fixing and anything else that is cut or driven: 1/16", common practice.
pub(super) const APART: Length = Length::from_units(Length::INCH.units() / 16);

/// Radius of the pocket a slanted screw sits in, mm: 3/16" (from memory).
pub(super) const POCKET_RADIUS: f64 = 25.4 * 3.0 / 16.0;

/// One finding for each line of the spec and check, however many of its fixings show it: the worst, and the number of the
/// others.
pub(super) struct Findings<'a> {
    made: &'a Made,
    found: BTreeMap<(Place, &'static str), (Diagnostic, usize)>,
}

impl<'a> Findings<'a> {
    pub fn new(made: &'a Made) -> Findings<'a> {
        Findings { made, found: BTreeMap::new() }
    }

    pub fn add(&mut self, fixing: &Fixing, fault: Diagnostic) {
        let fault = match self.made.joints.get(fixing.joint) {
            Some(joint) if joint.place != fault.place => fault.also(joint.place, "the joint"),
            _ => fault,
        };
        match self.found.entry((fault.place, fault.check)) {
            Entry::Vacant(free) => {
                free.insert((fault, 0));
            }
            Entry::Occupied(mut known) => {
                let (worst, more) = known.get_mut();
                *more += 1;
                // Severities are ordered from the gravest.
                if fault.severity < worst.severity {
                    *worst = fault;
                }
            }
        }
    }

    pub fn hand_over(self, faults: &mut Faults) {
        for (mut fault, more) in self.found.into_values() {
            if more > 0 {
                fault.message.push_str(&format!(" (and {more} more of this line)"));
            }
            faults.push(fault);
        }
    }
}

/// A fixing's axis in room millimetres.
pub(super) struct Shaft {
    pub head: Point3,
    pub tip: Point3,
    pub radius: f64,
}

pub(super) fn shaft(fixing: &Fixing) -> Shaft {
    let middle_or_head = fixing.head.map(Length::to_mm);
    let length = fixing.length.to_mm();
    let head = match fixing.kind {
        // A dowel's place is its middle.
        FixingKind::Dowels => along(middle_or_head, fixing.direction, -length / 2.0),
        _ => middle_or_head,
    };
    Shaft { head, tip: along(head, fixing.direction, length), radius: fixing.diameter.to_mm() / 2.0 }
}

pub(super) fn name(made: &Made, id: BoardId) -> &str {
    made.placed.get(id.0).map_or("", |placed| &placed.board.name)
}

pub(super) fn board(other: Other) -> Option<BoardId> {
    match other {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    }
}

pub(super) fn tell(made: &Made, mm: f64) -> String {
    say(made, Length::from_mm(mm))
}

/// Where an axis enters the second board: how far along it, mm.
pub(super) fn enters(fixing: &Fixing, shaft: &Shaft, placed: &Placed) -> f64 {
    let faces = placed.solid.extents().into_iter().zip(fixing.direction).zip(shaft.head);
    let distances =
        faces.filter(|((_, direction), _)| direction.abs() > 1e-9).map(|((span, direction), head)| {
            let face = if direction > 0.0 { span.low } else { span.high };
            (face.to_mm() - head) / direction
        });
    distances.fold(0.0, f64::max)
}

/// The parts of a fixing that lie in one board, and how thick they are there.
pub(super) fn in_board(made: &Made, fixing: &Fixing, shaft: &Shaft) -> Vec<(BoardId, Point3, Point3, f64)> {
    let mut runs = Vec::new();
    let Some(through) = made.placed.get(fixing.through.0) else { return runs };
    let into = board(fixing.into).and_then(|id| made.placed.get(id.0).map(|placed| (id, placed)));
    let at = match (fixing.kind, into) {
        (_, Some((_, placed))) => enters(fixing, shaft, placed),
        (_, None) => through.solid.thick.to_mm(),
    };
    let at = at.clamp(0.0, fixing.length.to_mm());
    let meets = along(shaft.head, fixing.direction, at);
    if fixing.kind == FixingKind::PocketScrews {
        // The pocket reaches back from the head to the face it was bored from.
        let [_, _, dd] = direction_on_face(through, fixing.direction);
        let depth = on_face(&through.solid, shaft.head)[2];
        let up = if dd > 0.0 { depth } else { through.solid.thick.to_mm() - depth };
        let mouth = along(shaft.head, fixing.direction, -up / dd.abs().max(1e-6));
        runs.push((fixing.through, mouth, shaft.head, POCKET_RADIUS));
    }
    runs.push((fixing.through, shaft.head, meets, shaft.radius));
    if let Some((id, _)) = into {
        runs.push((id, meets, shaft.tip, shaft.radius));
    }
    runs
}
