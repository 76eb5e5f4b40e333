//! Wood too thin to hold: what a disc that rolls on the wood's side of a line does not reach, but for the slivers that it leaves in
//! every corner.

use super::sound::{distance, nearest};
use crate::length::Length;
use crate::shape::cut::{CutFault, offset, subtract};
use crate::shape::relief::Air;
use crate::shape::{Arc, Outline, Plate, Point};

/// What a disc leaves out beyond its corners must be more than this part of its radius's square: rounded and broken corners leave
/// less than the 1 − π/4 of a sharp one.
const SLACK: f64 = 0.25;

/// How much more than the disc is taken as swept.
const HAIR: Length = Length::from_units(80_000 / 200);

/// A place that a disc does not reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lost {
    /// Its middle, mm.
    pub at: (f64, f64),
    /// How wide it is there, mm.
    pub width: f64,
}

/// The places on a side of a line that a disc of this radius does not reach, corners apart.
pub(super) fn lost(outline: &Outline, side: Air, radius: Length) -> Vec<Lost> {
    let inwards = if side == Air::Within { -radius } else { radius };
    // What cannot be followed at all is lost as a whole.
    let paths = offset(outline, inwards).unwrap_or_default();
    let mut found = necks(outline, &paths, radius);
    for piece in left_out(outline, side, &paths, radius) {
        let area = piece.area_mm2();
        let known = found
            .iter()
            .any(|lost| piece.contains(Point::new(Length::from_mm(lost.at.0), Length::from_mm(lost.at.1))));
        let square = radius.to_mm() * radius.to_mm();
        if known || area <= slivers(outline, &piece, side) * square + SLACK * square {
            continue;
        }
        let (x, y) = piece.first_moments_mm3();
        let at = (x / area, y / area);
        found.push(Lost { at, width: 2.0 * distance(outline, at) });
    }
    found
}

/// Where the path of the disc falls apart: between two pieces that lie nearest to each other.
fn necks(outline: &Outline, paths: &[Plate], radius: Length) -> Vec<Lost> {
    let loops: Vec<&Outline> = paths.iter().flat_map(Plate::loops).collect();
    let mut found: Vec<Lost> = Vec::new();
    for (index, one) in loops.iter().enumerate() {
        let others = loops.iter().skip(index + 1).map(|other| nearest(one, other));
        let Some((at, _)) = others.min_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        let width = 2.0 * distance(outline, at);
        // Two pieces may lie apart with something else between them.
        if width < 2.0 * radius.to_mm() {
            found.push(Lost { at, width });
        }
    }
    found
}

/// What lies on the side of the line and is not swept where the disc's middle goes over the plates of its path.
fn left_out(outline: &Outline, side: Air, paths: &[Plate], radius: Length) -> Vec<Outline> {
    // A hair more than the disc, so that no line of the swept lies on one of the outline: the engine loses itself there.
    let swept = |path: &Outline, sign: i64| offset(path, (radius + HAIR) * sign).unwrap_or_default();
    let taken = |pieces: Vec<Plate>, away: &Outline| -> Vec<Plate> {
        pieces
            .into_iter()
            .flat_map(|piece| match subtract(&piece, away) {
                Ok(left) => left,
                Err(CutFault::NothingLeft) => Vec::new(),
                // What cannot be worked out is not proved: it stays, and is told.
                Err(_) => vec![piece],
            })
            .collect()
    };
    let mut left = Vec::new();
    match side {
        Air::Within => {
            left.push(Plate::whole(outline.clone()));
            for reached in paths.iter().flat_map(|path| swept(&path.outline, 1)) {
                left = taken(left, &reached.outline);
            }
        }
        Air::Around => {
            // Outside: the wood that is nowhere swept, less the true wood. An opening in the path is air that is swept too.
            for path in paths {
                left.extend(swept(&path.outline, -1));
                for reached in path.inside.iter().flat_map(|inside| swept(inside, 1)) {
                    left = taken(left, &reached.outline);
                }
            }
            left = taken(left, outline);
        }
    }
    left.into_iter().map(|plate| plate.outline).collect()
}

