//! The cuts and recesses of one board that another fills, as the part has them: where they lie on the plane and in the room.

use super::numbers::Met;
use super::plane::{meets, room_box};
use crate::drawing::At;
use crate::length::{Interval, Length};
use crate::shape::{Extents, Point};
use crate::trade::{Axis, Face};

/// A cut in one board for the other: its area on the plane, its box in the room, what it is called.
pub(super) struct Found {
    pub area: Extents,
    pub space: [Interval; 3],
    pub word: &'static str,
}

/// A side of an area on the plane: its middle, the way out of it, whether that way is level, its coordinate.
pub(super) struct Border {
    pub middle: Point,
    pub out: At,
    pub level: bool,
    pub at: Length,
}

pub(super) fn borders(area: &Extents) -> [Border; 4] {
    let middle = |a: Length, b: Length| a + (b - a).half();
    let (x, y) = (middle(area.low.x, area.high.x), middle(area.low.y, area.high.y));
    let border = |middle, out, level, at| Border { middle, out, level, at };
    [
        border(Point::new(area.low.x, y), (-1.0, 0.0), true, area.low.x),
        border(Point::new(area.high.x, y), (1.0, 0.0), true, area.high.x),
        border(Point::new(x, area.low.y), (0.0, -1.0), false, area.low.y),
        border(Point::new(x, area.high.y), (0.0, 1.0), false, area.high.y),
    ]
}

impl Met<'_> {
    /// The cut in one board that the other passes through.
    pub(super) fn cut_in(&self, host: usize, guest: usize) -> Option<Found> {
        let (placed, part) = (self.boards[host], self.part(host)?);
        let all = part.cuts.iter().map(|cut| {
            let space = room_box(placed, &cut.outline.extents(), (Length::ZERO, part.thick));
            Found { area: self.plane.extents(&space), space, word: cut.kind.word() }
        });
        self.most_filled(all, guest)
    }

    /// The recess in one board that the other sits in.
    pub(super) fn pocket_in(&self, host: usize, guest: usize) -> Option<Found> {
        let (placed, part) = (self.boards[host], self.part(host)?);
        let all = part.pockets.iter().map(|pocket| {
            let depths = match pocket.from {
                Face::Show => (Length::ZERO, pocket.depth),
                Face::Back => (part.thick - pocket.depth, part.thick),
            };
            let space = room_box(placed, &pocket.outline.extents(), depths);
            Found { area: self.plane.extents(&space), space, word: pocket.kind.word() }
        });
        self.most_filled(all, guest)
    }

    fn most_filled(&self, all: impl Iterator<Item = Found>, guest: usize) -> Option<Found> {
        let span = &self.boards[guest].board.span;
        let filled = |found: &Found| {
            let along = |i: usize| {
                let (a, b) = (found.space[i], span[i]);
                (a.high.min(b.high) - a.low.max(b.low)).to_mm()
            };
            along(0) * along(1) * along(2)
        };
        all.filter(|found| meets(&found.space, span)).max_by(|a, b| filled(a).total_cmp(&filled(b)))
    }

    /// Sizes of a box of the room over a board's face, the smaller first.
    pub(super) fn sizes_in(&self, which: usize, space: &[Interval; 3]) -> String {
        let into = self.boards[which].frame.into.axis();
        let mut sizes: Vec<Length> =
            Axis::ALL.into_iter().filter(|a| *a != into).map(|a| space[a.index()].size()).collect();
        sizes.sort();
        sizes.iter().map(|l| self.figure(*l)).collect::<Vec<_>>().join(" × ")
    }
}
