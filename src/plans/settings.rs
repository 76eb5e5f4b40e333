//! The order of cutting: for every machine one list, its settings in the order to make them, and under each setting all the
//! parts that are worked with it, so that a fence is set once. Rough sizes come before final ones, long pieces before short
//! ones, and what is fitted to the house comes last. Sheet goods that a nest lays out are cut by the numbers on its sheets and
//! not named again.

mod worked;

use std::collections::{BTreeMap, BTreeSet};

use super::boards::{BoardPlan, Sold};
use super::nests::Nest;
use crate::boards::{Arris, Profile};
use crate::length::Length;
use crate::parts::{Made, PartId};
use crate::trade::{Face, Side};

/// Where something is done, in the order of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Machine {
    Crosscut,
    Jointer,
    Rip,
    Planer,
    Router,
    Drill,
    Fitting,
}

impl Machine {
    /// As lists name it.
    pub const fn word(self) -> &'static str {
        match self {
            Machine::Crosscut => "crosscut saw",
            Machine::Jointer => "jointer",
            Machine::Rip => "rip saw",
            Machine::Planer => "planer",
            Machine::Router => "router",
            Machine::Drill => "drill",
            Machine::Fitting => "fitting on site",
        }
    }
}

/// When in the course of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// To rough size.
    Rough,
    /// To final size.
    Final,
    /// After what it is to fit has been measured.
    Fit,
}

impl Stage {
    /// As lists name it.
    pub const fn word(self) -> &'static str {
        match self {
            Stage::Rough => "rough",
            Stage::Final => "final",
            Stage::Fit => "to fit",
        }
    }
}

/// What is set, in the order in which the lists show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Set {
    /// Stop of the crosscut saw: length of the piece.
    Stop(Length),
    /// Nothing but a square fence: one face and one edge.
    Square,
    /// Fence of the rip saw: width of the piece.
    Fence(Length),
    /// Blade tilted so many thousandths of a degree off square.
    Tilt { thousandths: i64 },
    /// Height of the planer: thickness.
    Height(Length),
    /// Corners, arches and free outlines: no stop makes them.
    Shape,
    /// A recess, notch or slot.
    Cut(Recess),
    /// A profile along an edge.
    Edge { profile: EdgeProfile, both: bool },
    /// A drill and its depth stop.
    Drill(Drilled),
    /// Wood left on for fitting: how much.
    Scribe(Length),
}

/// How a recess, a notch or a slot is set up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Recess {
    /// As lists name it: housing, rebate, notch …
    pub what: &'static str,
    /// The end or edge of the part that lies against the stop, as the part stands in place; `None` for a cut that is set by a template.
    pub from: Option<Side>,
    /// From that end or edge to the near side of the cut.
    pub stop: Length,
    /// Between its sides.
    pub wide: Length,
    /// Of a recess below its face, of a notch in from its edge; a slot goes right through and has none.
    pub deep: Option<Length>,
    /// Edge that a notch is cut in from.
    pub into: Option<Side>,
    /// The bit, where the shop names one and it is not wider than the cut.
    pub bit: Option<Length>,
    /// How many passes side by side the bit takes at least to clear a recess; 0 for a cut right through, which it goes round.
    pub passes: i64,
}

impl Recess {
    /// The same, set out by a template or from the drawing instead of a stop.
    fn by_template(self) -> Recess {
        Recess { from: None, stop: Length::ZERO, ..self }
    }
}

/// A profile along an edge, in an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EdgeProfile {
    Chamfer(Length, Length),
    Round(Length),
    Rebate(Length, Length),
}

/// How a hole is set up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Drilled {
    pub diameter: Length,
    /// `None`: right through.
    pub depth: Option<Length>,
    pub countersink: Option<Length>,
    /// Length over all of a slot in which a screw travels.
    pub slot: Option<Length>,
    /// Off the square in thousandths of a degree; 0 for a hole square to its face or edge.
    pub lean_thousandths: i64,
    /// True for a hole into an edge.
    pub into_edge: bool,
}

/// Parts that are worked with one setting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    pub part: PartId,
    /// Pieces, or for holes and cuts how many times in all.
    pub count: usize,
    /// Length of the piece, for the order.
    pub length: Length,
    /// Sizes to know besides: a stopped cut's distance short of a side, the other size of a blank.
    pub besides: Vec<Besides>,
}

