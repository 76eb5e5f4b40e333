//! Cuts compared: which are equal, and how a template is turned or turned over from one to the other.

use crate::parts::Part;
use crate::shape::along::Segment;
use crate::shape::{Outline, Point, Vertex};

/// Lines this close, in mm, are one: a cut's sides lie on the outline that it left.
const ON: f64 = 1e-4;
/// Corners of equal notches may differ by this, in units of the grid: a cut of a slanted side is rounded to it.
const SAME: i64 = 40;

/// A cut as a run of segments from its low corner, to be compared with others.
#[derive(Clone)]
pub struct Pattern {
    /// Start, bulge, wall.
    segments: Vec<((i64, i64), f64, bool)>,
    size: (i64, i64),
}

impl Pattern {
    /// Of a part, in its own coordinates.
    pub fn of(part: &Part, cut: &Outline) -> Pattern {
        let lines: Vec<&Outline> = std::iter::once(&part.outline).chain(&part.inside).collect();
        let around = cut.extents();
        let start = |v: &Vertex| ((v.at.x - around.low.x).units(), (v.at.y - around.low.y).units());
        let segments =
            cut.segments().map(|(from, to)| (start(&from), from.bulge, lies_on((from, to), &lines)));
        Pattern { segments: segments.collect(), size: (around.width().units(), around.height().units()) }
    }

    /// Sides that run out into the air, as the part's drawing shows them.
    pub fn open_sides(&self) -> Vec<&'static str> {
        let count = self.segments.len();
        let mut all = Vec::new();
        for (index, (from, _, wall)) in self.segments.iter().enumerate() {
            let to = self.segments[(index + 1) % count].0;
            let side = match ((to.0 - from.0).signum(), (to.1 - from.1).signum()) {
                (1, 0) => "bottom",
                (-1, 0) => "top",
                (0, 1) => "right",
                (0, -1) => "left",
                _ => continue,
            };
            if !wall && !all.contains(&side) {
                all.push(side);
            }
        }
        all
    }

    /// Quarter turns counter-clockwise after a mirroring left to right, where one is needed, that make this the other.
    pub fn motion_to(&self, other: &Pattern) -> Option<(u8, bool)> {
        for mirrored in [false, true] {
            let mut moving = if mirrored { self.mirrored() } else { self.clone() };
            for turns in 0..4 {
                if moving.is_same(other) {
                    return Some((turns, mirrored));
                }
                moving = moving.turned();
            }
        }
        None
    }

    fn turned(&self) -> Pattern {
        let height = self.size.1;
        let segments = self.segments.iter().map(|((x, y), bulge, wall)| ((height - y, *x), *bulge, *wall));
        Pattern { segments: segments.collect(), size: (self.size.1, self.size.0) }
    }

    fn mirrored(&self) -> Pattern {
        let (count, width) = (self.segments.len(), self.size.0);
        // Walked the other way, each segment starts where it ended; an arc keeps its bulge.
        let segments = (0..count).rev().map(|index| {
            let (_, bulge, wall) = self.segments[index];
            let (x, y) = self.segments[(index + 1) % count].0;
            ((width - x, y), bulge, wall)
        });
        Pattern { segments: segments.collect(), size: self.size }
    }

    fn is_same(&self, other: &Pattern) -> bool {
        let count = self.segments.len();
        let near = |a: i64, b: i64| (a - b).abs() <= SAME;
        let same = |shift: usize| {
            (0..count).all(|index| {
                let ((ax, ay), ab, aw) = self.segments[(index + shift) % count];
                let ((bx, by), bb, bw) = other.segments[index];
                near(ax, bx) && near(ay, by) && (ab - bb).abs() < 1e-6 && aw == bw
            })
        };
        count == other.segments.len()
            && near(self.size.0, other.size.0)
            && near(self.size.1, other.size.1)
            && (0..count).any(same)
    }
}

/// True where the middle of a segment lies on one of the lines.
pub fn lies_on(segment: (Vertex, Point), lines: &[&Outline]) -> bool {
    let middle = Segment::of(segment).middle();
    lines.iter().any(|line| line.distance_mm(middle) < ON)
}
