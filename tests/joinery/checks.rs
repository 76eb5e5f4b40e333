//! Each check finds what it is named for, with its number, and stays silent beside it. Cures are tried.

use std::collections::BTreeSet;

use tickstick::boards::*;
use tickstick::checks::{explain, table};
use tickstick::diagnose::{Diagnostic, Severity};
use tickstick::trade::Side;

use super::*;

fn only(faults: &[Diagnostic], name: &str) -> Diagnostic {
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), [name], "{faults:#?}");
    faults[0].clone()
}

#[test]
fn every_row_is_named_once_and_explained() {
    let names: Vec<_> = table().map(|row| row.name).collect();
    let unique: BTreeSet<_> = names.iter().copied().collect();
    assert_eq!(unique.len(), names.len());
    for row in table() {
        assert!(row.meaning.ends_with('.') && row.cure.ends_with('.'), "{}", row.name);
        assert_eq!(explain(row.name).map(|found| found.name), Some(row.name));
    }
    assert!(explain("no-such-check").is_none());
}

/// Names that follow `Diagnostic::error(` and the like anywhere in the sources.
fn names_in(folder: &std::path::Path, found: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            names_in(&path, found);
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let text = text.split("#[cfg(test)]").next().unwrap();
        for call in ["Diagnostic::error(", "Diagnostic::warning(", "Diagnostic::caution(", "fault("] {
            for rest in text.split(call).skip(1) {
                if let Some(name) =
                    rest.trim_start().strip_prefix('"').and_then(|rest| rest.split('"').next())
                {
                    // Other rooms call a fault of their own by a sentence.
                    found.extend((!name.contains(' ')).then(|| name.to_string()));
                }
            }
        }
    }
}

#[test]
fn every_finding_in_the_sources_is_explained() {
    let mut names = BTreeSet::new();
    names_in(std::path::Path::new("src"), &mut names);
    assert!(names.len() > 60, "{}", names.len());
    let unknown: Vec<_> = names.iter().filter(|name| tickstick::explain(name).is_none()).collect();
    assert_eq!(unknown, Vec::<&String>::new());
    let all: Vec<_> = tickstick::check_names().collect();
    let unique: BTreeSet<_> = all.iter().collect();
    assert_eq!(unique.len(), all.len(), "a name is explained twice");
}

