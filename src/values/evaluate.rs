//! An expression and the meaning of its names in, a value out. What is at fault in one formula is reported at once,
//! as far as its operands do not hang on each other.

use std::cmp::Ordering;
use std::ops::Range;

use super::formula::{
    Dimension, Expr, Function, Node, NodeKind, Operator, Part, Quantity, Reference, Segment, Source, Value,
};
use super::quantity::{Clash, Rounding};
use crate::diagnose::Diagnostic;
use crate::length::Units;

/// What names stand for; asked only for the names that a formula really needs.
pub trait Names {
    /// The value of a name.
    ///
    /// # Errors
    /// What is wrong with it, with places: an unknown name, a circle, a fault in its own formula. A word of a
    /// parameter that is a choice is answered with [`Value::Word`], so that `style = open` can be compared.
    fn value_of(&mut self, name: &Reference) -> Result<Value, Vec<Diagnostic>>;

    /// The units in which messages tell lengths.
    fn units(&self) -> Units;
}

/// Works out a formula.
///
/// # Errors
/// `mixed-dimensions`, `division-by-zero`, `number-too-large`, `negative-step`, `not-a-whole-number`, and whatever
/// [`Names::value_of`] answers.
pub fn eval(expr: &Expr, names: &mut dyn Names) -> Result<Value, Vec<Diagnostic>> {
    Evaluation { source: &expr.source, names }.node(&expr.root)
}

struct Evaluation<'a> {
    source: &'a Source,
    names: &'a mut dyn Names,
}

/// A value and the text that it comes from.
struct Operand {
    value: Value,
    at: Range<usize>,
}

type Worked<T> = Result<T, Vec<Diagnostic>>;

