//! The runs of a view made one: on each line and circle what is seen covers what is hidden, the nearest solid has its name
//! on it, and no stretch is drawn twice.

use crate::shape::view::{FlatArc, LineKind, ViewLine};

/// A stretch of an edge, before merging.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Run {
    pub from: (f64, f64),
    pub to: (f64, f64),
    pub arc: Option<FlatArc>,
    /// Towards the eye, mm.
    pub depth: f64,
    pub visible: bool,
    pub solid: usize,
    pub kind: LineKind,
}

/// Runs on one line within this are one line, mm: closer than two touching faces.
const ASIDE: f64 = 2e-3;

/// Directions within this are one, radians.
const ASKEW: f64 = 2e-6;

/// Stretches shorter than this are left out, mm.
const SHORT: f64 = 5e-3;

/// Depths are told apart in steps of this, mm.
const LEVEL: f64 = 0.05;

const FULL: f64 = 2.0 * std::f64::consts::PI;

/// The lines of a view from its runs, visible ones first, then by solid and place.
pub(crate) fn merged(runs: Vec<Run>) -> Vec<ViewLine> {
    let (arcs, lines): (Vec<Run>, Vec<Run>) = runs.into_iter().partition(|run| run.arc.is_some());
    let mut found = merged_lines(&lines);
    found.extend(merged_arcs(&arcs));
    let key = |line: &ViewLine| (!line.visible, line.solid, line.kind);
    found.sort_by(|a, b| {
        key(a)
            .cmp(&key(b))
            .then(a.from.0.total_cmp(&b.from.0))
            .then(a.from.1.total_cmp(&b.from.1))
            .then(a.to.0.total_cmp(&b.to.0))
            .then(a.to.1.total_cmp(&b.to.1))
    });
    found
}

/// A stretch on a track, mm along a line or radians round a circle.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    depth: f64,
    visible: bool,
    solid: usize,
    kind: LineKind,
}

/// Covers a track: cut outlines first, then what is seen, then what is hidden; of each the nearest first, of those in one
/// plane the longest, so that an edge that others end on stays whole.
fn laid(mut stretches: Vec<Stretch>, short: f64) -> Vec<Stretch> {
    stretches.sort_by(|a, b| {
        let key = |s: &Stretch| (!s.visible, s.kind != LineKind::Cut);
        key(a)
            .cmp(&key(b))
            .then(libm::rint(b.depth / LEVEL).total_cmp(&libm::rint(a.depth / LEVEL)))
            .then((b.to - b.from).total_cmp(&(a.to - a.from)))
            .then(a.solid.cmp(&b.solid))
            .then(a.from.total_cmp(&b.from))
    });
    let mut taken: Vec<(f64, f64)> = Vec::new();
    let mut laid: Vec<Stretch> = Vec::new();
    for stretch in stretches {
        let mut from = stretch.from;
        let mut free = Vec::new();
        for (start, end) in taken.iter().filter(|(start, end)| *end > stretch.from && *start < stretch.to) {
            if start - from > short {
                free.push((from, *start));
            }
            from = from.max(*end);
        }
        if stretch.to - from > short {
            free.push((from, stretch.to));
        }
        for (from, to) in free {
            laid.push(Stretch { from, to, ..stretch });
            let place = taken.partition_point(|(start, _)| *start < from);
            taken.insert(place, (from, to));
        }
    }
    laid.sort_by(|a, b| a.from.total_cmp(&b.from));
    let mut joined: Vec<Stretch> = Vec::with_capacity(laid.len());
    for stretch in laid {
        match joined.last_mut() {
            Some(last)
                if stretch.from - last.to <= short
                    && (stretch.visible, stretch.solid, stretch.kind)
                        == (last.visible, last.solid, last.kind) =>
            {
                last.to = last.to.max(stretch.to);
            }
            _ => joined.push(stretch),
        }
    }
    joined
}

