//! A part in, its dimensions out: what is given from the datum corner as a running dimension where a stop or fence is
//! set, what stands in a note, what goes into the table of holes; each size once. Knows nothing of where on paper
//! anything goes, and nothing of how a part is rebuilt from what it says.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::drawn::*;
use super::figures::Figures;
use super::lines::{ReadRun, Reading, read};
use crate::boards::{HoleKind, Profile, SlotWay};
use crate::joints::Bore;
use crate::length::Length;
use crate::parts::Part;
use crate::shape::{Outline, Point};
use crate::trade::Face;
use crate::values::Job;

/// More holes than this are placed by a table.
const MOST_HOLES_BY_LINES: usize = 6;

/// Everything the drawing of a part has to say about its shape.
pub fn plan(part: &Part, job: &Job) -> Plan {
    let mut planner = Planner {
        part,
        figures: Figures::of(&job.sheets),
        plan: Plan::default(),
        lines: [BTreeMap::new(), BTreeMap::new()],
        reasons: BTreeMap::new(),
        radii: 0,
        rises: 0,
        rounds: 0,
    };
    planner.say(What::Thickness, Size::Length(part.thick), "thickness".to_owned());
    planner.outline();
    planner.inside();
    planner.recesses();
    planner.holes();
    planner.bores();
    planner.edges();
    planner.bevels();
    planner.running();
    planner.overall();
    planner.plan
}

struct Planner<'a> {
    part: &'a Part,
    figures: Figures,
    plan: Plan,
    /// Lines of the view that are dimensioned from the datum: position to number, across and up.
    lines: [BTreeMap<Length, usize>; 2],
    reasons: BTreeMap<(Along, usize), BTreeSet<String>>,
    radii: usize,
    rises: usize,
    rounds: usize,
}

