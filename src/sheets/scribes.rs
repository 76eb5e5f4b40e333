//! Wood left on for scribing, as a part's sheet tells of it: its strip and how wide it is, where the datum lies on the blank
//! that comes off the saw, and what to add to a figure to find it in a shop's file. The datum is where the net lines meet; a
//! blank that is scribed at the left or the bottom has no corner there.

use super::drawn::{Plan, What};
use super::face_view::{OnPaper, datum_is_cut_away};
use super::figures::Figures;
use super::lanes::measure;
use crate::cutting::words::motion;
use crate::cutting::{Form, Operation, Piece, Shape, shops};
use crate::drawing::arrow::{Terminator, size, terminator};
use crate::drawing::lettering::width_of;
use crate::drawing::{Anchor, At, Ink, LineType, Mark, Step, Text, line};
use crate::length::Length;
use crate::parts::{Made, Part};
use crate::shape::Point;
use crate::values::CuttingShop;

/// Height of the figure of a strip.
const FIGURE: f64 = 3.5;
/// From the ends of the strip to its dimension, the nearest first: nearer than the first row of running dimensions.
const CLOSE: [f64; 3] = [4.5, 7.5, 14.0];

/// How far the datum lies from the lower left corner of the blank as it is cut: right of it, above it.
pub fn datum_on_blank(part: &Part) -> (Length, Length) {
    let low = part.as_cut().extents().low;
    ((-low.x).max(Length::ZERO), (-low.y).max(Length::ZERO))
}

/// Whether the datum is the corner of no blank: wood is left on beside it.
pub fn datum_is_inside(part: &Part) -> bool {
    datum_on_blank(part) != (Length::ZERO, Length::ZERO)
}

/// What is said of the datum; `None` where it is plainly the corner that a worker sees.
pub fn datum_words(part: &Part, figures: &Figures) -> Option<String> {
    let (right, above) = datum_on_blank(part);
    let right = right.is_positive().then(|| format!("{} right of", figures.figure(right)));
    let above = above.is_positive().then(|| format!("{} above", figures.figure(above)));
    let cut_away = datum_is_cut_away(part);
    let place = match (right, above) {
        (None, None) => {
            return cut_away.then(|| "corner of the blank: set out from it before it is cut away".to_owned());
        }
        (Some(one), None) | (None, Some(one)) => one,
        (Some(right), Some(above)) => format!("{right} and {above}"),
    };
    let first = if cut_away { "; set out from it before it is cut away" } else { "" };
    Some(format!("where the net lines meet, {place} the blank's corner{first}"))
}

/// For a part whose datum lies inside its blank: how a figure of its drawing is found in each shop's file of the part.
pub fn in_files(made: &Made, part: &Part, figures: &Figures) -> Option<String> {
    let told = |shop: &CuttingShop| {
        let place = in_file(part, shop, figures)?;
        let name = if shop.name.is_empty() { String::new() } else { format!("{}: ", shop.name) };
        let unit = if shop.units == figures.units() { "" } else { ", all in the unit of this sheet" };
        Some(format!("{name}{place}{unit}"))
    };
    let told: Vec<String> = shops(made).iter().filter_map(told).collect();
    (!told.is_empty()).then(|| told.join("; "))
}

/// `x = ACROSS + 1/2, y = UP + 1`; `None` where the part has no file of its own there, or its datum is the blank's corner.
pub fn in_file(part: &Part, shop: &CuttingShop, figures: &Figures) -> Option<String> {
    let is_cut = !shop.nested && (shop.stock.is_empty() || shop.stock.contains(&part.stock));
    if !is_cut || !datum_is_inside(part) {
        return None;
    }
    // Where the file's zero lies hangs on the outline alone.
    let outline = Shape::new(shop, Operation::Outside, Form::Closed(part.as_cut()));
    let lies = motion(part, shop, &Piece { shapes: vec![outline], ..Piece::default() });
    let zero = lies.point(Point::default());
    let plus = |word: &str, by: Length| match by {
        by if by == Length::ZERO => word.to_owned(),
        by if by.is_positive() => format!("{word} + {}", figures.figure(by)),
        by => format!("{word} − {}", figures.figure(-by)),
    };
    let less = |from: Length, word: &str| match from {
        from if from == Length::ZERO => format!("−{word}"),
        from => format!("{} − {word}", figures.figure(from)),
    };
    let (x, y) = match lies.quarters % 4 {
        0 => (plus("ACROSS", zero.x), plus("UP", zero.y)),
        1 => (less(zero.x, "UP"), plus("ACROSS", zero.y)),
        2 => (less(zero.x, "ACROSS"), less(zero.y, "UP")),
        _ => (plus("UP", zero.x), less(zero.y, "ACROSS")),
    };
    Some(format!("x = {x}, y = {y}"))
}

/// The strips outside the net outline: grey, with the line of the first cut, as far as they are cut.
pub fn strips(part: &Part, on: &OnPaper) -> Vec<Mark> {
    let as_cut = part.as_cut();
    if as_cut == part.outline {
        return Vec::new();
    }
    // Filled even-odd: what lies in the one outline and not in the other.
    let mut path = on.path(&as_cut);
    path.extend(on.path(&part.outline));
    let mut marks = vec![Mark::Fill { path, ink: Ink::Grey(0.15) }];
    let net: Vec<(Point, Point)> = part.outline.segments().map(|(from, to)| (from.at, to)).collect();
    for (from, to) in as_cut.segments() {
        if net.iter().any(|(a, b)| lies_on(from.at, to, *a, *b)) {
            continue;
        }
        if from.bulge == 0.0 {
            marks.push(line(on.at(from.at), on.at(to), LineType::Adjacent));
        } else {
            let path = vec![Step::Move(on.at(from.at)), Step::Arc(on.at(to), from.bulge)];
            marks.push(Mark::Stroke { path, line: LineType::Adjacent });
        }
    }
    marks
}

