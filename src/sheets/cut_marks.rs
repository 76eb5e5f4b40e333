//! The short marks by which a view and its tables name the same cut.

use super::dimension::{bore_letter, letter};
use super::drawn::{DrawnBore, DrawnHole};
use crate::boards::PocketKind;

/// A word for a cut, as tables and the view name it: `N1`.
pub fn cut_mark(index: usize) -> String {
    format!("N{}", index + 1)
}

/// Of a notch that no joint makes.
pub fn step_mark(index: usize) -> String {
    format!("C{}", index + 1)
}

pub fn recess_mark(kind: PocketKind, index: usize) -> String {
    let head = match kind {
        PocketKind::Housing => "H",
        PocketKind::Groove => "G",
        PocketKind::Rebate => "RB",
        PocketKind::Recess => "RC",
    };
    format!("{head}{}", index + 1)
}

pub fn opening_mark(index: usize) -> String {
    format!("O{}", index + 1)
}

pub fn edge_mark(index: usize) -> String {
    format!("E{}", index + 1)
}

pub fn bevel_mark(index: usize) -> String {
    format!("V{}", index + 1)
}

pub fn hole_name(hole: &DrawnHole) -> String {
    format!("{}{}", letter(hole.kind), hole.number)
}

pub fn bore_name(bore: &DrawnBore) -> String {
    format!("{}{}", bore_letter(bore.kind), bore.number)
}
