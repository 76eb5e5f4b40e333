//! Equal holes that stand in even rows: told by the first place, the pitch and the last place, and named at their corners,
//! where one by one they would fill sheets. Only where all three figures are printed exactly, so that nothing adds up to a
//! fault along the row. Knows places, and no paper.

use std::ops::Range;

use super::drawn::Plan;
use super::figures::Figures;
use crate::length::Length;
use crate::parts::Part;

/// Fewer holes than this are told one by one.
const LEAST: usize = 12;
/// Of rows of so many holes and more that are told one by one the ends are named.
const LONG_ROW: usize = 5;
/// So many places of one direction are listed, even or not.
const LISTED: usize = 3;

/// Holes of one kind, at every crossing of some places across with some places up.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleSet {
    pub kind: usize,
    /// Numbers within the kind, row by row upwards and each row from the left.
    pub numbers: Range<usize>,
    /// Indices of its holes, in the order of their numbers.
    pub holes: Vec<usize>,
    pub across: Vec<Length>,
    pub up: Vec<Length>,
}

impl HoleSet {
    /// Indices of the holes at its corners, each once.
    pub fn corners(&self) -> Vec<usize> {
        let (wide, all) = (self.across.len(), self.holes.len());
        let mut at = vec![0, wide.saturating_sub(1), all.saturating_sub(wide), all.saturating_sub(1)];
        at.sort_unstable();
        at.dedup();
        at.into_iter().filter_map(|i| self.holes.get(i).copied()).collect()
    }
}

/// The sets of a part, and the holes that stand in none, by index; both in the order of kinds and numbers.
pub fn sets(part: &Part, plan: &Plan, figures: &Figures) -> (Vec<HoleSet>, Vec<usize>) {
    let mut order: Vec<usize> = (0..plan.drawn.holes.len().min(part.holes.len())).collect();
    order.sort_by_key(|i| (plan.drawn.holes[*i].kind, plan.drawn.holes[*i].number));
    let (mut sets, mut alone) = (Vec::new(), Vec::new());
    for kind in order.chunk_by(|a, b| plan.drawn.holes[*a].kind == plan.drawn.holes[*b].kind) {
        let rows: Vec<&[usize]> = kind.chunk_by(|a, b| part.holes[*a].at.y == part.holes[*b].at.y).collect();
        let across = |row: usize| rows[row].iter().map(|i| part.holes[*i].at.x).collect::<Vec<_>>();
        let up = |row: usize| part.holes[rows[row][0]].at.y;
        let mut row = 0;
        while row < rows.len() {
            let mut end = row + 1;
            while end < rows.len()
                && across(end) == across(row)
                && (end == row + 1 || up(end) - up(end - 1) == up(row + 1) - up(row))
            {
                end += 1;
            }
            let set = HoleSet {
                kind: plan.drawn.holes[rows[row][0]].kind,
                numbers: number(plan, rows[row].first())..number(plan, rows[end - 1].last()) + 1,
                holes: rows[row..end].concat(),
                across: across(row),
                up: (row..end).map(up).collect(),
            };
            let told = [&set.across, &set.up].into_iter().all(|places| can_be_told(places, figures));
            if set.holes.len() >= LEAST && told {
                sets.push(set);
                row = end;
            } else {
                alone.extend_from_slice(rows[row]);
                row += 1;
            }
        }
    }
    (sets, alone)
}

/// Of holes that stand in no set, in the order of [`sets`], those that are named on the view: of a long row the two ends,
/// between which they are counted.
pub fn named(part: &Part, plan: &Plan, alone: &[usize]) -> Vec<usize> {
    let is_next = |a: &usize, b: &usize| {
        let (one, next) = (plan.drawn.holes.get(*a), plan.drawn.holes.get(*b));
        let level = part.holes.get(*a).map(|hole| hole.at.y) == part.holes.get(*b).map(|hole| hole.at.y);
        level && one.zip(next).is_some_and(|(a, b)| a.kind == b.kind && a.number + 1 == b.number)
    };
    let rows = alone.chunk_by(is_next);
    rows.flat_map(|row| match row {
        [first, .., last] if row.len() >= LONG_ROW => vec![*first, *last],
        all => all.to_vec(),
    })
    .collect()
}

fn number(plan: &Plan, hole: Option<&usize>) -> usize {
    hole.and_then(|i| plan.drawn.holes.get(*i)).map_or(0, |hole| hole.number)
}

fn is_even(places: &[Length]) -> bool {
    places.windows(3).all(|three| three[1] - three[0] == three[2] - three[1])
}

fn can_be_told(places: &[Length], figures: &Figures) -> bool {
    if places.len() <= LISTED {
        return true;
    }
    let exact = places.iter().take(2).chain(places.last()).all(|at| figures.is_exact(*at));
    exact && is_even(places) && figures.is_exact(places[1] - places[0])
}

/// Places of one direction in words: `37; 563`, or `20 + 11 × 32 = 372`: the first, so many steps of a pitch, the last.
pub fn told(places: &[Length], figures: &Figures) -> String {
    let figure = |at: Length| if at == Length::ZERO { "0".to_owned() } else { figures.figure(at) };
    match places {
        [first, second, .., last] if places.len() > LISTED => {
            let (steps, pitch) = (places.len() - 1, *second - *first);
            format!("{} + {steps} × {} = {}", figure(*first), figure(pitch), figure(*last))
        }
        _ => places.iter().map(|at| figures.print(*at).both()).collect::<Vec<_>>().join("; "),
    }
}
