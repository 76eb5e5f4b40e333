//! What each fault of this room means and how it is cured: rows for the table that `explain` reads.

/// A fault by name, what it means, and what to do.
#[derive(Clone, Copy, Debug)]
pub struct Explained {
    /// As it stands in brackets in a message.
    pub name: &'static str,
    /// What was found, and why it matters.
    pub meaning: &'static str,
    /// What to do.
    pub cure: &'static str,
}

const fn row(name: &'static str, meaning: &'static str, cure: &'static str) -> Explained {
    Explained { name, meaning, cure }
}

/// Every fault that reading a spec can report.
pub const FAULTS: &[Explained] = &[
    row(
        "alias",
        "A value begins with `*` or `&`, which in YAML repeats or marks a value. A spec has neither: a short file could \
         unfold into thousands of millions of values.",
        "Write the value out, or name it under `values` and use the name. Put text that begins with the sign in single \
         quotes.",
    ),
    row(
        "ambiguous-setting",
        "The name after `--set` belongs to more than one assembly, or to an assembly and a value of the job.",
        "Put the assembly before it, as in `--set bench.bays=4`, or `values.` before a value of the job.",
    ),
    row(
        "bad-choice",
        "The key takes one of a few words, and this is none of them.",
        "Choose one of the words listed.",
    ),
    row(
        "bad-name",
        "Names are used in formulas and become parts of file names, so they have small letters, digits and `_` only, and \
         begin with a letter. The name of a template may have `-` too.",
        "Rename it, and every place that names it.",
    ),
    row(
        "duplicate-key",
        "The same key stands twice in one group. One of the two would be lost in silence.",
        "Keep the one that is meant.",
    ),
    row(
        "empty-file",
        "The file holds nothing but comments.",
        "`tickstick new bay-bench` prints a spec to begin with.",
    ),
    row(
        "file-not-found",
        "A file that is included is not there.",
        "Look at the spelling. The path is taken from the folder of the file that names it.",
    ),
    row(
        "file-too-large",
        "A spec is a few kilobytes long; files above 1 MiB are not read.",
        "Check that it is the right file. Put what jobs share into files under `include`.",
    ),
    row(
        "file-unreadable",
        "The system would not open the file.",
        "See that it is a plain file and may be read.",
    ),
    row(
        "include-circle",
        "Files include one another, so that none can be read first.",
        "Take one include out.",
    ),
    row(
        "merge-key",
        "`<<` would copy keys from elsewhere, so that nobody could say where a value came from.",
        "Write the keys out, or put what is shared into a template.",
    ),
    row(
        "missing-key",
        "The group means nothing without this key.",
        "Add it; the message says what it holds.",
    ),
    row(
        "no-number",
        "`.nan` and `.inf` are what computers write when a calculation went wrong. Nothing can be cut to them.",
        "Give a length, a number or a formula.",
    ),
    row("no-text", "The file is not UTF-8 text.", "Save it as UTF-8."),
    row(
        "nothing-given",
        "The key stands there without a value. A `#` after a space begins a comment, so a value that begins with it is \
         lost.",
        "Give a value, put one that begins with `#` in quotes, or leave the key out.",
    ),
    row(
        "outside-folder",
        "A spec reads only files beside or below it, so that a job can be handed on whole and a foreign spec can read \
         nothing of yours.",
        "Copy the file into the job's folder.",
    ),
    row(
        "second-document",
        "YAML can hold several documents in a file; a spec is one.",
        "Take out the line `---`, or make two files.",
    ),
    row(
        "tag",
        "A value begins with `!`, which in YAML forces a type. A spec takes every value as it is typed.",
        "Take the tag out, or put the text in single quotes.",
    ),
    row(
        "too-deep",
        "Lists and groups lie deeper in one another than any spec needs; most likely a bracket was not closed.",
        "Close the brackets that are open.",
    ),
    row(
        "too-many-files",
        "More files include one another than a job can need.",
        "Bring them together into fewer files.",
    ),
    row(
        "too-many-values",
        "The file holds more values than a job can need.",
        "Say repeats with `count` and `i` instead of writing each board out.",
    ),
    row(
        "unknown-key",
        "The group has no such key. Inside braces this also comes of a comma in a text.",
        "Take the key that is offered, or look it up in the reference; put text with a comma in single quotes.",
    ),
    row(
        "unknown-parameter",
        "The template has no parameter of this name.",
        "`tickstick templates` lists the parameters of those built in.",
    ),
    row(
        "unknown-setting",
        "The name after `--set` is neither a parameter of an assembly nor a value of the job.",
        "Take one of the names that are offered.",
    ),
    row(
        "unknown-template",
        "No template of this name is built in, and there is no file for it beside the job.",
        "`tickstick templates` lists those built in. One of your own stands in `templates/NAME.yaml` beside the job.",
    ),
    row(
        "unreadable-yaml",
        "The text breaks a rule of YAML here or on the line before, so nothing after it can be understood.",
        "Look at indents, brackets and quotes. Inch marks inside double quotes, tabs, and `: ` inside a text are the \
         usual causes.",
    ),
    row(
        "wrong-key",
        "A list or a group stands where the name of a key must be.",
        "Write a word before the colon.",
    ),
    row(
        "wrong-kind",
        "The key takes another kind of value: one value, a list, or a group of keys; a length, a count, or yes or no.",
        "Write it as the message says; the reference has an example for each key.",
    ),
];

/// What `explain` prints of a row.
pub fn text(row: &Explained) -> String {
    format!("{}\n\n{}\n\nCure: {}\n", row.name, row.meaning, row.cure)
}
