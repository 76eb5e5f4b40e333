//! Parts to DXF: one drawing a part at full size in millimetres, one layer per operation, side and depth, closed
//! polylines with true arcs, drills as circles at their size, text on a layer of its own. Knows no sheet and lays nothing out.

pub mod jigs;
mod mend;
mod write;

use crate::boards::Hole;
use crate::length::Length;
use crate::parts::{Made, Part};
use crate::shape::{Outline, Point};
use crate::trade::{Face, Grain};

/// A drawing for a cutting machine before it is written: coordinates in millimetres, datum corner at (0, 0).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contents {
    pub shapes: Vec<Shape>,
    pub lines: Vec<String>,
}

/// One closed shape on its layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub layer: String,
    pub form: Form,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    Closed(Outline),
    Circle { at: Point, diameter: Length },
}

/// Layer of the text; machines leave it out.
pub const TEXT_LAYER: &str = "TEXT_NOT_CUT";

/// What is cut of a part, layer by layer.
pub fn contents(made: &Made, part: &Part) -> Contents {
    let mut shapes = vec![Shape { layer: "OUTSIDE_THROUGH".into(), form: Form::Closed(part.as_cut()) }];
    let closed = |layer: String, outline: &Outline| Shape { layer, form: Form::Closed(outline.clone()) };
    shapes.extend(part.inside.iter().map(|outline| closed("INSIDE_THROUGH".into(), outline)));
    for pocket in &part.pockets {
        let layer = format!("POCKET_{}_{}", side(pocket.from), millimetres(pocket.depth));
        shapes.push(closed(layer, &pocket.outline));
    }
    for hole in &part.holes {
        let form = match hole.outline().filter(|_| hole.slot.is_some()) {
            Some(slot) => Form::Closed(slot),
            None => Form::Circle { at: hole.at, diameter: hole.diameter },
        };
        shapes.push(Shape { layer: drill_layer(hole), form });
        if let Some(head) = hole.countersink {
            let layer = format!("COUNTERSINK_{}_{}", side(hole.from), millimetres(head));
            shapes.push(Shape { layer, form: Form::Circle { at: hole.at, diameter: head } });
        }
    }
    Contents { shapes, lines: lines(made, part) }
}

/// The file of one part. Errors only where a number is not finite or the writer fails.
pub fn write(made: &Made, part: &Part) -> Result<Vec<u8>, String> {
    write::write(&contents(made, part))
}

/// File name of a part's outline: job, part, stock, thickness, quantity, revision.
pub fn file_name(made: &Made, part: &Part) -> String {
    let stock = made.job.stock.get(part.stock).map_or("stock", |s| s.name.as_str());
    let mut pieces = Vec::new();
    // A number of signs only leaves nothing that a file name may begin with.
    if made.job.titles.number.chars().any(|sign| sign.is_ascii_alphanumeric()) {
        pieces.push(made.job.titles.number.clone());
    }
    pieces.extend([part.id.clone(), stock.to_string(), format!("{}mm", decimal(part.thick))]);
    pieces.push(format!("x{}", part.quantity));
    if !made.job.titles.revision.is_empty() {
        pieces.push(format!("rev{}", made.job.titles.revision));
    }
    pieces.join("_")
}

fn lines(made: &Made, part: &Part) -> Vec<String> {
    let titles = &made.job.titles;
    let stock = made.job.stock.get(part.stock);
    let grain = match part.grain {
        Grain::AlongU => "grain along X",
        Grain::AlongV => "grain along Y",
        Grain::Free => "grain free",
    };
    let mut lines = vec![
        format!("{} {} {}", titles.number, part.mark, part.id).trim().to_string(),
        format!(
            "{} {} mm actual, quantity {}",
            stock.map_or("", |s| s.called.as_deref().unwrap_or(&s.name)),
            decimal(part.thick),
            part.quantity
        ),
        format!("show face up, {grain}, units mm, scale 1:1"),
    ];
    if !titles.revision.is_empty() {
        lines.push(format!("revision {} {}", titles.revision, titles.date));
    }
    if part.pockets.iter().any(|p| p.from == Face::Back) || part.holes.iter().any(|h| h.from == Face::Back) {
        lines.push("layers with BACK are worked from the back face; drawn as seen from the show face".into());
    }
    for bevel in &part.bevels {
        lines.push(format!("bevel {:.2} degrees off square, not in this outline", bevel.degrees));
    }
    for edge in part.edges.iter().filter(|e| e.scribe.is_positive()) {
        lines.push(format!("{} edge: {} mm left on for scribing", edge.side.word(), decimal(edge.scribe)));
    }
    lines
}

fn drill_layer(hole: &Hole) -> String {
    let kind = if hole.slot.is_some() { "SLOT" } else { "DRILL" };
    match hole.depth {
        None => format!("{kind}_THROUGH_{}", millimetres(hole.diameter)),
        Some(depth) => {
            format!("{kind}_{}_{}_DEEP_{}", side(hole.from), millimetres(hole.diameter), millimetres(depth))
        }
    }
}

fn side(face: Face) -> &'static str {
    match face {
        Face::Show => "SHOW",
        Face::Back => "BACK",
    }
}

fn millimetres(length: Length) -> String {
    format!("{}MM", decimal(length))
}

/// Millimetres with as many decimals as it takes, at most three (a thousandth of an inch is 0.0254 mm).
fn decimal(length: Length) -> String {
    let text = format!("{:.3}", length.to_mm());
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
