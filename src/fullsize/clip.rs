//! A drawing cut to a rectangle: lines and arcs end where they leave it, areas are cut to it. Nothing is hidden behind an edge,
//! so what a page holds is what it shows. Texts are not cut here: `tile` keeps each of them whole.

use crate::drawing::paper::Area;
use crate::drawing::{At, Mark, Step};
use crate::shape::Arc;

/// Nothing shorter than this is drawn, in mm: a tenth of the width of the thinnest line.
const LEAST: f64 = 0.02;
/// Areas with round edges are cut along chords this close to them, in mm.
const CHORD: f64 = 0.005;

/// What lies in the rectangle of a stroke or an area; `None` where nothing does. Texts and links come back as they are.
pub fn clipped(mark: &Mark, to: &Area) -> Option<Mark> {
    match mark {
        Mark::Stroke { path, line } => {
            let path = stroke(path, to);
            (!path.is_empty()).then_some(Mark::Stroke { path, line: *line })
        }
        Mark::Fill { path, ink } => {
            let path = area(path, to);
            (!path.is_empty()).then_some(Mark::Fill { path, ink: *ink })
        }
        Mark::Text(_) | Mark::Link { .. } => Some(mark.clone()),
    }
}

/// A piece of a path.
#[derive(Clone, Copy, Debug)]
struct Piece {
    from: At,
    to: At,
    bulge: f64,
}

/// Runs of a path, each with its pieces and whether it is closed.
fn runs(path: &[Step]) -> Vec<(Vec<Piece>, bool)> {
    let mut all: Vec<(Vec<Piece>, bool)> = Vec::new();
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    for step in path {
        if let Step::Move(to) = *step {
            (start, at) = (to, to);
            all.push((Vec::new(), false));
            continue;
        }
        if all.last().is_none_or(|(_, closed)| *closed) {
            all.push((Vec::new(), false));
        }
        let Some((run, closed)) = all.last_mut() else { continue };
        let (to, bulge) = match *step {
            Step::Line(to) | Step::Move(to) => (to, 0.0),
            Step::Arc(to, bulge) => (to, bulge),
            Step::Close => {
                *closed = true;
                (start, 0.0)
            }
        };
        if at != to {
            run.push(Piece { from: at, to, bulge });
        }
        at = to;
    }
    all.retain(|(run, _)| !run.is_empty());
    all
}

fn stroke(path: &[Step], to: &Area) -> Vec<Step> {
    let mut out = Vec::new();
    for (run, closed) in runs(path) {
        let kept: Vec<Piece> = run.iter().flat_map(|piece| inside(piece, to)).collect();
        let whole = closed
            && kept.len() == run.len()
            && kept.iter().zip(&run).all(|(a, b)| a.from == b.from && a.to == b.to);
        // A closed run that was cut begins anew where it comes in, so that no seam lies in the middle of a dash.
        let first = if whole { 0 } else { (0..kept.len()).find(|i| !joins(&kept, *i)).unwrap_or(0) };
        let mut at = None;
        for piece in kept[first..].iter().chain(&kept[..first]) {
            if at != Some(piece.from) {
                out.push(Step::Move(piece.from));
            }
            out.push(if piece.bulge == 0.0 {
                Step::Line(piece.to)
            } else {
                Step::Arc(piece.to, piece.bulge)
            });
            at = Some(piece.to);
        }
        if whole {
            if let Some(Step::Line(end)) = out.last()
                && run.first().map(|p| p.from) == Some(*end)
            {
                out.pop();
            }
            out.push(Step::Close);
        }
    }
    out
}

/// Whether a piece goes on where the one before it (the last before the first) ended.
fn joins(kept: &[Piece], index: usize) -> bool {
    let before = if index == 0 { kept.len() - 1 } else { index - 1 };
    kept[before].to == kept[index].from
}

/// The parts of a piece inside the rectangle, its border included.
fn inside(piece: &Piece, to: &Area) -> Vec<Piece> {
    match Arc::between(piece.from, piece.to, piece.bulge) {
        None => inside_line(piece, to).into_iter().collect(),
        Some(arc) => inside_arc(piece, &arc, to),
    }
}

fn inside_line(piece: &Piece, to: &Area) -> Option<Piece> {
    let (dx, dy) = (piece.to.0 - piece.from.0, piece.to.1 - piece.from.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (at, step, low, high) in
        [(piece.from.0, dx, to.low.0, to.high.0), (piece.from.1, dy, to.low.1, to.high.1)]
    {
        if step == 0.0 {
            if at < low || at > high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - at) / step, (high - at) / step);
        enter = enter.max(one.min(other));
        leave = leave.min(one.max(other));
    }
    if (leave - enter) * libm::hypot(dx, dy) < LEAST {
        return None;
    }
    let at = |t: f64| (piece.from.0 + dx * t, piece.from.1 + dy * t);
    let from = if enter == 0.0 { piece.from } else { at(enter) };
    let end = if leave == 1.0 { piece.to } else { at(leave) };
    Some(Piece { from, to: end, bulge: 0.0 })
}

