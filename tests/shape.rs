//! Outlines, cuts, solids and views against arithmetic and against a second polygon engine.

mod offsets;
mod properties;

use tickstick::length::Length;
use tickstick::shape::cut::{self, CutFault, OffsetFault};
use tickstick::shape::{Outline, Plate, Point, Vertex};

fn mm(value: i64) -> Length {
    Length::MM * value
}

fn at(x: i64, y: i64) -> Point {
    Point::new(mm(x), mm(y))
}

fn rectangle(x0: i64, y0: i64, x1: i64, y1: i64) -> Outline {
    Outline::rectangle(at(x0, y0), at(x1, y1)).expect("a rectangle with size")
}

fn corners(outline: &Outline) -> Vec<(i64, i64)> {
    outline
        .canonical()
        .vertices()
        .iter()
        .map(|v| (v.at.x.units() / 80_000, v.at.y.units() / 80_000))
        .collect()
}

fn only(plates: Result<Vec<Plate>, CutFault>) -> Plate {
    let mut plates = plates.expect("a sound cut");
    assert_eq!(plates.len(), 1, "{plates:?}");
    plates.remove(0)
}

#[test]
fn a_notch_breaks_the_edge_with_exact_corners() {
    let left = only(cut::subtract(&Plate::whole(rectangle(0, 0, 600, 300)), &rectangle(200, 200, 250, 310)));
    assert_eq!(
        corners(&left.outline),
        [(0, 0), (600, 0), (600, 300), (250, 300), (250, 200), (200, 200), (200, 300), (0, 300)]
    );
    // 600 × 300 − 50 × 100 = 175 000 mm²; twice that in square units, exactly.
    assert_eq!(left.outline.exact_double_area(), Some(2 * 175_000 * 80_000 * 80_000));
}

#[test]
fn a_slot_lies_inside_and_two_slots_that_meet_become_one() {
    let plate = only(cut::subtract(&Plate::whole(rectangle(0, 0, 600, 300)), &rectangle(100, 100, 150, 200)));
    assert_eq!(plate.inside.len(), 1);
    assert_eq!(plate.area_mm2(), 600.0 * 300.0 - 50.0 * 100.0);
    let plate = only(cut::subtract(&plate, &rectangle(300, 100, 350, 200)));
    assert_eq!(plate.inside.len(), 2);
    let plate = only(cut::subtract(&plate, &rectangle(120, 140, 320, 160)));
    assert_eq!(plate.inside.len(), 1);
    // Slots of 5000 each, and a bridge of 150 × 20 between them.
    assert_eq!(plate.area_mm2(), 180_000.0 - 10_000.0 - 3_000.0);
    // From the edge into the opening: all becomes one notch.
    let plate = only(cut::subtract(&plate, &rectangle(310, 150, 320, 400)));
    assert!(plate.inside.is_empty());
    assert_eq!(plate.area_mm2(), 167_000.0 - 10.0 * 100.0);
}

#[test]
fn a_cut_may_part_miss_or_finish_the_plate() {
    let plate = Plate::whole(rectangle(0, 0, 600, 300));
    let parted = cut::subtract(&plate, &rectangle(290, -10, 310, 310)).unwrap();
    assert_eq!(parted.iter().map(Plate::area_mm2).collect::<Vec<_>>(), [290.0 * 300.0; 2]);
    assert_eq!(only(cut::subtract(&plate, &rectangle(600, 0, 700, 300))), plate);
    assert_eq!(cut::subtract(&plate, &rectangle(0, 0, 600, 300)), Err(CutFault::NothingLeft));
    assert_eq!(cut::subtract(&plate, &rectangle(-5, -5, 700, 700)), Err(CutFault::NothingLeft));
    // A ring that closes round an island: frame out of two U-shaped cuts.
    let u = |x0, x1| {
        let corner = |x, y| Vertex { at: at(x, y), bulge: 0.0 };
        Outline::new(vec![
            corner(100, 100),
            corner(200, 100),
            corner(200, 110),
            corner(110, 110),
            corner(110, 190),
            corner(200, 190),
            corner(200, 200),
            corner(100, 200),
        ])
        .unwrap()
        .mapped(|p| Point::new(mm(x0) + p.x * x1, p.y), x1 < 0)
    };
    let once = only(cut::subtract(&plate, &u(0, 1)));
    let twice = cut::subtract(&once, &u(400, -1)).unwrap();
    // The island is 180 × 80, and the plate has an opening of 200 × 100.
    assert_eq!(twice.iter().map(Plate::area_mm2).collect::<Vec<_>>(), [180_000.0 - 20_000.0, 180.0 * 80.0]);
}

