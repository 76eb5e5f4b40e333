//! What a worker does to a piece beyond sawing it to size, one by one and each described alike, so that two pieces can be
//! compared: kind, what it is for, where it lies, its sizes, and what else tells it apart. Knows one part at a time.

use crate::boards::{BoardId, HoleKind, Other, PocketKind, Profile, SlotWay};
use crate::joints::CutKind;
use crate::length::Length;
use crate::parts::{Made, Part, same_outline};
use crate::shape::solid::Arris;
use crate::shape::{Outline, Point};

/// A kind of work; what is done to an edge is worked along all of it and has no place of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    Cut(CutKind),
    /// right through, and made by no joint
    Opening,
    Recess(PocketKind),
    Hole,
    /// a pocket bore, or a dowel hole into an edge
    Bore,
    Bevel,
    Edge,
}

impl Kind {
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Cut(kind) => kind.word(),
            Kind::Opening => "cut-out",
            Kind::Recess(kind) => kind.word(),
            Kind::Hole => "hole",
            Kind::Bore => "bore",
            Kind::Bevel => "bevel",
            Kind::Edge => "work on the edge",
        }
    }

    /// As several are called.
    pub fn words(self) -> String {
        match self {
            Kind::Cut(CutKind::Notch) => "notches".to_owned(),
            Kind::Recess(PocketKind::Recess) => "recesses".to_owned(),
            Kind::Edge => "edges".to_owned(),
            other => format!("{}s", other.word()),
        }
    }
}

/// A size of a feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// along u and v of the drawing
    Width,
    Height,
    Depth,
    Diameter,
    Countersink,
    /// of a slotted hole: its length over all
    Slot,
    /// of a bore: how far its axis runs under the face, and how deep below the show face it leaves the edge
    Reach,
    Exit,
    /// of a worked edge: along the face, down the edge
    AlongFace,
    DownEdge,
    Scribe,
}

impl Measure {
    pub const fn word(self) -> &'static str {
        match self {
            Measure::Width => "width",
            Measure::Height => "height",
            Measure::Depth => "depth",
            Measure::Diameter => "diameter",
            Measure::Countersink => "countersink",
            Measure::Slot => "length of the slot",
            Measure::Reach => "reach",
            Measure::Exit => "depth at the edge",
            Measure::AlongFace => "along the face",
            Measure::DownEdge => "down the edge",
            Measure::Scribe => "wood left on for scribing",
        }
    }
}

/// One thing that is done to a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    pub kind: Kind,
    /// Index into the part's own list of this kind: cuts, openings (`inside`), pockets, holes, bores, bevels, edges.
    pub index: usize,
    /// The boards it is made for (`bench.divider`), what a hole is for, or the edge as drawn.
    pub purpose: String,
    /// From the datum corner: lower left of its extents, the middle of a hole, where a bore leaves the edge; the datum
    /// itself for what is worked along an edge.
    pub at: Point,
    pub sizes: Vec<(Measure, Length)>,
    /// What else is said of it: the face it is worked from, the form of an edge.
    pub said: Vec<String>,
    /// Its outline, moved to (0, 0).
    shape: Option<Outline>,
}

pub(super) fn near(one: Length, other: Length) -> bool {
    (one - other).abs() <= Length::TOUCH
}

pub(super) fn near_point(one: Point, other: Point) -> bool {
    near(one.x, other.x) && near(one.y, other.y)
}

impl Feature {
    pub fn size(&self, measure: Measure) -> Option<Length> {
        self.sizes.iter().find(|(m, _)| *m == measure).map(|(_, length)| *length)
    }

    /// The same but for its place.
    pub(super) fn is_like(&self, other: &Feature) -> bool {
        let shapes = match (&self.shape, &other.shape) {
            (Some(one), Some(other)) => same_outline(one, other),
            (None, None) => true,
            _ => false,
        };
        let sizes = self.sizes.len() == other.sizes.len()
            && self.sizes.iter().zip(&other.sizes).all(|(a, b)| a.0 == b.0 && near(a.1, b.1));
        self.kind == other.kind && self.said == other.said && sizes && shapes
    }

