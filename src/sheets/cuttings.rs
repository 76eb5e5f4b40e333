//! The planes on which sections of an assembly are cut, with their letters: those that are asked for, else one through the
//! middle of the widest bay. Knows no paper.

use super::assembly::Assembled;
use super::bays::stops;
use super::details::capital;
use crate::length::Length;
use crate::trade::Axis;

/// A plane square to a room axis.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cutting {
    pub letter: String,
    pub axis: Axis,
    /// Room position.
    pub at: Length,
}

/// The planes of an assembly, in the order in which they are asked for.
pub fn cuttings(of: &Assembled) -> Vec<Cutting> {
    let Some(index) = of.index else { return Vec::new() };
    let asked = of.made.job.sheets.sections.iter().filter(|s| s.assembly == index);
    let mut all: Vec<Cutting> = asked
        .enumerate()
        .map(|(i, asked)| Cutting { letter: capital(i), axis: asked.axis, at: asked.at })
        .collect();
    if all.is_empty() {
        all.extend(through_widest(of));
    }
    all
}

/// Where a section tells most: the middle of the widest space between upright boards.
fn through_widest(of: &Assembled) -> Option<Cutting> {
    let [front, ..] = of.looks(true);
    let row = stops(of.made, &of.boards, &of.around, &front, front.right);
    let spaces = row.positions.windows(2).zip(&row.wood).filter(|(_, wood)| !**wood);
    let widest = spaces.map(|(pair, _)| (pair[1] - pair[0], pair[0])).max_by_key(|(size, _)| *size)?;
    let at = widest.1 + widest.0.half();
    Some(Cutting { letter: capital(0), axis: front.right.axis(), at: at * front.right.sign() })
}
