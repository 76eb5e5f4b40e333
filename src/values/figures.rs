//! Figures of the shop, of things and of stock, and where assemblies stand: the lengths that formulas know by a dotted
//! name and that no board gives. Each is worked out once and held to its sign.

use num_rational::Ratio;

use super::formula::{Reference, Segment, Value};
use super::names::{Answer, fault, length_value, position, solved};
use super::solver::{Key, Scope, Solved, Solver};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::spec::language::ParameterKind;
use crate::spec::read::{Formula, Name, Named};

#[derive(Clone, Copy)]
enum Sign {
    Positive,
    NotNegative,
}

impl<'s> Solver<'s> {
    fn figure(&mut self, key: Key, label: String, formula: &Formula, sign: Sign) -> Answer {
        solved(self.once(
            key,
            || label.clone(),
            None,
            formula.place,
            |solver| {
                let exact = solver.exact(formula, Scope::JOB)?;
                match sign {
                    Sign::Positive => drop(solver.positive(formula, Scope::JOB, &label)?),
                    Sign::NotNegative => drop(solver.not_negative(formula, Scope::JOB, &label)?),
                }
                Some(Solved::Value(length_value(exact)))
            },
        ))
    }

    /// A fit of the shop by its name.
    pub(super) fn fit(&mut self, text: &str) -> Answer {
        let fits: &'s [Named<Formula>] = self.spec.shop.as_ref().map_or(&[], |shop| &shop.fits);
        let Some(number) = position(fits, text) else { return Err(Vec::new()) };
        let label = format!("the fit {text}");
        self.figure(Key::Fit(number), label, &fits[number].body, Sign::NotNegative)
    }

    pub(super) fn shop_figure(&mut self, name: &Reference) -> Answer {
        const WORDS: [&str; 5] = ["kerf", "rip", "crosscut", "bit", "least_wood"];
        let [_, Segment { name: word, index: None }] = name.segments.as_slice() else {
            let message = format!("`{name}` is no figure of the shop");
            return fault(
                Diagnostic::error("unknown-name", name.place, message)
                    .propose(format!("write `shop.` and one of {}", WORDS.join(", "))),
            );
        };
        let shop = self.spec.shop.as_ref();
        let Some(number) = WORDS.iter().position(|known| known == word) else {
            if shop.is_some_and(|shop| position(&shop.fits, word).is_some()) {
                return self.fit(word);
            }
            return fault(self.unknown(name, word, &WORDS, "the shop has no figure"));
        };
        let formula = shop.and_then(|shop| {
            [&shop.kerf, &shop.rip, &shop.crosscut, &shop.bit, &shop.least_wood][number].as_ref()
        });
        match formula {
            Some(formula) => {
                self.figure(Key::ShopFigure(number), format!("{word} of the shop"), formula, Sign::Positive)
            }
            None => fault(self.not_given(name, "the shop", word)),
        }
    }

    fn not_given(&self, name: &Reference, of: &str, word: &str) -> Diagnostic {
        let message = format!("`{name}`: {of} gives no `{word}`");
        Diagnostic::error("not-given", name.place, message).propose(format!("add `{word}: …` to {of}"))
    }

    pub(super) fn thing_figure(&mut self, name: &Reference, number: usize) -> Answer {
        const WORDS: [&str; 4] = ["width", "depth", "height", "clearance"];
        let thing = &self.spec.things[number];
        let [Segment { index: None, .. }, Segment { name: word, index: None }] = name.segments.as_slice()
        else {
            let message = format!("`{name}` is a thing, not a value");
            return fault(Diagnostic::error("unknown-name", name.place, message).propose(format!(
                "write `{}.` and one of {}",
                thing.name,
                WORDS.join(", ")
            )));
        };
        let Some(figure) = WORDS.iter().position(|known| known == word) else {
            return fault(self.unknown(name, word, &WORDS, "a thing has no measure"));
        };
        self.thing(number, figure)
    }

    /// Width, depth, height or clearance of a thing.
    pub(super) fn thing(&mut self, number: usize, figure: usize) -> Answer {
        let thing = &self.spec.things[number];
        let body = &thing.body;
        let (word, formula, sign) = match figure {
            0 => ("width", Some(&body.width), Sign::Positive),
            1 => ("depth", Some(&body.depth), Sign::Positive),
            2 => ("height", Some(&body.height), Sign::Positive),
            _ => ("clearance", body.clearance.as_ref(), Sign::NotNegative),
        };
        match formula {
            Some(formula) => {
                self.figure(Key::ThingFigure(number, figure), format!("{}.{word}", thing.name), formula, sign)
            }
            None => Ok(length_value(Ratio::from_integer(0))),
        }
    }

