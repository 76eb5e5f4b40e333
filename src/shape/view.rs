//! Orthographic views of solids: every edge once, split into what is seen and what is hidden, tagged with its solid; and
//! sections with what lies behind the plane. Pure geometry in room mm: line types, scales and hatching belong to sheets.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::length::Length;
use crate::shape::cut::CutFault;
use crate::shape::hidden::{Cover, Covers, Sight};
use crate::shape::lines::{Run, merged};
use crate::shape::section::section;
use crate::shape::shell::{Curve, FlatFace, Lean, Shell, SolidEdge};
use crate::shape::solid::{Solid, across};
use crate::shape::space::{arc_points, arc_steps, cross, direction, dot, unit};
use crate::shape::{Outline, Plate, Point};
use crate::trade::{Axis, FaceFrame, Side};

/// How the room is looked at: three unit directions at right angles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    /// To the right on the paper.
    pub right: [f64; 3],
    /// Up on the paper.
    pub up: [f64; 3],
    /// From the thing to the eye.
    pub toward: [f64; 3],
}

impl Projection {
    /// Looking at a side of the room, as boards are looked at (see [`FaceFrame::of_plate`]): upright ones with the top up,
    /// from above with the back up.
    pub fn of(side: Side) -> Projection {
        let frame = view_frame(side);
        Projection { right: direction(frame.u), up: direction(frame.v), toward: direction(side) }
    }

    /// An isometric view (ISO 5456-3) from the corner between two upright sides, from above: all three axes are
    /// foreshortened alike, by √(2/3). Two sides of one axis give the view from the front and right.
    pub fn isometric(one: Side, other: Side) -> Projection {
        let sides = [one, other];
        let upright = sides.iter().all(|side| side.axis() != Axis::Up) && one.axis() != other.axis();
        let [one, other] = if upright { sides } else { [Side::Front, Side::Right] };
        let (a, b, c) = (direction(one), direction(other), direction(Side::Top));
        let toward = unit([0, 1, 2].map(|i| a[i] + b[i] + c[i]));
        let right = unit(cross(c, toward));
        Projection { right, up: cross(toward, right), toward }
    }

    /// (right, up, towards the eye) of a room position in mm.
    pub fn project(&self, at: [f64; 3]) -> (f64, f64, f64) {
        (dot(self.right, at), dot(self.up, at), dot(self.toward, at))
    }
}

/// What a line of a view is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineKind {
    /// The outline of what a section plane cuts.
    Cut,
    /// Where two faces meet at an angle.
    Crease,
    /// Where a curved surface turns away.
    Silhouette,
}

/// A line of a view, in mm on the projection plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ViewLine {
    pub from: (f64, f64),
    pub to: (f64, f64),
    /// tan(sweep / 4) of an arc, 0 for a straight line; as in [`crate::shape::Vertex`].
    pub bulge: f64,
    pub visible: bool,
    /// Index of the solid it belongs to; the nearest where several share it.
    pub solid: usize,
    pub kind: LineKind,
}

/// What a plane cuts, and what is seen behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionView {
    /// For each solid that is cut, its index and the cut areas, in the coordinates of the lines.
    pub cut: Vec<(usize, Vec<Plate>)>,
    pub lines: Vec<ViewLine>,
}

/// The view of solids given by their shells. Lines come visible ones first, then by solid and place.
pub fn view(shells: &[Shell], projection: &Projection) -> Vec<ViewLine> {
    let items: Vec<Item> = shells
        .iter()
        .enumerate()
        .map(|(solid, shell)| Item {
            solid,
            faces: Cow::Borrowed(&shell.faces),
            edges: Cow::Borrowed(&shell.edges),
            cut_edges: Vec::new(),
        })
        .collect();
    lines_of(&items, projection)
}

