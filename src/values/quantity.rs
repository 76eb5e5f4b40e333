//! Exact values with a dimension. Knows no text of a formula and no place: evaluation words the faults.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub};

use crate::length::notation::tell;
use crate::length::{Length, Units};

/// What a formula gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    Quantity(Quantity),
    Truth(bool),
    /// One of the words of a parameter that is a choice.
    Word(String),
    /// A stock by its name.
    Stock(String),
}

impl Value {
    /// The value with what it is, for messages: `71 1/4" (a length)`.
    pub fn tell(&self, units: Units) -> String {
        format!("{} ({})", self.say(units), self.kind())
    }

    /// What it is, with its article.
    pub fn kind(&self) -> &'static str {
        match self {
            Value::Quantity(quantity) => quantity.dimension.called(),
            Value::Truth(_) => "yes or no",
            Value::Word(_) => "a word",
            Value::Stock(_) => "a stock",
        }
    }

    /// The value alone, for sentences.
    pub fn say(&self, units: Units) -> String {
        match self {
            Value::Quantity(quantity) => quantity.tell(units),
            Value::Truth(true) => "yes".to_string(),
            Value::Truth(false) => "no".to_string(),
            Value::Word(word) => word.clone(),
            Value::Stock(name) => name.clone(),
        }
    }
}

impl From<Length> for Value {
    fn from(length: Length) -> Value {
        Value::Quantity(Quantity::length(length))
    }
}

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dimension {
    /// A plain 0, which fits every dimension.
    Zero,
    Number,
    Length,
    Area,
    Volume,
}

impl Dimension {
    /// With its article, for messages.
    pub const fn called(self) -> &'static str {
        match self {
            Dimension::Zero => "zero",
            Dimension::Number => "a number",
            Dimension::Length => "a length",
            Dimension::Area => "an area",
            Dimension::Volume => "a volume",
        }
    }

    /// Power of the unit of length: 0 for a number (and for zero), 3 for a volume.
    pub const fn power(self) -> i8 {
        match self {
            Dimension::Zero | Dimension::Number => 0,
            Dimension::Length => 1,
            Dimension::Area => 2,
            Dimension::Volume => 3,
        }
    }

    const fn of_power(power: i8) -> Option<Dimension> {
        Some(match power {
            0 => Dimension::Number,
            1 => Dimension::Length,
            2 => Dimension::Area,
            3 => Dimension::Volume,
            _ => return None,
        })
    }

    /// What both measure, zero fitting the other; `None` where they differ.
    pub fn common(self, other: Dimension) -> Option<Dimension> {
        match (self, other) {
            (Dimension::Zero, other) => Some(other),
            (same, Dimension::Zero) => Some(same),
            (same, other) => (same == other).then_some(same),
        }
    }
}

/// Why two quantities cannot be combined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clash {
    /// A length with a number, an area with a length …
    Dimensions,
    /// The result would be beyond a volume, or one over a length.
    NoSuchMeasure,
    DivisionByZero,
    /// A step to round to that is below zero.
    NegativeStep,
    /// More digits than there is room for.
    TooLarge,
}

/// An exact ratio of (1/80 µm) to the power of its dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    amount: Ratio<i128>,
    dimension: Dimension,
}

/// Where a value is put when it is rounded to a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the step at or above.
    Up,
    /// To the step at or below.
    Down,
    /// To the nearest step, halves away from zero.
    Nearest,
}

impl Quantity {
    pub fn length(length: Length) -> Quantity {
        Quantity { amount: Ratio::from_integer(length.units().into()), dimension: Dimension::Length }
    }

    pub fn count(count: i64) -> Quantity {
        Quantity { amount: Ratio::from_integer(count.into()), dimension: Dimension::Number }
    }

    pub fn number(number: Ratio<i128>) -> Quantity {
        Quantity { amount: number, dimension: Dimension::Number }
    }

