//! Proof that what a machine is to follow is clean: closed lines that meet neither themselves nor each other, nothing
//! twice, nothing without length, and no bridge of wood so thin that it breaks under the bit.

use super::narrow::{Lost, lost};
use super::{BRIDGE, Form, SHORTEST, Shape, Work, called, say, say_at, say_near};
use crate::length::Length;
use crate::shape::cut::intersection;
use crate::shape::grow::is_simple;
use crate::shape::relief::Air;
use crate::shape::{Outline, Point};

pub(super) fn check(work: &mut Work) {
    let shapes = std::mem::take(&mut work.piece.shapes);
    for shape in &shapes {
        if let Form::Closed(outline) = &shape.form
            && let Some(why) = unclean(outline)
        {
            work.unclean(&shape.layer, why);
        }
    }
    for (index, one) in shapes.iter().enumerate() {
        let same_layer = shapes.iter().skip(index + 1).filter(|other| other.layer == one.layer);
        for other in same_layer {
            if overlap(one, other) {
                work.unclean(&one.layer, "has shapes that lie over each other");
            }
        }
    }
    // Without a machine a person decides what breaks.
    if !work.shop.name.is_empty() {
        bridges(work, &shapes);
    }
    work.piece.shapes = shapes;
}

impl Work<'_> {
    fn unclean(&mut self, layer: &str, why: &str) {
        let message = format!("{}: the layer {layer} {why}", called(self.made, self.part));
        self.fault("cut-unclean", message, "move what lies there apart, or cut it another way");
    }

    fn thin(&mut self, at: (f64, f64), width: f64) {
        let point = Point::new(Length::from_mm(at.0), Length::from_mm(at.1));
        let near = |lobe: &&crate::shape::relief::Lobe| {
            libm::hypot(lobe.centre.0 - at.0, lobe.centre.1 - at.1) < lobe.radius + BRIDGE.to_mm()
        };
        let lobe = self.piece.lobes.iter().find(near).map(|lobe| lobe.corner);
        let by = lobe.map_or(String::new(), |corner| {
            format!(", beside the relief of the corner {}", say_at(self.made, corner))
        });
        let width = if width < 0.01 {
            "no wood at all".to_owned()
        } else {
            format!("a bridge of {}", say_near(self.made, Length::from_mm(width)))
        };
        let message = format!(
            "{}: {width} is left {}{by}; {} is the least that {} can cut",
            called(self.made, self.part),
            say_at(self.made, point),
            say(self.made, BRIDGE),
            self.shop.name
        );
        self.fault("thin-bridge", message, "move the cuts apart, or make one of the two");
    }
}

/// What is wrong with a closed line; `None` where nothing is.
pub(super) fn unclean(outline: &Outline) -> Option<&'static str> {
    let short = outline.segments().any(|(from, to)| {
        libm::hypot((to.x - from.at.x).to_mm(), (to.y - from.at.y).to_mm()) < SHORTEST.to_mm()
    });
    if short {
        Some("has a segment of next to no length")
    } else if !is_simple(outline) {
        Some("has a line that crosses or touches itself")
    } else {
        None
    }
}

fn overlap(one: &Shape, other: &Shape) -> bool {
    match (&one.form, &other.form) {
        (Form::Circle { at: a, diameter: d }, Form::Circle { at: b, diameter: e }) => {
            let apart = libm::hypot((a.x - b.x).to_mm(), (a.y - b.y).to_mm());
            apart < (*d + *e).to_mm() / 2.0 - 1e-6
        }
        (Form::Closed(a), Form::Closed(b)) => {
            // An island inside a pocket is a line of its own; only lines that cross or lie on each other are at fault.
            let inside = |a: &Outline, b: &Outline| {
                a.vertices().iter().all(|vertex| b.contains(vertex.at)) && nearest(a, b).1 > SHORTEST.to_mm()
            };
            if apart(a, b) || inside(a, b) || inside(b, a) {
                return false;
            }
            intersection(a, b).map_or(true, |shared| !shared.is_empty())
        }
        _ => false,
    }
}

fn apart(one: &Outline, other: &Outline) -> bool {
    let (a, b) = (one.extents(), other.extents());
    a.high.x < b.low.x || b.high.x < a.low.x || a.high.y < b.low.y || b.high.y < a.low.y
}

fn bridges(work: &mut Work, shapes: &[Shape]) {
    let loops: Vec<&Outline> = shapes
        .iter()
        .filter_map(|shape| match (&shape.form, shape.operation) {
            (Form::Closed(outline), super::Operation::Outside | super::Operation::Inside) => Some(outline),
            _ => None,
        })
        .collect();
    for (index, one) in loops.iter().enumerate() {
        for other in loops.iter().skip(index + 1) {
            let (at, width) = nearest(one, other);
            if width < BRIDGE.to_mm() - 1e-6 {
                work.thin(at, width);
            }
        }
    }
    // Wood that half a bridge eats away from both sides: a neck, a finger between two notches. One just as wide is left.
    let disc = BRIDGE.half() - SHORTEST;
    for (index, outline) in loops.iter().enumerate() {
        let air = if index == 0 { Air::Around } else { Air::Within };
        for Lost { at, width } in lost(outline, air.other(), disc) {
            work.thin(at, width);
        }
    }
}

/// Distance of a point from a line, mm; arcs to a few thousandths.
pub(super) fn distance(outline: &Outline, at: (f64, f64)) -> f64 {
    chords(outline).map(|chord| to_chord(at, chord)).fold(f64::INFINITY, f64::min)
}

/// The middle between the nearest two points of two lines, and how far apart they are, mm.
pub(super) fn nearest(one: &Outline, other: &Outline) -> ((f64, f64), f64) {
    let mut best = ((0.0, 0.0), f64::INFINITY);
    let (ones, others): (Vec<_>, Vec<_>) = (chords(one).collect(), chords(other).collect());
    for (all, points) in [(&ones, &others), (&others, &ones)] {
        for (point, _) in points.iter() {
            for chord in all.iter() {
                let found = foot(*point, *chord);
                let away = libm::hypot(found.0 - point.0, found.1 - point.1);
                if away < best.1 {
                    best = (((found.0 + point.0) / 2.0, (found.1 + point.1) / 2.0), away);
                }
            }
        }
    }
    best
}

type Chord = ((f64, f64), (f64, f64));

fn chords(outline: &Outline) -> impl Iterator<Item = Chord> {
    let points = outline.flattened(0.005);
    let next: Vec<(f64, f64)> = points.iter().skip(1).chain(points.first()).copied().collect();
    points.into_iter().zip(next)
}

fn foot(at: (f64, f64), (a, b): Chord) -> (f64, f64) {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    if square == 0.0 {
        return a;
    }
    let along = (((at.0 - a.0) * dx + (at.1 - a.1) * dy) / square).clamp(0.0, 1.0);
    (a.0 + dx * along, a.1 + dy * along)
}

fn to_chord(at: (f64, f64), chord: Chord) -> f64 {
    let (x, y) = foot(at, chord);
    libm::hypot(at.0 - x, at.1 - y)
}
