//! A sheet with its parts as they lie in the plan: turned and moved, never mirrored.

use super::layers::decimal;
use super::words::{beside, unit_word, worked_from_back, write};
use super::{Contents, Form, Motion, Operation, Piece, Shape, say};
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::parts::Made;
use crate::plans::Plans;
use crate::plans::nests::{Along, Nest, NestSheet, NestedPart};
use crate::shape::{Outline, Point};
use crate::trade::Grain;
use crate::values::{CutText, CuttingShop, Origin};

/// Height of a part's mark on the sheet.
const MARK: Length = Length::from_units(80_000 * 10);

/// One sheet for a machine; `pieces` in the order of the parts.
pub fn sheet(
    made: &Made,
    shop: &CuttingShop,
    pieces: &[Option<Piece>],
    nest: &Nest,
    sheet: &NestSheet,
) -> Contents {
    let lies = motion(shop, sheet);
    let mut shapes = Vec::new();
    let Some(edge) = Outline::rectangle(Point::default(), Point::new(sheet.width, sheet.length)) else {
        return Contents::default();
    };
    let edge = lies.outline(&edge);
    let around = edge.extents();
    shapes.push(Shape::new(shop, Operation::Sheet, Form::Closed(edge)));
    for nested in &sheet.parts {
        let Some(piece) = pieces.get(nested.part.0).and_then(Option::as_ref) else { continue };
        let motion = part_motion(nested).then(lies);
        shapes.extend(piece.shapes.iter().map(|shape| shape.moved(motion)));
        let outline = piece.through().next().map(|outline| motion.outline(outline).extents());
        if let (Some(outline), Some(part)) = (outline, made.parts.get(nested.part.0)) {
            let at = Point::new(outline.low.x + MARK, outline.low.y + MARK);
            if shop.text != CutText::None {
                write(shop, Operation::Text, at, MARK, &part.mark, &mut shapes);
            }
        }
    }
    beside(shop, lines(made, shop, nest, sheet), around, &mut shapes);
    Contents { shapes }
}

/// How a part lies on its sheet.
pub fn part_motion(nested: &NestedPart) -> Motion {
    Motion { quarters: nested.quarter_turns, by: Point::new(nested.datum.0, nested.datum.1) }
}

/// How the sheet lies in its file: its corner, or its middle, at 0, 0, and its grain as the shop wants it.
pub fn motion(shop: &CuttingShop, sheet: &NestSheet) -> Motion {
    let turns = matches!(
        (shop.grain, sheet.rips),
        (Some(Grain::AlongU), Along::Length) | (Some(Grain::AlongV), Along::Width)
    );
    // A quarter to the left puts the upper side at the left; the corner goes back to 0, 0.
    let (width, length) = if turns { (sheet.length, sheet.width) } else { (sheet.width, sheet.length) };
    let corner = if turns { Point::new(sheet.length, Length::ZERO) } else { Point::default() };
    let middle = match shop.origin {
        Origin::Centre => Point::new(-width.half(), -length.half()),
        Origin::Datum | Origin::LowerLeft => Point::default(),
    };
    let by = Point::new(corner.x + middle.x, corner.y + middle.y);
    Motion { quarters: u8::from(turns), by }
}

fn lines(made: &Made, shop: &CuttingShop, nest: &Nest, sheet: &NestSheet) -> Vec<String> {
    let titles = &made.job.titles;
    let stock = made.job.stock.get(nest.stock);
    let size = |length: Length| decimal(length, shop.units).0;
    let unit = unit_word(shop.units);
    let along_x = (sheet.rips == Along::Width) != (motion(shop, sheet).quarters % 2 == 1);
    let mut lines = vec![
        format!("{} sheet {}, {} parts", titles.number, sheet.number, sheet.parts.len()).trim().to_string(),
        format!(
            "{} {} {unit} actual, {} x {} {unit}{}",
            stock.map_or("", |s| s.called.as_deref().unwrap_or(&s.name)),
            size(stock.map_or(Length::ZERO, |s| s.thick)),
            size(sheet.width),
            size(sheet.length),
            if sheet.from_rack { ", from the rack" } else { "" }
        ),
        format!(
            "show faces up, no part mirrored, grain along {}, units {unit}, scale 1:1",
            if along_x { "X" } else { "Y" }
        ),
    ];
    if !titles.revision.is_empty() {
        lines.push(format!("revision {} {}", titles.revision, titles.date));
    }
    let back = sheet.parts.iter().filter_map(|nested| made.parts.get(nested.part.0)).any(worked_from_back);
    if back {
        lines.push(
            "layers of the back face are worked from there, part by part; drawn as seen from the show face"
                .into(),
        );
    }
    lines
}

/// Sheets whose parts lie closer than the bit is wide.
pub(super) fn check(made: &Made, plans: &Plans, shop: &CuttingShop, faults: &mut Faults) {
    let Some(bit) = shop.bit.filter(|_| shop.nested) else { return };
    for nest in plans.nests.iter().filter(|nest| shop.cuts(nest.stock)) {
        let crowded = nest.sheets.iter().any(|sheet| sheet.parts.len() > 1);
        let Some(stock) = made.job.stock.get(nest.stock).filter(|_| crowded && nest.kerf < bit) else {
            continue;
        };
        let message = format!(
            "the parts on the sheets of {} lie {} apart, which is the kerf; the bit of {} is {} wide and would cut into them",
            stock.name,
            say(made, nest.kerf),
            shop.name,
            say(made, bit)
        );
        faults.push(
            Diagnostic::error("parts-closer-than-bit", shop.bit_place, message)
                .also(made.job.shop.place, "the shop's kerf")
                .propose(format!(
                    "write kerf: {} for the shop, or parts: single for {}",
                    say(made, bit),
                    shop.name
                )),
        );
    }
}
