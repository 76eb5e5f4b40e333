//! The card of settings that goes with a template: what the router is set to, which way it is fed, what to do at corners and
//! ends. Figures are printed by whoever draws the card.

use super::blank::past;
use super::{Bears, Jig, Kind, Use, datum_edge};
use crate::length::Length;
use crate::parts::{Hand, Made, PartId};
use crate::shape::{Arc, Point, Vertex};
use crate::trade::{Face, Units};
use crate::values::{Bearing, CornerRule, Guide};

/// Depths of the passes below the template, the last one whole: none deeper than half the bit's diameter (common practice;
/// the bit's maker may ask for less).
pub fn passes(made: &Made, jig: &Jig) -> Vec<Length> {
    let whole = if jig.through { jig.depth + past(made.job.units) } else { jig.depth };
    let most = jig.tool.bit.half().units().max(1);
    let count = ((whole.units() + most - 1).div_euclid(most)).clamp(1, 40);
    (1..=count).map(|pass| Length::from_units(whole.units() * pass / count)).collect()
}

/// Distance from the near edge of a straight fence to the cut: from the edge of the base to that of the bit.
pub fn fence_distance(made: &Made, jig: &Jig) -> Length {
    (made.job.full_size.routers.base - jig.tool.bit).half()
}

/// The collar that cuts a plug to fit the recess of this template with the same bit, in the same opening: smaller than this
/// one by two bits (common practice). `None` where no collar is that small.
pub fn plug_collar(jig: &Jig) -> Option<Length> {
    let collar = match jig.guide {
        Guide::Collar(collar) => collar.outside - jig.tool.bit * 2,
        Guide::Bearing(_) => return None,
    };
    (collar > jig.tool.bit).then_some(collar)
}

/// Head words and sentences, in order.
pub fn card(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> Vec<(String, String)> {
    let part = made.parts.get(jig.part.0);
    let name = part.map_or(String::new(), |part| called(&part.mark, &part.name));
    let mut all = Vec::new();
    let mut say = |head: &str, text: String| all.push((head.to_owned(), text));
    say("CUTS", cuts(jig, &name, show));
    say("BIT", format!("straight, Ø {}", show(jig.tool.bit)));
    let (follower, offset) = (show(jig.tool.follower), show(jig.tool.offset()));
    match jig.guide {
        Guide::Collar(collar) => {
            say("COLLAR", format!("Ø {follower} outside; (collar − bit) / 2 = {offset}"));
            let wider = show(jig.tool.follower - jig.tool.bit);
            say(
                "OFFSET",
                if jig.kind.is_window() {
                    format!("opening larger than the cut by {offset} all round, {wider} in each size")
                } else {
                    format!("guiding line {offset} inside the finished line")
                },
            );
            let least = match collar.stands_out {
                Some(least) => format!("at least {}, which the collar stands out", show(least)),
                None => "no thinner than the collar stands out below the base: measure it".to_owned(),
            };
            say("TEMPLATE", format!("flat sheet {} thick, {least}; {}", show(jig.thick), lies(jig)));
        }
        Guide::Bearing(bearing) => {
            let where_to = match bearing {
                Bearing::Top => "beside the shank: the template lies on the work",
                Bearing::Bottom => "at the tip: the template lies under the work, drawn as seen through it",
            };
            say(
                "BEARING",
                format!("Ø {follower}, as the bit, {where_to}; the template is the finished size"),
            );
            let text = format!(
                "flat sheet {} thick; the whole bearing must run on it in every pass; {}",
                show(jig.thick),
                lies(jig)
            );
            say("TEMPLATE", text);
        }
    }
    say("DEPTH", depth(made, jig, show));
    say("ROUGH OUT", rough(made, jig));
    say("FEED", feed(jig).to_owned());
    if let Some(text) = corners(jig, show) {
        say("CORNERS", text);
    }
    for (head, text) in stops(made, jig, show) {
        say(head, text);
    }
    say("HOLD", hold(made, jig, show));
    let size = jig.window.as_ref().map(|window| window.extents());
    let reaches_over =
        |size: crate::shape::Extents| size.width().min(size.height()) * 2 <= made.job.full_size.routers.base;
    if size.is_some_and(|size| !reaches_over(size)) {
        let text = "the router's middle is over the opening: leave the waste in, level with the work, or screw an offcut as thick as \
                    the template under the far side of the base, so that it cannot tip";
        say("SUPPORT", text.to_owned());
    }
    if let Some(collar) = plug_collar(jig).filter(|_| matches!(jig.kind, Kind::Recess | Kind::Opening)) {
        let text = format!(
            "the same opening and bit cut a plug that fits with a collar of {} (this collar less two bits), the waste outside",
            show(collar)
        );
        say("INLAY", text);
    }
    say("FIRST", "a test cut in an offcut of the same stock; measure it, then cut the part".to_owned());
    let text = "speed by the bit maker's figures, slower for larger bits. Unplug before changing bit or collar; clamp work and \
                template; eyes, ears and lungs protected; both hands on the router until it stands still. The router's manual and \
                local rules come first.";
    say("CAUTION", text.to_owned());
    all
}

/// Which of a pair, as short as it is written on a template.
pub const fn short(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "L",
        Hand::Right => "R",
        Hand::First => "1st",
        Hand::Second => "2nd",
    }
}

