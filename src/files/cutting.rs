//! What the cutting shops are sent: which files there are, what each is called, and their bytes.

use super::{Names, dxf, safe};
use crate::cutting::{self, layers, words};
use crate::parts::{Made, Part, PartId};
use crate::values::CuttingShop;

/// A file of a cutting shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutFile {
    /// Index into [`cutting::shops`].
    pub shop: usize,
    /// Path inside the job's folder.
    pub path: String,
    pub holds: Holds,
}

/// What a file shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    Part(PartId),
}

/// The folder of a shop inside the job's.
pub fn folder(shop: &CuttingShop) -> String {
    if shop.name.is_empty() { "dxf".to_owned() } else { format!("dxf/{}", safe(&shop.name)) }
}

/// Every file of every shop, in order, each with a name of its own.
pub fn cut_files(made: &Made) -> Vec<CutFile> {
    let mut names = Names::new();
    let mut all = Vec::new();
    for (index, shop) in cutting::shops(made).iter().enumerate() {
        let folder = folder(shop);
        for (id, part) in made.parts.iter().enumerate().filter(|(_, part)| shop.cuts(part.stock)) {
            let path = names.give(&folder, &stem(made, part, shop), "dxf");
            all.push(CutFile { shop: index, path, holds: Holds::Part(PartId(id)) });
        }
    }
    all
}

/// The bytes of one of them.
pub fn write(made: &Made, shop: &CuttingShop, file: &CutFile) -> Result<Vec<u8>, String> {
    match file.holds {
        Holds::Part(id) => {
            let part = made.parts.get(id.0).ok_or("a file of a part that there is not")?;
            let (piece, faults) = cutting::piece(made, part, shop);
            // The checks told of these before; a drawing that is not clean is never written.
            if let Some(fault) = faults.first() {
                return Err(fault.message.clone());
            }
            dxf::write(&words::single(made, part, shop, &piece), shop)
        }
    }
}

/// The name of a part's file without its ending: the shop's pattern filled in, pieces that stand for nothing left out.
fn stem(made: &Made, part: &Part, shop: &CuttingShop) -> String {
    fill(&shop.file_name.text, |name| match name {
        "part" => Some(part.id.clone()),
        "mark" => Some(part.mark.clone()),
        "stock" => made.job.stock.get(part.stock).map(|stock| stock.name.clone()),
        "thick" => Some(layers::measure(part.thick, shop.units)),
        "quantity" => Some(part.quantity.to_string()),
        "sheet" => None,
        other => of_the_job(made, shop, other),
    })
}

fn of_the_job(made: &Made, shop: &CuttingShop, name: &str) -> Option<String> {
    let titles = &made.job.titles;
    let given = match name {
        // A number of signs only leaves nothing that a file name may begin with.
        "job" if titles.number.chars().any(|sign| sign.is_ascii_alphanumeric()) => titles.number.as_str(),
        "revision" => titles.revision.as_str(),
        "units" => match shop.units {
            crate::length::Units::Millimetre => "mm",
            crate::length::Units::Inch => "inch",
        },
        _ => "",
    };
    (!given.is_empty()).then(|| given.to_owned())
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
