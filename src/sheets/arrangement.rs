//! The general arrangement of an assembly: plan, front and side with hidden lines removed, overall sizes and the rows of
//! bays and heights between them, a balloon for every part. First or third angle. Knows no part's own shape.

use std::collections::BTreeSet;

use super::assembly::Assembled;
use super::balloons::{Shown, balloons, unseen};
use super::bays::{Look, chain};
use super::by_part::ByPart;
use super::chain::{Chain, rows_of};
use super::cuttings::Cutting;
use super::details::circles::{Callouts, circles};
use super::face_view::draw_lines;
use super::frame::Area;
use super::free::Taken;
use super::lanes::Beside;
use super::plane_mark::plane_mark;
use super::scales::Scale;
use super::sheet::{Draft, Paperwork};
use super::spaces::{Space, spaces};
use super::title_block::Projection as Angle;
use super::zeros;
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Dimension, Group, Layer, Mark};
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
/// More parts than this find no room for their balloons round views that stand close.
const CROWDED: usize = 16;
/// The three looks: front, side, plan.
const ALL: [usize; 3] = [0, 1, 2];
/// The smallest scale at which both faces of an 18 mm board are seen apart: parallel lines keep 0.7 mm (ISO 128-20 cl. 6.1,
/// from memory).
const READABLE: f64 = 0.7 / 18.0;

/// The sheet of an assembly in three views, with the planes of its sections and the details that they call out. `depths`:
/// the letter of a section that bears the row of depths.
pub fn arrangement(
    of: &Assembled,
    planes: &[Cutting],
    callouts: &Callouts,
    depths: Option<&str>,
    paperwork: &Paperwork,
) -> Vec<Draft> {
    let shells: Vec<_> = of.boards.iter().map(|p| Shell::undrilled(&p.solid)).collect();
    let drawn_all = shells.iter().all(Result::is_ok);
    let shells: Vec<Shell> = shells.into_iter().map(Result::unwrap_or_default).collect();
    let looks = of.looks(paperwork.projection == Angle::Third);
    let lines: Vec<Vec<ViewLine>> = looks.iter().map(|look| view(&shells, &look.projection())).collect();
    let (schedule, zeros) =
        if of.whole { zeros::table(of, paperwork) } else { (of.schedule(&paperwork.figures), Vec::new()) };
    let words = |areas: Vec<Area>, no_room: &[Side]| {
        let mut flow = of.head("GENERAL ARRANGEMENT", areas);
        if !drawn_all {
            flow.line("Some boards could not be drawn: see the warnings.", TABLES, true);
        }
        flow.facts(&of.notes(), TABLES);
        flow.line(paperwork.figures.unit_note(), TABLES, true);
        if !of.whole {
            flow.facts(&of.rows_without_room(no_room, depths), TABLES);
        }
        flow
    };
    let spaces = spaces(paperwork, |areas| words(areas, &[looks[0].right, looks[0].up, looks[1].right]));
    let mut shared = Arranged::largest(of, looks, &ALL, &spaces, paperwork);
    shared.dimensions.extend(zeros);
    let own = shared.on_own_sheets(of, depths, &spaces, paperwork);
    let is_parted = own.is_some();
    let (name, title) = (format!("{}-arrangement", of.name), format!("{}: general arrangement", of.title));
    let mut all = Vec::new();
    for (i, mut sheet) in own.unwrap_or_else(|| vec![shared]).into_iter().enumerate() {
        let mut words = words(sheet.space.words.clone(), &sheet.no_room);
        if i == 0 && !words.whole_table(&schedule) {
            // The cover has every part; places of assemblies stand nowhere else.
            if of.whole {
                words.line("PLACES: see the next sheet", TABLES, true);
                words.leave_over(&schedule);
            } else {
                words.line("PARTS: see the cover", TABLES, true);
            }
        }
        sheet.draw(of, &lines, (planes, callouts), paperwork);
        let mut groups = sheet.groups;
        groups.push(words.group(&of.name));
        let view = ["front", "side", "plan"].get(i).filter(|_| is_parted);
        let draft = Draft {
            name: view.map_or(name.clone(), |view| format!("{name}-{view}")),
            title: view.map_or(title.clone(), |view| format!("{title}, {view}")),
            kind: "ARRANGEMENT",
            scale: sheet.scale.label(),
            factor: sheet.scale.factor(),
            groups,
            dimensions: sheet.dimensions,
            ..Draft::default()
        };
        all.push(draft);
        all.extend(words.further(paperwork, &name, &title));
    }
    all
}

