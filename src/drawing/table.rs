//! Tables: columns as wide as their contents, text wrapped where the paper is narrower, links in cells.

use super::lettering::width_of;
use super::text::{height_of, lines, widest_figure, widest_word, wrap, written};
use super::{Anchor, At, LineType, Mark, Placed, line, rectangle};

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    pub text: String,
    pub bold: bool,
    /// Index of the sheet that the cell leads to.
    pub sheet: Option<usize>,
}

impl Cell {
    pub fn new(text: impl Into<String>) -> Cell {
        Cell { text: text.into(), ..Cell::default() }
    }

    pub fn bold(text: impl Into<String>) -> Cell {
        Cell { bold: true, ..Cell::new(text) }
    }

    pub fn link(text: impl Into<String>, sheet: usize) -> Cell {
        Cell { sheet: Some(sheet), ..Cell::new(text) }
    }
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Cell {
        Cell::new(text)
    }
}

/// A column and how its cells stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Printed in the header; a table whose headers are all empty has no header row.
    pub title: String,
    pub anchor: Anchor,
}

impl Column {
    /// Words, flush left.
    pub fn words(title: impl Into<String>) -> Column {
        Column { title: title.into(), anchor: Anchor::Start }
    }

    /// Numbers, flush right.
    pub fn numbers(title: impl Into<String>) -> Column {
        Column { title: title.into(), anchor: Anchor::End }
    }

    /// Marks, centred.
    pub fn marks(title: impl Into<String>) -> Column {
        Column { title: title.into(), anchor: Anchor::Middle }
    }
}

/// A table before it has a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Printed in bold above the table; may be empty.
    pub title: String,
    pub columns: Vec<Column>,
    /// Missing cells at the end of a row stay empty; cells beyond the last column go into a column without a title.
    pub rows: Vec<Vec<Cell>>,
    /// Height of the lettering in millimetres.
    pub height: f64,
}

impl Table {
    /// Whether every column can be as wide as its widest word, and the title's words stand whole, in so many millimetres.
    /// Where it is false the table wants another place: [`Table::placed`] breaks words between letters there.
    pub fn fits(&self, most_width: f64) -> bool {
        let least: f64 = self.measured(widest_word).iter().sum();
        least.max(widest_word(&self.title, self.height, true)) <= most_width + 1e-6
    }

    /// Lays the table out, hung by its upper left corner, no wider than `most_width` millimetres. Where that is less than
    /// its words take, words are broken between letters, but never a figure, a size or a mark: half of one is a wrong
    /// number, so that rather the table is wider than it should be (see [`Table::fits`]).
    pub fn placed(&self, at: At, most_width: f64) -> Placed {
        let layout = self.layout(most_width);
        let mut placed = Placed { width: layout.widths.iter().sum(), ..Placed::default() };
        let mut top = at.1;
        if !self.title.is_empty() {
            let titles = wrap(&self.title, placed.width.max(most_width), self.height, true);
            let title = lines(at, &titles, self.height, Anchor::Start, true);
            top -= title.height + 0.3 * self.height;
            placed.width = placed.width.max(title.width);
            placed.marks.extend(title.marks);
        }
        let (left, right) = (at.0, at.0 + layout.widths.iter().sum::<f64>());
        let first = top;
        for (index, row) in layout.rows.iter().enumerate() {
            self.draw_row(row, &layout.widths, (left, top), &mut placed.marks);
            top -= row.height;
            if index + 1 < layout.rows.len() {
                // The line under the header is heavier than those between rows.
                let kind = if row.header { LineType::Table } else { LineType::Dimension };
                placed.marks.push(line((left, top), (right, top), kind));
            }
        }
        let mut x = left;
        for width in layout.widths.iter().take(layout.widths.len().saturating_sub(1)) {
            x += width;
            placed.marks.push(line((x, first), (x, top), LineType::Dimension));
        }
        if !layout.rows.is_empty() {
            let path = rectangle((left, top), (right, first));
            placed.marks.push(Mark::Stroke { path, line: LineType::Table });
        }
        placed.height = at.1 - top;
        placed
    }

