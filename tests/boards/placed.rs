//! Boards where the spec puts them: faces, names across assemblies, turns, moves.

use proptest::prelude::*;
use tickstick::boards::{FixingKind, Other, Verb};
use tickstick::diagnose::Place;
use tickstick::spec::read::{Formula, Named};
use tickstick::trade::{Grain, Side};

use super::*;

const SAMPLES: [&str; 2] =
    [include_str!("../../samples/listening-nook.yaml"), include_str!("../../samples/larder.yaml")];

#[test]
fn samples_are_placed_in_silence() {
    for sample in SAMPLES {
        let boards = good(sample);
        assert!(boards.boards.len() > 10);
        assert!(!boards.asked.is_empty() && !boards.steps.is_empty());
    }
}

/// 77" wide, six uprights of 0.709" and five bays: the arithmetic of the bench, exact to the unit.
#[test]
fn the_bays_of_the_bench_are_equal() {
    let boards = good(SAMPLES[0]);
    let at = |name: &str| along(board(&boards, name), Axis::Across);
    let mut edge = at("bench.end_left").1;
    let mut bays = Vec::new();
    for number in 1..=4 {
        let (left, right) = at(&format!("bench.divider[{number}]"));
        bays.push(left - edge);
        edge = right;
    }
    bays.push(at("bench.end_right").0 - edge);
    assert_eq!(bays.iter().copied().sum::<Length>(), length("77\"") - length("0.709\"") * 6);
    // A fifth of what is left is on no grid: no bay is a whole unit off.
    let (share, _) = (length("77\"") - length("0.709\"") * 6).shared_by(5);
    assert!(bays.iter().all(|bay| (*bay - share).abs() <= Length::from_units(1)), "{bays:?}");
}

