//! How far a finish and a glue go: usual figures for planning. The label of the can wins.

use super::Flag;

/// What a measure of a finish covers in one coat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// As the spec writes it.
    pub kind: &'static str,
    /// Square feet to a US gallon, least and most.
    pub square_feet: [i128; 2],
    /// Coats that are usual.
    pub coats: i64,
    /// How well `square_feet` is known; the coats are common practice.
    pub flag: Flag,
}

/// The source of [`SPREADS`].
pub const SPREAD_SOURCE: &str = "makers' tables of coverage";

/// Per coat; three coats take three times as much. `clear` is polyurethane varnish ([`SPREAD_SOURCE`]; restated).
pub const SPREADS: [Spread; 3] = [
    Spread { kind: "paint", square_feet: [350, 400], coats: 2, flag: Flag::Restated },
    Spread { kind: "primer", square_feet: [200, 300], coats: 1, flag: Flag::Restated },
    Spread { kind: "clear", square_feet: [300, 600], coats: 3, flag: Flag::Restated },
];

/// Square feet of joint that a US gallon of white or yellow glue spreads over (from memory).
pub const GLUE_SQUARE_FEET: i128 = 200;
