//! What stands on the views of an assembly for someone who looks from view to view: balloons on their parts, circles on the
//! joints that they call out, details larger than those circles, planes marked at both ends.

use std::collections::{BTreeMap, BTreeSet};

use tickstick::boards::Other;
use tickstick::drawing::{At, Layer, LineType, Mark, Sheet, Step, Text};
use tickstick::length::Interval;
use tickstick::parts::{Made, Placed};
use tickstick::plans;
use tickstick::sheets::assembly::Assembled;
use tickstick::sheets::bays::Look;
use tickstick::sheets::cuttings::cuttings;
use tickstick::sheets::details::capital;
use tickstick::sheets::details::condition::conditions;
use tickstick::sheets::figures::Figures;
use tickstick::sheets::frame::{Area, Frame, Paper, Practice};
use tickstick::sheets::pictorial::Picture;
use tickstick::sheets::sheet_set;

use super::dowels::made;
use super::real::{SAMPLES, sample};
use super::sheets::{faults, write};
use super::tables::map_room;

/// A ticket desk: a shelf housed in two sides, a rail screwed to the wall, a kick board doweled between the sides.
const DESK: &str = r#"
units: inch
stock:
  ply: {sheet: [48", 96"], thick: 0.709"}
assemblies:
  desk:
    parts:
      side_left: {stock: ply, faces: side, left: 0, front: 0, back: 20", bottom: 0, top: 28", grain: up, held_by: floor}
      side_right: {stock: ply, faces: side, right: 48", front: 0, back: 20", bottom: 0, top: 28", grain: up, held_by: floor}
      shelf: {stock: ply, faces: up, left: side_left.right - 1/4", right: side_right.left + 1/4", front: 4", back: 20", top: 22", grain: across}
      rail: {stock: ply, faces: front, left: side_left.right, right: side_right.left, back: 20", top: 28", height: 6", grain: across}
      kick: {stock: ply, faces: front, left: side_left.right, right: side_right.left, front: 3", bottom: 0, height: 4", grain: across}
    joints:
      - {house: shelf, in: [side_left, side_right], fix: glue}
      - {butt: rail, against: [side_left, side_right], fix: pocket_screws}
      - {butt: rail, against: shelf, fix: glue}
      - {butt: kick, against: [side_left, side_right], fix: {by: dowels, size: 3/8", length: 2"}}
      - {butt: rail, against: wall, fix: {by: screws, length: 3", from: front}}
"#;

fn jobs() -> Vec<(&'static str, Made)> {
    let samples = SAMPLES.map(|name| (name, sample(name)));
    samples.into_iter().chain([("desk", made(DESK))]).collect()
}

/// What is looked at: every assembly with its own sheets.
fn each_assembly(made: &Made, check: impl Fn(&Assembled, &[Sheet])) {
    let plans = plans::plan(made).0;
    let sheets = sheet_set(made, &plans, &[]);
    for index in 0..made.job.assemblies.len() {
        let of = Assembled::new(made, &plans.loads, Some(index)).expect("boards");
        let own: Vec<Sheet> =
            sheets.iter().filter(|s| s.name[2..].starts_with(&format!("-{}-", of.name))).cloned().collect();
        assert!(own.len() >= 4, "{}: arrangement, section, details, parts pulled apart", of.name);
        check(&of, &own);
    }
}

fn marks<'a>(sheet: &'a Sheet, group: &'a str) -> impl Iterator<Item = &'a Mark> {
    sheet.groups.iter().filter(move |g| g.id == group).flat_map(|g| &g.marks)
}

fn texts<'a>(marks: impl IntoIterator<Item = &'a Mark>) -> Vec<&'a Text> {
    marks.into_iter().filter_map(|m| if let Mark::Text(text) = m { Some(text) } else { None }).collect()
}

/// What a printed scale comes to: `1:20`, `1 1/2" = 1'-0"`, `HALF SIZE`, `2 × FULL SIZE`.
fn factor(label: &str) -> Option<f64> {
    let number = |text: &str| -> Option<f64> {
        let parts = text.trim().trim_end_matches('"').split(' ').map(|word| match word.split_once('/') {
            Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
            None => word.parse::<f64>().ok(),
        });
        parts.sum()
    };
    match label {
        "FULL SIZE" => Some(1.0),
        "HALF SIZE" => Some(0.5),
        _ => match (label.split_once(" × FULL SIZE"), label.split_once(" = 1'-0\""), label.split_once(':')) {
            (Some((times, _)), ..) => number(times),
            (_, Some((inches, _)), _) => Some(number(inches)? / 12.0),
            (.., Some((paper, real))) => Some(number(paper)? / number(real)?),
            _ => None,
        },
    }
}

/// Every detail of a set: its letter, the factor of its scale, and the short texts under its title.
fn details(sheets: &[Sheet]) -> BTreeMap<String, (f64, Vec<String>)> {
    let mut all = BTreeMap::new();
    for sheet in sheets.iter().filter(|s| s.name.contains("-details")) {
        let group = sheet.groups.iter().filter(|g| g.id.ends_with("-detail")).flat_map(|g| &g.marks);
        let mut now: Option<(String, Vec<String>)> = None;
        let mut end = |now: Option<(String, Vec<String>)>| {
            let Some((title, rest)) = now else { return };
            let letter = title.split(' ').nth(1).expect("a letter").to_owned();
            let scale = title.rsplit(" · ").next().and_then(factor).expect("a scale");
            assert!(all.insert(letter, (scale, rest)).is_none(), "{title} twice");
        };
        for text in texts(group) {
            let is_title = text.bold && (text.height - 3.5).abs() < 1e-9;
            if is_title && text.text.starts_with("DETAIL ") {
                end(now.replace((text.text.clone(), Vec::new())));
            } else if let Some((title, rest)) = &mut now {
                if is_title {
                    title.push(' ');
                    title.push_str(&text.text);
                } else {
                    rest.push(text.text.clone());
                }
            }
        }
        end(now);
    }
    all
}

const CIRCLES: [&str; 2] = ["detail-circles", "section-details"];

/// Letters that views call out, with the factor of the view.
fn called(sheets: &[Sheet]) -> Vec<(String, f64)> {
    let mut all = Vec::new();
    for sheet in sheets {
        let scale = texts(marks(sheet, "title-block")).into_iter().find_map(|t| factor(&t.text));
        let letters = CIRCLES.into_iter().flat_map(|group| texts(marks(sheet, group)));
        all.extend(letters.map(|t| (t.text.clone(), scale.expect("a view has a scale"))));
    }
    all
}

/// A detail is drawn to be seen larger: twice the scale of the view at the least. Every detail is called out once.
#[test]
fn a_detail_is_twice_as_large_as_what_calls_it_out() {
    for (name, made) in jobs() {
        each_assembly(&made, |_, sheets| {
            let details = details(sheets);
            let called = called(sheets);
            assert!(details.len() >= 2, "{name}");
            assert_eq!(called.len(), details.len(), "{name}: {called:?}");
            for (text, view) in called {
                let mut words = text.split(' ');
                let letter = words.next().expect("a letter");
                assert!(matches!(words.next(), None | Some("below" | "behind")), "{name}: {text}");
                let (scale, _) = details.get(letter).unwrap_or_else(|| panic!("{name}: no detail {text}"));
                assert!(*scale >= 2.0 * view - 1e-9, "{name}: {letter} at {scale}, called out at {view}");
            }
        });
    }
}

/// Both boards of a detail have their mark on it, each once; a wall and a floor are named.
#[test]
fn every_detail_has_both_marks() {
    for (name, made) in jobs().into_iter().chain([("map room", map_room("Tabloid"))]) {
        each_assembly(&made, |of, sheets| {
            let details = details(sheets);
            let after = cuttings(of).len();
            let all = conditions(of, made.job.sheets.third_angle, &Figures::of(&made.job.sheets));
            assert_eq!(all.len(), details.len(), "{name}");
            for (i, condition) in all.iter().enumerate() {
                let place = &condition.occurs[0];
                let mark = |other: Other| match other {
                    Other::Board(id) => made.parts[made.placed[id.0].part.0].mark.clone(),
                    Other::Wall => "WALL".to_owned(),
                    Other::Floor => "FLOOR".to_owned(),
                };
                let mut wanted = vec![mark(Other::Board(place.first)), mark(place.second)];
                wanted.sort();
                let (_, texts) = &details[&capital(after + i)];
                let is_mark =
                    |t: &&String| made.parts.iter().any(|p| p.mark == **t) || *t == "WALL" || *t == "FLOOR";
                let mut found: Vec<String> = texts.iter().filter(is_mark).cloned().collect();
                found.sort();
                assert_eq!(found, wanted, "{name}: detail {}", capital(after + i));
            }
        });
    }
}

/// Centre, radius and kind of the rings of a group.
fn rings(sheet: &Sheet, group: &str) -> Vec<(At, f64, LineType)> {
    let ring = |mark: &Mark| {
        let Mark::Stroke { path, line } = mark else { return None };
        let [Step::Move(a), Step::Arc(b, _), ..] = path.as_slice() else { return None };
        let centre = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
        Some((centre, f64::hypot(a.0 - b.0, a.1 - b.1) / 2.0, *line))
    };
    marks(sheet, group).filter_map(ring).collect()
}

fn off_segment(at: At, a: At, b: At) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { (((at.0 - a.0) * dx + (at.1 - a.1) * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    f64::hypot(at.0 - a.0 - t * dx, at.1 - a.1 - t * dy)
}

fn segments<'a>(marks: impl IntoIterator<Item = &'a Mark>) -> Vec<(At, At)> {
    let mut all = Vec::new();
    for mark in marks {
        let Mark::Stroke { path, .. } = mark else { continue };
        let mut at = (0.0, 0.0);
        for step in path {
            match *step {
                Step::Move(to) => at = to,
                Step::Line(to) | Step::Arc(to, _) => {
                    all.push((at, to));
                    at = to;
                }
                Step::Close => {}
            }
        }
    }
    all
}

/// The lines of a view, whichever part's group they are in.
fn view_lines(sheet: &Sheet, assembly: &str, look: &Look) -> Vec<(At, At)> {
    let start = format!("{assembly}-{}-", look.title.to_lowercase().replace(' ', "-"));
    let groups = sheet.groups.iter().filter(|g| g.layer == Layer::Outlines && g.id.starts_with(&start));
    segments(groups.flat_map(|g| &g.marks))
}

/// A ring in a full line holds a line of the drawing, two rings keep apart, and one in a dashed line says where its joint lies.
#[test]
fn circles_stand_where_the_joint_is_seen() {
    for (name, made) in jobs() {
        for sheet in &sheet_set(&made, &plans::plan(&made).0, &[]) {
            let outlines = sheet.groups.iter().filter(|g| g.layer == Layer::Outlines);
            let lines = segments(outlines.flat_map(|g| &g.marks));
            for group in CIRCLES {
                let rings = rings(sheet, group);
                for (i, (centre, radius, line)) in rings.iter().enumerate() {
                    let told = format!("{name}, {}: ring at {centre:?}", sheet.name);
                    let nearest =
                        lines.iter().map(|(a, b)| off_segment(*centre, *a, *b)).fold(f64::MAX, f64::min);
                    assert!(nearest <= *radius || *line == LineType::Hidden, "{told} {radius}: {nearest}");
                    for (other, reach, _) in &rings[..i] {
                        let apart = f64::hypot(centre.0 - other.0, centre.1 - other.1);
                        assert!(apart >= radius + reach - 1e-6, "{told} and {other:?}");
                    }
                }
                let dashed = rings.iter().filter(|(.., line)| *line == LineType::Hidden).count();
                let says = texts(marks(sheet, group)).into_iter().filter(|t| t.text.contains(' ')).count();
                assert_eq!(dashed, says, "{name}, {}", sheet.name);
            }
        }
    }
}

/// ISO 128: arrows and letters at both ends of a cutting plane.
#[test]
fn a_cutting_plane_is_marked_at_both_ends() {
    for (name, made) in jobs() {
        each_assembly(&made, |of, sheets| {
            let arranged: Vec<&Sheet> = sheets.iter().filter(|s| s.name.contains("-arrangement")).collect();
            for plane in cuttings(of) {
                let letters = arranged.iter().flat_map(|s| texts(marks(s, "dimensions")));
                let letters = letters.filter(|t| t.bold && t.text == plane.letter);
                assert_eq!(letters.count(), 2, "{name}, {}: {}", of.name, plane.letter);
            }
        });
    }
}

/// Balloons of a group: mark, middle, and the tip of the leader.
fn balloons(sheet: &Sheet, group: &str) -> Vec<(String, At, At)> {
    let (mut all, mut tip) = (Vec::new(), None);
    for mark in marks(sheet, group) {
        match mark {
            // The leader stops short inside its arrow: the point of the arrow, or the middle of the dot, is the tip.
            Mark::Fill { path, .. } if tip.is_none() => {
                tip = match path.as_slice() {
                    [Step::Move(a), Step::Arc(b, _), ..] => Some(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)),
                    [Step::Move(a), ..] => Some(*a),
                    _ => None,
                };
            }
            Mark::Text(text) => {
                let middle = (text.at.0, text.at.1 + text.height / 2.0);
                all.push((text.text.clone(), middle, tip.take().expect("a leader")));
            }
            _ => {}
        }
    }
    all
}

fn box_of(segments: &[(At, At)]) -> Area {
    let points = || segments.iter().flat_map(|(a, b)| [*a, *b]);
    let low = points().fold((f64::MAX, f64::MAX), |l: At, p| (l.0.min(p.0), l.1.min(p.1)));
    let high = points().fold((f64::MIN, f64::MIN), |h: At, p| (h.0.max(p.0), h.1.max(p.1)));
    Area { low, high }
}

/// Right and up of a box of the room in a look, in millimetres.
fn flat(look: &Look, span: &[Interval; 3]) -> (At, At) {
    let (x, y) = (look.along(span, look.right), look.along(span, look.up));
    ((x.low.to_mm(), y.low.to_mm()), (x.high.to_mm(), y.high.to_mm()))
}

/// Whether a point of the paper lies on one of a part's boards, the boards' own extents filling `area`.
fn lies_on<'a>(
    look: &Look,
    boards: &[&Placed],
    of_part: impl Iterator<Item = &'a Placed>,
    area: Area,
    at: At,
) -> bool {
    let all: Vec<(At, At)> = boards.iter().map(|b| flat(look, &b.board.span)).collect();
    let whole = box_of(&all);
    let factor = area.width() / whole.width();
    let place =
        |p: At| (area.low.0 + (p.0 - whole.low.0) * factor, area.low.1 + (p.1 - whole.low.1) * factor);
    of_part.map(|b| flat(look, &b.board.span)).any(|(low, high)| {
        let (low, high) = (place(low), place(high));
        // A balloon may point at the line of an edge, a quarter of a millimetre wide.
        let hair = 0.3;
        low.0 - hair <= at.0 && at.0 <= high.0 + hair && low.1 - hair <= at.1 && at.1 <= high.1 + hair
    })
}

/// Every part has one balloon on the arrangement of its assembly and on the picture of it pulled apart, no part two on any
/// view, every part that a section cuts has one there; and each points at its part as it is drawn there.
#[test]
fn every_balloon_finds_its_part() {
    for (name, made) in jobs() {
        each_assembly(&made, |of, sheets| {
            let looks = of.looks(made.job.sheets.third_angle);
            let ours = |i: &usize| of.boards.iter().any(|b| b.part.0 == *i);
            let all = (0..made.parts.len()).filter(ours).map(|i| made.parts[i].mark.as_str());
            let all: Vec<&str> = all.collect();
            let boards_of = |mark: &str| {
                let mark = mark.to_owned();
                of.boards.iter().copied().filter(|b| made.parts[b.part.0].mark == mark).collect::<Vec<_>>()
            };
            let sorted = |found: &[(String, At, At)]| {
                let mut marks: Vec<String> = found.iter().map(|(mark, ..)| mark.clone()).collect();
                marks.sort_by_key(|mark| all.iter().position(|one| one == mark));
                marks
            };
            let mut arranged = Vec::new();
            for sheet in sheets.iter().filter(|s| s.name.contains("-arrangement")) {
                let views: Vec<(&Look, Area)> = looks
                    .iter()
                    .filter_map(|look| {
                        let lines = view_lines(sheet, &of.name, look);
                        (!lines.is_empty()).then(|| (look, box_of(&lines)))
                    })
                    .collect();
                let found = balloons(sheet, "balloons");
                for (mark, _, tip) in &found {
                    let on = views.iter().any(|(look, area)| {
                        lies_on(look, &of.boards, boards_of(mark).into_iter(), *area, *tip)
                    });
                    assert!(on, "{name}, {}: {mark} points at {tip:?}", sheet.name);
                }
                arranged.extend(found);
            }
            assert_eq!(sorted(&arranged), all, "{name}: arrangement");
            for plane in cuttings(of) {
                let look = looks.iter().find(|look| look.eye.axis() == plane.axis).expect("a look");
                let ending = match plane.letter.as_str() {
                    "A" => "-section".to_owned(),
                    letter => format!("-section-{}", letter.to_lowercase()),
                };
                let sheet = sheets.iter().find(|s| s.name.ends_with(&ending));
                let sheet = sheet.expect("a section");
                let found = balloons(sheet, "section-balloons");
                let depth = |b: &Placed| look.along(&b.board.span, look.eye);
                let at = plane.at * look.eye.sign();
                let left: Vec<&Placed> = of.boards.iter().copied().filter(|b| depth(b).low < at).collect();
                let start = format!("{}-section-{}-", of.name, plane.letter.to_lowercase());
                let lines =
                    sheet.groups.iter().filter(|g| g.layer == Layer::Outlines && g.id.starts_with(&start));
                let area = box_of(&segments(lines.flat_map(|g| &g.marks)));
                for (mark, _, tip) in &found {
                    let own = boards_of(mark).into_iter().filter(|b| depth(b).low < at);
                    assert!(
                        lies_on(look, &left, own, area, *tip),
                        "{name}, {}: {mark} points at {tip:?}",
                        sheet.name
                    );
                }
                let marked = sorted(&found);
                assert_eq!(marked.iter().collect::<BTreeSet<_>>().len(), marked.len(), "{name}: {marked:?}");
                let cut = left.iter().filter(|b| at < depth(b).high && depth(b).low < at);
                for board in cut {
                    let mark = &made.parts[board.part.0].mark;
                    assert!(
                        marked.contains(mark),
                        "{name}, {}: {mark} is cut and has no balloon",
                        sheet.name
                    );
                }
            }
            let sheet = sheets.iter().find(|s| s.name.ends_with("-assembly")).expect("pulled apart");
            let found = balloons(sheet, "picture-balloons");
            assert_eq!(sorted(&found), all, "{name}: pulled apart");
            let whole = Area { low: (0.0, 0.0), high: (100.0, 100.0) };
            let picture = Picture::of(&of.boards, of.turns, 7, whole).expect("a picture");
            let start = format!("{}-apart-", of.name);
            let drawn = sheet.groups.iter().filter(|g| g.id.starts_with(&start));
            let (lines, area) = (&picture.lines, box_of(&segments(drawn.flat_map(|g| &g.marks))));
            let own: Vec<(At, At)> = lines.iter().map(|l| (l.from, l.to)).collect();
            let wood = box_of(&own);
            let factor = area.width() / wood.width();
            let place =
                |p: At| (area.low.0 + (p.0 - wood.low.0) * factor, area.low.1 + (p.1 - wood.low.1) * factor);
            for (mark, _, tip) in &found {
                let near = lines.iter().any(|l| {
                    made.parts[of.boards[l.solid].part.0].mark == *mark
                        && off_segment(*tip, place(l.from), place(l.to)) < 0.3
                });
                assert!(near, "{name}: {mark} points at {tip:?} on the parts pulled apart");
            }
        });
    }
}

/// Forty parts: every balloon is there, none stands inside a view of which it is not, and no leader runs through one.
#[test]
fn balloons_keep_to_their_own_view() {
    let made = map_room("Tabloid");
    let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
    write("map-room", &sheets);
    let frame = Frame::new(Paper::Tabloid, Practice::Asme);
    let bad: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
    assert_eq!(bad, Vec::<String>::new(), "{}", bad.join("\n"));
    let sheet = sheets.iter().find(|s| s.name.contains("-arrangement")).expect("one");
    let loads = plans::plan(&made).0.loads;
    let of = Assembled::new(&made, &loads, Some(0)).expect("boards");
    let looks = of.looks(made.job.sheets.third_angle);
    let views = looks.iter().map(|look| view_lines(sheet, &of.name, look));
    let views: Vec<Area> = views.map(|lines| box_of(&lines)).collect();
    assert_eq!(views.len(), 3);
    let found = balloons(sheet, "balloons");
    assert_eq!(found.len(), made.parts.len());
    let inside = |area: &Area, at: At, hair: f64| {
        area.low.0 - hair < at.0
            && at.0 < area.high.0 + hair
            && area.low.1 - hair < at.1
            && at.1 < area.high.1 + hair
    };
    for (mark, middle, tip) in &found {
        for view in views.iter().filter(|view| !inside(view, *tip, 0.3)) {
            for step in 0..=100 {
                let t = f64::from(step) / 100.0;
                let at = (middle.0 + (tip.0 - middle.0) * t, middle.1 + (tip.1 - middle.1) * t);
                assert!(!inside(view, at, 0.0), "{mark} runs through another view");
            }
        }
    }
}
