//! Which of a pair a part is.

use super::{Made, Part, Placed};
use crate::length::Length;
use crate::trade::Side;

/// Which of a pair a part is: the one that stands further left is the left one, seen from the front of the assembly that it
/// belongs to, however that is turned in the room. Where neither stands further left, they are told apart by their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    Left,
    Right,
    First,
    Second,
}

impl Hand {
    /// True for the one that is named first.
    pub const fn leads(self) -> bool {
        matches!(self, Hand::Left | Hand::First)
    }
}

/// The hand of a part; `None` where it has no mirror image in the job.
pub fn hand(made: &Made, part: &Part) -> Option<Hand> {
    let other = made.parts.get(part.pair?.0)?;
    let left_of = |part: &Part| {
        let spans = part.boards.iter().filter_map(|b| made.placed.get(b.0));
        let from_left = |p: &Placed| {
            let turns = made.job.assemblies.get(p.board.assembly).map_or(0, |a| a.turns);
            let right = Side::Right.turned(turns);
            let span = p.board.span[right.axis().index()];
            if right.is_high() { span.low } else { -span.high }
        };
        spans.map(from_left).min().unwrap_or(Length::ZERO)
    };
    Some(match left_of(part).cmp(&left_of(other)) {
        std::cmp::Ordering::Less => Hand::Left,
        std::cmp::Ordering::Greater => Hand::Right,
        std::cmp::Ordering::Equal if part.mirrored_of.is_some() => Hand::Second,
        std::cmp::Ordering::Equal => Hand::First,
    })
}
