//! Plans of the work: parts on sheets and sticks.
//!
//! In: sizes and quantities, and what they are cut from. Out: where each part is cut. Knows no drawing, paper or file.

mod bound;
pub mod nest;
mod random;
pub mod sticks;
