//! Joint details: every condition found once, its numbers those of the joints, its letter on a view; sections on the planes
//! that are asked for.

use std::collections::{BTreeMap, BTreeSet};

use tickstick::boards::{Other, Verb};
use tickstick::drawing::Sheet;
use tickstick::length::Length;
use tickstick::parts::Made;
use tickstick::plans::{self, Plans};
use tickstick::sheets::assembly::Assembled;
use tickstick::sheets::details::condition::{Condition, conditions};
use tickstick::sheets::figures::Figures;
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::sheet_set;
use tickstick::trade::Axis;

use super::dowels::{made, words};
use super::sheets::{faults, write};

const NOOK: &str = include_str!("../../samples/listening-nook.yaml");
const LARDER: &str = include_str!("../../samples/larder.yaml");

/// A rack: a shelf halved with an upright, a rail housed and stopped, a slot for a tongue.
const RACK: &str = r#"
units: mm
stock:
  ply: {sheet: [1220, 2440], thick: 18}
  oak: {board: true, thick: 20, species: white oak}
assemblies:
  rack:
    turn: none
    parts:
      upright: {stock: ply, faces: side, left: 100, front: 0, depth: 200, bottom: 0, height: 600, grain: up, held_by: floor}
      shelf: {stock: ply, faces: up, left: 0, width: 300, front: 0, depth: 200, bottom: 300, grain: across}
      rail: {stock: ply, faces: front, left: 'upright.right - 6 mm', width: 200, front: 40, bottom: 100, height: 80, grain: across}
      tongue: {stock: oak, faces: front, left: 60, width: 100, front: 90, bottom: 480, height: 40, grain: across}
    joints:
      - {halve: upright, with: shelf, cut_from: front, fit: 0.2 mm}
      - {house: rail, in: upright, fit: 0.1 mm, fix: glue}
      - {notch: upright, around: tongue, fit: 0.3 mm}
"#;

fn all_of(made: &Made) -> Vec<(usize, Vec<Condition>)> {
    let figures = Figures::of(&made.job.sheets);
    let loads = plans::plan(made).0.loads;
    let found = |i: usize| {
        let of = Assembled::new(made, &loads, Some(i)).expect("boards");
        (i, conditions(&of, made.job.sheets.third_angle, &figures))
    };
    (0..made.job.assemblies.len()).map(found).collect()
}

fn mm(length: f64) -> Length {
    Length::from_mm(length)
}

fn size(condition: &Condition, what: &str) -> Length {
    let found = condition.numbers.sizes.iter().find(|size| size.what == what);
    found.unwrap_or_else(|| panic!("no {what}: {:?}", condition.numbers)).value()
}

fn fact<'a>(condition: &'a Condition, head: &str) -> &'a str {
    let found = condition.numbers.facts.iter().find(|(h, _)| h == head);
    &found.unwrap_or_else(|| panic!("no {head}: {:?}", condition.numbers)).1
}

fn of_verb(all: &[(usize, Vec<Condition>)], verb: Verb) -> Vec<&Condition> {
    all.iter().flat_map(|(_, c)| c).filter(|c| c.verb == verb).collect()
}

/// Every pair of boards with a joint stands under one detail, and no pair under two.
#[test]
fn every_joint_has_one_detail() {
    for yaml in [NOOK, LARDER, RACK] {
        let made = made(yaml);
        let mut pairs = BTreeSet::new();
        for joint in &made.joints {
            if let Other::Board(second) = joint.second {
                pairs.insert((joint.first.min(second), joint.first.max(second)));
            }
        }
        let board =
            |other: Other| if let Other::Board(id) = other { id } else { panic!("none is on the house") };
        let mut shown = BTreeMap::new();
        for place in all_of(&made).iter().flat_map(|(_, all)| all).flat_map(|c| &c.occurs) {
            let second = board(place.second);
            *shown.entry((place.first.min(second), place.first.max(second))).or_insert(0) += 1;
        }
        assert_eq!(shown.keys().copied().collect::<BTreeSet<_>>(), pairs);
        assert!(shown.values().all(|count| *count == 1), "{shown:?}");
        assert!(pairs.len() >= 3);
    }
}

