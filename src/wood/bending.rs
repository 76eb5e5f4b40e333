//! How far a shelf, a seat or a span sags: bending and shear, and creep where the load stays. For a straight piece of
//! one rectangular section, bent across one of its sides.

use std::fmt;

use super::panels::Panel;
use super::species::Species;
use super::{Flag, MPA_PER_PSI, NEWTONS_PER_POUND, NO_ENGINEER, Value};
use crate::length::Length;

/// How a piece is held and loaded, and where the deflection is asked for (USDA FPL-GTR-190 Table 9–1; seen). The load
/// is always the whole load on the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Case {
    /// Spread evenly, ends resting; at midspan.
    UniformSimple,
    /// Spread evenly, ends clamped; at midspan.
    UniformClamped,
    /// At midspan, ends resting; at midspan.
    MidspanSimple,
    /// At midspan, ends clamped; at midspan.
    MidspanClamped,
    /// Half at each quarter point, ends resting; at midspan.
    QuarterPointsMidspan,
    /// Half at each quarter point, ends resting; at a quarter point.
    QuarterPointsLoad,
    /// Cantilever, spread evenly; at the free end.
    CantileverUniform,
    /// Cantilever, at the free end; there.
    CantileverEnd,
}

impl Case {
    pub const ALL: [Case; 8] = [
        Case::UniformSimple,
        Case::UniformClamped,
        Case::MidspanSimple,
        Case::MidspanClamped,
        Case::QuarterPointsMidspan,
        Case::QuarterPointsLoad,
        Case::CantileverUniform,
        Case::CantileverEnd,
    ];

    /// k_b and k_s of Eq. 9-2.
    pub const fn factors(self) -> (f64, f64) {
        match self {
            Case::UniformSimple => (5.0 / 384.0, 1.0 / 8.0),
            Case::UniformClamped => (1.0 / 384.0, 1.0 / 8.0),
            Case::MidspanSimple => (1.0 / 48.0, 1.0 / 4.0),
            Case::MidspanClamped => (1.0 / 192.0, 1.0 / 4.0),
            Case::QuarterPointsMidspan => (11.0 / 768.0, 1.0 / 8.0),
            Case::QuarterPointsLoad => (1.0 / 96.0, 1.0 / 8.0),
            Case::CantileverUniform => (1.0 / 8.0, 1.0 / 2.0),
            Case::CantileverEnd => (1.0 / 3.0, 1.0),
        }
    }

    pub const fn words(self) -> &'static str {
        match self {
            Case::UniformSimple => "load spread evenly, ends resting freely",
            Case::UniformClamped => "load spread evenly, ends clamped",
            Case::MidspanSimple => "load at midspan, ends resting freely",
            Case::MidspanClamped => "load at midspan, ends clamped",
            Case::QuarterPointsMidspan => "half the load at each quarter point, ends resting freely",
            Case::QuarterPointsLoad => "half the load at each quarter point, deflection there",
            Case::CantileverUniform => "load spread evenly on a cantilever",
            Case::CantileverEnd => "load at the end of a cantilever",
        }
    }
}

/// A rectangular section: `depth` in the direction of the load, `breadth` across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Section {
    pub breadth: Length,
    pub depth: Length,
}

impl Section {
    /// Second moment of area b·h³/12, mm⁴ (USDA FPL-GTR-190 Eq. 9-3; from memory).
    pub fn second_moment(&self) -> f64 {
        let (b, h) = (self.breadth.to_mm(), self.depth.to_mm());
        b * h * h * h / 12.0
    }

    /// Shear area 5·b·h/6, mm² (Eq. 9-4; from memory).
    pub fn shear_area(&self) -> f64 {
        5.0 * self.breadth.to_mm() * self.depth.to_mm() / 6.0
    }
}

/// Stiffness of a material along the span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// Modulus of elasticity, psi.
    pub modulus: Value,
    /// Shear modulus over modulus of elasticity.
    pub shear_ratio: Value,
    /// Total over first deflection of a load that stays.
    pub creep: Creep,
}

impl Stiffness {
    /// Of solid wood with the grain along the span; `None` where its stiffness is not tabulated.
    pub fn of_species(species: &Species, creep: Creep) -> Option<Stiffness> {
        species.modulus.map(|modulus| Stiffness { modulus, shear_ratio: species.shear_ratio(), creep })
    }

    /// Of a sheet with the face grain along the span; `None` where it is not tabulated. The shear ratio is that of
    /// solid wood, from memory: for sheets of usual spans shear is a small part.
    pub fn of_panel(panel: &Panel) -> Option<Stiffness> {
        let creep = if panel.composition { Creep::Composition } else { Creep::Plywood };
        let shear_ratio = Value {
            value: 1.0 / 16.0,
            flag: Flag::FromMemory,
            source: "G = E/16 where the material is not tabulated",
        };
        panel.modulus.map(|modulus| Stiffness { modulus, shear_ratio, creep })
    }
}

/// What a load that stays does in the long run: total deflection = K_cr · lasting + passing (NDS 2018 §3.5.2).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Creep {
    /// Seasoned lumber that stays dry, glued laminated wood.
    Seasoned,
    /// Lumber that dries under its load.
    Unseasoned,
    /// Plywood that stays dry.
    Plywood,
    /// Fibreboard and particleboard.
    Composition,
}

