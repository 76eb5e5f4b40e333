//! The lines of a view of several boards as a group for each part, so that a page that shows the sheet can find a part by the
//! id of its group. Knows no view.

use std::collections::BTreeMap;

use super::assembly::Assembled;
use super::face_view::draw_lines;
use crate::drawing::{At, Group, Layer, Mark};
use crate::shape::view::ViewLine;

/// What is drawn of each board of an assembly, gathered under the mark of its part.
#[derive(Default)]
pub struct ByPart {
    marks: BTreeMap<String, Vec<Mark>>,
}

impl ByPart {
    /// Lines of a view; an edge that several boards share belongs to the nearest.
    pub fn lines(of: &Assembled, lines: &[ViewLine], origin: At, factor: f64) -> ByPart {
        let mut boards: BTreeMap<usize, Vec<ViewLine>> = BTreeMap::new();
        for line in lines {
            boards.entry(line.solid).or_default().push(*line);
        }
        let mut all = ByPart::default();
        for (board, lines) in boards {
            let mut marks = Vec::new();
            draw_lines(&lines, origin, factor, &mut marks, &mut Vec::new());
            all.add(of, board, marks);
        }
        all
    }

    /// Marks of a board, by its number among those of the assembly.
    pub fn add(&mut self, of: &Assembled, board: usize, marks: Vec<Mark>) {
        let part = of.boards.get(board).and_then(|placed| of.made.parts.get(placed.part.0));
        let mark = part.map_or_else(|| "other".to_owned(), |part| part.mark.clone());
        self.marks.entry(mark).or_default().extend(marks);
    }

    pub fn all(&self) -> Vec<Mark> {
        self.marks.values().flatten().cloned().collect()
    }

    /// `bench-front-A4`: the assembly, the view, the part's mark.
    pub fn groups(self, of: &Assembled, view: &str, layer: Layer) -> Vec<Group> {
        let named = |(mark, marks): (String, Vec<Mark>)| Group {
            id: format!("{}-{view}-{mark}", of.name),
            layer,
            marks,
        };
        self.marks.into_iter().map(named).collect()
    }
}
