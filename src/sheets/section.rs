//! A section of an assembly on any plane, at the largest scale that fits: what is cut is hatched by its stock and grain, with the
//! heights and depths of the boards that are cut. Knows one plane at a time.

use std::collections::BTreeSet;

use super::assembly::Assembled;
use super::balloons::{Shown, balloons};
use super::bays::{Look, chain};
use super::by_part::ByPart;
use super::chain::rows_of;
use super::cuttings::Cutting;
use super::details::circles::{Callout, circles};
use super::edge_detail::hatching_of;
use super::frame::Area;
use super::free::Taken;
use super::lanes::Beside;
use super::scales::Scale;
use super::sheet::{Draft, Paperwork};
use super::spaces::{Space, spaces};
use super::title_block::Projection as Angle;
use crate::drawing::hatch::{Hatching, hatch};
use crate::drawing::text::written;
use crate::drawing::{Anchor, Group, Layer, Mark, Step};
use crate::length::{Interval, Length};
use crate::parts::{PartId, Placed};
use crate::shape::view::{SectionView, ViewLine, section_view};
use crate::shape::{Outline, Plate, Point};
use crate::trade::{Axis, FaceFrame, Grain, Position, Side};

/// The sheet of a section.
pub struct Section {
    pub letter: String,
    pub draft: Draft,
    /// Whether it bears the row of depths of the boards that it cuts.
    pub tells_depths: bool,
}

