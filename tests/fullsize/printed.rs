//! Pages written for the outside look.

use std::fs;
use std::path::Path;

use tickstick::drawing::SheetSet;
use tickstick::drawing::paper::Paper;
use tickstick::files::pdf;
use tickstick::fullsize::calibrate::test_page;
use tickstick::fullsize::{Printer, Selection, Stock, rods, templates};
use tickstick::length::Length;
use tickstick::trade::{Side, Units};
use tickstick::values::RodAsked;

use super::hand_made::*;

#[test]
fn look() {
    let mut made = bench(Units::Millimetre);
    made.job.full_size.rods =
        vec![RodAsked { of: Some("bench".into()), from: Side::Left, place: Default::default() }];
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fullsize");
    fs::create_dir_all(&out).unwrap();
    let write = |name: &str, sheets: &[tickstick::drawing::Sheet]| {
        let set = SheetSet { title: "Hall bench", author: "", subject: "", date: "2026-04-14", sheets };
        fs::write(out.join(name), pdf::write(&set).unwrap()).unwrap();
    };
    let a4 = Printer::on(Stock::Sheets(Paper::A4));
    let selection = Selection::of(&made).unwrap();
    write("a4.pdf", &templates(&made, &selection, &a4).unwrap());
    let a3 = Printer::on(Stock::Sheets(Paper::A3));
    write("a3.pdf", &templates(&made, &selection, &a3).unwrap());
    let roll = Printer::on(Stock::Roll(Length::MM * 610));
    write("roll.pdf", &templates(&made, &selection, &roll).unwrap());
    write("rods-a4.pdf", &rods(&made, &a4).unwrap());
    write("rods-roll.pdf", &rods(&made, &roll).unwrap());
    let worked = Selection::named(&made, &["bench.rail", "bench.divider", "B1"], true).unwrap();
    let inch = bench(Units::Inch);
    write(
        "worked-letter.pdf",
        &templates(&inch, &worked, &Printer::on(Stock::Sheets(Paper::Letter))).unwrap(),
    );
    write("test-page.pdf", &[test_page(&made.job, &a4).unwrap()]);
}
