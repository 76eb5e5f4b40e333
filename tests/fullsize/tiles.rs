//! Drawings cut to pages: paper, overlap, register, words, and that nothing is lost.

use std::collections::BTreeSet;

use tickstick::drawing::bounds::{crossings, outside, overlaps, text_boxes};
use tickstick::drawing::paper::{Area, Paper};
use tickstick::drawing::{At, LineType, Mark, Sheet, Step};
use tickstick::fullsize::clip::clipped;
use tickstick::fullsize::template::drawings;
use tickstick::fullsize::tile::{self, OVERLAP, layout, pages, register};
use tickstick::fullsize::{Drawing, Printer, Selection, Stock, rods, templates};
use tickstick::length::{Length, Units};
use tickstick::parts::{Made, PartId};
use tickstick::trade::{Face, Side};
use tickstick::values::RodAsked;

use super::hand_made::*;

fn printer(paper: Paper) -> Printer {
    Printer::on(Stock::Sheets(paper))
}

fn roll(width: i64) -> Printer {
    Printer::on(Stock::Roll(mm(width)))
}

fn template(made: &Made, part: usize, face: Face, printer: &Printer) -> Drawing {
    drawings(made, PartId(part), face, false, printer).remove(0)
}

/// Every page that a test looks at: both units, all shapes, small and large paper, a roll, rods.
fn all_pages() -> Vec<(String, Vec<Sheet>)> {
    let mut all = Vec::new();
    for (name, units, printer) in [
        ("a4", Units::Millimetre, printer(Paper::A4)),
        ("letter", Units::Inch, printer(Paper::Letter)),
        ("tabloid", Units::Inch, printer(Paper::Tabloid)),
        ("roll", Units::Millimetre, roll(610)),
    ] {
        let mut made = bench(units);
        let rod =
            |of: Option<&str>, from| RodAsked { of: of.map(str::to_owned), from, place: Default::default() };
        made.job.full_size.rods =
            vec![rod(Some("bench"), Side::Left), rod(None, Side::Top), rod(Some("bench"), Side::Front)];
        let shaped = Selection::named(&made, &["B1", "B3", "B4"], false).unwrap();
        all.push((name.to_owned(), templates(&made, &shaped, &printer).unwrap()));
        let worked = Selection::named(&made, &["B1", "B3", "B4"], true).unwrap();
        all.push((format!("{name} worked"), templates(&made, &worked, &printer).unwrap()));
        all.push((format!("{name} rods"), rods(&made, &printer).unwrap()));
    }
    all
}

#[test]
fn pages_are_exactly_the_paper() {
    let made = bench(Units::Millimetre);
    // ISO 216: A4 is 210 × 297 mm, A3 297 × 420; letter 8 1/2 × 11 in, tabloid 11 × 17 in.
    for (paper, short, long) in [
        (Paper::A4, 210.0, 297.0),
        (Paper::A3, 297.0, 420.0),
        (Paper::Letter, 215.9, 279.4),
        (Paper::Tabloid, 279.4, 431.8),
    ] {
        for sheet in templates(&made, &Selection::of(&made), &printer(paper)).unwrap() {
            let size = (sheet.width.min(sheet.height), sheet.width.max(sheet.height));
            assert_eq!(size, (short, long), "{}", sheet.name);
        }
    }
}

#[test]
fn words_lie_clear_of_lines_and_of_each_other_on_every_page() {
    let mut seen = 0;
    for (name, sheets) in all_pages() {
        for sheet in &sheets {
            let boxes = text_boxes(sheet);
            if let Some(overlap) = overlaps(sheet).first() {
                panic!(
                    "{name} {}: `{}` over `{}`",
                    sheet.name, boxes[overlap.one].text, boxes[overlap.other].text
                );
            }
            if let Some(crossing) = crossings(sheet).first() {
                let group = &sheet.groups[crossing.group].id;
                panic!("{name} {}: a line of {group} through `{}`", sheet.name, boxes[crossing.text].text);
            }
            let out = outside(sheet, (6.0, 6.0), (sheet.width - 6.0, sheet.height - 6.0));
            assert!(out.is_empty(), "{name} {}: `{}` leaves the margins", sheet.name, boxes[out[0]].text);
            seen += boxes.len();
        }
    }
    assert!(seen > 5000, "{seen}");
}

#[test]
fn names_and_ids_are_unique() {
    for (name, sheets) in all_pages() {
        let names: BTreeSet<&str> = sheets.iter().map(|s| s.name.as_str()).collect();
        assert_eq!(names.len(), sheets.len(), "{name}");
        for sheet in &sheets {
            let ids: BTreeSet<&str> = sheet.groups.iter().map(|g| g.id.as_str()).collect();
            assert_eq!(ids.len(), sheet.groups.len(), "{name} {}", sheet.name);
        }
    }
}

