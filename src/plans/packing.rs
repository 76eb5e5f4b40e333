//! Lanes of mixed widths, so that the least wood is bought: a narrower piece stands at the end of a wider lane, and lanes lie
//! together on boards of the length that needs least.
//!
//! From a layout that is good already a few pieces or boards are taken out and put back where they add least wood, over and
//! over ("ruin and recreate": Schrimpf, Schneider, Stamm-Wilbrandt, Dueck, "Record breaking optimization results", 2000);
//! what is a little worse is kept for a while, ever less of it (threshold accepting: Dueck, Scheuer, 1990). Whole numbers
//! and a fixed seed: the same everywhere.

use super::boards::Strip;
use super::lanes::{Board, Lane, OnLane, Wanted};
use super::random::Random;
use crate::length::Length;

/// More pieces than these stay as they are: so many share lanes well by themselves.
const MOST: usize = 1_000;
/// Most rounds for one stock.
const ROUNDS: usize = 1_500;
/// What is worse by so many thousandths is still kept at the start.
const LENIENT: i128 = 40;

/// A rough piece: its strip, its width, and what it takes of a lane, a saw cut after it included.
#[derive(Clone, Copy)]
struct Rough {
    strip: usize,
    width: i64,
    takes: i64,
}

#[derive(Clone)]
struct Row {
    width: i64,
    takes: i64,
    pieces: Vec<usize>,
}

/// A board; its length is an index into those that are sold.
#[derive(Clone)]
struct Bin {
    length: usize,
    rows: Vec<Row>,
}

/// Wood first, then boards to handle, pieces to rip by themselves, rips.
type Cost = (i128, usize, usize, usize);

struct Packer<'a> {
    wanted: &'a Wanted<'a>,
    pieces: Vec<Rough>,
    lengths: Vec<i64>,
    /// What pieces can take of a lane of each length, a saw cut after the last included.
    rooms: Vec<i64>,
    random: Random,
}

/// Betters a layout of strips; `lengths` are those that are sold, shortest first. Puts boards, lanes and pieces in order:
/// longest boards first; on a board the widest lane, on a lane the widest piece, then the longest.
pub(super) fn pack(strips: &[Strip], wanted: &Wanted, lengths: &[Length], start: Vec<Board>) -> Vec<Board> {
    let trim = wanted.end_loss.units().saturating_mul(2);
    let kerf = wanted.kerf.units();
    let rooms: Vec<i64> = lengths.iter().map(|length| length.units() - trim + kerf).collect();
    let whole = rooms.last().copied().unwrap_or_default();
    if whole <= kerf {
        return start;
    }
    let mut packer = Packer {
        wanted,
        pieces: Vec::new(),
        lengths: lengths.iter().map(|length| length.units()).collect(),
        rooms,
        random: Random::new(1),
    };
    let mut bins = Vec::new();
    for board in &start {
        let Some(length) = lengths.iter().position(|length| *length == board.length) else { return start };
        let rows = board.lanes.iter().map(|lane| {
            let from = packer.pieces.len();
            for on in &lane.pieces {
                // What only just comes out of the longest board has a lane of it to itself.
                let takes = (on.length.units() + kerf).min(whole);
                packer.pieces.push(Rough { strip: on.strip, width: on.width.units(), takes });
            }
            packer.row((from..packer.pieces.len()).collect())
        });
        let rows = rows.collect();
        bins.push(Bin { length, rows });
    }
    if packer.pieces.len() <= MOST {
        bins = packer.better(bins);
    }
    packer.boards(strips, bins)
}

