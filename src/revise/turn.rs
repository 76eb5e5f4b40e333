//! A piece taken in hand: turned half round or over, as a worker may lay it, still the same piece. Part coordinates of the
//! turned piece are again u to the right, v up, lower left corner of the outline at (0, 0).

use crate::boards::{Edge, Hole, Pocket};
use crate::joints::{Bevel, Bore, Cut};
use crate::parts::Part;
use crate::shape::solid::Arris;
use crate::shape::{Outline, Point};

/// One of the four ways a rectangular blank can be laid on its own place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Turn {
    #[default]
    None,
    /// half round, the same face up
    Round,
    /// over its upright middle line: left becomes right, the faces change places
    OverSideways,
    /// over its level middle line: top becomes bottom, the faces change places
    OverEndways,
}

impl Turn {
    pub const ALL: [Turn; 4] = [Turn::None, Turn::Round, Turn::OverSideways, Turn::OverEndways];

    pub const fn is_over(self) -> bool {
        matches!(self, Turn::OverSideways | Turn::OverEndways)
    }

    const fn flips(self) -> (bool, bool) {
        match self {
            Turn::None => (false, false),
            Turn::Round => (true, true),
            Turn::OverSideways => (true, false),
            Turn::OverEndways => (false, true),
        }
    }

    /// The piece as it then lies, moved by `by` from its own corner.
    pub fn lay(self, part: &Part, by: Point) -> Part {
        let (flip_u, flip_v) = self.flips();
        let over = self.is_over();
        let point = |at: Point| {
            let x = if flip_u { part.width - at.x } else { at.x };
            let y = if flip_v { part.height - at.y } else { at.y };
            Point::new(x + by.x, y + by.y)
        };
        // Wood stays on the left of a run.
        let run =
            |from: Point, to: Point| if over { (point(to), point(from)) } else { (point(from), point(to)) };
        let outline = |o: &Outline| o.mapped(point, over);
        let face = |face: crate::trade::Face| if over { face.other() } else { face };
        let arris = |arris: Arris| match arris {
            Arris::Show if over => Arris::Back,
            Arris::Back if over => Arris::Show,
            same => same,
        };
        let bore = |b: &Bore| Bore {
            at: point(b.at),
            leaves: point(b.leaves),
            leaves_depth: if over { part.thick - b.leaves_depth } else { b.leaves_depth },
            from: face(b.from),
            ..b.clone()
        };
        let bevel = |b: &Bevel| {
            let (from, to) = run(b.from, b.to);
            Bevel { from, to, long: face(b.long), ..b.clone() }
        };
        let edge = |e: &Edge| {
            let (from, to) = run(e.from, e.to);
            Edge { from, to, profile: e.profile.map(|(shape, on)| (shape, arris(on))), ..e.clone() }
        };
        let pocket = |p: &Pocket| Pocket { outline: outline(&p.outline), from: face(p.from), ..p.clone() };
        Part {
            outline: outline(&part.outline).canonical(),
            inside: part.inside.iter().map(outline).collect(),
            pockets: part.pockets.iter().map(pocket).collect(),
            holes: part
                .holes
                .iter()
                .map(|h| Hole { at: point(h.at), from: face(h.from), ..h.clone() })
                .collect(),
            bores: part.bores.iter().map(bore).collect(),
            bevels: part.bevels.iter().map(bevel).collect(),
            edges: part.edges.iter().map(edge).collect(),
            cuts: part.cuts.iter().map(|c| Cut { outline: outline(&c.outline), ..c.clone() }).collect(),
            ..part.clone()
        }
    }
}