/// Mark and name.
pub fn called(mark: &str, name: &str) -> String {
    format!("{mark} {}", name.replace('_', " ")).trim().to_owned()
}

fn cuts(jig: &Jig, name: &str, show: &dyn Fn(Length) -> String) -> String {
    let depth = if jig.through { "through".to_owned() } else { format!("{} deep", show(jig.depth)) };
    let what = match jig.kind {
        Kind::Edge(side) => format!("{} edge of {name}", side.word()),
        Kind::Outline => format!("the whole outline of {name}"),
        kind => {
            let at = jig.uses.first().map(|one| one.at);
            let size =
                at.map_or(String::new(), |at| format!("{} × {} ", show(at.width()), show(at.height())));
            let word = kind.word();
            match jig.uses.len() {
                1 => format!("{word} {size}in {name}"),
                many => format!("{word} {size}in {many} places, as listed"),
            }
        }
    };
    format!("{what}, {depth}")
}

fn lies(jig: &Jig) -> &'static str {
    match (jig.guide, jig.face) {
        (Guide::Bearing(Bearing::Bottom), Face::Show) => "the work lies on it with its SHOW FACE up",
        (Guide::Bearing(Bearing::Bottom), Face::Back) => {
            "the work lies on it with its BACK FACE up, drawn as seen there"
        }
        (_, Face::Show) => "lies on the SHOW FACE",
        (_, Face::Back) => "lies on the BACK FACE and is drawn as seen there",
    }
}

fn depth(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> String {
    let passes = passes(made, jig);
    let below: Vec<String> = passes.iter().map(|pass| show(*pass + jig.thick)).collect();
    let goes = if jig.through {
        format!(", into the board below by {}", show(past(made.job.units)))
    } else {
        String::new()
    };
    let count = match passes.len() {
        1 => "one pass".to_owned(),
        many => format!("{many} passes"),
    };
    format!(
        "{count}; the bit stands out below the base (template {} + cut){goes}: {}",
        show(jig.thick),
        below.join(", ")
    )
}

fn rough(made: &Made, jig: &Jig) -> String {
    if !jig.through {
        return "no need: clear the middle first, then run round the template".to_owned();
    }
    let left = match made.job.sheets.units {
        Units::Inch => "1/16\" to 1/8\"",
        Units::Millimetre => "1.5 to 3 mm",
    };
    format!("saw or bore the waste away to {left} from the line, so that the bit only trims")
}

/// Against the cutter's rotation, which is clockwise from above (common practice, right-hand cutters).
const fn feed(jig: &Jig) -> &'static str {
    match jig.kind {
        Kind::Edge(_) | Kind::Outline => {
            "anticlockwise round the outside, seen from above: against the rotation of the usual right-hand cutter"
        }
        Kind::Notch if jig.fences.is_empty() => {
            "in at the open edge, then clockwise round the inside, seen from above: against the rotation of the usual right-hand \
             cutter; a scrap clamped behind the edge keeps it from splintering"
        }
        Kind::Notch => {
            "in at the open edge, then clockwise round the inside, seen from above: against the rotation of the usual right-hand \
             cutter; the fence behind the edge keeps it from splintering"
        }
        _ => {
            "clockwise round the inside, seen from above: against the rotation of the usual right-hand cutter"
        }
    }
}

