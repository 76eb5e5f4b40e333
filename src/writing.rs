//! The end of the walk: every file of a job, from what is made, planned and drawn. Decides which files there are and what they
//! are called; their bytes come from `files`.

use std::collections::BTreeMap;

use crate::diagnose::{Diagnostic, Files};
use crate::drawing::{Sheet, SheetSet};
use crate::files::cutting::Sent;
use crate::parts::Made;
use crate::plans::Plans;
use crate::sheets::revision::Since;
use crate::{Calibrated, Calibrating, File, Package, files, fullsize, sheets, values};

/// What was found, and the texts that its places point into.
pub type Told<'a> = (&'a [Diagnostic], &'a Files);

/// Every file of the job. Full-size pages, the PDF and the small files do not know of each other and are made side by side; the
/// order of the files is fixed.
pub fn write(
    made: &Made,
    plans: &Plans,
    told: Told,
    since: Option<&Since>,
    package: Option<Package>,
) -> Result<Vec<File>, String> {
    let sent = files::cutting::sent(made, plans)?;
    let side_by_side = std::thread::scope(|scope| {
        let full_size = scope.spawn(|| full_size(made, plans));
        let sheets = sheets::sheet_set_since(made, plans, told.0, since);
        let set = sheet_set(made, &made.job.titles.number, &sheets);
        let (pdf, rest) = std::thread::scope(|scope| {
            let pdf = scope.spawn(|| files::pdf::write(&set));
            let rest = small_files(made, plans, told, &sent, &set);
            (pdf.join(), rest)
        });
        Some((pdf.ok()?, rest, full_size.join().ok()?))
    });
    let (pdf, rest, full_size) = side_by_side.ok_or("a writer stopped; nothing was written")?;
    let mut all = vec![file("drawings.pdf", pdf?)];
    all.extend(rest?);
    all.extend(full_size?);
    if package == Some(Package::Cnc) {
        let packed = packages(made, plans, &sent, &all)?;
        all.extend(packed);
    }
    Ok(all)
}

/// An archive for each cutting shop, of the files that are written already.
fn packages(made: &Made, plans: &Plans, sent: &[Sent], written: &[File]) -> Result<Vec<File>, String> {
    let written: BTreeMap<&str, &[u8]> =
        written.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect();
    let mut names = files::Names::new();
    let each = sent.iter().map(|sent| {
        let (name, bytes) = files::cutting::package(made, plans, sent, &written)?;
        Ok(file(names.give("", name.trim_end_matches(".zip"), "zip"), bytes))
    });
    each.collect()
}

fn file(name: impl Into<String>, bytes: Vec<u8>) -> File {
    File { name: name.into(), bytes }
}

fn sheet_set<'a>(made: &'a Made, subject: &'a str, sheets: &'a [Sheet]) -> SheetSet<'a> {
    let titles = &made.job.titles;
    // Where nobody is named as the one who drew it, the shop answers for it.
    let author = if titles.drawn_by.is_empty() { &titles.shop } else { &titles.drawn_by };
    SheetSet { title: &titles.title, author, subject, date: &titles.date, sheets }
}

/// Single sheets, outlines for the cutting shop, lists and data.
fn small_files(
    made: &Made,
    plans: &Plans,
    told: Told,
    sent: &[Sent],
    set: &SheetSet,
) -> Result<Vec<File>, String> {
    let drawn = |from: usize, to: usize| -> Result<Vec<File>, String> {
        let one = |index: usize| {
            let name = format!("sheets/{}.svg", files::safe(&set.sheets[index].name));
            Ok(file(name, files::svg::write(set, index)?))
        };
        (from..to).map(one).collect()
    };
    let (half, count) = (set.sheets.len() / 2, set.sheets.len());
    let (first, second) = std::thread::scope(|scope| {
        let second = scope.spawn(|| drawn(half, count));
        (drawn(0, half), second.join())
    });
    let mut all = first?;
    all.extend(second.map_err(|_| "a writer stopped; nothing was written")??);
    for shop in sent {
        for cut in &shop.files {
            all.push(file(cut.path.clone(), shop.write(made, plans, cut)?));
        }
    }
    for jig in &plans.jigs {
        all.push(file(files::dxf::jigs::path(made, jig), files::dxf::jigs::write_jig(made, jig)?));
    }
    all.push(file("lists/parts.csv", files::data::parts_csv(made, plans)?));
    if !plans.nests.is_empty() {
        all.push(file("lists/nests.csv", files::data::nests_csv(made, plans)?));
    }
    if !plans.boards.is_empty() {
        all.push(file("lists/boards.csv", files::data::boards_csv(made, plans)?));
    }
    all.push(file("lists/settings.csv", files::data::settings_csv(made, plans)?));
    all.push(file("lists/buying.csv", files::data::buying_csv(plans)?));
    all.push(file("job.json", files::data::job_json(made, plans, sent, told.0, told.1)?));
    Ok(all)
}

/// Paper templates, story rods and labels for each of the shop's printers.
fn full_size(made: &Made, plans: &Plans) -> Result<Vec<File>, String> {
    let all = |faults: Vec<fullsize::Fault>| {
        let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
        said.join("; ")
    };
    let mut files = Vec::new();
    for given in &made.job.full_size.printers {
        let printer = fullsize::Printer::of(given).map_err(|fault| fault.to_string())?;
        let templates = fullsize::templates(made, &fullsize::Selection::of(made), &printer).map_err(all)?;
        let rods = fullsize::rods(made, &printer).map_err(all)?;
        let labels = match printer.stock {
            fullsize::Stock::Sheets(paper) => sheets::labels::labels(made, plans, paper, printer.margin),
            fullsize::Stock::Roll(_) => Vec::new(),
        };
        let jigs = fullsize::jig::jigs(made, &plans.jigs, &printer).map_err(all)?;
        let kinds = [("templates", templates), ("rods", rods), ("labels", labels), ("jigs", jigs)];
        for (kind, sheets) in kinds {
            if !sheets.is_empty() {
                let bytes = files::pdf::write(&sheet_set(made, kind, &sheets))?;
                files.push(file(files::full_size_path(kind, &given.name), bytes));
            }
        }
    }
    Ok(files)
}

/// A printer's test page, or the lines that its measures come to.
///
/// # Errors
/// As [`crate::calibrate`].
pub fn calibrated(job: &values::Job, asked: &Calibrating) -> Result<Calibrated, String> {
    let chosen = fullsize::calibrate::printers(job, asked.printer).map_err(|fault| fault.to_string())?;
    if let Some(measured) = asked.measured {
        let lines = fullsize::calibrate::lines_from(&chosen, measured).map_err(|fault| fault.to_string())?;
        return Ok(Calibrated::Lines(lines));
    }
    let mut pages = Vec::new();
    let mut names = files::Names::new();
    for given in chosen {
        // The page shows the printer's own error, so earlier measures are left out, good or not.
        let bare = values::Printer { measured: None, ..given.clone() };
        let printer = fullsize::Printer::of(&bare).map_err(|fault| fault.to_string())?;
        let page = fullsize::calibrate::test_page(job, &printer).map_err(|fault| fault.to_string())?;
        let set = SheetSet {
            title: "Test page",
            author: "",
            subject: &given.name,
            date: &job.titles.date,
            sheets: std::slice::from_ref(&page),
        };
        pages.push(file(
            names.give("", &format!("test-page-{}", given.name), "pdf"),
            files::pdf::write(&set)?,
        ));
    }
    Ok(Calibrated::Pages(pages))
}
