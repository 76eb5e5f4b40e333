//! Fixings laid out by rule: counts, places, lengths, holes; each figure from its source.

use tickstick::boards::*;
use tickstick::joints::Joints;
use tickstick::trade::{Face, Side, Units};

use super::*;

/// An upright of a face frame (1 1/2" wide, 3/4" stock) between two rails; pocket screws in its ends.
fn frame_upright(width: f64) -> Joints {
    let mut shop = Shop::new();
    let upright = shop.board("upright", [(10.0, 10.0 + width), (0.0, 0.75), (2.0, 14.0)], Side::Front);
    let low = shop.board("rail_low", [(0.0, 40.0), (0.0, 0.75), (0.0, 2.0)], Side::Front);
    let high = shop.board("rail_high", [(0.0, 40.0), (0.0, 0.75), (14.0, 16.0)], Side::Front);
    for rail in [low, high] {
        shop.ask(Verb::Butt, upright, rail).fix = vec![fix(FixingKind::PocketScrews)];
    }
    shop.joined()
}

#[test]
fn two_pocket_holes_in_each_end_of_a_face_frame_upright() {
    // Common practice: two on each end.
    for width in [1.5, 2.0, 3.0] {
        let joints = frame_upright(width);
        assert_eq!(joints.fixings.len(), 4, "{width}");
        assert_eq!(joints.worked[0].bores.len(), 4);
        assert!(joints.fixings.iter().all(|f| f.through == BoardId(0) && f.length == inch(1.25)));
    }
    // At 1 1/2" they stand 1/2" from the edges and 1/2" apart (from memory: 1/2" to 3/4" from the edge).
    let heads: Vec<_> = frame_upright(1.5).fixings[..2].iter().map(|f| f.head[0]).collect();
    assert_eq!(heads, [inch(10.5), inch(11.0)]);
}

#[test]
fn three_pocket_holes_in_an_end_panel() {
    // Common practice: three on an end panel.
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 18.0), (10.0, 10.75)], Side::Top);
    let end = shop.board("end", [(0.0, 0.75), (0.0, 18.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, end).fix = vec![fix(FixingKind::PocketScrews)];
    let joints = shop.joined();
    let places: Vec<_> = joints.fixings.iter().map(|f| f.head[1]).collect();
    assert_eq!(places, [inch(2.0), inch(9.0), inch(16.0)]);
}

#[test]
fn a_pocket_screw_is_bored_at_fifteen_degrees_and_leaves_the_middle_of_the_end() {
    // 15° (typical trade value). In 3/4" stock the axis leaves the end 3/8" below the bored face, and meets that face
    // 3/8" / tan 15° = 1.39952" from the end.
    let joints = frame_upright(1.5);
    let bore = &joints.worked[0].bores[0];
    assert_eq!((bore.degrees, bore.from, bore.diameter), (15.0, Face::Back, inch(0.375)));
    assert_eq!(bore.leaves, point(0.5, 0.0));
    assert_eq!(bore.leaves_depth, inch(0.375));
    assert_eq!(bore.at.x, inch(0.5));
    assert!((bore.at.y.to_mm() / 25.4 - 1.399_519).abs() < 1e-6, "{}", bore.at.y.to_mm() / 25.4);
    // Half of the 1 1/4" screw bites: 0.625 · cos 15° = 0.6037" into the rail, so 0.146" short of 3/4".
    let fixing = &joints.fixings[0];
    let tip = fixing.head[2].to_mm() + fixing.direction[2] * fixing.length.to_mm();
    assert!((tip / 25.4 - (2.0 - 0.603_704)).abs() < 1e-5, "{}", tip / 25.4);
}

#[test]
fn pockets_go_where_they_are_asked_to() {
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 18.0), (10.0, 10.75)], Side::Top);
    let end = shop.board("end", [(0.0, 0.75), (0.0, 18.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, end).fix = vec![Fix {
        from: Some(Side::Top),
        count: Some(4),
        ends: Some(inch(1.5)),
        length: Some(inch(1.0)),
        ..fix(FixingKind::PocketScrews)
    }];
    let joints = shop.joined();
    let places: Vec<_> = joints.fixings.iter().map(|f| f.head[1]).collect();
    assert_eq!(places, [inch(1.5), inch(6.5), inch(11.5), inch(16.5)]);
    assert!(joints.fixings.iter().all(|f| f.length == inch(1.0) && f.direction[2] < 0.0));
    assert!(joints.worked[shelf.0].bores.iter().all(|b| b.from == Face::Show));
    // From the front there is no face to bore.
    shop.boards.asked[0].fix[0].from = Some(Side::Front);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["fixing-cannot-hold"]);
    assert!(faults[0].cures[0].text.contains("bottom") && faults[0].cures[0].text.contains("top"));
}

