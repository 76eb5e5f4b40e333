//! Part sheets as the one at the saw reads them: which figure serves which line, which name stands in which shape, where the
//! datum lies on the blank and in a shop's file. On the samples and on specs of this folder that were hard to read.

use std::collections::BTreeMap;
use std::path::Path;

use tickstick::drawing::lettering::width_of;
use tickstick::drawing::paper::Area;
use tickstick::drawing::{Group, LineType, Mark, Sheet, Step, Text};
use tickstick::joints::join;
use tickstick::length::Length;
use tickstick::parts::{Made, Part, make};
use tickstick::plans;
use tickstick::shape::{Outline, Point};
use tickstick::sheets::dimension::plan;
use tickstick::sheets::drawn::{Along, Size};
use tickstick::sheets::lanes::Beside;
use tickstick::sheets::own_notches::own_notches;
use tickstick::sheets::part_layout::Layout;
use tickstick::sheets::part_words as words;
use tickstick::sheets::sheet::Paperwork;
use tickstick::sheets::sheet_set;
use tickstick::spec::{SourceError, Sources};
use tickstick::trade::Face;
use tickstick::{Options, build};

use super::hand_made::*;
use super::real::{SAMPLES, sample};
use super::shared::only;

fn spec(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets/specs").join(name);
    std::fs::read_to_string(path).expect("a spec")
}

fn made_of(yaml: &str) -> Made {
    let (boards, _) = crate::boards::laid(yaml);
    let (joints, _) = join(&boards);
    make(boards, joints).0
}

const SPECS: [&str; 3] = ["scribed.yaml", "desk.yaml", "tapered.yaml"];

fn all() -> Vec<(String, Made)> {
    let samples = SAMPLES.iter().map(|name| ((*name).to_owned(), sample(name)));
    samples.chain(SPECS.iter().map(|name| ((*name).to_owned(), made_of(&spec(name))))).collect()
}

fn sheets_of(made: &Made) -> Vec<Sheet> {
    sheet_set(made, &plans::plan(made).0, &[])
}

fn group<'a>(sheets: &'a [Sheet], id: &str) -> Option<&'a Group> {
    sheets.iter().flat_map(|sheet| &sheet.groups).find(|group| group.id == id)
}

fn texts<'a>(sheets: &'a [Sheet], id: &str) -> Vec<&'a Text> {
    let marks = group(sheets, id).into_iter().flat_map(|group| &group.marks);
    marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None }).collect()
}

fn words_of(sheets: &[Sheet], id: &str) -> String {
    texts(sheets, id).iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

fn strokes(group: &Group, wanted: Option<LineType>) -> Vec<((f64, f64), (f64, f64))> {
    let ends = |mark: &Mark| match mark {
        Mark::Stroke { path, line } if wanted.is_none_or(|wanted| wanted == *line) => match path.as_slice() {
            [Step::Move(a), Step::Line(b)] => Some((*a, *b)),
            _ => None,
        },
        _ => None,
    };
    group.marks.iter().filter_map(ends).collect()
}

/// x = ACROSS + …, y = UP + … as a sheet tells it: the two sums for a shop.
fn told(notes: &str, shop: &str) -> ((String, f64), (String, f64)) {
    let rest = notes.split(&format!("{shop}: x = ")).nth(1).expect("the shop is told");
    let (x, rest) = rest.split_once(", y = ").expect("two sums");
    let y = rest.split([';', ',']).next().expect("a sum");
    let sum = |text: &str| -> (String, f64) {
        let text = text.split(" GRAIN").next().expect("text").trim();
        if let Some((from, word)) = text.split_once(" − ")
            && let Ok(from) = from.parse()
        {
            return (format!("−{word}"), from);
        }
        match text.split_once(" + ") {
            Some((word, by)) => (word.to_owned(), by.trim().parse().expect("a figure")),
            None => (text.to_owned(), 0.0),
        }
    };
    (sum(x), sum(y))
}

struct OneText(String);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "spec.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
    }
}