#[test]
fn an_overlap_without_a_joint_is_a_clash_with_its_size_and_its_cure() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let stretcher = shop.board("stretcher", [(0.0, 30.0), (0.0, 0.75), (12.0, 15.0)], Side::Front);
    let faults = shop.checked();
    // With nothing to hold it the stretcher is loose as well.
    let names: Vec<_> = faults.iter().map(|f| f.check).collect();
    assert_eq!(names, ["clash", "loose-board"]);
    let clash = &faults[0];
    assert!(clash.message.contains("3/4\" across, 3/4\" deep, 3\" up"), "{}", clash.message);
    assert!(clash.message.contains("bench.divider") && clash.message.contains("bench.stretcher"));
    // Both pass through the other's thickness, so each of three lines would do.
    let lines: Vec<_> = clash.cures.iter().map(|cure| cure.text.as_str()).collect();
    assert!(lines.contains(&"add to joints: {notch: divider, around: stretcher}"), "{lines:?}");
    assert!(lines.contains(&"add to joints: {halve: divider, with: stretcher}"));
    shop.ask(Verb::Notch, divider, stretcher);
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.boards.asked[0].joint = Verb::Halve;
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn boards_that_only_touch_do_not_clash() {
    let mut shop = Shop::new();
    let one = shop.board("one", [(0.0, 10.0), (0.0, 10.0), (0.0, 0.75)], Side::Top);
    let other = shop.board("other", [(0.0, 10.0), (0.0, 10.0), (0.75, 1.5)], Side::Top);
    shop.ask(Verb::Butt, other, one);
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn a_board_that_nothing_holds_is_loose() {
    let mut shop = Shop::new();
    let leg = shop.board("leg", [(0.0, 0.75), (0.0, 10.0), (0.0, 10.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.75, 20.0), (0.0, 10.0), (5.0, 5.75)], Side::Top);
    let rail = shop.board("rail", [(0.75, 20.0), (0.0, 0.75), (5.75, 7.0)], Side::Front);
    shop.ask(Verb::Butt, rail, shelf);
    let fault = only(&shop.checked(), "loose-board");
    assert!(fault.message.contains("bench.shelf and bench.rail"), "{}", fault.message);
    // A chain of joints that ends at a board on the floor holds both.
    shop.ask(Verb::Butt, shelf, leg);
    assert_eq!(shop.names(), Vec::<&str>::new());
    // So does the wall.
    shop.boards.asked.pop();
    shop.of(rail).held_by = Some(Held::Wall);
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn a_butt_that_touches_nowhere_after_other_cuts() {
    // The shelf's end meets the side only where the side was cut away.
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Right);
    let shelf = shop.board("shelf", [(0.75, 20.0), (2.0, 10.0), (10.0, 10.75)], Side::Top);
    let leg = shop.board("leg", [(19.0, 20.0), (0.0, 0.75), (0.0, 10.0)], Side::Front);
    shop.of(leg).span[1] = Interval { low: inch(2.0), high: inch(2.75) };
    let span = shop.of(leg).span;
    shop.of(leg).frame = FaceFrame::of_plate(&span, Side::Front);
    shop.ask(Verb::Butt, leg, shelf);
    shop.ask(Verb::Butt, shelf, side);
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.of(side).inside.push(Outline::rectangle(point(1.0, 9.0), point(11.0, 12.0)).unwrap());
    only(&shop.checked(), "gap-at-butt");
}

#[test]
fn a_notch_that_leaves_a_thin_strip_is_weak() {
    // 1/2" of 3/4" stock in front of the stretcher. Common practice: not less than the stock is thick.
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let stretcher = shop.board("stretcher", [(0.0, 30.0), (0.5, 1.25), (12.0, 15.0)], Side::Front);
    shop.ask(Verb::Notch, divider, stretcher);
    let fault = only(&shop.checked(), "weak-notch");
    assert_eq!(fault.severity, Severity::Warning);
    assert!(fault.message.contains("only 1/2\"") && fault.message.contains("3/4\""), "{}", fault.message);
    assert!(fault.cures[0].text.contains("by 1/4\""), "{:?}", fault.cures);
    // What the shop says goes before.
    shop.boards.job.shop.least_wood = Some(inch(0.5));
    assert_eq!(shop.names(), Vec::<&str>::new());
    // The floor of a notch counts too: 1/4" left under it.
    shop.boards.job.shop.least_wood = None;
    let low = shop.board("low", [(0.0, 30.0), (8.0, 8.75), (0.25, 15.0)], Side::Front);
    shop.boards.asked.clear();
    shop.ask(Verb::Notch, divider, low);
    let faults = shop.checked();
    assert!(
        faults.iter().any(|f| f.check == "weak-notch" && f.message.contains("only 1/4\"")),
        "{faults:#?}"
    );
}

#[test]
fn a_slot_narrower_than_the_bit() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let panel = shop.board("panel", [(0.0, 30.0), (8.0, 8.2), (6.0, 15.0)], Side::Front);
    shop.ask(Verb::Notch, divider, panel);
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.boards.job.shop.bit = Some(inch(0.25));
    let fault = only(&shop.checked(), "slot-narrower-than-bit");
    assert!(fault.message.contains("0.2\"") && fault.message.contains("1/4\""), "{}", fault.message);
    // A rebate of the same width is open at its side: the bit passes.
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let back = shop.board("back", [(0.375, 24.0), (11.8, 12.0), (0.0, 30.0)], Side::Front);
    shop.ask(Verb::House, back, side);
    shop.boards.job.shop.bit = Some(inch(0.25));
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn parts_against_stock_and_saw() {
    let mut shop = Shop::new();
    // 50" across the grain does not come out of a 48" × 96" sheet; with the grain turned it does.
    let wide = shop.board("wide", [(0.0, 50.0), (0.0, 30.0), (0.0, 0.75)], Side::Top);
    shop.of(wide).grain = Grain::AlongV;
    let fault = only(&shop.checked(), "part-larger-than-stock");
    assert_eq!(fault.severity, Severity::Error);
    assert!(fault.message.contains("30\" along the grain and 50\" across"), "{}", fault.message);
    assert!(fault.cures[0].text.contains("turn its grain"));
    shop.of(wide).grain = Grain::AlongU;
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.of(wide).grain = Grain::Free;
    assert_eq!(shop.names(), Vec::<&str>::new());
    // A scribe allowance counts: 47 3/4" and 1/2".
    shop.of(wide).grain = Grain::AlongV;
    let span = [(0.0, 47.75), (0.0, 30.0), (1.0, 1.75)];
    shop.boards.boards.clear();
    let panel = shop.board("panel", span, Side::Top);
    shop.of(panel).grain = Grain::AlongV;
    shop.of(panel).held_by = Some(Held::Wall);
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.edge(panel, Side::Right, Profile::Round { radius: inch(0.0625) }, Arris::Show);
    shop.of(panel).edges[0].scribe = inch(0.5);
    only(&shop.checked(), "part-larger-than-stock");
    // The saw.
    shop.of(panel).edges.clear();
    shop.boards.job.shop.rip = Some(inch(30.0));
    let fault = only(&shop.checked(), "beyond-the-saw");
    assert!(fault.message.contains("47 3/4\"") && fault.message.contains("30\""));
}

#[test]
fn solid_stock_has_widths_unless_glued_up() {
    let mut shop = Shop::new();
    let top = shop.board("top", [(0.0, 60.0), (0.0, 18.0), (0.0, 1.25)], Side::Top);
    let widths = vec![inch(5.5), inch(7.25)];
    let form = |glue_up| StockForm::Solid { widths: widths.clone(), lengths: vec![inch(96.0)], glue_up };
    shop.boards.job.stock[0].form = form(false);
    let fault = only(&shop.checked(), "part-larger-than-stock");
    assert!(fault.cures[0].text.contains("glue_up: yes"));
    shop.boards.job.stock[0].form = form(true);
    assert_eq!(shop.names(), Vec::<&str>::new());
    // Its grain the short way: it would break.
    shop.of(top).grain = Grain::AlongV;
    let fault = only(&shop.checked(), "grain-across");
    assert!(fault.cures[0].text.contains("grain: across"));
}

/// A rail screwed flat on a board: how long a screw comes through.
fn flat(length: f64) -> Shop {
    let mut shop = Shop::new();
    let board = shop.board("board", [(0.0, 30.0), (0.0, 12.0), (0.0, 0.75)], Side::Top);
    let rail = shop.board("rail", [(0.0, 30.0), (4.0, 6.0), (0.75, 1.25)], Side::Top);
    shop.ask(Verb::Butt, rail, board).fix =
        vec![Fix { length: Some(inch(length)), ..fix(FixingKind::Screws) }];
    shop
}

#[test]
fn a_point_that_comes_through() {
    // 1/2" and 3/4" make 1 1/4": a 1 1/2" screw comes through by 1/4".
    let fault = only(&flat(1.5).checked(), "fixing-comes-through");
    assert_eq!(fault.severity, Severity::Error);
    assert!(
        fault.message.contains("through bench.board by 1/4\"") && fault.message.contains("more of this line"),
        "{}",
        fault.message
    );
    assert!(fault.cures[0].text.contains("1 3/16\""), "{:?}", fault.cures);
    // The cure is tried: with 1 3/16" there is 1/16" of wood over the point.
    assert_eq!(flat(1.1875).names(), Vec::<&str>::new());
    // A sixty-fourth more leaves less than that: a warning.
    let fault = only(&flat(1.1875 + 1.0 / 64.0).checked(), "fixing-comes-through");
    assert_eq!(fault.severity, Severity::Warning);
    assert!(fault.message.contains("only 3/64\""), "{}", fault.message);
    // And one that hardly bites.
    let fault = only(&flat(0.75).checked(), "fixing-too-short");
    assert!(fault.message.contains("only 1/4\""), "{}", fault.message);
    let fault = only(&flat(0.5).checked(), "fixing-too-short");
    assert_eq!(fault.severity, Severity::Error);
}

#[test]
fn a_pocket_screw_in_thin_stock_comes_through_at_its_own_slope() {
    // A 2 1/2" pocket screw bites 1.25" along its axis, 1.25 · cos 15° = 1.2074" square into the side of 3/4".
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix =
        vec![Fix { length: Some(inch(2.5)), ..fix(FixingKind::PocketScrews) }];
    let fault = only(&shop.checked(), "fixing-comes-through");
    // 1.2074 - 0.75 = 0.4574"
    assert!(fault.message.contains("0.4574\""), "{}", fault.message);
    shop.boards.asked[0].fix[0].length = None;
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn a_brad_beside_a_notch_and_one_in_it() {
    // A cap bradded down on a divider whose notch lies 2" deep under it.
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let rail = shop.board("rail", [(0.0, 30.0), (8.0, 8.75), (11.0, 14.5)], Side::Front);
    let cap = shop.board("cap", [(9.0, 12.0), (0.0, 18.0), (15.0, 15.5)], Side::Top);
    shop.ask(Verb::Notch, divider, rail);
    let brads =
        |count: i64, ends: f64| Fix { count: Some(count), ends: Some(inch(ends)), ..fix(FixingKind::Brads) };
    // Three brads 1 1/2" from the ends: the middle one at 9" is 1/4" from the slot's edge at 8 3/4".
    shop.ask(Verb::Butt, cap, divider).fix = vec![brads(3, 1.5)];
    let clean: Vec<_> = shop.names().into_iter().filter(|name| *name != "weak-notch").collect();
    assert_eq!(clean, Vec::<&str>::new());
    // One more and spread so that one lands at 8.4", in the slot.
    shop.boards.asked[1].fix = vec![brads(2, 8.4)];
    let faults: Vec<_> = shop.checked().into_iter().filter(|f| f.check != "weak-notch").collect();
    let fault = only(&faults, "fixing-meets-cut");
    assert!(fault.message.contains("runs into a slot of bench.divider"), "{}", fault.message);
    // At 8.79" it is 0.04 - 0.0235 = 0.0165" from it.
    shop.boards.asked[1].fix = vec![brads(2, 8.79)];
    let faults: Vec<_> = shop.checked().into_iter().filter(|f| f.check != "weak-notch").collect();
    let near = faults.iter().find(|f| f.check == "fixing-meets-cut").unwrap();
    assert_eq!(near.severity, Severity::Warning);
    assert!(near.message.contains("0.0165\""), "{}", near.message);
}

#[test]
fn two_screws_that_meet_in_a_corner() {
    // Shelves on both sides of one upright, at one height, screwed through it at the same places.
    let mut shop = Shop::new();
    let upright = shop.board("upright", [(20.0, 20.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let left = shop.board("left", [(0.0, 20.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    let right = shop.board("right", [(20.75, 40.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    for shelf in [left, right] {
        shop.ask(Verb::Butt, shelf, upright).fix = vec![fix(FixingKind::Screws)];
    }
    let fault = only(&shop.checked(), "fixing-meets-fixing");
    assert!(fault.message.contains("(and 1 more between these lines)"), "{}", fault.message);
    // Set one row in by an inch and they pass.
    shop.boards.asked[1].fix[0].ends = Some(inch(3.0));
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn a_screw_too_near_the_edge_and_a_head_too_large() {
    // 1/2" shelf: its middle is 1/4" from the top of a side that ends flush, and a #10 wants 1.5 × 0.190 = 0.285".
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (29.5, 30.0)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix = vec![Fix { gauge: Some(10), ..fix(FixingKind::Screws) }];
    let fault = only(&shop.checked(), "fixing-near-edge");
    assert!(fault.message.contains("1/4\"") && fault.message.contains("0.285\""), "{}", fault.message);
    shop.boards.asked[0].fix[0].gauge = Some(6);
    assert_eq!(shop.names(), Vec::<&str>::new());
    // A head of twice 0.164" at 82° sinks 0.082 / tan 41° = 0.0943" into 1/8" hardboard and leaves 0.031".
    let mut shop = Shop::new();
    let back = shop.board("back", [(0.0, 30.0), (12.0, 12.125), (0.0, 15.0)], Side::Front);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 15.0)], Side::Left);
    shop.ask(Verb::Butt, back, side).fix = vec![Fix { gauge: Some(8), ..fix(FixingKind::Screws) }];
    let fault = only(&shop.checked(), "head-pulls-through");
    assert!(fault.message.contains("0.0943\""), "{}", fault.message);
}

/// A bay of 15" between dividers, 12" high, 17" deep, behind a face frame of these stiles and this top rail; holds a crate.
fn bay(stile: f64, rail: f64, thing: [f64; 3], clearance: f64) -> Shop {
    let mut shop = Shop::new();
    let floor = shop.board("bottom", [(0.0, 16.5), (0.75, 18.0), (0.0, 0.75)], Side::Top);
    let left = shop.board("left", [(0.0, 0.75), (0.75, 18.0), (0.75, 13.0)], Side::Left);
    let right = shop.board("right", [(15.75, 16.5), (0.75, 18.0), (0.75, 13.0)], Side::Right);
    let left_stile = shop.board("left_stile", [(0.0, stile), (0.0, 0.75), (0.0, 13.0)], Side::Front);
    let right_stile =
        shop.board("right_stile", [(16.5 - stile, 16.5), (0.0, 0.75), (0.0, 13.0)], Side::Front);
    let top = shop.board("rail", [(stile, 16.5 - stile), (0.0, 0.75), (13.0 - rail, 13.0)], Side::Front);
    for (a, b) in [
        (left, floor),
        (right, floor),
        (left_stile, left),
        (right_stile, right),
        (top, left_stile),
        (top, right_stile),
    ] {
        shop.ask(Verb::Butt, a, b);
    }
    let place = shop.next_place();
    let [width, depth, height] = thing.map(inch);
    shop.boards.job.things.push(Thing {
        name: "crate".into(),
        place,
        width,
        depth,
        height,
        clearance: inch(clearance),
    });
    let span = [(0.75, 15.75), (0.75, 18.0), (0.75, 13.0)]
        .map(|(low, high)| Interval { low: inch(low), high: inch(high) });
    shop.boards.openings.push(Opening {
        name: "bench.bay".into(),
        assembly: 0,
        span,
        front: Side::Front,
        holds: Some(0),
        place,
    });
    shop
}

#[test]
fn the_face_frame_counts_against_what_is_stored() {
    // 16 1/2" with 1 1/2" stiles leaves 13 1/2" clear, though the bay behind it is 15".
    let crate_ = [13.25, 14.0, 10.5];
    assert_eq!(bay(1.5, 1.5, crate_, 0.125).names(), Vec::<&str>::new());
    let fault = only(&bay(1.5, 1.5, crate_, 0.1875).checked(), "thing-does-not-pass");
    assert!(
        fault.message.contains("13 5/8\" by 10 11/16\"")
            && fault.message.contains("13 1/2\" by 10 3/4\" is clear"),
        "{}",
        fault.message
    );
    assert!(fault.cures[0].text.contains("1/8\" wider"), "{:?}", fault.cures);
    // The rail: 12 1/4" of height less what the rail takes.
    let fault = only(&bay(1.5, 1.75, crate_, 0.125).checked(), "thing-does-not-pass");
    assert!(fault.message.contains("13 1/2\" by 10 1/2\" is clear"), "{}", fault.message);
    // Too deep: 17 1/4" behind the frame.
    let fault = only(&bay(1.5, 1.5, [13.25, 17.5, 10.5], 0.125).checked(), "thing-does-not-pass");
    assert!(
        fault.message.contains("17 1/2\"") && fault.message.contains("17 1/4\" deep"),
        "{}",
        fault.message
    );
}

#[test]
fn an_arched_rail_is_measured_at_its_arch() {
    // A rail of 3" whose lower edge is hollowed by 1 1/2": in the middle the crate has 10 3/4", at its corners less.
    let mut shop = bay(1.5, 3.0, [6.0, 14.0, 10.0], 0.0);
    only(&shop.checked(), "thing-does-not-pass");
    let rail = BoardId(5);
    // Chord 13 1/2", rise 1 1/2": bulge of the lower edge = 2 · rise / chord, to the inside of a counter-clockwise outline.
    let corners = [(0.0, 0.0, -3.0 / 13.5), (13.5, 0.0, 0.0), (13.5, 3.0, 0.0), (0.0, 3.0, 0.0)];
    let vertices = corners.map(|(x, y, bulge)| tickstick::shape::Vertex { at: point(x, y), bulge });
    shop.of(rail).outline = Outline::new(vertices.to_vec()).unwrap();
    // Radius (6.75² + 1.5²) / 3 = 15.9375"; 3" beside the middle the arch is 1.5 - (15.9375 - √(15.9375² - 9)) = 1.215"
    // above the rail's lower corners, so 10" - 0.75" … 9 1/4" + 1.215" = 10.465" are free for 6" by 10".
    assert_eq!(shop.checked(), vec![]);
    shop.boards.job.things[0].height = inch(10.47);
    only(&shop.checked(), "thing-does-not-pass");
}

#[test]
fn a_dowel_thicker_than_its_board() {
    // 3/8" in the end of 3/8" stock: nothing beside it. The rule would take 1/4" and leave 1/16" on each side.
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.375)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix = vec![fix(FixingKind::Dowels)];
    assert_eq!(shop.names(), Vec::<&str>::new());
    shop.boards.asked[0].fix[0].diameter = Some(inch(0.375));
    let fault = only(&shop.checked(), "fixing-comes-through");
    assert!(fault.message.contains("bench.shelf"), "{}", fault.message);
}
