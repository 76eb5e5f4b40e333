//! Templates and rods of the samples, through every stage before them.

use std::path::Path;

use tickstick::diagnose::Severity;
use tickstick::drawing::SheetSet;
use tickstick::drawing::bounds::{crossings, outside, overlaps, text_boxes};
use tickstick::drawing::paper::Paper;
use tickstick::files::pdf;
use tickstick::fullsize::{Printer, Selection, Stock, rods, templates};
use tickstick::parts::Made;
use tickstick::spec::{SourceError, Sources};
use tickstick::trade::Side;
use tickstick::values::RodAsked;

struct Samples;

impl Sources for Samples {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
        std::fs::read_to_string(folder.join(path)).map_err(|_| SourceError::NotFound)
    }
}

fn made(name: &str) -> Made {
    let (loaded, faults) = tickstick::spec::read(&Samples, name, &[]);
    assert!(!faults.has_errors());
    let (boards, faults) = tickstick::boards::place(&loaded.spec);
    assert!(!faults.has_errors());
    let (joints, _) = tickstick::joints::join(&boards);
    tickstick::parts::make(boards, joints).0
}

#[test]
fn samples_print_with_every_word_clear() {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fullsize-samples");
    std::fs::create_dir_all(&out).unwrap();
    for (sample, paper) in [("listening-nook.yaml", Paper::Tabloid), ("larder.yaml", Paper::A3)] {
        let mut made = made(sample);
        let found = tickstick::fullsize::check(&made);
        assert!(found.iter().all(|d| d.severity != Severity::Error), "{found:?}");
        let assembly = made.job.assemblies[0].name.clone();
        made.job.full_size.rods = [Side::Left, Side::Bottom, Side::Front]
            .map(|from| RodAsked { of: Some(assembly.clone()), from, place: Default::default() })
            .to_vec();
        let printer = Printer::on(Stock::Sheets(paper));
        let selection = Selection::of(&made);
        assert!(!selection.chosen.is_empty(), "{sample}");
        let mut sheets = templates(&made, &selection, &printer).unwrap();
        sheets.extend(rods(&made, &printer).unwrap());
        let set = SheetSet { title: sample, author: "", subject: "", date: "", sheets: &sheets };
        std::fs::write(out.join(sample).with_extension("pdf"), pdf::write(&set).unwrap()).unwrap();
        for sheet in &sheets {
            let boxes = text_boxes(sheet);
            if let Some(overlap) = overlaps(sheet).first() {
                let (one, other) = (&boxes[overlap.one].text, &boxes[overlap.other].text);
                panic!("{sample} {}: `{one}` over `{other}`", sheet.name);
            }
            if let Some(crossing) = crossings(sheet).first() {
                let group = &sheet.groups[crossing.group].id;
                panic!("{sample} {}: a line of {group} through `{}`", sheet.name, boxes[crossing.text].text);
            }
            let out = outside(sheet, (6.0, 6.0), (sheet.width - 6.0, sheet.height - 6.0));
            assert!(out.is_empty(), "{sample} {}: `{}` leaves the margins", sheet.name, boxes[out[0]].text);
        }
    }
}
