//! Files of a build. Finished drawings and data in, names and bytes out; writes nothing to disk itself.

use std::collections::BTreeSet;

use crate::drawing::{At, Mark, Sheet, Step};

pub mod cutting;
pub mod data;
pub mod dxf;
pub mod pdf;
mod pdf_contents;
mod pdf_fonts;
pub mod svg;

/// Longest stem of a name, so that every file system and archive takes it.
const LONGEST: usize = 120;

/// Names that are safe on every system, each given out once.
#[derive(Clone, Debug, Default)]
pub struct Names {
    given: BTreeSet<String>,
}

impl Names {
    pub fn new() -> Names {
        Names::default()
    }

    /// A name for a file from any text: letters, digits, `.`, `_` and `-` only, no dot in front, at most 120 characters
    /// and the ending; a number is added where the name, capitals aside, was given out before. `folder` may be empty and
    /// is the program's own.
    pub fn give(&mut self, folder: &str, text: &str, ending: &str) -> String {
        let stem = safe(text);
        let mut tried = 1_u32;
        loop {
            let numbered = if tried == 1 { stem.clone() } else { format!("{stem}-{tried}") };
            let name = match folder {
                "" => format!("{numbered}.{ending}"),
                _ => format!("{folder}/{numbered}.{ending}"),
            };
            // Some file systems do not tell capitals from small letters.
            if self.given.insert(name.to_ascii_lowercase()) {
                return name;
            }
            tried += 1;
        }
    }
}

/// Path of the pages at full size of a kind (`templates`, `rods`, `labels`, `jigs`) for one of the shop's printers.
pub fn full_size_path(kind: &str, printer: &str) -> String {
    format!("full-size/{kind}-{}.pdf", safe(printer))
}

/// A text made safe as the stem of a file's name.
pub fn safe(text: &str) -> String {
    let mut stem = String::new();
    for character in text.chars() {
        let kept = match character {
            'a'..='z' | 'A'..='Z' | '0'..='9' | '.' | '_' | '-' => character,
            _ => '-',
        };
        // Runs of replaced characters become one.
        if !(kept == '-' && stem.ends_with('-')) {
            stem.push(kept);
        }
    }
    stem.truncate(LONGEST);
    let stem = stem.trim_matches(['-', '.']);
    match stem {
        "" => "unnamed".to_owned(),
        _ if is_device(stem) => format!("file-{stem}"),
        _ => stem.to_owned(),
    }
}

/// Names that one family of systems keeps for devices, with or without an ending.
fn is_device(stem: &str) -> bool {
    let base = stem.split('.').next().unwrap_or(stem).to_ascii_lowercase();
    let numbered = |kind: &str| base.strip_prefix(kind).is_some_and(|n| n.len() == 1 && n != "0");
    matches!(base.as_str(), "con" | "prn" | "aux" | "nul")
        || (numbered("com") || numbered("lpt")) && base.ends_with(|c: char| c.is_ascii_digit())
}

/// FNV-1a over 128 bits: tells contents apart where a format asks for an identifier. Not for security.
pub(crate) fn content_hash(bytes: &[u8]) -> u128 {
    let start: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    bytes.iter().fold(start, |hash, byte| (hash ^ u128::from(*byte)).wrapping_mul((1 << 88) + 0x13b))
}

/// An error in words for measures that no paper has.
fn check(sheet: &Sheet) -> Result<(), String> {
    let whole = |p: &At| p.0.is_finite() && p.1.is_finite();
    let paper = sheet.width > 0.0 && sheet.height > 0.0 && whole(&(sheet.width, sheet.height));
    if !paper {
        return Err(format!("sheet {}: paper of {} × {} mm", sheet.name, sheet.width, sheet.height));
    }
    for group in &sheet.groups {
        let good = |mark: &Mark| match mark {
            Mark::Stroke { path, .. } | Mark::Fill { path, .. } => path.iter().all(|step| match step {
                Step::Move(to) | Step::Line(to) => whole(to),
                Step::Arc(to, bulge) => whole(to) && bulge.is_finite(),
                Step::Close => true,
            }),
            Mark::Text(text) => whole(&text.at) && text.height.is_finite() && text.turn.is_finite(),
            Mark::Link { low, high, .. } => whole(low) && whole(high),
        };
        if !group.marks.iter().all(good) {
            return Err(format!(
                "sheet {}: group {} has a measure that is not a number",
                sheet.name, group.id
            ));
        }
    }
    Ok(())
}
