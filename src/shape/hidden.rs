//! What hides what: the stretches of a projected edge that no nearer face covers. An edge is hidden only where faces nearer
//! to the eye cover both sides of it, so an edge that runs along the border of a nearer face stays seen and one that runs
//! behind the seam of two faces does not.

use crate::shape::shell::FlatFace;
use crate::shape::space::dot;
use crate::shape::view::Projection;

/// How far beside an edge the two looks are taken, mm: beyond the chords that stand for arcs.
const BESIDE: f64 = 0.01;

/// A face must be nearer than the edge by this much to hide it, mm; less is the same plane.
const NEARER: f64 = 0.05;

/// Shorter than this a stretch is the noise of two edges that were meant to meet, mm.
const CRACK: f64 = 0.005;

/// A face turned to the eye, projected.
pub(crate) struct Cover {
    loops: Vec<Vec<(f64, f64)>>,
    /// Depth towards the eye: at + slope_x · x + slope_y · y.
    at: f64,
    slope: (f64, f64),
    nearest: f64,
    low: (f64, f64),
    high: (f64, f64),
    solid: usize,
    surface: usize,
}

/// An edge, or a chord of one, as it is looked at: (right, up, towards the eye).
pub(crate) struct Sight {
    pub from: (f64, f64, f64),
    pub to: (f64, f64, f64),
    pub solid: usize,
    /// The surfaces beside it, which do not hide it.
    pub surfaces: [usize; 2],
}

impl Cover {
    pub(crate) fn of(face: &FlatFace, solid: usize, look: &Projection) -> Option<Cover> {
        let turned = dot(face.normal, look.toward);
        let corner = face.loops.first()?.first()?;
        let (x, y, z) = look.project(*corner);
        let slope = (-dot(face.normal, look.right) / turned, -dot(face.normal, look.up) / turned);
        let mut cover = Cover {
            loops: Vec::with_capacity(face.loops.len()),
            at: z - slope.0 * x - slope.1 * y,
            slope,
            nearest: f64::NEG_INFINITY,
            low: (f64::INFINITY, f64::INFINITY),
            high: (f64::NEG_INFINITY, f64::NEG_INFINITY),
            solid,
            surface: face.surface,
        };
        for line in &face.loops {
            let mut flat = Vec::with_capacity(line.len());
            for point in line {
                let (x, y, z) = look.project(*point);
                flat.push((x, y));
                cover.nearest = cover.nearest.max(z);
                cover.low = (cover.low.0.min(x), cover.low.1.min(y));
                cover.high = (cover.high.0.max(x), cover.high.1.max(y));
            }
            cover.loops.push(flat);
        }
        Some(cover)
    }

    fn depth(&self, x: f64, y: f64) -> f64 {
        self.at + self.slope.0 * x + self.slope.1 * y
    }
}

/// All covers of a view, found by place.
pub(crate) struct Covers {
    all: Vec<Cover>,
    low: (f64, f64),
    /// Size of a cell of the grid, mm.
    cell: (f64, f64),
    across: usize,
    cells: Vec<Vec<u32>>,
}

impl Covers {
    pub(crate) fn new(mut all: Vec<Cover>) -> Covers {
        // The nearest first: most edges are hidden by the first few they meet.
        all.sort_by(|a, b| b.nearest.total_cmp(&a.nearest));
        let mut low = (f64::INFINITY, f64::INFINITY);
        let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for cover in &all {
            low = (low.0.min(cover.low.0), low.1.min(cover.low.1));
            high = (high.0.max(cover.high.0), high.1.max(cover.high.1));
        }
        let across = (libm::sqrt(all.len() as f64) as usize).clamp(1, 64);
        let size = |low: f64, high: f64| ((high - low) / across as f64).max(1e-3);
        let mut covers = Covers {
            low,
            cell: (size(low.0, high.0), size(low.1, high.1)),
            across,
            cells: vec![Vec::new(); across * across],
            all,
        };
        for (index, cover) in covers.all.iter().enumerate() {
            let (columns, rows) = covers.reach(cover.low, cover.high);
            for row in rows {
                for column in columns.clone() {
                    covers.cells[row * across + column].push(index as u32);
                }
            }
        }
        covers
    }

    /// Columns and rows of the grid that a box reaches into.
    fn reach(
        &self,
        low: (f64, f64),
        high: (f64, f64),
    ) -> (std::ops::RangeInclusive<usize>, std::ops::RangeInclusive<usize>) {
        let cell = |at: f64, origin: f64, size: f64| {
            // Saturating: what lies beyond the grid belongs to its border.
            (((at - origin) / size).max(0.0) as usize).min(self.across - 1)
        };
        (
            cell(low.0 - BESIDE, self.low.0, self.cell.0)..=cell(high.0 + BESIDE, self.low.0, self.cell.0),
            cell(low.1 - BESIDE, self.low.1, self.cell.1)..=cell(high.1 + BESIDE, self.low.1, self.cell.1),
        )
    }

