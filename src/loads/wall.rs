//! What a screw in a wall may be loaded with, straight out and down along the wall, and what may be wanting to say so.

use super::weights::panel_of;
use crate::joints::Fixing;
use crate::joints::movement::{Unmoved, species_of};
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::Made;
use crate::trade::{Axis, Units};
use crate::values::{Stock, StockForm};
use crate::wood::lateral::{NoLateral, Sheared, lateral, least_depth};
use crate::wood::species::{self, UnknownSpecies};
use crate::wood::withdrawal::{DrivenInto, Fastener, NoHolding, holding};
use crate::wood::{Flag, NO_ENGINEER, Value};

/// Why it is not known how a screw in a wall is loaded, or what it bears.
#[derive(Clone, Debug, PartialEq)]
pub enum Wanting {
    /// All screws sit at the lowest edge, so that nothing keeps what hangs from turning.
    LowestEdge,
    /// The spec names no studs.
    NoStuds,
    UnknownStuds(UnknownSpecies),
    /// No specific gravity of a wood is tabulated: its name.
    NoGravity(String),
    /// The screw ends in front of the stud, or stands too little in it.
    TooShort {
        length: Length,
        /// Through the wood in front and what covers the studs.
        before: Length,
        /// How deep it must stand in the stud.
        least: Length,
    },
    NoHolding(NoHolding),
    NoLateral(NoLateral),
}

impl Wanting {
    /// In words, that go on after "but".
    pub fn says(&self, units: Units) -> String {
        match self {
            Wanting::LowestEdge => "the screws sit at the lowest edge, where nothing keeps it from turning".into(),
            Wanting::NoStuds => "the species of the studs is not known: give it under `service: studs:` (spruce-pine-fir is common), and find the studs".into(),
            Wanting::UnknownStuds(unknown) => unknown.to_string(),
            Wanting::NoGravity(name) => format!("no specific gravity of {name} is tabulated"),
            Wanting::TooShort { length, before, least } => format!(
                "a screw {} long goes through {} before the stud, and must stand {} in it (6 diameters, NDS 2018 §12.1.5; from memory)",
                tell(*length, units),
                tell(*before, units),
                tell(*least, units)
            ),
            Wanting::NoHolding(why) => why.to_string(),
            Wanting::NoLateral(why) => why.to_string(),
        }
    }
}

/// What a screw may be loaded with, newtons, and what that rests on.
pub(super) struct Bears {
    pub newtons: f64,
    pub basis: Vec<String>,
}

/// Part of a wood screw's length that is thread: two thirds (common practice of the trade).
const THREAD: (i64, i64) = (2, 3);

/// Specific gravity of plywood for fasteners where its grade is not known (NDS 2018 Table 12.3.3B, other grades; from memory).
const PLYWOOD: Value =
    Value { value: 0.42, flag: Flag::FromMemory, source: "NDS 2018 Table 12.3.3B, plywood, other grades" };

/// What a screw goes through before it reaches the stud: the board and what covers the studs.
fn before(made: &Made, screw: &Fixing) -> (Length, Length) {
    let through = made.placed.get(screw.through.0).map_or(Length::ZERO, |placed| {
        let axis = Axis::ALL.into_iter().find(|axis| screw.direction[axis.index()].abs() > 0.5);
        axis.map_or(Length::ZERO, |axis| placed.board.span[axis.index()].size())
    });
    (through, made.job.service.wallboard)
}

/// Specific gravity and name of the studs, and how deep a screw of this length stands in them.
fn in_stud(made: &Made, screw: &Fixing, length: Length) -> Result<(Value, &'static str, Length), Wanting> {
    let studs = made.job.service.studs.as_ref().ok_or(Wanting::NoStuds)?;
    let species = species::find(&studs.text).map_err(Wanting::UnknownStuds)?;
    let gravity = species.fastener_gravity().ok_or_else(|| Wanting::NoGravity(species.name.to_owned()))?;
    let (through, wallboard) = before(made, screw);
    let (before, least) = (through + wallboard, least_depth(screw.diameter));
    let deep = length - before;
    if deep < least {
        return Err(Wanting::TooShort { length, before, least });
    }
    Ok((gravity, species.name, deep))
}

/// What a screw may be pulled straight out with, were it as long as this.
pub(super) fn withdrawal(made: &Made, screw: &Fixing, length: Length) -> Result<Bears, Wanting> {
    let (gravity, name, deep) = in_stud(made, screw, length)?;
    let thread = deep.min((length * THREAD.0).shared_by(THREAD.1).0);
    let found = holding(Fastener::WoodScrew(screw.diameter), gravity, thread, DrivenInto::SideGrain)
        .map_err(Wanting::NoHolding)?;
    let units = made.job.units;
    let mut basis = vec![format!(
        "{} of thread in a stud of {name}, behind {} of wallboard: {:.0} lb to an inch",
        tell(thread, units),
        tell(made.job.service.wallboard, units),
        found.pounds_per_inch
    )];
    basis.extend(found.basis.into_iter().filter(|says| says != NO_ENGINEER));
    Ok(Bears { newtons: found.newtons, basis })
}

/// What a screw may be pushed down along the wall with, were it as long as this.
pub(super) fn sideways(made: &Made, screw: &Fixing, length: Length) -> Result<Bears, Wanting> {
    let (gravity, _, deep) = in_stud(made, screw, length)?;
    let (through, gap) = before(made, screw);
    let stock = made.placed.get(screw.through.0).and_then(|placed| made.job.stock.get(placed.board.stock));
    let front = stock.ok_or_else(|| Wanting::NoGravity("the wood in front".into())).and_then(in_front)?;
    let number = screw.gauge.and_then(|gauge| u8::try_from(gauge).ok()).unwrap_or_default();
    let found = lateral(&Sheared { number, side: (front, through), main: (gravity, deep), gap })
        .map_err(Wanting::NoLateral)?;
    let mut basis = found.basis;
    basis.retain(|says| says != NO_ENGINEER);
    Ok(Bears { newtons: found.newtons, basis })
}

/// Specific gravity for fasteners of what is screwed on.
fn in_front(stock: &Stock) -> Result<Value, Wanting> {
    let none = || Wanting::NoGravity(stock.name.clone());
    match stock.form {
        StockForm::Solid { .. } => match species_of(stock) {
            Ok(species) => species.fastener_gravity().ok_or_else(none),
            Err(Unmoved::Sheet | Unmoved::NoSpecies | Unmoved::Unknown(_) | Unmoved::Outside(_)) => {
                Err(none())
            }
        },
        StockForm::Sheet { .. } => {
            panel_of(stock).filter(|panel| !panel.composition).map(|_| PLYWOOD).ok_or_else(none)
        }
    }
}
