//! What the cutting shops are sent, as data: files with what lies in them and how, layers with what is done on them.

use serde::Serialize;

use super::part_id;
use crate::cutting::{Figures, Motion, Operation, Piece, nested, words};
use crate::files::cutting::{Holds, Sent};
use crate::length::{Length, Units};
use crate::parts::Made;
use crate::plans::Plans;
use crate::trade::Face;
use crate::values::Relief;

#[derive(Serialize)]
pub struct ShopEntry {
    /// Empty where the spec lists no cutting shop.
    pub name: String,
    /// `mm` or `inch`: the unit of the files' coordinates.
    pub units: &'static str,
    /// `R2000` or `R12`.
    pub version: &'static str,
    pub bit_mm: Option<f64>,
    /// `none`, `dog_bone` or `t_bone`.
    pub relief: &'static str,
    /// `longer` or `shorter`: the wall that a T-bone goes into.
    pub relief_wall: Option<&'static str>,
    pub layers: Vec<LayerEntry>,
    pub files: Vec<FileEntry>,
}

#[derive(Serialize)]
pub struct LayerEntry {
    pub layer: String,
    /// As the key under `layers` in the spec.
    pub operation: &'static str,
    pub face: Option<&'static str>,
    pub depth_mm: Option<f64>,
    pub diameter_mm: Option<f64>,
    /// Wood left standing at a tab.
    pub height_mm: Option<f64>,
}

#[derive(Serialize)]
pub struct FileEntry {
    pub file: String,
    /// `part`, `sheet`, `coupon` or `report`.
    pub holds: &'static str,
    /// Number of the sheet.
    pub sheet: Option<usize>,
    pub parts: Vec<LiesEntry>,
}

/// How a part lies in a file: turned by quarters to the left about its datum corner, which then lies at `at_mm`.
#[derive(Serialize)]
pub struct LiesEntry {
    pub part: String,
    pub quarter_turns: u8,
    pub at_mm: [f64; 2],
    /// How many tabs hold it.
    pub tabs: usize,
}

pub fn shops(made: &Made, plans: &Plans, sent: &[Sent]) -> Vec<ShopEntry> {
    sent.iter().map(|sent| shop(made, plans, sent)).collect()
}

fn shop(made: &Made, plans: &Plans, sent: &Sent) -> ShopEntry {
    let lies = |part: usize, motion: Motion| LiesEntry {
        part: part_id(made, part),
        quarter_turns: motion.quarters,
        at_mm: [motion.by.x.to_mm(), motion.by.y.to_mm()],
        tabs: sent.pieces.get(part).and_then(Option::as_ref).map_or(0, Piece::tabs),
    };
    let files = sent.files.iter().map(|file| {
        let (holds, sheet, parts) = match file.holds {
            Holds::Part(id) => {
                let piece = sent.pieces.get(id.0).and_then(Option::as_ref);
                let both = made.parts.get(id.0).zip(piece);
                let motion = both.map(|(part, piece)| words::motion(part, &sent.shop, piece));
                ("part", None, motion.map(|motion| lies(id.0, motion)).into_iter().collect())
            }
            Holds::Sheet { nest, sheet } => {
                let sheet = plans.nests.get(nest).and_then(|nest| nest.sheets.get(sheet));
                let parts = sheet.map(|sheet| {
                    let whole = nested::motion(&sent.shop, sheet);
                    let one = |part| lies(part_index(part), nested::part_motion(part).then(whole));
                    sheet.parts.iter().map(one).collect()
                });
                ("sheet", sheet.map(|sheet| sheet.number), parts.unwrap_or_default())
            }
            Holds::Coupon(_) => ("coupon", None, Vec::new()),
            Holds::Report => ("report", None, Vec::new()),
        };
        FileEntry { file: file.path.clone(), holds, sheet, parts }
    });
    ShopEntry {
        name: sent.shop.name.clone(),
        units: if sent.shop.units == Units::Inch { "inch" } else { "mm" },
        version: if sent.shop.r12 { "R12" } else { "R2000" },
        bit_mm: sent.shop.bit.map(Length::to_mm),
        relief: match sent.shop.relief {
            Relief::None => "none",
            Relief::DogBone => "dog_bone",
            Relief::TBoneLonger | Relief::TBoneShorter => "t_bone",
        },
        relief_wall: match sent.shop.relief {
            Relief::None | Relief::DogBone => None,
            Relief::TBoneLonger => Some("longer"),
            Relief::TBoneShorter => Some("shorter"),
        },
        layers: layers(sent),
        files: files.collect(),
    }
}

fn part_index(nested: &crate::plans::nests::NestedPart) -> usize {
    nested.part.0
}

fn layers(sent: &Sent) -> Vec<LayerEntry> {
    let entry = |(layer, operation): (String, Operation)| {
        let Figures { face, depth, diameter, height } = operation.figures();
        LayerEntry {
            layer,
            operation: operation.kind().word(),
            face: face.map(|face| if face == Face::Show { "show" } else { "back" }),
            depth_mm: depth.map(Length::to_mm),
            diameter_mm: diameter.map(Length::to_mm),
            height_mm: height.map(Length::to_mm),
        }
    };
    sent.layers().into_iter().map(entry).collect()
}
