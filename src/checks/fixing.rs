//! Fixings that hold badly: points that come through or hardly bite, heads that pull through, fixings that split an edge.
//! Distances are those of the axes and the final solids in space.

use crate::boards::{FixingKind, Other, Verb};
use crate::checks::measure::{chords, direction_on_face, in_wood, inside, on_face, ray, to_segment};
use crate::checks::say;
use crate::checks::shaft::{Findings, HAIR, Shaft, board, enters, in_board, shaft, tell};
use crate::diagnose::{Diagnostic, Faults};
use crate::joints::Fixing;
use crate::length::Length;
use crate::parts::{Made, Placed};

/// Wood that a point should leave under the far face: 1/16", common practice.
const LEAST_COVER: Length = Length::from_units(Length::INCH.units() / 16);

/// Bite below which a fixing holds nothing worth: 3/8", common practice.
const LEAST_BITE: Length = Length::from_units(Length::INCH.units() * 3 / 8);

/// A screw keeps one and a half times its shank from an edge, common practice.
const SCREW_FROM_EDGE: f64 = 1.5;

/// Staples and brads keep 1/8" from an edge, common practice.
const WIRE_FROM_EDGE: Length = Length::from_units(Length::INCH.units() / 8);

/// Half the angle of a flat head: 82° (ASME B18.6.1).
const HALF_HEAD_DEGREES: f64 = 41.0;

