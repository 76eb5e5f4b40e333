//! The boards on the bench while joints are being cut: what is left of each, and the sentences that go wrong.

use crate::boards::{Asked, Board, BoardId, Boards, Hole, Other, Pocket};
use crate::diagnose::{Diagnostic, Faults};
use crate::joints::{Bevel, Cut, CutKind, Joint, Worked};
use crate::length::notation::tell;
use crate::length::{Interval, Length};
use crate::shape::cut::{CutFault, intersection, subtract};
use crate::shape::grow::grow_sides;
use crate::shape::solid::{Arris, Bored, EdgeShape, Profile, Recess, Solid};
use crate::shape::{Extents, Outline, Plate, Point, Vertex};
use crate::trade::{Axis, Face, FaceFrame, Side};

/// How far a side that bears on nothing is pushed out, so that the cut's mouth is clean: a tenth of a millimetre of air.
const MOUTH: Length = Length::from_units(8_000);

/// Corners that a cut put back onto the grid may lie this far off the line they are on.
const OFF_LINE: i128 = 4;

/// All boards of the job while their joints are cut.
pub(super) struct Work<'a> {
    pub boards: &'a Boards,
    pub worked: Vec<Worked>,
    pub joints: Vec<Joint>,
    pub faults: Faults,
}

impl<'a> Work<'a> {
    pub fn new(boards: &'a Boards) -> Work<'a> {
        let worked = boards.boards.iter().map(|board| Worked {
            outline: Some(board.outline.clone()),
            inside: board.inside.clone(),
            pockets: board.pockets.clone(),
            holes: board.holes.clone(),
            ..Worked::default()
        });
        Work { boards, worked: worked.collect(), joints: Vec::new(), faults: Faults::new() }
    }

    pub fn board(&self, id: BoardId) -> &'a Board {
        &self.boards.boards[id.0]
    }

    /// What is left of the board.
    pub fn plate(&self, id: BoardId) -> Plate {
        let worked = &self.worked[id.0];
        let outline = worked.outline.clone().unwrap_or_else(|| self.board(id).outline.clone());
        Plate { outline, inside: worked.inside.clone() }
    }

    pub fn solid(&self, id: BoardId) -> Solid {
        solid(self.board(id), &self.worked[id.0])
    }

    /// A length in the unit of the job, for a sentence.
    pub fn tell(&self, length: Length) -> String {
        tell(length, self.boards.job.units)
    }

    /// Takes the joint back: it stays in the list with nothing cut, and what only follows from the fault stays quiet.
    pub fn refuse(&mut self, joint: usize, fault: Diagnostic) {
        self.joints[joint].refused = true;
        self.faults.push(fault);
    }

    /// An error at the line that asked for the joint, with the two boards pointed at.
    pub fn fault(&self, name: &'static str, asked: &Asked, message: String) -> Diagnostic {
        let fault = Diagnostic::error(name, asked.place, message);
        let one = self.board(asked.first);
        match asked.second {
            Other::Board(second) => super::meet::with_boards(fault, one, self.board(second)),
            Other::Wall | Other::Floor => {
                if one.place == fault.place {
                    fault
                } else {
                    fault.also(one.place, one.name.clone())
                }
            }
        }
    }

    /// What the cutting engine cannot do soundly is never built.
    pub fn unsound(&mut self, joint: usize, asked: &Asked, board: BoardId, fault: CutFault) {
        let name = &self.board(board).name;
        let fault = match fault {
            CutFault::NothingLeft => self
                .fault("joint-takes-all", asked, format!("this joint would take away the whole of {name}"))
                .propose("check where the two boards lie"),
            CutFault::Unsound { off_by_mm2 } => self.fault(
                "cut-unsound",
                asked,
                format!("the outline of {name} after this joint does not add up (by {off_by_mm2:.6} mm²), so it is not cut"),
            ),
        };
        self.refuse(joint, fault);
    }

