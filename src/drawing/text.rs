//! Paragraphs: text broken to a width. Sizes are never torn: `7 1/4"` and `18 mm` stay on one line, because half of
//! either is a wrong number.

use super::lettering::{pitch, width_of};
use super::{Anchor, At, Mark, Placed, Text};

/// One line of text from its baseline, reading from the bottom.
pub fn written(at: At, text: impl Into<String>, height: f64, anchor: Anchor, bold: bool) -> Mark {
    Mark::Text(Text { at, text: text.into(), height, anchor, turn: 0.0, bold })
}

/// A paragraph hung by its upper left corner; new lines in the text are kept.
pub fn paragraph(at: At, text: &str, width: f64, height: f64, bold: bool) -> Placed {
    lines(at, &wrap(text, width, height, bold), height, Anchor::Start, bold)
}

/// Lines under each other, the tops of the first line's capitals at `at`.
pub fn lines(at: At, all: &[String], height: f64, anchor: Anchor, bold: bool) -> Placed {
    let mut placed = Placed::default();
    let mut baseline = at.1;
    for (index, text) in all.iter().enumerate() {
        baseline -= if index == 0 { height } else { pitch(text, height) };
        placed.width = placed.width.max(width_of(text, height, bold));
        placed.marks.push(written((at.0, baseline), text.as_str(), height, anchor, bold));
    }
    // Descenders of the last line hang below its baseline.
    placed.height = if all.is_empty() { 0.0 } else { at.1 - baseline + 0.35 * height };
    placed
}

/// Height in millimetres that [`lines`] takes.
pub fn height_of(all: &[String], height: f64) -> f64 {
    lines((0.0, 0.0), all, height, Anchor::Start, false).height
}

/// The text in lines no wider than `width` millimetres. A word that is wider on its own is broken between letters.
pub fn wrap(text: &str, width: f64, height: f64, bold: bool) -> Vec<String> {
    let mut all = Vec::new();
    for given in text.lines() {
        let mut line = String::new();
        for word in words(given) {
            let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
            if width_of(&longer, height, bold) <= width {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                all.push(std::mem::take(&mut line));
            }
            line = broken(&word, width, height, bold, &mut all);
        }
        all.push(line);
    }
    all
}

/// The widest piece of a text that [`wrap`] will not break between words.
pub fn widest_word(text: &str, height: f64, bold: bool) -> f64 {
    text.lines().flat_map(words).map(|w| width_of(&w, height, bold)).fold(0.0, f64::max)
}

/// The widest piece of a text that must never be broken, not even between letters: a figure, a size or a mark. A piece of
/// more than 24 characters without a space is none, whatever digits it has.
pub fn widest_figure(text: &str, height: f64, bold: bool) -> f64 {
    let is_figure = |word: &String| {
        word.contains(|c: char| c.is_ascii_digit() || "¼½¾⅛⅜⅝⅞".contains(c))
            && word.split_whitespace().all(|piece| piece.chars().count() <= LONGEST_FIGURE)
    };
    let figures = text.lines().flat_map(words).filter(is_figure);
    figures.map(|word| width_of(&word, height, bold)).fold(0.0, f64::max)
}

/// No figure, size or mark has more characters without a space.
const LONGEST_FIGURE: usize = 24;

/// Words of a line; a number and the fraction or unit after it are one word.
fn words(line: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for piece in line.split_whitespace() {
        match all.last_mut() {
            Some(last) if belongs(last, piece) => {
                last.push(' ');
                last.push_str(piece);
            }
            _ => all.push(piece.to_owned()),
        }
    }
    all
}

fn belongs(before: &str, piece: &str) -> bool {
    let after_number = before.ends_with(|c: char| c.is_ascii_digit());
    let after_feet = before.ends_with(['\'', '′']);
    let number = piece.starts_with(|c: char| c.is_ascii_digit());
    let fraction =
        piece.starts_with(|c: char| "¼½¾⅛⅜⅝⅞".contains(c)) || (number && piece.contains(['/', '⁄']));
    let unit = ["mm", "m", "in", "ft", "cm", "µm", "°", "%", "kg", "lb", "lbs"]
        .contains(&piece.trim_end_matches([',', '.', ';', ':', ')']));
    let times =
        matches!(piece, "×" | "x") && before.ends_with(|c: char| c.is_ascii_digit() || "\"″'′".contains(c));
    let after_times = (before.ends_with(" ×") || before.ends_with(" x")) && number;
    (after_number && (fraction || unit)) || (after_feet && number) || times || after_times
}

/// Pushes full lines of a word that is too wide and gives back what is left of it.
fn broken(word: &str, width: f64, height: f64, bold: bool, all: &mut Vec<String>) -> String {
    let mut line = String::new();
    for character in word.chars() {
        line.push(character);
        if width_of(&line, height, bold) > width && line.chars().count() > 1 {
            line.pop();
            all.push(std::mem::take(&mut line));
            line.push(character);
        }
    }
    line
}
