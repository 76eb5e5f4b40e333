//! Housings, grooves and rebates: a board let into another's face to the depth of their overlap. Named by where they lie
//! and which way they run; stopped where asked, with the shoulder cut on the board that is let in.

use crate::boards::{Asked, Board, BoardId, Pocket, PocketKind};
use crate::joints::CutKind;
use crate::joints::meet::entry;
use crate::joints::notch::{fit_too_large, nothing_to_cut};
use crate::joints::section::section_on;
use crate::joints::work::{Stop, Way, Work, face_towards, grown, normal, on_face};
use crate::length::{Interval, Length};
use crate::shape::cut::{intersection, union};
use crate::shape::{Extents, Outline, Point};
use crate::trade::{Axis, Face, Grain, Side};

/// How far a shoulder cut is pushed past the ends of the tongue it takes off.
const PAST: Length = Length::MM;

/// Lets `asked.first` into `host`; `shared` is the room box of their overlap.
pub(super) fn house(work: &mut Work, joint: usize, asked: &Asked, host: BoardId, shared: &[Interval; 3]) {
    let (tenant, board) = (work.board(asked.first), work.board(host));
    let Some((face, side)) = face_entered(work, joint, asked, tenant, board) else { return };
    let depth = shared[normal(board).index()].size();
    let runs = run_axis(tenant, board);
    let Some(stops) = stops(work, joint, asked, board, runs) else { return };
    let solid = work.solid(asked.first);
    let Some(sections) = section_on(work, joint, asked, &solid, board, shared[normal(board).index()]) else {
        return;
    };
    let plate = work.plate(host);
    // A board that ends at the stop, or short of it, keeps its end: there the housing is longer by the fit.
    let reach = |side: Side| tenant.span[side.axis().index()];
    let beyond =
        |side: Side, at: Length| if side.is_high() { reach(side).high - at } else { at - reach(side).low };
    let shouldered: Vec<_> =
        stops.iter().copied().filter(|(side, at)| beyond(*side, *at).is_positive()).collect();
    let lines: Vec<Stop> = shouldered.iter().map(|(side, at)| line_at(board, *side, *at)).collect();
    let mut found = Vec::new();
    for section in sections {
        let Some(kept) = kept_by_stops(work, joint, asked, board, &section.outline, &shouldered) else {
            return;
        };
        for piece in kept {
            let Some(tool) = grown(&piece, &plate, asked.fit, &lines) else {
                return fit_too_large(work, joint, asked);
            };
            match intersection(&plate.outline, &tool) {
                Ok(pockets) => found.extend(pockets),
                Err(fault) => return work.unsound(joint, asked, host, fault),
            }
        }
    }
    if found.is_empty() {
        return nothing_to_cut(work, joint, asked, host);
    }
    work.joints[joint].depth = Some(depth);
    for outline in found {
        let kind = kind_of(board, runs, &outline);
        work.worked[host.0].pockets.push(Pocket {
            outline,
            depth,
            from: face,
            kind,
            note: None,
            place: asked.place,
        });
    }
    for (stop_side, at) in shouldered {
        let tongue = Tongue { stop_side, at, mouth: side, shared };
        if !shoulder(work, joint, asked, host, &tongue) {
            return;
        }
    }
}

/// The face of the host that the tenant comes in through, and the room side that face looks to.
fn face_entered(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    tenant: &Board,
    host: &Board,
) -> Option<(Face, Side)> {
    let axis = normal(host);
    let (inside, wood) = (tenant.span[axis.index()], host.span[axis.index()]);
    let from_low = inside.low <= wood.low + Length::TOUCH;
    let from_high = inside.high >= wood.high - Length::TOUCH;
    let side = match (from_low, from_high) {
        (true, false) => axis.low(),
        (false, true) => axis.high(),
        (true, true) => {
            let message = format!(
                "{} passes right through {}, which is {} thick: a housing must leave wood under it",
                tenant.name,
                host.name,
                work.tell(host.thick())
            );
            let fault = work.fault("housing-goes-through", asked, message).propose(format!(
                "write {{notch: {}, around: {}}}, or let {} reach in less than {}",
                entry(host, tenant),
                entry(tenant, host),
                tenant.name,
                work.tell(host.thick())
            ));
            work.refuse(joint, fault);
            return None;
        }
        (false, false) => {
            let message = format!(
                "{} lies wholly inside the thickness of {} and reaches neither of its faces",
                tenant.name, host.name
            );
            let fault = work.fault("housing-not-open", asked, message).propose(format!(
                "let {} come out at the {} or the {} of {}",
                tenant.name,
                axis.low().word(),
                axis.high().word(),
                host.name
            ));
            work.refuse(joint, fault);
            return None;
        }
    };
    face_towards(host, side).map(|face| (face, side))
}