/// The three views at a scale, with their rows.
struct Arranged {
    scale: Scale,
    /// For each look: where its (0, 0) lies on paper.
    origins: [At; 3],
    looks: [Look; 3],
    /// Which of the looks are on this sheet.
    shown: Vec<usize>,
    chains: Vec<Chain>,
    /// Directions of the room whose chain finds no room.
    no_room: Vec<Side>,
    space: Space,
    groups: Vec<Group>,
    dimensions: Vec<Dimension>,
}

impl Arranged {
    fn largest(
        of: &Assembled,
        looks: [Look; 3],
        shown: &[usize],
        spaces: &[Space],
        paperwork: &Paperwork,
    ) -> Arranged {
        let at = |scale, space: &Space| match shown {
            [one] => Arranged::alone(of, looks, *one, space, scale, paperwork),
            _ => Arranged::at(of, looks, space, scale, paperwork),
        };
        let series: Vec<Scale> =
            Scale::series(paperwork.practice).into_iter().filter(|s| s.factor() <= 1.0).collect();
        let mut best: Option<Arranged> = None;
        for space in spaces {
            let least = best.as_ref().map_or(0.0, |best| best.scale.factor());
            for scale in series.iter().filter(|scale| scale.factor() > least) {
                let (arranged, fits) = at(*scale, space);
                if fits {
                    best = Some(arranged);
                    break;
                }
            }
        }
        best.unwrap_or_else(|| {
            let smallest = series.last().copied().unwrap_or(Scale::full(paperwork.practice));
            at(smallest, &spaces[0]).0
        })
    }

    /// The views on sheets of their own, where one sheet for all cannot be read and three can better: a row of sizes has no
    /// room for its figures (those of depths may stand on a section instead), or lines of a board lie too near each other.
    fn on_own_sheets(
        &self,
        of: &Assembled,
        depths: Option<&str>,
        spaces: &[Space],
        paperwork: &Paperwork,
    ) -> Option<Vec<Arranged>> {
        let deep = self.looks[1].right;
        let lost =
            |sheet: &Arranged| sheet.no_room.iter().filter(|row| **row != deep || depths.is_none()).count();
        let is_dense = self.scale.factor() < READABLE;
        if of.whole || (lost(self) == 0 && !is_dense) {
            return None;
        }
        let own = ALL.map(|i| Arranged::largest(of, self.looks, &[i], spaces, paperwork));
        let finds_room = own.iter().map(lost).sum::<usize>() < lost(self);
        let is_larger = own[0].scale.factor() > self.scale.factor();
        (finds_room || (is_dense && is_larger)).then(|| own.into_iter().collect())
    }