#[test]
fn an_offset_is_true_and_says_when_the_tool_does_not_fit() {
    // L of 100 × 100 less 60 × 60: outward 10 adds 10 round a line of 400 mm and five quarter circles, less the
    // square of 10 × 10 that the re-entrant corner saves: 6400 + 4000 + 5·π·100/4 − 100 = 10 692.7.
    let corner = |x, y| Vertex { at: at(x, y), bulge: 0.0 };
    let l = Outline::new(vec![
        corner(0, 0),
        corner(100, 0),
        corner(100, 40),
        corner(40, 40),
        corner(40, 100),
        corner(0, 100),
    ])
    .unwrap();
    let out = cut::offset_whole(&l, mm(10)).unwrap();
    let expected = 6400.0 + 4000.0 + 5.0 * std::f64::consts::PI * 25.0 - 100.0;
    assert!((out.area_mm2() - expected).abs() < 1e-3, "{}", out.area_mm2());
    assert_eq!(cut::offset(&l, mm(-24)), Err(OffsetFault::Vanishes));
    // Two squares of 40 joined by a bar 10 wide fall apart inside; outside, a slot 10 wide closes for a tool of 8.
    // Inward, the point furthest in keeps r with √2·(40 − r) = r, r = 23.43 mm.
    let dumb_bell =
        only(cut::union(&[rectangle(0, 0, 40, 40), rectangle(40, 15, 100, 25), rectangle(100, 0, 140, 40)]));
    assert_eq!(cut::offset_whole(&dumb_bell.outline, mm(-8)), Err(OffsetFault::Splits { loops: 2 }));
}

use tickstick::length::Interval;
use tickstick::shape::clash::shared_volume;
use tickstick::shape::section::{section, true_section};
use tickstick::shape::solid::{Arris, EdgeShape, Profile, Recess, Solid};
use tickstick::trade::{Axis, Face, FaceFrame, Side};

/// A plain board that fills a box of whole millimetres and shows `show`.
fn board(low: [i64; 3], high: [i64; 3], show: Side) -> Solid {
    let span = [0, 1, 2].map(|axis| Interval { low: mm(low[axis]), high: mm(high[axis]) });
    let frame = FaceFrame::of_plate(&span, show);
    let size = |side: Side| span[side.axis().index()].size();
    let outline = Outline::rectangle(Point::default(), Point::new(size(frame.u), size(frame.v))).unwrap();
    Solid::plate(frame, size(frame.into), outline)
}

#[test]
fn a_section_keeps_chamfers_exact_and_rounds_as_true_arcs() {
    // A rail 1000 × 20 × 80: front face shows; upper edge chamfered 5 × 3 in front, rounded 6 at the back.
    let mut rail = board([0, 0, 0], [1000, 20, 80], Side::Front);
    let (from, to) = (at(1000, 80), at(0, 80));
    rail.edges = vec![
        EdgeShape {
            from,
            to,
            profile: Profile::Chamfer { along_face: mm(5), down_edge: mm(3) },
            arris: Arris::Show,
        },
        EdgeShape { from, to, profile: Profile::Round { radius: mm(6) }, arris: Arris::Back },
    ];
    let cut = true_section(&rail, Axis::Across, mm(500)).unwrap();
    assert_eq!(cut.len(), 1);
    // Deep 0–20 across, up 0–80.
    assert_eq!(corners(&cut[0]), [(0, 0), (20, 0), (20, 74), (14, 80), (3, 80), (0, 75)]);
    let bends: Vec<f64> = cut[0].canonical().vertices().iter().map(|v| v.bulge).collect();
    assert_eq!(bends, [0.0, 0.0, std::f64::consts::SQRT_2 - 1.0, 0.0, 0.0, 0.0]);
    // 20 × 80 − 5·3/2 − (1 − π/4)·36
    let expected = 1600.0 - 7.5 - (1.0 - std::f64::consts::PI / 4.0) * 36.0;
    assert!((cut[0].area_mm2() - expected).abs() < 1e-9);
    // Along the face, one millimetre below it, the chamfer still takes 5·(3 − 1)/3 mm.
    let face = true_section(&rail, Axis::Deep, mm(1)).unwrap();
    assert_eq!(face[0].extents().high.y, mm(80) - Length::from_units((800_000 + 1) / 3));
    // Level, 2 mm below the top: the front has gone by 3·(5 − 2)/5 = 1.8 mm, the back by 6 − √(36 − 16).
    let level = true_section(&rail, Axis::Up, mm(78)).unwrap();
    let around = level[0].extents();
    assert_eq!(around.low.y, Length::from_units(144_000));
    assert_eq!(around.high.y, mm(20) - Length::from_mm(6.0 - 20.0_f64.sqrt()));
}

#[test]
fn a_section_shows_housings_and_openings() {
    let mut end = board([0, 0, 0], [18, 400, 700], Side::Right);
    // Seen from the right u runs to the back. A housing 18 wide and 6 deep in the show face, an opening right through.
    end.pockets.push(Recess { outline: rectangle(0, 300, 400, 318), depth: mm(6), from: Face::Show });
    end.inside.push(rectangle(100, 500, 300, 600));
    let cut = section(&end, Axis::Deep, mm(200)).unwrap();
    let mut areas: Vec<f64> = cut.plates.iter().map(Plate::area_mm2).collect();
    areas.sort_by(f64::total_cmp);
    assert_eq!(areas, [18.0 * 100.0, 18.0 * 500.0 - 18.0 * 6.0]);
    let face = section(&end, Axis::Across, mm(15)).unwrap();
    assert_eq!(
        face.plates.iter().map(Plate::area_mm2).collect::<Vec<_>>(),
        [400.0 * 300.0, 400.0 * 382.0 - 20_000.0]
    );
    let face = section(&end, Axis::Across, mm(6)).unwrap();
    assert_eq!(face.plates.iter().map(Plate::area_mm2).sum::<f64>(), 400.0 * 700.0 - 20_000.0);
}

