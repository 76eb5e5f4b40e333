//! From the engine's layout, rip along x, to sheets as they are drawn: parts with their datum, cuts with what they give.

use std::collections::BTreeSet;

use super::request::{Blank, Members, Request, Row};
use super::sizes;
use super::{
    Along, CutKind, Matched, Nest, NestCut, NestSheet, NestedPart, Patch, Piece, What, quarter_turned,
};
use crate::boards::BoardId;
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, PartId};
use crate::plans::nest::{self, Fate, Fault, Panel, Rect, Run, SheetLayout};
use crate::shape::Point;
use crate::trade::Grain;
use crate::values::{SheetGrain, StockForm};

/// Lays a request out; what fits no sheet is told and left out.
pub(super) fn lay_out(made: &Made, asked: &Request, faults: &mut Faults) -> Option<Nest> {
    if asked.sheets.is_empty() {
        return None;
    }
    let mut items = asked.items.clone();
    let mut options = asked.options;
    // At most three rounds: once without the parts that are too large, once without the saw's limits.
    for _ in 0..3 {
        match sizes::cheapest(&items, &asked.sheets, &options) {
            Ok(layout) => return Some(Placing::new(made, asked).nest(&layout)),
            Err(found) => {
                for fault in found {
                    match fault {
                        Fault::ItemTooLarge { item, .. } | Fault::ItemSize { item } => {
                            if let (Some(none), Some(blank)) = (items.get_mut(item), asked.blanks.get(item)) {
                                none.quantity = 0;
                                (none.width, none.height) = (1, 1);
                                too_large(made, asked, blank, faults);
                            }
                        }
                        // The cuts that the saw cannot make are then marked as made by hand.
                        Fault::BeyondSaw { .. } => options.saw = nest::Saw::default(),
                        Fault::TooManyParts { .. }
                        | Fault::StockSize { .. }
                        | Fault::Kerf
                        | Fault::StockShort { .. } => {
                            let place = made.job.stock.get(asked.stock).map(|stock| stock.place);
                            let message = format!("the sheets cannot be laid out: {fault}");
                            faults.push(
                                Diagnostic::error("sheets-not-laid-out", place.unwrap_or_default(), message)
                                    .propose("look for a slip of the pen in the shop's kerf, trim or sizes"),
                            );
                            return None;
                        }
                    }
                }
            }
        }
    }
    None
}

/// Tells a blank that fits no sheet within its trims, unless it fits no sheet at all: then a check told so, but for sets, which
/// no check knows.
fn too_large(made: &Made, asked: &Request, blank: &Blank, faults: &mut Faults) {
    let Some(stock) = made.job.stock.get(asked.stock) else { return };
    let trim = made.job.shop.nesting.edge_trim.unwrap_or(Length::ZERO);
    let free =
        blank.grain == Grain::Free || matches!(stock.form, StockForm::Sheet { grain: SheetGrain::None, .. });
    let along_u = blank.grain != Grain::AlongV;
    let (along, across) = if along_u { (blank.width, blank.height) } else { (blank.height, blank.width) };
    let fits =
        |a: Length, b: Length| asked.sheets.iter().any(|s| a.units() <= s.width && b.units() <= s.height);
    let set = matches!(blank.members, Members::Row(_));
    let fits_a_sheet = fits(along, across) || (free && fits(across, along));
    if !set && !fits_a_sheet {
        return;
    }
    let largest = asked.sheets.iter().max_by_key(|s| i128::from(s.width) * i128::from(s.height));
    let units = made.job.units;
    let room = largest.map_or(String::new(), |s| {
        let within = |side: i64| tell(Length::from_units(side - 2 * s.trim), units);
        format!("{} along the grain and {} across", within(s.width), within(s.height))
    });
    let trimmed = if trim.is_positive() { " within its edge trims" } else { "" };
    let message = format!(
        "{} is {} along the grain and {} across as cut; a sheet of {} gives {room}{trimmed}",
        blank.called,
        tell(along, units),
        tell(across, units),
        stock.name
    );
    let fault = Diagnostic::error("larger-than-trimmed-sheet", blank.place, message)
        .also(stock.place, stock.name.clone());
    faults.push(if set {
        fault.propose("make two sets of it")
    } else {
        fault.propose("take less off the edges (edge_trim:), make it smaller, or take larger stock")
    });
}

