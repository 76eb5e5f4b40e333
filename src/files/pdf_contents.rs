//! The list of contents that a reader of a PDF shows beside the pages: chapters with their sheets, and of a sheet that shows
//! several things each of them (ISO 32000-1:2008, 12.3.3; titles are text strings, UTF-16 where they need it).

use lopdf::{Document, Object, ObjectId, dictionary, text_string};
use printpdf::Pt;

use crate::drawing::{Field, Sheet, SheetSet};

/// One line of the list.
struct Entry {
    title: String,
    page: ObjectId,
    /// What is to fill the window: an area in points (left, bottom, right, top); `None`: the page.
    area: Option<[f32; 4]>,
    under: Vec<Entry>,
}

/// Writes the list and gives what the catalogue refers to. `points` takes millimetres.
pub fn write(
    document: &mut Document,
    set: &SheetSet,
    pages: &[ObjectId],
    points: impl Fn(f64) -> Pt,
) -> Object {
    let mut all: Vec<Entry> = Vec::new();
    let mut chapter = "";
    for (index, (sheet, page)) in set.sheets.iter().zip(pages).enumerate() {
        let entries = entries(sheet, index + 1, *page, &points);
        match all.last_mut() {
            Some(open) if !sheet.chapter.is_empty() && sheet.chapter == chapter => open.under.extend(entries),
            _ if sheet.chapter.is_empty() => all.extend(entries),
            _ => {
                let title = sheet.chapter.clone();
                all.push(Entry { title, page: *page, area: None, under: entries });
            }
        }
        chapter = &sheet.chapter;
    }
    let root = document.new_object_id();
    let (ends, count) = level(document, root, &all);
    let mut outlines = dictionary! { "Type" => "Outlines", "Count" => count };
    if let Some((first, last)) = ends {
        outlines.set("First", first);
        outlines.set("Last", last);
    }
    document.set_object(root, outlines);
    Object::Reference(root)
}

fn entries(sheet: &Sheet, number: usize, page: ObjectId, points: impl Fn(f64) -> Pt) -> Vec<Entry> {
    let entry =
        |title: &str, area| Entry { title: format!("{number} {title}"), page, area, under: Vec::new() };
    if sheet.fields.is_empty() {
        return vec![entry(&sheet.title, None)];
    }
    let area = |f: &Field| [f.low.0, f.low.1, f.high.0, f.high.1].map(|v| points(v).0);
    sheet.fields.iter().map(|field| entry(&field.title, Some(area(field)))).collect()
}

/// Writes one level: its first and last entry, and how many lines show with all below it open.
fn level(
    document: &mut Document,
    parent: ObjectId,
    entries: &[Entry],
) -> (Option<(ObjectId, ObjectId)>, i64) {
    let ids: Vec<ObjectId> = entries.iter().map(|_| document.new_object_id()).collect();
    let mut count = 0;
    for (i, (entry, id)) in entries.iter().zip(&ids).enumerate() {
        let page = Object::Reference(entry.page);
        let destination = match entry.area {
            Some(area) => {
                let to = [page, Object::Name(b"FitR".to_vec())];
                to.into_iter().chain(area.map(Object::Real)).collect()
            }
            None => vec![page, Object::Name(b"Fit".to_vec())],
        };
        let mut line =
            dictionary! { "Title" => text_string(&entry.title), "Parent" => parent, "Dest" => destination };
        if let Some(before) = i.checked_sub(1).and_then(|i| ids.get(i)) {
            line.set("Prev", *before);
        }
        if let Some(after) = ids.get(i + 1) {
            line.set("Next", *after);
        }
        let (ends, below) = level(document, *id, &entry.under);
        if let Some((first, last)) = ends {
            line.set("First", first);
            line.set("Last", last);
            line.set("Count", below);
        }
        document.set_object(*id, line);
        count += 1 + below;
    }
    (ids.first().copied().zip(ids.last().copied()), count)
}
