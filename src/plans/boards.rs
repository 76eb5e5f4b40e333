//! Parts of solid wood onto the boards and sticks they are cut from: rough sizes, strips of glued-up panels, what to pick
//! from the rack, what is cut from which board.
//!
//! A part's width is ripped, its length crosscut. Strips of one rough width are laid end to end along lanes by the solver for
//! sticks; lanes of one length lie side by side on boards, again by that solver, across. Then narrower pieces move to the ends
//! of wider lanes, and lanes to other boards, while that saves wood: what is bought is least by its measure, then by the
//! number of boards.

use num_rational::Ratio;

use super::lanes::{Board, Wanted, lay_out};
use super::quantity::{Volume, sum, volume, with};
use crate::length::{Length, Units};
use crate::parts::runs::Run;
use crate::parts::{Made, Part, PartId};
use crate::values::StockForm;
use crate::values::supply::{Milling, StockSupply};
use crate::wood::measure::{GRADES, rough_for, rough_in, usual_waste};

/// How a solid stock is sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sold {
    /// Boards of random width.
    Random,
    /// Boards of given widths, or of any.
    Widths,
    /// Mouldings and trims, only cut to length.
    Sticks,
}

/// What is taken off and left on while rough wood becomes parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Allowances {
    /// Off each edge.
    pub jointing: Length,
    /// Off each face.
    pub planing: Length,
    /// At each end of a board.
    pub end_loss: Length,
    /// On the length of each piece.
    pub over_length: Length,
}

impl Allowances {
    /// Those of the shop, else the usual ones (common practice).
    pub fn of(milling: &Milling, sold: Sold, units: Units) -> Allowances {
        let usual = match units {
            Units::Inch => Length::INCH,
            Units::Millimetre => Length::MM * 25,
        };
        let sticks = sold == Sold::Sticks;
        Allowances {
            jointing: milling.off_each_edge(units),
            planing: milling.off_each_face(units),
            // Sticks come square; what they lose at an end is part of the over-length of their pieces.
            end_loss: if sticks { Length::ZERO } else { milling.end_loss.unwrap_or(usual) },
            over_length: if sticks {
                milling.on_each_stick(units)
            } else {
                milling.over_length.unwrap_or(usual)
            },
        }
    }
}

/// The strips of one part: itself, what it is glued up from side by side, or what it is joined from end to end. All are equal.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    pub part: PartId,
    /// How many make one part.
    pub of: i64,
    /// How many in all.
    pub quantity: usize,
    /// Finished size; strips of a panel together are at least as wide as the panel, and wider by less than a unit each.
    pub width: Length,
    pub length: Length,
    /// Size to cut first.
    pub rough_width: Length,
    pub rough_length: Length,
    /// True where an edge is fitted to the house: the size is that of the blank.
    pub to_fit: bool,
    /// Where the strips are the pieces of a run, end to end.
    pub run: Option<Run>,
}

impl Strip {
    /// Whether several lie side by side in a panel.
    pub fn panel(&self) -> bool {
        self.of > 1 && self.run.is_none()
    }
}

/// Everything that is cut from one solid stock.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardPlan {
    /// Index into the job's stock.
    pub stock: usize,
    pub sold: Sold,
    /// Thickness as it is bought, and as it is called.
    pub rough: Length,
    pub rough_called: String,
    pub allowances: Allowances,
    /// True where the wood is bought rough, and flattened and planed in the shop.
    pub milled: bool,
    pub strips: Vec<Strip>,
    /// What to pick; empty where no length is known that can be had.
    pub boards: Vec<Board>,
    /// Sticks to spare: width and length of one.
    pub spare: Vec<(Length, Length)>,
    /// Measure of the rough strips.
    pub net: Option<Volume>,
    pub waste: Ratio<i128>,
    /// The strips and the waste.
    pub with_waste: Option<Volume>,
    /// Measure of the boards that were laid out, spares included.
    pub laid: Option<Volume>,
    pub alternate: bool,
    pub notes: Vec<Note>,
}

/// What has to be known besides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Note {
    /// A piece wider than the jointer: flattened by hand or on a sled.
    WiderThanJointer { part: PartId, jointer: Length },
    /// A panel wider than the planer: flattened by hand, or planed where there is a wide one.
    WiderThanPlaner { part: PartId, planer: Length },
    /// The longest board leaves less beside a piece for its ends than the shop asks.
    ShortEnds { part: PartId, left: Length },
    /// Pieces too many or too large to be laid out.
    NotLaidOut,
}

