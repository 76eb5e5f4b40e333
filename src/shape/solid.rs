//! A plate minus its cuts, placed in the room. Siblings ask it for sections (`section`), the space two of them share
//! (`clash`), where they touch (`contact`), faces and edges (`shell`). Knows no joint: what was cut is given.

use crate::length::{Interval, Length};
use crate::shape::slot::{Slot, hole_outline};
use crate::shape::{Outline, Plate, Point};
use crate::trade::{Axis, Face, FaceFrame, Side};

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

impl Profile {
    /// How far in from the edge the wood begins, `depth` below the face whose arris is worked; nothing below the profile.
    /// On the very step of a rebate the wood side counts.
    pub fn inset_below(&self, depth: Length, thick: Length) -> Length {
        match *self {
            Profile::Chamfer { along_face, down_edge } => sloping(along_face, down_edge, depth),
            Profile::Bevel { run } => sloping(run, thick, depth),
            Profile::Rebate { width, depth: down } => {
                if depth < down {
                    width
                } else {
                    Length::ZERO
                }
            }
            // (radius − inset)² + (radius − depth)² = radius²
            Profile::Round { radius } => {
                if depth >= radius {
                    return Length::ZERO;
                }
                let (r, above) = (radius.to_mm(), (radius - depth).to_mm().min(radius.to_mm()));
                Length::from_mm(r - libm::sqrt((r * r - above * above).max(0.0)))
            }
        }
    }

    /// How far down from its face the profile reaches.
    pub fn reach_down(&self, thick: Length) -> Length {
        match *self {
            Profile::Chamfer { down_edge, .. } => down_edge,
            Profile::Round { radius } => radius,
            Profile::Rebate { depth, .. } => depth,
            Profile::Bevel { .. } => thick,
        }
    }

    /// How far in along its face the profile reaches.
    pub fn reach_in(&self) -> Length {
        match *self {
            Profile::Chamfer { along_face, .. } => along_face,
            Profile::Round { radius } => radius,
            Profile::Rebate { width, .. } => width,
            Profile::Bevel { run } => run,
        }
    }
}

/// A straight slope from `full` at no depth to nothing at `down`, to the nearest unit.
fn sloping(full: Length, down: Length, depth: Length) -> Length {
    if depth >= down || !down.is_positive() {
        return Length::ZERO;
    }
    let (full, down, left) =
        (i128::from(full.units()), i128::from(down.units()), i128::from((down - depth).units()));
    let rounded = (2 * full * left + down).div_euclid(2 * down);
    Length::from_units(i64::try_from(rounded).unwrap_or(i64::MAX))
}

/// A straight run of the outline with a profile; wood lies to the left going from → to.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeShape {
    pub from: Point,
    pub to: Point,
    pub profile: Profile,
    pub arris: Arris,
}

impl EdgeShape {
    /// How far in from the edge the wood begins, `depth` below the show face of a plate `thick`.
    pub fn inset_at(&self, depth: Length, thick: Length) -> Length {
        self.faces()
            .map(|face| {
                let below = if face == Face::Show { depth } else { thick - depth };
                self.profile.inset_below(below, thick)
            })
            .max()
            .unwrap_or_default()
    }

    /// The faces whose arris is worked.
    pub fn faces(&self) -> impl Iterator<Item = Face> + use<> {
        let arris = self.arris;
        [Face::Show, Face::Back]
            .into_iter()
            .filter(move |face| arris == Arris::Both || (arris == Arris::Show) == (*face == Face::Show))
    }

    /// Depths below the show face at which the profile begins or ends, the faces themselves not counted.
    pub(crate) fn levels(&self, thick: Length) -> impl Iterator<Item = Length> + use<> {
        let down = self.profile.reach_down(thick);
        self.faces().map(move |face| if face == Face::Show { down } else { thick - down })
    }
}

/// A recess of a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Recess {
    /// In face coordinates of the show face.
    pub outline: Outline,
    pub depth: Length,
    pub from: Face,
}

impl Recess {
    /// The depths below the show face that it takes away, of a plate `thick`.
    pub fn depths(&self, thick: Length) -> Interval {
        recessed(self.from, self.depth, thick)
    }
}

fn recessed(from: Face, depth: Length, thick: Length) -> Interval {
    match from {
        Face::Show => Interval { low: Length::ZERO, high: depth.min(thick) },
        Face::Back => Interval { low: (thick - depth).max(Length::ZERO), high: thick },
    }
}

/// A hole of a solid, square to its face.
#[derive(Clone, Debug, PartialEq)]
pub struct Bored {
    pub at: Point,
    pub diameter: Length,
    /// `None`: right through.
    pub depth: Option<Length>,
    pub from: Face,
    /// Where it is longer than wide.
    pub slot: Option<Slot>,
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

impl Bored {
    /// Its outline on the face.
    pub fn outline(&self) -> Option<Outline> {
        hole_outline(self.at, self.diameter, self.slot)
    }

    /// The depths below the show face that it takes away, of a plate `thick`.
    pub fn depths(&self, thick: Length) -> Interval {
        recessed(self.from, self.depth.unwrap_or(thick), thick)
    }
}

impl Solid {
    /// A plain plate.
    pub fn plate(frame: FaceFrame, thick: Length, outline: Outline) -> Solid {
        Solid {
            frame,
            thick,
            outline,
            inside: Vec::new(),
            pockets: Vec::new(),
            holes: Vec::new(),
            edges: Vec::new(),
        }
    }

    /// The outline with its openings right through.
    pub fn through(&self) -> Plate {
        Plate { outline: self.outline.clone(), inside: self.inside.clone() }
    }

    /// The axis square to its broad faces.
    pub fn normal(&self) -> Axis {
        self.frame.into.axis()
    }

    /// The box round it in the room.
    pub fn extents(&self) -> [Interval; 3] {
        let around = self.outline.extents();
        let low = self.frame.to_room(around.low.x, around.low.y, Length::ZERO);
        let high = self.frame.to_room(around.high.x, around.high.y, self.thick);
        [0, 1, 2].map(|axis| Interval::between(low[axis], high[axis]))
    }

    /// Depth below the show face, or distance along u or v, of a position along the axis of `side`.
    pub(crate) fn along(&self, side: Side, room: Length) -> Length {
        (room - self.frame.origin[side.axis().index()]) * side.sign()
    }

    /// The position along its axis of a face coordinate.
    pub(crate) fn room(&self, side: Side, along: Length) -> Length {
        self.frame.origin[side.axis().index()] + along * side.sign()
    }

    /// An outline drawn in the two face coordinates `first` and `second`, in the room plane of their axes (in the order of
    /// [`Axis::ALL`]).
    pub(crate) fn in_plane(&self, outline: &Outline, first: Side, second: Side) -> Outline {
        let swapped = first.axis() > second.axis();
        let map = |point: Point| {
            let (one, two) = (self.room(first, point.x), self.room(second, point.y));
            if swapped { Point::new(two, one) } else { Point::new(one, two) }
        };
        outline.mapped(map, (first.sign() * second.sign() < 0) != swapped)
    }
}

/// The two axes across one, in the order of [`Axis::ALL`].
pub const fn across(axis: Axis) -> [Axis; 2] {
    match axis {
        Axis::Across => [Axis::Deep, Axis::Up],
        Axis::Deep => [Axis::Across, Axis::Up],
        Axis::Up => [Axis::Across, Axis::Deep],
    }
}
