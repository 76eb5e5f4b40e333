//! Runs longer than any stick that is sold: pieces end to end, joined by scarfs. Only where the stock says so.
//!
//! The scarf goes through the thickness at 45°, so that two pieces lap by as much as they are thick. The fewest pieces are
//! taken, all of one length (common practice: joints spread evenly, no short end pieces).

use super::{Made, Part};
use crate::length::Length;
use crate::trade::{Grain, Units};
use crate::values::StockForm;

/// A run of equal pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// How many pieces; at least 2.
    pub pieces: i64,
    /// Length of each, long point to long point; together less their laps as long as the run, and longer by less than a unit each.
    pub length: Length,
    /// How far neighbours lap.
    pub lap: Length,
    /// Where each lap begins, from the datum end of the part's drawing along its grain.
    pub laps: Vec<Length>,
    /// How much longer one piece could be cut from the longest stick, and the next as much shorter without being too short.
    pub spare: Length,
    /// Laps, counted from 0, that lie over a cut, a hole or a recess of the part.
    pub in_the_way: Vec<usize>,
}

/// The shortest piece of a run: two bays of studs at 16" or 400 mm, so that each piece is held at three (common practice).
pub fn least_piece(units: Units) -> Length {
    match units {
        Units::Inch => Length::INCH * 32,
        Units::Millimetre => Length::MM * 800,
    }
}

impl Made {
    /// How a part is made up of several sticks; `None` where one stick gives it, the stock says nothing of joining, or no
    /// pieces of the lengths sold would do.
    pub fn run(&self, part: &Part) -> Option<Run> {
        let stock = self.job.stock.get(part.stock)?;
        let StockForm::Solid { lengths, .. } = &stock.form else { return None };
        let supply = self.job.supply.stock.get(&stock.name)?;
        let longest = lengths.iter().max().copied()?;
        let along = part.blank().0;
        if !supply.scarf || along <= longest {
            return None;
        }
        let lap = part.thick;
        let over = self.job.supply.milling.on_each_stick(self.job.units);
        let most = longest - over;
        // n pieces of the most give n·most - (n - 1)·lap.
        let each = (most - lap).units();
        if each <= 0 {
            return None;
        }
        let pieces = ((along - lap).units() + each - 1).div_euclid(each);
        let (length, rest) = (along + lap * (pieces - 1)).shared_by(pieces);
        let length = if rest.is_positive() { length + Length::from_units(1) } else { length };
        let least = least_piece(self.job.units);
        if length < least {
            return None;
        }
        let extents = part.as_cut().extents();
        let begins = if along_u(part) { extents.low.x } else { extents.low.y };
        let laps: Vec<Length> = (1..pieces).map(|number| begins + (length - lap) * number).collect();
        let taken = taken(part);
        let met = |from: &Length| taken.iter().any(|(low, high)| *low < *from + lap && *from < *high);
        let in_the_way = laps.iter().enumerate().filter(|(_, from)| met(from)).map(|(index, _)| index);
        Some(Run {
            pieces,
            length,
            lap,
            in_the_way: in_the_way.collect(),
            laps,
            spare: (most - length).min(length - least),
        })
    }
}

fn along_u(part: &Part) -> bool {
    match part.grain {
        Grain::AlongU => true,
        Grain::AlongV => false,
        Grain::Free => part.width >= part.height,
    }
}

/// Where wood is taken out of a part, along its grain.
fn taken(part: &Part) -> Vec<(Length, Length)> {
    let cuts = part.cuts.iter().map(|cut| &cut.outline);
    let pockets = part.pockets.iter().map(|pocket| &pocket.outline);
    let outlines = cuts.chain(pockets).chain(&part.inside).map(|outline| outline.extents());
    let own = |low: crate::shape::Point, high: crate::shape::Point| {
        if along_u(part) { (low.x, high.x) } else { (low.y, high.y) }
    };
    let mut all: Vec<(Length, Length)> = outlines.map(|around| own(around.low, around.high)).collect();
    all.extend(part.holes.iter().map(|hole| {
        let (at, _) = own(hole.at, hole.at);
        let half = hole.diameter.half();
        (at - half, at + half)
    }));
    all
}
