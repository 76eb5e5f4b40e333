//! Which boards meet, and how: apart, touching or overlapping, by their exact intervals. Finds for every pair that a joint
//! line names whether there is anything to join.

use std::collections::{BTreeMap, BTreeSet};

use crate::boards::{Asked, Board, BoardId, Boards, Other, Verb};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::joints::work::Work;
use crate::length::notation::tell;
use crate::length::{Interval, Length};
use crate::trade::{Axis, Side, Units};
use crate::values::Job;

/// Boards of one line that face each other closer than this were meant to touch, although each of them also meets another
/// board of the line: 1/8", the widest gap that a joiner would still try to close.
const NEAR_MISS: Length = Length::from_units(2_032_000 / 8);

/// How two boards lie to each other before any joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meeting {
    /// They share this box.
    Overlap([Interval; 3]),
    /// They touch on this side of the first.
    Touch(Side),
    /// There is air between this side of the first and the second; `facing` where the two look at each other.
    Apart { side: Side, gap: Length, facing: bool },
}

/// How `one` lies to `other`. Closer than [`Length::TOUCH`] counts as touching.
pub(super) fn meeting(one: &Board, other: &Board) -> Meeting {
    // Air along each axis; negative where the intervals overlap.
    let air = Axis::ALL.map(|axis| {
        let (a, b) = (one.span[axis.index()], other.span[axis.index()]);
        let low_side = a.low - b.high;
        let high_side = b.low - a.high;
        if low_side > high_side { (low_side, axis.low()) } else { (high_side, axis.high()) }
    });
    let widest = air.iter().copied().max_by_key(|(gap, _)| *gap).unwrap_or((Length::ZERO, Side::Left));
    let overlapping = air.iter().filter(|(gap, _)| *gap < -Length::TOUCH).count();
    if overlapping == 3 {
        let shared = |axis: Axis| {
            let (a, b) = (one.span[axis.index()], other.span[axis.index()]);
            Interval { low: a.low.max(b.low), high: a.high.min(b.high) }
        };
        return Meeting::Overlap(Axis::ALL.map(shared));
    }
    if overlapping == 2 && widest.0 <= Length::TOUCH {
        return Meeting::Touch(widest.1);
    }
    Meeting::Apart { side: widest.1, gap: widest.0.max(Length::ZERO), facing: overlapping == 2 }
}

/// A pair that a line asked for and that does meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Matched<'a> {
    pub asked: &'a Asked,
    /// `None` where the second is the wall or the floor.
    pub meeting: Option<Meeting>,
}

/// All pairs with something to join, in the order of the spec. A pair that was asked for and does not meet is a fault,
/// unless its line names several boards and both meet another of them.
pub(super) fn matched<'a>(boards: &'a Boards, faults: &mut Faults) -> Vec<Matched<'a>> {
    let mut found = Vec::new();
    let mut lines: BTreeMap<(Place, Verb), Line> = BTreeMap::new();
    let mut joined: BTreeMap<(BoardId, BoardId), &Asked> = BTreeMap::new();
    for asked in &boards.asked {
        let Other::Board(second) = asked.second else {
            found.push(Matched { asked, meeting: None });
            continue;
        };
        let line = lines.entry((asked.place, asked.joint)).or_default();
        let meeting = meeting(&boards.boards[asked.first.0], &boards.boards[second.0]);
        let meets = match meeting {
            Meeting::Overlap(_) => true,
            Meeting::Touch(_) => asked.joint == Verb::Butt,
            Meeting::Apart { .. } => false,
        };
        line.note(asked, second, meeting, meets);
        if !meets {
            continue;
        }
        let pair = (asked.first.min(second), asked.first.max(second));
        match joined.get(&pair) {
            // Two butts of one pair are two ways of fixing it: glue from one line, screws from another.
            Some(before) if before.joint != Verb::Butt || asked.joint != Verb::Butt => {
                faults.push(joined_twice(boards, asked, before));
                continue;
            }
            Some(_) => {}
            None => {
                joined.insert(pair, asked);
            }
        }
        found.push(Matched { asked, meeting: Some(meeting) });
    }
    for line in lines.values() {
        line.report(boards, faults);
    }
    found
}

/// What became of the pairs that one line of the spec names.
#[derive(Default)]
struct Line<'a> {
    met: Vec<BoardId>,
    missed: Vec<(&'a Asked, BoardId, Meeting)>,
}

impl<'a> Line<'a> {
    fn note(&mut self, asked: &'a Asked, second: BoardId, meeting: Meeting, meets: bool) {
        if meets {
            self.met.extend([asked.first, second]);
        } else {
            self.missed.push((asked, second, meeting));
        }
    }

    fn report(&self, boards: &Boards, faults: &mut Faults) {
        let met: BTreeSet<BoardId> = self.met.iter().copied().collect();
        let mut told = BTreeSet::new();
        // The nearest miss first, so that it is the one that is told.
        let mut missed: Vec<_> = self.missed.iter().collect();
        missed.sort_by_key(|(asked, second, meeting)| (nearness(meeting), asked.first, *second));
        for (asked, second, meeting) in missed {
            let lonely =
                [asked.first, *second].into_iter().find(|id| !met.contains(id) && !told.contains(id));
            let near = matches!(meeting, Meeting::Apart { gap, facing: true, .. } if *gap <= NEAR_MISS)
                && asked.joint == Verb::Butt;
            if asked.one_of_many && lonely.is_none() && !near {
                continue;
            }
            told.extend([asked.first, *second].into_iter().filter(|id| !met.contains(id)));
            faults.push(does_not_meet(boards, asked, *second, meeting));
        }
    }
}