#[test]
fn a_back_panel_is_held_by_staples_of_an_inch_and_a_half() {
    // Common practice: 1/4" backs, 1 1/2" staples. Through the panel into the edge of the divider.
    let mut shop = Shop::new();
    let back = shop.board("back", [(0.0, 30.0), (18.0, 18.25), (0.0, 15.0)], Side::Front);
    let divider = shop.board("divider", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Left);
    shop.ask(Verb::Butt, back, divider).fix = vec![fix(FixingKind::Staples)];
    let joints = shop.joined();
    // 15" less 1" at each end: 13" in three gaps of at most 6".
    assert_eq!(joints.fixings.len(), 4);
    for (number, fixing) in joints.fixings.iter().enumerate() {
        assert_eq!((fixing.through, fixing.length, fixing.kind), (back, inch(1.5), FixingKind::Staples));
        assert_eq!(fixing.head[0], inch(10.375));
        assert_eq!(fixing.head[1], inch(18.25));
        assert_eq!(fixing.direction, [0.0, -1.0, 0.0]);
        let at = 1.0 + 13.0 / 3.0 * number as f64;
        assert!((fixing.head[2].to_mm() / 25.4 - at).abs() < 1e-6);
    }
    // Staples make no holes on a drawing.
    assert!(joints.worked[back.0].holes.is_empty());
}

#[test]
fn screws_have_the_diameters_and_holes_of_the_handbook() {
    // ASME B18.6.1: D = 0.060 + 0.013 n, so #8 is 0.164"; clearance 11/64"; two thirds of a 2" screw in the second board.
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix = vec![fix(FixingKind::Screws)];
    let joints = shop.joined();
    // 12" less 2" at each end is one gap of 8".
    assert_eq!(joints.fixings.iter().map(|f| f.head[1]).collect::<Vec<_>>(), [inch(2.0), inch(10.0)]);
    let screw = &joints.fixings[0];
    assert_eq!((screw.gauge, screw.diameter, screw.length), (Some(8), inch(0.164), inch(2.0)));
    // Through the face of the side into the end of the shelf, in the middle of its thickness.
    assert_eq!((screw.through, screw.head), (side, [inch(0.0), inch(2.0), inch(10.375)]));
    let hole = &joints.worked[side.0].holes[0];
    assert_eq!((hole.diameter, hole.depth, hole.from), (inch(11.0 / 64.0), None, Face::Show));
    assert_eq!(hole.countersink, Some(inch(0.328)));
    // Face coordinates of a board that shows its left: u runs from back to front.
    assert_eq!(hole.at, point(10.0, 10.375));
    // The pilot in the end is bored through the clearance hole.
    assert!(joints.worked[shelf.0].holes.is_empty());
}

#[test]
fn other_gauges_and_the_ones_nobody_sells() {
    // ASME B18.6.1 relation: #4 0.112, #6 0.138, #10 0.190, #12 0.216, #14 0.242.
    for (gauge, diameter) in [(4, 0.112), (6, 0.138), (10, 0.190), (12, 0.216), (14, 0.242)] {
        let mut shop = Shop::new();
        let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
        let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
        shop.ask(Verb::Butt, shelf, side).fix = vec![Fix { gauge: Some(gauge), ..fix(FixingKind::Screws) }];
        assert_eq!(shop.joined().fixings[0].diameter, inch(diameter));
        shop.boards.asked[0].fix[0].gauge = Some(11);
        let (_, faults) = shop.join();
        assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["unknown-gauge"]);
    }
}

#[test]
fn face_to_face_from_the_thinner_or_from_where_asked_and_never_through() {
    // A filler of 3/4" under a top of 1 1/4": 1 1/2 × 3/4" bite wants 1 7/8"; 3/4 + 1 1/4 - 1/8 of cover allows it: 1 3/4"
    // is the longest sold that does.
    let mut shop = Shop::new();
    let filler = shop.board("filler", [(0.0, 30.0), (0.0, 3.0), (10.0, 10.75)], Side::Bottom);
    let top = shop.board("top", [(0.0, 30.0), (0.0, 18.0), (10.75, 12.0)], Side::Top);
    shop.boards.job.stock[1].species = Some("white ash".into());
    shop.boards.job.stock[1].form = StockForm::Solid { widths: vec![], lengths: vec![], glue_up: true };
    shop.ask(Verb::Butt, top, filler).fix = vec![fix(FixingKind::Screws)];
    let joints = shop.joined();
    let screw = &joints.fixings[0];
    assert_eq!((screw.through, screw.length, screw.direction), (filler, inch(1.75), [0.0, 0.0, 1.0]));
    // 30" less 2" at each end: 26" in four gaps; one row down the middle of a 3" strip.
    assert_eq!(joints.fixings.len(), 5);
    assert!(joints.fixings.iter().all(|f| f.head[1] == inch(1.5)));
    // The top gets blind pilots as deep as the screw bites, of the hardwood chart: #8 3/32".
    let pilot = &joints.worked[top.0].holes[0];
    assert_eq!(
        (pilot.diameter, pilot.depth, pilot.from, pilot.why),
        (inch(6.0 / 64.0), Some(inch(1.0)), Face::Back, HoleKind::Pilot)
    );
    shop.boards.asked[0].fix[0].from = Some(Side::Top);
    let joints = shop.joined();
    assert_eq!((joints.fixings[0].through, joints.fixings[0].direction), (top, [0.0, 0.0, -1.0]));
    shop.boards.asked[0].fix[0].from = Some(Side::Left);
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["fixing-from-wrong-side"]);
}

