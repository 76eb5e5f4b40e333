//! What all sheets of a set share: frame, title block, and notes that flow from one free area into the next.

use super::figures::Figures;
use super::former::Former;
use super::frame::{Area, Frame, Paper, Practice};
use super::title_block::{Projection, TitleBlock};
use crate::drawing::lettering::{line_group, pitch};
use crate::drawing::table::{Cell, Table, list};
use crate::drawing::text::paragraph;
use crate::drawing::{Dimension, Field, Group, Layer, Mark, Placed, Sheet};
use crate::parts::PartId;
use crate::values::{Job, Titles};

/// The paper and practice of a set, and the fields of its title blocks.
#[derive(Clone, Debug)]
pub struct Paperwork {
    pub paper: Paper,
    pub practice: Practice,
    pub projection: Projection,
    pub figures: Figures,
    /// The release mark.
    pub status: String,
    /// The rows of the set that this one supersedes; without any where it supersedes none.
    pub former: Former,
    block: TitleBlock,
}

impl Paperwork {
    /// `has_errors`: the job has faults that forbid cutting. `verify`: sizes of it have to be measured on site.
    pub fn of(job: &Job, has_errors: bool, verify: bool) -> Paperwork {
        let practice = if job.sheets.asme { Practice::Asme } else { Practice::Iso };
        let usual = if job.sheets.asme { Paper::Tabloid } else { Paper::A3 };
        let projection = if job.sheets.third_angle { Projection::Third } else { Projection::First };
        let titles = &job.titles;
        let status = match (has_errors, missing_for_release(titles, verify).is_empty()) {
            (true, _) => "DO NOT CUT",
            (false, false) => "ISSUED FOR REVIEW: DO NOT CUT UNTIL APPROVED",
            (false, true) => "RELEASED FOR CUTTING",
        };
        let block = TitleBlock {
            owner: titles.shop.clone(),
            number: titles.number.clone(),
            date: titles.date.clone(),
            sheet: 0,
            sheets: 0,
            title: String::new(),
            supplementary: join(&[&titles.title, &titles.client, &titles.site]),
            creator: titles.drawn_by.clone(),
            approved: titles.approved_by.clone(),
            document_type: String::new(),
            revision: titles.revision.clone(),
            scale: String::new(),
            projection,
            units: job.sheets.units,
            status: status.to_owned(),
            revisions: Vec::new(),
            changed: None,
        };
        Paperwork {
            paper: Paper::named(&job.sheets.paper).unwrap_or(usual),
            practice,
            projection,
            figures: Figures::of(&job.sheets),
            status: status.to_owned(),
            former: Former::default(),
            block,
        }
    }

    pub fn frame(&self) -> Frame {
        Frame::new(self.paper, self.practice)
    }

    /// Inch practice reads all figures from the bottom of the sheet (ASME Y14.5), ISO those of upright lines from the right.
    pub fn unidirectional(&self) -> bool {
        self.practice == Practice::Asme
    }

    /// Line group of the paper (ISO 128-2).
    pub fn line_group(&self) -> f64 {
        let (width, height) = self.frame().size();
        line_group(width, height)
    }

    /// The sheets of a set, numbered, each with its frame and title block; names begin with the number.
    pub fn number(&self, drafts: Vec<Draft>) -> Vec<Sheet> {
        let sheets = drafts.len();
        let digits = sheets.to_string().len().max(2);
        let frame = self.frame();
        let (width, height) = frame.size();
        let sheet = |(i, draft): (usize, Draft)| {
            let block = TitleBlock {
                title: draft.title.clone(),
                document_type: draft.kind.to_owned(),
                scale: draft.scale,
                sheet: i + 1,
                sheets,
                changed: draft.changed,
                ..self.block.clone()
            };
            let mut groups = frame.draw(&block);
            groups.extend(draft.groups);
            let name = format!("{:0digits$}-{}", i + 1, draft.name);
            let several = draft.parts.len() > 1;
            let fields = draft.parts.into_iter().filter_map(|shown| {
                let area = shown.area.filter(|_| several)?;
                Some(Field { title: shown.title, low: area.low, high: area.high })
            });
            Sheet {
                name,
                title: draft.title,
                width,
                height,
                groups,
                dimensions: draft.dimensions,
                chapter: draft.chapter,
                fields: fields.collect(),
            }
        };
        drafts.into_iter().enumerate().map(sheet).collect()
    }
}

