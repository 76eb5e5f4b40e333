//! Hatching of cut faces, clipped exactly to a region with straight and round edges. The patterns tell end grain, long
//! grain, veneer core and fibreboard apart in black and white; no standard fixes patterns for wood (common practice).

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::{At, LineType, Mark, Step};
use crate::shape::Arc;

/// What is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hatching {
    /// solid wood cut across: growth rings
    EndGrain,
    /// solid wood cut along: lines along the grain, unevenly spaced
    LongGrain,
    /// layers along the face, every second one hatched
    Plywood,
    /// fibreboard and chipboard: short strokes
    Fibre,
    /// anything else, and waste: even lines at 45° to the given angle
    Plain,
}

/// Least distance between parallel lines in millimetres (ISO 128-20 cl. 6.1, from memory).
pub const LEAST_PITCH: f64 = 0.7;

/// Hatching of a region.
///
/// `region` is one path or several, even-odd; `angle` the direction of the grain or of the face in degrees,
/// counter-clockwise from the paper's x axis; `pitch` the distance of the lines in millimetres (1.5 to 3 reads well).
/// One stroke of type [`LineType::Hatch`]; none where the region is too small for a line.
pub fn hatch(region: &[Step], kind: Hatching, angle: f64, pitch: f64) -> Vec<Mark> {
    let pitch = if pitch.is_finite() { pitch.max(LEAST_PITCH) } else { 2.0 };
    let edges = edges(region);
    let Some(extent) = extent(&edges, angle) else { return Vec::new() };
    let path = match kind {
        Hatching::Plain => parallel(&edges, angle + 45.0, &even(pitch)),
        Hatching::LongGrain => parallel(&edges, angle, &uneven(pitch)),
        Hatching::EndGrain => rings(&edges, angle, extent, pitch),
        Hatching::Plywood => plies(&edges, angle, extent, pitch),
        Hatching::Fibre => strokes(&edges, angle, pitch),
    };
    if path.is_empty() { Vec::new() } else { vec![Mark::Stroke { path, line: LineType::Hatch }] }
}

/// Positions of lines across, as steps that repeat.
fn even(pitch: f64) -> Vec<f64> {
    vec![pitch]
}

fn uneven(pitch: f64) -> Vec<f64> {
    [0.6, 1.3, 0.8, 1.6, 0.7].iter().map(|s| (s * pitch).max(LEAST_PITCH)).collect()
}

/// An edge of the region.
#[derive(Clone, Copy, Debug)]
enum Edge {
    Straight(At, At),
    Round(Arc),
}

fn edges(region: &[Step]) -> Vec<Edge> {
    let mut all = Vec::new();
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    let close = |all: &mut Vec<Edge>, at: At, start: At| {
        if at != start {
            all.push(Edge::Straight(at, start));
        }
    };
    for step in region {
        match *step {
            Step::Move(to) => {
                close(&mut all, at, start);
                (start, at) = (to, to);
            }
            Step::Line(to) => {
                all.push(Edge::Straight(at, to));
                at = to;
            }
            Step::Arc(to, bulge) => {
                all.push(Arc::between(at, to, bulge).map_or(Edge::Straight(at, to), Edge::Round));
                at = to;
            }
            Step::Close => {
                close(&mut all, at, start);
                at = start;
            }
        }
    }
    close(&mut all, at, start);
    all
}

/// Coordinates along and across a direction.
fn turned(point: At, angle: f64) -> At {
    let (sin, cos) = (libm::sin(angle.to_radians()), libm::cos(angle.to_radians()));
    (point.0 * cos + point.1 * sin, -point.0 * sin + point.1 * cos)
}

fn back(point: At, angle: f64) -> At {
    turned(point, -angle)
}

