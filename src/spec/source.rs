//! From the text of one file to a tree of placed values. Limits come first, from the events of a YAML scanner that
//! expands nothing: size, depth, number of values, keys given twice, aliases, tags. Only then are the values read with
//! serde_yaml, along the shape and the places that the first pass found; where the two readers differ, that is a
//! fault, never a guess. Knows no key of the language.

use std::collections::BTreeMap;
use std::fmt;

use saphyr_parser::{Event, Parser, ScalarStyle, ScanError};
use serde::de::{DeserializeSeed, MapAccess, SeqAccess, Visitor};

use super::node::{Key, Node, NodeKind};
use crate::diagnose::{Diagnostic, Faults, Place};

/// The largest file, in bytes: some hundred times a large job.
pub const MOST_BYTES: u64 = 1024 * 1024;
/// How deep lists and groups may lie in one another; the language itself goes nine deep.
pub const MOST_DEPTH: usize = 64;
/// Most values in a file.
pub const MOST_VALUES: usize = 100_000;

/// Reads one file's text. `None` where there is nothing to go on with; the faults say why.
pub fn read_text(file: u16, text: &str, faults: &mut Faults) -> Option<Node> {
    if text.len() as u64 > MOST_BYTES {
        faults.push(too_large(Place { file, start: 0, end: 0 }, text.len() as u64));
        return None;
    }
    let shape = match scan(file, text) {
        Ok(shape) => shape,
        Err(found) => {
            faults.extend(found);
            return None;
        }
    };
    // serde_yaml gives the values; along the shape, so that no number is made of `0.10` or `1_000`.
    match Join(&shape).deserialize(serde_yaml::Deserializer::from_str(text)) {
        Ok(node) => Some(node),
        Err(error) => {
            let at = error.location().map_or(0, |l| l.index());
            let place = character_at(file, text, at);
            // The message ends with lines and columns of its own; ours are shown.
            let reason = error.to_string();
            let reason = reason.split(" at line ").next().unwrap_or(&reason);
            faults.push(unreadable(place, reason));
            None
        }
    }
}

/// The fault for a file that is too large to be read.
pub fn too_large(place: Place, bytes: u64) -> Diagnostic {
    Diagnostic::error(
        "file-too-large",
        place,
        format!("the file has {bytes} bytes; the most is {MOST_BYTES} (1 MiB)"),
    )
    .propose(
        "check that this is the spec; put what several jobs share into files of their own under `include`",
    )
}

/// A list or a group that is still open.
struct Open {
    place: Place,
    /// True where brackets or braces were written.
    flow: bool,
    held: Held,
}

enum Held {
    List(Vec<Node>),
    Map { entries: Vec<(Key, Node)>, seen: BTreeMap<String, Place>, key: Option<Key> },
}

struct Scan<'t> {
    file: u16,
    text: &'t str,
    /// First byte of each character, then the length: the scanner counts characters.
    bytes: Vec<u32>,
    open: Vec<Open>,
    root: Option<Node>,
    found: Vec<Diagnostic>,
}

/// The shape of the text, or what is wrong with it.
fn scan(file: u16, text: &str) -> Result<Node, Vec<Diagnostic>> {
    let mut bytes: Vec<u32> = text.char_indices().filter_map(|(i, _)| u32::try_from(i).ok()).collect();
    bytes.push(u32::try_from(text.len()).unwrap_or(u32::MAX));
    let mut scan = Scan { file, text, bytes, open: Vec::new(), root: None, found: Vec::new() };
    if scan.run().is_err() || !scan.found.is_empty() {
        return Err(scan.found);
    }
    match scan.root.take() {
        Some(node @ Node { kind: NodeKind::Map(_), .. }) => Ok(node),
        Some(Node { kind: NodeKind::Scalar { .. } | NodeKind::List(_), place }) => Err(vec![
            Diagnostic::error(
                "wrong-kind",
                place,
                "the file holds no keys: it must begin with a line `key: …`",
            )
            .propose("begin with `job:`, `stock:` and `assemblies:`, each with what belongs to it"),
        ]),
        _ => Err(vec![
            Diagnostic::error("empty-file", Place { file, start: 0, end: 0 }, "the file holds nothing")
                .propose("`tickstick new bay-bench` prints a spec to begin with"),
        ]),
    }
}

