//! Which part of the old state is which of the new: by what its boards are called in the spec, and where a name is gone, by
//! being the same piece.

use super::feature::entry;
use super::pieces::same_wood;
use crate::parts::{Made, Part, PartId, same_piece};

/// A part of both states, or of one.
pub(super) type Pair = (Option<PartId>, Option<PartId>);

/// Every part of both states in one pair: those of the new state in their order, then those that are withdrawn.
pub(super) fn pairs(old: &Made, new: &Made) -> Vec<Pair> {
    let mut search =
        Search { old, new, free_old: (0..old.parts.len()).collect(), found: vec![None; new.parts.len()] };
    let same = |search: &Search, a: usize, b: usize| search.same(a, b);
    // Within one entry of the spec the number behind an id moves with its neighbours, so the same piece goes first.
    search.each(|s, a, b| s.old.parts[a].id == s.new.parts[b].id && same(s, a, b));
    search.each(|s, a, b| s.entries(a, b) && same(s, a, b));
    search.each(|s, a, b| s.old.parts[a].id == s.new.parts[b].id);
    search.most_alike();
    // A renamed part: the same piece of the same stock under another name.
    search.each(|s, a, b| s.assemblies(a, b) && same(s, a, b));
    search.each(same);
    let new_parts = search.found.iter().enumerate();
    let mut all: Vec<Pair> = new_parts.map(|(b, a)| (a.map(PartId), Some(PartId(b)))).collect();
    all.extend(search.free_old.iter().map(|a| (Some(PartId(*a)), None)));
    all
}

struct Search<'a> {
    old: &'a Made,
    new: &'a Made,
    free_old: Vec<usize>,
    found: Vec<Option<usize>>,
}

impl Search<'_> {
    /// Pairs every new part with the first old one that the rule takes.
    fn each(&mut self, takes: impl Fn(&Search, usize, usize) -> bool) {
        for b in 0..self.found.len() {
            if self.found[b].is_none()
                && let Some(place) = self.free_old.iter().position(|a| takes(self, *a, b))
            {
                self.found[b] = Some(self.free_old.remove(place));
            }
        }
    }

    /// Pairs what is left of each entry, those least unlike first.
    fn most_alike(&mut self) {
        let mut all: Vec<(i64, usize, usize)> = Vec::new();
        for b in (0..self.found.len()).filter(|b| self.found[*b].is_none()) {
            let of_entry = self.free_old.iter().filter(|a| self.entries(**a, b));
            all.extend(of_entry.map(|a| (unlike(&self.old.parts[*a], &self.new.parts[b]), b, *a)));
        }
        all.sort_unstable();
        for (_, b, a) in all {
            if self.found[b].is_none()
                && let Some(place) = self.free_old.iter().position(|free| *free == a)
            {
                self.found[b] = Some(self.free_old.remove(place));
            }
        }
    }

    fn same(&self, a: usize, b: usize) -> bool {
        let (one, other) = (&self.old.parts[a], &self.new.parts[b]);
        same_wood((self.old, one), (self.new, other)) && same_piece(one, other)
    }

    fn entries(&self, a: usize, b: usize) -> bool {
        called(self.old, a) == called(self.new, b)
    }

    fn assemblies(&self, a: usize, b: usize) -> bool {
        let assembly =
            |name: Option<String>| name.map(|n| n.split('.').next().unwrap_or_default().to_owned());
        assembly(called(self.old, a)) == assembly(called(self.new, b))
    }
}

/// `bench.divider`
fn called(made: &Made, part: usize) -> Option<String> {
    made.parts[part].boards.first().map(|board| entry(made, *board))
}

/// How far two parts are from being one, in units of length; a feature more or less counts as an inch.
fn unlike(one: &Part, other: &Part) -> i64 {
    let counts = |p: &Part| [p.cuts.len(), p.inside.len(), p.pockets.len(), p.holes.len() + p.bores.len()];
    let features: usize = counts(one).iter().zip(counts(other)).map(|(a, b)| a.abs_diff(b)).sum();
    let sizes = [(one.width, other.width), (one.height, other.height), (one.thick, other.thick)];
    let sizes: i64 = sizes.iter().map(|(a, b)| (*a - *b).abs().units()).fold(0, i64::saturating_add);
    sizes.saturating_add((features as i64).saturating_mul(2_032_000))
}
