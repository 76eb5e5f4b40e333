//! Rough wood against what is to be made of it; and what reading prices, shares and measures can find.

use super::table::{looked_for, told};
use super::{Row, say};
use crate::diagnose::Severity::Warning;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::parts::Made;

/// What can be found here, and what the values tell of it.
pub(super) const SUPPLY: [Row; 7] = [
    looked_for(
        "rough-too-thin",
        Warning,
        rough_too_thin,
        "The rough wood does not leave the finished thickness once both faces are planed. Judged by the shop's `planing` off each face, else 1/16\" or 1.5 mm (common practice).",
        "Buy the next rough thickness, or make the part thinner.",
    ),
    told(
        "random-width",
        "Random widths are two: the narrowest and the widest board that can be had; a stock that has them has no list of fixed widths.",
        "Write `random_width: [5\", 9\"]`, and leave `widths` out.",
    ),
    told(
        "price-per",
        "Sheet goods are priced by the sheet, solid wood by its measure or its length.",
        "Take a word under `per` that fits the stock, or leave it out.",
    ),
    told(
        "money-notation",
        "A price is whole units and at most two decimals, with a point: a fraction of a cent cannot be paid.",
        "Write `92` or `6.80`.",
    ),
    told(
        "share-out-of-range",
        "A share is larger than any trade asks: tax over 100%, or waste, spares or a margin over 300%.",
        "Look for a missing point or a nought too many.",
    ),
    told("share-notation", "A share is a number with its sign.", "Write `20%` or `8.25%`."),
    told(
        "quantity-notation",
        "An area, a can or a spread is a number with its unit.",
        "Write `10 ft2` or `1 m2`; `1 gal`, `1 qt`, `1 pt`, `2.5 l` or `750 ml`; `350 ft2/gal` or `10 m2/l`.",
    ),
];

/// Stock whose rough thickness is given and does not clean up to the finished one.
fn rough_too_thin(made: &Made, faults: &mut Faults) {
    let planing = made.job.supply.milling.off_each_face(made.job.units);
    for stock in &made.job.stock {
        let Some(supply) = made.job.supply.stock.get(&stock.name) else { continue };
        let Some((rough, called)) = &supply.rough else { continue };
        let left = (*rough - planing * 2).max(Length::ZERO);
        if left >= stock.thick {
            continue;
        }
        let message = format!(
            "{}: {called} leaves {} after {} is planed off each face, but the finished thickness is {}",
            stock.name,
            say(made, left),
            say(made, planing),
            say(made, stock.thick)
        );
        let fault = Diagnostic::warning("rough-too-thin", supply.rough_place, message);
        let wanted = say(made, stock.thick + planing * 2);
        faults.push(
            fault.also(stock.thick_place, "finished thickness").propose(format!(
                "buy it {wanted} thick or more, or say what the shop's `planing` takes off"
            )),
        );
    }
}
