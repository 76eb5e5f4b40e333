//! What is different between two states of one part, as facts.

use std::collections::BTreeSet;

use super::feature::{Feature, Kind, features, near, near_point};
use super::turn::Turn;
use crate::length::Length;
use crate::parts::{Made, Part, faces_differ, same_outline, same_piece};
use crate::shape::{Outline, Point};
use crate::trade::{Grain, Side};

/// A size of the piece itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Overall {
    /// along u and v of the drawing, finished
    Width,
    Height,
    Thickness,
}

impl Overall {
    pub const fn word(self) -> &'static str {
        match self {
            Overall::Width => "width",
            Overall::Height => "height",
            Overall::Thickness => "thickness",
        }
    }
}

/// An arc of the outline that bends differently: its chord now, and its rise over the middle of the chord.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bent {
    pub chord: Length,
    pub old: Length,
    pub new: Length,
}

/// One thing that is not as it was. Places are those of the new drawing, from its datum corner.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    Size {
        of: Overall,
        old: Length,
        new: Length,
    },
    /// The outline before any joint has another shape: corners, arch, taper. Corners that moved and arcs that bend
    /// differently, where there are as many corners as before.
    Outline {
        moved: Vec<(Point, Point)>,
        arcs: Vec<Bent>,
        corners: (usize, usize),
    },
    /// A cut, recess, hole or worked edge: added where `old` is `None`, removed where `new` is, else moved, resized or
    /// worked in another way.
    Work {
        old: Option<Feature>,
        new: Option<Feature>,
    },
    Stock {
        old: String,
        new: String,
    },
    Grain {
        old: Grain,
        new: Grain,
    },
    /// The side of the room that the show face of the first board looks to.
    ShowFace {
        old: Side,
        new: Side,
    },
    /// The piece is drawn turned; `over` where the other of two unlike faces is the show face now.
    Turned {
        over: bool,
    },
    Finish {
        old: String,
        new: String,
    },
    Notes,
    Quantity {
        old: usize,
        new: usize,
    },
    Id {
        old: String,
        new: String,
    },
    Mark {
        old: String,
        new: String,
    },
    /// The two pieces are not the same, yet nothing above says why.
    Unnamed,
}

impl Difference {
    /// True for what concerns the wood: false for names, numbers of pieces and words.
    pub const fn is_of_the_piece(&self) -> bool {
        matches!(
            self,
            Difference::Size { .. }
                | Difference::Outline { .. }
                | Difference::Work { .. }
                | Difference::Stock { .. }
                | Difference::Grain { .. }
                | Difference::Turned { over: true }
                | Difference::Unnamed
        )
    }
}

/// All that differs between a part as it was and as it is.
pub(super) fn differences(old: (&Made, &Part), new: (&Made, &Part)) -> Vec<Difference> {
    let (one, other) = (old.1, new.1);
    let mut all = Vec::new();
    if one.id != other.id {
        all.push(Difference::Id { old: one.id.clone(), new: other.id.clone() });
    }
    if one.mark != other.mark {
        all.push(Difference::Mark { old: one.mark.clone(), new: other.mark.clone() });
    }
    if one.quantity != other.quantity {
        all.push(Difference::Quantity { old: one.quantity, new: other.quantity });
    }
    let stocks = (stock(old), stock(new));
    if stocks.0 != stocks.1 {
        all.push(Difference::Stock { old: stocks.0, new: stocks.1 });
    }
    for (of, old, new) in [
        (Overall::Width, one.width, other.width),
        (Overall::Height, one.height, other.height),
        (Overall::Thickness, one.thick, other.thick),
    ] {
        let same = if of == Overall::Thickness { old == new } else { near(old, new) };
        if !same {
            all.push(Difference::Size { of, old, new });
        }
    }
    if one.grain != other.grain {
        all.push(Difference::Grain { old: one.grain, new: other.grain });
    }
    shape(old, new, &mut all);
    let show = |(made, part): (&Made, &Part)| {
        let first = part.boards.first().and_then(|board| made.placed.get(board.0));
        first.map(|placed| placed.frame.show())
    };
    if let (Some(old), Some(new)) = (show(old), show(new))
        && old != new
    {
        all.push(Difference::ShowFace { old, new });
    }
    if one.finish != other.finish {
        let words = |finish: &Option<String>| finish.clone().unwrap_or_default();
        all.push(Difference::Finish { old: words(&one.finish), new: words(&other.finish) });
    }
    if one.notes.iter().collect::<BTreeSet<_>>() != other.notes.iter().collect::<BTreeSet<_>>() {
        all.push(Difference::Notes);
    }
    all
}

