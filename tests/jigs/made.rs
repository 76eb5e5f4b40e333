//! Templates of whole jobs: what is found, where it registers, which places share one, and what is refused.

use tickstick::cutting::{self, Form, words};
use tickstick::diagnose::Severity;
use tickstick::drawing::Step;
use tickstick::fullsize::template;
use tickstick::fullsize::{Printer, Stock};
use tickstick::jigs::card::{card, passes, plug_collar};
use tickstick::jigs::{Bears, Jig, Kind, arrows};
use tickstick::length::Length;
use tickstick::length::notation::tell;
use tickstick::parts::{Hand, Made, PartId};
use tickstick::shape::{Extents, Point};
use tickstick::trade::Face;
use tickstick::values::CuttingShop;

use super::{RACK, job, mm};

fn tenth(n: i64) -> Length {
    Length::from_units(8_000 * n)
}

/// A point in tenths of a millimetre.
fn at(x: i64, y: i64) -> Point {
    Point::new(tenth(x), tenth(y))
}

fn said(made: &Made, jig: &Jig, head: &str) -> String {
    let units = made.job.units;
    let all = card(made, jig, &|length| tell(length, units));
    all.into_iter().filter(|(h, _)| h == head).map(|(_, text)| text).collect::<Vec<_>>().join(" | ")
}

#[test]
fn an_opening_keeps_the_parts_datum() {
    let (made, all, faults) = job(RACK);
    assert!(faults.is_empty(), "{faults:?}");
    let grip = &all[0];
    assert_eq!((grip.mark.as_str(), grip.kind, grip.through), ("J1", Kind::Opening, true));
    // Side left shows its right face: who looks at it, and so to the left, has the front at the left hand. The opening lies 120 to
    // 220 from the front and 700 to 740 up; the template's is larger by (15 − 6) / 2 = 4.5 mm all round.
    let window = grip.window.as_ref().unwrap().extents();
    assert_eq!((window.low, window.high), (at(1155, 6955), at(2245, 7445)));
    // The blank leaves the base (75 − 7.5 beyond the line) and 40 for clamps: 107.5, in steps of 5: 110. The datum edge at the
    // left is near enough for a fence of 20 or more; the one below, 700 away, is not: a line is held to the part there.
    let blank = grip.blank.extents();
    assert_eq!(window.low.y - blank.low.y, mm(110));
    assert_eq!(grip.fences.iter().map(|f| f.bears_on).collect::<Vec<_>>(), ["left"]);
    assert_eq!(grip.fences[0].from.x, Length::ZERO);
    assert!(blank.low.x <= -mm(20));
    let line = &grip.lines[0];
    assert_eq!((line.says, line.datum), ("centre", Some(mm(720))));
    let over = |length: Length| length.units() % mm(5).units();
    assert_eq!((over(blank.width()), over(blank.height())), (0, 0));
    // Passes of no more than half the bit: 18 + 1.5 in 7 of 3 or less.
    let depths = passes(&made, grip);
    assert_eq!((depths.len(), *depths.last().unwrap()), (7, tenth(195)));
    assert!(depths.windows(2).all(|pair| pair[1] - pair[0] <= mm(3)));
    assert!(said(&made, grip, "FEED").starts_with("clockwise"));
    // Common practice: one bit, the plug's collar smaller by two bits: 15 − 12 = 3 is smaller than the bit, so none.
    assert_eq!(plug_collar(grip), None);
}

#[test]
fn an_inlay_takes_two_collars_that_differ_by_two_bits() {
    // Common practice: a 1/4 in bit, 1/2 in collar for the plug, 1 in collar for the recess.
    let (_, all, faults) = job(
        "units: inch\nstock: {ply: {sheet: [48\", 96\"], thick: 3/4\", grain: long}}\nassemblies:\n  a:\n    parts:\n      \
         lid: {stock: ply, faces: up, left: 0, width: 20\", front: 0, depth: 14\", bottom: 0, held_by: floor,\n        \
         cutouts: {medallion: {left: 5\", width: 4\", front: 4\", depth: 3\", deep: 1/8\", radius: 1/2\"}}}\n\
         templates: [{router: a.lid, opening: medallion, bit: 1/4\", collar: 1\"}]\n",
    );
    assert!(faults.is_empty(), "{faults:?}");
    assert_eq!(plug_collar(&all[0]), Some(Length::INCH.half()));
    assert_eq!((all[0].kind, all[0].through), (Kind::Recess, false));
}

#[test]
fn a_stopped_housing_says_where_the_far_edge_of_the_cutter_stops() {
    let (made, all, _) = job(RACK);
    let housing = &all[3];
    assert_eq!((housing.kind, housing.depth), (Kind::Housing("housing"), mm(6)));
    let [stop] = housing.stops.as_slice() else { panic!("{:?}", housing.stops) };
    // The shelf begins 20 behind the front, which lies at the left of side left's drawing, and runs out at the back, 400 across. It
    // is 18 thick and lies 300 up.
    assert_eq!((stop.from, stop.far_edge, stop.is_far_end), ("left", mm(20), false));
    // A stop block for the base stands (150 − 12) / 2 = 69 before it: 49 in front of the edge.
    let text = said(&made, housing, "STOP");
    let wanted = "begins 20 mm from the left datum edge, measured to the FAR edge of the cutter; \
                  a stop block for the base stands 49 mm outside that edge";
    assert_eq!(text, wanted);
    assert!(said(&made, housing, "END").contains("round"));
    // The opening is larger by (16 − 12) / 2 = 2 all round, and beyond the open end the bit of 12 leaves the wood by 1.5.
    let window = housing.window.as_ref().unwrap().extents();
    assert_eq!((window.low, window.high), (at(180, 2980), at(4155, 3200)));
    let corners: Vec<Point> = housing.inside_corners.iter().map(|corner| corner.at).collect();
    assert_eq!(corners.len(), 2);
    assert!(corners.contains(&at(200, 3000)) && corners.contains(&at(200, 3180)), "{corners:?}");
}

