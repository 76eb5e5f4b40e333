//! A set of sheets as one PDF 1.7 file. Twin of `svg`: the same functions in the same order.
//!
//! printpdf writes pages, fonts and layers; a second pass over its objects adds what it cannot say: bookmarks, links,
//! page labels, advance widths, and the request not to scale when printing (ISO 32000-1:2008 table 150). Fonts are
//! subset to the characters of the set. Nothing comes from a clock or a random source: the same set gives the same bytes.

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};
use printpdf::{
    Color, Greyscale, Layer as PdfLayer, LayerIntent, LayerInternalId, LayerSubtype, Line, LineCapStyle,
    LineDashPattern, LineJoinStyle, LinePoint, Op, PaintMode, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfSaveOptions, Point, Polygon, PolygonRing, Pt, Rect, TextMatrix, WindingOrder,
};

use super::pdf_fonts::{Faces, Subset};
use super::{check, content_hash, pdf_contents, pdf_fonts};
use crate::drawing::lettering::{dashes, em, has_round_ends, line_group, line_width, printable, width_of};
use crate::drawing::{Anchor, At, Group, Ink, Layer, LineType, Mark, Sheet, SheetSet, Step, Text};
use crate::shape::Arc;

/// Larger pages are beyond what readers take: 14 400 points (ISO 32000-1 annex C.2).
const LARGEST: f64 = 5080.0;

/// The set as a PDF, a page for each sheet in order.
///
/// # Errors
/// In words, where there is no sheet, a page is too large, or a measure is not finite.
pub fn write(set: &SheetSet) -> Result<Vec<u8>, String> {
    if set.sheets.is_empty() {
        return Err("the set has no sheets".to_owned());
    }
    for sheet in set.sheets {
        check(sheet)?;
        if sheet.width > LARGEST || sheet.height > LARGEST {
            return Err(format!("sheet {}: a page cannot be larger than {LARGEST} mm", sheet.name));
        }
    }
    let faces = Faces::of(set)?;
    let mut document = PdfDocument::new(set.title);
    for subset in &faces.all {
        document.resources.fonts.map.insert(subset.id.clone(), PdfFont::new(subset.font.clone()));
    }
    for layer in Layer::ALL {
        let description = PdfLayer {
            name: layer.name().to_owned(),
            creator: String::new(),
            intent: LayerIntent::View,
            usage: LayerSubtype::Artwork,
        };
        document.resources.layers.map.insert(layer_id(layer), description);
    }
    document.pages = set.sheets.iter().map(|sheet| page(sheet, &faces)).collect();
    let options =
        PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    let mut warnings = Vec::new();
    let raw = printpdf::to_lopdf_doc(&document, &options, &mut warnings);
    if let Some(warning) = warnings.first() {
        return Err(format!("PDF: {}", warning.msg));
    }
    finish(raw, set, &faces).map_err(|fault| format!("PDF: {fault}"))
}

/// Points, as near as the format's numbers allow.
fn points(mm: f64) -> Pt {
    Pt((mm * 72.0 / 25.4) as f32)
}

struct Writer<'a> {
    faces: &'a Faces,
    /// Line group of the sheet.
    group: f64,
    ops: Vec<Op>,
    /// The line type that the ops so far have set.
    line: Option<LineType>,
}

fn page(sheet: &Sheet, faces: &Faces) -> PdfPage {
    let mut writer =
        Writer { faces, group: line_group(sheet.width, sheet.height), ops: Vec::new(), line: None };
    sheet.groups.iter().for_each(|g| writer.write_group(g));
    let whole = Rect::from_wh(points(sheet.width), points(sheet.height));
    PdfPage { media_box: whole.clone(), trim_box: whole.clone(), crop_box: whole, ops: writer.ops }
}

