//! One sheet as a tree of joins, kept slack: every join knows the least size it needs, and positions are given only at the end.
//!
//! A join sets its children side by side (`beside`, cuts run up the sheet) or one above another. Joins alternate from
//! level to level. All sizes here are grown by one kerf, the sheet's too, so that kerfs need no further thought.

use super::fit::Part;

/// No node, no part.
pub(crate) const NONE: u32 = u32::MAX;

/// A part (leaf) or a join of two or more children.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    /// Least width and height needed.
    pub(crate) w: i64,
    pub(crate) h: i64,
    pub(crate) parent: u32,
    pub(crate) first: u32,
    pub(crate) next: u32,
    /// The part of a leaf; `NONE` for a join.
    pub(crate) part: u32,
    /// Joins: children stand side by side.
    pub(crate) beside: bool,
    /// Leaves: the part lies turned by a quarter.
    pub(crate) turned: bool,
}

/// How a part joins what is already on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// Alone on an empty sheet.
    Whole,
    /// One more child of a join.
    Append,
    /// A new join of a node and the part, side by side.
    Beside,
    /// A new join of a node and the part, one above the other.
    Above,
    /// Across the ends of the `n` shortest children of a join.
    Across(u32),
}

/// Room for one part: largest width and height that fit here.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slot {
    pub(crate) w: i64,
    pub(crate) h: i64,
    pub(crate) node: u32,
    pub(crate) way: Way,
}

/// The largest slot width, height and area of a sheet: parts beyond them need no look.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Room {
    pub(crate) widest: i64,
    pub(crate) highest: i64,
    pub(crate) roomiest: i64,
}

impl Room {
    /// Whether a part may find a slot. False only where it cannot.
    pub(crate) fn takes(&self, part: &Part, area: i64) -> bool {
        area <= self.roomiest
            && (part.w <= self.widest && part.h <= self.highest
                || part.may_turn && part.h <= self.widest && part.w <= self.highest)
    }
}

/// One sheet being filled.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// Which stock it is cut from.
    pub(crate) stock: u32,
    pub(crate) w: i64,
    pub(crate) h: i64,
    /// Area not covered by parts.
    pub(crate) free: i64,
    pub(crate) parts: u32,
    pub(crate) root: u32,
    spare: u32,
    pub(crate) nodes: Vec<Node>,
    pub(crate) slots: Vec<Slot>,
    pub(crate) room: Room,
}

/// Working space of `Sheet::find_slots`, kept to spare allocations.
#[derive(Debug, Default)]
pub(crate) struct Bench {
    todo: Vec<(u32, i64, i64)>,
    /// Children of a join: size across it, node, size along it.
    ends: Vec<(i64, u32, i64)>,
}

impl Sheet {
    pub(crate) fn new(stock: u32, w: i64, h: i64) -> Self {
        let slot = Slot { w, h, node: NONE, way: Way::Whole };
        Self {
            stock,
            w,
            h,
            free: w * h,
            parts: 0,
            root: NONE,
            spare: NONE,
            nodes: Vec::new(),
            slots: vec![slot],
            room: Room { widest: w, highest: h, roomiest: w * h },
        }
    }

    pub(crate) fn copy_from(&mut self, other: &Self) {
        self.stock = other.stock;
        self.w = other.w;
        self.h = other.h;
        self.free = other.free;
        self.parts = other.parts;
        self.root = other.root;
        self.spare = other.spare;
        self.room = other.room;
        self.nodes.clear();
        self.nodes.extend_from_slice(&other.nodes);
        self.slots.clear();
        self.slots.extend_from_slice(&other.slots);
    }

    pub(crate) fn node(&self, at: u32) -> &Node {
        &self.nodes[at as usize]
    }

    fn node_mut(&mut self, at: u32) -> &mut Node {
        &mut self.nodes[at as usize]
    }

    fn add(&mut self, node: Node) -> u32 {
        if self.spare == NONE {
            self.nodes.push(node);
            return (self.nodes.len() - 1) as u32;
        }
        let at = self.spare;
        self.spare = self.node(at).next;
        *self.node_mut(at) = node;
        at
    }

    fn discard(&mut self, at: u32) {
        let spare = self.spare;
        let node = self.node_mut(at);
        node.next = spare;
        node.part = NONE;
        node.first = NONE;
        node.parent = at;
        self.spare = at;
    }

    /// Whether this place of the arena holds a part now.
    pub(crate) fn is_leaf(&self, at: u32) -> bool {
        self.node(at).part != NONE
    }

