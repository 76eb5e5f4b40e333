//! What the cutting shops want to be sent, from the spec into values.

use super::{CutText, CuttingShop, LayerKind, Origin, Pattern, Relief, Shop};
use crate::diagnose::{Diagnostic, Faults, Place, nearest};
use crate::length::{Length, Units};
use crate::spec::language::{
    CuttingShopSpec, GrainAxisChoice, LayersSpec, OriginChoice, PartsChoice, ReliefChoice, Spec, StockSpec,
    TextChoice, UnitsChoice, VersionChoice, WallChoice,
};
use crate::spec::read::{Formula, Named, Words};
use crate::trade::Grain;

/// Most characters that a layer's name may have in R12, and in any file that a person is to read.
const LONGEST: [usize; 2] = [31, 120];

/// What may stand in the name of a file. `part` and `mark` stand for nothing on a sheet, which holds many; the piece of the
/// name that has them is left out there.
const IN_FILE_NAMES: [&str; 9] =
    ["job", "part", "mark", "stock", "thick", "quantity", "revision", "units", "sheet"];

pub(super) type Solve<'a> = &'a mut dyn FnMut(&Formula, &str) -> Option<Length>;

impl CuttingShop {
    /// The shop that nothing is known of: one file a part, millimetres, R2000, no relief.
    pub fn usual() -> CuttingShop {
        CuttingShop {
            name: String::new(),
            place: Place::default(),
            units: Units::Millimetre,
            nested: false,
            stock: Vec::new(),
            layers: LayerKind::ALL.map(|kind| usual_layer(kind, false)).to_vec(),
            text: CutText::IgnoredLayer,
            relief: Relief::None,
            bit: None,
            bit_place: Place::default(),
            reference: false,
            r12: false,
            file_name: Pattern {
                text: "{job}_{part}_{stock}_{thick}_x{quantity}_rev{revision}".into(),
                place: Place::default(),
            },
            origin: Origin::Datum,
            grain: None,
            coupon_step: Length::from_units(Length::MM.units() / 10),
            tabs: None,
        }
    }

    /// The pattern of a kind of layer.
    pub fn layer(&self, kind: LayerKind) -> &Pattern {
        static NONE: Pattern = Pattern { text: String::new(), place: Place { file: 0, start: 0, end: 0 } };
        self.layers.get(kind as usize).unwrap_or(&NONE)
    }

    /// Most characters of a layer's name.
    pub fn longest_layer(&self) -> usize {
        if self.r12 { LONGEST[0] } else { LONGEST[1] }
    }

    /// True where the shop cuts from this stock (index into [`super::Job::stock`]).
    pub fn cuts(&self, stock: usize) -> bool {
        self.stock.is_empty() || self.stock.contains(&stock)
    }
}

impl LayerKind {
    /// All of them, in the order of their numbers.
    pub const ALL: [LayerKind; 12] = [
        LayerKind::Outside,
        LayerKind::Inside,
        LayerKind::Pocket,
        LayerKind::DrillThrough,
        LayerKind::Drill,
        LayerKind::Countersink,
        LayerKind::Slot,
        LayerKind::Label,
        LayerKind::Text,
        LayerKind::Reference,
        LayerKind::Sheet,
        LayerKind::Tab,
    ];

    /// The key under `layers`.
    pub const fn word(self) -> &'static str {
        match self {
            LayerKind::Outside => "outside",
            LayerKind::Inside => "inside",
            LayerKind::Pocket => "pocket",
            LayerKind::DrillThrough => "drill_through",
            LayerKind::Drill => "drill",
            LayerKind::Countersink => "countersink",
            LayerKind::Slot => "slot",
            LayerKind::Label => "label",
            LayerKind::Text => "text",
            LayerKind::Reference => "reference",
            LayerKind::Sheet => "sheet",
            LayerKind::Tab => "tab",
        }
    }

    /// False for what a machine leaves out.
    pub const fn is_cut(self) -> bool {
        !matches!(self, LayerKind::Text | LayerKind::Reference | LayerKind::Sheet)
    }

    /// What may stand in its name.
    const fn placeholders(self) -> &'static [&'static str] {
        match self {
            LayerKind::Pocket => &["face", "depth"],
            LayerKind::Drill => &["face", "diameter", "depth"],
            LayerKind::DrillThrough | LayerKind::Slot => &["diameter"],
            LayerKind::Countersink => &["face", "diameter"],
            LayerKind::Tab => &["height"],
            _ => &[],
        }
    }
}

