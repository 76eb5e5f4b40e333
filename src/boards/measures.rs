//! What formulas are answered that ask for a face or a size: `divider[2].left`, in the measures of whoever asks.

use num_rational::Ratio;
use num_traits::CheckedSub;

use super::layout::{Laid, along, count, stock_of};
use super::place::Exact;
use super::repeat;
use crate::diagnose::Diagnostic;
use crate::trade::{Axis, Side};
use crate::values::formula::{Quantity, Value};
use crate::values::job::turns;
use crate::values::names::{MEASURES, length_value};
use crate::values::solver::{EntryKind, Key, Measure, Placing, Scope, Solved, Solver};

/// Answers formulas that name boards and openings.
pub struct Layout;

impl Placing for Layout {
    fn measure(&self, solver: &mut Solver, scope: Scope, of: Measure) -> Result<Value, Vec<Diagnostic>> {
        let laid = Laid::of(solver.spec, of.entry);
        let (boards, single) = count(solver, of.entry).ok_or_else(Vec::new)?;
        if of.word == "count" {
            return Ok(Value::Quantity(Quantity::count(boards.into())));
        }
        if boards == 0 {
            return Err(vec![not_there(&laid, of)]);
        }
        match of.word {
            "thick" => return thick(solver, of),
            "gap" => return gap(solver, of),
            _ => {}
        }
        match of.index {
            Some(index) => match u32::try_from(index).ok().filter(|n| (1..=boards).contains(n)) {
                Some(number) => one(solver, scope, of, number),
                None => {
                    let message = match single {
                        true => format!("{} is one board; there is no {}[{index}]", laid.name(), laid.name()),
                        false => format!(
                            "{} counts 1 to {boards}; there is no {}[{index}]",
                            laid.name(),
                            laid.name()
                        ),
                    };
                    Err(vec![
                        Diagnostic::error("no-such-board", of.name.place, message)
                            .also(laid.place(), format!("{} is here", laid.name()))
                            .propose(format!("write a number from 1 to {boards}")),
                    ])
                }
            },
            None if boards == 1 => one(solver, scope, of, 1),
            None => common(solver, scope, of, boards),
        }
    }
}

fn not_there(laid: &Laid, of: Measure) -> Diagnostic {
    let message = format!("{} is not there, so it has no {}", laid.name(), of.word);
    Diagnostic::error("part-not-there", of.name.place, message)
        .also(laid.place(), "its `when` is no or its count is 0".to_owned())
        .propose(format!("ask first: if({}.count > 0, {}, …)", laid.name(), of.name))
}

fn thick(solver: &mut Solver, of: Measure) -> Result<Value, Vec<Diagnostic>> {
    if of.entry.kind == EntryKind::Opening {
        let message = format!("`{}`: an opening has no thickness", of.name);
        let fault = Diagnostic::error("unknown-name", of.name.place, message);
        return Err(vec![fault.propose("write its width, depth or height")]);
    }
    let stock = stock_of(solver, of.entry).ok_or_else(Vec::new)?;
    solver.thickness(stock).map(length_value).ok_or_else(Vec::new)
}

fn gap(solver: &mut Solver, of: Measure) -> Result<Value, Vec<Diagnostic>> {
    let Laid::Part(named) = Laid::of(solver.spec, of.entry) else {
        let message = format!("`{}`: an opening has no gap", of.name);
        return Err(vec![
            Diagnostic::error("unknown-name", of.name.place, message).propose("write its width"),
        ]);
    };
    if !repeat::is_spaced(&named.body) {
        let message = format!("`{}`: {} is not spread, so it has no gap", of.name, named.name);
        return Err(vec![
            Diagnostic::error("unknown-name", of.name.place, message)
                .propose(format!("give {} a `spread`, or subtract two faces", named.name)),
        ]);
    }
    let (_, pitch) = repeat::spacing(solver, of.entry).ok_or_else(Vec::new)?;
    let stock = stock_of(solver, of.entry).ok_or_else(Vec::new)?;
    let thick = solver.thickness(stock).ok_or_else(Vec::new)?;
    pitch.checked_sub(&thick).map(length_value).ok_or_else(Vec::new)
}

