//! Where details are called out: a narrow circle with the detail's letter (ISO 128), on the view that shows the joint best.
//! Knows views by how they look, not what is on them.

use std::collections::BTreeMap;

use super::Detail;
use super::condition::Occurs;
use super::shown::{Shows, along, shows};
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::lettering::{reach_of, width_of};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, LineType, Mark, circle};
use crate::sheets::assembly::Assembled;
use crate::sheets::bays::Look;
use crate::sheets::cuttings::Cutting;
use crate::sheets::frame::Area;
use crate::sheets::free::Taken;
use crate::sheets::scales::{Scale, largest_that_fits};
use crate::sheets::sheet::Paperwork;
use crate::sheets::spaces::{Space, spaces};
use crate::trade::{Position, Side};

/// Height of a letter (ISO 128-40 asks for one size above that of the dimensions; figures are 3.5).
const LETTER: f64 = 3.5;
/// Radii between which a circle keeps on paper.
const LEAST: f64 = 2.5;
const MOST: f64 = 6.5;
/// The radius of a ring between texts or other rings, and half of what stays between two.
const SMALLEST: f64 = 0.8;
const APART: f64 = 0.15;

/// A detail as a view shows it.
#[derive(Clone, Debug)]
pub struct Callout {
    pub letter: String,
    pub middle: Position,
    /// Millimetres of wood round the middle.
    pub reach: f64,
    /// Where the view does not show the joint: where it lies, seen from there.
    pub hidden: Option<&'static str>,
}

/// The callouts of every view of an assembly: of its three arranged views, then of each section.
#[derive(Clone, Debug, Default)]
pub struct Callouts {
    pub arranged: [Vec<Callout>; 3],
    pub sections: Vec<Vec<Callout>>,
}

/// Occurrences of a detail that are looked at for the one that is seen best: no more, so that a run costs what its details do.
const LOOKED_AT: usize = 12;

/// A place where a detail may be called out.
struct Candidate<'a> {
    shows: Shows,
    /// The section, or none for an arranged view.
    section: Option<usize>,
    /// The arranged view, or the way that the section is looked at.
    look: usize,
    occurs: &'a Occurs,
    /// Its middle on the paper of that view, from any point.
    at: At,
}

/// Shares details out: each to a section that cuts it, else to a section or view on which its boards are seen meeting, where
/// no other circle stands if that can be; only where none shows it, to the view from the detail's side, as hidden.
pub fn share_out(
    of: &Assembled,
    details: &[Detail],
    looks: &[Look; 3],
    sections: &[Cutting],
    paperwork: &Paperwork,
) -> Callouts {
    let mut all = Callouts { sections: vec![Vec::new(); sections.len()], ..Callouts::default() };
    let factors = likely(of, looks, sections, paperwork);
    let mut stand: BTreeMap<(Option<usize>, usize), Vec<At>> = BTreeMap::new();
    for detail in details {
        let mut candidates = Vec::new();
        for occurs in detail.condition.occurs.iter().take(LOOKED_AT) {
            let mut add = |section: Option<usize>, look: usize| {
                let cutting = section.and_then(|s| sections.get(s));
                let Some(shows) = shows(of, occurs, &looks[look], cutting) else { return };
                let factor = section.map_or(factors.0, |s| factors.1[s]);
                let at = |side| along(&occurs.middle, side).to_mm() * factor;
                let at = (at(looks[look].right), at(looks[look].up));
                candidates.push(Candidate { shows, section, look, occurs, at });
            };
            for (s, cutting) in sections.iter().enumerate() {
                let look = looks.iter().position(|look| look.eye.axis() == cutting.axis);
                look.into_iter().for_each(|look| add(Some(s), look));
            }
            (0..looks.len()).for_each(|look| add(None, look));
        }
        let is_free = |one: &Candidate| {
            let there = stand.get(&(one.section, one.look));
            there.is_none_or(|all| {
                all.iter().all(|at| libm::hypot(at.0 - one.at.0, at.1 - one.at.1) > 2.0 * LEAST + 0.5)
            })
        };
        // The first of the best: candidates stand in the order of the places where the detail occurs. A place that is seen
        // but not free comes before one that is not seen.
        let rated = candidates.iter().enumerate().map(|(i, one)| {
            ((one.shows > Shows::Behind, is_free(one), one.shows, std::cmp::Reverse(i)), one)
        });
        let Some((_, best)) = rated.max_by_key(|(rating, _)| *rating) else { continue };
        let is_plan = looks[best.look].eye == Side::Top;
        let callout = Callout {
            letter: detail.letter.clone(),
            middle: best.occurs.middle,
            reach: best.occurs.reach,
            hidden: (best.shows == Shows::Behind).then_some(if is_plan { "below" } else { "behind" }),
        };
        stand.entry((best.section, best.look)).or_default().push(best.at);
        match best.section {
            Some(s) => all.sections[s].push(callout),
            None => all.arranged[best.look].push(callout),
        }
    }
    all
}

