//! A story rod: every position along one line of an assembly or of the room on a strip at full size, each named, all measured from
//! one end; and the same as a table. Marks are the faces of boards, the sides of openings and the centres of holes; those at the
//! same position are one mark with all their names.

use super::page::{Way, Words, job_line};
use super::place::backed;
use super::{Check, Drawing, Fault, showing};
use crate::boards::HoleKind;
use crate::drawing::lettering::width_of;
use crate::drawing::paper::Area;
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::wrap;
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Text, circle, line};
use crate::length::Length;
use crate::length::notation::{InchForm, Showing};
use crate::parts::Made;
use crate::parts::marks::{faces, in_room};
use crate::trade::{Axis, Side, Units};
use crate::values::RodAsked;

/// Height of the strip itself, of the room for names above it, and of the lettering, in mm.
const STRIP: f64 = 25.0;
const NAMES: f64 = 84.0;
const TEXT: f64 = 2.5;
/// Between two lines of names.
const PITCH: f64 = 4.2;
/// How far a name may be led away from its mark upwards.
const LEAD: f64 = 12.0;

/// All marks along a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rod {
    /// Safe in file names: `rod-bench-across`.
    pub name: String,
    pub title: String,
    /// The end that all is measured from.
    pub from: Side,
    /// In order, no two at the same position; the first is the end itself.
    pub marks: Vec<RodMark>,
}

/// A position and everything that is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RodMark {
    /// Distance from the end.
    pub at: Length,
    pub names: Vec<String>,
}

/// The rod that is asked for.
pub fn rod(made: &Made, asked: &RodAsked) -> Rod {
    // Of an assembly that is turned in the room the end is a side as its own spec and sheets have it.
    let of = asked.of.as_ref().and_then(|name| made.job.assemblies.iter().position(|a| a.name == *name));
    let end_in_room = in_room(made, of, asked.from);
    let axis = end_in_room.axis();
    let own = |side: Side| made.job.assemblies.get(of?).map(|a| side.turned(4 - a.turns % 4));
    let own = |side: Side| own(side).unwrap_or(side).word();
    let belongs = |assembly: usize| asked.of.is_none() || of == Some(assembly);
    let mut found: Vec<(Length, String)> = Vec::new();
    for mark in faces(made, of, asked.from) {
        let Some(placed) = made.placed.get(mark.board.0).filter(|p| belongs(p.board.assembly)) else {
            continue;
        };
        found.push((
            mark.at,
            format!("{} of {}", mark.face.word(), short(&placed.board.name, asked.of.is_some())),
        ));
    }
    for placed in made.placed.iter().filter(|placed| belongs(placed.board.assembly)) {
        let name = short(&placed.board.name, asked.of.is_some());
        let Some(part) = made.parts.get(placed.part.0) else { continue };
        // A hole has a place on the line unless it runs along it.
        if placed.frame.into.axis() == axis {
            continue;
        }
        for hole in part.holes.iter().filter(|hole| matches!(hole.why, HoleKind::Asked | HoleKind::Dowel)) {
            let at = placed.frame.to_room(hole.at.x, hole.at.y, Length::ZERO)[axis.index()];
            found.push((at, format!("hole in {name}")));
        }
    }
    for opening in made.openings.iter().filter(|opening| belongs(opening.assembly)) {
        let span = opening.span[axis.index()];
        let name = short(&opening.name, asked.of.is_some());
        found.push((span.low, format!("{} of opening {name}", own(axis.low()))));
        found.push((span.high, format!("{} of opening {name}", own(axis.high()))));
    }
    let zero = match (&asked.of, end_in_room.is_high()) {
        // The room is measured from its own zero, unless something stands before it.
        (None, false) => found.iter().map(|(at, _)| *at).min().map(|low| low.min(Length::ZERO)),
        (_, false) => found.iter().map(|(at, _)| *at).min(),
        (_, true) => found.iter().map(|(at, _)| *at).max(),
    };
    let zero = zero.unwrap_or(Length::ZERO);
    let way = match asked.of {
        None => "the room".to_owned(),
        Some(ref name) => name.clone(),
    };
    let word = match asked.from.axis() {
        Axis::Across => "across",
        Axis::Deep => "deep",
        Axis::Up => "up",
    };
    let end = asked.from.word();
    found.push((
        zero,
        if asked.of.is_none() && zero == Length::ZERO {
            format!("{end} of the room")
        } else {
            format!("{end} end")
        },
    ));
    let mut all: Vec<(Length, String)> =
        found.into_iter().map(|(at, name)| ((at - zero).abs(), name)).collect();
    all.sort();
    all.dedup();
    let mut marks: Vec<RodMark> = Vec::new();
    for (at, name) in all {
        match marks.last_mut() {
            // Nearer than faces that touch: one mark.
            Some(mark) if at - mark.at <= Length::TOUCH => mark.names.push(name),
            _ => marks.push(RodMark { at, names: vec![name] }),
        }
    }
    Rod {
        name: format!("rod-{}-{word}", asked.of.as_deref().unwrap_or("room")),
        title: format!("Story rod of {way}, {word}, from the {end}"),
        from: asked.from,
        marks,
    }
}

