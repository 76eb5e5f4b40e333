//! The general arrangement of an assembly: plan, front and side with hidden lines removed, overall sizes and the rows of
//! bays and heights between them, a balloon for every part. First or third angle. Knows no part's own shape.

use super::assembly::Assembled;
use super::balloons::{Shown, balloons, unseen};
use super::bays::{Look, chain};
use super::chain::Chain;
use super::face_view::draw_lines;
use super::frame::Area;
use super::free::Taken;
use super::lanes::Beside;
use super::scales::Scale;
use super::sheet::{Draft, Paperwork};
use super::title_block::Projection as Angle;
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Dimension, Group, Layer, LineType, Mark, line};
use crate::length::Length;
use crate::shape::shell::Shell;
use crate::shape::view::{ViewLine, view};
use crate::trade::Side;

const TABLES: f64 = 2.5;
/// Height of a title above its view, and of one that stands above the mark of the cutting plane.
const TITLE: f64 = 3.0;
const RAISED: f64 = 9.0;
/// Reach of the mark of the cutting plane to either side.
const MARK: f64 = 8.0;
/// Between two views, beyond what their dimensions take.
const APART: f64 = 14.0;

/// The sheet of an assembly in three views; `cut` is where its section is taken, as a position across the front view.
pub fn arrangement(of: &Assembled, cut: Option<Length>, paperwork: &Paperwork) -> Vec<Draft> {
    let shells: Vec<_> = of.boards.iter().map(|p| Shell::undrilled(&p.solid)).collect();
    let drawn_all = shells.iter().all(Result::is_ok);
    let shells: Vec<Shell> = shells.into_iter().map(Result::unwrap_or_default).collect();
    let looks = of.looks(paperwork.projection == Angle::Third);
    let lines: Vec<Vec<ViewLine>> = looks.iter().map(|look| view(&shells, &look.projection())).collect();
    let mut flow = of.head("GENERAL ARRANGEMENT", paperwork);
    flow.table(&of.schedule(&paperwork.figures));
    if !drawn_all {
        flow.line("Some boards could not be drawn: see the warnings.", TABLES, true);
    }
    flow.facts(&of.notes(), TABLES);
    flow.line(paperwork.figures.unit_note(), TABLES, true);
    let zone = of.zone(&flow, paperwork);
    let mut sheet = Arranged::largest(of, looks, zone, paperwork);
    if !of.whole {
        flow.facts(&sheet.left_over(), TABLES);
    }
    sheet.draw(of, &lines, cut, zone, paperwork);
    let mut groups = sheet.groups;
    groups.push(flow.group(&of.name));
    let (name, title) = (format!("{}-arrangement", of.name), format!("{}: general arrangement", of.title));
    let further = flow.further(paperwork, &name, &title);
    let mut all = vec![Draft {
        name,
        title,
        kind: "ARRANGEMENT",
        scale: sheet.scale.label(),
        groups,
        dimensions: sheet.dimensions,
        ..Draft::default()
    }];
    all.extend(further);
    all
}

/// The three views at a scale, with their rows.
struct Arranged {
    scale: Scale,
    /// For each look: where its (0, 0) lies on paper.
    origins: [At; 3],
    looks: [Look; 3],
    chains: Vec<Chain>,
    /// Directions whose chain finds no room.
    no_room: Vec<&'static str>,
    groups: Vec<Group>,
    dimensions: Vec<Dimension>,
}

impl Arranged {
    fn largest(of: &Assembled, looks: [Look; 3], zone: Area, paperwork: &Paperwork) -> Arranged {
        let series: Vec<Scale> =
            Scale::series(paperwork.practice).into_iter().filter(|s| s.factor() <= 1.0).collect();
        let mut last = None;
        for scale in series {
            let (arranged, fits) = Arranged::at(of, looks, zone, scale, paperwork);
            last = Some(arranged);
            if fits {
                break;
            }
        }
        last.unwrap_or_else(|| {
            let full = Scale::full(paperwork.practice);
            Arranged::at(of, looks, zone, full, paperwork).0
        })
    }

