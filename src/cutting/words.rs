//! Words beside a part for whoever loads the file, the square of known size, and letters as closed lines.

use super::layers::{decimal, measure};
use super::{Contents, Form, Motion, Operation, Piece, Shape};
use crate::drawing::lettering::{self, Contour, UNITS_PER_EM};
use crate::length::{Length, Units};
use crate::parts::{Made, Part};
use crate::shape::{Extents, Outline, Point, Vertex};
use crate::trade::{Face, Grain};
use crate::values::{CutText, CuttingShop, Origin};

/// Height of a capital: small beside any part, large enough to read.
const HEIGHT: Length = Length::from_units(80_000 * 5);
/// From the part to the first line.
const APART: Length = Length::from_units(80_000 * 7);
/// From line to line.
const PITCH: Length = Length::from_units(80_000 * 8);
/// Steps of a curve of a letter; at 5 mm a chord is then off by a few hundredths of a millimetre.
const STEPS: u32 = 6;

/// A part in a file of its own: turned and moved as the shop wants it, words and the square beside it.
pub fn single(made: &Made, part: &Part, shop: &CuttingShop, piece: &Piece) -> Contents {
    let motion = motion(part, shop, piece);
    let mut shapes: Vec<Shape> = piece.shapes.iter().map(|shape| shape.moved(motion)).collect();
    if let Some(around) = piece.extents(motion) {
        let mut lines = lines(made, part, shop);
        lines.extend(turned_words(motion));
        beside(shop, lines, around, &mut shapes);
    }
    Contents { shapes }
}

/// How a part lies in its own file.
pub fn motion(part: &Part, shop: &CuttingShop, piece: &Piece) -> Motion {
    let turns = matches!(
        (shop.grain, part.grain),
        (Some(Grain::AlongU), Grain::AlongV) | (Some(Grain::AlongV), Grain::AlongU)
    );
    let turned = Motion { quarters: u8::from(turns), by: Point::default() };
    let outline = piece.through().next().map(|outline| turned.outline(outline).extents());
    // The finished part's lower left corner, seen as it lies: a quarter to the left brings the lower right one there.
    let datum = if turns { Point::new(part.height, Length::ZERO) } else { Point::default() };
    let by = match shop.origin {
        Origin::Datum => None,
        // A pocket that runs out at the edge begins before the outline does.
        Origin::LowerLeft => piece.extents(turned).map(|whole| Point::new(-whole.low.x, -whole.low.y)),
        Origin::Centre => outline.map(|outline| {
            Point::new(-(outline.low.x + outline.high.x).half(), -(outline.low.y + outline.high.y).half())
        }),
    };
    let by = by.unwrap_or(datum);
    Motion { by, ..turned }
}

fn turned_words(motion: Motion) -> Option<String> {
    match motion.quarters {
        0 => None,
        1 => Some("turned a quarter to the left against the part's drawing, not mirrored".into()),
        2 => Some("turned half round against the part's drawing, not mirrored".into()),
        _ => Some("turned a quarter to the right against the part's drawing, not mirrored".into()),
    }
}

/// Adds lines of words, and the square of known size, below what is cut, or above it where the shop wants nothing below 0, 0.
pub fn beside(shop: &CuttingShop, mut lines: Vec<String>, around: Extents, shapes: &mut Vec<Shape>) {
    let (size, said) = match shop.units {
        Units::Millimetre => (Length::MM * 100, "100 x 100 mm"),
        Units::Inch => (Length::INCH * 4, "4 x 4 inches"),
    };
    if shop.reference {
        let layer = super::layers::name(shop, Operation::Reference);
        lines.push(format!("the square on layer {layer} measures {said}"));
    }
    let rows = if shop.text == CutText::None { 0 } else { lines.len() as i64 };
    let above = shop.origin == Origin::LowerLeft;
    let square = if shop.reference { size + APART } else { Length::ZERO };
    // From the lowest line of all that stands beside the part, upwards: the square, then the lines.
    let bottom = match above {
        true => around.high.y + APART,
        false => around.low.y.min(Length::ZERO) - APART - PITCH * rows - square,
    };
    let left = around.low.x;
    if let Some(outline) =
        Outline::rectangle(Point::new(left, bottom), Point::new(left + size, bottom + size))
            .filter(|_| shop.reference)
    {
        shapes.push(Shape::new(shop, Operation::Reference, Form::Closed(outline)));
    }
    if shop.text == CutText::None {
        return;
    }
    for (row, line) in lines.iter().enumerate() {
        let at = Point::new(left, bottom + square + PITCH * (rows - 1 - row as i64));
        write(shop, Operation::Text, at, HEIGHT, line, shapes);
    }
}

/// A line of words as the shop wants them.
pub fn write(
    shop: &CuttingShop,
    operation: Operation,
    at: Point,
    height: Length,
    text: &str,
    shapes: &mut Vec<Shape>,
) {
    if shop.text == CutText::Outlines || operation.kind().is_cut() {
        let letters = outlines(text, at, height);
        shapes.extend(letters.into_iter().map(|letter| Shape::new(shop, operation, Form::Closed(letter))));
    } else {
        let text = plain(text);
        shapes.push(Shape::new(shop, operation, Form::Words { at, height, text }));
    }
}

