//! The sheet of a router template: its blank and guiding line with their dimensions, fences or pins, the card of settings, and
//! every place that it serves.

use std::collections::BTreeMap;

use super::drawn::{Along, What};
use super::frame::Area;
use super::free::Taken;
use super::lanes::{Beside, Figure, Row};
use super::part_sheet::{regions, zones};
use super::scales::Scale;
use super::sheet::{Draft, Flow, Paperwork};
use crate::drawing::arrow::{Terminator, ended_line, leader};
use crate::drawing::lettering::{reach_of, width_of};
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::written;
use crate::drawing::{
    Anchor, At, Dimension, Group, Layer, LineType, Mark, Step, centre_cross, circle, line, rectangle,
};
use crate::jigs::card::{self, GuidePoint, Served, called, card, served};
use crate::jigs::{Jig, arrows};
use crate::length::Length;
use crate::parts::Made;
use crate::plans::Plans;
use crate::shape::{Arc, Outline, Point};
use crate::trade::Face;

/// Heading in the list of contents.
const CHAPTER: &str = "Router templates";
const NOTES: f64 = 2.5;
const FIGURES: f64 = 2.5;
/// Room for dimensions below and beside the view, in mm.
const BESIDE: f64 = 45.0;

/// A sheet for each router template.
pub fn jig_sheets(made: &Made, plans: &Plans, paperwork: &Paperwork) -> Vec<Draft> {
    let mut all: Vec<Draft> = plans.jigs.iter().flat_map(|jig| one(made, jig, paperwork)).collect();
    all.iter_mut().for_each(|draft| draft.chapter = CHAPTER.to_owned());
    all
}

fn one(made: &Made, jig: &Jig, paperwork: &Paperwork) -> Vec<Draft> {
    let part = made.parts.get(jig.part.0);
    let name = part.map_or(String::new(), |part| called(&part.mark, &part.name));
    let title = format!("{} {} template for {name}", jig.mark, jig.kind.word());
    let frame = paperwork.frame();
    let mut flow = Flow::new(regions(&frame));
    let say = |length: Length| paperwork.figures.print(length).both();
    flow.line(&title.to_uppercase(), 5.0, true);
    flow.facts(&[("MAKE".to_owned(), format!("1 template, {} thick", say(jig.thick)))], NOTES);
    flow.table(&uses(made, jig, &say));
    for fact in card(made, jig, &say) {
        flow.facts(&[fact], NOTES);
    }
    for mark in jig.lines.iter().filter(|mark| mark.datum.is_some()) {
        let at = mark.datum.map(say).unwrap_or_default();
        flow.facts(&[("LINE".to_owned(), format!("{}: {at}", mark.says))], NOTES);
    }
    if let Some(table) = guiding(jig, &say) {
        flow.narrow_table(&table);
    }
    flow.line(paperwork.figures.unit_note(), NOTES, true);
    let zone = zones(&frame, &flow).into_iter().next().unwrap_or(frame.field());
    let view = View::new(jig, zone, paperwork);
    let mut groups = view.groups(jig, paperwork);
    groups.push(flow.group(&jig.id));
    let dimensions = view.dimensions(paperwork);
    let mut sheets = vec![Draft {
        name: jig.id.clone(),
        title: title.clone(),
        kind: "ROUTER TEMPLATE",
        scale: view.scale.label(),
        groups,
        dimensions,
        ..Draft::default()
    }];
    sheets.extend(flow.further(paperwork, &jig.id, &title));
    sheets
}

fn uses(made: &Made, jig: &Jig, say: &dyn Fn(Length) -> String) -> Table {
    let row = |one: Served| {
        vec![Cell::bold(format!("{} × {}", one.quantity, one.part)), Cell::new(one.place), Cell::new(one.how)]
    };
    Table {
        title: "SERVES".into(),
        columns: vec![
            Column::words("PART"),
            Column::words("WHERE, from the datum corner"),
            Column::words("HOW"),
        ],
        rows: served(made, jig, say).into_iter().map(row).collect(),
        height: NOTES,
    }
}

