//! The page that goes before the tiles: how they lie together, what the assembled paper must measure, notes, coordinates.

use super::page::{self, Skeleton};
use super::tile::Layout;
use super::{Drawing, Fault, Printer, Stock};
use crate::drawing::paper::Area;
use crate::drawing::table::{Table, list};
use crate::drawing::text::{paragraph, written};
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Sheet, Step, rectangle};

/// Room kept on a roll beside or above a drawing for its tables and the bars at the far end, in mm.
pub const BESIDE: f64 = 200.0;
pub const ABOVE: f64 = 260.0;
/// Room that the bars of the far end take.
const BARS: f64 = 124.0;
/// Lettering of notes, and the widest column of them.
const TEXT: f64 = 2.5;
const CHECK: f64 = 3.5;
const COLUMN: f64 = 190.0;
/// The map is no higher than this.
const MAP: f64 = 85.0;

/// The page or pages before the tiles.
///
/// # Errors
/// As [`page::window`].
pub fn pages(drawing: &Drawing, printer: &Printer, layout: &Layout) -> Result<Vec<Sheet>, Fault> {
    let size = match printer.stock {
        Stock::Sheets(_) => layout.size,
        Stock::Roll(_) => page::usual_size(printer),
    };
    let window = page::window(printer, size)?;
    let columns = fill(drawing, Some(layout), &window);
    let count = columns.len();
    let mut sheets = Vec::with_capacity(count);
    for (index, marks) in columns.into_iter().enumerate() {
        let id = if count == 1 {
            "map and measures".to_owned()
        } else {
            format!("map and measures {} of {count}", index + 1)
        };
        let Skeleton { size, mut groups, .. } = page::sized_skeleton(printer, size, &drawing.words, &id)?;
        groups.push(Group { id: "particulars".into(), layer: Layer::Notes, marks });
        sheets.push(Sheet {
            name: format!(
                "{}-map{}",
                drawing.name,
                if index == 0 { String::new() } else { format!("-{}", index + 1) }
            ),
            title: format!("{}, {id}", drawing.title),
            width: size.0,
            height: size.1,
            groups,
            dimensions: Vec::new(),
            ..Sheet::default()
        });
    }
    Ok(sheets)
}

/// The same beside a drawing on a roll; `None` where it takes more room than there is.
pub fn beside(drawing: &Drawing, room: &Area) -> Option<Group> {
    // The bars stand at the foot of a column beside the drawing, and at the right end of a strip above it.
    let free = if room.height() > room.width() {
        Area { low: (room.low.0, room.low.1 + BARS), high: room.high }
    } else {
        Area { low: room.low, high: (room.high.0 - BARS, room.high.1) }
    };
    match fill(drawing, None, &free).as_slice() {
        [marks] => Some(Group { id: "particulars".into(), layer: Layer::Notes, marks: marks.clone() }),
        _ => None,
    }
}

/// Everything in as many areas of this size as it takes.
fn fill(drawing: &Drawing, layout: Option<&Layout>, area: &Area) -> Vec<Vec<Mark>> {
    let width = (area.width() - 6.0).min(COLUMN);
    let left = area.low.0 + 3.0;
    let mut flow = Flow { area: *area, pages: vec![Vec::new()], top: area.high.1 - 3.0 };
    let title = paragraph((left, flow.top), &drawing.title, width, 7.0, true);
    flow.add(title.marks, title.height + 3.0);
    let mut notes: Vec<(String, String)> =
        drawing.words.lines.iter().chain(&drawing.notes).map(|n| ("–".to_owned(), n.clone())).collect();
    if let Some(layout) = layout {
        let pages = layout.tiles.len();
        let text = if pages == 1 {
            "One page holds all of it.".to_owned()
        } else {
            format!(
                "{pages} pages in {} rows and {} columns; pages with nothing on them are left out. Lay the pages together row by row \
                 from the top left: trim the left and the upper edge of each page where its text says so, lay it over its neighbour to \
                 the dashed line, and bring the register crosses together. The long lines of dashes and double dots must run straight \
                 through all pages: hold a straightedge to them. Never go by the edge of the paper.",
                layout.rows, layout.columns
            )
        };
        let text = paragraph((left, flow.top), &text, width, TEXT, false);
        flow.add(text.marks, text.height + 4.0);
        if pages > 1 {
            let (marks, map_width, height) = map(drawing, layout, (left, flow.top), width);
            // Notes beside a narrow map.
            let beside = width - map_width - 6.0;
            let listed = list((left + map_width + 6.0, flow.top), &notes, beside, TEXT);
            let fits = beside >= 75.0 && listed.height < height + 30.0;
            flow.add(marks, 0.0);
            if fits {
                flow.add(listed.marks, 0.0);
                notes.clear();
            }
            flow.top -= 4.0 + if fits { height.max(listed.height) } else { height };
        }
    }
    for check in &drawing.checks {
        let text = format!("must measure {} on the assembled paper: ________", check.text);
        let entry = (format!("{} to {}", check.names[0], check.names[1]), text);
        let placed = list((left, 0.0), &[entry], width, CHECK);
        flow.hang(placed.marks, placed.height);
    }
    for note in &notes {
        let placed = list((left, 0.0), std::slice::from_ref(note), width, TEXT);
        flow.hang(placed.marks, placed.height);
    }
    for table in &drawing.tables {
        flow.table(table, left, width);
    }
    flow.pages
}