/// What a part is cut from, in the words of its drawing.
fn stock((made, part): (&Made, &Part)) -> String {
    let Some(stock) = made.job.stock.get(part.stock) else { return String::new() };
    let called = stock.called.as_ref().unwrap_or(&stock.name);
    match &stock.species {
        Some(species) => format!("{called}, {species}"),
        None => called.clone(),
    }
}

/// What differs in the outline and in what is worked, looked at the way round in which least does.
fn shape(old: (&Made, &Part), new: (&Made, &Part), all: &mut Vec<Difference>) {
    let (one, other) = (old.1, new.1);
    if one.thick == other.thick && one.grain == other.grain && same_piece(one, other) {
        return;
    }
    let looks = Turn::ALL.iter().map(|turn| {
        let laid = turn.lay(one, Point::default());
        let outlines = (blank(old, &laid, *turn), blank(new, other, Turn::None));
        let mut found: Vec<Difference> = reshaped(outlines, (&laid, other)).into_iter().collect();
        found.extend(worked(&features(old.0, &laid), &features(new.0, other)));
        (found, *turn)
    });
    let Some((found, turn)) = looks.min_by_key(|(found, _)| found.len()) else { return };
    let over = turn.is_over() && (faces_differ(one) || faces_differ(other));
    let told = !found.is_empty() || !near(one.width, other.width) || !near(one.height, other.height);
    all.extend(found);
    if turn != Turn::None {
        all.push(Difference::Turned { over });
    } else if !told && one.thick == other.thick && one.grain == other.grain {
        all.push(Difference::Unnamed);
    }
}

/// The outline of a part's first board before any joint, in the coordinates of the part as it lies.
fn blank((made, part): (&Made, &Part), laid: &Part, turn: Turn) -> Outline {
    let board = part.boards.first().and_then(|board| made.placed.get(board.0));
    let Some(placed) = board else { return laid.outline.clone() };
    let (u, v, _) = placed.board.frame.to_face(placed.frame.origin);
    let lies_as_its_board = placed.frame.u == placed.board.frame.u && placed.frame.v == placed.board.frame.v;
    if !lies_as_its_board {
        return laid.outline.clone();
    }
    let flat = Part { outline: placed.board.outline.moved(Point::new(-u, -v)), ..part.clone() };
    turn.lay(&flat, Point::default()).outline
}

/// Whether a blank has another shape, where its size alone does not say so.
fn reshaped((old, new): (Outline, Outline), (one, other): (&Part, &Part)) -> Option<Difference> {
    if same_outline(&old, &new) {
        return None;
    }
    let (old, new) = (old.canonical(), new.canonical());
    let (wider, higher) = (other.width - one.width, other.height - one.height);
    let (before, after) = (old.vertices(), new.vertices());
    let corners = (before.len(), after.len());
    if corners.0 != corners.1 {
        return Some(Difference::Outline { moved: Vec::new(), arcs: Vec::new(), corners });
    }
    // A corner goes with the end that it is at: it stays, or moves as far as the size has grown.
    let goes = |by: Length, grown: Length| near(by, Length::ZERO) || near(by, grown);
    let pairs = || before.iter().zip(after);
    let moved: Vec<(Point, Point)> = pairs()
        .filter(|(a, b)| !goes(b.at.x - a.at.x, wider) || !goes(b.at.y - a.at.y, higher))
        .map(|(a, b)| (a.at, b.at))
        .collect();
    let (chords_old, chords_new) = (chords(&old), chords(&new));
    let arcs: Vec<Bent> = (pairs().zip(chords_old.iter().zip(&chords_new)))
        .filter(|((a, b), _)| (a.bulge - b.bulge).abs() > 1e-6)
        .map(|((a, b), (was, now))| Bent {
            chord: on_a_mark(*now),
            old: on_a_mark(was * a.bulge.abs() / 2.0),
            new: on_a_mark(now * b.bulge.abs() / 2.0),
        })
        .collect();
    (!arcs.is_empty() || !moved.is_empty()).then_some(Difference::Outline { moved, arcs, corners })
}

/// Lengths of the straight lines between the corners of an outline, in millimetres.
fn chords(outline: &Outline) -> Vec<f64> {
    let far = |a: Point, b: Point| libm::hypot((b.x - a.x).to_mm(), (b.y - a.y).to_mm());
    outline.segments().map(|(from, to)| far(from.at, to)).collect()
}

