//! Fixings that meet something: a notch, a recess, an opening, or each other. Distances are those of the axes in space.

use std::collections::BTreeMap;

use crate::boards::BoardId;
use crate::checks::measure::{Point2, Point3, inside, on_face, segment_to_loop};
use crate::checks::shaft::{APART, Findings, HAIR, in_board, name, shaft, tell};
use crate::checks::{near, say};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::joints::Fixing;
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::apart::between_segments;
use crate::trade::Axis;

/// Fixings that run into a notch, a slot, an opening or a recess.
pub(super) fn meets_cut(made: &Made, faults: &mut Faults) {
    let mut findings = Findings::new(made);
    for fixing in &made.fixings {
        let shaft = shaft(fixing);
        for (id, from, to, radius) in in_board(made, fixing, &shaft) {
            let placed = &made.placed[id.0];
            let Some((what, gap)) = nearest_cut(made, fixing, placed, (from, to)) else { continue };
            let gap = gap - radius;
            if gap < APART.to_mm() - HAIR {
                findings.add(fixing, cut_met(made, fixing, placed, what, gap));
            }
        }
    }
    findings.hand_over(faults);
}

fn cut_met(made: &Made, fixing: &Fixing, placed: &Placed, what: &str, gap: f64) -> Diagnostic {
    let kind = fixing.kind.word();
    let message = if gap <= 0.0 {
        format!("a {kind} runs into a {what} of {}", placed.board.name)
    } else {
        format!("a {kind} passes only {} from a {what} of {}", tell(made, gap), placed.board.name)
    };
    let fault = if gap <= 0.0 {
        Diagnostic::error("fixing-meets-cut", fixing.place, message)
    } else {
        Diagnostic::warning("fixing-meets-cut", fixing.place, message)
    };
    fault.also(placed.board.place, placed.board.name.clone()).propose(format!(
        "move it by {} with ends: or count:, or shorten it",
        tell(made, APART.to_mm() - gap.min(0.0) + shaft(fixing).radius)
    ))
}

/// The cut of a board that a run of a fixing comes nearest to on its face, and how near its axis comes, mm.
fn nearest_cut(
    made: &Made,
    fixing: &Fixing,
    placed: &Placed,
    run: (Point3, Point3),
) -> Option<(&'static str, f64)> {
    let part = made.parts.get(placed.part.0)?;
    let solid = &placed.solid;
    let (a, b) = (on_face(solid, run.0), on_face(solid, run.1));
    let (from, to): (Point2, Point2) = ((a[0], a[1]), (b[0], b[1]));
    let depths = (a[2].min(b[2]), a[2].max(b[2]));
    let place = made.joints.get(fixing.joint).map(|joint| joint.place);
    let clear = |outline| {
        if inside(from, outline) || inside(to, outline) { 0.0 } else { segment_to_loop(from, to, outline) }
    };
    let mut nearest: Option<(&'static str, f64)> = None;
    let mut add = |what: &'static str, gap: f64| {
        if nearest.is_none_or(|(_, known)| gap < known) {
            nearest = Some((what, gap));
        }
    };
    for cut in &part.cuts {
        // Boards that are one part were cut by joints of one line.
        let own = made.joints.get(cut.joint).map(|joint| joint.place) == place;
        if !own {
            add(cut.kind.word(), clear(&cut.outline));
        }
    }
    for opening in &part.inside {
        let of_a_joint = part.cuts.iter().any(|cut| cut.outline.canonical() == opening.canonical());
        if !of_a_joint {
            add("cut-out", clear(opening));
        }
    }
    for (pocket, recess) in part.pockets.iter().zip(&solid.pockets) {
        let reach = recess.depths(solid.thick);
        let beside = depths.1 < reach.low.to_mm() - 1e-3 || depths.0 > reach.high.to_mm() + 1e-3;
        if Some(pocket.place) != place && !beside {
            add(pocket.kind.word(), clear(&pocket.outline));
        }
    }
    nearest
}

/// Fixings that meet each other inside the wood.
pub(super) fn meets_fixing(made: &Made, faults: &mut Faults) {
    let shafts: Vec<Vec<(BoardId, Point3, Point3, f64)>> =
        made.fixings.iter().map(|fixing| in_board(made, fixing, &shaft(fixing))).collect();
    let boxes: Vec<[Interval; 3]> = shafts.iter().map(|runs| around(runs)).collect();
    let mut told: BTreeMap<(Place, Place), (usize, usize, f64, usize)> = BTreeMap::new();
    for (one, other) in near::pairs(&boxes, APART) {
        let gap = shafts[one]
            .iter()
            .flat_map(|a| shafts[other].iter().map(move |b| (a, b)))
            .map(|(a, b)| between_segments((a.1, a.2), (b.1, b.2)) - a.3 - b.3)
            .fold(f64::INFINITY, f64::min);
        if gap >= APART.to_mm() - HAIR {
            continue;
        }
        let (a, b) = (&made.fixings[one], &made.fixings[other]);
        let key = (a.place.min(b.place), a.place.max(b.place));
        told.entry(key)
            .and_modify(|known| {
                known.3 += 1;
                if gap < known.2 {
                    (known.0, known.1, known.2) = (one, other, gap);
                }
            })
            .or_insert((one, other, gap, 0));
    }
    for (one, other, gap, more) in told.into_values() {
        faults.push(fixings_met(made, (&made.fixings[one], &made.fixings[other]), gap, more));
    }
}

fn fixings_met(made: &Made, pair: (&Fixing, &Fixing), gap: f64, more: usize) -> Diagnostic {
    let (one, other) = pair;
    let at = Axis::ALL.map(|axis| say(made, other.head[axis.index()]));
    let mut message = if gap <= 0.0 {
        format!(
            "a {} through {} meets a {} through {}",
            other.kind.word(),
            name(made, other.through),
            one.kind.word(),
            name(made, one.through)
        )
    } else {
        format!(
            "a {} through {} passes only {} from a {} through {}",
            other.kind.word(),
            name(made, other.through),
            tell(made, gap),
            one.kind.word(),
            name(made, one.through)
        )
    };
    message.push_str(&format!(", {} from the left, {} from the front and {} up", at[0], at[1], at[2]));
    if more > 0 {
        message.push_str(&format!(" (and {more} more between these lines)"));
    }
    let fault = if gap <= 0.0 {
        Diagnostic::error("fixing-meets-fixing", other.place, message)
    } else {
        Diagnostic::warning("fixing-meets-fixing", other.place, message)
    };
    let move_by = APART.to_mm() - gap;
    let fault = if one.place == other.place { fault } else { fault.also(one.place, "the other fixing") };
    fault.propose(format!(
        "move one of them by {} or more with ends:, spacing: or count:",
        tell(made, move_by)
    ))
}

fn around(runs: &[(BoardId, Point3, Point3, f64)]) -> [Interval; 3] {
    [0, 1, 2].map(|axis| {
        let low = runs.iter().map(|run| run.1[axis].min(run.2[axis]) - run.3).fold(f64::INFINITY, f64::min);
        let high =
            runs.iter().map(|run| run.1[axis].max(run.2[axis]) + run.3).fold(f64::NEG_INFINITY, f64::max);
        Interval { low: Length::from_mm(low.min(high)), high: Length::from_mm(high.max(low)) }
    })
}
