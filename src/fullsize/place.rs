//! Where there is room for words on a drawing at full size: clear of every line that counts and of each other, and whole on one
//! page.

use crate::drawing::bounds::{box_of, chords, extents};
use crate::drawing::paper::Area;
use crate::drawing::{At, Ink, Mark, Step, rectangle};

/// How far a piece of an arc may be from the arc, in millimetres: enough to keep words off lines.
const COARSE: f64 = 0.1;

/// What words keep from lines and from each other, in mm.
const CLEAR: f64 = 0.6;

/// The free room of a drawing.
pub struct Room {
    /// Straight pieces that no word may cross.
    pieces: Vec<(At, At)>,
    taken: Vec<Area>,
    /// Areas of which one must hold the whole of a word; empty: anywhere.
    windows: Vec<Area>,
}

impl Room {
    pub fn new(windows: &[Area]) -> Room {
        Room { pieces: Vec::new(), taken: Vec::new(), windows: windows.to_vec() }
    }

    /// Lines that words must not cross.
    pub fn keep_clear(&mut self, marks: &[Mark]) {
        for mark in marks {
            match mark {
                Mark::Stroke { path, .. } | Mark::Fill { path, .. } => {
                    self.pieces.extend(chords(path, COARSE))
                }
                Mark::Text(text) => self.taken.extend(area_of(&box_of(text))),
                Mark::Link { .. } => {}
            }
        }
    }

    /// Puts marks, laid out round (0, 0), at the first of the places where there is room for all of them; `fits` can ask for
    /// more of the room that they take. `None` where there is no such place.
    pub fn put(&mut self, marks: &[Mark], places: &[At], fits: &dyn Fn(&Area) -> bool) -> Option<Vec<Mark>> {
        let (low, high) = extents(marks)?;
        for place in places {
            let area = Area {
                low: (low.0 + place.0 - CLEAR, low.1 + place.1 - CLEAR),
                high: (high.0 + place.0 + CLEAR, high.1 + place.1 + CLEAR),
            };
            if self.is_free(&area) && fits(&area) {
                self.taken.push(area);
                return Some(marks.iter().map(|mark| super::page::moved(mark.clone(), *place)).collect());
            }
        }
        None
    }

    fn is_free(&self, area: &Area) -> bool {
        let holds = |w: &Area| {
            w.low.0 <= area.low.0
                && w.low.1 <= area.low.1
                && w.high.0 >= area.high.0
                && w.high.1 >= area.high.1
        };
        let apart = |b: &Area| {
            b.low.0 >= area.high.0
                || b.high.0 <= area.low.0
                || b.low.1 >= area.high.1
                || b.high.1 <= area.low.1
        };
        (self.windows.is_empty() || self.windows.iter().any(holds))
            && self.taken.iter().all(apart)
            && !self.pieces.iter().any(|piece| crosses(area, *piece))
    }
}

/// Places round a point, nearest first: eight ways, ever further out.
pub fn round(at: At, nearest: f64, furthest: f64) -> Vec<At> {
    let mut all = Vec::new();
    let mut reach = nearest;
    while reach <= furthest {
        for eighth in 0..16 {
            let angle = (45.0 + 22.5 * f64::from(eighth)).to_radians();
            all.push((at.0 + reach * libm::cos(angle), at.1 + reach * libm::sin(angle)));
        }
        reach += 1.5;
    }
    all
}

/// Places over an area, nearest to its middle first.
pub fn over(area: &Area) -> Vec<At> {
    let step = |size: f64| (size / 60.0).max(4.0);
    let (dx, dy) = (step(area.width()), step(area.height()));
    let middle = ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0);
    let counts = (libm::floor(area.width() / 2.0 / dx) as i64, libm::floor(area.height() / 2.0 / dy) as i64);
    let mut all = Vec::new();
    for i in -counts.0..=counts.0 {
        for j in -counts.1..=counts.1 {
            all.push((middle.0 + i as f64 * dx, middle.1 + j as f64 * dy));
        }
    }
    let far = |p: &At| libm::hypot(p.0 - middle.0, p.1 - middle.1);
    all.sort_by(|a, b| far(a).total_cmp(&far(b)).then(b.1.total_cmp(&a.1)).then(a.0.total_cmp(&b.0)));
    all
}

/// White paper under words that stand on hatching.
pub fn backed(marks: Vec<Mark>) -> Vec<Mark> {
    let Some((low, high)) = extents(&marks) else { return marks };
    let path =
        rectangle((low.0 - CLEAR / 2.0, low.1 - CLEAR / 2.0), (high.0 + CLEAR / 2.0, high.1 + CLEAR / 2.0));
    std::iter::once(Mark::Fill { path, ink: Ink::White }).chain(marks).collect()
}

/// The rectangle along the paper round some points.
pub fn area_of(points: &[At]) -> Option<Area> {
    let mut points = points.iter();
    let first = *points.next()?;
    Some(points.fold(Area { low: first, high: first }, |a, p| Area {
        low: (a.low.0.min(p.0), a.low.1.min(p.1)),
        high: (a.high.0.max(p.0), a.high.1.max(p.1)),
    }))
}

/// Whether a point lies inside a path, even-odd.
pub fn holds(path: &[Step], at: At) -> bool {
    let left = chords(path, COARSE).into_iter().filter(|(a, b)| {
        (a.1 <= at.1) != (b.1 <= at.1) && a.0 + (b.0 - a.0) * (at.1 - a.1) / (b.1 - a.1) < at.0
    });
    left.count() % 2 == 1
}

/// Whether a straight piece enters an area.
fn crosses(area: &Area, (from, to): (At, At)) -> bool {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (a, b, low, high) in
        [(from.0, to.0, area.low.0, area.high.0), (from.1, to.1, area.low.1, area.high.1)]
    {
        if a == b {
            if a <= low || a >= high {
                return false;
            }
            continue;
        }
        let (one, other) = ((low - a) / (b - a), (high - a) / (b - a));
        enter = enter.max(one.min(other));
        leave = leave.min(one.max(other));
    }
    enter < leave
}