#[test]
fn half_inch_trim_takes_inch_and_a_half_brads() {
    // Finish nails: two thirds in the base, so 1/2" trim takes a 1 1/2" nail (trade rule of the nail's thirds).
    let mut shop = Shop::new();
    let trim = shop.board("trim", [(0.0, 30.0), (0.0, 0.5), (10.0, 12.0)], Side::Front);
    let stud = shop.board("stud", [(0.0, 30.0), (0.5, 4.0), (10.25, 11.75)], Side::Top);
    shop.ask(Verb::Butt, trim, stud).fix = vec![fix(FixingKind::Glue), fix(FixingKind::Brads)];
    let joints = shop.joined();
    assert!(joints.joints[0].glue);
    assert!(joints.fixings.iter().all(|f| f.length == inch(1.5) && f.through == trim));
    // Straight into the middle of the edge.
    assert!(joints.fixings.iter().all(|f| f.head[2] == inch(11.0)));
}

#[test]
fn dowels_are_blind_in_both_boards() {
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix = vec![fix(FixingKind::Dowels)];
    let joints = shop.joined();
    // 12" less 1" at each end: 10" in two gaps of at most 6".
    assert_eq!(joints.fixings.len(), 3);
    let (hole, bore) = (&joints.worked[side.0].holes[0], &joints.worked[shelf.0].bores[0]);
    // 3/4" side less 1/4" of cover takes 1/2"; a 1 1/2" dowel has 1" in the shelf; both bored 1/16" deeper.
    assert_eq!(joints.fixings[0].length, inch(1.5));
    assert_eq!((hole.diameter, hole.depth, hole.from), (inch(0.375), Some(inch(0.5625)), Face::Back));
    assert_eq!((bore.degrees, bore.diameter, bore.leaves_depth), (0.0, inch(0.375), inch(0.375)));
    assert_eq!((bore.leaves.x, bore.at.x), (inch(0.0), inch(1.0625)));
    // Its middle lies 1/4" inside the shelf's end.
    assert_eq!(joints.fixings[0].head[0], inch(1.0));
}

#[test]
fn screws_in_a_housing_go_through_its_floor_and_staples_in_a_rebate_through_the_panel() {
    let mut shop = Shop::new();
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    let shelf = shop.board("shelf", [(0.5, 24.0), (0.0, 11.75), (10.0, 10.75)], Side::Top);
    let back = shop.board("back", [(0.375, 24.0), (11.75, 12.0), (0.0, 30.0)], Side::Front);
    shop.ask(Verb::House, shelf, side).fix = vec![fix(FixingKind::Screws)];
    shop.ask(Verb::House, back, side).fix = vec![fix(FixingKind::Staples)];
    let joints = shop.joined();
    let screws: Vec<_> = joints.fixings.iter().filter(|f| f.kind == FixingKind::Screws).collect();
    assert!(screws.iter().all(|f| f.through == side && f.head[0] == inch(0.0) && f.head[2] == inch(10.375)));
    let staples: Vec<_> = joints.fixings.iter().filter(|f| f.kind == FixingKind::Staples).collect();
    // The shoulder reaches from 3/8" to 3/4": its middle is 9/16". The shelf's housing breaks it: 10" with three staples under
    // the housing, 19 1/4" with four above, none in the 1/8" that the housing leaves.
    assert!(
        staples
            .iter()
            .all(|f| f.through == back && f.head[0] == inch(0.5625) && f.direction == [0.0, -1.0, 0.0])
    );
    assert_eq!(staples.len(), 7);
    assert!(staples.iter().all(|f| f.head[2] < inch(9.5) || f.head[2] > inch(11.25)));
}

