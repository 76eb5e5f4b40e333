//! How far shelves, seats and rails sag between what they rest on. The strip that carries the load the stiffer way counts.

use super::supports::{Bearing, Support, clear};
use super::weights::{density, panel_of};
use super::{Acting, Carried, acting, carried, rounded_up};
use crate::boards::{BoardId, Other};
use crate::joints::movement::species_of;
use crate::length::Length;
use crate::length::notation::tell;
use crate::parts::{Made, Placed};
use crate::trade::{Axis, GRAVITY, Grain, Units};
use crate::values::{Stock, StockForm};
use crate::wood::bending::{Case, Creep, Member, Section, Stiffness, deflection};
use crate::wood::{Flag, MPA_PER_PSI, Value};

/// A board that bears a load.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    pub board: BoardId,
    /// What it carries, in words.
    pub load: String,
    /// True where the spec says nothing of a load and one is taken by the part's name.
    pub supposed: bool,
    /// The words say what is wanting.
    pub sag: Result<Sag, String>,
}

/// How far a span goes down.
#[derive(Clone, Debug, PartialEq)]
pub struct Sag {
    /// Clear between supports.
    pub clear: Length,
    /// What it rests on.
    pub on: Vec<String>,
    /// Under what stays, in the long run; rounded up to a unit.
    pub sags: Length,
    /// The most of that.
    pub limit: Length,
    /// Besides, while a load comes and goes; zero where there is none.
    pub gives: Length,
    /// The most of that.
    pub gives_limit: Length,
    /// Thickness (of an upright board: height) and span that would keep to the limit, where it is passed.
    pub cures: Option<(Length, Length)>,
    /// What the figures rest on, a clause each, the caution last.
    pub assumptions: Vec<String>,
}

impl Sag {
    pub fn is_too_much(&self) -> bool {
        self.sags > self.limit || self.gives > self.gives_limit
    }

    /// True where it goes down by more than a tenth of its span: beyond all that the formulas of bending hold for, and
    /// probably beyond what the wood bears (common practice).
    pub fn is_for_an_engineer(&self) -> bool {
        (self.sags + self.gives) > self.clear.shared_by(10).0
    }
}

/// A load at one place is borne by so much of the breadth: 12" (from memory: somebody who sits); across the grain by more, for the
/// stiffer way along it spreads it: by the fourth root of what that way is stiffer (orthotropic plates; from memory).
const BREADTH: Length = Length::from_units(Length::INCH.units() * 12);

/// Under loads that come and go a span may give its 360th part (IRC Table R301.7 for floors; from memory).
const GIVES: i64 = 360;

/// Stiffness across the grain over that along it: solid wood 1/20 (mean of E_T/E_L of USDA FPL-GTR-190 Table 5-1; from memory),
/// plywood one half (from memory).
const SOLID_ACROSS: f64 = 1.0 / 20.0;
const PLYWOOD_ACROSS: f64 = 0.5;

/// All boards that bear a load, in the order of the boards.
pub fn spans(made: &Made) -> Vec<Span> {
    let mut all = Vec::new();
    let mut bearing = None;
    for (index, placed) in made.placed.iter().enumerate() {
        let Some(Carried { load, supposed }) = carried(placed) else { continue };
        let acting = acting(load, made.job.units);
        // What bears what is asked of jobs that carry something only.
        let bearing = bearing.get_or_insert_with(|| Bearing::of(made));
        let sag = sag(made, bearing, BoardId(index), placed, &acting);
        all.push(Span { board: BoardId(index), load: acting.says, supposed, sag });
    }
    all
}

fn sag(made: &Made, bearing: &Bearing, id: BoardId, placed: &Placed, acting: &Acting) -> Result<Sag, String> {
    let stock = made.job.stock.get(placed.board.stock).ok_or("its stock is not known")?;
    let span = &placed.board.span;
    let whole = [span[0], span[1]];
    let found = bearing.supports(id);
    let normal = placed.solid.normal();
    // An upright board bends in its own plane only.
    let ways: Vec<Axis> = [Axis::Across, Axis::Deep].into_iter().filter(|axis| *axis != normal).collect();
    let mut best: Option<Sag> = None;
    // What is wanting to reckon with says more than how it lies.
    let (mut wanting, mut borne_all_along, mut sticks_out) = (None, false, false);
    for axis in ways {
        let Some(gap) = clear(whole, &found, axis.index()) else {
            sticks_out = true;
            continue;
        };
        if !gap.is_positive() {
            borne_all_along = true;
            continue;
        }
        match one_way(made, id, placed, stock, (axis, gap), acting) {
            Ok(sag) if best.as_ref().is_none_or(|known| sag.sags + sag.gives < known.sags + known.gives) => {
                best = Some(Sag { on: names(&found), ..sag });
            }
            Ok(_) => {}
            Err(why) => wanting = Some(why),
        }
    }
    let lies = if borne_all_along && sticks_out {
        "it is held along one line and sticks out from there, which is not reckoned; have a bracket under its free edge"
    } else if borne_all_along {
        "it rests on its supports without a gap"
    } else {
        "no two supports are found under it; lay it on boards, or house its ends"
    };
    best.ok_or_else(|| wanting.unwrap_or_else(|| lies.to_owned()))
}