#[test]
fn every_page_carries_the_bars_and_says_what_it_is() {
    let made = bench(Units::Millimetre);
    for sheet in templates(&made, &Selection::of(&made), &printer(Paper::A4)).unwrap() {
        let bar = |id: &str| {
            let group =
                sheet.groups.iter().find(|g| g.id == id).unwrap_or_else(|| panic!("{}: no {id}", sheet.name));
            let Mark::Stroke { path, .. } = &group.marks[0] else { panic!() };
            let [Step::Move(a), Step::Line(b)] = path[..] else { panic!() };
            let Mark::Stroke { path, .. } = &group.marks[3] else { panic!() };
            let [Step::Move(c), Step::Line(d)] = path[..] else { panic!() };
            ((b.0 - a.0, b.1 - a.1), (d.0 - c.0, d.1 - c.1))
        };
        assert_eq!(bar("bar-100mm"), ((100.0, 0.0), (0.0, 100.0)), "{}", sheet.name);
        let (x, y) = bar("bar-4in");
        assert!((x.0 - 101.6).abs() < 1e-9 && (y.1 - 101.6).abs() < 1e-9);
        // The slanting bars, 100 mm and 4 in between their ticks, and a box for each length that is to be measured.
        for (id, wanted) in [("bar-100mm", 100.0), ("bar-4in", 101.6)] {
            let group = sheet.groups.iter().find(|g| g.id == id).unwrap();
            let ends: Vec<(f64, f64)> = [6, 7, 8]
                .map(|mark| match &group.marks[mark] {
                    Mark::Stroke { path, .. } => match path[..] {
                        [Step::Move(a), Step::Line(b)] => vec![a, b],
                        _ => panic!("{id}"),
                    },
                    _ => panic!("{id}"),
                })
                .concat();
            let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
            assert!((apart(ends[0], ends[1]) - wanted).abs() < 1e-9, "{}", sheet.name);
            assert!(ends[1].0 - ends[0].0 > 90.0 && ends[1].1 - ends[0].1 > 25.0, "it is no slant");
            // Ticks begin at the ends and stand square to the bar.
            assert_eq!((ends[2], ends[4]), (ends[0], ends[1]));
            let across = (ends[1].0 - ends[0].0) * (ends[3].0 - ends[2].0)
                + (ends[1].1 - ends[0].1) * (ends[3].1 - ends[2].1);
            assert!(across.abs() < 1e-9);
        }
        let words = sheet.groups.iter().find(|g| g.id == "words").unwrap();
        let boxes =
            words.marks.iter().filter(|mark| matches!(mark, Mark::Stroke { line: LineType::Table, .. }));
        assert_eq!(boxes.count(), 4, "{}", sheet.name);
        let texts: Vec<String> = text_boxes(&sheet).into_iter().map(|b| b.text).collect();
        let all = texts.join("|");
        let face = if sheet.name.contains("-back") { "BACK" } else { "FACE" };
        assert!(texts.iter().any(|t| t == face), "{}", sheet.name);
        for wanted in [
            "HB-21 · Hall bench · rev. C · 2026-04-14",
            "Off by more than 0.5 mm",
            "D–E 100 mm",
            "UP",
            "grain",
        ] {
            assert!(all.contains(wanted), "{}: {wanted} not in {all}", sheet.name);
        }
        assert!(
            all.contains("row ") || all.contains("map and measures") || all.contains("all of it"),
            "{}",
            sheet.name
        );
    }
}

/// Length of all strokes of a drawing's own outline in a rectangle.
fn drawn(drawing: &Drawing, area: &Area) -> f64 {
    let outline = drawing.groups.iter().find(|g| g.id == "outline").unwrap();
    let strokes = outline.marks.iter().filter_map(|mark| clipped(mark, area));
    strokes
        .map(|mark| {
            let Mark::Stroke { path, .. } = mark else { panic!() };
            let (mut start, mut at, mut sum) = ((0.0, 0.0), (0.0, 0.0), 0.0);
            let apart = |a: At, b: At| (b.0 - a.0).hypot(b.1 - a.1);
            for step in path {
                match step {
                    Step::Move(to) => (start, at) = (to, to),
                    Step::Line(to) => {
                        sum += apart(at, to);
                        at = to;
                    }
                    Step::Arc(to, bulge) => {
                        let arc = tickstick::shape::Arc::between(at, to, bulge).unwrap();
                        sum += arc.radius * arc.sweep.abs();
                        at = to;
                    }
                    Step::Close => {
                        sum += apart(at, start);
                        at = start;
                    }
                }
            }
            sum
        })
        .sum()
}

