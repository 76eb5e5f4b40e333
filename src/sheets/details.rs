//! Joint details of an assembly: one for every different condition, lettered, enlarged, with its own numbers and all the
//! boards it holds for. Knows no view: where a detail is called out is `details::circles`.

mod block;
pub mod circles;
pub mod condition;
mod fixed;
mod found;
mod house;
pub mod numbers;
mod pack;
pub mod plane;
mod same;
pub mod shown;
mod touching;

use std::collections::{BTreeMap, BTreeSet};

use super::assembly::Assembled;
use super::frame::Area;
use super::part_sheet::said;
use super::section::hatching;
use super::sheet::{Draft, Flow, Paperwork, columns};
use super::title_block::Projection as Angle;
use crate::boards::{Board, BoardId, Other};
use crate::drawing::hatch::Hatching;
use crate::drawing::{Dimension, Group, Layer};
use crate::parts::Placed as PlacedBoard;
use block::Block;
use condition::{Condition, Occurs, board_of, conditions};
use pack::{BETWEEN, Sized, fill, spread};

/// Least width of a column of details.
const COLUMN: f64 = 118.0;
const WORDS: f64 = 2.5;

/// A condition with its letter.
#[derive(Clone, Debug)]
pub struct Detail {
    pub letter: String,
    pub condition: Condition,
}

/// Letters of sections and details: capitals without I, O and Q, which are read as figures (ISO 3098 practice), then AA, AB …
pub fn capital(index: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRSTUVWXYZ";
    let one = |i: usize| char::from(LETTERS[i % LETTERS.len()]);
    match index / LETTERS.len() {
        0 => one(index).to_string(),
        more => format!("{}{}", one(more - 1), one(index)),
    }
}

/// The details of an assembly, lettered on from its sections.
pub fn details(of: &Assembled, after: usize, paperwork: &Paperwork) -> Vec<Detail> {
    let third = paperwork.projection == Angle::Third;
    let all = conditions(of, third, &paperwork.figures).into_iter().enumerate();
    all.map(|(i, condition)| Detail { letter: capital(after + i), condition }).collect()
}

/// The sheets of them, in order down the columns. `called`: by letter, the factor of the view that calls a detail out.
pub fn sheets(
    of: &Assembled,
    details: &[Detail],
    called: &BTreeMap<String, f64>,
    paperwork: &Paperwork,
) -> Vec<Draft> {
    let mut all: Vec<Draft> = Vec::new();
    let fresh = empty(of, paperwork).free();
    let (width, tallest) =
        (fresh.first().map_or(COLUMN, Area::width), fresh.iter().map(Area::height).fold(0.0, f64::max));
    let sized = |detail| {
        let detail: &Detail = detail;
        let called = called.get(detail.letter.as_str()).copied().unwrap_or(0.0);
        Sized::new(block(of, detail), called, (width, tallest), paperwork)
    };
    let mut sizes: Vec<Sized> = details.iter().map(sized).collect();
    let heights: Vec<f64> = fresh.iter().map(Area::height).collect();
    let mut done = 0;
    for count in spread(&mut sizes, &heights) {
        let (head, free) = (empty(of, paperwork), &fresh);
        let (here, now) = (done..done + count, &details[done..done + count]);
        let places = fill(&mut sizes[here.clone()], &heights);
        let (mut marks, mut dimensions) = (head.marks, Vec::new());
        let mut tops: Vec<f64> = free.iter().map(|area| area.high.1).collect();
        for ((column, sized), detail) in places.iter().zip(&sizes[here]).zip(now) {
            let placed = sized.placed();
            let at = (free[*column].low.0, tops[*column]);
            tops[*column] -= placed.height + BETWEEN;
            marks.extend(placed.marks.into_iter().map(|mark| mark.moved(at)));
            dimensions.extend(planned(detail, paperwork));
        }
        done += count;
        let number = all.len() + 1;
        let ending = if number == 1 { String::new() } else { format!("-{number}") };
        let name = format!("{}-details{ending}", of.name);
        let title = format!("{}: joint details", of.title);
        all.push(Draft {
            title: if number == 1 { title } else { format!("{title} ({number})") },
            groups: vec![Group { id: format!("{name}-detail"), layer: Layer::Dimensions, marks }],
            name,
            kind: "DETAILS",
            scale: "AS SHOWN".to_owned(),
            dimensions,
            ..Draft::default()
        });
    }
    all
}

/// A sheet with its head, in columns.
fn empty(of: &Assembled, paperwork: &Paperwork) -> Flow {
    let (frame, field) = (paperwork.frame(), paperwork.frame().field());
    let count = libm::floor((field.width() + 5.0) / (COLUMN + 5.0)).max(1.0) as usize;
    let mut regions = columns(field, count);
    if let Some(beside) = frame.beside() {
        // Columns that end left of the title block go down to the foot of the sheet.
        let free = regions.iter_mut().filter(|area| area.high.0 <= beside.high.0);
        free.for_each(|area| area.low.1 = beside.low.1);
    }
    let mut flow = Flow::new(regions);
    flow.line(&of.title.to_uppercase(), 5.0, true);
    flow.line("JOINT DETAILS", 3.5, false);
    flow.line(
        "Sizes that stand on a part's own sheet are repeated here to show how parts meet.",
        WORDS,
        false,
    );
    flow.line(paperwork.figures.unit_note(), WORDS, true);
    flow
}