    pub(super) fn stock_figure(&mut self, name: &Reference, stock: &str) -> Answer {
        const WORDS: [&str; 3] = ["thick", "width", "length"];
        let Some(number) = position(&self.spec.stock, stock) else { return Err(Vec::new()) };
        let Some(Segment { name: word, index: None }) = name.segments.last() else {
            return self.too_many_words(name);
        };
        let Some(figure) = WORDS.iter().position(|known| known == word) else {
            return fault(self.unknown(name, word, &WORDS, "a stock has no measure"));
        };
        match self.stock(number, figure) {
            Some(answer) => answer,
            None => {
                let message = format!("`{name}`: {stock} is solid wood and has no one {word}");
                fault(
                    Diagnostic::error("not-given", name.place, message)
                        .propose("write the size itself, or name a board"),
                )
            }
        }
    }

    /// Thickness, width or length of a stock; `None` where it has no such measure.
    pub(super) fn stock(&mut self, number: usize, figure: usize) -> Option<Answer> {
        let stock = &self.spec.stock[number];
        let (word, formula) = match figure {
            0 => ("thick", &stock.body.thick),
            1 => ("width", stock.body.sheet.0.first()?),
            _ => ("length", stock.body.sheet.0.get(1)?),
        };
        let label = format!("{}.{word}", stock.name);
        Some(self.figure(Key::StockFigure(number, figure), label, formula, Sign::Positive))
    }

    /// Exact thickness of a stock.
    pub fn thickness(&mut self, stock: usize) -> Option<Ratio<i128>> {
        match self.stock(stock, 0)? {
            Ok(Value::Quantity(quantity)) => Some(quantity.amount()),
            _ => None,
        }
    }

    /// The stock that a part's key names: a stock of the job, or a parameter that is one. Its index in the spec.
    pub fn stock_named(&mut self, name: &Name, assembly: usize) -> Option<usize> {
        let body = &self.assembly(assembly).body;
        if let Some(number) = position(&body.parameters, &name.text) {
            return match self.parameter(assembly, number)? {
                Value::Stock(stock) => position(&self.spec.stock, &stock),
                _ => {
                    let message = format!("`{}` is a parameter, but not a stock", name.text);
                    self.faults.push(
                        Diagnostic::error("not-a-stock", name.place, message)
                            .also(body.parameters[number].place, "declared here")
                            .propose("declare it with `is: stock`, or name a stock"),
                    );
                    None
                }
            };
        }
        let found = position(&self.spec.stock, &name.text);
        if found.is_none() {
            self.unknown_stock(&name.text, name.place, Some(assembly));
        }
        found
    }

    pub(super) fn unknown_stock(&mut self, text: &str, place: Place, assembly: Option<usize>) {
        let own = assembly.map_or(&[][..], |a| &self.assembly(a).body.parameters);
        let known: Vec<&str> = (self.spec.stock.iter().map(|s| s.name.as_str()))
            .chain(own.iter().filter(|p| p.body.is == ParameterKind::Stock).map(|p| p.name.as_str()))
            .collect();
        let fault = Diagnostic::error("unknown-name", place, format!("there is no stock called `{text}`"));
        let fault = match nearest(text, known.iter().copied()) {
            Some(near) => fault.propose(format!("write `{near}`, if that is meant")),
            None if known.is_empty() => fault.propose(format!("add it under `stock:` as `{text}: …`")),
            None => fault.propose(format!("name one of {}, or add it under `stock:`", known.join(", "))),
        };
        self.faults.push(fault);
    }

    /// Room position of an assembly's zero along an axis, exact.
    pub fn at(&mut self, assembly: usize, axis: usize) -> Option<Ratio<i128>> {
        let at = self.assembly(assembly).at.as_ref();
        let formula = at.and_then(|at| [&at.left, &at.front, &at.bottom][axis].as_ref());
        let Some(formula) = formula else { return Some(Ratio::from_integer(0)) };
        let label = || ["at left", "at front", "at bottom"][axis].to_owned();
        let found = self.once(Key::At(assembly, axis), label, Some(assembly), formula.place, |solver| {
            let exact = solver.exact(formula, Scope::JOB)?;
            Some(Solved::Pair(exact, exact))
        });
        match found {
            Some(Solved::Pair(exact, _)) => Some(exact),
            _ => None,
        }
    }
}
