//! Small parts on shared sheets, long ones drawn broken, and what the cover and a reader's list of contents say of them.

use std::collections::{BTreeMap, BTreeSet};

use tickstick::boards::{Arris, Edge, Profile};
use tickstick::diagnose::{Diagnostic, Place};
use tickstick::drawing::bounds::extents;
use tickstick::drawing::{Group, LineType, Mark, Sheet, SheetSet, Step};
use tickstick::files::pdf;
use tickstick::length::Length;
use tickstick::parts::{Made, Part};
use tickstick::plans::{self, Plans};
use tickstick::sheets::sheet_set;
use tickstick::trade::{Face, Side, Units};

use super::bench::bench;
use super::hand_made::*;
use super::real::{SAMPLES, sample};
use super::sheets::{faults, write};

fn texts(sheet: &Sheet) -> Vec<&str> {
    let marks = sheet.groups.iter().flat_map(|g| &g.marks);
    marks.filter_map(|m| if let Mark::Text(text) = m { Some(text.text.as_str()) } else { None }).collect()
}

fn words(sheet: &Sheet) -> String {
    texts(sheet).join(" ")
}

fn of_part<'a>(sheet: &'a Sheet, part: &str) -> Vec<&'a Group> {
    let own = |group: &&Group| {
        let kinds = ["waste", "view", "hidden", "dimensions", "labels", "notes"];
        kinds.iter().any(|kind| group.id == format!("{part}-{kind}"))
    };
    sheet.groups.iter().filter(own).collect()
}

/// A job of nothing but these parts.
pub fn only(mut parts: Vec<Part>, units: Units) -> Made {
    let mut made = bench(units);
    for (i, part) in parts.iter_mut().enumerate() {
        part.mark = format!("B{}", i + 1);
    }
    (made.placed, made.joints, made.fixings) = (Vec::new(), Vec::new(), Vec::new());
    parts.iter_mut().for_each(|part| part.boards.clear());
    made.parts = parts;
    made
}

/// Each part is drawn once, in part order; on a shared sheet all of its drawing lies in its own field and no field meets
/// another (1/100 mm: what a line's end may be off by rounding).
#[test]
fn every_part_is_drawn_once_in_its_own_field() {
    let mut shared = 0;
    for name in SAMPLES {
        let made = sample(name);
        let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
        let mut order = Vec::new();
        for part in &made.parts {
            let on: Vec<usize> =
                (0..sheets.len()).filter(|i| of_part(&sheets[*i], &part.id).len() > 1).collect();
            assert_eq!(on.len(), 1, "{name}: {} is drawn on {on:?}", part.name);
            order.push(on[0]);
        }
        assert!(order.is_sorted(), "{name}: {order:?}");
        for sheet in sheets.iter().filter(|s| !s.fields.is_empty()) {
            shared += 1;
            assert!((2..=4).contains(&sheet.fields.len()), "{}", sheet.name);
            for (i, field) in sheet.fields.iter().enumerate() {
                let part = made.parts.iter().find(|p| field.title.starts_with(&format!("{} ", p.mark)));
                let part = part.expect("a field is named after its part");
                let marks: Vec<Mark> =
                    of_part(sheet, &part.id).iter().flat_map(|g| g.marks.clone()).collect();
                let (low, high) = extents(&marks).expect("drawn");
                assert!(
                    low.0 > field.low.0 - 0.01
                        && low.1 > field.low.1 - 0.01
                        && high.0 < field.high.0 + 0.01
                        && high.1 < field.high.1 + 0.01,
                    "{}: {} reaches {low:?} … {high:?} out of {field:?}",
                    sheet.name,
                    part.name
                );
                for other in &sheet.fields[i + 1..] {
                    let apart = field.high.0 <= other.low.0
                        || other.high.0 <= field.low.0
                        || field.high.1 <= other.low.1
                        || other.high.1 <= field.low.1;
                    assert!(apart, "{field:?} meets {other:?}");
                }
            }
        }
    }
    assert!(shared > 2, "{shared} shared sheets");
}

#[test]
fn the_sheet_list_has_a_row_for_each_part() {
    let made = sample("listening-nook.yaml");
    let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
    let cover = texts(&sheets[0]);
    for part in &made.parts {
        let title = format!("{} {}", part.mark, part.name.replace('_', " "));
        assert!(cover.contains(&title.as_str()), "{title}: {cover:?}");
    }
}

/// Visible strokes of a part's view.
fn strokes(sheet: &Sheet, group: &str) -> Vec<((f64, f64), (f64, f64))> {
    let marks = sheet.groups.iter().filter(|g| g.id == group).flat_map(|g| &g.marks);
    let ends = |mark: &Mark| match mark {
        Mark::Stroke { path, line: LineType::Visible } => match path.as_slice() {
            [Step::Move(a), Step::Line(b)] => Some((*a, *b)),
            _ => None,
        },
        _ => None,
    };
    marks.filter_map(ends).collect()
}

