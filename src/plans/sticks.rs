//! Pieces from sticks: mouldings, battens and boards cut to length from the lengths sold.
//!
//! In: pieces with quantities, the lengths there are. Out: what is cut from which stick, in which order, and what is left of
//! it. All lengths are whole numbers of one unit, which the module does not know.
//!
//! With one length sold the fewest sticks are wanted, with several the least bought length (or cost). A stick is filled by a
//! search for the subset that leaves least (minimum bin slack: Gupta and Ho, "A new heuristic algorithm for the
//! one-dimensional bin-packing problem", 1999); then a stick is given up or changed for a cheaper one, a few sticks at a time
//! are taken apart and filled anew until all pieces are placed, and so on down to the bound.

mod fill;
mod tight;

use std::collections::BTreeMap;
use std::fmt;

use super::bound;
use fill::{Bar, Search};

/// Longest stick or piece that is taken, in units; sums of 100 000 stay within 64 bits.
pub const LONGEST: i64 = 1 << 40;
/// Most pieces in one request.
pub const MOST_PIECES: u64 = 100_000;

/// Equal pieces to be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    pub length: i64,
    pub quantity: u32,
}

/// A length to cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    pub length: i64,
    /// How many there are; `None` for as many as needed.
    pub count: Option<u32>,
    /// Squared off each end before use, kerf included.
    pub trim: i64,
    /// What one costs, in any unit; 0 for what is already in the rack.
    pub cost: u64,
}

impl Stock {
    /// A length as it is sold, as many as needed. Costs its length, so that the least total length is bought.
    pub fn sold(length: i64, trim: i64) -> Self {
        Self { length, count: None, trim, cost: length.max(1).unsigned_abs() }
    }

    /// Sticks in the rack: ends already square, no cost.
    pub fn in_rack(length: i64, count: u32) -> Self {
        Self { length, count: Some(count), trim: 0, cost: 0 }
    }
}

/// How to go about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Width of the saw cut.
    pub kerf: i64,
    /// Steps of work; twice the effort takes about twice the time.
    pub effort: u32,
    /// Another seed gives another layout, as good on average.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self { kerf: 0, effort: 10, seed: 1 }
    }
}

/// One piece on a stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of its piece in the request.
    pub piece: usize,
    /// Where it begins, from the end of the stick as bought.
    pub from: i64,
    pub length: i64,
}

/// One stick and what is cut from it, longest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stick {
    /// Index of its stock.
    pub stock: usize,
    pub pieces: Vec<Placed>,
    /// What is left after the last cut, the trim of the far end apart.
    pub offcut: i64,
}

/// Every stick cut, and what is known about them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    pub sticks: Vec<Stick>,
    /// No layout takes fewer sticks, those from the rack included.
    pub bound: usize,
    /// Cost of all sticks taken.
    pub cost: u128,
}

/// Why there is no layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// A length is under 1 or over `LONGEST`.
    PieceLength { piece: usize },
    /// More than `MOST_PIECES` in all.
    TooManyPieces { pieces: u64 },
    /// A length is under 1 or over `LONGEST`, or its trim leaves nothing.
    StockLength { stock: usize },
    /// Kerf under 0 or over `LONGEST`.
    Kerf,
    /// No stock reaches: a joint would be needed.
    PieceTooLong { piece: usize, longest: i64 },
    /// The stock is used up; so many of these pieces are left over.
    StockShort { left: Vec<(usize, u32)> },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PieceLength { piece } => {
                write!(f, "piece {}: length under 1 or over {LONGEST} units", piece + 1)
            }
            Self::TooManyPieces { pieces } => {
                write!(f, "{pieces} pieces; at most {MOST_PIECES} are laid out at once")
            }
            Self::StockLength { stock } => {
                write!(f, "stock {}: length out of range, or the trim leaves nothing", stock + 1)
            }
            Self::Kerf => write!(f, "the kerf is under 0 or out of range"),
            Self::PieceTooLong { piece, longest } => {
                write!(
                    f,
                    "piece {}: no stock reaches; the longest yields {longest} units in one piece",
                    piece + 1
                )
            }
            Self::StockShort { left } => {
                let pieces: u64 = left.iter().map(|&(_, count)| u64::from(count)).sum();
                write!(f, "the stock is used up with {pieces} pieces left over")
            }
        }
    }
}

/// Nodes of the subset search for one piece and one of effort.
const WORK_PER_PIECE: u64 = 5_000;
/// Pieces that a request counts for in addition to its own.
const SPARE_PIECES: u64 = 20;

