//! One archive for a cutting shop: its drawings, the report, and a page with every part to check against. The same bytes on
//! every run: no clock, one order, one way of packing.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

use super::{Holds, Sent, report};
use crate::cutting::layers::decimal;
use crate::drawing::SheetSet;
use crate::files::{pdf, safe};
use crate::parts::{Made, PartId};
use crate::plans::Plans;
use crate::sheets::cutting_overview::{Seen, overview};

/// Name and bytes of a shop's archive; `written` holds the files of the job by their paths.
///
/// # Errors
/// Where one of its files is not among them, or the archive cannot be made.
pub fn package(
    made: &Made,
    plans: &Plans,
    sent: &Sent,
    written: &BTreeMap<&str, &[u8]>,
) -> Result<(String, Vec<u8>), String> {
    let mut files: Vec<(&str, Cow<[u8]>)> = Vec::new();
    for file in &sent.files {
        let name = file.path.rsplit('/').next().unwrap_or(&file.path);
        let bytes = written.get(file.path.as_str()).ok_or_else(|| format!("{} is not written", file.path))?;
        files.push((name, Cow::Borrowed(bytes)));
    }
    if !sent.files.iter().any(|file| file.holds == Holds::Report) {
        files.push(("REPORT.txt", Cow::Owned(report::report(made, plans, sent).into_bytes())));
    }
    files.push(("parts.pdf", Cow::Owned(page(made, sent)?)));
    Ok((name(made, sent), archive(&files)?))
}

/// `LN-07-millyard-A.zip`.
fn name(made: &Made, sent: &Sent) -> String {
    let titles = &made.job.titles;
    let job = if titles.number.is_empty() { &titles.title } else { &titles.number };
    let shop = if sent.shop.name.is_empty() { "cnc" } else { &sent.shop.name };
    let pieces = [job.as_str(), shop, titles.revision.as_str()];
    let given: Vec<&str> = pieces.into_iter().filter(|piece| !piece.is_empty()).collect();
    format!("{}.zip", safe(&given.join("-")))
}

fn page(made: &Made, sent: &Sent) -> Result<Vec<u8>, String> {
    let titles = &made.job.titles;
    let units = sent.shop.units;
    let size = |length| {
        let (value, unit) = decimal(length, units);
        format!("{value} {unit}")
    };
    let seen = made.parts.iter().zip(&sent.pieces).enumerate().filter_map(|(id, (part, piece))| {
        let around = piece.as_ref()?.through().next()?.extents();
        let stock = made.job.stock.get(part.stock);
        Some(Seen {
            part: PartId(id),
            label: format!(
                "{} {}, make {}, {} {}",
                part.mark,
                part.id,
                part.quantity,
                stock.map_or("", |stock| stock.name.as_str()),
                size(part.thick)
            ),
            sizes: format!("width {}, height {}", size(around.width()), size(around.height())),
        })
    });
    let seen: Vec<Seen> = seen.collect();
    let sheets = overview(made, &sent.shop.name, units, &seen);
    let subject = if sent.shop.name.is_empty() { "cnc" } else { &sent.shop.name };
    let (title, author, date) = (titles.title.as_str(), titles.drawn_by.as_str(), titles.date.as_str());
    pdf::write(&SheetSet { title, author, subject, date, sheets: &sheets })
}

fn archive(files: &[(&str, Cow<[u8]>)]) -> Result<Vec<u8>, String> {
    let told = |fault: zip::result::ZipError| fault.to_string();
    // The earliest day that the format can tell: 1980-01-01.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::DEFAULT)
        // Else the archive says which system it was made on.
        .system(System::Unix)
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(*name, options).map_err(told)?;
        writer.write_all(bytes).map_err(|fault| fault.to_string())?;
    }
    Ok(writer.finish().map_err(told)?.into_inner())
}
