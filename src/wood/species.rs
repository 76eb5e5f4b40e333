//! Solid woods by the names the trade writes: how far they move, how stiff and how dense they are. The figures are for
//! North American timber unless the name says otherwise; a timber of the same name from elsewhere only resembles it.

use std::fmt;

use super::{Flag, Value, has_words, plain};
use crate::diagnose::nearest;

/// One species, or a group sold as one. What is not known is `None`, never zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Species {
    /// As the trade writes it.
    pub name: &'static str,
    /// Other names for the same wood.
    pub aliases: &'static [&'static str],
    /// Radial dimensional change coefficient C_R: part of the size at 10 % moisture per 1 % moisture, 6–14 %.
    pub radial: Option<Value>,
    /// Tangential dimensional change coefficient C_T, likewise.
    pub tangential: Option<Value>,
    /// Radial shrinkage from green to oven-dry, % of the green size.
    pub radial_shrinkage: Option<Value>,
    /// Tangential shrinkage from green to oven-dry, % of the green size.
    pub tangential_shrinkage: Option<Value>,
    /// Moisture above which the wood moves no more, %: 30, or 22 for redwood and western redcedar (USDA FPL-GTR-190
    /// Table 13–5, notes; from memory).
    pub saturation: f64,
    /// Specific gravity: oven-dry mass over the volume at 12 % moisture.
    pub gravity: Option<Value>,
    /// Modulus of elasticity along the grain at 12 % moisture, psi: mean of clear wood, from bending tests.
    pub modulus: Option<Value>,
    /// Shear modulus in the longitudinal-radial plane over the modulus of elasticity.
    pub shear_radial: Option<Value>,
    /// Shear modulus in the longitudinal-tangential plane over the modulus of elasticity.
    pub shear_tangential: Option<Value>,
    /// Specific gravity that fastener design uses: oven-dry mass over oven-dry volume.
    pub design_gravity: Option<Value>,
    /// What joiners allow for a plain-sawn board: part of the width per 1 % moisture.
    pub custom: Option<Value>,
}

/// The species of that name.
///
/// # Errors
/// Names what was probably meant: several where the name is that of a whole genus.
pub fn find(name: &str) -> Result<&'static Species, UnknownSpecies> {
    let given = plain(name);
    if let Some(known) = SPECIES.iter().find(|s| s.names().any(|n| plain(n) == given)) {
        return Ok(known);
    }
    let mut perhaps: Vec<&'static str> = Vec::new();
    if !given.is_empty() {
        perhaps.extend(SPECIES.iter().map(|s| s.name).filter(|n| has_words(&plain(n), &given)));
        if perhaps.is_empty() {
            perhaps.extend(nearest(&given, SPECIES.iter().flat_map(Species::names)));
        }
    }
    Err(UnknownSpecies { given: name.to_string(), perhaps })
}

/// The species named within a label such as `4/4 poplar, select`; the longest name wins, and two that are equally long
/// leave it open.
pub fn named_in(label: &str) -> Option<&'static Species> {
    super::named_in(label, SPECIES.iter().map(|species| (species, species.names().collect())))
}

/// A name that no row of the table has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownSpecies {
    pub given: String,
    /// Names that may be meant; none where nothing is near.
    pub perhaps: Vec<&'static str>,
}

impl fmt::Display for UnknownSpecies {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.perhaps.as_slice() {
            [] => write!(to, "no figures are known for `{}`", self.given),
            [one] => write!(to, "no figures are known for `{}`; `{one}` is known", self.given),
            many => write!(to, "`{}` may be any of {}; say which", self.given, many.join(", ")),
        }
    }
}

impl std::error::Error for UnknownSpecies {}

impl Species {
    /// The name and its other names.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }

    /// Shear modulus over modulus of elasticity for a bent board, whichever way its rings run: the smaller of the two
    /// known, which gives the larger deflection; without either 1/16 (common for softwood and hardwood; from memory).
    pub fn shear_ratio(&self) -> Value {
        let known = [self.shear_radial, self.shear_tangential].into_iter().flatten();
        known.min_by(|a, b| a.value.total_cmp(&b.value)).unwrap_or(Value {
            value: 1.0 / 16.0,
            flag: Flag::FromMemory,
            source: "G = E/16 where the species is not tabulated",
        })
    }

