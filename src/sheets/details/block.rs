//! One detail on paper: its words, and under them the joint at the largest scale that fits, its dimensions each in a lane of
//! its own where no figure is met. Knows no sheet.

use super::condition::Condition;
use super::numbers::Size;
use super::plane::in_wood;
use crate::boards::FixingKind;
use crate::drawing::arrow::Terminator;
use crate::drawing::balloon::{pointing_balloon, radius};
use crate::drawing::bounds::extents;
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::table::list;
use crate::drawing::text::paragraph;
use crate::drawing::{At, Ink, LineType, Mark, Placed, Step, line};
use crate::length::Length;
use crate::shape::{Extents, Outline, Point, Vertex};
use crate::sheets::frame::Area;
use crate::sheets::free::Taken;
use crate::sheets::lanes::measure;
use crate::sheets::scales::Scale;
use crate::sheets::section::path;
use crate::sheets::sheet::Paperwork;

/// Height of a detail's title, its figures and its words.
const TITLE: f64 = 3.5;
const FIGURES: f64 = 2.5;
/// From the wood to the first lane, and from lane to lane.
const FIRST: f64 = 7.0;
const LEVEL: f64 = 6.0;
const UPRIGHT: f64 = 11.0;
/// Lanes tried on each side before a size goes into the words.
const LANES: u8 = 7;

/// A detail with all that stands on it.
pub struct Block<'a> {
    pub letter: &'a str,
    pub condition: &'a Condition,
    /// Words after the letter, and what the detail says.
    pub title: String,
    pub facts: Vec<(String, String)>,
    /// Hatching of the two boards, with its direction on paper.
    pub hatching: [(Hatching, f64); 2],
    /// The marks of their parts.
    pub marks: [&'a str; 2],
}

