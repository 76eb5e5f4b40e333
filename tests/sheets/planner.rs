//! What is dimensioned on small parts, and the proof that a drawing is complete (I7): the part is rebuilt from the
//! lines as drawn and the figures as printed, on parts by hand and on random ones.

use proptest::prelude::*;
use tickstick::boards::{Arris, Edge, Hole, HoleKind, PocketKind, Profile};
use tickstick::diagnose::Place;
use tickstick::joints::{Bevel, Bore};
use tickstick::length::Length;
use tickstick::parts::Part;
use tickstick::shape::{Outline, Vertex};
use tickstick::sheets::dimension::plan;
use tickstick::sheets::drawn::{Along, Plan, Size, What};
use tickstick::sheets::rebuild::{From, Gap, differences, given_twice, rebuild};
use tickstick::trade::{Face, Side, Units};

use super::hand_made::*;

/// The printed running dimensions of one direction, from the datum outwards.
fn running(plan: &Plan, along: Along) -> Vec<String> {
    plan.running(along).iter().map(|d| d.printed.clone()).collect()
}

/// Complete, exactly and as printed, and nothing given twice.
fn assert_complete(part: &Part, units: Units) -> Plan {
    let plan = plan(part, &job(units));
    assert_eq!(plan.unsaid, Vec::<String>::new());
    let exact = rebuild(&plan.drawn, &plan.dimensions, From::Exact).expect("complete");
    assert_eq!(differences(part, &exact, 3e-5), Vec::<String>::new(), "exact");
    let read = rebuild(&plan.drawn, &plan.dimensions, From::Printed(units)).expect("readable");
    // Half a thousandth of an inch, or half of 0.01 mm: half of the last place printed, never more.
    let tolerance = if units == Units::Inch { 0.0127 + 1e-5 } else { 0.005 + 1e-5 };
    assert_eq!(differences(part, &read, tolerance), Vec::<String>::new(), "as printed");
    assert_eq!(given_twice(&plan), Vec::new());
    plan
}

#[test]
fn a_plain_board_needs_width_height_and_thickness() {
    let board = part("plain", rectangle(inch(0), inch(0), inch(12), sixty_fourths(16 * 64 + 32)), thou(709));
    let plan = assert_complete(&board, Units::Inch);
    let all: Vec<_> = plan.dimensions.iter().map(|d| (d.what, d.printed.as_str())).collect();
    assert_eq!(
        all,
        [
            (What::Thickness, "0.709"),
            (What::Running(Along::Across, 0), "12"),
            (What::Running(Along::Up, 0), "16 1/2"),
        ]
    );
    assert_eq!(plan.overall, [Some(What::Running(Along::Across, 0)), Some(What::Running(Along::Up, 0))]);
}

/// Common practice: a notch for a stretcher is set by two stop positions that differ by the stock's thickness (here
/// 3/4" sheet, 3" deep).
#[test]
fn a_notch_is_given_by_two_stops_and_a_depth() {
    let q = |n: i64| sixty_fourths(16 * n);
    let notched = straight(&[
        (q(0), q(0)),
        (q(24), q(0)),
        (q(24), q(12)),
        (q(27), q(12)),
        (q(27), q(0)),
        (q(48), q(0)),
        (q(48), q(64)),
        (q(0), q(64)),
    ]);
    let plan = assert_complete(&part("divider", notched, q(3)), Units::Inch);
    assert_eq!(running(&plan, Along::Across), ["6", "6 3/4", "12"]);
    assert_eq!(running(&plan, Along::Up), ["3", "16"]);
}

