//! The sheet of one part: face view with its dimensions, edge view, schedules, and all a worker needs to know to cut it
//! without asking. Knows how things are laid out, not what is dimensioned.

use super::dimension::plan;
use super::edge_detail::details;
use super::face_view::{OnPaper, draw_lines, face_view, lines_of};
use super::figures::Figures;
use super::frame::{Area, Frame};
use super::free::Taken;
use super::lanes::{Beside, Figure, Row, marked, measure};
use super::part_words::{self as words, Words};
use super::plan::*;
use super::scales::Scale;
use super::sheet::{Draft, Flow, Paperwork};
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Dimension, Group, Layer, LineType, Mark, Text, line, rectangle};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::shape::{Arc, Outline, Point};
use crate::trade::{Grain, Side};

/// Height of figures and of labels in millimetres.
const FIGURES: f64 = 3.5;
const LABELS: f64 = 3.5;
const NOTES: f64 = 2.5;
/// From the face view's outermost row to the edge view.
const TO_EDGE_VIEW: f64 = 12.0;

/// Sheets of one part: one, and where its tables do not fit a second.
pub fn part_sheets(made: &Made, id: PartId, paperwork: &Paperwork) -> Vec<Draft> {
    let Some(part) = made.parts.get(id.0) else { return Vec::new() };
    let plan = plan(part, &made.job);
    let figures = Figures::of(&made.job.sheets);
    let words = Words { made, part, plan: &plan, figures };
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
        flow.table(&words.running_table(*along, left_over, NOTES));
    }
    let drawn = Drawing::new(&words, &layout, zone, paperwork.line_group());
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
    all.extend(frame.beside());
    all
}

