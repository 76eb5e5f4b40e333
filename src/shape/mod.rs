//! Outlines in the plane: closed runs of straight lines and arcs on the length grid, and what can be measured of them.
//! Cutting and offsetting live in `cut`, plates in space in `solid`. Knows no joint, spec or paper.

pub mod along;
pub mod apart;
pub mod clash;
mod clean;
pub mod contact;
pub mod cut;
pub mod grow;
mod hidden;
mod lines;
pub mod make;
pub mod measure;
mod polygons;
pub mod relief;
mod rolled;
pub mod section;
pub mod shell;
mod slab;
pub mod slot;
pub mod solid;
mod space;
pub mod view;
mod walls;

use crate::length::Length;

/// A point of the plane, on the length grid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    pub x: Length,
    pub y: Length,
}

impl Point {
    pub const fn new(x: Length, y: Length) -> Point {
        Point { x, y }
    }

    /// (x, y) in millimetres.
    pub fn to_mm(self) -> (f64, f64) {
        (self.x.to_mm(), self.y.to_mm())
    }
}

/// A corner of an outline and the bend of the segment that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    pub at: Point,
    /// tan(sweep / 4) of the arc to the next vertex: 0 straight, 1 a half circle, positive counter-clockwise.
    /// The same measure as group code 42 of a DXF LWPOLYLINE.
    pub bulge: f64,
}

/// A closed outline, counter-clockwise (positive area, y up), without repeated points; at least three vertices, or two
/// where an arc bends.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    vertices: Vec<Vertex>,
}

/// A flat piece of wood: its outline and the openings in it, which lie inside the outline and apart from each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    pub outline: Outline,
    pub inside: Vec<Outline>,
}

impl Plate {
    pub fn whole(outline: Outline) -> Plate {
        Plate { outline, inside: Vec::new() }
    }

    /// Area of the outline less its openings, mm².
    pub fn area_mm2(&self) -> f64 {
        self.outline.area_mm2() - self.inside.iter().map(Outline::area_mm2).sum::<f64>()
    }

    /// All its loops: the outline first.
    pub fn loops(&self) -> impl Iterator<Item = &Outline> + '_ {
        std::iter::once(&self.outline).chain(&self.inside)
    }
}

/// Smallest and largest coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Extents {
    pub low: Point,
    pub high: Point,
}

impl Extents {
    pub fn width(&self) -> Length {
        self.high.x - self.low.x
    }

    pub fn height(&self) -> Length {
        self.high.y - self.low.y
    }
}

/// Why a run of vertices is no outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotAnOutline {
    TooFewCorners,
    NoArea,
    NotFinite,
}

impl Outline {
    /// An outline from its vertices in order; a clockwise run is turned round, repeated points are dropped.
    pub fn new(vertices: Vec<Vertex>) -> Result<Outline, NotAnOutline> {
        if vertices.iter().any(|v| !v.bulge.is_finite()) {
            return Err(NotAnOutline::NotFinite);
        }
        let mut kept: Vec<Vertex> = Vec::with_capacity(vertices.len());
        for vertex in vertices {
            match kept.last_mut() {
                Some(last) if last.at == vertex.at => last.bulge = vertex.bulge,
                _ => kept.push(vertex),
            }
        }
        while kept.len() > 1 && kept.first().map(|v| v.at) == kept.last().map(|v| v.at) {
            kept.pop();
        }
        let bent = kept.iter().any(|v| v.bulge != 0.0);
        if kept.len() < if bent { 2 } else { 3 } {
            return Err(NotAnOutline::TooFewCorners);
        }
        let mut outline = Outline { vertices: kept };
        let area = outline.area_mm2();
        if area == 0.0 {
            return Err(NotAnOutline::NoArea);
        }
        if area < 0.0 {
            outline.reverse();
        }
        Ok(outline)
    }

