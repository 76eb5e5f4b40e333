//! What the sheets of one assembly share: its boards, the ways it is looked at, its schedule; and those sheets in order.
//! Knows no layout of its own.

use std::collections::BTreeMap;

use super::arrangement::arrangement;
use super::bays::Look;
use super::cuttings::cuttings;
use super::details::circles::{Callout, Callouts, share_out};
use super::details::{details, sheets};
use super::figures::Figures;
use super::frame::Area;
use super::part_sheet::said;
use super::pictorial::exploded;
use super::rods::rods;
use super::section::{Section, section};
use super::sheet::{Draft, Flow, Paperwork};
use super::title_block::Projection as Angle;
use crate::boards::Other;
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Interval;
use crate::loads::Loads;
use crate::parts::{Made, PartId, Placed};
use crate::trade::{Axis, Side};

const TABLES: f64 = 2.5;

/// The boards of an assembly, or of the whole room.
pub struct Assembled<'a> {
    pub made: &'a Made,
    pub loads: &'a Loads,
    pub boards: Vec<&'a Placed>,
    pub around: [Interval; 3],
    pub title: String,
    /// Letters, digits and dashes, for ids and file names.
    pub name: String,
    /// Index into the job's assemblies; `None` for the whole room.
    pub index: Option<usize>,
    pub turns: u8,
    pub whole: bool,
}

/// All sheets of all assemblies: the room first where there are several, then each with its section, its parts pulled
/// apart, and its rods.
pub fn assemblies(made: &Made, loads: &Loads, paperwork: &Paperwork) -> Vec<Draft> {
    let mut all = Vec::new();
    if made.job.assemblies.len() > 1
        && let Some(room) = Assembled::new(made, loads, None)
    {
        all.extend(arrangement(&room, &[], &Callouts::default(), None, paperwork));
    }
    for of in (0..made.job.assemblies.len()).filter_map(|i| Assembled::new(made, loads, Some(i))) {
        let first = all.len();
        let planes = cuttings(&of);
        let joints = details(&of, planes.len(), paperwork);
        let looks = of.looks(paperwork.projection == Angle::Third);
        let callouts = share_out(&of, &joints, &looks, &planes, paperwork);
        // By letter, the factor of the largest view that calls a detail out.
        let mut called: BTreeMap<String, f64> = BTreeMap::new();
        let mut add = |callouts: &mut dyn Iterator<Item = &'_ Callout>, factor: f64| {
            called.extend(callouts.map(|one| (one.letter.clone(), factor)));
        };
        let mut cut: Vec<Section> = Vec::new();
        for (plane, callouts) in planes.iter().zip(&callouts.sections) {
            let Some(section) = section(&of, plane, callouts, paperwork) else { continue };
            add(&mut callouts.iter(), section.draft.factor);
            cut.push(section);
        }
        let deep = cut.iter().find(|section| section.tells_depths).map(|section| section.letter.as_str());
        let arranged = arrangement(&of, &planes, &callouts, deep, paperwork);
        let factor = arranged.iter().map(|draft| draft.factor).fold(0.0, f64::max);
        add(&mut callouts.arranged.iter().flatten(), factor);
        all.extend(arranged);
        all.extend(cut.into_iter().map(|section| section.draft));
        all.extend(sheets(&of, &joints, &called, paperwork));
        all.extend(exploded(&of, paperwork));
        all.extend(rods(&of, paperwork));
        all.iter_mut().skip(first).for_each(|draft| draft.chapter.clone_from(&of.title));
    }
    all
}