    /// The table in pieces no higher than `most_height` millimetres, each with the header again. A row that is higher
    /// than a whole piece still gets a piece of its own.
    pub fn split(&self, most_width: f64, most_height: f64) -> Vec<Table> {
        let layout = self.layout(most_width);
        let overhead: f64 = layout.rows.iter().filter(|r| r.header).map(|r| r.height).sum::<f64>()
            + if self.title.is_empty() { 0.0 } else { self.title_height(most_width) };
        let mut pieces: Vec<Table> = Vec::new();
        let mut used = f64::MAX;
        for (row, laid) in self.rows.iter().zip(layout.rows.iter().filter(|r| !r.header)) {
            if used + laid.height > most_height {
                pieces.push(Table { rows: Vec::new(), ..self.clone() });
                used = overhead;
            }
            used += laid.height;
            if let Some(piece) = pieces.last_mut() {
                piece.rows.push(row.clone());
            }
        }
        if pieces.is_empty() {
            pieces.push(self.clone());
        }
        pieces
    }

    /// The first row alone, broken after as many lines as fit into so many millimetres of height, and what goes on in a row
    /// below; cells that are through are repeated there, so that the row is still known. `None` where not one line fits, or all do.
    pub fn broken(&self, most_width: f64, most_height: f64) -> Option<(Table, Vec<Cell>)> {
        let only = Table { rows: self.rows.first().cloned().into_iter().collect(), ..self.clone() };
        let row = only.layout(most_width).rows.into_iter().find(|row| !row.header)?;
        let most = row.cells.iter().map(|(lines, _)| lines.len()).max()?;
        let part = |cell: &Cell, lines: &[String]| Cell { text: lines.join("\n"), ..cell.clone() };
        let parted = |count: usize| {
            let now = row.cells.iter().map(|(lines, cell)| part(cell, &lines[..count.min(lines.len())]));
            let now = Table { rows: vec![now.collect()], ..self.clone() };
            let later = row.cells.iter().map(|(lines, cell)| {
                if lines.len() <= count { cell.clone() } else { part(cell, &lines[count..]) }
            });
            (now.placed((0.0, 0.0), most_width).height <= most_height).then(|| (now, later.collect()))
        };
        // The most lines that fit, halving the doubt: more lines are never lower.
        let (mut good, mut bad) = (0, most);
        while bad - good > 1 {
            let middle = (good + bad) / 2;
            if parted(middle).is_some() { good = middle } else { bad = middle }
        }
        parted(good).filter(|_| good > 0)
    }

    /// Height in millimetres of a row of one line: no row is lower.
    pub fn least_row(&self) -> f64 {
        self.height + 2.0 * self.above()
    }

    fn title_height(&self, most_width: f64) -> f64 {
        height_of(&wrap(&self.title, most_width, self.height, true), self.height) + 0.3 * self.height
    }

    /// For every column what its cells and its header take by such a measure of text, height and weight, with the room at
    /// their sides, in millimetres.
    fn measured(&self, of: impl Fn(&str, f64, bool) -> f64) -> Vec<f64> {
        let count = self.rows.iter().map(Vec::len).max().unwrap_or(0).max(self.columns.len());
        let mut all = vec![0.0_f64; count];
        for (width, column) in all.iter_mut().zip(&self.columns) {
            *width = of(&column.title, self.height, true);
        }
        for row in &self.rows {
            for (width, cell) in all.iter_mut().zip(row) {
                *width = width.max(of(&cell.text, self.height, cell.bold));
            }
        }
        all.into_iter().map(|width| width + 2.0 * self.side()).collect()
    }