#[test]
fn an_edge_is_followed_inside_its_line() {
    let (made, all, _) = job(RACK);
    let edge = &all[1];
    let part = &made.parts[edge.part.0];
    // An arch of 40 over 400: radius (200² + 40²) / (2 · 40) = 520, hollow; the template, smaller by 3, has 523.
    let arcs: Vec<f64> = edge
        .blank
        .segments()
        .filter_map(|(from, to)| tickstick::shape::Arc::between(from.at.to_mm(), to.to_mm(), from.bulge))
        .map(|arc| arc.radius)
        .collect();
    assert_eq!(arcs.len(), 1);
    assert!((arcs[0] - 523.0).abs() < 1e-3, "{arcs:?}");
    assert!(edge.blank.extents().high.y > part.height - mm(40), "it runs past the ends");
    assert!(edge.window.is_none() && edge.fences.len() == 1);
    assert_eq!(edge.fences[0].from.x, Length::ZERO);
    // Its back, from the part's opposite edge.
    assert_eq!(edge.lines[0].datum, Some(edge.blank.extents().low.y));
    assert!(said(&made, edge, "FEED").starts_with("anticlockwise"));
}

#[test]
fn a_whole_part_with_a_bearing_is_its_own_template() {
    let (made, all, _) = job(RACK);
    let whole = &all[4];
    assert_eq!(whole.blank.canonical(), made.parts[whole.part.0].outline.canonical());
}

/// Arrows of a template by the side on which they have a point: negative at the right hand, positive at the left.
fn sides(jig: &Jig, of: (f64, f64)) -> Vec<f64> {
    let arrows = arrows::feed(jig, 3.0, 10.0);
    assert!(!arrows.is_empty(), "{}", jig.id);
    let side = |(from, to): &((f64, f64), (f64, f64))| {
        let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        let (way, there) = ((to.0 - from.0, to.1 - from.1), (of.0 - middle.0, of.1 - middle.1));
        // The bit runs in the opening, or outside the template.
        let inside = jig
            .window
            .as_ref()
            .unwrap_or(&jig.blank)
            .contains(Point::new(Length::from_mm(middle.0), Length::from_mm(middle.1)));
        assert_eq!(inside, jig.window.is_some(), "{}", jig.id);
        way.0 * there.1 - way.1 * there.0
    };
    arrows.iter().map(side).collect()
}

#[test]
fn the_router_is_fed_against_the_rotation_of_the_cutter() {
    // Common practice, for cutters that turn clockwise seen from above: clockwise round the inside of an opening, so that its
    // middle stays at the right hand; anticlockwise round the outside, so that the wood stays at the left hand. Whoever stands
    // over the back face sees the same.
    for face in ["show", "back"] {
        let mut jigs = Vec::new();
        for entry in ["opening: grip", "edge: top"] {
            let wanted = format!("rack.side_left, {entry}, ");
            jigs.extend(
                job(&RACK.replace(&wanted, &format!("{wanted}face: {face}, "))).1.into_iter().take(2),
            );
        }
        let (windows, edges): (Vec<&Jig>, Vec<&Jig>) = jigs.iter().partition(|jig| jig.window.is_some());
        assert!(windows.iter().any(|jig| (jig.face == Face::Back) == (face == "back")));
        assert!(edges.iter().any(|jig| (jig.face == Face::Back) == (face == "back")));
        for jig in windows {
            let around = jig.window.as_ref().unwrap().extents();
            let (low, high) = (around.low.to_mm(), around.high.to_mm());
            let middle = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
            assert!(sides(jig, middle).iter().all(|side| *side < 0.0), "{} on the {face}", jig.id);
        }
        for jig in edges {
            // The body of the template lies below the upper edge.
            let around = jig.blank.extents();
            let (low, high) = (around.low.to_mm(), around.high.to_mm());
            let body = ((low.0 + high.0) / 2.0, low.1);
            assert!(sides(jig, body).iter().all(|side| *side > 0.0), "{} on the {face}", jig.id);
        }
    }
}

/// The case's right side alone, as a whole, with some holes of its own and more keys on its template.
fn whole(holes: &str, keys: &str) -> String {
    let from = RACK.find("templates:").unwrap();
    let yaml = RACK[..from]
        .replace("right: 800 mm, front: 0,", &format!("right: 800 mm, holes: {{{holes}}}, front: 0,"));
    format!("{yaml}templates: [{{router: rack.side_right, whole: yes, bit: 12 mm, bearing: top{keys}}}]\n")
}

