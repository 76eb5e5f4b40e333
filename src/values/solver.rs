//! Named formulas solved in order of need: each is worked out once, a circle is printed as a circle, and what only
//! follows from a fault already told stays quiet. What a board's face is, is asked of [`Placing`].

use std::collections::BTreeMap;
use std::rc::Rc;

use num_rational::Ratio;

use super::formula::{
    Dimension, Expr, Names, Reference, Value, as_length, as_truth, as_whole, eval, fill, parse,
};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::spec::language::{AssemblySpec, Spec};
use crate::spec::read::{Formula, Words};
use crate::trade::Units;

/// Where a formula stands, and so which names it knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scope {
    /// Index of the assembly whose own names count first, and in whose measures positions are meant; `None`: the job,
    /// and the room.
    pub assembly: Option<usize>,
    /// What `i` stands for.
    pub i: Option<i64>,
}

impl Scope {
    /// The job's own scope.
    pub const JOB: Scope = Scope { assembly: None, i: None };

    /// The scope of an assembly.
    pub const fn of(assembly: usize) -> Scope {
        Scope { assembly: Some(assembly), i: None }
    }

    /// The same scope for one of a run.
    pub const fn at(self, i: Option<i64>) -> Scope {
        Scope { i, ..self }
    }
}

/// One of the things that lie in space: a part or an opening, by its index in the assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    pub assembly: usize,
    pub kind: EntryKind,
    pub number: usize,
}

/// What lies in space.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EntryKind {
    Part,
    Opening,
}

/// A measure of something in space, as a formula names it: `divider[2].left`.
#[derive(Clone, Copy, Debug)]
pub struct Measure<'r> {
    pub entry: Entry,
    /// 1 is the first of a run.
    pub index: Option<i64>,
    /// The last word of the name.
    pub word: &'r str,
    /// The whole name, for faults.
    pub name: &'r Reference,
}

/// Answers what boards and openings measure. The one implementation is in `boards`.
pub trait Placing {
    /// The value of a measure, in the view of `scope`.
    ///
    /// # Errors
    /// What is wrong with the name; nothing where the fault was told before.
    fn measure(&self, solver: &mut Solver, scope: Scope, of: Measure) -> Result<Value, Vec<Diagnostic>>;
}

/// What is worked out once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// `values` of the job or of an assembly.
    Named(Option<usize>, usize),
    Parameter(usize, usize),
    Fit(usize),
    ShopFigure(usize),
    StockFigure(usize, usize),
    ThingFigure(usize, usize),
    /// Room position of an assembly's zero along an axis.
    At(usize, usize),
    /// Of a part: which stock.
    StockOf(Entry),
    /// Is it there, and how many.
    Count(Entry),
    /// First position and pitch of an evenly spaced run.
    Spacing(Entry),
    /// Where one of a run (from 1) lies along an axis.
    Along(Entry, u32, usize),
    /// A measure, by its number, that all boards of a run have in common.
    Common(Entry, usize),
}

/// What a key may hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Solved {
    Value(Value),
    /// Index into the spec's `stock`.
    Stock(usize),
    /// How many; `None` for an entry that is single.
    Count {
        boards: u32,
        single: bool,
    },
    /// Two exact lengths.
    Pair(Ratio<i128>, Ratio<i128>),
}

#[derive(Clone, Debug)]
enum State {
    Open,
    /// `None`: it failed, and that was told.
    Done(Option<Solved>),
}

struct Step {
    key: Key,
    label: String,
    assembly: Option<usize>,
    place: Place,
}

/// How much may be open at once, counted by [`weight`]: some hundred names that lean on each other. A thread's usual
/// stack of 2 MiB has room for it even where nothing is optimized.
const MOST_OPEN: usize = 1_000;

/// What an open formula takes of the stack: a name costs about as much as three nested signs or parentheses. Counting
/// signs, whether nested or not, errs to the safe side.
fn weight(text: &str) -> usize {
    let nested = text.matches(['(', '[', '-', '\u{2212}']).count() + text.matches("not").count();
    8 + 3 * nested.min(super::formula::MOST_DEPTH)
}

