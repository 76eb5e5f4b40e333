//! A plane square to a room axis, seen as a view sees it: boards cut by it, boxes and lines of the room on it. Right and up
//! in exact lengths of wood. Knows no joint.

use crate::drawing::At;
use crate::length::{Interval, Length};
use crate::parts::Placed;
use crate::shape::cut::intersect;
use crate::shape::section::section;
use crate::shape::solid::{Solid, across};
use crate::shape::{Extents, Outline, Plate, Point};
use crate::sheets::bays::Look;
use crate::trade::{Axis, Position, Side};

/// A plane through the boards, looked at as one of the assembly's views looks.
#[derive(Clone, Copy, Debug)]
pub struct Plane {
    pub look: Look,
    /// Room position along the axis of the eye.
    pub at: Length,
}

impl Plane {
    pub fn axis(&self) -> Axis {
        self.look.eye.axis()
    }

    /// A room position as (right, up) of the view.
    pub fn point(&self, at: Position) -> Point {
        let along = |side: Side| at[side.axis().index()] * side.sign();
        Point::new(along(self.look.right), along(self.look.up))
    }

    /// The same in millimetres.
    pub fn point_mm(&self, at: [f64; 3]) -> At {
        let along = |side: Side| at[side.axis().index()] * side.sign() as f64;
        (along(self.look.right), along(self.look.up))
    }

    /// A box of the room as (right, up) of the view.
    pub fn extents(&self, span: &[Interval; 3]) -> Extents {
        let (x, y) = (self.look.along(span, self.look.right), self.look.along(span, self.look.up));
        Extents { low: Point::new(x.low, y.low), high: Point::new(x.high, y.high) }
    }

    /// What the plane cuts of a solid; nothing where it cannot be worked out.
    pub fn plates(&self, solid: &Solid) -> Vec<Plate> {
        let Ok(found) = section(solid, self.axis(), self.at) else { return Vec::new() };
        let [first, _] = across(self.axis());
        let (right, up) = (self.look.right, self.look.up);
        let swapped = right.axis() != first;
        let map = |point: Point| {
            let (x, y) = if swapped { (point.y, point.x) } else { (point.x, point.y) };
            Point::new(x * right.sign(), y * up.sign())
        };
        let mirrored = (right.sign() * up.sign() < 0) != swapped;
        let turn = |outline: &Outline| outline.mapped(map, mirrored);
        let plate = |plate: &Plate| Plate {
            outline: turn(&plate.outline),
            inside: plate.inside.iter().map(turn).collect(),
        };
        found.plates.iter().map(plate).collect()
    }
}

/// The room box of an area on a board's face, over a range of depths below its show face.
pub fn room_box(placed: &Placed, area: &Extents, depths: (Length, Length)) -> [Interval; 3] {
    let one = placed.frame.to_room(area.low.x, area.low.y, depths.0);
    let other = placed.frame.to_room(area.high.x, area.high.y, depths.1);
    [0, 1, 2].map(|axis| Interval::between(one[axis], other[axis]))
}

/// What two boxes of the room share; a box of no thickness where they only touch.
pub fn shared(one: &[Interval; 3], other: &[Interval; 3]) -> [Interval; 3] {
    [0, 1, 2].map(|axis| {
        let (a, b) = (one[axis], other[axis]);
        Interval::between(a.low.max(b.low), a.high.min(b.high))
    })
}

/// True where two boxes share space.
pub fn meets(one: &[Interval; 3], other: &[Interval; 3]) -> bool {
    let shared = |axis: usize| one[axis].high.min(other[axis].high) - one[axis].low.max(other[axis].low);
    (0..3).all(|axis| shared(axis) > Length::TOUCH)
}

/// The smallest area round two.
pub fn around(one: Extents, other: Extents) -> Extents {
    Extents {
        low: Point::new(one.low.x.min(other.low.x), one.low.y.min(other.low.y)),
        high: Point::new(one.high.x.max(other.high.x), one.high.y.max(other.high.y)),
    }
}

/// What of some plates lies in a window.
pub fn clipped(plates: &[Plate], window: &Extents) -> Vec<Plate> {
    let Some(frame) = Outline::rectangle(window.low, window.high).map(Plate::whole) else {
        return Vec::new();
    };
    let inside = |plate: &Plate| {
        let reach = plate.outline.extents();
        around(reach, *window) == *window
    };
    plates
        .iter()
        .flat_map(|plate| {
            if inside(plate) { vec![plate.clone()] } else { intersect(plate, &frame).unwrap_or_default() }
        })
        .collect()
}

/// True where a point lies in the wood of some plates.
pub fn in_wood(plates: &[Plate], at: Point) -> bool {
    plates.iter().any(|p| p.outline.contains(at) && !p.inside.iter().any(|hole| hole.contains(at)))
}

/// Stretches of wood along a straight line from a point, in millimetres from it; behind the point they are negative.
pub fn wood_along(plates: &[Plate], from: At, way: At) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    for plate in plates {
        let mut met = Vec::new();
        for line in plate.loops() {
            let points = line.flattened(0.001);
            let next = points.iter().cycle().skip(1);
            for (a, b) in points.iter().zip(next) {
                // Distances to the left of the line, and along it.
                let left = |p: &At| way.0 * (p.1 - from.1) - way.1 * (p.0 - from.0);
                let along = |p: &At| way.0 * (p.0 - from.0) + way.1 * (p.1 - from.1);
                let (l, m) = (left(a), left(b));
                if (l <= 0.0) != (m <= 0.0) {
                    met.push(along(a) + (along(b) - along(a)) * l / (l - m));
                }
            }
        }
        met.sort_by(f64::total_cmp);
        all.extend(met.chunks_exact(2).map(|pair| (pair[0], pair[1])));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// How much wood lies from a point on, straight ahead, before it ends; `None` where the point is not in wood.
pub fn wood_ahead(plates: &[Plate], from: At, way: At) -> Option<Length> {
    // A hair ahead, so that a point on the edge of the wood counts.
    let hair = 2.0 * Length::TOUCH.to_mm();
    let found = wood_along(plates, from, way).into_iter().find(|(a, b)| *a < hair && *b > hair);
    found.map(|(_, end)| Length::from_mm(end))
}
