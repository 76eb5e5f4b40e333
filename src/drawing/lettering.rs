//! Lettering and lines: heights and widths of text (ISO 3098), glyph outlines, widths and dashes of lines (ISO 128-2).
//! One face, DejaVu Sans Condensed and its Bold, carries every sheet; it has the fractions and signs of the trade.
//! Knows no sheet and no file format.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::{LazyLock, OnceLock};

use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::LineType;

/// Heights of capitals in millimetres (ISO 3098-1:2015, nominal sizes of lettering).
pub const HEIGHTS: [f64; 8] = [1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0];

/// Units of the face to one em, and the height of its capitals in those units. Tests hold both against the font itself.
pub const UNITS_PER_EM: f64 = 2048.0;
pub const CAPITAL_UNITS: f64 = 1493.0;

/// Printed wherever the face has no glyph for a character, and for control characters: seen, never dropped.
pub const MISSING: char = '\u{25A1}';

/// Characters that the face cannot print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingGlyphs(pub Vec<char>);

/// A step of a glyph's outline, in units of the face, y up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contour {
    Move(f64, f64),
    Line(f64, f64),
    /// control point, then end point
    Quad(f64, f64, f64, f64),
    /// two control points, then end point
    Cubic(f64, f64, f64, f64, f64, f64),
    Close,
}

/// The bytes of the face: a TrueType font under a free licence.
pub fn face(bold: bool) -> &'static [u8] {
    if bold { dejavu::sans_condensed::bold() } else { dejavu::sans_condensed::regular() }
}

/// The name of the face, without spaces, as fonts in files are named.
pub const fn face_name(bold: bool) -> &'static str {
    if bold { "DejaVuSansCondensed-Bold" } else { "DejaVuSansCondensed" }
}

/// The size (em) in millimetres at which capitals are `height` millimetres high.
pub fn em(height: f64) -> f64 {
    height * UNITS_PER_EM / CAPITAL_UNITS
}

/// Whether both the plain and the bold face have a glyph for a character.
pub fn covers(character: char) -> bool {
    check(character.encode_utf8(&mut [0; 4])).is_ok()
}

/// An error that names every character the faces cannot print.
pub fn check(text: &str) -> Result<(), MissingGlyphs> {
    let printed =
        |c: char| !is_unprintable(c) && [false, true].iter().all(|bold| glyph_of(c, *bold).is_some());
    let missing: BTreeSet<char> = text.chars().filter(|c| !printed(*c)).collect();
    if missing.is_empty() { Ok(()) } else { Err(MissingGlyphs(missing.into_iter().collect())) }
}

/// The text as the writers print it: characters without a glyph, control characters and characters that turn the line
/// of writing become a visible box.
pub fn printable(text: &str) -> Cow<'_, str> {
    match check(text) {
        Ok(()) => Cow::Borrowed(text),
        Err(MissingGlyphs(all)) => Cow::Owned(text.replace(&all[..], MISSING.encode_utf8(&mut [0; 4]))),
    }
}

/// Width in millimetres of a line of text as printed (advance widths, no kerning: the writers set it the same way).
pub fn width_of(text: &str, height: f64, bold: bool) -> f64 {
    let units: u64 = glyphs(text, bold).iter().map(|g| u64::from(g.advance)).sum();
    units as f64 * em(height) / UNITS_PER_EM
}

/// A glyph of a text and the pen's travel after it, in units of the face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glyph {
    /// Number of the glyph in the face.
    pub number: u16,
    pub advance: u16,
}

/// The glyphs of a line of text as printed.
pub fn glyphs(text: &str, bold: bool) -> Vec<Glyph> {
    printable(text).chars().filter_map(|c| glyph_of(c, bold)).collect()
}

/// Characters below this are looked up once for all: what drawings are written in.
const KNOWN: u32 = 0x2700;

/// The glyphs of the two faces for the characters below [`KNOWN`]: every text is measured many times while it finds its place.
static GLYPHS: LazyLock<[Vec<Option<Glyph>>; 2]> = LazyLock::new(|| {
    [false, true].map(|bold| {
        let mut all = vec![None; KNOWN as usize];
        let Some(font) = font(bold) else { return all };
        let metrics = metrics(&font);
        for (code, id) in font.charmap().mappings() {
            if let Some(slot) = all.get_mut(code as usize) {
                *slot = glyph(id, &metrics);
            }
        }
        all
    })
});

fn glyph_of(character: char, bold: bool) -> Option<Glyph> {
    if u32::from(character) < KNOWN {
        return GLYPHS[usize::from(bold)].get(character as usize).copied().flatten();
    }
    let font = font(bold)?;
    glyph(font.charmap().map(character)?, &metrics(&font))
}

fn glyph(id: GlyphId, metrics: &GlyphMetrics) -> Option<Glyph> {
    let advance = metrics.advance_width(id)?;
    Some(Glyph { number: u16::try_from(id.to_u32()).ok()?, advance: advance as u16 })
}

/// How far the ink of a text reaches below and above the baseline, in millimetres, at least from 0 to x-height.
pub fn reach_of(text: &str, height: f64, bold: bool) -> (f64, f64) {
    let scale = em(height) / UNITS_PER_EM;
    let Some(font) = font(bold) else { return (0.0, height) };
    let metrics = metrics(&font);
    let mut reach = (0.0_f64, 0.7 * height);
    for glyph in glyphs(text, bold) {
        if let Some(ink) = metrics.bounds(GlyphId::new(u32::from(glyph.number))) {
            reach = (reach.0.min(f64::from(ink.y_min) * scale), reach.1.max(f64::from(ink.y_max) * scale));
        }
    }
    reach
}

