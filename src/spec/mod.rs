//! Texts in, the spec as plain structs out: files, includes, templates and settings are laid over one another here,
//! and every value keeps its place. Knows the words of the language and no meaning: formulas stay text, a board is not
//! yet placed. Asks for other texts through [`Sources`] and opens no file itself.

pub mod cutting;
mod declare;
pub mod explain;
pub mod full_size;
mod include;
pub mod jigs;
pub mod language;
mod merge;
mod nesting;
pub mod node;
pub mod read;
pub mod rows;
pub mod schema;
pub mod sections;
pub mod service;
mod settings;
pub mod source;
pub mod supply;
pub mod tabs;
mod template;
pub mod titles;

pub use settings::FILE as SETTING_FILE;
pub use template::{BUILT_IN, BUILT_IN_FILE, BuiltIn};

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

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    struct Texts(BTreeMap<&'static str, &'static str>);

    impl Sources for Texts {
        fn read(&self, path: &str) -> Result<String, SourceError> {
            self.0.get(path).map(|text| (*text).to_owned()).ok_or(SourceError::NotFound)
        }
    }

    fn settings(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect()
    }

    fn read_texts(all: &[(&'static str, &'static str)], set: &[(&str, &str)]) -> (Loaded, Vec<Diagnostic>) {
        let (loaded, faults) = read(&Texts(all.iter().copied().collect()), "job.yaml", &settings(set));
        (loaded, faults.into_sorted())
    }

    #[test]
    fn samples_read_in_silence() {
        let shop = ("shop.yaml", include_str!("../../samples/shop.yaml"));
        for text in
            [include_str!("../../samples/listening-nook.yaml"), include_str!("../../samples/larder.yaml")]
        {
            let (loaded, faults) = read_texts(&[("job.yaml", text), shop], &[]);
            assert!(faults.is_empty(), "{faults:#?}");
            assert!(loaded.whole && !loaded.spec.stock.is_empty());
        }
    }

    #[test]
    fn a_built_in_template_reads_in_silence() {
        for template in BUILT_IN {
            let text: &'static str =
                Box::leak(format!("assemblies: {{one: {{template: {}}}}}", template.name).into_boxed_str());
            let (loaded, faults) = read_texts(&[("job.yaml", text)], &[]);
            assert!(faults.is_empty(), "{}: {faults:#?}", template.name);
            assert!(loaded.spec.assemblies.iter().all(|a| !a.body.body.parts.is_empty()));
        }
    }

    const OWN: (&str, &str) = (
        "templates/own.yaml",
        "parameters: {bays: {is: count, default: 2}, width: {is: length}}\nparts: {side: {stock: ply, left: 0}}\n",
    );

    #[test]
    fn a_template_beside_the_job_goes_first_and_keep_no_leaves_its_part_out() {
        let job = (
            "job.yaml",
            "assemblies:\n  a: {template: own, with: {width: 3}, parts: {side: {keep: no}, shelf: {stock: ply}}}\n",
        );
        let (loaded, faults) = read_texts(&[job, OWN], &[]);
        assert!(faults.is_empty(), "{faults:#?}");
        let body = &loaded.spec.assemblies[0].body.body;
        let when = body.parts[0].body.when.as_ref().expect("a condition");
        assert_eq!((when.text.as_str(), loaded.files.name(when.place.file)), ("no", "job.yaml"));
        assert_eq!(body.parts[1].name, "shelf");
    }

    #[test]
    fn settings_go_before_the_spec_and_point_at_themselves() {
        let job = (
            "job.yaml",
            "values: {niche: 9}\nassemblies:\n  a: {template: own, with: {width: 3}}\n  b: {template: own}\n",
        );
        let all = [job, OWN];
        let (loaded, faults) = read_texts(&all, &[("a.bays", "4"), ("niche", "10"), ("b.width", "1")]);
        assert!(faults.is_empty(), "{faults:#?}");
        let with = &loaded.spec.assemblies[0].body.clone().with;
        assert_eq!(with.iter().map(|w| w.name.as_str()).collect::<Vec<_>>(), ["width", "bays"]);
        let bays = &with[1].body;
        let text = loaded.files.text(bays.place.file);
        assert_eq!((text, loaded.files.name(bays.place.file)), ("a.bays=4", "--set"));
        assert_eq!(&text[bays.place.start as usize..bays.place.end as usize], "4");
        assert_eq!(loaded.spec.values[0].body.text, "10");

        for (set, check) in [
            (("bays", "4"), "ambiguous-setting"),
            (("beys", "4"), "unknown-setting"),
            (("niche", " "), "nothing-given"),
        ] {
            let (_, faults) = read_texts(&all, &[set]);
            assert_eq!(faults.iter().map(|f| f.check).collect::<Vec<_>>(), [check]);
        }
    }

    #[test]
    fn a_setting_without_a_unit_takes_that_of_the_value_it_replaces() {
        let job = ("job.yaml", "values: {niche: '77 1/4\"', deep: 500 mm, count: 4, gap: niche - 1}\n");
        for (name, value, wanted) in [
            ("niche", "70", "70\""),
            ("niche", "70 1/2", "70 1/2\""),
            ("niche", "70 mm", "70 mm"),
            ("deep", "480.5", "480.5 mm"),
            ("count", "5", "5"),
            ("gap", "2", "2"),
        ] {
            let (loaded, faults) = read_texts(&[job], &[(name, value)]);
            assert!(faults.is_empty(), "{faults:#?}");
            let set = loaded.spec.values.iter().find(|v| v.name == name).expect("set");
            assert_eq!(set.body.text, wanted, "{name}={value}");
        }
    }

    /// Some editors begin a file with U+FEFF (Unicode 23.8: no part of the text). Places are those of the text after it.
    #[test]
    fn a_mark_of_the_encoding_is_no_part_of_the_text() {
        let (loaded, faults) = read_texts(&[("job.yaml", "\u{feff}job: {title: Nook}\nbogus: 1\n")], &[]);
        assert_eq!(
            loaded.spec.job.as_ref().and_then(|job| job.title.as_ref()).map(|t| t.text.as_str()),
            Some("Nook")
        );
        assert_eq!(faults.iter().map(|f| f.place.start).collect::<Vec<_>>(), [19]);
    }

    #[test]
    fn includes_lie_below_and_circles_are_shown() {
        let all = [
            ("job.yaml", "include: [sub/a.yaml, b.yaml]\nvalues: {x: 1}\n"),
            ("sub/a.yaml", "include: ../c.yaml\nvalues: {x: 2, y: 2, z: 2}\nrequire: [{that: a, else: b}]\n"),
            ("b.yaml", "values: {y: 3}\nrequire: [{that: c, else: d}]\n"),
            ("c.yaml", "values: {z: 4, w: 4}\n"),
        ];
        let (loaded, faults) = read_texts(&all, &[]);
        assert!(faults.is_empty(), "{faults:#?}");
        let mut values: Vec<String> =
            loaded.spec.values.iter().map(|v| format!("{}={}", v.name, v.body.text)).collect();
        values.sort();
        assert_eq!(values, ["w=4", "x=1", "y=3", "z=2"]);
        assert_eq!(loaded.spec.require.len(), 2);

        let circle = [("job.yaml", "include: a.yaml\n"), ("a.yaml", "include: job.yaml\n")];
        let (_, faults) = read_texts(&circle, &[]);
        assert!(faults[0].message.ends_with("job.yaml → a.yaml → job.yaml"), "{faults:#?}");
    }

    #[test]
    fn a_misspelt_key_is_read_as_what_was_meant() {
        let (loaded, faults) = read_texts(&[("job.yaml", "jop: {titel: Nook}\nunits: milimm\n")], &[]);
        let checks: Vec<&str> = faults.iter().map(|f| f.check).collect();
        assert_eq!(checks, ["unknown-key", "unknown-key", "bad-choice"]);
        let title = loaded.spec.job.as_ref().and_then(|job| job.title.as_ref());
        assert_eq!(title.map(|t| t.text.as_str()), Some("Nook"));
    }
}
