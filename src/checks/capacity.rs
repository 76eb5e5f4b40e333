//! Parts against what the shop has: the stock, the saw, the bit; and the wood left beside a cut.

use crate::checks::measure::{Point2, chords, in_wood, ray};
use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::joints::{Cut, CutKind};
use crate::length::Length;
use crate::parts::{Made, Part};
use crate::shape::{Outline, Plate};
use crate::trade::{Grain, Side};
use crate::values::{SheetGrain, SheetSize, StockForm};

/// A side of a cut with wood behind it: its middle, and the direction into the wood.
struct Cheek {
    middle: Point2,
    into_wood: Point2,
}

/// The sides of a cut behind which there is wood of the finished part.
fn cheeks(cut: &Outline, plate: &Plate) -> Vec<Cheek> {
    let mut found = Vec::new();
    for (a, b) in chords(cut) {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = libm::hypot(dx, dy);
        if length < 0.1 {
            continue;
        }
        // The cut lies left of its sides, so the wood is on the right.
        let into_wood = (dy / length, -dx / length);
        let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
        let behind = (middle.0 + into_wood.0 * 0.02, middle.1 + into_wood.1 * 0.02);
        if in_wood(behind, plate) {
            found.push(Cheek { middle, into_wood });
        }
    }
    found
}

fn plate(part: &Part) -> Plate {
    Plate { outline: part.outline.clone(), inside: part.inside.clone() }
}

fn joint_place(made: &Made, cut: &Cut, part: &Part) -> Place {
    made.joints.get(cut.joint).map_or(part.place, |joint| joint.place)
}

fn called(made: &Made, part: &Part) -> String {
    let first = part.boards.first().and_then(|id| made.placed.get(id.0));
    first.map_or(part.id.clone(), |placed| placed.board.name.clone())
}

/// Notches and slots that leave too little wood beside or under them. Least: what the shop says, else the thickness of the
/// stock (common practice: a strip of short grain narrower than it is thick breaks off).
pub(super) fn weak_notch(made: &Made, faults: &mut Faults) {
    for part in &made.parts {
        let plate = plate(part);
        let loops: Vec<&Outline> = plate.loops().collect();
        let least = made.job.shop.least_wood.unwrap_or(part.thick);
        for cut in &part.cuts {
            let left = cheeks(&cut.outline, &plate)
                .iter()
                .filter_map(|cheek| {
                    // From just inside the wood, so that the cheek itself is not met.
                    let start = (
                        cheek.middle.0 + cheek.into_wood.0 * 0.02,
                        cheek.middle.1 + cheek.into_wood.1 * 0.02,
                    );
                    ray(start, cheek.into_wood, &loops).map(|distance| distance + 0.02)
                })
                .fold(f64::INFINITY, f64::min);
            let left = if left.is_finite() { Length::from_mm(left) } else { continue };
            if left >= least {
                continue;
            }
            let message = format!(
                "a {} in {} leaves only {} of wood beside it; less than {} is weak",
                cut.kind.word(),
                called(made, part),
                say(made, left),
                say(made, least)
            );
            let by = made.placed.get(cut.by.0).map_or("the other board", |placed| placed.board.name.as_str());
            faults.push(
                Diagnostic::warning("weak-notch", joint_place(made, cut, part), message)
                    .also(part.place, called(made, part))
                    .propose(format!(
                        "move {by} by {}, or let the notch run out at the edge",
                        say(made, least - left)
                    )),
            );
        }
    }
}

/// A bit that is to make the cuts, and who holds it: a cutting shop by its name, or the shop itself.
struct Bit<'a> {
    size: Length,
    place: Place,
    of: Option<&'a str>,
}

/// Cuts narrower than the bit that is to make them. In the shop itself there is a saw beside the bit; a cutting shop's
/// machine has nothing else.
pub(super) fn slot_narrower_than_bit(made: &Made, faults: &mut Faults) {
    let shop = &made.job.shop;
    for part in &made.parts {
        let machines = shop.cutting_shops.iter().filter(|cutting| cutting.cuts(part.stock));
        let machines = machines.filter_map(|cutting| {
            Some(Bit { size: cutting.bit?, place: cutting.bit_place, of: Some(&cutting.name) })
        });
        let own = shop.bit.map(|size| Bit { size, place: shop.place, of: None });
        let bits: Vec<Bit> = own.into_iter().chain(machines).collect();
        if !bits.is_empty() {
            narrow_cuts(made, part, &bits, faults);
        }
    }
}

