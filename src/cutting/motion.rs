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
}
