//! Where parts and openings lie in their assembly's own measures, worked out axis by axis as formulas ask for it:
//! whether a part is there, how many it is, and each board's run along each axis. Knows no outline and no joint.

use super::place::{Given, Run, Said, Stated, run, words};
use super::repeat;
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::spec::language::{FacesChoice, OpeningSpec, PartSpec, Spec};
use crate::spec::read::{Formula, KeyPlaces, Named};
use crate::trade::Axis;
use crate::values::solver::{Entry, EntryKind, Key, Scope, Solved, Solver};

/// Most boards, openings or holes that one job may have: ten times a large kitchen. More is a slip of the pen, and
/// is refused before anything is laid out.
pub const MOST: i64 = 10_000;

/// The part or opening behind an entry.
#[derive(Clone, Copy)]
pub enum Laid<'s> {
    Part(&'s Named<PartSpec>),
    Opening(&'s Named<OpeningSpec>),
}

impl<'s> Laid<'s> {
    pub fn of(spec: &'s Spec, entry: Entry) -> Laid<'s> {
        let body = &spec.assemblies[entry.assembly].body.body;
        match entry.kind {
            EntryKind::Part => Laid::Part(&body.parts[entry.number]),
            EntryKind::Opening => Laid::Opening(&body.openings[entry.number]),
        }
    }

    pub fn name(&self) -> &'s str {
        match self {
            Laid::Part(named) => &named.name,
            Laid::Opening(named) => &named.name,
        }
    }

    pub fn place(&self) -> Place {
        match self {
            Laid::Part(named) => named.place,
            Laid::Opening(named) => named.place,
        }
    }

    fn keys(&self) -> &'s KeyPlaces {
        match self {
            Laid::Part(named) => &named.body.keys,
            Laid::Opening(named) => &named.body.keys,
        }
    }

    fn count(&self) -> Option<&'s Formula> {
        match self {
            Laid::Part(named) => named.body.count.as_ref(),
            Laid::Opening(named) => named.body.count.as_ref(),
        }
    }

    /// Formulas of the low side, the high side and the size.
    fn formulas(&self, axis: Axis) -> [Option<&'s Formula>; 3] {
        macro_rules! of {
            ($body:expr) => {
                match axis {
                    Axis::Across => [&$body.left, &$body.right, &$body.width],
                    Axis::Deep => [&$body.front, &$body.back, &$body.depth],
                    Axis::Up => [&$body.bottom, &$body.top, &$body.height],
                }
            };
        }
        let found = match self {
            Laid::Part(named) => of!(named.body),
            Laid::Opening(named) => of!(named.body),
        };
        found.map(Option::as_ref)
    }
}

/// The axis that the broad faces look along.
pub fn normal(part: &PartSpec) -> Option<Axis> {
    Some(match part.faces? {
        FacesChoice::Side => Axis::Across,
        FacesChoice::Front => Axis::Deep,
        FacesChoice::Up => Axis::Up,
    })
}

/// The stock of a part, by its index in the spec.
pub fn stock_of(solver: &mut Solver, entry: Entry) -> Option<usize> {
    let Laid::Part(named) = Laid::of(solver.spec, entry) else { return None };
    let label = || format!("stock of {}", named.name);
    let found = solver.once(Key::StockOf(entry), label, Some(entry.assembly), named.place, |solver| {
        let Some(name) = &named.body.stock else {
            if named.body.keys.key("stock").is_none() {
                let known: Vec<&str> = solver.spec.stock.iter().map(|stock| stock.name.as_str()).collect();
                let message = format!("{} does not say what it is cut from", named.name);
                let cure = match known.len() {
                    0 => "add `stock: …`, and the stock itself under `stock:`".to_owned(),
                    _ => format!("add `stock:` and one of {}", known.join(", ")),
                };
                solver.faults.push(Diagnostic::error("part-incomplete", named.place, message).propose(cure));
            }
            return None;
        };
        solver.stock_named(name, entry.assembly).map(Solved::Stock)
    });
    match found {
        Some(Solved::Stock(stock)) => Some(stock),
        _ => None,
    }
}

/// How many boards or openings an entry is, and whether it is single by nature; `None` where a fault was told.
pub fn count(solver: &mut Solver, entry: Entry) -> Option<(u32, bool)> {
    let laid = Laid::of(solver.spec, entry);
    let label = || format!("{}.count", laid.name());
    let found = solver.once(Key::Count(entry), label, Some(entry.assembly), laid.place(), |solver| {
        let (boards, single) = work_out_count(solver, entry, &laid)?;
        Some(Solved::Count { boards: u32::try_from(boards).ok()?, single })
    });
    match found {
        Some(Solved::Count { boards, single }) => Some((boards, single)),
        _ => None,
    }
}

fn work_out_count(solver: &mut Solver, entry: Entry, laid: &Laid) -> Option<(i64, bool)> {
    let scope = Scope::of(entry.assembly);
    if let Laid::Part(named) = laid {
        let single = named.body.count.is_none() && named.body.halves.is_none();
        if named.body.keep.is_some_and(|keep| !keep.on) {
            return Some((0, single));
        }
        if let Some(when) = &named.body.when
            && !solver.truth(when, scope)?
        {
            return Some((0, single));
        }
        if named.body.halves.is_some() {
            return Some((repeat::halves_count(solver, entry.assembly, named)?, false));
        }
    }
    match laid.count() {
        Some(formula) => {
            let boards = solver.whole(formula, scope)?;
            within(solver, boards, formula.place, laid.name())?;
            Some((boards, false))
        }
        // A count that could not be read was told by the reader.
        None if laid.keys().key("count").is_some() => None,
        None => Some((1, true)),
    }
}

