//! What the wood would do in service that it must not: wide wood held across its grain, spans that sag, screws that are pulled
//! out of a wall, pushed down along it, or too short for it. The figures are those of `loads`.

use super::table::told;
use super::{Check, Row, say};
use crate::diagnose::Severity::{self, Caution, Error, Warning};
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::loads::{Hanging, Loads, MOST_HELD, Sag, Span, Wanting, force};
use crate::parts::Made;
use crate::trade::Units;
use crate::wood::NO_ENGINEER;
use crate::wood::movement::up_to;
use crate::wood::withdrawal::NoHolding;

const fn looked_for(
    name: &'static str,
    severity: Severity,
    check: fn(&Made, &Loads, &mut Faults),
    meaning: &'static str,
    cure: &'static str,
) -> Row {
    Row { name, severity, meaning, cure, check: Some(Check::InService(check)) }
}

/// What wood does in service.
pub(super) const LOADS: [Row; 10] = [
    told(
        "measure-notation",
        "A moisture, a temperature, a load, a density or a modulus is a number with its unit and no formula; this one cannot be read, or is beyond all wood and rooms.",
        "Write it as the message shows.",
    ),
    told(
        "slots-cannot-be",
        "Slots let solid wood move across its grain on a screw. Here nothing moves along the contact, the fixing has no hole, or it is not known how far the wood moves.",
        "Leave slots out, fix by screws, or give the stock a species of the table.",
    ),
    told(
        "slot-has-no-room",
        "The slot that the movement asks for would leave less than 1/4\" (common practice) of the board at its end, or would have to be cut into an edge.",
        "Make the board wider, or screw through its face.",
    ),
    looked_for(
        "wide-solid-held",
        Error,
        wide_held,
        "Solid wood is held fast across its grain at two places that move apart by more than 1/16\" (a warning) or 1/8\" (an error) between the shop and the driest or wettest of the room: it splits, cups, or tears its joints. Held fast are glue, dowels, and screws in plain holes, in what keeps its size: sheet goods, and solid wood whose grain runs the other way. Movement by USDA FPL-GTR-190 Eq. 13-2 and 13-3 or the joiners' table, whichever is larger; the limits are common practice.",
        "Hold it along one line and write slots: yes for the screws elsewhere; no glue there.",
    ),
    looked_for(
        "no-room-to-move",
        Warning,
        no_room,
        "A board that is free to move in slots swells against another board beside its edge.",
        "Leave the gap that the message names.",
    ),
    looked_for(
        "sags",
        Error,
        sags,
        "A shelf, a seat or a rail sags between its supports, under what stays, by more than its span/600 (trade custom; from memory) or the part under service: sag; or it gives by more than span/360 (IRC Table R301.7 for floors; from memory) under a load that comes and goes. Bending and shear by USDA FPL-GTR-190 Eq. 9-2, ends resting freely, and what the load does in the long run (NDS 2018 §3.5.2). Where it goes down by more than a tenth of its span (common practice) it carries too much for any such figure, and that is an error. It says nothing of strength, and replaces no engineer.",
        "Take thicker stock, shorten the span, or glue an upright strip along the front edge.",
    ),
    looked_for(
        "screws-pull-out",
        Error,
        pulled,
        "What hangs on the wall pulls the uppermost screws harder than their threads may be pulled (NDS 2018 Eq. 12.2-2, reference value), its own weight and what it is said or supposed to carry counted in. Only the straight pull is looked at here; the wall itself is for the local code and someone licensed to check it.",
        "Use more, longer or thicker screws into studs, set the upper ones higher, or let it stand on the floor.",
    ),
    looked_for(
        "screws-shear",
        Error,
        sheared,
        "What hangs on the wall pushes its screws down along the wall harder than a screw in single shear may be (yield modes of NDS 2018 §12.3.1 with the wallboard as a gap, AWC Technical Report 12; reference value, from memory). Every screw is taken to bear the same share. The screw that is pulled hardest must bear pull and downward load at once, by NDS 2018 Eq. 12.4-1 (from memory).",
        "Use more, thicker or longer screws into studs, or let it stand on the floor.",
    ),
    looked_for(
        "screws-short-of-stud",
        Error,
        short,
        "A screw that holds something to the wall ends before the stud, or stands less than 6 diameters in it (NDS 2018 §12.1.5; from memory), once it has gone through the wood in front and what covers the studs.",
        "Take screws as long as the message says.",
    ),
    Row {
        severity: Caution,
        ..told(
            "wall-not-known",
            "Something with a load hangs on the wall, and the spec does not say what the screws end in.",
            "Find the studs, and give their species under service: studs.",
        )
    },
];