    fn push_child(&mut self, join: u32, child: u32) {
        let first = self.node(join).first;
        let node = self.node_mut(child);
        node.parent = join;
        node.next = first;
        self.node_mut(join).first = child;
    }

    fn unlink(&mut self, child: u32) {
        let Node { parent, next, .. } = *self.node(child);
        let mut at = self.node(parent).first;
        if at == child {
            self.node_mut(parent).first = next;
            return;
        }
        while self.node(at).next != child {
            at = self.node(at).next;
        }
        self.node_mut(at).next = next;
    }

    /// Puts a new join in the place of `node`, with `node` as its only child.
    fn wrap(&mut self, node: u32, beside: bool) -> u32 {
        let Node { parent, w, h, .. } = *self.node(node);
        let join =
            self.add(Node { w, h, parent, first: NONE, next: NONE, part: NONE, beside, turned: false });
        if parent == NONE {
            self.root = join;
        } else {
            self.unlink(node);
            self.push_child(parent, join);
        }
        self.push_child(join, node);
        join
    }

    /// Places a part of size `w` × `h` (as it lies) into a slot of this sheet. Slots are stale afterwards.
    pub(crate) fn insert(&mut self, slot: Slot, part: u32, w: i64, h: i64, turned: bool, bench: &mut Bench) {
        let leaf =
            self.add(Node { w, h, parent: NONE, first: NONE, next: NONE, part, beside: false, turned });
        self.free -= w * h;
        self.parts += 1;
        let join = match slot.way {
            Way::Whole => {
                self.root = leaf;
                return;
            }
            Way::Append => slot.node,
            Way::Beside => self.wrap(slot.node, true),
            Way::Above => self.wrap(slot.node, false),
            Way::Across(count) => self.gather(slot.node, count, bench),
        };
        self.push_child(join, leaf);
        self.resize_from(join);
    }

    /// Moves the `count` shortest children of a join into a join of their own, inside a new join across it.
    fn gather(&mut self, outer: u32, count: u32, bench: &mut Bench) -> u32 {
        let beside = self.node(outer).beside;
        bench.ends.clear();
        let mut at = self.node(outer).first;
        while at != NONE {
            let node = self.node(at);
            bench.ends.push(if beside { (node.h, at, node.w) } else { (node.w, at, node.h) });
            at = node.next;
        }
        bench.ends.sort_unstable();
        let across = self.add(Node {
            w: 0,
            h: 0,
            parent: NONE,
            first: NONE,
            next: NONE,
            part: NONE,
            beside: !beside,
            turned: false,
        });
        let inner = self.add(Node {
            w: 0,
            h: 0,
            parent: NONE,
            first: NONE,
            next: NONE,
            part: NONE,
            beside,
            turned: false,
        });
        for index in 0..count as usize {
            let child = bench.ends[index].1;
            self.unlink(child);
            self.push_child(inner, child);
        }
        self.push_child(across, inner);
        self.push_child(outer, across);
        self.resize(inner);
        across
    }

    fn resize(&mut self, join: u32) -> bool {
        let Node { w: old_w, h: old_h, first, beside, .. } = *self.node(join);
        let (mut w, mut h) = (0, 0);
        let mut at = first;
        while at != NONE {
            let child = self.node(at);
            if beside {
                w += child.w;
                h = h.max(child.h);
            } else {
                w = w.max(child.w);
                h += child.h;
            }
            at = child.next;
        }
        let node = self.node_mut(join);
        node.w = w;
        node.h = h;
        w != old_w || h != old_h
    }

    fn resize_from(&mut self, join: u32) {
        let mut at = join;
        while at != NONE && self.resize(at) {
            at = self.node(at).parent;
        }
    }

    /// Takes a leaf off the sheet and returns its part. Slots are stale afterwards.
    pub(crate) fn remove(&mut self, leaf: u32) -> u32 {
        let Node { w, h, parent, part, .. } = *self.node(leaf);
        self.free += w * h;
        self.parts -= 1;
        if parent == NONE {
            self.clear();
            return part;
        }
        self.unlink(leaf);
        self.discard(leaf);
        let only = self.node(parent).first;
        if self.node(only).next != NONE {
            self.resize_from(parent);
            return part;
        }
        // One child is no join: the child takes its place, or its children go up where they run the same way.
        let above = self.node(parent).parent;
        if above == NONE {
            self.root = only;
            self.node_mut(only).parent = NONE;
            self.discard(parent);
            return part;
        }
        self.unlink(parent);
        self.discard(parent);
        if self.is_leaf(only) {
            self.push_child(above, only);
        } else {
            let mut at = self.node(only).first;
            while at != NONE {
                let next = self.node(at).next;
                self.push_child(above, at);
                at = next;
            }
            self.discard(only);
        }
        self.resize_from(above);
        part
    }

