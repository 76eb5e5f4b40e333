//! The command line: arguments in, exit code out. The only room that opens files and prints. Knows no joinery.
//!
//! Exit codes: 0 good, 1 faults in the spec, 2 wrong use, 3 could not write.

mod begin;
mod calibrate;
mod diff;
mod folder;
mod nest;
pub mod output;
pub mod report;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand, ValueEnum};
use serde_json::{Value, json};

use crate::diagnose::{Diagnostic, Files, Severity, nearest};
use crate::spec::language::MOST_EFFORT;
use crate::{Built, Former, Found, Options, Package, build_since, spec};
use folder::Folder;

/// Everything is as it should be.
const GOOD: u8 = 0;
/// The spec has faults.
const FAULTS: u8 = 1;
/// The command line has.
const WRONG_USE: u8 = 2;
/// The files could not be written, or the text not printed.
const NOT_WRITTEN: u8 = 3;

#[derive(Parser)]
#[command(name = "tickstick", version, about, max_term_width = 100)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Build the drawings, cutting files and lists of a spec
    Build {
        #[command(flatten)]
        read: Reading,
        #[command(flatten)]
        work: Work,
        /// Folder in which the job's own folder is made
        #[arg(short, long, value_name = "DIR", default_value = "out")]
        output: PathBuf,
        /// Earlier state of the job: what changed since is marked on the sheets
        #[arg(long, value_name = "OLD")]
        since: Option<PathBuf>,
        /// Set a parameter or a value of the earlier state
        #[arg(long = "set-old", value_name = "NAME=VALUE", value_parser = setting, requires = "since")]
        old_settings: Vec<(String, String)>,
        /// Make an archive beside the files
        #[arg(long, value_enum, value_name = "WHAT")]
        package: Option<Packed>,
    },
    /// Check a spec and write nothing
    Check {
        #[command(flatten)]
        read: Reading,
        #[command(flatten)]
        work: Work,
    },
    /// Say what changed from one spec to another, and what it means for pieces already cut
    Diff {
        /// The earlier state, a YAML file
        old: PathBuf,
        #[command(flatten)]
        read: Reading,
        /// Set a parameter or a value of the earlier state
        #[arg(long = "set-old", value_name = "NAME=VALUE", value_parser = setting)]
        old_settings: Vec<(String, String)>,
    },
    /// Lay a plain list of rectangles out on sheets, with cuts that a saw can make
    Nest(nest::Nesting),
    /// Write a printer's test page, or the shop's lines from what it measured
    Calibrate(calibrate::Calibration),
    /// Print a spec to begin with
    New {
        /// A template: see `tickstick templates`
        template: String,
    },
    /// List the templates and their parameters
    Templates,
    /// Print the JSON Schema of the spec, for editors
    Schema,
    /// Say what a check means and how to cure what it finds
    Explain {
        /// Name of the check, as it stands in brackets in a message
        check: String,
    },
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Packed {
    /// For each cutting shop its drawings, the report, and a page with every part
    Cnc,
}

#[derive(Args)]
struct Reading {
    /// The spec, a YAML file
    spec: PathBuf,
    /// Set a parameter (bays=4, bench.bays=4) or a value of the job
    #[arg(long = "set", value_name = "NAME=VALUE", value_parser = setting)]
    settings: Vec<(String, String)>,
    /// How to tell what was found
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Args)]
struct Work {
    /// Steps of work for the layouts of sheet goods, instead of the spec's `nests: effort`; twice the effort takes about twice the time
    #[arg(long, value_name = "STEPS", value_parser = clap::value_parser!(u32).range(1..=MOST_EFFORT))]
    effort: Option<u32>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Lines of the spec, marked, on the error stream
    Text,
    /// Data on the output stream
    Json,
}

fn setting(typed: &str) -> Result<(String, String), String> {
    match typed.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() => {
            Ok((name.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("write NAME=VALUE, as in bays=4".to_owned()),
    }
}

/// Does what the arguments say and gives the exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let line = match Line::try_parse_from(arguments) {
        Ok(line) => line,
        Err(error) => {
            // Help and version are no faults; clap knows on which stream each belongs.
            let printed = error.print().is_ok();
            return if error.use_stderr() {
                WRONG_USE
            } else if printed {
                GOOD
            } else {
                NOT_WRITTEN
            };
        }
    };
    match line.command {
        Command::Build { read, work, output, since, old_settings, package } => {
            let package = package.map(|Packed::Cnc| Package::Cnc);
            let since = since.as_deref().map(|old| (old, &*old_settings));
            build_or_check(&read, &work, Some(&output), since, package)
        }
        Command::Check { read, work } => build_or_check(&read, &work, None, None, None),
        Command::Diff { old, read, old_settings } => compare(&old, &old_settings, &read),
        Command::Nest(asked) => nest::run(&asked),
        Command::Calibrate(asked) => calibrate::run(&asked),
        Command::New { template } => match begin::spec(&template) {
            Some(text) => print(&text),
            None => wrong_name("template", &template, spec::BUILT_IN.iter().map(|t| t.name)),
        },
        Command::Templates => print(&begin::list()),
        Command::Schema => print(&format!("{:#}\n", spec::schema::schema())),
        Command::Explain { check } => match crate::explain(&check) {
            Some(text) => print(&text),
            None => wrong_name("check", &check, crate::check_names()),
        },
    }
}

/// An earlier state: its spec, and what is set in it.
type Earlier<'a> = (&'a Path, &'a [(String, String)]);

fn opened(path: &Path) -> Result<Folder, u8> {
    Folder::of(path).map_err(|error| {
        tell(&format!("error: cannot open {}: {error}", report::plain(&path.to_string_lossy())));
        WRONG_USE
    })
}

