//! What the whole job shares: title block, shop, stock, things, where assemblies stand, choices of paper. Each fault is
//! told and the rest goes on: a stock that failed is left out, and what is cut from it with it.

use std::collections::BTreeMap;

use super::formula::{Value, is_reserved};
use super::solver::{Scope, Solver};
use super::{Assembly, FullSize, Job, Nesting, SheetChoices, Shop, Stock, StockForm, Thing, Titles};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::spec::language::{
    PaperChoice, PracticeChoice, ProjectionChoice, Spec, StockSpec, TurnChoice, UnitsChoice,
};
use crate::spec::read::{Flag, Formula, Named, OneOrMany, Words};
use crate::trade::Units;

/// What a bare number means in this spec.
pub fn units(spec: &Spec) -> Units {
    of_choice(spec.units.unwrap_or(UnitsChoice::Inch))
}

fn of_choice(choice: UnitsChoice) -> Units {
    match choice {
        UnitsChoice::Inch => Units::Inch,
        UnitsChoice::Mm => Units::Millimetre,
    }
}

/// Works out the job. Every stock, thing, parameter and named value is worked out, used or not, so that each fault is
/// told at once; the solver goes on knowing them.
pub fn resolve(solver: &mut Solver) -> Job {
    let spec = solver.spec;
    check_names(solver);
    let mut shop = shop(solver);
    let stock: Vec<Stock> =
        spec.stock.iter().enumerate().filter_map(|(n, named)| stock(solver, n, named)).collect();
    shop.nesting = super::nesting::nesting(solver, &stock);
    let things = (0..spec.things.len()).filter_map(|number| thing(solver, number)).collect();
    let assemblies: Vec<Assembly> =
        (0..spec.assemblies.len()).map(|number| assembly(solver, number)).collect();
    for value in &spec.values {
        solver.job_value(value);
    }
    let sheets = sheets(solver, &assemblies);
    let full_size = full_size(solver);
    let service = super::service::service(solver);
    let titles = titles(spec);
    let supply = super::supply::supply(solver);
    Job { titles, units: solver.units, shop, stock, things, assemblies, sheets, full_size, service, supply }
}

fn titles(spec: &Spec) -> Titles {
    let Some(job) = &spec.job else { return Titles::default() };
    let text = |words: &Option<Words>| words.as_ref().map_or(String::new(), |words| words.text.clone());
    Titles {
        title: text(&job.title),
        number: text(&job.number),
        client: text(&job.client),
        site: text(&job.site),
        date: text(&job.date),
        revision: text(&job.revision),
        shop: text(&job.shop),
        drawn_by: text(&job.drawn_by),
        measured: text(&job.measured),
        approved_by: text(&job.approved_by),
    }
}

fn shop(solver: &mut Solver) -> Shop {
    let Some(spec) = &solver.spec.shop else { return Shop::default() };
    let mut figure = |formula: &Option<Formula>, what: &str| {
        formula.as_ref().and_then(|f| solver.positive(f, Scope::JOB, what))
    };
    let mut shop = Shop {
        kerf: figure(&spec.kerf, "kerf of the shop"),
        rip: figure(&spec.rip, "rip of the shop"),
        crosscut: figure(&spec.crosscut, "crosscut of the shop"),
        bit: figure(&spec.bit, "bit of the shop"),
        least_wood: figure(&spec.least_wood, "least_wood of the shop"),
        nesting: Nesting::default(),
        cutting_shops: Vec::new(),
        place: spec.place,
    };
    super::likely::kerf(solver, shop.kerf, spec.kerf.as_ref());
    let mut faults = Faults::new();
    shop.cutting_shops = super::cutting_shops(
        solver.spec,
        &shop,
        &mut |formula, what| solver.positive(formula, Scope::JOB, what),
        &mut faults,
    );
    solver.faults.extend(faults.into_sorted());
    for fit in &spec.fits {
        solver.not_negative(&fit.body, Scope::JOB, &format!("the fit {}", fit.name));
    }
    shop
}

fn stock(solver: &mut Solver, number: usize, named: &Named<StockSpec>) -> Option<Stock> {
    let (name, body) = (&named.name, &named.body);
    let told = solver.stock(number, 0);
    let thick = match told {
        Some(Ok(Value::Quantity(thick))) => thick.to_length(),
        Some(Err(faults)) => {
            solver.faults.extend(faults);
            None
        }
        _ => None,
    };
    let form = form(solver, named);
    let wood = super::service::wood(solver, body);
    let (thick, form) = (thick?, form?);
    let text = |words: &Option<Words>| words.as_ref().map(|words| words.text.clone());
    Some(Stock {
        name: name.clone(),
        place: named.place,
        thick,
        thick_place: body.thick.place,
        called: text(&body.called),
        species: text(&body.species),
        wood,
        form,
    })
}

