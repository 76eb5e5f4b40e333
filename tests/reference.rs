//! The reference of the language is whole: every key has its row in the tables and stands in an example, and every
//! example is read in silence. `UPDATE=1` rewrites the tables.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use tickstick::cli::report;
use tickstick::diagnose::Faults;
use tickstick::spec::language::{Spec, TemplateSpec};
use tickstick::spec::node::{Node, NodeKind};
use tickstick::spec::read::Section;
use tickstick::spec::rows::{Kind, SectionRow};
use tickstick::spec::schema::{schema, sections, table};
use tickstick::spec::source::read_text;
use tickstick::spec::{BUILT_IN, SourceError, Sources};

fn reference() -> (PathBuf, String) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/README.md");
    let text = std::fs::read_to_string(&path).expect("the reference");
    (path, text)
}

#[test]
fn tables_of_the_reference_are_those_of_the_language() {
    let (path, text) = reference();
    let mut wanted = String::new();
    let mut seen = BTreeSet::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("<!-- keys of ") {
        let (name, after) = after.split_once(" -->\n").expect("a whole comment");
        let (_, after) = after.split_once("<!-- end -->\n").expect("an end");
        let row = sections().into_iter().find(|row| row.name == name).expect("a section of the language");
        seen.insert(name);
        wanted.push_str(&format!("{before}<!-- keys of {name} -->\n{}\n<!-- end -->\n", table(row)));
        rest = after;
    }
    wanted.push_str(rest);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &wanted).expect("the reference can be written");
    } else {
        assert!(wanted == text, "templates/README.md differs from the language: run with UPDATE=1");
    }
    for row in sections() {
        assert!(seen.contains(row.name), "templates/README.md has no table for {}", row.name);
    }
}

/// The examples by what their first line calls them: a file's name, or `spec.yaml` with a number.
fn examples() -> Vec<(String, String)> {
    let (_, text) = reference();
    let mut all = Vec::new();
    for (number, block) in text.split("```yaml\n").skip(1).enumerate() {
        let example = block.split("```").next().expect("an end").to_owned();
        let first = example.lines().next().expect("a line").trim_start_matches("# ");
        let file = first.split(':').next().filter(|name| name.ends_with(".yaml"));
        all.push((file.map_or_else(|| format!("spec {number}"), str::to_owned), example));
    }
    all
}

struct Examples(BTreeMap<String, String>);

impl Sources for Examples {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        self.0.get(path).cloned().ok_or(SourceError::NotFound)
    }
}

#[test]
fn examples_are_read_in_silence() {
    let sources = Examples(examples().into_iter().collect());
    for name in sources.0.keys().filter(|name| !name.starts_with("templates/")) {
        let (loaded, faults) = tickstick::spec::read(&sources, name, &[]);
        let text = report::text(&faults.into_sorted(), &loaded.files, "");
        assert!(text.is_empty(), "{text}");
    }
}

/// Notes every key of the language that an example uses.
fn walk(node: &Node, kind: &Kind, used: &mut BTreeSet<(&'static str, &'static str)>) {
    match (kind, &node.kind) {
        (Kind::Section(row), NodeKind::Map(entries)) => {
            for (key, value) in entries {
                if let Some((owner, row)) = find(row, &key.name) {
                    used.insert((owner, row.key));
                    walk(value, &row.kind, used);
                }
            }
        }
        (Kind::Named(inner), NodeKind::Map(entries)) => {
            entries.iter().for_each(|(_, value)| walk(value, inner, used));
        }
        (Kind::OneOrMany(inner) | Kind::List(inner), NodeKind::List(all)) => {
            all.iter().for_each(|value| walk(value, inner, used));
        }
        (Kind::OneOrMany(inner), _) => walk(node, inner, used),
        _ => {}
    }
}

/// The row of a key and the section that owns it, looked for in flat sections too.
fn find(row: &SectionRow, key: &str) -> Option<(&'static str, &'static tickstick::spec::rows::KeyRow)> {
    row.rows.iter().find_map(|own| match own.kind {
        Kind::Section(inner) if own.flat => find(inner, key),
        _ => (own.key == key).then_some((row.name, own)),
    })
}

#[test]
fn every_key_stands_in_an_example() {
    let mut used = BTreeSet::new();
    for (name, text) in examples() {
        let mut faults = Faults::new();
        let node = read_text(0, &text, &mut faults).expect("an example is YAML");
        let whole = if name.starts_with("templates/") { TemplateSpec::ROW } else { Spec::ROW };
        walk(&node, &Kind::Section(whole), &mut used);
    }
    let mut absent = Vec::new();
    for section in sections() {
        for key in section.rows.iter().filter(|key| !key.flat) {
            if !used.contains(&(section.name, key.key)) {
                absent.push(format!("{}.{}", section.name, key.key));
            }
        }
    }
    assert!(absent.is_empty(), "no example for {}", absent.join(", "));
}

#[test]
fn the_schema_names_every_key_and_points_nowhere_in_vain() {
    let schema = schema();
    let definitions = schema["$defs"].as_object().expect("definitions");
    for section in sections() {
        let properties = definitions[section.name]["properties"].as_object().expect("properties");
        let keys: BTreeSet<&str> = section.keys().iter().map(|key| key.key).collect();
        assert_eq!(properties.keys().map(String::as_str).collect::<BTreeSet<_>>(), keys, "{}", section.name);
        for key in section.keys() {
            assert!(properties[key.key]["description"].as_str().is_some_and(|text| !text.is_empty()));
        }
    }
    let text = schema.to_string();
    for reference in text.split("\"$ref\":\"").skip(1) {
        let name = reference.split('"').next().and_then(|r| r.strip_prefix("#/$defs/")).expect("a reference");
        assert!(definitions.contains_key(name), "{name}");
    }
}

#[test]
fn the_reference_names_every_built_in_template() {
    let (_, text) = reference();
    for template in BUILT_IN {
        assert!(text.contains(&format!("`{}`", template.name)), "{}", template.name);
    }
}
