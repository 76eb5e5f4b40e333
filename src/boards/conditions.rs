//! Conditions of the spec held against the values, and the order of work with the boards it names.

use super::WorkStep;
use super::asked::{Named, boards_named};
use crate::diagnose::{Diagnostic, Severity};
use crate::spec::language::RequireSpec;
use crate::values::solver::{Scope, Solver};

/// Holds every `require` of the job and of its assemblies against the values.
pub fn required(solver: &mut Solver) {
    let spec = solver.spec;
    for require in &spec.require {
        hold(solver, require, Scope::JOB);
    }
    for (number, assembly) in spec.assemblies.iter().enumerate() {
        for require in &assembly.body.body.require {
            hold(solver, require, Scope::of(number));
        }
    }
}

fn hold(solver: &mut Solver, require: &RequireSpec, scope: Scope) {
    let holds = solver.truth(&require.that, scope);
    // The sentence is filled even where the condition holds, so that a slip in it is found before it is needed.
    let said = solver.sentence(&require.r#else, scope);
    if let (Some(false), Some(said)) = (holds, said) {
        let severity = match require.warn {
            Some(warn) if warn.on => Severity::Warning,
            _ => Severity::Error,
        };
        let fault = Diagnostic::error("require", require.that.place, said)
            .propose(format!("change a size so that {} holds", require.that.text.trim()));
        solver.faults.push(Diagnostic { severity, ..fault });
    }
}

/// The order of work of an assembly.
pub fn steps(solver: &mut Solver, assembly: usize, named: &Named) -> Vec<WorkStep> {
    let body = &solver.assembly(assembly).body;
    let mut steps = Vec::new();
    for step in &body.steps {
        let mut boards = Vec::new();
        for words in &step.parts.0 {
            boards.extend(boards_named(solver, assembly, words, named).unwrap_or_default());
        }
        steps.push(WorkStep {
            assembly,
            text: step.r#do.text.clone(),
            boards,
            stop: step.stop.as_ref().map(|stop| stop.text.clone()),
            place: step.place,
        });
    }
    steps
}
