//! What goes wrong with fixings: points that come through, heads that pull through, too little bite, and fixings that meet a
//! cut, an edge or each other. Distances are those of the axes and the final solids in space.

use std::collections::BTreeMap;

use crate::boards::{BoardId, FixingKind, Other};
use crate::checks::measure::{
    Point2, Point3, along, chords, direction_on_face, in_wood, inside, on_face, ray, segment_to_loop,
    to_segment,
};
use crate::checks::{near, say};
use crate::diagnose::{Diagnostic, Faults};
use crate::joints::Fixing;
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::apart::between_segments;
use crate::trade::Axis;

/// Rounding of a measured distance, mm: no fault hangs on it.
const HAIR: f64 = 0.0025;

/// Wood that a point should leave under the far face: 1/16", common practice.
const LEAST_COVER: Length = Length::from_units(2_032_000 / 16);

/// Air or wood between a fixing and anything else that is cut or driven: 1/16", common practice.
const APART: Length = Length::from_units(2_032_000 / 16);

/// Bite below which a fixing holds nothing worth: 3/8", common practice.
const LEAST_BITE: Length = Length::from_units(2_032_000 * 3 / 8);

/// A screw keeps one and a half times its shank from an edge, common practice.
const SCREW_FROM_EDGE: f64 = 1.5;

/// Staples and brads keep 1/8" from an edge, common practice.
const WIRE_FROM_EDGE: Length = Length::from_units(2_032_000 / 8);

/// Half the angle of a flat head: 82° (ASME B18.6.1).
const HALF_HEAD_DEGREES: f64 = 41.0;

/// Radius of the pocket a slanted screw sits in, mm: 3/16" (from memory).
const POCKET_RADIUS: f64 = 25.4 * 3.0 / 16.0;

/// One finding for each joint and check, however many of its fixings show it: the first, and the number of the others.
struct Findings<'a> {
    made: &'a Made,
    found: BTreeMap<(usize, &'static str), (Diagnostic, usize)>,
}

