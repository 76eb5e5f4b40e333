//! The sheet of one part: face view with its dimensions, edge view, schedules, and all a worker needs to know to cut it
//! without asking. Knows how things are laid out, not what is dimensioned.

use super::broken::{draw_lines, is_readable, zigzags};
use super::dimension::plan;
use super::drawn::*;
use super::edge_detail::details;
use super::face_view::face_view;
use super::figures::Figures;
use super::frame::{Area, Frame};
use super::free::Taken;
use super::lanes::measure;
use super::part_body::Body;
use super::part_layout::{FIGURES, Layout};
use super::part_words::Words;
use super::revision::{Revised, Since};
use super::scales::Scale;
use super::scribes::{self, datum_is_inside};
use super::sheet::{Draft, Flow, Paperwork, Shown, columns};
use crate::drawing::arrow::Terminator;
use crate::drawing::bounds::extents;
use crate::drawing::lettering::width_of;
use crate::drawing::{Anchor, Dimension, Group, Layer, LineType, Mark, Text, line, rectangle, revision};
use crate::loads::Loads;
use crate::parts::{Made, Part, PartId};
use crate::trade::Side;

/// Height of notes in millimetres.
const NOTES: f64 = 2.5;
/// Width of the column of notes, as a share of the field; and of one for two pieces of a table abreast.
const COLUMN: f64 = 0.3;
const WIDE_COLUMN: f64 = 0.37;
/// A view so much smaller is better than its table on a further sheet.
const NEARLY: f64 = 0.7;

/// A part with what its drawing says, before it has a place.
pub(super) struct Prepared<'a> {
    pub made: &'a Made,
    pub loads: &'a Loads,
    pub id: PartId,
    pub part: &'a Part,
    pub plan: Plan,
    pub revised: Revised,
}

/// Where the drawing of one part lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Place {
    /// A sheet of its own.
    Sheet,
    /// A field of a shared sheet.
    Field(Area),
}

/// The drawing of one part in its place.
pub(super) struct DrawnPart {
    pub scale: Scale,
    pub groups: Vec<Group>,
    pub dimensions: Vec<Dimension>,
    /// True where everything found room: view, notes, tables and names.
    pub complete: bool,
    /// Lines and texts looked at to place its names.
    steps: usize,
    flow: Flow,
}

/// What placing the names on a part's own sheet costs, in lines and texts looked at; `None` where there is no such part.
pub fn steps(made: &Made, loads: &Loads, id: PartId, paperwork: &Paperwork) -> Option<usize> {
    let drawn = Prepared::new(made, loads, id, None)?.draw(Place::Sheet, paperwork)?;
    Some(drawn.steps)
}

