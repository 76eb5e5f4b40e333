//! What is bought and how rough wood is worked, from the spec into values. Each fault is told; what failed is left out.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::solver::{Scope, Solver};
use crate::diagnose::{Diagnostic, Place};
use crate::length::notation;
use crate::length::{Length, Units};
use crate::spec::language::{
    BuySpec, FinishFaces, FinishSpec, GradeChoice, JoinedChoice, PerChoice, SoldChoice, StockSpec,
    StripsChoice,
};
use crate::spec::read::{Formula, Named, Words};
use crate::trade::money::{self, Money};

/// A part of a whole: 1/5 is 20 %.
pub type Share = Ratio<i128>;

/// What is bought, and how rough wood is worked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Supply {
    /// By the name of the stock.
    pub stock: BTreeMap<String, StockSupply>,
    pub milling: Milling,
    pub buy: Buy,
}

/// How one stock is sold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockSupply {
    /// Rough thickness, and how it was written.
    pub rough: Option<(Length, String)>,
    pub rough_place: Place,
    /// Narrowest and widest board that can be had.
    pub random_width: Option<[Length; 2]>,
    pub waste: Option<Share>,
    /// As in the spec: `fas`, `common_1` …
    pub grade: Option<&'static str>,
    /// True where the rings of glued-up strips alternate.
    pub alternate: bool,
    /// True for mouldings and trims that are only cut to length.
    pub sticks: bool,
    /// True where a run longer than the longest stick is joined by scarfs.
    pub scarf: bool,
    pub price: Option<(Money, Per)>,
}

/// What a price is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Per {
    Sheet,
    BoardFoot,
    CubicMetre,
    Foot,
    Metre,
}

/// How the shop makes rough wood into parts; `None` where the spec is silent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Milling {
    pub jointer: Option<Length>,
    pub planer: Option<Length>,
    /// Off each edge.
    pub jointing: Option<Length>,
    /// Off each face.
    pub planing: Option<Length>,
    /// At each end of a board.
    pub end_loss: Option<Length>,
    pub over_length: Option<Length>,
}

impl Milling {
    /// What comes off each face: as the shop says, else 1/16" or 1.5 mm (common practice).
    pub fn off_each_face(&self, units: Units) -> Length {
        self.planing.unwrap_or(usual_allowance(units))
    }

    /// What comes off each edge: as the shop says, else as much as off a face.
    pub fn off_each_edge(&self, units: Units) -> Length {
        self.jointing.unwrap_or(usual_allowance(units))
    }
}

impl Milling {
    /// What is left on the length of a stick until the final cut: as the shop says, else 2" or 50 mm (common practice).
    pub fn on_each_stick(&self, units: Units) -> Length {
        self.over_length.unwrap_or(match units {
            Units::Inch => Length::INCH * 2,
            Units::Millimetre => Length::MM * 50,
        })
    }
}

fn usual_allowance(units: Units) -> Length {
    match units {
        Units::Inch => Length::INCH.shared_by(16).0,
        Units::Millimetre => (Length::MM * 3).half(),
    }
}

/// What the buying list needs to know.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Buy {
    pub currency: String,
    pub spares: Option<Share>,
    pub boxes: Vec<BoxOf>,
    pub finishes: Vec<Finish>,
    pub glue: Option<Glue>,
    pub abrasives: Option<Abrasives>,
    pub extender: Option<Money>,
    pub hardware: Vec<Hardware>,
    pub margin: Option<Share>,
    pub tax: Option<Share>,
}

/// A box of fixings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoxOf {
    /// As in the spec: `screws`, `pocket_screws` …
    pub of: &'static str,
    pub length: Option<Length>,
    pub gauge: Option<i64>,
    /// How many are in it; at least 1.
    pub count: i64,
    pub price: Option<Money>,
}

