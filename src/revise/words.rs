//! What changed, in plain words with exact lengths: for the terminal, and in short for the sheets.

use std::fmt::Write;

use super::feature::near;
use super::told::place_words;
use super::{Change, Changes, Difference, Fate, Issue, Laid, Moved, Overall, Pieces, Unless};
use crate::length::Length;
use crate::length::notation::tell;
use crate::trade::Units;

pub use super::told::told;

pub(super) const ARROW: &str = "→";

/// What a change means for the shop, in the order in which it is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meaning {
    MakeAgain,
    LookFirst,
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
    pub const ALL: [Meaning; 10] = [
        Meaning::MakeAgain,
        Meaning::LookFirst,
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
            _ if change.unless.is_some() => Meaning::LookFirst,
            _ => Meaning::MakeAgain,
        }
    }

    /// Heading of its group.
    pub const fn heading(self) -> &'static str {
        match self {
            Meaning::MakeAgain => "MAKE AGAIN: pieces already cut cannot be used",
            Meaning::LookFirst => {
                "LOOK FIRST, THEN MAKE AGAIN: as drawn, pieces already cut cannot be used, but they may be otherwise"
            }
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
            Meaning::LookFirst => "look-first",
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
    if !changes.moved.is_empty() {
        let _ = writeln!(all, "\nMOVED IN THE ROOM: measure and mark out anew on site");
        for moved in &changes.moved {
            let _ = writeln!(all, "  {}: {}", moved.assembly, went(moved, changes.units));
        }
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

/// Where an assembly went: `from the floor: 19" → 19 1/2" (1/2" up)`
pub fn went(moved: &Moved, units: Units) -> String {
    let words = [
        ("from the left", "to the left", "to the right"),
        ("from the front", "to the front", "to the back"),
        ("from the floor", "down", "up"),
    ];
    let mut all = Vec::new();
    for ((then, now), (from, less, more)) in moved.at.0.iter().zip(moved.at.1).zip(words) {
        if *then != now {
            let way = if now > *then { more } else { less };
            let by = tell((now - *then).abs(), units);
            all.push(format!("{from}: {} {ARROW} {} ({by} {way})", tell(*then, units), tell(now, units)));
        }
    }
    if moved.turns.0 != moved.turns.1 {
        let turned = |turns: u8| {
            ["not turned", "turned to the left", "turned half round", "turned to the right"]
                [usize::from(turns % 4)]
        };
        all.push(format!("{} {ARROW} {}", turned(moved.turns.0), turned(moved.turns.1)));
    }
    all.join("; ")
}

/// In how many ways parts changed, for a row of the revision table.
pub fn short(changes: &Changes) -> String {
    let mut all = Vec::new();
    for meaning in Meaning::ALL.into_iter().filter(|m| *m != Meaning::Unchanged) {
        let group: Vec<&Change> =
            changes.parts.iter().filter(|change| Meaning::of(change) == meaning).collect();
        let what = match meaning {
            Meaning::MakeAgain => "to make again",
            Meaning::LookFirst => "to look at, else make again",
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
    if !changes.moved.is_empty() {
        let names: Vec<&str> = changes.moved.iter().map(|moved| moved.assembly.as_str()).collect();
        all.push(format!("moved in the room: {}", names.join(", ")));
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
    all.extend(change.unless.map(|unless| looked_at(change, unless, units)));
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

/// What a look at pieces may save.
fn looked_at(change: &Change, unless: Unless, units: Units) -> String {
    let thick = change.differences.iter().find_map(|difference| match difference {
        Difference::Size { of: Overall::Thickness, new, .. } => Some(tell(*new, units)),
        _ => None,
    });
    let mut all = Vec::new();
    if let Some(thick) = thick.filter(|_| unless.measured) {
        all.push(format!("are {thick} thick by the caliper"));
    }
    if unless.undrilled {
        all.push("are not yet drilled for fixings".to_owned());
    }
    let then = match unless.pieces {
        Pieces::WorkOn(laid) => format!("can be worked on{}", laid_as(laid, units)),
        Pieces::CutDown(laid) => format!("can be cut down{}", laid_as(laid, units)),
        Pieces::Good | Pieces::Again => "are good".to_owned(),
    };
    format!("look first: pieces that {} {then}", all.join(" and "))
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
