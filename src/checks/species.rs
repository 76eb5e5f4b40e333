//! Wood whose species is named and in no table: nothing can be said of how it moves, weighs and bends, or what screws hold in it.

use crate::diagnose::{Diagnostic, Faults};
use crate::joints::movement::{Unmoved, species_of};
use crate::parts::Made;

/// Stock that parts are cut from, and studs, with a species that no table has.
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
    if let Some(studs) = &made.job.service.studs
        && let Err(unknown) = crate::wood::species::find(&studs.text)
    {
        let message = format!("studs: {unknown}; what screws hold in the wall is not checked");
        let fault = Diagnostic::warning("species-unknown", studs.place, message);
        faults.push(fault.propose("name a species of the table; spruce-pine-fir is common"));
    }
}