/// The section on a plane square to a room axis at `at`, looked at from the side of the room that `eye` names; what lies
/// before the plane is taken away.
pub fn section_view(solids: &[&Solid], eye: Side, at: Length) -> Result<SectionView, CutFault> {
    let projection = Projection::of(eye);
    let axis = eye.axis();
    let mut items = Vec::new();
    let mut cut = Vec::new();
    for (index, solid) in solids.iter().enumerate() {
        let reach = solid.extents()[axis.index()];
        let before = if eye.is_high() { reach.low >= at } else { reach.high <= at };
        if before {
            continue;
        }
        let shell = Shell::of(solid)?;
        let crossed = reach.low < at && at < reach.high;
        if !crossed {
            let (faces, edges) = (Cow::Owned(shell.faces), Cow::Owned(shell.edges));
            items.push(Item { solid: index, faces, edges, cut_edges: Vec::new() });
            continue;
        }
        let plates = section(solid, axis, at)?.plates;
        let mut item = behind(&shell, index, eye, at.to_mm());
        let surface = usize::MAX;
        for plate in &plates {
            let loops = plate.loops().map(|line| room_loop(line, axis, at)).collect();
            item.faces.to_mut().push(FlatFace { loops, normal: direction(eye), surface });
            item.cut_edges.extend(plate.loops().flat_map(|line| room_edges(line, axis, at, eye, surface)));
        }
        cut.push((index, plates.iter().map(|plate| in_view(plate, axis, eye)).collect()));
        items.push(item);
    }
    Ok(SectionView { cut, lines: lines_of(&items, &projection) })
}

/// A solid as a view sees it.
struct Item<'a> {
    solid: usize,
    faces: Cow<'a, [FlatFace]>,
    edges: Cow<'a, [SolidEdge]>,
    cut_edges: Vec<SolidEdge>,
}

/// A face counts as turned to the eye from about a hundred thousandth of a degree on.
const FACING: f64 = 1e-7;

fn lines_of(items: &[Item], projection: &Projection) -> Vec<ViewLine> {
    let mut covers = Vec::new();
    for item in items {
        for face in item.faces.iter().filter(|face| dot(face.normal, projection.toward) > FACING) {
            covers.extend(Cover::of(face, item.solid, projection));
        }
    }
    let covers = Covers::new(covers);
    let mut traces = Traces::default();
    for item in items {
        let edges = item.edges.iter().map(|edge| (edge, false));
        for (edge, is_cut) in edges.chain(item.cut_edges.iter().map(|edge| (edge, true))) {
            traces.add(edge, is_cut, item.solid, projection);
        }
    }
    merged(traces.nearest().flat_map(|trace| trace.runs(&covers)).collect())
}

/// An edge, or a chord of one, before it is known what of it is seen.
struct Trace {
    sight: Sight,
    arc: Option<FlatArc>,
    kind: LineKind,
    /// Both faces beside it look away: the solid's own wood is before it.
    away: bool,
}

/// The edges of a view. Of those that fall on each other from end to end only the nearest is kept: what hides it hides the
/// others too, and where it is seen they are not drawn.
#[derive(Default)]
struct Traces {
    all: Vec<Trace>,
    by_place: BTreeMap<[i64; 4], Vec<usize>>,
}

impl Traces {
    fn add(&mut self, edge: &SolidEdge, is_cut: bool, solid: usize, look: &Projection) {
        let kind = match (is_cut, edge.smooth) {
            (true, _) => LineKind::Cut,
            (_, true) => LineKind::Silhouette,
            _ => LineKind::Crease,
        };
        let steps = match &edge.curve {
            Curve::Line { .. } => 1,
            Curve::Arc { radius, sweep, .. } => arc_steps(*radius, *sweep),
        };
        let flat_arc = FlatArc::of(&edge.curve, look);
        let share = |step: usize| step as f64 / steps as f64;
        for step in 0..steps {
            let (low, high) = (share(step), share(step + 1));
            let turned = edge.leans.map(|lean| facing(lean, &edge.curve, (low + high) / 2.0, look));
            if edge.smooth && (turned[0] > FACING) == (turned[1] > FACING) {
                continue;
            }
            let (from, to) = (look.project(edge.curve.at(low)), look.project(edge.curve.at(high)));
            self.push(Trace {
                sight: Sight { from, to, solid, surfaces: edge.surfaces },
                arc: flat_arc.map(|arc| arc.part(low, high)),
                kind,
                away: turned.iter().all(|turn| *turn < -FACING),
            });
        }
    }

