//! A drawing back into a part: the lines as drawn and the figures as printed, nothing else. If this fails, or gives
//! another shape than the part, the drawing is incomplete. Knows nothing of the planner.

use std::collections::BTreeMap;

use super::drawn::*;
use crate::boards::{Arris, Profile, Slot, SlotWay};
use crate::length::Length;
use crate::parts::Part;
use crate::shape::{Arc, NotAnOutline, Outline, Point, Vertex};
use crate::trade::{Face, Units};

/// What is read off the drawing: exact sizes, or the figures as a worker reads them on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    Exact,
    Printed(Units),
}

/// A part as far as its drawing tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Rebuilt {
    pub thick: Length,
    pub outline: Outline,
    pub inside: Vec<Outline>,
    pub recesses: Vec<(Outline, Length, Face)>,
    pub holes: Vec<RebuiltHole>,
    pub bores: Vec<RebuiltBore>,
    pub edges: Vec<RebuiltEdge>,
    /// from, to, run, longer face
    pub bevels: Vec<(Point, Point, Length, Face)>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct RebuiltHole {
    pub at: Point,
    pub diameter: Length,
    pub depth: Option<Length>,
    pub from: Face,
    pub countersink: Option<Length>,
    pub slot: Option<Slot>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct RebuiltBore {
    pub at: Point,
    pub leaves: Point,
    pub leaves_depth: Length,
    pub from: Face,
    pub diameter: Length,
    pub degrees: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct RebuiltEdge {
    pub from: Point,
    pub to: Point,
    pub profile: Option<(Profile, Arris)>,
    pub scribe: Length,
}

/// What stops a reader of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Gap {
    /// No dimension gives this.
    Missing(What),
    /// A figure that cannot be read.
    Unreadable(What, String),
    /// The dimensions make no outline.
    NoOutline(NotAnOutline),
    /// The view has no outline at all.
    NoView,
}

/// The part that the drawing describes, or the first thing that it leaves open.
pub fn rebuild(drawn: &Drawn, dimensions: &[PlannedDimension], from: From) -> Result<Rebuilt, Gap> {
    let mut sizes = BTreeMap::new();
    for dimension in dimensions {
        let value = match (from, dimension.size) {
            (From::Exact, Size::Length(length)) => length.to_mm(),
            (From::Exact, Size::Angle(degrees)) => degrees,
            (From::Printed(units), size) => {
                let unit =
                    if matches!(size, Size::Angle(_)) || units == Units::Millimetre { 1.0 } else { 25.4 };
                figure(&dimension.printed)
                    .ok_or_else(|| Gap::Unreadable(dimension.what, dimension.printed.clone()))?
                    * unit
            }
        };
        sizes.insert(dimension.what, value);
    }
    Reader { sizes }.part(drawn)
}

/// Dimensions that say nothing new: the drawing is as complete without them. There must be none.
pub fn given_twice(plan: &Plan) -> Vec<What> {
    let mut repeated = Vec::new();
    for (i, dimension) in plan.dimensions.iter().enumerate() {
        let mut others = plan.dimensions.clone();
        others.remove(i);
        if rebuild(&plan.drawn, &others, From::Exact).is_ok() {
            repeated.push(dimension.what);
        }
    }
    repeated
}

/// Where the rebuilt part differs from the part by more than `tolerance` millimetres; empty where the drawing is whole.
pub fn differences(part: &Part, rebuilt: &Rebuilt, tolerance: f64) -> Vec<String> {
    let mut all = Vec::new();
    let mut check = |same: bool, what: &str| {
        if !same {
            all.push(what.to_owned());
        }
    };
    let near = |a: Length, b: Length| (a - b).abs().to_mm() <= tolerance;
    let nigh = |a: Point, b: Point| near(a.x, b.x) && near(a.y, b.y);
    check(near(part.thick, rebuilt.thick), "thickness");
    check(same_outline(&part.outline, &rebuilt.outline, tolerance), "outline");
    check(part.inside.len() == rebuilt.inside.len(), "number of openings");
    for (i, (a, b)) in part.inside.iter().zip(&rebuilt.inside).enumerate() {
        check(same_outline(a, b, tolerance), &format!("opening {}", i + 1));
    }
    check(part.pockets.len() == rebuilt.recesses.len(), "number of recesses");
    for (i, (a, b)) in part.pockets.iter().zip(&rebuilt.recesses).enumerate() {
        let same = same_outline(&a.outline, &b.0, tolerance) && near(a.depth, b.1) && a.from == b.2;
        check(same, &format!("recess {}", i + 1));
    }
    check(part.holes.len() == rebuilt.holes.len(), "number of holes");
    let maybe = |a: Option<Length>, b: Option<Length>| match (a, b) {
        (Some(a), Some(b)) => near(a, b),
        (a, b) => a == b,
    };
    for (i, (a, b)) in part.holes.iter().zip(&rebuilt.holes).enumerate() {
        let same = nigh(a.at, b.at)
            && near(a.diameter, b.diameter)
            && maybe(a.depth, b.depth)
            && maybe(a.countersink, b.countersink)
            && maybe(a.slot.map(|slot| slot.length), b.slot.map(|slot| slot.length))
            && a.slot.map(|slot| slot.way) == b.slot.map(|slot| slot.way)
            && a.from == b.from;
        check(same, &format!("hole {}", i + 1));
    }
    check(part.bores.len() == rebuilt.bores.len(), "number of pocket bores");
    for (i, (a, b)) in part.bores.iter().zip(&rebuilt.bores).enumerate() {
        // A pocket's place on the face follows from angle and exit: four times as far off as these at 15°. A dowel's blind
        // end follows from two figures.
        let slack = if a.degrees == 0.0 { 2.0 * tolerance } else { 4.0 * tolerance + 0.05 };
        let at = (a.at.x - b.at.x).abs().max((a.at.y - b.at.y).abs()).to_mm() <= slack;
        let same = at
            && nigh(a.leaves, b.leaves)
            && near(a.leaves_depth, b.leaves_depth)
            && near(a.diameter, b.diameter)
            && (a.degrees == 0.0 || a.from == b.from)
            && (a.degrees - b.degrees).abs() < 0.01;
        check(same, &format!("pocket bore {}", i + 1));
    }
    check(part.edges.len() == rebuilt.edges.len(), "number of worked edges");
    for (i, (a, b)) in part.edges.iter().zip(&rebuilt.edges).enumerate() {
        let same = nigh(a.from, b.from)
            && nigh(a.to, b.to)
            && near(a.scribe, b.scribe)
            && same_profile(a.profile, b.profile, tolerance);
        check(same, &format!("edge {}", i + 1));
    }
    check(part.bevels.len() == rebuilt.bevels.len(), "number of bevels");
    for (i, (a, b)) in part.bevels.iter().zip(&rebuilt.bevels).enumerate() {
        let run = (a.run - b.2).abs().to_mm() <= tolerance + 0.05;
        check(nigh(a.from, b.0) && nigh(a.to, b.1) && run && a.long == b.3, &format!("bevel {}", i + 1));
    }
    all
}

fn same_profile(a: Option<(Profile, Arris)>, b: Option<(Profile, Arris)>, tolerance: f64) -> bool {
    let near = |a: Length, b: Length| (a - b).abs().to_mm() <= tolerance;
    match (a, b) {
        (None, None) => true,
        (Some((a, one)), Some((b, other))) if one == other => match (a, b) {
            (
                Profile::Chamfer { along_face, down_edge },
                Profile::Chamfer { along_face: along, down_edge: down },
            ) => near(along_face, along) && near(down_edge, down),
            (Profile::Round { radius: a }, Profile::Round { radius: b }) => near(a, b),
            (Profile::Rebate { width, depth }, Profile::Rebate { width: w, depth: d }) => {
                near(width, w) && near(depth, d)
            }
            (Profile::Bevel { run: a }, Profile::Bevel { run: b }) => near(a, b),
            _ => false,
        },
        _ => false,
    }
}

/// Compared by area, extents and by how far each runs from the other: a point too many on a straight line is no matter.
fn same_outline(a: &Outline, b: &Outline, tolerance: f64) -> bool {
    let strays = |one: &Outline, other: &Outline| {
        one.segments().flat_map(|(from, to)| along(from, to)).map(|p| distance(p, other)).fold(0.0, f64::max)
    };
    let area = (a.area_mm2() - b.area_mm2()).abs();
    // A point is read off two figures and a radius off a third, each within its own tolerance; what follows from them
    // (tangent points, rises) lies on the grid within a few units.
    let slack = 2.5 * tolerance + 2e-4;
    area <= slack * a.perimeter_mm() && strays(a, b) <= slack && strays(b, a) <= slack
}

/// Points along a segment, ends and quarters.
fn along(from: Vertex, to: Point) -> Vec<(f64, f64)> {
    let (a, b) = (from.at.to_mm(), to.to_mm());
    let parts = [0.0, 0.25, 0.5, 0.75, 1.0];
    match Arc::between(a, b, from.bulge) {
        None => parts.iter().map(|t| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)).collect(),
        Some(arc) => parts
            .iter()
            .map(|t| arc.start + arc.sweep * t)
            .map(|w| (arc.centre.0 + arc.radius * libm::cos(w), arc.centre.1 + arc.radius * libm::sin(w)))
            .collect(),
    }
}

