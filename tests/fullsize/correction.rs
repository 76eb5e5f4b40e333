//! A printer's own error, measured and taken out again.

use tickstick::drawing::paper::Paper;
use tickstick::drawing::{At, Mark, Sheet, Step};
use tickstick::fullsize::calibrate::{Correction, Measured, corrected, shop_lines, test_page};
use tickstick::fullsize::{Printer, Selection, Stock, templates};
use tickstick::length::{Length, Units};
use tickstick::values::PrinterPaper;

use super::hand_made::*;

/// A printer that prints x at 99.4 %, y at 100.3 %, its y axis leaning 0.2° to the right, and the whole turned by 0.4°.
fn print(at: At) -> At {
    let (lean, turn) = (0.2_f64.to_radians(), 0.4_f64.to_radians());
    let (x, y) = (0.994 * at.0 + 1.003 * lean.sin() * at.1, 1.003 * lean.cos() * at.1);
    (x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos())
}

fn apart(a: At, b: At) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// What somebody with a perfect rule reads from the bars of that printer.
fn measured() -> Measured {
    let (a, b, c) = (print((0.0, 0.0)), print((100.0, 0.0)), print((0.0, 100.0)));
    Measured {
        across: Length::from_mm(apart(a, b)),
        up: Length::from_mm(apart(a, c)),
        corners: Length::from_mm(apart(b, c)),
    }
}

#[test]
fn a_corrected_print_measures_true() {
    let correction = measured().correction().unwrap();
    let middle = (105.0, 148.5);
    let points = [(0.0, 0.0), (210.0, 0.0), (0.0, 297.0), (210.0, 297.0), (33.0, 141.0), (105.0, 148.5)];
    for a in points {
        for b in points {
            let (pa, pb) = (print(correction.of(a, middle)), print(correction.of(b, middle)));
            // The bars are read to 1/80 µm, which is 2e-7 of their length; the page is four bars long.
            assert!(
                (apart(pa, pb) - apart(a, b)).abs() < 1e-4,
                "{a:?} {b:?}: {} {}",
                apart(pa, pb),
                apart(a, b)
            );
        }
    }
    assert!((correction.skew() + 0.2).abs() < 1e-4, "{}", correction.skew());
    // Without the correction the diagonal of the page would be off by millimetres.
    assert!(
        (apart(print((0.0, 0.0)), print((210.0, 297.0))) - apart((0.0, 0.0), (210.0, 297.0))).abs() > 0.5
    );
}

#[test]
fn a_true_printer_needs_no_correction_and_each_axis_stands_alone() {
    let read = |text| Measured::read(text).unwrap().correction().unwrap();
    // 100 √2 = 141.4213562…, on the grid of lengths 141.42135.
    let none = read("100,100,141.42135");
    assert!(
        (none.xx - 1.0).abs() < 1e-12 && none.xy.abs() < 1e-6 && (none.yy - 1.0).abs() < 1e-6,
        "{none:?}"
    );
    // Across 1 % short and square: 99² + 100² = 19801, its root 140.7160261.
    let short = read("99, 100, 140.716025");
    assert!(
        (short.xx - 1.0 / 0.99).abs() < 1e-9 && short.xy.abs() < 1e-6 && (short.yy - 1.0).abs() < 1e-6,
        "{short:?}"
    );
    // A rhombus: cos θ = (2 · 100² − 142²) / (2 · 100²) = −0.0082, so 90.4698° and wider than square.
    let wide = read("100,100,142");
    assert!((wide.skew() - 0.469_83).abs() < 1e-4, "{}", wide.skew());
}

#[test]
fn what_is_no_error_of_a_printer_is_refused() {
    let fault = |text| match Measured::read(text) {
        Ok(measured) => measured.correction().unwrap_err().to_string(),
        Err(fault) => fault.to_string(),
    };
    assert!(fault("99.6,100.2").starts_with("three measures are wanted, but 2 are given"));
    assert!(fault("93,100,141").contains("A–B measures 93 mm where 100.0 mm was drawn: 7.0 % off"));
    assert!(fault("100,100,200").contains("B–C"));
    assert!(fault("100,,141").contains("``"));
    assert!(fault("0,0,0").contains("A–B measures 0 mm"));
    assert!(fault("-100,100,141").contains("A–B"));
    // Inches are read where they are marked: 3 15/16" is 100.0125 mm.
    assert_eq!(Measured::read("3 15/16\",100,141.4").unwrap().across, (Length::INCH * 63).shared_by(16).0);
}

