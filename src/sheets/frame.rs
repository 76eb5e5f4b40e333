//! The border of a sheet: the frame, grid reference, centring and trimming marks (ISO 5457:1999), and the room that is left
//! for drawing. What stands in the title block is `title_block`'s.

use super::title_block::{self, TitleBlock};
pub use crate::drawing::paper::{Area, Paper};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Group, Ink, Layer, LineType, Mark, line, rectangle};

/// Which rules a sheet follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Practice {
    Iso,
    Asme,
}

/// Width of the strip of the grid reference outside the frame.
const STRIP: f64 = 5.0;
/// Length of a field of the grid reference (ISO 5457:1999 cl. 4.4).
const FIELD: f64 = 50.0;
/// What is kept free between the frame and what is drawn inside it.
const CLEAR: f64 = 5.0;

/// A sheet's border.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    pub paper: Paper,
    pub landscape: bool,
    pub practice: Practice,
    /// Rows kept above the title block for revisions; 0 leaves the table out.
    pub revisions: usize,
}

impl Frame {
    /// The usual way round: A4 and letter upright, larger sheets lying (ISO 5457, from memory).
    pub fn new(paper: Paper, practice: Practice) -> Frame {
        Frame { paper, landscape: !paper.is_small(), practice, revisions: 0 }
    }

    /// Width and height of the paper in millimetres.
    pub fn size(&self) -> (f64, f64) {
        let (long, short) = self.paper.sides();
        if self.landscape { (long, short) } else { (short, long) }
    }

    /// The area inside the frame line: 20 mm filing margin on the left and 10 mm on the other sides (ISO 5457:1999
    /// cl. 4.2); half an inch all round by inch practice (common practice).
    pub fn inside(&self) -> Area {
        let (width, height) = self.size();
        let (left, other) = match self.practice {
            Practice::Iso => (20.0, 10.0),
            Practice::Asme => (12.7, 12.7),
        };
        Area { low: (left, other), high: (width - other, height - other) }
    }

    /// The title block with its revision rows: in the lower right corner, 180 mm wide at most (ISO 5457:1999 cl. 4.1 and
    /// ISO 7200 cl. 6, from memory), along the whole short edge of an upright A4 or letter.
    pub fn block(&self) -> Area {
        let inside = self.inside();
        let whole = self.practice == Practice::Asme && inside.width() < title_block::WIDTH + 30.0;
        let width = if whole { inside.width() } else { inside.width().min(title_block::WIDTH) };
        let height = title_block::height(self.revisions);
        let left = (inside.high.0 - width).max(inside.low.0);
        Area { low: (left, inside.low.1), high: (inside.high.0, inside.low.1 + height) }
    }

    /// The free area for drawing: as wide as the frame, above the title block.
    pub fn field(&self) -> Area {
        let inside = self.inside().inset(CLEAR);
        Area { low: (inside.low.0, self.block().high.1 + CLEAR), high: inside.high }
    }

    /// The free area to the left of the title block, for notes and tables; `None` where it is under 40 mm wide.
    pub fn beside(&self) -> Option<Area> {
        let (inside, block) = (self.inside().inset(CLEAR), self.block());
        let area = Area { low: inside.low, high: (block.low.0 - CLEAR, block.high.1) };
        (area.width() >= 40.0).then_some(area)
    }

    /// The frame with its marks and the filled-in title block.
    pub fn draw(&self, block: &TitleBlock) -> Vec<Group> {
        let mut marks = Vec::new();
        self.draw_trimming(&mut marks);
        self.draw_grid(&mut marks);
        self.draw_centring(&mut marks);
        let inside = self.inside();
        marks.push(Mark::Stroke { path: rectangle(inside.low, inside.high), line: LineType::Frame });
        let title = title_block::draw(self, block);
        vec![
            Group { id: "frame".to_owned(), layer: Layer::Frame, marks },
            Group { id: "title-block".to_owned(), layer: Layer::Frame, marks: title },
        ]
    }

    /// Two overlapping filled rectangles of 10 × 5 mm in every corner (ISO 5457:1999 cl. 4.5, from memory).
    fn draw_trimming(&self, marks: &mut Vec<Mark>) {
        if !self.paper.is_trimmed() {
            return;
        }
        let (width, height) = self.size();
        for (x, right) in [(0.0, 1.0), (width, -1.0)] {
            for (y, up) in [(0.0, 1.0), (height, -1.0)] {
                for (across, high) in [(10.0, 5.0), (5.0, 10.0)] {
                    let (a, b) = (x + right * across, y + up * high);
                    let path = rectangle((x.min(a), y.min(b)), (x.max(a), y.max(b)));
                    marks.push(Mark::Fill { path, ink: Ink::Black });
                }
            }
        }
    }