/// Four dividers over three stretchers: the front and the back one break a corner and are mirror images, the middle one does
/// not. Arithmetic: the stretcher is 0.709" thick and 3" high, the fit 0.005", so the notch is 0.709 + 2 × 0.005 wide and
/// 3 + 0.005 deep; at a corner it opens to one side and is 0.709 + 0.005.
#[test]
fn notches_of_the_bench_are_two_conditions() {
    let all = all_of(&made(NOOK));
    let notches = of_verb(&all, Verb::Notch);
    let inch = |thousandths: i64| Length::from_units(Length::INCH.units() / 1000 * thousandths);
    let [corner, middle] = notches[..] else { panic!("{} conditions", notches.len()) };
    assert_eq!((corner.occurs.len(), middle.occurs.len()), (8, 4));
    assert_eq!(size(middle, "notch width"), inch(719));
    assert_eq!(size(middle, "notch depth"), inch(3005));
    assert_eq!(size(corner, "notch width"), inch(714));
    assert_eq!(size(corner, "notch length"), inch(3005));
    assert_eq!(fact(middle, "FIT"), "0.005 on each side · 0.005 at the end");
    // What is left under a notch is the divider's own height less the notch.
    let made = made(NOOK);
    let divider = made.parts.iter().find(|p| p.name == "divider").expect("one");
    let left = divider.height - inch(3005);
    let figures = Figures::of(&made.job.sheets);
    assert_eq!(fact(middle, "WOOD"), format!("{} left under it", figures.print(left).both()));
}

/// A shelf of 17.8 mm with 0.1 mm on each side sits 6 mm deep in a side of 17.8 mm: 18.0 wide, 11.8 left.
#[test]
fn housings_say_depth_width_fit_and_what_is_left() {
    let all = all_of(&made(LARDER));
    let housings = of_verb(&all, Verb::House);
    let shelf = housings.iter().find(|c| c.occurs.len() == 10).expect("five shelves in two sides");
    assert_eq!(size(shelf, "housing depth"), mm(6.0));
    assert_eq!(size(shelf, "housing width"), mm(18.0));
    assert_eq!(size(shelf, "wood left under it"), mm(11.8));
    assert_eq!(fact(shelf, "FIT"), "0.1 on each side · 0, tight at the end");
    // Half millimetres stand in parentheses beside what lies on none. The front is 20 thick and the housing stops 10 behind it; the side is 6.4 deeper than the shelf, less the fit of 0.1.
    assert_eq!(fact(shelf, "RUNS"), "stops 30 short of the front edge, 6.3 short of the back edge");
    // A rebate 9 wide takes a back of 6.4.
    let rebate = housings.iter().find(|c| c.numbers.title.starts_with("REBATE, stapled")).expect("the back");
    assert_eq!((size(rebate, "rebate width"), size(rebate, "rebate depth")), (mm(6.4), mm(9.0)));
}

/// Boards of 18 that cross over 200, cut from the front: each half is 100 deep, and 18 + 2 × 0.2 wide.
#[test]
fn halvings_slots_and_housings_of_a_rack() {
    let all = all_of(&made(RACK));
    let [halving] = of_verb(&all, Verb::Halve)[..] else { panic!("one halving") };
    assert_eq!(size(halving, "halving depth"), mm(100.0));
    assert_eq!(size(halving, "halving width"), mm(18.4));
    assert_eq!(fact(halving, "OTHER"), "the half in the other board: 18.4 × 100");
    let [slot] = of_verb(&all, Verb::Notch)[..] else { panic!("one slot") };
    assert!(slot.numbers.title.starts_with("SLOT"), "{}", slot.numbers.title);
    // The tongue is 20 × 40, and 0.3 free all round.
    assert_eq!((size(slot, "slot width"), size(slot, "slot length")), (mm(20.6), mm(40.6)));
    assert_eq!(fact(slot, "FIT"), "0.3 on each side");
    let [housing] = of_verb(&all, Verb::House)[..] else { panic!("one housing") };
    assert_eq!((size(housing, "groove depth"), size(housing, "groove width")), (mm(6.0), mm(18.2)));
}

