//! Pictures of an assembly: as it stands, and pulled apart with a balloon for every part and the order of work beside it.
//! Isometric (ISO 5456-3), hidden lines removed. Knows no dimension.

use super::assembly::Assembled;
use super::balloons::{Shown, balloons};
use super::by_part::ByPart;
use super::face_view::draw_lines;
use super::frame::Area;
use super::free::Taken;
use super::sheet::{Draft, Paperwork};
use super::spaces::{Space, spaces};
use crate::drawing::{At, Group, Layer, Mark};
use crate::length::Length;
use crate::parts::Placed;
use crate::shape::shell::Shell;
use crate::shape::solid::Solid;
use crate::shape::view::{Projection, ViewLine, view};
use crate::trade::Side;

const WORDS: f64 = 2.5;
/// How far parts are pulled apart: by so much of the distance of their middles, in tenths.
const APART: i64 = 7;

/// A picture fitted into an area.
pub struct Picture {
    pub lines: Vec<ViewLine>,
    pub origin: At,
    pub factor: f64,
}

impl Picture {
    /// The boards from the front and right, each moved out from the middle of all by `apart` tenths of its distance.
    pub fn of(boards: &[&Placed], turns: u8, apart: i64, area: Area) -> Option<Picture> {
        let moved = |p: &Placed| {
            let mut solid: Solid = p.solid.clone();
            for axis in 0..3 {
                let all = boards.iter().map(|b| b.board.span[axis]);
                let low = all.clone().map(|i| i.low).min().unwrap_or_default();
                let high = all.map(|i| i.high).max().unwrap_or_default();
                let own = p.board.span[axis];
                let off = (own.low + own.high).half() - (low + high).half();
                solid.frame.origin[axis] += Length::from_units(off.units() / 10 * apart);
            }
            solid
        };
        let shells: Vec<Shell> =
            boards.iter().map(|p| Shell::undrilled(&moved(p)).unwrap_or_default()).collect();
        let projection = Projection::isometric(Side::Front.turned(turns), Side::Right.turned(turns));
        let lines: Vec<ViewLine> = view(&shells, &projection).into_iter().filter(|l| l.visible).collect();
        let points = || lines.iter().flat_map(|l| [l.from, l.to]);
        let low = points().fold((f64::MAX, f64::MAX), |a, p| (a.0.min(p.0), a.1.min(p.1)));
        let high = points().fold((f64::MIN, f64::MIN), |a, p| (a.0.max(p.0), a.1.max(p.1)));
        let (width, height) = (high.0 - low.0, high.1 - low.1);
        if !(width > 0.0 && height > 0.0 && area.width() > 0.0 && area.height() > 0.0) {
            return None;
        }
        let factor = (area.width() / width).min(area.height() / height);
        let middle = |low: f64, high: f64, a: f64, b: f64| (a + b) / 2.0 - (low + high) / 2.0 * factor;
        let origin =
            (middle(low.0, high.0, area.low.0, area.high.0), middle(low.1, high.1, area.low.1, area.high.1));
        Some(Picture { lines, origin, factor })
    }

    pub fn marks(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        draw_lines(&self.lines, self.origin, self.factor, &mut marks, &mut Vec::new());
        marks
    }
}

/// The sheet of an assembly pulled apart, with the order of work.
pub fn exploded(of: &Assembled, paperwork: &Paperwork) -> Vec<Draft> {
    let spaces = spaces(paperwork, |areas| of.head("ASSEMBLY", areas));
    let Some(Space { words, zone }) = spaces.into_iter().next() else { return Vec::new() };
    let mut flow = of.head("ASSEMBLY", words);
    let steps: Vec<_> = of.made.steps.iter().filter(|s| Some(s.assembly) == of.index).collect();
    if !steps.is_empty() {
        flow.line("ORDER OF WORK", WORDS, true);
    }
    for (i, step) in steps.iter().enumerate() {
        let mut marks: Vec<&str> = step
            .boards
            .iter()
            .filter_map(|b| of.made.placed.get(b.0))
            .filter_map(|p| of.made.parts.get(p.part.0))
            .map(|p| p.mark.as_str())
            .collect();
        marks.dedup();
        let which = if marks.is_empty() { String::new() } else { format!(" [{}]", marks.join(", ")) };
        flow.facts(&[((i + 1).to_string(), format!("{}{which}", step.text))], WORDS);
        if let Some(stop) = &step.stop {
            flow.facts(&[("STOP".to_owned(), stop.clone())], WORDS);
        }
    }
    flow.table(&of.schedule(&paperwork.figures));
    let Some(picture) = Picture::of(&of.boards, of.turns, APART, zone.inset(16.0)) else { return Vec::new() };
    let drawn = ByPart::lines(of, &picture.lines, picture.origin, picture.factor);
    let mut taken = Taken::default();
    taken.add(&drawn.all());
    let shown = [Shown { lines: &picture.lines, origin: picture.origin, factor: picture.factor }];
    let balloons =
        balloons(of.made, &of.boards, &shown, &[], None, &[], zone, &mut taken, paperwork.line_group());
    let group = |id: &str, layer, marks| Group { id: id.to_owned(), layer, marks };
    let mut groups = drawn.groups(of, "apart", Layer::Outlines);
    groups.extend([group("picture-balloons", Layer::Notes, balloons), flow.group(&of.name)]);
    let (name, title) = (format!("{}-assembly", of.name), format!("{}: parts pulled apart", of.title));
    let further = flow.further(paperwork, &name, &title);
    let scale = "NOT TO SCALE".to_owned();
    let mut all = vec![Draft { name, title, kind: "ASSEMBLY", scale, groups, ..Draft::default() }];
    all.extend(further);
    all
}