/// Corners of a guiding line that its dimensions do not give: all but a rectangle with one radius.
fn guiding(jig: &Jig, say: &dyn Fn(Length) -> String) -> Option<Table> {
    if rounded(jig).is_some() {
        return None;
    }
    let row = |point: GuidePoint| {
        vec![Cell::bold(point.number), Cell::new(point.across), Cell::new(point.up), Cell::new(point.next)]
    };
    Some(Table {
        title: "GUIDING LINE from the blank's lower left corner, anticlockwise".into(),
        columns: vec![
            Column::words(""),
            Column::numbers("ACROSS"),
            Column::numbers("UP"),
            Column::words("TO THE NEXT"),
        ],
        rows: card::guiding(jig, say).into_iter().map(row).collect(),
        height: NOTES,
    })
}

/// The one radius of a window that is a rectangle otherwise.
fn rounded(jig: &Jig) -> Option<Length> {
    let window = jig.window.as_ref()?;
    let around = window.extents();
    let mut radius: Option<f64> = None;
    for (from, to) in window.segments() {
        match Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) {
            Some(arc) if radius.is_none_or(|known| (known - arc.radius).abs() < 1e-4) => {
                radius = Some(arc.radius)
            }
            Some(_) => return None,
            None => {
                let on = (from.at.x == to.x && (to.x == around.low.x || to.x == around.high.x))
                    || (from.at.y == to.y && (to.y == around.low.y || to.y == around.high.y));
                if !on {
                    return None;
                }
            }
        }
    }
    radius.map(Length::from_mm)
}

/// The template on paper.
struct View {
    scale: Scale,
    factor: f64,
    low: Point,
    /// Paper position of the blank's lower left corner.
    at: At,
    zone: Area,
    rows: Vec<Row>,
    figures: Vec<(String, Length)>,
}

impl View {
    fn new(jig: &Jig, zone: Area, paperwork: &Paperwork) -> View {
        let around = jig.blank.extents();
        let (width, height) = (around.width().to_mm(), around.height().to_mm());
        let fits = |scale: &Scale| {
            let factor = scale.factor();
            factor <= 1.0
                && width * factor + 2.0 * BESIDE <= zone.width()
                && height * factor + 2.0 * BESIDE <= zone.height()
        };
        let series = Scale::series(paperwork.practice);
        let scale = series.iter().copied().find(fits).or(series.last().copied());
        let scale = scale.unwrap_or(Scale::full(paperwork.practice));
        let factor = scale.factor();
        let at = (
            zone.low.0 + (zone.width() - width * factor) / 2.0 + BESIDE / 4.0,
            zone.low.1 + (zone.height() - height * factor) / 2.0 + BESIDE / 4.0,
        );
        let mut view =
            View { scale, factor, low: around.low, at, zone, rows: Vec::new(), figures: Vec::new() };
        view.row(jig, paperwork, true);
        view.row(jig, paperwork, false);
        view
    }

    fn on(&self, p: Point) -> At {
        let (x, y) = (p.x - self.low.x, p.y - self.low.y);
        (self.at.0 + x.to_mm() * self.factor, self.at.1 + y.to_mm() * self.factor)
    }

    fn path(&self, outline: &Outline) -> Vec<Step> {
        let mut steps = Vec::new();
        for (from, to) in outline.segments() {
            if steps.is_empty() {
                steps.push(Step::Move(self.on(from.at)));
            }
            steps.push(if from.bulge == 0.0 {
                Step::Line(self.on(to))
            } else {
                Step::Arc(self.on(to), from.bulge)
            });
        }
        if let Some(Step::Line(_)) = steps.last() {
            steps.pop();
        }
        steps.push(Step::Close);
        steps
    }

