//! The general arrangement of an assembly: plan, front and side with hidden lines removed, overall sizes and the rows of
//! bays and heights between them, a balloon for every part. First or third angle. Knows no part's own shape.

use super::bays::{Look, chain};
use super::chain::Chain;
use super::face_view::draw_lines;
use super::figures::Figures;
use super::frame::Area;
use super::free::Taken;
use super::lanes::Beside;
use super::part_sheet::said;
use super::scales::Scale;
use super::sheet::{Draft, Flow, Paperwork};
use super::title_block::Projection as Angle;
use crate::boards::Other;
use crate::drawing::arrow::Terminator;
use crate::drawing::balloon::{pointing_balloon, radius};
use crate::drawing::table::{Cell, Column, Table};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Dimension, Group, Layer, Mark};
use crate::length::{Interval, Length};
use crate::parts::{Made, PartId, Placed};
use crate::shape::shell::Shell;
use crate::shape::view::{ViewLine, view};
use crate::trade::Side;

const BALLOONS: f64 = 3.5;
const TABLES: f64 = 2.5;
/// Between two views, beyond what their dimensions take.
const APART: f64 = 14.0;

/// The sheets of all assemblies.
pub fn arrangements(made: &Made, paperwork: &Paperwork) -> Vec<Draft> {
    let each = made.job.assemblies.iter().enumerate().flat_map(|(i, assembly)| {
        let boards: Vec<&Placed> = made.placed.iter().filter(|p| p.board.assembly == i).collect();
        arrangement(made, &boards, &said(&assembly.name), &assembly.name, assembly.turns, paperwork)
    });
    let mut all: Vec<Draft> = Vec::new();
    if made.job.assemblies.len() > 1 {
        let boards: Vec<&Placed> = made.placed.iter().collect();
        all.extend(arrangement(made, &boards, "whole room", "room", 0, paperwork));
    }
    all.extend(each);
    all
}

fn arrangement(
    made: &Made,
    boards: &[&Placed],
    title: &str,
    name: &str,
    turns: u8,
    paperwork: &Paperwork,
) -> Option<Draft> {
    let around = extents(boards)?;
    let shells: Vec<_> = boards.iter().map(|p| Shell::undrilled(&p.solid)).collect();
    let drawn_all = shells.iter().all(Result::is_ok);
    let shells: Vec<Shell> = shells.into_iter().map(Result::unwrap_or_default).collect();
    let turned = |side: Side| side.turned(turns);
    let (front, left, right) = (turned(Side::Front), turned(Side::Left), turned(Side::Right));
    let third = paperwork.projection == Angle::Third;
    // Third angle: seen from the right, drawn at the right. First angle: seen from the left, drawn at the right.
    let (side_eye, side_right) = if third { (right, turned(Side::Back)) } else { (left, front) };
    let looks = [
        Look { title: "FRONT", eye: front, right, up: Side::Top },
        Look {
            title: if third { "RIGHT SIDE" } else { "LEFT SIDE" },
            eye: side_eye,
            right: side_right,
            up: Side::Top,
        },
        Look { title: "PLAN", eye: Side::Top, right, up: turned(Side::Back) },
    ];
    let lines: Vec<Vec<ViewLine>> = looks.iter().map(|look| view(&shells, &look.projection())).collect();
    let mut flow = Flow::new(regions(paperwork));
    flow.line(&title.to_uppercase(), 5.0, true);
    flow.line("GENERAL ARRANGEMENT", 3.5, false);
    flow.table(&schedule(made, boards, &paperwork.figures));
    if !drawn_all {
        flow.line("Some boards could not be drawn: see the warnings.", TABLES, true);
    }
    flow.facts(&notes(made), TABLES);
    flow.line(paperwork.figures.unit_note(), TABLES, true);
    let field = paperwork.frame().field();
    let right_edge = flow.regions.first().map_or(field.high.0, |r| r.low.0) - 6.0;
    let zone = if field.width() < 260.0 {
        let top = flow.regions.iter().map(|r| r.high.1).fold(field.low.1, f64::max) + 5.0;
        Area { low: (field.low.0, top), high: field.high }
    } else {
        Area { low: field.low, high: (right_edge, field.high.1) }
    };
    let mut sheet = Arranged::largest(made, boards, &around, looks, zone, paperwork);
    for stops in sheet.left_over() {
        flow.table(&stops);
    }
    sheet.draw(made, boards, &lines, zone, paperwork);
    let mut groups = sheet.groups;
    groups.push(Group {
        id: format!("{}-notes", safe(name)),
        layer: Layer::Notes,
        marks: flow.marks.clone(),
    });
    Some(Draft {
        name: format!("{}-arrangement", safe(name)),
        title: format!("{title}: general arrangement"),
        kind: "ARRANGEMENT",
        part: None,
        scale: sheet.scale.label(),
        groups,
        dimensions: sheet.dimensions,
    })
}

