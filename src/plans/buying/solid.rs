//! Solid wood on the buying list: boards by their measure, sticks by the piece, and by the run where no lengths are known.

use std::collections::BTreeMap;

use num_rational::Ratio;
use num_traits::CheckedMul;

use super::{Kind, Line, called, line, price, tell};
use crate::length::{Length, Units};
use crate::parts::Made;
use crate::plans::boards::{BoardPlan, Sold};
use crate::plans::quantity;
use crate::trade::money::{Money, show_share};
use crate::values::supply::Per;

/// Boards by their measure, sticks by the piece.
pub(super) fn lines(made: &Made, plan: &BoardPlan) -> Vec<Line> {
    let name = called(made, plan.stock);
    let metric = made.job.units == Units::Millimetre;
    let price = price(made, plan.stock);
    if plan.sold == Sold::Sticks || matches!(price, Some((_, Per::Foot | Per::Metre))) {
        return if plan.boards.is_empty() {
            by_the_run(made, plan, &name, price)
        } else {
            by_length(made, plan, &name, price)
        };
    }
    let Some(net) = plan.to_buy() else { return Vec::new() };
    let Some(measure) = quantity::to_buy(net, made.job.units) else { return Vec::new() };
    let number = crate::trade::money::show_number;
    let unit = if metric { "m³" } else { "board foot" };
    let parts = plan.net.map(number).unwrap_or_default();
    let mut needs = format!(
        "parts in the rough {parts}, with {} waste {}",
        show_share(plan.waste),
        plan.with_waste.map(number).unwrap_or_default()
    );
    if let Some(laid) = plan.laid {
        needs = format!("{needs}; boards as laid out {}", number(laid));
    }
    let thick = match plan.rough_called.as_str() {
        "" => tell(made, plan.rough),
        called => called.to_owned(),
    };
    let item = if name.contains(&thick) { name } else { format!("{name}, {thick}") };
    let each = price.and_then(|(money, per)| in_unit(money, per, metric));
    let mut only = line(Kind::Boards, item, needs, measure, unit, each);
    if let Some((money, per)) = price
        && in_unit(money, per, metric).is_none()
    {
        // Priced by the other system's measure: so much of it, exactly, and the price as it was given.
        let other = if metric {
            measure / cubic_metres_per_board_foot()
        } else {
            measure * cubic_metres_per_board_foot()
        };
        only.sum = money.times(other);
        only.needs = format!("{}; {} at {money}", only.needs, other_measure(other, metric));
    }
    vec![only]
}

/// Cubic metres in one board foot of 144 in³: 0.002 359 737 216 exactly.
fn cubic_metres_per_board_foot() -> Ratio<i128> {
    Ratio::new(2_359_737_216, 1_000_000_000_000)
}

fn other_measure(measure: Ratio<i128>, metric: bool) -> String {
    let number = crate::trade::money::show_number(measure);
    if metric { format!("{number} board feet") } else { format!("{number} m³") }
}

/// The price of one unit of the list, where the price is for that unit.
fn in_unit(money: Money, per: Per, metric: bool) -> Option<Money> {
    match (per, metric) {
        (Per::BoardFoot, false) | (Per::CubicMetre, true) => Some(money),
        _ => None,
    }
}

