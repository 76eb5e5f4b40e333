//! What is wrong, where, and what cures it. One model; the command line renders it as text or JSON. Knows no spec key
//! and no joint: rooms word their own faults.

use std::cmp::Reverse;

/// A run of bytes in one of the files that were read. Small, and copied freely with every value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Index into [`Files`].
    pub file: u16,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// The texts that places point into, in the order in which they were read; 0 is the spec itself.
#[derive(Clone, Debug, Default)]
pub struct Files {
    all: Vec<(String, String)>,
}

impl Files {
    /// Adds a text and gives its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> u16 {
        self.all.push((name.into(), text.into()));
        u16::try_from(self.all.len() - 1).unwrap_or(u16::MAX)
    }

    pub fn name(&self, file: u16) -> &str {
        self.all.get(usize::from(file)).map_or("", |f| &f.0)
    }

    pub fn text(&self, file: u16) -> &str {
        self.all.get(usize::from(file)).map_or("", |f| &f.1)
    }

    /// Line and column of a place, both counted from 1, the column in characters.
    pub fn line_column(&self, place: Place) -> (usize, usize) {
        let text = self.text(place.file);
        let start = (place.start as usize).min(text.len());
        let before = text.get(..start).unwrap_or(text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        (line, column)
    }

    pub fn len(&self) -> usize {
        self.all.len()
    }

    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

/// How much a diagnostic weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Stops the build.
    Error,
    /// Printed and listed on the first sheet.
    Warning,
    /// Concerns people: says what is usual, defers to local code and a licensed trade.
    Caution,
}

/// How sure a cure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sureness {
    /// Cannot change what was meant: a misspelt key.
    Certain,
    /// A size or a choice that the maker must decide.
    Proposed,
}

/// What would cure a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cure {
    /// What to do, as an instruction.
    pub text: String,
    pub sureness: Sureness,
    /// The text to put in a place of the spec, where the cure is that plain.
    pub edit: Option<(Place, String)>,
}

/// One fault, warning or caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Name of the check, as `explain` knows it: `clash`, `unknown-key` …
    pub check: &'static str,
    pub severity: Severity,
    /// One sentence with the numbers.
    pub message: String,
    pub place: Place,
    /// Other places that matter, each with a short label.
    pub also: Vec<(Place, String)>,
    pub cures: Vec<Cure>,
}

impl Diagnostic {
    pub fn error(check: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            check,
            severity: Severity::Error,
            message: message.into(),
            place,
            also: Vec::new(),
            cures: Vec::new(),
        }
    }

    pub fn warning(check: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(check, place, message) }
    }

    pub fn caution(check: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Caution, ..Diagnostic::error(check, place, message) }
    }

    /// Adds another place.
    pub fn also(mut self, place: Place, label: impl Into<String>) -> Diagnostic {
        self.also.push((place, label.into()));
        self
    }

    /// Adds a cure that the maker must decide on.
    pub fn propose(mut self, text: impl Into<String>) -> Diagnostic {
        self.cures.push(Cure { text: text.into(), sureness: Sureness::Proposed, edit: None });
        self
    }

    /// Adds a cure that is a plain replacement of text.
    pub fn replace(mut self, place: Place, with: impl Into<String>, text: impl Into<String>) -> Diagnostic {
        self.cures.push(Cure {
            text: text.into(),
            sureness: Sureness::Certain,
            edit: Some((place, with.into())),
        });
        self
    }
}

/// All that is wrong so far. Every stage adds to it and goes on as far as it can.
#[derive(Clone, Debug, Default)]
pub struct Faults {
    all: Vec<Diagnostic>,
}

/// More than these are not kept: nobody reads them, and a spec made to hold a hundred thousand must not hold us up.
const MOST_FAULTS: usize = 2000;

impl Faults {
    pub fn new() -> Faults {
        Faults::default()
    }

    pub fn push(&mut self, fault: Diagnostic) {
        if self.all.len() < MOST_FAULTS && !self.all.contains(&fault) {
            self.all.push(fault);
        } else if fault.severity == Severity::Error && !self.has_errors() {
            // Two thousand warnings do not hide an error.
            self.all.push(fault);
        }
    }

    pub fn extend(&mut self, faults: impl IntoIterator<Item = Diagnostic>) {
        faults.into_iter().for_each(|f| self.push(f));
    }

    pub fn has_errors(&self) -> bool {
        self.all.iter().any(|f| f.severity == Severity::Error)
    }

    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.all.iter()
    }

    /// The diagnostics, errors first, then by place.
    pub fn into_sorted(mut self) -> Vec<Diagnostic> {
        self.all.sort_by(|a, b| {
            (a.severity, a.place, a.check, &a.message).cmp(&(b.severity, b.place, b.check, &b.message))
        });
        self.all
    }
}

/// The name in `known` that is most likely meant by `given`; `None` where none is near.
pub fn nearest<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let given_lower = given.to_lowercase();
    known
        .into_iter()
        .map(|name| (strsim::jaro_winkler(&given_lower, &name.to_lowercase()), name))
        .filter(|(likeness, name)| {
            *likeness > 0.84
                || strsim::osa_distance(&given_lower, &name.to_lowercase()) <= 1 + given.len() / 5
        })
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| Reverse(a.1).cmp(&Reverse(b.1))))
        .map(|(_, name)| name)
}
