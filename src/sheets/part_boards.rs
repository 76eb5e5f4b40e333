//! Which boards a part is, in words, and what is noted at their joints.

use super::part_words::Words;
use crate::boards::{BoardId, Other};

impl Words<'_> {
    /// What is written beside the joints of this part's boards, each text once; where it concerns only some of them, which.
    pub(super) fn joint_notes(&self) -> Vec<String> {
        let mut told: Vec<(&String, String, Vec<BoardId>)> = Vec::new();
        for joint in &self.made.joints {
            let Some(note) = &joint.note else { continue };
            let own = |id: BoardId| self.part.boards.contains(&id);
            let (board, other) = match joint.second {
                Other::Board(id) if own(joint.first) => (joint.first, self.board(id)),
                Other::Board(id) if own(id) => (id, self.board(joint.first)),
                Other::Wall if own(joint.first) => (joint.first, "the wall"),
                Other::Floor if own(joint.first) => (joint.first, "the floor"),
                _ => continue,
            };
            match told.iter_mut().find(|(known, _, _)| *known == note) {
                Some((_, _, boards)) => boards.push(board),
                None => told.push((note, format!("{} with {other}", joint.verb.word()), vec![board])),
            }
        }
        let all_of_them = |boards: &[BoardId]| self.part.boards.iter().all(|id| boards.contains(id));
        let line = |(note, what, boards): (&String, String, Vec<BoardId>)| match all_of_them(&boards) {
            true => format!("{what}: {note}"),
            false => {
                let names: Vec<&str> = boards.iter().map(|id| self.board(*id)).collect();
                format!("{} only, {what}: {note}", names.join(", "))
            }
        };
        told.into_iter().map(line).collect()
    }

    /// Runs of one entry are told together: `bench.divider[1] to [4]`.
    pub(super) fn boards(&self) -> String {
        let mut runs: Vec<(String, Vec<u32>)> = Vec::new();
        for id in &self.part.boards {
            let Some(placed) = self.made.placed.get(id.0) else { continue };
            let name = placed.board.name.split('[').next().unwrap_or_default().to_owned();
            match (runs.last_mut(), placed.board.index) {
                (Some((last, numbers)), Some(index)) if *last == name && !numbers.is_empty() => {
                    numbers.push(index)
                }
                (_, index) => runs.push((name, index.into_iter().collect())),
            }
        }
        let told = runs.iter().map(|(name, numbers)| match numbers.as_slice() {
            [] => name.clone(),
            [one] => format!("{name}[{one}]"),
            [first, .., last] if (last - first) as usize + 1 == numbers.len() => {
                format!("{name}[{first}] to [{last}]")
            }
            all => {
                let each: Vec<_> = all.iter().map(|n| format!("{name}[{n}]")).collect();
                each.join(", ")
            }
        });
        told.collect::<Vec<_>>().join(", ")
    }
}
