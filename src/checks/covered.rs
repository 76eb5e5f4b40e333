//! Openings for a switch or a socket that another board on the same face covers.

use super::{Row, say, table::looked_for};
use crate::diagnose::{Diagnostic, Faults, Severity};
use crate::length::Length;
use crate::parts::{Made, Placed};
use crate::shape::{Extents, Outline, Point};

pub(super) const COVERED: [Row; 1] = [looked_for(
    "cutout-covered",
    Severity::Warning,
    covered,
    "A board on the show face of another lies over an opening that goes right through, and has none there itself: a box or a plate behind it cannot be set or reached.",
    "Move the opening, or the board that lies over it, or cut both.",
)];

/// Places along and up an opening at which it is looked whether wood lies over it.
const STEPS: i64 = 9;

fn covered(made: &Made, faults: &mut Faults) {
    for placed in &made.placed {
        for (index, opening) in placed.board.inside.iter().enumerate() {
            let above = made.placed.iter().filter(|other| lies_on(placed, other));
            let found = above.filter_map(|other| over(placed, opening, other).map(|all| (other, all)));
            faults.extend(found.map(|(other, all)| told(made, placed, index, opening, other, all)));
        }
    }
}

/// True where the other board lies flat on the show face of the first.
fn lies_on(placed: &Placed, other: &Placed) -> bool {
    let into = placed.board.frame.into;
    let axis = into.axis();
    if other.board.frame.into.axis() != axis || other.board.name == placed.board.name {
        return false;
    }
    let (own, theirs) = (placed.board.span[axis.index()], other.board.span[axis.index()]);
    let gap = if into.is_high() { own.low - theirs.high } else { theirs.low - own.high };
    gap.abs() <= Length::TOUCH
}

/// Whether all of an opening is covered, or a part of it; `None` where none is, or the other board has an opening there.
fn over(placed: &Placed, opening: &Outline, other: &Placed) -> Option<bool> {
    let Extents { low, high } = opening.extents();
    let at =
        |low: Length, high: Length, step: i64| low + (high - low).shared_by(STEPS * 2).0 * (2 * step + 1);
    let grid = (0..STEPS).flat_map(|i| (0..STEPS).map(move |j| (i, j)));
    let inside: Vec<Point> = grid
        .map(|(i, j)| Point::new(at(low.x, high.x, i), at(low.y, high.y, j)))
        .filter(|point| opening.contains(*point))
        .map(|point| {
            let room = placed.board.frame.to_room(point.x, point.y, Length::ZERO);
            let (u, v, _) = other.board.frame.to_face(room);
            Point::new(u, v)
        })
        .collect();
    if inside.iter().any(|point| other.board.inside.iter().any(|hole| hole.contains(*point))) {
        return None;
    }
    let behind = inside.iter().filter(|point| other.board.outline.contains(**point)).count();
    (behind > 0).then_some(behind == inside.len())
}

fn told(
    made: &Made,
    placed: &Placed,
    index: usize,
    opening: &Outline,
    other: &Placed,
    all: bool,
) -> Diagnostic {
    let Extents { low, high } = opening.extents();
    let note = placed.board.inside_notes.get(index).cloned().flatten();
    let note = note.map(|note| format!(" ({note})")).unwrap_or_default();
    let message = format!(
        "the opening {} × {} of {}{note} lies {} behind {}",
        say(made, high.x - low.x),
        say(made, high.y - low.y),
        placed.board.name,
        if all { "wholly" } else { "partly" },
        other.board.name
    );
    Diagnostic::warning("cutout-covered", placed.board.place, message)
        .also(other.board.place, other.board.name.clone())
        .propose(format!("move the opening or {}, or cut {} there too", other.board.name, other.board.name))
}