/// The axis along which a housing runs; `None` where the boards lie the same way.
fn run_axis(tenant: &Board, host: &Board) -> Option<Axis> {
    let (one, other) = (normal(tenant), normal(host));
    (one != other).then(|| Axis::ALL.into_iter().find(|axis| *axis != one && *axis != other)).flatten()
}

/// Room positions at which the housing stops short, by side.
fn stops(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    host: &Board,
    runs: Option<Axis>,
) -> Option<Vec<(Side, Length)>> {
    let mut found = Vec::new();
    for (side, short) in &asked.stopped {
        if *short == Length::ZERO {
            continue;
        }
        if Some(side.axis()) != runs {
            let ways = runs.map_or("none: the two boards lie the same way".to_string(), |axis| {
                format!("{} or {}", axis.low().word(), axis.high().word())
            });
            let message = format!(
                "this housing in {} does not run to the {}, so it cannot stop short of it",
                host.name,
                side.word()
            );
            let fault = work
                .fault("stop-across-housing", asked, message)
                .propose(format!("sides it can stop short of: {ways}"));
            work.refuse(joint, fault);
            return None;
        }
        let along = host.span[side.axis().index()];
        found.push((*side, if side.is_high() { along.high - *short } else { along.low + *short }));
    }
    Some(found)
}

/// What of a section lies on the near side of all stops.
fn kept_by_stops(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    host: &Board,
    section: &Outline,
    stops: &[(Side, Length)],
) -> Option<Vec<Outline>> {
    let around = section.extents();
    let mut room = Extents {
        low: Point::new(around.low.x - PAST, around.low.y - PAST),
        high: Point::new(around.high.x + PAST, around.high.y + PAST),
    };
    let mut clipped = false;
    for (side, at) in stops {
        let (edge, which) = edge_at(host, *side, *at);
        match which {
            Edge::High if host.frame.u.axis() == side.axis() => room.high.x = room.high.x.min(edge),
            Edge::Low if host.frame.u.axis() == side.axis() => room.low.x = room.low.x.max(edge),
            Edge::High => room.high.y = room.high.y.min(edge),
            Edge::Low => room.low.y = room.low.y.max(edge),
        }
        clipped = true;
    }
    if !clipped {
        return Some(vec![section.clone()]);
    }
    let Some(room) = Outline::rectangle(room.low, room.high) else {
        let message = format!("the stops leave nothing of this housing in {}", host.name);
        let fault =
            work.fault("stops-leave-nothing", asked, message).propose("let it stop less far from the sides");
        work.refuse(joint, fault);
        return None;
    };
    // The tongue is cut back square at a stop, whatever profile its edge had: there the housing is square too.
    let mut pieces = vec![section.clone()];
    if !section.is_rectangle() {
        pieces.extend(square_ends(host, &around, &room, stops));
    }
    let kept = union(&pieces).and_then(|whole| {
        let outline = whole.first().map_or(section, |plate| &plate.outline);
        intersection(outline, &room)
    });
    match kept {
        Ok(kept) => Some(kept),
        Err(fault) => {
            work.unsound(joint, asked, asked.first, fault);
            None
        }
    }
}

