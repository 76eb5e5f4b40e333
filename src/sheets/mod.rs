//! Parts in, sheets out: what is dimensioned, where it goes on paper, and the set in order. Knows no file format, and
//! computes no part: all it draws was made before.

pub mod arrangement;
pub mod assembly;
pub mod balloons;
pub mod bays;
pub mod chain;
pub mod cover;
pub mod dimension;
pub mod drawn;
pub mod edge_detail;
pub mod face_view;
pub mod figures;
pub mod frame;
pub mod free;
pub mod lanes;
pub mod lines;
pub mod part_labels;
pub mod part_layout;
pub mod part_sheet;
pub mod part_words;
pub mod pictorial;
pub mod rebuild;
pub mod rods;
pub mod scales;
pub mod section;
pub mod sheet;
pub mod title_block;

use crate::diagnose::{Diagnostic, Severity};
use crate::drawing::Sheet;
use crate::parts::{Made, PartId};

/// The whole set, in order and numbered: cover; arrangement, section, assembly and
/// rods of each assembly; a sheet for each part. Same input, same sheets.
pub fn sheet_set(made: &Made, diagnostics: &[Diagnostic]) -> Vec<Sheet> {
    let has_errors = diagnostics.iter().any(|d| d.severity == Severity::Error);
    let paperwork = sheet::Paperwork::of(&made.job, has_errors);
    let parts = (0..made.parts.len()).map(PartId);
    let mut drafts = assembly::assemblies(made, &paperwork);
    drafts.extend(parts.flat_map(|id| part_sheet::part_sheets(made, id, &paperwork)));
    let mut all = cover::cover(made, diagnostics, &drafts, &paperwork);
    all.extend(drafts);
    paperwork.number(all)
}
