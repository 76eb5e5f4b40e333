//! Templates of parts: both faces, one orientation, and a table that the paper can be checked by.

use tickstick::boards::{Edge, HoleKind, PocketKind};
use tickstick::drawing::bounds::{extents, text_boxes};
use tickstick::drawing::paper::Paper;
use tickstick::drawing::{At, Mark, Step};
use tickstick::fullsize::template::drawings;
use tickstick::fullsize::{Drawing, Printer, Selection, Stock};
use tickstick::joints::Bevel;
use tickstick::length::Units;
use tickstick::parts::{Made, PartId};
use tickstick::trade::{Face, Side};

use super::hand_made::*;

fn a3() -> Printer {
    Printer::on(Stock::Sheets(Paper::A3))
}

fn template(made: &Made, part: usize, face: Face) -> Drawing {
    drawings(made, PartId(part), face, false, &a3()).remove(0)
}

fn ends(drawing: &Drawing, group: &str) -> Vec<At> {
    let group = drawing.groups.iter().find(|g| g.id == group).unwrap();
    let paths = group.marks.iter().filter_map(|m| match m {
        Mark::Stroke { path, .. } => Some(path),
        _ => None,
    });
    paths
        .flatten()
        .filter_map(|s| match s {
            Step::Move(p) | Step::Line(p) | Step::Arc(p, _) => Some(*p),
            Step::Close => None,
        })
        .collect()
}

fn has(points: &[At], at: At) -> bool {
    points.iter().any(|p| (p.0 - at.0).abs() < 1e-9 && (p.1 - at.1).abs() < 1e-9)
}

/// Rows of the coordinate table as text.
fn rows(drawing: &Drawing) -> Vec<String> {
    let rows = drawing.tables.iter().flat_map(|t| &t.rows);
    rows.map(|row| row.iter().map(|c| c.text.as_str()).collect::<Vec<_>>().join(" | ")).collect()
}

#[test]
fn the_face_lies_as_the_part_does_and_the_back_is_its_mirror_image() {
    let made = bench(Units::Millimetre);
    for part in [END, END_RIGHT, DIVIDER, RAIL, SHELF] {
        let width = made.parts[part].width.to_mm();
        let (face, back) = (template(&made, part, Face::Show), template(&made, part, Face::Back));
        let (on_face, on_back) = (ends(&face, "outline"), ends(&back, "outline"));
        for vertex in made.parts[part].outline.vertices() {
            // The same coordinates as the part, and so as its drawing and its DXF: u to the right, v up.
            let (x, y) = vertex.at.to_mm();
            assert!(has(&on_face, (x, y)), "part {part}: ({x}, {y})");
            assert!(has(&on_back, (width - x, y)), "part {part}: ({x}, {y})");
        }
        // Whole shapes: what is printed reaches round the whole part on both.
        for drawing in [&face, &back] {
            assert!(drawing.area.low.0 < 0.0 && drawing.area.high.0 > width);
            let outline = &drawing.groups.iter().find(|g| g.id == "outline").unwrap().marks;
            assert_eq!(extents(outline).unwrap(), ((0.0, 0.0), (width, made.parts[part].height.to_mm())));
        }
    }
}

#[test]
fn words_are_never_mirrored() {
    let made = bench(Units::Millimetre);
    for face in [Face::Show, Face::Back] {
        let drawing = template(&made, END, face);
        let texts: Vec<_> = drawing
            .groups
            .iter()
            .flat_map(|g| &g.marks)
            .filter_map(|m| match m {
                Mark::Text(t) => Some(t),
                _ => None,
            })
            .collect();
        assert!(texts.iter().all(|t| t.turn == 0.0 || t.turn == 90.0));
        let word = if face == Face::Show { "FACE" } else { "BACK" };
        assert!(texts.iter().any(|t| t.text == word && t.height >= 14.0), "{word}");
    }
}

#[test]
fn arrows_say_the_rooms_own_words() {
    let made = bench(Units::Millimetre);
    let ways = |part, face| {
        let drawing = template(&made, part, face);
        drawing.words.ways.iter().map(|w| (w.word.clone(), w.angle)).collect::<Vec<_>>()
    };
    let word = |text: &str, angle: f64| (text.to_owned(), angle);
    // The left end is seen from the left: the front of the room lies at its right; on its back the other way round.
    assert_eq!(ways(END, Face::Show), [word("UP", 90.0), word("to the front", 0.0)]);
    assert_eq!(ways(END, Face::Back), [word("UP", 90.0), word("to the back", 0.0)]);
    assert_eq!(ways(END_RIGHT, Face::Show), [word("UP", 90.0), word("to the back", 0.0)]);
    // A shelf shows its top: its v points to the back of the room.
    assert_eq!(ways(SHELF, Face::Show), [word("to the back", 90.0), word("to the right", 0.0)]);
    // Boards of a part that stand differently share no arrow.
    let mut turned = bench(Units::Millimetre);
    turned.placed[3].frame.u = Side::Back;
    let drawing = template(&turned, DIVIDER, Face::Show);
    assert_eq!(drawing.words.ways.len(), 1);
}

