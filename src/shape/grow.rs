//! Growing and shrinking an outline side by side, corners kept sharp: the fit of a joint, the mouth of a notch, the inset
//! of an edge's profile. Sides along the axes move by whole units, so straight work stays exact. Knows no joint.

use crate::length::Length;
use crate::shape::{Arc, Outline, Point, Vertex};

/// Why an outline cannot be grown or shrunk so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrowFault {
    /// The number of amounts is not the number of sides.
    WrongCount,
    /// This side (counted from 0 in the outline's order) shrinks to nothing.
    SideVanishes { side: usize },
    /// Sides that were apart run into each other.
    Crosses,
}

/// The outline with every side moved out by `by` (in, where it is negative), corners sharp.
pub fn grow(outline: &Outline, by: Length) -> Result<Outline, GrowFault> {
    grow_sides(outline, &vec![by; outline.vertices().len()])
}

/// The outline with each side moved out by its own amount, in the order of [`Outline::segments`]. Neighbouring sides are
/// met again at sharp corners; between two sides on one line that move unequally a square step is left. Arcs keep their
/// middle and change their radius.
pub fn grow_sides(outline: &Outline, out: &[Length]) -> Result<Outline, GrowFault> {
    let moved = moved_sides(outline, out)?;
    let mut vertices = Vec::with_capacity(moved.len() * 2);
    for side in &moved {
        vertices.push(Vertex { at: side.from, bulge: side.bulge });
        vertices.push(Vertex { at: side.to, bulge: 0.0 });
    }
    let grown = Outline::new(vertices).map_err(|_| GrowFault::SideVanishes { side: 0 })?;
    // A rectangle, like any convex outline, cannot run into itself.
    if outline.is_rectangle() || is_simple(&grown) { Ok(grown) } else { Err(GrowFault::Crosses) }
}

/// A side after the move. Where one side's end is not the next one's start, a square step lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MovedSide {
    pub from: Point,
    pub to: Point,
    pub bulge: f64,
}

/// Every side moved, one for one: the sides of two insets of the same outline correspond.
pub(crate) fn moved_sides(outline: &Outline, out: &[Length]) -> Result<Vec<MovedSide>, GrowFault> {
    let sides: Vec<(Vertex, Point)> = outline.segments().collect();
    if sides.len() != out.len() {
        return Err(GrowFault::WrongCount);
    }
    let mut moved: Vec<MovedSide> =
        sides.iter().map(|(from, to)| MovedSide { from: from.at, to: *to, bulge: from.bulge }).collect();
    let count = sides.len();
    for next in 0..count {
        let before = (next + count - 1) % count;
        let (end, start) = corner(sides[before], out[before], sides[next], out[next])
            .ok_or(GrowFault::SideVanishes { side: next })?;
        moved[before].to = end;
        moved[next].from = start;
    }
    for (index, ((from, to), side)) in sides.iter().zip(&mut moved).enumerate() {
        let vanishes = GrowFault::SideVanishes { side: index };
        if from.bulge == 0.0 {
            let along = dot(difference(*to, from.at), difference(side.to, side.from));
            if along < 0 {
                return Err(vanishes);
            }
        } else if out[index] != Length::ZERO || side.from != from.at || side.to != *to {
            side.bulge = moved_bulge((*from, *to), out[index], side).ok_or(vanishes)?;
        }
    }
    Ok(moved)
}

