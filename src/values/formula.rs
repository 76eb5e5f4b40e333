//! Text in, expression out; evaluation gives a value, dimension checked. Every operand keeps its place. Knows no spec
//! key: what a name means is asked of [`Names`].
//!
//! The language: `+ - * /` (also `− × ÷`), comparison `= != < > <= >=`, `and or not`, parentheses, the functions
//! `min max round_up round_down nearest if`, `yes` and `no`, names such as `divider[i - 1].right`, and lengths in the
//! trade's notation. A minus between two operands has a space on both sides, so that `1-1/4"` is one and a quarter.
//! A fraction belongs together before any division: `bay / 3/4"` asks how many three quarters a bay holds.
//!
//! ```
//! use tickstick::diagnose::{Diagnostic, Place};
//! use tickstick::length::{Units, notation::read};
//! use tickstick::values::formula::{Names, Reference, Value, as_length, eval, parse};
//!
//! struct Bench;
//! impl Names for Bench {
//!     fn value_of(&mut self, name: &Reference) -> Result<Value, Vec<Diagnostic>> {
//!         let text = match name.to_string().as_str() {
//!             "width" => r#"71 1/4""#,
//!             "kick" => r#"3 1/2""#,
//!             "divider[2].right" => r#"28 1/2""#,
//!             _ => return Err(vec![Diagnostic::error("unknown-name", name.place, "not in this bench")]),
//!         };
//!         Ok(read(text, Units::Inch).unwrap().into())
//!     }
//!     fn units(&self) -> Units {
//!         Units::Inch
//!     }
//! }
//!
//! let table = [
//!     (r#"width - 2 * 1/2""#,               r#"70 1/4""#),
//!     (r#"5' 4-1/2" - kick"#,               r#"61""#),
//!     ("divider[4 / 2].right + 1 mm",       "724.9 mm"),
//!     (r#"round_down(width / 5, 1/16")"#,   r#"14 1/4""#),
//!     (r#"if(kick > 3", kick, 3")"#,        r#"3 1/2""#),
//!     ("18",                                r#"18""#), // nothing but a number: the spec's units
//! ];
//! for (formula, length) in table {
//!     let expr = parse(formula, Place::default()).unwrap();
//!     let value = eval(&expr, &mut Bench).unwrap();
//!     let expected = read(length, Units::Inch).unwrap();
//!     assert_eq!(as_length(&value, &expr, Units::Inch), Ok(expected), "{formula}");
//! }
//! ```

use std::fmt;
use std::ops::Range;

use num_rational::Ratio;

use crate::diagnose::{Cure, Diagnostic, Place, Sureness, nearest};

pub use super::convert::{
    as_count, as_length, as_number, as_quantity, as_stock, as_truth, as_whole, as_word,
};
pub use super::evaluate::{Names, eval};
pub use super::parser::parse;
pub use super::quantity::{Dimension, Quantity, Value};
pub use super::sentence::{Sentence, fill};

/// Longest formula, in bytes. A longer one is better said as several named values.
pub const MOST_BYTES: usize = 2_000;
/// Deepest nesting of parentheses, signs and functions.
pub const MOST_DEPTH: usize = 64;

/// A formula that was understood; what its names stand for is still open.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    pub(super) root: Node,
    pub(super) source: Source,
}

impl Expr {
    /// The formula as it was written.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// The whole formula's place.
    pub fn place(&self) -> Place {
        self.source.place
    }

    /// The number, where the whole formula is nothing but a number, with or without a sign: where a length is wanted
    /// it counts the spec's units.
    pub fn bare_number(&self) -> Option<Ratio<i128>> {
        match &self.root.kind {
            NodeKind::Literal(Value::Quantity(quantity)) => plain(quantity),
            NodeKind::Negative(of) => match &of.kind {
                NodeKind::Literal(Value::Quantity(quantity)) => plain(&quantity.negated()),
                _ => None,
            },
            _ => None,
        }
    }

    /// The name, where the whole formula is nothing but a name without dots or an index: a stock, a fit, a choice.
    pub fn bare_name(&self) -> Option<&str> {
        match &self.root.kind {
            NodeKind::Name(segments) => match segments.as_slice() {
                [Part { name, index: None }] => Some(name),
                _ => None,
            },
            _ => None,
        }
    }
}

fn plain(quantity: &Quantity) -> Option<Ratio<i128>> {
    matches!(quantity.dimension(), Dimension::Number | Dimension::Zero).then(|| quantity.amount())
}

/// A name that a formula asks for, its indices worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// At least one.
    pub segments: Vec<Segment>,
    pub place: Place,
}

/// One step of a dotted name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Segment {
    pub name: String,
    /// As written: 1 is the first of a run.
    pub index: Option<i64>,
}