#[test]
fn a_template_of_a_whole_part_says_how_it_is_held() {
    // No holes, no screws: tape, told in so many words.
    let (made, all, faults) = job(&whole("", ""));
    assert!(faults.is_empty() && all[0].pins.is_empty(), "{faults:?}");
    assert!(said(&made, &all[0], "HOLD").contains("double-sided tape"));

    // Side right shows its left face: who looks at it, to the right, has the front at the right hand and the datum at the back
    // edge. A hole 60 from the front lies 340 across. The two furthest apart of those that a pin stands in are taken: not the
    // one of 20 mm, not the one 4 from the edge, not the one drilled from the other face.
    let holes = "low: {deep: 60 mm, up: 80 mm, diameter: 8 mm}, mid: {deep: 200 mm, up: 400 mm, diameter: 8 mm}, \
                 high: {deep: 340 mm, up: 850 mm, diameter: 6 mm, depth: 10 mm}, wide: {deep: 60 mm, up: 40 mm, diameter: 20 mm}, \
                 rim: {deep: 8 mm, up: 20 mm, diameter: 8 mm}, under: {deep: 60 mm, up: 30 mm, diameter: 8 mm, depth: 10 mm, from: back}";
    let (made, all, faults) = job(&whole(holes, ""));
    assert!(faults.is_empty(), "{faults:?}");
    let pins: Vec<(Point, Length, Bears)> = all[0].pins.iter().map(|p| (p.at, p.diameter, p.bears)).collect();
    assert_eq!(pins.len(), 2, "{pins:?}");
    assert!(pins.contains(&(at(3400, 800), mm(8), Bears::Hole)), "{pins:?}");
    assert!(pins.contains(&(at(600, 8500), mm(6), Bears::Hole)), "{pins:?}");
    let hold = said(&made, &all[0], "HOLD");
    assert!(hold.contains("Ø 8 mm at 340 mm across, 80 mm up") && hold.contains("tape"), "{hold}");

    // From the back face the same holes lie mirrored, and a blind one of the show face is closed.
    let (made, all, faults) = job(&whole(holes, ", face: back"));
    assert!(faults.is_empty(), "{faults:?}");
    let pins: Vec<Point> = all[0].pins.iter().map(|pin| pin.at).collect();
    assert!(pins.contains(&at(600, 300)) && pins.contains(&at(2000, 4000)), "{pins:?}");
    assert!(said(&made, &all[0], "HOLD").contains("Ø 8 mm at 340 mm across, 30 mm up"));

    // Two holes close together let the template swing: no pins.
    let close =
        "one: {deep: 60 mm, up: 80 mm, diameter: 8 mm}, two: {deep: 60 mm, up: 180 mm, diameter: 8 mm}";
    assert!(job(&whole(close, "")).1[0].pins.is_empty());
}

#[test]
fn screws_hold_a_template_where_the_spec_allows_them() {
    let keys = ", screws: [{across: 50 mm, up: 100 mm}, {across: 350 mm, up: 800 mm}]";
    let (made, all, faults) = job(&whole("", keys));
    assert!(faults.is_empty(), "{faults:?}");
    let pins: Vec<(Point, Bears)> = all[0].pins.iter().map(|p| (p.at, p.bears)).collect();
    assert_eq!(pins, [(at(500, 1000), Bears::Screw), (at(3500, 8000), Bears::Screw)]);
    // Template 12 and side 18, less 3 so that no point comes through.
    let hold = said(&made, &all[0], "HOLD");
    assert!(hold.contains("no longer than 27 mm") && hold.contains("show face"), "{hold}");
    let (_, all, faults) = job(&whole("", &format!("{keys}, face: back")));
    assert!(faults.is_empty());
    assert_eq!(all[0].pins.iter().map(|p| p.at).collect::<Vec<_>>(), [at(3500, 1000), at(500, 8000)]);
    // Beside the part, and 8 from the edge where 4.5 / 2 + 6 = 8.25 is needed.
    let told = faults_of(&whole("", ", screws: [{across: 500 mm, up: 100 mm}, {across: 8 mm, up: 100 mm}]"));
    assert!(told.contains("at 500 mm across and 100 mm up of the router template meets no wood"), "{told}");
    assert!(told.contains("at 8 mm across and 100 mm up stands too near"), "{told}");
    assert!(!faults_of(&whole("", ", screws: [{across: 8.25 mm, up: 100 mm}]")).contains("near"));
}

/// A locker for a choir's hymn books: fins and a post with the same notch in different places.
const NOTCHED: &str = "\
units: mm
stock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}
assemblies:
  locker:
    parts:
      fin: {stock: ply, faces: side, count: 3, left: 100 mm * i, front: 0, depth: 300 mm, bottom: 0, height: 500 mm, grain: up, held_by: floor}
      post: {stock: ply, faces: side, left: 420 mm, front: 0, depth: 200 mm, bottom: 0, height: 480 mm, grain: up, held_by: floor}
      low_rail: {stock: ply, faces: front, left: 0, right: 600 mm, front: 60 mm, top: 500 mm, height: 80 mm, grain: across}
      post_rail: {stock: ply, faces: front, left: 380 mm, right: 480 mm, front: 110 mm, top: post.top, height: 80 mm, grain: across}
    joints:
      - {notch: fin, around: low_rail, fit: 0.5 mm}
      - {notch: post, around: low_rail, fit: 0.5 mm}
      - {notch: post, around: post_rail, fit: 0.5 mm}
