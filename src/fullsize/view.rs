//! A part as it is seen from one of its faces: its own coordinates for the show face, mirrored for the back. What is worked from
//! the other face is not seen.

use super::edging::Profiled;
use super::page::Way;
use crate::boards::{Hole, HoleKind, Pocket, PocketKind};
use crate::drawing::paper::Area;
use crate::drawing::{At, Step};
use crate::joints::{Bevel, Bore};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::shape::{Outline, Point};
use crate::trade::{Face, Grain, Side};

/// What is printed round a worked edge, in mm.
const AROUND: f64 = 40.0;

/// A part seen from a face; all coordinates are those of the paper, lower left corner at (0, 0).
#[derive(Clone, Debug)]
pub struct Seen<'a> {
    pub part: &'a Part,
    pub face: Face,
    pub outline: Outline,
    /// The outline's corners in the order of the part's own outline, so that both faces number them alike.
    pub corners: Vec<Point>,
    pub inside: Vec<Outline>,
    pub pockets: Vec<Pocket>,
    pub holes: Vec<Hole>,
    pub bores: Vec<Bore>,
    pub bevels: Vec<Bevel>,
    /// Runs of edges with wood left on for scribing, wood on the left, and how much.
    pub scribes: Vec<(Point, Point, Length)>,
    /// The outline with that wood.
    pub as_cut: Outline,
    pub(super) profiles: Vec<Profiled>,
}

