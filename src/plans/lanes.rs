//! Strips onto lanes, lanes onto boards: see [`boards`](super::boards); [`packing`](super::packing) betters the outcome.

use std::collections::BTreeMap;

use super::boards::{Sold, Strip};
use super::packing::pack;
use super::sticks::{self, Options, Piece, Stock};
use crate::length::Length;

/// What boards there are to lay out on.
pub struct Wanted<'a> {
    pub sold: Sold,
    /// Widths that can be had; empty: any.
    pub widths: &'a [Length],
    /// Lengths that can be had; empty: nothing is laid out.
    pub lengths: &'a [Length],
    /// Narrowest and widest of random widths.
    pub random: Option<[Length; 2]>,
    pub kerf: Length,
    pub end_loss: Length,
}

/// A board or stick to pick, and what is cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// As sold; of random widths, at least so wide.
    pub width: Length,
    pub length: Length,
    /// From the first edge on; one alone on a stick.
    pub lanes: Vec<Lane>,
}

/// A strip along the whole length of a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lane {
    /// How far its near edge lies from the board's first edge.
    pub from: Length,
    pub width: Length,
    pub pieces: Vec<OnLane>,
    /// What is left of its length.
    pub offcut: Length,
}

impl Lane {
    /// Whether a piece is narrower than the lane.
    pub fn mixed(&self) -> bool {
        self.pieces.iter().any(|piece| piece.width < self.width)
    }
}

/// A rough piece on a lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnLane {
    /// Index into the plan's strips.
    pub strip: usize,
    /// From the end of the board as bought.
    pub from: Length,
    pub length: Length,
    /// In the rough; where the lane is wider, it is ripped once it has been cut off.
    pub width: Length,
}

/// Little effort: a job has a few dozen pieces, and every build lays them out anew.
const EFFORT: u32 = 1;

impl Wanted<'_> {
    fn options(&self) -> Options {
        Options { kerf: self.kerf.units(), effort: EFFORT, seed: 1 }
    }

    fn stock(&self, lengths: &[Length]) -> Vec<Stock> {
        lengths.iter().map(|length| Stock::sold(length.units(), self.end_loss.units())).collect()
    }
}

/// Lays strips out on boards: every strip once, in its full quantity.
///
/// # Errors
/// What the solver for sticks refused.
pub fn lay_out(strips: &[Strip], wanted: &Wanted) -> Result<Vec<Board>, Vec<sticks::Fault>> {
    let mut lengths = wanted.lengths.to_vec();
    lengths.sort();
    lengths.dedup();
    if lengths.is_empty() || strips.is_empty() {
        return Ok(Vec::new());
    }
    if wanted.sold == Sold::Sticks {
        return Ok(lanes(strips, wanted, &lengths)?.into_iter().map(Board::of_one).collect());
    }
    // All lengths mixed, then each by itself: lanes of one length share boards better. Every lane holds one width here; the
    // best is bettered by lanes of several.
    let mut best: Option<Vec<Board>> = None;
    let mut refused = Vec::new();
    for choice in std::iter::once(lengths.as_slice()).chain(lengths.chunks(1)) {
        match lanes(strips, wanted, choice).and_then(|lanes| side_by_side(lanes, wanted)) {
            Ok(boards) if best.as_ref().is_none_or(|best| cost(&boards) < cost(best)) => best = Some(boards),
            Ok(_) => {}
            Err(faults) if refused.is_empty() => refused = faults,
            Err(_) => {}
        }
    }
    best.ok_or(refused).map(|best| pack(strips, wanted, &lengths, best))
}

/// Wood first, then boards to handle.
fn cost(boards: &[Board]) -> (i128, usize) {
    let area = |board: &Board| i128::from(board.width.units()) * i128::from(board.length.units());
    (boards.iter().map(area).sum(), boards.len())
}

/// A lane before it lies on a board, with the length of its board.
struct Loose {
    length: Length,
    lane: Lane,
}

impl Board {
    fn of_one(loose: Loose) -> Board {
        Board { width: loose.lane.width, length: loose.length, lanes: vec![loose.lane] }
    }
}

