//! Diagnostics as the reader meets them: as text with the line of the spec marked, or as data. One model, two
//! renderers. Text that came from a user is shown, never obeyed: control characters are written out.

use std::fmt::Write;
use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};

use crate::diagnose::{Diagnostic, Files, Place, Severity, Sureness};
use crate::spec;

/// More than these are counted, not shown: after them one is lost in any case.
const MOST_SHOWN: usize = 40;

/// The diagnostics as text; empty where there are none. `folder` is put before the names of files, so that they can be
/// opened from where the program was called.
pub fn text(diagnostics: &[Diagnostic], files: &Files, folder: &str) -> String {
    if diagnostics.is_empty() {
        return String::new();
    }
    let renderer = Renderer::plain().decor_style(DecorStyle::Ascii);
    let mut all = String::new();
    for diagnostic in diagnostics.iter().take(MOST_SHOWN) {
        let report = [group(diagnostic, files, folder)];
        let _ = writeln!(all, "{}\n", trimmed(&renderer.render(&report)));
    }
    if diagnostics.len() > MOST_SHOWN {
        let _ = writeln!(all, "… and {} more\n", diagnostics.len() - MOST_SHOWN);
    }
    let _ = writeln!(all, "{}", summary(diagnostics));
    all
}

/// How many there are of each kind.
pub fn summary(diagnostics: &[Diagnostic]) -> String {
    let kinds = [(Severity::Error, "error"), (Severity::Warning, "warning"), (Severity::Caution, "caution")];
    let counted: Vec<String> = kinds
        .iter()
        .filter_map(|(severity, word)| {
            let count = diagnostics.iter().filter(|d| d.severity == *severity).count();
            let several = if count == 1 { "" } else { "s" };
            (count > 0).then(|| format!("{count} {word}{several}"))
        })
        .collect();
    counted.join(", ")
}

fn group<'a>(diagnostic: &'a Diagnostic, files: &'a Files, folder: &str) -> Group<'a> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Caution => Level::WARNING.with_name("caution"),
    };
    let title = level.primary_title(plain(&diagnostic.message)).id(diagnostic.check);
    let mut group = Group::with_title(title);
    // The file of the fault itself first, then the others in their order.
    let mut order = vec![diagnostic.place.file];
    for (place, _) in &diagnostic.also {
        if !order.contains(&place.file) {
            order.push(place.file);
        }
    }
    for file in order {
        let name = plain(&shown_name(files.name(file), folder));
        let text = files.text(file);
        if text.is_empty() {
            group = group.element(Origin::path(name));
            continue;
        }
        let mut snippet = Snippet::source(text).path(name);
        if file == diagnostic.place.file {
            snippet = snippet.annotation(AnnotationKind::Primary.span(span(text, diagnostic.place)));
        }
        for (place, label) in diagnostic.also.iter().filter(|(place, _)| place.file == file) {
            snippet =
                snippet.annotation(AnnotationKind::Context.span(span(text, *place)).label(plain(label)));
        }
        group = group.element(snippet);
    }
    for cure in &diagnostic.cures {
        group = group.element(Level::HELP.message(plain(&cure.text)));
    }
    group
}

/// The bytes of a place, held inside the text and on one line: a mark across several lines is hard to read.
fn span(text: &str, place: Place) -> Range<usize> {
    let floor = |at: u32| {
        let at = (at as usize).min(text.len());
        (0..=at).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0)
    };
    let start = floor(place.start);
    let end = floor(place.end).max(start);
    let line = text.get(start..end).and_then(|marked| marked.find(['\n', '\r'])).map_or(end, |at| start + at);
    start..line
}

fn shown_name(name: &str, folder: &str) -> String {
    if folder.is_empty() || name == spec::SETTING_FILE || name.starts_with(spec::BUILT_IN_FILE) {
        return name.to_owned();
    }
    format!("{}/{name}", folder.trim_end_matches('/'))
}

/// Lines without blanks at their ends, so that the text can be compared and kept.
fn trimmed(text: &str) -> String {
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// Text without anything that could move the cursor, turn the direction of writing or break the line.
pub fn plain(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        let turns = matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}');
        match c {
            '\n' => shown.push(' '),
            c if c.is_control() || turns => shown.extend(c.escape_unicode()),
            c => shown.push(c),
        }
    }
    shown
}

