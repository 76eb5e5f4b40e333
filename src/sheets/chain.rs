//! Chains of dimensions beside a view: members that add up to the overall as printed, one of them marked as the float.
//! Figures that do not fit between their lines stand beyond them, bent apart in order. Knows no board.

use super::frame::Area;
use super::lanes::{Beside, FIRST, NEXT, half_width, measure, spread};
use crate::drawing::arrow::{Terminator, terminator};
use crate::drawing::bounds::extents;
use crate::drawing::lettering::width_of;
use crate::drawing::revision::drawn;
use crate::drawing::{Anchor, LineType, Mark, Text, line};

const GAP: f64 = 1.5;
const OVERRUN: f64 = 2.0;
const BEND: f64 = 5.0;
/// How far figures may stand out past each end of a view that is too narrow for them.
const PAST: f64 = 20.0;

/// A chain on paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    pub beside: Beside,
    /// Paper coordinate of the view's edge on that side.
    pub edge: f64,
    /// Paper coordinates along the chain of its stops, rising; one more than there are members.
    pub stops: Vec<f64>,
    pub members: Vec<String>,
    pub overall: String,
    pub height: f64,
    pub unidirectional: bool,
}

impl Chain {
    fn is_level(&self) -> bool {
        matches!(self.beside, Beside::Below | Beside::Above)
    }

    /// Members whose figures do not fit between their lines. Beside an upright chain all figures stand outside, level.
    fn outer(&self) -> Vec<usize> {
        let gap = |i: usize| self.stops[i + 1] - self.stops[i];
        let fits =
            |i: usize| self.is_level() && gap(i) >= width_of(&self.members[i], self.height, false) + 3.0;
        (0..self.members.len()).filter(|i| !fits(*i)).collect()
    }

    fn places(&self) -> Option<Vec<f64>> {
        let wanted: Vec<f64> =
            self.outer().iter().map(|i| (self.stops[*i] + self.stops[i + 1]) / 2.0).collect();
        let (Some(low), Some(high)) = (self.stops.first(), self.stops.last()) else { return None };
        let (clear, pitch) = (0.9 * self.height, 1.45 * self.height);
        let between = |wanted: &[f64]| spread(wanted, pitch, low + clear, high - clear);
        if let Some(places) = between(&wanted) {
            return Some(places);
        }
        // As many as have room stay between the lines of the overall, the others stand past them in order.
        let room = high - low - 2.0 * clear;
        let inside = if room < 0.0 { 0 } else { libm::floor(room / pitch) as usize + 1 };
        let past = wanted.len().saturating_sub(inside);
        let (before, after) = (past / 2, past - past / 2);
        if after as f64 * pitch > PAST {
            return None;
        }
        let mut places: Vec<f64> = (0..before).rev().map(|i| low - clear - pitch * i as f64).collect();
        places.extend(between(wanted.get(before..wanted.len() - after)?)?);
        places.extend((0..after).map(|i| high + clear + pitch * i as f64));
        Some(places)
    }

    /// True where all figures find a place; else the positions go into a table.
    pub fn has_room(&self) -> bool {
        self.members.len() < 2 || self.places().is_some()
    }

    /// Whether its members are drawn, beside the overall.
    pub fn is_shown(&self) -> bool {
        self.members.len() > 1 && self.has_room()
    }

    fn longest(&self) -> f64 {
        self.outer().iter().map(|i| width_of(&self.members[*i], self.height, false)).fold(0.0, f64::max)
    }

    fn half_width(&self) -> f64 {
        let span = match (self.stops.first(), self.stops.last()) {
            (Some(first), Some(last)) => last - first,
            _ => 0.0,
        };
        half_width(&self.overall, span, self.height, self.is_level(), self.unidirectional)
    }

    fn overall_out(&self) -> f64 {
        let half = self.half_width();
        if !self.is_shown() {
            return FIRST.max(half + 3.0);
        }
        let outer = if self.outer().is_empty() { 0.0 } else { BEND + self.longest() + 1.0 };
        FIRST + outer + NEXT.max(half + 3.0)
    }

