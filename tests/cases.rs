//! Each folder under tests/cases is a case: a small spec and what must come of it. A file that is there is compared, an
//! absent one is not. `UPDATE=1` rewrites what is compared; read the difference before it is committed.
//!
//! - `spec.yaml`: its first line says what it shows. Other files beside it can be included.
//! - `set.txt`: settings as on the command line, `name=value`, one to a line.
//! - `diagnostics.txt`: the whole text that the user reads; empty where the spec must be silent.
//! - `parts.txt`: every part with its outline, cuts, recesses and holes in millimetres, as job.json has them.
//! - `cured.yaml`: the spec after the printed cure; must build in silence.

use std::fs;
use std::path::{Path, PathBuf};

use tickstick::cli::report;
use tickstick::spec::{SourceError, Sources};
use tickstick::{Built, Options, build};

/// The texts of one case and nothing else.
struct CaseFolder(PathBuf);

impl Sources for CaseFolder {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        let path = self.0.join(path);
        if fs::symlink_metadata(&path).is_ok_and(|found| found.is_symlink()) {
            return Err(SourceError::Outside);
        }
        fs::read_to_string(path).map_err(|_| SourceError::NotFound)
    }
}

/// One text and nothing else.
struct OneText<'t>(&'t str);

impl Sources for OneText<'_> {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "spec.yaml" { Ok(self.0.to_owned()) } else { Err(SourceError::NotFound) }
    }
}

fn told(built: &Built) -> String {
    report::text(&built.diagnostics, &built.texts, "")
}

fn build_case(folder: &Path, name: &str) -> Built {
    let settings = fs::read_to_string(folder.join("set.txt")).unwrap_or_default();
    let settings = settings
        .lines()
        .map(|line| line.split_once('=').expect("set.txt holds name=value"))
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect();
    build(&CaseFolder(folder.to_owned()), name, &Options { settings, files: true, ..Options::default() })
}

/// The parts of a build as text, a line a shape.
fn geometry(built: &Built) -> String {
    let Some(file) = built.files.iter().find(|file| file.name == "job.json") else {
        return "nothing was made\n".to_owned();
    };
    let job: serde_json::Value = serde_json::from_slice(&file.bytes).expect("job.json is JSON");
    let list = |value: &serde_json::Value, key: &str| value[key].as_array().cloned().unwrap_or_default();
    let mut text = String::new();
    for part in list(&job, "parts") {
        let size = ["width_mm", "height_mm", "thickness_mm"].map(|key| number(&part[key]));
        text += &format!("{} x{}: {}\n", word(&part["id"]), part["quantity"], size.join(" x "));
        text += &format!("  outline {}\n", points(&part["outline"]));
        for inside in list(&part, "inside") {
            text += &format!("  through {}\n", points(&inside));
        }
        for pocket in list(&part, "pockets") {
            let (kind, face, depth) =
                (word(&pocket["kind"]), word(&pocket["face"]), number(&pocket["depth_mm"]));
            text += &format!("  {kind} {depth} deep, {face} face {}\n", points(&pocket["outline"]));
        }
        for drill in list(&part, "drills") {
            let (why, from) = (word(&drill["for"]), word(&drill["from"]));
            let deep =
                if drill["depth_mm"].is_null() { "through".into() } else { number(&drill["depth_mm"]) };
            let size = number(&drill["diameter_mm"]);
            text += &format!(
                "  {why} hole {size} {deep}, {from} face {}\n",
                points(&serde_json::json!([drill["at"]]))
            );
        }
        for bore in list(&part, "bores") {
            let (size, lean) = (number(&bore["diameter_mm"]), number(&bore["degrees"]));
            text +=
                &format!("  bore {size} at {lean} degrees {}\n", points(&serde_json::json!([bore["at"]])));
        }
        for bevel in list(&part, "bevels") {
            let ends = points(&serde_json::json!([bevel["from"], bevel["to"]]));
            text += &format!(
                "  bevel {} degrees, run {} {ends}\n",
                number(&bevel["degrees"]),
                number(&bevel["run_mm"])
            );
        }
    }
    text
}

fn word(value: &serde_json::Value) -> &str {
    value.as_str().unwrap_or("?")
}

