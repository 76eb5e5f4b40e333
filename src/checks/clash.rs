//! The two proofs on the final solids: no two boards share space, and every board is held by something that reaches the
//! floor or the wall. And butts that touch nowhere.

use std::collections::{BTreeMap, BTreeSet};

use crate::boards::{BoardId, Other, Verb};
use crate::checks::{near, say};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::joints::Joint;
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::clash::{Clash, shared_volume};
use crate::trade::{Axis, Side};

/// Two boards claim the same space after all joints.
pub(super) fn clash(made: &Made, faults: &mut Faults) {
    let boxes: Vec<_> = made.placed.iter().map(|placed| placed.solid.extents()).collect();
    let mut joined: BTreeMap<(usize, usize), &Joint> = BTreeMap::new();
    for joint in &made.joints {
        if let Other::Board(second) = joint.second {
            joined.insert((joint.first.0.min(second.0), joint.first.0.max(second.0)), joint);
        }
    }
    for (one, other) in near::pairs(&boxes, -Length::TOUCH) {
        let joint = joined.get(&(one, other)).copied();
        if joint.is_some_and(|joint| joint.refused) {
            continue;
        }
        let (first, second) = (&made.placed[one], &made.placed[other]);
        if let Some(found) = shared_volume(&first.solid, &second.solid) {
            faults.push(clash_of(made, (first, second), joint, &found));
        }
    }
}

fn clash_of(made: &Made, pair: (&Placed, &Placed), joint: Option<&Joint>, clash: &Clash) -> Diagnostic {
    let (one, other) = pair;
    let size = |axis: Axis| say(made, clash.high[axis.index()] - clash.low[axis.index()]);
    let mut message = format!(
        "{} and {} claim the same space: {} across, {} deep, {} up",
        one.board.name,
        other.board.name,
        size(Axis::Across),
        size(Axis::Deep),
        size(Axis::Up)
    );
    if let Some(joint) = joint {
        message.push_str(&format!(", although a {} joins them", joint.verb.word()));
    } else {
        message.push_str(", and no joint says how they meet");
    }
    // The later of the two is more likely the one to move; where a joint failed its line is at fault.
    let place = joint.map_or(other.board.place, |joint| joint.place);
    let mut fault = Diagnostic::error("clash", place, message);
    for placed in [one, other] {
        if placed.board.place != place {
            fault = fault.also(placed.board.place, placed.board.name.clone());
        }
    }
    if joint.is_none() {
        for line in joint_lines(one, other) {
            fault = fault.propose(format!("add to joints: {line}"));
        }
    }
    let least = Axis::ALL
        .into_iter()
        .min_by_key(|axis| clash.high[axis.index()] - clash.low[axis.index()])
        .unwrap_or(Axis::Across);
    let by = clash.high[least.index()] - clash.low[least.index()];
    let (a, b) = (one.board.span[least.index()], other.board.span[least.index()]);
    let side = if a.low + a.high <= b.low + b.high { least.high() } else { least.low() };
    fault.propose(format!("or move {} {} by {}", other.board.name, way(side), say(made, by)))
}

fn way(side: Side) -> String {
    match side {
        Side::Front | Side::Back => format!("to the {}", side.word()),
        Side::Bottom => "down".to_string(),
        Side::Top => "up".to_string(),
        Side::Left | Side::Right => format!("to the {}", side.word()),
    }
}

/// The joint lines that would resolve the overlap of two boards, by how they lie.
fn joint_lines(one: &Placed, other: &Placed) -> Vec<String> {
    let name = |placed: &Placed, beside: &Placed| {
        let name = &placed.board.name;
        if placed.board.assembly != beside.board.assembly {
            return name.clone();
        }
        name.split_once('.').map_or_else(|| name.clone(), |(_, rest)| rest.to_string())
    };
    let (a, b) = (name(one, other), name(other, one));
    let normal = |placed: &Placed| placed.board.frame.into.axis();
    let through = |by: &Placed, wood: &Placed| {
        let axis = normal(wood).index();
        let (reach, thick) = (by.board.span[axis], wood.board.span[axis]);
        reach.low <= thick.low + Length::TOUCH && reach.high >= thick.high - Length::TOUCH
    };
    let mut lines = Vec::new();
    let (b_through_a, a_through_b) = (through(other, one), through(one, other));
    if b_through_a && a_through_b && normal(one) != normal(other) {
        lines.push(format!("{{halve: {a}, with: {b}}}"));
    }
    if b_through_a {
        lines.push(format!("{{notch: {a}, around: {b}}}"));
    } else {
        lines.push(format!("{{house: {b}, in: {a}}}"));
    }
    if a_through_b {
        lines.push(format!("{{notch: {b}, around: {a}}}"));
    } else {
        lines.push(format!("{{house: {a}, in: {b}}}"));
    }
    lines
}

