//! Boards and sticks as they are cut, drawn: lanes from the first edge up, pieces from the left end on, equal boards once. Lengths
//! are to scale, all boards of a stock to the same; widths too, unless a lane were too narrow to be written in.

use super::figures::Figures;
use super::frame::Area;
use super::sheet::{Draft, Flow, Paperwork, columns};
use crate::drawing::lettering::width_of;
use crate::drawing::text::{paragraph, written};
use crate::drawing::{Anchor, At, LineType, Mark, Placed, line, rectangle};
use crate::length::Length;
use crate::parts::Made;
use crate::plans::boards::BoardPlan;
use crate::plans::buying::called;
use crate::plans::lanes::{Board, Lane};

/// Height of the lettering.
const TEXT: f64 = 2.5;
/// Least height of a lane: one line of text.
const LANE: f64 = 4.5;
/// Most height of a board.
const HIGHEST: f64 = 70.0;
/// Beside a board for the letters of its rips.
const BESIDE: f64 = 7.0;
/// A column of drawings on a sheet of their own is at least so wide.
const WIDE: f64 = 180.0;
/// Most boards that are drawn of one stock; the table has them all.
const MOST: usize = 40;

/// Boards of a plan that are cut alike, each set with its numbers from 1.
fn alike(plan: &BoardPlan) -> Vec<(Vec<usize>, &Board)> {
    let mut all: Vec<(Vec<usize>, &Board)> = Vec::new();
    for (index, board) in plan.boards.iter().enumerate() {
        match all.iter_mut().find(|(_, known)| *known == board) {
            Some((numbers, _)) => numbers.push(index + 1),
            None => all.push((vec![index + 1], board)),
        }
    }
    all.truncate(MOST);
    all
}

/// Draws the boards of every plan: in what room a sheet has left, then on further sheets of their own.
pub fn drawn(made: &Made, plans: &[BoardPlan], paperwork: &Paperwork, flow: &mut Flow) -> Vec<Draft> {
    let field = paperwork.frame().field();
    let fresh = || Flow::new(columns(field, libm::floor(field.width() / WIDE).max(1.0) as usize));
    let mut further: Vec<Flow> = Vec::new();
    for plan in plans {
        let drawings = Drawings { made, plan, figures: paperwork.figures };
        for (index, set) in alike(plan).iter().enumerate() {
            let board = |area: Area, top: f64| drawings.board(set, (area.low.0, top), area.width());
            let headed = |area: Area, top: f64| drawings.headed(set, (area.low.0, top), area.width());
            // The heading stands over the first board of its stock and again on each further sheet, and nowhere alone.
            let last = further.last_mut().unwrap_or(&mut *flow);
            let hung = if index == 0 { last.hang(headed) } else { last.hang(board) };
            if hung {
                continue;
            }
            let mut next = fresh();
            next.hang(headed);
            further.push(next);
        }
    }
    let draft = |(index, flow): (usize, Flow)| {
        let name = format!("boards-drawn-{}", index + 1);
        let marks = vec![flow.group(&name)];
        Draft {
            name,
            title: "Boards and sticks drawn".into(),
            kind: "BOARDS",
            groups: marks,
            ..Draft::default()
        }
    };
    further.into_iter().enumerate().map(draft).collect()
}

/// What the drawings of a plan share.
struct Drawings<'a> {
    made: &'a Made,
    plan: &'a BoardPlan,
    figures: Figures,
}

