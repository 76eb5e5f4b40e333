//! Boards that touch: how wide they bear, where one stands back behind the other, where a point ends beyond the contact.

use super::fixed::Driven;
use super::numbers::{Met, Numbers, size};
use super::plane::wood_along;
use crate::drawing::At;
use crate::length::{Interval, Length};
use crate::trade::Side;

impl Met<'_> {
    /// Boards that touch: how wide they bear, where one stands back behind the other.
    pub(super) fn butted(&self, all: &mut Numbers) {
        let [one, other] = self.boards.map(|placed| placed.frame.into.axis());
        let touching = self.side.map(Side::axis);
        let how = match (one == other, touching) {
            (true, Some(side)) if side == one => "face to face",
            (true, _) => "edge to edge",
            (false, Some(side)) if side == one || side == other => "edge to face",
            _ => "end on edge",
        };
        all.title = format!("BUTT, {how}");
        let Some(side) = self.side else { return };
        let level = side.axis() == self.plane.look.right.axis();
        let ends = self.ends(side, level);
        let Some([a, b]) = ends else { return };
        let (from, to) = (a.low.max(b.low), a.high.min(b.high));
        let line = self.line(side);
        let is_whole = self.zone == self.shown;
        if is_whole && to > from {
            all.sizes.push(size("they bear over", !level, (from, to), (line, line)));
        }
        let mut flush = 0;
        for (near, far) in [(a.low, b.low), (a.high, b.high)] {
            let off = (near - far).abs();
            if off <= Length::TOUCH {
                flush += 1;
            } else if off <= self.margin && is_whole {
                all.sizes.push(size("stands back", !level, (near.min(far), near.max(far)), (line, line)));
            }
        }
        match flush {
            0 => {}
            1 => all.facts.push(("EDGES".to_owned(), "flush on one side".to_owned())),
            _ => all.facts.push(("EDGES".to_owned(), "flush on both sides".to_owned())),
        }
        if let Some(driven) = self.driven.first() {
            self.point(driven, level, line, (from, to), all);
        }
    }

    /// Where the line of contact lies along the direction of touching.
    fn line(&self, side: Side) -> Length {
        let level = side.axis() == self.plane.look.right.axis();
        let area = &self.zone;
        let towards = if level { self.plane.look.right } else { self.plane.look.up };
        match (level, side == towards) {
            (true, true) => area.high.x,
            (true, false) => area.low.x,
            (false, true) => area.high.y,
            (false, false) => area.low.y,
        }
    }

    /// Reach of the wood of both boards along the line of contact, a hair inside each.
    fn ends(&self, side: Side, level: bool) -> Option<[Interval; 2]> {
        let hair = (Length::TOUCH + Length::TOUCH).to_mm();
        let line = self.line(side).to_mm();
        let middle = |a: Length, b: Length| (a.to_mm() + b.to_mm()) / 2.0;
        let towards = if level { self.plane.look.right } else { self.plane.look.up };
        let out = if side == towards { 1.0 } else { -1.0 };
        let reach = |which: usize| {
            let inside = line + hair * if which == 0 { -out } else { out };
            let (from, way) = if level {
                ((inside, middle(self.shown.low.y, self.shown.high.y)), (0.0, 1.0))
            } else {
                ((middle(self.shown.low.x, self.shown.high.x), inside), (1.0, 0.0))
            };
            let start = if level { from.1 } else { from.0 };
            let all = wood_along(&self.whole[which], from, way);
            let (low, high) = all.into_iter().find(|(a, b)| *a <= 0.0 && *b >= 0.0)?;
            Some(Interval { low: Length::from_mm(start + low), high: Length::from_mm(start + high) })
        };
        Some([reach(0)?, reach(1)?])
    }

    /// Where a fixing crosses the contact and where its point ends.
    fn point(
        &self,
        driven: &Driven,
        level: bool,
        line: Length,
        bearing: (Length, Length),
        all: &mut Numbers,
    ) {
        let along = |at: At| if level { at.0 } else { at.1 };
        let aside = |at: At| if level { at.1 } else { at.0 };
        if along(driven.way).abs() < 0.1 {
            return;
        }
        let crosses = (line.to_mm() - along(driven.head)) / along(driven.way);
        let axis = Length::from_mm(aside(driven.head) + aside(driven.way) * crosses);
        let (low, high) = bearing;
        if self.zone == self.shown && low < axis && axis < high {
            let near_low = axis - low <= high - axis;
            let span = if near_low { (low, axis) } else { (axis, high) };
            all.sizes.push(size(
                &format!("{} from the edge", driven.kind.word()),
                !level,
                span,
                (line, line),
            ));
        }
        let tip = Length::from_mm(along(driven.tip));
        let beside = Length::from_mm(aside(driven.tip));
        if driven.bite.is_some() && (tip - line).abs() > Length::TOUCH {
            let what = format!("point of the {} beyond the joint", driven.kind.word());
            all.sizes.push(size(&what, level, (tip.min(line), tip.max(line)), (beside, beside)));
        }
    }
}
