//! Positions along one line of an assembly or of the room: what a story rod holds, the same on a sheet and at full size.

use crate::boards::BoardId;
use crate::length::Length;
use crate::parts::Made;
use crate::trade::Side;

/// A face of a board, square to the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FaceMark {
    /// Position along the axis of the line, in the room.
    pub at: Length,
    pub board: BoardId,
    /// The face as the assembly's own views name it; of the room, as the room does.
    pub face: Side,
}

/// Both faces of every board along the line that begins at `from`, which is a side of the assembly before it is turned, or
/// of the room where no assembly is given. In the order of the boards.
pub fn faces(made: &Made, assembly: Option<usize>, from: Side) -> Vec<FaceMark> {
    let axis = in_room(made, assembly, from).axis();
    let back = 4 - turns(made, assembly) % 4;
    let ours = made.placed.iter().enumerate().filter(|(_, p)| assembly.is_none_or(|a| p.board.assembly == a));
    ours.flat_map(|(i, placed)| {
        let span = placed.board.span[axis.index()];
        [(span.low, axis.low()), (span.high, axis.high())].map(|(at, side)| FaceMark {
            at,
            board: BoardId(i),
            face: side.turned(back),
        })
    })
    .collect()
}

/// A side of an assembly as it stands in the room.
pub fn in_room(made: &Made, assembly: Option<usize>, side: Side) -> Side {
    side.turned(turns(made, assembly))
}

fn turns(made: &Made, assembly: Option<usize>) -> u8 {
    assembly.and_then(|a| made.job.assemblies.get(a)).map_or(0, |a| a.turns)
}
