//! The title block: data fields of ISO 7200:2004, the release mark, the projection symbol, rows for revisions.

use super::frame::{Area, Frame};
use crate::drawing::lettering::{HEIGHTS, width_of};
use crate::drawing::revision::triangle;
use crate::drawing::text::{lines, wrap, written};
use crate::drawing::{Anchor, At, LineType, Mark, Step, circle, line, rectangle};
use crate::trade::Units;

/// Width of the block in millimetres (ISO 7200 cl. 6, from memory).
pub const WIDTH: f64 = 180.0;
/// Heights of its rows from the top, and of a row for a revision.
const RELEASE: f64 = 12.0;
const TITLES: f64 = 20.0;
const FACTS: f64 = 10.0;
const REVISION: f64 = 5.0;

/// First or third angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Projection {
    First,
    Third,
}

/// One revision of the drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Revision {
    pub index: String,
    pub what: String,
    pub date: String,
    pub by: String,
}

/// What stands in the title block. Empty fields stay empty, for the pen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TitleBlock {
    pub owner: String,
    pub number: String,
    pub date: String,
    /// Number of this sheet, from 1, and of all sheets.
    pub sheet: usize,
    pub sheets: usize,
    pub title: String,
    pub supplementary: String,
    pub creator: String,
    pub approved: String,
    pub document_type: String,
    pub revision: String,
    /// As [`super::scales::Scale::label`] gives it; `AS SHOWN` where views differ.
    pub scale: String,
    pub projection: Projection,
    /// The one unit of the sheet's dimensions.
    pub units: Units,
    /// The release mark: issued for review, released for cutting, do not cut.
    pub status: String,
    /// Oldest first; the last ones that have room are printed.
    pub revisions: Vec<Revision>,
    /// The letter of the revision that changed this sheet: a triangle round it stands beside the title.
    pub changed: Option<String>,
}

/// Height of the block with rows for revisions.
pub fn height(revisions: usize) -> f64 {
    let table = if revisions == 0 { 0.0 } else { REVISION * (revisions + 1) as f64 };
    RELEASE + TITLES + FACTS + table
}

/// Marks of the filled-in block in its corner of the frame.
pub fn draw(frame: &Frame, block: &TitleBlock) -> Vec<Mark> {
    let area = frame.block();
    let mut marks = vec![Mark::Stroke { path: rectangle(area.low, area.high), line: LineType::Visible }];
    let stretch = area.width() / WIDTH;
    let mut rows = Rows { left: area.low.0, stretch, top: area.high.1, marks: &mut marks };
    rows.revisions(frame.revisions, &block.revisions);
    rows.row(
        RELEASE,
        &[
            (110.0, Cell::new("Document status", &block.status, 5.0).bold()),
            (70.0, Cell::new("Approved by", &block.approved, 3.5)),
        ],
    );
    rows.titles(block);
    let sheet = format!("{} of {}", block.sheet, block.sheets);
    let units = match block.units {
        Units::Inch => "inches",
        Units::Millimetre => "millimetres",
    };
    rows.row(
        FACTS,
        &[
            (32.0, Cell::new("Creator", &block.creator, 3.5)),
            (38.0, Cell::new("Document type", &block.document_type, 3.5)),
            (28.0, Cell::new("Scale", &block.scale, 3.5)),
            (28.0, Cell::new("Dimensions in", units, 3.5)),
            (18.0, Cell::new("Projection", "", 3.5)),
            (16.0, Cell::new("Paper", frame.paper.label(), 3.5)),
            (20.0, Cell::new("Sheet", &sheet, 3.5).bold()),
        ],
    );
    let middle = area.low.0 + (32.0 + 38.0 + 28.0 + 28.0 + 9.0) * stretch;
    symbol(block.projection, (middle, area.low.1 + 3.4), &mut marks);
    marks
}

/// A field: its name small above, its contents below.
struct Cell<'a> {
    label: &'a str,
    text: &'a str,
    /// Largest height of the lettering.
    most: f64,
    bold: bool,
}