/// Without the assembly where the rod is of one assembly, and with the number as people say it.
fn short(name: &str, of_one: bool) -> String {
    let name = if of_one { name.split_once('.').map_or(name, |(_, rest)| rest) } else { name };
    name.replace('[', " ").replace(']', "").replace('_', " ")
}

/// A mark's distance from the end and from the one before, as printed.
struct Figures {
    at: String,
    gap: String,
}

/// The figures of a rod, on the steps of the sheets: 1/64" or 0.1 mm where every mark lies on it, else 0.001" or 0.01 mm. What
/// is told from mark to mark is the difference of the printed marks, so that it adds up to them.
fn figures(made: &Made, rod: &Rod) -> Vec<Figures> {
    let usual = showing(made);
    let part = |whole: Length, parts: i64| Length::from_units(whole.units() / parts);
    let on = |at: Length, step: Length| at.units() % step.units() == 0;
    let (coarse, fine) = match usual.units {
        Units::Inch => (part(Length::INCH, 64), part(Length::INCH, 1000)),
        Units::Millimetre => (part(Length::MM, 10), part(Length::MM, 100)),
    };
    let step = if rod.marks.iter().all(|mark| on(mark.at, coarse)) { coarse } else { fine };
    let show = |at: Length, both: Option<Length>| {
        let decimal = usual.units == Units::Inch && !on(at, coarse);
        let form = if decimal { InchForm::Decimal } else { usual.inch_form };
        let decimals = if decimal { 3 } else { usual.decimals };
        Showing { step, inch_form: form, decimals, both, ..usual }.show(at).text
    };
    let rounder = Showing { step, ..usual };
    let mut before = None;
    let rows = rod.marks.iter().map(|mark| {
        let at = mark.at + rounder.show(mark.at).off;
        let gap = before.map(|before| show(at - before, None)).unwrap_or_default();
        before = Some(at);
        Figures { at: show(at, usual.both), gap }
    });
    rows.collect()
}

/// Position and names, a row a mark.
pub fn table(made: &Made, rod: &Rod) -> Table {
    let rows = rod.marks.iter().zip(figures(made, rod)).enumerate().map(|(index, (mark, figures))| {
        vec![
            Cell::bold((index + 1).to_string()),
            Cell::new(figures.at),
            Cell::new(figures.gap),
            Cell::new(mark.names.join(", ")),
        ]
    });
    Table {
        title: rod.title.clone(),
        columns: vec![
            Column::numbers("mark"),
            Column::numbers(format!("from the {}", rod.from.word())),
            Column::numbers("from the one before"),
            Column::words("what is there"),
        ],
        rows: rows.collect(),
        height: TEXT,
    }
}

