//! Formulas: exact, dimension checked, every fault with its place.

use std::collections::BTreeMap;

use num_rational::Ratio;
use proptest::prelude::*;
use tickstick::diagnose::{Diagnostic, Place};
use tickstick::length::notation::read;
use tickstick::length::{Length, Units};
use tickstick::values::formula::{
    Dimension, Expr, Names, Quantity, Reference, Sentence, Value, as_count, as_length, as_truth, as_whole,
    eval, fill, parse,
};

const INCH: i64 = 2_032_000;

/// A plant stand that knows a handful of sizes, and counts how often it is asked.
struct Stand {
    values: BTreeMap<&'static str, Value>,
    asked: Vec<String>,
    units: Units,
}

impl Stand {
    fn new() -> Stand {
        let length = |text: &str| Value::from(read(text, Units::Inch).unwrap());
        let number = |count: i64| Value::Quantity(Quantity::count(count));
        let values = BTreeMap::from([
            ("width", length("71 1/4\"")),
            ("depth", length("18\"")),
            ("kick", length("3 1/2\"")),
            ("crate.width", length("13\"")),
            ("birch.thick", length("0.709\"")),
            ("divider[1].right", length("14 1/2\"")),
            ("divider[2].right", length("28 1/2\"")),
            ("end_left.right", length("3/4\"")),
            ("bays", number(5)),
            ("i", number(2)),
            ("none", number(0)),
            ("style", Value::Word("open".to_string())),
            ("open", Value::Word("open".to_string())),
            ("closed", Value::Word("closed".to_string())),
            ("carcass", Value::Stock("birch".to_string())),
            ("birch", Value::Stock("birch".to_string())),
            ("lid", Value::Truth(true)),
        ]);
        Stand { values, asked: Vec::new(), units: Units::Inch }
    }
}

impl Names for Stand {
    fn value_of(&mut self, name: &Reference) -> Result<Value, Vec<Diagnostic>> {
        let full = name.to_string();
        self.asked.push(full.clone());
        let known = self.values.get(full.as_str()).cloned();
        known.ok_or_else(|| vec![name.unknown(self.values.keys().copied())])
    }

    fn units(&self) -> Units {
        self.units
    }
}

fn place_of(text: &str) -> Place {
    Place { file: 0, start: 100, end: 100 + text.len() as u32 }
}

fn parsed(text: &str) -> Expr {
    parse(text, place_of(text)).unwrap_or_else(|fault| panic!("{text}: {}", fault.message))
}

fn value(text: &str) -> Result<Value, Vec<Diagnostic>> {
    eval(&parsed(text), &mut Stand::new())
}

fn length(text: &str) -> Length {
    let expr = parsed(text);
    let value = eval(&expr, &mut Stand::new()).unwrap_or_else(|faults| panic!("{text}: {faults:?}"));
    as_length(&value, &expr, Units::Inch).unwrap_or_else(|fault| panic!("{text}: {}", fault.message))
}

/// All faults of a formula, whether it cannot be understood or not be worked out.
fn faults(text: &str) -> Vec<Diagnostic> {
    match parse(text, place_of(text)) {
        Err(fault) => vec![fault],
        Ok(expr) => match eval(&expr, &mut Stand::new()) {
            Err(faults) => faults,
            Ok(value) => panic!("{text} is {}", value.tell(Units::Inch)),
        },
    }
}

fn marked(text: &str, place: Place) -> &str {
    &text[place.start as usize - 100..place.end as usize - 100]
}

