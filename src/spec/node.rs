//! A text of the spec as a tree of values, each with its place. Knows no key of the language.

use crate::diagnose::Place;

/// One value.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// A scalar's own text; for a list or a map the key that introduces it, or else its first line.
    pub place: Place,
    /// What it holds.
    pub kind: NodeKind,
}

/// What a value holds.
#[derive(Clone, Debug, PartialEq)]
pub enum NodeKind {
    /// One value as it was typed: never turned into a number or a truth.
    Scalar {
        /// The text, without quotes.
        text: String,
        /// True where it stood in quotes or in a block.
        quoted: bool,
    },
    /// Several values in order.
    List(Vec<Node>),
    /// Values by key, in the order of the text; no key comes twice.
    Map(Vec<(Key, Node)>),
    /// Nothing at all; `written` where somebody typed `~` or `null`.
    Nothing {
        /// True for `~` and `null`.
        written: bool,
    },
}

/// The key of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The key's text, without quotes.
    pub name: String,
    /// Where it stands, quotes left out.
    pub place: Place,
}

impl Node {
    /// An empty map.
    pub fn empty_map(place: Place) -> Node {
        Node { place, kind: NodeKind::Map(Vec::new()) }
    }

    /// A scalar that was not in quotes.
    pub fn scalar(text: impl Into<String>, place: Place) -> Node {
        Node { place, kind: NodeKind::Scalar { text: text.into(), quoted: false } }
    }

    /// The entries of a map; none for anything else.
    pub fn entries(&self) -> &[(Key, Node)] {
        match &self.kind {
            NodeKind::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The value of a key of a map.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entries().iter().find(|(k, _)| k.name == key).map(|(_, node)| node)
    }

    /// The value of a key, to change it.
    pub fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        match &mut self.kind {
            NodeKind::Map(entries) => entries.iter_mut().find(|(k, _)| k.name == key).map(|(_, node)| node),
            _ => None,
        }
    }

    /// The text of a scalar.
    pub fn text(&self) -> Option<&str> {
        match &self.kind {
            NodeKind::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// What it is, in a word, for a fault.
    pub fn word(&self) -> &'static str {
        match &self.kind {
            NodeKind::Scalar { .. } => "one value",
            NodeKind::List(_) => "a list",
            NodeKind::Map(_) => "a group of keys",
            NodeKind::Nothing { .. } => "nothing",
        }
    }
}
