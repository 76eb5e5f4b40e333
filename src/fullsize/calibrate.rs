//! A printer's own error, measured on a test page and taken out of the next print.
//!
//! The test page shows a square with corners A, B (100 mm to the right of A), C (100 mm above A) and D. A printer maps it
//! evenly, as far as three bars can tell: `a` = AB, `b` = AC and `c` = BC as measured give the stretch along both edges and the
//! angle θ between them (law of cosines):
//!
//! ```text
//! sx = a / 100    sy = b / 100    cos θ = (a² + b² − c²) / (2 a b)
//! ```
//!
//! Up to a turn of the paper, which no figure cares about, the printer is then the map
//!
//! ```text
//! P = | sx   sy cos θ |        and the correction      P⁻¹ = | 1/sx   −cos θ / (sx sin θ) |
//!     | 0    sy sin θ |        is its inverse                | 0       1 / (sy sin θ)     |
//! ```
//!
//! It is applied to every page about the middle of the paper, so that what moves does so by the least.
//! A printer that draws a trapezoid (opposite sides of the square unlike) is beyond an even map: the test page says so.

use super::page::{self, Words};
use super::{Fault, Printer};
use crate::drawing::paper::Area;
use crate::drawing::text::{paragraph, written};
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Sheet, Step, line};
use crate::length::notation::read;
use crate::length::{Length, Units};
use crate::shape::Arc;
use crate::values::{Job, Printer as Given, PrinterPaper};

/// True length of the bars, in mm.
pub const BAR: f64 = 100.0;
/// A bar that is off by more than this is a print to throw away, in mm (facts of paper: practice).
pub const PASS: f64 = 0.5;
/// A printer that is off by more than this share was told to scale: that is put right in its dialogue, not here.
const MOST: f64 = 0.05;

/// What the bars of the test page measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// A to B.
    pub across: Length,
    /// A to C.
    pub up: Length,
    /// B to C, true 100 √2 mm.
    pub corners: Length,
}

/// A linear map of a page: x' = xx·x + xy·y and y' = yy·y, from the middle of the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    pub xx: f64,
    pub xy: f64,
    pub yy: f64,
}

impl Correction {
    /// A printer that is true, or was never measured.
    pub const NONE: Correction = Correction { xx: 1.0, xy: 0.0, yy: 1.0 };

    /// Where a point of the page is drawn so that it prints where it should.
    pub fn of(&self, at: At, middle: At) -> At {
        let (x, y) = (at.0 - middle.0, at.1 - middle.1);
        (middle.0 + self.xx * x + self.xy * y, middle.1 + self.yy * y)
    }

    /// How far the map reaches beyond a page of this size, in mm on each side.
    pub fn reach(&self, size: (f64, f64)) -> f64 {
        let (x, y) = (size.0 / 2.0, size.1 / 2.0);
        (self.xx * x + self.xy.abs() * y - x).max(self.yy * y - y).max(0.0)
    }

    /// Degrees by which the printed axes stand out of square; positive where the corner at A prints too wide.
    pub fn skew(&self) -> f64 {
        // xy/yy = −sy cos θ / sx and xx = 1/sx, so cos θ = −(xy/yy) / xx · (1/sy); yy = 1/(sy sin θ) gives tan θ.
        let tangent = -self.xx / self.xy;
        if self.xy == 0.0 {
            return 0.0;
        }
        let angle = libm::atan(tangent).to_degrees();
        if angle > 0.0 { angle - 90.0 } else { angle + 90.0 }
    }
}

impl Measured {
    /// From `99.6,100.2,141.2`: three lengths, bare numbers in millimetres, in order across, up, corner to corner.
    ///
    /// # Errors
    /// In words, where there are not three, or one cannot be read.
    pub fn read(text: &str) -> Result<Measured, Fault> {
        let fields: Vec<&str> = text.split(',').map(str::trim).collect();
        let [across, up, corners] = fields.as_slice() else {
            return Err(Fault::new(
                format!(
                    "three measures are wanted, but {} given",
                    match fields.len() {
                        1 => "one is".to_owned(),
                        many => format!("{many} are"),
                    }
                ),
                "write A–B, A–C and B–C with commas between them, as in 99.6,100.2,141.2",
            ));
        };
        let length = |text: &str| {
            read(text, Units::Millimetre)
                .map_err(|fault| Fault::new(format!("`{text}`: {}", fault.message), fault.cure))
        };
        Ok(Measured { across: length(across)?, up: length(up)?, corners: length(corners)? })
    }