fn usual_layer(kind: LayerKind, r12: bool) -> Pattern {
    let text = match kind {
        LayerKind::Outside => "OUTSIDE_THROUGH",
        LayerKind::Inside => "INSIDE_THROUGH",
        LayerKind::Pocket => "POCKET_{face}_{depth}",
        LayerKind::DrillThrough if r12 => "DRILL_THRU_{diameter}",
        LayerKind::DrillThrough => "DRILL_THROUGH_{diameter}",
        LayerKind::Drill if r12 => "DRILL_{face}_{diameter}_D{depth}",
        LayerKind::Drill => "DRILL_{face}_{diameter}_DEEP_{depth}",
        LayerKind::Countersink => "COUNTERSINK_{face}_{diameter}",
        LayerKind::Slot if r12 => "SLOT_THRU_{diameter}",
        LayerKind::Slot => "SLOT_THROUGH_{diameter}",
        LayerKind::Label => "ENGRAVE_LABEL",
        LayerKind::Text => "TEXT_NOT_CUT",
        LayerKind::Reference => "REFERENCE_NOT_CUT",
        LayerKind::Sheet => "SHEET_NOT_CUT",
        LayerKind::Tab => "TAB_{height}",
    };
    Pattern { text: text.into(), place: Place::default() }
}

fn typed(layers: &LayersSpec, kind: LayerKind) -> &Option<Words> {
    match kind {
        LayerKind::Outside => &layers.outside,
        LayerKind::Inside => &layers.inside,
        LayerKind::Pocket => &layers.pocket,
        LayerKind::DrillThrough => &layers.drill_through,
        LayerKind::Drill => &layers.drill,
        LayerKind::Countersink => &layers.countersink,
        LayerKind::Slot => &layers.slot,
        LayerKind::Label => &layers.label,
        LayerKind::Text => &layers.text,
        LayerKind::Reference => &layers.reference,
        LayerKind::Sheet => &layers.sheet,
        LayerKind::Tab => &layers.tab,
    }
}

/// The names in braces in a text, in order.
pub fn placeholders(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).filter_map(|rest| rest.split_once('}')).map(|(name, _)| name)
}

/// The cutting shops of a spec. `length` works out a formula that must be more than nothing and tells its own faults.
pub fn cutting_shops(spec: &Spec, shop: &Shop, length: Solve, faults: &mut Faults) -> Vec<CuttingShop> {
    let asked = spec.shop.iter().flat_map(|shop| &shop.cutting_shops);
    asked.map(|named| one(named, &spec.stock, shop, length, faults)).collect()
}

fn fault(place: Place, message: String, cure: impl Into<String>) -> Diagnostic {
    Diagnostic::error("cutting-shop", place, message).propose(cure)
}

fn one(
    named: &Named<CuttingShopSpec>,
    stock: &[Named<StockSpec>],
    shop: &Shop,
    length: Solve,
    faults: &mut Faults,
) -> CuttingShop {
    let (name, body) = (&named.name, &named.body);
    let usual = CuttingShop::usual();
    let r12 = body.version == Some(VersionChoice::R12);
    let nested = body.parts == Some(PartsChoice::Nested);
    let units = if body.units == Some(UnitsChoice::Inch) { Units::Inch } else { Units::Millimetre };
    let mut figure =
        |formula: &Formula, what: &str| length(formula, &format!("{what} of the cutting shop {name}"));
    let own_bit = body.bit.as_ref().and_then(|formula| figure(formula, "bit"));
    let step = body.coupon_step.as_ref().and_then(|formula| figure(formula, "coupon_step"));
    let usual_step = match units {
        Units::Inch => Length::from_units(Length::INCH.units() / 200),
        Units::Millimetre => usual.coupon_step,
    };
    let bit = if body.bit.is_some() { own_bit } else { shop.bit };
    if name == "jigs" {
        let message = "a cutting shop cannot be called jigs: router templates have that folder".to_owned();
        faults.push(fault(named.place, message, "call it by another name"));
    }
    let relief = relief(body);
    if relief != Relief::None && body.bit.is_none() && bit.is_none() {
        let place = body.keys.value("relief").unwrap_or(named.place);
        let message = format!("{name} relieves inside corners, but no bit is given that cuts them");
        faults.push(fault(place, message, "add `bit: 1/4\"` or whatever it is, here or to the shop"));
    }
    let mut cuts = Vec::new();
    for wanted in &body.stock.0 {
        match stock.iter().position(|stock| stock.name == wanted.text) {
            Some(index) => cuts.push(index),
            None => {
                let message = format!("{name}: there is no stock `{}`", wanted.text);
                let known = stock.iter().map(|stock| stock.name.as_str());
                let told = Diagnostic::error("unknown-name", wanted.place, message);
                faults.push(match nearest(&wanted.text, known) {
                    Some(near) => told.replace(wanted.place, near, format!("`{near}` is the nearest")),
                    None => told.propose("name the stock that this shop cuts, or leave `stock` out"),
                });
            }
        }
    }
    CuttingShop {
        name: name.clone(),
        place: named.place,
        units,
        nested,
        stock: cuts,
        layers: layers(name, body, r12, faults),
        text: match body.text {
            None | Some(TextChoice::IgnoredLayer) => CutText::IgnoredLayer,
            Some(TextChoice::Outlines) => CutText::Outlines,
            Some(TextChoice::None) => CutText::None,
        },
        relief,
        bit,
        bit_place: body.bit.as_ref().map_or(shop.place, |bit| bit.place),
        reference: body.reference.is_none_or(|flag| flag.on),
        r12,
        file_name: file_name(named, r12, nested, faults),
        origin: match body.origin {
            None | Some(OriginChoice::Datum) => Origin::Datum,
            Some(OriginChoice::LowerLeft) => Origin::LowerLeft,
            Some(OriginChoice::Centre) => Origin::Centre,
        },
        grain: match body.grain {
            None | Some(GrainAxisChoice::AsDrawn) => None,
            Some(GrainAxisChoice::X) => Some(Grain::AlongU),
            Some(GrainAxisChoice::Y) => Some(Grain::AlongV),
        },
        coupon_step: step.unwrap_or(usual_step),
        tabs: super::tabs::tabs(body, name, length, faults),
    }
}

