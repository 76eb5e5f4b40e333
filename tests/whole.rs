//! The whole walk, from YAML to files: same input, same bytes (I2); templates sound over their parameters (I5); whatever
//! fails leaves nothing behind.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use tickstick::cli::report;
use tickstick::spec::{SourceError, Sources};
use tickstick::{Built, Options, build};

/// A folder of the repository.
struct Folder(PathBuf);

impl Sources for Folder {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        std::fs::read_to_string(self.0.join(path)).map_err(|_| SourceError::NotFound)
    }
}

struct OneText(String);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "spec.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
    }
}

fn samples() -> Folder {
    Folder(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples"))
}

fn made(sources: &dyn Sources, name: &str, settings: &[(&str, &str)]) -> Built {
    let settings = settings.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
    build(sources, name, &Options { settings, files: true, ..Options::default() })
}

fn by_name(built: &Built) -> BTreeMap<&str, &[u8]> {
    built.files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect()
}

fn told(built: &Built) -> String {
    report::text(&built.diagnostics, &built.texts, "")
}

fn job(built: &Built) -> serde_json::Value {
    let file = built.files.iter().find(|file| file.name == "job.json").expect("job.json is made");
    serde_json::from_slice(&file.bytes).expect("job.json is JSON")
}

#[test]
fn the_same_spec_gives_the_same_bytes_twice_and_from_another_folder() {
    let elsewhere = tempfile::tempdir().expect("a folder");
    for name in ["listening-nook.yaml", "larder.yaml", "shop.yaml"] {
        std::fs::copy(samples().0.join(name), elsewhere.path().join(name)).expect("copied");
    }
    for name in ["listening-nook.yaml", "larder.yaml"] {
        let first = made(&samples(), name, &[]);
        assert_eq!(told(&first), "", "{name} is silent");
        let again = made(&samples(), name, &[]);
        let moved = made(&Folder(elsewhere.path().to_owned()), name, &[]);
        for (other, how) in [(&again, "again"), (&moved, "from another folder")] {
            let (first, other) = (by_name(&first), by_name(other));
            assert_eq!(first.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>(), "{how}");
            for (file, bytes) in &first {
                assert!(bytes == &other[file], "{name}: {file} differs {how}");
            }
        }
    }
}

#[test]
fn every_kind_of_file_is_made() {
    let built = made(&samples(), "listening-nook.yaml", &[]);
    let files = by_name(&built);
    assert!(files["drawings.pdf"].starts_with(b"%PDF-1.7"));
    assert!(files.contains_key("lists/parts.csv"));
    let job = job(&built);
    for part in job["parts"].as_array().expect("parts") {
        let dxf = part["dxf"].as_str().expect("a path");
        assert!(files.contains_key(dxf), "{dxf}");
        // Small parts share a sheet: each is a group of its own there.
        let view = format!("id=\"{}-view\"", part["id"].as_str().expect("an id"));
        let shows = |bytes: &[u8]| bytes.windows(view.len()).any(|piece| piece == view.as_bytes());
        let sheet = files.iter().find(|(name, bytes)| name.starts_with("sheets/") && shows(bytes));
        assert!(sheet.is_some(), "no sheet of {}", part["id"]);
    }
}

/// A width that the caliper reads goes through everything: five bays and six boards of the stock fill the bench.
#[test]
fn thickness_and_bays_are_followed_by_everything() {
    for (bays, thick_mm) in [("5", 0.709 * 25.4), ("4", 0.709 * 25.4)] {
        let built = made(&samples(), "listening-nook.yaml", &[("bench.bays", bays)]);
        assert_eq!(told(&built), "", "{bays} bays");
        let job = job(&built);
        let boards = job["boards"].as_array().expect("boards");
        let at = |name: &str, side: &str| {
            let board = boards.iter().find(|b| b["name"] == name).unwrap_or_else(|| panic!("{name}"));
            board[side][0].as_f64().expect("a number")
        };
        let count: usize = bays.parse().expect("a count");
        // 77 inches less one board for each bay and one more, shared out.
        let bay = (77.0 * 25.4 - (count as f64 + 1.0) * thick_mm) / count as f64;
        let mut last = at("bench.end_left", "high_mm");
        for divider in 1..count {
            let name = format!("bench.divider[{divider}]");
            assert!((at(&name, "low_mm") - last - bay).abs() < 1e-4, "{name}");
            last = at(&name, "high_mm");
        }
        assert!((at("bench.end_right", "low_mm") - last - bay).abs() < 1e-4);
        let divider = job["parts"].as_array().expect("parts").iter().find(|p| p["name"] == "divider");
        let divider = divider.expect("the dividers are one part");
        assert_eq!(divider["quantity"], count - 1);
    }
}

/// The actual thickness is entered once; slots follow it: a notch is as wide as the stock and the fit on each bearing side.
#[test]
fn the_notch_follows_the_caliper() {
    let shop = std::fs::read_to_string(samples().0.join("shop.yaml")).expect("the shop's file");
    let nook = std::fs::read_to_string(samples().0.join("listening-nook.yaml")).expect("the sample");
    for thick in ["0.688\"", "0.709\"", "0.750\""] {
        // The 23/32 category of plywood runs from 0.688 to 0.750 in (PS 1-19, via APA).
        let folder = tempfile::tempdir().expect("a folder");
        let changed = shop.replace("thick: 0.709\"", &format!("thick: {thick}"));
        std::fs::write(folder.path().join("shop.yaml"), changed).expect("written");
        std::fs::write(folder.path().join("nook.yaml"), &nook).expect("written");
        let built = made(&Folder(folder.path().to_owned()), "nook.yaml", &[]);
        assert!(!built.files.is_empty(), "{thick}: {}", told(&built));
        let job = job(&built);
        let parts = job["parts"].as_array().expect("parts");
        let divider = parts.iter().find(|p| p["name"] == "divider").expect("a divider");
        let xs: Vec<f64> =
            divider["outline"].as_array().expect("corners").iter().map(|v| v[0].as_f64().unwrap()).collect();
        let inch: f64 = thick.trim_end_matches('"').parse().expect("a number");
        let wanted = (inch + 2.0 * 0.005) * 25.4;
        let middle = xs.iter().any(|a| xs.iter().any(|b| (b - a - wanted).abs() < 1e-4));
        assert!(middle, "{thick}: no two corners {wanted} apart in {xs:?}");
    }
}

const STOCK: &str = r#"
stock:
  carcass: {sheet: [1220 mm, 3660 mm], thick: THICK mm}
  frame: {board: yes, thick: 20 mm, glue_up: yes}
  back_panel: {sheet: [1220 mm, 3660 mm], thick: 6 mm}
  seat: {board: yes, thick: 32 mm, glue_up: yes}
"#;

fn template(thick: i64, name: &str, with: &str) -> Built {
    let stock = STOCK.replace("THICK", &format!("{}.{}", thick / 10, thick % 10));
    let text = format!("units: mm\n{stock}assemblies:\n  it:\n    template: {name}\n    with: {{{with}}}\n");
    made(&OneText(text), "spec.yaml", &[])
}

/// Faults of space and holding: what no parameter of a template may bring about.
fn unsound(built: &Built) -> Vec<&'static str> {
    let never = ["clash", "loose-board", "gap-at-butt", "joint-does-not-meet", "unwritable"];
    built.diagnostics.iter().map(|d| d.check).filter(|check| never.contains(check)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_bench_is_sound_whatever_its_size(
        bays in 1_i64..8, bay in 250_i64..450, thick in 150_i64..220, depth in 350_i64..550,
        seat in 400_i64..520, fit in 0_i64..3, stretcher in 50_i64..90,
    ) {
        let width = bays * bay + (bays + 1) * 20;
        let built = template(thick, "bay-bench", &format!(
            "width: {width}, bays: {bays}, depth: {depth}, seat_height: {seat}, fit: 0.{fit}, stretcher: {stretcher}"
        ));
        prop_assert!(unsound(&built).is_empty(), "{}", told(&built));
        prop_assert!(!built.files.is_empty(), "{}", told(&built));
    }

    #[test]
    fn shelves_are_sound_whatever_their_size(
        shelves in 0_i64..7, uprights in 0_i64..3, width in 500_i64..1200, height in 1500_i64..2300,
        thick in 160_i64..220, arch in 0_i64..60, stop in 0_i64..30,
    ) {
        let built = template(thick, "shelf-bay", &format!(
            "width: {width}, height: {height}, shelves: {shelves}, uprights: {uprights}, arch: {arch}, stop: {stop}"
        ));
        prop_assert!(unsound(&built).is_empty(), "{}", told(&built));
        prop_assert!(!built.files.is_empty(), "{}", told(&built));
    }

    #[test]
    fn panelling_is_sound_whatever_its_size(panels in 1_i64..8, panel in 200_i64..600, height in 400_i64..1200) {
        let width = panels * panel;
        let built = template(180, "panel-wall", &format!("width: {width}, height: {height}, panels: {panels}"));
        prop_assert!(unsound(&built).is_empty(), "{}", told(&built));
        prop_assert!(!built.files.is_empty(), "{}", told(&built));
    }
}

/// Two boards that are one part, each with a note of its own: the sheet says which note is whose.
#[test]
fn a_note_for_one_of_two_equal_boards_names_it() {
    let spec = r#"
stock: {ply: {sheet: [48", 96"], thick: 3/4"}}
assemblies:
  table:
    parts:
      top: {stock: ply, faces: up, left: 0, right: 30", front: 0, back: 20", bottom: 3/4", held_by: floor}
      strip_front: {stock: ply, faces: up, left: 0, right: 30", front: 0, back: 3", bottom: 0, held_by: floor}
      strip_back: {stock: ply, faces: up, left: 0, right: 30", front: 17", back: 20", bottom: 0, held_by: floor}
    joints:
      - {butt: top, against: strip_front, fix: glue, note: glued first}
      - {butt: top, against: strip_back, fix: glue, note: glued last}
"#;
    let built = made(&OneText(spec.to_owned()), "spec.yaml", &[]);
    assert!(!built.files.is_empty(), "{}", told(&built));
    let sheets = built.files.iter().filter(|file| file.name.ends_with(".svg"));
    let text: String = sheets.map(|file| String::from_utf8_lossy(&file.bytes)).collect();
    assert!(text.contains("table.strip_front only, butt with table.top"), "strip_front");
    assert!(text.contains("table.strip_back only, butt with table.top"), "strip_back");
}

/// What a spec says in a `note:` is read on paper: that of an assembly, a part, a cut-out, a hole or a joint.
#[test]
fn every_note_is_on_some_sheet() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let noted = |file: &str| {
        let text = std::fs::read_to_string(root.join(file)).expect("the file");
        let after: Vec<String> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with('#'))
            .filter_map(|line| line.split_once("note: ").map(|(_, note)| note.trim().to_owned()))
            .map(|note| match note.strip_prefix('\'') {
                Some(quoted) => quoted.split('\'').next().expect("a text").to_owned(),
                None => note,
            })
            .collect();
        after
    };
    let squeezed = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    let mut counted = 0;
    for (job, files) in [
        (
            "listening-nook.yaml",
            &["samples/listening-nook.yaml", "templates/bay-bench.yaml", "templates/panel-wall.yaml"][..],
        ),
        ("larder.yaml", &["samples/larder.yaml", "templates/shelf-bay.yaml"][..]),
    ] {
        let built = made(&samples(), job, &[]);
        let sheets = built.files.iter().filter(|file| file.name.starts_with("sheets/"));
        let words: String = sheets
            .flat_map(|file| {
                let text = std::str::from_utf8(&file.bytes).expect("SVG is text").split('<');
                text.filter_map(|piece| piece.split_once('>'))
                    .map(|(_, text)| squeezed(text))
                    .collect::<Vec<_>>()
            })
            .collect();
        for note in files.iter().flat_map(|file| noted(file)) {
            assert!(words.contains(&squeezed(&note)), "{job}: `{note}` is on no sheet");
            counted += 1;
        }
    }
    assert!(counted >= 3, "{counted} notes");
}
