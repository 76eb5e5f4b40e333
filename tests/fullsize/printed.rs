//! Pages written for `tests/outside/printed.py`, which measures them with a program that is not ours.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use tickstick::drawing::paper::Paper;
use tickstick::drawing::{Sheet, SheetSet};
use tickstick::files::pdf;
use tickstick::fullsize::calibrate::{Measured, test_page};
use tickstick::fullsize::template::drawings;
use tickstick::fullsize::tile::{layout, pages, register};
use tickstick::fullsize::{Printer, Selection, Stock, page, rods, templates};
use tickstick::length::Length;
use tickstick::parts::{Made, PartId};
use tickstick::trade::{Face, Side, Units};
use tickstick::values::RodAsked;

use super::hand_made::*;

/// What the simulated printer of `printed.py` does to the bars: 99.4 % across, 100.3 % up, leaning by 0.2°.
fn skewed() -> Measured {
    let (a, b, lean) = (99.4_f64, 100.3_f64, 0.2_f64.to_radians());
    let c = (a * a + b * b - 2.0 * a * b * lean.sin()).sqrt();
    Measured { across: Length::from_mm(a), up: Length::from_mm(b), corners: Length::from_mm(c) }
}

fn write(folder: &Path, name: &str, sheets: &[Sheet]) {
    let set = SheetSet { title: "Hall bench", author: "", subject: "", date: "2026-04-14", sheets };
    fs::write(folder.join(name), pdf::write(&set).unwrap()).unwrap();
}

/// One template as a PDF, with what it must show: the outline as points every 2 mm, and where each page lies in the drawing.
fn template(made: &Made, part: usize, face: Face, printer: &Printer, folder: &Path, name: &str) -> Value {
    let drawing = drawings(made, PartId(part), face, false, printer).remove(0);
    let layout = layout(&drawing.area, &drawing.groups, printer).unwrap();
    let sheets = pages(&drawing, printer).unwrap();
    write(folder, name, &sheets);
    let (width, mirrored) = (made.parts[part].width, face == Face::Back);
    let outline = match mirrored {
        true => made.parts[part].outline.mapped(|p| tickstick::shape::Point::new(width - p.x, p.y), true),
        false => made.parts[part].outline.clone(),
    };
    let first = sheets.len() - layout.tiles.len();
    let tiles: Vec<Value> = (layout.tiles.iter().enumerate())
        .map(|(index, tile)| {
            let window = page::window(printer, layout.size).unwrap();
            let by = (window.low.0 - tile.window.low.0, window.low.1 - tile.window.low.1);
            let crosses = register(&layout, tile);
            json!({
                "page": first + index,
                "window": [window.low.0, window.low.1, window.low.0 + tile.window.width(), window.low.1 + tile.window.height()],
                "crosses": crosses.iter().map(|at| json!({
                    "name": format!("{:.2} {:.2}", at.0, at.1), "at": [at.0 + by.0, at.1 + by.1],
                })).collect::<Vec<_>>(),
                "by": [by.0, by.1],
            })
        })
        .collect();
    json!({
        "pdf": name,
        "pages": sheets.len(),
        "size": [layout.size.0, layout.size.1],
        "bars_at": [printer.margin.to_mm() + 4.0, printer.margin.to_mm() + 4.0],
        "outline": outline.flattened(0.005).iter().map(|p| json!([p.0, p.1])).collect::<Vec<_>>(),
        "corners": outline.vertices().iter().map(|v| { let p = v.at.to_mm(); json!([p.0, p.1]) }).collect::<Vec<_>>(),
        "tiles": tiles,
    })
}

#[test]
fn pages_for_the_outside_look_are_written() {
    let mut made = bench(Units::Millimetre);
    made.job.full_size.rods =
        vec![RodAsked { of: Some("bench".into()), from: Side::Left, place: Default::default() }];
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fullsize");
    let _ = fs::remove_dir_all(&out);
    fs::create_dir_all(&out).unwrap();
    let a4 = Printer::on(Stock::Sheets(Paper::A4));
    let letter = Printer::on(Stock::Sheets(Paper::Letter));
    let skewed = Printer { correction: skewed().correction().unwrap(), ..a4.clone() };
    let all = json!({
        "true": [
            template(&made, END, Face::Show, &a4, &out, "end-face-a4.pdf"),
            template(&made, END, Face::Back, &letter, &out, "end-back-letter.pdf"),
            template(&made, RAIL, Face::Show, &a4, &out, "rail-a4.pdf"),
        ],
        "skewed": [template(&made, DIVIDER, Face::Show, &skewed, &out, "divider-skewed-a4.pdf")],
    });
    fs::write(out.join("pages.json"), serde_json::to_string_pretty(&all).unwrap()).unwrap();

    // The rest is for the eye.
    let roll = Printer::on(Stock::Roll(mm(610)));
    let a3 = Printer::on(Stock::Sheets(Paper::A3));
    write(&out, "roll.pdf", &templates(&made, &Selection::of(&made), &roll).unwrap());
    write(&out, "rods-a4.pdf", &rods(&made, &a4).unwrap());
    write(&out, "rods-roll.pdf", &rods(&made, &roll).unwrap());
    write(&out, "a3.pdf", &templates(&made, &Selection::of(&made), &a3).unwrap());
    let worked = Selection::named(&made, &["B1", "B3", "B4"], true).unwrap();
    write(&out, "worked-letter.pdf", &templates(&bench(Units::Inch), &worked, &letter).unwrap());
    write(&out, "test-page.pdf", &[test_page(&made.job, &a4).unwrap()]);
    assert!(fs::metadata(out.join("pages.json")).unwrap().len() > 1000);
}
