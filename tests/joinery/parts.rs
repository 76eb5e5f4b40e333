//! Boards to parts: quantities, frames, pairs, names.

use std::collections::BTreeSet;

use tickstick::boards::*;
use tickstick::parts::{Made, PartId};
use tickstick::shape::solid::Solid;
use tickstick::trade::Side;

use super::*;

/// Corners of a solid's outline in the room, on both faces.
fn corners(solid: &Solid) -> BTreeSet<[Length; 3]> {
    let frame = &solid.frame;
    let at =
        |depth: Length| solid.outline.vertices().iter().map(move |v| frame.to_room(v.at.x, v.at.y, depth));
    at(Length::ZERO).chain(at(solid.thick)).collect()
}

/// Every board's own solid and its part's solid in its frame are the same wood.
fn frames_are_right(shop: &Shop, made: &Made) {
    let joints = shop.joined();
    for (index, placed) in made.placed.iter().enumerate() {
        let own = tickstick::joints::solid(&placed.board, &joints.worked[index]);
        assert_eq!(corners(&own), corners(&placed.solid), "{}", placed.board.name);
        assert_eq!(own.extents(), placed.solid.extents());
        // Recesses open to the same side of the room and lie at the same place.
        let recesses = |solid: &Solid| -> BTreeSet<(Side, [Length; 3], [Length; 3], Length)> {
            let side = |face| match face {
                tickstick::trade::Face::Show => solid.frame.show(),
                tickstick::trade::Face::Back => solid.frame.into,
            };
            let room = |p: tickstick::shape::Point| solid.frame.to_room(p.x, p.y, Length::ZERO);
            solid
                .pockets
                .iter()
                .map(|pocket| {
                    let around = pocket.outline.extents();
                    let (mut a, mut b) = (room(around.low), room(around.high));
                    let axis = solid.normal().index();
                    (a[axis], b[axis]) = (Length::ZERO, Length::ZERO);
                    for i in 0..3 {
                        (a[i], b[i]) = (a[i].min(b[i]), a[i].max(b[i]));
                    }
                    (side(pocket.from), a, b, pocket.depth)
                })
                .collect()
        };
        assert_eq!(recesses(&own), recesses(&placed.solid), "{}", placed.board.name);
    }
}

/// A bench of bays: ends that differ in which side they show, dividers notched over two stretchers, a bottom housed.
fn bench(dividers: usize) -> Shop {
    let mut shop = Shop::new();
    let wide = 0.75 + 15.0 * (dividers as f64 + 1.0);
    let left = shop.board("end_left", [(0.0, 0.75), (0.0, 18.0), (0.0, 17.0)], Side::Left);
    let right = shop.board("end_right", [(wide - 0.75, wide), (0.0, 18.0), (0.0, 17.0)], Side::Right);
    // The bottom starts behind the face frame, so that front and back differ.
    let bottom = shop.board("bottom", [(0.5, wide - 0.5), (1.0, 18.0), (2.0, 2.75)], Side::Top);
    let front = shop.board("stretcher_front", [(0.75, wide - 0.75), (0.0, 0.75), (14.0, 17.0)], Side::Front);
    let back = shop.board("stretcher_back", [(0.75, wide - 0.75), (17.25, 18.0), (14.0, 17.0)], Side::Front);
    for end in [left, right] {
        shop.ask(Verb::House, bottom, end);
        shop.ask(Verb::Butt, front, end);
        shop.ask(Verb::Butt, back, end);
    }
    for number in 1..=dividers {
        let at = 15.0 * number as f64;
        let name = format!("divider[{number}]");
        let divider = shop.board(&name, [(at, at + 0.75), (0.0, 18.0), (2.75, 17.0)], Side::Right);
        shop.ask(Verb::Notch, divider, front);
        shop.ask(Verb::Notch, divider, back);
        shop.ask(Verb::Butt, divider, bottom);
    }
    shop
}

#[test]
fn equal_boards_are_one_part() {
    let shop = bench(3);
    let made = shop.made();
    frames_are_right(&shop, &made);
    let list: Vec<_> = made.parts.iter().map(|p| (p.id.as_str(), p.mark.as_str(), p.quantity)).collect();
    assert_eq!(
        list,
        [
            ("bench-end-left", "A1", 1),
            ("bench-end-right", "A2", 1),
            ("bench-bottom", "A3", 1),
            ("bench-stretcher-front", "A4", 2),
            ("bench-divider", "A5", 3),
        ]
    );
    assert_eq!(shop.names(), Vec::<&str>::new());
}