/// The strip at full size, the end at the left.
///
/// # Errors
/// For a rod with no length.
pub fn drawing(made: &Made, rod: &Rod) -> Result<Drawing, Fault> {
    let Some(last) = rod.marks.last().filter(|mark| mark.at.is_positive()) else {
        return Err(Fault::new("there is nothing along it", "name an assembly that has parts"));
    };
    let end = last.at.to_mm();
    let figures = figures(made, rod);
    let mut strip = vec![
        line((0.0, 0.0), (end, 0.0), LineType::Visible),
        line((0.0, STRIP), (end, STRIP), LineType::Visible),
    ];
    let mut leads = Vec::new();
    let mut names = Vec::new();
    let labels: Vec<Vec<String>> = rod
        .marks
        .iter()
        .zip(&figures)
        .enumerate()
        .map(|(index, (mark, figures))| {
            let text = format!("{}   {}", figures.at, mark.names.join(", "));
            let mut lines = wrap(&text, NAMES - LEAD - 4.0, TEXT, false);
            if let Some(first) = lines.first_mut() {
                *first = format!("{}:  {first}", index + 1);
            }
            lines
        })
        .collect();
    let wanted: Vec<f64> = rod.marks.iter().map(|mark| mark.at.to_mm()).collect();
    let widths: Vec<f64> = labels.iter().map(|lines| lines.len() as f64 * PITCH).collect();
    let places = spread(&wanted, &widths);
    for (((mark, label), at), width) in rod.marks.iter().zip(&labels).zip(&places).zip(&widths) {
        let x = mark.at.to_mm();
        strip.push(line((x, 0.0), (x, STRIP), LineType::Visible));
        leads.push(line((x, STRIP), (x, STRIP + 2.0), LineType::Dimension));
        leads.push(line((x, STRIP + 2.0), (*at, STRIP + LEAD), LineType::Dimension));
        for (row, text) in label.iter().enumerate() {
            // Read from the right, the first line to the left.
            let right = at - width / 2.0 + PITCH * row as f64 + (PITCH + TEXT) / 2.0;
            // White under the words: the lines of the seams pass behind them.
            names.extend(backed(vec![Mark::Text(Text {
                at: (right, STRIP + LEAD + 1.0),
                text: text.clone(),
                height: TEXT,
                anchor: Anchor::Start,
                turn: 90.0,
                bold: row == 0,
            })]));
        }
    }
    let ends = [(0.0, STRIP / 2.0), (end, STRIP / 2.0)];
    let check =
        Check { names: ["P", "Q"], ends, text: figures.last().map(|f| f.at.clone()).unwrap_or_default() };
    let mut marks: Vec<Mark> =
        ends.iter().map(|at| Mark::Stroke { path: circle(*at, 2.0), line: LineType::Dimension }).collect();
    // Below the strip at the ends, clear of every mark.
    for (name, at, anchor) in [("P", ends[0], Anchor::Start), ("Q", ends[1], Anchor::End)] {
        marks.extend(backed(vec![Mark::Text(Text {
            at: (at.0, -6.0),
            text: name.into(),
            height: 3.5,
            anchor,
            turn: 0.0,
            bold: true,
        })]));
    }
    let leftmost = places.iter().zip(&widths).map(|(p, w)| p - w / 2.0).fold(0.0, f64::min);
    let rightmost = places.iter().zip(&widths).map(|(p, w)| p + w / 2.0).fold(end, f64::max);
    let other = rod.from.opposite();
    let reach = labels.iter().flatten().map(|text| width_of(text, TEXT, true)).fold(0.0, f64::max);
    let low: At = (leftmost - 6.0, -9.0);
    Ok(Drawing {
        name: rod.name.clone(),
        title: rod.title.clone(),
        area: Area { low, high: (rightmost + 6.0, STRIP + LEAD + reach.max(20.0) + 4.0) },
        groups: vec![
            Group { id: "strip".into(), layer: Layer::Outlines, marks: strip },
            Group { id: "leads".into(), layer: Layer::Dimensions, marks: leads },
            Group { id: "names".into(), layer: Layer::Notes, marks: names },
            Group { id: "checks".into(), layer: Layer::Dimensions, marks },
        ],
        words: Words {
            kind: "STORY ROD".into(),
            face: None,
            name: rod.title.clone(),
            lines: vec![job_line(&made.job), format!("All marks are measured from the {}.", rod.from.word())],
            ways: vec![Way { angle: 0.0, word: if other == Side::Top { "UP".into() } else { format!("to the {}", other.word()) } }],
            grain: None,
        },
        checks: vec![check],
        notes: vec![
            "Lay the paper on a straight stick, or transfer every mark to one with a square and a knife; one stick for one line.".into(),
            "The middle of a line is the position.".into(),
        ],
        tables: vec![table(made, rod)],
        quiet: Some((STRIP, STRIP + LEAD + reach + 2.0)),
    })
}

/// Places for labels of these widths as near as can be to where they are wanted (least squares), in order and side by side:
/// neighbours that would overlap are pooled and centred on the mean of what they want.
fn spread(wanted: &[f64], widths: &[f64]) -> Vec<f64> {
    // (sum of wanted middles less offsets, count, width) of each pool.
    struct Pool {
        sum: f64,
        count: usize,
        width: f64,
    }
    let mut pools: Vec<Pool> = Vec::new();
    let left = |pool: &Pool| pool.sum / pool.count as f64;
    for (at, width) in wanted.iter().zip(widths) {
        pools.push(Pool { sum: at - width / 2.0, count: 1, width: *width });
        while let [.., one, other] = pools.as_slice()
            && left(one) + one.width > left(other)
        {
            let sum = one.sum + other.sum - one.width * other.count as f64;
            let pool = Pool { sum, count: one.count + other.count, width: one.width + other.width };
            pools.truncate(pools.len() - 2);
            pools.push(pool);
        }
    }
    let mut places = Vec::with_capacity(wanted.len());
    let mut widths = widths.iter();
    for pool in &pools {
        let mut at = left(pool);
        for width in widths.by_ref().take(pool.count) {
            places.push(at + width / 2.0);
            at += width;
        }
    }
    places
}
