//! A row of dimensions, rounded so that what is printed still adds up.

use super::Length;
use super::show::rounded;

/// A chain of dimensions as printed, all on the step; the members add up to the overall exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    pub members: Vec<Length>,
    /// The true overall rounded to the step, halves away from zero.
    pub overall: Length,
    /// Printed less true, member by member.
    pub off: Vec<Length>,
}

impl Row {
    /// The largest of the members' offs, without sign. More than half a step means that one member had to give way
    /// for the sum: the sheet may take a finer step, or leave that member to the float.
    pub fn worst(&self) -> Length {
        self.off.iter().map(|off| off.abs()).max().unwrap_or(Length::ZERO)
    }
}

/// Rounds a chain to the step so that the printed members add up to the printed overall.
///
/// Without a `float` every member is rounded down and what is then missing is shared out, one step each, to the
/// members that lost most (the first of equals): each is off by less than one step. With a `float` (an index) the
/// others are rounded to the nearest step and the float takes what is left, as long as that is one step at most. What is
/// more goes to the members that rounding took furthest the other way (of equals, the nearest to the float), one step each, so
/// that no member is ever off by more than one step. A step of zero or less leaves the chain as it is; a float that is not
/// in the chain counts as none.
///
/// ```
/// use tickstick::length::{Length, notation::row};
///
/// // three equal bays in 10": 3 1/3" each, to 1/16": 53.33 sixteenths
/// let bay = Length::from_units(2_032_000 * 10 / 3);
/// let sixteenth = Length::from_units(127_000);
/// let printed = row(&[bay, bay, bay], sixteenth, None);
/// assert_eq!(printed.members, [sixteenth * 54, sixteenth * 53, sixteenth * 53]);
/// assert_eq!(printed.overall, sixteenth * 160);
/// ```
pub fn row(members: &[Length], step: Length, float: Option<usize>) -> Row {
    let sum = |all: &[Length]| all.iter().copied().sum::<Length>();
    let overall = rounded(sum(members), step);
    let float = float.filter(|index| *index < members.len());
    let printed: Vec<Length> = if !step.is_positive() {
        members.to_vec()
    } else if let Some(float) = float {
        let mut printed: Vec<Length> = members.iter().map(|member| rounded(*member, step)).collect();
        printed[float] = Length::ZERO;
        printed[float] = overall - sum(&printed);
        share_out(&mut printed, members, step, float);
        printed
    } else {
        largest_remainder(members, step, overall)
    };
    let off = printed.iter().zip(members).map(|(printed, member)| *printed - *member).collect();
    Row { members: printed, overall, off }
}

/// Takes from the float what is more than a step of rounding. The offs of all add up to half a step at most, so while the
/// float is off by more than one, others are off the other way, and each of them stays within a step.
fn share_out(printed: &mut [Length], members: &[Length], step: Length, float: usize) {
    loop {
        let off = printed[float] - members[float];
        if off.abs() <= step {
            return;
        }
        let by = if off.is_positive() { step } else { -step };
        let other_way = |i: usize| (members[i] - printed[i]).units() * by.units().signum();
        let others = (0..members.len()).filter(|i| *i != float && other_way(*i) > 0);
        let Some(giving) = others.max_by_key(|i| (other_way(*i), std::cmp::Reverse(i.abs_diff(float))))
        else {
            return;
        };
        printed[giving] += by;
        printed[float] -= by;
    }
}

fn largest_remainder(members: &[Length], step: Length, overall: Length) -> Vec<Length> {
    let lost = |member: Length| member.units().rem_euclid(step.units());
    let mut printed: Vec<Length> =
        members.iter().map(|member| *member - Length::from_units(lost(*member))).collect();
    let missing = (overall - printed.iter().copied().sum()).units() / step.units();
    let mut by_loss: Vec<usize> = (0..members.len()).collect();
    by_loss.sort_by_key(|index| (-lost(members[*index]), *index));
    // The losses add up to less than one step for each member that lost anything, so only such members are raised.
    for index in by_loss.into_iter().take(usize::try_from(missing).unwrap_or(0)) {
        printed[index] += step;
    }
    printed
}
