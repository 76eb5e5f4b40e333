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
    rack_of("ply", 18, shops, package)
}

fn rack_of(ply: &str, thick: u32, shops: &str, package: Option<Package>) -> Built {
    let let_in = thick - 6;
    let spec = format!(
        "job: {{number: R-1, revision: B}}
units: mm
shop: {{kerf: 6, cutting_shops: {{{shops}}}}}
stock:
  {ply}: {{sheet: [1220, 2440], thick: {thick}}}
assemblies:
  rack:
    parts:
      side: {{stock: {ply}, faces: side, count: 2, left: (i - 1) * 482 mm, front: 0, depth: 300, bottom: 0, height: 400, grain: up, held_by: floor}}
      shelf: {{stock: {ply}, faces: up, left: {let_in}, right: 488, front: 0, depth: 300, bottom: 200, grain: across}}
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

/// Corner values (group codes 10 and 20) of every closed line of a file, by layer; a corner of a line, not a circle's middle.
fn lines(bytes: &[u8]) -> Vec<(String, Vec<(f64, f64)>)> {
    let mut all: Vec<(String, Vec<(f64, f64)>)> = Vec::new();
    let mut open = false;
    for (code, value) in pairs(bytes) {
        match code {
            0 => {
                open = value == "LWPOLYLINE";
                if open {
                    all.push((String::new(), Vec::new()));
                }
            }
            8 if open => all.last_mut().expect("a line").0 = value,
            10 if open => all.last_mut().expect("a line").1.push((value.trim().parse().expect("x"), 0.0)),
            20 if open => {
                all.last_mut().expect("a line").1.last_mut().expect("a corner").1 =
                    value.trim().parse().expect("y");
            }
            _ => {}
        }
    }
    all
}

/// Lowest and highest corner over the lines on layers that begin so; what runs straight is bounded by its corners.
fn bounds(bytes: &[u8], layers: &[&str]) -> [f64; 4] {
    let all = lines(bytes);
    let on = all.iter().filter(|(layer, _)| layers.iter().any(|wanted| layer.starts_with(wanted)));
    on.flat_map(|(_, corners)| corners).fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |b, (x, y)| {
        [b[0].min(*x), b[1].min(*y), b[2].max(*x), b[3].max(*y)]
    })
}

fn side<'a>(built: &'a Built, shop: &str) -> &'a [u8] {
    let file = built
        .files
        .iter()
        .find(|file| file.name.starts_with(&format!("dxf/{shop}/")) && file.name.contains("rack-side-1"));
    &file.expect("a side").bytes
}

fn near(found: [f64; 4], wanted: [f64; 4]) -> bool {
    found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6)
}

/// The side is 300 by 400; its housing runs out by 3.05 at both edges, so that all that is cut is 306.1 by 400. With the grain
/// along x it lies turned: 400 by 300, the housing from −3.05 to 303.05 upwards.
#[test]
fn zero_lies_where_the_shop_wants_it() {
    let shops = "corner: {bit: 6, relief: dog_bone, origin: lower_left}, middle: {bit: 6, relief: dog_bone, origin: centre}, \
                 turned: {bit: 6, relief: dog_bone, origin: lower_left, grain: x}, plain: {bit: 6, relief: dog_bone}";
    let built = rack(shops, None);
    let cut = ["OUTSIDE", "POCKET"];
    let corner = side(&built, "corner");
    assert!(near(bounds(corner, &cut), [0.0, 0.0, 306.1, 400.0]), "{:?}", bounds(corner, &cut));
    assert!(near(bounds(corner, &["OUTSIDE"]), [3.05, 0.0, 303.05, 400.0]));
    assert!(near(bounds(side(&built, "middle"), &["OUTSIDE"]), [-150.0, -200.0, 150.0, 200.0]));
    let turned = side(&built, "turned");
    assert!(near(bounds(turned, &["OUTSIDE"]), [0.0, 3.05, 400.0, 303.05]), "{:?}", bounds(turned, &cut));
    assert!(near(bounds(turned, &cut), [0.0, 0.0, 400.0, 306.1]));
    assert!(near(bounds(side(&built, "plain"), &["OUTSIDE"]), [0.0, 0.0, 300.0, 400.0]));
}

