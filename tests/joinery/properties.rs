//! Identities over random benches.

use proptest::prelude::*;
use tickstick::boards::*;
use tickstick::checks::check;
use tickstick::joints::join;
use tickstick::parts::make;
use tickstick::shape::clash::shared_volume;
use tickstick::trade::Side;

use super::*;

/// A bench of bays in units of the length grid: dividers notched over three stretchers and housed ends.
#[derive(Clone, Debug)]
struct Sizes {
    bays: i64,
    bay: i64,
    thick: i64,
    depth: i64,
    height: i64,
    stretcher: i64,
    fit: i64,
    housing: i64,
    at: [i64; 3],
}

fn sizes() -> impl Strategy<Value = Sizes> {
    let mm = 80_000_i64;
    (
        (1..9_i64, 100 * mm..500 * mm, 9 * mm..30 * mm, 300 * mm..600 * mm, 300 * mm..600 * mm),
        (40 * mm..120 * mm, 0..mm, 2 * mm..8 * mm),
        [-1_000 * mm..1_000 * mm, -1_000 * mm..1_000 * mm, 0..1_i64],
    )
        .prop_map(|((bays, bay, thick, depth, height), (stretcher, fit, housing), at)| Sizes {
            bays,
            bay,
            thick,
            depth,
            height,
            stretcher,
            fit,
            housing,
            at,
        })
}

