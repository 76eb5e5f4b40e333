//! Paper, lettering, lines and the two writers, held against the standards they follow. Numbers carry their source; those
//! marked 'from memory' were not seen in it.

use std::collections::BTreeSet;
use std::path::Path;

use tickstick::drawing::arrow::{Terminator, ended_line, leader};
use tickstick::drawing::balloon::{balloon, pointing_balloon};
use tickstick::drawing::bounds::{box_of, crossings, extents, outside, overlaps, text_boxes};
use tickstick::drawing::hatch::{Hatching, hatch};
use tickstick::drawing::lettering::{
    HEIGHTS, check, covers, dashes, face, height_that_fits, line_group, line_width, pitch, printable,
    reach_of, width_of,
};
use tickstick::drawing::table::{Cell, Column, Table, list};
use tickstick::drawing::text::{paragraph, wrap, written};
use tickstick::drawing::{
    Anchor, At, Group, Ink, Layer, LineType, Mark, Sheet, SheetSet, Step, Text, centre_cross, circle, line,
    rectangle,
};
use tickstick::files::{Names, pdf, safe, svg};
use tickstick::sheets::frame::{Area, Frame, Paper, Practice};
use tickstick::sheets::scales::{Scale, largest_detail_that_fits, largest_that_fits};
use tickstick::sheets::title_block::{Projection, Revision, TitleBlock};
use tickstick::trade::Units;

fn title_block(units: Units, projection: Projection, scale: &str) -> TitleBlock {
    TitleBlock {
        owner: "Quayside Joinery".into(),
        number: "WS-014-03".into(),
        date: "2026-03-02".into(),
        sheet: 3,
        sheets: 14,
        title: "Window seat".into(),
        supplementary: "Divider, 4 off, grain up".into(),
        creator: "R. Osei".into(),
        approved: "".into(),
        document_type: "Part drawing".into(),
        revision: "B".into(),
        scale: scale.into(),
        projection,
        units,
        status: "ISSUED FOR REVIEW – DO NOT CUT".into(),
        revisions: vec![
            Revision {
                index: "A".into(),
                what: "First issue".into(),
                date: "2026-02-20".into(),
                by: "RO".into(),
            },
            Revision {
                index: "B".into(),
                what: "Seat height 450 was 440".into(),
                date: "2026-03-02".into(),
                by: "RO".into(),
            },
        ],
        changed: None,
    }
}

/// Every kind of line, height, end and hatch on one sheet, as a set of two sheets that lead to each other.
fn sample(paper: Paper, practice: Practice) -> Vec<Sheet> {
    let frame = Frame { revisions: 3, ..Frame::new(paper, practice) };
    let (units, projection, scale) = match practice {
        Practice::Iso => (Units::Millimetre, Projection::First, "1:5"),
        Practice::Asme => (Units::Inch, Projection::Third, "1 1/2\" = 1'-0\""),
    };
    let (width, height) = frame.size();
    let group = line_group(width, height);
    let field = frame.field();
    let (left, top) = field.upper_left();
    let mut lines = Vec::new();
    let mut hidden = Vec::new();
    let mut notes = Vec::new();
    let mut dims = Vec::new();
    for (row, kind) in ALL_LINES.iter().enumerate() {
        let y = top - 6.0 - 6.0 * row as f64;
        let to: &mut Vec<Mark> = if *kind == LineType::Hidden { &mut hidden } else { &mut lines };
        to.push(line((left + 34.0, y), (left + 134.0, y), *kind));
        notes.push(written((left, y - 1.25), format!("{kind:?}"), 2.5, Anchor::Start, false));
    }
    for (row, height) in HEIGHTS.iter().take(6).enumerate() {
        let y = top - 10.0 - [0.0, 5.0, 11.0, 19.0, 30.0, 45.0][row];
        notes.push(written(
            (left + 150.0, y),
            format!("7 3/8\" ±½ Ø{height} Ély"),
            *height,
            Anchor::Start,
            false,
        ));
    }
    for (index, kind) in
        [Hatching::EndGrain, Hatching::LongGrain, Hatching::Plywood, Hatching::Fibre, Hatching::Plain]
            .into_iter()
            .enumerate()
    {
        let (x, y) = (left + 34.0 * index as f64, top - 96.0);
        let region = notched((x, y), 28.0, 12.0);
        lines.push(Mark::Stroke { path: region.clone(), line: LineType::Visible });
        lines.extend(hatch(&region, kind, 0.0, 2.0));
        notes.push(written((x + 14.0, y - 5.0), format!("{kind:?}"), 2.5, Anchor::Middle, false));
    }
    for (index, end) in
        [Terminator::Narrow, Terminator::Arrow, Terminator::Oblique, Terminator::Dot, Terminator::Origin]
            .into_iter()
            .enumerate()
    {
        let (x, y) = (left + 34.0 * index as f64, top - 118.0);
        dims.extend(ended_line(&[(x, y), (x + 28.0, y)], end, end, group));
        dims.push(line((x, y - 3.0), (x, y + 2.0), LineType::Dimension));
        dims.push(line((x + 28.0, y - 3.0), (x + 28.0, y + 2.0), LineType::Dimension));
        dims.push(written((x + 14.0, y + 0.9), "28", 3.5, Anchor::Middle, false));
    }
    let right = field.high.0;
    let turned = Text {
        at: (right - 4.0, top - 60.0),
        text: "read from the right".into(),
        height: 3.5,
        anchor: Anchor::Middle,
        turn: 90.0,
        bold: false,
    };
    dims.push(Mark::Text(turned));
    lines.push(Mark::Stroke { path: circle((left + 190.0, top - 92.0), 9.0), line: LineType::Visible });
    lines.extend(centre_cross((left + 190.0, top - 92.0), 9.0));
    lines.push(Mark::Fill {
        path: rectangle((left + 206.0, top - 100.0), (left + 216.0, top - 84.0)),
        ink: Ink::Grey(0.25),
    });
    dims.extend(leader(
        &[(left + 212.0, top - 110.0), (left + 196.36, top - 98.36)],
        Terminator::Arrow,
        group,
    ));
    dims.push(written((left + 213.0, top - 111.7), "Ø18 through", 3.5, Anchor::Start, false));
    dims.extend(pointing_balloon(
        (left + 225.0, top - 80.0),
        "12",
        3.5,
        (left + 211.0, top - 92.0),
        Terminator::Dot,
        group,
    ));
    dims.extend(balloon((left + 240.0, top - 80.0), "4", 3.5));
    if let Some(beside) = frame.beside() {
        notes.extend(schedule().placed(beside.upper_left(), beside.width()).marks);
    }
    let mut groups = frame.draw(&title_block(units, projection, scale));
    groups.extend([
        Group { id: "view".into(), layer: Layer::Outlines, marks: lines },
        Group { id: "hidden-lines".into(), layer: Layer::Hidden, marks: hidden },
        Group { id: "dimensions".into(), layer: Layer::Dimensions, marks: dims },
        Group { id: "notes".into(), layer: Layer::Notes, marks: notes },
    ]);
    let first = Sheet {
        name: format!("01-{}", paper.name()),
        title: "All kinds of marks".into(),
        width,
        height,
        groups,
        dimensions: Vec::new(),
        ..Sheet::default()
    };
    vec![first, upright_sheet(practice)]
}

