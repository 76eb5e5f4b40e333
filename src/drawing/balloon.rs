//! Balloons: a circle with the number of a part, and the line from it to the part.

use super::arrow::{Terminator, direction, leader};
use super::lettering::width_of;
use super::text::written;
use super::{Anchor, At, Ink, LineType, Mark, circle};

/// Radius in millimetres of the balloon round a text: at least twice the height of its capitals across (common
/// practice), larger where the text is wide.
pub fn radius(text: &str, height: f64) -> f64 {
    let half_diagonal = libm::hypot(width_of(text, height, false), height) / 2.0;
    (1.2 * height).max(half_diagonal + 0.35 * height)
}

/// A circle with a text in its middle; white inside, so that lines behind it do not run through the text.
pub fn balloon(centre: At, text: &str, height: f64) -> Vec<Mark> {
    let ring = circle(centre, radius(text, height));
    vec![
        Mark::Fill { path: ring.clone(), ink: Ink::White },
        Mark::Stroke { path: ring, line: LineType::Dimension },
        written((centre.0, centre.1 - height / 2.0), text, height, Anchor::Middle, false),
    ]
}

/// A balloon and its leader to `to`, which starts at the edge of the circle.
pub fn pointing_balloon(
    centre: At,
    text: &str,
    height: f64,
    to: At,
    end: Terminator,
    group: f64,
) -> Vec<Mark> {
    let mut marks = Vec::new();
    let reach = radius(text, height);
    if let Some(way) = direction(centre, to)
        && libm::hypot(to.0 - centre.0, to.1 - centre.1) > reach
    {
        let start = (centre.0 + way.0 * reach, centre.1 + way.1 * reach);
        marks.extend(leader(&[start, to], end, group));
    }
    marks.extend(balloon(centre, text, height));
    marks
}