impl Writer<'_> {
    fn write_group(&mut self, group: &Group) {
        self.ops.push(Op::BeginLayer { layer_id: layer_id(group.layer) });
        for mark in &group.marks {
            match mark {
                Mark::Stroke { path, line } => {
                    self.pen(*line);
                    self.stroke(path);
                }
                Mark::Fill { path, ink } => self.fill(path, *ink),
                Mark::Text(text) => self.text(text),
                // Links are no ink: the second pass lays them over the page.
                Mark::Link { .. } => {}
            }
        }
        self.ops.push(Op::EndLayer);
    }

    /// How a type of line is drawn.
    fn pen(&mut self, line: LineType) {
        if self.line == Some(line) {
            return;
        }
        self.line = Some(line);
        let cap = if has_round_ends(line) { LineCapStyle::Round } else { LineCapStyle::Butt };
        let pattern: Vec<f32> = dashes(line, self.group).iter().map(|d| points(*d).0).collect();
        self.ops.extend([
            Op::SetOutlineColor { col: grey(0.0) },
            Op::SetOutlineThickness { pt: points(line_width(line, self.group)) },
            Op::SetLineCapStyle { cap },
            Op::SetLineJoinStyle { join: LineJoinStyle::Round },
            Op::SetLineDashPattern { dash: LineDashPattern::new(0.0, &pattern) },
        ]);
    }

    fn stroke(&mut self, path: &[Step]) {
        for (points, is_closed) in runs(path) {
            self.ops.push(Op::DrawLine { line: Line { points, is_closed } });
        }
    }

    fn fill(&mut self, path: &[Step], ink: Ink) {
        let rings = runs(path).into_iter().map(|(points, _)| PolygonRing { points }).collect();
        self.ops.push(Op::SetFillColor { col: colour(ink) });
        self.ops.push(Op::DrawPolygon {
            polygon: Polygon { rings, mode: PaintMode::Fill, winding_order: WindingOrder::EvenOdd },
        });
    }

    fn text(&mut self, text: &Text) {
        let (printed, width) = (printable(&text.text), width_of(&text.text, text.height, text.bold));
        let Some(subset) = self.faces.all.iter().find(|f| f.bold == text.bold) else { return };
        if printed.trim().is_empty() {
            return;
        }
        let turn = text.turn.to_radians();
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let start = (text.at.0 - back * cos, text.at.1 - back * sin);
        let matrix = [cos as f32, sin as f32, -sin as f32, cos as f32, points(start.0).0, points(start.1).0];
        self.ops.extend([
            Op::SetFillColor { col: grey(0.0) },
            Op::StartTextSection,
            Op::SetFont { font: PdfFontHandle::External(subset.id.clone()), size: points(em(text.height)) },
            Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) },
            Op::ShowText { items: pdf_fonts::line(&printed, text.bold) },
            Op::EndTextSection,
        ]);
    }
}

/// How far a cubic may be from its arc in millimetres: a thousandth of the thinnest line.
const OFF_ARC: f64 = 1e-4;
/// Grid of the points of cubics in millimetres, a hundredth of what a cubic may be off.
const GRID: f64 = 1e-6;

/// Runs of points from one move to the next, and whether each is closed. Arcs become cubics within [`OFF_ARC`].
fn runs(path: &[Step]) -> Vec<(Vec<LinePoint>, bool)> {
    let mut all: Vec<(Vec<LinePoint>, bool)> = Vec::new();
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    let point = |p: At, bezier: bool| LinePoint { p: Point { x: points(p.0), y: points(p.1) }, bezier };
    for step in path {
        if let Step::Move(to) = *step {
            (start, at) = (to, to);
            all.push((vec![point(to, false)], false));
            continue;
        }
        if all.last().is_none_or(|(_, closed)| *closed) {
            all.push((vec![point(at, false)], false));
        }
        let Some((run, closed)) = all.last_mut() else { continue };
        match *step {
            Step::Line(to) => {
                run.push(point(to, false));
                at = to;
            }
            Step::Arc(to, bulge) => {
                for (one, two, end) in Arc::between(at, to, bulge).map(cubics).unwrap_or_default() {
                    run.extend([point(one, true), point(two, true), point(end, false)]);
                }
                // The end as given, not as worked out.
                if Arc::between(at, to, bulge).is_some() {
                    run.pop();
                }
                run.push(point(to, false));
                at = to;
            }
            Step::Close => {
                *closed = true;
                at = start;
            }
            Step::Move(_) => {}
        }
    }
    all.retain(|(run, _)| run.len() > 1);
    all
}

/// An arc as cubics. kurbo takes the sine of the machine it runs on, whose last bits may differ: what is finer than the grid
/// is rounded away, so that the file is the same everywhere.
fn cubics(arc: Arc) -> Vec<(At, At, At)> {
    let curve = kurbo::Arc::new(arc.centre, (arc.radius, arc.radius), arc.start, arc.sweep, 0.0);
    let on_grid = |p: kurbo::Point| (libm::rint(p.x / GRID) * GRID, libm::rint(p.y / GRID) * GRID);
    let cubic = |step: kurbo::PathEl| match step {
        kurbo::PathEl::CurveTo(one, two, end) => Some((on_grid(one), on_grid(two), on_grid(end))),
        _ => None,
    };
    curve.append_iter(OFF_ARC).filter_map(cubic).collect()
}

fn grey(level: f32) -> Color {
    Color::Greyscale(Greyscale::new(level, None))
}

fn colour(ink: Ink) -> Color {
    match ink {
        Ink::Black => grey(0.0),
        Ink::White => grey(1.0),
        Ink::Grey(dark) => grey(1.0 - dark.clamp(0.0, 1.0) as f32),
    }
}

fn layer_id(layer: Layer) -> LayerInternalId {
    let number = Layer::ALL.iter().position(|l| *l == layer).unwrap_or(0);
    LayerInternalId(format!("L{number}-{}", layer.id()))
}

