//! Sums of money in whole cents, shares and measures as one writes them: `92`, `6.80`, `20%`, `350 ft2/gal`, `1 qt`. Exact:
//! a sum is rounded only where it is made of a quantity and a price, to the nearest cent, halves up.

use std::fmt;

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, ToPrimitive};

/// A sum of money, zero or more, in whole cents (hundredths of any currency).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(i64);

/// A larger sum is a slip of the pen: ten thousand million.
const MOST_CENTS: i64 = 1_000_000_000_000;

impl Money {
    pub const fn from_cents(cents: i64) -> Money {
        Money(cents)
    }

    pub const fn cents(self) -> i64 {
        self.0
    }

    /// `92`, `92.5` or `92.50`; a sign of currency before it is skipped. `None` for anything else, and for fractions of a cent.
    pub fn read(text: &str) -> Option<Money> {
        let text = text.trim().trim_start_matches(['$', '€', '£', '¥']).trim();
        let cents = decimal(text)? * Ratio::from_integer(100);
        let cents = cents.is_integer().then(|| cents.to_integer())?;
        i64::try_from(cents).ok().filter(|cents| *cents <= MOST_CENTS).map(Money)
    }

    /// The price of so many, to the nearest cent, halves up. `None` beyond what can be counted.
    pub fn times(self, quantity: Ratio<i128>) -> Option<Money> {
        let exact = quantity.checked_mul(&Ratio::from_integer(i128::from(self.0)))?;
        let half = Ratio::new(1, 2);
        let cents = exact.checked_add(&half)?.floor().to_integer();
        i64::try_from(cents).ok().filter(|cents| (0..=MOST_CENTS).contains(cents)).map(Money)
    }

    pub fn plus(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl fmt::Display for Money {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{}.{:02}", self.0 / 100, self.0 % 100)
    }
}

/// `12`, `12.5` or `.5`: zero or more, at most seven digits on either side of the point. Exact.
pub fn decimal(text: &str) -> Option<Ratio<i128>> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.len() <= 7 && text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() && part.is_empty() || !digits(whole) || !digits(part) {
        return None;
    }
    let number: i128 = format!("{whole}{part}").parse().ok()?;
    let places = u32::try_from(part.len()).ok()?;
    Some(Ratio::new(number, 10_i128.checked_pow(places)?))
}

/// `20%` as 1/5. At most 1000 %.
pub fn share(text: &str) -> Option<Ratio<i128>> {
    let number = decimal(text.trim().strip_suffix('%')?.trim_end())?;
    (number <= Ratio::from_integer(1000)).then(|| number / Ratio::from_integer(100))
}

/// A share as one writes it: `20%`, `8.25%`.
pub fn show_share(share: Ratio<i128>) -> String {
    format!("{}%", show_number(share * Ratio::from_integer(100)))
}

/// A number with at most three decimals, nearest, without idle zeros.
pub fn show_number(number: Ratio<i128>) -> String {
    let thousandths = (number * Ratio::from_integer(1000)).round().to_integer();
    let text = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Litres in one US gallon of 231 in³: 3.785 411 784 exactly (NIST SP 811, appendix B.8).
fn litres_per_gallon() -> Ratio<i128> {
    Ratio::new(3_785_411_784, 1_000_000_000)
}

/// Square metres in one square foot: 0.092 903 04 exactly (0.3048²).
fn square_metres_per_square_foot() -> Ratio<i128> {
    Ratio::new(9_290_304, 100_000_000)
}

/// A number and the word after it, which may touch.
fn number_and_unit(text: &str) -> Option<(Ratio<i128>, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (number, unit) = text.split_at(end);
    let number = decimal(number).filter(|number| *number > Ratio::from_integer(0))?;
    Some((number, unit.trim()))
}

/// What a can holds, in litres: `1 gal`, `1 qt`, `1 pt`, `2.5 l`, `750 ml`. Exact.
pub fn volume(text: &str) -> Option<Ratio<i128>> {
    let (number, unit) = number_and_unit(text)?;
    let one = match unit {
        "gal" => litres_per_gallon(),
        "qt" => litres_per_gallon() / Ratio::from_integer(4),
        "pt" => litres_per_gallon() / Ratio::from_integer(8),
        "l" | "L" => Ratio::from_integer(1),
        "ml" | "mL" => Ratio::new(1, 1000),
        _ => return None,
    };
    Some(number * one)
}

/// An area in square metres: `15 ft2`, `1.5 m2`. Exact.
pub fn area(text: &str) -> Option<Ratio<i128>> {
    let (number, unit) = number_and_unit(text)?;
    let one = match unit {
        "ft2" | "ft²" | "sq ft" => square_metres_per_square_foot(),
        "m2" | "m²" => Ratio::from_integer(1),
        _ => return None,
    };
    Some(number * one)
}

/// Square metres to a litre: `350 ft2/gal`, `10 m2/l`. Exact.
pub fn spread(text: &str) -> Option<Ratio<i128>> {
    let (covered, of) = text.split_once('/')?;
    Some(area(covered)? / volume(&format!("1 {}", of.trim()))?)
}

/// Square millimetres on a curve as square metres, to the next whole square millimetre up. Zero for no number.
pub fn square_metres(area_mm2: f64) -> Ratio<i128> {
    Ratio::new(libm::ceil(area_mm2.max(0.0)).to_i128().unwrap_or(0), 1_000_000)
}
