//! Drawings for a machine to DXF bytes: R2000 or R12, millimetres or inches, one layer per operation, side and depth, closed
//! polylines with true arcs, drills as circles. What is drawn and where is decided in `cutting`; nothing is laid out here.

pub mod jigs;
mod mend;
mod write;

pub use write::write;
