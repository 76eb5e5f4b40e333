//! The second polygon engine: whole-number polygons, arcs as fine chords. It makes no cut; it witnesses what the first one
//! (see `cut`) makes, and finds the space that solids share. Sole user of `i_overlay`.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

use crate::length::Length;
use crate::shape::Outline;

/// A corner, in units of the length grid.
pub(crate) type Corner = IntPoint<i64>;

/// A closed ring of corners.
pub(crate) type Contour = Vec<Corner>;

/// The outlines as polygons, no chord further than `chord` mm from its arc; straight corners exactly as they are.
pub(crate) fn contours(outlines: &[Outline], chord: f64) -> Vec<Contour> {
    outlines.iter().map(|outline| contour(outline, chord)).collect()
}

pub(crate) fn contour(outline: &Outline, chord: f64) -> Contour {
    if outline.is_straight() {
        return outline.vertices().iter().map(|v| IntPoint::new(v.at.x.units(), v.at.y.units())).collect();
    }
    let point = |(x, y): (f64, f64)| IntPoint::new(Length::from_mm(x).units(), Length::from_mm(y).units());
    outline.flattened(chord).into_iter().map(point).collect()
}

/// What two sets of polygons share, shape by shape: outer ring counter-clockwise, openings clockwise.
pub(crate) fn shared(one: &Vec<Contour>, other: &Vec<Contour>) -> Vec<Vec<Contour>> {
    Overlay::from_subj_and_clip(one, other).overlay(OverlayRule::Intersect, FillRule::NonZero)
}

/// What is left of polygons without others.
pub(crate) fn without(one: &Vec<Contour>, taken: &Vec<Contour>) -> Vec<Vec<Contour>> {
    Overlay::from_subj_and_clip(one, taken).overlay(OverlayRule::Difference, FillRule::NonZero)
}

/// Area in mm² (openings taken off) and length of the line round a shape in mm.
pub(crate) fn size(shape: &[Contour]) -> (f64, f64) {
    let scale = Length::from_units(1).to_mm();
    let (mut area, mut line) = (0.0, 0.0);
    for contour in shape {
        let next = contour.iter().cycle().skip(1);
        let mut doubled: i128 = 0;
        for (from, to) in contour.iter().zip(next) {
            doubled += i128::from(from.x) * i128::from(to.y) - i128::from(to.x) * i128::from(from.y);
            line += libm::hypot((to.x - from.x) as f64, (to.y - from.y) as f64) * scale;
        }
        // Outer contours run counter-clockwise, openings clockwise.
        area += doubled as f64 / 2.0 * scale * scale;
    }
    (area, line)
}

/// True where a shape's mean width, twice its area over the line round it, is more than `width` mm.
pub(crate) fn wider_than(shape: &[Contour], width: f64) -> bool {
    let (area, line) = size(shape);
    line > 0.0 && 2.0 * area / line > width
}