#[test]
fn nothing_of_the_outline_is_lost_and_empty_pages_are_left_out() {
    let made = bench(Units::Millimetre);
    for (part, paper, kept, all) in [
        (END, Paper::A4, 8, 9),
        (RAIL, Paper::A4, 9, 9),
        (SHELF, Paper::A4, 14, 18),
        (DIVIDER, Paper::A3, 2, 2),
    ] {
        let printer = printer(paper);
        let drawing = template(&made, part, Face::Show, &printer);
        let layout = layout(&drawing.area, &drawing.groups, &printer).unwrap();
        assert_eq!((layout.tiles.len(), layout.rows * layout.columns), (kept, all), "part {part}");
        // Cells without the halves of the shared strips hold every line once.
        let cells = layout.tiles.iter().map(|t| {
            let half = OVERLAP / 2.0;
            let w = t.window;
            Area {
                low: (
                    w.low.0 + if t.column > 1 { half } else { 0.0 },
                    w.low.1 + if t.row < layout.rows { half } else { 0.0 },
                ),
                high: (
                    w.high.0 - if t.column < layout.columns { half } else { 0.0 },
                    w.high.1 - if t.row > 1 { half } else { 0.0 },
                ),
            }
        });
        let sum: f64 = cells.map(|cell| drawn(&drawing, &cell)).sum();
        let whole = made.parts[part].outline.perimeter_mm();
        assert!((sum - whole).abs() < 1e-6, "part {part}: {sum} of {whole}");
    }
}

#[test]
fn neighbours_share_ten_millimetres_and_the_same_register_crosses() {
    let made = bench(Units::Millimetre);
    let printer = printer(Paper::A4);
    let drawing = template(&made, END, Face::Show, &printer);
    let layout = layout(&drawing.area, &drawing.groups, &printer).unwrap();
    let key = |at: &At| ((at.0 * 1000.0).round() as i64, (at.1 * 1000.0).round() as i64);
    let mut seams = 0;
    for one in &layout.tiles {
        for other in &layout.tiles {
            let (down, right) = (other.row as i64 - one.row as i64, other.column as i64 - one.column as i64);
            let shared = match (down, right) {
                (0, 1) => one.window.high.0 - other.window.low.0,
                (1, 0) => other.window.high.1 - one.window.low.1,
                _ => continue,
            };
            assert!((shared - OVERLAP).abs() < 1e-9 && OVERLAP >= 8.0);
            let (a, b): (BTreeSet<_>, BTreeSet<_>) = (
                register(&layout, one).iter().map(key).collect(),
                register(&layout, other).iter().map(key).collect(),
            );
            assert_eq!(a.intersection(&b).count(), 2, "{one:?} {other:?}");
            seams += 1;
        }
    }
    // Of the 12 seams of 3 × 3 pages, 4 belong to the empty page in the middle.
    assert_eq!(seams, 8);
    for tile in &layout.tiles {
        for at in register(&layout, tile) {
            let w = tile.window;
            assert!(at.0 > w.low.0 && at.0 < w.high.0 && at.1 > w.low.1 && at.1 < w.high.1);
        }
    }
}

#[test]
fn words_of_a_drawing_are_printed_whole() {
    let made = bench(Units::Millimetre);
    for paper in [Paper::A4, Paper::Letter, Paper::A3] {
        let printer = printer(paper);
        for (part, face) in [(END, Face::Show), (END, Face::Back), (DIVIDER, Face::Show), (RAIL, Face::Show)]
        {
            let drawing = template(&made, part, face, &printer);
            let printed: BTreeSet<String> =
                pages(&drawing, &printer).unwrap().iter().flat_map(text_boxes).map(|b| b.text).collect();
            let mut words = 0;
            for mark in drawing.groups.iter().flat_map(|g| &g.marks) {
                if let Mark::Text(text) = mark {
                    assert!(
                        printed.contains(&text.text),
                        "{} {paper:?}: `{}` is lost",
                        drawing.name,
                        text.text
                    );
                    words += 1;
                }
            }
            assert!(words > 6, "{}: {words}", drawing.name);
        }
    }
}

