//! How many sheets are needed at least: dual feasible functions on both sides of every part.
//!
//! A dual feasible function f keeps rows: lengths that fit together on a length L have f-values that fit together on f(L).
//! Taken of widths and of heights it turns areas into other areas, and their sum over that of one sheet is a bound on the
//! number of sheets (Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", 2001). The families:
//! the staircase u(k) of that paper, and f0, f1, f2 as in Clautiaux, Jouglet and El Hayek, "A new lower bound for the
//! non-oriented two-dimensional bin-packing problem", 2007. The bound holds for every layout, guillotine or not.
//!
//! A part that may lie either way counts by the lesser of its two areas. On a square sheet there is a better way: a layout and
//! its mirror image about the diagonal use twice the sheets and hold every part both ways, so each counts by the mean.

use std::collections::BTreeSet;

/// Equal parts: sides grown by a kerf, whether they may lie turned, and how many.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    pub(crate) w: i64,
    pub(crate) h: i64,
    pub(crate) may_turn: bool,
    pub(crate) count: u64,
}

/// Values of functions are shares of the whole, scaled by this and rounded down, which keeps every bound a bound.
const ONE: i64 = 1 << 30;
/// Parameters tried of each family; beyond that they are thinned out evenly.
const MOST_PARAMETERS: usize = 40;
/// Steps of the staircase tried.
const MOST_STEPS: usize = 24;
/// Areas summed at most, about: with many pieces fewer functions are tried.
const MOST_AREAS: usize = 4_000_000;

#[derive(Debug, Clone, Copy)]
enum Family {
    /// The length itself.
    Plain,
    /// f0: what excludes a `k` counts as the whole, what is shorter than `k` as nothing.
    Cut(i64),
    /// f1: a length over half excludes so many of the shorter ones that are at least `k`.
    Count(i64),
    /// f2: lengths over half by what they leave over, in steps of `k`.
    Step(i64),
    /// u(k): down to a staircase of `k` + 1 steps; a length right on a step stays.
    Stair(i64),
}

/// `part` of `whole` in units of 1 / `ONE`, rounded down.
fn share(part: i64, whole: i64) -> i64 {
    if whole <= 0 { 0 } else { (i128::from(part) * i128::from(ONE) / i128::from(whole)) as i64 }
}

/// The f-values of sorted distinct lengths. `rows` holds every length that may lie along this side, sorted, with repeats.
fn values(family: Family, length: i64, lengths: &[i64], rows: &[i64]) -> Vec<i64> {
    let small: Vec<i64> = match family {
        Family::Count(k) => {
            let sums = rows.iter().filter(|&&x| x >= k && 2 * x <= length).scan(0_i64, |sum, &x| {
                *sum = sum.saturating_add(x);
                Some(*sum)
            });
            sums.take_while(|&sum| sum <= length).collect()
        }
        _ => Vec::new(),
    };
    let most = |room: i64| small.partition_point(|&sum| sum <= room) as i64;
    let value = |&x: &i64| match family {
        Family::Plain => share(x, length),
        Family::Cut(k) => {
            if x > length - k {
                ONE
            } else if x >= k {
                share(x, length)
            } else {
                0
            }
        }
        Family::Count(k) => {
            let whole = most(length);
            if 2 * x > length {
                share(whole - most(length - x), whole)
            } else {
                share(i64::from(x >= k), whole)
            }
        }
        Family::Step(k) => {
            let whole = length / k;
            let twice = match (2 * x).cmp(&length) {
                std::cmp::Ordering::Greater => 2 * (whole - (length - x) / k),
                std::cmp::Ordering::Equal => whole,
                std::cmp::Ordering::Less => 2 * (x / k),
            };
            share(twice, 2 * whole)
        }
        Family::Stair(k) => {
            let product = i128::from(x) * i128::from(k + 1);
            if product % i128::from(length) == 0 {
                share(x, length)
            } else {
                share((product / i128::from(length)) as i64, k)
            }
        }
    };
    lengths.iter().map(value).collect()
}

fn thinned(all: &BTreeSet<i64>, most: usize) -> Vec<i64> {
    let step = all.len().div_ceil(most.max(1)).max(1);
    all.iter().copied().step_by(step).collect()
}

