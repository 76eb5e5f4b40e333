//! A solid cut by a plane square to a room axis: chamfers and rounds of its edges as they are, straight things exact,
//! rounds true arcs where the plane is square to the edge. Drilled holes are left out: they are for fixings.

use crate::length::{Interval, Length};
use crate::shape::clean::tidied;
use crate::shape::cut::CutFault;
use crate::shape::slab::{Loop, subtract_from_all};
use crate::shape::solid::{EdgeShape, Profile, Solid};
use crate::shape::{Arc, Outline, Plate, Point, Vertex};
use crate::trade::{Axis, Face, Side};

/// What a plane square to `axis` at `at` cuts of a solid, in the other two axes in the order of [`Axis::ALL`].
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    pub axis: Axis,
    pub at: Length,
    pub plates: Vec<Plate>,
}

/// The section of a solid. Where it changes at the very plane, the side of the higher coordinate counts, unless no wood
/// is there.
pub fn section(solid: &Solid, axis: Axis, at: Length) -> Result<Section, CutFault> {
    if axis != solid.normal() {
        return Pieces::of(solid, axis, at).plates().map(|plates| Section { axis, at, plates });
    }
    let depth = solid.along(solid.frame.into, at);
    let mut plates = Vec::new();
    if let Some(slab) = solid.slab_at(depth)? {
        for plate in slab.plates_at(solid, depth)? {
            let map = |outline: &Outline| solid.in_plane(outline, solid.frame.u, solid.frame.v);
            plates
                .push(Plate { outline: map(&plate.outline), inside: plate.inside.iter().map(map).collect() });
        }
    }
    Ok(Section { axis, at, plates })
}

/// The outlines of a section, openings in it left out: what another board must give way to.
pub fn true_section(solid: &Solid, axis: Axis, at: Length) -> Result<Vec<Outline>, CutFault> {
    Ok(section(solid, axis, at)?.plates.into_iter().map(|plate| plate.outline).collect())
}

/// A section before any boolean: wood, pieces apart from each other, and what is taken from it, which may overlap; in the
/// room plane.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pieces {
    pub wood: Vec<Outline>,
    pub taken: Vec<Outline>,
}

impl Pieces {
    pub(crate) fn of(solid: &Solid, axis: Axis, at: Length) -> Pieces {
        let frame = solid.frame;
        if axis == solid.normal() {
            return Pieces::along_the_face(solid, solid.along(frame.into, at))
                .in_room(solid, frame.u, frame.v);
        }
        let (cut, run) = if frame.u.axis() == axis { (frame.u, frame.v) } else { (frame.v, frame.u) };
        let across = Crosscut { solid, along_u: cut == frame.u, at: solid.along(cut, at) };
        let mut pieces = across.pieces(true);
        if pieces.wood.is_empty() {
            pieces = across.pieces(false);
        }
        pieces.in_room(solid, run, frame.into)
    }

    fn along_the_face(solid: &Solid, depth: Length) -> Pieces {
        if depth < Length::ZERO || depth > solid.thick {
            return Pieces::default();
        }
        let mut pieces = Pieces { wood: vec![solid.outline.clone()], taken: solid.inside.clone() };
        for recess in &solid.pockets {
            let reach = recess.depths(solid.thick);
            if reach.low < depth && depth < reach.high {
                pieces.taken.push(recess.outline.clone());
            }
        }
        let here = Interval { low: depth, high: depth };
        for (outline, opening) in loops(solid) {
            let line = Loop::of(outline, &solid.edges, opening);
            if line.is_worked() {
                pieces.taken.extend(line.strips(&line.insets(solid, depth, here)));
            }
        }
        pieces
    }

    fn in_room(self, solid: &Solid, first: Side, second: Side) -> Pieces {
        let map = |all: Vec<Outline>| all.iter().map(|one| solid.in_plane(one, first, second)).collect();
        Pieces { wood: map(self.wood), taken: map(self.taken) }
    }

    fn plates(self) -> Result<Vec<Plate>, CutFault> {
        let mut plates: Vec<Plate> = self.wood.into_iter().map(Plate::whole).collect();
        for taken in &self.taken {
            plates = subtract_from_all(plates, taken)?;
        }
        Ok(plates)
    }
}

fn loops(solid: &Solid) -> impl Iterator<Item = (&Outline, bool)> {
    std::iter::once((&solid.outline, false)).chain(solid.inside.iter().map(|inside| (inside, true)))
}

/// A plane across a plate, at a place along u or v; what it meets is drawn as (the other of the two, depth).
struct Crosscut<'a> {
    solid: &'a Solid,
    along_u: bool,
    at: Length,
}

