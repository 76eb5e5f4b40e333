//! Free room on a sheet: what is already drawn, and where a label finds a place with the shortest leader.

use super::frame::Area;
use crate::drawing::bounds::box_of;
use crate::drawing::{At, Mark, Step};
use crate::shape::Arc;

/// Lines and texts already on the paper.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    lines: Vec<(At, At)>,
    boxes: Vec<Area>,
}

/// Where a label goes: the middle of its box and the end of its leader at the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    pub middle: At,
    pub leader_from: At,
}

impl Taken {
    /// Adds all marks that a text must not touch.
    pub fn add(&mut self, marks: &[Mark]) {
        for mark in marks {
            match mark {
                Mark::Stroke { path, .. } | Mark::Fill { path, .. } => self.path(path),
                Mark::Text(text) => {
                    let corners = box_of(text);
                    let x = corners.map(|c| c.0);
                    let y = corners.map(|c| c.1);
                    let least = |all: [f64; 4]| all.into_iter().fold(f64::MAX, f64::min);
                    let most = |all: [f64; 4]| all.into_iter().fold(f64::MIN, f64::max);
                    self.boxes.push(Area { low: (least(x), least(y)), high: (most(x), most(y)) });
                }
                Mark::Link { .. } => {}
            }
        }
    }

    /// Adds an area that nothing may enter.
    pub fn add_area(&mut self, area: Area) {
        self.boxes.push(area);
    }

    fn path(&mut self, path: &[Step]) {
        let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
        for step in path {
            match *step {
                Step::Move(to) => (start, at) = (to, to),
                Step::Line(to) => {
                    self.lines.push((at, to));
                    at = to;
                }
                Step::Arc(to, bulge) => {
                    if let Some(arc) = Arc::between(at, to, bulge) {
                        let parts = libm::ceil(arc.sweep.abs() * 8.0).max(1.0) as usize;
                        for part in 1..=parts {
                            let angle = arc.start + arc.sweep * part as f64 / parts as f64;
                            let next = (
                                arc.centre.0 + arc.radius * libm::cos(angle),
                                arc.centre.1 + arc.radius * libm::sin(angle),
                            );
                            self.lines.push((at, next));
                            at = next;
                        }
                    }
                    at = to;
                }
                Step::Close => {
                    self.lines.push((at, start));
                    at = start;
                }
            }
        }
    }

    /// Whether an area is free of lines and texts.
    pub fn is_free(&self, area: Area) -> bool {
        !self.boxes.iter().any(|b| overlap(*b, area)) && !self.lines.iter().any(|l| enters(*l, area))
    }

    /// How many lines and texts a straight leader meets; texts weigh most.
    fn met(&self, from: At, to: At) -> f64 {
        let texts = self.boxes.iter().filter(|b| enters((from, to), **b)).count();
        let lines = self.lines.iter().filter(|l| cross(**l, (from, to))).count();
        texts as f64 * 1000.0 + lines as f64 * 4.0
    }

    /// A place for a box of this size near `target`, inside `within`; as near as can be, its leader crossing as little as
    /// can be. With `touching` the box may lie on the target itself, with no leader.
    pub fn near(&self, target: At, size: (f64, f64), within: Area, touching: bool) -> Option<Spot> {
        let (half_w, half_h) = (size.0 / 2.0 + 1.0, size.1 / 2.0 + 1.0);
        let mut best: Option<(f64, Spot)> = None;
        if touching && self.fits(target, half_w, half_h, within) {
            return Some(Spot { middle: target, leader_from: target });
        }
        for ring in 0..30 {
            let reach = 4.0 + f64::from(ring) * 3.0;
            if best.is_some_and(|(cost, _)| cost <= reach) {
                break;
            }
            for turn in 0..32 {
                let angle = (f64::from(turn) + 0.5) * std::f64::consts::PI / 16.0;
                let (dx, dy) = (libm::cos(angle), libm::sin(angle));
                // The nearest end of the box lies `reach` away: leaders meet it at a short side's middle.
                let from = (target.0 + dx * reach, target.1 + dy * reach);
                let middle = if dx.abs() < 0.3 {
                    (from.0, from.1 + half_h * dy.signum())
                } else {
                    (from.0 + half_w * dx.signum(), from.1)
                };
                if !self.fits(middle, half_w, half_h, within) {
                    continue;
                }
                let cost = reach + self.met(target, from);
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, Spot { middle, leader_from: from }));
                }
            }
        }
        best.map(|(_, spot)| spot)
    }

    /// A free box of this size inside an area, as near as can be to its middle.
    pub fn inside(&self, size: (f64, f64), area: Area) -> Option<At> {
        let (half_w, half_h) = (size.0 / 2.0 + 1.0, size.1 / 2.0 + 1.0);
        let middle = ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0);
        let steps = |room: f64| (libm::floor(room / 2.0 / 4.0)).clamp(0.0, 60.0) as i32;
        let (across, up) = (steps(area.width() - 2.0 * half_w), steps(area.height() - 2.0 * half_h));
        let mut all: Vec<(i32, i32)> =
            (-across..=across).flat_map(|x| (-up..=up).map(move |y| (x, y))).collect();
        all.sort_by_key(|(x, y)| (x * x + y * y, *y, *x));
        all.into_iter()
            .map(|(x, y)| (middle.0 + 4.0 * f64::from(x), middle.1 + 4.0 * f64::from(y)))
            .find(|at| self.fits(*at, half_w, half_h, area))
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

fn overlap(a: Area, b: Area) -> bool {
    a.low.0 < b.high.0 && b.low.0 < a.high.0 && a.low.1 < b.high.1 && b.low.1 < a.high.1
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
