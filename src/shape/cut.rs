//! Union, difference, intersection and offset of outlines, arcs kept as arcs. Sole user of `cavalier_contours`, whose
//! answers are not taken on trust: every result is turned counter-clockwise, brought back onto the length grid (corners of
//! the inputs exactly), freed of slivers and needless vertices, and its area is held against what a second
//! engine says the two outlines share. Knows no joint and no tool.

use cavalier_contours::polyline::{
    BooleanOp, BooleanResultInfo, PlineBooleanOptions, PlineCreation, PlineOffsetOptions, PlineSource,
    PlineSourceMut, Polyline,
};

use crate::length::Length;
use crate::shape::clean::{simple_loops, tidied, with_given_bulges};
use crate::shape::grow::grow;
use crate::shape::polygons::{self, contour, wider_than};
use crate::shape::rolled::is_true;
use crate::shape::{Outline, Plate, Point, Vertex};

/// Why a cut could not be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutFault {
    /// The cut takes all the wood away.
    NothingLeft,
    /// The engine's result does not add up; by how many mm². Nothing may be built from it.
    Unsound { off_by_mm2: f64 },
}

/// Why an offset gives no outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OffsetFault {
    /// Nothing is left inside.
    Vanishes,
    /// It falls into this many pieces, or closes round an opening that was not there.
    Splits { loops: usize },
    /// The engine's lines are not where they must be. Nothing may be cut along them.
    Unsound,
}

/// Thinner than this on average, a piece is no wood but the noise of two edges that were meant to meet: half of
/// [`Length::TOUCH`], in mm.
const SLIVER: f64 = 0.00125;

/// Vertices of a result this close to a vertex of an input are that vertex, in units of the grid.
const SAME_CORNER: i64 = 3;

/// How a boolean is tried: points closer than `epsilon` mm are one for the engine; and where edges that only touch lead it
/// astray, the second outline is grown by a nudge, in units of the grid, which is taken back from the result.
#[derive(Clone, Copy)]
struct Attempt {
    epsilon: f64,
    nudge: i64,
}

/// The attempts in order; the first whose area is right is taken.
const ATTEMPTS: [Attempt; 6] = [
    Attempt { epsilon: 1e-5, nudge: 0 },
    Attempt { epsilon: 1e-6, nudge: 0 },
    Attempt { epsilon: 1e-7, nudge: 0 },
    Attempt { epsilon: 1e-6, nudge: 8 },
    Attempt { epsilon: 1e-5, nudge: 16 },
    Attempt { epsilon: 1e-4, nudge: 0 },
];

/// How an offset is tried, in order; the first true result is taken. Points closer than the first figure, mm, are one for the
/// engine; where arcs that shrink to nothing lead it astray, the distance is nudged by the second, in units of the grid.
const OFFSET_ATTEMPTS: [(f64, i64); 10] = [
    (1e-5, 0),
    (1e-6, 0),
    (1e-7, 0),
    (1e-4, 0),
    (1e-3, 0),
    (1e-5, -4),
    (1e-5, 4),
    (1e-7, -4),
    (1e-7, 4),
    (1e-4, 4),
];

/// Chords of arcs for the second engine, mm.
const CHORD: f64 = 0.0005;

/// What is left of `plate` when `cut` is taken away: unchanged where the cut misses it, with a notch where it breaks the
/// edge, with an opening where it lies inside, with a larger opening where it meets one, in several pieces where it parts
/// the plate. Pieces come in order of their lowest, then leftmost corner.
pub fn subtract(plate: &Plate, cut: &Outline) -> Result<Vec<Plate>, CutFault> {
    let mut whole_cut = cut.clone();
    let mut apart = Vec::new();
    let mut islands = Vec::new();
    for hole in &plate.inside {
        match merged(&whole_cut, hole)? {
            Some((outer, inner)) => {
                whole_cut = outer;
                islands.extend(inner);
            }
            None => apart.push(hole.clone()),
        }
    }
    let (outers, holes) = boolean(&plate.outline, &whole_cut, BooleanOp::Not)?;
    let mut pieces: Vec<Plate> = outers.into_iter().map(Plate::whole).collect();
    for island in islands {
        let (kept, _) = boolean(&island, &plate.outline, BooleanOp::And)?;
        pieces.extend(kept.into_iter().map(Plate::whole));
    }
    hand_out(&mut pieces, holes.into_iter().chain(apart));
    if pieces.is_empty() {
        return Err(CutFault::NothingLeft);
    }
    sort(&mut pieces);
    Ok(pieces)
}

