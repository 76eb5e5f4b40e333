//! A paper template: one face of a part at full size, whole, never half of it. Its outline, openings, recesses and holes, what is
//! waste and on which side of the line to cut, FACE or BACK, the room's ways and the grain, and a table of coordinates, so that the
//! paper can be checked. The template of a back is mirrored; its words are not.

use super::edging::shifted;
use super::page::{Words, compass, face_word};
use super::place::{Room, area_of, backed, holds, over, round};
use super::view::{Seen, path};
use super::{Check, Drawing, Printer, called, figures, tile};
use crate::drawing::lettering::width_of;
use crate::drawing::paper::Area;
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, Group, Layer, LineType, Mark, Step, centre_cross, circle, line};
use crate::length::{Length, Units};
use crate::parts::{Made, Part, PartId};
use crate::shape::Point;
use crate::trade::Face;

/// Hatched waste round the part, and the paper left beyond it to cut in, in mm.
const WASTE: f64 = 8.0;
const PAPER: f64 = 14.0;
/// How far the lines of a corner run on beyond it, so that it can be found again when the paper is cut.
const CORNER: f64 = 5.0;

/// The template of a part's face: one drawing, or one for each worked region. The printer decides where words may stand, so that
/// none is cut by a seam.
pub fn drawings(made: &Made, id: PartId, face: Face, worked_edges: bool, printer: &Printer) -> Vec<Drawing> {
    let Some(part) = made.parts.get(id.0) else { return Vec::new() };
    let seen = Seen::new(part, face);
    let whole = seen.around_as_cut().inset(-PAPER);
    let areas: Vec<Area> = match worked_edges.then(|| seen.worked()) {
        Some(regions) if !regions.is_empty() => {
            let within = |r: Area| Area {
                low: (r.low.0.max(whole.low.0), r.low.1.max(whole.low.1)),
                high: (r.high.0.min(whole.high.0), r.high.1.min(whole.high.1)),
            };
            regions.into_iter().map(within).collect()
        }
        _ => vec![whole],
    };
    let count = areas.len();
    let draw = |(index, area): (usize, &Area)| {
        let piece = (worked_edges && *area != whole).then_some((index + 1, count));
        Composer { made, id, part, seen: &seen, area: *area, piece }.drawing(printer)
    };
    areas.iter().enumerate().map(draw).collect()
}

pub(super) struct Composer<'a> {
    pub(super) made: &'a Made,
    pub(super) id: PartId,
    pub(super) part: &'a Part,
    pub(super) seen: &'a Seen<'a>,
    area: Area,
    /// Number of this region and of all, where only worked regions are printed.
    piece: Option<(usize, usize)>,
}

