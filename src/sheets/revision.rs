//! What a set says of its revision: the sign behind every figure that changed, which sheets are others than before, and
//! the tables of the cover. What changed was worked out in `revise`; here it only finds its place on paper.

use std::collections::BTreeSet;

use super::dimension::plan;
use super::drawn::{Along, Plan, Size, What};
use super::sheet::Draft;
use crate::diagnose::Diagnostic;
use crate::drawing::revision::suffix;
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::{Group, Mark};
use crate::length::Length;
use crate::parts::{Made, PartId};
use crate::plans::Plans;
use crate::revise::words::{consequences, revision, short, told, went};
use crate::revise::{Change, Changes, Difference, Fate, Kind, Measure, Overall};

/// Height of the lettering in the tables.
const TEXT: f64 = 2.5;

/// The state that a set supersedes.
#[derive(Clone, Copy, Debug)]
pub struct Since<'a> {
    pub old: &'a Made,
    /// Plans of the earlier state.
    pub plans: &'a Plans,
    /// What was found in it.
    pub diagnostics: &'a [Diagnostic],
    pub changes: &'a Changes,
}

/// What one part's sheet says of its revision.
#[derive(Clone, Debug, Default)]
pub struct Revised {
    /// Triangle and letter, to stand behind a figure.
    pub sign: String,
    pub is_new: bool,
    /// Everything that differs, in words; what was left out can be said in no other way.
    pub told: Vec<String>,
    /// Kind and index of what is worked anew or differently.
    works: BTreeSet<(Kind, usize)>,
    quantity: bool,
}

impl Revised {
    /// The sign, where this cut, recess, edge or bevel changed.
    pub fn beside(&self, kind: Kind, index: usize) -> &str {
        if self.works.contains(&(kind, index)) { &self.sign } else { "" }
    }

    /// The sign, where the number of pieces changed.
    pub fn beside_quantity(&self) -> &str {
        if self.quantity { &self.sign } else { "" }
    }
}

impl Since<'_> {
    /// The sign of the new revision.
    pub fn sign(&self) -> String {
        suffix(&self.changes.new.revision)
    }

    /// What a part's sheet has to say; `None` where nothing changed. Marks the dimensions of its plan.
    pub fn revise(&self, id: PartId, plan_of: &mut Plan) -> Option<Revised> {
        let change = self.changes.of(id)?;
        let sign = self.sign();
        let revised = match change.fate() {
            Fate::Unchanged | Fate::Withdrawn => return None,
            Fate::New => {
                Revised { sign, is_new: true, told: vec!["new part".to_owned()], ..Revised::default() }
            }
            Fate::Changed => Revised {
                sign,
                told: told(change, self.changes.units),
                works: change.worked().map(|(_, new)| (new.kind, new.index)).collect(),
                quantity: change.differences.iter().any(|d| matches!(d, Difference::Quantity { .. })),
                ..Revised::default()
            },
        };
        if let (Fate::Changed, Some(old)) =
            (change.fate(), change.old.and_then(|id| self.old.parts.get(id.0)))
        {
            self.mark(change, &plan(old, &self.old.job), plan_of);
        }
        Some(revised)
    }

    /// Puts the sign behind every figure that gives something changed.
    fn mark(&self, change: &Change, old: &Plan, plan_of: &mut Plan) {
        let kinds: (Vec<usize>, Vec<usize>) = (
            plan_of.drawn.holes.iter().map(|hole| hole.kind).collect(),
            plan_of.drawn.bores.iter().map(|bore| bore.kind).collect(),
        );
        let sign = self.sign();
        for dimension in &mut plan_of.dimensions {
            if is_changed(change, old, &kinds, dimension.what, dimension.size) {
                dimension.changed.clone_from(&sign);
            }
        }
    }
}