fn build_or_check(
    read: &Reading,
    work: &Work,
    output: Option<&Path>,
    since: Option<Earlier>,
    package: Option<Package>,
) -> u8 {
    let opened = opened(&read.spec)
        .and_then(|folder| Ok((folder, since.map(|(old, set)| opened(old).map(|f| (f, set))).transpose()?)));
    let (folder, since) = match opened {
        Ok(both) => both,
        Err(code) => return code,
    };
    let settings = read.settings.clone();
    let options = Options { settings, files: output.is_some(), package, effort: work.effort };
    let former = since.as_ref().map(|(old, settings)| Former { sources: old, name: &old.spec, settings });
    let built = build_since(&folder, &folder.spec, &options, former.as_ref());
    let faulty = built.former.has_errors() || built.diagnostics.iter().any(|d| d.severity == Severity::Error);
    let shown_old = since.as_ref().map_or("", |(old, _)| old.shown.as_str());
    let mut code = if faulty { FAULTS } else { GOOD };
    let mut written = None;
    let mut refused = None;
    if let (Some(out), false) = (output, faulty) {
        let stem = folder.spec.rsplit_once('.').map_or(folder.spec.as_str(), |(stem, _)| stem);
        match output::write(out, &output::folder_name(&built.job, stem), &built.files) {
            Ok(path) => written = Some(path),
            Err(error) => {
                refused = Some(error.to_string());
                code = NOT_WRITTEN;
            }
        }
    }
    let told = match read.format {
        Format::Text => {
            tell_found(&built.former, shown_old);
            tell_text(&built, &folder.shown, written.as_deref(), refused.as_deref());
            true
        }
        Format::Json => {
            let files: Vec<&str> = built.files.iter().map(|f| f.name.as_str()).collect();
            let mut diagnostics = listed(&built.former.diagnostics, &built.former.texts, shown_old);
            diagnostics.extend(listed(&built.diagnostics, &built.texts, &folder.shown));
            let data = json!({
                "diagnostics": diagnostics,
                "written": written.as_ref().map(|path| json!({"folder": path.to_string_lossy(), "files": files})),
                "not_written": refused,
            });
            print(&format!("{data:#}\n")) == GOOD
        }
    };
    if told { code } else { NOT_WRITTEN }
}

fn compare(old: &Path, old_settings: &[(String, String)], read: &Reading) -> u8 {
    let (old, new) = match opened(old).and_then(|old| Ok((old, opened(&read.spec)?))) {
        Ok(both) => both,
        Err(code) => return code,
    };
    let former = Former { sources: &old, name: &old.spec, settings: old_settings };
    let latter = Former { sources: &new, name: &new.spec, settings: &read.settings };
    let mut compared = crate::compare(&former, &latter);
    let code = if compared.changes.is_some() { GOOD } else { FAULTS };
    // What else is to be said of either spec, `check` says: here only what stands in the way, and what the change itself is
    // warned of.
    for found in [&mut compared.old, &mut compared.new] {
        found.diagnostics.retain(|d| d.severity == Severity::Error || d.check == "revision-unchanged");
    }
    let printed = match read.format {
        Format::Text => {
            tell_found(&compared.old, &old.shown);
            tell_found(&compared.new, &new.shown);
            compared.changes.as_ref().map_or(GOOD, |changes| print(&diff::text(changes)))
        }
        Format::Json => {
            let mut diagnostics = Vec::new();
            for (found, folder) in [(&compared.old, &old), (&compared.new, &new)] {
                diagnostics.extend(listed(&found.diagnostics, &found.texts, &folder.shown));
            }
            let changes = compared.changes.as_ref().map(diff::data);
            print(&format!("{:#}\n", json!({"changes": changes, "diagnostics": diagnostics})))
        }
    };
    if printed == GOOD { code } else { printed }
}

/// Diagnostics as data, one by one.
fn listed(diagnostics: &[Diagnostic], texts: &Files, folder: &str) -> Vec<Value> {
    match report::data(diagnostics, texts, folder) {
        Value::Array(all) => all,
        other => vec![other],
    }
}

fn tell_found(found: &Found, folder: &str) {
    let text = report::text(&found.diagnostics, &found.texts, folder);
    if !text.is_empty() {
        tell(text.trim_end());
    }
}

fn tell_text(built: &Built, folder: &str, written: Option<&Path>, refused: Option<&str>) {
    let text = report::text(&built.diagnostics, &built.texts, folder);
    if !text.is_empty() {
        tell(text.trim_end());
    }
    if let Some(path) = written {
        let count = built.files.len();
        let several = if count == 1 { "" } else { "s" };
        tell(&format!("{count} file{several} in {}", report::plain(&path.to_string_lossy())));
    }
    if let Some(refused) = refused {
        tell(&format!("error: {}", report::plain(refused)));
    }
}

fn wrong_name<'a>(kind: &str, name: &str, known: impl Iterator<Item = &'a str>) -> u8 {
    let known: Vec<&str> = known.collect();
    let name = report::plain(name);
    let cure = match nearest(&name, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("there are: {}", known.join(", ")),
    };
    tell(&format!("error: there is no {kind} `{name}`; {cure}"));
    WRONG_USE
}

/// Prints to the output stream; a reader that closes it early is no fault of ours but ends the work.
fn print(text: &str) -> u8 {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => GOOD,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => GOOD,
        Err(_) => NOT_WRITTEN,
    }
}

/// Tells the user something on the error stream. Where even that is closed, only the exit code is left to tell.
fn tell(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}
