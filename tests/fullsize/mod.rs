//! Paper at full size: templates, tiles, the printer's own error, story rods.

mod asked;
mod clipping;
mod correction;
mod edging;
mod hand_made;
mod printed;
mod real;
mod rods;
mod templates;
mod tiles;
