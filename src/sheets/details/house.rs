//! Where a board is fixed to the wall or the floor: the board cut at a fixing, what covers the wall, and how deep the point
//! ends in what lies behind. The house is not drawn by the spec but by what is said of it in service. Knows no paper.

use std::collections::BTreeMap;

use super::condition::{Condition, Occurs, Pair, room_middle, shortened};
use super::fixed::{Driven, driven, how_fixed};
use super::numbers::{Numbers, size};
use super::plane::{Plane, around, clipped};
use crate::boards::{Other, Verb};
use crate::drawing::At;
use crate::joints::{Fixing, Joint};
use crate::length::{Interval, Length};
use crate::shape::{Extents, Outline, Plate, Point};
use crate::sheets::assembly::Assembled;
use crate::sheets::bays::Look;
use crate::sheets::figures::Figures;
use crate::trade::{Axis, Side};

/// A board thicker than this on the way of its fixing is not dimensioned here: the drawing would be as long as the board.
const MOST_THROUGH: Length = Length::from_units(Length::MM.units() * 120);

/// A board on the house, on the plane of its detail.
struct Against<'a> {
    plane: Plane,
    /// True where the fixings are driven to the left or right of the plane.
    level: bool,
    /// True where they are driven towards higher numbers.
    rising: bool,
    /// The board's reach the way its fixings are driven, and across it.
    through: (Length, Length),
    across: (Length, Length),
    /// What covers the studs; nothing on a floor.
    cover: Length,
    house: Other,
    joints: Vec<&'a Joint>,
    fixings: Vec<&'a Fixing>,
}

/// A board on the house; `None` where nothing is driven into the house, so that no side of the board is known to touch it.
pub(super) fn to_house(
    of: &Assembled,
    looks: &[(Axis, Look); 3],
    pair: &Pair,
    by_joint: &BTreeMap<usize, Vec<&Fixing>>,
    figures: &Figures,
) -> Option<Condition> {
    let placed = of.made.placed.get(pair.first.0)?;
    let against = Against::of(of, looks, pair, by_joint)?;
    let margin = placed.board.thick().half().clamp(Length::MM * 8, Length::MM * 30);
    let deep = against.fixings.iter().map(|fixing| fixing.length).max()? + against.cover + margin * 2;
    let [covering, behind] = against.layers(deep, margin * 2);
    let here = against.fixings.iter().filter_map(|f| driven(of.made, f, &against.plane, &behind));
    let mut here: Vec<Driven> = here.collect();
    here.dedup_by(|a, b| a.head == b.head && a.tip == b.tip && a.kind == b.kind);

    let line = against.line();
    let contact = against.area((line, line), against.across);
    let shown = shortened(contact, &here, Verb::Butt);
    let ends = here.iter().flat_map(|d| [point(d.head), point(d.tip)]);
    let zone = ends.fold(shown, |zone, at| around(zone, Extents { low: at, high: at }));
    let window = Extents {
        low: Point::new(zone.low.x - margin, zone.low.y - margin),
        high: Point::new(zone.high.x + margin, zone.high.y + margin),
    };
    let whole = [against.plane.plates(&placed.solid), [covering, behind].concat()];
    let pieces = [0, 1].map(|i| clipped(&whole[i], &window));
    if pieces.iter().any(Vec::is_empty) {
        return None;
    }
    let mut numbers = Numbers::default();
    against.words(&mut numbers, figures);
    against.sizes(&mut numbers, shown, shown == contact, here.first(), figures);
    let occurs = vec![Occurs {
        first: pair.first,
        second: pair.second,
        axis: against.plane.axis(),
        middle: room_middle(&against.plane, &zone),
        reach: zone.width().max(zone.height()).to_mm() / 2.0,
    }];
    let Against { plane, .. } = against;
    Some(Condition { verb: Verb::Butt, plane, pieces, whole, window, numbers, driven: here, occurs })
}