impl Evaluation<'_> {
    fn node(&mut self, node: &Node) -> Worked<Value> {
        match &node.kind {
            NodeKind::Literal(value) => Ok(value.clone()),
            NodeKind::Name(parts) => self.name(parts, &node.at),
            NodeKind::Negative(of) => {
                let operand = self.operand(of)?;
                let quantity = self.quantity(&operand, "be negative")?;
                Ok(Value::Quantity(quantity.negated()))
            }
            NodeKind::Not(of) => Ok(Value::Truth(!self.truth(of)?)),
            NodeKind::Chain(first, rest) => match rest.first() {
                Some((operator @ (Operator::And | Operator::Or), _)) => self.logic(*operator, first, rest),
                _ => self.chain(first, rest),
            },
            NodeKind::Call(Function::If, arguments) => self.choice(arguments),
            NodeKind::Call(function, arguments) => self.call(*function, arguments, &node.at),
        }
    }

    fn operand(&mut self, node: &Node) -> Worked<Operand> {
        Ok(Operand { value: self.node(node)?, at: node.at.clone() })
    }

    /// All operands, or all that is wrong with any of them; that may be an empty list, where it was told before.
    fn operands<'n>(&mut self, nodes: impl IntoIterator<Item = &'n Node>) -> Worked<Vec<Operand>> {
        let mut operands: Worked<Vec<Operand>> = Ok(Vec::new());
        for node in nodes {
            match (self.operand(node), &mut operands) {
                (Ok(operand), Ok(all)) => all.push(operand),
                (Ok(_), Err(_)) => {}
                (Err(more), Err(all)) => all.extend(more),
                (Err(more), Ok(_)) => operands = Err(more),
            }
        }
        operands
    }

    fn name(&mut self, parts: &[Part], at: &Range<usize>) -> Worked<Value> {
        let mut segments = Vec::new();
        for part in parts {
            let index = match &part.index {
                None => None,
                Some(node) => Some(self.index(node)?),
            };
            segments.push(Segment { name: part.name.clone(), index });
        }
        self.names.value_of(&Reference { segments, place: self.source.at(at) })
    }

    fn index(&mut self, node: &Node) -> Worked<i64> {
        let operand = self.operand(node)?;
        if let Value::Quantity(quantity) = &operand.value
            && let Some(whole) = quantity.to_whole()
        {
            return Ok(whole);
        }
        let message =
            format!("an index is a whole number; this is {}", operand.value.tell(self.names.units()));
        let fault = self.source.fault("not-a-whole-number", &node.at, message);
        Err(vec![fault.propose("write a whole number, 1 for the first, or a formula such as i - 1")])
    }

    fn chain(&mut self, first: &Node, rest: &[(Operator, Node)]) -> Worked<Value> {
        let nodes = std::iter::once(first).chain(rest.iter().map(|(_, node)| node));
        let mut operands = self.operands(nodes)?.into_iter();
        // `operands` gives as many as there are nodes.
        let Some(mut left) = operands.next() else { return Ok(Value::Quantity(Quantity::zero())) };
        for ((operator, _), right) in rest.iter().zip(operands) {
            let value = self.pair(*operator, &left, &right)?;
            left = Operand { value, at: left.at.start..right.at.end };
        }
        Ok(left.value)
    }

    fn pair(&mut self, operator: Operator, left: &Operand, right: &Operand) -> Worked<Value> {
        if let (Operator::Equal | Operator::Unequal, Some(equal)) =
            (operator, same_word(&left.value, &right.value))
        {
            return Ok(Value::Truth(equal == (operator == Operator::Equal)));
        }
        let (Value::Quantity(one), Value::Quantity(other)) = (&left.value, &right.value) else {
            return Err(vec![self.mixed(operator, left, right)]);
        };
        let ordered = |wanted: fn(Ordering) -> bool| one.compared(other).map(wanted).map(Value::Truth);
        let result = match operator {
            Operator::Plus => one.plus(other).map(Value::Quantity),
            Operator::Minus => one.minus(other).map(Value::Quantity),
            Operator::Times => one.times(other).map(Value::Quantity),
            Operator::Over => one.over(other).map(Value::Quantity),
            Operator::Equal => ordered(Ordering::is_eq),
            Operator::Unequal => ordered(Ordering::is_ne),
            Operator::Less => ordered(Ordering::is_lt),
            Operator::More => ordered(Ordering::is_gt),
            Operator::AtMost => ordered(Ordering::is_le),
            Operator::AtLeast => ordered(Ordering::is_ge),
            Operator::And | Operator::Or => return Err(vec![self.mixed(operator, left, right)]),
        };
        result.map_err(|clash| vec![self.clash(clash, operator, left, right)])
    }

    /// `and` and `or` stop at the first operand that decides, so that a condition can guard the next.
    fn logic(&mut self, operator: Operator, first: &Node, rest: &[(Operator, Node)]) -> Worked<Value> {
        let decides = operator == Operator::Or;
        for node in std::iter::once(first).chain(rest.iter().map(|(_, node)| node)) {
            if self.truth(node)? == decides {
                return Ok(Value::Truth(decides));
            }
        }
        Ok(Value::Truth(!decides))
    }

    fn truth(&mut self, node: &Node) -> Worked<bool> {
        let operand = self.operand(node)?;
        match operand.value {
            Value::Truth(truth) => Ok(truth),
            _ => {
                let message = format!("a condition is yes or no, but {}", self.told(&operand));
                let fault = self.source.fault("not-a-condition", &node.at, message);
                Err(vec![fault.propose("compare it with something, as in bay >= 12\"")])
            }
        }
    }

    /// Only the branch that is chosen is worked out.
    fn choice(&mut self, arguments: &[Node]) -> Worked<Value> {
        match arguments {
            [condition, yes, no] => {
                let chosen = if self.truth(condition)? { yes } else { no };
                self.node(chosen)
            }
            // The parser counts the arguments.
            _ => Ok(Value::Truth(false)),
        }
    }

    fn call(&mut self, function: Function, arguments: &[Node], at: &Range<usize>) -> Worked<Value> {
        let operands = self.operands(arguments)?;
        let rounding = match function {
            Function::RoundUp => Rounding::Up,
            Function::RoundDown => Rounding::Down,
            Function::Nearest => Rounding::Nearest,
            Function::Min => return self.extreme(&operands, Ordering::Less),
            Function::Max | Function::If => return self.extreme(&operands, Ordering::Greater),
        };
        match operands.as_slice() {
            [value, step] => {
                let one = self.quantity(value, "be rounded")?;
                let other = self.quantity(step, "be a step")?;
                let result = one.to_step(&other, rounding);
                result.map(Value::Quantity).map_err(|clash| vec![self.step_clash(clash, value, step)])
            }
            [value] => {
                let one = self.quantity(value, "be rounded")?;
                let result = one.to_step(&Quantity::count(1), rounding);
                result.map(Value::Quantity).map_err(|_| {
                    let message = format!("{}: it needs a step to be rounded to", self.told(value));
                    let fault = self.source.fault("mixed-dimensions", at, message);
                    vec![fault.propose(format!("write {}, with a step such as 1/16\"", function.usage()))]
                })
            }
            // The parser counts the arguments.
            _ => Ok(Value::Quantity(Quantity::zero())),
        }
    }

    /// The smallest or the largest; it takes the dimension of all, also where a plain 0 wins.
    fn extreme(&mut self, operands: &[Operand], wanted: Ordering) -> Worked<Value> {
        let mut all = Vec::new();
        for operand in operands {
            all.push((self.quantity(operand, "be compared")?, operand));
        }
        let like = all.iter().find(|(quantity, _)| quantity.dimension() != Dimension::Zero).copied();
        let mut best = Quantity::zero();
        for (number, (quantity, operand)) in all.iter().enumerate() {
            let quantity = match like {
                None => *quantity,
                Some((first, from)) => {
                    first.compared(quantity).map_err(|_| vec![self.mixed(Operator::Less, from, operand)])?;
                    quantity.as_like(&first)
                }
            };
            if number == 0 || quantity.compared(&best) == Ok(wanted) {
                best = quantity;
            }
        }
        Ok(Value::Quantity(best))
    }

    fn quantity(&mut self, operand: &Operand, to: &str) -> Worked<Quantity> {
        match operand.value {
            Value::Quantity(quantity) => Ok(quantity),
            _ => {
                let message = format!("{}: it cannot {to}", self.told(operand));
                let fault = self.source.fault("mixed-dimensions", &operand.at, message);
                Err(vec![fault.propose("use a length or a number there")])
            }
        }
    }

    // ── faults ──────────────────────────────────────────────────────────────────────────────────────────────────

    /// `width is 71 1/4" (a length)`, or `3 is a number` where the text is the value already.
    fn told(&self, operand: &Operand) -> String {
        let text = self.source.slice(&operand.at);
        let units = self.names.units();
        if text == operand.value.say(units) {
            format!("{text} is {}", operand.value.kind())
        } else {
            format!("{text} is {}", operand.value.tell(units))
        }
    }

    fn clash(&self, clash: Clash, operator: Operator, left: &Operand, right: &Operand) -> Diagnostic {
        match clash {
            Clash::DivisionByZero => {
                let [dividend, divisor] = [left, right].map(|operand| self.source.slice(&operand.at));
                self.source
                    .fault(
                        "division-by-zero",
                        &right.at,
                        format!("{dividend} is divided by {divisor}, which is 0"),
                    )
                    .propose("divide by something else, or guard it: if(count > 0, width / count, width)")
            }
            Clash::TooLarge => self.too_large(left, right),
            Clash::NoSuchMeasure => {
                let result =
                    if operator == Operator::Over { "the first over the second" } else { "their product" };
                let message = format!("{}, {}: {result} is no measure", self.told(left), self.told(right));
                self.both("mixed-dimensions", left, right, message)
                    .propose("the result must be a number, a length, an area or a volume")
            }
            Clash::Dimensions | Clash::NegativeStep => self.mixed(operator, left, right),
        }
    }

    fn mixed(&self, operator: Operator, left: &Operand, right: &Operand) -> Diagnostic {
        let cannot = match operator {
            Operator::Plus => "they cannot be added",
            Operator::Minus => "one cannot be taken from the other",
            Operator::Times => "they cannot be multiplied",
            Operator::Over => "one cannot be divided by the other",
            Operator::And | Operator::Or => "both must be yes or no",
            _ => "they cannot be compared",
        };
        let message = format!("{}, {}: {cannot}", self.told(left), self.told(right));
        let cure = self.cure_for_mixed(left, right);
        self.both("mixed-dimensions", left, right, message).propose(cure)
    }

    fn cure_for_mixed(&self, left: &Operand, right: &Operand) -> String {
        let dimension = |operand: &Operand| match &operand.value {
            Value::Quantity(quantity) => Some(quantity.dimension()),
            _ => None,
        };
        let number = match (dimension(left), dimension(right)) {
            (Some(Dimension::Number), Some(Dimension::Length)) => left,
            (Some(Dimension::Length), Some(Dimension::Number)) => right,
            _ => return "use two values of one kind".to_string(),
        };
        let text = self.source.slice(&number.at);
        let units = self.names.units();
        let (mark, one) = if units == Units::Inch { ("\"", "1\"") } else { (" mm", "1 mm") };
        if text == number.value.say(units) {
            format!("give it a unit: {text}{mark}")
        } else {
            format!("give it a unit: {text} * {one}")
        }
    }

    fn step_clash(&self, clash: Clash, value: &Operand, step: &Operand) -> Diagnostic {
        let fault = |check, message| self.source.fault(check, &step.at, message);
        match clash {
            Clash::DivisionByZero => fault("division-by-zero", "this step is 0".to_string())
                .propose("write a step above 0, such as 1/16\""),
            Clash::NegativeStep => fault("negative-step", format!("{}: a step is above 0", self.told(step)))
                .propose("write the step without its minus"),
            Clash::TooLarge => self.too_large(value, step),
            Clash::Dimensions | Clash::NoSuchMeasure => {
                let message = format!("{}, but its step {}", self.told(value), self.told(step));
                self.both("mixed-dimensions", value, step, message)
                    .propose("use a step of the same kind, such as 1/16\" for a length or 1 for a number")
            }
        }
    }

    fn too_large(&self, left: &Operand, right: &Operand) -> Diagnostic {
        let message =
            format!("{}, {}: together they pass what can be counted", self.told(left), self.told(right));
        self.both("number-too-large", left, right, message).propose("check the numbers for a slip of the pen")
    }

    fn both(&self, check: &'static str, left: &Operand, right: &Operand, message: String) -> Diagnostic {
        let units = self.names.units();
        let whole = left.at.start..right.at.end;
        self.source
            .fault(check, &whole, message)
            .also(self.source.at(&left.at), left.value.tell(units))
            .also(self.source.at(&right.at), right.value.tell(units))
    }
}

/// Whether two words, two stocks or two truths are the same; `None` for anything else.
fn same_word(one: &Value, other: &Value) -> Option<bool> {
    match (one, other) {
        (Value::Word(one), Value::Word(other)) | (Value::Stock(one), Value::Stock(other)) => {
            Some(one == other)
        }
        (Value::Truth(one), Value::Truth(other)) => Some(one == other),
        _ => None,
    }
}
