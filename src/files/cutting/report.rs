//! The report that lies beside a shop's files: what is sent, of what stock, how much there is to cut, what stands for what,
//! and what was proved. For people: plain text in fixed columns.

use std::collections::BTreeMap;

use super::{Holds, Sent};
use crate::cutting::layers::{decimal, words};
use crate::cutting::words::{by_hand, unit_word};
use crate::cutting::{BRIDGE, LOOSE, Operation, Piece, SHORTEST, coupon};
use crate::length::{Length, Units};
use crate::parts::{Made, Part, PartId};
use crate::plans::Plans;
use crate::sheets::figures::Figures;
use crate::sheets::scribes;
use crate::trade::Grain;
use crate::values::{CuttingShop, Relief};

/// A table in plain text: numbers end in a line, words begin in one.
struct Columns {
    head: Vec<(&'static str, bool)>,
    rows: Vec<Vec<String>>,
}

impl Columns {
    /// Heads in order; a head that begins with `>` stands over numbers.
    fn new(heads: &[&'static str]) -> Columns {
        let head = heads.iter().map(|head| match head.strip_prefix('>') {
            Some(number) => (number, true),
            None => (*head, false),
        });
        Columns { head: head.collect(), rows: Vec::new() }
    }

    fn put_into(&self, text: &mut String) {
        let heads: Vec<String> = self.head.iter().map(|(head, _)| (*head).to_owned()).collect();
        let wide = |column: usize| {
            let cells = std::iter::once(&heads).chain(&self.rows).filter_map(|row| row.get(column));
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..heads.len()).map(wide).collect();
        for row in std::iter::once(&heads).chain(&self.rows) {
            let cells = row.iter().zip(&self.head).zip(&widths).map(|((cell, (_, number)), width)| {
                let blank = " ".repeat(width.saturating_sub(cell.chars().count()));
                if *number { format!("{blank}{cell}") } else { format!("{cell}{blank}") }
            });
            let line = cells.collect::<Vec<_>>().join("  ");
            text.push_str(line.trim_end());
            text.push('\n');
        }
    }
}

pub(super) fn report(made: &Made, plans: &Plans, sent: &Sent) -> String {
    let shop = &sent.shop;
    let titles = &made.job.titles;
    let whom = if shop.name.is_empty() { String::new() } else { format!(" for {}", shop.name) };
    let mut text = format!("CUTTING REPORT{whom}\n\n");
    for (what, said) in [
        ("job", [titles.number.as_str(), titles.title.as_str()].join(" ").trim().to_owned()),
        ("revision", [titles.revision.as_str(), titles.date.as_str()].join(" ").trim().to_owned()),
        ("files", format!("DXF {}, scale 1:1, {}", if shop.r12 { "R12" } else { "R2000" }, unit_words(shop))),
        ("bit", bit_words(shop)),
        ("corners", corner_words(shop)),
        (
            "seen",
            "show face up, nothing mirrored; layers of the back face are drawn as seen from the show face"
                .to_owned(),
        ),
        ("grain", grain_words(shop).to_owned()),
    ] {
        if !said.is_empty() {
            text.push_str(&format!("{what:<9} {said}\n"));
        }
    }
    parts(made, plans, sent, &mut text);
    sheets(made, plans, sent, &mut text);
    stock(made, sent, &mut text);
    layers(sent, &mut text);
    tabs(made, sent, &mut text);
    coupons(made, sent, &mut text);
    apart(made, sent, &mut text);
    text.push_str("\nCHECKED before these files were written\n");
    for line in checked(shop) {
        text.push_str(&format!("- {line}\n"));
    }
    text
}

fn unit_words(shop: &CuttingShop) -> String {
    let word = unit_word(shop.units);
    let square = match (shop.reference, shop.units) {
        (false, _) => "",
        (true, Units::Millimetre) => "; each file has a square of 100 x 100 mm that is not cut",
        (true, Units::Inch) => "; each file has a square of 4 x 4 inches that is not cut",
    };
    format!("coordinates in {word}{square}")
}

fn bit_words(shop: &CuttingShop) -> String {
    shop.bit.map_or("not given: ask which, nothing was checked against it".to_owned(), |bit| {
        format!(
            "{} for outlines, cut-outs and pockets; slots for screws take one of their own width",
            with_unit(shop, bit)
        )
    })
}

fn corner_words(shop: &CuttingShop) -> String {
    let how = match shop.relief {
        Relief::None => {
            return "inside corners stay as round as the bit leaves them; square them by hand where a part bears there"
                .to_owned();
        }
        Relief::DogBone => "on the bisector (dog-bone)",
        Relief::TBoneLonger => "into the longer wall (T-bone)",
        Relief::TBoneShorter => "into the shorter wall (T-bone)",
    };
    format!("inside corners relieved {how}, {} wider than the bit", with_unit(shop, LOOSE * 2))
}

fn grain_words(shop: &CuttingShop) -> &'static str {
    match shop.grain {
        Some(Grain::AlongU) => {
            "along x; parts and sheets whose grain runs otherwise lie turned a quarter to the left"
        }
        Some(Grain::AlongV) => {
            "along y; parts and sheets whose grain runs otherwise lie turned a quarter to the left"
        }
        _ => "",
    }
}

/// Numbers in the shop's unit.
fn size(shop: &CuttingShop, length: Length) -> String {
    decimal(length, shop.units).0
}

fn with_unit(shop: &CuttingShop, length: Length) -> String {
    format!("{} {}", size(shop, length), unit_word(shop.units))
}

/// Square metres or square feet.
fn area(shop: &CuttingShop, mm2: f64) -> String {
    match shop.units {
        Units::Millimetre => format!("{:.4}", mm2 / 1e6),
        Units::Inch => format!("{:.3}", mm2 / (304.8 * 304.8)),
    }
}

/// Metres or feet.
fn run(shop: &CuttingShop, mm: f64) -> String {
    match shop.units {
        Units::Millimetre => format!("{:.3}", mm / 1000.0),
        Units::Inch => format!("{:.2}", mm / 304.8),
    }
}

/// The parts that the shop cuts.
fn cut<'a>(made: &'a Made, sent: &'a Sent) -> impl Iterator<Item = (PartId, &'a Part, &'a Piece)> {
    let both = made.parts.iter().zip(&sent.pieces).enumerate();
    both.filter_map(|(id, (part, piece))| Some((PartId(id), part, piece.as_ref()?)))
}

