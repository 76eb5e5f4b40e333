//! Where a part lies in a file: turned by whole quarters and moved, never mirrored.

use crate::shape::{Outline, Point};

/// Quarter turns to the left about 0, 0, then a move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Motion {
    /// 0 to 3.
    pub quarters: u8,
    pub by: Point,
}

impl Motion {
    pub fn point(self, at: Point) -> Point {
        let (x, y) = match self.quarters % 4 {
            0 => (at.x, at.y),
            1 => (-at.y, at.x),
            2 => (-at.x, -at.y),
            _ => (at.y, -at.x),
        };
        Point::new(x + self.by.x, y + self.by.y)
    }

    pub fn outline(self, outline: &Outline) -> Outline {
        outline.mapped(|at| self.point(at), false)
    }

    /// This motion, then another.
    pub fn then(self, next: Motion) -> Motion {
        Motion { quarters: (self.quarters + next.quarters) % 4, by: next.point(self.by) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;

    #[test]
    fn two_motions_are_one() {
        let at = |x: i64, y: i64| Point::new(Length::from_units(x), Length::from_units(y));
        for quarters in 0..4 {
            let one = Motion { quarters, by: at(7, -3) };
            let two = Motion { quarters: 3, by: at(100, 20) };
            let (a, b) = (two.point(one.point(at(11, 5))), one.then(two).point(at(11, 5)));
            assert_eq!(a, b);
        }
        assert_eq!(Motion { quarters: 1, by: at(0, 0) }.point(at(2, 1)), at(-1, 2), "to the left");
    }
}
