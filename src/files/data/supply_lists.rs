//! Boards, cutting order and buying list for spreadsheets: `lists/boards.csv`, `lists/settings.csv`, `lists/buying.csv`.

use super::cells::{guarded, quantity};
use super::lists::number;
use super::part_id;
use super::supply::{setting_entry, stock_name};
use crate::parts::{Made, PartId};
use crate::plans::Plans;
use crate::trade::money::Money;

fn csv_of(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> Result<Vec<u8>, String> {
    let mut file = csv::Writer::from_writer(Vec::new());
    file.write_record(head).map_err(|fault| fault.to_string())?;
    for row in rows {
        file.write_record(row).map_err(|fault| fault.to_string())?;
    }
    file.into_inner().map_err(|fault| fault.to_string())
}

fn mark(made: &Made, part: PartId) -> String {
    made.parts.get(part.0).map(|part| part.mark.clone()).unwrap_or_default()
}

/// `lists/boards.csv`: one row a piece on its board, in millimetres; strips that lie on no board have no board number.
pub fn boards_csv(made: &Made, plans: &Plans) -> Result<Vec<u8>, String> {
    let head = [
        "stock",
        "board",
        "board_width_mm",
        "board_length_mm",
        "lane",
        "from_edge_mm",
        "from_end_mm",
        "mark",
        "part",
        "strips_to_a_part",
        "rough_width_mm",
        "rough_length_mm",
        "width_mm",
        "length_mm",
        "to_fit",
    ];
    let mut rows = Vec::new();
    for plan in &plans.boards {
        let stock = guarded(&stock_name(made, plan.stock));
        let mut row = |strip: usize, placed: [String; 6]| {
            let Some(strip) = plan.strips.get(strip) else { return };
            let mut all = vec![stock.clone()];
            all.extend(placed);
            all.extend([
                mark(made, strip.part),
                guarded(&part_id(made, strip.part.0)),
                strip.of.to_string(),
                number(strip.rough_width),
                number(strip.rough_length),
                number(strip.width),
                number(strip.length),
                if strip.to_fit { "yes" } else { "no" }.to_owned(),
            ]);
            rows.push(all);
        };
        for (index, board) in plan.boards.iter().enumerate() {
            for (place, lane) in board.lanes.iter().enumerate() {
                for piece in &lane.pieces {
                    let placed = [
                        (index + 1).to_string(),
                        number(board.width),
                        number(board.length),
                        (place + 1).to_string(),
                        number(lane.from),
                        number(piece.from),
                    ];
                    row(piece.strip, placed);
                }
            }
        }
        if plan.boards.is_empty() {
            for (index, strip) in plan.strips.iter().enumerate() {
                (0..strip.quantity).for_each(|_| row(index, Default::default()));
            }
        }
    }
    csv_of(&head, rows.into_iter())
}

/// `lists/settings.csv`: one row a part under each setting, in the order of the work, in millimetres and degrees.
pub fn settings_csv(made: &Made, plans: &Plans) -> Result<Vec<u8>, String> {
    let head = [
        "machine",
        "stage",
        "set",
        "what",
        "figure_mm",
        "degrees",
        "from",
        "wide_mm",
        "deep_mm",
        "into",
        "bit_mm",
        "passes",
        "countersink_mm",
        "slot_length_mm",
        "mark",
        "part",
        "count",
        "length_mm",
        "besides",
    ];
    let decimals = |number: Option<f64>| {
        let text = number.map(|number| format!("{number:.3}")).unwrap_or_default();
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    };
    let mut rows = Vec::new();
    for setting in &plans.settings.all {
        let entry = setting_entry(made, setting);
        for (work, said) in setting.work.iter().zip(&entry.work) {
            rows.push(vec![
                entry.machine.to_owned(),
                entry.stage.to_owned(),
                entry.set.to_owned(),
                entry.what.to_owned(),
                decimals(entry.figure_mm),
                decimals(entry.degrees),
                entry.from.unwrap_or_default().to_owned(),
                decimals(entry.wide_mm),
                decimals(entry.deep_mm),
                entry.into.unwrap_or_default().to_owned(),
                decimals(entry.bit_mm),
                entry.passes.map(|passes| passes.to_string()).unwrap_or_default(),
                decimals(entry.countersink_mm),
                decimals(entry.slot_length_mm),
                mark(made, work.part),
                guarded(&said.part),
                said.count.to_string(),
                number(work.length),
                said.besides.join("; "),
            ]);
        }
    }
    csv_of(&head, rows.into_iter())
}

/// `lists/buying.csv`: one row a line, then the sums.
pub fn buying_csv(plans: &Plans) -> Result<Vec<u8>, String> {
    let money = |sum: Option<Money>| sum.map(|sum| sum.to_string()).unwrap_or_default();
    let of = &plans.buying;
    let mut rows: Vec<Vec<String>> = Vec::new();
    for line in &of.lines {
        rows.push(vec![
            line.kind.word().to_owned(),
            guarded(&line.item),
            quantity(Some(line.quantity)),
            line.unit.clone(),
            money(line.each),
            money(line.sum),
            guarded(&line.needs),
        ]);
    }
    if let Some(sums) = &of.sums {
        let mut sum = |what: &str, sum: Money, needs: String| {
            let empty = String::new;
            rows.push(vec![
                "sum".to_owned(),
                what.to_owned(),
                empty(),
                empty(),
                empty(),
                sum.to_string(),
                needs,
            ]);
        };
        sum("priced lines", sums.net, format!("{} lines without a price", sums.unpriced));
        for (what, share) in [("margin", sums.margin), ("tax", sums.tax)] {
            if let Some((share, money)) = share {
                sum(what, money, crate::trade::money::show_share(share));
            }
        }
        sum("total", sums.total, String::new());
    }
    csv_of(&["kind", "item", "quantity", "unit", "each", "sum", "needs"], rows.into_iter())
}
