//! Findings about router templates: told where they are asked for (`values`) and made (`jigs`), explained here.

use super::Row;
use crate::diagnose::Severity::Error;

const fn told(name: &'static str, meaning: &'static str, cure: &'static str) -> Row {
    Row { name, severity: Error, meaning, cure, check: None }
}

/// Router templates.
pub(super) const ROUTING: [Row; 12] = [
    told(
        "bit-not-there",
        "The shop lists its router bits, and this diameter is not among them.",
        "Take one that is listed, or add this one to `shop: bits`.",
    ),
    told(
        "bit-too-large",
        "The bit does not go everywhere: an inside corner has a smaller radius, or a passage is narrower. The message says where.",
        "Take the bit that the message names, or a smaller one.",
    ),
    told(
        "collar-not-there",
        "The shop lists its guide collars, and this one is not among them.",
        "Take one that is listed, or add this one to `shop: collars`.",
    ),
    told(
        "collar-rounds-corner",
        "A collar rolls round a sharp outside corner of the template, and the bit takes the corner of the part off by the offset.",
        "Take a bit with a bearing, which follows the finished line itself, or cut only the notches with a collar.",
    ),
    told(
        "collar-too-large",
        "The template is smaller than the part by half of collar less bit; here that takes an outside radius or a narrow piece of it away.",
        "Take the collar that the message names, or a bit with a bearing.",
    ),
    told(
        "collar-too-small",
        "The bit does not pass through the collar.",
        "Take a larger collar, a smaller bit, or a bit with a bearing.",
    ),
    told(
        "no-such-cut",
        "The part has no notch, housing or cut-out of this name; names are those of the boards that pass or sit there, or stand under `cutouts`.",
        "Take one of the names that are offered.",
    ),
    told(
        "no-such-edge",
        "The part shows a face, not an edge, to that side.",
        "Name one of the sides that its edges look to.",
    ),
    told(
        "router-template",
        "An entry of `templates` leaves out what a router template needs, or mixes it with what a paper template takes.",
        "Give one part, one thing to cut, and either a collar or a bearing.",
    ),
    told(
        "template-face",
        "The recess is cut from one face, but the template would lie on the other.",
        "Put the template on the face that the message names.",
    ),
    told(
        "template-thin",
        "A collar that stands out further than the template is thick runs on the work and lifts the router off.",
        "Make the template at least as thick as the collar stands out.",
    ),
    told(
        "template-unsound",
        "The line of the template was made and then measured, and did not keep its distance everywhere; nothing is drawn that is not proved.",
        "Print a paper template of the part instead.",
    ),
];