/// A caliper's thickness: 0.709" and 1/64" each side make 0.74025", which no rule shows; printed to the thousandth, with
/// the nearest mark of the rule (1/32") beside it.
#[test]
fn a_fit_survives_printing() {
    let far = inch(6) + thou(709) + sixty_fourths(2);
    let notched = straight(&[
        (inch(0), inch(0)),
        (inch(6), inch(0)),
        (inch(6), inch(3)),
        (far, inch(3)),
        (far, inch(0)),
        (inch(12), inch(0)),
        (inch(12), inch(16)),
        (inch(0), inch(16)),
    ]);
    let plan = assert_complete(&part("divider", notched, thou(709)), Units::Inch);
    assert_eq!(running(&plan, Along::Across), ["6", "6.740", "12"]);
    // 0.74025 × 32 = 23.688, so 24/32
    assert_eq!(plan.running(Along::Across)[1].tape.as_deref(), Some("6 3/4"));
}

#[test]
fn rounded_corners_are_one_note_and_give_no_tangent_points() {
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let (w, h, r) = (inch(20), inch(10), inch(1));
    let rounded = bent(&[
        (r, inch(0), 0.0),
        (w - r, inch(0), quarter),
        (w, r, 0.0),
        (w, h - r, quarter),
        (w - r, h, 0.0),
        (r, h, quarter),
        (inch(0), h - r, 0.0),
        (inch(0), r, quarter),
    ]);
    let plan = assert_complete(&part("lid", rounded, inch(1)), Units::Inch);
    assert_eq!(running(&plan, Along::Across), ["20"]);
    assert_eq!(running(&plan, Along::Up), ["10"]);
    assert_eq!(plan.printed(What::Radius(0)), "1");
    assert_eq!(plan.dimension(What::Radius(1)), None);
}

/// An arch over a 30" opening with 3" left at each end and a rise of 4": bulge = 2 · rise / chord = 8/24.
#[test]
fn an_arch_is_given_by_spring_points_and_crown() {
    let arched = bent(&[
        (inch(0), inch(0), 0.0),
        (inch(3), inch(0), -8.0 / 24.0),
        (inch(27), inch(0), 0.0),
        (inch(30), inch(0), 0.0),
        (inch(30), inch(7), 0.0),
        (inch(0), inch(7), 0.0),
    ]);
    let plan = assert_complete(&part("valance", arched, thou(709)), Units::Inch);
    assert_eq!(running(&plan, Along::Across), ["3", "27", "30"]);
    assert_eq!(running(&plan, Along::Up), ["4", "7"]);
}

#[test]
fn many_holes_go_into_a_table_and_few_onto_lines() {
    let board = |count: i64| {
        let mut board = part("shelf side", rectangle(inch(0), inch(0), inch(12), inch(40)), thou(709));
        board.holes = (0..count)
            .map(|i| hole(inch(1), inch(3 + 2 * i), sixty_fourths(16), Some(sixty_fourths(32)), Face::Show))
            .collect();
        board
    };
    let few = assert_complete(&board(3), Units::Inch);
    assert!(!few.hole_table);
    assert_eq!(running(&few, Along::Up), ["3", "5", "7", "40"]);
    // equal holes: one diameter, one depth
    assert_eq!(few.printed(What::HoleDiameter(0)), "1/4");
    let many = assert_complete(&board(12), Units::Inch);
    assert!(many.hole_table);
    assert_eq!(running(&many, Along::Up), ["40"]);
    assert_eq!(many.printed(What::HoleAt(Along::Up, 11)), "25");
}

#[test]
fn a_missing_dimension_is_named() {
    let board = part("plain", rectangle(inch(0), inch(0), inch(12), inch(16)), thou(709));
    let plan = plan(&board, &job(Units::Inch));
    let others: Vec<_> =
        plan.dimensions.iter().filter(|d| d.what != What::Running(Along::Up, 0)).cloned().collect();
    let gap = rebuild(&plan.drawn, &others, From::Exact);
    assert_eq!(gap, Err(Gap::Missing(What::Running(Along::Up, 0))));
}

#[test]
fn a_size_said_again_is_called_out() {
    let board = part("plain", rectangle(inch(0), inch(0), inch(12), inch(16)), thou(709));
    let mut plan = plan(&board, &job(Units::Inch));
    let mut again = plan.dimensions[1].clone();
    again.what = What::Running(Along::Across, 7);
    plan.dimensions.push(again);
    assert_eq!(given_twice(&plan), [What::Running(Along::Across, 7)]);
}

