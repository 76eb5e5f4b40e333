//! What a setting says in words, for the cutting order on paper. Figures stand as the sheet prints them.

use super::figures::Figures;
use crate::length::Length;
use crate::plans::settings::{Besides, Drilled, EdgeProfile, Recess, Set, Setting, Stage};

/// The setting in words: `fence 17.045`, `housing 6 1/2 from BOTTOM, 0.709 wide, 1/4 deep in RIGHT face`.
pub fn setting(setting: &Setting, figures: &Figures) -> String {
    let both = |length: Length| figures.print(length).both();
    match &setting.set {
        Set::Stop(length) => format!("stop {}", both(*length)),
        Set::Square => "one face flat, one edge square to it".to_owned(),
        Set::Fence(width) => format!("fence {}", both(*width)),
        Set::Tilt { thousandths } => format!("blade tilted {} off square", degrees(*thousandths)),
        Set::Height(thick) => format!("height {}", both(*thick)),
        Set::Shape => "outline by its template or drawing: sawn near the line, then routed".to_owned(),
        Set::Cut(recess) => cut(recess, &both),
        Set::Edge { profile, both: arrises } => {
            let which = if *arrises { "both arrises" } else { "one arris, as drawn" };
            format!("{}, {which}", edge(profile, &both))
        }
        Set::Drill(drilled) => drill(drilled, &both),
        Set::Scribe(left_on) => format!("{} left on to scribe", both(*left_on)),
    }
}

/// When: only what is not the final size is said.
pub fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Rough => "ROUGH",
        Stage::Final => "FINAL",
        Stage::Fit => "MEASURE IN PLACE, THEN CUT",
    }
}

fn degrees(thousandths: i64) -> String {
    Figures::degrees(thousandths as f64 / 1000.0)
}

fn cut(recess: &Recess, both: &dyn Fn(Length) -> String) -> String {
    let mut text = recess.what.to_owned();
    match recess.from {
        Some(side) if recess.stop.is_positive() => {
            text += &format!(
                ": stop {} from {} to the near side,",
                both(recess.stop),
                side.word().to_uppercase()
            );
        }
        Some(side) => text += &format!(": at {},", side.word().to_uppercase()),
        None => text += " by its template or drawing:",
    }
    text += &format!(" {} wide", both(recess.wide));
    match (recess.deep, recess.into) {
        (Some(deep), Some(side)) => {
            text += &format!(", {} deep into {}", both(deep), side.word().to_uppercase())
        }
        (Some(deep), None) => text += &format!(", {} deep", both(deep)),
        (None, _) => text += ", right through",
    }
    if let Some(bit) = recess.bit {
        text += &format!("; bit {}", both(bit));
        match recess.passes {
            0 => {}
            1 => text += ", 1 pass",
            many => text += &format!(", {many} passes at least"),
        }
    }
    text
}

fn edge(profile: &EdgeProfile, both: &dyn Fn(Length) -> String) -> String {
    match profile {
        EdgeProfile::Chamfer(along, down) if along == down => format!("chamfer {}", both(*along)),
        EdgeProfile::Chamfer(along, down) => {
            format!("chamfer {} along the face, {} down", both(*along), both(*down))
        }
        EdgeProfile::Round(radius) => format!("round R {}", both(*radius)),
        EdgeProfile::Rebate(width, depth) => format!("rebate {} wide, {} deep", both(*width), both(*depth)),
    }
}

fn drill(drilled: &Drilled, both: &dyn Fn(Length) -> String) -> String {
    let mut text = match drilled.lean_thousandths {
        0 if drilled.slot.is_some() => format!(
            "SLOT {} × {} across the grain, screw in the middle",
            both(drilled.diameter),
            both(drilled.slot.unwrap_or_default())
        ),
        0 => format!("drill Ø {}", both(drilled.diameter)),
        lean => format!("pocket jig at {}, step drill Ø {}", degrees(lean), both(drilled.diameter)),
    };
    match drilled.depth {
        Some(depth) => text += &format!(", {} deep", both(depth)),
        None if drilled.lean_thousandths == 0 => text += ", through",
        None => text += ", collar for the thickness below",
    }
    if drilled.into_edge {
        text += ", into the edge";
    }
    if let Some(head) = drilled.countersink {
        text += &format!(", countersunk Ø {}", both(head));
    }
    text
}

/// What has to be known about a piece besides its setting.
pub fn besides(all: &[Besides], figures: &Figures) -> String {
    let both = |length: Length| figures.print(length).both();
    let one = |besides: &Besides| match besides {
        Besides::Blank { across, along } => format!("blank {} × {}", both(*across), both(*along)),
        Besides::Short { side, by } => format!("stops {} short of {}", both(*by), side.word().to_uppercase()),
        Besides::At { side } => format!("{} side", side.word().to_uppercase()),
        Besides::Strips { of } => format!("strips, {of} to a panel"),
        Besides::Pieces { of } => format!("pieces, {of} to a run, long point to long point"),
        Besides::Scarf { lap } => {
            format!("ends for scarfs, laps of {}, both of a joint cut the same way", both(*lap))
        }
        Besides::TooWide => "WIDER THAN THE MACHINE: sled, hand plane or a shop with a wide one".to_owned(),
    };
    all.iter().map(one).collect::<Vec<_>>().join("; ")
}
