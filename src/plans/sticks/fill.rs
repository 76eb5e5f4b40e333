//! The search: sticks filled by best subsets, then fewer sticks by taking a few apart and filling them anew.

use std::collections::BTreeMap;

use super::Stock;
use super::tight::fill_tight;
use crate::plans::random::Random;

/// A stick while it is being filled.
#[derive(Debug, Clone)]
pub(super) struct Bar {
    pub(super) stock: usize,
    /// Room for pieces, each grown by a kerf.
    room: i64,
    filled: i64,
    /// Distinct lengths on it by index, with repeats, longest first.
    pub(super) on: Vec<u32>,
}

/// Nodes of one subset search at most.
const SUBSET_NODES: u32 = 600;
/// Sticks taken apart in one step, from 1 to so many.
const TAKEN_APART: usize = 4;
/// How much longer the pieces left over may get in one step, as a share of a stick, on average.
const LONGER: f64 = 0.004;
/// What free length gathered on few sticks is worth against length left over.
const GATHERED: f64 = 0.02;
/// One distinct length in so many is overlooked in filling a stick, so that equal steps differ.
const OVERLOOK: usize = 12;

/// A job is tight when it may waste less than one part in so many.
const TIGHT: i128 = 500;
/// Steps between two searches without waste.
const TIGHT_EVERY: u32 = 32;
/// Sticks in one such search at least; up to twice as many.
const TIGHT_STICKS: usize = 16;
/// More sticks that waste something than these are too many for such a search.
const TIGHT_MOST: usize = 64;
/// Nodes of one such search.
const TIGHT_NODES: u64 = 60_000;

/// Pieces on hand: length, its index, how many; longest first.
type Hand = Vec<(i64, u32, u32)>;

