//! Stock of a thickness that nobody sells: mostly a number read in the wrong unit.

use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::parts::Made;
use crate::values::{Stock, StockForm};

/// Thinnest that is still a board, and thickest as sold: sheet goods, solid wood (common practice).
const THINNEST: Length = Length::MM;
const THICKEST_SHEET: Length = Length::from_units(Length::MM.units() * 60);
const THICKEST_BOARD: Length = Length::from_units(Length::MM.units() * 250);

/// Stock that parts are cut from, thinner or thicker than any that is sold.
pub(super) fn unlikely(made: &Made, faults: &mut Faults) {
    let used = |index: usize| made.parts.iter().any(|part| part.stock == index);
    for (_, stock) in made.job.stock.iter().enumerate().filter(|(index, _)| used(*index)) {
        let most = match stock.form {
            StockForm::Sheet { .. } => THICKEST_SHEET,
            StockForm::Solid { .. } => THICKEST_BOARD,
        };
        if (THINNEST..=most).contains(&stock.thick) {
            continue;
        }
        let message = format!(
            "{} is {} thick; what is sold measures between {} and {}",
            stock.name,
            say(made, stock.thick),
            say(made, THINNEST),
            say(made, most)
        );
        faults
            .push(Diagnostic::warning("thickness-unlikely", stock.thick_place, message).propose(cure(stock)));
    }
}

/// What was probably meant: the figure in the other unit.
fn cure(stock: &Stock) -> &'static str {
    if stock.thick < THINNEST {
        "write the unit that is meant, as in 0.709\""
    } else {
        "write the unit that is meant, as in 18 mm"
    }
}