#[test]
fn formulas_give_the_lengths_of_hand_arithmetic() {
    let table = [
        ("width - 2 * 1/2\"", "70 1/4\""),
        ("kick + 1 1/4\"", "4 3/4\""),
        ("5' 4-1/2\" - kick", "61\""),
        ("1-1/4\" + kick", "4 3/4\""),
        ("kick − 1/2\"", "3\""),
        ("kick × 2", "7\""),
        ("depth ÷ 3", "6\""),
        ("depth / (1 / 2)", "36\""),
        ("divider[2].right - divider[i - 1].right", "14\""),
        ("i * (kick + 1/2\")", "8\""),
        ("width - kick - kick", "64 1/4\""),
        ("(width - (bays + 1) * 3/4\") / bays", "13.35\""),
        ("min(depth, kick, width)", "3 1/2\""),
        ("max(0, kick - depth)", "0"),
        ("max(kick, 90 mm)", "90 mm"),
        ("round_down(14.8\", 1/16\")", "14 3/4\""),
        ("round_up(14.8\", 1/16\")", "14 13/16\""),
        ("round_up(kick, 1/2\")", "3 1/2\""),
        ("round_down(kick, 1/2\")", "3 1/2\""),
        // 0.709" is 11.344 sixteenths
        ("nearest(birch.thick, 1/16\")", "11/16\""),
        ("-kick + depth", "14 1/2\""),
        ("- kick", "-3 1/2\""),
        ("if(lid, depth, 0)", "18\""),
        ("if(not lid, depth, 0) + kick", "3 1/2\""),
        ("if(bays > 4 and depth >= 18\", 1\", 2\")", "1\""),
        ("if(style = closed or style = open, 1\", 2\")", "1\""),
        ("if(style != open, 1\", 2\")", "2\""),
        ("if(carcass = birch, 1\", 2\")", "1\""),
        ("if(kick ≤ 3 1/2\" and kick ≥ 3 1/2\" and kick ≠ 3\", 1\", 2\")", "1\""),
        // area over length is a length
        ("width * depth / depth", "71 1/4\""),
        ("1 mm * 25.4", "1\""),
        ("kick + 0", "3 1/2\""),
        ("0", "0"),
        ("18", "18\""),
        ("-18", "-18\""),
        ("1 3/4", "1 3/4\""),
        ("3\"/2", "1 1/2\""),
    ];
    for (formula, expected) in table {
        assert_eq!(length(formula), read(expected, Units::Inch).unwrap(), "{formula}");
    }
}

#[test]
fn pure_numbers_count() {
    let table = [
        ("width / depth > 3", true),
        ("round_down(width / 16\") = 4", true),
        ("bays - 1 = 4", true),
        ("1 / 4 = 0.25", true),
        ("1/2 * bays = 2.5", true),
        ("2 + 3 * 4 = 14", true),
        ("20 - 5 - 3 = 12", true),
        ("24 / 4 / 2 = 3", true),
        ("not 1 = 2", true),
        ("no or yes and no", false),
        ("12 in = 1'", true),
        ("width / 3/4\" = 95", true),
        ("nearest(2.5) = 3 and nearest(-2.5) = -3", true),
        ("round_up(-2.5) = -2 and round_down(-2.5) = -3", true),
    ];
    for (formula, expected) in table {
        let expr = parsed(formula);
        let value = eval(&expr, &mut Stand::new()).unwrap_or_else(|faults| panic!("{formula}: {faults:?}"));
        assert_eq!(as_truth(&value, &expr), Ok(expected), "{formula}");
    }
}

