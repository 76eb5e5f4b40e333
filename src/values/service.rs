//! What the wood does in service, as asked: moistures, loads, densities. Numbers with the units of the trade, read as they
//! stand: these are no formulas. Knows no wood.

use super::solver::{Scope, Solver};
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::spec::language::{CutChoice, ServiceSpec, StockSpec};
use crate::spec::read::{OneOrMany, Words};
use crate::trade::{GRAVITY, KILOGRAMS_PER_POUND, NEWTONS_PER_POUND, Units};

/// Where the work stands and what is asked of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Service {
    /// Relative humidity of the driest and the wettest time of the year, %.
    pub humidity: (f64, f64),
    /// Temperature of the room, °C.
    pub celsius: f64,
    /// Driest and wettest moisture of the wood itself, %, where it is known better than from the air.
    pub moisture: Option<(f64, f64)>,
    /// A span may sag by its so many-th part.
    pub sag: i64,
    /// Species of the studs behind a wall.
    pub studs: Option<Words>,
    /// What covers the studs.
    pub wallboard: Length,
    /// Heavier than this, kg, is for two people; `None`: the usual limit of the trade.
    pub lift: Option<f64>,
}

impl Default for Service {
    /// A heated room in most of the United States: 30 % to 60 % at 70 °F (common practice), wallboard of 1/2".
    fn default() -> Service {
        Service {
            humidity: (30.0, 60.0),
            celsius: (70.0 - 32.0) / 1.8,
            moisture: None,
            sag: 600,
            studs: None,
            wallboard: Length::INCH.half(),
            lift: None,
        }
    }
}

/// What a stock is as wood, as far as the spec says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wood {
    /// At the shop, %.
    pub moisture: Option<f64>,
    pub sawn: Option<Sawn>,
    /// Name of what stands in for it in the tables.
    pub like: Option<Words>,
    /// kg/m³
    pub density: Option<f64>,
    /// psi
    pub modulus: Option<f64>,
}

/// How solid wood is sawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sawn {
    Flat,
    Quarter,
    Mixed,
}

/// What a part carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// Newtons at its weakest place; comes and goes.
    Point(f64),
    /// Newtons to a metre of its length; stays.
    Along(f64),
    /// A shelf full of books.
    Books,
    /// People who sit down on it.
    Seat,
}

/// Pascals to one psi: 4.448… N on (0.0254 m)².
const PSI_PER_PASCAL: f64 = 0.0254 * 0.0254 / NEWTONS_PER_POUND;

/// Units of a kind of measure: as typed, and by what the number is multiplied.
type Notation = &'static [(&'static str, f64)];

const PERCENT: Notation = &[("%", 1.0), ("", 1.0)];
const MASS: Notation = &[("lb", KILOGRAMS_PER_POUND), ("lbs", KILOGRAMS_PER_POUND), ("kg", 1.0)];
/// Newtons.
const FORCE: Notation = &[
    ("lb", NEWTONS_PER_POUND),
    ("lbs", NEWTONS_PER_POUND),
    ("lbf", NEWTONS_PER_POUND),
    ("kg", GRAVITY),
    ("N", 1.0),
    ("kN", 1000.0),
];
/// Newtons to a metre.
const FORCE_ALONG: Notation = &[
    ("lb/ft", NEWTONS_PER_POUND / 0.3048),
    ("lbs/ft", NEWTONS_PER_POUND / 0.3048),
    ("kg/m", GRAVITY),
    ("N/m", 1.0),
    ("kN/m", 1000.0),
];
/// kg/m³
const DENSITY: Notation = &[
    ("kg/m3", 1.0),
    ("kg/m³", 1.0),
    ("g/cm3", 1000.0),
    ("g/cm³", 1000.0),
    ("lb/ft3", KILOGRAMS_PER_POUND / (0.3048 * 0.3048 * 0.3048)),
    ("lb/ft³", KILOGRAMS_PER_POUND / (0.3048 * 0.3048 * 0.3048)),
];
/// psi
const MODULUS: Notation = &[
    ("psi", 1.0),
    ("million psi", 1e6),
    ("MPa", 1e6 * PSI_PER_PASCAL),
    ("N/mm2", 1e6 * PSI_PER_PASCAL),
    ("N/mm²", 1e6 * PSI_PER_PASCAL),
    ("GPa", 1e9 * PSI_PER_PASCAL),
];

/// No measure has more digits than these.
const LONGEST: usize = 40;

/// The number and the unit behind it.
fn parted(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let of_number = |c: &char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E');
    let most = text.chars().take_while(of_number).take(LONGEST).count();
    // The longest beginning that is a number: `1.6e6 psi` holds an exponent, `8 e` does not.
    let (number, at) = (1..=most).rev().find_map(|at| {
        let number = text.get(..at)?.parse::<f64>().ok()?;
        number.is_finite().then_some((number, at))
    })?;
    Some((number, text.get(at..)?.trim()))
}