/// What the title block lacks before the set can be released: who approved it, its date, and, where sizes hang on the house,
/// when the room was measured.
pub fn missing_for_release(titles: &Titles, verify: bool) -> Vec<&'static str> {
    let fields = [
        (titles.approved_by.is_empty(), "approved_by"),
        (titles.date.is_empty(), "date"),
        (verify && titles.measured.is_empty(), "measured (when the room was measured)"),
    ];
    fields.into_iter().filter(|(is_missing, _)| *is_missing).map(|(_, field)| field).collect()
}

/// A sheet before it has its number, frame and title block.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draft {
    /// File name without number and ending.
    pub name: String,
    pub title: String,
    /// What kind of document it is, for the title block.
    pub kind: &'static str,
    /// The heading under which a list of contents has it; empty: none.
    pub chapter: String,
    /// The parts whose drawings it shows; none on a part's further sheets.
    pub parts: Vec<Shown>,
    pub scale: String,
    /// The scale of its views in millimetres on paper for one in wood; 0 where it has none for all.
    pub factor: f64,
    pub groups: Vec<Group>,
    pub dimensions: Vec<Dimension>,
    /// The letter of the revision that changed it.
    pub changed: Option<String>,
}

/// A part's drawing on a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    pub part: PartId,
    /// `A5 stretcher front`
    pub title: String,
    pub scale: String,
    /// Its field of a shared sheet; `None`: the whole sheet.
    pub area: Option<Area>,
}

fn join(all: &[&str]) -> String {
    all.iter().filter(|t| !t.is_empty()).copied().collect::<Vec<_>>().join(" · ")
}

/// An area in columns of equal width, with a gutter between them.
pub fn columns(area: Area, count: usize) -> Vec<Area> {
    let gutter = 5.0;
    let count = count.max(1);
    let width = (area.width() + gutter) / count as f64;
    let column = |i: usize| {
        let left = area.low.0 + width * i as f64;
        Area { low: (left, area.low.1), high: (left + width - gutter, area.high.1) }
    };
    (0..count).map(column).collect()
}

/// Notes and tables hung one below the other, from area to area; what finds no room at all waits for a further sheet.
#[derive(Clone, Debug)]
pub struct Flow {
    pub regions: Vec<Area>,
    /// Index of the area in use.
    pub used: usize,
    top: f64,
    pub marks: Vec<Mark>,
    left_over: Vec<Table>,
    /// Something other than a table found no room.
    lost: bool,
    /// Tables are laid even where their words have no room: no sheet has more.
    forced: bool,
}

const BETWEEN: f64 = 2.5;
/// A piece of a narrow table has at least so many rows, where the table goes on elsewhere.
const LEAST_ROWS: usize = 8;
/// Tables no wider than this stand side by side on a further sheet.
const NARROW: f64 = 90.0;

impl Flow {
    pub fn new(regions: Vec<Area>) -> Flow {
        let top = regions.first().map_or(0.0, |r| r.high.1);
        Flow { regions, used: 0, top, marks: Vec::new(), left_over: Vec::new(), lost: false, forced: false }
    }

    fn area(&self) -> Area {
        self.regions.get(self.used).copied().unwrap_or(Area { low: (0.0, 0.0), high: (0.0, 0.0) })
    }

    /// Takes what is laid out from an area and a height in it; goes on to the next area first where it has no room. False
    /// where no area is left.
    pub fn hang(&mut self, lay: impl Fn(Area, f64) -> Placed) -> bool {
        while self.used < self.regions.len() {
            let area = self.area();
            let placed = lay(area, self.top);
            if self.top - placed.height >= area.low.1 {
                self.top -= placed.height + BETWEEN;
                self.marks.extend(placed.marks);
                return true;
            }
            self.next();
        }
        self.lost = true;
        false
    }

    /// True while everything that was hung found room.
    pub fn held_all(&self) -> bool {
        !self.lost && self.left_over.is_empty()
    }

    fn next(&mut self) {
        self.used += 1;
        self.top = self.area().high.1;
    }

    /// Goes on to the next area; what is left of this one comes last, for words that are narrower.
    fn pass_over(&mut self) {
        let area = self.area();
        self.regions.push(Area { high: (area.high.0, self.top), ..area });
        self.next();
    }

    /// A line of text, wrapped.
    pub fn line(&mut self, text: &str, height: f64, bold: bool) {
        self.hang(|area, top| {
            let mut placed = paragraph((area.low.0, top), text, area.width(), height, bold);
            placed.height += 0.2 * pitch(text, height);
            placed
        });
    }

