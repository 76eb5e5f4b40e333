//! How far a board moves across its grain, and what it moves against. Both the slots of the joints and the sheets that come
//! later ask here, so that they cannot disagree.

use crate::boards::{Board, BoardId, Fix, FixingKind, Hole, HoleKind, Other, Slot, SlotWay};
use crate::diagnose::{Diagnostic, Place};
use crate::joints::meet::Matched;
use crate::joints::work::{Work, face_towards};
use crate::joints::{Fixing, Joint, rules};
use crate::length::{Interval, Length};
use crate::trade::{Axis, Grain, Units};
use crate::values::{Job, Sawn, Stock, StockForm};
use crate::wood::movement;
use crate::wood::movement::{Cut, Floating, Moisture, MovementError, Season, slot_for, up_to};
use crate::wood::species::{self, Species, UnknownSpecies};

/// Moisture of kiln-dried wood in a heated shop, % (the mean indoors in most of the United States; from memory).
pub const AT_THE_SHOP: f64 = 8.0;

/// Wood that moves, and between which moistures.
#[derive(Clone, Copy, Debug)]
pub struct Moving {
    pub species: &'static Species,
    pub cut: Cut,
    pub season: Season,
}

/// Why it is not known how far a stock moves.
#[derive(Clone, Debug, PartialEq)]
pub enum Unmoved {
    /// Sheet goods hardly move.
    Sheet,
    /// Solid wood without a species.
    NoSpecies,
    Unknown(UnknownSpecies),
    Outside(MovementError),
}

impl std::fmt::Display for Unmoved {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Unmoved::Sheet => to.write_str("sheet goods hardly move"),
            Unmoved::NoSpecies => to.write_str("its species is not given"),
            Unmoved::Unknown(unknown) => unknown.fmt(to),
            Unmoved::Outside(error) => error.fmt(to),
        }
    }
}

/// The species that a stock is, or that stands in for it.
///
/// # Errors
/// Solid wood that names none, or one that no table has.
pub fn species_of(stock: &Stock) -> Result<&'static Species, Unmoved> {
    if matches!(stock.form, StockForm::Sheet { .. }) {
        return Err(Unmoved::Sheet);
    }
    if let Some(like) = &stock.wood.like {
        return species::find(&like.text).map_err(Unmoved::Unknown);
    }
    match (&stock.species, &stock.called) {
        (Some(name), _) => species::find(name)
            .or_else(|unknown| species::named_in(name).ok_or(unknown))
            .map_err(Unmoved::Unknown),
        (None, Some(called)) => species::named_in(called).ok_or(Unmoved::NoSpecies),
        (None, None) => Err(Unmoved::NoSpecies),
    }
}

/// How a stock moves in the room that the job is for.
///
/// # Errors
/// See [`Unmoved`].
pub fn moving(job: &Job, stock: &Stock) -> Result<Moving, Unmoved> {
    let species = species_of(stock)?;
    let cut = match stock.wood.sawn.unwrap_or(Sawn::Mixed) {
        Sawn::Flat => Cut::Flat,
        Sawn::Quarter => Cut::Quarter,
        Sawn::Mixed => Cut::Mixed,
    };
    let season = season(job, stock).map_err(Unmoved::Outside)?;
    // A species without any coefficient is as good as unknown.
    movement::coefficient(species, cut, movement::Across::Width)
        .ok_or(Unmoved::Outside(MovementError::NoCoefficient { species: species.name }))?;
    Ok(Moving { species, cut, season })
}

/// How a stock moves, for slots and gaps, that cost nothing where they are too long: of a wood whose species is not known,
/// as the one of the table that moves most.
///
/// # Errors
/// Sheet goods, and moistures outside all rooms.
pub fn moving_at_most(job: &Job, stock: &Stock) -> Result<Moving, Unmoved> {
    match moving(job, stock) {
        Err(Unmoved::NoSpecies | Unmoved::Unknown(_)) => {}
        Err(Unmoved::Outside(MovementError::NoCoefficient { .. })) => {}
        found => return found,
    }
    let most = |species: &&Species| {
        let known = movement::coefficient(species, Cut::Mixed, movement::Across::Width);
        known.map_or(0.0, |coefficient| coefficient.value)
    };
    let restless = species::SPECIES.iter().max_by(|a, b| most(a).total_cmp(&most(b)));
    let season = season(job, stock).map_err(Unmoved::Outside)?;
    Ok(Moving { species: restless.ok_or(Unmoved::NoSpecies)?, cut: Cut::Mixed, season })
}

