//! What a name in a formula stands for: own names of the assembly first, then the job's. Knows no board: what lies in
//! space is asked of [`super::solver::Placing`].

use num_rational::Ratio;

use super::formula::{Quantity, Reference, Segment, Value};
use super::solver::{Entry, EntryKind, Key, Measure, Scope, Solved, Solver};
use crate::diagnose::{Diagnostic, nearest};
use crate::length::Length;
use crate::spec::language::ParameterKind;
use crate::spec::read::{Formula, Named};

/// A name's value, or what is wrong; an empty list where the fault was told before.
pub(super) type Answer = Result<Value, Vec<Diagnostic>>;

/// Words that every assembly's measures are asked by.
pub const MEASURES: [&str; 12] =
    ["left", "right", "front", "back", "bottom", "top", "width", "depth", "height", "thick", "count", "gap"];

pub(super) fn fault(fault: Diagnostic) -> Answer {
    Err(vec![fault])
}

/// What was solved as a value; an empty list where it failed before.
pub(super) fn solved(found: Option<Solved>) -> Answer {
    match found {
        Some(Solved::Value(value)) => Ok(value),
        _ => Err(Vec::new()),
    }
}

pub(super) fn position<T>(all: &[Named<T>], name: &str) -> Option<usize> {
    all.iter().position(|named| named.name == name)
}

impl<'s> Solver<'s> {
    /// Answers a name that a formula asks for.
    pub(super) fn name(&mut self, name: &Reference, scope: Scope) -> Answer {
        let Some(first) = name.segments.first() else { return Err(Vec::new()) };
        if let Some(assembly) = scope.assembly
            && let Some(answer) = self.own_name(name, first, assembly, scope)
        {
            return answer;
        }
        self.job_name(name, first, scope)
    }

    /// A name of the assembly itself; `None` where it has none such.
    fn own_name(
        &mut self,
        name: &Reference,
        first: &Segment,
        assembly: usize,
        scope: Scope,
    ) -> Option<Answer> {
        if first.name == "i" {
            return Some(self.run_number(name, scope));
        }
        // A name alone is a value or a parameter; with a dot or an index it is a part or an opening, where there is one.
        let body = &self.assembly(assembly).body;
        let alone = name.segments.len() == 1 && first.index.is_none();
        let value = position(&body.values, &first.name);
        let parameter = position(&body.parameters, &first.name);
        if !alone && let Some(entry) = self.entry(assembly, &first.name) {
            return Some(self.measured(name, 0, entry, scope));
        }
        if value.is_some() {
            return Some(self.alone(name, first).and_then(|()| self.named(Some(assembly), &first.name)));
        }
        if let Some(number) = parameter {
            return Some(match self.parameter(assembly, number) {
                None => Err(Vec::new()),
                Some(Value::Stock(stock)) if !alone => self.stock_figure(name, &stock),
                Some(value) => self.alone(name, first).map(|()| value),
            });
        }
        self.entry(assembly, &first.name).map(|entry| self.measured(name, 0, entry, scope))
    }

    fn job_name(&mut self, name: &Reference, first: &Segment, scope: Scope) -> Answer {
        let spec = self.spec;
        let text = first.name.as_str();
        let alone = name.segments.len() == 1 && first.index.is_none();
        if alone && position(&spec.values, text).is_some() {
            return self.named(None, text);
        }
        if let Some(number) = position(&spec.things, text) {
            return self.thing_figure(name, number);
        }
        if position(&spec.stock, text).is_some() {
            return if alone { Ok(Value::Stock(text.to_owned())) } else { self.stock_figure(name, text) };
        }
        if text == "shop" {
            return self.shop_figure(name);
        }
        if let Some(assembly) = position(&spec.assemblies, text) {
            return self.of_assembly(name, assembly, scope);
        }
        if let Some(shop) = &spec.shop
            && position(&shop.fits, text).is_some()
        {
            return self.alone(name, first).and_then(|()| self.fit(text));
        }
        if position(&spec.values, text).is_some() {
            return self.alone(name, first).and(Err(Vec::new()));
        }
        if alone && self.is_choice(text) {
            return Ok(Value::Word(text.to_owned()));
        }
        fault(self.unknown(name, text, &self.names_in(scope), "nothing here is called"))
    }

    fn run_number(&self, name: &Reference, scope: Scope) -> Answer {
        match scope.i {
            Some(i) if name.segments.len() == 1 => Ok(Value::Quantity(Quantity::count(i))),
            _ => fault(
                Diagnostic::error(
                    "unknown-name",
                    name.place,
                    "`i` only has a meaning where boards are repeated",
                )
                .propose("give the part a `count`, or write the number itself"),
            ),
        }
    }

    /// Refuses a dotted or indexed name where the first word is a value.
    fn alone(&self, name: &Reference, first: &Segment) -> Result<(), Vec<Diagnostic>> {
        if name.segments.len() == 1 && first.index.is_none() {
            return Ok(());
        }
        let message = format!("`{name}`: `{}` is a single value and has no parts", first.name);
        Err(vec![
            Diagnostic::error("unknown-name", name.place, message).propose(format!("write `{}`", first.name)),
        ])
    }

    pub(super) fn unknown(&self, name: &Reference, text: &str, known: &[&str], says: &str) -> Diagnostic {
        let fault = Diagnostic::error("unknown-name", name.place, format!("{says} `{text}`"));
        match nearest(text, known.iter().copied()) {
            Some(near) => fault.propose(format!("write `{near}`, if that is meant")),
            None if known.is_empty() => fault.propose("define it, or write the value itself"),
            None if known.len() > 20 => fault.propose("look for it among the parts, values and parameters"),
            None => fault.propose(format!("the names known here are {}", known.join(", "))),
        }
    }