/// Check, the text that is marked, and words of message and first cure.
#[test]
fn faults_have_a_place_the_numbers_and_a_cure() {
    let table = [
        ("kick + 3", "mixed-dimensions", "kick + 3", "kick is 3 1/2\" (a length), 3 is a number", "3\""),
        ("bays - kick", "mixed-dimensions", "bays - kick", "bays is 5 (a number)", "bays * 1\""),
        ("width > bays", "mixed-dimensions", "width > bays", "cannot be compared", "bays * 1\""),
        ("kick * depth + kick", "mixed-dimensions", "kick * depth + kick", "63 in² (an area)", "one kind"),
        ("max(kick, 3)", "mixed-dimensions", "kick, 3", "cannot be compared", "3\""),
        ("max(0, kick - depth) + 3", "mixed-dimensions", "max(0, kick - depth) + 3", "0\" (a length)", "3\""),
        ("round_down(kick, 2)", "mixed-dimensions", "kick, 2", "2 is a number", "1/16\""),
        ("round_down(kick)", "mixed-dimensions", "round_down(kick)", "needs a step", "1/16\""),
        ("round_down(kick, 0\")", "division-by-zero", "0\"", "step is 0", "above 0"),
        ("round_down(kick, -1\")", "negative-step", "-1\"", "above 0", "minus"),
        ("width / none", "division-by-zero", "none", "width is divided by none, which is 0", "guard"),
        ("width / (kick - 3 1/2\")", "division-by-zero", "(kick - 3 1/2\")", "which is 0", "guard"),
        ("bays / kick", "mixed-dimensions", "bays / kick", "no measure", "volume"),
        (
            "kick * kick * kick * kick",
            "mixed-dimensions",
            "kick * kick * kick * kick",
            "no measure",
            "volume",
        ),
        ("style + 1", "mixed-dimensions", "style + 1", "open (a word)", "one kind"),
        ("-style", "mixed-dimensions", "style", "cannot be negative", "length"),
        ("kick and lid", "not-a-condition", "kick", "3 1/2\" (a length)", "compare"),
        ("if(bays, 1, 2)", "not-a-condition", "bays", "5 (a number)", "compare"),
        ("divider[1.5].right", "not-a-whole-number", "1.5", "this is 1.5 (a number)", "i - 1"),
        ("divider[kick].right", "not-a-whole-number", "kick", "3 1/2\"", "i - 1"),
        ("widht + 1\"", "unknown-name", "widht", "widht", "width"),
        ("divider[3].right", "unknown-name", "divider[3].right", "divider[3].right", "divider"),
        ("width-1\"", "formula-syntax", "-", "width-1\"", "width - 1\""),
        ("end_left.right-1\"", "formula-syntax", "-", "end_left.right-1\"", "end_left.right - 1\""),
        ("width -1\"", "formula-syntax", "-", "spac", "width - 1\""),
        ("width- 1\"", "formula-syntax", "-", "spac", "width - 1\""),
        ("(kick + 1\")-depth", "formula-syntax", "-", "spac", "(kick + 1\") - depth"),
        ("divider[i-1].right", "formula-syntax", "-", "i-1", "i - 1"),
        ("width / 3/4", "formula-syntax", "3/4", "3/4", "(3/4)"),
        ("width/3/4\"", "formula-syntax", "3/4\"", "3/4\"", "(3/4\")"),
        ("1/2/3", "length-notation", "1/2/3", "stroke", "12 / 2 / 3"),
        ("kick + 3/0\"", "length-notation", "3/0", "zero", "3/4\""),
        ("kick + 1/3\"", "length-notation", "1/3\"", "1/80 µm", "1\" / 3"),
        ("1e5", "length-notation", "1e5", "power", "100000"),
        ("2kick", "length-notation", "kick", "unit", "2 * kick"),
        (".nan", "formula-syntax", ".", "begins with .", "length"),
        ("", "formula-syntax", "", "empty", "length"),
        ("  ", "formula-syntax", "  ", "empty", "length"),
        ("kick +", "formula-syntax", "+", "nothing follows +", "length"),
        ("* kick", "formula-syntax", "*", "begins", "length"),
        ("kick + * 2", "formula-syntax", "*", "follows", "length"),
        ("(kick", "formula-syntax", "(", "not closed", ")"),
        ("max(kick, depth", "formula-syntax", "(", "not closed", ")"),
        ("divider[1", "formula-syntax", "[", "not closed", "]"),
        ("kick)", "formula-syntax", ")", "closes nothing", "leave"),
        (
            "kick depth",
            "formula-syntax",
            "kick depth",
            "nothing stands between kick and depth",
            "kick * depth",
        ),
        ("2 (kick)", "formula-syntax", "2 (", "between", "*"),
        ("1, 2", "formula-syntax", ",", "comma", "point"),
        ("kick == 3\"", "formula-syntax", "==", "==", "="),
        ("kick => 3\"", "formula-syntax", "=>", "=>", ">="),
        ("lid && lid", "formula-syntax", "&&", "&&", "and"),
        ("3\" < kick < 4\"", "formula-syntax", "<", "in a row", "kick and kick <"),
        ("kick ^ 2", "formula-syntax", "^", "^", "depth * depth"),
        ("8%", "formula-syntax", "%", "%", "0.08"),
        ("style = \"open\"", "formula-syntax", "\"", "no meaning", "quotes"),
        ("rounddown(kick, 1\")", "unknown-function", "rounddown", "rounddown", "round_down"),
        ("sqrt(kick)", "unknown-function", "sqrt", "sqrt", "round_down"),
        ("max", "formula-syntax", "max", "parentheses", "max(a, b"),
        ("max()", "formula-syntax", ")", "", "length"),
        ("if(lid, 1\")", "formula-syntax", "if(lid, 1\")", "2 values", "if(condition, a, b)"),
        ("kick.", "formula-syntax", ".", "dot", "end_left.right"),
        ("divider[1][2]", "formula-syntax", "[2]", "second index", "divider[2]"),
    ];
    for (text, check, mark, message, cure) in table {
        let faults = faults(text);
        let fault = &faults[0];
        assert_eq!(faults.len(), 1, "{text}: {faults:?}");
        assert_eq!(fault.check, check, "{text}: {}", fault.message);
        assert_eq!(marked(text, fault.place), mark, "{text}: {}", fault.message);
        assert!(fault.message.contains(message), "{text}: {}", fault.message);
        assert!(fault.cures.iter().any(|known| known.text.contains(cure)), "{text}: {:?}", fault.cures);
    }
}