    pub(super) fn is_at(&self, other: &Feature) -> bool {
        near_point(self.at, other.at)
    }

    /// Whether the shape differs where all sizes agree.
    pub(super) fn is_reshaped(&self, other: &Feature) -> bool {
        match (&self.shape, &other.shape) {
            (Some(one), Some(other)) => !same_outline(one, other),
            _ => false,
        }
    }

    /// Where its lines lie along u and along v, which dimensions of a drawing give.
    pub fn lines(&self) -> [Vec<Length>; 2] {
        let far = |at: Length, measure| self.size(measure).map(|size| at + size);
        match self.kind {
            Kind::Bevel | Kind::Edge => [Vec::new(), Vec::new()],
            _ => [
                std::iter::once(self.at.x).chain(far(self.at.x, Measure::Width)).collect(),
                std::iter::once(self.at.y).chain(far(self.at.y, Measure::Height)).collect(),
            ],
        }
    }
}

/// All that is done to a part of `made`. `part` may be that part turned.
pub(super) fn features(made: &Made, part: &Part) -> Vec<Feature> {
    let mut all = Vec::new();
    for (index, cut) in part.cuts.iter().enumerate() {
        all.push(plane(Kind::Cut(cut.kind), index, entry(made, cut.by), &cut.outline));
    }
    for (index, outline) in part.inside.iter().enumerate() {
        if !part.cuts.iter().any(|cut| cut.outline.extents() == outline.extents()) {
            all.push(plane(Kind::Opening, index, String::new(), outline));
        }
    }
    for (index, pocket) in part.pockets.iter().enumerate() {
        let mut feature =
            plane(Kind::Recess(pocket.kind), index, housed(made, part, pocket.place), &pocket.outline);
        feature.sizes.push((Measure::Depth, pocket.depth));
        feature.said.push(format!("from the {}", pocket.from.word()));
        all.push(feature);
    }
    for (index, hole) in part.holes.iter().enumerate() {
        let mut sizes = vec![(Measure::Diameter, hole.diameter)];
        sizes.extend(hole.depth.map(|depth| (Measure::Depth, depth)));
        sizes.extend(hole.countersink.map(|head| (Measure::Countersink, head)));
        sizes.extend(hole.slot.map(|slot| (Measure::Slot, slot.length)));
        let mut said = vec![if hole.depth.is_some() { "blind" } else { "through" }.to_owned()];
        if hole.depth.is_some() || hole.countersink.is_some() {
            said.push(format!("from the {}", hole.from.word()));
        }
        said.extend(hole.slot.map(|slot| match slot.way {
            SlotWay::U => "longer across the view".to_owned(),
            SlotWay::V => "longer up the view".to_owned(),
        }));
        let purpose = match hole.why {
            HoleKind::Asked => "",
            HoleKind::Clearance => "screw shanks",
            HoleKind::Pilot => "screw threads",
            HoleKind::Dowel => "dowels",
        };
        all.push(Feature {
            kind: Kind::Hole,
            index,
            purpose: purpose.to_owned(),
            at: hole.at,
            sizes,
            said,
            shape: None,
        });
    }
    for (index, bore) in part.bores.iter().enumerate() {
        let (dx, dy) = (bore.leaves.x - bore.at.x, bore.leaves.y - bore.at.y);
        let towards = match (dx.abs() > dy.abs(), dx.is_positive(), dy.is_positive()) {
            (true, true, _) => "to the right edge",
            (true, false, _) => "to the left edge",
            (false, _, true) => "to the upper edge",
            (false, _, false) => "to the lower edge",
        };
        let straight = bore.degrees == 0.0;
        let mut said = vec![towards.to_owned()];
        if !straight {
            said.push(format!("{:.2}° from the {}", bore.degrees, bore.from.word()));
        }
        all.push(Feature {
            kind: Kind::Bore,
            index,
            purpose: if straight { "dowels" } else { "pocket screws" }.to_owned(),
            at: bore.leaves,
            sizes: vec![
                (Measure::Diameter, bore.diameter),
                (Measure::Reach, dx.abs().max(dy.abs())),
                (Measure::Exit, bore.leaves_depth),
            ],
            said,
            shape: None,
        });
    }
    for (index, bevel) in part.bevels.iter().enumerate() {
        all.push(Feature {
            kind: Kind::Bevel,
            index,
            purpose: edge_drawn(part, bevel.from, bevel.to),
            at: Point::default(),
            sizes: vec![(Measure::AlongFace, bevel.run)],
            said: vec![format!("the {} the longer", bevel.long.word())],
            shape: None,
        });
    }
    for (index, edge) in part.edges.iter().enumerate() {
        let (mut sizes, mut said) = (Vec::new(), Vec::new());
        if let Some((profile, arris)) = edge.profile {
            let (form, along, down) = form(profile);
            let on = match arris {
                Arris::Show => "show arris",
                Arris::Back => "back arris",
                Arris::Both => "both arrises",
            };
            said.push(format!("{form} on the {on}"));
            sizes.push((Measure::AlongFace, along));
            sizes.extend(down.map(|down| (Measure::DownEdge, down)));
        }
        if edge.scribe != Length::ZERO {
            sizes.push((Measure::Scribe, edge.scribe));
        }
        said.extend(edge.finish.clone());
        let purpose = edge_drawn(part, edge.from, edge.to);
        all.push(Feature {
            kind: Kind::Edge,
            index,
            purpose,
            at: Point::default(),
            sizes,
            said,
            shape: None,
        });
    }
    all
}

