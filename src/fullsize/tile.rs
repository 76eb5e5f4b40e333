//! A drawing at full size cut to pages. Neighbours share a strip of 10 mm with register crosses in it; the page to the right and
//! the page below is trimmed and laid over its neighbour. Long straight lines run through whole rows and columns, to be held
//! against a straightedge. Pages without any of the drawing are left out. A roll takes the drawing as one page up to 5 m.
//!
//! Lines, arcs and areas are cut exactly at the window of each page. A text is never cut: it stands on every page that holds the
//! whole of it; one that no page holds is moved by the least way into the page nearest to its middle.

use super::calibrate::corrected;
use super::clip::clipped;
use super::page::{self, Skeleton};
use super::place::area_of;
use super::{Drawing, Fault, Printer, Stock, map};
use crate::drawing::bounds::box_of;
use crate::drawing::lettering::HEIGHTS;
use crate::drawing::paper::Area;
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Sheet, Text, circle, line};

/// What two neighbours share, in mm (common practice: 8 to 10 mm).
pub const OVERLAP: f64 = 10.0;
/// The longest page: a little less than the 5080 mm that PDF allows (ISO 32000-1 annex C.2).
pub const LONGEST: f64 = 5000.0;
/// More pages than anybody would glue together.
const MOST: usize = 600;
/// A register cross and the ring round its middle, in mm.
const CROSS: f64 = 8.0;
const RING: f64 = 2.0;

/// How a drawing is spread over pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Width and height of each page.
    pub size: (f64, f64),
    pub rows: usize,
    pub columns: usize,
    /// In the order of printing, top row first, left to right; only those that hold some of the drawing.
    pub tiles: Vec<Tile>,
    /// A band of the drawing's height that words fill: no register cross or straight line stands in it.
    pub quiet: Option<(f64, f64)>,
}

/// A page's part of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Both counted from 1, rows from the top.
    pub row: usize,
    pub column: usize,
    /// What it shows, in coordinates of the drawing.
    pub window: Area,
}

impl Layout {
    pub fn tile(&self, row: usize, column: usize) -> Option<&Tile> {
        self.tiles.iter().find(|tile| tile.row == row && tile.column == column)
    }
}

/// How a drawing of this area is spread over the printer's paper: upright or lying, whichever takes fewer pages. Only groups on
/// the layers of outlines and hidden lines make a page worth printing.
///
/// # Errors
/// As [`page::window`], and for more pages than anybody would glue.
pub fn layout(area: &Area, groups: &[Group], printer: &Printer) -> Result<Layout, Fault> {
    let filled = |cell: &Area| is_filled(groups, cell);
    let size = best_size(area, printer, &filled)?;
    let (rows, columns, all) = grid(area, printer, size)?;
    let tiles: Vec<Tile> = all.into_iter().filter(|tile| filled(&cell(tile, rows, columns))).collect();
    Ok(Layout { size, rows, columns, tiles, quiet: None })
}

/// The pages of a drawing: the page with the map and the tables first, then its tiles; on a roll all of it on one page.
///
/// # Errors
/// As [`layout`].
pub fn pages(drawing: &Drawing, printer: &Printer) -> Result<Vec<Sheet>, Fault> {
    let layout = Layout { quiet: drawing.quiet, ..layout(&drawing.area, &drawing.groups, printer)? };
    let mut sheets = Vec::new();
    if let (Stock::Roll(_), [only]) = (printer.stock, layout.tiles.as_slice()) {
        sheets.push(roll_page(drawing, printer, &layout, only)?);
    } else {
        sheets.extend(map::pages(drawing, printer, &layout)?);
        for tile in &layout.tiles {
            sheets.push(tile_page(drawing, printer, &layout, tile)?);
        }
    }
    Ok(sheets.into_iter().map(|sheet| corrected(sheet, &printer.correction)).collect())
}