fn bench(sizes: &Sizes, chamfer: Option<i64>) -> Shop {
    let mut shop = Shop::new();
    let s = sizes;
    let span = |axis: usize, low: i64, high: i64| Interval {
        low: Length::from_units(low + s.at[axis]),
        high: Length::from_units(high + s.at[axis]),
    };
    let wide = s.bays * (s.bay + s.thick) + s.thick;
    let add = |shop: &mut Shop, name: &str, x: (i64, i64), y: (i64, i64), z: (i64, i64), show: Side| {
        shop.board_exactly(name, [span(0, x.0, x.1), span(1, y.0, y.1), span(2, z.0, z.1)], show)
    };
    let left = add(&mut shop, "end_left", (0, s.thick), (0, s.depth), (0, s.height), Side::Left);
    let right = add(&mut shop, "end_right", (wide - s.thick, wide), (0, s.depth), (0, s.height), Side::Right);
    let floor = 20 * 80_000;
    let bottom = add(
        &mut shop,
        "bottom",
        (s.thick - s.housing, wide - s.thick + s.housing),
        (s.thick, s.depth),
        (floor, floor + s.thick),
        Side::Top,
    );
    let mut stretchers = Vec::new();
    for (name, y) in [("front", 0), ("middle", (s.depth - s.thick) / 2), ("back", s.depth - s.thick)] {
        let x = (s.thick, wide - s.thick);
        let id = add(&mut shop, name, x, (y, y + s.thick), (s.height - s.stretcher, s.height), Side::Front);
        if let Some(chamfer) = chamfer {
            let along = Length::from_units(chamfer);
            shop.edge(
                id,
                Side::Bottom,
                Profile::Chamfer { along_face: along, down_edge: along },
                Arris::Both,
            );
        }
        stretchers.push(id);
    }
    for end in [left, right] {
        shop.ask(Verb::House, bottom, end).fit = Length::from_units(s.fit);
        for stretcher in &stretchers {
            shop.ask(Verb::Butt, *stretcher, end).fix = vec![fix(FixingKind::PocketScrews)];
        }
    }
    for number in 1..s.bays {
        let x = number * (s.bay + s.thick);
        let name = format!("divider[{number}]");
        let z = (floor + s.thick, s.height);
        let divider = add(&mut shop, &name, (x, x + s.thick), (0, s.depth), z, Side::Right);
        for stretcher in &stretchers {
            shop.ask(Verb::Notch, divider, *stretcher).fit = Length::from_units(s.fit);
        }
        shop.ask(Verb::Butt, divider, bottom).fix = vec![fix(FixingKind::Screws)];
    }
    shop
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn notches_have_their_analytic_area(sizes in sizes()) {
        let shop = bench(&sizes, None);
        let (joints, faults) = join(&shop.boards);
        prop_assert_eq!(faults.into_sorted(), vec![]);
        let (t, f, d) = (sizes.thick as i128, sizes.fit as i128, sizes.stretcher as i128);
        // Front and back bear on one side and the floor, the middle on both sides and the floor. In whole units.
        let taken = 2 * (t + f) * (d + f) + (t + 2 * f) * (d + f);
        let blank = sizes.depth as i128 * (sizes.height - 20 * 80_000 - sizes.thick) as i128;
        for (index, board) in shop.boards.boards.iter().enumerate().filter(|(_, b)| b.entry == "divider") {
            let outline = joints.worked[index].outline.as_ref().unwrap();
            prop_assert_eq!(outline.exact_double_area(), Some(2 * (blank - taken)), "{}", board.name);
        }
    }

    #[test]
    fn no_two_boards_share_space_and_all_are_held(sizes in sizes(), chamfer in 0..3 * 80_000_i64) {
        let shop = bench(&sizes, (chamfer > 800).then_some(chamfer));
        let (joints, faults) = join(&shop.boards);
        prop_assert_eq!(faults.into_sorted(), vec![]);
        let (made, _) = make(shop.boards.clone(), joints);
        for a in 0..made.placed.len() {
            for b in a + 1..made.placed.len() {
                prop_assert_eq!(shared_volume(&made.placed[a].solid, &made.placed[b].solid), None);
            }
        }
        let names: Vec<_> = check(&made).iter().map(|fault| fault.check).collect();
        prop_assert!(!names.contains(&"clash") && !names.contains(&"loose-board") && !names.contains(&"gap-at-butt"));
    }

    #[test]
    fn moving_the_assembly_changes_no_part(sizes in sizes(), chamfer in 0..3 * 80_000_i64) {
        let here = Sizes { at: [0; 3], ..sizes.clone() };
        let chamfer = (chamfer > 800).then_some(chamfer);
        let (one, other) = (bench(&here, chamfer), bench(&sizes, chamfer));
        let parts = |shop: &Shop| make(shop.boards.clone(), join(&shop.boards).0).0.parts;
        prop_assert_eq!(parts(&one), parts(&other));
    }

    #[test]
    fn dividers_are_one_part_and_ends_a_pair(sizes in sizes()) {
        let shop = bench(&sizes, None);
        let (made, _) = make(shop.boards.clone(), join(&shop.boards).0);
        // Three equal stretchers, as many equal dividers as there are, two ends that mirror each other.
        let quantity = |name: &str| made.parts.iter().filter(|p| p.name == name).map(|p| p.quantity).collect::<Vec<_>>();
        prop_assert_eq!(quantity("front"), vec![3]);
        prop_assert_eq!(quantity("end left"), vec![1]);
        if sizes.bays > 1 {
            prop_assert_eq!(quantity("divider"), vec![sizes.bays as usize - 1]);
        }
        let right = made.parts.iter().find(|p| p.name == "end right").unwrap();
        prop_assert!(right.mirrored_of.is_some());
    }
}

#[test]
fn a_run_of_two_hundred_bays_takes_time_in_step_with_its_length() {
    // Ratio within one run, so that a slow machine does not matter: four times the bays may cost at most ten times.
    let time = |bays: i64| {
        let sizes = Sizes {
            bays,
            bay: 300 * 80_000,
            thick: 18 * 80_000,
            depth: 400 * 80_000,
            height: 450 * 80_000,
            stretcher: 75 * 80_000,
            fit: 8_000,
            housing: 480_000,
            at: [0; 3],
        };
        let shop = bench(&sizes, None);
        let start = std::time::Instant::now();
        let (made, _) = make(shop.boards.clone(), join(&shop.boards).0);
        let faults = check(&made);
        assert!(faults.iter().all(|fault| fault.check != "clash"));
        assert_eq!(made.parts.iter().find(|p| p.name == "divider").unwrap().quantity as i64, bays - 1);
        start.elapsed().as_secs_f64()
    };
    time(10);
    let (short, long) = (time(50), time(200));
    eprintln!("50 bays {short:.3} s, 200 bays {long:.3} s");
    assert!(long < short * 10.0, "50 bays {short:.3} s, 200 bays {long:.3} s");
}
