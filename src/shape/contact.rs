//! Where two solids touch, and where they face each other across a gap: the true areas, after notches, recesses and
//! profiles. Drilled holes are left in: they come later and are laid out on these areas.

use crate::length::Length;
use crate::shape::cut::{self, CutFault};
use crate::shape::shell::{AxisFace, Shell};
use crate::shape::solid::Solid;
use crate::shape::{Outline, Plate};
use crate::trade::Side;

/// Two faces that look at each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    /// The side of the first solid that touches.
    pub side: Side,
    /// Where the first solid's face lies along that side's axis.
    pub at: Length,
    /// From the first face to the second, along the side; within [`Length::TOUCH`] they touch, negative where they overlap
    /// by less than that.
    pub gap: Length,
    /// What they share, in the other two axes (in the order of `Axis::ALL`).
    pub region: Vec<Plate>,
}

/// Where two solids touch.
pub fn contact(one: &Solid, other: &Solid) -> Result<Vec<Contact>, CutFault> {
    facing(one, other, Length::TOUCH)
}

/// Where two solids touch or face each other no further apart than `up_to`.
pub fn facing(one: &Solid, other: &Solid, up_to: Length) -> Result<Vec<Contact>, CutFault> {
    let (a, b) = (one.extents(), other.extents());
    let near = (0..3).all(|axis| a[axis].low - up_to <= b[axis].high && b[axis].low - up_to <= a[axis].high);
    if !near {
        return Ok(Vec::new());
    }
    let (faces, others) = (planes(one)?, planes(other)?);
    let mut found: Vec<Contact> = Vec::new();
    for face in &faces {
        for opposite in others.iter().filter(|opposite| opposite.side == face.side.opposite()) {
            let gap = (opposite.at - face.at) * face.side.sign();
            if gap < -Length::TOUCH || gap > up_to {
                continue;
            }
            let region = cut::intersect(&face.region, &opposite.region)?;
            if region.is_empty() {
                continue;
            }
            match found.iter_mut().find(|c| c.side == face.side && c.at == face.at && c.gap == gap) {
                Some(contact) => contact.region.extend(region),
                None => found.push(Contact { side: face.side, at: face.at, gap, region }),
            }
        }
    }
    found.sort_by_key(|contact| (contact.gap.abs(), contact.side, contact.at));
    Ok(found)
}

/// The faces of a solid square to the room's axes, those in one plane that adjoin made one.
pub fn planes(solid: &Solid) -> Result<Vec<AxisFace>, CutFault> {
    let mut faces = Shell::undrilled(solid)?.planes;
    faces.sort_by_key(|face| (face.side, face.at));
    let mut joined: Vec<AxisFace> = Vec::new();
    for group in faces.chunk_by(|one, next| (one.side, one.at) == (next.side, next.at)) {
        let plain = group.iter().all(|face| face.region.inside.is_empty());
        if group.len() == 1 || !plain {
            joined.extend_from_slice(group);
            continue;
        }
        let outlines: Vec<Outline> = group.iter().map(|face| face.region.outline.clone()).collect();
        for region in cut::union(&outlines)? {
            joined.push(AxisFace { side: group[0].side, at: group[0].at, region });
        }
    }
    Ok(joined)
}
