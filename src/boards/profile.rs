//! One board in its own face coordinates: its face, and the outline and edges that the spec gives it. Knows no joint.

use super::{Edge, edges, outline};
use crate::diagnose::{Diagnostic, Place};
use crate::length::{Interval, Length};
use crate::shape::make::Blank;
use crate::shape::{Outline, Point};
use crate::spec::language::{PartSpec, SideChoice};
use crate::spec::read::{Formula, OneOrMany};
use crate::trade::{FaceFrame, Side};
use crate::values::solver::{Scope, Solver};

/// A board's face as it is shaped: sides by their number, counter-clockwise from the lower edge.
pub struct Face<'a> {
    /// Full name of the board, for faults.
    pub name: &'a str,
    pub frame: FaceFrame,
    pub size: Point,
    pub thick: Length,
    pub scope: Scope,
    /// Place of the part's key.
    pub place: Place,
}

impl<'a> Face<'a> {
    /// The face of a plate that fills `span`.
    pub fn of(name: &'a str, frame: FaceFrame, span: &[Interval; 3], scope: Scope, place: Place) -> Face<'a> {
        let along = |side: Side| span[side.axis().index()].size();
        let size = Point::new(along(frame.u), along(frame.v));
        Face { name, frame, size, thick: along(frame.into), scope, place }
    }

    /// Sides of the assembly at the lower, right, upper and left edge as seen.
    pub fn sides(&self) -> [Side; 4] {
        let [right, left, upper, lower] = self.frame.edges();
        [lower, right, upper, left]
    }

    /// Number of the edge at a side; `None` for the two faces.
    pub fn edge(&self, side: Side) -> Option<usize> {
        self.sides().iter().position(|edge| *edge == side)
    }

    /// Length of an edge.
    pub fn length(&self, edge: usize) -> Length {
        if edge.is_multiple_of(2) { self.size.x } else { self.size.y }
    }

    /// Where an edge begins, going counter-clockwise.
    pub fn corner(&self, edge: usize) -> Point {
        match edge % 4 {
            0 => Point::default(),
            1 => Point::new(self.size.x, Length::ZERO),
            2 => self.size,
            _ => Point::new(Length::ZERO, self.size.y),
        }
    }

    /// A point so far along an edge and so far in from it.
    pub fn on(&self, edge: usize, along: Length, inset: Length) -> Point {
        let (x, y) = (self.size.x, self.size.y);
        match edge % 4 {
            0 => Point::new(along, inset),
            1 => Point::new(x - inset, along),
            2 => Point::new(x - along, y - inset),
            _ => Point::new(inset, y - along),
        }
    }

    pub fn edge_fault(&self, side: Side, what: &str, place: Place) -> Diagnostic {
        let sides = self.sides().map(Side::word).join(", ");
        let message = format!(
            "{}: {what} names {}, but that is a broad face of this board, not an edge",
            self.name,
            side.word()
        );
        Diagnostic::error("not-an-edge", place, message).propose(format!("its edges are {sides}"))
    }
}

/// A side as the spec names it.
pub const fn side(choice: SideChoice) -> Side {
    match choice {
        SideChoice::Left => Side::Left,
        SideChoice::Right => Side::Right,
        SideChoice::Front => Side::Front,
        SideChoice::Back => Side::Back,
        SideChoice::Bottom => Side::Bottom,
        SideChoice::Top => Side::Top,
    }
}

/// What a board's outline and edges come to.
pub struct Shaped {
    pub outline: Outline,
    pub edges: Vec<Edge>,
}

/// Shapes a board; `None` where a fault was told.
pub fn shape(solver: &mut Solver, part: &PartSpec, face: &Face) -> Option<Shaped> {
    let mut blank = Blank::new(Point::default(), face.size);
    let mut places: [Option<Place>; 4] = [None; 4];
    let mut whole = true;
    for arch in &part.arch {
        whole &= outline::arched(solver, arch, face, &mut blank, &mut places).is_some();
    }
    for taper in &part.taper {
        whole &= outline::tapered(solver, taper, face, &mut blank, &mut places).is_some();
    }
    let mut corner_places: [Option<Place>; 4] = [None; 4];
    for corner in &part.corners {
        whole &= outline::cornered(solver, corner, face, &mut blank, &mut corner_places).is_some();
    }
    let edges = edges::edges(solver, part, face, &blank);
    if !whole {
        return None;
    }
    let shaped = if part.path.is_empty() {
        match blank.outline() {
            Ok(outline) => outline,
            Err(fault) => {
                outline::tell_shape(solver, face, fault, &places, &corner_places);
                return None;
            }
        }
    } else {
        outline::free_path(solver, part, face)?
    };
    Some(Shaped { outline: shaped, edges: edges? })
}

/// One length for both, or two.
pub fn pair(
    solver: &mut Solver,
    list: &OneOrMany<Formula>,
    face: &Face,
    what: &str,
    place: Place,
) -> Option<(Length, Length)> {
    let said = format!("{}: {what}", face.name);
    match list.0.as_slice() {
        [both] => solver.not_negative(both, face.scope, &said).map(|both| (both, both)),
        [one, other] => {
            let one = solver.not_negative(one, face.scope, &said);
            let other = solver.not_negative(other, face.scope, &said);
            Some((one?, other?))
        }
        many => {
            let message = format!("{said} takes one length or two, but {} are given", many.len());
            solver.faults.push(Diagnostic::error("corner", place, message).propose("write `[1\", 2\"]`"));
            None
        }
    }
}
