//! What a board rests on, from where the placed boards lie: uprights below it, beside its ends, or in which it is housed;
//! through strips that lie flat between, to what bears those.

use crate::boards::{BoardId, Other};
use crate::length::{Interval, Length};
use crate::parts::{Made, Placed};
use crate::trade::Axis;

/// A place of support: what of the board's plan it covers, and what bears there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Support {
    /// Left to right, front to back.
    pub plan: [Interval; 2],
    pub name: String,
}

/// Ends that come so near to an upright stand on pins or cleats at it: 1/8" (common practice for shelves that can be moved).
const NEAR: Length = Length::from_units(Length::INCH.units() / 8);

/// Strips that lie on strips, and uprights that span between uprights, are followed so deep.
const DEEPEST: usize = 3;

/// An upright board that spans no more than so many times its own height bends by nothing that counts: the limit of a deep
/// beam (ACI 318 §9.9.1.1; from memory).
const DEEP: i64 = 4;

/// What bears what: which boards of a job meet, and which of them stand on the house itself.
pub(super) struct Bearing<'m> {
    made: &'m Made,
    /// For each board what it may rest on.
    touching: Vec<Vec<(usize, Meets)>>,
    /// For each board what may rest on it.
    carries: Vec<Vec<usize>>,
    /// Boards that bear by themselves.
    grounded: Vec<bool>,
}

