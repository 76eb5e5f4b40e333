//! The line that a collar follows, held against the rules that router users print.

use tickstick::jigs::guide::{Corner, Cuts, Shape, Tool, Trouble, follow, relief_centre, relieved};
use tickstick::length::Length;
use tickstick::shape::grow::is_simple;
use tickstick::shape::make::rounded_rectangle;
use tickstick::shape::{Outline, Point, Vertex};

use super::{mm, rectangle, sixteenths};

const STEP: Length = Length::from_units(40_000);

fn tool(bit: Length, follower: Length) -> Tool {
    Tool { bit, follower }
}

fn outline(points: &[(i64, i64, f64)]) -> Outline {
    Outline::new(
        points.iter().map(|(x, y, bulge)| Vertex { at: Point::new(mm(*x), mm(*y)), bulge: *bulge }).collect(),
    )
    .unwrap()
}

#[test]
fn the_offset_is_half_of_collar_less_bit() {
    // Common practice: 1 in collar and 1/2 in bit give 1/4 in; 15 mm and 9 mm give 3 mm.
    assert_eq!(tool(sixteenths(8), sixteenths(16)).offset(), sixteenths(4));
    assert_eq!(tool(mm(9), mm(15)).offset(), mm(3));
    // A bearing is as large as its bit.
    assert_eq!(tool(mm(9), mm(9)).offset(), Length::ZERO);
}

#[test]
fn a_round_hole_of_six_inches() {
    // Common practice: a 6 in hole with a 5/16 in collar and a 1/4 in bit takes a template of 6 1/16 in; and back again,
    // hole = template − collar + bit.
    let hole = Outline::circle(Point::default(), sixteenths(48)).unwrap();
    let shape = Shape::whole(hole, Cuts::Inside);
    let (line, corners) = follow(&shape, tool(sixteenths(4), sixteenths(5)), STEP).unwrap();
    assert_eq!(line.extents().width(), sixteenths(97));
    assert_eq!(line.extents().width() - sixteenths(5) + sixteenths(4), sixteenths(96));
    // A circle it is: area π d² / 4, d = 6.0625 × 25.4 mm.
    let d = 6.0625 * 25.4_f64;
    assert!((line.area_mm2() - std::f64::consts::PI * d * d / 4.0).abs() < 1e-3, "{}", line.area_mm2());
    assert!(corners.is_empty());
}

#[test]
fn an_opening_grows_by_two_offsets_and_takes_the_collars_radius() {
    // 100 × 40 with 15 mm collar and 9 mm bit: 106 × 46, inside corners 7.5 mm so that the collar is never trapped
    // (common geometry: no smaller than half the collar).
    let shape = Shape::whole(rectangle((0, 0), (100, 40)), Cuts::Inside);
    let (line, corners) = follow(&shape, tool(mm(9), mm(15)), STEP).unwrap();
    let around = line.extents();
    assert_eq!((around.width(), around.height()), (mm(106), mm(46)));
    assert_eq!(around.low, Point::new(-mm(3), -mm(3)));
    let wanted = 106.0 * 46.0 - (4.0 - std::f64::consts::PI) * 7.5 * 7.5;
    assert!((line.area_mm2() - wanted).abs() < 1e-4, "{} {wanted}", line.area_mm2());
    assert_eq!(corners.len(), 4);
}

#[test]
fn an_outside_shape_shrinks_by_two_offsets() {
    // Corners of 20 mm stay concentric: 17 mm on the template.
    let part = rounded_rectangle(Point::default(), Point::new(mm(200), mm(120)), mm(20)).unwrap();
    let (line, _) = follow(&Shape::whole(part, Cuts::Outside), tool(mm(9), mm(15)), STEP).unwrap();
    let around = line.extents();
    assert_eq!((around.width(), around.height()), (mm(194), mm(114)));
    let wanted = 194.0 * 114.0 - (4.0 - std::f64::consts::PI) * 17.0 * 17.0;
    assert!((line.area_mm2() - wanted).abs() < 1e-3, "{} {wanted}", line.area_mm2());
}

#[test]
fn a_bearing_follows_the_finished_line_and_leaves_inside_corners_round() {
    let part =
        outline(&[(0, 0, 0.0), (100, 0, 0.0), (100, 60, 0.0), (60, 60, 0.0), (60, 30, 0.0), (0, 30, 0.0)]);
    let area = part.area_mm2();
    let (line, corners) = follow(&Shape::whole(part, Cuts::Outside), tool(mm(12), mm(12)), STEP).unwrap();
    // One inside corner, at (60, 30): a fillet of 6 mm is left in it.
    assert_eq!(corners.iter().map(|c| c.at).collect::<Vec<_>>(), [Point::new(mm(60), mm(30))]);
    let wanted = area + (1.0 - std::f64::consts::PI / 4.0) * 36.0;
    assert!((line.area_mm2() - wanted).abs() < 1e-3, "{} {wanted}", line.area_mm2());
}

#[test]
fn a_slot_as_wide_as_the_bit_is_cut_in_one_pass() {
    let shape = Shape::whole(rectangle((0, 0), (100, 12)), Cuts::Inside);
    let (line, _) = follow(&shape, tool(mm(12), mm(16)), STEP).unwrap();
    assert_eq!((line.extents().width(), line.extents().height()), (mm(104), mm(16)));
}

