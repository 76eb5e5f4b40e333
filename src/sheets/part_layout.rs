//! Where a part's face view and its rows of dimensions lie, at the largest scale of the series that fits. Knows which side
//! each running dimension goes to, and none of the words.

use super::drawn::*;
use super::face_view::OnPaper;
use super::frame::Area;
use super::lanes::{Beside, Figure, Row};
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
}

impl Layout {
    pub fn largest(part: &Part, plan: &Plan, zone: Area, paperwork: &Paperwork) -> Layout {
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
            let text = dimension.marked();
            let what = dimension.what;
            if near <= across - far {
                low.push(Figure { at: paper(at), from: cross(near), text, what });
            } else {
                high.push(Figure { at: paper(at), from: cross(far), text, what });
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
