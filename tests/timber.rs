//! Boards, sticks and sheets as they are bought and cut up, where the spec leaves something out: against arithmetic shown here.

use serde_json::Value;
use tickstick::diagnose::Severity;

use crate::lists::{job, list, made, number, text};

fn line<'v>(job: &'v Value, item: &str) -> &'v Value {
    let lines = list(&job["buying"], "lines");
    lines
        .iter()
        .find(|line| text(line, "item").contains(item))
        .unwrap_or_else(|| panic!("no {item} in {lines:?}"))
}

fn checks(spec: &str) -> Vec<(&'static str, Severity)> {
    made(spec).diagnostics.iter().map(|found| (found.check, found.severity)).collect()
}

/// All text of the sheets, one word after another.
pub fn written(spec: &str) -> String {
    let built = made(spec);
    let sheets = built.files.iter().filter(|file| file.name.ends_with(".svg"));
    let texts = sheets.map(|file| String::from_utf8_lossy(&file.bytes).into_owned());
    let words = texts.flat_map(|text| {
        let runs = text.split('<').filter_map(|tag| Some(tag.split_once('>')?.1.to_owned()));
        runs.flat_map(|run| run.split_whitespace().map(str::to_owned).collect::<Vec<_>>()).collect::<Vec<_>>()
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Without `lengths` no stick can be laid out, but it has to be bought all the same.
#[test]
fn sticks_of_no_known_length_are_bought_by_the_run() {
    let spec = r#"
shop: {over_length: 1"}
stock:
  bead: {board: yes, thick: 3/4", widths: 1 1/2", sold: sticks, price: 1.25}
assemblies:
  porch:
    parts:
      bead: {stock: bead, faces: front, left: 0, width: 94 1/2", front: 0, bottom: 0, height: 1 1/2", grain: across, held_by: wall}
"#;
    // 95 1/2 in are 7.9583 ft; a fifth more is 9.55 ft: ten whole feet at 1.25.
    let told = job(&made(spec));
    let bead = line(&told, "bead");
    assert_eq!((number(bead, "quantity"), text(bead, "unit"), text(bead, "sum")), (10.0, "feet", "12.50"));
    assert!(text(bead, "needs").contains("no `lengths`"), "{bead}");
    let metric = r#"
units: mm
stock:
  lath: {board: yes, thick: 20, price: 3, per: metre}
assemblies:
  porch:
    parts:
      lath: {stock: lath, faces: front, left: 0, width: 900, front: 0, bottom: 0, height: 60, grain: across, held_by: wall}
"#;
    // 925 mm in the rough and a fifth more are 1.11 m: 1.2 m at 3.00.
    let told = job(&made(metric));
    let lath = line(&told, "lath");
    assert_eq!((number(lath, "quantity"), text(lath, "unit"), text(lath, "sum")), (1.2, "m", "3.60"));
}

/// Two halves of a sheet are not two parts: the blade takes 1/8" (3.2 mm metric) between them, also where no shop says so.
#[test]
fn a_kerf_that_is_not_given_is_the_usual_one() {
    let spec = |units: &str, sheet: &str, size: &str, kerf: &str| {
        format!(
            "units: {units}\n{kerf}stock:\n  ply: {{sheet: {sheet}, thick: 18 mm}}\nassemblies:\n  bay:\n    parts:\n      \
             panel: {{stock: ply, count: 2, faces: front, front: 0, bottom: 0, left: i * 3000 mm, {size}, grain: up, held_by: wall}}\n"
        )
    };
    let inch = spec("inch", "[48, 96]", "width: 24, height: 90", "");
    let nest = &job(&made(&inch))["nests"][0];
    assert_eq!((number(nest, "kerf_mm"), list(nest, "sheets").len()), (3.175, 2), "{nest}");
    let metric = spec("mm", "[1220, 2440]", "width: 610, height: 2000", "");
    let nest = &job(&made(&metric))["nests"][0];
    assert_eq!((number(nest, "kerf_mm"), list(nest, "sheets").len()), (3.2, 2), "{nest}");
    assert!(written(&metric).contains("none given: the usual"), "the sheet says that it is assumed");
    // 608.4 + 3.2 + 608.4 fill 1220 to the last tenth.
    let fits = job(&made(&spec("mm", "[1220, 2440]", "width: 608.4, height: 2000", "")));
    assert_eq!(list(&fits["nests"][0], "sheets").len(), 1);
    let thin = spec("mm", "[1220, 2440]", "width: 608.8, height: 2000", "shop: {kerf: 2.4}\n");
    assert_eq!(number(&job(&made(&thin))["nests"][0], "kerf_mm"), 2.4);
    assert!(!written(&thin).contains("none given: the usual"));
}

/// Wood is left on at both ends, 6 mm below and 10 mm above: the blank stands against the stop with the lower 6 mm on.
#[test]
fn a_stop_is_set_from_the_end_of_the_blank() {
    let spec = |edges: &str| {
        format!(
            "units: mm\nshop: {{kerf: 3}}\nstock:\n  ply: {{sheet: [1220, 2440], thick: 18}}\nassemblies:\n  case:\n    parts:\n      \
             side: {{stock: ply, faces: side, left: 0, front: 0, depth: 300, bottom: 0, height: 500, grain: up, show: right, held_by: floor{edges}}}\n      \
             shelf: {{stock: ply, faces: up, left: side.right - 6 mm, width: 400, front: 0, depth: 300, bottom: 200, grain: across}}\n    \
             joints:\n      - {{house: shelf, in: side, stopped: {{front: 20}}, fix: glue}}\n"
        )
    };
    let housing = |edges: &str| {
        let job = job(&made(&spec(edges)));
        list(&job["settings"], "list").iter().find(|s| text(s, "what") == "housing").expect("one").clone()
    };
    let stop = |edges: &str| {
        let found = housing(edges);
        (text(&found, "from").to_owned(), number(&found, "figure_mm"))
    };
    assert_eq!(stop(""), ("bottom".to_owned(), 200.0));
    assert_eq!(stop(", bottom_edge: {scribe: 6}, top_edge: {scribe: 10}"), ("bottom".to_owned(), 206.0));
    // Left on below only, the upper end lies against the stop: 500 - 218.
    assert_eq!(stop(", bottom_edge: {scribe: 6}"), ("top".to_owned(), 282.0));
    // The stopped end is told from the blank too: 20 short of the front and 5 left on there.
    let front = housing(", front_edge: {scribe: 5}").to_string();
    assert!(front.contains("25 mm"), "{front}");
}

/// What one board just gives must not cost the ends of all other boards.
#[test]
fn only_the_piece_that_needs_it_is_cut_into_the_ends() {
    let spec = r#"
shop: {kerf: 1/8", end_loss: 1", over_length: 1", jointing: 0}
stock:
  oak: {board: yes, thick: 1", widths: 4", lengths: 8'}
assemblies:
  porch:
    parts:
      long: {stock: oak, faces: front, left: 0, width: 95 1/2", front: 0, bottom: 0, height: 4", grain: across, held_by: wall}
      short: {stock: oak, count: 2, faces: front, left: i * 50", width: 46 1/2", front: 0, bottom: 10", height: 4", grain: across, held_by: wall}
"#;
    // Two of 47 1/2 in and a cut are 95 1/8 in; a board gives 96 - 2 = 94 in. So each has a board, and so has the long one.
    let told = job(&made(spec));
    let boards = list(&told["board_plans"][0], "boards");
    assert_eq!(boards.len(), 3, "{boards:?}");
    for board in boards {
        let piece = &board["lanes"][0]["pieces"][0];
        let end = if text(piece, "part").contains("long") { 0.25 } else { 1.0 };
        assert!((number(piece, "from_mm") - end * 25.4).abs() < 1e-9, "{piece}");
    }
}

/// 350 ft²/gal are 8.59 m²/l; the panel has 2 × 4 m² and its edges, 8.144 m², twice and a tenth over: 17.9 m², 2.09 l, three cans
/// of 0.75 l. The switchboard's door is no switch; two switches in one note are one cut-out.
#[test]
fn units_are_told_in_the_plural_and_notes_word_by_word() {
    let spec = |note: &str| {
        format!(
            "units: mm\nshop: {{kerf: 3}}\nbuy: {{finishes: {{paint: {{can: 0.75 l}}}}}}\nstock:\n  ply: {{sheet: [2100, 2100], thick: 18}}\nassemblies:\n  bay:\n    parts:\n      \
             panel: {{stock: ply, faces: front, front: 0, bottom: 0, left: 0, width: 2000, height: 2000, held_by: wall, finish: paint,\n        \
             cutouts: {{hole: {{left: 500, width: 60, bottom: 500, height: 90, note: {note}}}}}}}\n"
        )
    };
    let plain = job(&made(&spec("two switches")));
    let paint = line(&plain, "paint");
    assert_eq!((number(paint, "quantity"), text(paint, "unit")), (3.0, "cans of 0.75 l"));
    assert_eq!(number(line(&plain, "extender"), "quantity"), 1.0);
    for other in ["door of the switchboard", "without an outletter"] {
        let told = job(&made(&spec(other)));
        assert!(list(&told["buying"], "lines").iter().all(|l| text(l, "kind") != "electrical"), "{other}");
    }
}

/// A rough board thinner than what is planed off leaves nothing, not less than nothing.
#[test]
fn no_wood_is_left_of_too_thin_a_board() {
    let spec = r#"
shop: {planing: 1/4"}
stock:
  oak: {board: yes, thick: 1/2", rough: 3/8", lengths: 8'}
assemblies:
  porch:
    parts:
      rail: {stock: oak, faces: front, left: 0, width: 40", front: 0, bottom: 0, height: 4", grain: across, held_by: wall}
"#;
    let built = made(spec);
    let found = built.diagnostics.iter().find(|d| d.check == "rough-too-thin").expect("it is told");
    assert!(found.message.contains("leaves 0") && !found.message.contains("leaves -"), "{}", found.message);
}

/// A size has its own price, and the cheapest set of sheets is taken. Panels of 600 × 1200: four lie on 1220 × 2440 (1200 + 3 + 1200
/// = 2403), two on 1220 × 1220.
#[test]
fn the_cheapest_set_of_sheets_is_taken() {
    let spec = |count: i64, small: &str| {
        format!(
            "units: mm\nshop: {{kerf: 3}}\nstock:\n  ply: {{sheet: [1220, 2440], thick: 18, price: 80, other_sizes: [{{size: [1220, 1220]{small}}}]}}\nassemblies:\n  bay:\n    parts:\n      \
             panel: {{stock: ply, count: {count}, faces: front, front: 0, bottom: 0, left: i * 700 mm, width: 600, height: 1200, grain: up, held_by: wall}}\n"
        )
    };
    let bought = |count: i64, small: &str| {
        let told = job(&made(&spec(count, small)));
        let of = |size: &str| {
            let lines = list(&told["buying"], "lines").iter();
            let mut here =
                lines.filter(|l| text(l, "kind") == "sheet goods" && text(l, "item").contains(size));
            here.next().map_or((0.0, Value::Null), |l| (number(l, "quantity"), l["sum"].clone()))
        };
        (of("1220 mm × 2440 mm"), of("1220 mm × 1220 mm"))
    };
    let sum = |text: &str| Value::from(text);
    // Six at 45 a small sheet: 80 + 45 = 125; 2 × 80 = 160; 3 × 45 = 135.
    assert_eq!(bought(6, ", price: 45"), ((1.0, sum("80.00")), (1.0, sum("45.00"))));
    // At 35: 3 × 35 = 105 against 80 + 35 = 115.
    assert_eq!(bought(6, ", price: 35"), ((0.0, Value::Null), (3.0, sum("105.00"))));
    // At 79 two large ones cost 160, one of each 159.
    assert_eq!(bought(6, ", price: 79"), ((1.0, sum("80.00")), (1.0, sum("79.00"))));
    // A small sheet that is dearer than a large one is never bought.
    assert_eq!(bought(2, ", price: 81"), ((1.0, sum("80.00")), (0.0, Value::Null)));
    // Without a price of its own the small size has none, and the least area is taken.
    assert_eq!(bought(2, ""), ((0.0, Value::Null), (1.0, Value::Null)));
    assert!(written(&spec(2, ", price: 45")).contains("those that cost least together"));
    assert!(written(&spec(2, "")).contains("not every size has a price"));
}

/// Slips of the pen in the shop's figures are told, each by its name.
#[test]
fn unlikely_figures_are_told() {
    let spec = |shop: &str, buy: &str| {
        format!(
            "shop: {{{shop}}}\n{buy}stock:\n  ply: {{sheet: [48, 96], thick: 3/4}}\nassemblies:\n  bay:\n    parts:\n      \
             panel: {{stock: ply, faces: front, front: 0, bottom: 0, left: 0, width: 24, height: 30, held_by: wall}}\n"
        )
    };
    assert_eq!(checks(&spec("kerf: 1/8", "buy: {tax: 100%}\n")), []);
    for (shop, buy, check, severity) in [
        ("kerf: 10\"", "", "kerf-unlikely", Severity::Warning),
        ("jointer: 1\"", "", "machine-unlikely", Severity::Warning),
        ("keep_offcut: [24, 4]", "", "offcut-sides-swapped", Severity::Warning),
        ("kerf: 1/8", "buy: {tax: 900%}\n", "share-out-of-range", Severity::Error),
    ] {
        assert_eq!(checks(&spec(shop, buy)), [(check, severity)], "{shop} {buy}");
    }
}

/// A rail of 20 ft 6 in, 3/4" thick, of sticks of 8 and 10 ft, 2" left on each: a piece has at most 118 in. Two give
/// 2 × 118 - 3/4 = 235 1/4 in, too little for 246 in; three do. Three pieces less two laps of 3/4" (45°: as long as the wood is thick)
/// are the run: (246 + 1 1/2) / 3 = 82 1/2 in. The laps begin at 82 1/2 - 3/4 = 81 3/4 in and twice that, 163 1/2 in.
#[test]
fn a_run_longer_than_any_stick_is_scarfed() {
    let spec = |joined: &str, more: &str| {
        format!(
            "shop: {{kerf: 1/8\"}}\nstock:\n  rail: {{board: yes, thick: 3/4\", widths: 3 1/2\", lengths: [8', 10'], sold: sticks{joined}, price: 2}}\nassemblies:\n  porch:\n    parts:\n      \
             rail: {{stock: rail, faces: front, left: 0, width: 246\", front: 0, bottom: 0, height: 3 1/2\", grain: across, held_by: wall{more}}}\n"
        )
    };
    let without = made(&spec("", ""));
    let fault = without.diagnostics.iter().find(|d| d.check == "part-larger-than-stock").expect("an error");
    assert!(fault.cures.iter().any(|cure| cure.text.contains("joined: scarf")), "{fault:?}");
    let built = made(&spec(", joined: scarf", ""));
    let [found] = built.diagnostics.as_slice() else { panic!("{:?}", built.diagnostics) };
    assert_eq!((found.check, found.severity), ("run-joined", Severity::Warning));
    for said in ["3 pieces of 82 1/2\"", "81 3/4\" to 82 1/2\"", "163 1/2\" to 164 1/4\""] {
        assert!(found.message.contains(said), "{said}: {}", found.message);
    }
    let file = built.files.iter().find(|file| file.name == "job.json").expect("job.json is made");
    let told: Value = serde_json::from_slice(&file.bytes).expect("JSON");
    let plan = &told["board_plans"][0];
    let strip = &plan["strips"][0];
    let is = |value: &Value, key: &str, inches: f64| {
        assert!((number(value, key) - inches * 25.4).abs() < 1e-6, "{key} of {value}");
    };
    is(strip, "length_mm", 82.5);
    is(strip, "rough_length_mm", 84.5);
    is(strip, "lap_mm", 0.75);
    assert_eq!((strip["quantity"].as_u64(), strip["to_a_part"].as_i64()), (Some(3), Some(3)));
    // Each comes out of a stick of 8 ft (96 in); a fourth is to spare: 4 × 8 × 2.00.
    assert_eq!(list(plan, "boards").len(), 3);
    assert_eq!(text(line(&told, "rail"), "sum"), "64.00");
    // Drawn once for all three, 96 - 84 1/2 - 1/8 = 11 3/8 in left.
    let sheets = written(&spec(", joined: scarf", ""));
    for said in ["BOARDS 1, 2, 3: 3 1/2 × 96", "1: A1 84 1/2", "11 3/8", "in scarfs of 45°"] {
        assert!(sheets.contains(said), "{said}");
    }
    // Four ends at 45°, and three pieces at one stop.
    let settings = list(&told["settings"], "list");
    let tilted = settings.iter().find(|s| s["degrees"] == 45.0).expect("the blade is tilted");
    assert_eq!(
        (text(tilted, "machine"), list(tilted, "work")[0]["count"].as_u64()),
        ("crosscut saw", Some(4))
    );
    let stop = |s: &&Value| text(s, "set") == "stop" && text(s, "stage") == "final";
    let stop = settings.iter().find(stop).expect("a stop");
    is(stop, "figure_mm", 82.5);
    assert_eq!(list(stop, "work")[0]["count"].as_u64(), Some(3));
    // A hole at the second joint is told; 81 1/2 to 82 1/2 would be the first.
    let hole = ", cutouts: {pipe: {left: 163\", width: 1\", bottom: 1\", height: 1\"}}";
    let message = made(&spec(", joined: scarf", hole)).diagnostics[0].message.clone();
    assert!(message.contains("the one at 163 1/2\" to 164 1/4\" meets a cut"), "{message}");
    assert!(!message.contains("the one at 81 3/4\""), "{message}");
    // Sticks of 30 in give no piece of the least length, two bays of 16 in: the error stays. As boards the key has no meaning.
    let short = spec(", joined: scarf", "").replace("lengths: [8', 10']", "lengths: 30\"");
    assert_eq!(checks(&short), [("part-larger-than-stock", Severity::Error)]);
    assert_eq!(checks(&spec(", joined: scarf", "").replace("sold: sticks, ", ""))[0].0, "stock-form");
    // Where one stick reaches there is no joint.
    assert_eq!(checks(&spec(", joined: scarf", "").replace("246\"", "120\"")), []);
}
