//! Whole sheets: nothing overlaps, nothing leaves the frame, and what is on them is what was planned.

use std::path::PathBuf;

use tickstick::drawing::bounds::{crossings, outside, overlaps, text_boxes};
use tickstick::drawing::{Mark, Sheet, SheetSet};
use tickstick::files::{pdf, svg};
use tickstick::plans::{self, Plans};
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::sheet_set;
use tickstick::trade::Units;

use super::bench::bench;

/// Every fault of a sheet's texts, in words.
pub fn faults(sheet: &Sheet, frame: &Frame) -> Vec<String> {
    let boxes = text_boxes(sheet);
    let mut all = Vec::new();
    for overlap in overlaps(sheet) {
        let (a, b) = (&boxes[overlap.one].text, &boxes[overlap.other].text);
        all.push(format!("{}: {a:?} lies over {b:?} by {:.2} mm", sheet.name, overlap.depth));
    }
    for crossing in crossings(sheet) {
        let text = &boxes[crossing.text].text;
        all.push(format!(
            "{}: a line of {} runs through {text:?}",
            sheet.name, sheet.groups[crossing.group].id
        ));
    }
    let (width, height) = frame.size();
    for text in outside(sheet, (0.0, 0.0), (width, height)) {
        all.push(format!("{}: {:?} leaves the paper", sheet.name, boxes[text].text));
    }
    let inside = frame.inside();
    for (i, text) in boxes.iter().enumerate() {
        let group = sheet.groups[text.group].id.as_str();
        if group != "frame" && outside(sheet, inside.low, inside.high).contains(&i) {
            all.push(format!("{}: {:?} leaves the frame", sheet.name, text.text));
        }
    }
    all
}

/// Written for the eye: target/tmp of the test run.
pub fn write(name: &str, sheets: &[Sheet]) {
    let set = SheetSet { title: name, author: "", subject: "", date: "2026-03-02", sheets };
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).expect("writable");
    std::fs::write(folder.join("set.pdf"), pdf::write(&set).expect("finite")).expect("writable");
    for (i, sheet) in sheets.iter().enumerate() {
        let bytes = svg::write(&set, i).expect("finite");
        std::fs::write(folder.join(format!("{}.svg", sheet.name)), bytes).expect("writable");
    }
}

#[test]
fn nothing_overlaps_on_the_sheets_of_a_bench() {
    let mut all = Vec::new();
    for (units, papers) in
        [(Units::Inch, [Paper::Tabloid, Paper::Letter]), (Units::Millimetre, [Paper::A1, Paper::A4])]
    {
        for paper in papers {
            let mut made = bench(units);
            made.job.sheets.paper = paper.name().into();
            let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
            let practice = if units == Units::Inch { Practice::Asme } else { Practice::Iso };
            let frame = Frame::new(paper, practice);
            write(&format!("bench-{}", paper.name()), &sheets);
            all.extend(
                sheets.iter().flat_map(|s| faults(s, &frame)).map(|f| format!("{}: {f}", paper.name())),
            );
        }
    }
    assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
}

#[test]
fn every_planned_dimension_is_printed() {
    let sheets = sheet_set(&bench(Units::Inch), &Plans::default(), &[]);
    for sheet in &sheets {
        let texts: Vec<&str> = sheet
            .groups
            .iter()
            .flat_map(|g| &g.marks)
            .filter_map(|m| if let Mark::Text(text) = m { Some(text.text.as_str()) } else { None })
            .collect();
        let page = texts.join("\n");
        for dimension in &sheet.dimensions {
            assert!(
                page.contains(&dimension.printed),
                "{}: {} {}",
                sheet.name,
                dimension.what,
                dimension.printed
            );
        }
    }
}
