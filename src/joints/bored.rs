//! Single fixings with what they need in the boards: clearance holes and pilots, slanted pockets, blind dowel holes.

use crate::boards::{Board, FixingKind, Hole, HoleKind, Verb};
use crate::joints::fixing::Drive;
use crate::joints::spread::{Area, board_of};
use crate::joints::work::{Work, face_towards};
use crate::joints::{Bore, Fixing, rules};
use crate::length::Length;
use crate::shape::Point;
use crate::trade::{Axis, Face, Position};

/// A screw, square through one board into what is behind it, with its clearance hole and its pilot.
pub(super) fn screw(work: &mut Work, drive: &Drive, area: &Area, at: Position, fixings: &mut Vec<Fixing>) {
    let fixing = straight(work, drive, area, at);
    screw_holes(work, drive, at, &fixing, fixings.len());
    fixings.push(fixing);
}

/// A screw, staple or brad at a place of the contact.
pub(super) fn straight(work: &Work, drive: &Drive, area: &Area, at: Position) -> Fixing {
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
    Fixing {
        kind: drive.fix.by,
        joint: drive.joint,
        head,
        direction,
        length,
        diameter: if screws { rules::screw_diameter(drive.gauge) } else { rules::WIRE },
        gauge: screws.then_some(drive.gauge),
        through: drive.through,
        into: drive.into,
        free: false,
        place: drive.fix.place,
    }
}

/// The holes of a screw: clearance in the board it goes through, a pilot where it ends in a face.
fn screw_holes(work: &mut Work, drive: &Drive, at: Position, fixing: &Fixing, index: usize) {
    let through = work.board(drive.through);
    let axis = drive.side.axis().index();
    let head = fixing.head;
    let clearance = rules::clearance(drive.gauge).unwrap_or_else(|| rules::screw_diameter(drive.gauge));
    let (u, v, _) = through.frame.to_face(head);
    match face_towards(through, drive.side.opposite()) {
        Some(from) => work.worked[drive.through.0].holes.push(Hole {
            at: Point::new(u, v),
            diameter: clearance,
            depth: None,
            from,
            countersink: Some(rules::head(drive.gauge)),
            slot: None,
            why: HoleKind::Clearance,
            note: None,
            place: drive.fix.place,
        }),
        // Through the width of a board, edge to edge: a straight bore.
        None => {
            let ends = (head, at);
            let bore = edge_bore(through, ends, clearance, index);
            work.worked[drive.through.0].bores.push(bore);
        }
    }
    // The pilot of an edge is bored through the clearance hole when the boards are together.
    let Some(into) = board_of(drive.into) else { return };
    let board = work.board(into);
    let bite = fixing.length - (at[axis] - head[axis]).abs();
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
            slot: None,
            why: HoleKind::Pilot,
            note: None,
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
pub(super) fn pocket_screw(work: &mut Work, drive: &Drive, at: Position, fixings: &mut Vec<Fixing>) {
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
        free: false,
        place: drive.fix.place,
    });
}

/// A dowel, blind in both boards.
pub(super) fn dowel(work: &mut Work, drive: &Drive, area: &Area, at: Position, fixings: &mut Vec<Fixing>) {
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
                    slot: None,
                    why: HoleKind::Dowel,
                    note: None,
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
        free: false,
        place: drive.fix.place,
    });
}
