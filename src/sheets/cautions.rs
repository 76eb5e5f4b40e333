//! What can hurt somebody in this job: the usual caution, and who has the last word. Common practice, in our own words; each
//! is said only where the job gives reason for it.

use crate::boards::FixingKind;
use crate::length::Length;
use crate::loads::Loads;
use crate::parts::Made;
use crate::trade::Axis;

/// Height from which a unit that is not fixed can fall on somebody: 27 inches, the height from which free-standing clothing
/// storage is tested for stability (ASTM F2057-23, 16 CFR 1261); built-in work takes it as a measure.
const TALL_INCHES: i64 = 27;

/// The cautions of a job, in order of what they can do.
pub fn cautions(made: &Made, loads: &Loads) -> Vec<String> {
    let mut all = Vec::new();
    let tall: Vec<&str> = (0..made.job.assemblies.len())
        .filter(|index| height(made, *index) >= Length::from_units(TALL_INCHES * Length::INCH.units()))
        .filter_map(|index| made.job.assemblies.get(index).map(|assembly| assembly.name.as_str()))
        .collect();
    if !tall.is_empty() {
        all.push(format!(
            "Anchoring ({}): fix to studs or masonry before anything is put in; the local code and, where it is in doubt, an engineer decide",
            tall.join(", ")
        ));
    }
    if !loads.spans.is_empty() || !loads.hangings.is_empty() {
        all.push("Loads: the figures of this set are for planning and replace no engineer".to_owned());
    }
    if made.parts.iter().any(|part| !part.inside_notes.is_empty())
        || made.fixings.iter().any(|f| f.kind != FixingKind::Glue)
    {
        all.push(
            "Electricity: find cables and pipes before a wall is drilled, nailed or cut; power off; boxes, extenders and wiring by a licensed electrician to the local code".to_owned(),
        );
    }
    all.push(
        "Old paint: in a house from before 1978 take it that there is lead until a test says otherwise, and keep to the local rules (40 CFR 745 in the USA)".to_owned(),
    );
    all.push(
        "Dust: extraction at every machine and a mask; beech, oak and redcedar dust harms most".to_owned(),
    );
    let finished =
        made.parts.iter().any(|part| part.finish.is_some() || part.edges.iter().any(|e| e.finish.is_some()));
    if finished {
        all.push(
            "Rags with oil or varnish catch fire by themselves: dry them flat outdoors, or keep them under water in a lidded metal can".to_owned(),
        );
    }
    all
}

fn height(made: &Made, assembly: usize) -> Length {
    let spans =
        made.placed.iter().filter(|p| p.board.assembly == assembly).map(|p| p.board.span[Axis::Up.index()]);
    let (low, high) = spans.fold((None, None), |(low, high): (Option<Length>, Option<Length>), span| {
        (Some(low.map_or(span.low, |l| l.min(span.low))), Some(high.map_or(span.high, |h| h.max(span.high))))
    });
    high.unwrap_or_default() - low.unwrap_or_default()
}
