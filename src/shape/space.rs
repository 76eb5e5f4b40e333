//! Points and directions of a room in f64: where face coordinates lie, which way surfaces look, chords of arcs.

use crate::length::Length;
use crate::shape::solid::Solid;
use crate::shape::{Arc, Point};
use crate::trade::Side;

/// Chords of curved walls stay this close, in mm: finer than a hair line on any sheet at 1:1.
pub(crate) const CHORD: f64 = 0.005;

pub(crate) fn arc_points(from: Point, to: Point, bulge: f64) -> Vec<(f64, f64)> {
    let (a, b) = (from.to_mm(), to.to_mm());
    let Some(arc) = Arc::between(a, b, bulge) else { return vec![a, b] };
    let steps = arc_steps(arc.radius, arc.sweep);
    (0..=steps)
        .map(|step| {
            if step == 0 {
                return a;
            }
            if step == steps {
                return b;
            }
            let angle = arc.start + arc.sweep * step as f64 / steps as f64;
            (arc.centre.0 + arc.radius * libm::cos(angle), arc.centre.1 + arc.radius * libm::sin(angle))
        })
        .collect()
}

/// Chords that an arc is broken into.
pub(crate) fn arc_steps(radius: f64, sweep: f64) -> usize {
    let most = 2.0 * libm::acos((1.0 - CHORD / radius).clamp(-1.0, 1.0));
    // Small holes and rounds need no more than a chord for every 15 degrees to look and measure right.
    libm::ceil(sweep.abs() / most.clamp(1e-6, 0.2618)).clamp(1.0, 1024.0) as usize
}

pub(crate) fn room_point(solid: &Solid, point: Point, depth: Length) -> [f64; 3] {
    solid.frame.to_room(point.x, point.y, depth).map(Length::to_mm)
}

/// As [`room_point`], for points off the grid.
pub(crate) fn room_point_mm(solid: &Solid, point: (f64, f64), depth: f64) -> [f64; 3] {
    let mut at = solid.frame.origin.map(Length::to_mm);
    for (side, distance) in [(solid.frame.u, point.0), (solid.frame.v, point.1), (solid.frame.into, depth)] {
        at[side.axis().index()] += distance * side.sign() as f64;
    }
    at
}

/// A room direction from its part in the face and its part towards the eye.
pub(crate) fn room_normal(solid: &Solid, face: (f64, f64), to_eye: f64) -> [f64; 3] {
    let mut normal = [0.0; 3];
    for (side, part) in [(solid.frame.u, face.0), (solid.frame.v, face.1), (solid.frame.into, 0.0 - to_eye)] {
        normal[side.axis().index()] += part * side.sign() as f64;
    }
    unit(normal)
}

/// Directions closer than about a twentieth of a degree are one: the surface runs on without a crease.
pub(crate) fn same_direction(one: [f64; 3], other: [f64; 3]) -> bool {
    one[0] * other[0] + one[1] * other[1] + one[2] * other[2] > 1.0 - 4e-7
}

/// The unit vector of a side.
pub(crate) fn direction(side: Side) -> [f64; 3] {
    let mut vector = [0.0; 3];
    vector[side.axis().index()] = side.sign() as f64;
    vector
}

pub(crate) fn unit(vector: [f64; 3]) -> [f64; 3] {
    let length = libm::sqrt(vector.iter().map(|part| part * part).sum());
    if length == 0.0 { vector } else { vector.map(|part| part / length) }
}

pub(crate) fn dot(one: [f64; 3], other: [f64; 3]) -> f64 {
    one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
}

pub(crate) fn cross(one: [f64; 3], other: [f64; 3]) -> [f64; 3] {
    [
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    ]
}
