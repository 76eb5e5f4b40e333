//! Where dimensions lie on paper: rows of running dimensions outside the view, the overall beyond them. First row 10 mm
//! from the outline, figures no closer than they can be read; shortest nearest the part (ASME Y14.5 practice). Where
//! figures would crowd, their extension lines are bent apart in order, so that no two cross.

use super::drawn::What;
use crate::drawing::arrow::{Terminator, size, terminator};
use crate::drawing::lettering::width_of;
use crate::drawing::{Anchor, At, LineType, Mark, Text, line};

/// From the outline to the first row (ASME Y14.5: at least 10 mm).
pub const FIRST: f64 = 10.0;
/// Between rows (at least 6 mm).
pub const NEXT: f64 = 7.0;
/// Gap between outline and extension line, and how far it runs past the dimension line (common practice: 1.5 and 3 mm).
const GAP: f64 = 1.5;
const OVERRUN: f64 = 2.0;
/// Depth of the bend that parts crowded figures.
const BEND: f64 = 5.0;
/// From the end of an extension line to its figure.
const BEFORE_TEXT: f64 = 1.0;
/// Figures stand no further out past the ends of the view than this; more of them go into a table.
const MOST_OVERFLOW: f64 = 30.0;

/// The side of the view on which a row lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beside {
    Below,
    Above,
    Left,
    Right,
}

impl Beside {
    /// A point `along` the row's direction (paper coordinate) and `out` millimetres out from `edge`.
    pub fn at(self, edge: f64, along: f64, out: f64) -> At {
        match self {
            Beside::Below => (along, edge - out),
            Beside::Above => (along, edge + out),
            Beside::Left => (edge - out, along),
            Beside::Right => (edge + out, along),
        }
    }

    fn is_level(self) -> bool {
        matches!(self, Beside::Below | Beside::Above)
    }

    /// Signed distance outwards of a paper coordinate.
    fn out(self, edge: f64, coordinate: f64) -> f64 {
        match self {
            Beside::Below | Beside::Left => edge - coordinate,
            Beside::Above | Beside::Right => coordinate - edge,
        }
    }
}

/// One figure of a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Paper coordinate along the row.
    pub at: f64,
    /// Paper coordinate across the row where the line begins that it places.
    pub from: f64,
    pub text: String,
    pub what: What,
    /// True where it stands at the other side of the view too, and is auxiliary here.
    pub again: bool,
}

/// A row of running dimensions from one datum.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub beside: Beside,
    /// Paper coordinate of the view's edge on that side.
    pub edge: f64,
    /// Paper coordinates along the row: of the datum, and of the far end of the view.
    pub datum: f64,
    pub end: f64,
    pub figures: Vec<Figure>,
    /// The overall dimension beyond the row.
    pub overall: Option<String>,
    /// Height of the figures.
    pub height: f64,
    /// Figures of upright overall dimensions read from the bottom too.
    pub unidirectional: bool,
}

impl Row {
    fn pitch(&self) -> f64 {
        1.45 * self.height
    }

    /// Where each figure is written along the row; `None` where there are too many.
    fn places(&self) -> Option<Vec<f64>> {
        let wanted: Vec<f64> = self.figures.iter().map(|f| f.at).collect();
        let clear = 0.9 * self.height;
        if self.overall.is_some() {
            // Lines of the overall run past both ends; figures keep between them.
            return spread(&wanted, self.pitch(), self.datum + clear, self.end - clear);
        }
        let over = self.overflow();
        let room = Some(over).filter(|over| *over <= MOST_OVERFLOW)?;
        spread(&wanted, self.pitch(), self.datum + clear - room, self.end - clear + room)
    }

    /// How far figures may stand out past each end of the view, where they need it.
    pub fn overflow(&self) -> f64 {
        if self.overall.is_some() || self.figures.is_empty() {
            return 0.0;
        }
        let needed = self.pitch() * self.figures.len() as f64 + self.height;
        ((needed - (self.end - self.datum)) / 2.0).max(0.0)
    }

    /// True where all figures find a place.
    pub fn has_room(&self) -> bool {
        self.places().is_some()
    }

    fn is_bent(&self) -> bool {
        let Some(places) = self.places() else { return false };
        places.iter().zip(&self.figures).any(|(place, figure)| (place - figure.at).abs() > 0.05)
    }

