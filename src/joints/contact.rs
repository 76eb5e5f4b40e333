//! Where joined boards touch: the true areas after all cuts, as rectangles in the room.

use crate::boards::{Asked, BoardId, Other, Verb};
use crate::joints::ContactArea;
use crate::joints::meet::Matched;
use crate::joints::work::Work;
use crate::length::{Interval, Length};
use crate::trade::{Axis, Side};

/// A butt whose boards share wood instead of touching.
pub(super) fn overlap_at_butt(work: &mut Work, joint: usize, asked: &Asked, second: BoardId, shared: &[Interval; 3]) {
    let (one, other) = (work.board(asked.first), work.board(second));
    let least = Axis::ALL.into_iter().min_by_key(|axis| shared[axis.index()].size()).unwrap_or(Axis::Across);
    let by = shared[least.index()].size();
    // The side of the first that reaches into the second.
    let (a, b) = (one.span[least.index()], other.span[least.index()]);
    let side = if a.low + a.high < b.low + b.high { least.high() } else { least.low() };
    let end = if side.is_high() { a.high - by } else { a.low + by };
    let message = format!(
        "{} and {} are to butt but overlap by {}: the {} of {} lies that far inside {}",
        one.name,
        other.name,
        work.tell(by),
        side.word(),
        one.name,
        other.name
    );
    let fault = work
        .fault("gap-at-butt", asked, message)
        .propose(format!("put the {} of {} at {} in the room", side.word(), one.name, work.tell(end)))
        .propose(format!(
            "or write {{house: {}, in: {}}} for a housing {} deep",
            super::meet::entry(one, other),
            super::meet::entry(other, one),
            work.tell(by)
        ));
    work.refuse(joint, fault);
}
