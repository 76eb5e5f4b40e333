//! Lengths as the trade writes them. One inch is 25.4 mm exactly (NIST SP 811, appendix B.8), so with 1/80 µm to the
//! unit an inch has 25.4 × 80 000 = 2 032 000 units; every expected value is worked out from that.

use proptest::prelude::*;
use tickstick::length::notation::{InchForm, Showing, read, row, scan, show_exact, tell};
use tickstick::length::{Length, Units};

const INCH: i64 = 2_032_000;
const MM: i64 = 80_000;

fn units(text: &str) -> i64 {
    match read(text, Units::Inch) {
        Ok(length) => length.units(),
        Err(error) => panic!("{text}: {error}"),
    }
}

#[test]
fn every_notation_reads_as_hand_arithmetic_says() {
    let table = [
        ("3/4\"", INCH * 3 / 4),
        ("1 1/4\"", INCH * 5 / 4),
        ("1-1/4\"", INCH * 5 / 4),
        ("1\u{2011}1/4\"", INCH * 5 / 4),
        ("1–1/4\"", INCH * 5 / 4),
        ("5'", INCH * 60),
        ("5' 4-1/2\"", INCH * 129 / 2),
        ("5'-4 1/2\"", INCH * 129 / 2),
        ("5'4\"", INCH * 64),
        ("5'-4\"", INCH * 64),
        ("5'-0\"", INCH * 60),
        ("5' 1/2\"", INCH * 121 / 2),
        ("5' 4.5\"", INCH * 129 / 2),
        ("1/2'", INCH * 6),
        ("0.709\"", INCH / 1000 * 709),
        (".5\"", INCH / 2),
        ("48\"", INCH * 48),
        ("5/4\"", INCH * 5 / 4),
        ("63/64\"", INCH * 63 / 64),
        ("1/128\"", INCH / 128),
        ("0.001\"", INCH / 1000),
        ("18 mm", MM * 18),
        ("18mm", MM * 18),
        ("18\u{a0}mm", MM * 18),
        ("18.5 mm", MM * 37 / 2),
        ("0.01 mm", MM / 100),
        ("25.4 mm", INCH),
        ("1 1/2 mm", MM * 3 / 2),
        ("3 cm", MM * 30),
        ("2.54cm", INCH),
        ("1.2 m", MM * 1200),
        ("3 in", INCH * 3),
        ("3 in.", INCH * 3),
        ("3/4 in", INCH * 3 / 4),
        ("3 inches", INCH * 3),
        ("5 ft", INCH * 60),
        ("1 foot", INCH * 12),
        ("5 ft 4 in", INCH * 64),
        ("5 ft. 4 in.", INCH * 64),
        ("18 MM", MM * 18),
        ("½\"", INCH / 2),
        ("¾″", INCH * 3 / 4),
        ("1½\"", INCH * 3 / 2),
        ("1 ½\"", INCH * 3 / 2),
        ("1-½\"", INCH * 3 / 2),
        ("⅞”", INCH * 7 / 8),
        ("5′ 4½″", INCH * 129 / 2),
        ("5’ 4”", INCH * 64),
        ("4''", INCH * 4),
        ("5' 4''", INCH * 64),
        ("1⁄4\"", INCH / 4),
        ("-3/4\"", -INCH * 3 / 4),
        ("−1 1/4\"", -INCH * 5 / 4),
        ("-5' 4\"", -INCH * 64),
        ("+3\"", INCH * 3),
        ("  3\"  ", INCH * 3),
        ("0", 0),
        ("18", INCH * 18),
        ("3/4", INCH * 3 / 4),
        ("1 3/4", INCH * 7 / 4),
        ("1-3/4", INCH * 7 / 4),
        ("18.5", INCH * 37 / 2),
        ("-18", -INCH * 18),
        ("1000 m", 1_000_000 * MM),
    ];
    for (text, expected) in table {
        assert_eq!(units(text), expected, "{text}");
    }
    assert_eq!(read("18", Units::Millimetre), Ok(Length::from_units(MM * 18)));
    assert_eq!(read("1/2", Units::Millimetre), Ok(Length::from_units(MM / 2)));
    assert_eq!(read("3/4\"", Units::Millimetre), Ok(Length::from_units(INCH * 3 / 4)));
}

