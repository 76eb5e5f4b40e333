//! Conditions of joints: where two boards meet, on the plane that shows it best, with its numbers. Equal conditions are one,
//! whichever boards they are and whichever way they are turned. Knows no paper.

use std::collections::BTreeMap;

use super::fixed::{Driven, driven};
use super::house::to_house;
use super::numbers::{Met, Numbers};
use super::plane::{Plane, around, clipped, shared};
use super::same::Likeness;
use crate::boards::{BoardId, Other, Verb};
use crate::joints::{ContactArea, Fixing, Joint};
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::shape::cut::subtract;
use crate::shape::{Extents, Plate, Point};
use crate::sheets::assembly::Assembled;
use crate::sheets::bays::Look;
use crate::sheets::figures::Figures;
use crate::trade::{Axis, Position, Side};

/// A board and another, or the house, with all joints between them.
#[derive(Clone, Debug)]
pub struct Pair {
    pub first: BoardId,
    pub second: Other,
    /// Indices into [`Made::joints`].
    pub joints: Vec<usize>,
}

/// Where a condition occurs: the boards, and the place in the room that its detail shows.
#[derive(Clone, Debug)]
pub struct Occurs {
    pub first: BoardId,
    pub second: Other,
    pub axis: Axis,
    pub middle: Position,
    /// Half the longer side of what is shown, in millimetres of wood.
    pub reach: f64,
}

/// A joint cut where it is seen best.
#[derive(Clone, Debug)]
pub struct Condition {
    pub verb: Verb,
    pub plane: Plane,
    /// What of the two boards, or of the board and the house, lies in the window, pockets of screws taken out.
    pub pieces: [Vec<Plate>; 2],
    /// What the plane cuts of them altogether.
    pub whole: [Vec<Plate>; 2],
    pub window: Extents,
    pub numbers: Numbers,
    pub driven: Vec<Driven>,
    /// All places where it occurs, the one that is drawn first.
    pub occurs: Vec<Occurs>,
}

/// Contacts that reach further than this across the plane are shown at one end only.
const MOST_ACROSS: Length = Length::from_units(80_000 * 320);
/// How much of a longer contact is shown.
const END: Length = Length::from_units(80_000 * 90);

/// All different conditions of an assembly, in the order of its joints.
pub fn conditions(of: &Assembled, third: bool, figures: &Figures) -> Vec<Condition> {
    let mut all: Vec<Condition> = Vec::new();
    let mut known: BTreeMap<Likeness, usize> = BTreeMap::new();
    let looks = of.looks(third).map(|look| (look.eye.axis(), look));
    let fixings = by_joint(of.made);
    for pair in pairs(of) {
        let found = match pair.second {
            Other::Board(second) => condition(of, &looks, &pair, second, &fixings, figures),
            Other::Wall | Other::Floor => to_house(of, &looks, &pair, &fixings, figures),
        };
        let Some(found) = found else { continue };
        let boards = [Some(pair.first), board_of(pair.second)].into_iter().flatten();
        let boards: Vec<&Placed> = boards.filter_map(|id| of.made.placed.get(id.0)).collect();
        let next = all.len();
        let same = *known.entry(Likeness::of(&found, &boards)).or_insert(next);
        match all.get_mut(same) {
            Some(condition) => condition.occurs.extend(found.occurs),
            None => all.push(found),
        }
    }
    all
}

/// Fixings of every joint, by its index.
fn by_joint(made: &Made) -> BTreeMap<usize, Vec<&Fixing>> {
    let mut all: BTreeMap<usize, Vec<&Fixing>> = BTreeMap::new();
    for fixing in &made.fixings {
        all.entry(fixing.joint).or_default().push(fixing);
    }
    all
}

/// The board, where it is one and not the house.
pub fn board_of(other: Other) -> Option<BoardId> {
    if let Other::Board(id) = other { Some(id) } else { None }
}

/// Pairs of boards of the assembly that are joined, each once: two butts of one pair are two ways of fixing it. The house is
/// the second of a pair too.
fn pairs(of: &Assembled) -> Vec<Pair> {
    let mut all: Vec<Pair> = Vec::new();
    let mut known: BTreeMap<(BoardId, Other), usize> = BTreeMap::new();
    for (i, joint) in of.made.joints.iter().enumerate() {
        let (first, second) = (joint.first, joint.second);
        let is_ours = of.made.placed.get(first.0).is_some_and(|p| Some(p.board.assembly) == of.index);
        if !is_ours || joint.refused {
            continue;
        }
        let key = match second {
            Other::Board(second) => (first.min(second), Other::Board(first.max(second))),
            house => (first, house),
        };
        let next = all.len();
        // Every joint with the house is fixed its own way, from its own side.
        let same = if board_of(second).is_some() { *known.entry(key).or_insert(next) } else { next };
        match all.get_mut(same) {
            Some(pair) => pair.joints.push(i),
            None => all.push(Pair { first, second, joints: vec![i] }),
        }
    }
    all
}

