//! Boards and openings built from their runs: show face, frame, grain, outline and what was asked for by hand, then put
//! into the room. Knows no joint.

use super::asked::Named;
use super::layout::{Laid, MOST, along, count, full_name, normal, stock_of};
use super::profile::{self, Face};
use super::{Board, BoardId, Held, Opening, features, room};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::length::Interval;
use crate::spec::language::{FacesChoice, GrainChoice, HeldChoice, PartSpec};
use crate::spec::read;
use crate::trade::{Axis, FaceFrame, Grain, Side};
use crate::values::solver::{Entry, EntryKind, Scope, Solver};
use crate::values::{Job, SheetGrain, StockForm};

/// The boards of a job, and which entry each belongs to.
pub struct LaidOut {
    pub boards: Vec<Board>,
    pub named: Named,
}

fn entries(solver: &Solver, kind: EntryKind) -> Vec<Entry> {
    let mut all = Vec::new();
    for (assembly, named) in solver.spec.assemblies.iter().enumerate() {
        let body = &named.body.body;
        let many = match kind {
            EntryKind::Part => body.parts.len(),
            EntryKind::Opening => body.openings.len(),
        };
        all.extend((0..many).map(|number| Entry { assembly, kind, number }));
    }
    all
}

/// Refuses a job of too many pieces before any is laid out.
fn within_all(solver: &mut Solver, entries: &[Entry], what: &str) -> bool {
    let mut all = 0_i64;
    let mut largest: Option<(u32, Entry)> = None;
    for entry in entries {
        let Some((boards, _)) = count(solver, *entry) else { continue };
        all += i64::from(boards);
        if largest.is_none_or(|(most, _)| boards > most) {
            largest = Some((boards, *entry));
        }
    }
    let Some((most, entry)) = largest.filter(|_| all > MOST) else { return true };
    let laid = Laid::of(solver.spec, entry);
    let message =
        format!("the job would have {all} {what}, {most} of them {}; the most is {MOST}", laid.name());
    solver.faults.push(
        Diagnostic::error("too-many", laid.place(), message).propose("look for a slip of the pen in a count"),
    );
    false
}

/// Builds all boards.
pub fn boards(solver: &mut Solver, job: &Job) -> LaidOut {
    let mut laid = LaidOut { boards: Vec::new(), named: Named::default() };
    let entries = entries(solver, EntryKind::Part);
    if !within_all(solver, &entries, "boards") {
        laid.named.boards.extend(entries.into_iter().map(|entry| (entry, None)));
        return laid;
    }
    for entry in entries {
        let ids = boards_of(solver, job, entry, &mut laid.boards);
        laid.named.boards.insert(entry, ids);
    }
    laid
}

fn boards_of(solver: &mut Solver, job: &Job, entry: Entry, into: &mut Vec<Board>) -> Option<Vec<BoardId>> {
    let Laid::Part(named) = Laid::of(solver.spec, entry) else { return None };
    let (boards, single) = count(solver, entry)?;
    let mut ids = Vec::new();
    for number in 1..=boards {
        // The boards of a run share their formulas: where one fails the others would only say it again.
        let board = one_board(solver, job, entry, named, number, single)?;
        ids.push(BoardId(into.len()));
        into.push(board);
    }
    Some(ids)
}

/// The three intervals of one of an entry, on the grid, in its assembly's measures. All are tried.
fn span(solver: &mut Solver, entry: Entry, number: u32) -> Option<[Interval; 3]> {
    let [across, deep, up] = Axis::ALL.map(|axis| along(solver, entry, number, axis));
    Some([across?.on_grid()?, deep?.on_grid()?, up?.on_grid()?])
}

fn one_board(
    solver: &mut Solver,
    job: &Job,
    entry: Entry,
    named: &read::Named<PartSpec>,
    number: u32,
    single: bool,
) -> Option<Board> {
    let part = &named.body;
    let stock = stock_of(solver, entry);
    let show = show(solver, named);
    let span = span(solver, entry, number);
    let stock_name = &solver.spec.stock[stock?].name;
    let stock = job.stock.iter().position(|known| known.name == *stock_name)?;
    let (show, span) = (show?, span?);
    let frame = FaceFrame::of_plate(&span, show);
    let name = full_name(solver.spec, entry, number, single);
    let scope = Scope::of(entry.assembly).at((!single).then_some(i64::from(number)));
    let face = Face::of(&name, frame, &span, scope, named.place);
    let grain = grain(solver, named, &face, &job.stock[stock].form);
    let shaped = profile::shape(solver, part, &face);
    let shaped = shaped?;
    let features = features::features(solver, part, &face, &shaped.outline)?;
    let mut board = Board {
        name: name.clone(),
        assembly: entry.assembly,
        entry: named.name.clone(),
        index: (!single).then_some(number),
        place: named.place,
        stock,
        span,
        frame,
        grain: grain?,
        outline: shaped.outline,
        inside: features.inside,
        inside_notes: features.inside_notes,
        cutouts: features.cutouts,
        pockets: features.pockets,
        holes: features.holes,
        edges: shaped.edges,
        held_by: part.held_by.map(|held| match held {
            HeldChoice::Wall => Held::Wall,
            HeldChoice::Floor => Held::Floor,
        }),
        load: part.bears.load.as_ref().and_then(|words| crate::values::load(words, &mut solver.faults)),
        finish: part.finish.as_ref().map(|words| words.text.clone()),
        note: part.note.as_ref().map(|words| words.text.clone()),
    };
    room::put_board(&job.assemblies[entry.assembly], &mut board);
    Some(board)
}