    /// Takes `tool` out of a board and notes the cut. False, with the fault told, where it cannot be done; `None` in the
    /// result where the tool meets no wood.
    pub fn take_out(&mut self, way: &Way, tool: &Outline) -> Option<Taken> {
        let before = self.plate(way.board);
        let pieces = match subtract(&before, tool) {
            Ok(pieces) => pieces,
            Err(fault) => {
                self.unsound(way.joint, way.asked, way.board, fault);
                return None;
            }
        };
        let mut pieces = pieces.into_iter();
        let (Some(after), None) = (pieces.next(), pieces.next()) else {
            let (name, by) = (&self.board(way.board).name, &self.board(way.by).name);
            let message = format!("letting {by} pass would cut {name} in two");
            let fault = self.fault("joint-parts-board", way.asked, message).propose(format!(
                "let {by} stop inside the edges of {name}, or make {name} of two boards that butt against {by}"
            ));
            self.refuse(way.joint, fault);
            return None;
        };
        let removed = match intersection(&self.board(way.board).outline, tool) {
            Ok(removed) => removed,
            Err(fault) => {
                self.unsound(way.joint, way.asked, way.board, fault);
                return None;
            }
        };
        let breaks_edge = after.outline.canonical() != before.outline.canonical();
        let kind = match way.kind {
            CutKind::Halving => CutKind::Halving,
            _ if breaks_edge => CutKind::Notch,
            _ => CutKind::Slot,
        };
        let cuts = removed.iter().map(|outline| Cut {
            kind,
            outline: outline.clone(),
            by: way.by,
            fit: way.asked.fit,
            joint: way.joint,
        });
        let worked = &mut self.worked[way.board.0];
        worked.cuts.extend(cuts);
        worked.outline = Some(after.outline);
        worked.inside = after.inside;
        Some(Taken { breaks_edge, wood: !removed.is_empty() })
    }
}

/// What is to be taken out of which board, and why.
pub(super) struct Way<'b> {
    pub asked: &'b Asked,
    pub joint: usize,
    pub board: BoardId,
    pub by: BoardId,
    pub kind: CutKind,
}

/// What a cut did.
pub(super) struct Taken {
    /// It breaks an edge of the board, rather than opening it inside.
    pub breaks_edge: bool,
    /// It met wood at all.
    pub wood: bool,
}

/// The solid of a board after the joints so far.
pub fn solid(board: &Board, worked: &Worked) -> Solid {
    let outline = worked.outline.clone().unwrap_or_else(|| board.outline.clone());
    let profiles =
        board.edges.iter().filter_map(|edge| edge.profile.map(|shape| (edge.from, edge.to, shape)));
    build(
        board.frame,
        board.thick(),
        Faces {
            outline,
            inside: &worked.inside,
            pockets: &worked.pockets,
            holes: &worked.holes,
            bevels: &worked.bevels,
            profiles: profiles.collect(),
        },
    )
}

/// All that makes a piece, in face coordinates.
pub struct Faces<'a> {
    pub outline: Outline,
    pub inside: &'a [Outline],
    pub pockets: &'a [Pocket],
    pub holes: &'a [Hole],
    pub bevels: &'a [Bevel],
    /// Runs of the edge with their profiles, before anything broke them.
    pub profiles: Vec<(Point, Point, (Profile, Arris))>,
}

/// The solid of a piece whose face coordinates lie as `frame` says.
pub fn build(frame: FaceFrame, thick: Length, faces: Faces) -> Solid {
    let mut edges = Vec::new();
    for (from, to, (profile, arris)) in &faces.profiles {
        for (from, to) in runs_left(&faces.outline, *from, *to) {
            edges.push(EdgeShape { from, to, profile: *profile, arris: *arris });
        }
    }
    for bevel in faces.bevels {
        let arris = match bevel.long {
            Face::Show => Arris::Back,
            Face::Back => Arris::Show,
        };
        for (from, to) in runs_left(&faces.outline, bevel.from, bevel.to) {
            edges.push(EdgeShape { from, to, profile: Profile::Bevel { run: bevel.run }, arris });
        }
    }
    let recess =
        |pocket: &Pocket| Recess { outline: pocket.outline.clone(), depth: pocket.depth, from: pocket.from };
    let bored = |hole: &Hole| Bored {
        at: hole.at,
        diameter: hole.diameter,
        depth: hole.depth,
        from: hole.from,
        slot: hole.slot,
    };
    Solid {
        frame,
        thick,
        inside: faces.inside.to_vec(),
        pockets: faces.pockets.iter().map(recess).collect(),
        holes: faces.holes.iter().map(bored).collect(),
        edges,
        outline: faces.outline,
    }
}

/// The straight sides that an outline still has along the line `from` → `to`, in its direction.
pub fn runs_left(outline: &Outline, from: Point, to: Point) -> Vec<(Point, Point)> {
    let wide = |length: Length| i128::from(length.units());
    let (dx, dy) = (wide(to.x - from.x), wide(to.y - from.y));
    let square = dx * dx + dy * dy;
    let off = |point: Point| {
        let (px, py) = (wide(point.x - from.x), wide(point.y - from.y));
        let cross = dx * py - dy * px;
        cross * cross <= OFF_LINE * OFF_LINE * square
    };
    let along = |point: Point| wide(point.x - from.x) * dx + wide(point.y - from.y) * dy;
    outline
        .segments()
        .filter(|(start, end)| {
            let (first, last) = (along(start.at), along(*end));
            start.bulge == 0.0 && off(start.at) && off(*end) && first < last && first < square && last > 0
        })
        .map(|(start, end)| {
            (if along(start.at) < 0 { from } else { start.at }, if along(end) > square { to } else { end })
        })
        .collect()
}