fn head(flow: &mut Flow, words: &Words, paperwork: &Paperwork) {
    let part = words.part;
    flow.line(&format!("{}  {}", part.mark, said(&part.name).to_uppercase()), 5.0, true);
    flow.line(&format!("MAKE {}", part.quantity), 5.0, true);
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
        flow.table(&table);
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

/// A face view at a scale, with the rows round it.
pub struct Layout {
    pub scale: Scale,
    pub on: OnPaper,
    rows: Vec<Row>,
    /// Running dimensions that find no room beside the view.
    left_over: Vec<(Along, Vec<What>)>,
    /// Left edge of the edge view on paper.
    edge_view: f64,
}

impl Layout {
    fn largest(part: &Part, plan: &Plan, zone: Area, paperwork: &Paperwork) -> Layout {
        let series: Vec<Scale> =
            Scale::series(paperwork.practice).into_iter().filter(|s| s.factor() <= 1.0).collect();
        let mut last = None;
        for scale in series {
            let layout = Layout::at(part, plan, zone, scale, paperwork);
            let fits = layout.fits(part, zone);
            last = Some(layout);
            if fits {
                break;
            }
        }
        // The series is never empty: full size is always in it.
        last.unwrap_or_else(|| Layout::at(part, plan, zone, Scale::full(paperwork.practice), paperwork))
    }

    fn at(part: &Part, plan: &Plan, zone: Area, scale: Scale, paperwork: &Paperwork) -> Layout {
        // Laid out about (0, 0) first, to learn how far the rows reach; then moved to the middle of the zone.
        let trial = Layout::about(
            part,
            plan,
            OnPaper { datum: (0.0, 0.0), factor: scale.factor() },
            scale,
            paperwork,
        );
        let around = trial.extents(part);
        let x = (zone.low.0 + zone.high.0 - around.low.0 - around.high.0) / 2.0;
        let y = (zone.low.1 + zone.high.1 - around.low.1 - around.high.1) / 2.0;
        Layout::about(part, plan, OnPaper { datum: (x, y), factor: scale.factor() }, scale, paperwork)
    }

    fn about(part: &Part, plan: &Plan, on: OnPaper, scale: Scale, paperwork: &Paperwork) -> Layout {
        let (rows, left_over) = rows(part, plan, &on, paperwork);
        let right = rows.iter().filter(|r| r.beside == Beside::Right).map(Row::reach).fold(0.0, f64::max);
        let level = rows.iter().filter(|r| matches!(r.beside, Beside::Below | Beside::Above));
        let right = level.map(Row::overflow).fold(right, f64::max);
        let edge_view = on.x(part.width) + outside(part, &on)[1] + right + TO_EDGE_VIEW;
        Layout { scale, on, rows, left_over, edge_view }
    }

    fn extents(&self, part: &Part) -> Area {
        let reach = |beside: Beside| {
            let level = matches!(beside, Beside::Below | Beside::Above);
            let over =
                self.rows.iter().filter(|r| matches!(r.beside, Beside::Below | Beside::Above) != level);
            let out = self.rows.iter().filter(|r| r.beside == beside).map(Row::reach);
            out.chain(over.map(Row::overflow)).fold(8.0, f64::max)
        };
        let on = &self.on;
        let out = outside(part, on);
        // Beside the edge view stands its thickness.
        let edge = self.edge_view + part.thick.to_mm() * on.factor + 34.0;
        Area {
            low: (on.datum.0 - out[0] - reach(Beside::Left), on.datum.1 - out[2] - reach(Beside::Below)),
            high: (edge, on.y(part.height) + out[3] + reach(Beside::Above).max(18.0)),
        }
    }

    fn fits(&self, part: &Part, zone: Area) -> bool {
        let around = self.extents(part);
        around.width() <= zone.width() && around.height() <= zone.height()
    }
}

/// What is drawn outside the finished outline, in paper millimetres: left, right, below, above.
fn outside(part: &Part, on: &OnPaper) -> [f64; 4] {
    let mut out = [0.0_f64; 4];
    for edge in &part.edges {
        let by = edge.scribe.to_mm() * on.factor;
        let side = if edge.from.x == edge.to.x {
            usize::from(edge.from.x > part.width.half())
        } else {
            2 + usize::from(edge.from.y > part.height.half())
        };
        out[side] = out[side].max(by);
    }
    out
}

/// Running dimensions go to the side on which their lines lie nearest.
fn rows(
    part: &Part,
    plan: &Plan,
    on: &OnPaper,
    paperwork: &Paperwork,
) -> (Vec<Row>, Vec<(Along, Vec<What>)>) {
    let out = outside(part, on);
    let (mut all, mut left_over) = (Vec::new(), Vec::new());
    for along in [Along::Across, Along::Up] {
        let touched = plan.touched(along);
        let (size, across) = match along {
            Along::Across => (part.width, part.height),
            Along::Up => (part.height, part.width),
        };
        let paper = |at: Length| if along == Along::Across { on.x(at) } else { on.y(at) };
        let cross = |at: Length| if along == Along::Across { on.y(at) } else { on.x(at) };
        let overall = plan.overall[along as usize];
        let (low_side, high_side) = match along {
            Along::Across => (Beside::Below, Beside::Above),
            Along::Up => (Beside::Left, Beside::Right),
        };
        let (mut low, mut high) = (Vec::new(), Vec::new());
        for dimension in plan.running(along) {
            let (What::Running(_, number), Size::Length(at)) = (dimension.what, dimension.size) else {
                continue;
            };
            if Some(dimension.what) == overall {
                continue;
            }
            let others = touched.get(&number).cloned().unwrap_or_default();
            let near = others.iter().copied().min().unwrap_or_default();
            let far = others.iter().copied().max().unwrap_or_default();
            let text = marked(&with_tape(dimension), dimension.care);
            let what = dimension.what;
            if near <= across - far {
                low.push(Figure { at: paper(at), from: cross(near), text, what });
            } else {
                high.push(Figure { at: paper(at), from: cross(far), text, what });
            }
        }
        let overall_text = match overall.and_then(|what| plan.dimension(what)) {
            Some(dimension) => marked(&with_tape(dimension), dimension.care),
            // Given by other sizes already: auxiliary, in parentheses.
            None => format!("({})", paperwork.figures.figure(size)),
        };
        let (out_low, out_high) = match along {
            Along::Across => (out[2], out[3]),
            Along::Up => (out[0], out[1]),
        };
        let row = |beside, edge, figures, overall| Row {
            beside,
            edge,
            datum: paper(Length::ZERO),
            end: paper(size),
            figures,
            overall,
            height: FIGURES,
            unidirectional: paperwork.unidirectional(),
        };
        let mut low = row(low_side, cross(Length::ZERO) - out_low, low, Some(overall_text));
        let mut high = row(high_side, cross(across) + out_high, high, None);
        if !low.has_room() {
            // Without the overall's lines beside them the figures may stand out past the ends.
            high.overall = low.overall.take();
        }
        let mut without = Vec::new();
        for row in [&mut low, &mut high] {
            if !row.has_room() {
                without.extend(row.figures.drain(..).map(|f| f.what));
            }
        }
        if !without.is_empty() {
            without.sort_by_key(|what| plan.value(Where::By(*what)));
            left_over.push((along, without));
        }
        all.extend([low, high].into_iter().filter(|r| !r.figures.is_empty() || r.overall.is_some()));
    }
    (all, left_over)
}

fn with_tape(dimension: &PlannedDimension) -> String {
    match &dimension.tape {
        Some(tape) => format!("{} ({tape})", dimension.printed),
        None => dimension.printed.clone(),
    }
}

/// Marks of the views, by layer.
struct Drawing {
    shading: Vec<Mark>,
    seen: Vec<Mark>,
    hidden: Vec<Mark>,
    dimensions: Vec<Mark>,
    labels: Vec<Mark>,
    taken: Taken,
    zone: Area,
    group: f64,
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
            taken: Taken::default(),
            zone,
            group,
        };
        for row in &layout.rows {
            drawing.dimensions.extend(row.lay(group));
        }
        drawing.datum(layout);
        drawing.edge_view(words, layout);
        let all = [&drawing.shading, &drawing.seen, &drawing.hidden, &drawing.dimensions];
        all.into_iter().for_each(|marks| drawing.taken.add(marks));
        drawing.labels(words, layout);
        drawing.bearings(words, layout);
        drawing
    }

    fn groups(self, id: &str) -> Vec<Group> {
        let group = |name: &str, layer, marks| Group { id: format!("{id}-{name}"), layer, marks };
        vec![
            group("waste", Layer::Notes, self.shading),
            group("view", Layer::Outlines, self.seen),
            group("hidden", Layer::Hidden, self.hidden),
            group("dimensions", Layer::Dimensions, self.dimensions),
            group("labels", Layer::Notes, self.labels),
        ]
    }

    /// The datum corner, from which all running dimensions count.
    fn datum(&mut self, layout: &Layout) {
        let (x, y) = layout.on.datum;
        self.dimensions.extend(leader(
            &[(x - 4.0, y - 4.0), (x - 0.3, y - 0.3)],
            Terminator::Narrow,
            self.group,
        ));
        self.dimensions.push(written((x - 3.0, y - 7.5), "DATUM", 2.5, Anchor::End, true));
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
        let text = plan.dimension(What::Thickness).map(with_tape).unwrap_or_default();
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

    fn labels(&mut self, words: &Words, layout: &Layout) {
        let (part, plan, on) = (words.part, words.plan, &layout.on);
        let middle = |o: &Outline| {
            let e = o.extents();
            let half = |a: Length, b: Length| a + (b - a).half();
            on.at(Point::new(half(e.low.x, e.high.x), half(e.low.y, e.high.y)))
        };
        for (i, hole) in plan.drawn.holes.iter().enumerate() {
            let text =
                if plan.hole_table { words::hole_name(hole) } else { super::dimension::letter(hole.kind) };
            self.label(&text, &[on.at(part.holes[i].at)], Terminator::None);
        }
        for (i, bore) in plan.drawn.bores.iter().enumerate() {
            let text = if plan.hole_table {
                words::bore_name(bore)
            } else {
                super::dimension::bore_letter(bore.kind)
            };
            self.label(&text, &[on.at(part.bores[i].at)], Terminator::None);
        }
        for (i, cut) in part.cuts.iter().enumerate() {
            self.label(&words::cut_mark(i), &[middle(&cut.outline)], Terminator::Dot);
        }
        for (i, pocket) in part.pockets.iter().enumerate() {
            let text = words::recess_mark(pocket.kind, i);
            self.label(&text, &[middle(&pocket.outline)], Terminator::Dot);
        }
        for (i, opening) in words.lone_openings() {
            self.label(&words::opening_mark(i), &[middle(opening)], Terminator::Dot);
        }
        let between = |a: Point, b: Point| {
            let (a, b) = (on.at(a), on.at(b));
            [0.5, 0.3, 0.7].map(|t| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t))
        };
        for (i, edge) in part.edges.iter().enumerate() {
            self.label(&words::edge_mark(i), &between(edge.from, edge.to), Terminator::Narrow);
        }
        for (i, bevel) in part.bevels.iter().enumerate() {
            self.label(&words::bevel_mark(i), &between(bevel.from, bevel.to), Terminator::Narrow);
        }
        let outlines = plan.drawn.outline.iter().zip([&part.outline]);
        let inside = plan.drawn.inside.iter().zip(&part.inside);
        let recesses =
            plan.drawn.recesses.iter().map(|r| &r.outline).zip(part.pockets.iter().map(|p| &p.outline));
        for (drawn, outline) in outlines.chain(inside).chain(recesses) {
            self.curves(words, on, drawn, outline);
        }
    }

    /// Notes of radii, rises and diameters, each led to one of the curves that it is for.
    fn curves(&mut self, words: &Words, on: &OnPaper, drawn: &Loop, outline: &Outline) {
        let plan = words.plan;
        let corners = match drawn {
            Loop::Round { diameter, .. } => {
                let e = outline.extents();
                let rim = on.at(Point::new(e.high.x, e.low.y + e.height().half()));
                self.label(&format!("Ø {}", plan.printed(*diameter)), &[rim], Terminator::Narrow);
                return;
            }
            Loop::Corners(corners) => corners,
        };
        let arcs: Vec<(At, Arc)> = outline
            .segments()
            .filter_map(|(from, to)| {
                let arc = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge)?;
                let w = arc.start + arc.sweep / 2.0;
                let x = arc.centre.0 + arc.radius * libm::cos(w);
                let y = arc.centre.1 + arc.radius * libm::sin(w);
                Some(((on.datum.0 + x * on.factor, on.datum.1 + y * on.factor), arc))
            })
            .collect();
        let mut told: Vec<What> = Vec::new();
        for corner in corners {
            let Some(radius) = corner.rounded else { continue };
            if told.contains(&radius) {
                continue;
            }
            told.push(radius);
            let size = plan.value(Where::By(radius)).to_mm();
            let places: Vec<At> =
                arcs.iter().filter(|(_, a)| (a.radius - size).abs() < 1e-3).map(|(at, _)| *at).collect();
            let count = corners.iter().filter(|c| c.rounded == Some(radius)).count();
            let times = if count > 1 { format!("{count} × ") } else { String::new() };
            self.label(&format!("{times}R {}", plan.printed(radius)), &places, Terminator::Narrow);
        }
        for corner in corners {
            let text = match corner.leaves {
                Run::Rise { rise, .. } => format!("ARC RISES {}", plan.printed(rise)),
                Run::Crown { .. } => "ARCH".to_owned(),
                Run::HalfRound { .. } => "HALF ROUND".to_owned(),
                Run::Straight => continue,
            };
            let from = (on.x(plan.value(corner.at.0)), on.y(plan.value(corner.at.1)));
            // The arc that starts at this corner, and its radius for the trammel.
            let nearest = outline.segments().filter(|(v, _)| v.bulge != 0.0).min_by(|(a, _), (b, _)| {
                let far = |p: Point| libm::hypot(on.at(p).0 - from.0, on.at(p).1 - from.1);
                far(a.at).total_cmp(&far(b.at))
            });
            let Some((start, end)) = nearest else { continue };
            let Some(arc) = Arc::between(start.at.to_mm(), end.to_mm(), start.bulge) else { continue };
            let w = arc.start + arc.sweep / 2.0;
            let crown = (
                on.datum.0 + (arc.centre.0 + arc.radius * libm::cos(w)) * on.factor,
                on.datum.1 + (arc.centre.1 + arc.radius * libm::sin(w)) * on.factor,
            );
            let radius = words.figures.figure(Length::from_mm(arc.radius));
            self.label(&format!("{text} (R {radius})"), &[crown], Terminator::Narrow);
        }
    }

    /// Writes a label where there is room for it, with a leader to the nearest of its targets.
    fn label(&mut self, text: &str, targets: &[At], end: Terminator) {
        for height in [LABELS, 2.5, 1.8] {
            let size = (width_of(text, height, true), height);
            let found = targets
                .iter()
                .filter_map(|t| self.taken.near(*t, size, self.zone, end == Terminator::Dot).map(|s| (*t, s)))
                .min_by(|(t, a), (u, b)| {
                    let far = |p: At, q: At| libm::hypot(p.0 - q.0, p.1 - q.1);
                    far(*t, a.leader_from).total_cmp(&far(*u, b.leader_from))
                });
            let Some((target, spot)) = found else { continue };
            let at = (spot.middle.0, spot.middle.1 - height / 2.0);
            let mut marks = vec![written(at, text, height, Anchor::Middle, true)];
            if spot.leader_from != target {
                marks.extend(leader(&[spot.leader_from, target], end, self.group));
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return;
        }
    }
}