    /// The correction of the next print.
    ///
    /// # Errors
    /// Where a bar is off by more than 5 %, which is a setting of the print dialogue and not the printer's error, or the three
    /// cannot belong together.
    pub fn correction(&self) -> Result<Correction, Fault> {
        let (a, b, c) = (self.across.to_mm(), self.up.to_mm(), self.corners.to_mm());
        let true_corner = BAR * std::f64::consts::SQRT_2;
        for (name, measured, wanted) in [("A–B", a, BAR), ("A–C", b, BAR), ("B–C", c, true_corner)] {
            if (measured / wanted - 1.0).abs() > MOST {
                return Err(Fault::new(
                    format!(
                        "{name} measures {measured} mm where {wanted:.1} mm was drawn: {:.1} % off",
                        (measured / wanted - 1.0).abs() * 100.0
                    ),
                    "print the test page again at 100 % (actual size, no fitting to the page), then measure",
                ));
            }
        }
        let cosine = (a * a + b * b - c * c) / (2.0 * a * b);
        let sine = libm::sqrt((1.0 - cosine * cosine).max(0.0));
        let (sx, sy) = (a / BAR, b / BAR);
        Ok(Correction { xx: 1.0 / sx, xy: -cosine / (sx * sine), yy: 1.0 / (sy * sine) })
    }
}

/// The printers of a shop, or the one of that name.
///
/// # Errors
/// Where there are none, or none of that name.
pub fn printers<'a>(job: &'a Job, name: Option<&str>) -> Result<Vec<&'a Given>, Fault> {
    let all = &job.full_size.printers;
    if all.is_empty() {
        return Err(Fault::new(
            "no printer is listed",
            "list the shop's printers, as in `shop: {printers: {office: {paper: letter}}}`",
        ));
    }
    let Some(name) = name else { return Ok(all.iter().collect()) };
    all.iter().find(|printer| printer.name == name).map(|only| vec![only]).ok_or_else(|| {
        let known: Vec<&str> = all.iter().map(|printer| printer.name.as_str()).collect();
        let cure = match crate::diagnose::nearest(name, known.iter().copied()) {
            Some(near) => format!("the nearest is `{near}`"),
            None => format!("there are: {}", known.join(", ")),
        };
        Fault::new(format!("there is no printer `{name}`"), cure)
    })
}

/// [`shop_lines`] of the one printer that was measured, from what was typed.
///
/// # Errors
/// For more than one printer, and as [`Measured::read`] and [`Measured::correction`].
pub fn lines_from(chosen: &[&Given], measured: &str) -> Result<String, Fault> {
    let [given] = chosen else {
        let known: Vec<&str> = chosen.iter().map(|printer| printer.name.as_str()).collect();
        return Err(Fault::new(
            format!("there are {} printers, and the measures belong to one", chosen.len()),
            format!("add --printer with one of {}", known.join(", ")),
        ));
    };
    shop_lines(&given.name, &given.paper, given.margin, &Measured::read(measured)?)
}

/// The factors in words, and the lines to paste into the shop's file so that the next print is corrected.
///
/// # Errors
/// As [`Measured::correction`].
pub fn shop_lines(
    name: &str,
    paper: &PrinterPaper,
    margin: Length,
    measured: &Measured,
) -> Result<String, Fault> {
    let correction = measured.correction()?;
    let mm = |length: Length| crate::length::notation::show_exact(length, Units::Millimetre);
    let paper = match paper {
        PrinterPaper::Sheets(word) => format!("paper: {word}"),
        PrinterPaper::Roll(width) => format!("paper: roll, width: {}", mm(*width)),
    };
    Ok(format!(
        "# The next print is stretched by {:.4} across and {:.4} up, and turned by {:.2}° out of square.\n\
         shop:\n  printers:\n    {name}: {{{paper}, margin: {}, measured: [{}, {}, {}]}}\n",
        correction.xx,
        correction.yy,
        correction.skew(),
        mm(margin),
        mm(measured.across),
        mm(measured.up),
        mm(measured.corners),
    ))
}

