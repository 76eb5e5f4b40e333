//! Notches, slots and halvings: the other board's true section, grown by the fit where wood bears, taken out of a board.

use crate::boards::{Asked, BoardId};
use crate::joints::CutKind;
use crate::joints::meet::entry;
use crate::joints::section::section_on;
use crate::joints::work::{Stop, Way, Work, grown, normal, on_face};
use crate::length::{Interval, Length};
use crate::shape::Outline;
use crate::shape::solid::Solid;
use crate::trade::{Axis, Side};

/// Cuts `asked.first` where `second` passes right through its thickness. `solids` are the boards before any joint.
pub(super) fn notch(work: &mut Work, joint: usize, asked: &Asked, second: BoardId, solids: &[Solid]) {
    let (board, by) = (work.board(asked.first), work.board(second));
    let axis = normal(board);
    let (wood, other) = (board.span[axis.index()], by.span[axis.index()]);
    if other.low > wood.low + Length::TOUCH || other.high < wood.high - Length::TOUCH {
        let deep = other.high.min(wood.high) - other.low.max(wood.low);
        let message = format!(
            "{} reaches only {} into {}, which is {} thick: a notch needs it to pass right through",
            by.name,
            work.tell(deep),
            board.name,
            work.tell(board.thick())
        );
        let fault = work.fault("notch-not-through", asked, message).propose(format!(
            "write {{house: {}, in: {}}} for a housing {} deep, or let {} pass through",
            entry(by, board),
            entry(board, by),
            work.tell(deep),
            by.name
        ));
        return work.refuse(joint, fault);
    }
    let Some(sections) = section_on(work, joint, asked, &solids[second.0], board, wood) else { return };
    let plate = work.plate(asked.first);
    let mut wood_met = false;
    for section in sections {
        let Some(tool) = grown(&section.outline, &plate, asked.fit, &[]) else {
            return fit_too_large(work, joint, asked);
        };
        let way = Way { asked, joint, board: asked.first, by: second, kind: CutKind::Notch };
        match work.take_out(&way, &tool) {
            Some(taken) => wood_met |= taken.wood,
            None => return,
        }
    }
    if !wood_met {
        nothing_to_cut(work, joint, asked, second);
    }
}

/// Cuts two crossing boards to the middle of their overlap, each from its own side.
pub(super) fn halve(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    second: BoardId,
    shared: &[Interval; 3],
    solids: &[Solid],
) {
    let (one, other) = (work.board(asked.first), work.board(second));
    let (across, along) = (normal(one), normal(other));
    let Some(crossing) =
        Axis::ALL.into_iter().find(|axis| *axis != across && *axis != along && across != along)
    else {
        let message =
            format!("{} and {} lie the same way; only boards that cross can be halved", one.name, other.name);
        let fault = work.fault("halving-does-not-cross", asked, message).propose(format!(
            "write {{house: {}, in: {}}} to let one into the face of the other",
            entry(one, other),
            entry(other, one)
        ));
        return work.refuse(joint, fault);
    };
    let through = |axis: Axis, wood: Interval| {
        let overlap = shared[axis.index()];
        overlap.size() >= wood.size() - Length::TOUCH
    };
    if !through(across, one.span[across.index()]) || !through(along, other.span[along.index()]) {
        let message = format!(
            "{} and {} do not cross: each must pass right through the other's thickness",
            one.name, other.name
        );
        let fault = work.fault("halving-does-not-cross", asked, message).propose(format!(
            "write {{house: {}, in: {}}}, or let both run through",
            entry(one, other),
            entry(other, one)
        ));
        return work.refuse(joint, fault);
    }
    let from = asked.cut_from.unwrap_or(match crossing {
        Axis::Up => Side::Top,
        Axis::Deep => Side::Front,
        Axis::Across => Side::Left,
    });
    if from.axis() != crossing {
        let message = format!(
            "{} and {} cross from {} to {}, so they cannot be cut from the {}",
            one.name,
            other.name,
            crossing.low().word(),
            crossing.high().word(),
            from.word()
        );
        let fault = work.fault("halving-wrong-side", asked, message).propose(format!(
            "write cut_from: {} or cut_from: {}",
            crossing.low().word(),
            crossing.high().word()
        ));
        return work.refuse(joint, fault);
    }
    let overlap = shared[crossing.index()];
    let middle = overlap.low + overlap.size().half();
    let half = |side: Side| {
        if side.is_high() {
            Interval { low: middle, high: overlap.high }
        } else {
            Interval { low: overlap.low, high: middle }
        }
    };
    for (board, by, side) in [(asked.first, second, from), (second, asked.first, from.opposite())] {
        let mut part = *shared;
        part[crossing.index()] = half(side);
        if !half_of(work, &Half { joint, asked, board, by, side, part }, solids) {
            return;
        }
    }
    work.joints[joint].depth = Some(half(from).size());
}

