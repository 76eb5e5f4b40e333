//! The template round its guiding line: room for the router's base and for clamps, fences or pins on the part's datum edges, and
//! lines to be held to lines on the part where an edge is too far.

use super::find::Feature;
use super::guide::{Corner, Shape, Tool};
use super::{Bears, Fence, Kind, Mark, Pin};
use crate::length::{Length, Units};
use crate::parts::Made;
use crate::shape::{Extents, Outline, Point};
use crate::trade::Face;
use crate::values::RouterAsked;

/// A usual size of the trade in the job's own unit, so that blanks, fences and pins come out in sizes of its rules.
pub const fn usual(units: Units, inch_32nds: i64, tenths_of_mm: i64) -> Length {
    match units {
        Units::Inch => Length::from_units(63_500 * inch_32nds),
        Units::Millimetre => Length::from_units(8_000 * tenths_of_mm),
    }
}

/// Width of a fence, and what reference edges get besides: 3/4 in or 20 mm (common practice).
pub const fn fence_width(units: Units) -> Length {
    usual(units, 24, 200)
}

/// A datum edge further away than this is found by lines: 16 in or 400 mm.
const fn far(units: Units) -> Length {
    usual(units, 512, 4000)
}

/// The opposite edge of a part carries a fence where a template comes this near to it: 4 in or 100 mm.
pub const fn near(units: Units) -> Length {
    usual(units, 128, 1000)
}

/// Pins are dowels: 1/4 in or 6 mm.
const fn pin_diameter(units: Units) -> Length {
    usual(units, 8, 60)
}

/// How far a bit goes on past the wood, into the air or the board below: 1/16 in or 1.5 mm (common practice).
pub const fn past(units: Units) -> Length {
    usual(units, 2, 15)
}

/// What a router needs round the guiding line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reach {
    /// From the guiding line to the edge of the blank: what the base takes when the follower touches the line, and the clamps.
    pub margin: Length,
    /// Past the ends of an edge: room for the follower to start and for a fence.
    pub lead: Length,
    /// Sizes of the blank are whole multiples of it, where they can be.
    pub step: Length,
}

impl Reach {
    pub fn of(made: &Made, asked: &RouterAsked, tool: Tool) -> Reach {
        let base = made.job.full_size.routers.base.half() - tool.follower.half();
        let step = match made.job.units {
            Units::Inch => Length::from_units(Length::INCH.units() / 8),
            Units::Millimetre => Length::MM * 5,
        };
        let up = |length: Length| up_to(length, step);
        Reach {
            margin: up(base.max(Length::ZERO) + asked.clamp),
            lead: up(fence_width(made.job.units) + tool.follower.half()),
            step,
        }
    }
}

/// The next whole multiple of a step.
fn up_to(length: Length, step: Length) -> Length {
    Length::from_units((length.units() + step.units() - 1).div_euclid(step.units()) * step.units())
}

/// A template without what is said about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    pub blank: Outline,
    pub window: Option<Outline>,
    pub corners: Vec<Corner>,
    pub edges: Vec<(Point, Point)>,
    pub fences: Vec<Fence>,
    pub pins: Vec<Pin>,
    pub lines: Vec<Mark>,
    pub turned_over: bool,
    /// Where it is another than the feature's.
    pub work: Option<Shape>,
}

impl Body {
    /// A template that is its guiding line and lies within the part.
    pub fn plain(line: Outline, corners: Vec<Corner>) -> Body {
        Body {
            blank: line,
            window: None,
            corners,
            edges: Vec::new(),
            fences: Vec::new(),
            pins: Vec::new(),
            lines: Vec::new(),
            turned_over: false,
            work: None,
        }
    }
}

/// Low and high of an axis of a rectangle.
fn ends(extents: Extents, axis: usize) -> (Length, Length) {
    if axis == 0 { (extents.low.x, extents.high.x) } else { (extents.low.y, extents.high.y) }
}

