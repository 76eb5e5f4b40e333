//! A sheet as SVG. Twin of `pdf`: the same functions in the same order.
//!
//! Lettering is drawn as outlines of its glyphs, each defined once and used by reference, so that the sheet looks the
//! same everywhere, in programs that ignore embedded fonts too. Over it lies the same text, transparent, so that it can
//! be searched, selected, copied and read aloud. Paper millimetres are user units; y is turned downwards here.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use svg::Document;
use svg::node::element::{
    Anchor as LinkTo, Definitions, Group as Element, Path, Rectangle, Text as TextElement, Title,
};

use super::check;
use crate::drawing::lettering::{
    Contour, UNITS_PER_EM, dashes, em, glyphs, has_round_ends, line_group, line_width, outline, printable,
    width_of,
};
use crate::drawing::{Anchor, At, Group, Ink, LineType, Mark, Sheet, SheetSet, Step, Text};
use crate::shape::Arc;

/// One sheet of a set as an SVG document. Links lead to `NAME.svg` of the sheet in the same folder.
///
/// # Errors
/// In words, where the set has no such sheet or a measure on it is not finite.
pub fn write(set: &SheetSet, index: usize) -> Result<Vec<u8>, String> {
    let sheet = set.sheets.get(index).ok_or_else(|| format!("the set has no sheet {}", index + 1))?;
    check(sheet)?;
    let mut writer =
        Writer { set, sheet, group: line_group(sheet.width, sheet.height), used: BTreeSet::new() };
    let drawn: Vec<Element> = sheet.groups.iter().map(|g| writer.write_group(g)).collect();
    let mut document = Document::new()
        .set("width", format!("{}mm", number(sheet.width)))
        .set("height", format!("{}mm", number(sheet.height)))
        .set("viewBox", format!("0 0 {} {}", number(sheet.width), number(sheet.height)))
        .set("lang", "en")
        .add(Title::new(clean(&sheet.title)))
        .add(writer.definitions())
        .add(paper(sheet));
    for group in drawn {
        document = document.add(group);
    }
    let mut bytes = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_vec();
    bytes.extend(document.to_string().into_bytes());
    bytes.push(b'\n');
    Ok(bytes)
}

/// A measure in the fewest characters: four decimals at most, no trailing noughts, no negative nought.
pub fn number(value: f64) -> String {
    // Sheets are smaller than a kilometre: ten-thousandths of a millimetre fit, and whole numbers print fast.
    let scaled = libm::round(value * 10_000.0) as i64;
    let (whole, mut part) = (scaled.unsigned_abs() / 10_000, scaled.unsigned_abs() % 10_000);
    let sign = if scaled < 0 { "-" } else { "" };
    if part == 0 {
        return format!("{sign}{whole}");
    }
    let mut places = 4;
    while part % 10 == 0 {
        part /= 10;
        places -= 1;
    }
    format!("{sign}{whole}.{part:0places$}")
}

struct Writer<'a> {
    set: &'a SheetSet<'a>,
    sheet: &'a Sheet,
    /// Line group of the sheet.
    group: f64,
    /// Glyphs met so far: bold, number.
    used: BTreeSet<(bool, u16)>,
}