    /// One view by itself: the front with its rows across and up, the side with its row of depths, the plan bare, since the
    /// other two give its sizes.
    fn alone(
        of: &Assembled,
        looks: [Look; 3],
        which: usize,
        space: &Space,
        scale: Scale,
        paperwork: &Paperwork,
    ) -> (Arranged, bool) {
        let (factor, around, look, zone) = (scale.factor(), &of.around, looks[which], space.zone);
        let row = |side: Side, beside: Beside, origin: At, edge: f64| {
            chain(of.made, &of.boards, around, &look, side, beside, origin, edge, factor, paperwork)
        };
        let asked: &[(Side, Beside)] = match which {
            0 => &[(look.right, Beside::Below), (look.up, Beside::Left)],
            1 => &[(look.right, Beside::Below)],
            _ => &[],
        };
        let (mut left, mut below, mut over, mut top) = (0.0_f64, 6.0_f64, 8.0_f64, RAISED + 8.0);
        for (side, beside) in asked {
            let chain = row(*side, *beside, (0.0, 0.0), 0.0).0;
            match beside {
                Beside::Left => {
                    left = left.max(chain.reach());
                    (below, top) = (below.max(chain.overflow().0), top.max(chain.overflow().1));
                }
                _ => {
                    below = below.max(chain.reach() + 2.0);
                    (left, over) = (left.max(chain.overflow().0), over.max(chain.overflow().1));
                }
            }
        }
        let (across, up) = (look.along(around, look.right), look.along(around, look.up));
        let width = left + across.size().to_mm() * factor + over;
        let height = below + up.size().to_mm() * factor + top;
        let fits = width <= zone.width() && height <= zone.height();
        let x = zone.low.0 + left + (zone.width() - width).max(0.0) / 2.0;
        let y = zone.low.1 + below + (zone.height() - height).max(0.0) / 2.0;
        let origin = (x - across.low.to_mm() * factor, y - up.low.to_mm() * factor);
        let mut alone = Arranged {
            scale,
            origins: [origin; 3],
            looks,
            shown: vec![which],
            chains: Vec::new(),
            no_room: Vec::new(),
            space: space.clone(),
            groups: Vec::new(),
            dimensions: Vec::new(),
        };
        for (side, beside) in asked {
            let edge = if *beside == Beside::Left { x } else { y };
            let (chain, _, dimensions) = row(*side, *beside, origin, edge);
            if !chain.has_room() {
                alone.no_room.push(*side);
            }
            alone.chains.push(chain);
            alone.dimensions.extend(dimensions);
        }
        (alone, fits)
    }

    fn at(
        of: &Assembled,
        looks: [Look; 3],
        space: &Space,
        scale: Scale,
        paperwork: &Paperwork,
    ) -> (Arranged, bool) {
        let (made, around, zone) = (of.made, &of.around, space.zone);
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
        let up_row = row(&front, front.up, Beside::Left, nowhere, 0.0).0;
        let left = up_row.reach().max(front_row.overflow().0);
        let below = (front_row.reach().max(side_row.reach()) + 2.0).max(up_row.overflow().0);
        let apart = APART.max(front_row.overflow().1 + side_row.overflow().0 + 4.0);
        let titles = 8.0;
        // In first angle the front is the upper view, and its title may stand above the mark of the cutting plane.
        let top = if third { titles } else { RAISED - TITLE + titles };
        // In first angle the plan lies below the front's dimensions.
        let width = left + wide + apart + side_wide + side_row.overflow().1;
        let height = below + high + titles + APART + deep + top;
        let fits = width <= zone.width() && height <= zone.height();
        let (mut across, mut spare) = (zone.width() - width, zone.height() - height);
        (across, spare) = (across.max(0.0), spare.max(0.0));
        // Many parts have many balloons: views stand further apart, so that each has room for its own.
        let is_crowded = boards.iter().map(|b| b.part).collect::<BTreeSet<_>>().len() > CROWDED;
        let wider = if is_crowded { (0.5 * across, 0.6 * spare) } else { (0.0, 0.0) };
        let (apart, above) = (apart + wider.0, APART + wider.1);
        let x = zone.low.0 + left + (across - wider.0) / 2.0;
        let spare = (spare - wider.1) / 2.0;
        let (front_y, plan_y) = if third {
            let y = zone.low.1 + below + spare;
            (y, y + high + titles + above)
        } else {
            let plan_y = zone.low.1 + spare;
            (plan_y + deep + titles + above + below, plan_y)
        };
        let side_x = x + wide + apart;
        let origin = |look: &Look, low_x: f64, low_y: f64| {
            let (across, up) = (look.along(around, look.right), look.along(around, look.up));
            (low_x - across.low.to_mm() * factor, low_y - up.low.to_mm() * factor)
        };
        let origins = [origin(&front, x, front_y), origin(&side, side_x, front_y), origin(&plan, x, plan_y)];
        let rows = [
            (front.right, row(&front, front.right, Beside::Below, origins[0], front_y)),
            (front.up, row(&front, front.up, Beside::Left, origins[0], x)),
            (side.right, row(&side, side.right, Beside::Below, origins[1], front_y)),
        ];
        let mut arranged = Arranged {
            scale,
            origins,
            looks,
            shown: ALL.to_vec(),
            chains: Vec::new(),
            no_room: Vec::new(),
            space: space.clone(),
            groups: Vec::new(),
            dimensions: Vec::new(),
        };
        for (side, (chain, _, dimensions)) in rows {
            if !chain.has_room() {
                arranged.no_room.push(side);
            }
            arranged.chains.push(chain);
            arranged.dimensions.extend(dimensions);
        }
        (arranged, fits)
    }

