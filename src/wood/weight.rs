//! How heavy a part or a unit is, and where its centre of gravity lies.

use super::species::Species;
use super::{KILOGRAMS_PER_POUND, Value};

/// The moisture at which solid wood is weighed, %.
pub const MOISTURE: f64 = 12.0;

/// Heavier than this a piece is marked for two people: 50 lb, 22.7 kg (common practice; a fit grown-up, a good grip, no
/// stairs). Wide sheets need two at any weight.
pub const TWO_PERSON_LIFT: f64 = 50.0 * KILOGRAMS_PER_POUND;

/// Mass per volume of solid wood at [`MOISTURE`], kg/m³; `None` where its specific gravity is not tabulated.
pub fn density_of(species: &Species) -> Option<Value> {
    species.density(MOISTURE)
}

/// A body of one material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lump {
    /// mm³
    pub volume: f64,
    /// Its centroid: left → right, front → back, bottom → top, mm.
    pub centroid: [f64; 3],
    /// kg/m³
    pub density: f64,
}

/// Mass and centre of gravity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weight {
    /// Mass, kg.
    pub kilograms: f64,
    /// Centre of gravity, mm; `None` where there is no mass.
    pub centre: Option<[f64; 3]>,
}

impl Weight {
    /// Weight in pounds.
    pub fn pounds(&self) -> f64 {
        self.kilograms / KILOGRAMS_PER_POUND
    }

    /// True where the piece is to be marked for two people; see [`TWO_PERSON_LIFT`].
    pub fn takes_two(&self) -> bool {
        self.kilograms > TWO_PERSON_LIFT
    }
}

/// Mass and centre of gravity of bodies taken together; `None` where a volume or a density is negative, or any number
/// is not finite.
pub fn weigh(lumps: &[Lump]) -> Option<Weight> {
    let mut kilograms = 0.0;
    let mut moments = [0.0; 3];
    for lump in lumps {
        // 1 m³ is 10⁹ mm³.
        let mass = lump.volume * lump.density * 1e-9;
        if lump.volume < 0.0 || lump.density < 0.0 || !mass.is_finite() {
            return None;
        }
        kilograms += mass;
        for (moment, at) in moments.iter_mut().zip(lump.centroid) {
            *moment += mass * at;
        }
    }
    if moments.iter().any(|moment| !moment.is_finite()) {
        return None;
    }
    let centre = (kilograms > 0.0).then(|| moments.map(|moment| moment / kilograms));
    Some(Weight { kilograms, centre })
}
