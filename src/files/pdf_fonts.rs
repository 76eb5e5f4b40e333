//! The fonts of a PDF: subsets of the two faces with the characters that a set prints.

use std::collections::{BTreeMap, BTreeSet};

use lopdf::Object;
use printpdf::{FontId, ParsedFont, TextItem};

use super::content_hash;
use crate::drawing::lettering::{MISSING, UNITS_PER_EM, face, face_name, glyphs, printable};
use crate::drawing::{Mark, SheetSet};

/// The faces that the set uses, each with the glyphs it uses of them.
pub(super) struct Faces {
    pub(super) all: Vec<Subset>,
}

pub(super) struct Subset {
    pub(super) bold: bool,
    /// Name of the font in the file: six letters that tell the subset, and the face.
    pub(super) id: FontId,
    pub(super) font: ParsedFont,
}

impl Faces {
    pub(super) fn of(set: &SheetSet) -> Result<Faces, String> {
        let mut used =
            BTreeMap::from([(false, BTreeSet::from([MISSING])), (true, BTreeSet::from([MISSING]))]);
        for mark in set.sheets.iter().flat_map(|s| &s.groups).flat_map(|g| &g.marks) {
            if let Mark::Text(text) = mark {
                used.entry(text.bold).or_default().extend(printable(&text.text).chars());
            }
        }
        let all = used.iter().map(|(bold, used)| Subset::of(*bold, used)).collect::<Result<_, _>>()?;
        Ok(Faces { all })
    }
}

impl Subset {
    fn of(bold: bool, used: &BTreeSet<char>) -> Result<Subset, String> {
        let unreadable = || format!("the font {} cannot be read", face_name(bold));
        let full = ParsedFont::from_bytes(face(bold), 0, &mut Vec::new()).ok_or_else(unreadable)?;
        let mut glyphs = subsetter::GlyphRemapper::new();
        let (mut numbers, mut widths) = (BTreeMap::new(), BTreeMap::new());
        for character in used {
            if let Some(glyph) = full.lookup_glyph_index(u32::from(*character)) {
                let number = glyphs.remap(glyph);
                numbers.insert(u32::from(*character), number);
                widths.insert(number, full.get_glyph_width(glyph).unwrap_or(0));
            }
        }
        let bytes = subsetter::subset(face(bold), 0, &glyphs).map_err(|_| unreadable())?;
        let mut hash = content_hash(&bytes);
        let mut tag = String::new();
        for _ in 0..6 {
            tag.push(char::from(b'A' + (hash % 26) as u8));
            hash /= 26;
        }
        let mut font = ParsedFont::with_glyph_data(
            bytes,
            0,
            None,
            numbers,
            widths,
            full.units_per_em,
            full.font_metrics.clone(),
        );
        font.pdf_font_metrics = full.pdf_font_metrics.clone();
        font.font_type = full.font_type;
        Ok(Subset { bold, id: FontId(format!("{tag}+{}", face_name(bold))), font })
    }

    /// Advance widths in thousandths of an em, whole: readers cut broken ones to whole numbers, each in its own way.
    pub(super) fn widths(&self) -> Object {
        let mut all = Vec::new();
        for (number, width) in &self.font.glyph_widths {
            let whole = Object::Integer(in_whole(thousandths(*width)));
            all.extend([Object::Integer(i64::from(*number)), Object::Array(vec![whole])]);
        }
        Object::Array(all)
    }
}

/// A printable line of text as a PDF shows it. Whole advance widths leave the pen a little off with every glyph; each word
/// begins where it belongs, so that a long line ends where it was measured to end.
pub(super) fn line(text: &str, bold: bool) -> Vec<TextItem> {
    let mut items = Vec::new();
    let (mut word, mut ahead) = (String::new(), 0.0);
    for character in text.chars() {
        word.push(character);
        for glyph in glyphs(character.encode_utf8(&mut [0; 4]), bold) {
            let exact = thousandths(glyph.advance);
            ahead += in_whole(exact) as f64 - exact;
        }
        if character == ' ' && ahead != 0.0 {
            items.extend([TextItem::Text(std::mem::take(&mut word)), TextItem::Offset(ahead as f32)]);
            ahead = 0.0;
        }
    }
    if !word.is_empty() {
        items.push(TextItem::Text(word));
    }
    items
}

fn thousandths(advance: u16) -> f64 {
    f64::from(advance) * 1000.0 / UNITS_PER_EM
}

fn in_whole(thousandths: f64) -> i64 {
    libm::round(thousandths) as i64
}
