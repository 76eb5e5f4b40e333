//! What the spec asks of the joints: names become boards, every pair of a line one [`Asked`]. Knows no overlap; whether
//! two boards meet at all is found in `joints`.

use std::collections::BTreeMap;

use super::layout::entry_named;
use super::{Asked, BoardId, Fix, FixingKind, Other, Verb};
use crate::diagnose::{Diagnostic, Place, nearest};
use crate::length::Length;
use crate::spec::language::{FixSpec, FixingChoice, JointSpec, StoppedSpec};
use crate::spec::read::{BoardName, OneOrMany};
use crate::trade::Side;
use crate::values::formula::as_whole;
use crate::values::solver::{Entry, Scope, Solver};

/// Most pairs of boards that the joints of a job may name: far beyond any real job, and soon counted.
const MOST_PAIRS: usize = 200_000;

/// The boards of each entry; `None` for an entry of which a board failed: what names it stays quiet.
#[derive(Debug, Default)]
pub struct Named {
    pub boards: BTreeMap<Entry, Option<Vec<BoardId>>>,
}

/// Works out the joints of an assembly, sides as the spec names them.
pub fn joints(solver: &mut Solver, assembly: usize, named: &Named, asked: &mut Vec<Asked>) {
    let body = &solver.assembly(assembly).body;
    for joint in &body.joints {
        if let Some(found) = one_joint(solver, assembly, joint, named) {
            if asked.len() + found.len() > MOST_PAIRS {
                let message = format!("the joints name more than {MOST_PAIRS} pairs of boards");
                solver.faults.push(
                    Diagnostic::error("too-many", joint.place, message)
                        .propose("name fewer boards in one joint, or fewer boards in all"),
                );
                return;
            }
            asked.extend(found);
        }
    }
}

struct Line<'s> {
    verb: Verb,
    key: &'static str,
    first: &'s OneOrMany<BoardName>,
    partner: &'static str,
    second: &'s OneOrMany<BoardName>,
}

