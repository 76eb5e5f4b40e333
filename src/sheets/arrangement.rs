//! The general arrangement of an assembly: plan, front and side with hidden lines removed, overall sizes and the rows of
//! bays and heights between them, a balloon for every part. First or third angle. Knows no part's own shape.

use super::assembly::Assembled;
use super::balloons::{Shown, balloons, unseen};
use super::bays::{Look, chain};
use super::chain::Chain;
use super::cuttings::Cutting;
use super::details::circles::{Callouts, circles};
use super::details::is_clear;
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
use crate::shape::shell::Shell;
use crate::shape::view::{ViewLine, view};
use crate::trade::{Position, Side};

const TABLES: f64 = 2.5;
/// Height of a title above its view, and of one that stands above the mark of the cutting plane.
const TITLE: f64 = 3.0;
const RAISED: f64 = 9.0;
/// Reach of the mark of the cutting plane to either side.
const MARK: f64 = 8.0;
/// Between two views, beyond what their dimensions take.
const APART: f64 = 14.0;

/// The sheet of an assembly in three views, with the planes of its sections and the details that they call out.
pub fn arrangement(
    of: &Assembled,
    planes: &[Cutting],
    callouts: &Callouts,
    paperwork: &Paperwork,
) -> Vec<Draft> {
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
    sheet.draw(of, &lines, (planes, callouts), zone, paperwork);
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
        (planes, callouts): (&[Cutting], &Callouts),
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
                // Above the mark of a cutting plane where that stands over the title.
                let upright = planes.iter().filter(|p| i < 2 && p.axis == look.right.axis());
                let mut over = upright.map(|p| origin.0 + p.at.to_mm() * look.right.sign() as f64 * factor);
                let reach = x + width_of(look.title, 3.5, true);
                let is_over = over.any(|at| x < at + MARK && at - MARK < reach);
                let up = if is_over { RAISED } else { TITLE };
                dimensions.push(written((x, y + up), look.title, 3.5, Anchor::Start, true));
            }
            taken.add(&seen);
            views.push((look.title, seen));
        }
        taken.add(&dimensions);
        for plane in planes {
            let marks = self.cutting_plane(of, plane, &dimensions, paperwork);
            taken.add(&marks);
            dimensions.extend(marks);
        }
        let mut circled = Vec::new();
        for ((look, origin), called) in self.looks.iter().zip(self.origins).zip(&callouts.arranged) {
            let place = |at: Position| {
                let along = |side: Side| at[side.axis().index()].to_mm() * side.sign() as f64;
                (origin.0 + along(look.right) * factor, origin.1 + along(look.up) * factor)
            };
            let paper = paperwork.frame().size();
            let there: Vec<Mark> = dimensions.iter().chain(&circled).cloned().collect();
            circled.extend(circles(called, place, factor, &there, (zone, paper), &mut taken, group));
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
        if !circled.is_empty() {
            self.groups.push(Group { id: "detail-circles".into(), layer: Layer::Notes, marks: circled });
        }
        self.groups.push(Group { id: "balloons".into(), layer: Layer::Notes, marks: balloons });
    }

    /// A cutting plane on the view that shows it as a line: its ends, the way it is looked, its letter (ISO 128, wide
    /// long-dashed dotted). Upright planes stand on the front or the side view, level ones on the front. Where a letter
    /// would meet another mark, the end is drawn further out, or the second one without.
    fn cutting_plane(&self, of: &Assembled, plane: &Cutting, there: &[Mark], paperwork: &Paperwork) -> Vec<Mark> {
        let eye = self.looks.iter().find(|look| look.eye.axis() == plane.axis).map(|look| look.eye);
        let shows = |look: &Look| look.right.axis() == plane.axis || look.up.axis() == plane.axis;
        let Some(view) = self.looks.iter().position(shows) else { return Vec::new() };
        let (look, origin, factor) = (self.looks[view], self.origins[view], self.scale.factor());
        let level = look.up.axis() == plane.axis;
        let towards = if level { look.up } else { look.right };
        let zero = if level { origin.1 } else { origin.0 };
        let at = zero + plane.at.to_mm() * towards.sign() as f64 * factor;
        // The arrow points the way the section is looked: away from the eye.
        let way = if eye == Some(towards) { -7.0 } else { 7.0 };
        let along = look.along(&of.around, if level { look.right } else { look.up });
        let from = if level { origin.0 } else { origin.1 };
        let (low, high) = (from + along.low.to_mm() * factor, from + along.high.to_mm() * factor);
        let point = |along: f64, aside: f64| if level { (along, at + aside) } else { (at + aside, along) };
        let stub = |a: f64, b: f64| line(point(a, 0.0), point(b, 0.0), LineType::Cutting);
        let end = |edge: f64, out: f64, reach: f64| {
            let tip = edge + out * reach;
            let mut marks = vec![stub(edge + out, tip)];
            let arrow = [point(tip, 0.0), point(tip, way)];
            marks.extend(leader(&arrow, Terminator::Narrow, paperwork.line_group()));
            // Behind the arrow, beside the end of the line.
            let beside = point(tip - out * 2.5, if way > 0.0 { -3.5 } else { 3.5 });
            let letter = plane.letter.as_str();
            marks.push(written((beside.0, beside.1 - 1.75), letter, 3.5, Anchor::Middle, true));
            marks
        };
        let paper = paperwork.frame().size();
        let free = |marks: &Vec<Mark>| is_clear(there.iter().chain(marks).cloned().collect(), &paper);
        let first = [6.0, 8.5, 11.0].iter().map(|reach| end(high, 1.0, *reach)).find(free);
        let second = Some(end(low, -1.0, 6.0)).filter(free);
        let is_told = first.is_some() || second.is_some();
        let mut marks = first.unwrap_or_else(|| vec![stub(high + 1.0, high + 4.0)]);
        marks.extend(second.unwrap_or_else(|| vec![stub(low - 1.0, low - 4.0)]));
        if !is_told {
            marks.extend(end(high, 1.0, 6.0));
        }
        marks
    }
}
