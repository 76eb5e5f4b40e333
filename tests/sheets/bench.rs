//! A bench made by hand: two ends, three dividers notched over two stretchers, a housed bottom, a solid top.

use tickstick::boards::{Arris, Board, BoardId, Edge, HoleKind, PocketKind, Profile};
use tickstick::diagnose::Place;
use tickstick::joints::{Bore, Cut, CutKind};
use tickstick::length::{Interval, Length};
use tickstick::parts::{Made, Part, PartId, Placed};
use tickstick::shape::Outline;
use tickstick::shape::solid::{Bored, EdgeShape, Recess, Solid};
use tickstick::trade::{Face, FaceFrame, Grain, Side, Units};

use super::hand_made::*;

/// A plate of the room: spans and the side its show face looks to.
fn placed(
    name: &str,
    index: Option<u32>,
    part: &Part,
    id: usize,
    span: [(Length, Length); 3],
    show: Side,
) -> Placed {
    let span = span.map(|(low, high)| Interval::between(low, high));
    let frame = FaceFrame::of_plate(&span, show);
    let full = match index {
        Some(i) => format!("bench.{name}[{i}]"),
        None => format!("bench.{name}"),
    };
    let board = Board {
        name: full,
        assembly: 0,
        entry: name.into(),
        index,
        place: Place::default(),
        stock: part.stock,
        span,
        frame,
        grain: part.grain,
        outline: part.outline.clone(),
        inside: Vec::new(),
        inside_notes: Vec::new(),
        cutouts: Vec::new(),
        pockets: Vec::new(),
        holes: Vec::new(),
        edges: part.edges.clone(),
        held_by: None,
        load: None,
        finish: None,
        note: None,
    };
    let solid = Solid {
        frame,
        thick: part.thick,
        outline: part.outline.clone(),
        inside: part.inside.clone(),
        pockets: part
            .pockets
            .iter()
            .map(|p| Recess { outline: p.outline.clone(), depth: p.depth, from: p.from })
            .collect(),
        holes: part
            .holes
            .iter()
            .map(|h| Bored { at: h.at, diameter: h.diameter, depth: h.depth, from: h.from, slot: h.slot })
            .collect(),
        edges: part
            .edges
            .iter()
            .filter_map(|e| {
                let (profile, arris) = e.profile?;
                Some(EdgeShape { from: e.from, to: e.to, profile, arris })
            })
            .collect(),
    };
    Placed { board, part: PartId(id), frame, solid }
}