/// Decimal equivalents of common fractions, as every shop chart prints them (common practice).
#[test]
fn fractions_and_their_decimal_equivalents_are_one_length() {
    let chart = [
        ("1/64\"", "0.015625\"", "0.396875 mm"),
        ("1/32\"", "0.03125\"", "0.79375 mm"),
        ("1/16\"", "0.0625\"", "1.5875 mm"),
        ("1/8\"", "0.125\"", "3.175 mm"),
        ("3/16\"", "0.1875\"", "4.7625 mm"),
        ("1/4\"", "0.25\"", "6.35 mm"),
        ("3/8\"", "0.375\"", "9.525 mm"),
        ("23/32\"", "0.71875\"", "18.25625 mm"),
        ("3/4\"", "0.75\"", "19.05 mm"),
        ("63/64\"", "0.984375\"", "25.003125 mm"),
    ];
    for (fraction, decimal, metric) in chart {
        assert_eq!(units(fraction), units(decimal), "{fraction}");
        assert_eq!(units(fraction), units(metric), "{fraction}");
    }
}

/// What is refused, the part that is marked, and a word of the cure.
#[test]
fn refusals_mark_the_fault_and_say_what_to_type() {
    let table = [
        ("", "", "3/4\""),
        ("   ", "   ", "3/4\""),
        ("3/0\"", "3/0", "3/4\""),
        ("1/2/3", "1/2/3", "12 / 2 / 3"),
        ("1/2/3/4\"", "1/2/3/4", "spaces"),
        ("5\"6", "6", "5' 6\""),
        ("5\" 6", " 6", "5\""),
        (".nan", ".", "0.5\""),
        ("nan", "nan", "18 mm"),
        ("inf", "inf", "18 mm"),
        ("1e5", "1e5", "100000"),
        ("1E5", "1E5", "100000"),
        ("18,5", ",5", "18.5"),
        ("1,000", ",000", "1000"),
        ("18.", "18.", "write 18"),
        ("1.2.3", "1.2.", "point"),
        ("1.5 1/2\"", "1.5 1/2", "1 3/4"),
        ("1.5/2\"", "1.5/", "1 3/4"),
        ("1/2.5\"", "1/2.", "1 3/4"),
        ("1 5/4\"", "1 5/4", "2 1/4"),
        ("1 4/4\"", "1 4/4", "write 2"),
        ("5' 4", "4", "5' 4\""),
        ("5'4", "4", "5' 4\""),
        ("5' 14\"", "14\"", "feet"),
        ("5.5' 3\"", "5.5'", "whole feet"),
        ("18 yd", " yd", "mm"),
        ("18yd", "yd", "mm"),
        ("18 mm2", " mm2", "mm"),
        ("3 \"", " \"", "3\""),
        ("3\"-1\"", "-1\"", "3\" - 1\""),
        ("1-3\"", "-3\"", "1 - 3\""),
        ("--3\"", "-3\"", "18 mm"),
        ("three", "three", "18 mm"),
        ("2000 m", "2000 m", "check"),
        ("1000.01 m", "1000.01 m", "check"),
        ("99999999999999999999 mm", "99999999999999999999", "check"),
        ("1/3\"", "1/3\"", "1\" / 3"),
        ("0.00001\"", "0.00001\"", "formula"),
        ("0.00001 mm", "0.00001 mm", "formula"),
        ("1/3", "1/3", "formula"),
    ];
    for (text, marked, cure) in table {
        let error = match read(text, Units::Inch) {
            Ok(length) => panic!("{text:?} was read as {}", show_exact(length, Units::Inch)),
            Err(error) => error,
        };
        assert_eq!(text.get(error.at.clone()), Some(marked), "{text:?}: {error}");
        assert!(error.cure.contains(cure), "{text:?}: {error}");
    }
}

/// 1/3" is 2 032 000 / 3 = 677 333.33… units; × 1/80 000 mm: between 8.466 662 5 mm and 8.466 675 mm.
#[test]
fn off_the_grid_names_the_finest_step_and_both_neighbours() {
    let error = read("1/3\"", Units::Inch).unwrap_err();
    assert!(error.message.contains("1/80 µm"), "{error}");
    assert!(error.message.contains("8.4666625 mm and 8.466675 mm"), "{error}");
    assert_eq!(units("8.4666625 mm") + 1, units("8.466675 mm"));
}

