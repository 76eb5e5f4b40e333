//! The faces and edges of a solid, for views and contacts: every broad face, floor, wall and profile as a flat piece with
//! the direction it looks, and every edge once, creases told from the seams of curved surfaces.

use crate::length::Length;
use crate::shape::cut::{self, CutFault};
use crate::shape::slab::{Layer, Slab};
use crate::shape::solid::Solid;
use crate::shape::space::{arc_points, direction, room_point_mm, same_direction};
use crate::shape::walls::stand;
use crate::shape::{Arc, Outline, Plate, Point};
use crate::trade::Side;

/// A flat piece of a solid's surface; curved surfaces come as runs of narrow ones.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatFace {
    /// Outline first, then openings; corners in room mm.
    pub loops: Vec<Vec<[f64; 3]>>,
    /// Unit direction out of the wood.
    pub normal: [f64; 3],
    /// Pieces of one surface share a number.
    pub surface: usize,
}

/// A face square to a room axis, with its true outline in the other two axes (in the order of `Axis::ALL`).
#[derive(Clone, Debug, PartialEq)]
pub struct AxisFace {
    /// The side it looks to.
    pub side: Side,
    pub at: Length,
    pub region: Plate,
}

/// The run of an edge in room mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    Line {
        from: [f64; 3],
        to: [f64; 3],
    },
    /// centre + radius · (cos a · x + sin a · y) for a from `start` over `sweep` radians; x and y are unit and square.
    Arc {
        centre: [f64; 3],
        x: [f64; 3],
        y: [f64; 3],
        radius: f64,
        start: f64,
        sweep: f64,
    },
}

impl Curve {
    pub(crate) fn line(from: [f64; 3], to: [f64; 3]) -> Curve {
        Curve::Line { from, to }
    }

    /// The point at a share of the run, 0 to 1.
    pub fn at(&self, share: f64) -> [f64; 3] {
        match self {
            Curve::Line { from, to } => [0, 1, 2].map(|i| from[i] + (to[i] - from[i]) * share),
            Curve::Arc { centre, x, y, radius, start, sweep } => {
                let angle = start + sweep * share;
                let (c, s) = (libm::cos(angle) * radius, libm::sin(angle) * radius);
                [0, 1, 2].map(|i| centre[i] + x[i] * c + y[i] * s)
            }
        }
    }
}

/// Which way a surface looks along an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lean {
    Flat([f64; 3]),
    /// Away from the middle of the edge's arc (1) or towards it (−1).
    Radial(f64),
}

/// An edge of a solid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolidEdge {
    pub curve: Curve,
    /// True where the surface runs on without a crease: seen only as a silhouette.
    pub smooth: bool,
    /// Which way the two pieces beside it look.
    pub leans: [Lean; 2],
    /// The surfaces of the two pieces beside it.
    pub surfaces: [usize; 2],
}

/// A solid's surface.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shell {
    pub faces: Vec<FlatFace>,
    pub edges: Vec<SolidEdge>,
    /// The faces square to room axes, exact.
    pub planes: Vec<AxisFace>,
    pub(crate) levels: Vec<LevelPiece>,
    surfaces: usize,
}

/// A run along a face at one level, before it is matched with what else meets there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LevelPiece {
    pub level: Length,
    pub from: Point,
    pub to: Point,
    pub bulge: f64,
    /// The way the true surface looks there, and the flat piece that stands for it.
    pub truth: Lean,
    pub facet: Lean,
    pub surface: usize,
    /// Part of a rounded edge, whose seams show as silhouettes.
    pub rounded: bool,
}

impl Shell {
    /// The shell of a solid, drilled holes included.
    pub fn of(solid: &Solid) -> Result<Shell, CutFault> {
        Shell::built(solid, true)
    }

    /// The shell of a solid as if nothing had been drilled: what joints and contacts look at.
    pub fn undrilled(solid: &Solid) -> Result<Shell, CutFault> {
        Shell::built(solid, false)
    }

    fn built(solid: &Solid, holes: bool) -> Result<Shell, CutFault> {
        let mut shell = Shell::default();
        let mut slabs = Vec::new();
        for slab in solid.slabs(holes)? {
            let mut trial = Shell { surfaces: shell.surfaces, ..Shell::default() };
            let stands =
                slab.layers.iter().flat_map(Layer::loops).all(|line| stand(&mut trial, solid, &slab, line));
            if stands {
                shell.take(trial);
                slabs.push(slab);
                continue;
            }
            // A profile swallows a side: the slab is built as a stack of thin plates.
            for thin in stack(solid, &slab)? {
                for line in thin.layers.iter().flat_map(Layer::loops) {
                    stand(&mut shell, solid, &thin, line);
                }
                slabs.push(thin);
            }
        }
        shell.lay_faces(solid, &slabs)?;
        shell.join_levels(solid);
        Ok(shell)
    }

    pub(crate) fn new_surface(&mut self) -> usize {
        self.surfaces += 1;
        self.surfaces
    }