/// The face that is seen: front, left and top where the spec does not say.
fn show(solver: &mut Solver, named: &read::Named<PartSpec>) -> Option<Side> {
    let normal = normal(&named.body)?;
    let Some(choice) = named.body.show else {
        return Some(match named.body.faces? {
            FacesChoice::Side => Side::Left,
            FacesChoice::Front => Side::Front,
            FacesChoice::Up => Side::Top,
        });
    };
    let side = profile::side(choice);
    if side.axis() == normal {
        return Some(side);
    }
    let place = named.body.keys.value("show").unwrap_or(named.place);
    let (low, high) = (normal.low().word(), normal.high().word());
    let message = format!(
        "{}: its {} side is an edge, and only a broad face can be the show face",
        named.name,
        side.word()
    );
    solver.faults.push(
        Diagnostic::error("not-a-face", place, message)
            .propose(format!("write `show: {low}` or `show: {high}`")),
    );
    None
}

/// Where the spec does not say, the grain runs along the longer size of the face; where both are equal, upwards on an
/// upright board and across a lying one. Stock without grain has none.
fn grain(solver: &mut Solver, named: &read::Named<PartSpec>, face: &Face, form: &StockForm) -> Option<Grain> {
    if matches!(form, StockForm::Sheet { grain: SheetGrain::None, .. }) {
        return Some(Grain::Free);
    }
    let axis = match named.body.grain {
        Some(GrainChoice::Free) => return Some(Grain::Free),
        Some(GrainChoice::Across) => Axis::Across,
        Some(GrainChoice::Deep) => Axis::Deep,
        Some(GrainChoice::Up) => Axis::Up,
        None => {
            let lying = face.frame.into.axis() == Axis::Up;
            let along_u = face.size.x > face.size.y || (face.size.x == face.size.y && lying);
            return Some(if along_u { Grain::AlongU } else { Grain::AlongV });
        }
    };
    if axis == face.frame.u.axis() {
        return Some(Grain::AlongU);
    }
    if axis == face.frame.v.axis() {
        return Some(Grain::AlongV);
    }
    let word = |axis: Axis| match axis {
        Axis::Across => "across",
        Axis::Deep => "deep",
        Axis::Up => "up",
    };
    let place = named.body.keys.value("grain").unwrap_or(named.place);
    let message =
        format!("{}: the grain cannot run `{}`, through the thickness of the board", named.name, word(axis));
    solver.faults.push(Diagnostic::error("grain", place, message).propose(format!(
        "write `grain: {}` or `grain: {}`",
        word(face.frame.u.axis()),
        word(face.frame.v.axis())
    )));
    None
}

/// Builds all openings.
pub fn openings(solver: &mut Solver, job: &Job) -> Vec<Opening> {
    let mut all = Vec::new();
    let entries = entries(solver, EntryKind::Opening);
    if !within_all(solver, &entries, "openings") {
        return all;
    }
    for entry in entries {
        // As with boards, one of a run that fails speaks for the others.
        let _ = openings_of(solver, job, entry, &mut all);
    }
    all
}

fn openings_of(solver: &mut Solver, job: &Job, entry: Entry, into: &mut Vec<Opening>) -> Option<()> {
    let Laid::Opening(named) = Laid::of(solver.spec, entry) else { return None };
    let holds = match &named.body.holds {
        Some(name) => Some(thing(solver, job, &name.text, name.place)?),
        None => None,
    };
    let (many, single) = count(solver, entry)?;
    for number in 1..=many {
        let mut opening = Opening {
            name: full_name(solver.spec, entry, number, single),
            assembly: entry.assembly,
            span: span(solver, entry, number)?,
            front: Side::Front,
            holds,
            place: named.place,
        };
        room::put_opening(&job.assemblies[entry.assembly], &mut opening);
        into.push(opening);
    }
    Some(())
}

/// Index of a thing in the job; `None` where it failed or there is none such.
fn thing(solver: &mut Solver, job: &Job, text: &str, place: Place) -> Option<usize> {
    if !solver.spec.things.iter().any(|thing| thing.name == text) {
        let known: Vec<&str> = solver.spec.things.iter().map(|thing| thing.name.as_str()).collect();
        let fault = Diagnostic::error("unknown-name", place, format!("there is no thing called `{text}`"));
        solver.faults.push(match nearest(text, known.iter().copied()) {
            Some(near) => fault.propose(format!("write `{near}`, if that is meant")),
            None => fault
                .propose(format!("add it under `things:` as `{text}: {{width: …, depth: …, height: …}}`")),
        });
        return None;
    }
    job.things.iter().position(|thing| thing.name == text)
}
