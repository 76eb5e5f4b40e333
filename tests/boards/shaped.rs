//! Outlines, edges, cut-outs and holes in face coordinates.

use tickstick::boards::{Arris, PocketKind, Profile};
use tickstick::shape::Point;
use tickstick::trade::{Face, Side};

use super::*;

/// One board of 3/4" ply, 12" by 30", with these keys.
fn board_with(place: &str, keys: &str) -> String {
    format!(
        "stock:\n  ply: {{sheet: [4 ft, 8 ft], thick: 3/4\"}}\nassemblies:\n  a:\n    parts:\n      \
         p: {{stock: ply, {place}, {keys}}}\n"
    )
}

/// An upright end, 12" deep and 30" high, standing at 5", seen from the left: its front is on the right of the drawing.
const END: &str = "faces: side, left: 5\", front: 2\", depth: 12\", bottom: 1\", height: 30\"";
/// A panel 12" wide and 30" high.
const PANEL: &str = "faces: front, left: 5\", width: 12\", front: 2\", bottom: 1\", height: 30\"";

fn made(place: &str, keys: &str) -> Board {
    good(&board_with(place, keys)).boards.remove(0)
}

fn said(place: &str, keys: &str) -> String {
    let mut found = messages(&board_with(place, keys));
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

fn point(x: &str, y: &str) -> Point {
    Point::new(length(x), length(y))
}

fn corners(board: &Board) -> Vec<Point> {
    board.outline.canonical().vertices().iter().map(|vertex| vertex.at).collect()
}

#[test]
fn a_toe_space_lies_at_the_front_foot_whichever_face_is_shown() {
    // Looking at the left face the front is on the right: u runs from the back to the front.
    let left = made(END, "show: left, corners: [{at: [front, bottom], step: [2 1/2\", 3\"]}]");
    assert_eq!(
        corners(&left),
        [
            point("0", "0"),
            point("9 1/2", "0"),
            point("9 1/2", "3"),
            point("12", "3"),
            point("12", "30"),
            point("0", "30"),
        ]
    );
    let right = made(END, "show: right, corners: [{at: [bottom, front], step: [3\", 2 1/2\"]}]");
    assert_eq!(
        corners(&right),
        [
            point("2 1/2", "0"),
            point("12", "0"),
            point("12", "30"),
            point("0", "30"),
            point("0", "3"),
            point("2 1/2", "3"),
        ]
    );
    // Both lie at the same place of the room: front 2", foot 1".
    for board in [left, right] {
        let (u, v, _) = board.frame.to_face([length("5\""), length("4\""), length("3\"")]);
        assert!(
            !board.outline.contains(Point::new(u, v)),
            "the toe space is open at 4\" from the front, 3\" high"
        );
        let (u, v, _) = board.frame.to_face([length("5\""), length("5\""), length("3\"")]);
        assert!(board.outline.contains(Point::new(u, v)));
    }
}

#[test]
fn legs_of_a_cut_lie_along_the_sides_they_are_given_for() {
    let cut = made(PANEL, "corners: [{at: [top, left], cut: [4\", 1\"]}]");
    assert_eq!(
        corners(&cut),
        [point("0", "0"), point("12", "0"), point("12", "30"), point("4", "30"), point("0", "29")]
    );
    // One leg serves both: a corner of 2" by 2" takes 2 square inches, 1290.32 mm².
    let even = made(PANEL, "corners: [{at: [left, bottom], cut: 2\"}]");
    let taken = 12.0 * 30.0 * 645.16 - even.outline.area_mm2();
    assert!((taken - 2.0 * 645.16).abs() < 1e-6, "{taken}");
    // A round corner of radius r takes r² (1 − π/4).
    let round = made(PANEL, "corners: [{at: [left, bottom], radius: 2\"}]");
    let taken = 12.0 * 30.0 * 645.16 - round.outline.area_mm2();
    assert!((taken - 4.0 * (1.0 - std::f64::consts::FRAC_PI_4) * 645.16).abs() < 1e-6, "{taken}");
    assert!(made(PANEL, "corners: [{at: [left, bottom], radius: 0}]").outline.is_rectangle());
}

#[test]
fn arches_and_tapers() {
    // A segment of chord c = 10" and rise h = 2" has the radius (c²/4 + h²) / 2h = 29/4 = 7 1/4".
    let arch = made(PANEL, "arch: [{edge: top, rise: 2\", ends: 1\"}]");
    assert_eq!(arch.outline.extents().high, point("12", "30"));
    let bent: Vec<_> = arch.outline.segments().filter(|(from, _)| from.bulge != 0.0).collect();
    let [(from, to)] = bent.as_slice() else { panic!("{bent:?}") };
    let found = tickstick::shape::Arc::between(from.at.to_mm(), to.to_mm(), from.bulge).unwrap();
    assert!((found.radius - 7.25 * 25.4).abs() < 1e-6, "{}", found.radius);
    assert!(!arch.outline.contains(point("6", "28 1/8")) && arch.outline.contains(point("6", "27 7/8")));
    // Swelled: the crown reaches the edge and the ends lie lower.
    let crown = made(PANEL, "arch: [{edge: top, rise: -2\", ends: 1\"}]");
    assert!(crown.outline.contains(point("6", "29 7/8")) && !crown.outline.contains(point("1/2", "28 1/8")));
    assert!(made(PANEL, "arch: [{edge: top, rise: 0}]").outline.is_rectangle());

    let taper = made(PANEL, "taper: [{edge: right, towards: bottom, by: 1\"}]");
    assert_eq!(corners(&taper), [point("0", "0"), point("11", "0"), point("12", "30"), point("0", "30")]);
    let short = made(PANEL, "taper: [{edge: right, towards: bottom, by: 1\", over: 20\"}]");
    assert_eq!(
        corners(&short),
        [point("0", "0"), point("11", "0"), point("12", "20"), point("12", "30"), point("0", "30")]
    );
    let up = made(PANEL, "taper: [{edge: left, towards: top, by: 1\", over: 10\"}]");
    assert_eq!(
        corners(&up),
        [point("0", "0"), point("12", "0"), point("12", "30"), point("1", "30"), point("0", "20")]
    );
}

#[test]
fn a_free_path_runs_either_way() {
    let steps = ["{to: [0, 0]}", "{to: [12\", 0]}", "{to: [12\", 20\"]}", "{to: [0, 30\"]}"];
    let there = made(PANEL, &format!("path: [{}]", steps.join(", ")));
    let mut back = steps;
    back.reverse();
    let back = made(PANEL, &format!("path: [{}]", back.join(", ")));
    assert_eq!(there.outline.canonical(), back.outline.canonical());
    assert_eq!(corners(&there), [point("0", "0"), point("12", "0"), point("12", "20"), point("0", "30")]);
    // The way to a point bulges out: a half circle of 6" on a square foot of 12" is 6" high.
    let arched =
        made(PANEL, "path: [{to: [0, 0]}, {to: [12\", 0]}, {to: [12\", 24\"]}, {to: [0, 24\"], rise: 6\"}]");
    let area = 12.0 * 24.0 + std::f64::consts::PI * 18.0;
    assert!((arched.outline.area_mm2() / 645.16 - area).abs() < 1e-6);
    let hollow =
        made(PANEL, "path: [{to: [0, 30\"], rise: -6\"}, {to: [0, 0]}, {to: [12\", 0]}, {to: [12\", 30\"]}]");
    let area = 12.0 * 30.0 - std::f64::consts::PI * 18.0;
    assert!((hollow.outline.area_mm2() / 645.16 - area).abs() < 1e-6);
    assert_eq!(
        said(PANEL, "path: [{to: [0, 0]}, {to: [12\", 0]}, {to: [12\", 29\"]}, {to: [0, 29\"]}]"),
        "a.p: the path reaches from 0\" to 29\" up, but the board from 0 to 30\""
    );
    assert_eq!(
        said(PANEL, "path: [{to: [0, 0]}, {to: [12\", 30\"]}, {to: [12\", 0]}, {to: [0, 30\"]}]"),
        "a.p: the path encloses nothing, or runs into itself"
    );
    assert_eq!(
        said(PANEL, "path: [{to: [0, 0]}, {to: [12\", 0]}, {to: [0, 30\"]}], arch: [{edge: top, rise: 1\"}]"),
        "a.p: `path` is the whole outline, but `arch` is given too"
    );
}

#[test]
fn edges_carry_their_profile_along_the_outline() {
    let board = made(
        PANEL,
        "top_edge: {chamfer: [1/4\", 1/2\"], finish: sanded}, left_edge: {round: 1/8\", on: both}, \
         bottom_edge: {rebate: [3/8\", 1/4\"], on: back}, right_edge: {scribe: 1/2\", round: 0}",
    );
    let edge = |side: Side| board.edges.iter().find(|edge| edge.side == side).unwrap();
    let top = edge(Side::Top);
    // Counter-clockwise, wood on the left: the upper edge runs from right to left.
    assert_eq!((top.from, top.to), (point("12", "30"), point("0", "30")));
    let chamfer = Profile::Chamfer { along_face: length("1/4"), down_edge: length("1/2") };
    assert_eq!((top.profile, top.finish.as_deref()), (Some((chamfer, Arris::Show)), Some("sanded")));
    assert_eq!(edge(Side::Left).profile, Some((Profile::Round { radius: length("1/8") }, Arris::Both)));
    let rebate = Profile::Rebate { width: length("3/8"), depth: length("1/4") };
    assert_eq!(edge(Side::Bottom).profile, Some((rebate, Arris::Back)));
    assert_eq!((edge(Side::Right).profile, edge(Side::Right).scribe), (None, length("1/2")));
    assert_eq!((edge(Side::Right).from, edge(Side::Right).to), (point("12", "0"), point("12", "30")));
    // Seen from the left the front edge is the right one.
    let end = made(END, "front_edge: {round: 1/8\"}");
    assert_eq!((end.edges[0].from, end.edges[0].to), (point("12", "0"), point("12", "30")));
    // On a taper the edge runs as the taper does.
    let tapered = made(PANEL, "taper: [{edge: right, towards: bottom, by: 1\"}], right_edge: {round: 1/8\"}");
    assert_eq!((tapered.edges[0].from, tapered.edges[0].to), (point("11", "0"), point("12", "30")));
}

#[test]
fn shapes_and_profiles_that_cannot_be() {
    assert_eq!(
        said(PANEL, "front_edge: {round: 1/8\"}"),
        "a.p: `front_edge` names front, but that is a broad face of this board, not an edge"
    );
    assert_eq!(
        said(PANEL, "top_edge: {chamfer: 1\"}"),
        "a.p: a chamfer of 1\" takes more than the 3/4\" that the board is thick"
    );
    assert_eq!(
        said(PANEL, "top_edge: {round: 1/2\", on: both}"),
        "a.p: a round of 1/2\" on both arrises takes more than the 3/4\" that the board is thick"
    );
    assert_eq!(
        said(PANEL, "top_edge: {rebate: [31\", 1/4\"]}"),
        "a.p: a rebate reaching 31\" in from its top edge leaves nothing of the 30\" across the face"
    );
    assert_eq!(
        said(PANEL, "top_edge: {chamfer: 1/4\", round: 1/4\"}"),
        "a.p: chamfer and round are given for one top edge"
    );
    assert_eq!(
        said(PANEL, "arch: [{edge: top, rise: 1\"}], top_edge: {round: 1/8\"}"),
        "a.p: its top edge is curved, and a profile is only cut on a straight one"
    );
    assert_eq!(
        said(PANEL, "corners: [{at: [left, right], cut: 1\"}]"),
        "a.p: left and right do not meet in a corner"
    );
    assert_eq!(said(PANEL, "corners: [{at: left, cut: 1\"}]"), "a.p: a corner lies where two sides meet");
    assert_eq!(
        said(PANEL, "corners: [{at: [left, front], cut: 1\"}]"),
        "a.p: `corners` names front, but that is a broad face of this board, not an edge"
    );
    assert_eq!(
        said(PANEL, "corners: [{at: [left, top], cut: 1\", radius: 1\"}]"),
        "a.p: cut and radius are both given for one corner"
    );
    assert_eq!(
        said(PANEL, "corners: [{at: [left, top], cut: 1\"}, {at: [top, left], radius: 1\"}]"),
        "a.p: the corner of top and left is worked twice"
    );
    assert_eq!(
        said(PANEL, "corners: [{at: [left, top], cut: 8\"}, {at: [top, right], cut: 5\"}]"),
        "a.p: what is cut along its top edge needs 13\", but the edge has 12\""
    );
    assert_eq!(
        said(PANEL, "arch: [{edge: top, rise: 7\"}]"),
        "a.p: an arch that rises 7\" on its top edge is more than a half circle; the most is 6\""
    );
    assert_eq!(
        said(PANEL, "taper: [{edge: top, towards: bottom, by: 1\"}]"),
        "a.p: a taper of its top edge cannot run towards bottom"
    );
    assert_eq!(
        said(PANEL, "arch: [{edge: top, rise: 1\"}], taper: [{edge: top, towards: left, by: 1\"}]"),
        "a.p: its top edge is shaped twice"
    );
}

#[test]
fn cut_outs_come_into_face_coordinates() {
    // Room: left 5, bottom 1. A switch box 2" to the right of the panel's left and 10" above its foot.
    let panel =
        made(PANEL, "cutouts: {switch: {left: 7\", width: 2\", bottom: 11\", top: 14\", radius: 1/4\"}}");
    let around = panel.inside[0].extents();
    assert_eq!((around.low, around.high), (point("2", "10"), point("4", "13")));
    // 2 × 3 less four corners of r² (1 − π/4).
    let area = 6.0 - (1.0 - std::f64::consts::FRAC_PI_4) / 4.0;
    assert!((panel.inside[0].area_mm2() / 645.16 - area).abs() < 1e-6);
    // Seen from the back the same hole lies from the other side: 12 − 4 = 8.
    let back = made(PANEL, "show: back, cutouts: {switch: {left: 7\", width: 2\", bottom: 11\", top: 14\"}}");
    assert_eq!(back.inside[0].extents().low, point("8", "10"));
    // A recess may be open to the edge.
    let recess = made(
        PANEL,
        "cutouts: {plate: {right: 17\", width: 3\", bottom: 11\", height: 2\", deep: 1/4\", from: back}}",
    );
    let pocket = &recess.pockets[0];
    assert_eq!((pocket.depth, pocket.from, pocket.kind), (length("1/4"), Face::Back, PocketKind::Recess));
    assert_eq!(pocket.outline.extents().high, point("12", "12"));
    // One of a run only.
    let yaml = board_with(
        "faces: front, count: 2, left: i * 20\", width: 12\", front: 0, bottom: 0, height: 30\"",
        "cutouts: {box: {when: i = 2, left: i * 20\" + 1\", width: 2\", bottom: 3\", height: 2\"}}",
    );
    let boards = good(&yaml);
    assert_eq!((boards.boards[0].inside.len(), boards.boards[1].inside.len()), (0, 1));
}

#[test]
fn holes_come_in_rows() {
    let panel = made(
        PANEL,
        "holes: {pin: {count: 3, across: 6\", up: 2\" + i * 1 1/4\", diameter: 1/4\", depth: 3/8\", from: back}}",
    );
    let at: Vec<Point> = panel.holes.iter().map(|hole| hole.at).collect();
    assert_eq!(at, [point("1", "2 1/4"), point("1", "3 1/2"), point("1", "4 3/4")]);
    assert_eq!((panel.holes[0].depth, panel.holes[0].from), (Some(length("3/8")), Face::Back));
    assert_eq!(
        said(PANEL, "holes: {pin: {across: 5\", up: 10\", diameter: 1/4\"}}"),
        "a.p, pin leaves the board by 1/8\" at its left edge"
    );
    assert_eq!(
        said(PANEL, "holes: {pin: {across: 6\", up: 10\", diameter: 1/4\", depth: 3/4\"}}"),
        "a.p, pin: a hole 3/4\" deep comes through a board 3/4\" thick"
    );
    assert_eq!(
        said(PANEL, "holes: {pin: {across: 6\", diameter: 1/4\"}}"),
        "a.p, pin: `up` is missing; the centre lies somewhere along it"
    );
    assert_eq!(
        said(PANEL, "holes: {pin: {across: 6\", up: 5\", deep: 1\", diameter: 1/4\"}}"),
        "a.p, pin: `deep` looks through the board, where a hole has no place of its own"
    );
    assert_eq!(
        said(PANEL, "holes: {pin: {across: 6\", up: 5\", diameter: 0}}"),
        "a.p, pin: the diameter is 0\"; it must be more than nothing"
    );
    assert_eq!(
        said(PANEL, "holes: {pin: {count: 1000000, across: 6\", up: 5\", diameter: 1/4\"}}"),
        "a.p, pin would be 1000000 pieces; a job has at most 10000"
    );
}

#[test]
fn cut_outs_that_leave_the_board() {
    let cutout = |keys: &str| said(PANEL, &format!("cutouts: {{box: {{{keys}}}}}"));
    assert_eq!(
        cutout("left: 15\", width: 3\", bottom: 5\", height: 3\""),
        "a.p, box leaves the board by 1\" at its right edge"
    );
    assert_eq!(
        cutout("left: 14\", width: 3\", bottom: 5\", height: 3\""),
        "a.p, box touches the right edge of the board, so it is no opening"
    );
    assert_eq!(
        cutout("left: 7\", width: 3\", bottom: 5\", height: 3\", deep: 1\""),
        "a.p, box: a recess 1\" deep goes right through a board 3/4\" thick"
    );
    assert_eq!(
        cutout("left: 7\", width: 3\", bottom: 5\", height: 3\", radius: 2\""),
        "a.p, box: corners of radius 2\" do not fit a cut-out of 3\" in its smaller size"
    );
    assert_eq!(
        cutout("left: 7\", width: 3\", bottom: 5\", height: 3\", front: 0"),
        "a.p, box: `front` looks through the board, where a cut-out has no place of its own"
    );
    assert_eq!(
        cutout("left: 7\", bottom: 5\", height: 3\""),
        "a.p, box: of left, right and width only left is given; two are needed"
    );
    // In the corner that is cut off there is no wood.
    assert_eq!(
        said(
            PANEL,
            "corners: [{at: [left, bottom], cut: 6\"}], cutouts: {box: {left: 6\", width: 2\", bottom: 2\", height: 2\"}}"
        ),
        "a.p, box lies partly where the board's own shape has no wood"
    );
    assert_eq!(
        said(
            PANEL,
            "cutouts: {one: {left: 7\", width: 3\", bottom: 5\", height: 3\"}, two: {left: 9\", width: 3\", bottom: 7\", height: 3\"}}"
        ),
        "a.p: the cut-outs one and two run into each other"
    );
}