#[test]
fn ends_with_a_housing_in_their_inner_faces_are_a_pair() {
    let made = bench(2).made();
    let (left, right) = (&made.parts[0], &made.parts[1]);
    assert_eq!((left.pair, right.pair), (Some(PartId(1)), Some(PartId(0))));
    assert_eq!((left.mirrored_of, right.mirrored_of), (None, Some(PartId(0))));
    // Nothing else is told apart from its mirror image.
    assert!(made.parts[2..].iter().all(|part| part.pair.is_none()));
}

#[test]
fn ends_that_nothing_tells_apart_are_one_part_turned_over() {
    let mut shop = Shop::new();
    for (name, at, show) in [("end_left", 0.0, Side::Left), ("end_right", 40.0, Side::Right)] {
        let end = shop.board(name, [(at, at + 0.75), (0.0, 18.0), (0.0, 17.0)], show);
        let rail = shop.board(
            &format!("rail_{name}"),
            [(at - 5.0, at + 5.0), (0.0, 0.75), (12.0, 14.0)],
            Side::Front,
        );
        shop.ask(Verb::Notch, end, rail);
    }
    let made = shop.made();
    frames_are_right(&shop, &made);
    let ends: Vec<_> = made.parts.iter().filter(|part| part.name.starts_with("end")).collect();
    assert_eq!(ends.len(), 1);
    assert_eq!((ends[0].quantity, ends[0].pair), (2, None));
    // The second lies with its show face the other way: that is what turning over means.
    let second = &made.placed[2];
    assert_eq!(second.frame.into, second.board.frame.into.opposite());
    // A round on the outer arris tells the faces apart: now they are a pair.
    let (left, right) = (BoardId(0), BoardId(2));
    for end in [left, right] {
        shop.edge(end, Side::Front, Profile::Round { radius: inch(0.125) }, Arris::Show);
    }
    // The notched front corner leaves the round in two runs.
    let made = shop.made();
    frames_are_right(&shop, &made);
    let ends: Vec<_> = made.parts.iter().filter(|part| part.name.starts_with("end")).collect();
    assert_eq!(ends.len(), 2);
    assert!(ends[1].mirrored_of.is_some());
}