    fn push(&mut self, trace: Trace) {
        // Ends to a ten thousandth of a millimetre, the lower one first.
        let place = |point: (f64, f64, f64)| [point.0, point.1].map(|v| libm::rint(v * 1e4) as i64);
        let (a, b) = (place(trace.sight.from), place(trace.sight.to));
        let depths = |trace: &Trace| {
            let (from, to) = (trace.sight.from.2, trace.sight.to.2);
            if place(trace.sight.from) <= place(trace.sight.to) { (from, to) } else { (to, from) }
        };
        let (low, high) = (a.min(b), a.max(b));
        let kept = self.by_place.entry([low[0], low[1], high[0], high[1]]).or_default();
        let mine = depths(&trace);
        for place in kept.iter_mut() {
            let Some(other) = self.all.get_mut(*place) else { continue };
            // A chord and a straight edge of the same ends are not the same line.
            if other.arc.is_some() != trace.arc.is_some() {
                continue;
            }
            let theirs = depths(other);
            let cut = (trace.kind == LineKind::Cut, other.kind == LineKind::Cut);
            let before = (mine.0 > theirs.0 && mine.1 > theirs.1, mine.0 <= theirs.0 && mine.1 <= theirs.1);
            match (cut, before) {
                ((false, true), _) | ((true, true) | (false, false), (_, true)) => return,
                ((true, false), _) | (_, (true, _)) => {
                    *other = trace;
                    return;
                }
                _ => {}
            }
        }
        kept.push(self.all.len());
        self.all.push(trace);
    }

    fn nearest(self) -> impl Iterator<Item = Trace> {
        self.all.into_iter()
    }
}

impl Trace {
    /// Its runs, seen and hidden ones.
    fn runs(&self, covers: &Covers) -> Vec<Run> {
        let Trace { sight, arc, kind, away } = self;
        let mut runs = Vec::new();
        let mut push = |from: f64, to: f64, visible: bool| {
            if to <= from {
                return;
            }
            let depth = sight.from.2 + (sight.to.2 - sight.from.2) * (from + to) / 2.0;
            let place = |t: f64| {
                let (a, b) = (sight.from, sight.to);
                if t == 1.0 { (b.0, b.1) } else { (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t) }
            };
            let (arc, kind, solid) = (arc.map(|arc| arc.part(from, to)), *kind, sight.solid);
            runs.push(Run { from: place(from), to: place(to), arc, depth, visible, solid, kind });
        };
        let mut done = 0.0;
        for (from, to) in if *away { Vec::new() } else { covers.seen(sight) } {
            push(done, from, false);
            push(from, to, true);
            done = to;
        }
        push(done, 1.0, false);
        runs
    }
}

/// How far a face beside an edge is turned to the eye, 1 full on, negative away.
fn facing(lean: Lean, curve: &Curve, share: f64, look: &Projection) -> f64 {
    match (lean, curve) {
        (Lean::Flat(normal), _) => dot(normal, look.toward),
        (Lean::Radial(sign), Curve::Arc { centre, .. }) => {
            let at = curve.at(share);
            sign * dot(unit([0, 1, 2].map(|i| at[i] - centre[i])), look.toward)
        }
        (Lean::Radial(_), Curve::Line { .. }) => 0.0,
    }
}

/// An arc that lies flat in the view.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FlatArc {
    pub centre: (f64, f64),
    pub radius: f64,
    /// Radians from +x of the view.
    pub start: f64,
    pub sweep: f64,
}

impl FlatArc {
    fn of(curve: &Curve, look: &Projection) -> Option<FlatArc> {
        let Curve::Arc { centre, x, y, radius, start, sweep } = curve else { return None };
        let square = dot(cross(*x, *y), look.toward);
        if square.abs() < 1.0 - 1e-9 {
            return None;
        }
        let (cx, cy, _) = look.project(*centre);
        let (px, py, _) = look.project(*x);
        let turn = square.signum();
        let start = libm::atan2(py, px) + turn * start;
        Some(FlatArc { centre: (cx, cy), radius: *radius, start, sweep: turn * sweep })
    }

    fn part(&self, from: f64, to: f64) -> FlatArc {
        FlatArc { start: self.start + self.sweep * from, sweep: self.sweep * (to - from), ..*self }
    }
}

