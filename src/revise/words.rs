//! What changed, in plain words with exact lengths: for the terminal, and in short for the sheets.

use std::fmt::Write;

use super::differ::moved_by;
use super::feature::near;
use super::{Change, Changes, Difference, Fate, Feature, Issue, Kind, Laid, Measure, Pieces};
use crate::length::Length;
use crate::length::notation::tell;
use crate::shape::Point;
use crate::trade::{Grain, Units};

/// Places that are listed one by one; more of them are counted.
const MOST_PLACES: usize = 4;
const ARROW: &str = "→";

/// What a change means for the shop, in the order in which it is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meaning {
    MakeAgain,
    CutDown,
    WorkOn,
    MakeMore,
    New,
    Surplus,
    Withdrawn,
    StillGood,
    Unchanged,
}

impl Meaning {
    pub const ALL: [Meaning; 9] = [
        Meaning::MakeAgain,
        Meaning::CutDown,
        Meaning::WorkOn,
        Meaning::MakeMore,
        Meaning::New,
        Meaning::Surplus,
        Meaning::Withdrawn,
        Meaning::StillGood,
        Meaning::Unchanged,
    ];

    pub fn of(change: &Change) -> Meaning {
        let (old, new) = change.quantity;
        match (change.fate(), change.pieces) {
            (Fate::Unchanged, _) => Meaning::Unchanged,
            (Fate::New, _) => Meaning::New,
            (Fate::Withdrawn, _) => Meaning::Withdrawn,
            (_, Some(Pieces::CutDown(_))) => Meaning::CutDown,
            (_, Some(Pieces::WorkOn(_))) => Meaning::WorkOn,
            (_, Some(Pieces::Good)) if new > old => Meaning::MakeMore,
            (_, Some(Pieces::Good)) if new < old => Meaning::Surplus,
            (_, Some(Pieces::Good)) => Meaning::StillGood,
            _ => Meaning::MakeAgain,
        }
    }

    /// Heading of its group.
    pub const fn heading(self) -> &'static str {
        match self {
            Meaning::MakeAgain => "MAKE AGAIN: pieces already cut cannot be used",
            Meaning::CutDown => "CUT DOWN: pieces already cut can be cut to the new size",
            Meaning::WorkOn => "WORK ON: pieces already cut have the right size and need more work",
            Meaning::MakeMore => "MAKE MORE: pieces already cut are good",
            Meaning::New => "NEW",
            Meaning::Surplus => "SURPLUS: pieces already cut are good, some are left over",
            Meaning::Withdrawn => "WITHDRAWN: not needed any more",
            Meaning::StillGood => "STILL GOOD: the piece is the same, the drawing is not",
            Meaning::Unchanged => "UNCHANGED",
        }
    }

    /// One word, for data.
    pub const fn word(self) -> &'static str {
        match self {
            Meaning::MakeAgain => "make-again",
            Meaning::CutDown => "cut-down",
            Meaning::WorkOn => "work-on",
            Meaning::MakeMore => "make-more",
            Meaning::New => "new",
            Meaning::Surplus => "surplus",
            Meaning::Withdrawn => "withdrawn",
            Meaning::StillGood => "still-good",
            Meaning::Unchanged => "unchanged",
        }
    }
}

/// `Listening nook LN-07: revision B supersedes revision A.`
pub fn headline(changes: &Changes) -> String {
    let (old, new) = (&changes.old, &changes.new);
    let named = |issue: &Issue| {
        let words = [issue.title.as_str(), &issue.number];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        words.join(" ")
    };
    let job = if named(new).is_empty() { "This job".to_owned() } else { named(new) };
    let supersedes = if old.revision == new.revision {
        if new.revision.is_empty() {
            "no revision letter".to_owned()
        } else {
            format!("revision {} in both states", new.revision)
        }
    } else {
        format!("{} supersedes {}", revision(new), revision(old))
    };
    let other =
        if named(old) == named(new) { String::new() } else { format!(" (compared with {})", named(old)) };
    format!("{job}{other}: {supersedes}.")
}

/// `revision B of 2026-03-09`
pub fn revision(issue: &Issue) -> String {
    let date = if issue.date.is_empty() { String::new() } else { format!(" of {}", issue.date) };
    match issue.revision.as_str() {
        "" => format!("the state without a letter{date}"),
        letter => format!("revision {letter}{date}"),
    }
}

/// The whole comparison, grouped by what it means for the shop.
pub fn text(changes: &Changes) -> String {
    let mut all = format!("{}\n", headline(changes));
    if changes.is_empty() {
        let parts = match changes.parts.len() {
            1 => "the one part is what it was".to_owned(),
            count => format!("all {count} parts are what they were"),
        };
        let _ = writeln!(all, "\nNothing changed: {parts}, and pieces already cut are good.");
        return all;
    }
    for meaning in Meaning::ALL {
        let group: Vec<&Change> =
            changes.parts.iter().filter(|change| Meaning::of(change) == meaning).collect();
        if group.is_empty() {
            continue;
        }
        let _ = writeln!(all, "\n{}", meaning.heading());
        if meaning == Meaning::Unchanged {
            let names: Vec<String> = group.iter().map(|change| called(change)).collect();
            let _ = writeln!(all, "  {}", names.join(", "));
            continue;
        }
        for change in group {
            let _ = writeln!(all, "  {}", called(change));
            for line in told(change, changes.units) {
                let _ = writeln!(all, "      {line}");
            }
            for line in consequences(change, changes.units) {
                let _ = writeln!(all, "    {ARROW} {line}");
            }
        }
    }
    all
}

