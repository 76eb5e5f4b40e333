//! The first sheet: what the set holds, which parts there are, what is wrong or must be looked to, and what has to be
//! measured on site before anything is cut.

use super::cautions::cautions;
use super::drawn::Care;
use super::finishes;
use super::frame::{Area, Frame};
use super::part_sheet::said;
use super::pictorial::Picture;
use super::sheet::{Draft, Flow, Paperwork, columns, missing_for_release};
use crate::diagnose::{Diagnostic, Severity};
use crate::drawing::revision::suffix;
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::{Group, Layer};
use crate::length::Length;
use crate::loads::Loads;
use crate::parts::{Made, PartId};

const TEXT: f64 = 2.5;

/// What the cover says of the revision that the set is.
pub struct Revision {
    /// Triangle and letter as they stand behind figures.
    pub sign: String,
    pub letter: String,
    /// Revisions, parts changed, what is withdrawn.
    pub tables: Vec<Table>,
}

/// The cover (more than one sheet where its lists are long), for a set whose other sheets are `drafts`.
pub fn cover(
    made: &Made,
    loads: &Loads,
    diagnostics: &[Diagnostic],
    drafts: &[Draft],
    paperwork: &Paperwork,
    revision: Option<&Revision>,
) -> Vec<Draft> {
    // How many sheets the cover takes decides the numbers it prints: laid out again until both agree.
    let mut covers = 1;
    loop {
        let told = Told { made, loads, diagnostics, drafts, revision };
        let sheets = lay(told, paperwork, covers, false);
        if sheets.len() <= covers || covers > 50 {
            return sheets;
        }
        covers = sheets.len();
    }
}

/// The room that a picture needs to show the work, in millimetres; where the lists leave less, they go on to a further sheet.
const LARGE: (f64, f64) = (100.0, 100.0);

/// What the cover tells of.
#[derive(Clone, Copy)]
struct Told<'a> {
    made: &'a Made,
    loads: &'a Loads,
    diagnostics: &'a [Diagnostic],
    drafts: &'a [Draft],
    revision: Option<&'a Revision>,
}

/// `keep_last`: the last column is kept for the picture.
fn lay(told: Told, paperwork: &Paperwork, covers: usize, keep_last: bool) -> Vec<Draft> {
    let Told { made, loads, diagnostics, drafts, revision } = told;
    let titles = &made.job.titles;
    let frame = paperwork.frame();
    let mut all = regions(&frame);
    let kept = keep_last.then(|| all.remove(columns_of(&frame) - 1));
    let mut flow = Flow::new(all);
    let title = if titles.title.is_empty() { "Drawings".to_owned() } else { titles.title.clone() };
    flow.line(&title, 7.0, true);
    let whom: Vec<&str> =
        [&titles.client, &titles.site].into_iter().filter(|t| !t.is_empty()).map(String::as_str).collect();
    if !whom.is_empty() {
        flow.line(&whom.join(" · "), 3.5, false);
    }
    flow.line(&paperwork.status, 3.5, true);
    let missing = missing_for_release(titles, finishes::hangs_on_house(made));
    // Who has not approved it yet knows; who has must hear why it is still no release.
    if !titles.approved_by.is_empty() && !missing.is_empty() {
        let all = missing.join(" and ");
        flow.line(
            &format!("NOT RELEASED although it bears a name under approved_by: job lacks {all}"),
            TEXT,
            true,
        );
    }
    revision.iter().flat_map(|revision| &revision.tables).for_each(|table| flow.table(table));
    let lists = [
        (Severity::Error, "ERRORS: DO NOT CUT"),
        (Severity::Warning, "WARNINGS"),
        (Severity::Caution, "FINDINGS TO LOOK TO"),
    ];
    for (severity, heading) in lists {
        let all = diagnostics.iter().filter(|d| d.severity == severity).map(|d| d.message.clone());
        list(&mut flow, heading, all.collect());
    }
    list(&mut flow, "CAUTIONS", cautions(made, loads));
    list(&mut flow, "LIFT WITH TWO", super::loads::lifts(made, loads));
    list(&mut flow, "VERIFY ON SITE BEFORE CUTTING", finishes::verify_on_site(made, &paperwork.figures));
    finishes::legend(made, TEXT).iter().for_each(|table| flow.table(table));
    flow.table(&marks(revision));
    flow.table(&sheet_list(drafts, covers));
    flow.table(&part_schedule(made, drafts, paperwork, covers));
    let mut groups = Vec::new();
    let boards: Vec<_> = made.placed.iter().collect();
    let free = flow.free().into_iter().chain(kept).map(|area| area.inset(4.0));
    let largest =
        free.max_by(|a, b| (a.width().min(2.0 * a.height())).total_cmp(&b.width().min(2.0 * b.height())));
    let room = largest.filter(|area| area.width() > 60.0 && area.height() > 40.0);
    let large = room.is_some_and(|area| area.width() > LARGE.0 && area.height() > LARGE.1);
    if !large && !keep_last && columns_of(&frame) > 2 {
        return lay(told, paperwork, covers, true);
    }
    if let Some(picture) = room.and_then(|area| Picture::of(&boards, 0, 0, area)) {
        groups.push(Group { id: "cover-picture".into(), layer: Layer::Outlines, marks: picture.marks() });
    }
    let group = Group { id: "cover".into(), layer: Layer::Notes, marks: flow.marks.clone() };
    groups.push(group);
    let mut sheets =
        vec![Draft { name: "cover".into(), title: title.clone(), kind: "COVER", groups, ..Draft::default() }];
    sheets.extend(flow.further(paperwork, "cover", &title));
    for sheet in &mut sheets {
        sheet.changed = revision.map(|revision| revision.letter.clone());
    }
    sheets
}

