//! Which lines of a view one running figure can serve. Features that share a coordinate share a figure where its extension
//! line runs to all of them from one side of the view with nothing else of the part in its way: a row of things that are alike
//! across the whole view, others as far as its middle. Else the figure stands at both sides, the second time in parentheses.
//! Knows places, and no paper.

use std::collections::{BTreeMap, BTreeSet};

use super::drawn::*;
use crate::length::Length;

/// What lies on one line of the view, across the direction that the line is dimensioned in: from, to.
pub type Stretch = (Length, Length);

/// From which sides a line is dimensioned: from each, how far its extension line has to run into the view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sides {
    /// From the low side (below, left), and from the high one.
    pub low: Option<Length>,
    pub high: Option<Length>,
    /// Where the figure stands by rights: true at the low side.
    pub low_first: bool,
}

/// For each running dimension of one direction, by its number, the sides from which its figure is to be read; `size` is that
/// of the part across the direction.
pub fn sides(plan: &Plan, along: Along, size: Length) -> BTreeMap<usize, Sides> {
    let view = View::of(plan, along);
    view.stretches.iter().map(|(number, all)| (*number, view.sides_of(*number, all, size))).collect()
}

/// A closed straight line or arc's chord of the view, along and across the direction.
type Chord = ((Length, Length), (Length, Length));

/// What a line of the view serves: things of one kind stand in rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    /// A hole, by its kind.
    Hole(usize),
    /// A run of the outline, as the bottoms of notches are, or its end.
    Side,
    Other,
}

struct View<'a> {
    plan: &'a Plan,
    along: Along,
    sizes: BTreeMap<What, Length>,
    stretches: BTreeMap<usize, Vec<Stretch>>,
    things: BTreeMap<usize, BTreeSet<Thing>>,
    chords: Vec<Chord>,
    /// Round things: centre along and across, half of the diameter.
    rounds: Vec<(Length, Length, Length)>,
}