    /// Fields of 50 mm counted from the centring marks, the outermost taking the rest; letters from the top down without
    /// I and O, numerals from left to right, on A4 only along the top and the right (ISO 5457:1999 cl. 4.4 and table 2).
    fn draw_grid(&self, marks: &mut Vec<Mark>) {
        let (inside, (width, height)) = (self.inside(), self.size());
        let outer = inside.inset(-STRIP);
        let across = fields(inside.low.0, inside.high.0, width / 2.0);
        let down = fields(inside.low.1, inside.high.1, height / 2.0);
        let all_sides = !self.paper.is_small();
        let mut sides = vec![(inside.high.1, outer.high.1)];
        if all_sides {
            sides.push((outer.low.1, inside.low.1));
            marks.push(Mark::Stroke { path: rectangle(outer.low, outer.high), line: LineType::Table });
        } else {
            let (corner, top) = ((outer.high.0, outer.high.1), (inside.low.0, outer.high.1));
            marks.push(line(top, corner, LineType::Table));
            marks.push(line(corner, (outer.high.0, inside.low.1), LineType::Table));
            marks.push(line(top, (inside.low.0, inside.high.1), LineType::Table));
            marks.push(line((inside.high.0, inside.low.1), (outer.high.0, inside.low.1), LineType::Table));
        }
        for (low, high) in sides {
            for (index, pair) in across.windows(2).enumerate() {
                let centre = ((pair[0] + pair[1]) / 2.0, (low + high) / 2.0);
                label(marks, &(index + 1).to_string(), centre);
            }
            for x in inner(&across).filter(|x| *x != width / 2.0) {
                marks.push(line((x, low), (x, high), LineType::Table));
            }
        }
        let mut sides = vec![(inside.high.0, outer.high.0)];
        if all_sides {
            sides.push((outer.low.0, inside.low.0));
        }
        for (low, high) in sides {
            for (index, pair) in down.windows(2).rev().enumerate() {
                let centre = ((low + high) / 2.0, (pair[0] + pair[1]) / 2.0);
                label(marks, &letter(index), centre);
            }
            for y in inner(&down).filter(|y| *y != height / 2.0) {
                marks.push(line((low, y), (high, y), LineType::Table));
            }
        }
    }

    /// Four marks, 0.7 mm wide, at the middles of the sides (ISO 5457:1999 cl. 4.3, from memory). The standard lets them
    /// run 10 mm on into the field; here they end at the frame, so that they never cross a drawing.
    fn draw_centring(&self, marks: &mut Vec<Mark>) {
        let ((width, height), inside) = (self.size(), self.inside());
        let outer = inside.inset(-STRIP);
        let (x, y) = (width / 2.0, height / 2.0);
        for (from, to) in [
            ((x, outer.low.1), (x, inside.low.1)),
            ((x, outer.high.1), (x, inside.high.1)),
            ((outer.low.0, y), (inside.low.0, y)),
            ((outer.high.0, y), (inside.high.0, y)),
        ] {
            marks.push(line(from, to, LineType::Frame));
        }
    }
}

/// Borders of the fields between two ends: as many on both sides of the centre, whole ones inside and the outermost
/// taking the rest. The filing margin makes the left half the shorter one; the longer half gives the count.
fn fields(low: f64, high: f64, centre: f64) -> Vec<f64> {
    let count = libm::round((centre - low).max(high - centre) / FIELD).max(1.0) as usize;
    let mut all = vec![low];
    all.extend((1..count).rev().map(|i| centre - FIELD * i as f64));
    all.push(centre);
    all.extend((1..count).map(|i| centre + FIELD * i as f64));
    all.push(high);
    all
}

fn inner(borders: &[f64]) -> impl Iterator<Item = f64> + '_ {
    borders.iter().copied().skip(1).take(borders.len().saturating_sub(2))
}

fn label(marks: &mut Vec<Mark>, text: &str, centre: At) {
    marks.push(written((centre.0, centre.1 - 1.75), text, 3.5, Anchor::Middle, false));
}

/// A, B … without I and O.
fn letter(index: usize) -> String {
    let all = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    all.chars().nth(index % all.len()).map(String::from).unwrap_or_default()
}
