//! What the layout of a sheet of sheet goods says in words: its head, the cutting order, the parts on it. Knows no paper.

use std::collections::BTreeMap;

use super::figures::Figures;
use super::part_sheet::said;
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::plans::nests::{Along, CutKind, Nest, NestCut, NestSheet, NestedPart, Piece, What};
use crate::values::{SheetGrain, StockForm};

/// A box to tick.
pub const TICK_BOX: &str = "\u{2610}";

/// One sheet and what it belongs to.
pub struct NestWords<'a> {
    pub made: &'a Made,
    pub nest: &'a Nest,
    pub sheet: &'a NestSheet,
    /// Place in its nest, from 1.
    pub place: usize,
    pub figures: Figures,
}

impl NestWords<'_> {
    /// What the trade calls the stock.
    pub fn stock(&self) -> String {
        let stock = self.made.job.stock.get(self.nest.stock);
        stock.map_or(String::new(), |s| s.called.clone().unwrap_or_else(|| said(&s.name)))
    }

    pub fn has_grain(&self) -> bool {
        let stock = self.made.job.stock.get(self.nest.stock);
        !stock.is_some_and(|s| matches!(s.form, StockForm::Sheet { grain: SheetGrain::None, .. }))
    }

    fn figure(&self, length: Length) -> String {
        self.figures.print(length).both()
    }

    fn size(&self, width: Length, length: Length) -> String {
        format!("{} × {}", self.figure(width), self.figure(length))
    }

    pub fn part(&self, placed: &NestedPart) -> Option<&Part> {
        self.made.parts.get(placed.part.0)
    }

    /// Mark and name of a part.
    pub fn called(&self, id: PartId) -> String {
        self.made.parts.get(id.0).map_or(String::new(), |part| format!("{} {}", part.mark, said(&part.name)))
    }

    pub fn title(&self) -> String {
        format!("sheet {}: {}", self.sheet.number, self.stock())
    }

    /// The head of the sheet: what to take and how to lay it on the saw.
    pub fn facts(&self) -> Vec<(String, String)> {
        let (nest, sheet) = (self.nest, self.sheet);
        let mut all = Vec::new();
        let mut say = |head: &str, text: String| all.push((head.to_owned(), text));
        let thick = self.made.job.stock.get(nest.stock).map_or(Length::ZERO, |stock| stock.thick);
        say("STOCK", format!("{}, ACTUAL {} thick", self.stock(), self.figure(thick)));
        let from = if sheet.from_rack { "OFFCUT FROM THE RACK, " } else { "" };
        say("TAKE", format!("{from}{}", self.size(sheet.width, sheet.length)));
        let bought = nest.bought().count();
        let racked = nest.sheets.len() - bought;
        let mut count = format!("{} of {} of this stock", self.place, nest.sheets.len());
        if racked > 0 {
            count += &format!(" ({racked} from the rack)");
        }
        count += &match nest.bound {
            bound if bound == nest.sheets.len() => "; no layout takes fewer".to_owned(),
            bound => format!("; none takes fewer than {bound}"),
        };
        say("SHEET", count);
        if let Some(how) = self.chosen() {
            say("CHOSEN", how.to_owned());
        }
        say("USED", format!("{:.0} % of its area is parts", 100.0 * sheet.share_used()));
        say("SETTINGS", format!("{} of the fence over all sheets of this stock", nest.settings));
        let kerf = self.figure(nest.kerf);
        say(
            "KERF",
            match self.made.job.shop.kerf {
                _ if nest.kerf > self.made.job.kerf() => {
                    let shop = self.made.job.apart(nest.stock).1.map_or("", |shop| shop.name.as_str());
                    let saw = self.figure(self.made.job.kerf());
                    format!("{kerf} between all pieces, for the bit of {}; the saw takes {saw}", said(shop))
                }
                Some(_) => format!("{kerf} between all pieces"),
                None => format!(
                    "none given: the usual {kerf} is taken between all pieces; measure the blade's cut"
                ),
            },
        );
        if sheet.trim.is_positive() {
            say("TRIM", format!("{} off all four edges first, kerf included", self.figure(sheet.trim)));
        }
        // Common practice: teeth that come out upwards tear the upper face, teeth that go in from above do not.
        say(
            "FACE",
            "drawn GOOD FACE UP. Table saw: good face up. Hand-held circular saw: good face down, and left and right change"
                .to_owned(),
        );
        say(
            "DATUM",
            "black corner: the part's own datum corner, show face up; no part is flipped".to_owned(),
        );
        if sheet.cuts.iter().any(|cut| cut.by_hand) {
            let text = "with a hand-held saw along a guide, beyond the saw of the shop";
            say("BY HAND", text.to_owned());
        }
        for set in self.sets() {
            say("GRAIN RUNS ON", set);
        }
        all
    }

    /// How sizes were chosen, where a stock is sold in several.
    fn chosen(&self) -> Option<&'static str> {
        let sizes = self.made.job.sheet_sizes(self.made.job.stock.get(self.nest.stock)?);
        let priced = sizes.iter().filter(|size| size.price.is_some()).count();
        match (sizes.len(), priced) {
            (0 | 1, _) => None,
            (all, priced) if all == priced => Some("of the sizes sold those that cost least together"),
            (_, 0) => Some("of the sizes sold those of least area together; no prices are given"),
            _ => Some("of the sizes sold those of least area together; not every size has a price"),
        }
    }

    /// Every set on the sheet, in order.
    fn sets(&self) -> Vec<String> {
        let mut sets: BTreeMap<&str, Vec<(usize, String)>> = BTreeMap::new();
        for placed in &self.sheet.parts {
            if let Some(set) = &placed.matched {
                sets.entry(&set.set).or_default().push((set.place, self.board(placed)));
            }
        }
        let told = |(set, mut all): (&str, Vec<(usize, String)>)| {
            all.sort();
            let names: Vec<String> = all.into_iter().map(|(_, name)| name).collect();
            format!("{}: {}; mark a triangle over all before the cut", said(set), names.join(" | "))
        };
        sets.into_iter().map(told).collect()
    }

    fn board(&self, placed: &NestedPart) -> String {
        self.made.placed.get(placed.board.0).map_or(String::new(), |p| p.board.name.clone())
    }

    /// The order of the cuts, each with the setting of the fence and a box to tick.
    pub fn order(&self, height: f64) -> Table {
        let row = |cut: &NestCut| {
            let what =
                if cut.by_hand { format!("{}, BY HAND", cut.kind.word()) } else { cut.kind.word().into() };
            vec![
                Cell::bold(cut.number.to_string()),
                what.into(),
                self.comes_from(cut).into(),
                Cell::bold(self.figure(cut.setting)),
                self.gives(cut).into(),
                TICK_BOX.into(),
            ]
        };
        Table {
            title: "CUTTING ORDER: rip, fence to blade; crosscut, stop to blade; the piece that is named lies against it".to_owned(),
            columns: vec![
                Column::numbers("CUT"),
                Column::words("WHAT"),
                Column::words("OF"),
                Column::numbers("SETTING"),
                Column::words("GIVES"),
                Column::marks(""),
            ],
            rows: self.sheet.cuts.iter().map(row).collect(),
            height,
        }
    }

    /// The piece that a cut is made in, by the cut that made it.
    fn comes_from(&self, cut: &NestCut) -> String {
        if cut.stage <= 1 {
            return "sheet".to_owned();
        }
        let (low, high) = (cut.from, cut.to);
        let holds = |piece: &Piece| {
            let (from, to) = piece.patch.span(cut.along);
            let (near, far) = piece.patch.span(cut.along.across());
            piece.what == What::Again && from == low && to == high && near < cut.at && cut.at < far
        };
        let made =
            self.sheet.cuts.iter().find(|other| {
                other.stage > 0 && other.stage + 1 == cut.stage && other.gives.iter().any(holds)
            });
        made.map_or_else(|| "rest".to_owned(), |other| format!("cut {}", other.number))
    }

    fn gives(&self, cut: &NestCut) -> String {
        if cut.kind == CutKind::Trim {
            return "clean edge".to_owned();
        }
        let told = |piece: &Piece| {
            let size = || self.size(piece.patch.width, piece.patch.length);
            match piece.what {
                What::Part(index) => {
                    self.sheet.parts.get(index).map_or(String::new(), |placed| self.called(placed.part))
                }
                What::Offcut(_) => format!("OFFCUT {}", size()),
                What::Waste => "waste".to_owned(),
                What::Again => format!("strip {}", size()),
            }
        };
        cut.gives.iter().map(told).collect::<Vec<_>>().join("; left: ")
    }

    /// The parts on the sheet, equal ones counted, each with as many boxes to tick.
    pub fn parts(&self, height: f64) -> Table {
        let mut counts: BTreeMap<PartId, usize> = BTreeMap::new();
        for placed in &self.sheet.parts {
            *counts.entry(placed.part).or_default() += 1;
        }
        let row = |(id, count): (PartId, usize)| {
            let part = self.made.parts.get(id.0)?;
            let cut = part.as_cut().extents();
            Some(vec![
                Cell::bold(part.mark.as_str()),
                said(&part.name).into(),
                self.size(cut.width(), cut.height()).into(),
                format!("{count} of {}", part.quantity).into(),
                vec![TICK_BOX; count.min(12)].join(" ").into(),
            ])
        };
        Table {
            title: "PARTS OF THIS SHEET, width × height of the part's drawing as cut".to_owned(),
            columns: vec![
                Column::words("MARK"),
                Column::words("PART"),
                Column::numbers("CUT SIZE"),
                Column::numbers("HERE"),
                Column::words(""),
            ],
            rows: counts.into_iter().filter_map(row).collect(),
            height,
        }
    }

    /// The lines of a part's label on the sheet: what it is, and its size along x and y of the sheet.
    pub fn label(&self, placed: &NestedPart) -> [String; 3] {
        let mark = self.part(placed).map_or(String::new(), |part| part.mark.clone());
        let size = |along: Along| self.figures.figure(placed.patch.size(along));
        let set = placed.matched.as_ref().map_or(String::new(), |set| format!(" ({}/{})", set.place, set.of));
        let size = format!("{} × {}", size(Along::Width), size(Along::Length));
        [mark, format!("{}{set}", self.called(placed.part)), size]
    }

    /// An offcut's label.
    pub fn offcut(&self, width: Length, length: Length) -> [String; 2] {
        let size = format!("{} × {}", self.figures.figure(width), self.figures.figure(length));
        [format!("OFFCUT {size}"), "OFFCUT".to_owned()]
    }
}
