//! A board along one axis: any two of its two faces and its size, or one face and the stock's thickness. Says what is
//! missing, or which disagree and by how much. Knows no formula; its numbers are exact ratios of the length grid.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedSub};

use crate::diagnose::{Diagnostic, Place};
use crate::length::{Interval, Length, notation::tell};
use crate::trade::{Axis, Units};

/// A position or a size in whole or broken units of 1/80 µm.
pub type Exact = Ratio<i128>;

/// The keys of one axis: low side, high side, size.
pub const fn words(axis: Axis) -> [&'static str; 3] {
    match axis {
        Axis::Across => ["left", "right", "width"],
        Axis::Deep => ["front", "back", "depth"],
        Axis::Up => ["bottom", "top", "height"],
    }
}

/// A value that the spec states, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stated {
    pub value: Exact,
    pub place: Place,
}

/// What is known along one axis, measured from the assembly's zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Given {
    pub low: Option<Stated>,
    pub high: Option<Stated>,
    pub size: Option<Stated>,
    /// The stock's thickness, on the axis that the board's faces look along.
    pub thick: Option<Stated>,
}

/// Where something lies along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Run {
    pub low: Exact,
    pub size: Exact,
}

impl Run {
    /// The far end; `None` beyond all measure.
    pub fn high(&self) -> Option<Exact> {
        self.low.checked_add(&self.size)
    }

    /// On the length grid: size and low end go to the nearest whole unit, so that runs of equal size stay equal
    /// wherever they lie and a stock's thickness stays itself. `None` beyond [`Length::LIMIT`].
    pub fn on_grid(&self) -> Option<Interval> {
        let (low, size) = (nearest(self.low)?, nearest(self.size)?);
        let high = low + size;
        (high.abs() <= Length::LIMIT).then_some(Interval { low, high })
    }
}

/// The nearest length, halves up; `None` beyond [`Length::LIMIT`].
pub fn nearest(exact: Exact) -> Option<Length> {
    let limit = i128::from(Length::LIMIT.units());
    let whole = exact.floor().to_integer();
    if whole < -limit || whole > limit {
        return None;
    }
    // `fract` goes towards zero, so it is taken from the floor by hand: halves then go up on both sides of zero.
    let (numerator, denominator) = (*exact.numer(), *exact.denom());
    let above = numerator.checked_sub(whole.checked_mul(denominator)?)?;
    let up = i128::from(above >= denominator - above);
    i64::try_from(whole + up).ok().map(Length::from_units)
}

/// What a fault calls the thing: its name, the words of its axis, the units to tell lengths in.
#[derive(Clone, Copy, Debug)]
pub struct Said<'a> {
    /// `bench.divider[2]`
    pub name: &'a str,
    pub axis: Axis,
    pub units: Units,
    /// Place of the thing's own key, for what is missing.
    pub place: Place,
    /// Name of the stock, where its thickness counts on this axis.
    pub stock: &'a str,
}

impl Said<'_> {
    fn tell(&self, exact: Exact) -> String {
        nearest(exact).map_or_else(|| "more than 1 km".to_owned(), |length| tell(length, self.units))
    }
}

/// Works out where a thing lies along one axis.
///
/// # Errors
/// Too little given, values that disagree with each other or with the stock, no size left, or beyond all measure.
pub fn run(given: &Given, said: &Said) -> Result<Run, Box<Diagnostic>> {
    let found = match given.thick {
        Some(thick) => by_thickness(given, thick, said)?,
        None => by_two(given, said)?,
    };
    if found.on_grid().is_none() {
        return Err(Box::new(too_long(said, given)));
    }
    Ok(found)
}

fn too_long(said: &Said, given: &Given) -> Diagnostic {
    let place =
        [given.low, given.high, given.size].into_iter().flatten().next().map_or(said.place, |s| s.place);
    let message = format!("{} would reach further than 1 km from its zero", said.name);
    Diagnostic::error("too-long", place, message).propose("look for a slip of the pen in the formula")
}

