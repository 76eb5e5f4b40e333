//! The cutting order: a table for each machine, each setting once with all the parts that are worked with it, to be ticked off.

use super::part_sheet::said;
use super::setting_words::{besides, setting, stage};
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::table::{Cell, Column, Table};
use crate::parts::Made;
use crate::plans::Plans;
use crate::plans::settings::{Machine, Work};

/// Height of the lettering.
const TEXT: f64 = 2.5;
/// A box to be ticked by hand.
pub const TICK: &str = "☐";

/// Order of the whole work, said once above the lists.
const ORDER: &str = "Order: rough lengths, one face and one edge flat, rough widths, thickness, final widths, final lengths, then router and drill. \
Cut all parts of a setting before the fence is moved, long ones first; cut one to size and try it before the rest. \
Guards on, push sticks, eyes, ears and dust: follow the maker's instructions.";

/// Sheets of the cutting order; none where nothing is set.
pub fn cutting_order(made: &Made, plans: &Plans, paperwork: &Paperwork) -> Vec<Draft> {
    let settings = &plans.settings;
    if settings.all.is_empty() && settings.sheets.is_empty() {
        return Vec::new();
    }
    let field = paperwork.frame().field();
    let count = libm::floor(field.width() / 165.0).max(1.0) as usize;
    let mut flow = Flow::new(columns(field, count));
    flow.line("CUTTING ORDER", 5.0, true);
    flow.line(ORDER, TEXT, false);
    if let (Some(first), Some(last)) = (settings.sheets.first(), settings.sheets.last()) {
        let which =
            if first == last { format!("sheet {first}") } else { format!("sheets {first} to {last}") };
        let says = format!(
            "{TICK} Sheet goods: {which}, by the numbers of the cuts on the layouts; they are not named again below."
        );
        flow.line(&says, TEXT, true);
    }
    let guided: Vec<String> = plans.jigs.iter().map(|jig| jig.mark.clone()).collect();
    if !guided.is_empty() {
        let says = format!(
            "{TICK} Router templates {}: where one serves a cut, bit, collar and depths are those of its sheet, not of the list below.",
            guided.join(", ")
        );
        flow.line(&says, TEXT, true);
    }
    for machine in settings.machines() {
        flow.table(&list(made, plans, machine, paperwork));
    }
    flow.line(paperwork.figures.unit_note(), TEXT, true);
    let (name, title) = ("cutting-order", "Cutting order");
    let mut all = vec![Draft {
        name: name.into(),
        title: title.into(),
        kind: "CUTTING ORDER",
        groups: vec![flow.group(name)],
        ..Draft::default()
    }];
    all.extend(flow.further(paperwork, name, title));
    all
}

/// Most parts in one row, so that a row never grows higher than a sheet.
const ROW: usize = 12;

fn list(made: &Made, plans: &Plans, machine: Machine, paperwork: &Paperwork) -> Table {
    let figures = &paperwork.figures;
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for of in plans.settings.of(machine) {
        // A setting and its parts are one row: no break of the table parts them.
        for (place, works) in of.work.chunks(ROW).enumerate() {
            let one = |work: &Work| {
                let part = made.parts.get(work.part.0)?;
                let besides = besides(&work.besides, figures);
                let besides = if besides.is_empty() { besides } else { format!(", {besides}") };
                Some(format!("{TICK} {} × {} {}{besides}", work.count, part.mark, said(&part.name)))
            };
            let parts: Vec<String> = works.iter().filter_map(one).collect();
            let again = if place == 0 { "" } else { " (more)" };
            rows.push(vec![
                stage(of.stage).into(),
                Cell::bold(format!("{}{again}", setting(of, figures))),
                parts.join("\n").into(),
            ]);
        }
    }
    Table {
        title: machine.word().to_uppercase(),
        columns: vec![Column::words("WHEN"), Column::words("SETTING"), Column::words("PARTS")],
        rows,
        height: TEXT,
    }
}
