//! Whole small sheets as pictures, for the eye: a change of how anything is drawn shows as a difference here. `UPDATE=1`
//! rewrites them; read the difference before it is committed. What is right about them is tested elsewhere.
//!
//! The border and the title block are left out and words are plain text, so that the files stay small and can be read.

use std::path::Path;

use tickstick::drawing::SheetSet;
use tickstick::files::svg;
use tickstick::parts::Part;
use tickstick::plans::Plans;
use tickstick::sheets::sheet_set;
use tickstick::trade::{Face, Units};

use super::hand_made::*;
use super::shared::only;

/// The SVG of a sheet without border and title block, and without the outlines of its letters.
fn plain(svg: &str) -> String {
    let (mut kept, mut skipped) = (String::new(), 0_usize);
    for line in svg.lines() {
        let opens = line.starts_with("<g ") && !line.ends_with("/>");
        let border = ["id=\"frame\"", "id=\"title-block\""];
        let left_out = border.iter().any(|id| line.contains(id)) || line.contains("class=\"lettering");
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
    let set = SheetSet { title: name, author: "", subject: "", date: "", sheets: &sheets };
    let drawn = svg::write(&set, 1).expect("finite");
    let drawn = plain(&String::from_utf8(drawn).expect("text"));
    assert!(drawn.len() < 40_000, "{name}: {} bytes are too many to be read", drawn.len());
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