impl<'a> Seen<'a> {
    pub fn new(part: &'a Part, face: Face) -> Seen<'a> {
        let back = face == Face::Back;
        let width = part.width;
        let at = |p: Point| if back { Point::new(width - p.x, p.y) } else { p };
        let outline = |o: &Outline| o.mapped(at, back);
        // A mirrored run is walked the other way, so that the wood stays on its left.
        let run = |from: Point, to: Point| if back { (at(to), at(from)) } else { (from, to) };
        let pocket = |p: &Pocket| Pocket { outline: outline(&p.outline), ..p.clone() };
        let own = |p: &&Pocket| p.from == face;
        let seen = |h: &&Hole| h.from == face || h.depth.is_none();
        let bevel = |b: &Bevel| {
            let (from, to) = run(b.from, b.to);
            Bevel { from, to, ..b.clone() }
        };
        let scribe = part.edges.iter().filter(|edge| edge.scribe.is_positive()).map(|edge| {
            let (from, to) = run(edge.from, edge.to);
            (from, to, edge.scribe)
        });
        let profiles = part.edges.iter().filter_map(|edge| {
            let (profile, arris) = edge.profile?;
            let runs = part.edge_runs(edge).into_iter().map(|(from, to)| run(from, to)).collect();
            Some(Profiled { runs, profile, arris })
        });
        Seen {
            part,
            face,
            outline: outline(&part.outline),
            corners: part.outline.vertices().iter().map(|v| at(v.at)).collect(),
            inside: part.inside.iter().map(outline).collect(),
            pockets: part.pockets.iter().filter(own).map(pocket).collect(),
            holes: part.holes.iter().filter(seen).map(|h| Hole { at: at(h.at), ..h.clone() }).collect(),
            bores: (part.bores.iter().filter(|b| b.from == face))
                .map(|b| Bore { at: at(b.at), leaves: at(b.leaves), ..b.clone() })
                .collect(),
            bevels: part.bevels.iter().map(bevel).collect(),
            scribes: scribe.collect(),
            as_cut: outline(&part.as_cut()),
            profiles: profiles.collect(),
        }
    }

    /// Where the part's datum corner lies.
    pub fn datum(&self) -> Point {
        match self.face {
            Face::Show => Point::default(),
            Face::Back => Point::new(self.part.width, Length::ZERO),
        }
    }

    /// Distances of a point from the datum corner along the part's own axes.
    pub fn datum_distances(&self, at: Point) -> (Length, Length) {
        ((at.x - self.datum().x).abs(), at.y)
    }

    /// The rectangle round the part.
    pub fn around(&self) -> Area {
        Area { low: (0.0, 0.0), high: (self.part.width.to_mm(), self.part.height.to_mm()) }
    }

    /// The rectangle round the part as it is cut, wood for scribing included.
    pub fn around_as_cut(&self) -> Area {
        let (own, cut) = (self.around(), self.as_cut.extents());
        let (low, high) = (cut.low.to_mm(), cut.high.to_mm());
        Area {
            low: (own.low.0.min(low.0), own.low.1.min(low.1)),
            high: (own.high.0.max(high.0), own.high.1.max(high.1)),
        }
    }

    /// Regions round everything but straight edges along the part's rectangle, those that overlap taken together; empty for a
    /// plain rectangle.
    pub fn worked(&self) -> Vec<Area> {
        let around = self.outline.extents();
        let on_border = |a: Point, b: Point| {
            (a.x == b.x && (a.x == around.low.x || a.x == around.high.x))
                || (a.y == b.y && (a.y == around.low.y || a.y == around.high.y))
        };
        let mut regions = Vec::new();
        for (from, to) in self.outline.segments() {
            if from.bulge != 0.0 || !on_border(from.at, to) {
                let vertices = vec![from, crate::shape::Vertex { at: to, bulge: 0.0 }];
                regions.push(reach(&vertices));
            }
        }
        let recesses = self.pockets.iter().filter(|p| p.kind == PocketKind::Recess).map(|p| &p.outline);
        regions.extend(self.inside.iter().chain(recesses).map(|o| reach(o.vertices())));
        regions.extend(self.holes.iter().filter(|h| h.why == HoleKind::Asked).map(|h| {
            let (at, r) = (h.at.to_mm(), h.diameter.to_mm() / 2.0);
            Area { low: (at.0 - r, at.1 - r), high: (at.0 + r, at.1 + r) }
        }));
        merged(regions.into_iter().map(|area| area.inset(-AROUND)).collect())
    }

    /// The ways of the room as arrows on this paper: the sides of the first two directions that all boards of the part share.
    pub fn ways(&self, made: &Made, id: PartId) -> Vec<Way> {
        let mut frames = made.placed.iter().filter(|placed| placed.part == id).map(|placed| placed.frame);
        let Some(first) = frames.next() else { return Vec::new() };
        let others: Vec<_> = frames.collect();
        let mut all = Vec::new();
        if others.iter().all(|frame| frame.v == first.v) {
            all.push(way(first.v, 90.0));
        }
        if others.iter().all(|frame| frame.u == first.u) {
            let right = if self.face == Face::Show { first.u } else { first.u.opposite() };
            all.push(way(right, 0.0));
        }
        all
    }

    /// Direction of the grain on paper.
    pub fn grain(&self) -> Option<f64> {
        match self.part.grain {
            Grain::AlongU => Some(0.0),
            Grain::AlongV => Some(90.0),
            Grain::Free => None,
        }
    }
}

/// An arrow to a side; one that would point down or to the bottom is turned round, because people look for what is up.
fn way(side: Side, angle: f64) -> Way {
    let (side, angle) = if side == Side::Bottom { (Side::Top, angle + 180.0) } else { (side, angle) };
    let word = match side {
        Side::Top => "UP".to_owned(),
        other => format!("to the {}", other.word()),
    };
    Way { angle: libm::fmod(angle, 360.0), word }
}

/// A plain rectangle: no opening, no recess or hole that was asked for by hand. Housings and fixings' holes are set out with a
/// fence and a rule, not from paper.
pub fn is_plain(part: &Part) -> bool {
    part.outline.is_rectangle()
        && part.inside.is_empty()
        && part.pockets.iter().all(|p| p.kind != PocketKind::Recess)
        && part.holes.iter().all(|h| h.why != HoleKind::Asked)
}

/// The show face, and the back too where it is worked by itself.
pub fn worked_faces(part: &Part) -> Vec<Face> {
    let back = part.pockets.iter().any(|p| p.from == Face::Back)
        || part.holes.iter().any(|h| h.from == Face::Back && (h.depth.is_some() || h.countersink.is_some()))
        || part.bores.iter().any(|b| b.from == Face::Back);
    if back { vec![Face::Show, Face::Back] } else { vec![Face::Show] }
}

/// The rectangle round a run of vertices, arcs included.
fn reach(vertices: &[crate::shape::Vertex]) -> Area {
    let points: Vec<At> = match Outline::new(vertices.to_vec()) {
        Ok(outline) => {
            let around = outline.extents();
            vec![around.low.to_mm(), around.high.to_mm()]
        }
        Err(_) => vertices.iter().map(|v| v.at.to_mm()).collect(),
    };
    let start = (f64::MAX, f64::MAX, f64::MIN, f64::MIN);
    let all = points.iter().fold(start, |a, p| (a.0.min(p.0), a.1.min(p.1), a.2.max(p.0), a.3.max(p.1)));
    Area { low: (all.0, all.1), high: (all.2, all.3) }
}

/// Areas that overlap become the one round both, until none do.
fn merged(mut areas: Vec<Area>) -> Vec<Area> {
    let mut index = 0;
    while index < areas.len() {
        let one = areas[index];
        let meets = |b: &Area| {
            one.low.0 <= b.high.0 && b.low.0 <= one.high.0 && one.low.1 <= b.high.1 && b.low.1 <= one.high.1
        };
        match (index + 1..areas.len()).find(|j| meets(&areas[*j])) {
            Some(other) => {
                let b = areas.remove(other);
                areas[index] = Area {
                    low: (one.low.0.min(b.low.0), one.low.1.min(b.low.1)),
                    high: (one.high.0.max(b.high.0), one.high.1.max(b.high.1)),
                };
                index = 0;
            }
            None => index += 1,
        }
    }
    areas.sort_by(|a, b| {
        (a.low.1, a.low.0).partial_cmp(&(b.low.1, b.low.0)).unwrap_or(std::cmp::Ordering::Equal)
    });
    areas
}

/// An outline as a path on paper.
pub fn path(outline: &Outline) -> Vec<Step> {
    let mut steps = Vec::new();
    for (from, to) in outline.segments() {
        if steps.is_empty() {
            steps.push(Step::Move(from.at.to_mm()));
        }
        steps.push(if from.bulge == 0.0 {
            Step::Line(to.to_mm())
        } else {
            Step::Arc(to.to_mm(), from.bulge)
        });
    }
    // The way back to the first corner is the closing itself, unless it bends.
    if let Some(Step::Line(_)) = steps.last() {
        steps.pop();
    }
    steps.push(Step::Close);
    steps
}
