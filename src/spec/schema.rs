//! The language described from its own rows: a JSON Schema for editors, and the tables of the reference. Nothing about
//! a key is said here that its row does not say.

use std::fmt::Write;

use serde_json::{Map, Value, json};

use super::language::{Spec, TemplateSpec};
use super::read::{Kind, Section, SectionRow, running};

/// Every section of the language, each once, in the order in which a reader of the spec meets them.
pub fn sections() -> Vec<&'static SectionRow> {
    let mut all = Vec::new();
    collect(Spec::ROW, &mut all);
    all
}

fn collect(row: &'static SectionRow, all: &mut Vec<&'static SectionRow>) {
    if all.iter().any(|known| known.name == row.name) {
        return;
    }
    all.push(row);
    for key in row.rows {
        if let Some(inner) = section_of(&key.kind) {
            collect(inner, all);
        }
    }
}

/// The section that a key holds, alone or several times.
pub fn section_of(kind: &Kind) -> Option<&'static SectionRow> {
    match kind {
        Kind::Section(row) => Some(row),
        Kind::OneOrMany(inner) | Kind::List(inner) | Kind::Named(inner) => section_of(inner),
        _ => None,
    }
}

/// The JSON Schema (draft 2020-12) of a spec; a template file is checked by its `$defs/TemplateSpec`.
///
/// Editors see YAML's numbers and truths, where the program sees the text as typed: so a formula may be either. A key
/// is called required only in lists, for anything else may be completed by a template or an include.
pub fn schema() -> Value {
    let mut in_lists = Vec::new();
    for row in sections() {
        for key in row.rows {
            if let Kind::List(inner) | Kind::OneOrMany(inner) = &key.kind {
                in_lists.extend(section_of(inner).map(|row| row.name));
            }
        }
    }
    let mut definitions = Map::new();
    for row in sections() {
        definitions.insert(row.name.to_owned(), section_schema(row, in_lists.contains(&row.name)));
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A job for tickstick",
        "$ref": format!("#/$defs/{}", Spec::ROW.name),
        "$defs": definitions,
    })
}

fn section_schema(row: &SectionRow, in_list: bool) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for key in row.keys() {
        let mut property = Map::new();
        property.insert("description".to_owned(), json!(running(key.doc)));
        if key.required && in_list {
            required.push(key.key);
            property.insert("anyOf".to_owned(), json!([kind_schema(&key.kind)]));
        } else {
            property.insert("anyOf".to_owned(), json!([kind_schema(&key.kind), {"type": "null"}]));
        }
        properties.insert(key.key.to_owned(), Value::Object(property));
    }
    json!({
        "description": running(row.doc),
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn kind_schema(kind: &Kind) -> Value {
    match kind {
        Kind::Formula | Kind::Words => json!({"type": ["string", "number", "boolean"]}),
        Kind::Name => json!({"type": "string", "pattern": "^[a-z][a-z0-9_-]*$"}),
        Kind::BoardName => {
            json!({"type": "string", "pattern": "^([a-z][a-z0-9_]*\\.)?[a-z][a-z0-9_]*(\\[[0-9]+\\])?$"})
        }
        Kind::Flag => json!({"enum": [true, false, "yes", "no"]}),
        Kind::Choice(words) => json!({"enum": words}),
        Kind::Section(row) => {
            let whole = json!({"$ref": format!("#/$defs/{}", row.name)});
            match row.bare.and_then(|bare| row.rows.iter().find(|key| key.key == bare)) {
                Some(bare) => json!({"anyOf": [whole, kind_schema(&bare.kind)]}),
                None => whole,
            }
        }
        Kind::OneOrMany(inner) => {
            let one = kind_schema(inner);
            json!({"anyOf": [one, {"type": "array", "items": one}]})
        }
        Kind::List(inner) => json!({"type": "array", "items": kind_schema(inner)}),
        Kind::Named(inner) => json!({
            "type": "object",
            "propertyNames": {"pattern": "^[a-z][a-z0-9_]*$"},
            "additionalProperties": kind_schema(inner),
        }),
    }
}

/// The table of a section's keys as the reference shows it.
pub fn table(row: &SectionRow) -> String {
    let mut text = String::from("| key | takes | meaning |\n|---|---|---|\n");
    for key in row.rows {
        if key.flat {
            let inner = section_of(&key.kind).map_or("", |inner| inner.name);
            let whose = if inner == TemplateSpec::ROW.name { "a template" } else { inner };
            let _ = writeln!(text, "| | | and every key of {whose} |");
            continue;
        }
        let must = if key.required { " **Needed.**" } else { "" };
        let meaning = running(key.doc).replace('|', "\\|");
        let _ = writeln!(text, "| `{}` | {} | {meaning}{must} |", key.key, takes(&key.kind));
    }
    text
}

fn takes(kind: &Kind) -> String {
    match kind {
        Kind::Formula => "formula".to_owned(),
        Kind::Words => "text".to_owned(),
        Kind::Name => "name".to_owned(),
        Kind::BoardName => "board's name".to_owned(),
        Kind::Flag => "`yes`, `no`".to_owned(),
        Kind::Choice(words) => words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", "),
        Kind::Section(_) => "keys".to_owned(),
        Kind::OneOrMany(Kind::Section(SectionRow { bare: Some(_), .. })) => {
            "word, keys, or a list".to_owned()
        }
        Kind::OneOrMany(inner) => format!("{} or a list", takes(inner)),
        Kind::List(_) => "list".to_owned(),
        Kind::Named(Kind::Section(_)) => "names, each with keys".to_owned(),
        Kind::Named(inner) => format!("names, each with a {}", takes(inner)),
    }
}
