//! The layout of each sheet of sheet goods, drawn to scale: parts in place, cuts with their numbers, offcuts hatched, and the
//! order of the cuts as a table. Drawn as it lies, x to the right, y up, the good face towards the eye.

use super::frame::Area;
use super::free::Taken;
use super::lanes::measure;
use super::nest_words::NestWords;
use super::part_layout::FIGURES;
use super::part_sheet::regions;
use super::scales::{Scale, largest_that_fits};
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::arrow::{Terminator, ended_line, leader};
use crate::drawing::balloon::{balloon, pointing_balloon, radius};
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
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
    let zone = if upright {
        let top = regions(&frame).iter().map(|r| r.high.1).fold(field.low.1, f64::max);
        Area { low: (field.low.0, top + 5.0), high: field.high }
    } else {
        // On the left, down to the bottom beside the title block.
        Area { low: inside.low, high: (frame.block().low.0 - 5.0, field.high.1) }
    };
    let room = Area {
        low: (zone.low.0 + LEFT, zone.low.1 + BELOW),
        high: (zone.high.0 - RIGHT, zone.high.1 - ABOVE),
    };
    let (width, length) = (words.sheet.width.to_mm(), words.sheet.length.to_mm());
    let scale = largest_that_fits(width, length, &room, paperwork.practice);
    let drawn = scale.map(|scale| Drawn::new(words, room, scale, paperwork));
    let regions = match &drawn {
        Some(drawn) if !upright => {
            let left = drawn.origin.0 + width * drawn.factor + RIGHT + 4.0;
            let area = Area { low: (left, field.low.1), high: field.high };
            columns(area, libm::floor(area.width() / 105.0).max(1.0) as usize)
        }
        _ => regions(&frame),
    };
    let mut flow = Flow::new(regions);
    flow.line(&words.title().to_uppercase(), 5.0, true);
    flow.facts(&words.facts(), NOTES);
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
struct Drawn<'a> {
    words: &'a NestWords<'a>,
    origin: At,
    factor: f64,
    group: f64,
    unidirectional: bool,
    /// The sheet and the room round it.
    beside: Area,
    outlines: Vec<Mark>,
    cuts: Vec<Mark>,
    shapes: Vec<Mark>,
    dimensions: Vec<Mark>,
    labels: Vec<Mark>,
    /// What labels keep clear of.
    taken: Taken,
    /// Numbers of cuts, which may lie on the lines of parts but not on each other.
    rings: Taken,
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

    fn area(&self, patch: &Patch) -> Area {
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
        let target = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        let (centre, marks) = match found {
            Some(centre) => (centre, balloon(centre, &text, NUMBERS)),
            None => {
                let size = (2.0 * reach, 2.0 * reach);
                let near = self.rings.near(target, size, border.inset(-6.0), false);
                let centre = near.map_or(target, |spot| spot.middle);
                (centre, pointing_balloon(centre, &text, NUMBERS, target, Terminator::Dot, self.group))
            }
        };
        let area = around(centre, reach + 0.2);
        self.rings.add_area(area);
        self.taken.add_area(area);
        self.labels.extend(marks);
    }

    /// What a part is, as large and as complete as its place allows, lying or upright.
    fn label(&mut self, placed: &NestedPart) {
        let area = self.area(&placed.patch).inset(0.3);
        let [mark, name, size] = self.words.label(placed);
        let both = format!("{name}   {size}");
        let shapes: [Vec<(String, f64, bool)>; 7] = [
            vec![(name.clone(), 3.5, true), (size.clone(), 3.5, false)],
            vec![(name.clone(), 2.5, true), (size.clone(), 2.5, false)],
            vec![(both.clone(), 2.5, true)],
            vec![(name, 1.8, true), (size.clone(), 1.8, false)],
            vec![(both, 1.8, false)],
            vec![(mark.clone(), 1.8, true), (size, 1.8, false)],
            vec![(mark.clone(), 1.8, true)],
        ];
        if shapes.into_iter().any(|lines| self.write(&lines, area)) {
            return;
        }
        // Too small for any text: the mark stands beside the sheet or in a free place, led to the part.
        let target = ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0);
        let size = (width_of(&mark, 2.5, true), 2.5);
        let mut taken = self.taken.clone();
        [&self.outlines, &self.cuts, &self.shapes, &self.dimensions]
            .into_iter()
            .for_each(|marks| taken.add(marks));
        if let Some(spot) = taken.near(target, size, self.beside, false) {
            self.labels.extend(leader(&[spot.leader_from, target], Terminator::Dot, self.group));
            let text = written((spot.middle.0, spot.middle.1 - 1.25), mark, 2.5, Anchor::Middle, true);
            self.taken.add(std::slice::from_ref(&text));
            self.labels.push(text);
        }
    }

    fn offcut(&mut self, offcut: &Patch) {
        let area = self.area(offcut);
        let [full, short] = self.words.offcut(offcut.width, offcut.length);
        let before = self.labels.len();
        let written = [(full.clone(), 3.5), (full.clone(), 2.5), (full, 1.8), (short, 1.8)]
            .into_iter()
            .any(|(text, height)| self.write(&[(text, height, true)], area.inset(0.3)));
        // Hatched all but where its text stands.
        let mut region = rectangle(area.low, area.high);
        if written {
            for mark in &self.labels[before..] {
                if let Mark::Text(text) = mark {
                    let corners = crate::drawing::bounds::box_of(text);
                    let x = corners.map(|c| c.0);
                    let y = corners.map(|c| c.1);
                    let fold = |all: [f64; 4], pick: fn(f64, f64) -> f64, from: f64| {
                        all.into_iter().fold(from, pick)
                    };
                    let low = (fold(x, f64::min, f64::MAX) - 1.0, fold(y, f64::min, f64::MAX) - 1.0);
                    let high = (fold(x, f64::max, f64::MIN) + 1.0, fold(y, f64::max, f64::MIN) + 1.0);
                    region.extend(rectangle(
                        (low.0.max(area.low.0), low.1.max(area.low.1)),
                        (high.0.min(area.high.0), high.1.min(area.high.1)),
                    ));
                }
            }
        }
        self.shapes.extend(hatch(&region, Hatching::Plain, 0.0, 3.0));
    }

    /// Writes lines below each other in a free place of an area, lying or upright; false where there is none.
    fn write(&mut self, lines: &[(String, f64, bool)], area: Area) -> bool {
        let wide =
            lines.iter().map(|(text, height, bold)| width_of(text, *height, *bold)).fold(0.0, f64::max);
        let pitch = 1.55;
        let tall: f64 = lines.iter().map(|(_, height, _)| height * pitch).sum::<f64>()
            - lines.last().map_or(0.0, |(_, height, _)| height * (pitch - 1.0));
        let upright_first = area.height() > area.width() && wide > area.width() - 2.0;
        for upright in [upright_first, !upright_first] {
            let size = if upright { (tall, wide) } else { (wide, tall) };
            let tight = (size.0 - 0.8, size.1 - 0.8);
            let Some(middle) = self.taken.inside(size, area).or_else(|| self.taken.inside(tight, area))
            else {
                continue;
            };
            let mut marks = Vec::new();
            let mut down = -tall / 2.0;
            for (text, height, bold) in lines {
                down += height;
                if upright {
                    let at = (middle.0 + down, middle.1);
                    marks.push(Mark::Text(Text {
                        at,
                        text: text.clone(),
                        height: *height,
                        anchor: Anchor::Middle,
                        turn: 90.0,
                        bold: *bold,
                    }));
                } else {
                    let at = (middle.0, middle.1 - down);
                    marks.push(written(at, text.clone(), *height, Anchor::Middle, *bold));
                }
                down += height * (pitch - 1.0);
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return true;
        }
        false
    }
}