/// What stands beside a part.
fn lines(made: &Made, part: &Part, shop: &CuttingShop) -> Vec<String> {
    let titles = &made.job.titles;
    let stock = made.job.stock.get(part.stock);
    let turned = motion_turns(part, shop);
    let grain = match (part.grain, turned) {
        (Grain::Free, _) => "grain free",
        (Grain::AlongU, false) | (Grain::AlongV, true) => "grain along X",
        _ => "grain along Y",
    };
    let (thick, unit) = decimal(part.thick, shop.units);
    let mut lines = vec![
        format!("{} {} {}", titles.number, part.mark, part.id).trim().to_string(),
        format!(
            "{} {thick} {unit} actual, quantity {}",
            stock.map_or("", |s| s.called.as_deref().unwrap_or(&s.name)),
            part.quantity
        ),
        format!("show face up, {grain}, units {}, scale 1:1", unit_word(shop.units)),
    ];
    if !titles.revision.is_empty() {
        lines.push(format!("revision {} {}", titles.revision, titles.date));
    }
    lines.extend(by_hand(part, shop.units));
    lines
}

/// True where something is worked from the back face.
pub fn worked_from_back(part: &Part) -> bool {
    part.pockets.iter().any(|p| p.from == Face::Back) || part.holes.iter().any(|h| h.from == Face::Back)
}

/// What a part's file does not show, or shows otherwise than one might think.
pub fn by_hand(part: &Part, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    if worked_from_back(part) {
        lines.push("layers of the back face are worked from there; drawn as seen from the show face".into());
    }
    for bevel in &part.bevels {
        lines.push(format!("bevel {:.2} degrees off square, not in this outline", bevel.degrees));
    }
    for edge in part.edges.iter().filter(|e| e.scribe.is_positive()) {
        lines.push(format!(
            "{} edge: {} left on for scribing",
            edge.side.word(),
            measure(edge.scribe, units)
        ));
    }
    lines
}

fn motion_turns(part: &Part, shop: &CuttingShop) -> bool {
    motion(part, shop, &Piece::default()).quarters % 2 == 1
}

pub const fn unit_word(units: Units) -> &'static str {
    match units {
        Units::Millimetre => "mm",
        Units::Inch => "inch",
    }
}

/// The old versions know ASCII; what the trade writes otherwise is spelt out.
fn plain(line: &str) -> String {
    let spelt = line.replace('×', "x").replace('½', "1/2").replace('¼', "1/4").replace('¾', "3/4");
    spelt.chars().filter(|c| !c.is_control()).collect()
}

/// The letters of a line as closed lines: a capital is `height` high, the baseline begins at `at`. Curves are broken into
/// chords.
pub fn outlines(text: &str, at: Point, height: Length) -> Vec<Outline> {
    let scale = lettering::em(height.to_mm()) / UNITS_PER_EM;
    let mut all = Vec::new();
    let mut pen = 0.0;
    for glyph in lettering::glyphs(text, false) {
        let place = |x: f64, y: f64| {
            Point::new(at.x + Length::from_mm((pen + x) * scale), at.y + Length::from_mm(y * scale))
        };
        all.extend(letter(lettering::outline(glyph.number, false), place));
        pen += f64::from(glyph.advance);
    }
    all
}

fn letter(steps: &[Contour], place: impl Fn(f64, f64) -> Point) -> Vec<Outline> {
    let (mut all, mut line, mut here) = (Vec::new(), Vec::new(), (0.0, 0.0));
    let mut close = |line: &mut Vec<Vertex>| {
        // A contour of no area is no letter.
        all.extend(Outline::new(std::mem::take(line)).ok());
    };
    for step in steps {
        let from = here;
        let mut curve = |to: (f64, f64), at: &dyn Fn(f64) -> (f64, f64)| {
            for step in 1..=STEPS {
                let (x, y) = at(f64::from(step) / f64::from(STEPS));
                line.push(Vertex { at: place(x, y), bulge: 0.0 });
            }
            here = to;
        };
        match *step {
            Contour::Move(x, y) => {
                close(&mut line);
                line.push(Vertex { at: place(x, y), bulge: 0.0 });
                here = (x, y);
            }
            Contour::Line(x, y) => {
                line.push(Vertex { at: place(x, y), bulge: 0.0 });
                here = (x, y);
            }
            Contour::Quad(cx, cy, x, y) => curve((x, y), &|t| {
                let s = 1.0 - t;
                (s * s * from.0 + 2.0 * s * t * cx + t * t * x, s * s * from.1 + 2.0 * s * t * cy + t * t * y)
            }),
            Contour::Cubic(ax, ay, bx, by, x, y) => curve((x, y), &|t| {
                let s = 1.0 - t;
                let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
                let blend = |values: [f64; 4]| weights.iter().zip(values).map(|(w, v)| w * v).sum();
                (blend([from.0, ax, bx, x]), blend([from.1, ay, by, y]))
            }),
            Contour::Close => close(&mut line),
        }
    }
    close(&mut line);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every letter comes as its closed lines: an H is one, a B and an 8 are three, an O, an A, a 0 and a 4 two, an i two (the shapes
    /// of the letters). A line that is dropped would be missed here.
    #[test]
    fn no_line_of_a_letter_is_lost() {
        for (letter, lines) in
            [("H", 1), ("B", 3), ("8", 3), ("O", 2), ("A", 2), ("0", 2), ("i", 2), ("%", 5), (" ", 0)]
        {
            assert_eq!(outlines(letter, Point::default(), HEIGHT).len(), lines, "{letter}");
        }
        // All that a shop may read, and every line that the letters have.
        let all: String = (' '..='~').chain("×½¼¾äöüÄÖÜß°".chars()).collect();
        let moves: usize = lettering::glyphs(&all, false)
            .iter()
            .map(|glyph| {
                let steps = lettering::outline(glyph.number, false);
                // The lettering's u has a point that no line leaves.
                let begins = |two: &&[Contour]| {
                    matches!(two[0], Contour::Move(..)) && !matches!(two[1], Contour::Close)
                };
                steps.windows(2).filter(begins).count()
            })
            .sum();
        for height in [HEIGHT, Length::MM * 2] {
            assert_eq!(outlines(&all, Point::default(), height).len(), moves);
        }
    }
}
