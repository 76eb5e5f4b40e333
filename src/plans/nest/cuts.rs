//! From the slack tree of a sheet to pieces in their places, cuts in order, offcuts.
//!
//! Only here do positions come into being. Where a sheet has room left both above and beside, the larger strip comes off first
//! and in one piece.

use super::fit::Part;
use super::tree::{NONE, Sheet};
use super::{Cut, Fate, Options, Panel, Placed, Rect, Run, SheetLayout, Stock};

/// What a sheet is cut into, before its cuts are numbered.
pub(crate) struct Sawn {
    parts: Vec<Placed>,
    panel: Panel,
    cuts: Vec<Cut>,
}

/// The area that lies within the edge trims of a stock.
pub(crate) fn within_trims(stock: &Stock) -> Rect {
    let Stock { width, height, trim, .. } = *stock;
    Rect { x: trim, y: trim, width: width - 2 * trim, height: height - 2 * trim }
}

/// Builds the panels of one sheet; sizes are true ones, without the kerf that the search adds.
struct Sawyer<'a> {
    sheet: &'a Sheet,
    parts: &'a [Part],
    options: &'a Options,
    /// Whether a strip that no part of the sheet reaches into may come off before all else.
    strip_first: bool,
    placed: Vec<Placed>,
}

impl Sawyer<'_> {
    fn rest(&self, rect: Rect) -> Panel {
        let kept = self.options.keep.keeps(rect.width, rect.height);
        Panel { rect, fate: if kept { Fate::Offcut } else { Fate::Waste } }
    }

    /// Cuts `rect` along `run` into pieces of the given sizes, one for each node, and what is left.
    fn divide(&mut self, rect: Rect, run: Run, pieces: &[(i64, u32)]) -> Panel {
        let (mut at, end) = match run {
            Run::AlongY => (rect.x, rect.x + rect.width),
            Run::AlongX => (rect.y, rect.y + rect.height),
        };
        let strip = |at: i64, size: i64| match run {
            Run::AlongY => Rect { x: at, width: size, ..rect },
            Run::AlongX => Rect { y: at, height: size, ..rect },
        };
        let mut panels = Vec::with_capacity(pieces.len() + 1);
        for &(size, node) in pieces {
            panels.push(self.panel(node, strip(at, size)));
            at += size + self.options.kerf;
        }
        // Nothing is left where the last piece ends flush, or where the last kerf swallows the rest.
        if at < end {
            panels.push(self.rest(strip(at, end - at)));
        }
        Panel { rect, fate: Fate::Cut(run, panels) }
    }

    /// The panel of `rect` that yields what is under `node`.
    fn panel(&mut self, node: u32, rect: Rect) -> Panel {
        let kerf = self.options.kerf;
        let top = *self.sheet.node(node);
        let (w, h) = (top.w - kerf, top.h - kerf);
        let above = (rect.height - h - kerf).max(0) * rect.width;
        let beside = (rect.width - w - kerf).max(0) * rect.height;
        if top.part != NONE {
            if w == rect.width && h == rect.height {
                let item = self.parts[top.part as usize].item as usize;
                self.placed.push(Placed { item, rect, turned: top.turned });
                return Panel { rect, fate: Fate::Part(self.placed.len() - 1) };
            }
            let above_first = w == rect.width || (h != rect.height && (above > beside) == self.strip_first);
            let (run, size) = if above_first { (Run::AlongX, h) } else { (Run::AlongY, w) };
            return self.divide(rect, run, &[(size, node)]);
        }
        // The strip that no child reaches into comes off first, where it beats what the join itself leaves over.
        if self.strip_first && top.beside && h < rect.height && above > beside {
            return self.divide(rect, Run::AlongX, &[(h, node)]);
        }
        if self.strip_first && !top.beside && w < rect.width && beside > above {
            return self.divide(rect, Run::AlongY, &[(w, node)]);
        }
        let mut pieces = Vec::new();
        let mut at = top.first;
        while at != NONE {
            let child = self.sheet.node(at);
            pieces.push((if top.beside { child.w } else { child.h } - kerf, at));
            at = child.next;
        }
        // Long pieces first; equal ones together, so that the fence stays where it is.
        pieces.sort_by_cached_key(|&(size, node)| (-size, self.first_part(node)));
        self.divide(rect, if top.beside { Run::AlongY } else { Run::AlongX }, &pieces)
    }

    /// The lowest part number under a node: an order that does not hang on the history of the search.
    fn first_part(&self, node: u32) -> u32 {
        let mut leaves = Vec::new();
        self.sheet.leaves_under(node, &mut leaves);
        leaves.iter().map(|&leaf| self.sheet.node(leaf).part).min().unwrap_or(NONE)
    }
}

