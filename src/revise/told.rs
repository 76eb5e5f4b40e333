//! What differs in one part, in plain words with exact lengths: a line for each thing, one line for those that changed alike.

use super::differ::moved_by;
use super::feature::near;
use super::words::ARROW;
use super::{Change, Difference, Feature, Kind, Measure};
use crate::length::Length;
use crate::length::notation::tell;
use crate::shape::Point;
use crate::trade::{Grain, Units};

/// Places that are listed one by one; more of them are counted.
const MOST_PLACES: usize = 4;

pub(super) fn place_words(at: Point, units: Units) -> String {
    format!("{} across, {} up", tell(at.x, units), tell(at.y, units))
}

/// `1/4" less`
fn grown(old: Length, new: Length, units: Units) -> String {
    let word = if new > old { "more" } else { "less" };
    format!("{} {word}", tell((new - old).abs(), units))
}

fn from_to(old: Length, new: Length, units: Units) -> String {
    format!("{} {ARROW} {} ({})", tell(old, units), tell(new, units), grown(old, new, units))
}

/// Everything that differs, a line each; features that changed alike share one.
pub fn told(change: &Change, units: Units) -> Vec<String> {
    let mut all = Vec::new();
    let mut alike: Vec<(Kind, String, String, Vec<String>)> = Vec::new();
    let shifted = shifted(change);
    for Shifted { kind, purpose, by, .. } in &shifted {
        let axes = [(|by: &Point| by.x) as fn(&Point) -> Length, |by| by.y].into_iter().zip(WAYS);
        let ways: Vec<String> =
            axes.filter_map(|(along, words)| range(by.iter().map(along), words, units)).collect();
        all.push(format!("{} {} for {purpose}: moved {}", by.len(), kind.words(), ways.join(" and ")));
    }
    for difference in &change.differences {
        match difference {
            Difference::Work { old: Some(old), new: Some(new) }
                if shift(old, new).is_some_and(|by| shifted.iter().any(|s| s.takes(new, by))) => {}
            Difference::Work { old, new } => {
                let Some(feature) = new.as_ref().or(old.as_ref()) else { continue };
                let (what, place) = match (old, new) {
                    (Some(old), Some(new)) => altered(old, new, units),
                    (None, _) => (format!("added{}", described(feature, units)), place_of(feature, units)),
                    (_, None) => (format!("removed{}", described(feature, units)), place_of(feature, units)),
                };
                let group = alike.iter_mut().find(|(kind, purpose, words, _)| {
                    *kind == feature.kind && *purpose == feature.purpose && *words == what
                });
                match group {
                    Some((_, _, _, places)) => places.push(place),
                    None => alike.push((feature.kind, feature.purpose.clone(), what, vec![place])),
                }
            }
            other => all.extend(plain(other, units)),
        }
    }
    for (kind, purpose, what, places) in alike {
        let by_edge = matches!(kind, Kind::Edge | Kind::Bevel);
        let thing = match places.len() {
            1 => kind.word().to_owned(),
            count => format!("{count} {}", kind.words()),
        };
        let whose = match (purpose.is_empty(), by_edge) {
            (true, _) => String::new(),
            (_, true) => format!(", {purpose}"),
            (_, false) => format!(" for {purpose}"),
        };
        let listed: Vec<&str> =
            places.iter().filter(|p| !p.is_empty()).take(MOST_PLACES).map(String::as_str).collect();
        let more = if places.len() > MOST_PLACES { " …" } else { "" };
        let at = if listed.is_empty() { String::new() } else { format!(", at {}{more}", listed.join("; ")) };
        all.push(format!("{thing}{whose}: {what}{at}"));
    }
    all
}

/// Holes for fixings that were spaced anew: of one kind and purpose, all moved the same ways, and how far each of them went.
struct Shifted {
    kind: Kind,
    purpose: String,
    /// -1, 0 or 1, across and up.
    ways: [i64; 2],
    by: Vec<Point>,
}

