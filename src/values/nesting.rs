//! How sheet goods are cut up, as asked: edge trim, the rack, sizes sold, boards whose grain runs on, effort. What fails is
//! told and left out.

use std::collections::BTreeMap;

use super::solver::{Scope, Solver};
use super::{CuttingShop, Job, SheetGrain, Stock, StockForm};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::length::{Length, Units};
use crate::spec::language::{GrainOfSheet, MOST_EFFORT, OffcutSpec};
use crate::spec::read::{Formula, OneOrMany};
use crate::trade::money::Money;

/// What a job asks of the layouts of its sheet goods.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Nesting {
    /// Strip off every factory edge, kerf included.
    pub edge_trim: Option<Length>,
    /// Where it is given.
    pub edge_trim_place: Place,
    /// Least offcut to keep: short and long side.
    pub keep_offcut: Option<[Length; 2]>,
    pub rack: Vec<RackOffcut>,
    /// Further sheet sizes by name of the stock, turned so that the grain runs as on the first.
    pub other_sizes: BTreeMap<String, Vec<SheetSize>>,
    /// Steps of work; `None` for the usual number.
    pub effort: Option<u32>,
    pub seed: Option<u64>,
    /// Name of the set and its place, by index of the assembly and key under `parts`.
    pub matched: BTreeMap<(usize, String), (String, Place)>,
}

/// A sheet as it is sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetSize {
    pub width: Length,
    pub length: Length,
    /// Of one sheet.
    pub price: Option<Money>,
}

/// Equal pieces in the rack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RackOffcut {
    /// Name of the stock.
    pub stock: String,
    /// Size across the grain.
    pub across: Length,
    /// Size along it.
    pub along: Length,
    pub count: u32,
    pub place: Place,
}

/// More equal offcuts than this no rack holds.
const MOST_OFFCUTS: i64 = 1_000;

/// Works out everything that is asked of the layouts; `stock` is what the job cuts from.
pub(super) fn nesting(solver: &mut Solver, stock: &[Stock]) -> Nesting {
    let spec = solver.spec;
    let mut asked = Nesting { matched: matched(solver), ..Nesting::default() };
    if let Some(shop) = &spec.shop {
        let trim = shop.edge_trim.as_ref();
        asked.edge_trim = trim.and_then(|f| solver.not_negative(f, Scope::JOB, "edge_trim of the shop"));
        asked.edge_trim_place = shop.keys.value("edge_trim").unwrap_or(shop.place);
        let place = shop.keys.key("keep_offcut").unwrap_or(shop.place);
        if shop.keys.key("keep_offcut").is_some() {
            let sides = two(solver, &shop.keep_offcut, place, "keep_offcut", "[short side, long side]");
            if let Some(sides) = sides {
                super::likely::offcut_sides(solver, sides, place);
            }
            asked.keep_offcut = sides.map(|[a, b]| [a.min(b), a.max(b)]);
        }
        asked.rack = shop.offcuts.iter().filter_map(|offcut| rack_offcut(solver, offcut, stock)).collect();
    }
    for named in &spec.stock {
        let place = named.body.keys.key("other_sizes").unwrap_or(named.place);
        if named.body.other_sizes.is_empty() {
            continue;
        }
        let main = stock.iter().find(|known| known.name == named.name).map(|known| &known.form);
        let sizes: Vec<SheetSize> = (named.body.other_sizes.iter())
            .filter_map(|other| {
                let place = other.keys.value("size").unwrap_or(other.place);
                let price = super::supply::price(solver, &other.price);
                let [width, length] = two(solver, &other.size, place, "a sheet", "size: [width, length]")?;
                Some(SheetSize { width, length, price })
            })
            .collect();
        match main {
            Some(form @ StockForm::Sheet { .. }) => {
                let turned = |size: SheetSize| {
                    let SheetSize { width, length, price } = size;
                    let grain = grain_of_sheet(width, length, named.body.grain);
                    let other = StockForm::Sheet { width, length, grain };
                    if form.rips_along_length() == other.rips_along_length() {
                        size
                    } else {
                        SheetSize { width: length, length: width, price }
                    }
                };
                asked.other_sizes.insert(named.name.clone(), sizes.into_iter().map(turned).collect());
            }
            Some(StockForm::Solid { .. }) => {
                let message = format!("{}: `other_sizes` is for sheets, but this is solid wood", named.name);
                solver.faults.push(
                    Diagnostic::error("stock-form", place, message)
                        .propose("leave `other_sizes` out, or write `sheet: [width, length]`"),
                );
            }
            None => {}
        }
    }
    if let Some(nests) = &spec.nests {
        let effort = nests.effort.as_ref();
        asked.effort = effort
            .and_then(|f| whole(solver, f, 1, MOST_EFFORT, "effort"))
            .and_then(|effort| u32::try_from(effort).ok());
        let seed = nests.seed.as_ref();
        asked.seed = seed
            .and_then(|f| whole(solver, f, 0, i64::from(u32::MAX), "seed"))
            .and_then(|seed| u64::try_from(seed).ok());
    }
    asked
}

/// Which way the grain runs on a sheet: along the second size, unless the spec says the longer or the shorter.
pub(super) fn grain_of_sheet(width: Length, length: Length, choice: Option<GrainOfSheet>) -> SheetGrain {
    let (longer, shorter) = if length >= width {
        (SheetGrain::AlongLength, SheetGrain::AlongWidth)
    } else {
        (SheetGrain::AlongWidth, SheetGrain::AlongLength)
    };
    match choice {
        None => SheetGrain::AlongLength,
        Some(GrainOfSheet::Long) => longer,
        Some(GrainOfSheet::Short) => shorter,
        Some(GrainOfSheet::None) => SheetGrain::None,
    }
}

