//! The walls of a solid: what stands along the sides of its loops, from level to level, as flat pieces with the edges
//! between them. Straight sides give one flat wall, arcs a run of facets, profiled sides a flat or a run for each level.

use crate::length::Length;
use crate::shape::clean::tidied;
use crate::shape::grow::MovedSide;
use crate::shape::shell::{Curve, FlatFace, Lean, LevelPiece, Shell, SolidEdge};
use crate::shape::slab::{Loop, Slab};
use crate::shape::solid::{Profile, Solid};
use crate::shape::space::{
    CHORD, arc_points, direction, room_normal, room_point, room_point_mm, same_direction,
};
use crate::shape::{Arc, Outline, Plate, Point, Vertex};
use crate::trade::Face;

/// One side of a loop (wood on its left) over all levels of its slab, or a step between two sides.
struct Column {
    /// Ends of the side at each level.
    ends: Vec<(Point, Point)>,
    bulge: f64,
    /// Edges whose profile it carries.
    edges: Vec<usize>,
    changing: bool,
}

impl Column {
    /// True where it has no width between two levels.
    fn is_gone(&self, pair: usize) -> bool {
        let none = |level: usize| self.ends.get(level).is_none_or(|(from, to)| from == to);
        none(pair) && none(pair + 1)
    }
}

/// What a column has become: the surface and the lean of its facets at its start and end, for each pair of levels.
struct Stood {
    surface: usize,
    /// Facet normals next to the start and the end.
    facets: Vec<([f64; 3], [f64; 3])>,
    /// Normals of the true surface at the start and the end; for a flat both are its normal.
    true_ends: Vec<([f64; 3], [f64; 3])>,
    /// For each pair of levels, the radius, inset and depth centre of a round at work there.
    rounds: Vec<Option<Rounding>>,
    flat: bool,
}

#[derive(Clone, Copy)]
struct Rounding {
    radius: f64,
    /// Depth of the centre below the show face, mm.
    centre: f64,
}

/// Stands the walls of a loop; false where a profile swallows one of its sides and the loop has to be built otherwise.
pub(crate) fn stand(shell: &mut Shell, solid: &Solid, slab: &Slab, line: &Loop) -> bool {
    let levels = if line.is_worked() {
        solid.sublevels(slab.depths, CHORD)
    } else {
        vec![slab.depths.low, slab.depths.high]
    };
    let Some(columns) = columns(solid, slab, line, &levels) else { return false };
    let stood: Vec<Stood> = columns.iter().map(|column| raise(shell, solid, column, &levels)).collect();
    for (index, column) in columns.iter().enumerate() {
        corner_edges(shell, solid, &levels, &columns, &stood, index);
        level_edges(shell, solid, &levels, column, &stood[index]);
    }
    true
}

fn columns(solid: &Solid, slab: &Slab, line: &Loop, levels: &[Length]) -> Option<Vec<Column>> {
    let mut at_levels: Vec<Vec<MovedSide>> = Vec::with_capacity(levels.len());
    let mut insets: Vec<Vec<Length>> = Vec::with_capacity(levels.len());
    for level in levels {
        let here = line.insets(solid, *level, slab.depths);
        at_levels.push(line.sides(&here)?);
        insets.push(here);
    }
    let count = line.worked.len();
    // Wood on the left: an opening's loop is walked backwards.
    let order: Vec<usize> = if line.opening { (0..count).rev().collect() } else { (0..count).collect() };
    let ends = |side: usize, level: usize| {
        let moved = at_levels[level][side];
        if line.opening { (moved.to, moved.from) } else { (moved.from, moved.to) }
    };
    let mut columns = Vec::new();
    for (place, &side) in order.iter().enumerate() {
        let bulge = at_levels[0][side].bulge;
        columns.push(Column {
            ends: (0..levels.len()).map(|level| ends(side, level)).collect(),
            bulge: if line.opening { 0.0 - bulge } else { bulge },
            edges: line.worked[side].clone(),
            changing: insets.iter().any(|inset| inset[side] != insets[0][side]),
        });
        let next = order[(place + 1) % count];
        let step: Vec<(Point, Point)> =
            (0..levels.len()).map(|level| (ends(side, level).1, ends(next, level).0)).collect();
        if step.iter().any(|(from, to)| from != to) {
            columns.push(Column { ends: step, bulge: 0.0, edges: Vec::new(), changing: false });
        }
    }
    Some(columns)
}