/// Where the plane crosses a loop: the place along the other face axis, and the profiles there with how much longer their
/// inset is along the plane than square to the edge (1 where the edge is square to the plane).
#[derive(Clone, Debug)]
struct Crossing {
    place: Length,
    edges: Vec<usize>,
    stretch: f64,
}

/// A point of a profile: how far in, how far below the show face, and the bend of what follows.
type ProfilePoint = (Length, Length, f64);

impl Crosscut<'_> {
    fn pieces(&self, higher_side: bool) -> Pieces {
        let mut pieces = Pieces::default();
        let thick = self.solid.thick;
        for (outline, opening) in loops(self.solid) {
            let line = Loop::of(outline, &self.solid.edges, opening);
            let crossings = self.crossings(&line, higher_side);
            for pair in crossings.chunks_exact(2) {
                if pair[0].place >= pair[1].place {
                    continue;
                }
                let (run, extra) = self.run(&pair[0], &pair[1], opening);
                if opening {
                    pieces.taken.extend(run)
                } else {
                    pieces.wood.extend(run)
                }
                pieces.taken.extend(extra);
            }
            pieces.taken.extend(self.flanks(&line));
        }
        for recess in &self.solid.pockets {
            let line = Loop::of(&recess.outline, &[], true);
            let depths = recess.depths(thick);
            for pair in self.crossings(&line, higher_side).chunks_exact(2) {
                let (low, high) =
                    (Point::new(pair[0].place, depths.low), Point::new(pair[1].place, depths.high));
                pieces.taken.extend(Outline::rectangle(low, high));
            }
        }
        pieces
    }

    /// (coordinate the plane is square to, coordinate along the plane).
    fn split(&self, point: Point) -> (Length, Length) {
        if self.along_u { (point.x, point.y) } else { (point.y, point.x) }
    }

    /// Crossings in order along the plane. A vertex on the plane belongs to the side asked for.
    fn crossings(&self, line: &Loop, higher_side: bool) -> Vec<Crossing> {
        let below = |place: Length| if higher_side { place <= self.at } else { place < self.at };
        let mut found = Vec::new();
        for (index, (from, to)) in line.outline.segments().enumerate() {
            let ((a, along_a), (b, along_b)) = (self.split(from.at), self.split(to));
            let Some(arc) = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge) else {
                if below(a) != below(b) {
                    let (over, aside) = (b - a, along_b - along_a);
                    let place = if aside == Length::ZERO {
                        along_a
                    } else {
                        Length::from_mm(
                            along_a.to_mm() + aside.to_mm() * (self.at - a).to_mm() / over.to_mm(),
                        )
                    };
                    let stretch = libm::hypot(over.to_mm(), aside.to_mm()) / over.to_mm().abs();
                    found.push(Crossing { place, edges: line.worked[index].clone(), stretch });
                }
                continue;
            };
            let mut places = Vec::new();
            let (cx, cy) = if self.along_u { arc.centre } else { (arc.centre.1, arc.centre.0) };
            // The arc in pieces that only rise or only fall across the plane; each is crossed at most once.
            for (start, end) in monotone(&arc, self.along_u) {
                let place = |end_place: f64, given: Option<Length>| match given {
                    Some(place) => below(place),
                    None if higher_side => end_place <= self.at.to_mm(),
                    None => end_place < self.at.to_mm(),
                };
                let given = |angle: f64| {
                    if angle == arc.start {
                        Some(a)
                    } else if angle == arc.start + arc.sweep {
                        Some(b)
                    } else {
                        None
                    }
                };
                let reach = |angle: f64| {
                    let turn = if self.along_u { libm::cos(angle) } else { libm::sin(angle) };
                    cx + arc.radius * turn
                };
                if place(reach(start), given(start)) == place(reach(end), given(end)) {
                    continue;
                }
                let off = self.at.to_mm() - cx;
                let half = libm::sqrt((arc.radius * arc.radius - off * off).max(0.0));
                let middle = (start + end) / 2.0;
                let side = if self.along_u { libm::sin(middle) } else { libm::cos(middle) };
                places.push(Length::from_mm(cy + half.copysign(side)));
            }
            found.extend(places.into_iter().map(|place| Crossing { place, edges: Vec::new(), stretch: 1.0 }));
        }
        found.sort_by_key(|crossing| crossing.place);
        found
    }

    /// The wood (or the opening) between two crossings over the full thickness, profiles at its ends; and the profiles
    /// that could not be drawn into it, to be taken from the wood.
    fn run(&self, low: &Crossing, high: &Crossing, opening: bool) -> (Option<Outline>, Vec<Outline>) {
        let (left, right) = (self.chain(low), self.chain(high));
        let rectangle =
            Outline::rectangle(Point::new(low.place, Length::ZERO), Point::new(high.place, self.solid.thick));
        let most = |chain: &Option<Vec<ProfilePoint>>| {
            chain.iter().flatten().map(|point| point.0).max().unwrap_or_default()
        };
        if let (Some(left), Some(right)) = (&left, &right)
            && (opening || most(&Some(left.clone())) + most(&Some(right.clone())) < high.place - low.place)
        {
            // An opening grows by its profiles, wood shrinks.
            let sign = if opening { -1 } else { 1 };
            let mut vertices = Vec::with_capacity(left.len() + right.len());
            for (inset, depth, bulge) in right {
                vertices.push(Vertex {
                    at: Point::new(high.place - *inset * sign, *depth),
                    bulge: *bulge * sign as f64,
                });
            }
            for (index, (inset, depth, _)) in left.iter().enumerate().rev() {
                // The bend belongs to what leads here from the point before, run backwards.
                let bulge = index.checked_sub(1).map_or(0.0, |before| left[before].2);
                vertices.push(Vertex {
                    at: Point::new(low.place + *inset * sign, *depth),
                    bulge: bulge * sign as f64,
                });
            }
            if let Ok(outline) = Outline::new(vertices) {
                return (Some(tidied(&outline).unwrap_or(outline)), Vec::new());
            }
        }
        let mut extra = self.removed(low, if opening { -1 } else { 1 });
        extra.extend(self.removed(high, if opening { 1 } else { -1 }));
        (rectangle, extra)
    }

    /// The end of a run from the show face to the back; `None` where two profiles meet on one arris, or in the middle.
    fn chain(&self, crossing: &Crossing) -> Option<Vec<ProfilePoint>> {
        let thick = self.solid.thick;
        let on = |face: Face| {
            let mut found = crossing
                .edges
                .iter()
                .filter_map(|index| self.solid.edges.get(*index))
                .filter(move |edge| edge.faces().any(|worked| worked == face));
            let first = found.next();
            if found.next().is_some() { None } else { Some(first) }
        };
        let (show, back) = (on(Face::Show)?, on(Face::Back)?);
        let down =
            |edge: Option<&EdgeShape>| edge.map_or(Length::ZERO, |edge| edge.profile.reach_down(thick));
        if down(show) + down(back) > thick {
            return None;
        }
        let mut chain = match show {
            Some(edge) => half_chain(&edge.profile, thick, crossing.stretch),
            None => vec![(Length::ZERO, Length::ZERO, 0.0)],
        };
        let lower = match back {
            Some(edge) => half_chain(&edge.profile, thick, crossing.stretch),
            None => vec![(Length::ZERO, Length::ZERO, 0.0)],
        };
        for (index, (inset, below, _)) in lower.iter().enumerate().rev() {
            let bulge = index.checked_sub(1).map_or(0.0, |before| lower[before].2);
            chain.push((*inset, thick - *below, bulge));
        }
        chain.dedup_by(|later, earlier| {
            let same = (later.0, later.1) == (earlier.0, earlier.1);
            if same {
                earlier.2 = later.2;
            }
            same
        });
        Some(chain)
    }

    /// What the profiles at a crossing take away, one piece for each arris; `sign` says which way the wood lies.
    fn removed(&self, crossing: &Crossing, sign: i64) -> Vec<Outline> {
        let thick = self.solid.thick;
        let mut taken = Vec::new();
        for edge in crossing.edges.iter().filter_map(|index| self.solid.edges.get(*index)) {
            for face in edge.faces() {
                let depth = |below: Length| if face == Face::Show { below } else { thick - below };
                let mirrored = (sign < 0) != (face == Face::Back);
                let mut vertices =
                    vec![Vertex { at: Point::new(crossing.place, depth(Length::ZERO)), bulge: 0.0 }];
                for (inset, below, bulge) in half_chain(&edge.profile, thick, crossing.stretch) {
                    let at = Point::new(crossing.place + inset * sign, depth(below));
                    vertices.push(Vertex { at, bulge: if mirrored { bulge } else { 0.0 - bulge } });
                }
                taken.extend(Outline::new(vertices).ok());
            }
        }
        taken
    }

    /// What the profiles of edges that run along the plane, near it, take away: a depth range over the edge's length.
    fn flanks(&self, line: &Loop) -> Vec<Outline> {
        let thick = self.solid.thick;
        let mut taken = Vec::new();
        for (index, (from, to)) in line.outline.segments().enumerate() {
            let ((place, along_a), (other, along_b)) = (self.split(from.at), self.split(to));
            if place != other || from.bulge != 0.0 {
                continue;
            }
            for edge in line.worked[index].iter().filter_map(|worked| self.solid.edges.get(*worked)) {
                // Wood lies left of the line: up from a bottom edge, to the left of a right one.
                let forward = (along_b > along_a) == self.along_u;
                let wood_above = forward == line.opening;
                let inset = if wood_above { self.at - place } else { place - self.at };
                if inset < Length::ZERO || inset >= edge.profile.reach_in() {
                    continue;
                }
                let (start, end) = self.flank_ends(line, index, inset).unwrap_or((along_a, along_b));
                for face in edge.faces() {
                    let down = edge.profile.reach_down_at(inset, thick);
                    let (low, high) =
                        if face == Face::Show { (Length::ZERO, down) } else { (thick - down, thick) };
                    taken.extend(Outline::rectangle(
                        Point::new(start.min(end), low),
                        Point::new(start.max(end), high),
                    ));
                }
            }
        }
        taken
    }

    /// Where a profile's run begins and ends `inset` in from its edge: on the lines of its neighbours, whose own profiles
    /// take their share by themselves.
    fn flank_ends(&self, line: &Loop, index: usize, inset: Length) -> Option<(Length, Length)> {
        let mut insets = vec![Length::ZERO; line.worked.len()];
        *insets.get_mut(index)? = inset;
        let side = *line.sides(&insets)?.get(index)?;
        Some((self.split(side.from).1, self.split(side.to).1))
    }
}