fn corners(jig: &Jig, show: &dyn Fn(Length) -> String) -> Option<String> {
    let count = jig.inside_corners.len();
    if count == 0 {
        return None;
    }
    let radius = show(jig.tool.bit.half());
    let (many, they) = if count == 1 {
        ("1 inside corner".to_owned(), "it")
    } else {
        (format!("{count} inside corners"), "them")
    };
    Some(match jig.corners {
        CornerRule::SquareByHand => {
            format!("the bit leaves a radius of {radius} in {many}: square {they} with a chisel")
        }
        CornerRule::RoundMate => {
            format!("{many} stay round with {radius}: round the corners of the part that goes in by as much")
        }
        CornerRule::Relieve => format!(
            "{many} relieved: the middle of the bit stands {radius} from the true corner, so that its edge just reaches it; nothing to square"
        ),
    })
}

fn stops(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> Vec<(&'static str, String)> {
    let mut all = Vec::new();
    let by = fence_distance(made, jig);
    if let (Kind::Housing(_), Some(place)) = (jig.kind, jig.uses.first()) {
        let along_x = place.at.width() >= place.at.height();
        let (near, far) =
            if along_x { (place.at.low.y, place.at.high.y) } else { (place.at.low.x, place.at.high.x) };
        let edge = datum_edge(jig.face, !along_x);
        let text = format!(
            "sides at {} and {} from the {edge} datum edge; with a straight fence in place of the template, the fence stands {} from \
             the side that it guides (half of base less half of bit: measure yours)",
            show(near),
            show(far),
            show(by)
        );
        all.push(("FENCE", text));
    }
    for stop in &jig.stops {
        let block = if stop.is_far_end { stop.far_edge + by } else { stop.far_edge - by };
        let which = if stop.is_far_end { "ends" } else { "begins" };
        let block = if block.is_positive() || block == Length::ZERO {
            format!("a stop block for the base stands at {}", show(block))
        } else {
            format!("a stop block for the base stands {} outside that edge", show(block.abs()))
        };
        let text = format!(
            "{which} {} from the {} datum edge, measured to the FAR edge of the cutter; {block}",
            show(stop.far_edge),
            stop.from
        );
        all.push(("STOP", text));
    }
    if !jig.stops.is_empty() {
        let text = "the cutter leaves the stopped end round: square it with a chisel, or cut the tongue back to hide it";
        all.push(("END", text.to_owned()));
    }
    all
}

fn hold(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> String {
    let edges = |all: Vec<&str>| {
        let mut all = all;
        all.dedup();
        all.join(" and ")
    };
    if jig.kind == Kind::Outline {
        let by = super::hold::said(made, jig, show);
        if !jig.turned_over {
            return by;
        }
        let (one, other) = (part_and_hand(made, jig, false), part_and_hand(made, jig, true));
        return format!("{by}. This side up for {one}, turned over for {other}: write both on the template");
    }
    if jig.turned_over {
        let edge = |pin: &super::Pin| match pin.bears {
            Bears::Edge(side) => Some(side),
            Bears::Hole | Bears::Screw => None,
        };
        let on = edges(jig.pins.iter().filter_map(edge).collect());
        let pins = if on.is_empty() {
            "no straight edge is near: hold its lines to lines on the part and clamp outside the reach of the base"
                .to_owned()
        } else {
            format!("pins through the holes bear on the {on} edge")
        };
        let push = if on.is_empty() { "" } else { " with the pins pushed through" };
        if jig.kind.is_notch() {
            return format!(
                "{pins}; this side up where the list says as drawn, turned over{push} where it says so. Write on both sides which is \
                 which"
            );
        }
        let one = part_and_hand(made, jig, false);
        let other = part_and_hand(made, jig, true);
        let push = if on.is_empty() { "" } else { " and push the pins through" };
        return format!(
            "{pins}; this side up for {one}; turn it over{push} for {other}. Write both on the template"
        );
    }
    if jig.fences.is_empty() {
        return "hold its lines to lines on the part; clamp outside the reach of the base".to_owned();
    }
    let on = edges(jig.fences.iter().map(|fence| fence.bears_on).collect());
    format!(
        "fences under the template bear on the {on} edge, thinner than the work; clamp outside the reach of the base"
    )
}

fn part_and_hand(made: &Made, jig: &Jig, mirrored: bool) -> String {
    let named = |id: PartId, hand: Option<Hand>| {
        let part = made.parts.get(id.0);
        let name = part.map_or(String::new(), |part| called(&part.mark, &part.name));
        hand.map_or(name.clone(), |hand| format!("{} ({name})", short(hand)))
    };
    let of = |one: &Use| named(one.part, one.hand);
    let mut all: Vec<String> = jig.uses.iter().filter(|one| one.mirrored == mirrored).map(of).collect();
    all.dedup();
    all.join(", ")
}

/// A place that a template serves, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Served {
    /// Mark and name of the part.
    pub part: String,
    /// How many there are of the part.
    pub quantity: usize,
    /// Where the cut lies on it, from its datum corner.
    pub place: String,
    /// How the template is laid on.
    pub how: String,
}

/// Every place that a template serves.
pub fn served(made: &Made, jig: &Jig, show: &dyn Fn(Length) -> String) -> Vec<Served> {
    let one = |one: &Use| {
        let part = made.parts.get(one.part.0);
        Served {
            part: part.map_or(String::new(), |part| called(&part.mark, &part.name)),
            quantity: part.map_or(0, |part| part.quantity),
            place: place(one, jig.face, show),
            how: way(one, jig.face == Face::Back),
        }
    };
    jig.uses.iter().map(one).collect()
}

/// A corner of the guiding line, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GuidePoint {
    /// Counted from 1, anticlockwise.
    pub number: String,
    /// From the blank's lower left corner.
    pub across: String,
    pub up: String,
    /// What leads to the next corner.
    pub next: String,
}

