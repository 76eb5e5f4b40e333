//! Sheets of the set. Parts in, sheets out.

pub mod frame;
pub mod scales;
pub mod title_block;