/// The screw through the bench's bottom: 2" long through 0.709", so its point stands 1.291" in the divider.
#[test]
fn a_screw_says_where_its_point_ends() {
    let made = made(NOOK);
    let all = all_of(&made);
    let screwed = of_verb(&all, Verb::Butt).into_iter().find(|c| {
        let place = &c.occurs[0];
        made.placed[place.first.0].board.entry == "divider"
            && matches!(place.second, Other::Board(id) if made.placed[id.0].board.entry == "bottom")
    });
    let screwed = screwed.expect("dividers stand on the bottom");
    let inch = |thousandths: i64| Length::from_units(Length::INCH.units() / 1000 * thousandths);
    assert_eq!(size(screwed, "point of the screw beyond the joint"), inch(2000 - 709));
    assert_eq!(size(screwed, "they bear over"), inch(709));
    assert!(fact(screwed, "POINT").starts_with("ends 1.291"), "{}", fact(screwed, "POINT"));
    assert!(fact(screwed, "FIXED").contains("No. 8 × 2 long"), "{}", fact(screwed, "FIXED"));
}

/// A number that differs in one place only makes a detail of its own.
#[test]
fn what_differs_in_a_number_is_another_detail() {
    let count = |yaml: &str| all_of(&made(yaml)).iter().map(|(_, all)| all.len()).sum::<usize>();
    // One shelf 1 mm forward of the others: its housings stop elsewhere.
    let moved = LARDER.replace(
        "      fit: 0.1 mm\n",
        "      fit: 0.1 mm\n    parts:\n      shelf: {front: 'front.thick + if(i = 2, 1 mm, 0 mm)'}\n",
    );
    assert_ne!(moved, LARDER);
    assert!(count(&moved) > count(LARDER), "{} {}", count(&moved), count(LARDER));
}

/// Turned in the room, an assembly has the same details.
#[test]
fn a_turned_rack_has_the_same_details() {
    let told = |turn: &str| {
        let all = all_of(&made(&RACK.replace("turn: none", &format!("turn: {turn}"))));
        let mut told: Vec<String> =
            all[0].1.iter().map(|c| format!("{:?}", (&c.numbers.title, &c.numbers.facts))).collect();
        told.sort();
        told
    };
    for turn in ["left", "round", "right"] {
        assert_eq!(told(turn), told("none"), "{turn}");
    }
}

/// A coat rail: a cleat screwed to the wall, a foot screwed to the floor, a box of mitred boards, a peg board on dowels.
const RAIL: &str = r#"
units: mm
stock:
  oak: {board: true, thick: 20, species: white oak}
  ash: {board: true, thick: 30, species: white ash}
service: {wallboard: 13 mm, studs: spruce-pine-fir}
assemblies:
  rail:
    turn: none
    parts:
      cleat: {stock: oak, faces: front, left: 0, width: 900, front: 0, bottom: 1500, height: 80, grain: across}
      foot: {stock: oak, faces: side, left: 300, front: 100, depth: 200, bottom: 0, height: 90, grain: up}
      face: {stock: oak, faces: front, left: 0, width: 400, front: -400, bottom: 1000, height: 100, grain: across}
      side: {stock: ash, faces: side, left: 0, front: -400, depth: 200, bottom: 1000, height: 100, grain: deep}
      peg: {stock: oak, faces: up, left: 'side.right', width: 200, front: -330, depth: 100, bottom: 1040, grain: across}
    joints:
      - {butt: cleat, against: wall, fix: {by: screws, size: 8, length: 75, from: front, count: 3}, note: level it}
      - {butt: foot, against: floor, fix: {by: screws, size: 10, length: 150, from: top, count: 2}}
      - {mitre: face, with: side, fix: glue}
      - {butt: peg, against: side, fix: {by: dowels, size: 8, length: 40}}
"#;

fn titled<'a>(all: &'a [(usize, Vec<Condition>)], start: &str) -> &'a Condition {
    let found = all.iter().flat_map(|(_, c)| c).find(|c| c.numbers.title.starts_with(start));
    found.unwrap_or_else(|| panic!("no {start}"))
}

