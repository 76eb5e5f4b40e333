//! Length in, text out. What is printed is always a true statement of the value that comes back with it.

use super::{Length, Units};

/// How inches are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InchForm {
    /// `1 1/4"` where a fraction down to 1/128" is exact, else a decimal.
    Fraction,
    /// `1.25"`.
    Decimal,
}

/// How lengths are shown on a sheet or in a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Showing {
    pub units: Units,
    /// Values are rounded to whole multiples of it, halves away from zero; zero or less leaves them as they are.
    pub step: Length,
    pub inch_form: InchForm,
    /// Inches from a foot upwards as feet and inches: `5' 4 1/2"`.
    pub feet: bool,
    /// Least number of decimals; more are written where the value needs them.
    pub decimals: u8,
    /// `0.5"`; false gives `.5"`, as ASME Y14.5 wants for inches below one. Millimetres always keep their zero.
    pub leading_zero: bool,
    /// Inch mark or `mm` after the value; false where the sheet names its unit once. Feet always carry their marks.
    pub marks: bool,
    /// Adds the other unit in parentheses, rounded to this step from the true value: `3/4" (19.05 mm)`.
    pub both: Option<Length>,
}

impl Showing {
    /// Inch fractions, `1 1/4"`, to the given step.
    pub const fn inch(step: Length) -> Showing {
        Showing {
            units: Units::Inch,
            step,
            inch_form: InchForm::Fraction,
            feet: false,
            decimals: 0,
            leading_zero: true,
            marks: true,
            both: None,
        }
    }

    /// Millimetres, `19.5 mm`, to the given step.
    pub const fn millimetre(step: Length) -> Showing {
        Showing { units: Units::Millimetre, ..Showing::inch(step) }
    }

    /// The length rounded to the step, as text, with what the rounding took or added.
    ///
    /// ```
    /// use tickstick::length::{Length, notation::{InchForm, Showing}};
    ///
    /// let thirty_seconds = Showing::inch(Length::from_units(2_032_000 / 32));
    /// let ply = Length::from_units(2_032 * 709);
    /// let shown = thirty_seconds.show(ply);
    /// assert_eq!(shown.text, "23/32\"");
    /// assert_eq!(shown.off, Length::from_units(2_032_000 * 23 / 32 - 2_032 * 709));
    ///
    /// let both = Showing { both: Some(Length::from_units(800)), ..thirty_seconds };
    /// assert_eq!(both.show(Length::INCH * 3).text, "3\" (76.2 mm)");
    /// let feet = Showing { feet: true, ..thirty_seconds };
    /// assert_eq!(feet.show(Length::from_units(2_032_000 * 129 / 2)).text, "5' 4 1/2\"");
    /// let decimal = Showing { inch_form: InchForm::Decimal, decimals: 3, leading_zero: false, ..feet };
    /// assert_eq!(decimal.show(Length::INCH.half()).text, ".500\"");
    /// ```
    pub fn show(&self, length: Length) -> Shown {
        let value = rounded(length, self.step);
        let mut text = self.text_of(value);
        let mut other = None;
        if let Some(step) = self.both {
            let units = match self.units {
                Units::Inch => Units::Millimetre,
                Units::Millimetre => Units::Inch,
            };
            // The zero before the point and the least decimals belong to the first unit's practice.
            let second =
                Showing { units, step, decimals: 0, leading_zero: true, marks: true, both: None, ..*self };
            let shown = second.show(length);
            text = format!("{text} ({})", shown.text);
            other = Some(shown.value);
        }
        Shown { text, value, off: value - length, other }
    }

    fn text_of(&self, value: Length) -> String {
        let sign = if value < Length::ZERO { "-" } else { "" };
        let size = value.abs();
        let text = match self.units {
            Units::Inch => self.inches(size),
            Units::Millimetre => {
                let mark = if self.marks { " mm" } else { "" };
                decimal(size, Length::MM, self.decimals, true).map(|number| number + mark)
            }
        };
        // Not exact as an inch: a metric value on an inch sheet. Millimetres are always exact, and always marked here.
        let text = text.unwrap_or_else(|| metric(size));
        format!("{sign}{text}")
    }

    fn inches(&self, size: Length) -> Option<String> {
        let foot = Length::INCH * 12;
        let (feet, rest) = if self.feet && size >= foot {
            let feet = size.units() / foot.units();
            (feet, size - foot * feet)
        } else {
            (0, size)
        };
        let fraction = match self.inch_form {
            InchForm::Fraction => fraction(rest),
            InchForm::Decimal => None,
        };
        let number = fraction.or_else(|| decimal(rest, Length::INCH, self.decimals, self.leading_zero))?;
        Some(match (feet, self.marks) {
            (0, true) => format!("{number}\""),
            (0, false) => number,
            (feet, _) => format!("{feet}' {number}\""),
        })
    }
}