fn nearness(meeting: &Meeting) -> (bool, Length) {
    match meeting {
        Meeting::Apart { gap, facing, .. } => (!facing, *gap),
        Meeting::Touch(_) | Meeting::Overlap(_) => (false, Length::ZERO),
    }
}

fn does_not_meet(boards: &Boards, asked: &Asked, second: BoardId, meeting: &Meeting) -> Diagnostic {
    let (one, other) = (&boards.boards[asked.first.0], &boards.boards[second.0]);
    let (job, units) = (&boards.job, boards.job.units);
    let own = |side: Side| own_side(job, one, side).word();
    let fault = match *meeting {
        Meeting::Apart { side, gap, facing: true } if gap > Length::TOUCH => {
            let size = tell(gap, units);
            let name = if asked.joint == Verb::Butt { "gap-at-butt" } else { "joint-does-not-meet" };
            let message = format!(
                "{} and {} do not meet: there is a gap of {size} between the {} of {} and the {} of {}",
                one.name,
                other.name,
                own(side),
                one.name,
                own_side(job, other, side.opposite()).word(),
                other.name
            );
            let cure = if asked.joint == Verb::Butt {
                format!(
                    "move the {} of {} by {size}, to {}",
                    own(side),
                    one.name,
                    reach(job, one, side, gap, units)
                )
            } else {
                format!("let {} reach into {}: it is {size} short", one.name, other.name)
            };
            Diagnostic::error(name, asked.place, message).propose(cure)
        }
        Meeting::Apart { side, gap, .. } => {
            let message = if gap > Length::TOUCH {
                format!(
                    "{} and {} do not meet: {} lies {} beyond the {} of {}, and they do not face each other",
                    one.name,
                    other.name,
                    other.name,
                    tell(gap, units),
                    own(side),
                    one.name
                )
            } else {
                format!("{} and {} meet in an edge or a corner only", one.name, other.name)
            };
            Diagnostic::error("joint-does-not-meet", asked.place, message)
                .propose(format!("take {} or {} out of this line, or move one of them", one.name, other.name))
        }
        Meeting::Touch(side) => {
            let message = format!(
                "the {} of {} touches {} but does not reach into it, so there is nothing to cut for a {}",
                own(side),
                one.name,
                other.name,
                asked.joint.word()
            );
            Diagnostic::error("joint-does-not-meet", asked.place, message).propose(format!(
                "write {{butt: {}, against: {}}}, or let the two overlap",
                entry(one, other),
                entry(other, one)
            ))
        }
        // Pairs that overlap always meet; kept so that a new verb cannot go silent.
        Meeting::Overlap(_) => Diagnostic::error(
            "joint-does-not-meet",
            asked.place,
            format!("{} and {} overlap where this joint needs them apart", one.name, other.name),
        ),
    };
    with_boards(fault, one, other)
}

fn joined_twice(boards: &Boards, asked: &Asked, before: &Asked) -> Diagnostic {
    let name = |id: BoardId| boards.boards[id.0].name.as_str();
    let other = match asked.second {
        Other::Board(second) => name(second),
        Other::Wall => "the wall",
        Other::Floor => "the floor",
    };
    Diagnostic::error(
        "joined-twice",
        asked.place,
        format!(
            "{} and {other} are joined twice: by a {} here and by a {} elsewhere",
            name(asked.first),
            asked.joint.word(),
            before.joint.word()
        ),
    )
    .also(before.place, "joined here already")
    .propose("keep one of the two lines, or take the pair out of one")
}

/// A side of the room as the board's own assembly has it: what stands in the spec of one that is turned.
pub(super) fn own_side(job: &Job, board: &Board, side: Side) -> Side {
    let turns = job.assemblies.get(board.assembly).map_or(0, |assembly| assembly.turns);
    side.turned(4 - turns % 4)
}

/// A place in the room along a side's direction, as the board's own assembly measures it: `18 mm from the zero of rack`.
pub(super) fn own_place(job: &Job, board: &Board, side: Side, at: Length, units: Units) -> String {
    let Some(assembly) = job.assemblies.get(board.assembly) else { return tell(at, units) };
    let from_zero = at - assembly.at[side.axis().index()];
    let way = side.sign() * own_side(job, board, side).sign();
    format!("{} from the zero of {}", tell(from_zero * way, units), assembly.name)
}

/// The cure that a side of a board goes to a place in the room.
pub(super) fn put_at(work: &Work, board: &Board, side: Side, at: Length) -> String {
    let job = &work.boards.job;
    let place = own_place(job, board, side, at, job.units);
    format!("put the {} of {} at {place}", own_side(job, board, side).word(), board.name)
}

/// Where a side of the board would lie, moved out by `by`.
fn reach(job: &Job, board: &Board, side: Side, by: Length, units: Units) -> String {
    let along = board.span[side.axis().index()];
    let at = if side.is_high() { along.high + by } else { along.low - by };
    own_place(job, board, side, at, units)
}

/// The name of a board as a joint line writes it that also names `other`: without the assembly where both are of one.
pub(super) fn entry<'a>(board: &'a Board, other: &Board) -> &'a str {
    if board.assembly != other.assembly {
        return &board.name;
    }
    board.name.split_once('.').map_or(board.name.as_str(), |(_, rest)| rest)
}

/// Adds where the two boards are written.
pub(super) fn with_boards(fault: Diagnostic, one: &Board, other: &Board) -> Diagnostic {
    let fault = if one.place != fault.place { fault.also(one.place, one.name.clone()) } else { fault };
    if other.place != fault.place && other.place != one.place {
        fault.also(other.place, other.name.clone())
    } else {
        fault
    }
}
