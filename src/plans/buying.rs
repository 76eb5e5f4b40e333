//! The buying list: everything that has to be in the shop before the first cut. Quantities are rounded up to what is sold
//! (sheets, whole board feet, sticks, boxes, cans); money is exact, in whole cents: each line is rounded to the nearest cent,
//! halves up, then margin and tax the same way, each once on its sum.

mod coated;
mod solid;

pub use coated::cans;

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::boards::BoardPlan;
use super::nests::Nest;
use crate::boards::FixingKind;
use crate::length::{Length, notation};
use crate::parts::Made;
use crate::trade::money::{Money, show_share};
use crate::values::SheetSize;
use crate::values::supply::{BoxOf, Per, Share, Supply};

/// What kind of thing a line is, in the order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    Sheets,
    Boards,
    Sticks,
    Fixings,
    Hardware,
    Finish,
    Glue,
    Abrasives,
    Electrical,
}

impl Kind {
    /// As lists name it.
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Sheets => "sheet goods",
            Kind::Boards => "boards",
            Kind::Sticks => "sticks",
            Kind::Fixings => "fixings",
            Kind::Hardware => "hardware",
            Kind::Finish => "finish",
            Kind::Glue => "glue",
            Kind::Abrasives => "abrasives",
            Kind::Electrical => "electrical",
        }
    }
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub kind: Kind,
    /// What it is.
    pub item: String,
    /// How it was counted.
    pub needs: String,
    /// How much to buy.
    pub quantity: Ratio<i128>,
    /// Of what.
    pub unit: String,
    /// Price of one unit.
    pub each: Option<Money>,
    /// Price of all; `None` without a price, or beyond what can be counted.
    pub sum: Option<Money>,
}

/// The list and its sums.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Buying {
    pub lines: Vec<Line>,
    /// `None` where nothing has a price.
    pub sums: Option<Sums>,
    pub currency: String,
}

/// What the priced lines come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sums {
    pub net: Money,
    /// Share and sum, where one is asked for.
    pub margin: Option<(Share, Money)>,
    pub tax: Option<(Share, Money)>,
    pub total: Money,
    /// Lines without a price, which no sum holds.
    pub unpriced: usize,
}

/// Spares and finish that stays behind, where the spec names no share: a tenth (common practice).
pub fn tenth() -> Share {
    Ratio::new(1, 10)
}

/// Everything that a job needs bought.
pub fn plan(made: &Made, boards: &[BoardPlan], nests: &[Nest]) -> Buying {
    let supply = &made.job.supply;
    let mut lines = sheets(made, nests);
    lines.extend(boards.iter().flat_map(|plan| solid::lines(made, plan)));
    lines.extend(fixings(made));
    lines.extend(supply.buy.hardware.iter().map(|of| {
        let count = Ratio::from_integer(i128::from(of.count));
        line(Kind::Hardware, of.item.clone(), String::new(), count, "piece", of.price)
    }));
    lines.extend(coated::finishes(made));
    lines.extend(coated::glue(made, boards));
    lines.extend(coated::abrasives(made));
    lines.extend(extenders(made));
    let sums = sums(&lines, supply);
    Buying { lines, sums, currency: supply.buy.currency.clone() }
}

/// A line with its sum.
fn line(
    kind: Kind,
    item: String,
    needs: String,
    quantity: Ratio<i128>,
    unit: &str,
    each: Option<Money>,
) -> Line {
    let sum = each.and_then(|each| each.times(quantity));
    let unit = if quantity == Ratio::from_integer(1) { unit.to_owned() } else { several(unit) };
    Line { kind, item, needs, quantity, unit, each, sum }
}

/// A unit in the plural; of `can of 2.5 l` only the can.
fn several(unit: &str) -> String {
    let (one, of) = unit.split_once(" of ").map_or((unit, None), |(one, of)| (one, Some(of)));
    let all = match one {
        "board foot" => "board feet".to_owned(),
        "foot" => "feet".to_owned(),
        "box" => "boxes".to_owned(),
        "m" | "m³" => one.to_owned(),
        word => format!("{word}s"),
    };
    of.map_or(all.clone(), |of| format!("{all} of {of}"))
}

fn sums(lines: &[Line], supply: &Supply) -> Option<Sums> {
    let priced: Vec<Money> = lines.iter().filter_map(|line| line.sum).collect();
    if priced.is_empty() {
        return None;
    }
    let unpriced = lines.len() - priced.len();
    let net = priced.into_iter().fold(Money::default(), Money::plus);
    let share = |of: Money, share: Option<Share>| share.and_then(|share| Some((share, of.times(share)?)));
    let margin = share(net, supply.buy.margin);
    let taxed = margin.map_or(net, |(_, margin)| net.plus(margin));
    let tax = share(taxed, supply.buy.tax);
    let total = tax.map_or(taxed, |(_, tax)| taxed.plus(tax));
    Some(Sums { net, margin, tax, total, unpriced })
}

fn tell(made: &Made, length: Length) -> String {
    notation::tell(length, made.job.units)
}

/// A stock as it is asked for over the counter.
pub fn called(made: &Made, stock: usize) -> String {
    let Some(of) = made.job.stock.get(stock) else { return String::new() };
    let mut words = of.called.clone().unwrap_or_else(|| of.name.replace('_', " "));
    if let Some(species) =
        of.species.as_ref().filter(|species| !words.to_lowercase().contains(&species.to_lowercase()))
    {
        words = format!("{words}, {species}");
    }
    words
}

fn price(made: &Made, stock: usize) -> Option<(Money, Per)> {
    made.job.supply.stock.get(&made.job.stock.get(stock)?.name)?.price
}