fn point(axis: usize, along: Length, across: Length) -> Point {
    if axis == 0 { Point::new(along, across) } else { Point::new(across, along) }
}

/// The blank round a window.
pub fn round_window(
    made: &Made,
    feature: &Feature,
    line: Outline,
    corners: Vec<Corner>,
    reach: &Reach,
    face: Face,
) -> Body {
    let units = made.job.units;
    let fence_wide = fence_width(units);
    let window = line.extents();
    // Where a fence bears, for each axis: a side (low or high) and the coordinate of its edge.
    let mut bearing: Vec<(usize, bool, Length)> = Vec::new();
    let mut low = [Length::ZERO; 2];
    let mut high = [Length::ZERO; 2];
    for axis in [0, 1] {
        let (from, to) = ends(window, axis);
        let bare = ends(feature.bare, axis);
        let mouth = |sign: i64| feature.mouths.contains(&if axis == 0 { (sign, 0) } else { (0, sign) });
        low[axis] = if mouth(-1) { from - fence_wide } else { from - reach.margin };
        high[axis] = if mouth(1) { to + fence_wide } else { to + reach.margin };
        match feature.datum {
            None => {
                // A notch bears on the edges that it breaks.
                for (sign, edge) in [(-1, bare.0), (1, bare.1)] {
                    if mouth(sign) {
                        bearing.push((axis, sign > 0, edge));
                    }
                }
            }
            Some(datum) => {
                let edge = if axis == 0 { datum.x } else { datum.y };
                let is_high = edge >= bare.1;
                let apart = if is_high { edge - to } else { from - edge };
                if apart <= far(units) {
                    if is_high {
                        high[axis] = high[axis].max(edge + fence_wide);
                    } else {
                        low[axis] = low[axis].min(edge - fence_wide);
                    }
                    bearing.push((axis, is_high, edge));
                }
            }
        }
    }
    for axis in [0, 1] {
        // A blank of whole steps, the rest on a side where nothing bears.
        let bears = |is_high: bool| bearing.iter().any(|(one, high, _)| *one == axis && *high == is_high);
        let size = high[axis] - low[axis];
        let rest = up_to(size, reach.step) - size;
        if !bears(true) {
            high[axis] += rest;
        } else if !bears(false) {
            low[axis] -= rest;
        }
    }
    let around = Extents { low: Point::new(low[0], low[1]), high: Point::new(high[0], high[1]) };
    let turned_over = feature.uses.iter().any(|one| one.mirrored);
    let fences: Vec<Fence> =
        bearing.iter().map(|(axis, is_high, edge)| fence(around, *axis, *is_high, *edge)).collect();
    let pins = if turned_over {
        let wood = wood_around(made, feature, face);
        fences.iter().flat_map(|fence| pins(fence, window, wood, units)).collect()
    } else {
        Vec::new()
    };
    let fenced = [0, 1].map(|axis| bearing.iter().any(|(one, ..)| *one == axis));
    Body {
        blank: Outline::rectangle(around.low, around.high).unwrap_or_else(|| line.clone()),
        window: Some(line),
        corners,
        edges: fences.iter().map(|fence| (fence.from, fence.to)).collect(),
        fences: if turned_over { Vec::new() } else { fences },
        pins,
        lines: lines(feature, around, fenced),
        turned_over,
        work: None,
    }
}

/// A fence from the edge of the part to the edge of the blank.
pub fn fence(blank: Extents, axis: usize, is_high: bool, edge: Length) -> Fence {
    let (low, high) = ends(blank, axis);
    let (from, to) = if is_high { (edge, high) } else { (low, edge) };
    let (start, end) = ends(blank, 1 - axis);
    Fence {
        area: Extents { low: point(axis, from, start), high: point(axis, to, end) },
        from: point(axis, edge, start),
        to: point(axis, edge, end),
        bears_on: match (axis, is_high) {
            (0, false) => "left",
            (0, true) => "right",
            (_, false) => "bottom",
            (_, true) => "top",
        },
    }
}

