//! Which way the router goes, as short arrows beside the guiding line.

use super::Jig;
use crate::shape::along::Segment;
use crate::shape::{Point, Vertex};

/// Arrows along the longest sides of the guiding line, on the side where the bit is, at a distance and of a length in
/// millimetres of wood: inside an opening clockwise, round the outside anticlockwise.
pub fn feed(jig: &Jig, away: f64, length: f64) -> Vec<((f64, f64), (f64, f64))> {
    let line = jig.window.as_ref().unwrap_or(&jig.blank);
    let inside = jig.window.is_some();
    let mut sides: Vec<Side> = line.segments().map(Side::of).collect();
    sides.retain(|side| guides(jig, side.middle) && side.length > length * 1.2);
    sides.sort_by(|a, b| b.length.total_cmp(&a.length));
    sides.truncate(2);
    let arrow = |side: Side| {
        let (dx, dy) = side.along;
        // Left of the run lies the opening, right of it the air outside.
        let (out, way) = if inside { (away, -1.0) } else { (-away, 1.0) };
        let middle = (side.middle.0 - dy * out, side.middle.1 + dx * out);
        let half = length / 2.0 * way;
        ((middle.0 - dx * half, middle.1 - dy * half), (middle.0 + dx * half, middle.1 + dy * half))
    };
    sides.into_iter().map(arrow).collect()
}

/// Middle of the longest finished side, and the point of the guiding line beside it.
pub fn targets(jig: &Jig) -> Option<((f64, f64), (f64, f64))> {
    let walls = jig.work.outline.segments().zip(&jig.work.walls).filter(|(_, wall)| **wall);
    let longest = walls.map(|(side, _)| Side::of(side)).max_by(|a, b| a.length.total_cmp(&b.length))?;
    let line = jig.window.as_ref().unwrap_or(&jig.blank);
    let far = |side: &Side| libm::hypot(side.middle.0 - longest.middle.0, side.middle.1 - longest.middle.1);
    let near = line.segments().map(Side::of).min_by(|a, b| far(a).total_cmp(&far(b)))?;
    Some((longest.middle, near.middle))
}

/// A segment by its middle, the unit direction there, and its length.
struct Side {
    middle: (f64, f64),
    along: (f64, f64),
    length: f64,
}

impl Side {
    fn of(segment: (Vertex, Point)) -> Side {
        let segment = Segment::of(segment);
        // Half way along an arc its direction is that of its chord.
        Side { middle: segment.middle(), along: segment.way(0.5), length: segment.chord() }
    }
}

/// Whether a place of the template's line guides: all of an opening and of a whole outline, of an edge's template only what lies
/// beside a finished line.
fn guides(jig: &Jig, middle: (f64, f64)) -> bool {
    if jig.window.is_some() || jig.work.walls.iter().all(|wall| *wall) {
        return true;
    }
    // The body's other sides keep the offset from the lines that only hold it: those are no walls.
    let walls = jig.work.outline.segments().zip(&jig.work.walls).filter(|(_, wall)| **wall);
    let nearest = walls.map(|(side, _)| Segment::of(side).distance(middle)).fold(f64::MAX, f64::min);
    nearest < jig.tool.offset().to_mm() + 0.01
}
