//! Free room on a sheet: what is already drawn, and where a label finds a place with the shortest leader.

use std::collections::{BTreeMap, BTreeSet};

use super::frame::Area;
use crate::drawing::bounds::{box_of, chords};
use crate::drawing::{At, Mark, Step, Text};

/// Lines and texts already on the paper, sorted into cells so that asking about a place costs the same on a full sheet.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    lines: Vec<(At, At)>,
    boxes: Vec<Area>,
    cells: BTreeMap<(i32, i32), Cell>,
    /// Closed shapes in which no name of another thing may stand.
    rooms: Vec<Area>,
    /// Leaders of names, which no other leader may cross.
    leaders: Vec<(At, At)>,
    /// Lines, texts and places looked at so far.
    steps: std::cell::Cell<usize>,
}

/// Side of a cell in millimetres.
const CELL: f64 = 8.0;

/// Indices of what lies in a cell.
#[derive(Clone, Debug, Default)]
struct Cell {
    lines: Vec<usize>,
    boxes: Vec<usize>,
}

/// What a line in a leader's way weighs, in millimetres of a longer leader.
const THROUGH_LINE: f64 = 4.0;
/// How far a chord may lie off its arc in millimetres where only room is asked for.
const COARSE: f64 = 0.1;

fn cell_of(at: f64) -> i32 {
    libm::floor((at / CELL).clamp(-1e6, 1e6)) as i32
}

/// Where a label goes: the middle of its box and the end of its leader at the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    pub middle: At,
    pub leader_from: At,
    /// Length of the leader, and what the lines weigh that it crosses, in millimetres.
    pub cost: f64,
}

/// No further ring is looked at for one place after so many lines, texts and places: in a crowd a place further out is no
/// better than none.
const MOST_STEPS: usize = 5_000;
/// So many leaders are looked at in the time of one step.
const LEADERS: usize = 8;

impl Taken {
    /// Adds all marks that a text must not touch.
    pub fn add(&mut self, marks: &[Mark]) {
        for mark in marks {
            match mark {
                Mark::Stroke { path, .. } | Mark::Fill { path, .. } => self.path(path),
                // Grown by a line's width and a little more: lines may not graze it either.
                Mark::Text(text) => self.add_area(area_of(text).inset(-0.5)),
                Mark::Link { .. } => {}
            }
        }
    }

    /// Adds an area that nothing may enter.
    pub fn add_area(&mut self, area: Area) {
        let index = self.boxes.len();
        self.boxes.push(area);
        for x in cell_of(area.low.0)..=cell_of(area.high.0) {
            for y in cell_of(area.low.1)..=cell_of(area.high.1) {
                self.cells.entry((x, y)).or_default().boxes.push(index);
            }
        }
    }

    /// Adds a closed shape: a name may stand in it only where what it names lies in it too.
    pub fn add_room(&mut self, room: Area) {
        self.rooms.push(room);
    }

    /// Adds the leader of a name.
    pub fn add_leader(&mut self, from: At, to: At) {
        self.leaders.push((from, to));
    }

    /// Whether a name at `middle` would be read as that of another thing than the one at `target`.
    fn is_misread(&self, middle: At, target: At) -> bool {
        self.rooms.iter().any(|room| holds(*room, middle) && !holds(*room, target))
    }

    fn add_line(&mut self, from: At, to: At) {
        let index = self.lines.len();
        self.lines.push((from, to));
        for cell in cells_along(from, to) {
            self.cells.entry(cell).or_default().lines.push(index);
        }
    }

    fn path(&mut self, path: &[Step]) {
        for (from, to) in chords(path, COARSE) {
            self.add_line(from, to);
        }
    }

    /// What the questions so far have cost: lines, texts and places looked at. The same on every machine.
    pub fn steps(&self) -> usize {
        self.steps.get()
    }

    fn count(&self, steps: usize) {
        self.steps.set(self.steps.get() + steps);
    }

    /// Whether an area is free of lines and texts.
    pub fn is_free(&self, area: Area) -> bool {
        (cell_of(area.low.0)..=cell_of(area.high.0)).all(|x| {
            self.cells.range((x, cell_of(area.low.1))..=(x, cell_of(area.high.1))).all(|(_, cell)| {
                self.count(cell.boxes.len() + cell.lines.len());
                !cell.boxes.iter().any(|b| overlap(self.boxes[*b], area))
                    && !cell.lines.iter().any(|l| enters(self.lines[*l], area))
            })
        })
    }