/// The verb of a joint with its partner key.
fn line<'s>(solver: &mut Solver, joint: &'s JointSpec) -> Option<Line<'s>> {
    let verbs = [
        (Verb::Notch, "notch", &joint.notch, "around", &joint.around),
        (Verb::Halve, "halve", &joint.halve, "with", &joint.with),
        (Verb::House, "house", &joint.house, "in", &joint.r#in),
        (Verb::Butt, "butt", &joint.butt, "against", &joint.against),
        (Verb::Mitre, "mitre", &joint.mitre, "with", &joint.with),
    ];
    let known = "notch … around, halve … with, house … in, butt … against, mitre … with";
    let there = |key: &str, list: &OneOrMany<BoardName>| !list.0.is_empty() || joint.keys.key(key).is_some();
    let given: Vec<_> = verbs.iter().filter(|(_, key, list, ..)| there(key, list)).collect();
    let fault = |message: String, cure: String, place: Option<Place>| {
        Diagnostic::error("joint-words", place.unwrap_or(joint.place), message).propose(cure)
    };
    let (verb, key, first, partner, second) = match given.as_slice() {
        [one] => **one,
        [] => {
            let message = "this joint does not say what is done to the first board".to_owned();
            solver.faults.push(fault(message, format!("write one of {known}"), None));
            return None;
        }
        [(_, one, ..), (_, other, ..), ..] => {
            let message = format!("`{one}` and `{other}` stand in one joint");
            let cure = "make two joints of it, each in a line of its own".to_owned();
            solver.faults.push(fault(message, cure, joint.keys.key(other)));
            return None;
        }
    };
    let mut good = true;
    for (word, list) in
        [("around", &joint.around), ("with", &joint.with), ("in", &joint.r#in), ("against", &joint.against)]
    {
        if word != partner && there(word, list) {
            let message = format!("`{key}` goes with `{partner}`, not with `{word}`");
            solver.faults.push(fault(
                message,
                format!("write `{partner}` for `{word}`"),
                joint.keys.key(word),
            ));
            good = false;
        }
    }
    if good && !there(partner, second) {
        let message = format!("`{key}` does not say {partner} what");
        solver.faults.push(fault(message, format!("add `{partner}: …`"), joint.keys.key(key)));
        good = false;
    }
    for (word, only, is) in [
        ("stopped", Verb::House, joint.stopped.is_some()),
        ("cut_from", Verb::Halve, joint.cut_from.is_some()),
    ] {
        if is && verb != only {
            let message = format!("`{word}` is for a {}, not for a {}", only.word(), verb.word());
            solver.faults.push(fault(message, format!("leave `{word}` out"), joint.keys.key(word)));
            good = false;
        }
    }
    good.then_some(Line { verb, key, first, partner, second })
}

fn one_joint(solver: &mut Solver, assembly: usize, joint: &JointSpec, named: &Named) -> Option<Vec<Asked>> {
    let line = line(solver, joint);
    let scope = Scope::of(assembly);
    let fit = match &joint.fit {
        Some(fit) => solver.not_negative(fit, scope, "the fit of a joint"),
        None => Some(Length::ZERO),
    };
    let stopped = match &joint.stopped {
        Some(spec) => stopped(solver, spec, scope),
        None => Some(Vec::new()),
    };
    let fixes: Vec<Option<Fix>> = joint.fix.0.iter().map(|spec| fix(solver, spec, scope)).collect();
    let fix: Option<Vec<Fix>> = fixes.into_iter().collect();
    let line = line?;
    let first = others(solver, assembly, line.first, named, line.key, false);
    let second = others(solver, assembly, line.second, named, line.partner, line.verb == Verb::Butt);
    let (first, second) = (first?, second?);
    let (fit, stopped, fix) = (fit?, stopped?, fix?);
    if first.len().saturating_mul(second.len()) > MOST_PAIRS {
        let message = format!("this joint names {} times {} boards", first.len(), second.len());
        solver.faults.push(
            Diagnostic::error("too-many", joint.place, message).propose("name fewer boards in one joint"),
        );
        return None;
    }
    let one_of_many = first.len() * second.len() > 1;
    let mut found = Vec::new();
    for one in &first {
        let Other::Board(board) = one else { continue };
        for other in &second {
            if one == other {
                if !one_of_many {
                    let message = format!("a {} of a board with itself", line.verb.word());
                    let fault = Diagnostic::error("joint-words", joint.place, message);
                    solver.faults.push(fault.propose("name two boards"));
                }
                continue;
            }
            found.push(Asked {
                joint: line.verb,
                first: *board,
                second: *other,
                fit,
                stopped: stopped.clone(),
                cut_from: joint.cut_from.map(super::profile::side),
                fix: fix.clone(),
                note: joint.note.as_ref().map(|note| note.text.clone()),
                place: joint.place,
                one_of_many,
            });
        }
    }
    Some(found)
}

/// The boards that a list names, wall and floor where they may stand. Boards that are not there fall away; `None` where
/// a fault was told.
fn others(
    solver: &mut Solver,
    assembly: usize,
    list: &OneOrMany<BoardName>,
    named: &Named,
    key: &str,
    house: bool,
) -> Option<Vec<Other>> {
    let mut found = Vec::new();
    let mut whole = true;
    for words in &list.0 {
        let outside = match words.text.as_str() {
            "wall" => Some(Other::Wall),
            "floor" => Some(Other::Floor),
            _ => None,
        };
        match outside {
            Some(outside) if house => found.push(outside),
            Some(_) => {
                let message = format!("the {} cannot stand under `{key}`", words.text);
                solver.faults.push(
                    Diagnostic::error("joint-words", words.place, message)
                        .propose(format!("write `butt: …, against: {}`", words.text)),
                );
                whole = false;
            }
            None => match boards_named(solver, assembly, words, named) {
                Some(boards) => found.extend(boards.into_iter().map(Other::Board)),
                None => whole = false,
            },
        }
    }
    let mut once = Vec::new();
    let mut seen = std::collections::BTreeSet::new();
    for other in found {
        if seen.insert(other) {
            once.push(other);
        }
    }
    whole.then_some(once)
}

/// The boards behind `divider`, `divider[2]`, `wall.panel` or `wall.panel[2]`; `None` where a fault was told.
pub fn boards_named(
    solver: &mut Solver,
    assembly: usize,
    words: &BoardName,
    named: &Named,
) -> Option<Vec<BoardId>> {
    let (home, part, index) = split(solver, assembly, words)?;
    let entry = entry_named(solver, home, part, words.place)?;
    let boards = named.boards.get(&entry)?.as_ref()?;
    let Some(index) = index else { return Some(boards.clone()) };
    if boards.is_empty() {
        return Some(Vec::new());
    }
    match index.checked_sub(1).and_then(|index| boards.get(index)) {
        Some(board) => Some(vec![*board]),
        None => {
            let message = match boards.len() {
                1 => format!("{part} is one board; there is no {part}[{index}]"),
                many => format!("{part} counts 1 to {many}; there is no {part}[{index}]"),
            };
            solver.faults.push(
                Diagnostic::error("no-such-board", words.place, message)
                    .propose(format!("write a number from 1 to {}", boards.len())),
            );
            None
        }
    }
}

fn split<'w>(
    solver: &mut Solver,
    assembly: usize,
    words: &'w BoardName,
) -> Option<(usize, &'w str, Option<usize>)> {
    let text = words.text.trim();
    let (text, index) = match text.split_once('[') {
        None => (text, None),
        Some((before, after)) => match after.strip_suffix(']').and_then(|n| n.trim().parse::<usize>().ok()) {
            Some(number) => (before.trim_end(), Some(number)),
            None => {
                let message = format!("`{text}` is no name of a board");
                solver.faults.push(
                    Diagnostic::error("not-a-board-name", words.place, message)
                        .propose(format!("write a whole number between the brackets: `{before}[1]`")),
                );
                return None;
            }
        },
    };
    let Some((home, part)) = text.split_once('.') else { return Some((assembly, text, index)) };
    let spec = solver.spec;
    let Some(home_number) = spec.assemblies.iter().position(|named| named.name == home) else {
        let known = spec.assemblies.iter().map(|named| named.name.as_str());
        let fault =
            Diagnostic::error("unknown-part", words.place, format!("there is no assembly called `{home}`"));
        solver.faults.push(match nearest(home, known) {
            Some(near) => fault.propose(format!("write `{near}.{part}`, if that is meant")),
            None => fault.propose("name a part of this assembly, or `ASSEMBLY.PART`"),
        });
        return None;
    };
    Some((home_number, part, index))
}

fn stopped(solver: &mut Solver, spec: &StoppedSpec, scope: Scope) -> Option<Vec<(Side, Length)>> {
    let all = [
        (Side::Left, &spec.left),
        (Side::Right, &spec.right),
        (Side::Front, &spec.front),
        (Side::Back, &spec.back),
        (Side::Bottom, &spec.bottom),
        (Side::Top, &spec.top),
    ];
    let mut found = Vec::new();
    let mut whole = true;
    for (side, formula) in all {
        let Some(formula) = formula else { continue };
        match solver.not_negative(formula, scope, &format!("stopped short of the {}", side.word())) {
            Some(short) if short.is_positive() => found.push((side, short)),
            Some(_) => {}
            None => whole = false,
        }
    }
    whole.then_some(found)
}

fn fix(solver: &mut Solver, spec: &FixSpec, scope: Scope) -> Option<Fix> {
    let by = match spec.by {
        FixingChoice::Screws => FixingKind::Screws,
        FixingChoice::PocketScrews => FixingKind::PocketScrews,
        FixingChoice::Staples => FixingKind::Staples,
        FixingChoice::Brads => FixingKind::Brads,
        FixingChoice::Dowels => FixingKind::Dowels,
        FixingChoice::Glue => FixingKind::Glue,
    };
    let word = by.word();
    let mut length = |formula: &Option<_>, what: &str| match formula {
        Some(formula) => solver.positive(formula, scope, &format!("{what} of a {word}")).map(Some),
        None => Some(None),
    };
    let found = length(&spec.length, "length");
    let spacing = length(&spec.spacing, "spacing");
    let ends = length(&spec.ends, "distance from the end");
    let size = size(solver, spec, by, scope);
    let count = match &spec.count {
        Some(formula) => counted(solver, formula, scope, word).map(Some),
        None => Some(None),
    };
    let (diameter, gauge) = size?;
    Some(Fix {
        by,
        length: found?,
        diameter,
        gauge,
        count: count?,
        spacing: spacing?,
        ends: ends?,
        from: spec.from.map(super::profile::side),
        slots: spec.slots.is_some_and(|flag| flag.on),
        place: spec.place,
    })
}

fn counted(
    solver: &mut Solver,
    formula: &crate::spec::read::Formula,
    scope: Scope,
    word: &str,
) -> Option<i64> {
    let count = solver.whole(formula, scope)?;
    if (1..=10_000).contains(&count) {
        return Some(count);
    }
    let message = format!("{count} of one {word} in a contact; it must be 1 to 10 000");
    solver.faults.push(
        Diagnostic::error("negative-count", formula.place, message)
            .propose("leave it out and the rules decide"),
    );
    None
}

/// Diameter of a dowel, or gauge of a screw.
fn size(
    solver: &mut Solver,
    spec: &FixSpec,
    by: FixingKind,
    scope: Scope,
) -> Option<(Option<Length>, Option<i64>)> {
    let Some(formula) = &spec.size else { return Some((None, None)) };
    match by {
        FixingKind::Dowels => {
            solver.positive(formula, scope, "diameter of a dowel").map(|diameter| (Some(diameter), None))
        }
        FixingKind::Screws | FixingKind::PocketScrews => {
            let (value, expr) = solver.value(formula, scope)?;
            let gauge = as_whole(&value, &expr).ok().filter(|gauge| (0..=24).contains(gauge));
            if gauge.is_none() {
                let told = value.tell(solver.units);
                let message = format!("the size of a screw is its gauge number, 0 to 24, but this is {told}");
                solver.faults.push(
                    Diagnostic::error("fixing-size", formula.place, message)
                        .propose("write `size: 8` for a #8"),
                );
            }
            gauge.map(|gauge| (None, Some(gauge)))
        }
        _ => {
            let message = format!("a {} has no `size`", by.word());
            solver
                .faults
                .push(Diagnostic::error("fixing-size", formula.place, message).propose("leave `size` out"));
            None
        }
    }
}
