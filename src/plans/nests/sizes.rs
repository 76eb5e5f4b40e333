//! Which of several sizes of sheet to take. The engine mixes sizes, but changes one sheet at a time: it does not find that two
//! small sheets are better one large one. So each size is tried alone too, and with its last sheet left to the others.

use crate::plans::nest::{Fault, Item, Layout, Options, Stock, lay_out};

/// The layout of least cost over all choices of sizes.
///
/// # Errors
/// Those of the engine with every size at hand.
pub(super) fn cheapest(items: &[Item], stock: &[Stock], options: &Options) -> Result<Layout, Vec<Fault>> {
    let mut best = lay_out(items, stock, options)?;
    let bound = best.bound;
    let sold: Vec<usize> = (0..stock.len()).filter(|&index| stock[index].count.is_none()).collect();
    if sold.len() < 2 {
        return Ok(best);
    }
    let cost = |layout: &Layout| -> (u128, usize) {
        let all = layout.sheets.iter().filter_map(|sheet| stock.get(sheet.stock));
        (all.map(|stock| u128::from(stock.cost)).sum(), layout.sheets.len())
    };
    let mut better = |layout: &Layout| {
        if cost(layout) < cost(&best) {
            best = layout.clone();
        }
    };
    for &size in &sold {
        let with = |own: Option<u32>, others: Option<u32>| -> Vec<Stock> {
            let limited = |(index, stock): (usize, &Stock)| match stock.count {
                None if index == size => Stock { count: own, ..*stock },
                None => Stock { count: others, ..*stock },
                Some(_) => *stock,
            };
            stock.iter().enumerate().map(limited).collect()
        };
        let Ok(alone) = lay_out(items, &with(None, Some(0)), options) else { continue };
        better(&alone);
        let count = alone.sheets.iter().filter(|sheet| sheet.stock == size).count();
        let Some(fewer) = u32::try_from(count).ok().and_then(|count| count.checked_sub(1)) else { continue };
        if let Ok(mixed) = lay_out(items, &with(Some(fewer), None), options) {
            better(&mixed);
        }
    }
    // What no layout can go below is known of all sizes only.
    best.bound = bound;
    Ok(best)
}
