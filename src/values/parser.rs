//! Tokens into an expression, loosest rank first: `or`, `and`, `not`, comparison, sum, product, sign.

use std::ops::Range;

use super::formula::{
    Dimension, Expr, Function, MOST_DEPTH, Node, NodeKind, Operator, Part, Source, Value, is_reserved,
};
use super::lexer::{Token, TokenKind, tokens};
use crate::diagnose::{Diagnostic, Place, nearest};

/// Understands a formula that stands at `place`.
///
/// # Errors
/// `formula-syntax`, `length-notation` or `unknown-function`, at the bytes that are at fault.
pub fn parse(text: &str, place: Place) -> Result<Expr, Diagnostic> {
    let source = Source { text: text.to_string(), place };
    let tokens = tokens(&source)?;
    let mut parser = Parser { source: &source, tokens, next: 0, depth: 0 };
    let root = parser.whole()?;
    Ok(Expr { root, source })
}

struct Parser<'a> {
    source: &'a Source,
    /// Ends with [`TokenKind::End`], which is never taken.
    tokens: Vec<Token>,
    next: usize,
    depth: usize,
}

type Parsed = Result<Node, Diagnostic>;

impl Parser<'_> {
    fn whole(&mut self) -> Parsed {
        if self.peek().kind == TokenKind::End {
            let range = 0..self.source.text.len();
            return Err(self
                .syntax(&range, "the formula is empty")
                .propose("write a length, a name or a calculation"));
        }
        let root = self.any()?;
        if self.peek().kind == TokenKind::End { Ok(root) } else { Err(self.unexpected(&root)) }
    }

    fn any(&mut self) -> Parsed {
        self.deeper(|parser| parser.rank(Parser::all_of, |operator| operator == Operator::Or))
    }

    fn all_of(&mut self) -> Parsed {
        self.rank(Parser::negation, |operator| operator == Operator::And)
    }

    fn negation(&mut self) -> Parsed {
        if self.peek().kind != TokenKind::Not {
            return self.comparison();
        }
        let start = self.take().at.start;
        let of = self.deeper(Parser::negation)?;
        let at = start..of.at.end;
        Ok(Node { kind: NodeKind::Not(Box::new(of)), at })
    }

    fn comparison(&mut self) -> Parsed {
        let left = self.sum()?;
        let Some(operator) = self.operator_if(is_comparison) else { return Ok(left) };
        let right = self.sum()?;
        if let TokenKind::Operator(second) = self.peek().kind
            && is_comparison(second)
        {
            let middle = self.source.slice(&right.at);
            let sign = self.source.slice(&self.peek().at);
            let cure = format!("write … {middle} and {middle} {sign} …");
            return Err(self.syntax(&self.peek().at, "two comparisons stand in a row").propose(cure));
        }
        let at = left.at.start..right.at.end;
        Ok(Node { kind: NodeKind::Chain(Box::new(left), vec![(operator, right)]), at })
    }

    fn sum(&mut self) -> Parsed {
        self.rank(Parser::product, |operator| matches!(operator, Operator::Plus | Operator::Minus))
    }

    fn product(&mut self) -> Parsed {
        self.rank(Parser::signed, |operator| matches!(operator, Operator::Times | Operator::Over))
    }

    /// Operands of one rank, worked from left to right.
    fn rank(&mut self, operand: fn(&mut Self) -> Parsed, mine: fn(Operator) -> bool) -> Parsed {
        let first = operand(self)?;
        let mut rest: Vec<(Operator, Node)> = Vec::new();
        let mut end = first.at.end;
        loop {
            if self.peek().kind == TokenKind::Operator(Operator::Minus) && mine(Operator::Minus) {
                self.minus_has_spaces(rest.last().map_or(&first, |(_, last)| last))?;
            }
            let Some(operator) = self.operator_if(mine) else { break };
            if operator == Operator::Over {
                self.fraction_is_plain()?;
            }
            let right = operand(self)?;
            end = right.at.end;
            rest.push((operator, right));
        }
        if rest.is_empty() {
            return Ok(first);
        }
        let at = first.at.start..end;
        Ok(Node { kind: NodeKind::Chain(Box::new(first), rest), at })
    }

    fn signed(&mut self) -> Parsed {
        if self.peek().kind != TokenKind::Operator(Operator::Minus) {
            return self.operand();
        }
        let start = self.take().at.start;
        let of = self.deeper(Parser::signed)?;
        let at = start..of.at.end;
        Ok(Node { kind: NodeKind::Negative(Box::new(of)), at })
    }

    fn operand(&mut self) -> Parsed {
        let token = self.peek().clone();
        match token.kind {
            TokenKind::Literal { value, .. } => {
                self.take();
                Ok(Node { kind: NodeKind::Literal(value), at: token.at })
            }
            TokenKind::Name(name) => {
                self.take();
                match (self.peek().kind == TokenKind::Open, Function::of(&name)) {
                    (true, Some(function)) => self.call(function, token.at.start),
                    (true, None) => Err(self.unknown_function(&name, &token.at)),
                    (false, Some(function)) => Err(self
                        .syntax(&token.at, format!("{name} is a function and needs its parentheses"))
                        .propose(format!("write {}", function.usage()))),
                    (false, None) => self.name(name, token.at),
                }
            }
            TokenKind::Open => {
                self.take();
                let inside = self.any()?;
                let end = self.close(TokenKind::Close, ")", &token.at, &inside)?;
                // The parentheses belong to the place, so that messages quote them.
                Ok(Node { at: token.at.start..end, ..inside })
            }
            _ => Err(self.missing_operand(&token)),
        }
    }

    fn name(&mut self, first: String, at: Range<usize>) -> Parsed {
        let mut end = at.end;
        let mut parts = vec![Part { name: first, index: None }];
        loop {
            match self.peek().kind {
                TokenKind::OpenIndex => {
                    let open = self.take().at;
                    let index = self.any()?;
                    end = self.close(TokenKind::CloseIndex, "]", &open, &index)?;
                    match parts.last_mut() {
                        Some(part) if part.index.is_none() => part.index = Some(index),
                        _ => {
                            return Err(self
                                .syntax(&(open.start..end), "a second index follows the first")
                                .propose("write one index, as in divider[2]"));
                        }
                    }
                }
                TokenKind::Dot => {
                    let dot = self.take();
                    let TokenKind::Name(name) = self.peek().kind.clone() else {
                        return Err(self
                            .syntax(&dot.at, "no name follows the dot")
                            .propose("write what is meant of it, as in end_left.right"));
                    };
                    end = self.take().at.end;
                    parts.push(Part { name, index: None });
                }
                _ => return Ok(Node { kind: NodeKind::Name(parts), at: at.start..end }),
            }
        }
    }

    fn call(&mut self, function: Function, start: usize) -> Parsed {
        let open = self.take().at;
        let mut arguments = vec![self.any()?];
        while self.peek().kind == TokenKind::Comma {
            self.take();
            arguments.push(self.any()?);
        }
        let last = arguments.last().map_or(open.end, |last| last.at.end);
        let end = match self.peek().kind {
            TokenKind::Close => self.take().at.end,
            _ => return Err(self.unclosed(")", &open, last)),
        };
        if !function.takes(arguments.len()) {
            let message = format!("{} has {} values", self.source.slice(&(start..end)), arguments.len());
            return Err(self.syntax(&(start..end), message).propose(format!("write {}", function.usage())));
        }
        Ok(Node { kind: NodeKind::Call(function, arguments), at: start..end })
    }

    // ── tokens ──────────────────────────────────────────────────────────────────────────────────────────────────

    fn peek(&self) -> &Token {
        &self.tokens[self.next]
    }

    /// The next token; the end is given again and again.
    fn take(&mut self) -> Token {
        let token = self.tokens[self.next].clone();
        if token.kind != TokenKind::End {
            self.next += 1;
        }
        token
    }

    fn operator_if(&mut self, mine: fn(Operator) -> bool) -> Option<Operator> {
        let TokenKind::Operator(operator) = self.peek().kind else { return None };
        if !mine(operator) {
            return None;
        }
        self.take();
        Some(operator)
    }

    fn close(
        &mut self,
        kind: TokenKind,
        sign: &str,
        open: &Range<usize>,
        inside: &Node,
    ) -> Result<usize, Diagnostic> {
        if self.peek().kind == kind {
            return Ok(self.take().at.end);
        }
        match self.peek().kind {
            TokenKind::Literal { .. } | TokenKind::Name(_) | TokenKind::Open => Err(self.unexpected(inside)),
            _ => Err(self.unclosed(sign, open, inside.at.end)),
        }
    }

    fn deeper(&mut self, inside: impl FnOnce(&mut Self) -> Parsed) -> Parsed {
        if self.depth >= MOST_DEPTH {
            let message = format!("the formula is nested more than {MOST_DEPTH} deep");
            return Err(self.syntax(&self.peek().at, message).propose("name parts of it under `values`"));
        }
        self.depth += 1;
        let parsed = inside(self);
        self.depth -= 1;
        parsed
    }

    // ── rules of the notation ───────────────────────────────────────────────────────────────────────────────────

    /// A minus between two operands has a space on both sides: without, it could be the dash of `1-1/4"`.
    fn minus_has_spaces(&self, left: &Node) -> Result<(), Diagnostic> {
        let minus = self.peek();
        let Some(after) = self.tokens.get(self.next + 1) else { return Ok(()) };
        let operand = matches!(after.kind, TokenKind::Literal { .. } | TokenKind::Name(_) | TokenKind::Open);
        if (minus.spaced && after.spaced) || !operand {
            return Ok(());
        }
        let whole = left.at.start..after.at.end;
        let message = format!("the minus in {} has no space on both sides", self.source.slice(&whole));
        let cure = format!("write {} - {}", self.source.slice(&left.at), self.source.slice(&after.at));
        let range = left.at.end..after.at.start;
        Err(self.source.propose(self.syntax(&minus.at, message), &range, " - ", cure))
    }

    /// `a / 1/2` could be a half of a half or a whole: a fraction behind a division is refused, unless its unit and
    /// the spaces make it plain.
    fn fraction_is_plain(&self) -> Result<(), Diagnostic> {
        let mut ahead = self.tokens[self.next..].iter();
        let minus = TokenKind::Operator(Operator::Minus);
        let Some(token) = ahead.find(|token| token.kind != minus) else { return Ok(()) };
        let TokenKind::Literal { value: Value::Quantity(quantity), plain_fraction: true } = &token.kind
        else {
            return Ok(());
        };
        let is_length = quantity.dimension() == Dimension::Length;
        if is_length && token.spaced {
            return Ok(());
        }
        let fraction = self.source.slice(&token.at);
        let message = format!("it is not plain what the stroke before {fraction} divides by");
        let fault = self.syntax(&token.at, message);
        let with = format!("({fraction})");
        let cure = format!("write / ({fraction}) for the fraction, or put spaces round every stroke");
        Err(self.source.propose(fault, &token.at, &with, cure))
    }

    // ── faults ──────────────────────────────────────────────────────────────────────────────────────────────────

    fn syntax(&self, at: &Range<usize>, message: impl Into<String>) -> Diagnostic {
        self.source.fault("formula-syntax", at, message)
    }

    /// What stands where the formula, or its parenthesis, should have ended.
    fn unexpected(&self, before: &Node) -> Diagnostic {
        let found = self.peek();
        let shown = self.source.slice(&found.at);
        let left = self.source.slice(&before.at);
        let both = before.at.start..found.at.end;
        match &found.kind {
            TokenKind::Close => self.syntax(&found.at, "this ) closes nothing").propose("leave it out"),
            TokenKind::CloseIndex => self.syntax(&found.at, "this ] closes nothing").propose("leave it out"),
            TokenKind::Comma => self
                .syntax(&found.at, "a comma stands outside any function")
                .propose("write a decimal point as a point, or put the values into a function: max(a, b)"),
            TokenKind::Name(_) if matches!(before.kind, NodeKind::Literal(_)) => {
                self.syntax(&both, format!("nothing stands between {left} and {shown}")).propose(format!(
                    "the units known are mm, cm, m, in, ft, \" and '; if {shown} is a name, put a sign before it"
                ))
            }
            TokenKind::Name(_) | TokenKind::Literal { .. } | TokenKind::Open | TokenKind::Not => {
                self.syntax(&both, format!("nothing stands between {left} and {shown}")).propose(format!(
                    "write {left} * {shown} for a multiplication, or put another sign between them"
                ))
            }
            _ => self.syntax(&found.at, format!("{shown} is out of place here")).propose("leave it out"),
        }
    }

    fn unclosed(&self, sign: &str, open: &Range<usize>, end: usize) -> Diagnostic {
        let fault = self.syntax(open, format!("this {} is not closed", self.source.slice(open)));
        self.source.propose(
            fault,
            &(end..end),
            sign,
            format!("write {sign} after {}", self.source.slice(&(open.end..end)).trim()),
        )
    }

    fn missing_operand(&self, found: &Token) -> Diagnostic {
        let previous = self.next.checked_sub(1).and_then(|index| self.tokens.get(index));
        let behind = previous.map(|token| self.source.slice(&token.at));
        let (at, message) = match (&found.kind, behind) {
            (TokenKind::End, Some(behind)) => {
                let at = previous.map_or(found.at.clone(), |token| token.at.clone());
                (at, format!("nothing follows {behind}"))
            }
            (_, Some(behind)) => (
                found.at.clone(),
                format!(
                    "{} follows {behind}, where a length, a number or a name should be",
                    self.source.slice(&found.at)
                ),
            ),
            (_, None) => {
                (found.at.clone(), format!("the formula begins with {}", self.source.slice(&found.at)))
            }
        };
        self.syntax(&at, message).propose("write a length, a number or a name there")
    }

    fn unknown_function(&self, name: &str, at: &Range<usize>) -> Diagnostic {
        let fault = self.source.fault("unknown-function", at, format!("there is no function called {name}"));
        let known = Function::ALL.map(|(name, _)| name);
        match nearest(name, known) {
            Some(near) => self.source.propose(fault, at, near, format!("write {near}")),
            None if is_reserved(name) => fault,
            None => fault
                .propose(format!("use one of {}; for a multiplication write {name} * (…)", known.join(", "))),
        }
    }
}

fn is_comparison(operator: Operator) -> bool {
    use Operator::{AtLeast, AtMost, Equal, Less, More, Unequal};
    matches!(operator, Equal | Unequal | Less | More | AtMost | AtLeast)
}
