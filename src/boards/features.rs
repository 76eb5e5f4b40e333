//! Cut-outs, recesses and holes asked for by hand: placed in the assembly's measures, brought into the board's own face
//! coordinates, and held against the board. Knows no joint.

use num_rational::Ratio;

use super::layout::{MOST, given, within};
use super::place::{Given, Said, nearest, run, words};
use super::profile::Face;
use super::{Hole, HoleKind, Pocket, PocketKind};
use crate::diagnose::{Diagnostic, Place};
use crate::length::{Interval, Length, notation::tell};
use crate::shape::cut::intersection;
use crate::shape::make::rounded_rectangle;
use crate::shape::{Outline, Point};
use crate::spec::language::{CutoutSpec, FaceChoice, HoleSpec, PartSpec};
use crate::spec::read::{Named, Words};
use crate::trade::{self, Axis, Position};
use crate::values::solver::{Scope, Solver};

/// What was asked for by hand on one board.
#[derive(Default)]
pub struct Features {
    pub inside: Vec<Outline>,
    pub inside_notes: Vec<Option<String>>,
    /// Both kinds of cut-out by name.
    pub cutouts: Vec<(String, Outline)>,
    pub pockets: Vec<Pocket>,
    pub holes: Vec<Hole>,
}

/// Works out the cut-outs and holes of a board whose outline is known; `None` where a fault was told. `corner` is
/// where the span begins, in the assembly's measures.
pub fn features(solver: &mut Solver, part: &PartSpec, face: &Face, outline: &Outline) -> Option<Features> {
    let mut found = Features::default();
    let mut through: Vec<(Outline, Place, &str)> = Vec::new();
    let mut whole = true;
    for cutout in &part.cutouts {
        match one_cutout(solver, cutout, face, outline) {
            Some(Some(Cutout::Through(opening))) => {
                whole &= apart(solver, face, &through, &opening, cutout).is_some();
                found.cutouts.push((cutout.name.clone(), opening.clone()));
                through.push((opening, cutout.place, &cutout.name));
                found.inside_notes.push(written(&cutout.body.note));
            }
            Some(Some(Cutout::Recess(pocket))) => {
                found.cutouts.push((cutout.name.clone(), pocket.outline.clone()));
                found.pockets.push(pocket);
            }
            Some(None) => {}
            None => whole = false,
        }
    }
    found.inside = through.into_iter().map(|(opening, ..)| opening).collect();
    for hole in &part.holes {
        whole &= row_of_holes(solver, hole, face, outline, &mut found.holes).is_some();
    }
    whole.then_some(found)
}

/// The text of a note.
fn written(note: &Option<Words>) -> Option<String> {
    note.as_ref().map(|words| words.text.clone())
}

enum Cutout {
    Through(Outline),
    Recess(Pocket),
}

fn one_cutout(
    solver: &mut Solver,
    named: &Named<CutoutSpec>,
    face: &Face,
    outline: &Outline,
) -> Option<Option<Cutout>> {
    let spec = &named.body;
    if let Some(when) = &spec.when
        && !solver.truth(when, face.scope)?
    {
        return Some(None);
    }
    let name = format!("{}, {}", face.name, named.name);
    let area = area(solver, named, face, &name);
    let mut optional = |formula: &Option<_>, what: &str| match formula {
        Some(formula) => solver.not_negative(formula, face.scope, &format!("{name}: the {what}")),
        None => Some(Length::ZERO),
    };
    let (radius, deep) = (optional(&spec.radius, "radius"), optional(&spec.deep, "depth of the recess"));
    let ((low, high), radius, deep) = (area?, radius?, deep?);
    let units = solver.units;
    let Ok(shape) = rounded_rectangle(low, high, radius) else {
        let least = (high.x - low.x).min(high.y - low.y);
        let message = format!(
            "{name}: corners of radius {} do not fit a cut-out of {} in its smaller size",
            tell(radius, units),
            tell(least, units)
        );
        solver.faults.push(
            Diagnostic::error("cut-out", spec.radius.as_ref().map_or(named.place, |r| r.place), message)
                .propose(format!("take a radius of {} or less", tell(least.half(), units))),
        );
        return None;
    };
    let recess = spec.deep.is_some() && deep.is_positive();
    if recess && deep >= face.thick {
        let message = format!(
            "{name}: a recess {} deep goes right through a board {} thick",
            tell(deep, units),
            tell(face.thick, units)
        );
        solver.faults.push(
            Diagnostic::error("cut-out", spec.deep.as_ref().map_or(named.place, |d| d.place), message)
                .propose("leave `deep` out if it is to go through, or make it shallower"),
        );
        return None;
    }
    inside(solver, &name, named.place, face, outline, &shape, recess)?;
    let from = spec.from.map_or(trade::Face::Show, face_of);
    Some(Some(if recess {
        Cutout::Recess(Pocket {
            outline: shape,
            depth: deep,
            from,
            kind: PocketKind::Recess,
            note: written(&spec.note),
            place: named.place,
        })
    } else {
        Cutout::Through(shape)
    }))
}

