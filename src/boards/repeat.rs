//! Boards set out along their thickness: equal gaps, a fixed pitch, halves of halves. Every position is worked out from
//! the start of the run, so that nothing adds up. Knows no outline.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub};

use super::layout::{Laid, count, normal, stock_of, within};
use super::place::{Exact, nearest, words};
use crate::diagnose::{Diagnostic, Place};
use crate::length::notation::tell;
use crate::spec::language::{PartSpec, SpreadEnds};
use crate::spec::read::Named;
use crate::trade::Units;
use crate::values::solver::{Entry, Key, Scope, Solved, Solver};

/// True where the part is set out along its thickness.
pub fn is_spaced(part: &PartSpec) -> bool {
    part.spread.is_some() || part.centres.is_some() || part.halves.is_some()
}

/// Position of the low face of the `number`th board (from 1).
pub fn nth(first: Exact, pitch: Exact, number: u32) -> Option<Exact> {
    let steps = Ratio::from_integer(i128::from(number) - 1);
    first.checked_add(&pitch.checked_mul(&steps)?)
}

/// Low face of a board by its centre.
fn low_face(centre: Exact, thick: Exact) -> Option<Exact> {
    centre.checked_sub(&thick.checked_div(&Ratio::from_integer(2))?)
}

/// What is said of a run that does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// A run of pieces at both ends has two at least.
    OnePiece,
    /// The pieces alone need more than there is.
    TooFull {
        needs: Exact,
        has: Exact,
    },
    TooLarge,
}

/// Low face of the first of `count` pieces and the pitch from piece to piece, for pieces of `thick` in a run.
///
/// With gaps at both ends each gap is (W − n·t) / (n + 1), with pieces at both ends (W − n·t) / (n − 1), and where the
/// run starts with a piece and ends with a gap (W − n·t) / n. (Common practice.)
pub fn spread(
    from: Exact,
    to: Exact,
    count: u32,
    thick: Exact,
    ends: SpreadEnds,
) -> Result<(Exact, Exact), Misfit> {
    let pieces = i128::from(count);
    let gaps = match ends {
        SpreadEnds::Gaps => pieces + 1,
        SpreadEnds::Pieces => pieces - 1,
        SpreadEnds::PieceThenGap => pieces,
    };
    if gaps < 1 {
        return Err(Misfit::OnePiece);
    }
    let has = to.checked_sub(&from).ok_or(Misfit::TooLarge)?;
    let needs = thick.checked_mul(&Ratio::from_integer(pieces)).ok_or(Misfit::TooLarge)?;
    let left = has.checked_sub(&needs).ok_or(Misfit::TooLarge)?;
    if left < Ratio::from_integer(0) {
        return Err(Misfit::TooFull { needs, has });
    }
    let gap = left.checked_div(&Ratio::from_integer(gaps)).ok_or(Misfit::TooLarge)?;
    let pitch = gap.checked_add(&thick).ok_or(Misfit::TooLarge)?;
    let first = match ends {
        SpreadEnds::Gaps => from.checked_add(&gap).ok_or(Misfit::TooLarge)?,
        _ => from,
    };
    Ok((first, pitch))
}

/// Low face of the first and the pitch of 2^times − 1 pieces: one centred in the run, one in each half, and so on.
/// (Common practice.)
pub fn halves(from: Exact, to: Exact, times: u32, thick: Exact) -> Result<(Exact, Exact), Misfit> {
    let has = to.checked_sub(&from).ok_or(Misfit::TooLarge)?;
    let shares = 1_i128.checked_shl(times).filter(|shares| *shares > 0).ok_or(Misfit::TooLarge)?;
    let pitch = has.checked_div(&Ratio::from_integer(shares)).ok_or(Misfit::TooLarge)?;
    if pitch < thick {
        let needs = thick.checked_mul(&Ratio::from_integer(shares)).ok_or(Misfit::TooLarge)?;
        return Err(Misfit::TooFull { needs, has });
    }
    let first =
        from.checked_add(&pitch).and_then(|centre| low_face(centre, thick)).ok_or(Misfit::TooLarge)?;
    Ok((first, pitch))
}

/// How many boards a run set out by halves has: 1, 3, 7 …
pub fn halves_count(solver: &mut Solver, assembly: usize, named: &Named<PartSpec>) -> Option<i64> {
    let halves = named.body.halves.as_ref()?;
    if let Some(count) = &named.body.count {
        let message = format!("{}: halving gives the count itself, but `count` is given too", named.name);
        solver
            .faults
            .push(Diagnostic::error("repeat-twice", count.place, message).propose("leave `count` out"));
        return None;
    }
    let times = solver.whole(&halves.times, Scope::of(assembly))?;
    if times < 1 {
        let message = format!("{}: halved {times} times; it must be 1 or more", named.name);
        solver.faults.push(
            Diagnostic::error("negative-count", halves.times.place, message)
                .propose("write 1 for one board in the middle, 2 for three, 3 for seven"),
        );
        return None;
    }
    // Forty halvings are beyond all bounds already, and still fit the number.
    let boards = (1_i64 << times.min(40)) - 1;
    within(solver, boards, halves.times.place, &named.name)?;
    Some(boards)
}

