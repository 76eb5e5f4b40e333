//! Weight, movement, sag and pull of whole jobs, held against published figures and arithmetic shown here.

use proptest::prelude::*;
use serde_json::Value;
use tickstick::length::Length;
use tickstick::shape::Point;
use tickstick::shape::slot::{Slot, SlotWay, hole_outline};
use tickstick::spec::{SourceError, Sources};
use tickstick::{Built, Options, build};

struct OneText(String);

impl Sources for OneText {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        if path == "spec.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
    }
}

fn built(text: &str) -> Built {
    let built = build(&OneText(text.to_owned()), "spec.yaml", &Options { files: true, ..Options::default() });
    assert!(!built.files.is_empty(), "{:?}", built.diagnostics);
    built
}

fn job(text: &str) -> Value {
    let built = built(text);
    let file = built.files.iter().find(|file| file.name == "job.json").expect("job.json");
    serde_json::from_slice(&file.bytes).expect("JSON")
}

fn near(found: &Value, wanted: f64, within: f64) {
    let found = found.as_f64().expect("a number");
    assert!((found - wanted).abs() <= within, "{found}, not {wanted}");
}

/// A sheet of 3/4" MDF of 4 × 8 ft weighs 97 lb (trade guides); 18 mm birch plywood of 1220 × 2440 mm 36.7 kg (a mill's data sheet).
#[test]
fn whole_sheets_weigh_what_the_trade_says() {
    let text = r#"
stock:
  board: {sheet: [48", 96"], thick: 3/4", grain: none, called: MDF}
  birch: {sheet: [1220 mm, 2440 mm], thick: 18 mm, called: 18 mm birch plywood}
assemblies:
  stack:
    parts:
      board: {stock: board, faces: up, left: 0, width: 48", front: 0, depth: 96", bottom: 0, held_by: floor}
      sheet: {stock: birch, faces: up, left: 0, width: 1220 mm, front: 0, depth: 2440 mm, bottom: 2", held_by: wall}
"#;
    let job = job(text);
    near(&job["loads"]["parts"][0]["kilograms"], 97.0 * 0.453_592_37, 0.05);
    near(&job["loads"]["parts"][1]["kilograms"], 36.7, 0.05);
    // Heavier than one lifts (50 lb, common practice).
    assert_eq!(job["loads"]["parts"][0]["takes_two"], true);
    near(&job["loads"]["lift_kg"], 22.6796, 1e-4);
}

/// A plate of 400 × 200 × 20 mm with a round hole of 100 mm, its centre 100 mm from the left: by hand.
#[test]
fn a_hole_shifts_the_centre_of_gravity() {
    let text = r#"
units: mm
stock: {plate: {sheet: [1000, 1000], thick: 20, grain: none, density: 1000 kg/m3}}
assemblies:
  one:
    parts:
      plate:
        stock: plate
        faces: front
        left: 0
        width: 400
        front: 0
        bottom: 0
        height: 200
        held_by: floor
        holes: {round: {across: 100, up: 100, diameter: 100}}
"#;
    let job = job(text);
    let part = &job["loads"]["parts"][0];
    let (plate, hole) = (400.0 * 200.0, std::f64::consts::PI * 50.0 * 50.0);
    // mm² × 20 mm × 1e-6 kg/mm³
    near(&part["kilograms"], (plate - hole) * 20.0 * 1e-6, 1e-4);
    let across = (plate * 200.0 - hole * 100.0) / (plate - hole);
    near(&part["centre_mm"][0], across, 1e-3);
    near(&part["centre_mm"][1], 100.0, 1e-3);
    near(&part["centre_mm"][2], 10.0, 1e-3);
}

/// Red oak shelf, 36 × 11 1/4 × 3/4 in, 60 lb: 0.0763 in with creep, 1.5 × (0.05064 + 0.00026) (USDA FPL-GTR-190 Eq. 9-2; NDS
/// 2018 §3.5.2); its own weight adds in proportion: 303.75 in³ of 0.63 × 1.08 g/cm³, the wood at 8 %.
#[test]
fn a_shelf_sags_as_the_handbook_has_it() {
    let text = r#"
stock:
  ply: {sheet: [48", 96"], thick: 3/4"}
  oak: {board: yes, thick: 3/4", glue_up: yes, species: red oak}
assemblies:
  case:
    parts:
      side: {stock: ply, faces: side, count: 2, left: (i - 1) * 36 3/4", front: 0, back: 11 1/4", bottom: 0, height: 20", held_by: floor}
      shelf: {stock: oak, faces: up, left: 3/4", right: 36 3/4", front: 0, back: 11 1/4", bottom: 10", grain: across, load: 20 lb/ft}
    joints:
      - {butt: shelf, against: side, fix: brads}
"#;
    let own = 303.75 * 16.387_064 * 0.63 * 1.08 / 453.592_37;
    let first = (0.050_64 + 0.000_26) * (60.0 + own) / 60.0;
    let plain = job(text);
    let span = &plain["loads"]["spans"][0];
    near(&span["clear_mm"], 36.0 * 25.4, 1e-6);
    near(&span["limit_mm"], 36.0 * 25.4 / 600.0, 1e-3);
    near(&span["sags_mm"], 1.5 * first * 25.4, 0.005);
    // The grain the other way, along no span: solid wood is a twentieth as stiff across it (from memory).
    let turned = text.replace("grain: across, load", "grain: deep, load");
    let across = job(&turned);
    let ratio = across["loads"]["spans"][0]["sags_mm"].as_f64().unwrap() / span["sags_mm"].as_f64().unwrap();
    assert!((ratio - 20.0).abs() < 0.1, "{ratio}");
    // A strip glued on edge along the front, 3/4 × 1 1/2 in: I = 0.2109 in⁴ beside the shelf's 0.3955, so that
    // 0.3955/(0.3955 + 0.2109) = 0.652 of the sag is left.
    let strip = text.replace(
        "    joints:",
        "      strip: {stock: oak, faces: front, left: 3/4\", right: 36 3/4\", back: 0, top: 10 3/4\", height: 1 1/2\", grain: across}\n    joints:\n      - {butt: strip, against: shelf, fix: glue}",
    );
    let stiffer = job(&strip);
    let ratio = stiffer["loads"]["spans"][0]["sags_mm"].as_f64().unwrap() / span["sags_mm"].as_f64().unwrap();
    assert!((ratio - 0.395_51 / (0.395_51 + 0.210_94)).abs() < 1e-3, "{ratio}");
}

/// A strip glued to its front edge hangs on the shelf and bends with it, whether it ends free or at the sides; with a back panel that
/// stands on the floor it makes no span from front to back. Physics: what hangs on a beam bears nothing of it.
#[test]
fn a_nosing_bears_nothing() {
    for (left, right) in [("3/4\"", "36 3/4\""), ("0", "37 1/2\"")] {
        let text = format!(
            r#"
stock:
  ply: {{sheet: [48", 96"], thick: 3/4"}}
  oak: {{board: yes, thick: 3/4", glue_up: yes, species: red oak}}
assemblies:
  case:
    parts:
      side: {{stock: ply, faces: side, count: 2, left: (i - 1) * 36 3/4", front: 0, back: 11 1/4", bottom: 0, height: 20", held_by: floor}}
      shelf: {{stock: oak, faces: up, left: 3/4", right: 36 3/4", front: 0, back: 11 1/4", bottom: 10", grain: across, load: 60 lb/ft}}
      nosing: {{stock: oak, faces: front, left: {left}, right: {right}, back: 0, top: 10 3/4", height: 1 1/2", grain: across}}
      back: {{stock: ply, faces: front, left: 0, right: 37 1/2", front: 11 1/4", bottom: 0, height: 20"}}
    joints:
      - {{butt: shelf, against: side, fix: brads}}
      - {{butt: nosing, against: shelf, fix: glue}}
      - {{butt: back, against: [side, shelf], fix: brads}}
"#
        );
        let job = job(&text);
        let span = &job["loads"]["spans"][0];
        near(&span["clear_mm"], 36.0 * 25.4, 1e-6);
        assert!(!span["rests_on"].to_string().contains("nosing"), "{}", span["rests_on"]);
        // 1.5 × 0.0509 in under 60 lb (USDA FPL-GTR-190 Eq. 9-2), three times the load, 0.652 of it left by the strip: 0.149 in,
        // more than 36/600 in.
        assert!(job["diagnostics"].to_string().contains("sags by"), "{}", job["diagnostics"]);
    }
}

/// An upright that stands on a bottom, and this on a plinth, bears: the load finds its way to the floor.
#[test]
fn a_divider_that_stands_on_something_bears() {
    let text = r#"
stock:
  ply: {sheet: [48", 96"], thick: 3/4"}
  oak: {board: yes, thick: 3/4", glue_up: yes, species: red oak}
assemblies:
  case:
    parts:
      plinth: {stock: ply, faces: front, count: 2, left: 0, right: 37 1/2", front: (i - 1) * 10 1/2", bottom: 0, height: 3", held_by: floor}
      bottom: {stock: ply, faces: up, left: 0, right: 37 1/2", front: 0, back: 11 1/4", bottom: 3"}
      upright: {stock: ply, faces: side, count: 3, left: (i - 1) * 18 3/8", front: 0, back: 11 1/4", bottom: 3 3/4", height: 12"}
      shelf: {stock: oak, faces: up, left: 0, right: 37 1/2", front: 0, back: 11 1/4", bottom: 15 3/4", grain: across, load: books}
    joints:
      - {butt: bottom, against: plinth, fix: screws}
      - {butt: upright, against: bottom, fix: screws}
      - {butt: shelf, against: upright, fix: brads}
"#;
    let job = job(text);
    let span = &job["loads"]["spans"][0];
    // 18 3/8 - 3/4 in between two of three uprights.
    near(&span["clear_mm"], 17.625 * 25.4, 1e-6);
    assert_eq!(span["rests_on"].as_array().map(Vec::len), Some(3), "{}", span["rests_on"]);
}

fn table(humidity: &str, keys: &str, slots: &str) -> String {
    format!(
        r#"
service: {{{humidity}}}
stock:
  ply: {{sheet: [48", 96"], thick: 3/4"}}
  top: {{board: yes, thick: 1", glue_up: yes, {keys}}}
assemblies:
  table:
    parts:
      top: {{stock: top, faces: up, left: 0, right: 36", front: 0, back: 20", bottom: 3/4", grain: across}}
      front: {{stock: ply, faces: up, left: 0, right: 36", front: 0, back: 3", bottom: 0, held_by: floor}}
      back: {{stock: ply, faces: up, left: 0, right: 36", front: 17", back: 20", bottom: 0, held_by: floor}}
    joints:
      - {{butt: top, against: front, fix: {{by: screws, from: bottom{slots}}}}}
      - {{butt: top, against: back, fix: {{by: screws, from: bottom, slots: yes}}}}
"#
    )
}

/// Slots of the board at the back of the table, in millimetres.
fn slots(job: &Value) -> Vec<f64> {
    let parts = job["parts"].as_array().expect("parts");
    let drills = parts.iter().flat_map(|part| part["drills"].as_array().expect("drills").clone());
    drills.filter_map(|drill| drill["slot"]["length_mm"].as_f64()).collect()
}

/// Black walnut, flat-grained, 8 % at the shop, 6 to 12 % in the room, 0.00274 per 1 % (USDA FPL-GTR-190 Table 13-5); the joiners'
/// table gives 10/64 in on 12 in over 5 %, 0.00260, which is less. The rows of screws lie 16 in apart: the middles of strips of 3 in.
/// It swells by 17 × 4 × 0.00274 = 0.186 in: 11/64 + 2 × 0.186 = 0.544, and 9/16 is the next sixteenth.
#[test]
fn a_slot_is_as_long_as_the_wood_moves() {
    let text = table("moisture: [6%, 12%]", "species: black walnut, cut: flat", "");
    let job = job(&text);
    let found = slots(&job);
    assert!(!found.is_empty());
    assert!(found.iter().all(|slot| (slot - 9.0 / 16.0 * 25.4).abs() < 1e-9), "{found:?}");
    let floats = &job["loads"]["movements"][0]["floats"][0];
    assert_eq!(floats["fast"], serde_json::json!(["screws in table.front"]));
    assert_eq!(floats["free"], serde_json::json!(["table.back"]));
    // From the row that holds, 1 1/2 in behind the front, 18 1/2 in swell to the back: 18.5 × 4 × 0.00274 = 0.2028 in.
    near(&floats["gaps"][1]["swells_mm"], 18.5 * 4.0 * 0.002_74 * 25.4, 1e-3);
    // On paper it says how to set the screw, and its machine file has a closed slot on a layer of its own.
    let built = built(&text);
    let svg: String = (built.files.iter().filter(|file| file.name.ends_with(".svg")))
        .map(|file| String::from_utf8_lossy(&file.bytes).into_owned())
        .collect();
    for words in ["FLOAT HERE", "FIX HERE", "no glue", "9/16 LONG"] {
        assert!(svg.contains(words), "{words}");
    }
    let dxf = built.files.iter().find(|file| file.name.contains("back") && file.name.ends_with(".dxf"));
    let dxf = String::from_utf8_lossy(&dxf.expect("an outline").bytes).into_owned();
    assert!(dxf.contains("SLOT_THROUGH_4.366MM"), "a layer of the slots");
}

/// With slots on both sides it is held in its middle: 8 1/2 in to either row, half as much to move.
#[test]
fn a_board_that_is_free_everywhere_moves_from_its_middle() {
    let text = table("moisture: [6%, 12%]", "species: black walnut, cut: flat", ", slots: yes");
    let found = slots(&job(&text));
    // 11/64 + 2 × 8.5 × 4 × 0.00274 = 0.358 in, to the next sixteenth 3/8.
    assert!(!found.is_empty());
    assert!(found.iter().all(|slot| (slot - 3.0 / 8.0 * 25.4).abs() < 1e-9), "{found:?}");
}

/// Staples bend and hold nothing fast: a top stapled in front and slotted behind moves from its middle, as one in slots on both sides.
#[test]
fn staples_hold_nothing_fast() {
    let text = table("moisture: [6%, 12%]", "species: black walnut, cut: flat", "");
    let stapled = text.replacen("by: screws, from: bottom}", "by: staples, from: bottom}", 1);
    assert_ne!(text, stapled);
    let job = job(&stapled);
    let found = slots(&job);
    assert!(!found.is_empty());
    // 8 1/2 in from the middle: 0.358 in, to the next sixteenth 3/8.
    assert!(found.iter().all(|slot| (slot - 3.0 / 8.0 * 25.4).abs() < 1e-9), "{found:?}");
    assert_eq!(job["loads"]["movements"][0]["floats"][0]["fast"], serde_json::json!([]));
}

/// Glue may hold at either of its ends: from the front edge it is 18 1/2 in to the slots, and 11/64 + 2 × 18.5 × 4 × 0.00274 = 0.577 in, to
/// the next sixteenth 5/8. Slots and sheets say the same: to the back 20 in swell, 20 × 4 × 0.00274 = 0.2192 in.
#[test]
fn glue_holds_at_both_its_ends() {
    let text = table("moisture: [6%, 12%]", "species: black walnut, cut: flat", "");
    let glued = text.replacen("fix: {by: screws, from: bottom}", "fix: glue", 1);
    assert_ne!(text, glued);
    let job = job(&glued);
    let found = slots(&job);
    assert!(!found.is_empty());
    assert!(found.iter().all(|slot| (slot - 5.0 / 8.0 * 25.4).abs() < 1e-9), "{found:?}");
    let floats = &job["loads"]["movements"][0]["floats"][0];
    assert_eq!(floats["fast"], serde_json::json!(["glue on table.front"]));
    near(&floats["gaps"][1]["swells_mm"], 20.0 * 4.0 * 0.002_74 * 25.4, 1e-3);
}

/// Of two solid boards that are equally wide one moves, and it is told of that one only.
#[test]
fn of_two_equal_boards_one_moves() {
    let text = r#"
service: {moisture: [6%, 12%]}
stock: {ash: {board: yes, thick: 3/4", glue_up: yes, species: white ash}}
assemblies:
  stack:
    parts:
      lower: {stock: ash, faces: up, left: 0, right: 30", front: 0, back: 12", bottom: 0, grain: across, held_by: floor}
      upper: {stock: ash, faces: up, left: 0, right: 36", front: 0, back: 12", bottom: 3/4", grain: across}
    joints:
      - {butt: upper, against: lower, fix: {by: screws, from: bottom, slots: yes}}
"#;
    let job = job(text);
    let movements = job["loads"]["movements"].as_array().expect("movements");
    let floats: Vec<&Value> =
        movements.iter().flat_map(|m| m["floats"].as_array().expect("floats")).collect();
    assert_eq!(movements.len(), 2);
    assert_eq!(floats.len(), 1, "{floats:?}");
    assert!(!slots(&job).is_empty());
}

/// Two tables of the same parts, a panel behind the second only: both tops are free, and the second has no room.
#[test]
fn every_copy_that_has_no_room_is_told() {
    let text = table("moisture: [6%, 12%]", "species: black walnut, cut: flat", "")
        .replace("left: 0, right: 36\"", "count: 2, left: (i - 1) * 60\", width: 36\"")
        .replace(
            "    joints:",
            "      panel: {stock: ply, faces: front, left: 60\", width: 36\", front: 20 1/16\", bottom: 0, height: 12\", held_by: wall}\n    joints:",
        );
    let job = job(&text);
    let floats = job["loads"]["movements"][0]["floats"].as_array().expect("floats");
    let boards: Vec<&str> = floats.iter().filter_map(|floats| floats["board"].as_str()).collect();
    assert_eq!(boards, ["table.top[1]", "table.top[2]"]);
    let told = job["diagnostics"].to_string();
    assert!(told.contains("table.top[2] swells"), "{told}");
    assert!(!told.contains("table.top[1] swells"), "{told}");
}

fn ledge(load: &str, screws: &str) -> String {
    format!(
        r#"
service: {{studs: spruce-pine-fir}}
stock:
  oak: {{board: yes, thick: 3/4", glue_up: yes, species: red oak}}
assemblies:
  ledge:
    parts:
      back: {{stock: oak, faces: front, left: 0, right: 24", back: 12 3/4", bottom: 40", height: 6", grain: across}}
      shelf: {{stock: oak, faces: up, left: 0, right: 24", front: 0, back: 12", bottom: 40 1/2", grain: across{load}}}
    joints:
      - {{butt: back, against: wall, fix: {{by: screws, from: front, {screws}}}}}
      - {{butt: shelf, against: back, fix: dowels}}
"#
    )
}

/// A shelf that is supposed to hold books by its name hangs with them: 25 lb to the foot (from memory) on 2 ft.
#[test]
fn books_on_a_shelf_pull_on_the_wall() {
    let screws = "count: 4, size: 8, length: 2 1/2\"";
    let [books, said] =
        ["", ", load: 25 lb/ft"].map(|load| job(&ledge(load, screws))["loads"]["hangings"][0].clone());
    let bare = job(&ledge("", screws).replace("shelf", "board"))["loads"]["hangings"][0].clone();
    assert_eq!(books["load_newtons"], said["load_newtons"]);
    assert_eq!(books["pull_newtons"], said["pull_newtons"]);
    // A shelf that sticks out from its back rests on nothing without a gap.
    let spans = job(&ledge("", screws))["loads"]["spans"].to_string();
    assert!(spans.contains("sticks out"), "{spans}");
    let own = bare["load_newtons"].as_f64().expect("a number");
    near(&books["load_newtons"], own + 50.0 * 4.448_221_6, 1e-3);
}

/// The ledge in a wood of 25 000 kg/m³, 0.903 lb/in³: the board, 216 in³, 195 lb, has an arm of 6 3/4 in, the back, 108 in³, 98 lb, one of 3/8 in;
/// on rows of two screws 2 and 4 in up, each of the upper ones is pulled by (195 × 6.75 + 98 × 0.375) × 4 / (2 × 2² + 2 × 4²) = 135 lb, and
/// bears 2850 × 0.42² × 0.164 × 1.25 = 103 lb (NDS 2018 Eq. 12.2-2). Nobody has to say a load for that to be told.
#[test]
fn what_hangs_is_held_by_its_own_weight_too() {
    let text = ledge("", "count: 2, size: 8, length: 2 1/2\"")
        .replace("species: red oak", "species: red oak, density: 25000 kg/m3");
    let job = job_of_faults(&text.replace("shelf", "board"));
    assert!(job.contains("screws-pull-out"), "{job}");
    assert!(job.contains("screws-shear"), "{job}");
}

/// The ledge weighs 8 lb: shelf 5.3 with an arm of 6 3/4 in, back 2.7 with 3/8 in. 145 lb at its front edge pull an uppermost screw with
/// (145 × 12.75 + 5.3 × 6.75 + 2.7 × 0.375) × 4 / 80 = 94.3 of 103 lb and push it with 153 / 8 = 19.1 of 46 lb: together, on √(94.3² +
/// 19.1²) = 96.2 lb, (19.1² / 46 + 94.3² / 103) / 96.2 = 0.98 (NDS 2018 Eq. 12.4-1; from memory). 152 lb pull with 98.7 and push with 20,
/// which alone is borne; together (20² / 46 + 98.7² / 103) / 100.7 = 1.03.
#[test]
fn pull_and_downward_load_add_up() {
    let screws = "count: 4, size: 8, length: 2 1/2\"";
    let found = job_of_faults(&ledge(", load: 152 lb", screws));
    assert!(found.contains("screws-shear") && !found.contains("screws-pull-out"), "{found}");
    let borne = job(&ledge(", load: 145 lb", screws));
    let part = borne["loads"]["hangings"][0].clone();
    near(&part["pull_newtons"], 94.3 * 4.448, 0.5);
    near(&part["shear_newtons"], 19.12 * 4.448, 0.1);
}

/// All that is found in a spec that has errors.
fn job_of_faults(text: &str) -> String {
    let built = build(&OneText(text.to_owned()), "spec.yaml", &Options { files: true, ..Options::default() });
    assert!(built.files.is_empty(), "no file where there are errors");
    let names: Vec<&str> = built.diagnostics.iter().map(|found| found.check).collect();
    names.join(" ")
}

/// No tabulated wood moves more than beech, 0.00431 (USDA FPL-GTR-190 Table 13-5): without a species the slots are its slots.
#[test]
fn without_a_species_slots_are_the_longest() {
    let unnamed = slots(&job(&table("moisture: [6%, 12%]", "called: offcuts", "")));
    let beech = slots(&job(&table("moisture: [6%, 12%]", "species: beech", "")));
    assert!(!beech.is_empty());
    assert_eq!(unnamed, beech);
}

/// A seat of white ash across its grain, 14 in clear between two strips: 250 lb at one place (ADA 2010 §903.6), borne by 12 in times the
/// fourth root of 20, 25.4 in. P·L³/(48·E·I) with E = 1.74e6/20 psi, I = 25.4/12 in⁴: 0.0776 in, and shear of P·L/(4·G·A′), G = 0.077·E,
/// A′ = 5·25.4/6 in²: 0.0062 in more.
#[test]
fn a_seat_gives_under_who_sits_on_it() {
    let text = table("moisture: [6%, 12%]", "species: white ash", "")
        .replace("grain: across}", "grain: across, load: seat}");
    let job = job(&text);
    let breadth = 12.0 * 20f64.powf(0.25);
    let e: f64 = 1.74e6 / 20.0;
    let bending = 250.0 * 14f64.powi(3) / (48.0 * e * breadth / 12.0);
    let shear = 250.0 * 14.0 / (4.0 * 0.077 * e * 5.0 * breadth / 6.0);
    near(&job["loads"]["spans"][0]["gives_mm"], (bending + shear) * 25.4, 0.01);
    near(&job["loads"]["spans"][0]["gives_limit_mm"], 14.0 / 360.0 * 25.4, 1e-3);
    assert!(job["diagnostics"].to_string().contains("gives by"), "{}", job["diagnostics"]);
}

/// What does not depend on where the assembly stands does not change when it is turned.
#[test]
fn turning_an_assembly_changes_no_figure() {
    let text = table("moisture: [6%, 12%]", "species: cherry", "")
        .replace("grain: across}", "grain: across, load: seat}");
    let plain = job(&text);
    assert!(!slots(&plain).is_empty());
    for turn in ["left", "right", "round"] {
        let turned = job(&text.replace("  table:\n", &format!("  table:\n    turn: {turn}\n")));
        assert_eq!(slots(&plain), slots(&turned), "{turn}");
        let figures = |job: &Value| {
            let loads = &job["loads"];
            let movement = &loads["movements"][0];
            let weights: Vec<Value> =
                loads["parts"].as_array().unwrap().iter().map(|part| part["kilograms"].clone()).collect();
            (
                weights,
                movement["wider_mm"].clone(),
                movement["narrower_mm"].clone(),
                loads["spans"][0]["sags_mm"].clone(),
            )
        };
        assert_eq!(figures(&plain), figures(&turned), "{turn}");
        assert!(figures(&plain).3.is_number(), "the top spans");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// A slot of width w and length l covers w·(l − w) + π·w²/4, whichever way it lies.
    #[test]
    fn a_slot_has_the_area_of_its_two_halves_and_what_lies_between(width in 2_i64..40, more in 1_i64..60, up in any::<bool>()) {
        let mm = |size: i64| Length::MM * size;
        let way = if up { SlotWay::V } else { SlotWay::U };
        let slot = Slot { way, length: mm(width + more) };
        let outline = hole_outline(Point::new(mm(100), mm(50)), mm(width), Some(slot)).expect("an outline");
        let (w, l) = (width as f64, (width + more) as f64);
        let wanted = w * (l - w) + std::f64::consts::PI * w * w / 4.0;
        prop_assert!((outline.area_mm2() - wanted).abs() < 1e-6 * wanted);
        let around = outline.extents();
        let sizes = if up { (around.height(), around.width()) } else { (around.width(), around.height()) };
        prop_assert_eq!(sizes, (mm(width + more), mm(width)));
    }
}
