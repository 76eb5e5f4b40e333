//! Whether an offset is one: its lines keep the distance from the outline, and wherever a wheel of that radius can roll along the
//! outline its middle is on a line; none touches itself. Asks the outline only, and so no engine. Lengths in millimetres.

use crate::length::Length;
use crate::shape::along::Segment;
use crate::shape::grow::is_simple;
use crate::shape::{Outline, Plate, Point};

/// How far a line may be from where it must be: corners are rounded to the grid of 1.25e-5 mm, and arcs swing with their ends.
const TRUE: f64 = 1e-4;

/// A wheel so much larger must have room too, or what it rolls round may be too thin to be kept.
const ROOM: f64 = 5e-3;

/// Places along a segment that are looked at.
const SHARES: [f64; 5] = [0.03, 0.25, 0.5, 0.75, 0.97];

/// True where `plates` are the offset of `outline` by `distance`, positive outside.
pub(crate) fn is_true(outline: &Outline, distance: Length, plates: &[Plate]) -> bool {
    let segments: Vec<Segment> = outline.segments().map(Segment::of).collect();
    let lines: Vec<Segment> =
        plates.iter().flat_map(Plate::loops).flat_map(Outline::segments).map(Segment::of).collect();
    let by = distance.to_mm();
    keeps_distance(outline, &segments, by, &lines)
        && is_whole(&segments, by, &lines)
        && plates.iter().flat_map(Plate::loops).all(is_simple)
}

fn away(segments: &[Segment], at: (f64, f64)) -> f64 {
    segments.iter().map(|segment| segment.distance(at)).fold(f64::MAX, f64::min)
}

fn keeps_distance(outline: &Outline, segments: &[Segment], by: f64, lines: &[Segment]) -> bool {
    let holds = |at: (f64, f64)| outline.contains(Point::new(Length::from_mm(at.0), Length::from_mm(at.1)));
    lines.iter().flat_map(|line| [line.at(0.0), line.middle()]).all(|at| {
        let off = away(segments, at) - by.abs();
        off.abs() < TRUE && (by.abs() < 2.0 * TRUE || holds(at) == (by < 0.0))
    })
}

fn is_whole(segments: &[Segment], by: f64, lines: &[Segment]) -> bool {
    let count = segments.len();
    // The middle of a wheel that touches a place, square to a direction of travel; wood is at the left hand.
    let rolls = |at: (f64, f64), way: (f64, f64)| {
        let middle = |by: f64| (at.0 + way.1 * by, at.1 - way.0 * by);
        let larger = by + ROOM * by.signum();
        let has_room = away(segments, middle(larger)) >= larger.abs() - 1e-7;
        !has_room || away(lines, middle(by)) < TRUE
    };
    let along = |segment: &Segment| SHARES.iter().all(|share| rolls(segment.at(*share), segment.way(*share)));
    let round = |index: usize| {
        let (before, after) = (segments[index].way(1.0), segments[(index + 1) % count].way(0.0));
        let (x, y) = (before.0 + after.0, before.1 + after.1);
        let size = libm::hypot(x, y);
        size < 1e-6 || rolls(segments[index].at(1.0), (x / size, y / size))
    };
    segments.iter().all(along) && (0..count).all(round)
}