/// A trim of 3 m × 40 mm. Whole it could be drawn at 1:20 on A3 at most (3000 ÷ 10 = 300 mm, more than the zone of about
/// 250 mm has beside its figures): 2 mm wide. Broken it is drawn at 1:2, where 40 mm are 20 mm; its overall stays 3000.
#[test]
fn a_long_trim_is_broken_and_keeps_its_figures() {
    let trim = part("trim", rectangle(mm(0), mm(0), mm(3000), mm(40)), mm(18));
    let sheets = sheet_set(&only(vec![trim], Units::Millimetre), &Plans::default(), &[]);
    write("broken-trim", &sheets);
    let sheet = sheets.iter().find(|s| s.name.ends_with("bench-trim")).expect("drawn");
    let said = words(sheet);
    assert!(said.contains("3000") && said.contains(" 40 ") && said.contains("BREAK"), "{said}");
    assert!(said.contains("1:2"), "{said}");
    let level: Vec<_> = strokes(sheet, "bench-trim-view").into_iter().filter(|(a, b)| a.1 == b.1).collect();
    // Both long edges in two pieces, and between the pieces 5 mm of nothing; the edge view adds its two ends.
    let long: Vec<_> = level.iter().filter(|(a, b)| (a.0 - b.0).abs() > 30.0).collect();
    assert_eq!(long.len(), 4, "{level:?}");
    let ends: BTreeSet<i64> =
        long.iter().flat_map(|(a, b)| [a.0, b.0]).map(|x| (x * 100.0).round() as i64).collect();
    let ends: Vec<i64> = ends.into_iter().collect();
    assert_eq!(ends.len(), 4, "{ends:?}");
    assert!((ends[2] - ends[1] - 500).abs() <= 1, "{ends:?}");
    let high: BTreeSet<i64> = long.iter().map(|(a, _)| (a.1 * 100.0).round() as i64).collect();
    let high: Vec<i64> = high.into_iter().collect();
    assert!((high[1] - high[0] - 2000).abs() <= 1, "40 mm at 1:2: {high:?}");
}

/// The same trim with a hole every 60 mm: nowhere is there a stretch to leave out.
#[test]
fn a_trim_with_work_all_along_is_not_broken() {
    let mut trim = part("trim", rectangle(mm(0), mm(0), mm(3000), mm(40)), mm(18));
    trim.holes = (1..50).map(|i| hole(mm(60 * i), mm(20), mm(5), None, Face::Show)).collect();
    let sheets = sheet_set(&only(vec![trim], Units::Millimetre), &Plans::default(), &[]);
    let sheet = sheets.iter().find(|s| s.name.ends_with("bench-trim")).expect("drawn");
    assert!(!words(sheet).contains("BREAK"));
}

/// Four short battens of one length stand on one sheet, and its title says which.
#[test]
fn four_small_parts_share_a_sheet() {
    let one = |name: &str, wide: i64| part(name, rectangle(mm(0), mm(0), mm(300), mm(wide)), mm(18));
    let made =
        only(vec![one("a", 60), one("b", 70), one("c", 80), one("d", 90), one("e", 100)], Units::Millimetre);
    let sheets = sheet_set(&made, &Plans::default(), &[]);
    write("four-share", &sheets);
    let frame = tickstick::sheets::frame::Frame::new(
        tickstick::sheets::frame::Paper::A3,
        tickstick::sheets::frame::Practice::Iso,
    );
    let all: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
    assert_eq!(all, Vec::<String>::new());
    let fields: Vec<usize> = sheets.iter().map(|s| s.fields.len()).filter(|n| *n > 0).collect();
    assert!(fields[0] >= 2, "{fields:?}");
}

/// The legend counts by hand: of the two ends (finish as given) one piece each; of three dividers an edge each.
#[test]
fn the_finish_legend_counts_parts_and_edges() {
    let finish = |mut part: Part, words: &str, quantity: usize| {
        (part.finish, part.quantity) = (Some(words.to_owned()), quantity);
        part
    };
    let plain = |name: &str| part(name, rectangle(mm(0), mm(0), mm(400), mm(300)), mm(18));
    let mut lipped = finish(plain("lipped"), "clear oil", 3);
    lipped.edges = vec![Edge {
        side: Side::Right,
        from: point(mm(400), mm(0)),
        to: point(mm(400), mm(300)),
        profile: Some((Profile::Round { radius: mm(3) }, Arris::Show)),
        scribe: Length::ZERO,
        finish: Some("wax".into()),
        place: Place::default(),
    }];
    let made = only(vec![finish(plain("top"), "clear oil", 2), lipped, plain("back")], Units::Millimetre);
    let table = tickstick::sheets::finishes::legend(&made, 2.5).expect("finishes");
    let rows: Vec<Vec<&str>> =
        table.rows.iter().map(|row| row.iter().map(|cell| cell.text.as_str()).collect()).collect();
    assert_eq!(
        rows,
        [
            vec!["clear oil", "B1, B2 but for E1", "5"],
            vec!["wax", "B2 E1 only", "3"],
            vec!["none given: left as cut", "B3", "1"],
        ]
    );
    let bare = only(vec![plain("back")], Units::Millimetre);
    assert!(tickstick::sheets::finishes::legend(&bare, 2.5).is_none());
    let cover = words(&sheet_set(&made, &Plans::default(), &[])[0]);
    assert!(cover.contains("clear oil") && cover.contains("B2 E1 only"), "{cover}");
}