/// What views take beside their wood, in millimetres of paper, as far as it is known before they are laid out.
const BESIDE: f64 = 80.0;

/// The scales that the arranged views and each section are likely to have: circles that stand apart at them do on paper.
fn likely(of: &Assembled, looks: &[Look; 3], sections: &[Cutting], paperwork: &Paperwork) -> (f64, Vec<f64>) {
    let ways = spaces(paperwork, |areas| of.head("", areas));
    let size = |look: &Look| [look.right, look.up].map(|side| look.along(&of.around, side).size().to_mm());
    let fits = |width: f64, height: f64| {
        let factor = |way: &Space| {
            let high = (way.zone.width() - BESIDE, way.zone.height() - BESIDE);
            let area = Area { low: (0.0, 0.0), high };
            largest_that_fits(width, height, &area, paperwork.practice).map_or(0.01, Scale::factor)
        };
        ways.iter().map(factor).fold(0.01, f64::max)
    };
    let [front, side, plan] = looks.each_ref().map(size);
    let of_section = |cutting: &Cutting| {
        let look = looks.iter().find(|look| look.eye.axis() == cutting.axis);
        let [width, height] = look.map_or([0.0; 2], size);
        fits(width, height)
    };
    (fits(front[0] + side[0], front[1] + plan[1]), sections.iter().map(of_section).collect())
}

/// Draws circles and letters on a view: `lines` are the marks already there, texts of which nothing may touch.
pub fn circles(
    callouts: &[Callout],
    place: impl Fn(Position) -> At,
    factor: f64,
    lines: &[Mark],
    zone: Area,
    taken: &mut Taken,
    group: f64,
) -> Vec<Mark> {
    let mut texts = Taken::default();
    lines
        .iter()
        .filter(|mark| matches!(mark, Mark::Text(_)))
        .for_each(|mark| texts.add(std::slice::from_ref(mark)));
    let ring = |centre: At, radius: f64, line: LineType| Mark::Stroke { path: circle(centre, radius), line };
    // All rings first, so that no letter stands where another joint is. Two that stand near share the way between them.
    let centres: Vec<At> = callouts.iter().map(|callout| place(callout.middle)).collect();
    let ringed = callouts.iter().zip(&centres).enumerate().map(|(i, (callout, centre))| {
        let others = centres.iter().enumerate().filter(|(other, _)| *other != i);
        let ways = others.map(|(_, at)| libm::hypot(at.0 - centre.0, at.1 - centre.1) / 2.0 - APART);
        let most = ways.fold(MOST, f64::min).max(SMALLEST);
        let wanted = (callout.reach * factor + 1.0).clamp(LEAST, MOST).min(most);
        let radii = [wanted, (wanted + LEAST) / 2.0, LEAST, 1.6, SMALLEST].map(|radius| radius.min(most));
        let free = |radius: &f64| texts.has_room_for(&[ring(*centre, *radius, LineType::Dimension)]);
        (callout, *centre, radii.into_iter().find(free).unwrap_or(SMALLEST))
    });
    let ringed: Vec<(&Callout, At, f64)> = ringed.collect();
    let mut all: Vec<Mark> = ringed
        .iter()
        .map(|(callout, centre, radius)| {
            let line = if callout.hidden.is_some() { LineType::Hidden } else { LineType::Dimension };
            ring(*centre, *radius, line)
        })
        .collect();
    taken.add(&all);
    for (callout, centre, radius) in ringed {
        let words = callout.hidden.map_or(callout.letter.clone(), |at| format!("{} {at}", callout.letter));
        let (below, above) = reach_of(&words, LETTER, true);
        let size = (width_of(&words, LETTER, true), above - below);
        let rim = (0..16).map(|turn| {
            let angle = f64::from(turn) * std::f64::consts::PI / 8.0;
            (centre.0 + radius * libm::cos(angle), centre.1 + radius * libm::sin(angle))
        });
        let clear = radius + size.1 / 2.0;
        let far = |a: At, b: At| libm::hypot(a.0 - b.0, a.1 - b.1);
        let spots = rim.filter_map(|from| taken.near(from, size, zone, false).map(|spot| (from, spot)));
        let spots = spots.filter(|(_, spot)| far(spot.middle, centre) > clear);
        let best = spots.min_by(|(a, s), (b, t)| far(*a, s.leader_from).total_cmp(&far(*b, t.leader_from)));
        let Some((from, spot)) = best else { continue };
        let mut marks = leader(&[spot.leader_from, from], Terminator::None, group);
        let at = (spot.middle.0, spot.middle.1 - (above + below) / 2.0);
        marks.push(written(at, words.as_str(), LETTER, Anchor::Middle, true));
        taken.add(&marks);
        all.extend(marks);
    }
    all
}