/// A screw of 75 mm through a cleat of 20 and wallboard of 13: 42 mm of it are in the stud. One of 150 mm through a foot 90
/// high: 60 mm are in the floor, which has no cover of its own.
#[test]
fn what_is_fixed_to_the_house_says_how_deep_it_holds() {
    for turn in ["none", "left", "round", "right"] {
        let all = all_of(&made(&RAIL.replace("turn: none", &format!("turn: {turn}"))));
        let wall = titled(&all, "TO THE WALL");
        assert_eq!(wall.numbers.title, "TO THE WALL, screwed");
        assert_eq!(size(wall, "through the board"), mm(20.0));
        assert_eq!(size(wall, "wallboard"), mm(13.0));
        assert_eq!(size(wall, "screw in the stud"), mm(42.0));
        assert_eq!(size(wall, "screw from the edge"), mm(40.0));
        assert!(fact(wall, "POINT").starts_with("ends 42 deep in the stud, behind 13 of wallboard"));
        assert!(fact(wall, "FIND").contains("studs, cables and pipes"));
        assert_eq!(fact(wall, "NOTE"), "level it");
        // The cleat, and two layers of wall: the cover is 13 thick on paper too.
        assert_eq!((wall.pieces[0].len(), wall.pieces[1].len()), (1, 2));
        let cover = wall.pieces[1][0].outline.extents();
        assert_eq!(cover.width().min(cover.height()), mm(13.0));
        let floor = titled(&all, "TO THE FLOOR");
        assert_eq!(size(floor, "screw in the floor"), mm(60.0));
        assert_eq!(size(floor, "through the board"), mm(90.0));
        assert_eq!(fact(floor, "POINT"), "ends 60 deep in the floor");
        assert_eq!(floor.pieces[1].len(), 1);
    }
    // Too short for what covers the studs: 25 mm through 20 leaves 5 of 13.
    let short = all_of(&made(&RAIL.replace("length: 75", "length: 25")));
    let short = titled(&short, "TO THE WALL");
    assert!(fact(short, "POINT").contains("holds nothing"), "{}", fact(short, "POINT"));
}

/// A mitre of 20 and 30 mm: the bevels are atan(30 / 20) = 56.31° and 33.69° off square, over 30 and 20.
#[test]
fn a_mitre_says_both_bevels_and_what_they_run_over() {
    let all = all_of(&made(RAIL));
    let [mitre] = of_verb(&all, Verb::Mitre)[..] else { panic!("one mitre") };
    assert!(mitre.numbers.title.starts_with("MITRE, glued"), "{}", mitre.numbers.title);
    assert_eq!(fact(mitre, "BEVEL"), "33.69° and 56.31° off square");
    let mut over: Vec<Length> = mitre.numbers.sizes.iter().map(|size| size.value()).collect();
    over.sort();
    assert_eq!(over, [mm(20.0), mm(30.0)]);
}

/// A dowel of 8 × 40 stands half in the end of the peg board, half in the side: its point 20 beyond the joint, and 10 of 30
/// are left behind it. The board is 20 thick, so the dowel's axis lies 10 from its edge.
#[test]
fn a_dowelled_butt_says_where_its_dowels_end() {
    let all = all_of(&made(RAIL));
    let butt = all[0].1.iter().find(|c| c.numbers.title.ends_with("dowelled")).expect("a dowelled butt");
    assert_eq!(size(butt, "point of the dowel beyond the joint"), mm(20.0));
    assert_eq!(size(butt, "dowel from the edge"), mm(10.0));
    assert_eq!(size(butt, "they bear over"), mm(20.0));
    assert!(fact(butt, "FIXED").contains("dowel 40 long, Ø 8"), "{}", fact(butt, "FIXED"));
    assert_eq!(fact(butt, "POINT"), "ends 20 deep, measured along the dowel; 10 of wood beyond it");
}

fn headings(sheets: &[Sheet], kind: &str) -> Vec<String> {
    let on = sheets.iter().filter(|s| s.name.contains(kind)).flat_map(words);
    on.filter_map(|text| {
        text.strip_prefix("DETAIL ").map(|rest| rest.split(' ').next().unwrap_or("").to_owned())
    })
    .collect()
}

fn letters<'a>(sheets: &'a [Sheet], group: &str) -> Vec<&'a str> {
    let marks = sheets.iter().flat_map(|s| &s.groups).filter(|g| g.id == group).flat_map(|g| &g.marks);
    marks
        .filter_map(|m| if let tickstick::drawing::Mark::Text(t) = m { Some(t.text.as_str()) } else { None })
        .collect()
}