#[test]
fn a_board_turned_half_round_is_the_same_part() {
    // Two dividers notched at opposite corners: one is the other after half a turn in its plane.
    let mut shop = Shop::new();
    let one = shop.board("divider[1]", [(10.0, 10.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let other = shop.board("divider[2]", [(40.0, 40.75), (0.0, 18.0), (0.0, 15.0)], Side::Right);
    let high = shop.board("high", [(8.0, 12.0), (0.0, 0.75), (12.0, 15.0)], Side::Front);
    let low = shop.board("low", [(38.0, 42.0), (17.25, 18.0), (0.0, 3.0)], Side::Front);
    shop.ask(Verb::Notch, one, high);
    shop.ask(Verb::Notch, other, low);
    // A blind hole in the show face rules turning over out, and lies where the half turn brings it.
    for (id, x, y) in [(one, 4.0, 5.0), (other, 14.0, 10.0)] {
        let place = shop.next_place();
        shop.of(id).holes.push(Hole {
            at: point(x, y),
            diameter: inch(0.25),
            depth: Some(inch(0.5)),
            from: tickstick::trade::Face::Show,
            countersink: None,
            slot: None,
            why: HoleKind::Asked,
            note: None,
            place,
        });
    }
    let made = shop.made();
    frames_are_right(&shop, &made);
    assert_eq!(made.parts[0].quantity, 2);
    assert_eq!(made.placed[1].frame.u, made.placed[1].board.frame.u.opposite());
    // Moved by a sixteenth it is another part.
    shop.of(other).holes[0].at = point(14.0, 10.0625);
    let made = shop.made();
    let dividers: Vec<_> = made.parts.iter().filter(|p| p.name == "divider").map(|p| p.id.as_str()).collect();
    assert_eq!(dividers, ["bench-divider-1", "bench-divider-2"]);
}

#[test]
fn a_board_that_is_its_own_mirror_image_is_no_pair() {
    // Two shelves, each with a groove down the middle of its top, the second grooved a little deeper.
    let mut shop = Shop::new();
    for (name, at) in [("shelf", 10.0), ("tray", 20.0)] {
        let shelf = shop.board(name, [(0.0, 24.0), (0.0, 12.0), (at, at + 0.75)], Side::Top);
        let fin = shop.board(
            &format!("fin_{name}"),
            [(0.0, 24.0), (5.75, 6.25), (at + 0.5, at + 3.0)],
            Side::Front,
        );
        shop.ask(Verb::House, fin, shelf);
    }
    let made = shop.made();
    frames_are_right(&shop, &made);
    let shelves: Vec<_> = made.parts.iter().filter(|p| !p.pockets.is_empty()).collect();
    assert_eq!(shelves.len(), 1);
    assert_eq!((shelves[0].quantity, shelves[0].pair), (2, None));
}

#[test]
fn moving_and_turning_the_assembly_changes_no_part() {
    let shop = bench(2);
    let made = shop.made();
    let mut moved = bench(2);
    for board in &mut moved.boards.boards {
        // A quarter turn to the left about the room's zero (front becomes right), then a move by odd amounts.
        let [x, y, z] = board.span;
        let turned = [Interval { low: -y.high, high: -y.low }, x, z];
        let by = [mm(123.457), mm(-77.3), mm(10.1)];
        board.span = [0, 1, 2]
            .map(|axis| Interval { low: turned[axis].low + by[axis], high: turned[axis].high + by[axis] });
        // Standing boards only change where they look; the lying one turns with its outline, so it is left to show that.
        let show = board.frame.show().turned(1);
        let lying = show == Side::Top;
        board.frame = FaceFrame::of_plate(&board.span, show);
        if lying {
            let (w, h) = (board.span[0].size(), board.span[1].size());
            board.outline = Outline::rectangle(Point::default(), Point::new(w, h)).unwrap();
            board.grain = if w > h { Grain::AlongU } else { Grain::AlongV };
        }
    }
    let joints = moved.joined();
    let (again, _) = tickstick::parts::make(moved.boards.clone(), joints);
    frames_are_right(&moved, &again);
    assert_eq!(made.parts.len(), again.parts.len());
    for (a, b) in made.parts.iter().zip(&again.parts) {
        assert_eq!((&a.id, a.quantity, a.pair), (&b.id, b.quantity, b.pair));
        let mut sizes = [[a.width, a.height], [b.width, b.height]];
        sizes.iter_mut().for_each(|pair| pair.sort());
        assert_eq!(sizes[0], sizes[1]);
        if a.name != "bottom" {
            assert_eq!(a.outline, b.outline);
            assert_eq!(a.pockets.len(), b.pockets.len());
        }
    }
}

#[test]
fn a_mirrored_bench_gives_the_mirror_images() {
    let shop = bench(2);
    let made = shop.made();
    let mut mirrored = bench(2);
    for board in &mut mirrored.boards.boards {
        let across = board.span[0];
        board.span[0] = Interval { low: -across.high, high: -across.low };
        let show = board.frame.show();
        let show = if show.axis() == Axis::Across { show.opposite() } else { show };
        board.frame = FaceFrame::of_plate(&board.span, show);
    }
    let joints = mirrored.joined();
    let (again, _) = tickstick::parts::make(mirrored.boards.clone(), joints);
    frames_are_right(&mirrored, &again);
    // Left and right swap: what was the left end is now the mirror image, and fits where the right one was.
    let flipped =
        made.parts[0].outline.mapped(|p| Point::new(made.parts[0].width - p.x, p.y), true).canonical();
    assert_eq!(flipped, again.parts[0].outline.canonical());
    assert_eq!(again.parts[1].mirrored_of, Some(PartId(0)));
    assert_eq!(
        made.parts.iter().map(|p| p.quantity).collect::<Vec<_>>(),
        again.parts.iter().map(|p| p.quantity).collect::<Vec<_>>()
    );
}

#[test]
fn one_board_more_renames_nothing_else() {
    let few: Vec<_> = bench(2).made().parts.iter().map(|p| (p.id.clone(), p.mark.clone())).collect();
    let more: Vec<_> = bench(5).made().parts.iter().map(|p| (p.id.clone(), p.mark.clone())).collect();
    assert_eq!(few, more);
    let mut shop = bench(2);
    shop.board("zz last", [(0.0, 5.0), (40.0, 45.0), (0.0, 0.75)], Side::Top);
    shop.assembly("second bench");
    shop.board("../<end>", [(0.0, 5.0), (50.0, 55.0), (0.0, 0.75)], Side::Top);
    let names: Vec<_> = shop.made().parts.iter().map(|p| (p.id.clone(), p.mark.clone())).collect();
    assert_eq!(names[..few.len()], few[..]);
    assert_eq!(
        names[few.len()..],
        [("bench-zz-last".into(), "A6".into()), ("second-bench-end".into(), "B1".into())]
    );
}