/// What a disc of radius 1 leaves in the corners of the line that this piece has: cot(θ/2) − (π − θ)/2 in a corner of the angle θ
/// (geometry: the kite to the points of touch, less the sector).
fn slivers(outline: &Outline, piece: &Outline, side: Air) -> f64 {
    let sign = if side == Air::Within { 1.0 } else { -1.0 };
    let directions: Vec<(f64, f64)> = outline
        .segments()
        .map(|(from, to)| {
            let (a, b) = (from.at.to_mm(), to.to_mm());
            let chord = libm::atan2(b.1 - a.1, b.0 - a.0);
            let half = Arc::between(a, b, from.bulge).map_or(0.0, |arc| arc.sweep / 2.0);
            (chord - half, chord + half)
        })
        .collect();
    let before = directions.iter().cycle().skip(directions.len().saturating_sub(1));
    let corners = outline.vertices().iter().zip(&directions).zip(before);
    let mut sum = 0.0;
    for ((vertex, (leaves, _)), (_, arrives)) in corners {
        let turn = sign * (leaves - arrives);
        let turn = libm::atan2(libm::sin(turn), libm::cos(turn));
        let at = vertex.at.to_mm();
        if turn > 1e-6 && (distance(piece, at) < 1e-3 || piece.contains(vertex.at)) {
            sum += libm::tan(turn / 2.0) - turn / 2.0;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Vertex;

    fn line(corners: &[(f64, f64)]) -> Outline {
        let mm = |(x, y): &(f64, f64)| Point::new(Length::from_mm(*x), Length::from_mm(*y));
        Outline::new(corners.iter().map(|at| Vertex { at: mm(at), bulge: 0.0 }).collect())
            .expect("an outline")
    }

    /// A board with two notches, 20 deep and 18 wide, and a finger of some width between them.
    fn fingered(finger: f64) -> Outline {
        let (a, b) = (28.0 + finger, 46.0 + finger);
        line(&[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 60.0),
            (b, 60.0),
            (b, 40.0),
            (a, 40.0),
            (a, 60.0),
            (28.0, 60.0),
            (28.0, 40.0),
            (10.0, 40.0),
            (10.0, 60.0),
            (0.0, 60.0),
        ])
    }

    /// A finger of 1 mm, from 28 to 29 and from 40 to 60: its middle is 28.5, 50.
    #[test]
    fn a_thin_finger_is_found_where_it_is() {
        let found = lost(&fingered(1.0), Air::Within, Length::MM);
        assert_eq!(found.len(), 1, "{found:?}");
        let Lost { at, width } = found[0];
        assert!((at.0 - 28.5).abs() < 0.02 && (at.1 - 50.0).abs() < 0.1, "{at:?}");
        assert!((width - 1.0).abs() < 0.05, "{width}");
        assert_eq!(lost(&fingered(2.1), Air::Within, Length::MM), []);
    }

    /// An opening of 60 by 40 with a finger of wood of 1.2 by 20 that stands into it from below: its middle is 40.6, 20.
    #[test]
    fn a_finger_that_stands_into_an_opening_is_found() {
        let opening = line(&[
            (10.0, 10.0),
            (40.0, 10.0),
            (40.0, 30.0),
            (41.2, 30.0),
            (41.2, 10.0),
            (70.0, 10.0),
            (70.0, 50.0),
            (10.0, 50.0),
        ]);
        let found = lost(&opening, Air::Around, Length::MM);
        assert_eq!(found.len(), 1, "{found:?}");
        let Lost { at, width } = found[0];
        assert!(
            (at.0 - 40.6).abs() < 0.02 && (at.1 - 20.0).abs() < 0.1 && (width - 1.2).abs() < 0.05,
            "{found:?}"
        );
        // A disc that rolls in the opening leaves its corners only.
        assert_eq!(lost(&opening, Air::Within, Length::from_mm(3.0)), []);
    }

    /// Corners alone are no loss, however sharp: 90° and 20°.
    #[test]
    fn corners_are_no_loss() {
        let wedge = line(&[(0.0, 0.0), (80.0, 0.0), (80.0, 80.0 * libm::tan(20_f64.to_radians()))]);
        assert_eq!(lost(&wedge, Air::Within, Length::MM), []);
        let square = Outline::rectangle(Point::default(), Point::new(Length::MM * 50, Length::MM * 40));
        let square = square.expect("a square");
        assert_eq!(lost(&square, Air::Within, Length::from_mm(6.0)), []);
        assert_eq!(lost(&square, Air::Around, Length::from_mm(6.0)), []);
    }

    /// Two fields of 40 joined by a neck of 1.4 from 40 to 60.
    #[test]
    fn a_neck_is_found_once() {
        let neck = line(&[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 19.3),
            (60.0, 19.3),
            (60.0, 0.0),
            (100.0, 0.0),
            (100.0, 40.0),
            (60.0, 40.0),
            (60.0, 20.7),
            (40.0, 20.7),
            (40.0, 40.0),
            (0.0, 40.0),
        ]);
        let found = lost(&neck, Air::Within, Length::MM);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].width - 1.4).abs() < 0.05, "{found:?}");
    }

    /// Thinner than the disc all over: a strip of 1.5 by 60.
    #[test]
    fn a_strip_is_lost_as_a_whole() {
        let strip = line(&[(0.0, 0.0), (60.0, 0.0), (60.0, 1.5), (0.0, 1.5)]);
        let found = lost(&strip, Air::Within, Length::MM);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].width - 1.5).abs() < 0.01);
    }
}
