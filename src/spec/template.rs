//! Templates: found, and laid under the assemblies that name them. A file beside the job goes before a built-in one.

use std::collections::BTreeMap;

use super::language::AssemblySpec;
use super::merge::lay_over;
use super::node::{Key, Node, NodeKind};
use super::read::{Kind, Section};
use super::source::read_text;
use super::{SourceError, Sources, unavailable};
use crate::diagnose::{Diagnostic, Faults, Files, nearest};

/// A template that the program brings along.
#[derive(Clone, Copy, Debug)]
pub struct BuiltIn {
    /// Its name, which is also its file's.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// The templates that the program brings along: one row each.
pub const BUILT_IN: &[BuiltIn] = &[
    BuiltIn { name: "bay-bench", text: include_str!("../../templates/bay-bench.yaml") },
    BuiltIn { name: "panel-wall", text: include_str!("../../templates/panel-wall.yaml") },
    BuiltIn { name: "shelf-bay", text: include_str!("../../templates/shelf-bay.yaml") },
];

/// What the texts of built-in templates are called, before their name: they are no files of the job.
pub const BUILT_IN_FILE: &str = "built-in template ";

/// Lays each assembly over the template it names.
pub fn apply(sources: &dyn Sources, root: &mut Node, files: &mut Files, faults: &mut Faults) {
    let mut found: BTreeMap<String, Option<Node>> = BTreeMap::new();
    for assembly in assemblies(root) {
        let Some(named) = assembly.1.get("template") else { continue };
        let (Some(name), place) = (named.text(), named.place) else { continue };
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '_' | '-');
        if name.is_empty() || !name.chars().all(plain) {
            continue; // the reader reports a name that is none
        }
        let name = name.to_owned();
        let template = found.entry(name.clone()).or_insert_with(|| {
            let path = format!("templates/{name}.yaml");
            let (path, text) = match sources.read(&path) {
                Ok(text) => (path, text),
                Err(SourceError::NotFound) => match BUILT_IN.iter().find(|t| t.name == name) {
                    Some(built_in) => (format!("{BUILT_IN_FILE}{name}"), built_in.text.to_owned()),
                    None => {
                        faults.push(unknown_template(&name, place));
                        return None;
                    }
                },
                Err(error) => {
                    faults.push(unavailable(place, &path, &error));
                    return None;
                }
            };
            let file = files.add(path, &text);
            let node = read_text(file, &text, faults)?;
            for (key, _) in node.entries().iter().filter(|(k, _)| OF_ASSEMBLY.contains(&k.name.as_str())) {
                let message = format!("a template has no key `{}`: only an assembly has", key.name);
                faults.push(
                    Diagnostic::error("unknown-key", key.place, message)
                        .propose("take it out here and give it in the assembly"),
                );
            }
            Some(node)
        });
        if let Some(template) = template {
            let top = std::mem::replace(&mut assembly.1, Node::empty_map(place));
            assembly.1 = lay_over(template.clone(), top, &Kind::Section(AssemblySpec::ROW));
        }
    }
}

/// Keys that say where and how a template is used; a template itself cannot know.
const OF_ASSEMBLY: [&str; 4] = ["template", "with", "at", "turn"];

fn unknown_template(name: &str, place: crate::diagnose::Place) -> Diagnostic {
    let known: Vec<&str> = BUILT_IN.iter().map(|t| t.name).collect();
    let fault = Diagnostic::error("unknown-template", place, format!("there is no template `{name}`"));
    match nearest(name, known.iter().copied()) {
        Some(near) => fault.propose(format!("write `{near}`")),
        None => fault.propose(format!(
            "choose {}, or put your own beside the job as `templates/{name}.yaml`",
            known.join(", ")
        )),
    }
}

/// The assemblies, to change them.
pub fn assemblies(root: &mut Node) -> &mut [(Key, Node)] {
    match root.get_mut("assemblies").map(|node| &mut node.kind) {
        Some(NodeKind::Map(entries)) => entries,
        _ => &mut [],
    }
}

/// Names of an assembly's parameters.
pub fn parameters(assembly: &Node) -> Vec<&str> {
    assembly
        .get("parameters")
        .map_or(&[][..], Node::entries)
        .iter()
        .map(|(key, _)| key.name.as_str())
        .collect()
}

/// Reports what stands under `with` and is no parameter. A misspelt one is read as what was meant.
pub fn check_parameters(root: &mut Node, faults: &mut Faults) {
    for (owner, assembly) in assemblies(root) {
        // Where the template itself could not be had, everything would be unknown.
        if assembly.get("template").is_some() && assembly.get("parameters").is_none() {
            continue;
        }
        let known: Vec<String> = parameters(assembly).into_iter().map(str::to_owned).collect();
        let Some(NodeKind::Map(given)) = assembly.get_mut("with").map(|node| &mut node.kind) else {
            continue;
        };
        let mut taken: Vec<String> = given.iter().map(|(key, _)| key.name.clone()).collect();
        for (key, _) in given.iter_mut().filter(|(key, _)| !known.contains(&key.name)) {
            let message = format!("`{}` has no parameter `{}`", owner.name, key.name);
            let fault = Diagnostic::error("unknown-parameter", key.place, message);
            let near = nearest(&key.name, known.iter().map(String::as_str));
            faults.push(match near.filter(|near| !taken.iter().any(|t| t == near)) {
                Some(near) => {
                    taken.push(near.to_owned());
                    near.clone_into(&mut key.name);
                    fault.replace(key.place, near, format!("write `{near}`"))
                }
                None if known.is_empty() => fault.propose("take it out"),
                None => fault.propose(format!("the parameters are {}", known.join(", "))),
            });
        }
    }
}

/// Turns `keep: no` of a part into `when: no`: the name stays known, so that a template's joints with that part fall
/// away in silence as they do for any part that is not there.
pub fn leave_out(root: &mut Node) {
    for (_, assembly) in assemblies(root) {
        let Some(NodeKind::Map(parts)) = assembly.get_mut("parts").map(|node| &mut node.kind) else {
            continue;
        };
        for (_, part) in parts {
            let NodeKind::Map(entries) = &mut part.kind else { continue };
            let left_out = entries.iter().find_map(|(key, node)| {
                let no = matches!(node.text(), Some("no" | "No" | "NO" | "false" | "False" | "FALSE"));
                (key.name == "keep" && no).then_some((key.place, node.place))
            });
            if let Some((key, value)) = left_out {
                entries.retain(|(k, _)| k.name != "when");
                entries.push((Key { name: "when".to_owned(), place: key }, Node::scalar("no", value)));
            }
        }
    }
}
