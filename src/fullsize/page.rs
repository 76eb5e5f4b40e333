//! What stands on every page at full size: the check bars with boxes to write in, which part, job and revision it is, FACE or
//! BACK in large type, the ways of the room, the grain. What is left of the paper is the window for the drawing.

use super::calibrate::{BAR, PASS, printable};
use super::{Fault, Printer, Stock};
use crate::drawing::arrow::{Terminator, ended_line};
use crate::drawing::lettering::{HEIGHTS, height_that_fits, width_of};
use crate::drawing::paper::Area;
use crate::drawing::text::{lines, wrap, written};
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Text, line, rectangle};
use crate::trade::Face;
use crate::values::Job;

/// Heights and widths of the strips round the window, in mm.
pub const FOOT: f64 = 52.0;
const LEFT: f64 = 11.0;
/// Along the top and the right: a line of text that says which page lies there.
pub const EDGE: f64 = 5.0;
/// Ticks of the bars, and how far the bars lie from the edge of what can be printed.
const TICK: f64 = 3.5;
const INSET: f64 = 4.0;
/// Four inches, in mm.
const FOUR_INCHES: f64 = 101.6;
/// Where the diagonal bar begins, from A, and its direction: 96 across and 28 up are 100 (7² + 24² = 25²), so that it has room over
/// the lower bar on every page.
const DIAGONAL: At = (9.0, 9.0);
const SLANT: At = (0.96, 0.28);
/// The same in degrees: asin 0.28.
const SLANTED: f64 = 16.260_204_708_311_957;
/// The 4 in bars lie inside the others by this, and their ticks are so long.
const INWARD: f64 = 2.2;
const INCH_TICK: f64 = 3.0;
/// What is left for words beside the bars, at least.
const LEAST_WORDS: f64 = 68.0;
/// And at most: arrows at the far end of a long page would not be seen.
const MOST_WORDS: f64 = 110.0;
/// A smaller window is not worth the paper.
const LEAST_WINDOW: f64 = 60.0;

/// What is said on every page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    /// `TEMPLATE`, `STORY ROD` …
    pub kind: String,
    /// The face that the paper lies on.
    pub face: Option<Face>,
    /// Mark and name of the part.
    pub name: String,
    /// Job, revision, stock and whatever else must not be lost.
    pub lines: Vec<String>,
    pub ways: Vec<Way>,
    /// Direction of the grain on paper, degrees counter-clockwise from the right.
    pub grain: Option<f64>,
}

/// An arrow with the room's own word.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Degrees counter-clockwise from the right of the paper.
    pub angle: f64,
    pub word: String,
}

/// A page without its drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Skeleton {
    pub size: (f64, f64),
    pub window: Area,
    pub groups: Vec<Group>,
}

/// Job, revision and date in a line.
pub fn job_line(job: &Job) -> String {
    let titles = &job.titles;
    let revision =
        if titles.revision.is_empty() { String::new() } else { format!("rev. {}", titles.revision) };
    let all = [titles.number.as_str(), &titles.title, &revision, &titles.date];
    all.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// FACE or BACK.
pub const fn face_word(face: Face) -> &'static str {
    match face {
        Face::Show => "FACE",
        Face::Back => "BACK",
    }
}

/// The usual page of a printer: small sheets upright, larger ones lying, of a roll a piece as long as it is wide.
pub fn usual_size(printer: &Printer) -> (f64, f64) {
    match printer.stock {
        Stock::Sheets(paper) => {
            let (long, short) = paper.sides();
            if paper.is_small() { (short, long) } else { (long, short) }
        }
        Stock::Roll(width) => (width.to_mm().min(600.0), width.to_mm()),
    }
}

/// Whether a printer has room for a drawing at all.
///
/// # Errors
/// Where neither way round of its usual page leaves a window beside the check bars.
pub fn room(printer: &Printer) -> Result<(), Fault> {
    let (width, height) = usual_size(printer);
    window(printer, (width, height)).map(drop).or_else(|fault| {
        let other = window(printer, (height, width));
        other.map(drop).map_err(|_| fault)
    })
}

/// The window of a page of this size.
///
/// # Errors
/// Where the paper, less margins and strips, leaves too little.
pub fn window(printer: &Printer, size: (f64, f64)) -> Result<Area, Fault> {
    let free = printable(printer, size);
    let window =
        Area { low: (free.low.0 + LEFT, free.low.1 + FOOT), high: (free.high.0 - EDGE, free.high.1 - EDGE) };
    let narrow = free.width() < LEFT + FOUR_INCHES + INSET + LEAST_WORDS;
    if narrow || window.width() < LEAST_WINDOW || window.height() < LEAST_WINDOW {
        return Err(Fault::new(
            format!(
                "printer {}: paper of {:.0} × {:.0} mm with {:.1} mm margins leaves no room for a drawing beside the check bars",
                printer.name,
                size.0,
                size.1,
                printer.margin.to_mm()
            ),
            "print on larger paper, or give the printer's true margin",
        ));
    }
    Ok(window)
}