    fn at(
        of: &Assembled,
        looks: [Look; 3],
        zone: Area,
        scale: Scale,
        paperwork: &Paperwork,
    ) -> (Arranged, bool) {
        let (made, around) = (of.made, &of.around);
        // Of a room only its whole size: its assemblies have sheets of their own.
        let boards = if of.whole { &[][..] } else { of.boards.as_slice() };
        let factor = scale.factor();
        let size = |look: &Look, side: Side| look.along(around, side).size().to_mm() * factor;
        let [front, side, plan] = looks;
        let (wide, high) = (size(&front, front.right), size(&front, front.up));
        let (side_wide, deep) = (size(&side, side.right), size(&plan, plan.up));
        let third = paperwork.projection == Angle::Third;
        // Reaches are learnt from chains laid about any point.
        let row = |look: &Look, side: Side, beside: Beside, origin: At, edge: f64| {
            chain(made, boards, around, look, side, beside, origin, edge, factor, paperwork)
        };
        let nowhere = (0.0, 0.0);
        let front_row = row(&front, front.right, Beside::Below, nowhere, 0.0).0;
        let side_row = row(&side, side.right, Beside::Below, nowhere, 0.0).0;
        let left = row(&front, front.up, Beside::Left, nowhere, 0.0).0.reach().max(front_row.overflow().0);
        let below = front_row.reach().max(side_row.reach()) + 2.0;
        let apart = APART.max(front_row.overflow().1 + side_row.overflow().0 + 4.0);
        let titles = 8.0;
        // In first angle the front is the upper view, and its title may stand above the mark of the cutting plane.
        let top = if third { titles } else { RAISED - TITLE + titles };
        // In first angle the plan lies below the front's dimensions.
        let width = left + wide + apart + side_wide + side_row.overflow().1;
        let height = below + high + titles + APART + deep + top;
        let fits = width <= zone.width() && height <= zone.height();
        let x = zone.low.0 + left + (zone.width() - width).max(0.0) / 2.0;
        let spare = (zone.height() - height).max(0.0) / 2.0;
        let (front_y, plan_y) = if third {
            let y = zone.low.1 + below + spare;
            (y, y + high + titles + APART)
        } else {
            let plan_y = zone.low.1 + spare;
            (plan_y + deep + titles + APART + below, plan_y)
        };
        let side_x = x + wide + apart;
        let origin = |look: &Look, low_x: f64, low_y: f64| {
            let (across, up) = (look.along(around, look.right), look.along(around, look.up));
            (low_x - across.low.to_mm() * factor, low_y - up.low.to_mm() * factor)
        };
        let origins = [origin(&front, x, front_y), origin(&side, side_x, front_y), origin(&plan, x, plan_y)];
        let rows = [
            ("ACROSS", row(&front, front.right, Beside::Below, origins[0], front_y)),
            ("UP", row(&front, front.up, Beside::Left, origins[0], x)),
            ("DEEP", row(&side, side.right, Beside::Below, origins[1], front_y)),
        ];
        let mut arranged = Arranged {
            scale,
            origins,
            looks,
            chains: Vec::new(),
            no_room: Vec::new(),
            groups: Vec::new(),
            dimensions: Vec::new(),
        };
        for (word, (chain, _, dimensions)) in rows {
            if !chain.has_room() {
                arranged.no_room.push(word);
            }
            arranged.chains.push(chain);
            arranged.dimensions.extend(dimensions);
        }
        (arranged, fits)
    }