/// What has to be known about a piece besides the setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Besides {
    /// The piece comes wide and long, in this order.
    Blank { across: Length, along: Length },
    /// The cut stops so far short of this side.
    Short { side: Side, by: Length },
    /// The edge or face of the part that is worked, as it stands in place.
    At { side: Side },
    /// Strips that make one part, side by side.
    Strips { of: i64 },
    /// Pieces that make one part, end to end; lengths are from long point to long point.
    Pieces { of: i64 },
    /// Ends that are cut to scarfs, both of a joint the same way.
    Scarf { lap: Length },
    /// The panel is wider than the machine.
    TooWide,
}

/// One setting of one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    pub machine: Machine,
    pub stage: Stage,
    pub set: Set,
    /// Longest first.
    pub work: Vec<Work>,
}

/// All settings in the order to make them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Settings {
    pub all: Vec<Setting>,
    /// Numbers of the sheets whose parts are cut by their own cut lists.
    pub sheets: Vec<usize>,
}

impl Settings {
    /// Those of one machine, in order.
    pub fn of(&self, machine: Machine) -> impl Iterator<Item = &Setting> {
        self.all.iter().filter(move |setting| setting.machine == machine)
    }

    /// Machines that have settings, in order.
    pub fn machines(&self) -> Vec<Machine> {
        let mut all: Vec<Machine> = self.all.iter().map(|setting| setting.machine).collect();
        all.dedup();
        all
    }
}

/// Settings as they are gathered: parts under each.
#[derive(Default)]
struct Gathered(BTreeMap<(Machine, Stage, Set), Vec<Work>>);

impl Gathered {
    fn add(&mut self, machine: Machine, stage: Stage, set: Set, work: Work) {
        let there = self.0.entry((machine, stage, set)).or_default();
        match there.iter_mut().find(|known| known.part == work.part && known.besides == work.besides) {
            Some(known) => known.count += work.count,
            None => there.push(work),
        }
    }

    fn sorted(self) -> Vec<Setting> {
        let mut all: Vec<Setting> = self
            .0
            .into_iter()
            .map(|((machine, stage, set), work)| Setting { machine, stage, set, work })
            .collect();
        for setting in &mut all {
            setting.work.sort_by(|a, b| b.length.cmp(&a.length).then(a.part.cmp(&b.part)));
        }
        // Stops and fences from the longest down; everything else in its own order.
        all.sort_by(|a, b| {
            (a.machine, a.stage).cmp(&(b.machine, b.stage)).then_with(|| downward(a.set, b.set))
        });
        all
    }
}

fn downward(one: Set, other: Set) -> std::cmp::Ordering {
    match (one, other) {
        (Set::Stop(a), Set::Stop(b)) | (Set::Fence(a), Set::Fence(b)) | (Set::Height(a), Set::Height(b)) => {
            b.cmp(&a)
        }
        _ => one.cmp(&other),
    }
}

/// Settings of a job: the plans of its boards, the nests of its sheet goods, and what is worked in each part.
pub fn plan(made: &Made, boards: &[BoardPlan], nests: &[Nest]) -> Settings {
    let mut gathered = Gathered::default();
    for plan in boards {
        solid(made, plan, &mut gathered);
    }
    let nested: BTreeSet<PartId> = nests
        .iter()
        .flat_map(|nest| &nest.sheets)
        .flat_map(|sheet| sheet.parts.iter().map(|placed| placed.part))
        .collect();
    for (index, part) in made.parts.iter().enumerate() {
        let id = PartId(index);
        let (along, across) = part.blank();
        let work = |besides: Vec<Besides>| Work { part: id, count: part.quantity, length: along, besides };
        if !nested.contains(&id) && !boards.iter().any(|plan| plan.stock == part.stock) {
            gathered.add(Machine::Rip, Stage::Final, Set::Fence(across), work(Vec::new()));
            gathered.add(Machine::Crosscut, Stage::Final, Set::Stop(along), work(Vec::new()));
        }
        for bevel in &part.bevels {
            let thousandths = libm::rint(bevel.degrees * 1000.0) as i64;
            gathered.add(Machine::Rip, Stage::Final, Set::Tilt { thousandths }, work(Vec::new()));
        }
        for edge in &part.edges {
            if edge.scribe.is_positive() {
                let besides = vec![Besides::At { side: edge.side }, Besides::Blank { across, along }];
                gathered.add(Machine::Fitting, Stage::Fit, Set::Scribe(edge.scribe), work(besides));
            }
            if let Some((profile, arris)) =
                edge.profile.and_then(|(profile, arris)| Some((of_edge(profile)?, arris)))
            {
                let set = Set::Edge { profile, both: arris == Arris::Both };
                gathered.add(Machine::Router, Stage::Final, set, work(vec![Besides::At { side: edge.side }]));
            }
        }
        worked::cuts(made, id, &mut gathered);
        worked::holes(made, id, &mut gathered);
    }
    let mut sheets: Vec<usize> =
        nests.iter().flat_map(|nest| &nest.sheets).map(|sheet| sheet.number).collect();
    sheets.sort_unstable();
    Settings { all: gathered.sorted(), sheets }
}