/// The section with the details that it calls out; `None` where nothing is cut there.
pub fn section(
    of: &Assembled,
    cutting: &Cutting,
    callouts: &[Callout],
    paperwork: &Paperwork,
) -> Option<Section> {
    let (at, axis) = (cutting.at, cutting.axis);
    let looks = of.looks(paperwork.projection == Angle::Third);
    let view = looks.into_iter().find(|look| look.eye.axis() == axis)?;
    let named = format!("SECTION {0}–{0}", cutting.letter);
    let solids: Vec<_> = of.boards.iter().map(|p| &p.solid).collect();
    let seen = upright(section_view(&solids, view.eye, at).ok()?, &view);
    let is_cut = |p: &&&Placed| {
        let span = p.board.span[axis.index()];
        span.low < at && at < span.high
    };
    let cut: Vec<&Placed> = of.boards.iter().filter(is_cut).copied().collect();
    if cut.is_empty() {
        return None;
    }
    let words = |areas: Vec<Area>, no_room: &[Side]| {
        let mut flow = of.head(&named, areas);
        flow.facts(&of.notes(), 2.5);
        flow.line(paperwork.figures.unit_note(), 2.5, true);
        flow.facts(&of.rows_without_room(no_room, None), 2.5);
        flow
    };
    let look = Look { title: "SECTION", ..view };
    let row = |side, beside, origin, edge, factor| {
        chain(of.made, &cut, &of.around, &look, side, beside, origin, edge, factor, paperwork)
    };
    let (wide, high) = (look.along(&of.around, look.right), look.along(&of.around, look.up));
    let fit = |scale: &Scale, zone: &Area| {
        let factor = scale.factor();
        let below = row(look.right, Beside::Below, (0.0, 0.0), 0.0, factor).0;
        let left = row(look.up, Beside::Left, (0.0, 0.0), 0.0, factor).0;
        let (before, under) = (left.reach().max(below.overflow().0), below.reach().max(left.overflow().0));
        let width = before + wide.size().to_mm() * factor + below.overflow().1.max(16.0);
        let height = under + high.size().to_mm() * factor + left.overflow().1.max(22.0);
        let fits = factor <= 1.0 && width <= zone.width() && height <= zone.height();
        fits.then_some((before, under, width, height))
    };
    // The first of the ways to share out the sheet that have the largest scale.
    let mut best = None;
    for space in spaces(paperwork, |areas| words(areas, &[look.right, look.up])) {
        let least = best.as_ref().map_or(0.0, |(scale, ..): &(Scale, _, _)| scale.factor());
        let series = Scale::series(paperwork.practice).into_iter().take_while(|scale| scale.factor() > least);
        let found = series.into_iter().find_map(|scale| Some((scale, fit(&scale, &space.zone)?)));
        if let Some((scale, reaches)) = found {
            best = Some((scale, reaches, space));
        }
    }
    let (scale, (left, below, width, height), Space { words: areas, zone }) = best?;
    let factor = scale.factor();
    let x = zone.low.0 + left + (zone.width() - width) / 2.0;
    let y = zone.low.1 + below + (zone.height() - height) / 2.0;
    let origin = (x - wide.low.to_mm() * factor, y - high.low.to_mm() * factor);
    let rows =
        [row(look.right, Beside::Below, origin, y, factor), row(look.up, Beside::Left, origin, x, factor)];
    let group = paperwork.line_group();
    let mut dimensions: Vec<Mark> = Vec::new();
    let mut planned = Vec::new();
    let mut no_room = Vec::new();
    let mut tells_depths = false;
    let mut chains = Vec::new();
    for ((chain, _, said), side) in rows.into_iter().zip([look.right, look.up]) {
        if !chain.has_room() {
            no_room.push(side);
        }
        tells_depths |= chain.is_shown() && of.own(side).axis() == Axis::Deep;
        dimensions.extend(chain.lay(group));
        planned.extend(said);
        chains.push(chain);
    }
    let visible: Vec<_> = seen.lines.iter().filter(|l| l.visible).copied().collect();
    let outlines = ByPart::lines(of, &visible, origin, factor);
    let mut hatches = ByPart::default();
    for (board, plates) in &seen.cut {
        let Some(placed) = of.boards.get(*board) else { continue };
        let (kind, angle) = hatching(of, placed, &look);
        for plate in plates {
            hatches.add(of, *board, hatch(&path(plate, origin, factor), kind, angle, 1.8));
        }
    }
    let top = y + high.size().to_mm() * factor;
    let looking = of.own(look.eye.opposite()).word().to_uppercase();
    let caption = format!("{named}, looking {looking}");
    dimensions.push(written((x, top + 4.0), caption, 3.5, Anchor::Start, true));
    let mut taken = Taken::default();
    [&outlines.all(), &hatches.all(), &dimensions].into_iter().for_each(|marks| taken.add(marks));
    let place = |at: Position| {
        let along = |side: Side| at[side.axis().index()].to_mm() * side.sign() as f64;
        (origin.0 + along(look.right) * factor, origin.1 + along(look.up) * factor)
    };
    let circled = circles(callouts, place, factor, &dimensions, zone, &mut taken, group);
    let shown = [Shown { lines: &visible, origin, factor }];
    // The nearest board behind the plane is the one that is seen: cut boards first.
    let faces = |p: (f64, f64)| {
        let here = |side, at: f64, placed: &Placed| {
            let reach = look.along(&placed.board.span, side);
            reach.low.to_mm() < at && at < reach.high.to_mm()
        };
        let plane = look.along(&plane_span(axis, at), look.eye).low;
        let seen = of.boards.iter().enumerate().filter(|(_, b)| {
            let behind = look.along(&b.board.span, look.eye).low < plane;
            behind && here(look.right, p.0, b) && here(look.up, p.1, b)
        });
        seen.max_by_key(|(_, b)| look.along(&b.board.span, look.eye).high.min(plane)).map(|(i, _)| i)
    };
    let balloons = balloons(
        of.made,
        &of.boards,
        &shown,
        &[],
        Some(&faces),
        &rows_of(&chains, group),
        zone,
        &mut taken,
        group,
    );
    // Only what lies in the plane or behind it: what is taken away has its place on the arrangement.
    let is_left = |p: &&&Placed| look.along(&p.board.span, look.eye).low < cutting.at * look.eye.sign();
    let left: BTreeSet<PartId> = of.boards.iter().filter(is_left).map(|p| p.part).collect();
    let mut flow = words(areas, &no_room);
    if !flow.whole_table(&of.schedule_of(&paperwork.figures, |part| left.contains(&part))) {
        flow.line("PARTS: see the cover", 2.5, true);
    }
    let grouped = |id: &str, layer, marks| Group { id: id.to_owned(), layer, marks };
    let view = format!("section-{}", cutting.letter.to_lowercase());
    let mut groups = hatches.groups(of, &format!("{view}-hatching"), Layer::Notes);
    groups.extend(outlines.groups(of, &view, Layer::Outlines));
    groups.extend([
        grouped("section-dimensions", Layer::Dimensions, dimensions),
        grouped("section-details", Layer::Notes, circled),
        grouped("section-balloons", Layer::Notes, balloons),
        flow.group(&of.name),
    ]);
    let draft = Draft {
        name: if cutting.letter == "A" {
            format!("{}-section", of.name)
        } else {
            format!("{}-section-{}", of.name, cutting.letter.to_lowercase())
        },
        title: format!("{}: section {1}–{1}", of.title, cutting.letter),
        kind: "SECTION",
        scale: scale.label(),
        factor,
        groups,
        dimensions: planned,
        ..Draft::default()
    };
    Some(Section { letter: cutting.letter.clone(), draft, tells_depths })
}