/// The second pass.
fn finish(mut document: Document, set: &SheetSet, faces: &Faces) -> Result<Vec<u8>, lopdf::Error> {
    document.version = "1.7".to_owned();
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    set_widths(&mut document, faces);
    set_layers(&mut document);
    set_links(&mut document, set, &pages)?;
    let outlines = pdf_contents::write(&mut document, set, &pages, points);
    let labels = set.sheets.iter().enumerate().flat_map(|(index, _)| {
        [Object::Integer(index as i64), dictionary! { "P" => text_string(&(index + 1).to_string()) }.into()]
    });
    let labels: Vec<Object> = labels.collect();
    let catalogue = document.catalog_mut()?;
    catalogue.set("Outlines", outlines);
    catalogue.set("PageMode", Object::Name(b"UseOutlines".to_vec()));
    catalogue.set("PageLayout", Object::Name(b"SinglePage".to_vec()));
    catalogue.set("PageLabels", dictionary! { "Nums" => labels });
    catalogue.set("Lang", Object::string_literal("en"));
    catalogue.set(
        "ViewerPreferences",
        dictionary! { "PrintScaling" => "None", "DisplayDocTitle" => true, "PickTrayByPDFSize" => true },
    );
    let information = information(set);
    let id = document.add_object(information);
    document.trailer.set("Info", id);
    document.trailer.remove(b"ID");
    document.prune_objects();
    document.compress();
    document.renumber_objects();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    // The identifier tells files of different contents apart, and is the same for the same contents.
    let hash = content_hash(&bytes).to_be_bytes().to_vec();
    let id = Object::String(hash, lopdf::StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    bytes.clear();
    document.save_to(&mut bytes)?;
    Ok(bytes)
}

/// Title, author, subject and, where the date is one, dates; nothing else, so that no reader takes the file for one of
/// the exchange formats of print shops.
fn information(set: &SheetSet) -> Dictionary {
    let mut all = dictionary! {
        "Title" => text_string(set.title),
        "Author" => text_string(set.author),
        "Subject" => text_string(set.subject),
        "Creator" => text_string("tickstick"),
        "Producer" => text_string(concat!("tickstick ", env!("CARGO_PKG_VERSION"))),
    };
    if let Some(date) = stamp(set.date) {
        all.set("CreationDate", Object::string_literal(date.as_str()));
        all.set("ModDate", Object::string_literal(date));
    }
    all
}

/// A calendar date `2026-03-02` as the format writes it; `None` for any other text.
fn stamp(date: &str) -> Option<String> {
    let fields: Vec<&str> = date.trim().split('-').collect();
    let [year, month, day] = fields[..] else { return None };
    let number = |text: &str, digits: usize| {
        (text.len() == digits && text.bytes().all(|b| b.is_ascii_digit()))
            .then(|| text.parse::<u32>().ok())?
    };
    let (y, m, d) = (number(year, 4)?, number(month, 2)?, number(day, 2)?);
    let leap = y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
    let longest = match m {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 31,
    };
    ((1..=12).contains(&m) && (1..=longest).contains(&d)).then(|| format!("D:{year}{month}{day}000000Z"))
}

fn set_widths(document: &mut Document, faces: &Faces) {
    // The library writes the descendant font inside the font that refers to it.
    for object in document.objects.values_mut() {
        let descendants = object.as_dict_mut().and_then(|d| d.get_mut(b"DescendantFonts"));
        let Ok(Object::Array(descendants)) = descendants else { continue };
        for font in descendants.iter_mut().filter_map(|d| d.as_dict_mut().ok()) {
            let named = |f: &&Subset| {
                font.get(b"BaseFont").and_then(Object::as_name).is_ok_and(|n| n == f.id.0.as_bytes())
            };
            if let Some(widths) = faces.all.iter().find(named).map(Subset::widths) {
                font.set("W", widths);
            }
        }
    }
}

/// The library notes a program and a use with every layer that are not ours.
fn set_layers(document: &mut Document) {
    for object in document.objects.values_mut() {
        let Ok(layer) = object.as_dict_mut() else { continue };
        let group = layer.get(b"Type").and_then(Object::as_name).is_ok_and(|n| n == b"OCG");
        if group && layer.has(b"Name") {
            layer.remove(b"Usage");
            layer.set("Intent", Object::Name(b"View".to_vec()));
        }
    }
}

fn set_links(document: &mut Document, set: &SheetSet, pages: &[ObjectId]) -> Result<(), lopdf::Error> {
    for (sheet, page) in set.sheets.iter().zip(pages) {
        let mut all = Vec::new();
        for mark in sheet.groups.iter().flat_map(|g| &g.marks) {
            let Mark::Link { low, high, sheet: target } = mark else { continue };
            let Some(target) = pages.get(*target) else { continue };
            let area = [low.0, low.1, high.0, high.1].map(|v| Object::Real(points(v).0)).to_vec();
            let link = dictionary! {
                "Type" => "Annot",
                "Subtype" => "Link",
                "Rect" => area,
                "Border" => vec![Object::Integer(0), Object::Integer(0), Object::Integer(0)],
                "F" => 4_i64,
                "Dest" => vec![Object::Reference(*target), Object::Name(b"Fit".to_vec())],
            };
            all.push(Object::Reference(document.add_object(link)));
        }
        let page = document.get_object_mut(*page)?.as_dict_mut()?;
        if all.is_empty() {
            page.remove(b"Annots");
        } else {
            page.set("Annots", all);
        }
    }
    Ok(())
}
