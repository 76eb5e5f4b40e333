//! Solid wood whose species is named and in no table: nothing can be said of how it moves, weighs and bends.

use crate::diagnose::{Diagnostic, Faults};
use crate::joints::movement::{Unmoved, species_of};
use crate::parts::Made;

/// Stock that parts are cut from, with a species that no table has.
pub(super) fn unknown(made: &Made, faults: &mut Faults) {
    let used = |index: usize| made.parts.iter().any(|part| part.stock == index);
    for (_, stock) in made.job.stock.iter().enumerate().filter(|(index, _)| used(*index)) {
        if let Err(Unmoved::Unknown(unknown)) = species_of(stock) {
            let message =
                format!("{}: {unknown}; movement, weight and sag of its parts are not checked", stock.name);
            let fault = Diagnostic::warning("species-unknown", stock.place, message);
            faults.push(fault.propose("name a species of the table, or one that behaves alike with `like`"));
        }
    }
}