/// The scan cannot go on; the fault is in `found`.
struct Stop;

impl Scan<'_> {
    fn run(&mut self) -> Result<(), Stop> {
        let mut values = 0_usize;
        let mut documents = 0_usize;
        for step in Parser::new_from_str(self.text) {
            let (event, span) = match step {
                Ok(step) => step,
                Err(error) => return self.stop(self.scan_fault(&error)),
            };
            let place = self.place(span.start.index(), span.end.index());
            match event {
                Event::DocumentStart(_) => {
                    documents += 1;
                    if documents > 1 {
                        return self.stop(
                            Diagnostic::error("second-document", place, "a second document begins here")
                                .propose("a file holds one document: take out the line `---`"),
                        );
                    }
                }
                Event::Alias(_) => self.alias(place),
                Event::Scalar(text, style, anchor, tag) => {
                    values += 1;
                    self.marked(place, anchor, tag.is_some());
                    self.scalar(&text, style, place);
                }
                Event::SequenceStart(anchor, tag) => {
                    values += 1;
                    self.marked(place, anchor, tag.is_some());
                    self.begin(place, !span.is_empty(), Held::List(Vec::new()))?;
                }
                Event::MappingStart(anchor, tag) => {
                    values += 1;
                    self.marked(place, anchor, tag.is_some());
                    let held = Held::Map { entries: Vec::new(), seen: BTreeMap::new(), key: None };
                    self.begin(place, !span.is_empty(), held)?;
                }
                Event::SequenceEnd | Event::MappingEnd => self.end(place),
                _ => {}
            }
            if values > MOST_VALUES {
                return self.stop(
                    Diagnostic::error(
                        "too-many-values",
                        place,
                        format!("the file holds more than {MOST_VALUES} values"),
                    )
                    .propose("say repeats with `count` and `i` instead of writing each board out"),
                );
            }
        }
        Ok(())
    }

    fn stop(&mut self, fault: Diagnostic) -> Result<(), Stop> {
        self.found.push(fault);
        Err(Stop)
    }

    fn place(&self, start: usize, end: usize) -> Place {
        let last = self.bytes.last().copied().unwrap_or(0);
        let byte = |character: usize| self.bytes.get(character).copied().unwrap_or(last);
        Place { file: self.file, start: byte(start), end: byte(end.max(start)) }
    }

    fn alias(&mut self, place: Place) {
        // Kept as an empty value so that the scan can go on: the fault stops the reading anyway.
        self.found_once(
            Diagnostic::error("alias", place, "an alias (`*name`) stands here; the spec has none")
                .propose("write the value out, or name it once under `values` and use the name in formulas"),
        );
        self.add(Node { place, kind: NodeKind::Nothing { written: false } });
    }

    fn marked(&mut self, place: Place, anchor: usize, tag: bool) {
        if anchor != 0 {
            self.found_once(
                Diagnostic::error("alias", place, "an anchor (`&name`) stands here; the spec has none")
                    .propose(
                        "take the `&name` out; if the text itself begins with `&`, put it in single quotes",
                    ),
            );
        }
        if tag {
            self.found_once(
                Diagnostic::error("tag", place, "a tag (`!name`) stands here; the spec has none").propose(
                    "take the `!name` out; if the text itself begins with `!`, put it in single quotes",
                ),
            );
        }
    }

    /// Some faults come by the thousand: one of each is enough to cure them.
    fn found_once(&mut self, fault: Diagnostic) {
        if !self.found.iter().any(|f| f.check == fault.check && f.message == fault.message) {
            self.found.push(fault);
        }
    }

    fn scalar(&mut self, text: &str, style: ScalarStyle, place: Place) {
        let inside = match style {
            ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted if place.end >= place.start + 2 => {
                Place { start: place.start + 1, end: place.end - 1, ..place }
            }
            _ => place,
        };
        let quoted = style != ScalarStyle::Plain;
        if let Some(Open { held: Held::Map { key: waiting @ None, seen, .. }, .. }) = self.open.last_mut() {
            if let Some(first) = seen.get(text) {
                let fault = Diagnostic::error("duplicate-key", inside, format!("`{text}` is given twice"))
                    .also(*first, "first given here")
                    .propose("keep one of the two");
                self.found.push(fault);
            } else if text == "<<" && !quoted {
                let fault = Diagnostic::error("merge-key", inside, "a merge key (`<<`) stands here")
                    .propose("write the keys out, or put what is shared into a template");
                self.found.push(fault);
            }
            seen.entry(text.to_owned()).or_insert(inside);
            *waiting = Some(Key { name: text.to_owned(), place: inside });
            return;
        }
        let kind = if !quoted && matches!(text, "" | "~" | "null" | "Null" | "NULL") {
            NodeKind::Nothing { written: !text.is_empty() }
        } else {
            if !quoted && is_no_number(text) {
                self.found.push(
                    Diagnostic::error("no-number", inside, format!("`{text}` is no number to build by"))
                        .propose("give a length such as `18\"` or `450 mm`, or a formula"),
                );
            }
            NodeKind::Scalar { text: text.to_owned(), quoted }
        };
        self.add(Node { place: inside, kind });
    }

    fn begin(&mut self, place: Place, flow: bool, held: Held) -> Result<(), Stop> {
        if let Some(Open { held: Held::Map { key: None, .. }, .. }) = self.open.last() {
            return self.stop(
                Diagnostic::error("wrong-key", place, "a list or a group stands where a key must be").propose(
                    "write a word before the colon; put text that begins with `[` or `{` in single quotes",
                ),
            );
        }
        if self.open.len() >= MOST_DEPTH {
            return self.stop(too_deep(place));
        }
        self.open.push(Open { place, flow, held });
        Ok(())
    }

    fn end(&mut self, end: Place) {
        let Some(open) = self.open.pop() else { return };
        let whole = Place { end: end.end.max(open.place.end), ..open.place };
        let kind = match open.held {
            Held::List(all) => NodeKind::List(all),
            Held::Map { entries, .. } => NodeKind::Map(entries),
        };
        self.add(Node { place: self.visible_place(open.place, open.flow, whole, &kind), kind });
    }

    /// Where to point for a list or a group: the key before it; else the brackets if they stand on one line; else what
    /// comes first in it.
    fn visible_place(&self, start: Place, flow: bool, whole: Place, kind: &NodeKind) -> Place {
        if let Some(Open { held: Held::Map { key: Some(key), .. }, .. }) = self.open.last() {
            return key.place;
        }
        let one_line =
            self.text.get(whole.start as usize..whole.end as usize).is_some_and(|text| !text.contains('\n'));
        if flow && one_line {
            return whole;
        }
        match kind {
            NodeKind::Map(entries) => entries.first().map_or(start, |(key, _)| key.place),
            NodeKind::List(all) => all.first().map_or(start, |node| node.place),
            _ => start,
        }
    }

    fn add(&mut self, node: Node) {
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open { held: Held::List(all), .. }) => all.push(node),
            Some(Open { held: Held::Map { entries, key, .. }, .. }) => match key.take() {
                Some(key) => entries.push((key, node)),
                // Only an alias can come here: it is refused already.
                None => *key = Some(Key { name: String::new(), place: node.place }),
            },
        }
    }

    fn scan_fault(&self, error: &ScanError) -> Diagnostic {
        let at = error.marker().index();
        if error.info().contains("unknown anchor") {
            return Diagnostic::error(
                "alias",
                self.place(at, at + 1),
                "an alias (`*name`) stands here; the spec has none",
            )
            .propose("write the value out; text that begins with `*` needs single quotes");
        }
        if error.info().contains("recursion limit") {
            return too_deep(self.place(at, at + 1));
        }
        unreadable(self.place(at, at + 1), error.info())
    }
}

