//! Labels on a part's face view: names of cuts and holes, radii and rises, each led to what it names and placed where
//! nothing else is.

use super::dimension::{bore_letter, letter};
use super::drawn::*;
use super::face_view::{OnPaper, outside};
use super::frame::Area;
use super::free::Spot;
use super::hole_sets::{self, HoleSet};
use super::own_notches::own_notches;
use super::part_layout::Layout;
use super::part_sheet::Drawing;
use super::part_words::{self as words, Words};
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::lettering::{reach_of, width_of};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At};
use crate::length::Length;
use crate::shape::{Arc, Outline, Point};

const LABELS: f64 = 3.5;
/// The longest leader of a label in millimetres: any; of the name of a hole that a table places; where such names are many.
const FAR: f64 = f64::MAX;
const CLOSE: f64 = 34.0;
const CLOSEST: f64 = 13.0;
const MANY: usize = 40;
/// How far from the view names of holes stand: nearer than the first row of dimensions.
const BESIDE: f64 = 9.0;
/// A hole so wide on paper in millimetres could hold a name.
const LARGE_HOLE: f64 = 6.0;
/// Share of its rectangle that a shape fills which can be named anywhere in it.
const FILLS: f64 = 0.7;
/// What the names of many holes may cost, in lines and texts looked at: some hundred holes on a crowded view.
const MOST_STEPS: usize = 600_000;

impl Drawing {
    pub(super) fn labels(&mut self, words: &Words, layout: &Layout) {
        let (part, plan, on) = (words.part, words.plan, &layout.on);
        // Shapes first: their names stand in them where they have room.
        for (i, pocket) in part.pockets.iter().enumerate() {
            self.shape(&words::recess_mark(pocket.kind, i), on, &pocket.outline);
        }
        for (i, opening) in words.lone_openings() {
            self.shape(&words::opening_mark(i), on, opening);
        }
        for (i, cut) in part.cuts.iter().enumerate() {
            self.shape(&words::cut_mark(i), on, &cut.outline);
        }
        for (i, notch) in own_notches(part).iter().enumerate() {
            self.shape(&words::step_mark(i), on, notch);
        }
        // Of holes that stand in sets, those at the corners are named, of long rows those at the ends.
        let named = if plan.hole_table {
            let (sets, alone) = hole_sets::sets(part, plan, &words.figures);
            let mut named = hole_sets::named(part, plan, &alone);
            named.extend(sets.iter().flat_map(HoleSet::corners));
            named.sort_unstable();
            named
        } else {
            (0..plan.drawn.holes.len()).collect()
        };
        // The more names, the closer they have to stand: long leaders across each other tell nothing.
        let reach = match named.len() + plan.drawn.bores.len() {
            _ if !plan.hole_table => FAR,
            0..=MANY => CLOSE,
            _ => CLOSEST,
        };
        // Names of many keep within the first row of dimensions, where they can.
        let out = outside(part, on);
        self.close = Area {
            low: (on.datum.0 - out[0] - BESIDE, on.datum.1 - out[2] - BESIDE),
            high: (on.x(part.width) + out[1] + BESIDE, on.y(part.height) + out[3] + BESIDE),
        };
        for i in named {
            let (Some(hole), Some(at)) = (plan.drawn.holes.get(i), part.holes.get(i)) else { continue };
            let text = if plan.hole_table { words::hole_name(hole) } else { letter(hole.kind) };
            self.name(&text, on.at(at.at), reach);
        }
        for (i, bore) in plan.drawn.bores.iter().enumerate() {
            let text = if plan.hole_table { words::bore_name(bore) } else { bore_letter(bore.kind) };
            self.name(&text, on.at(part.bores[i].at), reach);
        }
        let between = |a: Point, b: Point| {
            let (a, b) = (a.to_mm(), b.to_mm());
            // Of a broken view near the ends, where there is an edge to be pointed at.
            let near = 7.0 / on.factor / libm::hypot(b.0 - a.0, b.1 - a.1).max(1e-9);
            let near = near.min(0.5);
            let along = if on.breaks.is_none() { [0.5, 0.3, 0.7] } else { [near, 1.0 - near, near / 2.0] };
            along.map(|t| on.mm((a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)))
        };
        for (i, edge) in part.edges.iter().enumerate() {
            self.label(&words::edge_mark(i), &between(edge.from, edge.to), Terminator::Narrow);
        }
        for (i, bevel) in part.bevels.iter().enumerate() {
            self.label(&words::bevel_mark(i), &between(bevel.from, bevel.to), Terminator::Narrow);
        }
        let outlines = plan.drawn.outline.iter().zip([&part.outline]);
        let inside = plan.drawn.inside.iter().zip(&part.inside);
        let recesses =
            plan.drawn.recesses.iter().map(|r| &r.outline).zip(part.pockets.iter().map(|p| &p.outline));
        for (drawn, outline) in outlines.chain(inside).chain(recesses) {
            let is_outer = std::ptr::eq(outline, &part.outline);
            self.curves(words, on, drawn, outline, is_outer);
        }
    }

