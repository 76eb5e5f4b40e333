//! Boards, cutting order and buying list: measures against published figures, and what must hold for any job.

use std::collections::BTreeMap;
use std::path::Path;

use num_rational::Ratio;
use proptest::prelude::*;
use serde_json::Value;
use tickstick::cli::report;
use tickstick::length::{Length, Units};
use tickstick::parts::PartId;
use tickstick::plans::boards::{Sold, Strip};
use tickstick::plans::lanes::{Wanted, lay_out};
use tickstick::plans::quantity;
use tickstick::spec::{SourceError, Sources};
use tickstick::trade::money::{self, Money};
use tickstick::wood::measure::{GRADES, usual_waste};
use tickstick::wood::spread::SPREADS;
use tickstick::{Built, Options, build};

struct Folder(std::path::PathBuf);

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

pub fn sample(name: &str) -> Built {
    let folder = Folder(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples"));
    build(&folder, name, &Options { settings: Vec::new(), files: true, ..Options::default() })
}

pub fn made(text: &str) -> Built {
    build(
        &OneText(text.to_owned()),
        "spec.yaml",
        &Options { settings: Vec::new(), files: true, ..Options::default() },
    )
}

pub fn silent(built: &Built) {
    let told = report::text(&built.diagnostics, &built.texts, "");
    assert!(told.is_empty(), "{told}");
}

pub fn job(built: &Built) -> Value {
    silent(built);
    let file = built.files.iter().find(|file| file.name == "job.json").expect("job.json is made");
    serde_json::from_slice(&file.bytes).expect("job.json is JSON")
}

pub fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

pub fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("no {key} in {value}"))
}

pub fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