/// The size of page that takes the fewest pages.
fn best_size(area: &Area, printer: &Printer, filled: &dyn Fn(&Area) -> bool) -> Result<(f64, f64), Fault> {
    let sizes = match printer.stock {
        Stock::Sheets(paper) => {
            let (long, short) = paper.sides();
            vec![(short, long), (long, short)]
        }
        Stock::Roll(width) => roll_sizes(area, printer, width.to_mm()),
    };
    let mut best: Option<(usize, (f64, f64))> = None;
    let mut first_fault = None;
    for size in sizes {
        match grid(area, printer, size) {
            Ok((rows, columns, all)) => {
                let count = all.iter().filter(|tile| filled(&cell(tile, rows, columns))).count();
                if best.is_none_or(|(least, _)| count < least) {
                    best = Some((count, size));
                }
            }
            Err(fault) => first_fault = first_fault.or(Some(fault)),
        }
    }
    best.map(|(_, size)| size).ok_or_else(|| {
        first_fault
            .unwrap_or_else(|| Fault::new("there is no paper to print on", "give the printer its paper"))
    })
}

/// Both ways round of a piece of the roll that is as long as the drawing needs, with room for what stands beside it.
fn roll_sizes(area: &Area, printer: &Printer, width: f64) -> Vec<(f64, f64)> {
    let strips = |size: (f64, f64)| {
        let window = page::window(printer, size).map_or((0.0, 0.0), |w| (w.width(), w.height()));
        (size.0 - window.0, size.1 - window.1)
    };
    // The correction reaches further on a longer page: the strips are taken from the longest.
    let lying = strips((LONGEST, width));
    let upright = strips((width, LONGEST));
    let lying = ((area.width() + lying.0 + map::BESIDE).min(LONGEST), width);
    let upright = (width, (area.height() + upright.1 + map::ABOVE).min(LONGEST));
    vec![lying, upright]
}

/// All windows over an area, empty or not, with the numbers of rows and columns.
fn grid(area: &Area, printer: &Printer, size: (f64, f64)) -> Result<(usize, usize, Vec<Tile>), Fault> {
    let window = page::window(printer, size)?;
    let (width, height) = match printer.stock {
        // What stands beside the drawing on a roll has its own room.
        Stock::Roll(_) if size.0 >= size.1 => (window.width() - map::BESIDE, window.height()),
        Stock::Roll(_) => (window.width(), window.height() - map::ABOVE),
        Stock::Sheets(_) => (window.width(), window.height()),
    };
    let count = |whole: f64, one: f64| libm::ceil(((whole - OVERLAP) / (one - OVERLAP) - 1e-9).max(1.0));
    let (columns, rows) = (count(area.width(), width), count(area.height(), height));
    if columns * rows > MOST as f64 || (columns * rows).is_nan() {
        return Err(Fault::new(
            format!(
                "{:.0} × {:.0} mm would take {columns} × {rows} pages of {:.0} × {:.0} mm",
                area.width(),
                area.height(),
                size.0,
                size.1
            ),
            "print on larger paper or a roll, or only the worked edges",
        ));
    }
    let (columns, rows) = (columns as usize, rows as usize);
    // What is over is shared by both ends.
    let begin = |low: f64, whole: f64, one: f64, count: usize| {
        low - (one * count as f64 - OVERLAP * (count - 1) as f64 - whole) / 2.0
    };
    let left = begin(area.low.0, area.width(), width, columns);
    let bottom = begin(area.low.1, area.height(), height, rows);
    let mut tiles = Vec::new();
    for row in 1..=rows {
        for column in 1..=columns {
            let x = left + (width - OVERLAP) * (column - 1) as f64;
            let y = bottom + (height - OVERLAP) * (rows - row) as f64;
            tiles.push(Tile { row, column, window: Area { low: (x, y), high: (x + width, y + height) } });
        }
    }
    Ok((rows, columns, tiles))
}

/// A tile without the outer halves of the strips that it shares: cells lie beside each other and cover the drawing.
fn cell(tile: &Tile, rows: usize, columns: usize) -> Area {
    let half = OVERLAP / 2.0;
    let inset = |shared: bool| if shared { half } else { 0.0 };
    Area {
        low: (tile.window.low.0 + inset(tile.column > 1), tile.window.low.1 + inset(tile.row < rows)),
        high: (tile.window.high.0 - inset(tile.column < columns), tile.window.high.1 - inset(tile.row > 1)),
    }
}