impl<'a> Against<'a> {
    fn of(
        of: &Assembled<'a>,
        looks: &[(Axis, Look); 3],
        pair: &Pair,
        by_joint: &BTreeMap<usize, Vec<&'a Fixing>>,
    ) -> Option<Against<'a>> {
        let made = of.made;
        let board = &made.placed.get(pair.first.0)?.board;
        let all = pair.joints.iter().filter_map(|i| by_joint.get(i)).flatten().copied();
        let into: Vec<&Fixing> = all.filter(|fixing| fixing.into == pair.second).collect();
        let side = towards(into.first()?)?;
        let fixings: Vec<&Fixing> = into.into_iter().filter(|f| towards(f) == Some(side)).collect();
        let axis = plane_axis(board.frame.into.axis(), side.axis(), &board.span);
        let along = board.span[axis.index()];
        let middle = along.low + along.size().half();
        let heads = fixings.iter().map(|fixing| fixing.head[axis.index()]);
        let at = heads.min_by_key(|at| ((*at - middle).abs(), *at))?;
        let look = looks.iter().find(|(a, _)| *a == axis).map(|(_, look)| *look)?;
        let plane = Plane { look, at };
        let level = side.axis() == look.right.axis();
        let Extents { low, high } = plane.extents(&board.span);
        let (x, y) = ((low.x, high.x), (low.y, high.y));
        let (through, across) = if level { (x, y) } else { (y, x) };
        Some(Against {
            plane,
            level,
            rising: side == if level { look.right } else { look.up },
            through,
            across,
            cover: if pair.second == Other::Wall { made.job.service.wallboard } else { Length::ZERO },
            house: pair.second,
            joints: pair.joints.iter().filter_map(|i| made.joints.get(*i)).collect(),
            fixings,
        })
    }

    /// Where the board touches the house, the way the fixings are driven.
    fn line(&self) -> Length {
        if self.rising { self.through.1 } else { self.through.0 }
    }

    /// So far into the house.
    fn inside(&self, by: Length) -> Length {
        if self.rising { self.line() + by } else { self.line() - by }
    }

    fn area(&self, along: (Length, Length), across: (Length, Length)) -> Extents {
        let (a, b) = (Interval::between(along.0, along.1), Interval::between(across.0, across.1));
        let (x, y) = if self.level { (a, b) } else { (b, a) };
        Extents { low: Point::new(x.low, y.low), high: Point::new(x.high, y.high) }
    }

    /// What covers the studs, and what lies behind it: past the board on both sides.
    fn layers(&self, deep: Length, past: Length) -> [Vec<Plate>; 2] {
        let across = (self.across.0 - past, self.across.1 + past);
        [(Length::ZERO, self.cover), (self.cover, deep)].map(|(from, to)| {
            let area = self.area((self.inside(from), self.inside(to)), across);
            Outline::rectangle(area.low, area.high).map(Plate::whole).into_iter().collect()
        })
    }

    fn words(&self, all: &mut Numbers, figures: &Figures) {
        let house = if self.house == Other::Floor { "FLOOR" } else { "WALL" };
        let (words, how) = how_fixed(&self.joints, &self.fixings, figures);
        all.title =
            [Some(format!("TO THE {house}")), words].into_iter().flatten().collect::<Vec<_>>().join(", ");
        all.facts.push(("FIXED".to_owned(), how));
        let find = match self.house {
            Other::Floor => "pipes, cables and heating in the floor before it is drilled",
            _ => {
                "studs, cables and pipes before the wall is drilled; a fixing that meets no stud moves to one, or is of a kind that the local code allows in the wall there is"
            }
        };
        all.facts.push(("FIND".to_owned(), find.to_owned()));
        let mut notes: Vec<&String> = self.joints.iter().filter_map(|j| j.note.as_ref()).collect();
        notes.dedup();
        all.facts.extend(notes.into_iter().map(|note| ("NOTE".to_owned(), note.clone())));
    }

    fn sizes(
        &self,
        all: &mut Numbers,
        shown: Extents,
        is_whole: bool,
        driven: Option<&Driven>,
        figures: &Figures,
    ) {
        let sides = if self.level { (shown.low.y, shown.high.y) } else { (shown.low.x, shown.high.x) };
        let sorted = |a: Length, b: Length| (a.min(b), a.max(b));
        let (line, stud) = (self.line(), self.inside(self.cover));
        if self.through.1 - self.through.0 <= MOST_THROUGH {
            all.sizes.push(size("through the board", self.level, self.through, sides));
        }
        if self.cover.is_positive() {
            all.sizes.push(size("wallboard", self.level, sorted(line, stud), sides));
        }
        let Some(driven) = driven else { return };
        let word = driven.kind.word();
        let split = |at: Point| if self.level { (at.x, at.y) } else { (at.y, at.x) };
        let ((_, aside), (tip, beside)) = (split(point(driven.head)), split(point(driven.tip)));
        let (low, high) = self.across;
        if is_whole && low < aside && aside < high {
            let span = if aside - low <= high - aside { (low, aside) } else { (aside, high) };
            all.sizes.push(size(&format!("{word} from the edge"), !self.level, span, (line, line)));
        }
        let bite = if self.rising { tip - stud } else { stud - tip };
        let behind = if self.house == Other::Floor { "floor" } else { "stud" };
        let text = if bite.is_positive() {
            all.sizes.push(size(
                &format!("{word} in the {behind}"),
                self.level,
                sorted(stud, tip),
                (beside, beside),
            ));
            let cover = figures.print(self.cover).both();
            let cover = if self.cover.is_positive() {
                format!(
                    ", behind {cover} of wallboard: where the wall is built otherwise, measure it and choose anew"
                )
            } else {
                String::new()
            };
            format!("ends {} deep in the {behind}{cover}", figures.print(bite).both())
        } else {
            format!("ends in what covers the {behind}s, where it holds nothing: it needs to be longer")
        };
        all.facts.insert(1, ("POINT".to_owned(), text));
    }
}

fn point(at: At) -> Point {
    Point::new(Length::from_mm(at.0), Length::from_mm(at.1))
}

/// The side of the board that a fixing leaves it by, where it is driven square.
fn towards(fixing: &Fixing) -> Option<Side> {
    let axis = Axis::ALL.into_iter().find(|axis| fixing.direction[axis.index()].abs() > 0.99)?;
    Some(if fixing.direction[axis.index()] > 0.0 { axis.high() } else { axis.low() })
}

/// The axis that the plane is square to: it shows the board's thickness, and of two such planes the one across its length.
fn plane_axis(into: Axis, driven: Axis, span: &[Interval; 3]) -> Axis {
    let may = Axis::ALL.into_iter().filter(|axis| *axis != driven && *axis != into);
    may.max_by_key(|axis| (span[axis.index()].size(), std::cmp::Reverse(*axis))).unwrap_or(driven)
}