/// 60" wide, 16" deep, 17" high under an ash top.
pub fn bench(units: Units) -> Made {
    let t = thou(709);
    let fit = sixty_fourths(1);
    let (width, depth, high) = (inch(60), inch(16), inch(17));
    let z = Length::ZERO;

    // Ends: rectangle, toe notch at the front below, housing for the bottom, holes for its pins. Seen from outside.
    let toe = |mirrored: bool| {
        let (a, b) = (inch(3), inch(3) + sixty_fourths(32));
        if mirrored {
            straight(&[(z, z), (depth - a, z), (depth - a, b), (depth, b), (depth, high), (z, high)])
        } else {
            straight(&[(a, z), (depth, z), (depth, high), (z, high), (z, b), (a, b)])
        }
    };
    let mut right = part("end_right", toe(false), t);
    let toe_cut = |outline: Outline| Cut { kind: CutKind::Notch, outline, by: BoardId(6), fit: z, joint: 0 };
    right.mark = "B2".into();
    right.cuts = vec![toe_cut(rectangle(z, z, inch(3), inch(3) + sixty_fourths(32)))];
    right.pockets = vec![pocket(
        rectangle(z, inch(4), depth, t + sixty_fourths(1)),
        sixty_fourths(16),
        Face::Back,
        PocketKind::Housing,
    )];
    right.finish = Some("clear, two coats, show face and front edge".into());
    for i in 0..4 {
        for x in [2, 14] {
            let mut pin =
                hole(inch(x), inch(8 + 2 * i), sixty_fourths(16), Some(sixty_fourths(28)), Face::Back);
            pin.why = HoleKind::Dowel;
            right.holes.push(pin);
        }
    }
    let mut left = part("end_left", toe(true), t);
    left.mark = "B1".into();
    left.cuts = vec![toe_cut(rectangle(depth - inch(3), z, inch(3), inch(3) + sixty_fourths(32)))];
    left.pockets = right.pockets.clone();
    left.holes = right
        .holes
        .iter()
        .cloned()
        .map(|mut h| {
            h.at.x = depth - h.at.x;
            h
        })
        .collect();
    left.finish = right.finish.clone();
    left.pair = Some(PartId(1));
    right.pair = Some(PartId(0));
    right.mirrored_of = Some(PartId(0));

    // Dividers, seen from the left: front at the right. Notched over the stretchers at the top.
    let shelf = inch(4) + t + sixty_fourths(1);
    let tall = high - shelf;
    let (n1, n2) = (inch(2), inch(12));
    let notch = t + fit * 2;
    let drop = inch(3);
    let mut divider = part(
        "divider",
        straight(&[
            (z, z),
            (depth, z),
            (depth, tall),
            (n2 + notch, tall),
            (n2 + notch, tall - drop),
            (n2, tall - drop),
            (n2, tall),
            (n1 + notch, tall),
            (n1 + notch, tall - drop),
            (n1, tall - drop),
            (n1, tall),
            (z, tall),
        ]),
        t,
    );
    divider.mark = "B3".into();
    divider.quantity = 3;
    let cut = |x: Length, by: usize| Cut {
        kind: CutKind::Notch,
        outline: rectangle(x, tall - drop, notch, drop),
        by: BoardId(by),
        fit,
        joint: 0,
    };
    divider.cuts = vec![cut(n1, 6), cut(n2, 5)];
    divider.notes = vec!["front edge eased 1/32 after sanding".into()];

    let between = width - t * 2;
    let mut stretcher = part("stretcher", rectangle(z, z, between, drop), t);
    stretcher.mark = "B4".into();
    stretcher.quantity = 2;
    stretcher.grain = Grain::AlongU;
    let run = Length::from_mm((t - t.half()).to_mm() / 15f64.to_radians().tan());
    for (at, edge) in [(run, z), (between - run, between)] {
        for y in [sixty_fourths(48), drop - sixty_fourths(48)] {
            stretcher.bores.push(Bore {
                at: point(at, y),
                leaves: point(edge, y),
                leaves_depth: t.half(),
                from: Face::Back,
                diameter: sixty_fourths(24),
                degrees: 15.0,
                fixing: 0,
            });
        }
    }

    let mut bottom = part("bottom", rectangle(z, z, between + sixty_fourths(32), depth), t);
    bottom.mark = "B5".into();
    bottom.grain = Grain::AlongU;

    let (over, top_thick) = (inch(1), inch(1) + sixty_fourths(16));
    let (top_w, top_d) = (width + over, depth + over);
    let round = inch(2);
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let mut top = part(
        "top",
        bent(&[(round, z, 0.0), (top_w, z, 0.0), (top_w, top_d, 0.0), (z, top_d, 0.0), (z, round, quarter)]),
        top_thick,
    );
    top.mark = "B6".into();
    top.stock = 1;
    top.grain = Grain::AlongU;
    top.edges = vec![
        Edge {
            side: Side::Front,
            from: point(z, z),
            to: point(top_w, z),
            profile: Some((
                Profile::Chamfer { along_face: sixty_fourths(24), down_edge: sixty_fourths(24) },
                Arris::Show,
            )),
            scribe: z,
            finish: Some("sanded 220, arris eased".into()),
            place: Place::default(),
        },
        Edge {
            side: Side::Right,
            from: point(top_w, z),
            to: point(top_w, top_d),
            profile: None,
            scribe: sixty_fourths(32),
            finish: None,
            place: Place::default(),
        },
    ];

    let parts = vec![left, right, divider, stretcher, bottom, top];
    let pitch = between.shared_by(4).0;
    let mut all = vec![
        placed("end_left", None, &parts[0], 0, [(z, t), (z, depth), (z, high)], Side::Left),
        placed("end_right", None, &parts[1], 1, [(width - t, width), (z, depth), (z, high)], Side::Right),
    ];
    for i in 1..=3u32 {
        let x = t + pitch * i64::from(i) - t.half();
        all.push(placed(
            "divider",
            Some(i),
            &parts[2],
            2,
            [(x, x + t), (z, depth), (shelf, high)],
            Side::Left,
        ));
    }
    let front = depth - n2 - fit - t;
    let back = depth - n1 - fit - t;
    for (name, y) in [("stretcher_front", front), ("stretcher_back", back)] {
        all.push(placed(
            name,
            None,
            &parts[3],
            3,
            [(t, width - t), (y, y + t), (high - drop, high)],
            Side::Front,
        ));
    }
    let let_in = sixty_fourths(16);
    let bottom_low = inch(4) + sixty_fourths(1).half();
    all.push(placed(
        "bottom",
        None,
        &parts[4],
        4,
        [(t - let_in, width - t + let_in), (z, depth), (bottom_low, bottom_low + t)],
        Side::Top,
    ));
    all.push(placed(
        "top",
        None,
        &parts[5],
        5,
        [(-over, width), (-over, depth), (high, high + top_thick)],
        Side::Top,
    ));
    let mut parts = parts;
    for (i, part) in parts.iter_mut().enumerate() {
        part.boards =
            all.iter().enumerate().filter(|(_, p)| p.part == PartId(i)).map(|(b, _)| BoardId(b)).collect();
    }
    Made {
        job: job(units),
        parts,
        placed: all,
        joints: Vec::new(),
        fixings: Vec::new(),
        openings: Vec::new(),
        steps: Vec::new(),
    }
}
