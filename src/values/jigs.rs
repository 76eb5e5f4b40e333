//! Router templates as asked and what the shop's routers have, from the spec into values.

use super::{Bearing, Collar, CornerRule, CutAsked, Guide, RouterAsked, RouterShop};
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::length::notation::tell;
use crate::spec::language::{
    BearingChoice, CornerChoice, PaperTemplateSpec, RouterTemplateSpec, Spec, TemplateFace,
};
use crate::spec::read::Formula;
use crate::trade::{Face, Units};

/// Usual sizes in the spec's own unit (common practice): diameter of a round base, the strip that a clamp's jaw takes, a sheet
/// for templates, and the step to which a thicker one is rounded.
struct Usual {
    base: Length,
    clamp: Length,
    thick: Length,
    thick_step: Length,
}

const fn usual(units: Units) -> Usual {
    let (inch, mm) = (Length::INCH.units(), Length::MM.units());
    match units {
        Units::Inch => Usual {
            base: Length::from_units(inch * 6),
            clamp: Length::from_units(inch * 3 / 2),
            thick: Length::from_units(inch / 2),
            thick_step: Length::from_units(inch / 16),
        },
        Units::Millimetre => Usual {
            base: Length::from_units(mm * 150),
            clamp: Length::from_units(mm * 40),
            thick: Length::from_units(mm * 12),
            thick_step: Length::from_units(mm),
        },
    }
}

/// Works out a formula that must be more than nothing and tells its own faults; the words name it.
type Figure<'a> = dyn FnMut(&Formula, &str) -> Option<Length> + 'a;

/// Bits, collars and base of the shop.
pub(super) fn shop(spec: &Spec, length: &mut Figure) -> RouterShop {
    let base = usual(super::job::units(spec)).base;
    let Some(given) = spec.shop.as_ref().map(|shop| &shop.routers) else {
        return RouterShop { base, ..RouterShop::default() };
    };
    let bits = given.bits.0.iter().filter_map(|bit| length(bit, "bit of the shop")).collect();
    let collars = given.collars.iter().filter_map(|collar| {
        let outside = length(&collar.outside, "outside diameter of a collar")?;
        let stands_out = match &collar.stands_out {
            Some(formula) => Some(length(formula, "what a collar stands out")?),
            None => None,
        };
        Some(Collar { outside, stands_out })
    });
    let collars = collars.collect();
    let own = given.router_base.as_ref().and_then(|base| length(base, "router's base"));
    RouterShop { bits, collars, base: own.unwrap_or(base) }
}

