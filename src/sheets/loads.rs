//! The sheet "Weights, movement and loads", and the lines of it that other sheets repeat: what a piece weighs, how many lift it,
//! where it is fixed and where it must be free. Every figure stands with what it rests on. Works nothing out.

use super::figures::Figures;
use super::part_sheet::said;
use super::part_words::{Fact, upper};
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Length;
use crate::loads::{Floating, Hanging, Loads, Movement, Span, Wanting, force, mass, told};
use crate::parts::{Made, PartId};
use crate::trade::{Side, Units};
use crate::values::Assembly;

const TEXT: f64 = 2.5;
/// Solid parts that are narrower across the grain move less than a joint gives: no line on their sheets (common practice: 3").
const WIDE: Length = Length::from_units(Length::INCH.units() * 3);

/// The sheet, and further ones where its tables are long; none where nothing is built.
pub fn sheets(made: &Made, loads: &Loads, paperwork: &Paperwork) -> Vec<Draft> {
    if made.parts.is_empty() {
        return Vec::new();
    }
    let field = paperwork.frame().field();
    let across = libm::floor(field.width() / 125.0).clamp(1.0, 3.0) as usize;
    let mut regions = columns(field, across);
    regions.extend(paperwork.frame().beside());
    let mut flow = Flow::new(regions);
    let title = "Weights, movement and loads";
    flow.line(title, 5.0, true);
    let says = "Planning figures. They replace no engineer: what carries people or hangs over them is for the local code and someone licensed to check it.";
    flow.line(says, TEXT, false);
    for table in [weights(made, loads), assemblies(made, loads)] {
        flow.table(&table);
    }
    let tables = [movements(made, loads, &paperwork.figures), spans(made, loads, &paperwork.figures)];
    tables.into_iter().flatten().for_each(|table| flow.table(&table));
    spans_told(made, loads).into_iter().for_each(|fact| flow.facts(&[fact], TEXT));
    hangings(made, loads).iter().for_each(|table| flow.table(table));
    flow.line("WHAT THE FIGURES REST ON", TEXT, true);
    for fact in grounds(made, loads) {
        flow.facts(&[fact], TEXT);
    }
    let mut all = vec![Draft {
        name: "loads".into(),
        title: title.to_owned(),
        kind: "LIST",
        groups: vec![flow.group("loads")],
        ..Draft::default()
    }];
    all.extend(flow.further(paperwork, "loads", title));
    all
}

/// What a part's own sheet says of it.
pub fn facts_of(made: &Made, loads: &Loads, part: PartId, figures: &Figures) -> Vec<Fact> {
    let mut all = Vec::new();
    if let Some(weight) = told(&loads.weights, part, made.job.units) {
        all.push(("WEIGHT".to_owned(), weight));
    }
    let Some(movement) = loads.movements.iter().find(|movement| movement.part == part) else { return all };
    if let Ok((wider, narrower)) = &movement.change
        && movement.across >= WIDE
    {
        let text = format!(
            "across the grain: wider by at most {}, narrower by at most {}, from the shop to the room",
            figures.figure(*wider),
            figures.figure(*narrower)
        );
        all.push(("MOVES".to_owned(), text));
    }
    // Copies that are fixed alike are told once, those that are not by their names.
    let mut told: Vec<([Fact; 2], Vec<&str>)> = Vec::new();
    for floating in &movement.floats {
        let facts = fixed_and_free(made, floating, figures);
        let name = made.placed.get(floating.board.0).map_or("", |placed| placed.board.name.as_str());
        match told.iter_mut().find(|(known, _)| *known == facts) {
            Some((_, names)) => names.push(name),
            None => told.push((facts, vec![name])),
        }
    }
    let several = told.len() > 1;
    for (facts, names) in told {
        let of = if several { format!("{}: ", names.join(", ")) } else { String::new() };
        all.extend(facts.map(|(head, text)| (head, format!("{of}{text}"))));
    }
    all
}

