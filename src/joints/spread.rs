//! Where fixings go on a contact: the rectangles that are worth fixing, and the places along them.

use crate::boards::{Asked, Board, BoardId, Fix, FixingKind, Other};
use crate::joints::ContactArea;
use crate::joints::fixing::Drive;
use crate::joints::rules::{self, Rule};
use crate::joints::work::{Work, normal};
use crate::length::Length;
use crate::trade::{Axis, Position, Side, Units};

/// One rectangle of contact with the way along it and the way across.
pub(super) struct Area {
    pub low: Position,
    pub high: Position,
    pub side: Side,
    pub along: Axis,
    across: Axis,
    /// More than one row fits only where both boards lie face to face.
    rows: bool,
}

impl Area {
    pub fn length(&self) -> Length {
        self.high[self.along.index()] - self.low[self.along.index()]
    }

    fn width(&self) -> Length {
        self.high[self.across.index()] - self.low[self.across.index()]
    }

    /// Where fixings go on the area, by the rule or by what the line says.
    pub fn positions(&self, fix: &Fix, rule: &Rule, units: Units) -> Result<Vec<Position>, NoRoom> {
        let ends = fix.ends.unwrap_or_else(|| {
            let most = if fix.by == FixingKind::PocketScrews { 3 } else { 4 };
            rule.ends.in_units(units).min(self.length().shared_by(most).0)
        });
        let single = self.length() < rule.single_below.in_units(units);
        let count = fix.count.or(single.then_some(1));
        let spacing = fix.spacing.unwrap_or(rule.spacing.in_units(units));
        let (low, high) = (self.low[self.along.index()], self.high[self.along.index()]);
        let along = Row { low, high, ends, spacing }.spread(rule.least, count)?;
        let (low, high) = (self.low[self.across.index()], self.high[self.across.index()]);
        let edge = rule.ends.in_units(units);
        let columns = if self.rows && self.width() >= edge * 3 {
            Row { low, high, ends: edge, spacing }.spread(2, None)?
        } else {
            vec![low + self.width().half()]
        };
        let mut all = Vec::with_capacity(along.len() * columns.len());
        for column in &columns {
            for position in &along {
                let mut at = self.low;
                at[self.along.index()] = *position;
                at[self.across.index()] = *column;
                all.push(at);
            }
        }
        Ok(all)
    }

    /// The position and others near it along the area, nearest first, for a fixing that must step aside: in steps of 1/8"
    /// up to 2", not nearer to the ends of the area than half of what the first has left there.
    pub fn near(&self, at: Position) -> impl Iterator<Item = Position> + '_ {
        let axis = self.along.index();
        let (low, high) = (self.low[axis], self.high[axis]);
        let margin = (at[axis] - low).min(high - at[axis]).min(STEP * 2);
        let steps = (1..=MOST_STEPS).flat_map(|step| [STEP * step, -(STEP * step)]);
        std::iter::once(Length::ZERO).chain(steps).filter_map(move |step| {
            let place = at[axis] + step;
            (low + margin <= place && place <= high - margin).then(|| {
                let mut moved = at;
                moved[axis] = place;
                moved
            })
        })
    }
}

/// How far a wire steps aside at a time, and how often.
const STEP: Length = Length::from_units(2_032_000 / 8);
const MOST_STEPS: i64 = 16;

/// Why fixings cannot be laid out as a line of the spec says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NoRoom {
    /// So many in one row.
    TooMany(i64),
    /// The distances from both ends take the whole contact, which is this long.
    EndsMeet(Length),
}

/// A row of fixings along a contact.
struct Row {
    low: Length,
    high: Length,
    ends: Length,
    spacing: Length,
}

/// More than this in one row is a slip of the pen in a spacing.
const MOST_IN_A_ROW: i64 = 2_000;

impl Row {
    /// Positions from end to end, no further apart than the spacing; whole units, each within one unit of its true place.
    fn spread(&self, least: i64, count: Option<i64>) -> Result<Vec<Length>, NoRoom> {
        let free = self.high - self.low - self.ends * 2;
        let spacing = self.spacing.units().max(1);
        let gaps = (free.max(Length::ZERO).units() + spacing - 1) / spacing;
        let count = count.unwrap_or((gaps + 1).max(least)).max(1);
        let middle = self.low + (self.high - self.low).half();
        if count == 1 {
            return Ok(vec![middle]);
        }
        if count > MOST_IN_A_ROW {
            return Err(NoRoom::TooMany(count));
        }
        if !free.is_positive() {
            return Err(NoRoom::EndsMeet(self.high - self.low));
        }
        let start = middle - free.half();
        let place = |number: i64| {
            let (whole, rest) = free.shared_by(count - 1);
            start + whole * number + (rest * number).shared_by(count - 1).0
        };
        Ok((0..count).map(place).collect())
    }
}

/// The rectangles that the fixings of a drive are laid out on. What another joint has left of a shoulder takes none: pieces
/// shorter than both end distances where there is a longer one, and pieces not half as wide as the widest.
pub(super) fn areas(work: &Work, joint: usize, asked: &Asked, drive: &Drive) -> Vec<Area> {
    let through = work.board(drive.through);
    let contact: Vec<ContactArea> = match drive.into {
        Other::Board(_) => {
            let side = if drive.through == asked.first { drive.side } else { drive.side.opposite() };
            work.joints[joint].contact.iter().filter(|area| area.side == side).copied().collect()
        }
        Other::Wall | Other::Floor => vec![against_house(through, drive.side)],
    };
    let areas = contact.iter().map(|area| {
        let edge_on = [Some(drive.through), board_of(drive.into)]
            .into_iter()
            .flatten()
            .map(|id| work.board(id))
            .filter(|board| normal(board) != drive.side.axis())
            .map(normal);
        let flat: Vec<Axis> = Axis::ALL.into_iter().filter(|axis| *axis != drive.side.axis()).collect();
        let size = |axis: Axis| area.high[axis.index()] - area.low[axis.index()];
        let shorter = flat.iter().copied().min_by_key(|axis| size(*axis)).unwrap_or(Axis::Deep);
        let mut thin: Vec<Axis> = edge_on.collect();
        thin.dedup();
        let across = match thin[..] {
            _ if drive.fix.by == FixingKind::PocketScrews => normal(through),
            [only] => only,
            _ => shorter,
        };
        let along = flat.iter().copied().find(|axis| *axis != across).unwrap_or(Axis::Up);
        Area { low: area.low, high: area.high, side: drive.side, along, across, rows: thin.is_empty() }
    });
    let all: Vec<Area> = areas.collect();
    let longest = all.iter().map(Area::length).max().unwrap_or_default();
    let widest = all.iter().map(Area::width).max().unwrap_or_default();
    let units = work.boards.job.units;
    let ends =
        rules::rule(drive.fix.by, longest, units).map_or(Length::ZERO, |rule| rule.ends.in_units(units));
    let worth = |area: &Area| area.length() >= longest.min(ends * 2) && area.width() * 2 > widest;
    all.into_iter().filter(worth).collect()
}

pub(super) fn board_of(other: Other) -> Option<BoardId> {
    match other {
        Other::Board(id) => Some(id),
        Other::Wall | Other::Floor => None,
    }
}

/// The whole side of a board as a contact with the house.
fn against_house(board: &Board, side: Side) -> ContactArea {
    let mut low = board.span.map(|along| along.low);
    let mut high = board.span.map(|along| along.high);
    let axis = side.axis().index();
    if side.is_high() {
        low[axis] = high[axis]
    } else {
        high[axis] = low[axis]
    }
    ContactArea { low, high, side }
}
