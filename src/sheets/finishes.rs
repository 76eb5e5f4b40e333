//! What the cover says of finishes and of the house: which pieces and edges bear which finish and what is left without, and
//! what has to be measured before anything is cut. Knows no paper.

use std::collections::BTreeMap;

use super::cut_marks::edge_mark;
use super::dimension::plan;
use super::drawn::Care;
use super::figures::Figures;
use super::part_sheet::said;
use crate::boards::{Held, Other};
use crate::drawing::table::{Cell, Column, Table};
use crate::length::{Interval, Length};
use crate::parts::{Made, Part};

/// What stands for parts and edges that were given no finish.
const NONE: &str = "none given: left as cut";

/// What bears one finish.
#[derive(Default)]
struct Borne {
    where_on: Vec<String>,
    pieces: usize,
}

/// Every finish that is asked for, in its order of words, with the parts and edges that bear it and how many pieces those are;
/// last what was given none. `None` where nothing in the job was given a finish.
pub fn legend(made: &Made, height: f64) -> Option<Table> {
    let mut all: BTreeMap<&str, Borne> = BTreeMap::new();
    let mut none = Borne::default();
    for part in &made.parts {
        let pieces = part.quantity;
        // An edge with a finish of its own does not bear that of its part.
        let own: Vec<(usize, &str)> =
            part.edges.iter().enumerate().filter_map(|(i, e)| Some((i, e.finish.as_deref()?))).collect();
        let but = match names(own.iter().map(|(i, _)| *i)) {
            edges if edges.is_empty() => String::new(),
            edges => format!(" but for {edges}"),
        };
        let borne = match part.finish.as_deref() {
            Some(words) => all.entry(words).or_default(),
            None => &mut none,
        };
        borne.where_on.push(format!("{}{but}", part.mark));
        borne.pieces += pieces;
        let mut by_words: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        own.into_iter().for_each(|(i, words)| by_words.entry(words).or_default().push(i));
        for (words, edges) in by_words {
            let borne = all.entry(words).or_default();
            borne.where_on.push(format!("{} {} only", part.mark, names(edges.into_iter())));
            borne.pieces += pieces;
        }
    }
    if all.is_empty() {
        return None;
    }
    let left = (!none.where_on.is_empty()).then_some((NONE, none));
    let rows = all.into_iter().chain(left).map(|(words, borne)| {
        vec![Cell::bold(words), borne.where_on.join(", ").into(), borne.pieces.to_string().into()]
    });
    Some(Table {
        title: "FINISHES: parts with all their faces and edges, unless edges are named".into(),
        columns: vec![Column::words("FINISH"), Column::words("PARTS, EDGES"), Column::numbers("PIECES")],
        rows: rows.collect(),
        height,
    })
}

fn names(edges: impl Iterator<Item = usize>) -> String {
    edges.map(edge_mark).collect::<Vec<_>>().join(", ")
}

/// Sizes that hang on the house: the place of each assembly that touches it, then the scribed parts.
pub fn verify_on_site(made: &Made, figures: &Figures) -> Vec<String> {
    let mut all: Vec<String> =
        (0..made.job.assemblies.len()).filter_map(|index| place_of(made, index, figures)).collect();
    all.extend(made.parts.iter().flat_map(|part| scribed(made, part)));
    all
}

/// Whether sizes have to be measured on site before anything is cut.
pub fn hangs_on_house(made: &Made) -> bool {
    !made.placed.is_empty()
        || made.parts.iter().any(|part| part.edges.iter().any(|e| e.scribe != Length::ZERO))
}

/// The clear place that an assembly needs, where it stands against the house.
fn place_of(made: &Made, index: usize, figures: &Figures) -> Option<String> {
    let assembly = made.job.assemblies.get(index)?;
    let boards: Vec<_> = made.placed.iter().filter(|p| p.board.assembly == index).collect();
    let ours = |b: usize| made.placed.get(b).is_some_and(|p| p.board.assembly == index);
    let joined = |to: Other| made.joints.iter().any(|j| ours(j.first.0) && j.second == to);
    let held = |by: Held| boards.iter().any(|p| p.board.held_by == Some(by));
    let touched = match (joined(Other::Wall) || held(Held::Wall), joined(Other::Floor) || held(Held::Floor)) {
        (true, true) => "the wall and the floor",
        (true, false) => "the wall",
        (false, true) => "the floor",
        (false, false) => "nothing that is drawn, so measure the place it goes into",
    };
    let mut around = boards.first()?.board.span;
    for placed in &boards {
        for (whole, one) in around.iter_mut().zip(placed.board.span) {
            *whole = Interval { low: whole.low.min(one.low), high: whole.high.max(one.high) };
        }
    }
    // A quarter turn in the room lays the assembly's width along the depth of the room.
    let [mut wide, mut deep, high] = around.map(|span| figures.figure(span.size()));
    if !assembly.turns.is_multiple_of(2) {
        std::mem::swap(&mut wide, &mut deep);
    }
    Some(format!(
        "{}: stands against {touched}: needs {wide} across × {deep} deep × {high} up",
        said(&assembly.name)
    ))
}

fn scribed(made: &Made, part: &Part) -> Vec<String> {
    let count = part.edges.iter().filter(|e| e.scribe != Length::ZERO).count();
    let edges = if count == 1 { "an edge" } else { "edges" };
    let dimensions = plan(part, &made.job).dimensions;
    let verify = dimensions.iter().filter(|d| d.care == Care::Verify);
    verify
        .map(|d| format!("{} {}: {} (scribed on {edges})", part.mark, said(&part.name), d.printed))
        .collect()
}
