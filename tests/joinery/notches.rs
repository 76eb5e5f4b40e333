//! Notches, slots and halvings: analytic areas, true sections, the mouth, and lines that cannot be made.

use tickstick::boards::*;
use tickstick::joints::CutKind;
use tickstick::shape::clash::shared_volume;
use tickstick::trade::Side;

use super::*;

/// A divider of 3/4" sheet, 18" deep and 15" high, and a stretcher 3" deep in its upper front corner.
fn divider_and_stretcher(fit: f64) -> (Shop, BoardId, BoardId) {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let stretcher = shop.board("stretcher", [(0.0, 30.0), (0.0, 0.75), (12.0, 15.0)], Side::Front);
    shop.ask(Verb::Notch, divider, stretcher).fit = inch(fit);
    (shop, divider, stretcher)
}

#[test]
fn a_stretcher_takes_a_notch_three_inches_deep_and_a_stock_thickness_wide() {
    // Common practice: the notch is set by two stop positions that differ by the stock's thickness.
    let (shop, divider, _) = divider_and_stretcher(0.0);
    let joints = shop.joined();
    let worked = &joints.worked[divider.0];
    assert_eq!(worked.cuts.len(), 1);
    let cut = &worked.cuts[0];
    assert_eq!(cut.kind, CutKind::Notch);
    let around = cut.outline.extents();
    assert_eq!((around.width(), around.height()), (inch(0.75), inch(3.0)));
    // u runs front to back on a board that shows its right: the two stops are 0 and 3/4".
    assert_eq!((around.low, around.high), (point(0.0, 12.0), point(0.75, 15.0)));
    assert!(close(area_of(&joints, divider), square_inches(18.0 * 15.0 - 0.75 * 3.0)));
    assert_eq!(worked.outline.as_ref().unwrap().vertices().len(), 6);
}

#[test]
fn the_fit_is_given_where_wood_bears_and_not_at_the_mouth() {
    // A stretcher in the middle of the top edge bears on two sides and the floor of its notch: (3/4 + 2/64) wide and
    // (3 + 1/64) deep. At the front corner it bears on one side and the floor.
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let middle = shop.board("middle", [(0.0, 30.0), (8.0, 8.75), (12.0, 15.0)], Side::Front);
    let front = shop.board("front", [(0.0, 30.0), (0.0, 0.75), (12.0, 15.0)], Side::Front);
    shop.ask(Verb::Notch, divider, middle).fit = inch(1.0 / 64.0);
    shop.ask(Verb::Notch, divider, front).fit = inch(1.0 / 64.0);
    let joints = shop.joined();
    let fit = 1.0 / 64.0;
    let taken = (0.75 + 2.0 * fit) * (3.0 + fit) + (0.75 + fit) * (3.0 + fit);
    assert!(close(area_of(&joints, divider), square_inches(18.0 * 15.0 - taken)));
    // Straight work stays on whole units: every corner is exact.
    let xs: Vec<_> =
        joints.worked[divider.0].outline.as_ref().unwrap().vertices().iter().map(|v| v.at.x).collect();
    assert!(
        xs.contains(&inch(8.0 - fit)) && xs.contains(&inch(8.75 + fit)) && xs.contains(&inch(0.75 + fit))
    );
    // Contact of a fitted notch is where the two face each other across the fit.
    assert!(!joints.joints[0].contact.is_empty());
}

#[test]
fn a_board_that_passes_inside_the_edges_makes_a_slot() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Left);
    let rail = shop.board("rail", [(0.0, 30.0), (8.0, 8.75), (6.0, 9.0)], Side::Front);
    shop.ask(Verb::Notch, divider, rail).fit = inch(0.01);
    let joints = shop.joined();
    let worked = &joints.worked[divider.0];
    assert_eq!(worked.cuts[0].kind, CutKind::Slot);
    assert_eq!(worked.inside.len(), 1);
    assert!(close(worked.inside[0].area_mm2(), square_inches(0.77 * 3.02)));
    // Seen from the left u runs back to front: 18 - 8.75 - 0.01 from the datum corner.
    assert_eq!(worked.inside[0].extents().low, point(18.0 - 8.76, 5.99));
}

