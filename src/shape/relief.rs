//! Relief of inside corners for a round bit: the bit leaves every inside corner round, so a small lobe is cut into the wood
//! beside the corner until the corner itself is free. Outline and radius in, the same outline with lobes out. Knows no layer and no shop.

use crate::length::Length;
use crate::shape::along::Segment;
use crate::shape::grow::is_simple;
use crate::shape::{Arc, Outline, Point, Vertex};

/// Where the middle of a lobe lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bone {
    /// On the bisector of the corner, at the radius from it: into both walls alike, and no further than it must.
    Dog,
    /// On the longer of the two walls, at the radius from the corner: into that wall only.
    TLonger,
    /// On the shorter of the two walls.
    TShorter,
}

/// On which side of an outline the bit runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Air {
    /// Inside: an opening or a pocket.
    Within,
    /// Outside: the outline of a part.
    Around,
}

impl Air {
    /// The side of the wood.
    pub fn other(self) -> Air {
        match self {
            Air::Within => Air::Around,
            Air::Around => Air::Within,
        }
    }
}

/// A lobe that was cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lobe {
    /// The true corner, which lies on the lobe's circle.
    pub corner: Point,
    /// Middle of its circle, mm.
    pub centre: (f64, f64),
    pub radius: f64,
    /// Where the arc begins, radians from +x, and how far it runs, counter-clockwise positive.
    pub start: f64,
    pub sweep: f64,
}

impl Lobe {
    /// Points along its arc, mm, both ends included.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        const STEPS: u32 = 24;
        let arc = Arc { centre: self.centre, radius: self.radius, start: self.start, sweep: self.sweep };
        (0..=STEPS).map(move |step| arc.at(f64::from(step) / f64::from(STEPS)))
    }
}

/// An outline with its lobes.
#[derive(Clone, Debug, PartialEq)]
pub struct Relieved {
    pub outline: Outline,
    pub lobes: Vec<Lobe>,
}

/// Why a corner cannot be relieved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReliefFault {
    /// The lobe is longer than what its neighbours leave of a wall.
    WallTooShort { corner: Point },
    /// The lobe cuts another side of the outline.
    CutsAnother { corner: Point },
}

impl ReliefFault {
    pub fn corner(&self) -> Point {
        match self {
            ReliefFault::WallTooShort { corner } | ReliefFault::CutsAnother { corner } => *corner,
        }
    }
}

/// Corners at which the bit leaves less than this, mm, are left alone: a fiftieth of a millimetre is finer than any fit.
const LEFT: f64 = 0.02;

/// What must be left of a wall between two lobes, mm, so that no segment is lost in rounding.
const WALL: f64 = 0.01;