templates:
  - {router: locker.fin, notch: low_rail, bit: 6 mm, collar: 10 mm}
";

#[test]
fn equal_notches_share_a_jig() {
    let (made, all, faults) = job(NOTCHED);
    assert!(faults.is_empty(), "{faults:?}");
    let [jig] = all.as_slice() else { panic!("{}", all.len()) };
    assert_eq!(jig.kind, Kind::Notch);
    // 18 + 2 · 0.5 wide and 80 deep (and as much deeper as the fit asks): in fin and, with another place along its edge, in post.
    let places: Vec<(&str, Length)> =
        jig.uses.iter().map(|one| (made.parts[one.part.0].name.as_str(), one.at.width())).collect();
    assert_eq!(places, [("fin", mm(19)), ("post", mm(19))]);
    assert_eq!(jig.uses[0].open, ["top"]);
    assert!(jig.uses.iter().all(|one| !one.mirrored && one.turns == 0));
    // Low_rail's upper edge is 20 above the post: its notch there is 60 deep and has no equal.
    assert_eq!(made.parts[jig.uses[1].part.0].cuts.len(), 2);
    // Its low corner is at zero; the fence bears on the edge that it breaks; centre and shoulders are lines.
    assert_eq!(jig.fences.iter().map(|f| f.bears_on).collect::<Vec<_>>(), ["top"]);
    let lines: Vec<(&str, Length)> = jig.lines.iter().map(|line| (line.says, line.from.x)).collect();
    assert_eq!(lines, [("centre", tenth(95)), ("shoulder", Length::ZERO), ("shoulder", mm(19))]);
    let depth = jig.uses[0].at.height();
    assert_eq!(jig.fences[0].from.y, depth);
    // Opening: 2 mm larger on three sides, and past the edge by bit 6, 1.5 and 2.
    let window = jig.window.as_ref().unwrap().extents();
    assert_eq!((window.low, window.high.x), (Point::new(-mm(2), -mm(2)), mm(21)));
    assert_eq!(window.high.y, depth + tenth(95));
}

#[test]
fn notches_in_both_corners_take_one_jig_turned_over() {
    // Stretchers in the front and the back corner of the same board are mirror images of each other.
    let yaml = "units: mm\nstock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}\nassemblies:\n  a:\n    parts:\n      \
        fin: {stock: ply, faces: side, left: 100 mm, front: 0, depth: 300 mm, bottom: 0, height: 500 mm, grain: up, held_by: floor}\n      \
        near: {stock: ply, faces: front, left: 0, right: 300 mm, front: 0, top: fin.top, height: 80 mm, grain: across}\n      \
        far: {stock: ply, faces: front, left: 0, right: 300 mm, back: 300 mm, top: fin.top, height: 80 mm, grain: across}\n    \
        joints: [{notch: fin, around: [near, far], fit: 0}]\n\
        templates: [{router: a.fin, notch: [near, far], bit: 6 mm, collar: 10 mm}]\n";
    let (made, all, faults) = job(yaml);
    assert!(faults.is_empty(), "{faults:?}");
    let [jig] = all.as_slice() else { panic!("{}", all.len()) };
    assert_eq!(jig.uses.iter().map(|one| one.mirrored).collect::<Vec<_>>(), [false, true]);
    // Pins in place of fences, two on each of the two edges, their far sides from the wood.
    assert!(jig.turned_over && jig.fences.is_empty() && jig.pins.len() == 4);
    for pin in &jig.pins {
        let touches = jig.edges.iter().any(|(from, to)| {
            let level = from.y == to.y;
            let off = if level { (pin.at.y - from.y).abs() } else { (pin.at.x - from.x).abs() };
            off == pin.diameter.half()
        });
        assert!(touches, "{pin:?}");
        assert!(!jig.window.as_ref().unwrap().contains(pin.at), "{pin:?} is in the opening");
        // The board is 300 wide and 500 high and the notch is drawn from its own corner: a pin stands beside wood.
        let corner = jig.uses[0].at.low;
        let on = Point::new(corner.x + pin.at.x, corner.y + pin.at.y);
        let (along, size) = match pin.bears {
            Bears::Edge("left" | "right") => (on.y, mm(500)),
            _ => (on.x, mm(300)),
        };
        assert!(pin.diameter.half() <= along && along <= size - pin.diameter.half(), "{pin:?} touches air");
    }
    // Two on one edge stand apart, so that the template cannot swing.
    for side in ["left", "right", "top", "bottom"] {
        let on: Vec<Point> =
            jig.pins.iter().filter(|pin| pin.bears == Bears::Edge(side)).map(|pin| pin.at).collect();
        if let [one, other] = on[..] {
            assert!((one.x - other.x).abs() + (one.y - other.y).abs() > mm(15), "{side}: {on:?}");
        }
    }
    assert!(said(&made, jig, "HOLD").contains("turned over"));
}

