//! Boards, cutting order and buying list as data: the keys `board_plans`, `settings` and `buying` of `job.json`. Lengths in
//! millimetres, money with its point.

use num_rational::Ratio;
use num_traits::ToPrimitive;
use serde::Serialize;

use super::lists::number;
use super::part_id;
use crate::length::{Length, Units};
use crate::parts::Made;
use crate::plans::Plans;
use crate::plans::boards::{BoardPlan, Sold};
use crate::plans::lanes::{Board, Lane};
use crate::plans::settings::{Besides, Drilled, EdgeProfile, Set, Setting, Work};
use crate::trade::Side;
use crate::trade::money::Money;

/// Boards and sticks of one stock.
#[derive(Serialize)]
pub struct BoardPlanEntry {
    pub stock: String,
    /// `random`, `widths` or `sticks`.
    pub sold: &'static str,
    pub rough_mm: f64,
    pub rough_called: String,
    /// `board_feet` or `cubic_metres`.
    pub measure: &'static str,
    pub net: Option<f64>,
    pub waste: Option<f64>,
    pub with_waste: Option<f64>,
    pub laid_out: Option<f64>,
    pub strips: Vec<StripEntry>,
    pub boards: Vec<BoardToPick>,
    /// Sticks to spare: width and length.
    pub spare_mm: Vec<[f64; 2]>,
}

#[derive(Serialize)]
pub struct StripEntry {
    pub part: String,
    /// How many make one part.
    pub to_a_part: i64,
    pub quantity: usize,
    pub width_mm: f64,
    pub length_mm: f64,
    pub rough_width_mm: f64,
    pub rough_length_mm: f64,
    pub to_fit: bool,
    /// Where the laps of a run begin, from the datum end of the part, and how long each is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub laps_from_mm: Vec<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lap_mm: Option<f64>,
}

#[derive(Serialize)]
pub struct BoardToPick {
    pub width_mm: f64,
    pub length_mm: f64,
    pub lanes: Vec<LaneEntry>,
}

#[derive(Serialize)]
pub struct LaneEntry {
    pub from_mm: f64,
    pub width_mm: f64,
    pub offcut_mm: f64,
    pub pieces: Vec<PieceEntry>,
}

#[derive(Serialize)]
pub struct PieceEntry {
    pub part: String,
    pub from_mm: f64,
    pub length_mm: f64,
    /// In the rough; ripped to it once it has been cut off, where the lane is wider.
    pub width_mm: f64,
}

#[derive(Serialize)]
pub struct SettingsEntry {
    /// Numbers of the sheets that are cut by their own cut lists.
    pub sheets: Vec<usize>,
    pub list: Vec<SettingEntry>,
}

#[derive(Serialize)]
pub struct SettingEntry {
    pub machine: &'static str,
    pub stage: &'static str,
    /// What is set: `stop`, `fence`, `height`, `tilt`, `square`, `shape`, `cut`, `edge`, `drill` or `scribe`.
    pub set: &'static str,
    pub what: &'static str,
    /// Stop, fence or height; of a cut from the end that lies against the stop to its near side.
    pub figure_mm: Option<f64>,
    pub degrees: Option<f64>,
    pub from: Option<&'static str>,
    pub wide_mm: Option<f64>,
    pub deep_mm: Option<f64>,
    pub into: Option<&'static str>,
    pub bit_mm: Option<f64>,
    pub passes: Option<i64>,
    pub countersink_mm: Option<f64>,
    /// Over all, of a slot in which a screw travels.
    pub slot_length_mm: Option<f64>,
    pub work: Vec<WorkEntry>,
}

#[derive(Serialize)]
pub struct WorkEntry {
    pub part: String,
    pub count: usize,
    pub length_mm: f64,
    pub besides: Vec<String>,
}

#[derive(Serialize)]
pub struct BuyingEntry {
    pub currency: String,
    pub lines: Vec<LineEntry>,
    pub net: Option<String>,
    pub margin: Option<String>,
    pub tax: Option<String>,
    pub total: Option<String>,
    /// Lines without a price, which no sum holds.
    pub unpriced: Option<usize>,
}