const ALL_LINES: [LineType; 9] = [
    LineType::Visible,
    LineType::Hidden,
    LineType::Centre,
    LineType::Dimension,
    LineType::Hatch,
    LineType::Adjacent,
    LineType::Cutting,
    LineType::Frame,
    LineType::Table,
];

fn schedule() -> Table {
    let row = |n: &str, what: &str, stock: &str, size: &str, sheet: Option<usize>| {
        vec![
            Cell { sheet, ..Cell::new(n) },
            Cell::new(what),
            Cell::new(stock),
            Cell::new(size),
            Cell::bold("A"),
        ]
    };
    Table {
        title: "Parts".into(),
        columns: vec![
            Column::numbers("Qty"),
            Column::words("Part"),
            Column::words("Stock, actual thickness"),
            Column::numbers("Finished size"),
            Column::marks("Face"),
        ],
        rows: vec![
            row("4", "Divider", "3/4 birch ply, 0.709\"", "17 1/4\" × 15 3/32\"", Some(1)),
            row(
                "2",
                "Stretcher, notched round the dividers and scribed to the left wall",
                "poplar, 3/4\"",
                "3\" × 71 1/2\"",
                None,
            ),
            row("1", "Seat – Füllung <łóżko> & „Дуб“", "white ash, 1 1/4\"", "18\" × 71 7/16\"", None),
        ],
        height: 2.5,
    }
}

fn upright_sheet(practice: Practice) -> Sheet {
    let paper = if practice == Practice::Iso { Paper::A4 } else { Paper::Letter };
    let frame = Frame::new(paper, practice);
    let units = if practice == Practice::Iso { Units::Millimetre } else { Units::Inch };
    let mut groups = frame.draw(&title_block(units, Projection::Third, "FULL SIZE"));
    let field = frame.field();
    let text =
        "Cut the dividers first. Gaps stay 7 1/4\" wide; the last one floats and takes what the wall leaves.";
    let mut notes = paragraph(field.upper_left(), text, 80.0, 3.5, false).marks;
    let steps = [("1".into(), text.into()), ("2".into(), "Dry fit.".into())];
    notes.extend(list((field.low.0, field.high.1 - 45.0), &steps, 90.0, 2.5).marks);
    notes.push(Mark::Link { low: field.low, high: (field.low.0 + 20.0, field.low.1 + 5.0), sheet: 0 });
    notes.push(written((field.low.0, field.low.1 + 1.0), "to sheet 1", 2.5, Anchor::Start, false));
    groups.push(Group { id: "notes".into(), layer: Layer::Notes, marks: notes });
    // A bar of exactly 100 mm between two strokes, in both directions, for measuring a print.
    let mut bar = Vec::new();
    let (x, y) = (field.low.0 + 20.0, field.low.1 + 20.0);
    for (along, across) in [((1.0, 0.0), (0.0, 1.0)), ((0.0, 1.0), (1.0, 0.0))] {
        let at = |a: f64, c: f64| (x + along.0 * a + across.0 * c, y + along.1 * a + across.1 * c);
        bar.push(line(at(0.0, 0.0), at(100.0, 0.0), LineType::Dimension));
        bar.push(line(at(0.0, -2.0), at(0.0, 2.0), LineType::Dimension));
        bar.push(line(at(100.0, -2.0), at(100.0, 2.0), LineType::Dimension));
    }
    groups.push(Group { id: "bar-100mm".into(), layer: Layer::Dimensions, marks: bar });
    let (width, height) = frame.size();
    Sheet {
        name: format!("02-{}", paper.name()),
        title: "Words & a bar".into(),
        width,
        height,
        groups,
        dimensions: vec![],
        ..Sheet::default()
    }
}

/// A board's section with a notch, a rounded corner and a round hole.
fn notched(at: At, width: f64, height: f64) -> Vec<Step> {
    let p = |x: f64, y: f64| (at.0 + x, at.1 + y);
    let quarter = 2.0_f64.sqrt() - 1.0;
    let mut path = vec![
        Step::Move(p(0.0, 0.0)),
        Step::Line(p(width, 0.0)),
        Step::Line(p(width, height - 4.0)),
        Step::Arc(p(width - 4.0, height), quarter),
        Step::Line(p(12.0, height)),
        Step::Line(p(12.0, height - 4.0)),
        Step::Line(p(7.0, height - 4.0)),
        Step::Line(p(7.0, height)),
        Step::Line(p(0.0, height)),
        Step::Close,
    ];
    path.extend(circle(p(19.0, 5.0), 2.5));
    path
}

fn set<'a>(sheets: &'a [Sheet]) -> SheetSet<'a> {
    SheetSet {
        title: "Window seat – Nische",
        author: "Quayside Joinery",
        subject: "Shop drawings WS-014",
        date: "2026-03-02",
        sheets,
    }
}

fn all_samples() -> Vec<(&'static str, Vec<Sheet>)> {
    vec![
        ("iso", sample(Paper::A3, Practice::Iso)),
        ("inch", sample(Paper::Tabloid, Practice::Asme)),
        ("large", sample(Paper::A1, Practice::Iso)),
        ("large-inch", sample(Paper::ArchC, Practice::Asme)),
    ]
}

/// The samples as files, for `tests/outside/pictures.py`.
#[test]
fn samples_are_written() {
    for (name, sheets) in all_samples() {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("paper").join(name);
        std::fs::create_dir_all(folder.join("sheets")).unwrap();
        let set = set(&sheets);
        for (index, sheet) in sheets.iter().enumerate() {
            let file = folder.join("sheets").join(format!("{}.svg", safe(&sheet.name)));
            std::fs::write(file, svg::write(&set, index).unwrap()).unwrap();
        }
        std::fs::write(folder.join("drawings.pdf"), pdf::write(&set).unwrap()).unwrap();
    }
}

/// Indices and words of texts, for messages.
fn faults(sheet: &Sheet) -> Vec<String> {
    let boxes = text_boxes(sheet);
    let name = |index: usize| boxes[index].text.clone();
    let over = overlaps(sheet).into_iter().map(|o| format!("{:?} lies on {:?}", name(o.one), name(o.other)));
    let through = crossings(sheet)
        .into_iter()
        .map(|c| format!("mark {} of {} runs through {:?}", c.mark, sheet.groups[c.group].id, name(c.text)));
    let out = outside(sheet, (5.0, 5.0), (sheet.width - 5.0, sheet.height - 5.0));
    over.chain(through).chain(out.into_iter().map(|i| format!("{:?} leaves the paper", name(i)))).collect()
}

#[test]
fn samples_have_no_text_on_text_or_line() {
    for (name, sheets) in all_samples() {
        for sheet in &sheets {
            assert_eq!(faults(sheet), Vec::<String>::new(), "{name}, {}", sheet.name);
        }
    }
}

// ── lettering ──────────────────────────────────────────────────────────────────────────────────────────────────────

/// ISO 3098-1:2015, nominal sizes: 1.8 2.5 3.5 5 7 10 14 20 mm, a step of the square root of 2.
#[test]
fn heights_of_lettering_are_those_of_iso_3098() {
    assert_eq!(HEIGHTS, [1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0]);
    for pair in HEIGHTS.windows(2) {
        let step = pair[1] / pair[0];
        assert!((step - 2.0_f64.sqrt()).abs() < 0.03, "{pair:?}: {step}");
    }
}