    /// Specific gravity for fastener design. Where the group is not tabulated, that at 12 % moisture stands in: its
    /// volume is the larger one, so it is smaller and errs on the safe side.
    pub fn fastener_gravity(&self) -> Option<Value> {
        self.design_gravity.or(self.gravity)
    }

    /// Mass per volume at `moisture` %, kg/m³: 1000·G·(1 + M/100) with G on the volume at 12 %; the volume itself is
    /// taken as that at 12 % (definition of G; USDA FPL-GTR-190 chapter 4). `None` without a specific gravity.
    pub fn density(&self, moisture: f64) -> Option<Value> {
        self.gravity.map(|g| Value { value: 1000.0 * g.value * (1.0 + moisture / 100.0), ..g })
    }
}

/// Change coefficient from shrinkage: `C = (S/F) / (100 − S·(F − 10)/F)`, with S the shrinkage green to oven-dry in %
/// and F the moisture in % above which the wood moves no more. It is the straight shrinkage line referred to the size
/// at 10 %, and gives 31 of the 32 tabulated pairs it was held against. Not for groups sold as one (white oak).
pub fn coefficient_from_shrinkage(shrinkage: f64, saturation: f64) -> f64 {
    (shrinkage / saturation) / (100.0 - shrinkage * (saturation - 10.0) / saturation)
}

const MOVES: &str = "USDA FPL-GTR-190 Table 13-5";
const SHRINKS: &str = "USDA FPL-GTR-190 Table 4-3";
const STIFF: &str = "USDA FPL-GTR-190 Table 5-3";
const SHEARS: &str = "USDA FPL-GTR-190 Table 5-1";
const DESIGN: &str = "NDS 2018 Table 12.3.3A";
const FLOORS: &str = "change coefficients as floor layers restate them";
/// 12 in of plain-sawn board from 10 % to 5 % moisture, in 1/64 in.
const CUSTOM: &str = "joiners' table for 12 in of plain-sawn board over 5 % moisture";

const fn value(value: f64, flag: Flag, source: &'static str) -> Option<Value> {
    Some(Value { value, flag, source })
}

use Flag::{CommonPractice, Computed, FromMemory, Restated, Seen};

const BARE: Species = Species {
    name: "",
    aliases: &[],
    radial: None,
    tangential: None,
    radial_shrinkage: None,
    tangential_shrinkage: None,
    saturation: 30.0,
    gravity: None,
    modulus: None,
    shear_radial: None,
    shear_tangential: None,
    design_gravity: None,
    custom: None,
};