impl Planner<'_> {
    fn say(&mut self, what: What, size: Size, says: String) {
        let (printed, tape) = match size {
            Size::Length(length) => {
                let printed = self.figures.print(length);
                (printed.figure, printed.tape)
            }
            Size::Angle(degrees) => (Figures::degrees(degrees), None),
        };
        let changed = String::new();
        let dimension = PlannedDimension { what, size, printed, tape, care: Care::Plain, changed, says };
        self.plan.dimensions.push(dimension);
    }

    fn say_length(&mut self, what: What, length: Length, says: String) {
        self.say(what, Size::Length(length), says);
    }

    fn line(&mut self, along: Along, at: Length, why: &str) -> Where {
        if at == Length::ZERO {
            return Where::Datum;
        }
        let lines = &mut self.lines[along as usize];
        let next = lines.len();
        let number = *lines.entry(at).or_insert(next);
        self.reasons.entry((along, number)).or_default().insert(why.to_owned());
        Where::By(What::Running(along, number))
    }

    fn spot(&mut self, at: Point, why: &str) -> Spot {
        (self.line(Along::Across, at.x, why), self.line(Along::Up, at.y, why))
    }

    fn closed(&mut self, outline: &Outline, why: &str, is_part: bool) -> Loop {
        let corners = match read(outline) {
            Reading::Round { centre, diameter } => {
                let what = What::Round(self.rounds);
                self.rounds += 1;
                self.say_length(what, diameter, format!("{why}, diameter"));
                let half = diameter.half();
                let touches = is_part && centre == Point::new(half, half);
                let centre = (!touches).then(|| self.spot(centre, &format!("{why}, centre")));
                return Loop::Round { centre, diameter: what };
            }
            Reading::Corners(corners) => corners,
        };
        // Equal radii of one outline are given by one note that counts them.
        let mut radii: BTreeMap<Length, What> = BTreeMap::new();
        for radius in corners.iter().filter_map(|c| c.rounded) {
            let what = What::Radius(self.radii);
            if let Entry::Vacant(none) = radii.entry(radius) {
                none.insert(what);
                self.radii += 1;
                self.say_length(what, radius, format!("{why}, radius"));
            }
        }
        let mut all = Vec::new();
        for corner in corners {
            let rounded = corner.rounded.and_then(|radius| radii.get(&radius).copied());
            let leaves = match corner.leaves {
                ReadRun::Straight => Run::Straight,
                ReadRun::HalfRound { left } => Run::HalfRound { left },
                ReadRun::Crown { at, along } => {
                    Run::Crown { crown: self.line(along, at, &format!("{why}, crown of the arch")), along }
                }
                ReadRun::Rise { rise, left } => {
                    let what = What::Rise(self.rises);
                    self.rises += 1;
                    self.say_length(what, rise, format!("{why}, rise of the arc over its chord"));
                    Run::Rise { rise: what, left }
                }
            };
            all.push(Corner { at: self.spot(corner.at, why), rounded, leaves });
        }
        Loop::Corners(all)
    }

    fn outline(&mut self) {
        let outline = self.closed(&self.part.outline, "outline", true);
        self.plan.drawn.outline = Some(outline);
    }

    fn inside(&mut self) {
        for (i, outline) in self.part.inside.iter().enumerate() {
            let inside = self.closed(outline, &format!("opening {}", i + 1), false);
            self.plan.drawn.inside.push(inside);
        }
    }

    fn recesses(&mut self) {
        for (i, pocket) in self.part.pockets.iter().enumerate() {
            let why = format!("{} {}", pocket.kind.word(), i + 1);
            let outline = self.closed(&pocket.outline, &why, false);
            let depth = What::Depth(i);
            self.say_length(depth, pocket.depth, format!("{why}, depth"));
            self.plan.drawn.recesses.push(DrawnRecess { outline, depth, from: pocket.from });
        }
    }

    fn holes(&mut self) {
        let key = |h: &crate::boards::Hole| (h.diameter, h.slot, h.depth, h.from, h.countersink, h.why);
        let kinds: BTreeSet<_> = self.part.holes.iter().map(key).collect();
        for (i, kind) in kinds.iter().enumerate() {
            let (diameter, slot, depth, from, countersink, why) = kind;
            let letter = letter(i);
            self.say_length(What::HoleDiameter(i), *diameter, format!("hole {letter}, diameter"));
            if let Some(depth) = depth {
                self.say_length(What::HoleDepth(i), *depth, format!("hole {letter}, depth"));
            }
            if let Some(head) = countersink {
                self.say_length(What::Countersink(i), *head, format!("hole {letter}, countersink"));
            }
            if let Some(slot) = slot {
                self.say_length(What::SlotLength(i), slot.length, format!("slot {letter}, length"));
            }
            let alike = self.part.holes.iter().filter(|h| key(h) == *kind);
            let notes: BTreeSet<&String> = alike.filter_map(|h| h.note.as_ref()).collect();
            let notes = notes.into_iter().cloned().collect();
            self.plan.drawn.kinds.push(HoleKindDrawn {
                notes,
                why: hole_word(*why).to_owned(),
                from: *from,
                through: depth.is_none(),
                countersunk: countersink.is_some(),
                slot: slot.map(|slot| match slot.way {
                    SlotWay::U => Along::Across,
                    SlotWay::V => Along::Up,
                }),
            });
        }
        self.plan.hole_table = self.part.holes.len() + self.part.bores.len() > MOST_HOLES_BY_LINES;
        let of: Vec<usize> =
            self.part.holes.iter().map(|h| kinds.iter().position(|k| *k == key(h)).unwrap_or(0)).collect();
        let numbers = numbered(self.part.holes.iter().zip(&of).map(|(h, kind)| (*kind, h.at)).collect());
        for (i, hole) in self.part.holes.iter().enumerate() {
            let (kind, number) = (of[i], numbers[i]);
            let why = format!("hole {}{number}", letter(kind));
            let mut place = |along: Along, at: Length| {
                if self.plan.hole_table && at != Length::ZERO {
                    let what = What::HoleAt(along, i);
                    self.say_length(what, at, format!("{why}, {}", along.word()));
                    Where::By(what)
                } else {
                    self.line(along, at, &why)
                }
            };
            let at = (place(Along::Across, hole.at.x), place(Along::Up, hole.at.y));
            self.plan.drawn.holes.push(DrawnHole { at, kind, number });
        }
    }

    fn bores(&mut self) {
        // Degrees order as whole hundredths, the finest that is printed. A straight hole comes from no face and has a depth.
        let key = |b: &Bore| {
            let straight = is_dowel(b);
            (
                if straight { Face::Show } else { b.from },
                b.diameter,
                libm::rint(b.degrees * 100.0) as i64,
                self.part.thick.min(b.leaves_depth),
                if straight { depth_of(b) } else { Length::ZERO },
            )
        };
        let kinds: BTreeSet<_> = self.part.bores.iter().map(key).collect();
        let kinds: Vec<_> = kinds.into_iter().collect();
        let of: Vec<usize> =
            self.part.bores.iter().map(|b| kinds.iter().position(|k| *k == key(b)).unwrap_or(0)).collect();
        for (i, (from, diameter, _, exit, depth)) in kinds.iter().enumerate() {
            let degrees =
                self.part.bores.iter().zip(&of).find(|(_, k)| **k == i).map_or(0.0, |(b, _)| b.degrees);
            let name = bore_letter(i);
            if degrees == 0.0 {
                let why = format!("dowel hole {name}");
                self.say_length(What::BoreDiameter(i), *diameter, format!("{why}, diameter"));
                self.say_length(What::BoreDepth(i), *depth, format!("{why}, depth into the edge"));
                self.say_length(What::BoreExit(i), *exit, format!("{why}, axis below the show face"));
                self.plan.drawn.bore_kinds.push(BoreKindDrawn::Dowel);
                continue;
            }
            self.say_length(What::BoreDiameter(i), *diameter, format!("pocket bore {name}, diameter"));
            self.say(
                What::BoreAngle(i),
                Size::Angle(degrees),
                format!("pocket bore {name}, angle to the face"),
            );
            let says = format!("pocket bore {name}, where its axis leaves the edge, below the show face");
            self.say_length(What::BoreExit(i), *exit, says);
            self.plan.drawn.bore_kinds.push(BoreKindDrawn::Pocket(*from));
        }
        let numbers = numbered(self.part.bores.iter().zip(&of).map(|(b, kind)| (*kind, b.leaves)).collect());
        for (i, bore) in self.part.bores.iter().enumerate() {
            let (kind, number) = (of[i], numbers[i]);
            let (dx, dy) = (bore.leaves.x - bore.at.x, bore.leaves.y - bore.at.y);
            let along = if dx.abs() > dy.abs() { Along::Across } else { Along::Up };
            let (run, side) = if along == Along::Across { (dx, dy) } else { (dy, dx) };
            let rise = match bore.from {
                Face::Show => bore.leaves_depth,
                Face::Back => self.part.thick - bore.leaves_depth,
            };
            // A straight hole runs as deep as it is said to.
            let off = if is_dowel(bore) {
                0.0
            } else {
                rise.to_mm() / libm::tan(bore.degrees.to_radians()) - run.abs().to_mm()
            };
            let called = if is_dowel(bore) { "dowel hole" } else { "pocket bore" };
            if side != Length::ZERO || off.abs() > 0.05 {
                self.plan.unsaid.push(format!("{called} {} is not square to an edge", i + 1));
            }
            let why = format!("{called} {}{number}", bore_letter(kind));
            let (edge, beside) = match along {
                Along::Across => (bore.leaves.x, bore.leaves.y),
                Along::Up => (bore.leaves.y, bore.leaves.x),
            };
            let other = if along == Along::Across { Along::Up } else { Along::Across };
            let edge = self.line(along, edge, &why);
            let beside = if self.plan.hole_table && beside != Length::ZERO {
                let what = What::BoreAt(other, i);
                self.say_length(what, beside, format!("{why}, {}", other.word()));
                Where::By(what)
            } else {
                self.line(other, beside, &why)
            };
            let leaves = if along == Along::Across { (edge, beside) } else { (beside, edge) };
            let to_high = run > Length::ZERO;
            self.plan.drawn.bores.push(DrawnBore { leaves, along, to_high, kind, number });
        }
    }

    fn edges(&mut self) {
        for (i, edge) in self.part.edges.iter().enumerate() {
            let why = format!("edge {}", i + 1);
            let (first, second, shape) = match edge.profile {
                None => (None, None, None),
                Some((Profile::Chamfer { along_face, down_edge }, arris)) => {
                    (Some(along_face), Some(down_edge), Some(EdgeKind::Chamfer(arris)))
                }
                Some((Profile::Round { radius }, arris)) => {
                    (Some(radius), None, Some(EdgeKind::Round(arris)))
                }
                Some((Profile::Rebate { width, depth }, arris)) => {
                    (Some(width), Some(depth), Some(EdgeKind::Rebate(arris)))
                }
                Some((Profile::Bevel { run }, arris)) => (Some(run), None, Some(EdgeKind::Bevel(arris))),
            };
            if let Some(size) = first {
                self.say_length(What::EdgeAlong(i), size, format!("{why}, along the face"));
            }
            if let Some(size) = second {
                self.say_length(What::EdgeDown(i), size, format!("{why}, down the edge"));
            }
            let scribed = edge.scribe != Length::ZERO;
            if scribed {
                self.say_length(What::Scribe(i), edge.scribe, format!("{why}, wood left on for scribing"));
            }
            let (from, to) = (self.spot(edge.from, &why), self.spot(edge.to, &why));
            self.plan.drawn.edges.push(DrawnEdge { from, to, shape, scribed });
        }
    }

    fn bevels(&mut self) {
        for (i, bevel) in self.part.bevels.iter().enumerate() {
            let why = format!("bevel {}", i + 1);
            self.say(What::BevelAngle(i), Size::Angle(bevel.degrees), format!("{why}, off square"));
            let run = self.part.thick.to_mm() * libm::tan(bevel.degrees.to_radians());
            if (run - bevel.run.to_mm()).abs() > 0.05 {
                self.plan.unsaid.push(format!("{why}: run and angle disagree"));
            }
            let (from, to) = (self.spot(bevel.from, &why), self.spot(bevel.to, &why));
            self.plan.drawn.bevels.push(DrawnBevel { from, to, long: bevel.long });
        }
    }

    /// The lines that were asked for become running dimensions, from the datum outwards.
    fn running(&mut self) {
        for along in [Along::Across, Along::Up] {
            for (at, number) in self.lines[along as usize].clone() {
                let reasons = self.reasons.get(&(along, number));
                let why: Vec<&str> = reasons.into_iter().flatten().map(String::as_str).collect();
                let says = format!("{}: {}", along.word(), why.join("; "));
                self.say_length(What::Running(along, number), at, says);
            }
        }
    }

    fn overall(&mut self) {
        for (along, size) in [(Along::Across, self.part.width), (Along::Up, self.part.height)] {
            let number = self.lines[along as usize].get(&size).copied();
            self.plan.overall[along as usize] = number.map(|n| What::Running(along, n));
        }
        // An edge that is scribed on site makes the size across it one to verify there.
        let scribed: Vec<_> = self.part.edges.iter().filter(|e| e.scribe != Length::ZERO).collect();
        let over = [scribed.iter().any(|e| e.from.x == e.to.x), scribed.iter().any(|e| e.from.y == e.to.y)];
        for (overall, verify) in self.plan.overall.into_iter().zip(over) {
            if let Some(dimension) =
                self.plan.dimensions.iter_mut().find(|d| verify && Some(d.what) == overall)
            {
                dimension.care = Care::Verify;
            }
        }
    }
}

