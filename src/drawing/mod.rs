//! The drawing model: marks on paper in millimetres, already laid out, origin at the lower left corner of the sheet, y up.
//! SVG and PDF are written from it and from nothing else (I6). Knows no joint, part or file format.

use crate::length::Length;

/// A point on paper in millimetres.
pub type At = (f64, f64);

/// What a line means, which decides its width and its dashes (ISO 128-2; widths for line group 0.5, A4–A2).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineType {
    /// visible outlines: wide continuous
    Visible,
    /// hidden edges: narrow dashed
    Hidden,
    /// centre lines and symmetry: narrow long-dashed dotted
    Centre,
    /// dimension, extension and leader lines: narrow continuous
    Dimension,
    /// hatching: narrow continuous
    Hatch,
    /// adjacent parts: narrow long-dashed double-dotted
    Adjacent,
    /// cutting planes: wide long-dashed dotted
    Cutting,
    /// the frame of the sheet: 0.7 mm continuous
    Frame,
    /// lines inside tables and the title block: middle width
    Table,
}

/// Layers a reader may switch; also the ids of groups in SVG.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    Outlines,
    Hidden,
    Dimensions,
    Notes,
    Frame,
}

/// One step of a path; arcs are circular.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    Move(At),
    Line(At),
    /// An arc to a point with its bulge (tan of a quarter of the sweep, counter-clockwise positive).
    Arc(At, f64),
    Close,
}

/// How a filled area is filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ink {
    Black,
    White,
    /// 0 white … 1 black
    Grey(f64),
}

/// Where the point of a text lies in it, along the line of writing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// One line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// On the baseline.
    pub at: At,
    pub text: String,
    /// Height of a capital in millimetres, of the series in ISO 3098 (1.8, 2.5, 3.5, 5, 7, 10).
    pub height: f64,
    pub anchor: Anchor,
    /// Counter-clockwise degrees; 0 reads from the bottom, 90 from the right.
    pub turn: f64,
    pub bold: bool,
}

/// A mark on the paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    Stroke {
        path: Vec<Step>,
        line: LineType,
    },
    /// Filled even-odd.
    Fill {
        path: Vec<Step>,
        ink: Ink,
    },
    Text(Text),
    /// An area that leads to another sheet (index into the set), where the format can.
    Link {
        low: At,
        high: At,
        sheet: usize,
    },
}

/// Marks that belong together: a part's view, the frame, a table. The id serves pages that hook on to the SVG.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Unique in the sheet; letters, digits, `-`.
    pub id: String,
    pub layer: Layer,
    pub marks: Vec<Mark>,
}

/// A dimension as planned and drawn, kept beside its marks so that tests can rebuild a part from what is printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// What it measures, in words: `width`, `notch 1 left side` …
    pub what: String,
    /// The exact value.
    pub value: Length,
    /// The text as printed.
    pub printed: String,
}

/// One sheet of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// File name without ending, and the label of the page: `03-divider`.
    pub name: String,
    pub title: String,
    /// Width and height of the paper in millimetres.
    pub width: f64,
    pub height: f64,
    pub groups: Vec<Group>,
    pub dimensions: Vec<Dimension>,
}
