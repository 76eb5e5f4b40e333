//! What is asked of the layout of one stock: its parts, and sets of parts, as rectangles with the rip along x.

use super::{Along, matched};
use crate::boards::BoardId;
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, Part, PartId};
use crate::plans::nest::{self, LONGEST};
use crate::shape::Point;
use crate::trade::Grain;
use crate::trade::money::Money;
use crate::values::{SheetGrain, SheetSize, StockForm};

/// The least offcut kept where the shop does not say, 4" by 24": smaller ones pile up unused (common practice).
const KEEP: [Length; 2] =
    [Length::from_units(Length::INCH.units() * 4), Length::from_units(Length::INCH.units() * 24)];

/// A piece that is laid out as one: a part, or a set of parts side by side.
pub(super) struct Blank {
    /// Size along u and v of the drawing it is seen in.
    pub width: Length,
    pub height: Length,
    pub grain: Grain,
    pub members: Members,
    /// Name for a sentence, and where the spec asks for it.
    pub called: String,
    pub place: Place,
}

/// What a blank gives.
pub(super) enum Members {
    /// Copies of one part.
    Copies { part: PartId, boards: Vec<BoardId>, low: Point },
    /// Parts in a row.
    Row(Row),
}

/// Parts cut side by side from one blank.
pub(super) struct Row {
    pub set: String,
    /// True where they lie side by side along u, else above each other along v.
    pub along_u: bool,
    pub members: Vec<Member>,
}

/// One part of a row.
pub(super) struct Member {
    pub part: PartId,
    pub board: BoardId,
    /// Size along the row.
    pub size: Length,
    /// Lower left corner of what is cut, in the part's own drawing.
    pub low: Point,
    /// Quarter turns from the part's drawing to the set's.
    pub quarter_turns: u8,
}

/// A stock with everything that is cut from it.
pub(super) struct Request {
    pub stock: usize,
    pub rips: Along,
    pub blanks: Vec<Blank>,
    pub items: Vec<nest::Item>,
    pub sheets: Vec<nest::Stock>,
    pub options: nest::Options,
}

/// The size of a part as it is cut, and its lower left corner.
pub(super) fn as_cut(part: &Part) -> (Length, Length, Point) {
    let around = part.as_cut().extents();
    (around.width(), around.height(), around.low)
}

/// Gathers what is cut from a stock; `None` for solid wood and where nothing is.
pub(super) fn request(made: &Made, stock: usize, faults: &mut Faults) -> Option<Request> {
    let of = made.job.stock.get(stock)?;
    let StockForm::Sheet { grain, .. } = of.form else { return None };
    let rips = if of.form.rips_along_length() { Along::Length } else { Along::Width };
    let (mut blanks, taken) = matched::rows(made, stock, faults);
    for (index, part) in made.parts.iter().enumerate().filter(|(_, part)| part.stock == stock) {
        let boards: Vec<BoardId> = part.boards.iter().copied().filter(|id| !taken.contains(id)).collect();
        if boards.is_empty() {
            continue;
        }
        let (width, height, low) = as_cut(part);
        let first = part.boards.first().and_then(|id| made.placed.get(id.0));
        blanks.push(Blank {
            width,
            height,
            grain: part.grain,
            members: Members::Copies { part: PartId(index), boards, low },
            called: first.map_or_else(|| part.id.clone(), |placed| placed.board.name.clone()),
            place: part.place,
        });
    }
    if blanks.is_empty() {
        return None;
    }
    let free = |blank: &Blank| grain == SheetGrain::None || blank.grain == Grain::Free;
    let item = |blank: &Blank| {
        let along_u = free(blank) || blank.grain == Grain::AlongU;
        let (along, across) = if along_u { (blank.width, blank.height) } else { (blank.height, blank.width) };
        let quantity = match &blank.members {
            Members::Copies { boards, .. } => boards.len(),
            Members::Row(_) => 1,
        };
        nest::Item {
            width: along.units(),
            height: across.units(),
            quantity: u32::try_from(quantity).unwrap_or(u32::MAX),
            may_turn: free(blank),
        }
    };
    let items = blanks.iter().map(item).collect();
    let sheets = sheets(made, stock, rips, faults);
    Some(Request { stock, rips, blanks, items, sheets, options: options(made, stock) })
}

