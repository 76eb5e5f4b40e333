//! When two conditions are the same: the same wood in the same places, turned or mirrored as may be, and the same words.

use super::condition::Condition;
use crate::length::Length;
use crate::parts::Placed;
use crate::shape::{Extents, Outline, Point};

/// What is compared: words and sizes, and what is drawn, in the one of its eight positions that comes first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Likeness {
    words: Vec<String>,
    drawn: Vec<i64>,
}

/// A thousandth of a millimetre: closer than this two places are one.
const GRID: i64 = 80;

impl Likeness {
    pub fn of(condition: &Condition, boards: &[&Placed]) -> Likeness {
        let numbers = &condition.numbers;
        let facts = numbers.facts.iter().map(|(head, text)| format!("{head} {text}"));
        let mut words: Vec<String> =
            numbers.sizes.iter().map(|s| format!("{} {}", s.what, s.value().units())).collect();
        words.sort();
        words.push(numbers.title.clone());
        words.extend(facts);
        words.extend(boards.iter().map(|placed| placed.board.stock.to_string()));
        let positions = (0..8).map(|turn| drawn(condition, turn));
        Likeness { words, drawn: positions.min().unwrap_or_default() }
    }
}

/// Numbers of all that is drawn, about the middle of the window, in one of eight positions.
fn drawn(condition: &Condition, position: u8) -> Vec<i64> {
    let Extents { low, high } = condition.window;
    // Twice the distance from the middle is a whole number.
    let centred = |p: Point| Point::new(p.x + p.x - low.x - high.x, p.y + p.y - low.y - high.y);
    let turned = |p: Point| {
        let p = if position & 1 == 0 { p } else { Point::new(-p.x, p.y) };
        let p = if position & 2 == 0 { p } else { Point::new(p.x, -p.y) };
        if position & 4 == 0 { p } else { Point::new(p.y, p.x) }
    };
    let mirrored = position.count_ones() % 2 == 1;
    let round = |at: Length| at.units().div_euclid(GRID);
    let numbers = |outline: &Outline| {
        // A whole number of half units may lie on the border between two steps: half a step on.
        let outline = outline.mapped(|p| turned(centred(p)), mirrored).canonical();
        let vertex = |v: &crate::shape::Vertex| {
            [
                round(v.at.x + Length::from_units(GRID / 2)),
                round(v.at.y + Length::from_units(GRID / 2)),
                libm::rint(v.bulge * 1e6) as i64,
            ]
        };
        outline.vertices().iter().flat_map(vertex).collect::<Vec<i64>>()
    };
    let mut all = Vec::new();
    for piece in &condition.pieces {
        let mut loops: Vec<Vec<i64>> = piece.iter().flat_map(|plate| plate.loops().map(numbers)).collect();
        loops.sort();
        all.push(i64::MAX);
        all.extend(loops.into_iter().flatten());
    }
    let mut fixings: Vec<[i64; 4]> = condition
        .driven
        .iter()
        .map(|d| {
            let place = |at: (f64, f64)| {
                let p = turned(centred(Point::new(Length::from_mm(at.0), Length::from_mm(at.1))));
                [round(p.x + Length::from_units(GRID / 2)), round(p.y + Length::from_units(GRID / 2))]
            };
            let (head, tip) = (place(d.head), place(d.tip));
            [head[0], head[1], tip[0], tip[1]]
        })
        .collect();
    fixings.sort_unstable();
    all.push(i64::MAX);
    all.extend(fixings.into_iter().flatten());
    all
}
