//! `tickstick nest`: a plain list of rectangles onto sheets, without a spec.

use std::fmt::Write;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{FAULTS, Format, GOOD, WRONG_USE, print, report, tell};
use crate::length::Length;
use crate::length::notation;
use crate::plans::nest::list::{self, Largest, Report};
use crate::plans::nest::{Fault, Item, Options, Stock, lay_out};
use crate::trade::Units;

/// A list that is longer than this is no list of parts.
const LARGEST_LIST: u64 = 4 << 20;

/// No sheet that is sold is smaller: such a size was meant in inches.
const SMALLEST_SHEET: Length = Length::from_units(Length::MM.units() * 250);

#[derive(Args)]
pub struct Nesting {
    /// The list: name,width,height,quantity and, where wanted, rotate (yes or no)
    list: PathBuf,
    /// Width and height of a whole sheet, as in 48x96 or 1220x2440
    #[arg(long, value_name = "WxH")]
    sheet: String,
    /// Width of the saw cut
    #[arg(long, value_name = "LENGTH", default_value = "0")]
    kerf: String,
    /// Strip that is cut off along every edge of a sheet
    #[arg(long, value_name = "LENGTH", default_value = "0")]
    trim: String,
    /// Whether a part may be turned where the list does not say
    #[arg(long, value_enum, default_value_t = YesNo::Yes)]
    rotate: YesNo,
    /// Steps of work; twice the effort takes about twice the time
    #[arg(long, default_value_t = Options::EFFORT)]
    effort: u32,
    /// Another seed gives another layout
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// What a bare number means, and what is printed
    #[arg(long, value_enum, default_value_t = Bare::Mm)]
    units: Bare,
    /// How to tell the layout
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum YesNo {
    Yes,
    No,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Bare {
    Mm,
    Inch,
}

impl Bare {
    fn units(self) -> Units {
        match self {
            Bare::Mm => Units::Millimetre,
            Bare::Inch => Units::Inch,
        }
    }

    /// A length as a plain number of the unit.
    fn number(self, length: i64) -> f64 {
        let one = match self {
            Bare::Mm => Length::MM,
            Bare::Inch => Length::INCH,
        };
        length as f64 / one.units() as f64
    }
}

/// Lays the list out and prints the layout; gives the exit code.
pub fn run(asked: &Nesting) -> u8 {
    let (sheet, kerf, trim) = match measures(asked) {
        Ok(measures) => measures,
        Err(faults) => return refuse(&faults, WRONG_USE),
    };
    let text = match read_list(asked) {
        Ok(text) => text,
        Err(fault) => return refuse(&[fault], WRONG_USE),
    };
    let (width, height) = (sheet.0 - trim * 2, sheet.1 - trim * 2);
    let told =
        notation::tell(width, asked.units.units()) + " × " + &notation::tell(height, asked.units.units());
    let room = Largest { width: width.units(), height: height.units(), told: &told };
    let length = |text: &str| read(text, asked.units.units()).map(Length::units);
    let entries = match list::read(&text, &[room], asked.rotate == YesNo::Yes, length) {
        Ok(entries) => entries,
        Err(faults) => {
            let name = report::plain(&asked.list.to_string_lossy());
            let line = |f: &list::ListFault| {
                format!("{name}:{}: {}; {}", f.line, report::plain(&f.fault), report::plain(&f.cure))
            };
            let mut all: Vec<String> = faults.iter().map(line).collect();
            let looks_inch = asked.units == Bare::Mm && sheet.0.max(sheet.1) < SMALLEST_SHEET;
            if looks_inch {
                all.push(format!(
                    "--sheet {}: a number without a unit is millimetres; for inches add --units inch",
                    report::plain(&asked.sheet)
                ));
            }
            return refuse(&all, FAULTS);
        }
    };
    let items: Vec<Item> = entries.iter().map(|entry| entry.item).collect();
    let names: Vec<String> = entries.iter().map(|entry| entry.name.clone()).collect();
    let stock = [Stock::sheet(sheet.0.units(), sheet.1.units(), trim.units())];
    let options =
        Options { kerf: kerf.units(), effort: asked.effort, seed: asked.seed, ..Options::default() };
    match lay_out(&items, &stock, &options) {
        Ok(layout) => {
            let report = list::report(&layout, &names, |units| asked.units.number(units));
            told_as(asked, &report, sheet.0 > sheet.1)
        }
        Err(faults) => refuse(&faults.iter().map(Fault::to_string).collect::<Vec<_>>(), FAULTS),
    }
}

fn told_as(asked: &Nesting, layout: &Report<f64>, long_x: bool) -> u8 {
    match asked.format {
        Format::Json => match serde_json::to_string_pretty(layout) {
            Ok(text) => print(&(text + "\n")),
            Err(error) => refuse(&[error.to_string()], FAULTS),
        },
        Format::Text => print(&words(layout, long_x)),
    }
}

/// The layout for the saw: sheet by sheet what lies where, then the cuts in order.
fn words(layout: &Report<f64>, long_x: bool) -> String {
    let mut text = String::new();
    let count = layout.sheets.len();
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let _ = writeln!(text, "sheet {} of {count}", index + 1);
        for part in &sheet.parts {
            let turned = if part.rotated { ", turned" } else { "" };
            let _ = writeln!(
                text,
                "  {} {} × {} at {}, {}{turned}",
                report::plain(&part.name),
                part.width,
                part.height,
                part.x,
                part.y
            );
        }
        for cut in &sheet.cuts {
            // A sheet's grain runs along its longer side: along it is a rip.
            let way = if (cut.along == "x") == long_x { "rip" } else { "crosscut" };
            let splits = if cut.splits_sheet { ", splits the sheet" } else { "" };
            let _ = writeln!(
                text,
                "  cut {}: {way}, fence at {}, from {} to {}{splits}",
                cut.number, cut.setting, cut.from, cut.to
            );
        }
    }
    let _ = writeln!(text, "sheets: {count}; none can do with fewer than {}", layout.bound);
    text
}

type Measures = ((Length, Length), Length, Length);

fn measures(asked: &Nesting) -> Result<Measures, Vec<String>> {
    let units = asked.units.units();
    let mut faults = Vec::new();
    let mut length = |what: &str, text: &str, least: Length, why: &str| match read(text, units) {
        Ok(length) if length >= least => length,
        Ok(_) => {
            faults.push(format!("--{what} {}: {why}", report::plain(text)));
            Length::ZERO
        }
        Err(fault) => {
            faults.push(format!("--{what} {}: {}", report::plain(text), report::plain(&fault)));
            Length::ZERO
        }
    };
    let negative = "it cannot be less than nothing";
    let kerf = length("kerf", &asked.kerf, Length::ZERO, negative);
    let trim = length("trim", &asked.trim, Length::ZERO, negative);
    let sides = asked.sheet.split_once(['x', 'X', '×']);
    let sheet = sides.map(|(width, height)| {
        // Whichever of the two is wrong, both are named: a trim in the wrong unit looks like a sheet too small.
        let least = trim * 2 + Length::from_units(1);
        let nothing = format!(
            "a --trim of {} off each edge leaves nothing of it; give a smaller trim, or a larger sheet",
            report::plain(&asked.trim)
        );
        (length("sheet", width, least, &nothing), length("sheet", height, least, &nothing))
    });
    match sheet {
        None => {
            faults.push(format!(
                "--sheet {}: write width and height, as in 48x96",
                report::plain(&asked.sheet)
            ));
            Err(faults)
        }
        Some(_) if !faults.is_empty() => Err(faults),
        Some(sheet) => Ok((sheet, kerf, trim)),
    }
}

fn read(text: &str, units: Units) -> Result<Length, String> {
    notation::read(text.trim(), units).map_err(|fault| format!("{}; {}", fault.message, fault.cure))
}

fn read_list(asked: &Nesting) -> Result<String, String> {
    let name = report::plain(&asked.list.to_string_lossy());
    let size = std::fs::metadata(&asked.list).map_err(|error| format!("cannot open {name}: {error}"))?.len();
    if size > LARGEST_LIST {
        return Err(format!("{name} has {size} bytes; a list has at most {LARGEST_LIST}"));
    }
    let text =
        std::fs::read_to_string(&asked.list).map_err(|error| format!("cannot read {name}: {error}"))?;
    let first = text.lines().next().unwrap_or_default();
    if first.contains(';') && !first.contains(',') {
        return Err(format!(
            "{name} parts its columns by semicolons; save it with commas, decimals with a point"
        ));
    }
    Ok(text)
}

fn refuse(faults: &[String], code: u8) -> u8 {
    for fault in faults {
        tell(&format!("error: {fault}"));
    }
    debug_assert_ne!(code, GOOD, "a refusal is not good");
    code
}
