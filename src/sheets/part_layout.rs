//! Where a part's face view and its rows of dimensions lie, at the largest scale of the series that fits. Knows which side
//! each running dimension goes to, and none of the words.

use super::broken::{Breaks, is_readable, is_well_readable, long_side};
use super::drawn::*;
use super::face_view::{OnPaper, outside};
use super::frame::Area;
use super::lanes::{Beside, Figure, Row};
use super::reached::sides;
use super::scales::Scale;
use super::sheet::Paperwork;
use crate::length::Length;
use crate::parts::Part;

/// Height of figures in millimetres.
pub const FIGURES: f64 = 3.5;
/// From the face view's outermost row to the edge view.
const TO_EDGE_VIEW: f64 = 12.0;

/// A face view at a scale, with the rows round it.
pub struct Layout {
    pub scale: Scale,
    pub on: OnPaper,
    pub rows: Vec<Row>,
    /// Running dimensions that find no room beside the view.
    pub left_over: Vec<(Along, Vec<What>)>,
    /// Left edge of the edge view on paper.
    pub edge_view: f64,
    /// Whether the zone holds it all.
    pub fits: bool,
}

impl Layout {
    /// At the largest scale at which it fits the zone. A part too narrow to be read there is broken where nothing happens along
    /// it, and drawn at a scale at which it can be.
    pub fn largest(part: &Part, plan: &Plan, zone: Area, paperwork: &Paperwork) -> Layout {
        let series: Vec<Scale> =
            Scale::series(paperwork.practice).into_iter().filter(|s| s.factor() <= 1.0).collect();
        let mut last = None;
        for scale in &series {
            let layout = Layout::at(part, plan, zone, *scale, Breaks::default(), paperwork);
            let fits = layout.fits;
            last = Some(layout);
            if fits {
                break;
            }
        }
        // The series is never empty: full size is always in it.
        let whole = last.unwrap_or_else(|| {
            let full = Scale::full(paperwork.practice);
            Layout::at(part, plan, zone, full, Breaks::default(), paperwork)
        });
        if is_readable(part, whole.scale.factor()) {
            return whole;
        }
        let larger: Vec<Scale> =
            series.into_iter().filter(|s| s.factor() > whole.scale.factor() || !whole.fits).collect();
        let readable = larger.iter().rposition(|s| is_well_readable(part, s.factor())).unwrap_or(0);
        let broken = larger
            .into_iter()
            .skip(readable)
            .find_map(|scale| Layout::broken(part, plan, zone, scale, &whole, paperwork));
        broken.unwrap_or(whole)
    }

    /// Broken so far that it fits the zone at this scale; `None` where it cannot be, or says less than the whole view.
    fn broken(
        part: &Part,
        plan: &Plan,
        zone: Area,
        scale: Scale,
        whole: &Layout,
        paperwork: &Paperwork,
    ) -> Option<Layout> {
        let up = long_side(part) == Along::Up;
        let mut breaks = Breaks::default();
        // What stands round the view hangs a little on where its lines are, so it is laid out more than once.
        for _ in 0..3 {
            let layout = Layout::at(part, plan, zone, scale, breaks, paperwork);
            if layout.fits {
                let says_less = layout.left_over.len() > whole.left_over.len();
                return (!breaks.is_none() && !says_less).then_some(layout);
            }
            let around = layout.extents(part);
            let (size, datum, end, room) = if up {
                (around.height(), layout.on.datum.1, layout.on.y(part.height), zone.height())
            } else {
                (around.width(), layout.on.datum.0, layout.on.x(part.width), zone.width())
            };
            let length = end - datum - (size - room) - 1.0;
            breaks = Breaks::to_length(part, scale.factor(), length)?;
        }
        None
    }

    fn at(
        part: &Part,
        plan: &Plan,
        zone: Area,
        scale: Scale,
        breaks: Breaks,
        paperwork: &Paperwork,
    ) -> Layout {
        // Laid out about (0, 0) first, to learn how far the rows reach; then moved to the middle of the zone.
        let on = OnPaper { datum: (0.0, 0.0), factor: scale.factor(), breaks };
        let around = Layout::about(part, plan, on, scale, paperwork).extents(part);
        let x = (zone.low.0 + zone.high.0 - around.low.0 - around.high.0) / 2.0;
        let y = (zone.low.1 + zone.high.1 - around.low.1 - around.high.1) / 2.0;
        let mut layout = Layout::about(part, plan, OnPaper { datum: (x, y), ..on }, scale, paperwork);
        layout.fits = around.width() <= zone.width() && around.height() <= zone.height();
        layout
    }

    fn about(part: &Part, plan: &Plan, on: OnPaper, scale: Scale, paperwork: &Paperwork) -> Layout {
        let (rows, left_over) = rows(part, plan, &on, paperwork);
        let right = rows.iter().filter(|r| r.beside == Beside::Right).map(Row::reach).fold(0.0, f64::max);
        let level = rows.iter().filter(|r| matches!(r.beside, Beside::Below | Beside::Above));
        let right = level.map(Row::overflow).fold(right, f64::max);
        let edge_view = on.x(part.width) + outside(part, &on)[1] + right + TO_EDGE_VIEW;
        Layout { scale, on, rows, left_over, edge_view, fits: false }
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
        let (size, across) = match along {
            Along::Across => (part.width, part.height),
            Along::Up => (part.height, part.width),
        };
        let sides = sides(plan, along, across);
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
            let Some(sides) = sides.get(&number) else { continue };
            let what = dimension.what;
            for (into, reached, first) in [
                (&mut low, sides.low, sides.low_first || sides.high.is_none()),
                (&mut high, sides.high, !sides.low_first || sides.low.is_none()),
            ] {
                let Some(reached) = reached else { continue };
                // Where it stands the second time it is an auxiliary one.
                let text = if first {
                    dimension.marked()
                } else {
                    format!("({}){}", dimension.printed, dimension.changed)
                };
                into.push(Figure { at: paper(at), from: cross(reached), text, what, again: !first });
            }
        }
        let overall_text = match overall.and_then(|what| plan.dimension(what)) {
            Some(dimension) => dimension.marked(),
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
        for row in [&mut low, &mut high] {
            if !row.has_room() {
                row.figures.retain(|figure| !figure.again);
            }
        }
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
