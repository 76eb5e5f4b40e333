//! The house rules that a machine can hold: imports run one way (I1), the library touches nothing outside itself (I2),
//! doors say what a room is for, files stay short.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Which room may import which. Every room but the first three may also use length, trade and diagnose.
/// `X*`: only types met in fields of `Made`; the compiler cannot tell, reviewers must.
const IMPORTS: &[(&str, &str)] = &[
    ("length", ""),
    ("diagnose", ""),
    ("trade", "length"),
    ("shape", ""),
    ("wood", ""),
    ("drawing", "shape"),
    ("spec", ""),
    ("values", "spec"),
    ("boards", "values spec shape"),
    // How long a slot must be follows from how far wood moves.
    ("joints", "values boards wood shape"),
    ("loads", "parts joints boards values wood shape"),
    ("parts", "values boards joints shape"),
    ("checks", "parts joints boards values wood loads shape"),
    ("plans", "jigs parts joints boards values wood loads shape"),
    ("revise", "parts joints boards values shape"),
    // Jigs are made of parts and drawn by sheets, full-size pages and DXF alike: none of the three computes one.
    ("jigs", "parts joints boards values shape"),
    // A part's sheet says where its datum lies in a shop's file, which only `cutting` knows.
    ("sheets", "cutting jigs revise loads parts joints boards values plans drawing shape"),
    ("fullsize", "jigs parts joints boards values drawing shape"),
    // Beside the sheets: corners are relieved and the drawing proved clean before a writer sees it.
    // Router templates are drawn for a machine like any part.
    ("cutting", "jigs parts joints boards values plans drawing shape"),
    ("files", "cutting jigs sheets loads parts joints boards values plans drawing shape"),
    ("lib", "*"),
    ("writing", "*"),
    ("cli", "lib spec files checks plans revise"),
    ("main", "cli"),
];
const GROUND: [&str; 3] = ["length", "trade", "diagnose"];

/// What only the command line may touch: files, the clock, the environment, printing.
const OUTSIDE_WORLD: [&str; 7] =
    ["std::fs", "std::env", "std::time", "std::net", "std::process", "println!", "eprintln!"];

/// Crates that only one place may name, so that they can be changed there.
const ONE_PLACE: [(&str, &[&str]); 6] = [
    ("dxf::", &["src/files/"]),
    ("svg::", &["src/files/svg"]),
    ("printpdf::", &["src/files/pdf"]),
    ("lopdf::", &["src/files/pdf"]),
    ("cavalier_contours", &["src/shape/"]),
    ("serde_yaml", &["src/spec/"]),
];

/// Code lines a file may have before it is two rooms; comments, tests and blank lines do not count.
const MOST_LINES: usize = 400;

fn sources() -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    gather(Path::new("src"), &mut found);
    found.sort();
    assert!(found.len() > 10, "run from the crate's own folder");
    found
}

fn gather(folder: &Path, found: &mut Vec<(PathBuf, String)>) {
    for entry in fs::read_dir(folder).expect("src is there").flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = fs::read_to_string(&path).expect("source files are text");
            found.push((path, text));
        }
    }
}

/// The room of a file: the first name under src.
fn room(path: &Path) -> String {
    let name = path.components().nth(1).expect("under src").as_os_str().to_string_lossy();
    name.trim_end_matches(".rs").to_string()
}

/// A file without its unit tests and without comments.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]").next().unwrap_or("");
    text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// Rooms named after `crate::` anywhere in the code.
fn imports(code: &str) -> BTreeSet<String> {
    code.split("crate::")
        .skip(1)
        .flat_map(|rest| {
            let rest = rest.strip_prefix('{').map_or_else(
                || rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or("").to_string(),
                |many| many.split('}').next().unwrap_or("").to_string(),
            );
            rest.split(',').map(|r| r.trim().split("::").next().unwrap_or("").to_string()).collect::<Vec<_>>()
        })
        .filter(|name| !name.is_empty())
        .collect()
}

#[test]
fn imports_run_one_way() {
    let table: BTreeMap<&str, BTreeSet<&str>> =
        IMPORTS.iter().map(|(room, may)| (*room, may.split_whitespace().collect())).collect();
    let mut faults = Vec::new();
    for (path, text) in sources() {
        let room = room(&path);
        let Some(may) = table.get(room.as_str()) else {
            faults.push(format!("{}: room `{room}` is not in the table", path.display()));
            continue;
        };
        for import in imports(&code(&text)) {
            let ground = GROUND.contains(&import.as_str()) && !GROUND[..].contains(&room.as_str());
            let known = table.contains_key(import.as_str());
            if known && import != room && !ground && !may.contains(import.as_str()) && !may.contains("*") {
                faults.push(format!("{}: `{room}` may not import `{import}`", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_writers_of_svg_and_pdf_see_only_the_drawing() {
    for (path, text) in sources() {
        let name = path.to_string_lossy();
        if name.contains("files/svg") || name.contains("files/pdf") {
            let seen = imports(&code(&text));
            let allowed = ["drawing", "shape", "length", "trade", "diagnose", "files"];
            let wrong: Vec<_> = seen.iter().filter(|i| !allowed.contains(&i.as_str())).collect();
            assert!(wrong.is_empty(), "{name} imports {wrong:?}");
        }
    }
}

#[test]
fn what_rebuilds_a_part_does_not_know_the_planner() {
    let (_, text) = sources()
        .into_iter()
        .find(|(path, _)| path.ends_with("sheets/rebuild.rs"))
        .expect("sheets/rebuild.rs proves that a part's drawing is complete (I7)");
    for planner in ["dimension::", "lines::", "lanes::", "super::dimension", "super::lines", "super::lanes"] {
        assert!(!code(&text).contains(planner), "rebuild.rs names {planner}");
    }
}

#[test]
fn only_the_command_line_touches_the_world() {
    let mut faults = Vec::new();
    for (path, text) in sources() {
        if ["cli", "main"].contains(&room(&path).as_str()) {
            continue;
        }
        let code = code(&text);
        for word in OUTSIDE_WORLD.iter().chain(&["HashMap", "HashSet"]) {
            if code.contains(word) {
                faults.push(format!("{}: {word}", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "the library is pure:\n{}", faults.join("\n"));
}

#[test]
fn each_format_crate_has_one_place() {
    let mut faults = Vec::new();
    for (path, text) in sources() {
        let name = path.to_string_lossy();
        for (word, places) in ONE_PLACE {
            let named = code(&text).lines().any(|line| {
                line.match_indices(word).any(|(at, _)| {
                    let before = line[..at].chars().next_back();
                    !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
                })
            });
            if named && !places.iter().any(|p| name.starts_with(p)) {
                faults.push(format!("{name}: {word}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_file_opens_with_what_it_is_for() {
    let missing: Vec<_> = sources()
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| path.display().to_string())
        .collect();
    assert!(missing.is_empty(), "no door: {missing:?}");
}

#[test]
fn files_stay_short() {
    let long: Vec<_> = sources()
        .into_iter()
        .filter_map(|(path, text)| {
            let lines = code(&text).lines().filter(|l| !l.trim().is_empty()).count();
            (lines > MOST_LINES).then(|| format!("{} {lines}", path.display()))
        })
        .collect();
    assert!(long.is_empty(), "two rooms in one file: {long:?}");
}

#[test]
fn lints_are_not_switched_off_without_a_reason() {
    for (path, text) in sources() {
        for (number, line) in text.lines().enumerate() {
            let bare = line.contains("#[allow(") || line.contains("#![allow(");
            assert!(!bare || line.contains("reason"), "{}:{}: {line}", path.display(), number + 1);
        }
    }
}
