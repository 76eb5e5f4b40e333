//! What is said about a template in words and tables: the strip on every page, notes, coordinates of every corner and hole.

use super::page::{Words, face_word, job_line};
use super::template::Composer;
use super::{called, figures};
use crate::drawing::table::{Cell, Column, Table};
use crate::length::Length;
use crate::shape::{Arc, Point};
use crate::trade::Face;

/// How paper is held (common practice).
pub(super) const ADHESIVE: &str = "Hold the paper with repositionable spray on the paper, or with tape under it; no \
                                   water-based paste, which stretches paper by half a percent and more.";

impl Composer<'_> {
    pub(super) fn words(&self, of: &str) -> Words {
        let part = self.part;
        let mut lines = vec![job_line(&self.made.job)];
        if let Some(stock) = self.made.job.stock.get(part.stock) {
            let called = stock.called.as_deref().unwrap_or(&stock.name);
            lines.push(format!(
                "{called}, {} thick · {} off",
                figures(self.made).show(part.thick).text,
                part.quantity
            ));
        }
        if let Some(pair) = part.pair.and_then(|pair| self.made.parts.get(pair.0)) {
            lines.push(format!("PAIR with {}, its mirror image", called(pair)));
        }
        lines.push("Hatched is waste: cut on that side, keep the line.".into());
        lines.push("Spray the paper or tape it; no wet paste.".into());
        Words {
            kind: "TEMPLATE".into(),
            face: Some(self.seen.face),
            name: format!("{}{of}", called(part)),
            lines,
            ways: self.seen.ways(self.made, self.id),
            grain: self.seen.grain(),
        }
    }

    pub(super) fn notes(&self) -> Vec<String> {
        let seen = self.seen;
        let mut notes = vec![match seen.face {
            Face::Show => "This paper lies on the SHOW FACE with its print up.".to_owned(),
            Face::Back => {
                "This paper lies on the BACK FACE with its print up: it is the mirror image of the show face."
                    .to_owned()
            }
        }];
        notes.push("The middle of a continuous line is the finished edge; cut beside it, on the hatched side. Dashed lines are not \
                    cut through: recesses, countersinks, the far edge of bevels.".into());
        notes.push("Prick or punch the centre of every cross through the paper. Lines run on past the corners so that a corner is \
                    found again after cutting.".into());
        notes.push(ADHESIVE.into());
        for bevel in &seen.bevels {
            notes.push(format!("Bevel {:.1}°: the {} stays the longer.", bevel.degrees, bevel.long.word()));
        }
        for (.., by) in &seen.scribes {
            notes.push(format!(
                "Leave {} beyond the line for scribing, to the line of dashes and double dots.",
                figures(self.made).show(*by).text
            ));
        }
        notes.extend(self.edge_notes());
        notes.extend(self.triangle_note());
        let hidden = self.part.pockets.iter().filter(|p| p.from != seen.face).count()
            + self.part.holes.iter().filter(|h| h.from != seen.face && h.depth.is_some()).count()
            + self.part.bores.iter().filter(|b| b.from != seen.face).count();
        if hidden > 0 {
            notes.push(format!(
                "{hidden} more on the other face, not shown here: see the template {}.",
                face_word(seen.face.other())
            ));
        }
        notes
    }

    pub(super) fn tables(&self) -> Vec<Table> {
        let side = if self.seen.face == Face::Show { "right" } else { "left" };
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        for (index, ((from, to), corner)) in self.steps().into_iter().zip(&self.seen.corners).enumerate() {
            if self.holds(corner.to_mm()) {
                rows.push(self.row((index + 1).to_string(), *corner, self.to_the_next(from, to)));
            }
        }
        let show = figures(self.made);
        for (index, hole) in self.seen.holes.iter().enumerate().filter(|(_, h)| self.holds(h.at.to_mm())) {
            let depth = hole.depth.map_or("through".to_owned(), |d| format!("{} deep", show.show(d).text));
            let head =
                hole.countersink.map_or(String::new(), |d| format!(", countersunk Ø{}", show.show(d).text));
            rows.push(self.row(
                format!("H{}", index + 1),
                hole.at,
                match hole.slot {
                    Some(slot) => format!(
                        "slot {} × {} {depth}",
                        show.show(hole.diameter).text,
                        show.show(slot.length).text
                    ),
                    None => format!("Ø{} {depth}{head}", show.show(hole.diameter).text),
                },
            ));
        }
        for (index, bore) in self.seen.bores.iter().enumerate().filter(|(_, b)| self.holds(b.at.to_mm())) {
            let what = format!("pocket-screw bore Ø{}, {:.0}°", show.show(bore.diameter).text, bore.degrees);
            rows.push(self.row(format!("S{}", index + 1), bore.at, what));
        }
        let shapes = self.seen.inside.iter().map(|o| ("opening".to_owned(), "O", o)).chain(
            self.seen
                .pockets
                .iter()
                .map(|p| (format!("{} {} deep", p.kind.word(), show.show(p.depth).text), "R", &p.outline)),
        );
        let mut counts = [0, 0];
        for (what, letter, outline) in shapes {
            let count = &mut counts[usize::from(letter == "R")];
            *count += 1;
            let around = outline.extents();
            // The corner that lies nearest to the datum, and the one across.
            let (near, far) = match self.seen.face {
                Face::Show => (around.low, around.high),
                Face::Back => {
                    (Point::new(around.high.x, around.low.y), Point::new(around.low.x, around.high.y))
                }
            };
            if self.holds(near.to_mm()) || self.holds(far.to_mm()) {
                rows.push(self.row(format!("{letter}{count} from"), near, what));
                rows.push(self.row(format!("{letter}{count} to"), far, String::new()));
            }
        }
        let columns = vec![
            Column::words("point"),
            Column::numbers(format!("to the {side}")),
            Column::numbers("up"),
            Column::words("to the next corner, or what it is"),
        ];
        vec![Table { title: "Coordinates from the datum corner".into(), columns, rows, height: 2.5 }]
    }

    fn row(&self, name: String, at: Point, what: String) -> Vec<Cell> {
        let show = figures(self.made);
        let (x, y) = self.seen.datum_distances(at);
        vec![Cell::bold(name), Cell::new(show.show(x).text), Cell::new(show.show(y).text), Cell::new(what)]
    }

    /// Start and end of every segment in the order of the part's own outline, with its bulge as seen on this face.
    fn steps(&self) -> Vec<((Point, f64), Point)> {
        let back = self.seen.face == Face::Back;
        let count = self.seen.corners.len();
        let own = self.part.outline.vertices().iter().enumerate();
        own.map(|(i, v)| {
            let bulge = if back { -v.bulge } else { v.bulge };
            ((self.seen.corners[i], bulge), self.seen.corners[(i + 1) % count])
        })
        .collect()
    }

    fn to_the_next(&self, (from, bulge): (Point, f64), to: Point) -> String {
        let Some(arc) = Arc::between(from.to_mm(), to.to_mm(), bulge) else { return "straight".into() };
        let show = figures(self.made);
        let (way, own_bulge) = if self.seen.face == Face::Show { (1.0, bulge) } else { (-1.0, -bulge) };
        let x = Length::from_mm((arc.centre.0 - self.seen.datum().x.to_mm()) * way);
        let y = Length::from_mm(arc.centre.1);
        // The part's own outline runs counter-clockwise, so an arc that turns the other way is hollow.
        let hollow = if own_bulge < 0.0 { "hollow " } else { "" };
        format!(
            "{hollow}arc, radius {}, centre {}, {}",
            show.show(Length::from_mm(arc.radius)).text,
            show.show(x).text,
            show.show(y).text
        )
    }
}