#[test]
fn the_lines_for_the_shop_read_back() {
    let measured = Measured::read("99.6,100.2,141.2").unwrap();
    let lines = shop_lines("office", &PrinterPaper::Sheets("a4".into()), mm(5), &measured).unwrap();
    assert!(lines.ends_with(
        "shop:\n  printers:\n    office: {paper: a4, margin: 5 mm, measured: [99.6 mm, 100.2 mm, 141.2 mm]}\n"
    ), "{lines}");
    // 1 / 0.996 = 1.0040; cos θ = (99.6² + 100.2² − 141.2²) / (2 · 99.6 · 100.2) = 22.76 / 19959.84, so 0.0653° narrow.
    assert!(lines.starts_with("# The next print is stretched by 1.0040 across and 0.9980 up"), "{lines}");
    assert!(lines.contains("-0.07°"), "{lines}");
    let roll = shop_lines("plotter", &PrinterPaper::Roll(Length::INCH * 24), mm(6), &measured).unwrap();
    assert!(roll.contains("{paper: roll, width: 609.6 mm, margin: 6 mm,"), "{roll}");
}

fn group<'a>(sheet: &'a Sheet, id: &str) -> &'a [Mark] {
    sheet.groups.iter().find(|g| g.id == id).map_or(&[], |g| &g.marks)
}

fn points(marks: &[Mark]) -> Vec<At> {
    let paths = marks.iter().filter_map(|mark| match mark {
        Mark::Stroke { path, .. } => Some(path),
        _ => None,
    });
    paths
        .flatten()
        .filter_map(|step| match step {
            Step::Move(p) | Step::Line(p) | Step::Arc(p, _) => Some(*p),
            Step::Close => None,
        })
        .collect()
}

#[test]
fn whole_pages_print_true_and_stay_within_the_margins() {
    let made = bench(Units::Millimetre);
    let true_printer = Printer::on(Stock::Sheets(Paper::A4));
    let printer = Printer { correction: measured().correction().unwrap(), ..true_printer.clone() };
    let selection = Selection::named(&made, &["bench.divider", "bench.rail"], false).unwrap();
    let pages = templates(&made, &selection, &printer).unwrap();
    assert!(pages.len() > 8);
    for page in &pages {
        // The bar across is drawn first: its line and its ticks; then the bar up.
        let bar = points(group(page, "bar-100mm"));
        let (a, b, c) = (print(bar[0]), print(bar[1]), print(bar[7]));
        assert!((apart(a, b) - 100.0).abs() < 1e-4, "{}: {}", page.name, apart(a, b));
        assert!((apart(a, c) - 100.0).abs() < 1e-4, "{}: {}", page.name, apart(a, c));
        assert!((apart(b, c) - 100.0 * 2.0_f64.sqrt()).abs() < 1e-4);
        for at in page.groups.iter().flat_map(|g| points(&g.marks)) {
            assert!(at.0 > 6.0 - 1e-9 && at.0 < page.width - 6.0 + 1e-9, "{}: {at:?}", page.name);
            assert!(at.1 > 6.0 - 1e-9 && at.1 < page.height - 6.0 + 1e-9, "{}: {at:?}", page.name);
        }
    }
}

#[test]
fn arcs_stay_on_the_stretched_curve() {
    // A circle of 100 mm becomes an ellipse; printed, every point of it must lie 100 mm from its middle again.
    let correction = measured().correction().unwrap();
    let sheet = Sheet {
        name: "c".into(),
        title: "c".into(),
        width: 300.0,
        height: 300.0,
        groups: vec![tickstick::drawing::Group {
            id: "c".into(),
            layer: tickstick::drawing::Layer::Outlines,
            marks: vec![Mark::Stroke {
                path: tickstick::drawing::circle((150.0, 150.0), 100.0),
                line: tickstick::drawing::LineType::Visible,
            }],
        }],
        dimensions: vec![],
        ..Sheet::default()
    };
    let drawn = corrected(sheet, &correction);
    let Mark::Stroke { path, .. } = &drawn.groups[0].marks[0] else { panic!() };
    let middle = print((150.0, 150.0));
    let mut at = (0.0, 0.0);
    let mut pieces = 0;
    for step in path {
        match *step {
            Step::Arc(to, bulge) => {
                let arc = tickstick::shape::Arc::between(at, to, bulge).unwrap();
                for share in 0..=20 {
                    let angle = arc.start + arc.sweep * f64::from(share) / 20.0;
                    let on =
                        (arc.centre.0 + arc.radius * angle.cos(), arc.centre.1 + arc.radius * angle.sin());
                    assert!((apart(print(on), middle) - 100.0).abs() < 0.001, "{}", apart(print(on), middle));
                }
                pieces += 1;
                at = to;
            }
            Step::Move(to) | Step::Line(to) => at = to,
            Step::Close => {}
        }
    }
    assert_eq!(pieces, 48);
}

#[test]
fn the_test_page_is_never_corrected() {
    let made = bench(Units::Millimetre);
    let printer =
        Printer { correction: measured().correction().unwrap(), ..Printer::on(Stock::Sheets(Paper::Letter)) };
    let page = test_page(&made.job, &printer).unwrap();
    assert_eq!(page, test_page(&made.job, &Printer { correction: Correction::NONE, ..printer }).unwrap());
    let square = points(group(&page, "test-square"));
    assert!((apart(square[0], square[1]) - 100.0).abs() < 1e-9);
    assert!(square.iter().any(|p| (apart(*p, square[0]) - 100.0 * 2.0_f64.sqrt()).abs() < 1e-9));
}
