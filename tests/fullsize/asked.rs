//! Printers, templates and rods as the spec asks for them.

use tickstick::diagnose::{Faults, Place};
use tickstick::fullsize::{Printer, Selection, Stock};
use tickstick::length::notation::read;
use tickstick::length::{Length, Units};
use tickstick::parts::PartId;
use tickstick::spec::{SourceError, Sources};
use tickstick::trade::{Face, Side};
use tickstick::values::{FullSize, PrinterPaper, TemplateAsked, full_size};

use super::hand_made::*;

struct OneText(&'static str);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "job.yaml" { Ok(self.0.to_owned()) } else { Err(SourceError::NotFound) }
    }
}

/// What a spec asks for, and the names and messages of its faults. Plain lengths only.
fn asked(text: &'static str) -> (FullSize, Vec<String>) {
    let (loaded, mut faults) = tickstick::spec::read(&OneText(text), "job.yaml", &[]);
    let mut found = Faults::new();
    let all = full_size(&loaded.spec, &mut |formula, _| read(&formula.text, Units::Inch).ok(), &mut found);
    faults.extend(found.into_sorted());
    (all, faults.into_sorted().into_iter().map(|f| format!("{}: {}", f.check, f.message)).collect())
}

#[test]
fn printers_templates_and_rods_are_read() {
    let (all, faults) = asked(
        "shop:\n  printers:\n    office: {paper: a4, margin: 5 mm, measured: [99.6 mm, 100.2 mm, 141.2 mm]}\n    \
         plotter: {paper: roll, width: 24\"}\n\
         templates: [bench.divider, {paper: [bench.rail, bench.end_left], face: both, only: worked_edges}]\n\
         rods: [{along: across, of: bench}, {along: up, from: top}]\n\
         assemblies: {bench: {about: a bench}}\n",
    );
    assert!(faults.is_empty(), "{faults:?}");
    let [office, plotter] = all.printers.as_slice() else { panic!("{:?}", all.printers) };
    assert_eq!((office.paper.clone(), office.margin), (PrinterPaper::Sheets("a4".into()), mm(5)));
    let tenth = |n: i64| Length::from_units(8_000 * n);
    assert_eq!(office.measured, Some([tenth(996), tenth(1002), tenth(1412)]));
    assert_eq!((plotter.paper.clone(), plotter.margin), (PrinterPaper::Roll(Length::INCH * 24), mm(6)));
    let names = |asked: &TemplateAsked| asked.parts.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&all.templates[0]), ["bench.divider"]);
    assert_eq!((all.templates[0].faces.len(), all.templates[0].worked_edges), (0, false));
    assert_eq!(names(&all.templates[1]), ["bench.rail", "bench.end_left"]);
    assert_eq!(all.templates[1].faces, [Face::Show, Face::Back]);
    assert!(all.templates[1].worked_edges);
    assert_eq!((all.rods[0].of.as_deref(), all.rods[0].from), (Some("bench"), Side::Left));
    assert_eq!((all.rods[1].of.as_deref(), all.rods[1].from), (None, Side::Top));
    assert_eq!(Printer::of(plotter).unwrap().stock, Stock::Roll(Length::INCH * 24));
}

#[test]
fn what_cannot_be_printed_is_told() {
    let (all, faults) = asked(
        "shop:\n  printers:\n    plotter: {paper: roll}\n    office: {paper: a4, width: 9\"}\n    \
         den: {paper: a3, measured: [99 mm, 100 mm]}\n\
         rods: [{along: across, from: top}, {along: up, of: bnch}]\n\
         assemblies: {bench: {about: a bench}}\n",
    );
    assert_eq!((all.printers.len(), all.rods.len()), (0, 0));
    for wanted in [
        "printer-paper: the printer plotter prints on a roll, but its width is not given",
        "printer-paper: the printer office takes a4 sheets, so it has no `width`",
        "printer-measured: the printer den needs three measured bars, but 2 are given",
        "rod-end: a rod that runs across begins at the left or the right, not at the top",
        "unknown-name: there is no assembly `bnch`",
    ] {
        assert!(faults.iter().any(|fault| fault == wanted), "{wanted} not in {faults:#?}");
    }
    assert_eq!(faults.len(), 5);
}

#[test]
fn parts_are_found_by_every_name_they_go_by() {
    let mut made = bench(Units::Millimetre);
    for (name, part) in
        [("bench.divider", DIVIDER), ("bench.divider[2]", DIVIDER), ("bench-rail", RAIL), ("B5", SHELF)]
    {
        let found = Selection::named(&made, &[name], false).unwrap();
        assert_eq!(found.chosen[0].part, PartId(part), "{name}");
    }
    let faults = Selection::named(&made, &["bench.devider", "zzz"], false).unwrap_err();
    assert_eq!(faults[0].to_string(), "there is no part `bench.devider`; the nearest is `bench-divider`");
    assert_eq!(faults.len(), 2);
    // Nothing asked: all but the plain rectangle.
    let parts = |made: &_| Selection::of(made).chosen.iter().map(|c| c.part.0).collect::<Vec<_>>();
    assert_eq!(parts(&made), [END, END_RIGHT, DIVIDER, RAIL]);
    let ask = |names: &[&str]| TemplateAsked {
        parts: names.iter().map(|name| ((*name).to_owned(), Place { file: 0, start: 7, end: 9 })).collect(),
        faces: vec![Face::Back],
        worked_edges: false,
    };
    made.job.full_size.templates = vec![ask(&["B5", "bench.devider"])];
    assert_eq!(parts(&made), [SHELF]);
    // What is not there is told at its place.
    let faults = tickstick::fullsize::check(&made);
    assert_eq!(faults.len(), 1);
    assert_eq!((faults[0].check, faults[0].place.start), ("no-such-board", 7));
    assert_eq!(faults[0].message, "there is no part `bench.devider`");
    // A run whose boards are different parts gives all of them; a bare name is enough where one assembly has it.
    made.placed[3].part = PartId(RAIL);
    let found = |made: &_, name| {
        Selection::named(made, &[name], false).map(|s| s.chosen.iter().map(|c| c.part.0).collect::<Vec<_>>())
    };
    assert_eq!(found(&made, "divider").unwrap(), [DIVIDER, RAIL]);
    let mut other = made.job.assemblies[0].clone();
    other.name = "desk".into();
    made.job.assemblies.push(other);
    made.placed[3].board.assembly = 1;
    let fault = found(&made, "divider").unwrap_err().remove(0).to_string();
    assert_eq!(fault, "`divider` is a part of 2 assemblies; say which: bench.divider or desk.divider");
}

#[test]
fn bars_that_no_printer_prints_are_told_at_the_printer() {
    let mut made = bench(Units::Millimetre);
    made.job.full_size.printers = vec![tickstick::values::Printer {
        name: "office".into(),
        place: Place { file: 0, start: 3, end: 4 },
        paper: PrinterPaper::Sheets("a4".into()),
        margin: mm(5),
        measured: Some([mm(90), mm(100), mm(141)]),
    }];
    let faults = tickstick::fullsize::check(&made);
    assert_eq!((faults.len(), faults[0].check, faults[0].place.start), (1, "printer-measured", 3));
    assert!(faults[0].message.starts_with("printer office: A–B measures 90 mm"), "{}", faults[0].message);
}