impl<'a> Findings<'a> {
    fn new(made: &'a Made) -> Findings<'a> {
        Findings { made, found: BTreeMap::new() }
    }

    fn add(&mut self, fixing: &Fixing, name: &'static str, fault: impl FnOnce() -> Diagnostic) {
        self.found
            .entry((fixing.joint, name))
            .and_modify(|(_, more)| *more += 1)
            .or_insert_with(|| (fault(), 0));
    }

    fn hand_over(self, faults: &mut Faults) {
        for ((joint, _), (mut fault, more)) in self.found {
            if more > 0 {
                fault.message.push_str(&format!(" (and {more} more of this joint)"));
            }
            if let Some(joint) = self.made.joints.get(joint)
                && joint.place != fault.place
            {
                fault = fault.also(joint.place, "the joint");
            }
            faults.push(fault);
        }
    }
}

/// A fixing's axis in room millimetres.
struct Shaft {
    head: Point3,
    tip: Point3,
    radius: f64,
}

fn shaft(fixing: &Fixing) -> Shaft {
    let middle_or_head = fixing.head.map(Length::to_mm);
    let length = fixing.length.to_mm();
    let head = match fixing.kind {
        // A dowel's place is its middle.
        FixingKind::Dowels => along(middle_or_head, fixing.direction, -length / 2.0),
        _ => middle_or_head,
    };
    Shaft { head, tip: along(head, fixing.direction, length), radius: fixing.diameter.to_mm() / 2.0 }
}

fn name(made: &Made, id: BoardId) -> &str {
    made.placed.get(id.0).map_or("", |placed| &placed.board.name)
}

fn board(other: Other) -> Option<BoardId> {
    match other {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    }
}

fn tell(made: &Made, mm: f64) -> String {
    say(made, Length::from_mm(mm))
}

/// Where an axis enters the second board: how far along it, mm.
fn enters(fixing: &Fixing, shaft: &Shaft, placed: &Placed) -> f64 {
    let box3 = placed.solid.extents();
    let mut first: f64 = 0.0;
    for axis in 0..3 {
        let direction = fixing.direction[axis];
        if direction.abs() < 1e-9 {
            continue;
        }
        let face = if direction > 0.0 { box3[axis].low } else { box3[axis].high };
        first = first.max((face.to_mm() - shaft.head[axis]) / direction);
    }
    first
}

/// Points that come through a face, or nearly, and fixings too short to hold.
pub(super) fn comes_through(made: &Made, faults: &mut Faults) {
    let mut findings = Findings::new(made);
    for fixing in &made.fixings {
        let Some(placed) = board(fixing.into).and_then(|id| made.placed.get(id.0)) else { continue };
        let shaft = shaft(fixing);
        let bite = fixing.length.to_mm() - enters(fixing, &shaft, placed);
        let (what, size) = (fixing.kind.word(), say(made, fixing.length));
        if bite <= 0.0 {
            findings.add(fixing, "fixing-too-short", || {
                let message = format!(
                    "a {what} of {size} does not reach {}: it ends {} short",
                    placed.board.name,
                    tell(made, -bite)
                );
                Diagnostic::error("fixing-too-short", fixing.place, message).propose(format!(
                    "use one at least {} long",
                    tell(made, fixing.length.to_mm() - bite + LEAST_BITE.to_mm())
                ))
            });
            continue;
        }
        if bite < LEAST_BITE.to_mm() - HAIR {
            findings.add(fixing, "fixing-too-short", || {
                let message =
                    format!("a {what} of {size} bites only {} into {}", tell(made, bite), placed.board.name);
                Diagnostic::warning("fixing-too-short", fixing.place, message).propose(format!(
                    "use one at least {} long",
                    tell(made, fixing.length.to_mm() - bite + LEAST_BITE.to_mm())
                ))
            });
        }
        let cover = cover(made, placed, fixing, &shaft);
        if cover >= LEAST_COVER.to_mm() - HAIR {
            continue;
        }
        let most = fixing.length.to_mm() - (LEAST_COVER.to_mm() - cover);
        let shorter = format!("use one no longer than {}", tell(made, most));
        findings.add(fixing, "fixing-comes-through", || {
            if cover < 0.0 {
                let message = format!(
                    "a {what} of {size} comes through {} by {}",
                    placed.board.name,
                    tell(made, -cover)
                );
                Diagnostic::error("fixing-comes-through", fixing.place, message).propose(shorter)
            } else {
                let message = format!(
                    "a {what} of {size} leaves only {} of wood over its point in {}",
                    tell(made, cover),
                    placed.board.name
                );
                Diagnostic::warning("fixing-comes-through", fixing.place, message).propose(shorter)
            }
        });
    }
    findings.hand_over(faults);
}

/// Wood between a fixing's point and the surface of the board it ends in, mm: ahead of it, and beside its shank to the broad
/// faces. Negative where it comes out, by how much. A point that ends in a notch or a slot is told by another check.
fn cover(made: &Made, placed: &Placed, fixing: &Fixing, shaft: &Shaft) -> f64 {
    let solid = &placed.solid;
    let thick = solid.thick.to_mm();
    let [u, v, depth] = on_face(solid, shaft.tip);
    let [du, dv, dd] = direction_on_face(placed, fixing.direction);
    let mut least = f64::INFINITY;
    // A face counts where the point moves towards it, or alongside it.
    if dd > -0.5 {
        least = least.min(thick - depth - if dd.abs() < 0.5 { shaft.radius } else { 0.0 });
    }
    if dd < 0.5 {
        least = least.min(depth - if dd.abs() < 0.5 { shaft.radius } else { 0.0 });
    }
    let flat = libm::hypot(du, dv);
    let cuts = made.parts.get(placed.part.0).into_iter().flat_map(|part| &part.cuts).map(|cut| &cut.outline);
    if cuts.chain(&solid.inside).any(|cut| inside((u, v), cut)) {
        return least;
    }
    if flat > 0.05 {
        let plate = solid.through();
        let loops: Vec<_> = plate.loops().collect();
        let ahead = (du / flat, dv / flat);
        let here = (u, v);
        if in_wood(here, &plate) {
            if let Some(distance) = ray(here, ahead, &loops) {
                least = least.min(distance / flat);
            }
        } else if let Some(back) = ray(here, (-ahead.0, -ahead.1), &loops) {
            least = least.min(-back / flat);
        }
    } else if !in_wood((u, v), &solid.through()) {
        let off = chords(&solid.outline)
            .iter()
            .map(|(a, b)| to_segment((u, v), *a, *b))
            .fold(f64::INFINITY, f64::min);
        least = least.min(-off);
    }
    least
}

/// Heads that sink so deep that the board they hold is nearly gone under them.
pub(super) fn head_pulls_through(made: &Made, faults: &mut Faults) {
    let mut findings = Findings::new(made);
    for fixing in made.fixings.iter().filter(|fixing| fixing.kind == FixingKind::Screws) {
        let Some(placed) = made.placed.get(fixing.through.0) else { continue };
        let [_, _, dd] = direction_on_face(placed, fixing.direction);
        if dd.abs() < 0.5 {
            continue;
        }
        // A head twice the shank, countersunk flush.
        let sink = fixing.diameter.to_mm() / 2.0 / libm::tan(HALF_HEAD_DEGREES.to_radians());
        let left = placed.solid.thick.to_mm() - sink;
        if left < LEAST_COVER.to_mm() - HAIR {
            findings.add(fixing, "head-pulls-through", || {
                let message = format!(
                    "the head of a #{} screw sinks {} into {}, which is {} thick, and leaves {}",
                    fixing.gauge.unwrap_or_default(),
                    tell(made, sink),
                    placed.board.name,
                    say(made, placed.solid.thick),
                    tell(made, left.max(0.0))
                );
                Diagnostic::warning("head-pulls-through", fixing.place, message)
                    .propose("use a smaller gauge (size: 6), or staples or brads")
            });
        }
    }
    findings.hand_over(faults);
}

/// The parts of a fixing that lie in one board, and how thick they are there.
fn in_board(made: &Made, fixing: &Fixing, shaft: &Shaft) -> Vec<(BoardId, Point3, Point3, f64)> {
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
                findings.add(fixing, "fixing-meets-cut", || cut_met(made, fixing, placed, what, gap));
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
    let mut told: BTreeMap<(usize, usize), (usize, usize, f64, usize)> = BTreeMap::new();
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
        let key = (a.joint.min(b.joint), a.joint.max(b.joint));
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
        message.push_str(&format!(" (and {more} more between these joints)"));
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

/// Fixings so near the edge of the board they go through, or are driven into, that the wood splits.
pub(super) fn near_edge(made: &Made, faults: &mut Faults) {
    let mut findings = Findings::new(made);
    for fixing in made.fixings.iter().filter(|fixing| fixing.kind != FixingKind::PocketScrews) {
        let shaft = shaft(fixing);
        let least = match fixing.kind {
            FixingKind::Screws | FixingKind::Dowels => fixing.diameter.to_mm() * SCREW_FROM_EDGE,
            _ => WIRE_FROM_EDGE.to_mm(),
        };
        for (id, from, _, _) in in_board(made, fixing, &shaft) {
            let placed = &made.placed[id.0];
            let [_, _, dd] = direction_on_face(placed, fixing.direction);
            if dd.abs() < 0.5 {
                continue;
            }
            let [u, v, _] = on_face(&placed.solid, from);
            let plate = placed.solid.through();
            let edge = chords(&plate.outline)
                .iter()
                .map(|(a, b)| to_segment((u, v), *a, *b))
                .fold(f64::INFINITY, f64::min);
            if edge < least - HAIR {
                findings.add(fixing, "fixing-near-edge", || {
                    let message = format!(
                        "a {} goes in {} from the edge of {}; {} is usual, or the wood splits",
                        fixing.kind.word(),
                        tell(made, edge),
                        placed.board.name,
                        tell(made, least)
                    );
                    Diagnostic::warning("fixing-near-edge", fixing.place, message)
                        .also(placed.board.place, placed.board.name.clone())
                        .propose(format!(
                            "set ends: to at least {}, or use a thinner fixing",
                            tell(made, least)
                        ))
                });
            }
        }
    }
    findings.hand_over(faults);
}
