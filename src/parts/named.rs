//! Parts by the names that people call them.

use std::collections::BTreeSet;

use super::{Made, PartId};
use crate::boards::Board;
use crate::diagnose::nearest;

/// A name of no part, or of parts of several assemblies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unnamed {
    pub message: String,
    pub cure: String,
}

/// Parts by name: `bench.divider` (all parts that its boards are), `bench.divider[2]`, `divider` where only one assembly has it,
/// the id `bench-divider`, or the mark `B3`.
///
/// # Errors
/// For names of no part, and of parts of several assemblies.
pub fn named(made: &Made, name: &str) -> Result<Vec<PartId>, Unnamed> {
    let by_part =
        made.parts.iter().position(|part| part.id == name || (part.mark == name && !name.is_empty()));
    if let Some(index) = by_part {
        return Ok(vec![PartId(index)]);
    }
    // A run of boards goes by the name before its number; it may be more than one part.
    let whole = |board: &Board| board.name == name || board.name.split('[').next() == Some(name);
    let mut found: Vec<(usize, PartId)> =
        made.placed.iter().filter(|p| whole(&p.board)).map(|p| (p.board.assembly, p.part)).collect();
    if found.is_empty() {
        found = made
            .placed
            .iter()
            .filter(|p| p.board.entry == name)
            .map(|p| (p.board.assembly, p.part))
            .collect();
    }
    let assemblies: BTreeSet<usize> = found.iter().map(|(assembly, _)| *assembly).collect();
    if assemblies.len() > 1 {
        let named = assemblies.iter().filter_map(|index| made.job.assemblies.get(*index));
        let full: Vec<String> = named.map(|assembly| format!("{}.{name}", assembly.name)).collect();
        return Err(Unnamed {
            message: format!("`{name}` is a part of {} assemblies", assemblies.len()),
            cure: format!("say which: {}", full.join(" or ")),
        });
    }
    let parts: BTreeSet<PartId> = found.into_iter().map(|(_, part)| part).collect();
    if !parts.is_empty() {
        return Ok(parts.into_iter().collect());
    }
    let boards = made.placed.iter().map(|placed| placed.board.name.as_str());
    let known = made.parts.iter().map(|part| part.id.as_str()).chain(boards);
    let cure = match nearest(name, known) {
        Some(near) => format!("the nearest is `{near}`"),
        None => "name a part as formulas do, such as bench.divider".to_owned(),
    };
    Err(Unnamed { message: format!("there is no part `{name}`"), cure })
}
