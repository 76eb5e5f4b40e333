//! Printers, paper templates and story rods as asked, from the spec into values.

use super::{FullSize, Printer, PrinterPaper, RodAsked, TemplateAsked};
use crate::diagnose::{Diagnostic, Faults};
use crate::length::Length;
use crate::spec::language::{
    AxisChoice, PrinterPaper as PaperChoice, PrinterSpec, RodSpec, SideChoice, Spec, TemplateExtent,
    TemplateFace,
};
use crate::spec::read::{Formula, Named};
use crate::trade::{Axis, Face, Side};

/// Blank strip of most printers: a quarter inch is safe for most (common practice), rounded to whole millimetres.
const MARGIN: Length = Length::from_units(Length::MM.units() * 6);

/// What is asked of the printers. `length` works out a formula that must be more than nothing and tells its own faults; `None`
/// where it failed, and what needs it is left out. The words name the formula in a fault.
pub fn full_size(
    spec: &Spec,
    length: &mut dyn FnMut(&Formula, &str) -> Option<Length>,
    faults: &mut Faults,
) -> FullSize {
    let printers = spec.shop.iter().flat_map(|shop| &shop.printers);
    let printers = printers.filter_map(|named| printer(named, length, faults)).collect();
    let paper = spec.templates.iter().filter(|asked| asked.routing.router.is_none());
    let templates = paper.map(|asked| TemplateAsked {
        parts: asked.paper.0.iter().map(|name| (name.text.trim().to_owned(), name.place)).collect(),
        faces: match asked.face {
            None => Vec::new(),
            Some(TemplateFace::Show) => vec![Face::Show],
            Some(TemplateFace::Back) => vec![Face::Back],
            Some(TemplateFace::Both) => vec![Face::Show, Face::Back],
        },
        worked_edges: asked.only == Some(TemplateExtent::WorkedEdges),
    });
    let templates = templates.collect();
    let rods = spec.rods.iter().filter_map(|asked| rod(asked, spec, faults)).collect();
    let routers = super::jigs::shop(spec, length);
    let jigs = spec.templates.iter();
    let jigs = jigs.filter_map(|entry| super::jigs::asked(entry, spec, &routers, length, faults)).collect();
    FullSize { printers, templates, rods, routers, jigs }
}

fn printer(
    named: &Named<PrinterSpec>,
    length: &mut dyn FnMut(&Formula, &str) -> Option<Length>,
    faults: &mut Faults,
) -> Option<Printer> {
    let (name, body) = (&named.name, &named.body);
    let mut figure =
        |formula: &Formula, what: &str| length(formula, &format!("{what} of the printer {name}"));
    let margin = match &body.margin {
        Some(formula) => figure(formula, "margin")?,
        None => MARGIN,
    };
    let paper = match (body.paper, &body.width) {
        (PaperChoice::Roll, Some(width)) => PrinterPaper::Roll(figure(width, "width")?),
        (PaperChoice::Roll, None) => {
            let message = format!("the printer {name} prints on a roll, but its width is not given");
            faults.push(
                Diagnostic::error("printer-paper", named.place, message).propose("add `width: 610 mm`"),
            );
            return None;
        }
        (paper, Some(width)) => {
            let message = format!("the printer {name} takes {} sheets, so it has no `width`", paper.word());
            let fault = Diagnostic::error("printer-paper", width.place, message);
            faults.push(fault.propose("leave `width` out, or write `paper: roll`"));
            return None;
        }
        (paper, None) => PrinterPaper::Sheets(paper.word().to_owned()),
    };
    let given = &body.measured.0;
    let measured = match given.as_slice() {
        [] => None,
        [across, up, corners] => {
            Some([figure(across, "bar across")?, figure(up, "bar up")?, figure(corners, "corner to corner")?])
        }
        _ => {
            let place = body.keys.key("measured").unwrap_or(named.place);
            let message = format!(
                "the printer {name} needs three measured bars, but {} given",
                match given.len() {
                    1 => "one is".to_owned(),
                    many => format!("{many} are"),
                }
            );
            let fault = Diagnostic::error("printer-measured", place, message);
            faults.push(fault.propose("write them in order: across, up, corner to corner"));
            return None;
        }
    };
    Some(Printer { name: name.clone(), place: named.place, paper, margin, measured })
}

fn rod(asked: &RodSpec, spec: &Spec, faults: &mut Faults) -> Option<RodAsked> {
    let axis = match asked.along {
        AxisChoice::Across => Axis::Across,
        AxisChoice::Deep => Axis::Deep,
        AxisChoice::Up => Axis::Up,
    };
    let from = asked.from.map_or(axis.low(), side);
    if from.axis() != axis {
        let place = asked.keys.value("from").unwrap_or(asked.place);
        let (low, high) = (axis.low().word(), axis.high().word());
        let message = format!(
            "a rod that runs {} begins at the {low} or the {high}, not at the {}",
            asked.along.word(),
            from.word()
        );
        faults.push(
            Diagnostic::error("rod-end", place, message)
                .propose(format!("write `from: {low}` or `from: {high}`")),
        );
        return None;
    }
    if let Some(of) = &asked.of
        && !spec.assemblies.iter().any(|assembly| assembly.name == of.text)
    {
        let fault =
            Diagnostic::error("unknown-name", of.place, format!("there is no assembly `{}`", of.text));
        let known = spec.assemblies.iter().map(|assembly| assembly.name.as_str());
        faults.push(match crate::diagnose::nearest(&of.text, known) {
            Some(near) => fault.replace(of.place, near, format!("`{near}` is the nearest")),
            None => fault.propose("name one of the assemblies, or leave `of` out for the whole room"),
        });
        return None;
    }
    Some(RodAsked { of: asked.of.as_ref().map(|of| of.text.clone()), from, place: asked.place })
}

pub(super) fn side(choice: SideChoice) -> Side {
    match choice {
        SideChoice::Left => Side::Left,
        SideChoice::Right => Side::Right,
        SideChoice::Front => Side::Front,
        SideChoice::Back => Side::Back,
        SideChoice::Bottom => Side::Bottom,
        SideChoice::Top => Side::Top,
    }
}