/// No thickness, at a position along an axis.
fn plane_span(axis: Axis, at: Length) -> [Interval; 3] {
    let mut span = [Interval { low: Length::ZERO, high: Length::ZERO }; 3];
    span[axis.index()] = Interval { low: at, high: at };
    span
}

/// A section as the assembly's own view has it: one from above is turned with the assembly.
fn upright(seen: SectionView, look: &Look) -> SectionView {
    // Sections come with the right and up of the room's own views (see `Projection::of`).
    let frame = FaceFrame::of_plate(&plane_span(look.eye.axis(), Length::ZERO), look.eye);
    let part = |of: Side| {
        let same = |side: Side| if of.axis() == side.axis() { of.sign() * side.sign() } else { 0 };
        (same(frame.u), same(frame.v))
    };
    let (right, up) = (part(look.right), part(look.up));
    if right == (1, 0) && up == (0, 1) {
        return seen;
    }
    let turn = |p: (f64, f64)| {
        let along = |way: (i64, i64)| p.0 * way.0 as f64 + p.1 * way.1 as f64;
        (along(right), along(up))
    };
    let exact = |p: Point| Point::new(p.x * right.0 + p.y * right.1, p.x * up.0 + p.y * up.1);
    let outline = |outline: &Outline| outline.mapped(exact, false);
    let plate = |plate: &Plate| Plate {
        outline: outline(&plate.outline),
        inside: plate.inside.iter().map(outline).collect(),
    };
    let cut = seen.cut.iter().map(|(solid, plates)| (*solid, plates.iter().map(plate).collect()));
    let line = |l: &ViewLine| ViewLine { from: turn(l.from), to: turn(l.to), ..*l };
    SectionView { cut: cut.collect(), lines: seen.lines.iter().map(line).collect() }
}

/// How a board is hatched in a section, and the direction of its grain or its layers on paper.
pub fn hatching(of: &Assembled, placed: &Placed, look: &Look) -> (Hatching, f64) {
    let stock = of.made.job.stock.get(placed.board.stock);
    let kind = stock.map_or(Hatching::Plain, hatching_of);
    let upright = |axis: Axis| if axis == look.up.axis() { 90.0 } else { 0.0 };
    let into = placed.frame.into.axis();
    let grain = match placed.board.grain {
        Grain::AlongU => Some(placed.frame.u.axis()),
        Grain::AlongV => Some(placed.frame.v.axis()),
        Grain::Free => None,
    };
    match (kind, grain) {
        // Cut along the face of a sheet no layer shows.
        (Hatching::Plywood, _) if into == look.eye.axis() => (Hatching::Plain, 0.0),
        (Hatching::Plywood, _) => {
            (kind, upright(if into == look.up.axis() { look.right.axis() } else { look.up.axis() }))
        }
        (Hatching::LongGrain, Some(axis)) if axis == look.eye.axis() => (Hatching::EndGrain, 0.0),
        (Hatching::LongGrain, Some(axis)) => (kind, upright(axis)),
        _ => (kind, 0.0),
    }
}

pub fn path(plate: &Plate, origin: (f64, f64), factor: f64) -> Vec<Step> {
    let place = |at: (f64, f64)| (origin.0 + at.0 * factor, origin.1 + at.1 * factor);
    let mut path = Vec::new();
    let mut add = |outline: &Outline| {
        for (i, (from, to)) in outline.segments().enumerate() {
            if i == 0 {
                path.push(Step::Move(place(from.at.to_mm())));
            }
            let to = place(to.to_mm());
            path.push(if from.bulge == 0.0 { Step::Line(to) } else { Step::Arc(to, from.bulge) });
        }
        path.push(Step::Close);
    };
    add(&plate.outline);
    plate.inside.iter().for_each(&mut add);
    path
}
