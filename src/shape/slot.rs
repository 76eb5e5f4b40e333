//! Holes drawn long: slots with round ends, in which a screw can travel.

use crate::length::Length;
use crate::shape::{Outline, Point, Vertex};

/// The way of the face that a slot is longer along.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SlotWay {
    U,
    V,
}

/// What makes a round hole a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    pub way: SlotWay,
    /// Over all, the round ends included.
    pub length: Length,
}

/// A circle, or two half circles with straight sides between them; `None` where it has no size.
pub fn hole_outline(at: Point, diameter: Length, slot: Option<Slot>) -> Option<Outline> {
    let radius = diameter.half();
    let Some(Slot { way, length }) = slot.filter(|slot| slot.length > diameter) else {
        return Outline::circle(at, radius);
    };
    let straight = (length - radius * 2).half();
    // Anticlockwise from the corner at the lower right of the low end; arcs swing out to the right of the way.
    let corners = match way {
        SlotWay::U => [
            (-straight, -radius, 0.0),
            (straight, -radius, 1.0),
            (straight, radius, 0.0),
            (-straight, radius, 1.0),
        ],
        SlotWay::V => [
            (radius, -straight, 0.0),
            (radius, straight, 1.0),
            (-radius, straight, 0.0),
            (-radius, -straight, 1.0),
        ],
    };
    let vertex = |(x, y, bulge): (Length, Length, f64)| Vertex { at: Point::new(at.x + x, at.y + y), bulge };
    Outline::new(corners.map(vertex).to_vec()).ok()
}
