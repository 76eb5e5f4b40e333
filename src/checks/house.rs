//! What is to be fixed to the wall or the floor, and does not reach it. The floor is at zero of the room; the wall is where
//! the assembly ends on that side.

use super::{Row, say, table::looked_for};
use crate::boards::Other;
use crate::diagnose::{Diagnostic, Faults, Severity};
use crate::joints::{Fixing, Joint};
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::trade::{Axis, Side};

pub(super) const HOUSE: [Row; 1] = [looked_for(
    "gap-at-house",
    Severity::Error,
    not_reached,
    "A board that is fixed to the floor ends above or below it, or one that is fixed to the wall ends short of what else of its assembly stands at that wall, which is a warning: air there, or another board, takes from what its fixings hold.",
    "Move the board to the floor or the wall, or fix it to what it stands on.",
)];

fn not_reached(made: &Made, faults: &mut Faults) {
    for (index, joint) in made.joints.iter().enumerate().filter(|(_, joint)| !joint.refused) {
        let Some(placed) = made.placed.get(joint.first.0) else { continue };
        match joint.second {
            Other::Floor => faults.extend(above_the_floor(made, joint, placed)),
            Other::Wall => faults.extend(short_of_the_wall(made, index, joint, placed)),
            Other::Board(_) => {}
        }
    }
}

fn above_the_floor(made: &Made, joint: &Joint, placed: &Placed) -> Option<Diagnostic> {
    let low = placed.board.span[Axis::Up.index()].low;
    if low.abs() <= Length::TOUCH {
        return None;
    }
    let name = &placed.board.name;
    let word = if low.is_positive() { "above" } else { "below" };
    let message =
        format!("{name} is fixed to the floor, but its bottom lies {} {word} it", say(made, low.abs()));
    let fault = Diagnostic::error("gap-at-house", joint.place, message);
    Some(fault.also(placed.board.place, name.clone()).propose(format!(
        "move the bottom of {name} to the floor, which is 0 in the room, or fix it to the board that it stands on"
    )))
}

fn short_of_the_wall(made: &Made, index: usize, joint: &Joint, placed: &Placed) -> Option<Diagnostic> {
    let fixings: Vec<&Fixing> =
        made.fixings.iter().filter(|f| f.joint == index && f.into == Other::Wall).collect();
    let first = fixings.first()?;
    let axis = Axis::ALL.into_iter().find(|axis| first.direction[axis.index()].abs() > 0.99)?;
    let side = if first.direction[axis.index()] > 0.0 { axis.high() } else { axis.low() };
    let reach = |other: &Placed| outer(other.board.span[axis.index()], side);
    let own = reach(placed);
    let others = made.placed.iter().filter(|other| other.board.assembly == placed.board.assembly);
    let furthest =
        others.clone().max_by(|a, b| reach(a).cmp(&reach(b)).then(b.board.name.cmp(&a.board.name)))?;
    let gap = reach(furthest) - own;
    if gap <= Length::TOUCH {
        return None;
    }
    let crossed = |other: &&Placed| {
        reach(other) - own > Length::TOUCH
            && fixings.iter().any(|fixing| {
                let across = Axis::ALL.into_iter().filter(|other| *other != axis).map(Axis::index);
                across.into_iter().all(|i| other.board.span[i].contains(fixing.head[i]))
            })
    };
    let name = &placed.board.name;
    let gap = say(made, gap);
    let between = others.clone().find(crossed);
    let told = between.unwrap_or(furthest);
    let fault = match between {
        Some(board) => Diagnostic::warning(
            "gap-at-house",
            joint.place,
            format!(
                "{} lies between {name} and the wall, {gap} in all: the fixings go so much less deep into the wall, and {} is not bored for them",
                board.board.name, board.board.name
            ),
        )
        .propose(format!("let {name} reach the wall, or take fixings that are {gap} longer and bore through both")),
        None => Diagnostic::warning(
            "gap-at-house",
            joint.place,
            format!(
                "{name} is fixed to the wall at its {}, but {} reaches {gap} further that way: there is air between {name} and the wall",
                side.word(),
                furthest.board.name
            ),
        )
        .propose(format!("move the {} of {name} by {gap}, or put a block between it and the wall", side.word())),
    };
    Some(fault.also(told.board.place, told.board.name.clone()))
}

/// How far a board reaches towards a side; more is further.
fn outer(span: Interval, side: Side) -> Length {
    if side.is_high() { span.high } else { -span.low }
}
