//! The outline of a board: corners, arches, tapers and free paths from their keys, with every shape that cannot be made
//! told by its key.

use super::profile::{Face, pair, side};
use crate::diagnose::{Diagnostic, Place};
use crate::length::{Length, notation::tell};
use crate::shape::grow::is_simple;
use crate::shape::make::{Blank, Corner, Edge as Line, PathPoint, ShapeFault, Way};
use crate::shape::{Outline, Point, Vertex};
use crate::spec::language::{ArchSpec, CornerSpec, PartSpec, PathStep, TaperSpec};
use crate::trade::Side;
use crate::values::solver::Solver;

fn taken(
    solver: &mut Solver,
    face: &Face,
    edge: usize,
    places: &mut [Option<Place>; 4],
    place: Place,
) -> Option<()> {
    match places[edge].replace(place) {
        None => Some(()),
        Some(first) => {
            let message = format!("{}: its {} edge is shaped twice", face.name, face.sides()[edge].word());
            solver.faults.push(
                Diagnostic::error("shaped-twice", place, message)
                    .also(first, "first here")
                    .propose("leave one of the two out, or draw the whole outline with `path`"),
            );
            None
        }
    }
}

pub fn arched(
    solver: &mut Solver,
    arch: &ArchSpec,
    face: &Face,
    blank: &mut Blank,
    places: &mut [Option<Place>; 4],
) -> Option<()> {
    let at = side(arch.edge);
    let Some(edge) = face.edge(at) else {
        solver.faults.push(face.edge_fault(at, "`arch`", arch.place));
        return None;
    };
    let rise = solver.length(&arch.rise, face.scope);
    let ends = match &arch.ends {
        Some(ends) => solver.not_negative(ends, face.scope, &format!("{}: the straight ends", face.name)),
        None => Some(Length::ZERO),
    };
    let (rise, ends) = (rise?, ends?);
    if rise == Length::ZERO {
        return Some(());
    }
    taken(solver, face, edge, places, arch.place)?;
    let way = if rise.is_positive() { Way::Hollow } else { Way::Crown };
    blank.edges[edge] = Line::Arch { start: ends, end: ends, rise: rise.abs(), way };
    Some(())
}

pub fn tapered(
    solver: &mut Solver,
    taper: &TaperSpec,
    face: &Face,
    blank: &mut Blank,
    places: &mut [Option<Place>; 4],
) -> Option<()> {
    let (at, end) = (side(taper.edge), side(taper.towards));
    let Some(edge) = face.edge(at) else {
        solver.faults.push(face.edge_fault(at, "`taper`", taper.place));
        return None;
    };
    let name = face.name;
    let by = solver.not_negative(&taper.by, face.scope, &format!("{name}: the taper"));
    let has = face.length(edge);
    let over = match &taper.over {
        Some(over) => solver.positive(over, face.scope, &format!("{name}: the length of the taper")),
        None => Some(has),
    };
    // Going counter-clockwise an edge ends where the next one begins.
    let at_end = face.edge(end) == Some((edge + 1) % 4);
    if !at_end && face.edge(end) != Some((edge + 3) % 4) {
        let sides = face.sides();
        let message = format!("{name}: a taper of its {} edge cannot run towards {}", at.word(), end.word());
        solver.faults.push(Diagnostic::error("not-an-edge", taper.place, message).propose(format!(
            "write `towards: {}` or `towards: {}`",
            sides[(edge + 3) % 4].word(),
            sides[(edge + 1) % 4].word()
        )));
        return None;
    }
    let (by, over) = (by?, over?);
    if by == Length::ZERO {
        return Some(());
    }
    taken(solver, face, edge, places, taper.place)?;
    blank.edges[edge] = if over == has {
        let (start, end) = if at_end { (Length::ZERO, by) } else { (by, Length::ZERO) };
        Line::Taper { start, end }
    } else {
        let point = |along, inset| PathPoint { along, inset, rise: Length::ZERO };
        if over > has {
            tell_shape(solver, face, ShapeFault::EdgeTooShort { edge, needs: over, has }, places, &[None; 4]);
            return None;
        }
        let zero = Length::ZERO;
        Line::Path(if at_end {
            vec![point(zero, zero), point(has - over, zero), point(has, by)]
        } else {
            vec![point(zero, by), point(over, zero), point(has, zero)]
        })
    };
    Some(())
}

