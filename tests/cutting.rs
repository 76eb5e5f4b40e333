//! What cutting shops are sent, from a spec to bytes. The samples' files are read back with other people's programs in
//! `tests/outside/dxf_files.py`; here is what needs no reader.

use std::collections::BTreeMap;

use tickstick::spec::{SourceError, Sources};
use tickstick::{Built, Options, Package, build};

struct OneText(String);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "spec.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
    }
}

/// Two sides of 18 mm with a shelf let into them 6 mm deep.
fn rack(shops: &str, package: Option<Package>) -> Built {
    let spec = format!(
        "job: {{number: R-1, revision: B}}
units: mm
shop: {{kerf: 6, cutting_shops: {{{shops}}}}}
stock:
  ply: {{sheet: [1220, 2440], thick: 18}}
assemblies:
  rack:
    parts:
      side: {{stock: ply, faces: side, count: 2, left: (i - 1) * 482 mm, front: 0, depth: 300, bottom: 0, height: 400, grain: up, held_by: floor}}
      shelf: {{stock: ply, faces: up, left: 12, right: 488, front: 0, depth: 300, bottom: 200, grain: across}}
    joints:
      - {{house: shelf, in: side}}
"
    );
    let options = Options { files: true, package, ..Options::default() };
    let built = build(&OneText(spec), "spec.yaml", &options);
    assert!(built.diagnostics.is_empty(), "{:?}", built.diagnostics);
    built
}

fn files(built: &Built) -> BTreeMap<&str, &[u8]> {
    built.files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect()
}

/// Group codes and values of a DXF file.
fn pairs(bytes: &[u8]) -> Vec<(i32, String)> {
    let text = std::str::from_utf8(bytes).expect("text");
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|two| (two[0].trim().parse().expect("a code"), two[1].to_owned())).collect()
}

#[test]
fn without_a_shop_there_is_one_plain_set() {
    let built = rack("", None);
    let files = files(&built);
    let dxf: Vec<&&str> = files.keys().filter(|name| name.starts_with("dxf/")).collect();
    assert_eq!(
        dxf,
        [
            &"dxf/R-1_rack-shelf_ply_18mm_x1_revB.dxf",
            &"dxf/R-1_rack-side-1_ply_18mm_x1_revB.dxf",
            &"dxf/R-1_rack-side-2_ply_18mm_x1_revB.dxf"
        ]
    );
    let side = pairs(files["dxf/R-1_rack-side-1_ply_18mm_x1_revB.dxf"]);
    assert!(side.contains(&(1, "AC1015".into())), "R2000");
    for layer in ["OUTSIDE_THROUGH", "TEXT_NOT_CUT"] {
        assert!(side.contains(&(8, layer.into())), "{layer}");
    }
    assert!(!side.iter().any(|(code, value)| *code == 8 && value == "REFERENCE_NOT_CUT"));
}

/// R12 has no subclass markers (100), no light polylines, closed flags in 70 of the POLYLINE, and corners on its layer.
#[test]
fn r12_is_r12() {
    let built = rack("millyard: {version: r12, bit: 6, relief: dog_bone}", None);
    let files = files(&built);
    let name = files.keys().find(|name| name.contains("rack-side-1")).expect("a side");
    assert!(name.contains("_mm_"), "the unit stands in the name: {name}");
    let pairs = pairs(files[name]);
    assert!(pairs.contains(&(1, "AC1009".into())));
    assert!(pairs.iter().all(|(code, value)| *code != 100 && value != "LWPOLYLINE"));
    let mut layer = String::new();
    let (mut kind, mut lines, mut corners) = (String::new(), 0, 0);
    for (code, value) in &pairs {
        match code {
            0 => kind.clone_from(value),
            8 if kind == "POLYLINE" => layer.clone_from(value),
            8 if kind == "VERTEX" => {
                corners += 1;
                assert_eq!(value, &layer);
            }
            70 if kind == "POLYLINE" => {
                lines += 1;
                assert_eq!(value.trim().parse::<i32>().expect("flags") & 1, 1, "closed");
            }
            _ => {}
        }
    }
    // The outline, one housing and the square, four corners each; the housing runs out at both edges and needs no relief.
    assert_eq!((lines, corners), (3, 12));
    assert!(pairs.contains(&(8, "POCKET_BACK_6MM".into())) || pairs.contains(&(8, "POCKET_SHOW_6MM".into())));
}

