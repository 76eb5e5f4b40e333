//! Edges that are more than sawn: chamfers, rounds, rebates, wood left for scribing, a finish; each held against the
//! board's thickness and face.

use super::profile::{Face, pair};
use super::{Arris, Edge, Profile};
use crate::diagnose::{Diagnostic, Place};
use crate::length::{Length, notation::tell};
use crate::shape::Point;
use crate::shape::make::{Blank, Edge as Line};
use crate::spec::language::{ArrisChoice, EdgeSpec, PartSpec};
use crate::trade::Side;
use crate::values::solver::Solver;

/// The edges that were given something; `None` where a fault was told.
pub fn edges(solver: &mut Solver, part: &PartSpec, face: &Face, blank: &Blank) -> Option<Vec<Edge>> {
    let all = [
        (Side::Left, &part.left_edge),
        (Side::Right, &part.right_edge),
        (Side::Front, &part.front_edge),
        (Side::Back, &part.back_edge),
        (Side::Bottom, &part.bottom_edge),
        (Side::Top, &part.top_edge),
    ];
    let mut found = Vec::new();
    let mut whole = true;
    for (side, spec) in all {
        let Some(spec) = spec else { continue };
        match face.edge(side) {
            Some(edge) => match one_edge(solver, part, spec, face, blank, side, edge) {
                Some(more) => found.extend(more),
                None => whole = false,
            },
            None => {
                solver.faults.push(face.edge_fault(side, &format!("`{}_edge`", side.word()), spec.place));
                whole = false;
            }
        }
    }
    whole.then_some(found)
}

fn one_edge(
    solver: &mut Solver,
    part: &PartSpec,
    spec: &EdgeSpec,
    face: &Face,
    blank: &Blank,
    side: Side,
    edge: usize,
) -> Option<Vec<Edge>> {
    let profile = profile(solver, spec, face, side, edge);
    let scribe = match &spec.scribe {
        Some(scribe) => {
            solver.not_negative(scribe, face.scope, &format!("{}: wood left for scribing", face.name))
        }
        None => Some(Length::ZERO),
    };
    let (profile, scribe) = (profile?, scribe?);
    let curved = !part.path.is_empty() || matches!(blank.edges[edge], Line::Arch { .. });
    if curved && profile.is_some() {
        let message = format!(
            "{}: its {} edge is curved, and a profile is only cut on a straight one",
            face.name,
            side.word()
        );
        solver.faults.push(
            Diagnostic::error("edge-profile", spec.place, message)
                .propose("leave the profile out here and say it in `note`, or leave the edge straight"),
        );
        return None;
    }
    let runs: Vec<(Point, Point)> = match &blank.edges[edge] {
        Line::Taper { start, end } => {
            vec![(face.on(edge, Length::ZERO, *start), face.on(edge, face.length(edge), *end))]
        }
        Line::Path(points) => (points.iter().zip(points.iter().skip(1)))
            .map(|(a, b)| (face.on(edge, a.along, a.inset), face.on(edge, b.along, b.inset)))
            .collect(),
        Line::Straight | Line::Arch { .. } => vec![(face.corner(edge), face.corner(edge + 1))],
    };
    let finish = spec.finish.as_ref().map(|words| words.text.clone());
    Some(
        (runs.into_iter())
            .map(|(from, to)| Edge {
                side,
                from,
                to,
                profile,
                scribe,
                finish: finish.clone(),
                place: spec.place,
            })
            .collect(),
    )
}

/// The shape of an edge's section; `None` in the inner place where it stays square.
fn profile(
    solver: &mut Solver,
    spec: &EdgeSpec,
    face: &Face,
    side: Side,
    edge: usize,
) -> Option<Option<(Profile, Arris)>> {
    let given: Vec<&str> = [
        ("chamfer", !spec.chamfer.0.is_empty()),
        ("round", spec.round.is_some()),
        ("rebate", !spec.rebate.0.is_empty()),
    ]
    .into_iter()
    .filter_map(|(word, is)| is.then_some(word))
    .collect();
    if given.len() > 1 {
        let message =
            format!("{}: {} are given for one {} edge", face.name, given.join(" and "), side.word());
        solver
            .faults
            .push(Diagnostic::error("edge-profile", spec.place, message).propose("keep one of them"));
        return None;
    }
    let arris = match spec.on.unwrap_or(ArrisChoice::Show) {
        ArrisChoice::Show => Arris::Show,
        ArrisChoice::Back => Arris::Back,
        ArrisChoice::Both => Arris::Both,
    };
    let (profile, along_face, down_edge) = match given.first().copied() {
        Some("chamfer") => {
            let (along_face, down_edge) = pair(solver, &spec.chamfer, face, "the chamfer", spec.place)?;
            (Profile::Chamfer { along_face, down_edge }, along_face, down_edge)
        }
        Some("round") => {
            let what = format!("{}: the round", face.name);
            let radius = solver.not_negative(spec.round.as_ref()?, face.scope, &what)?;
            (Profile::Round { radius }, radius, radius)
        }
        Some(_) => {
            let [_, _] = spec.rebate.0.as_slice() else {
                let message = format!("{}: a rebate has a width on the face and a depth", face.name);
                solver.faults.push(
                    Diagnostic::error("edge-profile", spec.place, message)
                        .propose("write `rebate: [3/8\", 1/4\"]`"),
                );
                return None;
            };
            let (width, depth) = pair(solver, &spec.rebate, face, "the rebate", spec.place)?;
            (Profile::Rebate { width, depth }, width, depth)
        }
        None => return Some(None),
    };
    if along_face == Length::ZERO && down_edge == Length::ZERO {
        return Some(None);
    }
    check_profile(
        solver,
        spec.place,
        face,
        (side, edge),
        arris,
        given.first().copied().unwrap_or(""),
        (along_face, down_edge),
    )?;
    Some(Some((profile, arris)))
}

fn check_profile(
    solver: &mut Solver,
    place: Place,
    face: &Face,
    (side, edge): (Side, usize),
    arris: Arris,
    word: &str,
    (along_face, down_edge): (Length, Length),
) -> Option<()> {
    let units = solver.units;
    let across = face.length(edge + 1);
    let times = if arris == Arris::Both { 2 } else { 1 };
    let both = if times == 2 { " on both arrises" } else { "" };
    let fault = if !(along_face.is_positive() && down_edge.is_positive()) {
        let message =
            format!("{}: one leg of the {word} on its {} edge is 0, the other not", face.name, side.word());
        Some((message, "give both legs a size, or none"))
    } else if down_edge * times > face.thick || (word == "rebate" && down_edge * times >= face.thick) {
        let message = format!(
            "{}: a {word} of {}{both} takes more than the {} that the board is thick",
            face.name,
            tell(down_edge, units),
            tell(face.thick, units)
        );
        Some((message, "take a smaller one"))
    } else if along_face >= across {
        let message = format!(
            "{}: a {word} reaching {} in from its {} edge leaves nothing of the {} across the face",
            face.name,
            tell(along_face, units),
            side.word(),
            tell(across, units)
        );
        Some((message, "take a smaller one"))
    } else {
        None
    };
    let Some((message, cure)) = fault else { return Some(()) };
    solver.faults.push(Diagnostic::error("edge-profile", place, message).propose(cure));
    None
}