fn relief(body: &CuttingShopSpec) -> Relief {
    match body.relief {
        None | Some(ReliefChoice::None) => Relief::None,
        Some(ReliefChoice::DogBone) => Relief::DogBone,
        Some(ReliefChoice::TBone) if body.relief_wall == Some(WallChoice::Shorter) => Relief::TBoneShorter,
        Some(ReliefChoice::TBone) => Relief::TBoneLonger,
    }
}

fn layers(shop: &str, body: &CuttingShopSpec, r12: bool, faults: &mut Faults) -> Vec<Pattern> {
    let mut all = Vec::new();
    for kind in LayerKind::ALL {
        let words = body.layers.as_ref().and_then(|layers| typed(layers, kind).as_ref());
        let Some(words) = words else {
            all.push(usual_layer(kind, r12));
            continue;
        };
        let known = kind.placeholders();
        check_placeholders(shop, words, known, faults);
        if !words.text.chars().any(|sign| sign.is_ascii_alphanumeric()) {
            let message = format!("{shop}: nothing of `{}` can stand in the name of a layer", words.text);
            faults.push(fault(words.place, message, "use letters, digits, `_`, `-` and `.`"));
        }
        all.push(Pattern { text: words.text.clone(), place: words.place });
    }
    // Two patterns of one text are never told apart; what only meets by its figures is found on the parts.
    for (index, kind) in LayerKind::ALL.into_iter().enumerate() {
        for other in LayerKind::ALL.into_iter().skip(index + 1) {
            let (one, two) = (&all[kind as usize], &all[other as usize]);
            if (kind.is_cut() || other.is_cut()) && one.text.eq_ignore_ascii_case(&two.text) {
                let place = if two.place == Place::default() { one.place } else { two.place };
                let message = format!(
                    "{shop}: {} and {} would both lie on the layer {}",
                    kind.word(),
                    other.word(),
                    two.text
                );
                faults.push(fault(place, message, "give each of them a layer of its own"));
            }
        }
    }
    all
}

fn check_placeholders(shop: &str, words: &Words, known: &[&'static str], faults: &mut Faults) {
    for found in placeholders(&words.text).filter(|found| !known.contains(found)) {
        let message = format!("{shop}: `{{{found}}}` stands for nothing in `{}`", words.text);
        let all: Vec<String> = known.iter().map(|name| format!("`{{{name}}}`")).collect();
        let cure = match (nearest(found, known.iter().copied()), all.as_slice()) {
            (Some(near), _) => format!("write `{{{near}}}`"),
            (None, []) => "leave it out".to_owned(),
            (None, all) => format!("there are {}", all.join(", ")),
        };
        faults.push(fault(words.place, message, cure));
    }
}

fn file_name(named: &Named<CuttingShopSpec>, r12: bool, nested: bool, faults: &mut Faults) -> Pattern {
    let shop = &named.name;
    let Some(words) = &named.body.file_name else {
        let what = if nested { "{sheet}" } else { "{part}" };
        let units = if r12 { "_{units}" } else { "" };
        let text = format!("{{job}}_{what}_{{stock}}_{{thick}}_x{{quantity}}{units}_rev{{revision}}");
        return Pattern { text, place: named.place };
    };
    check_placeholders(shop, words, &IN_FILE_NAMES, faults);
    let has = |wanted: &[&str]| placeholders(&words.text).any(|found| wanted.contains(&found));
    let (wanted, what): (&[&str], _) = if nested {
        (&["sheet"], "the sheets apart: add `{sheet}`")
    } else {
        (&["part", "mark"], "the parts apart: add `{part}` or `{mark}`")
    };
    if !has(wanted) {
        let message = format!("{shop}: `{}` gives all its files one name", words.text);
        faults.push(fault(words.place, message, format!("let the name tell {what}")));
    }
    if r12 && !has(&["units"]) {
        let message = format!("{shop}: R12 has no place for the unit, and `{}` does not tell it", words.text);
        faults.push(fault(words.place, message, "add `{units}` to the name of the file"));
    }
    Pattern { text: words.text.clone(), place: words.place }
}
