//! What the wood does in service, as data: the `loads` of `job.json`. Millimetres, kilograms, newtons.

use serde::Serialize;

use crate::length::Length;
use crate::loads::{Floating, Hanging, Loads, Movement, Span};
use crate::parts::Made;

/// Weights, movement, sag and pull, each with what it rests on.
#[derive(Serialize)]
pub struct LoadsEntry {
    /// Heavier than this is for two people.
    lift_kg: f64,
    parts: Vec<WeightEntry>,
    assemblies: Vec<WeightEntry>,
    movements: Vec<MovementEntry>,
    spans: Vec<SpanEntry>,
    hangings: Vec<HangingEntry>,
}

#[derive(Serialize)]
struct WeightEntry {
    /// A part's id or an assembly's name.
    of: String,
    kilograms: Option<f64>,
    /// Of a part across, up and below its show face from its datum; of an assembly in the room.
    centre_mm: Option<[f64; 3]>,
    takes_two: bool,
    basis: String,
}

#[derive(Serialize)]
struct MovementEntry {
    part: String,
    across_mm: f64,
    wider_mm: Option<f64>,
    narrower_mm: Option<f64>,
    held: Option<HeldEntry>,
    /// Every board of the part that is free to move.
    floats: Vec<FloatsEntry>,
    basis: Vec<String>,
}

#[derive(Serialize)]
struct HeldEntry {
    board: String,
    by: [String; 2],
    apart_mm: f64,
    change_mm: f64,
}

#[derive(Serialize)]
struct FloatsEntry {
    board: String,
    fast: Vec<String>,
    free: Vec<String>,
    gaps: Vec<GapEntry>,
}

#[derive(Serialize)]
struct GapEntry {
    side: &'static str,
    swells_mm: f64,
    draws_back_mm: f64,
}

#[derive(Serialize)]
struct SpanEntry {
    board: String,
    carries: String,
    supposed: bool,
    clear_mm: Option<f64>,
    rests_on: Vec<String>,
    sags_mm: Option<f64>,
    limit_mm: Option<f64>,
    gives_mm: Option<f64>,
    gives_limit_mm: Option<f64>,
    basis: Vec<String>,
}

#[derive(Serialize)]
struct HangingEntry {
    assembly: String,
    screws: usize,
    load_newtons: f64,
    pull_newtons: Option<f64>,
    allowed_newtons: Option<f64>,
    /// What pushes each screw down, and what the weakest may be pushed with.
    shear_newtons: f64,
    lateral_newtons: Option<f64>,
    basis: Vec<String>,
}

/// Numbers as they are printed: a reader needs no more, and no machine's last digit shows.
fn number(value: f64) -> f64 {
    libm::rint(value * 1e4) / 1e4
}

pub fn loads(made: &Made, loads: &Loads) -> LoadsEntry {
    let parts = made.parts.iter().zip(&loads.weights.parts).map(|(part, weight)| WeightEntry {
        of: part.id.clone(),
        kilograms: weight.kilograms.as_ref().ok().map(|kg| number(*kg)),
        centre_mm: weight.kilograms.is_ok().then(|| weight.centre.map(number)),
        takes_two: weight.takes_two,
        basis: weight.kilograms.as_ref().err().unwrap_or(&weight.basis).clone(),
    });
    let assemblies = made.job.assemblies.iter().zip(&loads.weights.assemblies).map(|(assembly, weight)| {
        let without = weight.unknown.join(", ");
        WeightEntry {
            of: assembly.name.clone(),
            kilograms: Some(number(weight.kilograms)),
            centre_mm: weight.centre.map(|centre| centre.map(number)),
            takes_two: weight.takes_two,
            basis: if without.is_empty() { String::new() } else { format!("without {without}") },
        }
    });
    LoadsEntry {
        lift_kg: number(loads.weights.limit),
        parts: parts.collect(),
        assemblies: assemblies.collect(),
        movements: loads.movements.iter().map(|movement| movement_entry(made, movement)).collect(),
        spans: loads.spans.iter().map(|span| span_entry(made, span)).collect(),
        hangings: loads.hangings.iter().map(|hanging| hanging_entry(made, hanging)).collect(),
    }
}

fn board(made: &Made, id: crate::boards::BoardId) -> String {
    made.placed.get(id.0).map_or(String::new(), |placed| placed.board.name.clone())
}

fn movement_entry(made: &Made, movement: &Movement) -> MovementEntry {
    let mut basis = movement.basis.clone();
    basis.extend(movement.change.as_ref().err().map(ToString::to_string));
    let change = movement.change.as_ref().ok();
    MovementEntry {
        part: made.parts.get(movement.part.0).map_or(String::new(), |part| part.id.clone()),
        across_mm: movement.across.to_mm(),
        wider_mm: change.map(|(wider, _)| wider.to_mm()),
        narrower_mm: change.map(|(_, narrower)| narrower.to_mm()),
        held: movement.held.as_ref().map(|held| HeldEntry {
            board: board(made, held.board),
            by: held.by.clone(),
            apart_mm: held.apart.to_mm(),
            change_mm: held.change.to_mm(),
        }),
        floats: movement.floats.iter().map(|floats| floats_entry(made, floats)).collect(),
        basis,
    }
}

fn floats_entry(made: &Made, floats: &Floating) -> FloatsEntry {
    let gaps = floats.edges.iter().map(|(side, swells, draws)| GapEntry {
        side: side.word(),
        swells_mm: swells.to_mm(),
        draws_back_mm: draws.to_mm(),
    });
    FloatsEntry {
        board: board(made, floats.board),
        fast: floats.fast.clone(),
        free: floats.free.clone(),
        gaps: gaps.collect(),
    }
}

fn span_entry(made: &Made, span: &Span) -> SpanEntry {
    let sag = span.sag.as_ref().ok();
    let length = |pick: fn(&crate::loads::Sag) -> Length| sag.map(|sag| pick(sag).to_mm());
    SpanEntry {
        board: board(made, span.board),
        carries: span.load.clone(),
        supposed: span.supposed,
        clear_mm: length(|sag| sag.clear),
        rests_on: sag.map(|sag| sag.on.clone()).unwrap_or_default(),
        sags_mm: length(|sag| sag.sags),
        limit_mm: length(|sag| sag.limit),
        gives_mm: length(|sag| sag.gives),
        gives_limit_mm: length(|sag| sag.gives_limit),
        basis: match &span.sag {
            Ok(sag) => sag.assumptions.clone(),
            Err(why) => vec![why.clone()],
        },
    }
}

fn hanging_entry(made: &Made, hanging: &Hanging) -> HangingEntry {
    let mut basis = hanging.assumptions.clone();
    let mut wanting: Vec<String> = [&hanging.pull, &hanging.allowed, &hanging.lateral]
        .into_iter()
        .filter_map(|value| value.as_ref().err().map(|why| why.says(made.job.units)))
        .collect();
    wanting.dedup();
    basis.extend(wanting);
    HangingEntry {
        assembly: made.job.assemblies.get(hanging.assembly).map_or(String::new(), |a| a.name.clone()),
        screws: hanging.screws,
        load_newtons: number(hanging.load),
        pull_newtons: hanging.pull.as_ref().ok().map(|pull| number(*pull)),
        allowed_newtons: hanging.allowed.as_ref().ok().map(|allowed| number(*allowed)),
        shear_newtons: number(hanging.shear),
        lateral_newtons: hanging.lateral.as_ref().ok().map(|lateral| number(*lateral)),
        basis,
    }
}
