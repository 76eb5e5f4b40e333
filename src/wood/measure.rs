//! What the trade calls the sizes of lumber, and how it counts it: board feet, rough and surfaced hardwood, nominal and
//! actual softwood. All exact.

use num_rational::Ratio;

use super::{Flag, has_words};
use crate::length::{Length, Units, notation};

/// Board feet of a piece, exactly: thickness × width × length / 144 in³. The thickness is the rough one, and less than
/// 1 in counts as 1 in, so that 3/4 in of surfaced 4/4 is charged as 1 in (NHLA practice; restated). `None` for a size
/// that is not positive or is beyond [`Length::LIMIT`].
pub fn board_feet(rough: Length, width: Length, length: Length) -> Option<Ratio<i128>> {
    let sizes = [rough.max(Length::INCH), width, length];
    if !rough.is_positive() || sizes.iter().any(|size| !size.is_positive() || *size > Length::LIMIT) {
        return None;
    }
    // At most (8·10¹⁰)³ over 144 · 2 032 000³: inside an i128.
    let inch = i128::from(Length::INCH.units());
    let volume: i128 = sizes.iter().map(|size| i128::from(size.units())).product();
    Some(Ratio::new(volume, 144 * inch * inch * inch))
}

/// A rough thickness of hardwood and what it surfaces to (NHLA rules; restated unless flagged). These are the thicknesses
/// that graders go by, kiln-dried; stock on the rack varies, and 4/4 is sold at 3/4 as well as at 15/16 in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rough {
    /// As it is written: quarters of an inch from 1 in up.
    pub called: &'static str,
    pub rough: Length,
    /// Surfaced on both faces.
    pub two_faces: Length,
    /// Surfaced on one face, where the rules were seen to give it.
    pub one_face: Option<Length>,
    pub flag: Flag,
}

/// The source of [`ROUGH`].
pub const ROUGH_SOURCE: &str = "NHLA rules for hardwood lumber, surfaced thicknesses";

/// See [`Rough`], thin to thick.
pub const ROUGH: [Rough; 13] = [
    rough("3/8", 6, 3, None, Flag::Restated),
    rough("1/2", 8, 5, None, Flag::Restated),
    rough("5/8", 10, 7, None, Flag::Restated),
    rough("3/4", 12, 9, None, Flag::Restated),
    rough("4/4", 16, 13, Some(14), Flag::Restated),
    rough("5/4", 20, 17, Some(18), Flag::Restated),
    rough("6/4", 24, 21, Some(22), Flag::Restated),
    rough("7/4", 28, 24, None, Flag::Restated),
    rough("8/4", 32, 28, Some(29), Flag::Restated),
    rough("10/4", 40, 36, None, Flag::FromMemory),
    rough("12/4", 48, 44, None, Flag::Restated),
    rough("14/4", 56, 52, None, Flag::FromMemory),
    rough("16/4", 64, 60, None, Flag::Restated),
];

/// A row in sixteenths of an inch.
const fn rough(called: &'static str, rough: i64, two: i64, one: Option<i64>, flag: Flag) -> Rough {
    let one_face = match one {
        Some(sixteenths) => Some(inches(sixteenths, 16)),
        None => None,
    };
    Rough { called, rough: inches(rough, 16), two_faces: inches(two, 16), one_face, flag }
}

/// A grade of hardwood and how much of a board comes out as clear cuttings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grade {
    /// As the spec writes it.
    pub name: &'static str,
    /// As the trade writes it.
    pub called: &'static str,
    /// Clear face cuttings in twelfths of the board's measure, at least.
    pub twelfths: i128,
    pub flag: Flag,
}

/// The source of [`GRADES`].
pub const GRADES_SOURCE: &str = "NHLA rules for hardwood lumber, yield of the grades";

/// Grades of hardwood by their least yield, which the rules count in twelfths (NHLA; from memory).
pub const GRADES: [Grade; 5] = [
    Grade { name: "fas", called: "FAS", twelfths: 10, flag: Flag::FromMemory },
    Grade { name: "selects", called: "Selects", twelfths: 10, flag: Flag::FromMemory },
    Grade { name: "common_1", called: "No. 1 Common", twelfths: 8, flag: Flag::FromMemory },
    Grade { name: "common_2", called: "No. 2A Common", twelfths: 6, flag: Flag::FromMemory },
    Grade { name: "common_3", called: "No. 3A Common", twelfths: 4, flag: Flag::FromMemory },
];

impl Grade {
    /// What to order on top of the net measure, as a share of it: 10/12 clear wants 12/10 ordered, a fifth more.
    pub fn waste(&self) -> Ratio<i128> {
        Ratio::new(12 - self.twelfths, self.twelfths.max(1))
    }
}

