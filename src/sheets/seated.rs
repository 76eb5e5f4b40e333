//! Which board sits in a recess: the one that stands where the wood is taken out. Knows no words.

use crate::boards::Pocket;
use crate::length::Length;
use crate::parts::Placed;
use crate::trade::Face;

/// True where a board stands in the room that a recess takes out of the board that it is in.
pub fn reaches_into(pocket: &Pocket, thick: Length, host: &Placed, guest: &Placed) -> bool {
    let around = pocket.outline.extents();
    let (near, far) = match pocket.from {
        Face::Show => (Length::ZERO, pocket.depth),
        Face::Back => (thick - pocket.depth, thick),
    };
    let one = host.frame.to_room(around.low.x, around.low.y, near);
    let other = host.frame.to_room(around.high.x, around.high.y, far);
    (0..3).all(|axis| {
        let (low, high) = (one[axis].min(other[axis]), one[axis].max(other[axis]));
        let span = guest.board.span[axis];
        high.min(span.high) - low.max(span.low) > Length::TOUCH
    })
}