/// A page of the printer's usual size.
///
/// # Errors
/// As [`window`].
pub fn skeleton(printer: &Printer, words: &Words, page: &str) -> Result<Skeleton, Fault> {
    sized_skeleton(printer, usual_size(printer), words, page)
}

/// A page of a size, with `page` saying which one it is.
///
/// # Errors
/// As [`window`].
pub fn sized_skeleton(
    printer: &Printer,
    size: (f64, f64),
    words: &Words,
    page: &str,
) -> Result<Skeleton, Fault> {
    let window = window(printer, size)?;
    let free = printable(printer, size);
    let mut groups = bars((free.low.0 + INSET, free.low.1 + INSET), "");
    let mut marks = boxes((window.low.0, free.low.1 + INSET));
    let left = free.low.0 + INSET + FOUR_INCHES + 8.0;
    let column =
        Area { low: (left, free.low.1), high: (free.high.0.min(left + MOST_WORDS), free.low.1 + FOOT - 6.0) };
    marks.extend(said(words, &column));
    // Left of the slanting bar's upper end.
    let room = left - window.low.0 - 20.0;
    let height = height_that_fits(page, room, 5.0, true).unwrap_or(HEIGHTS[1]);
    marks.push(written((window.low.0, free.low.1 + FOOT - 11.0), page, height, Anchor::Start, true));
    groups.push(Group { id: "words".into(), layer: Layer::Notes, marks });
    Ok(Skeleton { size, window, groups })
}

/// The bars from a corner A: 100 mm across to B and up to C with ticks outward, 4 in inside them; aslant 100 mm from D to E and
/// 4 in above it. From B to C it is 100 √2 mm. Ids of the groups end in `suffix`, where a page has a second set.
pub fn bars(corner: At, suffix: &str) -> Vec<Group> {
    let mut metric = Vec::new();
    let mut inches = Vec::new();
    let mut marks = Vec::new();
    for (words, turn) in [("A–B 100 mm", 0.0), ("A–C 100 mm", 90.0), ("D–E 100 mm", SLANTED)] {
        // Along the bar, and to the side of the drawing.
        let at = |along: f64, out: f64| match turn {
            0.0 => (corner.0 + along, corner.1 + out),
            90.0 => (corner.0 + out, corner.1 + along),
            _ => (
                corner.0 + DIAGONAL.0 + SLANT.0 * along - SLANT.1 * out,
                corner.1 + DIAGONAL.1 + SLANT.1 * along + SLANT.0 * out,
            ),
        };
        let bar = |to: &mut Vec<Mark>, length: f64, inward: f64, tick: f64| {
            to.push(line(at(0.0, inward), at(length, inward), LineType::Dimension));
            for along in [0.0, length] {
                to.push(line(at(along, inward), at(along, inward + tick), LineType::Dimension));
            }
        };
        bar(&mut metric, BAR, 0.0, -TICK);
        bar(&mut inches, FOUR_INCHES, INWARD, INCH_TICK);
        // Read from the bottom along the lower bar, from the right along the upright one. Boxes stand below the slanting one's end.
        let (under, over) = if turn == 90.0 { (-0.7, 5.0) } else { (-3.2, 2.7) };
        let middle = if turn == SLANTED { 0.36 } else { 0.5 };
        for (text, out, share) in [(words, under, middle), ("4 in", over, 0.5)] {
            marks.push(Mark::Text(Text {
                at: at(BAR * share, out),
                text: text.into(),
                height: 2.5,
                anchor: Anchor::Middle,
                turn,
                bold: false,
            }));
        }
    }
    for (letter, x, y) in [
        ("A", -3.5, -3.3),
        ("B", BAR + 2.5, -3.2),
        ("C", -3.0, BAR + 2.8),
        ("D", DIAGONAL.0 - 3.6, DIAGONAL.1 - 2.6),
        ("E", DIAGONAL.0 + 97.2, DIAGONAL.1 + 27.0),
    ] {
        marks.push(written((corner.0 + x, corner.1 + y), letter, 2.5, Anchor::Start, true));
    }
    vec![
        Group { id: format!("bar-100mm{suffix}"), layer: Layer::Dimensions, marks: metric },
        Group { id: format!("bar-4in{suffix}"), layer: Layer::Dimensions, marks: inches },
        Group { id: format!("words-of-bars{suffix}"), layer: Layer::Dimensions, marks },
    ]
}

/// Where to write what the bars measured, and when to throw the print away: boxes under the slanting bar, words over it. `at` is
/// A's height at the left of the window.
fn boxes(at: At) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (row, texts) in [["A–B", "A–C"], ["D–E", "B–C"]].iter().enumerate() {
        let (mut x, y) = (at.0 + 49.5, at.1 + 6.5 + 8.0 * row as f64);
        for text in texts {
            marks.push(written((x, y + 1.9), *text, 2.5, Anchor::Start, false));
            x += width_of(text, 2.5, false) + 1.5;
            marks.push(Mark::Stroke { path: rectangle((x, y), (x + 16.0, y + 6.0)), line: LineType::Table });
            x += 16.0 + 3.0;
        }
    }
    let limit = format!("Off by more than {PASS} mm (4 in bars: 1/64\"):");
    let rule = [limit.as_str(), "do not use this print.", "Print at 100 %.", "B–C is 141.4 mm."];
    for (row, text) in rule.into_iter().enumerate() {
        marks.push(written((at.0, at.1 + 32.2 - 4.0 * row as f64), text, 2.5, Anchor::Start, false));
    }
    marks.push(written((at.0 + 31.0, at.1 + 8.4), "measured:", 2.5, Anchor::Start, false));
    marks
}