#[test]
fn a_face_shows_its_own_work_and_names_what_is_on_the_other() {
    let made = bench(Units::Millimetre);
    let (face, back) = (template(&made, END, Face::Show), template(&made, END, Face::Back));
    let recesses = |d: &Drawing| d.groups.iter().find(|g| g.id == "recesses").map_or(0, |g| g.marks.len());
    assert_eq!((recesses(&face), recesses(&back)), (0, 1));
    // The hole right through is on both; the one from the back only there. Left end: 320 from its left, 60 on its back.
    let holes = |d: &Drawing| ends(d, "holes");
    assert!(has(&holes(&face), (320.0, 80.0)) && has(&holes(&back), (60.0, 80.0)));
    assert!(!has(&holes(&face), (60.0, 80.0)) && has(&holes(&back), (320.0, 80.0)));
    assert!(
        face.notes.iter().any(|n| n == "2 more on the other face, not shown here: see the template BACK."),
        "{:?}",
        face.notes
    );
    let all = rows(&back).join("\n");
    // From the datum corner, which lies at the right of the back: both faces give the same numbers.
    assert!(all.contains("H1 | 320 mm | 80 mm | Ø10 mm through"), "{all}");
    assert!(all.contains("H2 | 60 mm | 80 mm | Ø8 mm 12 mm deep"), "{all}");
    assert!(all.contains("R1 from | 0 mm | 300 mm | housing 6 mm deep"), "{all}");
    assert!(all.contains("R1 to | 380 mm | 318 mm"), "{all}");
    let columns = |d: &Drawing| d.tables[0].columns.iter().map(|c| c.title.clone()).collect::<Vec<_>>();
    assert_eq!(columns(&face)[1], "to the right");
    assert_eq!(columns(&back)[1], "to the left");
    let label = back.groups.iter().flat_map(|g| &g.marks).find_map(|m| match m {
        Mark::Text(t) if t.text.contains("housing") => Some(t.text.clone()),
        _ => None,
    });
    assert_eq!(label.as_deref(), Some("R1  housing 6 mm deep"));
}

#[test]
fn the_table_gives_every_corner_and_arc() {
    let made = bench(Units::Millimetre);
    let all = rows(&template(&made, RAIL, Face::Show));
    // Chord 1264, rise 60: radius = (632² + 60²) / 120 = 3358.53; its centre lies 60 − 3358.53 = −3298.53 below the edge.
    assert_eq!(all.len(), 6);
    assert_eq!(all[1], "2 | 100 mm | 0 mm | hollow arc, radius 3358.5 mm, centre 732 mm, -3298.5 mm");
    assert_eq!(all[4], "5 | 1464 mm | 140 mm | straight");
    // Both faces number the corners alike and give the same distances.
    let corners = |d: &Drawing| {
        rows(d).into_iter().filter(|r| r.starts_with(|c: char| c.is_ascii_digit())).collect::<Vec<_>>()
    };
    for part in [END, RAIL, DIVIDER] {
        assert_eq!(corners(&template(&made, part, Face::Show)), corners(&template(&made, part, Face::Back)));
    }
    // 362 mm = 14.252", on no mark of a rule down to 1/64": written in thousandths, with the millimetres beside it.
    let inch = bench(Units::Inch);
    let all = rows(&template(&inch, DIVIDER, Face::Show));
    assert_eq!(all[1], "2 | 14.252\" (362 mm) | 0\" (0 mm) | straight");
}

#[test]
fn check_figures_are_the_true_diagonals() {
    let made = bench(Units::Millimetre);
    let drawing = template(&made, SHELF, Face::Show);
    // √(1464² + 362²) = 1508.1.
    let figures: Vec<_> = drawing.checks.iter().map(|c| (c.names, c.text.as_str())).collect();
    assert_eq!(figures, [(["P", "Q"], "1508.1 mm"), (["R", "S"], "1508.1 mm")]);
    for check in &drawing.checks {
        let rings = ends(&drawing, "checks");
        for end in check.ends {
            assert!(has(&rings, (end.0 - 2.0, end.1)));
        }
    }
}

