//! What a part's sheet says in words: the facts at the head, the schedule of cuts, the kinds of hole and their table.
//! Sizes that the view gives already are repeated in parentheses only. Knows no paper.

pub use super::cut_marks::*;
use super::dimension::{bore_letter, letter};
use super::drawn::*;
use super::edge_detail::repeated;
use super::figures::Figures;
use super::hand::hand;
use super::hole_sets::{self, HoleSet};
use super::own_notches::own_notches;
use super::revision::Revised;
use super::scribes::{datum_words, in_files};
use super::seated::reaches_into;
use crate::boards::{Arris, BoardId, Other, Pocket, Profile};
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Length;
use crate::parts::{Made, Part, Placed};
use crate::revise::Kind;
use crate::shape::Outline;
use crate::trade::{Face, FaceFrame, Grain, Side};
use crate::values::StockForm;

/// A head word and what follows it.
pub type Fact = (String, String);

pub struct Words<'a> {
    pub made: &'a Made,
    pub part: &'a Part,
    pub plan: &'a Plan,
    pub figures: Figures,
    /// What a revision changed; empty where none did.
    pub revised: &'a Revised,
    /// What it weighs, where it is fixed and where it must be free.
    pub service: Vec<Fact>,
}

impl Words<'_> {
    /// The frame of the first board that is this part, as the assembly's own views show it.
    pub fn frame(&self) -> Option<FaceFrame> {
        let first = self.part.boards.first()?;
        self.made.placed.get(first.0).map(|p| self.own_frame(p))
    }

    /// A board's frame before its assembly is turned in the room: the sides that the assembly's views have.
    fn own_frame(&self, placed: &Placed) -> FaceFrame {
        let assembly = self.made.job.assemblies.get(placed.board.assembly);
        let back = assembly.map_or(0, |a| 4 - a.turns % 4);
        let frame = placed.frame;
        FaceFrame { u: frame.u.turned(back), v: frame.v.turned(back), into: frame.into.turned(back), ..frame }
    }

    pub(super) fn board(&self, id: BoardId) -> &str {
        self.made.placed.get(id.0).map_or("?", |p| p.board.name.as_str())
    }

    /// Facts at the head of the sheet, in the order in which they are asked for.
    pub fn facts(&self) -> Vec<Fact> {
        let mut all = Vec::new();
        let mut say = |head: &str, text: String| all.push((head.to_owned(), text));
        if !self.revised.told.is_empty() {
            say(self.revised.sign.trim(), self.revised.told.join("; "));
        }
        say("STOCK", self.stock());
        say("BOARDS", self.boards());
        if let Some(pair) = self.pair() {
            say("PAIR", pair);
        }
        say("FACE", self.face());
        let grain = match self.part.grain {
            Grain::AlongU => "↔ across the view",
            Grain::AlongV => "↕ up the view",
            Grain::Free => "any way",
        };
        if let Some(datum) = datum_words(self.part, &self.figures) {
            say("DATUM", datum);
        }
        if let Some(told) = in_files(self.made, self.part, &self.figures) {
            say("DXF", told);
        }
        say("GRAIN", grain.to_owned());
        say("FINISH", self.part.finish.clone().unwrap_or_else(|| "none given".to_owned()));
        for (i, edge) in self.part.edges.iter().enumerate() {
            if let Some(finish) = &edge.finish {
                say("EDGE", format!("{} {}", edge_mark(i), finish));
            }
        }
        self.service.iter().for_each(|(head, text)| say(head, text.clone()));
        for note in &self.part.notes {
            say("NOTE", note.clone());
        }
        self.joint_notes().into_iter().for_each(|note| say("NOTE", note));
        all
    }

    fn stock(&self) -> String {
        let thick = self.figures.print(self.part.thick).both();
        let Some(stock) = self.made.job.stock.get(self.part.stock) else { return thick };
        let called = stock.called.clone().unwrap_or_else(|| stock.name.clone());
        let kind = match stock.form {
            StockForm::Sheet { .. } => "sheet",
            StockForm::Solid { .. } => "solid",
        };
        let species = stock.species.as_ref().map(|s| format!(", {s}")).unwrap_or_default();
        format!("{called}{species}, {kind}, ACTUAL {thick} thick")
    }

    /// Which of a pair this is.
    fn pair(&self) -> Option<String> {
        let other = self.made.parts.get(self.part.pair?.0)?;
        let hand = hand(self.made, self.part)?;
        Some(format!("{hand}, mirror image of {} {}: never flip one for the other", other.mark, other.name))
    }

    /// Where the drawn face and edges lie in place; boards of the part that stand another way round are told apart.
    fn face(&self) -> String {
        let mut ways: Vec<(FaceFrame, Vec<&str>)> = Vec::new();
        for id in &self.part.boards {
            let Some(placed) = self.made.placed.get(id.0) else { continue };
            let own = self.own_frame(placed);
            let same = |f: &FaceFrame| f.u == own.u && f.v == own.v && f.into == own.into;
            match ways.iter_mut().find(|(f, _)| same(f)) {
                Some((_, boards)) => boards.push(self.board(*id)),
                None => ways.push((own, vec![self.board(*id)])),
            }
        }
        let told = ways.iter().enumerate().map(|(i, (frame, boards))| {
            let way = format!(
                "in place it looks {}, upper edge {}, right edge {}",
                upper(frame.show()),
                upper(frame.v),
                upper(frame.u)
            );
            if i == 0 { way } else { format!("{}: {way}", boards.join(", ")) }
        });
        format!("seen on the SHOW FACE; {}", told.collect::<Vec<_>>().join("; "))
    }

    /// The schedule of notches, slots, recesses, openings, edges and bevels.
    pub fn cuts(&self, height: f64) -> Option<Table> {
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        let size = |outline: &Outline| {
            let extents = outline.extents();
            let figure = |length| self.figures.figure(length);
            format!("({} × {})", figure(extents.width()), figure(extents.height()))
        };
        for (i, cut) in self.part.cuts.iter().enumerate() {
            let fit = if cut.fit == Length::ZERO {
                String::new()
            } else {
                format!(", fit {} where it bears", self.figures.figure(cut.fit))
            };
            rows.push(vec![
                self.changed(Kind::Cut(cut.kind), i, cut_mark(i)),
                format!("{} {} through", cut.kind.word(), size(&cut.outline)).into(),
                format!("for {}{fit}", self.board(cut.by)).into(),
            ]);
        }
        for (i, notch) in own_notches(self.part).iter().enumerate() {
            rows.push(vec![
                Cell::bold(step_mark(i)),
                format!("notch {} through", size(notch)).into(),
                "of the part's own outline".into(),
            ]);
        }
        for (i, pocket) in self.part.pockets.iter().enumerate() {
            let depth = format!("{} DEEP", self.plan.printed(What::Depth(i)));
            let from = match pocket.from {
                Face::Show => "from SHOW FACE",
                Face::Back => "FROM BACK",
            };
            let what = self.housed(pocket);
            rows.push(vec![
                self.changed(Kind::Recess(pocket.kind), i, recess_mark(pocket.kind, i)),
                format!("{} {}, {depth}", pocket.kind.word(), size(&pocket.outline)).into(),
                format!("{from}{what}{}", beside("; ", &pocket.note)).into(),
            ]);
        }
        for (i, opening) in self.lone_openings() {
            rows.push(vec![
                self.changed(Kind::Opening, i, opening_mark(i)),
                format!("opening {} through", size(opening)).into(),
                beside("", self.part.inside_notes.get(i).unwrap_or(&None)).into(),
            ]);
        }
        for (i, edge) in self.part.edges.iter().enumerate() {
            if let Some(row) = self.edge_row(i, edge) {
                rows.push(row);
            }
        }
        for (i, bevel) in self.part.bevels.iter().enumerate() {
            let long = match bevel.long {
                Face::Show => "show face the longer",
                Face::Back => "back face the longer",
            };
            rows.push(vec![
                self.changed(Kind::Bevel, i, bevel_mark(i)),
                format!("bevel ({} off square), see detail", self.plan.printed(What::BevelAngle(i))).into(),
                format!("{long}; outline is that of the longer face").into(),
            ]);
        }
        let columns = ["", "CUT", "WHERE, WHAT FOR"].map(Column::words);
        (!rows.is_empty()).then(|| Table { title: "CUTS".into(), columns: columns.to_vec(), rows, height })
    }

    /// The mark of something worked, with the sign where a revision changed it.
    fn changed(&self, kind: Kind, index: usize, mark: String) -> Cell {
        Cell::bold(format!("{mark}{}", self.revised.beside(kind, index)))
    }

    fn edge_row(&self, i: usize, edge: &crate::boards::Edge) -> Option<Vec<Cell>> {
        let on = |arris: Arris| match arris {
            Arris::Show => "show arris",
            Arris::Back => "BACK arris",
            Arris::Both => "both arrises",
        };
        let (word, size, whereabouts) = match edge.profile {
            Some((profile, arris)) => {
                let (word, place) = match profile {
                    Profile::Chamfer { .. } => ("chamfer", on(arris)),
                    Profile::Round { .. } => ("round", on(arris)),
                    Profile::Rebate { .. } => ("rebate", on(arris)),
                    Profile::Bevel { .. } if arris == Arris::Back => ("bevel", "back face the shorter"),
                    Profile::Bevel { .. } => ("bevel", "show face the shorter"),
                };
                (word, repeated(&self.figures, profile), place.to_owned())
            }
            None if edge.scribe != Length::ZERO => ("scribe", String::new(), String::new()),
            None if edge.finish.is_some() => {
                return Some(vec![
                    self.changed(Kind::Edge, i, edge_mark(i)),
                    "edge".into(),
                    edge.finish.clone().unwrap_or_default().into(),
                ]);
            }
            None => return None,
        };
        if edge.scribe == Length::ZERO {
            let row = [
                self.changed(Kind::Edge, i, edge_mark(i)),
                format!("{word} {size}, see detail").into(),
                whereabouts.into(),
            ];
            return Some(row.to_vec());
        }
        let net = if edge.from.x == edge.to.x { self.part.width } else { self.part.height };
        let left_on = self.plan.printed(What::Scribe(i));
        let scribe = format!(
            "SCRIBE on site: net {}, cut {}",
            self.figures.figure(net),
            self.figures.figure(net + edge.scribe)
        );
        let size = if size.is_empty() { String::new() } else { format!(" {size}, see detail;") };
        let cut = format!("{word}{size} + ({left_on}) LEFT ON");
        let whereabouts = if whereabouts.is_empty() { scribe } else { format!("{whereabouts}; {scribe}") };
        Some(vec![self.changed(Kind::Edge, i, edge_mark(i)), cut.into(), whereabouts.into()])
    }

    /// What sits in a recess: the boards of its line that reach into it, in every board that is this part, and the fit.
    fn housed(&self, pocket: &Pocket) -> String {
        let mut boards: Vec<BoardId> = Vec::new();
        let mut fits: Vec<Length> = Vec::new();
        for joint in self.made.joints.iter().filter(|j| j.place == pocket.place) {
            let Other::Board(host) = joint.second else { continue };
            if !self.part.boards.contains(&host) {
                continue;
            }
            let (Some(host), Some(guest)) =
                (self.made.placed.get(host.0), self.made.placed.get(joint.first.0))
            else {
                continue;
            };
            if reaches_into(pocket, self.part.thick, host, guest) {
                boards.push(joint.first);
                fits.push(joint.fit);
            }
        }
        boards.sort();
        boards.dedup();
        fits.sort();
        fits.dedup();
        let names: Vec<&str> = boards.iter().map(|b| self.board(*b)).collect();
        let fit = match fits.as_slice() {
            [fit] if *fit != Length::ZERO => format!(", fit {}", self.figures.figure(*fit)),
            _ => String::new(),
        };
        if names.is_empty() { fit } else { format!(", for {}{fit}", names.join(", ")) }
    }

    /// Openings that no slot of a joint accounts for.
    pub fn lone_openings(&self) -> impl Iterator<Item = (usize, &Outline)> {
        let is_cut = |o: &Outline| self.part.cuts.iter().any(|c| c.outline.extents() == o.extents());
        self.part.inside.iter().enumerate().filter(move |(_, o)| !is_cut(o))
    }

    /// Running dimensions that found no room beside the view.
    pub fn running_table(&self, along: Along, left_over: &[What], height: f64) -> Table {
        let word = if along == Along::Across { "ACROSS" } else { "UP" };
        let rows = left_over.iter().enumerate().filter_map(|(i, what)| {
            let dimension = self.plan.dimension(*what)?;
            Some(vec![(i + 1).to_string().into(), Cell::from(dimension.figure())])
        });
        Table {
            title: format!("RUNNING DIMENSIONS {word}, from the datum, in the order of the lines"),
            columns: vec![Column::numbers(""), Column::numbers(word)],
            rows: rows.collect(),
            height,
        }
    }

    /// Kinds of hole and pocket bore.
    pub fn kinds(&self) -> Vec<Fact> {
        let mut all = Vec::new();
        for (i, kind) in self.plan.drawn.kinds.iter().enumerate() {
            let count = self.plan.drawn.holes.iter().filter(|h| h.kind == i).count();
            let depth = if kind.through {
                "THROUGH".to_owned()
            } else {
                format!("{} deep", self.plan.printed(What::HoleDepth(i)))
            };
            let sunk = if kind.countersunk {
                format!(", countersink Ø {}", self.plan.printed(What::Countersink(i)))
            } else {
                String::new()
            };
            let diameter = self.plan.printed(What::HoleDiameter(i));
            let notes = kind.notes.iter().map(|note| format!("; {note}")).collect::<String>();
            let long = self.plan.printed(What::SlotLength(i));
            let size = match kind.slot {
                Some(along) => format!("SLOT {diameter} wide, {long} LONG {} the view", along.word()),
                None => format!("Ø {diameter}"),
            };
            let text = format!("{count} × {size}, {depth}{sunk}, {}; {}{notes}", from(kind.from), kind.why);
            all.push((letter(i), text));
        }
        for (i, kind) in self.plan.drawn.bore_kinds.iter().enumerate() {
            let count = self.plan.drawn.bores.iter().filter(|b| b.kind == i).count();
            let diameter = self.plan.printed(What::BoreDiameter(i));
            let exit = self.plan.printed(What::BoreExit(i));
            let text = match kind {
                BoreKindDrawn::Pocket(face) => format!(
                    "{count} × pocket bore Ø {diameter} at {} to the face, {}; axis leaves the edge {exit} below the show face",
                    self.plan.printed(What::BoreAngle(i)),
                    from(*face),
                ),
                BoreKindDrawn::Dowel => format!(
                    "{count} × dowel hole Ø {diameter}, {} deep, into the edge; axis {exit} below the show face",
                    self.plan.printed(What::BoreDepth(i)),
                ),
            };
            all.push((bore_letter(i), text));
        }
        all
    }

    /// Places of holes where they are many.
    pub fn hole_table(&self, height: f64) -> Option<Table> {
        if !self.plan.hole_table {
            return None;
        }
        let at = |place: Where| match place {
            Where::Datum => "0".to_owned(),
            Where::By(what) => match self.plan.dimension(what) {
                Some(dimension) => dimension.figure(),
                None => "?".to_owned(),
            },
        };
        let row = |name: String, spot: Spot| vec![Cell::bold(name), at(spot.0).into(), at(spot.1).into()];
        let drawn = &self.plan.drawn;
        let (sets, alone) = hole_sets::sets(self.part, self.plan, &self.figures);
        let is_changed = |set: &HoleSet, along: Along| {
            let figure = |hole: &usize| self.plan.dimension(What::HoleAt(along, *hole));
            set.holes.iter().filter_map(figure).any(|dimension| !dimension.changed.is_empty())
        };
        let place = |set: &HoleSet, along: Along| {
            let places = if along == Along::Across { &set.across } else { &set.up };
            let sign = if is_changed(set, along) { self.revised.sign.as_str() } else { "" };
            Cell::from(format!("{}{sign}", hole_sets::told(places, &self.figures)))
        };
        let together = sets.iter().map(|set| {
            let (letter, numbers) = (letter(set.kind), &set.numbers);
            let name = format!("{letter}{}–{letter}{}", numbers.start, numbers.end - 1);
            vec![Cell::bold(name), place(set, Along::Across), place(set, Along::Up)]
        });
        let mut bores: Vec<_> = drawn.bores.iter().collect();
        bores.sort_by_key(|b| (b.kind, b.number));
        let is_counted = hole_sets::named(self.part, self.plan, &alone).len() < alone.len();
        let alone = alone.iter().filter_map(|i| drawn.holes.get(*i)).map(|h| row(hole_name(h), h.at));
        let bores = bores.iter().map(|b| row(bore_name(b), b.leaves));
        let columns = vec![Column::words(""), Column::numbers("ACROSS"), Column::numbers("UP")];
        let mut title =
            "HOLES from the datum, numbered row by row upwards, each row from the left".to_owned();
        if !drawn.bores.is_empty() {
            title.push_str("; holes into an edge: where they leave it");
        }
        if !sets.is_empty() {
            title.push_str("; sets: a hole at every crossing, first + steps × pitch = last");
        }
        if is_counted {
            title.push_str("; of a long row the ends are named");
        }
        let rows = together.chain(alone).chain(bores).collect();
        Some(Table { title, columns, rows, height })
    }
}

/// A note where there is one, behind what goes before.
fn beside(before: &str, note: &Option<String>) -> String {
    note.as_ref().map(|note| format!("{before}{note}")).unwrap_or_default()
}

fn from(face: Face) -> &'static str {
    match face {
        Face::Show => "from SHOW FACE",
        Face::Back => "FROM BACK",
    }
}

pub fn upper(side: Side) -> String {
    side.word().to_uppercase()
}