#[derive(Serialize)]
pub struct LineEntry {
    pub kind: &'static str,
    pub item: String,
    pub quantity: f64,
    pub unit: String,
    pub needs: String,
    pub each: Option<String>,
    pub sum: Option<String>,
}

pub fn board_plans(made: &Made, plans: &Plans) -> Vec<BoardPlanEntry> {
    plans.boards.iter().map(|plan| board_plan(made, plan)).collect()
}

fn float(number: Option<Ratio<i128>>) -> Option<f64> {
    // To six decimals, so that no tail of a division stands in the file.
    number.and_then(|number| {
        Some((number * Ratio::from_integer(1_000_000)).round().to_integer().to_f64()? / 1e6)
    })
}

pub(super) fn stock_name(made: &Made, stock: usize) -> String {
    made.job.stock.get(stock).map(|of| of.name.clone()).unwrap_or_default()
}

fn sold(plan: &BoardPlan) -> &'static str {
    match plan.sold {
        Sold::Random => "random",
        Sold::Widths => "widths",
        Sold::Sticks => "sticks",
    }
}

fn board_plan(made: &Made, plan: &BoardPlan) -> BoardPlanEntry {
    let part =
        |strip: usize| plan.strips.get(strip).map_or(String::new(), |strip| part_id(made, strip.part.0));
    let lane = |lane: &Lane| LaneEntry {
        from_mm: lane.from.to_mm(),
        width_mm: lane.width.to_mm(),
        offcut_mm: lane.offcut.to_mm(),
        pieces: lane
            .pieces
            .iter()
            .map(|piece| PieceEntry {
                part: part(piece.strip),
                from_mm: piece.from.to_mm(),
                length_mm: piece.length.to_mm(),
                width_mm: piece.width.to_mm(),
            })
            .collect(),
    };
    let strip = |strip: &crate::plans::boards::Strip| StripEntry {
        part: part_id(made, strip.part.0),
        to_a_part: strip.of,
        quantity: strip.quantity,
        width_mm: strip.width.to_mm(),
        length_mm: strip.length.to_mm(),
        rough_width_mm: strip.rough_width.to_mm(),
        rough_length_mm: strip.rough_length.to_mm(),
        to_fit: strip.to_fit,
        laps_from_mm: strip.run.iter().flat_map(|run| &run.laps).map(|lap| lap.to_mm()).collect(),
        lap_mm: strip.run.as_ref().map(|run| run.lap.to_mm()),
    };
    let board = |board: &Board| BoardToPick {
        width_mm: board.width.to_mm(),
        length_mm: board.length.to_mm(),
        lanes: board.lanes.iter().map(lane).collect(),
    };
    BoardPlanEntry {
        stock: stock_name(made, plan.stock),
        sold: sold(plan),
        rough_mm: plan.rough.to_mm(),
        rough_called: plan.rough_called.clone(),
        measure: if made.job.units == Units::Inch { "board_feet" } else { "cubic_metres" },
        net: float(plan.net),
        waste: float(Some(plan.waste)),
        with_waste: float(plan.with_waste),
        laid_out: float(plan.laid),
        strips: plan.strips.iter().map(strip).collect(),
        boards: plan.boards.iter().map(board).collect(),
        spare_mm: plan.spare.iter().map(|(width, length)| [width.to_mm(), length.to_mm()]).collect(),
    }
}

pub fn settings(made: &Made, plans: &Plans) -> SettingsEntry {
    let list = plans.settings.all.iter().map(|setting| setting_entry(made, setting)).collect();
    SettingsEntry { sheets: plans.settings.sheets.clone(), list }
}