/// A toe notch 60 x 80 takes the lower left corner of both sides: a pin of the left edge stands above it, one of the bottom
/// edge to the right of it, or behind it there would be air.
#[test]
fn pins_bear_on_what_is_left_of_an_edge() {
    let side = |name: &str, left: &str, show: &str| {
        format!(
            "      {name}: {{stock: ply, faces: side, left: {left}, front: 0, depth: 300 mm, bottom: 0, height: 500 mm, grain: up, show: {show}, \
             held_by: floor, corners: [{{at: [front, bottom], step: [60 mm, 80 mm]}}]}}\n"
        )
    };
    let yaml = format!(
        "units: mm\nstock: {{ply: {{sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}}}\nassemblies:\n  a:\n    parts:\n{}{}      \
         shelf: {{stock: ply, faces: up, left: near.right - 6 mm, right: far.left + 6 mm, front: 0, depth: 300 mm, bottom: 120 mm, grain: across}}\n    \
         joints: [{{house: shelf, in: [near, far], fit: 0}}]\n\
         templates: [{{router: a.near, housing: shelf, bit: 6 mm, collar: 10 mm}}]\n",
        side("near", "0", "right"),
        side("far", "400 mm", "left")
    );
    let (made, all, faults) = job(&yaml);
    assert!(faults.is_empty(), "{faults:?}");
    let [jig] = all.as_slice() else { panic!("{}", all.len()) };
    assert!(jig.turned_over && !jig.pins.is_empty(), "{:?}", jig.pins);
    let part = &made.parts[jig.part.0];
    // Housings are drawn in the part's own coordinates; the notch lies at the side that looks to the front.
    let cut_left = !part.outline.contains(Point::new(mm(1), mm(1)));
    for pin in &jig.pins {
        let radius = pin.diameter.half();
        match pin.bears {
            Bears::Edge(side) if (side == "left") == cut_left && side != "bottom" && side != "top" => {
                assert!(pin.at.y - radius >= mm(80), "{pin:?}");
            }
            Bears::Edge("bottom") if cut_left => assert!(pin.at.x - radius >= mm(60), "{pin:?}"),
            Bears::Edge("bottom") => assert!(pin.at.x + radius <= mm(240), "{pin:?}"),
            _ => {}
        }
    }
}

/// The case with equal sides, a pair, and one template for their housings.
fn paired() -> String {
    let yaml = RACK
        .replace("arch: [{edge: top, rise: 40 mm}],", "")
        .replace("grip: {front: 120 mm, depth: 100 mm, bottom: 700 mm, height: 40 mm, radius: 12 mm},", "");
    let hatch = "held_by: floor,\n         cutouts: {hatch: {front: 100 mm, depth: 80 mm, bottom: 100 mm, height: 60 mm, deep: 9 mm}}}\n      shelf";
    let yaml = yaml.replace("held_by: floor}\n      shelf", hatch);
    let from = yaml.find("templates:").unwrap();
    format!(
        "{}templates: [{{router: rack.side_left, housing: shelf, bit: 12 mm, collar: 16 mm}}]\n",
        &yaml[..from]
    )
}

#[test]
fn a_pair_takes_one_template_turned_over() {
    let (made, all, faults) = job(&paired());
    assert!(faults.is_empty(), "{faults:?}");
    let jig = &all[0];
    assert!(made.parts[jig.part.0].pair.is_some(), "the sides are a pair");
    assert!(jig.turned_over && jig.fences.is_empty() && !jig.pins.is_empty());
    let hands: Vec<_> = jig.uses.iter().map(|one| (one.hand, one.mirrored)).collect();
    assert_eq!(hands, [(Some(Hand::Left), false), (Some(Hand::Right), true)]);
    let hold = said(&made, jig, "HOLD");
    assert!(hold.contains("L (") && hold.contains("R (") && hold.contains("push the pins through"), "{hold}");
}

#[test]
fn sheet_and_card_name_the_same_hand_however_the_assembly_is_turned() {
    // Who stands before the rack sees the same side at the left wherever the rack looks to.
    for turn in ["", "    turn: round\n", "    turn: left\n", "    turn: right\n"] {
        let yaml = paired().replace("  rack:\n", &format!("  rack:\n{turn}"));
        let (made, all, faults) = job(&yaml);
        assert!(faults.is_empty(), "{turn}: {faults:?}");
        let names: Vec<_> =
            all[0].uses.iter().map(|one| (made.parts[one.part.0].name.as_str(), one.hand)).collect();
        assert_eq!(names, [("side left", Some(Hand::Left)), ("side right", Some(Hand::Right))], "{turn}");
        let hold = said(&made, &all[0], "HOLD");
        assert!(hold.contains("this side up for L (") && hold.contains("through for R ("), "{turn}: {hold}");
        let sheets = tickstick::sheets::sheet_set(&made, &tickstick::plans::plan(&made).0, &[]);
        for (name, word) in [("side-left", "LEFT OF PAIR"), ("side-right", "RIGHT OF PAIR")] {
            let sheet = sheets.iter().find(|sheet| sheet.name.contains(&format!("rack-{name}"))).unwrap();
            let texts = tickstick::drawing::bounds::text_boxes(sheet);
            assert!(texts.iter().any(|text| text.text.contains(word)), "{turn}: {name} is not {word}");
        }
    }
}