pub fn cornered(
    solver: &mut Solver,
    corner: &CornerSpec,
    face: &Face,
    blank: &mut Blank,
    places: &mut [Option<Place>; 4],
) -> Option<()> {
    let name = face.name;
    let refuse = |solver: &mut Solver, message: String, cure: &str| {
        solver.faults.push(Diagnostic::error("corner", corner.place, message).propose(cure));
    };
    let sides: Vec<Side> = corner.at.0.iter().copied().map(side).collect();
    let [one, other] = sides.as_slice() else {
        refuse(solver, format!("{name}: a corner lies where two sides meet"), "write `at: [front, top]`");
        return None;
    };
    let edge_of = |solver: &mut Solver, side: Side| {
        let edge = face.edge(side);
        if edge.is_none() {
            solver.faults.push(face.edge_fault(side, "`corners`", corner.place));
        }
        edge
    };
    let (first, second) = (edge_of(solver, *one), edge_of(solver, *other));
    let (first, second) = (first?, second?);
    // The corner's number is that of the edge that leaves it, counter-clockwise.
    let (number, in_order) = if (first + 1) % 4 == second {
        (second, true)
    } else if (second + 1) % 4 == first {
        (first, false)
    } else {
        let message = format!("{name}: {} and {} do not meet in a corner", one.word(), other.word());
        refuse(solver, message, "name two sides that meet, such as front and top");
        return None;
    };
    let ways = [
        ("cut", !corner.cut.0.is_empty()),
        ("radius", corner.radius.is_some()),
        ("step", !corner.step.0.is_empty()),
    ];
    let given: Vec<&str> = ways.iter().filter(|(_, is)| *is).map(|(word, _)| *word).collect();
    if given.len() != 1 {
        let message = match given.len() {
            0 => format!("{name}: nothing says what is done to the corner"),
            _ => format!("{name}: {} are both given for one corner", given.join(" and ")),
        };
        refuse(solver, message, "give one of `cut`, `radius` and `step`");
        return None;
    }
    if let Some(before) = places[number].replace(corner.place) {
        let message = format!("{name}: the corner of {} and {} is worked twice", one.word(), other.word());
        solver.faults.push(
            Diagnostic::error("shaped-twice", corner.place, message)
                .also(before, "first here")
                .propose("leave one of the two out"),
        );
        return None;
    }
    if let Some(radius) = &corner.radius {
        let radius = solver.not_negative(radius, face.scope, &format!("{name}: the radius"))?;
        if radius.is_positive() {
            blank.corners[number] = Corner::Radius(radius);
        }
        return Some(());
    }
    let is_step = !corner.step.0.is_empty();
    let list = if is_step { &corner.step } else { &corner.cut };
    let (a, b) = pair(solver, list, face, if is_step { "the step" } else { "the cut" }, corner.place)?;
    if a == Length::ZERO && b == Length::ZERO {
        return Some(());
    }
    // A cut gives legs along the two sides; a step gives how far it reaches in from each, which is its leg along the other.
    let (along_first, along_second) = if is_step { (b, a) } else { (a, b) };
    let (arriving, leaving) =
        if in_order { (along_first, along_second) } else { (along_second, along_first) };
    blank.corners[number] =
        if is_step { Corner::Step { arriving, leaving } } else { Corner::Cut { arriving, leaving } };
    Some(())
}

