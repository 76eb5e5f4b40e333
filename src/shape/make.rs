//! Shaped outlines: a blank's four edges (straight, tapered, arched or a free path) and its four corners (square, cut off,
//! rounded, stepped), rounded rectangles and circles. Sizes in, an outline or a plain fault out. Knows no board or spec.

use crate::length::Length;
use crate::shape::grow::is_simple;
use crate::shape::{Outline, Point, Vertex};

/// Why a shape cannot be made; `edge` and `corner` count counter-clockwise from the bottom edge and its left end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShapeFault {
    /// The blank has no width or no height.
    NoSize,
    /// A size that must be more than nothing is not.
    NotPositive,
    /// The shapes along one edge need more than its length.
    EdgeTooShort { edge: usize, needs: Length, has: Length },
    /// The rise of an arc is more than half its chord: more than a half circle.
    RiseTooHigh { edge: usize, rise: Length, most: Length },
    /// Positions along an edge do not grow from its start to its end.
    OutOfOrder { edge: usize },
    /// This corner shape needs straight sides along the axes.
    CornerNotSquare { corner: usize },
    /// The corner has no angle, or a side of it is no straight line.
    CornerNotStraight { corner: usize },
    /// Two parts of the outline run into each other.
    Meets,
}

/// What is done to a corner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Corner {
    #[default]
    Square,
    /// Cut off straight: legs along the edge that arrives and the one that leaves, counter-clockwise.
    Cut { arriving: Length, leaving: Length },
    /// Rounded by an arc tangent to both sides.
    Radius(Length),
    /// A rectangular bite: legs as for a cut.
    Step { arriving: Length, leaving: Length },
}

/// The line of an edge; `inset` is square to the blank's edge, into the wood.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Edge {
    #[default]
    Straight,
    /// A straight line from one inset to another.
    Taper { start: Length, end: Length },
    /// An arc between straight ends of these lengths.
    Arch { start: Length, end: Length, rise: Length, way: Way },
    /// Through these points in order; both ends of the edge may be among them.
    Path(Vec<PathPoint>),
}

/// Which way an arch goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The middle is cut in by the rise; the straight ends lie on the edge.
    Hollow,
    /// The middle reaches the edge; the straight ends lie in by the rise.
    Crown,
}

/// A point of a free path and the rise of the arc that leaves it: positive bulges out of the wood, nothing is straight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PathPoint {
    pub along: Length,
    pub inset: Length,
    pub rise: Length,
}

/// A blank between two corners and what is to be done to it. Edges count counter-clockwise from the bottom: bottom, right,
/// top, left; each runs counter-clockwise. Corner `i` is where edge `i` starts: lower left, lower right, upper right, upper left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blank {
    pub low: Point,
    pub high: Point,
    pub corners: [Corner; 4],
    pub edges: [Edge; 4],
}

impl Blank {
    pub fn new(low: Point, high: Point) -> Blank {
        Blank { low, high, corners: [Corner::Square; 4], edges: Default::default() }
    }

    /// The outline of the shaped blank. Edges are laid first, then corners are worked where two edges meet.
    pub fn outline(&self) -> Result<Outline, ShapeFault> {
        if self.low.x >= self.high.x || self.low.y >= self.high.y {
            return Err(ShapeFault::NoSize);
        }
        let runs = [self.run(0)?, self.run(1)?, self.run(2)?, self.run(3)?];
        let mut plain: Vec<(Vertex, Corner, usize)> = Vec::new();
        for (edge, run) in runs.iter().enumerate() {
            let at =
                meeting(&runs[(edge + 3) % 4], run).ok_or(ShapeFault::CornerNotStraight { corner: edge })?;
            let bulge = run.first().map_or(0.0, |v| v.bulge);
            plain.push((Vertex { at, bulge }, self.corners[edge], edge));
            let inner = run.iter().skip(1).take(run.len().saturating_sub(2));
            plain.extend(inner.map(|v| (*v, Corner::Square, edge)));
        }
        let count = plain.len();
        let mut worked: Vec<Vertex> = Vec::with_capacity(count + 8);
        let mut used = vec![Length::ZERO; count];
        for (index, (here, corner, edge)) in plain.iter().enumerate() {
            let arriving = (index + count - 1) % count;
            let (before, after) = (plain[arriving].0, plain[(index + 1) % count].0.at);
            let made = cornered(before, *here, after, *corner, *edge)?;
            used[arriving] += made.arriving;
            used[index] += made.leaving;
            worked.extend(made.vertices);
        }
        for (index, needs) in used.into_iter().enumerate() {
            let (from, to) = (plain[index].0.at, plain[(index + 1) % count].0.at);
            let has = distance(from, to);
            if needs > has {
                return Err(ShapeFault::EdgeTooShort { edge: plain[index].2, needs, has });
            }
        }
        let outline = Outline::new(worked).map_err(|_| ShapeFault::Meets)?;
        let around = outline.extents();
        let inside = around.low.x >= self.low.x && around.low.y >= self.low.y;
        let inside = inside && around.high.x <= self.high.x && around.high.y <= self.high.y;
        if inside && is_simple(&outline) { Ok(outline) } else { Err(ShapeFault::Meets) }
    }