    /// Running dimensions from the blank's lower left corner, with the overall size.
    fn row(&mut self, jig: &Jig, paperwork: &Paperwork, across: bool) {
        let around = jig.blank.extents();
        let pick = |p: Point| if across { (p.x, p.y) } else { (p.y, p.x) };
        let (low, whole) = (pick(around.low), pick(Point::new(around.width(), around.height())).0);
        // Where each line begins: its end nearest to the row.
        let mut stops: BTreeMap<Length, (Length, String)> = BTreeMap::new();
        let mut add = |p: Point, what: String| {
            let (along, from) = pick(p);
            let along = along - low.0;
            if along.is_positive() && along < whole {
                let stop = stops.entry(along).or_insert((from - low.1, what));
                stop.0 = stop.0.min(from - low.1);
            }
        };
        if let Some(window) = &jig.window {
            let ends = window.extents();
            let middle = Point::new((ends.low.x + ends.high.x).half(), (ends.low.y + ends.high.y).half());
            let at = |along: Point| {
                if across { Point::new(along.x, middle.y) } else { Point::new(middle.x, along.y) }
            };
            add(at(ends.low), "near side of the opening".into());
            add(at(ends.high), "far side of the opening".into());
        }
        for fence in &jig.fences {
            let level = fence.from.y == fence.to.y;
            if level != across {
                let low =
                    if across == (fence.from.y < fence.to.y) || !across { fence.from } else { fence.to };
                add(low, format!("fence on the {} edge", fence.bears_on));
            }
        }
        for pin in &jig.pins {
            add(pin.at, pin.called());
        }
        for (from, to) in jig.edges.iter().filter(|_| jig.fences.is_empty()) {
            if (from.y == to.y) != across {
                add(*from, "edge of the part".to_owned());
            }
        }
        for mark in &jig.lines {
            let level = mark.from.y == mark.to.y;
            if level != across {
                add(mark.from, mark.says.to_owned());
            }
        }
        let figure = |(index, (along, (from, _))): (usize, (&Length, &(Length, String)))| {
            let from = if across { self.at.1 } else { self.at.0 } + from.to_mm() * self.factor;
            let way = if across { Along::Across } else { Along::Up };
            Figure {
                at: if across { self.at.0 } else { self.at.1 } + along.to_mm() * self.factor,
                from,
                text: paperwork.figures.print(*along).both(),
                what: What::Running(way, index),
                again: false,
            }
        };
        let figures: Vec<Figure> = stops.iter().enumerate().map(figure).collect();
        let datum = if across { self.at.0 } else { self.at.1 };
        let row = Row {
            beside: if across { Beside::Below } else { Beside::Left },
            edge: if across { self.at.1 } else { self.at.0 },
            datum,
            end: datum + whole.to_mm() * self.factor,
            figures,
            overall: Some(paperwork.figures.print(whole).both()),
            height: FIGURES,
            unidirectional: paperwork.unidirectional(),
        };
        self.figures.extend(stops.into_iter().map(|(along, (_, what))| (what, along)));
        self.figures.push((if across { "width" } else { "height" }.to_owned(), whole));
        self.rows.push(row);
    }

    fn dimensions(&self, paperwork: &Paperwork) -> Vec<Dimension> {
        let one = |(what, value): &(String, Length)| Dimension {
            what: what.clone(),
            value: *value,
            printed: paperwork.figures.print(*value).both(),
        };
        self.figures.iter().map(one).collect()
    }

    fn groups(&self, jig: &Jig, paperwork: &Paperwork) -> Vec<Group> {
        let group = paperwork.line_group();
        let stroke = |outline: &Outline, line| Mark::Stroke { path: self.path(outline), line };
        let mut seen = vec![stroke(&jig.blank, LineType::Visible)];
        seen.extend(jig.window.iter().map(|window| stroke(window, LineType::Visible)));
        let mut hidden = vec![stroke(&jig.work.outline, LineType::Hidden)];
        for fence in &jig.fences {
            let path = rectangle(self.on(fence.area.low), self.on(fence.area.high));
            hidden.push(Mark::Stroke { path, line: LineType::Hidden });
        }
        let edges = jig.edges.iter().map(|(from, to)| line(self.on(*from), self.on(*to), LineType::Adjacent));
        hidden.extend(edges);
        let mut dimensions = Vec::new();
        for pin in &jig.pins {
            let radius = pin.diameter.to_mm() / 2.0 * self.factor;
            seen.push(Mark::Stroke { path: circle(self.on(pin.at), radius), line: LineType::Visible });
            dimensions.extend(centre_cross(self.on(pin.at), radius));
        }
        let lines = jig.lines.iter().map(|mark| line(self.on(mark.from), self.on(mark.to), LineType::Centre));
        dimensions.extend(lines);
        for row in &self.rows {
            if row.has_room() {
                dimensions.extend(row.lay(group));
            }
        }
        let (away, length) = (4.0 / self.factor, 14.0 / self.factor);
        let mm = |p: (f64, f64)| self.on(Point::new(Length::from_mm(p.0), Length::from_mm(p.1)));
        for (from, to) in arrows::feed(jig, away, length) {
            dimensions.extend(ended_line(&[mm(from), mm(to)], Terminator::None, Terminator::Narrow, group));
        }
        let mut taken = Taken::default();
        [&seen, &hidden, &dimensions].into_iter().for_each(|marks| taken.add(marks));
        let labels = self.labels(jig, paperwork, &mut taken, group);
        let named = |name: &str, layer, marks| Group { id: format!("{}-{name}", jig.id), layer, marks };
        vec![
            named("view", Layer::Outlines, seen),
            named("hidden", Layer::Hidden, hidden),
            named("dimensions", Layer::Dimensions, dimensions),
            named("labels", Layer::Notes, labels),
        ]
    }