fn columns_of(frame: &Frame) -> usize {
    libm::floor(frame.field().width() / 125.0).clamp(1.0, 4.0) as usize
}

/// Columns over the whole field, then the room beside the title block.
fn regions(frame: &Frame) -> Vec<Area> {
    let mut all = columns(frame.field(), columns_of(frame));
    all.extend(frame.beside());
    all
}

/// As a table, so that what finds no room goes on to a further sheet.
fn list(flow: &mut Flow, heading: &str, all: Vec<String>) {
    let rows = all.into_iter().enumerate().map(|(i, text)| vec![(i + 1).to_string().into(), text.into()]);
    let rows: Vec<Vec<Cell>> = rows.collect();
    if rows.is_empty() {
        return;
    }
    let columns = vec![Column::numbers(""), Column::words("")];
    flow.table(&Table { title: heading.to_owned(), columns, rows, height: TEXT });
}

fn marks(revision: Option<&Revision>) -> Table {
    let marks = [
        (Care::Hold.mark(), "everything else gives way to it"),
        (Care::Verify.mark(), "measure on site before cutting"),
        (Care::Float.mark(), "the one member of its row that takes up what is left"),
        ("( )", "repeated for checking; beside a decimal, the nearest mark of the rule"),
    ];
    let changed = revision.map(|revision| {
        (revision.sign.trim(), "changed by this revision; beside a title: the sheet is another than before")
    });
    let rows = marks.into_iter().chain(changed).map(|(mark, says)| vec![Cell::bold(mark), says.into()]);
    Table {
        title: "MARKS BESIDE FIGURES".into(),
        columns: vec![Column::words(""), Column::words("")],
        rows: rows.collect(),
        height: TEXT,
    }
}

fn sheet_list(drafts: &[Draft], covers: usize) -> Table {
    // A sheet that several parts share has a row for each.
    let entries = |draft: &Draft| match draft.parts.as_slice() {
        shared @ [_, _, ..] => shared.iter().map(|s| (s.title.clone(), s.scale.clone())).collect(),
        _ => vec![(draft.title.clone(), draft.scale.clone())],
    };
    let all = drafts.iter().enumerate().flat_map(|(i, draft)| {
        entries(draft).into_iter().map(move |(title, scale)| (i, draft, title, scale))
    });
    let rows = all.map(|(i, draft, title, scale)| {
        let sheet = covers + i;
        vec![
            Cell::link((sheet + 1).to_string(), sheet),
            Cell::link(title, sheet),
            draft.kind.to_lowercase().into(),
            scale.into(),
            draft
                .changed
                .as_deref()
                .map(|letter| suffix(letter).trim().to_owned())
                .unwrap_or_default()
                .into(),
        ]
    });
    // Only where a set is a revision does a last column say which of its sheets changed.
    let revised = drafts.iter().any(|draft| draft.changed.is_some());
    let rows = rows.map(|mut row: Vec<Cell>| {
        row.truncate(if revised { 5 } else { 4 });
        row
    });
    let last = revised.then(|| Column::words("REV."));
    Table {
        title: "SHEETS".into(),
        columns: vec![
            Column::numbers(""),
            Column::words("TITLE"),
            Column::words("KIND"),
            Column::words("SCALE"),
        ]
        .into_iter()
        .chain(last)
        .collect(),
        rows: rows.collect(),
        height: TEXT,
    }
}

/// Every part with its finished size, its stock and its sheet.
pub fn part_schedule(made: &Made, drafts: &[Draft], paperwork: &Paperwork, covers: usize) -> Table {
    let figure = |length: Length| paperwork.figures.figure(length);
    let rows = made.parts.iter().enumerate().map(|(i, part)| {
        let stock = made.job.stock.get(part.stock);
        let called = stock.map_or("", |s| s.called.as_deref().unwrap_or(&s.name));
        let sheet = drafts
            .iter()
            .position(|d| d.parts.iter().any(|shown| shown.part == PartId(i)))
            .map(|at| covers + at);
        let link = |text: String| match sheet {
            Some(sheet) => Cell::link(text, sheet),
            None => Cell::new(text),
        };
        let pair = part
            .pair
            .and_then(|p| made.parts.get(p.0))
            .map_or(String::new(), |p| format!(" (pair with {})", p.mark));
        vec![
            Cell { bold: true, ..link(part.mark.clone()) },
            link(format!("{}{pair}", said(&part.name))),
            part.quantity.to_string().into(),
            format!("{} × {} × {}", figure(part.width), figure(part.height), figure(part.thick)).into(),
            called.into(),
            link(sheet.map(|s| (s + 1).to_string()).unwrap_or_default()),
        ]
    });
    Table {
        title: "PARTS: finished sizes, across × up × thick as drawn".into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("QTY"),
            Column::words("SIZE"),
            Column::words("STOCK"),
            Column::numbers("SHEET"),
        ],
        rows: rows.collect(),
        height: TEXT,
    }
}
