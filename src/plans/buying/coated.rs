//! What goes by area: finish, glue and abrasives. Areas are those of the whole parts, edges included; a recess counts as the
//! face it is cut in.

use num_rational::Ratio;
use num_traits::{CheckedDiv, CheckedMul};

use super::{Kind, Line, line, tenth};
use crate::length::Units;
use crate::parts::{Made, Part};
use crate::plans::boards::BoardPlan;
use crate::trade::money::{self, show_number, show_share, square_metres};
use crate::values::StockForm;
use crate::values::supply::Finish;
use crate::wood::spread::{GLUE_SQUARE_FEET, SPREADS, Spread};

type Number = Ratio<i128>;

/// Area of one face of a part, openings taken out, and of its edges and the sides of its openings, in square millimetres.
fn areas(part: &Part) -> (f64, f64) {
    let face = part.outline.area_mm2() - part.inside.iter().map(|inside| inside.area_mm2()).sum::<f64>();
    let round =
        part.outline.perimeter_mm() + part.inside.iter().map(|inside| inside.perimeter_mm()).sum::<f64>();
    (face.max(0.0), round * part.thick.to_mm())
}

fn both_faces(part: &Part) -> f64 {
    let (face, edges) = areas(part);
    (2.0 * face + edges) * part.quantity as f64
}

/// An area as the job's units say it: `12.3 ft²`, `1.14 m²`.
fn told(area: Number, units: Units) -> String {
    match units {
        Units::Inch => {
            let feet = area / Ratio::new(9_290_304, 100_000_000);
            format!("{} ft²", show_number((feet * Ratio::from_integer(10)).ceil() / Ratio::from_integer(10)))
        }
        Units::Millimetre => {
            format!("{} m²", show_number((area * Ratio::from_integer(100)).ceil() / Ratio::from_integer(100)))
        }
    }
}

/// The words of a part's finish, each made comparable.
fn words(text: &str) -> Vec<String> {
    text.split([',', ';', '+']).map(plain).filter(|word| !word.is_empty()).collect()
}

