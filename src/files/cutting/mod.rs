//! What the cutting shops are sent: which files there are, what each is called, and their bytes.

mod package;
mod report;

pub use package::package;

use std::collections::{BTreeMap, BTreeSet};

use super::{Names, dxf, safe};
use crate::cutting::{self, Operation, Piece, coupon, layers, nested, words};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::plans::Plans;
use crate::plans::nests::{Nest, NestSheet};
use crate::values::{CutText, CuttingShop, LayerKind};

/// Everything that one shop is sent.
#[derive(Clone, Debug, PartialEq)]
pub struct Sent {
    pub shop: CuttingShop,
    /// What is cut of each part, in the order of the parts; `None` for those that the shop does not cut.
    pub pieces: Vec<Option<Piece>>,
    pub files: Vec<CutFile>,
}

/// A file of a cutting shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutFile {
    /// Path inside the job's folder.
    pub path: String,
    pub holds: Holds,
}

/// What a file shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    Part(PartId),
    /// A sheet of a nest, by their numbers in [`Plans::nests`] and [`Nest::sheets`].
    Sheet {
        nest: usize,
        sheet: usize,
    },
    /// The coupon of a stock.
    Coupon(usize),
    Report,
}

/// The folder of a shop inside the job's.
pub fn folder(shop: &CuttingShop) -> String {
    if shop.name.is_empty() { "dxf".to_owned() } else { format!("dxf/{}", safe(&shop.name)) }
}

/// What each shop is sent, each file with a name of its own.
///
/// # Errors
/// Where a drawing is not clean: the checks told of it before, and nothing of it is ever written.
pub fn sent(made: &Made, plans: &Plans) -> Result<Vec<Sent>, String> {
    let mut names = Names::new();
    cutting::shops(made).into_iter().map(|shop| of_shop(made, plans, shop, &mut names)).collect()
}

fn of_shop(made: &Made, plans: &Plans, shop: CuttingShop, names: &mut Names) -> Result<Sent, String> {
    let mut pieces = Vec::with_capacity(made.parts.len());
    for part in &made.parts {
        if !shop.cuts(part.stock) {
            pieces.push(None);
            continue;
        }
        let (piece, faults) = cutting::piece(made, part, &shop);
        if let Some(fault) = faults.first() {
            return Err(fault.message.clone());
        }
        pieces.push(Some(piece));
    }
    let folder = folder(&shop);
    let mut files = Vec::new();
    let mut laid: BTreeSet<PartId> = BTreeSet::new();
    for (index, nest) in
        plans.nests.iter().enumerate().filter(|(_, nest)| shop.nested && shop.cuts(nest.stock))
    {
        for (number, sheet) in nest.sheets.iter().enumerate() {
            let path = names.give(&folder, &sheet_stem(made, &shop, nest, sheet), "dxf");
            files.push(CutFile { path, holds: Holds::Sheet { nest: index, sheet: number } });
            laid.extend(sheet.parts.iter().map(|nested| nested.part));
        }
    }
    for (id, part) in made.parts.iter().enumerate() {
        if shop.cuts(part.stock) && !laid.contains(&PartId(id)) {
            let path = names.give(&folder, &stem(made, part, &shop), "dxf");
            files.push(CutFile { path, holds: Holds::Part(PartId(id)) });
        }
    }
    if !shop.name.is_empty() {
        let used: BTreeSet<usize> =
            made.parts.iter().map(|part| part.stock).filter(|stock| shop.cuts(*stock)).collect();
        for stock in used {
            let name = made.job.stock.get(stock).map_or("stock", |stock| stock.name.as_str());
            if matches!(coupon::coupon(made, &shop, stock), Some(Ok(_))) {
                // R12 has no place for the unit inside.
                let unit =
                    if shop.r12 { format!("_{}", words::unit_word(shop.units)) } else { String::new() };
                let path = names.give(&folder, &format!("coupon-{name}{unit}"), "dxf");
                files.push(CutFile { path, holds: Holds::Coupon(stock) });
            }
        }
        files.push(CutFile { path: names.give(&folder, "REPORT", "txt"), holds: Holds::Report });
    }
    Ok(Sent { shop, pieces, files })
}

impl Sent {
    /// The layers of the shop's files with what is done on each, by name; those that are not cut may share one.
    pub fn layers(&self) -> Vec<(String, Operation)> {
        let beside = [
            (self.shop.text != CutText::None, Operation::Text),
            (self.shop.reference, Operation::Reference),
            (self.files.iter().any(|file| matches!(file.holds, Holds::Sheet { .. })), Operation::Sheet),
            (self.files.iter().any(|file| matches!(file.holds, Holds::Coupon(_))), Operation::Label),
        ];
        let beside = beside.into_iter().filter(|(drawn, _)| *drawn).map(|(_, operation)| operation);
        let beside = beside.map(|operation| (layers::name(&self.shop, operation), operation));
        let shapes = self.pieces.iter().flatten().flat_map(|piece| &piece.shapes);
        let mut all: BTreeMap<(String, LayerKind), Operation> = BTreeMap::new();
        for (layer, operation) in shapes.map(|shape| (shape.layer.clone(), shape.operation)).chain(beside) {
            // Depths that differ by less than a machine can be set to lie on one layer; the first is told.
            all.entry((layer, operation.kind())).or_insert(operation);
        }
        all.into_iter().map(|((layer, _), operation)| (layer, operation)).collect()
    }