#[test]
fn a_wrong_figure_is_seen() {
    let board = part("plain", rectangle(inch(0), inch(0), inch(12), inch(16)), thou(709));
    let mut plan = plan(&board, &job(Units::Inch));
    plan.dimensions[1].printed = "12 1/32".into();
    let read = rebuild(&plan.drawn, &plan.dimensions, From::Printed(Units::Inch)).expect("readable");
    assert_eq!(differences(&board, &read, 0.0128), ["outline"]);
}

#[test]
fn metric_figures_are_tenths_where_exact() {
    let board =
        part("side", rectangle(mm(0), mm(0), Length::from_mm(343.8), Length::from_mm(1000.0 / 3.0)), mm(18));
    let plan = assert_complete(&board, Units::Millimetre);
    assert_eq!(running(&plan, Along::Across), ["343.8"]);
    assert_eq!(running(&plan, Along::Up), ["333.33"]);
}

/// What happens at one corner of a random part.
#[derive(Clone, Copy, Debug)]
enum AtCorner {
    Sharp,
    Cut(i64, i64),
    Rounded(i64),
    Step(i64, i64),
}

/// What happens along one side.
#[derive(Clone, Debug)]
enum AlongSide {
    Nothing,
    /// Start (parts of 64 of the free length), width and depth in 1/64", radius of the inner corners.
    Notches(Vec<(i64, i64, i64)>),
    Rounded(i64),
    /// Rise in 1/64", positive hollows.
    Arch(i64),
}

fn corner() -> impl Strategy<Value = AtCorner> {
    prop_oneof![
        3 => Just(AtCorner::Sharp),
        1 => (8..80i64, 8..80i64).prop_map(|(a, b)| AtCorner::Cut(a, b)),
        1 => (4..100i64).prop_map(AtCorner::Rounded),
        1 => (8..80i64, 8..80i64).prop_map(|(a, b)| AtCorner::Step(a, b)),
    ]
}

fn side() -> impl Strategy<Value = AlongSide> {
    prop_oneof![
        2 => Just(AlongSide::Nothing),
        3 => prop::collection::vec((1..40i64, 10..80i64, 16..120i64), 1..4).prop_map(AlongSide::Notches),
        1 => (4..16i64).prop_map(AlongSide::Rounded),
        1 => (4..60i64).prop_map(AlongSide::Arch),
    ]
}

