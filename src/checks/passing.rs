//! Things to be stored against the clear opening they must pass: what stands before and in it, face frame included, and the
//! depth behind.

use crate::boards::Opening;
use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::solid::across;
use crate::trade::Axis;
use crate::values::Thing;

/// A rectangle seen from the front: along the first and the second axis across the way in.
type Window = [Interval; 2];

/// Chords of curved edges stay this close to them, in mm.
const CHORD: f64 = 0.05;

/// Rows of a shaped board are no higher than this: what a curve leaves free is told to half a millimetre of height.
const ROW: Length = Length::from_units(40_000);

/// Rows of one gap between corners, at most; a board of such a height and so many corners has no gap that matters.
const MOST_ROWS: i64 = 400;

/// Every opening that holds a thing lets the thing pass from the front, at its largest and with its clearance.
pub(super) fn does_not_pass(made: &Made, faults: &mut Faults) {
    for opening in &made.openings {
        let Some(thing) = opening.holds.and_then(|index| made.job.things.get(index)) else { continue };
        let way = opening.front.axis();
        let axes = across(way);
        let window: Window = axes.map(|axis| opening.span[axis.index()]);
        let needs = axes.map(|axis| need(thing, way, axis));
        let deep = if way == Axis::Up { thing.height } else { thing.depth };
        let room = opening.span[way.index()].size();
        if deep > room + Length::TOUCH {
            let message = format!(
                "a {} is {} from front to back; {} is {} deep",
                thing.name,
                say(made, deep),
                opening.name,
                say(made, room)
            );
            faults.push(
                fault(opening, thing, message)
                    .propose(format!("make the space {} deeper", say(made, deep - room))),
            );
        }
        let standing: Vec<(&Placed, Vec<Window>)> = made
            .placed
            .iter()
            .filter(|placed| stands_in_the_way(placed, opening, deep))
            .map(|placed| (placed, windows(placed, way)))
            .collect();
        let blocked: Vec<Window> = standing.iter().flat_map(|(_, windows)| windows).copied().collect();
        if fits(&window, needs, &blocked) {
            continue;
        }
        let clear = clear(&window, needs, &blocked);
        let message = format!(
            "a {} needs {} by {} with its clearance to pass into {}; {} by {} is clear",
            thing.name,
            say(made, needs[0]),
            say(made, needs[1]),
            opening.name,
            say(made, clear[0]),
            say(made, clear[1])
        );
        let mut fault = fault(opening, thing, message);
        for (placed, _) in standing.iter().take(6) {
            fault = fault.also(placed.board.place, format!("{} stands in the way", placed.board.name));
        }
        for first in [0, 1] {
            if clear[first] < needs[first] {
                let what = if axes[first] == Axis::Up { "higher" } else { "wider" };
                let size = say(made, needs[first] - clear[first]);
                fault = fault
                    .propose(format!("make the clear opening {size} {what}, or the {} smaller", thing.name));
            }
        }
        faults.push(fault);
    }
}

fn fault(opening: &Opening, thing: &Thing, message: String) -> Diagnostic {
    Diagnostic::error("thing-does-not-pass", opening.place, message).also(thing.place, thing.name.clone())
}

/// What a thing needs along an axis: clearance on each side, and above.
fn need(thing: &Thing, way: Axis, axis: Axis) -> Length {
    match (way, axis) {
        (Axis::Up, Axis::Deep) => thing.depth + thing.clearance * 2,
        (_, Axis::Up) => thing.height + thing.clearance,
        _ => thing.width + thing.clearance * 2,
    }
}

/// True for boards within the thing's own depth before the opening, or in the part of it that the thing fills.
fn stands_in_the_way(placed: &Placed, opening: &Opening, deep: Length) -> bool {
    let way = opening.front.axis();
    let span = placed.solid.extents();
    let mouth = opening.span[way.index()];
    let reach = if opening.front.is_high() {
        Interval { low: mouth.high - deep, high: mouth.high + deep }
    } else {
        Interval { low: mouth.low - deep, high: mouth.low + deep }
    };
    let shares = |a: Interval, b: Interval| a.shared(b).is_some_and(|both| both.size() > Length::TOUCH);
    shares(span[way.index()], reach)
        && across(way).iter().all(|axis| shares(span[axis.index()], opening.span[axis.index()]))
}