#[test]
fn boards_that_touch_share_nothing_and_those_that_overlap_share_their_box() {
    let shelf = board([0, 0, 300], [800, 300, 318], Side::Top);
    let end = board([800, 0, 0], [818, 300, 700], Side::Left);
    assert_eq!(shared_volume(&shelf, &end), None);
    let deep = board([794, 0, 0], [812, 300, 700], Side::Left);
    let clash = shared_volume(&shelf, &deep).expect("they overlap by 6 mm");
    assert_eq!(clash.low, [mm(794), mm(0), mm(300)]);
    assert_eq!(clash.high, [mm(800), mm(300), mm(318)]);
    assert!((clash.volume_mm3 - 6.0 * 300.0 * 18.0).abs() < 1e-6);
    // Housed 6 deep, it fits; housed a tenth less, it shares 0.1 × 300 × 18.
    let mut housed = deep.clone();
    housed.pockets.push(Recess { outline: rectangle(0, 300, 300, 318), depth: mm(6), from: Face::Show });
    assert_eq!(shared_volume(&shelf, &housed), None);
    housed.pockets[0].depth = Length::from_units(80_000 * 59 / 10);
    let clash = shared_volume(&housed, &shelf).expect("0.1 mm too shallow");
    assert!((clash.volume_mm3 - 0.1 * 300.0 * 18.0).abs() < 1e-6, "{clash:?}");
}

#[test]
fn a_rounded_rail_in_its_own_section_shares_nothing() {
    let mut rail = board([0, 100, 300], [1000, 120, 380], Side::Front);
    let edge = |profile, arris| EdgeShape { from: at(1000, 80), to: at(0, 80), profile, arris };
    rail.edges = vec![edge(Profile::Round { radius: mm(9) }, Arris::Both)];
    let divider = board([500, 0, 0], [518, 400, 700], Side::Left);
    let whole = shared_volume(&rail, &divider).expect("the rail passes through");
    // 18 × (20 × 80 − 2·(1 − π/4)·81)
    let expected = 18.0 * (1600.0 - 2.0 * (1.0 - std::f64::consts::PI / 4.0) * 81.0);
    assert!((whole.volume_mm3 - expected).abs() < 0.2, "{whole:?} {expected}");
    // Its own section cut out, in the divider's face coordinates (u towards the front from the back edge at 400).
    let own = true_section(&rail, Axis::Across, mm(509)).unwrap().remove(0);
    let slot = own.mapped(|p| Point::new(mm(400) - p.x, p.y), true);
    let mut slotted = divider.clone();
    slotted.inside.push(slot);
    assert_eq!(shared_volume(&rail, &slotted), None);
    // The same slot without its rounds leaves nothing either; one sized for a bigger round leaves the crescents.
    let mut square = divider.clone();
    square.inside.push(rectangle(280, 300, 300, 380));
    assert_eq!(shared_volume(&rail, &square), None);
    rail.edges[0].profile = Profile::Round { radius: mm(5) };
    let clash = shared_volume(&rail, &slotted).expect("corners of the rail are in the way");
    let expected = 18.0 * 2.0 * (1.0 - std::f64::consts::PI / 4.0) * (81.0 - 25.0);
    assert!((clash.volume_mm3 - expected).abs() < 0.1, "{clash:?} {expected}");
}

use tickstick::shape::contact::{contact, facing, planes};
use tickstick::shape::measure::mass;
use tickstick::shape::shell::{Curve, Shell};
use tickstick::shape::solid::Bored;