    /// A rectangle between two corners; `None` where it has no width or height.
    pub fn rectangle(low: Point, high: Point) -> Option<Outline> {
        if low.x >= high.x || low.y >= high.y {
            return None;
        }
        let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
        Some(Outline { vertices: corners.into_iter().map(|at| Vertex { at, bulge: 0.0 }).collect() })
    }

    /// A circle of two half arcs.
    pub fn circle(centre: Point, radius: Length) -> Option<Outline> {
        radius.is_positive().then(|| Outline {
            vertices: vec![
                Vertex { at: Point::new(centre.x - radius, centre.y), bulge: 1.0 },
                Vertex { at: Point::new(centre.x + radius, centre.y), bulge: 1.0 },
            ],
        })
    }

    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// Segments in order: start vertex (with its bulge) and end point.
    pub fn segments(&self) -> impl Iterator<Item = (Vertex, Point)> + '_ {
        let next = self.vertices.iter().cycle().skip(1);
        self.vertices.iter().zip(next).map(|(from, to)| (*from, to.at))
    }

    /// Enclosed area in mm², arcs included: the shoelace sum and the circular segments.
    pub fn area_mm2(&self) -> f64 {
        self.segments()
            .map(|(from, to)| {
                let ((x0, y0), (x1, y1)) = (from.at.to_mm(), to.to_mm());
                (x0 * y1 - x1 * y0) / 2.0 + circular_segment(libm::hypot(x1 - x0, y1 - y0), from.bulge)
            })
            .sum()
    }

    /// ∫x dA and ∫y dA in mm³: divided by the area, the centre of the outline.
    pub fn first_moments_mm3(&self) -> (f64, f64) {
        let (mut x, mut y) = (0.0, 0.0);
        for (from, to) in self.segments() {
            let ((x0, y0), (x1, y1)) = (from.at.to_mm(), to.to_mm());
            let cross = x0 * y1 - x1 * y0;
            x += (x0 + x1) * cross / 6.0;
            y += (y0 + y1) * cross / 6.0;
            let Some(arc) = Arc::between((x0, y0), (x1, y1), from.bulge) else { continue };
            // A circular segment's centre lies 4r·sin³(θ/2) / (3(θ − sin θ)) from the middle of its circle (common geometry).
            let (sweep, middle) = (arc.sweep, arc.start + arc.sweep / 2.0);
            let half = libm::sin(sweep / 2.0);
            let area = circular_segment(libm::hypot(x1 - x0, y1 - y0), from.bulge);
            // area × distance, with the (θ − sin θ) of both cancelled: r³·sin³(θ/2)·2/3, signed as the sweep.
            let reach = 2.0 / 3.0 * libm::pow(arc.radius, 3.0) * half * half * half;
            x += area * arc.centre.0 + reach * libm::cos(middle);
            y += area * arc.centre.1 + reach * libm::sin(middle);
        }
        (x, y)
    }

    /// Twice the enclosed area in square units, exactly; `None` where an arc bends.
    pub fn exact_double_area(&self) -> Option<i128> {
        self.is_straight().then(|| {
            let wide = |length: Length| i128::from(length.units());
            self.segments()
                .map(|(from, to)| wide(from.at.x) * wide(to.y) - wide(to.x) * wide(from.at.y))
                .sum()
        })
    }

    /// True where the point lies strictly inside: the winding of the outline about it, arcs included. Points on the line
    /// itself, to about the grid, may go either way.
    pub fn contains(&self, point: Point) -> bool {
        let at = point.to_mm();
        let mut crossings = 0;
        for (from, to) in self.segments() {
            let (a, b) = (from.at.to_mm(), to.to_mm());
            match Arc::between(a, b, from.bulge) {
                None => crossings += usize::from(crosses_right_of(at, a, b)),
                Some(arc) => {
                    // The chord counts as any line; a point between chord and arc changes sides once more.
                    crossings += usize::from(crosses_right_of(at, a, b));
                    let out = libm::hypot(at.0 - arc.centre.0, at.1 - arc.centre.1) < arc.radius;
                    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
                    let left = dx * (at.1 - a.1) - dy * (at.0 - a.0);
                    // A point on the chord counts as right of it, or above a level one, as it does for the crossing.
                    let tie = if dy == 0.0 { dx } else { -dy };
                    let left = if left == 0.0 { tie } else { left };
                    let on_arc_side = if from.bulge > 0.0 { left < 0.0 } else { left > 0.0 };
                    crossings += usize::from(out && on_arc_side);
                }
            }
        }
        crossings % 2 == 1
    }

    /// Length of the line round it in millimetres.
    pub fn perimeter_mm(&self) -> f64 {
        self.segments()
            .map(|(from, to)| {
                let ((x0, y0), (x1, y1)) = (from.at.to_mm(), to.to_mm());
                let chord = libm::hypot(x1 - x0, y1 - y0);
                match arc_of(chord, from.bulge) {
                    Some((radius, sweep)) => radius * sweep.abs(),
                    None => chord,
                }
            })
            .sum()
    }

    /// Extents, the reach of arcs included (rounded to the grid).
    pub fn extents(&self) -> Extents {
        let first = self.vertices[0].at;
        let mut all = Extents { low: first, high: first };
        for (from, to) in self.segments() {
            include(&mut all, from.at);
            for point in arc_reach(from, to) {
                include(&mut all, point);
            }
        }
        all
    }

    /// The same outline moved.
    pub fn moved(&self, by: Point) -> Outline {
        let vertices =
            self.vertices.iter().map(|v| Vertex { at: Point::new(v.at.x + by.x, v.at.y + by.y), ..*v });
        Outline { vertices: vertices.collect() }
    }

    /// Every point mapped by a rigid motion along the axes; `mirrored` says that it turns left into right, and the run
    /// is then turned round so that it stays counter-clockwise.
    pub fn mapped(&self, map: impl Fn(Point) -> Point, mirrored: bool) -> Outline {
        let vertices = self
            .vertices
            .iter()
            .map(|v| Vertex { at: map(v.at), bulge: if mirrored { 0.0 - v.bulge } else { v.bulge } });
        let mut outline = Outline { vertices: vertices.collect() };
        if mirrored {
            outline.reverse();
        }
        outline
    }

    /// True where the outline is a rectangle along the axes.
    pub fn is_rectangle(&self) -> bool {
        let around = self.extents();
        self.vertices.len() == 4
            && self.vertices.iter().all(|v| {
                v.bulge == 0.0
                    && (v.at.x == around.low.x || v.at.x == around.high.x)
                    && (v.at.y == around.low.y || v.at.y == around.high.y)
            })
    }

    /// True where no segment bends.
    pub fn is_straight(&self) -> bool {
        self.vertices.iter().all(|v| v.bulge == 0.0)
    }

    /// The same outline started at its lowest, then leftmost vertex, so that equal outlines compare equal.
    pub fn canonical(&self) -> Outline {
        let first = (0..self.vertices.len())
            .min_by_key(|&i| (self.vertices[i].at.y, self.vertices[i].at.x))
            .unwrap_or(0);
        let mut vertices = self.vertices.clone();
        vertices.rotate_left(first);
        Outline { vertices }
    }

    /// Points along the outline in millimetres, arcs broken so that no chord is further than `tolerance` mm from its arc.
    pub fn flattened(&self, tolerance: f64) -> Vec<(f64, f64)> {
        let mut points = Vec::new();
        for (from, to) in self.segments() {
            let ((x0, y0), (x1, y1)) = (from.at.to_mm(), to.to_mm());
            points.push((x0, y0));
            let Some(arc) = Arc::between((x0, y0), (x1, y1), from.bulge) else { continue };
            let most = 2.0 * libm::acos((1.0 - tolerance / arc.radius).clamp(-1.0, 1.0));
            let steps = libm::ceil(arc.sweep.abs() / most.max(1e-6)).clamp(1.0, 4096.0) as usize;
            for step in 1..steps {
                let angle = arc.start + arc.sweep * step as f64 / steps as f64;
                points.push((
                    arc.centre.0 + arc.radius * libm::cos(angle),
                    arc.centre.1 + arc.radius * libm::sin(angle),
                ));
            }
        }
        points
    }

    fn reverse(&mut self) {
        let count = self.vertices.len();
        let old = self.vertices.clone();
        for (i, vertex) in self.vertices.iter_mut().enumerate() {
            vertex.at = old[count - 1 - i].at;
            // The segment that leaves vertex i of the new run is the one that arrived there in the old.
            // (0 − 0 is +0, where −0 would show.)
            vertex.bulge = 0.0 - old[(2 * count - 2 - i) % count].bulge;
        }
    }
}

