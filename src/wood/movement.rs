//! How far solid wood moves across the grain: moisture from the air, change of size from moisture, and from both the
//! slots and gaps that let it move. Along the grain wood hardly moves, and no figure is given.

use std::fmt;

use super::Value;
use super::species::Species;
use crate::length::Length;

/// Moisture content, % of the oven-dry mass; 0–30. Above about 30 % wood moves no more, so a larger value in joinery
/// is a slip.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Moisture(f64);

impl Moisture {
    /// The highest moisture that a change of size is worked out for, % (USDA FPL-GTR-190, Eq. 13-3).
    pub const MOST: f64 = 30.0;

    /// # Errors
    /// Outside 0–30 %, or not a number.
    pub fn percent(percent: f64) -> Result<Moisture, MovementError> {
        if (0.0..=Moisture::MOST).contains(&percent) {
            Ok(Moisture(percent))
        } else {
            Err(MovementError::Moisture { given: percent })
        }
    }

    pub const fn as_percent(self) -> f64 {
        self.0
    }
}

/// The moisture that wood takes in the end, in air of a temperature in °C and a relative humidity in %.
///
/// Hailwood–Horrobin equation with two hydrates, coefficients for °C (USDA FPL-GTR-190 Eq. 4-5; Simpson 1998,
/// FPL-RN-0268; restated). It departs from the tabulated values by under 0.13 % on average and 0.9 % at most (seen).
/// Held to 0–100 °C and 0–98 % (from memory: the table runs from −1 to 132 °C and to 95 %).
///
/// # Errors
/// Temperature or humidity outside those ranges.
pub fn equilibrium_celsius(celsius: f64, humidity: f64) -> Result<Moisture, MovementError> {
    let t = celsius;
    hailwood_horrobin(
        celsius,
        humidity,
        [
            349.0 + 1.29 * t + 0.0135 * t * t,
            0.805 + 0.000_736 * t - 0.000_002_73 * t * t,
            6.27 - 0.009_38 * t - 0.000_303 * t * t,
            1.91 + 0.0407 * t - 0.000_293 * t * t,
        ],
    )
}

/// As [`equilibrium_celsius`], in °F with the coefficients for °F (from memory; they agree with those for °C to 0.01 %
/// moisture at room temperature).
///
/// # Errors
/// Temperature outside 32–212 °F, humidity outside 0–98 %.
pub fn equilibrium_fahrenheit(fahrenheit: f64, humidity: f64) -> Result<Moisture, MovementError> {
    let t = fahrenheit;
    hailwood_horrobin(
        (t - 32.0) / 1.8,
        humidity,
        [
            330.0 + 0.452 * t + 0.004_15 * t * t,
            0.791 + 0.000_463 * t - 0.000_000_844 * t * t,
            6.34 + 0.000_775 * t - 0.000_093_5 * t * t,
            1.09 + 0.0284 * t - 0.000_090_4 * t * t,
        ],
    )
}

fn hailwood_horrobin(
    celsius: f64,
    humidity: f64,
    [w, k, k1, k2]: [f64; 4],
) -> Result<Moisture, MovementError> {
    if !(0.0..=100.0).contains(&celsius) || !(0.0..=98.0).contains(&humidity) {
        return Err(MovementError::Air { celsius, humidity });
    }
    let kh = k * humidity / 100.0;
    let bound = k1 * kh;
    let twice = k1 * k2 * kh * kh;
    Moisture::percent(1800.0 / w * (kh / (1.0 - kh) + (bound + 2.0 * twice) / (1.0 + bound + twice)))
}

/// Moisture to reckon with indoors in the United States (USDA FPL-GTR-190 Table 13–2; from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interior {
    pub region: &'static str,
    /// Mean, %.
    pub mean: f64,
    /// Range of single pieces, %.
    pub least: f64,
    pub most: f64,
}