impl Composer<'_> {
    fn drawing(&self, printer: &Printer) -> Drawing {
        let (seen, face) = (self.seen, face_word(self.seen.face));
        let outline = path(&seen.outline);
        let mut groups =
            vec![self.group("outline", Layer::Outlines, vec![stroke(outline.clone(), LineType::Visible)])];
        let inside: Vec<Vec<Step>> = seen.inside.iter().map(path).collect();
        let openings = inside.iter().map(|p| stroke(p.clone(), LineType::Visible)).collect();
        groups.push(self.group("openings", Layer::Outlines, openings));
        let recesses = seen.pockets.iter().map(|p| stroke(path(&p.outline), LineType::Hidden)).collect();
        groups.push(self.group("recesses", Layer::Hidden, recesses));
        groups.push(self.group("holes", Layer::Outlines, self.holes()));
        groups.push(self.group("edges", Layer::Hidden, self.edges()));
        groups.push(self.group("profiles", Layer::Hidden, self.profiles()));
        groups.push(self.group("corners", Layer::Dimensions, self.corners()));
        let references = self.references();
        groups.push(self.group("references", Layer::Dimensions, references));
        let checks = self.checks();
        groups.push(self.group("checks", Layer::Dimensions, check_marks(&checks)));

        // Words stand whole on one of the pages that will be printed. A fault of the printer is told when its pages are made.
        let layout = tile::layout(&self.area, &groups, printer).ok();
        let windows: Vec<Area> =
            layout.iter().flat_map(|layout| &layout.tiles).map(|tile| tile.window).collect();
        let mut room = Room::new(&windows);
        room.keep_clear(&layout.map_or(Vec::new(), |layout| tile::seam_lines(&layout)));
        groups.iter().for_each(|group| room.keep_clear(&group.marks));
        let mut labels = self.face_label(&mut room, &outline, &inside);
        let mut notes = self.notes();
        if labels.is_empty() {
            notes.push(format!("No room for {face} on the wood: write it on the paper before cutting the edge of the page away."));
        }
        labels.extend(self.scribe_words(&mut room));
        labels.extend(self.triangle(&mut room));
        labels.extend(self.reference_words(&mut room));
        labels.extend(self.numbers(&mut room));
        labels.extend(check_names(&checks, &mut room));
        labels.extend(self.waste_words(&mut room, &outline, &inside));
        // Waste first: what stands on it covers it.
        let round = seen.around_as_cut().inset(-WASTE);
        let waste = super::edging::waste(&seen.as_cut, &inside, &round);
        groups.insert(0, self.group("waste", Layer::Notes, waste));
        groups.insert(0, self.group("scribe", Layer::Notes, self.scribe_shading()));
        groups.push(Group { id: "labels".into(), layer: Layer::Notes, marks: labels });

        let suffix = self.piece.map_or(String::new(), |(n, _)| format!("-{n}"));
        let of = self.piece.map_or(String::new(), |(n, count)| format!(", worked edge {n} of {count}"));
        Drawing {
            name: format!("{}-{}{suffix}", self.part.id, face.to_lowercase()),
            title: format!("{} {face}{of}", called(self.part)),
            area: self.area,
            groups,
            words: self.words(&of),
            checks,
            notes,
            tables: self.tables(),
            quiet: None,
        }
    }

    /// A group cut to the area of this drawing.
    fn group(&self, id: &str, layer: Layer, marks: Vec<Mark>) -> Group {
        let marks = match self.piece {
            None => marks,
            Some(_) => marks
                .iter()
                .filter_map(|mark| super::clip::clipped(mark, &self.area))
                .filter(|m| self.is_here(m))
                .collect(),
        };
        Group { id: id.into(), layer, marks }
    }

    fn is_here(&self, mark: &Mark) -> bool {
        match mark {
            Mark::Text(text) => self.holds(text.at),
            _ => true,
        }
    }

    pub(super) fn holds(&self, at: At) -> bool {
        at.0 >= self.area.low.0
            && at.0 <= self.area.high.0
            && at.1 >= self.area.low.1
            && at.1 <= self.area.high.1
    }

    /// Holes with centre crosses to prick through, and the lines of slanted bores.
    fn holes(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for hole in &self.seen.holes {
            let (at, radius) = (hole.at.to_mm(), hole.diameter.to_mm() / 2.0);
            let slot = hole.outline().filter(|_| hole.slot.is_some());
            let round = slot.map_or_else(|| circle(at, radius), |slot| path(&slot));
            marks.push(stroke(round, LineType::Visible));
            let mut reach = radius;
            if let Some(head) = hole.countersink.filter(|_| hole.from == self.seen.face) {
                reach = head.to_mm() / 2.0;
                marks.push(stroke(circle(at, reach), LineType::Hidden));
            }
            marks.extend(centre_cross(at, reach));
        }
        for bore in &self.seen.bores {
            marks.push(line(bore.at.to_mm(), bore.leaves.to_mm(), LineType::Centre));
            marks.extend(centre_cross(bore.at.to_mm(), bore.diameter.to_mm() / 2.0));
        }
        marks
    }

    /// The other arris of bevels, and how far wood is left on for scribing.
    fn edges(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for bevel in &self.seen.bevels {
            let (from, to) = shifted(bevel.from, bevel.to, bevel.run.to_mm());
            marks.push(line(from, to, LineType::Hidden));
        }
        for (from, to, by) in &self.seen.scribes {
            let (from, to) = shifted(*from, *to, -by.to_mm());
            marks.push(line(from, to, LineType::Adjacent));
        }
        marks
    }

    /// The straight lines of every corner, run on beyond it.
    fn corners(&self) -> Vec<Mark> {
        let vertices = self.seen.outline.vertices();
        let mut marks = Vec::new();
        for (index, vertex) in vertices.iter().enumerate() {
            let before = vertices[(index + vertices.len() - 1) % vertices.len()];
            let after = vertices[(index + 1) % vertices.len()];
            for (other, bulge) in [(before.at, before.bulge), (after.at, vertex.bulge)] {
                let ((x, y), (ox, oy)) = (vertex.at.to_mm(), other.to_mm());
                let length = libm::hypot(x - ox, y - oy);
                if bulge == 0.0 && length > 0.0 {
                    let on = ((x - ox) / length * CORNER, (y - oy) / length * CORNER);
                    marks.push(line((x, y), (x + on.0, y + on.1), LineType::Dimension));
                }
            }
        }
        marks
    }

    fn waste_words(&self, room: &mut Room, outline: &[Step], inside: &[Vec<Step>]) -> Vec<Mark> {
        let word = [written((0.0, -1.75), "WASTE", 3.5, Anchor::Middle, true)];
        let mut marks = Vec::new();
        for opening in inside {
            let Some(area) = area_of(&points(opening)) else { continue };
            let fits = |a: &Area| holds(opening, middle(a));
            marks.extend(room.put(&word, &over(&area), &fits).map(backed).unwrap_or_default());
        }
        // One word in the largest piece that is cut off an edge.
        let around = self.seen.around();
        let fits = |a: &Area| !holds(outline, middle(a)) && inside.iter().all(|p| !holds(p, middle(a)));
        if !self.seen.outline.is_rectangle() {
            let places: Vec<At> = over(&around).into_iter().filter(|at| !holds(outline, *at)).collect();
            marks.extend(room.put(&word, &places, &fits).map(backed).unwrap_or_default());
        }
        marks
    }

    /// FACE or BACK in the largest letters that find room on the wood, with the part, the job and the ways of the room, for the
    /// strip along the edge of the page is cut away.
    fn face_label(&self, room: &mut Room, outline: &[Step], inside: &[Vec<Step>]) -> Vec<Mark> {
        let area = self.seen.around();
        let area = Area {
            low: (area.low.0.max(self.area.low.0), area.low.1.max(self.area.low.1)),
            high: (area.high.0.min(self.area.high.0), area.high.1.min(self.area.high.1)),
        };
        let places = over(&area);
        let fits = |a: &Area| holds(outline, middle(a)) && inside.iter().all(|p| !holds(p, middle(a)));
        let words = self.words("");
        for (size, with_arrows) in
            [(20.0, true), (14.0, true), (10.0, true), (7.0, true), (7.0, false), (5.0, false), (3.5, false)]
        {
            let label = label(&words, size, with_arrows);
            if let Some(marks) = room.put(&label, &places, &fits) {
                return marks;
            }
        }
        Vec::new()
    }

    /// Numbers of corners, holes, recesses and bores, as the tables have them.
    fn numbers(&self, room: &mut Room) -> Vec<Mark> {
        let mut all: Vec<(String, At, f64)> = Vec::new();
        for (index, corner) in self.seen.corners.iter().enumerate() {
            all.push(((index + 1).to_string(), corner.to_mm(), 3.0));
        }
        for (index, hole) in self.seen.holes.iter().enumerate() {
            all.push((format!("H{}", index + 1), hole.at.to_mm(), hole.diameter.to_mm() / 2.0 + 3.0));
        }
        for (index, bore) in self.seen.bores.iter().enumerate() {
            all.push((format!("S{}", index + 1), bore.at.to_mm(), bore.diameter.to_mm() / 2.0 + 3.0));
        }
        let mut marks = Vec::new();
        for (text, at, reach) in all.iter().filter(|(_, at, _)| self.holds(*at)) {
            let word = [written((0.0, -1.25), text.as_str(), 2.5, Anchor::Middle, false)];
            let places = round(*at, *reach, reach + 14.0);
            marks.extend(room.put(&word, &places, &|_| true).map(backed).unwrap_or_default());
        }
        let show = figures(self.made);
        for (index, pocket) in self.seen.pockets.iter().enumerate() {
            let text =
                format!("R{}  {} {} deep", index + 1, pocket.kind.word(), show.show(pocket.depth).text);
            let outline = path(&pocket.outline);
            let Some(area) = area_of(&points(&outline)) else { continue };
            let inside = |a: &Area| holds(&outline, middle(a));
            for (text, turn) in [(text.as_str(), 0.0), (text.as_str(), 90.0)] {
                let word = turned(text, turn);
                if let Some(put) = room.put(&word, &over(&area), &inside) {
                    marks.extend(put);
                    break;
                }
            }
        }
        marks
    }

    /// Lines at round distances from the datum edges, where only a region is printed: they say where on the part it belongs.
    fn references(&self) -> Vec<Mark> {
        let Some((across, up)) = self.reference() else { return Vec::new() };
        let (low, high) = (self.area.low, self.area.high);
        let (x, y) = (self.edge_at(across), up.to_mm());
        vec![
            line((x, low.1), (x, high.1), LineType::Adjacent),
            line((low.0, y), (high.0, y), LineType::Adjacent),
        ]
    }

    fn reference_words(&self, room: &mut Room) -> Vec<Mark> {
        let Some((across, up)) = self.reference() else { return Vec::new() };
        let (low, high) = (self.area.low, self.area.high);
        let (x, y) = (self.edge_at(across), up.to_mm());
        let show = figures(self.made);
        let mut marks = Vec::new();
        for (length, turn) in [(across, 90.0), (up, 0.0)] {
            let word = turned(&format!("{} from the datum edge", show.show(length).text), turn);
            let (from, to) = if turn == 0.0 { (low.0, high.0) } else { (low.1, high.1) };
            let steps = (0..=40).map(|i| from + (to - from) * f64::from(i) / 40.0);
            let places: Vec<At> = steps
                .flat_map(|along| {
                    if turn == 0.0 {
                        [(along, y + 2.4), (along, y - 2.4)]
                    } else {
                        [(x - 2.4, along), (x + 2.4, along)]
                    }
                })
                .collect();
            marks.extend(room.put(&word, &places, &|_| true).map(backed).unwrap_or_default());
        }
        marks
    }

    /// The round distances nearest to the middle of the region, from the datum corner.
    fn reference(&self) -> Option<(Length, Length)> {
        self.piece?;
        let step = match self.made.job.sheets.units {
            Units::Inch => Length::INCH,
            Units::Millimetre => Length::MM * 10,
        };
        let nearest = |mm: f64| {
            let units = Length::from_mm(mm).units();
            Length::from_units((units + step.units() / 2).div_euclid(step.units()) * step.units())
        };
        let centre = middle(&self.area);
        Some((nearest((centre.0 - self.seen.datum().x.to_mm()).abs()), nearest(centre.1)))
    }

    /// Where a distance from the datum corner lies on this paper; it is counted from the right on a back.
    fn edge_at(&self, across: Length) -> f64 {
        match self.seen.face {
            Face::Show => across.to_mm(),
            Face::Back => (self.seen.datum().x - across).to_mm(),
        }
    }

    /// The two pairs of corners that lie furthest apart along the diagonals, with their true distance.
    fn checks(&self) -> Vec<Check> {
        let here: Vec<Point> = self.seen.corners.iter().copied().filter(|p| self.holds(p.to_mm())).collect();
        let mut checks: Vec<Check> = Vec::new();
        for (names, sign) in [(["P", "Q"], 1), (["R", "S"], -1)] {
            let along = |p: &&Point| (p.x + p.y * sign).units();
            let (Some(from), Some(to)) = (here.iter().min_by_key(along), here.iter().max_by_key(along))
            else {
                continue;
            };
            let ends = [from.to_mm(), to.to_mm()];
            let apart = Length::from_mm(libm::hypot(ends[1].0 - ends[0].0, ends[1].1 - ends[0].1));
            let known = checks.iter().any(|check| check.ends == ends || check.ends == [ends[1], ends[0]]);
            if from != to && !known {
                checks.push(Check { names, ends, text: figures(self.made).show(apart).text });
            }
        }
        checks
    }
}

