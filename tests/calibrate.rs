//! `tickstick calibrate`: the test page on paper, and the lines that it leads to.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tickstick"))
        .arg("calibrate")
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text")
}

const SHOP: &str = "shop:\n  printers:\n    office: {paper: a4, margin: 5 mm}\n    hall: {paper: a3}\n";

#[test]
fn a_page_for_each_printer_is_written_from_the_shops_own_file() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("written");
    let all = run(folder.path(), &["shop.yaml"]);
    assert_eq!(all.status.code(), Some(0), "{}", text(&all.stderr));
    for name in ["office", "hall"] {
        let page =
            fs::read(folder.path().join(format!("out/test-pages/test-page-{name}.pdf"))).expect("a page");
        assert!(page.starts_with(b"%PDF-1.7"));
        let has = |words: &[u8]| page.windows(words.len()).any(|w| w == words);
        // Viewers must not fit it to the paper (ISO 32000-1 table 150).
        assert!(has(b"/PrintScaling/None") || has(b"/PrintScaling /None"), "{name}");
    }
    let one = run(folder.path(), &["shop.yaml", "--printer", "hall", "-o", "one"]);
    assert_eq!(one.status.code(), Some(0), "{}", text(&one.stderr));
    assert!(folder.path().join("one/test-pages/test-page-hall.pdf").exists());
    assert!(!folder.path().join("one/test-pages/test-page-office.pdf").exists());
}

#[test]
fn measures_become_lines_that_the_shops_file_takes() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("written");
    let lines = run(folder.path(), &["shop.yaml", "--printer", "office", "--measured", "99.6,100.2,141.2"]);
    assert_eq!(lines.status.code(), Some(0), "{}", text(&lines.stderr));
    let lines = text(&lines.stdout);
    // 100 / 99.6 = 1.0040 across.
    assert!(lines.contains("stretched by 1.0040 across"), "{lines}");
    assert!(
        lines.contains("office: {paper: a4, margin: 5 mm, measured: [99.6 mm, 100.2 mm, 141.2 mm]}"),
        "{lines}"
    );
    // Pasted as they stand they are a shop's file again, and the page is still the printer's own.
    fs::write(folder.path().join("pasted.yaml"), &lines).expect("written");
    let before = run(folder.path(), &["shop.yaml", "--printer", "office", "-o", "before"]);
    let after = run(folder.path(), &["pasted.yaml", "-o", "after"]);
    assert_eq!((before.status.code(), after.status.code()), (Some(0), Some(0)), "{}", text(&after.stderr));
    let page =
        |at: &str| fs::read(folder.path().join(at).join("test-pages/test-page-office.pdf")).expect("a page");
    assert!(page("before") == page("after"), "the test page is corrected");
}

#[test]
fn what_cannot_be_is_refused_with_the_numbers() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("shop.yaml"), SHOP).expect("written");
    fs::write(folder.path().join("none.yaml"), "shop: {kerf: 1/8\"}\n").expect("written");
    fs::write(folder.path().join("bad.yaml"), "shop: {printers: {office: {paper: a44}}}\n").expect("written");
    for (arguments, code, said) in [
        (&["shop.yaml", "--measured", "99.6,100.2,141.2"][..], 2, "there are 2 printers"),
        (&["shop.yaml", "--printer", "ofice"], 2, "the nearest is `office`"),
        (
            &["shop.yaml", "--printer", "hall", "--measured", "96,100,141.4,1"],
            2,
            "three measures are wanted, but 4 are given",
        ),
        (&["shop.yaml", "--printer", "hall", "--measured", "90,100,141"], 2, "A–B measures 90 mm"),
        (&["shop.yaml", "--printer", "hall", "--measured", "100,one,141"], 2, "`one`"),
        (&["none.yaml"], 2, "no printer is listed"),
        (&["bad.yaml"], 1, "bad-choice"),
    ] {
        let output = run(folder.path(), arguments);
        let told = text(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {told}");
        assert!(told.contains(said), "{arguments:?}: {told}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
    assert!(!folder.path().join("out").exists());
}