    /// Every name that a formula in this scope can begin with.
    fn names_in(&self, scope: Scope) -> Vec<&'s str> {
        fn names<T>(all: &[Named<T>]) -> impl Iterator<Item = &str> {
            all.iter().map(|named| named.name.as_str())
        }
        let mut known = Vec::new();
        if let Some(assembly) = scope.assembly {
            let body = &self.assembly(assembly).body;
            known.extend(names(&body.parameters));
            known.extend(names(&body.values));
            known.extend(names(&body.parts));
            known.extend(names(&body.openings));
        }
        let spec = self.spec;
        known.extend(names(&spec.values));
        known.extend(names(&spec.things));
        known.extend(names(&spec.stock));
        known.extend(names(&spec.assemblies));
        if let Some(shop) = &spec.shop {
            known.extend(names(&shop.fits));
            known.push("shop");
        }
        known
    }

    /// A part or an opening of an assembly by its key.
    pub fn entry(&self, assembly: usize, text: &str) -> Option<Entry> {
        let body = &self.assembly(assembly).body;
        if let Some(number) = position(&body.parts, text) {
            return Some(Entry { assembly, kind: EntryKind::Part, number });
        }
        position(&body.openings, text).map(|number| Entry { assembly, kind: EntryKind::Opening, number })
    }

    /// `entry.measure`, where the entry is segment `at` of the name.
    fn measured(&mut self, name: &Reference, at: usize, entry: Entry, scope: Scope) -> Answer {
        let index = name.segments.get(at).and_then(|segment| segment.index);
        match name.segments.get(at + 1..) {
            Some([Segment { name: word, index: None }]) if MEASURES.contains(&word.as_str()) => {
                let placing = self.placing();
                placing.measure(self, scope, Measure { entry, index, word, name })
            }
            Some([Segment { name: word, .. }, ..]) => {
                fault(self.unknown(name, word, &MEASURES, "a board has no measure"))
            }
            _ => fault(
                Diagnostic::error("unknown-name", name.place, format!("`{name}` is a board, not a value"))
                    .propose(format!("say which of its faces or sizes: `{name}.left`, `{name}.width`")),
            ),
        }
    }

    /// `bench.divider[2].left`, `bench.bay`.
    fn of_assembly(&mut self, name: &Reference, assembly: usize, scope: Scope) -> Answer {
        let body = &self.assembly(assembly).body;
        let Some(second) = name.segments.get(1) else {
            let message = format!("`{name}` is an assembly, not a value");
            return fault(
                Diagnostic::error("unknown-name", name.place, message)
                    .propose(format!("say which of its parts or values: `{name}.PART.left`")),
            );
        };
        let alone = name.segments.len() == 2 && second.index.is_none();
        if !alone && let Some(entry) = self.entry(assembly, &second.name) {
            return self.measured(name, 1, entry, scope);
        }
        if position(&body.values, &second.name).is_some() {
            return if alone { self.named(Some(assembly), &second.name) } else { self.too_many_words(name) };
        }
        if let Some(number) = position(&body.parameters, &second.name) {
            return match self.parameter(assembly, number).ok_or_else(Vec::new)? {
                value if alone => Ok(value),
                Value::Stock(stock) => self.stock_figure(name, &stock),
                _ => self.too_many_words(name),
            };
        }
        match self.entry(assembly, &second.name) {
            Some(entry) => self.measured(name, 1, entry, scope),
            None => {
                let known: Vec<&str> = (body.parts.iter().map(|n| n.name.as_str()))
                    .chain(body.values.iter().map(|n| n.name.as_str()))
                    .chain(body.parameters.iter().map(|n| n.name.as_str()))
                    .collect();
                let says = format!("{} has nothing called", self.spec.assemblies[assembly].name);
                fault(self.unknown(name, &second.name, &known, &says))
            }
        }
    }

    pub(super) fn too_many_words(&self, name: &Reference) -> Answer {
        let message = format!("`{name}` asks for a part of a single value");
        fault(Diagnostic::error("unknown-name", name.place, message).propose("leave the last word out"))
    }

    /// A named formula of an assembly or of the job.
    pub(super) fn named(&mut self, assembly: Option<usize>, text: &str) -> Answer {
        let all: &'s [Named<Formula>] = match assembly {
            Some(number) => &self.assembly(number).body.values,
            None => &self.spec.values,
        };
        let Some(number) = position(all, text) else { return Err(Vec::new()) };
        let (named, scope) = (&all[number], Scope { assembly, i: None });
        solved(self.once(
            Key::Named(assembly, number),
            || named.name.clone(),
            assembly,
            named.body.place,
            |solver| solver.value(&named.body, scope).map(|(value, _)| Solved::Value(value)),
        ))
    }

    fn is_choice(&self, text: &str) -> bool {
        self.spec.assemblies.iter().any(|assembly| {
            assembly.body.body.parameters.iter().any(|parameter| {
                parameter.body.is == ParameterKind::OneOf
                    && parameter.body.of.0.iter().any(|w| w.text == text)
            })
        })
    }
}

/// A length value from an exact ratio of 1/80 µm.
pub fn length_value(exact: Ratio<i128>) -> Value {
    let unit = Quantity::length(Length::from_units(1));
    Value::Quantity(Quantity::number(exact).times(&unit).unwrap_or(Quantity::zero()))
}
