//! What a wood screw bears across its length, where one board is screwed to another and pushed along it: the reference design
//! value of a single shear plane, by the yield modes of the design standard. Before any adjustment for how long the load
//! lasts, damp or heat, as in [`super::withdrawal`].

use std::fmt;

use super::{NEWTONS_PER_POUND, NO_ENGINEER, Value};
use crate::length::Length;

/// A wood screw driven square through a board into another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheared {
    /// Gauge number; its shank is [`super::withdrawal::screw_diameter`].
    pub number: u8,
    /// Specific gravity for fasteners and thickness of the board that is screwed on.
    pub side: (Value, Length),
    /// Specific gravity for fasteners of the wood that holds the screw, and how deep the screw stands in it.
    pub main: (Value, Length),
    /// What lies between the two and bears nothing, as wallboard does.
    pub gap: Length,
}

/// A lateral value and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Lateral {
    /// Reference design value of one screw, newtons.
    pub newtons: f64,
    /// What the figure rests on, a clause each, the caution last.
    pub basis: Vec<String>,
}

/// Why no value is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLateral {
    /// No such screw is tabulated.
    Number(u8),
    /// Outside the range of the standard's tables.
    Gravity(f64),
    /// The board that is screwed on has no thickness.
    Side(Length),
    /// The screw stands less deep than the standard asks: how deep, and the least.
    Shallow(Length, Length),
}

impl fmt::Display for NoLateral {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoLateral::Number(number) => write!(to, "no root diameter of a screw #{number} is tabulated"),
            NoLateral::Gravity(g) => write!(
                to,
                "no lateral value is given for a specific gravity of {g}: the tables run from {} to {}",
                GRAVITY.0, GRAVITY.1
            ),
            NoLateral::Side(thick) => write!(to, "a board {:.2} mm thick bears no screw", thick.to_mm()),
            NoLateral::Shallow(deep, least) => write!(
                to,
                "{:.2} mm of screw in the wood are too few: {:.2} mm are the least",
                deep.to_mm(),
                least.to_mm()
            ),
        }
    }
}

impl std::error::Error for NoLateral {}

/// Specific gravities that the tables of the design standard span (NDS 2018 Table 12L; from memory).
const GRAVITY: (f64, f64) = (0.31, 0.73);

/// A screw stands at least so many times its diameter deep in the wood that holds it, the tip counted in (NDS 2018 §12.1.5;
/// from memory).
pub const LEAST_DIAMETERS: i64 = 6;

/// Root diameters of rolled threads by gauge number, thousandths of an inch (NDS 2018 Appendix L, Table L3; from memory).
const ROOTS: [(u8, i64); 11] = [
    (6, 113),
    (7, 122),
    (8, 131),
    (9, 142),
    (10, 152),
    (12, 171),
    (14, 196),
    (16, 209),
    (18, 232),
    (20, 255),
    (24, 298),
];

/// Shank diameters in inches up to which a bending yield strength holds, psi (NDS 2018 Table 12L, footnote 2; from memory).
const BENDING: [(f64, f64); 6] = [
    (0.142, 100_000.0),
    (0.177, 90_000.0),
    (0.236, 80_000.0),
    (0.273, 70_000.0),
    (0.344, 60_000.0),
    (0.375, 45_000.0),
];

/// Dowel bearing strength of wood under fasteners thinner than 1/4", psi: 16600·G^1.84 (NDS 2018 §12.3.3, Table 12.3.3; from
/// memory). It does not depend on the grain.
pub fn bearing_strength(gravity: f64) -> f64 {
    16_600.0 * libm::pow(gravity, 1.84)
}

/// Reduction term R_d of fasteners thinner than 1/4", `diameter` in inches: 2.2 up to 0.17", then 10·D + 0.5 (NDS 2018 Table
/// 12.3.1B; from memory).
fn reduction(diameter: f64) -> f64 {
    if diameter <= 0.17 { 2.2 } else { 10.0 * diameter + 0.5 }
}

/// A fastener in a single shear plane, inches and psi.
#[derive(Clone, Copy, Debug)]
struct Plane {
    diameter: f64,
    bending: f64,
    /// Bearing strength and length of bearing: of the board screwed on, of the wood that holds.
    side: (f64, f64),
    main: (f64, f64),
    gap: f64,
}