/// Points that come through a face, or nearly, and fixings too short to hold.
pub(super) fn comes_through(made: &Made, faults: &mut Faults) {
    let mut findings = Findings::new(made);
    let ways = made.fixings.iter().flat_map(|fixing| [Some(fixing.clone()), other_way(fixing)]).flatten();
    for fixing in &ways.collect::<Vec<_>>() {
        let Some(placed) = board(fixing.into).and_then(|id| made.placed.get(id.0)) else { continue };
        let shaft = shaft(fixing);
        let bite = fixing.length.to_mm() - enters(fixing, &shaft, placed);
        let (what, size) = (fixing.kind.word(), say(made, fixing.length));
        if bite <= 0.0 {
            findings.add(fixing, {
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
            findings.add(fixing, {
                let message =
                    format!("a {what} of {size} bites only {} into {}", tell(made, bite), placed.board.name);
                Diagnostic::warning("fixing-too-short", fixing.place, message).propose(format!(
                    "use one at least {} long",
                    tell(made, fixing.length.to_mm() - bite + LEAST_BITE.to_mm())
                ))
            });
        }
        let Cover { ahead, beside } = cover(made, placed, fixing, &shaft);
        let cover = ahead.min(beside);
        if cover >= LEAST_COVER.to_mm() - HAIR {
            continue;
        }
        let most = fixing.length.to_mm() - (LEAST_COVER.to_mm() - ahead);
        let shorter = format!("use one no longer than {}", tell(made, most));
        findings.add(fixing, {
            if beside < LEAST_COVER.to_mm() - HAIR {
                // No length helps where the shank runs along the face.
                let message = if beside < 0.0 {
                    format!(
                        "a {what} of {size} runs along the face of {} and breaks out of it by {}",
                        placed.board.name,
                        tell(made, -beside)
                    )
                } else {
                    format!(
                        "a {what} of {size} leaves only {} of wood beside it, under the face of {}",
                        tell(made, beside),
                        placed.board.name
                    )
                };
                let cure = other_side(made, fixing).unwrap_or_else(|| {
                    format!(
                        "move the boards so that it is driven further into {}: {} beside it is usual",
                        placed.board.name,
                        say(made, LEAST_COVER)
                    )
                });
                let severity = if beside < 0.0 { Diagnostic::error } else { Diagnostic::warning };
                severity("fixing-comes-through", fixing.place, message).propose(cure)
            } else if cover < 0.0 {
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

/// A dowel has two points: the same dowel looked at the other way. Its place is its middle, so only the direction turns.
fn other_way(fixing: &Fixing) -> Option<Fixing> {
    let (FixingKind::Dowels, Other::Board(into)) = (fixing.kind, fixing.into) else { return None };
    let direction = fixing.direction.map(|part| -part);
    Some(Fixing { direction, through: into, into: Other::Board(fixing.through), ..fixing.clone() })
}

/// What to write where a board lies in a rebate and is fixed through its face so near its end that no fixing holds: the same
/// joint is nailed from outside, through what is left beside the rebate. `None` where it cannot be.
fn other_side(made: &Made, fixing: &Fixing) -> Option<String> {
    let joint = made.joints.get(fixing.joint)?;
    let into = made.placed.get(board(fixing.into)?.0)?;
    let floor = into.board.frame.into.axis();
    if joint.verb != Verb::House
        || fixing.through != joint.first
        || fixing.direction[floor.index()].abs() > 0.5
    {
        return None;
    }
    let side = joint.contact.iter().find(|area| area.side.axis() == floor)?.side;
    let alike = made.joints.iter().filter(|other| other.place == joint.place);
    let opposite = alike.flat_map(|other| &other.contact).any(|area| area.side == side.opposite());
    let split = if opposite {
        format!(", and give what is driven from the {} a line of its own", side.opposite().word())
    } else {
        String::new()
    };
    Some(format!("write from: {}, to drive it through {} instead{split}", side.word(), into.board.name))
}

/// Wood between a fixing and the surface of the board it ends in, mm; negative where it comes out, by how much.
struct Cover {
    /// Ahead of its point.
    ahead: f64,
    /// Beside its shank, to the broad faces.
    beside: f64,
}

/// Wood round a fixing's point. A point that ends in a notch or a slot is told by another check.
fn cover(made: &Made, placed: &Placed, fixing: &Fixing, shaft: &Shaft) -> Cover {
    let solid = &placed.solid;
    let thick = solid.thick.to_mm();
    let [u, v, depth] = on_face(solid, shaft.tip);
    let [du, dv, dd] = direction_on_face(placed, fixing.direction);
    let mut of = Cover { ahead: f64::INFINITY, beside: f64::INFINITY };
    // A face counts where the point moves towards it, or alongside it.
    let faces = [(dd > -0.5, thick - depth), (dd < 0.5, depth)];
    for (_, wood) in faces.into_iter().filter(|(counts, _)| *counts) {
        if dd.abs() < 0.5 {
            of.beside = of.beside.min(wood - shaft.radius);
        } else {
            of.ahead = of.ahead.min(wood);
        }
    }
    let flat = libm::hypot(du, dv);
    let cuts = made.parts.get(placed.part.0).into_iter().flat_map(|part| &part.cuts).map(|cut| &cut.outline);
    if cuts.chain(&solid.inside).any(|cut| inside((u, v), cut)) {
        return of;
    }
    if flat > 0.05 {
        let plate = solid.through();
        let loops: Vec<_> = plate.loops().collect();
        let ahead = (du / flat, dv / flat);
        let here = (u, v);
        if in_wood(here, &plate) {
            if let Some(distance) = ray(here, ahead, &loops) {
                of.ahead = of.ahead.min(distance / flat);
            }
        } else if let Some(back) = ray(here, (-ahead.0, -ahead.1), &loops) {
            of.ahead = of.ahead.min(-back / flat);
        }
    } else if !in_wood((u, v), &solid.through()) {
        let off = chords(&solid.outline)
            .iter()
            .map(|(a, b)| to_segment((u, v), *a, *b))
            .fold(f64::INFINITY, f64::min);
        of.ahead = of.ahead.min(-off);
    }
    of
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
            findings.add(fixing, {
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
                findings.add(fixing, {
                    let message = format!(
                        "a {} goes in {} from the edge of {}; {} is usual, or the wood splits",
                        fixing.kind.word(),
                        tell(made, edge),
                        placed.board.name,
                        tell(made, least)
                    );
                    Diagnostic::warning("fixing-near-edge", fixing.place, message)
                        .also(placed.board.place, placed.board.name.clone())
                        .propose(other_side(made, fixing).unwrap_or_else(|| {
                            format!("set ends: to at least {}, or use a thinner fixing", tell(made, least))
                        }))
                });
            }
        }
    }
    findings.hand_over(faults);
}