/// Turns layouts of one request into sheets.
struct Placing<'a> {
    made: &'a Made,
    asked: &'a Request,
    /// How many of each blank have been placed.
    placed: Vec<usize>,
}

/// A cut before it has its number, in the engine's directions.
struct Sawn {
    stage: usize,
    run: Run,
    at: i64,
    from: i64,
    to: i64,
    setting: i64,
    /// What the order goes by within a stage: the setting, but no cut of a piece before those on its left.
    order: i64,
    by_hand: bool,
    gives: Vec<(Rect, What)>,
}

impl<'a> Placing<'a> {
    fn new(made: &'a Made, asked: &'a Request) -> Self {
        Self { made, asked, placed: vec![0; asked.blanks.len()] }
    }

    fn nest(mut self, layout: &nest::Layout) -> Nest {
        let sheets: Vec<NestSheet> = layout.sheets.iter().filter_map(|sheet| self.sheet(sheet)).collect();
        let cuts = sheets.iter().flat_map(|sheet| &sheet.cuts).filter(|cut| cut.kind != CutKind::Trim);
        let settings: BTreeSet<Length> = cuts.map(|cut| cut.setting).collect();
        Nest {
            stock: self.asked.stock,
            bound: layout.bound,
            settings: settings.len(),
            kerf: Length::from_units(self.asked.options.kerf),
            sheets,
        }
    }

    fn along(&self, run: Run) -> Along {
        match run {
            Run::AlongX => self.asked.rips,
            Run::AlongY => self.asked.rips.across(),
        }
    }

    /// A rectangle of the engine as it lies on the sheet.
    fn patch(&self, rect: Rect) -> Patch {
        let [x, y, width, height] = [rect.x, rect.y, rect.width, rect.height].map(Length::from_units);
        match self.asked.rips {
            Along::Width => Patch { x, y, width, length: height },
            Along::Length => Patch { x: y, y: x, width: height, length: width },
        }
    }

    fn sheet(&mut self, layout: &SheetLayout) -> Option<NestSheet> {
        let stock = self.asked.sheets.get(layout.stock)?;
        let whole = self.patch(Rect { x: 0, y: 0, width: stock.width, height: stock.height });
        let mut parts = Vec::new();
        // For each of the engine's parts: its first of ours, and the rows to be cut up further.
        let mut firsts = Vec::new();
        for placed in &layout.parts {
            firsts.push(parts.len());
            self.put(placed, &mut parts);
        }
        let mut cuts = self.trims(layout);
        let walk = Walk { placing: self, layout, firsts: &firsts };
        walk.panel(&layout.panel, 1, &mut cuts);
        cuts.sort_by_key(|cut| (cut.stage, cut.run, -cut.order));
        let numbered = cuts.iter().enumerate().map(|(index, cut)| self.cut(index + 1, cut));
        Some(NestSheet {
            number: 0,
            width: whole.width,
            length: whole.length,
            from_rack: stock.count.is_some(),
            trim: Length::from_units(stock.trim),
            rips: self.asked.rips,
            cuts: numbered.collect(),
            offcuts: layout.offcuts.iter().map(|rect| self.patch(*rect)).collect(),
            parts,
        })
    }

    fn cut(&self, number: usize, cut: &Sawn) -> NestCut {
        let kind = match (cut.stage, cut.run) {
            (0, _) => CutKind::Trim,
            (_, Run::AlongX) => CutKind::Rip,
            (_, Run::AlongY) => CutKind::Crosscut,
        };
        NestCut {
            number,
            stage: cut.stage,
            kind,
            along: self.along(cut.run),
            at: Length::from_units(cut.at),
            from: Length::from_units(cut.from),
            to: Length::from_units(cut.to),
            setting: Length::from_units(cut.setting),
            by_hand: cut.by_hand,
            gives: cut.gives.iter().map(|&(rect, what)| Piece { patch: self.patch(rect), what }).collect(),
        }
    }