fn wide_held(made: &Made, loads: &Loads, faults: &mut Faults) {
    for movement in &loads.movements {
        let Some(held) = movement.held.as_ref().filter(|held| held.change > MOST_HELD) else { continue };
        let Some(placed) = made.placed.get(held.board.0) else { continue };
        let [one, other] = &held.by;
        let message = format!(
            "{} is held fast at two places {} apart across its grain, {one} and {other}; between them it moves by up to {}, and {} is the most that wood and joints stand",
            placed.board.name,
            say(made, held.apart),
            say(made, held.change),
            say(made, MOST_HELD)
        );
        let place = placed.board.place;
        let fault = if held.change > MOST_HELD * 2 {
            Diagnostic::error("wide-solid-held", place, message)
        } else {
            Diagnostic::warning("wide-solid-held", place, message)
        };
        faults.push(
            fault
                .propose("fix it along one line, and write `fix: {by: screws, slots: yes}` in the joint of the other, without glue")
                .propose("where it is quartersawn, say so: `cut: quarter` in its stock"),
        );
    }
}

fn no_room(made: &Made, loads: &Loads, faults: &mut Faults) {
    for floating in loads.movements.iter().flat_map(|movement| &movement.floats) {
        let Some(own) = made.placed.get(floating.board.0) else { continue };
        for (side, other, gap, needed) in floating.in_the_way(made) {
            let message = format!(
                "{} swells to the {} by up to {}, but {} stands {} from it there",
                own.board.name,
                side.word(),
                say(made, needed),
                other.board.name,
                say(made, gap)
            );
            faults.push(
                Diagnostic::warning("no-room-to-move", own.board.place, message)
                    .also(other.board.place, other.board.name.clone())
                    .propose(format!(
                        "leave {} between them",
                        say(made, up_to(needed, made.job.sheets.step))
                    )),
            );
        }
    }
}

fn sags(made: &Made, loads: &Loads, faults: &mut Faults) {
    // Equal boards of a run say it once, for the worst of them.
    let mut worst: Vec<&Span> = Vec::new();
    for span in &loads.spans {
        if !span.sag.as_ref().is_ok_and(Sag::is_too_much) {
            continue;
        }
        let part = |span: &Span| made.placed.get(span.board.0).map(|placed| placed.board.place);
        let over = |span: &Span| {
            let over = span.sag.as_ref().map(|sag| (sag.sags - sag.limit).max(sag.gives - sag.gives_limit));
            over.unwrap_or_default()
        };
        match worst.iter_mut().find(|known| part(known) == part(span)) {
            Some(known) if over(known) >= over(span) => {}
            Some(known) => *known = span,
            None => worst.push(span),
        }
    }
    for span in worst {
        let (Ok(sag), Some(placed)) = (&span.sag, made.placed.get(span.board.0)) else { continue };
        let supposed = if span.supposed { " (supposed by its name)" } else { "" };
        let place = placed.board.place;
        let mut fault = if sag.is_for_an_engineer() {
            let message = format!(
                "{} carries too much: {}{supposed} bends it by more than a tenth of its clear span of {}, which is for an engineer",
                placed.board.name,
                span.load,
                say(made, sag.clear)
            );
            // What keeps to the limit of sag may still break.
            let fault = Diagnostic::error("sags", place, message);
            faults.push(fault.propose(format!("let it carry less; {NO_ENGINEER}")));
            continue;
        } else {
            let (verb, by, most) = if sag.sags > sag.limit {
                ("sags", sag.sags, sag.limit)
            } else {
                ("gives", sag.gives, sag.gives_limit)
            };
            let message = format!(
                "{} {verb} by {} over a clear span of {} under {}{supposed}; {} is the most",
                placed.board.name,
                say(made, by),
                say(made, sag.clear),
                span.load,
                say(made, most)
            );
            Diagnostic::warning("sags", place, message)
        };
        if let Some((thicker, shorter)) = sag.cures {
            fault = fault
                .propose(format!("make it {} thick", say(made, thicker)))
                .propose(format!("shorten the span to {}", say(made, shorter)));
        }
        faults.push(
            fault.propose("glue an upright strip along its front edge, or say what it carries with `load`"),
        );
    }
}

fn name<'m>(made: &'m Made, hanging: &Hanging) -> &'m str {
    made.job.assemblies.get(hanging.assembly).map_or("", |assembly| assembly.name.as_str())
}

fn pulled(made: &Made, loads: &Loads, faults: &mut Faults) {
    let units = made.job.units;
    for hanging in &loads.hangings {
        let name = name(made, hanging);
        let (pull, allowed) = match (&hanging.pull, &hanging.allowed) {
            (Ok(pull), Ok(allowed)) if pull > allowed => (*pull, *allowed),
            (Err(why @ Wanting::LowestEdge), _) => {
                let message = format!("{name} hangs on the wall, but {}", why.says(units));
                faults.push(Diagnostic::error("screws-pull-out", hanging.place, message).propose(
                    "set the screws higher, with `ends`, or screw a higher board of it to the wall",
                ));
                continue;
            }
            (_, Err(why)) if hanging.told => {
                not_known(made, hanging, why, faults);
                continue;
            }
            _ => continue,
        };
        let message = format!(
            "{name} with its load, {} in all, pulls its uppermost screw with {}; its thread may be pulled with {}",
            force(hanging.load, units),
            force(pull, units),
            force(allowed, units)
        );
        let fault = Diagnostic::error("screws-pull-out", hanging.place, message).propose(format!(
            "use {} times the screws, or set them higher; {NO_ENGINEER}",
            libm::ceil(pull / allowed)
        ));
        faults.push(longer(made, hanging, fault).propose("let it stand on the floor"));
    }
}