impl<'a> Cell<'a> {
    fn new(label: &'a str, text: &'a str, most: f64) -> Cell<'a> {
        Cell { label, text, most, bold: false }
    }

    fn bold(self) -> Cell<'a> {
        Cell { bold: true, ..self }
    }
}

struct Rows<'a> {
    left: f64,
    stretch: f64,
    top: f64,
    marks: &'a mut Vec<Mark>,
}

impl Rows<'_> {
    fn row(&mut self, height: f64, cells: &[(f64, Cell)]) {
        let bottom = self.top - height;
        let mut left = self.left;
        for (index, (width, cell)) in cells.iter().enumerate() {
            let right = left + width * self.stretch;
            if index > 0 {
                self.marks.push(line((left, bottom), (left, self.top), LineType::Table));
            }
            fill(cell, Area { low: (left, bottom), high: (right, self.top) }, self.marks);
            left = right;
        }
        if height != FACTS {
            self.marks.push(line((self.left, bottom), (left, bottom), LineType::Table));
        }
        self.top = bottom;
    }

    fn titles(&mut self, block: &TitleBlock) {
        let (top, bottom) = (self.top, self.top - TITLES);
        let middle = (top + bottom) / 2.0;
        let x = |at: f64| self.left + at * self.stretch;
        let (a, b, c, d) = (x(52.0), x(134.0), x(149.0), x(180.0));
        let area =
            |left: f64, low: f64, right: f64, high: f64| Area { low: (left, low), high: (right, high) };
        let marks = &mut *self.marks;
        fill(&Cell::new("Legal owner", &block.owner, 3.5), area(self.left, bottom, a, top), marks);
        // Title over supplementary title: the label belongs to both.
        let split = if block.supplementary.is_empty() { bottom } else { bottom + 7.0 };
        // A sheet that a revision changed bears its triangle in the corner of the title.
        let (side, tall) = (8.0, 7.0);
        let beside = if block.changed.is_some() { side + 1.0 } else { 0.0 };
        fill(&Cell::new("Title", &block.title, 5.0).bold(), area(a, split, b - beside, top), marks);
        if let Some(letter) = &block.changed {
            marks.extend(triangle((b - side - 0.8, top - tall - 0.8), side, tall, letter, 0.0));
        }
        if !block.supplementary.is_empty() {
            fill(&Cell::new("", &block.supplementary, 3.5), area(a, bottom, b, split), marks);
        }
        fill(&Cell::new("Identification number", &block.number, 3.5).bold(), area(b, middle, d, top), marks);
        fill(&Cell::new("Revision", &block.revision, 3.5).bold(), area(b, bottom, c, middle), marks);
        fill(&Cell::new("Date of issue", &block.date, 3.5), area(c, bottom, d, middle), marks);
        for (from, to) in [
            ((a, bottom), (a, top)),
            ((b, bottom), (b, top)),
            ((b, middle), (d, middle)),
            ((c, bottom), (c, middle)),
            ((self.left, bottom), (d, bottom)),
        ] {
            marks.push(line(from, to, LineType::Table));
        }
        self.top = bottom;
    }

    /// A header and so many rows; the newest revision stands lowest, next to the block.
    fn revisions(&mut self, count: usize, all: &[Revision]) {
        if count == 0 {
            return;
        }
        let given = all.iter().skip(all.len().saturating_sub(count));
        let header = ["Rev.", "Change", "Date", "By"].map(str::to_owned);
        let rows: Vec<[String; 4]> = std::iter::once(header)
            .chain(given.map(|r| [r.index.clone(), r.what.clone(), r.date.clone(), r.by.clone()]))
            .collect();
        let top = self.top;
        for index in 0..=count {
            let mut left = self.left;
            for (column, width) in [14.0, 106.0, 30.0, 30.0].into_iter().enumerate() {
                let right = left + width * self.stretch;
                if let Some(text) = rows.get(index).map(|r| &r[column]) {
                    let (text, height) = fitted(text, right - left - 2.0, 2.5, index == 0);
                    let baseline = self.top - REVISION + 1.4;
                    self.marks.push(written((left + 1.0, baseline), text, height, Anchor::Start, index == 0));
                }
                left = right;
            }
            self.top -= REVISION;
            self.marks.push(line((self.left, self.top), (left, self.top), LineType::Table));
        }
        for x in [14.0, 120.0, 150.0] {
            let x = self.left + x * self.stretch;
            self.marks.push(line((x, self.top), (x, top), LineType::Table));
        }
    }
}

