//! What changed between two states of a job, and what it means for pieces already cut. Expected values are worked out beside
//! each case.

use std::collections::BTreeMap;

use tickstick::length::Length;
use tickstick::length::notation::read;
use tickstick::revise::words::{Meaning, consequences, text, told};
use tickstick::revise::{Change, Changes, Difference, Fate, Laid, Overall, Pieces, Turn};
use tickstick::shape::Point;
use tickstick::spec::{SourceError, Sources};
use tickstick::trade::Units;
use tickstick::{Compared, Former, compare};

/// Texts in memory.
struct Texts(BTreeMap<&'static str, String>);

impl Sources for Texts {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        self.0.get(path).cloned().ok_or(SourceError::NotFound)
    }
}

fn compared(old: &str, new: &str) -> Compared {
    let shop = include_str!("../samples/shop.yaml").to_owned();
    let texts = Texts(BTreeMap::from([
        ("old.yaml", old.to_owned()),
        ("new.yaml", new.to_owned()),
        ("shop.yaml", shop),
    ]));
    let state = |name| Former { sources: &texts, name, settings: &[] };
    compare(&state("old.yaml"), &state("new.yaml"))
}

fn changes(old: &str, new: &str) -> Changes {
    let compared = compared(old, new);
    compared.changes.unwrap_or_else(|| panic!("{:#?} {:#?}", compared.old, compared.new))
}

const NOOK: &str = include_str!("../samples/listening-nook.yaml");

/// One plywood unit of these parts, in inches.
fn unit(thick: &str, parts: &str) -> String {
    format!(
        "job: {{title: Unit, number: U-1, revision: A}}\nunits: inch\n\
         stock: {{ply: {{sheet: [48\", 96\"], thick: {thick}}}}}\n\
         assemblies:\n  unit:\n    parts:\n{parts}"
    )
}

/// A board that looks to the front, from left to right and from 0 to its height, with more keys.
fn board(name: &str, left: &str, right: &str, height: &str, more: &str) -> String {
    format!(
        "      {name}: {{stock: ply, faces: front, left: {left}, right: {right}, front: 0, bottom: 0, \
         top: {height}, grain: up, held_by: wall{more}}}\n"
    )
}

/// An opening 2 × 3 from this place.
fn cut_out(left: &str, bottom: &str) -> String {
    format!(", cutouts: {{socket: {{left: {left}, width: 2\", bottom: {bottom}, height: 3\"}}}}")
}

fn inch(text: &str) -> Length {
    read(text, Units::Inch).expect("a length")
}

fn at(x: &str, y: &str) -> Point {
    Point::new(inch(x), inch(y))
}

fn named<'a>(changes: &'a Changes, name: &str) -> &'a Change {
    changes.parts.iter().find(|change| change.name == name).expect("a part")
}

/// The one part of a unit through a change.
fn single(old: &str, new: &str) -> Change {
    let changes = changes(&unit("3/4\"", old), &unit("3/4\"", new));
    assert_eq!(changes.parts.len(), 1, "{changes:#?}");
    changes.parts[0].clone()
}

#[test]
fn nothing_changed_is_said() {
    for spec in [NOOK, include_str!("../samples/larder.yaml")] {
        let compared = compared(spec, spec);
        let changes = compared.changes.expect("samples are good");
        assert!(changes.is_empty());
        assert!(changes.parts.iter().all(|c| c.pieces == Some(Pieces::Good) && c.left_over() == 0));
        assert!(text(&changes).contains("Nothing changed: all "), "{}", text(&changes));
        assert!(!compared.new.diagnostics.iter().any(|d| d.check == "revision-unchanged"));
    }
}

/// Bays have dividers and stiles between them, one fewer than bays: 5 bays 4, 4 bays 3. All else that the number of bays
/// touches is where fixings go.
#[test]
fn one_bay_fewer_leaves_a_divider_over() {
    let fewer = NOOK.replace("bays: 5", "bays: 4").replace("revision: A", "revision: B");
    let changes = changes(NOOK, &fewer);
    for name in ["divider", "stile"] {
        let change = named(&changes, name);
        assert_eq!((change.quantity, change.pieces), ((4, 3), Some(Pieces::Good)), "{name}");
        assert_eq!((change.left_over(), change.to_make(), Meaning::of(change)), (1, 0, Meaning::Surplus));
    }
    for name in ["end left", "end right", "back", "top", "filler front"] {
        assert_eq!(named(&changes, name).fate(), Fate::Unchanged, "{name}");
    }
    // The bottom is screwed up into the dividers: only its screw holes are elsewhere.
    let bottom = named(&changes, "bottom");
    assert_eq!(bottom.pieces, Some(Pieces::Again));
    let unless = bottom.unless.expect("not drilled, it is good");
    assert!(unless.undrilled && !unless.measured);
    assert!(text(&changes).contains("revision B of 2026-03-02 supersedes revision A of 2026-03-02."));
    assert!(changes.parts.iter().all(|c| c.fate() != Fate::Withdrawn && c.fate() != Fate::New));
}

