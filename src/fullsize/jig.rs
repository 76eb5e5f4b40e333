//! A router template on paper at full size: glued to the sheet that the template is made from, sawn and filed to the line.

use super::page::{Words, compass, face_word, job_line, moved};
use super::place::{Room, backed, over, round};
use super::view::path;
use super::{Drawing, Fault, Printer, figures, tile};
use crate::drawing::arrow::{Terminator, ended_line};
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::paper::Area;
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::written;
use crate::drawing::{
    Anchor, At, Group, Layer, LineType, Mark, Sheet, centre_cross, circle, line, rectangle,
};
use crate::jigs::card::{self, GuidePoint, called, card, served, short};
use crate::jigs::{Jig, arrows};
use crate::length::Length;
use crate::parts::Made;
use crate::shape::{Outline, Point};

/// What of the card of settings stands on the paper as well.
const ON_PAPER: [&str; 6] = ["CUTS", "DEPTH", "FEED", "CORNERS", "STOP", "HOLD"];
/// Paper left round the template, in mm.
const PAPER: f64 = 14.0;

/// All pages of the router templates of a job.
///
/// # Errors
/// As [`super::templates`].
pub fn jigs(made: &Made, all: &[Jig], printer: &Printer) -> Result<Vec<Sheet>, Vec<Fault>> {
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for jig in all {
        let drawing = drawing(made, jig, printer);
        match tile::pages(&drawing, printer) {
            Ok(pages) => sheets.extend(pages),
            Err(fault) => {
                faults.push(Fault { message: format!("{}: {}", drawing.title, fault.message), ..fault })
            }
        }
    }
    faults.dedup();
    if faults.is_empty() { Ok(sheets) } else { Err(faults) }
}

/// The drawing of a template.
pub fn drawing(made: &Made, jig: &Jig, printer: &Printer) -> Drawing {
    let around = jig.blank.extents();
    let area = Area { low: around.low.to_mm(), high: around.high.to_mm() }.inset(-PAPER);
    let stroke = |outline: &Outline, line| Mark::Stroke { path: path(outline), line };
    let group = |id: &str, layer, marks| Group { id: id.into(), layer, marks };
    let window: Vec<Mark> = jig.window.iter().map(|w| stroke(w, LineType::Visible)).collect();
    let mut below: Vec<Mark> = jig
        .fences
        .iter()
        .map(|fence| Mark::Stroke {
            path: rectangle(fence.area.low.to_mm(), fence.area.high.to_mm()),
            line: LineType::Hidden,
        })
        .collect();
    below.push(stroke(&jig.work.outline, LineType::Hidden));
    let edges = jig.edges.iter().map(|(from, to)| line(from.to_mm(), to.to_mm(), LineType::Adjacent));
    below.extend(edges);
    let mut holes = Vec::new();
    for pin in &jig.pins {
        let (at, radius) = (pin.at.to_mm(), pin.diameter.to_mm() / 2.0);
        holes.push(Mark::Stroke { path: circle(at, radius), line: LineType::Visible });
        holes.extend(centre_cross(at, radius));
    }
    let lines = jig.lines.iter().map(|mark| line(mark.from.to_mm(), mark.to.to_mm(), LineType::Centre));
    let lines: Vec<Mark> = lines.collect();
    let ways = arrows::feed(jig, 4.0, 18.0);
    let ways: Vec<Mark> = (ways.into_iter())
        .flat_map(|(from, to)| ended_line(&[from, to], Terminator::None, Terminator::Arrow, 0.5))
        .collect();
    let mut groups = vec![
        group("outline", Layer::Outlines, vec![stroke(&jig.blank, LineType::Visible)]),
        group("openings", Layer::Outlines, window),
        group("below", Layer::Hidden, below),
        group("pins", Layer::Outlines, holes),
        group("lines", Layer::Dimensions, lines),
        group("feed", Layer::Dimensions, ways),
    ];
    let layout = tile::layout(&area, &groups, printer).ok();
    let windows: Vec<Area> = layout.iter().flat_map(|l| &l.tiles).map(|tile| tile.window).collect();
    let mut room = Room::new(&windows);
    room.keep_clear(&layout.map_or(Vec::new(), |layout| tile::seam_lines(&layout)));
    groups.iter().for_each(|group| room.keep_clear(&group.marks));
    let words = words(made, jig);
    let labels = labels(jig, &words, &area, &mut room);
    let waste = jig.window.iter().flat_map(|w| hatch(&path(w), Hatching::Plain, 0.0, 4.0)).collect();
    // What stands on the hatching covers it.
    groups.insert(0, group("waste", Layer::Notes, waste));
    groups.push(group("labels", Layer::Notes, labels));
    let show = figures(made);
    let say = |length: Length| show.show(length).text;
    let mut notes: Vec<String> = (card(made, jig, &say).into_iter())
        .filter(|(head, _)| ON_PAPER.contains(&head.as_str()))
        .map(|(head, text)| format!("{head}: {text}."))
        .collect();
    notes
        .push(format!("The whole card of settings, with its cautions, stands on the sheet of {}.", jig.mark));
    notes.push(
        "The continuous line is the template: the offset is in it already, cut on the line. Dashed lines lie below: the finished line \
         of the part, and fences."
            .into(),
    );
    notes.push(super::particulars::ADHESIVE.into());
    Drawing {
        name: jig.id.clone(),
        title: format!("{} router template, {}", jig.mark, jig.kind.word()),
        area,
        groups,
        words,
        checks: Vec::new(),
        notes,
        tables: tables(made, jig, &say),
        quiet: None,
    }
}