    /// The stretches of an edge that are seen, as shares from 0 to 1; nothing where it is seen end on.
    pub(crate) fn seen(&self, sight: &Sight) -> Vec<(f64, f64)> {
        let (dx, dy) = (sight.to.0 - sight.from.0, sight.to.1 - sight.from.1);
        let length = libm::hypot(dx, dy);
        if length < 1e-6 {
            return Vec::new();
        }
        let line = Line {
            at: (sight.from.0, sight.from.1),
            along: (dx / length, dy / length),
            depth: sight.from.2,
            climb: (sight.to.2 - sight.from.2) / length,
            length,
        };
        let low = (sight.from.0.min(sight.to.0), sight.from.1.min(sight.to.1));
        let high = (sight.from.0.max(sight.to.0), sight.from.1.max(sight.to.1));
        let furthest = sight.from.2.min(sight.to.2);
        let (columns, rows) = self.reach(low, high);
        let mut near: Vec<u32> = Vec::new();
        for row in rows {
            for column in columns.clone() {
                near.extend(&self.cells[row * self.across + column]);
            }
        }
        near.sort_unstable();
        near.dedup();
        let mut covered: [Vec<(f64, f64)>; 2] = Default::default();
        let mut since_look = 0;
        for cover in near.into_iter().filter_map(|index| self.all.get(index as usize)) {
            let beside = cover.solid == sight.solid && sight.surfaces.contains(&cover.surface);
            let apart = cover.low.0 > high.0 + BESIDE
                || cover.high.0 < low.0 - BESIDE
                || cover.low.1 > high.1 + BESIDE
                || cover.high.1 < low.1 - BESIDE;
            if cover.nearest <= furthest + NEARER {
                break;
            }
            if beside || apart {
                continue;
            }
            since_look += 1;
            if since_look == 8 {
                since_look = 0;
                covered = covered.map(joined);
                let whole = |stretches: &Vec<(f64, f64)>| matches!(stretches.first(), Some(first) if first.0 <= CRACK && first.1 >= length - CRACK);
                if covered.iter().all(whole) {
                    break;
                }
            }
            for (side, covered) in [BESIDE, -BESIDE].into_iter().zip(&mut covered) {
                line.covered_by(cover, side, covered);
            }
        }
        let [left, right] = covered.map(joined);
        let hidden = common(&left, &right);
        let mut seen = Vec::new();
        let mut from = 0.0;
        for (start, end) in hidden {
            if start - from > CRACK {
                seen.push((from / length, start / length));
            }
            from = end;
        }
        if length - from > CRACK || (from == 0.0 && length > 0.0) {
            seen.push((from / length, 1.0));
        }
        seen
    }
}

/// A projected edge, distances in mm along it.
struct Line {
    at: (f64, f64),
    along: (f64, f64),
    depth: f64,
    climb: f64,
    length: f64,
}

impl Line {
    /// Adds the stretches that a cover hides, looked at `side` mm to the left of the line.
    fn covered_by(&self, cover: &Cover, side: f64, covered: &mut Vec<(f64, f64)>) {
        let mut crossings = Vec::new();
        for line in &cover.loops {
            let mut before = line.last().copied().map(|point| self.place(point));
            for point in line {
                let here = self.place(*point);
                if let Some(last) = before
                    && (last.1 <= side) != (here.1 <= side)
                {
                    let at =
                        |height: f64| last.0 + (here.0 - last.0) * ((height - last.1) / (here.1 - last.1));
                    // Where the line itself meets the border, unless the border runs along it.
                    let (beside, exact) = (at(side), at(0.0));
                    crossings.push(if (beside - exact).abs() < 10.0 * BESIDE { exact } else { beside });
                }
                before = Some(here);
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let (from, to) = (pair[0].max(0.0), pair[1].min(self.length));
            if to > from {
                self.nearer(cover, from, to, covered);
            }
        }
    }

    /// Adds the part of a stretch in which the cover is nearer to the eye.
    fn nearer(&self, cover: &Cover, from: f64, to: f64, covered: &mut Vec<(f64, f64)>) {
        let before = |t: f64| {
            let (x, y) = (self.at.0 + self.along.0 * t, self.at.1 + self.along.1 * t);
            cover.depth(x, y) - (self.depth + self.climb * t) - NEARER
        };
        let (a, b) = (before(from), before(to));
        match (a > 0.0, b > 0.0) {
            (true, true) => covered.push((from, to)),
            (false, false) => {}
            // The edge comes through the face.
            (true, false) => covered.push((from, from + (to - from) * a / (a - b))),
            (false, true) => covered.push((from + (to - from) * a / (a - b), to)),
        }
    }

    /// (along, to the left) of a point.
    fn place(&self, point: (f64, f64)) -> (f64, f64) {
        let (x, y) = (point.0 - self.at.0, point.1 - self.at.1);
        (x * self.along.0 + y * self.along.1, y * self.along.0 - x * self.along.1)
    }
}

/// Stretches in order, those that overlap or nearly meet made one.
fn joined(mut stretches: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::with_capacity(stretches.len());
    for (from, to) in stretches {
        match joined.last_mut() {
            Some(last) if from - last.1 <= CRACK => last.1 = last.1.max(to),
            _ => joined.push((from, to)),
        }
    }
    joined
}

/// What two sets of stretches have in common.
fn common(one: &[(f64, f64)], other: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (mut i, mut j) = (0, 0);
    let mut both = Vec::new();
    while let (Some(a), Some(b)) = (one.get(i), other.get(j)) {
        let (from, to) = (a.0.max(b.0), a.1.min(b.1));
        if to - from > CRACK {
            both.push((from, to));
        }
        if a.1 < b.1 { i += 1 } else { j += 1 }
    }
    both
}
