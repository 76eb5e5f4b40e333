//! The mark of a cutting plane on the view that shows it as a line. Knows no section.

use super::assembly::Assembled;
use super::bays::Look;
use super::cuttings::Cutting;
use super::frame::Area;
use super::free::Taken;
use super::sheet::Paperwork;
use super::title_block::Projection as Angle;
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::bounds::extents;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, LineType, Mark, line};

/// Height of the letter.
const LETTER: f64 = 3.5;

/// A cutting plane on the view that shows it as a line: its ends, the way it is looked, its letter (ISO 128, wide
/// long-dashed dotted). Upright planes stand on the front or the side view, level ones on the front. Both ends have their
/// arrow and letter: where one would meet another mark it stands further out, beyond rows of sizes if need be, and the
/// stretch between is left out.
pub fn plane_mark(
    of: &Assembled,
    plane: &Cutting,
    views: &[(Look, At)],
    factor: f64,
    (there, zone): (&Taken, Area),
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
    let end = |edge: f64, out: f64, reach: f64, aside: f64, height: f64| {
        let tip = edge + out * reach;
        // Thick at its ends only, as the plane is drawn where it is long.
        let mut marks = if reach <= WHOLE {
            vec![stub(edge + out, tip)]
        } else {
            vec![stub(edge + out, edge + out * 4.0), stub(tip - out * 5.0, tip)]
        };
        let arrow = [point(tip, 0.0), point(tip, way)];
        marks.extend(leader(&arrow, Terminator::Narrow, paperwork.line_group()));
        // Behind the arrow, beside the end of the line, or at the arrow's own side, beyond it.
        let behind = if way > 0.0 { -3.5 } else { 3.5 };
        let beside = point(tip - out * 2.5, if aside > 0.0 { way + behind * -1.2 } else { behind });
        let letter = plane.letter.as_str();
        marks.push(written((beside.0, beside.1 - height / 2.0), letter, height, Anchor::Middle, true));
        marks
    };
    let is_free = |marks: &Vec<Mark>| {
        let inside = extents(marks).is_some_and(|(a, b)| {
            zone.low.0 <= a.0 && zone.low.1 <= a.1 && b.0 <= zone.high.0 && b.1 <= zone.high.1
        });
        inside && there.has_room_for(marks)
    };
    let mut marks = Vec::new();
    for (edge, out) in [(high, 1.0), (low, -1.0)] {
        let reaches = (0..FURTHEST).map(|i| 6.0 + 2.5 * f64::from(i));
        let mut all = reaches.flat_map(|reach| [0.0, 1.0].map(|aside| (reach, aside)));
        // Room is looked for with a letter that is larger by what has to stay clear round it.
        let free = all.find(|(reach, aside)| is_free(&end(edge, out, *reach, *aside, LETTER + 1.0)));
        let (reach, aside) = free.unwrap_or((6.0, 0.0));
        marks.extend(end(edge, out, reach, aside, LETTER));
    }
    marks
}

/// Up to this reach in millimetres the end of a plane is drawn in one piece.
const WHOLE: f64 = 11.0;
/// How many places further and further out are tried for an end.
const FURTHEST: u8 = 40;
