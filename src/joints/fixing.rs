//! Fixings laid out on the contact of a joint: which board they go through, how many, where, how long, and the holes they
//! need in both boards. The figures come from `rules`, or from the line that asked.

use crate::boards::{Asked, Board, BoardId, Fix, FixingKind, Hole, HoleKind, Other, PocketKind, Verb};
use crate::joints::work::{Work, face_towards, normal};
use crate::joints::{Bore, ContactArea, Fixing, rules};
use crate::length::{Interval, Length};
use crate::shape::Point;
use crate::trade::{Axis, Face, Position, Side};

/// Lays out all fixings that one joint asks for.
pub(super) fn lay_out(work: &mut Work, joint: usize, asked: &Asked, fixings: &mut Vec<Fixing>) {
    for fix in &asked.fix {
        if fix.by == FixingKind::Glue {
            work.joints[joint].glue = true;
            continue;
        }
        let Some(drive) = drive(work, joint, asked, fix) else { continue };
        for area in areas(work, joint, asked, &drive) {
            let Some(rule) = rules::rule(fix.by, area.length(), work.boards.job.units) else { continue };
            for at in area.positions(work, fix, rule) {
                match fix.by {
                    FixingKind::PocketScrews => pocket_screw(work, &drive, at, fixings),
                    FixingKind::Dowels => dowel(work, &drive, &area, at, fixings),
                    _ => straight(work, &drive, &area, at, fixings),
                }
            }
        }
    }
}

/// How the fixings of one joint go in.
struct Drive<'a> {
    joint: usize,
    fix: &'a Fix,
    /// The board the fixing goes in through; for pocket screws and dowels the one whose edge or end meets the other.
    through: BoardId,
    into: Other,
    /// The side of `through` that touches what it is fixed to.
    side: Side,
    /// For pocket screws: the side of the room that the bored face looks to.
    bored: Side,
    gauge: i64,
}

/// One rectangle of contact with the way along it and the way across.
struct Area {
    low: Position,
    high: Position,
    side: Side,
    along: Axis,
    across: Axis,
    /// More than one row fits only where both boards lie face to face.
    rows: bool,
}

impl Area {
    fn length(&self) -> Length {
        self.high[self.along.index()] - self.low[self.along.index()]
    }

    fn width(&self) -> Length {
        self.high[self.across.index()] - self.low[self.across.index()]
    }

    fn positions(&self, work: &Work, fix: &Fix, rule: &rules::Rule) -> Vec<Position> {
        let units = work.boards.job.units;
        let ends = fix.ends.unwrap_or_else(|| {
            let most = if fix.by == FixingKind::PocketScrews { 3 } else { 4 };
            rule.ends.in_units(units).min(self.length().shared_by(most).0)
        });
        let least = if self.length() < rule.single_below.in_units(units) { 1 } else { rule.least };
        let spacing = fix.spacing.unwrap_or(rule.spacing.in_units(units));
        let row =
            Row { low: self.low[self.along.index()], high: self.high[self.along.index()], ends, spacing };
        let along = row.spread(least, fix.count);
        let across = self.width();
        let edge = rule.ends.in_units(units);
        let columns = if self.rows && across >= edge * 3 {
            let row = Row {
                low: self.low[self.across.index()],
                high: self.high[self.across.index()],
                ends: edge,
                spacing,
            };
            row.spread(2, None)
        } else {
            vec![self.low[self.across.index()] + across.half()]
        };
        let mut all = Vec::with_capacity(along.len() * columns.len());
        for column in &columns {
            for position in &along {
                let mut at = self.low;
                at[self.along.index()] = *position;
                at[self.across.index()] = *column;
                all.push(at);
            }
        }
        all
    }
}

/// A row of fixings along a contact.
struct Row {
    low: Length,
    high: Length,
    ends: Length,
    spacing: Length,
}

/// More than this in one row is a slip of the pen in a spacing.
const MOST_IN_A_ROW: i64 = 2_000;