    /// Where the positions stand for which no chain has room.
    fn left_over(&self) -> Vec<(String, String)> {
        let end = |word: &str| match word {
            "ACROSS" => "LEFT",
            "UP" => "BOTTOM",
            _ => "FRONT",
        };
        let told = |word: &&'static str| {
            let text = format!("faces of boards from the {}: see the sheet of story rods", end(word));
            ((*word).to_owned(), text)
        };
        self.no_room.iter().map(told).collect()
    }

    fn draw(
        &mut self,
        of: &Assembled,
        lines: &[Vec<ViewLine>],
        cut: Option<Length>,
        zone: Area,
        paperwork: &Paperwork,
    ) {
        let group = paperwork.line_group();
        let factor = self.scale.factor();
        let mut taken = Taken::default();
        let mut dimensions: Vec<Mark> = self.chains.iter().flat_map(|c| c.lay(group)).collect();
        let mut views = Vec::new();
        let boards = of.boards.as_slice();
        let unseen = unseen(boards, lines);
        let mut hidden = Vec::new();
        for (i, ((look, origin), lines)) in self.looks.iter().zip(self.origins).zip(lines).enumerate() {
            let place = |at: (f64, f64)| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
            let mut seen = Vec::new();
            let shown: Vec<ViewLine> = lines.iter().filter(|l| l.visible).copied().collect();
            draw_lines(&shown, origin, factor, &mut seen, &mut hidden);
            let here = |l: &&ViewLine| {
                unseen.iter().any(|(v, p)| *v == i && boards.get(l.solid).is_some_and(|b| b.part == *p))
            };
            let dashed: Vec<ViewLine> = lines.iter().filter(here).copied().collect();
            let mut behind = Vec::new();
            draw_lines(&dashed, origin, factor, &mut Vec::new(), &mut behind);
            taken.add(&behind);
            hidden.extend(behind);
            let tops = lines.iter().flat_map(|l| [place(l.from), place(l.to)]);
            let (x, y) = tops.fold((f64::MAX, f64::MIN), |(x, y), p| (x.min(p.0), y.max(p.1)));
            if x < f64::MAX {
                // Above the mark of the cutting plane where that stands over the title.
                let mark = cut.filter(|_| i == 0).map(|at| origin.0 + at.to_mm() * factor);
                let reach = x + width_of(look.title, 3.5, true);
                let is_over = mark.is_some_and(|at| x < at + MARK && at - MARK < reach);
                let up = if is_over { RAISED } else { TITLE };
                dimensions.push(written((x, y + up), look.title, 3.5, Anchor::Start, true));
            }
            taken.add(&seen);
            views.push((look.title, seen));
        }
        taken.add(&dimensions);
        if let Some(at) = cut {
            let marks = self.cutting_plane(of, at, group);
            taken.add(&marks);
            dimensions.extend(marks);
        }
        let shown: Vec<Shown> =
            lines.iter().zip(self.origins).map(|(lines, origin)| Shown { lines, origin, factor }).collect();
        let balloons = if of.whole {
            Vec::new()
        } else {
            balloons(of.made, boards, &shown, &unseen, None, zone, &mut taken, group)
        };
        for (title, marks) in views {
            self.groups.push(Group {
                id: format!("view-{}", title.to_lowercase().replace(' ', "-")),
                layer: Layer::Outlines,
                marks,
            });
        }
        if !hidden.is_empty() {
            self.groups.push(Group { id: "hidden".into(), layer: Layer::Hidden, marks: hidden });
        }
        self.groups.push(Group { id: "dimensions".into(), layer: Layer::Dimensions, marks: dimensions });
        self.groups.push(Group { id: "balloons".into(), layer: Layer::Notes, marks: balloons });
    }

    /// The ends of the cutting plane of section A–A on the front view, with the way it is looked.
    fn cutting_plane(&self, of: &Assembled, at: Length, group: f64) -> Vec<Mark> {
        let (front, origin, factor) = (&self.looks[0], self.origins[0], self.scale.factor());
        let up = front.along(&of.around, front.up);
        let x = origin.0 + at.to_mm() * factor;
        let (low, high) = (origin.1 + up.low.to_mm() * factor, origin.1 + up.high.to_mm() * factor);
        // The side view is looked at from the right in third angle: the arrow points to the left.
        let towards = if self.looks[1].eye == front.right { -7.0 } else { 7.0 };
        let mut marks = vec![
            line((x, high + 1.0), (x, high + 6.0), LineType::Cutting),
            line((x, low - 1.0), (x, low - 4.0), LineType::Cutting),
        ];
        marks.extend(leader(&[(x, high + 6.0), (x + towards, high + 6.0)], Terminator::Narrow, group));
        marks.push(written((x - towards * 0.5, high + 3.5), "A", 3.5, Anchor::Middle, true));
        marks
    }
}