impl<'a> Prepared<'a> {
    /// `None` where there is no such part.
    pub fn new(made: &'a Made, loads: &'a Loads, id: PartId, since: Option<&Since>) -> Option<Prepared<'a>> {
        let part = made.parts.get(id.0)?;
        let mut plan = plan(part, &made.job);
        let revised = since.and_then(|since| since.revise(id, &mut plan)).unwrap_or_default();
        Some(Prepared { made, loads, id, part, plan, revised })
    }

    fn words(&self) -> Words<'_> {
        let figures = Figures::of(&self.made.job.sheets);
        let service = super::loads::facts_of(self.made, self.loads, self.id, &figures);
        Words { made: self.made, part: self.part, plan: &self.plan, figures, revised: &self.revised, service }
    }

    /// `A5 stretcher front`
    pub fn title(&self) -> String {
        format!("{} {}", self.part.mark, said(&self.part.name))
    }

    pub fn shown(&self, scale: Scale, area: Option<Area>) -> Shown {
        Shown { part: self.id, title: self.title(), scale: scale.label(), area }
    }

    /// The head notes and the largest view in a place; `None` where there is no zone for a view.
    fn laid(&self, place: Place, paperwork: &Paperwork) -> Option<(Flow, Area, Layout)> {
        match place {
            Place::Sheet => {
                let frame = paperwork.frame();
                // Wider columns beside the title block where a table does not go into narrow ones; last, a column at the right
                // that takes two pieces abreast, if the view stays nearly as large beside it.
                let mut found: Option<(Flow, Area, Layout)> = None;
                for (beside, widest) in [(3, COLUMN), (2, COLUMN), (1, COLUMN), (2, WIDE_COLUMN)] {
                    let mut flow = Flow::new(regions_in(&frame, beside, widest));
                    head(&mut flow, &self.words(), None, paperwork);
                    let zones = zones(&frame, &flow);
                    let (zone, layout) = self.best(&zones, paperwork)?;
                    if Some(&zone) == zones.get(1) {
                        // The view takes the room beside the title block.
                        flow.regions.truncate(1);
                    }
                    self.finish(&mut flow, &layout);
                    let scale = layout.scale.factor();
                    let as_large =
                        found.as_ref().is_none_or(|(_, _, first)| scale >= NEARLY * first.scale.factor());
                    let held = flow.held_all() && as_large;
                    if held || found.is_none() {
                        found = Some((flow, zone, layout));
                    }
                    if held {
                        break;
                    }
                }
                found
            }
            Place::Field(area) => {
                let mut found = None;
                for (zone, notes) in parted(area) {
                    let (zone, layout) = self.best(&[zone], paperwork)?;
                    let mut flow = Flow::new(notes);
                    head(&mut flow, &self.words(), Some(&layout.scale.label()), paperwork);
                    self.finish(&mut flow, &layout);
                    let held = flow.held_all();
                    found = Some((flow, zone, layout));
                    if held {
                        break;
                    }
                }
                found
            }
        }
    }

    /// The zone in which the view is best read: whole before broken where it is large enough, else as large as can be.
    fn best(&self, zones: &[Area], paperwork: &Paperwork) -> Option<(Area, Layout)> {
        let tried =
            zones.iter().map(|zone| (*zone, Layout::largest(self.part, &self.plan, *zone, paperwork)));
        let rank = |layout: &Layout| {
            let whole = layout.on.breaks.is_none();
            (whole && is_readable(self.part, layout.scale.factor()), layout.scale.factor())
        };
        tried.reduce(|a, b| if rank(&b.1) > rank(&a.1) { b } else { a })
    }

    /// Notes on how the view is drawn.
    fn finish(&self, flow: &mut Flow, layout: &Layout) {
        for (along, left_over) in &layout.left_over {
            flow.narrow_table(&self.words().running_table(*along, left_over, NOTES));
        }
        if !layout.on.breaks.is_none() {
            let text = "the view is broken between the zigzag lines; all figures are true sizes";
            flow.facts(&[("BREAK".to_owned(), text.to_owned())], NOTES);
        }
    }

    /// The scale that the part has on a sheet of its own; `None` where it needs more than that, or some of its running
    /// dimensions go into a table there.
    pub fn own_scale(&self, paperwork: &Paperwork) -> Option<Scale> {
        let (flow, _, layout) = self.laid(Place::Sheet, paperwork)?;
        (flow.held_all() && layout.left_over.is_empty()).then_some(layout.scale)
    }

    /// Whether a field holds the notes and the view at a scale, names on the view not yet written.
    pub fn may_fit(&self, area: Area, scale: Scale, paperwork: &Paperwork) -> bool {
        let Some((flow, _, layout)) = self.laid(Place::Field(area), paperwork) else { return false };
        layout.fits
            && layout.left_over.is_empty()
            && layout.scale.factor() >= scale.factor()
            && flow.held_all()
    }

    /// Draws the part; `None` where there is no room for any view.
    pub fn draw(&self, place: Place, paperwork: &Paperwork) -> Option<DrawnPart> {
        let words = self.words();
        let (part, plan) = (self.part, &self.plan);
        let (mut flow, zone, layout) = self.laid(place, paperwork)?;
        let drawn = Drawing::new(&words, &layout, zone, paperwork.line_group());
        let (unnamed, uncalled, steps) = (drawn.unnamed, drawn.uncalled, drawn.taken.steps());
        if unnamed > 0 {
            let text =
                "what bears no name on the view is counted row by row from the datum, each row from the left";
            flow.facts(&[("NAMES".to_owned(), text.to_owned())], NOTES);
        }
        let mut groups = drawn.groups(&part.id);
        let notes = format!("{}-notes", part.id);
        groups.push(Group { id: notes, layer: Layer::Notes, marks: flow.marks.clone() });
        if let Place::Field(area) = place {
            let border = Mark::Stroke { path: rectangle(area.low, area.high), line: LineType::Table };
            let id = format!("{}-field", part.id);
            groups.push(Group { id, layer: Layer::Frame, marks: vec![border] });
        }
        let dimensions = plan.dimensions.iter().filter_map(|d| match d.size {
            Size::Length(value) => {
                Some(Dimension { what: d.says.clone(), value, printed: d.printed.clone() })
            }
            Size::Angle(_) => None,
        });
        Some(DrawnPart {
            scale: layout.scale,
            groups,
            dimensions: dimensions.collect(),
            complete: layout.fits && unnamed + uncalled == 0 && flow.held_all(),
            steps,
            flow,
        })
    }

    /// Sheets of the part alone: one, and where its tables do not fit a second.
    pub fn sheets(&self, paperwork: &Paperwork) -> Vec<Draft> {
        let Some(drawn) = self.draw(Place::Sheet, paperwork) else { return Vec::new() };
        let title = self.title();
        let mut sheets = vec![Draft {
            name: self.part.id.clone(),
            title: title.clone(),
            kind: "PART DRAWING",
            parts: vec![self.shown(drawn.scale, None)],
            scale: drawn.scale.label(),
            groups: drawn.groups,
            dimensions: drawn.dimensions,
            ..Draft::default()
        }];
        sheets.extend(drawn.flow.further(paperwork, &self.part.id, &title));
        sheets
    }
}