fn raise(shell: &mut Shell, solid: &Solid, column: &Column, levels: &[Length]) -> Stood {
    let surface = shell.new_surface();
    let pairs = levels.len() - 1;
    if column.bulge != 0.0 {
        return raise_curved(shell, solid, column, levels, surface);
    }
    if !column.changing {
        let (from, to) = column.ends.iter().copied().find(|(from, to)| from != to).unwrap_or(column.ends[0]);
        let normal = room_normal(solid, outward(from, to), 0.0);
        let mut run: Vec<(Point, Length)> = Vec::with_capacity(levels.len() * 2);
        run.extend(column.ends.iter().zip(levels).map(|(ends, level)| (ends.1, *level)));
        run.extend(column.ends.iter().zip(levels).rev().map(|(ends, level)| (ends.0, *level)));
        run.dedup();
        flat_wall(shell, solid, &run, (from, to), normal, surface);
        return Stood {
            surface,
            facets: vec![(normal, normal); pairs],
            true_ends: vec![(normal, normal); pairs],
            rounds: vec![None; pairs],
            flat: true,
        };
    }
    let mut stood =
        Stood { surface, facets: Vec::new(), true_ends: Vec::new(), rounds: Vec::new(), flat: false };
    let out =
        column.ends.iter().find(|(from, to)| from != to).map_or((0.0, 0.0), |ends| outward(ends.0, ends.1));
    for pair in 0..pairs {
        let (upper, lower) = (levels[pair], levels[pair + 1]);
        let ((a, b), (c, d)) = (column.ends[pair], column.ends[pair + 1]);
        let corners: Vec<[f64; 3]> = [(a, upper), (b, upper), (d, lower), (c, lower)]
            .map(|(p, depth)| room_point(solid, p, depth))
            .to_vec();
        let sink = (lower - upper).to_mm();
        // How far the wall moves out over this pair of levels, square to the edge.
        let moved = (c.x - a.x).to_mm() * out.0 + (c.y - a.y).to_mm() * out.1;
        let length = libm::hypot(sink, moved);
        let facet = room_normal(solid, (out.0 * sink / length, out.1 * sink / length), moved / length);
        if moved == 0.0 && a != b {
            flat_wall(
                shell,
                solid,
                &[(a, upper), (b, upper), (d, lower), (c, lower)],
                (a, b),
                facet,
                surface,
            );
        } else if corners.iter().any(|p| *p != corners[0]) {
            shell.faces.push(FlatFace { loops: vec![corners], normal: facet, surface });
        }
        stood.facets.push((facet, facet));
        let round = rounding(solid, &column.edges, upper, lower);
        stood.rounds.push(round);
        let lean = |depth: Length| match round {
            None => facet,
            Some(round) => {
                let up = ((round.centre - depth.to_mm()) / round.radius).clamp(-1.0, 1.0);
                let side = libm::sqrt(1.0 - up * up);
                room_normal(solid, (out.0 * side, out.1 * side), up)
            }
        };
        // Here the two "ends" are the upper and the lower level of the facet.
        stood.true_ends.push((lean(upper), lean(lower)));
    }
    stood
}

