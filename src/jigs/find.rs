//! What an entry asks for, found on the parts: the wood that is to go, which of its sides are finished lines and which run out
//! into the air, how deep, and every place that has the same.

use super::blank::past;
use super::guide::{Cuts, Shape};
use super::pattern::{Pattern, lies_on};
use super::{Kind, Stop, Use, datum_edge};
use crate::boards::{Other, Pocket};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::joints::CutKind;
use crate::length::Length;
use crate::parts::{Made, Part, PartId, hand, named, same_outline};
use crate::shape::grow::grow_sides;
use crate::shape::{Extents, Outline, Point};
use crate::trade::{Face, Side};
use crate::values::{CutAsked, RouterAsked};

/// One thing to cut, seen by the router.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    pub kind: Kind,
    pub part: PartId,
    /// Its sides into the air moved out so far that the bit leaves the wood.
    pub work: Shape,
    /// Before that.
    pub bare: Extents,
    /// Directions of the sides into the air.
    pub mouths: Vec<(i64, i64)>,
    /// The part's datum corner, as seen; `None` for notches.
    pub datum: Option<Point>,
    pub depth: Length,
    pub through: bool,
    pub uses: Vec<Use>,
    pub stops: Vec<Stop>,
}

type Found = Result<Vec<Feature>, Box<Diagnostic>>;

/// All that an entry asks for.
///
/// # Errors
/// For names of nothing.
pub fn features(made: &Made, asked: &RouterAsked) -> Found {
    let (name, place) = &asked.part;
    let parts = named(made, name).map_err(|fault| {
        Box::new(Diagnostic::error("no-such-board", *place, fault.message).propose(fault.cure))
    })?;
    let mut all = Vec::new();
    for id in parts {
        let Some(part) = made.parts.get(id.0) else { continue };
        let seen = Seen { made, id, part, face: asked.face, bit: asked.bit };
        all.extend(match &asked.cut {
            CutAsked::Notch(names) => seen.notches(names)?,
            CutAsked::Opening(name, place) => vec![seen.opening(name, *place)?],
            CutAsked::Housing(name, place) => seen.housings(name, *place)?,
            CutAsked::Edge(side, place) => vec![seen.edge(*side, *place)?],
            CutAsked::Whole => vec![seen.whole()],
        });
    }
    Ok(all)
}

struct Seen<'a> {
    made: &'a Made,
    id: PartId,
    part: &'a Part,
    face: Face,
    bit: Length,
}

