//! Solid wood as it is bought and cut: least measure first, few strips, sheets apart by the wider tool; against layouts made by
//! hand and arithmetic shown here.

use serde_json::Value;
use tickstick::diagnose::Severity;
use tickstick::length::Length;
use tickstick::parts::PartId;
use tickstick::plans::boards::{Sold, Strip};
use tickstick::plans::lanes::{Board, Wanted, lay_out};

use crate::lists::{job, list, made, number, text};

/// Thousandths of an inch.
fn mil(thousandths: i64) -> Length {
    Length::from_units(Length::INCH.units() / 1000 * thousandths)
}

fn strip(number: usize, width: Length, length: Length, quantity: usize) -> Strip {
    Strip {
        part: PartId(number),
        of: 1,
        quantity,
        width,
        length,
        rough_width: width,
        rough_length: length,
        to_fit: false,
        run: None,
    }
}

/// Square units of all boards.
fn measure(boards: &[Board]) -> i128 {
    let area = |board: &Board| i128::from(board.width.units()) * i128::from(board.length.units());
    boards.iter().map(area).sum()
}

/// A face frame and a panelled wall in oak. By hand, of two boards of 10 ft with 1/4 in cuts and 1 in off both ends (118 in are
/// left): 7 1/2 in wide, two lanes of 3 5/8 in (2 × 3.625 + 0.25), each 67 + 24 + 24 and two cuts (115.5 in), the narrower ones ripped
/// after; and 6.54 in wide with three lanes. 14.04 in × 120 in are 11.70 board feet of 4/4.
#[test]
fn narrow_pieces_stand_at_the_ends_of_wider_lanes() {
    let sizes = [
        (3625, 67_000, 2),
        (2625, 24_000, 4),
        (2375, 64_000, 1),
        (2125, 17_750, 2),
        (1834, 64_000, 1),
        (1830, 67_000, 1),
        (1625, 11_790, 3),
    ];
    let strips: Vec<Strip> = sizes
        .into_iter()
        .enumerate()
        .map(|(n, (width, length, count))| strip(n, mil(width), mil(length), count))
        .collect();
    let wanted = Wanted {
        sold: Sold::Random,
        widths: &[],
        lengths: &[Length::INCH * 96, Length::INCH * 120],
        random: Some([mil(5000), mil(9000)]),
        kerf: mil(250),
        end_loss: mil(1000),
    };
    let boards = lay_out(&strips, &wanted).expect("every strip fits");
    let by_hand = i128::from(mil(14_040).units()) * i128::from((Length::INCH * 120).units());
    assert!(measure(&boards) <= by_hand, "{boards:?}");
    assert!(boards.iter().all(|board| board.width >= mil(5000) && board.width <= mil(9000)));
    let lanes = || boards.iter().flat_map(|board| &board.lanes);
    assert!(lanes().any(|lane| lane.pieces.iter().any(|piece| piece.width < lane.width)));
    // Widest first: what is ripped once more stands at the end.
    assert!(lanes().all(|lane| lane.pieces.is_sorted_by(|a, b| a.width >= b.width)));
    assert_eq!(boards, lay_out(&strips, &wanted).expect("as before"), "the same twice");
}

const SHELF: &str = r#"
units: mm
shop: {kerf: 3.2, jointing: 1.5, end_loss: 25, over_length: 25, jointer: 200}
stock:
  ash: {board: yes, thick: 20, rough: 27, random_width: [120, 220], lengths: [2400, 3000]}
assemblies:
  case:
    parts:
      valance: {stock: ash, faces: front, left: 0, width: 1158, front: 0, bottom: 0, height: 110, grain: across, held_by: wall}
      plinth: {stock: ash, faces: front, left: 0, width: 1158, front: 0, bottom: 500, height: 80, grain: across, held_by: wall}
"#;

