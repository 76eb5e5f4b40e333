//! Contents to bytes: R2000 (AC1015), the lowest version with LWPOLYLINE and units in the header. What the crate leaves
//! out is put right in [`super::mend`].

use std::collections::BTreeSet;

use dxf::entities::{Circle, Entity, EntityType, LwPolyline, Text};
use dxf::enums::{AcadVersion, DrawingUnits, Units};
use dxf::tables::Layer;
use dxf::{Color, Drawing, LwPolylineVertex, Point};

use super::{Contents, Form, Shape, TEXT_LAYER, mend};
use crate::shape::Outline;

/// Height of the text in millimetres: small beside any part, large enough to read.
const TEXT_HEIGHT: f64 = 5.0;
/// Distance of the text below the datum corner.
const TEXT_BELOW: f64 = 12.0;

/// The bytes of one DXF file.
pub fn write(contents: &Contents) -> Result<Vec<u8>, String> {
    let mut drawing = Drawing::new();
    drawing.header.version = AcadVersion::R2000;
    drawing.header.default_drawing_units = Units::Millimeters;
    drawing.header.drawing_units = DrawingUnits::Metric;
    layers(&mut drawing, contents);
    for shape in &contents.shapes {
        add(&mut drawing, &shape.layer, geometry(shape)?);
    }
    for (row, line) in contents.lines.iter().enumerate() {
        let location = Point::new(0.0, -TEXT_BELOW - 1.6 * TEXT_HEIGHT * row as f64, 0.0);
        let text = Text { location, text_height: TEXT_HEIGHT, value: plain(line), ..Text::default() };
        add(&mut drawing, TEXT_LAYER, EntityType::Text(text));
    }
    extents(&mut drawing, contents);
    let mut bytes = Vec::new();
    drawing.save(&mut bytes).map_err(|fault| fault.to_string())?;
    mend::mend(&bytes)
}

fn layers(drawing: &mut Drawing, contents: &Contents) {
    let mut names: BTreeSet<&str> = contents.shapes.iter().map(|s| s.layer.as_str()).collect();
    names.insert(TEXT_LAYER);
    for name in names {
        // Colours only help the eye; every layer is told apart by its name.
        let colour = match name.split('_').next() {
            Some("OUTSIDE") => 7,
            Some("INSIDE") => 1,
            Some("POCKET") => 5,
            Some("DRILL") => 3,
            Some("COUNTERSINK") => 4,
            _ => 8,
        };
        drawing.add_layer(Layer {
            name: layer_name(name),
            color: Color::from_index(colour),
            line_type_name: "CONTINUOUS".into(),
            ..Layer::default()
        });
    }
}

fn geometry(shape: &Shape) -> Result<EntityType, String> {
    match &shape.form {
        Form::Closed(outline) => polyline(outline),
        Form::Circle { at, diameter } => {
            let (x, y) = at.to_mm();
            Ok(EntityType::Circle(Circle::new(Point::new(x, y, 0.0), diameter.to_mm() / 2.0)))
        }
    }
}

fn polyline(outline: &Outline) -> Result<EntityType, String> {
    let vertices = outline.vertices().iter().map(|vertex| {
        let (x, y) = vertex.at.to_mm();
        let bulge = vertex.bulge;
        if x.is_finite() && y.is_finite() && bulge.is_finite() {
            Ok(LwPolylineVertex { x, y, bulge, ..LwPolylineVertex::default() })
        } else {
            Err(format!("a corner at {x}, {y} with bulge {bulge} is no number"))
        }
    });
    let mut line = LwPolyline { vertices: vertices.collect::<Result<_, _>>()?, ..LwPolyline::default() };
    line.set_is_closed(true);
    Ok(EntityType::LwPolyline(line))
}

fn add(drawing: &mut Drawing, layer: &str, geometry: EntityType) {
    let mut entity = Entity::new(geometry);
    entity.common.layer = layer_name(layer);
    // By layer; the crate's default is an explicit width of 0.00 mm.
    entity.common.lineweight_enum_value = -1;
    drawing.add_entity(entity);
}

fn extents(drawing: &mut Drawing, contents: &Contents) {
    let (mut low, mut high) = ((0.0_f64, 0.0_f64), (0.0_f64, 0.0_f64));
    for shape in &contents.shapes {
        if let Form::Closed(outline) = &shape.form {
            let around = outline.extents();
            let ((x0, y0), (x1, y1)) = (around.low.to_mm(), around.high.to_mm());
            low = (low.0.min(x0), low.1.min(y0));
            high = (high.0.max(x1), high.1.max(y1));
        }
    }
    let (low, high) = (Point::new(low.0, low.1, 0.0), Point::new(high.0, high.1, 0.0));
    drawing.header.minimum_drawing_extents = low.clone();
    drawing.header.maximum_drawing_extents = high.clone();
    drawing.header.minimum_drawing_limits = low;
    drawing.header.maximum_drawing_limits = high;
}

/// The format allows few characters in names of layers.
fn layer_name(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() || "_.-".contains(c) { c } else { '_' }).collect()
}

/// R2000 knows ASCII; what the trade writes otherwise is spelt out.
fn plain(line: &str) -> String {
    let spelt = line.replace('×', "x").replace(['½'], "1/2").replace(['¼'], "1/4").replace(['¾'], "3/4");
    spelt.chars().filter(|c| !c.is_control()).collect()
}
