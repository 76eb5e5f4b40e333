//! The one table of trade rules for fixings: end distance, greatest spacing, least count, lengths, diameters, holes.
//! A line of the spec overrides any of them. Where no source is named a value is common practice; 'from memory' marks
//! values that no source has been seen for.

use crate::boards::FixingKind;
use crate::length::Length;
use crate::trade::Units;

const fn inch(sixty_fourths: i64) -> Length {
    Length::from_units(2_032_000 / 64 * sixty_fourths)
}

const fn mm(tenths: i64) -> Length {
    Length::from_units(8_000 * tenths)
}

/// A rule of the trade in both systems: what an inch shop says, what a metric one does.
#[derive(Clone, Copy, Debug)]
pub(super) struct Both {
    inch: Length,
    metric: Length,
}

impl Both {
    const fn of(inch: Length, metric: Length) -> Both {
        Both { inch, metric }
    }

    pub const fn in_units(self, units: Units) -> Length {
        match units {
            Units::Inch => self.inch,
            Units::Millimetre => self.metric,
        }
    }
}

/// How fixings of one kind are spread along a contact.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rule {
    pub kind: FixingKind,
    /// For contacts up to this long; the last row of a kind has no limit.
    pub up_to: Option<Both>,
    /// From the ends of the contact; never more than a quarter of it (a third for pocket screws).
    pub ends: Both,
    /// Greatest distance between two.
    pub spacing: Both,
    pub least: i64,
    /// A contact shorter than this takes one, in the middle.
    pub single_below: Both,
}

/// Two pocket screws in the end of a face-frame upright or a rail, three in an end panel (common practice); 1/2" to 3/4"
/// from the edge, panels 6" to 8" apart, one only under 1 1/2" (from memory). Staples, brads, screws and dowels from
/// memory.
pub(super) const RULES: [Rule; 6] = [
    Rule {
        kind: FixingKind::PocketScrews,
        up_to: Some(Both::of(inch(6 * 64), mm(1500))),
        ends: Both::of(inch(48), mm(190)),
        spacing: Both::of(inch(8 * 64), mm(2000)),
        least: 2,
        single_below: Both::of(inch(96), mm(380)),
    },
    Rule {
        kind: FixingKind::PocketScrews,
        up_to: None,
        ends: Both::of(inch(2 * 64), mm(500)),
        spacing: Both::of(inch(8 * 64), mm(2000)),
        least: 3,
        single_below: Both::of(inch(96), mm(380)),
    },
    Rule {
        kind: FixingKind::Screws,
        up_to: None,
        ends: Both::of(inch(2 * 64), mm(500)),
        spacing: Both::of(inch(8 * 64), mm(2000)),
        least: 2,
        single_below: Both::of(inch(96), mm(380)),
    },
    Rule {
        kind: FixingKind::Staples,
        up_to: None,
        ends: Both::of(inch(64), mm(250)),
        spacing: Both::of(inch(6 * 64), mm(1500)),
        least: 2,
        single_below: Both::of(inch(96), mm(380)),
    },
    Rule {
        kind: FixingKind::Brads,
        up_to: None,
        ends: Both::of(inch(96), mm(400)),
        spacing: Both::of(inch(8 * 64), mm(2000)),
        least: 2,
        single_below: Both::of(inch(96), mm(380)),
    },
    Rule {
        kind: FixingKind::Dowels,
        up_to: None,
        ends: Both::of(inch(64), mm(250)),
        spacing: Both::of(inch(6 * 64), mm(1500)),
        least: 2,
        single_below: Both::of(inch(80), mm(320)),
    },
];

/// The row for a contact of this length; glue has none.
pub(super) fn rule(kind: FixingKind, length: Length, units: Units) -> Option<&'static Rule> {
    RULES.iter().find(|row| row.kind == kind && row.up_to.is_none_or(|most| length <= most.in_units(units)))
}