impl Shifted {
    fn takes(&self, new: &Feature, by: Point) -> bool {
        self.kind == new.kind && self.purpose == new.purpose && self.ways == ways(by)
    }
}

/// Words for less and for more, across and up.
const WAYS: [[&str; 2]; 2] = [["to the left", "to the right"], ["down", "up"]];

fn ways(by: Point) -> [i64; 2] {
    [by.x, by.y].map(|by| if near(by, Length::ZERO) { 0 } else { by.units().signum() })
}

/// How far they went along one axis, all of them the same way: the least and the most; nothing where they stayed.
fn range(by: impl Iterator<Item = Length> + Clone, words: [&str; 2], units: Units) -> Option<String> {
    let (least, most) = (by.clone().map(Length::abs).min()?, by.clone().map(Length::abs).max()?);
    if near(most, Length::ZERO) {
        return None;
    }
    let way = words[usize::from(by.max()?.is_positive())];
    let most = tell(most, units);
    let least = tell(least, units);
    Some(if least == most { format!("{way} by {most}") } else { format!("{way} by {least} to {most}") })
}

/// Holes for fixings that moved the same ways by more than two different lengths: told by the least and the most.
fn shifted(change: &Change) -> Vec<Shifted> {
    let mut all: Vec<Shifted> = Vec::new();
    for (old, new) in change.worked().filter_map(|(old, new)| Some((old?, new))) {
        let Some(by) = shift(old, new) else { continue };
        match all.iter_mut().find(|s| s.takes(new, by)) {
            Some(known) => known.by.push(by),
            None => all.push(Shifted {
                kind: new.kind,
                purpose: new.purpose.clone(),
                ways: ways(by),
                by: vec![by],
            }),
        }
    }
    all.retain(|shifted| {
        let mut moves = shifted.by.clone();
        moves.sort_unstable();
        moves.dedup_by(|a, b| near(a.x, b.x) && near(a.y, b.y));
        moves.len() > 2
    });
    all
}

/// How far a hole for a fixing moved, where it only moved.
fn shift(old: &Feature, new: &Feature) -> Option<Point> {
    let for_fixing = matches!(new.kind, Kind::Hole | Kind::Bore) && !new.purpose.is_empty();
    let by = (for_fixing && old.is_like(new)).then(|| moved_by(old, new)).flatten()?;
    (ways(by) != [0, 0]).then_some(by)
}

fn plain(difference: &Difference, units: Units) -> Option<String> {
    let or_none = |text: &str| if text.is_empty() { "none".to_owned() } else { text.to_owned() };
    Some(match difference {
        Difference::Size { of, old, new } => format!("{}: {}", of.word(), from_to(*old, *new, units)),
        Difference::Outline { moved, arcs, corners } if corners.0 == corners.1 => {
            let listed: Vec<String> = moved
                .iter()
                .take(MOST_PLACES)
                .map(|(a, b)| format!("{} {ARROW} {}", place_words(*a, units), place_words(*b, units)))
                .collect();
            let more = if moved.len() > MOST_PLACES { " …" } else { "" };
            let mut all = Vec::new();
            if !listed.is_empty() {
                all.push(format!("corners moved: {}{more}", listed.join("; ")));
            }
            // What prints alike says nothing.
            let differs = arcs.iter().filter(|arc| tell(arc.old, units) != tell(arc.new, units));
            all.extend(differs.map(|arc| {
                format!("the arc over {} rises {}", tell(arc.chord, units), from_to(arc.old, arc.new, units))
            }));
            if all.is_empty() {
                all.push("changed by less than is printed".to_owned());
            }
            format!("outline: {}", all.join("; "))
        }
        Difference::Outline { corners, .. } => {
            format!("outline: {} corners {ARROW} {}", corners.0, corners.1)
        }
        Difference::Work { .. } => return None,
        Difference::Stock { old, new } => format!("stock: {old} {ARROW} {new}"),
        Difference::Grain { old, new } => format!("grain: {} {ARROW} {}", grain(*old), grain(*new)),
        Difference::ShowFace { old, new } => {
            format!("show face: looks {} {ARROW} {} in place", old.word(), new.word())
        }
        Difference::Turned { over: true } => {
            "drawn turned over: the other face is the show face; see that it is fit to be seen".to_owned()
        }
        Difference::Turned { over: false } => "drawn another way round".to_owned(),
        Difference::Finish { old, new } => format!("finish: {} {ARROW} {}", or_none(old), or_none(new)),
        Difference::Notes => "the notes on its drawing changed".to_owned(),
        Difference::Quantity { old, new } => format!("quantity: {old} {ARROW} {new}"),
        Difference::Id { old, new } => format!("was called {old}, now {new}"),
        Difference::Mark { old, new } => format!("mark: {old} {ARROW} {new}; label pieces anew"),
        Difference::Unnamed => "the piece is another one; compare the two drawings".to_owned(),
    })
}

