//! Sheets of a revision: triangles where something changed and nowhere else, the cover's tables, and still no text over
//! another.

use tickstick::drawing::lettering::covers;
use tickstick::drawing::revision::{SIGN, drawn, suffix};
use tickstick::drawing::{Anchor, Mark, Sheet, Text};
use tickstick::parts::Made;
use tickstick::plans::Plans;
use tickstick::revise::compare;
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::revision::Since;
use tickstick::sheets::{sheet_set, sheet_set_since};

use super::sheets::{faults, write};

const NOOK: &str = include_str!("../../samples/listening-nook.yaml");
const LARDER: &str = include_str!("../../samples/larder.yaml");

fn made(yaml: &str) -> Made {
    let (boards, _) = crate::boards::laid(yaml);
    let (joints, _) = tickstick::joints::join(&boards);
    tickstick::parts::make(boards, joints).0
}

fn revised(old: &Made, new: &Made) -> Vec<Sheet> {
    let changes = compare(old, new);
    sheet_set_since(
        new,
        &Plans::default(),
        &[],
        Some(&Since { old, plans: &Plans::default(), diagnostics: &[], changes: &changes }),
    )
}

fn texts(sheet: &Sheet) -> Vec<&Text> {
    let all = sheet.groups.iter().flat_map(|group| &group.marks);
    all.filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None }).collect()
}

/// Letters in triangles, and signs with a letter behind them, in what is drawn of one part.
fn signs(sheet: &Sheet, part: &str, letter: &str) -> usize {
    let own = |kind: &str| {
        let id = format!("{part}-{kind}");
        let marks = sheet.groups.iter().filter(move |g| g.id == id).flat_map(|g| &g.marks);
        marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None })
    };
    let drawn = ["dimensions", "labels"].into_iter().flat_map(own);
    drawn.filter(|text| text.text == letter && text.height < 2.6).count()
        + own("notes").filter(|text| text.text.contains(SIGN)).count()
}

/// The sheet on which a part is drawn.
fn page<'a>(sheets: &'a [Sheet], part: &str) -> &'a Sheet {
    let view = format!("{part}-view");
    let drawn = sheets.iter().find(|sheet| sheet.groups.iter().any(|group| group.id == view));
    drawn.unwrap_or_else(|| panic!("{part} is not drawn"))
}

#[test]
fn nothing_overlaps_on_the_sheets_of_a_revision() {
    let next = |yaml: &str| yaml.replace("revision: A", "revision: B");
    let cases = [
        (NOOK, next(NOOK).replace("niche: 77 1/4\"", "niche: 76 3/4\""), "revised-width"),
        (
            LARDER,
            next(LARDER).replace("arch: 55", "arch: 70").replace("depth: 320", "depth: 300"),
            "revised-larder",
        ),
    ];
    let mut all = Vec::new();
    for (old, new, name) in cases {
        let (old, new) = (made(old), made(&new));
        let sheets = revised(&old, &new);
        let practice = if new.job.sheets.asme { Practice::Asme } else { Practice::Iso };
        let frame = Frame::new(Paper::named(&new.job.sheets.paper).expect("known"), practice);
        write(name, &sheets);
        all.extend(sheets.iter().flat_map(|sheet| faults(sheet, &frame)));
    }
    assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
}

/// Forty openings that all moved by another length are told one by one, which no column is high enough for.
#[test]
fn what_takes_more_than_a_column_goes_on_in_the_next() {
    let panel = |more: i64| {
        let opening = |i: i64| {
            let (left, bottom) = (10 + 100 * (i % 10) + more * (i + 1), 10 + 100 * (i / 10));
            format!("          hole_{i}: {{left: {left}, width: 40, bottom: {bottom}, height: {}}}\n", 20 + i)
        };
        let openings: String = (0..40).map(opening).collect();
        format!(
            "job: {{title: Grille, number: G-1, revision: {}}}\nunits: mm\nsheets: {{paper: a4}}\n\
             stock: {{ply: {{sheet: [1220, 2440], thick: 18}}}}\nassemblies:\n  grille:\n    parts:\n      \
             panel:\n        stock: ply\n        faces: front\n        left: 0\n        width: 1100\n        front: 0\n        \
             bottom: 0\n        height: 500\n        grain: up\n        held_by: wall\n        cutouts:\n{openings}",
            if more == 0 { "A" } else { "B" }
        )
    };
    let sheets = revised(&made(&panel(0)), &made(&panel(1)));
    let frame = Frame::new(Paper::A4, Practice::Iso);
    let all: Vec<String> = sheets.iter().flat_map(|sheet| faults(sheet, &frame)).collect();
    assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
    // Every one is told: moved by 1 to 40.
    let cover: Vec<&Sheet> = sheets.iter().take_while(|s| s.name.contains("cover")).collect();
    assert!(cover.len() > 1);
    let told: String = cover.iter().flat_map(|s| texts(s)).map(|t| t.text.clone() + " ").collect();
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for by in 1..=40 {
        assert!(told.contains(&format!("moved {by} mm to the right")), "{by}: {told}");
    }
}

