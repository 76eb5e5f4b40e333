//! The scanner: takes one literal from the front of a text, so that formulas read lengths by the same rules as plain
//! values.

use std::ops::Range;

use num_rational::Ratio;

use super::Length;
use super::notation::NotationError;
use super::read::on_grid;
use super::sign::{begins_number, is_foot_mark, is_minus, is_stroke, vulgar};

/// What [`scan`] found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Literal {
    /// A number without a unit.
    Number(Ratio<i128>),
    /// A number with a unit, exactly on the grid.
    Length(Length),
}

/// One literal at the front of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scanned {
    pub literal: Literal,
    /// Bytes taken.
    pub used: usize,
    /// True for a plain fraction such as `3/4"`, which a division in front of it would make ambiguous.
    pub plain_fraction: bool,
}

/// More digits than any length on the grid can need; keeps every product inside an `i128`.
const MOST_DIGITS: usize = 12;

/// Takes one literal from the front of `text`: a number, a fraction, a mixed number, with or without a unit, or feet
/// and inches. No sign and no white space in front.
///
/// # Errors
/// As [`read`]; ranges count from the start of `text`.
pub fn scan(text: &str) -> Result<Scanned, NotationError> {
    let mut cursor = Cursor { text, at: 0 };
    let first = cursor.number()?;
    let used_by_number = cursor.at;
    let Some(unit) = cursor.unit()? else {
        return Ok(Scanned {
            literal: Literal::Number(first.value),
            used: used_by_number,
            plain_fraction: first.form == Form::Fraction,
        });
    };
    let length = match unit {
        Unit::Foot => cursor.inches_after(first)?,
        other => on_grid(first.value, other.one(), &text[..cursor.at])?,
    };
    cursor.nothing_glued_on(unit)?;
    let plain_fraction = first.form == Form::Fraction;
    Ok(Scanned { literal: Literal::Length(length), used: cursor.at, plain_fraction })
}

pub(super) fn fault<T>(
    at: Range<usize>,
    message: impl Into<String>,
    cure: impl Into<String>,
) -> Result<T, NotationError> {
    Err(NotationError { at, message: message.into(), cure: cure.into() })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    Inch,
    Foot,
    Millimetre,
    Centimetre,
    Metre,
}

impl Unit {
    fn of_word(word: &str) -> Option<Unit> {
        Some(match word.to_ascii_lowercase().as_str() {
            "in" | "inch" | "inches" => Unit::Inch,
            "ft" | "foot" | "feet" => Unit::Foot,
            "mm" => Unit::Millimetre,
            "cm" => Unit::Centimetre,
            "m" => Unit::Metre,
            _ => return None,
        })
    }

    fn one(self) -> Length {
        match self {
            Unit::Inch => Length::INCH,
            Unit::Foot => Length::INCH * 12,
            Unit::Millimetre => Length::MM,
            Unit::Centimetre => Length::MM * 10,
            Unit::Metre => Length::MM * 1_000,
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Whole,
    Decimal,
    Fraction,
    Mixed,
}

#[derive(Clone, Copy)]
struct Number {
    value: Ratio<i128>,
    form: Form,
}

#[derive(Clone, Copy)]
struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Cursor<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn take_if(&mut self, wanted: impl Fn(char) -> bool) -> Option<char> {
        let next = self.peek().filter(|next| wanted(*next))?;
        self.at += next.len_utf8();
        Some(next)
    }

    fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &'a str {
        let start = self.at;
        while self.take_if(&wanted).is_some() {}
        &self.text[start..self.at]
    }

    fn digits(&mut self) -> Result<Option<i128>, NotationError> {
        let start = self.at;
        let digits = self.take_while(|next| next.is_ascii_digit());
        if digits.is_empty() {
            return Ok(None);
        }
        match digits.trim_start_matches('0') {
            significant if significant.len() > MOST_DIGITS => fault(
                start..self.at,
                format!("{digits} has more than {MOST_DIGITS} digits, longer than any length here"),
                "check the number; the longest length is 1 km",
            ),
            // At most twelve ASCII digits.
            significant => Ok(Some(significant.parse().unwrap_or(0))),
        }
    }