impl<'a> Assembled<'a> {
    /// `None` where there is no board.
    pub fn new(made: &'a Made, loads: &'a Loads, index: Option<usize>) -> Option<Assembled<'a>> {
        let boards: Vec<&Placed> =
            made.placed.iter().filter(|p| index.is_none_or(|i| p.board.assembly == i)).collect();
        let mut around = boards.first()?.board.span;
        for placed in &boards {
            for (whole, one) in around.iter_mut().zip(placed.board.span) {
                *whole = Interval { low: whole.low.min(one.low), high: whole.high.max(one.high) };
            }
        }
        let assembly = index.and_then(|i| made.job.assemblies.get(i));
        let name = assembly.map_or("room", |a| a.name.as_str());
        Some(Assembled {
            made,
            loads,
            boards,
            around,
            title: if index.is_none() { "whole room".to_owned() } else { said(name) },
            name: name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect(),
            index,
            turns: assembly.map_or(0, |a| a.turns),
            whole: index.is_none(),
        })
    }

    /// A side of the assembly as it stands in the room.
    pub fn turned(&self, side: Side) -> Side {
        side.turned(self.turns)
    }

    /// A side of the room as the assembly's own views have it.
    pub fn own(&self, side: Side) -> Side {
        side.turned(4 - self.turns % 4)
    }

    /// Front, side and plan. Third angle: the side is seen from the right and drawn at the right; first angle: seen from
    /// the left and drawn at the right.
    pub fn looks(&self, third: bool) -> [Look; 3] {
        let (front, right) = (self.turned(Side::Front), self.turned(Side::Right));
        let side = if third {
            Look { title: "RIGHT SIDE", eye: right, right: self.turned(Side::Back), up: Side::Top }
        } else {
            Look { title: "LEFT SIDE", eye: self.turned(Side::Left), right: front, up: Side::Top }
        };
        [
            Look { title: "FRONT", eye: front, right, up: Side::Top },
            side,
            Look { title: "PLAN", eye: Side::Top, right, up: self.turned(Side::Back) },
        ]
    }

    /// Words in some areas, with the sheet's head.
    pub fn head(&self, kind: &str, areas: Vec<Area>) -> Flow {
        let mut flow = Flow::new(areas);
        flow.line(&self.title.to_uppercase(), 5.0, true);
        flow.line(kind, 3.5, false);
        flow
    }

    /// Where the positions stand whose row has no room beside a view, by a direction of the room for each; `section` is the
    /// letter of a section that bears the depths.
    pub fn rows_without_room(&self, rows: &[Side], section: Option<&str>) -> Vec<(String, String)> {
        let told = |side: &Side| {
            let axis = self.own(*side).axis();
            let (word, end) = match axis {
                Axis::Across => ("ACROSS", "LEFT"),
                Axis::Up => ("UP", "BOTTOM"),
                Axis::Deep => ("DEEP", "FRONT"),
            };
            let also = section.filter(|_| axis == Axis::Deep);
            let also = also.map_or(String::new(), |letter| format!("section {letter}–{letter} and "));
            (word.to_owned(), format!("faces of boards from the {end}: see {also}the sheet of story rods"))
        };
        rows.iter().map(told).collect()
    }

    /// Parts of these boards: balloon, name, number here, finished size.
    pub fn schedule(&self, figures: &Figures) -> Table {
        self.schedule_of(figures, |_| true)
    }

    /// The same of some parts only.
    pub fn schedule_of(&self, figures: &Figures, is_asked: impl Fn(PartId) -> bool) -> Table {
        let asked = self.made.parts.iter().enumerate().filter(|(i, _)| is_asked(PartId(*i)));
        let rows = asked.filter_map(|(i, part)| {
            let count = self.boards.iter().filter(|p| p.part == PartId(i)).count();
            let sizes = [part.width, part.height, part.thick].map(|l| figures.figure(l));
            (count > 0).then(|| {
                vec![
                    Cell::bold(part.mark.clone()),
                    Cell::new(said(&part.name)),
                    count.to_string().into(),
                    sizes.join(" × ").into(),
                ]
            })
        });
        Table {
            title: "PARTS".into(),
            columns: vec![
                Column::words(""),
                Column::words("PART"),
                Column::numbers("QTY"),
                Column::words("SIZE"),
            ],
            rows: rows.collect(),
            height: TABLES,
        }
    }

    pub fn notes(&self) -> Vec<(String, String)> {
        let ours = |b: usize| {
            self.made.placed.get(b).is_some_and(|p| self.index.is_none_or(|i| p.board.assembly == i))
        };
        let on_house =
            self.made.joints.iter().any(|j| ours(j.first.0) && !matches!(j.second, Other::Board(_)));
        let weight = self.index.and_then(|i| super::loads::fact_of_assembly(self.made, self.loads, i));
        let mut all: Vec<_> = weight.into_iter().collect();
        if on_house {
            all.push(("VERIFY".to_owned(), "touches the house: measure on site before cutting".to_owned()));
        }
        all.push(("±".to_owned(), "the one size of its row that takes up what is left".to_owned()));
        all
    }
}
