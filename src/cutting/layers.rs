//! Names of layers: the shop's patterns filled in, kept to the signs that every reader takes, and no two operations on one.

use std::collections::BTreeMap;

use super::{Figures, Operation, Piece, called};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::{Length, Units};
use crate::parts::{Made, Part};
use crate::trade::Face;
use crate::values::{CuttingShop, placeholders};

/// Depths and diameters this close are one operation: a hundredth of a millimetre is finer than a machine is set.
const SAME: Length = Length::from_units(800);

/// A pattern with what its names in braces stand for.
pub fn filled(pattern: &str, stands_for: impl Fn(&str) -> Option<String>) -> String {
    let mut text = pattern.to_owned();
    for name in placeholders(pattern) {
        if let Some(value) = stands_for(name) {
            text = text.replace(&format!("{{{name}}}"), &value);
        }
    }
    text
}

/// The layer of an operation. R2000 keeps letters, digits, `_`, `.` and `-`; R12 knows capitals only and no point, so that
/// 6.35MM becomes 6P35MM there.
pub fn name(shop: &CuttingShop, operation: Operation) -> String {
    let Figures { face, depth, diameter, height } = operation.figures();
    let size = |length: Length| measure(length, shop.units).to_uppercase();
    let text = filled(&shop.layer(operation.kind()).text, |name| match name {
        "face" => face.map(|face| side(face).to_owned()),
        "depth" => depth.map(size),
        "diameter" => diameter.map(size),
        "height" => height.map(size),
        _ => None,
    });
    let sign = |sign: char| match sign {
        '.' if shop.r12 => 'P',
        '_' | '-' | '.' => sign,
        _ if sign.is_ascii_alphanumeric() && shop.r12 => sign.to_ascii_uppercase(),
        _ if sign.is_ascii_alphanumeric() => sign,
        _ => '_',
    };
    text.trim().chars().map(sign).collect()
}

pub fn side(face: Face) -> &'static str {
    match face {
        Face::Show => "SHOW",
        Face::Back => "BACK",
    }
}

/// `18.009mm`, `0.709in`: as many decimals as it takes, at most three of a millimetre and four of an inch.
pub fn measure(length: Length, units: Units) -> String {
    let (value, unit) = decimal(length, units);
    format!("{value}{unit}")
}

/// The number and the unit of a length.
pub fn decimal(length: Length, units: Units) -> (String, &'static str) {
    let (text, unit) = match units {
        Units::Millimetre => (format!("{:.3}", length.to_mm()), "mm"),
        Units::Inch => (format!("{:.4}", length.to_mm() / 25.4), "in"),
    };
    (text.trim_end_matches('0').trim_end_matches('.').to_string(), unit)
}

/// The layers that the parts of one shop came to so far.
pub(super) struct Known<'a> {
    made: &'a Made,
    shop: &'a CuttingShop,
    layers: BTreeMap<String, First>,
}

/// What came to a layer first.
struct First {
    operation: Operation,
    /// The part it is of; empty for what lies beside the parts.
    of: String,
}