/// Low face of the first board and pitch of a part that is set out along its thickness, in its assembly's measures.
pub fn spacing(solver: &mut Solver, entry: Entry) -> Option<(Exact, Exact)> {
    let Laid::Part(named) = Laid::of(solver.spec, entry) else { return None };
    let label = || format!("{}, spread", named.name);
    let found = solver.once(Key::Spacing(entry), label, Some(entry.assembly), named.place, |solver| {
        work_out(solver, entry, named).map(|(first, pitch)| Solved::Pair(first, pitch))
    });
    match found {
        Some(Solved::Pair(first, pitch)) => Some((first, pitch)),
        _ => None,
    }
}

fn work_out(solver: &mut Solver, entry: Entry, named: &Named<PartSpec>) -> Option<(Exact, Exact)> {
    let part = &named.body;
    let alone = one_way_only(solver, named);
    let (boards, single) = count(solver, entry)?;
    alone?;
    let stock = stock_of(solver, entry)?;
    let thick = solver.thickness(stock)?;
    let scope = Scope::of(entry.assembly);
    if single {
        let message = format!("{} is set out in a row, but no `count` says how many", named.name);
        solver
            .faults
            .push(Diagnostic::error("part-incomplete", named.place, message).propose("add `count: …`"));
        return None;
    }
    if let Some(centres) = &part.centres {
        let first = solver.exact(&centres.first, scope);
        let pitch = solver.exact(&centres.pitch, scope);
        let (first, pitch) = (first?, pitch?);
        let apart = if pitch < Ratio::from_integer(0) { -pitch } else { pitch };
        if apart < thick && boards > 1 {
            let message = format!(
                "{}: boards {} thick cannot stand {} from centre to centre",
                named.name,
                told(thick, solver.units),
                told(pitch, solver.units)
            );
            solver.faults.push(
                Diagnostic::error("run-too-full", centres.pitch.place, message)
                    .propose("take a larger pitch"),
            );
            return None;
        }
        return Some((low_face(first, thick)?, pitch));
    }
    let (from, to, place) = match (&part.spread, &part.halves) {
        (Some(spread), _) => (&spread.from, &spread.to, spread.place),
        (None, Some(halves)) => (&halves.from, &halves.to, halves.place),
        (None, None) => return None,
    };
    let (from, to) = (solver.exact(from, scope), solver.exact(to, scope));
    let (from, to) = (from?, to?);
    let laid = match (&part.spread, &part.halves) {
        (Some(spread_spec), _) => {
            spread(from, to, boards, thick, spread_spec.ends.unwrap_or(SpreadEnds::Gaps))
        }
        (None, Some(spec)) => {
            let times = solver.whole(&spec.times, scope).and_then(|times| u32::try_from(times).ok())?;
            halves(from, to, times, thick)
        }
        (None, None) => return None,
    };
    match laid {
        Ok(found) => Some(found),
        Err(misfit) => {
            tell_misfit(solver, named, misfit, boards, place);
            None
        }
    }
}

fn told(exact: Exact, units: Units) -> String {
    nearest(exact).map_or_else(|| "more than 1 km".to_owned(), |length| tell(length, units))
}

fn tell_misfit(solver: &mut Solver, named: &Named<PartSpec>, misfit: Misfit, boards: u32, place: Place) {
    let units = solver.units;
    let name = &named.name;
    let fault = match misfit {
        Misfit::OnePiece => {
            let message = format!(
                "{name}: with a piece at both ends there are two at least, but the count is {boards}"
            );
            Diagnostic::error("run-too-full", place, message).propose("take a larger count, or `ends: gaps`")
        }
        Misfit::TooFull { needs, has } => {
            let message = format!(
                "{name}: {boards} boards need {} side by side, but the run has {}",
                told(needs, units),
                told(has, units)
            );
            Diagnostic::error("run-too-full", place, message).propose("take fewer boards or a longer run")
        }
        Misfit::TooLarge => {
            Diagnostic::error("too-long", place, format!("{name}: the run is beyond all measure"))
                .propose("look for a slip of the pen in the formula")
        }
    };
    solver.faults.push(fault);
}

/// A row is set out in one way, and nothing else says where its boards lie along it.
fn one_way_only(solver: &mut Solver, named: &Named<PartSpec>) -> Option<()> {
    let part = &named.body;
    let ways: Vec<(&str, Place)> = [
        ("spread", part.spread.as_ref().map(|s| s.place)),
        ("centres", part.centres.as_ref().map(|s| s.place)),
        ("halves", part.halves.as_ref().map(|s| s.place)),
    ]
    .into_iter()
    .filter_map(|(word, place)| place.map(|place| (word, place)))
    .collect();
    let (first, _) = *ways.first()?;
    let mut good = true;
    for (word, place) in ways.iter().skip(1) {
        let message = format!("{}: `{first}` and `{word}` both say where its boards lie", named.name);
        solver
            .faults
            .push(Diagnostic::error("repeat-twice", *place, message).propose("leave one of them out"));
        good = false;
    }
    let axis = normal(part)?;
    for word in words(axis).into_iter().take(2) {
        if let Some(place) = part.keys.key(word) {
            let message = format!("{}: `{first}` and `{word}` both say where its boards lie", named.name);
            solver.faults.push(
                Diagnostic::error("repeat-twice", place, message).propose(format!("leave `{word}` out")),
            );
            good = false;
        }
    }
    good.then_some(())
}
