//! What the edges of a template say beyond their line: profiles that are run later, wood left on for scribing shaded between the
//! net and the cut line, and the cabinetmaker's triangle across a set of parts that belong together.

use super::page::moved;
use super::place::{Room, over};
use super::template::Composer;
use super::view::path;
use super::{called, figures};
use crate::boards::{Arris, Profile};
use crate::drawing::bounds::extents;
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::paper::Area;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Ink, LineType, Mark, Step, line, rectangle};
use crate::jigs::card::short;
use crate::length::Length;
use crate::parts::{Hand, Made, hand};
use crate::shape::{Outline, Point};
use crate::trade::Face;

/// Parts that the triangle's picture shows at most.
const MOST: usize = 6;

/// A profile that is run along an edge once the part is cut.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Profiled {
    /// What is left of the edge, wood on the left.
    pub runs: Vec<(Point, Point)>,
    pub profile: Profile,
    pub arris: Arris,
}

impl Profiled {
    /// How far in along a face the profile reaches; nothing where that arris stays sharp.
    fn reach_on(&self, face: Face) -> Length {
        let worked = match self.arris {
            Arris::Both => true,
            Arris::Show => face == Face::Show,
            Arris::Back => face == Face::Back,
        };
        if worked { self.profile.reach_in() } else { Length::ZERO }
    }

    fn words(&self, made: &Made) -> String {
        let show = figures(made);
        let say = |length: Length| show.show(length).text;
        let what = match self.profile {
            Profile::Chamfer { along_face, down_edge } => {
                format!("chamfer {} on the face, {} down the edge", say(along_face), say(down_edge))
            }
            Profile::Round { radius } => format!("round, radius {}", say(radius)),
            Profile::Rebate { width, depth } => {
                format!("rebate {} on the face, {} down the edge", say(width), say(depth))
            }
            Profile::Bevel { run } => format!("bevel {} over the thickness", say(run)),
        };
        let on = match self.arris {
            Arris::Show => "arris of the show face",
            Arris::Back => "arris of the back face",
            Arris::Both => "both arrises",
        };
        format!("{what}, {on}")
    }
}