    /// What the lines that a straight leader meets weigh; `None` where it meets a text, or more than `most`.
    fn met(&self, from: At, to: At, most: f64) -> Option<f64> {
        let mut lines = BTreeSet::<usize>::new();
        for cell in cells_along(from, to).iter().filter_map(|at| self.cells.get(at)) {
            self.count(cell.boxes.len() + cell.lines.len());
            if cell.boxes.iter().any(|b| enters((from, to), self.boxes[*b])) {
                return None;
            }
            lines.extend(cell.lines.iter().copied().filter(|l| cross(self.lines[*l], (from, to))));
            if lines.len() as f64 * THROUGH_LINE > most {
                return None;
            }
        }
        Some(lines.len() as f64 * THROUGH_LINE)
    }

    /// Whether a straight line runs through a text.
    pub fn runs_through_text(&self, from: At, to: At) -> bool {
        self.met(from, to, f64::MAX).is_none()
    }

    /// Whether marks can be added: none of their texts lies on what is there, none of their lines runs through a text.
    pub fn has_room_for(&self, marks: &[Mark]) -> bool {
        marks.iter().all(|mark| match mark {
            Mark::Text(text) => self.is_free(area_of(text)),
            Mark::Stroke { path, .. } | Mark::Fill { path, .. } => {
                chords(path, COARSE).into_iter().all(|(a, b)| !self.runs_through_text(a, b))
            }
            Mark::Link { .. } => true,
        })
    }

    /// A place for a box of this size near `target`, inside `within`; as near as can be, its leader crossing as few lines as
    /// can be and no text. With `touching` the box may lie on the target itself, with no leader.
    pub fn near(&self, target: At, size: (f64, f64), within: Area, touching: bool) -> Option<Spot> {
        self.close_to(target, size, within, touching, f64::MAX, f64::MAX)
    }

    /// The same with a leader of at most `most` millimetres, and only where the place costs less than `beat`, what the best
    /// place for another target does.
    pub fn close_to(
        &self,
        target: At,
        size: (f64, f64),
        within: Area,
        touching: bool,
        most: f64,
        beat: f64,
    ) -> Option<Spot> {
        let (half_w, half_h) = (size.0 / 2.0 + 1.0, size.1 / 2.0 + 1.0);
        let mut best: Option<(f64, Spot)> = None;
        if touching && self.fits(target, half_w, half_h, within) {
            return Some(Spot { middle: target, leader_from: target, cost: 0.0 });
        }
        let begun = self.steps();
        for ring in 0..30 {
            let reach = 4.0 + f64::from(ring) * 3.0;
            if self.steps() - begun > MOST_STEPS {
                break;
            }
            if reach > most || reach >= best.map_or(beat, |(cost, _)| cost) {
                break;
            }
            for turn in 0..32 {
                self.count(1);
                let angle = (f64::from(turn) + 0.5) * std::f64::consts::PI / 16.0;
                let (dx, dy) = (libm::cos(angle), libm::sin(angle));
                // The nearest end of the box lies `reach` away: leaders meet it at a short side's middle.
                let from = (target.0 + dx * reach, target.1 + dy * reach);
                let middle = if dx.abs() < 0.3 {
                    (from.0, from.1 + half_h * dy.signum())
                } else {
                    (from.0 + half_w * dx.signum(), from.1)
                };
                if self.is_misread(middle, target) || !self.fits(middle, half_w, half_h, within) {
                    continue;
                }
                self.count(self.leaders.len() / LEADERS);
                if self.leaders.iter().any(|leader| cross(*leader, (target, from))) {
                    continue;
                }
                let least = best.map_or(beat, |(least, _)| least);
                let Some(met) = self.met(target, from, least - reach) else { continue };
                let cost = reach + met;
                if cost < least {
                    best = Some((cost, Spot { middle, leader_from: from, cost }));
                }
            }
        }
        best.map(|(_, spot)| spot)
    }