/// Whether any line of the part itself lies in a cell.
fn is_filled(groups: &[Group], cell: &Area) -> bool {
    let counts = |group: &&Group| matches!(group.layer, Layer::Outlines | Layer::Hidden);
    groups.iter().filter(counts).flat_map(|group| &group.marks).any(|mark| match mark {
        Mark::Text(text) => area_of(&box_of(text)).is_some_and(|b| overlaps(&b, cell)),
        Mark::Link { .. } => false,
        other => clipped(other, cell).is_some(),
    })
}

fn overlaps(one: &Area, other: &Area) -> bool {
    one.low.0 < other.high.0
        && other.low.0 < one.high.0
        && one.low.1 < other.high.1
        && other.low.1 < one.high.1
}

fn inside(one: &Area, other: &Area) -> bool {
    one.low.0 >= other.low.0
        && one.high.0 <= other.high.0
        && one.low.1 >= other.low.1
        && one.high.1 <= other.high.1
}

fn tile_page(drawing: &Drawing, printer: &Printer, layout: &Layout, tile: &Tile) -> Result<Sheet, Fault> {
    let id = if layout.tiles.len() == 1 {
        "all of it on this page".to_owned()
    } else {
        format!("row {} of {} · column {} of {}", tile.row, layout.rows, tile.column, layout.columns)
    };
    let Skeleton { size, window, mut groups } =
        page::sized_skeleton(printer, layout.size, &drawing.words, &id)?;
    let by = (window.low.0 - tile.window.low.0, window.low.1 - tile.window.low.1);
    groups.extend(seams(layout, tile, by));
    groups.extend(cut(drawing, layout, tile, by));
    Ok(Sheet {
        name: format!("{}-r{}c{}", drawing.name, tile.row, tile.column),
        title: format!("{}, {id}", drawing.title),
        width: size.0,
        height: size.1,
        groups,
        dimensions: Vec::new(),
        ..Sheet::default()
    })
}

/// What a page shows of the drawing, moved to where it stands on the page.
fn cut(drawing: &Drawing, layout: &Layout, tile: &Tile, by: At) -> Vec<Group> {
    let groups = drawing.groups.iter().map(|group| {
        let marks = group.marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => text_on(text, layout, tile),
            other => clipped(other, &tile.window),
        });
        Group { marks: marks.map(|mark| page::moved(mark, by)).collect(), ..group.clone() }
    });
    groups.filter(|group| !group.marks.is_empty()).collect()
}

/// A text as it stands on a page: where the page holds the whole of it; else, where no page does, moved into the page nearest
/// to its middle, and smaller where the page is smaller than the text.
fn text_on(text: &Text, layout: &Layout, tile: &Tile) -> Option<Mark> {
    let area = area_of(&box_of(text))?;
    if inside(&area, &tile.window) {
        return Some(Mark::Text(text.clone()));
    }
    if layout.tiles.iter().any(|other| inside(&area, &other.window)) {
        return None;
    }
    let middle = centre(&area);
    let away = |other: &Tile| {
        let beyond = |at: f64, low: f64, high: f64| (low - at).max(at - high).max(0.0);
        let w = &other.window;
        libm::hypot(beyond(middle.0, w.low.0, w.high.0), beyond(middle.1, w.low.1, w.high.1))
    };
    let home = layout.tiles.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
    if home != tile {
        return None;
    }
    let room = tile.window.inset(0.5);
    let smaller = HEIGHTS.iter().rev().copied().filter(|h| *h < text.height);
    for height in std::iter::once(text.height).chain(smaller) {
        let text = Text { height, ..text.clone() };
        let area = area_of(&box_of(&text))?;
        if area.width() <= room.width() && area.height() <= room.height() {
            let into = |low: f64, high: f64, from: f64, to: f64| (from - low).max(0.0) + (to - high).min(0.0);
            let by = (
                into(area.low.0, area.high.0, room.low.0, room.high.0),
                into(area.low.1, area.high.1, room.low.1, room.high.1),
            );
            return Some(page::moved(Mark::Text(text), by));
        }
    }
    None
}