    fn draw(
        &mut self,
        of: &Assembled,
        lines: &[Vec<ViewLine>],
        (planes, callouts): (&[Cutting], &Callouts),
        paperwork: &Paperwork,
    ) {
        let (group, zone) = (paperwork.line_group(), self.space.zone);
        let factor = self.scale.factor();
        let mut taken = Taken::default();
        let mut dimensions: Vec<Mark> = self.chains.iter().flat_map(|c| c.lay(group)).collect();
        let mut views = Vec::new();
        let boards = of.boards.as_slice();
        // In a room nothing is told by hidden boards: each assembly has sheets of its own.
        let unseen = if of.whole { Vec::new() } else { unseen(boards, lines) };
        let mut hidden = Vec::new();
        for (i, ((look, origin), lines)) in self.looks.iter().zip(self.origins).zip(lines).enumerate() {
            if !self.shown.contains(&i) {
                continue;
            }
            let place = |at: (f64, f64)| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
            let shown: Vec<ViewLine> = lines.iter().filter(|l| l.visible).copied().collect();
            let seen = ByPart::lines(of, &shown, origin, factor);
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
            taken.add(&seen.all());
            views.push((look.title, seen));
        }
        taken.add(&dimensions);
        for plane in planes {
            let views: Vec<(Look, At)> =
                self.shown.iter().map(|i| (self.looks[*i], self.origins[*i])).collect();
            let marks = plane_mark(of, plane, &views, factor, (&taken, zone), paperwork);
            taken.add(&marks);
            dimensions.extend(marks);
        }
        let mut circled = Vec::new();
        for i in &self.shown {
            let (look, origin, called) = (self.looks[*i], self.origins[*i], &callouts.arranged[*i]);
            let place = |at: Position| {
                let along = |side: Side| at[side.axis().index()].to_mm() * side.sign() as f64;
                (origin.0 + along(look.right) * factor, origin.1 + along(look.up) * factor)
            };
            let there: Vec<Mark> = dimensions.iter().chain(&circled).cloned().collect();
            circled.extend(circles(called, place, factor, &there, zone, &mut taken, group));
            // The plan tells left and front, the front view the height.
            if of.whole && *i != 1 {
                dimensions.extend(zeros::zeros(of, place, zone, &mut taken, group));
            }
        }
        let shown = self.shown.iter().filter_map(|i| lines.get(*i).map(|lines| (lines, self.origins[*i])));
        let shown: Vec<Shown> = shown.map(|(lines, origin)| Shown { lines, origin, factor }).collect();
        let here = |view: usize| self.shown.iter().position(|shown| *shown == view);
        let unseen: Vec<_> =
            unseen.into_iter().filter_map(|(view, part)| Some((here(view)?, part))).collect();
        let balloons = if of.whole {
            Vec::new()
        } else {
            let rows = rows_of(&self.chains, group);
            balloons(of.made, boards, &shown, &unseen, None, &rows, zone, &mut taken, group)
        };
        for (title, seen) in views {
            let view = title.to_lowercase().replace(' ', "-");
            self.groups.extend(seen.groups(of, &view, Layer::Outlines));
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
}
