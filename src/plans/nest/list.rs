//! A plain list of parts as CSV, and a layout as JSON.
//!
//! The list: `name,width,height,quantity[,rotate]` with a header line, columns in any order. How a length is written is the
//! caller's business, as is the unit in which lengths are shown.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{Item, LONGEST, Layout, MOST_PARTS, Run};

/// The columns a list must have.
const COLUMNS: [&str; 4] = ["name", "width", "height", "quantity"];
/// The column it may have.
const ROTATE: &str = "rotate";

/// One line of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub name: String,
    /// Line of the list, from 1.
    pub line: u64,
    pub item: Item,
}

/// What is wrong with a list, where, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListFault {
    /// Line of the list, from 1.
    pub line: u64,
    pub fault: String,
    pub cure: String,
}

/// The largest part there is room for.
#[derive(Debug, Clone, Copy)]
pub struct Largest<'a> {
    /// Sides of the sheet within its edge trims.
    pub width: i64,
    pub height: i64,
    /// The same as told to the user.
    pub told: &'a str,
}

/// Reads a list. `rotates` is what a part does where the list does not say; `length` reads one length in the caller's units.
/// Where several sheet sizes are offered, a part must fit one of `sheets`.
///
/// # Errors
/// Every fault of the list, in line order.
pub fn read(
    text: &str,
    sheets: &[Largest<'_>],
    rotates: bool,
    length: impl Fn(&str) -> Result<i64, String>,
) -> Result<Vec<Entry>, Vec<ListFault>> {
    let text = text.trim_start_matches('\u{feff}');
    let mut reader =
        csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let columns = match reader.headers() {
        Ok(header) => columns(header)?,
        Err(error) => return Err(vec![unreadable(&error)]),
    };
    let (mut entries, mut faults) = (Vec::new(), Vec::new());
    let mut parts = 0_u64;
    let mut told_too_many = false;
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                faults.push(unreadable(&error));
                continue;
            }
        };
        // A row left empty in a spreadsheet.
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, |position| line_of(text, position));
        let mut row = Row { record: &record, columns: &columns, line, faults: &mut faults };
        let Some(entry) = row.entry(sheets, rotates, &length) else { continue };
        parts = parts.saturating_add(u64::from(entry.item.quantity));
        if parts > MOST_PARTS && !told_too_many {
            told_too_many = true;
            faults.push(ListFault {
                line,
                fault: format!(
                    "with this line the list has {parts} parts; at most {MOST_PARTS} are laid out at once"
                ),
                cure: "check the quantity, or split the list".to_owned(),
            });
        }
        entries.push(entry);
    }
    if entries.is_empty() && faults.is_empty() {
        faults.push(ListFault {
            line: 1,
            fault: "the list has no parts".to_owned(),
            cure: "add a line for each part below the header".to_owned(),
        });
    }
    if faults.is_empty() { Ok(entries) } else { Err(faults) }
}

/// The line a record stands on; the reader counts from the end of the record before, blank lines between.
fn line_of(text: &str, position: &csv::Position) -> u64 {
    let begin = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let before = text.as_bytes().iter().skip(begin).take_while(|byte| matches!(byte, b'\n' | b'\r'));
    position.line() + before.filter(|byte| **byte == b'\n').count() as u64
}

fn unreadable(error: &csv::Error) -> ListFault {
    let line = error.position().map_or(1, csv::Position::line);
    ListFault {
        line,
        fault: format!("cannot be read as CSV: {error}"),
        cure: "save the list as UTF-8 CSV".to_owned(),
    }
}

/// Where each column is.
fn columns(header: &csv::StringRecord) -> Result<BTreeMap<&'static str, usize>, Vec<ListFault>> {
    let mut columns = BTreeMap::new();
    let mut faults = Vec::new();
    let wanted = format!("begin the list with the line {},{ROTATE}", COLUMNS.join(","));
    for (index, title) in header.iter().enumerate() {
        let lower = title.to_lowercase();
        let Some(column) = COLUMNS.into_iter().chain([ROTATE]).find(|column| *column == lower) else {
            faults.push(ListFault {
                line: 1,
                fault: format!("unknown column `{title}`"),
                cure: wanted.clone(),
            });
            continue;
        };
        if columns.insert(column, index).is_some() {
            let cure = "leave one of them out".to_owned();
            faults.push(ListFault { line: 1, fault: format!("column `{column}` is there twice"), cure });
        }
    }
    for column in COLUMNS.into_iter().filter(|column| !columns.contains_key(column)) {
        faults.push(ListFault {
            line: 1,
            fault: format!("column `{column}` is missing"),
            cure: wanted.clone(),
        });
    }
    if faults.is_empty() { Ok(columns) } else { Err(faults) }
}

/// One line while it is being read.
struct Row<'a> {
    record: &'a csv::StringRecord,
    columns: &'a BTreeMap<&'static str, usize>,
    line: u64,
    faults: &'a mut Vec<ListFault>,
}

impl<'a> Row<'a> {
    fn fault(&mut self, fault: String, cure: &str) {
        self.faults.push(ListFault { line: self.line, fault, cure: cure.to_owned() });
    }