fn distance(p: (f64, f64), outline: &Outline) -> f64 {
    outline.segments().map(|(from, to)| from_segment(p, from, to)).fold(f64::MAX, f64::min)
}

fn from_segment(p: (f64, f64), from: Vertex, to: Point) -> f64 {
    let (a, b) = (from.at.to_mm(), to.to_mm());
    let ends = libm::hypot(p.0 - a.0, p.1 - a.1).min(libm::hypot(p.0 - b.0, p.1 - b.1));
    if let Some(arc) = Arc::between(a, b, from.bulge) {
        let angle = libm::atan2(p.1 - arc.centre.1, p.0 - arc.centre.0) - arc.start;
        let turn = std::f64::consts::TAU;
        let ahead = if arc.sweep > 0.0 { angle } else { -angle };
        let ahead = ahead - turn * libm::floor(ahead / turn);
        let off = (libm::hypot(p.0 - arc.centre.0, p.1 - arc.centre.1) - arc.radius).abs();
        return if ahead <= arc.sweep.abs() { off.min(ends) } else { ends };
    }
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = dx * dx + dy * dy;
    let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / length).clamp(0.0, 1.0);
    libm::hypot(p.0 - a.0 - t * dx, p.1 - a.1 - t * dy)
}

/// A figure as a worker reads it: `12`, `3/4`, `12 3/4`, `0.709`, `45°`.
fn figure(text: &str) -> Option<f64> {
    let mut total = 0.0;
    for word in text.trim_end_matches('°').split_whitespace() {
        total += match word.split_once('/') {
            Some((upper, lower)) => {
                let lower: f64 = lower.parse().ok().filter(|l| *l > 0.0)?;
                upper.parse::<f64>().ok()? / lower
            }
            None => word.parse::<f64>().ok()?,
        };
    }
    (!text.trim().is_empty()).then_some(total)
}

