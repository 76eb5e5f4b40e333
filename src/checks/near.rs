//! Which of many boxes come near each other: a sweep along the axis on which they are spread best, so that a run of
//! hundreds of bays costs hundreds of looks, not their square.

use crate::length::{Interval, Length};
use crate::trade::Axis;

/// All pairs of boxes that are no further apart than `slack` on any axis, by index, the smaller first, in order. With a
/// negative slack they must overlap by more than it.
pub(super) fn pairs(boxes: &[[Interval; 3]], slack: Length) -> Vec<(usize, usize)> {
    let axis = best_axis(boxes).index();
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by_key(|&index| (boxes[index][axis].low, index));
    let near = |a: Interval, b: Interval| a.low <= b.high + slack && b.low <= a.high + slack;
    let mut open: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    for &index in &order {
        let here = boxes[index];
        open.retain(|&other| boxes[other][axis].high + slack >= here[axis].low);
        for &other in &open {
            if (0..3).all(|axis| near(here[axis], boxes[other][axis])) {
                found.push((index.min(other), index.max(other)));
            }
        }
        open.push(index);
    }
    found.sort_unstable();
    found
}

/// The axis on which the boxes are short against the whole run.
fn best_axis(boxes: &[[Interval; 3]]) -> Axis {
    let crowding = |axis: Axis| {
        let spans = boxes.iter().map(|span| span[axis.index()]);
        let low = spans.clone().map(|span| span.low).min().unwrap_or_default();
        let high = spans.clone().map(|span| span.high).max().unwrap_or_default();
        let covered: f64 = spans.map(|span| span.size().to_mm()).sum();
        covered / (high - low).to_mm().max(1e-6)
    };
    Axis::ALL.into_iter().min_by(|a, b| crowding(*a).total_cmp(&crowding(*b))).unwrap_or(Axis::Across)
}

#[cfg(test)]
mod tests {
    use super::pairs;
    use crate::length::{Interval, Length};

    fn cube(at: [i64; 3], size: i64) -> [Interval; 3] {
        at.map(|low| Interval { low: Length::MM * low, high: Length::MM * (low + size) })
    }

    #[test]
    fn pairs_are_those_that_every_pair_compared_would_find() {
        // A fixed pseudo-random scatter (multiplicative congruence), so that the sweep has all kinds of order to deal with.
        let mut seed: i64 = 12_345;
        let mut next = |most: i64| {
            seed = (seed * 16_807) % 2_147_483_647;
            seed % most
        };
        let boxes: Vec<_> = (0..120).map(|_| cube([next(300), next(90), next(60)], 1 + next(40))).collect();
        for slack in [Length::ZERO, Length::MM * 3, -Length::TOUCH] {
            let mut plain = Vec::new();
            for a in 0..boxes.len() {
                for b in a + 1..boxes.len() {
                    let near = (0..3).all(|axis| {
                        boxes[a][axis].low <= boxes[b][axis].high + slack
                            && boxes[b][axis].low <= boxes[a][axis].high + slack
                    });
                    if near {
                        plain.push((a, b));
                    }
                }
            }
            assert!(plain.len() > 20);
            assert_eq!(pairs(&boxes, slack), plain);
        }
    }
}
