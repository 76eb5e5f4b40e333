//! From what is to be cut to the line that the collar or the bearing runs along. The middle of the bit keeps half a bit from
//! the finished line; the template keeps half a collar from where that middle can go. Between them lies the offset
//! `o = (collar − bit) / 2` (common practice): openings are cut larger by it all round, outside shapes smaller. A bearing is as
//! large as its bit, so there `o` is nothing.
//!
//! A round tool leaves inside corners with its own radius, and a collar rolls outside corners round by `o`. The first is
//! chosen (`corners`), the second would be a wrong part and is refused.

use crate::length::Length;
use crate::shape::along::Segment;
use crate::shape::cut::{OffsetFault, offset_whole, subtract, union};
use crate::shape::grow::is_simple;
use crate::shape::make::rounded_rectangle;
use crate::shape::{Arc, Outline, Plate, Point, Vertex};

/// A turn of less than this, in radians, is no corner: the grid turns a tangent line by less.
const SMOOTH: f64 = 1e-3;
/// Radii are compared to this, in mm: what the grid can shift an arc by.
const SAME_RADIUS: f64 = 5e-4;
/// How far a line of the template may lie from where it must be, in mm; more means that an offset went wrong.
const SOUND: f64 = 2e-3;

/// Diameters of the bit and of what follows the template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tool {
    pub bit: Length,
    /// The collar's outside; the bit's own diameter for a bearing.
    pub follower: Length,
}

impl Tool {
    /// Distance from the template's edge to the finished line.
    pub fn offset(self) -> Length {
        (self.follower - self.bit).half()
    }
}

/// Which side of a line is cut away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cuts {
    /// What the outline holds: an opening, a notch, a recess.
    Inside,
    /// What lies outside: the outline is the wood that stays.
    Outside,
}

/// What is cut, and which of its sides are lines of the finished part; the others run out into the air.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub outline: Outline,
    /// One for each segment of the outline.
    pub walls: Vec<bool>,
    pub cuts: Cuts,
}

impl Shape {
    /// A shape of which every side counts.
    pub fn whole(outline: Outline, cuts: Cuts) -> Shape {
        let walls = vec![true; outline.vertices().len()];
        Shape { outline, walls, cuts }
    }
}

/// A sharp inside corner of the finished part, which a bit leaves round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    pub at: Point,
    /// Unit direction of the bisector, from the corner into what is cut away.
    pub into: (f64, f64),
    /// Half of the angle of what is cut away there, radians.
    pub half_angle: f64,
}

/// Why a shape cannot be cut along a template.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trouble {
    /// The bit is larger than an inside radius.
    InsideRadius { at: Point, radius: f64 },
    /// What is cut is narrower than the bit somewhere; the largest bit that passes everywhere, where one does.
    Narrow { largest: Option<Length> },
    /// The collar rolls a sharp outside corner round by the offset.
    OutsideCorner { at: Point },
    /// An outside radius is smaller than the offset.
    OutsideRadius { at: Point, radius: f64 },
    /// The template would fall apart or vanish: the wood is narrower than the collar is larger than the bit. The largest collar
    /// that does.
    Frail { largest: Option<Length> },
    /// The offset did not come out true; nothing may be made from it.
    Unsound,
}

impl Trouble {
    /// The same trouble where places lie elsewhere.
    pub fn mapped(self, map: impl Fn(Point) -> Point) -> Trouble {
        match self {
            Trouble::InsideRadius { at, radius } => Trouble::InsideRadius { at: map(at), radius },
            Trouble::OutsideCorner { at } => Trouble::OutsideCorner { at: map(at) },
            Trouble::OutsideRadius { at, radius } => Trouble::OutsideRadius { at: map(at), radius },
            same @ (Trouble::Narrow { .. } | Trouble::Frail { .. } | Trouble::Unsound) => same,
        }
    }
}

/// The line that the collar or bearing follows, and the inside corners that stay round. `step` is what bits and collars are
/// told apart by where a smaller one is looked for.
///
/// # Errors
/// See [`Trouble`].
pub fn follow(shape: &Shape, tool: Tool, step: Length) -> Result<(Outline, Vec<Corner>), Trouble> {
    let corners = corners(shape, tool)?;
    let line = match shape.cuts {
        Cuts::Inside => window(&shape.outline, tool, step)?,
        Cuts::Outside => pattern(&shape.outline, tool, step)?,
    };
    Ok((line, corners))
}

