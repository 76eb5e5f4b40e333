//! What the language says of itself: one row a key. The readers, the schema and the reference stand on these rows.

/// What a key takes.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A formula.
    Formula,
    /// Text.
    Words,
    /// A name.
    Name,
    /// A [`BoardName`](super::read::BoardName).
    BoardName,
    /// `yes` or `no`.
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A group of keys.
    Section(&'static SectionRow),
    /// One, or a list of them.
    OneOrMany(&'static Kind),
    /// A list.
    List(&'static Kind),
    /// A map whose keys are names.
    Named(&'static Kind),
}

/// A group of keys: what the schema and the reference say of it.
#[derive(Debug)]
pub struct SectionRow {
    /// Name of the struct.
    pub name: &'static str,
    /// Its doc comment, lines parted by `\n`, each with a space before it.
    pub doc: &'static str,
    /// The key that a bare scalar stands for.
    pub bare: Option<&'static str>,
    /// Its keys.
    pub rows: &'static [KeyRow],
}

/// One key of a section.
#[derive(Debug)]
pub struct KeyRow {
    /// As it is typed.
    pub key: &'static str,
    /// Its doc comment, lines parted by `\n`, each with a space before it.
    pub doc: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// True where the section cannot do without it.
    pub required: bool,
    /// True where the keys of the section it holds stand in the same group.
    pub flat: bool,
}

impl SectionRow {
    /// Every key that may stand in the group, those of flat sections included.
    pub fn keys(&self) -> Vec<&'static KeyRow> {
        let mut all = Vec::new();
        for row in self.rows {
            match row.kind {
                Kind::Section(inner) if row.flat => all.extend(inner.keys()),
                _ => all.push(row),
            }
        }
        all
    }
}

/// A doc comment as running text.
pub fn running(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `r#in` as it is typed in the spec: `in`.
pub const fn typed_key(field: &'static str) -> &'static str {
    match field.as_bytes() {
        [b'r', b'#', ..] => field.split_at(2).1,
        _ => field,
    }
}