/// ISO 3098: the height of lettering is the height of a capital. Measured on the ink of capitals without round edges.
#[test]
fn capitals_are_as_high_as_the_lettering() {
    for height in HEIGHTS {
        for bold in [false, true] {
            let (below, above) = reach_of("HEXT", height, bold);
            assert!(below.abs() < 1e-9 && (above - height).abs() < 1e-9, "{height}: {below} to {above}");
        }
    }
}

/// ISO 3098-0:1997 table 2, lettering B: lines at least 1.5 h apart, 1.9 h where capitals bear accents.
#[test]
fn lines_of_text_stand_apart() {
    assert!(pitch("plain gqy", 5.0) >= 1.5 * 5.0);
    assert!(pitch("Élan", 5.0) >= 1.9 * 5.0);
    let text = "gÉjpÅ ".repeat(12);
    let placed = paragraph((0.0, 100.0), &text, 40.0, 3.5, false);
    let sheet = bare(placed.marks);
    assert!(text_boxes(&sheet).len() > 3);
    assert_eq!(overlaps(&sheet), []);
}

/// Widths against the reader of another library: horizontal advances of `hmtx`, 2048 units to the em (`head`), capitals
/// 1493 units high (`OS/2` sCapHeight is absent in this face; the ink of `H` in `glyf` is 1493).
#[test]
fn widths_agree_with_another_reader_of_the_font() {
    for bold in [false, true] {
        let font = printpdf::ParsedFont::from_bytes(face(bold), 0, &mut Vec::new()).unwrap();
        assert_eq!(font.units_per_em, 2048);
        for text in ["Divider 4 off", "71 15/32\" ± ½ Ø 6 mm", "łóżko Дуб Ελιά"] {
            let units: u32 = text
                .chars()
                .map(|c| u32::from(font.get_glyph_width(font.lookup_glyph_index(c as u32).unwrap()).unwrap()))
                .sum();
            let wanted = f64::from(units) * 3.5 / 1493.0;
            assert!((width_of(text, 3.5, bold) - wanted).abs() < 1e-9, "{text}");
        }
    }
    assert!(width_of("Divider", 3.5, true) > width_of("Divider", 3.5, false));
    assert_eq!(width_of("", 3.5, false), 0.0);
}

/// What sheets print besides letters: fractions, primes, marks of dimensions.
#[test]
fn every_sign_of_the_trade_has_a_glyph() {
    let signs = "½¼¾⅛⅜⅝⅞⅓⅔⁄″′\"'×÷±°Ø⌀∅△▽□○●◇◆→←↑↓↔⊥∠≈≤≥–—…·•²³µ€£%&@#*/\\()[]<>=+-_,.:;!?✓✗☐☑▲▼◁▷";
    let missing: String = signs.chars().filter(|c| !covers(*c)).collect();
    assert_eq!(missing, "");
    for c in (' '..='~').chain('À'..='ž').chain('Α'..='Ω').chain('А'..='я').filter(|c| c.is_alphabetic())
    {
        assert!(covers(c), "{c}");
    }
}

#[test]
fn what_has_no_glyph_shows_as_a_box() {
    assert_eq!(check("plain"), Ok(()));
    let missing = check("a\u{1}木b\u{202E}").unwrap_err().0;
    assert_eq!(missing, ['\u{1}', '\u{202E}', '木']);
    assert_eq!(printable("a\u{1}木b\u{202E}"), "a□□b□");
    assert_eq!(width_of("木", 5.0, false), width_of("□", 5.0, false));
}

#[test]
fn the_largest_height_that_fits_is_chosen() {
    let width = width_of("DIVIDER", 3.5, false);
    assert_eq!(height_that_fits("DIVIDER", width, 20.0, false), Some(3.5));
    assert_eq!(height_that_fits("DIVIDER", width, 2.5, false), Some(2.5));
    assert_eq!(height_that_fits("DIVIDER", 1.0, 20.0, false), None);
}

/// A size torn at the end of a line is a wrong size.
#[test]
fn sizes_are_never_torn() {
    let text = "leave 7 1/4\" or 18 mm or 5' 4-1/2\" or 3 ⅜\" or 17 × 15 here";
    for width in 4..80 {
        let lines = wrap(text, f64::from(width), 2.5, false);
        if width > 16 {
            let whole = lines.iter().all(|l| width_of(l, 2.5, false) <= f64::from(width));
            assert!(whole, "{width}: {lines:?}");
            for size in ["7 1/4\"", "18 mm", "5' 4-1/2\"", "3 ⅜\"", "17 × 15"] {
                assert!(lines.iter().any(|l| l.contains(size)), "{width}: {lines:?} tears {size}");
            }
        }
        // Nothing is lost, whatever the width.
        let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(text));
    }
    assert_eq!(wrap("one\ntwo", 50.0, 2.5, false), ["one", "two"]);
}

// ── lines ──────────────────────────────────────────────────────────────────────────────────────────────────────────

/// ISO 128-20:1996 / 128-2:2020: widths 0.13 0.18 0.25 0.35 0.5 0.7 1 1.4 2; wide to narrow 2:1; group 0.5 on A4 to A2
/// and 0.7 on larger sheets (text book on ÖNORM EN ISO 128-2).
#[test]
fn line_widths_are_those_of_iso_128() {
    let series = [0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0];
    for (paper, group) in [
        (Paper::A4, 0.5),
        (Paper::A3, 0.5),
        (Paper::A2, 0.5),
        (Paper::A1, 0.7),
        (Paper::A0, 0.7),
        (Paper::Tabloid, 0.5),
        (Paper::ArchC, 0.5),
        (Paper::ArchD, 0.7),
    ] {
        let (long, short) = paper.sides();
        assert_eq!(line_group(long, short), group, "{paper:?}");
        for kind in ALL_LINES {
            assert!(series.contains(&line_width(kind, group)), "{kind:?}");
        }
        assert_eq!(line_width(LineType::Visible, group), 2.0 * line_width(LineType::Hidden, group));
        // ISO 5457:1999, from memory: the frame is 0.7 mm wide.
        assert_eq!(line_width(LineType::Frame, group), 0.7);
    }
}

/// ISO 128-20/-21: dashed 12 d and 3 d; long-dashed dotted 24 d, 3 d, 0.5 d, 3 d, which for d = 0.25 is 6, 0.75, 0.125 and
/// 0.75 mm. Double-dotted from memory.
#[test]
fn dashes_are_those_of_iso_128() {
    assert_eq!(dashes(LineType::Hidden, 0.5), [3.0, 0.75]);
    assert_eq!(dashes(LineType::Centre, 0.5), [6.0, 0.75, 0.125, 0.75]);
    assert_eq!(dashes(LineType::Cutting, 0.5), [12.0, 1.5, 0.25, 1.5]);
    assert_eq!(dashes(LineType::Adjacent, 0.5), [6.0, 0.75, 0.125, 0.75, 0.125, 0.75]);
    assert_eq!(dashes(LineType::Hidden, 0.7), [12.0 * 0.35, 3.0 * 0.35]);
    for kind in [LineType::Visible, LineType::Dimension, LineType::Hatch, LineType::Frame, LineType::Table] {
        assert!(dashes(kind, 0.5).is_empty());
    }
}