    fn trims(&self, layout: &SheetLayout) -> Vec<Sawn> {
        let trims = layout.cuts.iter().filter(|cut| cut.stage == 0);
        let sawn = |cut: &nest::Cut| Sawn {
            stage: 0,
            run: cut.run,
            at: cut.at,
            from: cut.from,
            to: cut.to,
            setting: cut.setting,
            order: 0,
            by_hand: self.too_long(cut.run, cut.from, cut.to),
            gives: Vec::new(),
        };
        trims.map(sawn).collect()
    }

    fn too_long(&self, run: Run, from: i64, to: i64) -> bool {
        let most = self.asked.options.saw.crosscut;
        run == Run::AlongY && most.is_some_and(|most| to - from > most)
    }

    fn beyond_saw(&self, run: Run, (from, to): (i64, i64), setting: i64, beyond: i64) -> bool {
        let rip = self.asked.options.saw.rip;
        let too_wide = run == Run::AlongX && rip.is_some_and(|rip| setting.min(beyond) > rip);
        too_wide || self.too_long(run, from, to)
    }

    /// Whether the width of a blank's drawing lies along x of the sheet.
    fn upright(&self, blank: &Blank, turned: bool) -> bool {
        let of = self.made.job.stock.get(self.asked.stock);
        let bare = of.is_some_and(|s| matches!(s.form, StockForm::Sheet { grain: SheetGrain::None, .. }));
        let along_rip = bare || blank.grain != Grain::AlongV;
        (along_rip != turned) == (self.asked.rips == Along::Width)
    }

    /// The parts of one blank, in their places.
    fn put(&mut self, placed: &nest::Placed, parts: &mut Vec<NestedPart>) {
        let Some(blank) = self.asked.blanks.get(placed.item) else { return };
        let patch = self.patch(placed.rect);
        let turns = u8::from(!self.upright(blank, placed.turned));
        match &blank.members {
            Members::Copies { part, boards, low } => {
                let Some(count) = self.placed.get_mut(placed.item) else { return };
                let Some(board) = boards.get(*count) else { return };
                *count += 1;
                parts.push(self.part(*part, *board, patch, *low, turns, None));
            }
            Members::Row(row) => {
                for (index, (member, rect)) in row.members.iter().zip(self.pieces(row, placed)).enumerate() {
                    let matched = Matched { set: row.set.clone(), place: index + 1, of: row.members.len() };
                    let turns = (turns + member.quarter_turns) % 4;
                    parts.push(self.part(
                        member.part,
                        member.board,
                        self.patch(rect),
                        member.low,
                        turns,
                        Some(matched),
                    ));
                }
            }
        }
    }

    fn part(
        &self,
        part: PartId,
        board: BoardId,
        patch: Patch,
        low: Point,
        quarter_turns: u8,
        matched: Option<Matched>,
    ) -> NestedPart {
        // The corner of what is cut that comes to lie lower left.
        let (wide, high) = if quarter_turns.is_multiple_of(2) {
            (patch.width, patch.length)
        } else {
            (patch.length, patch.width)
        };
        let corners =
            [(low.x, low.y), (low.x + wide, low.y + high)].map(|(u, v)| quarter_turned(u, v, quarter_turns));
        let [one, other] = corners;
        let datum = (patch.x - one.0.min(other.0), patch.y - one.1.min(other.1));
        NestedPart { part, board, patch, datum, quarter_turns, matched }
    }

    /// Which way a row lies in the engine's directions, and whether it lies backwards.
    fn row_lies(&self, row: &Row, placed: &nest::Placed) -> (Run, bool) {
        let Some(blank) = self.asked.blanks.get(placed.item) else { return (Run::AlongX, false) };
        let upright = self.upright(blank, placed.turned);
        let along = if row.along_u == upright { Along::Width } else { Along::Length };
        // A quarter turn counter-clockwise lays v along x backwards.
        let backwards = !upright && !row.along_u;
        (if along == self.asked.rips { Run::AlongX } else { Run::AlongY }, backwards)
    }

