//! Where joined boards touch: the true areas after all cuts, as rectangles in the room.

use std::collections::BTreeMap;

use crate::boards::{Asked, BoardId, Other, Verb};
use crate::joints::ContactArea;
use crate::joints::fixing::mitre_contact;
use crate::joints::meet::{Matched, Meeting, entry, own_side, put_at};
use crate::joints::work::Work;
use crate::length::{Interval, Length};
use crate::shape::contact::planes;
use crate::shape::cut::{CutFault, intersect};
use crate::shape::shell::AxisFace;
use crate::shape::solid::across;
use crate::shape::{Extents, Plate, Point};
use crate::trade::Axis;

/// A butt whose boards share wood instead of touching.
pub(super) fn overlap_at_butt(
    work: &mut Work,
    joint: usize,
    asked: &Asked,
    second: BoardId,
    shared: &[Interval; 3],
) {
    let (one, other) = (work.board(asked.first), work.board(second));
    let least = Axis::ALL.into_iter().min_by_key(|axis| shared[axis.index()].size()).unwrap_or(Axis::Across);
    let by = shared[least.index()].size();
    // The side of the first that reaches into the second.
    let (a, b) = (one.span[least.index()], other.span[least.index()]);
    let side = if a.low + a.high < b.low + b.high { least.high() } else { least.low() };
    let end = if side.is_high() { a.high - by } else { a.low + by };
    let message = format!(
        "{} and {} are to butt but overlap by {}: the {} of {} lies that far inside {}",
        one.name,
        other.name,
        work.tell(by),
        own_side(&work.boards.job, one, side).word(),
        one.name,
        other.name
    );
    let fault =
        work.fault("gap-at-butt", asked, message).propose(put_at(work, one, side, end)).propose(format!(
            "or write {{house: {}, in: {}}} for a housing {} deep",
            entry(one, other),
            entry(other, one),
            work.tell(by)
        ));
    work.refuse(joint, fault);
}

/// Finds the contact of every joint between boards that could be made.
pub(super) fn touching(work: &mut Work, matched: &[Matched]) {
    let mut faces: BTreeMap<BoardId, Vec<Flat>> = BTreeMap::new();
    for (joint, pair) in matched.iter().enumerate() {
        let (Other::Board(second), Some(meeting)) = (pair.asked.second, pair.meeting) else { continue };
        if work.joints[joint].refused {
            continue;
        }
        if let (Verb::Mitre, Meeting::Overlap(shared)) = (pair.asked.joint, meeting) {
            work.joints[joint].contact = vec![mitre_contact(work, pair.asked, second, &shared)];
            continue;
        }
        let found = ready(work, &mut faces, pair.asked.first)
            .and_then(|()| ready(work, &mut faces, second))
            .and_then(|()| areas(&faces[&pair.asked.first], &faces[&second], pair.asked.fit));
        match found {
            Ok(contact) => work.joints[joint].contact = contact,
            Err(fault) => work.unsound(joint, pair.asked, pair.asked.first, fault),
        }
    }
}

/// A flat face of a board with the box round it.
struct Flat {
    face: AxisFace,
    around: Extents,
}

/// Works out the faces of a board once, however many joints it has.
fn ready(work: &Work, faces: &mut BTreeMap<BoardId, Vec<Flat>>, id: BoardId) -> Result<(), CutFault> {
    if faces.contains_key(&id) {
        return Ok(());
    }
    // Holes are laid out on the contact afterwards, so they must not bite into it.
    let found = planes(&work.solid(id))?;
    let flats = found.into_iter().map(|face| Flat { around: face.region.outline.extents(), face });
    faces.insert(id, flats.collect());
    Ok(())
}

