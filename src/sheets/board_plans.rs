//! Boards and sticks: what to pick, the rough sizes of all pieces, what is cut from which board, and panels as they are glued up.

use super::board_drawings::drawn;
use super::cutting_order::TICK;
use super::part_sheet::said;
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::{paragraph, written};
use crate::drawing::{Anchor, At, LineType, Mark, Placed, line, rectangle};
use crate::length::{Length, Units};
use crate::parts::runs::Run;
use crate::parts::{Made, PartId};
use crate::plans::Plans;
use crate::plans::boards::{BoardPlan, Note, Sold, Strip};
use crate::plans::buying::called;
use crate::plans::lanes::Lane;
use crate::trade::Grain;
use crate::trade::money::{show_number, show_share};

const TEXT: f64 = 2.5;
/// Height in which a panel is drawn: enough to tell its strips and its mark.
const PANEL: f64 = 34.0;
/// Most strips that are drawn; more are said.
const MOST_STRIPS: i64 = 16;

/// Sheets of all solid stock; none where a job has none.
pub fn board_plans(made: &Made, plans: &Plans, paperwork: &Paperwork) -> Vec<Draft> {
    if plans.boards.is_empty() {
        return Vec::new();
    }
    let field = paperwork.frame().field();
    let count = libm::floor(field.width() / 120.0).max(1.0) as usize;
    let mut flow = Flow::new(columns(field, count));
    flow.line("BOARDS AND STICKS", 5.0, true);
    for plan in &plans.boards {
        let on = Sheet { made, plan, paperwork };
        flow.line(&called(made, plan.stock).to_uppercase(), 3.5, true);
        flow.facts(&on.facts(), TEXT);
        for table in [on.pick(), on.rough()] {
            flow.table(&table);
        }
        for strip in plan.glue_ups() {
            flow.hang(|area, top| on.panel(strip, (area.low.0, top), area.width()));
        }
        if !plan.boards.is_empty() {
            flow.table(&on.layout());
        }
    }
    flow.line(paperwork.figures.unit_note(), TEXT, true);
    let further = drawn(made, &plans.boards, paperwork, &mut flow);
    let (name, title) = ("boards-and-sticks", "Boards and sticks");
    let mut all = vec![Draft {
        name: name.into(),
        title: title.into(),
        kind: "BOARDS",
        groups: vec![flow.group(name)],
        ..Draft::default()
    }];
    all.extend(flow.further(paperwork, name, title));
    all.extend(further);
    all
}

struct Sheet<'a> {
    made: &'a Made,
    plan: &'a BoardPlan,
    paperwork: &'a Paperwork,
}