    fn field(&self, column: &str) -> &'a str {
        self.columns.get(column).and_then(|&index| self.record.get(index)).unwrap_or_default()
    }

    fn entry(
        &mut self,
        sheets: &[Largest<'_>],
        rotates: bool,
        length: &impl Fn(&str) -> Result<i64, String>,
    ) -> Option<Entry> {
        let least = self.columns.values().max().map_or(0, |last| last + 1);
        if self.record.len() > least {
            let (found, wanted) = (self.record.len(), least);
            self.fault(
                format!("{found} fields under {wanted} columns"),
                "put a field that holds a comma in double quotes, or leave the extra one out",
            );
            return None;
        }
        let name = self.field("name");
        if name.is_empty() {
            self.fault(
                "the part has no name".to_owned(),
                "name it: the layout and its labels call it by that name",
            );
        }
        let width = self.side("width", length);
        let height = self.side("height", length);
        let quantity = self.quantity();
        let may_turn = self.rotates(rotates);
        let (width, height, quantity, may_turn) = (width?, height?, quantity?, may_turn?);
        let fits = |w: i64, h: i64| sheets.is_empty() || sheets.iter().any(|s| w <= s.width && h <= s.height);
        let fits_somehow = fits(width, height) || (may_turn && fits(height, width));
        if !fits_somehow {
            let told: Vec<&str> = sheets.iter().map(|sheet| sheet.told).collect();
            let size = format!("{} × {}", self.field("width"), self.field("height"));
            let fault =
                format!("`{name}`, {size}, is larger than the sheet, {} within its trims", told.join(" or "));
            let cure = if fits(height, width) {
                "let it rotate, or swap width and height"
            } else {
                "cut it from a larger sheet, or make it of two parts"
            };
            self.fault(fault, cure);
            return None;
        }
        if name.is_empty() {
            return None;
        }
        Some(Entry {
            name: name.to_owned(),
            line: self.line,
            item: Item { width, height, quantity, may_turn },
        })
    }

    fn side(&mut self, column: &str, length: &impl Fn(&str) -> Result<i64, String>) -> Option<i64> {
        let field = self.field(column);
        if field.is_empty() {
            self.fault(format!("the {column} is missing"), "give a length");
            return None;
        }
        match length(field) {
            Ok(side) if side <= 0 => {
                self.fault(
                    format!("the {column} `{field}` is not above zero"),
                    "give the size of the part as cut",
                );
                None
            }
            Ok(side) if side > LONGEST => {
                self.fault(format!("the {column} `{field}` is beyond any sheet"), "check the unit");
                None
            }
            Ok(side) => Some(side),
            Err(why) => {
                self.fault(
                    format!("the {column} `{field}` is no length: {why}"),
                    "give a length, such as 18 mm or 3/4\"",
                );
                None
            }
        }
    }

    fn quantity(&mut self) -> Option<u32> {
        let field = self.field("quantity");
        let digits = !field.is_empty() && field.bytes().all(|byte| byte.is_ascii_digit());
        match field.parse::<u32>() {
            Ok(quantity) if digits && quantity > 0 => Some(quantity),
            Err(_) if digits => {
                self.fault(
                    format!("the quantity {field} is out of range; at most {MOST_PARTS} parts are laid out at once"),
                    "check the quantity, or split the list",
                );
                None
            }
            _ if field.is_empty() => {
                self.fault("the quantity is missing".to_owned(), "give how many to cut");
                None
            }
            Ok(0) if digits => {
                self.fault("the quantity is 0".to_owned(), "leave the line out, or give how many to cut");
                None
            }
            _ => {
                self.fault(
                    format!("the quantity `{field}` is no whole number"),
                    "give how many to cut, such as 4",
                );
                None
            }
        }
    }

    fn rotates(&mut self, otherwise: bool) -> Option<bool> {
        let field = self.field(ROTATE);
        match field.to_lowercase().as_str() {
            "" => Some(otherwise),
            "yes" => Some(true),
            "no" => Some(false),
            _ => {
                self.fault(format!("rotate says `{field}`"), "say yes or no");
                None
            }
        }
    }
}

/// A layout for another program; lengths as the caller shows them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report<L> {
    pub sheets: Vec<SheetReport<L>>,
    /// No layout has fewer sheets.
    pub bound: usize,
}

/// One sheet of a report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetReport<L> {
    pub parts: Vec<PartReport<L>>,
    pub cuts: Vec<CutReport<L>>,
}

/// One part of a report; its lower left corner from that of the sheet, sides as it lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartReport<L> {
    pub name: String,
    pub x: L,
    pub y: L,
    pub width: L,
    pub height: L,
    pub rotated: bool,
}

/// One cut of a report, in cutting order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CutReport<L> {
    pub number: usize,
    pub stage: usize,
    /// `x` for a cut along the width of the sheet, `y` for one along its height.
    pub along: &'static str,
    /// Where the kept side ends, across the cut.
    pub at: L,
    pub from: L,
    pub to: L,
    /// Fence to blade.
    pub setting: L,
    pub splits_sheet: bool,
}

/// Puts a layout into a report; `names` are those of the items, `show` turns units into what is written.
pub fn report<L>(layout: &Layout, names: &[String], show: impl Fn(i64) -> L) -> Report<L> {
    let part = |placed: &super::Placed| PartReport {
        name: names.get(placed.item).cloned().unwrap_or_default(),
        x: show(placed.rect.x),
        y: show(placed.rect.y),
        width: show(placed.rect.width),
        height: show(placed.rect.height),
        rotated: placed.turned,
    };
    let cut = |cut: &super::Cut| CutReport {
        number: cut.number,
        stage: cut.stage,
        along: match cut.run {
            Run::AlongX => "x",
            Run::AlongY => "y",
        },
        at: show(cut.at),
        from: show(cut.from),
        to: show(cut.to),
        setting: show(cut.setting),
        splits_sheet: cut.splits_sheet,
    };
    let sheets = layout.sheets.iter().map(|sheet| SheetReport {
        parts: sheet.parts.iter().map(part).collect(),
        cuts: sheet.cuts.iter().map(cut).collect(),
    });
    Report { sheets: sheets.collect(), bound: layout.bound }
}