#[test]
fn a_card_names_each_datum_edge_once_as_seen_over_the_template() {
    // The left side shows its outer face, so the housing is in its back. Who looks at the outer face has the front at the right:
    // the datum edge is the back edge, and the shelf, 20 short of the front of 400, ends 380 from it. Who stands over the template
    // on the inner face has that edge at the right.
    let yaml = RACK.replace("show: right", "show: left");
    let yaml = yaml.replace("housing: shelf,", "housing: shelf, face: back,");
    let (made, all, faults) = job(&yaml);
    assert!(faults.is_empty(), "{faults:?}");
    let housing = all.iter().find(|jig| matches!(jig.kind, Kind::Housing(_))).unwrap();
    assert_eq!(housing.face, Face::Back);
    let stop = said(&made, housing, "STOP");
    assert!(stop.starts_with("ends 380 mm from the right datum edge"), "{stop}");
    assert!(said(&made, housing, "HOLD").contains("bear on the right"), "{}", said(&made, housing, "HOLD"));
    assert!(
        said(&made, housing, "FENCE").starts_with("sides at 300 mm and 318 mm from the bottom datum edge")
    );
    for head in ["STOP", "HOLD", "FENCE"] {
        assert!(!said(&made, housing, head).contains("left"), "{head}");
    }
}

#[test]
fn a_pair_is_served_only_where_it_has_the_same_cut() {
    // A near board of 400 × 300 with an opening right through (100 to 200 across, 50 to 100 up) and a recess of the same size
    // (200 to 300 across, 200 to 250 up); behind it, from 300 on, a far board, its mirror image in the joint between them.
    let cuts = |vent: i64, tray: i64| {
        format!(
            "cutouts: {{vent: {{left: 100 mm, width: 100 mm, front: {vent} mm, depth: 50 mm}}, \
             tray: {{left: 200 mm, width: 100 mm, front: {tray} mm, depth: 50 mm, deep: 6 mm}}}}"
        )
    };
    let board = "stock: ply, faces: up, left: 0, width: 400 mm, depth: 300 mm, bottom: 0, grain: across, held_by: floor";
    let yaml = format!(
        "units: mm\nstock: {{ply: {{sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}}}\nassemblies:\n  a:\n    parts:\n      \
         near: {{{board}, front: 0, {}}}\n      far: {{{board}, front: 300 mm, {}}}\n\
         templates: [{{router: a.near, opening: vent, bit: 6 mm, collar: 10 mm}}]\n",
        cuts(50, 200),
        cuts(500, 350)
    );
    let (made, all, faults) = job(&yaml);
    assert!(faults.is_empty(), "{faults:?}");
    let [jig] = all.as_slice() else { panic!("{}", all.len()) };
    let far = made.parts[jig.part.0].pair.unwrap();
    let [own, other] = jig.uses.as_slice() else { panic!("{:?}", jig.uses) };
    assert_eq!((own.part, own.mirrored, own.at.low), (jig.part, false, Point::new(mm(100), mm(50))));
    // The far opening lies 500 − 300 up; its recess stands where the near opening would lie mirrored left to right. Turned over and
    // half round the template has it.
    assert_eq!((other.part, other.mirrored, other.turns), (far, true, 2));
    assert_eq!(other.at, made.parts[far.0].inside[0].extents());
    assert_eq!(other.at.low, Point::new(mm(100), mm(200)));
    assert!(jig.turned_over);
}

#[test]
fn a_recess_of_another_depth_or_kind_is_no_place_of_the_template() {
    // Without an equal place on the mirror image nothing is turned over: pins would be bored for nothing.
    let (made, all, _) = job(RACK);
    for jig in &all {
        assert!(made.parts[jig.part.0].pair.is_none(), "the sides are unlike");
        assert!(!jig.turned_over && jig.pins.is_empty(), "{}", jig.id);
        assert!(jig.uses.iter().all(|one| !one.mirrored), "{}", jig.id);
    }
}

#[test]
fn the_back_of_an_edges_template_is_told_from_the_opposite_edge() {
    // The follower at the hollow's middle, 20 below the end: the base of 150 reaches 75 − 15 / 2 behind the line, clamps 40 more:
    // 107.5, in steps of 5: 110.
    let slat = |height: &str, arches: &str| {
        format!(
            "units: mm\nshop: {{router_base: 150 mm}}\nstock: {{ply: {{sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}}}\n\
             assemblies:\n  a:\n    parts:\n      slat: {{stock: ply, faces: side, show: right, left: 0, front: 0, depth: 400 mm, bottom: 0, \
             height: {height}, grain: up, held_by: floor, arch: [{arches}]}}\n\
             templates: [{{router: a.slat, edge: top, bit: 9 mm, collar: 15 mm}}]\n"
        )
    };
    let made = |height: &str, arches: &str| {
        let (_, all, faults) = job(&slat(height, arches));
        assert!(faults.is_empty(), "{faults:?}");
        all.into_iter().next().unwrap()
    };
    let top = "{edge: top, rise: 20 mm}";
    // Both ends hollow, 120 high: the back lies 120 − 20 − 110 = −10 up, 10 beyond the lower edge, which carries no fence.
    let jig = made("120 mm", &format!("{top}, {{edge: bottom, rise: 20 mm}}"));
    let [line] = jig.lines.as_slice() else { panic!("{:?}", jig.lines) };
    assert_eq!((line.datum, line.from.y), (Some(mm(10)), -mm(10)));
    assert_eq!(line.says, "back of the template, beyond the part's opposite edge");
    // A straight lower edge carries a fence up to 100 mm from the back: 230 − 20 − 110 = 100, one more is too far.
    let near = made("230 mm", top);
    assert!(near.lines.is_empty() && near.fences.iter().any(|fence| fence.bears_on == "bottom"));
    let far = made("231 mm", top);
    assert!(far.fences.iter().all(|fence| fence.bears_on != "bottom"));
    assert_eq!(far.lines[0].datum, Some(mm(101)));
    assert_eq!(far.lines[0].says, "back of the template, from the part's opposite edge");
}

