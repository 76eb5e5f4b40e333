//! Parts on sheet goods, in cuts that each run right across what they divide.
//!
//! In: items with quantities, the stock to cut them from, saw and kerf. Out: for every sheet a tree of cuts, and from it the
//! parts in their places, the cuts in the order to make them, and the offcuts. What is not a tree of such cuts cannot be
//! written down here, so every layout can be sawn. All lengths are whole numbers of one unit, which the room does not know;
//! neither does it know wood, drawings or files. x runs along the width of a sheet, y along its height, from its lower left
//! corner.
//!
//! Wanted, in this order: least cost of sheets bought; one large offcut kept; few settings of the fence, then few turned
//! parts. The same request gives the same layout on every machine; effort is counted in steps, never in time.

mod cuts;
mod fit;
pub mod list;
mod plan;
mod search;
mod tree;

use std::fmt;

/// Longest side that is taken, in units: keeps areas within whole numbers of 64 bits.
pub const LONGEST: i64 = 1 << 30;
/// Most parts in one request.
pub const MOST_PARTS: u64 = 100_000;

/// Equal parts to be cut, all sides as finished by the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Side along x.
    pub width: i64,
    /// Side along y.
    pub height: i64,
    pub quantity: u32,
    /// The part may lie turned by a quarter; `false` where the grain says how it lies.
    pub may_turn: bool,
}

/// One size of sheet to cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    pub width: i64,
    pub height: i64,
    /// How many there are; `None` for as many as needed.
    pub count: Option<u32>,
    /// Cut off all round before anything else, kerf included.
    pub trim: i64,
    /// What one sheet costs, in any unit; 0 for what is already in the rack.
    pub cost: u64,
}

impl Stock {
    /// A full sheet as it is sold, as many as needed, `trim` taken off its factory edges. Costs its area, so that with one
    /// size the fewest sheets are bought.
    pub fn sheet(width: i64, height: i64, trim: i64) -> Self {
        let area = i128::from(width.max(0)) * i128::from(height.max(0));
        Self { width, height, count: None, trim, cost: u64::try_from(area).unwrap_or(u64::MAX).max(1) }
    }

    /// Offcuts from the rack: edges already sawn, no cost.
    pub fn offcut(width: i64, height: i64, count: u32) -> Self {
        Self { width, height, count: Some(count), trim: 0, cost: 0 }
    }
}

/// The least offcut worth keeping.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Keep {
    pub short_side: i64,
    pub long_side: i64,
}

impl Keep {
    /// Whether a piece of this size goes into the rack.
    pub fn keeps(self, width: i64, height: i64) -> bool {
        width.min(height) >= self.short_side.max(1) && width.max(height) >= self.long_side
    }
}

/// What the saw cannot pass. Both limits concern only cuts after the first ones of a sheet: the first, right across the whole
/// sheet, may be made with a hand-held saw on a guide and are marked `splits_sheet`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Saw {
    /// Furthest the fence stands from the blade. Cuts along x (rips) need one side of the cut within it.
    pub rip: Option<i64>,
    /// Longest cut along y (crosscut) in one pass.
    pub crosscut: Option<i64>,
}

/// How to go about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Width of the saw cut.
    pub kerf: i64,
    /// Steps of work; twice the effort takes about twice the time.
    pub effort: u32,
    /// Another seed gives another layout, as good on average.
    pub seed: u64,
    pub keep: Keep,
    pub saw: Saw,
}

impl Options {
    /// Effort used where none is asked for: well under a tenth of a second for a hundred parts.
    pub const EFFORT: u32 = 10;
}

impl Default for Options {
    fn default() -> Self {
        Self { kerf: 0, effort: Self::EFFORT, seed: 1, keep: Keep::default(), saw: Saw::default() }
    }
}

/// Which way a cut runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Run {
    /// Along the width of the sheet: a rip.
    AlongX,
    /// Along the height of the sheet: a crosscut.
    AlongY,
}

/// A rectangle on a sheet, from its lower left corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rect {
    pub x: i64,
    pub y: i64,
    pub width: i64,
    pub height: i64,
}

/// A part in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of its item.
    pub item: usize,
    /// Sides as it lies.
    pub rect: Rect,
    pub turned: bool,
}

/// A piece that the saw comes by, and what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Panel {
    pub rect: Rect,
    pub fate: Fate,
}

/// What becomes of a piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fate {
    /// A part: index into the sheet's `parts`.
    Part(usize),
    /// Large enough to keep.
    Offcut,
    Waste,
    /// Cut right across into these, from the lower left; one kerf between neighbours. What a kerf swallows is not listed.
    Cut(Run, Vec<Panel>),
}