impl Block<'_> {
    /// At a scale, hung by (0, 0), as wide as the column; `None` where the drawing is wider, unless it is `forced`.
    pub fn at(&self, scale: Scale, width: f64, forced: bool, paperwork: &Paperwork) -> Option<Placed> {
        // No lane is tried at a scale at which the wood alone has no room.
        if !forced && self.condition.window.width().to_mm() * scale.factor() > width {
            return None;
        }
        let (drawn, unsaid) = self.drawn(scale.factor(), paperwork);
        let (low, high) = extents(&drawn).unwrap_or_default();
        if !forced && high.0 - low.0 > width {
            return None;
        }
        let heading = format!("DETAIL {} · {} · {}", self.letter, self.title, scale.label());
        let title = paragraph((0.0, 0.0), &heading, width, TITLE, true);
        let mut top = -title.height - 0.6 * TITLE;
        let mut marks = title.marks;
        let mut facts = self.facts.clone();
        facts.extend(unsaid);
        let words = list((0.0, top), &facts, width, FIGURES);
        top -= words.height + 1.0;
        marks.extend(words.marks);
        let by = ((width - (high.0 - low.0)).max(0.0) / 2.0 - low.0, top - high.1);
        marks.extend(drawn.into_iter().map(|mark| mark.moved(by)));
        top -= high.1 - low.1;
        Some(Placed { marks, width, height: 4.0 - top })
    }

    /// The joint about the middle of its window, with the sizes that found no lane.
    fn drawn(&self, factor: f64, paperwork: &Paperwork) -> (Vec<Mark>, Vec<(String, String)>) {
        let Extents { low, high } = self.condition.window;
        let middle = ((low.x + high.x).to_mm() / 2.0, (low.y + high.y).to_mm() / 2.0);
        let origin = (-middle.0 * factor, -middle.1 * factor);
        let place = |at: At| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
        let mut wood = Vec::new();
        let mut shading = Vec::new();
        for (which, plates) in self.condition.pieces.iter().enumerate() {
            let (kind, angle) = self.hatching[which];
            for plate in plates {
                shading.extend(hatch(&path(plate, origin, factor), kind, angle, 1.6));
                plate.loops().for_each(|outline| self.outline(which, outline, place, &mut wood));
            }
        }
        for driven in &self.condition.driven {
            let dowel = driven.kind == FixingKind::Dowels;
            let half = driven.diameter.to_mm() * factor / 2.0;
            let (head, tip) = (place(driven.head), place(driven.tip));
            wood.extend(shank(head, tip, driven.way, half, driven.kind));
            let over = if dowel { 2.0 } else { 3.0 };
            let end = |at: At, by: f64| (at.0 + driven.way.0 * by, at.1 + driven.way.1 * by);
            wood.push(line(end(head, -over), end(tip, over), LineType::Centre));
        }
        let (at_low, at_high) = extents(&wood).unwrap_or_default();
        let mut lanes = Lanes { marks: wood, taken: Taken::default(), low: at_low, high: at_high, paperwork };
        lanes.taken.add(&lanes.marks);
        let mut unsaid = Vec::new();
        for size in &self.condition.numbers.sizes {
            if !lanes.add(size, place) {
                let figure = paperwork.figures.print(size.value()).both();
                unsaid.push(("SIZE".to_owned(), format!("{} {figure}", size.what)));
            }
        }
        let mut taken = Taken::default();
        [&shading, &lanes.marks].into_iter().for_each(|marks| taken.add(marks));
        let mut all = shading;
        all.append(&mut lanes.marks);
        let reach = 40.0;
        let (w, h) = ((high.x - low.x).to_mm() * factor / 2.0, (high.y - low.y).to_mm() * factor / 2.0);
        let within = Area { low: (-w - reach, -h - reach), high: (w + reach, h + reach) };
        for which in 0..2 {
            let mark = self.marks[which];
            let across = 2.0 * radius(mark, FIGURES);
            let targets: Vec<At> = self.targets(which).into_iter().map(place).collect();
            let near = targets.iter().filter_map(|t| {
                let spot = taken.near(*t, (across, across), within, false)?;
                Some((*t, spot.middle, libm::hypot(t.0 - spot.leader_from.0, t.1 - spot.leader_from.1)))
            });
            let best = near
                .filter(|(target, middle, _)| !taken.runs_through_text(*target, *middle))
                .min_by(|a, b| a.2.total_cmp(&b.2))
                .map(|(target, middle, _)| (target, middle))
                .or_else(|| outside(&taken, &targets, across, extents(&all).unwrap_or_default()));
            let Some((target, middle)) = best else { continue };
            let group = paperwork.line_group();
            let balloon = pointing_balloon(middle, mark, FIGURES, target, Terminator::Dot, group);
            taken.add(&balloon);
            all.extend(balloon);
        }
        (all, unsaid)
    }

    /// Edges of a piece: wide where the wood ends, narrow where only the drawing does.
    fn outline(&self, which: usize, outline: &Outline, place: impl Fn(At) -> At, marks: &mut Vec<Mark>) {
        for (from, to) in outline.segments() {
            let goes_on = self.goes_on(which, from, to);
            let end = place(to.to_mm());
            let step = if from.bulge == 0.0 { Step::Line(end) } else { Step::Arc(end, from.bulge) };
            let path = vec![Step::Move(place(from.at.to_mm())), step];
            marks.push(Mark::Stroke {
                path,
                line: if goes_on { LineType::Dimension } else { LineType::Visible },
            });
        }
    }

    /// True where an edge lies on the border of the window and the board goes on beyond it.
    fn goes_on(&self, which: usize, from: Vertex, to: Point) -> bool {
        let Extents { low, high } = self.condition.window;
        let hair = Length::TOUCH + Length::TOUCH;
        let middle = |a: Length, b: Length| a + (b - a).half();
        let (x, y) = (middle(from.at.x, to.x), middle(from.at.y, to.y));
        let beyond = if from.at.x == to.x && to.x == low.x {
            Point::new(x - hair, y)
        } else if from.at.x == to.x && to.x == high.x {
            Point::new(x + hair, y)
        } else if from.at.y == to.y && to.y == low.y {
            Point::new(x, y - hair)
        } else if from.at.y == to.y && to.y == high.y {
            Point::new(x, y + hair)
        } else {
            return false;
        };
        from.bulge == 0.0 && in_wood(&self.condition.whole[which], beyond)
    }

    /// Points in a piece where a leader may end: on a grid over its largest plate, those of the other board and of fixings left
    /// out; where none is left the fixings count for nothing, and at last the middles of its edges do.
    fn targets(&self, which: usize) -> Vec<At> {
        let pieces = &self.condition.pieces[which];
        let largest = pieces.iter().max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()));
        let Some(outline) = largest.map(|p| &p.outline) else { return Vec::new() };
        let Extents { low, high } = outline.extents();
        let at = |low: Length, high: Length, i: i64| low + (high - low).shared_by(14).0 * i;
        let steps = [1, 3, 5, 7, 9, 11, 13];
        let grid = steps.into_iter().flat_map(|i| steps.map(|j| (i, j)));
        let points = grid.map(|(i, j)| Point::new(at(low.x, high.x, i), at(low.y, high.y, j)));
        let inside: Vec<At> = points.filter(|p| in_wood(pieces, *p)).map(Point::to_mm).collect();
        let clear = |(x, y): &At| {
            self.condition.driven.iter().all(|d| {
                let off = d.way.0 * (y - d.head.1) - d.way.1 * (x - d.head.0);
                off.abs() > d.diameter.to_mm()
            })
        };
        let beside: Vec<At> = inside.iter().copied().filter(clear).collect();
        if !beside.is_empty() {
            return beside;
        }
        if !inside.is_empty() {
            return inside;
        }
        let middle = |(from, to): (Vertex, Point)| {
            let (a, b) = (from.at.to_mm(), to.to_mm());
            ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
        };
        outline.segments().map(middle).collect()
    }
}