/// Reference lateral value of a single shear plane, pounds, and the yield mode that governs.
///
/// The least of the six yield modes over R_d. The modes are those of NDS 2018 Table 12.3.1A, in the form of AWC Technical Report 12
/// (2015), Table 1-1, that counts in a gap between the members: P = (√(B² − 4·A·C) − B) / (2·A), without a gap the same values.
/// With q = F_e·D, M = F_yb·D³/6, lengths l_s and l_m, gap g:
///
/// - I_m: q_m·l_m; I_s: q_s·l_s
/// - II: A = 1/(4q_s) + 1/(4q_m), B = l_s/2 + g + l_m/2, C = −q_s·l_s²/4 − q_m·l_m²/4
/// - III_m: A = 1/(2q_s) + 1/(4q_m), B = g + l_m/2, C = −M − q_m·l_m²/4
/// - III_s: A = 1/(4q_s) + 1/(2q_m), B = l_s/2 + g, C = −q_s·l_s²/4 − M
/// - IV: A = 1/(2q_s) + 1/(2q_m), B = g, C = −2·M
///
/// From memory.
fn pounds(plane: &Plane) -> (f64, &'static str) {
    let Plane { diameter, bending, side, main, gap } = *plane;
    let (q_s, q_m) = (side.0 * diameter, main.0 * diameter);
    let (l_s, l_m) = (side.1, main.1);
    let moment = bending * diameter * diameter * diameter / 6.0;
    let root = |a: f64, b: f64, c: f64| (libm::sqrt(b * b - 4.0 * a * c) - b) / (2.0 * a);
    let (bears_s, bears_m) = (q_s * l_s * l_s / 4.0, q_m * l_m * l_m / 4.0);
    let modes = [
        (q_m * l_m, "I m"),
        (q_s * l_s, "I s"),
        (root((1.0 / q_s + 1.0 / q_m) / 4.0, (l_s + l_m) / 2.0 + gap, -bears_s - bears_m), "II"),
        (root(0.5 / q_s + 0.25 / q_m, l_m / 2.0 + gap, -moment - bears_m), "III m"),
        (root(0.25 / q_s + 0.5 / q_m, l_s / 2.0 + gap, -bears_s - moment), "III s"),
        (root((1.0 / q_s + 1.0 / q_m) / 2.0, gap, -2.0 * moment), "IV"),
    ];
    let least = modes
        .into_iter()
        .fold((f64::INFINITY, ""), |least, mode| if mode.0 < least.0 { mode } else { least });
    (least.0 / reduction(diameter), least.1)
}

/// The least depth in the wood that holds a screw of this shank.
pub fn least_depth(shank: Length) -> Length {
    shank * LEAST_DIAMETERS
}