/// The page to print and measure. It is never corrected itself: what it shows is the printer's own error.
pub fn test_page(job: &Job, printer: &Printer) -> Result<Sheet, Fault> {
    let bare = Printer { correction: Correction::NONE, ..printer.clone() };
    let words = Words {
        kind: "TEST PAGE".into(),
        name: format!("Printer {}", printer.name),
        lines: vec![page::job_line(job), "no correction on this page".into()],
        ..Words::default()
    };
    let skeleton = page::skeleton(&bare, &words, "1 of 1")?;
    let mut sheet = Sheet {
        name: format!("test-page-{}", printer.name),
        title: format!("Test page for {}", printer.name),
        width: skeleton.size.0,
        height: skeleton.size.1,
        groups: skeleton.groups,
        dimensions: Vec::new(),
        ..Sheet::default()
    };
    let window = skeleton.window;
    let text = format!(
        "1. Print at 100 % (actual size), with no fitting to the page, on the paper that templates are printed on. \
         2. Measure the square with a steel rule, middle of line to middle of line, to a tenth of a millimetre: A–B, A–C and B–C. \
         3. Write the three lengths, in this order, beside the printer in the shop's file, such as \
         measured: [99.6 mm, 100.2 mm, 141.2 mm]. \
         4. Measure C–D and B–D too. Where C–D is not A–B, or B–D not A–C, to {} mm, the printer draws a trapezoid, which no \
         correction cures: use another printer or a copy shop.",
        0.2
    );
    let notes = paragraph(
        (window.low.0 + 4.0, window.high.1 - 4.0),
        &text,
        (window.width() - 8.0).min(180.0),
        3.5,
        false,
    );
    let corner = (window.low.0 + 15.0, (window.high.1 - notes.height - 20.0 - BAR).max(window.low.1 + 8.0));
    sheet.groups.push(Group { id: "test-square".into(), layer: Layer::Dimensions, marks: square(corner) });
    sheet.groups.push(Group { id: "instructions".into(), layer: Layer::Notes, marks: notes.marks });
    Ok(sheet)
}

fn square(at: At) -> Vec<Mark> {
    let corner = |x: f64, y: f64| (at.0 + x * BAR, at.1 + y * BAR);
    let mut marks = Vec::new();
    let all = [("A", 0.0, 0.0), ("B", 1.0, 0.0), ("C", 0.0, 1.0), ("D", 1.0, 1.0)];
    for (from, to) in [
        ((0.0, 0.0), (1.0, 0.0)),
        ((0.0, 0.0), (0.0, 1.0)),
        ((0.0, 1.0), (1.0, 1.0)),
        ((1.0, 0.0), (1.0, 1.0)),
        ((1.0, 0.0), (0.0, 1.0)),
    ] {
        marks.push(line(corner(from.0, from.1), corner(to.0, to.1), LineType::Dimension));
    }
    for (name, x, y) in all {
        let centre = corner(x, y);
        let (out_x, out_y) = (if x == 0.0 { -1.0 } else { 1.0 }, if y == 0.0 { -1.0 } else { 1.0 });
        marks.push(line((centre.0, centre.1), (centre.0 + 4.0 * out_x, centre.1), LineType::Dimension));
        marks.push(line((centre.0, centre.1), (centre.0, centre.1 + 4.0 * out_y), LineType::Dimension));
        let (anchor, dx) = if x == 0.0 { (Anchor::End, -1.0) } else { (Anchor::Start, 1.0) };
        let dy = if y == 0.0 { -5.0 } else { 1.5 };
        marks.push(written((centre.0 + dx, centre.1 + dy), name, 3.5, anchor, true));
    }
    for (text, x, y) in [("A–B 100 mm", 0.5, -6.0), ("C–D 100 mm", 0.5, BAR + 2.5)] {
        marks.push(written((at.0 + x * BAR, at.1 + y), text, 3.5, Anchor::Middle, false));
    }
    marks.push(written((at.0 + BAR * 0.55, at.1 + BAR * 0.55), "B–C 141.4 mm", 3.5, Anchor::Start, false));
    for (text, x) in [("A–C 100 mm", 3.0), ("B–D 100 mm", BAR - 25.0)] {
        marks.push(written((at.0 + x, at.1 + BAR * 0.25), text, 3.5, Anchor::Start, false));
    }
    marks
}