fn season(job: &Job, stock: &Stock) -> Result<Season, MovementError> {
    let (driest, wettest) = in_service(job)?;
    let made = Moisture::percent(stock.wood.moisture.unwrap_or(AT_THE_SHOP))?;
    Season::new(made, driest, wettest)
}

/// Driest and wettest moisture of wood in the room.
///
/// # Errors
/// Air that no wood in a room stands in.
pub fn in_service(job: &Job) -> Result<(Moisture, Moisture), MovementError> {
    let service = &job.service;
    match service.moisture {
        Some((driest, wettest)) => Ok((Moisture::percent(driest)?, Moisture::percent(wettest)?)),
        None => {
            let at = |humidity| movement::equilibrium_celsius(service.celsius, humidity);
            Ok((at(service.humidity.0)?, at(service.humidity.1)?))
        }
    }
}

/// The axis of the room along which a solid board is wide across its grain; `None` where it has no grain.
pub fn across_grain(board: &Board) -> Option<Axis> {
    match board.grain {
        Grain::AlongU => Some(board.frame.v.axis()),
        Grain::AlongV => Some(board.frame.u.axis()),
        Grain::Free => None,
    }
}

/// True where a board keeps its size along an axis while solid wood beside it moves: sheet goods, and solid wood whose grain
/// runs that way.
pub fn keeps_size(job: &Job, board: &Board, axis: Axis) -> bool {
    let solid = job.stock.get(board.stock).is_some_and(|stock| matches!(stock.form, StockForm::Solid { .. }));
    let along = match board.grain {
        Grain::AlongU => Some(board.frame.u.axis()),
        Grain::AlongV => Some(board.frame.v.axis()),
        Grain::Free => None,
    };
    !solid || along == Some(axis)
}

/// Slots are cut to the next 1/16" or 1 mm: finer is lost in the routing (common practice).
fn step(units: Units) -> Length {
    match units {
        Units::Inch => Length::from_units(Length::INCH.units() / 16),
        Units::Millimetre => Length::MM,
    }
}

/// Wood that must be left at the end of a slot: 1/4" (common practice).
const LEFT: Length = Length::from_units(Length::INCH.units() / 4);

/// What is written beside a slot.
const NOTE: &str = "screw stands free in the middle, with a washer: no glue, no countersink";

/// Makes slots of the clearance holes that were asked to be slots, once all fixings are laid out and it is known where each
/// board is held fast.
pub(super) fn lengthen(work: &mut Work, matched: &[Matched], fixings: &mut [Fixing]) {
    let asked = |joint: usize, place: Place| {
        matched
            .get(joint)
            .is_some_and(|pair| pair.asked.fix.iter().any(|fix| fix.slots && fix.place == place))
    };
    // What holds fast is known only when it is known of every fixing whether it stands in a slot.
    for fixing in fixings.iter_mut() {
        fixing.free = asked(fixing.joint, fixing.place);
    }
    for (joint, pair) in matched.iter().enumerate() {
        for fix in pair.asked.fix.iter().filter(|fix| fix.slots) {
            if work.joints[joint].refused {
                continue;
            }
            if let Err(fault) = slots(work, joint, fix, fixings) {
                work.faults.push(*fault);
            }
        }
    }
}

fn slots(work: &mut Work, joint: usize, fix: &Fix, fixings: &[Fixing]) -> Result<(), Box<Diagnostic>> {
    let told = |name, message: String, cure: String| {
        Box::new(Diagnostic::error(name, fix.place, message).propose(cure))
    };
    if fix.by != FixingKind::Screws {
        let message = format!("a {} has no hole that could be a slot", fix.by.word());
        return Err(told("slots-cannot-be", message, "leave `slots` out, or fix it by screws".into()));
    }
    let own: Vec<&Fixing> = fixings.iter().filter(|f| f.joint == joint && f.place == fix.place).collect();
    let Some(first) = own.first() else { return Ok(()) };
    let (id, axis, moving) =
        moving_board(work, first).map_err(|(message, cure)| told("slots-cannot-be", message, cure))?;
    let job = &work.boards.job;
    let board = work.board(id);
    let span = board.span[axis.index()];
    let fast = over(span, &held_places(job, &work.boards.boards, (fixings, &work.joints), id, axis));
    let clearance = |fixing: &Fixing| {
        let gauge = fixing.gauge.unwrap_or_default();
        rules::clearance(gauge).unwrap_or_else(|| rules::screw_diameter(gauge))
    };
    for fixing in own {
        let at = fixing.head[axis.index()];
        // The line it is held on may be any of the places where it is held: the farthest is the safe one.
        let distance = (at - fast.low).abs().max((at - fast.high).abs());
        let floating = Floating {
            species: moving.species,
            cut: moving.cut,
            width: span.size().max(distance),
            season: moving.season,
        };
        let diameter = clearance(fixing);
        let slot = slot_for(&floating, distance, diameter).map_err(|error| {
            let stock = job.stock.get(board.stock).map_or("", |stock| stock.name.as_str());
            told("slots-cannot-be", error.to_string(), cure_of(&Unmoved::Outside(error), stock))
        })?;
        let way = slot.outward.max(slot.inward);
        let length = up_to(diameter + way * 2, step(job.units));
        lengthen_hole(work, fixing, axis, length, diameter)
            .map_err(|(message, cure)| told("slot-has-no-room", message, cure))?;
    }
    Ok(())
}