fn block<'a>(of: &'a Assembled, detail: &'a Detail) -> Block<'a> {
    let condition = &detail.condition;
    let first = condition.occurs.first();
    let placed = |id: Option<BoardId>| id.and_then(|id| of.made.placed.get(id.0));
    let boards = [placed(first.map(|o| o.first)), placed(first.and_then(|o| board_of(o.second)))];
    let house = first.map_or("?", |o| if o.second == Other::Floor { "FLOOR" } else { "WALL" });
    let mut facts = vec![("FOR".to_owned(), holds_for(of, &condition.occurs))];
    facts.extend(condition.numbers.facts.clone());
    Block {
        letter: &detail.letter,
        condition,
        title: condition.numbers.title.clone(),
        facts,
        hatching: boards
            .map(|b| b.map_or((Hatching::Plain, 0.0), |b| hatching(of, b, &condition.plane.look))),
        marks: boards.map(|b| b.map_or(house, |b| mark(of, b))),
    }
}

fn mark<'a>(of: &'a Assembled, placed: &PlacedBoard) -> &'a str {
    of.made.parts.get(placed.part.0).map_or("?", |p| p.mark.as_str())
}

/// A board, and the other one where it is no part of the house.
type Met<'a> = (&'a PlacedBoard, Option<&'a PlacedBoard>);

/// All boards that a detail holds for, by part, name and count, and which pair is drawn.
fn holds_for(of: &Assembled, occurs: &[Occurs]) -> String {
    let mut entries: Vec<(String, String)> = Vec::new();
    let mut of_pair: BTreeMap<(String, String), Vec<Met>> = BTreeMap::new();
    for place in occurs {
        let Some(one) = of.made.placed.get(place.first.0) else { continue };
        let other = board_of(place.second).and_then(|id| of.made.placed.get(id.0));
        let name = match place.second {
            Other::Board(_) => other.map_or(String::new(), |other| other.board.entry.clone()),
            Other::Wall => "the wall".to_owned(),
            Other::Floor => "the floor".to_owned(),
        };
        let key = (one.board.entry.clone(), name);
        if !of_pair.contains_key(&key) {
            entries.push(key.clone());
        }
        of_pair.entry(key).or_default().push((one, other));
    }
    let told = entries.iter().filter_map(|key| {
        let pairs = of_pair.get(key)?;
        let one = named(of, pairs.iter().map(|pair| pair.0));
        let others: Vec<&PlacedBoard> = pairs.iter().filter_map(|pair| pair.1).collect();
        let other = if others.is_empty() { key.1.clone() } else { named(of, others.into_iter()) };
        let count = if pairs.len() == 1 { String::new() } else { format!(" ({} joints)", pairs.len()) };
        Some(format!("{one} to {other}{count}"))
    });
    let told: Vec<String> = told.collect();
    let total = occurs.len();
    let total = if entries.len() > 1 {
        format!(" — {total} joints in all; the first is drawn")
    } else {
        String::new()
    };
    format!("{}{total}", told.join("; "))
}

/// Boards of one entry: marks of their parts, name, numbers in runs.
fn named<'a>(of: &Assembled, boards: impl Iterator<Item = &'a PlacedBoard>) -> String {
    let boards: Vec<&PlacedBoard> = boards.collect();
    let marks: BTreeSet<&str> = boards.iter().map(|b| mark(of, b)).collect();
    let marks: Vec<&str> = marks.into_iter().collect();
    let name = boards.first().map_or(String::new(), |b| said(&b.board.entry));
    let numbers: BTreeSet<u32> = boards.iter().filter_map(|b: &&PlacedBoard| number(&b.board)).collect();
    let numbers = runs(&numbers);
    let numbers = if numbers.is_empty() { String::new() } else { format!(" {numbers}") };
    format!("{} {name}{numbers}", marks.join(", "))
}

fn number(board: &Board) -> Option<u32> {
    board.index
}

/// `1–4, 6` of numbers in order.
fn runs(numbers: &BTreeSet<u32>) -> String {
    let mut all: Vec<(u32, u32)> = Vec::new();
    for number in numbers {
        match all.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(*number) => *last = *number,
            _ => all.push((*number, *number)),
        }
    }
    let told = all.iter().map(|(a, b)| if a == b { a.to_string() } else { format!("{a}–{b}") });
    told.collect::<Vec<_>>().join(", ")
}

/// The sizes of a detail, for those who read dimensions beside the drawing.
fn planned(detail: &Detail, paperwork: &Paperwork) -> Vec<Dimension> {
    let sizes = detail.condition.numbers.sizes.iter();
    let dimension = |size: &numbers::Size| Dimension {
        what: format!("detail {}: {}", detail.letter, size.what),
        value: size.value(),
        printed: paperwork.figures.figure(size.value()),
    };
    sizes.map(dimension).collect()
}