fn measured(text: &str, notation: Notation) -> Option<f64> {
    let (number, unit) = parted(text)?;
    let (_, factor) = notation.iter().find(|(known, _)| *known == unit)?;
    Some(number * factor).filter(|value| value.is_finite())
}

fn unreadable(words: &Words, what: &str, cure: &str, faults: &mut Faults) {
    let message = format!("{what} cannot be read from `{}`", words.text.trim());
    faults.push(Diagnostic::error("measure-notation", words.place, message).propose(cure));
}

/// Told of a measure that is read well and is none of wood, rooms and work.
fn beyond(words: &Words, what: &str, range: &str, cure: &str, faults: &mut Faults) {
    let message = format!("{what} is {range}, not {}", words.text.trim());
    faults.push(Diagnostic::error("measure-notation", words.place, message).propose(cure));
}

/// A kind of measure: its units, the most that it may be, this said in words, and how it is written.
struct Kind {
    notation: Notation,
    most: f64,
    range: &'static str,
    cure: &'static str,
}

const LIFT: Kind =
    Kind { notation: MASS, most: 1000.0, range: "above 0 and at most 1000 kg", cure: "write 50 lb or 20 kg" };
const HEAVY: Kind = Kind {
    notation: DENSITY,
    most: 25_000.0,
    range: "above 0 and at most 25 000 kg/m3",
    cure: "write 640 kg/m3 or 40 lb/ft3",
};
const STIFF: Kind = Kind {
    notation: MODULUS,
    most: 1e8,
    range: "above 0 and at most 1e8 psi",
    cure: "write 1.6e6 psi or 11 GPa",
};

/// A measure above zero, as far as its kind goes.
fn above_zero(words: &Words, what: &str, kind: &Kind, faults: &mut Faults) -> Option<f64> {
    match measured(&words.text, kind.notation) {
        Some(value) if value > 0.0 && value <= kind.most => Some(value),
        Some(_) => {
            beyond(words, what, kind.range, kind.cure, faults);
            None
        }
        None => {
            unreadable(words, what, kind.cure, faults);
            None
        }
    }
}

/// A per cent between 0 and `most`, both counted.
fn percent(words: &Words, what: &str, most: f64, faults: &mut Faults) -> Option<f64> {
    let cure = format!("write a per cent from 0 to {most}, such as 8%");
    match measured(&words.text, PERCENT) {
        Some(value) if (0.0..=most).contains(&value) => Some(value),
        Some(_) => {
            beyond(words, what, &format!("from 0 to {most} %"), &cure, faults);
            None
        }
        None => {
            unreadable(words, what, &cure, faults);
            None
        }
    }
}

/// Driest and wettest, in this order; one value stands for both.
fn season(list: &OneOrMany<Words>, what: &str, most: f64, faults: &mut Faults) -> Option<(f64, f64)> {
    let found: Vec<Option<f64>> = list.0.iter().map(|words| percent(words, what, most, faults)).collect();
    let (first, range) = match (list.0.as_slice(), found.as_slice()) {
        ([one], [value]) => (one, ((*value)?, (*value)?)),
        ([one, _], [low, high]) => (one, ((*low)?, (*high)?)),
        ([first, ..], _) => {
            unreadable(first, what, "give two values: driest, wettest", faults);
            return None;
        }
        ([], _) => return None,
    };
    if range.0 > range.1 {
        let message = format!("{what}: the driest, {} %, is above the wettest, {} %", range.0, range.1);
        faults.push(Diagnostic::error("measure-notation", first.place, message).propose("swap the two"));
        return None;
    }
    Some(range)
}

/// °C; a bare number is in the unit that goes with the spec's lengths.
fn celsius(words: &Words, units: Units, faults: &mut Faults) -> Option<f64> {
    let read = parted(&words.text).and_then(|(number, unit)| match (unit, units) {
        ("F" | "°F", _) | ("", Units::Inch) => Some((number - 32.0) / 1.8),
        ("C" | "°C", _) | ("", Units::Millimetre) => Some(number),
        _ => None,
    });
    let (what, cure) = ("the temperature", "write 70 F or 21 C");
    match read {
        Some(celsius) if (0.0..=100.0).contains(&celsius) => Some(celsius),
        Some(_) => {
            beyond(words, what, "from 0 to 100 °C, 32 to 212 °F", cure, faults);
            None
        }
        None => {
            unreadable(words, what, cure, faults);
            None
        }
    }
}

/// What a part carries; `None` where it cannot be read, which is told.
pub(crate) fn load(words: &Words, faults: &mut Faults) -> Option<Load> {
    let text = words.text.trim();
    let read = match text {
        "books" => return Some(Load::Books),
        "seat" => return Some(Load::Seat),
        _ => (measured(text, FORCE).map(|newtons| (newtons, Load::Point(newtons))))
            .or_else(|| measured(text, FORCE_ALONG).map(|newtons| (newtons, Load::Along(newtons)))),
    };
    let cure = "write a force such as 250 lb or 1.1 kN, one along the part such as 25 lb/ft or 35 kg/m, or `books` or `seat`";
    match read {
        Some((newtons, load)) if newtons > 0.0 && newtons <= MOST_LOAD => Some(load),
        Some(_) => {
            beyond(
                words,
                "a load",
                "above 0 and at most 10 000 kN, or 10 000 kN/m along the part",
                cure,
                faults,
            );
            None
        }
        None => {
            unreadable(words, "the load", cure, faults);
            None
        }
    }
}

