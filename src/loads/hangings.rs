//! What hangs on a wall by screws: how hard the uppermost of them is pulled straight out, and what it may be pulled with.

use super::weights::Weights;
use super::{GRAVITY, acting, force};
use crate::boards::{FixingKind, Held, Other};
use crate::diagnose::Place;
use crate::joints::Fixing;
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, Placed};
use crate::trade::Axis;
use crate::wood::NO_ENGINEER;
use crate::wood::species;
use crate::wood::withdrawal::{DrivenInto, Fastener, holding};

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
    /// Pull on the screw that is pulled hardest, newtons; the words say why it is not known.
    pub pull: Result<f64, String>,
    /// What that screw may be pulled with, newtons; the words say what is wanting.
    pub allowed: Result<f64, String>,
    /// What the figures rest on, a clause each, the caution last.
    pub assumptions: Vec<String>,
    /// The line of the screw that is pulled hardest.
    pub place: Place,
}

/// Part of a wood screw's length that is thread: two thirds (common practice of the trade).
const THREAD: (i64, i64) = (2, 3);

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
        let Some(given) = placed.board.load else { continue };
        told = true;
        let acts = acting(given, made.job.units);
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
    let pull = if squares > 0.0 {
        Ok(moment * height(hardest) / squares)
    } else {
        Err("the screws sit at the lowest edge, where nothing keeps it from turning".to_owned())
    };
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
    let allowed = allowed(made, hardest, &mut assumptions);
    assumptions.push(format!(
        "only the pull straight out is looked at: the downward load on each screw, about {}, and what the wall itself bears, are for the local code",
        force(load / screws.len() as f64, made.job.units)
    ));
    assumptions.push(NO_ENGINEER.to_owned());
    Some(Hanging {
        assembly,
        screws: screws.len(),
        load,
        told,
        pull,
        allowed,
        assumptions,
        place: hardest.place,
    })
}

/// What a screw may be pulled with, newtons.
fn allowed(made: &Made, screw: &Fixing, assumptions: &mut Vec<String>) -> Result<f64, String> {
    let service = &made.job.service;
    let through = made.placed.get(screw.through.0).map_or(Length::ZERO, |placed| {
        let axis = Axis::ALL.into_iter().find(|axis| screw.direction[axis.index()].abs() > 0.5);
        axis.map_or(Length::ZERO, |axis| placed.board.span[axis.index()].size())
    });
    let in_stud = screw.length - through - service.wallboard;
    let thread = in_stud.min((screw.length * THREAD.0).shared_by(THREAD.1).0);
    let units = made.job.units;
    let Some(studs) = &service.studs else {
        return Err("the species of the studs is not known: give it under `service: studs:` (spruce-pine-fir is common), and find the studs".into());
    };
    let species = species::find(&studs.text).map_err(|unknown| unknown.to_string())?;
    let gravity = species
        .fastener_gravity()
        .ok_or_else(|| format!("no specific gravity of {} is tabulated", species.name))?;
    let found = holding(Fastener::WoodScrew(screw.diameter), gravity, thread, DrivenInto::SideGrain)
        .map_err(|why| why.to_string())?;
    assumptions.push(format!(
        "{} of thread in a stud of {}, behind {} of wallboard: {:.0} lb to an inch",
        tell(thread, units),
        species.name,
        tell(service.wallboard, units),
        found.pounds_per_inch
    ));
    let words = found.basis.iter().filter(|says| says.as_str() != NO_ENGINEER);
    assumptions.extend(words.cloned());
    Ok(found.newtons)
}