/// R12 has no unit inside, so that each of its files tells it, the coupon's too.
#[test]
fn every_name_in_r12_tells_the_unit() {
    let built = rack("millyard: {version: r12, units: inch, bit: 1/4\"}", None);
    let names: Vec<&str> =
        files(&built).into_keys().filter(|name| name.starts_with("dxf/millyard/")).collect();
    assert!(names.contains(&"dxf/millyard/coupon-ply_inch.dxf"), "{names:?}");
    for name in names.iter().filter(|name| name.ends_with(".dxf")) {
        let stem = name.trim_end_matches(".dxf");
        assert!(stem.split('_').any(|piece| piece == "inch"), "{name}");
    }
}

/// 6.35 mm, 2 mm, 0.1 mm and 0.003 mm in inches, to four decimals: 0.25, 0.0787, 0.0039, 0.0001.
#[test]
fn the_report_of_an_inch_shop_is_in_inches() {
    let built = rack("millyard: {units: inch, bit: 1/4\", relief: dog_bone}", None);
    let report = String::from_utf8(files(&built)["dxf/millyard/REPORT.txt"].to_vec()).expect("text");
    for wanted in ["0.25 inch", "thinner than 0.0787 inch", "0.0039 inch wider", "shorter than 0.0001 inch"] {
        assert!(report.contains(wanted), "no `{wanted}` in\n{report}");
    }
    let own: Vec<&str> = report.split_whitespace().filter(|word| *word == "mm").collect();
    assert!(own.is_empty(), "millimetres in\n{report}");
}

/// Words, the square and the edge of the sheet may share a layer; each is told of it, in REPORT and in job.json.
#[test]
fn a_layer_that_is_shared_keeps_all_that_lies_on_it() {
    let built = rack(
        "millyard: {parts: nested, bit: 6, layers: {text: NOT_CUT, reference: NOT_CUT, sheet: NOT_CUT}}",
        None,
    );
    let files = files(&built);
    let job: serde_json::Value = serde_json::from_slice(files["job.json"]).expect("JSON");
    let layers = job["cutting"][0]["layers"].as_array().expect("layers");
    let on: Vec<&str> = layers
        .iter()
        .filter(|layer| layer["layer"] == "NOT_CUT")
        .map(|layer| layer["operation"].as_str().expect("a word"))
        .collect();
    assert_eq!(on, ["text", "reference", "sheet"]);
    let report = String::from_utf8(files["dxf/millyard/REPORT.txt"].to_vec()).expect("text");
    assert_eq!(report.lines().filter(|line| line.starts_with("NOT_CUT ")).count(), 3, "{report}");
}

/// Both ends of every LINE of a file (codes 10, 20, 11, 21).
fn marks(bytes: &[u8]) -> Vec<[f64; 4]> {
    let mut all = Vec::new();
    let mut open = false;
    for (code, value) in pairs(bytes) {
        let column = match code {
            0 => {
                open = value == "LINE";
                if open {
                    all.push([0.0; 4]);
                }
                continue;
            }
            10 => 0,
            20 => 1,
            11 => 2,
            21 => 3,
            _ => continue,
        };
        if open {
            all.last_mut().expect("a line")[column] = value.trim().parse().expect("a number");
        }
    }
    all
}

