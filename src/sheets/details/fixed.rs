//! The fixings of a joint in the plane of its detail: how long, how thick, where the point ends and what wood is left
//! beyond it. Knows no paper.

use super::plane::{Plane, wood_along};
use crate::boards::FixingKind;
use crate::drawing::At;
use crate::joints::{Bore, Fixing, Joint};
use crate::length::Length;
use crate::parts::{Made, Placed};
use crate::shape::{Outline, Plate, Point, Vertex};
use crate::sheets::figures::Figures;

/// A fixing that lies in the plane, in millimetres (right, up).
#[derive(Clone, Debug)]
pub struct Driven {
    pub kind: FixingKind,
    /// Where the head sits, or the near end of a dowel.
    pub head: At,
    pub tip: At,
    /// Unit direction of driving.
    pub way: At,
    pub diameter: Length,
    pub length: Length,
    /// How far the point stands in the wood it ends in; `None` where it ends in none.
    pub bite: Option<Length>,
    /// Wood from the point straight on.
    pub beyond: Option<Length>,
    /// The pocket bored for it.
    pub pocket: Option<Outline>,
}

/// The fixing in the plane, where it lies there; `into` is what the plane cuts of the board it ends in.
pub fn driven(made: &Made, fixing: &Fixing, plane: &Plane, into: &[Plate]) -> Option<Driven> {
    let axis = plane.axis().index();
    let is_here = (fixing.head[axis] - plane.at).abs() <= Length::TOUCH;
    if !is_here || fixing.direction[axis].abs() > 1e-9 {
        return None;
    }
    let way = plane.point_mm(fixing.direction);
    let given = plane.point(fixing.head).to_mm();
    let step = |at: At, by: f64| (at.0 + way.0 * by, at.1 + way.1 * by);
    // A dowel's place is its middle.
    let is_dowel = fixing.kind == FixingKind::Dowels;
    let back = if is_dowel { fixing.length.to_mm() / 2.0 } else { 0.0 };
    let head = step(given, -back);
    let length = fixing.length.to_mm();
    let hair = Length::TOUCH.to_mm();
    let stretch =
        wood_along(into, head, way).into_iter().find(|(a, b)| *a < length - hair && *b > length - hair);
    let through = made.placed.get(fixing.through.0);
    Some(Driven {
        kind: fixing.kind,
        head,
        tip: step(head, length),
        way,
        diameter: fixing.diameter,
        length: fixing.length,
        bite: stretch.map(|(a, _)| Length::from_mm(length - a.max(0.0))),
        beyond: stretch.map(|(_, b)| Length::from_mm(b - length)),
        pocket: through.and_then(|placed| pocket(made, placed, fixing, plane)),
    })
}

/// The slanted pocket in which a screw's head sits, from its flat shoulder out through the face.
fn pocket(made: &Made, placed: &Placed, fixing: &Fixing, plane: &Plane) -> Option<Outline> {
    if fixing.kind != FixingKind::PocketScrews {
        return None;
    }
    let part = made.parts.get(placed.part.0)?;
    let way = plane.point_mm(fixing.direction);
    let head = plane.point(fixing.head).to_mm();
    let on_axis = |bore: &&Bore| {
        let leaves = placed.frame.to_room(bore.leaves.x, bore.leaves.y, bore.leaves_depth);
        let at = plane.point(leaves).to_mm();
        let off = way.0 * (at.1 - head.1) - way.1 * (at.0 - head.0);
        bore.degrees > 0.0 && off.abs() < 0.02
    };
    let bore = part.bores.iter().find(on_axis)?;
    let half = bore.diameter.to_mm() / 2.0;
    // Long enough to leave the face at any slant that is bored.
    let out = part.thick.to_mm() * 6.0;
    let corner = |along: f64, aside: f64| {
        let (x, y) = (head.0 + way.0 * along - way.1 * aside, head.1 + way.1 * along + way.0 * aside);
        Vertex { at: Point::new(Length::from_mm(x), Length::from_mm(y)), bulge: 0.0 }
    };
    Outline::new(vec![corner(0.0, half), corner(0.0, -half), corner(-out, -half), corner(-out, half)]).ok()
}

/// A fixing as it is bought: kind, gauge, length, thickness.
fn bought(fixing: &Fixing, figures: &Figures) -> String {
    let gauge = fixing.gauge.filter(|g| *g > 0).map(|g| format!(" No. {g} ×")).unwrap_or_default();
    format!(
        "{}{gauge} {} long, Ø {}",
        fixing.kind.word(),
        figures.figure(fixing.length),
        figures.figure(fixing.diameter)
    )
}

/// How joints are fixed: words for the title of a detail, where there is anything but a dry joint, and what is bought for it.
pub fn how_fixed(joints: &[&Joint], fixings: &[&Fixing], figures: &Figures) -> (Option<String>, String) {
    let glued = joints.iter().any(|j| j.glue);
    let mut bought: Vec<String> = fixings.iter().map(|f| bought(f, figures)).collect();
    bought.sort();
    bought.dedup();
    let how: Vec<String> = glued.then(|| "glue".to_owned()).into_iter().chain(bought).collect();
    let kinds: Vec<FixingKind> = fixings.iter().map(|f| f.kind).collect();
    let named = |kind, word| kinds.contains(&kind).then_some(word);
    let words = [
        glued.then_some("glued"),
        named(FixingKind::Screws, "screwed"),
        named(FixingKind::PocketScrews, "pocket-screwed"),
        named(FixingKind::Dowels, "dowelled"),
        named(FixingKind::Brads, "bradded"),
        named(FixingKind::Staples, "stapled"),
    ];
    let words: Vec<&str> = words.into_iter().flatten().collect();
    let title = (!words.is_empty()).then(|| words.join(" and "));
    (title, if how.is_empty() { "dry: no fixing".to_owned() } else { how.join("; ") })
}