pub fn csv(built: &Built, name: &str) -> Vec<BTreeMap<String, String>> {
    let file = built.files.iter().find(|file| file.name == name).expect("the list is made");
    let mut reader = csv::Reader::from_reader(file.bytes.as_slice());
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

fn inches(inches: f64) -> Length {
    Length::from_mm(inches * 25.4)
}

fn whole(number: i128) -> Ratio<i128> {
    Ratio::from_integer(number)
}

/// NHLA practice, restated: 1 × 9 × 96 in are 6 board feet, 1 1/2 × 9 × 96 are 9, 1 × 6 × 96 are 4, 2 × 6 × 60 are 5.
#[test]
fn boards_measure_what_the_trade_says() {
    for (thick, wide, long, feet) in
        [(1.0, 9.0, 96.0, 6), (1.5, 9.0, 96.0, 9), (1.0, 6.0, 96.0, 4), (2.0, 6.0, 60.0, 5)]
    {
        let found = quantity::volume(inches(thick), inches(wide), inches(long), Units::Inch);
        assert_eq!(found, Some(whole(feet)), "{thick} × {wide} × {long}");
    }
    // 50 × 200 × 2000 mm are 0.02 m³.
    let metric = quantity::volume(Length::MM * 50, Length::MM * 200, Length::MM * 2000, Units::Millimetre);
    assert_eq!(metric, Some(Ratio::new(2, 100)));
    assert_eq!(quantity::to_buy(Ratio::new(61, 10), Units::Inch), Some(whole(7)));
    assert_eq!(
        quantity::to_buy(Ratio::new(20_001, 1_000_000), Units::Millimetre),
        Some(Ratio::new(21, 1000))
    );
}

/// NHLA yields, from memory: FAS 83 1/3 % clear, No. 1 Common 66 2/3 %, No. 2A Common 50 %, No. 3A Common 33 1/3 %. Advice in the
/// trade runs from a fifth more to half more (33 % waste), which is FAS and No. 1 Common.
#[test]
fn the_grades_give_the_waste_that_is_advised() {
    let waste: BTreeMap<&str, Ratio<i128>> = GRADES.iter().map(|grade| (grade.name, grade.waste())).collect();
    assert_eq!(waste["fas"], Ratio::new(1, 5));
    assert_eq!(waste["common_1"], Ratio::new(1, 2));
    assert_eq!(waste["common_2"], whole(1));
    assert_eq!(waste["common_3"], whole(2));
    assert_eq!(usual_waste(), Ratio::new(1, 5));
    // What is ordered times the yield is what was wanted.
    for grade in GRADES {
        assert_eq!((whole(1) + grade.waste()) * Ratio::new(grade.twelfths, 12), whole(1), "{}", grade.name);
    }
}

/// Makers' tables of coverage, restated: paint 350 to 400 ft²/gal, primer 200 to 300, polyurethane 300 to 600; a stated spread is for
/// one coat, so 400 ft² in three coats take 3 gallons at 400 ft²/gal.
#[test]
fn finish_goes_as_far_as_the_tables_say() {
    let row = |kind: &str| SPREADS.iter().find(|row| row.kind == kind).expect("a kind").square_feet;
    assert_eq!([row("paint"), row("primer"), row("clear")], [[350, 400], [200, 300], [300, 600]]);
    let area = money::area("400 ft2").expect("an area");
    let spread = money::spread("400 ft2/gal").expect("a spread");
    let gallon = money::volume("1 gal").expect("a can");
    let quart = money::volume("1 qt").expect("a can");
    let cans = |coats, extra, can| tickstick::plans::buying::cans(area, coats, extra, spread, can);
    assert_eq!(cans(3, whole(0), gallon), Some(whole(3)));
    assert_eq!(cans(3, whole(0), quart), Some(whole(12)));
    // A tenth that stays in the tray makes 3.3 gallons, four cans.
    assert_eq!(cans(3, Ratio::new(1, 10), gallon), Some(whole(4)));
}

/// NIST SP 811 appendix B.8: a US gallon is 3.785 411 784 l, a square foot 0.092 903 04 m².
#[test]
fn measures_are_exact() {
    assert_eq!(money::volume("1 gal"), Some(Ratio::new(3_785_411_784, 1_000_000_000)));
    assert_eq!(money::volume("4 qt"), money::volume("1gal"));
    assert_eq!(money::volume("8 pt"), money::volume("1 gal"));
    assert_eq!(money::volume("750 ml"), Some(Ratio::new(3, 4)));
    assert_eq!(money::area("1 ft2"), Some(Ratio::new(9_290_304, 100_000_000)));
    assert_eq!(money::spread("10 m2/l"), Some(whole(10)));
    for wrong in ["", "1", "gal", "0 gal", "1 cup", "1/2 gal", "-1 l", "1e3 l"] {
        assert_eq!(money::volume(wrong), None, "{wrong}");
    }
}

#[test]
fn money_is_whole_cents_rounded_once_halves_up() {
    for (text, cents) in [("92", 9200), ("6.8", 680), ("6.80", 680), ("$14", 1400), (".05", 5), ("0", 0)] {
        assert_eq!(Money::read(text).map(Money::cents), Some(cents), "{text}");
    }
    for wrong in ["", ".", "6.805", "-1", "1,50", "1e3", "12.3.4", "99999999"] {
        assert_eq!(Money::read(wrong), None, "{wrong}");
    }
    // 0.05 × 1/2 is 2.5 cents, 3 cents; 0.05 × 49/100 is 2.45 cents, 2 cents.
    let five = Money::from_cents(5);
    assert_eq!(five.times(Ratio::new(1, 2)).map(Money::cents), Some(3));
    assert_eq!(five.times(Ratio::new(49, 100)).map(Money::cents), Some(2));
    assert_eq!(money::share("8.25%"), Some(Ratio::new(33, 400)));
    assert_eq!(money::share("20"), None);
    assert_eq!(Money::from_cents(1205).to_string(), "12.05");
}

/// A job whose every figure is worked out by hand.
const LEDGE: &str = r##"
shop: {kerf: 1/8", jointer: 6", jointing: 1/16", planing: 1/16", end_loss: 1", over_length: 1"}
stock:
  oak: {board: yes, thick: 1", rough: 5/4, random_width: [4", 8"], lengths: [6', 8'], glue_up: yes, waste: 25%, price: 8}
  bead: {board: yes, thick: 3/4", widths: 1 1/2", lengths: [8', 10'], sold: sticks, price: 1.25}
buy:
  hardware: [{item: hook, count: 3, price: 2.15}, {item: level}]
  margin: 10%
  tax: 8%
assemblies:
  ledge:
    parts:
      board: {stock: oak, faces: up, left: 0, width: 40", front: 0, depth: 18", bottom: 0, grain: across, held_by: wall}
      bead: {stock: bead, faces: front, left: 0, width: 94 1/2", front: 18", bottom: 0, height: 1 1/2", grain: across, held_by: wall}
"##;

#[test]
fn a_panel_is_glued_up_from_equal_strips_and_measured() {
    let job = job(&made(LEDGE));
    let plan = &job["board_plans"][0];
    // Random widths of 4 to 8 in, of which the jointer flattens 6 in, 5 7/8 in after jointing 1/16 in off both edges; 18 in take 4
    // strips of 4 1/2 in, cut first to 4 5/8 in × 41 in.
    let strip = &plan["strips"][0];
    assert_eq!((strip["to_a_part"].clone(), strip["quantity"].clone()), (4.into(), 4.into()));
    let size = |key: &str, inches: f64| {
        assert!((number(strip, key) - inches * 25.4).abs() < 1e-6, "{key} of {strip}");
    };
    size("width_mm", 4.5);
    size("rough_width_mm", 4.625);
    size("length_mm", 40.0);
    size("rough_length_mm", 41.0);
    // 4 × 1 1/4 × 4 5/8 × 41 / 144 = 6.584 201 board feet; a quarter more is 8.230 252.
    assert!((number(plan, "net") - 6.584_201).abs() < 1e-6, "{plan}");
    assert!((number(plan, "with_waste") - 8.230_252).abs() < 1e-6, "{plan}");
    // 94 in between end losses hold two pieces of 41 in with a cut between, 70 in only one. Two 8 ft boards at least 4 5/8 in wide:
    // 2 × 1 1/4 × 4 5/8 × 96 / 144 = 7.708 333.
    assert_eq!(list(plan, "boards").len(), 2);
    assert!((number(plan, "laid_out") - 7.708_333).abs() < 1e-6, "{plan}");
    for board in list(plan, "boards") {
        assert!((number(board, "width_mm") - 4.625 * 25.4).abs() < 1e-6, "{board}");
        assert!((number(board, "length_mm") - 96.0 * 25.4).abs() < 1e-6, "{board}");
        let pieces = list(&board["lanes"][0], "pieces");
        let from: Vec<f64> = pieces.iter().map(|piece| number(piece, "from_mm")).collect();
        // From the end: 1 in lost; the next after 41 in and a cut of 1/8 in.
        assert!((from[0] - 25.4).abs() < 1e-9 && (from[1] - 42.125 * 25.4).abs() < 1e-9, "{from:?}");
        assert!((number(&board["lanes"][0], "offcut_mm") - (94.0 - 82.25) * 25.4).abs() < 1e-6, "{board}");
    }
}

/// Common practice: no joint in a run where one length reaches, and one stick to spare.
#[test]
fn one_length_that_reaches_is_never_joined() {
    let job = job(&made(LEDGE));
    let plan = &job["board_plans"][1];
    assert_eq!(text(plan, "sold"), "sticks");
    let is = |value: &Value, key: &str, inches: f64| {
        assert!((number(value, key) - inches * 25.4).abs() < 1e-6, "{key} of {value}");
    };
    // This shop leaves 1 in on a length: 95 1/2 in come out of an 8 ft stick.
    is(&plan["strips"][0], "rough_length_mm", 95.5);
    is(&plan["boards"][0], "length_mm", 96.0);
    assert_eq!(list(plan, "spare_mm").len(), 1);
    // Without a word from the shop a couple of inches are left on each piece (common practice): 96 1/2 in take a 10 ft stick.
    let usual = self::job(&made(&LEDGE.replace(", over_length: 1\"", "")));
    is(&usual["board_plans"][1]["strips"][0], "rough_length_mm", 96.5);
    is(&usual["board_plans"][1]["boards"][0], "length_mm", 120.0);
    // 119 1/2 in of a longest stick of 120 in: half an inch is all there is to leave on, and it is still one piece of one stick.
    let long = LEDGE.replace("94 1/2\"", "119 1/2\"");
    let plan = &self::job(&made(&long))["board_plans"][1];
    is(&plan["strips"][0], "rough_length_mm", 120.0);
    assert_eq!(list(plan, "boards").len(), 1);
    // Longer than every stick is a fault, not a joint.
    let built = made(&LEDGE.replace("94 1/2\"", "120 1/2\""));
    assert_eq!(built.diagnostics.iter().map(|d| d.check).collect::<Vec<_>>(), ["part-larger-than-stock"]);
}

#[test]
fn the_sums_of_the_buying_list_add_up() {
    let built = made(LEDGE);
    let buying = &job(&built)["buying"];
    let line = |item: &str| {
        let found = list(buying, "lines").iter().find(|line| text(line, "item").contains(item));
        found.unwrap_or_else(|| panic!("no {item} in {buying}"))
    };
    // 8.230 252 board feet are more than what was laid out: nine whole ones at 8.00.
    assert_eq!((number(line("oak"), "quantity"), text(line("oak"), "sum")), (9.0, "72.00"));
    // One to cut and one to spare, eight feet each at 1.25 a foot.
    assert_eq!((number(line("bead"), "quantity"), text(line("bead"), "sum")), (2.0, "20.00"));
    assert_eq!(text(line("hook"), "sum"), "6.45");
    // 72.00 + 20.00 + 6.45 = 98.45; a tenth is 9.845, 9.85; 8 % of 108.30 is 8.664, 8.66.
    assert_eq!(text(buying, "net"), "98.45");
    assert_eq!(text(buying, "margin"), "9.85");
    assert_eq!(text(buying, "tax"), "8.66");
    assert_eq!(text(buying, "total"), "116.96");
    // The level has no price, nor has the glue of the panel.
    assert_eq!(buying["unpriced"], 2);
    let rows = csv(&built, "lists/buying.csv");
    assert_eq!(rows.last().map(|row| (row["item"].as_str(), row["sum"].as_str())), Some(("total", "116.96")));
    let without = made(
        &LEDGE.replace(", price: 8}", "}").replace(", price: 1.25}", "}").replace(", price: 2.15}", "}"),
    );
    assert!(job(&without)["buying"]["total"].is_null(), "no prices, no total");
}

/// One setting, all the parts: the depth of one is the width of another, and both are cut at one fence, rough before final.
#[test]
fn a_fence_is_set_once_for_all_parts() {
    let spec = r#"
units: mm
shop: {bit: 6}
stock:
  ash: {board: yes, thick: 20, rough: 26, random_width: [120, 240], lengths: [2000, 3000]}
assemblies:
  rack:
    parts:
      shelf: {stock: ash, faces: up, left: 0, width: 700, front: 0, depth: 90, bottom: 300, grain: across}
      upright: {stock: ash, faces: side, left: 700, front: 0, depth: 90, bottom: 0, height: 900, grain: up, held_by: floor}
      rail: {stock: ash, faces: front, left: 0, width: 706, front: 90, bottom: 200, height: 60, grain: across, held_by: wall,
             top_edge: {scribe: 10}}
    joints:
      - {butt: shelf, against: upright}
"#;
    let built = made(spec);
    let job = job(&built);
    let settings = list(&job["settings"], "list");
    let at = |machine: &str, stage: &str, figure: f64| -> Vec<(String, u64)> {
        let found = settings.iter().filter(|s| {
            text(s, "machine") == machine && text(s, "stage") == stage && s["figure_mm"] == figure
        });
        found
            .flat_map(|s| list(s, "work"))
            .map(|w| (text(w, "part").to_owned(), w["count"].as_u64().unwrap_or(0)))
            .collect()
    };
    // Longest first: the upright of 900 before the shelf of 700.
    let both = vec![("rack-upright".to_owned(), 1), ("rack-shelf".to_owned(), 1)];
    assert_eq!(at("rip saw", "final", 90.0), both);
    // 1.5 mm off each of two edges.
    assert_eq!(at("rip saw", "rough", 93.0), both);
    assert_eq!(at("crosscut saw", "rough", 925.0), vec![("rack-upright".to_owned(), 1)]);
    assert_eq!(at("planer", "final", 20.0).len(), 3);
    // The rail has 10 mm left on to scribe: its blank of 70 is cut last.
    assert_eq!(at("rip saw", "to fit", 70.0), vec![("rack-rail".to_owned(), 1)]);
    assert_eq!(at("fitting on site", "to fit", 10.0), vec![("rack-rail".to_owned(), 1)]);
    let stages: Vec<&str> =
        settings.iter().filter(|s| text(s, "machine") == "rip saw").map(|s| text(s, "stage")).collect();
    assert!(
        stages.is_sorted_by_key(|stage| ["rough", "final", "to fit"].iter().position(|known| known == stage)),
        "{stages:?}"
    );
    let rows = csv(&built, "lists/settings.csv");
    assert_eq!(rows.len(), settings.iter().map(|s| list(s, "work").len()).sum::<usize>());
}

/// Housings of a pair are set from one end: the same stop serves the left side and the right one.
#[test]
fn a_pair_is_housed_from_one_end() {
    let job = job(&sample("larder.yaml"));
    let housings: Vec<&Value> =
        list(&job["settings"], "list").iter().filter(|s| text(s, "what") == "housing").collect();
    assert!(housings.len() >= 5, "five shelves, bottom and top");
    for housing in &housings {
        let parts: Vec<&str> = list(housing, "work").iter().map(|work| text(work, "part")).collect();
        assert_eq!(text(housing, "from"), "bottom", "{housing}");
        assert!(parts.contains(&"larder-side-left") == parts.contains(&"larder-side-right"), "{housing}");
    }
}

/// Every part stands once on the boards in its full quantity, inside them, with a cut between neighbours.
fn laid_out_whole(job: &Value, kerf: f64) {
    let quantities: BTreeMap<&str, u64> = list(job, "parts")
        .iter()
        .map(|part| (text(part, "id"), part["quantity"].as_u64().unwrap_or(0)))
        .collect();
    for plan in list(job, "board_plans") {
        let mut wanted: BTreeMap<&str, u64> = BTreeMap::new();
        for strip in list(plan, "strips") {
            let quantity = quantities[text(strip, "part")] * strip["to_a_part"].as_u64().unwrap_or(0);
            assert_eq!(strip["quantity"], quantity);
            wanted.insert(text(strip, "part"), quantity);
            // Together the strips are at least as wide as the part, and wider by nothing that could be measured.
            let over = number(strip, "width_mm") * number(strip, "to_a_part");
            let part = list(job, "parts").iter().find(|part| part["id"] == strip["part"]).expect("its part");
            let across =
                if text(part, "grain") == "x" { number(part, "height_mm") } else { number(part, "width_mm") };
            assert!(strip["to_fit"] == true || over - across > -1e-6 && over - across < 0.001, "{strip}");
        }
        let mut found: BTreeMap<&str, u64> = BTreeMap::new();
        for board in list(plan, "boards") {
            let mut edge = 0.0;
            for lane in list(board, "lanes") {
                assert!(number(lane, "from_mm") >= edge - 1e-6, "{board}");
                edge = number(lane, "from_mm") + number(lane, "width_mm") + kerf;
                let mut end = 0.0;
                for piece in list(lane, "pieces") {
                    *found.entry(text(piece, "part")).or_default() += 1;
                    assert!(number(piece, "from_mm") >= end - 1e-6, "{lane}");
                    end = number(piece, "from_mm") + number(piece, "length_mm") + kerf;
                }
                assert!(end - kerf <= number(board, "length_mm") + 1e-6, "{board}");
            }
            assert!(edge - kerf <= number(board, "width_mm") + 1e-6, "{board}");
        }
        assert_eq!(found, wanted, "{}", text(plan, "stock"));
    }
}

#[test]
fn every_solid_part_of_the_samples_is_cut_once() {
    for name in ["listening-nook.yaml", "larder.yaml"] {
        let built = sample(name);
        let job = job(&built);
        assert!(!list(&job, "board_plans").is_empty(), "{name}");
        laid_out_whole(&job, 3.175);
        let pieces = list(&job, "board_plans").iter().flat_map(|plan| list(plan, "strips"));
        let pieces: u64 = pieces.map(|strip| strip["quantity"].as_u64().unwrap_or(0)).sum();
        assert_eq!(csv(&built, "lists/boards.csv").len() as u64, pieces, "{name}");
        // Whole sheets bought are those of the layouts that do not lie in the rack.
        let bought: f64 = list(&job["buying"], "lines")
            .iter()
            .filter(|l| text(l, "kind") == "sheet goods")
            .map(|l| number(l, "quantity"))
            .sum();
        let sheets = list(&job, "nests").iter().flat_map(|nest| list(nest, "sheets"));
        let laid = sheets.filter(|sheet| sheet["from_rack"] == false).count();
        assert_eq!(bought, laid as f64, "{name}");
    }
}

/// Fixings are bought by kind and size, as many as are drawn and a tenth to spare, rounded up to boxes.
#[test]
fn fixings_are_counted_into_boxes() {
    let job = job(&sample("listening-nook.yaml"));
    let mut drawn: BTreeMap<&str, u64> = BTreeMap::new();
    list(&job, "fixings").iter().for_each(|fixing| *drawn.entry(text(fixing, "kind")).or_default() += 1);
    // The bench is screwed and the panels are bradded.
    assert!(drawn.len() >= 2, "fixings of several kinds are drawn: {drawn:?}");
    for (kind, count) in drawn {
        let lines = list(&job["buying"], "lines")
            .iter()
            .filter(|line| text(line, "kind") == "fixings" && text(line, "item").starts_with(kind));
        let mut counted = 0;
        for line in lines {
            let needs: Vec<u64> = text(line, "needs")
                .split(|c: char| !c.is_ascii_digit())
                .filter_map(|n| n.parse().ok())
                .collect();
            assert_eq!(needs[1], (needs[0] * 11).div_ceil(10), "{line}");
            let of: u64 = text(line, "unit").rsplit(' ').next().and_then(|n| n.parse().ok()).unwrap_or(1);
            assert_eq!(number(line, "quantity"), needs[1].div_ceil(of) as f64, "{line}");
            counted += needs[0];
        }
        assert!(counted > 0, "{kind} are bought");
        assert_eq!(counted, count, "{kind}");
    }
}

/// NEC 314.20: a box behind a new wooden face comes flush with it. Each socket and switch of the panelled wall gets an extender.
#[test]
fn a_box_behind_a_panel_gets_an_extender() {
    let job = job(&sample("listening-nook.yaml"));
    let line =
        list(&job["buying"], "lines").iter().find(|line| text(line, "kind") == "electrical").expect("a line");
    assert_eq!(number(line, "quantity"), 2.0);
    assert!(text(line, "needs").contains("licensed electrician"), "{line}");
}

fn strip(number: usize, width: i64, length: i64, quantity: usize) -> Strip {
    let (width, length) = (Length::MM * width, Length::MM * length);
    Strip {
        part: PartId(number),
        of: 1,
        quantity,
        width,
        length,
        rough_width: width,
        rough_length: length,
        to_fit: false,
        run: None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn strips_lie_on_boards_once_and_apart(
        sizes in prop::collection::vec((20_i64..150, 200_i64..1900, 1_usize..4), 1..9),
        kerf in 0_i64..5,
        sold in 0_usize..3,
    ) {
        let strips: Vec<Strip> = sizes.iter().enumerate().map(|(n, (w, l, q))| strip(n, *w, *l, *q)).collect();
        let widths = [Length::MM * 100, Length::MM * 150];
        let wanted = Wanted {
            sold: [Sold::Random, Sold::Widths, Sold::Sticks][sold],
            widths: if sold == 0 { &[] } else { &widths },
            lengths: &[Length::MM * 2000, Length::MM * 2500],
            random: (sold == 0).then_some([Length::MM * 100, Length::MM * 180]),
            kerf: Length::MM * kerf,
            end_loss: Length::MM * 20,
        };
        let boards = lay_out(&strips, &wanted).expect("every strip fits");
        let mut found = vec![0; strips.len()];
        for board in &boards {
            let mut edge = Length::ZERO;
            for lane in &board.lanes {
                prop_assert!(lane.from >= edge);
                edge = lane.from + lane.width + wanted.kerf;
                let mut end = wanted.end_loss;
                for piece in &lane.pieces {
                    prop_assert!(piece.from >= end);
                    prop_assert_eq!(strips[piece.strip].rough_width, piece.width);
                    prop_assert!(piece.width <= lane.width);
                    prop_assert_eq!(strips[piece.strip].rough_length, piece.length);
                    end = piece.from + piece.length + wanted.kerf;
                    found[piece.strip] += 1;
                }
                prop_assert!(end - wanted.kerf <= board.length - wanted.end_loss);
            }
            prop_assert!(edge - wanted.kerf <= board.width);
            prop_assert!(sold != 2 || board.lanes.len() == 1);
        }
        let asked: Vec<usize> = strips.iter().map(|strip| strip.quantity).collect();
        prop_assert_eq!(found, asked);
    }
}
