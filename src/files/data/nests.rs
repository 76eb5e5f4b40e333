//! Layouts of sheet goods as data: `lists/nests.csv` and the `nests` of `job.json`. Millimetres, from the lower left corner of a
//! sheet, x along its width and y along its length.

use serde::Serialize;

use super::cells::guarded;
use super::lists::number;
use crate::parts::{Made, Part};
use crate::plans::Plans;
use crate::plans::nests::{Along, Nest, NestCut, NestSheet, NestedPart, Patch};

/// Everything that is cut from the sheets of one stock.
#[derive(Serialize)]
pub struct NestEntry {
    stock: String,
    kerf_mm: f64,
    /// No layout takes fewer sheets.
    bound: usize,
    settings: usize,
    sheets: Vec<SheetEntry>,
}

#[derive(Serialize)]
struct SheetEntry {
    /// Counted over all sheets of the job.
    number: usize,
    width_mm: f64,
    length_mm: f64,
    from_rack: bool,
    trim_mm: f64,
    /// Which way rips run, and the grain where there is one: `x` or `y`.
    rips: &'static str,
    parts: Vec<PlacedEntry>,
    cuts: Vec<CutEntry>,
    offcuts: Vec<PatchEntry>,
}

#[derive(Serialize)]
struct PlacedEntry {
    part: String,
    mark: String,
    board: String,
    #[serde(flatten)]
    patch: PatchEntry,
    /// Where the part's own datum corner lies on the sheet.
    datum_mm: [f64; 2],
    /// Counter-clockwise from the part's drawing.
    quarter_turns: u8,
    matched: Option<MatchedEntry>,
}

#[derive(Serialize)]
struct MatchedEntry {
    set: String,
    place: usize,
    of: usize,
}

#[derive(Serialize)]
struct PatchEntry {
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
}

#[derive(Serialize)]
struct CutEntry {
    number: usize,
    stage: usize,
    kind: &'static str,
    along: &'static str,
    at_mm: f64,
    from_mm: f64,
    to_mm: f64,
    setting_mm: f64,
    by_hand: bool,
}

pub fn nests(made: &Made, plans: &Plans) -> Vec<NestEntry> {
    let entry = |nest: &Nest| NestEntry {
        stock: made.job.stock.get(nest.stock).map_or(String::new(), |stock| stock.name.clone()),
        kerf_mm: nest.kerf.to_mm(),
        bound: nest.bound,
        settings: nest.settings,
        sheets: nest.sheets.iter().map(|sheet| sheet_entry(made, sheet)).collect(),
    };
    plans.nests.iter().map(entry).collect()
}

fn sheet_entry(made: &Made, sheet: &NestSheet) -> SheetEntry {
    SheetEntry {
        number: sheet.number,
        width_mm: sheet.width.to_mm(),
        length_mm: sheet.length.to_mm(),
        from_rack: sheet.from_rack,
        trim_mm: sheet.trim.to_mm(),
        rips: letter(sheet.rips),
        parts: sheet.parts.iter().map(|placed| placed_entry(made, placed)).collect(),
        cuts: sheet.cuts.iter().map(cut_entry).collect(),
        offcuts: sheet.offcuts.iter().map(patch_entry).collect(),
    }
}

fn letter(along: Along) -> &'static str {
    match along {
        Along::Width => "x",
        Along::Length => "y",
    }
}

fn patch_entry(patch: &Patch) -> PatchEntry {
    PatchEntry {
        x_mm: patch.x.to_mm(),
        y_mm: patch.y.to_mm(),
        width_mm: patch.width.to_mm(),
        length_mm: patch.length.to_mm(),
    }
}

fn named(made: &Made, placed: &NestedPart, of: fn(&Part) -> &String) -> String {
    made.parts.get(placed.part.0).map(of).cloned().unwrap_or_default()
}

fn board(made: &Made, placed: &NestedPart) -> String {
    made.placed.get(placed.board.0).map_or(String::new(), |p| p.board.name.clone())
}

fn placed_entry(made: &Made, placed: &NestedPart) -> PlacedEntry {
    PlacedEntry {
        part: named(made, placed, |part| &part.id),
        mark: named(made, placed, |part| &part.mark),
        board: board(made, placed),
        patch: patch_entry(&placed.patch),
        datum_mm: [placed.datum.0.to_mm(), placed.datum.1.to_mm()],
        quarter_turns: placed.quarter_turns,
        matched: (placed.matched.as_ref()).map(|set| MatchedEntry {
            set: set.set.clone(),
            place: set.place,
            of: set.of,
        }),
    }
}

fn cut_entry(cut: &NestCut) -> CutEntry {
    CutEntry {
        number: cut.number,
        stage: cut.stage,
        kind: cut.kind.word(),
        along: letter(cut.along),
        at_mm: cut.at.to_mm(),
        from_mm: cut.from.to_mm(),
        to_mm: cut.to.to_mm(),
        setting_mm: cut.setting.to_mm(),
        by_hand: cut.by_hand,
    }
}

/// `lists/nests.csv`: one row a piece on a sheet, as it is cut, in millimetres.
pub fn nests_csv(made: &Made, plans: &Plans) -> Result<Vec<u8>, String> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    let head = [
        "sheet",
        "stock",
        "sheet_width_mm",
        "sheet_length_mm",
        "from_rack",
        "mark",
        "part",
        "board",
        "x_mm",
        "y_mm",
        "width_mm",
        "length_mm",
        "quarter_turns",
        "set",
    ];
    rows.write_record(head).map_err(|fault| fault.to_string())?;
    for nest in &plans.nests {
        let stock = made.job.stock.get(nest.stock).map_or("", |stock| stock.name.as_str());
        for sheet in &nest.sheets {
            for placed in &sheet.parts {
                let Patch { x, y, width, length } = placed.patch;
                let [x, y, width, length] = [x, y, width, length].map(number);
                let set = placed.matched.as_ref();
                rows.write_record([
                    sheet.number.to_string(),
                    guarded(stock),
                    number(sheet.width),
                    number(sheet.length),
                    if sheet.from_rack { "yes" } else { "no" }.to_owned(),
                    guarded(&named(made, placed, |part| &part.mark)),
                    guarded(&named(made, placed, |part| &part.id)),
                    guarded(&board(made, placed)),
                    x,
                    y,
                    width,
                    length,
                    placed.quarter_turns.to_string(),
                    set.map_or(String::new(), |set| format!("{} {}/{}", set.set, set.place, set.of)),
                ])
                .map_err(|fault| fault.to_string())?;
            }
        }
    }
    rows.into_inner().map_err(|fault| fault.to_string())
}
