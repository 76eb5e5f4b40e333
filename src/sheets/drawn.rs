//! What the drawing of one part says before it is laid out: the run of its lines without any size (`Drawn`), and the
//! dimensions and notes that give each size once. Planner, rebuilder and sheet all speak through these types; none of
//! them imports another. Knows no paper.

use crate::length::Length;
use crate::trade::Face;

/// A direction of the part's face view.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Along {
    /// u: across the view, left to right
    Across,
    /// v: up the view
    Up,
}

impl Along {
    pub const fn word(self) -> &'static str {
        match self {
            Along::Across => "across",
            Along::Up => "up",
        }
    }
}

/// What one dimension gives. Every size that a drawing needs is one of these, and none can be worked out of the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum What {
    /// Distance of a line of the view from the datum corner, by the number of the line.
    Running(Along, usize),
    Thickness,
    /// Radius of rounded corners, by the number of the note.
    Radius(usize),
    /// Rise of an arc over the middle of its chord.
    Rise(usize),
    /// Diameter of a round opening or a round part.
    Round(usize),
    /// Depth of a recess.
    Depth(usize),
    /// Of a kind of hole: diameter, depth, diameter of the countersink.
    HoleDiameter(usize),
    HoleDepth(usize),
    Countersink(usize),
    /// Length of a kind of hole that is a slot, over all.
    SlotLength(usize),
    /// Place of one hole or pocket bore in the table: across, up.
    HoleAt(Along, usize),
    BoreAt(Along, usize),
    /// Of a kind of pocket bore: diameter, degrees, depth below the show face where its axis leaves the edge.
    BoreDiameter(usize),
    BoreAngle(usize),
    BoreExit(usize),
    /// Depth of a kind of straight hole into an edge, from the edge to its blind end.
    BoreDepth(usize),
    /// Of a worked edge: size along the face, size down the edge, wood left on for scribing.
    EdgeAlong(usize),
    EdgeDown(usize),
    Scribe(usize),
    /// Degrees off square of a bevelled edge.
    BevelAngle(usize),
}

/// A position in the view along one direction: on the datum, or where a dimension says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Where {
    Datum,
    By(What),
}

/// A point of the view: across, up.
pub type Spot = (Where, Where);

/// The lines of a part's face view in order, with no size in them: what the eye sees without reading a number.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    pub outline: Option<Loop>,
    pub inside: Vec<Loop>,
    pub recesses: Vec<DrawnRecess>,
    pub kinds: Vec<HoleKindDrawn>,
    pub holes: Vec<DrawnHole>,
    pub bore_kinds: Vec<BoreKindDrawn>,
    pub bores: Vec<DrawnBore>,
    pub edges: Vec<DrawnEdge>,
    pub bevels: Vec<DrawnBevel>,
}

/// A closed run of lines, wood (or the recess) on the left.
#[derive(Clone, Debug, PartialEq)]
pub enum Loop {
    Corners(Vec<Corner>),
    /// A full circle; a round part touches both datum edges and has no centre of its own.
    Round {
        centre: Option<Spot>,
        diameter: What,
    },
}

/// A corner and the line that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// The corner itself; of a rounded one, the sharp corner that its two straight sides would make.
    pub at: Spot,
    pub rounded: Option<What>,
    pub leaves: Run,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Run {
    Straight,
    /// An arc over a level or upright chord, by the position of its crown.
    Crown {
        crown: Where,
        along: Along,
    },
    /// A half circle over its two ends; `left` where it swings out to the left of the way to the next corner.
    HalfRound {
        left: bool,
    },
    /// An arc by its rise over the middle of the chord.
    Rise {
        rise: What,
        left: bool,
    },
}

#[derive(Clone, Debug, PartialEq)]
pub struct DrawnRecess {
    pub outline: Loop,
    pub depth: What,
    pub from: Face,
}

/// Holes that are equal but for their place, under one letter.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleKindDrawn {
    /// Words of what it is for.
    pub why: String,
    /// What was written beside them, each text once.
    pub notes: Vec<String>,
    pub from: Face,
    pub through: bool,
    pub countersunk: bool,
    /// The direction that it is longer along, where it is a slot.
    pub slot: Option<Along>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnHole {
    pub at: Spot,
    pub kind: usize,
    /// Counted within the kind, row by row from the datum.
    pub number: usize,
}

/// Bores into an edge that are equal but for their place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoreKindDrawn {
    /// A pocket for a screw, slanted from this face.
    Pocket(Face),
    /// A straight hole into the edge, for a dowel.
    Dowel,
}

