//! Contents to bytes: R2000 (AC1015), the lowest version with LWPOLYLINE and units in the header, or R12 (AC1009) for
//! machines that know nothing later. What the crate leaves out is put right in [`super::mend`].

use std::collections::BTreeMap;

use dxf::entities::{Circle, Entity, EntityType, Line, LwPolyline, Polyline, Text, Vertex};
use dxf::enums::{AcadVersion, DrawingUnits, Units};
use dxf::tables::Layer;
use dxf::{Color, Drawing, LwPolylineVertex, Point};

use super::mend;
use crate::cutting::{Contents, Form, Shape};
use crate::length::{self, Length};
use crate::shape::{self, Outline};
use crate::values::{CuttingShop, LayerKind};

/// The bytes of one DXF file, in the shop's version and unit.
///
/// # Errors
/// Only where a number is not finite or the writer fails.
pub fn write(contents: &Contents, shop: &CuttingShop) -> Result<Vec<u8>, String> {
    let paper = Paper { r12: shop.r12, inches: shop.units == length::Units::Inch };
    let mut drawing = Drawing::new();
    drawing.header.version = if paper.r12 { AcadVersion::R12 } else { AcadVersion::R2000 };
    drawing.header.default_drawing_units = if paper.inches { Units::Inches } else { Units::Millimeters };
    drawing.header.drawing_units = if paper.inches { DrawingUnits::English } else { DrawingUnits::Metric };
    layers(&mut drawing, contents);
    for shape in &contents.shapes {
        let mut entity = Entity::new(paper.geometry(&mut drawing, shape)?);
        entity.common.layer = shape.layer.clone();
        // By layer; the crate's default is an explicit width of 0.00 mm.
        entity.common.lineweight_enum_value = -1;
        drawing.add_entity(entity);
    }
    paper.extents(&mut drawing, contents);
    let mut bytes = Vec::new();
    drawing.save(&mut bytes).map_err(|fault| fault.to_string())?;
    if paper.r12 { mend::mend_r12(&bytes) } else { mend::mend(&bytes) }
}

fn layers(drawing: &mut Drawing, contents: &Contents) {
    let kinds: BTreeMap<&str, LayerKind> =
        contents.shapes.iter().map(|s| (s.layer.as_str(), s.operation.kind())).collect();
    for (name, kind) in kinds {
        // Colours only help the eye; every layer is told apart by its name.
        let colour = match kind {
            LayerKind::Outside => 7,
            LayerKind::Inside => 1,
            LayerKind::Pocket => 5,
            LayerKind::Drill | LayerKind::DrillThrough => 3,
            LayerKind::Countersink => 4,
            LayerKind::Slot => 2,
            LayerKind::Label | LayerKind::Tab => 6,
            LayerKind::Text | LayerKind::Reference | LayerKind::Sheet => 8,
        };
        drawing.add_layer(Layer {
            name: name.to_owned(),
            color: Color::from_index(colour),
            line_type_name: "CONTINUOUS".into(),
            ..Layer::default()
        });
    }
}

/// What the coordinates are written in.
#[derive(Clone, Copy)]
struct Paper {
    r12: bool,
    inches: bool,
}

impl Paper {
    /// Units to the drawing's own, one division, so that a whole number of the unit stays one.
    fn size(self, length: Length) -> f64 {
        let unit = if self.inches { Length::INCH } else { Length::MM };
        length.units() as f64 / unit.units() as f64
    }

    fn point(self, at: shape::Point) -> Point {
        Point::new(self.size(at.x), self.size(at.y), 0.0)
    }

    fn geometry(self, drawing: &mut Drawing, shape: &Shape) -> Result<EntityType, String> {
        Ok(match &shape.form {
            Form::Closed(outline) => self.polyline(drawing, outline)?,
            Form::Circle { at, diameter } => {
                EntityType::Circle(Circle::new(self.point(*at), self.size(*diameter) / 2.0))
            }
            Form::Line { from, to } => EntityType::Line(Line::new(self.point(*from), self.point(*to))),
            Form::Words { at, height, text } => EntityType::Text(Text {
                location: self.point(*at),
                text_height: self.size(*height),
                value: text.clone(),
                ..Text::default()
            }),
        })
    }

    fn polyline(self, drawing: &mut Drawing, outline: &Outline) -> Result<EntityType, String> {
        let vertices = outline.vertices();
        if let Some(vertex) = vertices.iter().find(|vertex| !vertex.bulge.is_finite()) {
            let (x, y) = vertex.at.to_mm();
            return Err(format!("a corner at {x}, {y} with bulge {} is no number", vertex.bulge));
        }
        if self.r12 {
            let mut line = Polyline::default();
            line.set_is_closed(true);
            for vertex in vertices {
                let mut corner = Vertex::new(self.point(vertex.at));
                corner.bulge = vertex.bulge;
                line.add_vertex(drawing, corner);
            }
            return Ok(EntityType::Polyline(line));
        }
        let vertices = vertices.iter().map(|vertex| {
            let Point { x, y, .. } = self.point(vertex.at);
            LwPolylineVertex { x, y, bulge: vertex.bulge, ..LwPolylineVertex::default() }
        });
        let mut line = LwPolyline { vertices: vertices.collect(), ..LwPolyline::default() };
        line.set_is_closed(true);
        Ok(EntityType::LwPolyline(line))
    }

    fn extents(self, drawing: &mut Drawing, contents: &Contents) {
        let corners = contents.shapes.iter().flat_map(|shape| match &shape.form {
            Form::Closed(outline) => {
                let around = outline.extents();
                [around.low, around.high]
            }
            Form::Circle { at, diameter } => {
                let radius = diameter.half();
                [
                    shape::Point::new(at.x - radius, at.y - radius),
                    shape::Point::new(at.x + radius, at.y + radius),
                ]
            }
            Form::Line { from, to } => [*from, *to],
            Form::Words { at, .. } => [*at, *at],
        });
        let corners: Vec<shape::Point> = corners.collect();
        let Some(first) = corners.first().copied() else { return };
        let (mut low, mut high) = (first, first);
        for corner in corners {
            low = shape::Point::new(low.x.min(corner.x), low.y.min(corner.y));
            high = shape::Point::new(high.x.max(corner.x), high.y.max(corner.y));
        }
        drawing.header.minimum_drawing_extents = self.point(low);
        drawing.header.maximum_drawing_extents = self.point(high);
        drawing.header.minimum_drawing_limits = self.point(low);
        drawing.header.maximum_drawing_limits = self.point(high);
    }
}