#[test]
fn what_a_bit_cannot_cut_is_an_error_with_the_largest_that_can() {
    let trouble = |outline: Outline, cuts: Cuts, tool: Tool| {
        follow(&Shape::whole(outline, cuts), tool, STEP).unwrap_err()
    };
    // A slot of 10 mm and a bit of 12.
    let narrow = trouble(rectangle((0, 0), (100, 10)), Cuts::Inside, tool(mm(12), mm(16)));
    assert_eq!(narrow, Trouble::Narrow { largest: Some(mm(10)) });
    // Two rooms with a passage of 8 mm between them: a bit of 9 mm stays in one of them. By steps of half a millimetre the
    // largest that passes is less than 8 mm, for at 8 mm its middle has a line only.
    let rooms = [
        (0, 0, 0.0),
        (40, 0, 0.0),
        (40, 16, 0.0),
        (60, 16, 0.0),
        (60, 0, 0.0),
        (100, 0, 0.0),
        (100, 40, 0.0),
        (60, 40, 0.0),
        (60, 24, 0.0),
        (40, 24, 0.0),
        (40, 40, 0.0),
        (0, 40, 0.0),
    ];
    let passage = trouble(outline(&rooms), Cuts::Inside, tool(mm(9), mm(9)));
    assert_eq!(passage, Trouble::Narrow { largest: Some(mm(15).half()) });
    // A radius of 5 mm and a bit of 12: its middle is at (5 − 5/√2) from both sides.
    let round = rounded_rectangle(Point::default(), Point::new(mm(80), mm(60)), mm(5)).unwrap();
    match trouble(round, Cuts::Inside, tool(mm(12), mm(16))) {
        Trouble::InsideRadius { radius, .. } => assert!((radius - 5.0).abs() < 1e-4),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_collar_that_cannot_reach_is_an_error() {
    let trouble =
        |outline: Outline, tool: Tool| follow(&Shape::whole(outline, Cuts::Outside), tool, STEP).unwrap_err();
    // Rolled round a sharp corner, the bit takes it off by the offset.
    let sharp = trouble(rectangle((0, 0), (100, 60)), tool(mm(9), mm(15)));
    assert_eq!(sharp, Trouble::OutsideCorner { at: Point::new(mm(100), mm(0)) });
    // An outside radius of 2 mm against an offset of 3 mm.
    let small = rounded_rectangle(Point::default(), Point::new(mm(80), mm(60)), mm(2)).unwrap();
    match trouble(small, tool(mm(9), mm(15))) {
        Trouble::OutsideRadius { radius, .. } => assert!((radius - 2.0).abs() < 1e-4),
        other => panic!("{other:?}"),
    }
    // A waist of 4 mm between two half circles of 28 mm across: smaller by 3 mm on both sides there is no template left. With
    // 9 mm of bit and steps of 0.5 mm the largest collar is one that is less than 4 mm larger.
    let waist = outline(&[
        (0, 0, 0.0),
        (36, 0, -1.0),
        (64, 0, 0.0),
        (100, 0, 0.0),
        (100, 32, 0.0),
        (64, 32, -1.0),
        (36, 32, 0.0),
        (0, 32, 0.0),
    ]);
    let walls = vec![false, true, false, false, false, true, false, false];
    let shape = Shape { outline: waist, walls, cuts: Cuts::Outside };
    match follow(&shape, tool(mm(9), mm(15)), STEP) {
        Err(Trouble::Frail { largest: Some(largest) }) => {
            assert!(largest > mm(12) && largest <= mm(13), "{largest:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_relieved_corner_is_just_reached() {
    // Dog-bone (common geometry): with a radius of 3 mm the middle stands 3/√2 = 2.1213 mm from both sides, and the bit goes
    // 3 − 2.1213 = 0.8787 mm beyond each. With r = 1/8 in: 0.08839 in and 0.03661 in.
    let half = std::f64::consts::FRAC_PI_4;
    let into = (half.cos(), half.sin());
    let corner = Corner { at: Point::default(), into, half_angle: half };
    let centre = relief_centre(&corner, mm(6));
    assert!((centre.0 - 2.1213).abs() < 1e-4 && (centre.1 - 2.1213).abs() < 1e-4, "{centre:?}");
    assert!((3.0 - centre.0 - 0.8787).abs() < 1e-4);
    let inch = relief_centre(&corner, sixteenths(4)).0 / 25.4;
    assert!((inch - 0.08839).abs() < 1e-5 && (0.125 - inch - 0.03661).abs() < 1e-5, "{inch}");

    let tool = tool(mm(6), mm(10));
    let shape = Shape::whole(rectangle((0, 0), (80, 60)), Cuts::Inside);
    let (line, corners) = follow(&shape, tool, STEP).unwrap();
    let bone = relieved(&line, &corners, tool, Cuts::Inside).unwrap();
    assert!(is_simple(&bone));
    // The collar of radius 5 stands with its middle at 2.1213: the template reaches 5 − 2.1213 = 2.8787 mm beyond the wall,
    // where the plain line reaches 2 mm.
    let around = bone.extents();
    assert!((around.low.x.to_mm() + 2.8787).abs() < 1e-4, "{:?}", around.low);
    assert!((around.width().to_mm() - 85.7574).abs() < 2e-4);
}