/// The outline of a rectangle (1000 × 900 64ths and an odd bit) with its corners and sides worked, walked counter-clockwise.
fn worked(corners: &[AtCorner], sides: &[AlongSide], odd: i64) -> Outline {
    let size = [1000i64, 900, 1000, 900];
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let mut run: Vec<Vertex> = Vec::new();
    // Local coordinates of side k: along from its first corner, inwards to the left.
    let place = |k: usize, along: Length, inwards: Length| {
        let (w, h) = (sixty_fourths(size[0]) + Length::from_units(odd), sixty_fourths(size[1]));
        match k {
            0 => point(along, inwards),
            1 => point(w - inwards, along),
            2 => point(w - along, h - inwards),
            _ => point(inwards, h - along),
        }
    };
    let length = |k: usize| {
        if k.is_multiple_of(2) {
            sixty_fourths(size[0]) + Length::from_units(odd)
        } else {
            sixty_fourths(size[1])
        }
    };
    let mut push = |at: tickstick::shape::Point, bulge: f64| run.push(Vertex { at, bulge });
    for k in 0..4 {
        let z = Length::ZERO;
        match corners[k] {
            AtCorner::Sharp => push(place(k, z, z), 0.0),
            AtCorner::Cut(a, b) => {
                push(place(k, z, sixty_fourths(b)), 0.0);
                push(place(k, sixty_fourths(a), z), 0.0);
            }
            AtCorner::Rounded(r) => {
                push(place(k, z, sixty_fourths(r)), quarter);
                push(place(k, sixty_fourths(r), z), 0.0);
            }
            AtCorner::Step(a, b) => {
                push(place(k, z, sixty_fourths(b)), 0.0);
                push(place(k, sixty_fourths(a), sixty_fourths(b)), 0.0);
                push(place(k, sixty_fourths(a), z), 0.0);
            }
        }
        match &sides[k] {
            AlongSide::Nothing => {}
            AlongSide::Notches(all) => {
                let mut at = sixty_fourths(130) + Length::from_units(odd / 3);
                for (gap, width, depth) in all {
                    at += sixty_fourths(*gap);
                    let (deep, end) =
                        (sixty_fourths(*depth), at + sixty_fourths(*width) + Length::from_units(odd));
                    push(place(k, at, z), 0.0);
                    push(place(k, at, deep), 0.0);
                    push(place(k, end, deep), 0.0);
                    push(place(k, end, z), 0.0);
                    at = end;
                }
            }
            AlongSide::Rounded(r) => {
                let (r, low, high, deep) =
                    (sixty_fourths(*r), sixty_fourths(200), sixty_fourths(400), sixty_fourths(100));
                push(place(k, low, z), 0.0);
                push(place(k, low, deep - r), -quarter);
                push(place(k, low + r, deep), 0.0);
                push(place(k, high - r, deep), -quarter);
                push(place(k, high, deep - r), 0.0);
                push(place(k, high, z), 0.0);
            }
            AlongSide::Arch(rise) => {
                let ends = sixty_fourths(150);
                let chord = length(k) - ends * 2;
                push(place(k, ends, z), -2.0 * sixty_fourths(*rise).to_mm() / chord.to_mm());
                push(place(k, ends + chord, z), 0.0);
            }
        }
    }
    Outline::new(run).expect("a closed run")
}

fn any_hole() -> impl Strategy<Value = Hole> {
    (200..800i64, 200..700i64, 1..4i64, prop::option::of(8..30i64), any::<bool>(), 0..20_000i64).prop_map(
        |(x, y, size, depth, back, odd)| Hole {
            at: point(sixty_fourths(x) + Length::from_units(odd), sixty_fourths(y)),
            diameter: sixty_fourths(size * 8),
            depth: depth.map(sixty_fourths),
            from: if back { Face::Back } else { Face::Show },
            countersink: (size == 2).then(|| sixty_fourths(24)),
            slot: None,
            why: HoleKind::Pilot,
            note: None,
            place: Place::default(),
        },
    )
}

fn any_bore() -> impl Strategy<Value = Bore> {
    (150..850i64, any::<bool>(), 0..4u8).prop_map(|(along, back, side)| {
        let (thick, exit) = (thou(709), thou(709).half());
        let run = Length::from_mm((thick - exit).to_mm() / 15f64.to_radians().tan());
        let (w, h) = (sixty_fourths(1000), sixty_fourths(900));
        let along = sixty_fourths(along);
        let (at, leaves) = match side {
            0 => (point(along, run), point(along, Length::ZERO)),
            1 => (point(w - run, along), point(w, along)),
            2 => (point(along, h - run), point(along, h)),
            _ => (point(run, along), point(Length::ZERO, along)),
        };
        let from = if back { Face::Back } else { Face::Show };
        Bore { at, leaves, leaves_depth: exit, from, diameter: sixty_fourths(24), degrees: 15.0, fixing: 0 }
    })
}