/// A name of the spec as people say it.
pub fn said(name: &str) -> String {
    name.replace('_', " ")
}

/// Where notes go, in order: the column at the right, then the room beside the title block.
pub(super) fn regions(frame: &Frame) -> Vec<Area> {
    regions_in(frame, 3, COLUMN)
}

/// The same with the room beside the title block in so many columns, and the column at the right a share of the field.
fn regions_in(frame: &Frame, beside: usize, share: f64) -> Vec<Area> {
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
    let width = (share * field.width()).clamp(95.0, 150.0);
    let column = Area { low: (field.high.0 - width, field.low.1), high: field.high };
    let mut all = vec![column];
    all.extend(frame.beside().into_iter().flat_map(|area| columns(area, beside)));
    all
}

/// A field of a shared sheet in two: for the view, and for the notes at its right; where it is wide, also with the notes in
/// two columns.
fn parted(area: Area) -> Vec<(Area, Vec<Area>)> {
    let inside = area.inset(4.0);
    let with = |notes: f64, count: usize| {
        let right = inside.high.0 - notes;
        let zone = Area { low: inside.low, high: (right - 5.0, inside.high.1) };
        (zone, columns(Area { low: (right, inside.low.1), high: inside.high }, count))
    };
    let mut all = vec![with((0.32 * inside.width()).clamp(78.0, 125.0), 1)];
    if inside.width() > 300.0 {
        all.push(with(185.0, 2));
    }
    all
}