    fn layout(&self, most_width: f64) -> Layout {
        let header: Vec<Cell> = self.columns.iter().map(|c| Cell::bold(c.title.as_str())).collect();
        let headed = self.columns.iter().any(|c| !c.title.is_empty());
        let all: Vec<(&Vec<Cell>, bool)> = headed
            .then_some((&header, true))
            .into_iter()
            .chain(self.rows.iter().map(|r| (r, false)))
            .collect();
        let padding = 2.0 * self.side();
        let natural = self.measured(|text, height, bold| {
            text.lines().map(|l| width_of(l, height, bold)).fold(0.0, f64::max)
        });
        let (least, firm) = (self.measured(widest_word), self.measured(widest_figure));
        let widths = shared(&natural, &least, &firm, most_width);
        let mut rows = Vec::with_capacity(all.len());
        for (cells, header) in all {
            let wrapped: Vec<(Vec<String>, Cell)> = cells
                .iter()
                .zip(&widths)
                .map(|(c, w)| (wrap(&c.text, w - padding + 1e-6, self.height, c.bold), c.clone()))
                .collect();
            let tallest = wrapped.iter().map(|(l, _)| height_of(l, self.height)).fold(self.height, f64::max);
            rows.push(Row { cells: wrapped, height: tallest + 2.0 * self.above(), header });
        }
        Layout { widths, rows }
    }

    fn draw_row(&self, row: &Row, widths: &[f64], at: At, marks: &mut Vec<Mark>) {
        let mut left = at.0;
        for (index, ((texts, cell), width)) in row.cells.iter().zip(widths).enumerate() {
            let anchor = self.columns.get(index).map_or(Anchor::Start, |c| c.anchor);
            let x = match anchor {
                Anchor::Start => left + self.side(),
                Anchor::Middle => left + width / 2.0,
                Anchor::End => left + width - self.side(),
            };
            let laid = lines((x, at.1 - self.above()), texts, self.height, anchor, cell.bold);
            marks.extend(laid.marks);
            if let Some(sheet) = cell.sheet {
                marks.push(Mark::Link { low: (left, at.1 - row.height), high: (left + width, at.1), sheet });
            }
            left += width;
        }
    }

    /// Room between a text and the lines at its sides.
    fn side(&self) -> f64 {
        0.5 * self.height
    }

    /// Room between the capitals and the line above, and the descenders and the line below.
    fn above(&self) -> f64 {
        0.45 * self.height
    }
}

struct Layout {
    widths: Vec<f64>,
    rows: Vec<Row>,
}

struct Row {
    cells: Vec<(Vec<String>, Cell)>,
    height: f64,
    header: bool,
}

/// Widths no wider together than `most`: wide columns give way first, down to their longest word; then words are broken,
/// but no column becomes narrower than its figures, even where together they are wider than `most`.
fn shared(natural: &[f64], least: &[f64], firm: &[f64], most: f64) -> Vec<f64> {
    let total: f64 = natural.iter().sum();
    if total <= most {
        return natural.to_vec();
    }
    let (smallest, firmest): (f64, f64) = (least.iter().sum(), firm.iter().sum());
    if smallest >= most {
        // What is left beyond the figures goes to those who need it for their words.
        let part = ((most - firmest) / (smallest - firmest).max(1e-9)).clamp(0.0, 1.0);
        return least.iter().zip(firm).map(|(word, figure)| figure + (word - figure) * part).collect();
    }
    // The cap under which the columns together take exactly what there is: found by halving.
    let (mut low, mut high) = (0.0, most);
    for _ in 0..60 {
        let cap = (low + high) / 2.0;
        let taken: f64 = natural.iter().zip(least).map(|(n, l)| n.min(cap.max(*l))).sum();
        if taken > most { high = cap } else { low = cap }
    }
    natural.iter().zip(least).map(|(n, l)| n.min(low.max(*l))).collect()
}

/// A list with a mark before every entry, hung by its upper left corner; entries are wrapped behind their marks.
pub fn list(at: At, entries: &[(String, String)], width: f64, height: f64) -> Placed {
    let indent = entries.iter().map(|(m, _)| width_of(m, height, true)).fold(0.0, f64::max) + 0.8 * height;
    let mut placed = Placed { width, ..Placed::default() };
    let mut top = at.1;
    for (mark, text) in entries {
        placed.marks.push(written((at.0, top - height), mark.as_str(), height, Anchor::Start, true));
        let wrapped = wrap(text, (width - indent).max(height), height, false);
        let body = lines((at.0 + indent, top), &wrapped, height, Anchor::Start, false);
        placed.marks.extend(body.marks);
        top -= body.height.max(1.35 * height) + 0.45 * height;
    }
    placed.height = at.1 - top;
    placed
}