/// ISO 129:1985: the narrow filled arrow opens at 15°; ISO 129-1:2018, from memory: the other at 30°.
#[test]
fn arrows_open_at_their_angle() {
    for (kind, angle) in [(Terminator::Narrow, 15.0_f64), (Terminator::Arrow, 30.0)] {
        let marks = ended_line(&[(0.0, 0.0), (20.0, 0.0)], Terminator::None, kind, 0.5);
        let Some(Mark::Fill { path, ink: Ink::Black }) = marks.last() else { panic!("{marks:?}") };
        let [Step::Move(tip), Step::Line(one), Step::Line(other), Step::Close] = path[..] else { panic!() };
        assert_eq!(tip, (20.0, 0.0));
        let opens = 2.0 * ((one.1 - other.1).abs() / 2.0 / (20.0 - one.0)).atan().to_degrees();
        assert!((opens - angle).abs() < 1e-9, "{opens}");
        // Common practice: about 3 mm (1/8") long.
        assert!((20.0 - one.0 - 3.0).abs() < 1e-9);
    }
}

// ── paper ──────────────────────────────────────────────────────────────────────────────────────────────────────────

/// ISO 216: A0 841 × 1189, A1 594 × 841, A2 420 × 594, A3 297 × 420, A4 210 × 297 mm; A0 is a square metre; the ratio of
/// the sides is the square root of 2.
#[test]
fn sheets_are_those_of_iso_216() {
    let iso = [Paper::A0, Paper::A1, Paper::A2, Paper::A3, Paper::A4];
    let sides = iso.map(Paper::sides);
    assert_eq!(sides, [(1189.0, 841.0), (841.0, 594.0), (594.0, 420.0), (420.0, 297.0), (297.0, 210.0)]);
    assert!((1189.0 * 841.0 / 1e6 - 1.0_f64).abs() < 1e-3);
    for (long, short) in sides {
        assert!((long / short - 2.0_f64.sqrt()).abs() < 2e-3);
    }
}

/// ASME Y14.1 A 8.5 × 11 and B 11 × 17 in; arch C 18 × 24 and D 24 × 36 in (North American practice).
#[test]
fn inch_sheets_are_exact() {
    for (paper, long, short) in [
        (Paper::Letter, 11.0, 8.5),
        (Paper::Tabloid, 17.0, 11.0),
        (Paper::ArchC, 24.0, 18.0),
        (Paper::ArchD, 36.0, 24.0),
    ] {
        let (a, b) = paper.sides();
        assert!((a - long * 25.4).abs() < 1e-9 && (b - short * 25.4).abs() < 1e-9, "{paper:?}");
        assert_eq!(Paper::named(paper.name()), Some(paper));
    }
    assert_eq!(Paper::named("a9"), None);
}

/// ISO 5457:1999 cl. 4.2: 20 mm filing margin on the left, 10 mm on the other sides, on every size.
#[test]
fn margins_are_those_of_iso_5457() {
    for paper in [Paper::A4, Paper::A3, Paper::A2, Paper::A1, Paper::A0] {
        for landscape in [false, true] {
            let frame = Frame { landscape, ..Frame::new(paper, Practice::Iso) };
            let (width, height) = frame.size();
            assert_eq!(frame.inside(), Area { low: (20.0, 10.0), high: (width - 10.0, height - 10.0) });
        }
    }
}

/// ISO 5457:1999 table 2: fields along the long side A0 24, A1 16, A2 12, A3 8, A4 6; short side 16, 12, 8, 6, 4; letters
/// without I and O, A at the top; A4 on the top and the right only (cl. 4.4).
#[test]
fn grid_reference_is_that_of_iso_5457() {
    for (paper, long, short) in
        [(Paper::A0, 24, 16), (Paper::A1, 16, 12), (Paper::A2, 12, 8), (Paper::A3, 8, 6), (Paper::A4, 6, 4)]
    {
        let frame = Frame::new(paper, Practice::Iso);
        let groups = frame.draw(&title_block(Units::Millimetre, Projection::First, "1:1"));
        let labels: Vec<&Text> = texts(&groups[0]).collect();
        let (across, down) = if frame.landscape { (long, short) } else { (short, long) };
        let sides = if paper == Paper::A4 { 1 } else { 2 };
        assert_eq!(labels.len(), sides * (across + down), "{paper:?}");
        let letters: Vec<&&Text> =
            labels.iter().filter(|t| t.text.chars().all(char::is_alphabetic)).collect();
        let names: BTreeSet<&str> = letters.iter().map(|t| t.text.as_str()).collect();
        assert_eq!(names.len(), down);
        assert!(!names.contains("I") && !names.contains("O"));
        let highest = letters.iter().max_by(|a, b| a.at.1.total_cmp(&b.at.1)).unwrap();
        assert_eq!(highest.text, "A");
        let leftmost = labels.iter().filter(|t| t.text == "1").all(|t| t.at.0 < frame.size().0 / 4.0);
        assert!(leftmost);
        assert!(labels.iter().all(|t| t.height == 3.5));
    }
}

/// ISO 5457:1999 cl. 4.1 and ISO 7200 cl. 6, from memory: in the lower right corner, 180 mm wide at most, along the bottom
/// of an upright A4.
#[test]
fn title_block_stands_in_its_corner() {
    for paper in Paper::ALL {
        let practice = if paper.name().starts_with('a') && paper.name().len() == 2 {
            Practice::Iso
        } else {
            Practice::Asme
        };
        let frame = Frame::new(paper, practice);
        let (block, inside) = (frame.block(), frame.inside());
        assert_eq!((block.high.0, block.low.1), (inside.high.0, inside.low.1));
        assert!(block.low.0 >= inside.low.0);
        match paper {
            Paper::A4 | Paper::Letter => assert_eq!(block.low.0, inside.low.0),
            _ => assert!(block.width() <= 180.0),
        }
        let field = frame.field();
        assert!(field.low.1 > block.high.1 && field.high.1 < inside.high.1 && field.height() > 100.0);
        if let Some(beside) = frame.beside() {
            assert!(beside.high.0 < block.low.0 && beside.low.0 > inside.low.0);
        }
    }
}

/// ISO 7200:2004 table 1: every mandatory field, and the longest contents it asks room for: identification number 16,
/// title 25, supplementary title 2 × 25, date 10, creator and approval person 20, document type 30, sheet number 4,
/// revision 2 characters.
#[test]
fn title_block_holds_the_fields_of_iso_7200() {
    let of = |count: usize| {
        "Mitred plinth w 1 ".chars().cycle().take(count).collect::<String>().trim_end().to_owned()
    };
    let block = TitleBlock {
        owner: "Harbour Lane Joinery and Fitting".into(),
        number: of(16),
        date: "2026-03-02".into(),
        sheet: 1234,
        sheets: 1234,
        title: of(25),
        supplementary: of(50),
        creator: of(20),
        approved: of(20),
        document_type: of(30),
        revision: "AA".into(),
        scale: "3/32\" = 1'-0\"".into(),
        projection: Projection::First,
        units: Units::Millimetre,
        status: of(20),
        revisions: vec![
            Revision { index: "AA".into(), what: of(60), date: "2026-03-02".into(), by: of(12) };
            5
        ],
        changed: None,
    };
    for (paper, practice) in
        [(Paper::A4, Practice::Iso), (Paper::A3, Practice::Iso), (Paper::Letter, Practice::Asme)]
    {
        let frame = Frame { revisions: 3, ..Frame::new(paper, practice) };
        let groups = frame.draw(&block);
        let (width, height) = frame.size();
        let printed: Vec<String> = texts(&groups[1]).map(|t| t.text.clone()).collect();
        let all = printed.join(" ");
        for wanted in
            [&block.number, &block.date, &block.creator, &block.approved, &block.scale, &block.status]
        {
            assert!(all.contains(wanted.as_str()), "{wanted} in {all}");
        }
        for wanted in ["1234 of 1234", "millimetres", paper.label(), "Legal owner", "Date of issue"] {
            assert!(all.contains(wanted), "{wanted} in {all}");
        }
        for wrapped in [&block.title, &block.supplementary, &block.document_type, &block.owner] {
            for word in wrapped.split_whitespace() {
                assert!(all.contains(word), "{word} in {all}");
            }
        }
        assert!(!all.contains('…'), "{all}");
        let sheet = Sheet {
            name: "s".into(),
            title: "s".into(),
            width,
            height,
            groups,
            dimensions: vec![],
            ..Sheet::default()
        };
        assert_eq!(faults(&sheet), Vec::<String>::new(), "{paper:?}");
    }
}