    fn length(&self, edge: usize) -> Length {
        if edge.is_multiple_of(2) { self.high.x - self.low.x } else { self.high.y - self.low.y }
    }

    /// A point of an edge: so far along it, so far in from it.
    fn on(&self, edge: usize, along: Length, inset: Length) -> Point {
        match edge {
            0 => Point::new(self.low.x + along, self.low.y + inset),
            1 => Point::new(self.high.x - inset, self.low.y + along),
            2 => Point::new(self.high.x - along, self.high.y - inset),
            _ => Point::new(self.low.x + inset, self.high.y - along),
        }
    }

    /// The vertices of an edge from its start to its end, both included.
    fn run(&self, edge: usize) -> Result<Vec<Vertex>, ShapeFault> {
        let has = self.length(edge);
        let vertex = |along, inset, bulge| Vertex { at: self.on(edge, along, inset), bulge };
        match &self.edges[edge] {
            Edge::Straight => {
                Ok(vec![vertex(Length::ZERO, Length::ZERO, 0.0), vertex(has, Length::ZERO, 0.0)])
            }
            Edge::Taper { start, end } => {
                not_negative(*start)?;
                not_negative(*end)?;
                Ok(vec![vertex(Length::ZERO, *start, 0.0), vertex(has, *end, 0.0)])
            }
            Edge::Arch { start, end, rise, way } => {
                not_negative(*start)?;
                not_negative(*end)?;
                let chord = has - *start - *end;
                if !chord.is_positive() {
                    return Err(ShapeFault::EdgeTooShort { edge, needs: *start + *end, has });
                }
                let bulge = bulge_of(*rise, chord, edge)?;
                let (level, bulge) = match way {
                    Way::Hollow => (Length::ZERO, -bulge),
                    Way::Crown => (*rise, bulge),
                };
                Ok(vec![
                    vertex(Length::ZERO, level, 0.0),
                    vertex(*start, level, bulge),
                    vertex(has - *end, level, 0.0),
                    vertex(has, level, 0.0),
                ])
            }
            Edge::Path(points) => {
                let mut all: Vec<PathPoint> = Vec::with_capacity(points.len() + 2);
                let end = |along| PathPoint { along, inset: Length::ZERO, rise: Length::ZERO };
                if points.first().is_none_or(|first| first.along.is_positive()) {
                    all.push(end(Length::ZERO));
                }
                all.extend(points);
                if points.last().is_none_or(|last| last.along < has) {
                    all.push(end(has));
                }
                let mut run = Vec::with_capacity(all.len());
                for (index, point) in all.iter().enumerate() {
                    not_negative(point.inset)?;
                    if point.along > has {
                        return Err(ShapeFault::EdgeTooShort { edge, needs: point.along, has });
                    }
                    let Some(next) = all.get(index + 1) else {
                        run.push(vertex(point.along, point.inset, 0.0));
                        continue;
                    };
                    // A step square to the edge may keep its place along it, but never go back.
                    if next.along < point.along || (next.along == point.along && next.inset == point.inset) {
                        return Err(ShapeFault::OutOfOrder { edge });
                    }
                    let chord = distance(
                        self.on(edge, point.along, point.inset),
                        self.on(edge, next.along, next.inset),
                    );
                    let bulge = if point.rise == Length::ZERO {
                        0.0
                    } else {
                        let size = bulge_of(point.rise.abs(), chord, edge)?;
                        if point.rise.is_positive() { size } else { -size }
                    };
                    run.push(vertex(point.along, point.inset, bulge));
                }
                Ok(run)
            }
        }
    }
}

