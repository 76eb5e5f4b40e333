//! A solid by depth: the loops that bound it between two levels, which of their sides carry an edge's profile, and the
//! same loops inset to any depth. Room for `section`, `shell` and `measure` to stand on; profiles meet at mitred corners.

use crate::length::{Interval, Length};
use crate::shape::clean::tidied;
use crate::shape::cut::{self, CutFault};
use crate::shape::grow::{MovedSide, grow_sides, moved_sides};
use crate::shape::solid::{EdgeShape, Profile, Solid};
use crate::shape::{Outline, Plate, Point, Vertex};

/// A loop with its sides told apart where an edge's run begins or ends.
#[derive(Clone, Debug)]
pub(crate) struct Loop {
    pub outline: Outline,
    /// For each side, the indices of the edges whose profile it carries.
    pub worked: Vec<Vec<usize>>,
    /// True for an opening: the wood is outside.
    pub opening: bool,
}

/// Outline and openings of one piece of a solid between two levels.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    pub outer: Loop,
    pub openings: Vec<Loop>,
}

impl Layer {
    pub(crate) fn of(plate: &Plate, edges: &[EdgeShape]) -> Layer {
        Layer {
            outer: Loop::of(&plate.outline, edges, false),
            openings: plate.inside.iter().map(|opening| Loop::of(opening, edges, true)).collect(),
        }
    }

    pub(crate) fn loops(&self) -> impl Iterator<Item = &Loop> + '_ {
        std::iter::once(&self.outer).chain(&self.openings)
    }
}

/// The solid between two depths with nothing but the profiles changing.
#[derive(Clone, Debug)]
pub(crate) struct Slab {
    pub depths: Interval,
    pub layers: Vec<Layer>,
}

impl Loop {
    /// The loop with the profiles of `edges` found on its sides.
    pub(crate) fn of(outline: &Outline, edges: &[EdgeShape], opening: bool) -> Loop {
        let mut vertices = Vec::new();
        let mut worked = Vec::new();
        for (from, to) in outline.segments() {
            let runs: Vec<(usize, Length, Length)> = match from.bulge == 0.0 {
                true => edges
                    .iter()
                    .enumerate()
                    .filter_map(|(index, edge)| {
                        // Wood lies left of an edge's run; an opening's loop has it on the right.
                        let side = if opening { (to, from.at) } else { (from.at, to) };
                        let (start, end) = shared_run(side, (edge.from, edge.to))?;
                        let whole = distance(from.at, to);
                        Some(if opening { (index, whole - end, whole - start) } else { (index, start, end) })
                    })
                    .collect(),
                false => Vec::new(),
            };
            let whole = distance(from.at, to);
            let mut stops: Vec<Length> = runs
                .iter()
                .flat_map(|run| [run.1, run.2])
                .filter(|s| s.is_positive() && *s < whole)
                .collect();
            stops.push(Length::ZERO);
            stops.sort_unstable();
            stops.dedup();
            for (index, start) in stops.iter().enumerate() {
                let end = stops.get(index + 1).copied().unwrap_or(whole);
                let bulge = from.bulge;
                vertices.push(Vertex { at: between(from.at, to, *start, whole), bulge });
                worked.push(
                    runs.iter().filter(|run| run.1 <= *start && end <= run.2).map(|run| run.0).collect(),
                );
            }
        }
        Loop { outline: Outline { vertices }, worked, opening }
    }

    /// How far each side of the loop moves in at `depth`, seen from inside the wood between `depths`: on the step of a
    /// rebate the side of the slab counts.
    pub(crate) fn insets(&self, solid: &Solid, depth: Length, depths: Interval) -> Vec<Length> {
        let middle = depths.low + depths.size().half();
        let inset = |index: &usize| {
            solid.edges.get(*index).map_or(Length::ZERO, |edge| {
                let at = if matches!(edge.profile, Profile::Rebate { .. }) { middle } else { depth };
                edge.inset_at(at, solid.thick)
            })
        };
        self.worked.iter().map(|edges| edges.iter().map(inset).max().unwrap_or_default()).collect()
    }

    /// True where a side carries a profile.
    pub(crate) fn is_worked(&self) -> bool {
        self.worked.iter().any(|edges| !edges.is_empty())
    }

    /// The sides moved by their insets; `None` where one shrinks to nothing.
    pub(crate) fn sides(&self, insets: &[Length]) -> Option<Vec<MovedSide>> {
        moved_sides(&self.outline, &self.outward(insets)).ok()
    }

    fn outward(&self, insets: &[Length]) -> Vec<Length> {
        insets.iter().map(|inset| if self.opening { *inset } else { -*inset }).collect()
    }