/// What cannot fit is cut where one sees it.
#[test]
fn overlong_fields_are_cut_visibly() {
    let block = TitleBlock {
        number: "N".repeat(200),
        title: "very long words ".repeat(40),
        ..title_block(Units::Inch, Projection::Third, "1:5")
    };
    let frame = Frame::new(Paper::A4, Practice::Iso);
    let groups = frame.draw(&block);
    assert_eq!(texts(&groups[1]).filter(|t| t.text.ends_with('…')).count(), 2);
    let (width, height) = frame.size();
    let sheet = Sheet {
        name: "s".into(),
        title: "s".into(),
        width,
        height,
        groups,
        dimensions: vec![],
        ..Sheet::default()
    };
    assert_eq!(faults(&sheet), Vec::<String>::new());
}

// ── scales ─────────────────────────────────────────────────────────────────────────────────────────────────────────

/// ISO 5455:1979 cl. 5.1 table, as far as it is kept, and its way of writing a scale.
#[test]
fn metric_scales_are_those_of_iso_5455() {
    let labels: Vec<String> = Scale::series(Practice::Iso).iter().map(|s| s.label()).collect();
    let table = "10:1 5:1 2:1 1:1 1:2 1:5 1:10 1:20 1:50 1:100 1:200 1:500 1:1000";
    assert_eq!(labels.join(" "), table);
    // Not in the table of the standard.
    assert!(!labels.iter().any(|l| ["1:2.5", "1:4", "1:25"].contains(&l.as_str())));
}

/// Factor = 12 ÷ (inches on paper to a foot): 3" 4, 1 1/2" 8, 1" 12, 3/4" 16, 1/2" 24, 3/8" 32, 1/4" 48, 3/16" 64,
/// 1/8" 96, 3/32" 128, 1/16" 192 (North American practice).
#[test]
fn inch_scales_are_those_of_practice() {
    let all = Scale::series(Practice::Asme);
    for (label, factor) in [
        ("FULL SIZE", 1),
        ("HALF SIZE", 2),
        ("3\" = 1'-0\"", 4),
        ("1 1/2\" = 1'-0\"", 8),
        ("1\" = 1'-0\"", 12),
        ("3/4\" = 1'-0\"", 16),
        ("1/2\" = 1'-0\"", 24),
        ("3/8\" = 1'-0\"", 32),
        ("1/4\" = 1'-0\"", 48),
        ("3/16\" = 1'-0\"", 64),
        ("1/8\" = 1'-0\"", 96),
        ("3/32\" = 1'-0\"", 128),
        ("1/16\" = 1'-0\"", 192),
    ] {
        let scale = all.iter().find(|s| s.label() == label).unwrap_or_else(|| panic!("{label}"));
        assert_eq!((scale.paper, scale.real), (1, factor));
    }
    assert!(all.windows(2).all(|p| p[0].factor() > p[1].factor()));
}

#[test]
fn the_largest_scale_that_fits_is_chosen() {
    let area = Area { low: (0.0, 0.0), high: (200.0, 100.0) };
    let label = |w: f64, h: f64, p: Practice| largest_that_fits(w, h, &area, p).map(|s| s.label());
    // 1000 × 0.2 = 200: exactly the width. 1001 × 0.2 = 200.2: too wide, so 1:10.
    assert_eq!(label(1000.0, 100.0, Practice::Iso).as_deref(), Some("1:5"));
    assert_eq!(label(1001.0, 100.0, Practice::Iso).as_deref(), Some("1:10"));
    assert_eq!(label(10.0, 600.0, Practice::Iso).as_deref(), Some("1:10"));
    assert_eq!(label(10.0, 5.0, Practice::Iso).as_deref(), Some("1:1"));
    // 1800 ÷ 12 = 150 fits, 1800 ÷ 8 = 225 does not.
    assert_eq!(label(1800.0, 100.0, Practice::Asme).as_deref(), Some("1\" = 1'-0\""));
    assert_eq!(label(1e9, 1.0, Practice::Iso), None);
    let detail = largest_detail_that_fits(20.0, 12.0, &area, Practice::Iso).unwrap();
    assert_eq!(detail.label(), "5:1");
}

// ── building blocks ────────────────────────────────────────────────────────────────────────────────────────────────

#[test]
fn tables_keep_their_words_at_any_width() {
    let table = schedule();
    let words = |marks: &[Mark]| -> BTreeSet<String> {
        let all = marks.iter().filter_map(|m| match m {
            Mark::Text(t) => Some(t.text.clone()),
            _ => None,
        });
        all.flat_map(|t| t.split_whitespace().map(str::to_owned).collect::<Vec<_>>()).collect()
    };
    let wide = table.placed((10.0, 190.0), 400.0);
    for most in [180.0, 140.0, 110.0, 95.0] {
        let placed = table.placed((10.0, 190.0), most);
        assert!(placed.width <= most + 1e-6, "{most}: {}", placed.width);
        let (low, high) = extents(&placed.marks).unwrap();
        assert!(low.0 >= 10.0 - 1e-9 && high.0 <= 10.0 + most + 1e-6 && high.1 <= 190.0 + 1e-9);
        assert!(low.1 >= 190.0 - placed.height - 1e-9);
        assert_eq!(words(&placed.marks), words(&wide.marks));
        assert_eq!(faults(&bare(placed.marks)), Vec::<String>::new(), "{most}");
    }
    assert!(table.placed((0.0, 0.0), 95.0).height > wide.height);
    let links = wide.marks.iter().filter(|m| matches!(m, Mark::Link { sheet: 1, .. }));
    assert_eq!(links.count(), 1);
}

#[test]
fn long_tables_are_split_with_their_header() {
    let mut table = schedule();
    table.rows = (0..40).flat_map(|_| table.rows.clone()).collect();
    let pieces = table.split(120.0, 90.0);
    assert!(pieces.len() > 3);
    assert_eq!(pieces.iter().map(|p| p.rows.len()).sum::<usize>(), 120);
    let rows: Vec<_> = pieces.iter().flat_map(|p| p.rows.clone()).collect();
    assert_eq!(rows, table.rows);
    for piece in &pieces {
        assert!(piece.placed((0.0, 0.0), 120.0).height <= 90.0 + 1e-9);
        assert_eq!(piece.columns, table.columns);
    }
}