/// Two pieces of 1183 mm and a cut are 2369.2 mm, with 25 mm off both ends 2419.2 mm: more than 2400, less than 3000. One board of 120 × 3000
/// holds both (27 × 120 × 3000 mm = 0.009 72 m³); one each of 120 × 2400 is 0.015 552 m³.
#[test]
fn one_long_board_is_bought_instead_of_two_short_ones() {
    let built = made(SHELF);
    let told = job(&built);
    let plan = &told["board_plans"][0];
    let [board] = list(plan, "boards") else { panic!("{plan}") };
    assert_eq!((number(board, "width_mm"), number(board, "length_mm")), (120.0, 3000.0));
    assert!((number(plan, "laid_out") - 0.009_72).abs() < 1e-9, "{plan}");
    // 110 and 80 mm and 1.5 mm on both edges; the second begins after 25 + 1183 + 3.2 mm.
    let pieces = list(&board["lanes"][0], "pieces");
    let sizes: Vec<_> =
        pieces.iter().map(|piece| (number(piece, "width_mm"), number(piece, "from_mm"))).collect();
    assert_eq!(sizes, [(113.0, 25.0), (83.0, 1211.2)]);
    // Each is ripped to its own width, and the sheet has that beside it.
    let rip = |width: f64| {
        let rough = |s: &&Value| text(s, "machine") == "rip saw" && text(s, "stage") == "rough";
        let mut all = list(&told["settings"], "list").iter().filter(rough);
        all.any(|s| number(s, "figure_mm") == width)
    };
    assert!(rip(113.0) && rip(83.0));
    let sheets = crate::timber::written(SHELF);
    for said in ["1183 (83 wide)", "2: A2 1183, 83 wide", "ripped to its own width once it is cut off"] {
        assert!(sheets.contains(said), "{said}: {sheets}");
    }
}

/// What is sold 50 mm wide is not ripped; out of a board of 100 mm, at the end of a piece as wide as that, it is.
#[test]
fn what_comes_out_of_a_wider_board_is_ripped() {
    let spec = r#"
units: mm
shop: {kerf: 3, end_loss: 0, over_length: 0}
stock:
  pine: {board: yes, thick: 20, widths: [50, 100], lengths: 2000}
assemblies:
  bay:
    parts:
      wide: {stock: pine, faces: front, left: 0, width: 1200, front: 0, bottom: 0, height: 100, grain: across, held_by: wall}
      slat: {stock: pine, faces: front, left: 0, width: 700, front: 0, bottom: 500, height: 50, grain: across, held_by: wall}
"#;
    // 1200 + 3 + 700 = 1903 of 2000 mm: one board of 100 (200 000 mm²) instead of one of each width (300 000).
    let told = job(&made(spec));
    let plan = &told["board_plans"][0];
    assert_eq!(list(plan, "boards").len(), 1, "{plan}");
    let rips = |told: &Value| -> Vec<(f64, u64)> {
        let saw = |s: &&Value| text(s, "machine") == "rip saw";
        let all = list(&told["settings"], "list").iter().filter(saw).flat_map(|s| {
            list(s, "work").iter().map(|w| (number(s, "figure_mm"), w["count"].as_u64().unwrap_or(0)))
        });
        all.collect()
    };
    assert_eq!(rips(&told), [(50.0, 1)]);
    // 1300 + 3 + 700 do not go into 2000: each has a board of its width, and nothing is ripped.
    assert_eq!(rips(&job(&made(&spec.replace("width: 1200", "width: 1300")))), []);
}

/// A top of 19 in of boards 7 to 11 in wide, jointer 12 in, 1/16 in off each edge: 11 - 1/8 = 10 7/8 in of the widest; two strips of
/// 9 1/2 in, cut first 9 5/8 in. With boards up to 9 1/2 in (9 3/8 in left, two give 18 3/4 in) it takes three of 6 1/3 in.
#[test]
fn a_top_is_glued_up_from_the_fewest_strips() {
    let spec = |widest: &str| {
        format!(
            "shop: {{jointer: 12\", jointing: 1/16\"}}\nstock:\n  oak: {{board: yes, thick: 1 1/4\", rough: 6/4, random_width: [7, {widest}], lengths: [8', 10'], glue_up: yes}}\nassemblies:\n  seat:\n    parts:\n      \
             top: {{stock: oak, faces: up, left: 0, width: 66 1/2\", front: 0, depth: 19\", bottom: 16\", grain: across, held_by: wall}}\n"
        )
    };
    let strip = |widest: &str| job(&made(&spec(widest)))["board_plans"][0]["strips"][0].clone();
    let two = strip("11");
    assert_eq!((&two["to_a_part"], number(&two, "rough_width_mm")), (&Value::from(2), 9.625 * 25.4));
    assert_eq!(strip("9 1/2\"")["to_a_part"], 3);
    let sheets = crate::timber::written(&spec("11"));
    assert!(sheets.contains("2 strips, each 9 1/2"), "{sheets}");
    assert!(sheets.contains("of boards at least 9 5/8 wide"), "{sheets}");
}

