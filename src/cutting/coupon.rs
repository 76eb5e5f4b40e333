//! A test piece to cut before the parts: three notches, one as wide as the stock is thick, one tighter and one looser by the
//! shop's step, and a tongue of the same stock to try in them.

use super::layers::decimal;
use super::words::{beside, unit_word, write};
use super::{Contents, Form, Operation, Shape, bone};
use crate::drawing::lettering::width_of;
use crate::length::Length;
use crate::parts::Made;
use crate::shape::relief::{self, Air, Bone};
use crate::shape::{Outline, Point, Vertex};
use crate::values::CuttingShop;

/// Depth of the notches: enough to feel the fit.
const DEPTH: Length = Length::from_units(80_000 * 30);
/// Wood under the notches, with two lines of letters on it.
const UNDER: Length = Length::from_units(80_000 * 35);
/// Wood between the notches.
const LAND: Length = Length::from_units(80_000 * 30);
/// The tongue.
const TONGUE: [Length; 2] = [Length::from_units(80_000 * 40), Length::from_units(80_000 * 60)];
/// Between the coupon and the tongue.
const GAP: Length = Length::from_units(80_000 * 20);
/// Height of the letters.
const LETTERS: Length = Length::from_units(80_000 * 5);

/// The widths of the notches with what is engraved under each; `None` where the shop gives no bit, and the reason where the
/// bit does not go into the tightest notch.
pub fn notches(
    made: &Made,
    shop: &CuttingShop,
    stock: usize,
) -> Option<Result<Vec<(Length, String)>, String>> {
    let (stock, bit) = (made.job.stock.get(stock)?, shop.bit?);
    let step = shop.coupon_step;
    let size = |length: Length| {
        let (value, unit) = decimal(length, shop.units);
        format!("{value} {unit}")
    };
    let tightest = stock.thick - step;
    if tightest < bit {
        return Some(Err(format!(
            "no coupon of {}: its tightest notch would be {} wide, the bit is {}",
            stock.name,
            size(tightest),
            size(bit)
        )));
    }
    let (by, _) = decimal(step, shop.units);
    Some(Ok(vec![
        (tightest, format!("-{by}")),
        (stock.thick, "0".to_owned()),
        (stock.thick + step, format!("+{by}")),
    ]))
}

/// The coupon of a stock; `None` where there is none.
///
/// # Errors
/// Where a corner of a notch cannot be relieved.
pub fn coupon(made: &Made, shop: &CuttingShop, stock: usize) -> Result<Option<Contents>, String> {
    let Some(Ok(notches)) = notches(made, shop, stock) else { return Ok(None) };
    let Some(stock) = made.job.stock.get(stock) else { return Ok(None) };
    let height = UNDER + DEPTH;
    let mut x = LAND;
    let mut top = Vec::new();
    let mut labels = Vec::new();
    for (width, label) in notches {
        top.push([(x, height), (x, UNDER), (x + width, UNDER), (x + width, height)]);
        labels.push((x + width.half(), label));
        x = x + width + LAND;
    }
    let right = x;
    let mut corners = vec![(Length::ZERO, Length::ZERO), (right, Length::ZERO), (right, height)];
    corners.extend(top.iter().rev().flat_map(|notch| notch.iter().rev().copied()));
    corners.push((Length::ZERO, height));
    let vertices = corners.into_iter().map(|(x, y)| Vertex { at: Point::new(x, y), bulge: 0.0 });
    let board = Outline::new(vertices.collect()).map_err(|fault| format!("the coupon: {fault:?}"))?;
    let board = relieved(shop, &board)?;
    let around = board.extents();
    let tongue = Outline::rectangle(
        Point::new(right + GAP, Length::ZERO),
        Point::new(right + GAP + TONGUE[0], TONGUE[1]),
    );
    let mut shapes = vec![Shape::new(shop, Operation::Outside, Form::Closed(board))];
    shapes.extend(tongue.map(|tongue| Shape::new(shop, Operation::Outside, Form::Closed(tongue))));
    for (middle, label) in labels {
        let half = Length::from_mm(width_of(&label, LETTERS.to_mm(), false) / 2.0);
        let at = Point::new(middle - half, UNDER - LETTERS * 3);
        write(shop, Operation::Label, at, LETTERS, &label, &mut shapes);
    }
    let at = Point::new(right + GAP + LETTERS, LETTERS * 2);
    write(shop, Operation::Label, at, LETTERS, "tongue", &mut shapes);
    let (thick, unit) = decimal(stock.thick, shop.units);
    let (bit, _) = decimal(shop.bit.unwrap_or_default(), shop.units);
    let said = format!("{} {thick} bit {bit} {unit}", stock.name);
    write(shop, Operation::Label, Point::new(LAND.half(), LETTERS), LETTERS, &said, &mut shapes);
    let lines = vec![
        format!("{} test coupon, {}", made.job.titles.number, stock.called.as_deref().unwrap_or(&stock.name))
            .trim()
            .to_string(),
        format!("{thick} {unit} actual; notches that thick, one step tighter and one looser"),
        format!("push the tongue in and say which notch fits; units {}", unit_word(shop.units)),
    ];
    beside(shop, lines, around, &mut shapes);
    Ok(Some(Contents { shapes }))
}

fn relieved(shop: &CuttingShop, board: &Outline) -> Result<Outline, String> {
    let (Some(bit), Some(bone)) = (shop.bit, bone(shop)) else { return Ok(board.clone()) };
    let found = relief::relieved(board, Air::Around, bit.half() + super::LOOSE, bone, |_| true);
    match found {
        Ok(found) => Ok(found.outline),
        // A narrow notch has room for a relief in its long walls only.
        Err(_) => relief::relieved(board, Air::Around, bit.half() + super::LOOSE, Bone::TLonger, |_| true)
            .map(|found| found.outline)
            .map_err(|faults| format!("the coupon: no room for {} reliefs", faults.len())),
    }
}
