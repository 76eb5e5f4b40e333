//! Runs that are joined from several sticks: where the joints come.

use super::table::looked_for;
use super::{Row, say};
use crate::diagnose::Severity::Warning;
use crate::diagnose::{Diagnostic, Faults};
use crate::parts::Made;
use crate::trade::Grain;

/// What can be found here.
pub(super) const RUNS: [Row; 1] = [looked_for(
    "run-joined",
    Warning,
    joined,
    "A run is longer than the longest stick of its stock, which says `joined: scarf`. It is made of the fewest equal pieces, and every joint is seen: it wants wood behind it, glue and fixings, and no cut through it.",
    "Look where each joint comes in the house, and take longer sticks or move the run if one is in the way.",
)];

fn joined(made: &Made, faults: &mut Faults) {
    for part in &made.parts {
        let (Some(run), Some(stock)) = (made.run(part), made.job.stock.get(part.stock)) else { continue };
        let first = part.boards.first().and_then(|id| made.placed.get(id.0));
        let name = first.map_or(part.id.clone(), |placed| placed.board.name.clone());
        let at: Vec<String> = run
            .laps
            .iter()
            .map(|from| format!("{} to {}", say(made, *from), say(made, *from + run.lap)))
            .collect();
        let end = if part.grain == Grain::AlongV { "lower" } else { "left" };
        let mut message = format!(
            "{name}, {} long, is joined from {} pieces of {}: scarfs at {} from its {end} end as drawn",
            say(made, part.blank().0),
            run.pieces,
            say(made, run.length),
            at.join(", ")
        );
        for lap in run.in_the_way.iter().filter_map(|index| at.get(*index)) {
            message += &format!("; the one at {lap} meets a cut or a hole");
        }
        let mut fault =
            Diagnostic::warning("run-joined", part.place, message).also(stock.place, stock.name.clone());
        if run.spare.is_positive() {
            fault = fault.propose(format!(
                "land each joint on a stud: a piece can be up to {} longer, and its neighbour as much shorter",
                say(made, run.spare)
            ));
        }
        faults.push(fault.propose("take longer sticks, if the joints cannot be where they come"));
    }
}