fn by_thickness(given: &Given, thick: Stated, said: &Said) -> Result<Run, Box<Diagnostic>> {
    let [low_word, high_word, size_word] = words(said.axis);
    let too_long = || Box::new(too_long(said, given));
    let thick_told = said.tell(thick.value);
    if let Some(size) = given.size
        && size.value != thick.value
    {
        let told = said.tell(size.value);
        let message = format!(
            "{}: {size_word} is {told}, but {} is {thick_told} thick and its faces look that way",
            said.name, said.stock
        );
        let fault = Diagnostic::error("thickness-disagrees", size.place, message)
            .also(thick.place, format!("{thick_told} here"))
            .propose(format!("leave {size_word} out, or give {} its true thickness", said.stock));
        return Err(Box::new(fault));
    }
    let size = thick.value;
    match (given.low, given.high) {
        (Some(low), Some(high)) => {
            let between = high.value.checked_sub(&low.value).ok_or_else(too_long)?;
            if between != size {
                let message = format!(
                    "{}: {low_word} {} and {high_word} {} leave {}, but {} is {thick_told} thick",
                    said.name,
                    said.tell(low.value),
                    said.tell(high.value),
                    said.tell(between),
                    said.stock,
                );
                let fault = Diagnostic::error("thickness-disagrees", high.place, message)
                    .also(low.place, format!("{low_word} is given here"))
                    .also(thick.place, format!("{thick_told} here"))
                    .propose(format!("give {low_word} or {high_word}, not both"));
                return Err(Box::new(fault));
            }
            Ok(Run { low: low.value, size })
        }
        (Some(low), None) => Ok(Run { low: low.value, size }),
        (None, Some(high)) => Ok(Run { low: high.value.checked_sub(&size).ok_or_else(too_long)?, size }),
        (None, None) => {
            let message = format!("{}: neither {low_word} nor {high_word} is given", said.name);
            let fault = Diagnostic::error("too-little-given", said.place, message)
                .propose(format!("give one of them; {} gives the {thick_told} between", said.stock));
            Err(Box::new(fault))
        }
    }
}

fn by_two(given: &Given, said: &Said) -> Result<Run, Box<Diagnostic>> {
    let [low_word, high_word, size_word] = words(said.axis);
    let too_long = || Box::new(too_long(said, given));
    let (found, place) = match (given.low, given.high, given.size) {
        (Some(low), Some(high), Some(size)) => {
            let sum = low.value.checked_add(&size.value).ok_or_else(too_long)?;
            let off = sum.checked_sub(&high.value).ok_or_else(too_long)?;
            if off != Exact::from_integer(0) {
                let message = format!(
                    "{}: {low_word} {} and {size_word} {} make {}, but {high_word} says {}, which is {} {}",
                    said.name,
                    said.tell(low.value),
                    said.tell(size.value),
                    said.tell(sum),
                    said.tell(high.value),
                    said.tell(if off < Exact::from_integer(0) { -off } else { off }),
                    if off > Exact::from_integer(0) { "less" } else { "more" },
                );
                let fault = Diagnostic::error("placement-disagrees", high.place, message)
                    .also(low.place, format!("{low_word} is given here"))
                    .also(size.place, format!("{size_word} is given here"))
                    .propose("drop one of the three");
                return Err(Box::new(fault));
            }
            (Run { low: low.value, size: size.value }, size.place)
        }
        (Some(low), Some(high), None) => {
            let size = high.value.checked_sub(&low.value).ok_or_else(too_long)?;
            (Run { low: low.value, size }, high.place)
        }
        (Some(low), None, Some(size)) => (Run { low: low.value, size: size.value }, size.place),
        (None, Some(high), Some(size)) => {
            let low = high.value.checked_sub(&size.value).ok_or_else(too_long)?;
            (Run { low, size: size.value }, size.place)
        }
        (low, high, size) => {
            let known: Vec<&str> = [(low, low_word), (high, high_word), (size, size_word)]
                .into_iter()
                .filter_map(|(stated, word)| stated.map(|_| word))
                .collect();
            let message = match known.first() {
                Some(word) => format!(
                    "{}: of {low_word}, {high_word} and {size_word} only {word} is given; two are needed",
                    said.name
                ),
                None => format!(
                    "{}: none of {low_word}, {high_word} and {size_word} is given; two are needed",
                    said.name
                ),
            };
            let missing: Vec<&str> =
                [low_word, high_word, size_word].into_iter().filter(|word| !known.contains(word)).collect();
            let cure = match known.len() {
                0 => format!("give two of {}", missing.join(", ")),
                _ => format!("add {}", missing.join(" or ")),
            };
            return Err(Box::new(Diagnostic::error("too-little-given", said.place, message).propose(cure)));
        }
    };
    if found.size <= Exact::from_integer(0) {
        return Err(Box::new(no_size(given, &found, place, said)));
    }
    Ok(found)
}

