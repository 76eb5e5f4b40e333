//! Arrangements and sections: what their rows say or where it is said instead, how large they are drawn, and what their groups
//! are called; the release mark.

use tickstick::drawing::{Mark, Sheet, SheetSet};
use tickstick::files::svg;
use tickstick::length::Length;
use tickstick::parts::Made;
use tickstick::plans::Plans;
use tickstick::sheets::figures::Figures;
use tickstick::sheets::sheet::Paperwork;
use tickstick::sheets::sheet_set;
use tickstick::trade::Units;
use tickstick::values::SheetChoices;

const LARDER: &str = include_str!("../../samples/larder.yaml");
const NOOK: &str = include_str!("../../samples/listening-nook.yaml");

fn made(yaml: &str) -> Made {
    let (boards, _) = crate::boards::laid(yaml);
    let (joints, _) = tickstick::joints::join(&boards);
    tickstick::parts::make(boards, joints).0
}

fn words(sheet: &Sheet) -> Vec<&str> {
    let marks = sheet.groups.iter().flat_map(|group| &group.marks);
    marks
        .filter_map(|mark| if let Mark::Text(text) = mark { Some(text.text.as_str()) } else { None })
        .collect()
}

fn named<'a>(sheets: &'a [Sheet], name: &str) -> &'a Sheet {
    sheets.iter().find(|sheet| sheet.name.ends_with(name)).unwrap_or_else(|| panic!("no {name}"))
}

/// 320 deep: a back of 6.4, 263.6 of shelf, a plinth and a valance of 20 with 10 between them. On a view 16 mm wide five
/// figures of 3.5 mm have no room between its lines, and stand past them.
#[test]
fn a_narrow_view_bears_its_row() {
    let sheets = sheet_set(&made(LARDER), &Plans::default(), &[]);
    for name in ["larder-arrangement", "larder-section"] {
        let words = words(named(&sheets, name));
        for figure in ["6.4", "263.6", "10 ±", "320 HOLD"] {
            assert!(words.contains(&figure), "{name}: {figure}");
        }
        assert_eq!(words.iter().filter(|word| **word == "20").count() % 3, 2, "{name}");
        assert!(!words.iter().any(|word| word.contains("story rods")), "{name}");
    }
}

/// 40 shelves and the spaces between them, 81 figures of 3.5 mm or 283 mm, have no room along any view on A3: arrangement and
/// section both say where they stand.
#[test]
fn a_row_without_room_is_told_elsewhere() {
    let many = r#"
units: mm
sheets: {paper: a3}
stock:
  ply: {sheet: [1220, 2440], thick: 18}
assemblies:
  larder:
    parts:
      side: {stock: ply, faces: side, left: 0, front: 0, depth: 300, bottom: 0, height: 2400, grain: up, held_by: floor}
      other: {stock: ply, faces: side, left: 500, front: 0, depth: 300, bottom: 0, height: 2400, grain: up, held_by: floor}
      shelf: {stock: ply, faces: up, count: 40, left: side.right, right: other.left, front: 0, depth: 300, bottom: i * 56 mm, grain: across}
    joints:
      - {butt: shelf, against: [side, other], fix: glue}
"#;
    let sheets = sheet_set(&made(many), &Plans::default(), &[]);
    let telling =
        sheets.iter().filter(|s| s.name.contains("larder-arrangement") || s.name.ends_with("-section"));
    let telling: Vec<&Sheet> =
        telling.filter(|s| words(s).join(" ").contains("see the sheet of story rods")).collect();
    assert!(telling.len() >= 2, "{:?}", telling.iter().map(|s| &s.name).collect::<Vec<_>>());
    let rods = words(named(&sheets, "larder-rods")).join(" ");
    assert!(rods.contains("ROD UP"), "{rods}");
}

/// 2050 mm at 1:10 are 205 mm, which the 277 mm inside the frame of an A3 (ISO 5457: 297 less 10 above and below) hold with
/// the figures below and the caption above, though not above the title block.
#[test]
fn a_tall_section_takes_the_height_of_the_frame() {
    let sheets = sheet_set(&made(LARDER), &Plans::default(), &[]);
    assert!(words(named(&sheets, "larder-section")).contains(&"1:10"));
    // On A4, 1:20 takes 102.5 mm of some 225 above the title block.
    let mut small = made(LARDER);
    small.job.sheets.paper = "a4".into();
    let sheets = sheet_set(&small, &Plans::default(), &[]);
    assert!(
        words(named(&sheets, "larder-section")).contains(&"1:20"),
        "{:?}",
        words(named(&sheets, "larder-section"))
    );
}

