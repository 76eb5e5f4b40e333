//! A value into what a key of the spec wants, or the fault that says what it is instead.

use num_rational::Ratio;

use super::formula::{Dimension, Expr, Quantity, Value};
use crate::diagnose::Diagnostic;
use crate::length::notation::on_grid;
use crate::length::{Length, Units};

/// The length, rounded to the nearest 1/80 µm where a division left less. A formula that is nothing but a number
/// counts `bare` units; a plain 0 is a length.
///
/// # Errors
/// `wrong-kind` for anything else, `length-notation` for a bare number that is off the grid, `number-too-large` beyond
/// [`Length::LIMIT`].
pub fn as_length(value: &Value, expr: &Expr, bare: Units) -> Result<Length, Diagnostic> {
    if let Some(number) = expr.bare_number() {
        return on_grid(number, bare.one(), expr.text().trim()).map_err(|error| {
            Diagnostic::error("length-notation", expr.place(), error.message).propose(error.cure)
        });
    }
    let quantity = match value {
        Value::Quantity(quantity) if matches!(quantity.dimension(), Dimension::Length | Dimension::Zero) => {
            quantity
        }
        _ => {
            let is_number =
                matches!(value, Value::Quantity(quantity) if quantity.dimension() == Dimension::Number);
            let one = if bare == Units::Inch { "1\"" } else { "1 mm" };
            let cure = match expr.bare_name() {
                Some(name) if is_number => format!("give it a unit: {name} * {one}"),
                None if is_number => format!("give it a unit: ({}) * {one}", expr.text().trim()),
                _ => "write a length, such as 3/4\" or 18 mm".to_string(),
            };
            return Err(wrong(value, expr, bare, "a length").propose(cure));
        }
    };
    quantity.to_length().ok_or_else(|| {
        let message = format!(
            "{} is {}, longer than 1 km, the longest length there is",
            expr.text(),
            quantity.tell(bare)
        );
        Diagnostic::error("number-too-large", expr.place(), message)
            .propose("check the numbers for a slip of the pen")
    })
}

/// Any quantity.
///
/// # Errors
/// `wrong-kind` for a word, a stock, or yes and no.
pub fn as_quantity(value: &Value, expr: &Expr) -> Result<Quantity, Diagnostic> {
    match value {
        Value::Quantity(quantity) => Ok(*quantity),
        _ => {
            Err(wrong(value, expr, Units::Inch, "a length or a number").propose("write a length or a number"))
        }
    }
}

/// A pure number.
///
/// # Errors
/// `wrong-kind` for anything else.
pub fn as_number(value: &Value, expr: &Expr) -> Result<Ratio<i128>, Diagnostic> {
    match value {
        Value::Quantity(quantity) if matches!(quantity.dimension(), Dimension::Number | Dimension::Zero) => {
            Ok(quantity.amount())
        }
        _ => Err(wrong(value, expr, Units::Inch, "a number")
            .propose("write a number without a unit, or divide by a length")),
    }
}

/// A whole number of either sign.
///
/// # Errors
/// `wrong-kind` for anything but a number, `not-a-whole-number` for a broken one.
pub fn as_whole(value: &Value, expr: &Expr) -> Result<i64, Diagnostic> {
    let number = as_number(value, expr)?;
    Quantity::number(number).to_whole().ok_or_else(|| {
        let message = format!(
            "a whole number is wanted, but {} is {}",
            expr.text(),
            Quantity::number(number).tell(Units::Inch)
        );
        Diagnostic::error("not-a-whole-number", expr.place(), message)
            .propose(format!("round it: round_down({})", expr.text()))
    })
}

/// A whole number, zero or more.
///
/// # Errors
/// As [`as_whole`], and `negative-count`.
pub fn as_count(value: &Value, expr: &Expr) -> Result<i64, Diagnostic> {
    let count = as_whole(value, expr)?;
    if count >= 0 {
        return Ok(count);
    }
    let message = format!("a count is 0 or more, but {} is {count}", expr.text());
    Err(Diagnostic::error("negative-count", expr.place(), message)
        .propose(format!("keep it from falling below 0: max({}, 0)", expr.text())))
}

/// Yes or no.
///
/// # Errors
/// `wrong-kind` for anything else.
pub fn as_truth(value: &Value, expr: &Expr) -> Result<bool, Diagnostic> {
    match value {
        Value::Truth(truth) => Ok(*truth),
        _ => Err(wrong(value, expr, Units::Inch, "yes or no")
            .propose("write yes, no, or a comparison such as bay >= 12\"")),
    }
}

/// The word of a choice.
///
/// # Errors
/// `wrong-kind` for anything else.
pub fn as_word<'v>(value: &'v Value, expr: &Expr) -> Result<&'v str, Diagnostic> {
    match value {
        Value::Word(word) => Ok(word),
        _ => Err(wrong(value, expr, Units::Inch, "a word").propose("write one of the words to choose from")),
    }
}

/// The name of a stock.
///
/// # Errors
/// `wrong-kind` for anything else.
pub fn as_stock<'v>(value: &'v Value, expr: &Expr) -> Result<&'v str, Diagnostic> {
    match value {
        Value::Stock(name) => Ok(name),
        _ => Err(wrong(value, expr, Units::Inch, "a stock").propose("write the name of a stock")),
    }
}

fn wrong(value: &Value, expr: &Expr, units: Units, wanted: &str) -> Diagnostic {
    let message = format!("{wanted} is wanted here, but {} is {}", expr.text().trim(), value.tell(units));
    Diagnostic::error("wrong-kind", expr.place(), message)
}