/// The joint of a pair on its plane; `None` where the plane cuts only one of the boards.
fn condition(
    of: &Assembled,
    looks: &[(Axis, Look); 3],
    pair: &Pair,
    second: BoardId,
    by_joint: &BTreeMap<usize, Vec<&Fixing>>,
    figures: &Figures,
) -> Option<Condition> {
    let made = of.made;
    let boards = [made.placed.get(pair.first.0)?, made.placed.get(second.0)?];
    let joints: Vec<&Joint> = pair.joints.iter().filter_map(|i| made.joints.get(*i)).collect();
    let fixings: Vec<&Fixing> =
        pair.joints.iter().filter_map(|i| by_joint.get(i)).flatten().copied().collect();
    let verb = joints.first()?.verb;
    let contact: Vec<ContactArea> = joints.iter().flat_map(|j| j.contact.clone()).collect();
    let common = shared(&boards[0].board.span, &boards[1].board.span);
    let axis = plane_axis(verb, boards, &contact, &common);
    let at = plane_at(verb, axis, boards, &contact, &common, &fixings);
    let look = looks.iter().find(|(a, _)| *a == axis).map(|(_, look)| *look)?;
    let plane = Plane { look, at };
    let whole = boards.map(|placed| plane.plates(&placed.solid));
    let into = |fixing: &Fixing| match fixing.into {
        Other::Board(id) if id == pair.first => &whole[0][..],
        Other::Board(_) => &whole[1][..],
        _ => &[],
    };
    let mut driven: Vec<Driven> =
        fixings.iter().filter_map(|fixing| driven(made, fixing, &plane, into(fixing))).collect();
    driven.dedup_by(|a, b| a.head == b.head && a.tip == b.tip && a.kind == b.kind);
    let here = contact.iter().filter(|c| {
        let i = axis.index();
        verb == Verb::Mitre || (c.low[i] <= plane.at && plane.at <= c.high[i])
    });
    let touching = here.map(|c| plane.extents(&[0, 1, 2].map(|i| Interval::between(c.low[i], c.high[i]))));
    let zone = match verb {
        Verb::Butt => touching.reduce(around).unwrap_or_else(|| plane.extents(&common)),
        _ => plane.extents(&common),
    };
    let shown = shortened(zone, &driven, verb);
    let thick = boards[0].board.thick().max(boards[1].board.thick());
    let margin = (thick + thick.shared_by(4).0).clamp(Length::MM * 8, Length::MM * 70);
    let met = Met {
        of,
        plane: &plane,
        verb,
        boards,
        joints: &joints,
        whole: &whole,
        zone,
        shown,
        margin,
        side: side_of(&contact),
        fixings: &fixings,
        driven: &driven,
        figures,
    };
    let numbers = met.numbers();
    let zone = numbers.cut.map_or(shown, |cut| around(cut, shown));
    let zone = driven.iter().fold(zone, |zone, d| {
        let to = |at: (f64, f64)| Point::new(Length::from_mm(at.0), Length::from_mm(at.1));
        let ends = [to(d.head), to(d.tip)];
        ends.into_iter().fold(zone, |zone, p| around(zone, Extents { low: p, high: p }))
    });
    let window = Extents {
        low: Point::new(zone.low.x - margin, zone.low.y - margin),
        high: Point::new(zone.high.x + margin, zone.high.y + margin),
    };
    let mut pieces = [0, 1].map(|i| clipped(&whole[i], &window));
    for (piece, id) in pieces.iter_mut().zip([pair.first, second]) {
        if !fixings.iter().any(|fixing| fixing.through == id) {
            continue;
        }
        for pocket in driven.iter().filter_map(|d| d.pocket.as_ref()) {
            let bored = piece.iter().flat_map(|p| subtract(p, pocket).unwrap_or_else(|_| vec![p.clone()]));
            *piece = bored.collect();
        }
    }
    if pieces.iter().any(Vec::is_empty) {
        return None;
    }
    let occurs = vec![Occurs {
        first: pair.first,
        second: pair.second,
        axis,
        middle: room_middle(&plane, &zone),
        reach: zone.width().max(zone.height()).to_mm() / 2.0,
    }];
    Some(Condition { verb, plane, pieces, whole, window, numbers, driven, occurs })
}