#[test]
fn contact_is_what_is_left_of_two_faces() {
    // A shelf between two ends; the left one carries a slot in its face where the shelf would touch.
    let shelf = board([18, 0, 300], [800, 300, 318], Side::Top);
    let mut end = board([0, 0, 0], [18, 400, 700], Side::Right);
    let touching = contact(&shelf, &end).unwrap();
    assert_eq!(touching.len(), 1);
    assert_eq!((touching[0].side, touching[0].at, touching[0].gap), (Side::Left, mm(18), Length::ZERO));
    // Deep 0–300, up 300–318.
    assert_eq!(corners(&touching[0].region[0].outline), [(0, 300), (300, 300), (300, 318), (0, 318)]);
    end.inside.push(rectangle(100, 290, 150, 330));
    end.holes.push(Bored { at: at(50, 309), diameter: mm(4), depth: None, from: Face::Show, slot: None });
    let touching = contact(&shelf, &end).unwrap();
    let areas: Vec<f64> = touching[0].region.iter().map(Plate::area_mm2).collect();
    assert_eq!(areas, [100.0 * 18.0, 150.0 * 18.0]);
    // Housed 6 deep over its full depth, the shelf's end bears on the floor of the housing and its faces on the walls.
    let mut housed = board([0, 0, 0], [18, 400, 700], Side::Right);
    housed.pockets.push(Recess { outline: rectangle(0, 300, 400, 318), depth: mm(6), from: Face::Show });
    let longer = board([12, 0, 300], [800, 300, 318], Side::Top);
    let sides: Vec<(Side, f64)> = contact(&longer, &housed)
        .unwrap()
        .iter()
        .map(|c| (c.side, c.region.iter().map(Plate::area_mm2).sum()))
        .collect();
    assert_eq!(sides, [(Side::Left, 300.0 * 18.0), (Side::Bottom, 300.0 * 6.0), (Side::Top, 300.0 * 6.0)]);
    // A gap of 2 mm is seen when asked for.
    let short = board([20, 0, 300], [800, 300, 318], Side::Top);
    assert!(contact(&short, &board([0, 0, 0], [18, 400, 700], Side::Right)).unwrap().is_empty());
    let gaps = facing(&short, &board([0, 0, 0], [18, 400, 700], Side::Right), mm(3)).unwrap();
    assert_eq!((gaps.len(), gaps[0].gap, gaps[0].at), (1, mm(2), mm(20)));
}

#[test]
fn a_rounded_arris_is_no_contact() {
    // The rail's upper front arris is rounded 6: of its top 20 wide only 14 bears, of its front 80 high only 74.
    let mut rail = board([0, 0, 0], [1000, 20, 80], Side::Front);
    rail.edges = vec![EdgeShape {
        from: at(1000, 80),
        to: at(0, 80),
        profile: Profile::Round { radius: mm(6) },
        arris: Arris::Show,
    }];
    let area = |side: Side| {
        planes(&rail).unwrap().iter().filter(|f| f.side == side).map(|f| f.region.area_mm2()).sum::<f64>()
    };
    assert_eq!(area(Side::Top), 14_000.0);
    assert_eq!(area(Side::Front), 74_000.0);
    assert_eq!(area(Side::Back), 80_000.0);
    // The ends are the section, drawn with chords.
    assert!((area(Side::Left) - (1600.0 - (1.0 - std::f64::consts::PI / 4.0) * 36.0)).abs() < 0.05);
    // Volume: section × length, exactly as the section says.
    let wood = mass(&rail).unwrap();
    assert!(
        (wood.volume_mm3 / 1000.0 - (1600.0 - (1.0 - std::f64::consts::PI / 4.0) * 36.0)).abs() < 1e-4,
        "{wood:?}"
    );
    assert!((wood.centroid[0] - 500.0).abs() < 1e-6);
}

#[test]
fn mass_is_as_worked_by_hand() {
    // 600 × 400 × 20 less a housing 600 × 18 × 8 at 100–118, less a hole of 40 right through at (300, 300).
    let mut plate = board([0, 0, 0], [600, 20, 400], Side::Front);
    plate.pockets.push(Recess { outline: rectangle(0, 100, 600, 118), depth: mm(8), from: Face::Show });
    plate.holes.push(Bored { at: at(300, 300), diameter: mm(40), depth: None, from: Face::Show, slot: None });
    let pi = std::f64::consts::PI;
    let (whole, housing, hole) = (600.0 * 400.0 * 20.0, 600.0 * 18.0 * 8.0, pi * 400.0 * 20.0);
    let wood = mass(&plate).unwrap();
    let volume = whole - housing - hole;
    assert!((wood.volume_mm3 - volume).abs() < 1e-3, "{wood:?} {volume}");
    let up = (whole * 200.0 - housing * 109.0 - hole * 300.0) / volume;
    let deep = (whole * 10.0 - housing * 4.0 - hole * 10.0) / volume;
    assert!((wood.centroid[2] - up).abs() < 1e-6 && (wood.centroid[1] - deep).abs() < 1e-6, "{wood:?}");
    // A half disc of radius 100: centre 4r/3π above its diameter.
    let half =
        Outline::new(vec![Vertex { at: at(-100, 0), bulge: 0.0 }, Vertex { at: at(100, 0), bulge: 1.0 }])
            .unwrap();
    let (x, y) = half.first_moments_mm3();
    assert!(x.abs() < 1e-6 && (y / half.area_mm2() - 400.0 / (3.0 * pi)).abs() < 1e-9);
}

