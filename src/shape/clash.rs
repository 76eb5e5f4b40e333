//! The proof that two solids share no space: both are sliced where they may meet, and the slices compared by a polygon
//! engine that had no part in making the cuts. Exact for straight square work; along curves and slopes it samples.

use crate::length::{Interval, Length};
use crate::shape::polygons::{Contour, Corner, contours, shared, size, wider_than, without};
use crate::shape::section::Pieces;
use crate::shape::slab::Loop;
use crate::shape::solid::{Profile, Solid, across};
use crate::shape::{Arc, Outline, Vertex};
use crate::trade::{Axis, Position};

/// Space that two solids both claim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// The box round all of it, in the room.
    pub low: Position,
    pub high: Position,
    pub volume_mm3: f64,
}

/// Chords of arcs stay this close to them, in mm: a fifth of [`Length::TOUCH`], so that an arc against its own slot is no clash.
const CHORD: f64 = 0.0005;

/// Samples in a stretch along which a section changes: place and weight of Gauss's rule with five points (Abramowitz and
/// Stegun, Handbook of Mathematical Functions, table 25.4), with both ends looked at besides.
const SAMPLES: [(f64, f64); 7] = [
    (0.0, 0.0),
    (0.046_910_077_030_668, 0.118_463_442_528_095),
    (0.230_765_344_947_158, 0.239_314_335_249_683),
    (0.5, 0.284_444_444_444_444),
    (0.769_234_655_052_842, 0.239_314_335_249_683),
    (0.953_089_922_969_332, 0.118_463_442_528_095),
    (1.0, 0.0),
];

/// The space two solids share; `None` where they are apart or only touch (closer than [`Length::TOUCH`] everywhere).
/// Drilled holes are not taken off: a board has no business in another's screw hole.
pub fn shared_volume(one: &Solid, other: &Solid) -> Option<Clash> {
    let (a, b) = (one.extents(), other.extents());
    let mut shared = [a[0]; 3];
    for axis in 0..3 {
        shared[axis] = a[axis].shared(b[axis]).filter(|both| both.size() > Length::TOUCH)?;
    }
    let (axis, stretches) = Axis::ALL
        .into_iter()
        .map(|axis| (axis, stretches(one, other, axis, shared[axis.index()])))
        .min_by_key(|(_, stretches)| {
            stretches.iter().map(|s| if s.changing { 8 } else { 1 }).sum::<usize>()
        })?;
    let mut clash: Option<Clash> = None;
    for stretch in stretches {
        if stretch.along.size() <= Length::TOUCH {
            continue;
        }
        let samples: &[(f64, f64)] = if stretch.changing { &SAMPLES } else { &[(0.5, 1.0)] };
        for (place, weight) in samples {
            // Just inside the ends: on them the section may belong to the neighbour.
            let inner = stretch.along.size() - Length::from_units(2);
            let at = stretch.along.low + Length::from_units(1) + Length::from_mm(inner.to_mm() * place);
            let Some(slice) = slice(one, other, axis, at) else { continue };
            let reach = match (stretch.changing, *place) {
                (false, _) => stretch.along,
                (true, 0.0) => Interval { low: stretch.along.low, high: at },
                (true, 1.0) => Interval { low: at, high: stretch.along.high },
                (true, _) => Interval { low: at, high: at },
            };
            let volume = slice.area_mm2 * stretch.along.size().to_mm() * weight;
            add(&mut clash, axis, reach, &slice, volume);
        }
    }
    clash
}

fn add(clash: &mut Option<Clash>, axis: Axis, reach: Interval, slice: &Slice, volume: f64) {
    let [first, second] = across(axis);
    let (mut low, mut high) = ([reach.low; 3], [reach.high; 3]);
    (low[first.index()], high[first.index()]) = (slice.x.low, slice.x.high);
    (low[second.index()], high[second.index()]) = (slice.y.low, slice.y.high);
    match clash {
        None => *clash = Some(Clash { low, high, volume_mm3: volume }),
        Some(all) => {
            for axis in 0..3 {
                all.low[axis] = all.low[axis].min(low[axis]);
                all.high[axis] = all.high[axis].max(high[axis]);
            }
            all.volume_mm3 += volume;
        }
    }
}

/// Part of an axis along which neither section steps.
struct Stretch {
    along: Interval,
    /// True where a slope or a curve makes a section change all the same.
    changing: bool,
}

fn stretches(one: &Solid, other: &Solid, axis: Axis, within: Interval) -> Vec<Stretch> {
    let mut stops = vec![within.low, within.high];
    let mut changing = Vec::new();
    for solid in [one, other] {
        changes(solid, axis, &mut stops, &mut changing);
    }
    stops.retain(|stop| within.contains(*stop));
    stops.sort_unstable();
    stops.dedup();
    stops
        .windows(2)
        .map(|pair| {
            let along = Interval { low: pair[0], high: pair[1] };
            Stretch { along, changing: changing.iter().any(|part| part.shared(along).is_some()) }
        })
        .collect()
}

