//! Sheets: what is dimensioned, that a part can be rebuilt from its printed figures, and where things lie on paper.

mod arranged;
mod bench;
mod called;
mod details;
mod dowels;
mod hand_made;
mod many;
mod part_views;
mod pictures;
mod planner;
mod real;
mod revised;
mod shared;
#[allow(clippy::module_inception, reason = "the tests of whole sheets")]
mod sheets;
mod tables;
mod turned;
