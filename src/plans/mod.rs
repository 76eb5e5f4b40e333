//! Plans of the work: parts on sheets and sticks.
//!
//! In: sizes and quantities, and what they are cut from. Out: where each part is cut. Knows no drawing, paper or file.

mod bound;
pub mod nest;
mod random;
pub mod sticks;

use crate::diagnose::Faults;
use crate::parts::Made;

/// Everything that is planned for a job: a field a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plans {}

/// Plans the work of a job. What cannot be planned as asked is a fault, and the rest is planned all the same.
pub fn plan(_made: &Made) -> (Plans, Faults) {
    (Plans {}, Faults::new())
}