/// What is left of `plate` when the wood of `other` is taken away; empty where nothing is.
pub fn subtract_plate(plate: &Plate, other: &Plate) -> Result<Vec<Plate>, CutFault> {
    let mut pieces = match subtract(plate, &other.outline) {
        Ok(pieces) => pieces,
        Err(CutFault::NothingLeft) => Vec::new(),
        Err(fault) => return Err(fault),
    };
    for hole in &other.inside {
        pieces.extend(intersect(plate, &Plate::whole(hole.clone()))?);
    }
    sort(&mut pieces);
    Ok(pieces)
}

/// What two plates share; empty where they are apart or only touch.
pub fn intersect(one: &Plate, other: &Plate) -> Result<Vec<Plate>, CutFault> {
    let (outers, _) = boolean(&one.outline, &other.outline, BooleanOp::And)?;
    let mut pieces: Vec<Plate> = outers.into_iter().map(Plate::whole).collect();
    for hole in one.inside.iter().chain(&other.inside) {
        let mut left = Vec::new();
        for piece in &pieces {
            match subtract(piece, hole) {
                Ok(parts) => left.extend(parts),
                Err(CutFault::NothingLeft) => {}
                Err(fault) => return Err(fault),
            }
        }
        pieces = left;
    }
    sort(&mut pieces);
    Ok(pieces)
}

/// What two outlines share; empty where they are apart or only touch.
pub fn intersection(one: &Outline, other: &Outline) -> Result<Vec<Outline>, CutFault> {
    let (mut outers, _) = boolean(one, other, BooleanOp::And)?;
    outers.sort_by_key(first_corner);
    Ok(outers)
}

/// The outlines together; those that overlap or share an edge become one plate, with openings where they close round one.
pub fn union(outlines: &[Outline]) -> Result<Vec<Plate>, CutFault> {
    let mut plates: Vec<Plate> = Vec::new();
    for outline in outlines {
        let mut grown = Plate::whole(outline.clone());
        // Joined to one plate, the new outline may come to meet another that it had missed: start again until none joins.
        let mut from = 0;
        while from < plates.len() {
            match joined(&plates[from], &grown)? {
                Some((plate, islands)) => {
                    plates.remove(from);
                    plates.extend(islands.into_iter().map(Plate::whole));
                    grown = plate;
                    from = 0;
                }
                None => from += 1,
            }
        }
        plates.push(grown);
    }
    sort(&mut plates);
    Ok(plates)
}

/// The path of a round tool (or of a guide) whose middle keeps `distance` from the outline: positive outside with round
/// corners, negative inside. Empty is a fault; several plates, or openings, mean that the tool does not fit everywhere.
pub fn offset(outline: &Outline, distance: Length) -> Result<Vec<Plate>, OffsetFault> {
    if distance == Length::ZERO {
        return Ok(vec![Plate::whole(outline.clone())]);
    }
    // An empty result is only taken for one where no wheel of that size rolls anywhere.
    let plates = OFFSET_ATTEMPTS
        .iter()
        .map(|(epsilon, nudge)| offset_once(outline, distance + Length::from_units(*nudge), *epsilon));
    let mut plates = plates;
    match plates.find(|plates| is_true(outline, distance, plates)) {
        Some(plates) if plates.is_empty() => Err(OffsetFault::Vanishes),
        Some(plates) => Ok(plates),
        None => Err(OffsetFault::Unsound),
    }
}