/// The round that shapes a profiled side between two levels, if one does.
fn rounding(solid: &Solid, edges: &[usize], upper: Length, lower: Length) -> Option<Rounding> {
    let middle = upper + (lower - upper).half();
    let edge = edges
        .iter()
        .filter_map(|index| solid.edges.get(*index))
        .max_by_key(|edge| edge.inset_at(middle, solid.thick))?;
    let Profile::Round { radius } = edge.profile else { return None };
    edge.faces().find_map(|face| {
        let (below, centre) = match face {
            Face::Show => (middle, radius),
            Face::Back => (solid.thick - middle, solid.thick - radius),
        };
        (below < radius).then(|| Rounding { radius: radius.to_mm(), centre: centre.to_mm() })
    })
}

fn raise_curved(
    shell: &mut Shell,
    solid: &Solid,
    column: &Column,
    levels: &[Length],
    surface: usize,
) -> Stood {
    let pairs = levels.len() - 1;
    let steady = column.ends.iter().all(|ends| *ends == column.ends[0]);
    let mut stood =
        Stood { surface, facets: Vec::new(), true_ends: Vec::new(), rounds: vec![None; pairs], flat: false };
    let stops = if steady { vec![(0, pairs)] } else { (0..pairs).map(|pair| (pair, pair + 1)).collect() };
    for (upper, lower) in stops {
        let points = |level: usize| {
            let (from, to) = column.ends[level];
            arc_points(from, to, column.bulge)
        };
        let (above, below) = (points(upper), points(lower));
        let mut facets = Vec::new();
        for index in 0..above.len().min(below.len()) - 1 {
            let corners = [
                (above[index], levels[upper]),
                (above[index + 1], levels[upper]),
                (below[index + 1], levels[lower]),
                (below[index], levels[lower]),
            ];
            let (dx, dy) = (above[index + 1].0 - above[index].0, above[index + 1].1 - above[index].1);
            let chord = libm::hypot(dx, dy);
            let normal = room_normal(solid, (dy / chord, -dx / chord), 0.0);
            let loops = vec![corners.map(|(p, depth)| room_point_mm(solid, p, depth.to_mm())).to_vec()];
            shell.faces.push(FlatFace { loops, normal, surface });
            facets.push(normal);
            if index > 0 {
                let curve = Curve::line(
                    room_point_mm(solid, above[index], levels[upper].to_mm()),
                    room_point_mm(solid, below[index], levels[lower].to_mm()),
                );
                let leans = [Lean::Flat(facets[index - 1]), Lean::Flat(normal)];
                shell.edges.push(SolidEdge { curve, smooth: true, leans, surfaces: [surface; 2] });
            }
        }
        let ends = (facets.first().copied().unwrap_or_default(), facets.last().copied().unwrap_or_default());
        let (from, to) = column.ends[upper];
        let radial = |point: Point| {
            let arc = Arc::between(from.to_mm(), to.to_mm(), column.bulge);
            let (x, y) = point.to_mm();
            arc.map_or((0.0, 0.0), |arc| {
                let sign = column.bulge.signum();
                (sign * (x - arc.centre.0) / arc.radius, sign * (y - arc.centre.1) / arc.radius)
            })
        };
        let true_ends = (room_normal(solid, radial(from), 0.0), room_normal(solid, radial(to), 0.0));
        for _ in upper..lower {
            stood.facets.push(ends);
            stood.true_ends.push(true_ends);
        }
    }
    stood
}

