//! Set-ups of what is worked in a part: recesses, notches, slots, holes. A distance is measured from the end that lies against
//! the stop: the bottom, left or front of the part as it stands in place, so that the two of a pair are set from the same end;
//! where wood is left on there for fitting, the opposite one.

use super::{Besides, Drilled, Gathered, Machine, Recess, Set, Stage, Work, face_side};
use crate::boards::PocketKind;
use crate::joints::CutKind;
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::shape::{Extents, Outline};
use crate::trade::{FaceFrame, Side};

/// How a part lies, to say its cuts from its sides.
struct Lie<'a> {
    part: &'a Part,
    /// Sides in the assembly's own directions, before it is turned in the room.
    frame: FaceFrame,
    bit: Option<Length>,
}

impl<'a> Lie<'a> {
    fn of(made: &'a Made, id: PartId) -> Option<Lie<'a>> {
        let part = made.parts.get(id.0)?;
        let placed = made.placed.get(part.boards.first()?.0)?;
        let turns =
            made.job.assemblies.get(placed.board.assembly).map_or(0, |assembly| 4 - assembly.turns % 4);
        let frame = placed.frame;
        let frame = FaceFrame {
            u: frame.u.turned(turns),
            v: frame.v.turned(turns),
            into: frame.into.turned(turns),
            ..frame
        };
        Some(Lie { part, frame, bit: made.job.shop.bit })
    }

    fn left_on(&self, side: Side) -> bool {
        self.scribe(side).is_positive()
    }

    /// What is left on a side for scribing: the blank reaches so far beyond the finished part.
    fn scribe(&self, side: Side) -> Length {
        let edges = self.part.edges.iter().filter(|edge| edge.side == side);
        edges.map(|edge| edge.scribe).max().unwrap_or_default()
    }

    /// From the side of the blank instead of that of the finished part; what runs out at the finished side still does.
    fn of_blank(&self, side: Side, short: Length) -> Length {
        if short.is_positive() { short + self.scribe(side) } else { short }
    }

    /// Where an interval lies along u or v: the side to measure from, how far to its near end, and the clear distance to the far side.
    fn measured(&self, along_u: bool, low: Length, high: Length) -> (Side, Length, Length) {
        let (positive, size) =
            if along_u { (self.frame.u, self.part.width) } else { (self.frame.v, self.part.height) };
        let mut from = positive.axis().low();
        if self.left_on(from) && !self.left_on(from.opposite()) {
            from = from.opposite();
        }
        // The side at u or v 0 is the one that the direction points away from.
        let (near, far) = if from == positive { (size - high, low) } else { (low, size - high) };
        // What lies along the other side is set from there: a rebate along a back edge runs against its own edge.
        if far == Length::ZERO && near.is_positive() && !self.left_on(from.opposite()) {
            return (from.opposite(), far, near);
        }
        (from, near, far)
    }

    fn work(&self, id: PartId, mut besides: Vec<Besides>) -> Work {
        besides.retain(|besides| !matches!(besides, Besides::Short { by, .. } if !by.is_positive()));
        Work { part: id, count: self.part.quantity, length: self.part.width.max(self.part.height), besides }
    }

    fn recess(&self, what: &'static str, extents: &Extents, by: By) -> (Recess, Vec<Besides>) {
        let (wide, high) = (extents.width(), extents.height());
        // A cut is set by the distance of its sides from an end, along its shorter way (for a notch, along the edge it breaks).
        let along_u = match by {
            By::Edge { along_u, .. } => along_u,
            By::Face { .. } => wide <= high,
        };
        let u = (extents.low.x, extents.high.x);
        let v = (extents.low.y, extents.high.y);
        let (set, run) = if along_u { (u, v) } else { (v, u) };
        let (from, stop, _) = self.measured(along_u, set.0, set.1);
        // The stop touches the blank, whose side lies outside the finished one where both have wood left on.
        let stop = stop + self.scribe(from);
        let clear = set.1 - set.0;
        let mut besides = Vec::new();
        let (deep, into) = match by {
            By::Edge { into, .. } => (into.map(|_| run.1 - run.0), into),
            By::Face { deep, side } => {
                // Which face it is cut in is said part by part, so that a pair is set up once.
                besides.push(Besides::At { side });
                let (near, short, far_short) = self.measured(!along_u, run.0, run.1);
                for (side, short) in [(near, short), (near.opposite(), far_short)] {
                    besides.push(Besides::Short { side, by: self.of_blank(side, short) });
                }
                (Some(deep), None)
            }
        };
        let bit = self.bit.filter(|bit| bit.is_positive() && *bit <= clear);
        let cleared = bit.filter(|_| matches!(by, By::Face { .. }));
        let passes = cleared.map_or(0, |bit| (clear.units() + bit.units() - 1) / bit.units());
        (Recess { what, from: Some(from), stop, wide: clear, deep, into, bit, passes }, besides)
    }
}

/// How a cut goes into the part.
#[derive(Clone, Copy)]
enum By {
    /// In from an edge (or, for a slot, right through): set along u or v.
    Edge { along_u: bool, into: Option<Side> },
    /// Below a face.
    Face { deep: Length, side: Side },
}

/// Recesses, notches and slots.
pub(super) fn cuts(made: &Made, id: PartId, gathered: &mut Gathered) {
    let Some(lie) = Lie::of(made, id) else { return };
    let board = lie.part.boards.first().and_then(|board| made.placed.get(board.0));
    if board.is_some_and(|placed| !placed.board.outline.is_rectangle()) {
        gathered.add(Machine::Router, Stage::Final, Set::Shape, lie.work(id, Vec::new()));
    }
    for pocket in &lie.part.pockets {
        let side = face_side(lie.frame.show(), pocket.from);
        let by = By::Face { deep: pocket.depth, side };
        let (mut recess, mut besides) = lie.recess(pocket.kind.word(), &pocket.outline.extents(), by);
        if pocket.kind == PocketKind::Recess && !pocket.outline.is_rectangle() {
            // Set out by its template: no stop makes its outline.
            recess = recess.by_template();
            besides.clear();
        }
        gathered.add(Machine::Router, Stage::Final, Set::Cut(recess), lie.work(id, besides));
    }
    for cut in &lie.part.cuts {
        let extents = cut.outline.extents();
        let into = match cut.kind {
            CutKind::Slot => None,
            CutKind::Notch | CutKind::Halving => lie.broken(&extents),
        };
        let along_u = match into {
            Some(side) => side.axis() == lie.frame.v.axis(),
            None => extents.width() <= extents.height(),
        };
        let (recess, besides) = lie.recess(cut.kind.word(), &extents, By::Edge { along_u, into });
        gathered.add(Machine::Router, Stage::Final, Set::Cut(recess), lie.work(id, besides));
    }
    let by_joint =
        |outline: &Outline| lie.part.cuts.iter().any(|cut| cut.outline.canonical() == outline.canonical());
    for opening in lie.part.inside.iter().filter(|opening| !by_joint(opening)) {
        let extents = opening.extents();
        let by = By::Edge { along_u: extents.width() <= extents.height(), into: None };
        let (mut recess, besides) = lie.recess("cut-out", &extents, by);
        recess = recess.by_template();
        gathered.add(Machine::Router, Stage::Final, Set::Cut(recess), lie.work(id, besides));
    }
}

impl Lie<'_> {
    /// The edge that a notch breaks: the one that it opens to along the most of its outline.
    fn broken(&self, cut: &Extents) -> Option<Side> {
        let [right, left, top, bottom] = self.frame.edges();
        let open = [
            (cut.high.y >= self.part.height, top, cut.width()),
            (cut.low.y <= Length::ZERO, bottom, cut.width()),
            (cut.high.x >= self.part.width, right, cut.height()),
            (cut.low.x <= Length::ZERO, left, cut.height()),
        ];
        let open = open.into_iter().filter(|(open, ..)| *open);
        // At a corner the narrower mouth is the notch's width.
        open.min_by_key(|(_, _, mouth)| *mouth).map(|(_, side, _)| side)
    }
}