fn offset_once(outline: &Outline, distance: Length, epsilon: f64) -> Vec<Plate> {
    let shift = outline.extents().low;
    let options = PlineOffsetOptions {
        handle_self_intersects: true,
        pos_equal_eps: epsilon,
        // The engine's own value, unless points further apart than that are one.
        offset_dist_eps: epsilon.max(1e-4),
        ..Default::default()
    };
    let mut outers = Vec::new();
    let mut holes = Vec::new();
    // The engine's positive side is the left of the line: inwards for a counter-clockwise outline.
    let line = polyline(outline, shift);
    for line in guarded(|| line.parallel_offset_opt(-distance.to_mm(), &options)).unwrap_or_default() {
        let backwards = line.area() < 0.0;
        let (same, turned) = outlines_of(&line, shift, &[outline], 0);
        let (wood, open) = if backwards { (turned, same) } else { (same, turned) };
        outers.extend(wood.into_iter().map(Plate::whole));
        holes.extend(open);
    }
    hand_out(&mut outers, holes);
    sort(&mut outers);
    outers
}

/// As [`offset`], where one outline is wanted: a fault where the tool's path falls apart or closes round an opening.
pub fn offset_whole(outline: &Outline, distance: Length) -> Result<Outline, OffsetFault> {
    let mut plates = offset(outline, distance)?;
    let loops: usize = plates.iter().map(|plate| plate.loops().count()).sum();
    match plates.pop() {
        Some(plate) if loops == 1 => Ok(plate.outline),
        Some(_) => Err(OffsetFault::Splits { loops }),
        None => Err(OffsetFault::Vanishes),
    }
}

/// Two outlines as one where they overlap or share an edge, with what they close round; `None` where they stay apart or
/// meet in a corner only.
type Merged = Option<(Outline, Vec<Outline>)>;

fn merged(one: &Outline, other: &Outline) -> Result<Merged, CutFault> {
    if apart(one, other) {
        return Ok(None);
    }
    let (mut outers, inner) = boolean(one, other, BooleanOp::Or)?;
    match outers.pop() {
        Some(outer) if outers.is_empty() && !touches_itself(&outer) => Ok(Some((outer, inner))),
        _ => Ok(None),
    }
}

/// A plate and another as one, and the plates that then stand alone in its openings; `None` where they do not meet.
fn joined(plate: &Plate, added: &Plate) -> Result<Option<(Plate, Vec<Outline>)>, CutFault> {
    // All that stands in an opening of one of the two, without filling it, is no part of it.
    for (one, other) in [(plate, added), (added, plate)] {
        for hole in &one.inside {
            let (_, rest) = boolean(hole, &other.outline, BooleanOp::Not)?;
            if !rest.is_empty() {
                return Ok(None);
            }
        }
    }
    let Some((outline, mut inside)) = merged(&plate.outline, &added.outline)? else { return Ok(None) };
    let mut islands = Vec::new();
    for (one, other) in [(plate, added), (added, plate)] {
        for hole in &one.inside {
            let left = match subtract(&Plate::whole(hole.clone()), &other.outline) {
                Ok(left) => left,
                Err(CutFault::NothingLeft) => Vec::new(),
                Err(fault) => return Err(fault),
            };
            for piece in left {
                islands.extend(piece.inside);
                inside.push(piece.outline);
            }
            // Where the opening of one meets an opening of the other, both stay open.
            for hollow in &other.inside {
                inside.extend(boolean(hole, hollow, BooleanOp::And)?.0);
            }
        }
    }
    inside.dedup();
    inside.sort_by_key(first_corner);
    Ok(Some((Plate { outline, inside }, islands)))
}

/// Gives each opening to the plate it lies in. Openings are inside or outside as a whole, so one point tells; the one
/// furthest from any line is not needed, as openings do not reach the edge.
fn hand_out(plates: &mut [Plate], holes: impl IntoIterator<Item = Outline>) {
    for hole in holes {
        let at = hole.flattened(0.1);
        let sure = |plate: &Plate| {
            at.iter()
                .filter(|(x, y)| plate.outline.contains(Point::new(Length::from_mm(*x), Length::from_mm(*y))))
                .count()
        };
        // Most points inside: a hole that touches the edge in a point still has its home.
        if let Some(home) = plates.iter_mut().max_by_key(|plate| sure(plate)) {
            home.inside.push(hole);
        }
    }
    for plate in plates {
        plate.inside.sort_by_key(first_corner);
    }
}

