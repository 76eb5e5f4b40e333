//! What is written in the parts and offcuts of a sheet layout, each where it finds room: as large as it can be, lying or
//! upright, clear of lines and of the numbers of cuts.

use super::frame::Area;
use super::nests::Drawn;
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::bounds::box_of;
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::drawing::{Anchor, Mark, Text, rectangle};
use crate::plans::nests::{NestedPart, Patch};

impl Drawn<'_> {
    /// What a part is, as large and as complete as its place allows, lying or upright.
    pub(super) fn label(&mut self, placed: &NestedPart) {
        let area = self.area(&placed.patch).inset(0.3);
        let [mark, name, size] = self.words.label(placed);
        let both = format!("{name}   {size}");
        let shapes: [Vec<(String, f64, bool)>; 7] = [
            vec![(name.clone(), 3.5, true), (size.clone(), 3.5, false)],
            vec![(name.clone(), 2.5, true), (size.clone(), 2.5, false)],
            vec![(both.clone(), 2.5, true)],
            vec![(name, 1.8, true), (size.clone(), 1.8, false)],
            vec![(both, 1.8, false)],
            vec![(mark.clone(), 1.8, true), (size, 1.8, false)],
            vec![(mark.clone(), 1.8, true)],
        ];
        if shapes.into_iter().any(|lines| self.write(&lines, area)) {
            return;
        }
        // Too small for any text: the mark stands beside the sheet or in a free place, led to the part.
        let target = ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0);
        let size = (width_of(&mark, 2.5, true), 2.5);
        let mut taken = self.taken.clone();
        [&self.outlines, &self.cuts, &self.shapes, &self.dimensions]
            .into_iter()
            .for_each(|marks| taken.add(marks));
        if let Some(spot) = taken.near(target, size, self.beside, false) {
            self.labels.extend(leader(&[spot.leader_from, target], Terminator::Dot, self.group));
            let text = written((spot.middle.0, spot.middle.1 - 1.25), mark, 2.5, Anchor::Middle, true);
            self.taken.add(std::slice::from_ref(&text));
            self.labels.push(text);
        } else {
            self.unnamed.insert(mark);
        }
    }

    pub(super) fn offcut(&mut self, offcut: &Patch) {
        let area = self.area(offcut);
        let [full, short] = self.words.offcut(offcut.width, offcut.length);
        let before = self.labels.len();
        let written = [(full.clone(), 3.5), (full.clone(), 2.5), (full, 1.8), (short, 1.8)]
            .into_iter()
            .any(|(text, height)| self.write(&[(text, height, true)], area.inset(0.3)));
        // Hatched all but where its text stands.
        let mut region = rectangle(area.low, area.high);
        if written {
            for mark in &self.labels[before..] {
                if let Mark::Text(text) = mark {
                    let corners = box_of(text);
                    let x = corners.map(|c| c.0);
                    let y = corners.map(|c| c.1);
                    let fold = |all: [f64; 4], pick: fn(f64, f64) -> f64, from: f64| {
                        all.into_iter().fold(from, pick)
                    };
                    let low = (fold(x, f64::min, f64::MAX) - 1.0, fold(y, f64::min, f64::MAX) - 1.0);
                    let high = (fold(x, f64::max, f64::MIN) + 1.0, fold(y, f64::max, f64::MIN) + 1.0);
                    region.extend(rectangle(
                        (low.0.max(area.low.0), low.1.max(area.low.1)),
                        (high.0.min(area.high.0), high.1.min(area.high.1)),
                    ));
                }
            }
        }
        self.shapes.extend(hatch(&region, Hatching::Plain, 0.0, 3.0));
    }

    /// Writes lines below each other in a free place of an area, lying or upright; false where there is none.
    fn write(&mut self, lines: &[(String, f64, bool)], area: Area) -> bool {
        let wide =
            lines.iter().map(|(text, height, bold)| width_of(text, *height, *bold)).fold(0.0, f64::max);
        let pitch = 1.55;
        let tall: f64 = lines.iter().map(|(_, height, _)| height * pitch).sum::<f64>()
            - lines.last().map_or(0.0, |(_, height, _)| height * (pitch - 1.0));
        let upright_first = area.height() > area.width() && wide > area.width() - 2.0;
        for upright in [upright_first, !upright_first] {
            let size = if upright { (tall, wide) } else { (wide, tall) };
            let tight = (size.0 - 0.8, size.1 - 0.8);
            let Some(middle) = self.taken.inside(size, area).or_else(|| self.taken.inside(tight, area))
            else {
                continue;
            };
            let mut marks = Vec::new();
            let mut down = -tall / 2.0;
            for (text, height, bold) in lines {
                down += height;
                if upright {
                    let at = (middle.0 + down, middle.1);
                    marks.push(Mark::Text(Text {
                        at,
                        text: text.clone(),
                        height: *height,
                        anchor: Anchor::Middle,
                        turn: 90.0,
                        bold: *bold,
                    }));
                } else {
                    let at = (middle.0, middle.1 - down);
                    marks.push(written(at, text.clone(), *height, Anchor::Middle, *bold));
                }
                down += height * (pitch - 1.0);
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return true;
        }
        false
    }
}