/// Positions along an axis at which a solid's section steps, and the parts in which it changes.
fn changes(solid: &Solid, axis: Axis, stops: &mut Vec<Length>, changing: &mut Vec<Interval>) {
    let frame = solid.frame;
    if axis == solid.normal() {
        let room = |depth: Length| solid.room(frame.into, depth);
        stops.extend([room(Length::ZERO), room(solid.thick)]);
        for recess in &solid.pockets {
            let depths = recess.depths(solid.thick);
            stops.extend([room(depths.low), room(depths.high)]);
        }
        for edge in &solid.edges {
            for (face, level) in edge.faces().zip(edge.levels(solid.thick)) {
                stops.push(room(level));
                if !matches!(edge.profile, Profile::Rebate { .. }) {
                    let from = if face == crate::trade::Face::Show { Length::ZERO } else { solid.thick };
                    changing.push(Interval::between(room(from), room(level)));
                }
            }
        }
        return;
    }
    let side = if frame.u.axis() == axis { frame.u } else { frame.v };
    let along_u = side == frame.u;
    let part = |point: crate::shape::Point| solid.room(side, if along_u { point.x } else { point.y });
    let mut follow = |outline: &Outline| {
        for (from, to) in outline.segments() {
            let (a, b) = (part(from.at), part(to));
            stops.push(a);
            let straight = from.bulge == 0.0;
            if !straight || (a != b && from.at.x != to.x && from.at.y != to.y) {
                let reach = reach(from, to);
                let (low, high) = if along_u { (reach[0], reach[1]) } else { (reach[2], reach[3]) };
                let along = Interval::between(solid.room(side, low), solid.room(side, high));
                stops.extend([along.low, along.high]);
                changing.push(along);
            }
        }
    };
    follow(&solid.outline);
    solid.inside.iter().for_each(&mut follow);
    solid.pockets.iter().for_each(|recess| follow(&recess.outline));
    for (outline, opening) in
        std::iter::once((&solid.outline, false)).chain(solid.inside.iter().map(|o| (o, true)))
    {
        let line = Loop::of(outline, &solid.edges, opening);
        if !line.is_worked() {
            continue;
        }
        let deepest: Vec<Length> = line
            .worked
            .iter()
            .map(|edges| edges.iter().filter_map(|e| solid.edges.get(*e)).map(|e| e.profile.reach_in()).max())
            .map(Option::unwrap_or_default)
            .collect();
        for strip in line.strips(&deepest) {
            let around = strip.extents();
            let along = Interval::between(part(around.low), part(around.high));
            stops.extend([along.low, along.high]);
        }
        for (index, (from, to)) in line.outline.segments().enumerate() {
            let curved =
                |e: &usize| solid.edges.get(*e).is_some_and(|e| !matches!(e.profile, Profile::Rebate { .. }));
            if part(from.at) == part(to) && line.worked[index].iter().any(curved) {
                let inset = if opening { Length::ZERO - deepest[index] } else { deepest[index] };
                let here = part(from.at);
                changing.push(Interval::between(here - inset.abs(), here + inset.abs()));
            }
        }
    }
}

/// Lowest and highest x, lowest and highest y of a segment.
fn reach(from: Vertex, to: crate::shape::Point) -> [Length; 4] {
    let mut x = [from.at.x.min(to.x), from.at.x.max(to.x)];
    let mut y = [from.at.y.min(to.y), from.at.y.max(to.y)];
    if let Some(arc) = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) {
        let end = arc.start + arc.sweep;
        let (low, high) = (arc.start.min(end), arc.start.max(end));
        for quarter in -8..=8 {
            let angle = f64::from(quarter) * std::f64::consts::FRAC_PI_2;
            if angle > low && angle < high {
                let at_x = Length::from_mm(arc.centre.0 + arc.radius * libm::cos(angle));
                let at_y = Length::from_mm(arc.centre.1 + arc.radius * libm::sin(angle));
                x = [x[0].min(at_x), x[1].max(at_x)];
                y = [y[0].min(at_y), y[1].max(at_y)];
            }
        }
    }
    [x[0], x[1], y[0], y[1]]
}

/// What two sections share.
struct Slice {
    area_mm2: f64,
    x: Interval,
    y: Interval,
}

fn slice(one: &Solid, other: &Solid, axis: Axis, at: Length) -> Option<Slice> {
    let (a, b) = (Pieces::of(one, axis, at), Pieces::of(other, axis, at));
    if a.wood.is_empty() || b.wood.is_empty() {
        return None;
    }
    let wide = Length::TOUCH.to_mm();
    let both = shared(&contours(&a.wood, CHORD), &contours(&b.wood, CHORD));
    if !both.iter().any(|shape| wider_than(shape, wide)) {
        return None;
    }
    let taken: Vec<Contour> =
        contours(&a.taken, CHORD).into_iter().chain(contours(&b.taken, CHORD)).collect();
    let left = if taken.is_empty() { both } else { without(&both.into_iter().flatten().collect(), &taken) };
    let mut found: Option<Slice> = None;
    for shape in left.iter().filter(|shape| wider_than(shape, wide)) {
        let points = || shape.iter().flatten();
        let range = |part: fn(&Corner) -> i64| {
            let low = points().map(part).min().unwrap_or_default();
            let high = points().map(part).max().unwrap_or_default();
            Interval { low: Length::from_units(low), high: Length::from_units(high) }
        };
        let (x, y) = (range(|p| p.x), range(|p| p.y));
        let area_mm2 = size(shape).0;
        found = Some(match found {
            None => Slice { area_mm2, x, y },
            Some(all) => Slice {
                area_mm2: all.area_mm2 + area_mm2,
                x: Interval { low: all.x.low.min(x.low), high: all.x.high.max(x.high) },
                y: Interval { low: all.y.low.min(y.low), high: all.y.high.max(y.high) },
            },
        });
    }
    found
}
