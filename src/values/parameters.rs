//! What an assembly was given: `with` over the defaults, each of its kind and within its bounds. Knows no part.

use super::formula::{Dimension, Quantity, Value, as_length, as_number, as_stock, as_truth, as_whole};
use super::names::length_value;
use super::solver::{Key, Scope, Solved, Solver};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::spec::language::{ParameterKind, ParameterSpec};
use crate::spec::read::{Formula, Named};

impl<'s> Solver<'s> {
    /// The value of a parameter, given or default; `None` where a fault was told.
    pub fn parameter(&mut self, assembly: usize, number: usize) -> Option<Value> {
        let spec = self.assembly(assembly);
        let parameter = &spec.body.parameters[number];
        let given = spec.with.iter().find(|with| with.name == parameter.name);
        let place = given.map_or(parameter.place, |with| with.body.place);
        let found = self.once(
            Key::Parameter(assembly, number),
            || parameter.name.clone(),
            Some(assembly),
            place,
            |solver| solver.work_out(assembly, parameter, given).map(Solved::Value),
        );
        match found {
            Some(Solved::Value(value)) => Some(value),
            _ => None,
        }
    }

    fn work_out(
        &mut self,
        assembly: usize,
        parameter: &Named<ParameterSpec>,
        given: Option<&Named<Formula>>,
    ) -> Option<Value> {
        // What is given from outside is meant in the job's names and in the room; a default in the assembly's own.
        let (formula, scope) = match (given, &parameter.body.default) {
            (Some(with), _) => (&with.body, Scope::JOB),
            (None, Some(default)) => (default, Scope::of(assembly)),
            (None, None) => {
                if parameter.body.keys.key("default").is_none() {
                    self.not_given_at_all(assembly, parameter);
                }
                return None;
            }
        };
        let body = &parameter.body;
        match body.is {
            ParameterKind::Stock => self.stock_given(assembly, parameter, formula, scope),
            ParameterKind::OneOf => self.choice_given(parameter, formula),
            kind => {
                let value = self.of_kind(kind, formula, scope)?;
                self.within_bounds(assembly, parameter, &value, formula.place)?;
                Some(value)
            }
        }
    }

    fn not_given_at_all(&mut self, assembly: usize, parameter: &Named<ParameterSpec>) {
        let spec = &self.spec.assemblies[assembly];
        let about = parameter.body.about.as_ref().map_or(String::new(), |about| format!(": {}", about.text));
        let name = &parameter.name;
        let message = format!("{} needs `{name}`{about}", spec.name);
        self.faults.push(
            Diagnostic::error("parameter-missing", spec.place, message)
                .also(parameter.place, "declared here, without a default")
                .propose(format!("add `with: {{{name}: …}}` to {}", spec.name)),
        );
    }

    fn of_kind(&mut self, kind: ParameterKind, formula: &Formula, scope: Scope) -> Option<Value> {
        let (value, expr) = self.value(formula, scope)?;
        let checked = match kind {
            ParameterKind::YesNo => as_truth(&value, &expr).map(Value::Truth),
            ParameterKind::Count => as_whole(&value, &expr).map(|n| Value::Quantity(Quantity::count(n))),
            ParameterKind::Number => as_number(&value, &expr).map(|n| Value::Quantity(Quantity::number(n))),
            _ => as_length(&value, &expr, self.units).map(|length| match value {
                Value::Quantity(quantity) if quantity.dimension() == Dimension::Length => {
                    length_value(quantity.amount())
                }
                _ => Value::from(length),
            }),
        };
        self.keep(checked)
    }

