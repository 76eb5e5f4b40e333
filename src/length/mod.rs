//! Exact lengths. A length is a whole number of 1/80 µm, so a caliper's thousandth of an inch (2 032), a rule's
//! 1/128" (15 875), a hundredth of a millimetre (800) and a metric reading are all whole. Knows no text, board or
//! file; reading and showing live in `notation`.

pub mod notation;
mod read;
mod row;
mod scan;
mod show;
mod sign;

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A signed length, counted in whole units of 1/80 µm (1.25e-5 mm).
///
/// Sums and differences are exact. The door of the spec admits nothing longer than [`Length::LIMIT`], so no sum of
/// values that came through it can reach the end of an `i64`; arithmetic saturates rather than wrap or panic.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    pub const ZERO: Length = Length(0);
    /// One millimetre.
    pub const MM: Length = Length(80_000);
    /// One inch, 25.4 mm exactly (international yard and pound agreement, 1959).
    pub const INCH: Length = Length(2_032_000);
    /// The longest length a spec may give: 1 km. A larger one is a slip of the pen.
    pub const LIMIT: Length = Length(80_000 * 1_000_000);
    /// Closer than this two faces touch: about a tenth of a thousandth of an inch, finer than any rule or caliper.
    pub const TOUCH: Length = Length(200);

    /// A length of `units` × 1/80 µm.
    pub const fn from_units(units: i64) -> Length {
        Length(units)
    }

    /// The length as a whole number of 1/80 µm.
    pub const fn units(self) -> i64 {
        self.0
    }

    /// The nearest whole unit to `mm` millimetres: where a curve comes back onto the grid. Not a number gives zero.
    pub fn from_mm(mm: f64) -> Length {
        Length(libm::rint(mm * 80_000.0) as i64)
    }

    /// Millimetres, for curves and paper only.
    pub fn to_mm(self) -> f64 {
        self.0 as f64 / 80_000.0
    }

    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }

    /// The length shared by `count` equal parts, and what is left over (same sign, smaller than `count` units).
    /// A count of zero or less gives back zero and the whole.
    pub const fn shared_by(self, count: i64) -> (Length, Length) {
        if count <= 0 {
            return (Length::ZERO, self);
        }
        (Length(self.0 / count), Length(self.0 % count))
    }

    /// Half of the length, rounded towards zero to a whole unit.
    pub const fn half(self) -> Length {
        Length(self.0 / 2)
    }

    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, times: i64) -> Length {
        Length(self.0.saturating_mul(times))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(all: I) -> Length {
        all.fold(Length::ZERO, Add::add)
    }
}

/// A closed interval along one axis; `low <= high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Interval {
    pub low: Length,
    pub high: Length,
}

impl Interval {
    /// The interval between two positions, in whichever order they come.
    pub fn between(one: Length, other: Length) -> Interval {
        Interval { low: one.min(other), high: one.max(other) }
    }

    pub fn size(self) -> Length {
        self.high - self.low
    }

    /// What two intervals share; `None` where they are apart or only touch.
    pub fn shared(self, other: Interval) -> Option<Interval> {
        let both = Interval { low: self.low.max(other.low), high: self.high.min(other.high) };
        (both.low < both.high).then_some(both)
    }

    pub fn contains(self, position: Length) -> bool {
        self.low <= position && position <= self.high
    }
}

/// What a bare number means, and the choice of unit that a sheet or a list leaves open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Units {
    #[default]
    Inch,
    Millimetre,
}

impl Units {
    /// One of the unit.
    pub const fn one(self) -> Length {
        match self {
            Units::Inch => Length::INCH,
            Units::Millimetre => Length::MM,
        }
    }
}