/// Lengths that screws are sold in, short to long (from memory).
const SCREWS_INCH: [Length; 12] = [
    inch(32),
    inch(40),
    inch(48),
    inch(64),
    inch(80),
    inch(96),
    inch(112),
    inch(128),
    inch(144),
    inch(160),
    inch(192),
    inch(256),
];
const SCREWS_METRIC: [Length; 12] = [
    mm(120),
    mm(160),
    mm(200),
    mm(250),
    mm(300),
    mm(350),
    mm(400),
    mm(450),
    mm(500),
    mm(600),
    mm(800),
    mm(1000),
];
/// 18-gauge brads, 5/8" to 2".
const BRADS_INCH: [Length; 7] = [inch(40), inch(48), inch(64), inch(80), inch(96), inch(112), inch(128)];
const BRADS_METRIC: [Length; 8] = [mm(150), mm(200), mm(250), mm(300), mm(350), mm(400), mm(450), mm(500)];
/// Legs of narrow-crown staples (from memory).
const STAPLES_INCH: [Length; 7] = [inch(32), inch(40), inch(48), inch(64), inch(80), inch(96), inch(112)];
const STAPLES_METRIC: [Length; 8] = [mm(120), mm(160), mm(200), mm(250), mm(300), mm(320), mm(350), mm(400)];
/// Dowel pins (from memory).
const DOWELS_INCH: [Length; 4] = [inch(64), inch(80), inch(96), inch(128)];
const DOWELS_METRIC: [Length; 4] = [mm(250), mm(300), mm(400), mm(500)];

/// Wood that a point must not come nearer to the far face than: 1/8", common practice.
pub(super) const COVER: Both = Both::of(inch(8), mm(30));

/// Plasterboard between a board and the stud behind it, where a board is fixed to a wall: 1/2", common practice.
const WALLBOARD: Both = Both::of(inch(32), mm(125));

/// What a straight fixing should be as long as: through the first board and this far into what is behind it.
///
/// - screws: one and a half times the first board (common practice: two to three thicknesses in all), not less than 3/4";
/// - staples: 1 1/4", which holds a back panel by 1 1/2" staples (common practice: bite of 1" to 1 1/4");
/// - brads: twice the first board (the trade's two thirds of a finish nail in the base);
/// - into a wall: the wallboard and 1 1/4" of stud.
fn bite(kind: FixingKind, through: Length, wall: bool, units: Units) -> Length {
    let stud = Both::of(inch(80), mm(320)).in_units(units);
    match (kind, wall) {
        (_, true) => WALLBOARD.in_units(units) + stud,
        (FixingKind::Staples, _) => stud,
        (FixingKind::Brads, _) => through * 2,
        _ => (through * 3).half().max(Both::of(inch(48), mm(190)).in_units(units)),
    }
}

/// The sold length of a straight fixing through `through` into `depth` of wood (`None`: a wall, as deep as one likes).
/// The longest that keeps its cover where the one the rule wants would come through.
pub(super) fn straight_length(
    kind: FixingKind,
    through: Length,
    depth: Option<Length>,
    units: Units,
) -> Length {
    let sold: &[Length] = match (kind, units) {
        (FixingKind::Staples, Units::Inch) => &STAPLES_INCH,
        (FixingKind::Staples, Units::Millimetre) => &STAPLES_METRIC,
        (FixingKind::Brads, Units::Inch) => &BRADS_INCH,
        (FixingKind::Brads, Units::Millimetre) => &BRADS_METRIC,
        (_, Units::Inch) => &SCREWS_INCH,
        (_, Units::Millimetre) => &SCREWS_METRIC,
    };
    let wanted = through + bite(kind, through, depth.is_none(), units);
    let most = depth.map(|depth| through + depth - COVER.in_units(units));
    let allowed = |length: &&Length| most.is_none_or(|most| **length <= most);
    let enough = sold.iter().filter(allowed).find(|length| **length >= wanted);
    let longest = sold.iter().rfind(allowed);
    enough.or(longest).or(sold.first()).copied().unwrap_or(wanted)
}

/// Pocket-screw length by the thickness of the bored board, nearest row (from memory; 1 1/2" takes 2 1/2" is a trade value).
const POCKET_CHART: [(Length, Both); 9] = [
    (inch(32), Both::of(inch(64), mm(250))),
    (inch(40), Both::of(inch(64), mm(250))),
    (inch(48), Both::of(inch(80), mm(320))),
    (inch(56), Both::of(inch(96), mm(380))),
    (inch(64), Both::of(inch(96), mm(380))),
    (inch(72), Both::of(inch(96), mm(380))),
    (inch(80), Both::of(inch(128), mm(500))),
    (inch(88), Both::of(inch(128), mm(500))),
    (inch(96), Both::of(inch(160), mm(630))),
];

/// The chart's screw for stock of this thickness; the thinner row where it lies midway.
pub(super) fn pocket_length(thick: Length, units: Units) -> Length {
    let nearest = POCKET_CHART.iter().min_by_key(|(row, _)| (*row - thick).abs());
    nearest.map_or(thick, |(_, length)| length.in_units(units))
}