    /// A plain 0, which fits every dimension.
    pub fn zero() -> Quantity {
        Quantity { amount: Ratio::from_integer(0), dimension: Dimension::Zero }
    }

    /// In whole and broken units of 1/80 µm to the power of the dimension.
    pub fn amount(&self) -> Ratio<i128> {
        self.amount
    }

    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The same, a plain 0 taking the dimension of the other.
    pub(super) fn as_like(&self, other: &Quantity) -> Quantity {
        let dimension = if self.dimension == Dimension::Zero { other.dimension } else { self.dimension };
        Quantity { dimension, ..*self }
    }

    pub fn is_zero(&self) -> bool {
        *self.amount.numer() == 0
    }

    pub fn negated(&self) -> Quantity {
        // `checked` keeps the one number without a negative out.
        Quantity { amount: -self.amount, dimension: self.dimension }
    }

    pub fn plus(&self, other: &Quantity) -> Result<Quantity, Clash> {
        let dimension = self.common(other)?;
        checked(self.amount.checked_add(&other.amount), dimension)
    }

    pub fn minus(&self, other: &Quantity) -> Result<Quantity, Clash> {
        let dimension = self.common(other)?;
        checked(self.amount.checked_sub(&other.amount), dimension)
    }

    pub fn times(&self, other: &Quantity) -> Result<Quantity, Clash> {
        let dimension = if self.dimension == Dimension::Zero || other.dimension == Dimension::Zero {
            Dimension::Zero
        } else {
            let power = self.dimension.power() + other.dimension.power();
            Dimension::of_power(power).ok_or(Clash::NoSuchMeasure)?
        };
        checked(self.amount.checked_mul(&other.amount), dimension)
    }

    pub fn over(&self, other: &Quantity) -> Result<Quantity, Clash> {
        if other.is_zero() {
            return Err(Clash::DivisionByZero);
        }
        let dimension = if self.dimension == Dimension::Zero {
            Dimension::Zero
        } else {
            let power = self.dimension.power() - other.dimension.power();
            Dimension::of_power(power).ok_or(Clash::NoSuchMeasure)?
        };
        checked(self.amount.checked_div(&other.amount), dimension)
    }

    pub fn compared(&self, other: &Quantity) -> Result<std::cmp::Ordering, Clash> {
        self.common(other)?;
        Ok(self.amount.cmp(&other.amount))
    }

    /// The whole multiple of `step` above, below or nearest.
    pub fn to_step(&self, step: &Quantity, rounding: Rounding) -> Result<Quantity, Clash> {
        let dimension = self.common(step)?;
        if step.is_zero() {
            return Err(Clash::DivisionByZero);
        }
        if *step.amount.numer() < 0 {
            return Err(Clash::NegativeStep);
        }
        let steps = self.amount.checked_div(&step.amount).ok_or(Clash::TooLarge)?;
        let whole = match rounding {
            Rounding::Down => floor(steps),
            Rounding::Up => -floor(-steps),
            Rounding::Nearest => nearest(steps).ok_or(Clash::TooLarge)?,
        };
        checked(Ratio::from_integer(whole).checked_mul(&step.amount), dimension)
    }

    /// The length, rounded to the nearest 1/80 µm (halves away from zero); `None` where this is no length, or is
    /// longer than [`Length::LIMIT`]. Zero is a length.
    pub fn to_length(&self) -> Option<Length> {
        if !matches!(self.dimension, Dimension::Length | Dimension::Zero) {
            return None;
        }
        let length = Length::from_units(i64::try_from(nearest(self.amount)?).ok()?);
        (length.abs() <= Length::LIMIT).then_some(length)
    }

    /// The whole number, if it is one.
    pub fn to_whole(&self) -> Option<i64> {
        let number =
            matches!(self.dimension, Dimension::Number | Dimension::Zero) && self.amount.is_integer();
        number.then(|| i64::try_from(*self.amount.numer()).ok())?
    }