/// A formula reads its lengths by the same scanner: it stops where the length ends.
#[test]
fn the_scanner_takes_one_literal() {
    let table = [
        ("1-1/4\" - kick", "1-1/4\""),
        ("5' - 4\"", "5'"),
        ("5'-kick", "5'"),
        ("5' 4-1/2\" - kick", "5' 4-1/2\""),
        ("5' -4\"", "5'"),
        ("12 / 4", "12"),
        ("12/bays", "12"),
        ("3 in + x", "3 in"),
        ("2 inner", "2"),
        ("2 and x", "2"),
        ("18)", "18"),
        ("18, 2)", "18"),
        ("1 2", "1"),
    ];
    for (text, taken) in table {
        let used = scan(text).map(|scanned| &text[..scanned.used]);
        assert_eq!(used, Ok(taken), "{text}");
    }
}

#[test]
fn lengths_are_shown_as_the_trade_writes_them() {
    let sixteenth = Showing::inch(Length::from_units(INCH / 16));
    let thirty_second = Showing::inch(Length::from_units(INCH / 32));
    let half_mm = Showing::millimetre(Length::from_units(MM / 2));
    let feet = Showing { feet: true, ..thirty_second };
    let thousandth = Showing {
        inch_form: InchForm::Decimal,
        decimals: 3,
        ..Showing::inch(Length::from_units(INCH / 1000))
    };
    // ASME Y14.5 leaves out the zero before the point for inches below one (from memory).
    let practice = Showing { leading_zero: false, marks: false, ..thousandth };
    let table = [
        (sixteenth, INCH * 5 / 4, "1 1/4\""),
        (sixteenth, INCH * 8 / 16, "1/2\""),
        (sixteenth, 0, "0\""),
        (sixteenth, -INCH * 5 / 4, "-1 1/4\""),
        // 0.709" is 22.688 thirty-seconds: 23/32"; 11.344 sixteenths: 11/16"
        (thirty_second, INCH / 1000 * 709, "23/32\""),
        (sixteenth, INCH / 1000 * 709, "11/16\""),
        (feet, INCH * 129 / 2, "5' 4 1/2\""),
        (feet, INCH * 60, "5' 0\""),
        (feet, INCH * 12 - 1, "1' 0\""),
        (feet, INCH * 11, "11\""),
        (feet, -INCH * 64, "-5' 4\""),
        (half_mm, MM * 18, "18 mm"),
        (half_mm, MM * 37 / 2, "18.5 mm"),
        // 3/4" is 19.05 mm
        (half_mm, INCH * 3 / 4, "19 mm"),
        (Showing { decimals: 1, ..half_mm }, MM * 18, "18.0 mm"),
        (Showing { marks: false, ..half_mm }, MM / 2, "0.5"),
        (thousandth, INCH / 2, "0.500\""),
        (practice, INCH / 2, ".500"),
        (practice, INCH * 3 / 2, "1.500"),
        (practice, 0, "0.000"),
        (Showing { both: Some(Length::from_units(MM / 100)), ..sixteenth }, INCH * 3 / 4, "3/4\" (19.05 mm)"),
        (Showing { both: Some(Length::from_units(INCH / 32)), ..half_mm }, INCH * 3 / 4, "19 mm (3/4\")"),
    ];
    for (showing, length, text) in table {
        let shown = showing.show(Length::from_units(length));
        assert_eq!(shown.text, text);
        assert_eq!(shown.is_exact(), shown.value.units() == length);
    }
}

/// An inch sheet cannot state 1/80 µm in inches; it falls back on what is true, with its unit.
#[test]
fn a_value_that_no_inch_states_is_shown_in_millimetres() {
    let showing = Showing { marks: false, ..Showing::inch(Length::ZERO) };
    assert_eq!(showing.show(Length::from_units(1)).text, "0.0000125 mm");
}