fn no_size(given: &Given, found: &Run, place: Place, said: &Said) -> Diagnostic {
    let [low_word, high_word, size_word] = words(said.axis);
    let size = said.tell(found.size);
    let fault = match (given.low, given.high) {
        (Some(low), Some(high)) => {
            let message = format!(
                "{}: {high_word} {} is not beyond {low_word} {}, so {size_word} would be {size}",
                said.name,
                said.tell(high.value),
                said.tell(low.value),
            );
            Diagnostic::error("no-size", place, message).also(low.place, format!("{low_word} is given here"))
        }
        _ => {
            let message = format!("{}: {size_word} is {size}; it must be more than nothing", said.name);
            Diagnostic::error("no-size", place, message)
        }
    };
    fault.propose(format!("change {low_word}, {high_word} or {size_word} so that {size_word} is positive"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(numerator: i128, denominator: i128) -> Exact {
        Ratio::new(2_032_000 * numerator, denominator)
    }

    fn stated(value: Exact) -> Option<Stated> {
        Some(Stated { value, place: Place::default() })
    }

    fn said() -> Said<'static> {
        Said {
            name: "end_left",
            axis: Axis::Across,
            units: Units::Inch,
            place: Place::default(),
            stock: "birch",
        }
    }

    fn message(given: Given) -> String {
        run(&given, &said()).unwrap_err().message
    }

    #[test]
    fn any_two_of_three_give_the_same_run() {
        let (low, high, size) = (stated(inch(12, 1)), stated(inch(30, 1)), stated(inch(18, 1)));
        let expected = Run { low: inch(12, 1), size: inch(18, 1) };
        for given in [
            Given { low, high, ..Given::default() },
            Given { low, size, ..Given::default() },
            Given { high, size, ..Given::default() },
            Given { low, high, size, thick: None },
        ] {
            assert_eq!(run(&given, &said()), Ok(expected));
        }
    }

    #[test]
    fn one_face_and_the_thickness_are_enough() {
        let thick = stated(inch(3, 4));
        let expected = Run { low: inch(12, 1), size: inch(3, 4) };
        for given in [
            Given { low: stated(inch(12, 1)), thick, ..Given::default() },
            Given { high: stated(inch(51, 4)), thick, ..Given::default() },
            Given { low: stated(inch(12, 1)), high: stated(inch(51, 4)), size: thick, thick },
        ] {
            assert_eq!(run(&given, &said()), Ok(expected));
        }
    }

    // 12 + 18 = 30, and 30 - 29 1/2 = 1/2.
    #[test]
    fn three_that_disagree_are_named_with_the_difference() {
        let given = Given {
            low: stated(inch(12, 1)),
            high: stated(inch(59, 2)),
            size: stated(inch(18, 1)),
            thick: None,
        };
        let expected =
            "end_left: left 12\" and width 18\" make 30\", but right says 29 1/2\", which is 1/2\" less";
        assert_eq!(message(given), expected);
    }

    #[test]
    fn too_little_says_what_is_missing() {
        let given = Given { low: stated(inch(12, 1)), ..Given::default() };
        let fault = run(&given, &said()).unwrap_err();
        assert_eq!(fault.message, "end_left: of left, right and width only left is given; two are needed");
        assert_eq!(fault.cures[0].text, "add right or width");
        assert_eq!(
            message(Given::default()),
            "end_left: none of left, right and width is given; two are needed"
        );
        let given = Given { thick: stated(inch(3, 4)), ..Given::default() };
        assert_eq!(message(given), "end_left: neither left nor right is given");
    }

    #[test]
    fn a_board_without_size_is_refused() {
        let given = Given { low: stated(inch(12, 1)), high: stated(inch(10, 1)), ..Given::default() };
        assert_eq!(message(given), "end_left: right 10\" is not beyond left 12\", so width would be -2\"");
        let given = Given { low: stated(inch(12, 1)), size: stated(inch(0, 1)), ..Given::default() };
        assert_eq!(message(given), "end_left: width is 0\"; it must be more than nothing");
    }

    #[test]
    fn a_thickness_that_is_not_the_stocks_is_told_with_both() {
        let thick = stated(inch(709, 1000));
        let given = Given { low: stated(inch(0, 1)), size: stated(inch(3, 4)), thick, ..Given::default() };
        assert_eq!(
            message(given),
            "end_left: width is 3/4\", but birch is 0.709\" thick and its faces look that way"
        );
        let given = Given { low: stated(inch(0, 1)), high: stated(inch(3, 4)), thick, ..Given::default() };
        assert_eq!(
            message(given),
            "end_left: left 0\" and right 3/4\" leave 3/4\", but birch is 0.709\" thick"
        );
    }

    #[test]
    fn a_kilometre_is_the_end() {
        let far = stated(Exact::from_integer(i128::MAX));
        assert!(message(Given { low: far, size: far, ..Given::default() }).contains("further than 1 km"));
        assert!(message(Given { low: far, high: far, size: far, thick: None }).contains("further than 1 km"));
    }

    #[test]
    fn halves_go_up_on_both_sides_of_zero() {
        let units = |n, d| nearest(Ratio::new(n, d)).map(Length::units);
        assert_eq!(units(1, 2), Some(1));
        assert_eq!(units(-1, 2), Some(0));
        assert_eq!(units(-3, 2), Some(-1));
        assert_eq!(units(4, 3), Some(1));
        assert_eq!(units(-4, 3), Some(-1));
        assert_eq!(units(i128::MAX, 3), None);
    }
}