    /// A list with head words.
    pub fn facts(&mut self, facts: &[(String, String)], height: f64) {
        self.hang(|area, top| list((area.low.0, top), facts, area.width(), height));
    }

    /// A list under a heading that never stands alone.
    pub fn facts_under(&mut self, heading: &str, facts: &[(String, String)], height: f64) {
        self.hang(|area, top| {
            let mut placed = paragraph((area.low.0, top), heading, area.width(), height, true);
            let under = top - placed.height - BETWEEN / 2.0;
            let list = list((area.low.0, under), facts, area.width(), height);
            placed.height += BETWEEN / 2.0 + list.height;
            placed.marks.extend(list.marks);
            placed
        });
    }

    /// A table, split where it has to be. Areas in which its columns have no room are passed over.
    pub fn table(&mut self, table: &Table) {
        let mut rest = vec![table.clone()];
        while self.used < self.regions.len() && !rest.is_empty() {
            let area = self.area();
            let mut piece = rest.remove(0);
            let room = self.top - area.low.1;
            // No more rows than can find room are looked at, so that a long table costs no more than its rows.
            let most = libm::floor((room / piece.least_row()).max(0.0)) as usize + 1;
            let later = if piece.rows.len() > most { piece.rows.split_off(most) } else { Vec::new() };
            if !self.forced && !piece.fits(area.width()) {
                let fits_later = self.regions[self.used + 1..].iter().any(|area| piece.fits(area.width()));
                piece.rows.extend(later);
                rest.insert(0, piece);
                if !fits_later {
                    break;
                }
                self.pass_over();
                continue;
            }
            let whole = piece.placed((area.low.0, self.top), area.width());
            if later.is_empty() && whole.height <= room {
                self.top -= whole.height + BETWEEN;
                self.marks.extend(whole.marks);
                continue;
            }
            let least = 5.0 * pitch("", table.height) + 2.0 * table.height;
            let mut pieces = if room > least { piece.split(area.width(), room) } else { Vec::new() };
            let first = (!pieces.is_empty()).then(|| pieces.remove(0));
            if let Some(first) = first {
                let placed = first.placed((area.low.0, self.top), area.width());
                // A row that no area is high enough for is broken in the first area that it has to itself.
                let broken = if placed.height <= room || self.top < area.high.1 {
                    None
                } else {
                    first.broken(area.width(), room)
                };
                let (placed, goes_on) = match broken {
                    Some((now, later)) => (now.placed((area.low.0, self.top), area.width()), Some(later)),
                    None => (placed, None),
                };
                if placed.height <= room {
                    self.marks.extend(placed.marks);
                    // What is left is joined again and cut to the next area's room.
                    let rest = pieces.into_iter().flat_map(|p| p.rows);
                    piece.rows = goes_on.into_iter().chain(rest).collect();
                }
            }
            piece.rows.extend(later);
            rest.insert(0, piece);
            self.next();
        }
        self.left_over.extend(rest);
    }

    /// A table in one piece here; false, with nothing hung, where it has no room.
    pub fn whole_table(&mut self, table: &Table) -> bool {
        let mut trial = self.clone();
        trial.table(table);
        let is_held = trial.held_all();
        if is_held {
            *self = trial;
        }
        is_held
    }

    /// Leaves a table as a whole to a further sheet.
    pub fn leave_over(&mut self, table: &Table) {
        self.left_over.push(table.clone());
    }

    /// A table of few columns: where it is long and the area wide, in several pieces side by side.
    pub fn narrow_table(&mut self, table: &Table) {
        // Scraps of a long table are worse than a further sheet, but better than a sheet for a few rows.
        let mut trial = self.clone();
        trial.narrow_pieces(table, 1);
        if trial.left_over.len() == self.left_over.len() {
            *self = trial;
        } else {
            self.narrow_pieces(table, LEAST_ROWS);
        }
    }