fn fixed_and_free(made: &Made, floating: &Floating, figures: &Figures) -> [Fact; 2] {
    let fast = match floating.fast.as_slice() {
        [] => "nowhere: all its screws stand in slots; keep its middle where it is drawn".to_owned(),
        places => places.join(", "),
    };
    let free = floating.free.join(", ");
    let turns = made
        .placed
        .get(floating.board.0)
        .and_then(|placed| made.job.assemblies.get(placed.board.assembly))
        .map_or(0, |assembly| assembly.turns);
    let own = |side: Side| upper(side.turned(4 - turns % 4));
    let gaps: Vec<String> = (floating.edges.iter())
        .filter(|(_, gap, _)| gap.is_positive())
        .map(|(side, gap, _)| {
            format!("{} at the {}", figures.figure(ample(*gap, made.job.sheets.step)), own(*side))
        })
        .collect();
    let free = format!(
        "on {free}: screws in the middle of slots, washers, no glue; leave it clear by {}",
        gaps.join(" and ")
    );
    [("FIX HERE".to_owned(), fast), ("FLOAT HERE".to_owned(), free)]
}

/// A gap to leave, up to the next mark of the rule.
fn ample(gap: Length, step: Length) -> Length {
    if !step.is_positive() {
        return gap;
    }
    let over = gap.units().rem_euclid(step.units());
    if over == 0 { gap } else { gap + step - Length::from_units(over) }
}

/// What takes two people, a line each, for the cover.
pub fn lifts(made: &Made, loads: &Loads) -> Vec<String> {
    let units = made.job.units;
    let parts = made.parts.iter().zip(&loads.weights.parts).filter(|(_, weight)| weight.takes_two);
    let parts = parts.filter_map(|(part, weight)| {
        let kilograms = weight.kilograms.as_ref().ok()?;
        Some(format!("{} {}: {}", part.mark, said(&part.name), mass(*kilograms, units)))
    });
    let whole =
        made.job.assemblies.iter().zip(&loads.weights.assemblies).filter(|(_, weight)| weight.takes_two);
    let whole = whole.map(|(assembly, weight)| {
        format!("{} put together: {}", said(&assembly.name), mass(weight.kilograms, units))
    });
    parts.chain(whole).collect()
}

/// What an assembly weighs, for its own sheets.
pub fn fact_of_assembly(made: &Made, loads: &Loads, assembly: usize) -> Option<Fact> {
    let weight = loads.weights.assemblies.get(assembly)?;
    let centre = weight.centre?;
    let two = if weight.takes_two { ", LIFT WITH TWO OR MORE" } else { "" };
    let place = made.job.assemblies.get(assembly)?;
    let units = made.job.units;
    let text = format!(
        "about {}{}{two}; centre of gravity {}",
        mass(weight.kilograms, units),
        without(&weight.unknown),
        centre_of(centre, place, units)
    );
    Some(("WEIGHT".to_owned(), text))
}

fn without(unknown: &[String]) -> String {
    if unknown.is_empty() { String::new() } else { format!(" without {}", unknown.join(", ")) }
}

/// A point of the room from an assembly's own zero, as its own views have it; to the inch or 5 mm, for nobody lifts by finer
/// figures.
fn centre_of(centre: [f64; 3], assembly: &Assembly, units: Units) -> String {
    let one = |side: Side| {
        let side = side.turned(assembly.turns);
        let axis = side.axis().index();
        about((centre[axis] - assembly.at[axis].to_mm()) * side.sign() as f64, units)
    };
    format!("{} right, {} back, {} up of its zero", one(Side::Right), one(Side::Back), one(Side::Top))
}

fn about(mm: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0}\"", mm / 25.4),
        Units::Millimetre => format!("{:.0} mm", libm::rint(mm / 5.0) * 5.0),
    }
}

fn weights(made: &Made, loads: &Loads) -> Table {
    let units = made.job.units;
    let rows = made.parts.iter().zip(&loads.weights.parts).map(|(part, weight)| {
        let mut row: Vec<Cell> =
            vec![Cell::bold(part.mark.clone()), said(&part.name).into(), part.quantity.to_string().into()];
        match &weight.kilograms {
            Ok(kilograms) => {
                let [across, up, _] = weight.centre.map(|at| about(at, units));
                row.push(mass(*kilograms, units).into());
                row.push(format!("{across}, {up}").into());
                row.push(if weight.takes_two { Cell::bold("TWO") } else { "one".into() });
            }
            Err(_) => row.extend(["not known".into(), Cell::default(), Cell::default()]),
        }
        row
    });
    Table {
        title: "WEIGHTS, each piece; centre of gravity from the datum, across and up as drawn".into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("QTY"),
            Column::words("EACH"),
            Column::words("CENTRE"),
            Column::words("LIFT"),
        ],
        rows: rows.collect(),
        height: TEXT,
    }
}