#[test]
fn a_box_has_six_faces_and_twelve_edges_and_a_notch_adds_its_own() {
    let mut plate = board([0, 0, 0], [600, 20, 400], Side::Front);
    let shell = Shell::of(&plate).unwrap();
    assert_eq!((shell.faces.len(), shell.edges.len()), (6, 12));
    assert!(shell.edges.iter().all(|edge| !edge.smooth));
    // A notch: 8 corners in the outline, so 8 walls and 2 broad faces; 8 × 3 edges.
    plate.outline = only(cut::subtract(&plate.through(), &rectangle(200, 300, 250, 400))).outline;
    let shell = Shell::of(&plate).unwrap();
    assert_eq!((shell.faces.len(), shell.edges.len()), (10, 24));
    // A rounded long edge: its two seams are smooth, its two ends are arcs.
    let mut rail = board([0, 0, 0], [1000, 20, 80], Side::Front);
    rail.edges = vec![EdgeShape {
        from: at(1000, 80),
        to: at(0, 80),
        profile: Profile::Round { radius: mm(6) },
        arris: Arris::Show,
    }];
    let shell = Shell::of(&rail).unwrap();
    let arcs = shell.edges.iter().filter(|e| matches!(e.curve, Curve::Arc { .. })).count();
    let long = |e: &&tickstick::shape::shell::SolidEdge| matches!(e.curve, Curve::Line { from, to } if (from[0] - to[0]).abs() > 999.0);
    let creases = shell.edges.iter().filter(long).filter(|e| !e.smooth).count();
    // Three of the four long arrises are left as creases; arcs are in pieces, the same at both ends.
    assert_eq!(creases, 3);
    assert!(arcs > 0 && arcs % 2 == 0);
}

use tickstick::shape::view::{LineKind, Projection, ViewLine, section_view, view};

fn seen_from(solids: &[Solid], side: Side) -> Vec<ViewLine> {
    let shells: Vec<Shell> = solids.iter().map(|solid| Shell::of(solid).unwrap()).collect();
    view(&shells, &Projection::of(side))
}

/// Lines as whole millimetres: from, to, low end first.
fn whole(lines: &[ViewLine], visible: bool) -> Vec<(usize, [i64; 4])> {
    let mut all: Vec<_> = lines
        .iter()
        .filter(|line| line.visible == visible)
        .map(|line| {
            let round = |v: f64| {
                assert!((v - v.round()).abs() < 1e-6, "{line:?}");
                v.round() as i64
            };
            let (a, b) = ([round(line.from.0), round(line.from.1)], [round(line.to.0), round(line.to.1)]);
            let (a, b) = (a.min(b), a.max(b));
            (line.solid, [a[0], a[1], b[0], b[1]])
        })
        .collect();
    all.sort();
    all
}

#[test]
fn a_front_view_shows_each_line_once_and_hides_what_is_behind() {
    // Two ends, a shelf between them set back by 20, a back panel behind all.
    let solids = [
        board([0, 0, 0], [18, 300, 700], Side::Right),
        board([782, 0, 0], [800, 300, 700], Side::Left),
        board([18, 20, 300], [782, 300, 318], Side::Top),
        board([0, 300, 0], [800, 306, 700], Side::Front),
    ];
    let lines = seen_from(&solids, Side::Front);
    assert_eq!(
        whole(&lines, true),
        [
            (0, [0, 0, 0, 700]),
            (0, [0, 0, 18, 0]),
            (0, [0, 700, 18, 700]),
            (0, [18, 0, 18, 700]),
            (1, [782, 0, 782, 700]),
            (1, [782, 0, 800, 0]),
            (1, [782, 700, 800, 700]),
            (1, [800, 0, 800, 700]),
            (2, [18, 300, 782, 300]),
            (2, [18, 318, 782, 318]),
            (3, [18, 0, 782, 0]),
            (3, [18, 700, 782, 700]),
        ]
    );
    assert_eq!(whole(&lines, false), []);
    // From behind only the panel's outline is seen; ends and shelf are hidden.
    let lines = seen_from(&solids, Side::Back);
    assert_eq!(whole(&lines, true).len(), 4);
    assert_eq!(
        whole(&lines, false),
        [
            (0, [-18, 0, -18, 700]),
            (1, [-782, 0, -782, 700]),
            (2, [-782, 300, -18, 300]),
            (2, [-782, 318, -18, 318]),
        ]
    );
    // From above: the shelf is seen between the ends, set back by 20.
    let lines = seen_from(&solids, Side::Top);
    assert!(whole(&lines, true).contains(&(2, [18, 20, 782, 20])));
}

#[test]
fn a_notched_divider_shows_the_rail_through_it() {
    // The rail 1000 × 20 × 80 passes through a divider's notch at its upper front; from the side the divider's notch
    // frames the rail's end.
    let rail = board([0, 0, 620], [1000, 20, 700], Side::Front);
    let mut divider = board([500, 0, 0], [518, 300, 700], Side::Left);
    divider.outline = only(cut::subtract(&divider.through(), &rectangle(280, 620, 300, 700))).outline;
    assert_eq!(shared_volume(&rail, &divider), None);
    let lines = seen_from(&[rail.clone(), divider.clone()], Side::Left);
    // Seen from the left, u runs to the front: deep 0–300 is x −300–0. The rail's end is nearest.
    assert_eq!(
        whole(&lines, true),
        [
            (0, [-20, 620, -20, 700]),
            (0, [-20, 620, 0, 620]),
            (0, [-20, 700, 0, 700]),
            (0, [0, 620, 0, 700]),
            (1, [-300, 0, -300, 700]),
            (1, [-300, 0, 0, 0]),
            (1, [-300, 700, -20, 700]),
            (1, [0, 0, 0, 620]),
        ]
    );
    assert_eq!(whole(&lines, false), []);
    // From the front the divider is hidden where the rail passes.
    let lines = seen_from(&[rail, divider], Side::Front);
    assert_eq!(
        whole(&lines, true)[4..],
        [(1, [500, 0, 500, 620]), (1, [500, 0, 518, 0]), (1, [518, 0, 518, 620])]
    );
    assert_eq!(whole(&lines, false), [(1, [500, 620, 500, 700]), (1, [518, 620, 518, 700])]);
}

