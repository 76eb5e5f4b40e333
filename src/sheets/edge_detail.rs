//! Sections through worked edges, enlarged, with the sizes that a cutter or a fence is set to. Show face up, the edge at
//! the left. Knows one edge at a time, and no view of the part.

use super::drawn::{Plan, What};
use super::figures::Figures;
use super::lanes::measure;
use super::part_words::{bevel_mark, edge_mark};
use super::scales::largest_detail_that_fits;
use super::sheet::Paperwork;
use crate::boards::{Arris, Profile};
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, LineType, Mark, Placed, Step, line};
use crate::length::Length;
use crate::parts::Part;
use crate::trade::Face;
use crate::values::{Stock, StockForm};

/// Height of figures and captions in a detail.
const FIGURES: f64 = 2.5;
/// From the caption to the wood, for a dimension with its arrows outside.
const ABOVE: f64 = 14.0;
/// Left of the wood, for an upright dimension.
const BEFORE: f64 = 26.0;

/// What is cut on one edge, going round from the show face to the back face; s in from the edge, d down from the show face.
struct Shape {
    /// Corners from the show face to the back face, with the bulge of the step that leads to each.
    corners: Vec<(Length, Length, f64)>,
    /// The dimensions: how far in, how far down.
    along: Option<(What, Length)>,
    down: Option<(What, Length, Length)>,
    caption: String,
    /// What stands before the figure: `R ` of a radius.
    before: &'static str,
}

/// The details of a part's edges, each laid out from its upper left corner; nothing for plain edges.
pub fn details(part: &Part, stock: Option<&Stock>, plan: &Plan, paperwork: &Paperwork) -> Vec<Detail> {
    let edges = part.edges.iter().enumerate().filter_map(|(i, e)| {
        let (profile, arris) = e.profile?;
        Some(edge_shape(i, profile, arris, part.thick))
    });
    let bevels = part.bevels.iter().enumerate().map(|(i, bevel)| {
        let (t, z) = (part.thick, Length::ZERO);
        let corners = match bevel.long {
            Face::Show => vec![(z, z, 0.0), (bevel.run, t, 0.0)],
            Face::Back => vec![(bevel.run, z, 0.0), (z, t, 0.0)],
        };
        let angle = plan.printed(What::BevelAngle(i));
        Shape {
            corners,
            along: None,
            down: None,
            caption: format!("{}  bevel {angle} off square", bevel_mark(i)),
            before: "",
        }
    });
    let hatching = stock.map_or(Hatching::Plain, hatching_of);
    let all: Vec<Shape> = edges.chain(bevels).collect();
    all.into_iter()
        .map(|shape| Detail {
            shape,
            thick: part.thick,
            printed: plan.dimensions.iter().map(|d| (d.what, plan.printed(d.what))).collect(),
            hatching,
            paperwork: paperwork.clone(),
        })
        .collect()
}

/// How a stock is hatched where it is cut across.
pub fn hatching_of(stock: &Stock) -> Hatching {
    let words = format!("{} {}", stock.name, stock.called.clone().unwrap_or_default()).to_lowercase();
    match stock.form {
        StockForm::Solid { .. } => Hatching::LongGrain,
        StockForm::Sheet { .. }
            if words.contains("mdf") || words.contains("chip") || words.contains("fibre") =>
        {
            Hatching::Fibre
        }
        StockForm::Sheet { .. } => Hatching::Plywood,
    }
}

/// One detail, ready to be hung.
pub struct Detail {
    shape: Shape,
    thick: Length,
    printed: Vec<(What, String)>,
    hatching: Hatching,
    paperwork: Paperwork,
}

