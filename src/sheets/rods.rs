//! Story rods as tables: every face of a board along one direction of an assembly, running from one
//! end, so that a stick can be marked once and held up everywhere.

use std::collections::BTreeMap;

use super::assembly::Assembled;
use super::part_sheet::said;
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::Dimension;
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Length;
use crate::parts::{PartId, marks};
use crate::trade::Side;

const TABLES: f64 = 2.5;

/// The sheet of an assembly's rods.
pub fn rods(of: &Assembled, paperwork: &Paperwork) -> Vec<Draft> {
    let field = paperwork.frame().field();
    let count = libm::floor(field.width() / 120.0).max(1.0) as usize;
    let mut flow = Flow::new(columns(field, count));
    flow.line(&of.title.to_uppercase(), 5.0, true);
    flow.line("STORY RODS: mark all from one end, never from mark to mark", 3.5, false);
    let mut dimensions = Vec::new();
    for (title, side) in [
        ("ROD ACROSS, from the left end", Side::Left),
        ("ROD UP, from the lowest point", Side::Bottom),
        ("ROD DEEP, from the front", Side::Front),
    ] {
        if let Some((table, marks)) = rod(of, title, side, paperwork) {
            flow.table(&table);
            dimensions.extend(marks);
        }
    }
    flow.line(paperwork.figures.unit_note(), TABLES, true);
    let (name, title) = (format!("{}-rods", of.name), format!("{}: story rods", of.title));
    let mut all = vec![Draft {
        name: name.clone(),
        title: title.clone(),
        kind: "STORY RODS",
        groups: vec![flow.group(&of.name)],
        dimensions,
        ..Draft::default()
    }];
    all.extend(flow.further(paperwork, &name, &title));
    all
}

/// Marks along a direction from a side of the assembly, and their distances from its end.
fn rod(of: &Assembled, title: &str, from: Side, paperwork: &Paperwork) -> Option<(Table, Vec<Dimension>)> {
    let end = of.turned(from);
    let whole = of.around[end.axis().index()];
    let from_end = |at: Length| if end.is_high() { whole.high - at } else { at - whole.low };
    // Equal parts with their faces at one mark are counted together.
    let mut marks: BTreeMap<Length, BTreeMap<(PartId, Side), Vec<&str>>> = BTreeMap::new();
    for mark in marks::faces(of.made, of.index, from) {
        let Some(placed) = of.made.placed.get(mark.board.0) else { continue };
        let there = marks.entry(from_end(mark.at)).or_default().entry((placed.part, mark.face)).or_default();
        there.push(placed.board.name.as_str());
    }
    if marks.is_empty() {
        return None;
    }
    let told = |((part, face), boards): (&(PartId, Side), &Vec<&str>)| {
        let (mark, name) = of.made.parts.get(part.0).map_or(("", ""), |p| (p.mark.as_str(), p.name.as_str()));
        match boards.as_slice() {
            [one] => format!("{mark}  {one}, {} face", face.word()),
            all => format!("{mark}  {} × {}, {} faces", all.len(), said(name), face.word()),
        }
    };
    let mut rows: Vec<(Length, Vec<String>)> =
        marks.iter().map(|(at, there)| (*at, there.iter().map(told).collect())).collect();
    match rows.last_mut() {
        Some((last, says)) if *last == whole.size() => says.push("END".to_owned()),
        _ => rows.push((whole.size(), vec!["END".to_owned()])),
    }
    let positions: Vec<Length> = rows.iter().map(|(at, _)| *at).collect();
    let name = format!("rod {}", from.word());
    let changed = paperwork.former.signs(&of.title, &name, &positions);
    let dimensions = positions.iter().enumerate().map(|(i, at)| {
        let printed = paperwork.figures.print(*at).both();
        Dimension { what: format!("{name}: mark {}", i + 1), value: *at, printed }
    });
    let dimensions: Vec<Dimension> = dimensions.collect();
    let row = |(((_, says), sign), dimension): ((&(Length, Vec<String>), &str), &Dimension)| {
        vec![Cell::bold(format!("{}{sign}", dimension.printed)), Cell::new(says.join("; "))]
    };
    let table = Table {
        title: title.into(),
        columns: vec![Column::numbers("MARK"), Column::words("WHAT LIES THERE")],
        rows: rows.iter().zip(changed).zip(&dimensions).map(row).collect(),
        height: TABLES,
    };
    Some((table, dimensions))
}
