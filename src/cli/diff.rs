//! What changed between two specs, as text or as data.

use serde_json::{Value, json};

use super::report;
use crate::length::Length;
use crate::revise::words::{Meaning, consequences, headline, told, went};
use crate::revise::{Change, Changes, Difference, Feature, Laid, Moved, Pieces};

/// The changes as data; lengths in millimetres, sentences in the units of the job.
pub fn data(changes: &Changes) -> Value {
    let issue = |issue: &crate::revise::Issue| {
        json!({
            "title": issue.title,
            "number": issue.number,
            "revision": issue.revision,
            "date": issue.date,
        })
    };
    json!({
        "units": "mm",
        "headline": headline(changes),
        "old": issue(&changes.old),
        "new": issue(&changes.new),
        "nothing_changed": changes.is_empty(),
        "moved": changes.moved.iter().map(|one| moved(changes, one)).collect::<Vec<_>>(),
        "parts": changes.parts.iter().map(|change| part(changes, change)).collect::<Vec<_>>(),
    })
}

fn moved(changes: &Changes, moved: &Moved) -> Value {
    let place = |at: [Length; 3], turns: u8| {
        let [left, front, floor] = at.map(|length| length.to_mm());
        json!({"from_left": left, "from_front": front, "from_floor": floor, "quarter_turns": turns})
    };
    json!({
        "assembly": moved.assembly,
        "old": place(moved.at.0, moved.turns.0),
        "new": place(moved.at.1, moved.turns.1),
        "words": went(moved, changes.units),
    })
}

fn part(changes: &Changes, change: &Change) -> Value {
    json!({
        "id": change.id,
        "mark": change.mark,
        "name": change.name,
        "meaning": Meaning::of(change).word(),
        "quantity": {"old": change.quantity.0, "new": change.quantity.1},
        "make": change.to_make(),
        "left_over": change.left_over(),
        "laid": change.pieces.and_then(laid),
        "unless": change.unless.map(|unless| json!({
            "measured": unless.measured,
            "undrilled": unless.undrilled,
            "laid": laid(unless.pieces),
        })),
        "differences": change.differences.iter().map(difference).collect::<Vec<_>>(),
        "words": told(change, changes.units),
        "do": consequences(change, changes.units),
    })
}

/// How an old piece lies under the new drawing, where it is worked on.
fn laid(pieces: Pieces) -> Option<Value> {
    let (Pieces::WorkOn(Laid { turn, datum }) | Pieces::CutDown(Laid { turn, datum })) = pieces else {
        return None;
    };
    let turn = match turn {
        crate::revise::Turn::None => "none",
        crate::revise::Turn::Round => "half-round",
        crate::revise::Turn::OverSideways => "over-sideways",
        crate::revise::Turn::OverEndways => "over-endways",
    };
    Some(json!({"turn": turn, "datum": [datum.x.to_mm(), datum.y.to_mm()]}))
}

fn difference(difference: &Difference) -> Value {
    let from_to = |what: &str, old: Value, new: Value| json!({"what": what, "old": old, "new": new});
    let mm = |length: &Length| json!(length.to_mm());
    match difference {
        Difference::Size { of, old, new } => from_to(of.word(), mm(old), mm(new)),
        Difference::Outline { corners, .. } => from_to("outline", json!(corners.0), json!(corners.1)),
        Difference::Work { old, new } => {
            let kind = new.as_ref().or(old.as_ref()).map_or("", |feature| feature.kind.word());
            let shown = |feature: &Option<Feature>| feature.as_ref().map_or(Value::Null, feature_data);
            from_to(kind, shown(old), shown(new))
        }
        Difference::Stock { old, new } => from_to("stock", json!(old), json!(new)),
        Difference::Grain { old, new } => {
            let axis = |grain: &crate::trade::Grain| match grain {
                crate::trade::Grain::AlongU => "x",
                crate::trade::Grain::AlongV => "y",
                crate::trade::Grain::Free => "free",
            };
            from_to("grain", json!(axis(old)), json!(axis(new)))
        }
        Difference::ShowFace { old, new } => from_to("show face", json!(old.word()), json!(new.word())),
        Difference::Turned { over } => json!({"what": "turned", "over": over}),
        Difference::Finish { old, new } => from_to("finish", json!(old), json!(new)),
        Difference::Notes => json!({"what": "notes"}),
        Difference::Quantity { old, new } => from_to("quantity", json!(old), json!(new)),
        Difference::Id { old, new } => from_to("id", json!(old), json!(new)),
        Difference::Mark { old, new } => from_to("mark", json!(old), json!(new)),
        Difference::Unnamed => json!({"what": "unnamed"}),
    }
}

fn feature_data(feature: &Feature) -> Value {
    let sizes: serde_json::Map<String, Value> =
        feature.sizes.iter().map(|(m, length)| (m.word().to_owned(), json!(length.to_mm()))).collect();
    json!({
        "for": feature.purpose,
        "at": [feature.at.x.to_mm(), feature.at.y.to_mm()],
        "sizes": sizes,
        "said": feature.said,
    })
}

/// The text for the terminal; what came from the specs is shown, never obeyed.
pub fn text(changes: &Changes) -> String {
    let lines = crate::revise::words::text(changes);
    lines.lines().map(|line| format!("{}\n", report::plain(line))).collect()
}