/// What a board covers, seen along the way in: its box, or for a shaped board that looks that way the rows of its outline.
fn windows(placed: &Placed, way: Axis) -> Vec<Window> {
    let solid = &placed.solid;
    let axes = across(way);
    let span = solid.extents();
    if solid.normal() != way || solid.outline.is_rectangle() {
        return vec![axes.map(|axis| span[axis.index()])];
    }
    let to_room = |(u, v): (f64, f64)| {
        let at = solid.frame.to_room(Length::from_mm(u), Length::from_mm(v), Length::ZERO);
        axes.map(|axis| at[axis.index()])
    };
    let line: Vec<[Length; 2]> = solid.outline.flattened(CHORD).into_iter().map(to_room).collect();
    let mut levels: Vec<Length> = line.iter().map(|point| point[1]).collect();
    levels.sort_unstable();
    levels.dedup();
    let mut found = Vec::new();
    for pair in levels.windows(2) {
        let height = pair[1] - pair[0];
        let sloping = line
            .iter()
            .zip(line.iter().cycle().skip(1))
            .any(|(a, b)| a[0] != b[0] && a[1].min(b[1]) <= pair[0] && a[1].max(b[1]) >= pair[1]);
        let rows = if sloping { (height.units() / ROW.units()).clamp(1, MOST_ROWS) } else { 1 };
        let level = |number: i64| pair[0] + height.shared_by(rows).0 * number;
        for number in 0..rows {
            let row = Interval {
                low: level(number),
                high: if number + 1 == rows { pair[1] } else { level(number + 1) },
            };
            found.extend(row_of(&line, row).into_iter().map(|covered| [covered, row]));
        }
    }
    found
}

/// What a closed line covers of a row in which it has no corner, at its widest.
fn row_of(line: &[[Length; 2]], row: Interval) -> Vec<Interval> {
    let mut sides: Vec<(Length, Interval)> = Vec::new();
    for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
        let (low, high) = if a[1] < b[1] { (a, b) } else { (b, a) };
        if low[1] > row.low || high[1] < row.high || low[1] == high[1] {
            continue;
        }
        let at = |level: Length| {
            let share = (level - low[1]).to_mm() / (high[1] - low[1]).to_mm();
            low[0] + Length::from_mm((high[0] - low[0]).to_mm() * share)
        };
        let ends = Interval::between(at(row.low), at(row.high));
        sides.push((ends.low + ends.size().half(), ends));
    }
    sides.sort_unstable();
    sides.chunks_exact(2).map(|pair| Interval { low: pair[0].1.low, high: pair[1].1.high }).collect()
}

/// Places at which something can begin along an axis: the window's own start and the ends of what stands in it.
fn starts(window: &Window, axis: usize, blocked: &[Window]) -> Vec<Length> {
    let inside = |at: &Length| window[axis].contains(*at);
    let mut found: Vec<Length> = blocked.iter().map(|block| block[axis].high).filter(inside).collect();
    found.push(window[axis].low);
    found.sort_unstable();
    found.dedup();
    found
}

/// True where a rectangle of this size has a place in the window that nothing blocks.
fn fits(window: &Window, size: [Length; 2], blocked: &[Window]) -> bool {
    size[1] <= window[1].size() + Length::TOUCH
        && widest(window, 0, size[1], blocked) >= size[0] - Length::TOUCH
}

/// The size of what is free, in words a tape can check: the width at the height that is needed (where there is none, at
/// any), and the height at the width that is needed or there is.
fn clear(window: &Window, needs: [Length; 2], blocked: &[Window]) -> [Length; 2] {
    let hair = Length::TOUCH * 2;
    let at_height = widest(window, 0, needs[1], blocked);
    let wide = if at_height.is_positive() { at_height } else { widest(window, 0, hair, blocked) };
    let at_width = widest(window, 1, needs[0].min(wide), blocked);
    [wide, if at_width.is_positive() { at_width } else { widest(window, 1, hair, blocked) }]
}

/// The greatest free size along one axis of a strip that is `other` the other way (or as much of it as the window has).
fn widest(window: &Window, axis: usize, other: Length, blocked: &[Window]) -> Length {
    let cross = 1 - axis;
    let strip = other.min(window[cross].size());
    let mut best = Length::ZERO;
    for at in starts(window, cross, blocked) {
        let taken = Interval { low: at, high: at + strip };
        if taken.high > window[cross].high + Length::TOUCH {
            continue;
        }
        let mut stops: Vec<Interval> = blocked
            .iter()
            .filter(|block| block[cross].shared(taken).is_some_and(|both| both.size() > Length::TOUCH))
            .map(|block| block[axis])
            .collect();
        stops.sort_unstable();
        let mut free_from = window[axis].low;
        for stop in stops {
            best = best.max(stop.low.min(window[axis].high) - free_from);
            free_from = free_from.max(stop.high);
        }
        best = best.max(window[axis].high - free_from);
    }
    best
}
