//! From a YAML spec of built-in joinery to exact parts, shop drawings, outlines for a cutting shop, and lists.
//!
//! The walk, one stage a room, each with one typed output, imports running one way:
//!
//! [`spec`] (YAML text with places) → [`values`] (formulas worked out) → [`boards`] (plates placed in the room) →
//! [`joints`] (overlaps become cuts, contacts become fixings) → [`parts`] (the waist: [`parts::Made`]) → [`checks`] (what is
//! wrong) → [`plans`] (what is cut from what, in which order) → [`sheets`] (laid out on paper) → [`files`] (SVG, PDF, DXF, CSV, JSON).
//!
//! Beside it stand [`loads`] (what the wood does in service), [`jigs`] (router templates), [`cutting`] (what a machine is told),
//! [`fullsize`] (paper at 1:1) and [`revise`] (two walks compared); `writing` says which files there are.
//!
//! The ground under all of them: [`length`], [`trade`], [`diagnose`], [`shape`], [`wood`], [`drawing`]. The library is pure: text in,
//! a value out; other texts are asked of [`spec::Sources`], and the same input gives the same bytes.

pub mod boards;
pub mod checks;
pub mod cli;
pub mod cutting;
pub mod diagnose;
pub mod drawing;
pub mod files;
pub mod fullsize;
pub mod jigs;
pub mod joints;
pub mod length;
pub mod loads;
pub mod parts;
pub mod plans;
pub mod revise;
pub mod shape;
pub mod sheets;
pub mod spec;
pub mod trade;
pub mod values;
pub mod wood;
mod writing;

use boards::Boards;
use diagnose::{Diagnostic, Faults, Files, Place, Severity};
use parts::Made;
use plans::Plans;
use sheets::revision::Since;
use spec::Sources;

/// A file of the job, made but not yet written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Path inside the job's folder, with `/` between the names.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// What the command line can ask for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Names and values that go before those of the spec.
    pub settings: Vec<(String, String)>,
    /// False to check only.
    pub files: bool,
    /// Archives to be made beside the files.
    pub package: Option<Package>,
    /// Steps of work for the layouts of sheet goods, instead of the spec's.
    pub effort: Option<u32>,
}

/// What goes into one archive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Package {
    /// For each cutting shop what its machine needs.
    Cnc,
}

/// What came of a spec.
#[derive(Clone, Debug, Default)]
pub struct Built {
    /// Number of the job, or its title where it has none; names its folder; may be empty.
    pub job: String,
    /// Its files; none where there are errors.
    pub files: Vec<File>,
    /// All that was found, errors first.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts that places point into.
    pub texts: Files,
    /// What was found in the state that it was compared with, where that has errors; nothing is written then.
    pub former: Found,
}

/// What was found in a spec, and the texts that its places point into.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Errors first.
    pub diagnostics: Vec<Diagnostic>,
    pub texts: Files,
}

impl Found {
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|d| d.severity == Severity::Error)
    }

    /// Adds to what was found, in its order.
    fn add(&mut self, more: Option<Diagnostic>) {
        let mut all = Faults::new();
        all.extend(std::mem::take(&mut self.diagnostics));
        all.extend(more);
        self.diagnostics = all.into_sorted();
    }
}

/// An earlier state of a job.
#[derive(Clone, Copy)]
pub struct Former<'a> {
    pub sources: &'a dyn Sources,
    pub name: &'a str,
    /// As [`Options::settings`].
    pub settings: &'a [(String, String)],
}

/// What came of comparing two states of a job.
#[derive(Clone, Debug, Default)]
pub struct Compared {
    /// `None` where one of the two has errors.
    pub changes: Option<revise::Changes>,
    pub old: Found,
    pub new: Found,
}

/// From a spec to its files: the whole walk. Where a stage finds errors, those after it that would only repeat them are left
/// out, and no file is made.
pub fn build(sources: &dyn Sources, name: &str, options: &Options) -> Built {
    build_since(sources, name, options, None)
}

/// As [`build`], as a revision of an earlier state: the sheets mark what changed. Where the earlier state has errors, they
/// are told and no file is made.
pub fn build_since(sources: &dyn Sources, name: &str, options: &Options, former: Option<&Former>) -> Built {
    let mut now = work_out(sources, name, &options.settings, options.effort);
    let mut built = Built { job: now.called, ..Built::default() };
    let old = former.map(|former| work_out(former.sources, former.name, former.settings, options.effort));
    let mut since = None;
    if let Some(old) = &old {
        match (&old.made, &now.made) {
            (Some((before, plans)), Some((made, _))) if !old.found.has_errors() => {
                let changes = revise::compare(before, made);
                now.found.add(revise::letter_unchanged(&changes, now.letter));
                since = Some((before, plans, &old.found.diagnostics, changes));
            }
            (_, None) if !old.found.has_errors() => {}
            _ => built.former = old.found.clone(),
        }
    }
    let good = !now.found.has_errors() && !built.former.has_errors();
    Found { diagnostics: built.diagnostics, texts: built.texts } = now.found;
    if let Some((made, plans)) = now.made.filter(|_| options.files && good) {
        let since = since.as_ref();
        let since =
            since.map(|(old, plans, diagnostics, changes)| Since { old, plans, diagnostics, changes });
        let told = (&built.diagnostics[..], &built.texts);
        match writing::write(&made, &plans, told, since.as_ref(), options.package) {
            Ok(files) => built.files = files,
            Err(message) => built.diagnostics.insert(0, unwritable(message)),
        }
    }
    built
}