/// One shelf between two ends, a second assembly on it, and another beside it that is turned.
const TWO: &str = r#"
stock:
  ply: {sheet: [4 ft, 8 ft], thick: 3/4"}
assemblies:
  low:
    at: {left: 10", front: 20", bottom: 5"}
    turn: none
    parts:
      end: {stock: ply, faces: side, count: 2, left: (i - 1) * 40", front: 0, depth: 12", bottom: 0, height: 30"}
      top: {stock: ply, faces: up, left: 'end[1].left - 1"', right: 'end[2].right + 2"', front: 0, depth: 15", bottom: end.top}
  high:
    at: {left: 13", bottom: low.top.top}
    parts:
      panel: {stock: ply, faces: front, left: low.top.left, right: low.top.right, front: low.top.front, bottom: 0, height: low.end.height}
"#;

#[test]
fn another_assemblys_faces_are_told_in_ones_own_measures() {
    let boards = good(TWO);
    let panel = board(&boards, "high.panel");
    // low.top reaches from 10 − 1 = 9 to 10 + 40 + 3/4 + 2 = 52 3/4 across the room.
    assert_eq!(along(panel, Axis::Across), (length("9\""), length("52 3/4\"")));
    assert_eq!(along(panel, Axis::Deep), (length("20\""), length("20 3/4\"")));
    // It stands on the top: 5 + 30 + 3/4.
    assert_eq!(along(panel, Axis::Up), (length("35 3/4\""), length("65 3/4\"")));
}

/// A turned assembly is asked the same question: where does it lie in my own measures? A quarter turn to the left takes
/// its right to the back: what was 43 3/4" wide is now deep, and what pointed to its front points to the room's right.
#[test]
fn a_turned_assemblys_faces_are_told_as_they_lie() {
    let boards = good(&TWO.replace("turn: none", "turn: left"));
    let panel = board(&boards, "high.panel");
    // low.top: own left −1 … right 42 3/4, front 0 … back 15. Turned: across 10 − 15 … 10 − 0, deep 20 − 1 … 20 + 42 3/4.
    let top = board(&boards, "low.top");
    assert_eq!(along(top, Axis::Across), (length("-5\""), length("10\"")));
    assert_eq!(along(top, Axis::Deep), (length("19\""), length("62 3/4\"")));
    assert_eq!(along(panel, Axis::Across), (length("-5\""), length("10\"")));
    assert_eq!(along(panel, Axis::Deep).0, length("19\""));
    // And the other way round: the one that asks is turned, and sees the room's back on its left.
    let yaml = TWO.replace("at: {left: 13\"", "turn: right\n    at: {left: 13\"");
    let boards = good(&yaml);
    let (top, panel) = (board(&boards, "low.top"), board(&boards, "high.panel"));
    // It covers, in its own across, what the top covers of the room's depth.
    assert_eq!(along(panel, Axis::Deep), along(top, Axis::Deep));
    assert_eq!(panel.frame.show(), Side::Left);
}

#[test]
fn turning_keeps_every_part_and_its_names() {
    let straight = good(TWO);
    for (word, turns) in [("left", 1), ("round", 2), ("right", 3)] {
        let turned = good(&TWO.replace("turn: none", &format!("turn: {word}")));
        for (one, other) in
            straight.boards.iter().zip(&turned.boards).filter(|(b, _)| b.name.starts_with("low"))
        {
            assert_eq!(one.name, other.name);
            assert_eq!(one.outline, other.outline);
            assert_eq!(one.grain, other.grain);
            assert_eq!(one.frame.show().turned(turns), other.frame.show());
            assert_eq!(one.thick(), other.thick());
        }
    }
}

#[test]
fn grain_runs_along_the_longer_size_unless_told() {
    let with = |keys: &str, stock: &str| {
        let yaml = format!(
            "stock:\n  ply: {{sheet: [4 ft, 8 ft], thick: 3/4\", {stock}}}\nassemblies:\n  a:\n    parts:\n      \
             p: {{stock: ply, left: 0, bottom: 0, front: 0, {keys}}}\n"
        );
        good(&yaml).boards[0].grain
    };
    assert_eq!(with("faces: front, width: 10\", height: 20\"", "grain: long"), Grain::AlongV);
    assert_eq!(with("faces: front, width: 20\", height: 10\"", "grain: long"), Grain::AlongU);
    assert_eq!(with("faces: front, width: 9\", height: 9\"", "grain: long"), Grain::AlongV);
    assert_eq!(with("faces: up, width: 9\", depth: 9\"", "grain: long"), Grain::AlongU);
    assert_eq!(with("faces: side, depth: 9\", height: 2\", grain: up", "grain: long"), Grain::AlongV);
    assert_eq!(with("faces: side, depth: 9\", height: 2\", grain: free", "grain: long"), Grain::Free);
    assert_eq!(with("faces: up, width: 20\", depth: 9\", grain: deep", "grain: none"), Grain::Free);
}

#[test]
fn openings_carry_the_thing_and_the_side_it_comes_from() {
    let yaml = r#"
things: {crate: {width: 13", depth: 14", height: 10", clearance: 1/8"}}
assemblies:
  bench:
    turn: left
    at: {left: 100"}
    openings:
      bay: {count: 2, left: (i - 1) * 15", width: crate.width + 2 * crate.clearance, front: 0, depth: crate.depth, bottom: 0, height: 12", holds: crate}
"#;
    let boards = good(yaml);
    assert_eq!(boards.openings.len(), 2);
    let second = &boards.openings[1];
    assert_eq!((second.name.as_str(), second.front, second.holds), ("bench.bay[2]", Side::Right, Some(0)));
    // Own across 15 … 28 1/4 becomes the room's depth; own depth 0 … 14 runs from the room's 100 to the left.
    let [across, deep, _] = second.span;
    assert_eq!((across.low, across.high), (length("86\""), length("100\"")));
    assert_eq!((deep.low, deep.high), (length("15\""), length("28 1/4\"")));
    assert_eq!(messages(&yaml.replace("holds: crate", "holds: crat")), ["there is no thing called `crat`"]);
}

#[test]
fn joints_become_pairs_of_boards() {
    let yaml = format!(
        "shop: {{fits: {{dry: 0.005\"}}}}\n{TWO}    joints:\n      \
         - {{butt: panel, against: [wall, low.top, 'low.end[2]'], fit: dry, fix: [glue, {{by: screws, size: 8, length: 2\", from: front}}]}}\n      \
         - {{house: low.top, in: panel, stopped: {{front: 1\", left: 0}}}}\n      \
         - {{halve: panel, with: low.top, cut_from: back}}\n"
    );
    let boards = good(&yaml.replace("at: {left: 13\"", "turn: left\n    at: {left: 13\""));
    let name = |other: Other| match other {
        Other::Board(id) => boards.boards[id.0].name.as_str(),
        Other::Wall => "wall",
        Other::Floor => "floor",
    };
    let found: Vec<_> = (boards.asked.iter())
        .map(|asked| (asked.joint, name(Other::Board(asked.first)), name(asked.second), asked.one_of_many))
        .collect();
    assert_eq!(
        found,
        [
            (Verb::Butt, "high.panel", "wall", true),
            (Verb::Butt, "high.panel", "low.top", true),
            (Verb::Butt, "high.panel", "low.end[2]", true),
            (Verb::House, "low.top", "high.panel", false),
            (Verb::Halve, "high.panel", "low.top", false),
        ]
    );
    let butt = &boards.asked[0];
    assert_eq!(butt.fit, length("0.005\""));
    let (glue, screws) = (&butt.fix[0], &butt.fix[1]);
    assert_eq!((glue.by, screws.by), (FixingKind::Glue, FixingKind::Screws));
    assert_eq!((screws.gauge, screws.length, screws.diameter), (Some(8), Some(length("2\"")), None));
    // The assembly is turned to the left: its front looks to the room's right.
    assert_eq!(screws.from, Some(Side::Right));
    assert_eq!(boards.asked[3].stopped, [(Side::Right, length("1\""))]);
    assert_eq!(boards.asked[4].cut_from, Some(Side::Left));
}

#[test]
fn an_inch_job_and_a_metric_one_choose_their_own_sheets() {
    let inch = good("units: inch\n").job.sheets;
    assert_eq!((inch.paper.as_str(), inch.asme, inch.third_angle), ("tabloid", true, true));
    assert_eq!(inch.step, length("1/32\""));
    let metric = good("units: mm\n").job.sheets;
    assert_eq!((metric.paper.as_str(), metric.asme, metric.third_angle), ("a3", false, false));
    assert_eq!(metric.step, Length::MM.half());
    let mixed = good("units: mm\nsheets: {units: inch, practice: iso, paper: a2, step: 1/16\"}\n").job.sheets;
    assert_eq!((mixed.paper.as_str(), mixed.asme, mixed.third_angle), ("a2", false, false));
    assert_eq!(mixed.step, length("1/16\""));
}

/// A bare number counts the spec's units: the same rack in both.
#[test]
fn an_inch_spec_and_a_metric_one_place_the_same_boards() {
    let rack = |units: &str, scale: f64| {
        let n = |inches: f64| format!("{:.3}", inches * scale);
        format!(
            "units: {units}\nstock:\n  ply: {{sheet: [{}, {}], thick: {}}}\nassemblies:\n  a:\n    parts:\n      \
             p: {{stock: ply, faces: side, count: 3, left: i * {} mm, front: 0, depth: {}, bottom: {}, height: {}}}\n",
            n(48.0),
            n(96.0),
            n(0.75),
            254,
            n(12.0),
            n(1.5),
            n(30.0)
        )
    };
    let (inch, metric) = (good(&rack("inch", 1.0)), good(&rack("mm", 25.4)));
    for (one, other) in inch.boards.iter().zip(&metric.boards) {
        assert_eq!((one.span, &one.outline), (other.span, &other.outline));
    }
}

#[test]
fn settings_from_outside_change_the_parameters() {
    let (boards, faults) = laid_with(SAMPLES[0], &[("bays", "4")]);
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!(boards.boards.iter().filter(|board| board.entry == "divider").count(), 3);
}

/// Whatever somebody types as a size, a count or a choice: boards or faults, never a panic.
#[test]
fn nothing_that_can_be_set_makes_it_panic() {
    let nasty = [
        "0",
        "-1",
        "1000000",
        "900 m",
        "0.0000125 mm",
        "1/0",
        "no",
        "i / 3",
        "1\" / 99999999999 / 99999999999",
        "]",
        "bench.top.top",
        "larder.top.top",
    ];
    let mut tried = 0;
    for sample in SAMPLES {
        let shop = include_str!("../../samples/shop.yaml").to_owned();
        let texts = Texts(BTreeMap::from([("job.yaml", sample.to_owned()), ("shop.yaml", shop)]));
        let spec = read(&texts, "job.yaml", &[]).0.spec;
        for assembly in 0..spec.assemblies.len() {
            for parameter in &spec.assemblies[assembly].body.body.parameters {
                for value in nasty {
                    let mut spec = spec.clone();
                    let with = &mut spec.assemblies[assembly].body.with;
                    with.retain(|given| given.name != parameter.name);
                    let body = Formula { text: value.to_owned(), place: Place::default() };
                    with.push(Named { name: parameter.name.clone(), place: Place::default(), body });
                    let (boards, faults) = place(&spec);
                    assert!(!boards.boards.is_empty() || faults.has_errors(), "{}={value}", parameter.name);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

/// Every beginning of a spec is a spec that somebody is typing.
#[test]
fn no_cut_of_a_spec_makes_it_panic() {
    for end in (0..SAMPLES[0].len()).step_by(11) {
        laid(&SAMPLES[0][..end]);
    }
}

#[test]
fn ten_thousand_boards_are_placed() {
    let yaml = "units: mm\nstock:\n  ply: {sheet: [1220, 2440], thick: 6}\nassemblies:\n  a:\n    parts:\n      \
                p: {stock: ply, faces: side, count: 10000, spread: {from: 0, to: 90 m}, front: 0, depth: 300, bottom: 0, height: 400}\n    \
                require:\n      - {that: p.top = 400 mm, else: 'no'}\n";
    assert_eq!(good(yaml).boards.len(), 10_000);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Moving an assembly moves its boards, to the unit, and changes nothing else.
    #[test]
    fn moving_an_assembly_changes_nothing_but_the_offset(
        left in -4_000_000_i64..4_000_000, front in -4_000_000_i64..4_000_000, bays in 1_i64..9, wide in 900_i64..3_000,
    ) {
        let yaml = |at: &str| format!(
            "units: mm\ninclude: [shop.yaml]\nassemblies:\n  bench:\n    template: bay-bench\n    {at}\n    \
             with: {{width: {wide}, bays: {bays}, carcass: birch_18, frame: beech_20, back_panel: birch_6, seat: ash, stile: 40, overhang_left: 7 mm / 3}}\n"
        );
        // Thousandths of a millimetre are 80 units each.
        let at = format!("at: {{left: {left} * 0.001 mm, front: {front} * 0.001 mm}}");
        let (still, _) = laid(&yaml("turn: none"));
        let (moved, _) = laid(&yaml(&at));
        prop_assert_eq!(still.boards.len(), moved.boards.len());
        prop_assert!(still.boards.len() > 15);
        let by = [Length::from_units(left * 80), Length::from_units(front * 80), Length::ZERO];
        for (one, other) in still.boards.iter().zip(&moved.boards) {
            for axis in Axis::ALL {
                let (low, high) = along(one, axis);
                prop_assert_eq!((low + by[axis.index()], high + by[axis.index()]), along(other, axis));
            }
            prop_assert_eq!(&one.outline, &other.outline);
            prop_assert_eq!(&one.edges, &other.edges);
        }
    }

    /// Positions of a run grow, boards keep their thickness, gaps differ by a unit at most, and the run ends where it should.
    #[test]
    fn a_spread_run_is_even_and_ends_where_it_should(
        from in -50_000_i64..50_000, wide in 20_000_i64..200_000, count in 2_u32..40, thick in 1_i64..500,
    ) {
        // Hundredths of a millimetre.
        let yaml = format!(
            "units: mm\nstock:\n  post: {{board: yes, thick: {thick} * 0.01 mm}}\nassemblies:\n  a:\n    parts:\n      \
             p: {{stock: post, faces: front, count: {count}, spread: {{from: {from} * 0.01 mm, to: ({from} + {wide}) * 0.01 mm}}, left: 0, width: 9, bottom: 0, height: 9}}\n"
        );
        let boards = good(&yaml);
        let hundredth = Length::from_units(800);
        let mut edge = hundredth * from;
        let mut gaps = Vec::new();
        for board in &boards.boards {
            let (low, high) = along(board, Axis::Deep);
            prop_assert_eq!(high - low, hundredth * thick);
            gaps.push(low - edge);
            edge = high;
        }
        gaps.push(hundredth * (from + wide) - edge);
        let (least, most) = (gaps.iter().min().unwrap(), gaps.iter().max().unwrap());
        prop_assert!(*least > Length::ZERO && *most - *least <= Length::from_units(1), "{:?}", gaps);
    }
}