fn any_part() -> impl Strategy<Value = Part> {
    let shape = (prop::array::uniform4(corner()), prop::collection::vec(side(), 4), 0..31_000i64);
    let holes = prop::collection::vec(any_hole(), 0..10);
    let bores = prop::collection::vec(any_bore(), 0..5);
    let cuts = prop::collection::vec((200..300i64, 200..600i64, 20..200i64, 20..100i64, 0..3u8), 0..3);
    let recesses = prop::collection::vec((0..400i64, 20..60i64, 8..30i64, any::<bool>()), 0..4);
    let edge = prop::option::of((8..40i64, 8..40i64, 0..5u8, any::<bool>()));
    (shape, holes, bores, cuts, recesses, edge, any::<bool>()).prop_map(
        |((corners, sides, odd), holes, bores, cuts, recesses, edge, bevelled)| {
            let mut part = part("random", worked(&corners, &sides, odd), thou(709));
            part.width = sixty_fourths(1000) + Length::from_units(odd);
            part.height = sixty_fourths(900);
            part.holes = holes;
            part.bores = bores;
            for (x, y, w, h, kind) in cuts {
                let (x, y, w, h) = (sixty_fourths(x), sixty_fourths(y), sixty_fourths(w), sixty_fourths(h));
                part.inside.push(match kind {
                    0 => rectangle(x, y, w, h),
                    1 => Outline::circle(point(x, y), h).expect("positive"),
                    // a slot with round ends
                    _ => bent(&[(x, y, 0.0), (x + w, y, 1.0), (x + w, y + h, 0.0), (x, y + h, 1.0)]),
                });
            }
            for (y, h, depth, back) in recesses {
                let outline = rectangle(Length::ZERO, sixty_fourths(y), part.width, sixty_fourths(h));
                let from = if back { Face::Back } else { Face::Show };
                part.pockets.push(pocket(outline, sixty_fourths(depth), from, PocketKind::Housing));
            }
            if let Some((a, b, kind, both)) = edge {
                let on = if both { Arris::Both } else { Arris::Show };
                let (a, b) = (sixty_fourths(a), sixty_fourths(b));
                let profile = match kind {
                    0 => Some(Profile::Chamfer { along_face: a, down_edge: b }),
                    1 => Some(Profile::Round { radius: a }),
                    2 => Some(Profile::Rebate { width: a, depth: b }),
                    3 => Some(Profile::Bevel { run: a }),
                    _ => None,
                };
                part.edges.push(Edge {
                    side: Side::Front,
                    from: point(Length::ZERO, Length::ZERO),
                    to: point(part.width, Length::ZERO),
                    profile: profile.map(|p| (p, on)),
                    scribe: if profile.is_none() { b } else { Length::ZERO },
                    finish: None,
                    place: Place::default(),
                });
            }
            if bevelled {
                part.bevels.push(Bevel {
                    from: point(part.width, Length::ZERO),
                    to: point(part.width, part.height),
                    run: part.thick,
                    long: Face::Show,
                    degrees: 45.0,
                    joint: 0,
                });
            }
            part
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// I7 on random parts, in both units.
    #[test]
    fn any_part_can_be_rebuilt_from_what_is_printed(part in any_part()) {
        for units in [Units::Inch, Units::Millimetre] {
            let plan = plan(&part, &job(units));
            prop_assert_eq!(&plan.unsaid, &Vec::<String>::new());
            let exact = rebuild(&plan.drawn, &plan.dimensions, From::Exact);
            let exact = exact.map_err(|gap| TestCaseError::fail(format!("{gap:?}")))?;
            prop_assert_eq!(differences(&part, &exact, 3e-5), Vec::<String>::new());
            let read = rebuild(&plan.drawn, &plan.dimensions, From::Printed(units));
            let read = read.map_err(|gap| TestCaseError::fail(format!("{gap:?}")))?;
            let tolerance = if units == Units::Inch { 0.0127 + 1e-5 } else { 0.005 + 1e-5 };
            prop_assert_eq!(differences(&part, &read, tolerance), Vec::<String>::new());
            prop_assert_eq!(given_twice(&plan), Vec::new());
            // No coordinate stands twice among the running dimensions.
            for along in [Along::Across, Along::Up] {
                let mut sizes: Vec<Length> = plan.running(along).iter().map(|d| match d.size {
                    Size::Length(length) => length,
                    Size::Angle(_) => Length::ZERO,
                }).collect();
                let before = sizes.len();
                sizes.dedup();
                prop_assert_eq!(before, sizes.len());
            }
        }
    }
}
