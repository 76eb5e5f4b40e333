//! What holds a template that covers the whole part: no fence can stand where the bit must pass, so pins go through it into
//! holes that the part has, or screws where the spec allows them. Without either the card asks for tape.

use super::blank::usual;
use super::find::Feature;
use super::{Bears, Jig, Kind, Pin};
use crate::boards::Hole;
use crate::diagnose::Diagnostic;
use crate::length::notation::tell;
use crate::length::{Length, Units};
use crate::parts::{Made, Part};
use crate::shape::{Outline, Point};
use crate::trade::Face;
use crate::values::{Bearing, Guide, RouterAsked};

/// Sizes of the trade (common practice): wood of the template that stays round a hole in it, the smallest and the largest hole
/// that a pin stands in, how deep it must stand, and the hole that a screw passes.
struct Sizes {
    wall: Length,
    thin: Length,
    thick: Length,
    deep: Length,
    screw: Length,
}

const fn sizes(units: Units) -> Sizes {
    Sizes {
        wall: usual(units, 8, 60),
        thin: usual(units, 4, 30),
        thick: usual(units, 20, 160),
        deep: usual(units, 8, 60),
        screw: usual(units, 6, 45),
    }
}

/// The face of the part that the template touches: a bit with its bearing at the tip has the template below the work.
pub fn touched(jig: &Jig) -> Face {
    match (jig.guide, jig.face) {
        (Guide::Bearing(Bearing::Bottom), Face::Show) => Face::Back,
        (Guide::Bearing(Bearing::Bottom), Face::Back) => Face::Show,
        (_, face) => face,
    }
}

/// Pins or screws for a template of a whole part; nothing for others.
///
/// # Errors
/// Where a screw of the spec meets no wood or stands too near to what the bit follows.
pub fn held(
    made: &Made,
    asked: &RouterAsked,
    feature: &Feature,
    jig: &Jig,
) -> Result<Vec<Pin>, Vec<Diagnostic>> {
    let (Kind::Outline, Some(part)) = (feature.kind, made.parts.get(feature.part.0)) else {
        return Ok(Vec::new());
    };
    let sizes = sizes(made.job.units);
    let datum = feature.datum.unwrap_or_default();
    let seen = |p: Point| if jig.face == Face::Back { Point::new(datum.x - p.x, p.y) } else { p };
    if asked.screws.is_empty() {
        return Ok(in_holes(made, part, feature, jig, &sizes, &seen));
    }
    let (mut pins, mut faults) = (Vec::new(), Vec::new());
    for ([across, up], place) in &asked.screws {
        let at = Point::new(*across, *up);
        let say = |length: Length| tell(length, made.job.units);
        let told = |what: String| {
            Diagnostic::error(
                "router-template",
                *place,
                format!("the screw at {} across and {} up {what}", say(at.x), say(at.y)),
            )
        };
        let clear = sizes.screw.half() + sizes.wall;
        if !part.outline.contains(at) || part.inside.iter().any(|opening| opening.contains(at)) {
            let fault = told(format!("of the router template meets no wood of {}", part.name));
            faults.push(fault.propose("measure it from the part's datum corner, looking at its show face"));
        } else if !has_room(&jig.blank, seen(at), clear) {
            let fault = told("stands too near to the edge that guides the router".to_owned());
            faults.push(fault.propose(format!("keep it {} or more from the template's edge", say(clear))));
        } else {
            pins.push(Pin { at: seen(at), diameter: sizes.screw, bears: Bears::Screw });
        }
    }
    if faults.is_empty() { Ok(pins) } else { Err(faults) }
}

/// The two holes furthest apart that a pin can stand in, in every part that the template serves.
fn in_holes(
    made: &Made,
    part: &Part,
    feature: &Feature,
    jig: &Jig,
    sizes: &Sizes,
    seen: &dyn Fn(Point) -> Point,
) -> Vec<Pin> {
    let face = touched(jig);
    let open = |hole: &Hole| {
        hole.slot.is_none()
            && (sizes.thin..=sizes.thick).contains(&hole.diameter)
            && hole.depth.is_none_or(|depth| hole.from == face && depth >= sizes.deep)
    };
    let in_pair = |hole: &Hole| {
        feature.uses.iter().filter(|one| one.mirrored).all(|one| {
            let turned = Point::new(hole.at.x, part.height - hole.at.y);
            let upright = Point::new(part.width - hole.at.x, hole.at.y);
            let wanted = if one.turns == 2 { turned } else { upright };
            let same = |other: &Hole| other.at == wanted && other.diameter == hole.diameter && open(other);
            made.parts.get(one.part.0).is_some_and(|pair| pair.holes.iter().any(same))
        })
    };
    let holes: Vec<Pin> = part
        .holes
        .iter()
        .filter(|hole| open(hole) && in_pair(hole))
        .map(|hole| Pin { at: seen(hole.at), diameter: hole.diameter, bears: Bears::Hole })
        .filter(|pin| has_room(&jig.blank, pin.at, pin.diameter.half() + sizes.wall))
        .collect();
    let apart = |a: &Pin, b: &Pin| libm::hypot((a.at.x - b.at.x).to_mm(), (a.at.y - b.at.y).to_mm());
    let mut best: Option<(f64, [&Pin; 2])> = None;
    for (index, one) in holes.iter().enumerate() {
        for other in &holes[index + 1..] {
            let far = apart(one, other);
            if best.is_none_or(|(known, _)| far > known) {
                best = Some((far, [one, other]));
            }
        }
    }
    // Pins close together let a long template swing.
    let least = part.width.max(part.height).to_mm() / 4.0;
    best.filter(|(far, _)| *far >= least).map_or(Vec::new(), |(_, pins)| pins.map(Clone::clone).to_vec())
}

fn has_room(template: &Outline, at: Point, clear: Length) -> bool {
    template.contains(at) && template.distance_mm(at.to_mm()) >= clear.to_mm()
}

/// The way to hold it, for the card.
pub fn said(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> String {
    let below = matches!(jig.guide, Guide::Bearing(Bearing::Bottom));
    let places: Vec<String> = jig
        .pins
        .iter()
        .map(|pin| {
            // From the part's own datum corner, as its drawing has it.
            let width = made.parts.get(jig.part.0).map_or(Length::ZERO, |part| part.width);
            let x = if jig.face == Face::Back { width - pin.at.x } else { pin.at.x };
            format!("Ø {} at {} across, {} up", show(pin.diameter), show(x), show(pin.at.y))
        })
        .collect();
    let places = places.join("; ");
    let face = touched(jig).word();
    match jig.pins.first().map(|pin| pin.bears) {
        Some(Bears::Screw) => {
            let longest = jig.thick + jig.depth - sizes(made.job.units).deep.half();
            let heads = if below { "" } else { ", heads sunk so that the base slides over them" };
            format!(
                "screws through the template into the {face} ({places}, from the part's datum corner), no longer than {}{heads}; fill \
                 the holes where that face is seen",
                show(longest)
            )
        }
        Some(_) => format!(
            "pins through the template stand in holes of the part ({places}, from its datum corner), with their upper ends below the \
             template's face; double-sided tape between keeps it down"
        ),
        None => format!(
            "no two holes of the part take pins and no place for screws is given: double-sided tape on the clean {face}, pressed with clamps first"
        ),
    }
}