fn inside_arc(piece: &Piece, arc: &Arc, to: &Area) -> Vec<Piece> {
    let on = |t: f64| arc.at(t);
    // Where the full circle meets the four lines of the border, as shares of the sweep.
    let mut cuts = vec![0.0, 1.0];
    for (line, centre, upright) in [
        (to.low.0, arc.centre.0, true),
        (to.high.0, arc.centre.0, true),
        (to.low.1, arc.centre.1, false),
        (to.high.1, arc.centre.1, false),
    ] {
        let share = (line - centre) / arc.radius;
        if !(-1.0..=1.0).contains(&share) {
            continue;
        }
        let angle = if upright { libm::acos(share) } else { libm::asin(share) };
        let other = if upright { -angle } else { std::f64::consts::PI - angle };
        for angle in [angle, other] {
            for turn in -2..=2 {
                let t = (angle + f64::from(turn) * std::f64::consts::TAU - arc.start) / arc.sweep;
                if t > 0.0 && t < 1.0 {
                    cuts.push(t);
                }
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for pair in cuts.windows(2) {
        let middle = on((pair[0] + pair[1]) / 2.0);
        let within =
            middle.0 >= to.low.0 && middle.0 <= to.high.0 && middle.1 >= to.low.1 && middle.1 <= to.high.1;
        if !within {
            continue;
        }
        match kept.last_mut() {
            Some(last) if last.1 == pair[0] => last.1 = pair[1],
            _ => kept.push((pair[0], pair[1])),
        }
    }
    kept.retain(|(a, b)| (b - a) * arc.sweep.abs() * arc.radius >= LEAST);
    kept.into_iter()
        .map(|(a, b)| Piece {
            from: if a == 0.0 { piece.from } else { on(a) },
            to: if b == 1.0 { piece.to } else { on(b) },
            bulge: if (a, b) == (0.0, 1.0) { piece.bulge } else { libm::tan(arc.sweep * (b - a) / 4.0) },
        })
        .collect()
}

/// Rings cut to the rectangle side by side (Sutherland and Hodgman, 1974). Where a ring leaves and comes back it runs along the
/// border, which encloses nothing, so even-odd filling stays right.
fn area(path: &[Step], to: &Area) -> Vec<Step> {
    let mut out = Vec::new();
    for (run, _) in runs(path) {
        let all_in = run.iter().all(|piece| {
            inside(piece, to).first().is_some_and(|kept| kept.from == piece.from && kept.to == piece.to)
        });
        if all_in {
            out.push(Step::Move(run[0].from));
            out.extend(
                run.iter().map(|p| if p.bulge == 0.0 { Step::Line(p.to) } else { Step::Arc(p.to, p.bulge) }),
            );
            out.push(Step::Close);
            continue;
        }
        let mut ring: Vec<At> = run.iter().flat_map(chords).collect();
        for side in 0..4 {
            let keep = |p: &At| match side {
                0 => p.0 - to.low.0,
                1 => to.high.0 - p.0,
                2 => p.1 - to.low.1,
                _ => to.high.1 - p.1,
            };
            let mut next = Vec::with_capacity(ring.len());
            for (index, point) in ring.iter().enumerate() {
                let before = &ring[if index == 0 { ring.len() - 1 } else { index - 1 }];
                let (a, b) = (keep(before), keep(point));
                if (a < 0.0) != (b < 0.0) {
                    let t = a / (a - b);
                    next.push((before.0 + (point.0 - before.0) * t, before.1 + (point.1 - before.1) * t));
                }
                if b >= 0.0 {
                    next.push(*point);
                }
            }
            ring = next;
        }
        if ring.len() >= 3 {
            out.push(Step::Move(ring[0]));
            out.extend(ring[1..].iter().map(|p| Step::Line(*p)));
            out.push(Step::Close);
        }
    }
    out
}

/// Points of a piece without its end.
fn chords(piece: &Piece) -> Vec<At> {
    let Some(arc) = Arc::between(piece.from, piece.to, piece.bulge) else { return vec![piece.from] };
    let turn = 2.0 * libm::acos((1.0 - CHORD / arc.radius).clamp(-1.0, 1.0));
    let count = libm::ceil(arc.sweep.abs() / turn.max(1e-3)).clamp(1.0, 4096.0) as usize;
    (0..count)
        .map(|i| {
            let angle = arc.start + arc.sweep * i as f64 / count as f64;
            (arc.centre.0 + arc.radius * libm::cos(angle), arc.centre.1 + arc.radius * libm::sin(angle))
        })
        .collect()
}
