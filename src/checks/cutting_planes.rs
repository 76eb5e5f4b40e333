//! Sections that are asked for where there is nothing to cut.

use crate::checks::say;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::parts::Made;
use crate::trade::{Axis, Side};

/// A plane that meets no board of its assembly.
pub(super) fn cuts_nothing(made: &Made, faults: &mut Faults) {
    for asked in &made.job.sheets.sections {
        let Some(assembly) = made.job.assemblies.get(asked.assembly) else { continue };
        let axis = asked.axis.index();
        let boards = || made.placed.iter().filter(|p| p.board.assembly == asked.assembly);
        let cut = |low: Length, high: Length| low < asked.at && asked.at < high;
        if boards().any(|p| cut(p.board.span[axis].low, p.board.span[axis].high)) {
            continue;
        }
        let ends = boards().map(|p| p.board.span[axis]);
        let Some((low, high)) = ends.map(|s| (s.low, s.high)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        else {
            continue;
        };
        // Told in the assembly's own measures, as the plane was.
        let own_of = |axis: Axis| axis.high().turned(assembly.turns);
        let own: Option<Side> = Axis::ALL.into_iter().map(own_of).find(|side| side.axis() == asked.axis);
        let word =
            Axis::ALL.into_iter().find(|axis| own_of(*axis).axis() == asked.axis).map_or(
                "",
                |axis| match axis {
                    Axis::Across => "across",
                    Axis::Deep => "deep",
                    Axis::Up => "up",
                },
            );
        let sign = own.map_or(1, Side::sign);
        let measure = |at: Length| (at - assembly.at[axis]) * sign;
        let (a, b) = (measure(low), measure(high));
        let (from, to) = (say(made, a.min(b)), say(made, a.max(b)));
        let message = format!(
            "the section of {} at `{word}` {} cuts no board; {} reaches from {from} to {to}",
            assembly.name,
            say(made, measure(asked.at)),
            assembly.name
        );
        faults.push(
            Diagnostic::error("section-cuts-nothing", asked.place, message)
                .propose(format!("write a place between {from} and {to} where there is wood")),
        );
    }
}
