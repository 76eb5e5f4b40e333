//! What the edges of a template say: profiles, wood left on for scribing, the triangle across a set.

use tickstick::boards::{Arris, Edge, Profile};
use tickstick::drawing::bounds::{crossings, extents, overlaps, text_boxes};
use tickstick::drawing::paper::Paper;
use tickstick::drawing::{At, Ink, Mark, Step};
use tickstick::fullsize::template::drawings;
use tickstick::fullsize::{Drawing, Printer, Selection, Stock, templates};
use tickstick::length::{Length, Units};
use tickstick::parts::{Made, PartId};
use tickstick::trade::{Face, Side};

use super::hand_made::*;

fn template(made: &Made, part: usize, face: Face) -> Drawing {
    drawings(made, PartId(part), face, false, &Printer::on(Stock::Sheets(Paper::A3))).remove(0)
}

fn marks<'a>(drawing: &'a Drawing, id: &str) -> &'a [Mark] {
    drawing.groups.iter().find(|group| group.id == id).map_or(&[], |group| &group.marks)
}

fn words(drawing: &Drawing) -> Vec<String> {
    text_boxes(&drawing.sheet()).into_iter().map(|b| b.text).collect()
}

/// The bench with a chamfer on the show face along the lower edge of its shelf and 12 mm for scribing at the right.
fn edged() -> Made {
    let mut made = bench(Units::Millimetre);
    let edge = |side, from, to, profile, scribe| Edge {
        side,
        from,
        to,
        profile,
        scribe,
        finish: None,
        place: Default::default(),
    };
    let chamfer = Profile::Chamfer { along_face: mm(4), down_edge: mm(3) };
    made.parts[SHELF].edges = vec![
        edge(Side::Front, point(0, 0), point(1464, 0), Some((chamfer, Arris::Show)), Length::ZERO),
        edge(Side::Right, point(1464, 0), point(1464, 362), None, mm(12)),
    ];
    made
}

fn ends(marks: &[Mark]) -> Vec<At> {
    let paths = marks.iter().filter_map(|mark| match mark {
        Mark::Stroke { path, .. } => Some(path),
        _ => None,
    });
    paths
        .flatten()
        .filter_map(|step| match step {
            Step::Move(at) | Step::Line(at) | Step::Arc(at, _) => Some(*at),
            Step::Close => None,
        })
        .collect()
}

#[test]
fn a_profile_has_its_line_on_the_face_that_it_works() {
    let made = edged();
    let show = template(&made, SHELF, Face::Show);
    // 4 mm in from the lower edge, from end to end.
    assert_eq!(ends(marks(&show, "profiles")), [(0.0, 4.0), (1464.0, 4.0)]);
    let note = "chamfer 4 mm on the face, 3 mm down the edge, arris of the show face";
    assert!(show.notes.iter().any(|n| n.contains(note)), "{:?}", show.notes);
    // The back's arris stays sharp; the note still says what will be run.
    let back = template(&made, SHELF, Face::Back);
    assert!(marks(&back, "profiles").is_empty());
    assert!(back.notes.iter().any(|n| n.contains(note)));
}

#[test]
fn wood_for_scribing_is_shaded_between_net_and_cut() {
    let made = edged();
    for face in [Face::Show, Face::Back] {
        let drawing = template(&made, SHELF, face);
        let [Mark::Fill { path, ink: Ink::Grey(_) }] = marks(&drawing, "scribe") else { panic!("{face:?}") };
        // Even-odd between the part as it is cut, 1464 + 12 long, and the finished part: 12 × 362 stay.
        let (low, high) = extents(&[Mark::Fill { path: path.clone(), ink: Ink::Black }]).unwrap();
        let x = if face == Face::Show { (0.0, 1476.0) } else { (-12.0, 1464.0) };
        assert_eq!((low, high), ((x.0, 0.0), (x.1, 362.0)));
        // What is shaded is no waste: hatching begins beyond the cut line.
        let in_shade = |at: &At| {
            let inward = if face == Face::Show { at.0 - 1464.0 } else { -at.0 };
            inward > 0.5 && inward < 11.5 && at.1 > 0.5 && at.1 < 361.5
        };
        assert!(!ends(marks(&drawing, "waste")).iter().any(in_shade));
        // All of it is on the paper.
        assert!(drawing.area.low.0 < x.0 - 8.0 && drawing.area.high.0 > x.1 + 8.0);
        let words = words(&drawing);
        assert!(words.iter().any(|w| w == "NET line"), "{words:?}");
        assert!(words.iter().any(|w| w == "CUT line, 12 mm left on for scribing"), "{words:?}");
        assert!(
            drawing.notes.iter().any(|n| n.contains("net 1464 mm × 362 mm, cut 1476 mm × 362 mm")),
            "{:?}",
            drawing.notes
        );
    }
}

#[test]
fn a_set_bears_the_triangle() {
    let made = bench(Units::Millimetre);
    // The right end stands further right.
    let left = words(&template(&made, END, Face::Show));
    assert!(left.iter().any(|w| w == "L of the pair"), "{left:?}");
    let right = words(&template(&made, END_RIGHT, Face::Show));
    assert!(right.iter().any(|w| w == "R of the pair"), "{right:?}");
    // Two equal dividers; a rail by itself belongs to no set, and the triangle is drawn on show faces.
    assert!(words(&template(&made, DIVIDER, Face::Show)).iter().any(|w| w == "set, face up"));
    for (part, face) in [(RAIL, Face::Show), (END, Face::Back)] {
        let words = words(&template(&made, part, face));
        assert!(!words.iter().any(|w| w.contains("of the pair") || w.contains("set, face")), "{words:?}");
    }
    let notes = template(&made, DIVIDER, Face::Show).notes;
    assert!(notes.iter().any(|n| n.contains("Lay the 2 parts side by side")), "{notes:?}");
}

#[test]
fn stock_is_written_as_it_was_measured() {
    let mut made = bench(Units::Inch);
    let birch = Length::from_units(2_032 * 709);
    made.parts[DIVIDER].thick = birch;
    let drawing = template(&made, DIVIDER, Face::Show);
    // 0.709" = 18.0086 mm; 45/64" would be 0.703".
    assert!(
        drawing.words.lines.iter().any(|l| l.contains("0.709\" (18 mm) thick")),
        "{:?}",
        drawing.words.lines
    );
}

#[test]
fn every_page_says_how_to_hold_the_paper_and_stays_clear() {
    let made = edged();
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        let printer = Printer::on(Stock::Sheets(paper));
        for sheet in
            templates(&made, &Selection::named(&made, &["B1", "B3", "B5"], false).unwrap(), &printer).unwrap()
        {
            let boxes = text_boxes(&sheet);
            let said: Vec<&str> = boxes.iter().map(|b| b.text.as_str()).collect();
            assert!(said.iter().any(|w| w.contains("Spray the paper")), "{}: {said:?}", sheet.name);
            if let Some(overlap) = overlaps(&sheet).first() {
                panic!("{}: `{}` over `{}`", sheet.name, boxes[overlap.one].text, boxes[overlap.other].text);
            }
            if let Some(crossing) = crossings(&sheet).first() {
                panic!(
                    "{}: {} through `{}`",
                    sheet.name, sheet.groups[crossing.group].id, boxes[crossing.text].text
                );
            }
        }
    }
}
