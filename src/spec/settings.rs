//! Settings from the command line: names and values that go before those of the spec. Each is a small text of its own,
//! so that a fault can point into it.

use super::node::{Key, Node, NodeKind};
use super::template::{assemblies, parameters};
use crate::diagnose::{Diagnostic, Faults, Files, Place, nearest};

/// What the texts of settings are called.
pub const FILE: &str = "--set";

/// Puts each setting where it belongs: under `with` of the assembly that has the parameter, or under `values`.
pub fn apply(settings: &[(String, String)], root: &mut Node, files: &mut Files, faults: &mut Faults) {
    for (name, value) in settings {
        let file = files.add(FILE, format!("{name}={value}"));
        let small = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let name_place = Place { file, start: 0, end: small(name.len()) };
        let value_place =
            Place { file, start: small(name.len() + 1), end: small(name.len() + 1 + value.len()) };
        if value.trim().is_empty() {
            faults.push(
                Diagnostic::error("nothing-given", name_place, format!("`{name}` is set to nothing"))
                    .propose(format!("write `--set {name}=VALUE`")),
            );
            continue;
        }
        let node = Node::scalar(value.as_str(), value_place);
        let mut target = target(name, root);
        if let Target::Unknown(known) = &target {
            let message = format!("nothing is called `{name}`: neither a parameter nor a value of the job");
            let fault = Diagnostic::error("unknown-setting", name_place, message);
            let near = nearest(name, known.iter().map(String::as_str)).map(str::to_owned);
            // A misspelt name is read as what was meant, so that one slip is one fault.
            let meant = near.as_deref().map(|near| self::target(near, root));
            faults.push(match (&near, &meant) {
                (_, Some(Target::Several(owners))) => {
                    fault.propose(format!("write `{}={value}`", owners.join(&format!("={value}` or `"))))
                }
                (Some(near), _) => {
                    fault.replace(name_place, near.as_str(), format!("write `{near}={value}`"))
                }
                _ if known.is_empty() => fault.propose("this spec has nothing to set"),
                _ => fault.propose(format!("what can be set: {}", known.join(", "))),
            });
            match meant {
                None | Some(Target::Several(_)) => continue,
                Some(meant) => target = meant,
            }
        }
        match target {
            Target::With(at, parameter) => {
                if let Some((_, assembly)) = assemblies(root).get_mut(at) {
                    put(assembly, "with", Key { name: parameter, place: name_place }, node);
                }
            }
            Target::Value(value) => {
                let unit = root.get("values").and_then(|values| values.get(&value)).and_then(unit_of);
                let bare = node.text().is_some_and(is_bare);
                let node = match unit.filter(|_| bare) {
                    Some(unit) => {
                        Node::scalar(format!("{}{unit}", node.text().unwrap_or_default()), value_place)
                    }
                    None => node,
                };
                put(root, "values", Key { name: value, place: name_place }, node);
            }
            Target::Several(owners) => faults.push(
                Diagnostic::error(
                    "ambiguous-setting",
                    name_place,
                    format!("`{name}` can be set in {}", owners.join(" and ")),
                )
                .propose(format!("write `{}={value}`", owners.first().map_or("", String::as_str))),
            ),
            Target::Unknown(_) => {}
        }
    }
}

/// True for a number without a unit: `70`, `70.5`, `70 1/2`.
fn is_bare(text: &str) -> bool {
    let text = text.trim();
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-'))
}

/// The unit of a value that is one length, with the blank before it.
fn unit_of(node: &Node) -> Option<String> {
    let text = node.text()?.trim();
    let at = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-')))?;
    let (number, unit) = text.split_at(at);
    let known = matches!(unit, "\"" | "'" | "mm" | "cm" | "m" | "in" | "ft");
    (known && is_bare(number)).then(|| format!("{}{unit}", &number[number.trim_end().len()..]))
}

enum Target {
    /// Parameter of the assembly at this index.
    With(usize, String),
    /// Value of the job.
    Value(String),
    /// Full names of all that could be meant.
    Several(Vec<String>),
    /// Nothing; all that can be set.
    Unknown(Vec<String>),
}

fn target(name: &str, root: &mut Node) -> Target {
    let mut meant = Vec::new();
    let mut known = Vec::new();
    for (at, (owner, assembly)) in assemblies(root).iter().enumerate() {
        for parameter in parameters(assembly) {
            let full = format!("{}.{parameter}", owner.name);
            if name == full || name == parameter {
                meant.push((full.clone(), Target::With(at, parameter.to_owned())));
            }
            known.push(parameter.to_owned());
            known.push(full);
        }
    }
    for (key, _) in root.get("values").map_or(&[][..], Node::entries) {
        let full = format!("values.{}", key.name);
        if name == full || name == key.name {
            meant.push((full, Target::Value(key.name.clone())));
        }
        known.push(key.name.clone());
    }
    if meant.len() > 1 {
        return Target::Several(meant.into_iter().map(|(full, _)| full).collect());
    }
    known.sort();
    known.dedup();
    meant.pop().map_or(Target::Unknown(known), |(_, target)| target)
}

/// Puts an entry into a map of a group; what stood there gives way.
fn put(group: &mut Node, map: &str, key: Key, value: Node) {
    let NodeKind::Map(entries) = &mut group.kind else { return };
    if !entries.iter().any(|(k, n)| k.name == map && matches!(n.kind, NodeKind::Map(_))) {
        entries.retain(|(k, _)| k.name != map);
        entries.push((Key { name: map.to_owned(), place: key.place }, Node::empty_map(key.place)));
    }
    let Some((_, Node { kind: NodeKind::Map(held), .. })) = entries.iter_mut().find(|(k, _)| k.name == map)
    else {
        return;
    };
    held.retain(|(k, _)| k.name != key.name);
    held.push((key, value));
}
