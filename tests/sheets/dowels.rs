//! Dowel holes into edges: said in words, planned as dimensions, rebuilt from them.

use tickstick::drawing::{Mark, Sheet};
use tickstick::parts::Made;
use tickstick::plans::{self, Plans};
use tickstick::sheets::dimension::plan;
use tickstick::sheets::drawn::{Plan, Size, What};
use tickstick::sheets::rebuild::{From, Gap, differences, given_twice, rebuild};
use tickstick::sheets::sheet_set;
use tickstick::trade::Units;

/// A shelf doweled between two sides.
const SHELF: &str = r#"
units: mm
stock:
  board: {sheet: [1220, 2440], thick: 18}
assemblies:
  case:
    parts:
      side: {stock: board, faces: side, count: 2, left: (i - 1) * 618 mm, front: 0, depth: 300, bottom: 0, height: 600, held_by: floor}
      shelf: {stock: board, faces: up, left: 'side[1].right', right: 'side[2].left', front: 0, depth: 300, bottom: 200}
    joints:
      - {butt: shelf, against: side, fix: {by: dowels, size: 8, length: 40}}
"#;

pub fn made(yaml: &str) -> Made {
    let (boards, _) = crate::boards::laid(yaml);
    let (joints, _) = tickstick::joints::join(&boards);
    tickstick::parts::make(boards, joints).0
}

fn length(plan: &Plan, what: What) -> f64 {
    match plan.dimension(what).map(|d| d.size) {
        Some(Size::Length(length)) => length.to_mm(),
        other => panic!("{what:?}: {other:?}"),
    }
}

pub fn words(sheet: &Sheet) -> Vec<String> {
    let all = sheet.groups.iter().flat_map(|g| &g.marks);
    all.filter_map(|m| if let Mark::Text(text) = m { Some(text.text.clone()) } else { None }).collect()
}

/// An 18 mm shelf: the axis lies 9 mm below the show face.
#[test]
fn a_dowel_hole_has_diameter_depth_and_place() {
    let made = made(SHELF);
    let shelf = made.parts.iter().find(|p| p.name == "shelf").expect("a shelf");
    assert!(shelf.bores.len() >= 4 && shelf.bores.iter().all(|b| b.degrees == 0.0));
    let plan = plan(shelf, &made.job);
    assert_eq!(plan.unsaid, Vec::<String>::new());
    assert_eq!(length(&plan, What::BoreDiameter(0)), 8.0);
    assert_eq!(length(&plan, What::BoreExit(0)), 9.0);
    let bore = &shelf.bores[0];
    assert_eq!(length(&plan, What::BoreDepth(0)), (bore.at.x - bore.leaves.x).abs().to_mm());
    assert_eq!(plan.dimension(What::BoreAngle(0)), None);
    for from in [From::Exact, From::Printed(Units::Millimetre)] {
        let read = rebuild(&plan.drawn, &plan.dimensions, from).expect("complete");
        assert_eq!(differences(shelf, &read, 0.005 + 1e-5), Vec::<String>::new());
    }
    assert_eq!(given_twice(&plan), Vec::new());
    // Without the depth the hole cannot be bored; with another one it is another hole.
    let others: Vec<_> = plan.dimensions.iter().filter(|d| d.what != What::BoreDepth(0)).cloned().collect();
    assert_eq!(rebuild(&plan.drawn, &others, From::Exact), Err(Gap::Missing(What::BoreDepth(0))));
    let mut wrong = plan.clone();
    let deep = wrong.dimensions.iter_mut().find(|d| d.what == What::BoreDepth(0)).expect("said");
    deep.printed = "10".into();
    let read = rebuild(&wrong.drawn, &wrong.dimensions, From::Printed(Units::Millimetre)).expect("readable");
    assert!(differences(shelf, &read, 0.005).contains(&"pocket bore 1".to_owned()));
}

#[test]
fn no_line_is_left_to_be_asked() {
    for yaml in
        [SHELF, include_str!("../../samples/listening-nook.yaml"), include_str!("../../samples/larder.yaml")]
    {
        let made = made(yaml);
        let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
        let all: Vec<String> = sheets.iter().flat_map(words).collect();
        assert!(!all.iter().any(|t| t.starts_with("ASK")), "{all:?}");
    }
    let sheets = sheet_set(&made(SHELF), &Plans::default(), &[]);
    let said = sheets.iter().map(|s| words(s).join(" ")).collect::<Vec<_>>().join(" ");
    assert!(said.contains("dowel hole Ø 8"), "{said}");
    assert!(said.contains("deep, into the edge"), "{said}");
    assert!(!said.contains("pocket bore"), "{said}");
}
