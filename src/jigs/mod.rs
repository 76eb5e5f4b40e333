//! Router templates: parts in, what a template is made from out: its blank and the line that a collar or bearing follows, fences
//! or pins that hold it to the part's datum edges, stops, and the card of settings. Knows no paper and no file: sheets, full-size
//! pages and DXF draw the same [`Jig`].
//!
//! Coordinates of a jig are those of its part as seen by the router: the part's own on the show face, mirrored left to right on
//! the back. A template for an opening, a housing, an edge or a whole part keeps the part's datum corner at (0, 0) (at the part's
//! width on the back); one for notches, which serves many places, has the low corner of the notch there.

pub mod arrows;
mod blank;
pub mod card;
mod edge;
mod find;
pub mod guide;
mod hold;
mod pattern;
mod told;

use crate::diagnose::Diagnostic;
use crate::length::Length;
use crate::parts::{Hand, Made, PartId};
use crate::shape::{Extents, Outline, Point};
use crate::trade::{Face, Side, Units};
use crate::values::{CornerRule, CutAsked, Guide, RouterAsked};
use find::Feature;
use guide::{Corner, Cuts, Shape, Tool, Trouble, follow, relieved};

/// A template for the router.
#[derive(Clone, Debug, PartialEq)]
pub struct Jig {
    /// Safe in file names: `jig-1-bench-divider-notch`.
    pub id: String,
    /// Short mark: `J1`.
    pub mark: String,
    /// What it cuts: `notch`, `slot`, `opening`, `recess`, `housing`, `edge`, `outline` …
    pub kind: Kind,
    pub part: PartId,
    /// The face of the part that it lies on, and that looks up.
    pub face: Face,
    pub tool: Tool,
    pub guide: Guide,
    pub corners: CornerRule,
    /// Of the template.
    pub thick: Length,
    /// How deep is cut below the template; the thickest of the parts that it serves.
    pub depth: Length,
    pub through: bool,
    /// The template's outside. For `edge` and `outline` the guiding line is part of it.
    pub blank: Outline,
    /// The guiding line, where it is an opening of the template.
    pub window: Option<Outline>,
    /// The finished lines of the part that are cut, closed out into the air where they leave the wood.
    pub work: Shape,
    /// Inside corners that the bit leaves round (or that are relieved).
    pub inside_corners: Vec<Corner>,
    /// Edges of the part that the template bears on, from end to end of the blank.
    pub edges: Vec<(Point, Point)>,
    pub fences: Vec<Fence>,
    pub pins: Vec<Pin>,
    pub lines: Vec<Mark>,
    pub uses: Vec<Use>,
    /// True where the template is also used turned over, for mirror images.
    pub turned_over: bool,
    /// Where a housing stops short of the wood's edge.
    pub stops: Vec<Stop>,
    pub asked: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Notch,
    Slot,
    Opening,
    Recess,
    /// A housing, groove or rebate, as the trade calls this one.
    Housing(&'static str),
    /// The side of the room is that of the part's first board.
    Edge(Side),
    Outline,
}

impl Kind {
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Notch => "notch",
            Kind::Slot => "slot",
            Kind::Opening => "opening",
            Kind::Recess => "recess",
            Kind::Housing(word) => word,
            Kind::Edge(_) => "edge",
            Kind::Outline => "outline",
        }
    }

    /// True where one template serves many places.
    pub const fn is_notch(self) -> bool {
        matches!(self, Kind::Notch | Kind::Slot)
    }

    /// True where the bit works in an opening of the template.
    pub const fn is_window(self) -> bool {
        !matches!(self, Kind::Edge(_) | Kind::Outline)
    }
}

/// A strip under the template that bears on an edge of the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Fence {
    pub area: Extents,
    /// The line that bears.
    pub from: Point,
    pub to: Point,
    /// The part's edge: `left`, `bottom` … as seen by the router.
    pub bears_on: &'static str,
}

/// A hole for a pin or a screw that goes through the template; pins are pushed through to the other side where the template is
/// turned over.
#[derive(Clone, Debug, PartialEq)]
pub struct Pin {
    pub at: Point,
    pub diameter: Length,
    pub bears: Bears,
}

/// What a pin bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bears {
    /// An edge of the part, as seen by the router: `left`, `bottom` …
    Edge(&'static str),
    /// It stands in a hole of the part.
    Hole,
    /// It is a screw into the part.
    Screw,
}

impl Pin {
    /// What it is and what it bears on, in few words.
    pub fn called(&self) -> String {
        match self.bears {
            Bears::Edge(side) => format!("PIN, {side} edge"),
            Bears::Hole => "PIN in a hole of the part".to_owned(),
            Bears::Screw => "SCREW into the part".to_owned(),
        }
    }
}

/// A line on the template to be held to a line on the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub from: Point,
    pub to: Point,
    pub says: &'static str,
    /// Distance of the line from the part's datum edge, where the template belongs to one place.
    pub datum: Option<Length>,
}

/// A place that a template serves.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    pub part: PartId,
    /// Of the cut, from the part's datum corner along its own axes.
    pub at: Extents,
    /// Edges of the part that the cut breaks, as sides of its drawing.
    pub open: Vec<&'static str>,
    /// Quarter turns counter-clockwise from the template as drawn.
    pub turns: u8,
    /// True where the template is turned over.
    pub mirrored: bool,
    /// The board that passes through or sits there.
    pub by: Option<String>,
    /// Which of a pair it is, where it is one.
    pub hand: Option<Hand>,
}