/// One router template; `None` where the entry is none, or its faults were told.
pub(super) fn asked(
    entry: &PaperTemplateSpec,
    spec: &Spec,
    shop: &RouterShop,
    length: &mut Figure,
    faults: &mut Faults,
) -> Option<RouterAsked> {
    let own = &entry.routing;
    let at = |key: &str| entry.keys.key(key).unwrap_or(entry.place);
    let Some(part) = &own.router else {
        for key in ROUTER_KEYS.into_iter().filter(|key| entry.keys.key(key).is_some()) {
            let message = format!("`{key}` belongs to a router template, but no part is routed");
            let fault = Diagnostic::error("router-template", at(key), message);
            faults.push(fault.propose("add `router: bench.divider`, or whichever part it is"));
        }
        return None;
    };
    let wrong: Vec<&str> =
        ["paper", "only"].into_iter().filter(|key| entry.keys.key(key).is_some()).collect();
    for key in &wrong {
        let message = format!("`{key}` belongs to a paper template; this one guides a router");
        let fault = Diagnostic::error("router-template", at(key), message);
        faults.push(fault.propose(format!("leave `{key}` out, or put it into an entry of its own")));
    }
    let face = match entry.face {
        None | Some(TemplateFace::Show) => Face::Show,
        Some(TemplateFace::Back) => Face::Back,
        Some(TemplateFace::Both) => {
            let message = "a router template lies on one face of the part";
            let fault = Diagnostic::error("router-template", at("face"), message);
            faults.push(fault.propose("write `face: show` or `face: back`"));
            return None;
        }
    };
    let what = format!("of the router template for {}", part.text.trim());
    let cut = cut(own, entry.place, &at, faults);
    let tools = tools(own, spec, shop, &what, &Entry { place: entry.place, at: &at }, length, faults);
    let screws: Option<Vec<_>> = (own.screws.iter())
        .map(|screw| {
            let across = length(&screw.across, &format!("across of a screw {what}"));
            let up = length(&screw.up, &format!("up of a screw {what}"));
            Some(([across?, up?], screw.across.place))
        })
        .collect();
    if !own.screws.is_empty() && !matches!(cut, None | Some(CutAsked::Whole)) {
        let message =
            "`screws` hold a template of the `whole` outline; others have fences, pins or room for clamps";
        let fault = Diagnostic::error("router-template", at("screws"), message);
        faults.push(fault.propose("leave `screws` out"));
        return None;
    }
    let mut figure = |formula: &Option<Formula>, word: &str| match formula {
        Some(formula) => length(formula, &format!("{word} {what}")).map(Some),
        None => Some(None),
    };
    let thick = figure(&own.template_thick, "template_thick");
    let clamp = figure(&own.clamp, "clamp");
    let ((bit, guide), cut, thick, clamp, screws) = (tools?, cut?, thick?, clamp?, screws?);
    let stands_out = match guide {
        Guide::Collar(collar) => collar.stands_out,
        Guide::Bearing(_) => None,
    };
    if let (Some(thick), Some(least)) = (thick, stands_out)
        && thick < least
    {
        let units = super::job::units(spec);
        let message = format!(
            "a template {} thick lets the collar, which stands out {}, touch the work",
            tell(thick, units),
            tell(least, units)
        );
        let fault = Diagnostic::error("template-thin", at("template_thick"), message);
        faults.push(fault.propose(format!("make the template {} thick or more", tell(least, units))));
        return None;
    }
    let usual = usual(super::job::units(spec));
    let least = stands_out.map_or(Length::ZERO, |least| up_to_step(least, usual.thick_step));
    wrong.is_empty().then(|| RouterAsked {
        part: (part.text.trim().to_owned(), part.place),
        cut,
        bit,
        guide,
        corners: match own.corners {
            None | Some(CornerChoice::SquareByHand) => CornerRule::SquareByHand,
            Some(CornerChoice::RoundMate) => CornerRule::RoundMate,
            Some(CornerChoice::Relieve) => CornerRule::Relieve,
        },
        thick: thick.unwrap_or(usual.thick.max(least)),
        clamp: clamp.unwrap_or(usual.clamp),
        face,
        screws,
        place: entry.place,
    })
}

const ROUTER_KEYS: [&str; 12] = [
    "notch",
    "opening",
    "housing",
    "edge",
    "whole",
    "bit",
    "collar",
    "bearing",
    "corners",
    "template_thick",
    "clamp",
    "screws",
];

fn up_to_step(length: Length, step: Length) -> Length {
    Length::from_units((length.units() + step.units() - 1).div_euclid(step.units()) * step.units())
}

fn cut(
    own: &RouterTemplateSpec,
    place: Place,
    at: &dyn Fn(&str) -> Place,
    faults: &mut Faults,
) -> Option<CutAsked> {
    let mut all = Vec::new();
    if !own.notch.0.is_empty() {
        let names = own.notch.0.iter().map(|name| (name.text.clone(), name.place));
        all.push(("notch", CutAsked::Notch(names.collect())));
    }
    if let Some(name) = &own.opening {
        all.push(("opening", CutAsked::Opening(name.text.clone(), name.place)));
    }
    if let Some(name) = &own.housing {
        all.push(("housing", CutAsked::Housing(name.text.clone(), name.place)));
    }
    if let Some(side) = own.edge {
        all.push(("edge", CutAsked::Edge(super::full_size::side(side), at("edge"))));
    }
    if own.whole.is_some_and(|flag| flag.on) {
        all.push(("whole", CutAsked::Whole));
    }
    let mut all = all.into_iter();
    match (all.next(), all.next()) {
        (Some((_, only)), None) => Some(only),
        (None, _) => {
            let message = "the router template does not say what it cuts";
            let fault = Diagnostic::error("router-template", place, message);
            faults.push(fault.propose("add one of `notch`, `opening`, `housing`, `edge` and `whole: yes`"));
            None
        }
        (Some((first, _)), Some((second, _))) => {
            let message = format!("`{first}` and `{second}` are two router templates");
            let fault = Diagnostic::error("router-template", at(second), message);
            faults.push(fault.propose("make two entries of it"));
            None
        }
    }
}

