//! From a tree of values to the structs of the language. Readers report every fault they meet and go on. Knows no
//! formula: their text stays as typed.

use std::borrow::Cow;

pub(crate) use super::declare::{choice, section};
use super::node::{Key, Node, NodeKind};
pub use super::rows::{KeyRow, Kind, SectionRow, running, typed_key};
use crate::diagnose::{Diagnostic, Faults, Place, nearest};

/// The text of a formula, as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Formula {
    /// The text without quotes.
    pub text: String,
    /// Byte n of `text` stands at `place.start + n` wherever the place is as long as the text; it is longer only where
    /// quotes with escapes or several lines were used.
    pub place: Place,
}

/// Free text, shown but never worked out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// The text without quotes.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// A name of something: small letters, digits, `_` and `-`, a letter first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Name {
    /// The name.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// `yes` or `no`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flag {
    /// True for yes.
    pub on: bool,
    /// Where it stands.
    pub place: Place,
}

/// A name of boards: `divider`, one of a run as `divider[2]`, or another assembly's `wall.panel`. What it means is worked
/// out where boards are known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BoardName {
    /// As typed.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// An entry of a map whose keys the maker names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Named<T> {
    /// The key: `[a-z][a-z0-9_]*`, so that formulas can use it.
    pub name: String,
    /// Place of the key.
    pub place: Place,
    /// What it names.
    pub body: T,
}

/// One value, or a list of them; empty where the key is absent.
#[derive(Clone, Debug, PartialEq)]
pub struct OneOrMany<T>(pub Vec<T>);

impl<T> Default for OneOrMany<T> {
    fn default() -> Self {
        OneOrMany(Vec::new())
    }
}

/// Where the keys of a section stand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeyPlaces(Vec<(String, Place, Place)>);

impl KeyPlaces {
    /// Place of a key's value (of the key itself where the value is a group or a list).
    pub fn value(&self, key: &str) -> Option<Place> {
        self.0.iter().find(|(name, ..)| name == key).map(|(_, _, value)| *value)
    }

    /// Place of a key.
    pub fn key(&self, key: &str) -> Option<Place> {
        self.0.iter().find(|(name, ..)| name == key).map(|(_, at, _)| *at)
    }
}

/// Something that one value can be read as.
pub trait Read: Sized {
    /// What it is.
    const KIND: Kind;
    /// Reads it; `None` where a fault was reported. `what` names it in a fault: the key or the name before it.
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self>;
}

/// A group of keys.
pub trait Section: Read {
    /// Its keys.
    const ROW: &'static SectionRow;
    /// Reads the keys of the group, whose unknown keys were looked for already.
    fn read_keys(group: &Node, what: &str, faults: &mut Faults) -> Option<Self>;
}

/// The value of a key that may be absent.
pub trait Field: Sized {
    /// What the key takes.
    const KIND: Kind;
    /// True where it must be there.
    const REQUIRED: bool;
    /// Reads it; `None` only where a required value is missing or wrong.
    fn field(node: Option<&Node>, key: &str, faults: &mut Faults) -> Option<Self>;
}

impl<T: Read> Field for T {
    const KIND: Kind = <T as Read>::KIND;
    const REQUIRED: bool = true;
    fn field(node: Option<&Node>, key: &str, faults: &mut Faults) -> Option<Self> {
        T::read(node?, key, faults)
    }
}

impl<T: Read> Field for Option<T> {
    const KIND: Kind = <T as Read>::KIND;
    const REQUIRED: bool = false;
    fn field(node: Option<&Node>, key: &str, faults: &mut Faults) -> Option<Self> {
        Some(node.and_then(|n| T::read(n, key, faults)))
    }
}

impl<T: Read> Field for OneOrMany<T> {
    const KIND: Kind = Kind::OneOrMany(&<T as Read>::KIND);
    const REQUIRED: bool = false;
    fn field(node: Option<&Node>, key: &str, faults: &mut Faults) -> Option<Self> {
        let Some(node) = node else { return Some(OneOrMany::default()) };
        Some(OneOrMany(match &node.kind {
            NodeKind::List(all) => all.iter().filter_map(|n| T::read(n, key, faults)).collect(),
            _ => T::read(node, key, faults).into_iter().collect(),
        }))
    }
}

/// Something of which a key holds several.
pub trait Several: Sized {
    /// What the key takes.
    const KIND: Kind;
    /// Reads all of them.
    fn read_all(node: &Node, key: &str, faults: &mut Faults) -> Vec<Self>;
}

impl<T: Several> Field for Vec<T> {
    const KIND: Kind = T::KIND;
    const REQUIRED: bool = false;
    fn field(node: Option<&Node>, key: &str, faults: &mut Faults) -> Option<Self> {
        // A key with nothing after it is an empty list: what stood there may be commented out.
        Some(node.map_or_else(Vec::new, |n| T::read_all(n, key, faults)))
    }
}