impl Species {
    const fn new(name: &'static str, aliases: &'static [&'static str]) -> Species {
        Species { name, aliases, ..BARE }
    }

    /// C_R and C_T of one standing.
    const fn moves(self, radial: f64, tangential: f64, flag: Flag) -> Species {
        Species { radial: value(radial, flag, MOVES), tangential: value(tangential, flag, MOVES), ..self }
    }

    /// C_T alone, of imported woods.
    const fn moves_flat(self, tangential: f64) -> Species {
        Species { tangential: value(tangential, Restated, FLOORS), ..self }
    }

    /// Radial and tangential shrinkage, %; all seen.
    const fn shrinks(self, radial: f64, tangential: f64) -> Species {
        Species {
            radial_shrinkage: value(radial, Seen, SHRINKS),
            tangential_shrinkage: value(tangential, Seen, SHRINKS),
            ..self
        }
    }

    /// Modulus of elasticity in 10⁶ psi and specific gravity.
    const fn stiff(self, million_psi: f64, gravity: f64, flag: Flag) -> Species {
        Species {
            modulus: value(million_psi * 1e6, flag, STIFF),
            gravity: value(gravity, flag, STIFF),
            ..self
        }
    }

    /// G_LR/E_L and G_LT/E_L; all from memory.
    const fn shears(self, radial: f64, tangential: f64) -> Species {
        Species {
            shear_radial: value(radial, FromMemory, SHEARS),
            shear_tangential: value(tangential, FromMemory, SHEARS),
            ..self
        }
    }

    /// Specific gravity for fasteners; all from memory.
    const fn design(self, gravity: f64) -> Species {
        Species { design_gravity: value(gravity, FromMemory, DESIGN), ..self }
    }

    /// Joiners' allowance in 1/64 in for 12 in over 5 %.
    const fn allowed(self, sixty_fourths: f64) -> Species {
        Species { custom: value(sixty_fourths / 64.0 / 12.0 / 5.0, CommonPractice, CUSTOM), ..self }
    }
}

/// The table. White oak and red oak are the commercial groups.
pub const SPECIES: &[Species] = &[
    Species::new("red alder", &["alder"]).moves(0.00151, 0.00256, Seen).stiff(1.38, 0.41, Seen),
    Species::new("white ash", &["green ash", "American ash"])
        .moves(0.00169, 0.00274, Seen)
        .shrinks(4.9, 7.8)
        .stiff(1.74, 0.60, Seen)
        .shears(0.109, 0.077),
    Species::new("black ash", &["brown ash"]).moves(0.00172, 0.00274, Seen).stiff(1.60, 0.49, Seen),
    Species::new("quaking aspen", &["aspen"]).moves(0.00119, 0.00234, Seen).stiff(1.18, 0.38, Seen),
    Species::new("basswood", &["linden", "lime"])
        .moves(0.00230, 0.00330, Seen)
        .shrinks(6.6, 9.3)
        .stiff(1.46, 0.37, Seen),
    Species::new("American beech", &["beech"])
        .moves(0.00190, 0.00431, Seen)
        .shrinks(5.5, 11.9)
        .stiff(1.72, 0.64, Seen),
    Species::new("yellow birch", &[])
        .moves(0.00256, 0.00338, Seen)
        .shrinks(7.3, 9.5)
        .stiff(2.01, 0.62, Seen)
        .shears(0.074, 0.068),
    Species::new("sweet birch", &["cherry birch"]).moves(0.00256, 0.00338, Seen).stiff(2.17, 0.65, Seen),
    Species::new("paper birch", &["white birch"]).moves(0.00219, 0.00304, Seen).stiff(1.59, 0.55, Seen),
    Species::new("butternut", &["white walnut"]).moves(0.00116, 0.00223, Seen).stiff(1.18, 0.38, Seen),
    Species::new("black cherry", &["cherry"])
        .moves(0.00126, 0.00248, Seen)
        .shrinks(3.7, 7.1)
        .stiff(1.49, 0.50, Seen)
        .shears(0.147, 0.097)
        .allowed(9.0),
    Species::new("chestnut", &["American chestnut"]).moves(0.00116, 0.00234, Seen),
    Species::new("American elm", &["white elm"]).moves(0.00144, 0.00338, Seen),
    Species::new("pecan", &["pecan hickory"]).moves(0.00169, 0.00315, Seen),
    Species::new("shagbark hickory", &["true hickory"]).stiff(2.16, 0.72, Seen),
    Species {
        gravity: value(0.63, Restated, STIFF),
        modulus: value(1.83e6, FromMemory, STIFF),
        ..Species::new("sugar maple", &["hard maple", "rock maple"])
            .moves(0.00165, 0.00353, Seen)
            .shears(0.111, 0.063)
            .allowed(12.0)
    },
    Species::new("black maple", &[]).moves(0.00165, 0.00353, Seen).stiff(1.62, 0.57, Seen).allowed(12.0),
    Species::new("red maple", &["soft maple"]).moves(0.00137, 0.00289, Seen).stiff(1.64, 0.54, Seen),
    Species::new("bigleaf maple", &["western maple"]).moves(0.00126, 0.00248, Seen).stiff(1.45, 0.48, Seen),
    Species::new("silver maple", &[]).moves(0.00102, 0.00252, Seen),
    Species::new("red oak", &["northern red oak"])
        .moves(0.00158, 0.00369, Seen)
        .stiff(1.82, 0.63, FromMemory)
        .shears(0.089, 0.081)
        .design(0.67)
        .allowed(11.0),
    Species {
        shear_radial: value(0.086, FromMemory, SHEARS),
        ..Species::new("white oak", &[])
            .moves(0.00180, 0.00365, Seen)
            .shrinks(5.6, 10.5)
            .stiff(1.78, 0.68, FromMemory)
            .design(0.73)
            .allowed(11.0)
    },
    Species::new("sweetgum", &["red gum", "sapgum"])
        .moves(0.00183, 0.00365, Seen)
        .stiff(1.64, 0.52, FromMemory),
    Species::new("American sycamore", &["sycamore"]).moves(0.00172, 0.00296, Seen),
    Species::new("black walnut", &["walnut", "American walnut"])
        .moves(0.00190, 0.00274, Seen)
        .shrinks(5.5, 7.8)
        .stiff(1.68, 0.55, FromMemory)
        .shears(0.085, 0.062)
        .allowed(10.0),
    Species::new("yellow-poplar", &["poplar", "tulip poplar", "tulipwood"])
        .moves(0.00158, 0.00289, Computed)
        .shrinks(4.6, 8.2)
        .stiff(1.58, 0.42, FromMemory)
        .shears(0.075, 0.069)
        .design(0.43)
        .allowed(9.0),
    Species {
        radial: value(0.00165, Computed, MOVES),
        tangential: value(0.00267, Restated, MOVES),
        ..Species::new("Douglas-fir", &["coast Douglas-fir", "Douglas-fir larch", "DF-L"])
            .shrinks(4.8, 7.6)
            .stiff(1.95, 0.48, Seen)
            .shears(0.064, 0.078)
            .design(0.50)
    },
    Species::new("interior north Douglas-fir", &[]).moves(0.00130, 0.00241, Computed),
    Species::new("interior west Douglas-fir", &[]).moves(0.00165, 0.00263, Computed),
    Species {
        radial: value(0.00112, Seen, MOVES),
        tangential: value(0.00245, Computed, MOVES),
        ..Species::new("white fir", &[]).shrinks(3.3, 7.0)
    },
    Species::new("noble fir", &[]).stiff(1.72, 0.39, Seen),
    Species::new("grand fir", &[]).stiff(1.57, 0.39, Seen),
    Species::new("western hemlock", &["hemlock"]).stiff(1.63, 0.45, Seen),
    Species::new("western larch", &["larch"]).stiff(1.87, 0.52, Seen),
    Species::new("Engelmann spruce", &[]).stiff(1.30, 0.35, Seen),
    Species::new("Sitka spruce", &[]).moves(0.00148, 0.00263, FromMemory).stiff(1.57, 0.40, FromMemory),
    Species::new("eastern white pine", &["white pine"])
        .moves(0.00071, 0.00212, FromMemory)
        .stiff(1.24, 0.35, FromMemory),
    Species::new("western white pine", &[]).moves(0.00141, 0.00259, FromMemory).stiff(1.46, 0.38, FromMemory),
    Species::new("ponderosa pine", &["ponderosa"])
        .moves(0.00133, 0.00216, FromMemory)
        .stiff(1.29, 0.40, FromMemory)
        .shears(0.138, 0.115),
    Species::new("sugar pine", &[]).moves(0.00099, 0.00194, FromMemory).stiff(1.19, 0.36, FromMemory),
    Species::new("longleaf pine", &[])
        .moves(0.00176, 0.00263, FromMemory)
        .stiff(1.98, 0.59, FromMemory)
        .design(0.55),
    Species::new("loblolly pine", &["southern pine", "southern yellow pine"])
        .moves(0.00165, 0.00259, FromMemory)
        .stiff(1.79, 0.51, FromMemory)
        .shears(0.082, 0.081)
        .design(0.55),
    Species {
        saturation: 22.0,
        ..Species::new("western redcedar", &["western red cedar"])
            .moves(0.00111, 0.00234, Computed)
            .shrinks(2.4, 5.0)
            .stiff(1.11, 0.32, FromMemory)
            .shears(0.087, 0.086)
    },
    Species::new("eastern redcedar", &["aromatic cedar"]).moves(0.00106, 0.00162, FromMemory),
    Species {
        saturation: 22.0,
        ..Species::new("old-growth redwood", &["redwood"])
            .moves(0.00120, 0.00205, FromMemory)
            .stiff(1.34, 0.40, FromMemory)
    },
    Species {
        saturation: 22.0,
        ..Species::new("second-growth redwood", &[]).moves(0.00101, 0.00229, FromMemory)
    },
    Species::new("spruce-pine-fir", &["SPF", "whitewood stud"]).design(0.42),
    Species::new("hem-fir", &[]).design(0.43),
    Species::new("teak", &[]).moves_flat(0.00186),
    Species::new("Santos mahogany", &[]).moves_flat(0.00238),
    Species::new("mesquite", &[]).moves_flat(0.00129),
];