const fn face_of(choice: FaceChoice) -> trade::Face {
    match choice {
        FaceChoice::Show => trade::Face::Show,
        FaceChoice::Back => trade::Face::Back,
    }
}

/// Two opposite corners of a cut-out in face coordinates.
fn area(solver: &mut Solver, named: &Named<CutoutSpec>, face: &Face, name: &str) -> Option<(Point, Point)> {
    let spec = &named.body;
    let normal = face.frame.into.axis();
    let mut span: [Option<Interval>; 3] = [None; 3];
    for axis in Axis::ALL {
        let formulas = match axis {
            Axis::Across => [&spec.left, &spec.right, &spec.width],
            Axis::Deep => [&spec.front, &spec.back, &spec.depth],
            Axis::Up => [&spec.bottom, &spec.top, &spec.height],
        };
        if axis == normal {
            if let Some(word) = words(axis).into_iter().find(|word| spec.keys.key(word).is_some()) {
                let place = spec.keys.key(word).unwrap_or(named.place);
                let message = format!(
                    "{name}: `{word}` looks through the board, where a cut-out has no place of its own"
                );
                solver.faults.push(
                    Diagnostic::error("cut-out", place, message)
                        .propose(format!("leave `{word}` out; `deep` makes a recess")),
                );
                return None;
            }
            continue;
        }
        let stated =
            given(solver, formulas.map(Option::as_ref), face.scope, |word| spec.keys.key(word), axis);
        let Some([low, high, size]) = stated else { continue };
        let said = Said { name, axis, units: solver.units, place: named.place, stock: "" };
        match run(&Given { low, high, size, thick: None }, &said) {
            Ok(found) => span[axis.index()] = found.on_grid(),
            Err(fault) => solver.faults.push(*fault),
        }
    }
    let (u, v) = (span[face.frame.u.axis().index()]?, span[face.frame.v.axis().index()]?);
    let corner = |high: bool| {
        let end = |along: Interval| if high { along.high } else { along.low };
        let mut at: Position = [Length::ZERO; 3];
        at[face.frame.u.axis().index()] = end(u);
        at[face.frame.v.axis().index()] = end(v);
        let (u, v, _) = face.frame.to_face(at);
        Point::new(u, v)
    };
    let (one, other) = (corner(false), corner(true));
    Some((
        Point::new(one.x.min(other.x), one.y.min(other.y)),
        Point::new(one.x.max(other.x), one.y.max(other.y)),
    ))
}

/// Refuses what leaves the board. A recess may be open to an edge, an opening may not touch one.
fn inside(
    solver: &mut Solver,
    name: &str,
    place: Place,
    face: &Face,
    outline: &Outline,
    shape: &Outline,
    may_touch: bool,
) -> Option<()> {
    let units = solver.units;
    let reach = shape.extents();
    // Distance by which each side of the cut-out stays inside the board's, counter-clockwise from below.
    let left = [reach.low.y, face.size.x - reach.high.x, face.size.y - reach.high.y, reach.low.x];
    let (edge, least) = left.iter().copied().enumerate().min_by_key(|(_, left)| *left)?;
    let side = face.sides()[edge].word();
    if least < Length::ZERO {
        let message = format!("{name} leaves the board by {} at its {side} edge", tell(-least, units));
        solver.faults.push(
            Diagnostic::error("leaves-the-board", place, message)
                .propose("move it or make it smaller; for a cut in from the edge use a step of `corners`, a `path` or a notch"),
        );
        return None;
    }
    if least == Length::ZERO && !may_touch {
        let message = format!("{name} touches the {side} edge of the board, so it is no opening");
        solver.faults.push(Diagnostic::error("leaves-the-board", place, message).propose(
            "leave wood at the edge, or cut the edge with a step of `corners`, a `path` or a notch",
        ));
        return None;
    }
    if outline.is_rectangle() {
        return Some(());
    }
    let shared: f64 = match intersection(outline, shape) {
        Ok(shared) => shared.iter().map(Outline::area_mm2).sum(),
        Err(_) => 0.0,
    };
    let whole = shape.area_mm2();
    // A thousandth of a square millimetre is below anything that can be cut.
    if whole - shared > 1e-3 {
        let message = format!("{name} lies partly where the board's own shape has no wood");
        solver.faults.push(
            Diagnostic::error("leaves-the-board", place, message).propose("move it or make it smaller"),
        );
        return None;
    }
    Some(())
}

