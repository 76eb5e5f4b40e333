//! Parts with very many holes: told in sets where they stand even, in one table where they do not, at a cost that has a
//! ceiling.

use tickstick::boards::Hole;
use tickstick::drawing::{Mark, Sheet};
use tickstick::length::Length;
use tickstick::parts::{Part, PartId};
use tickstick::plans;
use tickstick::plans::Plans;
use tickstick::sheets::dimension::plan;
use tickstick::sheets::figures::Figures;
use tickstick::sheets::frame::{Area, Frame, Paper, Practice};
use tickstick::sheets::free::Taken;
use tickstick::sheets::hole_sets::{HoleSet, sets, told};
use tickstick::sheets::part_sheet::steps as looked_at;
use tickstick::sheets::sheet::Paperwork;
use tickstick::sheets::sheet_set;
use tickstick::trade::{Face, Units};

use super::hand_made::*;
use super::shared::only;
use super::sheets::{faults, write};

fn panel(holes: impl IntoIterator<Item = (i64, i64)>) -> Part {
    let mut panel = part("panel", rectangle(mm(0), mm(0), mm(600), mm(2000)), mm(18));
    let bored = |(x, y)| hole(mm(x), mm(y), mm(5), Some(mm(13)), Face::Show);
    panel.holes = holes.into_iter().map(bored).collect();
    panel
}

/// Holes 32 mm apart, as cabinets are drilled (common practice), in two rows up a side; and one that belongs to none.
fn drilled() -> Part {
    panel((0..20).flat_map(|i| [(37, 100 + 32 * i), (563, 100 + 32 * i)]).chain([(300, 1900)]))
}

/// Irregular holes, so that no two stand in a row.
fn strewn(count: i64) -> Part {
    let at = move |i: i64| (37 + 131 * (i % 5), 20 + 1900 / count * i + (i * i) % 7);
    panel((0..count).map(at))
}

fn drawn(part: Part) -> Vec<Sheet> {
    sheet_set(&only(vec![part], Units::Millimetre), &Plans::default(), &[])
}

fn texts(sheets: &[Sheet]) -> Vec<&str> {
    let marks = sheets.iter().flat_map(|s| &s.groups).flat_map(|g| &g.marks);
    marks.filter_map(|m| if let Mark::Text(text) = m { Some(text.text.as_str()) } else { None }).collect()
}

/// What is printed of one direction, back into places: `37; 563`, or first + steps × pitch = last.
fn read(told: &str) -> Vec<f64> {
    let number = |text: &str| text.trim().parse::<f64>().expect("a figure");
    let Some((first, rest)) = told.split_once('+') else { return told.split(';').map(number).collect() };
    let (steps, rest) = rest.split_once('×').expect("a pitch");
    let (pitch, last) = rest.split_once('=').expect("the last");
    let all: Vec<f64> =
        (0..=number(steps) as i64).map(|i| number(first) + i as f64 * number(pitch)).collect();
    assert!((all.last().expect("some") - number(last)).abs() < 1e-9, "{told} does not add up");
    all
}

/// By hand: 20 rows from 100 by 32 end at 100 + 19 × 32 = 708; two holes a row are 40, the last hole is by itself.
#[test]
fn even_rows_are_told_by_first_pitch_and_last() {
    let part = drilled();
    let made = only(vec![part.clone()], Units::Millimetre);
    let figures = Figures::of(&made.job.sheets);
    let plan = plan(&part, &made.job);
    let (found, alone) = sets(&part, &plan, &figures);
    let [set] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(told(&set.across, &figures), "37; 563");
    assert_eq!(told(&set.up, &figures), "100 + 19 × 32 = 708");
    assert_eq!((set.numbers.clone(), alone.len()), (1..41, 1));
    let sheets = drawn(part);
    let texts = texts(&sheets);
    for text in ["a1–a40", "37; 563", "100 + 19 × 32 = 708", "a1", "a2", "a39", "a40", "a41"] {
        assert!(texts.contains(&text), "{text}: {texts:?}");
    }
    // No hole inside the set has a name on the view or a row of its own.
    assert!(!texts.contains(&"a17"), "{texts:?}");
}