fn form(solver: &mut Solver, named: &Named<StockSpec>) -> Option<StockForm> {
    let (name, body) = (&named.name, &named.body);
    let is_sheet = !body.sheet.0.is_empty() || body.keys.key("sheet").is_some();
    match (is_sheet, body.board.is_some_and(|flag| flag.on)) {
        (true, false) => sheet(solver, named),
        (false, true) => {
            let mut all = |list: &OneOrMany<Formula>, what: &str| -> Option<Vec<Length>> {
                let found: Vec<_> = (list.0.iter())
                    .map(|f| solver.positive(f, Scope::JOB, &format!("{what} of {name}")))
                    .collect();
                found.into_iter().collect()
            };
            let widths = all(&body.widths, "width");
            let lengths = all(&body.lengths, "length");
            Some(StockForm::Solid {
                widths: widths?,
                lengths: lengths?,
                glue_up: body.glue_up.is_some_and(|flag: Flag| flag.on),
            })
        }
        (true, true) => {
            let message = format!("{name} cannot be sheet goods and solid wood at once");
            let place = body.board.map_or(named.place, |flag| flag.place);
            solver.faults.push(
                Diagnostic::error("stock-form", place, message).propose("leave `sheet` out, or `board`"),
            );
            None
        }
        (false, false) => {
            let message = format!("{name}: neither `sheet` nor `board` says what it is");
            solver.faults.push(
                Diagnostic::error("stock-form", named.place, message)
                    .propose("add `sheet: [width, length]` for sheet goods, or `board: yes` for solid wood"),
            );
            None
        }
    }
}

fn sheet(solver: &mut Solver, named: &Named<StockSpec>) -> Option<StockForm> {
    let (name, body) = (&named.name, &named.body);
    for (key, given) in [
        ("widths", !body.widths.0.is_empty()),
        ("lengths", !body.lengths.0.is_empty()),
        ("glue_up", body.glue_up.is_some()),
    ] {
        if given {
            let place = body.keys.key(key).unwrap_or(named.place);
            let message = format!("{name}: `{key}` is for solid wood, but this is a sheet");
            solver
                .faults
                .push(Diagnostic::error("stock-form", place, message).propose(format!("leave `{key}` out")));
        }
    }
    let [width, length] = body.sheet.0.as_slice() else {
        let place = body.keys.key("sheet").unwrap_or(named.place);
        let message = format!(
            "{name}: a sheet has two sizes, but {} given",
            match body.sheet.0.len() {
                1 => "one is".to_owned(),
                many => format!("{many} are"),
            }
        );
        solver.faults.push(
            Diagnostic::error("stock-form", place, message)
                .propose("write `sheet: [width, length]`; the grain runs along the second"),
        );
        return None;
    };
    let width = solver.positive(width, Scope::JOB, &format!("width of {name}"));
    let length = solver.positive(length, Scope::JOB, &format!("length of {name}"));
    let (width, length) = (width?, length?);
    let grain = super::nesting::grain_of_sheet(width, length, body.grain);
    Some(StockForm::Sheet { width, length, grain })
}

fn thing(solver: &mut Solver, number: usize) -> Option<Thing> {
    let named = &solver.spec.things[number];
    let mut figures = [Length::ZERO; 4];
    let mut whole = true;
    for (figure, into) in figures.iter_mut().enumerate() {
        match solver.thing(number, figure) {
            Ok(Value::Quantity(quantity)) => match quantity.to_length() {
                Some(length) => *into = length,
                None => whole = false,
            },
            Ok(_) => whole = false,
            Err(faults) => {
                solver.faults.extend(faults);
                whole = false;
            }
        }
    }
    let [width, depth, height, clearance] = figures;
    whole.then(|| Thing { name: named.name.clone(), place: named.place, width, depth, height, clearance })
}

fn assembly(solver: &mut Solver, number: usize) -> Assembly {
    let named = &solver.spec.assemblies[number];
    solver.parameters(number);
    for value in &named.body.body.values {
        solver.own_value(number, value);
    }
    // A place that failed was told, and nothing is built then.
    let at = [0, 1, 2].map(|axis| {
        let exact = solver.at(number, axis);
        exact.and_then(|exact| grid_place(solver, exact, named.place)).unwrap_or_default()
    });
    Assembly {
        name: named.name.clone(),
        place: named.place,
        at,
        turns: turns(named.body.turn),
        template: named.body.template.as_ref().map(|name| name.text.clone()),
    }
}

fn grid_place(solver: &mut Solver, exact: num_rational::Ratio<i128>, place: Place) -> Option<Length> {
    let Value::Quantity(quantity) = super::names::length_value(exact) else { return None };
    let found = quantity.to_length();
    if found.is_none() {
        solver.faults.push(
            Diagnostic::error(
                "too-long",
                place,
                "the assembly would stand more than 1 km from the room's zero",
            )
            .propose("look for a slip of the pen in `at`"),
        );
    }
    found
}

/// Quarter turns to the left, seen from above.
pub fn turns(turn: Option<TurnChoice>) -> u8 {
    match turn.unwrap_or(TurnChoice::None) {
        TurnChoice::None => 0,
        TurnChoice::Left => 1,
        TurnChoice::Round => 2,
        TurnChoice::Right => 3,
    }
}