impl Detail {
    /// Laid out from its upper left corner, no wider than `width` millimetres.
    pub fn placed(&self, at: At, width: f64) -> Placed {
        let group = self.paperwork.line_group();
        let reach = self.shape.corners.iter().map(|c| c.0).max().unwrap_or_default();
        let length = self.thick.to_mm() * 1.3 + reach.to_mm();
        let room = super::frame::Area { low: (0.0, 0.0), high: ((width - BEFORE - 12.0).max(10.0), 34.0) };
        let scale = largest_detail_that_fits(length, self.thick.to_mm(), &room, self.paperwork.practice);
        let factor = scale.map_or(room.width() / length, |s| s.factor());
        let label = scale.map_or_else(|| "not to scale".to_owned(), |s| s.label());
        let mut marks = Vec::new();
        let caption = format!("{}  ·  {label}", self.shape.caption);
        marks.push(written((at.0, at.1 - FIGURES), caption, FIGURES, Anchor::Start, true));
        let origin = (at.0 + BEFORE, at.1 - FIGURES - ABOVE);
        let place = |s: Length, d: Length| (origin.0 + s.to_mm() * factor, origin.1 - d.to_mm() * factor);
        let far = Length::from_mm(length);
        let mut path = vec![Step::Move(place(far, Length::ZERO))];
        for (s, d, bulge) in &self.shape.corners {
            let to = place(*s, *d);
            path.push(if *bulge == 0.0 { Step::Line(to) } else { Step::Arc(to, *bulge) });
        }
        path.push(Step::Line(place(far, self.thick)));
        let mut closed = path.clone();
        closed.push(Step::Close);
        marks.extend(hatch(&closed, self.hatching, 0.0, 1.6));
        marks.push(Mark::Stroke { path, line: LineType::Visible });
        // The wood goes on: a thin line where the drawing stops.
        marks.push(line(place(far, Length::ZERO), place(far, self.thick), LineType::Dimension));
        marks.push(written(
            (place(far, Length::ZERO).0 - 1.0, origin.1 + 1.5),
            "SHOW FACE",
            1.8,
            Anchor::End,
            false,
        ));
        let printed =
            |what: What| self.printed.iter().find(|(w, _)| *w == what).map_or("", |(_, p)| p.as_str());
        if let Some((what, size)) = self.shape.along {
            let y = origin.1 + 7.0;
            for s in [Length::ZERO, size] {
                let x = place(s, Length::ZERO).0;
                marks.push(line((x, origin.1 + 1.0), (x, y + 1.5), LineType::Dimension));
            }
            let (from, to) = ((origin.0, y), (place(size, Length::ZERO).0, y));
            let figure = format!("{}{}", self.shape.before, printed(what));
            marks.extend(measure(from, to, &figure, FIGURES, true, group));
        }
        if let Some((what, from, to)) = self.shape.down {
            let x = origin.0 - 13.0;
            for d in [from, to] {
                let y = place(Length::ZERO, d).1;
                marks.push(line((origin.0 - 1.0, y), (x - 1.5, y), LineType::Dimension));
            }
            let (low, high) = (place(Length::ZERO, to).1, place(Length::ZERO, from).1);
            marks.extend(measure((x, low), (x, high), printed(what), FIGURES, true, group));
        }
        let height = FIGURES + ABOVE + self.thick.to_mm() * factor + 3.0;
        Placed { marks, width, height }
    }
}

fn edge_shape(index: usize, profile: Profile, arris: Arris, thick: Length) -> Shape {
    let (z, t) = (Length::ZERO, thick);
    // Clockwise round a convex quarter on paper, show face to edge and edge to back face.
    let quarter = std::f64::consts::SQRT_2 - 1.0;
    let (show, back) = (arris != Arris::Back, arris != Arris::Show);
    let word = match arris {
        Arris::Show => "show arris",
        Arris::Back => "BACK arris",
        Arris::Both => "both arrises",
    };
    let (name, over, down, bend, stepped) = match profile {
        Profile::Chamfer { along_face, down_edge } => ("chamfer", along_face, Some(down_edge), 0.0, false),
        Profile::Round { radius } => ("round", radius, None, quarter, false),
        Profile::Rebate { width, depth } => ("rebate", width, Some(depth), 0.0, true),
        Profile::Bevel { run } => {
            let corners = if arris == Arris::Back {
                vec![(z, z, 0.0), (run, t, 0.0)]
            } else {
                vec![(run, z, 0.0), (z, t, 0.0)]
            };
            let caption = format!("{}  bevel, {word}", edge_mark(index));
            return Shape {
                corners,
                along: Some((What::EdgeAlong(index), run)),
                down: None,
                caption,
                before: "",
            };
        }
    };
    let deep = down.unwrap_or(over);
    let mut corners = Vec::new();
    if show {
        corners.push((over, z, 0.0));
        if stepped {
            corners.push((over, deep, 0.0));
        }
        corners.push((z, deep, bend));
    } else {
        corners.push((z, z, 0.0));
    }
    if back {
        corners.push((z, t - deep, 0.0));
        if stepped {
            corners.push((over, t - deep, 0.0));
        }
        corners.push((over, t, bend));
    } else {
        corners.push((z, t, 0.0));
    }
    let (from, to) = if show { (z, deep) } else { (t - deep, t) };
    Shape {
        corners,
        along: Some((What::EdgeAlong(index), over)),
        down: down.map(|_| (What::EdgeDown(index), from, to)),
        caption: format!("{}  {name}, {word}", edge_mark(index)),
        before: if bend == 0.0 { "" } else { "R " },
    }
}

/// Words of a size that a detail gives: repeated in parentheses.
pub fn repeated(figures: &Figures, profile: Profile) -> String {
    let figure = |length: Length| figures.figure(length);
    match profile {
        Profile::Chamfer { along_face, down_edge } => {
            format!("({} × {})", figure(along_face), figure(down_edge))
        }
        Profile::Round { radius } => format!("(R {})", figure(radius)),
        Profile::Rebate { width, depth } => format!("({} × {})", figure(width), figure(depth)),
        Profile::Bevel { run } => format!("({} in)", figure(run)),
    }
}