    /// A free box of this size inside an area, as near as can be to its middle.
    pub fn inside(&self, size: (f64, f64), area: Area) -> Option<At> {
        self.inside_near(size, area, ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0))
    }

    /// The same as near as can be to a place.
    pub fn inside_near(&self, size: (f64, f64), area: Area, near: At) -> Option<At> {
        let (half_w, half_h) = (size.0 / 2.0 + 1.0, size.1 / 2.0 + 1.0);
        let (low, high) =
            ((area.low.0 + half_w, area.low.1 + half_h), (area.high.0 - half_w, area.high.1 - half_h));
        if low.0 > high.0 || low.1 > high.1 {
            return None;
        }
        // Not in a closed shape that lies in the area, unless it is the area.
        let is_foreign = |at: At| {
            let covers = |room: &Area| holds(*room, area.low) && holds(*room, area.high);
            self.rooms.iter().any(|room| holds(*room, at) && !covers(room))
        };
        let start = (near.0.clamp(low.0, high.0), near.1.clamp(low.1, high.1));
        let steps = |room: f64| libm::floor(room.max(0.0) / 4.0).clamp(0.0, 120.0) as i32;
        let across = (steps(start.0 - low.0), steps(high.0 - start.0));
        let up = (steps(start.1 - low.1), steps(high.1 - start.1));
        let mut all: Vec<(i32, i32)> =
            (-across.0..=across.1).flat_map(|x| (-up.0..=up.1).map(move |y| (x, y))).collect();
        all.sort_by_key(|(x, y)| (x * x + y * y, *y, *x));
        all.into_iter()
            .map(|(x, y)| (start.0 + 4.0 * f64::from(x), start.1 + 4.0 * f64::from(y)))
            .find(|at| !is_foreign(*at) && self.fits(*at, half_w, half_h, area))
    }

    fn fits(&self, middle: At, half_w: f64, half_h: f64, within: Area) -> bool {
        let area = Area {
            low: (middle.0 - half_w, middle.1 - half_h),
            high: (middle.0 + half_w, middle.1 + half_h),
        };
        let kept = area.low.0 >= within.low.0
            && area.low.1 >= within.low.1
            && area.high.0 <= within.high.0
            && area.high.1 <= within.high.1;
        kept && self.is_free(area)
    }
}

/// The area along the paper's sides round a text.
fn area_of(text: &Text) -> Area {
    let corners = box_of(text);
    let (x, y) = (corners.map(|c| c.0), corners.map(|c| c.1));
    let least = |all: [f64; 4]| all.into_iter().fold(f64::MAX, f64::min);
    let most = |all: [f64; 4]| all.into_iter().fold(f64::MIN, f64::max);
    Area { low: (least(x), least(y)), high: (most(x), most(y)) }
}

/// The cells that a straight line touches, column by column.
fn cells_along(from: At, to: At) -> Vec<(i32, i32)> {
    let (a, b) = if from.0 <= to.0 { (from, to) } else { (to, from) };
    let slope = if b.0 - a.0 > 1e-9 { Some((b.1 - a.1) / (b.0 - a.0)) } else { None };
    let mut cells = Vec::new();
    for x in cell_of(a.0)..=cell_of(b.0) {
        // The stretch of the line in this column, a hair wider so that no corner is missed.
        let (left, right) = (f64::from(x) * CELL - 1e-6, f64::from(x + 1) * CELL + 1e-6);
        let (low, high) = match slope {
            Some(slope) => {
                let y = |x: f64| a.1 + (x.clamp(a.0, b.0) - a.0) * slope;
                (y(left).min(y(right)), y(left).max(y(right)))
            }
            None => (a.1.min(b.1), a.1.max(b.1)),
        };
        cells.extend((cell_of(low - 1e-6)..=cell_of(high + 1e-6)).map(|y| (x, y)));
    }
    cells
}

fn overlap(a: Area, b: Area) -> bool {
    a.low.0 < b.high.0 && b.low.0 < a.high.0 && a.low.1 < b.high.1 && b.low.1 < a.high.1
}

/// Whether an area holds a place, its border included (a hair more, for what was worked out twice).
fn holds(area: Area, at: At) -> bool {
    let hair = 1e-6;
    at.0 >= area.low.0 - hair
        && at.0 <= area.high.0 + hair
        && at.1 >= area.low.1 - hair
        && at.1 <= area.high.1 + hair
}

/// Whether a straight line enters an area.
fn enters((from, to): (At, At), area: Area) -> bool {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (a, b, low, high) in
        [(from.0, to.0, area.low.0, area.high.0), (from.1, to.1, area.low.1, area.high.1)]
    {
        if (b - a).abs() < 1e-12 {
            if a <= low || a >= high {
                return false;
            }
            continue;
        }
        let (t0, t1) = ((low - a) / (b - a), (high - a) / (b - a));
        enter = enter.max(t0.min(t1));
        leave = leave.min(t0.max(t1));
    }
    enter < leave
}

fn cross((a, b): (At, At), (c, d): (At, At)) -> bool {
    let side = |p: At, q: At, r: At| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