/// See [`Interior`]. From memory.
pub const INTERIORS: [Interior; 3] = [
    Interior { region: "most areas", mean: 8.0, least: 6.0, most: 10.0 },
    Interior { region: "dry southwest", mean: 6.0, least: 4.0, most: 9.0 },
    Interior { region: "damp, warm coast", mean: 11.0, least: 8.0, most: 13.0 },
];

/// How a board was sawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cut {
    /// Flat-grained (plain-sawn): the rings lie along the width.
    Flat,
    /// Edge-grained (quartersawn): the rings stand across the width.
    Quarter,
    /// As it comes: reckoned with whichever coefficient moves more.
    Mixed,
}

impl Cut {
    pub const fn word(self) -> &'static str {
        match self {
            Cut::Flat => "flat-grained",
            Cut::Quarter => "quartersawn",
            Cut::Mixed => "mixed grain",
        }
    }
}

/// Which size of the board changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Across {
    Width,
    Thickness,
}

/// Why no movement can be worked out.
#[derive(Clone, Debug, PartialEq)]
pub enum MovementError {
    /// Moisture outside 0–30 %.
    Moisture { given: f64 },
    /// Air that no wood in a room stands in.
    Air { celsius: f64, humidity: f64 },
    /// Driest and wettest the wrong way round.
    Season { driest: f64, wettest: f64 },
    /// No coefficient is known for the species.
    NoCoefficient { species: &'static str },
    /// The fixing lies outside the width that moves, or a size is not positive.
    Distance { width: Length, from_fixed_line: Length },
}

impl fmt::Display for MovementError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MovementError::Moisture { given } => {
                write!(to, "a moisture of {given} % is outside 0–30 %; give that of the wood, not of the air")
            }
            MovementError::Air { celsius, humidity } => {
                write!(to, "air of {celsius:.1} °C and {humidity} % is outside 0–100 °C and 0–98 %")
            }
            MovementError::Season { driest, wettest } => {
                write!(to, "the driest moisture, {driest} %, is above the wettest, {wettest} %")
            }
            MovementError::NoCoefficient { species } => {
                write!(to, "how far {species} moves is not known")
            }
            MovementError::Distance { width, from_fixed_line } => write!(
                to,
                "a fixing {:.3} mm from the fixed line is not within the {:.3} mm that move",
                from_fixed_line.to_mm(),
                width.to_mm()
            ),
        }
    }
}

impl std::error::Error for MovementError {}

/// Lower and upper end of the range in which the change coefficients hold, % moisture (USDA FPL-GTR-190 Eq. 13-2).
const COEFFICIENT_FROM: f64 = 6.0;
const COEFFICIENT_TO: f64 = 14.0;

/// The change coefficient for a size of a board, per 1 % moisture. A flat-grained board moves tangentially over its
/// width and radially over its thickness, a quartersawn one the other way round. Mixed grain, or a coefficient that is
/// missing, takes the larger that is known: for a gap the safe side.
pub fn coefficient(species: &Species, cut: Cut, across: Across) -> Option<Value> {
    let (radial, tangential) = (species.radial, species.tangential);
    let wanted = match (cut, across) {
        (Cut::Flat, Across::Width) | (Cut::Quarter, Across::Thickness) => tangential,
        (Cut::Quarter, Across::Width) | (Cut::Flat, Across::Thickness) => radial,
        (Cut::Mixed, _) => None,
    };
    wanted.or_else(|| [radial, tangential].into_iter().flatten().max_by(|a, b| a.value.total_cmp(&b.value)))
}

/// Part of its size by which wood changes from one moisture to another; negative where it shrinks.
///
/// Within 6–14 %: ΔD/D = C·(M₂ − M₁) (USDA FPL-GTR-190 Eq. 13-2). Outside: ΔD/D = (M₂ − M₁)/(30·100/S − 30 + M₁) (Eq.
/// 13-3), the straight line of shrinkage; the coefficient is that line referred to 10 %, so 30·100/S − 30 is taken as
/// 1/C − 10, which also serves groups of species that have no S of their own. Above `saturation` nothing moves.
pub fn relative_change(coefficient: f64, saturation: f64, from: Moisture, to: Moisture) -> f64 {
    let (from, to) = (from.0.min(saturation), to.0.min(saturation));
    let within = |moisture: f64| (COEFFICIENT_FROM..=COEFFICIENT_TO).contains(&moisture);
    if within(from) && within(to) {
        coefficient * (to - from)
    } else {
        (to - from) / (1.0 / coefficient - 10.0 + from)
    }
}

