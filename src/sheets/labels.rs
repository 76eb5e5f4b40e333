//! A label for every piece, to cut out and stick on as it comes off the saw: in the order of the cuts for sheet goods, then the
//! rest part by part. Each is to be read the same way up as the part's drawing.

use std::collections::BTreeSet;

use super::figures::Figures;
use super::hand::hand;
use super::nest_words::TICK_BOX;
use super::part_sheet::said;
use crate::boards::{BoardId, Profile};
use crate::drawing::lettering::{height_that_fits, width_of};
use crate::drawing::paper::Paper;
use crate::drawing::text::{wrap, written};
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Sheet, line};
use crate::length::Length;
use crate::parts::{Made, Part};
use crate::plans::Plans;
use crate::trade::Grain;

/// Height of a label in millimetres, and the least width: four lines for a note stay readable at arm's length.
const HIGH: f64 = 40.0;
const LEAST_WIDE: f64 = 62.0;
/// Between its border and its text.
const INSIDE: f64 = 2.5;

/// One label.
struct Label<'a> {
    part: &'a Part,
    board: &'a str,
    /// Place among its equals, from 1.
    place: usize,
    /// Number of the sheet it is cut from.
    sheet: Option<usize>,
}

/// Pages of labels on a paper whose outer `margin` stays blank.
pub fn labels(made: &Made, plans: &Plans, paper: Paper, margin: Length) -> Vec<Sheet> {
    let (long, short) = paper.sides();
    let (width, height) = if paper.is_small() { (short, long) } else { (long, short) };
    let margin = margin.to_mm().max(5.0);
    let across = libm::floor((width - 2.0 * margin) / LEAST_WIDE).max(1.0) as usize;
    let down = libm::floor((height - 2.0 * margin - 6.0) / HIGH).max(1.0) as usize;
    let wide = (width - 2.0 * margin) / across as f64;
    let all = in_order(made, plans);
    let pages = all.chunks(across * down).collect::<Vec<_>>();
    let count = pages.len();
    let page = |(number, labels): (usize, &&[Label])| {
        let mut marks = vec![head(made, (margin, height - margin - 3.0), number + 1, count)];
        for (index, label) in labels.iter().enumerate() {
            let (column, row) = (index % across, index / across);
            let upper_left = (margin + wide * column as f64, height - margin - 6.0 - HIGH * row as f64);
            draw(made, label, upper_left, wide, &mut marks);
        }
        // Where to cut the labels apart; each line once, or dashes fill each other's gaps.
        let (top, rows) = (height - margin - 6.0, labels.len().div_ceil(across));
        let low = top - HIGH * rows as f64;
        for column in 0..=across {
            let x = margin + wide * column as f64;
            marks.push(line((x, low), (x, top), LineType::Hidden));
        }
        for row in 0..=rows {
            let y = top - HIGH * row as f64;
            marks.push(line((margin, y), (width - margin, y), LineType::Hidden));
        }
        Sheet {
            name: format!("labels-{:02}", number + 1),
            title: format!("Labels, page {} of {count}", number + 1),
            width,
            height,
            groups: vec![Group { id: "labels".to_owned(), layer: Layer::Notes, marks }],
            dimensions: Vec::new(),
            chapter: String::new(),
            fields: Vec::new(),
        }
    };
    pages.iter().enumerate().map(page).collect()
}

fn head(made: &Made, at: At, page: usize, pages: usize) -> Mark {
    let text = format!(
        "LABELS {}, page {page} of {pages}: stick on the show face, the same way up as the part's drawing",
        issue(made)
    );
    written(at, text, 2.5, Anchor::Start, true)
}

/// Number and revision of the job.
fn issue(made: &Made) -> String {
    let titles = &made.job.titles;
    let revision =
        if titles.revision.is_empty() { String::new() } else { format!(" rev {}", titles.revision) };
    format!("{}{revision}", titles.number)
}

/// Every piece: those of sheet goods as they come off the saw, then the rest.
fn in_order<'a>(made: &'a Made, plans: &Plans) -> Vec<Label<'a>> {
    let mut all = Vec::new();
    let mut done: BTreeSet<BoardId> = BTreeSet::new();
    let label = |id: BoardId, sheet: Option<usize>| {
        let placed = made.placed.get(id.0)?;
        let part = made.parts.get(placed.part.0)?;
        let place = part.boards.iter().position(|board| *board == id)? + 1;
        Some(Label { part, board: &placed.board.name, place, sheet })
    };
    for sheet in plans.nests.iter().flat_map(|nest| &nest.sheets) {
        for piece in &sheet.parts {
            if done.insert(piece.board) {
                all.extend(label(piece.board, Some(sheet.number)));
            }
        }
    }
    for id in made.parts.iter().flat_map(|part| &part.boards) {
        if done.insert(*id) {
            all.extend(label(*id, None));
        }
    }
    all
}

