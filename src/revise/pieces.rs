//! What becomes of a piece that is already cut: whether the new part still lies in its wood. Decided from the geometry: all
//! that was taken away from the old piece must be taken away from the new part too, or lie in its offcut. Where that
//! cannot be proved, the piece counts as lost.

use std::collections::BTreeMap;

use super::feature::{features, near, near_point};
use super::turn::Turn;
use crate::boards::{Hole, Profile};
use crate::joints::Bore;
use crate::length::Length;
use crate::parts::{Made, Part, same_piece};
use crate::shape::cut::{intersect, subtract_plate};
use crate::shape::solid::Arris;
use crate::shape::{Extents, Outline, Plate, Point};
use crate::trade::{Face, Grain};
use crate::values::StockForm;

/// What a piece of the old state is worth to a part of the new one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pieces {
    /// It is the new part.
    Good,
    /// Its size is right; more has to be taken away from it.
    WorkOn(Laid),
    /// The new part can be sawn out of it.
    CutDown(Laid),
    /// It cannot become the new part.
    Again,
}

impl Pieces {
    pub fn are_of_use(self) -> bool {
        self != Pieces::Again
    }
}

/// How the old piece lies under the new drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Laid {
    pub turn: Turn,
    /// Where the new datum corner lies on the piece, turned like that, from its own lower left corner.
    pub datum: Point,
}

/// What is left over of a comparison of areas: less than this is noise of the cut, in mm².
const NOISE_MM2: f64 = 0.05;

/// Places along one direction that are tried at most.
const MOST_PLACES: usize = 16;

/// Whether two parts are cut from the same material; its thickness apart.
pub(super) fn same_wood(old: (&Made, &Part), new: (&Made, &Part)) -> bool {
    let key = |(made, part): (&Made, &Part)| {
        let stock = made.job.stock.get(part.stock)?;
        let called = stock.called.as_ref().unwrap_or(&stock.name).clone();
        Some((called, stock.species.clone(), matches!(stock.form, StockForm::Sheet { .. })))
    };
    key(old) == key(new)
}

/// What a piece cut to the old part is worth to the new one.
pub(super) fn judge(old: (&Made, &Part), new: (&Made, &Part)) -> Pieces {
    let (one, other) = (old.1, new.1);
    if !same_wood(old, new) || one.thick != other.thick {
        return Pieces::Again;
    }
    // Turned over it is still the piece; that its other face is seen then is told apart.
    if same_piece(one, other) || same_piece(&Turn::OverSideways.lay(one, Point::default()), other) {
        return Pieces::Good;
    }
    if one.grain != other.grain && other.grain != Grain::Free {
        return Pieces::Again;
    }
    let new_plate = plate(other);
    let within = new_plate.outline.extents();
    for turn in Turn::ALL {
        let laid = turn.lay(one, Point::default());
        let whole = laid.as_cut().extents();
        if whole.width() + Length::TOUCH < within.width() || whole.height() + Length::TOUCH < within.height()
        {
            continue;
        }
        let places = places(old.0, &laid, new, whole, within);
        for x in &places[0] {
            for y in &places[1] {
                let datum = Point::new(*x, *y);
                let moved = Turn::None.lay(&laid, Point::new(-*x, -*y));
                if holds(&moved, other, &new_plate) {
                    return worth(&laid, other, Laid { turn, datum });
                }
            }
        }
    }
    Pieces::Again
}

fn worth(old: &Part, new: &Part, laid: Laid) -> Pieces {
    let (one, other) = (old.as_cut().extents(), new.as_cut().extents());
    let same_size = near(one.width(), other.width()) && near(one.height(), other.height());
    if same_size { Pieces::WorkOn(laid) } else { Pieces::CutDown(laid) }
}

fn plate(part: &Part) -> Plate {
    Plate { outline: part.as_cut(), inside: part.inside.clone() }
}

