//! Square notches and steps that a part's own outline takes from its rectangle, which no joint asks for: waste to be hatched
//! and named like a joint's. Tapers, curves and cut corners are no notches; their sizes stand on the view.

use crate::length::Length;
use crate::parts::Part;
use crate::shape::{Outline, Point, Vertex};

/// The side of the blank that a place lies on, in order: bottom, right, top, left.
fn on_side(part: &Part, at: Point, side: usize) -> bool {
    match side {
        0 => at.y == Length::ZERO,
        1 => at.x == part.width,
        2 => at.y == part.height,
        _ => at.x == Length::ZERO,
    }
}

/// The notches, in the order of the outline.
pub fn own_notches(part: &Part) -> Vec<Outline> {
    let vertices = part.outline.vertices();
    let at = |i: usize| vertices.get(i % vertices.len().max(1)).copied();
    let mut all = Vec::new();
    for i in 0..vertices.len() {
        let run: Vec<Vertex> = (i..i + 4).filter_map(at).collect();
        let [a, b, c, d] = run.as_slice() else { continue };
        let square = |x: &Vertex, y: &Vertex| x.bulge == 0.0 && (x.at.x == y.at.x || x.at.y == y.at.y);
        let inside = |v: &Vertex| (0..4).all(|side| !on_side(part, v.at, side));
        if !square(a, b) || !square(b, c) || !inside(b) {
            continue;
        }
        // A corner that is missing between two sides, or a bay in one side.
        let corner = (0..4).any(|side| on_side(part, a.at, side) && on_side(part, c.at, (side + 1) % 4));
        let bay = inside(c)
            && square(c, d)
            && (0..4).any(|side| on_side(part, a.at, side) && on_side(part, d.at, side));
        let other = match (corner, bay) {
            (true, _) => c.at,
            (_, true) => d.at,
            _ => continue,
        };
        let ends = if corner { [a.at, b.at, other] } else { [a.at, b.at, c.at] };
        let (xs, ys) = (ends.map(|p| p.x), ends.map(|p| p.y));
        let low = Point::new(xs[0].min(xs[1]).min(xs[2]), ys[0].min(ys[1]).min(ys[2]));
        let high = Point::new(xs[0].max(xs[1]).max(xs[2]), ys[0].max(ys[1]).max(ys[2]));
        let by_joint = part.cuts.iter().any(|cut| {
            let e = cut.outline.extents();
            e.low.x < high.x && low.x < e.high.x && e.low.y < high.y && low.y < e.high.y
        });
        if !by_joint {
            all.extend(Outline::rectangle(low, high));
        }
    }
    all
}
