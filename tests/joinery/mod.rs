//! Joints, parts and checks on boards placed by hand, so that no other stage has a say in the result.

mod checks;
mod fixings;
mod housings;
mod notches;
mod parts;
mod properties;

use tickstick::boards::*;
use tickstick::checks::check;
use tickstick::diagnose::{Diagnostic, Place};
use tickstick::joints::{Joints, join};
use tickstick::length::{Interval, Length};
use tickstick::parts::{Made, make};
use tickstick::shape::{Outline, Point};
use tickstick::trade::{Axis, FaceFrame, Grain, Side, Units};
use tickstick::values::*;

/// A length of so many inches; exact for sixty-fourths and thousandths.
pub fn inch(inches: f64) -> Length {
    Length::from_units((inches * 2_032_000.0).round() as i64)
}

pub fn mm(millimetres: f64) -> Length {
    Length::from_units((millimetres * 80_000.0).round() as i64)
}

pub fn point(x: f64, y: f64) -> Point {
    Point::new(inch(x), inch(y))
}

/// Square millimetres of so many square inches.
pub fn square_inches(area: f64) -> f64 {
    area * 25.4 * 25.4
}

pub fn close(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-6 * expected.abs().max(1.0)
}

/// Boards of one assembly called `bench`, put together by hand.
pub struct Shop {
    pub boards: Boards,
    line: u32,
}

/// Three intervals in inches: left to right, front to back, bottom to top.
pub type Box3 = [(f64, f64); 3];

impl Shop {
    pub fn new() -> Shop {
        let job = Job {
            titles: Titles::default(),
            units: Units::Inch,
            shop: Default::default(),
            stock: Vec::new(),
            things: Vec::new(),
            assemblies: Vec::new(),
            sheets: SheetChoices {
                paper: "tabloid".into(),
                asme: true,
                third_angle: true,
                units: Units::Inch,
                step: inch(1.0 / 32.0),
                rule_marks: true,
                sections: Vec::new(),
            },
            full_size: Default::default(),
            service: Default::default(),
            supply: Default::default(),
        };
        let boards = Boards { job, boards: vec![], openings: vec![], asked: vec![], steps: vec![] };
        let mut shop = Shop { boards, line: 0 };
        shop.assembly("bench");
        shop
    }

    pub fn assembly(&mut self, name: &str) -> usize {
        let place = self.next_place();
        self.boards.job.assemblies.push(Assembly {
            name: name.into(),
            place,
            at: [Length::ZERO; 3],
            turns: 0,
            template: None,
        });
        self.boards.job.assemblies.len() - 1
    }

    /// Every line of the imagined spec has a place of its own.
    pub fn next_place(&mut self) -> Place {
        self.line += 10;
        Place { file: 0, start: self.line, end: self.line + 5 }
    }

    fn stock(&mut self, thick: Length) -> usize {
        if let Some(known) = self.boards.job.stock.iter().position(|stock| stock.thick == thick) {
            return known;
        }
        let place = self.next_place();
        self.boards.job.stock.push(Stock {
            name: format!("stock_{}", self.boards.job.stock.len()),
            place,
            thick,
            thick_place: place,
            called: None,
            species: None,
            wood: Default::default(),
            form: StockForm::Sheet { width: inch(48.0), length: inch(96.0), grain: SheetGrain::AlongLength },
        });
        self.boards.job.stock.len() - 1
    }

    /// A board that shows this side; its grain runs along the longer way of its face.
    pub fn board(&mut self, name: &str, span: Box3, show: Side) -> BoardId {
        let span = span.map(|(low, high)| Interval { low: inch(low), high: inch(high) });
        self.board_exactly(name, span, show)
    }