/// A page finds each part of a view by the id of its group.
#[test]
fn views_have_a_group_for_each_part() {
    let sheets = sheet_set(&made(LARDER), &Plans::default(), &[]);
    for (name, id) in [
        ("larder-arrangement", "larder-front-A5"),
        ("larder-arrangement", "larder-plan-A4"),
        ("larder-section", "larder-section-a-A5"),
        ("larder-section", "larder-section-a-hatching-A5"),
        ("larder-assembly", "larder-apart-A8"),
    ] {
        let at = sheets.iter().position(|sheet| sheet.name.ends_with(name)).expect("a sheet");
        let ids: Vec<&str> = sheets[at].groups.iter().map(|group| group.id.as_str()).collect();
        assert_eq!(ids.iter().filter(|other| **other == id).count(), 1, "{ids:?}");
        let set = SheetSet { title: "", author: "", subject: "", date: "", sheets: &sheets };
        let drawn = String::from_utf8(svg::write(&set, at).expect("finite")).expect("text");
        assert!(drawn.contains(&format!("id=\"{id}\"")), "{id}");
    }
}

/// Approved, dated, and measured where anything stands against the house: only then may it be cut.
#[test]
fn released_is_what_is_approved_dated_and_measured() {
    let status = |approved: &str, date: &str, measured: &str, errors: bool, verify: bool| {
        let mut job = made(LARDER).job;
        job.titles.approved_by = approved.into();
        job.titles.date = date.into();
        job.titles.measured = measured.into();
        Paperwork::of(&job, errors, verify).status
    };
    let review = "ISSUED FOR REVIEW: DO NOT CUT UNTIL APPROVED";
    assert_eq!(status("A. B.", "2026-05-01", "2026-04-20", false, true), "RELEASED FOR CUTTING");
    assert_eq!(status("A. B.", "2026-05-01", "", false, false), "RELEASED FOR CUTTING");
    assert_eq!(status("A. B.", "2026-05-01", "", false, true), review);
    assert_eq!(status("A. B.", "", "2026-04-20", false, true), review);
    assert_eq!(status("", "2026-05-01", "2026-04-20", false, true), review);
    assert_eq!(status("A. B.", "2026-05-01", "2026-04-20", true, true), "DO NOT CUT");
}

/// The cover of a set that bears a name but no measured room says what is missing.
#[test]
fn the_cover_says_why_it_is_no_release() {
    let approved = NOOK.replace("  revision: A\n", "  revision: A\n  approved_by: A. B.\n");
    assert_ne!(approved, NOOK);
    let told = |yaml: &str| words(named(&sheet_set(&made(yaml), &Plans::default(), &[]), "cover")).join(" ");
    assert!(told(&approved).contains("lacks measured"), "{}", told(&approved));
    let measured = approved.replace("  approved_by", "  measured: 2026-02-20\n  approved_by");
    assert!(told(&measured).contains("RELEASED FOR CUTTING"));
    assert!(!told(&measured).contains("lacks"));
}

/// What people must know comes before the lists.
#[test]
fn the_cover_warns_before_it_lists() {
    for yaml in [LARDER, NOOK] {
        let sheets = sheet_set(&made(yaml), &Plans::default(), &[]);
        let words = words(named(&sheets, "cover"));
        let at = |heading: &str| words.iter().position(|word| word.starts_with(heading));
        let order = ["CAUTIONS", "VERIFY ON SITE", "MARKS BESIDE", "SHEETS"].map(at);
        assert!(order.iter().all(Option::is_some) && order.is_sorted(), "{order:?}");
    }
}

/// Beside a metric figure that lies on no mark of the step stands the nearest, where the spec asks for a step.
#[test]
fn metric_figures_have_their_rule_mark() {
    let hundredths = |count: i64| Length::from_units(Length::MM.units() / 100 * count);
    let mut choices = made(LARDER).job.sheets;
    choices.units = Units::Millimetre;
    choices.step = Length::ZERO;
    assert!(!choices.rule_marks, "the larder asks for none");
    choices.rule_marks = true;
    let both = |choices: &SheetChoices, count: i64| Figures::of(choices).print(hundredths(count)).both();
    assert_eq!(both(&choices, 30_757), "307.57 (307.5)");
    assert_eq!(both(&choices, 172_473), "1724.73 (1724.5)");
    assert_eq!(both(&choices, 1_750), "17.5");
    assert_eq!(both(&choices, 1_780), "17.8 (18)");
    choices.step = Length::MM;
    assert_eq!(both(&choices, 30_757), "307.57 (308)");
    assert_eq!(both(&choices, 32_000), "320");
}
