//! The layout of each sheet of sheet goods, drawn to scale: parts in place, cuts with their numbers, offcuts hatched, and the
//! order of the cuts as a table. Drawn as it lies, x to the right, y up, the good face towards the eye.

use std::collections::BTreeSet;

use super::frame::Area;
use super::free::Taken;
use super::lanes::measure;
use super::nest_words::NestWords;
use super::part_layout::FIGURES;
use super::scales::{Scale, largest_that_fits};
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::arrow::{Terminator, ended_line};
use crate::drawing::balloon::{balloon, pointing_balloon, radius};
use crate::drawing::{Anchor, At, Group, Ink, Layer, LineType, Mark, Step, Text, line, rectangle};
use crate::length::Length;
use crate::parts::Made;
use crate::plans::Plans;
use crate::plans::nests::{Along, CutKind, Nest, NestCut, NestSheet, NestedPart, Patch};
use crate::shape::Outline;

const NOTES: f64 = 2.5;
/// The heading of these sheets in a list of contents.
const CHAPTER: &str = "Sheet layouts";
/// Lettering of cut numbers.
const NUMBERS: f64 = 1.8;
/// Room round the drawing for its overall sizes, the numbers of cuts and the arrow of the grain.
const LEFT: f64 = 16.0;
/// A column of notes narrower than this is not worth reading.
const LEAST_NOTES: f64 = 58.0;
const BELOW: f64 = 12.5;
const RIGHT: f64 = 22.0;
const ABOVE: f64 = 7.5;

/// A drawing for every sheet of every stock, in the order of their numbers.
pub fn nests(made: &Made, plans: &Plans, paperwork: &Paperwork) -> Vec<Draft> {
    let sheets = |nest: &Nest| {
        let one = |(index, sheet): (usize, &NestSheet)| {
            let figures = paperwork.figures;
            nest_sheet(&NestWords { made, nest, sheet, place: index + 1, figures }, paperwork)
        };
        nest.sheets.iter().enumerate().flat_map(one).collect::<Vec<_>>()
    };
    plans.nests.iter().flat_map(sheets).collect()
}

fn nest_sheet(words: &NestWords, paperwork: &Paperwork) -> Vec<Draft> {
    let frame = paperwork.frame();
    let (field, inside) = (frame.field(), frame.inside().inset(5.0));
    let upright = field.width() < 260.0;
    // On the left, down to the bottom beside the title block; on upright paper above two thirds of what is over it.
    let zone = if upright {
        Area { low: (field.low.0, field.low.1 + field.height() / 3.0), high: field.high }
    } else {
        Area { low: inside.low, high: (frame.block().low.0 - 5.0, field.high.1) }
    };
    let room = Area {
        low: (zone.low.0 + LEFT, zone.low.1 + BELOW),
        high: (zone.high.0 - RIGHT, zone.high.1 - ABOVE),
    };
    let (width, length) = (words.sheet.width.to_mm(), words.sheet.length.to_mm());
    let scale = largest_that_fits(width, length, &room, paperwork.practice);
    let drawn = scale.map(|scale| Drawn::new(words, room, scale, paperwork));
    let (right, low) = drawn.as_ref().map_or((field.low.0, field.high.1), |drawn| {
        (drawn.origin.0 + width * drawn.factor + RIGHT + 4.0, drawn.origin.1 - BELOW)
    });
    let beside = Area { low: (right, if upright { low } else { field.low.1 }), high: field.high };
    let mut regions = Vec::new();
    if beside.width() >= LEAST_NOTES {
        regions = columns(beside, libm::floor(beside.width() / 105.0).max(1.0) as usize);
    }
    if upright {
        regions.push(Area { low: field.low, high: (field.high.0, low - 3.0) });
    }
    let mut flow = Flow::new(regions);
    flow.line(&words.title().to_uppercase(), 5.0, true);
    let mut facts = words.facts();
    if let Some(drawn) = drawn.as_ref().filter(|drawn| !drawn.unnamed.is_empty()) {
        let marks: Vec<&str> = drawn.unnamed.iter().map(String::as_str).collect();
        facts.push(("NOT NAMED".to_owned(), format!("too small here, see the cuts: {}", marks.join(", "))));
    }
    flow.facts(&facts, NOTES);
    flow.table(&words.parts(NOTES));
    flow.table(&words.order(NOTES));
    flow.line(paperwork.figures.unit_note(), NOTES, true);
    let name = format!("nest-{:02}-{}", words.sheet.number, stock_name(words));
    let title = words.title();
    let mut groups = drawn.map(|drawn| drawn.groups(&name)).unwrap_or_default();
    groups.push(flow.group(&name));
    let draft = Draft {
        name: name.clone(),
        title: title.clone(),
        kind: "SHEET LAYOUT",
        chapter: CHAPTER.to_owned(),
        scale: scale.map(Scale::label).unwrap_or_default(),
        groups,
        ..Draft::default()
    };
    let mut all = vec![draft];
    all.extend(flow.further(paperwork, &name, &title));
    all
}

