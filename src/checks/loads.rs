//! What the wood would do in service that it must not: wide wood held across its grain, spans that sag, screws that are pulled
//! out of a wall. The figures are those of `loads`.

use super::table::{looked_for, told};
use super::{Row, say};
use crate::diagnose::Severity::{Caution, Error, Warning};
use crate::diagnose::{Diagnostic, Faults};
use crate::loads::{self, MOST_HELD, Span, force, weights};
use crate::parts::Made;
use crate::wood::NO_ENGINEER;
use crate::wood::movement::up_to;

/// What wood does in service.
pub(super) const LOADS: [Row; 8] = [
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
        Warning,
        sags,
        "A shelf, a seat or a rail sags between its supports, under what stays, by more than its span/600 (trade custom; from memory) or the part under service: sag; or it gives by more than span/360 (IRC Table R301.7 for floors; from memory) under a load that comes and goes. Bending and shear by USDA FPL-GTR-190 Eq. 9-2, ends resting freely, and what the load does in the long run (NDS 2018 §3.5.2). It says nothing of strength, and replaces no engineer.",
        "Take thicker stock, shorten the span, or glue an upright strip along the front edge.",
    ),
    looked_for(
        "screws-pull-out",
        Error,
        pulled,
        "What hangs on the wall pulls the uppermost screws harder than their threads may be pulled (NDS 2018 Eq. 12.2-2, reference value). Only the straight pull is looked at: the downward load and the wall itself are for the local code and someone licensed to check them.",
        "Use more, longer or thicker screws into studs, set the upper ones higher, or let it stand on the floor.",
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

fn wide_held(made: &Made, faults: &mut Faults) {
    for movement in loads::movements(made) {
        let Some(held) = movement.held.filter(|held| held.change > MOST_HELD) else { continue };
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

fn no_room(made: &Made, faults: &mut Faults) {
    for floating in loads::movements(made).into_iter().filter_map(|movement| movement.floats) {
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

fn sags(made: &Made, faults: &mut Faults) {
    // Equal boards of a run say it once, for the worst of them.
    let mut worst: Vec<Span> = Vec::new();
    for span in loads::spans(made) {
        if !span.sag.as_ref().is_ok_and(loads::Sag::is_too_much) {
            continue;
        }
        let part = |span: &Span| made.placed.get(span.board.0).map(|placed| placed.board.place);
        let over = |span: &Span| {
            let over = span.sag.as_ref().map(|sag| (sag.sags - sag.limit).max(sag.gives - sag.gives_limit));
            over.unwrap_or_default()
        };
        match worst.iter_mut().find(|known| part(known) == part(&span)) {
            Some(known) if over(known) >= over(&span) => {}
            Some(known) => *known = span,
            None => worst.push(span),
        }
    }
    for span in worst {
        let (Ok(sag), Some(placed)) = (&span.sag, made.placed.get(span.board.0)) else { continue };
        let (verb, by, most) = if sag.sags > sag.limit {
            ("sags", sag.sags, sag.limit)
        } else {
            ("gives", sag.gives, sag.gives_limit)
        };
        let message = format!(
            "{} {verb} by {} over a clear span of {} under {}{}; {} is the most",
            placed.board.name,
            say(made, by),
            say(made, sag.clear),
            span.load,
            if span.supposed { " (supposed by its name)" } else { "" },
            say(made, most)
        );
        let mut fault = Diagnostic::warning("sags", placed.board.place, message);
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

fn pulled(made: &Made, faults: &mut Faults) {
    let units = made.job.units;
    for hanging in loads::hangings(made, &weights(made)).into_iter().filter(|hanging| hanging.told) {
        let name = made.job.assemblies.get(hanging.assembly).map_or("", |assembly| &assembly.name);
        let (pull, allowed) = match (&hanging.pull, &hanging.allowed) {
            (Ok(pull), Ok(allowed)) => (*pull, *allowed),
            (_, Err(why)) | (Err(why), _) => {
                let message = format!(
                    "{name} hangs on the wall by {} screws and carries {} with its own weight, but {why}",
                    hanging.screws,
                    force(hanging.load, units)
                );
                faults.push(
                    Diagnostic::caution("wall-not-known", hanging.place, message)
                        .propose(format!("say it under `service`; what comes of it is {NO_ENGINEER}")),
                );
                continue;
            }
        };
        if pull <= allowed {
            continue;
        }
        let message = format!(
            "{name} with its load, {} in all, pulls its uppermost screw with {}; its thread may be pulled with {}",
            force(hanging.load, units),
            force(pull, units),
            force(allowed, units)
        );
        faults.push(
            Diagnostic::error("screws-pull-out", hanging.place, message)
                .propose(format!(
                    "use {} times the screws, longer ones, or set them higher; {NO_ENGINEER}",
                    libm::ceil(pull / allowed)
                ))
                .propose("let it stand on the floor"),
        );
    }
}