/// Where the new datum corner may lie on the old piece, across and up: on its own corner, with either end in line, where
/// most of what is worked in both falls together, or with an end right beside something worked in the old piece.
fn places(made: &Made, old: &Part, new: (&Made, &Part), whole: Extents, within: Extents) -> [Vec<Length>; 2] {
    let (of_old, of_new) = (features(made, old), features(new.0, new.1));
    let ends = [
        (whole.low.x - within.low.x, whole.high.x - within.high.x),
        (whole.low.y - within.low.y, whole.high.y - within.high.y),
    ];
    let mut all = [Vec::new(), Vec::new()];
    for (axis, places) in all.iter_mut().enumerate() {
        let (low, high) = ends[axis];
        let fits = |at: &Length| *at >= low - Length::TOUCH && *at <= high + Length::TOUCH;
        let mut votes: BTreeMap<Length, usize> = BTreeMap::new();
        // Two pieces with hundreds of holes agree or differ in the first of them just as well.
        for one in of_old.iter().take(60) {
            for other in of_new.iter().take(60).filter(|other| other.kind == one.kind) {
                for (a, b) in one.lines()[axis].iter().zip(&other.lines()[axis]) {
                    *votes.entry(*a - *b).or_default() += 2;
                }
            }
            for line in &one.lines()[axis] {
                let ends =
                    if axis == 0 { [within.low.x, within.high.x] } else { [within.low.y, within.high.y] };
                ends.into_iter().for_each(|end| *votes.entry(*line - end).or_default() += 1);
            }
        }
        let mut voted: Vec<(usize, Length)> = votes.into_iter().map(|(at, count)| (count, at)).collect();
        voted.sort_by_key(|(count, at)| (std::cmp::Reverse(*count), at.abs()));
        let mut tried = vec![Length::ZERO, low, high];
        tried.extend(voted.into_iter().map(|(_, at)| at));
        for at in tried.into_iter().filter(fits) {
            if places.len() < MOST_PLACES && !places.iter().any(|known| near(*known, at)) {
                places.push(at);
            }
        }
    }
    all
}

/// Whether the new part lies in the wood of the old piece, which is given in the new part's coordinates.
fn holds(old: &Part, new: &Part, new_plate: &Plate) -> bool {
    covered(vec![new_plate.clone()], &[plate(old)])
        && old.holes.iter().all(|hole| hole_is_gone(hole, new, new_plate))
        && old.pockets.iter().all(|pocket| {
            let cuts = recesses(new, span(pocket.from, pocket.depth, new.thick));
            region_is_gone(&pocket.outline, new_plate, &cuts)
        })
        && old.bores.iter().all(|bore| bore_is_gone(bore, new, new_plate))
        && strips(old).iter().all(|strip| {
            let worked: Vec<Plate> = (strips(new).iter())
                .filter(|other| other.takes_at_least(strip))
                .map(|other| Plate::whole(other.outline.clone()))
                .collect();
            region_is_gone(&strip.outline, new_plate, &worked)
        })
}

/// Whether nothing worth speaking of is left of some plates once others are taken from them.
fn covered(mut left: Vec<Plate>, by: &[Plate]) -> bool {
    for cover in by {
        let mut rest = Vec::new();
        for piece in &left {
            match subtract_plate(piece, cover) {
                Ok(pieces) => rest.extend(pieces),
                // Not proved.
                Err(_) => return false,
            }
        }
        left = rest;
    }
    left.iter().map(Plate::area_mm2).sum::<f64>() <= NOISE_MM2
}

/// Whether a region that the old piece has lost lies in the offcut, or is lost to the new part too.
fn region_is_gone(region: &Outline, new_plate: &Plate, cuts: &[Plate]) -> bool {
    let (one, other) = (region.extents(), new_plate.outline.extents());
    let apart = one.high.x <= other.low.x
        || one.low.x >= other.high.x
        || one.high.y <= other.low.y
        || one.low.y >= other.high.y;
    apart || intersect(new_plate, &Plate::whole(region.clone())).is_ok_and(|shared| covered(shared, cuts))
}

/// Depths below the show face that a recess takes.
fn span(from: Face, depth: Length, thick: Length) -> (Length, Length) {
    match from {
        Face::Show => (Length::ZERO, depth),
        Face::Back => (thick - depth, thick),
    }
}

/// The recesses and holes of a part that take at least these depths.
fn recesses(part: &Part, (low, high): (Length, Length)) -> Vec<Plate> {
    let takes = |(from, to): (Length, Length)| from <= low + Length::TOUCH && to + Length::TOUCH >= high;
    let pockets = part.pockets.iter().filter(|p| takes(span(p.from, p.depth, part.thick)));
    let holes = part.holes.iter().filter(|h| takes(span(h.from, h.depth.unwrap_or(part.thick), part.thick)));
    let round = holes.filter_map(Hole::outline);
    pockets.map(|p| p.outline.clone()).chain(round).map(Plate::whole).collect()
}

