//! Parts in, sheets out: what is dimensioned, where it goes on paper, and the set in order. Knows no file format, and
//! computes no part: all it draws was made before.

pub mod dimension;
pub mod figures;
pub mod lines;
pub mod plan;
pub mod rebuild;