struct Reader {
    /// Millimetres, or degrees.
    sizes: BTreeMap<What, f64>,
}

type Read<T> = Result<T, Gap>;

impl Reader {
    fn size(&self, what: What) -> Read<f64> {
        self.sizes.get(&what).copied().ok_or(Gap::Missing(what))
    }

    fn length(&self, what: What) -> Read<Length> {
        self.size(what).map(Length::from_mm)
    }

    fn position(&self, at: Where) -> Read<f64> {
        match at {
            Where::Datum => Ok(0.0),
            Where::By(what) => self.size(what),
        }
    }

    fn spot(&self, spot: Spot) -> Read<(f64, f64)> {
        Ok((self.position(spot.0)?, self.position(spot.1)?))
    }

    fn point(&self, spot: Spot) -> Read<Point> {
        self.spot(spot).map(on_grid)
    }

    fn part(&self, drawn: &Drawn) -> Read<Rebuilt> {
        let thick = self.length(What::Thickness)?;
        let outline = self.closed(drawn.outline.as_ref().ok_or(Gap::NoView)?)?;
        let inside = drawn.inside.iter().map(|l| self.closed(l)).collect::<Read<_>>()?;
        let recesses =
            drawn.recesses.iter().map(|r| Ok((self.closed(&r.outline)?, self.length(r.depth)?, r.from)));
        let recesses = recesses.collect::<Read<_>>()?;
        let holes = drawn.holes.iter().map(|h| self.hole(drawn, h)).collect::<Read<_>>()?;
        let bores = drawn.bores.iter().map(|b| self.bore(drawn, b, thick)).collect::<Read<_>>()?;
        let edges = drawn.edges.iter().enumerate().map(|(i, e)| self.edge(i, e)).collect::<Read<_>>()?;
        let bevels = drawn.bevels.iter().enumerate().map(|(i, b)| {
            let run = thick.to_mm() * libm::tan(self.size(What::BevelAngle(i))?.to_radians());
            Ok((self.point(b.from)?, self.point(b.to)?, Length::from_mm(run), b.long))
        });
        let bevels = bevels.collect::<Read<_>>()?;
        Ok(Rebuilt { thick, outline, inside, recesses, holes, bores, edges, bevels })
    }