#[test]
fn sentences_tell_short_values_exactly_and_others_as_about() {
    let table = [
        (INCH * 3 / 4, Units::Inch, "3/4\""),
        (INCH / 1000 * 709, Units::Inch, "0.709\""),
        (MM * 18, Units::Inch, "18 mm"),
        // 40" / 3 = 13.333 3…"
        (INCH * 40 / 3, Units::Inch, "about 13.3333\""),
        (-INCH * 40 / 3, Units::Inch, "about -13.3333\""),
        (INCH * 3 / 4, Units::Millimetre, "19.05 mm"),
        // 1/3 mm
        (MM / 3, Units::Millimetre, "about 0.333 mm"),
    ];
    for (length, spec, text) in table {
        assert_eq!(tell(Length::from_units(length), spec), text);
    }
}

/// Three bays of 3 1/3": each is 53.33 sixteenths, the overall 160. Shared out: 54 + 53 + 53.
#[test]
fn what_is_missing_goes_to_the_members_that_lost_most() {
    let step = INCH / 16;
    let of = |units: i64| Length::from_units(units);
    let bay = of(INCH * 10 / 3);
    let printed = row(&[bay; 3], of(step), None);
    assert_eq!(printed.members, [of(step * 54), of(step * 53), of(step * 53)]);
    assert_eq!(printed.overall, of(step * 160));
    // one member is off by 2/3 of a step, which `worst` owns up to
    assert!(printed.worst() > of(step / 2) && printed.worst() < of(step));

    // quarters of a step lost: 0.1, 0.8, 0.6 → sum 1.5, rounded to 2: the second and the third are raised
    let members = [of(10 * step + step / 10), of(10 * step + step * 8 / 10), of(10 * step + step * 6 / 10)];
    assert_eq!(row(&members, of(step), None).members, [of(10 * step), of(11 * step), of(11 * step)]);

    // the float takes it all, the others are at their nearest
    let floated = row(&[bay; 3], of(step), Some(1));
    assert_eq!(floated.members, [of(step * 53), of(step * 54), of(step * 53)]);

    // Six bays of 14.8395 between seven boards of 0.709, to a thousandth: 6 × 14.8395 = 89.037. Rounded to the nearest, the
    // five others take 5 × 14.840 = 74.200 and leave 14.837, 2.5 thousandths too little; the two beside the float give one
    // each: 3 × 14.840 + 2 × 14.839 + 14.839 = 89.037.
    let (bay, thousandth) = (of(148_395 * INCH / 10_000), of(INCH / 1_000));
    let shared = row(&[bay; 6], thousandth, Some(5)).members;
    assert_eq!(shared, [14_840, 14_840, 14_840, 14_839, 14_839, 14_839].map(|count| thousandth * count));

    assert_eq!(row(&[], of(step), Some(0)).overall, Length::ZERO);
    assert_eq!(row(&[bay], Length::ZERO, None).members, [bay]);
}

fn any_length() -> impl Strategy<Value = Length> {
    let limit = Length::LIMIT.units();
    prop_oneof![
        -limit..=limit,
        (-200_000_i64..200_000).prop_map(|n| n * (INCH / 128)),
        (-200_000_i64..200_000).prop_map(|n| n * (INCH / 1000)),
        (-500_000_i64..500_000).prop_map(|n| n * (MM / 100)),
        -100_i64..100,
    ]
    .prop_map(Length::from_units)
}

fn any_units() -> impl Strategy<Value = Units> {
    prop_oneof![Just(Units::Inch), Just(Units::Millimetre)]
}

fn any_showing() -> impl Strategy<Value = Showing> {
    let steps = prop::sample::select(vec![
        0,
        INCH,
        INCH / 16,
        INCH / 32,
        INCH / 64,
        INCH / 1000,
        MM,
        MM / 2,
        MM / 100,
        7,
    ]);
    (any_units(), steps, any::<[bool; 4]>(), 0_u8..5).prop_map(
        |(units, step, [feet, zero, marks, decimal], decimals)| Showing {
            units,
            step: Length::from_units(step),
            inch_form: if decimal { InchForm::Decimal } else { InchForm::Fraction },
            feet,
            decimals,
            leading_zero: zero,
            marks,
            both: None,
        },
    )
}