impl StockForm {
    /// Whether rips run along the length of a sheet: along its grain, or along its longer side where it has none.
    pub fn rips_along_length(&self) -> bool {
        match self {
            StockForm::Sheet { grain: SheetGrain::AlongLength, .. } => true,
            StockForm::Sheet { grain: SheetGrain::AlongWidth, .. } => false,
            StockForm::Sheet { width, length, grain: SheetGrain::None } => length >= width,
            StockForm::Solid { .. } => true,
        }
    }
}

impl Job {
    /// Width of the saw's cut: as the shop says, else that of a usual full-kerf blade, 1/8" in an inch job and 3.2 mm in a metric
    /// one (common practice). Never nothing: parts laid out without a cut between them come out too small.
    pub fn kerf(&self) -> Length {
        self.shop.kerf.unwrap_or(usual_kerf(self.units))
    }

    /// How far apart pieces lie on the sheets of a stock (index into [`Job::stock`]): the saw's cut, or the bit of a shop that
    /// is sent whole sheets of it, where that is wider; then also that shop.
    pub fn apart(&self, stock: usize) -> (Length, Option<&CuttingShop>) {
        let shops = self.shop.cutting_shops.iter().filter(|shop| shop.nested && shop.cuts(stock));
        let mut apart = (self.kerf(), None);
        for (bit, shop) in shops.filter_map(|shop| Some((shop.bit?, shop))) {
            if bit > apart.0 {
                apart = (bit, Some(shop));
            }
        }
        apart
    }
}

/// What a usual full-kerf blade cuts.
pub(super) fn usual_kerf(units: Units) -> Length {
    match units {
        Units::Inch => Length::INCH.shared_by(8).0,
        Units::Millimetre => (Length::MM * 16).shared_by(5).0,
    }
}

impl Job {
    /// Every sheet that can be had of a stock, the usual one first; none for solid wood.
    pub fn sheet_sizes(&self, stock: &Stock) -> Vec<SheetSize> {
        let StockForm::Sheet { width, length, .. } = stock.form else { return Vec::new() };
        let price =
            self.supply.stock.get(&stock.name).and_then(|supply| supply.price).map(|(price, _)| price);
        let others = self.shop.nesting.other_sizes.get(&stock.name);
        std::iter::once(SheetSize { width, length, price })
            .chain(others.into_iter().flatten().copied())
            .collect()
    }
}

fn matched(solver: &Solver) -> BTreeMap<(usize, String), (String, Place)> {
    let mut all = BTreeMap::new();
    for (number, assembly) in solver.spec.assemblies.iter().enumerate() {
        for part in &assembly.body.body.parts {
            if let Some(name) = &part.body.grain_match {
                all.insert((number, part.name.clone()), (name.text.clone(), name.place));
            }
        }
    }
    all
}

fn two(
    solver: &mut Solver,
    given: &OneOrMany<Formula>,
    place: Place,
    what: &str,
    form: &str,
) -> Option<[Length; 2]> {
    let [one, other] = given.0.as_slice() else {
        let message = format!(
            "{what} has two sizes, but {} given",
            match given.0.len() {
                1 => "one is".to_owned(),
                many => format!("{many} are"),
            }
        );
        solver.faults.push(Diagnostic::error("two-sizes", place, message).propose(format!("write `{form}`")));
        return None;
    };
    let one = solver.positive(one, Scope::JOB, &format!("the first size of {what}"));
    let other = solver.positive(other, Scope::JOB, &format!("the second size of {what}"));
    Some([one?, other?])
}

fn whole(solver: &mut Solver, formula: &Formula, least: i64, most: i64, what: &str) -> Option<i64> {
    let found = solver.whole(formula, Scope::JOB)?;
    if (least..=most).contains(&found) {
        return Some(found);
    }
    let message = format!("{what} is {found}; it goes from {least} to {most}");
    let fault = Diagnostic::error("figure-out-of-range", formula.place, message);
    solver.faults.push(fault.propose(format!("write a whole number from {least} to {most}")));
    None
}

fn rack_offcut(solver: &mut Solver, offcut: &OffcutSpec, stock: &[Stock]) -> Option<RackOffcut> {
    let name = &offcut.stock.text;
    let in_spec = solver.spec.stock.iter().any(|known| known.name == *name);
    if !in_spec {
        let known: Vec<&str> = solver.spec.stock.iter().map(|known| known.name.as_str()).collect();
        let message = format!("there is no stock called `{name}`");
        let fault = Diagnostic::error("unknown-name", offcut.stock.place, message);
        solver.faults.push(match nearest(name, known.iter().copied()) {
            Some(near) => fault.propose(format!("write `{near}`, if that is meant")),
            None => fault.propose(format!("add it under `stock:` as `{name}: …`")),
        });
    }
    let place = offcut.keys.value("size").unwrap_or(offcut.place);
    let size = two(solver, &offcut.size, place, "an offcut", "size: [across the grain, along the grain]");
    let count = match &offcut.count {
        Some(count) => whole(solver, count, 0, MOST_OFFCUTS, "count of offcuts"),
        None => Some(1),
    };
    let form = stock.iter().find(|known| known.name == *name).map(|known| &known.form);
    if matches!(form, Some(StockForm::Solid { .. })) {
        let message = format!("{name} is solid wood; only offcuts of sheet goods are laid out");
        solver.faults.push(
            Diagnostic::error("stock-form", offcut.stock.place, message)
                .propose("leave it out of `offcuts`, or name sheet goods"),
        );
        return None;
    }
    let ([across, along], count) = (size?, count?);
    form?;
    Some(RackOffcut {
        stock: name.clone(),
        across,
        along,
        count: u32::try_from(count).ok()?,
        place: offcut.place,
    })
}
