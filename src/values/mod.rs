//! Spec in, values out: stock, things, the shop's figures and every named formula worked out, dimension checked.
//! Knows no board: formulas that name boards' faces are answered by `boards`, which adds each face that it places.

mod convert;
mod evaluate;
mod figures;
pub mod formula;
pub mod job;
mod lexer;
pub mod names;
mod parameters;
mod parser;
pub mod quantity;
mod sentence;
pub mod solver;

use crate::diagnose::Place;
use crate::length::Length;
use crate::trade::Units;

/// What the whole job shares.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    pub titles: Titles,
    pub units: Units,
    pub shop: Shop,
    pub stock: Vec<Stock>,
    pub things: Vec<Thing>,
    pub assemblies: Vec<Assembly>,
    pub sheets: SheetChoices,
}

/// Fields of the title block as they are printed; empty where nothing was given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Titles {
    pub title: String,
    pub number: String,
    pub client: String,
    pub site: String,
    pub date: String,
    pub revision: String,
    pub shop: String,
    pub drawn_by: String,
    pub approved_by: String,
}

/// What the shop can cut; `None` where the spec is silent and the check is left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shop {
    pub kerf: Option<Length>,
    pub rip: Option<Length>,
    pub crosscut: Option<Length>,
    pub bit: Option<Length>,
    pub least_wood: Option<Length>,
    /// The line of the spec each figure came from is that of `shop`.
    pub place: Place,
}

/// What boards are cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    pub name: String,
    pub place: Place,
    /// Actual.
    pub thick: Length,
    pub thick_place: Place,
    pub called: Option<String>,
    pub species: Option<String>,
    pub form: StockForm,
}

#[derive(Clone, Debug, PartialEq)]
pub enum StockForm {
    /// Width and length of a whole sheet.
    Sheet { width: Length, length: Length, grain: SheetGrain },
    /// Solid wood; empty lists: not limited.
    Solid { widths: Vec<Length>, lengths: Vec<Length>, glue_up: bool },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetGrain {
    AlongLength,
    AlongWidth,
    None,
}

/// A thing to be stored, at its largest.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    pub name: String,
    pub place: Place,
    pub width: Length,
    pub depth: Length,
    pub height: Length,
    pub clearance: Length,
}

/// An assembly and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    pub name: String,
    pub place: Place,
    /// Room position of the assembly's own zero.
    pub at: [Length; 3],
    /// Quarter turns to the left, seen from above, about that zero.
    pub turns: u8,
    /// Name of the template, where one was used.
    pub template: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetChoices {
    /// As in the spec: `a3`, `tabloid` …
    pub paper: String,
    pub asme: bool,
    pub third_angle: bool,
    pub units: Units,
    pub step: Length,
}
