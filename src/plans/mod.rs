//! Plans of the work: parts on sheets and sticks.
//!
//! In: sizes and quantities, and what they are cut from. Out: where each part is cut. Knows no drawing, paper or file.

mod bound;
pub mod nest;
pub mod nests;
mod random;
pub mod sticks;

use crate::diagnose::Faults;
use crate::loads::Loads;
use crate::parts::Made;

/// Everything that is planned for a job: a field a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plans {
    /// Layouts of sheet goods, a stock each, in the order of the job's stock.
    pub nests: Vec<nests::Nest>,
    /// What the wood does in service.
    pub loads: Loads,
}

/// Plans the work of a job. What cannot be planned as asked is a fault, and the rest is planned all the same.
pub fn plan(made: &Made) -> (Plans, Faults) {
    let mut faults = Faults::new();
    let nests = nests::nests(made, &mut faults);
    (Plans { nests, loads: crate::loads::loads(made) }, faults)
}