#[test]
fn the_notch_follows_the_chamfer_of_the_stretcher() {
    // Chamfer of 1/4" on the lower back arris: the notch keeps the triangle of 1/4 × 1/4 / 2 that the chamfer takes off.
    let (mut shop, divider, stretcher) = divider_and_stretcher(0.0);
    let chamfer = Profile::Chamfer { along_face: inch(0.25), down_edge: inch(0.25) };
    shop.edge(stretcher, Side::Bottom, chamfer, Arris::Back);
    let joints = shop.joined();
    let kept = 0.25 * 0.25 / 2.0;
    assert!(close(area_of(&joints, divider), square_inches(18.0 * 15.0 - (0.75 * 3.0 - kept))));
    assert_eq!(joints.worked[divider.0].outline.as_ref().unwrap().vertices().len(), 7);
    let made = shop.made();
    assert_eq!(shared_volume(&made.placed[0].solid, &made.placed[1].solid), None);
}

#[test]
fn the_notch_follows_a_chamfer_with_its_fit_mitred() {
    // The sloping side moves out by the fit too: the triangle left shrinks to legs of 1/4 - fit·(2 - √2).
    let (mut shop, divider, stretcher) = divider_and_stretcher(1.0 / 64.0);
    let chamfer = Profile::Chamfer { along_face: inch(0.25), down_edge: inch(0.25) };
    shop.edge(stretcher, Side::Bottom, chamfer, Arris::Back);
    let joints = shop.joined();
    let fit: f64 = 1.0 / 64.0;
    // With the corner of the grown rectangle at (0.75 + f, 12 - f), the line x - y through the chamfer moves out by f√2.
    let leg = 0.25 + 2.0 * fit - fit * 2f64.sqrt();
    let taken = (0.75 + fit) * (3.0 + fit) - leg * leg / 2.0;
    let found = (square_inches(18.0 * 15.0) - area_of(&joints, divider)) / 25.4 / 25.4;
    assert!((found - taken).abs() < 1e-5, "{found} {taken}");
}

#[test]
fn a_rounded_board_leaves_a_rounded_notch() {
    let (mut shop, divider, stretcher) = divider_and_stretcher(0.0);
    shop.edge(stretcher, Side::Bottom, Profile::Round { radius: inch(0.25) }, Arris::Back);
    let joints = shop.joined();
    let kept = 0.25 * 0.25 * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!(close(area_of(&joints, divider), square_inches(18.0 * 15.0 - (0.75 * 3.0 - kept))));
    assert!(joints.worked[divider.0].outline.as_ref().unwrap().vertices().iter().any(|v| v.bulge != 0.0));
}

#[test]
fn a_board_that_goes_only_part_of_the_way_is_no_notch() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let shelf = shop.board("shelf", [(10.5, 30.0), (0.0, 18.0), (6.0, 6.75)], Side::Top);
    shop.ask(Verb::Notch, divider, shelf);
    let (joints, faults) = shop.join();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].check, "notch-not-through");
    assert!(
        faults[0].message.contains("1/4\"") && faults[0].message.contains("3/4\""),
        "{}",
        faults[0].message
    );
    assert!(faults[0].cures[0].text.contains("{house: shelf, in: divider}"), "{:?}", faults[0].cures);
    // Nothing is cut, and the clash that follows from it stays quiet.
    assert!(joints.worked[divider.0].cuts.is_empty());
    assert!(!shop.names().contains(&"clash"));
}

#[test]
fn a_notch_across_the_whole_board_would_part_it() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let shelf = shop.board("shelf", [(0.0, 30.0), (0.0, 18.0), (6.0, 6.75)], Side::Top);
    shop.ask(Verb::Notch, divider, shelf);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["joint-parts-board"]);
}

#[test]
fn boards_that_do_not_meet_are_told_once_with_the_gap() {
    let mut shop = Shop::new();
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let rail = shop.board("rail", [(0.0, 9.875), (8.0, 8.75), (6.0, 9.0)], Side::Front);
    shop.ask(Verb::Notch, divider, rail);
    let (_, faults) = shop.join();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].check, "joint-does-not-meet");
    assert!(faults[0].message.contains("gap of 1/8\""), "{}", faults[0].message);
}

