//! Tables on paper: a size that is broken between its figures is a wrong number, so that no width may break one.

use tickstick::drawing::table::{Cell, Column, Table};
use tickstick::drawing::{Mark, Placed, Sheet};
use tickstick::parts::Made;
use tickstick::plans;
use tickstick::sheets::figures::Figures;
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::sheet_set;

use super::dowels::made;
use super::sheets::{faults, write};

/// Shelving of a map room: five bays of seven shelves, each of its own depth, so that each is a part of its own.
pub fn map_room(paper: &str) -> Made {
    let shelf = |i: usize| {
        let (bay, row) = (i / 7 + 1, i % 7);
        format!(
            "      shelf_{i}: {{stock: ply, faces: up, left: 'upright[{bay}].right', right: 'upright[{}].left', front: {}/8\", back: 14\", bottom: {}\", grain: across}}\n",
            bay + 1,
            8 + i,
            6 + bay + row * 10,
        )
    };
    let shelves: String = (0..35).map(shelf).collect();
    made(&format!(
        "units: inch\nsheets: {{paper: {paper}}}\nstock:\n  ply: {{sheet: [48\", 96\"], thick: 0.709\"}}\nassemblies:\n  maps:\n    parts:\n      \
         upright: {{stock: ply, faces: side, count: 6, left: (i - 1) * 16 in, front: 0, back: 14\", bottom: 0, top: 80\", grain: up, held_by: floor}}\n\
         {shelves}    joints:\n      - {{butt: [{}], against: upright, fix: glue}}\n",
        (0..35).map(|i| format!("shelf_{i}")).collect::<Vec<_>>().join(", ")
    ))
}

fn texts(placed: &Placed) -> Vec<&str> {
    let all = placed.marks.iter();
    all.filter_map(|m| if let Mark::Text(text) = m { Some(text.text.as_str()) } else { None }).collect()
}

fn schedule() -> Table {
    let row = |cells: [&str; 4]| cells.map(Cell::new).to_vec();
    Table {
        title: "PARTS".into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("QTY"),
            Column::words("SIZE"),
        ],
        rows: vec![
            row(["A31", "shelf 24", "1", "14.840 × 6 1/4 × 0.709"]),
            row(["A120", "stretcher front", "12", "3' 4 1/2\" × 18 mm"]),
        ],
        height: 2.5,
    }
}

/// Down to 20 mm: every mark, count and size stands whole, and where the columns have no room the table says so.
#[test]
fn no_width_tears_a_size() {
    let (table, mut fitted) = (schedule(), 0);
    for width in 20..=140 {
        let width = f64::from(width);
        let placed = table.placed((0.0, 0.0), width);
        let all = texts(&placed);
        for whole in ["A31", "1", "14.840 × 6 1/4 × 0.709", "A120", "12", "3' 4 1/2\" × 18 mm"] {
            assert!(all.contains(&whole), "{width}: {whole} in {all:?}");
        }
        if table.fits(width) {
            fitted += 1;
            assert!(placed.width <= width + 1e-6, "{width}: {}", placed.width);
            for whole in ["PARTS", "PART", "QTY", "SIZE", "stretcher"] {
                assert!(all.iter().any(|t| t.split(' ').any(|w| w == whole)), "{width}: {whole} in {all:?}");
            }
        }
    }
    // The size alone takes more than 30 mm in capitals 2.5 high, and a hundred hold all that is written here.
    assert!(!table.fits(30.0) && table.fits(100.0) && fitted < 110, "{fitted}");
}

/// A word of letters alone is no number: where no paper is wide enough it is broken, so that the row is not lost.
#[test]
fn a_word_that_no_paper_holds_is_broken() {
    let mut table = schedule();
    table.rows.push(vec![
        Cell::new("B1"),
        Cell::new("x".repeat(60)),
        Cell::new("1"),
        Cell::new("18 × 18 × 18"),
    ]);
    assert!(!table.fits(100.0));
    let placed = table.placed((0.0, 0.0), 100.0);
    assert!(placed.width <= 100.0 + 1e-6, "{}", placed.width);
    assert!(texts(&placed).contains(&"18 × 18 × 18"));
}

fn words(sheet: &Sheet) -> Vec<&str> {
    let all = sheet.groups.iter().flat_map(|g| &g.marks);
    all.filter_map(|m| if let Mark::Text(text) = m { Some(text.text.as_str()) } else { None }).collect()
}

/// Every part stands with its whole size on the arrangement and the assembly, or on the sheets that go on
/// from each, or on the cover where it says so, and no such sheet is begun for a few rows while the sheet before has room for them.
#[test]
fn a_long_schedule_is_whole_on_every_sheet() {
    for (paper, practice, frame) in
        [("Tabloid", Practice::Asme, Paper::Tabloid), ("A4", Practice::Iso, Paper::A4)]
    {
        let made = map_room(&if practice == Practice::Iso {
            format!("{paper}, practice: iso")
        } else {
            paper.to_owned()
        });
        let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
        write(&format!("map-room-{paper}"), &sheets);
        let frame = Frame::new(frame, practice);
        let bad: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
        assert_eq!(bad, Vec::<String>::new(), "{paper}: {}", bad.join("\n"));
        let figures = Figures::of(&made.job.sheets);
        for kind in ["maps-arrangement", "maps-assembly"] {
            let of: Vec<&Sheet> = sheets.iter().filter(|s| s.name.contains(kind)).collect();
            let mut all: Vec<&str> = of.iter().flat_map(|s| words(s)).collect();
            assert!(!of.is_empty(), "{paper}: {kind}");
            // Where the views are drawn larger without it, the schedule stands on the cover, and they say so.
            if all.contains(&"PARTS: see the cover") {
                all.extend(sheets.iter().filter(|s| s.name.contains("cover")).flat_map(words));
            }
            for part in &made.parts {
                let size = [part.width, part.height, part.thick].map(|l| figures.figure(l)).join(" × ");
                assert!(all.contains(&size.as_str()), "{paper}, {kind}: {size}");
                // In the schedule, and but for A4 in a balloon somewhere.
                assert!(all.contains(&part.mark.as_str()), "{paper}, {kind}: {}", part.mark);
            }
            // Forty rows at most: thirty in the column, the others beside the title block.
            assert!(paper == "A4" || of.len() == 1, "{paper}: {kind} on {} sheets", of.len());
        }
    }
}
