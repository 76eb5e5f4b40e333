//! Outlines made clean: needless vertices left out, a loop that touches itself told apart, given bends restored bit for bit.

use crate::length::Length;
use crate::shape::{Arc, Outline, Point, Vertex};

/// The same outline without vertices that change nothing: on a straight line, or along one arc. `None` where nothing is left.
pub fn tidied(outline: &Outline) -> Option<Outline> {
    let mut vertices = outline.vertices().to_vec();
    let mut index = 0;
    let mut kept_in_a_row = 0;
    while kept_in_a_row < vertices.len() && vertices.len() > 2 {
        let count = vertices.len();
        let (before, here, after) =
            (vertices[(index + count - 1) % count], vertices[index % count], vertices[(index + 1) % count]);
        match needless(before, here, after.at) {
            Some(bulge) => {
                vertices[(index + count - 1) % count].bulge = bulge;
                vertices.remove(index % count);
                index = (index + count - 1) % count % vertices.len();
                kept_in_a_row = 0;
            }
            None => {
                index = (index + 1) % count;
                kept_in_a_row += 1;
            }
        }
    }
    let first = outline.vertices().first().map(|v| v.at);
    if let Some(start) = vertices.iter().position(|v| Some(v.at) == first) {
        vertices.rotate_left(start);
    }
    Outline::new(vertices).ok()
}

/// The bulge of the one segment that can replace two, where the vertex between them is needless.
fn needless(before: Vertex, here: Vertex, after: Point) -> Option<f64> {
    let wide = |length: Length| i128::from(length.units());
    let (ax, ay) = (wide(here.at.x - before.at.x), wide(here.at.y - before.at.y));
    let (bx, by) = (wide(after.x - here.at.x), wide(after.y - here.at.y));
    if here.at == before.at {
        return Some(here.bulge);
    }
    if before.bulge == 0.0 && here.bulge == 0.0 {
        let cross = (ax * by - ay * bx).abs();
        let (cx, cy) = (ax + bx, ay + by);
        // Distance of the middle vertex from the line past it, at most one unit; a spike that turns back goes too.
        return (cross * cross <= cx * cx + cy * cy || cross == 0).then_some(0.0);
    }
    if before.bulge * here.bulge <= 0.0 || before.at == after {
        return None;
    }
    let (start, middle, end) = (before.at.to_mm(), here.at.to_mm(), after.to_mm());
    let one = Arc::between(start, middle, before.bulge)?;
    let two = Arc::between(middle, end, here.bulge)?;
    let sweep = one.sweep + two.sweep;
    let near = 1e-4 + 1e-6 * one.radius;
    let same = libm::hypot(one.centre.0 - two.centre.0, one.centre.1 - two.centre.1) < near
        && (one.radius - two.radius).abs() < near;
    // No more than a half circle in one segment: a whole circle stays two half arcs.
    (same && sweep.abs() <= std::f64::consts::PI + 1e-9).then(|| libm::tan(sweep / 4.0))
}

/// A loop that comes back to a point it has been at, as loops that do not.
pub(crate) fn simple_loops(vertices: Vec<Vertex>) -> Vec<Vec<Vertex>> {
    let mut loops = Vec::new();
    let mut open: Vec<Vertex> = Vec::with_capacity(vertices.len());
    for vertex in vertices {
        if let Some(start) = open.iter().position(|before| before.at == vertex.at) {
            loops.push(open.split_off(start));
        }
        open.push(vertex);
    }
    loops.push(open);
    loops.retain(|line| line.len() > 1);
    loops
}

/// The same outline with the bends of the inputs, bit for bit, where a whole arc of an input is left.
pub(crate) fn with_given_bulges(outline: &Outline, inputs: &[&Outline]) -> Outline {
    let mut vertices = outline.vertices().to_vec();
    for (index, (from, to)) in outline.segments().enumerate() {
        if from.bulge == 0.0 {
            continue;
        }
        for (given, end) in inputs.iter().flat_map(|input| input.segments()) {
            let bulge = match (given.at == from.at && end == to, given.at == to && end == from.at) {
                (true, _) if (given.bulge - from.bulge).abs() < 1e-6 => given.bulge,
                (_, true) if (given.bulge + from.bulge).abs() < 1e-6 => -given.bulge,
                _ => continue,
            };
            vertices[index].bulge = bulge;
            break;
        }
    }
    Outline { vertices }
}