/// Room between a text and the lines at its sides.
const SIDE: f64 = 1.0;

fn fill(cell: &Cell, area: Area, marks: &mut Vec<Mark>) {
    let width = area.width() - 2.0 * SIDE;
    let mut room = area.height() - 1.0;
    if !cell.label.is_empty() {
        let at = (area.low.0 + SIDE, area.high.1 - 0.9 - 1.8);
        marks.push(written(at, cell.label, 1.8, Anchor::Start, false));
        room -= 3.3;
    }
    if cell.text.is_empty() {
        return;
    }
    // The largest lettering at which the whole text has room, in as many lines as it takes; smallest and cut as a last
    // resort, with the cut shown.
    let heights = HEIGHTS.iter().rev().copied().filter(|h| *h <= cell.most);
    for height in heights {
        let all = wrap(cell.text, width, height, cell.bold);
        let torn = all.len() > 1 && crate::drawing::text::widest_word(cell.text, height, cell.bold) > width;
        let laid = lines((area.low.0 + SIDE, 0.0), &all, height, Anchor::Start, cell.bold);
        // Accents of the first line stand above its capitals.
        if !torn && laid.height + 0.25 * height <= room {
            let bottom = area.low.1 + 0.7;
            marks.extend(lifted(laid.marks, bottom + laid.height));
            return;
        }
    }
    let (text, height) = fitted(cell.text, width, HEIGHTS[0], cell.bold);
    marks.push(written((area.low.0 + SIDE, area.low.1 + 1.4), text, height, Anchor::Start, cell.bold));
}

fn lifted(marks: Vec<Mark>, by: f64) -> impl Iterator<Item = Mark> {
    marks.into_iter().map(move |mark| match mark {
        Mark::Text(mut text) => {
            text.at.1 += by;
            Mark::Text(text)
        }
        other => other,
    })
}

/// A text that fits one line: smaller lettering first, then cut, with an ellipsis that shows it.
fn fitted(text: &str, width: f64, most: f64, bold: bool) -> (String, f64) {
    if let Some(height) = crate::drawing::lettering::height_that_fits(text, width, most, bold) {
        return (text.to_owned(), height);
    }
    let mut kept: Vec<char> = text.chars().collect();
    loop {
        kept.pop();
        let cut: String = kept.iter().chain(['…'].iter()).collect();
        if kept.is_empty() || width_of(&cut, HEIGHTS[0], bold) <= width {
            return (cut, HEIGHTS[0]);
        }
    }
}

/// The symbol of the projection: a truncated cone from the side and from its end, small end to the left. First angle
/// draws the end to the right of the cone; third angle on the left, the side it is looked at from (ISO 5456-2, from memory).
fn symbol(projection: Projection, centre: At, marks: &mut Vec<Mark>) {
    let (large, small, length, gap) = (2.4, 1.2, 4.8, 1.6);
    let total = length + gap + 2.0 * large;
    let left = centre.0 - total / 2.0;
    let (cone, ends) = match projection {
        Projection::First => (left, left + length + gap + large),
        Projection::Third => (left + 2.0 * large + gap, left + large),
    };
    let y = centre.1;
    let path = vec![
        Step::Move((cone, y - small)),
        Step::Line((cone + length, y - large)),
        Step::Line((cone + length, y + large)),
        Step::Line((cone, y + small)),
        Step::Close,
    ];
    marks.push(Mark::Stroke { path, line: LineType::Table });
    for radius in [large, small] {
        marks.push(Mark::Stroke { path: circle((ends, y), radius), line: LineType::Table });
    }
    // Too short for a pattern of dashes: the centre lines are drawn through.
    let over = 0.5;
    for (from, to) in [
        ((cone - over, y), (cone + length + over, y)),
        ((ends - large - over, y), (ends + large + over, y)),
        ((ends, y - large - over), (ends, y + large + over)),
    ] {
        marks.push(line(from, to, LineType::Dimension));
    }
}
