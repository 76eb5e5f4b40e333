//! Housings, grooves, rebates and recesses as a machine clears them: those of one depth that meet are one shape, corners
//! with wood on both sides are relieved, and a side that is open at the edge is carried past it, as a round bit would leave its corners
//! standing there.

use std::collections::BTreeMap;

use super::{BRIDGE, Form, Operation, Work, called, say, say_at};
use crate::length::Length;
use crate::shape::cut::{intersect, union};
use crate::shape::grow::grow_sides;
use crate::shape::relief::Air;
use crate::shape::{Arc, Outline, Plate, Point};

/// How far behind a wall it is asked what is there, mm.
const HAIR: f64 = 0.02;

pub(super) fn pockets(work: &mut Work, plate: &Plate) {
    let mut by_operation: BTreeMap<Operation, Vec<Outline>> = BTreeMap::new();
    for pocket in &work.part.pockets {
        let operation = Operation::Pocket { from: pocket.from, depth: pocket.depth };
        by_operation.entry(operation).or_default().push(pocket.outline.clone());
    }
    for (operation, outlines) in by_operation {
        // Two that meet would be cut twice over, or leave a skin between them.
        let together = match outlines.as_slice() {
            [one] => vec![Plate::whole(one.clone())],
            all => match union(all) {
                Ok(plates) => plates,
                Err(fault) => {
                    let message =
                        format!("{}: pockets cannot be joined: {fault:?}", called(work.made, work.part));
                    work.fault("cut-unclean", message, "move one of them a little, and report the case");
                    continue;
                }
            },
        };
        for pocket in together {
            work.pocket(&pocket.outline, Air::Within, plate, operation);
            for island in &pocket.inside {
                work.pocket(island, Air::Around, plate, operation);
            }
        }
    }
}

impl Work<'_> {
    fn pocket(&mut self, outline: &Outline, air: Air, plate: &Plate, operation: Operation) {
        self.tight_curves(outline, air);
        let Some((radius, bone)) = self.relief() else {
            self.put(operation, Form::Closed(outline.clone()));
            return;
        };
        let open = match air {
            Air::Within => run_out(outline, plate, radius),
            Air::Around => outline.clone(),
        };
        let walls: Vec<bool> = corners_in_wood(&open, air, plate);
        let before = self.piece.lobes.len();
        let relieved = self.relieved(&open, air, radius, bone, |index| walls.get(index) == Some(&true));
        for index in before..self.piece.lobes.len() {
            let Some(lobe) = self.piece.lobes.get(index).copied() else { continue };
            let broken = lobe.points().any(|at| {
                let point = Point::new(Length::from_mm(at.0), Length::from_mm(at.1));
                !in_wood(point, plate)
                    || plate.loops().any(|line| super::sound::distance(line, at) < BRIDGE.to_mm())
            });
            if broken {
                let message = format!(
                    "{}: the relief of the corner {} comes within {} of the next edge, with the {} bit of {}",
                    called(self.made, self.part),
                    say_at(self.made, lobe.corner),
                    say(self.made, BRIDGE),
                    say(self.made, self.shop.bit.unwrap_or_default()),
                    self.shop.name
                );
                self.fault(
                    "corner-relief",
                    message,
                    "take a smaller bit, relieve into the other wall, or let the pocket run out at the edge",
                );
            }
        }
        self.put(operation, Form::Closed(relieved));
    }
}

fn in_wood(point: Point, plate: &Plate) -> bool {
    plate.outline.contains(point) && !plate.inside.iter().any(|opening| opening.contains(point))
}

/// A hair to the right of a side, at a share of it: behind the wall of a pocket.
fn behind(outline: &Outline, index: usize, share: f64, air: Air) -> Option<Point> {
    let (from, to) = outline.segments().nth(index)?;
    let (a, b) = (from.at.to_mm(), to.to_mm());
    let out = if air == Air::Within { HAIR } else { -HAIR };
    let at = match Arc::between(a, b, from.bulge) {
        Some(arc) => {
            let angle = arc.start + arc.sweep * share;
            // Right of an arc that turns to the left is away from its middle.
            let reach = arc.radius + out * arc.sweep.signum();
            (arc.centre.0 + reach * libm::cos(angle), arc.centre.1 + reach * libm::sin(angle))
        }
        None => {
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let length = libm::hypot(dx, dy);
            (a.0 + dx * share + dy / length * out, a.1 + dy * share - dx / length * out)
        }
    };
    Some(Point::new(Length::from_mm(at.0), Length::from_mm(at.1)))
}

/// For each corner whether there is wood behind both its walls.
fn corners_in_wood(outline: &Outline, air: Air, plate: &Plate) -> Vec<bool> {
    let count = outline.vertices().len();
    let wood = |index: usize, share: f64| {
        behind(outline, index, share, air).is_some_and(|point| in_wood(point, plate))
    };
    (0..count).map(|index| wood((index + count - 1) % count, 0.95) && wood(index, 0.05)).collect()
}

/// The pocket with its open sides carried out of the wood by the radius of the bit; as it was where that would take wood.
fn run_out(outline: &Outline, plate: &Plate, radius: Length) -> Outline {
    let count = outline.vertices().len();
    let open = |index: usize| {
        [0.05, 0.275, 0.5, 0.725, 0.95].into_iter().all(|share| {
            behind(outline, index, share, Air::Within).is_some_and(|point| !in_wood(point, plate))
        })
    };
    let straight: Vec<bool> = outline.vertices().iter().map(|vertex| vertex.bulge == 0.0).collect();
    let out: Vec<Length> = (0..count)
        .map(|index| if straight.get(index) == Some(&true) && open(index) { radius } else { Length::ZERO })
        .collect();
    if out.iter().all(|by| *by == Length::ZERO) {
        return outline.clone();
    }
    let Ok(grown) = grow_sides(outline, &out) else { return outline.clone() };
    let wood = |of: &Outline| {
        intersect(&Plate::whole(of.clone()), plate)
            .map(|plates| plates.iter().map(Plate::area_mm2).sum::<f64>())
            .ok()
    };
    match (wood(outline), wood(&grown)) {
        (Some(one), Some(other)) if (one - other).abs() < 0.01 => grown,
        _ => outline.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Vertex;

    /// Three quarters of a circle of radius 20: wherever the share, the point lies a hair further from the middle.
    #[test]
    fn a_point_behind_a_strong_arc_lies_behind_it() {
        let mm = |x: f64, y: f64| Point::new(Length::from_mm(x), Length::from_mm(y));
        let bulge = libm::tan(3.0 * std::f64::consts::PI / 8.0);
        let corners = [(mm(20.0, 0.0), bulge), (mm(0.0, -20.0), 0.0), (mm(0.0, 0.0), 0.0)];
        let pie = Outline::new(corners.map(|(at, bulge)| Vertex { at, bulge }).to_vec()).expect("a pie");
        for share in [0.05, 0.275, 0.5, 0.725, 0.95] {
            for (air, away) in [(Air::Within, 20.02), (Air::Around, 19.98)] {
                let (x, y) = behind(&pie, 0, share, air).expect("a point").to_mm();
                assert!((libm::hypot(x, y) - away).abs() < 1e-4, "{share}: {x} {y}");
            }
        }
    }
}
