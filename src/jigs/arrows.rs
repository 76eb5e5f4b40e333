//! Which way the router goes, as short arrows beside the guiding line.

use super::Jig;
use crate::shape::{Arc, Point, Vertex};

/// Arrows along the longest straight sides of the guiding line, on the side where the bit is, at a distance and of a length in
/// millimetres of wood: inside an opening clockwise, round the outside anticlockwise.
pub fn feed(jig: &Jig, away: f64, length: f64) -> Vec<((f64, f64), (f64, f64))> {
    let line = jig.window.as_ref().unwrap_or(&jig.blank);
    let inside = jig.window.is_some();
    let straight =
        |(from, to): &(Vertex, Point)| Arc::between(from.at.to_mm(), to.to_mm(), from.bulge).is_none();
    let size = |(from, to): &(Vertex, Point)| {
        let (a, b) = (from.at.to_mm(), to.to_mm());
        libm::hypot(b.0 - a.0, b.1 - a.1)
    };
    let mut sides: Vec<(Vertex, Point)> = line
        .segments()
        .filter(straight)
        .filter(|side| guides(jig, side) && size(side) > length * 1.2)
        .collect();
    sides.sort_by(|a, b| size(b).total_cmp(&size(a)));
    sides.truncate(2);
    let arrow = |side: (Vertex, Point)| {
        let (a, b) = (side.0.at.to_mm(), side.1.to_mm());
        let whole = size(&side);
        let (dx, dy) = ((b.0 - a.0) / whole, (b.1 - a.1) / whole);
        // Left of the run lies the opening, right of it the air outside.
        let (out, way) = if inside { (away, -1.0) } else { (-away, 1.0) };
        let middle = ((a.0 + b.0) / 2.0 - dy * out, (a.1 + b.1) / 2.0 + dx * out);
        let half = length / 2.0 * way;
        ((middle.0 - dx * half, middle.1 - dy * half), (middle.0 + dx * half, middle.1 + dy * half))
    };
    sides.into_iter().map(arrow).collect()
}

/// Whether a side of the template's line guides: all of an opening and of a whole outline, of an edge's template only what lies
/// along the edge.
fn guides(jig: &Jig, (from, to): &(Vertex, Point)) -> bool {
    if jig.window.is_some() || jig.work.walls.iter().all(|wall| *wall) {
        return true;
    }
    let (a, b) = (from.at.to_mm(), to.to_mm());
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    let offset = jig.tool.offset().to_mm();
    let near = |(start, end): (Vertex, Point)| {
        let (p, q) = (start.at.to_mm(), end.to_mm());
        let whole = libm::hypot(q.0 - p.0, q.1 - p.1).max(1e-9);
        let across = (q.0 - p.0) * (middle.1 - p.1) - (q.1 - p.1) * (middle.0 - p.0);
        let along = (q.0 - p.0) * (middle.0 - p.0) + (q.1 - p.1) * (middle.1 - p.1);
        (across / whole - offset).abs() < 0.01 && along >= 0.0 && along <= whole * whole
    };
    jig.work.outline.segments().zip(&jig.work.walls).any(|(side, wall)| *wall && near(side))
}