/// The part of a shell on the far side of a plane.
fn behind(shell: &Shell, solid: usize, eye: Side, at: f64) -> Item<'static> {
    let axis = eye.axis().index();
    let far = |p: &[f64; 3]| (at - p[axis]) * eye.sign() as f64;
    let mut faces = Vec::new();
    for face in &shell.faces {
        let loops: Vec<Vec<[f64; 3]>> =
            face.loops.iter().map(|line| clipped(line, far)).filter(|line| line.len() > 2).collect();
        if !loops.is_empty() {
            faces.push(FlatFace { loops, ..face.clone() });
        }
    }
    let mut edges = Vec::new();
    for edge in &shell.edges {
        let pieces = match &edge.curve {
            Curve::Line { .. } => 1,
            Curve::Arc { radius, sweep, .. } => arc_steps(*radius, *sweep),
        };
        let ends: Vec<[f64; 3]> = (0..=pieces).map(|k| edge.curve.at(k as f64 / pieces as f64)).collect();
        if ends.iter().all(|p| far(p) >= 0.0) {
            edges.push(*edge);
            continue;
        }
        for pair in ends.windows(2) {
            let (a, b) = (far(&pair[0]), far(&pair[1]));
            let meet = |p: [f64; 3], q: [f64; 3], t: f64| [0, 1, 2].map(|i| p[i] + (q[i] - p[i]) * t);
            let (from, to) = match (a >= 0.0, b >= 0.0) {
                (true, true) => (pair[0], pair[1]),
                (true, false) if a > 0.0 => (pair[0], meet(pair[0], pair[1], a / (a - b))),
                (false, true) if b > 0.0 => (meet(pair[0], pair[1], a / (a - b)), pair[1]),
                _ => continue,
            };
            edges.push(SolidEdge { curve: Curve::Line { from, to }, ..*edge });
        }
    }
    Item { solid, faces: Cow::Owned(faces), edges: Cow::Owned(edges), cut_edges: Vec::new() }
}

/// A ring of points cut off where `far` is negative.
fn clipped(line: &[[f64; 3]], far: impl Fn(&[f64; 3]) -> f64) -> Vec<[f64; 3]> {
    let mut kept = Vec::with_capacity(line.len() + 2);
    for (from, to) in line.iter().zip(line.iter().cycle().skip(1)) {
        let (a, b) = (far(from), far(to));
        if a >= 0.0 {
            kept.push(*from);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            kept.push([0, 1, 2].map(|i| from[i] + (to[i] - from[i]) * (a / (a - b))));
        }
    }
    kept
}

/// A point of a plane square to an axis, in the room.
fn in_room(point: (f64, f64), axis: Axis, at: Length) -> [f64; 3] {
    let [first, second] = across(axis);
    let mut room = [at.to_mm(); 3];
    room[first.index()] = point.0;
    room[second.index()] = point.1;
    room
}

fn room_loop(line: &Outline, axis: Axis, at: Length) -> Vec<[f64; 3]> {
    let mut corners = Vec::new();
    for (from, to) in line.segments() {
        let points = arc_points(from.at, to, from.bulge);
        corners.extend(points.iter().take(points.len() - 1).map(|p| in_room(*p, axis, at)));
    }
    corners
}

fn room_edges(line: &Outline, axis: Axis, at: Length, eye: Side, surface: usize) -> Vec<SolidEdge> {
    let [first, second] = across(axis);
    let lean = Lean::Flat(direction(eye));
    line.segments()
        .map(|(from, to)| {
            let curve = match crate::shape::Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) {
                None => Curve::line(in_room(from.at.to_mm(), axis, at), in_room(to.to_mm(), axis, at)),
                Some(arc) => Curve::Arc {
                    centre: in_room(arc.centre, axis, at),
                    x: direction(first.high()),
                    y: direction(second.high()),
                    radius: arc.radius,
                    start: arc.start,
                    sweep: arc.sweep,
                },
            };
            SolidEdge { curve, smooth: false, leans: [lean; 2], surfaces: [surface; 2] }
        })
        .collect()
}

/// A section's plate in the coordinates of the view on it.
fn in_view(plate: &Plate, axis: Axis, eye: Side) -> Plate {
    let [first, _] = across(axis);
    let frame = view_frame(eye);
    let swapped = frame.u.axis() != first;
    let map = |point: Point| {
        let (u, v) = if swapped { (point.y, point.x) } else { (point.x, point.y) };
        Point::new(u * frame.u.sign(), v * frame.v.sign())
    };
    let mirrored = (frame.u.sign() * frame.v.sign() < 0) != swapped;
    let turn = |outline: &Outline| outline.mapped(map, mirrored);
    Plate { outline: turn(&plate.outline), inside: plate.inside.iter().map(turn).collect() }
}

fn view_frame(side: Side) -> FaceFrame {
    let nowhere = crate::length::Interval { low: Length::ZERO, high: Length::ZERO };
    FaceFrame::of_plate(&[nowhere; 3], side)
}
