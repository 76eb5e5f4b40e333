//! What another board's wood covers of a board's face: its true sections over a range of depth, in face coordinates.

use crate::boards::{Asked, Board};
use crate::joints::work::Work;
use crate::length::{Interval, Length};
use crate::shape::cut::{CutFault, union};
use crate::shape::section::true_section;
use crate::shape::solid::{Solid, across};
use crate::shape::{Outline, Plate, Point};
use crate::trade::{Axis, FaceFrame};

/// The section of `solid` between two room positions along the normal of `board`, in that board's face coordinates. Where
/// it changes on the way the sections count together. `None` with the fault told.
pub(super) fn section_on(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    solid: &Solid,
    board: &Board,
    between: Interval,
) -> Option<Vec<Plate>> {
    match sections(solid, &board.frame, between) {
        Ok(found) => Some(found),
        Err(fault) => {
            work.unsound(joint, asked, asked.first, fault);
            None
        }
    }
}

fn sections(solid: &Solid, frame: &FaceFrame, between: Interval) -> Result<Vec<Plate>, CutFault> {
    let axis = frame.into.axis();
    let mut all: Vec<Outline> = Vec::new();
    for at in changes(solid, axis, between) {
        for outline in true_section(solid, axis, at)? {
            let on_face = on_face(&outline, frame);
            if !all.iter().any(|known| known.canonical() == on_face.canonical()) {
                all.push(on_face);
            }
        }
    }
    if all.len() < 2 {
        return Ok(all.into_iter().map(Plate::whole).collect());
    }
    union(&all)
}

/// Room positions at which to look: just inside both ends and at every place between where a corner of the outline lies,
/// on either side of it. Between two such places straight sides change evenly, so their ends bound them.
fn changes(solid: &Solid, axis: Axis, between: Interval) -> Vec<Length> {
    let hair = Length::from_units(2);
    let mut found = vec![between.low + hair, between.high - hair];
    if axis != solid.normal() {
        let loops = std::iter::once(&solid.outline).chain(&solid.inside);
        for outline in loops.chain(solid.pockets.iter().map(|recess| &recess.outline)) {
            let around = outline.extents();
            for corner in outline.vertices().iter().map(|vertex| vertex.at).chain([around.low, around.high]) {
                let at = solid.frame.to_room(corner.x, corner.y, Length::ZERO)[axis.index()];
                found.extend([at - hair, at + hair]);
            }
        }
    }
    if axis == solid.normal() {
        let depth = |below: Length| {
            let side = solid.frame.into;
            solid.frame.origin[axis.index()] + below * side.sign()
        };
        for edge in &solid.edges {
            let (reach, thick) = (edge.profile.reach_down(solid.thick), solid.thick);
            found.extend([reach - hair, reach + hair, thick - reach - hair, thick - reach + hair].map(depth));
        }
        for recess in &solid.pockets {
            let depths = recess.depths(solid.thick);
            found.extend(
                [depths.low - hair, depths.low + hair, depths.high - hair, depths.high + hair].map(depth),
            );
        }
    }
    found.retain(|at| between.low < *at && *at < between.high);
    found.sort_unstable();
    found.dedup();
    found
}

/// An outline of the room plane square to the frame's normal, in face coordinates.
fn on_face(outline: &Outline, frame: &FaceFrame) -> Outline {
    let axis = frame.into.axis();
    let [first, second] = across(axis);
    let map = |point: Point| {
        let mut at = frame.origin;
        at[first.index()] = point.x;
        at[second.index()] = point.y;
        let (u, v, _) = frame.to_face(at);
        Point::new(u, v)
    };
    let swapped = frame.u.axis() != first;
    outline.mapped(map, (frame.u.sign() * frame.v.sign() < 0) != swapped)
}