/// The outline with a lobe of `radius` at every inside corner that a bit of that radius leaves round and that `wants` (by the
/// index of its vertex).
///
/// # Errors
/// Names every corner whose lobe has no room.
pub fn relieved(
    outline: &Outline,
    air: Air,
    radius: Length,
    bone: Bone,
    wants: impl Fn(usize) -> bool,
) -> Result<Relieved, Vec<ReliefFault>> {
    let sides: Vec<Side> = outline.segments().map(Side::of).collect();
    let count = sides.len();
    let mut corners: Vec<Option<Corner>> = vec![None; count];
    let mut faults = Vec::new();
    for (index, slot) in corners.iter_mut().enumerate() {
        let before = &sides[(index + count - 1) % count];
        if wants(index) {
            *slot = Corner::of(before, &sides[index], air, radius.to_mm(), bone);
        }
    }
    for (index, corner) in corners.iter().enumerate() {
        let Some(corner) = corner else { continue };
        let before = (index + count - 1) % count;
        let room = |side: usize, at_start: Option<&Corner>, at_end: Option<&Corner>| {
            let taken = at_start.map_or(0.0, |c| c.after) + at_end.map_or(0.0, |c| c.before);
            sides[side].length() - taken >= WALL
        };
        let next = (index + 1) % count;
        let fits = room(index, Some(corner), corners[next].as_ref())
            && room(before, corners[before].as_ref(), Some(corner));
        let at = sides[index].from;
        let (cx, cy) = (at.x.to_mm() + corner.centre.0, at.y.to_mm() + corner.centre.1);
        let cuts = |(other, side): (usize, &Side)| {
            other != index && other != before && side.segment().distance((cx, cy)) < radius.to_mm() - 1e-4
        };
        if !fits {
            faults.push(ReliefFault::WallTooShort { corner: at });
        } else if sides.iter().enumerate().any(cuts) {
            faults.push(ReliefFault::CutsAnother { corner: at });
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    assemble(outline, &sides, &corners, air)
}

fn assemble(
    outline: &Outline,
    sides: &[Side],
    corners: &[Option<Corner>],
    air: Air,
) -> Result<Relieved, Vec<ReliefFault>> {
    let count = sides.len();
    let (mut vertices, mut lobes) = (Vec::with_capacity(count * 2), Vec::new());
    for (index, side) in sides.iter().enumerate() {
        let (start, end) = (corners[index].as_ref(), corners[(index + 1) % count].as_ref());
        let mut from = side.from;
        if let Some(corner) = start {
            let lobe = corner.lobe(side.from, air);
            let begins = moved(side.from, corner.before_point);
            from = moved(side.from, corner.after_point);
            // Some machines take no arc beyond a half circle: such a one is parted at the corner itself.
            if lobe.sweep.abs() > std::f64::consts::PI + 1e-9 && begins != side.from && from != side.from {
                let middle = angle(corner.centre, (0.0, 0.0));
                let first = turn(lobe.start, middle, air);
                vertices.push(Vertex { at: begins, bulge: libm::tan(first / 4.0) });
                vertices.push(Vertex { at: side.from, bulge: libm::tan((lobe.sweep - first) / 4.0) });
            } else {
                vertices.push(Vertex { at: begins, bulge: libm::tan(lobe.sweep / 4.0) });
            }
            lobes.push(lobe);
        }
        let taken = start.map_or(0.0, |c| c.after) + end.map_or(0.0, |c| c.before);
        let bulge = match &side.arc {
            Some(arc) if taken > 0.0 => libm::tan(arc.sweep * (1.0 - taken / side.length()) / 4.0),
            _ => side.bulge,
        };
        vertices.push(Vertex { at: from, bulge });
    }
    if lobes.is_empty() {
        return Ok(Relieved { outline: outline.clone(), lobes });
    }
    let first = lobes.first().map_or(Point::default(), |lobe| lobe.corner);
    let crossed = vec![ReliefFault::CutsAnother { corner: first }];
    match Outline::new(vertices) {
        Ok(outline) if is_simple(&outline) => Ok(Relieved { outline, lobes }),
        _ => Err(crossed),
    }
}

fn moved(at: Point, by: (f64, f64)) -> Point {
    Point::new(at.x + Length::from_mm(by.0), at.y + Length::from_mm(by.1))
}

/// Direction from a middle to a point, radians.
fn angle(centre: (f64, f64), point: (f64, f64)) -> f64 {
    libm::atan2(point.1 - centre.1, point.0 - centre.0)
}

/// How far an arc runs from one direction to another, the way the lobes of this outline run: more than nothing, less than a
/// whole turn, signed.
fn turn(from: f64, to: f64, air: Air) -> f64 {
    let whole = 2.0 * std::f64::consts::PI;
    let sign = if air == Air::Within { 1.0 } else { -1.0 };
    let mut sweep = sign * (to - from);
    while sweep <= 1e-9 {
        sweep += whole;
    }
    while sweep > whole {
        sweep -= whole;
    }
    sign * sweep
}

/// One segment.
struct Side {
    from: Point,
    to: Point,
    bulge: f64,
    arc: Option<Arc>,
}

impl Side {
    fn of((from, to): (Vertex, Point)) -> Side {
        let arc = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge);
        Side { from: from.at, to, bulge: from.bulge, arc }
    }

    fn segment(&self) -> Segment {
        Segment::of((Vertex { at: self.from, bulge: self.bulge }, self.to))
    }

    fn length(&self) -> f64 {
        match &self.arc {
            Some(arc) => arc.radius * arc.sweep.abs(),
            None => libm::hypot((self.to.x - self.from.x).to_mm(), (self.to.y - self.from.y).to_mm()),
        }
    }

    /// Unit direction of travel at its start or its end.
    fn direction(&self, at_end: bool) -> (f64, f64) {
        self.segment().way(if at_end { 1.0 } else { 0.0 })
    }

    /// Where a circle that passes through one end of the side crosses it again: how far along, and the point relative to
    /// that end. Nothing and the end itself where it does not come back to the side.
    fn crossing(&self, centre: (f64, f64), at_end: bool) -> (f64, (f64, f64)) {
        const NONE: (f64, (f64, f64)) = (0.0, (0.0, 0.0));
        let away = |d: (f64, f64)| if at_end { (-d.0, -d.1) } else { d };
        let Some(arc) = &self.arc else {
            let direction = away(self.direction(at_end));
            let along = 2.0 * (centre.0 * direction.0 + centre.1 * direction.1);
            let point = (direction.0 * along, direction.1 * along);
            return if along > 1e-6 { (along, point) } else { NONE };
        };
        // Two circles that share a point meet again at its mirror image in the line of their middles.
        let end = if at_end { self.to } else { self.from }.to_mm();
        let middle = (arc.centre.0 - end.0, arc.centre.1 - end.1);
        let (dx, dy) = (middle.0 - centre.0, middle.1 - centre.1);
        let apart = libm::hypot(dx, dy);
        if apart < 1e-9 {
            return NONE;
        }
        let along = -(centre.0 * dx + centre.1 * dy) / apart;
        let foot = (centre.0 + dx / apart * along, centre.1 + dy / apart * along);
        let point = (2.0 * foot.0, 2.0 * foot.1);
        let full = 2.0 * std::f64::consts::PI;
        let swept = angle(middle, point) - angle(middle, (0.0, 0.0));
        let way = if at_end { -arc.sweep.signum() } else { arc.sweep.signum() };
        let mut swept = swept * way;
        if swept < -1e-9 {
            swept += full;
        }
        let length = swept * arc.radius;
        // Behind the corner: a turn nearly all the way round.
        if length < 1e-6 || swept > full - arc.sweep.abs() / 2.0 { NONE } else { (length, point) }
    }
}

/// A corner with its lobe; points relative to the corner, mm.
#[derive(Clone, Copy, Debug)]
struct Corner {
    centre: (f64, f64),
    radius: f64,
    /// How much the lobe takes of the side before the corner and of the one after it.
    before: f64,
    after: f64,
    before_point: (f64, f64),
    after_point: (f64, f64),
}

impl Corner {
    /// `None` where the corner is no inside corner, or the bit leaves next to nothing in it.
    fn of(before: &Side, after: &Side, air: Air, radius: f64, bone: Bone) -> Option<Corner> {
        let (arrives, leaves) = (before.direction(true), after.direction(false));
        let sign = if air == Air::Within { 1.0 } else { -1.0 };
        let cross = arrives.0 * leaves.1 - arrives.1 * leaves.0;
        let dot = arrives.0 * leaves.0 + arrives.1 * leaves.1;
        // The angle of the open side; a straight line has π.
        let open = std::f64::consts::PI - sign * libm::atan2(cross, dot);
        if open >= std::f64::consts::PI || radius * (1.0 / libm::sin(open / 2.0) - 1.0) <= LEFT {
            return None;
        }
        let (one, two) = ((-arrives.0, -arrives.1), leaves);
        let toward = match bone {
            Bone::Dog => {
                let sum = (one.0 + two.0, one.1 + two.1);
                let length = libm::hypot(sum.0, sum.1);
                (sum.0 / length, sum.1 / length)
            }
            Bone::TLonger if before.length() > after.length() => one,
            Bone::TShorter if before.length() <= after.length() => one,
            _ => two,
        };
        let centre = (toward.0 * radius, toward.1 * radius);
        let (before, before_point) = before.crossing(centre, true);
        let (after, after_point) = after.crossing(centre, false);
        Some(Corner { centre, radius, before, after, before_point, after_point })
    }

    fn lobe(&self, corner: Point, air: Air) -> Lobe {
        let start = angle(self.centre, self.before_point);
        let sweep = turn(start, angle(self.centre, self.after_point), air);
        let at = corner.to_mm();
        let centre = (at.0 + self.centre.0, at.1 + self.centre.1);
        Lobe { corner, centre, radius: self.radius, start, sweep }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::shape::{Outline, Point};

    fn mm(x: f64, y: f64) -> Point {
        Point::new(Length::from_mm(x), Length::from_mm(y))
    }

    fn slot(width: f64, height: f64) -> Outline {
        Outline::rectangle(mm(0.0, 0.0), mm(width, height)).expect("a rectangle")
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-4
    }

    /// A square corner: the middle lies r/√2 from each wall, the lobe reaches r(1 − 1/√2) beyond it. r = 3 mm: 2.1213 and
    /// 0.8787; r = 1/8": 0.08839" and 0.03661" (geometry).
    #[test]
    fn a_dog_bone_lies_on_the_bisector() {
        for (radius, offset, over) in [(3.0, 2.1213, 0.8787), (25.4 / 8.0, 0.08839 * 25.4, 0.03661 * 25.4)] {
            let found =
                relieved(&slot(40.0, 60.0), Air::Within, Length::from_mm(radius), Bone::Dog, |_| true)
                    .expect("has room");
            assert_eq!(found.lobes.len(), 4);
            let lobe = found.lobes[0];
            assert!((lobe.centre.0 - offset).abs() < 2e-4 && (lobe.centre.1 - offset).abs() < 2e-4);
            let around = found.outline.extents();
            assert!((around.low.x.to_mm() + over).abs() < 2e-4, "{}", around.low.x.to_mm());
            assert!((around.high.y.to_mm() - 60.0 - over).abs() < 2e-4);
            // What is cut beyond each corner is the half disc less the triangle in the corner: πr²/2 − r².
            let more = found.outline.area_mm2() - 2400.0;
            let wanted = 4.0 * (std::f64::consts::FRAC_PI_2 - 1.0) * radius * radius;
            assert!((more - wanted).abs() < 1e-3, "{more} {wanted}");
        }
    }

    #[test]
    fn a_t_bone_stays_in_one_wall() {
        let outline = slot(20.0, 60.0);
        let radius = Length::from_mm(3.0);
        let longer = relieved(&outline, Air::Within, radius, Bone::TLonger, |_| true).expect("has room");
        let around = longer.outline.extents();
        assert!(near(around.low.x.to_mm(), -3.0) && near(around.low.y.to_mm(), 0.0));
        let shorter = relieved(&outline, Air::Within, radius, Bone::TShorter, |_| true).expect("has room");
        let around = shorter.outline.extents();
        assert!(near(around.low.x.to_mm(), 0.0) && near(around.high.y.to_mm(), 63.0));
        // Four half discs.
        for found in [longer, shorter] {
            let more = found.outline.area_mm2() - 1200.0;
            assert!((more - 4.0 * std::f64::consts::PI * 9.0 / 2.0).abs() < 1e-3);
        }
    }

    #[test]
    fn only_inside_corners_of_a_part_are_relieved() {
        // A board with a notch 18 wide and 30 deep in its top edge.
        let points = [(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (59.0, 80.0), (59.0, 50.0), (41.0, 50.0)];
        let rest = [(41.0, 80.0), (0.0, 80.0)];
        let at = points.iter().chain(&rest).map(|(x, y)| Vertex { at: mm(*x, *y), bulge: 0.0 });
        let board = Outline::new(at.collect()).expect("an outline");
        let found = relieved(&board, Air::Around, Length::from_mm(3.0), Bone::Dog, |_| true).expect("room");
        let corners: Vec<Point> = found.lobes.iter().map(|lobe| lobe.corner).collect();
        assert_eq!(corners, [mm(59.0, 50.0), mm(41.0, 50.0)]);
        let less = board.area_mm2() - found.outline.area_mm2();
        assert!((less - 2.0 * (std::f64::consts::FRAC_PI_2 - 1.0) * 9.0).abs() < 1e-3);
        assert!(found.outline.vertices().iter().all(|v| v.bulge <= 0.0));
    }

    /// Whatever the angle, the middle is the radius away from the corner, so the corner is just reached; acute and obtuse.
    #[test]
    fn slanting_walls_and_arches_are_met_where_the_circle_leaves_them() {
        let corners = [(0.0, 0.0), (90.0, 0.0), (60.0, 40.0), (20.0, 40.0)];
        let at = corners.iter().map(|(x, y)| Vertex { at: mm(*x, *y), bulge: 0.0 });
        let opening = Outline::new(at.collect()).expect("an outline");
        let found = relieved(&opening, Air::Within, Length::from_mm(3.0), Bone::Dog, |_| true).expect("room");
        assert_eq!(found.lobes.len(), 4);
        for lobe in &found.lobes {
            let (x, y) = lobe.corner.to_mm();
            assert!(near(libm::hypot(lobe.centre.0 - x, lobe.centre.1 - y), 3.0));
            // The arc passes through the corner: an inscribed angle of the open side's size sees the other 2(π − θ).
            let steps = lobe.points().map(|p| libm::hypot(p.0 - x, p.1 - y));
            // Points of the arc lie 24 to its sweep: the corner is no further than half a step from one.
            let half_step = lobe.radius * lobe.sweep.abs() / 48.0;
            assert!(steps.fold(f64::MAX, f64::min) <= half_step + 1e-6);
        }
        // The corner at 90, 0 opens by atan(40/30) = 53.13°: its lobe runs 360° − 2 · 53.13° = 253.74°, more than a half circle, and is
        // parted at the corner; all bulges stay within one.
        let sharp = found.lobes.iter().find(|lobe| lobe.corner == mm(90.0, 0.0)).expect("a lobe");
        assert!((sharp.sweep.to_degrees() - 253.7398).abs() < 1e-3, "{}", sharp.sweep.to_degrees());
        let corners = found.outline.vertices();
        assert!(corners.iter().all(|vertex| vertex.bulge.abs() <= 1.0 + 1e-9), "an arc beyond a half circle");
        let parted =
            corners.iter().position(|vertex| vertex.at == mm(90.0, 0.0)).expect("parted at the corner");
        assert!(corners[parted].bulge > 0.0 && corners[parted - 1].bulge > 0.0);
        // What the lobe takes beyond the corner: the circle's segment, r²/2 · (σ − sin σ), less the triangle of the corner and the two
        // points where it leaves the walls, (2 r cos 26.565°)²/2 · sin 53.13°. With σ = 4.42860, sin σ = −0.96 and r = 3:
        // 24.2487 − 11.52 = 12.7287 mm².
        let only = |index: usize| index == 1;
        let one = relieved(&opening, Air::Within, Length::from_mm(3.0), Bone::Dog, only).expect("room");
        let more = one.outline.area_mm2() - opening.area_mm2();
        assert!((more - 12.7287).abs() < 1e-3, "{more}");
        // A door-shaped opening: the walls end in a half circle, tangent, so only the two lower corners are inside corners.
        let mut arched: Vec<Vertex> = [(0.0, 0.0), (40.0, 0.0), (40.0, 50.0), (0.0, 50.0)]
            .iter()
            .map(|(x, y)| Vertex { at: mm(*x, *y), bulge: 0.0 })
            .collect();
        arched[2].bulge = 1.0;
        let arched = Outline::new(arched).expect("an outline");
        let found = relieved(&arched, Air::Within, Length::from_mm(3.0), Bone::Dog, |_| true).expect("room");
        assert_eq!(found.lobes.len(), 2);
        // A low arch meets its walls in a corner: both ends of the arc are trimmed.
        let mut low: Vec<Vertex> = [(0.0, 0.0), (60.0, 0.0), (60.0, 50.0), (0.0, 50.0)]
            .iter()
            .map(|(x, y)| Vertex { at: mm(*x, *y), bulge: 0.0 })
            .collect();
        low[2].bulge = 0.2;
        let low = Outline::new(low).expect("an outline");
        let found = relieved(&low, Air::Within, Length::from_mm(3.0), Bone::Dog, |_| true).expect("room");
        assert_eq!(found.lobes.len(), 4);
        let (arc, radius) = (
            found.outline.segments().map(|(v, to)| Arc::between(v.at.to_mm(), to.to_mm(), v.bulge)),
            Arc::between((60.0, 50.0), (0.0, 50.0), 0.2).expect("an arc").radius,
        );
        let kept = arc.flatten().filter(|arc| (arc.radius - radius).abs() < 1e-3).count();
        assert_eq!(kept, 1, "the arch keeps its radius");
    }

    #[test]
    fn what_has_no_room_is_named_by_its_corner() {
        // 8 mm between the corners; each lobe of r = 3 takes 3√2 = 4.243 of the wall.
        let faults = relieved(&slot(8.0, 60.0), Air::Within, Length::from_mm(3.0), Bone::Dog, |_| true);
        let faults = faults.expect_err("no room");
        assert_eq!(faults.len(), 4);
        assert_eq!(faults[0], ReliefFault::WallTooShort { corner: mm(0.0, 0.0) });
        // A T-bone in the long walls leaves the short one whole.
        relieved(&slot(8.0, 60.0), Air::Within, Length::from_mm(3.0), Bone::TLonger, |_| true).expect("room");
    }
}
