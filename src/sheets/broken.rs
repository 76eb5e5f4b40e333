//! Long narrow parts drawn broken: where nothing happens along a stretch, it is left out between two zigzag lines, so that
//! the rest can be drawn large enough to read (ISO 128: interrupted views; the line is a narrow continuous one with
//! zigzags). All figures stay those of the whole part. Knows the part's outline and works, and no dimension.

use super::drawn::Along;
use super::face_view::OnPaper;
use super::frame::Area;
use crate::drawing::{At, Ink, LineType, Mark, Step, rectangle};
use crate::length::Length;
use crate::parts::Part;
use crate::shape::Outline;
use crate::shape::view::{LineKind, ViewLine};

/// A part that is drawn narrower than this cannot be read.
const READABLE: f64 = 12.0;
/// As wide as this its section can be read; no larger scale is sought.
const WELL_READABLE: f64 = 15.0;
/// Between the two zigzag lines on paper.
const GAP: f64 = 5.0;
/// Wood that stays on both sides of a break, beyond what happens there, on paper.
const STAYS: f64 = 12.0;
/// A break that saves less than this on paper is not worth its lines.
const LEAST: f64 = 15.0;
/// A broken part still looks long: so many times its narrow side.
const LONG: f64 = 2.5;
/// More breaks than this make another picture of the part.
const MOST: usize = 3;
/// How far a zigzag line runs on past the part, and the reach of its zigzag.
const PAST: f64 = 2.5;
const ZIGZAG: f64 = 1.6;

/// The stretches that a view leaves out, in millimetres of wood from the datum.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Breaks {
    /// True where they lie up the view.
    up: bool,
    count: usize,
    stretches: [(f64, f64); MOST],
}

impl Breaks {
    fn all(&self) -> &[(f64, f64)] {
        self.stretches.get(..self.count).unwrap_or_default()
    }

    pub fn is_none(&self) -> bool {
        self.count == 0
    }

    /// The breaks along one direction only.
    pub fn of(&self, along: Along) -> Breaks {
        if self.lies(along) { *self } else { Breaks::default() }
    }

    fn lies(&self, along: Along) -> bool {
        self.up == (along == Along::Up)
    }

    /// Paper from the datum to the first break in a direction, as far as its zigzag reaches.
    pub fn first(&self, along: Along, factor: f64) -> Option<f64> {
        let (from, _) = self.of(along).all().first().copied()?;
        Some(from * factor - ZIGZAG)
    }

    /// Paper from the datum to a position in millimetres of wood.
    pub fn paper(&self, along: Along, at: f64, factor: f64) -> f64 {
        let whole = at * factor;
        if !self.lies(along) {
            return whole;
        }
        // Inside a stretch all positions are squeezed into the gap, so that order is kept.
        let saved = |(from, to): &(f64, f64)| {
            let left_out = (at.min(*to) - from).max(0.0);
            left_out * (factor - GAP / (to - from))
        };
        whole - self.all().iter().map(saved).sum::<f64>()
    }

    /// The breaks that bring a part's drawn length down to `length` on paper, as few as can be; `None` where too much happens
    /// along it.
    pub fn to_length(part: &Part, factor: f64, length: f64) -> Option<Breaks> {
        let along = long_side(part);
        let size = if along == Along::Up { part.height } else { part.width }.to_mm();
        if length < LONG * narrow(part) * factor {
            return None;
        }
        let mut excess = size * factor - length;
        let stays = STAYS / factor;
        let mut quiet: Vec<(f64, f64)> = quiet(part, along, size);
        quiet.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)).then(a.0.total_cmp(&b.0)));
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (from, to) in quiet.into_iter().take(MOST) {
            let most = to - from - 2.0 * stays;
            let wanted = (excess + GAP) / factor;
            if excess <= 0.0 || most * factor - GAP < LEAST {
                break;
            }
            let out = wanted.min(most).max((LEAST + GAP) / factor);
            let middle = (from + to) / 2.0;
            taken.push((middle - out / 2.0, middle + out / 2.0));
            excess -= out * factor - GAP;
        }
        if excess > 1e-6 || taken.is_empty() {
            return None;
        }
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut breaks = Breaks { up: along == Along::Up, count: taken.len(), ..Breaks::default() };
        breaks.stretches.iter_mut().zip(taken).for_each(|(slot, stretch)| *slot = stretch);
        Some(breaks)
    }
}

/// The direction in which a part is longer.
pub fn long_side(part: &Part) -> Along {
    if part.height > part.width { Along::Up } else { Along::Across }
}

/// Whether the narrow side can be read at a scale (paper to wood), and whether well.
pub fn is_readable(part: &Part, factor: f64) -> bool {
    narrow(part) * factor >= READABLE
}

pub fn is_well_readable(part: &Part, factor: f64) -> bool {
    narrow(part) * factor >= WELL_READABLE
}

fn narrow(part: &Part) -> f64 {
    part.width.min(part.height).to_mm()
}