/// Two panels of 607 mm on 1220 mm: 3.2 mm between them are 1217.2 mm, 8 mm are 1222 mm. The bit of a shop counts only where it is sent
/// whole sheets of that stock.
#[test]
fn sheets_for_a_cutting_shop_are_laid_out_for_its_bit() {
    let spec = |shop: &str| {
        format!(
            "units: mm\nshop: {{kerf: 3.2, cutting_shops: {{mill_yard: {{{shop}}}}}}}\nstock:\n  ply: {{sheet: [1220, 2440], thick: 18}}\n  other: {{sheet: [1220, 2440], thick: 12}}\nassemblies:\n  bay:\n    parts:\n      \
             panel: {{stock: ply, count: 2, faces: front, front: 0, bottom: 0, left: i * 3000 mm, width: 607, height: 2000, grain: up, held_by: wall}}\n"
        )
    };
    let nest = |shop: &str| {
        let nest = job(&made(&spec(shop)))["nests"][0].clone();
        (number(&nest, "kerf_mm"), list(&nest, "sheets").len())
    };
    assert_eq!(nest("parts: nested, stock: ply, bit: 8"), (8.0, 2));
    assert_eq!(nest("parts: nested, stock: ply, bit: 3"), (3.2, 1));
    assert_eq!(nest("parts: nested, stock: other, bit: 8"), (3.2, 1));
    assert_eq!(nest("parts: single, stock: ply, bit: 8"), (3.2, 1));
    let said = crate::timber::written(&spec("parts: nested, stock: ply, bit: 8"));
    assert!(said.contains("between all pieces, for the bit of mill yard; the saw takes 3.2"), "{said}");
}

/// A corner of a box: 1/2 in sides, the front in a rebate 1/8 in deep, so that 3/8 in of the side stands beside its end.
fn corner(fix: &str, more: &str) -> String {
    format!(
        "stock: {{half: {{sheet: [48, 96], thick: 1/2, grain: long}}}}\nassemblies:\n  b:\n    parts:\n      \
         l: {{stock: half, faces: side, left: 0, front: 0, back: 12, bottom: 0, top: 9, held_by: floor{more}}}\n      \
         f: {{stock: half, faces: front, left: l.right - 1/8\", width: 14, front: 0, bottom: 0, top: 9}}\n    \
         joints: [{{house: f, in: l, fix: [glue, {{by: brads{fix}}}]}}]\n"
    )
}

/// Boxes are nailed through the sides (common practice): 3/8 in of the side is left beside a rebate 1/8 in deep, and the brad
/// stands in the middle of the front's end, 1/4 in from both its faces.
#[test]
fn a_rebate_is_nailed_from_the_side() {
    let built = made(&corner(", from: left", ""));
    let told = job(&built);
    let fixings = list(&told, "fixings");
    assert!(!fixings.is_empty());
    for fixing in fixings {
        assert!(text(fixing, "through").ends_with('l') && text(fixing, "into").ends_with('f'), "{fixing}");
    }
    // Through the front it is 1/16 in from its end, half the wood of the shoulder: the cure names the side, and cures it.
    let front = made(&corner("", ""));
    assert!(!front.diagnostics.is_empty());
    for found in &front.diagnostics {
        assert_eq!(found.severity, Severity::Warning);
        assert!(found.cures.iter().any(|cure| cure.text.contains("write from: left")), "{found:?}");
        assert!(found.cures.iter().all(|cure| !cure.text.contains("no longer than")), "{found:?}");
    }
    // A line for both ends of the front is driven from two sides, and is to be split.
    let both = corner("", "").replace("in: l,", "in: [l, r],").replace(
        "      f: {",
        "      r: {stock: half, faces: side, left: f.right - 1/8\", front: 0, back: 12, bottom: 0, top: 9, held_by: floor}\n      f: {",
    );
    let both = made(&both);
    let split = "give what is driven from the right a line of its own";
    assert!(
        both.diagnostics.iter().any(|d| d.cures.iter().any(|c| c.text.contains(split))),
        "{:?}",
        both.diagnostics
    );
    // What is neither is told with both.
    let wrong = made(&corner(", from: top", ""));
    let [found] = wrong.diagnostics.as_slice() else { panic!("{:?}", wrong.diagnostics) };
    assert_eq!(found.check, "fixing-from-wrong-side");
    assert_eq!(found.cures[0].text, "write from: front, through b.f, or from: left, through b.l");
    // Four boxes of one line: one fault.
    let four = corner(", from: top", ", count: 4").replace("left: 0, front", "left: (i - 1) * 20\", front");
    let four =
        four.replace("f: {stock: half,", "f: {stock: half, count: 4,").replace("l.right", "l[i].right");
    let four = four.replace("left: l[i].right - 1/8\"", "left: 'l[i].right - 1/8\"'");
    let four = made(&four);
    let [found] = four.diagnostics.as_slice() else { panic!("{:?}", four.diagnostics) };
    assert!(found.message.ends_with("(and 3 more of this line)"), "{}", found.message);
}