#[test]
fn a_board_fixed_to_the_wall_needs_a_side() {
    let mut shop = Shop::new();
    let cleat = shop.board("cleat", [(0.0, 30.0), (0.0, 0.75), (10.0, 13.0)], Side::Front);
    let asked = shop.ask(Verb::Butt, cleat, cleat);
    asked.second = Other::Wall;
    asked.fix = vec![fix(FixingKind::Screws)];
    let (_, faults) = shop.join();
    assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["fixing-side-unknown"]);
    shop.boards.asked[0].fix[0].from = Some(Side::Front);
    let joints = shop.joined();
    // 3/4" and 1/2" of wallboard and 1 1/4" of stud: 2 1/2".
    assert!(joints.fixings.iter().all(|f| f.length == inch(2.5) && f.into == Other::Wall));
    assert_eq!(shop.checked().iter().map(|f| f.check).collect::<Vec<_>>(), Vec::<&str>::new());
}

#[test]
fn metric_jobs_take_metric_lengths() {
    let mut shop = Shop::new();
    shop.boards.job.units = Units::Millimetre;
    let span = |low: f64, high: f64| Interval { low: mm(low), high: mm(high) };
    let shelf =
        shop.board_exactly("shelf", [span(18.0, 600.0), span(0.0, 300.0), span(200.0, 218.0)], Side::Top);
    let side = shop.board_exactly("side", [span(0.0, 18.0), span(0.0, 300.0), span(0.0, 900.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side).fix = vec![fix(FixingKind::Screws)];
    let joints = shop.joined();
    // 18 + 1.5 × 18 = 45 mm is sold; 50 mm from the ends, 200 mm between.
    assert_eq!(
        joints.fixings.iter().map(|f| (f.length, f.head[1])).collect::<Vec<_>>(),
        [(mm(45.0), mm(50.0)), (mm(45.0), mm(250.0))]
    );
}

#[test]
fn brads_step_aside_for_what_is_bored() {
    // A rail pocket-screwed to a stile and bradded to the board behind it: the rule puts the first brad where the pocket of
    // the screw lies.
    let mut shop = Shop::new();
    let stile = shop.board("stile", [(0.0, 1.5), (0.0, 0.75), (0.0, 12.0)], Side::Front);
    let rail = shop.board("rail", [(1.5, 20.0), (0.0, 0.75), (2.0, 3.25)], Side::Front);
    let shelf = shop.board("shelf", [(1.5, 20.0), (0.75, 12.0), (2.25, 3.0)], Side::Top);
    shop.ask(Verb::Butt, rail, stile).fix = vec![fix(FixingKind::PocketScrews)];
    shop.ask(Verb::Butt, rail, shelf).fix = vec![fix(FixingKind::Brads)];
    let joints = shop.joined();
    // One pocket screw in an end narrower than 1 1/2" (from memory), in its middle.
    assert_eq!(joints.worked[rail.0].bores.len(), 1);
    assert_eq!(joints.worked[rail.0].bores[0].leaves, point(0.0, 0.625));
    let brads: Vec<_> =
        joints.fixings.iter().filter(|f| f.kind == FixingKind::Brads).map(|f| f.head[0]).collect();
    // The rule: 1 1/2" from the ends of 18 1/2", 15 1/2" in two gaps. The pocket reaches 1.4" in and is 3/16" in radius at a
    // slope, so the first brad steps in by eighths until 1/8" of wood is between.
    assert_eq!(brads[1..], [inch(10.75), inch(18.5)]);
    assert!(brads[0] > inch(3.0) && brads[0] < inch(4.0), "{:?}", brads[0]);
    assert_eq!((brads[0] - inch(3.0)).units() % inch(0.125).units(), 0);
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn figures_that_leave_no_room_are_told() {
    let mut shop = Shop::new();
    let shelf = shop.board("shelf", [(0.75, 24.0), (0.0, 12.0), (10.0, 10.75)], Side::Top);
    let side = shop.board("side", [(0.0, 0.75), (0.0, 12.0), (0.0, 30.0)], Side::Left);
    shop.ask(Verb::Butt, shelf, side);
    let figures = [
        Fix { ends: Some(inch(7.0)), ..fix(FixingKind::Screws) },
        Fix { spacing: Some(Length::from_units(1)), ..fix(FixingKind::Screws) },
        Fix { count: Some(1_000_000_000), ..fix(FixingKind::Brads) },
    ];
    for figure in figures {
        shop.boards.asked[0].fix = vec![figure];
        let (joints, faults) = shop.join();
        assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), ["fixing-no-room"]);
        assert!(joints.fixings.is_empty());
    }
    // The cure is tried: less than half of the 12" contact.
    shop.boards.asked[0].fix = vec![Fix { ends: Some(inch(5.5)), ..fix(FixingKind::Screws) }];
    assert_eq!(shop.joined().fixings.len(), 2);
}
