//! The last sticks of a tight job: a search for a filling that leaves next to nothing, which chance alone does not find.
//!
//! Stick after stick is filled round the longest piece on hand, with every subset in turn that wastes no more than the whole
//! job can spare, until all are full or the nodes are used up.

use crate::plans::random::Random;

/// Subsets tried for one stick at most.
const MOST_SUBSETS: usize = 48;
/// Steps in listing the subsets of one stick at most.
const MOST_STEPS: u32 = 4_000;

pub(super) struct Tight<'a> {
    /// Distinct lengths, longest first, and how many are on hand.
    lengths: &'a [i64],
    counts: Vec<u32>,
    room: i64,
    nodes: u64,
    random: &'a mut Random,
    filled: Vec<Vec<usize>>,
}

/// Fills `sticks` sticks with all pieces; `spare` is the length that may be wasted in all, less than nothing if they cannot
/// fit. Gives places in `lengths` for every stick, and the work done.
pub(super) fn fill_tight(
    lengths: &[i64],
    counts: &[u32],
    sticks: usize,
    room: i64,
    nodes: u64,
    random: &mut Random,
) -> (Option<Vec<Vec<usize>>>, u64) {
    let needed: i64 = lengths.iter().zip(counts).map(|(length, &count)| length * i64::from(count)).sum();
    let spare = room * sticks as i64 - needed;
    let mut tight = Tight { lengths, counts: counts.to_vec(), room, nodes, random, filled: Vec::new() };
    let found = spare >= 0 && tight.next_stick(sticks, spare);
    let work = nodes - tight.nodes;
    (found.then_some(tight.filled), work)
}

impl Tight<'_> {
    fn next_stick(&mut self, sticks: usize, spare: i64) -> bool {
        let Some(first) = self.counts.iter().position(|&count| count > 0) else { return true };
        if sticks == 0 || self.lengths[first] > self.room {
            return false;
        }
        self.counts[first] -= 1;
        let mut subsets: Vec<(i64, u64, Vec<usize>)> = Vec::new();
        let mut steps = 0;
        let left = self.room - self.lengths[first];
        self.list(first, left, spare, &mut vec![first], &mut subsets, &mut steps);
        self.nodes = self.nodes.saturating_sub(1 + u64::from(steps));
        // Least waste first, equal ones in any order.
        subsets.sort_unstable_by_key(|subset| (subset.0, subset.1));
        for (waste, _, subset) in subsets {
            if self.nodes == 0 {
                break;
            }
            subset[1..].iter().for_each(|&at| self.counts[at] -= 1);
            self.filled.push(subset);
            if self.next_stick(sticks - 1, spare - waste) {
                return true;
            }
            if let Some(subset) = self.filled.pop() {
                subset[1..].iter().for_each(|&at| self.counts[at] += 1);
            }
        }
        self.counts[first] += 1;
        false
    }

    /// Lists the subsets from place `from` on that leave no more than `spare` of `left`.
    fn list(
        &mut self,
        from: usize,
        left: i64,
        spare: i64,
        chosen: &mut Vec<usize>,
        subsets: &mut Vec<(i64, u64, Vec<usize>)>,
        steps: &mut u32,
    ) {
        if left <= spare {
            subsets.push((left, self.random.next(), chosen.clone()));
        }
        let Some(last) = (from..self.lengths.len()).rev().find(|&at| self.counts[at] > 0) else { return };
        let shortest = self.lengths[last];
        let begin = from + self.lengths[from..].partition_point(|&length| length > left);
        for at in begin..=last {
            *steps += 1;
            if subsets.len() >= MOST_SUBSETS || *steps > MOST_STEPS {
                return;
            }
            let rest = left - self.lengths[at];
            // One more piece must do where no two have room.
            if left < 2 * shortest && rest > spare {
                return;
            }
            if self.counts[at] == 0 {
                continue;
            }
            self.counts[at] -= 1;
            chosen.push(at);
            if rest <= spare || rest >= shortest {
                self.list(at, rest, spare, chosen, subsets, steps);
            }
            chosen.pop();
            self.counts[at] += 1;
        }
    }
}
