//! A small job made by hand, so that paper at full size can be tested without any earlier stage: a hall bench with a shaped
//! end, its mirror image, a notched divider, an arched rail and a plain shelf.

use tickstick::boards::{Board, BoardId, Hole, HoleKind, Opening, Pocket, PocketKind};
use tickstick::diagnose::Place;
use tickstick::length::{Interval, Length};
use tickstick::parts::{Made, Part, PartId, Placed};
use tickstick::shape::solid::Solid;
use tickstick::shape::{Outline, Point, Vertex};
use tickstick::trade::{Face, FaceFrame, Grain, Side, Units};
use tickstick::values::{Assembly, FullSize, Job, SheetChoices, SheetGrain, Shop, Stock, StockForm, Titles};

pub fn mm(n: i64) -> Length {
    Length::MM * n
}

pub fn point(x: i64, y: i64) -> Point {
    Point::new(mm(x), mm(y))
}

/// An outline through points in millimetres, each with the bulge of the way to the next.
pub fn outline(points: &[(i64, i64, f64)]) -> Outline {
    let vertices = points.iter().map(|(x, y, bulge)| Vertex { at: point(*x, *y), bulge: *bulge });
    Outline::new(vertices.collect()).expect("made by hand")
}

pub fn rectangle(low: (i64, i64), high: (i64, i64)) -> Outline {
    Outline::rectangle(point(low.0, low.1), point(high.0, high.1)).expect("made by hand")
}

pub fn pocket(outline: Outline, depth: i64, from: Face, kind: PocketKind) -> Pocket {
    Pocket { outline, depth: mm(depth), from, kind, note: None, place: Place::default() }
}

pub fn hole(x: i64, y: i64, diameter: i64, depth: Option<i64>, from: Face) -> Hole {
    Hole {
        at: point(x, y),
        diameter: mm(diameter),
        depth: depth.map(mm),
        from,
        countersink: None,
        slot: None,
        why: HoleKind::Asked,
        note: None,
        place: Place::default(),
    }
}

/// A part of 18 mm ply with nothing but an outline.
pub fn part(name: &str, mark: &str, outline: Outline) -> Part {
    let around = outline.extents();
    Part {
        id: format!("bench-{}", name.replace(' ', "-")),
        mark: mark.into(),
        name: name.into(),
        quantity: 1,
        boards: Vec::new(),
        stock: 0,
        thick: mm(18),
        width: around.width(),
        height: around.height(),
        grain: Grain::AlongV,
        mirrored_of: None,
        pair: None,
        outline,
        inside: Vec::new(),
        inside_notes: Vec::new(),
        pockets: Vec::new(),
        holes: Vec::new(),
        bores: Vec::new(),
        bevels: Vec::new(),
        edges: Vec::new(),
        cuts: Vec::new(),
        finish: None,
        notes: Vec::new(),
        place: Place::default(),
    }
}

pub fn job(units: Units) -> Job {
    Job {
        titles: Titles {
            title: "Hall bench".into(),
            number: "HB-21".into(),
            date: "2026-04-14".into(),
            revision: "C".into(),
            ..Titles::default()
        },
        units,
        shop: Shop::default(),
        supply: Default::default(),
        stock: vec![Stock {
            name: "birch".into(),
            place: Place::default(),
            thick: mm(18),
            thick_place: Place::default(),
            called: Some("18 mm birch ply".into()),
            species: None,
            wood: Default::default(),
            form: StockForm::Sheet { width: mm(1220), length: mm(2440), grain: SheetGrain::AlongLength },
        }],
        things: Vec::new(),
        assemblies: vec![Assembly {
            name: "bench".into(),
            place: Place::default(),
            at: [Length::ZERO; 3],
            turns: 0,
            template: None,
        }],
        sheets: SheetChoices {
            paper: "a3".into(),
            asme: false,
            third_angle: false,
            units,
            step: Length::MM.half(),
            rule_marks: true,
            sections: Vec::new(),
        },
        full_size: FullSize::default(),
        service: Default::default(),
    }
}

/// A board of a part that fills `span` (in millimetres) and shows a side of the room.
pub fn placed(
    name: &str,
    index: Option<u32>,
    part: &Part,
    id: usize,
    span: [(i64, i64); 3],
    show: Side,
) -> Placed {
    let span = span.map(|(low, high)| Interval::between(mm(low), mm(high)));
    let frame = FaceFrame::of_plate(&span, show);
    let full = index.map_or(format!("bench.{name}"), |i| format!("bench.{name}[{i}]"));
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
        edges: Vec::new(),
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
        pockets: Vec::new(),
        holes: Vec::new(),
        edges: Vec::new(),
    };
    Placed { board, part: PartId(id), frame, solid }
}