/// Whole sheets that the nests take, by size.
fn sheets(made: &Made, nests: &[Nest]) -> Vec<Line> {
    let mut lines = Vec::new();
    for nest in nests {
        let mut sizes: BTreeMap<(Length, Length), i128> = BTreeMap::new();
        for sheet in nest.bought() {
            *sizes.entry((sheet.width, sheet.length)).or_default() += 1;
        }
        let Some(stock) = made.job.stock.get(nest.stock) else { continue };
        let (thick, sold) = (stock.thick, made.job.sheet_sizes(stock));
        for ((width, length), count) in sizes {
            let item = format!(
                "{}, {} × {}, measures {}",
                called(made, nest.stock),
                tell(made, width),
                tell(made, length),
                tell(made, thick)
            );
            let is = |size: &&SheetSize| {
                (size.width, size.length) == (width, length) || (size.length, size.width) == (width, length)
            };
            let each = sold.iter().find(is).and_then(|size| size.price);
            let needs = "as laid out on the sheets".to_owned();
            lines.push(line(Kind::Sheets, item, needs, Ratio::from_integer(count), "sheet", each));
        }
    }
    lines
}

/// Fixings of one kind and size.
type Fixed = (FixingKind, Option<i64>, Length, Length);

/// Fixings counted by kind and size, with spares, in boxes where the spec says what a box holds.
fn fixings(made: &Made) -> Vec<Line> {
    let mut counted: BTreeMap<Fixed, i64> = BTreeMap::new();
    for fixing in &made.fixings {
        *counted.entry((fixing.kind, fixing.gauge, fixing.diameter, fixing.length)).or_default() += 1;
    }
    let buy = &made.job.supply.buy;
    let spares = buy.spares.unwrap_or_else(tenth);
    let one = |(fixed, count): (Fixed, i64)| {
        let (kind, gauge, diameter, length) = fixed;
        let with = (Ratio::from_integer(i128::from(count)) * (Ratio::from_integer(1) + spares)).ceil();
        let size = match (gauge, kind) {
            (Some(gauge), _) => format!("#{gauge} × "),
            (None, FixingKind::Dowels) => format!("{} × ", tell(made, diameter)),
            _ => String::new(),
        };
        let item = format!("{} {size}{}", kind.word(), tell(made, length));
        let needs =
            format!("{count} in the drawings, {} with {} to spare", with.to_integer(), show_share(spares));
        match box_for(&buy.boxes, fixed) {
            Some(of) => {
                let boxes = (with / Ratio::from_integer(i128::from(of.count))).ceil();
                line(Kind::Fixings, item, needs, boxes, &format!("box of {}", of.count), of.price)
            }
            None => line(Kind::Fixings, item, needs, with, "piece", None),
        }
    };
    counted.into_iter().map(one).collect()
}

/// The box that fits best: one that names length and gauge before one that names less.
fn box_for(boxes: &[BoxOf], (kind, gauge, _, length): Fixed) -> Option<&BoxOf> {
    let of = match kind {
        FixingKind::Screws => "screws",
        FixingKind::PocketScrews => "pocket_screws",
        FixingKind::Staples => "staples",
        FixingKind::Brads => "brads",
        FixingKind::Dowels => "dowels",
        FixingKind::Glue => "glue",
    };
    let fits = |known: &&BoxOf| {
        known.of == of
            && known.length.is_none_or(|wanted| wanted == length)
            && known.gauge.is_none_or(|wanted| gauge.is_none_or(|gauge| gauge == wanted))
    };
    let named = |known: &BoxOf| i32::from(known.length.is_some()) + i32::from(known.gauge.is_some());
    // Of two that fit alike the first one given.
    boxes.iter().filter(fits).rev().max_by_key(|known| named(known))
}

/// Words in the note beside a cut-out that tell of an electrical box.
const BOXES: [&str; 7] = ["socket", "switch", "outlet", "receptacle", "dimmer", "electrical", "box extender"];

/// Whether a note has one of these as whole words, alone or in the plural: a switchboard's panel is no switch.
fn electrical(note: &str) -> bool {
    let note = note.to_lowercase();
    let words: Vec<&str> =
        note.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let is = |word: &str, wanted: &str| {
        let ending = word.strip_prefix(wanted);
        ending.is_some_and(|ending| matches!(ending, "" | "s" | "es"))
    };
    BOXES.iter().any(|wanted| {
        let wanted: Vec<&str> = wanted.split(' ').collect();
        words.windows(wanted.len()).any(|run| run.iter().zip(&wanted).all(|(word, wanted)| is(word, wanted)))
    })
}

/// Box extenders: one for each cut-out whose note names a switch or a socket. A box behind a new wooden face must come flush
/// with it (NEC 314.20); that is an electrician's work.
fn extenders(made: &Made) -> Option<Line> {
    let mut needed: i128 = 0;
    let mut parts = Vec::new();
    for part in &made.parts {
        let here = part.inside_notes.iter().flatten().filter(|note| electrical(note)).count();
        if here > 0 {
            needed += i128::try_from(here * part.quantity).unwrap_or(0);
            parts.push(part.mark.clone());
        }
    }
    if needed == 0 {
        return None;
    }
    let needs = format!(
        "cut-outs in {}: depth as measured on site; by a licensed electrician, to the local code",
        parts.join(", ")
    );
    let each = made.job.supply.buy.extender;
    Some(line(
        Kind::Electrical,
        "listed box extender, single".to_owned(),
        needs,
        Ratio::from_integer(needed),
        "piece",
        each,
    ))
}