fn too_deep(place: Place) -> Diagnostic {
    Diagnostic::error(
        "too-deep",
        place,
        format!("lists and groups lie more than {MOST_DEPTH} deep in one another here"),
    )
    .propose("close the brackets that are open; no spec needs more than about ten")
}

fn character_at(file: u16, text: &str, at: usize) -> Place {
    let start = (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
    let length = text.get(start..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
    let small = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Place { file, start: small(start), end: small(start + length) }
}

/// The fault for a text that is no YAML, with the slip of the pen that is its usual cause.
fn unreadable(place: Place, reason: &str) -> Diagnostic {
    let cure = if reason.contains("tabs") {
        "indent with spaces, not with a tab"
    } else if reason.contains("trailing content after double-quoted") {
        "an inch mark ends double quotes: write 3/4\" without quotes, or in single quotes as '3/4\"'"
    } else if reason.contains("block sequence entries") {
        "`- ` begins an entry of a list, on a line of its own; a negative length has no space after its minus"
    } else if reason.contains("mapping values") || reason.contains("illegal placement of ':'") {
        "either this line stands too far to the right or a bracket before it is open, or a text holds `: ` and needs \
         single quotes"
    } else if reason.contains("flow mapping") {
        "a bracket before this place is open, or a value inside braces holds a bracket, as `divider[i].left` does, and needs \
         single quotes"
    } else if reason.contains("unexpected ':'") {
        "put a blank after the colon"
    } else if reason.contains("unexpected character") {
        "a value that begins with this character needs single quotes"
    } else if reason.contains("escape") {
        "in double quotes a `\\` begins an escape; use single quotes"
    } else if reason.contains("unprintable") || reason.contains("control character") {
        "take the control character out"
    } else {
        "look at this line and the one before it: indents, brackets and quotes"
    };
    Diagnostic::error("unreadable-yaml", place, format!("this is no YAML: {reason}")).propose(cure)
}

fn is_no_number(text: &str) -> bool {
    let bare = text.strip_prefix(['+', '-']).unwrap_or(text).to_ascii_lowercase();
    matches!(bare.as_str(), ".nan" | ".inf")
}

/// Reads serde_yaml's values along the shape that the first pass found.
struct Join<'n>(&'n Node);

impl<'de> DeserializeSeed<'de> for Join<'_> {
    type Value = Node;

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<Node, D::Error> {
        match &self.0.kind {
            NodeKind::Scalar { .. } | NodeKind::Nothing { .. } => from.deserialize_str(self),
            NodeKind::List(_) => from.deserialize_seq(self),
            NodeKind::Map(_) => from.deserialize_map(self),
        }
    }
}

