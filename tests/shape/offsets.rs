//! Offsets of random outlines, free and hollow ones too, held against what an offset is: the places nearer than so much. The
//! distances come from the outline itself, so no other offset is trusted.

use proptest::prelude::*;
use tickstick::length::Length;
use tickstick::shape::along::Segment;
use tickstick::shape::cut::{OffsetFault, offset};
use tickstick::shape::grow::is_simple;
use tickstick::shape::{Outline, Plate, Point, Vertex};

use super::properties::{cases, shaped, sound, ways};

/// Lines of an offset keep their distance to this, mm: corners are rounded to the grid of 1.25e-5 mm, and an arc swings with its
/// ends.
const TRUE: f64 = 2e-4;

/// Corners round a middle at growing angles, straight sides and arcs of both ways between them; none touches itself.
fn free() -> impl Strategy<Value = Outline> {
    let bulge = prop_oneof![2 => Just(0.0), 2 => 0.02..0.9_f64, 2 => -0.9..-0.02_f64];
    prop::collection::vec((0.2..1.0_f64, 20.0..150.0_f64, bulge), 3..10).prop_filter_map(
        "touches itself",
        |corners| {
            let whole: f64 = corners.iter().map(|corner| corner.0).sum();
            let mut angle = 0.0;
            let vertices = corners.iter().map(|(step, radius, bulge)| {
                angle += step / whole * 2.0 * std::f64::consts::PI;
                let at =
                    Point::new(Length::from_mm(radius * angle.cos()), Length::from_mm(radius * angle.sin()));
                Vertex { at, bulge: *bulge }
            });
            Outline::new(vertices.collect()).ok().filter(is_simple)
        },
    )
}

fn any_outline() -> impl Strategy<Value = Outline> {
    prop_oneof![shaped(1), free(), free()]
}

/// From a twentieth of a millimetre to more than most of the outlines hold.
fn distance() -> impl Strategy<Value = Length> {
    prop_oneof![4_000..400_000_i64, 400_000..4_000_000_i64, (1..40_i64).prop_map(|mm| mm * 80_000)]
        .prop_map(Length::from_units)
}

/// Distance from the line, negative inside.
fn signed(outline: &Outline, at: (f64, f64)) -> f64 {
    let point = Point::new(Length::from_mm(at.0), Length::from_mm(at.1));
    let away = outline.distance_mm(at);
    if outline.contains(point) { -away } else { away }
}

fn hold(plates: &[Plate], at: (f64, f64)) -> bool {
    let point = Point::new(Length::from_mm(at.0), Length::from_mm(at.1));
    plates.iter().any(|plate| {
        plate.outline.contains(point) && !plate.inside.iter().any(|opening| opening.contains(point))
    })
}

/// Starts and middles of all segments.
fn samples(outline: &Outline) -> Vec<(f64, f64)> {
    outline.segments().flat_map(|(from, to)| [from.at.to_mm(), Segment::of((from, to)).middle()]).collect()
}

/// The plates of an offset, none where nothing is left; `None` where the engine's result was refused: an honest fault, and
/// nothing is cut along it.
fn offset_or_refused(start: &Outline, by: Length) -> Option<Vec<Plate>> {
    match offset(start, by) {
        Ok(plates) => Some(plates),
        Err(OffsetFault::Unsound) => None,
        Err(_) => Some(Vec::new()),
    }
}

/// An offset as it must be: its lines keep the distance, they do not touch themselves, and all that is nearer is in it.
fn check(start: &Outline, by: Length, plates: &[Plate]) {
    let distance = by.to_mm();
    for line in plates.iter().flat_map(Plate::loops) {
        sound(line);
        assert!(is_simple(line), "it touches itself: {start:?} by {by:?}: {line:?}");
        for at in samples(line) {
            let off = signed(start, at) - distance;
            assert!(off.abs() < TRUE, "{at:?} is off by {off}: {start:?} by {by:?}");
        }
    }
    let around = start.extents();
    let (low, high) = (around.low.to_mm(), around.high.to_mm());
    let reach = distance.max(0.0) + 3.0;
    // Places at odd shares, so that none lies on a line by design.
    for i in 0..26 {
        for j in 0..26 {
            let share = |n: i32| (f64::from(n) + 0.437) / 26.0;
            let at = (
                low.0 - reach + (high.0 - low.0 + 2.0 * reach) * share(i),
                low.1 - reach + (high.1 - low.1 + 2.0 * reach) * share(j),
            );
            let off = signed(start, at) - distance;
            if off.abs() > 5e-3 {
                assert_eq!(
                    hold(plates, at),
                    off < 0.0,
                    "{at:?} lies {off} from the line: {start:?} by {by:?}"
                );
            }
        }
    }
}