/// A length as it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    pub text: String,
    /// The value that the text states, exactly.
    pub value: Length,
    /// What was printed less what is true: zero where the length lies on the step, else at most half a step.
    pub off: Length,
    /// The value stated in parentheses, where both units are shown.
    pub other: Option<Length>,
}

impl Shown {
    /// True where the length lies on the step, so that the text is the whole truth.
    pub fn is_exact(&self) -> bool {
        self.off == Length::ZERO
    }
}

/// The length as text that reads back to the same length, in the notation that fits it: an inch fraction where one
/// down to 1/128" is exact, else a decimal inch, else millimetres; in a metric spec always millimetres.
///
/// ```
/// use tickstick::length::{Length, Units, notation::{read, show_exact}};
///
/// for text in ["3/4\"", "-1 1/4\"", "91/128\"", "0.709\"", "18 mm", "0.0000125 mm"] {
///     assert_eq!(show_exact(read(text, Units::Inch).unwrap(), Units::Inch), text);
/// }
/// ```
pub fn show_exact(length: Length, units: Units) -> String {
    Showing { units, ..Showing::inch(Length::ZERO) }.text_of(length)
}

/// The length for a sentence: as [`show_exact`] where that is short enough to read, else `about` a decimal to
/// 0.0001" or 0.001 mm. It never states a rounded value as the true one.
pub fn tell(length: Length, units: Units) -> String {
    let size = length.abs();
    // 0.0001" is 203.2 units, 0.001 mm is 80.
    let ten_thousandths = i128::from(size.units()) * 10 % 2_032 == 0;
    let micrometres = size.units() % 80 == 0;
    let short = match units {
        Units::Inch => fraction(size).is_some() || ten_thousandths || micrometres,
        Units::Millimetre => micrometres,
    };
    if short {
        return show_exact(length, units);
    }
    let sign = if length < Length::ZERO { "-" } else { "" };
    let (per_unit, places, mark) = match units {
        Units::Inch => (2_032_000, 4, "\""),
        Units::Millimetre => (80_000, 3, " mm"),
    };
    let scale = 10_i128.pow(places);
    let scaled = (i128::from(size.units()) * scale * 2 + per_unit) / (2 * per_unit);
    format!("about {sign}{}{mark}", point(scaled, places as usize, 0, true))
}

/// The nearest whole multiple of the step, halves away from zero so that mirror images round alike.
pub(super) fn rounded(length: Length, step: Length) -> Length {
    if !step.is_positive() {
        return length;
    }
    let (size, step) = (i128::from(length.abs().units()), i128::from(step.units()));
    let nearest = (size * 2 + step) / (2 * step) * step;
    let nearest = Length::from_units(i64::try_from(nearest).unwrap_or(i64::MAX));
    if length < Length::ZERO { -nearest } else { nearest }
}

/// A size of zero or more as whole and fraction, reduced, where a fraction down to 1/128" is exact.
fn fraction(size: Length) -> Option<String> {
    const FINEST: i64 = 128;
    let one_128th = Length::INCH.units() / FINEST;
    if size.units() % one_128th != 0 {
        return None;
    }
    let all = size.units() / one_128th;
    let (whole, mut upper, mut lower) = (all / FINEST, all % FINEST, FINEST);
    while upper > 0 && upper % 2 == 0 {
        (upper, lower) = (upper / 2, lower / 2);
    }
    Some(match (whole, upper) {
        (whole, 0) => whole.to_string(),
        (0, upper) => format!("{upper}/{lower}"),
        (whole, upper) => format!("{whole} {upper}/{lower}"),
    })
}

/// A size of zero or more as an exact decimal of `one`; the grid never needs more than seven decimals. `None` where no
/// decimal is exact.
fn decimal(size: Length, one: Length, least: u8, leading_zero: bool) -> Option<String> {
    const PLACES: usize = 7;
    let scaled = i128::from(size.units()) * 10_000_000;
    let one = i128::from(one.units());
    (scaled % one == 0).then(|| point(scaled / one, PLACES, usize::from(least), leading_zero))
}

fn metric(size: Length) -> String {
    // 1/80 µm is 0.0000125 mm: seven decimals are always exact.
    let scaled = i128::from(size.units()) * 125;
    point(scaled, 7, 0, true) + " mm"
}

/// `scaled` / 10^`places` as digits with a point, without the zeros at the end beyond the `least` decimals.
fn point(scaled: i128, places: usize, least: usize, leading_zero: bool) -> String {
    let digits = format!("{scaled:0>width$}", width = places + 1);
    let (whole, decimals) = digits.split_at(digits.len() - places);
    let mut decimals = decimals.trim_end_matches('0').to_string();
    while decimals.len() < least {
        decimals.push('0');
    }
    match (whole, decimals.as_str()) {
        (whole, "") => whole.to_string(),
        ("0", decimals) if !leading_zero && scaled > 0 => format!(".{decimals}"),
        (whole, decimals) => format!("{whole}.{decimals}"),
    }
}
