//! Where text lies on a sheet, and what it meets: the proof that no text overlaps text, is crossed by a line, or leaves
//! its frame. Used by tests of every sheet.

use super::lettering::{line_group, line_width, reach_of, width_of};
use super::{Anchor, At, Ink, Mark, Sheet, Step, Text};
use crate::shape::Arc;

/// How far a piece of an arc may be from the arc, in millimetres: a tenth of the thinnest line.
const FINE: f64 = 0.02;

/// The room that a text takes.
#[derive(Clone, Debug, PartialEq)]
pub struct TextBox {
    /// Index of the group in the sheet, and of the mark in the group.
    pub group: usize,
    pub mark: usize,
    pub text: String,
    /// Counter-clockwise in the text's own sense: below start, below end, above end, above start.
    pub corners: [At; 4],
}

/// Two texts that lie over each other: indices into [`text_boxes`], and by how much in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    pub one: usize,
    pub other: usize,
    pub depth: f64,
}

/// A text (index into [`text_boxes`]) with a line or a black area through it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crossing {
    pub text: usize,
    pub group: usize,
    pub mark: usize,
}

/// The box of one text, round its ink in height and its advance in width.
pub fn box_of(text: &Text) -> [At; 4] {
    let width = width_of(&text.text, text.height, text.bold);
    let (below, above) = reach_of(&text.text, text.height, text.bold);
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let turn = text.turn.to_radians();
    let (sin, cos) = (libm::sin(turn), libm::cos(turn));
    let place = |x: f64, y: f64| (text.at.0 + x * cos - y * sin, text.at.1 + x * sin + y * cos);
    [place(start, below), place(start + width, below), place(start + width, above), place(start, above)]
}

/// Boxes of all texts in drawing order; texts of blanks take no room.
pub fn text_boxes(sheet: &Sheet) -> Vec<TextBox> {
    let mut all = Vec::new();
    for (group, contents) in sheet.groups.iter().enumerate() {
        for (mark, drawn) in contents.marks.iter().enumerate() {
            if let Mark::Text(text) = drawn
                && !text.text.trim().is_empty()
            {
                all.push(TextBox { group, mark, text: text.text.clone(), corners: box_of(text) });
            }
        }
    }
    all
}