/// Lowest and highest coordinates along and across a direction; `None` where there is no region.
fn extent(edges: &[Edge], angle: f64) -> Option<(At, At)> {
    let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    let mut include = |point: At| {
        low = (low.0.min(point.0), low.1.min(point.1));
        high = (high.0.max(point.0), high.1.max(point.1));
    };
    for edge in edges {
        match edge {
            Edge::Straight(from, to) => {
                include(turned(*from, angle));
                include(turned(*to, angle));
            }
            Edge::Round(arc) => {
                for at in reach_of(arc, angle) {
                    include(turned(on_arc(arc, at), angle));
                }
            }
        }
    }
    (low.0 < high.0 && low.1 < high.1 && (high.0 - low.0).is_finite() && (high.1 - low.1).is_finite())
        .then_some((low, high))
}

/// Angles of an arc's ends and of the points where it runs along the axes turned by `angle`: between them it is
/// monotone in both directions.
fn reach_of(arc: &Arc, angle: f64) -> Vec<f64> {
    let (low, high) = (arc.start.min(arc.start + arc.sweep), arc.start.max(arc.start + arc.sweep));
    let offset = angle.to_radians();
    let mut all = vec![low];
    let mut quarter = libm::ceil((low - offset) / FRAC_PI_2);
    while quarter * FRAC_PI_2 + offset < high && all.len() < 8 {
        let at = quarter * FRAC_PI_2 + offset;
        if at > low {
            all.push(at);
        }
        quarter += 1.0;
    }
    all.push(high);
    all
}

fn on_arc(arc: &Arc, at: f64) -> At {
    (arc.centre.0 + arc.radius * libm::cos(at), arc.centre.1 + arc.radius * libm::sin(at))
}

/// Where the line across = `v` enters and leaves the region, in pairs, sorted.
fn crossings(edges: &[Edge], angle: f64, v: f64) -> Vec<f64> {
    let mut all = Vec::new();
    // An edge owns its lower end only, so that a corner counts once and a peak not at all.
    let owns = |one: f64, other: f64| (one <= v) != (other <= v);
    for edge in edges {
        match edge {
            Edge::Straight(from, to) => {
                let (from, to) = (turned(*from, angle), turned(*to, angle));
                if owns(from.1, to.1) {
                    all.push(from.0 + (to.0 - from.0) * (v - from.1) / (to.1 - from.1));
                }
            }
            Edge::Round(arc) => {
                let centre = turned(arc.centre, angle);
                for pair in reach_of(arc, angle).windows(2) {
                    let (one, other) =
                        (turned(on_arc(arc, pair[0]), angle), turned(on_arc(arc, pair[1]), angle));
                    if owns(one.1, other.1) {
                        let rise = (v - centre.1).clamp(-arc.radius, arc.radius);
                        let run = libm::sqrt((arc.radius * arc.radius - rise * rise).max(0.0));
                        let right = (one.0 + other.0) / 2.0 >= centre.0;
                        all.push(if right { centre.0 + run } else { centre.0 - run });
                    }
                }
            }
        }
    }
    all.sort_by(f64::total_cmp);
    all
}

/// Inside stretches of the line across = `v`, those of no length left out.
fn stretches(edges: &[Edge], angle: f64, v: f64) -> Vec<(f64, f64)> {
    let crossings = crossings(edges, angle, v);
    crossings.chunks_exact(2).map(|c| (c[0], c[1])).filter(|(a, b)| b - a > 0.02).collect()
}

/// Positions from low to high with the repeating steps, the lattice anchored at zero so that neighbouring regions with
/// the same angle line up.
fn positions(low: f64, high: f64, steps: &[f64]) -> Vec<f64> {
    let period: f64 = steps.iter().sum();
    if period.is_nan() || period <= 0.0 || (high - low) / period > 1e5 {
        return Vec::new();
    }
    let mut at = libm::floor(low / period) * period;
    let mut all = Vec::new();
    while at < high {
        for step in steps {
            if at > low && at < high {
                all.push(at);
            }
            at += step;
        }
    }
    all
}