    /// The wood that the insets take away, a piece for each side that moves.
    pub(crate) fn strips(&self, insets: &[Length]) -> Vec<Outline> {
        let moved = self.sides(insets);
        let mut strips = Vec::new();
        for (index, (from, to)) in self.outline.segments().enumerate() {
            let inset = insets.get(index).copied().unwrap_or_default();
            if !inset.is_positive() {
                continue;
            }
            let (start, end) = match moved.as_ref().and_then(|sides| sides.get(index)) {
                Some(side) => (side.from, side.to),
                None => square_to((from.at, to), if self.opening { -inset } else { inset }),
            };
            let corners = [from.at, to, end, start].map(|at| Vertex { at, bulge: 0.0 });
            strips.extend(Outline::new(corners.to_vec()).ok());
        }
        strips
    }
}

impl Slab {
    /// The pieces of wood at a depth between the slab's levels.
    pub(crate) fn plates_at(&self, solid: &Solid, depth: Length) -> Result<Vec<Plate>, CutFault> {
        let mut plates = Vec::new();
        for layer in &self.layers {
            plates.extend(layer.plates_at(solid, depth, self.depths)?);
        }
        Ok(plates)
    }
}

impl Layer {
    fn plates_at(&self, solid: &Solid, depth: Length, depths: Interval) -> Result<Vec<Plate>, CutFault> {
        let plain = || Plate {
            outline: self.outer.outline.clone(),
            inside: self.openings.iter().map(|l| l.outline.clone()).collect(),
        };
        if !self.loops().any(Loop::is_worked) {
            return Ok(vec![plain()]);
        }
        let mut strips = Vec::new();
        let mut grown = Vec::new();
        for line in self.loops() {
            let insets = line.insets(solid, depth, depths);
            match grow_sides(&line.outline, &line.outward(&insets)) {
                Ok(outline) => grown.push(tidied(&outline).unwrap_or(outline)),
                Err(_) => {
                    strips.extend(line.strips(&insets));
                    grown.push(line.outline.clone());
                }
            }
        }
        let mut all = grown.into_iter();
        let Some(outline) = all.next() else { return Ok(Vec::new()) };
        let mut plates = vec![Plate::whole(outline)];
        for taken in all.chain(strips) {
            plates = subtract_from_all(plates, &taken)?;
        }
        Ok(plates)
    }
}

impl Solid {
    /// The wood at a depth before any profile: outline less openings and the recesses that reach there.
    pub(crate) fn base_at(&self, depth: Length, holes: bool) -> Result<Vec<Plate>, CutFault> {
        let mut plates = vec![self.through()];
        let reaches = |depths: Interval| depths.low < depth && depth < depths.high;
        for recess in self.pockets.iter().filter(|recess| reaches(recess.depths(self.thick))) {
            plates = subtract_from_all(plates, &recess.outline)?;
        }
        if holes {
            for hole in self.holes.iter().filter(|hole| reaches(hole.depths(self.thick))) {
                if let Some(outline) = hole.outline() {
                    plates = subtract_from_all(plates, &outline)?;
                }
            }
        }
        Ok(plates)
    }

    /// The solid cut at the levels where its loops change: floors of recesses and steps of rebates.
    pub(crate) fn slabs(&self, holes: bool) -> Result<Vec<Slab>, CutFault> {
        let mut levels = vec![Length::ZERO, self.thick];
        let mut add = |depths: Interval| levels.extend([depths.low, depths.high]);
        self.pockets.iter().for_each(|recess| add(recess.depths(self.thick)));
        if holes {
            self.holes.iter().for_each(|hole| add(hole.depths(self.thick)));
        }
        for edge in self.edges.iter().filter(|edge| matches!(edge.profile, Profile::Rebate { .. })) {
            levels.extend(edge.levels(self.thick));
        }
        levels.retain(|level| *level >= Length::ZERO && *level <= self.thick);
        levels.sort_unstable();
        levels.dedup();
        let mut slabs = Vec::new();
        for pair in levels.windows(2) {
            let depths = Interval { low: pair[0], high: pair[1] };
            let layers = self
                .base_at(depths.low + depths.size().half(), holes)?
                .into_iter()
                .map(|plate| Layer::of(&plate, &self.edges))
                .collect();
            slabs.push(Slab { depths, layers });
        }
        Ok(slabs)
    }

    /// The slab that a depth lies in, without drilled holes; on a level, the one on the side of the higher room coordinate.
    pub(crate) fn slab_at(&self, depth: Length) -> Result<Option<Slab>, CutFault> {
        let mut at_depth: Vec<Slab> =
            self.slabs(false)?.into_iter().filter(|slab| slab.depths.contains(depth)).collect();
        if self.frame.into.is_high() {
            return Ok(at_depth.pop());
        }
        Ok(at_depth.into_iter().next())
    }