/// Lists the cuts of a panel and of all within it; `stage` is that of its own cuts. False where one is beyond the saw.
fn list_cuts(panel: &Panel, stage: usize, options: &Options, cuts: &mut Vec<Cut>) -> bool {
    let Fate::Cut(run, pieces) = &panel.fate else { return true };
    let rect = panel.rect;
    let mut fine = true;
    for piece in pieces {
        let (at, setting, end, from, to) = match run {
            Run::AlongY => {
                let at = piece.rect.x + piece.rect.width;
                (at, piece.rect.width, rect.x + rect.width, rect.y, rect.y + rect.height)
            }
            Run::AlongX => {
                let at = piece.rect.y + piece.rect.height;
                (at, piece.rect.height, rect.y + rect.height, rect.x, rect.x + rect.width)
            }
        };
        if at < end {
            let beyond = match run {
                Run::AlongX => options.saw.rip.is_some_and(|rip| setting.min(end - at - options.kerf) > rip),
                Run::AlongY => options.saw.crosscut.is_some_and(|crosscut| to - from > crosscut),
            };
            fine &= !beyond || stage == 1;
            cuts.push(Cut { number: 0, stage, run: *run, at, from, to, setting, splits_sheet: beyond });
        }
    }
    pieces.iter().fold(fine, |fine, piece| list_cuts(piece, stage + 1, options, cuts) && fine)
}

/// Saws a sheet, or says that the saw cannot.
pub(crate) fn saw(sheet: &Sheet, parts: &[Part], stock: &Stock, options: &Options) -> Option<Sawn> {
    let whole = within_trims(stock);
    for strip_first in [true, false] {
        let mut sawyer = Sawyer { sheet, parts, options, strip_first, placed: Vec::new() };
        let panel = if sheet.root == NONE { sawyer.rest(whole) } else { sawyer.panel(sheet.root, whole) };
        let mut cuts = Vec::new();
        if list_cuts(&panel, 1, options, &mut cuts) {
            return Some(Sawn { parts: sawyer.placed, panel, cuts });
        }
    }
    None
}

impl Sawn {
    /// The fence settings of all cuts.
    pub(crate) fn settings(&self) -> impl Iterator<Item = i64> + '_ {
        self.cuts.iter().map(|cut| cut.setting)
    }

    /// How many parts lie turned.
    pub(crate) fn turned(&self) -> usize {
        self.parts.iter().filter(|part| part.turned).count()
    }

    /// The finished layout: edge trims added, cuts in order and numbered, offcuts listed.
    pub(crate) fn finish(self, index: usize, stock: &Stock, options: &Options) -> SheetLayout {
        let mut cuts = trims(stock, options);
        // Stage by stage, so that a piece exists before it is cut; within a stage the fence moves as seldom as it can.
        let mut inside = self.cuts;
        inside.sort_by_key(|cut| (cut.stage, cut.run, -cut.setting));
        cuts.append(&mut inside);
        for (index, cut) in cuts.iter_mut().enumerate() {
            cut.number = index + 1;
        }
        let mut offcuts = Vec::new();
        list_offcuts(&self.panel, &mut offcuts);
        offcuts.sort_by_key(|rect| -(rect.width * rect.height));
        SheetLayout { stock: index, parts: self.parts, panel: self.panel, cuts, offcuts }
    }
}

fn trims(stock: &Stock, options: &Options) -> Vec<Cut> {
    let Stock { width, height, trim, .. } = *stock;
    if trim == 0 {
        return Vec::new();
    }
    let too_long = options.saw.crosscut.is_some_and(|crosscut| height - 2 * trim > crosscut);
    let along_x = Cut {
        number: 0,
        stage: 0,
        run: Run::AlongX,
        at: trim,
        from: 0,
        to: width,
        setting: trim,
        splits_sheet: false,
    };
    let along_y = Cut { run: Run::AlongY, from: trim, to: height - trim, splits_sheet: too_long, ..along_x };
    vec![along_x, Cut { at: height - trim, ..along_x }, along_y, Cut { at: width - trim, ..along_y }]
}

fn list_offcuts(panel: &Panel, offcuts: &mut Vec<Rect>) {
    match &panel.fate {
        Fate::Offcut => offcuts.push(panel.rect),
        Fate::Cut(_, pieces) => pieces.iter().for_each(|piece| list_offcuts(piece, offcuts)),
        Fate::Part(_) | Fate::Waste => {}
    }
}
