//! The numbers of a joint on its plane: depth, width, fit, shoulders, wood left, where points end. All are measured on what
//! was made; none is worked out anew. Knows no paper.

use super::fixed::{Driven, how_fixed};
use super::found::{Border, borders};
use super::plane::{Plane, around, clipped, in_wood, room_box, wood_ahead};
use crate::boards::{Edge, Profile, Verb};
use crate::joints::{Fixing, Joint};
use crate::length::{Interval, Length};
use crate::parts::{Part, Placed};
use crate::shape::{Extents, Plate, Point};
use crate::sheets::assembly::Assembled;
use crate::sheets::edge_detail::repeated;
use crate::sheets::figures::Figures;
use crate::trade::Side;

/// A size in the plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// Free of left and right: equal conditions may be mirrored.
    pub what: String,
    /// Measured to the right; else upwards.
    pub level: bool,
    pub from: Length,
    pub to: Length,
    /// Reach of what is measured across the direction of measuring: where its extension lines begin.
    pub near: (Length, Length),
}

impl Size {
    pub fn value(&self) -> Length {
        (self.to - self.from).abs()
    }
}

/// What a detail says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Numbers {
    pub title: String,
    pub facts: Vec<(String, String)>,
    pub sizes: Vec<Size>,
    /// The wood taken away, on the plane.
    pub cut: Option<Extents>,
}

/// A joint on its plane.
pub struct Met<'a> {
    pub of: &'a Assembled<'a>,
    pub plane: &'a Plane,
    pub verb: Verb,
    pub boards: [&'a Placed; 2],
    pub joints: &'a [&'a Joint],
    pub whole: &'a [Vec<Plate>; 2],
    /// Where the boards touch or overlap, and what of it is shown.
    pub zone: Extents,
    pub shown: Extents,
    /// What is shown round it.
    pub margin: Length,
    /// Side of the first board that touches.
    pub side: Option<Side>,
    pub fixings: &'a [&'a Fixing],
    pub driven: &'a [Driven],
    pub figures: &'a Figures,
}