/// The side has 0.12 m², the shelf 0.1428 m²: only the side lies below 0.13 m². Its outline is 1400 mm long, which is 3 tabs for each
/// begun 500 mm. Tabs of 8 stay 8 from each corner, so that the runs are 284 (front to back) and 384 (upright) long. The housing runs
/// across from 200 to 218 at its show or back face and meets both upright edges, 8 away from it no tab: these fall into 8 to 192 (184)
/// and 226 to 392 (166). In turn the runs 284 at the bottom, 284 at the top and 184 of the right edge take one each, in their middles:
/// 150, 150 and 100 up.
#[test]
fn tabs_lie_where_they_can_be_reckoned() {
    let shops = "millyard: {bit: 6, tabs: {width: 8, height: 1.5, below: 0.13 m2, every: 500}}, riverside: {bit: 6, tabs: no}";
    let built = rack(shops, None);
    let found = marks(side(&built, "millyard"));
    assert_eq!(
        found,
        [[146.0, 0.0, 154.0, 0.0], [300.0, 96.0, 300.0, 104.0], [154.0, 400.0, 146.0, 400.0]],
        "counter-clockwise from the datum"
    );
    let side = pairs(side(&built, "millyard"));
    assert!(side.contains(&(8, "TAB_1.5MM".into())));
    assert_eq!(marks(self::side(&built, "riverside")), [] as [[f64; 4]; 0]);
    let files = files(&built);
    let report = String::from_utf8(files["dxf/millyard/REPORT.txt"].to_vec()).expect("text");
    assert!(report.contains("TABS 8 mm wide and 1.5 mm high, on parts under 0.1300 m2"), "{report}");
    let shelf = files
        .iter()
        .find(|(name, _)| name.starts_with("dxf/millyard/") && name.contains("shelf"))
        .expect("a shelf");
    assert!(marks(shelf.1).is_empty(), "large parts hold themselves");
    let job: serde_json::Value = serde_json::from_slice(files["job.json"]).expect("JSON");
    let counts: Vec<u64> = job["cutting"][0]["files"]
        .as_array()
        .expect("files")
        .iter()
        .flat_map(|file| file["parts"].as_array().expect("parts"))
        .map(|part| part["tabs"].as_u64().expect("a count"))
        .collect();
    assert_eq!(counts, [3, 3, 0]);
    let layer = job["cutting"][0]["layers"]
        .as_array()
        .expect("layers")
        .iter()
        .find(|layer| layer["operation"] == "tab");
    assert_eq!(layer.expect("a layer")["height_mm"], 1.5);
}

/// What is engraved stays on its board however long the stock's name is; where a dog-bone has no room in the notch of 15.9 for the bit
/// of 12 (two times √2 · 6.05 is 17.1), the coupon and the report say what was done instead.
#[test]
fn a_coupon_holds_its_letters_and_says_how_it_is_relieved() {
    let name = "birch_plywood_b_bb_interior_glue_from_the_yard_at_the_mill";
    let built = rack_of(name, 16, "millyard: {bit: 12, relief: dog_bone}", None);
    let files = files(&built);
    let coupon = files[format!("dxf/millyard/coupon-{name}.dxf").as_str()];
    let all = lines(coupon);
    let boards: Vec<&Vec<(f64, f64)>> =
        all.iter().filter(|(layer, _)| layer == "OUTSIDE_THROUGH").map(|(_, corners)| corners).collect();
    let right = |corners: &[(f64, f64)]| corners.iter().fold(f64::MIN, |most, (x, _)| most.max(*x));
    let left = |corners: &[(f64, f64)]| corners.iter().fold(f64::MAX, |least, (x, _)| least.min(*x));
    let (board, tongue) = (boards[0], boards[1]);
    let letters = all.iter().filter(|(layer, _)| layer == "ENGRAVE_LABEL").map(|(_, corners)| corners);
    for letter in letters {
        let on_board = left(letter) > 0.0 && right(letter) < right(board);
        assert!(on_board || left(letter) > left(tongue) && right(letter) < right(tongue), "{letter:?}");
    }
    let report = String::from_utf8(files["dxf/millyard/REPORT.txt"].to_vec()).expect("text");
    assert!(report.contains("corners of the notches relieved into their long walls (T-bone)"), "{report}");
    assert!(String::from_utf8_lossy(coupon).contains("relieved into their long walls"));
}

/// The archive tells no system but one, whatever it is made on: the upper byte of "version made by" is 3, which is UNIX
/// (APPNOTE 4.4.2.2). The central directory's entries begin with PK 01 02.
#[test]
fn the_archive_tells_one_system() {
    let built = rack("millyard: {bit: 6}", Some(Package::Cnc));
    let files = files(&built);
    let bytes = files["R-1-millyard-B.zip"];
    let entries: Vec<u8> =
        bytes.windows(6).filter(|six| six.starts_with(b"PK\x01\x02")).map(|six| six[5]).collect();
    assert!(!entries.is_empty() && entries.iter().all(|system| *system == 3), "{entries:?}");
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