#[test]
fn arcs_stay_arcs_and_a_box_shows_nine_edges_in_isometric() {
    let mut panel = board([0, 0, 0], [600, 18, 400], Side::Front);
    panel.holes.push(Bored { at: at(300, 200), diameter: mm(60), depth: None, from: Face::Show, slot: None });
    let arcs: Vec<ViewLine> =
        seen_from(&[panel.clone()], Side::Front).into_iter().filter(|line| line.bulge != 0.0).collect();
    assert_eq!(arcs.len(), 2);
    assert!(arcs.iter().all(|arc| arc.visible && (arc.bulge - 1.0).abs() < 1e-9));
    // From above the hole is two hidden lines, 270 and 330 across, through the thickness.
    let hidden = seen_from(&[panel], Side::Top);
    assert_eq!(whole(&hidden, false), [(0, [270, 0, 270, 18]), (0, [330, 0, 330, 18])]);
    // A cube: 9 edges seen, 3 hidden, each √(2/3) of its length (ISO 5456-3: axes foreshortened alike).
    let cube = Shell::of(&board([0, 0, 0], [100, 100, 100], Side::Front)).unwrap();
    let lines = view(&[cube], &Projection::isometric(Side::Front, Side::Right));
    assert_eq!(lines.iter().filter(|line| line.visible).count(), 9);
    assert_eq!(lines.iter().filter(|line| !line.visible).count(), 3);
    for line in &lines {
        let length = (line.to.0 - line.from.0).hypot(line.to.1 - line.from.1);
        assert!((length - 100.0 * (2.0_f64 / 3.0).sqrt()).abs() < 1e-9);
    }
}

#[test]
fn a_section_view_cuts_what_the_plane_meets_and_shows_what_is_behind() {
    let solids = [
        board([0, 0, 0], [18, 300, 700], Side::Right),
        board([18, 0, 300], [782, 300, 318], Side::Top),
        board([782, 0, 0], [800, 300, 700], Side::Left),
    ];
    let all: Vec<&Solid> = solids.iter().collect();
    // Cut across at 400, looking from the left: the shelf is cut, the right end is behind, the left end is gone.
    let cut = section_view(&all, Side::Left, mm(400)).unwrap();
    assert_eq!(cut.cut.len(), 1);
    assert_eq!(cut.cut[0].0, 1);
    assert_eq!(corners(&cut.cut[0].1[0].outline), [(-300, 300), (0, 300), (0, 318), (-300, 318)]);
    // The shelf's ends lie over the edges of the end panel behind it, which show above and below.
    assert_eq!(
        whole(&cut.lines, true),
        [
            (1, [-300, 300, -300, 318]),
            (1, [-300, 300, 0, 300]),
            (1, [-300, 318, 0, 318]),
            (1, [0, 300, 0, 318]),
            (2, [-300, 0, -300, 300]),
            (2, [-300, 0, 0, 0]),
            (2, [-300, 318, -300, 700]),
            (2, [-300, 700, 0, 700]),
            (2, [0, 0, 0, 300]),
            (2, [0, 318, 0, 700]),
        ]
    );
    assert!(cut.lines.iter().all(|line| (line.kind == LineKind::Cut) == (line.solid == 1)));
    assert!(whole(&cut.lines, false).is_empty());
}

use tickstick::shape::grow::{GrowFault, grow, grow_sides};
use tickstick::shape::make::{Blank, Corner, Edge, PathPoint, ShapeFault, Way, work_corner};