fn assemblies(made: &Made, loads: &Loads) -> Table {
    let units = made.job.units;
    let rows = made.job.assemblies.iter().zip(&loads.weights.assemblies).map(|(assembly, weight)| {
        let centre = weight.centre.map(|centre| centre_of(centre, assembly, units)).unwrap_or_default();
        vec![
            Cell::bold(said(&assembly.name)),
            format!("{}{}", mass(weight.kilograms, units), without(&weight.unknown)).into(),
            centre.into(),
            if weight.takes_two { Cell::bold("TWO OR MORE") } else { "one".into() },
        ]
    });
    Table {
        title: "ASSEMBLIES, empty and put together; screws and finish not counted".into(),
        columns: ["", "WEIGHT", "CENTRE OF GRAVITY", "LIFT"].map(Column::words).to_vec(),
        rows: rows.collect(),
        height: TEXT,
    }
}

fn movements(made: &Made, loads: &Loads, figures: &Figures) -> Option<Table> {
    let row = |movement: &Movement| {
        let part = made.parts.get(movement.part.0)?;
        let (wider, narrower) = match &movement.change {
            Ok((wider, narrower)) => (figures.figure(*wider), figures.figure(*narrower)),
            Err(_) => ("not known".into(), String::new()),
        };
        let mut free: Vec<&str> =
            movement.floats.iter().flat_map(|floating| &floating.free).map(String::as_str).collect();
        free.sort_unstable();
        free.dedup();
        let held = match &movement.held {
            _ if !free.is_empty() => format!("free on {}", free.join(", ")),
            Some(held) => {
                format!("held over {}: {}", figures.figure(held.apart), figures.figure(held.change))
            }
            None => String::new(),
        };
        Some(vec![
            Cell::bold(part.mark.clone()),
            said(&part.name).into(),
            figures.figure(movement.across).into(),
            wider.into(),
            narrower.into(),
            held.into(),
        ])
    };
    let rows: Vec<Vec<Cell>> = loads.movements.iter().filter_map(row).collect();
    (!rows.is_empty()).then(|| Table {
        title:
            "MOVEMENT of solid wood across its grain, from the shop to the driest and the wettest of the room"
                .into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("ACROSS"),
            Column::numbers("WIDER"),
            Column::numbers("NARROWER"),
            Column::words("HELD"),
        ],
        rows,
        height: TEXT,
    })
}

/// Boards of one part that sag alike, told together.
struct Sagging<'a> {
    span: &'a Span,
    boards: usize,
}

fn sagging<'a>(made: &Made, loads: &'a Loads) -> Vec<(PartId, Sagging<'a>)> {
    let mut all: Vec<(PartId, Sagging)> = Vec::new();
    for span in &loads.spans {
        let Some(part) = made.placed.get(span.board.0).map(|placed| placed.part) else { continue };
        let alike = |(id, known): &&mut (PartId, Sagging)| {
            let figures = |span: &Span| span.sag.as_ref().ok().map(|sag| (sag.clear, sag.sags, sag.gives));
            *id == part && known.span.load == span.load && figures(known.span) == figures(span)
        };
        match all.iter_mut().find(alike) {
            Some((_, known)) => known.boards += 1,
            None => all.push((part, Sagging { span, boards: 1 })),
        }
    }
    all
}

fn spans(made: &Made, loads: &Loads, figures: &Figures) -> Option<Table> {
    let of = |by: Length, most: Length| Cell {
        bold: by > most,
        ..format!("{} of {}", figures.figure(by), figures.figure(most)).into()
    };
    let row = |(id, Sagging { span, boards }): (PartId, Sagging)| {
        let part = made.parts.get(id.0)?;
        let mut row: Vec<Cell> =
            vec![Cell::bold(part.mark.clone()), said(&part.name).into(), boards.to_string().into()];
        match &span.sag {
            Ok(sag) => {
                row.push(figures.figure(sag.clear).into());
                row.push(of(sag.sags, sag.limit));
                row.push(if sag.gives.is_positive() { of(sag.gives, sag.gives_limit) } else { "".into() });
            }
            Err(_) => row.extend([Cell::default(), "not known".into(), Cell::default()]),
        }
        Some(row)
    };
    let rows: Vec<Vec<Cell>> = sagging(made, loads).into_iter().filter_map(row).collect();
    (!rows.is_empty()).then(|| Table {
        title: "SAG for good under what stays, and what it gives while a load is there; each of the most"
            .into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("QTY"),
            Column::numbers("CLEAR"),
            Column::words("SAGS"),
            Column::words("GIVES"),
        ],
        rows,
        height: TEXT,
    })
}