/// Whether a dimension gives something that changed: a line that moved, or a size that the drawing did not have.
fn is_changed(change: &Change, old: &Plan, kinds: &(Vec<usize>, Vec<usize>), what: What, size: Size) -> bool {
    let works = |kind: Kind, index: usize, measure: &[Measure]| {
        change.worked().any(|(was, now)| {
            let differs = |m: &Measure| was.is_none_or(|was| differs(was.size(*m), now.size(*m)));
            now.kind == kind && now.index == index && measure.iter().any(differs)
        })
    };
    let recess = |index: usize| {
        change.worked().any(|(was, now)| {
            let deep = was.is_none_or(|was| differs(was.size(Measure::Depth), now.size(Measure::Depth)));
            matches!(now.kind, Kind::Recess(_)) && now.index == index && deep
        })
    };
    let moved = |kind: Kind, index: usize, along: Along| {
        change.worked().any(|(was, now)| {
            let pick = |at: crate::shape::Point| if along == Along::Across { at.x } else { at.y };
            let elsewhere = was.is_none_or(|was| differs(Some(pick(was.at)), Some(pick(now.at))));
            now.kind == kind && now.index == index && elsewhere
        })
    };
    // A size by the number of a note or of a kind of hole, which moves with its neighbours: known, or new.
    let unknown = || !old.dimensions.iter().any(|d| same_kind(d.what, what) && same_size(d.size, size));
    let of_kind = |all: &[usize], kind: usize, number: Kind, measure: &[Measure]| {
        unknown()
            || all.iter().enumerate().any(|(i, k)| *k == kind && worked_over(change, number, i, measure))
    };
    match what {
        What::Running(along, _) => match size {
            Size::Length(at) => change.is_changed_line(along as usize, at) || unknown(),
            Size::Angle(_) => false,
        },
        What::Thickness => {
            change.differences.iter().any(|d| matches!(d, Difference::Size { of: Overall::Thickness, .. }))
        }
        What::Radius(_) | What::Rise(_) | What::Round(_) => unknown(),
        What::Depth(index) => recess(index),
        What::HoleDiameter(kind) => of_kind(&kinds.0, kind, Kind::Hole, &[Measure::Diameter]),
        What::HoleDepth(kind) => of_kind(&kinds.0, kind, Kind::Hole, &[Measure::Depth]),
        What::Countersink(kind) => of_kind(&kinds.0, kind, Kind::Hole, &[Measure::Countersink]),
        What::SlotLength(kind) => of_kind(&kinds.0, kind, Kind::Hole, &[Measure::Slot]),
        What::HoleAt(along, index) => moved(Kind::Hole, index, along),
        What::BoreAt(along, index) => moved(Kind::Bore, index, along),
        What::BoreDiameter(kind) => of_kind(&kinds.1, kind, Kind::Bore, &[Measure::Diameter]),
        What::BoreAngle(_) => unknown(),
        What::BoreDepth(kind) => of_kind(&kinds.1, kind, Kind::Bore, &[Measure::Reach]),
        What::BoreExit(kind) => of_kind(&kinds.1, kind, Kind::Bore, &[Measure::Exit]),
        What::EdgeAlong(index) => works(Kind::Edge, index, &[Measure::AlongFace]),
        What::EdgeDown(index) => works(Kind::Edge, index, &[Measure::DownEdge]),
        What::Scribe(index) => works(Kind::Edge, index, &[Measure::Scribe]),
        What::BevelAngle(index) => works(Kind::Bevel, index, &[Measure::AlongFace]),
    }
}

/// Whether one that was there before has another size now.
fn worked_over(change: &Change, kind: Kind, index: usize, measure: &[Measure]) -> bool {
    change.worked().any(|(was, now)| {
        let other = |m: &Measure| was.is_some_and(|was| differs(was.size(*m), now.size(*m)));
        now.kind == kind && now.index == index && measure.iter().any(other)
    })
}

fn differs(old: Option<Length>, new: Option<Length>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => (old - new).abs() > Length::TOUCH,
        (old, new) => old.is_some() != new.is_some(),
    }
}

fn same_size(one: Size, other: Size) -> bool {
    match (one, other) {
        (Size::Length(a), Size::Length(b)) => (a - b).abs() <= Length::TOUCH,
        (Size::Angle(a), Size::Angle(b)) => (a - b).abs() < 0.005,
        _ => false,
    }
}

/// The same kind of size, whatever its number; running dimensions of the same direction.
fn same_kind(one: What, other: What) -> bool {
    match (one, other) {
        (What::Running(a, _), What::Running(b, _)) => a == b,
        (one, other) => std::mem::discriminant(&one) == std::mem::discriminant(&other),
    }
}

