//! Two states of a job in, what changed out: which part is which, what differs and by how much, and what it means for
//! pieces that are already cut. Knows no paper and no file; repairs nothing.

mod differ;
mod feature;
mod pair;
mod pieces;
mod told;
mod turn;
pub mod words;

pub use differ::{Bent, Difference, Overall};
pub use feature::{Feature, Kind, Measure};
pub use pieces::{Laid, Pieces};
pub use turn::Turn;

use crate::boards::HoleKind;
use crate::diagnose::{Diagnostic, Place};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::trade::Units;
use crate::values::Assembly;

/// What changed from one state of a job to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Changes {
    /// Of the new state; lengths are told in it.
    pub units: Units,
    pub old: Issue,
    pub new: Issue,
    /// The parts of the new state in their order, then those withdrawn.
    pub parts: Vec<Change>,
    /// Assemblies that stand elsewhere in the room, in the order of the new state.
    pub moved: Vec<Moved>,
}

/// An assembly of both states that stands elsewhere, or is turned another way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    pub assembly: String,
    /// Room position of its zero before and now: from the left, from the front, from the floor.
    pub at: ([Length; 3], [Length; 3]),
    /// Quarter turns to the left before and now.
    pub turns: (u8, u8),
}

/// Which state of the job it is, as its title block says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Issue {
    pub title: String,
    pub number: String,
    /// Empty where none is given.
    pub revision: String,
    pub date: String,
}

/// One part through the change.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Into [`Made::parts`] of the old state; `None` where the part is new.
    pub old: Option<PartId>,
    /// Of the new state; `None` where it is withdrawn.
    pub new: Option<PartId>,
    pub mark: String,
    pub name: String,
    pub id: String,
    /// Number of pieces before and after.
    pub quantity: (usize, usize),
    pub differences: Vec<Difference>,
    /// What a piece cut to the old part is worth to the new one; `None` where there is no old or no new part.
    pub pieces: Option<Pieces>,
    /// What they are worth after all, where only the thickness or holes for fixings stand against them.
    pub unless: Option<Unless>,
    /// Other pieces that the change leaves over and that this part can be made from.
    pub from: Option<Spare>,
}

/// What a look at the pieces themselves may show: then they are not lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unless {
    /// They measure the new thickness, as they do where the spec was put right by a caliper.
    pub measured: bool,
    /// Holes for fixings are not drilled yet.
    pub undrilled: bool,
    pub pieces: Pieces,
}

/// Pieces left over that serve for another part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spare {
    pub old: PartId,
    pub mark: String,
    pub name: String,
    pub count: usize,
    pub pieces: Pieces,
}

/// What has become of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    Unchanged,
    Changed,
    New,
    Withdrawn,
}

impl Change {
    pub fn fate(&self) -> Fate {
        match (self.old, self.new) {
            (Some(_), None) => Fate::Withdrawn,
            (None, _) => Fate::New,
            _ if self.differences.is_empty() => Fate::Unchanged,
            _ => Fate::Changed,
        }
    }

    /// Pieces that have to be made besides those that are of use.
    pub fn to_make(&self) -> usize {
        let (old, new) = self.quantity;
        if self.pieces.is_some_and(Pieces::are_of_use) { new.saturating_sub(old) } else { new }
    }

    /// Pieces that nothing needs any more, those that are lost included.
    pub fn left_over(&self) -> usize {
        let (old, new) = self.quantity;
        if self.pieces.is_some_and(Pieces::are_of_use) { old.saturating_sub(new) } else { old }
    }

    /// Whether a line of the new part at this position, across (0) or up (1), belongs to something that changed.
    pub fn is_changed_line(&self, axis: usize, at: Length) -> bool {
        differ::is_changed_line(&self.differences, axis, at)
    }

    /// What was done anew or differently: with its state before, where there was one.
    pub fn worked(&self) -> impl Iterator<Item = (Option<&Feature>, &Feature)> {
        self.differences.iter().filter_map(|difference| match difference {
            Difference::Work { old, new: Some(new) } => Some((old.as_ref(), new)),
            _ => None,
        })
    }
}

impl Changes {
    /// Whether all parts are what they were, and all assemblies stand where they stood.
    pub fn is_empty(&self) -> bool {
        self.moved.is_empty() && self.parts.iter().all(|change| change.fate() == Fate::Unchanged)
    }

    /// What became of a part of the new state.
    pub fn of(&self, part: PartId) -> Option<&Change> {
        self.parts.iter().find(|change| change.new == Some(part))
    }
}

