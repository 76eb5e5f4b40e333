//! An assembly turned in the room is drawn and told as if it were not; its rods hold every board; its recesses name what
//! sits in them; the mark of a cutting plane keeps clear of a title.

use tickstick::fullsize::story_rod::{rod, table};
use tickstick::plans;
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::sheet_set;
use tickstick::trade::Side;
use tickstick::values::RodAsked;

use super::dowels::{made, words};
use super::sheets::faults;

const LARDER: &str = include_str!("../../samples/larder.yaml");

/// A narrow case: shelves housed, a stile and a rail before it.
const CASE: &str = r#"
units: mm
stock:
  ply: {sheet: [1220, 2440], thick: 18}
assemblies:
  case:
    turn: none
    parts:
      side: {stock: ply, faces: side, count: 2, left: (i - 1) * 182 mm, front: 18, depth: 300, bottom: 0, height: 600, held_by: floor}
      shelf: {stock: ply, faces: up, count: 2, left: 'side[1].right - 6 mm', right: 'side[2].left + 6 mm', front: 18, depth: 300, bottom: i * 200 mm}
      stile: {stock: ply, faces: front, left: 0, width: 45, front: 0, bottom: 0, height: 600}
      rail: {stock: ply, faces: front, left: 45, width: 155, front: 0, bottom: 520, height: 80}
    joints:
      - {house: shelf, in: side, fix: glue}
      - {butt: stile, against: 'side[1]', fix: glue}
      - {butt: rail, against: 'side[2]', fix: glue}
"#;

fn all_words(yaml: &str) -> Vec<(String, Vec<String>)> {
    let made = made(yaml);
    assert!(!made.placed.is_empty());
    sheet_set(&made, &plans::plan(&made).0, &[]).iter().map(|s| (s.name.clone(), words(s))).collect()
}

#[test]
fn a_turned_assembly_has_the_same_words() {
    let plain = all_words(CASE);
    for turn in ["left", "right", "round"] {
        let turned = CASE.replace("turn: none", &format!("turn: {turn}"));
        for ((name, a), (_, b)) in plain.iter().zip(all_words(&turned)) {
            let (mut a, mut b) = (a.clone(), b);
            a.sort();
            b.sort();
            assert_eq!(a, b, "{name} turned {turn}");
        }
    }
}

#[test]
fn a_rod_of_a_turned_assembly_is_the_same_rod() {
    let turned = made(&CASE.replace("turn: none", "turn: left"));
    let plain = made(CASE);
    for from in [Side::Left, Side::Right, Side::Front, Side::Back, Side::Bottom] {
        let asked = RodAsked { of: Some("case".into()), from, place: Default::default() };
        assert_eq!(rod(&turned, &asked), rod(&plain, &asked), "{from:?}");
    }
}

/// Stile to 45, rail from 520: both are marks of a stick that is held to the front.
#[test]
fn the_rods_of_the_sheets_hold_every_board() {
    let sheets = all_words(CASE);
    let (_, rods) = sheets.iter().find(|(name, _)| name.ends_with("case-rods")).expect("rods");
    for figure in ["45", "520", "0"] {
        assert!(rods.iter().any(|t| t == figure), "{figure}: {rods:?}");
    }
    let all = rods.join(" ");
    assert!(all.contains("case.stile, right face"), "{all}");
    assert!(all.contains("case.rail, bottom face"), "{all}");
}

/// Every distance from the mark before, as printed, is the difference of the printed marks.
#[test]
fn the_columns_of_a_rod_add_up_as_printed() {
    let made = made(LARDER);
    for from in [Side::Left, Side::Bottom, Side::Front] {
        let asked = RodAsked { of: Some("larder".into()), from, place: Default::default() };
        let table = table(&made, &rod(&made, &asked));
        // Hundredths of a millimetre.
        let read =
            |text: &str| (text.trim_end_matches(" mm").parse::<f64>().expect(text) * 100.0).round() as i64;
        let mut sum = read(&table.rows[0][1].text);
        for row in &table.rows[1..] {
            sum += read(&row[2].text);
            assert_eq!(sum, read(&row[1].text), "{from:?}: {}", row[3].text);
        }
    }
}

#[test]
fn every_recess_names_what_sits_in_it() {
    for yaml in [CASE, LARDER, include_str!("../../samples/listening-nook.yaml")] {
        for (name, words) in all_words(yaml) {
            for text in words.iter().filter(|t| t.starts_with("from SHOW FACE") || t.starts_with("FROM BACK"))
            {
                assert!(text.contains(", for"), "{name}: {text}");
            }
        }
    }
    let sheets = all_words(CASE);
    let (_, side) = sheets.iter().find(|(name, _)| name.contains("case-side")).expect("a side");
    for shelf in ["case.shelf[1]", "case.shelf[2]"] {
        assert!(side.join(" ").contains(&format!("for {shelf}")), "{shelf}: {side:?}");
    }
}

/// The only bay lies under the title of the front view.
#[test]
fn a_narrow_bay_keeps_the_cutting_plane_off_the_title() {
    for (paper, practice) in [("a3", Practice::Iso), ("tabloid", Practice::Asme)] {
        let mut made = made(CASE);
        made.job.sheets.paper = paper.into();
        made.job.sheets.asme = practice == Practice::Asme;
        let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
        let frame = Frame::new(Paper::named(paper).expect("known"), practice);
        let all: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
        assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
    }
}