fn merged_lines(runs: &[Run]) -> Vec<ViewLine> {
    // Direction with x growing, or straight up.
    let mut ways: Vec<(f64, (f64, f64), usize)> = Vec::with_capacity(runs.len());
    for (index, run) in runs.iter().enumerate() {
        let (dx, dy) = (run.to.0 - run.from.0, run.to.1 - run.from.1);
        let length = libm::hypot(dx, dy);
        if length < SHORT {
            continue;
        }
        let mut angle = libm::atan2(dy, dx);
        if angle > std::f64::consts::FRAC_PI_2 + ASKEW {
            angle -= std::f64::consts::PI;
        } else if angle < -std::f64::consts::FRAC_PI_2 + ASKEW {
            angle += std::f64::consts::PI;
        }
        ways.push((angle, (dx / length, dy / length), index));
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let mut found = Vec::new();
    for group in ways.chunk_by(|a, b| b.0 - a.0 < ASKEW) {
        let Some((angle, way, _)) = group.first() else { continue };
        // The axes exactly; else as the first run goes, pointed the way of its angle.
        let along = if angle.abs() < ASKEW {
            (1.0, 0.0)
        } else if (angle - std::f64::consts::FRAC_PI_2).abs() < ASKEW {
            (0.0, 1.0)
        } else if way.0 * libm::cos(*angle) + way.1 * libm::sin(*angle) < 0.0 {
            (-way.0, -way.1)
        } else {
            *way
        };
        let off = |p: (f64, f64)| p.1 * along.0 - p.0 * along.1;
        let place = |p: (f64, f64)| p.0 * along.0 + p.1 * along.1;
        let mut by_line: Vec<(f64, usize)> = group
            .iter()
            .map(|(_, _, index)| {
                let run = &runs[*index];
                ((off(run.from) + off(run.to)) / 2.0, *index)
            })
            .collect();
        by_line.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for line in by_line.chunk_by(|a, b| b.0 - a.0 < ASIDE) {
            let stretches = line
                .iter()
                .map(|(_, index)| {
                    let run = &runs[*index];
                    let (a, b) = (place(run.from), place(run.to));
                    let Run { depth, visible, solid, kind, .. } = *run;
                    Stretch { from: a.min(b), to: a.max(b), depth, visible, solid, kind }
                })
                .collect();
            let off = line[0].0;
            let point = |t: f64| (along.0 * t - along.1 * off, along.1 * t + along.0 * off);
            for Stretch { from, to, visible, solid, kind, .. } in laid(stretches, SHORT) {
                found.push(ViewLine { from: point(from), to: point(to), bulge: 0.0, visible, solid, kind });
            }
        }
    }
    found
}

fn merged_arcs(runs: &[Run]) -> Vec<ViewLine> {
    let mut circles: Vec<(FlatArc, Vec<Stretch>)> = Vec::new();
    for run in runs {
        let Some(arc) = run.arc else { continue };
        let same = |(other, _): &&mut (FlatArc, Vec<Stretch>)| {
            (other.radius - arc.radius).abs() < ASIDE
                && libm::hypot(other.centre.0 - arc.centre.0, other.centre.1 - arc.centre.1) < ASIDE
        };
        let stretches = match circles.iter_mut().find(same) {
            Some((_, stretches)) => stretches,
            None => {
                circles.push((arc, Vec::new()));
                match circles.last_mut() {
                    Some((_, stretches)) => stretches,
                    None => continue,
                }
            }
        };
        let low = arc.start.min(arc.start + arc.sweep);
        let turns = libm::floor(low / FULL + 1e-12);
        let (from, to) = (low - turns * FULL, low - turns * FULL + arc.sweep.abs());
        let Run { depth, visible, solid, kind, .. } = *run;
        let mut push = |from: f64, to: f64| stretches.push(Stretch { from, to, depth, visible, solid, kind });
        if to > FULL {
            push(from, FULL);
            push(0.0, to - FULL);
        } else {
            push(from, to);
        }
    }
    let mut found = Vec::new();
    for (circle, stretches) in circles {
        let short = SHORT / circle.radius;
        let mut laid = laid(stretches, short);
        // What ends at the full turn and begins at nothing is one arc, unless it is the whole circle.
        if let (Some(first), Some(last)) = (laid.first().copied(), laid.last().copied())
            && laid.len() > 1
            && first.from < short
            && FULL - last.to < short
            && (first.visible, first.solid, first.kind) == (last.visible, last.solid, last.kind)
        {
            laid.remove(0);
            if let Some(last) = laid.last_mut() {
                last.to = FULL + first.to;
            }
        }
        let point = |a: f64| {
            (circle.centre.0 + circle.radius * libm::cos(a), circle.centre.1 + circle.radius * libm::sin(a))
        };
        for Stretch { from, to, visible, solid, kind, .. } in laid {
            // No more than a half turn to an arc.
            let parts = if to - from > std::f64::consts::PI + 1e-9 { 2 } else { 1 };
            let step = (to - from) / f64::from(parts);
            for part in 0..parts {
                let start = from + step * f64::from(part);
                let bulge = libm::tan(step / 4.0);
                found.push(ViewLine {
                    from: point(start),
                    to: point(start + step),
                    bulge,
                    visible,
                    solid,
                    kind,
                });
            }
        }
    }
    found
}
