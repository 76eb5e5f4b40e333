//! A test piece to cut before the parts: three notches, one as wide as the stock is thick, one tighter and one looser by the
//! shop's step, and a tongue of the same stock to try in them.

use super::layers::decimal;
use super::sound::unclean;
use super::words::{beside, unit_word, write};
use super::{Contents, Form, LOOSE, Operation, Shape, bone};
use crate::drawing::lettering::width_of;
use crate::length::Length;
use crate::parts::Made;
use crate::shape::relief::{self, Air, Bone};
use crate::shape::{Outline, Point, Vertex};
use crate::values::{CuttingShop, Stock};

/// Depth of the notches: enough to feel the fit.
const DEPTH: Length = Length::from_units(80_000 * 30);
/// Wood under the notches, with two lines of letters on it.
const UNDER: Length = Length::from_units(80_000 * 35);
/// Least wood left beyond a relief.
const MORE: Length = Length::from_units(80_000 * 5);
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

/// A coupon with what there is to know of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Coupon {
    pub contents: Contents,
    /// Where its corners are relieved otherwise than the shop's are, how.
    pub relieved: Option<&'static str>,
}

/// The coupon of a stock; `None` where the shop gives no bit.
///
/// # Errors
/// Says why there is none: the bit does not go in, a corner of a notch cannot be relieved, or its line is not clean.
pub fn coupon(made: &Made, shop: &CuttingShop, stock: usize) -> Option<Result<Coupon, String>> {
    let notches = match notches(made, shop, stock)? {
        Ok(notches) => notches,
        Err(why) => return Some(Err(why)),
    };
    let stock = made.job.stock.get(stock)?;
    let told = |why: String| format!("no coupon of {}: {why}", stock.name);
    Some(drawn(made, shop, stock, notches).map_err(told))
}

fn drawn(
    made: &Made,
    shop: &CuttingShop,
    stock: &Stock,
    notches: Vec<(Length, String)>,
) -> Result<Coupon, String> {
    let bit = shop.bit.unwrap_or_default();
    let (thick, unit) = decimal(stock.thick, shop.units);
    let said = format!("{} {thick} bit {} {unit}", stock.name, decimal(bit, shop.units).0);
    // A lobe is as long as the bit is wide: room for one in a wall, and for two back to back.
    let lobe = bit + LOOSE * 2;
    let (deep, land) = (DEPTH.max(lobe + MORE), LAND.max(lobe + MORE));
    let height = UNDER + deep;
    let mut x = land;
    let mut top = Vec::new();
    let mut labels = Vec::new();
    for (width, label) in notches {
        top.push([(x, height), (x, UNDER), (x + width, UNDER), (x + width, height)]);
        labels.push((x + width.half(), label));
        x = x + width + land;
    }
    // As wide as what is engraved on it asks for.
    let right = x.max(Length::from_mm(width_of(&said, LETTERS.to_mm(), false)) + LAND);
    let mut corners = vec![(Length::ZERO, Length::ZERO), (right, Length::ZERO), (right, height)];
    corners.extend(top.iter().rev().flat_map(|notch| notch.iter().rev().copied()));
    corners.push((Length::ZERO, height));
    let vertices = corners.into_iter().map(|(x, y)| Vertex { at: Point::new(x, y), bulge: 0.0 });
    let board = Outline::new(vertices.collect()).map_err(|fault| format!("its outline: {fault:?}"))?;
    let (board, relieved) = relieved(shop, &board)?;
    if let Some(why) = unclean(&board) {
        return Err(format!("its outline {why}"));
    }
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
    write(shop, Operation::Label, Point::new(LAND.half(), LETTERS), LETTERS, &said, &mut shapes);
    let mut lines = vec![
        format!("{} test coupon, {}", made.job.titles.number, stock.called.as_deref().unwrap_or(&stock.name))
            .trim()
            .to_string(),
        format!("{thick} {unit} actual; notches that thick, one step tighter and one looser"),
        format!("push the tongue in and say which notch fits; units {}", unit_word(shop.units)),
    ];
    lines.extend(relieved.map(str::to_owned));
    beside(shop, lines, around, &mut shapes);
    Ok(Coupon { contents: Contents { shapes }, relieved })
}

/// The board with its corners relieved, and what to say where that is not as the shop has it.
fn relieved(shop: &CuttingShop, board: &Outline) -> Result<(Outline, Option<&'static str>), String> {
    let (Some(bit), Some(bone)) = (shop.bit, bone(shop)) else { return Ok((board.clone(), None)) };
    let as_a = |bone| relief::relieved(board, Air::Around, bit.half() + LOOSE, bone, |_| true);
    if let Ok(found) = as_a(bone) {
        return Ok((found.outline, None));
    }
    // A narrow notch has room for a relief in its long walls only.
    match as_a(Bone::TLonger) {
        Ok(found) => Ok((
            found.outline,
            Some("corners of the notches relieved into their long walls (T-bone): the short one has no room"),
        )),
        Err(faults) => Err(format!("{} of its corners have no room for a relief", faults.len())),
    }
}