/// A finish as it is sold; `None` where the usual for its kind holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finish {
    pub name: String,
    /// As in the spec: `paint`, `primer`, `clear`.
    pub kind: &'static str,
    /// Square metres to a litre.
    pub spread: Option<Ratio<i128>>,
    pub coats: Option<i64>,
    /// Litres, and how it was written.
    pub can: Option<(Ratio<i128>, String)>,
    pub extra: Option<Share>,
    pub show_only: bool,
    /// What parts ask for it by, besides its name.
    pub words: Vec<String>,
    pub price: Option<Money>,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Glue {
    /// Square metres to a litre.
    pub spread: Option<Ratio<i128>>,
    /// Litres, and how it was written.
    pub bottle: Option<(Ratio<i128>, String)>,
    pub price: Option<Money>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Abrasives {
    pub grits: Vec<i64>,
    /// Square metres to a sheet or disc.
    pub covers: Ratio<i128>,
    pub price: Option<Money>,
}

/// A thing that is on no drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hardware {
    pub item: String,
    pub count: i64,
    pub price: Option<Money>,
}

/// Works out all of it.
pub fn supply(solver: &mut Solver) -> Supply {
    let spec = solver.spec;
    let stock = spec.stock.iter().map(|named| (named.name.clone(), of_stock(solver, named))).collect();
    let milling = milling(solver);
    let buy = spec.buy.as_ref().map(|given| buy(solver, given)).unwrap_or_default();
    Supply { stock, milling, buy }
}

fn milling(solver: &mut Solver) -> Milling {
    let Some(shop) = &solver.spec.shop else { return Milling::default() };
    let given = &shop.milling;
    let mut positive = |formula: &Option<Formula>, what: &str| {
        let formula = formula.as_ref()?;
        solver.positive(formula, Scope::JOB, &format!("{what} of the shop"))
    };
    let (jointer, planer) = (positive(&given.jointer, "jointer"), positive(&given.planer, "planer"));
    super::likely::machine(solver, "jointer", jointer, given.jointer.as_ref());
    super::likely::machine(solver, "planer", planer, given.planer.as_ref());
    let mut allowance = |formula: &Option<Formula>, what: &str| {
        let formula = formula.as_ref()?;
        solver.not_negative(formula, Scope::JOB, &format!("{what} of the shop"))
    };
    Milling {
        jointer,
        planer,
        jointing: allowance(&given.jointing, "jointing"),
        planing: allowance(&given.planing, "planing"),
        end_loss: allowance(&given.end_loss, "end_loss"),
        over_length: allowance(&given.over_length, "over_length"),
    }
}

fn of_stock(solver: &mut Solver, named: &Named<StockSpec>) -> StockSupply {
    let (name, given) = (&named.name, &named.body.supply);
    let sheet = !named.body.sheet.0.is_empty();
    let keys = ["rough", "random_width", "waste", "grade", "strips", "sold", "joined"];
    for key in keys.into_iter().filter(|_| sheet) {
        if let Some(place) = given.keys.key(key) {
            let message = format!("{name}: `{key}` is for solid wood, but this is a sheet");
            let fault = Diagnostic::error("stock-form", place, message);
            solver.faults.push(fault.propose(format!("leave `{key}` out")));
        }
    }
    let sticks = given.sold == Some(SoldChoice::Sticks);
    let joined = given.keys.key("joined").filter(|_| !sheet && !sticks);
    if let Some(place) = joined {
        let message = format!("{name}: `joined` is for sticks, but this is sold as boards");
        let fault = Diagnostic::error("stock-form", place, message);
        solver.faults.push(fault.propose("add `sold: sticks`, or leave `joined` out"));
    }
    let price = price(solver, &given.price);
    // Told even where the price itself is wrong, so that both are cured at once.
    let asked = given.price.is_some() || given.per.is_some();
    let per = if asked { per(solver, named, sheet, sticks) } else { None };
    StockSupply {
        rough: given.rough.as_ref().and_then(|words| rough(solver, words)),
        rough_place: given.rough.as_ref().map_or(named.place, |words| words.place),
        random_width: random_width(solver, named),
        waste: share(solver, &given.waste, ("waste", 300)),
        grade: given.grade.map(GradeChoice::word),
        alternate: given.strips == Some(StripsChoice::Alternate),
        sticks,
        scarf: given.joined == Some(JoinedChoice::Scarf) && joined.is_none(),
        price: Option::zip(price, per),
    }
}

