//! Stock of a thickness that nobody sells: mostly a number read in the wrong unit.

use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::parts::Made;
use crate::values::{Stock, StockForm};

/// Thinnest that is still a board, and thickest as sold: sheet goods, solid wood (common practice).
const THINNEST_UM: i64 = 1_000;
const THICKEST_SHEET_UM: i64 = 60_000;
const THICKEST_BOARD_UM: i64 = 250_000;
/// The units of a length to a micrometre.
const TO_UM: i64 = 80;

/// Stock that parts are cut from, thinner or thicker than any that is sold.
pub(super) fn unlikely(made: &Made, faults: &mut Faults) {
    let used = |index: usize| made.parts.iter().any(|part| part.stock == index);
    for (_, stock) in made.job.stock.iter().enumerate().filter(|(index, _)| used(*index)) {
        let most = match stock.form {
            StockForm::Sheet { .. } => THICKEST_SHEET_UM,
            StockForm::Solid { .. } => THICKEST_BOARD_UM,
        };
        let least = Length::from_units(THINNEST_UM * TO_UM);
        let most = Length::from_units(most * TO_UM);
        if (least..=most).contains(&stock.thick) {
            continue;
        }
        let message = format!(
            "{} is {} thick; what is sold measures between {} and {}",
            stock.name,
            say(made, stock.thick),
            say(made, least),
            say(made, most)
        );
        faults.push(
            Diagnostic::warning("thickness-unlikely", stock.thick_place, message).propose(cure(stock, least)),
        );
    }
}

/// What was probably meant: the figure in the other unit.
fn cure(stock: &Stock, least: Length) -> &'static str {
    if stock.thick < least {
        "write the unit that is meant, as in 0.709\""
    } else {
        "write the unit that is meant, as in 18 mm"
    }
}
