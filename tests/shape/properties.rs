//! Identities over random outlines and solids. Each case is run again turned, mirrored and started elsewhere.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use proptest::prelude::*;
use tickstick::length::Length;
use tickstick::shape::clash::shared_volume;
use tickstick::shape::cut::{self, CutFault};
use tickstick::shape::grow::{grow, is_simple};
use tickstick::shape::make::{Blank, Corner, Edge, Way, rounded_rectangle};
use tickstick::shape::measure::mass;
use tickstick::shape::section::section;
use tickstick::shape::shell::Shell;
use tickstick::shape::solid::{Arris, EdgeShape, Profile, Recess, Solid};
use tickstick::shape::view::{Projection, view};
use tickstick::shape::{Outline, Plate, Point, Vertex};
use tickstick::trade::{Axis, Face, Side};

use super::{board, mm};

/// 1/64 inch.
const STEP: Length = Length::from_units(31_750);

fn grid(x: i64, y: i64) -> Point {
    Point::new(STEP * x, STEP * y)
}

/// A rectangle in steps of 1/64 inch.
type Rect = (i64, i64, i64, i64);

fn outline((x, y, w, h): Rect) -> Outline {
    Outline::rectangle(grid(x, y), grid(x + w, y + h)).unwrap()
}

/// The eight ways to lay an outline on a sheet, and each started at another vertex.
pub fn ways(outline: &Outline) -> Vec<Outline> {
    let turn = |p: Point| Point::new(Length::ZERO - p.y, p.x);
    let flip = |p: Point| Point::new(Length::ZERO - p.x, p.y);
    let mut all = vec![outline.clone()];
    for _ in 0..3 {
        all.push(all.last().unwrap().mapped(turn, false));
    }
    all.extend(all.clone().iter().map(|one| one.mapped(flip, true)));
    all.iter()
        .enumerate()
        .map(|(shift, one)| {
            let mut vertices = one.vertices().to_vec();
            let count = vertices.len();
            vertices.rotate_left(shift % count);
            Outline::new(vertices).unwrap()
        })
        .collect()
}

pub fn sound(outline: &Outline) {
    assert!(outline.area_mm2() > 0.0, "clockwise: {outline:?}");
    for (from, to) in outline.segments() {
        assert!(from.at != to, "zero length: {outline:?}");
        assert!(from.bulge.is_finite());
    }
}

/// Area of a rectangle less others, in square steps, by counting cells between all coordinates.
fn area_by_cells(whole: Rect, cuts: &[Rect]) -> i128 {
    let (x0, y0, w, h) = whole;
    let mut xs = vec![x0, x0 + w];
    let mut ys = vec![y0, y0 + h];
    for (x, y, w, h) in cuts {
        xs.extend([*x, x + w]);
        ys.extend([*y, y + h]);
    }
    xs.sort_unstable();
    ys.sort_unstable();
    let within = |(x, y, w, h): Rect, cx: i64, cy: i64| x <= cx && cx < x + w && y <= cy && cy < y + h;
    let mut area = 0;
    for x in xs.windows(2) {
        for y in ys.windows(2) {
            if within(whole, x[0], y[0]) && !cuts.iter().any(|cut| within(*cut, x[0], y[0])) {
                area += i128::from((x[1] - x[0]) * (y[1] - y[0]));
            }
        }
    }
    area
}

fn cut_all(whole: &Outline, cuts: &[Outline]) -> Result<Vec<Plate>, CutFault> {
    let mut plates = vec![Plate::whole(whole.clone())];
    for cut in cuts {
        let mut left = Vec::new();
        for plate in &plates {
            match cut::subtract(plate, cut) {
                Ok(parts) => left.extend(parts),
                Err(CutFault::NothingLeft) => {}
                Err(fault) => return Err(fault),
            }
        }
        plates = left;
    }
    Ok(plates)
}