/// The outline of a free path, in either direction.
pub fn free_path(solver: &mut Solver, part: &PartSpec, face: &Face) -> Option<Outline> {
    let first = part.path.first().map_or(face.place, |step| step.place);
    for (word, given) in [
        ("corners", !part.corners.is_empty()),
        ("arch", !part.arch.is_empty()),
        ("taper", !part.taper.is_empty()),
    ] {
        if given {
            let place = part.keys.key(word).unwrap_or(first);
            let message = format!("{}: `path` is the whole outline, but `{word}` is given too", face.name);
            solver.faults.push(
                Diagnostic::error("shaped-twice", place, message)
                    .propose(format!("leave `path` or `{word}` out")),
            );
            return None;
        }
    }
    let points: Vec<Option<(Point, Length)>> =
        part.path.iter().map(|step| path_point(solver, step, face)).collect();
    let points: Vec<(Point, Length)> = points.into_iter().collect::<Option<_>>()?;
    // The way to a point is the segment that leaves the one before it.
    let turned_area: i128 = points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|((a, _), (b, _))| {
            let wide = |length: Length| i128::from(length.units());
            wide(a.x) * wide(b.y) - wide(b.x) * wide(a.y)
        })
        .sum();
    let outward = if turned_area < 0 { -1.0 } else { 1.0 };
    let mut vertices = Vec::with_capacity(points.len());
    for ((at, _), (next, rise)) in points.iter().zip(points.iter().cycle().skip(1)) {
        let chord = libm::hypot((next.x - at.x).to_mm(), (next.y - at.y).to_mm());
        if *rise != Length::ZERO && rise.abs().to_mm() * 2.0 > chord {
            let message = format!(
                "{}: the path bulges {}, more than half of the {} from point to point",
                face.name,
                tell(rise.abs(), solver.units),
                tell(Length::from_mm(chord), solver.units)
            );
            solver.faults.push(
                Diagnostic::error("path", first, message)
                    .propose("put a point on the way, or take a smaller rise"),
            );
            return None;
        }
        let bulge = if *rise == Length::ZERO { 0.0 } else { outward * 2.0 * rise.to_mm() / chord };
        vertices.push(Vertex { at: *at, bulge });
    }
    let outline = Outline::new(vertices).ok().filter(is_simple);
    let Some(outline) = outline else {
        let message = format!("{}: the path encloses nothing, or runs into itself", face.name);
        solver.faults.push(
            Diagnostic::error("path", first, message).propose("give its points in order round the board"),
        );
        return None;
    };
    let around = outline.extents();
    let wrong = [
        ("across", around.low.x, around.high.x, face.size.x),
        ("up", around.low.y, around.high.y, face.size.y),
    ]
    .into_iter()
    .find(|(_, low, high, size)| low.abs() > Length::TOUCH || (*high - *size).abs() > Length::TOUCH);
    if let Some((way, low, high, size)) = wrong {
        let units = solver.units;
        let message = format!(
            "{}: the path reaches from {} to {} {way}, but the board from 0 to {}",
            face.name,
            tell(low, units),
            tell(high, units),
            tell(size, units)
        );
        solver.faults.push(
            Diagnostic::error("path", first, message)
                .propose("let the path touch all four sides of the board"),
        );
        return None;
    }
    Some(outline)
}

fn path_point(solver: &mut Solver, step: &PathStep, face: &Face) -> Option<(Point, Length)> {
    let [x, y] = step.to.0.as_slice() else {
        let message = format!("{}: a point of the path is `[across, up]`", face.name);
        solver.faults.push(Diagnostic::error("path", step.place, message).propose("write `to: [3\", 12\"]`"));
        return None;
    };
    let (x, y) = (solver.length(x, face.scope), solver.length(y, face.scope));
    let rise = step.rise.as_ref().map_or(Some(Length::ZERO), |rise| solver.length(rise, face.scope));
    Some((Point::new(x?, y?), rise?))
}

pub fn tell_shape(
    solver: &mut Solver,
    face: &Face,
    fault: ShapeFault,
    edges: &[Option<Place>; 4],
    corners: &[Option<Place>; 4],
) {
    let units = solver.units;
    let name = face.name;
    let any = corners.iter().chain(edges).flatten().next().copied().unwrap_or(face.place);
    let of_edge = |edge: usize| {
        let near = [edges[edge % 4], corners[edge % 4], corners[(edge + 1) % 4]];
        near.into_iter().flatten().next().unwrap_or(any)
    };
    let word = |edge: usize| face.sides()[edge % 4].word();
    let (message, place, cure) = match fault {
        ShapeFault::EdgeTooShort { edge, needs, has } => (
            format!(
                "{name}: what is cut along its {} edge needs {}, but the edge has {}",
                word(edge),
                tell(needs, units),
                tell(has, units)
            ),
            of_edge(edge),
            "make the cuts smaller or the board larger",
        ),
        ShapeFault::RiseTooHigh { edge, rise, most } => (
            format!(
                "{name}: an arch that rises {} on its {} edge is more than a half circle; the most is {}",
                tell(rise, units),
                word(edge),
                tell(most, units)
            ),
            of_edge(edge),
            "take a smaller rise or shorter straight ends",
        ),
        ShapeFault::NotPositive => (
            format!("{name}: one leg of a corner is 0, the other not"),
            any,
            "give both legs a size, or none",
        ),
        ShapeFault::CornerNotSquare { corner } => (
            format!("{name}: a step needs a square corner, but an edge beside it runs askew"),
            corners[corner % 4].unwrap_or(any),
            "cut the corner instead, or draw the outline with `path`",
        ),
        ShapeFault::CornerNotStraight { corner } => (
            format!("{name}: a corner beside an arc cannot be worked"),
            corners[corner % 4].unwrap_or(any),
            "leave straight ends to the arch",
        ),
        ShapeFault::NoSize | ShapeFault::OutOfOrder { .. } | ShapeFault::Meets => (
            format!("{name}: its shapes run into each other, and no board is left between"),
            any,
            "make the cuts smaller or the board larger",
        ),
    };
    solver.faults.push(Diagnostic::error("shape", place, message).propose(cure));
}
