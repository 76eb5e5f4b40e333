//! Where details are called out: a narrow circle with the detail's letter (ISO 128), on the view that shows the joint best.
//! Knows views by how they look, not what is on them.

use super::Detail;
use super::condition::{Occurs, board_of};
use crate::drawing::arrow::{Terminator, leader};
use crate::drawing::lettering::{reach_of, width_of};
use crate::drawing::text::written;
use crate::drawing::{Anchor, At, LineType, Mark, circle};
use crate::parts::Made;
use crate::sheets::bays::Look;
use crate::sheets::cuttings::Cutting;
use crate::sheets::frame::Area;
use crate::sheets::free::Taken;
use crate::trade::Position;

/// Height of a letter (ISO 128-40 asks for one size above that of the dimensions; figures are 3.5).
const LETTER: f64 = 3.5;
/// Radii between which a circle keeps on paper.
const LEAST: f64 = 2.5;
const MOST: f64 = 6.5;

/// A detail as a view shows it.
#[derive(Clone, Debug)]
pub struct Callout {
    pub letter: String,
    pub middle: Position,
    /// Millimetres of wood round the middle.
    pub reach: f64,
}

/// The callouts of every view of an assembly: of its three arranged views, then of each section.
#[derive(Clone, Debug, Default)]
pub struct Callouts {
    pub arranged: [Vec<Callout>; 3],
    pub sections: Vec<Vec<Callout>>,
}

/// Shares details out: each to the section that cuts its very boards, else to a section that shows them behind its plane,
/// else to the arranged view that looks the same way.
pub fn share_out(made: &Made, details: &[Detail], looks: &[Look; 3], sections: &[Cutting]) -> Callouts {
    let mut all = Callouts { sections: vec![Vec::new(); sections.len()], ..Callouts::default() };
    for detail in details {
        let places = &detail.condition.occurs;
        let rated = places.iter().enumerate().flat_map(|(i, place)| {
            let on = sections
                .iter()
                .enumerate()
                .map(move |(s, cutting)| (Some(s), rating(made, place, cutting, looks)));
            on.filter(|(_, rating)| *rating > 0).map(move |(s, rating)| (rating, std::cmp::Reverse(i), s))
        });
        let best = rated.max_by_key(|(rating, place, s)| (*rating, *place, std::cmp::Reverse(*s)));
        let section = best.and_then(|(_, place, s)| Some((places.get(place.0)?, s?)));
        let Some(place) = section.map(|(place, _)| place).or(places.first()) else { continue };
        let callout = Callout { letter: detail.letter.clone(), middle: place.middle, reach: place.reach };
        match section {
            Some((_, s)) => all.sections[s].push(callout),
            None => {
                let same = looks.iter().position(|look| look.eye.axis() == place.axis);
                all.arranged[same.unwrap_or(0)].push(callout);
            }
        }
    }
    all
}

/// 2 where the section cuts both boards, 1 where the joint lies behind its plane, 0 where it does not show it.
fn rating(made: &Made, place: &Occurs, cutting: &Cutting, looks: &[Look; 3]) -> u8 {
    let axis = cutting.axis;
    if place.axis != axis {
        return 0;
    }
    let cuts = |id: usize| {
        made.placed.get(id).is_some_and(|p| {
            let span = p.board.span[axis.index()];
            span.low < cutting.at && cutting.at < span.high
        })
    };
    // The house is wherever a board touches it.
    if cuts(place.first.0) && board_of(place.second).is_none_or(|id| cuts(id.0)) {
        return 2;
    }
    let Some(look) = looks.iter().find(|look| look.eye.axis() == axis) else { return 0 };
    let off = (place.middle[axis.index()] - cutting.at) * look.eye.sign();
    u8::from(!off.is_positive())
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
    let ring =
        |centre: At, radius: f64| Mark::Stroke { path: circle(centre, radius), line: LineType::Dimension };
    // All rings first, so that no letter stands where another joint is.
    let ringed = callouts.iter().map(|callout| {
        let centre = place(callout.middle);
        let wanted = (callout.reach * factor + 1.0).clamp(LEAST, MOST);
        let radii = [wanted, (wanted + LEAST) / 2.0, LEAST, 1.6, 0.8];
        let free = |radius: &f64| texts.has_room_for(&[ring(centre, *radius)]);
        (callout, centre, radii.into_iter().find(free).unwrap_or(0.8))
    });
    let ringed: Vec<(&Callout, At, f64)> = ringed.collect();
    let mut all: Vec<Mark> = ringed.iter().map(|(_, centre, radius)| ring(*centre, *radius)).collect();
    taken.add(&all);
    for (callout, centre, radius) in ringed {
        let (below, above) = reach_of(&callout.letter, LETTER, true);
        let size = (width_of(&callout.letter, LETTER, true), above - below);
        let rim = (0..16).map(|turn| {
            let angle = f64::from(turn) * std::f64::consts::PI / 8.0;
            (centre.0 + radius * libm::cos(angle), centre.1 + radius * libm::sin(angle))
        });
        let clear = radius + libm::hypot(size.0, size.1) / 2.0;
        let far = |a: At, b: At| libm::hypot(a.0 - b.0, a.1 - b.1);
        let spots = rim.filter_map(|from| taken.near(from, size, zone, false).map(|spot| (from, spot)));
        let spots = spots.filter(|(_, spot)| far(spot.middle, centre) > clear);
        let best = spots.min_by(|(a, s), (b, t)| far(*a, s.leader_from).total_cmp(&far(*b, t.leader_from)));
        let Some((from, spot)) = best else { continue };
        let mut marks = leader(&[spot.leader_from, from], Terminator::None, group);
        let at = (spot.middle.0, spot.middle.1 - (above + below) / 2.0);
        marks.push(written(at, callout.letter.as_str(), LETTER, Anchor::Middle, true));
        taken.add(&marks);
        all.extend(marks);
    }
    all
}