/// A panel of 700 × 500 scribed 12 at the left and 24 at the bottom, with an opening, a recess and a hole; for a shop that has
/// its zero at the lower left corner of what it cuts, for one that turns the grain along x as well, and for one that has it
/// at the datum.
const SCRIBED: &str = "job: {number: W-1, revision: A}
units: mm
shop: {kerf: 4, cutting_shops: {corner: {origin: lower_left}, turned: {origin: lower_left, grain: x}, net: {}}}
stock:
  ply: {sheet: [1220, 2440], thick: 18, grain: long}
assemblies:
  niche:
    parts:
      panel: {stock: ply, faces: front, left: 0, right: 700, back: 0, bottom: 0, top: 500, grain: up, held_by: wall, left_edge: {scribe: 12}, bottom_edge: {scribe: 24},
        cutouts: {duct: {left: 100, width: 80, bottom: 60, height: 40}, tray: {left: 300, width: 200, bottom: 300, height: 90, deep: 6}}, holes: {pipe: {across: 600, up: 150, diameter: 30}}}
";

/// All x and all y of a DXF file's closed lines and circles on layers that are cut.
fn coordinates(bytes: &[u8]) -> [Vec<f64>; 2] {
    let text = std::str::from_utf8(bytes).expect("text");
    let lines: Vec<&str> = text.lines().collect();
    let pairs = lines.chunks(2).map(|two| (two[0].trim().parse::<i32>().expect("a code"), two[1].trim()));
    let (mut all, mut entity, mut cut) = ([Vec::new(), Vec::new()], String::new(), false);
    for (code, value) in pairs {
        match code {
            0 => (entity, cut) = (value.to_owned(), false),
            8 => cut = !value.ends_with("NOT_CUT"),
            10 | 20 if cut && (entity == "LWPOLYLINE" || entity == "CIRCLE") => {
                all[usize::from(code == 20)].push(value.parse().expect("a number"));
            }
            _ => {}
        }
    }
    all
}

/// What a sheet says, and what stands in the file: figure + offset is a coordinate there, for every line of every feature.
/// The offsets from the spec: 12 at the left and 24 at the bottom; turned a quarter to the left, the top edge (500 up) comes
/// to lie at the left, so x = 500 − up and y = across + 12.
#[test]
fn a_figure_and_what_the_sheet_adds_to_it_is_a_place_in_the_file() {
    let built = build(
        &OneText(SCRIBED.to_owned()),
        "spec.yaml",
        &Options { files: true, package: None, ..Options::default() },
    );
    assert!(built.diagnostics.is_empty(), "{:?}", built.diagnostics);
    let made = made_of(SCRIBED);
    let part = &made.parts[0];
    let notes = words_of(&sheets_of(&made), &format!("{}-notes", part.id));
    assert!(
        notes.contains("where the net lines meet, 12 right of and 24 above the blank's corner"),
        "{notes}"
    );
    assert!(!notes.contains("corner of the blank"), "{notes}");
    let plan = plan(part, &made.job);
    let figures = |along: Along| -> Vec<f64> {
        let running = plan.running(along);
        running.iter().map(|d| if let Size::Length(l) = d.size { l.to_mm() } else { 0.0 }).collect()
    };
    let figures = BTreeMap::from([("ACROSS", figures(Along::Across)), ("UP", figures(Along::Up))]);
    assert_eq!(figures["ACROSS"], [100.0, 180.0, 300.0, 500.0, 600.0, 700.0]);
    assert_eq!(figures["UP"], [60.0, 100.0, 150.0, 300.0, 390.0, 500.0]);
    for (shop, x, y) in [
        ("corner", ("ACROSS", 12.0), ("UP", 24.0)),
        ("turned", ("−UP", 500.0), ("ACROSS", 12.0)),
        ("net", ("ACROSS", 0.0), ("UP", 0.0)),
    ] {
        let (told_x, told_y) = told(&notes, shop);
        let report =
            built.files.iter().find(|f| f.name == format!("dxf/{shop}/REPORT.txt")).expect("a report");
        let report = String::from_utf8_lossy(&report.bytes);
        assert!(report.contains("is scribed: a figure of its drawing lies at x = "), "{report}");
        assert_eq!((told_x.0.as_str(), told_x.1), x, "{shop}: {notes}");
        assert_eq!((told_y.0.as_str(), told_y.1), y, "{shop}: {notes}");
        let file = built
            .files
            .iter()
            .find(|f| f.name.starts_with(&format!("dxf/{shop}/")) && f.name.contains("panel"));
        let there = coordinates(&file.expect("a file").bytes);
        for ((word, add), there) in [told_x, told_y].iter().zip(&there) {
            let less = word.starts_with('−');
            for figure in &figures[word.trim_start_matches('−')] {
                let place = if less { add - figure } else { add + figure };
                assert!(
                    there.iter().any(|at| (at - place).abs() < 1e-6),
                    "{shop}: {word} {figure} is not at {place}: {there:?}"
                );
            }
        }
    }
}