/// The diagnostics as data. Lines and columns count from 1, columns in characters; `start` and `end` are bytes.
pub fn data(diagnostics: &[Diagnostic], files: &Files, folder: &str) -> Value {
    let at = |place: Place| {
        let (line, column) = files.line_column(place);
        json!({
            "file": shown_name(files.name(place.file), folder),
            "line": line, "column": column, "start": place.start, "end": place.end,
        })
    };
    let with = |mut value: Value, more: Value| {
        if let (Value::Object(value), Value::Object(more)) = (&mut value, more) {
            value.extend(more);
        }
        value
    };
    diagnostics
        .iter()
        .map(|d| {
            let also: Vec<Value> =
                d.also.iter().map(|(place, label)| with(at(*place), json!({"label": label}))).collect();
            let cures: Vec<Value> = d
                .cures
                .iter()
                .map(|cure| {
                    let sureness = match cure.sureness {
                        Sureness::Certain => "certain",
                        Sureness::Proposed => "proposed",
                    };
                    let edit = cure
                        .edit
                        .as_ref()
                        .map(|(place, text)| with(at(*place), json!({"replacement": text})));
                    json!({"text": cure.text, "sureness": sureness, "edit": edit})
                })
                .collect();
            let severity = match d.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
                Severity::Caution => "caution",
            };
            let own = json!({
                "check": d.check, "severity": severity, "message": d.message, "also": also, "cures": cures,
            });
            with(at(d.place), own)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_marks_the_line_and_tells_the_cure() {
        let mut files = Files::default();
        let file = files.add("job.yaml", "parts:\n  shelf: {dept: 3}\n");
        let place = Place { file, start: 17, end: 21 };
        let fault = Diagnostic::error("unknown-key", place, "`shelf` has no key `dept`")
            .replace(place, "depth", "write `depth`")
            .also(Place { file, start: 9, end: 14 }, "in this part");
        let wanted = "\
error[unknown-key]: `shelf` has no key `dept`
 --> jobs/job.yaml:2:11
  |
2 |   shelf: {dept: 3}
  |   -----   ^^^^
  |   |
  |   in this part
  |
  = help: write `depth`

1 error
";
        assert_eq!(text(std::slice::from_ref(&fault), &files, "jobs"), wanted);
        let data = data(&[fault], &files, "");
        assert_eq!(data[0]["line"], 2);
        assert_eq!(data[0]["column"], 11);
        assert_eq!(data[0]["cures"][0]["edit"]["replacement"], "depth");
        assert_eq!(data[0]["also"][0]["label"], "in this part");
    }

    #[test]
    fn nothing_a_user_typed_reaches_the_terminal_as_a_command() {
        let mut files = Files::default();
        let file = files.add("a\u{1b}[2J.yaml", "k: \u{1b}]0;x\u{7}\u{202e}v\n");
        let place = Place { file, start: 3, end: 9 };
        let fault = Diagnostic::error("x", place, "`\u{1b}[31m` \u{202e}").propose("\u{8}\u{0}");
        let shown = text(&[fault], &files, "");
        let bad = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
        assert!(!shown.contains(bad), "{shown:?}");
    }

    #[test]
    fn places_outside_the_text_do_no_harm() {
        let mut files = Files::default();
        let file = files.add("a.yaml", "é\n");
        for (file, start, end) in [(file, 1, 1), (file, 9, 99), (file, 2, 1), (7, 0, 3), (file, 0, 3)] {
            let fault = Diagnostic::error("x", Place { file, start, end }, "m");
            assert!(text(&[fault], &files, "").starts_with("error[x]: m\n"));
        }
    }

    #[test]
    fn a_flood_is_cut_short() {
        let mut files = Files::default();
        let file = files.add("a.yaml", "a\n");
        let all: Vec<Diagnostic> = (0..100)
            .map(|n| Diagnostic::error("x", Place { file, start: 0, end: 1 }, format!("fault {n}")))
            .collect();
        let shown = text(&all, &files, "");
        assert!(shown.contains("… and 60 more") && shown.ends_with("100 errors\n"));
    }
}
