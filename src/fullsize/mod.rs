//! Parts in, paper at full size out: templates to mark out from, story rods, a printer's test page. A template is drawn once as
//! large as the part and then cut to the pages of a printer. Knows no view, scale or title block: those are the drawings' (`sheets`).

pub mod calibrate;
pub mod clip;
mod edging;
pub mod jig;
mod map;
pub mod page;
mod particulars;
mod place;
pub mod story_rod;
pub mod template;
pub mod tile;
mod view;

use calibrate::{Correction, Measured};
use page::Words;

use crate::diagnose::Diagnostic;
use crate::drawing::paper::{Area, Paper};
use crate::drawing::table::Table;
use crate::drawing::{At, Group, Sheet};
use crate::length::notation::{InchForm, Showing, Shown};
use crate::length::{Length, Units};
use crate::parts::{self, Made, Part, PartId};
use crate::trade::Face;
use crate::values;

/// What is wrong with a printer, a selection or a print, and what to do: these come from the command line as often as from the
/// spec, so they have no place of their own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    pub message: String,
    pub cure: String,
}

impl Fault {
    pub(crate) fn new(message: impl Into<String>, cure: impl Into<String>) -> Fault {
        Fault { message: message.into(), cure: cure.into() }
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; {}", self.message, self.cure)
    }
}

/// What a printer prints on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    Sheets(Paper),
    /// A roll of this width; a page is as long as its drawing, up to 5 m.
    Roll(Length),
}

/// A printer, ready to print on.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    pub name: String,
    pub stock: Stock,
    /// Blank strip along every edge of the paper.
    pub margin: Length,
    pub correction: Correction,
}

impl Printer {
    /// A printer that was never measured, with 6 mm margins.
    pub fn on(stock: Stock) -> Printer {
        let name = match stock {
            Stock::Sheets(paper) => paper.name().to_owned(),
            Stock::Roll(_) => "roll".to_owned(),
        };
        Printer { name, stock, margin: Length::MM * 6, correction: Correction::NONE }
    }

    /// A printer of the shop.
    ///
    /// # Errors
    /// For a paper that is not known, and bars that no printer prints.
    pub fn of(given: &values::Printer) -> Result<Printer, Fault> {
        let stock = match &given.paper {
            values::PrinterPaper::Roll(width) => Stock::Roll(*width),
            values::PrinterPaper::Sheets(word) => Stock::Sheets(Paper::named(word).ok_or_else(|| {
                let known: Vec<&str> = Paper::ALL.iter().map(|paper| paper.name()).collect();
                Fault::new(
                    format!("printer {}: there is no paper `{word}`", given.name),
                    format!("choose one of {}", known.join(", ")),
                )
            })?),
        };
        let correction = match given.measured {
            None => Correction::NONE,
            Some([across, up, corners]) => {
                Measured { across, up, corners }.correction().map_err(|fault| Fault {
                    message: format!("printer {}: {}", given.name, fault.message),
                    ..fault
                })?
            }
        };
        Ok(Printer { name: given.name.clone(), stock, margin: given.margin, correction })
    }
}

/// Two points of a drawing and how far they are apart, to check paper that was put together.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    pub names: [&'static str; 2],
    pub ends: [At; 2],
    /// As printed.
    pub text: String,
}

/// A drawing at full size before it has paper; millimetres, y up, (0, 0) where the part's lower left corner lies as seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Begins the names of its pages; safe in file names.
    pub name: String,
    pub title: String,
    /// What is to be printed.
    pub area: Area,
    /// Groups on the layers of outlines and hidden lines decide which pages are worth printing.
    pub groups: Vec<Group>,
    pub words: Words,
    pub checks: Vec<Check>,
    /// Sentences for the page with the map.
    pub notes: Vec<String>,
    pub tables: Vec<Table>,
    /// A band of its height that words fill: register crosses keep out of it.
    pub quiet: Option<(f64, f64)>,
}

impl Drawing {
    /// The drawing as one sheet, as large as itself.
    pub fn sheet(&self) -> Sheet {
        let by = (-self.area.low.0, -self.area.low.1);
        let groups = self.groups.iter().map(|group| Group {
            marks: group.marks.iter().map(|mark| page::moved(mark.clone(), by)).collect(),
            ..group.clone()
        });
        Sheet {
            name: self.name.clone(),
            title: self.title.clone(),
            width: self.area.width(),
            height: self.area.height(),
            groups: groups.collect(),
            dimensions: Vec::new(),
            ..Sheet::default()
        }
    }
}

/// Which parts get a template.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    pub chosen: Vec<Chosen>,
}

/// A part and how much of it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    pub part: PartId,
    /// Faces the paper is to lie on; empty: those that are worked.
    pub faces: Vec<Face>,
    /// True where only the regions round notches, cut-outs and shaped edges are printed.
    pub worked_edges: bool,
}

impl Selection {
    /// What the spec asks for; where it asks for nothing, every part that is not a plain rectangle. Names of no part are left
    /// out here: [`check`] tells them.
    pub fn of(made: &Made) -> Selection {
        let asked = &made.job.full_size.templates;
        if asked.is_empty() {
            return Selection::shaped(made);
        }
        let mut chosen = Vec::new();
        for asked in asked {
            let parts = asked.parts.iter().filter_map(|(name, _)| parts_named(made, name).ok()).flatten();
            chosen.extend(parts.map(|part| Chosen {
                part,
                faces: asked.faces.clone(),
                worked_edges: asked.worked_edges,
            }));
        }
        Selection { chosen }
    }