/// Lengths as they are sold, each width and length a line.
fn by_length(made: &Made, plan: &BoardPlan, name: &str, price: Option<(Money, Per)>) -> Vec<Line> {
    let mut sizes: BTreeMap<(Length, Length), (i128, i128)> = BTreeMap::new();
    for board in &plan.boards {
        sizes.entry((board.width, board.length)).or_default().0 += 1;
    }
    for size in &plan.spare {
        sizes.entry(*size).or_default().1 += 1;
    }
    let kind = if plan.sold == Sold::Sticks { Kind::Sticks } else { Kind::Boards };
    let unit = if plan.sold == Sold::Sticks { "stick" } else { "board" };
    let one = |((width, length), (cut, spare)): ((Length, Length), (i128, i128))| {
        let item = format!("{name}, {} wide, {} long", tell(made, width), tell(made, length));
        let needs =
            if spare > 0 { format!("{cut} to cut, {spare} to spare") } else { format!("{cut} to cut") };
        let of_one = price.and_then(|(money, per)| price_of_one(money, per, plan.rough, width, length));
        // A price by the length is exact only on the whole line, so the line's sum is made from the whole length.
        let count = Ratio::from_integer(cut + spare);
        let mut line = line(kind, item, needs, count, unit, None);
        if let Some((each, exact)) = of_one {
            line.each = Some(each);
            line.sum = count.checked_mul(&exact).and_then(|units| Money::from_cents(1).times(units));
        }
        line
    };
    sizes.into_iter().rev().map(one).collect()
}

/// What no length is known for: all pieces of one width end to end, with the waste, in whole feet or tenths of a metre.
fn by_the_run(made: &Made, plan: &BoardPlan, name: &str, price: Option<(Money, Per)>) -> Vec<Line> {
    let mut widths: BTreeMap<Length, (i128, i128)> = BTreeMap::new();
    for strip in &plan.strips {
        let Ok(count) = i128::try_from(strip.quantity) else { continue };
        let (pieces, run) = widths.entry(strip.rough_width).or_default();
        *pieces += count;
        *run += count.saturating_mul(i128::from(strip.rough_length.units()));
    }
    let kind = if plan.sold == Sold::Sticks { Kind::Sticks } else { Kind::Boards };
    let (unit, one, step) = match made.job.units {
        Units::Inch => ("foot", Length::INCH * 12, Ratio::from_integer(1)),
        Units::Millimetre => ("m", Length::MM * 1000, Ratio::new(1, 10)),
    };
    let number = crate::trade::money::show_number;
    let line_of = |(width, (pieces, run)): (Length, (i128, i128))| {
        let net = Ratio::new(run, i128::from(one.units()));
        let with = quantity::with(net, plan.waste)?;
        let count = (with / step).ceil() * step;
        let item = format!("{name}, {} wide", tell(made, width));
        let told =
            |run: Ratio<i128>| number((run * Ratio::from_integer(100)).ceil() / Ratio::from_integer(100));
        let needs = format!(
            "{pieces} {} in the rough, {} {} end to end, with {} waste {}; no `lengths` that can be had are known",
            if pieces == 1 { "piece" } else { "pieces" },
            told(net),
            if unit == "foot" { "feet" } else { unit },
            show_share(plan.waste),
            told(with)
        );
        let of_one = price.and_then(|(money, per)| price_of_one(money, per, plan.rough, width, one));
        let mut only = line(kind, item, needs, count, unit, None);
        if let Some((each, exact)) = of_one {
            only.each = Some(each);
            only.sum = count.checked_mul(&exact).and_then(|cents| Money::from_cents(1).times(cents));
        }
        Some(only)
    };
    widths.into_iter().rev().filter_map(line_of).collect()
}

/// The price of one stick: rounded for the list, and exact in cents.
fn price_of_one(
    money: Money,
    per: Per,
    thick: Length,
    width: Length,
    length: Length,
) -> Option<(Money, Ratio<i128>)> {
    let run = |unit: Length| Ratio::new(i128::from(length.units()), i128::from(unit.units()));
    let units = match per {
        Per::Sheet => return None,
        Per::Foot => run(Length::INCH * 12),
        Per::Metre => run(Length::MM * 1000),
        Per::BoardFoot => quantity::volume(thick, width, length, Units::Inch)?,
        Per::CubicMetre => quantity::volume(thick, width, length, Units::Millimetre)?,
    };
    let exact = units.checked_mul(&Ratio::from_integer(i128::from(money.cents())))?;
    Some((Money::from_cents(1).times(exact)?, exact))
}