#[test]
fn every_drawing_of_a_part_is_the_same_way_round() {
    // The same opening and the same outline on paper, in the cutting file and on the template: none turned, none mirrored but
    // the back, which says so.
    let (made, all, _) = job(RACK);
    let part = &made.parts[all[0].part.0];
    // As in the test of the opening.
    let own = Extents { low: at(1200, 7000), high: at(2200, 7400) };
    let shop = CuttingShop::usual();
    let file = words::single(&made, part, &shop, &cutting::piece(&made, part, &shop).0);
    let opening = file.shapes.iter().find(|shape| shape.layer == "INSIDE_THROUGH").unwrap();
    let Form::Closed(opening) = &opening.form else { panic!() };
    assert_eq!(opening.extents(), own);
    assert_eq!(all[0].work.outline.extents(), own);
    let printer = Printer::on(Stock::Roll(mm(914)));
    for face in [Face::Show, Face::Back] {
        let drawing = &template::drawings(&made, all[0].part, face, false, &printer)[0];
        let group = drawing.groups.iter().find(|group| group.id == "openings").unwrap();
        let tickstick::drawing::Mark::Stroke { path, .. } = &group.marks[0] else { panic!() };
        let xs = path.iter().filter_map(|step| match step {
            Step::Move(at) | Step::Line(at) | Step::Arc(at, _) => Some(at.0),
            Step::Close => None,
        });
        let low = xs.fold(f64::MAX, f64::min);
        let wanted = if face == Face::Show { own.low.x } else { part.width - own.high.x };
        assert!((low - wanted.to_mm()).abs() < 1e-9, "{face:?}");
    }
    let on_back = RACK.replace("opening: grip,", "opening: grip, face: back,");
    let (made, all, _) = job(&on_back);
    let width = made.parts[all[0].part.0].width;
    assert_eq!(all[0].work.outline.extents().low.x, width - own.high.x);
    // Seen from the back the datum edge is at the right.
    assert_eq!(all[0].fences.iter().map(|f| (f.bears_on, f.from.x)).collect::<Vec<_>>(), [("right", width)]);
    assert_eq!(all[0].lines.iter().map(|l| l.datum).collect::<Vec<_>>(), [Some(mm(720))]);
    assert!(said(&made, &all[0], "TEMPLATE").contains("BACK FACE"));
}

#[test]
fn what_cannot_be_made_is_told_with_the_numbers() {
    let told = |entry: &str| {
        let from = RACK.find("templates:").unwrap();
        let (_, all, faults) = job(&format!("{}templates: [{entry}]\n", &RACK[..from]));
        assert!(all.is_empty(), "{entry}");
        let [fault] = faults.as_slice() else { panic!("{entry}: {faults:?}") };
        assert_eq!(fault.severity, Severity::Error);
        assert!(!fault.cures.is_empty(), "{entry}: no cure");
        let cures: Vec<&str> = fault.cures.iter().map(|cure| cure.text.as_str()).collect();
        format!("{}: {}; {}", fault.check, fault.message, cures.join("; "))
    };
    // A radius of 12 mm takes a bit of 24 mm at most.
    let text = told("{router: rack.side_left, opening: grip, bit: 30 mm, collar: 40 mm}");
    assert!(
        text.starts_with("bit-too-large")
            && text.contains("radius of 12 mm")
            && text.ends_with("take a bit of 24 mm or less"),
        "{text}"
    );
    let text = told("{router: rack.side_left, housing: shelf, bit: 20 mm, collar: 24 mm}");
    assert!(text.contains("the largest bit that passes is 18 mm"), "{text}");
    let text = told("{router: rack.side_right, whole: yes, bit: 9 mm, collar: 15 mm}");
    assert!(
        text.starts_with("collar-rounds-corner")
            && text.contains("round by 3 mm")
            && text.contains("bearing: top"),
        "{text}"
    );
    assert!(
        told("{router: rack.side_left, opening: gripp, bit: 6 mm, collar: 15 mm}")
            .contains("the nearest is `grip`")
    );
    assert!(
        told("{router: rack.side_lift, opening: grip, bit: 6 mm, collar: 15 mm}").contains("the nearest is")
    );
    assert!(
        told("{router: rack.side_left, notch: shelf, bit: 6 mm, collar: 15 mm}").starts_with("no-such-cut")
    );
    assert!(
        told("{router: rack.side_left, housing: rail, bit: 6 mm, collar: 15 mm}")
            .contains("there are: shelf")
    );
    assert!(
        told("{router: rack.side_left, edge: left, bit: 6 mm, collar: 15 mm}").starts_with("no-such-edge")
    );
    assert!(
        told("{router: rack.side_left, housing: shelf, face: back, bit: 6 mm, collar: 15 mm}")
            .contains("write `face: show`")
    );
}