/// Waste where no grade is given: a fifth more than the net measure (common practice; what the best grade takes).
pub fn usual_waste() -> Ratio<i128> {
    Ratio::new(1, 5)
}

/// `count`/`parts` of an inch; the parts divide an inch of 2 032 000 = 2⁷ · 15 875 units.
const fn inches(count: i64, parts: i64) -> Length {
    Length::from_units(count * (Length::INCH.units() / parts))
}

/// The thinnest rough thickness that surfaces to at least `finished`; `None` where a piece must be glued up.
pub fn rough_for(finished: Length) -> Option<&'static Rough> {
    ROUGH.iter().find(|row| row.two_faces >= finished)
}

/// The rough thickness named within a label such as `6/4 ash`: 4/4 and up, for `3/4 poplar` may mean the finished one.
pub fn rough_in(label: &str) -> Option<&'static Rough> {
    let label = super::plain(label);
    ROUGH.iter().filter(|row| row.rough >= Length::INCH).find(|row| has_words(&label, row.called))
}

/// Actual size of dry, surfaced softwood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Softwood {
    pub thick: Length,
    pub width: Length,
    /// How well the less known of the two sizes is known.
    pub flag: Flag,
}

/// The source of [`softwood_in`].
pub const SOFTWOOD_SOURCE: &str = "PS 20-20 Table 3, dry";

/// Nominal and actual thickness, in sixteenths of an inch.
const SOFTWOOD_THICK: [(&str, i64, Flag); 4] = [
    ("1", 12, Flag::Restated),
    ("5/4", 16, Flag::FromMemory),
    ("2", 24, Flag::Restated),
    ("4", 56, Flag::FromMemory),
];

/// Nominal width in inches and actual width in sixteenths.
const SOFTWOOD_WIDTH: [(&str, i64); 7] =
    [("2", 24), ("3", 40), ("4", 56), ("6", 88), ("8", 116), ("10", 148), ("12", 180)];

/// The actual size of lumber whose nominal size, such as `2x4`, `1 x 6` or `5/4 × 6`, stands within a label
/// ([`SOFTWOOD_SOURCE`]; restated unless flagged). Nominal width not below the thickness.
pub fn softwood_in(label: &str) -> Option<Softwood> {
    let label = label.to_lowercase().replace(['×', 'x'], " x ").replace(['"', '″'], " ");
    let words: Vec<&str> = label.split_whitespace().collect();
    words.windows(3).find_map(|three| {
        let [nominal_thick, "x", nominal_width] = *three else { return None };
        let (_, thick, flag) = *SOFTWOOD_THICK.iter().find(|row| row.0 == nominal_thick)?;
        let (_, width) = *SOFTWOOD_WIDTH.iter().find(|row| row.0 == nominal_width)?;
        (width >= thick).then(|| Softwood { thick: inches(thick, 16), width: inches(width, 16), flag })
    })
}

/// Names of sheet thicknesses in inches and in millimetres that the trade treats as the same (approximations; restated).
pub const INCH_AND_METRIC: [(Length, Length); 5] = [
    (inches(8, 32), millimetre_tenths(65)),
    (inches(15, 32), millimetre_tenths(120)),
    (inches(16, 32), millimetre_tenths(125)),
    (inches(23, 32), millimetre_tenths(180)),
    (inches(24, 32), millimetre_tenths(190)),
];

const fn millimetre_tenths(tenths: i64) -> Length {
    Length::from_units(tenths * (Length::MM.units() / 10))
}

/// A sheet thicker than this is a misread label.
const THICKEST: Length = inches(3, 1);

/// The thickness named within a label such as `3/4 birch ply` or `18 mm MDF`: the first length of at most 3 in that is not
/// part of a size such as `4x8`. A bare number is in inches.
pub fn thickness_in(label: &str) -> Option<Length> {
    let mut rest = label;
    let mut before = ' ';
    while let Some(first) = rest.chars().next() {
        let begins = first.is_ascii_digit() || first == '.' || (!first.is_ascii() && first.is_numeric());
        if begins
            && (before.is_whitespace() || before == '(')
            && let Some(thick) = thickness_at(rest)
        {
            return Some(thick);
        }
        // "4x8": what follows the × is part of the size too, for `before` is then no white space.
        before = first;
        rest = &rest[first.len_utf8()..];
    }
    None
}

/// The thickness that `text` begins with.
fn thickness_at(text: &str) -> Option<Length> {
    let (literal, after) = text.split_at_checked(notation::scan(text).ok()?.used)?;
    if after.trim_start().starts_with(['x', '×', 'X']) {
        return None;
    }
    notation::read(literal, Units::Inch).ok().filter(|thick| thick.is_positive() && *thick <= THICKEST)
}
