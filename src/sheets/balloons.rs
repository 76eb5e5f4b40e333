//! A balloon for every part of some views, each on a line of its part. Knows lines, not boards' shapes.

use std::collections::{BTreeMap, BTreeSet};

use super::frame::Area;
use super::free::{Spot, Taken};
use crate::drawing::arrow::Terminator;
use crate::drawing::balloon::{pointing_balloon, radius};
use crate::drawing::{At, Mark};
use crate::parts::{Made, PartId, Placed};
use crate::shape::view::ViewLine;

/// Height of the letters in a balloon.
const LETTERS: f64 = 3.5;

/// A view on paper: its lines in mm of wood, where its (0, 0) lies, and the scale.
pub struct Shown<'a> {
    pub lines: &'a [ViewLine],
    pub origin: At,
    pub factor: f64,
}

impl Shown<'_> {
    /// What its lines take on paper; `None` without lines.
    fn area(&self) -> Option<Area> {
        let points = self.lines.iter().filter(|l| l.visible).flat_map(|l| [l.from, l.to]);
        let place = |p: At| (self.origin.0 + p.0 * self.factor, self.origin.1 + p.1 * self.factor);
        points.map(place).fold(None, |all: Option<Area>, p| {
            let Area { low, high } = all.unwrap_or(Area { low: p, high: p });
            let (low, high) = ((low.0.min(p.0), low.1.min(p.1)), (high.0.max(p.0), high.1.max(p.1)));
            Some(Area { low, high })
        })
    }
}

/// The board whose face is seen at a point of the view, in mm of wood; `None` beside all of them.
pub type Faces<'a> = dyn Fn((f64, f64)) -> Option<usize> + 'a;

/// A point beside a line where the face of the line's own board is seen, as deep inside as there is room.
fn inside_face(faces: &Faces, shown: &Shown, line: &ViewLine, at: At) -> Option<At> {
    let long = length(line);
    if long <= 0.0 {
        return None;
    }
    let across = (-(line.to.1 - line.from.1) / long, (line.to.0 - line.from.0) / long);
    let depths = [3.0, 1.5, 0.7, 0.3].into_iter().flat_map(|depth| [depth, -depth]);
    let points = depths.map(|depth| (at.0 + across.0 * depth, at.1 + across.1 * depth));
    let wood = |p: At| ((p.0 - shown.origin.0) / shown.factor, (p.1 - shown.origin.1) / shown.factor);
    let mut points = points;
    points.find(|p| faces(wood(*p)) == Some(line.solid))
}

/// Parts that no view shows, each with the view that would show most of it: drawn hidden there.
pub fn unseen(boards: &[&Placed], lines: &[Vec<ViewLine>]) -> Vec<(usize, PartId)> {
    let by_part: Vec<ByPart> = lines.iter().map(|view| sorted(boards, view)).collect();
    let parts: BTreeSet<PartId> = boards.iter().map(|board| board.part).collect();
    let hidden = parts
        .into_iter()
        .filter(|part| by_part.iter().all(|view| lines_of(view, *part).iter().all(|line| !line.visible)));
    hidden
        .filter_map(|part| {
            let amounts =
                by_part.iter().map(|view| lines_of(view, part).iter().map(|line| length(line)).sum::<f64>());
            let best = amounts.enumerate().max_by(|(_, a), (_, b)| a.total_cmp(b))?;
            Some((best.0, part))
        })
        .collect()
}

/// The lines of a view by the part that they belong to, the longest first.
type ByPart<'a> = BTreeMap<PartId, Vec<&'a ViewLine>>;

fn sorted<'a>(boards: &[&Placed], lines: &'a [ViewLine]) -> ByPart<'a> {
    let mut all = ByPart::new();
    for line in lines {
        if let Some(board) = boards.get(line.solid) {
            all.entry(board.part).or_default().push(line);
        }
    }
    all.values_mut().for_each(|lines| lines.sort_by(|a, b| length(b).total_cmp(&length(a))));
    all
}

fn lines_of<'v, 'l>(view: &'v ByPart<'l>, part: PartId) -> &'v [&'l ViewLine] {
    view.get(&part).map_or(&[], Vec::as_slice)
}

/// Most lines, texts and places that are looked at for one balloon in one way of placing it in one view: however crowded
/// the views, a part costs no more than a dozen times this. Where nothing is crowded a balloon takes less than half of it.
const MOST_STEPS: usize = 10_000;

