//! Every way the trade writes a length: read, shown, and rows rounded so that they still add up. Knows no spec and no
//! sheet.
//!
//! One inch is 25.4 mm exactly, so inch and metric values share one grid and nothing is lost between them. What
//! [`read`] takes:
//!
//! ```
//! use tickstick::length::{Length, Units, notation::read};
//!
//! let table = [
//!     // as written          1/80 µm: 2 032 000 to the inch, 80 000 to the millimetre
//!     (r#"3/4""#,            2_032_000 * 3 / 4),
//!     (r#"1 1/4""#,          2_032_000 * 5 / 4),
//!     (r#"1-1/4""#,          2_032_000 * 5 / 4),
//!     (r#"5'"#,              2_032_000 * 60),
//!     (r#"5' 4-1/2""#,       2_032_000 * 129 / 2),
//!     (r#"5'-4 1/2""#,       2_032_000 * 129 / 2),
//!     (r#"0.709""#,          2_032 * 709),
//!     (r#".5""#,             2_032_000 / 2),
//!     ("18 mm",              80_000 * 18),
//!     ("18mm",               80_000 * 18),
//!     ("1.2 m",              80_000 * 1_200),
//!     ("3 cm",               80_000 * 30),
//!     ("3 in",               2_032_000 * 3),
//!     ("5 ft",               2_032_000 * 60),
//!     ("5 ft 4 in",          2_032_000 * 64),
//!     ("1½″",                2_032_000 * 3 / 2),
//!     ("5′ 4½″",             2_032_000 * 129 / 2),
//!     ("-3/4\"",             -2_032_000 * 3 / 4),
//!     // a bare number takes the unit that is given
//!     ("18",                 2_032_000 * 18),
//!     ("1 3/4",              2_032_000 * 7 / 4),
//!     ("18.5",               2_032_000 * 37 / 2),
//! ];
//! for (text, units) in table {
//!     assert_eq!(read(text, Units::Inch), Ok(Length::from_units(units)), "{text}");
//! }
//! ```
//!
//! Everything else is refused, with what to type instead:
//!
//! ```
//! use tickstick::length::{Units, notation::read};
//!
//! for text in [r#"3/0""#, "1/2/3", r#"5"6"#, ".nan", "1e5", "", "18,5", "2000 m", r#"1/3""#] {
//!     let refused = read(text, Units::Inch).unwrap_err();
//!     assert!(!refused.cure.is_empty(), "{text}");
//! }
//! ```

use std::fmt;
use std::ops::Range;

pub use super::read::read;
pub use super::row::{Row, row};
pub use super::scan::{Literal, Scanned, scan};
pub use super::show::{InchForm, Showing, Shown, show_exact, tell};

pub(crate) use super::read::on_grid;
pub(crate) use super::sign::{begins_number, is_minus};

/// Why a text is not a length, and what to type instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotationError {
    /// The bytes of the text that are at fault; empty where something is missing.
    pub at: Range<usize>,
    /// A clause without a full stop.
    pub message: String,
    /// What to do, as an instruction.
    pub cure: String,
}

impl fmt::Display for NotationError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{}; {}", self.message, self.cure)
    }
}

impl std::error::Error for NotationError {}