impl BoardPlan {
    /// The measure to buy: what was laid out, or the strips with their waste, whichever is more.
    pub fn to_buy(&self) -> Option<Volume> {
        match (self.laid, self.with_waste) {
            (Some(laid), Some(waste)) => Some(if self.sold == Sold::Sticks { laid } else { laid.max(waste) }),
            (one, other) => one.or(other),
        }
    }

    /// How many pieces of a strip lie on boards wider than they are, and so have to be ripped out.
    pub fn ripped_out(&self, strip: usize) -> usize {
        let lanes = self.boards.iter().flat_map(|board| board.lanes.iter().map(move |lane| (board, lane)));
        let on = lanes.flat_map(|(board, lane)| lane.pieces.iter().map(move |piece| (board, piece)));
        on.filter(|(board, piece)| piece.strip == strip && piece.width < board.width).count()
    }

    /// Panels that are glued up from several strips.
    pub fn glue_ups(&self) -> impl Iterator<Item = &Strip> {
        self.strips.iter().filter(|strip| strip.panel())
    }
}

/// Plans every solid stock that parts are cut from, in the order of the stock.
pub fn plan(made: &Made) -> Vec<BoardPlan> {
    let used = made.job.stock.iter().enumerate();
    used.filter_map(|(stock, _)| plan_of(made, stock)).collect()
}

/// Widest board where the spec names none: 6 in, the least width of the best grade (NHLA; restated).
const USUAL_WIDTH: Length = Length::from_units(Length::INCH.units() * 6);

fn plan_of(made: &Made, stock: usize) -> Option<BoardPlan> {
    let of = made.job.stock.get(stock)?;
    let StockForm::Solid { widths, lengths, glue_up } = &of.form else { return None };
    let parts: Vec<(usize, &Part)> =
        made.parts.iter().enumerate().filter(|(_, part)| part.stock == stock).collect();
    if parts.is_empty() {
        return None;
    }
    let plain = StockSupply::default();
    let supply = made.job.supply.stock.get(&of.name).unwrap_or(&plain);
    let milling = &made.job.supply.milling;
    let sold = match (supply.sticks, supply.random_width) {
        (true, _) => Sold::Sticks,
        (false, Some(_)) => Sold::Random,
        (false, None) => Sold::Widths,
    };
    let allowances = Allowances::of(milling, sold, made.job.units);
    let mut notes = Vec::new();
    let longest = lengths.iter().max().copied();
    let milled = supply.rough.is_some() || supply.random_width.is_some();
    let maker =
        Maker { sold, widths, longest, allowances, milling, random: supply.random_width, glue_up: *glue_up };
    let mut strips = Vec::new();
    for (index, part) in &parts {
        let strip = maker.strip(PartId(*index), part, made.run(part));
        let across = part.blank().1;
        // A part that one board just reaches is cut from it all the same: no joint, less at the ends of that board.
        if let Some(left) = longest.map(|longest| (longest - strip.rough_length).half())
            && left < allowances.end_loss
        {
            notes.push(Note::ShortEnds { part: strip.part, left: left.max(Length::ZERO) });
        }
        if let Some(jointer) = milling.jointer.filter(|jointer| milled && strip.rough_width > *jointer) {
            notes.push(Note::WiderThanJointer { part: strip.part, jointer });
        }
        if let Some(planer) = milling.planer.filter(|planer| (milled || strip.panel()) && across > *planer) {
            notes.push(Note::WiderThanPlaner { part: strip.part, planer });
        }
        strips.push(strip);
    }
    let (rough, rough_called) = rough(of, supply, allowances.planing, milled);
    let kerf = made.job.kerf();
    let wanted =
        Wanted { sold, widths, lengths, random: supply.random_width, kerf, end_loss: allowances.end_loss };
    let boards = lay_out(&strips, &wanted).unwrap_or_else(|_| {
        notes.push(Note::NotLaidOut);
        Vec::new()
    });
    let spare = if sold == Sold::Sticks { spares(&boards) } else { Vec::new() };
    let units = made.job.units;
    let net = sum(strips.iter().map(|strip| {
        let one = volume(rough, strip.rough_width, strip.rough_length, units)?;
        Some(one * Ratio::from_integer(i128::try_from(strip.quantity).ok()?))
    }));
    let grade = GRADES.iter().find(|grade| Some(grade.name) == supply.grade);
    let waste = supply.waste.or(grade.map(|grade| grade.waste())).unwrap_or_else(usual_waste);
    let bought = boards.iter().map(|board| (board.width, board.length)).chain(spare.iter().copied());
    let laid = sum(bought.map(|(width, length)| volume(rough, width, length, units)));
    Some(BoardPlan {
        stock,
        sold,
        rough,
        rough_called,
        allowances,
        milled,
        strips,
        laid: laid.filter(|_| !boards.is_empty()),
        boards,
        spare,
        with_waste: net.and_then(|net| with(net, waste)),
        net,
        waste,
        alternate: supply.alternate,
        notes,
    })
}