/// The words of a page in a column.
fn said(words: &Words, column: &Area) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut top = column.high.1;
    let compass = compass(&words.ways, words.grain, (0.0, 0.0));
    let (low, high) = crate::drawing::bounds::extents(&compass).unwrap_or_default();
    // The large word is as large as leaves room for the arrows beside it.
    let (text, sizes) = match words.face {
        Some(face) => (face_word(face), [10.0, 7.0, 5.0]),
        None => (words.kind.as_str(), [5.0, 3.5, 2.5]),
    };
    let room = column.width() - (high.0 - low.0) - 4.0;
    let size = sizes.into_iter().find(|size| width_of(text, *size, true) <= room).unwrap_or(sizes[2]);
    marks.push(written((column.low.0, top - size), text, size, Anchor::Start, true));
    let at = (column.high.0 - high.0 - 1.0, top - 1.0 - high.1);
    marks.extend(compass.into_iter().map(|mark| moved(mark, at)));
    top -= 15.5;
    // As large as there is room for; what is left out at the smallest size stands on the page with the map.
    let width = column.width();
    for (large, small) in [(5.0, 2.5), (3.5, 2.5), (2.5, 1.8)] {
        let size = height_that_fits(&words.name, width, large, true).unwrap_or(small);
        let mut name = wrap(&words.name, width, size, true);
        name.truncate(2);
        let name = lines((column.low.0, top), &name, size, Anchor::Start, true);
        let below = top - name.height - 1.0;
        let mut all: Vec<String> =
            words.lines.iter().flat_map(|text| wrap(text, width, small, false)).collect();
        let mut rest = lines((column.low.0, below), &all, small, Anchor::Start, false);
        let last = small < 2.5;
        while last && below - rest.height < column.low.1 && !all.is_empty() {
            all.pop();
            rest = lines((column.low.0, below), &all, small, Anchor::Start, false);
        }
        if last || below - rest.height >= column.low.1 {
            marks.extend(name.marks);
            marks.extend(rest.marks);
            break;
        }
    }
    marks
}

/// Arrows with the room's words from a centre, and a double arrow for the grain to their left.
pub fn compass(ways: &[Way], grain: Option<f64>, centre: At) -> Vec<Mark> {
    let mut marks = Vec::new();
    for way in ways {
        let (sin, cos) = (libm::sin(way.angle.to_radians()), libm::cos(way.angle.to_radians()));
        let tip = (centre.0 + 7.0 * cos, centre.1 + 7.0 * sin);
        marks.extend(ended_line(&[centre, tip], Terminator::None, Terminator::Arrow, 0.4));
        let (at, anchor) = if cos > 0.5 {
            ((tip.0 + 1.0, tip.1 - 1.25), Anchor::Start)
        } else if cos < -0.5 {
            ((tip.0 - 1.0, tip.1 - 1.25), Anchor::End)
        } else if sin > 0.0 {
            ((tip.0, tip.1 + 1.0), Anchor::Middle)
        } else {
            ((tip.0, tip.1 - 3.5), Anchor::Middle)
        };
        marks.push(written(at, way.word.as_str(), 2.5, anchor, true));
    }
    if let Some(angle) = grain {
        let left = crate::drawing::bounds::extents(&marks).map_or(centre.0, |(low, _)| low.0)
            - if angle == 0.0 { 10.0 } else { 6.0 };
        let middle = (left, centre.1 + 3.5);
        let (dx, dy) = (7.0 * libm::cos(angle.to_radians()), 7.0 * libm::sin(angle.to_radians()));
        let ends = [(middle.0 - dx, middle.1 - dy), (middle.0 + dx, middle.1 + dy)];
        marks.extend(ended_line(&ends, Terminator::Arrow, Terminator::Arrow, 0.4));
        let text = if dy.abs() > dx.abs() {
            Text {
                at: (middle.0 - 1.4, middle.1),
                text: "grain".into(),
                height: 2.5,
                anchor: Anchor::Middle,
                turn: 90.0,
                bold: false,
            }
        } else {
            Text {
                at: (middle.0, middle.1 + 1.4),
                text: "grain".into(),
                height: 2.5,
                anchor: Anchor::Middle,
                turn: 0.0,
                bold: false,
            }
        };
        marks.push(Mark::Text(text));
    }
    marks
}

/// A mark moved on the paper.
pub fn moved(mark: Mark, by: At) -> Mark {
    mark.moved(by)
}
