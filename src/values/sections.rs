//! Sections through assemblies as asked, from the spec into values: each a plane of the room.

use super::solver::{Scope, Solver};
use super::{Assembly, SectionAsked};
use crate::diagnose::{Diagnostic, nearest};
use crate::spec::language::SectionSpec;
use crate::trade::Axis;

/// The planes asked for; one that cannot be worked out is told and left out.
pub fn sections(solver: &mut Solver, assemblies: &[Assembly]) -> Vec<SectionAsked> {
    let Some(sheets) = &solver.spec.sheets else { return Vec::new() };
    sheets.sections.iter().filter_map(|asked| one(solver, asked, assemblies)).collect()
}

fn one(solver: &mut Solver, asked: &SectionSpec, assemblies: &[Assembly]) -> Option<SectionAsked> {
    let number = which(solver, asked, assemblies)?;
    let given = [(Axis::Across, &asked.across), (Axis::Deep, &asked.deep), (Axis::Up, &asked.up)];
    let given: Vec<_> =
        given.into_iter().filter_map(|(axis, formula)| Some((axis, formula.as_ref()?))).collect();
    let [(axis, formula)] = given[..] else {
        let message = format!(
            "a section lies at one of `across`, `deep` and `up`, but {} given",
            match given.len() {
                0 => "none is".to_owned(),
                many => format!("{many} are"),
            }
        );
        let fault = Diagnostic::error("section-plane", asked.place, message);
        solver
            .faults
            .push(fault.propose("write one of them, as in `across: 12\"`; a second plane is a second entry"));
        return None;
    };
    let own = solver.length(formula, Scope::of(number))?;
    let assembly = assemblies.get(number)?;
    let side = axis.high().turned(assembly.turns);
    let room = side.axis();
    let at = assembly.at[room.index()] + own * side.sign();
    Some(SectionAsked { assembly: number, axis: room, at, place: formula.place })
}

fn which(solver: &mut Solver, asked: &SectionSpec, assemblies: &[Assembly]) -> Option<usize> {
    let names = || assemblies.iter().map(|a| a.name.as_str());
    let Some(of) = &asked.of else {
        if assemblies.len() == 1 {
            return Some(0);
        }
        let listed: Vec<&str> = names().collect();
        let message = format!("there are {} assemblies; a section must say which it cuts", assemblies.len());
        solver.faults.push(
            Diagnostic::error("section-plane", asked.place, message)
                .propose(format!("add `of:` with one of {}", listed.join(", "))),
        );
        return None;
    };
    let found = names().position(|name| name == of.text);
    if found.is_none() {
        let fault =
            Diagnostic::error("unknown-name", of.place, format!("there is no assembly `{}`", of.text));
        solver.faults.push(match nearest(&of.text, names()) {
            Some(near) => fault.replace(of.place, near, format!("`{near}` is the nearest")),
            None => fault.propose("name one of the assemblies"),
        });
    }
    found
}