#[test]
fn an_edit_cures_the_fault_that_proposes_it() {
    let table = [
        ("width-1\"", "width - 1\""),
        ("width -1\"", "width - 1\""),
        ("divider[i-1].right", "divider[i - 1].right"),
        ("width / 3/4", "width / (3/4)"),
        ("kick == 3\"", "kick = 3\""),
        ("lid&&lid", "lid and lid"),
        ("!lid", "not lid"),
        ("(kick", "(kick)"),
        ("rounddown(kick, 1\")", "round_down(kick, 1\")"),
    ];
    for (text, cured) in table {
        let fault = parse(text, place_of(text)).unwrap_err();
        let Some((place, with)) = &fault.cures[0].edit else { panic!("{text}: {fault:?}") };
        let mut edited = text.to_string();
        edited.replace_range(place.start as usize - 100..place.end as usize - 100, with);
        assert_eq!(edited, cured);
        assert!(value(&edited).is_ok(), "{edited}");
    }
}

#[test]
fn faults_of_all_operands_are_reported_at_once() {
    let faults = faults("foo + bar * (width / none)");
    let checks: Vec<_> = faults.iter().map(|fault| fault.check).collect();
    assert_eq!(checks, ["unknown-name", "unknown-name", "division-by-zero"]);
}

/// A text with escapes does not lie in the file as it is read: places fall back to the whole, and no edit is offered.
#[test]
fn where_the_text_was_folded_the_whole_place_is_marked() {
    let place = Place { file: 3, start: 40, end: 60 };
    let fault = parse("width-1\"", place).unwrap_err();
    assert_eq!(fault.place, place);
    assert!(fault.cures.iter().all(|cure| cure.edit.is_none()));
    let mut bench = Stand::new();
    let faults = eval(&parse("kick + 3", place).unwrap(), &mut bench).unwrap_err();
    assert_eq!(faults[0].place, place);
}

