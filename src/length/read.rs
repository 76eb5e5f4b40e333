//! Text in, exact length out.

use num_rational::Ratio;

use super::notation::{NotationError, show_exact};
use super::scan::{Literal, fault, scan};
use super::sign::is_minus;
use super::{Length, Units};

/// Reads a whole text as one length; white space round it is ignored and a sign may stand in front. A bare number is
/// counted in `bare` units.
///
/// # Errors
/// Anything that is not one of the notations, is not a whole number of 1/80 µm, or is longer than [`Length::LIMIT`].
pub fn read(text: &str, bare: Units) -> Result<Length, NotationError> {
    let start = text.len() - text.trim_start().len();
    let body = text.trim();
    let (negative, sign_bytes) = match body.chars().next() {
        None => {
            return fault(0..text.len(), "there is no length here", r#"write one, such as 3/4" or 18 mm"#);
        }
        Some(sign) if is_minus(sign) => (true, sign.len_utf8()),
        Some('+') => (false, 1),
        Some(_) => (false, 0),
    };
    let start = start + sign_bytes;
    let unsigned = &body[sign_bytes..];
    let shift =
        |error: NotationError| NotationError { at: error.at.start + start..error.at.end + start, ..error };
    let scanned = scan(unsigned).map_err(shift)?;
    let rest = &unsigned[scanned.used..];
    if !rest.is_empty() {
        return Err(shift(trailing(unsigned, scanned.used)));
    }
    let length = match scanned.literal {
        Literal::Length(length) => length,
        Literal::Number(number) => on_grid(number, bare.one(), unsigned).map_err(shift)?,
    };
    Ok(if negative { -length } else { length })
}

/// `number` of `one`, if that is a whole number of 1/80 µm and no longer than the limit.
pub(crate) fn on_grid(number: Ratio<i128>, one: Length, text: &str) -> Result<Length, NotationError> {
    // At most 10^24 × 80e6 over 10^12: far inside an i128.
    let units = number * Ratio::from_integer(i128::from(one.units()));
    let too_long = || {
        fault(
            0..text.len(),
            format!("{text} is longer than 1 km, the longest length there is"),
            "check the number and its unit",
        )
    };
    let floor = units.numer().div_euclid(*units.denom());
    let Some(lower) = i64::try_from(floor).ok().map(Length::from_units) else { return too_long() };
    if lower.abs() > Length::LIMIT {
        return too_long();
    }
    if units.is_integer() {
        return Ok(lower);
    }
    let nearest = [lower, lower + Length::from_units(1)].map(|length| show_exact(length, Units::Millimetre));
    fault(
        0..text.len(),
        format!(
            "{text} is not a whole number of 1/80 µm, the finest step (1/128\", 0.001\" and 0.01 mm are); the nearest are {} and {}",
            nearest[0], nearest[1]
        ),
        "write one of the two, or write a division as a formula (1\" / 3), which is rounded to the finest step",
    )
}

/// What stands after a literal that should have been the whole text.
fn trailing(text: &str, used: usize) -> NotationError {
    let (value, rest) = text.split_at(used);
    let at = used..text.len();
    let shown = rest.trim();
    let first = shown.chars().next().unwrap_or(' ');
    let (message, cure) = if first == ',' {
        (
            format!("{text} has a comma"),
            "write the decimal point as a point (18.5) and thousands without a mark (1000)".to_string(),
        )
    } else if is_minus(first) {
        let other = shown.trim_start_matches(is_minus).trim_start();
        (
            format!("{value} is followed by a minus without spaces"),
            format!("write {value} - {other} for a subtraction, or a fraction such as 1-1/4\""),
        )
    } else if first.is_alphabetic() {
        (format!("{shown} is no unit of length"), format!("write {value} in, ft, mm, cm or m"))
    } else if first == '"' || first == '\'' {
        (format!("a space stands before the mark in {text}"), format!("write {value}{shown}"))
    } else {
        (
            format!("{shown} follows {value}, which is a length already"),
            format!("write one length, such as {value}"),
        )
    };
    NotationError { at, message, cure }
}
