//! Parts into a given set of sheets: insertion part by part, then ruin and recreate until every part has its place.
//!
//! One step takes parts off a few sheets, the emptier ones rather, and puts them and the parts still left over back one by
//! one, each where it wastes least. The step stays when it leaves over less area, or a little more now and then. The idea
//! of ruin and recreate: Schrimpf et al., "Record breaking optimization results using the ruin and recreate principle", 2000.

use super::fit::{Fit, Order, Part, Spot};
use super::tree::{Bench, NONE, Room, Sheet};
use crate::plans::random::Random;

/// Further conditions on a sheet, asked after every insertion; slow, so only where a saw has limits.
pub(crate) type Allowed<'a> = &'a dyn Fn(&Sheet) -> bool;

/// Sees the sheets changed by a step as they were, with their places, and all sheets as they are; says whether to keep it.
pub(crate) type Judge<'a> = dyn FnMut(&[(u32, Sheet)], &[Sheet]) -> bool + 'a;

/// Sheets with enough free area that are looked at for one part, at most: keeps the cost near linear.
const WINDOW: usize = 256;
/// Parts taken off in one step, on average, and from how many sheets at most.
const TAKEN: f64 = 14.0;
const SHEETS_RUINED: usize = 4;
/// Draws for each sheet to be ruined; the emptiest is taken.
const DRAWS: usize = 3;
/// Chance that a part's whole join goes with it.
const WHOLE_JOIN: f64 = 0.6;
/// One slot in so many is overlooked, so that equal steps differ.
const OVERLOOK: u64 = 100;
/// How far an area may be off in the order of placing.
const SHUFFLE: f64 = 0.5;
/// How much worse a step may be, as a share of one sheet, on average.
const WORSE: f64 = 0.01;
/// What free area gathered on few sheets is worth against area left over.
const GATHERED: f64 = 0.02;

/// The state of the search.
pub(crate) struct Search<'a> {
    pub(crate) parts: &'a [Part],
    pub(crate) sheets: Vec<Sheet>,
    /// Parts with no place yet.
    pub(crate) left: Vec<u32>,
    /// Slots and nodes looked at so far: the measure of effort.
    pub(crate) work: u64,
    allowed: Option<Allowed<'a>>,
    random: Random,
    bench: Bench,
    /// Shortest side of any part.
    least: i64,
    /// What each sheet still takes, side by side in memory.
    room: Vec<Room>,
    /// Area of the largest sheet, the unit of cost.
    unit: f64,
    tick: u32,
    stamps: Vec<u32>,
    saved: Vec<(u32, Sheet)>,
    pool: Vec<Sheet>,
    failed: Vec<u32>,
    keyed: Vec<(f64, u32)>,
}

impl<'a> Search<'a> {
    pub(crate) fn new(parts: &'a [Part], seed: u64, allowed: Option<Allowed<'a>>) -> Self {
        let items = parts.iter().map(|part| part.item as usize + 1).max().unwrap_or(0);
        Self {
            parts,
            sheets: Vec::new(),
            left: Vec::new(),
            work: 0,
            allowed,
            random: Random::new(seed),
            bench: Bench::default(),
            least: parts.iter().map(|part| part.w.min(part.h)).min().unwrap_or(1),
            room: Vec::new(),
            unit: 1.0,
            tick: 0,
            stamps: Vec::new(),
            saved: Vec::new(),
            pool: Vec::new(),
            failed: vec![0; items],
            keyed: Vec::new(),
        }
    }

    /// Takes sheets over, as they are, with the parts still to place.
    pub(crate) fn load(&mut self, sheets: &[Sheet], left: &[u32]) {
        self.sheets.clear();
        self.sheets.extend_from_slice(sheets);
        self.left.clear();
        self.left.extend_from_slice(left);
        self.room.clear();
        self.room.resize(sheets.len(), Room::default());
        self.stamps.clear();
        self.stamps.resize(sheets.len(), 0);
        self.tick = 0;
        self.failed.fill(0);
        self.unit = 1.0;
        for index in 0..sheets.len() {
            let sheet = &self.sheets[index];
            self.unit = self.unit.max((sheet.w * sheet.h) as f64);
            self.refresh(index);
        }
    }