impl Row {
    /// Positions from end to end, no further apart than the spacing; whole units, each within one unit of its true place.
    fn spread(&self, least: i64, count: Option<i64>) -> Vec<Length> {
        let free = (self.high - self.low - self.ends * 2).max(Length::ZERO);
        let spacing = self.spacing.units().max(1);
        let gaps = (free.units() + spacing - 1) / spacing;
        let count = count.unwrap_or((gaps + 1).max(least)).clamp(1, MOST_IN_A_ROW);
        let middle = self.low + (self.high - self.low).half();
        if count == 1 || (least == 1 && gaps == 0) {
            return vec![middle];
        }
        let start = middle - free.half();
        let place = |number: i64| {
            let (whole, rest) = free.shared_by(count - 1);
            start + whole * number + (rest * number).shared_by(count - 1).0
        };
        (0..count).map(place).collect()
    }
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
    let Some(side) = contact_side(work, joint, asked, second) else {
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
            let fault = work.fault("fixing-from-wrong-side", asked, message);
            work.faults.push(at_fix(fault, fix).propose(format!(
                "write from: {} or from: {}",
                side.word(),
                side.opposite().word()
            )));
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
fn at_fix(fault: crate::diagnose::Diagnostic, fix: &Fix) -> crate::diagnose::Diagnostic {
    crate::diagnose::Diagnostic { place: fix.place, ..fault }
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

/// The side of the first board on which its fixings cross to the second.
fn contact_side(work: &Work, joint: usize, asked: &Asked, second: BoardId) -> Option<Side> {
    let contact = &work.joints[joint].contact;
    if asked.joint == Verb::House {
        let host = normal(work.board(second));
        let rebated = work.worked[second.0]
            .pockets
            .iter()
            .any(|pocket| pocket.place == asked.place && pocket.kind == PocketKind::Rebate);
        // In a rebate the board lies against the shoulder, and is fixed through its face.
        let shoulder =
            contact.iter().find(|area| rebated && area.side.axis() == normal(work.board(asked.first)));
        let floor = contact.iter().find(|area| area.side.axis() == host);
        return shoulder.or(floor).map(|area| area.side);
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

/// Contact pieces shorter than this, or not half as wide as the widest, take no fixing where there are better ones: what
/// another joint has left of a shoulder.
const CRUMB: Length = Length::from_units(2_032_000 / 2);

/// The rectangles that the fixings of a drive are laid out on.
fn areas(work: &Work, joint: usize, asked: &Asked, drive: &Drive) -> Vec<Area> {
    let through = work.board(drive.through);
    let contact: Vec<ContactArea> = match drive.into {
        Other::Board(_) => {
            let side = if drive.through == asked.first { drive.side } else { drive.side.opposite() };
            work.joints[joint].contact.iter().filter(|area| area.side == side).copied().collect()
        }
        Other::Wall | Other::Floor => vec![against_house(through, drive.side)],
    };
    let areas = contact.iter().map(|area| {
        let edge_on = [Some(drive.through), board_of(drive.into)]
            .into_iter()
            .flatten()
            .map(|id| work.board(id))
            .filter(|board| normal(board) != drive.side.axis())
            .map(normal);
        let flat: Vec<Axis> = Axis::ALL.into_iter().filter(|axis| *axis != drive.side.axis()).collect();
        let size = |axis: Axis| area.high[axis.index()] - area.low[axis.index()];
        let shorter = flat.iter().copied().min_by_key(|axis| size(*axis)).unwrap_or(Axis::Deep);
        let mut thin: Vec<Axis> = edge_on.collect();
        thin.dedup();
        let across = match thin[..] {
            _ if drive.fix.by == FixingKind::PocketScrews => normal(through),
            [only] => only,
            _ => shorter,
        };
        let along = flat.iter().copied().find(|axis| *axis != across).unwrap_or(Axis::Up);
        Area { low: area.low, high: area.high, side: drive.side, along, across, rows: thin.is_empty() }
    });
    let all: Vec<Area> = areas.collect();
    let longest = all.iter().map(Area::length).max().unwrap_or_default();
    let widest = all.iter().map(Area::width).max().unwrap_or_default();
    let worth =
        |area: &Area| (area.length() >= CRUMB || area.length() == longest) && area.width() * 2 >= widest;
    all.into_iter().filter(worth).collect()
}

fn board_of(other: Other) -> Option<BoardId> {
    match other {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    }
}

/// The whole side of a board as a contact with the house.
fn against_house(board: &Board, side: Side) -> ContactArea {
    let mut low = board.span.map(|along| along.low);
    let mut high = board.span.map(|along| along.high);
    let axis = side.axis().index();
    if side.is_high() {
        low[axis] = high[axis]
    } else {
        high[axis] = low[axis]
    }
    ContactArea { low, high, side }
}

/// A screw, staple or brad, square through one board into what is behind it.
fn straight(work: &mut Work, drive: &Drive, area: &Area, at: Position, fixings: &mut Vec<Fixing>) {
    let units = work.boards.job.units;
    let axis = drive.side.axis().index();
    let through = work.board(drive.through);
    let span = through.span[axis];
    let mitred = work.joints[drive.joint].verb == Verb::Mitre;
    let head_at = if drive.side.is_high() { span.low } else { span.high };
    // Across a mitre the contact is slanted; the middle of it counts.
    let plane = if mitred { (area.low[axis] + area.high[axis]).half() } else { at[axis] };
    let goes_through = (plane - head_at).abs();
    let depth = board_of(drive.into).map(|id| {
        let span = work.board(id).span[axis];
        if drive.side.is_high() { span.high - plane } else { plane - span.low }
    });
    let length =
        drive.fix.length.unwrap_or_else(|| rules::straight_length(drive.fix.by, goes_through, depth, units));
    let screws = drive.fix.by == FixingKind::Screws;
    let mut head = at;
    head[axis] = head_at;
    let mut direction = [0.0; 3];
    direction[axis] = drive.side.sign() as f64;
    fixings.push(Fixing {
        kind: drive.fix.by,
        joint: drive.joint,
        head,
        direction,
        length,
        diameter: if screws { rules::screw_diameter(drive.gauge) } else { rules::WIRE },
        gauge: screws.then_some(drive.gauge),
        through: drive.through,
        into: drive.into,
        place: drive.fix.place,
    });
    if !screws {
        return;
    }
    let clearance = rules::clearance(drive.gauge).unwrap_or_else(|| rules::screw_diameter(drive.gauge));
    let (u, v, _) = through.frame.to_face(head);
    match face_towards(through, drive.side.opposite()) {
        Some(from) => work.worked[drive.through.0].holes.push(Hole {
            at: Point::new(u, v),
            diameter: clearance,
            depth: None,
            from,
            countersink: Some(rules::head(drive.gauge)),
            why: HoleKind::Clearance,
            place: drive.fix.place,
        }),
        // Through the width of a board, edge to edge: a straight bore.
        None => {
            let ends = (head, at);
            let bore = edge_bore(through, ends, clearance, fixings.len() - 1);
            work.worked[drive.through.0].bores.push(bore);
        }
    }
    // The pilot of an edge is bored through the clearance hole when the boards are together.
    let Some(into) = board_of(drive.into) else { return };
    let board = work.board(into);
    let bite = length - goes_through;
    if let Some(from) = face_towards(board, drive.side.opposite())
        && bite.is_positive()
    {
        let (u, v, _) = board.frame.to_face(at);
        let hard = rules::is_hardwood(
            work.boards.job.stock.get(board.stock).and_then(|stock| stock.species.as_deref()),
        );
        let depth = (bite < board.thick()).then_some(bite);
        work.worked[into.0].holes.push(Hole {
            at: Point::new(u, v),
            diameter: rules::pilot(drive.gauge, hard),
            depth,
            from,
            countersink: None,
            why: HoleKind::Pilot,
            place: drive.fix.place,
        });
    }
}

/// A hole into an edge: `ends` are its blind end and where it leaves the edge.
fn edge_bore(board: &Board, ends: (Position, Position), diameter: Length, fixing: usize) -> Bore {
    let (blind, leaves) = (board.frame.to_face(ends.0), board.frame.to_face(ends.1));
    Bore {
        at: Point::new(blind.0, blind.1),
        leaves: Point::new(leaves.0, leaves.1),
        leaves_depth: leaves.2,
        from: Face::Show,
        diameter,
        degrees: 0.0,
        fixing,
    }
}

/// A screw in a slanted pocket: it leaves the middle of the bored board's end, and half of it bites (from memory).
fn pocket_screw(work: &mut Work, drive: &Drive, at: Position, fixings: &mut Vec<Fixing>) {
    let units = work.boards.job.units;
    let board = work.board(drive.through);
    let thick = board.thick();
    let length = drive.fix.length.unwrap_or_else(|| rules::pocket_length(thick, units));
    let angle = rules::POCKET_ANGLE.to_radians();
    let (into_face, towards) = (drive.bored.opposite(), drive.side);
    let mut direction = [0.0; 3];
    direction[towards.axis().index()] = towards.sign() as f64 * libm::cos(angle);
    direction[into_face.axis().index()] = into_face.sign() as f64 * libm::sin(angle);
    let mut leaves = at;
    let across = board.span[into_face.axis().index()];
    leaves[into_face.axis().index()] = across.low + across.size().half();
    let back = |distance: f64| {
        let mut position = leaves;
        for axis in Axis::ALL {
            position[axis.index()] =
                leaves[axis.index()] - Length::from_mm(direction[axis.index()] * distance);
        }
        position
    };
    let head = back(length.to_mm() / 2.0);
    let enters = back(thick.to_mm() / 2.0 / libm::sin(angle));
    let (u, v, _) = board.frame.to_face(enters);
    let (leaves_u, leaves_v, leaves_depth) = board.frame.to_face(leaves);
    let bore = Bore {
        at: Point::new(u, v),
        leaves: Point::new(leaves_u, leaves_v),
        leaves_depth,
        from: face_towards(board, drive.bored).unwrap_or(Face::Back),
        diameter: rules::POCKET_BORE.in_units(units),
        degrees: rules::POCKET_ANGLE,
        fixing: fixings.len(),
    };
    work.worked[drive.through.0].bores.push(bore);
    fixings.push(Fixing {
        kind: FixingKind::PocketScrews,
        joint: drive.joint,
        head,
        direction,
        length,
        diameter: rules::screw_diameter(drive.gauge),
        gauge: Some(drive.gauge),
        through: drive.through,
        into: drive.into,
        place: drive.fix.place,
    });
}

/// A dowel, blind in both boards.
fn dowel(work: &mut Work, drive: &Drive, area: &Area, at: Position, fixings: &mut Vec<Fixing>) {
    let Some(into) = board_of(drive.into) else { return };
    let units = work.boards.job.units;
    let axis = area.side.axis().index();
    let boards = [work.board(drive.through), work.board(into)];
    let deep = boards.map(|board| board.span[axis].size());
    let thin = boards[0].thick().min(boards[1].thick());
    let diameter = drive.fix.diameter.unwrap_or_else(|| rules::dowel_diameter(thin, units));
    let length = drive.fix.length.unwrap_or_else(|| rules::dowel_length(deep, units));
    let (cover, air) = (rules::DOWEL_COVER.in_units(units), rules::DOWEL_AIR.in_units(units));
    // Half in each where both are deep enough; else the shallower takes what its cover leaves.
    let half = length.half();
    let room = deep.map(|size| size - cover);
    let in_second = if room[1] < half {
        room[1]
    } else if room[0] < half {
        length - room[0]
    } else {
        half
    };
    let in_each = [length - in_second, in_second];
    let sign = area.side.sign();
    let along = |from: Position, by: Length| {
        let mut position = from;
        position[axis] += by * sign;
        position
    };
    let index = fixings.len();
    for (board, id, inward) in [(boards[0], drive.through, -1), (boards[1], into, 1)] {
        let reach = if inward < 0 { in_each[0] } else { in_each[1] } + air;
        let side = if inward < 0 { drive.side } else { drive.side.opposite() };
        match face_towards(board, side) {
            Some(from) => {
                let (u, v, _) = board.frame.to_face(at);
                work.worked[id.0].holes.push(Hole {
                    at: Point::new(u, v),
                    diameter,
                    depth: (reach < board.thick()).then_some(reach),
                    from,
                    countersink: None,
                    why: HoleKind::Dowel,
                    place: drive.fix.place,
                });
            }
            None => {
                let bore = edge_bore(board, (along(at, reach * inward), at), diameter, index);
                work.worked[id.0].bores.push(bore);
            }
        }
    }
    let mut direction = [0.0; 3];
    direction[axis] = sign as f64;
    fixings.push(Fixing {
        kind: FixingKind::Dowels,
        joint: drive.joint,
        head: along(at, (in_each[1] - in_each[0]).half()),
        direction,
        length,
        diameter,
        gauge: None,
        through: drive.through,
        into: drive.into,
        place: drive.fix.place,
    });
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