/// Corners of the guiding line. An arc that bends into what the line encloses is told as hollow.
pub fn guiding(jig: &Jig, show: &dyn Fn(Length) -> String) -> Vec<GuidePoint> {
    let low = jig.blank.extents().low;
    let line = jig.window.as_ref().unwrap_or(&jig.blank);
    let point = |(index, (from, to)): (usize, (Vertex, Point))| GuidePoint {
        number: (index + 1).to_string(),
        across: show(from.at.x - low.x),
        up: show(from.at.y - low.y),
        next: match Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) {
            Some(arc) => {
                let hollow = if from.bulge < 0.0 { ", hollow" } else { "" };
                format!("R {}{hollow}", show(Length::from_mm(arc.radius)))
            }
            None => "straight".to_owned(),
        },
    };
    line.segments().enumerate().map(point).collect()
}

/// Where a cut lies on its part, from the datum corner; edges as seen on the face that the template lies on.
fn place(one: &Use, face: Face, show: &dyn Fn(Length) -> String) -> String {
    let seen = |side: &&'static str| match (*side, face) {
        ("left", Face::Back) => "right",
        ("right", Face::Back) => "left",
        (same, _) => same,
    };
    let open: Vec<&str> = one.open.iter().map(seen).collect();
    let across = format!("{} to {} across", show(one.at.low.x), show(one.at.high.x));
    let up = format!("{} to {} up", show(one.at.low.y), show(one.at.high.y));
    match open.as_slice() {
        [] => format!("{across}, {up}"),
        [only @ ("top" | "bottom")] => format!("{across}, in the {only} edge"),
        [only] => format!("{up}, in the {only} edge"),
        several => format!("at the {} corner", several.join(" and ")),
    }
}

/// How the template is laid on for it.
fn way(one: &Use, on_back: bool) -> String {
    let turns = match (one.turns, on_back) {
        (0, _) => "as drawn",
        (1, false) | (3, true) => "a quarter turn to the left",
        (2, _) => "half a turn round",
        _ => "a quarter turn to the right",
    };
    let hand = one.hand.map_or(String::new(), |hand| format!("{}: ", short(hand)));
    if one.mirrored { format!("{hand}TURNED OVER, then {turns}") } else { format!("{hand}{turns}") }
}
