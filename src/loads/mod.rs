//! What is made in, what the wood does in service out: weights and centres of gravity, movement across the grain, sag of
//! what bears a load, pull and downward load on screws in a wall. Figures for planning, each with what it rests on. Knows no paper, and says
//! nothing is wrong: that is for the checks.

mod hangings;
mod movements;
mod spans;
mod supports;
mod wall;
mod weights;

pub use hangings::{Hanging, hangings};
pub use movements::{Floating, Held, MOST_HELD, Movement, movements};
pub use spans::{Sag, Span, spans};
pub use wall::Wanting;
pub use weights::{AssemblyWeight, PartWeight, Weights, told, weights};

use crate::length::Length;
use crate::parts::{Made, Placed};
use crate::trade::{Axis, Units};
use crate::values::Load;
use crate::wood::{KILOGRAMS_PER_POUND, NEWTONS_PER_POUND};

/// What the wood of a job does in service.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loads {
    pub weights: Weights,
    pub movements: Vec<Movement>,
    pub spans: Vec<Span>,
    pub hangings: Vec<Hanging>,
}

/// Works out all of it.
pub fn loads(made: &Made) -> Loads {
    let weights = weights(made);
    let hangings = hangings(made, &weights);
    Loads { movements: movements(made), spans: spans(made), hangings, weights }
}

/// A shelf full of books: 25 lb to the foot (20 to 25 is usual; from memory), newtons to a metre.
const BOOKS: f64 = 25.0 * NEWTONS_PER_POUND / 0.3048;
/// A bench carries 250 lb (1112 N) at any point (ADA 2010 §903.6).
const SEAT: f64 = 250.0 * NEWTONS_PER_POUND;

/// What a board carries.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Carried {
    load: Load,
    /// True where the spec says nothing of it and it is taken by the part's name.
    supposed: bool,
}

/// What a board carries as the spec says, or, where it says nothing, what one that lies is taken to carry by its name.
fn carried(placed: &Placed) -> Option<Carried> {
    if let Some(load) = placed.board.load {
        return Some(Carried { load, supposed: false });
    }
    let mut words = placed.board.entry.split('_');
    let load = match placed.solid.normal() {
        Axis::Up if words.clone().any(|word| matches!(word, "shelf" | "shelves")) => Load::Books,
        Axis::Up if words.any(|word| word == "seat") => Load::Seat,
        _ => return None,
    };
    Some(Carried { load, supposed: true })
}

/// A load as it acts.
#[derive(Clone, Debug, PartialEq)]
struct Acting {
    /// Newtons to a metre of the part's longer side; stays.
    along: f64,
    /// Newtons at the weakest place; comes and goes.
    point: f64,
    /// What it is and by what right it is taken.
    says: String,
}

fn acting(load: Load, units: Units) -> Acting {
    match load {
        Load::Point(newtons) => Acting {
            along: 0.0,
            point: newtons,
            says: format!("{} at the weakest place", force(newtons, units)),
        },
        Load::Along(newtons) => Acting { along: newtons, point: 0.0, says: along(newtons, units) },
        Load::Books => {
            let says = format!("{}, a full shelf of books (from memory)", along(BOOKS, units));
            Acting { along: BOOKS, point: 0.0, says }
        }
        Load::Seat => {
            let says = format!("{} at any point, a seat (ADA 2010 §903.6)", force(SEAT, units));
            Acting { along: 0.0, point: SEAT, says }
        }
    }
}

/// A force in the unit of the job.
pub fn force(newtons: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb", newtons / NEWTONS_PER_POUND),
        Units::Millimetre => format!("{newtons:.0} N"),
    }
}

fn along(newtons: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb/ft", newtons / NEWTONS_PER_POUND * 0.3048),
        Units::Millimetre => format!("{newtons:.0} N/m"),
    }
}

/// A mass in both units, the job's own first.
pub fn mass(kilograms: f64, units: Units) -> String {
    let pounds = kilograms / KILOGRAMS_PER_POUND;
    match units {
        Units::Inch => format!("{pounds:.1} lb ({kilograms:.1} kg)"),
        Units::Millimetre => format!("{kilograms:.1} kg ({pounds:.1} lb)"),
    }
}

/// A computed length, rounded up to the next unit, and at most the longest that there is.
fn rounded_up(mm: f64) -> Length {
    let units = libm::ceil(mm * Length::MM.units() as f64).min(Length::LIMIT.units() as f64);
    Length::from_units(units as i64)
}