/// What a wood screw bears across its length: thread in the shear plane, so that its root diameter counts throughout.
///
/// # Errors
/// See [`NoLateral`].
pub fn lateral(screw: &Sheared) -> Result<Lateral, NoLateral> {
    let Sheared { number, side, main, gap } = *screw;
    let root = ROOTS.iter().find(|(known, _)| *known == number).map(|(_, root)| *root as f64 / 1000.0);
    let shank = super::withdrawal::screw_diameter(number);
    let (Some(root), Some(shank)) = (root, shank) else { return Err(NoLateral::Number(number)) };
    for (gravity, _) in [side, main] {
        if !(GRAVITY.0..=GRAVITY.1).contains(&gravity.value) {
            return Err(NoLateral::Gravity(gravity.value));
        }
    }
    if !side.1.is_positive() {
        return Err(NoLateral::Side(side.1));
    }
    if main.1 < least_depth(shank) {
        return Err(NoLateral::Shallow(main.1, least_depth(shank)));
    }
    let inches = |length: Length| length.units() as f64 / Length::INCH.units() as f64;
    let of = |(gravity, length): (Value, Length)| (bearing_strength(gravity.value), inches(length));
    let bending = BENDING.iter().find(|(most, _)| inches(shank) <= *most).map(|(_, bending)| *bending);
    let bending = bending.ok_or(NoLateral::Number(number))?;
    let plane = Plane { diameter: root, bending, side: of(side), main: of(main), gap: inches(gap).max(0.0) };
    let (pounds, mode) = pounds(&plane);
    Ok(Lateral {
        newtons: pounds * NEWTONS_PER_POUND,
        basis: vec![
            format!(
                "yield mode {mode}, NDS 2018 §12.3.1, with the gap of AWC Technical Report 12, both from memory"
            ),
            format!(
                "root diameter {root} in, bending yield strength {bending} psi (NDS 2018 Tables L3 and 12L, from memory)"
            ),
            format!("specific gravity {} ({}) in front", side.0.value, side.0.standing()),
            "reference design value, before adjustment for how long the load lasts, damp and heat"
                .to_string(),
            NO_ENGINEER.to_string(),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wood::Flag;

    fn plane(diameter: f64, bending: f64, gravity: f64, side: f64, main: f64) -> Plane {
        let strength = bearing_strength(gravity);
        Plane { diameter, bending, side: (strength, side), main: (strength, main), gap: 0.0 }
    }

    /// NDS 2018 Table 12.3.3 prints these, rounded to 50 psi (from memory).
    #[test]
    fn bearing_strengths_are_those_of_the_table() {
        for (gravity, printed) in [(0.67, 7950.0), (0.55, 5550.0), (0.50, 4650.0), (0.42, 3350.0)] {
            assert!((bearing_strength(gravity) - printed).abs() <= 25.0, "{gravity}");
        }
    }

    /// Common wire nails, penetration 10·D, Douglas fir-larch (0.50): 8d (0.131") with 3/4" 90 lb, 10d (0.148") and 16d (0.162") with
    /// 1 1/2" 118 and 141 lb (NDS 2018 Table 12N; from memory; printed to a pound, from bearing strengths rounded to 50 psi).
    #[test]
    fn nails_bear_what_the_table_has() {
        for (diameter, bending, side, printed) in
            [(0.131, 100_000.0, 0.75, 90.0), (0.148, 90_000.0, 1.5, 118.0), (0.162, 90_000.0, 1.5, 141.0)]
        {
            let (found, _) = pounds(&plane(diameter, bending, 0.50, side, 10.0 * diameter));
            assert!((found - printed).abs() <= 1.0, "{diameter}: {found}, not {printed}");
        }
    }

    /// Wood screws #6, penetration 10·D: 1/2" and 3/4" boards in front, by specific gravity (NDS 2018 Table 12L; from memory).
    #[test]
    fn wood_screws_bear_what_the_table_has() {
        let inch = |parts: i64| Length::from_units(Length::INCH.units() * parts / 1000);
        let rows = [
            (500, [(0.67, 88.0), (0.55, 67.0), (0.50, 59.0), (0.49, 57.0), (0.46, 53.0)]),
            (750, [(0.67, 94.0), (0.55, 79.0), (0.50, 72.0), (0.49, 71.0), (0.46, 65.0)]),
        ];
        for (side, row) in rows {
            for (gravity, printed) in row {
                let gravity = Value { value: gravity, flag: Flag::FromMemory, source: "NDS" };
                let (side, main) = ((gravity, inch(side)), (gravity, inch(1380)));
                let screw = Sheared { number: 6, side, main, gap: Length::ZERO };
                let found = lateral(&screw).expect("a value").newtons / NEWTONS_PER_POUND;
                assert!((found - printed).abs() <= 1.0, "{found}, not {printed}");
                // A layer between that bears nothing always takes away.
                let apart = lateral(&Sheared { gap: inch(500), ..screw }).expect("a value");
                assert!(apart.newtons < lateral(&screw).expect("a value").newtons);
            }
        }
    }

    /// Without a gap the modes are the closed forms of NDS 2018 Table 12.3.1A (from memory), whose k_1, k_2, k_3 are written out here.
    #[test]
    fn without_a_gap_the_modes_are_those_of_the_standard() {
        let rows: [(f64, f64, f64, f64); 4] = [
            (0.1, 0.2, 5000.0, 3000.0),
            (0.75, 1.2, 3350.0, 4650.0),
            (2.0, 0.3, 2000.0, 7950.0),
            (0.5, 4.0, 6000.0, 2500.0),
        ];
        for (side, main, f_s, f_m) in rows {
            let (d, bending): (f64, f64) = (0.131, 90_000.0);
            let (re, rt) = (f_m / f_s, main / side);
            let k1 = ((re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re * re * re).sqrt()
                - re * (1.0 + rt))
                / (1.0 + re);
            let k2 = -1.0
                + (2.0 * (1.0 + re) + 2.0 * bending * (1.0 + 2.0 * re) * d * d / (3.0 * f_m * main * main))
                    .sqrt();
            let k3 = -1.0
                + (2.0 * (1.0 + re) / re + 2.0 * bending * (2.0 + re) * d * d / (3.0 * f_m * side * side))
                    .sqrt();
            let modes = [
                d * main * f_m,
                d * side * f_s,
                k1 * d * side * f_s,
                k2 * d * main * f_m / (1.0 + 2.0 * re),
                k3 * d * side * f_m / (2.0 + re),
                d * d * (2.0 * f_m * bending / (3.0 * (1.0 + re))).sqrt(),
            ];
            let wanted = modes.into_iter().fold(f64::INFINITY, f64::min) / 2.2;
            let found =
                pounds(&Plane { diameter: d, bending, side: (f_s, side), main: (f_m, main), gap: 0.0 }).0;
            assert!((found - wanted).abs() < 1e-6 * wanted, "{found}, not {wanted}");
        }
    }
}