    /// The file that a part is in: its own, or the first sheet that it lies on.
    pub fn file_of(&self, plans: &Plans, part: PartId) -> Option<&CutFile> {
        self.files.iter().find(|file| match file.holds {
            Holds::Part(id) => id == part,
            Holds::Sheet { nest, sheet } => sheet_of(plans, nest, sheet)
                .is_some_and(|(_, sheet)| sheet.parts.iter().any(|nested| nested.part == part)),
            Holds::Coupon(_) | Holds::Report => false,
        })
    }

    /// The bytes of one of the files.
    pub fn write(&self, made: &Made, plans: &Plans, file: &CutFile) -> Result<Vec<u8>, String> {
        let shop = &self.shop;
        let contents = match file.holds {
            Holds::Report => return Ok(report::report(made, plans, self).into_bytes()),
            Holds::Part(id) => {
                let part = made.parts.get(id.0).ok_or("a file of a part that there is not")?;
                let piece = self.pieces.get(id.0).and_then(Option::as_ref);
                words::single(made, part, shop, piece.ok_or("a file of a part that is not cut")?)
            }
            Holds::Sheet { nest, sheet } => {
                let (nest, sheet) =
                    sheet_of(plans, nest, sheet).ok_or("a file of a sheet that there is not")?;
                nested::sheet(made, shop, &self.pieces, nest, sheet)
            }
            Holds::Coupon(stock) => {
                coupon::coupon(made, shop, stock).ok_or("a coupon that there is not")??.contents
            }
        };
        dxf::write(&contents, shop)
    }
}

fn sheet_of(plans: &Plans, nest: usize, sheet: usize) -> Option<(&Nest, &NestSheet)> {
    let nest = plans.nests.get(nest)?;
    Some((nest, nest.sheets.get(sheet)?))
}

/// The name of a part's file without its ending: the shop's pattern filled in, pieces that stand for nothing left out.
fn stem(made: &Made, part: &Part, shop: &CuttingShop) -> String {
    fill(&shop.file_name.text, |name| match name {
        "part" => Some(part.id.clone()),
        "mark" => Some(part.mark.clone()),
        "quantity" => Some(part.quantity.to_string()),
        // Where sheets have a name, a part that lies on none goes by its own.
        "sheet" if shop.nested => Some(part.id.clone()),
        other => of_the_stock(made, shop, part.stock, other),
    })
}

fn sheet_stem(made: &Made, shop: &CuttingShop, nest: &Nest, sheet: &NestSheet) -> String {
    fill(&shop.file_name.text, |name| match name {
        "sheet" => Some(format!("sheet-{}", sheet.number)),
        "quantity" => Some(sheet.parts.len().to_string()),
        other => of_the_stock(made, shop, nest.stock, other),
    })
}

fn of_the_stock(made: &Made, shop: &CuttingShop, stock: usize, name: &str) -> Option<String> {
    let stock = made.job.stock.get(stock);
    match name {
        "stock" => stock.map(|stock| stock.name.clone()).filter(|name| !name.is_empty()),
        "thick" => Some(layers::measure(stock.map_or(Length::ZERO, |stock| stock.thick), shop.units)),
        "units" => Some(words::unit_word(shop.units).to_owned()),
        other => of_the_job(made, other),
    }
}

/// What a name in braces stands for in all files of a job: `job` its number, `revision` its letter. `None` where there is none.
pub fn of_the_job(made: &Made, name: &str) -> Option<String> {
    let titles = &made.job.titles;
    match name {
        // A number of signs only leaves nothing that a file name may begin with.
        "job" => {
            Some(&titles.number).filter(|number| number.chars().any(|sign| sign.is_ascii_alphanumeric()))
        }
        "revision" => Some(&titles.revision).filter(|revision| !revision.is_empty()),
        _ => None,
    }
    .cloned()
}

/// A pattern filled in; a piece between two `_` is left out where a name in it stands for nothing.
fn fill(pattern: &str, stands_for: impl Fn(&str) -> Option<String>) -> String {
    let pieces = pattern.split('_').filter(|piece| {
        crate::values::placeholders(piece).all(|name| stands_for(name).is_some_and(|text| !text.is_empty()))
    });
    let pieces: Vec<String> = pieces.map(|piece| layers::filled(piece, &stands_for)).collect();
    pieces.join("_")
}

#[cfg(test)]
mod tests {
    use super::fill;

    #[test]
    fn pieces_that_stand_for_nothing_are_left_out() {
        let known = |name: &str| (name == "part").then(|| "shelf".to_owned());
        assert_eq!(fill("{job}_{part}_x_rev{revision}", known), "shelf_x");
        assert_eq!(fill("{part}", known), "shelf");
    }
}
