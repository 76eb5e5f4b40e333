//! Fixings laid out on the contacts of the joints: which board they go through and from which side. The figures come from
//! `rules`, or from the line that asked; places along a contact are `spread`'s, holes `bored`'s.

use crate::boards::{Asked, Board, BoardId, Fix, FixingKind, Other, Pocket, PocketKind, Verb};
use crate::diagnose::{Diagnostic, Faults};
use crate::joints::clear::Taken;
use crate::joints::meet::Matched;
use crate::joints::spread::{NoRoom, areas};
use crate::joints::work::{Work, normal};
use crate::joints::{ContactArea, Fixing, bored, movement, rules};
use crate::length::Interval;
use crate::trade::{Axis, Side};

/// Lays out all fixings that the joints ask for. What is bored comes first, where the rules put it, so that equal boards stay
/// equal; staples and brads, which leave no holes, step aside for it and for each other.
pub(super) fn lay_out(work: &mut Work, matched: &[Matched]) -> Vec<Fixing> {
    let mut fixings = Vec::new();
    let mut taken = Taken::default();
    let before = std::mem::take(&mut work.faults);
    for wires in [false, true] {
        for (joint, pair) in matched.iter().enumerate() {
            if work.joints[joint].refused {
                continue;
            }
            for fix in &pair.asked.fix {
                match fix.by {
                    FixingKind::Glue => work.joints[joint].glue = true,
                    by if is_wire(by) == wires => {
                        if let Some(drive) = drive(work, joint, pair.asked, fix) {
                            place(work, pair.asked, &drive, &mut taken, &mut fixings);
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    let found = std::mem::replace(&mut work.faults, before);
    work.faults.extend(once_a_line(found));
    movement::lengthen(work, matched, &mut fixings);
    fixings
}

/// One fault for each check and line of the spec, with the number of the others: a line that asks for many boards is told once.
fn once_a_line(found: Faults) -> Vec<Diagnostic> {
    let mut once: Vec<(Diagnostic, usize)> = Vec::new();
    for fault in found.into_sorted() {
        match once.iter_mut().find(|(known, _)| (known.check, known.place) == (fault.check, fault.place)) {
            Some((_, more)) => *more += 1,
            None => once.push((fault, 0)),
        }
    }
    let told = |(mut fault, more): (Diagnostic, usize)| {
        if more > 0 {
            fault.message.push_str(&format!(" (and {more} more of this line)"));
        }
        fault
    };
    once.into_iter().map(told).collect()
}

fn is_wire(kind: FixingKind) -> bool {
    matches!(kind, FixingKind::Staples | FixingKind::Brads)
}

fn place(work: &mut Work, asked: &Asked, drive: &Drive, taken: &mut Taken, fixings: &mut Vec<Fixing>) {
    let units = work.boards.job.units;
    for area in areas(work, drive.joint, asked, drive) {
        let Some(rule) = rules::rule(drive.fix.by, area.length(), units) else { continue };
        let positions = match area.positions(drive.fix, rule, units) {
            Ok(positions) => positions,
            Err(why) => return no_room(work, asked, drive, why),
        };
        for at in positions {
            match drive.fix.by {
                FixingKind::PocketScrews => bored::pocket_screw(work, drive, at, fixings),
                FixingKind::Dowels => bored::dowel(work, drive, &area, at, fixings),
                FixingKind::Screws => bored::screw(work, drive, &area, at, fixings),
                FixingKind::Staples | FixingKind::Brads | FixingKind::Glue => {
                    let planned = bored::straight(work, drive, &area, at);
                    let aside = area.near(at).map(|near| bored::straight(work, drive, &area, near));
                    // Where nothing near is free it stays where the rule puts it, and the checks say so.
                    let free = aside.into_iter().find(|fixing| taken.is_free(fixing));
                    fixings.push(free.unwrap_or(planned));
                }
            }
            if let Some(fixing) = fixings.last() {
                taken.add(fixing, work);
            }
        }
    }
}

fn no_room(work: &mut Work, asked: &Asked, drive: &Drive, why: NoRoom) {
    let kind = drive.fix.by.word();
    let (message, cure) = match why {
        NoRoom::TooMany(count) => (
            format!("{count} {kind} fixings in one row are a slip of the pen"),
            "give a larger spacing: or a smaller count:".to_string(),
        ),
        NoRoom::EndsMeet(length) => (
            format!(
                "the contact is {} long; {} from both ends leave no room for more than one {kind}",
                work.tell(length),
                work.tell(drive.fix.ends.unwrap_or_default())
            ),
            format!("write ends: with less than {}, or count: 1", work.tell(length.half())),
        ),
    };
    let fault = work.fault("fixing-no-room", asked, message);
    work.faults.push(at_fix(fault, drive.fix).propose(cure));
}

/// How the fixings of one joint go in.
pub(super) struct Drive<'a> {
    pub joint: usize,
    pub fix: &'a Fix,
    /// The board the fixing goes in through; for pocket screws and dowels the one whose edge or end meets the other.
    pub through: BoardId,
    pub into: Other,
    /// The side of `through` that touches what it is fixed to.
    pub side: Side,
    /// For pocket screws: the side of the room that the bored face looks to.
    pub bored: Side,
    pub gauge: i64,
}

/// Works out which board the fixings go through, or says why they cannot.
fn drive<'a>(work: &mut Work, joint: usize, asked: &'a Asked, fix: &'a Fix) -> Option<Drive<'a>> {
    let gauge = match fix.by {
        FixingKind::PocketScrews => fix.gauge.unwrap_or(rules::POCKET_GAUGE),
        _ => fix.gauge.unwrap_or(0),
    };
    if let Some(given) = fix.gauge
        && rules::clearance(given).is_none()
    {
        let message = format!("#{given} is no gauge that wood screws are sold in");
        let fault = work.fault("unknown-gauge", asked, message);
        work.faults.push(at_fix(fault, fix).propose("use one of 4, 5, 6, 7, 8, 9, 10, 12, 14"));
        return None;
    }
    let Other::Board(second) = asked.second else { return drive_into_house(work, joint, asked, fix, gauge) };
    let (one, other) = (work.board(asked.first), work.board(second));
    let Some(side) = contact_side(work, joint, asked, second, fix) else {
        // A contact that is no area was told of already, or is told by the check of butts.
        return None;
    };
    let face_on = |board: &Board| normal(board) == side.axis();
    if fix.by == FixingKind::PocketScrews {
        return drive_pockets(work, joint, asked, fix, second, side, gauge);
    }
    let first_goes_through = match fix.from {
        Some(from) if from == side.opposite() => true,
        Some(from) if from == side => false,
        Some(from) => {
            let message = format!(
                "{} and {} touch at the {} of {}, so nothing can be driven from the {}",
                one.name,
                other.name,
                side.word(),
                one.name,
                from.word()
            );
            let cure = match rebate(work, joint, asked, second) {
                // Through the face of what lies in it, or through the tongue beside it.
                Some(Rebate { shoulder, floor: Some(floor) }) => format!(
                    "write from: {}, through {}, or from: {}, through {}",
                    shoulder.opposite().word(),
                    one.name,
                    floor.word(),
                    other.name
                ),
                _ => format!("write from: {} or from: {}", side.word(), side.opposite().word()),
            };
            let fault = work.fault("fixing-from-wrong-side", asked, message);
            work.faults.push(at_fix(fault, fix).propose(cure));
            return None;
        }
        None => match (face_on(one), face_on(other)) {
            // A dowel belongs to the edge that it stands in.
            (true, false) => fix.by != FixingKind::Dowels,
            (false, true) => fix.by == FixingKind::Dowels,
            _ => {
                let size = |board: &Board| board.span[side.axis().index()].size();
                size(one) <= size(other)
            }
        },
    };
    let (through, into, side) =
        if first_goes_through { (asked.first, second, side) } else { (second, asked.first, side.opposite()) };
    let board = work.board(through);
    let gauge = if gauge > 0 { gauge } else { rules::gauge_for(board.span[side.axis().index()].size()) };
    Some(Drive { joint, fix, through, into: Other::Board(into), side, bored: side, gauge })
}

/// Points at the line of the fixing itself.
fn at_fix(fault: crate::diagnose::Diagnostic, fix: &Fix) -> Diagnostic {
    Diagnostic { place: fix.place, ..fault }
}

fn drive_into_house<'a>(
    work: &mut Work,
    joint: usize,
    asked: &'a Asked,
    fix: &'a Fix,
    gauge: i64,
) -> Option<Drive<'a>> {
    let board = work.board(asked.first);
    let side = match (asked.second, fix.from) {
        (_, Some(from)) => Some(from.opposite()),
        (Other::Floor, None) => Some(Side::Bottom),
        (_, None) => None,
    };
    let house = if asked.second == Other::Floor { "the floor" } else { "the wall" };
    let Some(side) = side else {
        let message = format!(
            "which side of {} touches {house} is not said, so its fixings cannot be placed",
            board.name
        );
        let fault = work.fault("fixing-side-unknown", asked, message);
        work.faults.push(
            at_fix(fault, fix).propose("add from: with the side they are driven from, as in from: front"),
        );
        return None;
    };
    if !matches!(fix.by, FixingKind::Screws | FixingKind::Brads | FixingKind::Staples) {
        let message = format!("a {} cannot hold {} to {house}", fix.by.word(), board.name);
        let fault = work.fault("fixing-cannot-hold", asked, message);
        work.faults.push(at_fix(fault, fix).propose("use screws"));
        return None;
    }
    let gauge = if gauge > 0 { gauge } else { rules::gauge_for(board.span[side.axis().index()].size()) };
    Some(Drive { joint, fix, through: asked.first, into: asked.second, side, bored: side, gauge })
}

fn drive_pockets<'a>(
    work: &mut Work,
    joint: usize,
    asked: &'a Asked,
    fix: &'a Fix,
    second: BoardId,
    side: Side,
    gauge: i64,
) -> Option<Drive<'a>> {
    let edge_on = |id: BoardId| normal(work.board(id)) != side.axis();
    let fits = |id: BoardId| fix.from.is_none_or(|from| from.axis() == normal(work.board(id)));
    let mut ends = [(asked.first, second, side), (second, asked.first, side.opposite())]
        .into_iter()
        .filter(|(id, _, _)| edge_on(*id));
    let Some(found) = ends.clone().find(|(id, _, _)| fits(*id)) else {
        let (one, other) = (work.board(asked.first), work.board(second));
        let (message, cure) = match (ends.next(), fix.from) {
            (Some((id, _, _)), Some(from)) => {
                let board = work.board(id);
                let axis = normal(board);
                (
                    format!(
                        "{} has no face at the {} that a pocket could be bored in",
                        board.name,
                        from.word()
                    ),
                    format!("write from: {} or from: {}", axis.low().word(), axis.high().word()),
                )
            }
            _ => (
                format!(
                    "{} and {} lie face to face; a pocket screw needs the end or the edge of one",
                    one.name, other.name
                ),
                "use screws".to_string(),
            ),
        };
        let fault = work.fault("fixing-cannot-hold", asked, message);
        work.faults.push(at_fix(fault, fix).propose(cure));
        return None;
    };
    let (through, into, side) = found;
    let bored = fix.from.unwrap_or(work.board(through).frame.into);
    Some(Drive { joint, fix, through, into: Other::Board(into), side, bored, gauge })
}

/// The two sides of a board at which it touches the rebate that it lies in.
struct Rebate {
    /// Against the shoulder: fixed through the board's own face.
    shoulder: Side,
    /// Against the floor: fixed through what is left of the other board beside the rebate.
    /// None where a fit leaves air there.
    floor: Option<Side>,
}

/// The rebate of a housing; `None` for a groove, and for every other joint.
fn rebate(work: &Work, joint: usize, asked: &Asked, second: BoardId) -> Option<Rebate> {
    let rebated = |pocket: &Pocket| pocket.place == asked.place && pocket.kind == PocketKind::Rebate;
    if asked.joint != Verb::House || !work.worked[second.0].pockets.iter().any(rebated) {
        return None;
    }
    let contact = &work.joints[joint].contact;
    let at = |axis: Axis| contact.iter().find(|area| area.side.axis() == axis).map(|area| area.side);
    let shoulder = at(normal(work.board(asked.first)))?;
    let floor = at(normal(work.board(second))).filter(|floor| floor.axis() != shoulder.axis());
    Some(Rebate { shoulder, floor })
}

/// The side of the first board on which its fixings cross to the second.
fn contact_side(work: &Work, joint: usize, asked: &Asked, second: BoardId, fix: &Fix) -> Option<Side> {
    let contact = &work.joints[joint].contact;
    if asked.joint == Verb::House {
        if let Some(Rebate { shoulder, floor }) = rebate(work, joint, asked, second) {
            // From outside it is nailed through what is left beside the rebate, where the spec says so; else through the board.
            return floor.filter(|floor| fix.from == Some(*floor)).or(Some(shoulder));
        }
        let host = normal(work.board(second));
        return contact.iter().find(|area| area.side.axis() == host).map(|area| area.side);
    }
    let mut by_side: Vec<(Side, f64)> = Vec::new();
    for area in contact {
        let size = area_mm2(area);
        match by_side.iter_mut().find(|(side, _)| *side == area.side) {
            Some((_, all)) => *all += size,
            None => by_side.push((area.side, size)),
        }
    }
    by_side.into_iter().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))).map(|(side, _)| side)
}

fn area_mm2(area: &ContactArea) -> f64 {
    let sizes = Axis::ALL.map(|axis| (area.high[axis.index()] - area.low[axis.index()]).to_mm());
    let axis = area.side.axis();
    Axis::ALL.into_iter().filter(|other| *other != axis).map(|other| sizes[other.index()]).product()
}

/// The rectangle of a slanted contact, for fixings across a mitre.
pub(super) fn mitre_contact(
    work: &Work,
    asked: &Asked,
    second: BoardId,
    shared: &[Interval; 3],
) -> ContactArea {
    let (one, other) = (work.board(asked.first), work.board(second));
    let axis = normal(one);
    let (own, others) = (one.span[axis.index()], other.span[axis.index()]);
    let side = if others.low + others.high > own.low + own.high { axis.high() } else { axis.low() };
    ContactArea { low: shared.map(|along| along.low), high: shared.map(|along| along.high), side }
}
