//! The face view of one part: what is seen looking at its show face, drawn to scale. The same way round as its DXF and
//! its template (u to the right, v up). Knows no dimension.

use super::broken::{self, Breaks};
use super::drawn::Along;
use super::frame::Area;
use super::own_notches::own_notches;
use super::part_body::Body;
use super::scribes::strips;
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::{At, LineType, Mark, Step, circle, line};
use crate::joints::Bore;
use crate::length::Length;
use crate::parts::Part;
use crate::shape::view::ViewLine;
use crate::shape::{Outline, Point};
use crate::trade::{Face, Side};

/// From wood to paper: where the datum corner lies, and millimetres of paper to one of wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnPaper {
    pub datum: At,
    pub factor: f64,
    /// Stretches that the view leaves out.
    pub breaks: Breaks,
}

impl OnPaper {
    pub fn x(&self, at: Length) -> f64 {
        self.mm((at.to_mm(), 0.0)).0
    }

    pub fn y(&self, at: Length) -> f64 {
        self.mm((0.0, at.to_mm())).1
    }

    /// A place in millimetres of wood from the datum.
    pub fn mm(&self, at: (f64, f64)) -> At {
        let across = self.breaks.paper(Along::Across, at.0, self.factor);
        let up = self.breaks.paper(Along::Up, at.1, self.factor);
        (self.datum.0 + across, self.datum.1 + up)
    }

    pub fn at(&self, point: Point) -> At {
        (self.x(point.x), self.y(point.y))
    }

    /// The closed path of an outline.
    pub fn path(&self, outline: &Outline) -> Vec<Step> {
        let mut path = Vec::new();
        for (i, (from, to)) in outline.segments().enumerate() {
            if i == 0 {
                path.push(Step::Move(self.at(from.at)));
            }
            path.push(if from.bulge == 0.0 {
                Step::Line(self.at(to))
            } else {
                Step::Arc(self.at(to), from.bulge)
            });
        }
        path.push(Step::Close);
        path
    }
}

/// The view in layers: seen edges, hidden ones, and the light marks of waste and allowances.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FaceView {
    pub seen: Vec<Mark>,
    pub hidden: Vec<Mark>,
    pub shading: Vec<Mark>,
    pub centres: Vec<Mark>,
}

/// Draws the part.
pub fn face_view(part: &Part, body: &Body, on: &OnPaper) -> FaceView {
    let mut view = FaceView::default();
    let stroke = |path: Vec<Step>, line: LineType| Mark::Stroke { path, line };
    view.shading.extend(strips(part, on));
    let notches = own_notches(part);
    for waste in part.cuts.iter().map(|cut| &cut.outline).chain(&notches) {
        view.shading.extend(hatch(&on.path(waste), Hatching::Plain, 0.0, 2.5));
        view.shading.push(stroke(on.path(waste), LineType::Hatch));
    }
    match body.lines(Side::Front) {
        Some(lines) => {
            broken::draw_lines(&lines, &on.breaks, |at| on.mm(at), &mut view.seen, &mut view.hidden);
            let (seen, hidden) = body.circles(part, on);
            view.seen.extend(seen);
            view.hidden.extend(hidden);
        }
        // A part that no solid could be made of is drawn by its outlines.
        None => plain(part, on, &mut view),
    }
    blank_corner(part, on, &mut view);
    if !on.breaks.is_none() {
        let out = outside(part, on);
        let low = (on.datum.0 - out[0], on.datum.1 - out[2]);
        let around = Area { low, high: (on.x(part.width) + out[1], on.y(part.height) + out[3]) };
        let (lines, masks) = broken::zigzags(on, &on.breaks, around);
        view.shading.extend(masks);
        view.centres.extend(lines);
    }
    for hole in &part.holes {
        let centre = on.at(hole.at);
        let radius = (hole.diameter.to_mm() / 2.0 * on.factor).max(0.6);
        if let Some(head) = hole.countersink {
            let head = (head.to_mm() / 2.0 * on.factor).max(radius + 0.7);
            let seen = if hole.from == Face::Show { LineType::Visible } else { LineType::Hidden };
            let into = if hole.from == Face::Show { &mut view.seen } else { &mut view.hidden };
            into.push(stroke(circle(centre, head), seen));
        }
        let reach = radius + 1.5;
        view.centres.push(line(
            (centre.0 - reach, centre.1),
            (centre.0 + reach, centre.1),
            LineType::Dimension,
        ));
        view.centres.push(line(
            (centre.0, centre.1 - reach),
            (centre.0, centre.1 + reach),
            LineType::Dimension,
        ));
    }
    for bore in &part.bores {
        slanted(&mut view, on, bore);
    }
    view
}