/// Fits pieces to sticks.
///
/// # Errors
/// Every fault found in the request, or, where the stock is limited, that it did not suffice.
pub fn lay_out(pieces: &[Piece], stock: &[Stock], options: &Options) -> Result<Layout, Vec<Fault>> {
    let faults = faults(pieces, stock, options);
    if !faults.is_empty() {
        return Err(faults);
    }
    let kerf = options.kerf;
    let mut distinct: BTreeMap<i64, Vec<(usize, u32)>> = BTreeMap::new();
    for (index, piece) in pieces.iter().enumerate().filter(|(_, piece)| piece.quantity > 0) {
        distinct.entry(piece.length + kerf).or_default().push((index, piece.quantity));
    }
    let quantity = |owners: &Vec<(usize, u32)>| owners.iter().map(|&(_, count)| count).sum::<u32>();
    // Longest first.
    let lengths: Vec<i64> = distinct.keys().rev().copied().collect();
    let counts: Vec<u32> = distinct.values().rev().map(quantity).collect();
    let rooms: Vec<i64> = stock.iter().map(|stock| stock.length - 2 * stock.trim + kerf).collect();
    let there = stock.iter().zip(&rooms).filter(|(stock, _)| stock.count != Some(0));
    let longest = there.map(|(_, &room)| room).max().unwrap_or(1);
    let bound = bound::sticks_needed(&lengths, &counts, longest);
    let bound = usize::try_from(bound).unwrap_or(usize::MAX);
    let all: u64 = counts.iter().map(|&count| u64::from(count)).sum();
    let end = u64::from(options.effort).saturating_mul(WORK_PER_PIECE).saturating_mul(all + SPARE_PIECES);
    let mut search = Search::new(&lengths, stock, &rooms, bound, options.seed);
    let bars = search.run(&counts, end).map_err(|left| {
        let mut short = BTreeMap::new();
        for (owners, left) in distinct.values().rev().zip(left) {
            // Of equal lengths the last asked for go without.
            let mut left = left;
            for &(piece, count) in owners.iter().rev() {
                let without = left.min(count);
                left -= without;
                if without > 0 {
                    short.insert(piece, without);
                }
            }
        }
        vec![Fault::StockShort { left: short.into_iter().collect() }]
    })?;
    Ok(finish(&bars, &mut distinct.into_values().rev().collect::<Vec<_>>(), pieces, stock, options, bound))
}

fn faults(pieces: &[Piece], stock: &[Stock], options: &Options) -> Vec<Fault> {
    let sane = |length: i64| (1..=LONGEST).contains(&length);
    let mut faults = Vec::new();
    if !(0..=LONGEST).contains(&options.kerf) {
        faults.push(Fault::Kerf);
    }
    let mut longest = 0;
    for (index, stock) in stock.iter().enumerate() {
        if !sane(stock.length) || !(0..=LONGEST).contains(&stock.trim) || 2 * stock.trim >= stock.length {
            faults.push(Fault::StockLength { stock: index });
        } else if stock.count != Some(0) {
            longest = longest.max(stock.length - 2 * stock.trim);
        }
    }
    let all: u64 = pieces.iter().map(|piece| u64::from(piece.quantity)).sum();
    if all > MOST_PIECES {
        faults.push(Fault::TooManyPieces { pieces: all });
    }
    for (index, piece) in pieces.iter().enumerate() {
        if !sane(piece.length) {
            faults.push(Fault::PieceLength { piece: index });
        } else if piece.quantity > 0 && piece.length > longest {
            faults.push(Fault::PieceTooLong { piece: index, longest });
        }
    }
    faults
}

/// Gives every length on every bar its piece and its place.
fn finish(
    bars: &[Bar],
    owners: &mut [Vec<(usize, u32)>],
    pieces: &[Piece],
    stock: &[Stock],
    options: &Options,
    bound: usize,
) -> Layout {
    let mut sticks = Vec::with_capacity(bars.len());
    let mut cost = 0;
    for bar in bars {
        let bought = stock[bar.stock];
        cost += u128::from(bought.cost);
        let mut from = bought.trim;
        let mut placed = Vec::with_capacity(bar.on.len());
        for &index in &bar.on {
            let queue = &mut owners[index as usize];
            // Asked-for order: the first piece of this length that still lacks one.
            let Some(next) = queue.iter_mut().find(|(_, count)| *count > 0) else { continue };
            next.1 -= 1;
            let length = pieces[next.0].length;
            placed.push(Placed { piece: next.0, from, length });
            from += length + options.kerf;
        }
        sticks.push(Stick {
            stock: bar.stock,
            pieces: placed,
            offcut: (bought.length - bought.trim - from).max(0),
        });
    }
    Layout { sticks, bound, cost }
}
