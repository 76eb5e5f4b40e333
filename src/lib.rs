//! placeholder
pub mod boards;
pub mod checks;
pub mod cli;
pub mod diagnose;
pub mod drawing;
pub mod files;
pub mod joints;
pub mod length;
pub mod parts;
pub mod shape;
pub mod sheets;
pub mod spec;
pub mod trade;
pub mod values;

use diagnose::{Diagnostic, Files};
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
    /// Number and title of the job, from which its folder is named; may be empty.
    pub job: String,
    /// Its files; none where there are errors.
    pub files: Vec<File>,
    /// All that was found, errors first.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts that places point into.
    pub texts: Files,
}

/// From a spec to its files.
pub fn build(sources: &dyn Sources, name: &str, options: &Options) -> Built {
    let (loaded, faults) = spec::read(sources, name, &options.settings);
    let job = loaded.spec.job.as_ref();
    let words = [job.and_then(|j| j.number.as_ref()), job.and_then(|j| j.title.as_ref())];
    let words: Vec<&str> = words.into_iter().flatten().map(|w| w.text.as_str()).collect();
    Built { job: words.join(" "), files: Vec::new(), diagnostics: faults.into_sorted(), texts: loaded.files }
}

/// What a check means and how to cure what it finds; `None` where there is no such check.
pub fn explain(check: &str) -> Option<String> {
    spec::explain::FAULTS.iter().find(|row| row.name == check).map(spec::explain::text)
}

/// Names of all checks.
pub fn check_names() -> impl Iterator<Item = &'static str> {
    spec::explain::FAULTS.iter().map(|row| row.name)
}