/// All that is nearer to the wood than so much, and back: where a wheel of that radius rolls along a line (outside for a positive
/// distance), the line returns; elsewhere it may only be filled (or rounded away). False where an offset was refused.
fn returns(start: &Outline, by: Length) -> bool {
    let Some(moved) = offset_or_refused(start, by) else { return false };
    check(start, by, &moved);
    let mut back = Vec::new();
    for plate in &moved {
        let Some(lines) = offset_or_refused(&plate.outline, -by) else { return false };
        check(&plate.outline, -by, &lines);
        back.extend(lines.iter().flat_map(Plate::loops).cloned());
        for opening in &plate.inside {
            let Some(lines) = offset_or_refused(opening, by) else { return false };
            check(opening, by, &lines);
            back.extend(lines.iter().flat_map(Plate::loops).cloned());
        }
    }
    let wheel = by.to_mm();
    for (from, to) in start.segments() {
        let segment = Segment::of((from, to));
        for share in [0.13, 0.5, 0.81] {
            let at = segment.at(share);
            let way = segment.way(share);
            // Wood is at the left hand.
            // Where a wheel a hair larger has no room, what it rolls round may be thinner than anything that is kept.
            let larger = wheel + 5e-3 * wheel.signum();
            let middle = (at.0 + way.1 * larger, at.1 - way.0 * larger);
            if start.distance_mm(middle) < larger.abs() - 1e-7 {
                continue;
            }
            let off = back.iter().map(|line| line.distance_mm(at)).fold(f64::MAX, f64::min);
            assert!(off < 2.0 * TRUE, "{at:?} does not return, {off}: {start:?} by {by:?}");
        }
    }
    true
}

/// No more than one case in eight may be refused.
fn few_refused() -> ProptestConfig {
    let usual = cases();
    ProptestConfig { max_global_rejects: usual.cases / 8, ..usual }
}

proptest! {
    #![proptest_config(few_refused())]

    #[test]
    fn out_then_in_returns_the_shape_where_it_should(start in any_outline(), by in distance()) {
        for start in ways(&start).iter().step_by(3) {
            prop_assume!(returns(start, by));
        }
    }

    #[test]
    fn in_then_out_returns_the_shape_where_it_should(start in any_outline(), by in distance()) {
        for start in ways(&start).iter().step_by(3) {
            prop_assume!(returns(start, -by));
        }
    }
}

#[test]
fn outlines_that_led_the_engine_astray_come_out_whole() {
    // A dart with a sharp point, moved in and out again; a board with a hollow so shallow that its ends turn by 0.2°, out and in.
    let dart = [
        (12.407475, 79.518575, 0.0),
        (-15.10385, 13.1100625, 0.0),
        (-49.7358875, -15.1610875, 0.0),
        (20.0, 0.0, 0.0),
    ];
    let board = [
        (0.0, 0.0, 0.0),
        (944.165625, 0.0, 0.0),
        (944.165625, 791.36875, 0.0),
        (0.0, 791.36875, 0.0),
        (0.0, 637.38125, -0.001597444089456869),
        (0.0, 140.49375, 0.0),
    ];
    for (corners, by) in [(&dart[..], -1.8704125), (&board[..], 0.0665125)] {
        let vertex = |(x, y, bulge): &(f64, f64, f64)| Vertex {
            at: Point::new(Length::from_mm(*x), Length::from_mm(*y)),
            bulge: *bulge,
        };
        let start = Outline::new(corners.iter().map(vertex).collect()).unwrap();
        let by = Length::from_mm(by);
        let moved = offset(&start, by).unwrap();
        assert!(offset(&moved[0].outline, -by).is_ok());
        assert!(returns(&start, by));
    }
}
