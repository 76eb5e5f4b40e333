//! A file and the files it includes, laid over one another. Paths stay inside the spec's folder.

use super::merge::lay_over;
use super::node::{Node, NodeKind};
use super::source::read_text;
use super::{Sources, WHOLE, outside, unavailable};
use crate::diagnose::{Diagnostic, Faults, Files, Place};

/// Most files in a job, so that includes cannot multiply.
const MOST_FILES: usize = 64;
/// Most files that include one another in a row.
const MOST_DEEP: usize = 8;

/// Reads a file and lays it over what it includes: a later include over an earlier, the file itself over all.
pub fn read_with_includes(
    sources: &dyn Sources,
    name: &str,
    files: &mut Files,
    faults: &mut Faults,
) -> Option<Node> {
    let mut reading = Reading { sources, files, faults, open: Vec::new(), done: Vec::new() };
    reading.file(name, None)
}

struct Reading<'a> {
    sources: &'a dyn Sources,
    files: &'a mut Files,
    faults: &'a mut Faults,
    /// The files that include one another just now.
    open: Vec<String>,
    /// The files that were read.
    done: Vec<String>,
}

impl Reading<'_> {
    fn file(&mut self, path: &str, from: Option<Place>) -> Option<Node> {
        let text = match self.sources.read(path) {
            // Some editors put a mark before the first character that tells the encoding and is no part of the text.
            Ok(text) => text.strip_prefix('\u{feff}').map_or(text.clone(), str::to_owned),
            Err(error) => {
                let place =
                    from.unwrap_or_else(|| Place { file: self.files.add(path, ""), ..Place::default() });
                self.faults.push(unavailable(place, path, &error));
                return None;
            }
        };
        let file = self.files.add(path, &text);
        let mut node = read_text(file, &text, self.faults)?;
        self.open.push(path.to_owned());
        self.done.push(path.to_owned());
        let mut below: Option<Node> = None;
        for (typed, place) in includes(&node) {
            if let Some(included) = self.include(path, &typed, place) {
                below = Some(match below {
                    Some(earlier) => lay_over(earlier, included, &WHOLE),
                    None => included,
                });
            }
        }
        self.open.pop();
        if from.is_some() {
            remove(&mut node, "include");
        }
        Some(match below {
            Some(below) => lay_over(below, node, &WHOLE),
            None => node,
        })
    }

    fn include(&mut self, path: &str, typed: &str, place: Place) -> Option<Node> {
        let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
        let Some(path) = inside(folder, typed) else {
            self.faults.push(outside(place, typed));
            return None;
        };
        if let Some(at) = self.open.iter().position(|open| *open == path) {
            let mut circle: Vec<&str> = self.open.iter().skip(at).map(String::as_str).collect();
            circle.push(&path);
            let message = format!("files include one another in a circle: {}", circle.join(" → "));
            self.faults
                .push(Diagnostic::error("include-circle", place, message).propose("take this include out"));
            return None;
        }
        if self.done.contains(&path) {
            return None;
        }
        if self.open.len() >= MOST_DEEP || self.done.len() >= MOST_FILES {
            let message = format!(
                "a job reads at most {MOST_FILES} files, at most {MOST_DEEP} including one another in a row"
            );
            self.faults
                .push(Diagnostic::error("too-many-files", place, message).propose("bring files together"));
            return None;
        }
        self.file(&path, Some(place))
    }
}

/// The paths under `include`; what is wrong with their kind is left to the reader.
fn includes(node: &Node) -> Vec<(String, Place)> {
    let Some(node) = node.get("include") else { return Vec::new() };
    let all = match &node.kind {
        NodeKind::List(all) => all.as_slice(),
        _ => std::slice::from_ref(node),
    };
    all.iter().filter_map(|n| n.text().map(|text| (text.to_owned(), n.place))).collect()
}

fn remove(node: &mut Node, key: &str) {
    if let NodeKind::Map(entries) = &mut node.kind {
        entries.retain(|(k, _)| k.name != key);
    }
}

/// The path from the spec's folder of what `typed` names in `folder`; `None` where it leads out of it, or could on
/// some system.
pub fn inside(folder: &str, typed: &str) -> Option<String> {
    let odd = |c: char| c.is_control() || matches!(c, '\\' | ':' | '\0');
    if typed.is_empty() || typed.starts_with(['/', '~']) || typed.contains(odd) {
        return None;
    }
    let mut names: Vec<&str> = folder.split('/').filter(|n| !n.is_empty()).collect();
    for name in typed.split('/') {
        match name {
            "" | "." => {}
            ".." => {
                names.pop()?;
            }
            name => names.push(name),
        }
    }
    (!names.is_empty()).then(|| names.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_inside() {
        assert_eq!(inside("", "shop.yaml").as_deref(), Some("shop.yaml"));
        assert_eq!(inside("a/b", "../c/./d.yaml").as_deref(), Some("a/c/d.yaml"));
        for bad in
            ["", "/etc/x", "../x", "a/../../x", "..\\x", "C:x", "~/x", "http://x", "a\u{0}b", ".", "a/.."]
        {
            assert_eq!(inside("", bad), None, "{bad:?}");
        }
    }
}