fn centre(area: &Area) -> At {
    ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0)
}

/// Trim lines, the lines that the neighbours' edges are laid to, register crosses, and the long straight lines.
fn seams(layout: &Layout, tile: &Tile, by: At) -> Vec<Group> {
    let w = &tile.window;
    let neighbour = |down: i64, right: i64| {
        let row = usize::try_from(tile.row as i64 + down).ok()?;
        layout.tile(row, usize::try_from(tile.column as i64 + right).ok()?)
    };
    let (left, right) = (neighbour(0, -1), neighbour(0, 1));
    let (above, below) = (neighbour(-1, 0), neighbour(1, 0));
    let name = |other: &Tile| format!("row {} column {}", other.row, other.column);
    let mut trims = Vec::new();
    let mut crosses = Vec::new();
    let mut along = Vec::new();
    // The edges of the page: trimmed where a neighbour lies under it, laid over where it lies under a neighbour.
    let edge = |kind: bool| if kind { LineType::Table } else { LineType::Hatch };
    trims.push(line(w.low, (w.low.0, w.high.1), edge(left.is_some())));
    trims.push(line((w.low.0, w.high.1), w.high, edge(above.is_some())));
    trims.push(line((w.high.0, w.low.1), w.high, edge(false)));
    trims.push(line(w.low, (w.high.0, w.low.1), edge(false)));
    let mut say = |at: At, turn: f64, text: String| {
        trims.push(Mark::Text(Text { at, text, height: 2.5, anchor: Anchor::Start, turn, bold: false }));
    };
    // Clear of the upright bars, which take the lowest 110 mm at the left.
    if let Some(other) = left
        && w.height() > 175.0
    {
        say((w.low.0 - 1.2, w.low.1 + 75.0), 90.0, format!("trim along this line, lay over {}", name(other)));
    } else if let Some(other) = left {
        say(
            (w.low.0 + 1.0, w.high.1 + 1.2),
            0.0,
            format!("trim along the left edge, lay over {}", name(other)),
        );
    }
    if let Some(other) = above {
        let at = w.low.0 + w.width() * 0.52;
        say((at, w.high.1 + 1.2), 0.0, format!("trim along this line, lay over {}", name(other)));
    }
    if let Some(other) = right {
        say(
            (w.high.0 + 3.7, w.low.1 + 6.0),
            90.0,
            format!("{} is laid over this page, to the dashed line", name(other)),
        );
    }
    if let Some(other) = below {
        let text = format!("{} is laid over this page, to the dashed line", name(other));
        say((w.low.0 + w.width() * 0.3, w.low.1 - 3.7), 0.0, text);
    }
    if right.is_some() {
        let x = w.high.0 - OVERLAP;
        trims.push(line((x, w.low.1), (x, w.high.1), LineType::Hidden));
    }
    if below.is_some() {
        let y = w.low.1 + OVERLAP;
        trims.push(line((w.low.0, y), (w.high.0, y), LineType::Hidden));
    }
    let xs = [0.2, 0.8].map(|share| w.low.0 + share * w.width());
    let ys = heights(layout, w, &[0.2, 0.8, 0.9, 0.1, 0.3, 0.7]);
    for (there, x) in [(left, w.low.0 + OVERLAP / 2.0), (right, w.high.0 - OVERLAP / 2.0)] {
        if there.is_some() {
            ys.iter().for_each(|y| crosses.extend(cross((x, *y))));
        }
    }
    for (there, y) in [(above, w.high.1 - OVERLAP / 2.0), (below, w.low.1 + OVERLAP / 2.0)] {
        if there.is_some() {
            xs.iter().for_each(|x| crosses.extend(cross((*x, y))));
        }
    }
    // A line through every row and every column that has a seam.
    if left.is_some() || right.is_some() {
        let y = heights(layout, w, &[0.5, 0.1, 0.9, 0.05])[0];
        along.push(line((w.low.0, y), (w.high.0, y), LineType::Adjacent));
    }
    if above.is_some() || below.is_some() {
        let x = w.low.0 + w.width() * 0.5;
        along.push(line((x, w.low.1), (x, w.high.1), LineType::Adjacent));
    }
    let crosses = crosses.iter().filter_map(|mark| clipped(mark, w)).collect::<Vec<_>>();
    let place = |id: &str, marks: Vec<Mark>| Group {
        id: id.into(),
        layer: Layer::Dimensions,
        marks: marks.into_iter().map(|mark| page::moved(mark, by)).collect(),
    };
    vec![place("trim", trims), place("register", crosses), place("straight-lines", along)]
}