/// An inch job is drawn on tabloid by ASME practice in third-angle projection to 1/32", a metric one on A3 by ISO
/// practice in first-angle projection to 0.5 mm, unless the spec says otherwise. (Common practice.)
fn sheets(solver: &mut Solver, assemblies: &[Assembly]) -> SheetChoices {
    let spec = solver.spec.sheets.clone().unwrap_or_default();
    let shown = spec.units.map_or(solver.units, of_choice);
    let asme = match spec.practice {
        Some(practice) => practice == PracticeChoice::Asme,
        None => shown == Units::Inch,
    };
    let third_angle = match spec.projection {
        Some(projection) => projection == ProjectionChoice::Third,
        None => asme,
    };
    let paper = spec.paper.unwrap_or(match shown {
        Units::Inch => PaperChoice::Tabloid,
        Units::Millimetre => PaperChoice::A3,
    });
    let usual = match shown {
        Units::Inch => Length::from_units(Length::INCH.units() / 32),
        Units::Millimetre => Length::MM.half(),
    };
    let step = spec.step.as_ref().and_then(|step| solver.positive(step, Scope::JOB, "step of the sheets"));
    SheetChoices {
        paper: paper.word().to_owned(),
        asme,
        third_angle,
        units: shown,
        step: step.unwrap_or(usual),
        // Tapes in millimetres are read between their marks; on inch sheets a decimal says little to who works with a rule.
        rule_marks: step.is_some() || shown == Units::Inch,
        sections: super::sections::sections(solver, assemblies),
    }
}

fn full_size(solver: &mut Solver) -> FullSize {
    let mut faults = Faults::new();
    let spec = solver.spec;
    let asked =
        super::full_size(spec, &mut |formula, what| solver.positive(formula, Scope::JOB, what), &mut faults);
    solver.faults.extend(faults.into_sorted());
    asked
}

type Names<'s> = Vec<(&'s str, Place, &'static str)>;

/// Names that would be read as something else, or as two things. A name alone is a value, a parameter, a stock or a
/// fit; a name with a dot is a thing, a stock, an assembly, a part or an opening: `stile` and `stile.left` may both be.
fn check_names(solver: &mut Solver) {
    fn list<'s, T>(
        all: &'s [Named<T>],
        what: &'static str,
    ) -> impl Iterator<Item = (&'s str, Place, &'static str)> {
        all.iter().map(move |named| (named.name.as_str(), named.place, what))
    }
    let spec = solver.spec;
    let values: Names = list(&spec.values, "a value").collect();
    let stock: Names = list(&spec.stock, "a stock").collect();
    let fits: Names = spec.shop.iter().flat_map(|shop| list(&shop.fits, "a fit")).collect();
    check_list(solver, [&values, &stock, &fits].into_iter().flatten());
    let things: Names = list(&spec.things, "a thing").collect();
    let assemblies: Names = list(&spec.assemblies, "an assembly").collect();
    check_list(solver, [&things, &stock, &assemblies].into_iter().flatten());
    for assembly in &spec.assemblies {
        let body = &assembly.body.body;
        check_list(
            solver,
            list(&body.parameters, "a parameter")
                .chain(list(&body.values, "a value"))
                .collect::<Names>()
                .iter(),
        );
        check_list(
            solver,
            list(&body.parts, "a part").chain(list(&body.openings, "an opening")).collect::<Names>().iter(),
        );
    }
}

fn check_list<'n>(solver: &mut Solver, names: impl Iterator<Item = &'n (&'n str, Place, &'static str)>) {
    let mut seen: BTreeMap<&str, (Place, &str)> = BTreeMap::new();
    for (name, place, what) in names {
        // A joint may stand `against: wall`, so no part can be called that; `wall.panel` is another thing.
        let outside = *what == "a part" && matches!(*name, "wall" | "floor");
        if is_reserved(name) || matches!(*name, "i" | "shop") || outside {
            let message = format!("`{name}` has a meaning of its own, so it cannot name {what}");
            solver.faults.push(
                Diagnostic::error("reserved-name", *place, message)
                    .propose(format!("call it `{name}_1`, or by another word")),
            );
        }
        let Some((first, first_what)) = seen.insert(name, (*place, what)) else { continue };
        let message = format!("`{name}` names {first_what} and {what}; a formula could mean either");
        solver.faults.push(
            Diagnostic::error("name-said-twice", *place, message)
                .also(first, format!("{first_what} here"))
                .propose("give one of them another name"),
        );
    }
}

impl Solver<'_> {
    fn job_value(&mut self, value: &Named<Formula>) {
        let answer = self.named(None, &value.name);
        self.faults.extend(answer.err().unwrap_or_default());
    }

    fn own_value(&mut self, assembly: usize, value: &Named<Formula>) {
        let answer = self.named(Some(assembly), &value.name);
        self.faults.extend(answer.err().unwrap_or_default());
    }
}