/// The part as seen under the template, at whichever of its places there is least of it on each side of the cut.
fn wood_around(made: &Made, feature: &Feature, face: Face) -> Extents {
    // To the right, up, to the left, down.
    let mut least: Option<[Length; 4]> = None;
    for one in feature.uses.iter().filter(|one| !one.mirrored || one.turns == 0) {
        let Some(part) = made.parts.get(one.part.0) else { continue };
        let (low, high) = (one.at.low, one.at.high);
        let mut room = [part.width - high.x, part.height - high.y, low.x, low.y];
        if (face == Face::Back) != one.mirrored {
            room.swap(0, 2);
        }
        room.rotate_left(usize::from(one.turns % 4));
        least = Some(least.map_or(room, |known| [0, 1, 2, 3].map(|i| known[i].min(room[i]))));
    }
    let [right, up, left, down] = least.unwrap_or_default();
    let Extents { low, high } = feature.bare;
    Extents { low: Point::new(low.x - left, low.y - down), high: Point::new(high.x + right, high.y + up) }
}

/// Two pins in place of a fence, clear of the window and where there is wood that they bear on: one on each side of the window
/// where there is room for both, else both on the side that has more.
pub fn pins(fence: &Fence, window: Extents, wood: Extents, units: Units) -> Vec<Pin> {
    let axis = usize::from(fence.from.x != fence.to.x);
    let diameter = pin_diameter(units);
    let half = diameter.half();
    let (start, end) = ends(fence.area, 1 - axis);
    let (edge, _) = ends(Extents { low: fence.from, high: fence.to }, axis);
    let (low, high) = ends(fence.area, axis);
    // Outside the part: its edge touches the pins.
    let across = if low < edge { edge - half } else { edge + half };
    // A pin stands with its whole thickness within the blank and beside wood.
    let (first, last) = ends(wood, 1 - axis);
    let (first, last) = (start.max(first) + diameter, end.min(last) - diameter);
    let in_way = ends(window, axis).0 < high && ends(window, axis).1 > low;
    let (from, to) = ends(window, 1 - axis);
    let (before, after) = if in_way {
        ((first, last.min(from - diameter)), (first.max(to + diameter), last))
    } else {
        ((first, last), (last, first))
    };
    let size = |(a, b): (Length, Length)| b - a;
    let middle = |(a, b): (Length, Length)| Length::from_units((a + b).units() / 2);
    let along = if size(before) >= Length::ZERO && size(after) >= Length::ZERO {
        [middle(before), middle(after)]
    } else {
        let (a, b) = if size(before) >= size(after) { before } else { after };
        let sixth = Length::from_units((b - a).units().max(0) / 6);
        [a + sixth, (b - sixth).max(a)]
    };
    along
        .into_iter()
        .map(|along| Pin { at: point(axis, across, along), diameter, bears: Bears::Edge(fence.bears_on) })
        .collect()
}

/// Lines where nothing bears: the middle of what is cut, and the shoulders of a notch.
fn lines(feature: &Feature, blank: Extents, fenced: [bool; 2]) -> Vec<Mark> {
    let mut all = Vec::new();
    for axis in [0, 1] {
        if fenced[axis] {
            continue;
        }
        let (low, high) = ends(feature.bare, axis);
        let (start, end) = ends(blank, 1 - axis);
        let datum = feature.datum.map(|datum| if axis == 0 { datum.x } else { datum.y });
        let mut add = |at: Length, says: &'static str| {
            all.push(Mark {
                from: point(axis, at, start),
                to: point(axis, at, end),
                says,
                datum: datum.map(|datum| (at - datum).abs()),
            });
        };
        add(Length::from_units((low + high).units() / 2), "centre");
        if feature.kind == Kind::Notch {
            add(low, "shoulder");
            add(high, "shoulder");
        }
    }
    all
}