/// Strips of one width end to end.
fn lanes(strips: &[Strip], wanted: &Wanted, lengths: &[Length]) -> Result<Vec<Loose>, Vec<sticks::Fault>> {
    let mut by_width: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    for (index, strip) in strips.iter().enumerate() {
        by_width.entry(strip.rough_width).or_default().push(index);
    }
    let stock = wanted.stock(lengths);
    let longest = wanted.lengths.iter().max().copied().unwrap_or_default();
    let mut all = Vec::new();
    for (width, members) in by_width.into_iter().rev() {
        // What even the longest board only just gives is cut from one of its own, from the middle; the rest lose their ends.
        let fits = |index: &usize| strips[*index].rough_length <= longest - wanted.end_loss * 2;
        let (members, tight): (Vec<usize>, Vec<usize>) = members.into_iter().partition(fits);
        for index in tight {
            let length = strips[index].rough_length;
            let pieces = u64::try_from(strips[index].quantity).unwrap_or(u64::MAX);
            if pieces > sticks::MOST_PIECES {
                return Err(vec![sticks::Fault::TooManyPieces { pieces }]);
            }
            if !lengths.contains(&longest) || length > longest {
                let most = lengths.iter().max().copied().unwrap_or_default();
                return Err(vec![sticks::Fault::PieceTooLong { piece: index, longest: most.units() }]);
            }
            let on = OnLane { strip: index, from: (longest - length).half(), length, width };
            let lane = Lane { from: Length::ZERO, width, pieces: vec![on], offcut: Length::ZERO };
            all.extend((0..strips[index].quantity).map(|_| Loose { length: longest, lane: lane.clone() }));
        }
        if members.is_empty() {
            continue;
        }
        let pieces: Vec<Piece> = members
            .iter()
            .map(|index| Piece {
                length: strips[*index].rough_length.units(),
                quantity: u32::try_from(strips[*index].quantity).unwrap_or(u32::MAX),
            })
            .collect();
        let layout = sticks::lay_out(&pieces, &stock, &wanted.options())?;
        for stick in layout.sticks {
            let on = stick.pieces.iter().map(|placed| OnLane {
                strip: members[placed.piece],
                from: Length::from_units(placed.from),
                length: Length::from_units(placed.length),
                width,
            });
            let offcut = Length::from_units(stick.offcut);
            let lane = Lane { from: Length::ZERO, width, pieces: on.collect(), offcut };
            all.push(Loose { length: lengths[stick.stock], lane });
        }
    }
    Ok(all)
}

/// Lanes of one length side by side on boards, longest boards first.
fn side_by_side(lanes: Vec<Loose>, wanted: &Wanted) -> Result<Vec<Board>, Vec<sticks::Fault>> {
    let mut by_length: BTreeMap<Length, Vec<Lane>> = BTreeMap::new();
    for loose in lanes {
        by_length.entry(loose.length).or_default().push(loose.lane);
    }
    let mut boards = Vec::new();
    for (length, mut lanes) in by_length.into_iter().rev() {
        let widest = lanes.iter().map(|lane| lane.width).max().unwrap_or_default();
        let widths: Vec<Length> = match (wanted.random, wanted.widths) {
            // From the middling width on; a lane that needs more gets its own.
            (Some([least, most]), _) => vec![(least + most).half().max(widest)],
            (None, []) => Vec::new(),
            (None, widths) => widths.to_vec(),
        };
        if widths.iter().max().is_none_or(|most| *most < widest) {
            // No width is known: each lane is a board of its own.
            boards.extend(lanes.into_iter().map(|lane| Board::of_one(Loose { length, lane })));
            continue;
        }
        let pieces: Vec<Piece> =
            lanes.iter().map(|lane| Piece { length: lane.width.units(), quantity: 1 }).collect();
        let stock: Vec<Stock> = widths.iter().map(|width| Stock::sold(width.units(), 0)).collect();
        let layout = sticks::lay_out(&pieces, &stock, &wanted.options())?;
        for stick in layout.sticks {
            let on = stick.pieces.iter().map(|placed| {
                let lane = &mut lanes[placed.piece];
                let (pieces, offcut, width) = (std::mem::take(&mut lane.pieces), lane.offcut, lane.width);
                Lane { from: Length::from_units(placed.from), width, pieces, offcut }
            });
            let on: Vec<Lane> = on.collect();
            let used = on.iter().map(|lane| lane.from + lane.width).max().unwrap_or_default();
            let width = wanted.random.map_or(widths[stick.stock], |[least, _]| used.max(least));
            boards.push(Board { width, length, lanes: on });
        }
    }
    Ok(boards)
}
