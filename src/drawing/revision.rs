//! The triangle that marks what a revision changed, with the letter of the revision (common practice of drawing offices).
//! While words are laid out it stands in the text as a sign and the letter behind it, which keeps the room; where the
//! lettering is large enough it is then drawn as a triangle round the letter.

use super::lettering::width_of;
use super::{Anchor, At, LineType, Mark, Step, Text};

/// The sign in a text.
pub const SIGN: char = '△';

/// Smallest lettering of the standard series, for the letter in the triangle.
const LETTER: f64 = 1.8;
/// Of figures of this height and more the triangle is drawn.
const LEAST_FIGURE: f64 = 3.5;
/// Half a narrow line and a little air between the letter and the sides.
const AIR: f64 = 0.25;

/// What is put behind a figure that changed: a blank, the sign, the letter.
pub fn suffix(letter: &str) -> String {
    format!(" {SIGN}{letter}")
}

/// A triangle that stands on its base, with the letter inside where it fits. `at` is the left end of the base, in the
/// text's own direction `turn` (degrees).
pub fn triangle(at: At, base: f64, tall: f64, letter: &str, turn: f64) -> Vec<Mark> {
    let (sin, cos) = (libm::sin(turn.to_radians()), libm::cos(turn.to_radians()));
    let place = |x: f64, y: f64| (at.0 + x * cos - y * sin, at.1 + x * sin + y * cos);
    let path = vec![
        Step::Move(place(0.0, 0.0)),
        Step::Line(place(base, 0.0)),
        Step::Line(place(base / 2.0, tall)),
        Step::Close,
    ];
    let mut marks = vec![Mark::Stroke { path, line: LineType::Dimension }];
    let below = 0.12 * tall;
    let fitting = [2.5, LETTER].into_iter().find(|height| fits(letter, *height, base, tall, below));
    if let Some(height) = fitting.filter(|_| !letter.is_empty()) {
        let at = place(base / 2.0, below);
        let text = letter.to_owned();
        marks.push(Mark::Text(Text { at, text, height, anchor: Anchor::Middle, turn, bold: false }));
    }
    marks
}

/// Whether a letter stands clear of the sides of a triangle.
fn fits(letter: &str, height: f64, base: f64, tall: f64, below: f64) -> bool {
    let (_, above) = super::lettering::reach_of(letter, height, false);
    let half = base / 2.0 * (1.0 - (below + above) / tall);
    width_of(letter, height, false) / 2.0 + AIR <= half
}

/// A mark as it is drawn: the sign at the end of a large figure becomes a triangle round the letter.
pub fn drawn(mark: Mark) -> Vec<Mark> {
    let Mark::Text(text) = mark else { return vec![mark] };
    let parts = text.text.rsplit_once(SIGN).map(|(figure, letter)| (figure.to_owned(), letter.to_owned()));
    let Some((figure, letter)) = parts.filter(|_| text.height >= LEAST_FIGURE) else {
        return vec![Mark::Text(text)];
    };
    let whole = width_of(&text.text, text.height, text.bold);
    let before = width_of(&figure, text.height, text.bold);
    // A little lower and higher than the capitals, and as wide as the room that the sign and the letter keep.
    let (tall, base) = (1.2 * text.height, (whole - before).min(1.6 * text.height));
    let below = 0.1 * text.height;
    if !(letter.is_empty() || fits(&letter, LETTER, base, tall, 0.12 * tall)) {
        return vec![Mark::Text(text)];
    }
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -whole / 2.0,
        Anchor::End => -whole,
    };
    let (sin, cos) = (libm::sin(text.turn.to_radians()), libm::cos(text.turn.to_radians()));
    let place = |x: f64, y: f64| (text.at.0 + x * cos - y * sin, text.at.1 + x * sin + y * cos);
    let mut marks = triangle(place(start + before, -below), base, tall, &letter, text.turn);
    let figure = figure.trim_end().to_owned();
    if !figure.is_empty() {
        let at = place(start, 0.0);
        marks.push(Mark::Text(Text { at, text: figure, anchor: Anchor::Start, ..text }));
    }
    marks
}