fn names(supports: &[Support]) -> Vec<String> {
    let mut names: Vec<String> = supports.iter().map(|support| support.name.clone()).collect();
    names.sort();
    names.dedup();
    names
}

/// The sag of a board that spans one way.
fn one_way(
    made: &Made,
    id: BoardId,
    placed: &Placed,
    stock: &Stock,
    (axis, gap): (Axis, Length),
    acting: &Acting,
) -> Result<Sag, String> {
    let span = &placed.board.span;
    let beside = if axis == Axis::Across { Axis::Deep } else { Axis::Across };
    let [breadth, depth] = [span[beside.index()].size(), span[Axis::Up.index()].size()];
    let (stiffness, across) = stiffness(stock, along_grain(placed, axis))?;
    let (density, _) = density(stock)?;
    // The load runs along the longer side; what lies on a strip is its share of the area.
    let longer = span[0].size().max(span[1].size());
    let spread = acting.along * longer.to_mm() / 1000.0 / (span[0].size().to_mm() * span[1].size().to_mm());
    let own = density * 1e-9 * GRAVITY;
    let stiffeners = stiffeners(made, id, axis, gap);
    let borne = if across.stiffer > 1.0 {
        let times = libm::sqrt(libm::sqrt(across.stiffer));
        Length::from_mm(BREADTH.to_mm() * times)
    } else {
        BREADTH
    };
    // How far a strip of this thickness goes down over this length, for good and for a while, mm.
    let down = |gap: Length, depth: Length| -> Result<Down, String> {
        let bend = |case, breadth: Length, lasting, passing| {
            let section = Section { breadth, depth };
            let member = Member { case, span: gap, section, stiffness, lasting, passing };
            let found = deflection(&member).map_err(|error| error.to_string())?;
            let ei = stiffness.modulus.value * MPA_PER_PSI * section.second_moment();
            Ok::<_, String>((found.total * ei / (ei + stiffeners), found.assumptions))
        };
        let lasting = gap.to_mm() * breadth.to_mm() * (spread + own * depth.to_mm());
        let (sags, mut assumptions) = bend(Case::UniformSimple, breadth, lasting, 0.0)?;
        let mut gives = 0.0;
        if acting.point > 0.0 {
            let (more, point) = bend(Case::MidspanSimple, breadth.min(borne), 0.0, acting.point)?;
            gives = more;
            assumptions.splice(0..0, point.into_iter().take(1));
        }
        Ok(Down { sags: rounded_up(sags), gives: rounded_up(gives), assumptions })
    };
    let units = made.job.units;
    let found = down(gap, depth)?;
    let part = made.job.service.sag;
    let way = if across.is { "across" } else { "along" };
    let mut assumptions = vec![
        format!("limit span/{part} for what stays (trade custom, from memory)"),
        format!("carries {}, and its own weight", acting.says),
        format!("spans {} {way} the grain", tell(gap, units)),
    ];
    if acting.point > 0.0 {
        assumptions.push(format!(
            "a load at one place is borne by {} of the breadth, and may let it give span/{GIVES} (IRC Table R301.7 for floors; both from memory)",
            tell_short(borne.min(breadth), units)
        ));
    }
    if stiffeners > 0.0 {
        assumptions.push("strips glued along its edges bend with it, each by its own stiffness".into());
    }
    let general = |says: &String| !says.starts_with("visible beyond") && !says.starts_with("load ");
    let points = found.assumptions.iter().filter(|says| says.starts_with("load at"));
    assumptions.extend(points.chain(found.assumptions.iter().filter(|says| general(says))).cloned());
    let limits = |gap: Length| (gap.shared_by(part).0, gap.shared_by(GIVES).0);
    let good = |gap: Length, depth: Length| {
        let (limit, gives_limit) = limits(gap);
        down(gap, depth).is_ok_and(|found| found.sags <= limit && found.gives <= gives_limit)
    };
    let (limit, gives_limit) = limits(gap);
    let cures = if good(gap, depth) { None } else { cures(units, gap, depth, &good) };
    Ok(Sag {
        clear: gap,
        on: Vec::new(),
        sags: found.sags,
        limit,
        gives: found.gives,
        gives_limit,
        cures,
        assumptions,
    })
}

/// How far a strip goes down for good and for a while, and by what right.
struct Down {
    sags: Length,
    gives: Length,
    assumptions: Vec<String>,
}

/// To the nearest inch or centimetre.
fn tell_short(length: Length, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0}\"", length.to_mm() / 25.4),
        Units::Millimetre => format!("{:.0} cm", length.to_mm() / 10.0),
    }
}

