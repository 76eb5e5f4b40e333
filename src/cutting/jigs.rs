//! A router template as it is cut: its outside, the guiding opening, holes for pins, where fences go and what the finished line
//! is, each on a layer of its own. Coordinates as in [`crate::jigs`].

use super::{Contents, Form, Operation, Shape, layers, words};
use crate::jigs::Jig;
use crate::jigs::card::called;
use crate::length::{Length, Units};
use crate::parts::Made;
use crate::shape::Outline;
use crate::trade::Face;
use crate::values::{CornerRule, CuttingShop};

/// Millimetres, as many decimals as it takes.
pub fn decimal(length: Length) -> String {
    layers::decimal(length, Units::Millimetre).0
}

/// What is cut of a template.
pub fn contents(made: &Made, jig: &Jig) -> Contents {
    let shop = CuttingShop::usual();
    let cut = |operation, outline: &Outline| Shape::new(&shop, operation, Form::Closed(outline.clone()));
    let shown = |layer: &str, outline: &Outline| Shape {
        operation: Operation::Reference,
        layer: layer.into(),
        form: Form::Closed(outline.clone()),
    };
    let mut shapes = vec![cut(Operation::Outside, &jig.blank)];
    shapes.extend(jig.window.iter().map(|window| cut(Operation::Inside, window)));
    for pin in &jig.pins {
        let form = Form::Circle { at: pin.at, diameter: pin.diameter };
        shapes.push(Shape::new(&shop, Operation::DrillThrough { diameter: pin.diameter }, form));
    }
    let fences = jig.fences.iter().filter_map(|fence| Outline::rectangle(fence.area.low, fence.area.high));
    shapes.extend(fences.map(|fence| shown("FENCE_BELOW_NOT_CUT", &fence)));
    shapes.push(shown("FINISHED_LINE_NOT_CUT", &jig.work.outline));
    let titles = &made.job.titles;
    let part = made.parts.get(jig.part.0).map_or(String::new(), |part| called(&part.mark, &part.name));
    let side = match jig.face {
        Face::Show => "show face up",
        Face::Back => "back face up, drawn as seen there",
    };
    let relieved = jig.corners == CornerRule::Relieve && !jig.inside_corners.is_empty();
    let corners = if relieved { "; inside corners relieved" } else { "" };
    let lines = vec![
        format!("{} {} router template, {} of {part}", titles.number, jig.mark, jig.kind.word())
            .trim()
            .to_string(),
        format!(
            "template {} mm thick, bit {} mm, collar or bearing {} mm outside, offset {} mm",
            decimal(jig.thick),
            decimal(jig.tool.bit),
            decimal(jig.tool.follower),
            decimal(jig.tool.offset())
        ),
        format!("{side}, units mm, scale 1:1; offset is in the lines: cut ON the line{corners}"),
        format!("revision {} {}", titles.revision, titles.date),
    ];
    words::beside(&shop, lines, jig.blank.extents(), &mut shapes);
    Contents { shapes }
}