/// The angle of a pocket to the face, degrees (typical trade value).
pub(super) const POCKET_ANGLE: f64 = 15.0;

/// Diameter of the pocket that the head sits in: 3/8" (from memory).
pub(super) const POCKET_BORE: Both = Both::of(inch(24), mm(95));

/// Gauge of a pocket screw (from memory).
pub(super) const POCKET_GAUGE: i64 = 8;

/// Shank diameter of a wood screw of gauge `n`: 0.060" + 0.013" n (ASME B18.6.1).
pub(super) const fn screw_diameter(gauge: i64) -> Length {
    Length::from_units(2_032 * 60 + 2_032 * 13 * gauge)
}

/// Gauge for the board that a screw goes through (from memory).
pub(super) fn gauge_for(through: Length) -> i64 {
    if through < inch(36) {
        6
    } else if through < inch(72) {
        8
    } else {
        10
    }
}

/// Clearance hole of a wood screw (trade chart: #4 7/64" … #14 1/4"); `None` for gauges that are not sold.
pub(super) fn clearance(gauge: i64) -> Option<Length> {
    let sixty_fourths = match gauge {
        4 => 7,
        5 => 8,
        6 => 9,
        7 => 10,
        8 => 11,
        9 | 10 => 12,
        12 => 14,
        14 => 16,
        _ => return None,
    };
    Some(inch(sixty_fourths))
}

/// Pilot hole (trade chart; charts disagree for hardwood). Gauges between rows take the row below.
pub(super) fn pilot(gauge: i64, hardwood: bool) -> Length {
    let sixty_fourths = match (gauge, hardwood) {
        (..=7, false) => 4,
        (8 | 9, false) | (..=7, true) => 5,
        (10 | 11, false) | (8 | 9, true) => 6,
        (_, false) | (10 | 11, true) => 7,
        (_, true) => 8,
    };
    inch(sixty_fourths)
}

/// Head diameter of a flat-head screw: twice the shank (from memory).
pub(super) fn head(gauge: i64) -> Length {
    screw_diameter(gauge) * 2
}

/// Wire of 18-gauge brads and staples: 0.047" (from memory).
pub(super) const WIRE: Length = Length::from_units(2_032 * 47);

/// Dowel diameter for the thinner of two boards: a third to a half of it (from memory).
pub(super) fn dowel_diameter(thin: Length, units: Units) -> Length {
    let rows = [(inch(40), Both::of(inch(16), mm(60))), (inch(60), Both::of(inch(24), mm(80)))];
    let row = rows.iter().find(|(below, _)| thin < *below);
    row.map_or(Both::of(inch(32), mm(120)), |(_, diameter)| *diameter).in_units(units)
}

/// Dowel length: the longest that leaves its cover in both boards, half in each where both are deep enough.
pub(super) fn dowel_length(depths: [Length; 2], units: Units) -> Length {
    let sold: &[Length] = match units {
        Units::Inch => &DOWELS_INCH,
        Units::Millimetre => &DOWELS_METRIC,
    };
    // A dowel sits in the shallower board as deep as cover allows and in the deeper at most twice as far.
    let shallow = depths[0].min(depths[1]) - DOWEL_COVER.in_units(units);
    let most = shallow * 3;
    sold.iter().rfind(|length| **length <= most).or(sold.first()).copied().unwrap_or(shallow)
}

/// Wood left under a blind dowel hole: 1/4" (from memory).
pub(super) const DOWEL_COVER: Both = Both::of(inch(16), mm(60));

/// A dowel hole is bored this much deeper than the dowel reaches, for glue (from memory).
pub(super) const DOWEL_AIR: Both = Both::of(inch(4), mm(15));

/// Softwoods by their usual names; all other solid wood takes the hardwood chart, and sheet goods the softwood one.
const SOFTWOODS: [&str; 10] =
    ["pine", "fir", "spruce", "cedar", "redcedar", "larch", "hemlock", "redwood", "cypress", "yew"];

/// True where pilots follow the hardwood chart.
pub(super) fn is_hardwood(species: Option<&str>) -> bool {
    species.is_some_and(|species| {
        let lower = species.to_lowercase();
        !lower.split(|c: char| !c.is_alphabetic()).any(|word| SOFTWOODS.contains(&word))
    })
}