fn options(made: &Made, stock: usize) -> nest::Options {
    let shop = &made.job.shop;
    let units = |length: Option<Length>| length.map(Length::units);
    let [short, long] = shop.nesting.keep_offcut.unwrap_or(KEEP);
    let usual = nest::Options::default();
    nest::Options {
        kerf: made.job.apart(stock).0.units(),
        effort: shop.nesting.effort.unwrap_or(usual.effort),
        seed: shop.nesting.seed.unwrap_or(usual.seed),
        keep: nest::Keep { short_side: short.units(), long_side: long.units() },
        saw: nest::Saw { rip: units(shop.rip), crosscut: units(shop.crosscut) },
    }
}

/// Every size that can be cut from, the rip along x: whole sheets, then the rack.
fn sheets(made: &Made, stock: usize, rips: Along, faults: &mut Faults) -> Vec<nest::Stock> {
    let Some(of) = made.job.stock.get(stock) else { return Vec::new() };
    let nesting = &made.job.shop.nesting;
    let trim = nesting.edge_trim.unwrap_or(Length::ZERO);
    let mut all = Vec::new();
    let sizes = made.job.sheet_sizes(of);
    let priced = sizes.iter().all(|size| size.price.is_some());
    for SheetSize { width, length, price } in sizes {
        let (along, across) = if rips == Along::Length { (length, width) } else { (width, length) };
        let size = || format!("{} by {}", tell(width, made.job.units), tell(length, made.job.units));
        if along.units().max(across.units()) > LONGEST {
            let most = tell(Length::from_units(LONGEST), made.job.units);
            let message =
                format!("a sheet of {} is {}; the largest that is laid out is {most} long", of.name, size());
            faults.push(
                Diagnostic::error("sheet-out-of-range", of.place, message)
                    .propose("look for a slip of the pen in `sheet`"),
            );
        } else if trim * 2 >= along.min(across) {
            let message = format!(
                "the edge trim of {} leaves nothing of a sheet of {}, {}",
                tell(trim, made.job.units),
                of.name,
                size()
            );
            faults.push(
                Diagnostic::error("edge-trim-takes-all", nesting.edge_trim_place, message)
                    .also(of.place, of.name.clone())
                    .propose("give a smaller `edge_trim`"),
            );
        } else {
            let sheet = nest::Stock::sheet(along.units(), across.units(), trim.units());
            // By price only where every size has one: an unknown price is not a low one.
            let cost = price.filter(|_| priced).map(|price| cost(price, width, length));
            all.push(nest::Stock { cost: cost.unwrap_or(sheet.cost), ..sheet });
        }
    }
    for offcut in nesting.rack.iter().filter(|offcut| offcut.stock == of.name && offcut.count > 0) {
        if offcut.along.units().max(offcut.across.units()) <= LONGEST {
            all.push(nest::Stock::offcut(offcut.along.units(), offcut.across.units(), offcut.count));
        }
    }
    all
}

/// What a priced sheet costs the layout: cents first, and among sets of one price the least area. Areas are counted in square
/// centimetres, rounded up: those of two thousand of the largest sheets stay below one cent.
fn cost(price: Money, width: Length, length: Length) -> u64 {
    let centimetre = i128::from(Length::MM.units()) * 10;
    let area = i128::from(width.units()) * i128::from(length.units()) / (centimetre * centimetre) + 1;
    let cents = u64::try_from(price.cents()).unwrap_or(0);
    cents.saturating_mul(1 << 32).saturating_add(u64::try_from(area).unwrap_or(u64::MAX))
}