/// The whole outline as it is cut, wood left on for scribing included.
fn sizes(piece: &Piece) -> (Length, Length) {
    let around = piece.through().next().map(|outline| outline.extents());
    around.map_or((Length::ZERO, Length::ZERO), |around| (around.width(), around.height()))
}

fn parts(made: &Made, plans: &Plans, sent: &Sent, text: &mut String) {
    let shop = &sent.shop;
    let (square, along) = if shop.units == Units::Inch { ("sq ft", "ft") } else { ("m2", "m") };
    text.push_str(&format!(
        "\nPARTS (sizes in {}, of one piece as its drawing shows it, wood left on for scribing included; area in {square}, cut length right through in {along})\n",
        unit_word(shop.units)
    ));
    let mut table = Columns::new(&[
        "MARK", "PART", "STOCK", ">THICK", ">QTY", "REV", ">WIDTH", ">HEIGHT", ">AREA", ">CUT", "POCKETS",
        "HOLES", "FILE",
    ]);
    for (id, part, piece) in cut(made, sent) {
        let (width, height) = sizes(piece);
        let stock = made.job.stock.get(part.stock).map_or(String::new(), |stock| stock.name.clone());
        let file = where_it_lies(plans, sent, id);
        table.rows.push(vec![
            part.mark.clone(),
            part.id.clone(),
            stock,
            size(shop, part.thick),
            part.quantity.to_string(),
            made.job.titles.revision.clone(),
            size(shop, width),
            size(shop, height),
            area(shop, piece.area_mm2()),
            run(shop, piece.cut_length_mm()),
            counted(piece, shop, |operation| matches!(operation, Operation::Pocket { .. })),
            counted(piece, shop, |operation| {
                matches!(
                    operation,
                    Operation::Drill { .. }
                        | Operation::DrillThrough { .. }
                        | Operation::Countersink { .. }
                        | Operation::Slot { .. }
                )
            }),
            file,
        ]);
    }
    table.put_into(text);
    let mut choices = made.job.sheets.clone();
    choices.units = shop.units;
    for (_, part, _) in cut(made, sent) {
        if let Some(place) = scribes::in_file(part, shop, &Figures::of(&choices)) {
            text.push_str(&format!("{} is scribed: a figure of its drawing lies at {place}\n", part.mark));
        }
    }
}

/// Its own file, or the sheets that it lies on.
fn where_it_lies(plans: &Plans, sent: &Sent, part: PartId) -> String {
    let on = sent.files.iter().filter_map(|file| {
        let Holds::Sheet { nest, sheet } = file.holds else { return None };
        let (_, sheet) = super::sheet_of(plans, nest, sheet)?;
        sheet.parts.iter().any(|nested| nested.part == part).then(|| sheet.number.to_string())
    });
    match on.collect::<Vec<_>>().as_slice() {
        [] => sent.file_of(plans, part).map_or(String::new(), |file| name_of(&file.path).to_owned()),
        [one] => format!("on sheet {one}"),
        all => format!("on sheets {}", all.join(", ")),
    }
}

