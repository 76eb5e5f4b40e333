//! Outlines, cuts, solids and views against arithmetic and against a second polygon engine.

use tickstick::length::Length;
use tickstick::shape::cut::{self, CutFault, OffsetFault};
use tickstick::shape::{Outline, Plate, Point, Vertex};

fn mm(value: i64) -> Length {
    Length::MM * value
}

fn at(x: i64, y: i64) -> Point {
    Point::new(mm(x), mm(y))
}

fn rectangle(x0: i64, y0: i64, x1: i64, y1: i64) -> Outline {
    Outline::rectangle(at(x0, y0), at(x1, y1)).expect("a rectangle with size")
}

fn corners(outline: &Outline) -> Vec<(i64, i64)> {
    outline
        .canonical()
        .vertices()
        .iter()
        .map(|v| (v.at.x.units() / 80_000, v.at.y.units() / 80_000))
        .collect()
}

fn only(plates: Result<Vec<Plate>, CutFault>) -> Plate {
    let mut plates = plates.expect("a sound cut");
    assert_eq!(plates.len(), 1, "{plates:?}");
    plates.remove(0)
}

#[test]
fn a_notch_breaks_the_edge_with_exact_corners() {
    let left = only(cut::subtract(&Plate::whole(rectangle(0, 0, 600, 300)), &rectangle(200, 200, 250, 310)));
    assert_eq!(
        corners(&left.outline),
        [(0, 0), (600, 0), (600, 300), (250, 300), (250, 200), (200, 200), (200, 300), (0, 300)]
    );
    // 600 × 300 − 50 × 100 = 175 000 mm²; twice that in square units, exactly.
    assert_eq!(left.outline.exact_double_area(), Some(2 * 175_000 * 80_000 * 80_000));
}

#[test]
fn a_slot_lies_inside_and_two_slots_that_meet_become_one() {
    let plate = only(cut::subtract(&Plate::whole(rectangle(0, 0, 600, 300)), &rectangle(100, 100, 150, 200)));
    assert_eq!(plate.inside.len(), 1);
    assert_eq!(plate.area_mm2(), 600.0 * 300.0 - 50.0 * 100.0);
    let plate = only(cut::subtract(&plate, &rectangle(300, 100, 350, 200)));
    assert_eq!(plate.inside.len(), 2);
    let plate = only(cut::subtract(&plate, &rectangle(120, 140, 320, 160)));
    assert_eq!(plate.inside.len(), 1);
    // Slots of 5000 each, and a bridge of 150 × 20 between them.
    assert_eq!(plate.area_mm2(), 180_000.0 - 10_000.0 - 3_000.0);
    // From the edge into the opening: all becomes one notch.
    let plate = only(cut::subtract(&plate, &rectangle(310, 150, 320, 400)));
    assert!(plate.inside.is_empty());
    assert_eq!(plate.area_mm2(), 167_000.0 - 10.0 * 100.0);
}

#[test]
fn a_cut_may_part_miss_or_finish_the_plate() {
    let plate = Plate::whole(rectangle(0, 0, 600, 300));
    let parted = cut::subtract(&plate, &rectangle(290, -10, 310, 310)).unwrap();
    assert_eq!(parted.iter().map(Plate::area_mm2).collect::<Vec<_>>(), [290.0 * 300.0; 2]);
    assert_eq!(only(cut::subtract(&plate, &rectangle(600, 0, 700, 300))), plate);
    assert_eq!(cut::subtract(&plate, &rectangle(0, 0, 600, 300)), Err(CutFault::NothingLeft));
    assert_eq!(cut::subtract(&plate, &rectangle(-5, -5, 700, 700)), Err(CutFault::NothingLeft));
    // A ring that closes round an island: frame out of two U-shaped cuts.
    let u = |x0, x1| {
        let corner = |x, y| Vertex { at: at(x, y), bulge: 0.0 };
        Outline::new(vec![
            corner(100, 100),
            corner(200, 100),
            corner(200, 110),
            corner(110, 110),
            corner(110, 190),
            corner(200, 190),
            corner(200, 200),
            corner(100, 200),
        ])
        .unwrap()
        .mapped(|p| Point::new(mm(x0) + p.x * x1, p.y), x1 < 0)
    };
    let once = only(cut::subtract(&plate, &u(0, 1)));
    let twice = cut::subtract(&once, &u(400, -1)).unwrap();
    // The island is 180 × 80, and the plate has an opening of 200 × 100.
    assert_eq!(twice.iter().map(Plate::area_mm2).collect::<Vec<_>>(), [180_000.0 - 20_000.0, 180.0 * 80.0]);
}

#[test]
fn an_offset_is_true_and_says_when_the_tool_does_not_fit() {
    // L of 100 × 100 less 60 × 60: outward 10 adds 10 round a line of 400 mm and five quarter circles, less the
    // square of 10 × 10 that the re-entrant corner saves: 6400 + 4000 + 5·π·100/4 − 100 = 10 692.7.
    let corner = |x, y| Vertex { at: at(x, y), bulge: 0.0 };
    let l = Outline::new(vec![
        corner(0, 0),
        corner(100, 0),
        corner(100, 40),
        corner(40, 40),
        corner(40, 100),
        corner(0, 100),
    ])
    .unwrap();
    let out = cut::offset_whole(&l, mm(10)).unwrap();
    let expected = 6400.0 + 4000.0 + 5.0 * std::f64::consts::PI * 25.0 - 100.0;
    assert!((out.area_mm2() - expected).abs() < 1e-3, "{}", out.area_mm2());
    assert_eq!(cut::offset(&l, mm(-24)), Err(OffsetFault::Vanishes));
    // Two squares of 40 joined by a bar 10 wide fall apart inside; outside, a slot 10 wide closes for a tool of 8.
    // Inward, the point furthest in keeps r with √2·(40 − r) = r, r = 23.43 mm.
    let dumb_bell =
        only(cut::union(&[rectangle(0, 0, 40, 40), rectangle(40, 15, 100, 25), rectangle(100, 0, 140, 40)]));
    assert_eq!(cut::offset_whole(&dumb_bell.outline, mm(-8)), Err(OffsetFault::Splits { loops: 2 }));
}