/// Where one edge's run meets the next one's: a common end, the end of one on the line of the other (it cuts the other
/// short), or where their straight lines cross.
fn meeting(before: &[Vertex], after: &[Vertex]) -> Option<Point> {
    let (one, two) = (
        (*before.get(before.len().checked_sub(2)?)?, before.last()?.at),
        (*after.first()?, after.get(1)?.at),
    );
    let (end, start) = (one.1, two.0.at);
    let on = |line: (Point, Point), point: Point| {
        let across = |a: Length, b: Length| i128::from(a.units()) * i128::from(b.units());
        across(line.1.x - line.0.x, point.y - line.0.y) == across(line.1.y - line.0.y, point.x - line.0.x)
    };
    if end == start || (two.0.bulge == 0.0 && on((start, two.1), end)) {
        return Some(end);
    }
    if one.0.bulge != 0.0 || on((one.0.at, end), start) {
        return (one.0.bulge == 0.0).then_some(start);
    }
    if two.0.bulge != 0.0 {
        return None;
    }
    let relative = |point: Point| ((point.x - end.x).units() as f64, (point.y - end.y).units() as f64);
    let (a, c, d) = (relative(one.0.at), relative(start), relative(two.1));
    let ((ux, uy), (vx, vy)) = ((-a.0, -a.1), (d.0 - c.0, d.1 - c.1));
    let cross = ux * vy - uy * vx;
    if cross == 0.0 {
        return None;
    }
    let t = ((c.0 - a.0) * vy - (c.1 - a.1) * vx) / cross;
    let whole = |units: f64| Length::from_units(libm::rint(units) as i64);
    Some(Point::new(end.x + whole(a.0 + ux * t), end.y + whole(a.1 + uy * t)))
}

/// A rectangle with equal round corners.
pub fn rounded_rectangle(low: Point, high: Point, radius: Length) -> Result<Outline, ShapeFault> {
    let mut blank = Blank::new(low, high);
    if radius != Length::ZERO {
        blank.corners = [Corner::Radius(radius); 4];
    }
    blank.outline()
}

/// A circle of two half arcs.
pub fn circle(centre: Point, diameter: Length) -> Result<Outline, ShapeFault> {
    Outline::circle(centre, diameter.half()).ok_or(ShapeFault::NotPositive)
}

/// The outline with one of its corners (by vertex index) worked; both its sides must be straight and long enough.
pub fn work_corner(outline: &Outline, vertex: usize, corner: Corner) -> Result<Outline, ShapeFault> {
    let vertices = outline.vertices();
    let count = vertices.len();
    let Some(here) = vertices.get(vertex) else {
        return Err(ShapeFault::CornerNotStraight { corner: vertex });
    };
    let before = vertices[(vertex + count - 1) % count];
    let after = vertices[(vertex + 1) % count];
    let mut worked = vertices[..vertex].to_vec();
    worked.extend(cornered(before, *here, after.at, corner, vertex)?.vertices);
    worked.extend(&vertices[vertex + 1..]);
    let outline = Outline::new(worked).map_err(|_| ShapeFault::Meets)?;
    if is_simple(&outline) { Ok(outline) } else { Err(ShapeFault::Meets) }
}

/// tan(sweep / 4) of the arc over `chord` that rises `rise` at its middle: 2·rise/chord, as rise = chord/2 · tan(sweep/4).
fn bulge_of(rise: Length, chord: Length, edge: usize) -> Result<f64, ShapeFault> {
    if !rise.is_positive() {
        return Err(ShapeFault::NotPositive);
    }
    if rise * 2 > chord {
        return Err(ShapeFault::RiseTooHigh { edge, rise, most: chord.half() });
    }
    Ok((rise * 2).units() as f64 / chord.units() as f64)
}

fn not_negative(length: Length) -> Result<(), ShapeFault> {
    if length < Length::ZERO { Err(ShapeFault::NotPositive) } else { Ok(()) }
}

