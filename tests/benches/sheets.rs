//! How long do all sheets of a job take, and does a run of twice as many bays take more than twice as long?
//!
//! The main sample, and a long bookcase of 100 and of 200 bays whose spec is written here: uprights spread along it, shelves
//! between them cut to four lengths in turn. What is drawn is asserted inside the loops.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use tickstick::diagnose::Diagnostic;
use tickstick::parts::Made;
use tickstick::plans::{self, Plans};
use tickstick::sheets::sheet_set;
use tickstick::spec::{SourceError, Sources};

/// Texts in memory.
struct Texts(BTreeMap<String, String>);

impl Sources for Texts {
    fn read(&self, path: &str) -> Result<String, SourceError> {
        self.0.get(path).cloned().ok_or(SourceError::NotFound)
    }
}

fn made(yaml: String) -> (Made, Plans) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let shop = std::fs::read_to_string(folder.join("shop.yaml")).expect("the shop of the samples");
    let texts = Texts(BTreeMap::from([("job.yaml".to_owned(), yaml), ("shop.yaml".to_owned(), shop)]));
    let (loaded, _) = tickstick::spec::read(&texts, "job.yaml", &[]);
    let (boards, _) = tickstick::boards::place(&loaded.spec);
    let (joints, _) = tickstick::joints::join(&boards);
    let (made, _) = tickstick::parts::make(boards, joints);
    let (plans, _) = plans::plan(&made);
    (made, plans)
}

fn nook() -> (Made, Plans) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/listening-nook.yaml");
    made(std::fs::read_to_string(path).expect("the main sample"))
}

/// An archive's shelving. Every bay has a shelf of its own height and depth, so that each is a part of its own: the number of
/// parts grows with the bays.
fn run(bays: usize) -> (Made, Plans) {
    let shelves: String = (1..=bays)
        .map(|i| {
            format!(
                "      shelf_{i}: {{stock: birch_18, faces: up, left: {}, right: {}, front: 0, back: {}, bottom: {}}}\n",
                (i - 1) * 400 + 18,
                i * 400,
                250 + i,
                300 + 3 * i,
            )
        })
        .collect();
    let uprights = bays + 1;
    made(format!(
        "job: {{title: Archive shelving, number: AS-{bays}}}\nunits: mm\ninclude: [shop.yaml]\nassemblies:\n  run:\n    parts:\n      \
         upright: {{stock: birch_18, faces: side, count: {uprights}, left: (i - 1) * 400 mm, front: 0, back: 500, bottom: 0, top: 1200}}\n\
         {shelves}"
    ))
}

fn sheets(job: &(Made, Plans)) -> usize {
    sheet_set(&job.0, &job.1, &[] as &[Diagnostic]).len()
}

fn once(job: &(Made, Plans)) -> (Duration, usize) {
    let all = (0..3).map(|_| {
        let start = Instant::now();
        let count = sheets(job);
        (start.elapsed(), count)
    });
    all.min().expect("three times")
}

fn benches(criterion: &mut Criterion) {
    let (sample, half, whole) = (nook(), run(100), run(200));
    assert_eq!(half.0.parts.len(), 101);
    assert_eq!(whole.0.parts.len(), 201);
    let mut group = criterion.benchmark_group("all sheets");
    group.sample_size(10);
    for (name, job, least) in
        [("listening nook", &sample, 20), ("100 bays", &half, 30), ("200 bays", &whole, 60)]
    {
        group.bench_function(name, |bench| {
            bench.iter(|| {
                let count = sheets(job);
                assert!(count > least, "{name}: {count} sheets");
            });
        });
    }
    group.finish();
    for (name, job) in [("listening nook", &sample), ("100 bays", &half), ("200 bays", &whole)] {
        let (time, count) = once(job);
        println!("{name}: {} parts, {count} sheets, {:?} a sheet", job.0.parts.len(), time / count as u32);
    }
    let ratio = once(&whole).0.as_secs_f64() / once(&half).0.as_secs_f64();
    println!("200 bays to 100 bays: {ratio:.2}");
    // Twice the parts are twice the work, and a fifth more for a noisy machine.
    assert!(ratio < 2.4, "twice the parts take {ratio:.2} times as long");
}

criterion_group!(all, benches);
criterion_main!(all);
