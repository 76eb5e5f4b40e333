//! The template round its guiding line: room for the router's base and for clamps, fences or pins on the part's datum edges, and
//! lines to be held to lines on the part where an edge is too far.

use super::find::Feature;
use super::guide::{Corner, Shape, Tool};
use super::{Bears, Fence, Kind, Mark, Pin, Use};
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
        let outlines = seen_outlines(made, feature, face);
        fences.iter().flat_map(|fence| pins(fence, window, &bearing_on(fence, &outlines), units)).collect()
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

/// The outlines of the parts that a template serves, as each lies under it; turned over or not.
fn seen_outlines(made: &Made, feature: &Feature, face: Face) -> Vec<Outline> {
    let middle = |extents: Extents| {
        let Extents { low, high } = extents;
        Point::new((low.x + high.x).half(), (low.y + high.y).half())
    };
    let here = middle(feature.bare);
    let seen = |one: &Use| {
        let part = made.parts.get(one.part.0)?;
        let there = middle(one.at);
        let is_back = face == Face::Back;
        // Turns are told in the part's own coordinates: from the back they run the other way.
        let back = if is_back { one.turns % 4 } else { (4 - one.turns % 4) % 4 };
        let map = |p: Point| {
            let (mut x, mut y) = (p.x - there.x, p.y - there.y);
            if is_back {
                x = -x;
            }
            for _ in 0..back {
                (x, y) = (-y, x);
            }
            if one.mirrored {
                x = -x;
            }
            Point::new(here.x + x, here.y + y)
        };
        Some(part.outline.mapped(map, is_back != one.mirrored))
    };
    feature.uses.iter().filter_map(seen).collect()
}

/// Stretches of a fence's edge on which every one of some outlines has a straight side: what is cut away there bears nothing.
pub fn bearing_on(fence: &Fence, outlines: &[Outline]) -> Vec<(Length, Length)> {
    let axis = usize::from(fence.from.x != fence.to.x);
    let (edge, _) = ends(Extents { low: fence.from, high: fence.to }, axis);
    let split = |p: Point| if axis == 0 { (p.x, p.y) } else { (p.y, p.x) };
    let on_edge = |outline: &Outline| -> Vec<(Length, Length)> {
        let straight = outline.segments().filter(|(from, _)| from.bulge == 0.0);
        let sides = straight.map(|(from, to)| (split(from.at), split(to)));
        sides
            .filter(|(a, b)| (a.0 - edge).abs() <= Length::TOUCH && (b.0 - edge).abs() <= Length::TOUCH)
            .map(|(a, b)| (a.1.min(b.1), a.1.max(b.1)))
            .collect()
    };
    let mut all: Option<Vec<(Length, Length)>> = None;
    for outline in outlines {
        let own = on_edge(outline);
        all = Some(match all {
            None => own,
            Some(known) => {
                let shared = known.iter().flat_map(|a| own.iter().map(|b| (a.0.max(b.0), a.1.min(b.1))));
                shared.filter(|(low, high)| low < high).collect()
            }
        });
    }
    let mut all = all.unwrap_or_default();
    all.sort_unstable();
    all
}

/// Two pins in place of a fence, clear of the window and each with its whole thickness beside wood: as far apart as the
/// stretches that bear allow, one on each side of the window where there is room.
pub fn pins(fence: &Fence, window: Extents, bearing: &[(Length, Length)], units: Units) -> Vec<Pin> {
    let axis = usize::from(fence.from.x != fence.to.x);
    let diameter = pin_diameter(units);
    let (start, end) = ends(fence.area, 1 - axis);
    let (edge, _) = ends(Extents { low: fence.from, high: fence.to }, axis);
    let (low, high) = ends(fence.area, axis);
    // Outside the part: its edge touches the pins.
    let across = if low < edge { edge - diameter.half() } else { edge + diameter.half() };
    let in_way = ends(window, axis).0 < high && ends(window, axis).1 > low;
    let (from, to) = ends(window, 1 - axis);
    let room = bearing.iter().flat_map(|(first, last)| {
        let whole = ((*first).max(start) + diameter, (*last).min(end) - diameter);
        if in_way {
            vec![(whole.0, whole.1.min(from - diameter)), (whole.0.max(to + diameter), whole.1)]
        } else {
            vec![whole]
        }
    });
    let room: Vec<(Length, Length)> = room.filter(|(first, last)| first <= last).collect();
    let along = match room[..] {
        [] => Vec::new(),
        // No room for two side by side.
        [(first, last)] if last - first < diameter * 2 => vec![(first + last).half()],
        [(first, last)] => {
            let sixth = Length::from_units((last - first).units() / 6);
            vec![first + sixth, last - sixth]
        }
        [first, .., last] => vec![(first.0 + first.1).half(), (last.0 + last.1).half()],
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