    /// The value for a sentence; `about` stands before one that is rounded.
    pub fn tell(&self, units: Units) -> String {
        match self.dimension {
            Dimension::Zero => "0".to_string(),
            Dimension::Number => number(self.amount),
            Dimension::Length => match self.to_length() {
                Some(length) if self.amount.is_integer() => tell(length, units),
                Some(length) => {
                    let told = tell(length, units);
                    if told.starts_with("about") { told } else { format!("about {told}") }
                }
                None => {
                    format!(
                        "about {} km",
                        decimal(self.amount / Ratio::from_integer(i128::from(Length::LIMIT.units())), 1).1
                    )
                }
            },
            Dimension::Area | Dimension::Volume => {
                let power = if self.dimension == Dimension::Area { 2 } else { 3 };
                let one = i128::from(units.one().units()).pow(power);
                let raised = if power == 2 { "²" } else { "³" };
                let Some(amount) = self.amount.checked_div(&Ratio::from_integer(one)) else {
                    return "too much to write".to_string();
                };
                let (exact, digits) = decimal(amount, 4);
                let about = if exact { "" } else { "about " };
                let unit = if units == Units::Inch { "in" } else { "mm" };
                format!("{about}{digits} {unit}{raised}")
            }
        }
    }

    fn common(&self, other: &Quantity) -> Result<Dimension, Clash> {
        self.dimension.common(other.dimension).ok_or(Clash::Dimensions)
    }
}

fn checked(amount: Option<Ratio<i128>>, dimension: Dimension) -> Result<Quantity, Clash> {
    match amount {
        // The smallest i128 has no negative: it counts as too large, so that every value here can be negated.
        Some(amount) if *amount.numer() > i128::MIN => Ok(Quantity { amount, dimension }),
        _ => Err(Clash::TooLarge),
    }
}

fn floor(ratio: Ratio<i128>) -> i128 {
    ratio.numer().div_euclid(*ratio.denom())
}

fn nearest(ratio: Ratio<i128>) -> Option<i128> {
    let size = ratio.numer().checked_abs()?;
    let denom = *ratio.denom();
    // Compare the remainder with what is missing to the next whole: no doubling, no overflow.
    let (whole, rest) = (size / denom, size % denom);
    let whole = if rest >= denom - rest { whole.checked_add(1)? } else { whole };
    Some(if *ratio.numer() < 0 { -whole } else { whole })
}

/// A number for a sentence: whole, a short exact decimal, or a fraction.
fn number(number: Ratio<i128>) -> String {
    let (exact, digits) = decimal(number, 4);
    if exact {
        return digits;
    }
    let sign = if *number.numer() < 0 { "-" } else { "" };
    let (size, denom) = (number.numer().unsigned_abs(), number.denom().unsigned_abs());
    if denom > 9_999 {
        return format!("about {digits}");
    }
    match (size / denom, size % denom) {
        (0, rest) => format!("{sign}{rest}/{denom}"),
        (whole, rest) => format!("{sign}{whole} {rest}/{denom}"),
    }
}

/// Digits with up to `places` decimals, rounded halves away from zero, and whether they are exact. A number too fine
/// or too large for the decimals is given whole.
fn decimal(number: Ratio<i128>, places: u32) -> (bool, String) {
    let scale = 10_i128.pow(places);
    let scaled = number.checked_mul(&Ratio::from_integer(scale));
    let Some((scaled, rounded)) = scaled.and_then(|scaled| Some((scaled, nearest(scaled)?))) else {
        return (number.is_integer(), number.to_integer().to_string());
    };
    let size = rounded.unsigned_abs();
    let scale = scale.unsigned_abs();
    let decimals = format!("{:0>width$}", size % scale, width = places as usize);
    let decimals = decimals.trim_end_matches('0');
    let sign = if rounded < 0 { "-" } else { "" };
    let point = if decimals.is_empty() { "" } else { "." };
    (scaled.is_integer(), format!("{sign}{}{point}{decimals}", size / scale))
}
