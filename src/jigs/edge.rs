//! A template for one edge: all of the outline that is seen from a side, run on straight past both ends so that the router
//! starts and leaves beyond the wood, and a body behind it that the base and the clamps stand on.

use super::blank::{self, Body, Reach};
use super::find::Feature;
use super::guide::{Corner, Cuts, Shape, Tool, Trouble, follow, relieved};
use super::{Bears, Fence, Mark};
use crate::length::Length;
use crate::parts::Made;
use crate::shape::{Arc, Extents, Outline, Point, Vertex};
use crate::values::CornerRule;

/// The run past an end follows the edge's own direction, up to this slope.
const STEEP: f64 = 1.5;

/// The template of an edge.
///
/// # Errors
/// As [`follow`].
pub fn body(
    made: &Made,
    feature: &Feature,
    tool: Tool,
    reach: &Reach,
    step: Length,
    rule: CornerRule,
) -> Result<Body, Trouble> {
    let out = feature.mouths.first().copied().unwrap_or((0, -1));
    let turn = Turn(out);
    let part = feature.work.outline.mapped(|p| turn.down(p), false);
    let around = part.extents();
    let run = run(&part, around).ok_or(Trouble::Unsound)?;
    let offset = tool.offset();
    let lead = reach.lead + offset;
    // A hollow lies deeper than its ends; a straight run is no outline and has none.
    let hollow = Outline::new(run.clone()).ok().map(|run| run.extents().high.y);
    let highest = run.iter().map(|v| v.at.y).chain(hollow).max().unwrap_or(around.low.y);
    let mut back = highest + reach.margin;
    let opposite = around.high.y;
    let flat = straight_along(&part, opposite) * 2 >= around.width();
    let on_opposite = flat && opposite <= back + blank::near(made.job.units);
    if on_opposite {
        back = opposite + blank::fence_width(made.job.units);
    }
    let (Some(first), Some(last)) = (run.first().copied(), run.last().copied()) else {
        return Err(Trouble::Unsound);
    };
    let start = Point::new(first.at.x - lead, first.at.y - rise(&run, true, lead));
    let end = Point::new(last.at.x + lead, last.at.y + rise(&run, false, lead));
    let mut vertices = vec![Vertex { at: start, bulge: 0.0 }];
    vertices.extend(run.iter().copied());
    vertices.push(Vertex { at: end, bulge: 0.0 });
    vertices.push(Vertex { at: Point::new(end.x, back + offset), bulge: 0.0 });
    vertices.push(Vertex { at: Point::new(start.x, back + offset), bulge: 0.0 });
    let wood = Outline::new(vertices).map_err(|_| Trouble::Unsound)?;
    // The run and the way past its ends are lines of the part; the body's other sides only hold the template.
    let sides = wood.vertices().len();
    let walls: Vec<bool> = (0..sides).map(|index| index + 3 < sides).collect();
    let shape = Shape { outline: wood, walls, cuts: Cuts::Outside };
    // Places are told as the part lies, not as it was turned here.
    let told = |trouble: Trouble| trouble.mapped(|p| turn.up(p));
    let (line, corners) = follow(&shape, tool, step).map_err(told)?;
    let line = match rule {
        CornerRule::Relieve if !corners.is_empty() => {
            relieved(&line, &corners, tool, Cuts::Outside).ok_or(Trouble::Unsound)?
        }
        _ => line,
    };
    let body = line.extents();
    let mut fences = Vec::new();
    let mut lines = Vec::new();
    if on_opposite {
        fences.push(blank::fence(body, 1, true, opposite));
    } else {
        // An opposite edge that is not straight carries no fence, however near it is.
        let inside = body.high.y <= opposite;
        lines.push(Mark {
            from: Point::new(body.low.x, body.high.y),
            to: body.high,
            says: if inside {
                "back of the template, from the part's opposite edge"
            } else {
                "back of the template, beyond the part's opposite edge"
            },
            datum: Some((opposite - body.high.y).abs()),
        });
    }
    let datum = feature.datum.map(|datum| turn.down(datum)).unwrap_or(around.low);
    let at_high = datum.x == around.high.x;
    let end_height = if at_high { end.y.max(last.at.y) } else { start.y.max(first.at.y) };
    fences.push(end_fence(
        body,
        at_high,
        if at_high { around.high.x } else { around.low.x },
        end_height + blank::past(made.job.units),
    ));
    let turned_over = feature.uses.iter().any(|one| one.mirrored);
    // Nothing of the template lies in the way of its pins.
    let nowhere = Extents { low: body.low, high: body.low };
    let pins = if turned_over {
        let outlines = std::slice::from_ref(&part);
        let pins = |fence| blank::pins(fence, nowhere, &blank::bearing_on(fence, outlines), made.job.units);
        fences.iter().flat_map(pins).collect()
    } else {
        Vec::new()
    };
    let back_again = |p: Point| turn.up(p);
    let fence = |fence: Fence| turned_fence(&turn, fence);
    Ok(Body {
        blank: line.mapped(back_again, false),
        window: None,
        corners: corners.iter().map(|corner| turned_corner(&turn, corner)).collect(),
        edges: fences.iter().map(|fence| (turn.up(fence.from), turn.up(fence.to))).collect(),
        fences: if turned_over { Vec::new() } else { fences.iter().cloned().map(fence).collect() },
        pins: pins
            .into_iter()
            .map(|pin: super::Pin| super::Pin {
                at: turn.up(pin.at),
                bears: match pin.bears {
                    Bears::Edge(side) => Bears::Edge(turn.side(side)),
                    other => other,
                },
                ..pin
            })
            .collect(),
        lines: lines
            .into_iter()
            .map(|mark: Mark| Mark { from: turn.up(mark.from), to: turn.up(mark.to), ..mark })
            .collect(),
        turned_over,
        work: Some(Shape { outline: shape.outline.mapped(back_again, false), ..shape }),
    })
}