fn grain(grain: Grain) -> &'static str {
    match grain {
        Grain::AlongU => "across the drawing",
        Grain::AlongV => "up the drawing",
        Grain::Free => "any way",
    }
}

/// What a feature is, by its sizes.
fn described(feature: &Feature, units: Units) -> String {
    let size = |measure| feature.size(measure).map(|length| tell(length, units));
    let mut all: Vec<String> = Vec::new();
    if let (Some(width), Some(height)) = (size(Measure::Width), size(Measure::Height)) {
        all.push(format!("{width} × {height}"));
    }
    for (measure, length) in &feature.sizes {
        let length = tell(*length, units);
        match measure {
            Measure::Width | Measure::Height => {}
            Measure::Diameter => all.push(format!("Ø {length}")),
            Measure::Depth => all.push(format!("{length} deep")),
            other => all.push(format!("{} {length}", other.word())),
        }
    }
    all.extend(feature.said.clone());
    if all.is_empty() { String::new() } else { format!(" ({})", all.join(", ")) }
}

fn place_of(feature: &Feature, units: Units) -> String {
    match feature.kind {
        Kind::Edge | Kind::Bevel => String::new(),
        _ => place_words(feature.at, units),
    }
}

/// How a feature differs, and where it is now.
fn altered(old: &Feature, new: &Feature, units: Units) -> (String, String) {
    let mut all = Vec::new();
    if let Some(by) = moved_by(old, new) {
        let one = |by: Length, ahead: &str, back: &str| {
            (!near(by, Length::ZERO))
                .then(|| format!("{} {}", tell(by.abs(), units), if by.is_positive() { ahead } else { back }))
        };
        let ways: Vec<String> =
            one(by.x, "to the right", "to the left").into_iter().chain(one(by.y, "up", "down")).collect();
        all.push(format!("moved {}", ways.join(" and ")));
    }
    for (measure, now) in &new.sizes {
        match old.size(*measure) {
            Some(was) if near(was, *now) => {}
            Some(was) => all.push(format!("{} {}", measure.word(), from_to(was, *now, units))),
            None => all.push(format!("{} {} added", measure.word(), tell(*now, units))),
        }
    }
    for (measure, was) in &old.sizes {
        if new.size(*measure).is_none() {
            all.push(format!("{} {} left out", measure.word(), tell(*was, units)));
        }
    }
    if old.said != new.said {
        let words = |said: &[String]| if said.is_empty() { "plain".to_owned() } else { said.join(", ") };
        all.push(format!("{} {ARROW} {}", words(&old.said), words(&new.said)));
    }
    if all.is_empty() || (old.is_reshaped(new) && old.sizes == new.sizes) {
        all.push("its shape changed".to_owned());
    }
    (all.join(", "), place_of(new, units))
}