/// More glyphs than the face has: places for their outlines, drawn when first asked for.
const MOST_GLYPHS: usize = 8192;
static OUTLINES: LazyLock<[Vec<OnceLock<Vec<Contour>>>; 2]> =
    LazyLock::new(|| [(); 2].map(|()| (0..MOST_GLYPHS).map(|_| OnceLock::new()).collect()));

/// The outline of a glyph (non-zero winding), in units of the face; empty for a blank and for a number the face lacks.
pub fn outline(number: u16, bold: bool) -> &'static [Contour] {
    let place = OUTLINES[usize::from(bold)].get(usize::from(number));
    place.map_or(&[], |place| place.get_or_init(|| drawn(number, bold)))
}

fn drawn(number: u16, bold: bool) -> Vec<Contour> {
    let mut pen = Pen(Vec::new());
    if let Some(font) = font(bold)
        && let Some(glyph) = font.outline_glyphs().get(GlyphId::new(u32::from(number)))
        && glyph.draw(DrawSettings::unhinted(Size::unscaled(), LocationRef::default()), &mut pen).is_err()
    {
        pen.0.clear();
    }
    pen.0
}

/// Distance between baselines in millimetres for text of this height: ISO 3098 lettering B asks for at least 1.5 h, and
/// 1.9 h where capitals bear accents. DejaVu's descenders hang lower than the standard's, so 1.6 h is the least here.
pub fn pitch(text: &str, height: f64) -> f64 {
    let accented = reach_of(text, height, false).1 > 1.12 * height;
    if accented { 1.9 * height } else { 1.6 * height }
}

/// The largest height of the series, `most` or smaller, at which a text is no wider than `width`.
pub fn height_that_fits(text: &str, width: f64, most: f64, bold: bool) -> Option<f64> {
    HEIGHTS.iter().rev().copied().find(|h| *h <= most && width_of(text, *h, bold) <= width)
}

/// The line group of a sheet: the width of its wide lines. 0.5 mm up to A2, 0.7 mm on anything larger (ISO 128-2 as
/// taught with ÖNORM EN ISO 128-2). Arch C is 11.7 % larger than A2 and counts with it.
pub fn line_group(width: f64, height: f64) -> f64 {
    if width * height > 1.12 * 420.0 * 594.0 { 0.7 } else { 0.5 }
}

/// Width of a line in millimetres in a line group of 0.5 or 0.7: wide to narrow is 2 to 1 and the middle width lies
/// between them in the series 0.25, 0.35, 0.5, 0.7 (ISO 128-2). The frame is 0.7 mm in both (ISO 5457, from memory).
pub fn line_width(line: LineType, group: f64) -> f64 {
    let large = group > 0.6;
    match line {
        LineType::Visible | LineType::Cutting => group,
        LineType::Frame => 0.7,
        LineType::Table if large => 0.5,
        LineType::Table => 0.35,
        LineType::Hidden | LineType::Centre | LineType::Dimension | LineType::Hatch | LineType::Adjacent => {
            if large {
                0.35
            } else {
                0.25
            }
        }
    }
}

/// Lengths of dash, gap, dash, gap … in millimetres; empty for a continuous line. In widths d of the line itself:
/// dashed 12 d, 3 d (ISO 128-20 line 02); long-dashed dotted 24 d, 3 d, 0.5 d, 3 d (line 04); long-dashed
/// double-dotted 24 d, 3 d, 0.5 d, 3 d, 0.5 d, 3 d (line 05, from memory).
pub fn dashes(line: LineType, group: f64) -> Vec<f64> {
    let widths: &[f64] = match line {
        LineType::Hidden => &[12.0, 3.0],
        LineType::Centre | LineType::Cutting => &[24.0, 3.0, 0.5, 3.0],
        LineType::Adjacent => &[24.0, 3.0, 0.5, 3.0, 0.5, 3.0],
        LineType::Visible | LineType::Dimension | LineType::Hatch | LineType::Frame | LineType::Table => &[],
    };
    widths.iter().map(|w| w * line_width(line, group)).collect()
}

/// Whether the ends of a line are round. Continuous outlines are, so that edges drawn one by one meet in a full corner;
/// dashes are not, or they would eat their gaps, and measured lines are not, so that they end where they say.
pub const fn has_round_ends(line: LineType) -> bool {
    matches!(line, LineType::Visible | LineType::Frame | LineType::Table)
}

fn font(bold: bool) -> Option<FontRef<'static>> {
    FontRef::new(face(bold)).ok()
}

fn metrics<'a>(font: &FontRef<'a>) -> GlyphMetrics<'a> {
    font.glyph_metrics(Size::unscaled(), LocationRef::default())
}

/// Control characters, and the marks that reverse, join or hide what stands beside them.
fn is_unprintable(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{AD}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}' | '\u{FE00}'..='\u{FE0F}')
}

struct Pen(Vec<Contour>);

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.push(Contour::Move(x.into(), y.into()));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.push(Contour::Line(x.into(), y.into()));
    }

    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.0.push(Contour::Quad(cx0.into(), cy0.into(), x.into(), y.into()));
    }

    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.push(Contour::Cubic(cx0.into(), cy0.into(), cx1.into(), cy1.into(), x.into(), y.into()));
    }

    fn close(&mut self) {
        self.0.push(Contour::Close);
    }
}