fn rect(most: i64) -> impl Strategy<Value = Rect> {
    (-most / 8..most, -most / 8..most, 1..most / 2, 1..most / 2)
}

/// A blank with some of its corners and edges worked, all sizes multiples of `unit` steps.
pub fn shaped(unit: i64) -> impl Strategy<Value = Outline> {
    let size = move |low: i64, high: i64| {
        ((low + unit - 1).div_euclid(unit)..high / unit).prop_map(move |n| STEP * (n * unit))
    };
    let corner = prop_oneof![
        Just(Corner::Square),
        (size(1, 301), size(1, 301)).prop_map(|(arriving, leaving)| Corner::Cut { arriving, leaving }),
        size(1, 301).prop_map(Corner::Radius),
        (size(1, 301), size(1, 301)).prop_map(|(arriving, leaving)| Corner::Step { arriving, leaving }),
    ];
    let edge = prop_oneof![
        3 => Just(Edge::Straight),
        1 => (size(0, 201), size(0, 201)).prop_map(|(start, end)| Edge::Taper { start, end }),
        1 => (size(310, 510), size(310, 510), size(1, 201), any::<bool>()).prop_map(|(start, end, rise, crown)| {
            Edge::Arch { start, end, rise, way: if crown { Way::Crown } else { Way::Hollow } }
        }),
    ];
    (
        (size(-500, 500), size(-500, 500), size(1000, 3000), size(1000, 3000)),
        proptest::array::uniform4(corner),
        proptest::array::uniform4(edge),
    )
        .prop_filter_map("two shapes of one blank meet", |((x, y, w, h), corners, edges)| {
            let blank = Blank { corners, edges, ..Blank::new(Point::new(x, y), Point::new(x + w, y + h)) };
            blank.outline().ok()
        })
}

/// Two outlines, at random or on a coarse grid where much of them only touches.
fn pair() -> impl Strategy<Value = (Outline, Outline)> {
    prop_oneof![(shaped(1), shaped(1)), (shaped(100), shaped(100))]
}

/// Area by the other engine, arcs as chords.
fn other_engine(one: &Outline, two: &Outline, rule: OverlayRule) -> f64 {
    let flat = |outline: &Outline| -> Vec<[f64; 2]> {
        outline.flattened(0.0005).into_iter().map(|(x, y)| [x, y]).collect()
    };
    let shapes = flat(one).overlay(&flat(two), rule, FillRule::NonZero);
    let area = |line: &Vec<[f64; 2]>| {
        let next = line.iter().cycle().skip(1);
        line.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
    };
    shapes.iter().flatten().map(area).sum()
}

fn total(plates: &[Plate]) -> f64 {
    plates.iter().map(Plate::area_mm2).sum()
}

/// Fewer cases than the library's default, unless PROPTEST_CASES asks for another number.
pub fn cases() -> ProptestConfig {
    let given = ProptestConfig::default();
    let cases = if given.cases == 256 { 48 } else { given.cases };
    ProptestConfig { cases, failure_persistence: None, ..given }
}