fn stroke(path: Vec<Step>, line: LineType) -> Mark {
    Mark::Stroke { path, line }
}

fn middle(area: &Area) -> At {
    ((area.low.0 + area.high.0) / 2.0, (area.low.1 + area.high.1) / 2.0)
}

/// Ends and crowns of a path's steps, enough for its extents.
fn points(path: &[Step]) -> Vec<At> {
    let mark = [Mark::Stroke { path: path.to_vec(), line: LineType::Visible }];
    crate::drawing::bounds::extents(&mark).map_or(Vec::new(), |(low, high)| vec![low, high])
}

pub(super) fn turned(text: &str, turn: f64) -> Vec<Mark> {
    let at = if turn == 0.0 { (0.0, -1.25) } else { (1.25, 0.0) };
    vec![Mark::Text(crate::drawing::Text {
        at,
        text: text.into(),
        height: 2.5,
        anchor: Anchor::Middle,
        turn,
        bold: false,
    })]
}

/// A ring at each end of a check figure.
fn check_marks(checks: &[Check]) -> Vec<Mark> {
    checks
        .iter()
        .flat_map(|check| check.ends)
        .map(|at| stroke(circle(at, 2.0), LineType::Dimension))
        .collect()
}

fn check_names(checks: &[Check], room: &mut Room) -> Vec<Mark> {
    let mut marks = Vec::new();
    for check in checks {
        for (name, at) in check.names.iter().zip(check.ends) {
            let word = [written((0.0, -1.75), *name, 3.5, Anchor::Middle, true)];
            marks.extend(room.put(&word, &round(at, 5.0, 20.0), &|_| true).map(backed).unwrap_or_default());
        }
    }
    marks
}