fn draw(made: &Made, label: &Label, upper_left: At, wide: f64, marks: &mut Vec<Mark>) {
    let (part, figures) = (label.part, Figures::of(&made.job.sheets));
    let (left, top) = upper_left;
    let (from, to) = (left + INSIDE, left + wide - INSIDE);
    let room = to - from;
    // The mark large enough to be read across the bench, the count opposite.
    let mut y = top - INSIDE - 7.0;
    marks.push(written((from, y), part.mark.clone(), 7.0, Anchor::Start, true));
    let count = format!("{} of {}", label.place, part.quantity);
    marks.push(written((to, y), count.clone(), 5.0, Anchor::End, true));
    let beside = from + width_of(&part.mark, 7.0, true) + 3.0;
    let name = said(&part.name);
    let free = to - width_of(&count, 5.0, true) - 2.0 - beside;
    let mut say = |y: f64, text: &str, bold: bool| {
        // A name too long for the smallest lettering is cut short; the mark tells it apart.
        let height = height_that_fits(text, room, 2.5, bold).unwrap_or(1.8);
        let text = wrap(text, room, height, bold).into_iter().next().unwrap_or_default();
        marks.push(written((from, y), text, height, Anchor::Start, bold));
    };
    match height_that_fits(&name, free, 3.5, true) {
        Some(height) => marks.push(written((beside, y), name, height, Anchor::Start, true)),
        None => {
            y -= 4.2;
            say(y, &name, true);
        }
    }
    let mut say = |text: &str, bold: bool| {
        y -= 4.2;
        let height = height_that_fits(text, room, 2.5, bold).unwrap_or(1.8);
        let text = wrap(text, room, height, bold).into_iter().next().unwrap_or_default();
        marks.push(written((from, y), text, height, Anchor::Start, bold));
    };
    say(label.board, false);
    let cut = part.as_cut().extents();
    let scribed = part.edges.iter().any(|edge| edge.scribe.is_positive());
    let size = [cut.width(), cut.height(), part.thick].map(|length| figures.figure(length)).join(" × ");
    let grain = match part.grain {
        Grain::AlongU => "   ↔ GRAIN",
        Grain::AlongV => "   ↕ GRAIN",
        Grain::Free => "",
    };
    say(&format!("{}{size}{grain}", if scribed { "AS CUT " } else { "" }), true);
    let stock = made.job.stock.get(part.stock);
    let stock = stock.map_or(String::new(), |s| s.called.clone().unwrap_or_else(|| said(&s.name)));
    let sheet = label.sheet.map(|number| format!(", sheet {number}")).unwrap_or_default();
    say(&format!("{stock}{sheet}"), false);
    // What is done to an edge: its profile, its finish, or both.
    let finished = part.edges.iter().filter_map(|edge| {
        let profile = edge.profile.map(|(profile, _)| match profile {
            Profile::Chamfer { .. } => "chamfer",
            Profile::Round { .. } => "round",
            Profile::Rebate { .. } => "rebate",
            Profile::Bevel { .. } => "bevel",
        });
        let done: Vec<&str> = profile.into_iter().chain(edge.finish.as_deref()).collect();
        (!done.is_empty()).then(|| format!("{} {}", edge.side.word(), done.join(" ")))
    });
    let finished: Vec<String> = finished.collect();
    let edges = if finished.is_empty() { String::new() } else { format!("EDGES {}", finished.join(", ")) };
    let hand = hand(made, part).map(|hand| format!("{hand}, never flip")).unwrap_or_default();
    let both = [hand, edges].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ");
    if !both.is_empty() {
        say(&both, true);
    }
    let low = top - HIGH + INSIDE;
    let boxes = ["CUT", "EDGES", "DRY FIT", "FINISH"].map(|what| format!("{TICK_BOX} {what}")).join("   ");
    let height = height_that_fits(&boxes, room, 2.5, false).unwrap_or(1.8);
    marks.push(written((to, low + 4.8), issue(made), 2.5, Anchor::End, true));
    marks.push(line((from, low + 3.6), (to, low + 3.6), LineType::Dimension));
    marks.push(written((from, low + 0.4), boxes, height, Anchor::Start, false));
}