    /// Adds one empty sheet.
    fn open(&mut self, sheet: Sheet) -> usize {
        self.unit = self.unit.max((sheet.w * sheet.h) as f64);
        self.room.push(sheet.room);
        self.stamps.push(0);
        self.sheets.push(sheet);
        self.sheets.len() - 1
    }

    /// Takes the last sheet away again; it must be empty.
    fn close(&mut self) {
        self.sheets.pop();
        self.room.pop();
        self.stamps.pop();
    }

    fn refresh(&mut self, index: usize) {
        let sheet = &mut self.sheets[index];
        self.work += sheet.find_slots(self.least, &mut self.bench);
        self.room[index] = sheet.room;
    }

    fn look(&mut self, index: usize, part: Part, fit: Fit, overlook: u64, best: &mut (i64, Option<Spot>)) {
        let sheet = &self.sheets[index];
        for turned in [false, true] {
            if turned && !part.may_turn {
                break;
            }
            let (w, h) = part.lying(turned);
            if w > sheet.room.widest || h > sheet.room.highest {
                continue;
            }
            self.work += sheet.slots.len() as u64;
            for slot in &sheet.slots {
                if w > slot.w || h > slot.h {
                    continue;
                }
                let waste = fit.waste(sheet, slot, w, h);
                if waste < best.0 && (overlook == 0 || self.random.below(overlook as usize) != 0) {
                    *best = (waste, Some(Spot { sheet: index as u32, slot: *slot, turned }));
                }
            }
        }
    }

    fn best_spot(&mut self, part: u32, fit: Fit, overlook: u64) -> Option<Spot> {
        let part = self.parts[part as usize];
        let area = part.area();
        let count = self.sheets.len();
        let mut best = (i64::MAX, None);
        // Where not all can be looked at, each time others are, but those changed in this step always.
        let begin = if count <= WINDOW { 0 } else { self.random.below(count) };
        let mut looks = 0;
        for index in (begin..count).chain(0..begin) {
            if !self.room[index].takes(&part, area) {
                continue;
            }
            if looks == WINDOW {
                break;
            }
            looks += 1;
            self.look(index, part, fit, overlook, &mut best);
        }
        if looks == WINDOW {
            for at in 0..self.saved.len() {
                let index = self.saved[at].0 as usize;
                if self.room[index].takes(&part, area) {
                    self.look(index, part, fit, overlook, &mut best);
                }
            }
        }
        self.work += 1 + (count / 8) as u64;
        best.1
    }

    /// Puts a part in its spot; where the saw does not allow the sheet that results, nothing changes and the answer is no.
    fn put(&mut self, part: u32, spot: Spot) -> bool {
        let (w, h) = self.parts[part as usize].lying(spot.turned);
        let index = spot.sheet as usize;
        let mut before = None;
        if self.allowed.is_some() {
            let mut copy = self.pool.pop().unwrap_or_else(|| Sheet::new(0, 1, 1));
            copy.copy_from(&self.sheets[index]);
            before = Some(copy);
        }
        let sheet = &mut self.sheets[index];
        sheet.insert(spot.slot, part, w, h, spot.turned, &mut self.bench);
        if let (Some(allowed), Some(mut copy)) = (self.allowed, before) {
            self.work += 20 * sheet.nodes.len() as u64;
            let fine = allowed(sheet);
            if !fine {
                std::mem::swap(sheet, &mut copy);
            }
            self.pool.push(copy);
            if !fine {
                return false;
            }
        }
        self.refresh(index);
        true
    }

    /// Places a part in the best spot that the saw allows.
    pub(crate) fn place(&mut self, part: u32, fit: Fit, overlook: u64) -> bool {
        let Some(spot) = self.best_spot(part, fit, overlook) else {
            return false;
        };
        self.save(spot.sheet as usize);
        if self.put(part, spot) {
            return true;
        }
        // Refused by the saw: the other slots of all sheets, one by one, in the order they are listed.
        let piece = self.parts[part as usize];
        for index in 0..self.sheets.len() {
            for at in 0..self.sheets[index].slots.len() {
                for turned in [false, true] {
                    let slot = self.sheets[index].slots[at];
                    let (w, h) = piece.lying(turned);
                    if (turned && !piece.may_turn) || w > slot.w || h > slot.h {
                        continue;
                    }
                    self.save(index);
                    if self.put(part, Spot { sheet: index as u32, slot, turned }) {
                        return true;
                    }
                }
            }
        }
        false
    }

