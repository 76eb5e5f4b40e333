//! Which space is taken by fixings already laid out, so that staples and brads can step aside.

use std::collections::BTreeMap;

use crate::boards::{BoardId, FixingKind, Other};
use crate::joints::Fixing;
use crate::joints::rules;
use crate::joints::work::Work;
use crate::length::Length;
use crate::shape::apart::between_segments;

/// Wood left between two fixings: 1/8", twice what the check of fixings asks for.
const APART: f64 = 25.4 / 8.0;

/// A straight stretch of a fixing in room millimetres.
#[derive(Clone, Copy)]
struct Stretch {
    from: [f64; 3],
    to: [f64; 3],
    radius: f64,
}

/// The stretches of all fixings so far, by the boards they lie in.
#[derive(Default)]
pub(super) struct Taken {
    by_board: BTreeMap<BoardId, Vec<Stretch>>,
}

impl Taken {
    /// True where a fixing keeps clear of all others in its boards.
    pub fn is_free(&self, fixing: &Fixing) -> bool {
        let own = shaft(fixing);
        boards(fixing)
            .all(|id| self.by_board.get(&id).is_none_or(|all| all.iter().all(|other| apart(&own, other))))
    }

    pub fn add(&mut self, fixing: &Fixing, work: &Work) {
        let mut stretches = vec![shaft(fixing)];
        if fixing.kind == FixingKind::PocketScrews {
            // The pocket reaches back from the head to the bored face, at most as far as the board is thick at its slope.
            let back = work.board(fixing.through).thick().to_mm()
                / 2.0
                / libm::sin(rules::POCKET_ANGLE.to_radians());
            let from = along(fixing, fixing.length.to_mm() / 2.0 - back);
            let radius = rules::POCKET_BORE.in_units(work.boards.job.units).to_mm() / 2.0;
            stretches.push(Stretch { from, to: along(fixing, 0.0), radius });
        }
        for id in boards(fixing) {
            self.by_board.entry(id).or_default().extend(&stretches);
        }
    }
}

fn boards(fixing: &Fixing) -> impl Iterator<Item = BoardId> {
    let into = match fixing.into {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    };
    [Some(fixing.through), into].into_iter().flatten()
}

/// The point of a fixing's axis so far from its head.
fn along(fixing: &Fixing, distance: f64) -> [f64; 3] {
    let head = fixing.head.map(Length::to_mm);
    [0, 1, 2].map(|axis| head[axis] + fixing.direction[axis] * distance)
}

fn shaft(fixing: &Fixing) -> Stretch {
    let length = fixing.length.to_mm();
    // A dowel's place is its middle.
    let start = if fixing.kind == FixingKind::Dowels { -length / 2.0 } else { 0.0 };
    Stretch {
        from: along(fixing, start),
        to: along(fixing, start + length),
        radius: fixing.diameter.to_mm() / 2.0,
    }
}

fn apart(one: &Stretch, other: &Stretch) -> bool {
    let least = one.radius + other.radius + APART;
    let far = (0..3).any(|axis| {
        let (a, b) = ((one.from[axis], one.to[axis]), (other.from[axis], other.to[axis]));
        a.0.min(a.1) > b.0.max(b.1) + least || b.0.min(b.1) > a.0.max(a.1) + least
    });
    far || between_segments((one.from, one.to), (other.from, other.to)) >= least
}