/// A housing of 18 that is open at front and back is carried 3.05 mm, half the bit and the lobe's looseness, past both edges:
/// 300 + 2 · 3.05 long, and its width stays.
#[test]
fn an_open_housing_runs_out_at_the_edge() {
    let built = rack("millyard: {bit: 6, relief: dog_bone}", None);
    let files = files(&built);
    let name = files.keys().find(|name| name.contains("rack-side-1")).expect("a side");
    let pairs = pairs(files[name]);
    let first =
        pairs.iter().position(|(code, value)| *code == 8 && value.starts_with("POCKET")).expect("a pocket");
    // The layer is declared in TABLES with code 2; code 8 is the entity.
    let end = pairs[first..].iter().position(|(code, _)| *code == 0).expect("an end");
    let along = |code: i32| {
        let all = pairs[first..first + end].iter().filter(|(c, _)| *c == code);
        let all: Vec<f64> = all.map(|(_, value)| value.trim().parse().expect("a number")).collect();
        all.iter().fold(f64::MIN, |a, b| a.max(*b)) - all.iter().fold(f64::MAX, |a, b| a.min(*b))
    };
    assert!(
        (along(10) - 306.1).abs() < 1e-6 && (along(20) - 18.0).abs() < 1e-6,
        "{} {}",
        along(10),
        along(20)
    );
}

#[test]
fn the_archive_has_everything_and_the_same_bytes() {
    let shops = "millyard: {bit: 6}, riverside: {parts: nested, units: inch, bit: 1/8\"}";
    let (one, two) = (rack(shops, Some(Package::Cnc)), rack(shops, Some(Package::Cnc)));
    let (one, two) = (files(&one), files(&two));
    for shop in ["millyard", "riverside"] {
        let name = format!("R-1-{shop}-B.zip");
        assert!(one[name.as_str()] == two[name.as_str()], "{name}");
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(one[name.as_str()])).expect("an archive");
        let mut held = BTreeMap::new();
        for index in 0..archive.len() {
            let mut entry = archive.by_index(index).expect("an entry");
            let mut bytes = Vec::new();
            std::io::Read::read_to_end(&mut entry, &mut bytes).expect("read");
            held.insert(entry.name().expect("a name").into_owned(), bytes);
        }
        assert!(held.remove("parts.pdf").expect("a page").starts_with(b"%PDF"));
        let folder = format!("dxf/{shop}/");
        let sent = one.iter().filter_map(|(name, bytes)| Some((name.strip_prefix(folder.as_str())?, *bytes)));
        let sent: BTreeMap<String, Vec<u8>> =
            sent.map(|(name, bytes)| (name.to_owned(), bytes.to_vec())).collect();
        assert_eq!(held.keys().collect::<Vec<_>>(), sent.keys().collect::<Vec<_>>());
        assert!(held == sent, "{shop}: what lies in the folder and what is packed differ");
    }
    assert!(one.keys().all(|name| !name.ends_with(".zip") || name.starts_with("R-1-")));
}

/// Side 0.3 by 0.4 m: 0.12 m², 1.4 m round; shelf 476 by 300 mm: 0.1428 m², 1.552 m. Together 0.3828 m² and 4.352 m.
#[test]
fn the_report_adds_up() {
    let built = rack("millyard: {bit: 6}", None);
    let report = String::from_utf8(files(&built)["dxf/millyard/REPORT.txt"].to_vec()).expect("text");
    for wanted in [
        "0.1200  1.400",
        "0.1428  1.552",
        "3  0.3828  4.352",
        "1 x 6 deep",
        "ply: notches 17.9, 18, 18.1 mm wide",
    ] {
        assert!(report.contains(wanted), "no `{wanted}` in\n{report}");
    }
}