impl Packer<'_> {
    fn row(&self, mut pieces: Vec<usize>) -> Row {
        // Widest first, so that what is narrower stands at the end.
        pieces.sort_by_key(|index| {
            let piece = self.pieces[*index];
            (-piece.width, -piece.takes, piece.strip, *index)
        });
        let width = pieces.iter().map(|index| self.pieces[*index].width).max().unwrap_or_default();
        Row { width, takes: pieces.iter().map(|index| self.pieces[*index].takes).sum(), pieces }
    }

    /// Width of a board that gives so many lanes, together so wide with a saw cut after each; `None`: there is none.
    fn across(&self, lanes: usize, wide: i64) -> Option<i64> {
        let used = wide - self.wanted.kerf.units();
        let sold = match (self.wanted.random, self.wanted.widths) {
            (Some([least, most]), _) => (used <= most.units()).then(|| used.max(least.units())),
            (None, widths) => widths.iter().map(|width| width.units()).filter(|width| *width >= used).min(),
        };
        // Where no width is known each lane is a board of its own, and what is wider than any board is told elsewhere.
        sold.or((lanes == 1).then_some(used))
    }

    fn wide(&self, bin: &Bin) -> i64 {
        bin.rows.iter().map(|row| row.width + self.wanted.kerf.units()).sum()
    }

    fn area(&self, bin: &Bin) -> i128 {
        let wide = self.across(bin.rows.len(), self.wide(bin)).unwrap_or(i64::MAX);
        i128::from(wide) * i128::from(self.lengths[bin.length])
    }

    fn cost(&self, bins: &[Bin]) -> Cost {
        let rows = || bins.iter().flat_map(|bin| &bin.rows);
        let narrower =
            |row: &Row| row.pieces.iter().filter(|index| self.pieces[**index].width < row.width).count();
        (bins.iter().map(|bin| self.area(bin)).sum(), bins.len(), rows().map(narrower).sum(), rows().count())
    }

    fn better(&mut self, start: Vec<Bin>) -> Vec<Bin> {
        let count = self.pieces.len();
        let rounds = (40 * count * count).min(ROUNDS).min(300_000 / count.max(1));
        let (mut best, mut now) = (start.clone(), start);
        let mut least = self.cost(&best);
        let mut at = least;
        for round in 0..rounds {
            let mut next = now.clone();
            let mut out = self.ruin(&mut next);
            self.order(&mut out);
            if !out.into_iter().all(|piece| self.put(&mut next, piece)) {
                continue;
            }
            let cost = self.cost(&next);
            let lenient = LENIENT * (rounds - round) as i128 / rounds as i128;
            if cost.0 * 1000 <= at.0 * (1000 + lenient) {
                if cost < least {
                    (best, least) = (next.clone(), cost);
                }
                (now, at) = (next, cost);
            }
            // Every so often from the best again.
            if round % 250 == 249 {
                (now, at) = (best.clone(), least);
            }
        }
        best
    }

    /// Takes out whole boards, or pieces here and there.
    fn ruin(&mut self, bins: &mut Vec<Bin>) -> Vec<usize> {
        let mut out = Vec::new();
        if self.random.below(2) == 0 {
            for _ in 0..=self.random.below(3) {
                if !bins.is_empty() {
                    let bin = bins.swap_remove(self.random.below(bins.len()));
                    out.extend(bin.rows.into_iter().flat_map(|row| row.pieces));
                }
            }
            return out;
        }
        for _ in 0..=self.random.below(self.pieces.len().min(10)) {
            out.push(self.random.below(self.pieces.len()));
        }
        out.sort_unstable();
        out.dedup();
        for bin in bins.iter_mut() {
            for row in &mut bin.rows {
                if row.pieces.iter().any(|index| out.binary_search(index).is_ok()) {
                    let left = row.pieces.iter().copied().filter(|index| out.binary_search(index).is_err());
                    *row = self.row(left.collect());
                }
            }
            bin.rows.retain(|row| !row.pieces.is_empty());
            let longest = bin.rows.iter().map(|row| row.takes).max().unwrap_or_default();
            bin.length = self.shortest(longest).unwrap_or(bin.length);
        }
        bins.retain(|bin| !bin.rows.is_empty());
        out
    }

    /// The shortest length that is sold with room for so much.
    fn shortest(&self, takes: i64) -> Option<usize> {
        self.rooms.iter().position(|room| takes <= *room)
    }

    fn order(&mut self, out: &mut [usize]) {
        for place in (1..out.len()).rev() {
            out.swap(place, self.random.below(place + 1));
        }
        let key: fn(&Rough) -> i128 = match self.random.below(4) {
            0 => return,
            1 => |piece| i128::from(piece.width),
            2 => |piece| i128::from(piece.takes),
            _ => |piece| i128::from(piece.width) * i128::from(piece.takes),
        };
        out.sort_by_key(|index| -key(&self.pieces[*index]));
    }

    /// Puts a piece where it adds least wood, of those places where least is left beside it; now and then a place is not
    /// seen. False where no board has room for it.
    fn put(&mut self, bins: &mut Vec<Bin>, index: usize) -> bool {
        let piece = self.pieces[index];
        let kerf = self.wanted.kerf.units();
        // (wood added, what is left of the lane, board, lane, length)
        let mut best: Option<(i128, i64, usize, usize, usize)> = None;
        for (at, bin) in bins.iter().enumerate() {
            let (wide, area) = (self.wide(bin), self.area(bin));
            for (row, of) in bin.rows.iter().map(Some).chain([None]).enumerate() {
                let (width, takes) = of.map_or((-kerf, 0), |of| (of.width, of.takes));
                let Some(length) = self.shortest(takes + piece.takes) else { continue };
                let length = length.max(bin.length);
                let lanes = bin.rows.len() + usize::from(of.is_none());
                let Some(across) = self.across(lanes, wide - width + width.max(piece.width)) else {
                    continue;
                };
                if self.random.below(32) == 0 {
                    continue;
                }
                let added = i128::from(across) * i128::from(self.lengths[length]) - area;
                let left = self.rooms[length] - takes - piece.takes + (width - piece.width).abs();
                if best.is_none_or(|best| (added, left) < (best.0, best.1)) {
                    best = Some((added, left, at, row, length));
                }
            }
        }
        if let (Some(length), Some(across)) = (self.shortest(piece.takes), self.across(1, piece.width + kerf))
        {
            let added = i128::from(across) * i128::from(self.lengths[length]);
            if best.is_none_or(|best| added < best.0) {
                bins.push(Bin { length, rows: vec![self.row(vec![index])] });
                return true;
            }
        }
        let Some((_, _, at, row, length)) = best else { return false };
        let bin = &mut bins[at];
        bin.length = length;
        let mut pieces = bin.rows.get_mut(row).map(|row| std::mem::take(&mut row.pieces)).unwrap_or_default();
        pieces.push(index);
        let made = self.row(pieces);
        match bin.rows.get_mut(row) {
            Some(there) => *there = made,
            None => bin.rows.push(made),
        }
        true
    }

    /// The boards of a layout, in order.
    fn boards(&self, strips: &[Strip], mut bins: Vec<Bin>) -> Vec<Board> {
        let sizes = |row: &Row| -> Vec<(i64, i64, usize)> {
            let size = |index: &usize| (self.pieces[*index].width, self.pieces[*index].takes);
            row.pieces
                .iter()
                .map(|index| (-size(index).0, -size(index).1, self.pieces[*index].strip))
                .collect()
        };
        for bin in &mut bins {
            bin.rows.sort_by_cached_key(|row| (-row.width, sizes(row)));
        }
        bins.sort_by_cached_key(|bin| {
            let rows: Vec<_> = bin.rows.iter().map(sizes).collect();
            (-self.lengths[bin.length], -self.area(bin), rows)
        });
        bins.iter().map(|bin| self.board(strips, bin)).collect()
    }

    fn board(&self, strips: &[Strip], bin: &Bin) -> Board {
        let (kerf, end_loss) = (self.wanted.kerf, self.wanted.end_loss);
        let length = Length::from_units(self.lengths[bin.length]);
        let mut edge = Length::ZERO;
        let mut lanes = Vec::new();
        for row in &bin.rows {
            let mut from = end_loss;
            let mut pieces = Vec::new();
            for index in &row.pieces {
                let strip = self.pieces[*index].strip;
                let (width, long) = (strips[strip].rough_width, strips[strip].rough_length);
                if long > length - end_loss * 2 {
                    from = (length - long).half();
                }
                pieces.push(OnLane { strip, from, length: long, width });
                from = from + long + kerf;
            }
            let width = Length::from_units(row.width);
            let offcut = (length - end_loss - from).max(Length::ZERO);
            lanes.push(Lane { from: edge, width, pieces, offcut });
            edge = edge + width + kerf;
        }
        let across = self.across(bin.rows.len(), self.wide(bin)).map(Length::from_units);
        Board { width: across.unwrap_or(edge - kerf), length, lanes }
    }
}