fn name_of(path: &str) -> &str {
    path.rsplit('/').next().unwrap_or(path)
}

/// `2 x 6.35 show`: how many of each.
fn counted(piece: &Piece, shop: &CuttingShop, wanted: impl Fn(Operation) -> bool) -> String {
    let mut counts: BTreeMap<Operation, usize> = BTreeMap::new();
    for shape in piece.shapes.iter().filter(|shape| wanted(shape.operation)) {
        *counts.entry(shape.operation).or_default() += 1;
    }
    let face = |face| if face == crate::trade::Face::Show { "show" } else { "back" };
    let said = counts.iter().map(|(operation, count)| match *operation {
        Operation::Pocket { from, depth } => format!("{count} x {} deep {}", size(shop, depth), face(from)),
        Operation::DrillThrough { diameter } => format!("{count} x dia {} through", size(shop, diameter)),
        Operation::Slot { diameter } => format!("{count} x slot {} wide through", size(shop, diameter)),
        Operation::Drill { from, diameter, depth } => {
            format!("{count} x dia {} {} deep {}", size(shop, diameter), size(shop, depth), face(from))
        }
        Operation::Countersink { from, diameter } => {
            format!("{count} x countersink {} {}", size(shop, diameter), face(from))
        }
        _ => String::new(),
    });
    let said: Vec<String> = said.collect();
    if said.is_empty() { "-".to_owned() } else { said.join(", ") }
}

fn sheets(made: &Made, plans: &Plans, sent: &Sent, text: &mut String) {
    let shop = &sent.shop;
    let mut table = Columns::new(&[">SHEET", "STOCK", ">THICK", ">WIDTH", ">LENGTH", "PARTS", "FILE"]);
    for file in &sent.files {
        let Holds::Sheet { nest, sheet } = file.holds else { continue };
        let Some((nest, sheet)) = super::sheet_of(plans, nest, sheet) else { continue };
        let mut counts: BTreeMap<PartId, usize> = BTreeMap::new();
        for nested in &sheet.parts {
            *counts.entry(nested.part).or_default() += 1;
        }
        let said = counts.iter().filter_map(|(id, count)| {
            let part = made.parts.get(id.0)?;
            Some(if *count == 1 { part.mark.clone() } else { format!("{count} x {}", part.mark) })
        });
        let stock = made.job.stock.get(nest.stock);
        table.rows.push(vec![
            sheet.number.to_string(),
            stock.map_or(String::new(), |stock| stock.name.clone()),
            size(shop, stock.map_or(Length::ZERO, |stock| stock.thick)),
            size(shop, sheet.width),
            size(shop, sheet.length),
            said.collect::<Vec<_>>().join(", "),
            name_of(&file.path).to_owned(),
        ]);
    }
    if !table.rows.is_empty() {
        text.push_str("\nSHEETS\n");
        table.put_into(text);
    }
}

fn stock(made: &Made, sent: &Sent, text: &mut String) {
    let shop = &sent.shop;
    let mut sums: BTreeMap<usize, (usize, f64, f64)> = BTreeMap::new();
    for (_, part, piece) in cut(made, sent) {
        let sum = sums.entry(part.stock).or_default();
        sum.0 += part.quantity;
        sum.1 += piece.area_mm2() * part.quantity as f64;
        sum.2 += piece.cut_length_mm() * part.quantity as f64;
    }
    text.push_str("\nSTOCK, all pieces together\n");
    let mut table = Columns::new(&["STOCK", "CALLED", ">ACTUAL", ">PIECES", ">AREA", ">CUT"]);
    for (index, (pieces, square, along)) in sums {
        let stock = made.job.stock.get(index);
        table.rows.push(vec![
            stock.map_or(String::new(), |stock| stock.name.clone()),
            stock.and_then(|stock| stock.called.clone()).unwrap_or_default(),
            size(shop, stock.map_or(Length::ZERO, |stock| stock.thick)),
            pieces.to_string(),
            area(shop, square),
            run(shop, along),
        ]);
    }
    table.put_into(text);
}

fn layers(sent: &Sent, text: &mut String) {
    text.push_str("\nLAYERS\n");
    let mut table = Columns::new(&["LAYER", "WHAT IS DONE"]);
    let rows = sent.layers().into_iter();
    table.rows.extend(rows.map(|(name, operation)| vec![name, words(operation, sent.shop.units)]));
    table.put_into(text);
}