/// A bore square to an edge in the view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnBore {
    /// Where its axis leaves the edge.
    pub leaves: Spot,
    /// The direction along which it runs, and whether the edge lies at the high end of it.
    pub along: Along,
    pub to_high: bool,
    pub kind: usize,
    pub number: usize,
}

/// A straight run of edge that is more than sawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnEdge {
    pub from: Spot,
    pub to: Spot,
    pub shape: Option<EdgeKind>,
    pub scribed: bool,
}

/// What the section of an edge shows, without sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeKind {
    Chamfer(crate::boards::Arris),
    Round(crate::boards::Arris),
    Rebate(crate::boards::Arris),
    Bevel(crate::boards::Arris),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnBevel {
    pub from: Spot,
    pub to: Spot,
    pub long: Face,
}

/// An exact length or an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Size {
    Length(Length),
    /// Degrees.
    Angle(f64),
}

/// How strictly a dimension binds (three marks beside the plain one).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Care {
    #[default]
    Plain,
    /// Hold: everything else gives way to it.
    Hold,
    /// Verify on site before cutting.
    Verify,
    /// The one member of its row that takes up what is left.
    Float,
}

impl Care {
    /// The mark beside the figure.
    pub const fn mark(self) -> &'static str {
        match self {
            Care::Plain => "",
            Care::Hold => "HOLD",
            Care::Verify => "VERIFY",
            Care::Float => "±",
        }
    }

    /// A figure with the mark beside it.
    pub fn beside(self, figure: &str) -> String {
        match self {
            Care::Plain => figure.to_owned(),
            Care::Hold | Care::Verify | Care::Float => format!("{figure} {}", self.mark()),
        }
    }
}

/// A dimension as planned.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedDimension {
    pub what: What,
    pub size: Size,
    /// The figure as it is printed.
    pub printed: String,
    /// The nearest mark of the rule, where the figure is not on one; auxiliary, printed in parentheses.
    pub tape: Option<String>,
    pub care: Care,
    /// Printed behind the figure where a revision changed it: triangle and letter; else empty.
    pub changed: String,
    /// What it measures, in words.
    pub says: String,
}

impl PlannedDimension {
    /// The figure with the nearest mark of the rule beside it, and the sign of a change behind it.
    pub fn figure(&self) -> String {
        match &self.tape {
            Some(tape) => format!("{} ({tape}){}", self.printed, self.changed),
            None => format!("{}{}", self.printed, self.changed),
        }
    }

    /// The same with the mark of how strictly it binds.
    pub fn marked(&self) -> String {
        let tape = self.tape.as_ref().map(|tape| format!(" ({tape})")).unwrap_or_default();
        format!("{}{}", self.care.beside(&format!("{}{tape}", self.printed)), self.changed)
    }
}

/// Everything a part's drawing says about its shape.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    pub drawn: Drawn,
    pub dimensions: Vec<PlannedDimension>,
    /// The running dimensions that are the overall width and height. `None` where an arc alone reaches that far; the
    /// size is then repeated as an auxiliary one.
    pub overall: [Option<What>; 2],
    /// True where holes and bores are placed by a table.
    pub hole_table: bool,
    /// What the planner could not say; each is a fault of the program to be reported, never to be guessed in the shop.
    pub unsaid: Vec<String>,
}

impl Plan {
    /// The dimension that gives `what`.
    pub fn dimension(&self, what: What) -> Option<&PlannedDimension> {
        self.dimensions.iter().find(|d| d.what == what)
    }

    /// Its printed figure with the sign of a change, empty where there is none.
    pub fn printed(&self, what: What) -> String {
        self.dimension(what).map(|d| format!("{}{}", d.printed, d.changed)).unwrap_or_default()
    }

    /// The running dimensions of one direction, from the datum outwards.
    pub fn running(&self, along: Along) -> Vec<&PlannedDimension> {
        let of = |d: &&PlannedDimension| matches!(d.what, What::Running(a, _) if a == along);
        let mut all: Vec<_> = self.dimensions.iter().filter(of).collect();
        all.sort_by_key(|d| match d.size {
            Size::Length(length) => length,
            Size::Angle(_) => Length::ZERO,
        });
        all
    }

    /// The position that a place in the view has; zero where nothing gives it.
    pub fn value(&self, at: Where) -> Length {
        match at {
            Where::Datum => Length::ZERO,
            Where::By(what) => match self.dimension(what).map(|d| d.size) {
                Some(Size::Length(length)) => length,
                _ => Length::ZERO,
            },
        }
    }
}