impl<'de> Visitor<'de> for Join<'_> {
    type Value = Node;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.0.word())
    }

    fn visit_str<E: serde::de::Error>(self, read: &str) -> Result<Node, E> {
        let place = self.0.place;
        match &self.0.kind {
            NodeKind::Scalar { text, quoted } if text == read => {
                Ok(Node { place, kind: NodeKind::Scalar { text: read.to_owned(), quoted: *quoted } })
            }
            NodeKind::Nothing { .. } if matches!(read, "" | "~" | "null" | "Null" | "NULL") => {
                Ok(self.0.clone())
            }
            _ => Err(E::custom(format!("it can be read in two ways, one of them `{read}`"))),
        }
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Node, A::Error> {
        let NodeKind::List(shape) = &self.0.kind else { return Err(two_ways()) };
        let mut all = Vec::with_capacity(shape.len());
        for node in shape {
            all.push(seq.next_element_seed(Join(node))?.ok_or_else(two_ways)?);
        }
        Ok(Node { place: self.0.place, kind: NodeKind::List(all) })
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let mut entries = Vec::with_capacity(self.0.entries().len());
        for (key, node) in self.0.entries() {
            let name: String = map.next_key()?.ok_or_else(two_ways)?;
            if name != key.name {
                return Err(two_ways());
            }
            entries.push((key.clone(), map.next_value_seed(Join(node))?));
        }
        if map.next_key::<String>()?.is_some() {
            return Err(two_ways());
        }
        Ok(Node { place: self.0.place, kind: NodeKind::Map(entries) })
    }
}