impl<'m> Bearing<'m> {
    pub fn of(made: &'m Made) -> Bearing<'m> {
        let count = made.placed.len();
        let mut grounded: Vec<bool> = made.placed.iter().map(stands).collect();
        for joint in made.joints.iter().filter(|joint| !joint.refused) {
            if let (Other::Wall | Other::Floor, Some(held)) = (joint.second, grounded.get_mut(joint.first.0))
            {
                *held = true;
            }
        }
        let mut touching: Vec<Vec<(usize, Meets)>> = vec![Vec::new(); count];
        let mut carries: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (index, own) in made.placed.iter().enumerate() {
            for (other, below) in made.placed.iter().enumerate().filter(|(other, _)| *other != index) {
                let Some(meets) = meets(own, below) else { continue };
                // A board that lies bears only what stands on it.
                if meets.below || !lies(below) {
                    touching[index].push((other, meets));
                    carries[other].push(index);
                }
            }
        }
        Bearing { made, touching, carries, grounded }
    }

    /// What a board rests on. What only hangs on the board itself bears nothing.
    pub fn supports(&self, id: BoardId) -> Vec<Support> {
        self.find(id.0, &mut Vec::new(), DEEPEST)
    }

    fn find(&self, id: usize, hung: &mut Vec<usize>, depth: usize) -> Vec<Support> {
        let mut all = Vec::new();
        hung.push(id);
        let borne = self.borne(hung);
        for (index, Meets { plan, below }) in self.touching.get(id).into_iter().flatten() {
            let Some(other) = self.made.placed.get(*index).filter(|_| !hung.contains(index)) else {
                continue;
            };
            let name = &other.board.name;
            // What stands on the floor, or is held there or at a wall, bears by itself.
            let grounded = self.grounded.get(*index) == Some(&true);
            if grounded && (*below || !lies(other)) {
                all.push(Support { plan: *plan, name: name.clone() });
            } else if lies(other) {
                if depth == 0 {
                    continue;
                }
                // A strip bears only where it is borne itself.
                for under in self.find(*index, hung, depth - 1) {
                    let shared = [0, 1].map(|axis| under.plan[axis].shared(plan[axis]));
                    if let [Some(across), Some(deep)] = shared {
                        all.push(Support { plan: [across, deep], name: under.name });
                    }
                }
            } else if borne.get(*index) == Some(&true) && self.stays(id, *index, *below, hung, depth) {
                all.push(Support { plan: *plan, name: name.clone() });
            }
        }
        hung.pop();
        all
    }

    /// Boards from which a way leads down to the house that touches none of `without`.
    fn borne(&self, without: &[usize]) -> Vec<bool> {
        let mut borne = self.grounded.clone();
        let mut open: Vec<usize> = (0..borne.len()).filter(|index| borne[*index]).collect();
        open.retain(|index| !without.contains(index));
        while let Some(here) = open.pop() {
            for above in self.carries.get(here).into_iter().flatten() {
                let known = borne.get_mut(*above).filter(|known| !**known && !without.contains(above));
                if let Some(known) = known {
                    *known = true;
                    open.push(*above);
                }
            }
        }
        borne
    }

    /// True where an upright that is borne stays where it is under the board, and does not bend with it, as a strip along its
    /// edge does.
    fn stays(&self, id: usize, upright: usize, below: bool, hung: &mut Vec<usize>, depth: usize) -> bool {
        let Some(other) = self.made.placed.get(upright) else { return false };
        let span = &other.board.span;
        let high = span[Axis::Up.index()].size() * DEEP;
        let along = usize::from(span[1].size() > span[0].size());
        if span[along].size() <= high || (below && !self.glued(id, upright)) {
            return true;
        }
        let bears = if depth == 0 { Vec::new() } else { self.find(upright, hung, depth - 1) };
        clear([span[0], span[1]], &bears, along).is_some_and(|gap| gap <= high)
    }

    fn glued(&self, one: usize, other: usize) -> bool {
        self.made.joints.iter().filter(|joint| joint.glue && !joint.refused).any(|joint| match joint.second {
            Other::Board(second) => {
                [(joint.first.0, second.0), (second.0, joint.first.0)].contains(&(one, other))
            }
            Other::Wall | Other::Floor => false,
        })
    }
}

fn lies(placed: &Placed) -> bool {
    placed.solid.normal() == Axis::Up
}

/// True for what stands on the floor or is said to be held by the house.
fn stands(placed: &Placed) -> bool {
    let low = placed.board.span[Axis::Up.index()].low;
    placed.board.held_by.is_some() || low.abs() <= Length::TOUCH
}

/// Where a board meets another that may bear it.
#[derive(Clone, Copy, Debug)]
struct Meets {
    plan: [Interval; 2],
    /// The other lies or stands under the board; else beside its end or edge, or the board is housed in it.
    below: bool,
}

fn meets(own: &Placed, other: &Placed) -> Option<Meets> {
    let (one, two) = (&own.board.span, &other.board.span);
    let up = Axis::Up.index();
    let shared = |axis: usize| one[axis].shared(two[axis]).filter(|shared| shared.size() > Length::TOUCH);
    if let [Some(across), Some(deep)] = [shared(0), shared(1)] {
        if (one[up].low - two[up].high).abs() <= Length::TOUCH {
            return Some(Meets { plan: [across, deep], below: true });
        }
        // Housed or notched into it, or standing in a groove of what lies.
        let below = lies(other) && two[up].low < one[up].low;
        return shared(up).map(|_| Meets { plan: [across, deep], below });
    }
    shared(up)?;
    for (axis, rest) in [(0, 1), (1, 0)] {
        let Some(along) = shared(rest) else { continue };
        let (gap, at) = if two[axis].low >= one[axis].high - Length::TOUCH {
            (two[axis].low - one[axis].high, one[axis].high)
        } else {
            (one[axis].low - two[axis].high, one[axis].low)
        };
        if gap <= NEAR {
            let face = Interval { low: at, high: at };
            let plan = if axis == 0 { [face, along] } else { [along, face] };
            return Some(Meets { plan, below: false });
        }
    }
    None
}

/// The widest clear distance between supports along one way of the plan (0 across, 1 deep), with the names of what bears.
/// Judged in three strips side by side, those without a support left out; `None` where no strip has two supports, zero where
/// they bear without a gap.
pub(super) fn clear(whole: [Interval; 2], supports: &[Support], along: usize) -> Option<Length> {
    let beside = whole[1 - along];
    let third = beside.size().shared_by(3).0;
    let mut widest: Option<Length> = None;
    for strip in 0..3 {
        let low = beside.low + third * strip;
        let strip = Interval { low, high: low + third };
        let mut bears: Vec<Interval> = (supports.iter())
            .filter(|support| {
                let here = support.plan[1 - along];
                here.low <= strip.high && strip.low <= here.high
            })
            .map(|support| support.plan[along])
            .collect();
        bears.sort_by_key(|bears| (bears.low, bears.high));
        let Some(first) = bears.first() else { continue };
        let (mut reached, mut gap) = (first.high, Length::ZERO);
        let begins = first.low;
        for next in &bears {
            gap = gap.max(next.low - reached);
            reached = reached.max(next.high);
        }
        // One support in the middle, or a row at one edge only, is a cantilever and no span.
        let reach = reached - begins;
        if gap > Length::TOUCH || reach * 10 >= whole[along].size() * 9 {
            widest = Some(widest.map_or(gap, |known| known.max(gap)));
        }
    }
    widest
}
