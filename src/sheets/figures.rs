//! How figures are printed on a sheet. One unit for the sheet, stated once, so no mark stands beside a figure.
//!
//! On inch sheets a length that lies on a mark of the rule down to 1/64" is printed as that fraction, exactly. Any
//! other (a caliper's thickness and all that follows from it) is printed in thousandths, which keep a fit of a few
//! thousandths that a fraction would lose, and the nearest mark of the sheet's step stands beside it in parentheses
//! for those who work with a rule. On metric sheets a length is printed to 0.1 mm where that is exact, else to
//! 0.01 mm, and where the spec gives a step the nearest mark of it stands beside what lies on none. What is printed is never further off than half of its own last place. A zero stands before a decimal
//! point even on inch sheets: a lone point is lost in shop dust.
//!
//! Rows that are to be added up are rounded together to the sheet's step (`row`).

use crate::length::Length;
use crate::length::notation::{InchForm, Showing, row};
use crate::trade::Units;
use crate::values::SheetChoices;

/// Finest fraction printed: 1/64", the finest mark of a steel rule in common use.
const FINEST: Length = Length::from_units(Length::INCH.units() / 64);
/// A thousandth of an inch.
const THOUSANDTH: Length = Length::from_units(Length::INCH.units() / 1000);
const TENTH_MM: Length = Length::from_units(Length::MM.units() / 10);
const HUNDREDTH_MM: Length = Length::from_units(Length::MM.units() / 100);

/// A figure as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    pub figure: String,
    /// The nearest mark of the rule, where the figure is none.
    pub tape: Option<String>,
}

impl Printed {
    /// Figure and rule mark in one line: `12.740 (12 3/4)`.
    pub fn both(&self) -> String {
        match &self.tape {
            Some(tape) => format!("{} ({tape})", self.figure),
            None => self.figure.clone(),
        }
    }
}

/// The sheet's way of printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figures {
    units: Units,
    step: Length,
    marks: bool,
}

impl Figures {
    pub fn of(choices: &SheetChoices) -> Figures {
        let usual = match choices.units {
            Units::Inch => Length::from_units(Length::INCH.units() / 32),
            Units::Millimetre => Length::MM.half(),
        };
        let step = if choices.step.is_positive() { choices.step } else { usual };
        Figures { units: choices.units, step, marks: choices.rule_marks }
    }

    /// One figure by itself.
    pub fn print(&self, length: Length) -> Printed {
        let plain = Showing { units: self.units, marks: false, ..Showing::inch(Length::ZERO) };
        let near = |step: Length| {
            let shown = Showing { step, ..plain }.show(length);
            (shown.off.abs() <= Length::TOUCH).then_some(shown.text)
        };
        match self.units {
            Units::Inch => match near(FINEST) {
                Some(figure) => Printed { figure, tape: None },
                None => {
                    let decimal =
                        Showing { step: THOUSANDTH, inch_form: InchForm::Decimal, decimals: 3, ..plain };
                    let tape = Showing { step: self.step, ..plain }.show(length).text;
                    Printed { figure: decimal.show(length).text, tape: Some(tape) }
                }
            },
            Units::Millimetre => {
                let figure = near(TENTH_MM)
                    .unwrap_or_else(|| Showing { step: HUNDREDTH_MM, ..plain }.show(length).text);
                let tape = self.marks && near(self.step).is_none();
                let tape = tape.then(|| Showing { step: self.step, ..plain }.show(length).text);
                Printed { figure, tape }
            }
        }
    }

    /// Whether the figure says the length with nothing left over.
    pub fn is_exact(&self, length: Length) -> bool {
        let on = |step: Length| length.units() % step.units() == 0;
        match self.units {
            Units::Inch => on(FINEST) || on(THOUSANDTH),
            Units::Millimetre => on(HUNDREDTH_MM),
        }
    }

    /// Short form: the figure alone.
    pub fn figure(&self, length: Length) -> String {
        self.print(length).figure
    }

    /// A row whose figures add up to the printed overall: the members in order, then the overall.
    pub fn chain(&self, members: &[Length], float: Option<usize>) -> (Vec<String>, String) {
        // The coarsest way of printing that is exact for every member; failing that, the finest, so that the member that
        // takes up the rounding is off by thousandths, not by marks of a rule.
        let on = |step: Length| members.iter().all(|m| m.units() % step.units() == 0);
        let (step, inch_form) = match self.units {
            Units::Inch if on(FINEST) => (FINEST, InchForm::Fraction),
            Units::Inch => (THOUSANDTH, InchForm::Decimal),
            Units::Millimetre if on(TENTH_MM) => (TENTH_MM, InchForm::Decimal),
            Units::Millimetre => (HUNDREDTH_MM, InchForm::Decimal),
        };
        let printed = row(members, step, float);
        let plain = Showing { units: self.units, marks: false, inch_form, ..Showing::inch(Length::ZERO) };
        let show = |length: &Length| {
            let on_rule = self.units == Units::Inch && length.units() % FINEST.units() == 0;
            match (inch_form, on_rule) {
                (_, true) => Showing { inch_form: InchForm::Fraction, ..plain }.show(*length).text,
                (InchForm::Decimal, false) if self.units == Units::Inch => {
                    Showing { decimals: 3, ..plain }.show(*length).text
                }
                _ => plain.show(*length).text,
            }
        };
        (printed.members.iter().map(show).collect(), show(&printed.overall))
    }

    /// Degrees to a hundredth, without idle zeros.
    pub fn degrees(degrees: f64) -> String {
        let hundredths = libm::rint(degrees * 100.0) as i64;
        let (whole, part) = (hundredths / 100, (hundredths % 100).abs());
        match (part, part % 10) {
            (0, _) => format!("{whole}°"),
            (_, 0) => format!("{whole}.{}°", part / 10),
            _ => format!("{whole}.{part:02}°"),
        }
    }

    /// The one statement of the unit.
    pub fn unit_note(&self) -> &'static str {
        match self.units {
            Units::Inch => "ALL DIMENSIONS IN INCHES; NEAREST RULE MARK IN ( )",
            Units::Millimetre if self.marks => "ALL DIMENSIONS IN MILLIMETRES; NEAREST RULE MARK IN ( )",
            Units::Millimetre => "ALL DIMENSIONS IN MILLIMETRES",
        }
    }

    pub fn units(&self) -> Units {
        self.units
    }
}
