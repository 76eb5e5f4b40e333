//! CSV lists for spreadsheets.

use super::cells::guarded;
use super::{grain, part_id};
use crate::length::Length;
use crate::parts::Made;
use crate::plans::Plans;

/// `lists/parts.csv`: one row a part, in millimetres: finished sizes, then those to cut, with the wood left on for scribing.
pub fn parts_csv(made: &Made, plans: &Plans) -> Result<Vec<u8>, String> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    let head = [
        "mark",
        "id",
        "name",
        "quantity",
        "stock",
        "called",
        "thickness_mm",
        "width_mm",
        "height_mm",
        "cut_width_mm",
        "cut_height_mm",
        "grain",
        "mirrored_of",
        "notches",
        "pockets",
        "drills",
        "weight_kg",
        "lift",
        "finish",
        "boards",
    ];
    rows.write_record(head).map_err(|fault| fault.to_string())?;
    let weights = plans.loads.weights.parts.iter().map(Some).chain(std::iter::repeat(None));
    for (part, weight) in made.parts.iter().zip(weights) {
        let kilograms = weight.and_then(|weight| weight.kilograms.as_ref().ok());
        let stock = made.job.stock.get(part.stock);
        let to_cut = part.as_cut().extents();
        let boards = part.boards.iter().filter_map(|b| made.placed.get(b.0)).map(|p| p.board.name.as_str());
        rows.write_record([
            part.mark.clone(),
            part.id.clone(),
            guarded(&part.name),
            part.quantity.to_string(),
            stock.map_or(String::new(), |s| s.name.clone()),
            guarded(stock.and_then(|s| s.called.as_deref()).unwrap_or_default()),
            number(part.thick),
            number(part.width),
            number(part.height),
            number(to_cut.width()),
            number(to_cut.height()),
            grain(part.grain).to_string(),
            part.mirrored_of.map(|p| part_id(made, p.0)).unwrap_or_default(),
            part.cuts.len().to_string(),
            part.pockets.len().to_string(),
            part.holes.len().to_string(),
            kilograms.map(|kg| format!("{kg:.2}")).unwrap_or_default(),
            match (kilograms, weight.is_some_and(|weight| weight.takes_two)) {
                (None, _) => String::new(),
                (_, true) => "two".to_owned(),
                (_, false) => "one".to_owned(),
            },
            guarded(part.finish.as_deref().unwrap_or_default()),
            boards.collect::<Vec<_>>().join(" "),
        ])
        .map_err(|fault| fault.to_string())?;
    }
    rows.into_inner().map_err(|fault| fault.to_string())
}

/// Millimetres with at most five decimals: a unit is 1.25e-5 mm.
pub(super) fn number(length: Length) -> String {
    let text = format!("{:.6}", length.to_mm());
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
