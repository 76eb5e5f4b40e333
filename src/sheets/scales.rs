//! Drawing scales: the series of ISO 5455 and the inch series of North American practice, and the largest that fits.

use super::frame::{Area, Practice};

/// A scale: so many units on paper for so many in wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    pub paper: u32,
    pub real: u32,
    practice: Practice,
}

/// ISO 5455:1979 cl. 5.1, as far as joinery goes: enlarging, full size, reducing.
const ISO: [(u32, u32); 13] = [
    (10, 1),
    (5, 1),
    (2, 1),
    (1, 1),
    (1, 2),
    (1, 5),
    (1, 10),
    (1, 20),
    (1, 50),
    (1, 100),
    (1, 200),
    (1, 500),
    (1, 1000),
];

/// Inch series: factor = 12 ÷ (inches on paper to a foot). The enlargements are common practice.
const INCH: [(u32, u32); 16] = [
    (4, 1),
    (2, 1),
    (1, 1),
    (1, 2),
    (1, 4),
    (1, 8),
    (1, 12),
    (1, 16),
    (1, 24),
    (1, 32),
    (1, 48),
    (1, 64),
    (1, 96),
    (1, 128),
    (1, 192),
    (1, 384),
];

impl Scale {
    /// Full size.
    pub const fn full(practice: Practice) -> Scale {
        Scale { paper: 1, real: 1, practice }
    }

    /// The series of a practice, largest first, enlargements included.
    pub fn series(practice: Practice) -> Vec<Scale> {
        let all: &[(u32, u32)] = match practice {
            Practice::Iso => &ISO,
            Practice::Asme => &INCH,
        };
        all.iter().map(|(paper, real)| Scale { paper: *paper, real: *real, practice }).collect()
    }

    /// Millimetres on paper for one in wood.
    pub fn factor(self) -> f64 {
        f64::from(self.paper) / f64::from(self.real)
    }

    /// As printed: `1:10`, `1 1/2" = 1'-0"`, `FULL SIZE`.
    pub fn label(self) -> String {
        match (self.practice, self.paper, self.real) {
            (Practice::Iso, paper, real) => format!("{paper}:{real}"),
            (Practice::Asme, 1, 1) => "FULL SIZE".to_owned(),
            (Practice::Asme, 1, 2) => "HALF SIZE".to_owned(),
            (Practice::Asme, paper, 1) => format!("{paper} × FULL SIZE"),
            (Practice::Asme, paper, real) => format!("{} = 1'-0\"", inches(12 * paper, real)),
        }
    }
}

/// A fraction of an inch in lowest terms.
fn inches(over: u32, under: u32) -> String {
    let (whole, mut rest, mut under) = (over / under, over % under, under);
    let (mut a, mut b) = (rest, under);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a > 1 {
        (rest, under) = (rest / a, under / a);
    }
    match (whole, rest) {
        (_, 0) => format!("{whole}\""),
        (0, _) => format!("{rest}/{under}\""),
        _ => format!("{whole} {rest}/{under}\""),
    }
}

/// The largest scale of the series, full size at most, at which `width` × `height` millimetres of wood fit the area;
/// `None` where even the smallest does not.
pub fn largest_that_fits(width: f64, height: f64, area: &Area, practice: Practice) -> Option<Scale> {
    fits(width, height, area, practice, 1.0)
}

/// The same for details, which may be drawn larger than they are.
pub fn largest_detail_that_fits(width: f64, height: f64, area: &Area, practice: Practice) -> Option<Scale> {
    fits(width, height, area, practice, f64::MAX)
}

fn fits(width: f64, height: f64, area: &Area, practice: Practice, most: f64) -> Option<Scale> {
    Scale::series(practice).into_iter().find(|scale| {
        let factor = scale.factor();
        factor <= most && width * factor <= area.width() + 1e-9 && height * factor <= area.height() + 1e-9
    })
}