/// All pairs of texts that overlap by more than 0.01 mm.
pub fn overlaps(sheet: &Sheet) -> Vec<Overlap> {
    let boxes = text_boxes(sheet);
    // Swept from left to right, so that a sheet of a thousand texts costs a thousand, not a million, comparisons.
    let mut order: Vec<(f64, f64, usize)> = boxes
        .iter()
        .enumerate()
        .map(|(i, b)| {
            let (low, high) = around(&b.corners);
            (low.0, high.0, i)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let mut all = Vec::new();
    for (index, (_, right, one)) in order.iter().enumerate() {
        for (left, _, other) in &order[index + 1..] {
            if left > right {
                break;
            }
            let depth = depth_of(&boxes[*one].corners, &boxes[*other].corners);
            if depth > 0.01 {
                all.push(Overlap { one: *one.min(other), other: *one.max(other), depth });
            }
        }
    }
    all.sort_by_key(|o| (o.one, o.other));
    all
}

/// All texts that a stroke or the edge of a black area runs through. White areas drawn after a line and before a text
/// (a balloon, the ring of an origin) hide the line from that text.
pub fn crossings(sheet: &Sheet) -> Vec<Crossing> {
    let boxes = text_boxes(sheet);
    let group_width = line_group(sheet.width, sheet.height);
    let mut all = Vec::new();
    for (group, contents) in sheet.groups.iter().enumerate() {
        for (mark, drawn) in contents.marks.iter().enumerate() {
            let (path, half, dark) = match drawn {
                Mark::Stroke { path, line } => (path, line_width(*line, group_width) / 2.0, false),
                Mark::Fill { path, ink: Ink::Black } => (path, 0.0, true),
                _ => continue,
            };
            let chords = chords(path, FINE);
            for (index, text) in boxes.iter().enumerate() {
                let hidden = || hidden_from(sheet, (group, mark), text);
                let met = chords.iter().any(|c| meets(&text.corners, *c, half - 0.01));
                if (met || (dark && covers(path, &text.corners))) && !hidden() {
                    all.push(Crossing { text: index, group, mark });
                }
            }
        }
    }
    all
}

/// Indices of texts that do not lie wholly between two corners.
pub fn outside(sheet: &Sheet, low: At, high: At) -> Vec<usize> {
    let leaves = |p: &At| p.0 < low.0 || p.1 < low.1 || p.0 > high.0 || p.1 > high.1;
    let boxes = text_boxes(sheet);
    boxes.iter().enumerate().filter(|(_, b)| b.corners.iter().any(leaves)).map(|(i, _)| i).collect()
}

/// Lowest and highest coordinates of all marks of a list, text boxes included; `None` for no mark.
pub fn extents(marks: &[Mark]) -> Option<(At, At)> {
    let mut points: Vec<At> = Vec::new();
    for mark in marks {
        match mark {
            Mark::Stroke { path, .. } | Mark::Fill { path, .. } => {
                points.extend(chords(path, FINE).iter().flat_map(|(a, b)| [*a, *b]));
            }
            Mark::Text(text) => points.extend(box_of(text)),
            Mark::Link { low, high, .. } => points.extend([*low, *high]),
        }
    }
    (!points.is_empty()).then(|| around(&points))
}

/// True where a white area that covers the whole text lies between the line and the text in drawing order.
fn hidden_from(sheet: &Sheet, line: (usize, usize), text: &TextBox) -> bool {
    let last = (text.group, text.mark);
    sheet.groups.iter().enumerate().skip(line.0).take_while(|(g, _)| *g <= last.0).any(|(group, contents)| {
        contents.marks.iter().enumerate().any(|(mark, drawn)| {
            let between = (group, mark) > line && (group, mark) < last;
            matches!(drawn, Mark::Fill { path, ink: Ink::White } if between && covers(path, &text.corners))
        })
    })
}

fn covers(path: &[Step], corners: &[At; 4]) -> bool {
    let chords = chords(path, FINE);
    let inside = |p: &At| {
        let left = chords.iter().filter(|(a, b)| {
            (a.1 <= p.1) != (b.1 <= p.1) && a.0 + (b.0 - a.0) * (p.1 - a.1) / (b.1 - a.1) < p.0
        });
        left.count() % 2 == 1
    };
    corners.iter().all(inside) && !chords.iter().any(|c| meets(corners, *c, 0.0))
}

/// Straight pieces of a path, arcs broken so that no piece is further than `off` millimetres from its arc.
pub fn chords(path: &[Step], off: f64) -> Vec<(At, At)> {
    let mut all = Vec::new();
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    for step in path {
        match *step {
            Step::Move(to) => (start, at) = (to, to),
            Step::Line(to) => {
                all.push((at, to));
                at = to;
            }
            Step::Arc(to, bulge) => {
                if let Some(arc) = Arc::between(at, to, bulge) {
                    let turn = 2.0 * libm::acos((1.0 - off / arc.radius).clamp(-1.0, 1.0));
                    let count = libm::ceil(arc.sweep.abs() / turn.max(1e-3)).clamp(1.0, 4096.0) as usize;
                    for part in 1..count {
                        let angle = arc.start + arc.sweep * part as f64 / count as f64;
                        let next = (
                            arc.centre.0 + arc.radius * libm::cos(angle),
                            arc.centre.1 + arc.radius * libm::sin(angle),
                        );
                        all.push((at, next));
                        at = next;
                    }
                }
                all.push((at, to));
                at = to;
            }
            Step::Close => {
                all.push((at, start));
                at = start;
            }
        }
    }
    all
}

fn around(points: &[At]) -> (At, At) {
    points.iter().fold(((f64::MAX, f64::MAX), (f64::MIN, f64::MIN)), |(low, high), p| {
        ((low.0.min(p.0), low.1.min(p.1)), (high.0.max(p.0), high.1.max(p.1)))
    })
}

/// The directions of a box's width and height.
fn axes(corners: &[At; 4]) -> [At; 2] {
    let unit = |a: At, b: At| {
        let length = libm::hypot(b.0 - a.0, b.1 - a.1).max(1e-12);
        ((b.0 - a.0) / length, (b.1 - a.1) / length)
    };
    [unit(corners[0], corners[1]), unit(corners[0], corners[3])]
}

fn span(corners: &[At], axis: At) -> (f64, f64) {
    corners
        .iter()
        .map(|p| p.0 * axis.0 + p.1 * axis.1)
        .fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)))
}

/// How deep two boxes lie in each other, along the direction in which they part most easily (separating axes).
fn depth_of(one: &[At; 4], other: &[At; 4]) -> f64 {
    let all = [axes(one), axes(other)].concat();
    all.into_iter().fold(f64::MAX, |depth, axis| {
        let (a, b) = (span(one, axis), span(other, axis));
        depth.min(a.1.min(b.1) - a.0.max(b.0))
    })
}

/// Whether a straight piece, grown by `grow` millimetres, enters a box.
fn meets(corners: &[At; 4], (from, to): (At, At), grow: f64) -> bool {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in axes(corners) {
        let (low, high) = span(corners, axis);
        let (low, high) = (low - grow, high + grow);
        let (a, b) = (from.0 * axis.0 + from.1 * axis.1, to.0 * axis.0 + to.1 * axis.1);
        if (b - a).abs() < 1e-12 {
            if a <= low || a >= high {
                return false;
            }
            continue;
        }
        let (t0, t1) = ((low - a) / (b - a), (high - a) / (b - a));
        enter = enter.max(t0.min(t1));
        leave = leave.min(t0.max(t1));
    }
    enter < leave
}