impl<'a> Known<'a> {
    /// Begins with what lies beside the parts in every file: letters, words, the square, the edge of a sheet.
    pub(super) fn new(made: &'a Made, shop: &'a CuttingShop, faults: &mut Faults) -> Known<'a> {
        let mut known = Known { made, shop, layers: BTreeMap::new() };
        for operation in [Operation::Label, Operation::Text, Operation::Reference, Operation::Sheet] {
            known.enter(&name(shop, operation), operation, None, faults);
        }
        known
    }

    /// Adds a part's layers; a fault where one of them stands for something else already, or has too long a name.
    pub(super) fn add(&mut self, part: &Part, piece: &Piece, faults: &mut Faults) {
        for shape in &piece.shapes {
            self.enter(&shape.layer, shape.operation, Some(part), faults);
        }
    }

    fn enter(&mut self, layer: &str, operation: Operation, part: Option<&Part>, faults: &mut Faults) {
        let shop = self.shop;
        let longest = shop.longest_layer();
        if layer.len() > longest {
            let message = format!(
                "{}: the layer {layer} has {} characters; there may be {longest}",
                shop.name,
                layer.len()
            );
            faults.push(
                Diagnostic::error("cutting-layers", self.typed(&[operation]), message)
                    .propose(format!("give `{}` a shorter name under `layers`", operation.kind().word())),
            );
        }
        let of = part.map_or(String::new(), |part| called(self.made, part));
        let key = layer.to_ascii_uppercase();
        let Some(first) = self.layers.get(&key) else {
            self.layers.insert(key, First { operation, of });
            return;
        };
        if same(first.operation, operation) {
            return;
        }
        let said = |operation: Operation, of: &str| {
            let of = if of.is_empty() { String::new() } else { format!(" of {of}") };
            format!("{}{of}", words(operation, shop.units))
        };
        let message = format!(
            "{}: two operations come to the layer {layer}: {}, and {}",
            shop.name,
            said(first.operation, &first.of),
            said(operation, &of)
        );
        let cure = if first.operation.kind() == operation.kind() {
            "let the names tell them apart, with `{depth}`, `{diameter}` or `{face}`"
        } else {
            "give each of them a layer of its own under `layers`"
        };
        let fault = Diagnostic::error("cutting-layers", self.typed(&[operation, first.operation]), message)
            .propose(cure);
        faults.push(match part {
            Some(part) => fault.also(part.place, of),
            None => fault,
        });
    }

    /// Where the first of these layers that the spec names is named, else where the shop is.
    fn typed(&self, operations: &[Operation]) -> Place {
        let places = operations.iter().map(|operation| self.shop.layer(operation.kind()).place);
        places.into_iter().find(|place| *place != Place::default()).unwrap_or(self.shop.place)
    }
}

fn same(one: Operation, other: Operation) -> bool {
    let near = |a: Length, b: Length| (a - b).abs() <= SAME;
    match (one, other) {
        (Operation::Pocket { from: a, depth: c }, Operation::Pocket { from: b, depth: d }) => {
            a == b && near(c, d)
        }
        (Operation::DrillThrough { diameter: a }, Operation::DrillThrough { diameter: b })
        | (Operation::Slot { diameter: a }, Operation::Slot { diameter: b }) => near(a, b),
        (
            Operation::Drill { from: a, diameter: c, depth: e },
            Operation::Drill { from: b, diameter: d, depth: f },
        ) => a == b && near(c, d) && near(e, f),
        (
            Operation::Countersink { from: a, diameter: c },
            Operation::Countersink { from: b, diameter: d },
        ) => a == b && near(c, d),
        _ => one == other || !one.kind().is_cut() && !other.kind().is_cut(),
    }
}

/// An operation as a report names it.
pub fn words(operation: Operation, units: Units) -> String {
    let size = |length: Length| {
        let (value, unit) = decimal(length, units);
        format!("{value} {unit}")
    };
    let face = |face: Face| if face == Face::Show { "show face" } else { "back face" };
    match operation {
        Operation::Outside => "outline, right through".into(),
        Operation::Inside => "slot or cut-out, right through".into(),
        Operation::Pocket { from, depth } => format!("pocket {} deep, {}", size(depth), face(from)),
        Operation::DrillThrough { diameter } => format!("hole {}, right through", size(diameter)),
        Operation::Slot { diameter } => format!("slot {} wide, right through", size(diameter)),
        Operation::Drill { from, diameter, depth } => {
            format!("hole {}, {} deep, {}", size(diameter), size(depth), face(from))
        }
        Operation::Countersink { from, diameter } => {
            format!("countersink to {}, {}", size(diameter), face(from))
        }
        Operation::Label => "letters, engraved".into(),
        Operation::Text => "words, not cut".into(),
        Operation::Reference => "square of known size, not cut".into(),
        Operation::Sheet => "edge of the sheet, not cut".into(),
        Operation::Tab { height } => format!("tabs: here the outline is left {} high", size(height)),
    }
}
