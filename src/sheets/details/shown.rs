//! Whether a view shows a joint: which boards are nearest to the eye round its middle. Takes boards by the boxes that they lie
//! in, as the views' own faces do. Knows no paper.

use super::condition::{Occurs, board_of};
use crate::length::{Interval, Length};
use crate::parts::Placed;
use crate::sheets::assembly::Assembled;
use crate::sheets::bays::Look;
use crate::sheets::cuttings::Cutting;
use crate::trade::{Position, Side};

/// How a view shows a joint, the best last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shows {
    /// The joint lies behind other wood.
    Behind,
    /// Both boards are seen meeting, but from another side than the detail's.
    Aside,
    /// Both are seen meeting, from the detail's side.
    Meeting,
    /// So they are, on a section, which draws them larger.
    OnSection,
    /// The section cuts both.
    Cut,
}

/// How a look at the assembly shows a joint; with a `cutting`, what lies before its plane is taken away. `None` where the
/// joint is taken away itself.
pub fn shows(of: &Assembled, place: &Occurs, look: &Look, cutting: Option<&Cutting>) -> Option<Shows> {
    let axis = look.eye.axis();
    let sign = look.eye.sign();
    let plane = cutting.map(|cutting| cutting.at * sign);
    let is_same = place.axis == axis;
    // The joint is before the plane only where one of its boards is altogether.
    let nearest = |placed: &Placed| look.along(&placed.board.span, look.eye);
    let is_left = |placed: &Placed| plane.is_none_or(|plane| nearest(placed).low < plane);
    let boards =
        [Some(place.first), board_of(place.second)].map(|id| id.and_then(|id| of.made.placed.get(id.0)));
    if boards.iter().flatten().any(|placed| !is_left(placed)) {
        return None;
    }
    let around = window(place, look);
    let touches = |span: &[Interval; 3]| {
        let meets = |side: Side, wanted: Interval| look.along(span, side).shared(wanted).is_some();
        meets(look.right, around[0]) && meets(look.up, around[1])
    };
    let near: Vec<&Placed> =
        of.boards.iter().copied().filter(|b| is_left(b) && touches(&b.board.span)).collect();
    let seen_at = |right: Length, up: Length| -> Vec<&Placed> {
        let holds = |reach: Interval, at: Length| reach.low <= at && at <= reach.high;
        let here = near.iter().copied().filter(|b| {
            holds(look.along(&b.board.span, look.right), right)
                && holds(look.along(&b.board.span, look.up), up)
        });
        let depth = |b: &Placed| plane.map_or(nearest(b).high, |plane| nearest(b).high.min(plane));
        let all: Vec<(Length, &Placed)> = here.map(|b| (depth(b), b)).collect();
        let front = all.iter().map(|(depth, _)| *depth).max();
        all.into_iter().filter(|(depth, _)| Some(*depth) == front).map(|(_, b)| b).collect()
    };
    let mut found = [false, boards[1].is_none()];
    for i in 0..=STEPS {
        for j in 0..=STEPS {
            let at = |range: Interval, step: i64| range.low + range.size().shared_by(STEPS).0 * step;
            for seen in seen_at(at(around[0], i), at(around[1], j)) {
                for (which, board) in boards.iter().enumerate() {
                    found[which] |= board.is_some_and(|board| std::ptr::eq(board, seen));
                }
            }
        }
    }
    let meets = found == [true, true];
    let is_cut = |placed: &Placed| {
        let reach = nearest(placed);
        plane.is_some_and(|plane| reach.low < plane && plane < reach.high)
    };
    match (meets, is_same) {
        (true, true) if cutting.is_some() && boards.iter().flatten().all(|b| is_cut(b)) => Some(Shows::Cut),
        (true, true) if cutting.is_some() => Some(Shows::OnSection),
        (true, true) => Some(Shows::Meeting),
        (true, false) => Some(Shows::Aside),
        (false, true) => Some(Shows::Behind),
        (false, false) => None,
    }
}

/// Points looked at along each way, less one.
const STEPS: i64 = 8;
/// How far round the middle of a joint is looked, at the most and at the least.
const MOST: i64 = 12;
const LEAST: i64 = 2;

/// Right and up of what is looked at round the middle of a joint.
fn window(place: &Occurs, look: &Look) -> [Interval; 2] {
    let reach = Length::from_mm(place.reach).clamp(Length::MM * LEAST, Length::MM * MOST);
    [look.right, look.up].map(|side| {
        let at = along(&place.middle, side);
        Interval::between(at - reach, at + reach)
    })
}

/// A position along a side.
pub fn along(at: &Position, side: Side) -> Length {
    at[side.axis().index()] * side.sign()
}