/// What is written on the wood side of the paper, round (0, 0).
fn label(words: &Words, size: f64, with_arrows: bool) -> Vec<Mark> {
    let face = words.face.map_or("", face_word);
    let small = if size > 5.0 { 2.5 } else { 1.8 };
    let mut marks = vec![written((0.0, 0.0), face, size, Anchor::Middle, true)];
    let mut y = -1.2 * small - 0.25 * size;
    for text in std::iter::once(words.name.as_str()).chain(words.lines.first().map(String::as_str)) {
        marks.push(written((0.0, y - 0.6 * small), text, small, Anchor::Middle, false));
        y -= 1.7 * small;
    }
    if with_arrows && !(words.ways.is_empty() && words.grain.is_none()) {
        let compass = compass(&words.ways, words.grain, (0.0, 0.0));
        if let Some((low, high)) = crate::drawing::bounds::extents(&compass) {
            let right = width_of(face, size, true) / 2.0 + 5.0;
            let by = (right - low.0, size / 2.0 - (low.1 + high.1) / 2.0);
            marks.extend(compass.into_iter().map(|mark| super::page::moved(mark, by)));
        }
    }
    // Round the middle of what it takes, so that it lies where it is put.
    match crate::drawing::bounds::extents(&marks) {
        Some((low, high)) => {
            let by = (-(low.0 + high.0) / 2.0, -(low.1 + high.1) / 2.0);
            marks.into_iter().map(|mark| super::page::moved(mark, by)).collect()
        }
        None => marks,
    }
}