fn narrow_cuts(made: &Made, part: &Part, bits: &[Bit], faults: &mut Faults) {
    let plate = plate(part);
    let mut tell = |what: &str, wide: Length, place: Place| {
        for bit in bits.iter().filter(|bit| wide < bit.size) {
            faults.push(narrow(made, part, what, wide, bit, place));
        }
    };
    for cut in &part.cuts {
        if let Some(wide) = width_between_cheeks(&cut.outline, &plate) {
            tell(cut.kind.word(), wide, joint_place(made, cut, part));
        }
    }
    for opening in &part.inside {
        let of_a_joint = part
            .cuts
            .iter()
            .any(|cut| cut.kind == CutKind::Slot && cut.outline.canonical() == opening.canonical());
        let around = opening.extents();
        if !of_a_joint {
            tell("cut-out", around.width().min(around.height()), part.place);
        }
    }
    for pocket in &part.pockets {
        if let Some(wide) = width_between_cheeks(&pocket.outline, &plate) {
            tell(pocket.kind.word(), wide, pocket.place);
        }
    }
}

/// The least distance between two sides of a cut that face each other with wood behind both.
fn width_between_cheeks(cut: &Outline, plate: &Plate) -> Option<Length> {
    let cheeks = cheeks(cut, plate);
    let mut least: Option<f64> = None;
    for cheek in &cheeks {
        let across = (-cheek.into_wood.0, -cheek.into_wood.1);
        let Some(distance) = ray(cheek.middle, across, &[cut]) else { continue };
        let far = (cheek.middle.0 + across.0 * distance, cheek.middle.1 + across.1 * distance);
        let beyond = (far.0 + across.0 * 0.02, far.1 + across.1 * 0.02);
        if in_wood(beyond, plate) {
            least = Some(least.map_or(distance, |known| known.min(distance)));
        }
    }
    least.map(Length::from_mm)
}

fn narrow(made: &Made, part: &Part, what: &str, wide: Length, bit: &Bit, place: Place) -> Diagnostic {
    let whose = bit.of.map_or("the shop's bit".to_owned(), |name| format!("the bit of {name}"));
    let message = format!(
        "a {what} in {} is {} wide; {whose} is {} and cannot cut it",
        called(made, part),
        say(made, wide),
        say(made, bit.size)
    );
    let (fault, else_by) = match bit.of {
        None => (Diagnostic::warning("slot-narrower-than-bit", place, message), "saw it"),
        Some(_) => (Diagnostic::error("slot-narrower-than-bit", place, message), "make it wider"),
    };
    fault
        .also(bit.place, whose)
        .propose(format!("cut it with a bit of {} or less and set bit: to it, or {else_by}", say(made, wide)))
}