#[test]
fn only_worked_edges_are_printed_where_that_is_asked() {
    let made = bench(Units::Millimetre);
    let pieces = |part| drawings(&made, PartId(part), Face::Show, true, &a3());
    let [notch] = <[Drawing; 1]>::try_from(pieces(DIVIDER)).unwrap();
    // The notch reaches from 324 to 343 and from 232 up to 302; 40 mm are printed round it, as far as there is paper.
    assert_eq!(notch.area.low, (284.0, 192.0));
    assert_eq!(notch.area.high, (362.0 + 14.0, 302.0 + 14.0));
    let words: Vec<_> = notch
        .groups
        .iter()
        .flat_map(|g| &g.marks)
        .filter_map(|m| match m {
            Mark::Text(t) => Some(t.text.as_str()),
            _ => None,
        })
        .collect();
    // The middle of the region lies at 330, 254: the nearest ten millimetres.
    assert!(words.contains(&"330 mm from the datum edge"), "{words:?}");
    assert!(words.contains(&"250 mm from the datum edge"));
    let all = rows(&notch);
    assert!(all.iter().any(|r| r.starts_with("4 | 343 mm | 302 mm")) && all.len() == 5, "{all:?}");
    // The corner and the hand hole lie near each other; the hole at the foot stands alone.
    assert_eq!(pieces(END).len(), 2);
    // A plain rectangle has no worked edge: all of it.
    assert_eq!(pieces(SHELF).len(), 1);
    let back = drawings(&made, PartId(DIVIDER), Face::Back, true, &a3()).remove(0);
    let words: Vec<String> = text_boxes(&back.sheet()).into_iter().map(|b| b.text).collect();
    // Mirrored, the middle lies at 362 − 330 = 32 on paper, which is still 330 from the datum.
    assert!(words.iter().any(|w| w == "330 mm from the datum edge"), "{words:?}");
}

#[test]
fn pairs_scribes_and_bevels_are_told() {
    let mut made = bench(Units::Millimetre);
    made.parts[SHELF].edges.push(Edge {
        side: Side::Right,
        from: point(1464, 0),
        to: point(1464, 362),
        profile: None,
        scribe: mm(12),
        finish: None,
        place: Default::default(),
    });
    made.parts[SHELF].bevels.push(Bevel {
        from: point(0, 0),
        to: point(1464, 0),
        run: mm(18),
        long: Face::Show,
        degrees: 45.0,
        joint: 0,
    });
    for face in [Face::Show, Face::Back] {
        let drawing = template(&made, SHELF, face);
        let edges = ends(&drawing, "edges");
        // Scribing wood lies outside the right edge (at the left of the back), the far arris of the bevel 18 mm in.
        let x = if face == Face::Show { 1476.0 } else { -12.0 };
        assert!(has(&edges, (x, 0.0)) && has(&edges, (x, 362.0)), "{face:?} {edges:?}");
        assert!(has(&edges, (0.0, 18.0)) && has(&edges, (1464.0, 18.0)), "{face:?} {edges:?}");
        assert!(drawing.notes.iter().any(|n| n.starts_with("Leave 12 mm beyond the line for scribing")));
        assert!(drawing.notes.iter().any(|n| n == "Bevel 45.0°: the show face stays the longer."));
    }
    let words = template(&made, END, Face::Show).words;
    assert!(
        words.lines.iter().any(|l| l.contains("PAIR with B2 end right, its mirror image")),
        "{:?}",
        words.lines
    );
}

#[test]
fn what_is_set_out_with_a_fence_needs_no_paper() {
    let mut made = bench(Units::Millimetre);
    let asked = |made: &Made| Selection::shaped(made).chosen.iter().any(|c| c.part == PartId(SHELF));
    made.parts[SHELF].pockets =
        vec![pocket(rectangle((0, 100), (1464, 118)), 6, Face::Show, PocketKind::Groove)];
    made.parts[SHELF].holes = vec![hole(20, 20, 4, None, Face::Show)];
    made.parts[SHELF].holes[0].why = HoleKind::Clearance;
    assert!(!asked(&made));
    made.parts[SHELF].holes[0].why = HoleKind::Asked;
    assert!(asked(&made));
    made.parts[SHELF].holes.clear();
    made.parts[SHELF].pockets[0].kind = PocketKind::Recess;
    assert!(asked(&made));
}

#[test]
fn the_drawing_as_a_sheet_is_as_large_as_itself() {
    let made = bench(Units::Millimetre);
    let sheet = template(&made, SHELF, Face::Show).sheet();
    // 14 mm of paper all round.
    assert_eq!((sheet.width, sheet.height), (1464.0 + 28.0, 362.0 + 28.0));
    let outline = &sheet.groups.iter().find(|g| g.id == "outline").unwrap().marks;
    assert_eq!(extents(outline).unwrap(), ((14.0, 14.0), (1478.0, 376.0)));
}