/// The vertices that stand in for a worked corner, and what it takes of the side that arrives and the one that leaves.
struct Cornered {
    vertices: Vec<Vertex>,
    arriving: Length,
    leaving: Length,
}

fn cornered(
    before: Vertex,
    here: Vertex,
    after: Point,
    corner: Corner,
    number: usize,
) -> Result<Cornered, ShapeFault> {
    let straight = |at| Vertex { at, bulge: 0.0 };
    let (arriving, leaving) = match corner {
        Corner::Square => {
            return Ok(Cornered { vertices: vec![here], arriving: Length::ZERO, leaving: Length::ZERO });
        }
        Corner::Cut { arriving, leaving } | Corner::Step { arriving, leaving } => (arriving, leaving),
        Corner::Radius(radius) => (radius, radius),
    };
    if !(arriving.is_positive() && leaving.is_positive()) {
        return Err(ShapeFault::NotPositive);
    }
    if before.bulge != 0.0 || here.bulge != 0.0 {
        return Err(ShapeFault::CornerNotStraight { corner: number });
    }
    let edge_before = (number + 3) % 4;
    let legs = |arriving, leaving| -> Result<(Point, Point), ShapeFault> {
        Ok((leg(here.at, before.at, arriving, edge_before)?, leg(here.at, after, leaving, number)?))
    };
    match corner {
        Corner::Radius(radius) => {
            let (dx, dy) = ((here.at.x - before.at.x).to_mm(), (here.at.y - before.at.y).to_mm());
            let (ex, ey) = ((after.x - here.at.x).to_mm(), (after.y - here.at.y).to_mm());
            let turn = libm::atan2(dx * ey - dy * ex, dx * ex + dy * ey);
            if turn.abs() < 1e-6 || turn.abs() > std::f64::consts::PI - 1e-6 {
                return Err(ShapeFault::CornerNotStraight { corner: number });
            }
            // Tangent points lie radius·tan(turn/2) from the corner; a right angle takes the radius itself, exactly.
            let right_angle = dx * ex + dy * ey == 0.0;
            let reach = if right_angle {
                radius
            } else {
                Length::from_mm(radius.to_mm() * libm::tan(turn.abs() / 2.0))
            };
            let (one, two) = legs(reach, reach)?;
            let quarter = std::f64::consts::SQRT_2 - 1.0;
            let bulge = if right_angle { quarter.copysign(turn) } else { libm::tan(turn / 4.0) };
            Ok(Cornered {
                vertices: vec![Vertex { at: one, bulge }, straight(two)],
                arriving: reach,
                leaving: reach,
            })
        }
        _ => {
            let (one, two) = legs(arriving, leaving)?;
            let mut vertices = vec![straight(one), straight(two)];
            if matches!(corner, Corner::Step { .. }) {
                let along_axis = |a: Point, b: Point| a.x == b.x || a.y == b.y;
                let turns = before.at.x != after.x && before.at.y != after.y;
                if !(along_axis(before.at, here.at) && along_axis(here.at, after) && turns) {
                    return Err(ShapeFault::CornerNotSquare { corner: number });
                }
                vertices
                    .insert(1, straight(Point::new(one.x + two.x - here.at.x, one.y + two.y - here.at.y)));
            }
            Ok(Cornered { vertices, arriving, leaving })
        }
    }
}

/// A point `by` away from a corner towards another.
fn leg(here: Point, towards: Point, by: Length, edge: usize) -> Result<Point, ShapeFault> {
    let has = distance(here, towards);
    if by > has {
        return Err(ShapeFault::EdgeTooShort { edge, needs: by, has });
    }
    let part = |d: Length| {
        if d.abs() == has {
            by * d.units().signum()
        } else {
            Length::from_mm(by.to_mm() * d.to_mm() / has.to_mm())
        }
    };
    Ok(Point::new(here.x + part(towards.x - here.x), here.y + part(towards.y - here.y)))
}

/// Distance of two points, to the nearest unit; exact along an axis.
fn distance(one: Point, other: Point) -> Length {
    let (dx, dy) = (other.x - one.x, other.y - one.y);
    if dx == Length::ZERO || dy == Length::ZERO {
        dx.abs() + dy.abs()
    } else {
        Length::from_mm(libm::hypot(dx.to_mm(), dy.to_mm()))
    }
}
