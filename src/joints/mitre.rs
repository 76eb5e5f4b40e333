//! Mitres: two boards that meet at an outer corner, each bevelled over its full thickness. Boards of unequal thickness meet
//! on the line from the outer to the inner corner, so their angles differ.

use crate::boards::{Asked, Board, BoardId};
use crate::joints::Bevel;
use crate::joints::meet::{own_side, put_at};
use crate::joints::work::{Work, face_towards, normal, runs_left};
use crate::length::{Interval, Length};
use crate::shape::Point;
use crate::trade::{Face, Side};

/// Bevels `asked.first` and `second`; `shared` is the room box of their overlap.
pub(super) fn mitre(work: &mut Work, joint: usize, asked: &Asked, second: BoardId, shared: &[Interval; 3]) {
    let (one, other) = (work.board(asked.first), work.board(second));
    if normal(one) == normal(other) {
        let message = format!(
            "{} and {} lie the same way; a mitre needs two boards that turn a corner",
            one.name, other.name
        );
        let fault = work.fault("mitre-not-at-corner", asked, message).propose("use a butt joint");
        return work.refuse(joint, fault);
    }
    let mut bevels = Vec::new();
    for (id, board, by) in [(asked.first, one, other), (second, other, one)] {
        match bevel(board, by, shared, joint) {
            Ok(found) => bevels.push((id, found)),
            Err((side, at)) => {
                let message = format!(
                    "{} must end at the {} face of {} to be mitred with it, at {}",
                    board.name,
                    own_side(&work.boards.job, by, side).word(),
                    by.name,
                    work.tell(at)
                );
                let fault =
                    work.fault("mitre-not-at-corner", asked, message).propose(put_at(work, board, side, at));
                return work.refuse(joint, fault);
            }
        }
    }
    for (id, bevel) in bevels {
        let outline = work.plate(id).outline;
        if runs_left(&outline, bevel.from, bevel.to).is_empty() {
            let name = &work.board(id).name;
            let message = format!("the edge of {name} that is to be mitred is no straight edge any more");
            let fault = work
                .fault("mitre-not-at-corner", asked, message)
                .propose("leave that edge straight, or butt the boards");
            return work.refuse(joint, fault);
        }
        work.worked[id.0].bevels.push(bevel);
    }
}

/// The bevel on `board`, whose end lies in the corner with `by`; else the side and position at which it should end.
fn bevel(board: &Board, by: &Board, shared: &[Interval; 3], joint: usize) -> Result<Bevel, (Side, Length)> {
    let axis = normal(by);
    let (reach, wood) = (board.span[axis.index()], by.span[axis.index()]);
    // The board's body lies to one side of the corner; its end is on the other.
    let end = if reach.low + reach.high > wood.low + wood.high { axis.low() } else { axis.high() };
    let (ends, outer) = if end.is_high() { (reach.high, wood.high) } else { (reach.low, wood.low) };
    if (ends - outer).abs() > Length::TOUCH || shared[axis.index()].size() < wood.size() - Length::TOUCH {
        return Err((end, outer));
    }
    // The outer face of the board is the one that looks away from the other's body.
    let across = normal(board);
    let (own, others) = (board.span[across.index()], by.span[across.index()]);
    let outer_side = if others.low + others.high > own.low + own.high { across.low() } else { across.high() };
    let long = face_towards(board, outer_side).unwrap_or(Face::Show);
    let (from, to) = edge_line(board, end);
    let run = wood.size();
    let degrees = libm::atan2(run.to_mm(), own.size().to_mm()).to_degrees();
    Ok(Bevel { from, to, run, long, degrees, joint })
}

/// The edge of the board's extents on this side, in face coordinates, wood on the left.
fn edge_line(board: &Board, side: Side) -> (Point, Point) {
    let around = board.outline.extents();
    let (low, high) = (around.low, around.high);
    if side == board.frame.u {
        (Point::new(high.x, low.y), high)
    } else if side == board.frame.u.opposite() {
        (Point::new(low.x, high.y), low)
    } else if side == board.frame.v {
        (high, Point::new(low.x, high.y))
    } else {
        (low, Point::new(high.x, low.y))
    }
}