/// `6/4` is six quarters of an inch whatever the spec's unit; anything else is a length.
fn rough(solver: &mut Solver, words: &Words) -> Option<(Length, String)> {
    let text = words.text.trim();
    let quarters = text.strip_suffix("/4").and_then(|count| count.parse::<i64>().ok());
    if let Some(count) = quarters.filter(|count| (1..=40).contains(count)) {
        return Some((Length::from_units(Length::INCH.units() / 4 * count), text.to_owned()));
    }
    match notation::read(text, solver.units) {
        Ok(length) if length.is_positive() => Some((length, text.to_owned())),
        Ok(_) => {
            let fault =
                Diagnostic::error("not-positive", words.place, "a rough thickness is more than nothing");
            solver.faults.push(fault.propose("write it as it is sold: `6/4`, or a length"));
            None
        }
        Err(error) => {
            let fault = Diagnostic::error("length-notation", words.place, error.message);
            solver.faults.push(fault.propose("write it as it is sold: `6/4`, or a length"));
            None
        }
    }
}

fn random_width(solver: &mut Solver, named: &Named<StockSpec>) -> Option<[Length; 2]> {
    let given = &named.body.supply.random_width.0;
    let place = named.body.supply.keys.key("random_width")?;
    let mut told = |message: String| {
        let fault = Diagnostic::error("random-width", place, message);
        solver
            .faults
            .push(fault.propose("write the narrowest and the widest board: `random_width: [5\", 9\"]`"));
        None
    };
    let [least, most] = given.as_slice() else {
        let given = match given.len() {
            1 => "one is".to_owned(),
            many => format!("{many} are"),
        };
        return told(format!("`random_width` of {} wants two widths, but {given} given", named.name));
    };
    if !named.body.widths.0.is_empty() {
        return told(format!(
            "{} has both `widths` and `random_width`; boards come in one or the other",
            named.name
        ));
    }
    let what = format!("random_width of {}", named.name);
    let least = solver.positive(least, Scope::JOB, &what);
    let most = solver.positive(most, Scope::JOB, &what);
    let (least, most) = (least?, most?);
    Some([least.min(most), least.max(most)])
}

fn per(solver: &mut Solver, named: &Named<StockSpec>, sheet: bool, sticks: bool) -> Option<Per> {
    let inch = solver.units == Units::Inch;
    let given = &named.body.supply;
    let per = match given.per {
        Some(PerChoice::Sheet) => Per::Sheet,
        Some(PerChoice::BoardFoot) => Per::BoardFoot,
        Some(PerChoice::CubicMetre) => Per::CubicMetre,
        Some(PerChoice::Foot) => Per::Foot,
        Some(PerChoice::Metre) => Per::Metre,
        None if sheet => Per::Sheet,
        None if sticks => {
            if inch {
                Per::Foot
            } else {
                Per::Metre
            }
        }
        None => {
            if inch {
                Per::BoardFoot
            } else {
                Per::CubicMetre
            }
        }
    };
    if sheet == (per == Per::Sheet) {
        return Some(per);
    }
    let word = given.per.map_or("sheet", PerChoice::word);
    let place = given.keys.value("per").unwrap_or(named.place);
    let (is, cure) = match sheet {
        true => ("sheet goods", "write `per: sheet`, or leave it out"),
        false => ("solid wood", "write `per: board_foot`, `cubic_metre`, `foot` or `metre`"),
    };
    let message = format!("{} is {is}, which has no price by the {}", named.name, word.replace('_', " "));
    solver.faults.push(Diagnostic::error("price-per", place, message).propose(cure));
    None
}

/// Reads words by a notation of this room, or tells what to write instead.
fn read<T>(
    solver: &mut Solver,
    words: &Option<Words>,
    check: &'static str,
    by: impl Fn(&str) -> Option<T>,
    wanted: &str,
) -> Option<T> {
    let words = words.as_ref()?;
    let found = by(&words.text);
    if found.is_none() {
        let message = format!("`{}` is not {wanted}", words.text.trim());
        let cure = match check {
            "money-notation" => "write whole units and cents with a point: `92` or `6.80`",
            "share-notation" => "write it with its sign: `20%`",
            _ => "write a number and its unit, as the reference shows",
        };
        solver.faults.push(Diagnostic::error(check, words.place, message).propose(cure));
    }
    found
}

pub(super) fn price(solver: &mut Solver, words: &Option<Words>) -> Option<Money> {
    read(solver, words, "money-notation", Money::read, "a sum of money")
}

