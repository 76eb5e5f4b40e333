//! What is made in, what is wrong with it out: one function and one row of the table for each finding. Knows no paper and no
//! file, repairs nothing; faults of reading and of joining are told where they are found, and only explained here.

mod capacity;
mod clash;
mod covered;
mod cutting;
mod cutting_planes;
mod fixing;
mod house;
mod likely;
mod loads;
mod measure;
mod meeting;
mod near;
mod nests;
mod passing;
mod placing;
mod routing;
mod runs;
mod shaft;
mod species;
mod supply;
mod table;
mod thickness;

use crate::diagnose::{Faults, Severity};
use crate::length::Length;
use crate::length::notation::tell;
use crate::loads::{Loads, loads};
use crate::parts::Made;

/// One finding that the program can make.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// As it is printed beside the message, and as `explain` takes it.
    pub name: &'static str,
    /// The most it can weigh; a near miss of the same kind may be a warning.
    pub severity: Severity,
    /// What it means, in a sentence or two, with the rule it is judged by.
    pub meaning: &'static str,
    /// What usually cures it.
    pub cure: &'static str,
    /// The check that looks for it in what is made; `None` where an earlier stage tells it.
    pub check: Option<Check>,
}

/// Looks for one finding.
#[derive(Clone, Copy, Debug)]
pub enum Check {
    /// In what is made.
    Made(fn(&Made, &mut Faults)),
    /// In what the wood does in service.
    InService(fn(&Made, &Loads, &mut Faults)),
}

/// Every finding from the first formula on, in the order of the stages; what reading can find is in the room of the spec.
pub fn table() -> impl Iterator<Item = &'static Row> {
    placing::VALUES
        .iter()
        .chain(&placing::BOARDS)
        .chain(&table::JOINTS)
        .chain(&table::CHECKS)
        .chain(&house::HOUSE)
        .chain(&covered::COVERED)
        .chain(&nests::NESTS)
        .chain(&routing::ROUTING)
        .chain(&cutting::CUTTING)
        .chain(&loads::LOADS)
        .chain(&supply::SUPPLY)
        .chain(&likely::LIKELY)
        .chain(&runs::RUNS)
        .chain(&table::REVISING)
}

/// The row of a finding.
pub fn explain(name: &str) -> Option<&'static Row> {
    table().find(|row| row.name == name)
}

/// Looks for everything that can be wrong with what is made, and with what it does in service.
pub fn check(made: &Made) -> Faults {
    check_with(made, &loads(made))
}

/// As [`check`], where it is known already what the wood does in service.
pub fn check_with(made: &Made, loads: &Loads) -> Faults {
    let mut faults = Faults::new();
    for check in table().filter_map(|row| row.check) {
        match check {
            Check::Made(run) => run(made, &mut faults),
            Check::InService(run) => run(made, loads, &mut faults),
        }
    }
    faults
}

/// A length in the unit of the job, for a sentence.
fn say(made: &Made, length: Length) -> String {
    tell(length, made.job.units)
}
