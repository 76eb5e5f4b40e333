//! Parts in, sheets out: what is dimensioned, where it goes on paper, and the set in order. Knows no file format, and
//! computes no part: all it draws was made before.

pub mod dimension;
pub mod face_view;
pub mod figures;
pub mod frame;
pub mod free;
pub mod lanes;
pub mod lines;
pub mod part_sheet;
pub mod part_words;
pub mod plan;
pub mod rebuild;
pub mod scales;
pub mod sheet;
pub mod title_block;