    /// Depths between two levels at which a profile begins or ends, and steps along rounds so fine that no chord is more
    /// than `tolerance` mm off; both levels included.
    pub(crate) fn sublevels(&self, depths: Interval, tolerance: f64) -> Vec<Length> {
        let mut levels = vec![depths.low, depths.high];
        for edge in &self.edges {
            levels.extend(edge.levels(self.thick));
            let Profile::Round { radius } = edge.profile else { continue };
            let r = radius.to_mm();
            let step = 2.0 * libm::acos((1.0 - tolerance / r).clamp(-1.0, 1.0));
            let quarter = std::f64::consts::FRAC_PI_2;
            let steps = libm::ceil(quarter / step.max(0.02)).clamp(2.0, 64.0) as i32;
            for k in 1..steps {
                let down = Length::from_mm(r - r * libm::cos(quarter * f64::from(k) / f64::from(steps)));
                for face in edge.faces() {
                    let show = face == crate::trade::Face::Show;
                    levels.push(if show { down } else { self.thick - down });
                }
            }
        }
        levels.retain(|level| depths.contains(*level));
        levels.sort_unstable();
        levels.dedup();
        levels
    }
}

/// What is left of all plates without `taken`; plates that vanish are left out.
pub(crate) fn subtract_from_all(plates: Vec<Plate>, taken: &Outline) -> Result<Vec<Plate>, CutFault> {
    let mut left = Vec::with_capacity(plates.len());
    for plate in plates {
        match cut::subtract(&plate, taken) {
            Ok(parts) => left.extend(parts),
            Err(CutFault::NothingLeft) => {}
            Err(fault) => return Err(fault),
        }
    }
    Ok(left)
}

/// The part of a side that a run covers, as distances from the side's start, where the two lie on one line the same way.
fn shared_run(side: (Point, Point), run: (Point, Point)) -> Option<(Length, Length)> {
    let whole = distance(side.0, side.1);
    let (ux, uy) =
        ((side.1.x - side.0.x).to_mm() / whole.to_mm(), (side.1.y - side.0.y).to_mm() / whole.to_mm());
    let place = |point: Point| {
        let (dx, dy) = (point.x - side.0.x, point.y - side.0.y);
        // Along an axis the distance is exact.
        let along = if uy == 0.0 {
            dx * ux as i64
        } else if ux == 0.0 {
            dy * uy as i64
        } else {
            Length::from_mm(dx.to_mm() * ux + dy.to_mm() * uy)
        };
        let aside = (dy.to_mm() * ux - dx.to_mm() * uy).abs();
        (along, aside)
    };
    let ((start, off_start), (end, off_end)) = (place(run.0), place(run.1));
    // Two units of the grid: the corners of a sloping side were rounded once, those of the run once.
    let near = 2.0 * Length::from_units(1).to_mm() * (1.0 + distance(run.0, run.1).to_mm() / whole.to_mm());
    if off_start > near || off_end > near {
        return None;
    }
    let snap = |at: Length| {
        if at.abs() <= Length::TOUCH {
            Length::ZERO
        } else if (at - whole).abs() <= Length::TOUCH {
            whole
        } else {
            at
        }
    };
    let (start, end) = (snap(start).max(Length::ZERO), snap(end).min(whole));
    (start < end).then_some((start, end))
}

/// Distance of two points to the nearest unit; exact along an axis.
fn distance(one: Point, other: Point) -> Length {
    let (dx, dy) = (other.x - one.x, other.y - one.y);
    if dx == Length::ZERO || dy == Length::ZERO {
        return dx.abs() + dy.abs();
    }
    Length::from_mm(libm::hypot(dx.to_mm(), dy.to_mm()))
}

/// The point so far along a side.
fn between(from: Point, to: Point, along: Length, whole: Length) -> Point {
    if along == Length::ZERO {
        return from;
    }
    let part = |d: Length| {
        if d.abs() == whole {
            along * d.units().signum()
        } else {
            Length::from_mm(d.to_mm() * along.to_mm() / whole.to_mm())
        }
    };
    Point::new(from.x + part(to.x - from.x), from.y + part(to.y - from.y))
}

/// A side moved to its left by `by`.
fn square_to(side: (Point, Point), by: Length) -> (Point, Point) {
    let whole = distance(side.0, side.1);
    let shift = between(Point::default(), Point::new(side.0.y - side.1.y, side.1.x - side.0.x), by, whole);
    (Point::new(side.0.x + shift.x, side.0.y + shift.y), Point::new(side.1.x + shift.x, side.1.y + shift.y))
}