/// An arc in millimetres and radians, counter-clockwise positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    pub centre: (f64, f64),
    pub radius: f64,
    /// Direction from the centre to the start, radians from +x.
    pub start: f64,
    /// Signed sweep in radians.
    pub sweep: f64,
}

impl Arc {
    /// The arc between two points with the given bulge; `None` for a straight line.
    pub fn between(from: (f64, f64), to: (f64, f64), bulge: f64) -> Option<Arc> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let chord = libm::hypot(dx, dy);
        let (radius, sweep) = arc_of(chord, bulge)?;
        // Distance from the middle of the chord to the centre, positive to the left of the direction of travel.
        let rise = chord * (1.0 - bulge * bulge) / (4.0 * bulge);
        let (nx, ny) = (-dy / chord, dx / chord);
        let centre = ((from.0 + to.0) / 2.0 + nx * rise, (from.1 + to.1) / 2.0 + ny * rise);
        let start = libm::atan2(from.1 - centre.1, from.0 - centre.0);
        Some(Arc { centre, radius, start, sweep })
    }
}

/// True where the line from `a` to `b` crosses the ray that leaves `at` towards +x.
fn crosses_right_of(at: (f64, f64), a: (f64, f64), b: (f64, f64)) -> bool {
    (a.1 <= at.1) != (b.1 <= at.1) && a.0 + (at.1 - a.1) / (b.1 - a.1) * (b.0 - a.0) > at.0
}