/// Stretches along which the section of the part stays the same, from the datum outwards.
fn quiet(part: &Part, along: Along, size: f64) -> Vec<(f64, f64)> {
    let mut busy: Vec<(f64, f64)> = vec![(0.0, 0.0), (size, size)];
    let pick = |at: crate::shape::Point| if along == Along::Up { at.y } else { at.x }.to_mm();
    let other = |at: crate::shape::Point| if along == Along::Up { at.x } else { at.y };
    let mut round = |outline: &Outline| {
        for (from, to) in outline.segments() {
            let (a, b) = (pick(from.at), pick(to));
            busy.extend([(a, a), (b, b)]);
            if from.bulge != 0.0 {
                // An arc lies within its chord and a rise of |bulge| half chords to either side.
                let chord = libm::hypot(b - a, (other(to) - other(from.at)).to_mm());
                let rise = from.bulge.abs() * chord / 2.0 + chord / 2.0;
                let middle = (a + b) / 2.0;
                busy.push((middle - rise, middle + rise));
            } else if other(from.at) != other(to) {
                busy.push((a.min(b), a.max(b)));
            }
        }
    };
    round(&part.outline);
    part.inside.iter().for_each(&mut round);
    part.pockets.iter().for_each(|p| round(&p.outline));
    part.cuts.iter().for_each(|c| round(&c.outline));
    let about = |at: f64, diameter: Length| (at - diameter.to_mm() / 2.0, at + diameter.to_mm() / 2.0);
    for hole in &part.holes {
        let wide = [hole.countersink, hole.slot.map(|slot| slot.length)].into_iter().flatten();
        busy.push(about(pick(hole.at), wide.fold(hole.diameter, Length::max)));
    }
    for bore in &part.bores {
        let (a, b) = (about(pick(bore.at), bore.diameter), about(pick(bore.leaves), bore.diameter));
        busy.push((a.0.min(b.0), a.1.max(b.1)));
    }
    let edges = part.edges.iter().map(|e| (e.from, e.to));
    for (from, to) in edges.chain(part.bevels.iter().map(|b| (b.from, b.to))) {
        busy.extend([(pick(from), pick(from)), (pick(to), pick(to))]);
    }
    busy.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut all = Vec::new();
    let mut reached = 0.0_f64;
    for (from, to) in busy {
        if from > reached {
            all.push((reached, from.min(size)));
        }
        reached = reached.max(to);
    }
    all.retain(|(from, to)| to > from);
    all
}

/// Draws lines of a view, in millimetres of wood from the datum, leaving out what lies in a break. `place` is their way on to
/// paper.
pub fn draw_lines(
    lines: &[ViewLine],
    breaks: &Breaks,
    place: impl Fn((f64, f64)) -> At,
    seen: &mut Vec<Mark>,
    hidden: &mut Vec<Mark>,
) {
    for l in lines {
        let kind = match (l.visible, l.kind) {
            (true, _) => LineType::Visible,
            (false, LineKind::Crease) => LineType::Hidden,
            // Hidden seams of curved surfaces tell nothing.
            (false, _) => continue,
        };
        let into = if l.visible { &mut *seen } else { &mut *hidden };
        for (from, to) in pieces(l, breaks) {
            let to = place(to);
            let step = if l.bulge == 0.0 { Step::Line(to) } else { Step::Arc(to, l.bulge) };
            into.push(Mark::Stroke { path: vec![Step::Move(place(from)), step], line: kind });
        }
    }
}

/// A line without what lies in the breaks. Only lines along the part run through one.
fn pieces(l: &ViewLine, breaks: &Breaks) -> Vec<((f64, f64), (f64, f64))> {
    let pick = |at: (f64, f64)| if breaks.up { at.1 } else { at.0 };
    let put = |at: (f64, f64), along: f64| if breaks.up { (at.0, along) } else { (along, at.1) };
    let forward = pick(l.from) <= pick(l.to);
    let (mut low, high) = if forward { (l.from, l.to) } else { (l.to, l.from) };
    let mut all = Vec::new();
    for (from, to) in breaks.all() {
        if l.bulge == 0.0 && pick(low) <= *from && pick(high) >= *to {
            all.push((low, put(low, *from)));
            low = put(low, *to);
        }
    }
    all.push((low, high));
    if !forward {
        all.iter_mut().for_each(|(a, b)| std::mem::swap(a, b));
    }
    all
}

/// The zigzag lines of a view's breaks across `view`, and what hides shading between them.
pub fn zigzags(on: &OnPaper, breaks: &Breaks, view: Area) -> (Vec<Mark>, Vec<Mark>) {
    let (mut lines, mut masks) = (Vec::new(), Vec::new());
    let (along, datum) = if breaks.up { (Along::Up, on.datum.1) } else { (Along::Across, on.datum.0) };
    for (from, to) in breaks.all() {
        let [a, b] = [from, to].map(|at| datum + breaks.paper(along, *at, on.factor));
        let (low, high) = if breaks.up {
            ((view.low.0 - PAST, a), (view.high.0 + PAST, b))
        } else {
            ((a, view.low.1 - PAST), (b, view.high.1 + PAST))
        };
        masks.push(Mark::Fill { path: rectangle(low, high), ink: Ink::White });
        for at in [a, b] {
            lines.push(Mark::Stroke { path: zigzag(breaks.up, at, view), line: LineType::Dimension });
        }
    }
    (lines, masks)
}

fn zigzag(up: bool, at: f64, view: Area) -> Vec<Step> {
    let (start, end) = if up { (view.low.0, view.high.0) } else { (view.low.1, view.high.1) };
    let middle = (start + end) / 2.0;
    let along = [
        (start - PAST, 0.0),
        (middle - ZIGZAG, 0.0),
        (middle - ZIGZAG / 2.0, -ZIGZAG),
        (middle + ZIGZAG / 2.0, ZIGZAG),
        (middle + ZIGZAG, 0.0),
        (end + PAST, 0.0),
    ];
    let place = |(across, off): (f64, f64)| if up { (across, at + off) } else { (at + off, across) };
    let mut path = Vec::new();
    for (i, point) in along.into_iter().enumerate() {
        path.push(if i == 0 { Step::Move(place(point)) } else { Step::Line(place(point)) });
    }
    path
}
