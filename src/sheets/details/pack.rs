//! Details on the columns of sheets: in order, as many as find room at the scale that each asks for, spread evenly; then drawn
//! larger while their column has paper left. Knows heights, not what is drawn.

use std::collections::BTreeMap;

use super::block::Block;
use crate::drawing::Placed;
use crate::sheets::scales::Scale;
use crate::sheets::sheet::Paperwork;

/// Between details below each other.
pub const BETWEEN: f64 = 4.0;
/// A detail is drawn at least so many times as large as what calls it out, where the paper allows.
const LARGER: f64 = 2.0;
/// At half its size a board 18 mm thick is 9 mm on paper: its layers and a fixing in it can be told apart.
const READABLE: f64 = 0.5;
/// Paper left over makes a detail no larger than this.
const LARGEST: f64 = 2.0;

/// A detail's block at the scales of the series, each laid when it is first asked for.
pub struct Sized<'a> {
    block: Block<'a>,
    series: Vec<Scale>,
    width: f64,
    paperwork: &'a Paperwork,
    laid: BTreeMap<usize, Option<Placed>>,
    /// Index into the series of the scale in use.
    scale: usize,
    /// Index of the largest scale that may be used.
    largest: usize,
}

impl<'a> Sized<'a> {
    /// At half its size, and at twice `called`, the factor of the view that calls it out, at the least; smaller only where the
    /// column is not wide or, with `tallest` millimetres, not high enough for it.
    pub fn new(
        block: Block<'a>,
        called: f64,
        (width, tallest): (f64, f64),
        paperwork: &'a Paperwork,
    ) -> Sized<'a> {
        let series = Scale::series(paperwork.practice);
        let last = series.len().saturating_sub(1);
        let smallest = |factor: f64| series.iter().rposition(|s| s.factor() >= factor - 1e-9).unwrap_or(0);
        let wished = smallest((LARGER * called).max(READABLE));
        let largest = series.iter().position(|scale| scale.factor() <= LARGEST).unwrap_or(0).min(wished);
        let mut all = Sized { block, series, width, paperwork, laid: BTreeMap::new(), scale: last, largest };
        let mut fits = |i: &usize| all.height(*i).is_some_and(|high| high <= tallest);
        all.scale = (wished..last).find(|i| fits(i)).unwrap_or(last);
        all
    }

    /// Height in millimetres at a scale of the series; `None` where it is too wide for the column, which is asked of all but
    /// the smallest.
    fn height(&mut self, scale: usize) -> Option<f64> {
        let is_last = scale + 1 >= self.series.len();
        let found = self.laid.entry(scale).or_insert_with(|| {
            let asked = self.series.get(scale)?;
            self.block.at(*asked, self.width, is_last, self.paperwork)
        });
        found.as_ref().map(|placed| placed.height)
    }

    fn now(&mut self) -> f64 {
        self.height(self.scale).unwrap_or(0.0)
    }

    /// One scale larger, where its column has `spare` millimetres for it: how many it takes.
    fn enlarge(&mut self, spare: f64) -> Option<f64> {
        let next = self.scale.checked_sub(1).filter(|next| *next >= self.largest)?;
        let more = self.height(next)? - self.now();
        (more <= spare).then(|| {
            self.scale = next;
            more
        })
    }

    /// The block at its scale, hung by (0, 0).
    pub fn placed(&self) -> Placed {
        self.laid.get(&self.scale).cloned().flatten().unwrap_or_default()
    }
}

/// How many details each sheet has, with columns of so many millimetres of height: as few sheets as can be, and on all of
/// them about as many. What fits no column has a sheet of its own.
pub fn spread(details: &mut [Sized], columns: &[f64]) -> Vec<usize> {
    let heights: Vec<f64> = details.iter_mut().map(Sized::now).collect();
    let full = counts(&heights, columns);
    // Of what is left every sheet takes its share, where the sheets hold that.
    let (mut even, mut rest) = (Vec::new(), heights.as_slice());
    for left in (1..=full.len()).rev() {
        let count = shared(rest, columns, usize::MAX).len().clamp(1, rest.len().div_ceil(left).max(1));
        even.push(count.min(rest.len()));
        rest = rest.get(count..).unwrap_or(&[]);
    }
    if rest.is_empty() { even } else { full }
}

/// Details of each sheet where the first are full.
fn counts(heights: &[f64], columns: &[f64]) -> Vec<usize> {
    let (mut all, mut rest) = (Vec::new(), heights);
    while !rest.is_empty() {
        let count = shared(rest, columns, usize::MAX).len().max(1);
        all.push(count);
        rest = rest.get(count..).unwrap_or(&[]);
    }
    all
}

/// The column of each detail of one sheet: down the columns in order, no column fuller than it has to be, each detail then as
/// large as its column allows. What fits no column is drawn in the highest all the same: it must not be lost.
pub fn fill(waiting: &mut [Sized], columns: &[f64]) -> Vec<usize> {
    let heights: Vec<f64> = waiting.iter_mut().map(Sized::now).collect();
    let count = shared(&heights, columns, usize::MAX).len();
    if count == 0 {
        let tallest = (0..columns.len()).max_by(|a, b| columns[*a].total_cmp(&columns[*b]));
        return if heights.is_empty() { Vec::new() } else { tallest.into_iter().collect() };
    }
    let heights = &heights[..count];
    let even = (1..=count).map(|most| shared(heights, columns, most)).find(|all| all.len() == count);
    let places = even.unwrap_or_else(|| shared(heights, columns, usize::MAX));
    for (column, room) in columns.iter().enumerate() {
        let here: Vec<usize> = (0..count).filter(|i| places[*i] == column).collect();
        let taken: f64 = here.iter().map(|i| heights[*i] + BETWEEN).sum();
        let mut spare = room + BETWEEN - taken;
        // The smallest grows first.
        loop {
            let mut order = here.clone();
            order.sort_by_key(|i| (std::cmp::Reverse(waiting[*i].scale), *i));
            let Some(more) = order.into_iter().find_map(|i| waiting[i].enlarge(spare)) else { break };
            spare -= more;
        }
    }
    places
}

/// The column of each of the first details that find room, at most so many in one.
fn shared(heights: &[f64], columns: &[f64], most: usize) -> Vec<usize> {
    let (mut all, mut column, mut count, mut used) = (Vec::new(), 0, 0, 0.0);
    for height in heights {
        while column < columns.len() && (count == most || used + height > columns[column]) {
            (column, count, used) = (column + 1, 0, 0.0);
        }
        if column == columns.len() {
            break;
        }
        all.push(column);
        (count, used) = (count + 1, used + height + BETWEEN);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::shared;

    /// By hand: 60 + 4 + 60 = 124 is more than 120, 60 + 4 + 50 = 114 is not, and 114 + 4 + 50 = 168 is again.
    #[test]
    fn details_go_down_the_columns_in_order() {
        assert_eq!(shared(&[60.0, 60.0, 50.0, 50.0], &[120.0; 3], usize::MAX), [0, 1, 1, 2]);
        assert_eq!(shared(&[50.0, 50.0, 50.0], &[120.0; 3], 1), [0, 1, 2]);
        assert_eq!(shared(&[50.0, 130.0], &[120.0; 3], 9), [0]);
        // One that is too high has a sheet of its own.
        assert_eq!(super::counts(&[130.0, 50.0, 50.0, 50.0], &[120.0]), [1, 2, 1]);
    }
}