pub const END: usize = 0;
pub const END_RIGHT: usize = 1;
pub const DIVIDER: usize = 2;
pub const RAIL: usize = 3;
pub const SHELF: usize = 4;

/// 1500 mm wide, 380 deep, 620 high at the ends.
pub fn bench(units: Units) -> Made {
    let eighth = std::f64::consts::FRAC_PI_8.tan();
    // The end from outside: front at the left of the right end. A quarter round of 120 mm at the front above, a hand hole,
    // a housing on the back, a hole right through and one from the back.
    let shape = [(0, 0, 0.0), (380, 0, 0.0), (380, 620, 0.0), (120, 620, eighth), (0, 500, 0.0)];
    let mut right = part("end right", "B2", outline(&shape));
    right.inside = vec![outline(&[(150, 500, 0.0), (250, 500, 1.0), (250, 535, 0.0), (150, 535, 1.0)])];
    right.pockets = vec![pocket(rectangle((0, 300), (380, 318)), 6, Face::Back, PocketKind::Housing)];
    right.holes = vec![hole(60, 80, 10, None, Face::Show), hole(320, 80, 8, Some(12), Face::Back)];
    let mirrored = |p: Point| Point::new(mm(380) - p.x, p.y);
    let mut left = part("end left", "B1", right.outline.mapped(mirrored, true));
    left.inside = right.inside.iter().map(|o| o.mapped(mirrored, true)).collect();
    left.pockets = right
        .pockets
        .iter()
        .map(|p| Pocket { outline: p.outline.mapped(mirrored, true), ..p.clone() })
        .collect();
    left.holes = right.holes.iter().map(|h| Hole { at: mirrored(h.at), ..h.clone() }).collect();
    (left.pair, right.pair, right.mirrored_of) = (Some(PartId(1)), Some(PartId(0)), Some(PartId(0)));

    let mut divider = part(
        "divider",
        "B3",
        outline(&[
            (0, 0, 0.0),
            (362, 0, 0.0),
            (362, 302, 0.0),
            (343, 302, 0.0),
            (343, 232, 0.0),
            (324, 232, 0.0),
            (324, 302, 0.0),
            (0, 302, 0.0),
        ]),
    );
    divider.quantity = 2;

    // 1464 long, its lower edge hollowed by 60 to an arc between straight ends of 100: bulge 2 × 60 / 1264.
    let bulge = -2.0 * 60.0 / 1264.0;
    let mut rail = part(
        "rail",
        "B4",
        outline(&[
            (0, 0, 0.0),
            (100, 0, bulge),
            (1364, 0, 0.0),
            (1464, 0, 0.0),
            (1464, 140, 0.0),
            (0, 140, 0.0),
        ]),
    );
    rail.grain = Grain::AlongU;
    let mut shelf = part("shelf", "B5", rectangle((0, 0), (1464, 362)));
    shelf.grain = Grain::AlongU;

    let mut parts = vec![left, right, divider, rail, shelf];
    let placed = vec![
        placed("end_left", None, &parts[END], END, [(0, 18), (0, 380), (0, 620)], Side::Left),
        placed(
            "end_right",
            None,
            &parts[END_RIGHT],
            END_RIGHT,
            [(1482, 1500), (0, 380), (0, 620)],
            Side::Right,
        ),
        placed("divider", Some(1), &parts[DIVIDER], DIVIDER, [(494, 512), (18, 380), (0, 302)], Side::Left),
        placed("divider", Some(2), &parts[DIVIDER], DIVIDER, [(988, 1006), (18, 380), (0, 302)], Side::Left),
        placed("rail", None, &parts[RAIL], RAIL, [(18, 1482), (37, 55), (162, 302)], Side::Front),
        placed("shelf", None, &parts[SHELF], SHELF, [(18, 1482), (18, 380), (302, 320)], Side::Top),
    ];
    for (index, part) in parts.iter_mut().enumerate() {
        let own = placed.iter().enumerate().filter(|(_, p)| p.part == PartId(index));
        part.boards = own.map(|(board, _)| BoardId(board)).collect();
    }
    let bay = |low: i64, high: i64| Opening {
        name: "bench.bay".into(),
        assembly: 0,
        span: [
            Interval { low: mm(low), high: mm(high) },
            Interval { low: mm(0), high: mm(380) },
            Interval { low: mm(0), high: mm(162) },
        ],
        front: Side::Front,
        holds: None,
        place: Place::default(),
    };
    let mut openings = vec![bay(18, 494), bay(512, 988), bay(1006, 1482)];
    for (index, opening) in openings.iter_mut().enumerate() {
        opening.name = format!("bench.bay[{}]", index + 1);
    }
    Made {
        job: job(units),
        parts,
        placed,
        joints: Vec::new(),
        fixings: Vec::new(),
        openings,
        steps: Vec::new(),
    }
}
