//! Texts in, the spec as plain structs out: files, includes, templates and settings are laid over one another here,
//! and every value keeps its place. Knows the words of the language and no meaning: formulas stay text, a board is not
//! yet placed. Asks for other texts through [`Sources`] and opens no file itself.

mod include;
pub mod language;
mod merge;
pub mod node;
pub mod read;
pub mod schema;
mod settings;
pub mod source;
mod template;

pub use template::{BUILT_IN, BuiltIn};

use crate::diagnose::{Diagnostic, Faults, Files, Place, Severity, Sureness};
use language::Spec;
use read::{Kind, Read, Section};

/// The only door to the texts of a job.
pub trait Sources {
    /// The text of a file, by its path from the spec's own folder, with `/` between the names. A path that reaches
    /// here never holds `..`; what lies outside the folder by a link is refused with [`SourceError::Outside`].
    fn read(&self, path: &str) -> Result<String, SourceError>;
}

/// Why a text cannot be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SourceError {
    /// No such file.
    NotFound,
    /// The path leads out of the spec's folder.
    Outside,
    /// Larger than [`source::MOST_BYTES`]; this many bytes. It was not read.
    TooLarge(u64),
    /// It is no UTF-8 text.
    NotText,
    /// What the system says.
    Other(String),
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    /// The spec, with its includes, templates and settings laid over one another. Of what was wrong it holds what
    /// could be read all the same.
    pub spec: Spec,
    /// Every text that was read.
    pub files: Files,
    /// False where something was left out of `spec` because of a fault, so that later stages would only report what
    /// follows from it. True also where each fault had one certain cure, as a misspelt key has: it is read as cured.
    pub whole: bool,
}

/// Reads the spec `name` and what it asks for. `settings` are names and values that replace parameters
/// (`bays`, `bench.bays`) or values of the job.
pub fn read(sources: &dyn Sources, name: &str, settings: &[(String, String)]) -> (Loaded, Faults) {
    let mut faults = Faults::new();
    let mut files = Files::default();
    let mut spec = Spec::default();
    if let Some(mut root) = include::read_with_includes(sources, name, &mut files, &mut faults) {
        template::apply(sources, &mut root, &mut files, &mut faults);
        settings::apply(settings, &mut root, &mut files, &mut faults);
        template::check_parameters(&mut root, &mut faults);
        template::leave_out(&mut root);
        spec = Spec::read(&root, name, &mut faults).unwrap_or_default();
    }
    let whole = faults
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .all(|f| f.cures.iter().any(|c| c.sureness == Sureness::Certain));
    (Loaded { spec, files, whole }, faults)
}

/// What the language says the whole file is.
const WHOLE: Kind = Kind::Section(Spec::ROW);

/// The fault for a text that cannot be had.
fn unavailable(place: Place, path: &str, error: &SourceError) -> Diagnostic {
    match error {
        SourceError::NotFound => {
            Diagnostic::error("file-not-found", place, format!("there is no file `{path}`"))
                .propose("look at the spelling; paths are from the folder of the file that names them")
        }
        SourceError::Outside => outside(place, path),
        SourceError::TooLarge(bytes) => source::too_large(place, *bytes),
        SourceError::NotText => {
            Diagnostic::error("no-text", place, format!("`{path}` is not a text in UTF-8"))
                .propose("save it as UTF-8")
        }
        SourceError::Other(reason) => {
            Diagnostic::error("file-unreadable", place, format!("`{path}` cannot be read: {reason}"))
                .propose("see that the file can be opened")
        }
    }
}

/// The fault for a path that leads out of the spec's folder.
fn outside(place: Place, path: &str) -> Diagnostic {
    Diagnostic::error(
        "outside-folder",
        place,
        format!("`{path}` leads out of the spec's folder; a spec reads only what lies beside or below it"),
    )
    .propose("copy the file into the spec's folder and name it from there, as in `shop.yaml`")
}
