//! Whole small sheets as pictures, for the eye: a change of how anything is drawn shows as a difference here. `UPDATE=1`
//! rewrites them; read the difference before it is committed. What is right about them is tested elsewhere.
//!
//! Words are plain text, so that the files stay small and can be read; of sheets of parts the border and the title block are
//! left out.

use std::path::Path;

use tickstick::drawing::{Sheet, SheetSet};
use tickstick::files::svg;
use tickstick::parts::Part;
use tickstick::plans::Plans;
use tickstick::sheets::sheet_set;
use tickstick::trade::{Face, Units};

use super::dowels::made;
use super::hand_made::*;
use super::shared::only;

/// The SVG of a sheet without the outlines of its letters and without some groups.
fn plain(svg: &str, leave_out: &[&str]) -> String {
    let (mut kept, mut skipped) = (String::new(), 0_usize);
    for line in svg.lines() {
        let opens = line.starts_with("<g ") && !line.ends_with("/>");
        let is_named = |id: &&str| line.contains(&format!("id=\"{id}\""));
        let left_out = leave_out.iter().any(is_named) || line.contains("class=\"lettering");
        if opens && (left_out || skipped > 0) {
            skipped += 1;
        } else if skipped > 0 {
            skipped -= usize::from(line == "</g>");
        } else if !line.contains("id=\"glyph_") {
            kept.push_str(&line.replace(" fill-opacity=\"0\"", ""));
            kept.push('\n');
        }
    }
    kept
}

fn compare(name: &str, parts: Vec<Part>) {
    let sheets = sheet_set(&only(parts, Units::Millimetre), &Plans::default(), &[]);
    compare_sheet(name, &sheets, 1, &["frame", "title-block"]);
}

fn compare_sheet(name: &str, sheets: &[Sheet], index: usize, leave_out: &[&str]) {
    let set = SheetSet { title: name, author: "", subject: "", date: "", sheets };
    let drawn = svg::write(&set, index).expect("finite");
    let drawn = plain(&String::from_utf8(drawn).expect("text"), leave_out);
    assert!(drawn.len() < 60_000, "{name}: {} bytes are too many to be read", drawn.len());
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets/pictures").join(format!("{name}.svg"));
    if std::env::var_os("UPDATE").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("writable");
        std::fs::write(&path, &drawn).expect("writable");
    }
    let wanted = std::fs::read_to_string(&path).unwrap_or_default();
    let first = wanted.lines().zip(drawn.lines()).position(|(a, b)| a != b);
    assert!(
        wanted == drawn,
        "{name} is drawn otherwise from line {first:?} on; run with UPDATE=1 and look at it"
    );
}

#[test]
fn a_broken_trim() {
    compare("broken-trim", vec![part("trim", rectangle(mm(0), mm(0), mm(3000), mm(40)), mm(18))]);
}

#[test]
fn a_side_drilled_for_shelf_pins() {
    let mut side = part("side", rectangle(mm(0), mm(0), mm(300), mm(900)), mm(18));
    let place = |i: i64| [(37, 130 + 32 * i), (263, 130 + 32 * i)];
    side.holes =
        (0..20).flat_map(place).map(|(x, y)| hole(mm(x), mm(y), mm(5), Some(mm(13)), Face::Show)).collect();
    compare("drilled-side", vec![side]);
}

#[test]
fn two_parts_on_one_sheet() {
    let mut lower = part("lower", rectangle(mm(0), mm(0), mm(600), mm(90)), mm(18));
    lower.holes = vec![hole(mm(50), mm(45), mm(8), None, Face::Show)];
    compare("shared", vec![part("upper", rectangle(mm(0), mm(0), mm(600), mm(120)), mm(18)), lower]);
}

/// A rack of two sides and a shelf, whole sheets with border and title block.
#[test]
fn the_sheets_of_an_assembly() {
    let rack = r#"
job: {title: Record rack, number: RR-1, client: Harbour Lane Radio, date: 2026-03-02, revision: A, drawn_by: M. K.}
units: mm
sheets: {paper: a3}
stock:
  ply: {sheet: [1220, 2440], thick: 18}
assemblies:
  rack:
    parts:
      left: {stock: ply, faces: side, left: 0, front: 0, depth: 320, bottom: 0, height: 700, grain: up, held_by: floor}
      right: {stock: ply, faces: side, right: 600, front: 0, depth: 320, bottom: 0, height: 700, grain: up, held_by: floor}
      shelf: {stock: ply, faces: up, left: left.right, right: right.left, front: 0, depth: 320, bottom: 330, grain: across}
    joints:
      - {butt: shelf, against: [left, right], fix: screws}
"#;
    let sheets = sheet_set(&made(rack), &Plans::default(), &[]);
    for (name, ends) in
        [("rack-cover", "-cover"), ("rack-arrangement", "-arrangement"), ("rack-apart", "-assembly")]
    {
        let index = sheets.iter().position(|sheet| sheet.name.ends_with(ends)).expect("the sheet");
        compare_sheet(name, &sheets, index, &[]);
    }
}
