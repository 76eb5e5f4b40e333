//! The goals one after another: fewest and cheapest sheets, one large offcut, few settings.

use std::collections::BTreeMap;

use super::cuts::{Sawn, saw, within_trims};
use super::fit::{Fit, Order, Part};
use super::search::{Allowed, Search};
use super::tree::{Bench, NONE, Sheet, Slot, Way};
use super::{Fault, Item, Layout, Options, Stock};
use crate::plans::bound::{Piece, sheets_needed};

/// Slots and nodes looked at for one part and one of effort.
const WORK_PER_PART: u64 = 5_000;
/// Parts that a request counts for in addition to its own: small jobs are not done less well.
const SPARE_PARTS: u64 = 40;
/// Shares of the work, in hundredths: sheets, then the offcut; the rest goes to settings.
const SHEETS_SHARE: u64 = 75;
const OFFCUT_SHARE: u64 = 13;
/// Orders and fits of the first layouts, the ones that do best on average first.
const ORDERS: [Order; 6] =
    [Order::Area, Order::LongSide, Order::HalfRound, Order::Width, Order::Height, Order::ShortSide];
const FITS: [Fit; 3] = [Fit::Gap, Fit::Room, Fit::Corner];

/// Size within the trims, grown by a kerf.
fn grown(stock: &Stock, kerf: i64) -> (i64, i64) {
    let rect = within_trims(stock);
    (rect.width + kerf, rect.height + kerf)
}

/// Whether some stock yields this item in cuts that the saw can make.
pub(crate) fn saw_cuts(item: &Item, stock: &[Stock], options: &Options) -> bool {
    if options.saw.rip.is_none() && options.saw.crosscut.is_none() {
        return true;
    }
    let part = part_of(item, 0, options.kerf);
    [false, true].into_iter().filter(|&turned| !turned || part.may_turn).any(|turned| {
        let (w, h) = part.lying(turned);
        stock.iter().filter(|stock| stock.count != Some(0)).any(|stock| {
            let (sheet_w, sheet_h) = grown(stock, options.kerf);
            let mut sheet = Sheet::new(0, sheet_w, sheet_h);
            let slot = Slot { w: sheet_w, h: sheet_h, node: NONE, way: Way::Whole };
            sheet.insert(slot, 0, w, h, turned, &mut Bench::default());
            w <= sheet_w && h <= sheet_h && saw(&sheet, &[part], stock, options).is_some()
        })
    })
}

fn part_of(item: &Item, index: usize, kerf: i64) -> Part {
    Part {
        w: item.width + kerf,
        h: item.height + kerf,
        item: index as u32,
        may_turn: item.may_turn && item.width != item.height,
    }
}

/// What a set of sheets costs: money first, then area from the rack.
type Worth = (u128, i128);

struct Planner<'a> {
    stock: &'a [Stock],
    options: &'a Options,
    /// Sizes of the stock, as `grown`.
    sizes: Vec<(i64, i64)>,
    parts: &'a [Part],
    parts_area: i128,
    bound: usize,
    search: Search<'a>,
    best: Vec<Sheet>,
    left: Vec<u32>,
}

/// Lays out a request without faults of its own.
pub(crate) fn plan(items: &[Item], stock: &[Stock], options: &Options) -> Result<Layout, Fault> {
    let kerf = options.kerf;
    let mut parts = Vec::new();
    let mut pieces = Vec::new();
    for (index, item) in items.iter().enumerate().filter(|(_, item)| item.quantity > 0) {
        let part = part_of(item, index, kerf);
        parts.extend(std::iter::repeat_n(part, item.quantity as usize));
        pieces.push(Piece { w: part.w, h: part.h, may_turn: part.may_turn, count: u64::from(item.quantity) });
    }
    if parts.is_empty() {
        return Ok(Layout { sheets: Vec::new(), bound: 0, settings: 0 });
    }
    let sizes: Vec<(i64, i64)> = stock.iter().map(|stock| grown(stock, kerf)).collect();
    let largest = |side: fn(&(i64, i64)) -> i64| {
        let there = stock.iter().zip(&sizes).filter(|(stock, _)| stock.count != Some(0));
        there.map(|(_, size)| side(size)).max().unwrap_or(1)
    };
    let bound = sheets_needed(&pieces, largest(|size| size.0), largest(|size| size.1));
    let check = |sheet: &Sheet| saw(sheet, &parts, &stock[sheet.stock as usize], options).is_some();
    let limited = options.saw.rip.is_some() || options.saw.crosscut.is_some();
    let allowed: Option<Allowed<'_>> = if limited { Some(&check) } else { None };
    let planner = Planner {
        stock,
        options,
        sizes,
        parts: &parts,
        parts_area: parts.iter().map(|part| i128::from(part.area())).sum(),
        bound: usize::try_from(bound).unwrap_or(usize::MAX),
        search: Search::new(&parts, options.seed, allowed),
        best: Vec::new(),
        left: Vec::new(),
    };
    planner.run()
}