impl Writer<'_> {
    fn write_group(&mut self, group: &Group) -> Element {
        let mut element =
            Element::new().set("id", clean(&group.id)).set("class", format!("layer-{}", group.layer.id()));
        let mut marks = group.marks.iter().peekable();
        while let Some(mark) = marks.next() {
            element = match mark {
                Mark::Stroke { path, line } => {
                    // Strokes of one kind share a group that says how they are drawn.
                    let mut alike = self.pen(*line).add(self.stroke(path));
                    while let Some(Mark::Stroke { path, .. }) =
                        marks.next_if(|m| matches!(m, Mark::Stroke { line: next, .. } if next == line))
                    {
                        alike = alike.add(self.stroke(path));
                    }
                    element.add(alike)
                }
                Mark::Fill { path, ink } => element.add(self.fill(path, *ink)),
                Mark::Text(text) => self.text(element, text),
                Mark::Link { low, high, sheet } => match self.link(*low, *high, *sheet) {
                    Some(link) => element.add(link),
                    None => element,
                },
            };
        }
        element
    }

    /// How a type of line is drawn.
    fn pen(&self, line: LineType) -> Element {
        let round = has_round_ends(line);
        let mut pen = Element::new()
            .set("class", format!("line-{}", class_of(line)))
            .set("fill", "none")
            .set("stroke", "#000")
            .set("stroke-width", number(line_width(line, self.group)))
            .set("stroke-linecap", if round { "round" } else { "butt" })
            .set("stroke-linejoin", "round");
        let dashes = dashes(line, self.group);
        if !dashes.is_empty() {
            pen =
                pen.set("stroke-dasharray", dashes.iter().map(|d| number(*d)).collect::<Vec<_>>().join(" "));
        }
        pen
    }

    fn stroke(&self, path: &[Step]) -> Path {
        Path::new().set("d", self.path(path))
    }

    fn fill(&self, path: &[Step], ink: Ink) -> Path {
        Path::new().set("d", self.path(path)).set("fill", colour(ink)).set("fill-rule", "evenodd")
    }

    /// Straight lines and true arcs.
    fn path(&self, path: &[Step]) -> String {
        let mut d = String::new();
        let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
        for step in path {
            match *step {
                Step::Move(to) => {
                    self.step(&mut d, 'M', to);
                    (start, at) = (to, to);
                }
                Step::Line(to) => {
                    self.step(&mut d, 'L', to);
                    at = to;
                }
                Step::Arc(to, bulge) => {
                    match Arc::between(at, to, bulge) {
                        Some(arc) => {
                            let large = u8::from(arc.sweep.abs() > std::f64::consts::PI);
                            // y is turned, and so is the sense of the arc.
                            let clockwise = u8::from(arc.sweep < 0.0);
                            let radius = number(arc.radius);
                            let _ = write!(d, "A{radius} {radius} 0 {large} {clockwise} ");
                            let _ = write!(d, "{} {}", number(to.0), number(self.sheet.height - to.1));
                        }
                        None => self.step(&mut d, 'L', to),
                    }
                    at = to;
                }
                Step::Close => {
                    d.push('Z');
                    at = start;
                }
            }
        }
        d
    }

    fn step(&self, d: &mut String, letter: char, to: At) {
        let _ = write!(d, "{letter}{} {}", number(to.0), number(self.sheet.height - to.1));
    }

    /// The glyphs, and over them the transparent words.
    fn text(&mut self, element: Element, text: &Text) -> Element {
        let (printed, width) = (printable(&text.text), width_of(&text.text, text.height, text.bold));
        if printed.trim().is_empty() {
            return element;
        }
        let turn = text.turn.to_radians();
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let start = (text.at.0 - back * cos, self.sheet.height - (text.at.1 - back * sin));
        let scale = em(text.height) / UNITS_PER_EM;
        let matrix = |scale: f64| {
            let all = [cos * scale, -sin * scale, sin * scale, cos * scale];
            let turned = all.map(fine).join(" ");
            format!("matrix({turned} {} {})", number(start.0), number(start.1))
        };
        let mut drawn = Element::new()
            .set("class", if text.bold { "lettering bold" } else { "lettering" })
            .set("aria-hidden", "true")
            .set("transform", matrix(scale));
        let mut pen: u64 = 0;
        for glyph in glyphs(&text.text, text.bold) {
            if !outline(glyph.number, text.bold).is_empty() {
                self.used.insert((text.bold, glyph.number));
                let mut reference = svg::node::element::Use::new()
                    .set("href", format!("#{}", glyph_id(text.bold, glyph.number)));
                if pen > 0 {
                    reference = reference.set("x", pen.to_string());
                }
                drawn = drawn.add(reference);
            }
            pen += u64::from(glyph.advance);
        }
        let words = TextElement::new(clean(&printed))
            .set("class", "words")
            .set("fill", "#000")
            .set("fill-opacity", "0")
            .set("font-family", "DejaVu Sans Condensed, sans-serif")
            .set("font-size", number(em(text.height)))
            .set("font-weight", if text.bold { "bold" } else { "normal" })
            .set("textLength", number(width))
            .set("lengthAdjust", "spacingAndGlyphs")
            .set("transform", matrix(1.0));
        element.add(drawn).add(words)
    }

    fn link(&self, low: At, high: At, sheet: usize) -> Option<LinkTo> {
        let target = self.set.sheets.get(sheet)?;
        let area = Rectangle::new()
            .set("x", number(low.0))
            .set("y", number(self.sheet.height - high.1))
            .set("width", number(high.0 - low.0))
            .set("height", number(high.1 - low.1))
            .set("fill", "#000")
            .set("fill-opacity", "0");
        let href = format!("{}.svg", super::safe(&target.name));
        Some(LinkTo::new().set("href", href).add(Title::new(clean(&target.title))).add(area))
    }

    /// Outlines of the glyphs that were used, y turned downwards.
    fn definitions(&self) -> Definitions {
        self.used.iter().fold(Definitions::new(), |all, (bold, glyph)| {
            let mut d = String::new();
            for step in outline(*glyph, *bold) {
                let _ = match *step {
                    Contour::Move(x, y) => write!(d, "M{} {}", number(x), number(-y)),
                    Contour::Line(x, y) => write!(d, "L{} {}", number(x), number(-y)),
                    Contour::Quad(a, b, x, y) => {
                        write!(d, "Q{} {} {} {}", number(a), number(-b), number(x), number(-y))
                    }
                    Contour::Cubic(a, b, c, e, x, y) => {
                        write!(d, "C{} {} {} {} ", number(a), number(-b), number(c), number(-e))
                            .and_then(|()| write!(d, "{} {}", number(x), number(-y)))
                    }
                    Contour::Close => write!(d, "Z"),
                };
            }
            all.add(Path::new().set("id", glyph_id(*bold, *glyph)).set("d", d))
        })
    }
}

fn paper(sheet: &Sheet) -> Rectangle {
    Rectangle::new()
        .set("class", "paper")
        .set("width", number(sheet.width))
        .set("height", number(sheet.height))
        .set("fill", "#fff")
}

fn colour(ink: Ink) -> String {
    match ink {
        Ink::Black => "#000".to_owned(),
        Ink::White => "#fff".to_owned(),
        Ink::Grey(dark) => {
            let level = libm::round(255.0 * (1.0 - dark.clamp(0.0, 1.0))) as u8;
            format!("#{level:02x}{level:02x}{level:02x}")
        }
    }
}

const fn class_of(line: LineType) -> &'static str {
    match line {
        LineType::Visible => "visible",
        LineType::Hidden => "hidden",
        LineType::Centre => "centre",
        LineType::Dimension => "dimension",
        LineType::Hatch => "hatch",
        LineType::Adjacent => "adjacent",
        LineType::Cutting => "cutting",
        LineType::Frame => "frame",
        LineType::Table => "table",
    }
}

/// An underscore keeps these apart from the ids of groups, which have none.
fn glyph_id(bold: bool, glyph: u16) -> String {
    format!("glyph_{}{glyph}", if bold { 'b' } else { 'r' })
}

/// Factors of a matrix need more places than measures do.
fn fine(value: f64) -> String {
    let text = format!("{value:.9}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text without what XML cannot carry.
fn clean(text: &str) -> String {
    printable(text).into_owned()
}
