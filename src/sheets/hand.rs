//! Which of a pair a part is, in the words of a sheet.

use crate::parts::{Hand, Made, Part};

/// The hand of a part in capitals; `None` where it has no mirror image in the job.
pub fn hand(made: &Made, part: &Part) -> Option<&'static str> {
    crate::parts::hand(made, part).map(|hand| match hand {
        Hand::Left => "LEFT OF PAIR",
        Hand::Right => "RIGHT OF PAIR",
        Hand::First => "FIRST OF PAIR",
        Hand::Second => "SECOND OF PAIR",
    })
}