fn apart(
    solver: &mut Solver,
    face: &Face,
    others: &[(Outline, Place, &str)],
    opening: &Outline,
    named: &Named<CutoutSpec>,
) -> Option<()> {
    let touch = |other: &Outline| {
        let (one, two) = (opening.extents(), other.extents());
        let along = |a: (Length, Length), b: (Length, Length)| a.0 <= b.1 && b.0 <= a.1;
        along((one.low.x, one.high.x), (two.low.x, two.high.x))
            && along((one.low.y, one.high.y), (two.low.y, two.high.y))
            && (intersection(opening, other).map_or(true, |shared| !shared.is_empty())
                || (opening.is_rectangle() && other.is_rectangle()))
    };
    let Some((_, place, name)) = others.iter().find(|(other, ..)| touch(other)) else { return Some(()) };
    let message = format!("{}: the cut-outs {name} and {} run into each other", face.name, named.name);
    solver.faults.push(
        Diagnostic::error("cut-out", named.place, message)
            .also(*place, format!("{name} is here"))
            .propose("leave wood between them, or make them one"),
    );
    None
}

fn row_of_holes(
    solver: &mut Solver,
    named: &Named<HoleSpec>,
    face: &Face,
    outline: &Outline,
    holes: &mut Vec<Hole>,
) -> Option<()> {
    let spec = &named.body;
    let count = match &spec.count {
        Some(formula) => {
            let count = solver.whole(formula, face.scope)?;
            within(solver, count, formula.place, &format!("{}, {}", face.name, named.name))?;
            Some(count)
        }
        None => None,
    };
    for number in 1..=count.unwrap_or(1) {
        if holes.len() as u64 >= MOST.unsigned_abs() {
            let message = format!("{} would have more than {MOST} holes", face.name);
            solver.faults.push(
                Diagnostic::error("too-many", named.place, message)
                    .propose("look for a slip of the pen in the count"),
            );
            return None;
        }
        // In a row of holes `i` counts the holes; a single one keeps the board's own number.
        let scope = if count.is_some() { face.scope.at(Some(number)) } else { face.scope };
        let name = match count {
            Some(_) => format!("{}, {}[{number}]", face.name, named.name),
            None => format!("{}, {}", face.name, named.name),
        };
        holes.push(one_hole(solver, named, face, outline, scope, &name)?);
    }
    Some(())
}

fn one_hole(
    solver: &mut Solver,
    named: &Named<HoleSpec>,
    face: &Face,
    outline: &Outline,
    scope: Scope,
    name: &str,
) -> Option<Hole> {
    let spec = &named.body;
    let diameter = solver.positive(&spec.diameter, scope, &format!("{name}: the diameter"));
    let depth = match &spec.depth {
        Some(depth) => solver.positive(depth, scope, &format!("{name}: the depth")).map(Some),
        None => Some(None),
    };
    let mut at: Position = [Length::ZERO; 3];
    let mut whole = true;
    let centres = [
        (Axis::Across, "across", &spec.across),
        (Axis::Deep, "deep", &spec.deep),
        (Axis::Up, "up", &spec.up),
    ];
    for (axis, word, formula) in centres {
        let through = axis == face.frame.into.axis();
        match formula {
            Some(formula) if through => {
                let message =
                    format!("{name}: `{word}` looks through the board, where a hole has no place of its own");
                solver.faults.push(
                    Diagnostic::error("hole", formula.place, message)
                        .propose(format!("leave `{word}` out; `depth` says how deep it goes")),
                );
                whole = false;
            }
            Some(formula) => match solver.exact(formula, scope).map(|exact: Ratio<i128>| nearest(exact)) {
                Some(Some(position)) => at[axis.index()] = position,
                _ => whole = false,
            },
            None if !through => {
                if spec.keys.key(word).is_none() {
                    let message = format!("{name}: `{word}` is missing; the centre lies somewhere along it");
                    solver.faults.push(
                        Diagnostic::error("too-little-given", named.place, message)
                            .propose(format!("add `{word}: …`")),
                    );
                }
                whole = false;
            }
            None => {}
        }
    }
    let (diameter, depth) = (diameter?, depth?);
    if !whole {
        return None;
    }
    let units = solver.units;
    if let Some(deep) = depth
        && deep >= face.thick
    {
        let place = spec.depth.as_ref().map_or(named.place, |depth| depth.place);
        let message = format!(
            "{name}: a hole {} deep comes through a board {} thick",
            tell(deep, units),
            tell(face.thick, units)
        );
        solver.faults.push(
            Diagnostic::error("hole", place, message)
                .propose("leave `depth` out if it is to go through, or make it shallower"),
        );
        return None;
    }
    let (u, v, _) = face.frame.to_face(at);
    let centre = Point::new(u, v);
    let shape = Outline::circle(centre, diameter.half())?;
    inside(solver, name, named.place, face, outline, &shape, false)?;
    Some(Hole {
        at: centre,
        diameter,
        depth,
        from: spec.from.map_or(trade::Face::Show, face_of),
        countersink: None,
        slot: None,
        why: HoleKind::Asked,
        note: written(&spec.note),
        place: named.place,
    })
}