    /// Every part that is not a plain rectangle.
    pub fn shaped(made: &Made) -> Selection {
        let parts = made.parts.iter().enumerate().filter(|(_, part)| !view::is_plain(part));
        let chosen =
            parts.map(|(index, _)| Chosen { part: PartId(index), faces: Vec::new(), worked_edges: false });
        Selection { chosen: chosen.collect() }
    }

    /// Parts by name: `bench.divider` (all parts that its boards are), `bench.divider[2]`, `divider` where only one assembly
    /// has it, the id `bench-divider`, or the mark `B3`.
    ///
    /// # Errors
    /// For names of no part.
    pub fn named(made: &Made, names: &[&str], worked_edges: bool) -> Result<Selection, Vec<Fault>> {
        let (mut chosen, mut faults) = (Vec::new(), Vec::new());
        for name in names {
            match parts_named(made, name) {
                Ok(parts) => {
                    chosen.extend(parts.into_iter().map(|part| Chosen {
                        part,
                        faces: Vec::new(),
                        worked_edges,
                    }));
                }
                Err(fault) => faults.push(fault),
            }
        }
        if faults.is_empty() { Ok(Selection { chosen }) } else { Err(faults) }
    }
}

/// What the spec asks of paper and cannot have: templates of no part, bars that no printer prints.
pub fn check(made: &Made) -> Vec<Diagnostic> {
    let asked = &made.job.full_size;
    let names = asked.templates.iter().flat_map(|template| &template.parts);
    let missing =
        names.filter_map(|(name, place)| Some(("no-such-board", *place, parts_named(made, name).err()?)));
    let printers = asked.printers.iter();
    let wrong =
        printers.filter_map(|given| Some(("printer-measured", given.place, Printer::of(given).err()?)));
    let narrow = asked.printers.iter().filter_map(|given| {
        let printer = Printer::of(given).ok()?;
        Some(("printer-no-room", given.place, page::room(&printer).err()?))
    });
    let all = missing.chain(wrong).chain(narrow);
    all.map(|(check, place, fault)| Diagnostic::error(check, place, fault.message).propose(fault.cure))
        .collect()
}

fn parts_named(made: &Made, name: &str) -> Result<Vec<PartId>, Fault> {
    parts::named(made, name).map_err(|none| Fault::new(none.message, none.cure))
}

/// All pages of the templates of a selection, in the order of the parts, ready for `files::pdf`.
///
/// # Errors
/// For a printer whose paper is too small, and more pages than anybody would glue.
pub fn templates(made: &Made, selection: &Selection, printer: &Printer) -> Result<Vec<Sheet>, Vec<Fault>> {
    let mut sheets = Vec::new();
    let mut faults = Vec::new();
    for chosen in &selection.chosen {
        let Some(part) = made.parts.get(chosen.part.0) else { continue };
        let faces = if chosen.faces.is_empty() { view::worked_faces(part) } else { chosen.faces.clone() };
        for face in faces {
            for drawing in template::drawings(made, chosen.part, face, chosen.worked_edges, printer) {
                match tile::pages(&drawing, printer) {
                    Ok(pages) => sheets.extend(pages),
                    Err(fault) => faults
                        .push(Fault { message: format!("{}: {}", drawing.title, fault.message), ..fault }),
                }
            }
        }
    }
    faults.dedup();
    if faults.is_empty() { Ok(sheets) } else { Err(faults) }
}

/// All pages of the story rods that the spec asks for.
///
/// # Errors
/// For a rod without a mark, and as [`templates`].
pub fn rods(made: &Made, printer: &Printer) -> Result<Vec<Sheet>, Vec<Fault>> {
    let mut sheets = Vec::new();
    let mut faults = Vec::new();
    for asked in &made.job.full_size.rods {
        let rod = story_rod::rod(made, asked);
        match story_rod::drawing(made, &rod).and_then(|drawing| tile::pages(&drawing, printer)) {
            Ok(pages) => sheets.extend(pages),
            Err(fault) => {
                faults.push(Fault { message: format!("{}: {}", rod.title, fault.message), ..fault })
            }
        }
    }
    if faults.is_empty() { Ok(sheets) } else { Err(faults) }
}

/// How sizes are written on paper at full size: finer than on drawings, for they check the paper. What lies on no mark of a
/// rule down to 1/64" is written in thousandths, as a caliper gave it.
#[derive(Clone, Copy)]
struct Figures(Showing);

impl Figures {
    fn show(&self, length: Length) -> Shown {
        let shown = self.0.show(length);
        if self.0.units == Units::Millimetre || shown.off.abs() <= Length::TOUCH {
            return shown;
        }
        let thousandths = Showing { step: THOUSANDTH, inch_form: InchForm::Decimal, decimals: 3, ..self.0 };
        thousandths.show(length)
    }
}

/// A thousandth of an inch.
const THOUSANDTH: Length = Length::from_units(Length::INCH.units() / 1000);

fn figures(made: &Made) -> Figures {
    Figures(showing(made))
}

fn showing(made: &Made) -> Showing {
    match made.job.sheets.units {
        Units::Inch => Showing {
            inch_form: InchForm::Fraction,
            both: Some(Length::from_units(8_000)),
            ..Showing::inch(Length::from_units(31_750))
        },
        Units::Millimetre => Showing::millimetre(Length::from_units(8_000)),
    }
}

/// Mark and name of a part, as everywhere on paper.
fn called(part: &Part) -> String {
    [part.mark.as_str(), part.name.as_str()]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
