//! How a sheet is shared out between words and views: words in a column beside the views, above the title block with the
//! views as high as the frame, beside the title block, or in a strip below. Knows neither the words nor the views.

use super::frame::Area;
use super::sheet::{Flow, Paperwork, columns};

/// Below this width of the field, in millimetres, no column stands beside the views.
const NARROW: f64 = 260.0;
/// A column of words beside the views: its share of the field, and between which widths it keeps.
const SHARE: f64 = 0.26;
const COLUMN: (f64, f64) = (90.0, 130.0);
/// Tables beside the title block get no narrower columns than this.
const BESIDE: f64 = 75.0;
/// Between words and views.
const GAP: f64 = 6.0;

/// One way to share out a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Where words stand, in the order in which they are filled.
    pub words: Vec<Area>,
    /// What is left to views.
    pub zone: Area,
}

/// The usual way first. `words` hangs what the sheet itself must say; the other ways are those that have room for it, with
/// tables left to a further sheet.
pub fn spaces(paperwork: &Paperwork, words: impl Fn(Vec<Area>) -> Flow) -> Vec<Space> {
    let (frame, field) = (paperwork.frame(), paperwork.frame().field());
    let strip = |height: f64| {
        let top = field.low.1 + height;
        let zone = Area { low: (field.low.0, top + GAP - 1.0), high: field.high };
        Space { words: vec![Area { low: field.low, high: (field.high.0, top) }], zone }
    };
    if field.width() < NARROW {
        let usual = strip(0.3 * field.height());
        let whole = words(vec![field]);
        let used = whole.free().first().map_or(field.height(), |left| field.high.1 - left.high.1);
        let least = strip(used + 1.0);
        let is_less = whole.held_all() && least.zone.height() > usual.zone.height();
        return [Some(usual), is_less.then_some(least)].into_iter().flatten().collect();
    }
    let width = (SHARE * field.width()).clamp(COLUMN.0, COLUMN.1);
    let beside = |area: Area| columns(area, libm::floor(area.width() / BESIDE).max(1.0) as usize);
    let column = Area { low: (field.high.0 - width, field.low.1), high: field.high };
    let mut all = vec![Space {
        words: std::iter::once(column).chain(frame.beside().into_iter().flat_map(beside)).collect(),
        zone: Area { low: field.low, high: (column.low.0 - GAP, field.high.1) },
    }];
    if let Some(area) = frame.beside() {
        let left = (area.high.0 + GAP).max(field.high.0 - COLUMN.1);
        all.push(Space {
            words: vec![Area { low: (left, field.low.1), high: field.high }],
            zone: Area { low: area.low, high: (area.high.0, field.high.1) },
        });
        all.push(Space { words: beside(area), zone: field });
    }
    let holds = |i: usize, space: &Space| i == 0 || words(space.words.clone()).held_all();
    all.into_iter().enumerate().filter(|(i, space)| holds(*i, space)).map(|(_, space)| space).collect()
}
