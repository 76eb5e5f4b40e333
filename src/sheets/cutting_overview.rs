//! One page for a cutting shop: every part with its overall sizes, to check what comes out of the machine and what was read
//! from the files. Each part is drawn as large as its field allows, so there is no scale to measure by.

use super::sheet::{Draft, Paperwork};
use crate::drawing::paper::Area;
use crate::drawing::text::paragraph;
use crate::drawing::{At, Group, Layer, LineType, Mark, Sheet, Step, circle};
use crate::length::Units;
use crate::parts::{Made, Part, PartId};
use crate::shape::{Outline, Point};
use crate::trade::Face;

/// A part as the page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    pub part: PartId,
    /// Mark, name, quantity, stock.
    pub label: String,
    /// Overall sizes with their unit, as the part is cut: `width 432.943 mm, height 350.291 mm`.
    pub sizes: String,
}

/// Height of words and figures, mm.
const WORDS: f64 = 2.5;
/// Above a part: up to four lines of words.
const LABEL: f64 = 18.0;
/// The least field in which a part and its words can be read.
const LEAST: (f64, f64) = (42.0, 34.0);

/// The page, or pages where one cannot hold so many parts.
///
/// `units`: those of the shop, which may not be those of the job.
pub fn overview(made: &Made, shop: &str, units: Units, seen: &[Seen]) -> Vec<Sheet> {
    let mut job = made.job.clone();
    job.sheets.units = units;
    let paperwork = Paperwork::of(&job, false, true);
    let field = paperwork.frame().field();
    let across = libm::floor(field.width() / LEAST.0).max(1.0) as usize;
    let down = libm::floor(field.height() / LEAST.1).max(1.0) as usize;
    let title = if shop.is_empty() { "Parts to be cut".to_owned() } else { format!("Parts for {shop}") };
    let drafts = seen.chunks(across * down).map(|page| Draft {
        name: "parts".to_owned(),
        title: title.clone(),
        kind: "PARTS TO BE CUT",
        scale: "NONE".to_owned(),
        groups: draw(made, page, field),
        ..Draft::default()
    });
    paperwork.number(drafts.collect())
}

fn draw(made: &Made, seen: &[Seen], field: Area) -> Vec<Group> {
    let count = seen.len().max(1);
    let most = libm::floor(field.width() / LEAST.0).max(1.0) as usize;
    let grids = (1..=most.min(count)).map(|columns| (columns, count.div_ceil(columns)));
    let readable = grids.filter(|(_, rows)| field.height() / *rows as f64 >= LEAST.1);
    let best = readable.map(|grid| (drawn_size(made, seen, field, grid), grid));
    let grid = best
        .reduce(|a, b| if b.0 > a.0 { b } else { a })
        .map_or((most, count.div_ceil(most)), |(_, grid)| grid);
    let each = seen.iter().enumerate().filter_map(|(index, seen)| {
        let part = made.parts.get(seen.part.0)?;
        Some(cell(part, seen, place(field, index, grid)))
    });
    each.flatten().collect()
}

/// How large all parts are drawn together: the longer sides, mm of paper.
fn drawn_size(made: &Made, seen: &[Seen], field: Area, grid: (usize, usize)) -> f64 {
    let view = view_of(place(field, 0, grid));
    let parts = seen.iter().filter_map(|seen| made.parts.get(seen.part.0));
    parts
        .map(|part| {
            let (width, height) = size(&part.as_cut());
            factor(&view, width, height) * width.max(height)
        })
        .sum()
}

/// A field of the grid, counted in rows from the upper left.
fn place(field: Area, index: usize, (columns, rows): (usize, usize)) -> Area {
    let (wide, high) = (field.width() / columns.max(1) as f64, field.height() / rows.max(1) as f64);
    let (column, row) = (index % columns.max(1), index / columns.max(1));
    let (left, top) = (field.low.0 + wide * column as f64, field.high.1 - high * row as f64);
    Area { low: (left + 1.0, top - high + 2.0), high: (left + wide - 3.0, top - 1.0) }
}

/// What the words and dimensions leave of a field.
fn view_of(cell: Area) -> Area {
    Area { low: cell.low, high: (cell.high.0, cell.high.1 - LABEL) }
}

fn size(outline: &Outline) -> (f64, f64) {
    let around = outline.extents();
    (around.width().to_mm(), around.height().to_mm())
}

fn factor(view: &Area, width: f64, height: f64) -> f64 {
    (view.width() / width.max(1.0)).min(view.height() / height.max(1.0)).min(1.0)
}

fn cell(part: &Part, seen: &Seen, cell: Area) -> Vec<Group> {
    let outline = part.as_cut();
    let view = view_of(cell);
    let around = outline.extents();
    let (width, height) = size(&outline);
    let factor = factor(&view, width, height);
    // Hung under its words, so that the sizes of a row stand in a line where the parts are alike.
    let corner = (view.low.0, view.high.1 - height * factor);
    let low = around.low.to_mm();
    let at = |point: Point| -> At {
        let (x, y) = point.to_mm();
        (corner.0 + (x - low.0) * factor, corner.1 + (y - low.1) * factor)
    };
    let stroke = |outline: &Outline, line: LineType| Mark::Stroke { path: path(outline, &at), line };
    let line_of = |face: Face| if face == Face::Show { LineType::Visible } else { LineType::Hidden };
    let mut marks = vec![stroke(&outline, LineType::Visible)];
    marks.extend(part.inside.iter().map(|opening| stroke(opening, LineType::Visible)));
    marks.extend(part.pockets.iter().map(|pocket| stroke(&pocket.outline, line_of(pocket.from))));
    marks.extend(part.holes.iter().map(|hole| {
        let radius = (hole.diameter.to_mm() / 2.0 * factor).max(0.3);
        Mark::Stroke { path: circle(at(hole.at), radius), line: LineType::Dimension }
    }));
    let mut words = paragraph(cell.upper_left(), &seen.label, cell.width(), WORDS, true);
    let under = (cell.low.0, cell.high.1 - words.height);
    words.marks.extend(paragraph(under, &seen.sizes, cell.width(), WORDS, false).marks);
    let id = |what: &str| format!("{}-{what}", part.id);
    vec![
        Group { id: id("overview"), layer: Layer::Outlines, marks },
        Group { id: id("words"), layer: Layer::Notes, marks: words.marks },
    ]
}

fn path(outline: &Outline, at: &impl Fn(Point) -> At) -> Vec<Step> {
    let mut path = Vec::new();
    for (from, to) in outline.segments() {
        if path.is_empty() {
            path.push(Step::Move(at(from.at)));
        }
        path.push(if from.bulge == 0.0 { Step::Line(at(to)) } else { Step::Arc(at(to), from.bulge) });
    }
    path.push(Step::Close);
    path
}
