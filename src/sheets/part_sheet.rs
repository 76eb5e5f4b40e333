//! The sheet of one part: face view with its dimensions, edge view, schedules, and all a worker needs to know to cut it
//! without asking. Knows how things are laid out, not what is dimensioned.

use super::dimension::plan;
use super::drawn::*;
use super::edge_detail::details;
use super::face_view::{draw_lines, face_view, lines_of};
use super::figures::Figures;
use super::frame::{Area, Frame};
use super::free::Taken;
use super::lanes::measure;
use super::part_layout::{FIGURES, Layout};
use super::part_words::{self as words, Words};
use super::revision::Since;
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::arrow::Terminator;
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::drawing::{Anchor, Dimension, Group, Layer, LineType, Mark, Text, line, rectangle, revision};
use crate::parts::{Made, PartId};
use crate::trade::{Grain, Side};

/// Height of notes in millimetres.
const NOTES: f64 = 2.5;

/// Sheets of one part: one, and where its tables do not fit a second.
pub fn part_sheets(made: &Made, id: PartId, paperwork: &Paperwork, since: Option<&Since>) -> Vec<Draft> {
    let Some(part) = made.parts.get(id.0) else { return Vec::new() };
    let mut plan = plan(part, &made.job);
    let revised = since.and_then(|since| since.revise(id, &mut plan)).unwrap_or_default();
    let figures = Figures::of(&made.job.sheets);
    let words = Words { made, part, plan: &plan, figures, revised: &revised };
    let frame = paperwork.frame();
    let mut flow = Flow::new(regions(&frame));
    head(&mut flow, &words, paperwork);
    let zones = zones(&frame, &flow);
    let tried = zones.iter().map(|zone| (*zone, Layout::largest(part, &plan, *zone, paperwork)));
    let best = tried.reduce(|a, b| if b.1.scale.factor() > a.1.scale.factor() { b } else { a });
    let Some((zone, layout)) = best else { return Vec::new() };
    if Some(&zone) == zones.get(1) {
        // The view takes the room beside the title block.
        flow.regions.truncate(1);
    }
    for (along, left_over) in &layout.left_over {
        flow.narrow_table(&words.running_table(*along, left_over, NOTES));
    }
    let drawn = Drawing::new(&words, &layout, zone, paperwork.line_group());
    if drawn.unnamed > 0 {
        let text =
            "what bears no name on the view is counted row by row from the datum, each row from the left";
        flow.facts(&[("NAMES".to_owned(), text.to_owned())], NOTES);
    }
    let mut groups = drawn.groups(&part.id);
    groups.push(Group { id: format!("{}-notes", part.id), layer: Layer::Notes, marks: flow.marks.clone() });
    let dimensions = plan.dimensions.iter().filter_map(|d| match d.size {
        Size::Length(value) => Some(Dimension { what: d.says.clone(), value, printed: d.printed.clone() }),
        Size::Angle(_) => None,
    });
    let title = format!("{} {}", part.mark, said(&part.name));
    let mut sheets = vec![Draft {
        name: part.id.clone(),
        title: title.clone(),
        kind: "PART DRAWING",
        part: Some(id),
        scale: layout.scale.label(),
        groups,
        dimensions: dimensions.collect(),
        changed: None,
    }];
    sheets.extend(flow.further(paperwork, &part.id, &title));
    sheets
}

/// A name of the spec as people say it.
pub fn said(name: &str) -> String {
    name.replace('_', " ")
}

/// Where notes go, in order: the column at the right, then the room beside the title block.
fn regions(frame: &Frame) -> Vec<Area> {
    let field = frame.field();
    if field.width() < 260.0 {
        // Upright paper: a strip above the title block.
        let high = field.low.1 + 0.42 * field.height();
        let middle = (field.low.0 + field.high.0) / 2.0;
        return vec![
            Area { low: field.low, high: (middle - 2.5, high) },
            Area { low: (middle + 2.5, field.low.1), high: (field.high.0, high) },
        ];
    }
    let width = (0.3 * field.width()).clamp(95.0, 150.0);
    let column = Area { low: (field.high.0 - width, field.low.1), high: field.high };
    let mut all = vec![column];
    all.extend(frame.beside().into_iter().flat_map(|area| columns(area, 3)));
    all
}

fn head(flow: &mut Flow, words: &Words, paperwork: &Paperwork) {
    let part = words.part;
    flow.line(&format!("{}  {}", part.mark, said(&part.name).to_uppercase()), 5.0, true);
    let quantity = format!("MAKE {}{}", part.quantity, words.revised.beside_quantity());
    flow.line(&quantity, 5.0, true);
    flow.facts(&words.facts(), NOTES);
    if let Some(cuts) = words.cuts(NOTES) {
        flow.table(&cuts);
    }
    let stock = words.made.job.stock.get(part.stock);
    for detail in details(part, stock, words.plan, paperwork) {
        flow.hang(|area, top| detail.placed((area.low.0, top), area.width().min(110.0)));
    }
    let kinds = words.kinds();
    if !kinds.is_empty() {
        flow.line("HOLES", NOTES, true);
        flow.facts(&kinds, NOTES);
    }
    if let Some(table) = words.hole_table(NOTES) {
        flow.narrow_table(&table);
    }
    for unsaid in &words.plan.unsaid {
        flow.facts(&[("ASK".to_owned(), format!("not given on this drawing: {unsaid}"))], NOTES);
    }
    flow.line(words.figures.unit_note(), NOTES, true);
}