    /// The rectangles of a row's members, in the engine's directions.
    fn pieces(&self, row: &Row, placed: &nest::Placed) -> Vec<Rect> {
        let (lies, backwards) = self.row_lies(row, placed);
        let rect = placed.rect;
        let end = if lies == Run::AlongX { rect.width } else { rect.height };
        let mut at = 0;
        let piece = |member: &super::request::Member| {
            let size = member.size.units();
            let begin = if backwards { end - at - size } else { at };
            at += size + self.asked.options.kerf;
            match lies {
                Run::AlongX => Rect { x: rect.x + begin, width: size, ..rect },
                Run::AlongY => Rect { y: rect.y + begin, height: size, ..rect },
            }
        };
        row.members.iter().map(piece).collect()
    }
}

/// Goes through the panels of a sheet and lists the cuts.
struct Walk<'a> {
    placing: &'a Placing<'a>,
    layout: &'a SheetLayout,
    firsts: &'a [usize],
}

impl Walk<'_> {
    fn what(&self, panel: &Panel) -> What {
        match &panel.fate {
            Fate::Part(index) => match self.row(*index) {
                Some(_) => What::Again,
                None => self.firsts.get(*index).map_or(What::Waste, |first| What::Part(*first)),
            },
            Fate::Offcut => {
                let at = self.layout.offcuts.iter().position(|rect| *rect == panel.rect);
                at.map_or(What::Waste, What::Offcut)
            }
            Fate::Waste => What::Waste,
            Fate::Cut(..) => What::Again,
        }
    }

    fn row(&self, index: usize) -> Option<(&Row, &nest::Placed)> {
        let placed = self.layout.parts.get(index)?;
        match &self.placing.asked.blanks.get(placed.item)?.members {
            Members::Row(row) => Some((row, placed)),
            Members::Copies { .. } => None,
        }
    }

    fn panel(&self, panel: &Panel, stage: usize, cuts: &mut Vec<Sawn>) {
        match &panel.fate {
            Fate::Cut(run, pieces) => {
                let given: Vec<(Rect, What)> = pieces.iter().map(|p| (p.rect, self.what(p))).collect();
                self.divide(panel.rect, *run, &given, stage, cuts);
                pieces.iter().for_each(|piece| self.panel(piece, stage + 1, cuts));
            }
            Fate::Part(index) => {
                let Some((row, placed)) = self.row(*index) else { return };
                let (lies, _) = self.placing.row_lies(row, placed);
                let run = if lies == Run::AlongX { Run::AlongY } else { Run::AlongX };
                let first = self.firsts.get(*index).copied().unwrap_or(0);
                let pieces = self.placing.pieces(row, placed);
                let mut given: Vec<(Rect, What)> =
                    pieces.into_iter().enumerate().map(|(at, rect)| (rect, What::Part(first + at))).collect();
                given.sort_by_key(|(rect, _)| (rect.x, rect.y));
                self.divide(panel.rect, run, &given, stage, cuts);
            }
            Fate::Offcut | Fate::Waste => {}
        }
    }

    /// The cuts of a piece into these, from the lower left.
    fn divide(&self, whole: Rect, run: Run, pieces: &[(Rect, What)], stage: usize, cuts: &mut Vec<Sawn>) {
        let span = |rect: &Rect| match run {
            Run::AlongX => (rect.y, rect.y + rect.height),
            Run::AlongY => (rect.x, rect.x + rect.width),
        };
        let (from, to) = match run {
            Run::AlongX => (whole.x, whole.x + whole.width),
            Run::AlongY => (whole.y, whole.y + whole.height),
        };
        let (_, end) = span(&whole);
        let mut order = i64::MAX;
        for (index, piece) in pieces.iter().enumerate() {
            let (begin, at) = span(&piece.0);
            if at >= end {
                continue;
            }
            let mut gives = vec![*piece];
            // What the last cut leaves needs no cut of its own.
            gives.extend(pieces.get(index + 1).filter(|next| span(&next.0).1 >= end));
            let setting = at - begin;
            let by_hand =
                self.placing.beyond_saw(run, (from, to), setting, end - at - self.placing.asked.options.kerf);
            order = order.min(setting);
            cuts.push(Sawn { stage, run, at, from, to, setting, order, by_hand, gives });
        }
    }
}
