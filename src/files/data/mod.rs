//! `job.json` and the CSV lists, from mirror structs of their own: the contract with other programs. A change here is a
//! change of that contract, whatever the rooms inside do. Lengths in millimetres.

mod cells;
mod cutting;
mod entries;
mod jigs;
mod lists;
mod loads;
mod nests;
mod supply;
mod supply_lists;

use entries::*;
pub use lists::parts_csv;
pub use nests::nests_csv;
pub use supply_lists::{boards_csv, buying_csv, settings_csv};

use super::cutting::Sent;
use crate::boards::{Arris, FixingKind, HoleKind, Other, Profile, SlotWay};
use crate::diagnose::{Diagnostic, Files, Severity};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::plans::Plans;
use crate::shape::{Outline, Point};
use crate::trade::{Face, FaceFrame, Grain, Position};
use crate::values::StockForm;

/// Version of the layout of `job.json`; raised when a field changes its meaning or goes.
pub const CONTRACT: u32 = 1;

/// The text of `job.json`, ending in a newline.
pub fn job_json(
    made: &Made,
    plans: &Plans,
    sent: &[Sent],
    diagnostics: &[Diagnostic],
    files: &Files,
) -> Result<Vec<u8>, String> {
    let titles = &made.job.titles;
    let dxf = (0..made.parts.len()).map(|id| {
        let mut files = sent.iter().filter_map(|sent| sent.file_of(plans, PartId(id)));
        files.next().map(|file| file.path.clone())
    });
    let file = JobFile {
        contract: CONTRACT,
        job: Titles {
            title: titles.title.clone(),
            number: titles.number.clone(),
            client: titles.client.clone(),
            date: titles.date.clone(),
            revision: titles.revision.clone(),
        },
        units: "mm",
        stock: stock(made),
        parts: made.parts.iter().zip(dxf).map(|(part, dxf)| part_entry(made, part, dxf)).collect(),
        boards: boards(made),
        joints: joints(made),
        fixings: fixings(made),
        nests: nests::nests(made, plans),
        cutting: cutting::shops(made, plans, sent),
        router_templates: jigs::jigs(made, plans),
        loads: loads::loads(made, &plans.loads),
        board_plans: supply::board_plans(made, plans),
        settings: supply::settings(made, plans),
        buying: supply::buying(plans),
        diagnostics: diagnostics.iter().map(|d| diagnostic(d, files)).collect(),
    };
    let mut bytes = serde_json::to_vec_pretty(&file).map_err(|fault| fault.to_string())?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn stock(made: &Made) -> Vec<StockEntry> {
    let entry = |s: &crate::values::Stock| StockEntry {
        name: s.name.clone(),
        called: s.called.clone(),
        species: s.species.clone(),
        thickness_mm: s.thick.to_mm(),
        sheet_mm: match s.form {
            StockForm::Sheet { width, length, .. } => Some([width.to_mm(), length.to_mm()]),
            StockForm::Solid { .. } => None,
        },
    };
    made.job.stock.iter().map(entry).collect()
}

fn part_entry(made: &Made, part: &Part, dxf: Option<String>) -> PartEntry {
    PartEntry {
        id: part.id.clone(),
        mark: part.mark.clone(),
        name: part.name.clone(),
        quantity: part.quantity,
        dxf,
        stock: made.job.stock.get(part.stock).map_or(String::new(), |s| s.name.clone()),
        thickness_mm: part.thick.to_mm(),
        width_mm: part.width.to_mm(),
        height_mm: part.height.to_mm(),
        grain: grain(part.grain),
        mirrored_of: part.mirrored_of.map(|p| part_id(made, p.0)),
        pair: part.pair.map(|p| part_id(made, p.0)),
        outline: outline(&part.as_cut()),
        inside: part.inside.iter().map(outline).collect(),
        inside_notes: part.inside_notes.clone(),
        pockets: part
            .pockets
            .iter()
            .map(|p| PocketEntry {
                outline: outline(&p.outline),
                depth_mm: p.depth.to_mm(),
                face: face(p.from),
                kind: p.kind.word(),
                note: p.note.clone(),
            })
            .collect(),
        drills: part
            .holes
            .iter()
            .map(|h| DrillEntry {
                at: point(h.at),
                diameter_mm: h.diameter.to_mm(),
                depth_mm: h.depth.map(Length::to_mm),
                from: face(h.from),
                countersink_mm: h.countersink.map(Length::to_mm),
                slot: h.slot.map(|s| SlotEntry {
                    along: if s.way == SlotWay::U { "x" } else { "y" },
                    length_mm: s.length.to_mm(),
                }),
                why: match h.why {
                    HoleKind::Asked => "asked",
                    HoleKind::Clearance => "clearance",
                    HoleKind::Pilot => "pilot",
                    HoleKind::Dowel => "dowel",
                },
                note: h.note.clone(),
            })
            .collect(),
        bores: part
            .bores
            .iter()
            .map(|b| BoreEntry {
                at: point(b.at),
                leaves: [b.leaves.x.to_mm(), b.leaves.y.to_mm(), b.leaves_depth.to_mm()],
                diameter_mm: b.diameter.to_mm(),
                degrees: b.degrees,
                from: face(b.from),
            })
            .collect(),
        edges: part
            .edges
            .iter()
            .map(|e| EdgeEntry {
                side: e.side.word(),
                from: point(e.from),
                to: point(e.to),
                profile: e.profile.map(|(p, arris)| profile(p, arris)),
                scribe_mm: e.scribe.to_mm(),
                finish: e.finish.clone(),
            })
            .collect(),
        bevels: part
            .bevels
            .iter()
            .map(|b| BevelEntry {
                from: point(b.from),
                to: point(b.to),
                run_mm: b.run.to_mm(),
                degrees: b.degrees,
                long_face: face(b.long),
            })
            .collect(),
        finish: part.finish.clone(),
        notes: part.notes.clone(),
    }
}

fn profile(profile: Profile, arris: Arris) -> ProfileEntry {
    let (kind, sizes) = match profile {
        Profile::Chamfer { along_face, down_edge } => ("chamfer", vec![along_face, down_edge]),
        Profile::Round { radius } => ("round", vec![radius]),
        Profile::Rebate { width, depth } => ("rebate", vec![width, depth]),
        Profile::Bevel { run } => ("bevel", vec![run]),
    };
    let arris = match arris {
        Arris::Show => "show",
        Arris::Back => "back",
        Arris::Both => "both",
    };
    ProfileEntry { kind, sizes_mm: sizes.into_iter().map(Length::to_mm).collect(), arris }
}

fn boards(made: &Made) -> Vec<BoardEntry> {
    made.placed
        .iter()
        .map(|placed| {
            let span = &placed.board.span;
            let FaceFrame { origin, u, v, into } = placed.frame;
            BoardEntry {
                name: placed.board.name.clone(),
                part: part_id(made, placed.part.0),
                assembly: made
                    .job
                    .assemblies
                    .get(placed.board.assembly)
                    .map_or(String::new(), |a| a.name.clone()),
                low_mm: span.map(|i| i.low.to_mm()),
                high_mm: span.map(|i| i.high.to_mm()),
                datum_mm: origin.map(Length::to_mm),
                x: u.word(),
                y: v.word(),
                depth: into.word(),
            }
        })
        .collect()
}

fn joints(made: &Made) -> Vec<JointEntry> {
    let entry = |joint: &crate::joints::Joint| JointEntry {
        kind: joint.verb.word(),
        first: board_name(made, Other::Board(joint.first)),
        second: board_name(made, joint.second),
        depth_mm: joint.depth.map(Length::to_mm),
        fit_mm: joint.fit.to_mm(),
        glue: joint.glue,
        note: joint.note.clone(),
    };
    made.joints.iter().map(entry).collect()
}

fn fixings(made: &Made) -> Vec<FixingEntry> {
    let entry = |fixing: &crate::joints::Fixing| FixingEntry {
        kind: FixingKind::word(fixing.kind),
        joint: fixing.joint,
        position_mm: position(fixing.head),
        axis: fixing.direction,
        length_mm: fixing.length.to_mm(),
        diameter_mm: fixing.diameter.to_mm(),
        gauge: fixing.gauge,
        through: board_name(made, Other::Board(fixing.through)),
        into: board_name(made, fixing.into),
    };
    made.fixings.iter().map(entry).collect()
}

fn diagnostic(diagnostic: &Diagnostic, files: &Files) -> DiagnosticEntry {
    let (line, column) = files.line_column(diagnostic.place);
    DiagnosticEntry {
        check: diagnostic.check,
        severity: match diagnostic.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Caution => "caution",
        },
        message: diagnostic.message.clone(),
        file: files.name(diagnostic.place.file).to_string(),
        line,
        column,
        cures: diagnostic.cures.iter().map(|c| c.text.clone()).collect(),
    }
}

fn board_name(made: &Made, other: Other) -> String {
    match other {
        Other::Board(id) => made.placed.get(id.0).map_or(String::new(), |p| p.board.name.clone()),
        Other::Wall => "wall".into(),
        Other::Floor => "floor".into(),
    }
}

fn part_id(made: &Made, part: usize) -> String {
    made.parts.get(part).map_or(String::new(), |p| p.id.clone())
}

fn outline(outline: &Outline) -> Vec<[f64; 3]> {
    outline.vertices().iter().map(|v| [v.at.x.to_mm(), v.at.y.to_mm(), v.bulge]).collect()
}

fn point(point: Point) -> [f64; 2] {
    [point.x.to_mm(), point.y.to_mm()]
}

fn position(at: Position) -> [f64; 3] {
    at.map(Length::to_mm)
}

fn face(face: Face) -> &'static str {
    match face {
        Face::Show => "show",
        Face::Back => "back",
    }
}

fn grain(grain: Grain) -> &'static str {
    match grain {
        Grain::AlongU => "x",
        Grain::AlongV => "y",
        Grain::Free => "free",
    }
}
