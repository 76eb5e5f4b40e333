//! Where assemblies stand in the room: the zero of each, measured from the room's zero at its left, its front and its floor.
//! Knows no board.

use super::assembly::Assembled;
use super::frame::Area;
use super::free::Taken;
use super::part_sheet::said;
use super::sheet::Paperwork;
use crate::drawing::arrow::{Terminator, leader, terminator};
use crate::drawing::lettering::width_of;
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Dimension, Mark};
use crate::trade::{Axis, Position};

const WORDS: f64 = 2.5;
const FROM: [(&str, &str); 3] = [
    ("FROM LEFT", "zero from the left"),
    ("FROM FRONT", "zero from the front"),
    ("FROM FLOOR", "zero from the floor"),
];

/// The assemblies with the places of their zeros, each given once and here; and the same as dimensions.
pub fn table(of: &Assembled, paperwork: &Paperwork) -> (Table, Vec<Dimension>) {
    let mut dimensions = Vec::new();
    let mut rows = Vec::new();
    for (i, assembly) in of.made.job.assemblies.iter().enumerate() {
        let count = of.boards.iter().filter(|p| p.board.assembly == i).count();
        let mut row = vec![Cell::bold(said(&assembly.name)), count.to_string().into()];
        for (at, (_, what)) in assembly.at.iter().zip(FROM) {
            let printed = paperwork.figures.figure(*at);
            let what = format!("{}: {what}", assembly.name);
            let sign = paperwork.former.signs("", &what, &[*at]).concat();
            row.push(format!("{printed}{sign}").into());
            dimensions.push(Dimension { what, value: *at, printed });
        }
        let turned = match assembly.turns % 4 {
            0 => "",
            1 => "to the left",
            2 => "half round",
            _ => "to the right",
        };
        row.push(turned.into());
        rows.push(row);
    }
    let mut columns = vec![Column::words(""), Column::numbers("BOARDS")];
    columns.extend(FROM.map(|(head, _)| Column::numbers(head)));
    columns.push(Column::words("TURNED"));
    (
        Table { title: "ASSEMBLIES: ZERO OF EACH FROM THE ROOM'S ZERO".into(), columns, rows, height: WORDS },
        dimensions,
    )
}

/// The zeros on a view: the ring of an origin, and what stands there. Zeros that fall together share a ring.
pub fn zeros(
    of: &Assembled,
    place: impl Fn(Position) -> At,
    zone: Area,
    taken: &mut Taken,
    group: f64,
) -> Vec<Mark> {
    let mut all: Vec<(At, Vec<String>)> =
        vec![(place(Axis::ALL.map(|_| Default::default())), vec!["room".to_owned()])];
    for assembly in &of.made.job.assemblies {
        let at = place(assembly.at);
        let near = |other: &At| libm::hypot(other.0 - at.0, other.1 - at.1) < 2.5;
        match all.iter_mut().find(|(other, _)| near(other)) {
            Some((_, names)) => names.push(said(&assembly.name)),
            None => all.push((at, vec![said(&assembly.name)])),
        }
    }
    let mut marks = Vec::new();
    for (at, names) in all {
        let text = format!("0 {}", names.join(", "));
        let size = (width_of(&text, WORDS, false), WORDS + 1.0);
        let Some(spot) = taken.near(at, size, zone, false) else { continue };
        let mut one = leader(&[spot.leader_from, at], Terminator::None, group);
        one.extend(terminator(Terminator::Origin, at, spot.leader_from, group));
        one.push(written((spot.middle.0, spot.middle.1 - WORDS / 2.0), text, WORDS, Anchor::Middle, false));
        taken.add(&one);
        marks.extend(one);
    }
    marks
}