/// What changed from an earlier state of a job, and what it means for pieces already cut.
pub fn compare(old: &Former, new: &Former) -> Compared {
    let [old, mut new] = [old, new].map(|state| work_out(state.sources, state.name, state.settings, None));
    let good = !old.found.has_errors() && !new.found.has_errors();
    let changes = match (&old.made, &new.made) {
        (Some((before, _)), Some((made, _))) if good => Some(revise::compare(before, made)),
        _ => None,
    };
    let warning = changes.as_ref().and_then(|changes| revise::letter_unchanged(changes, new.letter));
    new.found.add(warning);
    Compared { changes, old: old.found, new: new.found }
}

/// What is asked of [`calibrate`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Calibrating<'a> {
    /// Name of the printer; `None`: all of them, or the only one.
    pub printer: Option<&'a str>,
    /// What the bars measured, as typed: `99.6,100.2,141.2`.
    pub measured: Option<&'a str>,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Calibrated {
    /// A test page for each printer.
    Pages(Vec<File>),
    /// Lines to paste into the shop's file.
    Lines(String),
}

/// Test pages of the printers that a spec or a shop's file lists, or what to write there once a page was measured. Only what
/// the whole job shares is worked out: a shop's file needs no assembly.
///
/// # Errors
/// In words, with the cure, where the command line asks for what cannot be. Faults of the spec are in `Found`; the second
/// value means nothing then.
pub fn calibrate(
    sources: &dyn Sources,
    name: &str,
    asked: &Calibrating,
) -> (Found, Result<Calibrated, String>) {
    let (loaded, mut faults) = spec::read(sources, name, &[]);
    let mut job = None;
    if loaded.whole {
        let (boards, found) = boards::place(&loaded.spec);
        faults.extend(found.into_sorted());
        job = Some(boards.job);
    }
    let found = Found { diagnostics: faults.into_sorted(), texts: loaded.files };
    match job {
        Some(job) if !found.has_errors() => {
            let calibrated = writing::calibrated(&job, asked);
            (found, calibrated)
        }
        _ => (found, Err("the spec has faults".to_owned())),
    }
}

/// A spec worked out as far as it goes.
struct WorkedOut {
    /// Number of the job, or its title.
    called: String,
    /// Where its revision letter stands or belongs.
    letter: Place,
    made: Option<(Made, Plans)>,
    found: Found,
}

fn work_out(
    sources: &dyn Sources,
    name: &str,
    settings: &[(String, String)],
    effort: Option<u32>,
) -> WorkedOut {
    let (loaded, mut faults) = spec::read(sources, name, settings);
    let job = loaded.spec.job.as_ref();
    let called = job.and_then(|job| job.number.as_ref().or(job.title.as_ref()));
    let called = called.map(|words| words.text.clone()).unwrap_or_default();
    let letter = job.and_then(|job| job.revision.as_ref().or(job.number.as_ref()).or(job.title.as_ref()));
    let letter = letter.map(|words| words.place).unwrap_or_default();
    let made = if loaded.whole { make(&loaded.spec, effort, &mut faults) } else { None };
    WorkedOut {
        called,
        letter,
        made,
        found: Found { diagnostics: faults.into_sorted(), texts: loaded.files },
    }
}

/// From a spec that was read whole to what is made of it; `None` where boards could not be placed.
fn make(spec: &spec::language::Spec, effort: Option<u32>, faults: &mut Faults) -> Option<(Made, Plans)> {
    let (mut boards, found): (Boards, Faults) = boards::place(spec);
    let placed = boards::all_placed(&found);
    faults.extend(found.into_sorted());
    if !placed {
        return None;
    }
    let nesting = &mut boards.job.shop.nesting;
    nesting.effort = effort.or(nesting.effort);
    if spec.assemblies.is_empty() && !faults.has_errors() {
        let place = spec.keys.key("assemblies").unwrap_or_default();
        let fault = Diagnostic::error(
            "nothing-to-build",
            place,
            "the spec has no assemblies, so there is nothing to build",
        );
        faults.extend([fault
            .propose("add one under `assemblies:`; `tickstick new bay-bench` prints a spec to begin with")]);
        return None;
    }
    let (joints, found) = joints::join(&boards);
    faults.extend(found.into_sorted());
    let (made, found) = parts::make(boards, joints);
    faults.extend(found.into_sorted());
    // A joint that could not be made is marked as refused, and the checks stay quiet about what only follows from it.
    let loads = loads::loads(&made);
    faults.extend(checks::check_with(&made, &loads).into_sorted());
    faults.extend(fullsize::check(&made));
    let (plans, found) = plans::plan_with(&made, loads);
    faults.extend(found.into_sorted());
    faults.extend(cutting::check(&made, &plans).into_sorted());
    Some((made, plans))
}

/// A fault of the program itself: nothing in the spec can be pointed at but its beginning.
fn unwritable(message: String) -> Diagnostic {
    Diagnostic::error("unwritable", Place::default(), format!("the files could not be made: {message}"))
}

/// What a check means and how to cure what it finds; `None` where there is no such check.
pub fn explain(check: &str) -> Option<String> {
    if let Some(fault) = spec::explain::FAULTS.iter().find(|fault| fault.name == check) {
        return Some(explained(fault.name, Severity::Error, fault.meaning, fault.cure));
    }
    checks::explain(check).map(|row| explained(row.name, row.severity, row.meaning, row.cure))
}

fn explained(name: &str, severity: Severity, meaning: &str, cure: &str) -> String {
    let weight = match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Caution => "caution",
    };
    format!("{name} ({weight})\n\n{meaning}\n\nCure: {cure}\n")
}

/// Names of all checks.
pub fn check_names() -> impl Iterator<Item = &'static str> {
    spec::explain::FAULTS.iter().map(|fault| fault.name).chain(checks::table().map(|row| row.name))
}