    /// Notes of radii, rises and diameters, each led to one of the curves that it is for.
    fn curves(&mut self, words: &Words, on: &OnPaper, drawn: &Loop, outline: &Outline, is_outer: bool) {
        let plan = words.plan;
        let corners = match drawn {
            Loop::Round { diameter, .. } => {
                let e = outline.extents();
                let rim = on.at(Point::new(e.high.x, e.low.y + e.height().half()));
                self.label(&format!("Ø {}", plan.printed(*diameter)), &[rim], Terminator::Narrow);
                return;
            }
            Loop::Corners(corners) => corners,
        };
        let arcs: Vec<(At, Arc)> = outline
            .segments()
            .filter_map(|(from, to)| {
                let arc = Arc::between(from.at.to_mm(), to.to_mm(), from.bulge)?;
                Some((on.mm(arc.at(0.5)), arc))
            })
            .collect();
        let mut told: Vec<What> = Vec::new();
        for corner in corners {
            let Some(radius) = corner.rounded else { continue };
            if told.contains(&radius) {
                continue;
            }
            told.push(radius);
            let size = plan.value(Where::By(radius)).to_mm();
            let places: Vec<At> =
                arcs.iter().filter(|(_, a)| (a.radius - size).abs() < 1e-3).map(|(at, _)| *at).collect();
            let count = corners.iter().filter(|c| c.rounded == Some(radius)).count();
            let times = if count > 1 { format!("{count} × ") } else { String::new() };
            self.label(&format!("{times}R {}", plan.printed(radius)), &places, Terminator::Narrow);
        }
        for corner in corners {
            let text = match corner.leaves {
                // With the wood at the left of the way, an arc that swings to the left goes into it.
                Run::Rise { rise, left: true } if is_outer => format!("HOLLOW {} DEEP", plan.printed(rise)),
                Run::Rise { rise, .. } => format!("ARC RISES {}", plan.printed(rise)),
                Run::Crown { .. } => "ARCH".to_owned(),
                Run::HalfRound { .. } => "HALF ROUND".to_owned(),
                Run::Straight => continue,
            };
            let from = (on.x(plan.value(corner.at.0)), on.y(plan.value(corner.at.1)));
            // The arc that starts at this corner, and its radius for the trammel.
            let nearest = outline.segments().filter(|(v, _)| v.bulge != 0.0).min_by(|(a, _), (b, _)| {
                let far = |p: Point| libm::hypot(on.at(p).0 - from.0, on.at(p).1 - from.1);
                far(a.at).total_cmp(&far(b.at))
            });
            let Some((start, end)) = nearest else { continue };
            let Some(arc) = Arc::between(start.at.to_mm(), end.to_mm(), start.bulge) else { continue };
            let crown = on.mm(arc.at(0.5));
            let radius = words.figures.figure(Length::from_mm(arc.radius));
            self.label(&format!("{text} (R {radius})"), &[crown], Terminator::Narrow);
        }
    }

