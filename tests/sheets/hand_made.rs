//! Parts and whole jobs made by hand, so that sheets can be tested without any earlier stage.

use tickstick::boards::{BoardId, Hole, HoleKind, Pocket, PocketKind};
use tickstick::diagnose::Place;
use tickstick::length::Length;
use tickstick::parts::Part;
use tickstick::shape::{Outline, Point, Vertex};
use tickstick::trade::{Face, Grain, Units};
use tickstick::values::{Assembly, Job, SheetChoices, SheetGrain, Shop, Stock, StockForm, Titles};

/// A length in 1/1000".
pub fn thou(n: i64) -> Length {
    Length::from_units(2_032 * n)
}

/// A length in 1/64".
pub fn sixty_fourths(n: i64) -> Length {
    Length::from_units(31_750 * n)
}

pub fn inch(n: i64) -> Length {
    Length::INCH * n
}

pub fn mm(n: i64) -> Length {
    Length::MM * n
}

pub fn point(x: Length, y: Length) -> Point {
    Point::new(x, y)
}

/// An outline of straight lines through points.
pub fn straight(points: &[(Length, Length)]) -> Outline {
    bent(&points.iter().map(|(x, y)| (*x, *y, 0.0)).collect::<Vec<_>>())
}

/// An outline with bulges.
pub fn bent(points: &[(Length, Length, f64)]) -> Outline {
    let vertices = points.iter().map(|(x, y, bulge)| Vertex { at: point(*x, *y), bulge: *bulge });
    Outline::new(vertices.collect()).expect("made by hand")
}

pub fn rectangle(x: Length, y: Length, width: Length, height: Length) -> Outline {
    Outline::rectangle(point(x, y), point(x + width, y + height)).expect("made by hand")
}

pub fn job(units: Units) -> Job {
    let step = match units {
        Units::Inch => sixty_fourths(2),
        Units::Millimetre => Length::MM.half(),
    };
    Job {
        titles: Titles {
            title: "Listening nook".into(),
            number: "LN-07".into(),
            client: "Harbour Lane Radio".into(),
            site: "Studio corner".into(),
            date: "2026-03-02".into(),
            revision: "A".into(),
            shop: "Quay Street Joinery".into(),
            drawn_by: "tickstick".into(),
            measured: String::new(),
            approved_by: String::new(),
        },
        units,
        shop: Shop::default(),
        supply: Default::default(),
        stock: vec![
            Stock {
                name: "birch".into(),
                place: Place::default(),
                thick: thou(709),
                thick_place: Place::default(),
                called: Some("3/4 birch ply".into()),
                species: None,
                wood: Default::default(),
                form: StockForm::Sheet { width: inch(48), length: inch(96), grain: SheetGrain::AlongLength },
            },
            Stock {
                name: "ash".into(),
                place: Place::default(),
                thick: inch(1) + thou(250),
                thick_place: Place::default(),
                called: Some("6/4 ash".into()),
                species: Some("white ash".into()),
                wood: Default::default(),
                form: StockForm::Solid { widths: Vec::new(), lengths: Vec::new(), glue_up: true },
            },
        ],
        things: Vec::new(),
        assemblies: vec![Assembly {
            name: "bench".into(),
            place: Place::default(),
            at: [Length::ZERO; 3],
            turns: 0,
            template: None,
        }],
        sheets: SheetChoices {
            rule_marks: units == Units::Inch,
            sections: Vec::new(),
            paper: if units == Units::Inch { "tabloid" } else { "a3" }.into(),
            asme: units == Units::Inch,
            third_angle: units == Units::Inch,
            units,
            step,
        },
        full_size: Default::default(),
        service: Default::default(),
    }
}

/// A part with nothing but its outline.
pub fn part(name: &str, outline: Outline, thick: Length) -> Part {
    let extents = outline.extents();
    Part {
        id: format!("bench-{name}"),
        mark: "B1".into(),
        name: name.into(),
        quantity: 1,
        boards: vec![BoardId(0)],
        stock: 0,
        thick,
        width: extents.high.x,
        height: extents.high.y,
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

pub fn hole(x: Length, y: Length, diameter: Length, depth: Option<Length>, from: Face) -> Hole {
    Hole {
        at: point(x, y),
        diameter,
        depth,
        from,
        countersink: None,
        slot: None,
        why: HoleKind::Asked,
        note: None,
        place: Place::default(),
    }
}

pub fn pocket(outline: Outline, depth: Length, from: Face, kind: PocketKind) -> Pocket {
    Pocket { outline, depth, from, kind, note: None, place: Place::default() }
}