/// What is drawn outside the finished outline, in paper millimetres: left, right, below, above.
pub fn outside(part: &Part, on: &OnPaper) -> [f64; 4] {
    let mut out = [0.0_f64; 4];
    for edge in &part.edges {
        let by = edge.scribe.to_mm() * on.factor;
        let side = if edge.from.x == edge.to.x {
            usize::from(edge.from.x > part.width.half())
        } else {
            2 + usize::from(edge.from.y > part.height.half())
        };
        out[side] = out[side].max(by);
    }
    out
}

/// Lines of a view at a scale; hidden seams of curved surfaces tell nothing and are left out.
pub fn draw_lines(lines: &[ViewLine], origin: At, factor: f64, seen: &mut Vec<Mark>, hidden: &mut Vec<Mark>) {
    let place = |at: (f64, f64)| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
    broken::draw_lines(lines, &Breaks::default(), place, seen, hidden);
}

fn plain(part: &Part, on: &OnPaper, view: &mut FaceView) {
    let stroke = |path: Vec<Step>, line: LineType| Mark::Stroke { path, line };
    for outline in std::iter::once(&part.outline).chain(&part.inside) {
        view.seen.push(stroke(on.path(outline), LineType::Visible));
    }
    for pocket in &part.pockets {
        let path = on.path(&pocket.outline);
        match pocket.from {
            Face::Show => view.seen.push(stroke(path, LineType::Visible)),
            Face::Back => view.hidden.push(stroke(path, LineType::Hidden)),
        }
    }
}

/// Whether the datum corner is cut away from the finished part, so that it is one of the blank only.
pub fn datum_is_cut_away(part: &Part) -> bool {
    part.outline.vertices().iter().all(|v| v.at != Point::default())
}

/// Where the datum corner is cut away, the blank's two edges are drawn on to it.
fn blank_corner(part: &Part, on: &OnPaper, view: &mut FaceView) {
    if !datum_is_cut_away(part) {
        return;
    }
    let corners = || part.outline.vertices().iter().map(|v| v.at);
    let zero = Length::ZERO;
    let first_across = corners().filter(|p| p.y == zero).map(|p| p.x).min();
    let first_up = corners().filter(|p| p.x == zero).map(|p| p.y).min();
    if let (Some(x), Some(y)) = (first_across, first_up) {
        let corner = on.at(Point::default());
        view.shading.push(line(corner, on.at(Point::new(x, zero)), LineType::Adjacent));
        view.shading.push(line(corner, on.at(Point::new(zero, y)), LineType::Adjacent));
    }
}

/// Unit direction to the left of the way from a to b.
fn left_of(a: At, b: At) -> Option<At> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = libm::hypot(dx, dy);
    (length > 0.0).then(|| (-dy / length, dx / length))
}

/// A pocket bore from its mouth on the face to where it leaves the edge, or a dowel hole hidden in the wood.
fn slanted(view: &mut FaceView, on: &OnPaper, bore: &Bore) {
    let (at, leaves) = (on.at(bore.at), on.at(bore.leaves));
    let half = (bore.diameter.to_mm() / 2.0 * on.factor).max(0.5);
    let Some((nx, ny)) = left_of(at, leaves) else { return };
    let corner = |p: At, side: f64| (p.0 + nx * half * side, p.1 + ny * half * side);
    let is_dowel = bore.degrees == 0.0;
    let seen = bore.from == Face::Show && !is_dowel;
    let kind = if seen { LineType::Visible } else { LineType::Hidden };
    let path = vec![
        Step::Move(corner(leaves, 1.0)),
        Step::Line(corner(at, 1.0)),
        // A pocket has a round end away from the edge, a dowel hole a flat bottom.
        if is_dowel { Step::Line(corner(at, -1.0)) } else { Step::Arc(corner(at, -1.0), 1.0) },
        Step::Line(corner(leaves, -1.0)),
    ];
    let mark = Mark::Stroke { path, line: kind };
    if seen { view.seen.push(mark) } else { view.hidden.push(mark) }
}