fn two_ways<E: serde::de::Error>() -> E {
    E::custom("its keys can be read in two ways")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Option<Node>, Vec<Diagnostic>) {
        let mut faults = Faults::new();
        let node = read_text(0, text, &mut faults);
        (node, faults.into_sorted())
    }

    fn one_fault(text: &str) -> Diagnostic {
        let (node, faults) = read(text);
        assert!(node.is_none(), "{text:?} was read");
        assert_eq!(faults.len(), 1, "{faults:#?}");
        faults.into_iter().next().expect("one fault")
    }

    #[test]
    fn text_stays_as_typed() {
        let typed =
            ["3/4\"", "0.10", "1_000", "0x10", "1e3", "yes", "007", "5' 4-1/2\"", "2026-03-02", "1:30"];
        for value in typed {
            let (node, faults) = read(&format!("a: {value}\n"));
            assert!(faults.is_empty(), "{faults:#?}");
            assert_eq!(node.expect("read").get("a").and_then(Node::text), Some(value));
        }
    }

    #[test]
    fn places_count_bytes_and_leave_quotes_out() {
        let text = "søm: 'å ½\"'\nb: {c: ⅝}\n";
        let (node, _) = read(text);
        let node = node.expect("read");
        let slice = |p: Place| &text[p.start as usize..p.end as usize];
        assert_eq!(slice(node.get("søm").expect("søm").place), "å ½\"");
        let group = node.get("b").expect("b");
        assert_eq!(slice(group.place), "b", "a group points at its key");
        assert_eq!(slice(group.get("c").expect("c").place), "⅝");
    }

    #[test]
    fn a_key_given_twice_shows_both() {
        let fault = one_fault("a: 1\nb: {c: 1, d: 2, c: 3}\n");
        assert_eq!(fault.check, "duplicate-key");
        assert_eq!((fault.place.start, fault.place.end), (21, 22));
        assert_eq!(fault.also.first().map(|a| a.0.start), Some(9));
    }

    #[test]
    fn what_the_spec_has_not_is_refused_with_its_place() {
        for (text, check, start) in [
            ("a: &x 1\n", "alias", 3),
            ("a: *x\n", "alias", 3),
            ("a: {<<: 1}\n", "merge-key", 4),
            ("a: !!int 1\n", "tag", 3),
            ("? [a]\n: 1\n", "wrong-key", 2),
            ("a: 1\n---\nb: 1\n", "second-document", 5),
            ("a: .nan\n", "no-number", 3),
            ("a: [1, -.INF]\n", "no-number", 7),
            ("# nothing\n", "empty-file", 0),
            ("~\n", "empty-file", 0),
            ("- a\n", "wrong-kind", 2),
            ("a:\n\tb: 1\n", "unreadable-yaml", 4),
            ("thick: \"3/4\"\"\n", "unreadable-yaml", 12),
        ] {
            let fault = one_fault(text);
            assert_eq!((fault.check, fault.place.start), (check, start), "{text:?} {fault:#?}");
        }
    }

    #[test]
    fn a_bomb_of_aliases_is_never_expanded() {
        let mut text = String::from("a0: &a0 [x]\n");
        for n in 1..12 {
            let inner = vec![format!("*a{}", n - 1); 9].join(", ");
            text.push_str(&format!("a{n}: &a{n} [{inner}]\n"));
        }
        let (node, faults) = read(&text);
        assert!(node.is_none());
        assert_eq!(faults.len(), 2, "one for anchors, one for aliases: {faults:#?}");
    }

    #[test]
    fn limits_hold() {
        assert_eq!(one_fault(&format!("a: {}", "[".repeat(100_000))).check, "too-deep");
        assert_eq!(one_fault(&format!("a: {}", "{a: ".repeat(100_000))).check, "too-deep");
        assert_eq!(one_fault(&format!("a: [{}]", "1,".repeat(MOST_VALUES))).check, "too-many-values");
        assert_eq!(one_fault(&" ".repeat(1_048_577)).check, "file-too-large");
    }
}