/// A measure that all boards of a run share, or the fault that asks which one is meant.
fn common(solver: &mut Solver, scope: Scope, of: Measure, boards: u32) -> Result<Value, Vec<Diagnostic>> {
    let first = one(solver, scope, of, 1)?;
    let word = MEASURES.iter().position(|known| *known == of.word).unwrap_or(0);
    // Whether they agree does not hang on who asks, so it is worked out once, in the assembly's own measures.
    let own = Scope::of(of.entry.assembly);
    let laid = Laid::of(solver.spec, of.entry);
    let agree = solver.once(
        Key::Common(of.entry, word),
        || format!("{} {}", laid.name(), of.word),
        Some(of.entry.assembly),
        laid.place(),
        |solver| {
            let first = one(solver, own, of, 1).ok()?;
            for number in 2..=boards {
                if one(solver, own, of, number).ok()? != first {
                    return Some(Solved::Value(Value::Truth(false)));
                }
            }
            Some(Solved::Value(Value::Truth(true)))
        },
    );
    match agree {
        Some(Solved::Value(Value::Truth(true))) => Ok(first),
        Some(_) => {
            let name = laid.name();
            let message = format!("{name} is {boards} boards; say which: `{name}[1].{}`", of.word);
            Err(vec![
                Diagnostic::error("which-board", of.name.place, message)
                    .also(laid.place(), format!("{name} is here"))
                    .propose(format!(
                        "write {name}[1].{} for the first, {name}[{boards}].{} for the last; inside braces in quotes",
                        of.word, of.word
                    )),
            ])
        }
        None => Err(Vec::new()),
    }
}

/// A measure of one board, in the view of `scope`: its own assembly's measures, or, asked from elsewhere, the measures
/// of the assembly that asks, whichever way either is turned. The job's own formulas ask in the room.
fn one(solver: &mut Solver, scope: Scope, of: Measure, number: u32) -> Result<Value, Vec<Diagnostic>> {
    let view = scope.assembly;
    let home = of.entry.assembly;
    let side = Side::ALL.into_iter().find(|side| side.word() == of.word);
    let axis_in_view = match (side, of.word) {
        (Some(side), _) => side.axis(),
        (None, "width") => Axis::Across,
        (None, "depth") => Axis::Deep,
        (None, _) => Axis::Up,
    };
    let turned = |assembly: usize| turns(solver.spec.assemblies[assembly].body.turn);
    let (view_turns, home_turns) = match view {
        Some(view) if view == home => (0, 0),
        Some(view) => (turned(view), turned(home)),
        None => (0, turned(home)),
    };
    let to_home = |in_view: Side| in_view.turned(view_turns).turned(4 - home_turns % 4);
    let axis = to_home(axis_in_view.high()).axis();
    let along = along(solver, of.entry, number, axis).ok_or_else(Vec::new)?;
    let Some(side) = side else { return Ok(length_value(along.size)) };
    let position = if to_home(side).is_high() { along.high() } else { Some(along.low) };
    let position = position.ok_or_else(Vec::new)?;
    if view == Some(home) {
        return Ok(length_value(position));
    }
    // Home to room: turn, then move. Room to view: move back, then turn back.
    let room_side = axis.high().turned(home_turns);
    let room_axis = room_side.axis().index();
    let home_at = solver.at(home, room_axis).ok_or_else(Vec::new)?;
    let view_at = match view {
        Some(view) => solver.at(view, room_axis).ok_or_else(Vec::new)?,
        None => Ratio::from_integer(0),
    };
    let signed = |value: Exact, sign: i64| value * i128::from(sign);
    let view_sign = axis_in_view.high().turned(view_turns).sign();
    let terms = [
        signed(position, room_side.sign() * view_sign),
        signed(home_at, view_sign),
        signed(-view_at, view_sign),
    ];
    let mut sum = Quantity::zero();
    for term in terms {
        if let Value::Quantity(term) = length_value(term) {
            sum = sum.plus(&term).map_err(|_| Vec::new())?;
        }
    }
    Ok(Value::Quantity(sum))
}