/// The strip is dimensioned on the view, and the table repeats it in parentheses.
#[test]
fn a_strip_for_scribing_is_dimensioned_on_the_view() {
    let made = made_of(&spec("scribed.yaml"));
    let sheets = sheets_of(&made);
    let id = &made.parts[0].id;
    let view = format!(
        "{} {}",
        words_of(&sheets, &format!("{id}-dimensions")),
        words_of(&sheets, &format!("{id}-labels"))
    );
    assert!(
        view.contains("1/2 LEFT ON") && view.contains("1 LEFT ON") && view.contains("DATUM: NET LINES MEET"),
        "{view}"
    );
    let notes = words_of(&sheets, &format!("{id}-notes"));
    assert!(
        notes.contains("+ (1/2) LEFT ON") && notes.contains("1/2 right of and 1 above the blank's corner"),
        "{notes}"
    );
}

/// The straight line of the view at one coordinate that holds a place, ends across it; the place itself where there is none.
fn line_through(part: &Part, along: Along, at: Point) -> (Length, Length) {
    let turn = |p: Point| if along == Along::Across { (p.x, p.y) } else { (p.y, p.x) };
    let (here, other) = turn(at);
    let mut found = (other, other);
    let outlines =
        std::iter::once(&part.outline).chain(&part.inside).chain(part.pockets.iter().map(|p| &p.outline));
    let segments: Vec<_> = outlines.flat_map(Outline::segments).collect();
    for (from, to) in &segments {
        let ((a, x), (b, y)) = (turn(from.at), turn(*to));
        if from.bulge == 0.0 && a == here && b == here && x.min(y) <= other && other <= x.max(y) {
            found = (found.0.min(x.min(y)), found.1.max(x.max(y)));
        }
    }
    // Where its corner is rounded, the line is given as far as the sharp corner.
    let straight = found;
    for (from, to) in segments.iter().filter(|(from, _)| from.bulge != 0.0) {
        for ((a, x), (_, y)) in [(turn(from.at), turn(*to)), (turn(*to), turn(from.at))] {
            if a == here && x == straight.0 && y < x {
                found.0 = found.0.min(y);
            } else if a == here && x == straight.1 && y > x {
                found.1 = found.1.max(y);
            }
        }
    }
    found
}

/// The places of a part that running dimensions may have to reach.
fn places(part: &Part, hole_table: bool) -> Vec<Point> {
    let outlines =
        std::iter::once(&part.outline).chain(&part.inside).chain(part.pockets.iter().map(|p| &p.outline));
    let mut all: Vec<Point> = outlines.flat_map(|o| o.vertices().iter().map(|v| v.at)).collect();
    if !hole_table {
        all.extend(part.holes.iter().map(|hole| hole.at));
    }
    all
}