    fn text_starts(&self) -> f64 {
        FIRST + OVERRUN + BEFORE_TEXT + if self.is_bent() { BEND } else { 0.0 }
    }

    fn longest(&self) -> f64 {
        self.figures.iter().map(|f| width_of(&f.text, self.height, false)).fold(0.0, f64::max)
    }

    fn half_width(&self, text: &str) -> f64 {
        let level = self.beside.is_level();
        half_width(text, (self.end - self.datum).abs(), self.height, level, self.unidirectional)
    }

    /// Distance of the overall's line from the view.
    fn overall_out(&self) -> f64 {
        let half = self.overall.as_ref().map_or(0.0, |text| self.half_width(text));
        if self.figures.is_empty() {
            return FIRST.max(half + 3.0);
        }
        self.text_starts() + self.longest() + NEXT.max(half + 3.0)
    }

    /// How far out from the view the row reaches.
    pub fn reach(&self) -> f64 {
        match &self.overall {
            Some(text) => self.overall_out() + self.half_width(text).max(2.0 + OVERRUN) + 1.0,
            None if self.figures.is_empty() => 0.0,
            None => self.text_starts() + self.longest() + 1.0,
        }
    }

    /// The marks of the row.
    pub fn lay(&self, group: f64) -> Vec<Mark> {
        let mut marks = Vec::new();
        let place = |along: f64, out: f64| self.beside.at(self.edge, along, out);
        if !self.figures.is_empty() {
            self.running(group, &mut marks);
        }
        if let Some(text) = &self.overall {
            let out = self.overall_out();
            for end in [self.datum, self.end] {
                let start = if end == self.datum && !self.figures.is_empty() { FIRST } else { GAP };
                marks.push(line(place(end, start), place(end, out + OVERRUN), LineType::Dimension));
            }
            marks.extend(self.measured(self.datum, self.end, out, text, group));
        }
        marks
    }

    fn running(&self, group: f64, marks: &mut Vec<Mark>) {
        let place = |along: f64, out: f64| self.beside.at(self.edge, along, out);
        let Some(places) = self.places() else { return };
        let furthest = self.figures.iter().map(|f| f.at).fold(self.datum, f64::max);
        marks.push(line(place(self.datum, GAP), place(self.datum, FIRST), LineType::Dimension));
        marks.push(line(place(self.datum, FIRST), place(furthest, FIRST), LineType::Dimension));
        let starts = self.text_starts();
        let mut before = self.datum + size(group) / 3.0;
        for (figure, at) in self.figures.iter().zip(places) {
            let from = self.beside.out(self.edge, figure.from) + GAP;
            let mut path = vec![place(figure.at, from), place(figure.at, FIRST + OVERRUN / 2.0)];
            path.push(place(at, starts - BEFORE_TEXT));
            for pair in path.windows(2) {
                marks.push(line(pair[0], pair[1], LineType::Dimension));
            }
            let room = figure.at - before > size(group) + 1.0;
            let end = if room { Terminator::Narrow } else { Terminator::Dot };
            marks.extend(terminator(end, place(figure.at, FIRST), place(self.datum, FIRST), group));
            before = figure.at;
            marks.push(Mark::Text(self.written(at, starts, &figure.text)));
        }
        let (origin, beyond) = (place(self.datum, FIRST), place(furthest, FIRST));
        marks.extend(terminator(Terminator::Origin, origin, beyond, group));
    }

    /// A figure at the end of its line: along the line it continues.
    fn written(&self, along: f64, out: f64, text: &str) -> Text {
        let half = self.height / 2.0;
        let (at, anchor, turn) = match self.beside {
            Beside::Below => ((along + half, self.edge - out), Anchor::End, 90.0),
            Beside::Above => ((along + half, self.edge + out), Anchor::Start, 90.0),
            Beside::Left => ((self.edge - out, along - half), Anchor::End, 0.0),
            Beside::Right => ((self.edge + out, along - half), Anchor::Start, 0.0),
        };
        Text { at, text: text.to_owned(), height: self.height, anchor, turn, bold: false }
    }

    /// A plain dimension between two lines.
    fn measured(&self, from: f64, to: f64, out: f64, text: &str, group: f64) -> Vec<Mark> {
        let place = |along: f64| self.beside.at(self.edge, along, out);
        measure(place(from), place(to), text, self.height, self.unidirectional, group)
    }
}