impl Sheet<'_> {
    fn both(&self, length: Length) -> String {
        self.paperwork.figures.print(length).both()
    }

    fn figure(&self, length: Length) -> String {
        self.paperwork.figures.figure(length)
    }

    fn part(&self, id: PartId) -> (&str, String) {
        self.made.parts.get(id.0).map_or(("", String::new()), |part| (part.mark.as_str(), said(&part.name)))
    }

    fn facts(&self) -> Vec<(String, String)> {
        let plan = self.plan;
        let mut all: Vec<(String, String)> = Vec::new();
        let mut say = |head: &str, text: String| all.push((head.to_owned(), text));
        let thick = self.both(plan.rough);
        say(
            "BOUGHT",
            match (plan.milled, plan.sold) {
                (_, Sold::Sticks) => format!("as sticks {thick} thick, cut to length only"),
                (true, Sold::Random) => format!("rough, {thick} thick, of random width"),
                (true, _) => format!("rough, {thick} thick"),
                (false, _) => format!("surfaced; measured as {thick} thick"),
            },
        );
        let unit = if self.made.job.units == Units::Inch { "board feet" } else { "m³" };
        if let (Some(net), Some(waste)) = (plan.net, plan.with_waste) {
            let laid =
                plan.laid.map(|laid| format!("; boards below {}", show_number(laid))).unwrap_or_default();
            say(
                "MEASURE",
                format!(
                    "pieces in the rough {} {unit}, with {} waste {}{laid}",
                    show_number(net),
                    show_share(plan.waste),
                    show_number(waste)
                ),
            );
        }
        let with = &plan.allowances;
        if plan.sold != Sold::Sticks {
            let planed = if plan.milled {
                format!("{} off each planed face, ", self.figure(with.planing))
            } else {
                String::new()
            };
            say(
                "ALLOWED",
                format!(
                    "{} off each jointed edge, {planed}{} lost at each end of a board, {} on the length of a piece",
                    self.figure(with.jointing),
                    self.figure(with.end_loss),
                    self.figure(with.over_length)
                ),
            );
        } else {
            say(
                "ALLOWED",
                format!(
                    "{} on the length of a piece, where the stick has it; no joint where one length reaches",
                    self.figure(with.over_length)
                ),
            );
        }
        for (width, length) in &plan.spare {
            say("SPARE", format!("one stick {} wide, {} long", self.figure(*width), self.figure(*length)));
        }
        for strip in &plan.strips {
            if let Some(run) = &strip.run {
                say("SCARFED", self.scarfed(strip, run));
            }
        }
        for note in &plan.notes {
            say("NOTE", self.note(note));
        }
        if plan.boards.is_empty() {
            say(
                "NOTE",
                "no `lengths` that can be had are known, so no boards are laid out: choose by the measure"
                    .to_owned(),
            );
        }
        all
    }

    /// Where the joints of a run come, and how they are cut.
    fn scarfed(&self, strip: &Strip, run: &Run) -> String {
        let (mark, name) = self.part(strip.part);
        let along_v = self.made.parts.get(strip.part.0).is_some_and(|part| part.grain == Grain::AlongV);
        let laps: Vec<String> = run
            .laps
            .iter()
            .map(|from| format!("{} to {}", self.figure(*from), self.figure(*from + run.lap)))
            .collect();
        let moved = if run.spare.is_positive() {
            format!(
                "; to land one on a stud make the piece before it up to {} longer and the next as much shorter, before cutting",
                self.figure(run.spare)
            )
        } else {
            String::new()
        };
        format!(
            "{mark} {name}: {} pieces of {}, long point to long point, lap by {} in scarfs of 45° through the thickness, at {} from the {} end as drawn{moved}",
            run.pieces,
            self.both(run.length),
            self.figure(run.lap),
            laps.join(", "),
            if along_v { "lower" } else { "left" }
        )
    }

    fn note(&self, note: &Note) -> String {
        let part = |id: &PartId| {
            let (mark, name) = self.part(*id);
            format!("{mark} {name}")
        };
        match note {
            Note::WiderThanJointer { part: id, jointer } => {
                format!(
                    "{} is wider than the jointer ({}): flatten on a sled or by hand, or glue it up",
                    part(id),
                    self.figure(*jointer)
                )
            }
            Note::WiderThanPlaner { part: id, planer } => {
                format!(
                    "{} is wider than the planer ({}): plane the strips first, flatten the panel by hand or at a shop with a wide sander",
                    part(id),
                    self.figure(*planer)
                )
            }
            Note::ShortEnds { part: id, left } => {
                format!(
                    "the longest board leaves only {} at each end of {}: choose one with sound ends for it",
                    self.figure(*left),
                    part(id)
                )
            }
            Note::NotLaidOut => "too much for these boards to be laid out: choose by the measure".to_owned(),
        }
    }

    /// What to take from the rack.
    fn pick(&self) -> Table {
        let mut sizes: Vec<((Length, Length), Vec<usize>)> = Vec::new();
        for (index, board) in self.plan.boards.iter().enumerate() {
            match sizes.iter_mut().find(|(size, _)| *size == (board.width, board.length)) {
                Some((_, numbers)) => numbers.push(index + 1),
                None => sizes.push(((board.width, board.length), vec![index + 1])),
            }
        }
        let row = |((width, length), numbers): &((Length, Length), Vec<usize>)| -> Vec<Cell> {
            let numbers: Vec<String> = numbers.iter().map(usize::to_string).collect();
            vec![
                TICK.into(),
                format!("{} ×", numbers.len()).into(),
                Cell::bold(self.both(*width)),
                Cell::bold(self.both(*length)),
                numbers.join(", ").into(),
            ]
        };
        let wide = if self.plan.sold == Sold::Random { "AT LEAST WIDE" } else { "WIDE" };
        Table {
            title: "PICK".into(),
            columns: vec![
                Column::marks(""),
                Column::numbers("QTY"),
                Column::numbers(wide),
                Column::numbers("LONG"),
                Column::words("BOARD NO."),
            ],
            rows: sizes.iter().map(row).collect(),
            height: TEXT,
        }
    }

    /// Rough and finished sizes of all pieces.
    fn rough(&self) -> Table {
        let row = |strip: &Strip| -> Vec<Cell> {
            let (mark, name) = self.part(strip.part);
            let name = match &strip.run {
                Some(run) => format!("{name}, pieces, {} to a run, long point to long point", run.pieces),
                None if strip.of > 1 => format!("{name}, strips, {} to a panel", strip.of),
                None => name,
            };
            let fit = if strip.to_fit { " TO FIT" } else { "" };
            vec![
                TICK.into(),
                Cell::bold(mark),
                format!("{name}{fit}").into(),
                strip.quantity.to_string().into(),
                format!("{} × {}", self.both(strip.rough_width), self.both(strip.rough_length)).into(),
                format!("{} × {}", self.both(strip.width), self.both(strip.length)).into(),
            ]
        };
        Table {
            title: "PIECES, width × length".into(),
            columns: vec![
                Column::marks(""),
                Column::words(""),
                Column::words("PART"),
                Column::numbers("QTY"),
                Column::words("CUT FIRST"),
                Column::words("FINISHED"),
            ],
            rows: self.plan.strips.iter().map(row).collect(),
            height: TEXT,
        }
    }

    /// What is cut from which board, lane by lane, from one end.
    fn layout(&self) -> Table {
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        for (index, board) in self.plan.boards.iter().enumerate() {
            for (place, lane) in board.lanes.iter().enumerate() {
                let head = if place == 0 { (index + 1).to_string() } else { String::new() };
                let pieces = lane.pieces.iter().filter_map(|piece| {
                    let strip = self.plan.strips.get(piece.strip)?;
                    let wide = if piece.width < lane.width {
                        format!(" ({} wide)", self.figure(piece.width))
                    } else {
                        String::new()
                    };
                    Some(format!("{} {}{wide}", self.part(strip.part).0, self.figure(piece.length)))
                });
                rows.push(vec![
                    Cell::bold(head),
                    self.both(lane.width).into(),
                    pieces.collect::<Vec<_>>().join(" + ").into(),
                    self.figure(lane.offcut).into(),
                ]);
            }
        }
        let narrower = if self.plan.boards.iter().flat_map(|board| &board.lanes).any(Lane::mixed) {
            "; a piece narrower than its lane is ripped to its own width once it is cut off"
        } else {
            ""
        };
        Table {
            title: format!(
                "FROM EACH BOARD: lanes side by side, pieces along a lane with a saw cut between{narrower}"
            ),
            columns: vec![
                Column::numbers("BOARD"),
                Column::numbers("LANE"),
                Column::words("PIECES, from one end"),
                Column::numbers("LEFT"),
            ],
            rows,
            height: TEXT,
        }
    }

    /// A panel as it is glued up: its strips, and the cabinetmaker's triangle over the set, point to the edge that is to be in front or
    /// above.
    fn panel(&self, strip: &Strip, at: At, width: f64) -> Placed {
        let (mark, name) = self.part(strip.part);
        let way = if self.plan.alternate {
            "turn every other strip over, so that the rings alternate; all grain one way"
        } else {
            "match the show faces, best face up on every strip; all grain one way"
        };
        let from = if self.plan.sold == Sold::Random {
            format!(", of boards at least {} wide", self.figure(strip.rough_width))
        } else {
            String::new()
        };
        let text = format!(
            "GLUE-UP {mark} {name}: {} strips, each {} finished (cut first {}{from}), together {}; {way}. Draw the triangle on the show faces before gluing.",
            strip.of,
            self.both(strip.width),
            self.both(strip.rough_width),
            self.figure(strip.width * strip.of),
        );
        let mut placed = paragraph(at, &text, width, TEXT, false);
        if strip.of > MOST_STRIPS {
            return placed;
        }
        let (left, right) = (at.0 + 1.0, at.0 + width.min(110.0) - 8.0);
        let (top, bottom) = (at.1 - placed.height - 1.5, at.1 - placed.height - 1.5 - PANEL);
        let each = PANEL / strip.of as f64;
        let mut marks: Vec<Mark> =
            vec![Mark::Stroke { path: rectangle((left, bottom), (right, top)), line: LineType::Visible }];
        for number in 0..strip.of {
            let upper = top - each * number as f64;
            if number > 0 {
                marks.push(line((left, upper), (right, upper), LineType::Dimension));
            }
            // Beside the panel, so that no figure stands on a line.
            if each >= TEXT {
                let label = (number + 1).to_string();
                marks.push(written(
                    (right + 2.0, upper - each / 2.0 - TEXT / 2.0),
                    label,
                    TEXT,
                    Anchor::Start,
                    true,
                ));
            }
        }
        let middle = (left + right) / 2.0;
        let (apex, base) = ((middle, top - 2.0), bottom + 2.0);
        for (from, to) in [
            (apex, (middle - 16.0, base)),
            ((middle - 16.0, base), (middle + 16.0, base)),
            ((middle + 16.0, base), apex),
        ] {
            marks.push(line(from, to, LineType::Visible));
        }
        placed.marks.extend(marks);
        placed.width = width;
        placed.height += 1.5 + PANEL + 1.0;
        placed
    }
}