/// Every line of every feature has a figure whose extension line comes from a lane as far as the feature.
#[test]
fn a_figure_reaches_every_feature_that_it_serves() {
    let mut looked_at = 0;
    for (name, made) in all() {
        let paperwork = Paperwork::of(&made.job, false, false);
        for part in &made.parts {
            let plan = plan(part, &made.job);
            let zone = Area { low: (0.0, 0.0), high: (260.0, 250.0) };
            let layout = Layout::largest(part, &plan, zone, &paperwork);
            for along in [Along::Across, Along::Up] {
                for at in places(part, plan.hole_table) {
                    let here = if along == Along::Across { at.x } else { at.y };
                    let given = plan.running(along).into_iter().find(|d| d.size == Size::Length(here));
                    let Some(what) = given.map(|d| d.what) else { continue };
                    let in_table = layout.left_over.iter().any(|(_, left)| left.contains(&what));
                    if in_table || plan.overall[along as usize] == Some(what) {
                        continue;
                    }
                    let (low, high) = line_through(part, along, at);
                    let paper =
                        |l: Length| if along == Along::Across { layout.on.y(l) } else { layout.on.x(l) };
                    let reached = layout.rows.iter().any(|row| {
                        row.figures.iter().filter(|f| f.what == what).any(|figure| {
                            match (along, row.beside) {
                                (Along::Across, Beside::Below) | (Along::Up, Beside::Left) => {
                                    figure.from >= paper(low) - 1e-6
                                }
                                (Along::Across, Beside::Above) | (Along::Up, Beside::Right) => {
                                    figure.from <= paper(high) + 1e-6
                                }
                                _ => false,
                            }
                        })
                    });
                    assert!(reached, "{name}: {} {along:?} {} at {at:?}", part.name, here.to_mm());
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 200, "{looked_at}");
}

/// The opening's lower edge and the end of the taper are both 2 up, at opposite ends: the figure stands at both, once in
/// parentheses.
#[test]
fn a_figure_is_not_shared_across_the_view() {
    let made = made_of(&spec("tapered.yaml"));
    let sheets = sheets_of(&made);
    let tapered = made.parts.iter().find(|part| part.name.ends_with('k')).expect("the tapered one");
    let figures = texts(&sheets, &format!("{}-dimensions", tapered.id));
    let middle = figures.iter().find(|text| text.text == "40").expect("the overall").at.0;
    let plain = figures.iter().find(|text| text.text == "2").expect("the figure");
    let again = figures.iter().find(|text| text.text == "(2)").expect("the figure at the other end");
    assert!((plain.at.0 - middle) * (again.at.0 - middle) < 0.0, "{plain:?} {again:?}");
}

/// Every cut that the tables name is named on the view.
#[test]
fn every_cut_bears_its_name_on_the_view() {
    let mut looked_at = 0;
    for (name, made) in all() {
        let sheets = sheets_of(&made);
        for part in &made.parts {
            let told = texts(&sheets, &format!("{}-labels", part.id));
            let told: Vec<&str> = told.iter().map(|text| text.text.as_str()).collect();
            let pockets = part.pockets.iter().enumerate().map(|(i, p)| words::recess_mark(p.kind, i));
            let marks = (0..part.cuts.len()).map(words::cut_mark).chain(pockets);
            let marks = marks.chain((0..part.edges.len()).map(words::edge_mark));
            let marks = marks.chain((0..part.bevels.len()).map(words::bevel_mark));
            let marks = marks.chain((0..own_notches(part).len()).map(words::step_mark));
            for mark in marks {
                assert!(
                    told.contains(&mark.as_str()),
                    "{name}: {} has no {mark} on its view: {told:?}",
                    part.name
                );
                looked_at += 1;
            }
            let notes = words_of(&sheets, &format!("{}-notes", part.id));
            assert!(!notes.contains("what bears no name"), "{name}: {}", part.name);
        }
    }
    assert!(looked_at > 40, "{looked_at}");
}

/// In the tray of the desk's shelf stands its own name, and not that of the notch beside it.
#[test]
fn no_other_name_stands_in_a_closed_shape() {
    let made = made_of(&spec("desk.yaml"));
    let sheets = sheets_of(&made);
    let shelf = made.parts.iter().find(|part| part.name.ends_with("shelf")).expect("the shelf");
    let view = group(&sheets, &format!("{}-view", shelf.id)).expect("drawn");
    let ends: Vec<(f64, f64)> =
        strokes(view, Some(LineType::Visible)).into_iter().flat_map(|(a, b)| [a, b]).collect();
    let least = |of: fn(&(f64, f64)) -> f64| ends.iter().map(of).fold(f64::MAX, f64::min);
    let most = |of: fn(&(f64, f64)) -> f64| {
        let edge_view = least(|p| p.0) + 200.0;
        ends.iter().filter(|p| p.0 < edge_view).map(of).fold(f64::MIN, f64::max)
    };
    let low = (least(|p| p.0), least(|p| p.1));
    let factor = (most(|p| p.1) - low.1) / shelf.height.to_mm();
    let tray = shelf.pockets[0].outline.extents();
    let on = |p: Point| (low.0 + p.x.to_mm() * factor, low.1 + p.y.to_mm() * factor);
    let (a, b) = (on(tray.low), on(tray.high));
    let inside: Vec<&str> = texts(&sheets, &format!("{}-labels", shelf.id))
        .into_iter()
        .filter(|text| text.at.0 > a.0 && text.at.0 < b.0 && text.at.1 > a.1 && text.at.1 < b.1)
        .map(|text| text.text.as_str())
        .collect();
    assert_eq!(inside, ["RC1"]);
}

/// Whether two straight lines cross between their ends.
fn cross((a, b): ((f64, f64), (f64, f64)), (c, d): ((f64, f64), (f64, f64))) -> bool {
    let side =
        |p: (f64, f64), q: (f64, f64), r: (f64, f64)| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < -1e-9 && side(c, d, a) * side(c, d, b) < -1e-9
}

#[test]
fn no_leader_crosses_another() {
    let mut looked_at = 0;
    for (name, made) in all() {
        let sheets = sheets_of(&made);
        for part in &made.parts {
            let Some(labels) = group(&sheets, &format!("{}-labels", part.id)) else { continue };
            let lines = strokes(labels, None);
            for (i, one) in lines.iter().enumerate() {
                for other in &lines[i + 1..] {
                    assert!(!cross(*one, *other), "{name}: {} {one:?} {other:?}", part.name);
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 500, "{looked_at}");
}

/// Twenty holes in two rows: the four at their ends are named, and the table says so.
#[test]
fn of_long_rows_of_holes_the_ends_are_named() {
    let mut board = part("deck", rectangle(inch(0), inch(0), inch(76), inch(17)), thou(709));
    for (row, up) in [2855, 14691].into_iter().enumerate() {
        for i in 0..10 {
            // Uneven in thousandths, so that no set of steps tells them.
            let across = thou(2250 + 7953 * i + 3 * (i * i + row as i64));
            board.holes.push(hole(across, thou(up), sixty_fourths(11), None, Face::Show));
        }
    }
    let made = only(vec![board], tickstick::trade::Units::Inch);
    let sheets = sheets_of(&made);
    let id = &made.parts[0].id;
    let mut names: Vec<&str> = texts(&sheets, &format!("{id}-labels"))
        .iter()
        .map(|text| text.text.as_str())
        .filter(|text| text.starts_with('a'))
        .collect();
    names.sort_unstable();
    assert_eq!(names, ["a1", "a10", "a11", "a20"]);
    let notes = words_of(&sheets, &format!("{id}-notes"));
    assert!(notes.contains("of a long row the ends are named"), "{notes}");
}

/// An arc into the wood is a hollow, one out of it rises.
#[test]
fn an_arc_into_the_wood_is_a_hollow() {
    let made = made_of(&spec("desk.yaml"));
    let sheets = sheets_of(&made);
    let bracket = made.parts.iter().find(|part| part.name.ends_with("bracket")).expect("the bracket");
    let told = words_of(&sheets, &format!("{}-labels", bracket.id));
    assert!(told.contains("HOLLOW 1 DEEP") && !told.contains("RISES"), "{told}");
    // The same arc outwards: bulge = 2 · rise / chord = 2 · 1/10.
    let round = bent(&[
        (inch(0), inch(0), 0.0),
        (inch(10), inch(0), 0.0),
        (inch(10), inch(4), 0.2),
        (inch(1), inch(8), 0.0),
        (inch(0), inch(8), 0.0),
    ]);
    let mut swelling = part("swelling", round, thou(709));
    swelling.height = swelling.outline.extents().height();
    let made = only(vec![swelling], tickstick::trade::Units::Inch);
    let told = words_of(&sheets_of(&made), &format!("{}-labels", made.parts[0].id));
    assert!(told.contains("ARC RISES") && !told.contains("HOLLOW"), "{told}");
}

/// The block with the arrows stands left of the edge view, whose right is another.
#[test]
fn the_arrows_stand_with_the_face_view() {
    let mut looked_at = 0;
    for (name, made) in all() {
        let sheets = sheets_of(&made);
        for part in &made.parts {
            let edge_view = texts(&sheets, &format!("{}-dimensions", part.id))
                .into_iter()
                .find(|t| t.text == "SHOW FACE");
            let labels = texts(&sheets, &format!("{}-labels", part.id));
            let (Some(edge_view), Some(block)) = (edge_view, labels.iter().find(|t| t.text == "SHOW FACE"))
            else {
                continue;
            };
            let right = block.at.0 + width_of(&block.text, block.height, true);
            assert!(right < edge_view.at.0, "{name}: {}", part.name);
            looked_at += 1;
        }
    }
    assert!(looked_at > 20, "{looked_at}");
}

/// A step of 2 × 3 out of a corner and a bay of 4 × 1 in an edge are waste of the rectangle; a cut corner and an arc are not.
#[test]
fn notches_of_the_outline_are_waste_like_those_of_joints() {
    let outline = bent(&[
        (inch(0), inch(0), 0.0),
        (inch(18), inch(0), 0.0),
        (inch(18), inch(3), 0.0),
        (inch(20), inch(3), 0.0),
        (inch(20), inch(26), 0.0),
        (inch(18), inch(28), 0.0),
        (inch(12), inch(28), 0.0),
        (inch(12), inch(27), 0.0),
        (inch(8), inch(27), 0.0),
        (inch(8), inch(28), 0.0),
        (inch(0), inch(28), 0.0),
    ]);
    let side = part("side", outline, thou(709));
    let found: Vec<_> = own_notches(&side)
        .iter()
        .map(|o| {
            let e = o.extents();
            (e.low, e.high)
        })
        .collect();
    assert_eq!(
        found,
        [
            (point(inch(18), inch(0)), point(inch(20), inch(3))),
            (point(inch(8), inch(27)), point(inch(12), inch(28))),
        ]
    );
    let made = made_of(&spec("desk.yaml"));
    let sheets = sheets_of(&made);
    let side = made.parts.iter().find(|part| part.name.contains("side")).expect("a side");
    let notes = words_of(&sheets, &format!("{}-notes", side.id));
    assert!(notes.contains("C1 notch (2 × 3) through"), "{notes}");
    let waste = group(&sheets, &format!("{}-waste", side.id)).expect("hatched");
    let (low, high) = tickstick::drawing::bounds::extents(&waste.marks).expect("marks");
    assert!(
        high.0 - low.0 > 30.0,
        "the hatching reaches from the scribed edge to the step: {low:?} {high:?}"
    );
}