impl Seen<'_> {
    fn mirrored(&self) -> bool {
        self.face == Face::Back
    }

    fn at(&self, point: Point) -> Point {
        if self.mirrored() { Point::new(self.part.width - point.x, point.y) } else { point }
    }

    fn outline(&self, outline: &Outline) -> Outline {
        outline.mapped(|p| self.at(p), self.mirrored())
    }

    fn datum(&self) -> Point {
        self.at(Point::default())
    }

    fn own_assembly(&self) -> Option<usize> {
        let first = self.part.boards.first()?;
        self.made.placed.get(first.0).map(|placed| placed.board.assembly)
    }

    /// Whether a board goes by a name as this part's own lines would name it.
    fn is_called(&self, board: usize, name: &str) -> bool {
        self.made.placed.get(board).is_some_and(|placed| {
            let run = placed.board.name.split('[').next();
            placed.board.name == name
                || run == Some(name)
                || (placed.board.entry == name && Some(placed.board.assembly) == self.own_assembly())
        })
    }

    /// A use of this very place.
    fn here(&self, bare: &Outline, open: Vec<&'static str>, by: Option<String>) -> Use {
        Use {
            part: self.id,
            at: bare.extents(),
            open,
            turns: 0,
            mirrored: false,
            by,
            hand: hand(self.made, self.part),
        }
    }

    fn notches(&self, names: &[(String, Place)]) -> Found {
        let mut found: Vec<Feature> = Vec::new();
        for (name, place) in names {
            let cuts: Vec<usize> = (self.part.cuts.iter().enumerate())
                .filter(|(_, cut)| self.is_called(cut.by.0, name))
                .map(|(index, _)| index)
                .collect();
            if cuts.is_empty() {
                let known = self.part.cuts.iter().filter_map(|cut| self.made.placed.get(cut.by.0));
                let known: Vec<&str> = known.map(|placed| placed.board.entry.as_str()).collect();
                let message = format!("nothing called `{name}` passes through {}", self.part.name);
                return Err(unknown("no-such-cut", *place, message, name, &known));
            }
            for index in cuts {
                if !found.iter().any(|one| {
                    one.uses.iter().any(|u| u.at == self.cut(index).0.extents() && u.part == self.id)
                }) {
                    found.push(self.notch(index));
                }
            }
        }
        Ok(found)
    }

    /// A cut of the part in its own coordinates.
    fn cut(&self, index: usize) -> (&Outline, CutKind) {
        let cut = &self.part.cuts[index];
        (&cut.outline, cut.kind)
    }

    fn notch(&self, index: usize) -> Feature {
        let (cut, kind) = self.cut(index);
        let own = Pattern::of(self.part, cut);
        let mut uses = Vec::new();
        // This place first, then all others that have the same.
        let mut order: Vec<PartId> = vec![self.id];
        order.extend((0..self.made.parts.len()).map(PartId).filter(|id| *id != self.id));
        for id in order {
            let Some(part) = self.made.parts.get(id.0) else { continue };
            for (other, cut) in part.cuts.iter().enumerate() {
                let there = Pattern::of(part, &cut.outline);
                let Some((turns, mirrored)) = own.motion_to(&there) else { continue };
                let by = self.made.placed.get(cut.by.0).map(|placed| placed.board.name.clone());
                let one = Use {
                    part: id,
                    at: cut.outline.extents(),
                    open: there.open_sides(),
                    turns,
                    mirrored,
                    by,
                    hand: hand(self.made, part),
                };
                if id == self.id && other == index { uses.insert(0, one) } else { uses.push(one) }
            }
        }
        let thick = |one: &Use| self.made.parts.get(one.part.0).map_or(Length::ZERO, |part| part.thick);
        let depth = uses.iter().map(thick).max().unwrap_or(self.part.thick);
        let kind = if kind == CutKind::Slot { Kind::Slot } else { Kind::Notch };
        let low = self.outline(cut).extents().low;
        let by = Point::new(-low.x, -low.y);
        let feature = self.cut_away(kind, cut, depth, true, uses);
        Feature {
            work: Shape { outline: feature.work.outline.moved(by), ..feature.work },
            bare: moved(feature.bare, by),
            datum: None,
            ..feature
        }
    }

    /// A feature from the wood that goes, in the part's own coordinates.
    fn cut_away(&self, kind: Kind, cut: &Outline, depth: Length, through: bool, uses: Vec<Use>) -> Feature {
        let outline = self.outline(cut);
        let plan = self.outline(&self.part.outline);
        let inside: Vec<Outline> = self.part.inside.iter().map(|o| self.outline(o)).collect();
        let lines: Vec<&Outline> = std::iter::once(&plan).chain(&inside).collect();
        // A recess is closed wherever it does not reach the part's outline; a through cut wherever it left a line.
        let walls: Vec<bool> = outline
            .segments()
            .map(|segment| {
                let on_plan = lies_on(segment, &lines);
                if through { on_plan } else { !on_plan }
            })
            .collect();
        let out: Vec<Length> = walls
            .iter()
            .map(|wall| if *wall { Length::ZERO } else { self.bit + past(self.made.job.units) })
            .collect();
        let mouths = mouths(&outline, &walls);
        let bare = outline.extents();
        Feature {
            kind,
            part: self.id,
            work: Shape { outline: grown(&outline, &out), walls, cuts: Cuts::Inside },
            bare,
            mouths,
            datum: Some(self.datum()),
            depth,
            through,
            uses,
            stops: Vec::new(),
        }
    }

    fn opening(&self, name: &str, place: Place) -> Result<Feature, Box<Diagnostic>> {
        let mut known = Vec::new();
        for board in &self.part.boards {
            let Some(placed) = self.made.placed.get(board.0) else { continue };
            known.extend(placed.board.cutouts.iter().map(|(name, _)| name.as_str()));
            let Some((_, asked)) = placed.board.cutouts.iter().find(|(known, _)| known == name) else {
                continue;
            };
            // From the board's own face to the part's: both say where they lie in the room.
            let map = |p: Point| {
                let (u, v, _) = placed.frame.to_face(placed.board.frame.to_room(p.x, p.y, Length::ZERO));
                Point::new(u, v)
            };
            let wanted = asked.extents();
            let (one, other) = (map(wanted.low), map(wanted.high));
            let middle = Point::new((one.x + other.x).half(), (one.y + other.y).half());
            let around = |outline: &Outline| {
                let around = outline.extents();
                around.low.x <= middle.x
                    && middle.x <= around.high.x
                    && around.low.y <= middle.y
                    && middle.y <= around.high.y
            };
            if let Some(opening) = self.part.inside.iter().find(|outline| around(outline)) {
                let uses = self.here_and_mirrored(opening, None, |part| part.inside.iter().collect());
                let feature = self.cut_away(Kind::Opening, opening, self.part.thick, true, uses);
                // What is open right through has its own lines all round.
                let walls = vec![true; opening.vertices().len()];
                let work = Shape { outline: self.outline(opening), walls, cuts: Cuts::Inside };
                return Ok(Feature { work, mouths: Vec::new(), ..feature });
            }
            let recess =
                self.part.pockets.iter().find(|pocket| pocket.from == self.face && around(&pocket.outline));
            if let Some(pocket) = recess {
                return Ok(self.pocket(Kind::Recess, pocket, None));
            }
        }
        let message = format!("{} has no cut-out `{name}` on its {}", self.part.name, self.face.word());
        Err(unknown("no-such-cut", place, message, name, &known))
    }

    /// This place, and the same cut on the part's mirror image, which the template serves turned over. `there` tells all of a
    /// part's cuts that are like this one but for their place.
    fn here_and_mirrored<'p>(
        &'p self,
        bare: &Outline,
        by: Option<String>,
        there: impl Fn(&'p Part) -> Vec<&'p Outline>,
    ) -> Vec<Use> {
        let mut uses = vec![self.here(bare, Vec::new(), by)];
        let Some(pair) = self.part.pair else { return uses };
        let Some(part) = self.made.parts.get(pair.0) else { return uses };
        let cuts = there(part);
        // Its drawing may also stand on its head, as that of a top does beside its bottom's.
        let (width, height) = (self.part.width, self.part.height);
        let upright = bare.mapped(|p| Point::new(width - p.x, p.y), true);
        let turned = bare.mapped(|p| Point::new(p.x, height - p.y), true);
        let found = [(0, upright), (2, turned)]
            .into_iter()
            .find(|(_, wanted)| cuts.iter().any(|cut| same_outline(cut, wanted)));
        uses.extend(found.map(|(turns, wanted)| Use {
            part: pair,
            at: wanted.extents(),
            open: Vec::new(),
            turns,
            mirrored: true,
            by: None,
            hand: hand(self.made, part),
        }));
        uses
    }

    fn pocket(&self, kind: Kind, pocket: &Pocket, by: Option<String>) -> Feature {
        let alike = |other: &&Pocket| {
            (other.kind, other.from, other.depth) == (pocket.kind, pocket.from, pocket.depth)
        };
        let uses = self.here_and_mirrored(&pocket.outline, by, |part| {
            part.pockets.iter().filter(alike).map(|other| &other.outline).collect()
        });
        let feature = self.cut_away(kind, &pocket.outline, pocket.depth, false, uses);
        // A recess has no end to stop at before the others.
        let stops = if kind == Kind::Recess { Vec::new() } else { self.stops(pocket, &feature.mouths) };
        Feature { stops, ..feature }
    }

    /// Ends of a recess along its length that lie in the wood, from the part's datum edge.
    fn stops(&self, pocket: &Pocket, mouths: &[(i64, i64)]) -> Vec<Stop> {
        let around = pocket.outline.extents();
        let across = around.width() >= around.height();
        let open = |high: bool| {
            let sign = if high { 1 } else { -1 };
            let seen = if across && self.mirrored() { -sign } else { sign };
            mouths.contains(&if across { (seen, 0) } else { (0, seen) })
        };
        let (low, high) = if across { (around.low.x, around.high.x) } else { (around.low.y, around.high.y) };
        let from = datum_edge(self.face, across);
        [(low, false), (high, true)]
            .into_iter()
            .filter(|(_, is_far_end)| !open(*is_far_end))
            .map(|(far_edge, is_far_end)| Stop { from, far_edge, is_far_end })
            .collect()
    }

    fn housings(&self, name: &str, place: Place) -> Found {
        let mut found: Vec<Feature> = Vec::new();
        let mut known = Vec::new();
        for pocket in &self.part.pockets {
            for joint in &self.made.joints {
                let here = matches!(joint.second, Other::Board(host) if self.part.boards.contains(&host));
                if !here || joint.place != pocket.place {
                    continue;
                }
                let Some(guest) = self.made.placed.get(joint.first.0) else { continue };
                known.push(guest.board.entry.as_str());
                if !self.is_called(joint.first.0, name) {
                    continue;
                }
                if pocket.from != self.face {
                    let message = format!(
                        "the {} for {name} is cut from the {}, but the template would lie on the {}",
                        pocket.kind.word(),
                        pocket.from.word(),
                        self.face.word()
                    );
                    let word = if pocket.from == Face::Back { "back" } else { "show" };
                    return Err(Box::new(
                        Diagnostic::error("template-face", place, message)
                            .propose(format!("write `face: {word}`")),
                    ));
                }
                let known = found.iter().any(|f| f.uses.iter().any(|u| u.at == pocket.outline.extents()));
                if !known {
                    let by = Some(guest.board.name.clone());
                    found.push(self.pocket(Kind::Housing(pocket.kind.word()), pocket, by));
                }
            }
        }
        if found.is_empty() {
            let message = format!("nothing called `{name}` sits in {}", self.part.name);
            return Err(unknown("no-such-cut", place, message, name, &known));
        }
        Ok(found)
    }

    /// The side of the spec as a side of the room, and where it lies as seen.
    fn edge(&self, side: Side, place: Place) -> Result<Feature, Box<Diagnostic>> {
        let turns = self.own_assembly().and_then(|index| self.made.job.assemblies.get(index));
        let room = side.turned(turns.map_or(0, |assembly| assembly.turns));
        let first = self.part.boards.first().and_then(|board| self.made.placed.get(board.0));
        let edges = first.map(|placed| placed.frame.edges());
        let found = edges.and_then(|edges| edges.iter().position(|edge| *edge == room));
        let turn = if self.mirrored() { -1 } else { 1 };
        let Some(out) = found.and_then(|index| [(turn, 0), (-turn, 0), (0, 1), (0, -1)].get(index).copied())
        else {
            let message = format!("{} shows its face there: it has no {} edge", self.part.name, side.word());
            let words = edges.map_or(String::new(), |edges| edges.map(Side::word).join(", "));
            return Err(Box::new(
                Diagnostic::error("no-such-edge", place, message)
                    .propose(format!("in the room its edges look to: {words}")),
            ));
        };
        Ok(Feature { mouths: vec![out], ..self.outside(Kind::Edge(room)) })
    }

    fn whole(&self) -> Feature {
        self.outside(Kind::Outline)
    }

    fn outside(&self, kind: Kind) -> Feature {
        let outline = self.outline(&self.part.outline);
        Feature {
            kind,
            part: self.id,
            bare: outline.extents(),
            work: Shape::whole(outline, Cuts::Outside),
            mouths: Vec::new(),
            datum: Some(self.datum()),
            depth: self.part.thick,
            through: true,
            uses: self.here_and_mirrored(&self.part.outline, None, |part| vec![&part.outline]),
            stops: Vec::new(),
        }
    }
}

