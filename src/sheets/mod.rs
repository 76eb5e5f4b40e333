//! Parts in, sheets out: what is dimensioned, where it goes on paper, and the set in order. Knows no file format, and
//! computes no part: all it draws was made before.

pub mod dimension;
pub mod face_view;
pub mod figures;
pub mod frame;
pub mod free;
pub mod lanes;
pub mod lines;
pub mod part_sheet;
pub mod part_words;
pub mod plan;
pub mod rebuild;
pub mod scales;
pub mod sheet;
pub mod title_block;

use crate::diagnose::Diagnostic;
use crate::drawing::Sheet;
use crate::parts::Made;

/// The whole set, in order and numbered. Same input, same sheets.
pub fn sheet_set(made: &Made, diagnostics: &[Diagnostic]) -> Vec<Sheet> {
    let _ = diagnostics;
    let paperwork = sheet::Paperwork::of(&made.job);
    let mut drafts = Vec::new();
    for part in &made.parts {
        drafts.extend(part_sheet::part_sheets(made, part, &paperwork));
    }
    paperwork.number(drafts)
}