/// True for a straight hole into an edge.
fn is_dowel(bore: &Bore) -> bool {
    bore.degrees == 0.0
}

/// How far a straight hole goes in, along the direction that it runs.
fn depth_of(bore: &Bore) -> Length {
    (bore.leaves.x - bore.at.x).abs().max((bore.leaves.y - bore.at.y).abs())
}

/// Numbers within each kind, row by row upwards and each row from the left.
fn numbered(all: Vec<(usize, Point)>) -> Vec<usize> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by_key(|i| (all[*i].0, all[*i].1.y, all[*i].1.x, *i));
    let mut numbers = vec![0; all.len()];
    let mut before: Option<(usize, usize)> = None;
    for i in order {
        let number = match before {
            Some((kind, number)) if kind == all[i].0 => number + 1,
            _ => 1,
        };
        before = Some((all[i].0, number));
        numbers[i] = number;
    }
    numbers
}

/// Letters for kinds of hole: a … z without i, l and o, then aa … Small ones, since capitals mark parts.
pub fn letter(index: usize) -> String {
    const LETTERS: &[u8] = b"abcdefghjkmnqrstuvwxyz";
    let one = |i: usize| char::from(LETTERS[i % LETTERS.len()]);
    match index / LETTERS.len() {
        0 => one(index).to_string(),
        more => format!("{}{}", one(more - 1), one(index)),
    }
}

/// Names for kinds of bore into an edge: p, p′ … (kinds of hole leave p out)
pub fn bore_letter(index: usize) -> String {
    format!("p{}", "′".repeat(index))
}

fn hole_word(why: HoleKind) -> &'static str {
    match why {
        HoleKind::Asked => "as asked",
        HoleKind::Clearance => "screw clearance",
        HoleKind::Pilot => "screw pilot",
        HoleKind::Dowel => "dowel",
    }
}