/// Parts that cannot come out of their stock.
pub(super) fn larger_than_stock(made: &Made, faults: &mut Faults) {
    for part in &made.parts {
        let Some(stock) = made.job.stock.get(part.stock) else { continue };
        let (along, across) = part.blank();
        let (most_along, most_across, what) = match &stock.form {
            StockForm::Sheet { grain, .. } => {
                let free = *grain == SheetGrain::None || part.grain == Grain::Free;
                let lying = |a: Length, b: Length| if free { (a.max(b), a.min(b)) } else { (a, b) };
                let size = |SheetSize { width, length, .. }: SheetSize| match grain {
                    SheetGrain::AlongWidth => lying(width, length),
                    SheetGrain::AlongLength | SheetGrain::None => lying(length, width),
                };
                let sizes: Vec<_> = made.job.sheet_sizes(stock).into_iter().map(size).collect();
                let (along, across) = lying(along, across);
                if sizes.iter().any(|(a, b)| along <= *a && across <= *b) {
                    continue;
                }
                let largest = sizes.into_iter().max_by_key(|(a, b)| (a.units(), b.units()));
                (largest.map(|size| size.0), largest.map(|size| size.1), "sheet")
            }
            StockForm::Solid { widths, lengths, glue_up } => {
                // Of random widths the widest is the limit.
                let supply = made.job.supply.stock.get(&stock.name);
                let random = supply.and_then(|supply| supply.random_width).map(|[_, most]| most);
                let widest = if *glue_up { None } else { widths.iter().max().copied().or(random) };
                (lengths.iter().max().copied(), widest, "board")
            }
        };
        let too_long = most_along.is_some_and(|most| along > most) && made.run(part).is_none();
        let too_wide = most_across.is_some_and(|most| across > most);
        if what == "board" && !too_long && !too_wide {
            continue;
        }
        let limit = |most: Option<Length>| most.map_or("any".to_string(), |most| say(made, most));
        let message = format!(
            "{} is {} along the grain and {} across; the largest {what} of {} is {} by {}",
            called(made, part),
            say(made, along),
            say(made, across),
            stock.name,
            limit(most_along),
            limit(most_across)
        );
        let mut fault = Diagnostic::error("part-larger-than-stock", part.place, message)
            .also(stock.place, stock.name.clone());
        let turned =
            most_along.is_none_or(|most| across <= most) && most_across.is_none_or(|most| along <= most);
        if turned && what == "sheet" {
            fault = fault.propose("turn its grain (grain:), if it may run the other way");
        }
        if too_wide && what == "board" {
            fault =
                fault.propose("write glue_up: yes for the stock, if it may be glued up from several boards");
        }
        let supply = made.job.supply.stock.get(&stock.name);
        if too_long && supply.is_some_and(|supply| supply.sticks && !supply.scarf) {
            fault = fault
                .propose("write joined: scarf for the stock, if the run may be joined from several sticks");
        }
        faults.push(fault.propose("make it of two parts, or take larger stock"));
    }
}

/// Parts that the saw cannot cut in one pass.
pub(super) fn beyond_the_saw(made: &Made, faults: &mut Faults) {
    for part in &made.parts {
        let (_, across) = part.blank();
        for (limit, what, cut) in
            [(made.job.shop.rip, "rip", "ripped"), (made.job.shop.crosscut, "crosscut", "cut across")]
        {
            let Some(limit) = limit.filter(|limit| across > *limit) else { continue };
            let message = format!(
                "{} is to be {cut} {} wide; the shop's {what} goes to {}",
                called(made, part),
                say(made, across),
                say(made, limit)
            );
            faults.push(
                Diagnostic::warning("beyond-the-saw", part.place, message)
                    .also(made.job.shop.place, "the shop's saw")
                    .propose("break it down with a track or a hand-held saw first, or make it of two parts"),
            );
        }
    }
}

/// Solid wood whose grain runs the short way of a long part: it bends and breaks across.
pub(super) fn grain_across(made: &Made, faults: &mut Faults) {
    for part in &made.parts {
        let solid =
            made.job.stock.get(part.stock).is_some_and(|stock| matches!(stock.form, StockForm::Solid { .. }));
        let (along, across) = part.blank();
        // Common practice: more than twice as long across the grain as along it.
        if !solid || part.grain == Grain::Free || across <= along * 2 {
            continue;
        }
        let frame = part.boards.first().and_then(|id| made.placed.get(id.0)).map(|placed| placed.board.frame);
        let long_way = frame.map(|frame| if part.grain == Grain::AlongU { frame.v } else { frame.u });
        let word = long_way.map_or("the other way", grain_word);
        let message = format!(
            "the grain of {} runs its short way: {} along the grain, {} across",
            called(made, part),
            say(made, along),
            say(made, across)
        );
        faults.push(
            Diagnostic::warning("grain-across", part.place, message).propose(format!("write grain: {word}")),
        );
    }
}

fn grain_word(side: Side) -> &'static str {
    match side {
        Side::Left | Side::Right => "across",
        Side::Front | Side::Back => "deep",
        Side::Bottom | Side::Top => "up",
    }
}