/// The page as it must be drawn so that the printer prints what was meant. Texts are moved, not bent; arcs are broken to
/// pieces of 7.5° at most, which keep to the stretched curve within a hundredth of a millimetre for every radius on paper.
pub fn corrected(sheet: Sheet, correction: &Correction) -> Sheet {
    if *correction == Correction::NONE {
        return sheet;
    }
    let middle = (sheet.width / 2.0, sheet.height / 2.0);
    let moved = |at: At| correction.of(at, middle);
    let groups = sheet.groups.into_iter().map(|group| Group {
        marks: group
            .marks
            .into_iter()
            .map(|mark| match mark {
                Mark::Stroke { path, line } => Mark::Stroke { path: bent(&path, &moved), line },
                Mark::Fill { path, ink } => Mark::Fill { path: bent(&path, &moved), ink },
                Mark::Text(mut text) => {
                    text.at = moved(text.at);
                    Mark::Text(text)
                }
                Mark::Link { low, high, sheet } => Mark::Link { low: moved(low), high: moved(high), sheet },
            })
            .collect(),
        ..group
    });
    Sheet { groups: groups.collect(), ..sheet }
}

fn bent(path: &[Step], moved: &dyn Fn(At) -> At) -> Vec<Step> {
    let mut out = Vec::with_capacity(path.len());
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    for step in path {
        match *step {
            Step::Move(to) => {
                out.push(Step::Move(moved(to)));
                (start, at) = (to, to);
            }
            Step::Line(to) => {
                out.push(Step::Line(moved(to)));
                at = to;
            }
            Step::Arc(to, bulge) => {
                match Arc::between(at, to, bulge) {
                    Some(arc) => arc_pieces(&arc, at, to, moved, &mut out),
                    None => out.push(Step::Line(moved(to))),
                }
                at = to;
            }
            Step::Close => {
                out.push(Step::Close);
                at = start;
            }
        }
    }
    out
}

fn arc_pieces(arc: &Arc, from: At, to: At, moved: &dyn Fn(At) -> At, out: &mut Vec<Step>) {
    let on = |t: f64| arc.at(t);
    let count = libm::ceil(arc.sweep.abs() / (std::f64::consts::PI / 24.0)).max(1.0);
    let mut begin = moved(from);
    for part in 1..=count as usize {
        let end = if part as f64 == count { moved(to) } else { moved(on(part as f64 / count)) };
        let crown = moved(on((part as f64 - 0.5) / count));
        out.push(Step::Arc(end, bulge_through(begin, crown, end)));
        begin = end;
    }
}

/// The bulge of the arc from one point to another over a crown near its middle: twice the rise over the chord there.
fn bulge_through(from: At, crown: At, to: At) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let chord = libm::hypot(dx, dy);
    if chord == 0.0 {
        return 0.0;
    }
    let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    // Positive bulge lies to the right of the direction of travel.
    let rise = ((crown.0 - middle.0) * dy - (crown.1 - middle.1) * dx) / chord;
    2.0 * rise / chord
}

/// The part of the paper that can be drawn on so that, corrected, it still lies within the printer's margins.
pub fn printable(printer: &Printer, size: (f64, f64)) -> Area {
    let margin = printer.margin.to_mm() + printer.correction.reach(size);
    Area { low: (0.0, 0.0), high: size }.inset(margin)
}
