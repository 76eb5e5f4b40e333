//! What a board rests on, from where the placed boards lie: uprights below it, beside its ends, or in which it is housed;
//! through strips that lie flat between, to what bears those.

use crate::boards::BoardId;
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::trade::Axis;

/// A place of support: what of the board's plan it covers, and what bears there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Support {
    /// Left to right, front to back.
    pub plan: [Interval; 2],
    pub name: String,
}

/// Ends that come so near to an upright stand on pins or cleats at it: 1/8" (common practice for shelves that can be moved).
const NEAR: Length = Length::from_units(Length::INCH.units() / 8);

/// Strips that lie on strips are followed so deep.
const DEEPEST: usize = 3;

pub(super) fn supports(made: &Made, id: BoardId) -> Vec<Support> {
    find(made, id, DEEPEST)
}

fn find(made: &Made, id: BoardId, depth: usize) -> Vec<Support> {
    let Some(own) = made.placed.get(id.0) else { return Vec::new() };
    let mut all = Vec::new();
    for (index, other) in made.placed.iter().enumerate().filter(|(index, _)| *index != id.0) {
        let lies = other.solid.normal() == Axis::Up;
        match meets(own, other) {
            // What lies on the floor, or is held there or at a wall, bears by itself.
            Some(Meets::Below(plan)) if bears_itself(other) => {
                all.push(Support { plan, name: other.board.name.clone() });
            }
            Some(Meets::Below(plan)) if lies => {
                if depth == 0 {
                    continue;
                }
                // A strip bears only where it is borne itself.
                for below in find(made, BoardId(index), depth - 1) {
                    let shared = [0, 1].map(|axis| below.plan[axis].shared(plan[axis]));
                    if let [Some(across), Some(deep)] = shared {
                        all.push(Support { plan: [across, deep], name: below.name });
                    }
                }
            }
            Some(Meets::Below(plan) | Meets::Beside(plan)) if !lies => {
                all.push(Support { plan, name: other.board.name.clone() });
            }
            _ => {}
        }
    }
    all
}

fn bears_itself(placed: &Placed) -> bool {
    let low = placed.board.span[Axis::Up.index()].low;
    placed.board.held_by.is_some() || low.abs() <= Length::TOUCH
}

enum Meets {
    Below([Interval; 2]),
    Beside([Interval; 2]),
}

fn meets(own: &Placed, other: &Placed) -> Option<Meets> {
    let (one, two) = (&own.board.span, &other.board.span);
    let up = Axis::Up.index();
    let shared = |axis: usize| one[axis].shared(two[axis]).filter(|shared| shared.size() > Length::TOUCH);
    if let [Some(across), Some(deep)] = [shared(0), shared(1)] {
        if (one[up].low - two[up].high).abs() <= Length::TOUCH {
            return Some(Meets::Below([across, deep]));
        }
        // Housed or notched into it.
        return shared(up).map(|_| Meets::Beside([across, deep]));
    }
    shared(up)?;
    for (axis, rest) in [(0, 1), (1, 0)] {
        let Some(along) = shared(rest) else { continue };
        let (gap, at) = if two[axis].low >= one[axis].high - Length::TOUCH {
            (two[axis].low - one[axis].high, one[axis].high)
        } else {
            (one[axis].low - two[axis].high, one[axis].low)
        };
        if gap <= NEAR {
            let face = Interval { low: at, high: at };
            let plan = if axis == 0 { [face, along] } else { [along, face] };
            return Some(Meets::Beside(plan));
        }
    }
    None
}

/// The widest clear distance between supports along one way of the plan (0 across, 1 deep), with the names of what bears.
/// Judged in three strips side by side, those without a support left out; `None` where no strip has two supports, zero where
/// they bear without a gap.
pub(super) fn clear(whole: [Interval; 2], supports: &[Support], along: usize) -> Option<Length> {
    let beside = whole[1 - along];
    let third = beside.size().shared_by(3).0;
    let mut widest: Option<Length> = None;
    for strip in 0..3 {
        let low = beside.low + third * strip;
        let strip = Interval { low, high: low + third };
        let mut bears: Vec<Interval> = (supports.iter())
            .filter(|support| {
                let here = support.plan[1 - along];
                here.low <= strip.high && strip.low <= here.high
            })
            .map(|support| support.plan[along])
            .collect();
        bears.sort_by_key(|bears| (bears.low, bears.high));
        let Some(first) = bears.first() else { continue };
        let (mut reached, mut gap) = (first.high, Length::ZERO);
        let begins = first.low;
        for next in &bears {
            gap = gap.max(next.low - reached);
            reached = reached.max(next.high);
        }
        // One support in the middle, or a row at one edge only, is a cantilever and no span.
        let reach = reached - begins;
        if gap > Length::TOUCH || reach * 10 >= whole[along].size() * 9 {
            widest = Some(widest.map_or(gap, |known| known.max(gap)));
        }
    }
    widest
}
