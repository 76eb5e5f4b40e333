//! Housings, grooves, rebates, stops, mitres, butts.

use tickstick::boards::*;
use tickstick::shape::clash::shared_volume;
use tickstick::trade::{Face, Side};

use super::*;

/// A side 12" deep and 30" high that shows its left, and a shelf that reaches 1/4" into its inner face.
fn side_and_shelf() -> (Shop, BoardId, BoardId) {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.5, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    (shop, side, shelf)
}

fn no_clash(shop: &Shop) {
    let made = shop.made();
    for one in 0..made.placed.len() {
        for other in one + 1..made.placed.len() {
            assert_eq!(
                shared_volume(&made.placed[one].solid, &made.placed[other].solid),
                None,
                "{one} {other}"
            );
        }
    }
}

#[test]
fn a_shelf_runs_through_a_housing_across_the_grain() {
    let (mut shop, side, shelf) = side_and_shelf();
    shop.ask(Verb::House, shelf, side).fit = inch(1.0 / 128.0);
    let joints = shop.joined();
    let pockets = &joints.worked[side.0].pockets;
    assert_eq!(pockets.len(), 1);
    assert_eq!(
        (pockets[0].kind, pockets[0].from, pockets[0].depth),
        (PocketKind::Housing, Face::Back, inch(0.25))
    );
    // As wide as the shelf and a fit on each side; as long as the side is deep and no longer.
    let around = pockets[0].outline.extents();
    assert_eq!((around.width(), around.height()), (inch(12.0), inch(0.75 + 2.0 / 128.0)));
    assert_eq!(joints.joints[0].depth, Some(inch(0.25)));
    // The floor of the housing is contact: 12" × 3/4".
    let floor = joints.joints[0].contact.iter().find(|area| area.side == Side::Left).unwrap();
    assert_eq!(
        (floor.low, floor.high),
        ([inch(0.5), inch(0.0), inch(10.0)], [inch(0.5), inch(12.0), inch(10.75)])
    );
    no_clash(&shop);
}

#[test]
fn along_the_grain_it_is_a_groove_and_along_an_edge_a_rebate() {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let inner = shop.board("inner_back", [(0.375, 24.0), (10.0, 10.25), (0.0, 30.0)], Side::Front);
    let back = shop.board("back", [(0.375, 24.0), (11.75, 12.0), (0.0, 30.0)], Side::Front);
    shop.ask(Verb::House, inner, side);
    shop.ask(Verb::House, back, side);
    let joints = shop.joined();
    let kinds: Vec<_> = joints.worked[side.0].pockets.iter().map(|p| (p.kind, p.depth)).collect();
    assert_eq!(kinds, [(PocketKind::Groove, inch(0.375)), (PocketKind::Rebate, inch(0.375))]);
    no_clash(&shop);
    // Without a grain the longer way of the board counts: up, so a shelf makes a housing all the same.
    shop.of(side).grain = Grain::Free;
    let joints = shop.joined();
    assert_eq!(joints.worked[side.0].pockets[0].kind, PocketKind::Groove);
}

#[test]
fn a_stopped_housing_ends_where_asked_and_the_tongue_has_a_shoulder() {
    let (mut shop, side, shelf) = side_and_shelf();
    let asked = shop.ask(Verb::House, shelf, side);
    asked.stopped = vec![(Side::Front, inch(0.5))];
    asked.fit = inch(1.0 / 64.0);
    let joints = shop.joined();
    // Seen on its left face u runs back to front: the housing goes from the back edge (0) to 11 1/2".
    let around = joints.worked[side.0].pockets[0].outline.extents();
    assert_eq!((around.low.x, around.high.x), (inch(0.0), inch(11.5)));
    // The tongue is cut back to 1/2" and the fit, 1/4" deep: the shoulder stands on the side's face.
    let shoulder = joints.worked[shelf.0].cuts[0].outline.extents();
    assert_eq!((shoulder.width(), shoulder.height()), (inch(0.25), inch(0.5 + 1.0 / 64.0)));
    assert!(close(area_of(&joints, shelf), square_inches(23.5 * 12.0 - 0.25 * (0.5 + 1.0 / 64.0))));
    no_clash(&shop);
}

#[test]
fn a_shelf_that_ends_short_of_the_stop_needs_no_shoulder() {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.5, 24.0), (1.0, 12.0), (10.0, 10.75)], Side::Top);
    shop.ask(Verb::House, shelf, side).stopped = vec![(Side::Front, inch(0.5))];
    let joints = shop.joined();
    assert!(joints.worked[shelf.0].cuts.is_empty());
    assert_eq!(joints.worked[side.0].pockets[0].outline.extents().width(), inch(11.0));
    no_clash(&shop);
}

