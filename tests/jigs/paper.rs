//! Sheets and pages of templates: no word over another or over a line, and what other programs read back.

use std::fs;
use std::path::Path;

use tickstick::drawing::bounds::{crossings, outside, overlaps, text_boxes};
use tickstick::drawing::paper::Paper;
use tickstick::fullsize::jig::jigs;
use tickstick::fullsize::{Printer, Stock};
use tickstick::spec::{SourceError, Sources};
use tickstick::{Options, build};

use super::{RACK, job, mm};

#[test]
fn pages_have_every_word_clear() {
    let (made, all, _) = job(RACK);
    for printer in [
        Printer::on(Stock::Sheets(Paper::A4)),
        Printer::on(Stock::Sheets(Paper::A1)),
        Printer::on(Stock::Roll(mm(914))),
    ] {
        let sheets = jigs(&made, &all, &printer).unwrap();
        assert!(sheets.len() >= all.len());
        for sheet in &sheets {
            let boxes = text_boxes(sheet);
            if let Some(overlap) = overlaps(sheet).first() {
                panic!("{}: `{}` over `{}`", sheet.name, boxes[overlap.one].text, boxes[overlap.other].text);
            }
            if let Some(crossing) = crossings(sheet).first() {
                let group = &sheet.groups[crossing.group].id;
                panic!("{}: a line of {group} through `{}`", sheet.name, boxes[crossing.text].text);
            }
            let out = outside(sheet, (6.0, 6.0), (sheet.width - 6.0, sheet.height - 6.0));
            assert!(out.is_empty(), "{}: `{}` leaves the margins", sheet.name, boxes[out[0]].text);
        }
    }
}

#[test]
fn sheets_of_templates_are_clear_and_say_what_to_set() {
    let (made, all, _) = job(RACK);
    let sheets = tickstick::sheets::sheet_set(&made, &tickstick::plans::plan(&made).0, &[]);
    for jig in &all {
        // A long card goes on on a sheet of its own.
        let own: Vec<_> = sheets.iter().filter(|sheet| sheet.name.contains(&jig.id)).collect();
        assert!((1..=2).contains(&own.len()), "{}: {} sheets", jig.id, own.len());
        let mut text = Vec::new();
        for sheet in own {
            let boxes = text_boxes(sheet);
            assert!(overlaps(sheet).is_empty(), "{}", sheet.name);
            if let Some(crossing) = crossings(sheet).first() {
                let group = &sheet.groups[crossing.group].id;
                panic!("{}: a line of {group} through `{}`", sheet.name, boxes[crossing.text].text);
            }
            text.extend(boxes.into_iter().map(|one| one.text));
        }
        for word in ["FEED", "DEPTH", "FIRST", "CAUTION", "HOLD"] {
            assert!(text.iter().any(|said| said == word), "{}: no {word}", jig.id);
        }
    }
}

#[test]
fn paper_and_sheet_tell_the_same_points_and_places() {
    let (made, all, _) = job(RACK);
    let sheets = tickstick::sheets::sheet_set(&made, &tickstick::plans::plan(&made).0, &[]);
    let pages = jigs(&made, &all, &Printer::on(Stock::Roll(mm(914)))).unwrap();
    // The template of the hollow edge: 520 and the offset of (15 − 9) / 2 = 3.
    let edge = &all[1];
    for own in [
        sheets.iter().find(|sheet| sheet.name.contains(&edge.id)).unwrap(),
        pages.iter().find(|sheet| sheet.name.contains(&edge.id)).unwrap(),
    ] {
        let boxes = text_boxes(own);
        let arcs: Vec<&str> =
            boxes.iter().map(|text| text.text.as_str()).filter(|text| text.starts_with("R 5")).collect();
        let [arc] = arcs.as_slice() else { panic!("{}: {arcs:?}", own.name) };
        assert!(arc.starts_with("R 523") && arc.ends_with(", hollow"), "{}: {arc}", own.name);
    }
}

struct OneText(String);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "job.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
    }
}

/// `tests/outside/jigs.py` reads these.
#[test]
fn a_job_for_the_outside_look_is_written() {
    let built = build(&OneText(RACK.to_owned()), "job.yaml", &Options { files: true, ..Options::default() });
    assert!(
        built.diagnostics.iter().all(|d| d.severity != tickstick::diagnose::Severity::Error),
        "{:?}",
        built.diagnostics
    );
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("jigs");
    for file in built.files.iter().filter(|file| file.name.starts_with("dxf/") || file.name == "job.json") {
        let path = folder.join(&file.name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, &file.bytes).unwrap();
    }
    let count = built.files.iter().filter(|file| file.name.starts_with("dxf/jigs/")).count();
    assert_eq!(count, 5);
    assert!(built.files.iter().any(|file| file.name == "full-size/jigs-plot.pdf"));
    let data = built.files.iter().find(|file| file.name == "job.json").unwrap();
    let data: serde_json::Value = serde_json::from_slice(&data.bytes).unwrap();
    let all = data["router_templates"].as_array().unwrap();
    assert_eq!(all.len(), 5);
    for one in all {
        // What it says it has, there is.
        let dxf = one["files"]["dxf"].as_str().unwrap();
        assert!(built.files.iter().any(|file| file.name == dxf), "{dxf}");
        assert_eq!(one["files"]["full_size"], serde_json::json!(["full-size/jigs-plot.pdf"]));
    }
    // The opening of 100 × 40 with corners of 12, larger by 4.5 all round: 109 × 49, corners 16.5.
    let grip = &all[0];
    assert_eq!(
        (&grip["mark"], &grip["kind"], &grip["face"]),
        (&"J1".into(), &"opening".into(), &"show".into())
    );
    assert_eq!(
        (&grip["bit_mm"], &grip["collar_mm"], &grip["offset_mm"]),
        (&6.0.into(), &15.0.into(), &4.5.into())
    );
    assert_eq!(grip["window_mm"], serde_json::json!([109.0, 49.0]));
    let area = 109.0 * 49.0 - (4.0 - std::f64::consts::PI) * 16.5 * 16.5;
    assert!((grip["window_area_mm2"].as_f64().unwrap() - area).abs() < 1e-3);
    assert_eq!((&grip["fences"][0]["edge"], &grip["fences"][0]["from"][0]), (&"left".into(), &0.0.into()));
    assert_eq!(grip["serves"][0]["low"], serde_json::json!([120.0, 700.0]));
    assert_eq!(all[3]["stops"], serde_json::json!([{"from": "left", "far_edge_mm": 20.0}]));
    assert_eq!((&all[4]["bearing"], &all[4]["collar_mm"]), (&"top".into(), &serde_json::Value::Null));
    // Twice the same bytes.
    let again = build(&OneText(RACK.to_owned()), "job.yaml", &Options { files: true, ..Options::default() });
    assert!(again.files == built.files);
}
