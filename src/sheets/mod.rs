//! Parts in, sheets out: what is dimensioned, where it goes on paper, and the set in order. Knows no file format, and
//! computes no part: all it draws was made before.

pub mod arrangement;
pub mod assembly;
pub mod balloons;
pub mod bays;
mod bearings;
mod board_drawings;
mod board_plans;
pub mod broken;
pub mod buying_list;
mod cautions;
pub mod chain;
pub mod cover;
mod cut_marks;
pub mod cutting_order;
pub mod cutting_overview;
pub mod cuttings;
pub mod details;
pub mod dimension;
pub mod drawn;
pub mod edge_detail;
pub mod face_view;
pub mod figures;
pub mod finishes;
pub mod former;
pub mod frame;
pub mod free;
mod hand;
pub mod hole_sets;
mod jigs;
pub mod labels;
pub mod lanes;
pub mod lines;
pub mod loads;
mod nest_labels;
pub mod nest_words;
pub mod nests;
pub mod own_notches;
mod part_boards;
mod part_body;
pub mod part_labels;
pub mod part_layout;
pub mod part_sheet;
pub mod part_words;
pub mod pictorial;
mod plane_mark;
mod reached;
pub mod rebuild;
pub mod revision;
pub mod rods;
pub mod scales;
pub mod scribes;
mod seated;
pub mod section;
pub mod setting_words;
mod shared;
pub mod sheet;
pub mod title_block;
mod zeros;

use crate::diagnose::{Diagnostic, Severity};
use crate::drawing::Sheet;
use crate::parts::Made;
use crate::plans::Plans;
use revision::Since;
use sheet::{Draft, Paperwork};

/// The whole set, in order and numbered: cover; arrangement, section, assembly and
/// rods of each assembly; a sheet for each part; a layout for each sheet of sheet goods. Same input, same sheets.
pub fn sheet_set(made: &Made, plans: &Plans, diagnostics: &[Diagnostic]) -> Vec<Sheet> {
    sheet_set_since(made, plans, diagnostics, None)
}

/// The same set as a revision of an earlier state: what changed bears a triangle, the cover says what is superseded.
pub fn sheet_set_since(
    made: &Made,
    plans: &Plans,
    diagnostics: &[Diagnostic],
    since: Option<&Since>,
) -> Vec<Sheet> {
    let mut paperwork = paperwork(made, diagnostics);
    let former = since.map(drafts_of_old).unwrap_or_default();
    if let Some(since) = since {
        paperwork.former = former::Former::of(&former, since.sign());
    }
    let mut drafts = drafts(made, plans, &paperwork, since);
    let revision = since.map(|since| cover::Revision {
        sign: since.sign(),
        letter: since.changes.new.revision.clone(),
        tables: revision::compare_sets(since, &mut drafts, &former),
    });
    let mut all = cover::cover(made, &plans.loads, diagnostics, &drafts, &paperwork, revision.as_ref());
    all.extend(drafts);
    paperwork.number(all)
}

fn paperwork(made: &Made, diagnostics: &[Diagnostic]) -> Paperwork {
    Paperwork::of(&made.job, diagnostics.iter().any(|d| d.severity == Severity::Error))
}

/// All sheets but the cover.
fn drafts(made: &Made, plans: &Plans, paperwork: &Paperwork, since: Option<&Since>) -> Vec<Draft> {
    let mut all = assembly::assemblies(made, &plans.loads, paperwork);
    all.extend(shared::part_drawings(made, &plans.loads, paperwork, since));
    all.extend(nests::nests(made, plans, paperwork));
    all.extend(jigs::jig_sheets(made, plans, paperwork));
    all.extend(loads::sheets(made, &plans.loads, paperwork));
    all.extend(board_plans::board_plans(made, plans, paperwork));
    all.extend(cutting_order::cutting_order(made, plans, paperwork));
    all.extend(buying_list::buying_list(plans, paperwork));
    all
}

fn drafts_of_old(since: &Since) -> Vec<Draft> {
    drafts(since.old, since.plans, &paperwork(since.old, since.diagnostics), None)
}