#[test]
fn operands_of_a_mixed_sum_are_both_marked() {
    let text = "depth - kick + 3";
    let faults = faults(text);
    let also: Vec<_> =
        faults[0].also.iter().map(|(place, label)| (marked(text, *place), label.as_str())).collect();
    assert_eq!(also, [("depth - kick", "14 1/2\" (a length)"), ("3", "3 (a number)")]);
}

#[test]
fn conditions_guard_what_stands_behind_them() {
    for text in [
        "none > 0 and width / none > 3\"",
        "none = 0 or width / none > 3\"",
        "if(none = 0, no, width / none > 3\")",
    ] {
        assert!(matches!(value(text), Ok(Value::Truth(_))), "{text}");
    }
    let mut bench = Stand::new();
    eval(&parsed("if(lid, kick, depth)"), &mut bench).unwrap();
    assert_eq!(bench.asked, ["lid", "kick"]);
}

/// 40" / 3 leaves a third of a unit, which is kept until the value is placed: three times it is 40" again.
#[test]
fn thirds_are_exact_until_they_are_placed() {
    assert_eq!(length("40\" / 3 * 3"), Length::INCH * 40);
    assert_eq!(length("40\" / 3"), Length::from_units(27_093_333));
    assert_eq!(length("20\" / 3"), Length::from_units(13_546_667));
    assert_eq!(length("-20\" / 3"), Length::from_units(-13_546_667));
}

#[test]
fn values_become_what_a_key_wants_or_say_what_they_are() {
    let converted = |text: &str| {
        let expr = parsed(text);
        let value = eval(&expr, &mut Stand::new()).unwrap();
        let message = |fault: Diagnostic| format!("{}: {}", fault.check, fault.message);
        (
            as_length(&value, &expr, Units::Millimetre).map_err(message),
            as_count(&value, &expr).map_err(message),
            as_whole(&value, &expr).map_err(message),
        )
    };
    let (bare, count, whole) = converted("18");
    assert_eq!((bare, count, whole), (Ok(Length::MM * 18), Ok(18), Ok(18)));
    let (_, count, whole) = converted("-18");
    assert_eq!(
        (count.unwrap_err().as_str(), whole),
        ("negative-count: a count is 0 or more, but -18 is -18", Ok(-18))
    );
    let (number, count, _) = converted("bays / 2");
    assert_eq!(number.unwrap_err(), "wrong-kind: a length is wanted here, but bays / 2 is 2.5 (a number)");
    assert_eq!(count.unwrap_err(), "not-a-whole-number: a whole number is wanted, but bays / 2 is 2.5");
    let (length, count, _) = converted("kick");
    assert_eq!(length, Ok(Length::from_units(INCH * 7 / 2)));
    assert_eq!(count.unwrap_err(), "wrong-kind: a number is wanted here, but kick is 3 1/2\" (a length)");
    // a bare number off the grid is as wrong as the same length written out
    assert!(
        converted("1/3").0.unwrap_err().starts_with("length-notation: 1/3 is not a whole number of 1/80 µm")
    );
    assert!(converted("width * 1000000").0.unwrap_err().starts_with("number-too-large"));
    // 71 1/4" × 18" = 1809.75 mm × 457.2 mm
    assert!(converted("width * depth").0.unwrap_err().contains("827417.7 mm² (an area)"));
}