/// The free rectangles for views: beside the notes, and where nothing stands beside the title block, down to the bottom.
fn zones(frame: &Frame, flow: &Flow) -> Vec<Area> {
    let (field, inside) = (frame.field(), frame.inside().inset(5.0));
    if field.width() < 260.0 {
        let top = flow.regions.iter().map(|r| r.high.1).fold(field.low.1, f64::max);
        return vec![Area { low: (field.low.0, top + 5.0), high: field.high }];
    }
    let right = flow.regions.first().map_or(field.high.0, |r| r.low.0) - 5.0;
    let mut all = vec![Area { low: field.low, high: (right, field.high.1) }];
    if flow.used == 0 {
        let right = right.min(frame.block().low.0 - 5.0);
        all.push(Area { low: inside.low, high: (right, field.high.1) });
    }
    all
}

/// Marks of the views, by layer.
pub(super) struct Drawing {
    shading: Vec<Mark>,
    seen: Vec<Mark>,
    hidden: Vec<Mark>,
    dimensions: Vec<Mark>,
    pub(super) labels: Vec<Mark>,
    /// Labels that found no room.
    pub(super) unnamed: usize,
    pub(super) taken: Taken,
    pub(super) zone: Area,
    pub(super) group: f64,
}

impl Drawing {
    fn new(words: &Words, layout: &Layout, zone: Area, group: f64) -> Drawing {
        let part = words.part;
        let view = face_view(part, &layout.on);
        let mut drawing = Drawing {
            shading: view.shading,
            seen: view.seen,
            hidden: view.hidden,
            dimensions: view.centres,
            labels: Vec::new(),
            unnamed: 0,
            taken: Taken::default(),
            zone,
            group,
        };
        for row in &layout.rows {
            drawing.dimensions.extend(row.lay(group));
        }
        drawing.edge_view(words, layout);
        let all = [&drawing.shading, &drawing.seen, &drawing.hidden, &drawing.dimensions];
        all.into_iter().for_each(|marks| drawing.taken.add(marks));
        // The datum corner, from which all running dimensions count.
        drawing.label("DATUM", &[layout.on.datum], Terminator::Narrow);
        drawing.labels(words, layout);
        drawing.bearings(words, layout);
        drawing
    }

    fn groups(self, id: &str) -> Vec<Group> {
        let group = |name: &str, layer, marks| Group { id: format!("{id}-{name}"), layer, marks };
        let drawn = |marks: Vec<Mark>| marks.into_iter().flat_map(revision::drawn).collect();
        vec![
            group("waste", Layer::Notes, self.shading),
            group("view", Layer::Outlines, self.seen),
            group("hidden", Layer::Hidden, self.hidden),
            group("dimensions", Layer::Dimensions, drawn(self.dimensions)),
            group("labels", Layer::Notes, drawn(self.labels)),
        ]
    }

    /// The part seen on its right edge (third angle) or its left edge (first angle), with its thickness.
    fn edge_view(&mut self, words: &Words, layout: &Layout) {
        let (part, on) = (words.part, &layout.on);
        let (left, thick) = (layout.edge_view, part.thick.to_mm() * on.factor);
        let (low, high) = (on.datum.1, on.y(part.height));
        // Third angle shows the right edge, with the show face towards the face view; first angle the left edge.
        let third = words.made.job.sheets.third_angle;
        let (eye, show_face) = if third { (Side::Right, left) } else { (Side::Left, left + thick) };
        match lines_of(part, eye) {
            Some(lines) => {
                draw_lines(&lines, (show_face, low), on.factor, &mut self.seen, &mut self.hidden);
            }
            None => {
                let path = rectangle((left, low), (left + thick, high));
                self.seen.push(Mark::Stroke { path, line: LineType::Visible });
            }
        }
        let plan = words.plan;
        let text = plan.dimension(What::Thickness).map(PlannedDimension::figure).unwrap_or_default();
        let above = high + 9.0;
        for x in [left, left + thick] {
            self.dimensions.push(line((x, high + 1.5), (x, above + 2.0), LineType::Dimension));
        }
        let measured = measure((left, above), (left + thick, above), &text, FIGURES, true, self.group);
        self.dimensions.extend(measured);
        let (text, size) = ("SHOW FACE", 2.5);
        if high - low > width_of(text, size, false) {
            let x = if third { left - 1.5 } else { left + thick + 1.5 + size };
            let at = (x, (low + high) / 2.0);
            let text = text.to_owned();
            let turned = Text { at, text, height: size, anchor: Anchor::Middle, turn: 90.0, bold: false };
            self.dimensions.push(Mark::Text(turned));
        }
    }

    /// Which way round the part is in place, on the view itself.
    fn bearings(&mut self, words: &Words, layout: &Layout) {
        let part = words.part;
        let mut lines = vec!["SHOW FACE".to_owned()];
        if let Some(frame) = words.frame() {
            lines.push(format!("↑ {}", words::upper(frame.v)));
            lines.push(format!("→ {}", words::upper(frame.u)));
        }
        match part.grain {
            Grain::AlongU => lines.push("↔ GRAIN".to_owned()),
            Grain::AlongV => lines.push("↕ GRAIN".to_owned()),
            Grain::Free => {}
        }
        for height in [3.5, 2.5] {
            let width = lines.iter().map(|l| width_of(l, height, true)).fold(0.0, f64::max);
            let tall = 1.6 * height * (lines.len() - 1) as f64 + height;
            let on = &layout.on;
            let view = Area { low: on.datum, high: (on.x(part.width), on.y(part.height)) };
            let found = self.taken.inside((width, tall), view);
            let found = found
                .or_else(|| if height < 3.0 { self.taken.inside((width, tall), self.zone) } else { None });
            let Some(middle) = found else { continue };
            let mut marks = Vec::new();
            for (i, text) in lines.iter().enumerate() {
                let y = middle.1 + tall / 2.0 - height - 1.6 * height * i as f64;
                marks.push(written((middle.0 - width / 2.0, y), text.clone(), height, Anchor::Start, true));
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return;
        }
    }
}