    fn labels(&self, jig: &Jig, paperwork: &Paperwork, taken: &mut Taken, group: f64) -> Vec<Mark> {
        let mut wanted: Vec<(String, At)> = Vec::new();
        let middle = |low: Point, high: Point| {
            let (a, b) = (self.on(low), self.on(high));
            ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
        };
        let face = if jig.face == Face::Show { "SHOW FACE" } else { "BACK FACE" };
        if let Some((finished, guiding)) = arrows::targets(jig) {
            let at = |p: (f64, f64)| self.on(Point::new(Length::from_mm(p.0), Length::from_mm(p.1)));
            let says = match (&jig.window, rounded(jig)) {
                (Some(_), Some(radius)) => {
                    let radius = paperwork.figures.print(radius).both();
                    format!("OPENING, the guide runs here, corners R {radius}")
                }
                (Some(_), None) => "OPENING, the guide runs here".to_owned(),
                (None, _) => "THE GUIDE RUNS HERE, see the table".to_owned(),
            };
            wanted.push((says, at(guiding)));
            wanted.push(("FINISHED LINE of the part".to_owned(), at(finished)));
        }
        for fence in &jig.fences {
            // Away from the opening that runs through it.
            let (a, b) = (self.on(fence.area.low), self.on(fence.area.high));
            let centre = middle(fence.area.low, fence.area.high);
            let level = fence.from.y == fence.to.y;
            let at =
                if level { (a.0 + (b.0 - a.0) / 6.0, centre.1) } else { (centre.0, a.1 + (b.1 - a.1) / 6.0) };
            wanted.push((format!("FENCE below, on the part's {} edge", fence.bears_on), at));
        }
        for pin in &jig.pins {
            let diameter = paperwork.figures.print(pin.diameter).both();
            wanted.push((format!("{}, Ø {diameter}", pin.called()), self.on(pin.at)));
        }
        for mark in &jig.lines {
            wanted.push((mark.says.to_uppercase(), middle(mark.from, mark.to)));
        }
        let mut marks = Vec::new();
        for height in [5.0, 3.5, 2.5] {
            let text = format!("{} THIS SIDE UP, {face}", jig.mark);
            let blank = jig.blank.extents();
            let area = Area { low: self.on(blank.low), high: self.on(blank.high) };
            let size = (width_of(&text, height, true), height);
            if let Some(at) = taken.inside(size, area) {
                let word = [written((at.0, at.1 - height / 2.0), text, height, Anchor::Middle, true)];
                taken.add(&word);
                marks.extend(word);
                break;
            }
        }
        for (text, target) in wanted {
            for height in [2.5, 1.8] {
                let (below, above) = reach_of(&text, height, false);
                let size = (width_of(&text, height, false), above - below);
                let Some(spot) = taken.near(target, size, self.zone, false) else { continue };
                let at = (spot.middle.0, spot.middle.1 - (above + below) / 2.0);
                let mut label = vec![written(at, text.as_str(), height, Anchor::Middle, false)];
                label.extend(leader(&[spot.leader_from, target], Terminator::Dot, group));
                taken.add(&label);
                marks.extend(label);
                break;
            }
        }
        marks
    }
}