/// Marks the drafts that are others than those of the old set, and gives the tables of the cover.
pub fn compare_sets(since: &Since, drafts: &mut [Draft], old_drafts: &[Draft]) -> Vec<Table> {
    let letter = &since.changes.new.revision;
    let mut gone: Vec<(String, String)> = Vec::new();
    let mut kept = vec![false; old_drafts.len()];
    for draft in drafts.iter_mut() {
        let former = old_drafts.iter().position(|old| is_former(since, old, draft));
        let same = former.is_some_and(|at| draws_the_same(&old_drafts[at], draft));
        if let (Some(at), true) = (former, same) {
            kept[at] = true;
        } else {
            draft.changed = Some(letter.clone());
        }
    }
    for (old, _) in old_drafts.iter().zip(&kept).filter(|(_, kept)| !**kept) {
        let next = drafts.iter().filter(|draft| is_former(since, old, draft));
        let next: Vec<&str> = next.map(|draft| draft.title.as_str()).collect();
        let why = match next.as_slice() {
            [] => "withdrawn".to_owned(),
            [title] if *title == old.title => "superseded".to_owned(),
            titles => format!("superseded by {}", titles.join("; ")),
        };
        gone.push((format!("{}, {}", old.title, old.kind.to_lowercase()), why));
    }
    tables(since, gone)
}

/// Whether an old sheet is one that a new sheet stands for: of drawings of parts, one that shows a part of it.
fn is_former(since: &Since, old: &Draft, new: &Draft) -> bool {
    if old.parts.is_empty() && new.parts.is_empty() {
        return old.name == new.name;
    }
    let was = |part: PartId| since.changes.of(part).and_then(|change| change.old);
    new.parts.iter().any(|now| old.parts.iter().any(|then| was(now.part) == Some(then.part)))
}

/// Whether two sheets show the same, wherever in the set their links lead.
fn draws_the_same(old: &Draft, new: &Draft) -> bool {
    let marks = |group: &Group| -> Vec<Mark> {
        group.marks.iter().filter(|mark| !matches!(mark, Mark::Link { .. })).cloned().collect()
    };
    old.title == new.title
        && old.scale == new.scale
        && old.groups.len() == new.groups.len()
        && old.groups.iter().zip(&new.groups).all(|(a, b)| a.layer == b.layer && marks(a) == marks(b))
}

fn tables(since: &Since, gone: Vec<(String, String)>) -> Vec<Table> {
    let changes = since.changes;
    let table = |title: String, columns: &[&str], rows: Vec<Vec<Cell>>| Table {
        title,
        columns: columns.iter().map(|c| Column::words(*c)).collect(),
        rows,
        height: TEXT,
    };
    let issue = |issue: &crate::revise::Issue, what: String| -> Vec<Cell> {
        vec![Cell::bold(issue.revision.clone()), issue.date.clone().into(), what.into()]
    };
    let mut all = vec![table(
        "REVISIONS".into(),
        &["REV.", "DATE", "WHAT CHANGED"],
        vec![issue(&changes.old, "superseded".into()), issue(&changes.new, short(changes))],
    )];
    if !changes.moved.is_empty() {
        let rows = changes.moved.iter();
        let rows =
            rows.map(|moved| vec![Cell::bold(moved.assembly.clone()), went(moved, changes.units).into()]);
        let title = format!("MOVED IN THE ROOM SINCE {}", revision(&changes.old).to_uppercase());
        all.push(table(title, &["ASSEMBLY", "ITS ZERO"], rows.collect()));
    }
    let changed = changes.parts.iter().filter(|c| matches!(c.fate(), Fate::Changed | Fate::New));
    let rows: Vec<Vec<Cell>> = changed
        .map(|change| {
            let what = if change.fate() == Fate::New {
                "new part".to_owned()
            } else {
                told(change, changes.units).join("; ")
            };
            let pieces = consequences(change, changes.units).join("; ");
            vec![Cell::bold(change.mark.clone()), change.name.clone().into(), what.into(), pieces.into()]
        })
        .collect();
    if !rows.is_empty() {
        let title = format!("PARTS CHANGED SINCE {}", revision(&changes.old).to_uppercase());
        all.push(table(title, &["", "PART", "WHAT CHANGED", "PIECES ALREADY CUT"], rows));
    }
    let parts = changes.parts.iter().filter(|change| change.fate() == Fate::Withdrawn).map(|change| {
        let what = format!("part {} {}: its drawing, template and cutting file", change.mark, change.name);
        (what, consequences(change, changes.units).join("; "))
    });
    let rows: Vec<Vec<Cell>> = parts.chain(gone).map(|(what, why)| vec![what.into(), why.into()]).collect();
    if !rows.is_empty() {
        let title = format!("WITHDRAWN: DESTROY ALL COPIES ({})", revision(&changes.old));
        all.push(table(title, &["WHAT", "WHY"], rows));
    }
    all
}
