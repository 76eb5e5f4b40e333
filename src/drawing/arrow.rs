//! Ends of dimension and leader lines (ISO 129-1): filled arrows, the oblique stroke, the dot, and the small circle at
//! the origin of running dimensions.

use super::lettering::line_width;
use super::{At, Ink, LineType, Mark, Step, circle};

/// How a dimension or leader line ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Terminator {
    /// narrow filled arrow, 15° (ISO 129:1985)
    Narrow,
    /// filled arrow, 30° (ISO 129-1:2018, from memory)
    Arrow,
    /// oblique stroke at 45°
    Oblique,
    /// dot, for a leader that ends on a face or where there is no room
    Dot,
    /// open circle at the origin of running dimensions
    Origin,
    /// nothing
    None,
}

/// Length of an arrow or an oblique stroke in millimetres: about 3 mm (common practice, 1/8"), larger in line group 0.7.
pub fn size(group: f64) -> f64 {
    6.0 * group
}

/// The marks of an end at `tip`. `towards` is any other point of the line, from which the arrow comes.
pub fn terminator(kind: Terminator, tip: At, towards: At, group: f64) -> Vec<Mark> {
    let size = size(group);
    let Some(back) = direction(tip, towards) else { return Vec::new() };
    match kind {
        Terminator::Narrow => vec![arrow(tip, back, size, 7.5)],
        Terminator::Arrow => vec![arrow(tip, back, size, 15.0)],
        Terminator::Oblique => {
            let turned = rotate(back, 45.0);
            let (dx, dy) = (turned.0 * size / 2.0, turned.1 * size / 2.0);
            let path = vec![Step::Move((tip.0 - dx, tip.1 - dy)), Step::Line((tip.0 + dx, tip.1 + dy))];
            vec![Mark::Stroke { path, line: LineType::Table }]
        }
        Terminator::Dot => vec![Mark::Fill { path: circle(tip, size / 5.0), ink: Ink::Black }],
        Terminator::Origin => {
            // White inside, so that the lines that meet at the origin stop at the circle.
            let ring = circle(tip, size / 3.0);
            vec![
                Mark::Fill { path: ring.clone(), ink: Ink::White },
                Mark::Stroke { path: ring, line: LineType::Dimension },
            ]
        }
        Terminator::None => Vec::new(),
    }
}

/// A narrow line through `points` with an end at the first point and another at the last. The line stops short inside
/// filled arrows so that their points stay sharp.
pub fn ended_line(points: &[At], first: Terminator, last: Terminator, group: f64) -> Vec<Mark> {
    let [start, .., end] = points else { return Vec::new() };
    let (after, before) = (points[1], points[points.len() - 2]);
    let mut run: Vec<At> = points.to_vec();
    let last_index = run.len() - 1;
    run[0] = shortened(*start, after, first, group);
    run[last_index] = shortened(*end, before, last, group);
    let mut path = vec![Step::Move(run[0])];
    path.extend(run[1..].iter().map(|p| Step::Line(*p)));
    let mut marks = vec![Mark::Stroke { path, line: LineType::Dimension }];
    marks.extend(terminator(first, *start, after, group));
    marks.extend(terminator(last, *end, before, group));
    marks
}

/// A leader: from where its text stands to what it points at.
pub fn leader(points: &[At], end: Terminator, group: f64) -> Vec<Mark> {
    ended_line(points, Terminator::None, end, group)
}

fn shortened(tip: At, towards: At, end: Terminator, group: f64) -> At {
    let by = match end {
        Terminator::Narrow | Terminator::Arrow => size(group) * 0.6,
        Terminator::Origin => size(group) / 3.0,
        Terminator::Oblique | Terminator::Dot | Terminator::None => 0.0,
    };
    let room = libm::hypot(towards.0 - tip.0, towards.1 - tip.1);
    match direction(tip, towards) {
        Some(back) if room > by => (tip.0 + back.0 * by, tip.1 + back.1 * by),
        _ => tip,
    }
}

fn arrow(tip: At, back: At, length: f64, half_angle: f64) -> Mark {
    let reach = length / libm::cos(half_angle.to_radians());
    let corner = |angle: f64| {
        let side = rotate(back, angle);
        Step::Line((tip.0 + side.0 * reach, tip.1 + side.1 * reach))
    };
    let path = vec![Step::Move(tip), corner(half_angle), corner(-half_angle), Step::Close];
    Mark::Fill { path, ink: Ink::Black }
}

/// The direction of length 1 from one point to another; `None` where they are the same.
pub(super) fn direction(from: At, to: At) -> Option<At> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = libm::hypot(dx, dy);
    (length > 1e-9).then(|| (dx / length, dy / length))
}

/// A direction turned counter-clockwise by degrees.
pub(super) fn rotate(direction: At, degrees: f64) -> At {
    let (sin, cos) = (libm::sin(degrees.to_radians()), libm::cos(degrees.to_radians()));
    (direction.0 * cos - direction.1 * sin, direction.0 * sin + direction.1 * cos)
}

/// How far a terminator's ink reaches beyond its tip, sideways or forwards, in millimetres.
pub fn reach(kind: Terminator, group: f64) -> f64 {
    match kind {
        Terminator::Narrow | Terminator::Arrow | Terminator::None => 0.0,
        Terminator::Oblique => size(group) / 2.0 + line_width(LineType::Table, group) / 2.0,
        Terminator::Dot => size(group) / 5.0,
        Terminator::Origin => size(group) / 3.0 + line_width(LineType::Dimension, group) / 2.0,
    }
}