/// `B3 divider`
pub fn called(change: &Change) -> String {
    format!("{} {}", change.mark, change.name)
}

/// In how many ways parts changed, for a row of the revision table.
pub fn short(changes: &Changes) -> String {
    let mut all = Vec::new();
    for meaning in Meaning::ALL.into_iter().filter(|m| *m != Meaning::Unchanged) {
        let group: Vec<&Change> =
            changes.parts.iter().filter(|change| Meaning::of(change) == meaning).collect();
        let what = match meaning {
            Meaning::MakeAgain => "to make again",
            Meaning::CutDown => "to cut down",
            Meaning::WorkOn => "to work on",
            Meaning::MakeMore => "more pieces",
            Meaning::New => "new",
            Meaning::Surplus => "fewer pieces",
            Meaning::Withdrawn => "withdrawn",
            Meaning::StillGood | Meaning::Unchanged => "drawing only",
        };
        if !group.is_empty() {
            let marks: Vec<&str> = group.iter().map(|change| change.mark.as_str()).collect();
            all.push(format!("{what}: {}", marks.join(", ")));
        }
    }
    if all.is_empty() { "no part changed".to_owned() } else { all.join("; ") }
}

/// What to do, sentence by sentence.
pub fn consequences(change: &Change, units: Units) -> Vec<String> {
    let (old, new) = change.quantity;
    let mut all = Vec::new();
    let good =
        |count: usize| if count == 1 { "1 piece is".to_owned() } else { format!("{count} pieces are") };
    match (change.fate(), change.pieces) {
        (Fate::Unchanged, _) => return all,
        (Fate::Withdrawn, _) => {
            all.push(format!("{} surplus if already cut", good(old)));
            return all;
        }
        (Fate::New, _) => all.push(format!("make {new}")),
        (_, Some(Pieces::Good)) => all.push("pieces already cut are good".to_owned()),
        (_, Some(Pieces::WorkOn(laid))) => {
            all.push(format!("pieces already cut can be worked on{}", laid_as(laid, units)));
        }
        (_, Some(Pieces::CutDown(laid))) => {
            all.push(format!("pieces already cut can be cut down{}", laid_as(laid, units)));
        }
        _ => all.push(format!("make {new} again")),
    }
    if change.fate() == Fate::Changed && change.pieces.is_some_and(Pieces::are_of_use) {
        if new > old {
            all.push(format!("make {} more", new - old));
        } else if old > new {
            all.push(format!("{} surplus", good(old - new)));
        }
    }
    if let Some(worth) = change.if_measured {
        let then = match worth {
            Pieces::WorkOn(laid) => format!("can be worked on{}", laid_as(laid, units)),
            Pieces::CutDown(laid) => format!("can be cut down{}", laid_as(laid, units)),
            Pieces::Good | Pieces::Again => "are good".to_owned(),
        };
        let thick = change.differences.iter().find_map(|difference| match difference {
            Difference::Size { of: super::Overall::Thickness, new, .. } => Some(tell(*new, units)),
            _ => None,
        });
        let thick = thick.unwrap_or_default();
        all.push(format!("measure first: pieces that are {thick} thick by the caliper {then}"));
    }
    if let Some(spare) = &change.from {
        let how = match spare.pieces {
            Pieces::CutDown(laid) => format!("be cut down from{}", laid_as(laid, units)),
            Pieces::WorkOn(laid) => format!("be worked from{}", laid_as(laid, units)),
            Pieces::Good | Pieces::Again => "be".to_owned(),
        };
        all.push(format!("{} of them can {how} surplus {} {}", spare.count, spare.mark, spare.name));
    }
    all
}

/// How an old piece is laid, where not corner on corner.
fn laid_as(laid: Laid, units: Units) -> String {
    let mut all = Vec::new();
    match laid.turn {
        super::Turn::None => {}
        super::Turn::Round => all.push("turned half round".to_owned()),
        super::Turn::OverSideways => {
            all.push("turned over sideways, so that the other face shows".to_owned())
        }
        super::Turn::OverEndways => all.push("turned over endways, so that the other face shows".to_owned()),
    }
    let off = place_words(laid.datum, units);
    if !near(laid.datum.x, Length::ZERO) || !near(laid.datum.y, Length::ZERO) {
        all.push(format!("with the new datum corner {off} from its own lower left corner"));
    }
    if all.is_empty() { String::new() } else { format!(" ({})", all.join(", ")) }
}

fn place_words(at: Point, units: Units) -> String {
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
    for difference in &change.differences {
        match difference {
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

fn plain(difference: &Difference, units: Units) -> Option<String> {
    let or_none = |text: &str| if text.is_empty() { "none".to_owned() } else { text.to_owned() };
    Some(match difference {
        Difference::Size { of, old, new } => format!("{}: {}", of.word(), from_to(*old, *new, units)),
        Difference::Outline { moved, corners } if corners.0 == corners.1 => {
            let listed: Vec<String> = moved
                .iter()
                .take(MOST_PLACES)
                .map(|(a, b)| format!("{} {ARROW} {}", place_words(*a, units), place_words(*b, units)))
                .collect();
            let more = if moved.len() > MOST_PLACES { " …" } else { "" };
            if listed.is_empty() {
                "outline: an arc of it bends differently".to_owned()
            } else {
                format!("outline: its shape changed; corners moved: {}{more}", listed.join("; "))
            }
        }
        Difference::Outline { corners, .. } => {
            format!("outline: its shape changed; {} corners {ARROW} {}", corners.0, corners.1)
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