/// Whether a hole of the old piece is drilled in the new part too, or lies in its offcut.
fn hole_is_gone(hole: &Hole, new: &Part, new_plate: &Plate) -> bool {
    let again = |other: &Hole| {
        let depth = |h: &Hole| h.depth.unwrap_or(new.thick);
        let sided = hole.depth.is_some() || hole.countersink.is_some();
        near_point(hole.at, other.at)
            && other.diameter + Length::TOUCH >= hole.diameter
            && (hole.slot.is_none() || other.slot == hole.slot)
            && depth(other) + Length::TOUCH >= depth(hole)
            && other.countersink.unwrap_or_default() + Length::TOUCH >= hole.countersink.unwrap_or_default()
            && (!sided || other.from == hole.from || (other.depth.is_none() && hole.countersink.is_none()))
    };
    if new.holes.iter().any(again) {
        return true;
    }
    // How deep a countersink goes is left to the drill: only where all of it is gone is it no matter.
    let (diameter, depths) = match hole.countersink {
        Some(head) => (head.max(hole.diameter), (Length::ZERO, new.thick)),
        None => (hole.diameter, span(hole.from, hole.depth.unwrap_or(new.thick), new.thick)),
    };
    Hole { diameter, ..hole.clone() }
        .outline()
        .is_some_and(|round| region_is_gone(&round, new_plate, &recesses(new, depths)))
}

fn bore_is_gone(bore: &Bore, new: &Part, new_plate: &Plate) -> bool {
    let again = |other: &Bore| {
        near_point(bore.at, other.at)
            && near_point(bore.leaves, other.leaves)
            && near(bore.leaves_depth, other.leaves_depth)
            && other.diameter + Length::TOUCH >= bore.diameter
            && bore.from == other.from
    };
    if new.bores.iter().any(again) {
        return true;
    }
    // Box round the bore, its mouth included: slanted, the mouth reaches a diameter past the axis.
    let reach = bore.diameter;
    let low = Point::new(bore.at.x.min(bore.leaves.x) - reach, bore.at.y.min(bore.leaves.y) - reach);
    let high = Point::new(bore.at.x.max(bore.leaves.x) + reach, bore.at.y.max(bore.leaves.y) + reach);
    Outline::rectangle(low, high).is_some_and(|around| region_is_gone(&around, new_plate, &[]))
}

/// The wood along an edge that its profile or bevel takes some of.
struct Strip {
    outline: Outline,
    profile: Profile,
    arris: Arris,
}

impl Strip {
    /// Whether this form takes all the wood that the other takes, on the same line.
    fn takes_at_least(&self, other: &Strip) -> bool {
        let at_least = |a: Length, b: Length| a + Length::TOUCH >= b;
        let form = match (self.profile, other.profile) {
            (
                Profile::Chamfer { along_face: a, down_edge: b },
                Profile::Chamfer { along_face: c, down_edge: d },
            )
            | (Profile::Rebate { width: a, depth: b }, Profile::Rebate { width: c, depth: d }) => {
                at_least(a, c) && at_least(b, d)
            }
            (Profile::Round { radius: a }, Profile::Round { radius: b })
            | (Profile::Bevel { run: a }, Profile::Bevel { run: b }) => at_least(a, b),
            _ => false,
        };
        form && (self.arris == other.arris || self.arris == Arris::Both)
    }
}

fn strips(part: &Part) -> Vec<Strip> {
    let edges = part.edges.iter().filter_map(|edge| Some((edge, edge.profile?)));
    let profiled = edges.flat_map(|(edge, (profile, arris))| {
        part.edge_runs(edge).into_iter().map(move |run| (run, profile, arris))
    });
    let bevels = part.bevels.iter().map(|bevel| {
        let arris = if bevel.long == Face::Show { Arris::Back } else { Arris::Show };
        ((bevel.from, bevel.to), Profile::Bevel { run: bevel.run }, arris)
    });
    let strip = |((from, to), profile, arris): ((Point, Point), Profile, Arris)| {
        let outline = beside(from, to, profile.reach_in())?;
        Some(Strip { outline, profile, arris })
    };
    profiled.chain(bevels).filter_map(strip).collect()
}

/// The strip of this width on the left of a run.
fn beside(from: Point, to: Point, width: Length) -> Option<Outline> {
    let (dx, dy) = ((to.x - from.x).to_mm(), (to.y - from.y).to_mm());
    let length = libm::hypot(dx, dy);
    if length == 0.0 || !width.is_positive() {
        return None;
    }
    let in_by = |at: Point| {
        let x = Length::from_mm(-dy / length * width.to_mm());
        let y = Length::from_mm(dx / length * width.to_mm());
        Point::new(at.x + x, at.y + y)
    };
    let corners = [from, to, in_by(to), in_by(from)];
    let vertices = corners.map(|at| crate::shape::Vertex { at, bulge: 0.0 });
    Outline::new(vertices.to_vec()).ok()
}