/// Where a balloon stands whose leader finds no place near its target: beyond all that is drawn, as near as can be, its leader
/// through no text; through one only where no way is clear.
fn outside(taken: &Taken, targets: &[At], across: f64, (low, high): (At, At)) -> Option<(At, At)> {
    let clear = across / 2.0 + 1.5;
    let (low, high) = ((low.0 - clear, low.1 - clear), (high.0 + clear, high.1 + clear));
    let ways = |target: At| {
        (0..32).map(move |turn| {
            let angle = f64::from(turn) * std::f64::consts::PI / 16.0;
            let way = (libm::cos(angle), libm::sin(angle));
            let until = |at: f64, way: f64, low: f64, high: f64| {
                if way.abs() < 1e-9 { f64::MAX } else { ((if way > 0.0 { high } else { low }) - at) / way }
            };
            let far = until(target.0, way.0, low.0, high.0).min(until(target.1, way.1, low.1, high.1));
            (target, (target.0 + way.0 * far, target.1 + way.1 * far), far)
        })
    };
    let all = targets.iter().flat_map(|target| ways(*target));
    let rated =
        all.map(|(target, middle, far)| (taken.runs_through_text(target, middle), far, target, middle));
    let best = rated.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    best.map(|(_, _, target, middle)| (target, middle))
}

/// A fixing from the side: white, so that it stands out of the hatching; screws with a head and a point.
fn shank(head: At, tip: At, way: At, half: f64, kind: FixingKind) -> Vec<Mark> {
    let long = libm::hypot(tip.0 - head.0, tip.1 - head.1);
    let at = |along: f64, aside: f64| {
        (head.0 + way.0 * along - way.1 * aside, head.1 + way.1 * along + way.0 * aside)
    };
    let screw = matches!(kind, FixingKind::Screws | FixingKind::PocketScrews);
    let mut side: Vec<(f64, f64)> = match kind {
        // A head twice as wide as the shank, countersunk or flat under the head (from memory).
        FixingKind::Screws => vec![(0.0, 2.0 * half), (half, half)],
        FixingKind::PocketScrews => vec![(-half, 2.0 * half), (0.0, 2.0 * half), (0.0, half)],
        _ => vec![(0.0, half)],
    };
    side.push(((long - if screw { 2.0 * half } else { 0.0 }).max(0.0), half));
    if screw {
        side.push((long, 0.0));
    }
    let other: Vec<(f64, f64)> = side.iter().rev().map(|(along, aside)| (*along, -aside)).collect();
    let mut points = side.into_iter().chain(other).map(|(along, aside)| at(along, aside));
    let Some(first) = points.next() else { return Vec::new() };
    let mut path = vec![Step::Move(first)];
    path.extend(points.map(Step::Line));
    path.push(Step::Close);
    vec![Mark::Fill { path: path.clone(), ink: Ink::White }, Mark::Stroke { path, line: LineType::Table }]
}

/// Dimensions laid one by one where they meet nothing.
struct Lanes<'a> {
    marks: Vec<Mark>,
    taken: Taken,
    /// Of what is drawn, on paper.
    low: At,
    high: At,
    paperwork: &'a Paperwork,
}

impl Lanes<'_> {
    /// Lays a size on the side and in the lane nearest to what it measures; false where no lane is free.
    fn add(&mut self, size: &Size, place: impl Fn(At) -> At) -> bool {
        let figure = self.paperwork.figures.figure(size.value());
        let corner = |along: Length, across: Length| {
            let (a, b) = (along.to_mm(), across.to_mm());
            place(if size.level { (a, b) } else { (b, a) })
        };
        let (near_low, near_high) = (size.near.0.min(size.near.1), size.near.0.max(size.near.1));
        let across = |at: At| if size.level { at.1 } else { at.0 };
        let (low, high) = if size.level { (self.low.1, self.high.1) } else { (self.low.0, self.high.0) };
        let off_low = across(corner(size.from, near_low)) - low;
        let off_high = high - across(corner(size.from, near_high));
        let mut all: Vec<(f64, f64, bool)> = Vec::new();
        for lane in 0..LANES {
            let out = FIRST + f64::from(lane) * if size.level { LEVEL } else { UPRIGHT };
            all.push((out + off_high.max(0.0) * 0.2, high + out, true));
            all.push((out + off_low.max(0.0) * 0.2, low - out, false));
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, lane, beyond) in all {
            let mut marks = Vec::new();
            let from_near = if beyond { near_high } else { near_low };
            let mut ends = [size.from, size.to].map(|along| {
                let start = corner(along, from_near);
                let way = if beyond { 1.0 } else { -1.0 };
                // A gap at the wood, a little past the line (ISO 129-1 practice).
                let (a, b) = (across(start) + way, lane + 1.5 * way);
                let at = |c: f64| if size.level { (start.0, c) } else { (c, start.1) };
                marks.push(line(at(a), at(b), LineType::Dimension));
                at(lane)
            });
            ends.sort_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
            let group = self.paperwork.line_group();
            marks.extend(measure(ends[0], ends[1], &figure, FIGURES, self.paperwork.unidirectional(), group));
            if self.taken.has_room_for(&marks) {
                self.taken.add(&marks);
                self.marks.extend(marks);
                return true;
            }
        }
        false
    }
}