fn first_corner(outline: &Outline) -> (Length, Length) {
    outline.vertices().iter().map(|v| (v.at.y, v.at.x)).min().unwrap_or_default()
}

fn sort(plates: &mut [Plate]) {
    plates.sort_by_key(|plate| first_corner(&plate.outline));
}

/// True where the extents of two outlines do not even touch.
fn apart(one: &Outline, other: &Outline) -> bool {
    let (a, b) = (one.extents(), other.extents());
    a.high.x < b.low.x || b.high.x < a.low.x || a.high.y < b.low.y || b.high.y < a.low.y
}

fn touches_itself(outline: &Outline) -> bool {
    let mut points: Vec<Point> = outline.vertices().iter().map(|v| v.at).collect();
    points.sort_unstable();
    points.windows(2).any(|pair| pair[0] == pair[1])
}

type Loops = (Vec<Outline>, Vec<Outline>);

/// One boolean of two outlines, guarded: outer loops and openings.
fn boolean(one: &Outline, other: &Outline, operation: BooleanOp) -> Result<Loops, CutFault> {
    if apart(one, other) {
        return Ok(match operation {
            BooleanOp::And => (Vec::new(), Vec::new()),
            BooleanOp::Not => (vec![one.clone()], Vec::new()),
            _ => (vec![one.clone(), other.clone()], Vec::new()),
        });
    }
    let chord = if one.is_straight() && other.is_straight() { 0.0 } else { CHORD };
    let shapes = polygons::shared(&vec![contour(one, chord)], &vec![contour(other, chord)]);
    let shared: f64 = shapes.iter().filter(|s| wider_than(s, SLIVER)).map(|s| polygons::size(s).0).sum();
    match operation {
        // Nothing is shared: a plate stays as it was, bit for bit.
        BooleanOp::Not if shared == 0.0 => return Ok((vec![one.clone()], Vec::new())),
        BooleanOp::And if shared == 0.0 => return Ok((Vec::new(), Vec::new())),
        _ => {}
    }
    let (a, b) = (one.area_mm2(), other.area_mm2());
    let expected = match operation {
        BooleanOp::And => shared,
        BooleanOp::Not => a - shared,
        _ => a + b - shared,
    };
    // Chords lie to one side of their arcs; slivers that were dropped take a hair along an edge.
    let line = one.perimeter_mm() + other.perimeter_mm();
    let allowed = 1e-4 + chord * line;
    let mut best: Option<(f64, Loops)> = None;
    for attempt in ATTEMPTS {
        let Some(result) = run(one, other, operation, attempt) else { continue };
        let off = (area(&result) - expected).abs();
        if off <= allowed {
            return Ok(result);
        }
        if best.as_ref().is_none_or(|(least, _)| off < *least) {
            best = Some((off, result));
        }
    }
    match best {
        Some((off, result)) if off <= allowed + (SLIVER * line).min(0.5) => Ok(result),
        best => Err(CutFault::Unsound { off_by_mm2: best.map_or(f64::INFINITY, |(off, _)| off) }),
    }
}

fn area(loops: &Loops) -> f64 {
    let sum = |outlines: &[Outline]| outlines.iter().map(Outline::area_mm2).sum::<f64>();
    sum(&loops.0) - sum(&loops.1)
}