impl View<'_> {
    fn of(plan: &Plan, along: Along) -> View<'_> {
        let lengths = plan.dimensions.iter().filter_map(|d| match d.size {
            Size::Length(length) => Some((d.what, length)),
            Size::Angle(_) => None,
        });
        let mut view = View {
            plan,
            along,
            sizes: lengths.collect(),
            stretches: BTreeMap::new(),
            things: BTreeMap::new(),
            chords: Vec::new(),
            rounds: Vec::new(),
        };
        view.gather();
        view.stretches.values_mut().for_each(|all| *all = joined(std::mem::take(all)));
        view
    }

    fn value(&self, at: Where) -> Length {
        match at {
            Where::Datum => Length::ZERO,
            Where::By(what) => self.sizes.get(&what).copied().unwrap_or_default(),
        }
    }

    /// A spot along the direction, and across it.
    fn turned(&self, spot: Spot) -> (Where, Where) {
        match self.along {
            Along::Across => spot,
            Along::Up => (spot.1, spot.0),
        }
    }

    fn put(&mut self, at: Where, from: Length, to: Length, thing: Thing) {
        if let Where::By(What::Running(along, number)) = at
            && along == self.along
        {
            self.stretches.entry(number).or_default().push((from.min(to), from.max(to)));
            self.things.entry(number).or_default().insert(thing);
        }
    }

    fn spot(&mut self, spot: Spot, thing: Thing) {
        let (at, other) = self.turned(spot);
        let other = self.value(other);
        self.put(at, other, other, thing);
    }

    fn gather(&mut self) {
        let drawn = &self.plan.drawn;
        let recesses = drawn.recesses.iter().map(|r| &r.outline);
        let outside = drawn.outline.iter().map(|outline| (outline, Thing::Side));
        for (outline, thing) in outside.chain(drawn.inside.iter().chain(recesses).map(|o| (o, Thing::Other)))
        {
            match outline {
                Loop::Round { centre, diameter } => {
                    let half = self.value(Where::By(*diameter)).half();
                    if let Some(centre) = centre {
                        self.spot(*centre, Thing::Other);
                        self.round(*centre, half);
                    }
                }
                Loop::Corners(corners) => self.corners(corners, thing),
            }
        }
        for hole in &drawn.holes {
            self.spot(hole.at, Thing::Hole(hole.kind));
            let half = self.value(Where::By(What::HoleDiameter(hole.kind))).half();
            self.round(hole.at, half);
        }
        // The two ends of a part are bored apart.
        drawn.bores.iter().for_each(|bore| self.spot(bore.leaves, Thing::Other));
        for edge in &drawn.edges {
            self.spot(edge.from, Thing::Side);
            self.spot(edge.to, Thing::Side);
        }
    }

    fn round(&mut self, centre: Spot, half: Length) {
        let (at, other) = self.turned(centre);
        self.rounds.push((self.value(at), self.value(other), half));
    }

    fn corners(&mut self, corners: &[Corner], thing: Thing) {
        for (corner, next) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            self.spot(corner.at, thing);
            let ((at, other), (end, far)) = (self.turned(corner.at), self.turned(next.at));
            let (from, to) = (self.value(other), self.value(far));
            // A line of the view along the coordinate is one feature from end to end.
            if corner.leaves == Run::Straight && at == end {
                self.put(at, from, to, thing);
            }
            self.chords.push(((self.value(at), from), (self.value(end), to)));
            if let Run::Crown { crown, along } = corner.leaves
                && along == self.along
            {
                let middle = (from + to).half();
                self.put(crown, middle, middle, thing);
            }
        }
    }

    /// Whether anything of the part lies between two features on a line at `at`.
    fn is_parted(&self, at: Length, from: Length, to: Length) -> bool {
        let chord = self.chords.iter().any(|((a, x), (b, y))| {
            let crosses = (*a < at && *b > at) || (*b < at && *a > at);
            let share = (at - *a).to_mm() / (*b - *a).to_mm();
            let where_ = x.to_mm() + (*y - *x).to_mm() * share;
            crosses && where_ > from.to_mm() && where_ < to.to_mm()
        });
        chord
            || self.rounds.iter().any(|(centre, other, half)| {
                (*centre - at).abs() < *half && *centre != at && *other > from && *other < to
            })
    }

    /// Whether a line serves things of one kind only, which are read as a row.
    fn is_row(&self, number: usize) -> bool {
        self.things
            .get(&number)
            .is_some_and(|things| things.len() == 1 && things.iter().all(|thing| *thing != Thing::Other))
    }

    fn sides_of(&self, number: usize, all: &[Stretch], size: Length) -> Sides {
        let at = self.value(Where::By(What::Running(self.along, number)));
        let near = all.first().map_or(Length::ZERO, |stretch| stretch.0);
        let far = all.last().map_or(Length::ZERO, |stretch| stretch.1);
        let low_first = near <= size - far;
        let [first, .., last] = all else {
            return if low_first {
                Sides { low: Some(near), high: None, low_first }
            } else {
                Sides { low: None, high: Some(far), low_first }
            };
        };
        let parted = all.windows(2).any(|two| self.is_parted(at, two[0].1, two[1].0));
        if self.is_row(number) && !parted {
            return if low_first {
                Sides { low: Some(last.0), high: None, low_first }
            } else {
                Sides { low: None, high: Some(first.1), low_first }
            };
        }
        let is_low = |stretch: &Stretch| (stretch.0 + stretch.1).half() <= size.half();
        // From each side as far as its half of the view goes and nothing parts the features.
        let run = |served: &mut dyn Iterator<Item = (Stretch, Stretch)>, low: bool| {
            let open = |(one, next): &(Stretch, Stretch)| {
                let (from, to) = if low { (one.1, next.0) } else { (next.1, one.0) };
                is_low(next) == low && !self.is_parted(at, from, to)
            };
            served.take_while(open).count()
        };
        let from_low =
            if is_low(first) { 1 + run(&mut all.windows(2).map(|two| (two[0], two[1])), true) } else { 0 };
        let from_high = if is_low(last) && from_low == all.len() {
            0
        } else {
            1 + run(&mut all.windows(2).rev().map(|two| (two[1], two[0])), false)
        };
        // What neither side is free to reach is reached past what lies before it, from the side that comes closer.
        let high_start = all.len() - from_high;
        let from_low = if from_low > 0 { from_low.max(high_start) } else { from_low };
        let high_start = if from_low == 0 { 0 } else { high_start };
        let low = from_low.checked_sub(1).and_then(|i| all.get(i)).map(|stretch| stretch.0);
        let high = if from_high == 0 { None } else { all.get(high_start).map(|stretch| stretch.1) };
        Sides { low, high, low_first }
    }
}

/// Stretches that meet made one, in order.
fn joined(mut all: Vec<Stretch>) -> Vec<Stretch> {
    all.sort_unstable();
    let mut whole: Vec<Stretch> = Vec::new();
    for stretch in all {
        match whole.last_mut() {
            Some(last) if stretch.0 <= last.1 => last.1 = last.1.max(stretch.1),
            _ => whole.push(stretch),
        }
    }
    whole
}
