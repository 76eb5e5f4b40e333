//! Sentences with formulas in braces: `a {crate.width} crate needs {crate.width + 1/2"}`. `{{` and `}}` are plain braces.

use super::evaluate::{Names, eval};
use super::formula::{Expr, Source, parse};
use crate::diagnose::{Diagnostic, Place};

/// A sentence that was understood; its formulas are worked out when it is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Sentence {
    pieces: Vec<Piece>,
}

#[derive(Clone, Debug, PartialEq)]
enum Piece {
    Words(String),
    Formula(Expr),
}

impl Sentence {
    /// Understands a sentence that stands at `place`.
    ///
    /// # Errors
    /// Every brace without its partner and every formula that is not one.
    pub fn parse(text: &str, place: Place) -> Result<Sentence, Vec<Diagnostic>> {
        let source = Source { text: text.to_string(), place };
        let (mut pieces, mut faults, mut words) = (Vec::new(), Vec::new(), String::new());
        let mut at = 0;
        while let Some(found) = text[at..].find(['{', '}']) {
            let brace = at + found;
            words.push_str(&text[at..brace]);
            let sign = &text[brace..=brace];
            if text[brace + 1..].starts_with(sign) {
                words.push_str(sign);
                at = brace + 2;
                continue;
            }
            let end = text[brace..].find('}').map(|length| brace + length).filter(|_| sign == "{");
            let Some(end) = end else {
                let message = format!("this {sign} has no partner");
                let fault = source.fault("formula-syntax", &(brace..brace + 1), message);
                faults.push(
                    fault.propose(format!(
                        "write both braces round a formula, or {sign}{sign} for a plain one"
                    )),
                );
                at = brace + 1;
                continue;
            };
            pieces.push(Piece::Words(std::mem::take(&mut words)));
            match parse(&text[brace + 1..end], source.at(&(brace + 1..end))) {
                Ok(expr) => pieces.push(Piece::Formula(expr)),
                Err(fault) => faults.push(fault),
            }
            at = end + 1;
        }
        words.push_str(&text[at..]);
        pieces.push(Piece::Words(words));
        if faults.is_empty() { Ok(Sentence { pieces }) } else { Err(faults) }
    }

    /// The sentence with its values, told in the units of `names`. A length that no short text states exactly is told
    /// with `about` before it.
    ///
    /// # Errors
    /// What [`eval`] finds in any of the formulas.
    pub fn say(&self, names: &mut dyn Names) -> Result<String, Vec<Diagnostic>> {
        let (mut said, mut faults) = (String::new(), Vec::new());
        for piece in &self.pieces {
            match piece {
                Piece::Words(words) => said.push_str(words),
                Piece::Formula(expr) => match eval(expr, names) {
                    Ok(value) => said.push_str(&value.say(names.units())),
                    Err(more) => faults.extend(more),
                },
            }
        }
        if faults.is_empty() { Ok(said) } else { Err(faults) }
    }
}

/// [`Sentence::parse`] and [`Sentence::say`] in one.
///
/// # Errors
/// As the two.
pub fn fill(text: &str, place: Place, names: &mut dyn Names) -> Result<String, Vec<Diagnostic>> {
    Sentence::parse(text, place)?.say(names)
}
