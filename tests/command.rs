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

const UNIT: &str = "\
job: {title: Unit, number: U-1, revision: A}
units: inch
stock: {ply: {sheet: [48\", 96\"], thick: 3/4\"}}
assemblies:
  unit:
    parts:
      panel: {stock: ply, faces: front, left: 0, right: 20\", front: 0, bottom: 0, top: 30\", held_by: wall}
";

#[test]
fn two_states_of_a_job_are_compared_and_the_second_is_built_as_a_revision() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    fs::create_dir(path("old")).expect("made");
    fs::write(path("old/unit.yaml"), UNIT).expect("written");
    let narrower = UNIT.replace("right: 20\"", "right: 18\"");
    fs::write(path("same-letter.yaml"), &narrower).expect("written");
    fs::write(path("unit.yaml"), narrower.replace("revision: A", "revision: B")).expect("written");
    fs::write(path("bad.yaml"), FAULTY).expect("written");

    let output = run(folder.path(), &["diff", "old/unit.yaml", "old/unit.yaml"]);
    let text = |output: &Output| String::from_utf8(output.stdout.clone()).expect("text");
    assert_eq!((code(&output), errors(&output)), (0, String::new()));
    assert!(text(&output).contains("Nothing changed: the one part is what it was"), "{}", text(&output));

    let output = run(folder.path(), &["diff", "old/unit.yaml", "unit.yaml"]);
    assert_eq!((code(&output), errors(&output)), (0, String::new()));
    assert_eq!(
        text(&output),
        "Unit U-1: revision B supersedes revision A.\n\n\
         CUT DOWN: pieces already cut can be cut to the new size\n  A1 panel\n      \
         width: 20\" → 18\" (2\" less)\n    → pieces already cut can be cut down\n"
    );
    let output = run(folder.path(), &["diff", "old/unit.yaml", "same-letter.yaml"]);
    assert_eq!(code(&output), 0);
    assert!(errors(&output).starts_with("warning[revision-unchanged]"), "{}", errors(&output));

    let output = run(folder.path(), &["diff", "old/unit.yaml", "unit.yaml", "--format", "json"]);
    let data: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let part = &data["changes"]["parts"][0];
    assert_eq!((&part["id"], &part["meaning"]), (&"unit-panel".into(), &"cut-down".into()));
    // 20" = 508 mm, 18" = 457.2 mm.
    let width = &part["differences"][0];
    assert_eq!((&width["old"], &width["new"]), (&508.0.into(), &457.2.into()));

    for (arguments, wanted) in [
        (&["diff", "bad.yaml", "unit.yaml"][..], 1),
        (&["diff", "unit.yaml", "bad.yaml"], 1),
        (&["diff", "unit.yaml"], 2),
        (&["diff", "unit.yaml", "none.yaml"], 2),
        (&["build", "unit.yaml", "--since", "none.yaml"], 2),
        (&["build", "unit.yaml", "--since", "bad.yaml"], 1),
        (&["build", "unit.yaml", "--set-old", "a=1"], 2),
    ] {
        let output = run(folder.path(), arguments);
        assert_eq!(code(&output), wanted, "{arguments:?}: {}", errors(&output));
        assert!(output.stdout.is_empty() && !path("out").exists(), "{arguments:?}");
    }

    let output = run(folder.path(), &["build", "unit.yaml", "--since", "old/unit.yaml"]);
    assert_eq!(code(&output), 0, "{}", errors(&output));
    let sheet = fs::read_dir(path("out/u-1/sheets"))
        .expect("sheets")
        .flatten()
        .find(|file| file.file_name().to_string_lossy().contains("unit-panel"));
    assert!(sheet.is_some());
}

#[test]
fn a_plain_list_is_laid_out_and_told_as_data() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = folder.path().join("list.csv");
    std::fs::write(&list, "name,width,height,quantity\nshelf,600,300,4\n").expect("written");
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tickstick"));
        command.arg("nest").arg(&list).args(arguments).output().expect("the program runs")
    };
    // Four of 600 x 300 fill 1200 x 600 to the last millimetre where the saw takes nothing.
    let told = run(&["--sheet", "1200x600", "--format", "json"]);
    assert_eq!(told.status.code(), Some(0));
    let data: serde_json::Value = serde_json::from_slice(&told.stdout).expect("JSON");
    assert_eq!(data["sheets"].as_array().map(Vec::len), Some(1));
    assert_eq!(data["bound"], 1);
    assert_eq!(data["sheets"][0]["parts"].as_array().map(Vec::len), Some(4));
    // With a kerf they no longer do.
    let kerf = run(&["--sheet", "1200x600", "--kerf", "3.2", "--format", "json"]);
    let data: serde_json::Value = serde_json::from_slice(&kerf.stdout).expect("JSON");
    assert_eq!(data["sheets"].as_array().map(Vec::len), Some(2));
    assert_eq!(run(&["--sheet", "12"]).status.code(), Some(2));
    assert_eq!(run(&["--sheet", "500x200"]).status.code(), Some(1));
    // A trim of more than half the sheet is told as that, not as a sheet too small.
    let trimmed = run(&["--sheet", "1200x600", "--trim", "310"]);
    assert_eq!(trimmed.status.code(), Some(2));
    assert!(
        errors(&trimmed).contains("a --trim of 310 off each edge leaves nothing"),
        "{}",
        errors(&trimmed)
    );
}

/// The slips of a first try are told as what they are: inches read as millimetres, semicolons for commas.
#[test]
fn a_list_in_another_unit_or_with_semicolons_is_told_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("written");
    write("inch.csv", "name,width,height,quantity\nshelf,60\",30\",4\n");
    write("semi.csv", "name;width;height;quantity\nshelf;60;30;4\n");
    let inch = run(folder.path(), &["nest", "inch.csv", "--sheet", "48x96"]);
    assert_eq!(code(&inch), 1);
    assert!(errors(&inch).contains("for inches add --units inch"), "{}", errors(&inch));
    assert_eq!(code(&run(folder.path(), &["nest", "inch.csv", "--sheet", "48x96", "--units", "inch"])), 0);
    let semi = run(folder.path(), &["nest", "semi.csv", "--sheet", "1220x2440"]);
    assert_eq!(code(&semi), 2);
    assert!(errors(&semi).contains("save it with commas"), "{}", errors(&semi));
    assert_eq!(errors(&semi).lines().count(), 1);
}