/// Where the faces of two boards look at each other no further apart than the fit, as rectangles.
fn areas(one: &[Flat], other: &[Flat], fit: Length) -> Result<Vec<ContactArea>, CutFault> {
    let mut found = Vec::new();
    for flat in one {
        let side = flat.face.side;
        for opposite in other.iter().filter(|opposite| opposite.face.side == side.opposite()) {
            let gap = (opposite.face.at - flat.face.at) * side.sign();
            if gap < -Length::TOUCH || gap > fit + Length::TOUCH || apart(&flat.around, &opposite.around) {
                continue;
            }
            for plate in intersect(&flat.face.region, &opposite.face.region)? {
                for piece in rectangles(&plate) {
                    let [first, second] = across(side.axis());
                    let (mut low, mut high) = ([flat.face.at; 3], [flat.face.at; 3]);
                    (low[first.index()], high[first.index()]) = (piece.low.x, piece.high.x);
                    (low[second.index()], high[second.index()]) = (piece.low.y, piece.high.y);
                    found.push(ContactArea { low, high, side });
                }
            }
        }
    }
    found.sort_by_key(|area| (area.side, area.low, area.high));
    Ok(found)
}

fn apart(one: &Extents, other: &Extents) -> bool {
    one.high.x <= other.low.x
        || other.high.x <= one.low.x
        || one.high.y <= other.low.y
        || other.high.y <= one.low.y
}

/// Narrower than this a strip of contact carries nothing: half a millimetre.
const STRIP: Length = Length::from_units(40_000);

/// The plate in rectangles that lie inside it; curved borders are left out.
fn rectangles(plate: &Plate) -> Vec<Extents> {
    if plate.inside.is_empty() && plate.outline.is_rectangle() {
        return vec![plate.outline.extents()];
    }
    let turned = |point: Point| Point::new(point.y, point.x);
    let loops: Vec<Vec<Point>> = plate.loops().map(|outline| points(outline.flattened(0.5))).collect();
    let columns: Vec<Vec<Point>> =
        loops.iter().map(|line| line.iter().map(|point| turned(*point)).collect()).collect();
    // Cut across the long way, so that a strip broken by notches is told as the stretches between them.
    let around = plate.outline.extents();
    if around.height() >= around.width() {
        return rows(&loops);
    }
    let turn = |piece: Extents| Extents { low: turned(piece.low), high: turned(piece.high) };
    rows(&columns).into_iter().map(turn).collect()
}

fn points(line: Vec<(f64, f64)>) -> Vec<Point> {
    line.into_iter().map(|(x, y)| Point::new(Length::from_mm(x), Length::from_mm(y))).collect()
}

/// Rows between every two heights at which a corner lies, those of equal ends joined.
fn rows(loops: &[Vec<Point>]) -> Vec<Extents> {
    let mut levels: Vec<Length> = loops.iter().flatten().map(|point| point.y).collect();
    levels.sort_unstable();
    levels.dedup();
    let mut found: Vec<Extents> = Vec::new();
    for pair in levels.windows(2) {
        let (lower, upper) = (pair[0], pair[1]);
        let (below, above) = (crossings(loops, lower, upper, true), crossings(loops, lower, upper, false));
        for (a, b) in below.chunks_exact(2).zip(above.chunks_exact(2)) {
            let (left, right) = (a[0].max(b[0]), a[1].min(b[1]));
            if right - left < STRIP {
                continue;
            }
            let same = |row: &&mut Extents| row.high.y == lower && row.low.x == left && row.high.x == right;
            match found.iter_mut().find(same) {
                Some(row) => row.high.y = upper,
                None => found.push(Extents { low: Point::new(left, lower), high: Point::new(right, upper) }),
            }
        }
    }
    found.retain(|row| row.height() >= STRIP);
    found
}

/// Where the sides that span a row cross its lower or its upper line, in order.
fn crossings(loops: &[Vec<Point>], lower: Length, upper: Length, at_lower: bool) -> Vec<Length> {
    let mut found: Vec<(Length, Length)> = Vec::new();
    for line in loops {
        let next = line.iter().cycle().skip(1);
        for (a, b) in line.iter().zip(next) {
            let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
            if low.y > lower || high.y < upper || low.y == high.y {
                continue;
            }
            let at = |level: Length| {
                let share = (level - low.y).to_mm() / (high.y - low.y).to_mm();
                if low.x == high.x {
                    low.x
                } else {
                    low.x + Length::from_mm((high.x - low.x).to_mm() * share)
                }
            };
            // In the order of the middle, so that lower and upper line are paired side by side.
            found.push((at(lower + (upper - lower).half()), at(if at_lower { lower } else { upper })));
        }
    }
    found.sort_unstable();
    found.into_iter().map(|(_, at)| at).collect()
}