/// The thickness as bought: as the spec says, else as the label says, else the thinnest that surfaces to the finished one; for wood
/// that is bought surfaced and called nothing, the finished one.
fn rough(of: &crate::values::Stock, supply: &StockSupply, planing: Length, milled: bool) -> (Length, String) {
    if let Some((thick, called)) = &supply.rough {
        return (*thick, called.clone());
    }
    if let Some(row) = of.called.as_deref().and_then(rough_in) {
        return (row.rough, row.called.to_owned());
    }
    match rough_for(of.thick).filter(|_| milled) {
        Some(row) if row.rough >= of.thick + planing * 2 => (row.rough, row.called.to_owned()),
        _ if milled => (of.thick + planing * 2, String::new()),
        _ => (of.thick, String::new()),
    }
}

/// One spare stick of each width, of the longest length in use: one is always spoilt (common practice).
fn spares(boards: &[Board]) -> Vec<(Length, Length)> {
    let mut all: Vec<(Length, Length)> = Vec::new();
    for board in boards {
        match all.iter_mut().find(|(width, _)| *width == board.width) {
            Some((_, length)) => *length = (*length).max(board.length),
            None => all.push((board.width, board.length)),
        }
    }
    all
}

/// What strips are made by.
struct Maker<'a> {
    sold: Sold,
    widths: &'a [Length],
    longest: Option<Length>,
    allowances: Allowances,
    milling: &'a Milling,
    random: Option<[Length; 2]>,
    glue_up: bool,
}

impl Maker<'_> {
    fn strip(&self, id: PartId, part: &Part, run: Option<Run>) -> Strip {
        let (along, across) = part.blank();
        let side_by_side = self.strips_of(across);
        let (width, rest) = across.shared_by(side_by_side);
        // A remainder of a few units is cut off with the panel's last rip.
        let width = if rest.is_positive() { width + Length::from_units(1) } else { width };
        let room = self.longest.map_or(Length::LIMIT, |longest| longest - self.allowances.end_loss * 2);
        let along = run.as_ref().map_or(along, |run| run.length);
        let of = run.as_ref().map_or(side_by_side, |run| run.pieces);
        Strip {
            part: id,
            of,
            quantity: part.quantity.saturating_mul(usize::try_from(of).unwrap_or(1)),
            width,
            length: along,
            rough_width: self.rough_width(width),
            rough_length: (along + self.allowances.over_length).min(room).max(along),
            to_fit: part.edges.iter().any(|edge| edge.scribe.is_positive()),
            run,
        }
    }

    /// Sticks and boards that have the width already are not ripped; nothing is made wider than the widest board.
    fn rough_width(&self, width: Length) -> Length {
        if self.sold == Sold::Sticks {
            return self.widths.iter().copied().filter(|sold| *sold >= width).min().unwrap_or(width);
        }
        if self.sold == Sold::Widths && self.widths.contains(&width) {
            return width;
        }
        let jointed = width + self.allowances.jointing * 2;
        match self.widest() {
            Some(widest) if widest >= width => jointed.min(widest),
            _ => jointed,
        }
    }

    fn widest(&self) -> Option<Length> {
        self.random.map(|[_, most]| most).or_else(|| self.widths.iter().max().copied())
    }

    /// How many equal strips a panel is glued up from; 1 where a single board gives it.
    fn strips_of(&self, across: Length) -> i64 {
        if !self.glue_up || self.sold == Sold::Sticks {
            return 1;
        }
        let jointing = self.allowances.jointing * 2;
        let flat = self.milling.jointer.unwrap_or(Length::LIMIT);
        let single = self.widest().unwrap_or(USUAL_WIDTH).min(flat);
        if across + jointing <= single || self.widths.contains(&across) && across <= flat {
            return 1;
        }
        // Boards are picked for it: the fewest strips that the widest of them can give.
        let each = (single - jointing).units().max(1);
        across.units().div_euclid(each) + i64::from(across.units().rem_euclid(each) > 0)
    }
}