    /// Names a hole. Where holes are many, only close by, and no more of them than the sheet's share of work allows: the rest
    /// are counted row by row.
    fn name(&mut self, text: &str, at: At, reach: f64) {
        let in_table = reach < FAR;
        let worth_trying = !in_table || self.taken.steps() <= MOST_STEPS;
        let close = if in_table { self.close } else { self.zone };
        let is_named = worth_trying
            && (self.lead(text, &[at], Terminator::None, reach, close)
                || reach == CLOSE && self.lead(text, &[at], Terminator::None, reach, self.zone));
        // What a table places is found there by its number; anything else has to be said.
        match (is_named, in_table) {
            (true, _) => {}
            (false, true) => self.uncalled += 1,
            (false, false) => self.unnamed += 1,
        }
    }

    /// Writes a label where there is room for it, with a leader to the nearest of its targets.
    pub(super) fn label(&mut self, text: &str, targets: &[At], end: Terminator) {
        if !self.lead(text, targets, end, FAR, self.zone) {
            self.unnamed += 1;
        }
    }

    /// Closed shapes of the part, in which only their own names may stand and those of what lies in them.
    pub(super) fn rooms(&mut self, words: &Words, on: &OnPaper) {
        let part = words.part;
        let room = |outline: &Outline| {
            let e = outline.extents();
            Area { low: on.at(e.low), high: on.at(e.high) }
        };
        let view = (on.x(part.width) - on.datum.0) * (on.y(part.height) - on.datum.1);
        let openings = words.lone_openings().map(|(_, opening)| room(opening));
        // A recess that is most of the face is the face.
        let recesses = part.pockets.iter().map(|pocket| room(&pocket.outline));
        let recesses = recesses.filter(|room| room.width() * room.height() < view / 2.0);
        let cuts = part.cuts.iter().map(|cut| room(&cut.outline));
        let holes = part.holes.iter().filter_map(|hole| {
            let (at, half) = (on.at(hole.at), hole.diameter.to_mm() / 2.0 * on.factor);
            let area = Area { low: (at.0 - half, at.1 - half), high: (at.0 + half, at.1 + half) };
            (half > LARGE_HOLE / 2.0).then_some(area)
        });
        for room in openings.chain(recesses).chain(cuts).chain(holes) {
            self.taken.add_room(room);
        }
    }

    /// Names a closed shape: in it where it has room, else beside it.
    fn shape(&mut self, text: &str, on: &OnPaper, outline: &Outline) {
        let e = outline.extents();
        let room = Area { low: on.at(e.low), high: on.at(e.high) };
        // One that does not fill its rectangle has no sure place in it but its middle.
        let fills = outline.area_mm2() > FILLS * e.width().to_mm() * e.height().to_mm();
        let (below, above) = reach_of(text, LABELS, true);
        let size = (width_of(text, LABELS, true), above - below);
        match self.taken.inside(size, room).filter(|_| fills) {
            Some(middle) => {
                let at = (middle.0, middle.1 - (above + below) / 2.0);
                let marks = vec![written(at, text, LABELS, Anchor::Middle, true)];
                self.taken.add(&marks);
                self.labels.extend(marks);
            }
            None => {
                let half = |a: Length, b: Length| a + (b - a).half();
                let middle = Point::new(half(e.low.x, e.high.x), half(e.low.y, e.high.y));
                self.label(text, &[on.at(middle)], Terminator::Dot);
            }
        }
    }

    /// False where there is no room.
    fn lead(&mut self, text: &str, targets: &[At], end: Terminator, reach: f64, within: Area) -> bool {
        for height in [LABELS, 2.5, 1.8] {
            let (below, above) = reach_of(text, height, true);
            let size = (width_of(text, height, true), above - below);
            let mut found: Option<(At, Spot)> = None;
            for target in targets {
                let beat = found.map_or(f64::MAX, |(_, spot)| spot.cost);
                let spot = self.taken.close_to(*target, size, within, end == Terminator::Dot, reach, beat);
                found = spot.map(|spot| (*target, spot)).or(found);
            }
            let Some((target, spot)) = found else { continue };
            let at = (spot.middle.0, spot.middle.1 - (above + below) / 2.0);
            let mut marks = vec![written(at, text, height, Anchor::Middle, true)];
            if spot.leader_from != target {
                marks.extend(leader(&[spot.leader_from, target], end, self.group));
                self.taken.add_leader(spot.leader_from, target);
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return true;
        }
        false
    }
}