/// What is printed gives every hole its place back, and no hole a second one: sets and single rows together (I7).
#[test]
fn sets_give_every_hole_its_place_back() {
    let grid = (0..6).flat_map(|y| (0..8).map(move |x| (50 + 64 * x, 40 + 96 * y)));
    let odd = [(11, 13), (50, 1000), (114, 1000), (178, 1000), (500, 1500)];
    for part in [drilled(), panel(grid.chain(odd)), strewn(50)] {
        let made = only(vec![part.clone()], Units::Millimetre);
        let figures = Figures::of(&made.job.sheets);
        let plan = plan(&part, &made.job);
        let (found, alone) = sets(&part, &plan, &figures);
        let mut places: Vec<(i64, i64)> = Vec::new();
        for set in &found {
            let (across, up) = (read(&told(&set.across, &figures)), read(&told(&set.up, &figures)));
            let before = places.len();
            places.extend(up.iter().flat_map(|y| across.iter().map(move |x| (*x as i64, *y as i64))));
            assert_eq!(places.len() - before, set.numbers.len());
            // Numbered row by row upwards, each row from the left: the order in which they were just written.
            for (place, i) in places[before..].iter().zip(&set.holes) {
                let at = part.holes[*i].at;
                assert_eq!((mm(place.0), mm(place.1)), (at.x, at.y));
            }
        }
        let own = |h: &Hole| ((h.at.x.to_mm()) as i64, (h.at.y.to_mm()) as i64);
        places.extend(alone.iter().map(|i| own(&part.holes[*i])));
        places.sort_unstable();
        let mut wanted: Vec<(i64, i64)> = part.holes.iter().map(own).collect();
        wanted.sort_unstable();
        assert_eq!(places, wanted);
    }
}

/// A pitch that no figure says exactly would add up to a fault along the row: 1/3 mm × 30 = 10 mm, as 0.33 × 30 = 9.9 mm.
#[test]
fn a_pitch_that_cannot_be_printed_makes_no_set() {
    let third = Length::from_units(Length::MM.units() / 3 + 1);
    let mut part = panel([]);
    part.holes =
        (0..30).map(|i| hole(mm(300), mm(100) + (mm(30) + third) * i, mm(5), None, Face::Show)).collect();
    let made = only(vec![part.clone()], Units::Millimetre);
    let (found, alone) = sets(&part, &plan(&part, &made.job), &Figures::of(&made.job.sheets));
    assert_eq!((found, alone.len()), (Vec::<HoleSet>::new(), 30));
}

/// The names of holes have a ceiling of work: four times as many holes cost no more than the ceiling and their own lines.
#[test]
fn names_of_many_holes_cost_no_more_than_their_share() {
    let frame = Frame::new(Paper::A3, Practice::Iso);
    for count in [60, 240] {
        let sheets = drawn(strewn(count));
        write(&format!("strewn-{count}"), &sheets);
        let all: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
        assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
        // Every hole stands in the table, named on the view or not.
        let texts = texts(&sheets);
        for number in 1..=count {
            assert!(texts.contains(&format!("a{number}").as_str()), "a{number} of {count}");
        }
    }
    // 600 000 for the names, and what one name and the words on the view may take beyond it.
    for count in [60, 240, 480, 960] {
        let made = only(vec![strewn(count)], Units::Millimetre);
        let steps =
            looked_at(&made, &plans::plan(&made).0.loads, PartId(0), &Paperwork::of(&made.job, false, false))
                .expect("drawn");
        assert!(steps < 800_000, "{count} holes took {steps} steps");
    }
    // Steps of one question grow with what lies near, not with what lies on the sheet.
    let area = Area { low: (0.0, 0.0), high: (400.0, 280.0) };
    let steps = |far: usize| {
        let mut taken = Taken::default();
        for i in 0..far {
            let x = 200.0 + (i % 20) as f64 * 9.0;
            let y = 10.0 + (i / 20) as f64 * 9.0;
            taken.add_area(Area { low: (x, y), high: (x + 5.0, y + 5.0) });
        }
        assert!(taken.near((40.0, 140.0), (10.0, 4.0), area, false).is_some());
        taken.steps()
    };
    assert_eq!(steps(20), steps(400));
}

/// Eleven rows go into one piece where one has room, never into two side by side.
#[test]
fn a_table_of_holes_is_one_piece_where_one_will_do() {
    let sheets = drawn(strewn(11));
    let heads = texts(&sheets).into_iter().filter(|text| *text == "ACROSS").count();
    assert_eq!(heads, 1);
}