/// One cut, right across a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cut {
    /// Place in the cutting order of its sheet, from 1.
    pub number: usize,
    /// 0 for edge trims, 1 for the first cuts across a sheet, and so on.
    pub stage: usize,
    pub run: Run,
    /// Where the kept side ends: y of a cut along x, x of a cut along y. The kerf lies beyond it; before it at lower and
    /// left edge trims.
    pub at: i64,
    /// Where the cut begins and ends, along its run.
    pub from: i64,
    pub to: i64,
    /// Size of the piece cut off, fence to blade: the setting. For edge trims the strip taken off, kerf included.
    pub setting: i64,
    /// A first cut that is beyond the saw's limits: break the sheet down with a guide first.
    pub splits_sheet: bool,
}

/// One sheet and how it is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetLayout {
    /// Index of its stock.
    pub stock: usize,
    pub parts: Vec<Placed>,
    /// What lies within the edge trims, as a tree of cuts.
    pub panel: Panel,
    pub cuts: Vec<Cut>,
    pub offcuts: Vec<Rect>,
}

/// Every sheet cut, rack first, and what is known about them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    pub sheets: Vec<SheetLayout>,
    /// No layout has fewer sheets, those from the rack included.
    pub bound: usize,
    /// Different settings of the fence over all sheets, edge trims apart.
    pub settings: usize,
}

/// Why there is no layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// An item's side is under 1 or over `LONGEST`.
    ItemSize { item: usize },
    /// More than `MOST_PARTS` parts in all.
    TooManyParts { parts: u64 },
    /// A stock's side is under 1 or over `LONGEST`, or its trim leaves nothing.
    StockSize { stock: usize },
    /// Kerf under 0 or over `LONGEST`.
    Kerf,
    /// No stock holds this item; `turned` where it would fit if it might turn.
    ItemTooLarge { item: usize, turned: bool },
    /// No stock holds this item in cuts within the saw's limits.
    BeyondSaw { item: usize },
    /// The stock is used up; so many parts of these items are left over.
    StockShort { left: Vec<(usize, u32)> },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ItemSize { item } => {
                write!(f, "item {}: a side is under 1 or over {LONGEST} units", item + 1)
            }
            Self::TooManyParts { parts } => {
                write!(f, "{parts} parts; at most {MOST_PARTS} are laid out at once")
            }
            Self::StockSize { stock } => {
                write!(f, "stock {}: a side is out of range, or the edge trim leaves nothing", stock + 1)
            }
            Self::Kerf => write!(f, "the kerf is under 0 or out of range"),
            Self::ItemTooLarge { item, turned: false } => write!(f, "item {} fits no sheet", item + 1),
            Self::ItemTooLarge { item, turned: true } => {
                write!(f, "item {} fits no sheet as its grain runs; turned it would", item + 1)
            }
            Self::BeyondSaw { item } => write!(f, "item {} cannot be cut within the saw's limits", item + 1),
            Self::StockShort { left } => {
                let parts: u64 = left.iter().map(|&(_, count)| u64::from(count)).sum();
                write!(f, "the stock is used up with {parts} parts left over")
            }
        }
    }
}

/// Lays items out on stock.
///
/// # Errors
/// Every fault found in the request, or, where the stock is limited, that it did not suffice.
pub fn lay_out(items: &[Item], stock: &[Stock], options: &Options) -> Result<Layout, Vec<Fault>> {
    let faults = faults(items, stock, options);
    if faults.is_empty() {
        plan::plan(items, stock, options).map_err(|fault| vec![fault])
    } else {
        Err(faults)
    }
}

fn faults(items: &[Item], stock: &[Stock], options: &Options) -> Vec<Fault> {
    let sane = |side: i64| (1..=LONGEST).contains(&side);
    let mut faults = Vec::new();
    if !(0..=LONGEST).contains(&options.kerf) {
        faults.push(Fault::Kerf);
    }
    for (index, stock) in stock.iter().enumerate() {
        let trim_fits = (0..=LONGEST).contains(&stock.trim) && 2 * stock.trim < stock.width.min(stock.height);
        if !sane(stock.width) || !sane(stock.height) || !trim_fits {
            faults.push(Fault::StockSize { stock: index });
        }
    }
    let parts: u64 = items.iter().map(|item| u64::from(item.quantity)).sum();
    if parts > MOST_PARTS {
        faults.push(Fault::TooManyParts { parts });
    }
    for (index, item) in items.iter().enumerate() {
        if !sane(item.width) || !sane(item.height) {
            faults.push(Fault::ItemSize { item: index });
        }
    }
    if !faults.is_empty() {
        return faults;
    }
    for (index, item) in items.iter().enumerate() {
        let held = |w: i64, h: i64| {
            let fits =
                |s: &Stock| s.count != Some(0) && w <= s.width - 2 * s.trim && h <= s.height - 2 * s.trim;
            stock.iter().any(fits)
        };
        let (upright, turned) = (held(item.width, item.height), held(item.height, item.width));
        if item.quantity > 0 && !upright && !(turned && item.may_turn) {
            faults.push(Fault::ItemTooLarge { item: index, turned });
        } else if item.quantity > 0 && !plan::saw_cuts(item, stock, options) {
            faults.push(Fault::BeyondSaw { item: index });
        }
    }
    faults
}