#[test]
fn sentences_show_their_values() {
    let mut bench = Stand::new();
    let text =
        "a {crate.width} crate needs {crate.width + 1/2\"}; there are {bays} bays, {{of birch: {carcass}}}";
    assert_eq!(
        fill(text, place_of(text), &mut bench).unwrap(),
        "a 13\" crate needs 13 1/2\"; there are 5 bays, {of birch: birch}"
    );
    assert_eq!(fill("{40\" / 3}", Place::default(), &mut bench).unwrap(), "about 13.3333\"");
    assert_eq!(fill("no braces", Place::default(), &mut bench).unwrap(), "no braces");
    assert_eq!(fill("", Place::default(), &mut bench).unwrap(), "");

    let text = "a {crate.width-1} and a {kick";
    let faults = Sentence::parse(text, place_of(text)).unwrap_err();
    let marks: Vec<_> = faults.iter().map(|fault| marked(text, fault.place)).collect();
    assert_eq!(marks, ["-", "{"]);
    let text = "a {crate.wdth}";
    let faults = fill(text, place_of(text), &mut bench).unwrap_err();
    assert_eq!(marked(text, faults[0].place), "crate.wdth");
}

#[test]
fn depth_and_length_are_limited_and_long_sums_are_not_deep() {
    let nested = |depth: usize| format!("{}1{}", "(".repeat(depth), ")".repeat(depth));
    assert!(parse(&nested(60), Place::default()).is_ok());
    for deep in
        [nested(70), "not ".repeat(70) + "yes", "- ".repeat(70) + "1", "max(".repeat(70), "a[".repeat(70)]
    {
        assert!(parse(&deep, Place::default()).unwrap_err().message.contains("64 deep"), "{deep}");
    }
    let long = ["1"; 900].join("+");
    assert_eq!(value(&long), Ok(Value::Quantity(Quantity::count(900))));
    let longer = ["1"; 1_100].join("+");
    assert!(parse(&longer, Place::default()).unwrap_err().message.contains("2199 bytes"));
}

#[test]
fn what_passes_the_largest_number_is_a_fault() {
    let big = ["999999999999"; 12].join(" * ");
    assert_eq!(faults(&big)[0].check, "number-too-large");
}

// ── properties ──────────────────────────────────────────────────────────────────────────────────────────────────────

/// An expression of whole numbers, worked out by the test's own arithmetic.
#[derive(Clone, Debug)]
enum Sum {
    Number(i64),
    Negative(Box<Sum>),
    Pair(Box<Sum>, char, Box<Sum>),
}

impl Sum {
    fn rank(&self) -> u8 {
        match self {
            Sum::Number(_) => 3,
            Sum::Negative(_) => 2,
            Sum::Pair(_, '*' | '/', _) => 1,
            Sum::Pair(..) => 0,
        }
    }

    /// With no more parentheses than the ranks need.
    fn text(&self) -> String {
        let within =
            |of: &Sum, least: u8| if of.rank() < least { format!("({})", of.text()) } else { of.text() };
        match self {
            Sum::Number(number) => number.to_string(),
            Sum::Negative(of) => format!("-{}", within(of, 2)),
            Sum::Pair(left, sign, right) => {
                format!("{} {sign} {}", within(left, self.rank()), within(right, self.rank() + 1))
            }
        }
    }

    fn value(&self) -> Option<Ratio<i128>> {
        Some(match self {
            Sum::Number(number) => Ratio::from_integer((*number).into()),
            Sum::Negative(of) => -of.value()?,
            Sum::Pair(left, sign, right) => {
                let (left, right) = (left.value()?, right.value()?);
                match sign {
                    '+' => left + right,
                    '-' => left - right,
                    '*' => left * right,
                    _ if *right.numer() == 0 => return None,
                    _ => left / right,
                }
            }
        })
    }
}

fn any_sum() -> impl Strategy<Value = Sum> {
    (0_i64..20).prop_map(Sum::Number).prop_recursive(4, 16, 2, |inner| {
        prop_oneof![
            inner.clone().prop_map(|of| Sum::Negative(Box::new(of))),
            (inner.clone(), prop::sample::select(vec!['+', '-', '*', '/']), inner)
                .prop_map(|(left, sign, right)| Sum::Pair(Box::new(left), sign, Box::new(right))),
        ]
    })
}