impl Met<'_> {
    pub fn numbers(&self) -> Numbers {
        let mut all = Numbers::default();
        match self.verb {
            Verb::Notch | Verb::Halve => self.through(&mut all),
            Verb::House => self.housed(&mut all),
            Verb::Mitre => self.mitred(&mut all),
            Verb::Butt => self.butted(&mut all),
        }
        self.fixed(&mut all);
        self.worked_edges(&mut all);
        let mut notes: Vec<&String> = self.joints.iter().filter_map(|j| j.note.as_ref()).collect();
        notes.dedup();
        all.facts.extend(notes.into_iter().map(|note| ("NOTE".to_owned(), note.clone())));
        all
    }

    pub(super) fn part(&self, which: usize) -> Option<&Part> {
        self.of.made.parts.get(self.boards[which].part.0)
    }

    pub(super) fn figure(&self, length: Length) -> String {
        self.figures.print(length).both()
    }

    /// Notches, slots and halvings, looking at the face of the board that is cut.
    fn through(&self, all: &mut Numbers) {
        let Some(cut) = self.cut_in(0, 1) else { return };
        all.title = cut.word.to_uppercase();
        self.recess(&cut.area, 0, 1, cut.word, None, all);
        if self.verb == Verb::Halve
            && let Some(other) = self.cut_in(1, 0)
        {
            let sizes = self.sizes_in(1, &other.space);
            all.facts.push(("OTHER".to_owned(), format!("the half in the other board: {sizes}")));
        }
        all.cut = Some(cut.area);
    }

    /// Housings, grooves and rebates, across the way they run.
    fn housed(&self, all: &mut Numbers) {
        let Some(pocket) = self.pocket_in(1, 0) else { return };
        all.title = pocket.word.to_uppercase();
        let into = self.boards[1].frame.into.axis();
        self.recess(&pocket.area, 1, 0, pocket.word, Some(into == self.plane.look.right.axis()), all);
        all.facts.push(("RUNS".to_owned(), self.stops(&pocket.space)));
        if let Some(tongue) = self.cut_in(0, 1) {
            let sizes = self.sizes_in(0, &tongue.space);
            all.facts.push(("SHOULDER".to_owned(), format!("the board let in is cut back {sizes}")));
        }
        all.cut = Some(pocket.area);
    }

    /// How far the recess stops short of the edges of its board.
    fn stops(&self, space: &[Interval; 3]) -> String {
        let axis = self.plane.axis();
        let Some(part) = self.part(1) else { return String::new() };
        let host = room_box(self.boards[1], &part.outline.extents(), (Length::ZERO, part.thick));
        let (recess, board) = (space[axis.index()], host[axis.index()]);
        let ends = [(axis.low(), recess.low - board.low), (axis.high(), board.high - recess.high)];
        let mut told: Vec<String> = ends
            .into_iter()
            .filter(|(_, short)| *short > Length::TOUCH)
            .map(|(side, short)| {
                format!("{} short of the {} edge", self.figure(short), self.of.own(side).word())
            })
            .collect();
        told.sort();
        if told.is_empty() { "right through".to_owned() } else { format!("stops {}", told.join(", ")) }
    }

    fn mitred(&self, all: &mut Numbers) {
        all.title = "MITRE".to_owned();
        let beyond = Extents {
            low: Point::new(self.zone.low.x - Length::MM, self.zone.low.y - Length::MM),
            high: Point::new(self.zone.high.x + Length::MM, self.zone.high.y + Length::MM),
        };
        let mut angles: Vec<String> = (0..2)
            .filter_map(|i| {
                let (placed, part) = (self.boards[i], self.part(i)?);
                let here = part.bevels.iter().find(|b| {
                    let at = self.plane.point(placed.frame.to_room(b.from.x, b.from.y, Length::ZERO));
                    around(beyond, Extents { low: at, high: at }) == beyond
                });
                here.map(|b| Figures::degrees(b.degrees))
            })
            .collect();
        angles.sort();
        all.facts.push(("BEVEL".to_owned(), format!("{} off square", angles.join(" and "))));
        let Extents { low, high } = self.zone;
        all.sizes.push(size("bevel over", true, (low.x, high.x), (low.y, high.y)));
        all.sizes.push(size("bevel over", false, (low.y, high.y), (low.x, high.x)));
    }

    /// What is taken out of a board for another, with its fit and the wood beside it. `deep` says which way its depth is
    /// measured (level or not), where that is known.
    fn recess(
        &self,
        area: &Extents,
        host: usize,
        guest: usize,
        word: &str,
        deep: Option<bool>,
        all: &mut Numbers,
    ) {
        let wood = &self.whole[host];
        let hair = Length::TOUCH + Length::TOUCH;
        let is_closed = |b: &Border| {
            let out = |at: Length, way: f64| at + hair * way as i64;
            in_wood(wood, Point::new(out(b.middle.x, b.out.0), out(b.middle.y, b.out.1)))
        };
        let sides = borders(area);
        let closed: Vec<&Border> = sides.iter().filter(|b| is_closed(b)).collect();
        let open = |level: bool| sides.iter().any(|b| b.level == level && !is_closed(b));
        let deep = deep.or(match (open(true), open(false)) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        });
        let (x, y) = ((area.low.x, area.high.x), (area.low.y, area.high.y));
        let names = match deep {
            Some(true) => ["depth", "width"],
            Some(false) => ["width", "depth"],
            None if area.width() >= area.height() => ["length", "width"],
            None => ["width", "length"],
        };
        all.sizes.push(size(&format!("{word} {}", names[0]), true, x, y));
        all.sizes.push(size(&format!("{word} {}", names[1]), false, y, x));
        self.fit(area, guest, (&closed, deep), all);
        let mut left: Vec<Length> = Vec::new();
        for border in &closed {
            let Some(ahead) = wood_ahead(wood, border.middle.to_mm(), border.out) else { continue };
            let is_floor = deep.is_none_or(|deep| deep == border.level);
            if ahead <= self.margin {
                let way = if border.level { border.out.0 } else { border.out.1 };
                let to = border.at + ahead * way as i64;
                let near = if border.level { border.middle.y } else { border.middle.x };
                let what =
                    if deep.is_some() && is_floor { "wood left under it" } else { "wood left beside it" };
                all.sizes.push(size(
                    what,
                    border.level,
                    (border.at.min(to), border.at.max(to)),
                    (near, near),
                ));
            } else if is_floor {
                left.push(ahead);
            }
        }
        left.sort();
        let told: Vec<String> = left.iter().map(|l| self.figure(*l)).collect();
        match (told.is_empty(), deep) {
            (true, _) => {}
            (_, Some(_)) => all.facts.push(("WOOD".to_owned(), format!("{} left under it", told.join(", ")))),
            // Cut into a corner, or open nowhere: what is left each way.
            (_, None) => {
                let text = format!("{} left beside it, to the edges of the board", told.join(" and "));
                all.facts.push(("WOOD".to_owned(), text));
            }
        }
    }

    /// The gap on every side that bears: beside what is let in, and at its end.
    fn fit(
        &self,
        area: &Extents,
        guest: usize,
        (closed, deep): (&[&Border], Option<bool>),
        all: &mut Numbers,
    ) {
        let inside = clipped(&self.whole[guest], area);
        let Some(filled) = inside.iter().map(|p| p.outline.extents()).reduce(around) else { return };
        let most = self.joints.iter().map(|j| j.fit).max().unwrap_or_default() + Length::TOUCH;
        let gap_at = |b: &Border| match (b.level, b.out.0 + b.out.1 > 0.0) {
            (true, true) => area.high.x - filled.high.x,
            (true, false) => filled.low.x - area.low.x,
            (false, true) => area.high.y - filled.high.y,
            (false, false) => filled.low.y - area.low.y,
        };
        // No mark of a rule stands beside a gap: it would round to nothing.
        let told = |gap: Length| {
            if gap.abs() <= Length::TOUCH { "0, tight".to_owned() } else { self.figures.figure(gap) }
        };
        let of = |at_end: bool| {
            let here = closed.iter().filter(|b| (deep == Some(b.level)) == at_end);
            let mut gaps: Vec<Length> = here.map(|b| gap_at(b)).filter(|g| *g <= most).collect();
            gaps.sort();
            gaps
        };
        let (sides, ends) = (of(false), of(true));
        if sides.iter().chain(&ends).all(|gap| gap.abs() <= Length::TOUCH) {
            all.facts.push(("FIT".to_owned(), "none: tight on every side".to_owned()));
            return;
        }
        let words = |gaps: &[Length], one: &str, many: &str| match gaps {
            [] => None,
            [only] => Some(format!("{} {one}", told(*only))),
            [first, .., last] if *last - *first <= Length::TOUCH => Some(format!("{} {many}", told(*last))),
            _ => Some(format!("{} {many}", gaps.iter().map(|g| told(*g)).collect::<Vec<_>>().join("; "))),
        };
        let text: Vec<String> =
            [words(&sides, "on one side", "on each side"), words(&ends, "at the end", "at each end")]
                .into_iter()
                .flatten()
                .collect();
        if !text.is_empty() {
            all.facts.push(("FIT".to_owned(), text.join(" · ")));
        }
    }

    fn fixed(&self, all: &mut Numbers) {
        let (words, how) = how_fixed(self.joints, self.fixings, self.figures);
        if let Some(words) = words {
            all.title = format!("{}, {words}", all.title);
        }
        all.facts.push(("FIXED".to_owned(), how));
        let Some(driven) = self.driven.first() else { return };
        let text = match (driven.bite, driven.beyond) {
            (Some(bite), Some(beyond)) => format!(
                "ends {} deep, measured along the {}; {} of wood beyond it",
                self.figure(bite),
                driven.kind.word(),
                self.figure(beyond)
            ),
            _ => "ends in no wood on this plane".to_owned(),
        };
        all.facts.push(("POINT".to_owned(), text));
    }

    /// Profiles of edges that run through what is shown.
    fn worked_edges(&self, all: &mut Numbers) {
        let zone = all.cut.map_or(self.shown, |cut| around(cut, self.shown));
        let m = self.margin;
        let window = Extents {
            low: Point::new(zone.low.x - m, zone.low.y - m),
            high: Point::new(zone.high.x + m, zone.high.y + m),
        };
        let mut told: Vec<String> = Vec::new();
        for which in 0..2 {
            let Some(part) = self.part(which) else { continue };
            let frame = self.boards[which].frame;
            let shown = |edge: &&Edge| {
                let [from, to] = [edge.from, edge.to].map(|p| frame.to_room(p.x, p.y, Length::ZERO));
                let (a, b) = (self.plane.point(from), self.plane.point(to));
                let i = self.plane.axis().index();
                let crosses = Interval::between(from[i], to[i]).contains(self.plane.at);
                a == b && crosses && around(window, Extents { low: a, high: a }) == window
            };
            for edge in part.edges.iter().filter(shown) {
                let Some((profile, _)) = edge.profile else { continue };
                told.push(format!("{} {}", word_of(profile), repeated(self.figures, profile)));
            }
        }
        told.sort();
        told.dedup();
        if !told.is_empty() {
            all.facts.push(("EDGE".to_owned(), told.join("; ")));
        }
    }
}

pub(super) fn size(what: &str, level: bool, (from, to): (Length, Length), near: (Length, Length)) -> Size {
    Size { what: what.to_owned(), level, from, to, near }
}

fn word_of(profile: Profile) -> &'static str {
    match profile {
        Profile::Chamfer { .. } => "chamfer",
        Profile::Round { .. } => "round",
        Profile::Rebate { .. } => "rebate",
        Profile::Bevel { .. } => "bevel",
    }
}
