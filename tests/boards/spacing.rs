//! Equal spacing and halves, through real specs, held against the published and computed vectors of
//! `tests/facts/equal-spacing.csv`.

use super::*;

/// A run of uprights set out by `how` from stock of this thickness.
fn run(thick: &str, how: &str) -> String {
    format!(
        "stock:\n  post: {{board: yes, thick: {thick}}}\nassemblies:\n  rail:\n    parts:\n      \
         picket: {{stock: post, faces: side, {how}, front: 0, depth: 1\", bottom: 0, height: 36\"}}\n"
    )
}

fn spread(row: &csv::StringRecord) -> String {
    let (to, count, thick, ends) = (&row[0], &row[1], &row[2], &row[3]);
    run(thick, &format!("count: {count}, spread: {{from: 0, to: {to}, ends: {ends}}}"))
}

fn rows() -> Vec<csv::StringRecord> {
    let text = include_str!("../facts/equal-spacing.csv");
    csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect()
}

fn lows(boards: &Boards) -> Vec<i128> {
    boards.boards.iter().map(|board| along(board, Axis::Across).0.units().into()).collect()
}

/// Nearest whole number to numerator / denominator, halves up.
fn nearest(numerator: i128, denominator: i128) -> i128 {
    (2 * numerator + denominator).div_euclid(2 * denominator)
}

#[test]
fn equal_gaps_are_those_of_the_published_vectors() {
    let rows = rows();
    assert_eq!(rows.len(), 11);
    for row in rows {
        let unit: i128 = if row[0].ends_with("mm") { 80_000 } else { 2_032_000 };
        let (over, under) = row[4].split_once('/').unwrap();
        let (over, under): (i128, i128) = (over.parse().unwrap(), under.parse().unwrap());
        // The fraction is the published decimal, to its last digit.
        let decimal: f64 = row[5].parse().unwrap();
        assert!((over as f64 / under as f64 - decimal).abs() <= 5e-4, "{row:?}");

        let thick = i128::from(length(&row[2]).units());
        let boards = good(&spread(&row));
        let starts_with_a_gap = i128::from(&row[3] == "gaps");
        for (number, low) in lows(&boards).into_iter().enumerate() {
            // Board i lies behind i (or i + 1) gaps and i boards, worked out from the start of the run.
            let number = number as i128;
            let gaps = number + starts_with_a_gap;
            let exact = nearest(gaps * over * unit + number * thick * under, under);
            assert_eq!(low, exact, "{row:?} board {number}");
        }
        for board in &boards.boards {
            assert_eq!(board.thick(), length(&row[2]), "{row:?}");
        }
    }
}

/// The published example itself: 15 balusters of 2" with gaps of 3" need 15 × 2 + 16 × 3 = 78", so on a rail of 75" at
/// a pitch of 5" the last one stands against the post.
#[test]
fn the_bad_published_example_leaves_no_last_gap() {
    let boards = good(&run("2\"", "count: 15, centres: {first: 4\", pitch: 5\"}"));
    let (_, end) = along(board(&boards, "rail.picket[15]"), Axis::Across);
    assert_eq!(end, length("75\""));
    assert_eq!(along(board(&boards, "rail.picket[1]"), Axis::Across).0, length("3\""));
}

#[test]
fn the_gap_can_be_asked_for() {
    let yaml = run("2\"", "count: 15, spread: {from: 0, to: 75\"}")
        + "require:\n  - {that: rail.picket.gap = 3\", else: \"the gap is {rail.picket.gap}\"}\n";
    assert_eq!(messages(&yaml), ["the gap is 2 13/16\""]);
}

/// Common practice: four openings are set out by halves, the centre of the frame first, then the centre of each half.
#[test]
fn halves_of_halves() {
    for (times, count) in [(1, 1), (2, 3), (3, 7), (4, 15)] {
        let boards = good(&run("3/4\"", &format!("halves: {{from: 1\", to: 65\", times: {times}}}")));
        assert_eq!(boards.boards.len(), count);
        for (number, low) in lows(&boards).into_iter().enumerate() {
            // 64" shared into count + 1; the centres lie on the shares.
            let centre = Length::INCH * (1 + 64 * (number as i64 + 1) / (count as i64 + 1));
            assert_eq!(low, i128::from((centre - length("3/8\"")).units()));
        }
    }
}

/// Common practice: mark from one end, never step a rounded gap. A third of an inch is on no grid, yet the hundredth
/// board stands where it belongs.
#[test]
fn nothing_adds_up_over_a_long_run() {
    let boards = good(&run("1/4\"", "count: 100, centres: {first: 1\", pitch: 1\" / 3 + 1\"}"));
    let low = lows(&boards)[99];
    // 1 - 1/8 + 99 × 4/3 = 132 7/8.
    assert_eq!(low, i128::from(length("132 7/8\"").units()));
}

#[test]
fn runs_that_do_not_fit_say_what_they_need() {
    let said = |how: &str| messages(&run("2\"", how));
    assert_eq!(
        said("count: 15, spread: {from: 0, to: 20\"}"),
        ["picket: 15 boards need 30\" side by side, but the run has 20\""]
    );
    assert_eq!(
        said("count: 1, spread: {from: 0, to: 20\", ends: pieces}"),
        ["picket: with a piece at both ends there are two at least, but the count is 1"]
    );
    assert_eq!(
        said("spread: {from: 0, to: 20\"}"),
        ["picket is set out in a row, but no `count` says how many"]
    );
    assert_eq!(
        said("count: 3, centres: {first: 1\", pitch: 1\"}"),
        ["picket: boards 2\" thick cannot stand 1\" from centre to centre"]
    );
    assert_eq!(
        said("halves: {from: 0, to: 3\", times: 2}"),
        ["picket: 3 boards need 8\" side by side, but the run has 3\""]
    );
    assert_eq!(
        said("count: 2, halves: {from: 0, to: 30\", times: 2}"),
        ["picket: halving gives the count itself, but `count` is given too"]
    );
    assert_eq!(
        said("halves: {from: 0, to: 30\", times: 0}"),
        ["picket: halved 0 times; it must be 1 or more"]
    );
    assert_eq!(said("halves: {from: 0, to: 30\", times: 63}").len(), 1);
    assert_eq!(said("halves: {from: 0, to: 30\", times: 1000000}").len(), 1);
    assert_eq!(
        said("count: 2, left: 3\", spread: {from: 0, to: 30\"}"),
        ["picket: `spread` and `left` both say where its boards lie"]
    );
    assert_eq!(
        said("count: 2, centres: {first: 1\", pitch: 4\"}, spread: {from: 0, to: 30\"}"),
        ["picket: `spread` and `centres` both say where its boards lie"]
    );
}
