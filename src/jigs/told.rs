//! What keeps a template from being made, in words with the numbers.

use super::find::Feature;
use super::guide::Trouble;
use super::tool;
use crate::diagnose::Diagnostic;
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::Made;
use crate::shape::Point;
use crate::trade::Face;
use crate::values::RouterAsked;

/// The fault of an entry.
pub fn fault(made: &Made, asked: &RouterAsked, feature: &Feature, trouble: Trouble) -> Diagnostic {
    let units = made.job.units;
    let say = |length: Length| tell(length, units);
    let mm = |radius: f64| say(Length::from_mm(radius));
    let part = made.parts.get(feature.part.0);
    let name = part.map_or("the part", |part| part.name.as_str());
    let what = format!("{} of {name}", feature.kind.word());
    let tool = tool(asked);
    let at = |p: Point| {
        // Notches are drawn from their own corner; the part's figures are those that people have.
        let around = feature.uses.first().map_or(feature.bare, |one| one.at);
        let own = match (feature.datum, asked.face) {
            (None, Face::Show) => Point::new(around.low.x + p.x, around.low.y + p.y),
            // Seen from the back the low corner of a notch is the one furthest from the datum edge.
            (None, Face::Back) => Point::new(around.high.x - p.x, around.low.y + p.y),
            (Some(_), Face::Show) => p,
            (Some(datum), Face::Back) => Point::new(datum.x - p.x, p.y),
        };
        format!("{} across and {} up from the datum corner", say(own.x), say(own.y))
    };
    let place = asked.place;
    let smaller = |largest: Option<Length>| match largest {
        Some(largest) => format!("the largest bit that passes is {}", say(largest)),
        None => "cut it with a saw and a file".to_owned(),
    };
    match trouble {
        Trouble::InsideRadius { at: p, radius } => Diagnostic::error(
            "bit-too-large",
            place,
            format!(
                "{what}: the inside corner at {} has a radius of {}, but a bit of {} leaves {}",
                at(p),
                mm(radius),
                say(tool.bit),
                say(tool.bit.half())
            ),
        )
        .propose(format!("take a bit of {} or less", mm(radius * 2.0))),
        Trouble::Narrow { largest } => Diagnostic::error(
            "bit-too-large",
            place,
            format!("{what}: a bit of {} does not pass everywhere", say(tool.bit)),
        )
        .propose(smaller(largest)),
        Trouble::OutsideCorner { at: p } => Diagnostic::error(
            "collar-rounds-corner",
            place,
            format!(
                "{what}: the collar would roll the sharp outside corner at {} round by {}",
                at(p),
                say(tool.offset())
            ),
        )
        .propose("take a bit with a bearing: `bearing: top`")
        .propose("or cut only the notches there with a collar: `notch: …`"),
        Trouble::OutsideRadius { at: p, radius } => {
            let largest = asked.bit + Length::from_mm(radius * 2.0);
            Diagnostic::error(
                "collar-too-large",
                place,
                format!(
                    "{what}: a collar of {} cannot reach into the outside corner at {}: its radius is {}, the offset {}",
                    say(tool.follower),
                    at(p),
                    mm(radius),
                    say(tool.offset())
                ),
            )
            .propose(format!("the largest collar for a bit of {} is {}", say(tool.bit), say(largest)))
        }
        Trouble::Frail { largest } => {
            let fault = Diagnostic::error(
                "collar-too-large",
                place,
                format!(
                    "{what}: a template smaller by {} all round for a collar of {} would fall apart",
                    say(tool.offset()),
                    say(tool.follower)
                ),
            );
            match largest {
                Some(largest) => fault.propose(format!("the largest collar that does is {}", say(largest))),
                None => fault.propose("take a bit with a bearing: `bearing: top`"),
            }
        }
        Trouble::Unsound => Diagnostic::error(
            "template-unsound",
            place,
            format!("{what}: the template's line did not come out true, so it is not drawn"),
        )
        .propose("print a paper template of the part instead: `paper: …`"),
    }
}
