//! Tabs: where a small part stays joined to its sheet. On straight runs of the outer edge only, away from corners, notches and pockets,
//! and on edges that are to be seen only where there is no other.

use super::{Form, Operation, Shape, Work, called, say};
use crate::length::Length;
use crate::parts::Part;
use crate::shape::{Outline, Point};
use crate::values::Tabs;

/// A stretch of an edge on which tabs may lie, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Run {
    from: (f64, f64),
    /// Unit direction.
    along: (f64, f64),
    length: f64,
}

/// How far from a line something still lies on it, mm.
const ON: f64 = 0.01;

pub(super) fn tabs(work: &mut Work) {
    let Some(tabs) = &work.shop.tabs else { return };
    let Some(outline) = work.piece.through().next() else { return };
    if work.piece.area_mm2() >= tabs.below_mm2 {
        return;
    }
    if tabs.height >= work.part.thick {
        let message = format!(
            "{}: tabs {} high cannot stand in wood {} thick",
            called(work.made, work.part),
            say(work.made, tabs.height),
            say(work.made, work.part.thick)
        );
        return work.fault("cutting-shop", message, "give the tabs less height");
    }
    let pockets: Vec<&Outline> = work
        .piece
        .shapes
        .iter()
        .filter_map(|shape| match (&shape.form, shape.operation) {
            (Form::Closed(pocket), Operation::Pocket { .. }) => Some(pocket),
            _ => None,
        })
        .collect();
    // As far from a corner as a tab is wide, and no nearer than the bit.
    let clear = tabs.width.max(work.shop.bit.unwrap_or_default()).to_mm();
    let lines = placed(outline, &pockets, work.part, tabs, clear);
    let shapes: Vec<Shape> = lines
        .into_iter()
        .map(|(from, to)| {
            Shape::new(work.shop, Operation::Tab { height: tabs.height }, Form::Line { from, to })
        })
        .collect();
    work.piece.shapes.extend(shapes);
}

/// The tabs of an outline as lines along it.
fn placed(
    outline: &Outline,
    pockets: &[&Outline],
    part: &Part,
    tabs: &Tabs,
    clear: f64,
) -> Vec<(Point, Point)> {
    let width = tabs.width.to_mm();
    let (plain, seen): (Vec<Run>, Vec<Run>) = runs(outline, pockets, clear)
        .into_iter()
        .filter(|run| run.length >= width)
        .partition(|run| !is_seen(run, part));
    let runs = if plain.is_empty() { seen } else { plain };
    let wanted = libm::ceil(outline.perimeter_mm() / tabs.every.to_mm() - 1e-9).max(2.0);
    let mut counts = vec![0_u32; runs.len()];
    let mut placed = 0.0;
    while placed < wanted {
        // To the run whose tabs would then lie furthest apart, the first of equals; between two a tab's width stays.
        let share =
            |index: usize, count: u32| runs.get(index).map_or(0.0, |run| run.length / f64::from(count + 1));
        let best = counts.iter().enumerate().map(|(index, count)| (index, share(index, *count)));
        let best = best.fold(None, |best: Option<(usize, f64)>, next| match best {
            Some(best) if next.1 <= best.1 + 1e-6 => Some(best),
            _ => Some(next),
        });
        let Some((index, share)) = best else { break };
        let first = counts.get(index) == Some(&0);
        if share < if first { width } else { 2.0 * width } {
            break;
        }
        if let Some(count) = counts.get_mut(index) {
            *count += 1;
        }
        placed += 1.0;
    }
    let mut lines = Vec::new();
    for (run, count) in runs.iter().zip(counts) {
        for number in 0..count {
            let middle = run.length * (f64::from(number) + 0.5) / f64::from(count);
            let at = |along: f64| {
                let (x, y) = (run.from.0 + run.along.0 * along, run.from.1 + run.along.1 * along);
                Point::new(Length::from_mm(x), Length::from_mm(y))
            };
            lines.push((at(middle - width / 2.0), at(middle + width / 2.0)));
        }
    }
    lines
}

/// Straight stretches of the outer edge, less what lies near corners and pockets.
fn runs(outline: &Outline, pockets: &[&Outline], clear: f64) -> Vec<Run> {
    let corners = outline.flattened(0.01);
    let mut all = Vec::new();
    for (vertex, to) in outline.segments().filter(|(vertex, _)| vertex.bulge == 0.0) {
        let (a, b) = (vertex.at.to_mm(), to.to_mm());
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = libm::hypot(dx, dy);
        let along = (dx / length, dy / length);
        let place = |p: (f64, f64)| {
            let (x, y) = (p.0 - a.0, p.1 - a.1);
            (x * along.0 + y * along.1, y * along.0 - x * along.1)
        };
        // The walls of a notch have wood beyond them; an outer edge has all of the part on its left.
        if corners.iter().any(|corner| place(*corner).1 < -ON) {
            continue;
        }
        let mut free = vec![(clear, length - clear)];
        for pocket in pockets {
            let points: Vec<(f64, f64)> = pocket.flattened(0.01).into_iter().map(place).collect();
            if points.iter().all(|point| point.1 > clear) {
                continue;
            }
            let low = points.iter().map(|point| point.0).fold(f64::MAX, f64::min) - clear;
            let high = points.iter().map(|point| point.0).fold(f64::MIN, f64::max) + clear;
            free = free
                .into_iter()
                .flat_map(|(from, to)| [(from, to.min(low)), (from.max(high), to)])
                .filter(|(from, to)| from < to)
                .collect();
        }
        let run = |(from, to): (f64, f64)| Run {
            from: (a.0 + along.0 * from, a.1 + along.1 * from),
            along,
            length: to - from,
        };
        all.extend(free.into_iter().map(run));
    }
    all
}

/// True on an edge that is shaped or finished.
fn is_seen(run: &Run, part: &Part) -> bool {
    part.edges.iter().filter(|edge| edge.profile.is_some() || edge.finish.is_some()).any(|edge| {
        [edge.from, edge.to].iter().all(|point| {
            let (x, y) = point.to_mm();
            let off = (y - run.from.1) * run.along.0 - (x - run.from.0) * run.along.1;
            off.abs() < ON
        })
    })
}
