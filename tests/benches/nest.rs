//! How few sheets and sticks, and how long it takes.
//!
//! `cargo bench --bench nest` times three named requests. `cargo bench --bench nest -- table [EFFORT]` lays out every published
//! instance in tests/data and prints one line a class: sheets without turning (O) and with (R), fewest known and bound, mean
//! time; `-- sticks [EFFORT]` does so for the one-dimensional ones. Both fail where a result is worse than promised.

use std::hint::black_box;
use std::time::Instant;

use criterion::Criterion;
use tickstick::plans::nest::{Item, Options, Stock, lay_out};
use tickstick::plans::sticks;

/// Berkey and Wang (1987), Martello and Vigo (1998).
const CLASSES: [(&str, &str); 5] = [
    ("01", include_str!("../data/bpp2d_class01.csv")),
    ("03", include_str!("../data/bpp2d_class03.csv")),
    ("05", include_str!("../data/bpp2d_class05.csv")),
    ("07", include_str!("../data/bpp2d_class07.csv")),
    ("09", include_str!("../data/bpp2d_class09.csv")),
];
/// Falkenauer (1996), OR-Library.
const RODS: [(&str, &str); 2] = [
    ("uniform", include_str!("../data/csp1d_falkenauer_u.csv")),
    ("triplet", include_str!("../data/csp1d_falkenauer_t.csv")),
];

fn number(field: &str) -> i64 {
    field.parse().expect("the tables hold whole numbers")
}

fn items(fields: &str, may_turn: bool) -> Vec<Item> {
    let item = |text: &str| {
        let (size, count) = text.split_once('*').unwrap_or((text, "1"));
        let (width, height) = size.split_once('x').expect("a size is WxH");
        Item { width: number(width), height: number(height), quantity: number(count) as u32, may_turn }
    };
    fields.split(' ').map(item).collect()
}

fn table(effort: u32) {
    println!("effort {effort}\nclass    O known bound    ms      R known bound    ms");
    let (mut all, mut bounds) = ([0; 2], [0; 2]);
    for (class, text) in CLASSES {
        print!("{class:>5}");
        for may_turn in [false, true] {
            let (mut sheets, mut known, mut bound, mut count) = (0, 0, 0, 0);
            let begin = Instant::now();
            for line in text.lines().skip(1) {
                let fields: Vec<&str> = line.split(',').collect();
                let stock = [Stock::sheet(number(fields[1]), number(fields[2]), 0)];
                let options = Options { effort, ..Options::default() };
                let layout = lay_out(&items(fields[11], may_turn), &stock, &options).expect("a layout");
                let listed = number(fields[if may_turn { 8 } else { 5 }]) as usize;
                sheets += layout.sheets.len();
                known += number(fields[if may_turn { 10 } else { 7 }]) as usize;
                bound += layout.bound.max(listed);
                count += 1;
            }
            let mean = begin.elapsed().as_secs_f64() * 1e3 / f64::from(count);
            print!(" {sheets:>4} {known:>5} {bound:>5} {mean:>5.0}  ");
            all[usize::from(may_turn)] += sheets;
            bounds[usize::from(may_turn)] += bound;
        }
        println!();
    }
    let ratio = |at: usize| all[at] as f64 / bounds[at] as f64;
    println!("  all {:>4}        {:.4}        {:>4}        {:.4}", all[0], ratio(0), all[1], ratio(1));
    assert!(ratio(1) <= 1.019, "with turning, sheets over bounds");
    assert!(ratio(0) <= 1.019, "without turning, sheets over bounds");
}

fn rods(effort: u32) {
    println!("effort {effort}\nclass    pieces sticks known    ms most");
    for (class, text) in RODS {
        let mut lines: Vec<(usize, usize, usize, f64)> = Vec::new();
        for line in text.lines().skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let piece = |text: &str| {
                let (length, count) = text.split_once('*').unwrap_or((text, "1"));
                sticks::Piece { length: number(length), quantity: number(count) as u32 }
            };
            let pieces: Vec<sticks::Piece> = fields[6].split(' ').map(piece).collect();
            let stock = [sticks::Stock::sold(number(fields[1]), 0)];
            let options = sticks::Options { effort, ..sticks::Options::default() };
            let begin = Instant::now();
            let layout = sticks::lay_out(&pieces, &stock, &options).expect("a layout");
            let time = begin.elapsed().as_secs_f64() * 1e3;
            let known = number(fields[5]) as usize;
            assert!(layout.sticks.len() <= known + 1, "{}: optimum or one over", fields[0]);
            lines.push((number(fields[2]) as usize, layout.sticks.len(), known, time));
        }
        for chunk in lines.chunk_by(|a, b| a.0 == b.0) {
            let sum = |of: fn(&(usize, usize, usize, f64)) -> usize| chunk.iter().map(of).sum::<usize>();
            let mean = chunk.iter().map(|line| line.3).sum::<f64>() / chunk.len() as f64;
            let most = chunk.iter().map(|line| line.3).fold(0.0, f64::max);
            println!(
                "{class:<8} {:>6} {:>6} {:>5} {mean:>5.0} {most:>4.0}",
                chunk[0].0,
                sum(|l| l.1),
                sum(|l| l.2)
            );
        }
    }
}

/// Parts of a shop in mm: cupboards and drawers in four sizes each, so many parts in all.
fn shop(parts: u32) -> Vec<Item> {
    let sizes =
        [(720, 560), (764, 560), (764, 100), (716, 396), (500, 150), (480, 450), (1964, 580), (300, 288)];
    let share = parts / sizes.len() as u32;
    let item = |(index, (width, height)): (usize, (i64, i64))| Item {
        width: width - 7 * (index as i64 % 3),
        height,
        quantity: share + u32::from(index == 0) * (parts - share * sizes.len() as u32),
        may_turn: index % 2 == 0,
    };
    sizes.into_iter().enumerate().map(item).collect()
}

fn timings() {
    let mut criterion = Criterion::default().configure_from_args().sample_size(10);
    let stock = [Stock::sheet(2440, 1220, 10)];
    let options = Options { kerf: 3, ..Options::default() };
    for parts in [30, 100, 1000] {
        let request = shop(parts);
        criterion.bench_function(&format!("shop of {parts} parts"), |bencher| {
            bencher.iter(|| {
                let layout = lay_out(black_box(&request), &stock, &options).expect("a layout");
                assert!(layout.sheets.len() * 100 <= layout.bound * 112, "near the bound");
                layout
            });
        });
    }
    criterion.final_summary();
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    let effort = arguments.get(1).and_then(|text| text.parse().ok()).unwrap_or(Options::EFFORT);
    match arguments.first().map(String::as_str) {
        Some("table") => table(effort),
        Some("sticks") => rods(effort),
        _ => timings(),
    }
}
