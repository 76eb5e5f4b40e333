//! When two pieces are the same: all they are made of agrees after one of the motions that a piece allows. Turned half
//! round in its plane it is the same piece; turned over only where nothing tells its faces apart.

use crate::boards::{Board, Edge, Hole, HoleKind};
use crate::joints::{Bevel, Bore};
use crate::length::Length;
use crate::parts::Part;
use crate::shape::solid::{Arris, Profile};
use crate::shape::{Outline, Point};
use crate::trade::{Face, FaceFrame, Grain, Side};

/// Sizes closer than this are the same size: two pieces that no caliper tells apart are one part.
const SAME: Length = Length::TOUCH;

/// Bends closer than this are the same: on a chord of 4 m it moves the crown of an arc by 2 µm.
const SAME_BEND: f64 = 1e-6;

/// What must agree exactly before two pieces are compared at all; keeps the search short.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Kind {
    assembly: usize,
    stock: usize,
    thick: Length,
    grain: Grain,
    finish: Option<String>,
    counts: [usize; 7],
}

impl Kind {
    pub fn of(part: &Part, assembly: usize) -> Kind {
        let counts = [
            part.outline.vertices().len(),
            part.inside.len(),
            part.pockets.len(),
            part.holes.len(),
            part.bores.len(),
            part.bevels.len(),
            runs(part).len(),
        ];
        Kind {
            assembly,
            stock: part.stock,
            thick: part.thick,
            grain: part.grain,
            finish: part.finish.clone(),
            counts,
        }
    }
}

/// A motion that lays a piece's box onto itself. A proper one swaps the faces exactly where it turns the outline into its
/// mirror image; an improper one makes the piece's mirror image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Motion {
    flip_u: bool,
    flip_v: bool,
    swap_faces: bool,
}

impl Motion {
    pub const NONE: Motion = Motion { flip_u: false, flip_v: false, swap_faces: false };
    const HALF_TURN: Motion = Motion { flip_u: true, flip_v: true, swap_faces: false };
    const OVER: [Motion; 2] = [
        Motion { flip_u: true, flip_v: false, swap_faces: true },
        Motion { flip_u: false, flip_v: true, swap_faces: true },
    ];
    /// Left becomes right: with the motions above it gives every mirror image.
    const MIRROR: Motion = Motion { flip_u: true, flip_v: false, swap_faces: false };

    fn then(self, other: Motion) -> Motion {
        Motion {
            flip_u: self.flip_u != other.flip_u,
            flip_v: self.flip_v != other.flip_v,
            swap_faces: self.swap_faces != other.swap_faces,
        }
    }

    fn mirrors_outline(self) -> bool {
        self.flip_u != self.flip_v
    }

    /// Where the part's coordinates lie in the room, for a board that is the part after this motion.
    /// `low` is the corner of the board's face where the piece's (0, 0) lies.
    pub fn frame(self, board: &Board, low: Point, raw: &Part) -> FaceFrame {
        let pick = |flip: bool, size: Length| if flip { size } else { Length::ZERO };
        let origin = board.frame.to_room(
            low.x + pick(self.flip_u, raw.width),
            low.y + pick(self.flip_v, raw.height),
            pick(self.swap_faces, raw.thick),
        );
        let turned = |side: Side, flip: bool| if flip { side.opposite() } else { side };
        FaceFrame {
            origin,
            u: turned(board.frame.u, self.flip_u),
            v: turned(board.frame.v, self.flip_v),
            into: turned(board.frame.into, self.swap_faces),
        }
    }

    fn point(self, part: &Part, point: Point) -> Point {
        Point::new(
            if self.flip_u { part.width - point.x } else { point.x },
            if self.flip_v { part.height - point.y } else { point.y },
        )
    }

    fn outline(self, part: &Part, outline: &Outline) -> Outline {
        outline.mapped(|point| self.point(part, point), self.mirrors_outline())
    }

    fn run(self, part: &Part, run: (Point, Point)) -> (Point, Point) {
        let (from, to) = (self.point(part, run.0), self.point(part, run.1));
        // Wood stays on the left of a run.
        if self.mirrors_outline() { (to, from) } else { (from, to) }
    }

    fn face(self, face: Face) -> Face {
        if self.swap_faces { face.other() } else { face }
    }

    fn depth(self, part: &Part, depth: Length) -> Length {
        if self.swap_faces { part.thick - depth } else { depth }
    }

    fn arris(self, arris: Arris) -> Arris {
        match (self.swap_faces, arris) {
            (true, Arris::Show) => Arris::Back,
            (true, Arris::Back) => Arris::Show,
            _ => arris,
        }
    }
}

/// The motion that makes one piece of the other, where there is one.
pub(super) fn motion_between(one: &Part, other: &Part) -> Option<Motion> {
    motions(one).find(|motion| agree(one, other, *motion))
}

/// True where two parts, of whatever jobs, are the same piece of wood by shape, thickness and grain. What they are cut
/// from, their finish and what they are for are not compared.
pub fn same_piece(one: &Part, other: &Part) -> bool {
    motion_between(one, other).is_some()
}

/// True where one is the mirror image of the other.
pub(super) fn are_mirror_images(one: &Part, other: &Part) -> bool {
    motions(one).any(|motion| agree(one, other, motion.then(Motion::MIRROR)))
}

/// True where a piece and its mirror image are the same piece.
pub(super) fn is_own_mirror_image(part: &Part) -> bool {
    are_mirror_images(part, part)
}

