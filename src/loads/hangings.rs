//! What hangs on a wall by screws: how hard the uppermost of them is pulled straight out, and how hard each is pushed down.
//! What they may be loaded with is worked out in `wall.rs`.

use super::wall::{Bears, Wanting, sideways, withdrawal};
use super::weights::Weights;
use super::{acting, carried, force};
use crate::boards::{FixingKind, Held, Other};
use crate::diagnose::Place;
use crate::joints::Fixing;
use crate::length::Length;
use crate::parts::{Made, Placed};
use crate::trade::{Axis, GRAVITY, Units};
use crate::wood::NO_ENGINEER;

/// An assembly that is screwed to a wall and does not stand on the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Hanging {
    /// Index into the job's assemblies.
    pub assembly: usize,
    /// Screws into the wall.
    pub screws: usize,
    /// Own weight and all that its boards are said to carry, newtons.
    pub load: f64,
    /// True where a board of it is said to carry something.
    pub told: bool,
    /// Pull on the screw that is pulled hardest, newtons.
    pub pull: Result<f64, Wanting>,
    /// What that screw may be pulled with, newtons.
    pub allowed: Result<f64, Wanting>,
    /// What pushes each screw down along the wall, newtons.
    pub shear: f64,
    /// What the screw that bears least may be pushed down with, newtons.
    pub lateral: Result<f64, Wanting>,
    /// The least length of screw, in steps of 1/4" or 5 mm, that would bear both; `None` where none of up to 6" would.
    pub long_enough: Option<Length>,
    /// What the figures rest on, a clause each, the caution last.
    pub assumptions: Vec<String>,
    /// The line of the screw that is pulled hardest.
    pub place: Place,
}

/// All that hangs, in the order of the assemblies.
pub fn hangings(made: &Made, weights: &Weights) -> Vec<Hanging> {
    (0..made.job.assemblies.len()).filter_map(|assembly| hanging(made, weights, assembly)).collect()
}

fn hanging(made: &Made, weights: &Weights, assembly: usize) -> Option<Hanging> {
    let boards: Vec<&Placed> = made.placed.iter().filter(|p| p.board.assembly == assembly).collect();
    let on_floor = boards.iter().any(|placed| {
        placed.board.held_by == Some(Held::Floor)
            || placed.board.span[Axis::Up.index()].low.abs() <= Length::TOUCH
    });
    let screws: Vec<&Fixing> = (made.fixings.iter())
        .filter(|fixing| fixing.into == Other::Wall && fixing.kind == FixingKind::Screws)
        .filter(|fixing| made.placed.get(fixing.through.0).is_some_and(|p| p.board.assembly == assembly))
        .collect();
    let first = screws.first().filter(|_| !on_floor)?;
    let axis = Axis::ALL.into_iter().find(|axis| first.direction[axis.index()].abs() > 0.5)?;
    let sign = first.direction[axis.index()];
    // The wall is where the boards end that the screws go through.
    let wall = screws.iter().filter_map(|screw| made.placed.get(screw.through.0)).map(|placed| {
        let span = placed.board.span[axis.index()];
        if sign > 0.0 { span.high } else { span.low }
    });
    let wall = wall.max_by_key(|at| if sign > 0.0 { *at } else { -*at })?.to_mm();
    let arm = |at: f64| ((wall - at) * sign).max(0.0);
    let weight = weights.assemblies.get(assembly)?;
    let own = weight.kilograms * GRAVITY;
    let mut moment = own * weight.centre.map_or(0.0, |centre| arm(centre[axis.index()]));
    let mut load = own;
    let mut told = false;
    for placed in &boards {
        let Some(carried) = carried(placed) else { continue };
        told = true;
        let acts = acting(carried.load, made.job.units);
        let span = placed.board.span;
        let longer = span[0].size().max(span[1].size());
        let newtons = acts.point + acts.along * longer.to_mm() / 1000.0;
        // A load at one place may stand at the front edge.
        let far = span[axis.index()];
        let front = if sign > 0.0 { far.low } else { far.high };
        let at = if acts.point > 0.0 { front } else { far.low + far.size().half() };
        moment += newtons * arm(at.to_mm());
        load += newtons;
    }
    let lowest = boards.iter().map(|placed| placed.board.span[Axis::Up.index()].low).min()?.to_mm();
    let height = |screw: &Fixing| screw.head[Axis::Up.index()].to_mm() - lowest;
    let squares: f64 = screws.iter().map(|screw| height(screw) * height(screw)).sum();
    let hardest = screws.iter().copied().max_by(|a, b| height(a).total_cmp(&height(b)))?;
    let pull = if squares > 0.0 { Ok(moment * height(hardest) / squares) } else { Err(Wanting::LowestEdge) };
    let shear = load / screws.len() as f64;
    let mut assumptions = vec![
        format!(
            "own weight{} {} {}, on {} screws",
            if told { " and loads" } else { "" },
            force(load, made.job.units),
            if weight.unknown.is_empty() { "in all" } else { "without the parts whose weight is not known" },
            screws.len()
        ),
        "turns about its lowest edge at the wall; screws are pulled by their height above it".to_owned(),
        "every screw ends in the middle of a stud, with a pilot hole".to_owned(),
    ];
    let mut allowed = withdrawal(made, hardest, hardest.length);
    if let Ok(found) = &mut allowed {
        assumptions.append(&mut found.basis);
    }
    // Of screws that bear unlike loads the weakest; what is wanting of one is wanting of all.
    let each = screws.iter().map(|screw| sideways(made, screw, screw.length));
    let mut lateral = each.min_by(|a, b| newtons(a).total_cmp(&newtons(b)))?;
    if let Ok(found) = &mut lateral {
        assumptions.append(&mut found.basis);
        assumptions.push(format!(
            "every screw bears the same share of what goes down, {}; pull and downward load are held against their values one by one",
            force(shear, made.job.units)
        ));
    }
    assumptions.push("what the wall itself bears is for the local code".to_owned());
    assumptions.push(NO_ENGINEER.to_owned());
    let good = |length: Length| {
        let holds = withdrawal(made, hardest, length)
            .is_ok_and(|held| pull.as_ref().map_or(true, |pull| *pull <= held.newtons));
        // Where only the wood in front is unknown, the pull alone decides.
        let bears = |screw: &&Fixing| match sideways(made, screw, length) {
            Ok(found) => shear <= found.newtons,
            Err(why) => !matches!(why, Wanting::TooShort { .. }),
        };
        holds && screws.iter().all(bears)
    };
    let step = match made.job.units {
        Units::Inch => Length::from_units(Length::INCH.units() / 4),
        Units::Millimetre => Length::MM * 5,
    };
    let long_enough =
        (1..).map(|n| step * n).take_while(|length| *length <= LONGEST).find(|length| good(*length));
    Some(Hanging {
        assembly,
        screws: screws.len(),
        load,
        told,
        pull,
        allowed: allowed.map(|found| found.newtons),
        shear,
        lateral: lateral.map(|found| found.newtons),
        long_enough,
        assumptions,
        place: hardest.place,
    })
}

/// Screws longer than this are looked for in another trade (common practice).
const LONGEST: Length = Length::from_units(Length::INCH.units() * 6);

/// Nothing where something is wanting.
fn newtons(found: &Result<Bears, Wanting>) -> f64 {
    found.as_ref().map_or(0.0, |found| found.newtons)
}