    /// Adds a sheet for a part that fits no other; without the part when the saw does not allow it even there.
    pub(crate) fn place_on_new(&mut self, sheet: Sheet, part: u32, fit: Fit) -> bool {
        let index = self.open(sheet);
        let mut best = (i64::MAX, None);
        self.look(index, self.parts[part as usize], fit, 0, &mut best);
        if best.1.is_some_and(|spot| self.put(part, spot)) {
            return true;
        }
        let piece = self.parts[part as usize];
        let turned = best.1.is_some_and(|spot| !spot.turned) && piece.may_turn;
        let (w, h) = piece.lying(true);
        let slot = self.sheets[index].slots[0];
        if turned && w <= slot.w && h <= slot.h && self.put(part, Spot { sheet: index as u32, slot, turned })
        {
            return true;
        }
        self.close();
        false
    }

    /// Sorts parts, largest first; `shuffle` is how far each key may be off, as a share of it.
    pub(crate) fn sort(&mut self, list: &mut Vec<u32>, order: Order, shuffle: f64) {
        let mut keyed = std::mem::take(&mut self.keyed);
        keyed.clear();
        for &part in list.iter() {
            let Part { w, h, .. } = self.parts[part as usize];
            let key = match order {
                Order::Area => w as f64 * h as f64,
                Order::LongSide => w.max(h) as f64,
                Order::Width => w as f64,
                Order::Height => h as f64,
                Order::HalfRound => (w + h) as f64,
                Order::ShortSide => w.min(h) as f64,
            };
            let off = if shuffle > 0.0 { 1.0 + shuffle * (self.random.unit() - 0.5) } else { 1.0 };
            keyed.push((-key * off, part));
        }
        keyed.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        list.clear();
        list.extend(keyed.iter().map(|&(_, part)| part));
        self.keyed = keyed;
    }

    fn save(&mut self, index: usize) {
        if self.tick == 0 || self.stamps[index] == self.tick {
            return;
        }
        self.stamps[index] = self.tick;
        let mut copy = self.pool.pop().unwrap_or_else(|| Sheet::new(0, 1, 1));
        copy.copy_from(&self.sheets[index]);
        self.saved.push((index as u32, copy));
    }

    fn keep(&mut self) {
        while let Some((_, copy)) = self.saved.pop() {
            self.pool.push(copy);
        }
    }

    fn restore(&mut self) {
        while let Some((index, mut copy)) = self.saved.pop() {
            let index = index as usize;
            std::mem::swap(&mut self.sheets[index], &mut copy);
            let sheet = &self.sheets[index];
            self.room[index] = sheet.room;
            self.pool.push(copy);
        }
    }

    fn begin_step(&mut self) {
        // Even a step that finds nothing to look at counts: the search must end.
        self.work += 8;
        self.tick = self.tick.wrapping_add(1);
        if self.tick == 0 {
            self.stamps.fill(0);
            self.failed.fill(0);
            self.tick = 1;
        }
    }