/// Every function tried along one side, as its values at the given lengths; equal ones once.
fn functions(length: i64, lengths: &[i64], rows: &[i64], most: usize) -> Vec<Vec<i64>> {
    let mut marks = BTreeSet::new();
    for &x in lengths {
        for mark in [x, length - x, length - x + 1] {
            if mark > 0 && 2 * mark <= length {
                marks.insert(mark);
            }
        }
    }
    let steps = most.min(MOST_STEPS);
    let marks = thinned(&marks, (most.saturating_sub(steps) / 3).min(MOST_PARAMETERS));
    let families = std::iter::once(Family::Plain)
        .chain(marks.iter().flat_map(|&k| [Family::Cut(k), Family::Count(k), Family::Step(k)]))
        .chain((1..=steps as i64).map(Family::Stair));
    let mut seen = BTreeSet::new();
    families
        .map(|family| values(family, length, lengths, rows))
        .filter(|values| seen.insert(values.clone()))
        .collect()
}

/// Least number of sheets of size `w` × `h` (grown by a kerf) that hold all pieces. Every piece must fit a sheet.
pub(crate) fn sheets_needed(pieces: &[Piece], w: i64, h: i64) -> u64 {
    let lies = |piece: &Piece| piece.w <= w && piece.h <= h;
    let lies_turned = |piece: &Piece| piece.may_turn && piece.h <= w && piece.w <= h;
    let (mut rows, mut columns) = (Vec::new(), Vec::new());
    for piece in pieces {
        let copies = usize::try_from(piece.count).unwrap_or(usize::MAX).min(1 << 16);
        if lies(piece) || w == h {
            rows.extend(std::iter::repeat_n(piece.w, copies));
            columns.extend(std::iter::repeat_n(piece.h, copies));
        }
        if lies_turned(piece) || w == h {
            rows.extend(std::iter::repeat_n(piece.h, copies));
            columns.extend(std::iter::repeat_n(piece.w, copies));
        }
    }
    let mut best = 0_u64;
    rows.sort_unstable();
    columns.sort_unstable();
    let distinct = |sorted: &[i64]| {
        let mut lengths = sorted.to_vec();
        lengths.dedup();
        lengths
    };
    let (widths, heights) = (distinct(&rows), distinct(&columns));
    let place = |lengths: &[i64], x: i64| lengths.binary_search(&x).ok();
    // Places of the four values of each piece: width and height as it is, and turned.
    let at: Vec<[Option<(usize, usize)>; 2]> = pieces
        .iter()
        .map(|piece| {
            let upright = place(&widths, piece.w).zip(place(&heights, piece.h));
            let turned = place(&widths, piece.h).zip(place(&heights, piece.w));
            [
                upright.filter(|_| lies(piece)),
                turned.filter(|_| lies_turned(piece) || (w == h && lies(piece))),
            ]
        })
        .collect();
    let most = (MOST_AREAS / pieces.len().max(1)).isqrt();
    let across = functions(w, &widths, &rows, most);
    let up = functions(h, &heights, &columns, most);
    let one = i128::from(ONE);
    for f in &across {
        for g in &up {
            let area = |place: Option<(usize, usize)>| place.map(|(x, y)| f[x] * g[y] / ONE);
            let (mut least, mut twice_mean) = (0_i128, 0_i128);
            for (piece, places) in pieces.iter().zip(&at) {
                let (upright, turned) = (area(places[0]), area(places[1]));
                let count = i128::from(piece.count);
                let lesser = match (upright, turned) {
                    (Some(upright), Some(turned)) if piece.may_turn => upright.min(turned),
                    (Some(only), _) | (None, Some(only)) => only,
                    (None, None) => 0,
                };
                least += count * i128::from(lesser);
                twice_mean += count * i128::from(upright.unwrap_or(0) + turned.unwrap_or(0));
            }
            let mut sheets = (least + one - 1) / one;
            if w == h {
                sheets = sheets.max((twice_mean + 2 * one - 1) / (2 * one));
            }
            best = best.max(u64::try_from(sheets).unwrap_or(0));
        }
    }
    // The plain area once more without rounding.
    let area: i128 = pieces.iter().map(|p| i128::from(p.count) * i128::from(p.w) * i128::from(p.h)).sum();
    let sheet = (i128::from(w) * i128::from(h)).max(1);
    best.max(u64::try_from((area + sheet - 1) / sheet).unwrap_or(u64::MAX))
}

/// Least number of sticks with `room` that hold pieces of these lengths (all grown by a kerf) and counts.
pub(crate) fn sticks_needed(lengths: &[i64], counts: &[u32], room: i64) -> u64 {
    let piece =
        |(&length, &count): (&i64, &u32)| Piece { w: length, h: 1, may_turn: false, count: u64::from(count) };
    let pieces: Vec<Piece> = lengths.iter().zip(counts).map(piece).collect();
    sheets_needed(&pieces, room, 1)
}