/// The most that a part can be said to carry, N or N/m: beyond all joinery, and well within what can be reckoned with.
const MOST_LOAD: f64 = 1e7;

pub(super) fn service(solver: &mut Solver) -> Service {
    let Some(spec) = &solver.spec.service else { return Service::default() };
    let usual = Service::default();
    let ServiceSpec { humidity, temperature, moisture, sag, studs, wallboard, lift, .. } = spec;
    let part = sag.as_ref().and_then(|sag| solver.whole(sag, Scope::JOB).map(|part| (sag, part)));
    let part = part.and_then(|(sag, part)| {
        if (50..=10_000).contains(&part) {
            return Some(part);
        }
        let message = format!("a span may sag by span/50 to span/10 000, not by span/{part}");
        let fault = Diagnostic::error("measure-notation", sag.place, message);
        solver.faults.push(fault.propose("write `sag: 600` for span/600"));
        None
    });
    let wallboard =
        wallboard.as_ref().and_then(|wall| solver.not_negative(wall, Scope::JOB, "what covers the studs"));
    let units = solver.units;
    let faults = &mut solver.faults;
    Service {
        humidity: season(humidity, "the humidity of the room", 95.0, faults).unwrap_or(usual.humidity),
        celsius: temperature.as_ref().and_then(|t| celsius(t, units, faults)).unwrap_or(usual.celsius),
        moisture: season(moisture, "the moisture of the wood in service", 30.0, faults),
        sag: part.unwrap_or(usual.sag),
        studs: studs.clone(),
        wallboard: wallboard.unwrap_or(usual.wallboard),
        lift: lift.as_ref().and_then(|lift| above_zero(lift, "what one person lifts", &LIFT, faults)),
    }
}

pub(super) fn wood(solver: &mut Solver, body: &StockSpec) -> Wood {
    let spec = &body.wood;
    let faults = &mut solver.faults;
    let solid = body.board.is_some_and(|flag| flag.on);
    for (key, given) in [("moisture", spec.moisture.is_some()), ("cut", spec.cut.is_some())] {
        if given && !solid {
            let place = body.keys.key(key).unwrap_or(body.place);
            let message = format!("`{key}` is for solid wood, but this is no `board`");
            faults
                .push(Diagnostic::error("stock-form", place, message).propose(format!("leave `{key}` out")));
        }
    }
    let density = |words: &Words, faults: &mut Faults| above_zero(words, "the density", &HEAVY, faults);
    let modulus =
        |words: &Words, faults: &mut Faults| above_zero(words, "the modulus of elasticity", &STIFF, faults);
    Wood {
        moisture: spec.moisture.as_ref().and_then(|m| percent(m, "the moisture at the shop", 30.0, faults)),
        sawn: spec.cut.map(|cut| match cut {
            CutChoice::Flat => Sawn::Flat,
            CutChoice::Quarter => Sawn::Quarter,
            CutChoice::Mixed => Sawn::Mixed,
        }),
        like: spec.like.clone(),
        density: spec.density.as_ref().and_then(|words| density(words, faults)),
        modulus: spec.modulus.as_ref().and_then(|words| modulus(words, faults)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_are_read_with_the_units_of_the_trade() {
        let near = |found: Option<f64>, wanted: f64| {
            found.is_some_and(|found| (found - wanted).abs() <= 1e-4 * wanted.abs())
        };
        assert_eq!(measured("8%", PERCENT), Some(8.0));
        assert_eq!(measured(" 6.5 % ", PERCENT), Some(6.5));
        // 250 lb is 1112 N (ADA 2010 §903.6 prints both).
        assert!(measured("250 lb", FORCE).is_some_and(|newtons| newtons.round() == 1112.0));
        // 25 lb/ft: 25 × 4.44822 N on 0.3048 m = 364.85 N/m; one kilogram weighs 9.80665 N.
        assert!(near(measured("25 lb/ft", FORCE_ALONG), 364.85));
        assert!(near(measured("10kg/m", FORCE_ALONG), 98.0665));
        // 1 lb/ft³ is 16.0185 kg/m³ and 1 psi 6894.76 Pa (NIST SP 811, appendix B.8).
        assert!(near(measured("40 lb/ft3", DENSITY), 640.74));
        assert!(near(measured("6.89476 MPa", MODULUS), 1000.0));
        assert_eq!(measured("1.6e6 psi", MODULUS), Some(1.6e6));
        for text in ["", "lb", "heavy", "25 stone", "inf lb", "nan", "1e999 lb", "3 4 lb"] {
            assert_eq!(measured(text, FORCE), None, "{text}");
        }
    }
}