/// Which parts are held by tabs, and which would be but have no room for any.
fn tabs(made: &Made, sent: &Sent, text: &mut String) {
    let shop = &sent.shop;
    let Some(tabs) = &shop.tabs else { return };
    let unit = if shop.units == Units::Inch { "sq ft" } else { "m2" };
    text.push_str(&format!(
        "\nTABS {} wide and {} high, on parts under {} {unit}\n",
        with_unit(shop, tabs.width),
        with_unit(shop, tabs.height),
        area(shop, tabs.below_mm2)
    ));
    let mut table = Columns::new(&["MARK", "PART", ">TABS", "TO BE KNOWN"]);
    for (_, part, piece) in cut(made, sent).filter(|(_, _, piece)| piece.area_mm2() < tabs.below_mm2) {
        let count = piece.tabs();
        let known = if count == 0 { "no straight outer edge has room: hold it otherwise" } else { "" };
        table.rows.push(vec![part.mark.clone(), part.id.clone(), count.to_string(), known.to_owned()]);
    }
    table.put_into(text);
}

fn coupons(made: &Made, sent: &Sent, text: &mut String) {
    let shop = &sent.shop;
    let mut lines = Vec::new();
    let mut known = Vec::new();
    for (_, part, _) in cut(made, sent) {
        if known.contains(&part.stock) {
            continue;
        }
        known.push(part.stock);
        let name = made.job.stock.get(part.stock).map_or("", |stock| stock.name.as_str());
        let coupon = coupon::coupon(made, shop, part.stock);
        match coupon.map(|coupon| coupon.map(|coupon| coupon.relieved)) {
            Some(Ok(relieved)) => {
                let notches =
                    coupon::notches(made, shop, part.stock).and_then(Result::ok).unwrap_or_default();
                let file = sent.files.iter().find(|file| file.holds == Holds::Coupon(part.stock));
                let file = file.map_or("", |file| name_of(&file.path));
                let widths: Vec<String> = notches.iter().map(|(width, _)| size(shop, *width)).collect();
                lines.push(format!(
                    "{name}: notches {} {} wide; {file}{}{}",
                    widths.join(", "),
                    unit_word(shop.units),
                    if relieved.is_some() { "; " } else { "" },
                    relieved.unwrap_or_default()
                ));
            }
            Some(Err(why)) => lines.push(why),
            None => {}
        }
    }
    if !lines.is_empty() {
        text.push_str(
            "\nCOUPONS, to cut first: the notch into which the tongue goes as wished is the fit to take\n",
        );
        lines.iter().for_each(|line| text.push_str(&format!("- {line}\n")));
    }
}

/// What is not in the files, or not as it seems.
fn apart(made: &Made, sent: &Sent, text: &mut String) {
    let mut lines = Vec::new();
    for (_, part, _) in cut(made, sent) {
        lines.extend(by_hand(part, sent.shop.units).into_iter().map(|line| format!("{}: {line}", part.mark)));
        let bores = part.bores.len();
        if bores > 0 {
            lines.push(format!(
                "{}: {bores} bores through an edge or slanted, made by hand after its drawing",
                part.mark
            ));
        }
        let profiles = part.edges.iter().filter(|edge| edge.profile.is_some()).count();
        if profiles > 0 {
            lines.push(format!(
                "{}: profile on {profiles} of its edges, made by hand after its drawing",
                part.mark
            ));
        }
    }
    if !lines.is_empty() {
        text.push_str("\nNOT IN THE FILES, or to be known\n");
        lines.iter().for_each(|line| text.push_str(&format!("- {line}\n")));
    }
}

fn checked(shop: &CuttingShop) -> Vec<String> {
    let bridge = with_unit(shop, BRIDGE);
    let mut all = vec![
        format!(
            "every line is closed, has no segment shorter than {} and neither crosses nor touches itself",
            with_unit(shop, SHORTEST)
        ),
        "no two shapes of a layer lie over each other; nothing is drawn twice".to_owned(),
        "arcs are true arcs; holes are circles of their own diameter".to_owned(),
        "no two operations share a layer".to_owned(),
    ];
    if !shop.name.is_empty() {
        all.push(format!("no bridge of wood between two cuts right through is thinner than {bridge}"));
    }
    if shop.bit.is_some() {
        all.push(
            "no hollow curve is tighter than the bit, no notch, cut-out or pocket narrower between its sides; slots for screws right through are not held against it: they need a bit of their own width"
                .to_owned(),
        );
    }
    if shop.relief != Relief::None {
        all.push(format!(
            "every relief reaches its corner, meets no other, and stays {bridge} inside the wood"
        ));
    }
    if shop.nested {
        all.push("parts on a sheet lie at least the width of the bit apart, and none is mirrored".to_owned());
    }
    all
}
