//! Sheet goods by name: how heavy and how stiff. For planning; the maker's data sheet wins.

use super::{Flag, Value};
use crate::length::Length;

/// One kind of sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Panel {
    /// As the trade writes it.
    pub name: &'static str,
    /// Other names, as they stand in a label.
    pub aliases: &'static [&'static str],
    /// Mass per volume as delivered, kg/m³.
    pub density: Value,
    /// Modulus of elasticity in bending, psi, along the face grain where there is one; `None` where not known.
    pub modulus: Option<Value>,
    /// True for boards of fibres or particles, which creep more than veneers.
    pub composition: bool,
}

/// The kind of sheet named within a label such as `18 mm birch ply`; the longest name wins, and two that are equally
/// long leave it open.
pub fn named_in(label: &str) -> Option<&'static Panel> {
    super::named_in(label, PANELS.iter().map(|panel| (panel, panel.names().collect())))
}

/// Birch plywood by a mill's data sheet: thickness as delivered and density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BirchPly {
    /// What it is called.
    pub nominal: Length,
    pub mean: Length,
    pub least: Length,
    pub most: Length,
    /// kg/m³, on the nominal thickness for 18 mm: 36.7 kg to a sheet of 1220 × 2440 mm.
    pub density: f64,
}

/// The source of [`BIRCH_PLY`]; seen.
pub const BIRCH_SHEET: &str = "a mill's data sheet for all-birch plywood";

/// Thicknesses and densities of all-birch plywood ([`BIRCH_SHEET`]; seen). For 6.5 and 9 mm the mean is not the
/// nominal.
pub const BIRCH_PLY: [BirchPly; 5] = [
    birch(65, 64, 61, 69, 670.0),
    birch(90, 92, 88, 95, 710.0),
    birch(120, 120, 115, 125, 695.0),
    birch(150, 149, 143, 153, 690.0),
    birch(180, 177, 171, 181, 685.0),
];

/// A row in tenths of a millimetre.
const fn birch(nominal: i64, mean: i64, least: i64, most: i64, density: f64) -> BirchPly {
    const fn tenths(tenths: i64) -> Length {
        Length::from_units(tenths * (Length::MM.units() / 10))
    }
    BirchPly {
        nominal: tenths(nominal),
        mean: tenths(mean),
        least: tenths(least),
        most: tenths(most),
        density,
    }
}

const SHEET_WEIGHT: &str = "weight of a 3/4 in 4 × 8 ft sheet, trade guides";
const PLANNING: &str = "planning value for bending";

const fn density(lb_ft3: f64, flag: Flag, source: &'static str) -> Value {
    Value { value: lb_ft3 * super::KG_M3_PER_LB_FT3, flag, source }
}

const fn modulus(million_psi: f64) -> Option<Value> {
    Some(Value { value: million_psi * 1e6, flag: Flag::FromMemory, source: PLANNING })
}

/// The table. A 3/4 in 4 × 8 ft sheet is 2 ft³, so its weight in pounds is twice the density in lb/ft³.
pub const PANELS: &[Panel] = &[
    Panel {
        name: "MDF",
        aliases: &["medium density fibreboard", "medium density fiberboard"],
        density: density(48.5, Flag::Restated, SHEET_WEIGHT),
        modulus: modulus(0.35),
        composition: true,
    },
    Panel {
        name: "lightweight MDF",
        aliases: &["light MDF", "low density MDF", "ultralight MDF"],
        density: density(30.0, Flag::Restated, SHEET_WEIGHT),
        modulus: None,
        composition: true,
    },
    Panel {
        name: "particleboard",
        aliases: &["particle board", "chipboard", "melamine"],
        density: density(43.5, Flag::Restated, "ANSI A208.1 medium density, restated"),
        modulus: modulus(0.33),
        composition: true,
    },
    Panel {
        name: "birch plywood",
        aliases: &["birch ply", "all-birch plywood", "Baltic birch"],
        density: Value { value: 710.0, flag: Flag::Seen, source: BIRCH_SHEET },
        modulus: modulus(1.1),
        composition: false,
    },
    Panel {
        name: "veneer-core plywood",
        aliases: &["hardwood plywood", "hardwood ply", "veneer core ply", "veneer core"],
        density: density(30.0, Flag::Restated, SHEET_WEIGHT),
        modulus: modulus(1.1),
        composition: false,
    },
    Panel {
        name: "plywood",
        aliases: &["ply", "softwood plywood", "softwood ply", "fir ply", "sanded ply"],
        density: density(36.0, Flag::FromMemory, "3 lb per square foot and inch of thickness"),
        modulus: None,
        composition: false,
    },
    Panel {
        name: "hardboard",
        aliases: &["high density fibreboard", "high density fiberboard", "HDF"],
        density: Value { value: 1000.0, flag: Flag::FromMemory, source: "hardboard, upper end of its range" },
        modulus: None,
        composition: true,
    },
];

impl Panel {
    /// The name and its other names.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }

    /// Mass per volume at a thickness, kg/m³: all-birch plywood by the row of the nearest nominal thickness, anything
    /// else as in the table.
    pub fn density_at(&self, thick: Length) -> Value {
        if self.name != "birch plywood" {
            return self.density;
        }
        let row = BIRCH_PLY.iter().min_by_key(|row| (row.nominal - thick).abs());
        row.map_or(self.density, |row| Value { value: row.density, ..self.density })
    }
}