/// The first two heights of a window, as shares of it, at which no words stand; where words are everywhere, the first two.
fn heights(layout: &Layout, window: &Area, given: &[f64]) -> [f64; 2] {
    let at = |share: f64| window.low.1 + share * window.height();
    let free = |y: &f64| layout.quiet.is_none_or(|(low, high)| *y < low - RING || *y > high + RING);
    let all: Vec<f64> = given.iter().map(|share| at(*share)).filter(free).collect();
    match all.as_slice() {
        [one, other, ..] => [*one, *other],
        [one] => [*one, *one],
        [] => [at(0.2), at(0.8)],
    }
}

/// Every line of the seams in coordinates of the drawing, for words to keep clear of.
pub fn seam_lines(layout: &Layout) -> Vec<Mark> {
    let lines =
        layout.tiles.iter().flat_map(|tile| seams(layout, tile, (0.0, 0.0))).flat_map(|group| group.marks);
    lines.filter(|mark| matches!(mark, Mark::Stroke { .. })).collect()
}

fn cross(at: At) -> Vec<Mark> {
    vec![
        line((at.0 - CROSS, at.1), (at.0 + CROSS, at.1), LineType::Dimension),
        line((at.0, at.1 - CROSS), (at.0, at.1 + CROSS), LineType::Dimension),
        Mark::Stroke { path: circle(at, RING), line: LineType::Dimension },
    ]
}

/// Middles of the register crosses of a page, in coordinates of the drawing: what neighbours share and tests measure.
pub fn register(layout: &Layout, tile: &Tile) -> Vec<At> {
    let groups = seams(layout, tile, (0.0, 0.0));
    let rings = groups.iter().filter(|group| group.id == "register").flat_map(|group| &group.marks);
    rings
        .filter_map(|mark| match mark {
            Mark::Stroke { path, .. } => match path.as_slice() {
                [crate::drawing::Step::Move(left), crate::drawing::Step::Arc(right, _), ..] => {
                    Some(((left.0 + right.0) / 2.0, left.1))
                }
                _ => None,
            },
            _ => None,
        })
        .collect()
}

/// The whole drawing on a piece of the roll, with its tables beside or above it and the bars again at the far end.
fn roll_page(drawing: &Drawing, printer: &Printer, layout: &Layout, tile: &Tile) -> Result<Sheet, Fault> {
    let Skeleton { size, window, mut groups } =
        page::sized_skeleton(printer, layout.size, &drawing.words, "all of it on this page")?;
    let by = (window.low.0 - tile.window.low.0, window.low.1 - tile.window.low.1);
    groups.extend(cut(drawing, layout, tile, by));
    let lying = size.0 >= size.1;
    let room = if lying {
        Area { low: (window.high.0 - map::BESIDE + 6.0, window.low.1), high: window.high }
    } else {
        Area { low: (window.low.0, window.high.1 - map::ABOVE + 6.0), high: window.high }
    };
    groups.extend(map::beside(drawing, &room));
    let far =
        if lying { (room.low.0 + 6.0, room.low.1 + 4.0) } else { (room.high.0 - 112.0, room.low.1 + 4.0) };
    groups.extend(page::bars(far, "-far-end"));
    Ok(Sheet {
        name: format!("{}-roll", drawing.name),
        title: drawing.title.clone(),
        width: size.0,
        height: size.1,
        groups,
        dimensions: Vec::new(),
        ..Sheet::default()
    })
}