impl Drawings<'_> {
    /// How to read them.
    fn caption(&self) -> String {
        let kerf = self.figures.figure(self.made.job.kerf());
        let usual = if self.made.job.shop.kerf.is_none() { " (none given: the usual)" } else { "" };
        let rips = self.plan.boards.iter().any(|board| !rips(board).is_empty());
        let rips =
            if rips { ", letters are rips, made first, each setting from the edge below it" } else { "" };
        let narrower = if self.plan.boards.iter().flat_map(|board| &board.lanes).any(Lane::mixed) {
            "; a piece narrower than its lane is ripped, once it is cut off, to its own width, which the table has"
        } else {
            ""
        };
        format!(
            "CUTTING THE BOARDS: the left end is squared, then pieces are cut off by their numbers{rips}{narrower}; {kerf} of saw cut{usual} between pieces. \
             Lengths to scale; narrow boards are drawn wider."
        )
    }

    /// The first of a stock's boards under the heading.
    fn headed(&self, set: &(Vec<usize>, &Board), at: At, width: f64) -> Placed {
        let mut placed = paragraph(at, &called(self.made, self.plan.stock).to_uppercase(), width, 3.5, true);
        let caption = paragraph((at.0, at.1 - placed.height - 1.5), &self.caption(), width, TEXT, false);
        placed.height += 1.5 + caption.height + 2.0;
        let board = self.board(set, (at.0, at.1 - placed.height), width);
        placed.marks.extend(caption.marks.into_iter().chain(board.marks));
        placed.height += board.height;
        placed.width = width;
        placed
    }

    /// Equal boards, drawn in a width.
    fn board(&self, (numbers, board): &(Vec<usize>, &Board), at: At, width: f64) -> Placed {
        let word = match numbers.len() {
            1 => "BOARD",
            _ => "BOARDS",
        };
        let list: Vec<String> = numbers.iter().map(usize::to_string).collect();
        let head = format!(
            "{word} {}: {} × {}",
            list.join(", "),
            self.figures.print(board.width).both(),
            self.figures.print(board.length).both()
        );
        let mut placed = paragraph(at, &head, width, TEXT, true);
        let longest = self.plan.boards.iter().map(|board| board.length.to_mm()).fold(1.0, f64::max);
        let along = ((width - BESIDE - 1.0) / longest).max(f64::MIN_POSITIVE);
        let pieces = board.lanes.iter().flat_map(|lane| &lane.pieces);
        let narrowest = pieces.map(|piece| piece.width.to_mm()).fold(f64::INFINITY, f64::min);
        let across = along.max(LANE / narrowest).min(HIGHEST / board.width.to_mm().max(1.0));
        let low = (at.0 + 1.0, at.1 - placed.height - 1.5 - board.width.to_mm() * across);
        let on = OnPaper { low, along, across };
        let high = on.at(board.length, board.width);
        placed.marks.push(Mark::Stroke { path: rectangle(low, high), line: LineType::Visible });
        for lane in &board.lanes {
            self.lane(&on, board, lane, &mut placed.marks);
        }
        let mut free = f64::NEG_INFINITY;
        for (number, edge) in rips(board).into_iter().enumerate() {
            let (from, to) = (on.at(Length::ZERO, edge), on.at(board.length, edge));
            placed.marks.push(line(from, to, LineType::Dimension));
            let base = to.1 - TEXT / 2.0;
            if base >= free {
                free = base + TEXT + 0.8;
                placed.marks.push(written((to.0 + 1.5, base), letter(number), TEXT, Anchor::Start, true));
            }
        }
        placed.width = width;
        placed.height = at.1 - low.1 + 1.5;
        placed
    }

    fn lane(&self, on: &OnPaper, board: &Board, lane: &Lane, marks: &mut Vec<Mark>) {
        let high = lane.from + lane.width;
        for (index, piece) in lane.pieces.iter().enumerate() {
            let end = piece.from + piece.length;
            let (from, to) = (on.at(piece.from, lane.from), on.at(end, lane.from + piece.width));
            marks.push(Mark::Stroke { path: rectangle(from, to), line: LineType::Visible });
            if piece.width < lane.width {
                // The crosscut goes through the whole lane.
                marks.push(line(to, on.at(end, high), LineType::Visible));
            }
            let strip = self.plan.strips.get(piece.strip);
            let part = strip.and_then(|strip| self.made.parts.get(strip.part.0));
            let mark = part.map_or("", |part| part.mark.as_str());
            let number = index + 1;
            let long = format!("{number}: {mark} {}", self.figures.figure(piece.length));
            let mut texts = vec![long, format!("{number}: {mark}"), number.to_string()];
            if piece.width < lane.width {
                let wide = self.figures.figure(piece.width);
                texts.insert(0, format!("{}, {wide} wide", texts[0]));
                texts.insert(1, format!("{number}: {mark}, {wide} wide"));
            }
            inside(&texts, from, to, marks);
        }
        let end = lane.pieces.iter().map(|piece| piece.from + piece.length).max().unwrap_or_default();
        if lane.offcut.is_positive() {
            let figure = self.figures.figure(lane.offcut);
            inside(
                &[format!("left {figure}"), figure],
                on.at(end, lane.from),
                on.at(board.length, high),
                marks,
            );
        }
    }
}

/// Where a board lies on paper.
struct OnPaper {
    low: At,
    along: f64,
    across: f64,
}

impl OnPaper {
    fn at(&self, along: Length, across: Length) -> At {
        (self.low.0 + along.to_mm() * self.along, self.low.1 + across.to_mm() * self.across)
    }
}

/// Writes the first text that has room in a rectangle; none has where it is too small.
fn inside(texts: &[String], low: At, high: At, marks: &mut Vec<Mark>) {
    let (wide, tall) = (high.0 - low.0, high.1 - low.1);
    let fits = |text: &&String| width_of(text, TEXT, false) + 1.2 <= wide && TEXT + 0.8 <= tall;
    if let Some(text) = texts.iter().find(fits) {
        let at = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0 - TEXT / 2.0);
        marks.push(written(at, text.clone(), TEXT, Anchor::Middle, false));
    }
}

/// Where a board is ripped, from its first edge: beyond every lane but one that ends with the board.
fn rips(board: &Board) -> Vec<Length> {
    let edges = board.lanes.iter().map(|lane| lane.from + lane.width);
    edges.filter(|edge| *edge < board.width).collect()
}

fn letter(number: usize) -> String {
    let letter =
        u8::try_from(number).ok().filter(|number| *number < 26).map(|number| char::from(b'A' + number));
    letter.map_or_else(|| (number + 1).to_string(), String::from)
}