    fn closed(&self, drawn: &Loop) -> Read<Outline> {
        match drawn {
            Loop::Round { centre, diameter } => {
                let radius = self.size(*diameter)? / 2.0;
                let centre = match centre {
                    Some(spot) => self.spot(*spot)?,
                    None => (radius, radius),
                };
                Outline::circle(on_grid(centre), Length::from_mm(radius))
                    .ok_or(Gap::NoOutline(NotAnOutline::NoArea))
            }
            Loop::Corners(corners) => self.corners(corners),
        }
    }

    fn corners(&self, corners: &[Corner]) -> Read<Outline> {
        let count = corners.len();
        let spots = corners.iter().map(|c| self.spot(c.at)).collect::<Read<Vec<_>>>()?;
        let mut vertices = Vec::new();
        for (i, corner) in corners.iter().enumerate() {
            let (before, here, after) = (spots[(i + count - 1) % count], spots[i], spots[(i + 1) % count]);
            if let Some(radius) = corner.rounded {
                let radius = self.size(radius)?;
                vertices.extend(round_off(before, here, after, radius));
                continue;
            }
            let (dx, dy) = (after.0 - here.0, after.1 - here.1);
            let chord = libm::hypot(dx, dy);
            let bulge = match corner.leaves {
                Run::Straight => 0.0,
                Run::HalfRound { left } => {
                    if left {
                        -1.0
                    } else {
                        1.0
                    }
                }
                Run::Rise { rise, left } => {
                    let bulge = 2.0 * self.size(rise)? / chord;
                    if left { -bulge } else { bulge }
                }
                Run::Crown { crown, along } => {
                    let crown = self.position(crown)?;
                    // Right of the way, where an arc with positive bulge swings out, lies (dy, −dx).
                    let out = match along {
                        Along::Up => (crown - here.1) * -dx.signum(),
                        Along::Across => (crown - here.0) * dy.signum(),
                    };
                    2.0 * out / chord
                }
            };
            vertices.push(Vertex { at: on_grid(here), bulge });
        }
        Outline::new(vertices).map_err(Gap::NoOutline)
    }

