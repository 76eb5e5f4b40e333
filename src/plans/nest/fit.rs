//! What is placed, in which order, and what makes one place better than another.

use super::tree::{Sheet, Slot, Way};

/// One piece to place; sides are grown by a kerf.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Part {
    pub(crate) w: i64,
    pub(crate) h: i64,
    pub(crate) item: u32,
    pub(crate) may_turn: bool,
}

impl Part {
    pub(crate) fn area(&self) -> i64 {
        self.w * self.h
    }

    pub(crate) fn lying(&self, turned: bool) -> (i64, i64) {
        if turned { (self.h, self.w) } else { (self.w, self.h) }
    }
}

/// The order in which parts are placed: largest of this first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    Area,
    LongSide,
    Width,
    Height,
    HalfRound,
    ShortSide,
}

/// What makes one slot better than another for a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fit {
    /// The least gap on either side.
    Gap,
    /// The least room left in all.
    Room,
    /// The least piece left in the corner.
    Corner,
    /// The widths or heights already cut on the saw; then the least gap.
    Match,
}

impl Fit {
    pub(crate) fn waste(self, sheet: &Sheet, slot: &Slot, w: i64, h: i64) -> i64 {
        let (beyond_w, beyond_h) = (slot.w - w, slot.h - h);
        match self {
            Self::Gap => beyond_w.min(beyond_h),
            Self::Room => slot.w * slot.h - w * h,
            Self::Corner => beyond_w * beyond_h,
            Self::Match => {
                let same = match slot.way {
                    Way::Whole | Way::Across(_) => false,
                    Way::Append if sheet.node(slot.node).beside => sheet.node(slot.node).h == h,
                    Way::Append => sheet.node(slot.node).w == w,
                    Way::Above => sheet.node(slot.node).w == w,
                    Way::Beside => sheet.node(slot.node).h == h,
                };
                let gap = beyond_w.min(beyond_h);
                if same { gap - sheet.w.max(sheet.h) } else { gap }
            }
        }
    }
}

/// Where a part goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot {
    pub(crate) sheet: u32,
    pub(crate) slot: Slot,
    pub(crate) turned: bool,
}
