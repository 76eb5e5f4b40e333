//! What wood weighs, how far it moves, bends and holds, and what the trade calls its sizes: pure functions and small
//! tables. Every number carries where it comes from and how well it is known, so that a sheet can say so. Knows no
//! spec, part, check or paper; who calls decides what is a fault.
//!
//! Lengths are exact [`crate::length::Length`]s; loads, stiffness, moisture and mass are `f64` in the unit that the
//! source uses, named in each doc comment. The figures are for planning. Whatever carries people or hangs over them is
//! for the local code and an engineer: see [`NO_ENGINEER`].

pub mod bending;
pub mod called;
pub mod lateral;
pub mod measure;
pub mod movement;
pub mod panels;
pub mod species;
pub mod spread;
pub mod weight;
pub mod withdrawal;

pub use crate::trade::{KILOGRAMS_PER_POUND, NEWTONS_PER_POUND};

/// How well a number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Flag {
    /// Read in the source itself.
    Seen,
    /// Read in a text that restates the source.
    Restated,
    /// Worked out by the source's own rule from numbers of the source.
    Computed,
    /// A rule of the trade without a source.
    CommonPractice,
    /// From memory; not yet held against the source.
    FromMemory,
}

impl Flag {
    /// The words that a sheet and a list use.
    pub const fn words(self) -> &'static str {
        match self {
            Flag::Seen => "seen in the source",
            Flag::Restated => "restated from the source",
            Flag::Computed => "computed by the source's rule",
            Flag::CommonPractice => "common practice",
            Flag::FromMemory => "from memory",
        }
    }
}

/// A number out of a table, with its standing. Its unit is that of the field that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    pub value: f64,
    pub flag: Flag,
    /// Publication and table or clause.
    pub source: &'static str,
}

impl Value {
    /// Source and standing in one clause: `USDA FPL-GTR-190 Table 13-5, seen in the source`.
    pub fn standing(&self) -> String {
        format!("{}, {}", self.source, self.flag.words())
    }
}

/// Said on every result about loads.
pub const NO_ENGINEER: &str = "a planning figure that replaces no engineer: follow the local code, and have whatever carries people or hangs over them checked by someone licensed to";

/// N/mm² to one pound per square inch.
pub const MPA_PER_PSI: f64 = NEWTONS_PER_POUND / (25.4 * 25.4);

/// kg/m³ to one pound per cubic foot.
pub const KG_M3_PER_LB_FT3: f64 = KILOGRAMS_PER_POUND / (0.3048 * 0.3048 * 0.3048);

/// A name as one types it, made comparable: lower case, single spaces for hyphens and underscores.
fn plain(name: &str) -> String {
    let spaced: String = name.chars().map(|c| if c == '-' || c == '_' { ' ' } else { c }).collect();
    spaced.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// True where the words of `part` stand side by side in `whole`; both are plain.
fn has_words(whole: &str, part: &str) -> bool {
    format!(" {whole} ").contains(&format!(" {part} "))
}

/// What is named in a label, of things with their names: the one with the longest name that stands there; `None` where
/// two equally long ones do, for then the label does not say which.
fn named_in<T>(label: &str, all: impl Iterator<Item = (T, Vec<&'static str>)>) -> Option<T> {
    let label = plain(&label.replace([',', ';', '(', ')'], " "));
    let mut best: Option<(usize, Option<T>)> = None;
    for (thing, names) in all {
        let Some(length) = names.into_iter().filter(|n| has_words(&label, &plain(n))).map(str::len).max()
        else {
            continue;
        };
        match &mut best {
            Some((longest, _)) if length < *longest => {}
            Some((longest, none)) if length == *longest => *none = None,
            _ => best = Some((length, Some(thing))),
        }
    }
    best.and_then(|(_, thing)| thing)
}
