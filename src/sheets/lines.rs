//! An outline as a draughtsman reads it: corners, rounded corners, arches; collinear and tangent points that need no
//! dimension of their own are dropped. Knows no paper.

use super::drawn::Along;
use crate::length::Length;
use crate::shape::{Arc, Outline, Point, Vertex};

/// How far a point may lie from where its reading puts it: a handful of grid units, a twentieth of a micrometre.
const SAME: f64 = 5e-5;

/// An outline read.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    Corners(Vec<ReadCorner>),
    Round { centre: Point, diameter: Length },
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadCorner {
    pub at: Point,
    pub rounded: Option<Length>,
    pub leaves: ReadRun,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadRun {
    Straight,
    /// Position of the crown, and the direction in which that position is measured.
    Crown {
        at: Length,
        along: Along,
    },
    HalfRound {
        left: bool,
    },
    Rise {
        rise: Length,
        left: bool,
    },
}

pub fn read(outline: &Outline) -> Reading {
    if let Some((centre, diameter)) = full_circle(outline.vertices()) {
        return Reading::Round { centre, diameter };
    }
    let vertices = merged(outline.vertices().to_vec());
    let count = vertices.len();
    let vertex = |i: usize| vertices[i % count];
    let roundings: Vec<Option<(Point, Length)>> = (0..count)
        .map(|i| {
            let lone = count > 3 && vertex(i + count - 1).bulge == 0.0 && vertex(i + 1).bulge == 0.0;
            lone.then(|| rounded(vertex(i + count - 1).at, vertex(i), vertex(i + 1).at, vertex(i + 2).at))?
        })
        .collect();
    let mut corners = Vec::new();
    for i in 0..count {
        if let Some((at, radius)) = roundings[i] {
            corners.push(ReadCorner { at, rounded: Some(radius), leaves: ReadRun::Straight });
        } else if roundings[(i + count - 1) % count].is_none() {
            let (from, to) = (vertex(i), vertex(i + 1).at);
            corners.push(ReadCorner { at: from.at, rounded: None, leaves: run(from, to) });
        }
    }
    Reading::Corners(corners)
}

fn full_circle(vertices: &[Vertex]) -> Option<(Point, Length)> {
    let [one, other] = vertices else { return None };
    let round = (one.bulge - 1.0).abs() < 1e-9 && (other.bulge - 1.0).abs() < 1e-9;
    let level = one.at.x == other.at.x || one.at.y == other.at.y;
    let middle = |a: Length, b: Length| a + (b - a).half();
    let diameter = (other.at.x - one.at.x).abs() + (other.at.y - one.at.y).abs();
    (round && level)
        .then(|| (Point::new(middle(one.at.x, other.at.x), middle(one.at.y, other.at.y)), diameter))
}

/// Straight runs in one line become one, and so do arcs of one circle.
fn merged(mut vertices: Vec<Vertex>) -> Vec<Vertex> {
    let mut i = 0;
    let mut since = 0;
    while vertices.len() > 2 && since <= vertices.len() {
        let count = vertices.len();
        i %= count;
        let (before, here, after) =
            (vertices[(i + count - 1) % count], vertices[i], vertices[(i + 1) % count]);
        let joined = if before.bulge == 0.0 && here.bulge == 0.0 {
            in_line(before.at, here.at, after.at).then_some(0.0)
        } else {
            one_arc(before, here, after.at)
        };
        match joined {
            Some(bulge) => {
                vertices[(i + count - 1) % count].bulge = bulge;
                vertices.remove(i);
                since = 0;
            }
            None => (i, since) = (i + 1, since + 1),
        }
    }
    vertices
}

fn in_line(a: Point, b: Point, c: Point) -> bool {
    let along =
        |from: Point, to: Point| (i128::from((to.x - from.x).units()), i128::from((to.y - from.y).units()));
    let ((x0, y0), (x1, y1)) = (along(a, b), along(b, c));
    x0 * y1 == x1 * y0 && x0 * x1 + y0 * y1 > 0
}

/// The bulge of the single arc that two arcs in a row make, where they do.
fn one_arc(first: Vertex, second: Vertex, end: Point) -> Option<f64> {
    let half_sweep = libm::atan(first.bulge) + libm::atan(second.bulge);
    if first.bulge * second.bulge <= 0.0 || half_sweep.abs() > 1.4 {
        return None;
    }
    let bulge = libm::tan(half_sweep);
    let whole = Arc::between(first.at.to_mm(), end.to_mm(), bulge)?;
    let part = Arc::between(first.at.to_mm(), second.at.to_mm(), first.bulge)?;
    let (x, y) = second.at.to_mm();
    let off = libm::hypot(x - whole.centre.0, y - whole.centre.1) - whole.radius;
    // The middle of the first arc must lie on the whole one too.
    let middle = part.start + part.sweep / 2.0;
    let at =
        (part.centre.0 + part.radius * libm::cos(middle), part.centre.1 + part.radius * libm::sin(middle));
    let middle_off = libm::hypot(at.0 - whole.centre.0, at.1 - whole.centre.1) - whole.radius;
    (off.abs() < SAME && middle_off.abs() < SAME).then_some(bulge)
}

/// The sharp corner and the radius, where an arc is nothing but a corner rounded.
fn rounded(before: Point, from: Vertex, to: Point, after: Point) -> Option<(Point, Length)> {
    let arc = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge)?;
    if from.bulge.abs() > 0.999 {
        return None;
    }
    let unit = |a: Point, b: Point| {
        let (dx, dy) = ((b.x - a.x).to_mm(), (b.y - a.y).to_mm());
        let length = libm::hypot(dx, dy);
        (dx / length, dy / length)
    };
    let (d1, d2) = (unit(before, from.at), unit(to, after));
    let cross = d1.0 * d2.1 - d1.1 * d2.0;
    if cross.abs() < 1e-6 || cross * from.bulge < 0.0 {
        return None;
    }
    let ((ax, ay), (bx, by)) = (from.at.to_mm(), to.to_mm());
    let reach = ((bx - ax) * d2.1 - (by - ay) * d2.0) / cross;
    // A side along an axis gives its coordinate exactly.
    let x = if before.x == from.at.x {
        from.at.x
    } else if after.x == to.x {
        to.x
    } else {
        Length::from_mm(ax + d1.0 * reach)
    };
    let y = if before.y == from.at.y {
        from.at.y
    } else if after.y == to.y {
        to.y
    } else {
        Length::from_mm(ay + d1.1 * reach)
    };
    let corner = Point::new(x, y);
    // Tangent length t = R tan(turn / 2); the sweep of the arc is the turn of the way.
    let turn = libm::atan2(cross.abs(), d1.0 * d2.0 + d1.1 * d2.1);
    let tangent = libm::hypot(ax - corner.x.to_mm(), ay - corner.y.to_mm());
    let radius = Length::from_mm(tangent / libm::tan(turn / 2.0));
    let (cx, cy) = corner.to_mm();
    let other = (cx + d2.0 * tangent, cy + d2.1 * tangent);
    let agrees = libm::hypot(other.0 - bx, other.1 - by) < SAME
        && reach > 0.0
        && (arc.sweep.abs() - turn).abs() * tangent < SAME * 4.0;
    agrees.then_some((corner, radius))
}

fn run(from: Vertex, to: Point) -> ReadRun {
    if from.bulge == 0.0 {
        return ReadRun::Straight;
    }
    let left = from.bulge < 0.0;
    let (dx, dy) = (to.x - from.at.x, to.y - from.at.y);
    let chord = libm::hypot(dx.to_mm(), dy.to_mm());
    let rise = Length::from_mm(from.bulge.abs() * chord / 2.0);
    if (from.bulge.abs() - 1.0).abs() * chord < SAME {
        return ReadRun::HalfRound { left };
    }
    // To the right of the way lies (dy, −dx).
    let outwards = |grows: bool| if grows != left { rise } else { -rise };
    if dy == Length::ZERO {
        ReadRun::Crown { at: from.at.y + outwards(dx < Length::ZERO), along: Along::Up }
    } else if dx == Length::ZERO {
        ReadRun::Crown { at: from.at.x + outwards(dy > Length::ZERO), along: Along::Across }
    } else {
        ReadRun::Rise { rise, left }
    }
}
