//! Story rods: positions by arithmetic from the bench in `hand_made`.

use tickstick::drawing::{Mark, Step};
use tickstick::fullsize::story_rod::{Rod, drawing, rod, table};
use tickstick::length::{Length, Units};
use tickstick::trade::{Face, Side};
use tickstick::values::RodAsked;

use super::hand_made::*;

fn asked(of: Option<&str>, from: Side) -> RodAsked {
    RodAsked { of: of.map(str::to_owned), from, place: Default::default() }
}

fn told(rod: &Rod) -> Vec<(i64, String)> {
    rod.marks.iter().map(|m| (m.at.units() / Length::MM.units(), m.names.join(", "))).collect()
}

#[test]
fn marks_are_named_merged_and_measured_from_one_end() {
    let made = bench(Units::Millimetre);
    let line = rod(&made, &asked(Some("bench"), Side::Left));
    assert_eq!(line.title, "Story rod of bench, across, from the left");
    let all = told(&line);
    let at: Vec<i64> = all.iter().map(|(at, _)| *at).collect();
    assert_eq!(at, [0, 18, 494, 512, 988, 1006, 1482, 1500]);
    assert_eq!(all[0].1, "left end, left of end left");
    assert_eq!(all[1].1, "left of opening bay 1, left of rail, left of shelf, right of end left");
    assert_eq!(all[2].1, "left of divider 1, right of opening bay 1");
    // From the right: the same marks, counted from 1500.
    let back: Vec<i64> =
        told(&rod(&made, &asked(Some("bench"), Side::Right))).iter().map(|(at, _)| *at).collect();
    assert_eq!(back, at.iter().rev().map(|at| 1500 - at).collect::<Vec<_>>());
}

#[test]
fn the_room_is_measured_from_its_own_zero() {
    let mut made = bench(Units::Millimetre);
    for placed in &mut made.placed {
        let up = &mut placed.board.span[2];
        (up.low, up.high) = (up.low + mm(100), up.high + mm(100));
        placed.frame.origin[2] += mm(100);
    }
    made.openings.clear();
    let line = rod(&made, &asked(None, Side::Bottom));
    let all = told(&line);
    assert_eq!(all[0], (0, "bottom of the room".into()));
    // Boards from 100; the rail from 262 to 402, the shelf from 402 to 420; holes at 80 in the ends: 180.
    let at: Vec<i64> = all.iter().map(|(at, _)| *at).collect();
    assert_eq!(at, [0, 100, 180, 262, 402, 420, 720]);
    assert_eq!(all[2].1, "hole in bench.end left, hole in bench.end right");
}

#[test]
fn a_hole_along_the_line_has_no_place_on_it() {
    let mut made = bench(Units::Millimetre);
    made.parts[SHELF].holes = vec![hole(700, 181, 8, None, Face::Show)];
    let up = rod(&made, &asked(Some("bench"), Side::Bottom));
    assert!(!told(&up).iter().any(|(_, names)| names.contains("hole in shelf")));
    // Across: 18 + 700.
    let across = rod(&made, &asked(Some("bench"), Side::Left));
    assert!(told(&across).iter().any(|(at, names)| *at == 718 && names == "hole in shelf"));
}

#[test]
fn the_strip_has_every_mark_at_full_size_and_the_table_says_the_same() {
    let made = bench(Units::Millimetre);
    let line = rod(&made, &asked(Some("bench"), Side::Left));
    let strip = drawing(&made, &line).unwrap();
    let marks = &strip.groups.iter().find(|g| g.id == "strip").unwrap().marks;
    let mut at: Vec<f64> = marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Stroke { path, .. } => match path[..] {
                [Step::Move(a), Step::Line(b)] if a.0 == b.0 => Some(a.0),
                _ => None,
            },
            _ => None,
        })
        .collect();
    at.sort_by(f64::total_cmp);
    assert_eq!(at, [0.0, 18.0, 494.0, 512.0, 988.0, 1006.0, 1482.0, 1500.0]);
    assert_eq!(strip.checks[0].text, "1500 mm");
    let table = table(&made, &line);
    let row = |n: usize| table.rows[n].iter().map(|c| c.text.as_str()).collect::<Vec<_>>().join(" | ");
    assert_eq!(row(3), "4 | 512 mm | 18 mm | left of opening bay 2, right of divider 1");
    // Each part of the row before adds up: 494 + 18.
    assert_eq!(row(2), "3 | 494 mm | 476 mm | left of divider 1, right of opening bay 1");
}

#[test]
fn marks_close_together_keep_readable_names() {
    let mut made = bench(Units::Millimetre);
    // Ten holes a millimetre apart.
    made.parts[SHELF].holes = (0..10).map(|n| hole(300 + n, 181, 3, None, Face::Show)).collect();
    let line = rod(&made, &asked(Some("bench"), Side::Left));
    let strip = drawing(&made, &line).unwrap();
    let overlaps = tickstick::drawing::bounds::overlaps(&strip.sheet());
    assert!(overlaps.is_empty());
    let crossings = tickstick::drawing::bounds::crossings(&strip.sheet());
    assert!(crossings.is_empty());
}

#[test]
fn a_rod_of_nothing_is_an_error() {
    let mut made = bench(Units::Millimetre);
    made.placed.clear();
    made.openings.clear();
    let fault = drawing(&made, &rod(&made, &asked(None, Side::Left))).unwrap_err();
    assert_eq!(fault.to_string(), "there is nothing along it; name an assembly that has parts");
}