/// One balloon for every part: on the line of it that can be reached best, in the first view that shows it. A view's balloons
/// and their leaders keep out of `rows`, the areas of rows of sizes, and of other views, where there is any room else; in
/// smaller letters before they do not.
#[expect(clippy::too_many_arguments, reason = "views of boards, and what is free on paper")]
pub fn balloons(
    made: &Made,
    boards: &[&Placed],
    views: &[Shown],
    unseen: &[(usize, PartId)],
    faces: Option<&Faces>,
    rows: &[Area],
    zone: Area,
    taken: &mut Taken,
    group: f64,
) -> Vec<Mark> {
    let mut marks = Vec::new();
    let by_part: Vec<ByPart> = views.iter().map(|shown| sorted(boards, shown.lines)).collect();
    let unseen: BTreeMap<PartId, usize> = unseen.iter().map(|(view, part)| (*part, *view)).collect();
    let mut own: Vec<Taken> = (0..views.len())
        .map(|view| {
            let mut own = taken.clone();
            let others = views.iter().enumerate().filter(|(other, _)| *other != view);
            let others = others.filter_map(|(_, shown)| shown.area());
            others.chain(rows.iter().copied()).for_each(|area| own.add_area(area));
            own
        })
        .collect();
    for (i, part) in made.parts.iter().enumerate() {
        let hidden = unseen.get(&PartId(i)).copied();
        let lines = |view: usize| -> Vec<&ViewLine> {
            let counts = |l: &&&ViewLine| if hidden.is_some() { hidden == Some(view) } else { l.visible };
            // The chord of an arc lies off the arc.
            let lines = lines_of(&by_part[view], PartId(i)).iter().filter(counts);
            lines.filter(|l| l.bulge == 0.0).take(6).copied().collect()
        };
        let mark = part.mark.as_str();
        let own_zone = |letters: f64, most: f64| {
            let found = (0..views.len()).find_map(|view| {
                spot(&lines(view), &views[view], faces, zone, &own[view], (mark, letters), most)
            });
            found.map(|found| (found, letters))
        };
        let anywhere = || {
            let found = (0..views.len()).find_map(|view| {
                spot(&lines(view), &views[view], faces, zone, taken, (mark, SMALL), f64::MAX)
            });
            found.map(|found| (found, SMALL))
        };
        // A long leader is worse than small letters, and a foreign zone worse than both.
        let found = own_zone(LETTERS, SHORT)
            .or_else(|| own_zone(SMALL, SHORT))
            .or_else(|| own_zone(SMALL, f64::MAX))
            .or_else(anywhere);
        let Some(((target, spot), letters)) = found else { continue };
        let end = if faces.is_some() { Terminator::Dot } else { Terminator::Narrow };
        let balloon = pointing_balloon(spot.middle, &part.mark, letters, target, end, group);
        taken.add(&balloon);
        own.iter_mut().for_each(|own| own.add(&balloon));
        marks.extend(balloon);
    }
    marks
}

/// Letters in a balloon where larger ones find no room.
const SMALL: f64 = 2.5;
/// A leader that is no longer than this is found by eye at once.
const SHORT: f64 = 40.0;

/// The shortest leader to one of some lines that crosses the fewest others, with its place for a balloon.
fn spot(
    lines: &[&ViewLine],
    shown: &Shown,
    faces: Option<&Faces>,
    zone: Area,
    taken: &Taken,
    (mark, letters): (&str, f64),
    most: f64,
) -> Option<(At, Spot)> {
    let size = 2.0 * radius(mark, letters);
    let begun = taken.steps();
    let along = |l: &ViewLine, t: f64| {
        let at = (l.from.0 + (l.to.0 - l.from.0) * t, l.from.1 + (l.to.1 - l.from.1) * t);
        (shown.origin.0 + at.0 * shown.factor, shown.origin.1 + at.1 * shown.factor)
    };
    let targets = lines.iter().flat_map(|l| [0.5, 0.35, 0.65, 0.2, 0.8].map(|t| (*l, along(l, t))));
    let targets = targets.filter_map(|(l, at)| match faces {
        None => Some(at),
        Some(faces) => inside_face(faces, shown, l, at),
    });
    // Each target has to beat those before it.
    let mut found: Option<(At, Spot)> = None;
    for target in targets {
        if taken.steps() - begun > MOST_STEPS {
            break;
        }
        let beat = found.map_or(f64::MAX, |(_, spot)| spot.cost);
        let spot = taken.close_to(target, (size, size), zone, false, most, beat);
        // The leader as it is drawn: from the middle of the balloon.
        let clear = spot.filter(|spot| !taken.runs_through_text(target, spot.middle));
        found = clear.map(|spot| (target, spot)).or(found);
    }
    found
}

fn length(line: &ViewLine) -> f64 {
    libm::hypot(line.to.0 - line.from.0, line.to.1 - line.from.1)
}
