//! Router templates: published examples of collars, random shapes, whole jobs, and what other programs read back.

mod guide;
mod made;
mod paper;
mod properties;

use tickstick::diagnose::Diagnostic;
use tickstick::jigs::{Jig, jigs};
use tickstick::joints::join;
use tickstick::length::Length;
use tickstick::parts::{self, Made};
use tickstick::shape::{Outline, Point};

pub fn mm(n: i64) -> Length {
    Length::MM * n
}

pub fn sixteenths(n: i64) -> Length {
    Length::from_units(Length::INCH.units() / 16 * n)
}

pub fn rectangle(low: (i64, i64), high: (i64, i64)) -> Outline {
    Outline::rectangle(Point::new(mm(low.0), mm(low.1)), Point::new(mm(high.0), mm(high.1))).unwrap()
}

/// A spec from text to its templates and what is wrong with them.
pub fn job(yaml: &str) -> (Made, Vec<Jig>, Vec<Diagnostic>) {
    let (boards, faults) = crate::boards::laid(yaml);
    assert!(faults.is_empty(), "{faults:#?}");
    let (joints, faults) = join(&boards);
    assert!(faults.into_sorted().is_empty());
    let (made, _) = parts::make(boards, joints);
    let (all, faults) = jigs(&made);
    (made, all, faults)
}

/// A case for a stage monitor: two unlike sides, a shelf housed in them, cut-outs, notches and an arch.
pub const RACK: &str = "\
job: {title: Stage rack, number: SR-3, date: 2026-04-01, revision: A}
units: mm
shop: {bit: 6 mm, router_base: 150 mm, printers: {plot: {paper: a1}}}
stock: {ply: {sheet: [1220 mm, 2440 mm], thick: 18 mm, grain: long}}
assemblies:
  rack:
    parts:
      side_left:
        {stock: ply, faces: side, show: right, left: 0, front: 0, depth: 400 mm, bottom: 0, height: 900 mm, grain: up, held_by: floor,
         arch: [{edge: top, rise: 40 mm}],
         cutouts: {grip: {front: 120 mm, depth: 100 mm, bottom: 700 mm, height: 40 mm, radius: 12 mm},
                   hatch: {front: 100 mm, depth: 80 mm, bottom: 100 mm, height: 60 mm, deep: 9 mm}}}
      side_right:
        {stock: ply, faces: side, show: left, right: 800 mm, front: 0, depth: 400 mm, bottom: 0, height: 900 mm, grain: up, held_by: floor}
      shelf: {stock: ply, faces: up, left: side_left.right - 6 mm, right: side_right.left + 6 mm, front: 20 mm, back: 400 mm,
              bottom: 300 mm, grain: across}
    joints:
      - {house: shelf, in: [side_left, side_right], fix: glue}
templates:
  - {router: rack.side_left, opening: grip, bit: 6 mm, collar: 15 mm}
  - {router: rack.side_left, edge: top, bit: 9 mm, collar: 15 mm}
  - {router: rack.side_left, opening: hatch, bit: 6 mm, collar: 10 mm, corners: relieve}
  - {router: rack.side_left, housing: shelf, bit: 12 mm, collar: 16 mm}
  - {router: rack.side_right, whole: yes, bit: 12 mm, bearing: top}
";
