//! Volume and centre of a solid's wood, from its sections by depth; profiles, recesses and drilled holes taken off.

use crate::length::{Interval, Length};
use crate::shape::Plate;
use crate::shape::cut::CutFault;
use crate::shape::slab::{Layer, Loop, Slab};
use crate::shape::solid::{Profile, Solid};
use crate::shape::space::room_point_mm;
use crate::trade::Face;

/// How much wood, and where its middle is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    pub volume_mm3: f64,
    /// Centre of volume in the room, mm.
    pub centroid: [f64; 3],
}

/// Gauss's rule with three points on 0 to 1: exact for areas that change as up to the fifth power of the depth (Abramowitz
/// and Stegun, Handbook of Mathematical Functions, table 25.4).
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258, 0.277_777_777_777_778),
    (0.5, 0.444_444_444_444_444),
    (0.887_298_334_620_742, 0.277_777_777_777_778),
];

/// Volume and centre of a solid.
pub fn mass(solid: &Solid) -> Result<Mass, CutFault> {
    // ∫ dV, ∫ u dV, ∫ v dV, ∫ depth dV
    let mut sums = [0.0; 4];
    for slab in solid.slabs(true)? {
        if !slab.layers.iter().flat_map(Layer::loops).any(Loop::is_worked) {
            let middle = slab.depths.low + slab.depths.size().half();
            let depth = (slab.depths.low.to_mm() + slab.depths.high.to_mm()) / 2.0;
            add(&mut sums, &slab.plates_at(solid, middle)?, slab.depths.size().to_mm(), depth);
            continue;
        }
        for pair in solid.sublevels(slab.depths, 0.05).windows(2) {
            integrate(&mut sums, solid, &slab, Interval { low: pair[0], high: pair[1] })?;
        }
    }
    let [volume_mm3, u, v, depth] = sums;
    if volume_mm3 <= 0.0 {
        return Err(CutFault::NothingLeft);
    }
    let centroid = room_point_mm(solid, (u / volume_mm3, v / volume_mm3), depth / volume_mm3);
    Ok(Mass { volume_mm3, centroid })
}

fn integrate(sums: &mut [f64; 4], solid: &Solid, slab: &Slab, part: Interval) -> Result<(), CutFault> {
    let (low, high) = (part.low.to_mm(), part.high.to_mm());
    let round = round_at(solid, part);
    for (place, weight) in GAUSS {
        // Along a round the inset starts square to the face; measured by its angle instead of its depth all is smooth.
        let (depth, width) = match round {
            None => (low + (high - low) * place, high - low),
            Some((radius, face)) => {
                let below = |depth: f64| if face == Face::Show { depth } else { solid.thick.to_mm() - depth };
                let angle = |depth: f64| libm::acos((1.0 - below(depth) / radius).clamp(-1.0, 1.0));
                let (from, to) = (angle(low), angle(high));
                let here = from + (to - from) * place;
                let down = radius * (1.0 - libm::cos(here));
                let depth = if face == Face::Show { down } else { solid.thick.to_mm() - down };
                (depth, (to - from).abs() * radius * libm::sin(here))
            }
        };
        add(sums, &slab.plates_at(solid, Length::from_mm(depth))?, weight * width, depth);
    }
    Ok(())
}

/// The round at work in a part of the thickness, if one is.
fn round_at(solid: &Solid, part: Interval) -> Option<(f64, Face)> {
    solid.edges.iter().find_map(|edge| {
        let Profile::Round { radius } = edge.profile else { return None };
        edge.faces()
            .find(|face| match face {
                Face::Show => part.high <= radius,
                Face::Back => part.low >= solid.thick - radius,
            })
            .map(|face| (radius.to_mm(), face))
    })
}

fn add(sums: &mut [f64; 4], plates: &[Plate], width: f64, depth: f64) {
    for plate in plates {
        for (index, line) in plate.loops().enumerate() {
            let sign = if index == 0 { width } else { -width };
            let area = line.area_mm2();
            let (x, y) = line.first_moments_mm3();
            for (sum, part) in sums.iter_mut().zip([area, x, y, area * depth]) {
                *sum += part * sign;
            }
        }
    }
}