/// The board that moves on a fixing, and the axis that it moves along: of two that are solid and wide along the contact the
/// wider across its grain, and of equally wide ones the first.
pub fn moves_on(job: &Job, boards: &[impl AsRef<Board>], fixing: &Fixing) -> Option<(BoardId, Axis)> {
    let driven = Axis::ALL.into_iter().find(|axis| fixing.direction[axis.index()].abs() > 0.5);
    let into = match fixing.into {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    };
    let wide = [Some(fixing.through), into].into_iter().flatten().filter_map(|id| {
        let board = boards.get(id.0)?.as_ref();
        let solid = job.stock.get(board.stock).is_some_and(|s| matches!(s.form, StockForm::Solid { .. }));
        let axis = across_grain(board).filter(|axis| solid && Some(*axis) != driven)?;
        Some((board.span[axis.index()].size(), id, axis))
    });
    let widest = wide.max_by_key(|(size, id, _)| (*size, std::cmp::Reverse(*id)))?;
    Some((widest.1, widest.2))
}

/// The board that moves on a screw in a slot, the axis that it moves along, and how its wood moves; else what is wrong and
/// the cure.
fn moving_board(work: &Work, fixing: &Fixing) -> Result<(BoardId, Axis, Moving), (String, String)> {
    let job = &work.boards.job;
    let Some((id, axis)) = moves_on(job, &work.boards.boards, fixing) else {
        let message = "neither board is solid wood that moves along the contact, so the screws need no slots";
        return Err((message.to_owned(), "leave `slots` out".into()));
    };
    let board = work.board(id);
    let stock = &job.stock[board.stock];
    moving_at_most(job, stock).map(|moving| (id, axis, moving)).map_err(|why| {
        (format!("how far {} moves is not known: {why}", board.name), cure_of(&why, &stock.name))
    })
}

/// What helps where it is not known how far a stock moves.
fn cure_of(why: &Unmoved, stock: &str) -> String {
    match why {
        Unmoved::Sheet => "leave `slots` out".into(),
        Unmoved::NoSpecies | Unmoved::Unknown(_) | Unmoved::Outside(MovementError::NoCoefficient { .. }) => {
            format!("give the stock {stock} a `species` of the table, or one that it is `like`")
        }
        Unmoved::Outside(MovementError::Moisture { .. } | MovementError::Season { .. }) => {
            "give the moisture of the wood, from 0 to 30 %: `moisture` of the stock, and of `service` as [driest, wettest]"
                .into()
        }
        Unmoved::Outside(MovementError::Air { .. }) => {
            "give the air of the room, `humidity` and `temperature` under `service`, or the `moisture` of the wood there"
                .into()
        }
        Unmoved::Outside(MovementError::Distance { .. }) => {
            "move the screws within the width of the board that moves".into()
        }
    }
}

/// What holds a board fast at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holds {
    Fixing(FixingKind, Other),
    Glue(Other),
}