fn words(made: &Made, jig: &Jig) -> Words {
    let show = figures(made);
    let say = |length: Length| show.show(length).text;
    let part = made.parts.get(jig.part.0);
    let name = part.map_or(String::new(), |part| called(&part.mark, &part.name));
    let follower = if jig.tool.offset().is_positive() { "collar" } else { "bearing" };
    let hand = jig
        .uses
        .first()
        .and_then(|one| one.hand)
        .map_or(String::new(), |hand| format!(", {} of a pair", short(hand)));
    let frames = made.placed.iter().find(|placed| placed.part == jig.part).map(|placed| placed.frame);
    let up = frames.filter(|_| !jig.kind.is_notch()).map(|frame| super::page::Way {
        angle: 90.0,
        word: match frame.v {
            crate::trade::Side::Top => "UP".to_owned(),
            other => format!("to the {}", other.word()),
        },
    });
    Words {
        kind: "ROUTER TEMPLATE".into(),
        face: Some(jig.face),
        name: format!("{} {} for {name}{hand}", jig.mark, jig.kind.word()),
        lines: vec![
            job_line(&made.job),
            format!(
                "bit {} · {follower} {} · template {}",
                say(jig.tool.bit),
                say(jig.tool.follower),
                say(jig.thick)
            ),
            "Cut on the line: the offset is in it.".into(),
        ],
        ways: up.into_iter().collect(),
        grain: None,
    }
}

fn labels(jig: &Jig, words: &Words, area: &Area, room: &mut Room) -> Vec<Mark> {
    let anywhere = |_: &Area| true;
    let mut marks = Vec::new();
    for fence in &jig.fences {
        let at = middle(fence.area.low, fence.area.high);
        let area = Area { low: fence.area.low.to_mm(), high: fence.area.high.to_mm() };
        let text = format!("FENCE below, {} edge", fence.bears_on);
        let upright = area.height() > area.width();
        let word = one_line(&text, if upright { 90.0 } else { 0.0 });
        let mut places = over(&area);
        places.extend(round(at, 6.0, 60.0));
        marks.extend(room.put(&word, &places, &anywhere).unwrap_or_default());
    }
    for pin in &jig.pins {
        let word = one_line(&pin.called(), 0.0);
        let places = round(pin.at.to_mm(), 7.0, 40.0);
        marks.extend(room.put(&word, &places, &anywhere).unwrap_or_default());
    }
    for mark in &jig.lines {
        let upright = mark.from.x == mark.to.x;
        let word = one_line(&mark.says.to_uppercase(), if upright { 90.0 } else { 0.0 });
        let (a, b) = (mark.from.to_mm(), mark.to.to_mm());
        let places = (2..=38).flat_map(|i| {
            let share = f64::from(i) / 40.0;
            let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
            if upright {
                [(at.0 - 2.6, at.1), (at.0 + 2.6, at.1)]
            } else {
                [(at.0, at.1 + 2.6), (at.0, at.1 - 2.6)]
            }
        });
        let places: Vec<At> = places.collect();
        marks.extend(room.put(&word, &places, &anywhere).unwrap_or_default());
    }
    if let Some(window) = &jig.window {
        let around = window.extents();
        let area = Area { low: around.low.to_mm(), high: around.high.to_mm() };
        let fits = |a: &Area| {
            super::place::holds(&path(window), ((a.low.0 + a.high.0) / 2.0, (a.low.1 + a.high.1) / 2.0))
        };
        for (text, turn) in [("CUT OUT", 0.0), ("CUT OUT", 90.0)] {
            if let Some(put) = room.put(&one_line(text, turn), &over(&area), &fits) {
                marks.extend(backed(put));
                break;
            }
        }
    }
    for size in [14.0, 10.0, 7.0, 5.0] {
        let label = label(jig, words, size);
        if let Some(put) = room.put(&label, &over(area), &|a: &Area| on_template(jig, a)) {
            marks.extend(put);
            break;
        }
    }
    marks
}

