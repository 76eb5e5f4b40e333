//! A plate minus its cuts, placed in the room: sections, the space two of them share, where they touch, faces for views.

use crate::length::Length;
use crate::shape::{Outline, Point};
use crate::trade::{Face, FaceFrame};

/// Which arris of an edge a profile is cut on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Arris {
    Show,
    Back,
    Both,
}

/// The shape of an edge's section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Profile {
    /// A flat cut: how far it reaches in along the face and down the edge.
    Chamfer { along_face: Length, down_edge: Length },
    /// A quarter round.
    Round { radius: Length },
    /// A square step: width on the face, depth down the edge.
    Rebate { width: Length, depth: Length },
    /// A flat cut over the full thickness; the arris names the face that becomes the shorter.
    Bevel { run: Length },
}

/// A straight run of the outline with a profile; wood lies to the left going from → to.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeShape {
    pub from: Point,
    pub to: Point,
    pub profile: Profile,
    pub arris: Arris,
}

/// A recess of a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Recess {
    /// In face coordinates of the show face.
    pub outline: Outline,
    pub depth: Length,
    pub from: Face,
}

/// A hole of a solid, square to its face.
#[derive(Clone, Debug, PartialEq)]
pub struct Bored {
    pub at: Point,
    pub diameter: Length,
    /// `None`: right through.
    pub depth: Option<Length>,
    pub from: Face,
}

/// A plate minus its cuts, in the room.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    pub frame: FaceFrame,
    pub thick: Length,
    pub outline: Outline,
    pub inside: Vec<Outline>,
    pub pockets: Vec<Recess>,
    pub holes: Vec<Bored>,
    pub edges: Vec<EdgeShape>,
}
