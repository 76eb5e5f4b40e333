//! Weight and centre of gravity of every part and assembly, and which of them take two people.

use crate::joints::movement::{AT_THE_SHOP, species_of};
use crate::length::Length;
use crate::parts::{Made, Part, PartId};
use crate::shape::measure;
use crate::trade::{FaceFrame, Side, Units};
use crate::values::{Stock, StockForm};
use crate::wood::panels;
use crate::wood::weight::{Lump, TWO_PERSON_LIFT, weigh};

/// All weights of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weights {
    /// Indexed by [`PartId`].
    pub parts: Vec<PartWeight>,
    /// Indexed as the assemblies of the job.
    pub assemblies: Vec<AssemblyWeight>,
    /// Heavier than this, kg, is for two people.
    pub limit: f64,
}

/// One piece of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartWeight {
    /// kg; the words say why there is none.
    pub kilograms: Result<f64, String>,
    /// Centre of gravity from the part's datum: across, up, below the show face; mm.
    pub centre: [f64; 3],
    /// Heavier than one person lifts.
    pub takes_two: bool,
    /// What the figure rests on.
    pub basis: String,
}

/// An assembly as it stands, empty.
#[derive(Clone, Debug, PartialEq)]
pub struct AssemblyWeight {
    /// kg, of all parts whose weight is known.
    pub kilograms: f64,
    /// Centre of gravity in the room, mm; `None` where nothing is known.
    pub centre: Option<[f64; 3]>,
    pub takes_two: bool,
    /// Marks of the parts that are not in the figure.
    pub unknown: Vec<String>,
}

/// Weighs every part and assembly. Volumes are those of the final solids: recesses, profiles, openings and holes taken off.
pub fn weights(made: &Made) -> Weights {
    let limit = made.job.service.lift.unwrap_or(TWO_PERSON_LIFT);
    let weighed: Vec<(PartWeight, Option<Lump>)> =
        made.parts.iter().map(|part| weigh_part(made, part, limit)).collect();
    let assemblies = (0..made.job.assemblies.len()).map(|assembly| {
        let mut lumps = Vec::new();
        let mut unknown = Vec::new();
        for placed in made.placed.iter().filter(|placed| placed.board.assembly == assembly) {
            let Some((_, lump)) = weighed.get(placed.part.0) else { continue };
            match lump {
                Some(lump) => lumps.push(Lump { centroid: in_room(&placed.frame, lump.centroid), ..*lump }),
                None => unknown.extend(made.parts.get(placed.part.0).map(|part| part.mark.clone())),
            }
        }
        unknown.sort();
        unknown.dedup();
        let all = weigh(&lumps);
        let kilograms = all.map_or(0.0, |weight| weight.kilograms);
        let takes_two = kilograms > limit;
        AssemblyWeight { kilograms, centre: all.and_then(|weight| weight.centre), takes_two, unknown }
    });
    let assemblies = assemblies.collect();
    Weights { parts: weighed.into_iter().map(|(weight, _)| weight).collect(), assemblies, limit }
}

/// The part with (across, up, depth) for coordinates, as the assembly's own front view has them.
const FACE: FaceFrame =
    FaceFrame { origin: [Length::ZERO; 3], u: Side::Right, v: Side::Top, into: Side::Back };

fn weigh_part(made: &Made, part: &Part, limit: f64) -> (PartWeight, Option<Lump>) {
    let none = |why: String| {
        let weight =
            PartWeight { kilograms: Err(why), centre: [0.0; 3], takes_two: false, basis: String::new() };
        (weight, None)
    };
    let Some(stock) = made.job.stock.get(part.stock) else { return none("its stock is not known".into()) };
    let (density, basis) = match density(stock) {
        Ok(found) => found,
        Err(why) => return none(why),
    };
    let Ok(mass) = measure::mass(&part.solid(FACE)) else {
        return none("its volume cannot be worked out soundly".into());
    };
    let [across, depth, up] = mass.centroid;
    let lump = Lump { volume: mass.volume_mm3, centroid: [across, up, depth], density };
    let Some(weight) = weigh(&[lump]) else { return none("its density is no number to reckon with".into()) };
    let weight = PartWeight {
        kilograms: Ok(weight.kilograms),
        centre: lump.centroid,
        takes_two: weight.kilograms > limit,
        basis,
    };
    (weight, Some(lump))
}

/// Face coordinates (across, up, depth) in the room, mm.
fn in_room(frame: &FaceFrame, at: [f64; 3]) -> [f64; 3] {
    let mut room = frame.origin.map(Length::to_mm);
    for (side, distance) in [(frame.u, at[0]), (frame.v, at[1]), (frame.into, at[2])] {
        room[side.axis().index()] += distance * side.sign() as f64;
    }
    room
}

/// Mass per volume of a stock, kg/m³, and what it rests on.
///
/// # Errors
/// Words that say what is not known and what would help.
pub(super) fn density(stock: &Stock) -> Result<(f64, String), String> {
    if let Some(density) = stock.wood.density {
        return Ok((density, format!("{}: {density:.0} kg/m³ as the spec says", stock.name)));
    }
    let help = "give it a density, or say what it is like";
    match stock.form {
        StockForm::Solid { .. } => {
            let species = species_of(stock).map_err(|why| format!("{}: {why}; {help}", stock.name))?;
            let moisture = stock.wood.moisture.unwrap_or(AT_THE_SHOP);
            let value = species.density(moisture);
            let value = value.ok_or_else(|| {
                format!("{}: the density of {} is not tabulated; {help}", stock.name, species.name)
            })?;
            let basis = format!(
                "{}: {}, {:.0} kg/m³ at {moisture} % moisture ({})",
                stock.name,
                species.name,
                value.value,
                value.standing()
            );
            Ok((value.value, basis))
        }
        StockForm::Sheet { .. } => {
            let panel = panel_of(stock)
                .ok_or_else(|| format!("{}: no such sheet is tabulated; {help}", stock.name))?;
            let value = panel.density_at(stock.thick);
            let basis =
                format!("{}: {}, {:.0} kg/m³ ({})", stock.name, panel.name, value.value, value.standing());
            Ok((value.value, basis))
        }
    }
}

/// The kind of sheet that a stock is by its label, or that stands in for it.
pub(super) fn panel_of(stock: &Stock) -> Option<&'static panels::Panel> {
    match &stock.wood.like {
        Some(like) => panels::named_in(&like.text),
        None => stock
            .called
            .as_deref()
            .and_then(panels::named_in)
            .or_else(|| stock.species.as_deref().and_then(panels::named_in))
            .or_else(|| panels::named_in(&stock.name)),
    }
}

/// What a part's weight and lift are in a line; `None` where nothing is known.
pub fn told(weights: &Weights, part: PartId, units: Units) -> Option<String> {
    let weight = weights.parts.get(part.0)?;
    let kilograms = weight.kilograms.as_ref().ok()?;
    let lift = if weight.takes_two { ": LIFT WITH TWO" } else { "" };
    Some(format!("about {} each{lift}", super::mass(*kilograms, units)))
}
