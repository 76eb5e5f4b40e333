//! Random shapes: what the router leaves when it follows the template is what was asked, less what no round tool can do.

use proptest::prelude::*;
use tickstick::jigs::guide::{Cuts, Shape, Tool, Trouble, follow, relieved};
use tickstick::length::Length;
use tickstick::shape::cut::{offset_whole, union};
use tickstick::shape::grow::is_simple;
use tickstick::shape::make::rounded_rectangle;
use tickstick::shape::{Outline, Point};

use super::{mm, rectangle};

const STEP: Length = Length::from_units(40_000);
/// What a round tool of radius 1 leaves in a square corner.
const FILLET: f64 = 1.0 - std::f64::consts::FRAC_PI_4;

/// Two rectangles that overlap, as one outline on a grid of `gap` mm, so that nothing is narrower than that.
fn two(gap: i64) -> impl Strategy<Value = Option<Outline>> {
    let side = || 2..9_i64;
    (side(), side(), 0..6_i64, 0..6_i64, side(), side()).prop_map(move |(w, h, x, y, w2, h2)| {
        let at = |low: (i64, i64), size: (i64, i64)| {
            rectangle((low.0 * gap, low.1 * gap), ((low.0 + size.0) * gap, (low.1 + size.1) * gap))
        };
        let mut plates = union(&[at((0, 0), (w, h)), at((x, y), (w2, h2))]).ok()?;
        let only = plates.pop()?;
        (plates.is_empty() && only.inside.is_empty()).then_some(only.outline)
    })
}

/// Square corners of an outline along the axes, by the way that it turns: left, right.
fn turns(outline: &Outline) -> (usize, usize) {
    let all: Vec<(i64, i64)> = outline
        .segments()
        .map(|(from, to)| ((to.x - from.at.x).units().signum(), (to.y - from.at.y).units().signum()))
        .collect();
    let next = all.iter().cycle().skip(1);
    let crosses: Vec<i64> = all.iter().zip(next).map(|(a, b)| a.0 * b.1 - a.1 * b.0).collect();
    (crosses.iter().filter(|c| **c > 0).count(), crosses.iter().filter(|c| **c < 0).count())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// A bit with a bearing in an opening: all is cut but a fillet in each inside corner.
    #[test]
    fn an_opening_is_cut_whole(hole in two(20), bit in 4..20_i64) {
        let Some(hole) = hole else { return Ok(()) };
        let (inside, _) = turns(&hole);
        let tool = Tool { bit: mm(bit), follower: mm(bit) };
        let (line, corners) = follow(&Shape::whole(hole.clone(), Cuts::Inside), tool, STEP).expect("nothing is too narrow");
        prop_assert!(is_simple(&line));
        prop_assert_eq!(corners.len(), inside);
        let path = offset_whole(&line, -mm(bit).half()).expect("room for the bit");
        let cut = offset_whole(&path, mm(bit).half()).expect("a cut");
        let radius = bit as f64 / 2.0;
        let wanted = hole.area_mm2() - inside as f64 * FILLET * radius * radius;
        prop_assert!((cut.area_mm2() - wanted).abs() < 1e-3, "{} {}", cut.area_mm2(), wanted);
        for (from, _) in cut.segments() {
            let at = from.at.to_mm();
            prop_assert!(hole.distance_mm(at) < 1e-3, "{:?} is no place of the finished line", at);
        }
    }

    /// The same round the outside of a part.
    #[test]
    fn a_part_is_trimmed_whole(part in two(20), bit in 4..20_i64) {
        let Some(part) = part else { return Ok(()) };
        let (_, inside) = turns(&part);
        let tool = Tool { bit: mm(bit), follower: mm(bit) };
        let (line, corners) = follow(&Shape::whole(part.clone(), Cuts::Outside), tool, STEP).expect("nothing is too narrow");
        prop_assert!(is_simple(&line));
        prop_assert_eq!(corners.len(), inside);
        let radius = bit as f64 / 2.0;
        let wanted = part.area_mm2() + inside as f64 * FILLET * radius * radius;
        prop_assert!((line.area_mm2() - wanted).abs() < 1e-3, "{} {}", line.area_mm2(), wanted);
    }

    /// A collar in an opening with round corners: everything moves out by the offset, whatever the sizes; a radius that the bit
    /// does not go into is refused.
    #[test]
    fn round_corners_stay_concentric(w in 40..200_i64, h in 40..200_i64, r in 1..20_i64, bit in 4..24_i64, more in 1..20_i64) {
        let hole = rounded_rectangle(Point::default(), Point::new(mm(w), mm(h)), mm(r)).expect("it fits");
        let tool = Tool { bit: mm(bit), follower: mm(bit + more) };
        let found = follow(&Shape::whole(hole, Cuts::Inside), tool, STEP);
        if 2 * r < bit {
            let refused = matches!(found, Err(Trouble::InsideRadius { .. }));
            prop_assert!(refused);
            return Ok(());
        }
        let (line, corners) = found.expect("the bit goes in");
        prop_assert!(corners.is_empty() && is_simple(&line));
        let o = more as f64 / 2.0;
        let (w, h, r) = (w as f64 + 2.0 * o, h as f64 + 2.0 * o, r as f64 + o);
        let wanted = w * h - (4.0 - std::f64::consts::PI) * r * r;
        prop_assert!((line.area_mm2() - wanted).abs() < 2e-3, "{} {}", line.area_mm2(), wanted);
        prop_assert!((line.extents().width().to_mm() - w).abs() < 1e-4);
    }

    /// Out and in again gives back every outline whose inside corners are no smaller than the distance.
    #[test]
    fn out_and_in_returns_the_shape(w in 40..200_i64, h in 40..200_i64, r in 1..20_i64, by in 1..30_i64) {
        let shape = rounded_rectangle(Point::default(), Point::new(mm(w), mm(h)), mm(r)).expect("it fits");
        let out = offset_whole(&shape, mm(by)).expect("room outside");
        let back = offset_whole(&out, -mm(by)).expect("back again");
        prop_assert!((back.area_mm2() - shape.area_mm2()).abs() < 1e-3);
        for (from, _) in back.segments() {
            prop_assert!(shape.distance_mm(from.at.to_mm()) < 1e-4);
        }
    }

    /// Relieved templates never touch themselves, and the relief reaches no further than a bit needs.
    #[test]
    fn relief_is_simple(hole in two(30), bit in 4..14_i64) {
        let Some(hole) = hole else { return Ok(()) };
        let tool = Tool { bit: mm(bit), follower: mm(bit) };
        let (line, corners) = follow(&Shape::whole(hole.clone(), Cuts::Inside), tool, STEP).expect("it fits");
        let bones = relieved(&line, &corners, tool, Cuts::Inside).expect("room for the relief");
        prop_assert!(is_simple(&bones));
        let r = bit as f64 / 2.0;
        for (from, _) in bones.segments() {
            let at = from.at;
            if !hole.contains(at) {
                // Beyond a wall by r − r/√2 at most.
                prop_assert!(hole.distance_mm(at.to_mm()) < r * (1.0 - std::f64::consts::FRAC_1_SQRT_2) + 1e-3);
            }
        }
        for corner in &corners {
            prop_assert!(bones.distance_mm(corner.at.to_mm()) < 1e-3, "{:?} is not reached", corner.at);
        }
    }
}
