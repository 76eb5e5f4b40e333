//! The buying list on paper.

use super::cutting_order::TICK;
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::table::{Cell, Column, Table};
use crate::plans::Plans;
use crate::plans::buying::Buying;
use crate::trade::money::{Money, show_number, show_share};

const TEXT: f64 = 2.5;

/// Sheets of the buying list; none where nothing is to be bought.
pub fn buying_list(plans: &Plans, paperwork: &Paperwork) -> Vec<Draft> {
    let buying = &plans.buying;
    if buying.lines.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(columns(paperwork.frame().field(), 1));
    flow.line("BUYING LIST", 5.0, true);
    flow.table(&list(buying));
    if let Some(sums) = totals(buying) {
        flow.table(&sums);
    }
    flow.line(
        "Quantities are rounded up to what is sold. The label of a can, a box or a bottle wins over what is reckoned here. \
         Oily rags catch fire by themselves: dry them flat outdoors, or keep them under water in a lidded metal can.",
        TEXT,
        false,
    );
    let (name, title) = ("buying-list", "Buying list");
    let mut all = vec![Draft {
        name: name.into(),
        title: title.into(),
        kind: "BUYING LIST",
        groups: vec![flow.group(name)],
        ..Draft::default()
    }];
    all.extend(flow.further(paperwork, name, title));
    all
}

fn list(buying: &Buying) -> Table {
    let priced = buying.sums.is_some();
    let mut kind = None;
    let rows = buying.lines.iter().map(|line| {
        let first = kind != Some(line.kind);
        kind = Some(line.kind);
        let head = if first { line.kind.word().to_uppercase() } else { String::new() };
        let money = |sum: Option<Money>| sum.map(|sum| sum.to_string()).unwrap_or_default();
        let mut row: Vec<Cell> = vec![
            TICK.into(),
            Cell::bold(head),
            line.item.clone().into(),
            Cell::bold(show_number(line.quantity)),
            line.unit.clone().into(),
            line.needs.clone().into(),
        ];
        if priced {
            row.extend([money(line.each).into(), money(line.sum).into()]);
        }
        row
    });
    let rows = rows.collect();
    let mut columns = vec![
        Column::marks(""),
        Column::words("KIND"),
        Column::words("ITEM"),
        Column::numbers("QTY"),
        Column::words("UNIT"),
        Column::words("HOW IT WAS COUNTED"),
    ];
    if priced {
        columns.extend([Column::numbers("EACH"), Column::numbers("SUM")]);
    }
    Table { title: String::new(), columns, rows, height: TEXT }
}

/// The sums, line by line, as they add up.
fn totals(buying: &Buying) -> Option<Table> {
    let sums = buying.sums.as_ref()?;
    let money = |sum: Money| format!("{}{sum}", buying.currency);
    let mut rows: Vec<Vec<Cell>> = vec![vec!["priced lines".into(), money(sums.net).into()]];
    if let Some((share, margin)) = sums.margin {
        rows.push(vec![format!("margin {}", show_share(share)).into(), money(margin).into()]);
    }
    if let Some((share, tax)) = sums.tax {
        rows.push(vec![format!("tax {}", show_share(share)).into(), money(tax).into()]);
    }
    rows.push(vec![Cell::bold("TOTAL"), Cell::bold(money(sums.total))]);
    let title = match sums.unpriced {
        0 => "TOTAL: each sum to the nearest cent, halves up".to_owned(),
        1 => {
            "TOTAL: each sum to the nearest cent, halves up; 1 LINE HAS NO PRICE AND IS NOT IN IT".to_owned()
        }
        many => format!(
            "TOTAL: each sum to the nearest cent, halves up; {many} LINES HAVE NO PRICE AND ARE NOT IN IT"
        ),
    };
    Some(Table { title, columns: vec![Column::words(""), Column::numbers("")], rows, height: TEXT })
}