    /// How far out from the view the chain reaches.
    pub fn reach(&self) -> f64 {
        let half = self.half_width().max(OVERRUN);
        self.overall_out() + half + 1.0
    }

    /// How far figures, and the overall's arrows, stand out past each end of a view that is narrower than they are.
    pub fn overflow(&self) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else { return (0.0, 0.0) };
        let places = if self.is_shown() { self.places().unwrap_or_default() } else { Vec::new() };
        let clear = 0.9 * self.height;
        let before = places.first().map_or(0.0, |at| first + clear - at);
        let after = places.last().map_or(0.0, |at| at + clear - last);
        let overall = self.overall_overflow(*first, *last);
        (overall.0.max(before), overall.1.max(after))
    }

    fn overall_overflow(&self, first: f64, last: f64) -> (f64, f64) {
        let text = width_of(&self.overall, self.height, false);
        if self.is_level() {
            if last - first < text + 9.0 { (8.0, 10.0 + text) } else { (0.0, 0.0) }
        } else if last - first < self.height + 13.0 {
            (8.0, 10.0 + self.height)
        } else {
            (0.0, 0.0)
        }
    }

    pub fn lay(&self, group: f64) -> Vec<Mark> {
        self.laid(group).into_iter().flat_map(drawn).collect()
    }

    fn laid(&self, group: f64) -> Vec<Mark> {
        let mut marks = Vec::new();
        let place = |along: f64, out: f64| self.beside.at(self.edge, along, out);
        let (Some(first), Some(last)) = (self.stops.first().copied(), self.stops.last().copied()) else {
            return marks;
        };
        let out = self.overall_out();
        for end in [first, last] {
            marks.push(line(place(end, GAP), place(end, out + OVERRUN), LineType::Dimension));
        }
        marks.extend(measure(
            place(first, out),
            place(last, out),
            &self.overall,
            self.height,
            self.unidirectional,
            group,
        ));
        if !self.is_shown() {
            return marks;
        }
        marks.push(line(place(first, FIRST), place(last, FIRST), LineType::Dimension));
        for stop in &self.stops {
            if *stop != first && *stop != last {
                marks.push(line(place(*stop, GAP), place(*stop, FIRST + OVERRUN), LineType::Dimension));
            }
            marks.extend(terminator(
                Terminator::Oblique,
                place(*stop, FIRST),
                place(*stop + 1.0, FIRST),
                group,
            ));
        }
        let outer = self.outer();
        for (i, text) in self.members.iter().enumerate().filter(|(i, _)| !outer.contains(i)) {
            let middle = place((self.stops[i] + self.stops[i + 1]) / 2.0, FIRST);
            let at = (middle.0, middle.1 + 0.4 * self.height + 0.4);
            marks.push(self.text(text, at, Anchor::Middle, 0.0));
        }
        let half = self.height / 2.0;
        for (i, along) in outer.iter().zip(self.places().unwrap_or_default()) {
            let middle = (self.stops[*i] + self.stops[i + 1]) / 2.0;
            let starts = FIRST + BEND;
            marks.push(line(place(middle, FIRST), place(along, starts), LineType::Dimension));
            let end = place(along, starts + 1.0);
            let (at, anchor, turn) = match self.beside {
                Beside::Below => ((end.0 + half, end.1), Anchor::End, 90.0),
                Beside::Above => ((end.0 + half, end.1), Anchor::Start, 90.0),
                Beside::Left => ((end.0, end.1 - half), Anchor::End, 0.0),
                Beside::Right => ((end.0, end.1 - half), Anchor::Start, 0.0),
            };
            marks.push(self.text(&self.members[*i], at, anchor, turn));
        }
        marks
    }

    fn text(&self, text: &str, at: (f64, f64), anchor: Anchor, turn: f64) -> Mark {
        Mark::Text(Text { at, text: text.to_owned(), height: self.height, anchor, turn, bold: false })
    }
}

/// The areas that rows take on paper, from the view's edge out.
pub fn rows_of(chains: &[Chain], group: f64) -> Vec<Area> {
    let of = |chain: &Chain| extents(&chain.lay(group)).map(|(low, high)| Area { low, high });
    chains.iter().filter_map(of).collect()
}