impl Composer<'_> {
    /// The inner line of every profile on this face.
    pub(super) fn profiles(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for profiled in &self.seen.profiles {
            let reach = profiled.reach_on(self.seen.face).to_mm();
            if reach == 0.0 {
                continue;
            }
            for (from, to) in &profiled.runs {
                let (from, to) = shifted(*from, *to, reach);
                marks.push(line(from, to, LineType::Hidden));
            }
        }
        marks
    }

    /// Wood that is left on for scribing, between the net line and the cut line.
    pub(super) fn scribe_shading(&self) -> Vec<Mark> {
        if self.seen.scribes.is_empty() {
            return Vec::new();
        }
        let mut region = path(&self.seen.as_cut);
        region.extend(path(&self.seen.outline));
        vec![Mark::Fill { path: region, ink: Ink::Grey(0.2) }]
    }

    /// Names of the two lines, where the wood for scribing lies.
    pub(super) fn scribe_words(&self, room: &mut Room) -> Vec<Mark> {
        let show = figures(self.made);
        let mut marks = Vec::new();
        for (from, to, by) in &self.seen.scribes {
            let upright = from.x == to.x;
            let texts = [
                ("NET line".to_owned(), 2.6),
                (format!("CUT line, {} left on for scribing", show.show(*by).text), -by.to_mm() - 2.6),
            ];
            for (text, off) in texts {
                let (a, b) = shifted(*from, *to, off);
                let word = super::template::turned(&text, if upright { 90.0 } else { 0.0 });
                let places: Vec<At> = (1..20)
                    .map(|i| {
                        // From the middle out.
                        let share = 0.5 + f64::from(if i % 2 == 0 { i } else { -i }) / 42.0;
                        (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
                    })
                    .collect();
                marks.extend(
                    room.put(&word, &places, &|_| true).map(super::place::backed).unwrap_or_default(),
                );
            }
        }
        marks
    }

    /// Net and cut sizes, and every profile.
    pub(super) fn edge_notes(&self) -> Vec<String> {
        let (made, seen) = (self.made, self.seen);
        let show = figures(made);
        let mut notes: Vec<String> = seen
            .profiles
            .iter()
            .map(|profiled| {
                format!(
                    "Edge profile, run after cutting to the continuous line: {}. Its line on the face is dashed.",
                    profiled.words(made)
                )
            })
            .collect();
        notes.dedup();
        if !seen.scribes.is_empty() {
            let (net, cut) = (seen.outline.extents(), seen.as_cut.extents());
            let size = |o: crate::shape::Extents| {
                format!("{} × {}", show.show(o.width()).text, show.show(o.height()).text)
            };
            notes.push(format!(
                "Shaded is wood for scribing: net {}, cut {}. Saw to the CUT line; the NET line is where the edge lies when it fits.",
                size(net),
                size(cut)
            ));
        }
        notes
    }

    /// The cabinetmaker's triangle: how the set lies together, show faces up, with one triangle across all of it (common
    /// practice). Of a pair this part's place is shaded.
    pub(super) fn triangle(&self, room: &mut Room) -> Vec<Mark> {
        let Some((count, own)) = self.set() else { return Vec::new() };
        if self.seen.face == Face::Back {
            return Vec::new();
        }
        let (wide, tall) = (7.0, 14.0);
        let whole = wide * count as f64;
        let mut marks = Vec::new();
        if let Some(own) = own {
            let left = if own.leads() { 0.0 } else { wide };
            marks.push(Mark::Fill { path: rectangle((left, 0.0), (left + wide, tall)), ink: Ink::Grey(0.2) });
        }
        for index in 0..count {
            let left = wide * index as f64;
            let board = rectangle((left, 0.0), (left + wide, tall));
            marks.push(Mark::Stroke { path: board, line: LineType::Dimension });
        }
        let triangle = vec![
            Step::Move((1.5, 2.0)),
            Step::Line((whole - 1.5, 2.0)),
            Step::Line((whole / 2.0, tall - 2.0)),
            Step::Close,
        ];
        marks.push(Mark::Stroke { path: triangle, line: LineType::Visible });
        let text = own.map_or("set, face up".to_owned(), |hand| format!("{} of the pair", short(hand)));
        marks.push(written((whole / 2.0, -3.4), text, 2.5, Anchor::Middle, false));
        let Some((low, high)) = extents(&marks) else { return Vec::new() };
        let middle = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
        let marks: Vec<Mark> = marks.into_iter().map(|mark| moved(mark, (-middle.0, -middle.1))).collect();
        let area = self.seen.around();
        let outline = path(&self.seen.outline);
        let inside: Vec<Vec<Step>> = self.seen.inside.iter().map(path).collect();
        let centre = |a: &Area| ((a.low.0 + a.high.0) / 2.0, (a.low.1 + a.high.1) / 2.0);
        let on_wood = |a: &Area| {
            super::place::holds(&outline, centre(a))
                && inside.iter().all(|o| !super::place::holds(o, centre(a)))
        };
        room.put(&marks, &over(&area), &on_wood).unwrap_or_default()
    }

    /// What the triangle is for, in words.
    pub(super) fn triangle_note(&self) -> Option<String> {
        let (count, own) = self.set()?;
        Some(match own {
            Some(own) => {
                let pair =
                    self.part.pair.and_then(|pair| self.made.parts.get(pair.0)).map_or(String::new(), called);
                let first =
                    short(if matches!(own, Hand::Left | Hand::Right) { Hand::Left } else { Hand::First });
                format!(
                    "Lay this part and {pair} side by side, show faces up, {first} at the left, and draw one triangle across both: it tells \
                     left, right and up when the paper is gone."
                )
            }
            None => format!(
                "Lay the {}{} parts side by side, show faces up and the same way round, and draw one triangle across all of them: it \
                 tells faces, order and up when the paper is gone.",
                self.part.quantity,
                if count < self.part.quantity { " (or six at a time)" } else { "" }
            ),
        })
    }

    /// How many parts lie together, and the place of this one in a pair.
    fn set(&self) -> Option<(usize, Option<Hand>)> {
        if self.part.pair.is_some() {
            return Some((2, Some(hand(self.made, self.part)?)));
        }
        (self.part.quantity > 1).then(|| (self.part.quantity.min(MOST), None))
    }
}

/// Hatching of what is waste: round the part as it is cut, and all of every opening.
pub(super) fn waste(as_cut: &Outline, inside: &[Vec<Step>], round: &Area) -> Vec<Mark> {
    let mut region = rectangle(round.low, round.high);
    region.extend(path(as_cut));
    inside.iter().for_each(|p| region.extend_from_slice(p));
    hatch(&region, Hatching::Plain, 0.0, 3.0)
}

/// A run moved to its left (where the wood is) by so many millimetres.
pub(super) fn shifted(from: Point, to: Point, by: f64) -> (At, At) {
    let ((x0, y0), (x1, y1)) = (from.to_mm(), to.to_mm());
    let length = libm::hypot(x1 - x0, y1 - y0).max(1e-9);
    let off = (-(y1 - y0) / length * by, (x1 - x0) / length * by);
    ((x0 + off.0, y0 + off.1), (x1 + off.0, y1 + off.1))
}