/// The outline grown by `fit` on every side behind which there is wood of `plate`, and by a little on the others, so that
/// the mouth is clean; sides along one of the `fixed` lines stay where they are.
pub(super) fn grown(tool: &Outline, plate: &Plate, fit: Length, fixed: &[Stop]) -> Option<Outline> {
    let amounts: Vec<Length> = tool
        .segments()
        .map(|(from, to)| {
            if fixed.iter().any(|stop| stop.holds(from.at) && stop.holds(to)) {
                Length::ZERO
            } else if bears(from, to, plate) {
                fit
            } else {
                MOUTH.max(fit)
            }
        })
        .collect();
    grow_sides(tool, &amounts).ok()
}

/// A line across the face at which a cut ends exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stop {
    U(Length),
    V(Length),
}

impl Stop {
    fn holds(self, point: Point) -> bool {
        match self {
            Stop::U(u) => point.x == u,
            Stop::V(v) => point.y == v,
        }
    }
}

/// True where there is wood right outside any part of a tool's side (the tool lies to the left of it).
fn bears(from: Vertex, to: Point, plate: &Plate) -> bool {
    let side = Outline::new(vec![from, Vertex { at: to, bulge: 0.0 }]).ok();
    // A straight side is judged between every two places where a line of the plate can begin or end beside it.
    let points: Vec<(f64, f64)> = match (from.bulge == 0.0, side) {
        (false, Some(arc)) => {
            let mut points = arc.flattened(0.01);
            points.push(to.to_mm());
            points
        }
        _ => vec![from.at.to_mm(), to.to_mm()],
    };
    let points = if from.bulge < 0.0 { points.into_iter().rev().collect() } else { points };
    points.windows(2).any(|pair| straight_bears(pair[0], pair[1], plate))
}

fn straight_bears(from: (f64, f64), to: (f64, f64), plate: &Plate) -> bool {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = libm::hypot(dx, dy);
    if length == 0.0 {
        return false;
    }
    let (ux, uy) = (dx / length, dy / length);
    // Right of the direction of travel lies outside the tool.
    let beyond = Length::TOUCH.to_mm();
    let (ox, oy) = (from.0 + uy * beyond, from.1 - ux * beyond);
    let mut breaks = vec![0.0, length];
    for outline in plate.loops() {
        let points = outline.flattened(0.01);
        let next = points.iter().cycle().skip(1);
        for (a, b) in points.iter().zip(next) {
            let (ha, hb) = (height((ox, oy), (ux, uy), *a), height((ox, oy), (ux, uy), *b));
            if (ha < 0.0) != (hb < 0.0) {
                let share = ha / (ha - hb);
                let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
                breaks.push((at.0 - ox) * ux + (at.1 - oy) * uy);
            }
        }
    }
    breaks.retain(|along| (0.0..=length).contains(along));
    breaks.sort_by(f64::total_cmp);
    breaks.windows(2).filter(|pair| pair[1] - pair[0] > 4.0 * beyond).any(|pair| {
        let middle = (pair[0] + pair[1]) / 2.0;
        let point = Point::new(Length::from_mm(ox + ux * middle), Length::from_mm(oy + uy * middle));
        plate.outline.contains(point) && !plate.inside.iter().any(|hole| hole.contains(point))
    })
}

/// How far a point lies to the left of a line.
fn height(origin: (f64, f64), along: (f64, f64), point: (f64, f64)) -> f64 {
    along.0 * (point.1 - origin.1) - along.1 * (point.0 - origin.0)
}

/// A box of the room as a rectangle of a board's face.
pub(super) fn on_face(frame: &FaceFrame, span: &[Interval; 3]) -> Extents {
    let corner = |high: bool| span.map(|along| if high { along.high } else { along.low });
    let (a, b) = (frame.to_face(corner(false)), frame.to_face(corner(true)));
    Extents { low: Point::new(a.0.min(b.0), a.1.min(b.1)), high: Point::new(a.0.max(b.0), a.1.max(b.1)) }
}

/// The axis that a board's thickness lies along.
pub(super) fn normal(board: &Board) -> Axis {
    board.frame.into.axis()
}

/// The face of a board that looks to this side; `None` for its edges.
pub(super) fn face_towards(board: &Board, side: Side) -> Option<Face> {
    if side == board.frame.show() {
        Some(Face::Show)
    } else if side == board.frame.into {
        Some(Face::Back)
    } else {
        None
    }
}
