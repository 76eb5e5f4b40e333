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

impl Hanging {
    /// What part of its value the screw that is pulled hardest is loaded with, pull and downward load taken together; above 1 is
    /// too much. `None` where one of the figures is wanting.
    pub fn together(&self) -> Option<f64> {
        match (&self.pull, &self.allowed, &self.lateral) {
            (Ok(pull), Ok(allowed), Ok(lateral)) => Some(together((*pull, *allowed), (self.shear, *lateral))),
            _ => None,
        }
    }
}

/// Load over value of a wood screw that is pulled and pushed aside at once, each given with its own value: NDS 2018 Eq. 12.4-1 (from
/// memory), Z_α = W·Z / (W·cos²α + Z·sin²α), turned round with the load R = √(pull² + shear²), R·sin α = pull and R·cos α = shear.
fn together((pull, allowed): (f64, f64), (shear, lateral): (f64, f64)) -> f64 {
    let load = libm::sqrt(pull * pull + shear * shear);
    if load > 0.0 { (shear * shear / lateral + pull * pull / allowed) / load } else { 0.0 }
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
            "every screw bears the same share of what goes down, {}; pull and downward load are taken together by NDS 2018 Eq. 12.4-1 (from memory)",
            force(shear, made.job.units)
        ));
    }
    assumptions.push("what the wall itself bears is for the local code".to_owned());
    assumptions.push(NO_ENGINEER.to_owned());
    let good = |length: Length| {
        let Ok(held) = withdrawal(made, hardest, length) else { return false };
        let pull = pull.as_ref().map_or(0.0, |pull| *pull);
        // Where only the wood in front is unknown, the pull alone decides.
        pull <= held.newtons
            && screws.iter().all(|screw| match sideways(made, screw, length) {
                Ok(found) => together((pull, held.newtons), (shear, found.newtons)) <= 1.0,
                Err(why) => !matches!(why, Wanting::TooShort { .. }),
            })
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

#[cfg(test)]
mod tests {
    use super::*;

    /// NDS 2018 Eq. 12.4-1 (from memory) as it stands: W·p = 100, Z = 50, a load of 60 at 30° to the surface of the wood:
    /// Z_α = 100 × 50 / (100 × 0.75 + 50 × 0.25) = 57.14. Alone either load is what its own value makes of it.
    #[test]
    fn pull_and_push_are_taken_together() {
        let (pull, shear) = (60.0 * 0.5, 60.0 * 3f64.sqrt() / 2.0);
        let found = together((pull, 100.0), (shear, 50.0));
        assert!((found - 60.0 / 57.142_857).abs() < 1e-6, "{found}");
        assert!((together((30.0, 100.0), (0.0, 50.0)) - 0.3).abs() < 1e-12);
        assert!((together((0.0, 100.0), (40.0, 50.0)) - 0.8).abs() < 1e-12);
    }
}