    fn take(&mut self, other: Shell) {
        self.faces.extend(other.faces);
        self.edges.extend(other.edges);
        self.planes.extend(other.planes);
        self.levels.extend(other.levels);
        self.surfaces = other.surfaces;
    }

    /// The faces that lie on the levels: what one slab has and its neighbour has not.
    fn lay_faces(&mut self, solid: &Solid, slabs: &[Slab]) -> Result<(), CutFault> {
        for index in 0..=slabs.len() {
            let above = index.checked_sub(1).and_then(|before| slabs.get(before));
            let below = slabs.get(index);
            let level = match (above, below) {
                (_, Some(slab)) => slab.depths.low,
                (Some(slab), None) => slab.depths.high,
                (None, None) => continue,
            };
            let plates =
                |slab: Option<&Slab>| slab.map_or(Ok(Vec::new()), |slab| slab.plates_at(solid, level));
            let (above, below) = (plates(above)?, plates(below)?);
            if above == below {
                continue;
            }
            for (wood, cover, side) in
                [(&below, &above, solid.frame.into.opposite()), (&above, &below, solid.frame.into)]
            {
                for plate in wood {
                    for bare in uncovered(plate, cover)? {
                        self.lay_face(solid, &bare, level, side);
                    }
                }
            }
        }
        Ok(())
    }

    fn lay_face(&mut self, solid: &Solid, plate: &Plate, level: Length, side: Side) {
        let surface = self.new_surface();
        let normal = direction(side);
        let mut loops = Vec::new();
        for line in plate.loops() {
            let mut corners = Vec::new();
            for (from, to) in line.segments() {
                let points = arc_points(from.at, to, from.bulge);
                corners.extend(
                    points.iter().take(points.len() - 1).map(|p| room_point_mm(solid, *p, level.to_mm())),
                );
                let lean = Lean::Flat(normal);
                let (at, bulge) = (from.at, from.bulge);
                self.levels.push(LevelPiece {
                    level,
                    from: at,
                    to,
                    bulge,
                    truth: lean,
                    facet: lean,
                    surface,
                    rounded: false,
                });
            }
            loops.push(corners);
        }
        self.faces.push(FlatFace { loops, normal, surface });
        let map = |outline: &Outline| solid.in_plane(outline, solid.frame.u, solid.frame.v);
        let region = Plate { outline: map(&plate.outline), inside: plate.inside.iter().map(map).collect() };
        self.planes.push(AxisFace { side, at: solid.room(solid.frame.into, level), region });
    }

    /// Turns the runs that meet at each level into edges, each stretch once.
    fn join_levels(&mut self, solid: &Solid) {
        let mut pieces = std::mem::take(&mut self.levels);
        pieces.sort_by_key(|piece| piece.level);
        let mut start = 0;
        while start < pieces.len() {
            let end = start + pieces[start..].iter().take_while(|p| p.level == pieces[start].level).count();
            let level = pieces[start].level;
            let mut lines: Vec<(Track, Vec<Span>)> = Vec::new();
            for piece in &pieces[start..end] {
                let Some((track, from, to)) = Track::of(piece) else { continue };
                let place = match lines.iter().position(|(line, _)| line.same(&track)) {
                    Some(place) => place,
                    None => {
                        lines.push((track, Vec::new()));
                        lines.len() - 1
                    }
                };
                let (line, spans) = &mut lines[place];
                line.add(&track, (from, to), piece, spans);
            }
            for (track, spans) in &lines {
                self.edges.extend(edges_of(solid, level, track, spans));
            }
            start = end;
        }
    }
}

fn uncovered(plate: &Plate, cover: &[Plate]) -> Result<Vec<Plate>, CutFault> {
    let mut bare = vec![plate.clone()];
    for other in cover {
        let mut left = Vec::new();
        for piece in &bare {
            left.extend(cut::subtract_plate(piece, other)?);
        }
        bare = left;
    }
    Ok(bare)
}

/// A slab as thin plates without profiles, each as it is at its middle.
fn stack(solid: &Solid, slab: &Slab) -> Result<Vec<Slab>, CutFault> {
    let mut thin = Vec::new();
    for pair in solid.sublevels(slab.depths, 0.05).windows(2) {
        let depths = crate::length::Interval { low: pair[0], high: pair[1] };
        let plates = slab.plates_at(solid, depths.low + depths.size().half())?;
        thin.push(Slab { depths, layers: plates.iter().map(|plate| Layer::of(plate, &[])).collect() });
    }
    Ok(thin)
}

/// The line or circle that a run lies on, in mm of the face.
#[derive(Clone, Copy)]
enum Track {
    Line { at: (f64, f64), along: (f64, f64) },
    Circle { centre: (f64, f64), radius: f64 },
}

/// A stretch of a track (mm along a line, radians round a circle) and the piece that runs there.
struct Span {
    from: f64,
    to: f64,
    piece: LevelPiece,
}

const FULL: f64 = 2.0 * std::f64::consts::PI;