impl Planner<'_> {
    fn run(mut self) -> Result<Layout, Fault> {
        let parts = self.parts.len() as u64 + SPARE_PARTS;
        let work = u64::from(self.options.effort).saturating_mul(WORK_PER_PART).saturating_mul(parts);
        let sheets_end = work / 100 * SHEETS_SHARE;
        self.first_layouts(sheets_end / 3);
        if !self.left.is_empty() {
            self.search.load(&self.best, &self.left);
            if !self.search.fill(sheets_end) {
                return Err(self.short());
            }
            self.take();
        }
        self.fewer_sheets(sheets_end);
        let spent = self.search.work;
        let kept = self.larger_offcut(spent + work / 100 * OFFCUT_SHARE);
        let spent = self.search.work;
        self.fewer_settings(kept, spent + work / 100 * (100 - SHEETS_SHARE - OFFCUT_SHARE));
        Ok(self.layout())
    }

    fn short(&self) -> Fault {
        let mut left = BTreeMap::new();
        for &part in &self.search.left {
            *left.entry(self.parts[part as usize].item as usize).or_insert(0) += 1;
        }
        Fault::StockShort { left: left.into_iter().collect() }
    }

    /// Takes the sheets of the search as the best, without empty ones.
    fn take(&mut self) {
        self.best = self.search.sheets.iter().filter(|sheet| sheet.parts > 0).cloned().collect();
        self.left = self.search.left.clone();
    }

    fn worth(&self, sheets: &[Sheet]) -> Worth {
        let mut worth = (0, 0);
        for sheet in sheets.iter().filter(|sheet| sheet.parts > 0) {
            let cost = self.stock[sheet.stock as usize].cost;
            worth.0 += u128::from(cost);
            if cost == 0 {
                worth.1 += i128::from(sheet.w) * i128::from(sheet.h);
            }
        }
        worth
    }

    fn new_sheet(&self, stock: usize) -> Sheet {
        let (w, h) = self.sizes[stock];
        Sheet::new(stock as u32, w, h)
    }

    /// Inserts all parts in many orders and keeps the best outcome.
    fn first_layouts(&mut self, end: u64) {
        let mut endless: Vec<usize> =
            (0..self.stock.len()).filter(|&s| self.stock[s].count.is_none()).collect();
        endless.sort_by_key(|&s| (self.stock[s].cost, s));
        let mut best: Option<(usize, Worth)> = None;
        for order in ORDERS {
            for fit in FITS {
                for first in 0..endless.len().max(1) {
                    if best.is_some_and(|(left, _)| left == 0 && (self.proven() || self.search.work > end)) {
                        return;
                    }
                    endless.rotate_left(usize::from(first > 0));
                    self.insert_all(order, fit, &endless);
                    let outcome = (self.search.left.len(), self.worth(&self.search.sheets));
                    if best.is_none_or(|best| outcome < best) {
                        best = Some(outcome);
                        self.take();
                    }
                }
            }
        }
    }

    fn insert_all(&mut self, order: Order, fit: Fit, endless: &[usize]) {
        let mut sheets = Vec::new();
        for (index, stock) in self.stock.iter().enumerate() {
            let count = stock.count.map_or(0, |count| (count as usize).min(self.parts.len()));
            sheets.extend((0..count).map(|_| self.new_sheet(index)));
        }
        self.search.load(&sheets, &[]);
        let mut list: Vec<u32> = (0..self.parts.len() as u32).collect();
        self.search.sort(&mut list, order, 0.0);
        for part in list {
            if self.search.place(part, fit, 0) {
                continue;
            }
            let placed = endless.iter().any(|&stock| {
                let sheet = self.new_sheet(stock);
                self.search.place_on_new(sheet, part, fit)
            });
            if !placed {
                self.search.left.push(part);
            }
        }
    }

    /// Whether no cheaper set of sheets can exist.
    fn proven(&self) -> bool {
        self.cheaper().is_empty()
    }

    /// Sheet sets cheaper than the best by one change, as the sheet to give up and the stock to take for it. Those that
    /// cannot hold all parts are left out.
    fn cheaper(&self) -> Vec<(usize, Option<usize>)> {
        let pays = self.worth(&self.best).0 > 0;
        let area = |stock: usize| i128::from(self.sizes[stock].0) * i128::from(self.sizes[stock].1);
        let total: i128 = self.best.iter().map(|sheet| area(sheet.stock as usize)).sum();
        let mut emptiest: BTreeMap<usize, usize> = BTreeMap::new();
        let mut used = vec![0_u32; self.stock.len()];
        for (index, sheet) in self.best.iter().enumerate() {
            used[sheet.stock as usize] += 1;
            let entry = emptiest.entry(sheet.stock as usize).or_insert(index);
            if sheet.free > self.best[*entry].free {
                *entry = index;
            }
        }
        let mut changes = Vec::new();
        for (&from, &index) in &emptiest {
            if pays && self.stock[from].cost == 0 {
                continue;
            }
            if self.best.len() > self.bound && total - area(from) >= self.parts_area {
                changes.push((index, None));
            }
            for (to, &used) in used.iter().enumerate() {
                let saves = (self.stock[to].cost, area(to)) < (self.stock[from].cost, area(from));
                let saves = saves && (!pays || self.stock[to].cost < self.stock[from].cost);
                let there = self.stock[to].count.is_none_or(|count| used < count);
                if saves && there && total - area(from) + area(to) >= self.parts_area {
                    changes.push((index, Some(to)));
                }
            }
        }
        changes
    }

    fn fewer_sheets(&mut self, end: u64) {
        let mut turn = 0;
        while self.search.work < end {
            let changes = self.cheaper();
            if changes.is_empty() {
                return;
            }
            let (index, to) = changes[turn % changes.len()];
            turn += 1;
            let mut sheets = self.best.clone();
            let gone = sheets.remove(index);
            let left: Vec<u32> =
                gone.nodes.iter().map(|node| node.part).filter(|&part| part != NONE).collect();
            if let Some(to) = to {
                sheets.push(self.new_sheet(to));
            }
            // One way to save gets all the work; several get half of what is left, shared out, so that each has its turn.
            let room = end - self.search.work;
            let slice = if changes.len() == 1 { room } else { room / (2 * changes.len() as u64) + 1 };
            self.search.load(&sheets, &left);
            let until = self.search.work + slice;
            if self.search.fill(until) {
                self.take();
                turn = 0;
            }
        }
    }

    /// Area of the larger strip that a sheet leaves in one piece, if it is worth keeping.
    fn strip(&self, sheet: &Sheet) -> i64 {
        let kerf = self.options.kerf;
        let (w, h) = self.sizes[sheet.stock as usize];
        let area = |long: i64, slack: i64| {
            let (long, slack) = (long - kerf, slack - kerf);
            if slack > 0 && self.options.keep.keeps(long, slack) { long * slack } else { 0 }
        };
        let root = sheet.node(sheet.root);
        area(h, w - root.w).max(area(w, h - root.h))
    }

    /// Crowds parts off one bought sheet to leave a larger offcut there. Returns that sheet.
    fn larger_offcut(&mut self, end: u64) -> usize {
        let paid = |sheet: &Sheet| self.stock[sheet.stock as usize].cost > 0;
        let emptiest = (0..self.best.len()).max_by_key(|&at| (paid(&self.best[at]), self.best[at].free, at));
        let Some(kept) = emptiest else { return 0 };
        let (w, h) = self.sizes[self.best[kept].stock as usize];
        let others = self.best.iter().enumerate().filter(|&(index, _)| index != kept);
        let others: i128 = others.map(|(_, sheet)| i128::from(sheet.w) * i128::from(sheet.h)).sum();
        let needed = (self.parts_area - others).max(1);
        let begin = self.search.work;
        for (round, narrow) in [true, false].into_iter().enumerate() {
            let (size, across) = if narrow { (w, h) } else { (h, w) };
            let until = begin + (end - begin) / 2 * (round as u64 + 1);
            let mut low = i64::try_from(needed / i128::from(across)).unwrap_or(size);
            let root = self.best[kept].node(self.best[kept].root);
            // Only what beats the strip in hand is worth trying.
            let mut high = if narrow { root.w } else { root.h };
            high = high.min(
                size - self.options.kerf - self.strip(&self.best[kept]) / (across - self.options.kerf).max(1),
            );
            while self.search.work < until && high - low > size / 200 {
                let aim = low + (high - low) / 2;
                let slice = (until - self.search.work) / 2 + 1;
                let aimed = if narrow { (aim, h) } else { (w, aim) };
                if self.crowd(kept, aimed, slice) {
                    let root = self.best[kept].node(self.best[kept].root);
                    high = if narrow { root.w } else { root.h };
                } else {
                    low = aim;
                }
            }
        }
        kept
    }

    /// Tries to hold one sheet's parts within a smaller size.
    fn crowd(&mut self, kept: usize, (w, h): (i64, i64), slice: u64) -> bool {
        let before = self.strip(&self.best[kept]);
        let mut sheets = self.best.clone();
        let sheet = &mut sheets[kept];
        let left: Vec<u32> = sheet.nodes.iter().map(|node| node.part).filter(|&part| part != NONE).collect();
        *sheet = Sheet::new(sheet.stock, w, h);
        self.search.load(&sheets, &left);
        let until = self.search.work + slice;
        if !self.search.fill(until) || self.search.sheets[kept].parts == 0 {
            return false;
        }
        if self.strip(&self.search.sheets[kept]) <= before {
            return false;
        }
        self.best.clone_from(&self.search.sheets);
        let (w, h) = self.sizes[self.best[kept].stock as usize];
        self.best[kept].resize_sheet(w, h);
        true
    }

    fn saw(&self, sheet: &Sheet) -> Option<Sawn> {
        saw(sheet, self.parts, &self.stock[sheet.stock as usize], self.options)
    }

    /// Rearranges parts so that fewer settings are needed and fewer parts turned; the offcut kept stays.
    fn fewer_settings(&mut self, kept: usize, end: u64) {
        let Some(sheet) = self.best.get_mut(kept) else { return };
        let root = *sheet.node(sheet.root);
        let (w, h) = (sheet.w, sheet.h);
        if (w - root.w) * h > (h - root.h) * w {
            sheet.resize_sheet(root.w, h);
        } else {
            sheet.resize_sheet(w, root.h);
        }
        let mut settings: BTreeMap<i64, i64> = BTreeMap::new();
        let mut turned = 0_i64;
        for sawn in self.best.iter().filter_map(|sheet| self.saw(sheet)) {
            sawn.settings().for_each(|setting| *settings.entry(setting).or_insert(0) += 1);
            turned += sawn.turned() as i64;
        }
        let (parts, stock, options) = (self.parts, self.stock, self.options);
        let saw = |sheet: &Sheet| saw(sheet, parts, &stock[sheet.stock as usize], options);
        let mut judge = |before: &[(u32, Sheet)], sheets: &[Sheet]| {
            let mut changes: BTreeMap<i64, i64> = BTreeMap::new();
            let mut more_turned = 0;
            for (index, old) in before {
                let (Some(new), Some(old)) = (saw(&sheets[*index as usize]), saw(old)) else { return false };
                new.settings().for_each(|setting| *changes.entry(setting).or_insert(0) += 1);
                old.settings().for_each(|setting| *changes.entry(setting).or_insert(0) -= 1);
                more_turned += new.turned() as i64 - old.turned() as i64;
            }
            let count = |setting: &i64| settings.get(setting).copied().unwrap_or(0);
            let more: i64 = changes
                .iter()
                .map(|(setting, change)| {
                    let (old, new) = (count(setting), count(setting) + change);
                    i64::from(new > 0) - i64::from(old > 0)
                })
                .sum();
            if (more, more_turned) > (0, 0) {
                return false;
            }
            for (setting, change) in changes {
                *settings.entry(setting).or_insert(0) += change;
            }
            turned += more_turned;
            true
        };
        self.search.load(&self.best, &[]);
        self.search.polish(end, &mut judge);
        self.take();
    }

    fn layout(self) -> Layout {
        let mut order: Vec<&Sheet> = self.best.iter().collect();
        // The rack first; then full sheets, the fullest first.
        order.sort_by_key(|sheet| {
            let stock = &self.stock[sheet.stock as usize];
            (stock.count.is_none(), stock.cost > 0, sheet.stock, self.strip(sheet), sheet.free)
        });
        let mut settings = std::collections::BTreeSet::new();
        let mut sheets = Vec::new();
        for sheet in order {
            if let Some(sawn) = self.saw(sheet) {
                settings.extend(sawn.settings());
                sheets.push(sawn.finish(
                    sheet.stock as usize,
                    &self.stock[sheet.stock as usize],
                    self.options,
                ));
            }
        }
        Layout { sheets, bound: self.bound, settings: settings.len() }
    }
}
