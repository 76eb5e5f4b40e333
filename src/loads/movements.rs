//! How far the solid parts move across their grain between the shop and the room, where they are held, and which way they
//! are free to go.

use crate::boards::{BoardId, Other};
use crate::joints::movement::{
    Holds, Moving, Unmoved, across_grain, held_places, moves_on, moving, moving_at_most, over, partner,
};
use crate::length::Length;
use crate::parts::{Made, PartId, Placed};
use crate::trade::{Axis, Side};
use crate::values::StockForm;
use crate::wood::movement::{self, Slot, slot_for};

/// A solid part across its grain.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    pub part: PartId,
    /// Its size across the grain.
    pub across: Length,
    /// How much wider and how much narrower it gets at most; the words say why it is not known.
    pub change: Result<(Length, Length), Unmoved>,
    /// Places of its first board that is held fast across the grain at two places that move apart.
    pub held: Option<Held>,
    /// Its boards that are free to move, in slots.
    pub floats: Vec<Floating>,
    /// What the figures rest on, a clause each.
    pub basis: Vec<String>,
}

/// A board held fast at two places across its grain.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    pub board: BoardId,
    /// What holds it, and how: `screws in bench.filler_front`.
    pub by: [String; 2],
    /// Between the two.
    pub apart: Length,
    /// How much the wood between them would change at most.
    pub change: Length,
}

/// A board that is held along one line and free to move in slots elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Floating {
    pub board: BoardId,
    /// Boards that hold it fast; empty where all its screws stand in slots.
    pub fast: Vec<String>,
    /// Boards on which it moves.
    pub free: Vec<String>,
    /// For both edges across the grain: the side of the room, the gap that it must have to swell into, how far it draws back.
    pub edges: [(Side, Length, Length); 2],
}

/// Wood that is held at two places may change by so much between them before joints open or it splits: 1/16" (common practice).
pub const MOST_HELD: Length = Length::from_units(Length::INCH.units() / 16);

/// How every solid part moves, in the order of the parts.
pub fn movements(made: &Made) -> Vec<Movement> {
    (0..made.parts.len()).filter_map(|part| of_part(made, PartId(part))).collect()
}

fn of_part(made: &Made, id: PartId) -> Option<Movement> {
    let part = made.parts.get(id.0)?;
    let stock = made.job.stock.get(part.stock)?;
    if !matches!(stock.form, StockForm::Solid { .. }) {
        return None;
    }
    let boards: Vec<(BoardId, &Placed)> =
        part.boards.iter().filter_map(|board| Some((*board, made.placed.get(board.0)?))).collect();
    let axis = across_grain(&boards.first()?.1.board)?;
    let across = boards.first()?.1.board.span[axis.index()].size();
    let unknown = |why: Unmoved| Movement {
        part: id,
        across,
        change: Err(why),
        held: None,
        floats: Vec::new(),
        basis: Vec::new(),
    };
    let change = |moving: Moving, width: Length| -> Result<Slot, Unmoved> {
        let floating =
            movement::Floating { species: moving.species, cut: moving.cut, width, season: moving.season };
        slot_for(&floating, width, Length::MM).map_err(Unmoved::Outside)
    };
    // What is free to move has its gaps whatever the wood.
    let at_most = moving_at_most(&made.job, stock);
    let widely = |width: Length| change(at_most.clone()?, width);
    let floats: Vec<Floating> =
        boards.iter().filter_map(|(board, placed)| floats(made, *board, placed, &widely)).collect();
    let moving = moving(&made.job, stock);
    let change = |width: Length| change(moving.clone()?, width);
    let whole = match change(across) {
        Ok(whole) => whole,
        Err(why) => return Some(Movement { floats, ..unknown(why) }),
    };
    let held = boards.iter().filter_map(|(board, placed)| {
        let places = held(made, *board, across_grain(&placed.board)?);
        let (low, high) = (places.first()?, places.last()?);
        let apart = high.0 - low.0;
        let slot = apart.is_positive().then(|| change(apart).ok()).flatten()?;
        let by = [low.1, high.1].map(|holds| says(made, holds));
        Some(Held { board: *board, by, apart, change: slot.outward.max(slot.inward) })
    });
    let held = held.max_by_key(|held| (held.change, std::cmp::Reverse(held.board)));
    let change = Ok((whole.clearance, whole.draws_back));
    Some(Movement { part: id, across, change, held, floats, basis: whole.basis })
}

fn name(made: &Made, other: Other) -> String {
    match other {
        Other::Board(id) => made.placed.get(id.0).map_or(String::new(), |p| p.board.name.clone()),
        Other::Wall => "the wall".into(),
        Other::Floor => "the floor".into(),
    }
}

/// Where a board is held fast, as the slots have it.
fn held(made: &Made, id: BoardId, axis: Axis) -> Vec<(Length, Holds)> {
    held_places(&made.job, &made.placed, (&made.fixings, &made.joints), id, axis)
}

fn says(made: &Made, holds: Holds) -> String {
    match holds {
        Holds::Fixing(kind, other) => format!("{}s in {}", kind.word(), name(made, other)),
        Holds::Glue(other) => format!("glue on {}", name(made, other)),
    }
}

fn floats(
    made: &Made,
    id: BoardId,
    placed: &Placed,
    change: &dyn Fn(Length) -> Result<Slot, Unmoved>,
) -> Option<Floating> {
    let axis = across_grain(&placed.board)?;
    let mut free: Vec<String> = Vec::new();
    for fixing in made.fixings.iter().filter(|fixing| fixing.free) {
        let Some(other) = partner(id, fixing.through, fixing.into) else { continue };
        if moves_on(&made.job, &made.placed, fixing) == Some((id, axis)) {
            free.push(name(made, other));
        }
    }
    if free.is_empty() {
        return None;
    }
    free.sort();
    free.dedup();
    let places = held(made, id, axis);
    let span = placed.board.span[axis.index()];
    let fast = over(span, &places);
    let mut names: Vec<String> = places.into_iter().map(|(_, holds)| says(made, holds)).collect();
    names.sort();
    names.dedup();
    let edge = |side: Side, width: Length| -> Option<(Side, Length, Length)> {
        if !width.is_positive() {
            return Some((side, Length::ZERO, Length::ZERO));
        }
        let slot = change(width).ok()?;
        Some((side, slot.clearance, slot.draws_back))
    };
    let low = edge(axis.low(), fast.high - span.low)?;
    let high = edge(axis.high(), span.high - fast.low)?;
    Some(Floating { board: id, fast: names, free, edges: [low, high] })
}

impl Floating {
    /// Boards that stand in the way where an edge swells: the side, the board, the gap there is and the gap that is needed.
    pub fn in_the_way<'m>(&self, made: &'m Made) -> Vec<(Side, &'m Placed, Length, Length)> {
        let Some(own) = made.placed.get(self.board.0) else { return Vec::new() };
        let mut all = Vec::new();
        for (side, needed, _) in self.edges {
            let axis = side.axis();
            for other in &made.placed {
                let beside = Axis::ALL.into_iter().filter(|other| *other != axis).all(|a| {
                    let shared = own.board.span[a.index()].shared(other.board.span[a.index()]);
                    shared.is_some_and(|shared| shared.size() > Length::TOUCH)
                });
                let (one, two) = (own.board.span[axis.index()], other.board.span[axis.index()]);
                let gap = if side.is_high() { two.low - one.high } else { one.low - two.high };
                if beside && gap >= -Length::TOUCH && gap < needed {
                    all.push((side, other, gap.max(Length::ZERO), needed));
                }
            }
        }
        all
    }
}
