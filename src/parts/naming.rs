//! Names of parts: ids that are safe in file names and stay when a board is added elsewhere, and short marks for labels.

use std::collections::{BTreeMap, BTreeSet};

use crate::boards::Boards;
use crate::parts::Part;

/// Gives every part its id, mark and name. Parts come in the order of their first boards, which is that of the spec.
pub(super) fn name(parts: &mut [Part], boards: &Boards) {
    let home = |part: &Part| part.boards.first().and_then(|id| boards.boards.get(id.0));
    // How many different parts each entry of an assembly yields.
    let mut of_entry: BTreeMap<(usize, String), usize> = BTreeMap::new();
    for board in parts.iter().filter_map(home) {
        *of_entry.entry((board.assembly, board.entry.clone())).or_default() += 1;
    }
    let mut counted: BTreeMap<(usize, String), usize> = BTreeMap::new();
    let mut in_assembly: BTreeMap<usize, usize> = BTreeMap::new();
    let mut used: BTreeSet<String> = BTreeSet::new();
    for part in parts {
        let Some(board) = home(part) else { continue };
        let key = (board.assembly, board.entry.clone());
        let assembly = boards.job.assemblies.get(board.assembly).map_or("", |assembly| &assembly.name);
        let mut id = [safe(assembly), safe(&board.entry)]
            .into_iter()
            .filter(|word| !word.is_empty())
            .collect::<Vec<_>>()
            .join("-");
        let number = counted.entry(key.clone()).or_default();
        *number += 1;
        if of_entry.get(&key).is_some_and(|count| *count > 1) {
            id = format!("{id}-{number}");
        }
        // Two entries may differ only in what a file name cannot carry.
        let mut tried = id.clone();
        let mut again = 2;
        while used.contains(&tried) {
            tried = format!("{id}-again-{again}");
            again += 1;
        }
        used.insert(tried.clone());
        part.id = tried;
        let place = in_assembly.entry(board.assembly).or_default();
        *place += 1;
        part.mark = format!("{}{place}", letters(board.assembly));
        part.name = board.entry.replace(['_', '-'], " ");
    }
}

/// Only lower-case letters, digits and single hyphens, as every file system takes them.
fn safe(text: &str) -> String {
    let mut word = String::new();
    for letter in text.chars().flat_map(char::to_lowercase) {
        if letter.is_ascii_alphanumeric() {
            word.push(letter);
        } else if !word.ends_with('-') && !word.is_empty() {
            word.push('-');
        }
    }
    word.trim_end_matches('-').to_string()
}

/// A, B … Z, AA, AB …
fn letters(index: usize) -> String {
    let mut rest = index;
    let mut word = Vec::new();
    loop {
        word.push(char::from(b'A' + (rest % 26) as u8));
        if rest < 26 {
            break;
        }
        rest = rest / 26 - 1;
    }
    word.iter().rev().collect()
}
