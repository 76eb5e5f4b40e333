//! What wood measures as it is sold: board feet by the inch, cubic metres by the millimetre. Exact; `None` beyond what can be
//! counted.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul};

use crate::length::{Length, Units};
use crate::wood::measure::board_feet;

/// A measure of wood: board feet in an inch job, cubic metres in a metric one.
pub type Volume = Ratio<i128>;

/// One piece.
pub fn volume(thick: Length, width: Length, length: Length, units: Units) -> Option<Volume> {
    match units {
        Units::Inch => board_feet(thick, width, length),
        Units::Millimetre => {
            let sizes = [thick, width, length];
            if sizes.iter().any(|size| !size.is_positive() || *size > Length::LIMIT) {
                return None;
            }
            // A product of three units over that of three metres: inside an i128.
            let metre = i128::from(Length::MM.units()) * 1000;
            let product: i128 = sizes.iter().map(|size| i128::from(size.units())).product();
            Some(Ratio::new(product, metre * metre * metre))
        }
    }
}

/// The sum; `None` where a member is none or the sum cannot be counted.
pub fn sum(all: impl Iterator<Item = Option<Volume>>) -> Option<Volume> {
    all.into_iter().try_fold(Ratio::from_integer(0), |sum, next| sum.checked_add(&next?))
}

/// So much and a share more.
pub fn with(volume: Volume, share: Ratio<i128>) -> Option<Volume> {
    volume.checked_mul(&(Ratio::from_integer(1) + share))
}

/// Rounded up to what is bought: a whole board foot (as lumber is tallied), a thousandth of a cubic metre.
pub fn to_buy(volume: Volume, units: Units) -> Option<Volume> {
    match units {
        Units::Inch => Some(volume.ceil()),
        Units::Millimetre => {
            let thousand = Ratio::from_integer(1000);
            Some(volume.checked_mul(&thousand)?.ceil() / thousand)
        }
    }
}