fn push_line(path: &mut Vec<Step>, from: f64, to: f64, v: f64, angle: f64) {
    path.push(Step::Move(back((from, v), angle)));
    path.push(Step::Line(back((to, v), angle)));
}

fn parallel(edges: &[Edge], angle: f64, steps: &[f64]) -> Vec<Step> {
    let mut path = Vec::new();
    let Some((low, high)) = extent(edges, angle) else { return path };
    for v in positions(low.1, high.1, steps) {
        for (from, to) in stretches(edges, angle, v) {
            push_line(&mut path, from, to, v, angle);
        }
    }
    path
}

/// Layers along `angle`, an odd number of them, and lines at 45° across every second one.
fn plies(edges: &[Edge], angle: f64, (low, high): (At, At), pitch: f64) -> Vec<Step> {
    let thick = high.1 - low.1;
    // As many layers as stay apart by the least distance, odd, and no more than tell the story.
    let most = libm::floor(thick / (1.3 * LEAST_PITCH));
    if most < 3.0 {
        return parallel(edges, angle + 45.0, &even(pitch));
    }
    let count = if most >= 7.0 { 7 } else { 2 * ((most as usize - 1) / 2) + 1 };
    let ply = thick / count as f64;
    let mut path = Vec::new();
    for layer in 1..count {
        let v = low.1 + ply * layer as f64;
        for (from, to) in stretches(edges, angle, v) {
            push_line(&mut path, from, to, v, angle);
        }
    }
    let slanted = angle + 45.0;
    let Some((low45, high45)) = extent(edges, slanted) else { return path };
    for v in positions(low45.1, high45.1, &even(pitch.max(1.5 * LEAST_PITCH))) {
        for (from, to) in stretches(edges, slanted, v) {
            // Height above the lowest layer grows evenly along the slanted line.
            let height = |u: f64| turned(back((u, v), slanted), angle).1 - low.1;
            let (start, end) = (height(from), height(to));
            for layer in (1..count).step_by(2) {
                let (bottom, top) = (ply * layer as f64, ply * (layer + 1) as f64);
                let at = |h: f64| from + (to - from) * ((h - start) / (end - start)).clamp(0.0, 1.0);
                let (one, other) = (at(bottom), at(top));
                if (other - one).abs() > 0.05 {
                    push_line(&mut path, one, other, v, slanted);
                }
            }
        }
    }
    path
}

/// Short strokes at 45°, every second row shifted by half.
fn strokes(edges: &[Edge], angle: f64, pitch: f64) -> Vec<Step> {
    let (angle, dash, gap) = (angle + 45.0, 0.7 * pitch, 1.1 * pitch);
    let mut path = Vec::new();
    let Some((low, high)) = extent(edges, angle) else { return path };
    for v in positions(low.1, high.1, &even(pitch)) {
        let odd = libm::rint(v / pitch) as i64 % 2 != 0;
        for (from, to) in stretches(edges, angle, v) {
            let shift = if odd { (dash + gap) / 2.0 } else { 0.0 };
            let mut at = libm::floor((from - shift) / (dash + gap)) * (dash + gap) + shift;
            while at < to {
                let (one, other) = (at.max(from), (at + dash).min(to));
                if other - one > 0.2 {
                    push_line(&mut path, one, other, v, angle);
                }
                at += dash + gap;
            }
        }
    }
    path
}