    fn number(&mut self) -> Result<Number, NotationError> {
        let start = self.at;
        if let Some(value) = self.vulgar() {
            return Ok(Number { value, form: Form::Fraction });
        }
        let whole = self.digits()?;
        if self.peek() == Some('.') {
            return self.decimals(start, whole);
        }
        let Some(whole) = whole else {
            let found: String = self.rest().chars().take(12).collect();
            return fault(
                self.at..self.text.len(),
                format!("{found} is not a number"),
                r#"write a number with a unit, such as 3/4" or 18 mm"#,
            );
        };
        if let Some(value) = self.lower_number(start, whole)? {
            return Ok(Number { value, form: Form::Fraction });
        }
        match self.fraction_after(start)? {
            None => Ok(Number { value: Ratio::from_integer(whole), form: Form::Whole }),
            Some(fraction) if fraction >= Ratio::from_integer(1) => {
                let written = &self.text[start..self.at];
                let whole_part = fraction.to_integer();
                let proper = fraction - Ratio::from_integer(whole_part);
                let cure = if *proper.numer() == 0 {
                    format!("write {}", whole + whole_part)
                } else {
                    format!("write {} {}/{}", whole + whole_part, proper.numer(), proper.denom())
                };
                fault(start..self.at, format!("the fraction in {written} is not less than one"), cure)
            }
            Some(fraction) => Ok(Number { value: fraction + Ratio::from_integer(whole), form: Form::Mixed }),
        }
    }

    fn decimals(&mut self, start: usize, whole: Option<i128>) -> Result<Number, NotationError> {
        self.at += 1;
        let decimals = self.take_while(|next| next.is_ascii_digit());
        if decimals.is_empty() {
            let found: String = self.text[start..].chars().take(12).collect();
            let cure = match whole {
                Some(whole) => format!("write {whole}, or digits after the point"),
                None => r#"write a number with a unit, such as 0.5" or 18 mm"#.to_string(),
            };
            return fault(start..self.at, format!("{found} has no digit after its point"), cure);
        }
        let significant = decimals.trim_end_matches('0');
        if significant.len() > MOST_DIGITS {
            return fault(
                start..self.at,
                format!("{} has more than {MOST_DIGITS} decimals", &self.text[start..self.at]),
                "leave out what no rule or caliper can measure: 0.001\" and 0.01 mm are exact",
            );
        }
        let scale = (0..significant.len()).fold(1_i128, |scale, _| scale * 10);
        let fraction = Ratio::new(significant.parse().unwrap_or(0), scale);
        let value = fraction + Ratio::from_integer(whole.unwrap_or(0));
        let written = &self.text[start..self.at];
        if self.peek() == Some('.') {
            return fault(
                start..self.at + 1,
                format!("{written}. has two points"),
                "write one decimal point",
            );
        }
        let mut ahead = *self;
        if self.stroke_and_digit() || ahead.fraction_after(start)?.is_some() {
            return fault(
                start..ahead.at.max(self.at + 1),
                format!("{written} mixes a decimal with a fraction"),
                "write a decimal (1.75) or a fraction (1 3/4); put spaces round the stroke of a division",
            );
        }
        Ok(Number { value, form: Form::Decimal })
    }

    /// The fraction of a mixed number, after a space, a dash or nothing (`1½`); takes nothing where none stands there.
    fn fraction_after(&mut self, start: usize) -> Result<Option<Ratio<i128>>, NotationError> {
        let mut ahead = *self;
        if ahead.take_if(is_minus).is_none() {
            ahead.take_while(char::is_whitespace);
        }
        if let Some(value) = ahead.vulgar() {
            *self = ahead;
            return Ok(Some(value));
        }
        let mut peeked = ahead;
        peeked.take_while(|next| next.is_ascii_digit());
        if peeked.at == ahead.at || !peeked.stroke_and_digit() {
            return Ok(None);
        }
        let Some(upper) = ahead.digits()? else { return Ok(None) };
        let value = ahead.lower_number(start, upper)?;
        *self = ahead;
        Ok(value)
    }

    fn stroke_and_digit(&self) -> bool {
        let mut next = self.rest().chars();
        next.next().is_some_and(is_stroke) && next.next().is_some_and(|next| next.is_ascii_digit())
    }

    /// The stroke and the lower number of a fraction, where a digit stands right after the stroke.
    fn lower_number(&mut self, start: usize, upper: i128) -> Result<Option<Ratio<i128>>, NotationError> {
        if !self.stroke_and_digit() {
            return Ok(None);
        }
        self.take_if(is_stroke);
        let Some(lower) = self.digits()? else { return Ok(None) };
        let written = &self.text[start..self.at];
        if lower == 0 {
            return fault(
                start..self.at,
                format!("{written} divides by zero"),
                r#"write the lower number of the fraction, as in 3/4""#,
            );
        }
        if self.stroke_and_digit() {
            let mut whole = *self;
            while whole.stroke_and_digit() {
                whole.take_if(is_stroke);
                whole.take_while(|next| next.is_ascii_digit());
            }
            return fault(
                start..whole.at,
                format!("{} has more than one stroke", &self.text[start..whole.at]),
                "write one fraction, such as 1/2; put spaces round the stroke of a division: 12 / 2 / 3",
            );
        }
        if self.peek() == Some('.') {
            return fault(
                start..self.at + 1,
                format!("{written}. mixes a fraction with a decimal"),
                "write a decimal (1.75) or a fraction (1 3/4); put spaces round the stroke of a division",
            );
        }
        Ok(Some(Ratio::new(upper, lower)))
    }

