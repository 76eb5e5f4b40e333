//! Whether a sheet measures what it is called. The measured thickness always governs; a measure outside every rule for
//! the name is more often a slip of the pen than an odd sheet.

use super::measure::{ROUGH_SOURCE, rough_in, thickness_in};
use super::panels::{self, BIRCH_PLY, BIRCH_SHEET};
use super::{Flag, has_words, plain};
use crate::length::{Interval, Length};

/// Thicknesses that a name may stand for, and by which rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rule {
    pub within: Interval,
    /// Publication and table or clause.
    pub source: &'static str,
    pub flag: Flag,
}

/// What came of holding a measured thickness against a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Called {
    /// It may be what it is called, by this rule.
    Fits(Rule),
    /// No rule for the name allows it; the rule it misses by the least, and by how much: positive where it is too thick.
    Misses { rule: Rule, by: Length },
    /// No rule is known for the name.
    NoRule,
}

/// Holds the measured thickness of a sheet, or of a board of rough size, against what it is `called`.
pub fn judge(called: &str, measured: Length) -> Called {
    let off = |rule: &Rule| {
        if measured < rule.within.low {
            measured - rule.within.low
        } else if measured > rule.within.high {
            measured - rule.within.high
        } else {
            Length::ZERO
        }
    };
    match rules(called).into_iter().min_by_key(|rule| off(rule).abs()) {
        None => Called::NoRule,
        Some(rule) if off(&rule) == Length::ZERO => Called::Fits(rule),
        Some(rule) => Called::Misses { by: off(&rule), rule },
    }
}

/// How the faces of plywood are left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Faces {
    /// Unsanded, touch-sanded or overlaid.
    Unsanded,
    Sanded,
}

const PS1: &str = "PS 1-19 thickness tolerances";
const HP1: &str = "ANSI/HPVA HP-1-2020 thickness tolerances";
const MILLS: &str = "European mills' thickness tolerances for sanded plywood (as EN 315)";

/// Performance categories of plywood, in 1/32 in (PS 1-19; restated).
pub const CATEGORIES: [i64; 10] = [8, 12, 15, 16, 19, 20, 23, 24, 32, 36];

/// A 1/64 in.
const SIXTY_FOURTH: Length = Length::from_units(Length::INCH.units() / 64);

/// Thicknesses that plywood of a performance category may have at 9 % moisture (PS 1-19; restated): unsanded ±1/32 in up
/// to 13/16 in and ±5 % above, sanded ±1/64 in up to 3/4 in and ±3 % above.
pub fn plywood(category: Length, faces: Faces) -> Interval {
    let (fixed, up_to, per_cent) = match faces {
        Faces::Unsanded => (SIXTY_FOURTH * 2, SIXTY_FOURTH * 52, 5),
        Faces::Sanded => (SIXTY_FOURTH, SIXTY_FOURTH * 48, 3),
    };
    let off = if category <= up_to { fixed } else { (category * per_cent).shared_by(100).0 };
    Interval { low: category - off, high: category + off }
}

/// Nominal thickness, and how far below and above it a mill delivers, in 1/10 mm ([`MILLS`]; restated).
const MILL_TOLERANCES: [(i64, i64, i64); 3] = [(90, 5, 4), (120, 7, 5), (180, 9, 7)];

/// An inch name may exceed the metric sheet that is sold under it by so much: 3/4 in against 18 mm (common practice).
const INCH_NAME_OVER: Length = Length::from_units(11 * 8_000);

fn rules(called: &str) -> Vec<Rule> {
    let rule = |low, high, source, flag| Rule { within: Interval { low, high }, source, flag };
    let Some(panel) = panels::named_in(called) else {
        // Surfacing can leave any thickness, but never more than the rough one.
        let rough = rough_in(called).into_iter();
        return rough.map(|row| rule(Length::ZERO, row.rough, ROUGH_SOURCE, row.flag)).collect();
    };
    let Some(thick) = thickness_in(called).filter(|_| !panel.composition) else { return Vec::new() };
    let mut rules = Vec::new();
    let whole_millimetres = thick.units() % (Length::MM.units() / 2) == 0;
    let tenth = Length::from_units(Length::MM.units() / 10);
    let in_inches = thick.units() % SIXTY_FOURTH.units() == 0;
    if panel.name == "birch plywood" {
        let sold_as = |nominal: Length| {
            if whole_millimetres { nominal == thick } else { (thick - nominal).abs() <= INCH_NAME_OVER }
        };
        let rows = BIRCH_PLY.iter().filter(|row| sold_as(row.nominal));
        rules.extend(rows.map(|row| rule(row.least, row.most, BIRCH_SHEET, Flag::Seen)));
    }
    if whole_millimetres {
        let rows = MILL_TOLERANCES.iter().filter(|row| tenth * row.0 == thick);
        rules.extend(rows.map(|row| {
            let (low, high) = (thick - tenth * row.1, thick + tenth * row.2);
            rule(low, high, MILLS, Flag::Restated)
        }));
    }
    if in_inches {
        if CATEGORIES.iter().any(|category| SIXTY_FOURTH * 2 * *category == thick) {
            let sanded = has_words(&plain(called), "sanded");
            let range = plywood(thick, if sanded { Faces::Sanded } else { Faces::Unsanded });
            rules.push(Rule { within: range, source: PS1, flag: Flag::Restated });
        }
        if panel.name != "plywood" && thick >= SIXTY_FOURTH * 16 {
            rules.push(rule(thick - SIXTY_FOURTH * 3, thick, HP1, Flag::FromMemory));
        }
    }
    rules
}