/// Every finding stands on the cover, on as many sheets as it takes.
#[test]
fn no_finding_is_left_off_the_cover() {
    let all: Vec<Diagnostic> = (0..300)
        .map(|i| {
            Diagnostic::warning(
                "as-it-may-be",
                Place::default(),
                format!("finding-{i} of a long list of them"),
            )
        })
        .collect();
    let sheets = sheet_set(&bench(Units::Inch), &Plans::default(), &all);
    let said: Vec<&str> = sheets.iter().flat_map(texts).collect();
    for i in 0..300 {
        let name = format!("finding-{i} ");
        assert!(said.iter().any(|text| text.contains(&name)), "{name}");
    }
}

/// Lines of a reader's list of contents: depth, title, page.
fn contents(bytes: &[u8]) -> Vec<(usize, String, usize)> {
    let document = lopdf::Document::load_mem(bytes).expect("a PDF");
    let pages: BTreeMap<lopdf::ObjectId, usize> =
        document.get_pages().into_values().enumerate().map(|(i, id)| (id, i)).collect();
    let dictionary = |id: lopdf::ObjectId| document.get_dictionary(id).expect("a dictionary").clone();
    let outlines =
        document.catalog().and_then(|c| c.get(b"Outlines")).and_then(|o| o.as_reference()).expect("one");
    let mut all = Vec::new();
    let first = |of: &lopdf::Dictionary| of.get(b"First").and_then(|o| o.as_reference()).ok();
    let mut waiting: Vec<(usize, lopdf::ObjectId)> =
        first(&dictionary(outlines)).map(|id| (0, id)).into_iter().collect();
    while let Some((depth, id)) = waiting.pop() {
        let line = dictionary(id);
        let title = lopdf::decode_text_string(line.get(b"Title").expect("a title")).expect("text");
        let to = line.get(b"Dest").and_then(|d| d.as_array()).expect("a destination")[0].as_reference();
        all.push((depth, title, pages[&to.expect("a page")]));
        let next = line.get(b"Next").and_then(|o| o.as_reference()).ok();
        waiting.extend(next.map(|id| (depth, id)));
        waiting.extend(first(&line).map(|id| (depth + 1, id)));
    }
    all
}

/// ISO 32000-1:2008, 12.3.3: chapters with what lies under them; every part is found under "Parts", and leads to the page
/// on which it is drawn. Titles beyond Latin letters come back as they were (7.9.2.2: UTF-16).
#[test]
fn bookmarks_lead_to_assemblies_and_parts() {
    let made = sample("listening-nook.yaml");
    let mut sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
    sheets[0].title = "Łóżko ½ – Ελ".into();
    let set = SheetSet { title: "t", author: "", subject: "", date: "", sheets: &sheets };
    let all = contents(&pdf::write(&set).expect("finite"));
    assert_eq!(all[0], (0, "1 Łóżko ½ – Ελ".to_owned(), 0));
    let chapters: Vec<&str> = all
        .iter()
        .filter(|(depth, title, _)| *depth == 0 && !title.starts_with(|c: char| c.is_ascii_digit()))
        .map(|(_, title, _)| title.as_str())
        .collect();
    assert_eq!(chapters[..3], ["bench", "wall", "Parts"]);
    let parts = all.iter().position(|(_, title, _)| title == "Parts").expect("a chapter");
    for part in &made.parts {
        let title = format!("{} {}", part.mark, part.name.replace('_', " "));
        let is_its = |t: &str| t.split_once(' ').is_some_and(|(_, words)| words == title);
        let found: Vec<_> = all[parts..].iter().filter(|(_, t, _)| is_its(t)).collect();
        assert_eq!(found.len(), 1, "{title}");
        let (depth, _, page) = found[0];
        assert_eq!(*depth, 1, "{title}");
        assert!(of_part(&sheets[*page], &part.id).len() > 1, "{title} is not on page {}", page + 1);
    }
    let reached: BTreeSet<usize> = all.iter().map(|(_, _, page)| *page).collect();
    assert_eq!(reached.len(), sheets.len());
}