proptest! {
    #[test]
    fn exact_showing_reads_back(length in any_length(), spec in any_units(), bare in any_units()) {
        prop_assert_eq!(read(&show_exact(length, spec), bare), Ok(length));
    }

    #[test]
    fn every_shown_text_states_the_value_that_comes_with_it(length in any_length(), showing in any_showing()) {
        let shown = showing.show(length);
        prop_assume!(shown.value.abs() <= Length::LIMIT);
        prop_assert_eq!(read(&shown.text, showing.units), Ok(shown.value), "{}", shown.text);
        prop_assert_eq!(shown.off, shown.value - length);
        // never off by more than half a step
        prop_assert!(shown.off.abs() * 2 <= showing.step.max(Length::ZERO), "{}", shown.text);
        if showing.step.is_positive() {
            prop_assert_eq!(shown.value.units() % showing.step.units(), 0);
        }
    }

    #[test]
    fn mirror_images_round_alike(length in any_length(), showing in any_showing()) {
        prop_assert_eq!(showing.show(-length).value, -showing.show(length).value);
    }

    #[test]
    fn both_units_are_within_half_their_steps(length in any_length(), showing in any_showing(), step in 1_i64..100_000) {
        let both = Showing { both: Some(Length::from_units(step)), ..showing };
        let shown = both.show(length);
        let other = shown.other.map(|other| (other - length).abs() * 2);
        prop_assert!(other.is_some_and(|twice| twice <= Length::from_units(step)), "{}", shown.text);
    }

    #[test]
    fn rows_add_up(
        members in prop::collection::vec(0..INCH * 200, 0..12),
        step in prop::sample::select(vec![INCH / 16, INCH / 32, MM / 2, MM, 7]),
        float in prop::option::of(0_usize..14),
    ) {
        let members: Vec<Length> = members.into_iter().map(Length::from_units).collect();
        let step = Length::from_units(step);
        let printed = row(&members, step, float);
        let true_sum: i64 = members.iter().map(|member| member.units()).sum();
        let sum: i64 = printed.members.iter().map(|member| member.units()).sum();
        prop_assert_eq!(sum, printed.overall.units());
        prop_assert!((sum - true_sum).abs() * 2 <= step.units());
        prop_assert_eq!(printed.members.len(), members.len());
        for (index, (shown, member)) in printed.members.iter().zip(&members).enumerate() {
            prop_assert_eq!(shown.units() % step.units(), 0);
            let off = (*shown - *member).abs();
            prop_assert_eq!(printed.off[index], *shown - *member);
            match float {
                Some(float) if float < members.len() => prop_assert!(off <= step),
                _ => prop_assert!(off < step),
            }
        }
    }

    #[test]
    fn members_on_the_step_are_left_alone(counts in prop::collection::vec(0_i64..3_000, 0..12)) {
        let step = Length::from_units(INCH / 16);
        let members: Vec<Length> = counts.into_iter().map(|count| step * count).collect();
        prop_assert_eq!(row(&members, step, None).members, members);
    }

    #[test]
    fn any_mixed_number_reads_as_the_sum_of_its_parts(
        feet in 0_i64..100, whole in 0_i64..12, upper in 0_i64..64, dash in any::<bool>(), spread in any::<bool>(),
    ) {
        let join = if dash { "-" } else { " " };
        let gap = if spread { " " } else { "-" };
        let text = format!("{feet}'{gap}{whole}{join}{upper}/64\"");
        let expected = (feet * 12 + whole) * INCH + upper * (INCH / 64);
        prop_assert_eq!(read(&text, Units::Millimetre), Ok(Length::from_units(expected)), "{}", text);
    }

    /// Whatever is typed, it is a length or a fault whose range lies on characters of the text.
    #[test]
    fn no_text_breaks_the_reader(text in "[0-9/.'\" \\-½⅓″′mincft,e+–]{0,24}|\\PC{0,24}") {
        for bare in [Units::Inch, Units::Millimetre] {
            match read(&text, bare) {
                Ok(length) => prop_assert!(length.abs() <= Length::LIMIT),
                Err(error) => {
                    prop_assert!(text.get(error.at.clone()).is_some(), "{:?} of {:?}", error.at, text);
                    prop_assert!(!error.message.is_empty() && !error.cure.is_empty());
                }
            }
        }
    }
}
