//! Sheets of parts in their order: a part whose drawing needs no more than a half or a quarter of its sheet shares it with its
//! neighbours, each in a framed field with its own heading, notes and scale. Knows fields, and nothing of what stands in them.

use super::frame::Area;
use super::part_sheet::{DrawnPart, Place, Prepared};
use super::revision::Since;
use super::sheet::{Draft, Paperwork};
use crate::loads::Loads;
use crate::parts::{Made, PartId};

/// Between two fields.
const GUTTER: f64 = 4.0;
/// The heading of these sheets in a list of contents.
const CHAPTER: &str = "Parts";

/// Which quarters of the sheet a field takes: upper left, upper right, lower left, lower right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Share {
    Quarter,
    /// Two quarters side by side.
    Lying,
    /// Two quarters one above the other.
    Upright,
}

impl Share {
    /// The quarters from a first one; `None` where there are none.
    fn from(self, first: usize) -> Option<&'static [usize]> {
        const ALL: [&[usize]; 4] = [&[0], &[1], &[2], &[3]];
        match (self, first) {
            (Share::Quarter, _) => ALL.get(first).copied(),
            (Share::Lying, 0) => Some(&[0, 1]),
            (Share::Lying, 2) => Some(&[2, 3]),
            (Share::Upright, 0) => Some(&[0, 2]),
            (Share::Upright, 1) => Some(&[1, 3]),
            _ => None,
        }
    }

    /// The field on paper.
    fn area(self, first: usize, field: Area) -> Area {
        let half = ((field.width() - GUTTER) / 2.0, (field.height() - GUTTER) / 2.0);
        let left = field.low.0 + if first % 2 == 1 { half.0 + GUTTER } else { 0.0 };
        let top = field.high.1 - if first >= 2 { half.1 + GUTTER } else { 0.0 };
        let width = if self == Share::Lying { field.width() } else { half.0 };
        let height = if self == Share::Upright { field.height() } else { half.1 };
        Area { low: (left, top - height), high: (left + width, top) }
    }
}

/// A part with the share that its drawing takes.
struct Sharing<'a> {
    part: Prepared<'a>,
    share: Share,
    first: usize,
}

/// The drawings of all parts, in part order.
pub fn part_drawings(made: &Made, loads: &Loads, paperwork: &Paperwork, since: Option<&Since>) -> Vec<Draft> {
    let mut packer =
        Packer { paperwork, field: paperwork.frame().field(), group: Vec::new(), all: Vec::new() };
    for part in (0..made.parts.len()).filter_map(|i| Prepared::new(made, loads, PartId(i), since)) {
        packer.add(part);
    }
    packer.close();
    let mut all = packer.all;
    all.iter_mut().for_each(|draft| draft.chapter = CHAPTER.to_owned());
    all
}

struct Packer<'a, 'b> {
    paperwork: &'b Paperwork,
    field: Area,
    /// What shares the sheet that is being filled.
    group: Vec<Sharing<'a>>,
    all: Vec<Draft>,
}

impl<'a> Packer<'a, '_> {
    fn add(&mut self, part: Prepared<'a>) {
        let Some(share) = self.share_of(&part) else {
            self.close();
            self.all.extend(part.sheets(self.paperwork));
            return;
        };
        let first = match self.place_for(share) {
            Some(first) => first,
            None => {
                self.close();
                0
            }
        };
        self.group.push(Sharing { part, share, first });
    }

    /// The smallest share that holds the drawing at the scale it has on a sheet of its own; `None` where it needs the sheet.
    fn share_of(&self, part: &Prepared) -> Option<Share> {
        if self.paperwork.paper.is_small() {
            return None;
        }
        let (scale, tabled) = part.own_scale(self.paperwork)?;
        let fits = |share: &Share| {
            let area = share.area(0, self.field);
            part.may_fit(area, scale, self.paperwork) && self.drawn(part, area).is_some()
        };
        [Share::Quarter, Share::Lying, Share::Upright].into_iter().filter(|_| !tabled).find(fits)
    }

    /// The drawing in a field, where it holds all of it.
    fn drawn(&self, part: &Prepared, area: Area) -> Option<DrawnPart> {
        part.draw(Place::Field(area), self.paperwork).filter(|drawn| drawn.complete)
    }

    /// The first free place behind those that are taken, so that parts are read in their order.
    fn place_for(&self, share: Share) -> Option<usize> {
        let taken = taken(&self.group);
        let behind = self.group.last().map_or(0, |last| last.first + 1);
        (behind..4).find(|first| {
            share.from(*first).is_some_and(|quarters| quarters.iter().all(|q| !taken.contains(q)))
        })
    }

    /// Draws the sheet that was being filled.
    fn close(&mut self) {
        let group = std::mem::take(&mut self.group);
        if let [alone] = group.as_slice() {
            self.all.extend(alone.part.sheets(self.paperwork));
            return;
        }
        let Some(last) = group.last() else { return };
        let (name, title) = (
            format!("parts-{}-to-{}", group[0].part.part.mark, last.part.part.mark),
            match group.as_slice() {
                [one, other] => format!("{} · {}", one.part.title(), other.part.title()),
                all => {
                    let marks: Vec<&str> = all.iter().map(|s| s.part.part.mark.as_str()).collect();
                    format!("Parts {}", marks.join(", "))
                }
            },
        );
        let taken = taken(&group);
        let mut draft = Draft { name, title, kind: "PART DRAWINGS", ..Draft::default() };
        for sharing in &group {
            let share = if is_alone(sharing, &taken) { Share::Lying } else { sharing.share };
            let wide = share.area(sharing.first, self.field);
            let own = sharing.share.area(sharing.first, self.field);
            // What was tried holds it; in a wider field it may be drawn larger, and hold less.
            let drawn = self.drawn(&sharing.part, wide).map(|drawn| (drawn, wide));
            let drawn = drawn
                .or_else(|| sharing.part.draw(Place::Field(own), self.paperwork).map(|drawn| (drawn, own)));
            let Some((drawn, area)) = drawn else { continue };
            draft.parts.push(sharing.part.shown(drawn.scale, Some(area)));
            draft.groups.extend(drawn.groups);
            let mark = &sharing.part.part.mark;
            draft.dimensions.extend(drawn.dimensions.into_iter().map(|mut dimension| {
                dimension.what = format!("{mark} {}", dimension.what);
                dimension
            }));
        }
        let scales: Vec<&str> = draft.parts.iter().map(|shown| shown.scale.as_str()).collect();
        draft.scale = match scales.as_slice() {
            [first, rest @ ..] if rest.iter().all(|scale| scale == first) => (*first).to_owned(),
            _ => "AS SHOWN".to_owned(),
        };
        self.all.push(draft);
    }
}

/// The quarters that a group takes.
fn taken(group: &[Sharing]) -> Vec<usize> {
    group.iter().flat_map(|s| s.share.from(s.first).unwrap_or_default()).copied().collect()
}

/// Whether it is a quarter beside which nothing stands: it may take the half.
fn is_alone(sharing: &Sharing, taken: &[usize]) -> bool {
    let neighbour = sharing.first + 1;
    sharing.share == Share::Quarter && sharing.first.is_multiple_of(2) && !taken.contains(&neighbour)
}