/// Refuses a count below nothing or beyond all bounds.
pub fn within(solver: &mut Solver, count: i64, place: Place, name: &str) -> Option<()> {
    let fault = if count < 0 {
        Diagnostic::error(
            "negative-count",
            place,
            format!("{name}: a count of {count}; it must be 0 or more"),
        )
        .propose("keep it from falling below 0: max(…, 0)")
    } else if count > MOST {
        let message = format!("{name} would be {count} pieces; a job has at most {MOST}");
        Diagnostic::error("too-many", place, message).propose("look for a slip of the pen in the count")
    } else {
        return Some(());
    };
    solver.faults.push(fault);
    None
}

/// The full name of one board or opening: `bench.divider[2]`.
pub fn full_name(spec: &Spec, entry: Entry, number: u32, single: bool) -> String {
    let (assembly, own) = (&spec.assemblies[entry.assembly].name, Laid::of(spec, entry).name());
    if single { format!("{assembly}.{own}") } else { format!("{assembly}.{own}[{number}]") }
}

/// Where one of an entry (from 1) lies along an axis of its assembly.
pub fn along(solver: &mut Solver, entry: Entry, number: u32, axis: Axis) -> Option<Run> {
    let laid = Laid::of(solver.spec, entry);
    let (_, single) = count(solver, entry)?;
    let own = if single { laid.name().to_owned() } else { format!("{}[{number}]", laid.name()) };
    let [low, high, _] = words(axis);
    let label = || format!("{own} ({low}, {high})");
    let key = Key::Along(entry, number, axis.index());
    let found = solver.once(key, label, Some(entry.assembly), laid.place(), |solver| {
        let run = work_out(solver, entry, &laid, number, single, axis)?;
        Some(Solved::Pair(run.low, run.size))
    });
    match found {
        Some(Solved::Pair(low, size)) => Some(Run { low, size }),
        _ => None,
    }
}

fn work_out(
    solver: &mut Solver,
    entry: Entry,
    laid: &Laid,
    number: u32,
    single: bool,
    axis: Axis,
) -> Option<Run> {
    let mut thick = None;
    let mut stock_name = "";
    if let Laid::Part(named) = laid {
        let Some(normal) = normal(&named.body) else {
            tell_no_faces(solver, named);
            return None;
        };
        if normal == axis {
            let stock = stock_of(solver, entry)?;
            let of = &solver.spec.stock[stock];
            stock_name = &of.name;
            let value = solver.thickness(stock)?;
            thick = Some(Stated { value, place: of.body.thick.place });
            if repeat::is_spaced(&named.body) {
                let (first, pitch) = repeat::spacing(solver, entry)?;
                let low = repeat::nth(first, pitch, number)?;
                return Some(Run { low, size: value });
            }
        }
    }
    let scope = Scope::of(entry.assembly).at((!single).then_some(i64::from(number)));
    let name = full_name(solver.spec, entry, number, single);
    let [low, high, size] = given(solver, laid.formulas(axis), scope, |word| laid.keys().key(word), axis)?;
    let said = Said { name: &name, axis, units: solver.units, place: laid.place(), stock: stock_name };
    match run(&Given { low, high, size, thick }, &said) {
        Ok(run) => Some(run),
        Err(fault) => {
            solver.faults.push(*fault);
            None
        }
    }
}

/// Works out the three formulas of an axis; all are tried, so that each fault is told. `None` where one failed or was
/// there but could not be read.
pub fn given(
    solver: &mut Solver,
    formulas: [Option<&Formula>; 3],
    scope: Scope,
    key: impl Fn(&str) -> Option<Place>,
    axis: Axis,
) -> Option<[Option<Stated>; 3]> {
    let mut whole = true;
    let mut found = [None; 3];
    for ((formula, word), into) in formulas.into_iter().zip(words(axis)).zip(&mut found) {
        match formula {
            Some(formula) => match solver.exact(formula, scope) {
                Some(value) => *into = Some(Stated { value, place: formula.place }),
                None => whole = false,
            },
            None => whole &= key(word).is_none(),
        }
    }
    whole.then_some(found)
}

fn tell_no_faces(solver: &mut Solver, named: &Named<PartSpec>) {
    if named.body.keys.key("faces").is_some() {
        return;
    }
    let message = format!("{} does not say where its broad faces look", named.name);
    solver.faults.push(
        Diagnostic::error("part-incomplete", named.place, message)
            .propose("add `faces: side` for an upright like an end, `front` for a panel, `up` for a shelf"),
    );
}

/// Finds the entry that a text names in an assembly, and tells where there is none.
pub fn entry_named(solver: &mut Solver, assembly: usize, text: &str, place: Place) -> Option<Entry> {
    let found = solver.entry(assembly, text).filter(|entry| entry.kind == EntryKind::Part);
    if found.is_none() {
        let spec = &solver.spec.assemblies[assembly];
        let known: Vec<&str> = spec.body.body.parts.iter().map(|part| part.name.as_str()).collect();
        let message = format!("{} has no part called `{text}`", spec.name);
        let fault = Diagnostic::error("unknown-part", place, message);
        solver.faults.push(match nearest(text, known.iter().copied()) {
            Some(near) => fault.propose(format!("write `{near}`, if that is meant")),
            None if known.is_empty() => fault.propose("add it under `parts:`"),
            None => fault.propose(format!("its parts are {}", known.join(", "))),
        });
    }
    found
}