/// Growth rings: arcs about a heart that lies below the face, a third of the width off its middle.
fn rings(edges: &[Edge], angle: f64, (low, high): (At, At), pitch: f64) -> Vec<Step> {
    let (width, thick) = (high.0 - low.0, high.1 - low.1);
    let heart = back((low.0 + width * 0.35, low.1 - thick.max(width * 0.15) * 0.4 - pitch), angle);
    let mut furthest = 0.0_f64;
    for (u, v) in [low, high, (low.0, high.1), (high.0, low.1)] {
        let corner = back((u, v), angle);
        furthest = furthest.max(libm::hypot(corner.0 - heart.0, corner.1 - heart.1));
    }
    let mut path = Vec::new();
    for radius in positions(0.0, furthest, &uneven(pitch)) {
        for (start, sweep) in inside_arcs(edges, heart, radius) {
            if radius * sweep < 0.05 {
                continue;
            }
            let at = |angle: f64| (heart.0 + radius * libm::cos(angle), heart.1 + radius * libm::sin(angle));
            path.push(Step::Move(at(start)));
            // No more than half a turn in one step.
            let parts = libm::ceil(sweep / PI).max(1.0);
            for part in 1..=parts as usize {
                let to = at(start + sweep * part as f64 / parts);
                path.push(Step::Arc(to, libm::tan(sweep / parts / 4.0)));
            }
        }
    }
    path
}

/// The parts of a circle that lie in the region: start angle and sweep.
fn inside_arcs(edges: &[Edge], heart: At, radius: f64) -> Vec<(f64, f64)> {
    let mut cuts: Vec<f64> = Vec::new();
    for edge in edges {
        let points = match edge {
            Edge::Straight(from, to) => circle_and_straight(heart, radius, *from, *to),
            Edge::Round(arc) => circle_and_arc(heart, radius, arc),
        };
        cuts.extend(points.iter().map(|p| libm::atan2(p.1 - heart.1, p.0 - heart.0)));
    }
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
    let inside = |angle: f64| {
        let point = (heart.0 + radius * libm::cos(angle), heart.1 + radius * libm::sin(angle));
        crossings(edges, 0.0, point.1).iter().filter(|u| **u < point.0).count() % 2 == 1
    };
    if cuts.is_empty() {
        return if inside(0.1) { vec![(0.0, TAU)] } else { Vec::new() };
    }
    let mut all: Vec<(f64, f64)> = Vec::new();
    for (index, start) in cuts.iter().enumerate() {
        let end = cuts.get(index + 1).copied().unwrap_or(cuts[0] + TAU);
        if inside((start + end) / 2.0) {
            all.push((*start, end - start));
        }
    }
    all
}

fn circle_and_straight(heart: At, radius: f64, from: At, to: At) -> Vec<At> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (fx, fy) = (from.0 - heart.0, from.1 - heart.1);
    let (a, b, c) = (dx * dx + dy * dy, 2.0 * (fx * dx + fy * dy), fx * fx + fy * fy - radius * radius);
    let discriminant = b * b - 4.0 * a * c;
    if a == 0.0 || discriminant <= 0.0 {
        return Vec::new();
    }
    let root = libm::sqrt(discriminant);
    [(-b - root) / (2.0 * a), (-b + root) / (2.0 * a)]
        .into_iter()
        .filter(|t| (0.0..=1.0).contains(t))
        .map(|t| (from.0 + dx * t, from.1 + dy * t))
        .collect()
}

fn circle_and_arc(heart: At, radius: f64, arc: &Arc) -> Vec<At> {
    let (dx, dy) = (arc.centre.0 - heart.0, arc.centre.1 - heart.1);
    let apart = libm::hypot(dx, dy);
    if apart == 0.0 || apart > radius + arc.radius || apart < (radius - arc.radius).abs() {
        return Vec::new();
    }
    let along = (apart * apart + radius * radius - arc.radius * arc.radius) / (2.0 * apart);
    let across = libm::sqrt((radius * radius - along * along).max(0.0));
    let foot = (heart.0 + dx / apart * along, heart.1 + dy / apart * along);
    let off = (-dy / apart * across, dx / apart * across);
    [(foot.0 + off.0, foot.1 + off.1), (foot.0 - off.0, foot.1 - off.1)]
        .into_iter()
        .filter(|p| {
            let from_start = libm::atan2(p.1 - arc.centre.1, p.0 - arc.centre.0) - arc.start;
            let travel = if arc.sweep > 0.0 { from_start } else { -from_start };
            libm::fmod(travel + 2.0 * TAU, TAU) <= arc.sweep.abs()
        })
        .collect()
}