/// Whether a run lies on another: both of its ends on the straight line between the other's ends.
fn lies_on(from: Point, to: Point, a: Point, b: Point) -> bool {
    [from, to].iter().all(|p| {
        let ((px, py), (ax, ay), (bx, by)) = (p.to_mm(), a.to_mm(), b.to_mm());
        let (dx, dy) = (bx - ax, by - ay);
        let length = libm::hypot(dx, dy).max(1e-9);
        let along = ((px - ax) * dx + (py - ay) * dy) / length;
        let off = ((px - ax) * dy - (py - ay) * dx).abs() / length;
        off < 1e-3 && (-1e-3..=length + 1e-3).contains(&along)
    })
}

/// The ways in which one strip's width can be dimensioned on the view, the best first, and where its middle lies.
pub struct StripDimension {
    pub text: String,
    pub middle: At,
    pub ways: Vec<Vec<Mark>>,
}

/// One for each strip along the view's directions or aslant (which has no way but a leader).
pub fn dimensions(part: &Part, plan: &Plan, on: &OnPaper, group: f64) -> Vec<StripDimension> {
    let scribed = part.edges.iter().enumerate().filter(|(_, edge)| edge.scribe.is_positive());
    scribed.map(|(i, edge)| strip(part, plan, on, group, i, edge)).collect()
}

fn strip(
    part: &Part,
    plan: &Plan,
    on: &OnPaper,
    group: f64,
    i: usize,
    edge: &crate::boards::Edge,
) -> StripDimension {
    let text = format!("{} LEFT ON", plan.printed(What::Scribe(i)));
    // What is left of the edge where corners were worked.
    let runs = part.edge_runs(edge);
    let longest = runs.into_iter().max_by(|(a, b), (c, d)| {
        let long = |a: &Point, b: &Point| (b.x - a.x).abs().max((b.y - a.y).abs());
        long(a, b).cmp(&long(c, d))
    });
    let (from, to) = longest.unwrap_or((edge.from, edge.to));
    let (a, b) = (on.at(from), on.at(to));
    let by = edge.scribe.to_mm() * on.factor;
    let along = libm::hypot(b.0 - a.0, b.1 - a.1).max(1e-9);
    // Wood lies on the left of a run, the strip on the right.
    let (nx, ny) = ((b.1 - a.1) / along, -(b.0 - a.0) / along);
    let middle = ((a.0 + b.0 + nx * by) / 2.0, (a.1 + b.1 + ny * by) / 2.0);
    let mut ways = Vec::new();
    let level = from.x == to.x;
    if level || from.y == to.y {
        let (net, out) = if level { (a.0, a.0 + nx * by) } else { (a.1, a.1 + ny * by) };
        let ends = if level { [a.1.max(b.1), a.1.min(b.1)] } else { [a.0.max(b.0), a.0.min(b.0)] };
        for figure_outside in [true, false] {
            for off in CLOSE {
                // Over an upright strip, left of a level one: on the other ends the rows of running dimensions end.
                let both = [(ends[0], 1.0), (ends[1], -1.0)];
                for (end, sign) in if level { both } else { [both[1], both[0]] } {
                    let place = Across { level, net, out, end, off: off * sign };
                    ways.push(place.marks(&text, figure_outside, group));
                }
            }
        }
    }
    StripDimension { text, middle, ways }
}

/// A short dimension across a strip, past one of its ends.
struct Across {
    level: bool,
    net: f64,
    out: f64,
    /// Where the strip ends, and how far from there the dimension lies.
    end: f64,
    off: f64,
}

impl Across {
    fn marks(&self, text: &str, figure_outside: bool, group: f64) -> Vec<Mark> {
        let at = |across: f64, along: f64| if self.level { (across, along) } else { (along, across) };
        let lies = self.end + self.off;
        let sign = self.off.signum();
        let mut marks: Vec<Mark> = [self.net, self.out]
            .map(|x| line(at(x, self.end + 1.5 * sign), at(x, lies + 2.0 * sign), LineType::Dimension))
            .to_vec();
        let arrow = size(group);
        let (low, high) = (self.net.min(self.out), self.net.max(self.out));
        let inside = if self.level { width_of(text, FIGURE, false) } else { FIGURE };
        if high - low > 2.0 * arrow + inside + 3.0 {
            marks.extend(measure(at(low, lies), at(high, lies), text, FIGURE, true, group));
            return marks;
        }
        let tail = arrow + 3.0;
        for (tip, away) in [(low, low - tail), (high, high + tail)] {
            marks.push(line(at(away, lies), at(tip, lies), LineType::Dimension));
            marks.extend(terminator(Terminator::Narrow, at(tip, lies), at(away, lies), group));
        }
        marks.push(line(at(low, lies), at(high, lies), LineType::Dimension));
        // The figure stands beyond one of the arrows: away from the wood where it can.
        let to_high = (self.out > self.net) == figure_outside;
        let beside = if sign > 0.0 { Anchor::Start } else { Anchor::End };
        let (place, anchor) = match (self.level, to_high) {
            (true, true) => ((high + tail + 1.0, lies - FIGURE / 2.0), Anchor::Start),
            (true, false) => ((low - tail - 1.0, lies - FIGURE / 2.0), Anchor::End),
            (false, true) => ((lies + 1.5 * sign, high + tail - FIGURE), beside),
            (false, false) => ((lies + 1.5 * sign, low - tail), beside),
        };
        let text = text.to_owned();
        marks.push(Mark::Text(Text { at: place, text, height: FIGURE, anchor, turn: 0.0, bold: false }));
        marks
    }
}
