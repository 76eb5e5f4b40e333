//! The mark of a cutting plane on the view that shows it as a line. Knows no section.

use super::assembly::Assembled;
use super::bays::Look;
use super::cuttings::Cutting;
use super::free::Taken;
use super::sheet::Paperwork;
use super::title_block::Projection as Angle;
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, LineType, Mark, line};

/// Height of the letter.
const LETTER: f64 = 3.5;

/// A cutting plane on the view that shows it as a line: its ends, the way it is looked, its letter (ISO 128, wide
/// long-dashed dotted). Upright planes stand on the front or the side view, level ones on the front. Where a letter
/// would meet another mark, the end is drawn further out, or the second one without.
pub fn plane_mark(
    of: &Assembled,
    plane: &Cutting,
    views: &[(Look, At)],
    factor: f64,
    there: &[Mark],
    paperwork: &Paperwork,
) -> Vec<Mark> {
    let third = paperwork.projection == Angle::Third;
    let eye = of.looks(third).into_iter().find(|look| look.eye.axis() == plane.axis).map(|look| look.eye);
    let shows = |look: &Look| look.right.axis() == plane.axis || look.up.axis() == plane.axis;
    let Some((look, origin)) = views.iter().find(|(look, _)| shows(look)).copied() else { return Vec::new() };
    let level = look.up.axis() == plane.axis;
    let towards = if level { look.up } else { look.right };
    let zero = if level { origin.1 } else { origin.0 };
    let at = zero + plane.at.to_mm() * towards.sign() as f64 * factor;
    // The arrow points the way the section is looked: away from the eye.
    let way = if eye == Some(towards) { -7.0 } else { 7.0 };
    let along = look.along(&of.around, if level { look.right } else { look.up });
    let from = if level { origin.0 } else { origin.1 };
    let (low, high) = (from + along.low.to_mm() * factor, from + along.high.to_mm() * factor);
    let point = |along: f64, aside: f64| if level { (along, at + aside) } else { (at + aside, along) };
    let stub = |a: f64, b: f64| line(point(a, 0.0), point(b, 0.0), LineType::Cutting);
    let end = |edge: f64, out: f64, reach: f64, height: f64| {
        let tip = edge + out * reach;
        let mut marks = vec![stub(edge + out, tip)];
        let arrow = [point(tip, 0.0), point(tip, way)];
        marks.extend(leader(&arrow, Terminator::Narrow, paperwork.line_group()));
        // Behind the arrow, beside the end of the line.
        let beside = point(tip - out * 2.5, if way > 0.0 { -3.5 } else { 3.5 });
        let letter = plane.letter.as_str();
        marks.push(written((beside.0, beside.1 - height / 2.0), letter, height, Anchor::Middle, true));
        marks
    };
    let mut taken = Taken::default();
    taken.add(there);
    let free = |marks: &Vec<Mark>| taken.has_room_for(marks);
    // Room is looked for with a letter that is larger by what has to stay clear round it.
    let fits = |edge: f64, out: f64, reach: f64| {
        free(&end(edge, out, reach, LETTER + 1.0)).then(|| end(edge, out, reach, LETTER))
    };
    let first = [6.0, 8.5, 11.0].iter().find_map(|reach| fits(high, 1.0, *reach));
    let second = fits(low, -1.0, 6.0);
    let is_told = first.is_some() || second.is_some();
    let mut marks = first.unwrap_or_else(|| vec![stub(high + 1.0, high + 4.0)]);
    marks.extend(second.unwrap_or_else(|| vec![stub(low - 1.0, low - 4.0)]));
    if !is_told {
        marks.extend(end(high, 1.0, 6.0, LETTER));
    }
    marks
}