proptest! {
    #![proptest_config(cases())]

    /// What is left after any number of square cuts is exactly what arithmetic says, however it lies.
    #[test]
    fn notches_and_slots_leave_the_analytic_area(
        cuts in prop_oneof![
            prop::collection::vec(rect(640), 1..7),
            // On a coarse grid many corners and edges only touch.
            prop::collection::vec(rect(10).prop_map(|(x, y, w, h)| (x * 64, y * 64, w * 64, h * 64)), 1..7),
        ],
    ) {
        let whole = (0, 0, 640, 400);
        // Twice the area, in square units.
        let expected = 2 * area_by_cells(whole, &cuts) * 31_750 * 31_750;
        let turned: Vec<Vec<Outline>> = cuts.iter().map(|cut| ways(&outline(*cut))).collect();
        for (way, whole) in ways(&outline(whole)).iter().enumerate() {
            let cuts: Vec<Outline> = turned.iter().map(|ways| ways[way].clone()).collect();
            let plates = cut_all(whole, &cuts).unwrap();
            let mut area = 0;
            for plate in &plates {
                plate.loops().for_each(sound);
                area += plate.outline.exact_double_area().unwrap();
                area -= plate.inside.iter().map(|hole| hole.exact_double_area().unwrap()).sum::<i128>();
                for corner in plate.loops().flat_map(|line| line.vertices()) {
                    prop_assert_eq!((corner.at.x.units() % 31_750, corner.at.y.units() % 31_750), (0, 0));
                }
            }
            prop_assert_eq!(area, expected, "way {}: {:?}", way, plates);
        }
    }

    /// Unions, differences and what is shared, arcs and slopes included, agree with a second engine.
    #[test]
    fn another_engine_finds_the_same_areas((one, two) in pair()) {
        let near = 1e-3 + 0.001 * (one.perimeter_mm() + two.perimeter_mm());
        for (one, two) in ways(&one).iter().zip(&ways(&two)).step_by(3) {
            let left = match cut::subtract(&Plate::whole(one.clone()), two) {
                Err(CutFault::NothingLeft) => Vec::new(),
                left => left.unwrap(),
            };
            let shared: Vec<Plate> = cut::intersection(one, two).unwrap().into_iter().map(Plate::whole).collect();
            let both = cut::union(&[one.clone(), two.clone()]).unwrap();
            for (plates, rule) in
                [(&left, OverlayRule::Difference), (&shared, OverlayRule::Intersect), (&both, OverlayRule::Union)]
            {
                plates.iter().flat_map(Plate::loops).for_each(sound);
                let other = other_engine(one, two, rule);
                prop_assert!((total(plates) - other).abs() < near, "{rule}: {} {other}", total(plates));
            }
        }
    }

    /// Grown and shrunk again an outline is as before: corner by corner, to the rounding of its slopes.
    #[test]
    fn grown_and_shrunk_is_unchanged(start in shaped(1), by in 1i64..40) {
        for start in ways(&start) {
            let Ok(grown) = grow(&start, STEP * by) else { continue };
            sound(&grown);
            prop_assert!(is_simple(&grown));
            let back = grow(&grown, STEP * -by).unwrap();
            prop_assert_eq!(back.vertices().len(), start.vertices().len());
            for (one, other) in back.vertices().iter().zip(start.vertices()) {
                // A corner of two slopes or arcs that meet flatly is met to within their rounding over the sine between them.
                let off = (one.at.x - other.at.x).abs().max((one.at.y - other.at.y).abs());
                prop_assert!(off.units() < 400, "{:?} {:?}", one, other);
                prop_assert!((one.bulge - other.bulge).abs() < 1e-4);
            }
            if start.is_straight() && start.segments().all(|(a, b)| a.at.x == b.x || a.at.y == b.y) {
                prop_assert_eq!(back, start);
            }
        }
    }

    /// The space two notched boards share is counted exactly.
    #[test]
    fn shared_space_is_counted(
        notches in prop::collection::vec(rect(64), 0..3),
        housings in prop::collection::vec(rect(64), 0..3),
        low in prop::array::uniform3(-20i64..60),
        size in (10i64..60, 1i64..8, 10i64..60),
    ) {
        // One board 64 × 64 in Across and Up, 10 thick; the other anywhere, facing the left.
        let mut one = board([0, 0, 0], [64, 10, 64], Side::Front);
        let box_of = |(x, y, w, h): Rect| super::rectangle(x, y, x + w, y + h);
        let cuts: Vec<Outline> = notches.iter().map(|rect| box_of(*rect)).collect();
        let plates = cut_all(&one.outline, &cuts).unwrap();
        prop_assume!(plates.len() == 1);
        (one.outline, one.inside) = (plates[0].outline.clone(), plates[0].inside.clone());
        one.pockets = housings
            .iter()
            .map(|rect| Recess { outline: box_of(*rect), depth: mm(4), from: Face::Show })
            .collect();
        let high = [low[0] + size.1, low[1] + size.0, low[2] + size.2];
        let other = board(low, high, Side::Left);
        let mut volume = 0;
        let inside = |rects: &[Rect], x: i64, z: i64| {
            rects.iter().any(|(rx, rz, w, h)| *rx <= x && x < rx + w && *rz <= z && z < rz + h)
        };
        for x in low[0].max(0)..high[0].min(64) {
            for z in low[2].max(0)..high[2].min(64) {
                for y in low[1].max(0)..high[1].min(10) {
                    volume += i64::from(!(inside(&notches, x, z) || y < 4 && inside(&housings, x, z)));
                }
            }
        }
        let found = shared_volume(&one, &other).map_or(0.0, |clash| clash.volume_mm3);
        prop_assert!((found - volume as f64).abs() < 1e-6, "{found} {volume}");
    }

    /// Sections across, added up, are the volume found by depth.
    #[test]
    fn sections_add_up_to_the_volume(
        profiles in prop::array::uniform4((0usize..5, 1i64..9, 1i64..9, 0usize..3)),
        housing in rect(400),
    ) {
        let mut plate = board([0, 0, 0], [400, 20, 300], Side::Front);
        let ends = [(0, 0), (400, 0), (400, 300), (0, 300)];
        for (index, (kind, a, b, arris)) in profiles.into_iter().enumerate() {
            let profile = match kind {
                0 => continue,
                1 => Profile::Chamfer { along_face: mm(a), down_edge: mm(b) },
                2 => Profile::Round { radius: mm(a) },
                3 => Profile::Rebate { width: mm(a), depth: mm(b) },
                _ => Profile::Bevel { run: mm(a) },
            };
            let arris = if kind == 4 { Arris::Back } else { [Arris::Show, Arris::Back, Arris::Both][arris] };
            let at = |(x, y): (i64, i64)| Point::new(mm(x), mm(y));
            plate.edges.push(EdgeShape { from: at(ends[index]), to: at(ends[(index + 1) % 4]), profile, arris });
        }
        let (x, y, w, h) = housing;
        // Clear of the edges: a recess that breaks a profiled edge is looked at by hand elsewhere.
        let outline = super::rectangle(x.clamp(20, 370), y.clamp(20, 270), (x + w).clamp(375, 380), (y + h).clamp(275, 280));
        plate.pockets.push(Recess { outline, depth: mm(7), from: Face::Back });
        let whole = mass(&plate).unwrap().volume_mm3;
        // Midpoints of slices of 0.2 mm near the ends, of 1 mm between.
        let mut sum = 0.0;
        let fine = (0..50).chain(1950..2000).map(|slice| (16_000 * slice + 8_000, 0.2));
        for (at, wide) in fine.chain((10..390).map(|slice| (80_000 * slice + 40_000, 1.0))) {
            sum += total(&section(&plate, Axis::Across, Length::from_units(at)).unwrap().plates) * wide;
        }
        prop_assert!((sum - whole).abs() < 60.0, "{sum} {whole}");
    }

    /// The faces of a shell close round the volume found by depth: by the divergence theorem it is a third of the sum of
    /// each face's area times its distance from the origin.
    #[test]
    fn the_faces_close_round_the_volume(
        profiles in prop::array::uniform4((0usize..5, 1i64..9, 1i64..9, 0usize..3)),
        notches in prop::collection::vec(rect(40), 0..3),
        housings in prop::collection::vec((rect(40), 1i64..12, any::<bool>()), 0..3),
        show in 0usize..6,
    ) {
        let show = Side::ALL[show];
        let mut size = [400, 400, 400];
        size[show.axis().index()] = 20;
        let mut plate = board([3, 5, 7], [3 + size[0], 5 + size[1], 7 + size[2]], show);
        let tens = |(x, y, w, h): Rect| super::rectangle(x * 10, y * 10, (x + w) * 10, (y + h) * 10);
        let cuts: Vec<Outline> = notches.iter().map(|rect| tens(*rect)).collect();
        let plates = cut_all(&plate.outline, &cuts).unwrap();
        prop_assume!(plates.len() == 1);
        (plate.outline, plate.inside) = (plates[0].outline.clone(), plates[0].inside.clone());
        let corners = [(0, 0), (400, 0), (400, 400), (0, 400)].map(|(x, y)| Point::new(mm(x), mm(y)));
        for (index, (kind, a, b, arris)) in profiles.into_iter().enumerate() {
            let profile = match kind {
                0 => continue,
                1 => Profile::Chamfer { along_face: mm(a), down_edge: mm(b) },
                2 => Profile::Round { radius: mm(a) },
                3 => Profile::Rebate { width: mm(a), depth: mm(b) },
                _ => Profile::Bevel { run: mm(a) },
            };
            let arris = if kind == 4 { Arris::Show } else { [Arris::Show, Arris::Back, Arris::Both][arris] };
            plate.edges.push(EdgeShape { from: corners[index], to: corners[(index + 1) % 4], profile, arris });
        }
        for (rect, depth, back) in housings {
            let from = if back { Face::Back } else { Face::Show };
            plate.pockets.push(Recess { outline: tens(rect), depth: mm(depth), from });
        }
        let shell = Shell::of(&plate).unwrap();
        let mut volume = 0.0;
        for face in &shell.faces {
            let mut area = 0.0;
            for (index, line) in face.loops.iter().enumerate() {
                let next = line.iter().cycle().skip(1);
                let mut sum = [0.0; 3];
                for (a, b) in line.iter().zip(next) {
                    sum[0] += a[1] * b[2] - a[2] * b[1];
                    sum[1] += a[2] * b[0] - a[0] * b[2];
                    sum[2] += a[0] * b[1] - a[1] * b[0];
                }
                let size = sum.iter().map(|v| v * v).sum::<f64>().sqrt() / 2.0;
                area += if index == 0 { size } else { -size };
            }
            let out: f64 = (0..3).map(|i| face.normal[i] * face.loops[0][0][i]).sum();
            volume += area * out / 3.0;
        }
        let whole = mass(&plate).unwrap().volume_mm3;
        // Chords of rounds lie up to 0.005 mm off along the edges.
        prop_assert!((volume - whole).abs() < 100.0, "{volume} {whole}");
        // A block round it all shares all of it; five samples along a round leave some thousandths of what it takes.
        let block = board([-50; 3], [500; 3], show);
        let shared = shared_volume(&plate, &block).unwrap();
        prop_assert!((shared.volume_mm3 - whole).abs() < 150.0, "{} {whole}", shared.volume_mm3);
        // Where a profile runs out to nothing the last sliver counts as a touch.
        for (axis, around) in plate.extents().iter().enumerate() {
            let off = (shared.low[axis] - around.low, around.high - shared.high[axis]);
            let near = Length::ZERO..=Length::MM.half();
            prop_assert!(near.contains(&off.0) && near.contains(&off.1), "{:?} {:?}", shared, around);
        }
    }

    /// Each line of a view of boxes is seen or hidden as looking past the boxes one by one says.
    #[test]
    fn boxes_hide_what_is_behind_them(
        places in prop::collection::vec((prop::array::uniform3(0i64..6), prop::array::uniform3(1i64..4)), 1..8),
        side in 0usize..6,
    ) {
        let side = Side::ALL[side];
        let mut solids: Vec<Solid> = Vec::new();
        for (low, size) in &places {
            let (low, high) = (low.map(|v| v * 10), [0, 1, 2].map(|i| (low[i] + size[i]) * 10));
            let solid = board(low, high, Side::Front);
            if solids.iter().all(|other| shared_volume(other, &solid).is_none()) {
                solids.push(solid);
            }
        }
        let shells: Vec<Shell> = solids.iter().map(|solid| Shell::of(solid).unwrap()).collect();
        let look = Projection::of(side);
        let lines = view(&shells, &look);
        // Boxes on the paper: low and high, and how near their face is.
        let flat: Vec<[f64; 5]> = solids
            .iter()
            .map(|solid| {
                let [a, b] = [0, 1].map(|end| {
                    look.project(solid.extents().map(|e| if end == 0 { e.low.to_mm() } else { e.high.to_mm() }))
                });
                [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1), a.2.max(b.2)]
            })
            .collect();
        let covered = |x: f64, y: f64, depth: f64| {
            flat.iter().any(|b| b[0] < x && x < b[2] && b[1] < y && y < b[3] && b[4] > depth + 1e-6)
        };
        for solid in &flat {
            // The front edges of every box, a point in every millimetre and a half.
            let [x0, y0, x1, y1, depth] = *solid;
            for (a, b) in [((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x0, y1), (x1, y1)), ((x0, y0), (x0, y1))] {
                let length = (b.0 - a.0) + (b.1 - a.1);
                let mut t = 0.75;
                while t < length {
                    let (x, y) = (a.0 + (b.0 - a.0) * t / length, a.1 + (b.1 - a.1) * t / length);
                    let (nx, ny) = if b.0 > a.0 { (0.0, 0.1) } else { (0.1, 0.0) };
                    let hidden = covered(x + nx, y + ny, depth) && covered(x - nx, y - ny, depth);
                    let on = lines.iter().filter(|line| {
                        let (p, q) = (line.from, line.to);
                        let cross = (q.0 - p.0) * (y - p.1) - (q.1 - p.1) * (x - p.0);
                        let along = (q.0 - p.0) * (x - p.0) + (q.1 - p.1) * (y - p.1);
                        let whole = (q.0 - p.0).powi(2) + (q.1 - p.1).powi(2);
                        cross.abs() < 1e-6 && (0.0..=whole).contains(&along)
                    });
                    let on: Vec<_> = on.collect();
                    prop_assert_eq!(on.len(), 1, "one line and no more at {} {}", x, y);
                    // Another box's edge may lie nearer on the same line; then that one shows.
                    prop_assert!(on[0].visible || hidden, "at {x} {y}: {:?}", on[0]);
                    if hidden {
                        let nearer = flat.iter().any(|b| {
                            let on_x = ((b[0] - x).abs() < 1e-6 || (b[2] - x).abs() < 1e-6) && b[1] <= y && y <= b[3];
                            let on_y = ((b[1] - y).abs() < 1e-6 || (b[3] - y).abs() < 1e-6) && b[0] <= x && x <= b[2];
                            b[4] > depth + 1e-6 && (on_x || on_y)
                        });
                        prop_assert!(!on[0].visible || nearer, "at {x} {y}: {:?}", on[0]);
                    }
                    t += 1.5;
                }
            }
        }
    }
}

#[test]
fn a_round_corner_is_tangent_and_exact() {
    let made = rounded_rectangle(grid(0, 0), grid(640, 320), STEP * 64).unwrap();
    // 10 × 5 in less four corners of (1 − π/4) sq in.
    let expected = (50.0 - 4.0 * (1.0 - std::f64::consts::PI / 4.0)) * 25.4 * 25.4;
    assert!((made.area_mm2() - expected).abs() < 1e-9);
    for corner in made.vertices() {
        assert!(corner.bulge == 0.0 || (corner.bulge - (std::f64::consts::PI / 8.0).tan()).abs() < 1e-15);
    }
    let half = Outline::new(vec![
        Vertex { at: grid(0, 0), bulge: 0.0 },
        Vertex { at: grid(640, 0), bulge: 1.0 },
        Vertex { at: grid(640, 320), bulge: 0.0 },
        Vertex { at: grid(0, 320), bulge: 0.0 },
    ])
    .unwrap();
    assert_eq!(half.extents().high.x, STEP * 800);
}
