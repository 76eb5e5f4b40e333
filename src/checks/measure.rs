//! Distances in millimetres, in the room and on a face: what the checks of fixings and of weak places measure with.

use crate::parts::Placed;
use crate::shape::solid::Solid;
use crate::shape::{Outline, Plate};
use crate::trade::Side;

pub(super) type Point2 = (f64, f64);
pub(super) type Point3 = [f64; 3];

/// Arcs are measured along chords this close to them, in mm: a tenth of what any check is decided by.
pub(super) const CHORD: f64 = 0.01;

/// A room position in a solid's face coordinates: u, v, depth below the show face, mm.
pub(super) fn on_face(solid: &Solid, at: Point3) -> Point3 {
    let frame = &solid.frame;
    let along = |side: Side| {
        let axis = side.axis().index();
        (at[axis] - frame.origin[axis].to_mm()) * side.sign() as f64
    };
    [along(frame.u), along(frame.v), along(frame.into)]
}

/// A room direction in face coordinates.
pub(super) fn direction_on_face(placed: &Placed, direction: Point3) -> Point3 {
    let frame = &placed.solid.frame;
    [frame.u, frame.v, frame.into].map(|side| direction[side.axis().index()] * side.sign() as f64)
}

pub(super) fn along(from: Point3, direction: Point3, distance: f64) -> Point3 {
    [0, 1, 2].map(|axis| from[axis] + direction[axis] * distance)
}

/// The sides of a loop as chords, mm.
pub(super) fn chords(outline: &Outline) -> Vec<(Point2, Point2)> {
    let points = outline.flattened(CHORD);
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| (*a, *b)).collect()
}

/// Shortest distance between a point and a segment in the plane.
pub(super) fn to_segment(point: Point2, from: Point2, to: Point2) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { ((point.0 - from.0) * dx + (point.1 - from.1) * dy) / square } else { 0.0 };
    let share = share.clamp(0.0, 1.0);
    libm::hypot(point.0 - from.0 - dx * share, point.1 - from.1 - dy * share)
}

/// Shortest distance between a segment and a loop's line, 0 where they cross.
pub(super) fn segment_to_loop(from: Point2, to: Point2, outline: &Outline) -> f64 {
    let mut least = f64::INFINITY;
    for (a, b) in chords(outline) {
        if cross(from, to, a, b) {
            return 0.0;
        }
        let ends =
            [to_segment(from, a, b), to_segment(to, a, b), to_segment(a, from, to), to_segment(b, from, to)];
        least = ends.into_iter().fold(least, f64::min);
    }
    least
}

fn cross(a: Point2, b: Point2, c: Point2, d: Point2) -> bool {
    let turn = |p: Point2, q: Point2, r: Point2| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}

/// True where a point lies inside a loop.
pub(super) fn inside(point: Point2, outline: &Outline) -> bool {
    let mut odd = false;
    for (a, b) in chords(outline) {
        if (a.1 <= point.1) != (b.1 <= point.1) && a.0 + (point.1 - a.1) / (b.1 - a.1) * (b.0 - a.0) > point.0
        {
            odd = !odd;
        }
    }
    odd
}

/// True where there is wood at a point of a plate.
pub(super) fn in_wood(point: Point2, plate: &Plate) -> bool {
    inside(point, &plate.outline) && !plate.inside.iter().any(|hole| inside(point, hole))
}

/// Distance from a point along a direction (of length 1) to the first line of a plate; `None` where it meets none.
pub(super) fn ray(from: Point2, direction: Point2, loops: &[&Outline]) -> Option<f64> {
    let mut first: Option<f64> = None;
    for outline in loops {
        for (a, b) in chords(outline) {
            let (ex, ey) = (b.0 - a.0, b.1 - a.1);
            let cross = direction.0 * ey - direction.1 * ex;
            if cross.abs() < 1e-12 {
                continue;
            }
            let (ax, ay) = (a.0 - from.0, a.1 - from.1);
            let distance = (ax * ey - ay * ex) / cross;
            let share = (ax * direction.1 - ay * direction.0) / cross;
            if distance > 1e-3 && (-1e-9..=1.0 + 1e-9).contains(&share) {
                first = Some(first.map_or(distance, |known: f64| known.min(distance)));
            }
        }
    }
    first
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::shape::Point;

    #[test]
    fn rays_and_distances_on_a_face() {
        let side = Length::MM * 10;
        let square = Outline::rectangle(Point::default(), Point::new(side, side)).unwrap();
        assert_eq!(ray((4.0, 5.0), (1.0, 0.0), &[&square]), Some(6.0));
        assert_eq!(ray((4.0, 5.0), (0.0, -1.0), &[&square]), Some(5.0));
        assert_eq!(ray((14.0, 5.0), (1.0, 0.0), &[&square]), None);
        assert_eq!(segment_to_loop((3.0, 3.0), (5.0, 3.0), &square), 3.0);
        assert_eq!(segment_to_loop((5.0, 5.0), (15.0, 5.0), &square), 0.0);
        assert!(inside((1.0, 1.0), &square) && !inside((11.0, 1.0), &square));
    }
}
