//! A formula's text into tokens. Lengths are read by the scanner of the notation, so that `1-1/4"` is one literal here
//! as everywhere.

use std::ops::Range;

use super::formula::{MOST_BYTES, Operator, Quantity, Source, Value};
use crate::diagnose::Diagnostic;
use crate::length::notation::{Literal, begins_number, is_minus, scan};

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    pub kind: TokenKind,
    pub at: Range<usize>,
    /// White space, or the formula's end, stands before it.
    pub spaced: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum TokenKind {
    Literal {
        value: Value,
        /// Written as one fraction without a whole number: `3/4"`.
        plain_fraction: bool,
    },
    Name(String),
    Operator(Operator),
    Not,
    Open,
    Close,
    OpenIndex,
    CloseIndex,
    Comma,
    Dot,
    End,
}

/// All tokens of a formula, the last of them [`TokenKind::End`].
pub(super) fn tokens(source: &Source) -> Result<Vec<Token>, Diagnostic> {
    let text = source.text.as_str();
    if text.len() > MOST_BYTES {
        let message = format!("this formula has {} bytes; the most is {MOST_BYTES}", text.len());
        return Err(source
            .fault("formula-syntax", &(0..text.len()), message)
            .propose("name parts of it under `values`"));
    }
    let mut all = Vec::new();
    let mut at = 0;
    let mut spaced = false;
    while let Some(first) = text[at..].chars().next() {
        if first.is_whitespace() {
            at += first.len_utf8();
            spaced = true;
            continue;
        }
        let (kind, used) = token(source, at, first)?;
        all.push(Token { kind, at: at..at + used, spaced });
        at += used;
        spaced = false;
    }
    all.push(Token { kind: TokenKind::End, at: at..at, spaced: true });
    Ok(all)
}

fn token(source: &Source, at: usize, first: char) -> Result<(TokenKind, usize), Diagnostic> {
    let rest = &source.text[at..];
    // A point that no digit follows is the dot of a name.
    let dot = first == '.' && !rest[1..].starts_with(|next: char| next.is_ascii_digit());
    if begins_number(first) && !dot {
        return literal(source, at);
    }
    if first.is_alphabetic() || first == '_' {
        return Ok(word(rest));
    }
    let two = rest.char_indices().nth(2).map_or(rest, |(end, _)| &rest[..end]);
    let operator = |operator| Ok((TokenKind::Operator(operator), first.len_utf8()));
    match two {
        ">=" => return Ok((TokenKind::Operator(Operator::AtLeast), 2)),
        "<=" => return Ok((TokenKind::Operator(Operator::AtMost), 2)),
        "!=" => return Ok((TokenKind::Operator(Operator::Unequal), 2)),
        "==" => return Err(instead(source, at, two, "=")),
        "<>" => return Err(instead(source, at, two, "!=")),
        "=>" => return Err(instead(source, at, two, ">=")),
        "=<" => return Err(instead(source, at, two, "<=")),
        "&&" => return Err(instead(source, at, two, " and ")),
        "||" => return Err(instead(source, at, two, " or ")),
        _ => {}
    }
    match first {
        '+' => operator(Operator::Plus),
        '*' | '×' | '·' => operator(Operator::Times),
        '/' | '÷' | '\u{2215}' => operator(Operator::Over),
        '>' => operator(Operator::More),
        '<' => operator(Operator::Less),
        '=' => operator(Operator::Equal),
        '≥' => operator(Operator::AtLeast),
        '≤' => operator(Operator::AtMost),
        '≠' => operator(Operator::Unequal),
        minus if is_minus(minus) => operator(Operator::Minus),
        '(' => Ok((TokenKind::Open, 1)),
        ')' => Ok((TokenKind::Close, 1)),
        '[' => Ok((TokenKind::OpenIndex, 1)),
        ']' => Ok((TokenKind::CloseIndex, 1)),
        ',' => Ok((TokenKind::Comma, 1)),
        '.' => Ok((TokenKind::Dot, 1)),
        '!' => Err(instead(source, at, "!", "not ")),
        _ => Err(stray(source, at, first)),
    }
}

fn literal(source: &Source, at: usize) -> Result<(TokenKind, usize), Diagnostic> {
    let scanned = scan(&source.text[at..]).map_err(|error| {
        let range = error.at.start + at..error.at.end + at;
        source.fault("length-notation", &range, error.message).propose(error.cure)
    })?;
    let value = match scanned.literal {
        Literal::Length(length) => Value::from(length),
        Literal::Number(number) if *number.numer() == 0 => Value::Quantity(Quantity::zero()),
        Literal::Number(number) => Value::Quantity(Quantity::number(number)),
    };
    Ok((TokenKind::Literal { value, plain_fraction: scanned.plain_fraction }, scanned.used))
}

fn word(rest: &str) -> (TokenKind, usize) {
    let in_word = |next: char| next.is_alphabetic() || next.is_ascii_digit() || next == '_';
    let end = rest.find(|next: char| !in_word(next)).unwrap_or(rest.len());
    let truth = |truth| TokenKind::Literal { value: Value::Truth(truth), plain_fraction: false };
    let kind = match &rest[..end] {
        "and" => TokenKind::Operator(Operator::And),
        "or" => TokenKind::Operator(Operator::Or),
        "not" => TokenKind::Not,
        "yes" | "true" => truth(true),
        "no" | "false" => truth(false),
        name => TokenKind::Name(name.to_string()),
    };
    (kind, end)
}

fn instead(source: &Source, at: usize, found: &str, wanted: &str) -> Diagnostic {
    let range = at..at + found.len();
    let fault = source.fault("formula-syntax", &range, format!("{found} is no sign of this language"));
    source.propose(fault, &range, wanted, format!("write {}", wanted.trim()))
}

fn stray(source: &Source, at: usize, first: char) -> Diagnostic {
    let range = at..at + first.len_utf8();
    let cure = match first {
        '"' | '\'' | '″' | '′' | '“' | '”' | '‘' | '’' => {
            "a mark stands right after its number, as in 3/4\"; words need no quotes"
        }
        '%' => "write a share as a decimal: 0.08 for 8 %",
        '^' => "multiply instead: depth * depth",
        _ => "use + - * / ( ) and comparisons, names and lengths",
    };
    source.fault("formula-syntax", &range, format!("{first} has no meaning in a formula here")).propose(cure)
}
