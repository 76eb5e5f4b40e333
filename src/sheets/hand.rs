//! Which of a pair a part is: the one that stands further left in place is the left one.

use crate::length::Length;
use crate::parts::{Made, Part, Placed};
use crate::trade::Side;

/// The hand of a part in capitals; `None` where it has no mirror image in the job.
pub fn hand(made: &Made, part: &Part) -> Option<&'static str> {
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
        std::cmp::Ordering::Less => "LEFT OF PAIR",
        std::cmp::Ordering::Greater => "RIGHT OF PAIR",
        std::cmp::Ordering::Equal if part.mirrored_of.is_some() => "SECOND OF PAIR",
        std::cmp::Ordering::Equal => "FIRST OF PAIR",
    })
}
