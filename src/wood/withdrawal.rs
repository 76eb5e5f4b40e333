//! What screws hold when they are pulled straight out of wood: reference design values per inch of thread. They are
//! values for design, not for breaking, and before any adjustment for how long the load lasts, damp or heat.

use std::fmt;

use super::{NEWTONS_PER_POUND, NO_ENGINEER, Value};
use crate::length::Length;

/// What the thread stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DrivenInto {
    /// Across the grain.
    SideGrain,
    /// Along the grain.
    EndGrain,
}

/// A threaded fastener and its shank diameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fastener {
    /// Wood screw; see [`screw_diameter`].
    WoodScrew(Length),
    /// Lag screw, nominal diameter.
    LagScrew(Length),
}

/// Diameter of the unthreaded shank of a numbered wood screw: 0.060 + 0.013·n in, exactly (relation of ASME B18.6.1,
/// restated). `None` above #24, the largest made (from memory).
pub const fn screw_diameter(number: u8) -> Option<Length> {
    if number > 24 {
        return None;
    }
    Some(Length::from_units((60 + 13 * number as i64) * (Length::INCH.units() / 1000)))
}

/// End grain factor C_eg of lag screws (NDS 2018 §12.5.2; the value restated, the clause number from memory).
pub const LAG_END_GRAIN: f64 = 0.75;

/// Specific gravities that the tables of the design standard span (NDS 2018 Tables 12.2A, 12.2B; from memory).
const GRAVITY: (f64, f64) = (0.31, 0.73);

/// A withdrawal value and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// Reference design value, pounds to an inch of thread.
    pub pounds_per_inch: f64,
    /// For the whole thread, newtons.
    pub newtons: f64,
    /// What the figure rests on, a clause each, the caution last.
    pub basis: Vec<String>,
}

/// Why no value is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoHolding {
    /// Wood screws must not be loaded in withdrawal from end grain.
    EndGrain,
    /// Outside the range of the standard's tables.
    Gravity(f64),
    /// The diameter is outside the range of the standard's tables.
    Diameter(Length),
    /// The length of thread is not positive.
    Thread(Length),
}

impl fmt::Display for NoHolding {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoHolding::EndGrain => to.write_str(
                "a wood screw in end grain must not be relied on to hold against pulling out; turn the screw into side grain or use another joint",
            ),
            NoHolding::Gravity(g) => write!(
                to,
                "no withdrawal value is given for a specific gravity of {g}: the tables run from {} to {}",
                GRAVITY.0, GRAVITY.1
            ),
            NoHolding::Diameter(d) => {
                write!(to, "no withdrawal value is given for a diameter of {:.2} mm", d.to_mm())
            }
            NoHolding::Thread(l) => {
                write!(to, "{:.2} mm of thread hold nothing; give the length of thread in the wood", l.to_mm())
            }
        }
    }
}

impl std::error::Error for NoHolding {}

/// What a fastener holds against being pulled straight out.
///
/// Wood screws: W = 2850·G²·D lb per inch of thread (NDS 2018 Eq. 12.2-2), side grain only. Lag screws:
/// W = 1800·G^(3/2)·D^(3/4) (Eq. 12.2-1), × 0.75 in end grain. G is the specific gravity for fasteners
/// ([`super::species::Species::fastener_gravity`]), D in inches. Both restated.
///
/// `thread` is the length of thread within the wood that holds, for lag screws without the tapered tip (from memory).
///
/// # Errors
/// See [`NoHolding`].
pub fn holding(
    fastener: Fastener,
    gravity: Value,
    thread: Length,
    into: DrivenInto,
) -> Result<Holding, NoHolding> {
    let g = gravity.value;
    if !(GRAVITY.0..=GRAVITY.1).contains(&g) {
        return Err(NoHolding::Gravity(g));
    }
    if !thread.is_positive() {
        return Err(NoHolding::Thread(thread));
    }
    let inches = |length: Length| length.units() as f64 / Length::INCH.units() as f64;
    let (pounds_per_inch, equation) = match fastener {
        Fastener::WoodScrew(diameter) => {
            // #0 to #24.
            if !(0.060..=0.372).contains(&inches(diameter)) {
                return Err(NoHolding::Diameter(diameter));
            }
            if into == DrivenInto::EndGrain {
                return Err(NoHolding::EndGrain);
            }
            (2850.0 * g * g * inches(diameter), "wood screw, NDS 2018 Eq. 12.2-2, restated from the source")
        }
        Fastener::LagScrew(diameter) => {
            // 1/4 to 1 1/4 in (NDS 2018 Table 12.2A; from memory).
            if !(0.25..=1.25).contains(&inches(diameter)) {
                return Err(NoHolding::Diameter(diameter));
            }
            let end = if into == DrivenInto::EndGrain { LAG_END_GRAIN } else { 1.0 };
            let value = 1800.0 * libm::pow(g, 1.5) * libm::pow(inches(diameter), 0.75) * end;
            (value, "lag screw, NDS 2018 Eq. 12.2-1, restated from the source")
        }
    };
    Ok(Holding {
        pounds_per_inch,
        newtons: pounds_per_inch * inches(thread) * NEWTONS_PER_POUND,
        basis: basis(equation, gravity, into),
    })
}

fn basis(equation: &str, gravity: Value, into: DrivenInto) -> Vec<String> {
    let mut basis = vec![
        equation.to_string(),
        format!("specific gravity {} ({})", gravity.value, gravity.standing()),
        "reference design value, before adjustment for how long the load lasts, damp and heat".to_string(),
        "straight pull on one fastener, with a pilot hole of the right size; neither the head pulling through nor the strength of the steel is looked at".to_string(),
    ];
    if into == DrivenInto::EndGrain {
        basis.push(format!("× {LAG_END_GRAIN} for end grain (NDS 2018 §12.5.2)"));
    }
    basis.push(NO_ENGINEER.to_string());
    basis
}