fn unknown(
    check: &'static str,
    place: Place,
    message: String,
    name: &str,
    known: &[&str],
) -> Box<Diagnostic> {
    let mut known = known.to_vec();
    known.sort_unstable();
    known.dedup();
    let fault = Diagnostic::error(check, place, message);
    Box::new(match nearest(name, known.iter().copied()) {
        Some(near) => fault.propose(format!("the nearest is `{near}`")),
        None if known.is_empty() => fault.propose("name another part, or leave the entry out"),
        None => fault.propose(format!("there are: {}", known.join(", "))),
    })
}

fn moved(extents: Extents, by: Point) -> Extents {
    let at = |p: Point| Point::new(p.x + by.x, p.y + by.y);
    Extents { low: at(extents.low), high: at(extents.high) }
}

/// The outline with sides moved out; as it is where that cannot be.
fn grown(outline: &Outline, out: &[Length]) -> Outline {
    grow_sides(outline, out).unwrap_or_else(|_| outline.clone())
}

/// Directions along the axes of the sides that are no walls.
fn mouths(outline: &Outline, walls: &[bool]) -> Vec<(i64, i64)> {
    let mut all = Vec::new();
    for ((from, to), wall) in outline.segments().zip(walls) {
        let (dx, dy) = ((to.x - from.at.x).units().signum(), (to.y - from.at.y).units().signum());
        let out = (dy, -dx);
        if !wall && dx * dy == 0 && !all.contains(&out) {
            all.push(out);
        }
    }
    all
}