struct Flow {
    area: Area,
    pages: Vec<Vec<Mark>>,
    top: f64,
}

impl Flow {
    fn add(&mut self, marks: Vec<Mark>, height: f64) {
        if let Some(page) = self.pages.last_mut() {
            page.extend(marks);
        }
        self.top -= height;
    }

    fn next_page(&mut self) {
        self.pages.push(Vec::new());
        self.top = self.area.high.1 - 3.0;
    }

    /// Marks laid out from y = 0 downwards.
    fn hang(&mut self, marks: Vec<Mark>, height: f64) {
        if self.top - height < self.area.low.1 + 2.0 {
            self.next_page();
        }
        let by = (0.0, self.top);
        self.add(marks.into_iter().map(|mark| page::moved(mark, by)).collect(), height);
    }

    fn table(&mut self, table: &Table, left: f64, width: f64) {
        self.top -= 3.0;
        let mut rest = table.clone();
        while !rest.rows.is_empty() {
            let room = self.top - self.area.low.1 - 2.0;
            let first = rest.split(width, room.max(1.0)).into_iter().next().unwrap_or_else(|| rest.clone());
            let placed = first.placed((left, self.top), width);
            let fresh = self.top >= self.area.high.1 - 3.1;
            if placed.height > room && !fresh {
                self.next_page();
                continue;
            }
            rest.rows.drain(..first.rows.len().max(1).min(rest.rows.len()));
            self.add(placed.marks, placed.height + 4.0);
            if !rest.rows.is_empty() {
                self.next_page();
            }
        }
    }
}

/// The pages as they lie together, the part's own lines on them; hung by its upper left corner, with its width and height.
fn map(drawing: &Drawing, layout: &Layout, at: At, width: f64) -> (Vec<Mark>, f64, f64) {
    let corners: Vec<At> = layout.tiles.iter().flat_map(|tile| [tile.window.low, tile.window.high]).collect();
    let Some(whole) = super::place::area_of(&corners) else { return (Vec::new(), 0.0, 0.0) };
    let scale = (width / whole.width()).min(MAP / whole.height());
    let to = |p: At| (at.0 + (p.0 - whole.low.0) * scale, at.1 - (whole.high.1 - p.1) * scale);
    let mut marks = Vec::new();
    let own = |group: &&Group| matches!(group.layer, Layer::Outlines | Layer::Hidden);
    for mark in drawing.groups.iter().filter(own).flat_map(|group| &group.marks) {
        if let Mark::Stroke { path, .. } = mark {
            let path = path.iter().map(|step| match *step {
                Step::Move(p) => Step::Move(to(p)),
                Step::Line(p) => Step::Line(to(p)),
                Step::Arc(p, bulge) => Step::Arc(to(p), bulge),
                Step::Close => Step::Close,
            });
            marks.push(Mark::Stroke { path: path.collect(), line: LineType::Dimension });
        }
    }
    for tile in &layout.tiles {
        let (low, high) = (to(tile.window.low), to(tile.window.high));
        marks.push(Mark::Stroke { path: rectangle(low, high), line: LineType::Table });
    }
    // Names after all borders, for the white behind them hides what runs there.
    for tile in &layout.tiles {
        let (low, high) = (to(tile.window.low), to(tile.window.high));
        let text = format!("r{} c{}", tile.row, tile.column);
        let height = [3.5, 2.5, 1.8].into_iter().find(|h| {
            crate::drawing::lettering::width_of(&text, *h, true) < (high.0 - low.0) - 1.0
                && *h < high.1 - low.1 - 1.0
        });
        if let Some(height) = height {
            let label = [written(
                ((low.0 + high.0) / 2.0, (low.1 + high.1 - height) / 2.0),
                text,
                height,
                Anchor::Middle,
                true,
            )];
            marks.extend(super::place::backed(label.to_vec()));
        }
    }
    (marks, whole.width() * scale, whole.height() * scale)
}
