//! How long do two hundred dividers on three rails take: to prove that no two share space, and to draw?
//!
//! Every divider is notched round the rails and rounded in front; results are asserted inside the loops.

use criterion::{Criterion, criterion_group, criterion_main};
use tickstick::length::{Interval, Length};
use tickstick::shape::clash::shared_volume;
use tickstick::shape::cut;
use tickstick::shape::shell::Shell;
use tickstick::shape::solid::{Arris, EdgeShape, Profile, Solid};
use tickstick::shape::view::{Projection, section_view, view};
use tickstick::shape::{Outline, Point};
use tickstick::trade::{FaceFrame, Side};

fn mm(value: i64) -> Length {
    Length::MM * value
}

fn board(low: [i64; 3], high: [i64; 3], show: Side) -> Solid {
    let span = [0, 1, 2].map(|axis| Interval { low: mm(low[axis]), high: mm(high[axis]) });
    let frame = FaceFrame::of_plate(&span, show);
    let size = |side: Side| span[side.axis().index()].size();
    let high = Point::new(size(frame.u), size(frame.v));
    Solid::plate(
        frame,
        size(frame.into),
        Outline::rectangle(Point::default(), high).expect("a board has size"),
    )
}

/// Three rails through 197 dividers.
fn bench_of_dividers() -> Vec<Solid> {
    let rails = [(0, 20), (140, 160), (280, 300)];
    let mut all: Vec<Solid> = rails
        .iter()
        .map(|(front, back)| board([0, *front, 370], [20_000, *back, 450], Side::Front))
        .collect();
    for index in 0..197 {
        let left = 100 + index * 100;
        let mut divider = board([left, 0, 0], [left + 18, 300, 450], Side::Left);
        let at = |x, y| Point::new(mm(x), mm(y));
        for (front, back) in rails {
            // Seen from the left u runs from the back to the front.
            let notch =
                Outline::rectangle(at(300 - back, 370), at(300 - front, 450)).expect("a notch has size");
            divider.outline = cut::subtract(&divider.through(), &notch).expect("sound").remove(0).outline;
        }
        let profile = Profile::Round { radius: mm(3) };
        divider.edges.push(EdgeShape { from: at(300, 0), to: at(300, 450), profile, arris: Arris::Both });
        all.push(divider);
    }
    all
}

fn benches(criterion: &mut Criterion) {
    let solids = bench_of_dividers();
    let mut group = criterion.benchmark_group("200 boards");
    group.sample_size(10);
    group.bench_function("no two share space", |bench| {
        bench.iter(|| {
            for (index, one) in solids.iter().enumerate() {
                assert!(solids[index + 1..].iter().all(|other| shared_volume(one, other).is_none()));
            }
        })
    });
    group.bench_function("shells", |bench| {
        bench.iter(|| solids.iter().map(|solid| Shell::of(solid).expect("sound").faces.len()).sum::<usize>())
    });
    let shells: Vec<Shell> = solids.iter().map(|solid| Shell::of(solid).expect("sound")).collect();
    for (name, look) in [
        ("front view", Projection::of(Side::Front)),
        ("side view", Projection::of(Side::Left)),
        ("isometric view", Projection::isometric(Side::Front, Side::Right)),
    ] {
        group.bench_function(name, |bench| {
            bench.iter(|| assert!(view(&shells, &look).iter().any(|line| line.visible)))
        });
    }
    let all: Vec<&Solid> = solids.iter().collect();
    group.bench_function("section view", |bench| {
        bench.iter(|| assert_eq!(section_view(&all, Side::Front, mm(150)).expect("sound").cut.len(), 198))
    });
    group.finish();
}

criterion_group!(shape, benches);
criterion_main!(shape);