#[test]
fn one_of_many_may_miss_as_long_as_each_meets_one() {
    let mut shop = Shop::new();
    let near = shop.board("divider[1]", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let far = shop.board("divider[2]", [(50.0, 50.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let short = shop.board("short", [(0.0, 30.0), (8.0, 8.75), (12.0, 15.0)], Side::Front);
    let long = shop.board("long", [(0.0, 60.0), (2.0, 2.75), (12.0, 15.0)], Side::Front);
    let line = shop.next_place();
    for (divider, rail) in [(near, short), (near, long), (far, short), (far, long)] {
        let asked = shop.ask(Verb::Notch, divider, rail);
        asked.one_of_many = true;
        asked.place = line;
    }
    let joints = shop.joined();
    assert_eq!(joints.joints.len(), 3);
    // Without the long rail the far divider meets nothing, and that is a fault.
    shop.boards.asked.retain(|asked| asked.second == Other::Board(short));
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["joint-does-not-meet"]);
    assert!(faults[0].message.contains("divider[2]"));
}

#[test]
fn an_egg_crate_gives_half_of_each() {
    let mut shop = Shop::new();
    let across = shop.board("across", [(0.0, 24.0), (6.0, 6.5), (0.0, 4.0)], Side::Front);
    let deep = shop.board("deep", [(10.0, 10.75), (0.0, 12.0), (0.0, 4.0)], Side::Left);
    shop.ask(Verb::Halve, across, deep).fit = inch(0.005);
    let joints = shop.joined();
    assert_eq!(joints.joints[0].depth, Some(inch(2.0)));
    // Each gives (the other's thickness + 2 × 0.005) × 2".
    assert!(close(area_of(&joints, across), square_inches(24.0 * 4.0 - 0.76 * 2.0)));
    assert!(close(area_of(&joints, deep), square_inches(12.0 * 4.0 - 0.51 * 2.0)));
    let notch = &joints.worked[across.0].cuts[0];
    assert_eq!(notch.kind, CutKind::Halving);
    // Cut from the top by default: the first board's notch opens upwards, the second's downwards.
    assert_eq!(notch.outline.extents().low, point(9.995, 2.0));
    assert_eq!(joints.worked[deep.0].cuts[0].outline.extents().high.y, inch(2.0));
    let made = shop.made();
    assert_eq!(shared_volume(&made.placed[0].solid, &made.placed[1].solid), None);
}

#[test]
fn a_halving_with_a_rounded_nose_still_slides_together() {
    // A shelf with its front edge rounded on both arrises: the upright's notch is as wide at its mouth as the shelf is thick.
    let mut shop = Shop::new();
    let upright = shop.board("upright", [(10.0, 10.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.0, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    shop.edge(shelf, Side::Front, Profile::Round { radius: inch(0.125) }, Arris::Both);
    shop.ask(Verb::Halve, upright, shelf).cut_from = Some(Side::Front);
    let joints = shop.joined();
    assert!(close(area_of(&joints, upright), square_inches(12.0 * 30.0 - 0.75 * 6.0)));
    assert!(close(area_of(&joints, shelf), square_inches(12.0 * 24.0 - 0.75 * 6.0)));
}

#[test]
fn halvings_that_cannot_be_slid_together_are_refused() {
    let mut shop = Shop::new();
    let across = shop.board("across", [(0.0, 24.0), (6.0, 6.5), (0.0, 6.0)], Side::Front);
    let deep = shop.board("deep", [(10.0, 10.75), (0.0, 12.0), (0.0, 4.0)], Side::Left);
    shop.ask(Verb::Halve, across, deep).cut_from = Some(Side::Top);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["halving-not-open"]);
    shop.boards.asked[0].cut_from = Some(Side::Left);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["halving-wrong-side"]);
    assert!(faults[0].cures[0].text.contains("bottom") && faults[0].cures[0].text.contains("top"));
    // The cure is tried: cut from the bottom the first opens there, and the second at its own top.
    shop.boards.asked[0].cut_from = Some(Side::Bottom);
    shop.joined();
}

#[test]
fn two_lines_for_one_pair_are_a_fault() {
    let (mut shop, divider, stretcher) = divider_and_stretcher(0.0);
    shop.ask(Verb::House, stretcher, divider);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["joined-twice"]);
}