/// The back is cut down from 77" to 76 1/2" and keeps its height; the ends are what they were.
#[test]
fn only_what_changed_bears_a_triangle() {
    let old = made(NOOK);
    let narrower = NOOK.replace("niche: 77 1/4\"", "niche: 76 3/4\"").replace("revision: A", "revision: B");
    let sheets = revised(&old, &made(&narrower));
    let back = page(&sheets, "bench-back");
    // In the heading of its field, before the list of what changed, and behind the one figure.
    assert_eq!(signs(back, "bench-back", "B"), 3, "{:?}", texts(back));
    let in_title = |sheet: &Sheet| {
        let title = sheet.groups.iter().find(|g| g.id == "title-block").expect("one");
        title.marks.iter().filter(|m| matches!(m, Mark::Text(t) if t.text == "B")).count()
    };
    // The revision field, and the triangle.
    assert_eq!(in_title(back), 2);
    let end = page(&sheets, "bench-end-left");
    assert_eq!((signs(end, "bench-end-left", "B"), in_title(end)), (0, 1));
    let cover: Vec<&str> = texts(&sheets[0]).iter().map(|t| t.text.as_str()).collect();
    let cover = cover.join(" ");
    for words in
        ["REVISIONS", "superseded", "PARTS CHANGED SINCE REVISION A", "WITHDRAWN: DESTROY ALL COPIES"]
    {
        assert!(cover.contains(words), "{words}: {cover}");
    }
}

#[test]
fn a_set_compared_with_itself_changes_nothing_but_the_cover() {
    let nook = made(NOOK);
    let (plain, since) = (sheet_set(&nook, &Plans::default(), &[]), revised(&nook, &nook));
    // The cover's table of revisions may take a sheet more, which counts all others on.
    assert!(since.len().abs_diff(plain.len()) <= 1);
    let others = |set: &[Sheet]| -> Vec<Sheet> {
        set.iter().filter(|sheet| !sheet.name.contains("-cover")).cloned().collect()
    };
    let (plain, after) = (others(&plain), others(&since));
    assert_eq!(plain.len(), after.len());
    for (plain, since) in plain.iter().zip(&after) {
        let drawn = |sheet: &Sheet| -> Vec<tickstick::drawing::Group> {
            let bordered = |id: &str| id == "title-block";
            let groups = sheet.groups.iter().filter(|group| !bordered(&group.id)).cloned();
            groups
                .map(|mut group| {
                    group.marks.retain(|mark| !matches!(mark, Mark::Link { .. }));
                    group
                })
                .collect()
        };
        assert_eq!((&plain.title, drawn(plain)), (&since.title, drawn(since)));
        assert_eq!(plain.dimensions, since.dimensions);
    }
    assert!(texts(&since[0]).iter().any(|text| text.text.contains("no part changed")));
}