fn on_template(jig: &Jig, area: &Area) -> bool {
    let blank = jig.blank.extents();
    let (low, high) = (blank.low.to_mm(), blank.high.to_mm());
    area.low.0 > low.0 && area.low.1 > low.1 && area.high.0 < high.0 && area.high.1 < high.1
}

/// What is written on the template, round (0, 0).
fn label(jig: &Jig, words: &Words, size: f64) -> Vec<Mark> {
    let face = words.face.map_or("", face_word);
    let small = if size > 5.0 { 2.5 } else { 1.8 };
    let mut marks = vec![written((0.0, 0.0), format!("{} {face}", jig.mark), size, Anchor::Middle, true)];
    let mut y = -1.8 * small - 0.25 * size;
    for text in std::iter::once(&words.name).chain(&words.lines) {
        marks.push(written((0.0, y), text.as_str(), small, Anchor::Middle, false));
        y -= 1.7 * small;
    }
    let compass = compass(&words.ways, None, (0.0, 0.0));
    if let (Some((low, high)), Some((_, right))) =
        (crate::drawing::bounds::extents(&compass), crate::drawing::bounds::extents(&marks))
    {
        let by = (right.0 + 3.0 - low.0, -(low.1 + high.1) / 2.0);
        marks.extend(compass.into_iter().map(|mark| moved(mark, by)));
    }
    match crate::drawing::bounds::extents(&marks) {
        Some((low, high)) => {
            let by = (-(low.0 + high.0) / 2.0, -(low.1 + high.1) / 2.0);
            marks.into_iter().map(|mark| moved(mark, by)).collect()
        }
        None => marks,
    }
}

fn one_line(text: &str, turn: f64) -> Vec<Mark> {
    let at = if turn == 0.0 { (0.0, -1.25) } else { (1.25, 0.0) };
    let text = text.to_owned();
    vec![Mark::Text(crate::drawing::Text {
        at,
        text,
        height: 2.5,
        anchor: Anchor::Middle,
        turn,
        bold: false,
    })]
}

fn middle(low: Point, high: Point) -> At {
    let (a, b) = (low.to_mm(), high.to_mm());
    ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
}

/// Corners of the guiding line from the lower left corner of the blank, and every place that the template serves.
fn tables(made: &Made, jig: &Jig, say: &dyn Fn(Length) -> String) -> Vec<Table> {
    let row = |point: GuidePoint| {
        vec![Cell::bold(point.number), Cell::new(point.across), Cell::new(point.up), Cell::new(point.next)]
    };
    let columns = vec![
        Column::words("point"),
        Column::numbers("across"),
        Column::numbers("up"),
        Column::words("to the next"),
    ];
    let guiding = Table {
        title: "Guiding line, from the blank's lower left corner, anticlockwise".into(),
        columns,
        rows: card::guiding(jig, say).into_iter().map(row).collect(),
        height: 2.5,
    };
    let columns = vec![
        Column::words("part"),
        Column::words("off"),
        Column::words("where, from the part's datum corner"),
        Column::words("how"),
    ];
    let rows = served(made, jig, say).into_iter().map(|one| {
        vec![
            Cell::bold(one.part),
            Cell::new(one.quantity.to_string()),
            Cell::new(one.place),
            Cell::new(one.how),
        ]
    });
    let uses = Table { title: "Serves".into(), columns, rows: rows.collect(), height: 2.5 };
    vec![uses, guiding]
}