/// The template's line with every corner relieved: the bit runs on along the bisector until its edge reaches the true corner,
/// its middle then half a bit from it (common geometry), and the template gives way to the collar there.
pub fn relieved(line: &Outline, corners: &[Corner], tool: Tool, cuts: Cuts) -> Option<Outline> {
    let mut line = line.clone();
    for corner in corners {
        let bone = bone(corner, tool)?;
        line = match cuts {
            Cuts::Inside => {
                let mut plates = union(&[line, bone]).ok()?;
                let only = plates.pop()?;
                (plates.is_empty() && only.inside.is_empty()).then_some(only.outline)?
            }
            Cuts::Outside => {
                let mut plates = subtract(&Plate::whole(line), &bone).ok()?;
                let only = plates.pop()?;
                (plates.is_empty() && only.inside.is_empty()).then_some(only.outline)?
            }
        };
    }
    Some(line)
}

/// Where the middle of the bit stands when its edge touches the true corner.
pub fn relief_centre(corner: &Corner, bit: Length) -> (f64, f64) {
    let (at, reach) = (corner.at.to_mm(), bit.to_mm() / 2.0);
    (at.0 + corner.into.0 * reach, at.1 + corner.into.1 * reach)
}

/// What the collar takes between the middle of the bit in the plain corner and in the relieved one.
fn bone(corner: &Corner, tool: Tool) -> Option<Outline> {
    let radius = tool.follower.to_mm() / 2.0;
    let end = relief_centre(corner, tool.bit);
    let reach = tool.bit.to_mm() / 2.0 / libm::sin(corner.half_angle).max(1e-6);
    let at = corner.at.to_mm();
    let start = (at.0 + corner.into.0 * reach, at.1 + corner.into.1 * reach);
    let (nx, ny) = (-corner.into.1 * radius, corner.into.0 * radius);
    let point = |x: f64, y: f64| Point::new(Length::from_mm(x), Length::from_mm(y));
    let vertices = vec![
        Vertex { at: point(end.0 - nx, end.1 - ny), bulge: 0.0 },
        Vertex { at: point(start.0 - nx, start.1 - ny), bulge: 1.0 },
        Vertex { at: point(start.0 + nx, start.1 + ny), bulge: 0.0 },
        Vertex { at: point(end.0 + nx, end.1 + ny), bulge: 1.0 },
    ];
    Outline::new(vertices).ok()
}

/// The opening of a template.
fn window(hole: &Outline, tool: Tool, step: Length) -> Result<Outline, Trouble> {
    let (radius, offset) = (tool.follower.half(), tool.offset());
    if hole.is_rectangle() {
        // A slot just as wide as the bit leaves the bit's middle a line only, which no offset gives.
        let around = hole.extents();
        let least = around.width().min(around.height());
        if least < tool.bit {
            return Err(Trouble::Narrow { largest: Some(least) });
        }
        let low = Point::new(around.low.x - offset, around.low.y - offset);
        let high = Point::new(around.high.x + offset, around.high.y + offset);
        return rounded_rectangle(low, high, radius).map_err(|_| Trouble::Unsound);
    }
    let fits = |bit: Length| offset_whole(hole, -bit.half()).ok();
    let Some(path) = fits(tool.bit) else {
        return Err(Trouble::Narrow { largest: largest(tool.bit, step, |bit| fits(bit).is_some()) });
    };
    let line = offset_whole(&path, radius).map_err(|_| Trouble::Unsound)?;
    if is_sound(&line, &path, radius.to_mm()) { Ok(line) } else { Err(Trouble::Unsound) }
}