/// A dimension line between two points (level or upright) with its figure: above the line and along it, or read from the
/// bottom with the line broken for it. Arrows and figure go outside where the space between is too small.
pub fn measure(from: At, to: At, text: &str, height: f64, unidirectional: bool, group: f64) -> Vec<Mark> {
    let level = (from.1 - to.1).abs() < 1e-9;
    let (a, b) =
        if level { (from.0.min(to.0), from.0.max(to.0)) } else { (from.1.min(to.1), from.1.max(to.1)) };
    let across = if level { from.1 } else { from.0 };
    let at = |along: f64| if level { (along, across) } else { (across, along) };
    let (width, middle) = (width_of(text, height, false), (a + b) / 2.0);
    let arrow = size(group);
    let mut marks = Vec::new();
    let upright_text = !level && unidirectional;
    let taken = if upright_text { height + 2.0 } else { width + 2.0 };
    if b - a < 2.0 * arrow + 1.0 + if upright_text { taken } else { 0.0 } || b - a < taken {
        // Arrows from outside; the figure beyond the upper or right arrow.
        let tail = arrow + 3.0;
        for (tip, away) in [(a, a - tail), (b, b + tail)] {
            marks.push(line(at(away), at(tip), LineType::Dimension));
            marks.extend(terminator(Terminator::Narrow, at(tip), at(away), group));
        }
        marks.push(line(at(a), at(b), LineType::Dimension));
        let (place, anchor) = if level {
            ((b + tail + 1.0, across - height / 2.0), Anchor::Start)
        } else {
            ((across, b + tail + 1.0), Anchor::Middle)
        };
        marks.push(Mark::Text(Text {
            at: place,
            text: text.to_owned(),
            height,
            anchor,
            turn: 0.0,
            bold: false,
        }));
        return marks;
    }
    let arrows = [(a, b), (b, a)];
    for (tip, away) in arrows {
        marks.extend(terminator(Terminator::Narrow, at(tip), at(away), group));
    }
    if upright_text {
        marks.push(line(at(a), at(middle - height / 2.0 - 1.2), LineType::Dimension));
        marks.push(line(at(middle + height / 2.0 + 1.2), at(b), LineType::Dimension));
        let place = (across, middle - height / 2.0);
        marks.push(Mark::Text(Text {
            at: place,
            text: text.to_owned(),
            height,
            anchor: Anchor::Middle,
            turn: 0.0,
            bold: false,
        }));
        return marks;
    }
    marks.push(line(at(a), at(b), LineType::Dimension));
    let above = 0.4 * height + 0.4;
    let (place, turn) =
        if level { ((middle, across + above), 0.0) } else { ((across - above, middle), 90.0) };
    let anchor = Anchor::Middle;
    marks.push(Mark::Text(Text { at: place, text: text.to_owned(), height, anchor, turn, bold: false }));
    marks
}

/// How far the figure of a plain dimension reaches to each side of its line.
pub fn half_width(text: &str, span: f64, height: f64, level: bool, unidirectional: bool) -> f64 {
    let width = width_of(text, height, false);
    // Beside an upright line the figure lies across it where it is read from the bottom, or has no room along it.
    if !level && (unidirectional || span < width + 10.0) { width / 2.0 } else { height }
}

/// Positions as near as can be to the wanted ones (rising), at least `pitch` apart, between `low` and `high`; `None` where
/// there is no room. Least squares: neighbours that crowd are shared out about their common middle.
pub fn spread(wanted: &[f64], pitch: f64, low: f64, high: f64) -> Option<Vec<f64>> {
    let count = wanted.len();
    if count == 0 {
        return Some(Vec::new());
    }
    let room = high - low - pitch * (count - 1) as f64;
    if room < 0.0 {
        return None;
    }
    // With the pitches taken out, positions only have to rise: pool those that do not.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (i, at) in wanted.iter().enumerate() {
        pools.push((at - pitch * i as f64, 1));
        while let [.., (a, n), (b, m)] = pools[..]
            && a > b
        {
            pools.truncate(pools.len() - 2);
            pools.push(((a * n as f64 + b * m as f64) / (n + m) as f64, n + m));
        }
    }
    let bare = pools.into_iter().flat_map(|(at, many)| std::iter::repeat_n(at, many));
    Some(bare.enumerate().map(|(i, at)| at.clamp(low, low + room) + pitch * i as f64).collect())
}