/// 3/4" − 0.709" = 0.041".
#[test]
fn another_thickness_is_told_exactly() {
    let panel = board("panel", "0", "20\"", "30\"", "");
    let changes = changes(&unit("3/4\"", &panel), &unit("0.709\"", &panel));
    let change = named(&changes, "panel");
    let thinner = Difference::Size { of: Overall::Thickness, old: inch("3/4\""), new: inch("0.709\"") };
    assert_eq!(change.differences, [thinner]);
    assert_eq!(told(change, changes.units), ["thickness: 3/4\" → 0.709\" (0.041\" less)"]);
    assert_eq!(change.pieces, Some(Pieces::Again));
    let words = consequences(change, changes.units);
    assert!(words.contains(&"look first: pieces that are 0.709\" thick by the caliper are good".to_owned()));
}

/// From 5" to 6" across: 1" of the old opening lies outside the new one, so the piece is lost.
/// Two boards screwed together: with the rail 4" narrower and 1" higher, five screws spread from 2" to 30" instead of 2" to
/// 34" stand 0, 1, 2, 3 and 4" further left, and all 1/2" higher, in the middle of the rail.
#[test]
fn holes_that_were_spaced_anew_are_told_in_one_line() {
    let rail = |width: &str, height: &str| {
        format!(
            "job: {{title: Unit, number: U-1, revision: A}}\nunits: inch\n\
             stock: {{ply: {{sheet: [48\", 96\"], thick: 3/4\"}}}}\n\
             assemblies:\n  unit:\n    parts:\n      \
             rail: {{stock: ply, faces: front, left: 0, width: {width}, front: 0, bottom: 0, height: {height}, grain: across}}\n      \
             board: {{stock: ply, faces: front, left: 0, width: 40\", back: rail.front, bottom: 0, height: 20\", grain: across, held_by: wall}}\n    \
             joints:\n      - {{butt: rail, against: board, fix: {{by: screws, size: 8, length: 1 1/4\", count: 5, ends: 2\", from: back}}}}\n"
        )
    };
    let changes = changes(&rail("36\"", "4\""), &rail("32\"", "5\""));
    let told = told(named(&changes, "rail"), changes.units);
    // The first screw stays 2" from the end and only goes up, so that it is told by itself.
    let moved: Vec<&String> = told.iter().filter(|line| line.contains("moved")).collect();
    assert!(
        moved.iter().any(|line| line.starts_with("4 holes for")
            && line.ends_with("moved to the left by 1\" to 4\" and up by 1/2\"")),
        "{told:?}"
    );
    assert_eq!(moved.len(), 2, "{told:?}");
}