/// Screws as long as bear both loads, as a cure.
fn longer(made: &Made, hanging: &Hanging, fault: Diagnostic) -> Diagnostic {
    match hanging.long_enough {
        Some(length) => fault.propose(format!("use screws {} long", say(made, length))),
        None => fault,
    }
}

/// What is wanting to say whether the screws hold; what has a finding of its own is told there.
fn not_known(made: &Made, hanging: &Hanging, why: &Wanting, faults: &mut Faults) {
    let cure = match why {
        Wanting::LowestEdge | Wanting::TooShort { .. } | Wanting::UnknownStuds(_) => return,
        Wanting::NoStuds => "say it under `service`",
        Wanting::NoGravity(_) | Wanting::NoHolding(NoHolding::Gravity(_)) => {
            "name another wood of the studs under `service`"
        }
        Wanting::NoHolding(NoHolding::Thread(_)) => "take longer screws",
        Wanting::NoHolding(NoHolding::Diameter(_)) | Wanting::NoLateral(_) => {
            "take screws of a size that the tables have: #6 to #24"
        }
        Wanting::NoHolding(NoHolding::EndGrain) => "turn the screws into side grain",
    };
    let units = made.job.units;
    let message = format!(
        "{} hangs on the wall by {} screws and carries {} with its own weight, but {}",
        name(made, hanging),
        hanging.screws,
        force(hanging.load, units),
        why.says(units)
    );
    faults.push(
        Diagnostic::caution("wall-not-known", hanging.place, message)
            .propose(format!("{cure}; what comes of it is {NO_ENGINEER}")),
    );
}

fn sheared(made: &Made, loads: &Loads, faults: &mut Faults) {
    let units = made.job.units;
    for hanging in &loads.hangings {
        let Ok(lateral) = &hanging.lateral else { continue };
        let pulled = match (&hanging.pull, &hanging.allowed) {
            (Ok(pull), Ok(allowed)) if pull <= allowed => Some((*pull, *allowed)),
            _ => None,
        };
        let part = hanging.together().unwrap_or_default();
        let (message, times) = match pulled {
            _ if hanging.shear > *lateral => (
                format!(
                    "{} with its load, {} in all, pushes each of its {} screws down with {}; a screw may be pushed with {}",
                    name(made, hanging),
                    force(hanging.load, units),
                    hanging.screws,
                    force(hanging.shear, units),
                    force(*lateral, units)
                ),
                part.max(hanging.shear / lateral),
            ),
            // Each alone is borne, both at once are not.
            Some((pull, allowed)) if part > 1.0 => (
                format!(
                    "{} with its load, {} in all, pulls its uppermost screw with {} of {} and pushes it down with {} of {}: both at once are {:.0} % of what it bears",
                    name(made, hanging),
                    force(hanging.load, units),
                    force(pull, units),
                    force(allowed, units),
                    force(hanging.shear, units),
                    force(*lateral, units),
                    libm::ceil(part * 100.0)
                ),
                part,
            ),
            _ => continue,
        };
        let fault = Diagnostic::error("screws-shear", hanging.place, message).propose(format!(
            "use {} screws, or thicker ones; {NO_ENGINEER}",
            libm::ceil(hanging.screws as f64 * times)
        ));
        faults.push(longer(made, hanging, fault).propose("let it stand on the floor"));
    }
}

fn short(made: &Made, loads: &Loads, faults: &mut Faults) {
    let units = made.job.units;
    for hanging in &loads.hangings {
        // The screw that is pulled hardest first; another may stand in thicker wood.
        let wanting = [hanging.allowed.as_ref().err(), hanging.lateral.as_ref().err()].into_iter().flatten();
        let short = wanting.into_iter().find_map(|why| match why {
            Wanting::TooShort { before, least, .. } => Some((why, *before + *least)),
            _ => None,
        });
        let Some((why, least)) = short else { continue };
        let step = match units {
            Units::Inch => Length::from_units(Length::INCH.units() / 4),
            Units::Millimetre => Length::MM * 5,
        };
        let length = hanging.long_enough.unwrap_or_else(|| up_to(least, step));
        let message = format!("{} hangs on the wall, but {}", name(made, hanging), why.says(units));
        faults.push(
            Diagnostic::error("screws-short-of-stud", hanging.place, message)
                .propose(format!("use screws {} long", say(made, length))),
        );
    }
}