    pub fn board_exactly(&mut self, name: &str, span: [Interval; 3], show: Side) -> BoardId {
        let place = self.next_place();
        let frame = FaceFrame::of_plate(&span, show);
        let (width, height) = (span[frame.u.axis().index()].size(), span[frame.v.axis().index()].size());
        let stock = self.stock(span[show.axis().index()].size());
        let assembly = self.boards.job.assemblies.len() - 1;
        let (entry, index) = match name.split_once('[') {
            Some((entry, rest)) => (entry.to_string(), rest.trim_end_matches(']').parse().ok()),
            None => (name.to_string(), None),
        };
        self.boards.boards.push(Board {
            name: format!("{}.{name}", self.boards.job.assemblies[assembly].name),
            assembly,
            entry,
            index,
            place,
            stock,
            span,
            frame,
            grain: if width > height { Grain::AlongU } else { Grain::AlongV },
            outline: Outline::rectangle(Point::default(), Point::new(width, height)).unwrap(),
            inside: vec![],
            inside_notes: vec![],
            cutouts: vec![],
            pockets: vec![],
            holes: vec![],
            edges: vec![],
            held_by: None,
            load: None,
            finish: None,
            note: None,
        });
        BoardId(self.boards.boards.len() - 1)
    }

    pub fn of(&mut self, id: BoardId) -> &mut Board {
        &mut self.boards.boards[id.0]
    }

    /// Gives the edge of a board that looks to this side a profile.
    pub fn edge(&mut self, id: BoardId, side: Side, profile: Profile, arris: Arris) {
        let place = self.next_place();
        let board = self.of(id);
        let high = board.outline.extents().high;
        let (w, h) = (high.x, high.y);
        let corners =
            [Point::default(), Point::new(w, Length::ZERO), Point::new(w, h), Point::new(Length::ZERO, h)];
        let first = match side {
            _ if side == board.frame.v.opposite() => 0,
            _ if side == board.frame.u => 1,
            _ if side == board.frame.v => 2,
            _ => 3,
        };
        board.edges.push(Edge {
            side,
            from: corners[first],
            to: corners[(first + 1) % 4],
            profile: Some((profile, arris)),
            scribe: Length::ZERO,
            finish: None,
            place,
        });
    }

    pub fn ask(&mut self, joint: Verb, first: BoardId, second: BoardId) -> &mut Asked {
        let place = self.next_place();
        self.boards.asked.push(Asked {
            joint,
            first,
            second: Other::Board(second),
            fit: Length::ZERO,
            stopped: vec![],
            cut_from: None,
            fix: vec![],
            note: None,
            place,
            one_of_many: false,
        });
        self.boards.asked.last_mut().unwrap()
    }

    pub fn join(&self) -> (Joints, Vec<Diagnostic>) {
        let (joints, faults) = join(&self.boards);
        (joints, faults.into_sorted())
    }

    /// Joints that must raise no fault.
    pub fn joined(&self) -> Joints {
        let (joints, faults) = self.join();
        assert_eq!(faults, vec![]);
        joints
    }

    pub fn made(&self) -> Made {
        let joints = self.joined();
        let (made, faults) = make(self.boards.clone(), joints);
        assert_eq!(faults.into_sorted(), vec![]);
        made
    }

    /// What all checks say, joints included.
    pub fn checked(&self) -> Vec<Diagnostic> {
        let (joints, mut faults) = join(&self.boards);
        let (made, more) = make(self.boards.clone(), joints);
        faults.extend(more.into_sorted());
        faults.extend(check(&made).into_sorted());
        faults.into_sorted()
    }

    pub fn names(&self) -> Vec<&'static str> {
        self.checked().into_iter().map(|fault| fault.check).collect()
    }
}

pub fn fix(by: FixingKind) -> Fix {
    Fix {
        by,
        length: None,
        diameter: None,
        gauge: None,
        count: None,
        spacing: None,
        ends: None,
        from: None,
        slots: false,
        place: Place { file: 0, start: 900_000, end: 900_005 },
    }
}

/// Area of the outline less its openings, mm².
pub fn area_of(joints: &Joints, id: BoardId) -> f64 {
    let worked = &joints.worked[id.0];
    let inside: f64 = worked.inside.iter().map(Outline::area_mm2).sum();
    worked.outline.as_ref().unwrap().area_mm2() - inside
}