#[test]
fn a_moved_cut_out_costs_the_piece() {
    let old = board("panel", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let new = board("panel", "0", "20\"", "30\"", &cut_out("6\"", "10\""));
    let change = single(&old, &new);
    let told = told(&change, Units::Inch);
    assert_eq!(told, ["cut-out: moved 1\" to the right, at 6\" across, 10\" up"]);
    assert_eq!((change.pieces, change.to_make(), change.left_over()), (Some(Pieces::Again), 1, 1));
    assert!(change.is_changed_line(0, inch("6\"")) && change.is_changed_line(0, inch("8\"")));
    assert!(!change.is_changed_line(1, inch("10\"")) && !change.is_changed_line(0, inch("20\"")));
}

/// From 4" to 8" across takes in 5" to 7"; from 6" to 7" does not.
#[test]
fn a_larger_opening_can_be_cut_and_a_smaller_one_cannot() {
    let old = board("panel", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let open = |left: &str, width: &str| {
        format!(", cutouts: {{socket: {{left: {left}, width: {width}, bottom: 10\", height: 3\"}}}}")
    };
    let larger = single(&old, &board("panel", "0", "20\"", "30\"", &open("4\"", "4\"")));
    assert_eq!(larger.pieces, Some(Pieces::WorkOn(Laid::default())));
    let words = told(&larger, Units::Inch);
    assert_eq!(words, ["cut-out: moved 1\" to the left, width 2\" → 4\" (2\" more), at 4\" across, 10\" up"]);
    let smaller = single(&old, &board("panel", "0", "20\"", "30\"", &open("6\"", "1\"")));
    assert_eq!(smaller.pieces, Some(Pieces::Again));
    let none = single(&old, &board("panel", "0", "20\"", "30\"", ""));
    assert_eq!(none.pieces, Some(Pieces::Again));
    assert_eq!(told(&none, Units::Inch), ["cut-out: removed (2\" × 3\"), at 5\" across, 10\" up"]);
}

#[test]
fn a_recess_can_be_made_deeper_only() {
    let recess = |depth: &str| {
        let sizes = "left: 5\", width: 2\", bottom: 10\", height: 3\"";
        board("panel", "0", "20\"", "30\"", &format!(", cutouts: {{lamp: {{{sizes}, deep: {depth}}}}}"))
    };
    let deeper = single(&recess("1/4\""), &recess("3/8\""));
    assert_eq!(deeper.pieces, Some(Pieces::WorkOn(Laid::default())));
    assert_eq!(
        told(&deeper, Units::Inch),
        ["recess: depth 1/4\" → 3/8\" (1/8\" more), at 5\" across, 10\" up"]
    );
    assert_eq!(single(&recess("3/8\""), &recess("1/4\"")).pieces, Some(Pieces::Again));
}

#[test]
fn a_smaller_board_is_cut_from_the_larger() {
    let whole = board("panel", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let narrower = single(&whole, &board("panel", "0", "18\"", "30\"", &cut_out("5\"", "10\"")));
    assert_eq!(narrower.pieces, Some(Pieces::CutDown(Laid::default())));
    assert_eq!(told(&narrower, Units::Inch), ["width: 20\" → 18\" (2\" less)"]);
    // An inch off the left: the opening stays where it is in the room, 4" from the new corner.
    let left_off = single(&whole, &board("panel", "1\"", "20\"", "30\"", &cut_out("5\"", "10\"")));
    let laid = Laid { turn: Turn::None, datum: at("1\"", "0\"") };
    assert_eq!(left_off.pieces, Some(Pieces::CutDown(laid)));
    let wider = single(&whole, &board("panel", "0", "20 1/8\"", "30\"", &cut_out("5\"", "10\"")));
    assert_eq!(wider.pieces, Some(Pieces::Again));
    // Right of the opening, 20 − 7 = 13" of the old board are whole.
    let beside = single(&whole, &board("panel", "0", "13\"", "30\"", ""));
    let laid = Laid { turn: Turn::None, datum: at("7\"", "0\"") };
    assert_eq!(beside.pieces, Some(Pieces::CutDown(laid)));
    let too_wide = single(&whole, &board("panel", "0", "13 1/8\"", "30\"", ""));
    assert_eq!(too_wide.pieces, Some(Pieces::Again));
}

/// The arch of the valance rises 55, then 70 over its chord of 904.4 − 2 × 40 = 824.4 mm; more wood goes, none comes back.
#[test]
fn another_arch_is_told_by_its_rise() {
    let larder = include_str!("../samples/larder.yaml");
    let higher = larder.replace("arch: 55", "arch: 70").replace("revision: A", "revision: B");
    let changes = changes(larder, &higher);
    let valance = named(&changes, "valance");
    let words = told(valance, changes.units);
    assert_eq!(words, ["outline: the arc over 824.4 mm rises 55 mm → 70 mm (15 mm more)"]);
    assert_eq!(valance.pieces, Some(Pieces::WorkOn(Laid::default())));
    let others = changes.parts.iter().filter(|change| change.name != "valance");
    assert!(others.into_iter().all(|change| change.fate() == Fate::Unchanged));
}

/// A worked edge must be gone or be worked again.
#[test]
fn a_rounded_edge_goes_with_the_offcut_or_stays() {
    let edged = |right: &str, edge: &str| board("panel", "0", right, "30\"", edge);
    let round = ", right_edge: {round: 1/4\", on: both}";
    let old = edged("20\"", round);
    assert_eq!(single(&old, &edged("19 3/4\"", "")).pieces, Some(Pieces::CutDown(Laid::default())));
    // 1/8" of the round would be left.
    assert_eq!(single(&old, &edged("19 7/8\"", "")).pieces, Some(Pieces::Again));
    let larger = single(&old, &edged("20\"", ", right_edge: {round: 3/8\", on: both}"));
    assert_eq!(larger.pieces, Some(Pieces::WorkOn(Laid::default())));
    let words = told(&larger, Units::Inch);
    assert_eq!(words, ["work on the edge, right edge: along the face 1/4\" → 3/8\" (1/8\" more)"]);
}

#[test]
fn a_renamed_part_is_found_by_its_likeness() {
    let old = board("panel", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let new = board("backboard", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let change = single(&old, &new);
    assert_eq!(change.pieces, Some(Pieces::Good));
    assert_eq!(told(&change, Units::Inch), ["was called unit-panel, now unit-backboard"]);
    assert_eq!(Meaning::of(&change), Meaning::StillGood);
}

/// Cut half round (20 − 7 = 13 across, 30 − 13 = 17 up) it is the same piece of wood.
#[test]
fn a_piece_turned_half_round_is_the_same_piece() {
    let old = board("panel", "0", "20\"", "30\"", &cut_out("5\"", "10\""));
    let new = board("panel", "0", "20\"", "30\"", &cut_out("13\"", "17\""));
    assert_eq!(single(&old, &new).fate(), Fate::Unchanged);
}

/// Four equal shelves of one entry; then one of them gets an opening, so that the entry gives two parts, numbered anew.
#[test]
fn parts_of_one_entry_are_matched_whatever_their_numbers() {
    let shelves = |more: &str| {
        format!(
            "      shelf: {{stock: ply, faces: up, count: 4, left: 0, right: 20\", front: 0, back: 10\", \
             bottom: i * 8\", held_by: wall{more}}}\n"
        )
    };
    let opening = ", cutouts: {cable: {when: i = 2, left: 5\", width: 2\", front: 4\", depth: 0}}";
    let opening = opening.replace("front: 4\", depth: 0", "front: 4\", back: 6\"");
    let changes = changes(&unit("3/4\"", &shelves("")), &unit("3/4\"", &shelves(&opening)));
    assert_eq!(changes.parts.len(), 2);
    let plain = changes.of(tickstick::parts::PartId(0)).expect("the plain shelf");
    assert_eq!((plain.quantity, plain.pieces), ((4, 3), Some(Pieces::Good)));
    let cut = changes.of(tickstick::parts::PartId(1)).expect("the shelf with the opening");
    assert_eq!(cut.fate(), Fate::New);
    // The shelf that is left over becomes the one with the opening.
    let spare = cut.from.as_ref().expect("the fourth of the old shelves");
    assert_eq!((spare.count, spare.pieces), (1, Pieces::WorkOn(Laid::default())));
}

#[test]
fn more_of_them_are_needed() {
    let fewer = NOOK.replace("bays: 5", "bays: 4");
    let changes = changes(&fewer, NOOK);
    let divider = named(&changes, "divider");
    assert_eq!((Meaning::of(divider), divider.to_make()), (Meaning::MakeMore, 1));
    assert!(text(&changes).contains("make 1 more"));
}

#[test]
fn new_and_withdrawn_parts_are_told_and_offcuts_offered() {
    let old = board("panel", "0", "20\"", "30\"", "");
    let new = board("door", "0", "10\"", "12\"", "");
    let changes = changes(&unit("3/4\"", &old), &unit("3/4\"", &new));
    assert_eq!(named(&changes, "panel").fate(), Fate::Withdrawn);
    let door = named(&changes, "door");
    assert_eq!(door.fate(), Fate::New);
    assert_eq!(door.from.as_ref().map(|spare| spare.name.as_str()), Some("panel"));
    let words = text(&changes);
    assert!(words.contains("\nNEW\n") && words.contains("\nWITHDRAWN: not needed any more\n"), "{words}");
}

#[test]
fn other_wood_is_other_wood() {
    let panel = board("panel", "0", "20\"", "30\"", "");
    let birch = unit("3/4\"", &panel).replace("thick: 3/4\"", "thick: 3/4\", called: birch ply");
    let oak = birch.replace("birch ply", "oak ply");
    let changes = changes(&birch, &oak);
    let change = named(&changes, "panel");
    assert_eq!((change.pieces, change.unless), (Some(Pieces::Again), None));
    assert_eq!(told(change, changes.units), ["stock: birch ply → oak ply"]);
}

#[test]
fn one_letter_for_two_states_is_warned_of() {
    let old = unit("3/4\"", &board("panel", "0", "20\"", "30\"", ""));
    let new = unit("3/4\"", &board("panel", "0", "18\"", "30\"", ""));
    let found = compared(&old, &new).new.diagnostics;
    let warning = found.iter().find(|d| d.check == "revision-unchanged").expect("still A");
    assert_eq!(warning.message, "one part has changed, but the revision is still A");
    let letter = new.find("revision: A").expect("written above") + "revision: ".len();
    assert_eq!(warning.place.start as usize, letter);
    assert!(tickstick::explain("revision-unchanged").is_some());
    let next = new.replace("revision: A", "revision: B");
    assert!(!compared(&old, &next).new.diagnostics.iter().any(|d| d.check == "revision-unchanged"));
}

#[test]
fn faults_of_either_state_stop_the_comparison() {
    let good = unit("3/4\"", &board("panel", "0", "20\"", "30\"", ""));
    let bad = good.replace("stock: ply", "stock: pyl");
    let first = compared(&bad, &good);
    assert!(first.changes.is_none() && first.old.has_errors() && !first.new.has_errors());
    let second = compared(&good, &bad);
    assert!(second.changes.is_none() && !second.old.has_errors() && second.new.has_errors());
}

/// Boards on a grid of inches as pictures of wood and air: a piece is of use exactly where the new picture lies in the old one,
/// at some place and in one of the four ways that keep the grain.
#[test]
fn what_can_be_cut_agrees_with_counting_squares() {
    let mut state = 20_260_302_u64;
    let mut random = |least: usize, most: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        least + ((state >> 33) as usize) % (most - least + 1)
    };
    let (mut tried, mut useful) = (0, 0);
    for _ in 0..60 {
        let [old, new] = [(6, 9), (3, 8)].map(|(least, most)| {
            let (width, height) = (random(least, most), random(least, most));
            let mut wood = vec![vec![true; width]; height];
            let mut opening = String::new();
            if random(0, 2) > 0 && width > 3 && height > 3 {
                let (w, h) = (random(1, 2), random(1, 2));
                let (x, y) = (random(1, width - w - 1), random(1, height - h - 1));
                wood[y..y + h].iter_mut().for_each(|row| row[x..x + w].fill(false));
                let sizes = format!("left: {x}\", width: {w}\", bottom: {y}\", height: {h}\"");
                opening = format!(", cutouts: {{opening: {{{sizes}}}}}");
            }
            (board("panel", "0", &format!("{width}\""), &format!("{height}\""), &opening), wood)
        });
        let change = single(&old.0, &new.0);
        let lies = lies_in(&old.1, &new.1);
        let of_use = change.pieces.is_some_and(Pieces::are_of_use);
        assert_eq!(of_use, lies, "{}\n{}", old.0, new.0);
        tried += 1;
        useful += usize::from(of_use);
    }
    assert!(useful > 10 && useful < tried - 10, "{useful} of {tried}: both must be tried");
}

fn lies_in(old: &[Vec<bool>], new: &[Vec<bool>]) -> bool {
    let (height, width) = (old.len(), old[0].len());
    let (high, wide) = (new.len(), new[0].len());
    if high > height || wide > width {
        return false;
    }
    [(false, false), (true, true), (true, false), (false, true)].into_iter().any(|(flip_x, flip_y)| {
        let wood = |x: usize, y: usize| {
            let x = if flip_x { width - 1 - x } else { x };
            let y = if flip_y { height - 1 - y } else { y };
            old[y][x]
        };
        (0..=height - high).any(|up| {
            (0..=width - wide)
                .any(|across| (0..high).all(|y| (0..wide).all(|x| !new[y][x] || wood(x + across, y + up))))
        })
    })
}

/// The wall half an inch higher: no part is another, and yet site has to mark out anew.
#[test]
fn an_assembly_that_moved_is_told() {
    let higher = NOOK.replace("bottom: 19\"}", "bottom: 19 1/2\"}");
    assert_ne!(higher, NOOK);
    let changes = changes(NOOK, &higher);
    assert!(!changes.is_empty());
    assert_eq!(changes.moved.len(), 1);
    let said = text(&changes);
    assert!(said.contains("wall: from the floor: 19\" → 19 1/2\" (1/2\" up)"), "{said}");
    assert!(tickstick::revise::words::short(&changes).contains("moved in the room: wall"));
}

/// An arch whose rise is the same as far as anybody can print it is not told to rise from 55 mm to 55 mm.
#[test]
fn what_prints_alike_is_not_told() {
    let larder = include_str!("../samples/larder.yaml");
    let other = larder.replace("shelves: 5", "shelves: 4").replace("width: 940", "width: 900");
    assert_ne!(other, larder);
    let said = text(&changes(larder, &other));
    assert!(!said.contains("(0 mm"), "{said}");
}