/// The edges where one column meets the next that has any width, between every pair of levels: the step at the end of a
/// stopped profile has none below it, and there the edge's face runs on without a crease.
fn corner_edges(
    shell: &mut Shell,
    solid: &Solid,
    levels: &[Length],
    columns: &[Column],
    stood: &[Stood],
    index: usize,
) {
    let (column, stood_here, count) = (&columns[index], &stood[index], columns.len());
    let follower = |pair: usize| {
        (1..count).map(|step| (index + step) % count).find(|&next| !columns[next].is_gone(pair))
    };
    let mut pair = 0;
    while pair + 1 < levels.len() {
        let (false, Some(following)) = (column.is_gone(pair), follower(pair)) else {
            pair += 1;
            continue;
        };
        let (stood, next, next_stood) = (stood_here, &columns[following], &stood[following]);
        // Flat against flat, a straight corner runs on over the levels.
        let mut end = pair + 1;
        let fixed = |stood: &Stood, column: &Column| stood.flat || column.bulge != 0.0;
        if fixed(stood, column) && fixed(next_stood, next) {
            while end + 1 < levels.len()
                && column.ends[end + 1].1 == column.ends[pair].1
                && !column.is_gone(end)
                && follower(end) == Some(following)
            {
                end += 1;
            }
        }
        let (upper, lower) = ((column.ends[pair].1, levels[pair]), (column.ends[end].1, levels[end]));
        let normal = |stood: &Stood, column: &Column, at_end: bool| {
            if column.changing && !stood.flat {
                return (stood.facets[pair].0, stood.facets[pair].0);
            }
            let (facets, truth) = (stood.facets[pair], stood.true_ends[pair]);
            if at_end { (facets.1, truth.1) } else { (facets.0, truth.0) }
        };
        let (one, two) = (normal(stood, column, true), normal(next_stood, next, false));
        let same = same_direction(one.1, two.1);
        let flats = stood.flat && next_stood.flat;
        // A facet without a round is flat, and runs on into another that looks the same way.
        let plain = |stood: &Stood, column: &Column| {
            stood.flat || (column.bulge == 0.0 && stood.rounds[pair].is_none())
        };
        let both_plain = plain(stood, column) && plain(next_stood, next);
        let both_changing = column.changing && next.changing;
        if !(same && (flats || both_plain || both_changing)) {
            let curve = cap_arc(solid, (column, stood), (next, next_stood), pair, upper, lower)
                .unwrap_or_else(|| {
                    Curve::line(room_point(solid, upper.0, upper.1), room_point(solid, lower.0, lower.1))
                });
            shell.edges.push(SolidEdge {
                curve,
                smooth: same,
                leans: [Lean::Flat(one.0), Lean::Flat(two.0)],
                surfaces: [stood.surface, next_stood.surface],
            });
        }
        pair = end;
    }
}

/// The true arc in which a rounded edge ends at a flat wall square to it.
fn cap_arc(
    solid: &Solid,
    (column, stood): (&Column, &Stood),
    (next, next_stood): (&Column, &Stood),
    pair: usize,
    upper: (Point, Length),
    lower: (Point, Length),
) -> Option<Curve> {
    let (round, edge_run, wall) = match (stood.rounds.get(pair)?, next_stood.rounds.get(pair)?) {
        (Some(round), None) if next_stood.flat => (*round, column, next),
        (None, Some(round)) if stood.flat => (*round, next, column),
        _ => return None,
    };
    let along = |column: &Column| column.ends.iter().copied().find(|(from, to)| from != to);
    let ((a, b), (c, d)) = (along(edge_run)?, along(wall)?);
    let (out, across) = (outward(a, b), outward(c, d));
    if (out.0 * across.0 + out.1 * across.1).abs() > 1e-9 {
        return None;
    }
    // The centre lies in by the radius from the edge's own line; at depth z the wood begins √(r² − (z − centre)²) out of it.
    let off = |depth: Length| {
        let up = depth.to_mm() - round.centre;
        libm::sqrt((round.radius * round.radius - up * up).max(0.0))
    };
    let (x, y) = upper.0.to_mm();
    let back = off(upper.1);
    let centre = (x - out.0 * back, y - out.1 * back);
    let angle = |depth: Length| libm::atan2(depth.to_mm() - round.centre, off(depth));
    let start = angle(upper.1);
    Some(Curve::Arc {
        centre: room_point_mm(solid, centre, round.centre),
        x: room_normal(solid, out, 0.0),
        y: direction(solid.frame.into),
        radius: round.radius,
        start,
        sweep: angle(lower.1) - start,
    })
}

