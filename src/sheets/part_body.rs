//! The solid of one part, standing up with its show face to the front, and its lines as an eye sees them. Where a part has very
//! many holes, those that meet nothing else are kept out of the solid: a circle each, of which every view is known.

use std::collections::BTreeSet;

use crate::boards::Profile;
use crate::drawing::{LineType, Mark, circle};
use crate::length::Length;
use crate::parts::Part;
use crate::shape::shell::Shell;
use crate::shape::view::{Projection, ViewLine, view};
use crate::shape::{Extents, Outline, Point};
use crate::trade::{Face, FaceFrame, Side};

use super::face_view::OnPaper;

/// Up to so many holes all are part of the solid, and their hidden lines are seen on the edge view.
const FEW: usize = 24;

/// A part ready to be looked at.
pub struct Body {
    /// `None` where no solid could be made of it.
    shell: Option<Shell>,
    /// Indices of holes that are not in the shell.
    plain: BTreeSet<usize>,
}

impl Body {
    pub fn of(part: &Part) -> Body {
        let plain = plain_holes(part);
        // Standing up with its show face to the front, as the views of assemblies see a board.
        let frame = FaceFrame { origin: [Length::ZERO; 3], u: Side::Right, v: Side::Top, into: Side::Back };
        Body { shell: Shell::of(&part.solid_without(frame, &plain)).ok(), plain }
    }

    /// Its lines seen from a side: across from `Front` the show face, across from `Right` or `Left` an edge, with the face's
    /// (0, 0) and the show face at zero. Without the plain holes.
    pub fn lines(&self, eye: Side) -> Option<Vec<ViewLine>> {
        self.shell.as_ref().map(|shell| view(std::slice::from_ref(shell), &Projection::of(eye)))
    }

    /// The circles of the plain holes on the face view: seen, and hidden.
    pub fn circles(&self, part: &Part, on: &OnPaper) -> (Vec<Mark>, Vec<Mark>) {
        let (mut seen, mut hidden) = (Vec::new(), Vec::new());
        for hole in self.plain.iter().filter_map(|i| part.holes.get(*i)) {
            let path = circle(on.at(hole.at), hole.diameter.to_mm() / 2.0 * on.factor);
            if hole.from == Face::Show || hole.depth.is_none() {
                seen.push(Mark::Stroke { path, line: LineType::Visible });
            } else {
                hidden.push(Mark::Stroke { path, line: LineType::Hidden });
            }
        }
        (seen, hidden)
    }
}

/// Holes that stand clear of each other, of all edges and of every cut; none where there are few.
fn plain_holes(part: &Part) -> BTreeSet<usize> {
    if part.holes.len() <= FEW {
        return BTreeSet::new();
    }
    let size = |profile: Profile| match profile {
        Profile::Chamfer { along_face, .. } => along_face,
        Profile::Round { radius } => radius,
        Profile::Rebate { width, .. } => width,
        Profile::Bevel { run } => run,
    };
    let worked = part.edges.iter().filter_map(|e| e.profile).map(|(profile, _)| size(profile));
    let worked = worked.chain(part.bevels.iter().map(|b| b.run)).max().unwrap_or_default();
    let grown = |around: Extents, by: Length| Extents {
        low: Point::new(around.low.x - by, around.low.y - by),
        high: Point::new(around.high.x + by, around.high.y + by),
    };
    let boxes: Vec<Extents> = part
        .holes
        .iter()
        .map(|h| {
            if let Some(slot) = h.outline().filter(|_| h.slot.is_some()) {
                return grown(slot.extents(), Length::TOUCH);
            }
            let half = h.countersink.unwrap_or(h.diameter).max(h.diameter).half() + Length::TOUCH;
            grown(Extents { low: h.at, high: h.at }, half)
        })
        .collect();
    let inner = part.inside.iter().chain(part.pockets.iter().map(|p| &p.outline));
    let walls: Vec<Extents> = std::iter::once(&part.outline).chain(inner).flat_map(walls).collect();
    let bores = part.bores.iter().map(|b| grown(spanned(b.at, b.leaves), b.diameter));
    let others: Vec<Extents> = part.pockets.iter().map(|p| p.outline.extents()).chain(bores).collect();
    let clear = |i: usize| {
        let own = boxes[i];
        part.holes[i].slot.is_none()
            && part.outline.contains(part.holes[i].at)
            && !part.inside.iter().any(|o| o.contains(part.holes[i].at))
            && !walls.iter().any(|wall| meet(grown(own, worked), *wall))
            && !others.iter().any(|other| meet(own, *other))
    };
    let mut plain: BTreeSet<usize> = (0..boxes.len()).filter(|i| clear(*i)).collect();
    // Swept from left to right: only holes that share some width are held against each other.
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by_key(|i| (boxes[*i].low.x, *i));
    for (place, one) in order.iter().enumerate() {
        for other in &order[place + 1..] {
            if boxes[*other].low.x > boxes[*one].high.x {
                break;
            }
            if meet(boxes[*one], boxes[*other]) {
                plain.remove(one);
                plain.remove(other);
            }
        }
    }
    plain
}

/// A box round each side of an outline; generous round arcs.
fn walls(outline: &Outline) -> Vec<Extents> {
    let side = |(from, to): (crate::shape::Vertex, Point)| {
        let chord = spanned(from.at, to);
        let out = if from.bulge == 0.0 {
            Length::ZERO
        } else {
            // An arc stays within its rise of the chord, |bulge| half chords, and within half a chord past its ends.
            let (dx, dy) = ((to.x - from.at.x).to_mm(), (to.y - from.at.y).to_mm());
            Length::from_mm(libm::hypot(dx, dy) * (from.bulge.abs() + 1.0))
        };
        Extents {
            low: Point::new(chord.low.x - out, chord.low.y - out),
            high: Point::new(chord.high.x + out, chord.high.y + out),
        }
    };
    outline.segments().map(side).collect()
}

fn spanned(a: Point, b: Point) -> Extents {
    Extents { low: Point::new(a.x.min(b.x), a.y.min(b.y)), high: Point::new(a.x.max(b.x), a.y.max(b.y)) }
}

fn meet(a: Extents, b: Extents) -> bool {
    a.low.x <= b.high.x && b.low.x <= a.high.x && a.low.y <= b.high.y && b.low.y <= a.high.y
}