/// The motions that leave a piece the same piece.
fn motions(part: &Part) -> impl Iterator<Item = Motion> {
    let over = (!faces_differ(part)).then_some(Motion::OVER).into_iter().flatten();
    [Motion::NONE, Motion::HALF_TURN].into_iter().chain(over)
}

/// True where something is done to one face and not to the other, so that the piece must not be turned over.
pub fn faces_differ(part: &Part) -> bool {
    let one_sided_hole = |hole: &Hole| hole.depth.is_some() || hole.countersink.is_some();
    let off_middle = |bore: &Bore| bore.degrees != 0.0 || bore.leaves_depth * 2 != part.thick;
    !part.pockets.is_empty()
        || !part.bevels.is_empty()
        || part.holes.iter().any(one_sided_hole)
        || part.bores.iter().any(off_middle)
        || runs(part).iter().any(|run| run.profile.is_some_and(|(_, arris)| arris != Arris::Both))
}

/// What is left of an edge with something done to it.
#[derive(Clone, Debug)]
struct Run {
    ends: (Point, Point),
    profile: Option<(Profile, Arris)>,
    scribe: Length,
    finish: Option<String>,
}

fn runs(part: &Part) -> Vec<Run> {
    let of = |edge: &Edge| {
        let (profile, scribe, finish) = (edge.profile, edge.scribe, edge.finish.clone());
        part.edge_runs(edge).into_iter().map(move |ends| Run {
            ends,
            profile,
            scribe,
            finish: finish.clone(),
        })
    };
    part.edges.iter().flat_map(of).collect()
}

/// True where `one` after the motion is `other`, in all that is made of it.
fn agree(one: &Part, other: &Part, motion: Motion) -> bool {
    let near_size = (one.width - other.width).abs() <= SAME && (one.height - other.height).abs() <= SAME;
    near_size
        && one.thick == other.thick
        && one.grain == other.grain
        && same_outline(&motion.outline(one, &one.outline), &other.outline)
        && all_found(&one.inside, &other.inside, |a, b| same_outline(&motion.outline(one, a), b))
        && all_found(&one.pockets, &other.pockets, |a, b| {
            a.kind == b.kind
                && motion.face(a.from) == b.from
                && (a.depth - b.depth).abs() <= SAME
                && same_outline(&motion.outline(one, &a.outline), &b.outline)
        })
        && all_found(&one.holes, &other.holes, |a, b| same_hole(one, motion, a, b))
        && all_found(&one.bores, &other.bores, |a, b| same_bore(one, motion, a, b))
        && all_found(&one.bevels, &other.bevels, |a, b| same_bevel(one, motion, a, b))
        && all_found(&runs(one), &runs(other), |a, b| {
            let ends = motion.run(one, a.ends);
            near(ends.0, b.ends.0)
                && near(ends.1, b.ends.1)
                && a.profile.map(|(profile, arris)| (profile, motion.arris(arris))) == b.profile
                && a.scribe == b.scribe
                && a.finish == b.finish
        })
}

fn same_hole(part: &Part, motion: Motion, one: &Hole, other: &Hole) -> bool {
    // A plain hole right through has no side.
    let sided = one.depth.is_some() || one.countersink.is_some();
    let asked = |hole: &Hole| hole.why == HoleKind::Asked;
    near(motion.point(part, one.at), other.at)
        && one.diameter == other.diameter
        && one.depth.is_some() == other.depth.is_some()
        && (one.depth.unwrap_or_default() - other.depth.unwrap_or_default()).abs() <= SAME
        && one.countersink == other.countersink
        && one.slot == other.slot
        && (!sided || motion.face(one.from) == other.from)
        && asked(one) == asked(other)
}

fn same_bore(part: &Part, motion: Motion, one: &Bore, other: &Bore) -> bool {
    near(motion.point(part, one.at), other.at)
        && near(motion.point(part, one.leaves), other.leaves)
        && (motion.depth(part, one.leaves_depth) - other.leaves_depth).abs() <= SAME
        && one.diameter == other.diameter
        && one.degrees == other.degrees
        && (one.degrees == 0.0 || motion.face(one.from) == other.from)
}

fn same_bevel(part: &Part, motion: Motion, one: &Bevel, other: &Bevel) -> bool {
    let ends = motion.run(part, (one.from, one.to));
    near(ends.0, other.from)
        && near(ends.1, other.to)
        && (one.run - other.run).abs() <= SAME
        && motion.face(one.long) == other.long
}

/// True where the two lists hold the same things in any order.
fn all_found<T>(one: &[T], other: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
    if one.len() != other.len() {
        return false;
    }
    let mut free: Vec<&T> = other.iter().collect();
    one.iter().all(|item| {
        let found = free.iter().position(|candidate| same(item, candidate));
        found.map(|index| free.swap_remove(index)).is_some()
    })
}

fn near(one: Point, other: Point) -> bool {
    (one.x - other.x).abs() <= SAME && (one.y - other.y).abs() <= SAME
}

/// True where two outlines are the same line, wherever their vertices start.
pub fn same_outline(one: &Outline, other: &Outline) -> bool {
    let (a, b) = (one.vertices(), other.vertices());
    let count = a.len();
    count == b.len()
        && (0..count).any(|shift| {
            (0..count).all(|index| {
                let (x, y) = (a[index], b[(index + shift) % count]);
                near(x.at, y.at) && (x.bulge - y.bulge).abs() <= SAME_BEND
            })
        })
}