/// A quarter turn that brings a side to the bottom, by the direction that the side looks to.
struct Turn((i64, i64));

impl Turn {
    fn down(&self, p: Point) -> Point {
        match self.0 {
            (1, 0) => Point::new(p.y, -p.x),
            (0, 1) => Point::new(-p.x, -p.y),
            (-1, 0) => Point::new(-p.y, p.x),
            _ => p,
        }
    }

    fn up(&self, p: Point) -> Point {
        match self.0 {
            (1, 0) => Point::new(-p.y, p.x),
            (0, 1) => Point::new(-p.x, -p.y),
            (-1, 0) => Point::new(p.y, -p.x),
            _ => p,
        }
    }

    /// The name that a side of the turned drawing has on the drawing as it is.
    fn side(&self, turned: &str) -> &'static str {
        let all = ["bottom", "right", "top", "left"];
        let quarter = match self.0 {
            (1, 0) => 1,
            (0, 1) => 2,
            (-1, 0) => 3,
            _ => 0,
        };
        let place = all.iter().position(|side| *side == turned).unwrap_or(0);
        all[(place + quarter) % 4]
    }
}

fn turned_fence(turn: &Turn, fence: Fence) -> Fence {
    let (one, other) = (turn.up(fence.area.low), turn.up(fence.area.high));
    let low = Point::new(one.x.min(other.x), one.y.min(other.y));
    let high = Point::new(one.x.max(other.x), one.y.max(other.y));
    Fence {
        area: Extents { low, high },
        from: turn.up(fence.from),
        to: turn.up(fence.to),
        bears_on: turn.side(fence.bears_on),
    }
}

fn turned_corner(turn: &Turn, corner: &Corner) -> Corner {
    let (x, y) = corner.into;
    let into = match turn.0 {
        (1, 0) => (-y, x),
        (0, 1) => (-x, -y),
        (-1, 0) => (y, -x),
        _ => (x, y),
    };
    Corner { at: turn.up(corner.at), into, ..*corner }
}

/// What is seen from below: from the lowest corner at the left end to the lowest at the right; `None` where an end is no corner.
fn run(part: &Outline, around: Extents) -> Option<Vec<Vertex>> {
    let vertices = part.vertices();
    let lowest =
        |x: Length| (0..vertices.len()).filter(|i| vertices[*i].at.x == x).min_by_key(|i| vertices[*i].at.y);
    let (first, last) = (lowest(around.low.x)?, lowest(around.high.x)?);
    let mut run = Vec::new();
    let mut index = first;
    loop {
        run.push(vertices[index]);
        if index == last {
            break;
        }
        index = (index + 1) % vertices.len();
    }
    if let Some(end) = run.last_mut() {
        end.bulge = 0.0;
    }
    (run.len() > 1).then_some(run)
}

/// How much the line past an end rises over a length outward, in its own direction there; level where that is steep.
fn rise(run: &[Vertex], at_start: bool, over: Length) -> Length {
    let pair = if at_start {
        run.first().zip(run.get(1))
    } else {
        run.get(run.len().saturating_sub(2)).zip(run.last())
    };
    let Some((from, to)) = pair else { return Length::ZERO };
    let (a, b) = (from.at.to_mm(), to.at.to_mm());
    let (dx, dy) = match Arc::between(a, b, from.bulge) {
        None => (b.0 - a.0, b.1 - a.1),
        Some(arc) => arc.way(if at_start { 0.0 } else { 1.0 }),
    };
    if dx <= 0.0 || (dy / dx).abs() > STEEP || dy == 0.0 {
        return Length::ZERO;
    }
    Length::from_mm(over.to_mm() * dy / dx)
}

/// Length of the straight sides along the top.
fn straight_along(part: &Outline, top: Length) -> Length {
    let sides = part.segments().filter(|(from, to)| from.bulge == 0.0 && from.at.y == top && to.y == top);
    sides.map(|(from, to)| (to.x - from.at.x).abs()).sum()
}

/// A fence under the run past an end, behind the line that is cut.
fn end_fence(body: Extents, at_high: bool, edge: Length, from: Length) -> Fence {
    let whole = blank::fence(body, 0, at_high, edge);
    let cut = |p: Point| Point::new(p.x, p.y.max(from));
    Fence {
        area: Extents { low: cut(whole.area.low), high: whole.area.high },
        from: cut(whole.from),
        to: whole.to,
        ..whole
    }
}