/// Every detail's letter stands once on a section or an arranged view, in the order of the alphabet on the detail sheets.
#[test]
fn every_detail_is_called_out_once() {
    for yaml in [NOOK, LARDER, RACK, RAIL] {
        let made = made(yaml);
        let sheets = sheet_set(&made, &Plans::default(), &[]);
        for assembly in &made.job.assemblies {
            let own: Vec<Sheet> =
                sheets.iter().filter(|s| s.name.contains(&format!("-{}-", assembly.name))).cloned().collect();
            let details = headings(&own, "-details");
            assert!(!details.is_empty());
            let mut called: Vec<&str> = letters(&own, "detail-circles");
            called.extend(letters(&own, "section-details"));
            // A letter may say that its joint lies below or behind what is seen there.
            called.iter_mut().for_each(|text| *text = text.split(' ').next().unwrap_or(text));
            let (mut details, mut called): (Vec<&str>, Vec<&str>) =
                (details.iter().map(String::as_str).collect(), called);
            details.sort_unstable();
            called.sort_unstable();
            assert_eq!(called, details, "{}", assembly.name);
        }
    }
}

/// The planes of the spec, each with a sheet, a caption that says which way it is looked, and letters on the arrangement.
#[test]
fn sections_are_cut_where_they_are_asked_for() {
    for turn in ["none", "left", "round", "right"] {
        let asked = RACK.replace("turn: none", &format!("turn: {turn}"))
            + "sheets: {sections: [{across: upright.left + 9 mm}, {of: rack, up: 320}, {deep: 100 mm}]}\n";
        let made = made(&asked);
        let planes: Vec<Axis> = made.job.sheets.sections.iter().map(|s| s.axis).collect();
        assert_eq!(planes.len(), 3, "{turn}");
        let sheets = sheet_set(&made, &Plans::default(), &[]);
        write(&format!("rack-{turn}"), &sheets);
        let captions: Vec<String> = sheets
            .iter()
            .flat_map(words)
            .filter(|w| w.starts_with("SECTION") && w.contains("looking"))
            .collect();
        assert_eq!(
            captions,
            ["SECTION A–A, looking RIGHT", "SECTION B–B, looking BOTTOM", "SECTION C–C, looking BACK"],
            "{turn}"
        );
        let arranged: Vec<String> =
            sheets.iter().filter(|s| s.name.contains("arrangement")).flat_map(words).collect();
        for letter in ["A", "B", "C"] {
            assert!(arranged.iter().any(|w| w == letter), "{turn}: {letter}");
        }
        let frame = Frame::new(Paper::A3, Practice::Iso);
        let all: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
        assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
    }
}

/// The zero of every assembly from the room's zero, once: the wall stands 18 − 3/4 − 0.205 behind the front and 19 up.
#[test]
fn a_room_says_where_its_assemblies_stand() {
    let sheets = sheet_set(&made(NOOK), &Plans::default(), &[]);
    let room = sheets.iter().find(|s| s.name.contains("room-arrangement")).expect("two assemblies");
    let of = |what: &str| {
        let found: Vec<&str> =
            room.dimensions.iter().filter(|d| d.what == what).map(|d| d.printed.as_str()).collect();
        assert_eq!(found.len(), 1, "{what}");
        found[0].to_owned()
    };
    assert_eq!(of("wall: zero from the front"), "17.045");
    assert_eq!(of("wall: zero from the floor"), "19");
    assert_eq!(of("wall: zero from the left"), "0");
    // Nothing is dashed in a room.
    assert!(room.groups.iter().all(|g| g.id != "hidden"));
}

/// Two dozen bays have no room for their figures on one sheet with side and plan.
#[test]
fn views_go_onto_sheets_of_their_own_where_one_cannot_be_read() {
    let long = NOOK.replace("niche: 77 1/4\"", "niche: 357 1/4\"").replace("bays: 5", "bays: 23");
    assert_ne!(long, NOOK);
    let names = |yaml: &str| -> Vec<String> {
        let sheets = sheet_set(&made(yaml), &Plans::default(), &[]);
        sheets.iter().filter(|s| s.name.contains("bench-arrangement")).map(|s| s.name.clone()).collect()
    };
    // Tables that give way to a larger scale stand on a further sheet, which is no view.
    let views = |name: &String| ["front", "side", "plan"].iter().any(|view| name.ends_with(view));
    assert_eq!(names(NOOK).iter().filter(|name| views(name)).count(), 0);
    let mut parted = names(&long);
    parted.retain(views);
    assert_eq!(parted.len(), 3, "{parted:?}");
    for (name, view) in parted.iter().zip(["front", "side", "plan"]) {
        assert!(name.ends_with(view), "{name}");
    }
}
