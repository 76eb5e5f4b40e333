//! Paper at full size: templates, tiles, the printer's own error, story rods.

mod hand_made;
mod printed;