/// One of the two cuts of a halving.
struct Half<'a> {
    joint: usize,
    asked: &'a Asked,
    board: BoardId,
    by: BoardId,
    /// The side of the board that the cut opens to.
    side: Side,
    /// The room box that is given up.
    part: [Interval; 3],
}

fn half_of(work: &mut Work, half: &Half, solids: &[Solid]) -> bool {
    let (board, by) = (work.board(half.board), work.board(half.by));
    let wood = board.span[normal(board).index()];
    let Some(sections) = section_on(work, half.joint, half.asked, &solids[half.by.0], board, wood) else {
        return false;
    };
    // The two slide together, so the cut is as wide at the mouth as anywhere: a rounded nose must pass its own notch.
    let given_up = on_face(&board.frame, &half.part);
    let crosswise_is_u = board.frame.u.axis() == normal(by);
    let mut low = given_up.low;
    let mut high = given_up.high;
    let ends = sections.iter().map(|section| section.outline.extents());
    let wide = ends
        .filter(|ends| {
            ends.low.x < high.x && ends.high.x > low.x && ends.low.y < high.y && ends.high.y > low.y
        })
        .fold(None, |all: Option<(Length, Length)>, ends| {
            let (a, b) = if crosswise_is_u { (ends.low.x, ends.high.x) } else { (ends.low.y, ends.high.y) };
            Some(all.map_or((a, b), |(low, high)| (low.min(a), high.max(b))))
        });
    let Some((from, to)) = wide else {
        nothing_to_cut(work, half.joint, half.asked, half.by);
        return false;
    };
    // The fit widens the cut; its end stays at the middle, so that the faces come flush.
    let fit = half.asked.fit;
    let plate = work.plate(half.board);
    if crosswise_is_u {
        (low.x, high.x) = (from, to);
    } else {
        (low.y, high.y) = (from, to);
    }
    let stop = stop_at(&board.frame.to_face(at_middle(&half.part, half.side)), crosswise_is_u);
    let Some(tool) = Outline::rectangle(low, high).and_then(|tool| grown(&tool, &plate, fit, &[stop])) else {
        fit_too_large(work, half.joint, half.asked);
        return false;
    };
    let way =
        Way { asked: half.asked, joint: half.joint, board: half.board, by: half.by, kind: CutKind::Halving };
    let Some(taken) = work.take_out(&way, &tool) else { return false };
    if !taken.wood {
        nothing_to_cut(work, half.joint, half.asked, half.by);
        return false;
    }
    if !taken.breaks_edge {
        let message = format!(
            "{} stands beyond {} at the {}, so its half cannot open there and the two cannot be slid together",
            board.name,
            by.name,
            half.side.word()
        );
        let other_way = if half.board == half.asked.first { half.side.opposite() } else { half.side };
        let fault = work.fault("halving-not-open", half.asked, message).propose(format!(
            "write cut_from: {}, or end both boards on one line at the {}",
            other_way.word(),
            half.side.word()
        ));
        work.refuse(half.joint, fault);
        return false;
    }
    true
}

/// A room position in the plane where a half ends.
fn at_middle(part: &[Interval; 3], side: Side) -> [Length; 3] {
    let mut at = part.map(|along| along.low);
    let along = part[side.axis().index()];
    at[side.axis().index()] = if side.is_high() { along.low } else { along.high };
    at
}

fn stop_at(at: &(Length, Length, Length), crosswise_is_u: bool) -> Stop {
    if crosswise_is_u { Stop::V(at.1) } else { Stop::U(at.0) }
}

/// The section of the second board misses the wood that is left of the first.
pub(super) fn nothing_to_cut(work: &mut Work, joint: usize, asked: &Asked, second: BoardId) {
    let (one, other) = (work.board(asked.first), work.board(second));
    let message = format!(
        "{} crosses {} only where there is no wood, so there is nothing to cut for a {}",
        other.name,
        one.name,
        asked.joint.word()
    );
    let fault = work.fault("joint-does-not-meet", asked, message).propose(
        "take the pair out of this line, or change the corner or the cut-out that clears it".to_string(),
    );
    work.refuse(joint, fault);
}

pub(super) fn fit_too_large(work: &mut Work, joint: usize, asked: &Asked) {
    let message = format!(
        "a fit of {} cannot be given to this joint: its sides run into each other",
        work.tell(asked.fit)
    );
    let fault =
        work.fault("fit-too-large", asked, message).propose("a usual fit is between 0 and 1/64\" (0.4 mm)");
    work.refuse(joint, fault);
}
