//! The drawing model: marks on paper in millimetres, already laid out, origin at the lower left corner of the sheet, y up.
//! SVG and PDF are written from it and from nothing else (I6). Knows no joint, part or file format.

use crate::length::Length;

pub mod arrow;
pub mod balloon;
pub mod bounds;
pub mod hatch;
pub mod lettering;
pub mod paper;
pub mod revision;
pub mod table;
pub mod text;

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

impl Layer {
    pub const ALL: [Layer; 5] =
        [Layer::Outlines, Layer::Hidden, Layer::Dimensions, Layer::Notes, Layer::Frame];

    /// One lower-case word, for ids and classes.
    pub const fn id(self) -> &'static str {
        match self {
            Layer::Outlines => "outlines",
            Layer::Hidden => "hidden",
            Layer::Dimensions => "dimensions",
            Layer::Notes => "notes",
            Layer::Frame => "frame",
        }
    }

    /// As a reader's list of layers shows it.
    pub const fn name(self) -> &'static str {
        match self {
            Layer::Outlines => "Outlines",
            Layer::Hidden => "Hidden lines",
            Layer::Dimensions => "Dimensions",
            Layer::Notes => "Notes",
            Layer::Frame => "Frame",
        }
    }
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

/// One of several things that a sheet shows: a list of contents leads to it. Corners in paper millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    pub title: String,
    pub low: At,
    pub high: At,
}

/// One sheet of paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// File name without ending, and the label of the page: `03-divider`.
    pub name: String,
    pub title: String,
    /// Width and height of the paper in millimetres.
    pub width: f64,
    pub height: f64,
    pub groups: Vec<Group>,
    pub dimensions: Vec<Dimension>,
    /// The heading under which a reader's list of contents has the sheet; empty: none.
    pub chapter: String,
    /// What it shows, where that is more than one thing.
    pub fields: Vec<Field>,
}

/// Sheets that belong together, with what a reader's list of documents shows. Links count into `sheets`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetSet<'a> {
    pub title: &'a str,
    pub author: &'a str,
    pub subject: &'a str,
    /// Date of issue as `2026-03-02`; anything else goes into no metadata.
    pub date: &'a str,
    pub sheets: &'a [Sheet],
}

/// Marks that were laid out, and the room they take: from the point they were hung on to the right and downwards.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Placed {
    pub marks: Vec<Mark>,
    /// Millimetres to the right.
    pub width: f64,
    /// Millimetres downwards.
    pub height: f64,
}

impl Mark {
    /// The same mark moved on the paper.
    pub fn moved(self, by: At) -> Mark {
        let at = |p: At| (p.0 + by.0, p.1 + by.1);
        let path = |path: Vec<Step>| {
            let step = |step: Step| match step {
                Step::Move(to) => Step::Move(at(to)),
                Step::Line(to) => Step::Line(at(to)),
                Step::Arc(to, bulge) => Step::Arc(at(to), bulge),
                Step::Close => Step::Close,
            };
            path.into_iter().map(step).collect()
        };
        match self {
            Mark::Stroke { path: steps, line } => Mark::Stroke { path: path(steps), line },
            Mark::Fill { path: steps, ink } => Mark::Fill { path: path(steps), ink },
            Mark::Text(text) => Mark::Text(Text { at: at(text.at), ..text }),
            Mark::Link { low, high, sheet } => Mark::Link { low: at(low), high: at(high), sheet },
        }
    }
}

/// A straight stroke between two points.
pub fn line(from: At, to: At, line: LineType) -> Mark {
    Mark::Stroke { path: vec![Step::Move(from), Step::Line(to)], line }
}

/// The path of a closed rectangle between two corners.
pub fn rectangle(low: At, high: At) -> Vec<Step> {
    vec![
        Step::Move(low),
        Step::Line((high.0, low.1)),
        Step::Line(high),
        Step::Line((low.0, high.1)),
        Step::Close,
    ]
}

/// The path of a full circle: two half arcs, counter-clockwise.
pub fn circle(centre: At, radius: f64) -> Vec<Step> {
    let (left, right) = ((centre.0 - radius, centre.1), (centre.0 + radius, centre.1));
    vec![Step::Move(left), Step::Arc(right, 1.0), Step::Arc(left, 1.0), Step::Close]
}

/// Centre lines of a circle. All four arms start at the centre, so that they cross in a dash and not in a gap; the lines
/// reach 2 mm beyond the circle, and cross a small one without a break.
pub fn centre_cross(centre: At, radius: f64) -> Vec<Mark> {
    let reach = radius + 2.0;
    let arms = [(reach, 0.0), (-reach, 0.0), (0.0, reach), (0.0, -reach)];
    arms.into_iter().map(|(x, y)| line(centre, (centre.0 + x, centre.1 + y), LineType::Centre)).collect()
}