/// Compares two states of a job, part by part.
pub fn compare(old: &Made, new: &Made) -> Changes {
    let issue = |made: &Made| {
        let titles = &made.job.titles;
        Issue {
            title: titles.title.clone(),
            number: titles.number.clone(),
            revision: titles.revision.clone(),
            date: titles.date.clone(),
        }
    };
    let mut parts: Vec<Change> =
        pair::pairs(old, new).into_iter().filter_map(|pair| change(old, new, pair)).collect();
    spares(old, new, &mut parts);
    Changes { units: new.job.units, old: issue(old), new: issue(new), parts, moved: moved(old, new) }
}

fn moved(old: &Made, new: &Made) -> Vec<Moved> {
    let pair = |now: &Assembly| {
        let then = old.job.assemblies.iter().find(|then| then.name == now.name)?;
        let moved = Moved {
            assembly: now.name.clone(),
            at: (then.at, now.at),
            turns: (then.turns % 4, now.turns % 4),
        };
        (moved.at.0 != moved.at.1 || moved.turns.0 != moved.turns.1).then_some(moved)
    };
    new.job.assemblies.iter().filter_map(pair).collect()
}

fn change(old: &Made, new: &Made, (a, b): (Option<PartId>, Option<PartId>)) -> Option<Change> {
    let one = a.and_then(|id| old.parts.get(id.0));
    let other = b.and_then(|id| new.parts.get(id.0));
    let shown = other.or(one)?;
    let mut change = Change {
        old: a,
        new: b,
        mark: shown.mark.clone(),
        name: shown.name.clone(),
        id: shown.id.clone(),
        quantity: (one.map_or(0, |p| p.quantity), other.map_or(0, |p| p.quantity)),
        differences: Vec::new(),
        pieces: None,
        unless: None,
        from: None,
    };
    if let (Some(one), Some(other)) = (one, other) {
        change.differences = differ::differences((old, one), (new, other));
        change.pieces = Some(pieces::judge((old, one), (new, other)));
        if change.pieces == Some(Pieces::Again) {
            change.unless = unless((old, one), (new, other));
        }
    }
    Some(change)
}

/// What a piece that is lost by the drawings is worth, if a look at it shows what the drawings cannot know.
fn unless(old: (&Made, &Part), new: (&Made, &Part)) -> Option<Unless> {
    let measured = old.1.thick != new.1.thick;
    [false, true].into_iter().find_map(|undrilled| {
        let mut piece = Part { thick: new.1.thick, ..old.1.clone() };
        if undrilled {
            piece.holes.retain(|hole| hole.why == HoleKind::Asked);
            piece.bores.clear();
        }
        let pieces = pieces::judge((old.0, &piece), new);
        pieces.are_of_use().then_some(Unless { measured, undrilled, pieces })
    })
}

/// Hands pieces that are left over to parts that must be made: each part takes from one kind of piece, the first that
/// serves.
fn spares(old: &Made, new: &Made, parts: &mut [Change]) {
    let mut pool: Vec<(PartId, usize)> =
        parts.iter().filter_map(|c| Some((c.old?, c.left_over()))).filter(|(_, count)| *count > 0).collect();
    for change in parts.iter_mut() {
        let needed = change.to_make();
        let Some(part) = change.new.and_then(|id| new.parts.get(id.0)) else { continue };
        if needed == 0 {
            continue;
        }
        for (id, count) in pool.iter_mut().filter(|(id, count)| *count > 0 && change.old != Some(*id)) {
            let Some(one) = old.parts.get(id.0) else { continue };
            let worth = pieces::judge((old, one), (new, part));
            if worth.are_of_use() {
                let count_taken = needed.min(*count);
                *count -= count_taken;
                change.from = Some(Spare {
                    old: *id,
                    mark: one.mark.clone(),
                    name: one.name.clone(),
                    count: count_taken,
                    pieces: worth,
                });
                break;
            }
        }
    }
}

/// A warning where parts changed under the same revision letter: two drawings of one part would then tell nobody which
/// of them is good. `place` is where the letter stands or belongs in the new spec.
pub fn letter_unchanged(changes: &Changes, place: Place) -> Option<Diagnostic> {
    if changes.is_empty() || changes.old.revision != changes.new.revision {
        return None;
    }
    let count = changes.parts.iter().filter(|c| c.fate() != Fate::Unchanged).count();
    let parts = match count {
        0 => "the place of an assembly has".to_owned(),
        1 => "one part has".to_owned(),
        count => format!("{count} parts have"),
    };
    let revision = &changes.new.revision;
    let message = if revision.is_empty() {
        format!("{parts} changed, but neither state of the job has a revision letter")
    } else {
        format!("{parts} changed, but the revision is still {revision}")
    };
    Some(
        Diagnostic::warning("revision-unchanged", place, message)
            .propose("write the next letter under job: revision"),
    )
}