#[test]
fn a_fit_grows_the_sides_that_bear_and_opens_the_mouth() {
    // A rail 20 × 80 with a chamfer of 5 × 5 on one corner, grown 1 each side, its mouth (the top) pushed out.
    let corner = |x, y| Vertex { at: at(x, y), bulge: 0.0 };
    let rail = Outline::new(vec![corner(0, 0), corner(20, 0), corner(20, 75), corner(15, 80), corner(0, 80)])
        .unwrap();
    let one = mm(1);
    // So far out the slope would pass the far side, x = 95 + √2 − 130 < −1: the mouth has vanished, and it is said so.
    let gone = Err(GrowFault::SideVanishes { side: 3 });
    assert_eq!(grow_sides(&rail, &[one, one, one, mm(50), one]), gone);
    // At 5 it meets the slope, 1 out square to itself, at x = 95 + √2 − 85, and the slope the side x = 21 at 74 + √2.
    let slope = std::f64::consts::SQRT_2;
    let near = grow_sides(&rail, &[one, one, one, mm(5), one]).unwrap();
    for (vertex, (x, y)) in near.vertices().iter().zip([
        (-1.0, -1.0),
        (21.0, -1.0),
        (21.0, 74.0 + slope),
        (10.0 + slope, 85.0),
        (-1.0, 85.0),
    ]) {
        let (a, b) = vertex.at.to_mm();
        assert!((a - x).abs() < 1e-5 && (b - y).abs() < 1e-5, "{vertex:?} {x} {y}");
    }
    // A round moves with its neighbours and stays tangent: radius 6 grows to 7, corner where it was.
    let mut blank = Blank::new(at(0, 0), at(20, 80));
    blank.corners[2] = Corner::Radius(mm(6));
    let grown = grow(&blank.outline().unwrap(), one).unwrap();
    let mut larger = Blank::new(at(-1, -1), at(21, 81));
    larger.corners[2] = Corner::Radius(mm(7));
    assert_eq!(grown, larger.outline().unwrap());
    // Two sides on one line that move unequally leave a square step.
    let split = Outline::new(vec![corner(0, 0), corner(10, 0), corner(20, 0), corner(20, 10), corner(0, 10)])
        .unwrap();
    let zero = Length::ZERO;
    let stepped = grow_sides(&split, &[one, zero, zero, zero, zero]).unwrap();
    assert_eq!(stepped.exact_double_area(), Some(2 * (200 + 10) * 80_000 * 80_000));
    assert!(matches!(grow(&split, mm(-6)), Err(GrowFault::SideVanishes { .. })));
    assert_eq!(grow_sides(&split, &[one]), Err(GrowFault::WrongCount));
}

#[test]
fn a_hollow_whose_mouth_closes_is_said_to_vanish() {
    // A hollow 80 wide and 38 deep in the top edge: bulge 38 / 40, and with R its radius and c the height of its centre above
    // the edge, R - c = 38 and R + c = 40² / 38.
    let mut vertices = [(0, 0), (200, 0), (200, 100), (140, 100), (60, 100), (0, 100)]
        .map(|(x, y)| Vertex { at: at(x, y), bulge: 0.0 });
    vertices[3].bulge = -38.0 / 40.0;
    let hollow = Outline::new(vertices.to_vec()).unwrap();
    // Grown by 20 half the mouth is √((R - 20)² - (20 - c)²) = √((R + c - 40) (R - c)) = √(1600 - 40 × 38) = √80.
    let grown = grow(&hollow, mm(20)).unwrap();
    assert_eq!(grown.vertices().len(), 6);
    for (vertex, x) in [(3, 100.0 + 80_f64.sqrt()), (4, 100.0 - 80_f64.sqrt())] {
        let (found, top) = grown.vertices()[vertex].at.to_mm();
        assert!((found - x).abs() < 1e-4 && (top - 120.0).abs() < 1e-9, "{found} {x} {top}");
    }
    // Beyond (R + c) / 2 = 21.05 the edge passes over what is left of the circle.
    assert!(matches!(grow(&hollow, mm(22)), Err(GrowFault::SideVanishes { .. })));
}