/// The profile that a bit cuts; a bevel is the saw's.
fn of_edge(profile: Profile) -> Option<EdgeProfile> {
    match profile {
        Profile::Chamfer { along_face, down_edge } => Some(EdgeProfile::Chamfer(along_face, down_edge)),
        Profile::Round { radius } => Some(EdgeProfile::Round(radius)),
        Profile::Rebate { width, depth } => Some(EdgeProfile::Rebate(width, depth)),
        Profile::Bevel { .. } => None,
    }
}

/// Rough crosscut, flattened, rough rip, planed, final rip, final crosscut: what a plan of boards asks of the saws.
fn solid(made: &Made, plan: &BoardPlan, gathered: &mut Gathered) {
    let milling = &made.job.supply.milling;
    for (index, strip) in plan.strips.iter().enumerate() {
        let Some(part) = made.parts.get(strip.part.0) else { continue };
        let (along, across) = part.blank();
        let strips = match (&strip.run, strip.of) {
            (Some(run), _) => vec![Besides::Pieces { of: run.pieces }],
            (None, of) if of > 1 => vec![Besides::Strips { of }],
            _ => Vec::new(),
        };
        // A run is worked in pieces to the end, everything else as a whole once it is glued up.
        let along = strip.run.as_ref().map_or(along, |run| run.length);
        let (whole, as_whole) = match strip.run {
            Some(_) => (strip.quantity, strips.clone()),
            None => (part.quantity, Vec::new()),
        };
        let pieces = Work { part: strip.part, count: strip.quantity, length: along, besides: strips.clone() };
        let parts = |besides| Work { part: strip.part, count: whole, length: along, besides };
        if strip.rough_length > along {
            gathered.add(Machine::Crosscut, Stage::Rough, Set::Stop(strip.rough_length), pieces.clone());
        }
        // What comes in its width is ripped all the same where it is cut out of something wider.
        let ripped = match plan.sold {
            Sold::Sticks => 0,
            _ if strip.rough_width > strip.width => strip.quantity,
            _ => plan.ripped_out(index),
        };
        if ripped > 0 {
            let work = Work { count: ripped, ..pieces.clone() };
            gathered.add(Machine::Rip, Stage::Rough, Set::Fence(strip.rough_width), work);
        }
        if plan.milled {
            let mut besides = strips.clone();
            besides.extend(
                milling.jointer.filter(|jointer| strip.rough_width > *jointer).map(|_| Besides::TooWide),
            );
            gathered.add(Machine::Jointer, Stage::Rough, Set::Square, Work { besides, ..pieces.clone() });
        }
        if plan.milled && strip.panel() && milling.planer.is_some_and(|planer| across > planer) {
            // The panel is wider than the planer: its strips are planed before they are glued.
            gathered.add(Machine::Planer, Stage::Rough, Set::Height(part.thick), pieces.clone());
        }
        if plan.milled || strip.panel() {
            let too_wide = milling.planer.filter(|planer| across > *planer).map(|_| Besides::TooWide);
            gathered.add(
                Machine::Planer,
                Stage::Final,
                Set::Height(part.thick),
                parts(too_wide.into_iter().collect()),
            );
        }
        let ready = plan.sold == Sold::Sticks && strip.rough_width == across
            || !strip.panel() && strip.rough_width == across && !plan.milled;
        // What is fitted to the house comes last, as a blank.
        let stage = if strip.to_fit { Stage::Fit } else { Stage::Final };
        if !ready {
            gathered.add(Machine::Rip, stage, Set::Fence(across), parts(as_whole.clone()));
        }
        gathered.add(Machine::Crosscut, stage, Set::Stop(along), parts(as_whole));
        if let Some(run) = &strip.run {
            let ends = usize::try_from((run.pieces - 1) * 2).unwrap_or(0).saturating_mul(part.quantity);
            let scarfs = vec![Besides::Scarf { lap: run.lap }];
            let work = Work { part: strip.part, count: ends, length: along, besides: scarfs };
            gathered.add(Machine::Crosscut, stage, Set::Tilt { thousandths: 45_000 }, work);
        }
    }
}

/// The side that a face of a part looks to as it stands in place.
fn face_side(show: Side, face: Face) -> Side {
    match face {
        Face::Show => show,
        Face::Back => show.opposite(),
    }
}