fn run(one: &Outline, other: &Outline, operation: BooleanOp, attempt: Attempt) -> Option<Loops> {
    let shift = one.extents().low;
    let options = PlineBooleanOptions { pos_equal_eps: attempt.epsilon, ..Default::default() };
    let nudged = match attempt.nudge {
        0 => None,
        by => Some(grow(other, Length::from_units(by)).ok()?),
    };
    let (line, tool) = (polyline(one, shift), polyline(nudged.as_ref().unwrap_or(other), shift));
    let result = guarded(|| line.boolean_opt(&tool, operation, &options))?;
    if matches!(result.result_info, BooleanResultInfo::InvalidInput) {
        return None;
    }
    let inputs = [one, other];
    let mut loops: Loops = Default::default();
    for (found, opening) in result
        .pos_plines
        .iter()
        .map(|found| (found, false))
        .chain(result.neg_plines.iter().map(|found| (found, true)))
    {
        let (same, turned) = outlines_of(&found.pline, shift, &inputs, attempt.nudge);
        let (wood, open) = if opening { (turned, same) } else { (same, turned) };
        loops.0.extend(wood);
        loops.1.extend(open);
    }
    Some(loops)
}

/// The engine stops with a panic where it finds no way round; to us that is a result that cannot be had.
fn guarded<T>(work: impl FnOnce() -> T) -> Option<T> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(work)).ok()
}

fn polyline(outline: &Outline, shift: Point) -> Polyline<f64> {
    let mut line = Polyline::with_capacity(outline.vertices().len(), true);
    for vertex in outline.vertices() {
        line.add((vertex.at.x - shift.x).to_mm(), (vertex.at.y - shift.y).to_mm(), vertex.bulge);
    }
    line
}

/// A loop of the engine back on the grid and clean, slivers dropped: the outlines that run its way, and, where it touches
/// itself and so is really several loops, those that run the other way.
fn outlines_of(line: &Polyline<f64>, shift: Point, inputs: &[&Outline], nudge: i64) -> Loops {
    let mut vertices = Vec::with_capacity(line.vertex_count());
    for vertex in line.iter_vertexes() {
        if !(vertex.x.is_finite() && vertex.y.is_finite() && vertex.bulge.is_finite()) {
            return Loops::default();
        }
        let at = Point::new(Length::from_mm(vertex.x) + shift.x, Length::from_mm(vertex.y) + shift.y);
        let bulge = if vertex.bulge.abs() < 1e-9 { 0.0 } else { vertex.bulge };
        vertices.push(Vertex { at: snapped(at, inputs, nudge), bulge });
    }
    let mut found: Loops = Default::default();
    let whole = line.area();
    for vertices in simple_loops(vertices) {
        let forward = Outline { vertices: vertices.clone() }.area_mm2() * whole > 0.0;
        let Some(outline) = Outline::new(vertices).ok().and_then(|outline| tidied(&outline)) else {
            continue;
        };
        let outline = with_given_bulges(&outline, inputs);
        let enclosed = outline.area_mm2();
        if enclosed > 1e-6 && 2.0 * enclosed / outline.perimeter_mm() > SLIVER {
            let side = if forward { &mut found.0 } else { &mut found.1 };
            side.push(outline.canonical());
        }
    }
    found
}

/// The corner of an input that a point of the result is meant to be, or the point itself. After a nudge also the lines
/// along the axes that the inputs run on.
fn snapped(at: Point, inputs: &[&Outline], nudge: i64) -> Point {
    let corners = || inputs.iter().flat_map(|outline| outline.vertices()).map(|vertex| vertex.at);
    let reach = SAME_CORNER + 2 * nudge;
    let far = |to: Point| (to.x - at.x).abs().units().max((to.y - at.y).abs().units());
    let corner = corners().map(|corner| (far(corner), corner)).filter(|(off, _)| *off <= reach).min();
    if let Some((_, corner)) = corner {
        return corner;
    }
    if nudge == 0 {
        return at;
    }
    let nearest = |here: Length, all: &mut dyn Iterator<Item = Length>| {
        all.map(|line| ((line - here).abs(), line))
            .filter(|(off, _)| off.units() <= reach)
            .min()
            .map(|(_, line)| line)
    };
    Point::new(
        nearest(at.x, &mut corners().map(|corner| corner.x)).unwrap_or(at.x),
        nearest(at.y, &mut corners().map(|corner| corner.y)).unwrap_or(at.y),
    )
}
