//! From an assembly's own measures to the room: a quarter turn seen from above, then a move. Knows no formula.

use super::{Asked, Board, Fix, Opening};
use crate::length::Interval;
use crate::trade::{Axis, FaceFrame, Position, Side};
use crate::values::Assembly;

/// A point of the assembly as it lies in the room.
pub fn position(assembly: &Assembly, own: Position) -> Position {
    let mut room = assembly.at;
    for axis in Axis::ALL {
        let to = axis.high().turned(assembly.turns);
        room[to.axis().index()] += own[axis.index()] * to.sign();
    }
    room
}

/// Three intervals of the assembly as they lie in the room.
pub fn span(assembly: &Assembly, own: &[Interval; 3]) -> [Interval; 3] {
    let low = position(assembly, own.map(|along| along.low));
    let high = position(assembly, own.map(|along| along.high));
    [0, 1, 2].map(|axis| Interval::between(low[axis], high[axis]))
}

/// A face frame of the assembly as it lies in the room. Turning is rigid, so the outline in face coordinates stays the
/// same: a turned assembly has the same parts.
fn frame(assembly: &Assembly, own: &FaceFrame) -> FaceFrame {
    FaceFrame {
        origin: position(assembly, own.origin),
        u: own.u.turned(assembly.turns),
        v: own.v.turned(assembly.turns),
        into: own.into.turned(assembly.turns),
    }
}

/// Puts a board where its assembly stands.
pub fn put_board(assembly: &Assembly, board: &mut Board) {
    board.span = span(assembly, &board.span);
    board.frame = frame(assembly, &board.frame);
}

/// Puts an opening where its assembly stands.
pub fn put_opening(assembly: &Assembly, opening: &mut Opening) {
    opening.span = span(assembly, &opening.span);
    opening.front = opening.front.turned(assembly.turns);
}

/// Turns the sides that a joint names with its assembly.
pub fn put_asked(assembly: &Assembly, asked: &mut Asked) {
    let turned = |side: Side| side.turned(assembly.turns);
    asked.stopped.iter_mut().for_each(|(side, _)| *side = turned(*side));
    asked.cut_from = asked.cut_from.map(turned);
    asked.fix.iter_mut().for_each(|fix: &mut Fix| fix.from = fix.from.map(turned));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::Place;
    use crate::length::Length;

    fn assembly(turns: u8) -> Assembly {
        let at = [Length::MM * 1000, Length::MM * 2000, Length::MM * 30];
        Assembly { name: "bench".into(), place: Place::default(), at, turns, template: None }
    }

    /// Seen from above with the front below, a quarter turn to the left takes what pointed right to the back.
    #[test]
    fn a_quarter_turn_left_takes_right_to_the_back() {
        let mm = |n: i64| Length::MM * n;
        let own = [mm(10), mm(20), mm(5)];
        assert_eq!(position(&assembly(0), own), [mm(1010), mm(2020), mm(35)]);
        assert_eq!(position(&assembly(1), own), [mm(980), mm(2010), mm(35)]);
        assert_eq!(position(&assembly(2), own), [mm(990), mm(1980), mm(35)]);
        assert_eq!(position(&assembly(3), own), [mm(1020), mm(1990), mm(35)]);
    }

    #[test]
    fn a_turned_frame_reaches_the_same_points_as_the_turned_board() {
        let mm = |n: i64| Length::MM * n;
        let own = [
            Interval { low: mm(10), high: mm(40) },
            Interval { low: mm(0), high: mm(300) },
            Interval { low: mm(50), high: mm(68) },
        ];
        for turns in 0..4 {
            for show in Side::ALL {
                let here = assembly(turns);
                let own_frame = FaceFrame::of_plate(&own, show);
                let room_frame = frame(&here, &own_frame);
                for (u, v, depth) in [(0, 0, 0), (7, 3, 2)] {
                    let (u, v, depth) = (mm(u), mm(v), mm(depth));
                    let inside = own_frame.to_room(u, v, depth);
                    assert_eq!(room_frame.to_room(u, v, depth), position(&here, inside));
                }
                assert_eq!(room_frame.show(), show.turned(turns));
            }
        }
    }
}