/// Eq. 13-3 with a shrinkage in %, green to oven-dry: ΔD/D = (M₂ − M₁)/(30·100/S − 30 + M₁), neither above 30 % (text
/// seen, formula from memory).
pub fn relative_change_from_shrinkage(shrinkage: f64, from: Moisture, to: Moisture) -> f64 {
    (to.0 - from.0) / (30.0 * 100.0 / shrinkage - 30.0 + from.0)
}

/// Change of one size of a board, to the nearest unit; negative where it shrinks. For a true size; for gaps and slots
/// see [`slot_for`], which stays on the safe side.
///
/// # Errors
/// [`MovementError::NoCoefficient`].
pub fn change(
    species: &Species,
    cut: Cut,
    across: Across,
    size: Length,
    from: Moisture,
    to: Moisture,
) -> Result<Length, MovementError> {
    let c =
        coefficient(species, cut, across).ok_or(MovementError::NoCoefficient { species: species.name })?;
    let relative = relative_change(c.value, species.saturation, from, to);
    Ok(Length::from_mm(size.to_mm() * relative))
}

/// The moisture of the wood when it is worked, and the driest and wettest it will be in service.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Season {
    made: Moisture,
    driest: Moisture,
    wettest: Moisture,
}

impl Season {
    /// # Errors
    /// [`MovementError::Season`] where the driest is above the wettest. The shop may lie outside the two.
    pub fn new(made: Moisture, driest: Moisture, wettest: Moisture) -> Result<Season, MovementError> {
        if driest.0 > wettest.0 {
            return Err(MovementError::Season { driest: driest.0, wettest: wettest.0 });
        }
        Ok(Season { made, driest, wettest })
    }

    /// The wettest that the wood gets, the shop counted in.
    fn high(&self) -> Moisture {
        if self.made.0 > self.wettest.0 { self.made } else { self.wettest }
    }

    /// The driest that the wood gets, the shop counted in.
    fn low(&self) -> Moisture {
        if self.made.0 < self.driest.0 { self.made } else { self.driest }
    }
}

/// A wide board that is held along one line and may move away from it on either side.
#[derive(Clone, Copy, Debug)]
pub struct Floating<'a> {
    pub species: &'a Species,
    pub cut: Cut,
    /// From the fixed line to the far edge, across the grain.
    pub width: Length,
    pub season: Season,
}

/// A slot for a screw that holds a [`Floating`] board down and lets it move, and the gap at the board's far edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// How far the board moves away from the fixed line at the screw, at most; rounded up.
    pub outward: Length,
    /// How far it moves towards the fixed line at the screw, at most; rounded up.
    pub inward: Length,
    /// Length of the slot over all, across the grain, for a screw of that shank: shank + outward + inward.
    pub length: Length,
    /// From the end of the slot nearest the fixed line to the middle of the screw when it is put in, for a slot in the
    /// part that stays. In the board that moves the slot is turned end for end.
    pub screw_from_inner_end: Length,
    /// The gap that the far edge needs when it is made, to swell into; rounded up.
    pub clearance: Length,
    /// The most that the far edge draws back from where it was made; rounded up. What covers the gap must reach so far.
    pub draws_back: Length,
    /// What the figures rest on, a clause each.
    pub basis: Vec<String>,
}