/// A letter goes into the triangle where it is narrow enough there, else it stays beside the sign.
#[test]
fn the_sign_is_drawn_round_its_letter() {
    assert!(covers(SIGN));
    let figure = |letter: &str, height: f64, anchor: Anchor, turn: f64| {
        let text = format!("12 3/4{}", suffix(letter));
        drawn(Mark::Text(Text { at: (50.0, 50.0), text, height, anchor, turn, bold: false }))
    };
    for anchor in [Anchor::Start, Anchor::Middle, Anchor::End] {
        for turn in [0.0, 90.0] {
            let marks = figure("B", 3.5, anchor, turn);
            let all: Vec<&str> = marks
                .iter()
                .filter_map(|mark| if let Mark::Text(text) = mark { Some(text.text.as_str()) } else { None })
                .collect();
            assert_eq!(all, ["B", "12 3/4"]);
            let group =
                tickstick::drawing::Group { id: "x".into(), layer: tickstick::drawing::Layer::Notes, marks };
            let sheet = Sheet {
                name: String::new(),
                title: String::new(),
                width: 100.0,
                height: 100.0,
                groups: vec![group],
                dimensions: Vec::new(),
                ..Sheet::default()
            };
            assert!(tickstick::drawing::bounds::crossings(&sheet).is_empty());
            assert!(tickstick::drawing::bounds::overlaps(&sheet).is_empty());
        }
    }
    assert_eq!(figure("B", 2.5, Anchor::Start, 0.0).len(), 1);
    assert_eq!(figure("AA", 3.5, Anchor::Start, 0.0).len(), 1);
    assert_eq!(figure("", 3.5, Anchor::Start, 0.0).len(), 2);
}

/// The niche is 1/2" narrower, so that each of the five bays loses 1/10" and the float what is left: on the front view the
/// spaces and the overall change, the boards between them do not; the marks of the rod that runs across move, but for the
/// face of the left end, which all are measured from; those of the rod that runs up stay.
#[test]
fn changed_figures_of_arrangements_and_rods_bear_the_sign() {
    let old = made(NOOK);
    let narrower = NOOK.replace("niche: 77 1/4\"", "niche: 76 3/4\"").replace("revision: A", "revision: B");
    let new = made(&narrower);
    let sheets = revised(&old, &new);
    let was = sheet_set(&old, &Plans::default(), &[]);
    let named = |sheets: &[Sheet], name: &str| -> Sheet {
        sheets.iter().find(|sheet| sheet.name.ends_with(name)).expect("there").clone()
    };
    let rods = named(&sheets, "bench-rods");
    let signed = |sheet: &Sheet| texts(sheet).iter().filter(|t| t.text.contains(SIGN)).count();
    // Counted from the dimensions of both sets: positions along a rod that the old rod did not have.
    let old_rods = named(&was, "bench-rods");
    let moved = rods.dimensions.iter().filter(|now| {
        let row = |what: &str| what.split(':').next().unwrap_or_default().to_owned();
        !old_rods.dimensions.iter().any(|then| row(&then.what) == row(&now.what) && then.value == now.value)
    });
    let moved: Vec<&str> = moved.map(|d| d.what.as_str()).collect();
    assert!(moved.len() > 5 && moved.iter().all(|what| what.starts_with("rod left")), "{moved:?}");
    assert_eq!(signed(&rods), moved.len());
    let front = named(&sheets, "bench-arrangement");
    let triangles = texts(&front).iter().filter(|t| t.text == "B" && t.height < 2.6).count();
    let members = front.dimensions.iter().filter(|d| d.what.starts_with("front right: space")).count();
    // Every space across the front, and the overall across it; the side view does not run across.
    assert!(triangles > members, "{triangles} of {members} spaces and the overall");
    let same = revised(&old, &old);
    assert_eq!(signed(&named(&same, "bench-rods")), 0);
}

/// The height of an assembly that moved bears the sign on the sheet of the room, the other heights do not.
#[test]
fn the_place_of_an_assembly_that_moved_bears_the_sign() {
    let higher = NOOK.replace("bottom: 19\"}", "bottom: 19 1/2\"}").replace("revision: A", "revision: B");
    assert_ne!(higher, NOOK);
    let sheets = revised(&made(NOOK), &made(&higher));
    let room = sheets.iter().find(|sheet| sheet.name.contains("room-arrangement")).expect("a room");
    let signed: Vec<&str> =
        texts(room).into_iter().map(|text| text.text.as_str()).filter(|text| text.contains(SIGN)).collect();
    assert_eq!(signed, [format!("19 1/2{}", suffix("B"))]);
    let cover = texts(&sheets[0]).into_iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
    assert!(cover.contains("MOVED IN THE ROOM"), "{cover}");
}