pub(super) struct Search<'a> {
    lengths: &'a [i64],
    stock: &'a [Stock],
    rooms: &'a [i64],
    bound: usize,
    work: u64,
    random: Random,
    /// The subset in hand and the best so far: place in the hand, how many.
    chosen: Vec<(usize, u32)>,
    best: Vec<(usize, u32)>,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        lengths: &'a [i64],
        stock: &'a [Stock],
        rooms: &'a [i64],
        bound: usize,
        seed: u64,
    ) -> Self {
        Self {
            lengths,
            stock,
            rooms,
            bound,
            work: 0,
            random: Random::new(seed),
            chosen: Vec::new(),
            best: Vec::new(),
        }
    }

    /// Finds the subset of the hand that leaves least of `room`, the longest that fits always in it. It is in `best` then.
    /// Returns what it leaves.
    fn fullest(&mut self, hand: &Hand, room: i64, overlook: usize) -> i64 {
        self.chosen.clear();
        self.best.clear();
        let Some(first) = hand.iter().position(|&(length, _, count)| count > 0 && length <= room) else {
            return room;
        };
        let shortest = hand.iter().rev().find(|piece| piece.2 > 0).map_or(1, |piece| piece.0);
        let mut left = room - hand[first].0;
        let mut least = left;
        self.best.push((first, 1));
        let mut at = first;
        let mut nodes = 0;
        loop {
            // Down: as many as fit of every further length.
            while at < hand.len() && left >= shortest {
                nodes += 1;
                let (length, _, count) = hand[at];
                let count = if at == first { count - 1 } else { count };
                if count > 0 && length <= left {
                    let seen = overlook == 0 || at == first || self.random.below(overlook) > 0;
                    let take =
                        if seen { count.min(u32::try_from(left / length).unwrap_or(u32::MAX)) } else { 0 };
                    if take > 0 {
                        left -= length * i64::from(take);
                        self.chosen.push((at, take));
                    }
                }
                at += 1;
            }
            if left < least {
                least = left;
                self.best.clear();
                self.best.push((first, 1));
                self.best.extend_from_slice(&self.chosen);
            }
            if least == 0 || nodes > SUBSET_NODES {
                break;
            }
            // Up: one fewer of the last length taken, then on with shorter ones.
            let Some((last, take)) = self.chosen.pop() else { break };
            left += hand[last].0;
            if take > 1 {
                self.chosen.push((last, take - 1));
            }
            at = last + 1;
        }
        self.work += u64::from(nodes);
        least
    }

    /// Fills an empty bar from the hand.
    fn fill_bar(&mut self, hand: &mut Hand, bar: &mut Bar, overlook: usize) {
        let left = self.fullest(hand, bar.room, overlook);
        bar.on.clear();
        for &(at, take) in &self.best {
            hand[at].2 -= take;
            bar.on.extend(std::iter::repeat_n(hand[at].1, take as usize));
        }
        bar.on.sort_unstable();
        bar.filled = bar.room - left;
    }

    fn hand(&self, counts: &[u32]) -> Hand {
        let all = self.lengths.iter().zip(counts).enumerate();
        all.filter(|(_, (_, count))| **count > 0)
            .map(|(at, (&length, &count))| (length, at as u32, count))
            .collect()
    }

    fn new_bar(&self, stock: usize) -> Bar {
        Bar { stock, room: self.rooms[stock], filled: 0, on: Vec::new() }
    }

    /// Money first, then length from the rack.
    fn worth(&self, bars: &[Bar]) -> (u128, i128) {
        let mut worth = (0, 0);
        for bar in bars {
            let stock = self.stock[bar.stock];
            worth.0 += u128::from(stock.cost);
            if stock.cost == 0 {
                worth.1 += i128::from(stock.length);
            }
        }
        worth
    }

    /// Fills stick after stick, each of the stock that wastes least; the rack first. Returns what is left over.
    fn first_layout(&mut self, counts: &[u32], overlook: usize) -> (Vec<Bar>, Hand) {
        let mut hand = self.hand(counts);
        let mut bars = Vec::new();
        let mut used = vec![0_u32; self.stock.len()];
        loop {
            hand.retain(|piece| piece.2 > 0);
            let Some(&(longest, ..)) = hand.first() else { break };
            // Least cost for the length filled, rack sticks by what they waste.
            let mut choice: Option<(bool, f64, usize)> = None;
            for (index, stock) in self.stock.iter().enumerate() {
                if stock.count.is_some_and(|count| used[index] >= count) {
                    continue;
                }
                let left = self.fullest(&hand, self.rooms[index], overlook);
                let filled = self.rooms[index] - left;
                if filled == 0 || (stock.count.is_none() && longest > self.rooms[index]) {
                    continue;
                }
                let price = if stock.cost == 0 { stock.length as f64 } else { stock.cost as f64 };
                let key = (stock.cost > 0, price / filled as f64, index);
                if choice.is_none_or(|best| key < best) {
                    choice = Some(key);
                }
            }
            let Some((_, _, index)) = choice else { break };
            used[index] += 1;
            let mut bar = self.new_bar(index);
            self.fill_bar(&mut hand, &mut bar, overlook);
            bars.push(bar);
        }
        (bars, hand)
    }

    /// Sets of sticks cheaper than this one by one change: the stick to give up and the stock to take for it.
    fn cheaper(&self, bars: &[Bar]) -> Vec<(usize, Option<usize>)> {
        let pays = self.worth(bars).0 > 0;
        let free: i128 = bars.iter().map(|bar| i128::from(bar.room - bar.filled)).sum();
        let mut emptiest: BTreeMap<usize, usize> = BTreeMap::new();
        let mut used = vec![0_u32; self.stock.len()];
        for (index, bar) in bars.iter().enumerate() {
            used[bar.stock] += 1;
            let entry = emptiest.entry(bar.stock).or_insert(index);
            if bar.filled < bars[*entry].filled {
                *entry = index;
            }
        }
        let mut changes = Vec::new();
        for (&from, &index) in &emptiest {
            let (old, old_room) = (self.stock[from], self.rooms[from]);
            if pays && old.cost == 0 {
                continue;
            }
            if bars.len() > self.bound && free >= i128::from(old_room) {
                changes.push((index, None));
            }
            for (to, new) in self.stock.iter().enumerate() {
                let saves = (new.cost, new.length) < (old.cost, old.length) && (!pays || new.cost < old.cost);
                let there = new.count.is_none_or(|count| used[to] < count);
                if saves && there && free >= i128::from(old_room - self.rooms[to]) {
                    changes.push((index, Some(to)));
                }
            }
        }
        changes
    }

    /// Places all pieces at the least cost it finds. The error is what the stock did not suffice for.
    pub(super) fn run(&mut self, counts: &[u32], end: u64) -> Result<Vec<Bar>, Vec<u32>> {
        let (mut best, mut left) = self.first_layout(counts, 0);
        for _ in 0..8 {
            if left.is_empty() && (self.cheaper(&best).is_empty() || self.work > end / 4) {
                break;
            }
            let (bars, over) = self.first_layout(counts, OVERLOOK);
            let length = |hand: &Hand| {
                hand.iter().map(|piece| i128::from(piece.0) * i128::from(piece.2)).sum::<i128>()
            };
            if (length(&over), self.worth(&bars)) < (length(&left), self.worth(&best)) {
                (best, left) = (bars, over);
            }
        }
        if !left.is_empty() && !self.place_all(&mut best, &mut left, end) {
            let mut short = vec![0; self.lengths.len()];
            left.iter().for_each(|&(_, at, count)| short[at as usize] = count);
            return Err(short);
        }
        let mut turn = 0;
        while self.work < end {
            let changes = self.cheaper(&best);
            if changes.is_empty() {
                break;
            }
            let (index, to) = changes[turn % changes.len()];
            turn += 1;
            let mut bars = best.clone();
            let gone = bars.swap_remove(index);
            let mut left = self.collect(&gone.on);
            if let Some(to) = to {
                bars.push(self.new_bar(to));
            }
            let room = end - self.work;
            let slice = if changes.len() == 1 { room } else { room / (2 * changes.len() as u64) + 1 };
            let until = self.work + slice;
            if self.place_all(&mut bars, &mut left, until) {
                bars.retain(|bar| !bar.on.is_empty());
                best = bars;
                turn = 0;
            }
        }
        // The rack first, then by stock, the fullest first.
        best.sort_by_key(|bar| {
            (self.stock[bar.stock].cost > 0, bar.stock, bar.room - bar.filled, bar.on.clone())
        });
        Ok(best)
    }

    /// A hand of these lengths.
    fn collect(&self, on: &[u32]) -> Hand {
        let mut sorted = on.to_vec();
        sorted.sort_unstable();
        let mut hand = Hand::new();
        for at in sorted {
            match hand.last_mut() {
                Some(last) if last.1 == at => last.2 += 1,
                _ => hand.push((self.lengths[at as usize], at, 1)),
            }
        }
        hand
    }

    /// Where next to nothing may be wasted: takes every bar that wastes something apart, and some that do not, and looks for
    /// a filling without waste. True when it is found.
    fn place_tight(&mut self, bars: &mut [Bar], left: &mut Hand, most: usize, nodes: u64) -> bool {
        let room = bars.first().map_or(0, |bar| bar.room);
        let mut taken: Vec<usize> = (0..bars.len()).filter(|&at| bars[at].filled < bars[at].room).collect();
        if taken.len() > TIGHT_MOST || bars.iter().any(|bar| bar.room != room) {
            return false;
        }
        let mut others: Vec<usize> = (0..bars.len()).filter(|&at| bars[at].filled == bars[at].room).collect();
        while taken.len() < most && !others.is_empty() {
            taken.push(others.swap_remove(self.random.below(others.len())));
        }
        let mut on = Vec::new();
        left.iter().for_each(|&(_, at, count)| on.extend(std::iter::repeat_n(at, count as usize)));
        taken.iter().for_each(|&at| on.extend_from_slice(&bars[at].on));
        let hand = self.collect(&on);
        let lengths: Vec<i64> = hand.iter().map(|piece| piece.0).collect();
        let counts: Vec<u32> = hand.iter().map(|piece| piece.2).collect();
        let (filled, work) = fill_tight(&lengths, &counts, taken.len(), room, nodes, &mut self.random);
        self.work += work;
        let Some(filled) = filled else { return false };
        let mut filled = filled.into_iter();
        for at in taken {
            let subset = filled.next().unwrap_or_default();
            bars[at].filled = subset.iter().map(|&place| lengths[place]).sum();
            bars[at].on = subset.into_iter().map(|place| hand[place].1).collect();
        }
        left.clear();
        true
    }

    /// Takes a few bars apart and fills them anew, again and again, until the hand is empty or `work` reaches `end`.
    fn place_all(&mut self, bars: &mut [Bar], left: &mut Hand, end: u64) -> bool {
        let longest = self.rooms.iter().copied().max().unwrap_or(1) as f64;
        let length =
            |hand: &Hand| hand.iter().map(|piece| piece.0 as f64 * f64::from(piece.2)).sum::<f64>() / longest;
        let gathered = |bar: &Bar| {
            let share = (bar.room - bar.filled) as f64 / longest;
            share * share
        };
        let mut over = length(left);
        let room: i128 = bars.iter().map(|bar| i128::from(bar.room)).sum();
        let free: i128 = bars.iter().map(|bar| i128::from(bar.room - bar.filled)).sum();
        let needed: i128 = left.iter().map(|piece| i128::from(piece.0) * i128::from(piece.2)).sum();
        let tight = (free - needed) * TIGHT < room;
        let mut steps = 0_u32;
        let mut on = Vec::new();
        let mut saved: Vec<(usize, Bar)> = Vec::new();
        while !left.is_empty() {
            if self.work >= end || bars.is_empty() {
                return false;
            }
            if tight && steps.is_multiple_of(TIGHT_EVERY) {
                let most = TIGHT_STICKS + self.random.below(TIGHT_STICKS);
                if self.place_tight(bars, left, most, TIGHT_NODES) {
                    return true;
                }
            }
            steps = steps.wrapping_add(1);
            on.clear();
            saved.clear();
            left.iter().for_each(|&(_, at, count)| on.extend(std::iter::repeat_n(at, count as usize)));
            let mut was = 0.0;
            for _ in 0..=self.random.below(TAKEN_APART) {
                let mut index = self.random.below(bars.len());
                let other = self.random.below(bars.len());
                if bars[other].room - bars[other].filled > bars[index].room - bars[index].filled {
                    index = other;
                }
                if saved.iter().any(|(taken, _)| *taken == index) {
                    continue;
                }
                on.extend_from_slice(&bars[index].on);
                was += gathered(&bars[index]);
                saved.push((index, bars[index].clone()));
            }
            let mut hand = self.collect(&on);
            self.work += on.len() as u64;
            let mut now = 0.0;
            for (index, _) in &saved {
                self.fill_bar(&mut hand, &mut bars[*index], OVERLOOK);
                now += gathered(&bars[*index]);
            }
            hand.retain(|piece| piece.2 > 0);
            let new_over = length(&hand);
            let worse = new_over - over - GATHERED * (now - was);
            if hand.is_empty() || worse <= LONGER * self.random.patience() {
                *left = hand;
                over = new_over;
            } else {
                for (index, bar) in saved.drain(..) {
                    bars[index] = bar;
                }
            }
        }
        true
    }
}