/// Positions across the grain at which a board is held fast by what keeps its size, lowest first: screws and dowels without
/// slots, and both ends of glue. Staples and brads bend, and hold nothing fast.
pub fn held_places(
    job: &Job,
    boards: &[impl AsRef<Board>],
    (fixings, joints): (&[Fixing], &[Joint]),
    id: BoardId,
    axis: Axis,
) -> Vec<(Length, Holds)> {
    let board = |id: BoardId| boards.get(id.0).map(AsRef::as_ref);
    let Some(own) = board(id).map(|own| own.span[axis.index()]) else { return Vec::new() };
    let stiff = |other: &Other| match other {
        Other::Board(other) => board(*other).is_some_and(|other| keeps_size(job, other, axis)),
        Other::Wall | Other::Floor => true,
    };
    let mut places = Vec::new();
    for fixing in fixings.iter().filter(|fixing| !fixing.free) {
        let fast = matches!(fixing.kind, FixingKind::Screws | FixingKind::PocketScrews | FixingKind::Dowels);
        if let Some(other) = partner(id, fixing.through, fixing.into).filter(|other| fast && stiff(other)) {
            // What is driven through an edge holds the edge.
            let at = fixing.head[axis.index()].max(own.low).min(own.high);
            places.push((at, Holds::Fixing(fixing.kind, other)));
        }
    }
    for joint in joints.iter().filter(|joint| joint.glue && !joint.refused) {
        if let Some(other) = partner(id, joint.first, joint.second).filter(stiff) {
            for area in &joint.contact {
                for at in [area.low[axis.index()], area.high[axis.index()]] {
                    places.push((at, Holds::Glue(other)));
                }
            }
        }
    }
    places.sort();
    places
}

/// From the lowest to the highest place at which a board is held fast; its middle where nothing holds it.
pub fn over(span: Interval, places: &[(Length, Holds)]) -> Interval {
    let middle = span.low + span.size().half();
    match (places.first(), places.last()) {
        (Some((low, _)), Some((high, _))) => Interval { low: *low, high: *high },
        _ => Interval { low: middle, high: middle },
    }
}

/// What joins a board to another, seen from the board.
pub fn partner(id: BoardId, first: BoardId, second: Other) -> Option<Other> {
    match second {
        Other::Board(second) if second == id => Some(Other::Board(first)),
        second if first == id => Some(second),
        _ => None,
    }
}

fn lengthen_hole(
    work: &mut Work,
    fixing: &Fixing,
    axis: Axis,
    length: Length,
    diameter: Length,
) -> Result<(), (String, String)> {
    let through = work.board(fixing.through);
    let name = through.name.clone();
    let way = if through.frame.u.axis() == axis { SlotWay::U } else { SlotWay::V };
    let driven = Axis::ALL.into_iter().find(|a| fixing.direction[a.index()].abs() > 0.5);
    let side = driven.map(|a| if fixing.direction[a.index()] > 0.0 { a.low() } else { a.high() });
    if side.is_none_or(|side| face_towards(through, side).is_none()) {
        return Err((
            format!("the screws go edgewise through {name}, where no slot can be cut"),
            "screw through the face of a board, or leave `slots` out".into(),
        ));
    }
    let (u, v, _) = through.frame.to_face(fixing.head);
    let around = through.outline.extents();
    let (low, high, here) = match way {
        SlotWay::U => (around.low.x, around.high.x, u),
        SlotWay::V => (around.low.y, around.high.y, v),
    };
    let room = (here - low).min(high - here) - length.half();
    if room < LEFT {
        return Err((
            format!(
                "a slot {} long leaves {} of {name} at its end; {} is usual",
                work.tell(length),
                work.tell(room.max(Length::ZERO)),
                work.tell(LEFT)
            ),
            format!("make {name} wider by {}", work.tell((LEFT - room) * 2)),
        ));
    }
    let hole = work.worked[fixing.through.0].holes.iter_mut().find(|hole: &&mut Hole| {
        hole.why == HoleKind::Clearance && hole.place == fixing.place && (hole.at.x, hole.at.y) == (u, v)
    });
    if let Some(hole) = hole {
        // A slot no longer than its hole is a hole; the note holds all the same.
        hole.slot = Some(Slot { way, length }).filter(|_| length > diameter);
        hole.countersink = None;
        hole.note = Some(NOTE.to_owned());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each cure names a key that changes what is wrong.
    #[test]
    fn cures_fit_their_reasons() {
        let cure = |why: MovementError| cure_of(&Unmoved::Outside(why), "seat");
        assert!(cure(MovementError::NoCoefficient { species: "oak" }).contains("the stock seat a `species`"));
        assert!(cure(MovementError::Moisture { given: 45.0 }).contains("`moisture` of the stock"));
        assert!(cure(MovementError::Air { celsius: 20.0, humidity: 99.0 }).contains("`humidity`"));
        let apart = MovementError::Distance { width: Length::MM, from_fixed_line: Length::INCH };
        assert!(cure(apart).contains("within the width"));
        assert!(cure_of(&Unmoved::NoSpecies, "seat").contains("`species`"));
    }
}