/// Where the moved side before a corner ends and the one after it starts.
fn corner(
    before: (Vertex, Point),
    before_out: Length,
    next: (Vertex, Point),
    next_out: Length,
) -> Option<(Point, Point)> {
    let at = next.0.at;
    if before_out == Length::ZERO && next_out == Length::ZERO {
        return Some((at, at));
    }
    let one = Line::of(before, before_out, at, true)?;
    let two = Line::of(next, next_out, at, false)?;
    let cross = one.direction.0 * two.direction.1 - one.direction.1 * two.direction.0;
    let ahead = one.direction.0 * two.direction.0 + one.direction.1 * two.direction.1;
    let smooth = cross.abs() < 1e-7;
    if smooth && ahead < 0.0 {
        // The outline turns back on itself.
        return None;
    }
    if smooth {
        let ends = (one.foot(at), two.foot(at));
        if before_out == next_out {
            return Some((ends.0, ends.0));
        }
        return Some(ends);
    }
    let met = match (one.circle, two.circle) {
        (None, None) => {
            // X with n1·X = a and n2·X = b, n = (dy, −dx), relative to the corner.
            let ((ux, uy), (vx, vy)) = (one.direction, two.direction);
            let (a, b) = (one.out, two.out);
            Some(((a * vx - b * ux) / -cross, (a * vy - b * uy) / -cross))
        }
        (None, Some(circle)) => line_meets_circle(&one, circle),
        (Some(circle), None) => line_meets_circle(&two, circle),
        (Some(first), Some(second)) => circles_meet(first, second),
    };
    let Some((x, y)) = met else {
        // Moved alike the two have drawn apart: the mouth of a hollow has closed, and no corner is left of it.
        return (before_out != next_out).then(|| (one.foot(at), two.foot(at)));
    };
    let mut point = Point::new(at.x + whole(x), at.y + whole(y));
    // Sides along the axes fix their coordinate exactly.
    for line in [&one, &two] {
        if line.circle.is_none() {
            if line.direction.0 == 0.0 {
                point.x = line.foot(at).x;
            } else if line.direction.1 == 0.0 {
                point.y = line.foot(at).y;
            }
        }
    }
    Some((point, point))
}

/// A moved side near a corner, in units relative to it: its direction there, how far it moved, its circle where it bends.
struct Line {
    direction: (f64, f64),
    out: f64,
    whole_out: Length,
    circle: Option<Circle>,
}

#[derive(Clone, Copy)]
struct Circle {
    centre: (f64, f64),
    radius: f64,
}

impl Line {
    fn of(side: (Vertex, Point), out: Length, corner: Point, at_its_end: bool) -> Option<Line> {
        let relative =
            |point: Point| ((point.x - corner.x).units() as f64, (point.y - corner.y).units() as f64);
        let (from, to) = (relative(side.0.at), relative(side.1));
        let move_by = out.units() as f64;
        match Arc::between(from, to, side.0.bulge) {
            None => {
                let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                let length = libm::hypot(dx, dy);
                Some(Line {
                    direction: (dx / length, dy / length),
                    out: move_by,
                    whole_out: out,
                    circle: None,
                })
            }
            Some(arc) => {
                let radius = arc.radius + if arc.sweep > 0.0 { move_by } else { -move_by };
                let point = if at_its_end { to } else { from };
                let spoke = ((point.0 - arc.centre.0) / arc.radius, (point.1 - arc.centre.1) / arc.radius);
                let direction = if arc.sweep > 0.0 { (-spoke.1, spoke.0) } else { (spoke.1, -spoke.0) };
                (radius > 0.0).then_some(Line {
                    direction,
                    out: move_by,
                    whole_out: out,
                    circle: Some(Circle { centre: arc.centre, radius }),
                })
            }
        }
    }

    /// The corner moved square to the side.
    fn foot(&self, corner: Point) -> Point {
        let (dx, dy) = self.direction;
        let exact = |part: f64| {
            if part == 0.0 {
                Length::ZERO
            } else if part.abs() == 1.0 {
                self.whole_out * part as i64
            } else {
                whole(self.out * part)
            }
        };
        Point::new(corner.x + exact(dy), corner.y + exact(-dx))
    }
}

/// The meeting nearest to the corner of a straight side with a circle.
fn line_meets_circle(line: &Line, circle: Circle) -> Option<(f64, f64)> {
    let (dx, dy) = line.direction;
    let foot = (dy * line.out, -dx * line.out);
    let (px, py) = (foot.0 - circle.centre.0, foot.1 - circle.centre.1);
    let along = px * dx + py * dy;
    let under = along * along - (px * px + py * py - circle.radius * circle.radius);
    if under < 0.0 {
        return None;
    }
    let root = libm::sqrt(under);
    let near = [-along - root, -along + root].into_iter().min_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    Some((foot.0 + dx * near, foot.1 + dy * near))
}

