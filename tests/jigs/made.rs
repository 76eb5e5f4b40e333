//! Templates of whole jobs: what is found, where it registers, which places share one, and what is refused.

use tickstick::cutting::{self, Form, words};
use tickstick::diagnose::Severity;
use tickstick::drawing::Step;
use tickstick::fullsize::template;
use tickstick::fullsize::{Printer, Stock};
use tickstick::jigs::card::{card, passes, plug_collar};
use tickstick::jigs::{Jig, Kind};
use tickstick::length::notation::tell;
use tickstick::length::{Length, Units};
use tickstick::parts::{Hand, Made, PartId};
use tickstick::shape::Point;
use tickstick::trade::Face;
use tickstick::values::CuttingShop;

use super::{RACK, job, mm};

fn tenth(n: i64) -> Length {
    Length::from_units(8_000 * n)
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
    // Side left shows its right face: looking at it the front is at the right... whichever way, the opening lies where the
    // part has it, larger by (15 − 6) / 2 = 4.5 mm all round.
    let part = &made.parts[grip.part.0];
    let (hole, window) = (part.inside[0].extents(), grip.window.as_ref().unwrap().extents());
    assert_eq!(hole.low.x - window.low.x, tenth(45));
    assert_eq!(window.high.y - hole.high.y, tenth(45));
    assert_eq!((window.width(), window.height()), (mm(109), mm(49)));
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
    // The shelf begins 20 behind the front, and side left is drawn with its front at one side of the drawing.
    let part = &made.parts[housing.part.0];
    let pocket = part.pockets.iter().find(|p| p.depth == mm(6)).unwrap().outline.extents();
    let wanted = if stop.is_far_end { pocket.high.x } else { pocket.low.x };
    assert_eq!((stop.from, stop.far_edge), ("left", wanted));
    assert!(wanted == mm(20) || wanted == mm(380));
    // A stop block for the base stands (150 − 12) / 2 = 69 further.
    let block = if stop.is_far_end { wanted + mm(69) } else { wanted - mm(69) };
    let text = said(&made, housing, "STOP");
    assert!(text.contains("FAR edge of the cutter"), "{text}");
    assert!(text.contains(&tell(block.abs(), Units::Millimetre)), "{text}");
    assert!(said(&made, housing, "END").contains("round"));
    // Beyond the open end the bit leaves the wood: bit 12 and 1.5, and the offset of 2.
    let window = housing.window.as_ref().unwrap().extents();
    let past = if stop.is_far_end { pocket.low.x - window.low.x } else { window.high.x - pocket.high.x };
    assert_eq!(past, tenth(155));
    assert_eq!(housing.inside_corners.len(), 2);
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
    }
    assert!(said(&made, jig, "HOLD").contains("turned over"));
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
    let own = part.inside[0].extents();
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
    let slat = "units: mm\nstock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}\nassemblies:\n  a:\n    parts:\n      \
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