proptest! {
    #[test]
    fn ranks_and_order_are_those_of_arithmetic(sum in any_sum()) {
        let text = sum.text();
        let found = value(&text);
        match sum.value() {
            Some(expected) => match found {
                Ok(Value::Quantity(quantity)) => prop_assert_eq!(quantity.amount(), expected, "{}", text),
                other => prop_assert!(false, "{}: {:?}", text, other),
            },
            None => prop_assert!(found.is_err_and(|faults| faults[0].check == "division-by-zero"), "{}", text),
        }
    }

    #[test]
    fn rounding_lands_on_the_step_on_the_right_side(units in -10_000_000_i64..10_000_000, step in 1_i64..500_000) {
        let one = Quantity::length(Length::from_units(units));
        let other = Quantity::length(Length::from_units(step));
        use tickstick::values::quantity::Rounding;
        let rounded = |rounding| one.to_step(&other, rounding).ok().and_then(|found| found.to_length()).map(Length::units);
        let (down, up, near) = (rounded(Rounding::Down), rounded(Rounding::Up), rounded(Rounding::Nearest));
        let (Some(down), Some(up), Some(near)) = (down, up, near) else { panic!("no length") };
        prop_assert!(down % step == 0 && up % step == 0 && near % step == 0);
        prop_assert!(down <= units && units < down + step);
        prop_assert!(up >= units && units > up - step);
        prop_assert!((near - units).abs() * 2 <= step);
    }

    /// Adding needs one dimension, multiplying adds the powers: for any two quantities.
    #[test]
    fn dimensions_follow_the_powers(one in any_quantity(), other in any_quantity()) {
        let alike = one.dimension() == other.dimension();
        prop_assert_eq!(one.plus(&other).is_ok(), alike);
        prop_assert_eq!(one.compared(&other).is_ok(), alike);
        let power = one.dimension().power() + other.dimension().power();
        prop_assert_eq!(one.times(&other).ok().map(|found| found.dimension().power()), (power <= 3).then_some(power));
        let power = one.dimension().power() - other.dimension().power();
        prop_assert_eq!(one.over(&other).ok().map(|found| found.dimension().power()), (power >= 0).then_some(power));
    }

    #[test]
    fn no_text_breaks_the_parser(text in "[0-9/.'\" \\-+*()=<>,\\[\\]a-c½″]{0,40}|\\PC{0,40}|(max|if|not|and|\\(|kick|3\"| |,|\\)|-|1/2|\\.|\\[i\\]){0,14}") {
        if let Ok(expr) = parse(&text, place_of(&text)) {
            let _ = eval(&expr, &mut Stand::new());
        }
        if let Err(fault) = parse(&text, place_of(&text)) {
            let (start, end) = (fault.place.start as usize - 100, fault.place.end as usize - 100);
            prop_assert!(text.get(start..end).is_some(), "{:?}", fault);
            prop_assert!(!fault.cures.is_empty(), "{:?}", fault);
        }
        let _ = fill(&text, place_of(&text), &mut Stand::new());
    }
}

fn any_quantity() -> impl Strategy<Value = Quantity> {
    (1_i64..1_000, 0_u8..4).prop_map(|(count, power)| {
        let unit = Quantity::length(Length::from_units(1));
        (0..power).fold(Quantity::count(count), |found, _| found.times(&unit).unwrap())
    })
}

#[test]
fn a_plain_zero_fits_every_dimension() {
    assert_eq!(Quantity::zero().dimension(), Dimension::Zero);
    for text in [
        "kick + 0 = kick",
        "0 < kick",
        "kick * kick > 0",
        "bays > 0",
        "0 / kick = 0",
        "max(0, 0) = 0",
        "(0) < kick",
    ] {
        assert_eq!(value(text), Ok(Value::Truth(true)), "{text}");
    }
    // only the plain 0: a difference that happens to be nothing is still a number
    assert_eq!(faults("bays - 5 + kick")[0].check, "mixed-dimensions");
}