fn plain(text: &str) -> String {
    text.to_lowercase().replace(['_', '-'], " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Measures of a finish or a glue that an area takes: area × coats × (1 + extra) ÷ spread ÷ what one can holds, rounded up.
/// Areas in square metres, spread in square metres to a litre, the can in litres. `None` beyond what can be counted.
pub fn cans(area: Number, coats: i64, extra: Number, spread: Number, can: Number) -> Option<Number> {
    let coated = area.checked_mul(&Ratio::from_integer(i128::from(coats)))?;
    let with = coated.checked_mul(&(Ratio::from_integer(1) + extra))?;
    Some(with.checked_div(&spread)?.checked_div(&can)?.ceil())
}

fn per_gallon(square_feet: i128) -> Number {
    // Cannot fail: the words are the program's own. Without them nothing would be counted, and that is told as no line.
    money::spread(&format!("{square_feet} ft2/gal")).unwrap_or_else(|| Ratio::from_integer(1))
}

fn usual(finish: &Finish) -> Spread {
    SPREADS.iter().find(|row| row.kind == finish.kind).copied().unwrap_or(SPREADS[0])
}

fn usual_can(units: Units, inch: &str, metric: &str) -> (Number, String) {
    let text = if units == Units::Inch { inch } else { metric };
    (money::volume(text).unwrap_or_else(|| Ratio::from_integer(1)), text.to_owned())
}

/// One line a finish, in the order of the spec, and one for each finish that a part asks for and the spec does not know.
pub(super) fn finishes(made: &Made) -> Vec<Line> {
    let buy = &made.job.supply.buy;
    let units = made.job.units;
    let asked = |part: &Part| part.finish.as_deref().map(words).unwrap_or_default();
    let serves = |finish: &Finish, word: &String| {
        plain(&finish.name) == *word || finish.words.iter().any(|other| plain(other) == *word)
    };
    let mut lines = Vec::new();
    for finish in &buy.finishes {
        let parts: Vec<&Part> =
            made.parts.iter().filter(|part| asked(part).iter().any(|word| serves(finish, word))).collect();
        let of = |part: &Part| {
            let (face, edges) = areas(part);
            (if finish.show_only { face + edges } else { 2.0 * face + edges }) * part.quantity as f64
        };
        let area = square_metres(parts.iter().map(|part| of(part)).sum());
        if parts.is_empty() {
            continue;
        }
        let row = usual(finish);
        let spread = finish.spread.unwrap_or_else(|| per_gallon(row.square_feet[0]));
        let coats = finish.coats.unwrap_or(row.coats);
        let extra = finish.extra.unwrap_or_else(tenth);
        let (can, holds) = finish.can.clone().unwrap_or_else(|| usual_can(units, "1 qt", "1 l"));
        let Some(count) = cans(area, coats, extra, spread, can) else { continue };
        let marks: Vec<&str> = parts.iter().map(|part| part.mark.as_str()).collect();
        let needs = format!(
            "{} in {coats} {} and {} over, on {}; all of one batch",
            told(area, units),
            if coats == 1 { "coat" } else { "coats" },
            show_share(extra),
            marks.join(", ")
        );
        lines.push(line(
            Kind::Finish,
            finish.name.replace('_', " "),
            needs,
            count,
            &format!("can of {holds}"),
            finish.price,
        ));
    }
    let mut unknown: Vec<(String, f64)> = Vec::new();
    for part in &made.parts {
        for word in asked(part) {
            if buy.finishes.iter().any(|finish| serves(finish, &word)) {
                continue;
            }
            match unknown.iter_mut().find(|(known, _)| *known == word) {
                Some((_, area)) => *area += both_faces(part),
                None => unknown.push((word, both_faces(part))),
            }
        }
    }
    for (word, area) in unknown {
        let needs = format!(
            "{} in one coat, both faces and edges; `buy: finishes` can say what a can covers",
            told(square_metres(area), units)
        );
        lines.push(line(Kind::Finish, word, needs, Ratio::from_integer(1), "lot", None));
    }
    lines
}

/// Glue for all glued joints and for the edges of glued-up panels.
pub(super) fn glue(made: &Made, boards: &[BoardPlan]) -> Option<Line> {
    let mut area = 0.0;
    for joint in made.joints.iter().filter(|joint| joint.glue && !joint.refused) {
        for contact in &joint.contact {
            let sizes = [0, 1, 2].map(|axis: usize| (contact.high[axis] - contact.low[axis]).to_mm());
            let mut sizes: Vec<f64> = sizes.into_iter().map(f64::abs).collect();
            sizes.sort_by(f64::total_cmp);
            // A rectangle has no third size.
            area += sizes[1] * sizes[2];
        }
    }
    for plan in boards {
        for strip in plan.glue_ups() {
            let panels = strip.quantity as f64 / strip.of as f64;
            area += panels * (strip.of - 1) as f64 * strip.rough_length.to_mm() * plan.rough.to_mm();
        }
    }
    for strip in boards.iter().flat_map(|plan| &plan.strips) {
        if let Some(run) = &strip.run {
            // A scarf at 45° is longer than its lap by the root of two.
            let one = run.lap.to_mm() * std::f64::consts::SQRT_2 * strip.width.to_mm();
            area += one * run.laps.len() as f64 * (strip.quantity as f64 / run.pieces as f64);
        }
    }
    if area <= 0.0 {
        return None;
    }
    let given = made.job.supply.buy.glue.clone().unwrap_or_default();
    let spread = given.spread.unwrap_or_else(|| per_gallon(GLUE_SQUARE_FEET));
    let (bottle, holds) = given.bottle.unwrap_or_else(|| usual_can(made.job.units, "1 pt", "500 ml"));
    let area = square_metres(area);
    let count = cans(area, 1, tenth(), spread, bottle)?;
    let needs = format!("{} of glued joints, {} over", told(area, made.job.units), show_share(tenth()));
    Some(line(Kind::Glue, "wood glue".to_owned(), needs, count, &format!("bottle of {holds}"), given.price))
}

/// Sheets or discs of each grit, where the spec says how far one goes: for all that is solid or gets a finish.
pub(super) fn abrasives(made: &Made) -> Vec<Line> {
    let Some(given) = &made.job.supply.buy.abrasives else { return Vec::new() };
    let solid = |part: &Part| {
        made.job.stock.get(part.stock).is_some_and(|stock| matches!(stock.form, StockForm::Solid { .. }))
    };
    let sanded = made.parts.iter().filter(|part| part.finish.is_some() || solid(part));
    let area = square_metres(sanded.map(both_faces).sum());
    if area == Ratio::from_integer(0) {
        return Vec::new();
    }
    let one = |grit: &i64| {
        let count = area.checked_div(&given.covers)?.ceil();
        let needs = format!("{} sanded", told(area, made.job.units));
        Some(line(Kind::Abrasives, format!("sandpaper, grit {grit}"), needs, count, "sheet", given.price))
    };
    given.grits.iter().filter_map(one).collect()
}