/// What each span carries and rests on.
fn spans_told(made: &Made, loads: &Loads) -> Vec<Fact> {
    let told = |(id, Sagging { span, .. }): (PartId, Sagging)| {
        let part = made.parts.get(id.0)?;
        let supposed = if span.supposed { ", supposed by its name" } else { "" };
        let on = match &span.sag {
            Ok(sag) => format!("rests on {}", sag.on.join(", ")),
            Err(why) => why.clone(),
        };
        Some((part.mark.clone(), format!("carries {}{supposed}; {on}", span.load)))
    };
    sagging(made, loads).into_iter().filter_map(told).collect()
}

fn hangings(made: &Made, loads: &Loads) -> Option<Table> {
    let units = made.job.units;
    let row = |hanging: &Hanging| {
        let newtons = |value: &Result<f64, Wanting>| match value {
            Ok(newtons) => force(*newtons, units),
            Err(why) => why.says(units),
        };
        // The words that are wanting stand once.
        let lateral = match (&hanging.allowed, &hanging.lateral) {
            (Err(known), Err(why)) if known == why => "not known".to_owned(),
            (_, lateral) => newtons(lateral),
        };
        let name = made.job.assemblies.get(hanging.assembly).map_or("", |assembly| assembly.name.as_str());
        let told = if hanging.told { "" } else { ", own weight only: no load is told" };
        vec![
            Cell::bold(said(name)),
            format!("{}{told}", force(hanging.load, units)).into(),
            hanging.screws.to_string().into(),
            newtons(&hanging.pull).into(),
            newtons(&hanging.allowed).into(),
            force(hanging.shear, units).into(),
            lateral.into(),
        ]
    };
    let rows: Vec<Vec<Cell>> = loads.hangings.iter().map(row).collect();
    (!rows.is_empty()).then(|| Table {
        title: "HANGING on the wall: pull on the screw that is pulled hardest, downward load on each".into(),
        columns: vec![
            Column::words(""),
            Column::words("LOAD"),
            Column::numbers("SCREWS"),
            Column::words("PULL"),
            Column::words("OF AT MOST"),
            Column::words("DOWN"),
            Column::words("OF AT MOST"),
        ],
        rows,
        height: TEXT,
    })
}

/// What the figures rest on: each text once, under what it is about.
fn grounds(made: &Made, loads: &Loads) -> Vec<Fact> {
    let mut all: Vec<Fact> = Vec::new();
    let mut say = |head: &str, texts: Vec<String>| {
        for text in texts {
            if !all.iter().any(|(_, known)| *known == text) {
                all.push((head.to_owned(), text));
            }
        }
    };
    let weights = &loads.weights;
    let limit = format!(
        "two people lift what is heavier than {} (common practice unless the spec says)",
        mass(weights.limit, made.job.units)
    );
    say("LIFT", vec![limit]);
    say("WEIGHT", weights.parts.iter().filter(|w| w.kilograms.is_ok()).map(|w| w.basis.clone()).collect());
    say("WEIGHT", weights.parts.iter().filter_map(|w| w.kilograms.clone().err()).collect());
    for movement in &loads.movements {
        let unknown = movement.change.as_ref().err().map(|why| {
            let name = made.parts.get(movement.part.0).map_or("", |part| part.name.as_str());
            format!("{}: {why}", said(name))
        });
        say("MOVES", unknown.into_iter().chain(movement.basis.iter().cloned()).collect());
    }
    for span in &loads.spans {
        let own = ["carries ", "spans ", "limit "];
        let general = span.sag.iter().flat_map(|sag| &sag.assumptions);
        say("SAG", general.filter(|says| !own.iter().any(|own| says.starts_with(own))).cloned().collect());
    }
    for hanging in &loads.hangings {
        say("HANGS", hanging.assumptions.clone());
    }
    all
}