/// A share of at most so many hundredths; more is a slip of the pen.
fn share(solver: &mut Solver, words: &Option<Words>, (what, most): (&str, i128)) -> Option<Share> {
    let found = read(solver, words, "share-notation", money::share, "a share in per cent")?;
    let place = words.as_ref()?.place;
    if found <= Ratio::new(most, 100) {
        return Some(found);
    }
    let message = format!("{what} is {}; more than {most}% is a slip of the pen", money::show_share(found));
    let fault = Diagnostic::error("share-out-of-range", place, message);
    solver.faults.push(fault.propose("look for a missing point or a nought too many: `8.25%`"));
    None
}

fn spread(solver: &mut Solver, words: &Option<Words>) -> Option<Ratio<i128>> {
    read(
        solver,
        words,
        "quantity-notation",
        money::spread,
        "an area to a measure, as `350 ft2/gal` or `10 m2/l`",
    )
}

fn volume(solver: &mut Solver, words: &Option<Words>) -> Option<(Ratio<i128>, String)> {
    let held =
        read(solver, words, "quantity-notation", money::volume, "what a can holds, as `1 qt` or `750 ml`")?;
    Some((held, words.as_ref()?.text.trim().to_owned()))
}

/// A whole number of at least 1.
fn count(solver: &mut Solver, formula: &Formula, what: &str) -> Option<i64> {
    let found = solver.whole(formula, Scope::JOB)?;
    if (1..=1_000_000).contains(&found) {
        return Some(found);
    }
    let message = format!("{what} is {found}; it must be from 1 to a million");
    solver.faults.push(Diagnostic::error("not-positive", formula.place, message).propose("give 1 or more"));
    None
}

fn buy(solver: &mut Solver, given: &BuySpec) -> Buy {
    let mut boxes = Vec::new();
    for of in &given.boxes {
        let length =
            of.length.as_ref().and_then(|f| solver.positive(f, Scope::JOB, "length of a box's fixings"));
        let gauge = of.gauge.as_ref().and_then(|f| solver.whole(f, Scope::JOB));
        let price = price(solver, &of.price);
        if let Some(count) = count(solver, &of.count, "the count of a box") {
            boxes.push(BoxOf { of: of.of.word(), length, gauge, count, price });
        }
    }
    let finishes = given.finishes.iter().map(|named| finish(solver, named)).collect();
    let glue = given.glue.as_ref().map(|glue| Glue {
        spread: spread(solver, &glue.spread),
        bottle: volume(solver, &glue.bottle),
        price: price(solver, &glue.price),
    });
    let abrasives = given.abrasives.as_ref().and_then(|of| {
        let covers = read(
            solver,
            &Some(of.covers.clone()),
            "quantity-notation",
            money::area,
            "an area, as `10 ft2` or `1 m2`",
        );
        let grits = of.grits.0.iter().filter_map(|f| count(solver, f, "a grit")).collect();
        Some(Abrasives { grits, covers: covers?, price: price(solver, &of.price) })
    });
    let mut hardware = Vec::new();
    for of in &given.hardware {
        let count = of.count.as_ref().map_or(Some(1), |f| count(solver, f, "a count of hardware"));
        let price = price(solver, &of.price);
        if let Some(count) = count {
            hardware.push(Hardware { item: of.item.text.clone(), count, price });
        }
    }
    Buy {
        currency: given.currency.as_ref().map(|words| words.text.trim().to_owned()).unwrap_or_default(),
        spares: share(solver, &given.spares, ("spares", 300)),
        boxes,
        finishes,
        glue,
        abrasives,
        extender: price(solver, &given.extender),
        hardware,
        margin: share(solver, &given.margin, ("margin", 300)),
        tax: share(solver, &given.tax, ("tax", 100)),
    }
}

fn finish(solver: &mut Solver, named: &Named<FinishSpec>) -> Finish {
    let given = &named.body;
    Finish {
        name: named.name.clone(),
        kind: given.kind.unwrap_or_default().word(),
        spread: spread(solver, &given.spread),
        coats: given.coats.as_ref().and_then(|f| count(solver, f, "coats")),
        can: volume(solver, &given.can),
        extra: share(solver, &given.extra, ("extra", 300)),
        show_only: given.faces == Some(FinishFaces::Show),
        words: given.r#for.0.iter().map(|words| words.text.clone()).collect(),
        price: price(solver, &given.price),
    }
}