/// Messages of all faults of a job's templates.
fn faults_of(yaml: &str) -> String {
    let (_, _, faults) = job(yaml);
    faults.iter().map(|fault| fault.message.clone()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_place_of_a_fault_is_told_from_the_datum_on_every_edge_and_face() {
    // A slat 40 wide and 300 long with a hollow of 10 in its upper edge: radius (20² + 10²) / (2 · 10) = 25, its lowest point in
    // the middle of the width and 10 below the end: 20 across, 290 up, from either face.
    let slat = "units: mm\nshop: {collars: [70 mm]}\nstock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}\nassemblies:\n  a:\n    parts:\n      \
        slat: {stock: ply, faces: side, show: right, left: 0, front: 0, depth: 40 mm, bottom: 0, height: 300 mm, grain: up, \
        held_by: floor, arch: [{edge: top, rise: 10 mm}]}\ntemplates: [{router: a.slat, edge: top, bit: 60 mm, collar: 70 mm, face: FACE}]\n";
    for face in ["show", "back"] {
        let text = faults_of(&slat.replace("FACE", face));
        assert!(text.contains("at 20 mm across and 290 mm up from the datum corner"), "{face}: {text}");
        assert!(text.contains("has a radius of 25 mm"), "{face}: {text}");
    }
    // A rail 18 thick and 80 high, rebated 20 down and 6 in at its upper front arris, passes 60 behind the front of a fin 500 high:
    // the fin keeps a sharp corner 60 + 6 from its front and 500 − 20 up. Looking at its right face the front is at the left.
    let fin = "units: mm\nstock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}\nassemblies:\n  a:\n    parts:\n      \
        fin: {stock: ply, faces: side, show: right, left: 100 mm, front: 0, depth: 300 mm, bottom: 0, height: 500 mm, grain: up, \
        held_by: floor}\n      rail: {stock: ply, faces: front, left: 0, right: 300 mm, front: 60 mm, top: fin.top, height: 80 mm, \
        grain: across, top_edge: {rebate: [20 mm, 6 mm], on: show}}\n    joints: [{notch: fin, around: rail, fit: 0}]\n\
        templates: [{router: a.fin, notch: rail, bit: 6 mm, collar: 10 mm, face: FACE}]\n";
    for face in ["show", "back"] {
        let text = faults_of(&fin.replace("FACE", face));
        assert!(
            text.contains("outside corner at 66 mm across and 480 mm up from the datum corner"),
            "{face}: {text}"
        );
    }
}

#[test]
fn entries_that_contradict_themselves_are_told() {
    let told = |shop: &str, entry: &str| {
        let from = RACK.find("templates:").unwrap();
        let yaml = format!("{}templates: [{entry}]\n", &RACK[..from]);
        let yaml = yaml.replace("shop: {bit: 6 mm,", &format!("shop: {{bit: 6 mm, {shop}"));
        let (_, faults) = crate::boards::laid(&yaml);
        faults.iter().map(|f| format!("{}: {}", f.check, f.message)).collect::<Vec<_>>().join("\n")
    };
    let grip = "router: rack.side_left, opening: grip";
    for (shop, entry, wanted) in [
        ("", format!("{{{grip}}}"), "does not say what follows it"),
        ("", format!("{{{grip}, collar: 15 mm, bearing: top}}"), "either a collar or a bearing"),
        ("", format!("{{{grip}, collar: 6 mm}}"), "a bit of 6 mm does not pass a collar of 6 mm"),
        (
            "",
            format!("{{{grip}, edge: top, collar: 15 mm}}"),
            "`opening` and `edge` are two router templates",
        ),
        ("", "{router: rack.side_left, collar: 15 mm}".to_owned(), "does not say what it cuts"),
        ("", format!("{{{grip}, collar: 15 mm, face: both}}"), "lies on one face"),
        (
            "",
            format!("{{{grip}, collar: 15 mm, screws: [{{across: 1 mm, up: 1 mm}}]}}"),
            "`screws` hold a template of the `whole` outline",
        ),
        ("", format!("{{{grip}, collar: 15 mm, only: whole}}"), "`only` belongs to a paper template"),
        ("", "{paper: rack.side_left, collar: 15 mm}".to_owned(), "`collar` belongs to a router template"),
        (
            "bits: [8 mm, 12 mm],",
            format!("{{{grip}, collar: 15 mm}}"),
            "the shop has no bit of 6 mm; there are 8 mm, 12 mm",
        ),
        (
            "collars: [10 mm],",
            format!("{{{grip}, collar: 15 mm}}"),
            "the shop has no collar of 15 mm; there are 10 mm",
        ),
        (
            "collars: [{outside: 15 mm, stands_out: 8 mm}],",
            format!("{{{grip}, collar: 15 mm, template_thick: 6 mm}}"),
            "a template 6 mm thick lets the collar, which stands out 8 mm, touch the work",
        ),
    ] {
        let text = told(shop, &entry);
        assert!(text.contains(wanted), "{entry}: {text}");
    }
}

#[test]
fn a_thick_collar_makes_a_thick_template() {
    let yaml = RACK.replace(
        "shop: {bit: 6 mm,",
        "shop: {bit: 6 mm, collars: [{outside: 15 mm, stands_out: 14.3 mm}, 10 mm, 16 mm],",
    );
    let (_, all, faults) = job(&yaml);
    assert!(faults.is_empty(), "{faults:?}");
    // 14.3 up to whole millimetres; without a figure the usual 12.
    assert_eq!((all[0].thick, all[2].thick), (mm(15), mm(12)));
    assert_eq!(all[0].part, PartId(0));
}
