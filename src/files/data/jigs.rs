//! Router templates as data: what each is for, its tool, its blank and opening, what holds it, and its files.

use serde::Serialize;

use super::{face, outline, part_id, point};
use crate::files;
use crate::jigs::{Bears, Jig, Stop, Use, card};
use crate::length::Length;
use crate::parts::{Hand, Made};
use crate::plans::Plans;
use crate::shape::Outline;
use crate::values::{Bearing, CornerRule, Guide};

#[derive(Serialize)]
pub struct JigEntry {
    pub id: String,
    pub mark: String,
    /// `notch`, `opening`, `edge`, `outline` … or the trade's word for a housing.
    pub kind: &'static str,
    pub part: String,
    /// Mark and name of the part.
    pub called: String,
    /// The face of the part that looks up; coordinates are as seen on it.
    pub face: &'static str,
    pub bit_mm: f64,
    /// Outside diameter of the collar; `null` where a bearing follows the template.
    pub collar_mm: Option<f64>,
    /// `top` or `bottom`; `null` where a collar does.
    pub bearing: Option<&'static str>,
    /// From the template's line to the finished line.
    pub offset_mm: f64,
    pub corners: &'static str,
    pub thickness_mm: f64,
    /// How deep is cut below the template.
    pub depth_mm: f64,
    pub through: bool,
    /// Width and height.
    pub blank_mm: [f64; 2],
    pub blank: Vec<[f64; 3]>,
    /// The guiding line where it is an opening of the template.
    pub window: Option<Vec<[f64; 3]>>,
    pub window_mm: Option<[f64; 2]>,
    pub window_area_mm2: Option<f64>,
    pub fences: Vec<FenceEntry>,
    pub pins: Vec<PinEntry>,
    pub stops: Vec<StopEntry>,
    /// True where it is turned over for mirror images.
    pub turned_over: bool,
    pub serves: Vec<ServedEntry>,
    pub files: JigFiles,
}

#[derive(Serialize)]
pub struct FenceEntry {
    /// The part's edge, as seen on `face`.
    pub edge: &'static str,
    /// The line that bears.
    pub from: [f64; 2],
    pub to: [f64; 2],
}

#[derive(Serialize)]
pub struct PinEntry {
    /// `edge`, `hole` or `screw`.
    pub bears_on: &'static str,
    pub edge: Option<&'static str>,
    pub at: [f64; 2],
    pub diameter_mm: f64,
}

#[derive(Serialize)]
pub struct StopEntry {
    /// The datum edge that it is measured from.
    pub from: &'static str,
    pub far_edge_mm: f64,
}

/// A place that the template serves.
#[derive(Serialize)]
pub struct ServedEntry {
    pub part: String,
    pub quantity: usize,
    /// `left` or `right`, `first` or `second`, of a pair.
    pub hand: Option<&'static str>,
    /// Corners of the cut, in the part's own coordinates.
    pub low: [f64; 2],
    pub high: [f64; 2],
    /// To the left, from the template as drawn; after it was turned over, where it is.
    pub quarter_turns: u8,
    pub turned_over: bool,
}

/// Paths from the job's folder.
#[derive(Serialize)]
pub struct JigFiles {
    pub dxf: String,
    /// One for each printer; every file holds all templates.
    pub full_size: Vec<String>,
}

pub fn jigs(made: &Made, plans: &Plans) -> Vec<JigEntry> {
    plans.jigs.iter().map(|jig| entry(made, jig)).collect()
}

fn entry(made: &Made, jig: &Jig) -> JigEntry {
    let part = made.parts.get(jig.part.0);
    let size = |outline: &Outline| {
        let around = outline.extents();
        [around.width().to_mm(), around.height().to_mm()]
    };
    let printers = made.job.full_size.printers.iter();
    JigEntry {
        id: jig.id.clone(),
        mark: jig.mark.clone(),
        kind: jig.kind.word(),
        part: part_id(made, jig.part.0),
        called: part.map_or(String::new(), |part| card::called(&part.mark, &part.name)),
        face: face(jig.face),
        bit_mm: jig.tool.bit.to_mm(),
        collar_mm: match jig.guide {
            Guide::Collar(collar) => Some(collar.outside.to_mm()),
            Guide::Bearing(_) => None,
        },
        bearing: match jig.guide {
            Guide::Collar(_) => None,
            Guide::Bearing(Bearing::Top) => Some("top"),
            Guide::Bearing(Bearing::Bottom) => Some("bottom"),
        },
        offset_mm: jig.tool.offset().to_mm(),
        corners: match jig.corners {
            CornerRule::SquareByHand => "square_by_hand",
            CornerRule::RoundMate => "round_mate",
            CornerRule::Relieve => "relieve",
        },
        thickness_mm: jig.thick.to_mm(),
        depth_mm: jig.depth.to_mm(),
        through: jig.through,
        blank_mm: size(&jig.blank),
        blank: outline(&jig.blank),
        window: jig.window.as_ref().map(outline),
        window_mm: jig.window.as_ref().map(size),
        window_area_mm2: jig.window.as_ref().map(Outline::area_mm2),
        fences: (jig.fences.iter())
            .map(|fence| FenceEntry { edge: fence.bears_on, from: point(fence.from), to: point(fence.to) })
            .collect(),
        pins: (jig.pins.iter())
            .map(|pin| {
                let (bears_on, edge) = match pin.bears {
                    Bears::Edge(side) => ("edge", Some(side)),
                    Bears::Hole => ("hole", None),
                    Bears::Screw => ("screw", None),
                };
                PinEntry { bears_on, edge, at: point(pin.at), diameter_mm: pin.diameter.to_mm() }
            })
            .collect(),
        stops: jig.stops.iter().map(stop).collect(),
        turned_over: jig.turned_over,
        serves: jig.uses.iter().map(|one| served(made, one)).collect(),
        files: JigFiles {
            dxf: files::dxf::jigs::path(made, jig),
            full_size: printers.map(|printer| files::full_size_path("jigs", &printer.name)).collect(),
        },
    }
}

fn stop(stop: &Stop) -> StopEntry {
    StopEntry { from: stop.from, far_edge_mm: Length::to_mm(stop.far_edge) }
}

fn served(made: &Made, one: &Use) -> ServedEntry {
    ServedEntry {
        part: part_id(made, one.part.0),
        quantity: made.parts.get(one.part.0).map_or(0, |part| part.quantity),
        hand: one.hand.map(|hand| match hand {
            Hand::Left => "left",
            Hand::Right => "right",
            Hand::First => "first",
            Hand::Second => "second",
        }),
        low: point(one.at.low),
        high: point(one.at.high),
        quarter_turns: one.turns,
        turned_over: one.mirrored,
    }
}