impl Creep {
    /// K_cr.
    pub const fn factor(self) -> Value {
        const NDS: &str = "NDS 2018 §3.5.2";
        let (value, flag, source) = match self {
            Creep::Seasoned => (1.5, Flag::Seen, NDS),
            Creep::Unseasoned => (2.0, Flag::Seen, NDS),
            Creep::Plywood => (2.0, Flag::FromMemory, NDS),
            // Creep is 0–2 times the first deflection (seen); these boards are reckoned at the upper end.
            Creep::Composition => (3.0, Flag::Seen, "upper end of the range in AWC's answers on creep"),
        };
        Value { value, flag, source }
    }
}

/// A piece, how it is held, and its loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    pub case: Case,
    /// Clear span, or the free length of a cantilever.
    pub span: Length,
    pub section: Section,
    pub stiffness: Stiffness,
    /// Load that stays, newtons; the whole of it. Books and the piece's own weight belong here.
    pub lasting: f64,
    /// Load that comes and goes, newtons.
    pub passing: f64,
}

/// Spans may sag by their 600th part before the eye finds it: about 0.02 in to the foot (trade custom; from memory).
pub const VISIBLE_PART: i64 = 600;

/// How far a [`Member`] goes down.
#[derive(Clone, Debug, PartialEq)]
pub struct Deflection {
    /// Of both loads at once when they come, from bending, mm.
    pub bending: f64,
    /// Likewise from shear, mm.
    pub shear: f64,
    /// In the long run: K_cr · lasting + passing, mm.
    pub total: f64,
    /// The largest that is not seen, span / 600.
    pub limit: Length,
    /// What the figures rest on, a clause each, the caution last.
    pub assumptions: Vec<String>,
}

impl Deflection {
    /// When the loads come, mm.
    pub fn initial(&self) -> f64 {
        self.bending + self.shear
    }

    /// True where the sag will be seen.
    pub fn is_visible(&self) -> bool {
        self.total > self.limit.to_mm()
    }

    /// The total, rounded up to a whole unit.
    pub fn total_length(&self) -> Length {
        Length::from_units(libm::ceil(self.total * Length::MM.units() as f64) as i64)
    }
}

/// A span, section, stiffness or load that is not a positive number (a load may be zero).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotBendable {
    pub what: &'static str,
}

impl fmt::Display for NotBendable {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "no deflection can be worked out: the {} is not a positive number", self.what)
    }
}

impl std::error::Error for NotBendable {}

/// δ = k_b·W·L³/(E·I) + k_s·W·L/(G·A′) (USDA FPL-GTR-190 Eq. 9-2: terms seen, form from memory), W the whole load.
///
/// # Errors
/// See [`NotBendable`].
pub fn deflection(member: &Member) -> Result<Deflection, NotBendable> {
    let Member { case, span, section, stiffness, lasting, passing } = *member;
    let modulus = stiffness.modulus.value * MPA_PER_PSI;
    let shear_modulus = modulus * stiffness.shear_ratio.value;
    let positive = |value: f64| value.is_finite() && value > 0.0;
    let checks = [
        ("span", span.is_positive()),
        ("breadth", section.breadth.is_positive()),
        ("depth", section.depth.is_positive()),
        ("modulus of elasticity", positive(modulus)),
        ("shear modulus", positive(shear_modulus)),
        ("lasting load", lasting == 0.0 || positive(lasting)),
        ("passing load", passing == 0.0 || positive(passing)),
    ];
    if let Some((what, _)) = checks.iter().find(|(_, holds)| !holds) {
        return Err(NotBendable { what });
    }
    let (k_b, k_s) = case.factors();
    let l = span.to_mm();
    let bending_each = k_b * l * l * l / (modulus * section.second_moment());
    let shear_each = k_s * l / (shear_modulus * section.shear_area());
    let load = lasting + passing;
    let creep = stiffness.creep.factor().value;
    Ok(Deflection {
        bending: load * bending_each,
        shear: load * shear_each,
        total: (creep * lasting + passing) * (bending_each + shear_each),
        limit: span.shared_by(VISIBLE_PART).0,
        assumptions: assumptions(member),
    })
}

fn assumptions(member: &Member) -> Vec<String> {
    let Member { case, stiffness, lasting, passing, .. } = member;
    let creep = stiffness.creep.factor();
    vec![
        format!("{} (USDA FPL-GTR-190 Eq. 9-2, Table 9-1)", case.words()),
        format!(
            "load {:.0} N ({:.0} lb) that stays, {:.0} N ({:.0} lb) that comes and goes; own weight only as far as it was put in",
            lasting,
            lasting / NEWTONS_PER_POUND,
            passing,
            passing / NEWTONS_PER_POUND
        ),
        format!("E {:.2} million psi ({})", stiffness.modulus.value / 1e6, stiffness.modulus.standing()),
        format!("G/E {:.3} ({})", stiffness.shear_ratio.value, stiffness.shear_ratio.standing()),
        "a mean of clear, straight-grained pieces at 12 % moisture, the grain along the span; tabulated E holds some shear already, which errs on the safe side".to_string(),
        format!("what stays sinks to {} times its first deflection ({})", creep.value, creep.standing()),
        format!("visible beyond span/{VISIBLE_PART} (trade custom, {})", Flag::FromMemory.words()),
        "deflection only: neither the strength of the piece nor that of its fixings is looked at".to_string(),
        NO_ENGINEER.to_string(),
    ]
}