/// Holes square to a face, and bores that leave an edge.
pub(super) fn holes(made: &Made, id: PartId, gathered: &mut Gathered) {
    let Some(lie) = Lie::of(made, id) else { return };
    let mut add = |drilled: Drilled, side: Option<Side>| {
        let besides = side.map(|side| Besides::At { side }).into_iter().collect();
        gathered.add(Machine::Drill, Stage::Final, Set::Drill(drilled), lie.work(id, besides));
    };
    for hole in &lie.part.holes {
        let side = face_side(lie.frame.show(), hole.from);
        let drilled = Drilled {
            diameter: hole.diameter,
            depth: hole.depth,
            countersink: hole.countersink,
            slot: hole.slot.map(|slot| slot.length),
            lean_thousandths: 0,
            into_edge: false,
        };
        add(drilled, (hole.depth.is_some() || hole.countersink.is_some()).then_some(side));
    }
    for bore in &lie.part.bores {
        let lean = libm::rint(bore.degrees * 1000.0) as i64;
        let straight = lean == 0;
        let deep = straight.then(|| {
            let (across, up) = (bore.leaves.x - bore.at.x, bore.leaves.y - bore.at.y);
            across.abs().max(up.abs())
        });
        let drilled = Drilled {
            diameter: bore.diameter,
            depth: deep,
            countersink: None,
            slot: None,
            lean_thousandths: lean,
            into_edge: straight,
        };
        add(drilled, (!straight).then(|| face_side(lie.frame.show(), bore.from)));
    }
}