impl Reference {
    /// The fault for a name that stands for nothing; `known` are the full names that could have been meant.
    pub fn unknown<'a>(&self, known: impl IntoIterator<Item = &'a str>) -> Diagnostic {
        let name = self.to_string();
        let fault = Diagnostic::error("unknown-name", self.place, format!("nothing here is called {name}"));
        match nearest(&name, known) {
            Some(near) => fault.propose(format!("write {near}")),
            None => fault.propose("name a parameter, a value, a part, a stock or a thing"),
        }
    }
}

/// `divider[2].right`.
impl fmt::Display for Reference {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, segment) in self.segments.iter().enumerate() {
            let dot = if number > 0 { "." } else { "" };
            write!(to, "{dot}{}", segment.name)?;
            if let Some(index) = segment.index {
                write!(to, "[{index}]")?;
            }
        }
        Ok(())
    }
}

/// True for words that mean something in every formula and so cannot name a part or a value.
pub fn is_reserved(name: &str) -> bool {
    matches!(name, "and" | "or" | "not" | "yes" | "no" | "true" | "false") || Function::of(name).is_some()
}

/// A run of bytes of the formula and what stands there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Node {
    pub kind: NodeKind,
    pub at: Range<usize>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum NodeKind {
    Literal(Value),
    Name(Vec<Part>),
    Negative(Box<Node>),
    Not(Box<Node>),
    /// Operators of one rank, worked from left to right; one list rather than a tree, so that a long sum is not deep.
    Chain(Box<Node>, Vec<(Operator, Node)>),
    Call(Function, Vec<Node>),
}

/// One step of a dotted name, its index still a formula.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Part {
    pub name: String,
    pub index: Option<Node>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Operator {
    Plus,
    Minus,
    Times,
    Over,
    Equal,
    Unequal,
    Less,
    More,
    AtMost,
    AtLeast,
    And,
    Or,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Function {
    Min,
    Max,
    RoundUp,
    RoundDown,
    Nearest,
    If,
}

impl Function {
    pub const ALL: [(&'static str, Function); 6] = [
        ("min", Function::Min),
        ("max", Function::Max),
        ("round_up", Function::RoundUp),
        ("round_down", Function::RoundDown),
        ("nearest", Function::Nearest),
        ("if", Function::If),
    ];

    pub fn of(name: &str) -> Option<Function> {
        Function::ALL.iter().find(|(known, _)| *known == name).map(|(_, function)| *function)
    }

    /// How it is called, for messages.
    pub const fn usage(self) -> &'static str {
        match self {
            Function::Min => "min(a, b, …)",
            Function::Max => "max(a, b, …)",
            Function::RoundUp => "round_up(value, step)",
            Function::RoundDown => "round_down(value, step)",
            Function::Nearest => "nearest(value, step)",
            Function::If => "if(condition, a, b)",
        }
    }

    /// A step may be left out where a number is rounded.
    pub const fn takes(self, arguments: usize) -> bool {
        match self {
            Function::Min | Function::Max => arguments >= 1,
            Function::RoundUp | Function::RoundDown | Function::Nearest => arguments == 1 || arguments == 2,
            Function::If => arguments == 3,
        }
    }
}

/// The text of a formula and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Source {
    pub text: String,
    pub place: Place,
}

impl Source {
    /// Place of a run of the text; the whole place where the text is not as it lies in the file (escapes, folding).
    pub fn at(&self, range: &Range<usize>) -> Place {
        self.exact(range).unwrap_or(self.place)
    }

    fn exact(&self, range: &Range<usize>) -> Option<Place> {
        let place = self.place;
        let as_it_lies =
            place.end.checked_sub(place.start).map(|bytes| bytes as usize) == Some(self.text.len());
        let start = u32::try_from(range.start).ok()?.checked_add(place.start)?;
        let end = u32::try_from(range.end).ok()?.checked_add(place.start)?;
        as_it_lies.then_some(Place { file: place.file, start, end })
    }

    pub fn slice(&self, range: &Range<usize>) -> &str {
        self.text.get(range.clone()).unwrap_or("")
    }

    pub fn fault(&self, check: &'static str, at: &Range<usize>, message: impl Into<String>) -> Diagnostic {
        Diagnostic::error(check, self.at(at), message)
    }

    /// A cure that may change what was meant, with the edit where the text lies in the file as it is here.
    pub fn propose(&self, fault: Diagnostic, at: &Range<usize>, with: &str, text: String) -> Diagnostic {
        let mut fault = fault;
        let edit = self.exact(at).map(|place| (place, with.to_string()));
        fault.cures.push(Cure { text, sureness: Sureness::Proposed, edit });
        fault
    }
}