    fn hole(&self, drawn: &Drawn, hole: &DrawnHole) -> Read<RebuiltHole> {
        let kind = drawn.kinds.get(hole.kind).ok_or(Gap::NoView)?;
        let depth = if kind.through { None } else { Some(self.length(What::HoleDepth(hole.kind))?) };
        let countersink =
            if kind.countersunk { Some(self.length(What::Countersink(hole.kind))?) } else { None };
        let slot = |along| {
            let way = if along == Along::Across { SlotWay::U } else { SlotWay::V };
            self.length(What::SlotLength(hole.kind)).map(|length| Slot { way, length })
        };
        Ok(RebuiltHole {
            slot: kind.slot.map(slot).transpose()?,
            at: self.point(hole.at)?,
            diameter: self.length(What::HoleDiameter(hole.kind))?,
            depth,
            from: kind.from,
            countersink,
        })
    }

    fn bore(&self, drawn: &Drawn, bore: &DrawnBore, thick: Length) -> Read<RebuiltBore> {
        let kind = *drawn.bore_kinds.get(bore.kind).ok_or(Gap::NoView)?;
        let leaves = self.spot(bore.leaves)?;
        let exit = self.size(What::BoreExit(bore.kind))?;
        let (from, degrees, run) = match kind {
            BoreKindDrawn::Dowel => (Face::Show, 0.0, self.size(What::BoreDepth(bore.kind))?),
            BoreKindDrawn::Pocket(from) => {
                let degrees = self.size(What::BoreAngle(bore.kind))?;
                let below = if from == Face::Show { exit } else { thick.to_mm() - exit };
                (from, degrees, below / libm::tan(degrees.to_radians()))
            }
        };
        let back = if bore.to_high { -run } else { run };
        let at = match bore.along {
            Along::Across => (leaves.0 + back, leaves.1),
            Along::Up => (leaves.0, leaves.1 + back),
        };
        Ok(RebuiltBore {
            at: on_grid(at),
            leaves: on_grid(leaves),
            leaves_depth: Length::from_mm(exit),
            from,
            diameter: self.length(What::BoreDiameter(bore.kind))?,
            degrees,
        })
    }

    fn edge(&self, index: usize, edge: &DrawnEdge) -> Read<RebuiltEdge> {
        let along = || self.length(What::EdgeAlong(index));
        let down = || self.length(What::EdgeDown(index));
        let profile = match edge.shape {
            None => None,
            Some(EdgeKind::Chamfer(on)) => {
                Some((Profile::Chamfer { along_face: along()?, down_edge: down()? }, on))
            }
            Some(EdgeKind::Round(on)) => Some((Profile::Round { radius: along()? }, on)),
            Some(EdgeKind::Rebate(on)) => Some((Profile::Rebate { width: along()?, depth: down()? }, on)),
            Some(EdgeKind::Bevel(on)) => Some((Profile::Bevel { run: along()? }, on)),
        };
        let scribe = if edge.scribed { self.length(What::Scribe(index))? } else { Length::ZERO };
        Ok(RebuiltEdge { from: self.point(edge.from)?, to: self.point(edge.to)?, profile, scribe })
    }
}

fn on_grid(at: (f64, f64)) -> Point {
    Point::new(Length::from_mm(at.0), Length::from_mm(at.1))
}

/// The two ends of the arc that rounds a corner between two straight sides.
fn round_off(before: (f64, f64), corner: (f64, f64), after: (f64, f64), radius: f64) -> [Vertex; 2] {
    let towards = |to: (f64, f64)| {
        let (dx, dy) = (to.0 - corner.0, to.1 - corner.1);
        let length = libm::hypot(dx, dy);
        (dx / length, dy / length)
    };
    let (a, b) = (towards(before), towards(after));
    let open = libm::acos((a.0 * b.0 + a.1 * b.1).clamp(-1.0, 1.0));
    let tangent = radius / libm::tan(open / 2.0);
    let bulge = libm::tan((std::f64::consts::PI - open) / 4.0);
    // The way turns left at the corner where the side ahead lies left of the side behind.
    let left = b.0 * a.1 - b.1 * a.0 > 0.0;
    let at = |d: (f64, f64)| on_grid((corner.0 + d.0 * tangent, corner.1 + d.1 * tangent));
    [Vertex { at: at(a), bulge: if left { bulge } else { -bulge } }, Vertex { at: at(b), bulge: 0.0 }]
}