/// What the command line says goes before what the spec says: the layouts are those of a spec that asks for so much.
#[test]
fn effort_is_asked_for_on_the_command_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, effort: u32| {
        let mut spec = format!(
            "units: mm\nnests: {{effort: {effort}}}\nshop: {{kerf: 3}}\nstock:\n  ply: {{sheet: [1220, 2440], thick: 18}}\nassemblies:\n  wall:\n    parts:\n"
        );
        for (number, size) in
            ["310, height: 720", "450, height: 560", "290, height: 1900", "510, height: 415"]
                .iter()
                .enumerate()
        {
            spec += &format!(
                "      part_{number}: {{stock: ply, count: 5, faces: front, front: 0, bottom: 0, held_by: wall, left: {number} * 9000 mm + i * 1000 mm, width: {size}, grain: free}}\n"
            );
        }
        std::fs::write(folder.path().join(name), spec).expect("written");
    };
    write("short.yaml", 1);
    write("long.yaml", 30);
    let nests = |spec: &str, out: &str, more: &[&str]| {
        let told = run(folder.path(), &[&["build", spec, "-o", out][..], more].concat());
        assert_eq!(code(&told), 0, "{}", errors(&told));
        let job = folder.path().join(out).join(spec.replace(".yaml", "")).join("job.json");
        let job: serde_json::Value =
            serde_json::from_slice(&std::fs::read(job).expect("job.json is there")).expect("JSON");
        job["nests"].clone()
    };
    let asked = nests("short.yaml", "asked", &["--effort", "30"]);
    assert_eq!(asked, nests("long.yaml", "long", &[]));
    assert_ne!(asked, nests("short.yaml", "short", &[]), "without it the spec's own effort holds");
    assert_eq!(code(&run(folder.path(), &["check", "short.yaml", "--effort", "2"])), 0);
    for wrong in ["0", "100001", "much"] {
        assert_eq!(code(&run(folder.path(), &["check", "short.yaml", "--effort", wrong])), 2, "{wrong}");
    }
}