pub(super) fn setting_entry(made: &Made, setting: &Setting) -> SettingEntry {
    let mm = |length: Length| Some(length.to_mm());
    let mut entry = SettingEntry {
        machine: setting.machine.word(),
        stage: setting.stage.word(),
        set: "",
        what: "",
        figure_mm: None,
        degrees: None,
        from: None,
        wide_mm: None,
        deep_mm: None,
        into: None,
        bit_mm: None,
        passes: None,
        countersink_mm: None,
        slot_length_mm: None,
        work: setting.work.iter().map(|work| work_entry(made, work)).collect(),
    };
    match setting.set {
        Set::Stop(length) => (entry.set, entry.figure_mm) = ("stop", mm(length)),
        Set::Square => entry.set = "square",
        Set::Shape => entry.set = "shape",
        Set::Fence(width) => (entry.set, entry.figure_mm) = ("fence", mm(width)),
        Set::Tilt { thousandths } => (entry.set, entry.degrees) = ("tilt", Some(thousandths as f64 / 1000.0)),
        Set::Height(thick) => (entry.set, entry.figure_mm) = ("height", mm(thick)),
        Set::Scribe(left_on) => (entry.set, entry.figure_mm) = ("scribe", mm(left_on)),
        Set::Cut(cut) => {
            (entry.set, entry.what) = ("cut", cut.what);
            entry.figure_mm = cut.from.and_then(|_| mm(cut.stop));
            (entry.from, entry.into) = (cut.from.map(Side::word), cut.into.map(Side::word));
            (entry.wide_mm, entry.deep_mm) = (mm(cut.wide), cut.deep.map(Length::to_mm));
            (entry.bit_mm, entry.passes) =
                (cut.bit.map(Length::to_mm), (cut.passes > 0).then_some(cut.passes));
        }
        Set::Edge { profile, both } => {
            entry.set = "edge";
            let (what, sizes) = match profile {
                EdgeProfile::Chamfer(along, down) => ("chamfer", (along, down)),
                EdgeProfile::Round(radius) => ("round", (radius, radius)),
                EdgeProfile::Rebate(width, depth) => ("rebate", (width, depth)),
            };
            (entry.what, entry.wide_mm, entry.deep_mm) = (what, mm(sizes.0), mm(sizes.1));
            entry.passes = both.then_some(2);
        }
        Set::Drill(Drilled { diameter, depth, countersink, slot, lean_thousandths, into_edge }) => {
            let what = if slot.is_some() { "slot" } else { "" };
            (entry.set, entry.what) = ("drill", if into_edge { "into the edge" } else { what });
            entry.slot_length_mm = slot.map(Length::to_mm);
            entry.wide_mm = mm(diameter);
            entry.deep_mm = depth.map(Length::to_mm);
            entry.countersink_mm = countersink.map(Length::to_mm);
            entry.degrees = (lean_thousandths != 0).then_some(lean_thousandths as f64 / 1000.0);
        }
    }
    entry
}

fn work_entry(made: &Made, work: &Work) -> WorkEntry {
    let said = |besides: &Besides| match besides {
        Besides::Blank { across, along } => format!("blank {} x {} mm", number(*across), number(*along)),
        Besides::Short { side, by } => format!("stops {} mm short of {}", number(*by), side.word()),
        Besides::At { side } => format!("{} side", side.word()),
        Besides::Strips { of } => format!("strips, {of} to a panel"),
        Besides::Pieces { of } => format!("pieces, {of} to a run, long point to long point"),
        Besides::Scarf { lap } => format!("ends for scarfs, laps of {} mm", number(*lap)),
        Besides::TooWide => "wider than the machine".to_owned(),
    };
    WorkEntry {
        part: part_id(made, work.part.0),
        count: work.count,
        length_mm: work.length.to_mm(),
        besides: work.besides.iter().map(said).collect(),
    }
}

pub fn buying(plans: &Plans) -> BuyingEntry {
    let of = &plans.buying;
    let sums = of.sums.as_ref();
    let told = |money: Money| money.to_string();
    BuyingEntry {
        currency: of.currency.clone(),
        lines: of
            .lines
            .iter()
            .map(|line| LineEntry {
                kind: line.kind.word(),
                item: line.item.clone(),
                quantity: float(Some(line.quantity)).unwrap_or_default(),
                unit: line.unit.clone(),
                needs: line.needs.clone(),
                each: line.each.map(told),
                sum: line.sum.map(told),
            })
            .collect(),
        net: sums.map(|sums| told(sums.net)),
        margin: sums.and_then(|sums| sums.margin).map(|(_, sum)| told(sum)),
        tax: sums.and_then(|sums| sums.tax).map(|(_, sum)| told(sum)),
        total: sums.map(|sums| told(sums.total)),
        unpriced: sums.map(|sums| sums.unpriced),
    }
}