/// The axis that the plane is square to. A cut through a board is seen on its face; all else on the plane that shows the
/// thickness of both boards.
fn plane_axis(verb: Verb, boards: [&Placed; 2], contact: &[ContactArea], common: &[Interval; 3]) -> Axis {
    let [one, other] = boards.map(|placed| placed.board.frame.into.axis());
    if matches!(verb, Verb::Notch | Verb::Halve) {
        return one;
    }
    let touching = side_of(contact).map(Side::axis);
    let reach = |axis: Axis| {
        let spans = contact.iter().map(|c| c.high[axis.index()] - c.low[axis.index()]);
        spans.max().unwrap_or_else(|| common[axis.index()].size())
    };
    let third = Axis::ALL.into_iter().find(|axis| *axis != one && *axis != other);
    match third {
        Some(third) if one != other && (verb != Verb::Butt || touching != Some(third)) => third,
        _ => {
            // Boards that lie the same way edge to edge, face to face, or end on edge.
            let may = Axis::ALL.into_iter().filter(|axis| Some(*axis) != touching && *axis != one);
            may.max_by_key(|axis| (reach(*axis), std::cmp::Reverse(*axis))).unwrap_or(one)
        }
    }
}

/// The side of the first board on which most of the contact lies.
fn side_of(contact: &[ContactArea]) -> Option<Side> {
    let size = |c: &ContactArea| {
        let sizes = [0, 1, 2].map(|i| (c.high[i] - c.low[i]).to_mm());
        (0..3).filter(|i| *i != c.side.axis().index()).map(|i| sizes[i]).product::<f64>()
    };
    contact.iter().max_by(|a, b| size(a).total_cmp(&size(b)).then(b.side.cmp(&a.side))).map(|c| c.side)
}

/// Where the plane stands: in the middle of the board that is cut through, else through the fixing nearest to the middle of
/// the longest contact.
fn plane_at(
    verb: Verb,
    axis: Axis,
    boards: [&Placed; 2],
    contact: &[ContactArea],
    common: &[Interval; 3],
    fixings: &[&Fixing],
) -> Length {
    let i = axis.index();
    let middle = |low: Length, high: Length| low + (high - low).half();
    if matches!(verb, Verb::Notch | Verb::Halve) {
        let span = boards[0].board.span[i];
        return middle(span.low, span.high);
    }
    let longest = contact.iter().max_by_key(|c| (c.high[i] - c.low[i], std::cmp::Reverse(c.low)));
    let of_contact =
        longest.map_or_else(|| middle(common[i].low, common[i].high), |c| middle(c.low[i], c.high[i]));
    let heads = fixings.iter().map(|fixing| fixing.head[i]);
    heads.min_by_key(|at| ((*at - of_contact).abs(), *at)).unwrap_or(of_contact)
}

/// The part of a long contact that is shown: round its fixing, else its low end.
pub(super) fn shortened(zone: Extents, driven: &[Driven], verb: Verb) -> Extents {
    if verb != Verb::Butt {
        return zone;
    }
    let at = driven.first().map(|d| (Length::from_mm(d.head.0), Length::from_mm(d.head.1)));
    let keep = |low: Length, high: Length, at: Option<Length>| {
        if high - low <= MOST_ACROSS {
            return (low, high);
        }
        match at {
            Some(at) => ((at - END.half()).max(low), (at + END.half()).min(high)),
            None => (low, low + END),
        }
    };
    let (left, right) = keep(zone.low.x, zone.high.x, at.map(|a| a.0));
    let (bottom, top) = keep(zone.low.y, zone.high.y, at.map(|a| a.1));
    Extents { low: Point::new(left, bottom), high: Point::new(right, top) }
}

/// The middle of an area of the plane, in the room.
pub(super) fn room_middle(plane: &Plane, area: &Extents) -> Position {
    let mut at = [plane.at; 3];
    let middle = |low: Length, high: Length| low + (high - low).half();
    let (x, y) = (middle(area.low.x, area.high.x), middle(area.low.y, area.high.y));
    for (side, along) in [(plane.look.right, x), (plane.look.up, y)] {
        at[side.axis().index()] = along * side.sign();
    }
    at
}