struct Entry<'a> {
    place: Place,
    at: &'a dyn Fn(&str) -> Place,
}

fn tools(
    own: &RouterTemplateSpec,
    spec: &Spec,
    shop: &RouterShop,
    what: &str,
    entry: &Entry,
    length: &mut Figure,
    faults: &mut Faults,
) -> Option<(Length, Guide)> {
    let units = super::job::units(spec);
    let shops_own = spec.shop.as_ref().and_then(|shop| shop.bit.as_ref());
    let Some(bit_formula) = own.bit.as_ref().or(shops_own) else {
        let message = "the router template needs a bit";
        let fault = Diagnostic::error("router-template", entry.place, message);
        faults.push(fault.propose("add `bit: 1/4\"`, or whichever it is, here or under `shop`"));
        return None;
    };
    let bit = length(bit_formula, &format!("bit {what}"));
    let guide = guide(own, shop, units, what, entry, length, faults);
    let (bit, guide) = (bit?, guide?);
    if !shop.bits.is_empty() && !shop.bits.contains(&bit) {
        let place = own.bit.as_ref().map_or(entry.place, |bit| bit.place);
        let message =
            format!("the shop has no bit of {}; there are {}", tell(bit, units), list(&shop.bits, units));
        let fault = Diagnostic::error("bit-not-there", place, message);
        faults.push(fault.propose("take one of these, or add it to `shop: bits`"));
        return None;
    }
    if let Guide::Collar(collar) = guide
        && collar.outside <= bit
    {
        let message = format!(
            "a bit of {} does not pass a collar of {} outside",
            tell(bit, units),
            tell(collar.outside, units)
        );
        let fault = Diagnostic::error("collar-too-small", (entry.at)("collar"), message);
        faults.push(fault.propose("take a larger collar, a smaller bit, or `bearing: top`"));
        return None;
    }
    Some((bit, guide))
}

fn guide(
    own: &RouterTemplateSpec,
    shop: &RouterShop,
    units: Units,
    what: &str,
    entry: &Entry,
    length: &mut Figure,
    faults: &mut Faults,
) -> Option<Guide> {
    let collar = match (&own.collar, own.bearing) {
        (Some(collar), None) => collar,
        (None, Some(BearingChoice::Top)) => return Some(Guide::Bearing(Bearing::Top)),
        (None, Some(BearingChoice::Bottom)) => return Some(Guide::Bearing(Bearing::Bottom)),
        (None, None) => {
            let message = "the router template does not say what follows it";
            let fault = Diagnostic::error("router-template", entry.place, message);
            faults.push(fault.propose("add `collar: 5/8\"` (its outside diameter), or `bearing: top`"));
            return None;
        }
        (Some(_), Some(_)) => {
            let message = "either a collar or a bearing follows the template, not both";
            let fault = Diagnostic::error("router-template", (entry.at)("bearing"), message);
            faults.push(fault.propose("leave one of them out"));
            return None;
        }
    };
    let outside = length(collar, &format!("collar {what}"))?;
    if shop.collars.is_empty() {
        faults.extend(super::likely::collar(outside, collar.place, units));
        return Some(Guide::Collar(Collar { outside, stands_out: None }));
    }
    let known = shop.collars.iter().find(|known| known.outside == outside);
    if known.is_none() {
        let there: Vec<Length> = shop.collars.iter().map(|collar| collar.outside).collect();
        let message =
            format!("the shop has no collar of {}; there are {}", tell(outside, units), list(&there, units));
        let fault = Diagnostic::error("collar-not-there", collar.place, message);
        faults.push(fault.propose("take one of these, or add it to `shop: collars`"));
    }
    known.map(|known| Guide::Collar(*known))
}

fn list(all: &[Length], units: Units) -> String {
    all.iter().map(|length| tell(*length, units)).collect::<Vec<_>>().join(", ")
}