impl Track {
    fn of(piece: &LevelPiece) -> Option<(Track, f64, f64)> {
        let (a, b) = (piece.from.to_mm(), piece.to.to_mm());
        match Arc::between(a, b, piece.bulge) {
            Some(arc) => {
                let low = arc.start.min(arc.start + arc.sweep);
                let track = Track::Circle { centre: arc.centre, radius: arc.radius };
                Some((track, low, low + arc.sweep.abs()))
            }
            None => {
                let (dx, dy) = (b.0 - a.0, b.1 - a.1);
                let length = libm::hypot(dx, dy);
                (length > 0.0)
                    .then(|| (Track::Line { at: a, along: (dx / length, dy / length) }, 0.0, length))
            }
        }
    }

    /// Within a twentieth of a micrometre and a hundred thousandth of a radian two tracks are one.
    fn same(&self, other: &Track) -> bool {
        match (self, other) {
            (Track::Line { at, along }, Track::Line { at: point, along: way }) => {
                let off = |p: (f64, f64)| ((p.0 - at.0) * along.1 - (p.1 - at.1) * along.0).abs();
                (along.0 * way.1 - along.1 * way.0).abs() < 1e-5 && off(*point) < 5e-5
            }
            (Track::Circle { centre, radius }, Track::Circle { centre: middle, radius: reach }) => {
                libm::hypot(centre.0 - middle.0, centre.1 - middle.1) < 1e-3 && (radius - reach).abs() < 1e-3
            }
            _ => false,
        }
    }

    /// Adds a piece of another track that is the same as this one.
    fn add(&self, other: &Track, run: (f64, f64), piece: &LevelPiece, spans: &mut Vec<Span>) {
        let mut push = |from: f64, to: f64| spans.push(Span { from, to, piece: *piece });
        match (self, other) {
            (Track::Line { at, along }, Track::Line { .. }) => {
                let place = |p: Point| {
                    let (x, y) = p.to_mm();
                    (x - at.0) * along.0 + (y - at.1) * along.1
                };
                let (a, b) = (place(piece.from), place(piece.to));
                push(a.min(b), a.max(b));
            }
            _ => {
                // Angles from 0 to a full turn; what passes 0 is split there.
                let low = run.0 - FULL * libm::floor(run.0 / FULL + 1e-12);
                let high = low + (run.1 - run.0);
                if high > FULL + 1e-9 {
                    push(low, FULL);
                    push(0.0, high - FULL);
                } else {
                    push(low.max(0.0), high.min(FULL));
                }
            }
        }
    }

    fn curve(&self, solid: &Solid, level: Length, from: f64, to: f64) -> Curve {
        let point = |p: (f64, f64)| room_point_mm(solid, p, level.to_mm());
        match self {
            Track::Line { at, along } => {
                let place = |t: f64| point((at.0 + along.0 * t, at.1 + along.1 * t));
                Curve::line(place(from), place(to))
            }
            Track::Circle { centre, radius } => Curve::Arc {
                centre: point(*centre),
                x: direction(solid.frame.u),
                y: direction(solid.frame.v),
                radius: *radius,
                start: from,
                sweep: to - from,
            },
        }
    }
}

/// The edges on one track: stretch by stretch, from what runs there.
fn edges_of(solid: &Solid, level: Length, track: &Track, spans: &[Span]) -> Vec<SolidEdge> {
    let near = match track {
        Track::Line { .. } => 1e-4,
        Track::Circle { radius, .. } => 1e-4 / radius,
    };
    let mut stops: Vec<f64> = spans.iter().flat_map(|span| [span.from, span.to]).collect();
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|later, earlier| *later - *earlier < near);
    let mut edges: Vec<(Vec<usize>, SolidEdge, f64, f64)> = Vec::new();
    for pair in stops.windows(2) {
        let middle = (pair[0] + pair[1]) / 2.0;
        let here: Vec<usize> =
            (0..spans.len()).filter(|&i| spans[i].from < middle && middle < spans[i].to).collect();
        let (Some(&first), Some(&last)) = (here.first(), here.last()) else { continue };
        if let Some((same, _, _, to)) = edges.last_mut()
            && *same == here
            && *to == pair[0]
        {
            *to = pair[1];
            continue;
        }
        let (one, two) = (&spans[first].piece, &spans[last].piece);
        let smooth = here.len() == 2 && agree(one.truth, two.truth);
        if smooth && !(one.rounded || two.rounded) {
            continue;
        }
        let curve = track.curve(solid, level, pair[0], pair[1]);
        let edge =
            SolidEdge { curve, smooth, leans: [one.facet, two.facet], surfaces: [one.surface, two.surface] };
        edges.push((here, edge, pair[0], pair[1]));
    }
    edges
        .into_iter()
        .map(|(_, edge, from, to)| SolidEdge { curve: track.curve(solid, level, from, to), ..edge })
        .collect()
}

fn agree(one: Lean, other: Lean) -> bool {
    match (one, other) {
        (Lean::Flat(a), Lean::Flat(b)) => same_direction(a, b),
        (Lean::Radial(a), Lean::Radial(b)) => a == b,
        _ => false,
    }
}