/// Solves names and formulas of one spec, and gathers what is wrong with them.
pub struct Solver<'s> {
    pub spec: &'s Spec,
    pub units: Units,
    pub faults: Faults,
    placing: &'s dyn Placing,
    known: BTreeMap<Key, State>,
    open: Vec<Step>,
    open_weight: usize,
    parsed: BTreeMap<(Place, String), Option<Rc<Expr>>>,
}

impl<'s> Solver<'s> {
    pub fn new(spec: &'s Spec, placing: &'s dyn Placing) -> Solver<'s> {
        Solver {
            spec,
            units: super::job::units(spec),
            faults: Faults::new(),
            placing,
            known: BTreeMap::new(),
            open: Vec::new(),
            open_weight: 0,
            parsed: BTreeMap::new(),
        }
    }

    pub(super) fn placing(&self) -> &'s dyn Placing {
        self.placing
    }

    /// An assembly of the spec.
    pub fn assembly(&self, number: usize) -> &'s AssemblySpec {
        &self.spec.assemblies[number].body
    }

    /// Works a key out, once. `label` and `assembly` name it in a circle: `bench.bay`.
    pub fn once(
        &mut self,
        key: Key,
        label: impl FnOnce() -> String,
        assembly: Option<usize>,
        place: Place,
        work: impl FnOnce(&mut Self) -> Option<Solved>,
    ) -> Option<Solved> {
        match self.known.get(&key) {
            Some(State::Done(found)) => return found.clone(),
            Some(State::Open) => {
                self.tell_circle(key);
                return None;
            }
            None => {}
        }
        self.known.insert(key, State::Open);
        self.open.push(Step { key, label: label(), assembly, place });
        let found = work(self);
        self.open.pop();
        self.known.insert(key, State::Done(found.clone()));
        found
    }

    fn tell_circle(&mut self, key: Key) {
        let start = self.open.iter().position(|step| step.key == key).unwrap_or(0);
        let circle = &self.open[start..];
        let Some(first) = circle.first() else { return };
        let one_place = circle.iter().all(|step| step.assembly == first.assembly);
        let name = |step: &Step| match step.assembly.and_then(|a| self.spec.assemblies.get(a)) {
            Some(assembly) if !one_place => format!("{}.{}", assembly.name, step.label),
            _ => step.label.clone(),
        };
        let names: Vec<String> = circle.iter().chain([first]).map(name).collect();
        let message = format!("these lean on each other in a circle: {}", names.join(" -> "));
        let mut fault = Diagnostic::error("circle", first.place, message);
        for (step, next) in circle.iter().zip(&names[1..]) {
            fault = fault.also(step.place, format!("{} needs {next}", name(step)));
        }
        let which = match circle {
            [_] => "it a value that does not need itself",
            _ => "one of them a value that needs none of the others",
        };
        self.faults.push(fault.propose(format!("give {which}")));
    }

    fn parsed(&mut self, formula: &Formula) -> Option<Rc<Expr>> {
        let key = (formula.place, formula.text.clone());
        if let Some(known) = self.parsed.get(&key) {
            return known.clone();
        }
        let found = match parse(&formula.text, formula.place) {
            Ok(expr) => Some(Rc::new(expr)),
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        };
        self.parsed.insert(key, found.clone());
        found
    }

    /// The value of a formula; `None` where a fault was told.
    pub fn value(&mut self, formula: &Formula, scope: Scope) -> Option<(Value, Rc<Expr>)> {
        let weight = weight(&formula.text);
        if self.open_weight + weight > MOST_OPEN {
            let message =
                "too many values lean on each other, one behind the other; this is too deep to work out";
            self.faults.push(
                Diagnostic::error("leans-too-deep", formula.place, message)
                    .propose("work it out from the start of the chain, for example with `i *` the pitch"),
            );
            return None;
        }
        let expr = self.parsed(formula)?;
        self.open_weight += weight;
        let found = eval(&expr, &mut Within { solver: self, scope });
        self.open_weight -= weight;
        match found {
            Ok(value) => Some((value, expr)),
            Err(faults) => {
                self.tell_new(faults);
                None
            }
        }
    }

    fn tell_new(&mut self, faults: Vec<Diagnostic>) {
        self.faults.extend(faults.into_iter().filter(|fault| fault.check != FOLLOWS));
    }

    /// A length as an exact ratio of 1/80 µm: what positions are worked out with.
    pub fn exact(&mut self, formula: &Formula, scope: Scope) -> Option<Ratio<i128>> {
        let (value, expr) = self.value(formula, scope)?;
        let length = match as_length(&value, &expr, self.units) {
            Ok(length) => Ratio::from_integer(length.units().into()),
            Err(fault) => {
                self.faults.push(fault);
                return None;
            }
        };
        Some(match &value {
            Value::Quantity(quantity) if quantity.dimension() == Dimension::Length => quantity.amount(),
            _ => length,
        })
    }

    /// A length on the grid.
    pub fn length(&mut self, formula: &Formula, scope: Scope) -> Option<Length> {
        let (value, expr) = self.value(formula, scope)?;
        let length = as_length(&value, &expr, self.units);
        self.keep(length)
    }

    /// A length that must be more than nothing; `what` names it: `thick of birch`.
    pub fn positive(&mut self, formula: &Formula, scope: Scope, what: &str) -> Option<Length> {
        let length = self.length(formula, scope)?;
        if length.is_positive() {
            return Some(length);
        }
        let told = crate::length::notation::tell(length, self.units);
        let message = format!("{what} is {told}; it must be more than nothing");
        self.faults.push(
            Diagnostic::error("not-positive", formula.place, message)
                .propose("give the size as it was measured"),
        );
        None
    }

    /// A length that must not be below nothing.
    pub fn not_negative(&mut self, formula: &Formula, scope: Scope, what: &str) -> Option<Length> {
        let length = self.length(formula, scope)?;
        if length >= Length::ZERO {
            return Some(length);
        }
        let told = crate::length::notation::tell(length, self.units);
        let message = format!("{what} is {told}; it cannot be less than nothing");
        self.faults.push(
            Diagnostic::error("not-positive", formula.place, message)
                .propose("give 0 or more, or leave it out"),
        );
        None
    }

    /// Yes or no.
    pub fn truth(&mut self, formula: &Formula, scope: Scope) -> Option<bool> {
        let (value, expr) = self.value(formula, scope)?;
        let truth = as_truth(&value, &expr);
        self.keep(truth)
    }

    /// A whole number.
    pub fn whole(&mut self, formula: &Formula, scope: Scope) -> Option<i64> {
        let (value, expr) = self.value(formula, scope)?;
        let whole = as_whole(&value, &expr);
        self.keep(whole)
    }

    /// A sentence whose braces are filled with values.
    pub fn sentence(&mut self, words: &Words, scope: Scope) -> Option<String> {
        match fill(&words.text, words.place, &mut Within { solver: self, scope }) {
            Ok(said) => Some(said),
            Err(faults) => {
                self.tell_new(faults);
                None
            }
        }
    }

    pub(super) fn keep<T>(&mut self, found: Result<T, Diagnostic>) -> Option<T> {
        match found {
            Ok(value) => Some(value),
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        }
    }
}

/// Check of the mark that a formula failed only because a name did, which was told already. The mark keeps evaluation
/// from taking an empty list of faults for success; it never leaves the solver.
const FOLLOWS: &str = "follows";

/// The solver as it answers the names of one formula.
pub(super) struct Within<'a, 's> {
    pub solver: &'a mut Solver<'s>,
    pub scope: Scope,
}

impl Names for Within<'_, '_> {
    fn value_of(&mut self, name: &Reference) -> Result<Value, Vec<Diagnostic>> {
        self.solver.name(name, self.scope).map_err(|mut faults| {
            if faults.is_empty() {
                faults.push(Diagnostic::error(FOLLOWS, name.place, "told before"));
            }
            faults
        })
    }

    fn units(&self) -> Units {
        self.solver.units
    }
}