/// Letters, digits and dashes only, for ids and file names.
fn safe(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

fn regions(paperwork: &Paperwork) -> Vec<Area> {
    let (frame, field) = (paperwork.frame(), paperwork.frame().field());
    if field.width() < 260.0 {
        let high = field.low.1 + 0.3 * field.height();
        return vec![Area { low: field.low, high: (field.high.0, high) }];
    }
    let width = (0.26 * field.width()).clamp(90.0, 130.0);
    let mut all = vec![Area { low: (field.high.0 - width, field.low.1), high: field.high }];
    all.extend(frame.beside());
    all
}

fn extents(boards: &[&Placed]) -> Option<[Interval; 3]> {
    let mut all = boards.first()?.board.span;
    for placed in boards {
        for (whole, one) in all.iter_mut().zip(placed.board.span) {
            *whole = Interval { low: whole.low.min(one.low), high: whole.high.max(one.high) };
        }
    }
    Some(all)
}

/// Parts of these boards: balloon, name, number here, finished size.
fn schedule(made: &Made, boards: &[&Placed], figures: &Figures) -> Table {
    let rows = made.parts.iter().enumerate().filter_map(|(i, part)| {
        let count = boards.iter().filter(|p| p.part == PartId(i)).count();
        let sizes = [part.width, part.height, part.thick].map(|l| figures.figure(l));
        (count > 0).then(|| {
            vec![
                Cell::bold(part.mark.clone()),
                Cell::new(said(&part.name)),
                count.to_string().into(),
                sizes.join(" × ").into(),
            ]
        })
    });
    Table {
        title: "PARTS".into(),
        columns: vec![
            Column::words(""),
            Column::words("PART"),
            Column::numbers("QTY"),
            Column::words("SIZE"),
        ],
        rows: rows.collect(),
        height: TABLES,
    }
}

fn notes(made: &Made) -> Vec<(String, String)> {
    let on_house = made.joints.iter().any(|j| !matches!(j.second, Other::Board(_)));
    let mut all = Vec::new();
    if on_house {
        all.push(("VERIFY".to_owned(), "touches the house: measure on site before cutting".to_owned()));
    }
    all.push(("±".to_owned(), "the one size of its row that takes up what is left".to_owned()));
    all
}

/// The three views at a scale, with their rows.
struct Arranged {
    scale: Scale,
    /// For each look: where its (0, 0) lies on paper.
    origins: [At; 3],
    looks: [Look; 3],
    chains: Vec<Chain>,
    /// Chains that find no room, as lists of positions.
    tables: Vec<(&'static str, Vec<Length>)>,
    figures: Figures,
    groups: Vec<Group>,
    dimensions: Vec<Dimension>,
}

impl Arranged {
    fn largest(
        made: &Made,
        boards: &[&Placed],
        around: &[Interval; 3],
        looks: [Look; 3],
        zone: Area,
        paperwork: &Paperwork,
    ) -> Arranged {
        let series: Vec<Scale> =
            Scale::series(paperwork.practice).into_iter().filter(|s| s.factor() <= 1.0).collect();
        let mut last = None;
        for scale in series {
            let (arranged, fits) = Arranged::at(made, boards, around, looks, zone, scale, paperwork);
            last = Some(arranged);
            if fits {
                break;
            }
        }
        last.unwrap_or_else(|| {
            let full = Scale::full(paperwork.practice);
            Arranged::at(made, boards, around, looks, zone, full, paperwork).0
        })
    }

    fn at(
        made: &Made,
        boards: &[&Placed],
        around: &[Interval; 3],
        looks: [Look; 3],
        zone: Area,
        scale: Scale,
        paperwork: &Paperwork,
    ) -> (Arranged, bool) {
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
        // In first angle the plan lies below the front's dimensions.
        let width = left + wide + apart + side_wide + side_row.overflow().1;
        let height = below + high + titles + APART + deep + titles;
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
            tables: Vec::new(),
            figures: paperwork.figures,
            groups: Vec::new(),
            dimensions: Vec::new(),
        };
        for (word, (chain, positions, dimensions)) in rows {
            if !chain.has_room() {
                arranged.tables.push((word, positions));
            }
            arranged.chains.push(chain);
            arranged.dimensions.extend(dimensions);
        }
        (arranged, fits)
    }

    /// Positions for which no chain has room, told from the end at which the row begins.
    fn left_over(&self) -> Vec<Table> {
        let table = |(word, positions): &(&'static str, Vec<Length>)| {
            let first = positions.first().copied().unwrap_or_default();
            let rows = positions.iter().enumerate().map(|(i, at)| {
                vec![Cell::new((i + 1).to_string()), self.figures.print(*at - first).both().into()]
            });
            Table {
                title: format!("FACES OF BOARDS {word}, running from the first"),
                columns: vec![Column::numbers(""), Column::numbers(*word)],
                rows: rows.collect(),
                height: TABLES,
            }
        };
        self.tables.iter().map(table).collect()
    }

    fn draw(
        &mut self,
        made: &Made,
        boards: &[&Placed],
        lines: &[Vec<ViewLine>],
        zone: Area,
        paperwork: &Paperwork,
    ) {
        let group = paperwork.line_group();
        let factor = self.scale.factor();
        let mut taken = Taken::default();
        let mut dimensions: Vec<Mark> = self.chains.iter().flat_map(|c| c.lay(group)).collect();
        let mut views = Vec::new();
        let unseen = self.unseen(boards, lines);
        let mut hidden = Vec::new();
        for (i, ((look, origin), lines)) in self.looks.iter().zip(self.origins).zip(lines).enumerate() {
            let place = |at: (f64, f64)| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
            let mut seen = Vec::new();
            let shown: Vec<ViewLine> = lines.iter().filter(|l| l.visible).copied().collect();
            draw_lines(&shown, origin, factor, &mut seen, &mut hidden);
            let here = |l: &&ViewLine| unseen.iter().any(|(v, p)| *v == i && boards[l.solid].part == *p);
            let dashed: Vec<ViewLine> = lines.iter().filter(here).copied().collect();
            let mut behind = Vec::new();
            draw_lines(&dashed, origin, factor, &mut Vec::new(), &mut behind);
            taken.add(&behind);
            hidden.extend(behind);
            let tops = lines.iter().flat_map(|l| [place(l.from), place(l.to)]);
            let (x, y) = tops.fold((f64::MAX, f64::MIN), |(x, y), p| (x.min(p.0), y.max(p.1)));
            if x < f64::MAX {
                dimensions.push(written((x, y + 3.0), look.title, 3.5, Anchor::Start, true));
            }
            taken.add(&seen);
            views.push((look.title, seen));
        }
        taken.add(&dimensions);
        let balloons = self.balloons(made, boards, lines, zone, &mut taken, group);
        for (title, marks) in views {
            self.groups.push(Group {
                id: format!("view-{}", safe(&title.to_lowercase())),
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

    /// Lines of boards that no view shows are drawn hidden in the view that would show most of them.
    fn unseen(&self, boards: &[&Placed], lines: &[Vec<ViewLine>]) -> Vec<(usize, PartId)> {
        let mut parts: Vec<PartId> = boards.iter().map(|p| p.part).collect();
        parts.sort();
        parts.dedup();
        let of = |l: &ViewLine, part: PartId| boards.get(l.solid).is_some_and(|b| b.part == part);
        let seen = |part: PartId| lines.iter().flatten().any(|l| l.visible && of(l, part));
        let amount = |view: usize, part: PartId| {
            let ours = lines[view].iter().filter(|l| of(l, part));
            ours.map(length).sum::<f64>()
        };
        let unseen = parts.into_iter().filter(|part| !seen(*part));
        unseen
            .filter_map(|part| {
                let best = (0..lines.len()).max_by(|a, b| amount(*a, part).total_cmp(&amount(*b, part)))?;
                Some((best, part))
            })
            .collect()
    }

    /// One balloon for every part, on the longest line of it that is seen, in the first view that shows it.
    fn balloons(
        &self,
        made: &Made,
        boards: &[&Placed],
        lines: &[Vec<ViewLine>],
        zone: Area,
        taken: &mut Taken,
        group: f64,
    ) -> Vec<Mark> {
        let mut marks = Vec::new();
        let factor = self.scale.factor();
        let unseen = self.unseen(boards, lines);
        for (i, part) in made.parts.iter().enumerate() {
            let ours: Vec<usize> =
                boards.iter().enumerate().filter(|(_, p)| p.part == PartId(i)).map(|(b, _)| b).collect();
            if ours.is_empty() {
                continue;
            }
            let size = 2.0 * radius(&part.mark, BALLOONS);
            let hidden = unseen.iter().find(|(_, p)| *p == PartId(i)).map(|(view, _)| *view);
            for (view, (lines, origin)) in lines.iter().zip(self.origins).enumerate() {
                let counts = |l: &&ViewLine| {
                    ours.contains(&l.solid) && if hidden.is_some() { hidden == Some(view) } else { l.visible }
                };
                let mut seen: Vec<&ViewLine> = lines.iter().filter(counts).collect();
                seen.sort_by(|a, b| length(b).total_cmp(&length(a)));
                let along = |l: &&ViewLine, t: f64| {
                    let at = (l.from.0 + (l.to.0 - l.from.0) * t, l.from.1 + (l.to.1 - l.from.1) * t);
                    (origin.0 + at.0 * factor, origin.1 + at.1 * factor)
                };
                // An arc's chord lies off the arc.
                let straight = seen.iter().filter(|l| l.bulge == 0.0).take(6);
                let targets = straight.flat_map(|l| [0.5, 0.35, 0.65, 0.2, 0.8].map(|t| along(l, t)));
                let far = |a: At, b: At| libm::hypot(a.0 - b.0, a.1 - b.1);
                let found = targets
                    .filter_map(|t| taken.near(t, (size, size), zone, false).map(|s| (t, s)))
                    .min_by(|(t, a), (u, b)| far(*t, a.leader_from).total_cmp(&far(*u, b.leader_from)));
                let Some((target, spot)) = found else { continue };
                let balloon =
                    pointing_balloon(spot.middle, &part.mark, BALLOONS, target, Terminator::Narrow, group);
                taken.add(&balloon);
                marks.extend(balloon);
                break;
            }
        }
        marks
    }
}

fn length(line: &ViewLine) -> f64 {
    libm::hypot(line.to.0 - line.from.0, line.to.1 - line.from.1)
}
