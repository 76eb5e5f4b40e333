//! Boards: from real YAML to placed boards, and every fault on the way.

mod faults;
mod placed;
mod shaped;
mod spacing;

use std::collections::BTreeMap;

use tickstick::boards::{Board, Boards, place};
use tickstick::diagnose::{Diagnostic, Faults};
use tickstick::length::notation::read as read_length;
use tickstick::length::{Length, Units};
use tickstick::spec::{SourceError, Sources, read};
use tickstick::trade::Axis;

/// Texts in memory: `job.yaml` and what it includes.
struct Texts(BTreeMap<&'static str, String>);

impl Sources for Texts {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        self.0.get(path).cloned().ok_or(SourceError::NotFound)
    }
}

/// What a spec comes to, and all that is wrong with it.
pub fn laid(yaml: &str) -> (Boards, Vec<Diagnostic>) {
    laid_with(yaml, &[])
}

/// The same with settings from the command line.
pub fn laid_with(yaml: &str, set: &[(&str, &str)]) -> (Boards, Vec<Diagnostic>) {
    let shop = include_str!("../samples/shop.yaml").to_owned();
    let texts = Texts(BTreeMap::from([("job.yaml", yaml.to_owned()), ("shop.yaml", shop)]));
    let set: Vec<(String, String)> = set.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
    let (loaded, reading) = read(&texts, "job.yaml", &set);
    let (boards, placing) = place(&loaded.spec);
    let mut faults = Faults::new();
    faults.extend(reading.into_sorted());
    faults.extend(placing.into_sorted());
    (boards, faults.into_sorted())
}

/// What a spec without fault comes to.
pub fn good(yaml: &str) -> Boards {
    let (boards, faults) = laid(yaml);
    assert!(faults.is_empty(), "{faults:#?}");
    boards
}

/// Messages of all that is wrong.
pub fn messages(yaml: &str) -> Vec<String> {
    laid(yaml).1.into_iter().map(|fault| fault.message).collect()
}

/// A length as the trade writes it, inches where nothing is said.
pub fn length(text: &str) -> Length {
    read_length(text, Units::Inch).unwrap()
}

pub fn board<'b>(boards: &'b Boards, name: &str) -> &'b Board {
    boards.boards.iter().find(|board| board.name == name).unwrap_or_else(|| panic!("no board {name}"))
}

/// Low and high position along an axis.
pub fn along(board: &Board, axis: Axis) -> (Length, Length) {
    let interval = board.span[axis.index()];
    (interval.low, interval.high)
}
