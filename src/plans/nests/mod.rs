//! The parts of a job on its sheet goods.
//!
//! In: parts as they are cut, stock, saw, rack. Out: for every stock a [`Nest`]: sheets with their parts in place, the cuts in
//! the order to make them, and the offcuts kept. On a sheet x runs along its width and y along its length, from its lower left
//! corner, the good face up; rips run along the grain. A part lies with its show face up and is never mirrored.

mod matched;
mod place;
mod request;
mod sizes;

use crate::boards::BoardId;
use crate::diagnose::Faults;
use crate::length::Length;
use crate::parts::{Made, PartId};

/// Everything that is cut from the sheets of one stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nest {
    /// Index into [`crate::values::Job::stock`].
    pub stock: usize,
    /// In the order to cut them, offcuts of the rack first.
    pub sheets: Vec<NestSheet>,
    /// No layout takes fewer sheets, those of the rack included.
    pub bound: usize,
    /// Different settings of the fence over all sheets, edge trims apart.
    pub settings: usize,
    /// What the layout leaves between pieces: the saw's cut, or a cutting shop's bit where that is wider.
    pub kerf: Length,
}

impl Nest {
    /// Whole sheets to be bought: those that do not come from the rack.
    pub fn bought(&self) -> impl Iterator<Item = &NestSheet> {
        self.sheets.iter().filter(|sheet| !sheet.from_rack)
    }
}

/// One sheet, or one offcut from the rack, and how it is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestSheet {
    /// Counted over all sheets of the job, from 1.
    pub number: usize,
    /// Size along x.
    pub width: Length,
    /// Size along y.
    pub length: Length,
    pub from_rack: bool,
    /// Strip that comes off all round first, kerf included; 0 for the rack.
    pub trim: Length,
    /// Which way rips run; the grain too, where the stock has one.
    pub rips: Along,
    pub parts: Vec<NestedPart>,
    pub cuts: Vec<NestCut>,
    /// What is kept, the largest first.
    pub offcuts: Vec<Patch>,
}

impl NestSheet {
    /// Area of the parts over that of the sheet.
    pub fn share_used(&self) -> f64 {
        let used: f64 = self.parts.iter().map(|part| part.patch.square_mm()).sum();
        used / (self.width.to_mm() * self.length.to_mm()).max(f64::MIN_POSITIVE)
    }
}

/// A direction on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Along {
    /// x
    Width,
    /// y
    Length,
}

impl Along {
    pub const fn across(self) -> Along {
        match self {
            Along::Width => Along::Length,
            Along::Length => Along::Width,
        }
    }
}

/// A rectangle on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patch {
    /// Its lower left corner.
    pub x: Length,
    pub y: Length,
    /// Size along x.
    pub width: Length,
    /// Size along y.
    pub length: Length,
}

impl Patch {
    /// Its area in square millimetres.
    pub fn square_mm(&self) -> f64 {
        self.width.to_mm() * self.length.to_mm()
    }

    /// Size along a direction.
    pub fn size(&self, along: Along) -> Length {
        match along {
            Along::Width => self.width,
            Along::Length => self.length,
        }
    }

    /// Where it begins and ends along a direction.
    pub fn span(&self, along: Along) -> (Length, Length) {
        match along {
            Along::Width => (self.x, self.x + self.width),
            Along::Length => (self.y, self.y + self.length),
        }
    }
}

/// A part in its place on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestedPart {
    pub part: PartId,
    /// Which of the part's boards this piece becomes.
    pub board: BoardId,
    /// The rectangle that is cut, wood left on for scribing included.
    pub patch: Patch,
    /// Where the part's own datum corner, its (0, 0), lies on the sheet.
    pub datum: (Length, Length),
    /// Quarter turns counter-clockwise from the part's drawing to how it lies here, 0 to 3.
    pub quarter_turns: u8,
    /// The set that it is cut with, where the grain runs on from part to part.
    pub matched: Option<Matched>,
}

impl NestedPart {
    /// Where a point of the part's drawing lies on the sheet.
    pub fn to_sheet(&self, u: Length, v: Length) -> (Length, Length) {
        let (x, y) = quarter_turned(u, v, self.quarter_turns);
        (self.datum.0 + x, self.datum.1 + y)
    }

    /// True where the width of the part's drawing lies along the length of the sheet.
    pub fn lies_across(&self) -> bool {
        self.quarter_turns % 2 == 1
    }
}

/// A point turned about (0, 0), counter-clockwise.
pub fn quarter_turned(u: Length, v: Length, quarter_turns: u8) -> (Length, Length) {
    match quarter_turns % 4 {
        0 => (u, v),
        1 => (-v, u),
        2 => (-u, -v),
        _ => (v, -u),
    }
}

/// Place in a set of parts whose grain runs on from one to the next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matched {
    /// As the spec calls the set.
    pub set: String,
    /// From 1, left to right or bottom to top as they stand.
    pub place: usize,
    pub of: usize,
}

/// What a cut is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutKind {
    /// A strip off a factory edge.
    Trim,
    /// Along the grain.
    Rip,
    /// Across the grain.
    Crosscut,
}

impl CutKind {
    pub const fn word(self) -> &'static str {
        match self {
            CutKind::Trim => "trim",
            CutKind::Rip => "rip",
            CutKind::Crosscut => "crosscut",
        }
    }
}

/// One cut, right across a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestCut {
    /// Place in the cutting order of its sheet, from 1.
    pub number: usize,
    /// 0 for edge trims, 1 for the first cuts right across the sheet, and so on.
    pub stage: usize,
    pub kind: CutKind,
    /// Which way it runs.
    pub along: Along,
    /// Where the kept side ends, square to its run. The kerf lies beyond it, and before it at the lower and left edge trims.
    pub at: Length,
    /// Where it begins and ends along its run.
    pub from: Length,
    pub to: Length,
    /// Fence to blade: the size of the piece cut off. For edge trims the strip taken off, kerf included.
    pub setting: Length,
    /// Beyond the saw's rip or crosscut: made with a hand-held saw along a guide.
    pub by_hand: bool,
    /// What it cuts off, and what is left where that is the last of it.
    pub gives: Vec<Piece>,
}

/// What comes off the saw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    pub patch: Patch,
    pub what: What,
}

/// What becomes of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Index into the sheet's parts.
    Part(usize),
    /// Index into the sheet's offcuts.
    Offcut(usize),
    Waste,
    /// A strip to be cut again.
    Again,
}

/// Lays the parts of every stock of sheet goods out. What cannot be cut from its stock is told where no check did, and the
/// rest is laid out all the same.
pub(super) fn nests(made: &Made, faults: &mut Faults) -> Vec<Nest> {
    matched::check(made, faults);
    let mut all = Vec::new();
    let mut number = 0;
    for stock in 0..made.job.stock.len() {
        let Some(asked) = request::request(made, stock, faults) else { continue };
        if let Some(mut nest) = place::lay_out(made, &asked, faults) {
            for sheet in &mut nest.sheets {
                number += 1;
                sheet.number = number;
            }
            all.push(nest);
        }
    }
    all
}
