//! Sets of boards whose grain runs on from one to the next: one blank, cut side by side in the order in which they stand.

use std::collections::{BTreeMap, BTreeSet};

use super::request::{Blank, Member, Members, Row, as_cut};
use crate::boards::BoardId;
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, Placed};
use crate::trade::Side;
use crate::values::StockForm;

/// The sets of a job by assembly and name, each with its place in the spec.
fn sets(made: &Made) -> BTreeMap<(usize, &str), (Place, Vec<BoardId>)> {
    let mut sets: BTreeMap<(usize, &str), (Place, Vec<BoardId>)> = BTreeMap::new();
    for (index, placed) in made.placed.iter().enumerate() {
        let board = &placed.board;
        if let Some((name, place)) = made.job.shop.nesting.matched.get(&(board.assembly, board.entry.clone()))
        {
            let set = sets.entry((board.assembly, name)).or_insert((*place, Vec::new()));
            set.1.push(BoardId(index));
        }
    }
    sets
}

/// Tells sets of which not all boards are of one kind of sheet goods.
pub(super) fn check(made: &Made, faults: &mut Faults) {
    for ((_, name), (place, boards)) in sets(made) {
        let of = |id: &BoardId| made.placed.get(id.0).map(|placed| placed.board.stock);
        let stocks: BTreeSet<usize> = boards.iter().filter_map(of).collect();
        let all: Vec<_> = stocks.iter().filter_map(|stock| made.job.stock.get(*stock)).collect();
        let solid = all.iter().find(|stock| matches!(stock.form, StockForm::Solid { .. }));
        let message = match (solid, all.as_slice()) {
            (Some(solid), _) => format!("the set {name}: {} is solid wood, not sheet goods", solid.name),
            (None, [one, other, ..]) => {
                format!("the set {name}: some of its boards are {} and some {}", one.name, other.name)
            }
            _ => continue,
        };
        faults.push(
            Diagnostic::error("grain-match", place, message)
                .propose("keep to boards of one kind of sheet goods, or leave `grain_match` out"),
        );
    }
}

/// The rows of a stock, and the boards in them.
pub(super) fn rows(made: &Made, stock: usize, faults: &mut Faults) -> (Vec<Blank>, BTreeSet<BoardId>) {
    let (mut blanks, mut taken) = (Vec::new(), BTreeSet::new());
    for ((_, name), (place, boards)) in sets(made) {
        let ours = |id: &BoardId| made.placed.get(id.0).is_some_and(|p| p.board.stock == stock);
        if !boards.iter().all(ours) {
            continue;
        }
        match row(made, name, place, &boards) {
            Ok(Some(blank)) => {
                taken.extend(boards);
                blanks.push(blank);
            }
            Ok(None) => {}
            Err(fault) => faults.push(*fault),
        }
    }
    (blanks, taken)
}

/// How a board lies in the row: its piece as cut, seen as the board is.
struct Seen<'a> {
    id: BoardId,
    placed: &'a Placed,
    /// Where it begins along u and v of the common frame, in the room.
    low: (Length, Length),
    high: (Length, Length),
}

fn along(placed: &Placed, side: Side) -> (Length, Length) {
    let span = placed.board.span[side.axis().index()];
    if side.is_high() { (span.low, span.high) } else { (-span.high, -span.low) }
}

/// A set as one blank; `None` where a single board makes no set.
fn row(made: &Made, set: &str, place: Place, boards: &[BoardId]) -> Result<Option<Blank>, Box<Diagnostic>> {
    let all: Vec<(BoardId, &Placed)> =
        boards.iter().filter_map(|id| Some((*id, made.placed.get(id.0)?))).collect();
    let [(_, first), _, ..] = all.as_slice() else { return Ok(None) };
    let fault = |message: String, cure: &str| {
        Box::new(Diagnostic::error("grain-match", place, format!("the set {set}: {message}")).propose(cure))
    };
    let frame = first.board.frame;
    for (_, other) in &all {
        if (other.board.frame.u, other.board.frame.v) != (frame.u, frame.v)
            || other.board.grain != first.board.grain
        {
            return Err(fault(
                format!(
                    "{} does not face the same way as {}, or its grain runs another way",
                    other.board.name, first.board.name
                ),
                "give all of them one show face and one grain, or take one out of the set",
            ));
        }
        if other.frame.into != other.board.frame.into {
            return Err(fault(
                format!(
                    "{} is cut as a piece that is turned over, so its faces would not run on",
                    other.board.name
                ),
                "take it out of the set",
            ));
        }
    }
    let mut seen: Vec<Seen> = (all.iter())
        .map(|&(id, placed)| {
            let (u, v) = (along(placed, frame.u), along(placed, frame.v));
            Seen { id, placed, low: (u.0, v.0), high: (u.1, v.1) }
        })
        .collect();
    let apart = |seen: &mut Vec<Seen>, of: fn(&Seen) -> (Length, Length)| {
        seen.sort_by_key(|one| (of(one), one.id));
        seen.windows(2).all(|pair| of(&pair[0]).1 <= of(&pair[1]).0)
    };
    let along_u = apart(&mut seen, |one| (one.low.0, one.high.0));
    if !along_u && !apart(&mut seen, |one| (one.low.1, one.high.1)) {
        return Err(fault(
            "its boards do not stand in one row, side by side or above each other".to_owned(),
            "name each row as a set of its own",
        ));
    }
    let mut members = Vec::new();
    let mut common: Option<(Length, &str)> = None;
    let mut whole = Length::ZERO;
    let (kerf, _) = made.job.apart(first.board.stock);
    for one in &seen {
        let Some(part) = made.parts.get(one.placed.part.0) else { continue };
        let (width, height, low) = as_cut(part);
        let (size, other) = if along_u { (width, height) } else { (height, width) };
        let name = one.placed.board.name.as_str();
        match common {
            Some((same, whose)) if same != other => {
                let units = made.job.units;
                let (word, one, two) =
                    (if along_u { "high" } else { "wide" }, tell(same, units), tell(other, units));
                return Err(fault(
                    format!("{whose} is {one} {word} and {name} {two}; one strip gives pieces of one size"),
                    "make them alike in that size, or take one out of the set",
                ));
            }
            _ => common = Some((other, name)),
        }
        whole += size + if members.is_empty() { Length::ZERO } else { kerf };
        let half_turned = one.placed.frame.u != frame.u;
        let quarter_turns = if half_turned { 2 } else { 0 };
        members.push(Member { part: one.placed.part, board: one.id, size, low, quarter_turns });
    }
    let (other, _) = common.unwrap_or((Length::ZERO, ""));
    let (width, height) = if along_u { (whole, other) } else { (other, whole) };
    Ok(Some(Blank {
        width,
        height,
        grain: first.board.grain,
        members: Members::Row(Row { set: set.to_owned(), along_u, members }),
        called: format!("the set {set}"),
        place,
    }))
}
