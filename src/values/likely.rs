//! Figures of the shop that can be worked out, but that no shop has: told as a warning, and taken as given.

use super::solver::Solver;
use crate::diagnose::{Diagnostic, Place};
use crate::length::Length;
use crate::length::notation::tell;
use crate::spec::read::Formula;

/// Widest cut of a saw or of a bit that cuts parts off a sheet: 1/2" (common practice; a full-kerf blade cuts 1/8").
const WIDEST_KERF: Length = Length::from_units(Length::INCH.units() / 2);
/// The narrowest jointer that is made: 4" (from memory).
const NARROWEST: Length = Length::from_units(Length::INCH.units() * 4);
/// The largest guide collar that is commonly made: 2" outside (from memory).
const LARGEST_COLLAR: Length = Length::from_units(Length::INCH.units() * 2);

/// A kerf that no blade cuts.
pub(super) fn kerf(solver: &mut Solver, kerf: Option<Length>, given: Option<&Formula>) {
    let (Some(kerf), Some(given)) = (kerf, given) else { return };
    if kerf <= WIDEST_KERF {
        return;
    }
    let units = solver.units;
    let message =
        format!("a kerf of {} is wider than any blade cuts; parts are laid so far apart", tell(kerf, units));
    let usual = crate::values::nesting::usual_kerf(units);
    solver.faults.push(
        Diagnostic::warning("kerf-unlikely", given.place, message)
            .propose(format!("measure the blade's cut; the usual is {}", tell(usual, units))),
    );
}

/// A jointer or planer narrower than any that is made: every piece would count as too wide for it.
pub(super) fn machine(solver: &mut Solver, what: &str, width: Option<Length>, given: Option<&Formula>) {
    let (Some(width), Some(given)) = (width, given) else { return };
    if width >= NARROWEST {
        return;
    }
    let units = solver.units;
    let message = format!(
        "a {what} {} wide is narrower than any that is made; pieces would be glued up or flattened by hand for it",
        tell(width, units)
    );
    solver.faults.push(Diagnostic::warning("machine-unlikely", given.place, message).propose(format!(
        "give the width that it planes, such as {}, or leave `{what}` out",
        tell(NARROWEST * 2, units)
    )));
}

/// Sides of the least offcut in the wrong order.
pub(super) fn offcut_sides(solver: &mut Solver, [short, long]: [Length; 2], place: Place) {
    if short <= long {
        return;
    }
    let told = |length| tell(length, solver.units);
    let message = format!(
        "keep_offcut gives its long side first: it is taken as at least {} on its short side and {} on its long one",
        told(long),
        told(short)
    );
    let cure = format!("write `keep_offcut: [{}, {}]`", told(long), told(short));
    solver.faults.push(Diagnostic::warning("offcut-sides-swapped", place, message).propose(cure));
}

/// A collar that is larger than the usual, where the shop lists none to hold it against.
pub(super) fn collar(outside: Length, place: Place, units: crate::length::Units) -> Option<Diagnostic> {
    let message = format!(
        "a collar of {} outside is larger than any that is common, and the shop lists no collars that it could be held against",
        tell(outside, units)
    );
    let cure =
        format!("measure it, and list it: `collars: [{{outside: {}, stands_out: …}}]`", tell(outside, units));
    (outside > LARGEST_COLLAR).then(|| Diagnostic::warning("collar-unlikely", place, message).propose(cure))
}