/// A row that is higher than any piece is broken between its lines; nothing of it is lost, and its first cell says in every
/// piece which row it is.
#[test]
fn a_row_too_high_for_a_piece_is_broken_between_its_lines() {
    let words: Vec<String> = (0..400).map(|i| format!("word{i}")).collect();
    let mut table = schedule();
    table.rows = vec![vec![Cell::bold("A7"), words.join(" ").into()], vec!["A8".into(), "next".into()]];
    let (most_width, most_height) = (80.0, 50.0);
    let mut read = Vec::new();
    let mut pieces = 0;
    while let Some((now, later)) = table.broken(most_width, most_height) {
        assert!(now.placed((0.0, 0.0), most_width).height <= most_height);
        assert_eq!((now.rows.len(), now.rows[0][0].text.as_str()), (1, "A7"));
        read.extend(now.rows[0][1].text.split_whitespace().map(str::to_owned));
        table.rows[0] = later;
        pieces += 1;
    }
    read.extend(table.rows[0][1].text.split_whitespace().map(str::to_owned));
    assert_eq!(read, words);
    assert!(pieces > 3, "{pieces}");
    assert_eq!(table.rows[1][0].text, "A8");
}

/// Lines a distance p apart cover an area A with A / p of length, whatever the angle (Cavalieri), when p is small.
#[test]
fn hatching_covers_the_region_and_nothing_else() {
    let region = notched((0.0, 0.0), 28.0, 12.0);
    // 28 × 12, less the notch 5 × 4, less a corner r 4 (1 − π/4), less the hole r 2.5.
    let pi = std::f64::consts::PI;
    let area = 28.0 * 12.0 - 20.0 - 16.0 * (1.0 - pi / 4.0) - pi * 6.25;
    for angle in [0.0, 17.0, 45.0, 90.0, -60.0] {
        let length = stroke_length(&hatch(&region, Hatching::Plain, angle, 0.7));
        assert!((length * 0.7 / area - 1.0).abs() < 0.02, "{angle}: {} for {area}", length * 0.7);
    }
    // Growth rings stand 0.7, 1.3 … times the pitch apart, on average as far as the pitch (0.6+1.3+0.8+1.6+0.7 = 5 × 1).
    let length = stroke_length(&hatch(&region, Hatching::EndGrain, 0.0, 1.2));
    assert!((length * 1.2 / area - 1.0).abs() < 0.06, "{}", length * 1.2);
    for kind in [Hatching::EndGrain, Hatching::LongGrain, Hatching::Plywood, Hatching::Fibre, Hatching::Plain]
    {
        for angle in [0.0, 30.0, 90.0] {
            let marks = hatch(&region, kind, angle, 1.5);
            let points = stroke_points(&marks);
            assert!(points.len() > 20, "{kind:?}");
            for (x, y) in points {
                let hole = (x - 19.0).hypot(y - 5.0) < 2.5 - 1e-6;
                let notch = x > 7.0 + 1e-6 && x < 12.0 - 1e-6 && y > 8.0 + 1e-6;
                let corner = x > 24.0 && y > 8.0 && (x - 24.0).hypot(y - 8.0) > 4.0 + 1e-6;
                let off = x < -1e-6 || y < -1e-6 || x > 28.0 + 1e-6 || y > 12.0 + 1e-6;
                assert!(!(hole || notch || corner || off), "{kind:?} at {angle}°: {x}, {y}");
            }
        }
    }
    assert_eq!(hatch(&[], Hatching::Plain, 0.0, 2.0), []);
    assert_eq!(hatch(&rectangle((0.0, 0.0), (0.0, 5.0)), Hatching::EndGrain, 0.0, 2.0), []);
}

#[test]
fn overlaps_and_crossings_are_found() {
    let text = |at: At, turn: f64| {
        Mark::Text(Text { at, text: "17 1/4".into(), height: 3.5, anchor: Anchor::Middle, turn, bold: false })
    };
    // 3.5 mm apart two lines of figures just clear; 3 mm apart they do not.
    assert_eq!(overlaps(&bare(vec![text((50.0, 50.0), 0.0), text((50.0, 54.0), 0.0)])), []);
    let close = overlaps(&bare(vec![text((50.0, 50.0), 0.0), text((50.0, 53.0), 0.0)]));
    assert_eq!(close.len(), 1);
    assert!(close[0].depth > 0.4 && close[0].depth < 1.0, "{close:?}");
    // An upright text beside a lying one is clear where their boxes along the axes would not tell.
    let Mark::Text(turned) = text((50.0, 50.0), 45.0) else { panic!() };
    let corners = box_of(&turned);
    assert!((corners[1].1 - corners[0].1 - (corners[1].0 - corners[0].0)).abs() < 1e-9);
    assert_eq!(overlaps(&bare(vec![text((50.0, 50.0), 45.0), text((57.0, 43.0), 45.0)])), []);
    assert_eq!(overlaps(&bare(vec![text((50.0, 50.0), 45.0), text((52.0, 52.0), -45.0)])).len(), 1);
    // A line through the figures, under them, and behind a white ground.
    let through = line((40.0, 51.0), (60.0, 51.0), LineType::Dimension);
    let under = line((40.0, 49.0), (60.0, 49.0), LineType::Dimension);
    assert_eq!(crossings(&bare(vec![text((50.0, 50.0), 0.0), through.clone()])).len(), 1);
    assert_eq!(crossings(&bare(vec![text((50.0, 50.0), 0.0), under])), []);
    let ground = Mark::Fill { path: rectangle((30.0, 45.0), (70.0, 60.0)), ink: Ink::White };
    assert_eq!(crossings(&bare(vec![through.clone(), ground.clone(), text((50.0, 50.0), 0.0)])), []);
    assert_eq!(crossings(&bare(vec![ground, through, text((50.0, 50.0), 0.0)])).len(), 1);
    let solid = Mark::Fill { path: rectangle((30.0, 45.0), (70.0, 60.0)), ink: Ink::Black };
    assert_eq!(crossings(&bare(vec![solid, text((50.0, 50.0), 0.0)])).len(), 1);
    assert_eq!(outside(&bare(vec![text((1.0, 50.0), 0.0)]), (0.0, 0.0), (100.0, 100.0)), [0]);
}

// ── files ──────────────────────────────────────────────────────────────────────────────────────────────────────────

#[test]
fn file_names_are_safe_and_given_once() {
    let mut names = Names::new();
    assert_eq!(names.give("sheets", "03 Divider (left)", "svg"), "sheets/03-Divider-left.svg");
    assert_eq!(names.give("sheets", "03 divider: left", "svg"), "sheets/03-divider-left-2.svg");
    assert_eq!(names.give("", "../../etc/passwd", "csv"), "etc-passwd.csv");
    assert_eq!(names.give("", ".hidden", "csv"), "hidden.csv");
    assert_eq!(names.give("", "木\u{0}", "csv"), "unnamed.csv");
    assert_eq!(names.give("", "con", "csv"), "file-con.csv");
    assert_eq!(names.give("", "LPT1.x", "csv"), "file-LPT1.x.csv");
    assert_eq!(names.give("", "comb", "csv"), "comb.csv");
    assert!(names.give("", &"x".repeat(5000), "csv").len() < 130);
    for text in ["-", "--.--", "a/b\\c", "\n", "é½"] {
        let name = safe(text);
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric() || "._-".contains(c)), "{name}");
        assert!(!name.is_empty() && !name.starts_with(['.', '-']));
    }
}