/// The least thickness and the longest span, in steps of 1/16" or 1 mm, that keep to the limits.
fn cures(
    units: Units,
    gap: Length,
    depth: Length,
    good: &dyn Fn(Length, Length) -> bool,
) -> Option<(Length, Length)> {
    let step = match units {
        Units::Inch => Length::from_units(Length::INCH.units() / 16),
        Units::Millimetre => Length::MM,
    };
    let whole = |length: Length| step * (length.units() / step.units());
    // A foot more, or a span that is nothing, is another construction.
    let thicker = (1..=192).map(|n| whole(depth) + step * n).find(|depth| good(gap, *depth))?;
    let shorter =
        (1..=2000).map(|n| whole(gap) - step * n).find(|gap| !gap.is_positive() || good(*gap, depth))?;
    Some((thicker, shorter)).filter(|(_, gap)| gap.is_positive())
}

/// Whether a board spans along its grain, as far as it has any.
fn along_grain(placed: &Placed, axis: Axis) -> Option<bool> {
    match placed.board.grain {
        Grain::AlongU => Some(placed.board.frame.u.axis() == axis),
        Grain::AlongV => Some(placed.board.frame.v.axis() == axis),
        Grain::Free => None,
    }
}

/// Which way a span runs, and how many times stiffer the other way is.
struct Across {
    is: bool,
    stiffer: f64,
}

/// The stiffness of a stock along the span, and whether that is across its grain.
fn stiffness(stock: &Stock, along: Option<bool>) -> Result<(Stiffness, Across), String> {
    let wanting = |why: String| {
        format!("how stiff {} is is not known: {why}; give it a modulus, or say what it is like", stock.name)
    };
    let given =
        stock.wood.modulus.map(|value| Value { value, flag: Flag::Seen, source: "modulus as the spec says" });
    let sixteenth = Value {
        value: 1.0 / 16.0,
        flag: Flag::FromMemory,
        source: "G = E/16 where the material is not tabulated",
    };
    let across = along == Some(false);
    let (mut stiffness, ratio) = match stock.form {
        StockForm::Solid { .. } => {
            let tabulated = species_of(stock).map_err(|why| why.to_string());
            let of = tabulated.and_then(|species| {
                Stiffness::of_species(species, Creep::Seasoned)
                    .ok_or_else(|| format!("{} is not tabulated", species.name))
            });
            let own =
                given.map(|modulus| Stiffness { modulus, shear_ratio: sixteenth, creep: Creep::Seasoned });
            (own.map_or(of, Ok).map_err(wanting)?, SOLID_ACROSS)
        }
        StockForm::Sheet { .. } => {
            let panel = panel_of(stock);
            let creep = match panel {
                Some(panel) if panel.composition => Creep::Composition,
                // Of a sheet without a name nothing better is known.
                None => Creep::Composition,
                Some(_) => Creep::Plywood,
            };
            let own = given.map(|modulus| Stiffness { modulus, shear_ratio: sixteenth, creep });
            let of = own.or_else(|| panel.and_then(Stiffness::of_panel));
            let ratio = if creep == Creep::Composition { 1.0 } else { PLYWOOD_ACROSS };
            (of.ok_or_else(|| wanting("no such sheet is tabulated".into()))?, ratio)
        }
    };
    if across && ratio < 1.0 {
        stiffness.modulus = Value {
            value: stiffness.modulus.value * ratio,
            flag: Flag::FromMemory,
            source: "part of the modulus along the grain that wood has across it",
        };
    }
    let stiffer = if across { 1.0 / ratio } else { 1.0 };
    Ok((stiffness, Across { is: across, stiffer }))
}

/// What upright strips glued along a board add to its stiffness, N·mm²: each bends by itself.
fn stiffeners(made: &Made, id: BoardId, axis: Axis, gap: Length) -> f64 {
    let beside = if axis == Axis::Across { Axis::Deep } else { Axis::Across };
    let mut strips: Vec<usize> = Vec::new();
    for joint in made.joints.iter().filter(|joint| joint.glue) {
        match joint.second {
            Other::Board(second) if second == id => strips.push(joint.first.0),
            Other::Board(second) if joint.first == id => strips.push(second.0),
            _ => {}
        }
    }
    strips.sort_unstable();
    strips.dedup();
    let own = |index: usize| {
        let strip = made.placed.get(index)?;
        let size = |axis: Axis| strip.board.span[axis.index()].size();
        // One that bears the board from end to end is a support and counted there.
        let along = strip.solid.normal() == beside && along_grain(strip, axis) != Some(false);
        if !along || size(axis) < gap {
            return None;
        }
        let (stiffness, _) = stiffness(made.job.stock.get(strip.board.stock)?, Some(true)).ok()?;
        let section = Section { breadth: size(beside), depth: size(Axis::Up) };
        Some(stiffness.modulus.value * MPA_PER_PSI * section.second_moment())
    };
    strips.into_iter().filter_map(own).sum()
}
