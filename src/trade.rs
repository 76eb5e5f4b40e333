//! Plain nouns that every room shares: axes, sides, faces, grain, and how a board's own face coordinates lie in the
//! room. Knows no spec, joint or paper.

pub mod money;

pub use crate::length::Units;
use crate::length::{Interval, Length};

/// Kilograms to one pound, exact (international yard and pound agreement, 1959).
pub const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;

/// Standard gravity, m/s², exact (NIST SP 811, appendix B.8).
pub const GRAVITY: f64 = 9.806_65;

/// Newtons to one pound-force.
pub const NEWTONS_PER_POUND: f64 = KILOGRAMS_PER_POUND * GRAVITY;

/// One of the three directions of a room, seen by someone standing in front.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// left → right
    Across,
    /// front → back
    Deep,
    /// bottom → top
    Up,
}

impl Axis {
    pub const ALL: [Axis; 3] = [Axis::Across, Axis::Deep, Axis::Up];

    /// Position in arrays indexed by axis.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The side at the low end (left, front, bottom).
    pub const fn low(self) -> Side {
        match self {
            Axis::Across => Side::Left,
            Axis::Deep => Side::Front,
            Axis::Up => Side::Bottom,
        }
    }

    /// The side at the high end (right, back, top).
    pub const fn high(self) -> Side {
        self.low().opposite()
    }
}

/// A side of a board or an assembly, and the direction that points out of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Left,
    Right,
    Front,
    Back,
    Bottom,
    Top,
}

impl Side {
    pub const ALL: [Side; 6] = [Side::Left, Side::Right, Side::Front, Side::Back, Side::Bottom, Side::Top];

    pub const fn axis(self) -> Axis {
        match self {
            Side::Left | Side::Right => Axis::Across,
            Side::Front | Side::Back => Axis::Deep,
            Side::Bottom | Side::Top => Axis::Up,
        }
    }

    /// True for right, back and top: the ends where the axis grows.
    pub const fn is_high(self) -> bool {
        matches!(self, Side::Right | Side::Back | Side::Top)
    }

    /// +1 for right, back and top; −1 for left, front and bottom.
    pub const fn sign(self) -> i64 {
        if self.is_high() { 1 } else { -1 }
    }

    pub const fn opposite(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            Side::Front => Side::Back,
            Side::Back => Side::Front,
            Side::Bottom => Side::Top,
            Side::Top => Side::Bottom,
        }
    }

    /// The word the spec and the sheets use.
    pub const fn word(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
            Side::Front => "front",
            Side::Back => "back",
            Side::Bottom => "bottom",
            Side::Top => "top",
        }
    }

    /// The side after `turns` quarter turns to the left seen from above (front → right → back → left).
    pub const fn turned(self, turns: u8) -> Side {
        let mut side = self;
        let mut left = turns % 4;
        while left > 0 {
            side = match side {
                Side::Front => Side::Right,
                Side::Right => Side::Back,
                Side::Back => Side::Left,
                Side::Left => Side::Front,
                same => same,
            };
            left -= 1;
        }
        side
    }
}

/// One of the two broad faces of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The face that will be seen; drawings look at it.
    Show,
    /// The face behind it.
    Back,
}

impl Face {
    pub const fn other(self) -> Face {
        match self {
            Face::Show => Face::Back,
            Face::Back => Face::Show,
        }
    }

    pub const fn word(self) -> &'static str {
        match self {
            Face::Show => "show face",
            Face::Back => "back face",
        }
    }
}

/// Which way the grain runs in a board's own face coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grain {
    /// along u, left to right on the drawing
    AlongU,
    /// along v, upwards on the drawing
    AlongV,
    /// none, or it does not matter
    Free,
}

/// Three positions, indexed by [`Axis::index`].
pub type Position = [Length; 3];

/// How a board's face coordinates lie in the room: looking at the show face, u to the right, v up, and `into` away
/// from the eye into the wood. The three are along the room's axes and at right angles; u × v points at the eye,
/// unless the part is the mirror image of the one drawn, which never happens for a board (a mirror image is a part of its own).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FaceFrame {
    /// Where (u, v, depth) = (0, 0, 0) lies: the datum corner on the show face.
    pub origin: Position,
    /// The side that +u points to.
    pub u: Side,
    /// The side that +v points to.
    pub v: Side,
    /// The side that depth grows to, opposite the show face.
    pub into: Side,
}

impl FaceFrame {
    /// The frame of a plate that fills `span` and shows `show`. For an upright board v is up; for a lying one v is
    /// towards the back. The datum corner is the lower left corner of the show face as seen.
    pub fn of_plate(span: &[Interval; 3], show: Side) -> FaceFrame {
        let (u, v) = match show {
            Side::Front => (Side::Right, Side::Top),
            Side::Back => (Side::Left, Side::Top),
            Side::Left => (Side::Front, Side::Top),
            Side::Right => (Side::Back, Side::Top),
            Side::Top => (Side::Right, Side::Back),
            Side::Bottom => (Side::Left, Side::Back),
        };
        let mut origin = [Length::ZERO; 3];
        for side in [u, v, show.opposite()] {
            let along = span[side.axis().index()];
            origin[side.axis().index()] = if side.is_high() { along.low } else { along.high };
        }
        FaceFrame { origin, u, v, into: show.opposite() }
    }

    /// Room position of a point on the face (u, v) at `depth` below the show face.
    pub fn to_room(&self, u: Length, v: Length, depth: Length) -> Position {
        let mut at = self.origin;
        for (side, distance) in [(self.u, u), (self.v, v), (self.into, depth)] {
            at[side.axis().index()] += distance * side.sign();
        }
        at
    }

    /// (u, v, depth) of a room position.
    pub fn to_face(&self, at: Position) -> (Length, Length, Length) {
        let along = |side: Side| (at[side.axis().index()] - self.origin[side.axis().index()]) * side.sign();
        (along(self.u), along(self.v), along(self.into))
    }

    /// The side of the room that the show face looks to.
    pub fn show(&self) -> Side {
        self.into.opposite()
    }

    /// Which edge of the face (as a side of the room) lies at +u, −u, +v, −v.
    pub fn edges(&self) -> [Side; 4] {
        [self.u, self.u.opposite(), self.v, self.v.opposite()]
    }
}