impl<T: Read> Several for Named<T> {
    const KIND: Kind = Kind::Named(&<T as Read>::KIND);
    fn read_all(node: &Node, key: &str, faults: &mut Faults) -> Vec<Self> {
        match &node.kind {
            NodeKind::Nothing { .. } => Vec::new(),
            NodeKind::Map(entries) => entries
                .iter()
                .filter_map(|(Key { name, place }, value)| {
                    let good = check_name(name, *place, NameFor::Formula, faults);
                    let body = T::read(value, name, faults)?;
                    good.then(|| Named { name: name.clone(), place: *place, body })
                })
                .collect(),
            _ => {
                let cure = format!("write under `{key}:` one line `name: …` for each");
                wrong_kind(node, key, "names, each with what it stands for", faults, cure);
                Vec::new()
            }
        }
    }
}

/// Reads a list of sections.
pub fn read_list<T: Read>(node: &Node, key: &str, faults: &mut Faults) -> Vec<T> {
    match &node.kind {
        NodeKind::Nothing { .. } => Vec::new(),
        NodeKind::List(all) => all.iter().filter_map(|n| T::read(n, key, faults)).collect(),
        _ => {
            wrong_kind(node, key, "a list", faults, format!("put `- ` before each entry of `{key}`"));
            Vec::new()
        }
    }
}

fn wrong_kind(node: &Node, what: &str, wanted: &str, faults: &mut Faults, cure: String) {
    let fault = match &node.kind {
        NodeKind::Nothing { .. } => Diagnostic::error(
            "nothing-given",
            node.place,
            format!("`{what}` takes {wanted}, but nothing is given"),
        )
        .propose(format!(
            "give `{what}` a value or leave the key out; a `#` after a space begins a comment, so put quotes \
                     round a value that begins with it"
        )),
        _ => Diagnostic::error(
            "wrong-kind",
            node.place,
            format!("`{what}` takes {wanted}, but {} is given", node.word()),
        )
        .propose(cure),
    };
    faults.push(fault);
}

fn scalar<'a>(node: &'a Node, what: &str, wanted: &str, faults: &mut Faults) -> Option<&'a str> {
    let text = node.text();
    if text.is_none() {
        wrong_kind(node, what, wanted, faults, format!("write one value after `{what}:`"));
    }
    text
}

impl Read for Formula {
    const KIND: Kind = Kind::Formula;
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self> {
        let text = scalar(node, what, "one value or formula", faults)?;
        Some(Formula { text: text.to_owned(), place: node.place })
    }
}

impl Read for Words {
    const KIND: Kind = Kind::Words;
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self> {
        let text = scalar(node, what, "text", faults)?;
        Some(Words { text: text.to_owned(), place: node.place })
    }
}

impl Read for BoardName {
    const KIND: Kind = Kind::BoardName;
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self> {
        let text = scalar(node, what, "a name of boards", faults)?;
        Some(BoardName { text: text.to_owned(), place: node.place })
    }
}

impl Read for Name {
    const KIND: Kind = Kind::Name;
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self> {
        let text = scalar(node, what, "a name", faults)?;
        check_name(text, node.place, NameFor::File, faults)
            .then(|| Name { text: text.to_owned(), place: node.place })
    }
}

impl Read for Flag {
    const KIND: Kind = Kind::Flag;
    fn read(node: &Node, what: &str, faults: &mut Faults) -> Option<Self> {
        let text = scalar(node, what, "`yes` or `no`", faults)?;
        let on = match text.to_ascii_lowercase().as_str() {
            "yes" | "true" => true,
            "no" | "false" => false,
            _ => {
                faults.push(
                    Diagnostic::error(
                        "bad-choice",
                        node.place,
                        format!("`{what}` is `yes` or `no`, not `{text}`"),
                    )
                    .propose("write `yes` or `no`"),
                );
                return None;
            }
        };
        Some(Flag { on, place: node.place })
    }
}

/// Reads one of some words.
pub fn read_choice<T: Copy>(
    node: &Node,
    what: &str,
    words: &[&'static str],
    all: &[T],
    faults: &mut Faults,
) -> Option<T> {
    let list = one_of(words);
    let text = scalar(node, what, &list, faults)?;
    let word = |text: &str| words.iter().position(|w| *w == text).and_then(|i| all.get(i).copied());
    word(text).or_else(|| {
        let fault =
            Diagnostic::error("bad-choice", node.place, format!("`{what}` takes {list}, not `{text}`"));
        let near = nearest(text, words.iter().copied());
        faults.push(match near {
            Some(near) => fault.replace(node.place, near, format!("write `{near}`")),
            None => fault.propose(format!("choose {list}")),
        });
        near.and_then(word)
    })
}

fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => format!("`{only}`"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(|w| format!("`{w}`")).collect();
            format!("{} or `{last}`", first.join(", "))
        }
    }
}

