//! The samples from YAML to sheets: every part's drawing complete, nothing overlapping.

use std::path::Path;

use tickstick::joints::join;
use tickstick::parts::{Made, make};
use tickstick::plans;
use tickstick::sheets::dimension::plan;
use tickstick::sheets::frame::{Frame, Paper, Practice};
use tickstick::sheets::rebuild::{From, differences, given_twice, rebuild};
use tickstick::sheets::sheet_set;
use tickstick::trade::Units;

use super::sheets::{faults, write};

/// What a sample comes to.
pub fn sample(name: &str) -> Made {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name);
    let yaml = std::fs::read_to_string(path).expect("a sample");
    let (boards, _) = crate::boards::laid(&yaml);
    let (joints, _) = join(&boards);
    make(boards, joints).0
}

pub const SAMPLES: [&str; 2] = ["listening-nook.yaml", "larder.yaml"];

#[test]
fn every_part_of_the_samples_can_be_rebuilt_from_its_drawing() {
    for name in SAMPLES {
        let made = sample(name);
        assert!(!made.parts.is_empty(), "{name}");
        for part in &made.parts {
            let plan = plan(part, &made.job);
            let told = format!("{name}: {}", part.name);
            assert_eq!(plan.unsaid, Vec::<String>::new(), "{told}");
            let exact = rebuild(&plan.drawn, &plan.dimensions, From::Exact).expect(&told);
            assert_eq!(differences(part, &exact, 3e-5), Vec::<String>::new(), "{told}");
            let units = made.job.sheets.units;
            let tolerance = if units == Units::Inch { 0.0127 + 1e-5 } else { 0.005 + 1e-5 };
            let read = rebuild(&plan.drawn, &plan.dimensions, From::Printed(units)).expect(&told);
            assert_eq!(differences(part, &read, tolerance), Vec::<String>::new(), "{told}");
            assert_eq!(given_twice(&plan), Vec::new(), "{told}");
        }
    }
}

#[test]
fn nothing_overlaps_on_the_sheets_of_the_samples() {
    let mut all = Vec::new();
    for name in SAMPLES {
        let made = sample(name);
        let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
        let practice = if made.job.sheets.asme { Practice::Asme } else { Practice::Iso };
        let paper = Paper::named(&made.job.sheets.paper).expect("known");
        write(name.trim_end_matches(".yaml"), &sheets);
        all.extend(sheets.iter().flat_map(|s| faults(s, &Frame::new(paper, practice))));
    }
    assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
}

/// I4: the members of every chain, as printed, add up to the overall as printed.
#[test]
fn printed_chains_add_up() {
    let number = |text: &str| -> f64 {
        let parts = text.split_whitespace().map(|word| match word.split_once('/') {
            Some((a, b)) => a.parse::<f64>().expect("figure") / b.parse::<f64>().expect("figure"),
            None => word.parse::<f64>().expect("figure"),
        });
        parts.sum()
    };
    for name in SAMPLES {
        let made = sample(name);
        let mut chains = 0;
        for sheet in sheet_set(&made, &plans::plan(&made).0, &[]) {
            let mut sum = 0.0;
            for dimension in sheet.dimensions.iter().filter(|d| d.what.contains(": ")) {
                if dimension.what.ends_with(": board")
                    || dimension.what.contains(": space")
                    || dimension.what.contains(": board")
                {
                    sum += number(&dimension.printed);
                    // Within a step of the row: a thousandth of an inch, a hundredth of a millimetre.
                    let (unit, step) =
                        if made.job.sheets.units == Units::Inch { (25.4, 0.001) } else { (1.0, 0.01) };
                    let off = number(&dimension.printed) - dimension.value.to_mm() / unit;
                    assert!(off.abs() <= step + 1e-9, "{name}: {} is off by {off}", dimension.what);
                } else if dimension.what.ends_with(": overall") {
                    assert!((sum - number(&dimension.printed)).abs() < 1e-9, "{name}: {}", dimension.what);
                    (sum, chains) = (0.0, chains + 1);
                }
            }
        }
        assert!(chains >= 3, "{name}");
    }
}

/// A long run: every sheet is made, nothing overlaps, and positions that find no room beside a view stand in tables.
#[test]
fn a_long_run_is_drawn() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/listening-nook.yaml");
    let yaml = std::fs::read_to_string(path).expect("a sample");
    let long = yaml.replace("niche: 77 1/4\"", "niche: 367 1/4\"").replace("bays: 5", "bays: 24");
    assert_ne!(long, yaml);
    let (boards, _) = crate::boards::laid(&long);
    let (joints, _) = join(&boards);
    let made = make(boards, joints).0;
    assert!(made.placed.len() > 60, "{}", made.placed.len());
    let sheets = sheet_set(&made, &plans::plan(&made).0, &[]);
    write("long-run", &sheets);
    let frame = Frame::new(Paper::Tabloid, Practice::Asme);
    let all: Vec<String> = sheets.iter().flat_map(|s| faults(s, &frame)).collect();
    assert_eq!(all, Vec::<String>::new(), "{}", all.join("\n"));
}