    fn stock_given(
        &mut self,
        assembly: usize,
        parameter: &Named<ParameterSpec>,
        formula: &Formula,
        scope: Scope,
    ) -> Option<Value> {
        let text = formula.text.trim();
        if self.spec.stock.iter().any(|stock| stock.name == text) {
            return Some(Value::Stock(text.to_owned()));
        }
        // A default may hand on another parameter that is a stock; a value from outside one of another assembly.
        let own = scope.assembly.map_or(&[][..], |a| &self.assembly(a).body.parameters);
        if own.iter().any(|other| other.name == text && text != parameter.name) || text.contains('.') {
            let (value, expr) = self.value(formula, scope)?;
            let stock = as_stock(&value, &expr).map(|stock| Value::Stock(stock.to_owned()));
            return self.keep(stock);
        }
        if scope.assembly.is_none() {
            self.unknown_stock(text, formula.place, None);
            return None;
        }
        // Nothing was given, and the template's own default is not among the job's stock.
        let (name, spec) = (&parameter.name, &self.spec.assemblies[assembly]);
        let about = parameter.body.about.as_ref().map_or(String::new(), |about| format!(" ({})", about.text));
        let message =
            format!("{} needs a stock for `{name}`{about}: there is none called `{text}`", spec.name);
        let known: Vec<&str> = self.spec.stock.iter().map(|stock| stock.name.as_str()).collect();
        let cure = match known.len() {
            0 => format!("add the stock under `stock:` and name it in `with: {{{name}: …}}`"),
            _ => format!("name one in `with: {{{name}: …}}`: {}", known.join(", ")),
        };
        self.faults.push(
            Diagnostic::error("parameter-missing", spec.place, message)
                .also(formula.place, "its default")
                .propose(cure),
        );
        None
    }

    fn choice_given(&mut self, parameter: &Named<ParameterSpec>, formula: &Formula) -> Option<Value> {
        let words: Vec<&str> = parameter.body.of.0.iter().map(|word| word.text.as_str()).collect();
        let text = formula.text.trim();
        if words.contains(&text) {
            return Some(Value::Word(text.to_owned()));
        }
        let message = format!("{} is one of {}, not `{text}`", parameter.name, words.join(", "));
        let fault = Diagnostic::error("parameter-choice", formula.place, message);
        self.faults.push(match nearest(text, words.iter().copied()) {
            Some(near) => fault.replace(formula.place, near, format!("write `{near}`")),
            None => fault.propose("choose one of them"),
        });
        None
    }

    fn within_bounds(
        &mut self,
        assembly: usize,
        parameter: &Named<ParameterSpec>,
        value: &Value,
        place: Place,
    ) -> Option<()> {
        let Value::Quantity(given) = value else { return Some(()) };
        let body = &parameter.body;
        let scope = Scope::of(assembly);
        let bound = |solver: &mut Self, formula: &Option<Formula>| match formula {
            None => Some(None),
            Some(formula) => match solver.of_kind(body.is, formula, scope)? {
                Value::Quantity(bound) => Some(Some((bound, formula.place))),
                _ => Some(None),
            },
        };
        let least = bound(self, &body.least)?;
        let most = bound(self, &body.most)?;
        let (name, told) = (&parameter.name, given.tell(self.units));
        let beyond = |bound: &Option<(Quantity, Place)>, order| {
            bound.filter(|(bound, _)| given.compared(bound) == Ok(order))
        };
        let found =
            match (beyond(&least, std::cmp::Ordering::Less), beyond(&most, std::cmp::Ordering::Greater)) {
                (Some((least, at)), _) => Some((format!("least is {}", least.tell(self.units)), at)),
                (_, Some((most, at))) => Some((format!("most is {}", most.tell(self.units)), at)),
                _ if body.is == ParameterKind::Count && given.to_whole().is_some_and(|n| n < 0) => {
                    Some(("least is 0".to_owned(), parameter.place))
                }
                _ => None,
            };
        let Some((says, at)) = found else { return Some(()) };
        let message = format!("{name} is {told}, but the {says}");
        let fault = Diagnostic::error("parameter-out-of-range", place, message).also(at, "the bound");
        self.faults.push(fault.propose(format!("choose a value of {name} within the bounds")));
        None
    }

    /// Works out every parameter, used or not, so that each fault is told at once.
    pub(super) fn parameters(&mut self, assembly: usize) {
        for number in 0..self.assembly(assembly).body.parameters.len() {
            self.parameter(assembly, number);
        }
    }
}