/// The outside of a template.
fn pattern(wood: &Outline, tool: Tool, step: Length) -> Result<Outline, Trouble> {
    let path = match offset_whole(wood, tool.bit.half()) {
        Ok(path) => path,
        Err(OffsetFault::Vanishes | OffsetFault::Unsound) => return Err(Trouble::Unsound),
        Err(OffsetFault::Splits { .. }) => {
            let fits = |bit: Length| offset_whole(wood, bit.half()).is_ok();
            return Err(Trouble::Narrow { largest: largest(tool.bit, step, fits) });
        }
    };
    let line = |follower: Length| offset_whole(&path, -follower.half()).ok();
    let Some(found) = line(tool.follower) else {
        let fits = |follower: Length| follower >= tool.bit && line(follower).is_some();
        return Err(Trouble::Frail { largest: largest(tool.follower, step, fits) });
    };
    if is_sound(&found, &path, tool.follower.to_mm() / 2.0) { Ok(found) } else { Err(Trouble::Unsound) }
}

/// The largest whole multiple of a step, below `than`, that fits.
fn largest(than: Length, step: Length, fits: impl Fn(Length) -> bool) -> Option<Length> {
    let most = (than.units() - 1).div_euclid(step.units().max(1)).min(400);
    (1..=most).rev().map(|count| step * count).find(|tried| fits(*tried))
}

/// Sharp inside corners between two walls.
///
/// # Errors
/// For radii that the tool cannot follow, and sharp outside corners that a collar would roll round.
fn corners(shape: &Shape, tool: Tool) -> Result<Vec<Corner>, Trouble> {
    let segments: Vec<(Vertex, Point)> = shape.outline.segments().collect();
    let count = segments.len();
    let wall = |index: usize| shape.walls.get(index).copied().unwrap_or(true);
    // Positive where the line turns round what is cut away.
    let inside = if shape.cuts == Cuts::Inside { 1.0 } else { -1.0 };
    let (bit, offset) = (tool.bit.to_mm() / 2.0, tool.offset().to_mm());
    let mut found = Vec::new();
    for (index, (from, to)) in segments.iter().enumerate() {
        if !wall(index) {
            continue;
        }
        if let Some(arc) = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) {
            let middle = arc.at(0.5);
            let at = Point::new(Length::from_mm(middle.0), Length::from_mm(middle.1));
            let turns_in = from.bulge * inside > 0.0;
            if turns_in && arc.radius < bit - SAME_RADIUS {
                return Err(Trouble::InsideRadius { at, radius: arc.radius });
            }
            if !turns_in && arc.radius < offset - SAME_RADIUS {
                return Err(Trouble::OutsideRadius { at, radius: arc.radius });
            }
        }
        let next = (index + 1) % count;
        if !wall(next) {
            continue;
        }
        let (arrive, leave) = (Segment::of(segments[index]).way(1.0), Segment::of(segments[next]).way(0.0));
        let turn =
            libm::atan2(arrive.0 * leave.1 - arrive.1 * leave.0, arrive.0 * leave.0 + arrive.1 * leave.1)
                * inside;
        if turn > SMOOTH {
            // Out of the corner: against the way in and along the way out.
            let (x, y) = (leave.0 - arrive.0, leave.1 - arrive.1);
            let size = libm::hypot(x, y).max(1e-12);
            let half_angle = (std::f64::consts::PI - turn) / 2.0;
            found.push(Corner { at: *to, into: (x / size, y / size), half_angle });
        } else if turn < -SMOOTH && tool.offset().is_positive() {
            return Err(Trouble::OutsideCorner { at: *to });
        }
    }
    Ok(found)
}

/// An offset is not taken on trust: corners and middles of the template's line keep the follower's radius from the path of its
/// middle, the path keeps it from the line, and the line does not touch itself.
fn is_sound(line: &Outline, path: &Outline, radius: f64) -> bool {
    let true_distance = |at: (f64, f64)| (path.distance_mm(at) - radius).abs() < SOUND;
    let clear = |at: (f64, f64)| line.distance_mm(at) > radius - SOUND;
    is_simple(line) && samples(line).into_iter().all(true_distance) && samples(path).into_iter().all(clear)
}

/// Start and middle of every segment.
fn samples(outline: &Outline) -> Vec<(f64, f64)> {
    outline.segments().flat_map(|(from, to)| [from.at.to_mm(), Segment::of((from, to)).middle()]).collect()
}