/// The meeting of two circles nearest to the corner.
fn circles_meet(one: Circle, two: Circle) -> Option<(f64, f64)> {
    let (dx, dy) = (two.centre.0 - one.centre.0, two.centre.1 - one.centre.1);
    let apart = libm::hypot(dx, dy);
    if apart == 0.0 {
        return None;
    }
    let along = (one.radius * one.radius - two.radius * two.radius + apart * apart) / (2.0 * apart);
    let under = one.radius * one.radius - along * along;
    if under < 0.0 {
        return None;
    }
    let (ux, uy, high) = (dx / apart, dy / apart, libm::sqrt(under));
    let point = |side: f64| {
        (one.centre.0 + ux * along - uy * high * side, one.centre.1 + uy * along + ux * high * side)
    };
    [point(1.0), point(-1.0)]
        .into_iter()
        .min_by(|a, b| libm::hypot(a.0, a.1).total_cmp(&libm::hypot(b.0, b.1)))
}

/// The bend of an arc after its ends moved and its radius changed; `None` where it has shrunk away.
fn moved_bulge(side: (Vertex, Point), out: Length, moved: &MovedSide) -> Option<f64> {
    let corner = side.0.at;
    let relative = |point: Point| ((point.x - corner.x).units() as f64, (point.y - corner.y).units() as f64);
    let arc = Arc::between(relative(side.0.at), relative(side.1), side.0.bulge)?;
    let angle = |point: Point| {
        let (x, y) = relative(point);
        libm::atan2(y - arc.centre.1, x - arc.centre.0)
    };
    // An unequal neighbour may have moved an end; the same arc still goes the same way round.
    let full = 2.0 * std::f64::consts::PI;
    let mut sweep = angle(moved.to) - angle(moved.from);
    while sweep - arc.sweep > std::f64::consts::PI {
        sweep -= full;
    }
    while arc.sweep - sweep > std::f64::consts::PI {
        sweep += full;
    }
    if sweep * arc.sweep <= 0.0 {
        return None;
    }
    let same = (sweep - arc.sweep).abs() < 1e-9 || (out != Length::ZERO && (sweep - arc.sweep).abs() < 1e-7);
    Some(if same { side.0.bulge } else { libm::tan(sweep / 4.0) })
}

/// True where no two sides cross or overlap; arcs are judged by their chords to a thousandth of a millimetre.
pub fn is_simple(outline: &Outline) -> bool {
    let points: Vec<Point> = outline
        .flattened(0.001)
        .into_iter()
        .map(|(x, y)| Point::new(Length::from_mm(x), Length::from_mm(y)))
        .collect();
    let count = points.len();
    let side = |index: usize| (points[index], points[(index + 1) % count]);
    let mut order: Vec<usize> = (0..count).collect();
    let left = |index: usize| side(index).0.x.min(side(index).1.x);
    order.sort_by_key(|index| left(*index));
    for (place, &one) in order.iter().enumerate() {
        let right = side(one).0.x.max(side(one).1.x);
        for &two in order[place + 1..].iter().take_while(|&&two| left(two) <= right) {
            let neighbours = (one + 1) % count == two || (two + 1) % count == one;
            if !neighbours && cross_or_touch(side(one), side(two)) {
                return false;
            }
        }
    }
    true
}

fn cross_or_touch(one: (Point, Point), two: (Point, Point)) -> bool {
    let turn = |a: Point, b: Point, c: Point| {
        let ((ux, uy), (vx, vy)) = (difference(b, a), difference(c, a));
        (ux * vy - uy * vx).signum()
    };
    let within = |low: Length, high: Length, value: Length| low.min(high) <= value && value <= low.max(high);
    let on = |line: (Point, Point), point: Point| {
        turn(line.0, line.1, point) == 0
            && within(line.0.x, line.1.x, point.x)
            && within(line.0.y, line.1.y, point.y)
    };
    let (a, b) = (turn(one.0, one.1, two.0), turn(one.0, one.1, two.1));
    let (c, d) = (turn(two.0, two.1, one.0), turn(two.0, two.1, one.1));
    (a * b < 0 && c * d < 0) || on(one, two.0) || on(one, two.1) || on(two, one.0) || on(two, one.1)
}

fn difference(to: Point, from: Point) -> (i128, i128) {
    (i128::from((to.x - from.x).units()), i128::from((to.y - from.y).units()))
}

fn dot(one: (i128, i128), two: (i128, i128)) -> i128 {
    one.0 * two.0 + one.1 * two.1
}

fn whole(units: f64) -> Length {
    Length::from_units(libm::rint(units) as i64)
}