    /// In pieces of so many rows at least, where the table goes on elsewhere.
    fn narrow_pieces(&mut self, table: &Table, least: usize) {
        // The title runs over all pieces, so it is written apart from them.
        let bare = Table { title: String::new(), ..table.clone() };
        let natural = bare.placed((0.0, 0.0), f64::MAX).width.max(10.0);
        let mut rows = table.rows.as_slice();
        while self.used < self.regions.len() && !rows.is_empty() {
            let area = self.area();
            if natural > area.width() + 0.1 {
                self.next();
                continue;
            }
            let abreast = libm::floor((area.width() + 4.0) / (natural + 4.0)).max(1.0) as usize;
            let title = paragraph((area.low.0, self.top), &table.title, area.width(), table.height, true);
            let top = self.top - title.height - 0.8;
            let piece = |rows: &[Vec<Cell>], x: f64| {
                Table { rows: rows.to_vec(), ..bare.clone() }
                    .placed((x, top), natural.min(area.width()) + 0.1)
            };
            // In one piece where it fits, else in as few as can be, shared out evenly.
            // Nothing is wrapped at this width: all rows are of one height.
            let [one, two] = [1, 2].map(|count| piece(&rows[..count.min(rows.len())], 0.0).height);
            let height = |count: usize| one + (two - one) * count.saturating_sub(1) as f64;
            let fits = |count: usize| height(count) <= top - area.low.1;
            let pieces = (1..=abreast).find(|pieces| fits(rows.len().div_ceil(*pieces)));
            if pieces.is_none() && !fits(least.min(rows.len())) {
                self.next();
                continue;
            }
            let deep = match pieces {
                Some(pieces) => rows.len().div_ceil(pieces),
                None => {
                    // The most rows that fit, halving the doubt.
                    let (mut good, mut bad) = (1, rows.len().div_ceil(abreast));
                    while bad - good > 1 {
                        let middle = (good + bad) / 2;
                        if fits(middle) { good = middle } else { bad = middle }
                    }
                    good
                }
            };
            self.marks.extend(title.marks);
            let mut lowest = 0.0_f64;
            for place in 0..abreast {
                let (now, later) = rows.split_at(deep.min(rows.len()));
                if now.is_empty() {
                    break;
                }
                let placed = piece(now, area.low.0 + (natural + 4.0) * place as f64);
                lowest = lowest.max(placed.height);
                self.marks.extend(placed.marks);
                rows = later;
            }
            self.top = top - lowest - BETWEEN;
            if !rows.is_empty() {
                self.next();
            }
        }
        if !rows.is_empty() {
            self.left_over.push(Table { rows: rows.to_vec(), ..table.clone() });
        }
    }

    /// What is left of each area, from the flow's point down, and all of those it has not come to.
    pub fn free(&self) -> Vec<Area> {
        let rest = self.regions.iter().enumerate().skip(self.used);
        rest.map(|(i, r)| if i == self.used { Area { high: (r.high.0, self.top), ..*r } } else { *r })
            .collect()
    }

    /// What was hung, as a group of marks.
    pub fn group(&self, id: &str) -> Group {
        Group { id: format!("{id}-notes"), layer: Layer::Notes, marks: self.marks.clone() }
    }

    /// Further sheets with the tables that found no room.
    pub fn further(&self, paperwork: &Paperwork, name: &str, title: &str) -> Vec<Draft> {
        let mut waiting = self.left_over.clone();
        let mut sheets = Vec::new();
        let field = paperwork.frame().field();
        let natural = |table: &Table| {
            Table { title: String::new(), ..table.clone() }.placed((0.0, 0.0), f64::MAX).width
        };
        let narrow = waiting.iter().all(|table| natural(table) <= NARROW);
        let usual = libm::floor(field.width() / 110.0).max(1.0) as usize;
        // Columns as wide as the tables' words ask for.
        let wide_enough = |count: &usize| {
            let widest = columns(field, *count).first().map_or(0.0, Area::width);
            waiting.iter().all(|table| table.fits(widest))
        };
        let count = (1..=usual).rev().find(wide_enough);
        while !waiting.is_empty() && sheets.len() < 200 {
            let mut flow = if narrow {
                let mut flow = Flow::new(vec![field]);
                waiting.iter().for_each(|table| flow.narrow_table(table));
                flow
            } else {
                let mut flow = Flow::new(columns(field, count.unwrap_or(1)));
                flow.forced = count.is_none();
                waiting.iter().for_each(|table| flow.table(table));
                flow
            };
            if flow.left_over == waiting {
                // A table that no sheet holds is told as far as it goes.
                flow.left_over.clear();
            }
            waiting = flow.left_over;
            let number = sheets.len() + 2;
            let marks =
                vec![Group { id: format!("{name}-tables-{number}"), layer: Layer::Notes, marks: flow.marks }];
            sheets.push(Draft {
                name: format!("{name}-{number}"),
                title: format!("{title} (tables)"),
                kind: "TABLE",
                groups: marks,
                ..Draft::default()
            });
        }
        sheets
    }
}