/// Four decimals are finer than a unit of a length needs to be told apart from its neighbour by eye.
fn number(value: &serde_json::Value) -> String {
    let text = format!("{:.4}", value.as_f64().unwrap_or(f64::NAN));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Corners as `x,y`, with `~bulge` where an arc leaves.
fn points(list: &serde_json::Value) -> String {
    let corner = |point: &serde_json::Value| {
        let bulge = point[2].as_f64().filter(|bulge| *bulge != 0.0);
        let bend = bulge.map(|_| format!("~{}", number(&point[2]))).unwrap_or_default();
        format!("{},{}{bend}", number(&point[0]), number(&point[1]))
    };
    list.as_array().into_iter().flatten().map(corner).collect::<Vec<_>>().join(" ")
}

/// Compares a text with what stands in a file, or rewrites the file.
fn compare(path: &Path, found: &str, faults: &mut Vec<String>) {
    if std::env::var_os("UPDATE").is_some() {
        fs::write(path, found).expect("the case can be written");
        return;
    }
    let wanted = fs::read_to_string(path).expect("the file is there");
    if wanted != found {
        faults.push(format!("{}: wanted\n{wanted}\nfound\n{found}", path.display()));
    }
}

#[test]
fn every_case_holds() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut folders: Vec<PathBuf> =
        fs::read_dir(&root).expect("the cases").map(|entry| entry.expect("a case").path()).collect();
    folders.sort();
    assert!(folders.len() >= 20, "the cases are there");
    let mut faults = Vec::new();
    for folder in &folders {
        let first = fs::read_to_string(folder.join("spec.yaml")).expect("every case has a spec.yaml");
        if !first.starts_with('#') {
            faults.push(format!("{}: the first line of spec.yaml says what it shows", folder.display()));
        }
        let built = build_case(folder, "spec.yaml");
        let diagnostics = folder.join("diagnostics.txt");
        if diagnostics.exists() {
            compare(&diagnostics, &told(&built), &mut faults);
        } else {
            faults.push(format!("{}: every case has a diagnostics.txt", folder.display()));
        }
        let parts = folder.join("parts.txt");
        if parts.exists() {
            compare(&parts, &geometry(&built), &mut faults);
        }
        if folder.join("cured.yaml").exists() {
            let text = told(&build_case(folder, "cured.yaml"));
            if !text.is_empty() {
                faults.push(format!("{}: cured.yaml is not silent\n{text}", folder.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{} of {} cases:\n{}", faults.len(), folders.len(), faults.join("\n"));
}

/// Checks a text and gives the names of the checks that found something, and what the user reads.
fn checked(text: &str) -> (Vec<&'static str>, String) {
    let built = build(&OneText(text), "spec.yaml", &Options::default());
    (built.diagnostics.iter().map(|d| d.check).collect(), told(&built))
}

#[test]
fn nesting_without_end_is_one_short_fault() {
    for open in ["[", "{a: ", "- ", "? ", "[{a: "] {
        let (checks, text) = checked(&format!("values: {}", open.repeat(100_000)));
        assert_eq!(checks.len(), 1, "{open}: {checks:?}");
        // `- ` after a key is no YAML at all.
        assert!(["too-deep", "unreadable-yaml", "wrong-key"].contains(&checks[0]), "{open}: {text}");
        assert!(text.len() < 2_000, "{open}: the message itself is {} bytes long", text.len());
    }
    let deep: String = (0..500).map(|level| format!("{}a:\n", " ".repeat(level))).collect();
    assert_eq!(checked(&deep).0, ["too-deep"]);
}

#[test]
fn a_large_text_is_refused_before_it_is_looked_at() {
    let (checks, text) = checked(&"# a comment\n".repeat(5_000_000));
    assert_eq!(checks, ["file-too-large"]);
    assert!(text.contains("60000000 bytes"), "{text}");
}

#[test]
fn a_flood_of_faults_neither_hangs_nor_floods() {
    let keys: String = (0..30_000).map(|n| format!("key{n}: 1\n")).collect();
    let (checks, text) = checked(&keys);
    assert!(checks.len() >= 1_000 && checks.iter().all(|check| *check == "unknown-key"));
    assert!(text.len() < 100_000 && text.contains(" more\n"), "{}", text.len());
}

#[test]
fn no_cut_of_a_sample_makes_the_reader_panic() {
    // Every beginning of a real spec is a spec that somebody is typing.
    let text = include_str!("../samples/listening-nook.yaml");
    for end in (0..text.len()).step_by(7).filter(|end| text.is_char_boundary(*end)) {
        let (loaded, faults) = tickstick::spec::read(&OneText(&text[..end]), "spec.yaml", &[]);
        let shown = report::text(&faults.into_sorted(), &loaded.files, "");
        assert!(shown.is_empty() || shown.ends_with("error\n") || shown.ends_with("errors\n"), "{shown}");
    }
}