#[test]
fn blanks_take_corners_arches_tapers_and_paths() {
    let blank = || Blank::new(at(0, 0), at(600, 300));
    let area = |blank: &Blank| blank.outline().unwrap().area_mm2();
    let mut cut = blank();
    cut.corners[0] = Corner::Cut { arriving: mm(40), leaving: mm(30) };
    // The left edge arrives, the bottom leaves: 40 up, 30 along; half of 40 × 30 goes.
    assert!(cut.outline().unwrap().vertices().iter().any(|v| v.at == at(0, 40)));
    assert_eq!(area(&cut), 180_000.0 - 600.0);
    cut.corners[2] = Corner::Step { arriving: mm(50), leaving: mm(20) };
    assert_eq!(area(&cut), 180_000.0 - 600.0 - 1000.0);
    let mut arch = blank();
    arch.edges[0] = Edge::Arch { start: mm(50), end: mm(50), rise: mm(100), way: Way::Hollow };
    // Chord 500, rise 100: r = (250² + 100²)/200 = 362.5, half angle asin(250/362.5).
    let (r, half) = (362.5_f64, (250.0_f64 / 362.5).asin());
    let segment = r * r * (half - half.sin() * half.cos());
    assert!((area(&arch) - (180_000.0 - segment)).abs() < 1e-6);
    arch.edges[0] = Edge::Arch { start: mm(50), end: mm(50), rise: mm(100), way: Way::Crown };
    assert!((area(&arch) - (180_000.0 - 600.0 * 100.0 + segment)).abs() < 1e-6);
    assert_eq!(arch.outline().unwrap().extents().low, at(0, 0));
    arch.edges[0] = Edge::Arch { start: mm(50), end: mm(50), rise: mm(251), way: Way::Hollow };
    assert_eq!(arch.outline(), Err(ShapeFault::RiseTooHigh { edge: 0, rise: mm(251), most: mm(250) }));
    let mut taper = blank();
    taper.edges[2] = Edge::Taper { start: mm(0), end: mm(60) };
    assert_eq!(area(&taper), 180_000.0 - 600.0 * 60.0 / 2.0);
    taper.edges[1] = Edge::Taper { start: mm(0), end: mm(30) };
    assert_eq!(taper.outline().unwrap().vertices().len(), 4);
    let mut path = blank();
    let point = |along, inset, rise| PathPoint { along: mm(along), inset: mm(inset), rise: mm(rise) };
    path.edges[0] =
        Edge::Path(vec![point(100, 0, 0), point(100, 50, 0), point(300, 50, -20), point(500, 0, 0)]);
    let outline = path.outline().unwrap();
    assert_eq!(outline.vertices().len(), 8);
    assert!(outline.area_mm2() < 180_000.0 - 200.0 * 50.0 - 200.0 * 25.0);
    path.edges[0] = Edge::Path(vec![point(300, 10, 0), point(200, 10, 0)]);
    assert_eq!(path.outline(), Err(ShapeFault::OutOfOrder { edge: 0 }));
    // Two radii of 160 do not fit an edge of 300.
    let mut round = blank();
    round.corners[1] = Corner::Radius(mm(160));
    round.corners[2] = Corner::Radius(mm(160));
    assert_eq!(round.outline(), Err(ShapeFault::EdgeTooShort { edge: 1, needs: mm(320), has: mm(300) }));
    round.corners = [Corner::Radius(mm(150)); 4];
    // Half circles at both ends: 300 × 300 + π·150².
    assert!((area(&round) - (90_000.0 + std::f64::consts::PI * 22_500.0)).abs() < 1e-6);
    // An arch from below that meets one from above.
    let mut thin = Blank::new(at(0, 0), at(600, 150));
    let hollow = Edge::Arch { start: mm(100), end: mm(100), rise: mm(80), way: Way::Hollow };
    thin.edges = [hollow.clone(), Edge::Straight, hollow, Edge::Straight];
    assert_eq!(thin.outline(), Err(ShapeFault::Meets));
    // A corner of 60° rounded 10: the tangent points lie 10·tan(60°) = 17.32 from it (the turn is 120°).
    let side = 100.0 * 3.0_f64.sqrt() / 2.0;
    let top = Point::new(mm(50), Length::from_mm(side));
    let corner = |at| Vertex { at, bulge: 0.0 };
    let triangle = Outline::new(vec![corner(at(0, 0)), corner(at(100, 0)), corner(top)]).unwrap();
    let worked = work_corner(&triangle, 0, Corner::Radius(mm(10))).unwrap();
    let tangent = Length::from_mm(10.0 * 3.0_f64.sqrt());
    assert!(
        worked.vertices().iter().any(|v| (v.at.x - tangent).abs().units() <= 1 && v.at.y == Length::ZERO)
    );
}

#[test]
fn mitred_boards_meet_without_sharing_space() {
    // Two boards 20 thick meet at a corner with equal bevels: one stands to the front, one to the left.
    let mut front = board([0, 0, 0], [400, 20, 100], Side::Front);
    let mut left = board([0, 0, 0], [20, 400, 100], Side::Left);
    assert!(shared_volume(&front, &left).is_some());
    // Their show faces, outside, stay the longer; the inner faces lose 20 at the corner.
    let bevel =
        |from, to| EdgeShape { from, to, profile: Profile::Bevel { run: mm(20) }, arris: Arris::Back };
    front.edges.push(bevel(at(0, 100), at(0, 0)));
    left.edges.push(bevel(at(400, 0), at(400, 100)));
    assert_eq!(shared_volume(&front, &left), None);
    // Together they fill the corner: each loses half of 20 × 20 × 100.
    for board in [&front, &left] {
        assert!((mass(board).unwrap().volume_mm3 - (400.0 * 20.0 - 200.0) * 100.0).abs() < 1e-6);
    }
    left.edges[0].profile = Profile::Bevel { run: mm(19) };
    let clash = shared_volume(&front, &left).expect("a bevel too small");
    // A triangle 20 × 1 / 2 along 100.
    assert!((clash.volume_mm3 - 1000.0).abs() < 1.0, "{clash:?}");
}

#[test]
fn a_profile_that_stops_leaves_no_seam_below_it() {
    // A rail 1000 long, its upper front arris chamfered 8 × 8 over its right half only.
    let mut rail = board([0, 0, 0], [1000, 20, 80], Side::Front);
    let profile = Profile::Chamfer { along_face: mm(8), down_edge: mm(8) };
    rail.edges.push(EdgeShape { from: at(1000, 80), to: at(500, 80), profile, arris: Arris::Show });
    // From above the chamfer ends in a line 8 long at 500 across; behind it the edge face runs on without a line.
    let across: Vec<[i64; 4]> = whole(&seen_from(&[rail], Side::Top), true)
        .into_iter()
        .map(|(_, line)| line)
        .filter(|line| line[0] == 500 && line[2] == 500)
        .collect();
    assert_eq!(across, [[500, 0, 500, 8]]);
}
