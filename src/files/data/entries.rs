//! The layout of `job.json`, field by field: mirror structs that follow no inner type.

use serde::Serialize;

use super::nests::NestEntry;
use super::supply::{BoardPlanEntry, BuyingEntry, SettingsEntry};

#[derive(Serialize)]
pub struct JobFile {
    pub contract: u32,
    pub job: Titles,
    pub units: &'static str,
    pub stock: Vec<StockEntry>,
    pub parts: Vec<PartEntry>,
    pub boards: Vec<BoardEntry>,
    pub joints: Vec<JointEntry>,
    pub fixings: Vec<FixingEntry>,
    pub nests: Vec<NestEntry>,
    pub cutting: Vec<super::cutting::ShopEntry>,
    pub router_templates: Vec<super::jigs::JigEntry>,
    pub loads: super::loads::LoadsEntry,
    pub board_plans: Vec<BoardPlanEntry>,
    pub settings: SettingsEntry,
    pub buying: BuyingEntry,
    pub diagnostics: Vec<DiagnosticEntry>,
}

#[derive(Serialize)]
pub struct Titles {
    pub title: String,
    pub number: String,
    pub client: String,
    pub date: String,
    pub revision: String,
}

#[derive(Serialize)]
pub struct StockEntry {
    pub name: String,
    pub called: Option<String>,
    pub species: Option<String>,
    pub thickness_mm: f64,
    pub sheet_mm: Option<[f64; 2]>,
}

#[derive(Serialize)]
pub struct PartEntry {
    pub id: String,
    pub mark: String,
    pub name: String,
    pub quantity: usize,
    /// Path of the part's DXF, from the job's folder; of several shops the first that cuts it. `null` where none does.
    pub dxf: Option<String>,
    pub stock: String,
    pub thickness_mm: f64,
    pub width_mm: f64,
    pub height_mm: f64,
    pub grain: &'static str,
    pub mirrored_of: Option<String>,
    pub pair: Option<String>,
    pub outline: Vec<[f64; 3]>,
    pub inside: Vec<Vec<[f64; 3]>>,
    /// Beside each of `inside`.
    pub inside_notes: Vec<Option<String>>,
    pub pockets: Vec<PocketEntry>,
    pub drills: Vec<DrillEntry>,
    pub bores: Vec<BoreEntry>,
    pub edges: Vec<EdgeEntry>,
    pub bevels: Vec<BevelEntry>,
    pub finish: Option<String>,
    pub notes: Vec<String>,
}

#[derive(Serialize)]
pub struct PocketEntry {
    pub outline: Vec<[f64; 3]>,
    pub depth_mm: f64,
    pub face: &'static str,
    pub kind: &'static str,
    pub note: Option<String>,
}

#[derive(Serialize)]
pub struct DrillEntry {
    pub at: [f64; 2],
    pub diameter_mm: f64,
    /// `null`: right through.
    pub depth_mm: Option<f64>,
    pub from: &'static str,
    pub countersink_mm: Option<f64>,
    /// Where the hole is a slot with round ends; `at` is its middle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slot: Option<SlotEntry>,
    #[serde(rename = "for")]
    pub why: &'static str,
    pub note: Option<String>,
}

#[derive(Serialize)]
pub struct BoreEntry {
    pub at: [f64; 2],
    pub leaves: [f64; 3],
    pub diameter_mm: f64,
    pub degrees: f64,
    pub from: &'static str,
}

#[derive(Serialize)]
pub struct EdgeEntry {
    pub side: &'static str,
    pub from: [f64; 2],
    pub to: [f64; 2],
    pub profile: Option<ProfileEntry>,
    pub scribe_mm: f64,
    pub finish: Option<String>,
}

#[derive(Serialize)]
pub struct ProfileEntry {
    pub kind: &'static str,
    /// Chamfer: along the face, down the edge. Round: radius. Rebate: width on the face, depth.
    pub sizes_mm: Vec<f64>,
    pub arris: &'static str,
}

#[derive(Serialize)]
pub struct BevelEntry {
    pub from: [f64; 2],
    pub to: [f64; 2],
    pub run_mm: f64,
    pub degrees: f64,
    pub long_face: &'static str,
}

#[derive(Serialize)]
pub struct BoardEntry {
    pub name: String,
    pub part: String,
    pub assembly: String,
    pub low_mm: [f64; 3],
    pub high_mm: [f64; 3],
    /// The room position of the part's datum corner on the show face.
    pub datum_mm: [f64; 3],
    /// Which way the part's x, y and depth run in the room.
    pub x: &'static str,
    pub y: &'static str,
    pub depth: &'static str,
}

#[derive(Serialize)]
pub struct JointEntry {
    pub kind: &'static str,
    pub first: String,
    pub second: String,
    pub depth_mm: Option<f64>,
    pub fit_mm: f64,
    pub glue: bool,
    pub note: Option<String>,
}

#[derive(Serialize)]
pub struct FixingEntry {
    pub kind: &'static str,
    pub joint: usize,
    pub position_mm: [f64; 3],
    pub axis: [f64; 3],
    pub length_mm: f64,
    pub diameter_mm: f64,
    pub gauge: Option<i64>,
    pub through: String,
    pub into: String,
}

/// A diagnostic with its place worked out.
#[derive(Serialize)]
pub struct DiagnosticEntry {
    pub check: &'static str,
    pub severity: &'static str,
    pub message: String,
    pub file: String,
    pub line: usize,
    pub column: usize,
    pub cures: Vec<String>,
}

#[derive(Serialize)]
pub struct SlotEntry {
    pub along: &'static str,
    pub length_mm: f64,
}
