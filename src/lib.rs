//! From a YAML spec of built-in joinery to exact parts, shop drawings, outlines for a cutting shop, and lists.
//!
//! The walk, one stage a room, each with one typed output, imports running one way:
//!
//! [`spec`] (YAML text with places) → [`values`] (formulas worked out) → [`boards`] (plates placed in the room) →
//! [`joints`] (overlaps become cuts, contacts become fixings) → [`parts`] (the waist: [`parts::Made`]) → [`checks`] (what is
//! wrong) → [`sheets`] (laid out on paper) → [`files`] (SVG, PDF, DXF, CSV, JSON).
//!
//! The ground under all of them: [`length`], [`trade`], [`diagnose`], [`shape`], [`drawing`]. The library is pure: text in,
//! a value out; other texts are asked of [`spec::Sources`], and the same input gives the same bytes.

pub mod boards;
pub mod checks;
pub mod cli;
pub mod diagnose;
pub mod drawing;
pub mod files;
pub mod fullsize;
pub mod joints;
pub mod length;
pub mod parts;
pub mod plans;
pub mod shape;
pub mod sheets;
pub mod spec;
pub mod trade;
pub mod values;
pub mod wood;

use boards::Boards;
use diagnose::{Diagnostic, Faults, Files, Place, Severity};
use drawing::SheetSet;
use parts::Made;
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
}

/// From a spec to its files: the whole walk. Where a stage finds errors, those after it that would only repeat them are left
/// out, and no file is made.
pub fn build(sources: &dyn Sources, name: &str, options: &Options) -> Built {
    let (loaded, mut faults) = spec::read(sources, name, &options.settings);
    let job = loaded.spec.job.as_ref();
    let called = job.and_then(|job| job.number.as_ref().or(job.title.as_ref()));
    let called = called.map(|words| words.text.clone()).unwrap_or_default();
    let made = if loaded.whole { make(&loaded.spec, &mut faults) } else { None };
    let mut built = Built { job: called, files: Vec::new(), diagnostics: Vec::new(), texts: loaded.files };
    let unmade = faults.has_errors();
    built.diagnostics = faults.into_sorted();
    if let Some(made) = made.filter(|_| options.files && !unmade) {
        match write(&made, &built.diagnostics, &built.texts) {
            Ok(files) => built.files = files,
            Err(message) => built.diagnostics.insert(0, unwritable(message)),
        }
    }
    built
}

/// From a spec that was read whole to what is made of it; `None` where boards could not be placed.
fn make(spec: &spec::language::Spec, faults: &mut Faults) -> Option<Made> {
    let (boards, found): (Boards, Faults) = boards::place(spec);
    let placed = !found.has_errors();
    faults.extend(found.into_sorted());
    if !placed {
        return None;
    }
    let (joints, found) = joints::join(&boards);
    faults.extend(found.into_sorted());
    let (made, found) = parts::make(boards, joints);
    faults.extend(found.into_sorted());
    // A joint that could not be made is marked as refused, and the checks stay quiet about what only follows from it.
    faults.extend(checks::check(&made).into_sorted());
    faults.extend(fullsize::check(&made));
    Some(made)
}

/// Every file of the job.
fn write(made: &Made, diagnostics: &[Diagnostic], texts: &Files) -> Result<Vec<File>, String> {
    let titles = &made.job.titles;
    let sheets = sheets::sheet_set(made, diagnostics);
    let set = SheetSet {
        title: &titles.title,
        author: &titles.drawn_by,
        subject: &titles.number,
        date: &titles.date,
        sheets: &sheets,
    };
    let mut all = Vec::new();
    let mut add = |name: String, bytes: Vec<u8>| all.push(File { name, bytes });
    add("drawings.pdf".into(), files::pdf::write(&set)?);
    for (index, sheet) in sheets.iter().enumerate() {
        add(format!("sheets/{}.svg", files::safe(&sheet.name)), files::svg::write(&set, index)?);
    }
    for part in &made.parts {
        add(files::dxf_path(made, part), files::dxf::write(made, part)?);
    }
    for printer in &made.job.full_size.printers {
        full_size(made, printer, &mut add)?;
    }
    add("lists/parts.csv".into(), files::data::parts_csv(made)?);
    add("job.json".into(), files::data::job_json(made, diagnostics, texts)?);
    Ok(all)
}

/// Paper templates and story rods for one of the shop's printers.
fn full_size(
    made: &Made,
    given: &values::Printer,
    add: &mut impl FnMut(String, Vec<u8>),
) -> Result<(), String> {
    let all = |faults: Vec<fullsize::Fault>| {
        let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
        said.join("; ")
    };
    let printer = fullsize::Printer::of(given).map_err(|fault| fault.to_string())?;
    let templates = fullsize::templates(made, &fullsize::Selection::of(made), &printer).map_err(all)?;
    let rods = fullsize::rods(made, &printer).map_err(all)?;
    for (kind, sheets) in [("templates", templates), ("rods", rods)] {
        if !sheets.is_empty() {
            let titles = &made.job.titles;
            let set = SheetSet {
                title: &titles.title,
                author: &titles.drawn_by,
                subject: kind,
                date: &titles.date,
                sheets: &sheets,
            };
            add(format!("full-size/{kind}-{}.pdf", files::safe(&given.name)), files::pdf::write(&set)?);
        }
    }
    Ok(())
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