/// The slot for a screw of `shank` diameter, `from_fixed_line` away from where the board is held, and the gap at its
/// far edge.
///
/// Movement is the larger of that by the change coefficient and that by the joiners' table where there is one for the
/// species and the board is not quartersawn. Every length is rounded up to a whole unit; see [`up_to`] for a rule.
///
/// # Errors
/// No coefficient; a width, distance or shank that is not positive; a fixing beyond the far edge.
pub fn slot_for(board: &Floating, from_fixed_line: Length, shank: Length) -> Result<Slot, MovementError> {
    let Floating { species, cut, width, season } = *board;
    if !width.is_positive()
        || !shank.is_positive()
        || from_fixed_line < Length::ZERO
        || from_fixed_line > width
    {
        return Err(MovementError::Distance { width, from_fixed_line });
    }
    let known = coefficient(species, cut, Across::Width)
        .ok_or(MovementError::NoCoefficient { species: species.name })?;
    let custom = species.custom.filter(|_| cut != Cut::Quarter);
    let relative = |to: Moisture| {
        let by_coefficient = safe_change(known.value, species.saturation, season.made, to);
        let by_custom = custom.map_or(0.0, |c| c.value * (to.0 - season.made.0).abs());
        larger(by_coefficient, by_custom)
    };
    let (swells, shrinks) = (relative(season.high()), relative(season.low()));
    let at_screw = |part: f64| outwards(from_fixed_line, part);
    let (outward, inward) = (at_screw(swells), at_screw(shrinks));
    // Half of an odd number of units is rounded up too: the screw never starts against the end.
    let radius = shank - shank.half();
    Ok(Slot {
        outward,
        inward,
        length: radius + radius + outward + inward,
        screw_from_inner_end: radius + inward,
        clearance: outwards(width, swells),
        draws_back: outwards(width, shrinks),
        basis: basis(board, known, custom),
    })
}

/// Size of the change, never less than by Eq. 13-2: where Eq. 13-3 takes over, at 6 and 14 %, it may give a little less,
/// and a wider range of moisture must never make a slot shorter.
fn safe_change(coefficient: f64, saturation: f64, from: Moisture, to: Moisture) -> f64 {
    let straight = coefficient * (to.0.min(saturation) - from.0.min(saturation)).abs();
    larger(relative_change(coefficient, saturation, from, to).abs(), straight)
}

/// The larger of two estimates of movement: a table of the trade and the coefficient do not agree, and a gap that is
/// too wide costs less than a top that splits.
pub fn larger(by_coefficient: f64, by_custom: f64) -> f64 {
    if by_custom > by_coefficient { by_custom } else { by_coefficient }
}

/// The least whole number of `step`s that is not shorter than `length`; the length itself for a step that is not
/// positive.
pub fn up_to(length: Length, step: Length) -> Length {
    if !step.is_positive() {
        return length;
    }
    let over = length.units().rem_euclid(step.units());
    if over == 0 { length } else { length + (step - Length::from_units(over)) }
}

/// `part` of a length, rounded up to a whole unit.
fn outwards(length: Length, part: f64) -> Length {
    Length::from_units(libm::ceil(length.units() as f64 * part) as i64)
}

fn basis(board: &Floating, known: Value, custom: Option<Value>) -> Vec<String> {
    let Floating { species, cut, season, .. } = board;
    let mut basis = vec![format!(
        "{}, {}: {:.5} of the width per 1 % moisture ({})",
        species.name,
        cut.word(),
        known.value,
        known.standing()
    )];
    if *cut == Cut::Quarter && species.radial.is_none() {
        basis.push("no radial coefficient is known, so the larger tangential one is used".to_string());
    }
    if let Some(custom) = custom {
        let standing = custom.standing();
        basis.push(format!("{:.5} by the trade ({standing}); the larger is used", custom.value));
    }
    basis.push(format!(
        "made at {:.1} % moisture, in service {:.1} % to {:.1} %",
        season.made.0, season.driest.0, season.wettest.0
    ));
    basis.push(
        "boards as sold are neither purely flat- nor quartersawn: flat-grained width is overestimated, thickness underestimated (USDA FPL-GTR-190, chapter 13)"
            .to_string(),
    );
    basis
}