/// The part's datum edge that a distance across, or up, is measured from, as seen by who stands over the template: the part's
/// left edge is at the right hand where the template lies on the back face.
pub const fn datum_edge(face: Face, across: bool) -> &'static str {
    match (across, face) {
        (true, Face::Show) => "left",
        (true, Face::Back) => "right",
        (false, _) => "bottom",
    }
}

/// Where a housing ends in the wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The edge that it is measured from: the part's datum edge along the housing, as seen by the router.
    pub from: &'static str,
    /// Distance of the finished end, which is where the far edge of the cutter stops.
    pub far_edge: Length,
    /// True where the end lies away from the datum edge.
    pub is_far_end: bool,
}

/// All router templates of a job, and what is wrong with those that cannot be made.
pub fn jigs(made: &Made) -> (Vec<Jig>, Vec<Diagnostic>) {
    let (mut all, mut faults): (Vec<Jig>, Vec<Diagnostic>) = (Vec::new(), Vec::new());
    for (index, asked) in made.job.full_size.jigs.iter().enumerate() {
        let features = match find::features(made, asked) {
            Ok(features) => features,
            Err(fault) => {
                faults.push(*fault);
                continue;
            }
        };
        for feature in features {
            // One jig serves all equal notches: an entry may name a notch that an earlier jig cuts already.
            let served = all.iter().any(|jig| serves(jig, &feature, asked));
            if served {
                continue;
            }
            match jig(made, asked, &feature) {
                Ok(jig) => match hold::held(made, asked, &feature, &jig) {
                    Ok(pins) if !pins.is_empty() => all.push(Jig { asked: index, pins, ..jig }),
                    Ok(_) => all.push(Jig { asked: index, ..jig }),
                    Err(told) => faults.extend(told),
                },
                Err(trouble) => faults.push(told::fault(made, asked, &feature, trouble)),
            }
        }
    }
    for (index, jig) in all.iter_mut().enumerate() {
        let number = index + 1;
        let part = made.parts.get(jig.part.0).map_or("part", |part| part.id.as_str());
        jig.mark = format!("J{number}");
        jig.id = format!("jig-{number}-{part}-{}", jig.kind.word());
    }
    (all, faults)
}

fn serves(jig: &Jig, feature: &Feature, asked: &RouterAsked) -> bool {
    let same_tools = (jig.tool.bit, jig.guide, jig.corners, jig.face)
        == (asked.bit, asked.guide, asked.corners, asked.face);
    let same_place =
        |one: &Use| one.part == feature.part && feature.uses.first().is_some_and(|first| first.at == one.at);
    matches!(jig.kind, Kind::Notch | Kind::Slot)
        && matches!(asked.cut, CutAsked::Notch(_))
        && same_tools
        && jig.uses.iter().any(same_place)
}

/// The tool of an entry.
fn tool(asked: &RouterAsked) -> Tool {
    let follower = match asked.guide {
        Guide::Collar(collar) => collar.outside,
        Guide::Bearing(_) => asked.bit,
    };
    Tool { bit: asked.bit, follower }
}

/// Smaller bits and collars are looked for by this.
fn step(units: Units) -> Length {
    match units {
        Units::Inch => Length::from_units(Length::INCH.units() / 64),
        Units::Millimetre => Length::MM.half(),
    }
}

fn jig(made: &Made, asked: &RouterAsked, feature: &Feature) -> Result<Jig, Trouble> {
    let tool = tool(asked);
    let units = made.job.units;
    let reach = blank::Reach::of(made, asked, tool);
    let body = match feature.kind {
        Kind::Edge(_) => edge::body(made, feature, tool, &reach, step(units), asked.corners)?,
        _ => {
            let (line, corners) = follow(&feature.work, tool, step(units))?;
            let line = match asked.corners {
                CornerRule::Relieve if !corners.is_empty() => {
                    relieved(&line, &corners, tool, feature.work.cuts).ok_or(Trouble::Unsound)?
                }
                _ => line,
            };
            match feature.work.cuts {
                Cuts::Inside => blank::round_window(made, feature, line, corners, &reach, asked.face),
                Cuts::Outside => {
                    let turned_over = feature.uses.iter().any(|one| one.mirrored);
                    blank::Body { turned_over, ..blank::Body::plain(line, corners) }
                }
            }
        }
    };
    let turned_over = body.turned_over;
    Ok(Jig {
        id: String::new(),
        mark: String::new(),
        kind: feature.kind,
        part: feature.part,
        face: asked.face,
        tool,
        guide: asked.guide,
        corners: asked.corners,
        thick: asked.thick,
        depth: feature.depth,
        through: feature.through,
        blank: body.blank,
        window: body.window,
        work: body.work.unwrap_or_else(|| feature.work.clone()),
        inside_corners: body.corners,
        edges: body.edges,
        fences: body.fences,
        pins: body.pins,
        lines: body.lines,
        uses: feature.uses.clone(),
        turned_over,
        stops: feature.stops.clone(),
        asked: 0,
    })
}