/// Radius and signed sweep of an arc with this chord and bulge; `None` for a straight line.
fn arc_of(chord: f64, bulge: f64) -> Option<(f64, f64)> {
    if bulge == 0.0 || chord == 0.0 {
        return None;
    }
    Some((chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs()), 4.0 * libm::atan(bulge)))
}

/// Signed area between a chord and its arc, positive where the arc bulges out of a counter-clockwise run.
fn circular_segment(chord: f64, bulge: f64) -> f64 {
    arc_of(chord, bulge).map_or(0.0, |(radius, sweep)| radius * radius * (sweep - libm::sin(sweep)) / 2.0)
}

/// The points where an arc reaches furthest left, right, up or down, where it does.
fn arc_reach(from: Vertex, to: Point) -> Vec<Point> {
    let Some(arc) = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) else { return Vec::new() };
    let quarter = std::f64::consts::FRAC_PI_2;
    let (low, high) =
        if arc.sweep > 0.0 { (arc.start, arc.start + arc.sweep) } else { (arc.start + arc.sweep, arc.start) };
    (-8..=8)
        .map(|k| f64::from(k) * quarter)
        .filter(|angle| *angle > low + 1e-12 && *angle < high - 1e-12)
        .map(|angle| {
            let x = arc.centre.0 + arc.radius * libm::cos(angle);
            let y = arc.centre.1 + arc.radius * libm::sin(angle);
            Point::new(Length::from_mm(x), Length::from_mm(y))
        })
        .collect()
}

fn include(all: &mut Extents, point: Point) {
    all.low = Point::new(all.low.x.min(point.x), all.low.y.min(point.y));
    all.high = Point::new(all.high.x.max(point.x), all.high.y.max(point.y));
}