fn plane(kind: Kind, index: usize, purpose: String, outline: &Outline) -> Feature {
    let around = outline.extents();
    let low = around.low;
    Feature {
        kind,
        index,
        purpose,
        at: low,
        sizes: vec![(Measure::Width, around.width()), (Measure::Height, around.height())],
        said: Vec::new(),
        shape: Some(outline.moved(Point::new(-low.x, -low.y))),
    }
}

fn form(profile: Profile) -> (&'static str, Length, Option<Length>) {
    match profile {
        Profile::Chamfer { along_face, down_edge } => ("chamfer", along_face, Some(down_edge)),
        Profile::Round { radius } => ("round", radius, None),
        Profile::Rebate { width, depth } => ("rebate", width, Some(depth)),
        Profile::Bevel { run } => ("bevel", run, None),
    }
}

/// The edge as one sees it on the drawing.
fn edge_drawn(part: &Part, from: Point, to: Point) -> String {
    let upright = from.x == to.x;
    let level = from.y == to.y;
    let word = match (upright, level) {
        (true, false) if from.x <= part.width.half() => "left edge",
        (true, false) => "right edge",
        (false, true) if from.y <= part.height.half() => "lower edge",
        (false, true) => "upper edge",
        _ => "sloping edge",
    };
    word.to_owned()
}

/// The entry of a board, without its number in a run: `bench.divider`.
pub(super) fn entry(made: &Made, board: BoardId) -> String {
    let name = made.placed.get(board.0).map_or("", |placed| placed.board.name.as_str());
    name.split('[').next().unwrap_or_default().to_owned()
}

/// The boards that sit in a recess.
fn housed(made: &Made, part: &Part, place: crate::diagnose::Place) -> String {
    let sits = |second: &Other| matches!(second, Other::Board(board) if part.boards.contains(board));
    let mut all: Vec<String> = (made.joints.iter())
        .filter(|joint| joint.place == place && sits(&joint.second))
        .map(|joint| entry(made, joint.first))
        .collect();
    all.sort();
    all.dedup();
    all.join(", ")
}
