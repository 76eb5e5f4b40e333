//! Places along a segment and an arc, and how far a point lies from a line. All in millimetres.

use crate::shape::{Arc, Outline, Point, Vertex};

const FULL: f64 = 2.0 * std::f64::consts::PI;

impl Arc {
    /// The point at a share of the way along: 0 its start, 1 its end.
    pub fn at(&self, share: f64) -> (f64, f64) {
        let angle = self.start + self.sweep * share;
        (self.centre.0 + self.radius * libm::cos(angle), self.centre.1 + self.radius * libm::sin(angle))
    }

    /// Unit direction of travel there: square to the radius.
    pub fn way(&self, share: f64) -> (f64, f64) {
        let angle = self.start + self.sweep * share;
        let sign = self.sweep.signum();
        (-libm::sin(angle) * sign, libm::cos(angle) * sign)
    }

    /// Distance of a point.
    pub fn distance(&self, point: (f64, f64)) -> f64 {
        let (dx, dy) = (point.0 - self.centre.0, point.1 - self.centre.1);
        let turned = libm::fmod((libm::atan2(dy, dx) - self.start) * self.sweep.signum(), FULL);
        let turned = if turned < 0.0 { turned + FULL } else { turned };
        let ends = between(point, self.at(0.0)).min(between(point, self.at(1.0)));
        // At the middle of its circle no direction counts, and beside an end the nearest may be that end.
        if turned <= self.sweep.abs() { (libm::hypot(dx, dy) - self.radius).abs().min(ends) } else { ends }
    }
}

/// A segment of an outline, straight or bent, with the ends that the outline has: an arc computed from them may miss them by a
/// rounding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    from: (f64, f64),
    to: (f64, f64),
    pub arc: Option<Arc>,
}

impl Segment {
    /// As [`Outline::segments`] gives it.
    pub fn of((from, to): (Vertex, Point)) -> Segment {
        let (from, to, bulge) = (from.at.to_mm(), to.to_mm(), from.bulge);
        Segment { from, to, arc: Arc::between(from, to, bulge) }
    }

    /// The point half way along.
    pub fn middle(&self) -> (f64, f64) {
        self.at(0.5)
    }

    /// The point at a share of the way along: 0 its start, 1 its end.
    pub fn at(&self, share: f64) -> (f64, f64) {
        match &self.arc {
            Some(arc) => arc.at(share),
            None => {
                let between = |from: f64, to: f64| from + (to - from) * share;
                (between(self.from.0, self.to.0), between(self.from.1, self.to.1))
            }
        }
    }

    /// Length of the line between its ends.
    pub fn chord(&self) -> f64 {
        between(self.from, self.to)
    }

    /// Unit direction of travel at a share of the way; nothing where a straight segment has no length.
    pub fn way(&self, share: f64) -> (f64, f64) {
        match &self.arc {
            Some(arc) => arc.way(share),
            None => {
                let chord = self.chord().max(1e-12);
                ((self.to.0 - self.from.0) / chord, (self.to.1 - self.from.1) / chord)
            }
        }
    }

    /// Distance of a point.
    pub fn distance(&self, point: (f64, f64)) -> f64 {
        let ends = between(point, self.from).min(between(point, self.to));
        if let Some(arc) = &self.arc {
            return arc.distance(point).min(ends);
        }
        let (dx, dy) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let along =
            ((point.0 - self.from.0) * dx + (point.1 - self.from.1) * dy) / (dx * dx + dy * dy).max(1e-12);
        if (0.0..=1.0).contains(&along) {
            between(point, (self.from.0 + along * dx, self.from.1 + along * dy))
        } else {
            ends
        }
    }
}

impl Outline {
    /// Distance of a point from the line round the outline, inside or outside.
    pub fn distance_mm(&self, point: (f64, f64)) -> f64 {
        self.segments().map(|segment| Segment::of(segment).distance(point)).fold(f64::MAX, f64::min)
    }
}

fn between(a: (f64, f64), b: (f64, f64)) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;

    fn segment(from: (i64, i64), to: (i64, i64), bulge: f64) -> Segment {
        let point = |(x, y): (i64, i64)| Point::new(Length::MM * x, Length::MM * y);
        Segment::of((Vertex { at: point(from), bulge }, point(to)))
    }

    fn near(a: (f64, f64), b: (f64, f64)) -> bool {
        between(a, b) < 1e-9
    }

    /// A half circle of radius 5 about the origin, from (−5, 0) to (5, 0): with bulge 1 counter-clockwise, so by (0, −5); with −1
    /// by (0, 5). A quarter along it stands at 45° (geometry).
    #[test]
    fn points_and_directions_along_an_arc() {
        let half = 5.0 * std::f64::consts::FRAC_1_SQRT_2;
        for (bulge, sign) in [(1.0, -1.0), (-1.0, 1.0)] {
            let it = segment((-5, 0), (5, 0), bulge);
            let arc = it.arc.expect("bent");
            assert!(near(it.middle(), (0.0, 5.0 * sign)), "{:?}", it.middle());
            assert!(near(arc.at(0.25), (-half, half * sign)), "{:?}", arc.at(0.25));
            assert!(near(it.way(0.5), (1.0, 0.0)));
            assert!(near(it.way(0.0), (0.0, sign)) && near(it.way(1.0), (0.0, -sign)));
        }
        let straight = segment((0, 0), (6, 8), 0.0);
        assert!(near(straight.middle(), (3.0, 4.0)) && near(straight.way(0.3), (0.6, 0.8)));
    }

    /// The middle of a circle lies on the chords of both its halves, and in the circle; so does what lies beside it.
    #[test]
    fn points_on_a_chord_lie_inside() {
        let circle = Outline::circle(Point::default(), Length::MM * 5).expect("a circle");
        let turned = circle.mapped(|p| Point::new(-p.y, p.x), false);
        let at = |x: i64, y: i64| Point::new(Length::MM * x, Length::MM * y);
        for outline in [circle, turned] {
            for (x, y) in [(0, 0), (3, 0), (-4, 0), (0, 2), (0, -3)] {
                assert!(outline.contains(at(x, y)), "{x} {y}");
            }
            for (x, y) in [(6, 0), (-6, 0), (0, 7), (0, -7)] {
                assert!(!outline.contains(at(x, y)), "{x} {y}");
            }
        }
    }

    /// From the arc's middle, from beyond it along a radius, from behind it (its ends are nearest: √(5² + 2²)), from the foot of a
    /// straight line and from past its end.
    #[test]
    fn distances_of_points() {
        let arc = segment((-5, 0), (5, 0), -1.0);
        for (point, wanted) in
            [((0.0, 0.0), 5.0), ((0.0, 8.0), 3.0), ((0.0, 4.0), 1.0), ((0.0, -2.0), 29.0_f64.sqrt())]
        {
            assert!((arc.distance(point) - wanted).abs() < 1e-9, "{point:?}: {}", arc.distance(point));
        }
        let straight = segment((0, 0), (10, 0), 0.0);
        assert!((straight.distance((4.0, -3.0)) - 3.0).abs() < 1e-12);
        assert!((straight.distance((13.0, 4.0)) - 5.0).abs() < 1e-12);
        let square = Outline::rectangle(Point::default(), Point::new(Length::MM * 10, Length::MM * 10));
        let square = square.expect("a rectangle");
        // Inside and outside alike.
        assert!((square.distance_mm((5.0, 7.0)) - 3.0).abs() < 1e-12);
        assert!((square.distance_mm((13.0, 14.0)) - 5.0).abs() < 1e-12);
    }
}