/// `scale`: the part's own, where the title block does not give it.
fn head(flow: &mut Flow, words: &Words, scale: Option<&str>, paperwork: &Paperwork) {
    let part = words.part;
    // In a field of a shared sheet a revised part bears its own triangle; on a sheet of its own the title block does.
    let sign = if scale.is_some() { words.revised.sign.as_str() } else { "" };
    flow.line(&format!("{}  {}{sign}", part.mark, said(&part.name).to_uppercase()), 5.0, true);
    let quantity = format!("MAKE {}{}", part.quantity, words.revised.beside_quantity());
    flow.line(&quantity, 5.0, true);
    if let Some(scale) = scale {
        flow.facts(&[("SCALE".to_owned(), scale.to_owned())], NOTES);
    }
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
        flow.facts_under("HOLES", &kinds, NOTES);
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
pub(super) fn zones(frame: &Frame, flow: &Flow) -> Vec<Area> {
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
    /// Labels that found no room, and names of holes that a table places.
    pub(super) unnamed: usize,
    pub(super) uncalled: usize,
    pub(super) taken: Taken,
    pub(super) zone: Area,
    /// The view and a little round it, where names of many holes go.
    pub(super) close: Area,
    pub(super) group: f64,
}

impl Drawing {
    fn new(words: &Words, layout: &Layout, zone: Area, group: f64) -> Drawing {
        let part = words.part;
        let body = Body::of(part);
        let view = face_view(part, &body, &layout.on);
        let mut drawing = Drawing {
            shading: view.shading,
            seen: view.seen,
            hidden: view.hidden,
            dimensions: view.centres,
            labels: Vec::new(),
            unnamed: 0,
            uncalled: 0,
            taken: Taken::default(),
            zone,
            close: zone,
            group,
        };
        for row in &layout.rows {
            drawing.dimensions.extend(row.lay(group));
        }
        drawing.edge_view(words, &body, layout);
        let all = [&drawing.shading, &drawing.seen, &drawing.hidden, &drawing.dimensions];
        all.into_iter().for_each(|marks| drawing.taken.add(marks));
        drawing.rooms(words, &layout.on);
        drawing.strips(words, layout);
        // The datum, from which all running dimensions count.
        let datum = if datum_is_inside(part) { "DATUM: NET LINES MEET" } else { "DATUM" };
        drawing.label(datum, &[layout.on.datum], Terminator::Narrow);
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

    /// How much wood is left on for scribing, past an end of each strip; where there is no room, led to the strip.
    fn strips(&mut self, words: &Words, layout: &Layout) {
        for strip in scribes::dimensions(words.part, words.plan, &layout.on, self.group) {
            let mut zone = self.zone;
            zone.high.0 = zone.high.0.min(layout.edge_view - 3.0);
            let kept = |marks: &[Mark]| {
                extents(marks).is_some_and(|(low, high)| {
                    low.0 >= zone.low.0
                        && low.1 >= zone.low.1
                        && high.0 <= zone.high.0
                        && high.1 <= zone.high.1
                })
            };
            match strip.ways.into_iter().find(|marks| kept(marks) && self.taken.has_room_for(marks)) {
                Some(marks) => {
                    self.taken.add(&marks);
                    self.dimensions.extend(marks);
                }
                None => self.label(&strip.text, &[strip.middle], Terminator::Narrow),
            }
        }
    }

    /// The part seen on its right edge (third angle) or its left edge (first angle), with its thickness.
    fn edge_view(&mut self, words: &Words, body: &Body, layout: &Layout) {
        let (part, on) = (words.part, &layout.on);
        let (left, thick) = (layout.edge_view, part.thick.to_mm() * on.factor);
        let (low, high) = (on.datum.1, on.y(part.height));
        // Third angle shows the right edge, with the show face towards the face view; first angle the left edge.
        let third = words.made.job.sheets.third_angle;
        let (eye, show_face) = if third { (Side::Right, left) } else { (Side::Left, left + thick) };
        match body.lines(eye) {
            Some(lines) => {
                let place = |at: (f64, f64)| (show_face + at.0 * on.factor, on.mm((0.0, at.1)).1);
                draw_lines(&lines, &on.breaks.of(Along::Up), place, &mut self.seen, &mut self.hidden);
                let area = Area { low: (left, low), high: (left + thick, high) };
                self.dimensions.extend(zigzags(on, &on.breaks.of(Along::Up), area).0);
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
        let high = on.breaks.first(Along::Up, on.factor).map_or(high, |up| low + up);
        if high - low > width_of(text, size, false) {
            let x = if third { left - 1.5 } else { left + thick + 1.5 + size };
            let at = (x, (low + high) / 2.0);
            let text = text.to_owned();
            let turned = Text { at, text, height: size, anchor: Anchor::Middle, turn: 90.0, bold: false };
            self.dimensions.push(Mark::Text(turned));
        }
    }
}