impl Profile {
    /// How deep the profile reaches below its face, `inset` in from the edge; the turned-round of [`Profile::inset_below`].
    pub fn reach_down_at(&self, inset: Length, thick: Length) -> Length {
        let turned = match *self {
            Profile::Chamfer { along_face, down_edge } => {
                Profile::Chamfer { along_face: down_edge, down_edge: along_face }
            }
            Profile::Bevel { run } => Profile::Chamfer { along_face: thick, down_edge: run },
            Profile::Rebate { width, depth } => Profile::Rebate { width: depth, depth: width },
            round => round,
        };
        turned.inset_below(inset, thick)
    }
}

/// A profile from its face down to the edge, depths below that face, insets stretched along a slanting plane.
fn half_chain(profile: &Profile, thick: Length, stretch: f64) -> Vec<ProfilePoint> {
    let zero = Length::ZERO;
    // A plane square to the edge leaves every size as it is, exactly.
    let square = (stretch - 1.0).abs() < 1e-12;
    let wide = |inset: Length| if square { inset } else { Length::from_mm(inset.to_mm() * stretch) };
    match *profile {
        Profile::Chamfer { along_face, down_edge } => {
            vec![(wide(along_face), zero, 0.0), (zero, down_edge, 0.0)]
        }
        Profile::Bevel { run } => vec![(wide(run), zero, 0.0), (zero, thick, 0.0)],
        Profile::Rebate { width, depth } => {
            vec![(wide(width), zero, 0.0), (wide(width), depth, 0.0), (zero, depth, 0.0)]
        }
        // A quarter turn: tan(90°/4) = √2 − 1, the wood's side of it hollow seen along (inset, depth).
        Profile::Round { radius } if square => {
            vec![(radius, zero, std::f64::consts::SQRT_2 - 1.0), (zero, radius, 0.0)]
        }
        Profile::Round { radius } => {
            let steps = 24;
            let quarter = std::f64::consts::FRAC_PI_2;
            let r = radius.to_mm();
            let point = |k: i32| {
                let angle = quarter * f64::from(k) / f64::from(steps);
                let inset = Length::from_mm((r - r * libm::sin(angle)) * stretch);
                (inset, Length::from_mm(r - r * libm::cos(angle)), 0.0)
            };
            let mut chain: Vec<ProfilePoint> = (0..=steps).map(point).collect();
            if let Some(last) = chain.last_mut() {
                *last = (zero, radius, 0.0);
            }
            chain
        }
    }
}

/// The angles between which an arc only rises or only falls along x (or y).
fn monotone(arc: &Arc, along_x: bool) -> Vec<(f64, f64)> {
    let turn_at = if along_x { 0.0 } else { std::f64::consts::FRAC_PI_2 };
    let end = arc.start + arc.sweep;
    let (low, high) = (arc.start.min(end), arc.start.max(end));
    let mut stops: Vec<f64> = (-4..=4)
        .map(|k| turn_at + f64::from(k) * std::f64::consts::PI)
        .filter(|angle| *angle > low + 1e-9 && *angle < high - 1e-9)
        .collect();
    stops.extend([low, high]);
    stops.sort_by(f64::total_cmp);
    stops.windows(2).map(|pair| (pair[0], pair[1])).collect()
}