/// Boards that nothing holds: no chain of joints leads from them to the floor or to a wall.
pub(super) fn loose_board(made: &Made, faults: &mut Faults) {
    let count = made.placed.len();
    let mut links: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut held: BTreeSet<usize> = BTreeSet::new();
    for (index, placed) in made.placed.iter().enumerate() {
        let bottom = placed.solid.extents()[Axis::Up.index()].low;
        if placed.board.held_by.is_some() || bottom <= Length::TOUCH {
            held.insert(index);
        }
    }
    for joint in &made.joints {
        match joint.second {
            Other::Board(second) => {
                links[joint.first.0].push(second.0);
                links[second.0].push(joint.first.0);
            }
            Other::Wall | Other::Floor => {
                held.insert(joint.first.0);
            }
        }
    }
    let mut reached = vec![false; count];
    for start in held {
        reach(start, &links, &mut reached);
    }
    for start in 0..count {
        if reached[start] {
            continue;
        }
        let together = reach(start, &links, &mut reached);
        let board = &made.placed[start].board;
        let message = match together.len() {
            0 | 1 => format!("nothing holds {}: no joint of it leads to the floor or a wall", board.name),
            2 => format!(
                "nothing holds {} and {}: no joint of theirs leads to the floor or a wall",
                board.name, made.placed[together[1]].board.name
            ),
            more => format!(
                "nothing holds {} and the {} boards joined to it: none of their joints leads to the floor or a wall",
                board.name,
                more - 1
            ),
        };
        faults.push(
            Diagnostic::error("loose-board", board.place, message)
                .propose("add a joint to a board that stands on the floor, as in {butt: ..., against: ...}")
                .propose("or write held_by: wall where the house holds it"),
        );
    }
}

/// Marks all boards that can be reached from `start` and gives them, the start first.
fn reach(start: usize, links: &[Vec<usize>], reached: &mut [bool]) -> Vec<usize> {
    let mut together = Vec::new();
    let mut open = vec![start];
    while let Some(here) = open.pop() {
        if std::mem::replace(&mut reached[here], true) {
            continue;
        }
        together.push(here);
        open.extend(links[here].iter().copied().filter(|next| !reached[*next]));
    }
    together
}

/// Butts whose faces lie in one plane but share no area: corners, arches or cut-outs have taken it.
pub(super) fn gap_at_butt(made: &Made, faults: &mut Faults) {
    let mut told: BTreeSet<(Place, BoardId, BoardId)> = BTreeSet::new();
    for joint in made.joints.iter().filter(|joint| joint.verb == Verb::Butt && !joint.refused) {
        let Other::Board(second) = joint.second else { continue };
        if !joint.contact.is_empty() || !told.insert((joint.place, joint.first, second)) {
            continue;
        }
        let (one, other) = (&made.placed[joint.first.0], &made.placed[second.0]);
        let gap = Axis::ALL
            .into_iter()
            .map(|axis| apart(one.board.span[axis.index()], other.board.span[axis.index()]))
            .max()
            .unwrap_or_default();
        let message = format!(
            "{} and {} are to butt but touch nowhere: what is left of them after corners, cut-outs and other joints leaves {} or more between them",
            one.board.name,
            other.board.name,
            say(made, gap.max(Length::ZERO))
        );
        faults.push(
            Diagnostic::error("gap-at-butt", joint.place, message)
                .also(one.board.place, one.board.name.clone())
                .also(other.board.place, other.board.name.clone())
                .propose("take the pair out of this line, or leave wood where the two meet"),
        );
    }
}

fn apart(one: Interval, other: Interval) -> Length {
    (one.low - other.high).max(other.low - one.high)
}
