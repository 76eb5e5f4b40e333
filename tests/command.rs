//! The program as it is called: exit codes, streams, and what is left on the disk.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tickstick"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ends by itself")
}

fn errors(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

const FAULTY: &str = "job: {titel: Nook}\n";

#[test]
fn exit_codes_tell_good_faults_and_wrong_use_apart() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("bad.yaml"), FAULTY).expect("written");
    for (arguments, wanted) in [
        (&["templates"][..], 0),
        (&["schema"], 0),
        (&["new", "bay-bench"], 0),
        (&["explain", "unknown-key"], 0),
        (&["--help"], 0),
        (&["--version"], 0),
        (&["check", "bad.yaml"], 1),
        (&["build", "bad.yaml"], 1),
        (&["check", "bad.yaml", "--set", "bays=4"], 1),
        (&[], 2),
        (&["check"], 2),
        (&["check", "none.yaml"], 2),
        (&["check", "."], 2),
        (&["check", "bad.yaml", "--set", "bays"], 2),
        (&["check", "bad.yaml", "--set", "=4"], 2),
        (&["check", "bad.yaml", "--format", "xml"], 2),
        (&["new", "none"], 2),
        (&["explain", "unknown-kye"], 2),
        (&["saw"], 2),
    ] {
        let output = run(folder.path(), arguments);
        assert_eq!(code(&output), wanted, "{arguments:?}: {}", errors(&output));
        if wanted == 2 {
            assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{arguments:?}");
        }
    }
    assert!(!folder.path().join("out").exists(), "a spec with faults writes nothing");
}

#[test]
fn a_fault_is_shown_as_text_and_as_data() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("jobs")).expect("made");
    fs::write(folder.path().join("jobs/bad.yaml"), FAULTY).expect("written");
    let output = run(folder.path(), &["check", "jobs/bad.yaml"]);
    assert!(output.stdout.is_empty());
    assert!(errors(&output).contains("--> jobs/bad.yaml:1:7\n"), "{}", errors(&output));

    let output = run(folder.path(), &["check", "jobs/bad.yaml", "--format", "json"]);
    assert!(output.stderr.is_empty());
    let data: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let found = &data["diagnostics"][0];
    assert_eq!(found["check"], "unknown-key");
    assert_eq!(found["file"], "jobs/bad.yaml");
    assert_eq!((&found["line"], &found["column"]), (&1.into(), &7.into()));
    let edit = &found["cures"][0]["edit"];
    assert_eq!(
        (&edit["replacement"], &edit["start"], &edit["end"]),
        (&"title".into(), &6.into(), &11.into())
    );
}

#[test]
fn a_file_of_fifty_megabytes_is_not_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("large.yaml");
    fs::File::create(&path).and_then(|file| file.set_len(50_000_000)).expect("written");
    let output = run(folder.path(), &["build", "large.yaml"]);
    assert_eq!(code(&output), 1);
    assert!(errors(&output).starts_with("error[file-too-large]: the file has 50000000 bytes"));
}

#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("job")).expect("made");
    fs::write(folder.path().join("secret.yaml"), "values: {a: 1}\n").expect("written");
    std::os::unix::fs::symlink("../secret.yaml", folder.path().join("job/shop.yaml")).expect("linked");
    fs::write(folder.path().join("job/spec.yaml"), "include: shop.yaml\n").expect("written");
    let output = run(folder.path(), &["check", "job/spec.yaml"]);
    assert_eq!(code(&output), 1);
    assert!(errors(&output).starts_with("error[outside-folder]"), "{}", errors(&output));
}

#[test]
fn every_fault_of_the_spec_is_explained() {
    // A name of a check is the first argument of `error(` in the room's own sources.
    let mut known = Vec::new();
    for entry in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/spec")).expect("sources") {
        let text = fs::read_to_string(entry.expect("a file").path()).expect("text");
        let code = text.split("#[cfg(test)]").next().expect("code");
        for call in code.split("Diagnostic::error(").skip(1) {
            let name = call.trim_start().strip_prefix('"').and_then(|rest| rest.split('"').next());
            known.push(name.expect("a check's name is written out where it is used").to_owned());
        }
    }
    known.sort();
    known.dedup();
    let explained: Vec<&str> = tickstick::spec::explain::FAULTS.iter().map(|row| row.name).collect();
    assert_eq!(known, explained, "explain.rs has a row for each, in order");
}