#[test]
fn measures_are_printed_short() {
    for (value, text) in [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.000_01, "0"),
        (0.1 + 0.2, "0.3"),
        (1.0, "1"),
        (-12.5, "-12.5"),
        (1_234_567.891_2, "1234567.8912"),
        (100.0, "100"),
        (0.000_05, "0.0001"),
    ] {
        assert_eq!(svg::number(value), text);
    }
}

#[test]
fn svg_is_xml_with_a_title_and_groups() {
    for (_, sheets) in all_samples() {
        let set = set(&sheets);
        for (index, sheet) in sheets.iter().enumerate() {
            let bytes = svg::write(&set, index).unwrap();
            let (mut ids, mut open, mut title, mut words) =
                (Vec::new(), Vec::new(), String::new(), Vec::new());
            for event in xml::EventReader::new(&bytes[..]) {
                match event.unwrap() {
                    xml::reader::XmlEvent::StartElement { name, attributes, .. } => {
                        open.push(name.local_name);
                        ids.extend(
                            attributes.into_iter().filter(|a| a.name.local_name == "id").map(|a| a.value),
                        );
                    }
                    xml::reader::XmlEvent::EndElement { .. } => drop(open.pop()),
                    xml::reader::XmlEvent::Characters(text) => match open.last().map(String::as_str) {
                        Some("title") if open.len() == 2 => title.push_str(text.trim()),
                        Some("text") => words.push(text.trim().to_owned()),
                        _ => {}
                    },
                    _ => {}
                }
            }
            assert_eq!(title, sheet.title);
            let unique: BTreeSet<&String> = ids.iter().collect();
            assert_eq!(unique.len(), ids.len());
            for group in &sheet.groups {
                assert!(ids.contains(&group.id));
            }
            let printed: Vec<String> =
                sheet.groups.iter().flat_map(texts).map(|t| t.text.trim().to_owned()).collect();
            assert_eq!(words, printed);
        }
    }
}

/// SVG 1.1 8.3.8: `A rx ry turn large sweep x y`, sweep 1 in the direction of growing angles, which is clockwise on
/// screen since y points down there. A quarter turn counter-clockwise on paper is sweep 0.
#[test]
fn svg_arcs_are_arcs() {
    let quarter = 2.0_f64.sqrt() - 1.0;
    let path = |bulge: f64| vec![Step::Move((10.0, 0.0)), Step::Arc((0.0, 10.0), bulge)];
    let written = |bulge: f64| {
        let sheets = [bare(vec![Mark::Stroke { path: path(bulge), line: LineType::Visible }])];
        String::from_utf8(svg::write(&set(&sheets), 0).unwrap()).unwrap()
    };
    assert!(written(quarter).contains("M10 200A10 10 0 0 0 0 190"));
    assert!(written(-quarter).contains("M10 200A10 10 0 0 1 0 190"));
    // Three quarters of a turn: tan(270° / 4) = 2.4142.
    assert!(written(1.0 / quarter).contains("M10 200A10 10 0 1 0 0 190"));
    assert!(written(0.0).contains("M10 200L0 190"));
}

#[test]
fn text_cannot_break_out_of_the_files() {
    let nasty = "</text><script>alert(1)</script> ]]> --> \u{1}\u{8} & \"'";
    let mut sheet = bare(vec![written((10.0, 10.0), nasty, 3.5, Anchor::Start, false)]);
    sheet.title = nasty.into();
    sheet.groups[0].id = "a\"b<c".into();
    let sheets = [sheet];
    let set = SheetSet { title: nasty, author: nasty, subject: nasty, ..set(&sheets) };
    let bytes = svg::write(&set, 0).unwrap();
    for event in xml::EventReader::new(&bytes[..]) {
        if let xml::reader::XmlEvent::StartElement { name, .. } = event.unwrap() {
            assert_ne!(name.local_name, "script");
        }
    }
    assert!(lopdf::Document::load_mem(&pdf::write(&set).unwrap()).is_ok());
}

#[test]
fn both_writers_refuse_measures_that_are_none() {
    for bad in [f64::NAN, f64::INFINITY] {
        let sheets = [bare(vec![line((0.0, 0.0), (bad, 1.0), LineType::Visible)])];
        assert!(svg::write(&set(&sheets), 0).is_err());
        assert!(pdf::write(&set(&sheets)).is_err());
    }
    assert!(svg::write(&set(&[]), 0).is_err());
    assert!(pdf::write(&set(&[])).is_err());
    let huge = [Sheet { width: 6000.0, ..bare(vec![]) }];
    assert!(pdf::write(&set(&huge)).unwrap_err().contains("5080"));
}

#[test]
fn files_are_the_same_twice() {
    for (_, sheets) in all_samples() {
        let set = set(&sheets);
        let first = pdf::write(&set).unwrap();
        assert!(first == pdf::write(&set).unwrap());
        assert!(svg::write(&set, 0) == svg::write(&set, 0));
        let other = SheetSet { title: "Another", ..set };
        assert_ne!(identifier(&first), identifier(&pdf::write(&other).unwrap()));
    }
}

fn identifier(bytes: &[u8]) -> Vec<u8> {
    let document = lopdf::Document::load_mem(bytes).unwrap();
    document.trailer.get(b"ID").unwrap().as_array().unwrap()[0].as_str().unwrap().to_vec()
}

/// ISO 32000-1:2008: PrintScaling (table 150), page labels (12.4.2), outlines (12.3.3), optional content (8.11), links
/// (12.5.6.5), information (14.3.3). A point is 1/72 in: A3 is 1190.551 × 841.890 points.
#[test]
fn pdf_says_what_readers_ask() {
    let sheets = sample(Paper::A3, Practice::Iso);
    let bytes = pdf::write(&set(&sheets)).unwrap();
    assert!(bytes.starts_with(b"%PDF-1.7"));
    assert!(bytes.len() < 80_000, "{} bytes: the fonts are not subset", bytes.len());
    let document = lopdf::Document::load_mem(&bytes).unwrap();
    let catalogue = document.catalog().unwrap();
    let deref = |o: &lopdf::Object| document.dereference(o).unwrap().1.clone();
    let name = |d: &lopdf::Dictionary, key: &str| d.get(key.as_bytes()).unwrap().as_name().unwrap().to_vec();
    let viewer = catalogue.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    assert_eq!(name(viewer, "PrintScaling"), b"None");
    assert_eq!(name(catalogue, "PageMode"), b"UseOutlines");
    let labels =
        catalogue.get(b"PageLabels").unwrap().as_dict().unwrap().get(b"Nums").unwrap().as_array().unwrap();
    assert_eq!(labels.len(), 4);
    assert_eq!(labels[3].as_dict().unwrap().get(b"P").unwrap().as_str().unwrap(), b"2");
    let outlines = deref(catalogue.get(b"Outlines").unwrap());
    assert_eq!(outlines.as_dict().unwrap().get(b"Count").unwrap().as_i64().unwrap(), 2);
    let layers = deref(catalogue.get(b"OCProperties").unwrap());
    let layers = layers.as_dict().unwrap().get(b"OCGs").unwrap().as_array().unwrap().clone();
    let names: Vec<String> = layers
        .iter()
        .map(|l| {
            String::from_utf8(deref(l).as_dict().unwrap().get(b"Name").unwrap().as_str().unwrap().to_vec())
                .unwrap()
        })
        .collect();
    assert_eq!(names, ["Outlines", "Hidden lines", "Dimensions", "Notes", "Frame"]);
    let information = deref(document.trailer.get(b"Info").unwrap());
    let information = information.as_dict().unwrap();
    let said = |key: &str| lopdf::decode_text_string(information.get(key.as_bytes()).unwrap()).unwrap();
    assert_eq!(said("Title"), "Window seat – Nische");
    assert_eq!(said("CreationDate"), "D:20260302000000Z");
    for leftover in ["GTS_PDFXVersion", "Trapped", "Identifier"] {
        assert!(!information.has(leftover.as_bytes()));
    }
    let pages: Vec<lopdf::ObjectId> = document.get_pages().into_values().collect();
    let page = document.get_object(pages[0]).unwrap().as_dict().unwrap();
    let media: Vec<f32> =
        page.get(b"MediaBox").unwrap().as_array().unwrap().iter().map(|o| o.as_float().unwrap()).collect();
    assert!((media[2] - 1190.551).abs() < 1e-3 && (media[3] - 841.890).abs() < 1e-3, "{media:?}");
    let link = deref(&page.get(b"Annots").unwrap().as_array().unwrap()[0]);
    let target = link.as_dict().unwrap().get(b"Dest").unwrap().as_array().unwrap()[0].as_reference().unwrap();
    assert_eq!(target, pages[1]);
}