/// For each stop, the half of the section's extents that lies towards it.
fn square_ends(host: &Board, around: &Extents, room: &Outline, stops: &[(Side, Length)]) -> Vec<Outline> {
    let kept = room.extents();
    let middle = Point::new((around.low.x + around.high.x).half(), (around.low.y + around.high.y).half());
    stops
        .iter()
        .filter_map(|(side, at)| {
            let (mut low, mut high) = (around.low, around.high);
            match edge_at(host, *side, *at).1 {
                Edge::High if host.frame.u.axis() == side.axis() => low.x = middle.x.min(kept.high.x),
                Edge::Low if host.frame.u.axis() == side.axis() => high.x = middle.x.max(kept.low.x),
                Edge::High => low.y = middle.y.min(kept.high.y),
                Edge::Low => high.y = middle.y.max(kept.low.y),
            }
            Outline::rectangle(low, high)
        })
        .collect()
}

/// Which end of a face coordinate a side of the room lies at.
#[derive(Clone, Copy)]
enum Edge {
    Low,
    High,
}

/// A position along the room as a face coordinate of the board, and the end at which the side lies.
fn edge_at(board: &Board, side: Side, at: Length) -> (Length, Edge) {
    let mut position = board.frame.origin;
    position[side.axis().index()] = at;
    let (u, v, _) = board.frame.to_face(position);
    let along_u = board.frame.u.axis() == side.axis();
    let high = if along_u { board.frame.u == side } else { board.frame.v == side };
    (if along_u { u } else { v }, if high { Edge::High } else { Edge::Low })
}

fn line_at(board: &Board, side: Side, at: Length) -> Stop {
    let (edge, _) = edge_at(board, side, at);
    if board.frame.u.axis() == side.axis() { Stop::U(edge) } else { Stop::V(edge) }
}

/// Along an edge and open to it: a rebate; across the grain: a housing; along it, or along the board where the stock has
/// no grain: a groove. Boards that lie the same way make a recess.
fn kind_of(host: &Board, runs: Option<Axis>, pocket: &Outline) -> PocketKind {
    let Some(runs) = runs else { return PocketKind::Recess };
    let runs_along_u = host.frame.u.axis() == runs;
    if open_along(host, pocket, runs_along_u) {
        return PocketKind::Rebate;
    }
    let board = host.outline.extents();
    let grain_along_u = match host.grain {
        Grain::AlongU => true,
        Grain::AlongV => false,
        Grain::Free => board.width() > board.height(),
    };
    if runs_along_u == grain_along_u { PocketKind::Groove } else { PocketKind::Housing }
}

/// True where a side of the pocket that runs along it lies on the board's edge.
fn open_along(host: &Board, pocket: &Outline, runs_along_u: bool) -> bool {
    let around = pocket.extents();
    let edge = host.outline.extents();
    if runs_along_u {
        around.low.y <= edge.low.y || around.high.y >= edge.high.y
    } else {
        around.low.x <= edge.low.x || around.high.x >= edge.high.x
    }
}

/// What is left of a tongue beyond the stop of its housing.
struct Tongue<'a> {
    stop_side: Side,
    /// Room position of the housing's end.
    at: Length,
    /// The side the housing opens to.
    mouth: Side,
    shared: &'a [Interval; 3],
}

/// Cuts the tongue back to the stop, less the fit, so that it clears the wood the housing leaves.
fn shoulder(work: &mut Work, joint: usize, asked: &Asked, host: BoardId, tongue: &Tongue) -> bool {
    let (tenant, board) = (work.board(asked.first), work.board(host));
    let side = tongue.stop_side;
    let reach = tenant.span[side.axis().index()];
    let end = if side.is_high() { reach.high } else { reach.low };
    let from = if side.is_high() { tongue.at - asked.fit } else { tongue.at + asked.fit };
    let past = if side.is_high() { end + PAST } else { end - PAST };
    let mut taken = *tongue.shared;
    taken[side.axis().index()] = Interval::between(from, past);
    let axis = normal(board);
    let mut inward = tongue.shared[axis.index()];
    // The shoulder itself stays on the host's face; beyond the end of the tongue there is only air.
    if tongue.mouth.is_high() {
        inward.low -= PAST;
    } else {
        inward.high += PAST;
    }
    taken[axis.index()] = inward;
    let face = on_face(&tenant.frame, &taken);
    let Some(tool) = Outline::rectangle(face.low, face.high) else { return true };
    let way = Way { asked, joint, board: asked.first, by: host, kind: CutKind::Notch };
    work.take_out(&way, &tool).is_some()
}