#[test]
fn a_word_that_no_page_holds_is_moved_whole_into_the_nearest() {
    let made = bench(Units::Millimetre);
    let printer = printer(Paper::A4);
    let mut drawing = template(&made, RAIL, Face::Show, &printer);
    let layout = layout(&drawing.area, &drawing.groups, &printer).unwrap();
    // Across the first seam, wider than the strip that both pages share.
    let seam = layout.tiles[0].window.high.0 - OVERLAP / 2.0;
    drawing.groups.last_mut().unwrap().marks.push(tickstick::drawing::text::written(
        (seam + 1.0, 100.0),
        "a word on the seam",
        5.0,
        tickstick::drawing::Anchor::Middle,
        false,
    ));
    let sheets = pages(&drawing, &printer).unwrap();
    let with: Vec<&Sheet> =
        sheets.iter().filter(|s| text_boxes(s).iter().any(|b| b.text == "a word on the seam")).collect();
    assert_eq!(with.len(), 1);
    let box_ = text_boxes(with[0]).into_iter().find(|b| b.text == "a word on the seam").unwrap();
    assert!(box_.corners.iter().all(|c| c.0 > 6.0 && c.0 < with[0].width - 6.0));
}

#[test]
fn a_roll_takes_a_part_as_one_page_and_shows_the_bars_at_both_ends() {
    let made = bench(Units::Millimetre);
    let sheets = templates(&made, &Selection::named(&made, &["B4"], false).unwrap(), &roll(610)).unwrap();
    let [sheet] = sheets.as_slice() else { panic!("{} pages", sheets.len()) };
    assert_eq!(sheet.height, 610.0);
    assert!(sheet.width > 1464.0 && sheet.width < 1464.0 + 300.0, "{}", sheet.width);
    let bars = |id: &str| sheet.groups.iter().any(|g| g.id == id);
    assert!(bars("bar-100mm") && bars("bar-100mm-far-end"));
    // Up to 5 m of roll it stays one page.
    let mut long = bench(Units::Millimetre);
    long.parts[SHELF].outline = rectangle((0, 0), (4700, 300));
    (long.parts[SHELF].width, long.parts[SHELF].height) = (mm(4700), mm(300));
    let sheets = templates(&long, &Selection::named(&long, &["B5"], false).unwrap(), &roll(610)).unwrap();
    let [sheet] = sheets.as_slice() else { panic!("{} pages", sheets.len()) };
    assert!(sheet.width > 4700.0 && sheet.width <= 5000.0, "{}", sheet.width);
    // PDF takes 14 400 points: 5080 mm (ISO 32000-1 annex C.2). A longer part is printed in lengths.
    let mut long = bench(Units::Millimetre);
    long.parts[SHELF].outline = rectangle((0, 0), (7000, 300));
    (long.parts[SHELF].width, long.parts[SHELF].height) = (mm(7000), mm(300));
    let sheets = templates(&long, &Selection::named(&long, &["B5"], false).unwrap(), &roll(610)).unwrap();
    assert!(
        sheets.len() >= 3 && sheets.iter().all(|s| s.width <= 5000.0 && s.height <= 5000.0),
        "{}",
        sheets.len()
    );
}

#[test]
fn paper_that_is_too_small_is_an_error_with_the_numbers() {
    let made = bench(Units::Millimetre);
    let printer = Printer { margin: mm(60), ..printer(Paper::A4) };
    let faults = templates(&made, &Selection::of(&made), &printer).unwrap_err();
    assert!(
        faults[0].to_string().contains("paper of 210 × 297 mm with 60.0 mm margins leaves no room"),
        "{}",
        faults[0]
    );
    let mut vast = bench(Units::Millimetre);
    vast.parts[SHELF].outline = rectangle((0, 0), (90_000, 90_000));
    (vast.parts[SHELF].width, vast.parts[SHELF].height) = (Length::MM * 90_000, Length::MM * 90_000);
    let only = Selection::named(&vast, &["B5"], false).unwrap();
    let faults = templates(&vast, &only, &self::printer(Paper::A4)).err().unwrap();
    assert!(faults[0].to_string().contains("pages of 210 × 297 mm"), "{}", faults[0]);
}

#[test]
fn the_way_round_that_takes_fewer_pages_is_chosen() {
    let made = bench(Units::Millimetre);
    let printer = printer(Paper::A4);
    let of = |part| {
        let drawing = template(&made, part, Face::Show, &printer);
        let layout = tile::layout(&drawing.area, &drawing.groups, &printer).unwrap();
        (layout.size, layout.rows, layout.columns, layout.tiles.len())
    };
    // An upright A4 window is 210 − 12 − 11 − 5 = 182 wide and 297 − 12 − 46 − 5 = 234 high, a lying one 269 × 147; of each,
    // 10 are shared. The rail with 14 mm of paper all round is 1492 × 168: upright ⌈1482 / 172⌉ = 9 in one row, lying
    // ⌈1482 / 259⌉ = 6 in two rows. The shelf is 1492 × 390: upright 9 in two rows, lying 6 in three, of which the middle row
    // holds something at its ends only.
    assert_eq!(of(RAIL), ((210.0, 297.0), 1, 9, 9));
    assert_eq!(of(SHELF), ((297.0, 210.0), 3, 6, 14));
}
