//! Plans of the work: parts on sheets and sticks.
//!
//! In: sizes and quantities, and what they are cut from. Out: where each part is cut. Knows no drawing, paper or file.

pub mod boards;
mod bound;
pub mod buying;
pub mod lanes;
pub mod nest;
pub mod nests;
mod packing;
pub mod quantity;
mod random;
pub mod settings;
pub mod sticks;

use crate::diagnose::Faults;
use crate::jigs::{Jig, jigs};
use crate::loads::Loads;
use crate::parts::Made;

/// Everything that is planned for a job: a field a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plans {
    /// Layouts of sheet goods, a stock each, in the order of the job's stock.
    pub nests: Vec<nests::Nest>,
    /// What the wood does in service.
    pub loads: Loads,
    /// Boards and sticks for solid wood, a stock each.
    pub boards: Vec<boards::BoardPlan>,
    /// Settings of every machine, in order.
    pub settings: settings::Settings,
    /// Router templates that the spec asks for.
    pub jigs: Vec<Jig>,
    /// What has to be bought.
    pub buying: buying::Buying,
}

/// Plans the work of a job. What cannot be planned as asked is a fault, and the rest is planned all the same.
pub fn plan(made: &Made) -> (Plans, Faults) {
    plan_with(made, crate::loads::loads(made))
}

/// As [`plan`], where it is known already what the wood does in service.
pub fn plan_with(made: &Made, loads: Loads) -> (Plans, Faults) {
    let mut faults = Faults::new();
    let nests = nests::nests(made, &mut faults);
    let boards = boards::plan(made);
    let settings = settings::plan(made, &boards, &nests);
    let buying = buying::plan(made, &boards, &nests);
    let (jigs, found) = jigs(made);
    faults.extend(found);
    (Plans { nests, loads, boards, settings, jigs, buying }, faults)
}