/// What was worked out along a curve, back on the mark that it was meant to be on: 1/64", a thousandth of an inch or a
/// hundredth of a millimetre, where it is as good as there.
fn on_a_mark(mm: f64) -> Length {
    let length = Length::from_mm(mm);
    let inch = Length::INCH.units();
    let marks = [inch / 64, inch / 1000, Length::MM.units() / 100];
    let nearest = |step: i64| Length::from_units((length.units() + step / 2).div_euclid(step) * step);
    // Points on the grid and a bulge of 15 digits give the rise back to a few units.
    let there = |mark: &Length| (*mark - length).abs().units() <= 8;
    marks.into_iter().map(nearest).find(there).unwrap_or(length)
}

/// What is worked in the one and not so in the other: equal ones are set aside, then each is paired with the nearest of
/// its kind, first with one that only moved.
fn worked(old: &[Feature], new: &[Feature]) -> Vec<Difference> {
    let mut left: Vec<&Feature> = old.iter().collect();
    let mut fresh: Vec<&Feature> = Vec::new();
    for feature in new {
        let same = |a: &&Feature| a.is_like(feature) && a.is_at(feature);
        let by_edge = |kind: Kind| matches!(kind, Kind::Edge | Kind::Bevel);
        let found =
            left.iter().position(|a| same(a) && (!by_edge(feature.kind) || a.purpose == feature.purpose));
        match found {
            Some(place) => drop(left.remove(place)),
            None => fresh.push(feature),
        }
    }
    let mut all = Vec::new();
    let rules: [fn(&Feature, &Feature) -> bool; 2] =
        [|a, b| a.purpose == b.purpose && a.is_like(b), |a, b| a.purpose == b.purpose && a.kind == b.kind];
    for rule in rules {
        let mut near_pairs: Vec<(i64, usize, usize)> = Vec::new();
        // Beyond a few hundred on either side the nearest is sought among neighbours only.
        for (b, feature) in fresh.iter().enumerate() {
            let of_kind = left.iter().enumerate().filter(|(_, a)| rule(a, feature));
            near_pairs.extend(of_kind.take(400).map(|(a, one)| (far(one, feature), b, a)));
        }
        near_pairs.sort_unstable();
        let (mut used_old, mut used_new) = (BTreeSet::new(), BTreeSet::new());
        for (_, b, a) in near_pairs {
            if !used_old.contains(&a) && !used_new.contains(&b) {
                used_old.insert(a);
                used_new.insert(b);
                all.push(Difference::Work { old: Some(left[a].clone()), new: Some(fresh[b].clone()) });
            }
        }
        let rest = |all: &[&Feature], used: &BTreeSet<usize>| -> Vec<usize> {
            (0..all.len()).filter(|i| !used.contains(i)).collect()
        };
        left = rest(&left, &used_old).into_iter().map(|i| left[i]).collect();
        fresh = rest(&fresh, &used_new).into_iter().map(|i| fresh[i]).collect();
    }
    all.extend(fresh.into_iter().map(|f| Difference::Work { old: None, new: Some(f.clone()) }));
    all.extend(left.into_iter().map(|f| Difference::Work { old: Some(f.clone()), new: None }));
    all
}

fn far(one: &Feature, other: &Feature) -> i64 {
    let (dx, dy) = (one.at.x - other.at.x, one.at.y - other.at.y);
    dx.abs().units().saturating_add(dy.abs().units())
}

/// Whether a line of the new part at this position, across (0) or up (1), belongs to something that changed. A drawing
/// marks the dimension that gives it.
pub(super) fn is_changed_line(all: &[Difference], axis: usize, at: Length) -> bool {
    all.iter().any(|difference| match difference {
        Difference::Size { of: Overall::Width, new, .. } => axis == 0 && near(*new, at),
        Difference::Size { of: Overall::Height, new, .. } => axis == 1 && near(*new, at),
        Difference::Outline { moved, .. } => moved.iter().any(|(a, b)| {
            let (a, b) = if axis == 0 { (a.x, b.x) } else { (a.y, b.y) };
            !near(a, b) && near(b, at)
        }),
        Difference::Work { old, new: Some(new) } => {
            let known = old.as_ref().map(|old| old.lines()[axis].clone()).unwrap_or_default();
            let lines = &new.lines()[axis];
            // A line that stayed where it was has not changed, though the other end of the cut has.
            lines.iter().any(|line| near(*line, at) && !known.iter().any(|k| near(*k, *line)))
        }
        _ => false,
    })
}

/// Corners that did not move are no news: used where only some of them did.
pub(super) fn moved_by(old: &Feature, new: &Feature) -> Option<Point> {
    (!near_point(old.at, new.at)).then(|| Point::new(new.at.x - old.at.x, new.at.y - old.at.y))
}
