//! Rows of boards and the spaces between them, along one direction of a view: what an arrangement dimensions. Knows no
//! sheet.

use super::chain::Chain;
use super::drawn::Care;
use super::lanes::Beside;
use super::part_sheet::said;
use super::sheet::Paperwork;
use crate::boards::Other;
use crate::drawing::{At, Dimension};
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::view::Projection;
use crate::trade::{Axis, Side};

/// A board that faces the eye stands in a row with others where it is this many times as long as it is wide.
const SLENDER: i64 = 4;
/// Height of figures in millimetres.
const FIGURES: f64 = 3.5;

/// One view of an assembly: where the eye is, and what lies to the right and up on paper.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    pub title: &'static str,
    pub eye: Side,
    pub right: Side,
    pub up: Side,
}

impl Look {
    /// The directions of the view.
    pub fn projection(&self) -> Projection {
        Projection { right: way(self.right), up: way(self.up), toward: way(self.eye) }
    }

    /// Reach of a span along a direction of the paper.
    pub fn along(&self, span: &[Interval; 3], side: Side) -> Interval {
        let of = span[side.axis().index()];
        if side.is_high() { of } else { Interval { low: -of.high, high: -of.low } }
    }
}

fn way(side: Side) -> [f64; 3] {
    let mut direction = [0.0; 3];
    direction[side.axis().index()] = side.sign() as f64;
    direction
}

/// A row of positions along one direction of a view.
pub struct Stops {
    pub positions: Vec<Length>,
    /// Whether wood lies between a stop and the next.
    pub wood: Vec<bool>,
    pub care: Care,
}

/// Positions where boards lie on edge along a direction of the view, with the ends of the whole.
pub fn stops(made: &Made, boards: &[&Placed], around: &[Interval; 3], look: &Look, side: Side) -> Stops {
    let axis = side.axis();
    let whole = look.along(around, side);
    let mut wood: Vec<Interval> = boards
        .iter()
        .filter(|p| p.board.frame.into.axis() == axis)
        .map(|p| look.along(&p.board.span, side))
        .collect();
    // Battens, stiles and rails lie flat to the eye but stand in rows too; the nearest to the eye count, where no board
    // on edge stands there already.
    let mut slender: Vec<(Length, Interval)> = boards
        .iter()
        .filter(|p| p.board.frame.into.axis() == look.eye.axis())
        .filter_map(|p| {
            let size = |axis: Axis| p.board.span[axis.index()].size();
            let other = if side.axis() == look.right.axis() { look.up } else { look.right };
            let is_slender = size(axis) * SLENDER <= size(other.axis());
            let far = look.along(&p.board.span, look.eye.opposite()).low;
            is_slender.then(|| (far, look.along(&p.board.span, side)))
        })
        .collect();
    slender.sort();
    for (_, interval) in slender {
        if wood.iter().all(|w| w.shared(interval).is_none()) {
            wood.push(interval);
        }
    }
    wood.sort();
    wood.dedup();
    let mut positions: Vec<Length> = wood.iter().flat_map(|i| [i.low, i.high]).collect();
    positions.extend([whole.low, whole.high]);
    positions.sort();
    positions.dedup();
    let is_wood = |pair: &[Length]| wood.iter().any(|i| i.low <= pair[0] && pair[1] <= i.high);
    let between = positions.windows(2).map(is_wood).collect();
    Stops { positions, wood: between, care: care_of(made, boards, axis) }
}

/// An outside size holds, unless it hangs on the house.
fn care_of(made: &Made, boards: &[&Placed], axis: Axis) -> Care {
    let scribed = boards.iter().any(|p| {
        let edges = p.board.edges.iter().filter(|e| e.scribe != Length::ZERO);
        edges.map(|e| if e.from.x == e.to.x { p.frame.u } else { p.frame.v }).any(|side| side.axis() == axis)
    });
    let names: Vec<&str> = boards.iter().map(|p| p.board.name.as_str()).collect();
    let touches = made.joints.iter().any(|j| {
        let ours = made.placed.get(j.first.0).is_some_and(|p| names.contains(&p.board.name.as_str()));
        ours && j.second == Other::Wall && j.contact.iter().any(|c| c.side.axis() == axis)
    });
    if scribed || touches { Care::Verify } else { Care::Hold }
}

/// The chain along one direction of a view, with the positions of its stops and what it says.
#[expect(clippy::too_many_arguments, reason = "a view, a direction of it, and a place on paper")]
pub fn chain(
    made: &Made,
    boards: &[&Placed],
    around: &[Interval; 3],
    look: &Look,
    side: Side,
    beside: Beside,
    origin: At,
    edge: f64,
    factor: f64,
    paperwork: &Paperwork,
) -> (Chain, Vec<Length>, Vec<Dimension>) {
    let stops = stops(made, boards, around, look, side);
    let sizes: Vec<Length> = stops.positions.windows(2).map(|p| p[1] - p[0]).collect();
    // The last open space takes what rounding leaves: wood is as thick as it is.
    let float = stops.wood.iter().rposition(|wood| !wood).filter(|_| sizes.len() > 1);
    let (printed, overall) = paperwork.figures.chain(&sizes, float);
    let assembly = boards.first().and_then(|p| made.job.assemblies.get(p.board.assembly));
    let chapter = assembly.map(|a| said(&a.name)).unwrap_or_default();
    let row = format!("{} {}", look.title.to_lowercase(), side.word());
    let changed = paperwork.former.signs(&chapter, &row, &sizes);
    let mut dimensions = Vec::new();
    let members: Vec<String> = printed
        .iter()
        .enumerate()
        .map(|(i, figure)| {
            let care = if Some(i) == float { Care::Float } else { Care::Plain };
            let what = if stops.wood[i] { "board" } else { "space" };
            let what = format!("{row}: {what} {}", i + 1);
            dimensions.push(Dimension { what, value: sizes[i], printed: figure.clone() });
            format!("{}{}", care.beside(figure), changed[i])
        })
        .collect();
    let (what, whole) = (format!("{row}: overall"), sizes.iter().copied().sum());
    let sign = paperwork.former.signs(&chapter, &what, &[whole]).concat();
    dimensions.push(Dimension { what, value: whole, printed: overall.clone() });
    let along = |at: &Length| {
        let zero = if matches!(beside, Beside::Below | Beside::Above) { origin.0 } else { origin.1 };
        zero + at.to_mm() * factor
    };
    let chain = Chain {
        beside,
        edge,
        stops: stops.positions.iter().map(along).collect(),
        members,
        overall: format!("{}{sign}", stops.care.beside(&overall)),
        height: FIGURES,
        unidirectional: paperwork.unidirectional(),
    };
    (chain, stops.positions, dimensions)
}