/// Edges along a column: between its facets from level to level, and its first and last level for the faces that lie there.
fn level_edges(shell: &mut Shell, solid: &Solid, levels: &[Length], column: &Column, stood: &Stood) {
    let last = levels.len() - 1;
    let changing = column.changing && !stood.flat;
    for level in [0, last] {
        let (from, to) = column.ends[level];
        if from == to {
            continue;
        }
        let pair = level.min(last - 1);
        let truth = match (changing, column.bulge != 0.0) {
            (true, _) if level == 0 => Lean::Flat(stood.true_ends[pair].0),
            (true, _) => Lean::Flat(stood.true_ends[pair].1),
            (_, true) => Lean::Radial(column.bulge.signum()),
            _ => Lean::Flat(stood.facets[pair].0),
        };
        let facet = if changing { Lean::Flat(stood.facets[pair].0) } else { truth };
        shell.levels.push(LevelPiece {
            level: levels[level],
            from,
            to,
            bulge: column.bulge,
            truth,
            facet,
            surface: stood.surface,
            rounded: stood.rounds[pair].is_some(),
        });
    }
    if !changing {
        return;
    }
    for (level, depth) in levels.iter().copied().enumerate().take(last).skip(1) {
        let (from, to) = column.ends[level];
        let (above, below) = (stood.true_ends[level - 1].1, stood.true_ends[level].0);
        let same = same_direction(above, below);
        let rounded = stood.rounds[level - 1].is_some() || stood.rounds[level].is_some();
        if from == to || (same && !rounded) {
            continue;
        }
        shell.edges.push(SolidEdge {
            curve: Curve::line(room_point(solid, from, depth), room_point(solid, to, depth)),
            smooth: same,
            leans: [Lean::Flat(stood.facets[level - 1].0), Lean::Flat(stood.facets[level].0)],
            surfaces: [stood.surface; 2],
        });
    }
}

/// A flat wall, and its plane where it lies square to a room axis.
fn flat_wall(
    shell: &mut Shell,
    solid: &Solid,
    run: &[(Point, Length)],
    (from, to): (Point, Point),
    normal: [f64; 3],
    surface: usize,
) {
    let corners: Vec<[f64; 3]> = run.iter().map(|(point, depth)| room_point(solid, *point, *depth)).collect();
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let side = match (dx.units().signum(), dy.units().signum()) {
        (1, 0) => Some((solid.frame.v.opposite(), solid.frame.u)),
        (-1, 0) => Some((solid.frame.v, solid.frame.u)),
        (0, 1) => Some((solid.frame.u, solid.frame.v)),
        (0, -1) => Some((solid.frame.u.opposite(), solid.frame.v)),
        _ => None,
    };
    let along_u = dy == Length::ZERO;
    let vertices = run
        .iter()
        .map(|(p, depth)| Vertex { at: Point::new(if along_u { p.x } else { p.y }, *depth), bulge: 0.0 });
    let Ok(outline) = Outline::new(vertices.collect()) else { return };
    if let Some((side, along)) = side {
        let outline = solid.in_plane(&outline, along, solid.frame.into);
        let outline = tidied(&outline).unwrap_or(outline);
        let at = solid.frame.to_room(from.x, from.y, Length::ZERO)[side.axis().index()];
        shell.planes.push(crate::shape::shell::AxisFace { side, at, region: Plate::whole(outline) });
    }
    shell.faces.push(FlatFace { loops: vec![corners], normal, surface });
}

/// The direction out of the wood, square to a side with the wood on its left.
fn outward(from: Point, to: Point) -> (f64, f64) {
    let (dx, dy) = ((to.x - from.x).to_mm(), (to.y - from.y).to_mm());
    let length = libm::hypot(dx, dy);
    if length == 0.0 { (0.0, 0.0) } else { (dy / length, -dx / length) }
}