/// What a name must serve for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum NameFor {
    /// It can stand in a formula, where `-` is a minus.
    Formula,
    /// It names a template or a word to choose as well.
    File,
}

/// Longest name: it becomes part of a file's name.
const LONGEST_NAME: usize = 60;

fn check_name(name: &str, place: Place, used: NameFor, faults: &mut Faults) -> bool {
    let good = |c: char| {
        c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || (c == '-' && used == NameFor::File)
    };
    if name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(good)
        && name.len() <= LONGEST_NAME
    {
        return true;
    }
    let too_long = name.len() > LONGEST_NAME;
    let message = if too_long {
        format!("a name of {} characters; the most is {LONGEST_NAME}", name.chars().count())
    } else {
        format!(
            "`{name}` cannot be a name: a name has small letters, digits and `_` only, and begins with a letter"
        )
    };
    let fault = Diagnostic::error("bad-name", place, message);
    let tidy: String = name
        .to_lowercase()
        .chars()
        .map(|c| if good(c) { c } else { '_' })
        .skip_while(|c| !c.is_ascii_lowercase())
        .take(LONGEST_NAME)
        .collect();
    let tidy = tidy.trim_end_matches('_');
    faults.push(if tidy.is_empty() || too_long {
        fault.propose("choose a short name such as `shelf_2`")
    } else {
        fault.propose(format!("call it `{tidy}`, here and wherever it is named"))
    });
    false
}

/// Reads a group of keys: its kind, its unknown keys, then each key.
pub fn read_section<T: Section>(node: &Node, what: &str, faults: &mut Faults) -> Option<T> {
    let group = match (&node.kind, T::ROW.bare) {
        (NodeKind::Map(_), _) => guess_keys(node, what, T::ROW, faults),
        (NodeKind::Scalar { .. }, Some(key)) => {
            let entry = (Key { name: key.to_owned(), place: node.place }, node.clone());
            Cow::Owned(Node { place: node.place, kind: NodeKind::Map(vec![entry]) })
        }
        _ => {
            let keys: Vec<&str> = T::ROW.keys().iter().map(|row| row.key).collect();
            let cure = format!("write keys under `{what}`: {}", keys.join(", "));
            wrong_kind(node, what, "a group of keys", faults, cure);
            return None;
        }
    };
    T::read_keys(&group, what, faults)
}

/// Reports keys that the section does not know. Where only one thing can be meant the key is read as that, so that one
/// slip of the pen is one fault.
fn guess_keys<'n>(group: &'n Node, what: &str, row: &SectionRow, faults: &mut Faults) -> Cow<'n, Node> {
    let known: Vec<&'static str> = row.keys().iter().map(|row| row.key).collect();
    let mut guessed: Vec<(usize, &'static str)> = Vec::new();
    for (at, (key, value)) in group.entries().iter().enumerate() {
        if known.contains(&key.name.as_str()) {
            continue;
        }
        let fault =
            Diagnostic::error("unknown-key", key.place, format!("`{what}` has no key `{}`", key.name));
        let near = nearest(&key.name, known.iter().copied());
        faults.push(match near {
            // A key that stands there already cannot be what was meant.
            Some(near) if !guessed.iter().any(|g| g.1 == near) && group.get(near).is_none() => {
                guessed.push((at, near));
                fault.replace(key.place, near, format!("write `{near}`"))
            }
            _ if value.kind == (NodeKind::Nothing { written: false }) => fault.propose(
                "inside braces a comma ends a value: put a text that holds a comma in single quotes",
            ),
            _ => fault.propose(format!("the keys known here are {}", known.join(", "))),
        });
    }
    if guessed.is_empty() {
        return Cow::Borrowed(group);
    }
    let mut entries = group.entries().to_vec();
    for (at, name) in guessed {
        if let Some((key, _)) = entries.get_mut(at) {
            name.clone_into(&mut key.name);
        }
    }
    Cow::Owned(Node { place: group.place, kind: NodeKind::Map(entries) })
}

/// Reports keys without which the section means nothing.
pub fn missing_keys(group: &Node, what: &str, row: &SectionRow, faults: &mut Faults) {
    for row in row.rows.iter().filter(|r| r.required && !r.flat) {
        if group.get(row.key).is_none() {
            let doc = running(row.doc);
            let message = format!("`{what}` needs the key `{}`: {}", row.key, doc.trim_end_matches('.'));
            faults.push(
                Diagnostic::error("missing-key", group.place, message)
                    .propose(format!("add `{}: …` to `{what}`", row.key)),
            );
        }
    }
}

/// Where the keys of a group stand.
pub fn key_places(group: &Node) -> KeyPlaces {
    KeyPlaces(group.entries().iter().map(|(k, v)| (k.name.clone(), k.place, v.place)).collect())
}