/// A board that ends where its housing does keeps its end: there the housing is longer by the fit and nothing is cut off.
#[test]
fn a_shelf_that_ends_at_the_stop_keeps_its_end() {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.5, 24.0), (0.5, 12.0), (10.0, 10.75)], Side::Top);
    let asked = shop.ask(Verb::House, shelf, side);
    asked.stopped = vec![(Side::Front, inch(0.5))];
    asked.fit = inch(1.0 / 64.0);
    let joints = shop.joined();
    assert!(joints.worked[shelf.0].cuts.is_empty());
    // From the back edge to the shelf's end, 11 1/2", and the fit.
    let around = joints.worked[side.0].pockets[0].outline.extents();
    assert_eq!((around.low.x, around.high.x), (inch(0.0), inch(11.5 + 1.0 / 64.0)));
    no_clash(&shop);
}

#[test]
fn stops_must_lie_along_the_housing() {
    let (mut shop, side, shelf) = side_and_shelf();
    shop.ask(Verb::House, shelf, side).stopped = vec![(Side::Top, inch(0.5))];
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["stop-across-housing"]);
    assert!(faults[0].cures[0].text.contains("front or back"));
}

#[test]
fn a_housing_must_leave_wood() {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.0, 24.0), (0.0, 6.0), (10.0, 10.75)], Side::Top);
    shop.ask(Verb::House, shelf, side);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["housing-goes-through"]);
    // The cure is tried.
    assert!(faults[0].cures[0].text.contains("{notch: side, around: shelf}"));
    shop.boards.asked.clear();
    shop.ask(Verb::Notch, side, shelf);
    shop.joined();
}

#[test]
fn a_mitre_of_equal_boards_is_cut_at_45_degrees() {
    let mut shop = Shop::new();
    let top = shop.board("top", [(0.0, 24.0), (0.0, 12.0), (29.25, 30.0)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Mitre, top, side);
    let joints = shop.joined();
    for (id, run) in [(top, 0.75), (side, 0.75)] {
        let bevel = &joints.worked[id.0].bevels[0];
        assert_eq!((bevel.run, bevel.long), (inch(run), Face::Show));
        assert!((bevel.degrees - 45.0).abs() < 1e-9);
    }
    no_clash(&shop);
}

#[test]
fn a_mitre_of_unequal_boards_has_two_angles_that_make_a_right_one() {
    // 1" and 1/2": the line from the outer to the inner corner lies at atan(1/2 / 1) and atan(1 / 1/2).
    let mut shop = Shop::new();
    let top = shop.board("top", [(0.0, 24.0), (0.0, 12.0), (29.0, 30.0)], Side::Top);
    let side = shop.board("side", [(0.0, 0.5), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Mitre, top, side);
    let joints = shop.joined();
    let (a, b) = (&joints.worked[top.0].bevels[0], &joints.worked[side.0].bevels[0]);
    assert_eq!((a.run, b.run), (inch(0.5), inch(1.0)));
    assert!((a.degrees - 26.565_051_177_078).abs() < 1e-9, "{}", a.degrees);
    assert!((a.degrees + b.degrees - 90.0).abs() < 1e-9);
    no_clash(&shop);
}

#[test]
fn a_mitre_needs_both_boards_at_the_outer_corner() {
    let mut shop = Shop::new();
    let top = shop.board("top", [(0.25, 24.0), (0.0, 12.0), (29.25, 30.0)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Mitre, top, side);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["mitre-not-at-corner"]);
    assert!(
        faults[0].message.contains("bench.top must end at the left face of bench.side"),
        "{}",
        faults[0].message
    );
    assert!(faults[0].cures[0].text.contains("0\""));
}

#[test]
fn a_gap_and_an_overlap_at_a_butt_are_told_with_their_size() {
    for (left, word) in [(0.75 + 1.0 / 16.0, "gap of 1/16\""), (0.75 - 1.0 / 32.0, "overlap by 1/32\"")] {
        let mut shop = Shop::new();
        let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
        let shelf = shop.board("shelf", [(left, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
        shop.ask(Verb::Butt, shelf, side);
        let faults = shop.checked();
        assert_eq!(
            faults.iter().map(|f| f.check).filter(|c| *c != "loose-board").collect::<Vec<_>>(),
            ["gap-at-butt"]
        );
        let fault = faults.iter().find(|f| f.check == "gap-at-butt").unwrap();
        assert!(fault.message.contains(word), "{}", fault.message);
        // The cure names where the face must go: 3/4" in the room.
        assert!(
            fault.cures[0].text.contains("left") && fault.cures[0].text.contains("3/4\""),
            "{:?}",
            fault.cures
        );
    }
}

#[test]
fn touching_boards_have_their_true_contact() {
    // A shelf whose front is rounded touches the side only behind the round: 12 - 1/4 + the round's flat part is no contact.
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 14.0), (10.0, 10.75)], Side::Top);
    shop.ask(Verb::Butt, shelf, side);
    let joints = shop.joined();
    let contact = &joints.joints[0].contact;
    assert_eq!(contact.len(), 1);
    assert_eq!(contact[0].side, Side::Left);
    assert_eq!(
        (contact[0].low, contact[0].high),
        ([inch(0.75), inch(0.0), inch(10.0)], [inch(0.75), inch(12.0), inch(10.75)])
    );
}