/// A pen moves by the widths of the font and back by the numbers between the strings (ISO 32000-1 9.4.3, 9.7.4.3). Readers
/// cut broken widths to whole numbers, so they are whole; and still a line of forty words ends where it was measured to end:
/// a digit is 1172 of 2048 units (`hmtx`), 572.266 thousandths, so by whole numbers alone it would be 53 thousandths short.
#[test]
fn a_long_line_ends_where_it_was_measured_in_the_pdf_too() {
    let words = ["12345"; 40].join(" ");
    let sheets = [bare(vec![written((10.0, 10.0), &words, 3.5, Anchor::Start, false)])];
    let document = lopdf::Document::load_mem(&pdf::write(&set(&sheets)).unwrap()).unwrap();
    let mut widths = std::collections::BTreeMap::new();
    for font in document.objects.values().filter_map(|o| o.as_dict().ok()?.get(b"DescendantFonts").ok()) {
        let font = document.dereference(&font.as_array().unwrap()[0]).unwrap().1.as_dict().unwrap();
        if font.get(b"BaseFont").unwrap().as_name().unwrap().ends_with(b"Bold") {
            continue;
        }
        for pair in font.get(b"W").unwrap().as_array().unwrap().chunks(2) {
            // Whole numbers, or this panics.
            widths.insert(pair[0].as_i64().unwrap(), pair[1].as_array().unwrap()[0].as_i64().unwrap());
        }
    }
    assert_eq!(widths.values().filter(|w| **w == 572).count(), 5, "{widths:?}");
    let page = *document.get_pages().values().next().unwrap();
    let contents = lopdf::content::Content::decode(&document.get_page_content(page)).unwrap();
    let shown =
        contents.operations.iter().find(|o| o.operator == "TJ").expect("words with numbers between them");
    let (mut pen, mut glyphs) = (0.0, 0);
    for item in shown.operands[0].as_array().unwrap() {
        if let Ok(codes) = item.as_str() {
            for code in codes.chunks(2) {
                pen += widths[&(i64::from(code[0]) * 256 + i64::from(code[1]))] as f64;
                glyphs += 1;
            }
        } else {
            pen -= f64::from(item.as_float().unwrap());
        }
    }
    assert_eq!(glyphs, 239);
    // The last word alone is not set right: five times 0.266.
    let one = width_of("0", 3.5, false);
    let wanted = width_of(&words, 3.5, false) / one * 1172.0 * 1000.0 / 2048.0;
    assert!((wanted - pen - 5.0 * 0.266).abs() < 0.01, "{wanted} {pen}");
}

#[test]
fn only_a_date_goes_into_the_dates() {
    let sheets = [bare(vec![])];
    for (date, wanted) in [
        ("2026-03-02", true),
        ("2024-02-29", true),
        ("2026-02-29", false),
        ("2 March 2026", false),
        ("2026-13-01", false),
        ("", false),
        ("２026-01-01", false),
    ] {
        let bytes = pdf::write(&SheetSet { date, ..set(&sheets) }).unwrap();
        let document = lopdf::Document::load_mem(&bytes).unwrap();
        let information = document.dereference(document.trailer.get(b"Info").unwrap()).unwrap().1;
        assert_eq!(information.as_dict().unwrap().has(b"CreationDate"), wanted, "{date}");
    }
}

// ── helpers ────────────────────────────────────────────────────────────────────────────────────────────────────────

/// A sheet of 200 × 200 mm with these marks and nothing else.
fn bare(marks: Vec<Mark>) -> Sheet {
    let groups = vec![Group { id: "marks".into(), layer: Layer::Notes, marks }];
    Sheet {
        name: "bare".into(),
        title: "Bare".into(),
        width: 200.0,
        height: 200.0,
        groups,
        dimensions: vec![],
        ..Sheet::default()
    }
}

fn texts(group: &Group) -> impl Iterator<Item = &Text> {
    group.marks.iter().filter_map(|m| match m {
        Mark::Text(text) => Some(text),
        _ => None,
    })
}

/// Points along strokes, arcs in 32 pieces.
fn stroke_runs(marks: &[Mark]) -> Vec<Vec<At>> {
    let mut all: Vec<Vec<At>> = Vec::new();
    for mark in marks {
        let Mark::Stroke { path, .. } = mark else { continue };
        for step in path {
            match *step {
                Step::Move(to) => all.push(vec![to]),
                Step::Line(to) => all.last_mut().unwrap().push(to),
                Step::Arc(to, bulge) => {
                    let run = all.last_mut().unwrap();
                    let from = *run.last().unwrap();
                    let arc = tickstick::shape::Arc::between(from, to, bulge).unwrap();
                    for part in 1..=32 {
                        let angle = arc.start + arc.sweep * f64::from(part) / 32.0;
                        run.push((
                            arc.centre.0 + arc.radius * angle.cos(),
                            arc.centre.1 + arc.radius * angle.sin(),
                        ));
                    }
                }
                Step::Close => {}
            }
        }
    }
    all
}

fn stroke_length(marks: &[Mark]) -> f64 {
    let runs = stroke_runs(marks);
    runs.iter().flat_map(|r| r.windows(2)).map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1)).sum()
}

fn stroke_points(marks: &[Mark]) -> Vec<At> {
    stroke_runs(marks).concat()
}

/// Not a benchmark, a guard: measuring is done for every text of every trial place, so it must stay cheap.
#[test]
fn measuring_ten_thousand_texts_takes_no_time() {
    let start = std::time::Instant::now();
    let total: f64 = (0..10_000).map(|i| width_of(&format!("{i} 15/32\" divider"), 3.5, false)).sum();
    assert!(total > 0.0);
    assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
    println!("{:?}", start.elapsed());
}