    /// Takes about `taken` parts off the sheets and adds them to `off`.
    fn ruin(&mut self, taken: f64, draws: usize, off: &mut Vec<u32>, under: &mut Vec<u32>) {
        let sheets = 1 + self.random.below(SHEETS_RUINED);
        for _ in 0..sheets {
            let mut index = self.random.below(self.sheets.len());
            for _ in 1..draws {
                let other = self.random.below(self.sheets.len());
                let (sheet, rival) = (&self.sheets[index], &self.sheets[other]);
                if rival.parts > 0 && (sheet.parts == 0 || rival.free > sheet.free) {
                    index = other;
                }
            }
            if self.sheets[index].parts == 0 {
                continue;
            }
            self.save(index);
            let aim = 1 + (self.random.unit() * 2.0 * taken / sheets as f64) as usize;
            let sheet = &mut self.sheets[index];
            let end = off.len() + aim;
            while off.len() < end && sheet.parts > 0 {
                if sheet.parts as usize <= end - off.len() {
                    off.extend(sheet.nodes.iter().map(|node| node.part).filter(|&part| part != NONE));
                    sheet.clear();
                    break;
                }
                let at = self.random.below(sheet.nodes.len()) as u32;
                self.work += 1;
                if !sheet.is_leaf(at) {
                    continue;
                }
                let join = sheet.node(at).parent;
                if join == NONE || self.random.unit() >= WHOLE_JOIN {
                    off.push(sheet.remove(at));
                    continue;
                }
                under.clear();
                sheet.leaves_under(join, under);
                for &leaf in under.iter() {
                    off.push(sheet.remove(leaf));
                }
            }
            self.refresh(index);
        }
    }

    /// Places the listed parts; those without a spot are the ones left.
    fn recreate(&mut self, list: &[u32], fit: Fit) {
        self.left.clear();
        for &part in list {
            let item = self.parts[part as usize].item as usize;
            // An equal part has just found no spot, and since then there is only less room.
            if self.failed[item] == self.tick || !self.place(part, fit, OVERLOOK) {
                self.failed[item] = self.tick;
                self.left.push(part);
            }
        }
    }

    fn area_left(&self) -> f64 {
        self.left.iter().map(|&part| self.parts[part as usize].area() as f64).sum::<f64>() / self.unit
    }

    fn gathered(&self, sheet: &Sheet) -> f64 {
        let share = sheet.free as f64 / self.unit;
        share * share
    }

    /// How much more gathered the free area is than before this step.
    fn more_gathered(&self) -> f64 {
        self.saved
            .iter()
            .map(|(index, before)| self.gathered(&self.sheets[*index as usize]) - self.gathered(before))
            .sum()
    }

    /// Looks for places for all parts until `work` reaches `end`. True when nothing is left over.
    pub(crate) fn fill(&mut self, end: u64) -> bool {
        let (mut off, mut under, mut before) = (Vec::new(), Vec::new(), Vec::new());
        let mut area = self.area_left();
        while !self.left.is_empty() {
            if self.work >= end || self.sheets.is_empty() {
                return false;
            }
            self.begin_step();
            before.clear();
            before.extend_from_slice(&self.left);
            off.clear();
            off.extend_from_slice(&self.left);
            self.ruin(TAKEN, DRAWS, &mut off, &mut under);
            let fit = [Fit::Gap, Fit::Room, Fit::Corner][self.random.below(3)];
            self.sort(&mut off, Order::Area, SHUFFLE);
            self.recreate(&off, fit);
            let new_area = self.area_left();
            let worse = new_area - area - GATHERED * self.more_gathered();
            if self.left.is_empty() || worse <= WORSE * self.random.patience() {
                area = new_area;
                self.keep();
            } else {
                self.restore();
                self.left.clear();
                self.left.extend_from_slice(&before);
            }
        }
        true
    }

    /// Changes complete layouts by small steps, those that `judge` keeps. Ends when `work` reaches `end`.
    pub(crate) fn polish(&mut self, end: u64, judge: &mut Judge<'_>) {
        let (mut off, mut under) = (Vec::new(), Vec::new());
        while self.work < end && !self.sheets.is_empty() {
            self.begin_step();
            off.clear();
            self.ruin(TAKEN / 2.0, 1, &mut off, &mut under);
            let order = [Order::Area, Order::Width, Order::Height, Order::LongSide][self.random.below(4)];
            self.sort(&mut off, order, SHUFFLE);
            self.recreate(&off, Fit::Match);
            if self.left.is_empty() {
                self.work += self.saved.iter().map(|(_, sheet)| 20 * sheet.nodes.len() as u64).sum::<u64>();
            }
            if self.left.is_empty() && judge(&self.saved, &self.sheets) {
                self.keep();
            } else {
                self.restore();
                self.left.clear();
            }
        }
    }
}