    fn vulgar(&mut self) -> Option<Ratio<i128>> {
        let (upper, lower) = vulgar(self.peek()?)?;
        self.take_if(|_| true);
        Some(Ratio::new(upper, lower))
    }

    /// The unit after a number; takes nothing where none stands there.
    fn unit(&mut self) -> Result<Option<Unit>, NotationError> {
        if self.take_if(|next| matches!(next, '"' | '″' | '“' | '”')).is_some() {
            return Ok(Some(Unit::Inch));
        }
        if self.take_if(is_foot_mark).is_some() {
            // Two single marks are an inch mark typed in two strokes.
            let inch = self.take_if(is_foot_mark).is_some();
            return Ok(Some(if inch { Unit::Inch } else { Unit::Foot }));
        }
        let mut ahead = *self;
        let spaced = !ahead.take_while(char::is_whitespace).is_empty();
        let start = ahead.at;
        let word = ahead.take_while(|next| next.is_alphanumeric() || next == '_');
        let Some(unit) = Unit::of_word(word) else {
            let first = word.chars().next().unwrap_or(' ');
            if spaced || first == ' ' || vulgar(first).is_some() {
                return Ok(None);
            }
            let exponent = word
                .strip_prefix(['e', 'E'])
                .is_some_and(|power| power.chars().all(|digit| digit.is_ascii_digit()));
            let number = &self.text[..self.at];
            return if exponent {
                fault(
                    0..ahead.at,
                    format!("{} is written with a power of ten", &self.text[..ahead.at]),
                    "write all digits, as in 100000",
                )
            } else {
                fault(
                    start..ahead.at,
                    format!("{word} is no unit of length"),
                    format!(
                        "write {number} in, ft, mm, cm or m; for a multiplication write {number} * {word}"
                    ),
                )
            };
        };
        // The trade also writes `3 in.` with a stop.
        let mut stop = ahead;
        let abbreviated = matches!(word.to_ascii_lowercase().as_str(), "in" | "ft");
        if abbreviated
            && stop.take_if(|next| next == '.').is_some()
            && !stop.peek().is_some_and(char::is_alphanumeric)
        {
            ahead = stop;
        }
        *self = ahead;
        Ok(Some(unit))
    }

    /// After the feet: the inches, if there are any, and the sum.
    fn inches_after(&mut self, feet: Number) -> Result<Length, NotationError> {
        let feet_end = self.at;
        let mut ahead = *self;
        let dashed = ahead.take_if(is_minus).is_some();
        if !dashed {
            ahead.take_while(char::is_whitespace);
        }
        if !ahead.peek().is_some_and(begins_number) {
            return on_grid(feet.value, Unit::Foot.one(), &self.text[..feet_end]);
        }
        let start = ahead.at;
        let inches = ahead.number()?;
        let number_end = ahead.at;
        let (written_feet, written_inches) = (&self.text[..feet_end], &self.text[start..number_end]);
        if ahead.unit()? != Some(Unit::Inch) {
            return fault(
                start..ahead.at,
                format!("{written_inches} after {written_feet} has no inch mark"),
                format!(
                    "write {written_feet} {written_inches}\", or {written_feet} - … with spaces for a subtraction"
                ),
            );
        }
        let written = &self.text[..ahead.at];
        if feet.form != Form::Whole {
            return fault(
                0..feet_end,
                format!("the feet in {written} are not whole"),
                "write whole feet and the rest in inches",
            );
        }
        if inches.value >= Ratio::from_integer(12) {
            let whole_feet = (inches.value / Ratio::from_integer(12)).to_integer();
            return fault(
                start..ahead.at,
                format!("{written} has twelve inches or more after the feet"),
                format!("carry {whole_feet} ft over to the feet, or write it all in inches"),
            );
        }
        *self = ahead;
        on_grid(feet.value * Ratio::from_integer(12) + inches.value, Unit::Inch.one(), written)
    }

    /// A digit, letter or mark right after a unit is a slip: `5"6`, `18 mm2`.
    fn nothing_glued_on(&self, unit: Unit) -> Result<(), NotationError> {
        let glued = |next: char| {
            next.is_alphanumeric() || matches!(next, '_' | '"' | '″' | '”' | '“') || is_foot_mark(next)
        };
        let Some(next) = self.peek().filter(|next| glued(*next)) else { return Ok(()) };
        let value = &self.text[..self.at];
        let cure = if unit == Unit::Inch && begins_number(next) {
            format!("write feet first (5' 6\"), or {value} alone")
        } else {
            format!("write {value} alone, or put a sign of arithmetic between the two")
        };
        let end = self.at + self.rest().split(char::is_whitespace).next().unwrap_or("").len();
        fault(self.at..end, format!("{} follows {value} without a space", &self.text[self.at..end]), cure)
    }
}