    /// Changes the size of the sheet, which must hold what is on it. Slots are stale afterwards.
    pub(crate) fn resize_sheet(&mut self, w: i64, h: i64) {
        self.free += w * h - self.w * self.h;
        self.w = w;
        self.h = h;
    }

    /// Empties the sheet.
    pub(crate) fn clear(&mut self) {
        self.nodes.clear();
        self.root = NONE;
        self.spare = NONE;
        self.parts = 0;
        self.free = self.w * self.h;
    }

    /// Lists anew where a part with both sides of at least `least` can go. Returns the work done, in nodes seen.
    pub(crate) fn find_slots(&mut self, least: i64, bench: &mut Bench) -> u64 {
        self.slots.clear();
        self.room = Room::default();
        if self.root == NONE {
            self.offer(self.w, self.h, NONE, Way::Whole, least);
            return 1;
        }
        let root = *self.node(self.root);
        let is_leaf = root.part != NONE;
        if is_leaf || root.beside {
            self.offer(self.w, self.h - root.h, self.root, Way::Above, least);
        }
        if is_leaf || !root.beside {
            self.offer(self.w - root.w, self.h, self.root, Way::Beside, least);
        }
        let mut seen = 1;
        bench.todo.clear();
        if !is_leaf {
            bench.todo.push((self.root, self.w, self.h));
        }
        while let Some((join, w, h)) = bench.todo.pop() {
            let node = *self.node(join);
            bench.ends.clear();
            let mut at = node.first;
            if node.beside {
                let slack = w - node.w;
                self.offer(slack, h, join, Way::Append, least);
                while at != NONE {
                    let child = *self.node(at);
                    seen += 1;
                    bench.ends.push((child.h, at, child.w));
                    if child.part != NONE {
                        self.offer(child.w + slack, h - child.h, at, Way::Above, least);
                    } else {
                        bench.todo.push((at, child.w + slack, h));
                    }
                    at = child.next;
                }
                if bench.ends.len() > 2 {
                    bench.ends.sort_unstable();
                    let mut sum = slack + bench.ends[0].2;
                    for count in 2..bench.ends.len() {
                        let (end, _, side) = bench.ends[count - 1];
                        sum += side;
                        self.offer(sum, h - end, join, Way::Across(count as u32), least);
                    }
                }
            } else {
                let slack = h - node.h;
                self.offer(w, slack, join, Way::Append, least);
                while at != NONE {
                    let child = *self.node(at);
                    seen += 1;
                    bench.ends.push((child.w, at, child.h));
                    if child.part != NONE {
                        self.offer(w - child.w, child.h + slack, at, Way::Beside, least);
                    } else {
                        bench.todo.push((at, w, child.h + slack));
                    }
                    at = child.next;
                }
                if bench.ends.len() > 2 {
                    bench.ends.sort_unstable();
                    let mut sum = slack + bench.ends[0].2;
                    for count in 2..bench.ends.len() {
                        let (end, _, side) = bench.ends[count - 1];
                        sum += side;
                        self.offer(w - end, sum, join, Way::Across(count as u32), least);
                    }
                }
            }
        }
        seen
    }

    fn offer(&mut self, w: i64, h: i64, node: u32, way: Way, least: i64) {
        if w >= least && h >= least {
            self.slots.push(Slot { w, h, node, way });
            self.room.widest = self.room.widest.max(w);
            self.room.highest = self.room.highest.max(h);
            self.room.roomiest = self.room.roomiest.max(w * h);
        }
    }

    /// The leaves under a node, added to `into`.
    pub(crate) fn leaves_under(&self, top: u32, into: &mut Vec<u32>) {
        let begin = into.len();
        into.push(top);
        let mut index = begin;
        // Joins are replaced by their children in place; what stays are leaves.
        while index < into.len() {
            let node = self.node(into[index]);
            if node.part != NONE {
                index += 1;
                continue;
            }
            let mut at = node.first;
            into.swap_remove(index);
            while at != NONE {
                into.push(at);
                at = self.node(at).next;
            }
        }
    }
}