fn stock_name(words: &NestWords) -> String {
    let name = words.made.job.stock.get(words.nest.stock).map_or("", |stock| stock.name.as_str());
    name.replace('_', "-")
}

/// The marks of one sheet, by layer.
pub(super) struct Drawn<'a> {
    pub(super) words: &'a NestWords<'a>,
    origin: At,
    factor: f64,
    pub(super) group: f64,
    unidirectional: bool,
    /// The sheet and the room round it.
    pub(super) beside: Area,
    pub(super) outlines: Vec<Mark>,
    pub(super) cuts: Vec<Mark>,
    pub(super) shapes: Vec<Mark>,
    pub(super) dimensions: Vec<Mark>,
    pub(super) labels: Vec<Mark>,
    /// What labels keep clear of.
    pub(super) taken: Taken,
    /// Numbers of cuts, which may lie on the lines of parts but not on each other.
    rings: Taken,
    /// Marks of parts too small to be named on the drawing.
    pub(super) unnamed: BTreeSet<String>,
}

impl<'a> Drawn<'a> {
    fn new(words: &'a NestWords<'a>, room: Area, scale: Scale, paperwork: &Paperwork) -> Drawn<'a> {
        let factor = scale.factor();
        let length = words.sheet.length.to_mm() * factor;
        // In the upper left corner: what is free at the right goes to the notes.
        let origin = (room.low.0, room.high.1 - length);
        let mut drawn = Drawn {
            words,
            origin,
            factor,
            group: paperwork.line_group(),
            unidirectional: paperwork.unidirectional(),
            beside: Area {
                low: origin,
                high: (origin.0 + words.sheet.width.to_mm() * factor, origin.1 + length),
            }
            .inset(-6.0),
            outlines: Vec::new(),
            cuts: Vec::new(),
            shapes: Vec::new(),
            dimensions: Vec::new(),
            labels: Vec::new(),
            taken: Taken::default(),
            rings: Taken::default(),
            unnamed: BTreeSet::new(),
        };
        drawn.draw();
        drawn
    }

    fn groups(self, name: &str) -> Vec<Group> {
        let group = |id: &str, layer, marks| Group { id: format!("{name}-{id}"), layer, marks };
        vec![
            group("shapes", Layer::Outlines, self.shapes),
            group("cuts", Layer::Outlines, self.cuts),
            group("view", Layer::Outlines, self.outlines),
            group("dimensions", Layer::Dimensions, self.dimensions),
            group("labels", Layer::Notes, self.labels),
        ]
    }

    fn at(&self, x: Length, y: Length) -> At {
        (self.origin.0 + x.to_mm() * self.factor, self.origin.1 + y.to_mm() * self.factor)
    }

    pub(super) fn area(&self, patch: &Patch) -> Area {
        Area { low: self.at(patch.x, patch.y), high: self.at(patch.x + patch.width, patch.y + patch.length) }
    }

    fn draw(&mut self) {
        let sheet = self.words.sheet;
        let whole = Patch { x: Length::ZERO, y: Length::ZERO, width: sheet.width, length: sheet.length };
        let border = self.area(&whole);
        let path = rectangle(border.low, border.high);
        self.outlines.push(Mark::Stroke { path, line: LineType::Visible });
        self.overall(border);
        for placed in &sheet.parts {
            self.shape(placed);
        }
        let shapes = self.shapes.clone();
        self.taken.add(&shapes);
        // Short cuts first: they have the fewest places for their number.
        let mut cuts: Vec<&NestCut> = sheet.cuts.iter().collect();
        cuts.sort_by_key(|cut| (cut.to - cut.from, cut.number));
        for cut in cuts {
            self.cut(cut, border);
        }
        for offcut in &sheet.offcuts {
            self.offcut(offcut);
        }
        for placed in &sheet.parts {
            self.label(placed);
        }
    }

    /// Overall sizes below and on the left, the grain on the right.
    fn overall(&mut self, border: Area) {
        let (low, high) = (border.low, border.high);
        let figures = self.words.figures;
        let (sheet, group) = (self.words.sheet, self.group);
        let y = low.1 - 9.0;
        for x in [low.0, high.0] {
            self.dimensions.push(line((x, low.1 - 1.5), (x, y - 2.0), LineType::Dimension));
        }
        let width = figures.print(sheet.width).figure;
        self.dimensions.extend(measure((low.0, y), (high.0, y), &width, FIGURES, true, group));
        let x = low.0 - 9.0;
        for y in [low.1, high.1] {
            self.dimensions.push(line((low.0 - 1.5, y), (x - 2.0, y), LineType::Dimension));
        }
        let length = figures.print(sheet.length).figure;
        let measured = measure((x, low.1), (x, high.1), &length, FIGURES, self.unidirectional, group);
        self.dimensions.extend(measured);
        if !self.words.has_grain() {
            return;
        }
        // To the right of the numbers of crosscuts.
        let middle = (high.0 + 14.0, (low.1 + high.1) / 2.0);
        let (from, to, at, turn) = match sheet.rips {
            Along::Length => {
                let (from, to) = ((middle.0, middle.1 - 12.0), (middle.0, middle.1 + 12.0));
                (from, to, (middle.0 - 1.5, middle.1), 90.0)
            }
            Along::Width => {
                let (from, to) = ((middle.0 - 7.0, middle.1), (middle.0 + 7.0, middle.1));
                (from, to, (middle.0, middle.1 + 1.5), 0.0)
            }
        };
        self.labels.extend(ended_line(&[from, to], Terminator::Arrow, Terminator::Arrow, group));
        let text = "GRAIN".to_owned();
        let text = Text { at, text, height: NOTES, anchor: Anchor::Middle, turn, bold: true };
        self.labels.push(Mark::Text(text));
    }

    /// A part: the rectangle that is sawn, its true outline inside, and its datum corner filled.
    fn shape(&mut self, placed: &NestedPart) {
        let area = self.area(&placed.patch);
        let path = rectangle(area.low, area.high);
        self.outlines.push(Mark::Stroke { path, line: LineType::Visible });
        let Some(part) = self.words.part(placed) else { return };
        let outline = part.as_cut();
        let is_rectangle = outline.vertices().len() == 4 && outline.vertices().iter().all(|v| v.bulge == 0.0);
        let outer = (!is_rectangle).then_some(&outline);
        for shape in outer.into_iter().chain(&part.inside) {
            let path = self.path(shape, placed);
            self.shapes.push(Mark::Stroke { path, line: LineType::Dimension });
        }
        // Towards the middle of the part from its datum corner, whichever corner of the rectangle that is.
        let corner = self.at(placed.datum.0, placed.datum.1);
        let near = |value: f64, low: f64, high: f64| value.clamp(low, high);
        let corner = (near(corner.0, area.low.0, area.high.0), near(corner.1, area.low.1, area.high.1));
        let leg = (0.3 * area.width().min(area.height())).clamp(0.8, 2.2);
        let towards =
            |from: f64, low: f64, high: f64| if from - low < high - from { from + leg } else { from - leg };
        let across = (towards(corner.0, area.low.0, area.high.0), corner.1);
        let up = (corner.0, towards(corner.1, area.low.1, area.high.1));
        let path = vec![Step::Move(corner), Step::Line(across), Step::Line(up), Step::Close];
        self.shapes.push(Mark::Fill { path, ink: Ink::Black });
    }

    fn path(&self, outline: &Outline, placed: &NestedPart) -> Vec<Step> {
        let on_paper = |x: Length, y: Length| {
            let (x, y) = placed.to_sheet(x, y);
            self.at(x, y)
        };
        let mut path = Vec::new();
        for (from, to) in outline.segments() {
            if path.is_empty() {
                path.push(Step::Move(on_paper(from.at.x, from.at.y)));
            }
            let to = on_paper(to.x, to.y);
            path.push(if from.bulge == 0.0 { Step::Line(to) } else { Step::Arc(to, from.bulge) });
        }
        path.push(Step::Close);
        path
    }

    /// The number of a cut where it runs in: outside the sheet where it ends there, else on the cut itself, else led to it.
    fn cut(&mut self, cut: &NestCut, border: Area) {
        let half_kerf = self.words.nest.kerf.half();
        let low_trim = cut.kind == CutKind::Trim && cut.at <= self.words.sheet.trim;
        let middle = if low_trim { cut.at - half_kerf } else { cut.at + half_kerf };
        let end = |along: Length| match cut.along {
            Along::Width => self.at(along, middle),
            Along::Length => self.at(middle, along),
        };
        let (from, to) = (end(cut.from), end(cut.to));
        // Its whole run, through waste too.
        let kind = if cut.kind == CutKind::Trim { LineType::Hidden } else { LineType::Dimension };
        self.cuts.push(line(from, to, kind));
        let text = cut.number.to_string();
        let reach = radius(&text, NUMBERS);
        let moved = |at: At, by: f64| match cut.along {
            Along::Width => (at.0 + by, at.1),
            Along::Length => (at.0, at.1 + by),
        };
        let mut spots: Vec<At> = Vec::new();
        if cut.to == self.words.sheet.width && cut.along == Along::Width
            || cut.to == self.words.sheet.length && cut.along == Along::Length
            || cut.stage <= 1
        {
            let edge = match cut.along {
                Along::Width => (border.high.0, to.1),
                Along::Length => (to.0, border.high.1),
            };
            spots.push(moved(edge, 1.0 + reach));
        }
        let size = libm::hypot(to.0 - from.0, to.1 - from.1);
        let steps = (libm::floor((size - 2.0 * reach) / 1.5)).clamp(0.0, 400.0) as i32;
        // Off the corner, where the datum of a part may be, if the cut is long enough.
        let first = if size > 4.0 * reach + 6.0 { 3.0 } else { 0.3 };
        spots.extend((0..=steps).map(|step| moved(from, reach + first + 1.5 * f64::from(step))));
        let around = |at: At, by: f64| Area { low: (at.0 - by, at.1 - by), high: (at.0 + by, at.1 + by) };
        let found = spots.into_iter().find(|at| self.rings.is_free(around(*at, reach + 0.3)));
        let (centre, marks) = match found {
            Some(centre) => (centre, balloon(centre, &text, NUMBERS)),
            None => {
                let (target, centre) = self.led(from, to, reach, border);
                (centre, pointing_balloon(centre, &text, NUMBERS, target, Terminator::Dot, self.group))
            }
        };
        let area = around(centre, reach + 0.2);
        self.rings.add_area(area);
        self.taken.add_area(area);
        self.labels.extend(marks);
    }

    /// A point of a cut and a place for its number away from it: near by if there is one, else beside the sheet.
    fn led(&self, from: At, to: At, reach: f64, border: Area) -> (At, At) {
        let point = |share: f64| (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
        let near = [0.5, 0.2, 0.8, 0.35, 0.65].map(point).into_iter().find_map(|target| {
            let spot = self.rings.near(target, (2.0 * reach, 2.0 * reach), border.inset(-6.0), false)?;
            Some((target, spot.middle))
        });
        near.unwrap_or_else(|| {
            let target = point(0.5);
            let step = 2.0 * reach + 0.8;
            let beside = (0..200).flat_map(|row: i32| {
                // Up and down from the cut by turns.
                let up = f64::from((row + 1) / 2) * if row % 2 == 0 { 1.0 } else { -1.0 };
                [border.high.0 + 1.0 + reach, border.low.0 - 1.0 - reach].map(|x| (x, target.1 + step * up))
            });
            let free = |at: &At| {
                let by = reach + 0.3;
                let inside = at.1 > border.low.1 - 3.0 && at.1 < border.high.1 + 3.0;
                inside
                    && self.rings.is_free(Area { low: (at.0 - by, at.1 - by), high: (at.0 + by, at.1 + by) })
            };
            (target, beside.into_iter().find(free).unwrap_or(target))
        })
    }
}
