//! Drawings cut to a rectangle: lengths and places by arithmetic.

use proptest::prelude::*;
use tickstick::drawing::paper::Area;
use tickstick::drawing::{Ink, LineType, Mark, Step, circle, line, rectangle};
use tickstick::fullsize::clip::clipped;
use tickstick::shape::Arc;

fn length(mark: &Mark) -> f64 {
    let Mark::Stroke { path, .. } = mark else { panic!("a stroke") };
    let (mut start, mut at, mut sum) = ((0.0, 0.0), (0.0, 0.0), 0.0);
    let apart = |a: (f64, f64), b: (f64, f64)| (b.0 - a.0).hypot(b.1 - a.1);
    for step in path {
        match *step {
            Step::Move(to) => (start, at) = (to, to),
            Step::Line(to) => {
                sum += apart(at, to);
                at = to;
            }
            Step::Arc(to, bulge) => {
                sum += Arc::between(at, to, bulge).map_or(apart(at, to), |arc| arc.radius * arc.sweep.abs());
                at = to;
            }
            Step::Close => {
                sum += apart(at, start);
                at = start;
            }
        }
    }
    sum
}

fn area(low: (f64, f64), high: (f64, f64)) -> Area {
    Area { low, high }
}

fn stroke(path: Vec<Step>) -> Mark {
    Mark::Stroke { path, line: LineType::Visible }
}

#[test]
fn a_line_ends_where_it_leaves() {
    // From (-10, 0) with slope 1/2: enters x = 0 at y = 5, leaves y = 10 at x = 10.
    let cut = clipped(&line((-10.0, 0.0), (30.0, 20.0), LineType::Visible), &area((0.0, 0.0), (20.0, 10.0)))
        .unwrap();
    assert_eq!(cut, line((0.0, 5.0), (10.0, 10.0), LineType::Visible));
    assert_eq!(
        clipped(&line((-5.0, 3.0), (-1.0, 3.0), LineType::Visible), &area((0.0, 0.0), (9.0, 9.0))),
        None
    );
    // Along the border counts as inside, on both pages.
    let border = line((0.0, 1.0), (0.0, 5.0), LineType::Visible);
    assert_eq!(clipped(&border, &area((0.0, 0.0), (9.0, 9.0))), Some(border.clone()));
    assert_eq!(clipped(&border, &area((-9.0, 0.0), (0.0, 9.0))), Some(border));
}

#[test]
fn a_circle_keeps_its_radius_and_comes_back_in_pieces() {
    // Radius 10 about (0, 0) in a strip |x| ≤ 5: two arcs of 60° each, above and below: 2 · 10 · π/3.
    let cut = clipped(&stroke(circle((0.0, 0.0), 10.0)), &area((-5.0, -20.0), (5.0, 20.0))).unwrap();
    assert!((length(&cut) - 20.0 * std::f64::consts::FRAC_PI_3).abs() < 1e-9, "{}", length(&cut));
    let Mark::Stroke { path, .. } = &cut else { panic!() };
    assert_eq!(path.iter().filter(|s| matches!(s, Step::Move(_))).count(), 2);
    let whole = stroke(circle((3.0, 4.0), 2.0));
    assert_eq!(clipped(&whole, &area((0.0, 0.0), (9.0, 9.0))), Some(whole));
}

#[test]
fn a_filled_area_is_cut_to_the_rectangle() {
    let fill = |path| Mark::Fill { path, ink: Ink::Black };
    let cut = clipped(&fill(rectangle((-5.0, -5.0), (5.0, 5.0))), &area((0.0, 0.0), (9.0, 9.0))).unwrap();
    let Mark::Fill { path, .. } = cut else { panic!() };
    let points: Vec<_> = path
        .iter()
        .filter_map(|s| match s {
            Step::Move(p) | Step::Line(p) => Some(*p),
            _ => None,
        })
        .collect();
    assert_eq!(points.len(), 4);
    for corner in [(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0)] {
        assert!(points.contains(&corner), "{corner:?} in {points:?}");
    }
}

proptest! {
    /// Cells that lie side by side hold every line once: their lengths add up.
    #[test]
    fn cells_share_out_every_line(
        points in prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64, -1.5..1.5f64), 3..8),
        closed: bool,
        x in -40.0..40.0f64,
        y in -40.0..40.0f64,
    ) {
        let mut path = vec![Step::Move((points[0].0, points[0].1))];
        for (px, py, bulge) in &points[1..] {
            path.push(if bulge.abs() < 0.3 { Step::Line((*px, *py)) } else { Step::Arc((*px, *py), *bulge) });
        }
        if closed {
            path.push(Step::Close);
        }
        let whole = stroke(path);
        let far = 1000.0;
        let cells = [
            area((-far, -far), (x, y)), area((x, -far), (far, y)), area((-far, y), (x, far)), area((x, y), (far, far)),
        ];
        let sum: f64 = cells.iter().filter_map(|cell| clipped(&whole, cell)).map(|mark| length(&mark)).sum();
        // A piece shorter than 0.02 mm is left out, at most once at every place where a line meets a border.
        prop_assert!((sum - length(&whole)).abs() < 0.02 * 40.0);
        prop_assert!((sum - length(&whole)).abs() < 1e-6 || sum < length(&whole));
        for cell in &cells {
            if let Some(Mark::Stroke { path, .. }) = clipped(&whole, cell) {
                for step in path {
                    if let Step::Move(p) | Step::Line(p) | Step::Arc(p, _) = step {
                        prop_assert!(p.0 >= cell.low.0 - 1e-9 && p.0 <= cell.high.0 + 1e-9);
                        prop_assert!(p.1 >= cell.low.1 - 1e-9 && p.1 <= cell.high.1 + 1e-9);
                    }
                }
            }
        }
    }
}
