//! Every fault says where, with the numbers, and what would cure it.

use std::collections::BTreeSet;
use std::path::Path;

use super::*;

/// A job with one assembly `rack` and birch, 0.709" thick; `rest` stands under the assembly, two steps in.
fn rack(rest: &str) -> String {
    format!(
        "stock:\n  birch: {{sheet: [48\", 96\"], thick: 0.709\"}}\nassemblies:\n  rack:\n{}",
        rest.lines().map(|line| format!("    {line}\n")).collect::<String>()
    )
}

const END: &str = "end: {stock: birch, faces: side, left: 0, front: 0, depth: 12\", bottom: 0, height: 30\"}";

/// A rack with this part besides its end.
fn with_part(part: &str) -> String {
    rack(&format!("parts:\n  {END}\n  {part}"))
}

/// The one fault of a spec.
fn fault(yaml: &str) -> Diagnostic {
    let (_, mut faults) = laid(yaml);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    faults.remove(0)
}

/// The text that a fault points at.
fn pointed<'y>(yaml: &'y str, fault: &Diagnostic) -> &'y str {
    &yaml[fault.place.start as usize..fault.place.end as usize]
}

#[test]
fn three_that_disagree_say_by_how_much() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: 12\", right: 29 1/2\", width: 18\", front: 0, depth: 12\", bottom: 3\"}",
    );
    let found = fault(&yaml);
    assert_eq!(found.check, "placement-disagrees");
    assert_eq!(
        found.message,
        "rack.shelf: left 12\" and width 18\" make 30\", but right says 29 1/2\", which is 1/2\" less"
    );
    assert_eq!(pointed(&yaml, &found), "29 1/2\"");
    assert_eq!(found.cures[0].text, "drop one of the three");
}

#[test]
fn too_little_says_what_is_missing() {
    let yaml = with_part("shelf: {stock: birch, faces: up, left: 12\", front: 0, depth: 12\", bottom: 3\"}");
    let found = fault(&yaml);
    assert_eq!(found.check, "too-little-given");
    assert_eq!(found.message, "rack.shelf: of left, right and width only left is given; two are needed");
    assert_eq!(found.cures[0].text, "add right or width");
    assert_eq!(pointed(&yaml, &found), "shelf");
}

#[test]
fn no_size_and_negative_size() {
    let shelf = |size: &str| {
        with_part(&format!(
            "shelf: {{stock: birch, faces: up, left: 12\", {size}, front: 0, depth: 12\", bottom: 3\"}}"
        ))
    };
    assert_eq!(fault(&shelf("width: 0")).message, "rack.shelf: width is 0\"; it must be more than nothing");
    assert_eq!(
        fault(&shelf("right: 10\"")).message,
        "rack.shelf: right 10\" is not beyond left 12\", so width would be -2\""
    );
    assert_eq!(fault(&shelf("right: 10\"")).check, "no-size");
}

#[test]
fn a_thickness_that_is_not_the_stocks() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: 0, right: 20\", front: 0, depth: 12\", bottom: 3\", height: 3/4\"}",
    );
    let found = fault(&yaml);
    assert_eq!(found.check, "thickness-disagrees");
    assert_eq!(
        found.message,
        "rack.shelf: height is 3/4\", but birch is 0.709\" thick and its faces look that way"
    );
    assert_eq!(pointed(&yaml, &found), "3/4\"");
    let (also, _) = &found.also[0];
    assert_eq!(&yaml[also.start as usize..also.end as usize], "0.709\"");
}

#[test]
fn a_circle_is_printed_as_a_circle() {
    let yaml = rack("values:\n  a: b + 1\"\n  b: c - 1\"\n  c: a * 2\nparts: {}");
    let found = fault(&yaml);
    assert_eq!(found.check, "circle");
    assert_eq!(found.message, "these lean on each other in a circle: a -> b -> c -> a");
    let steps: Vec<&str> =
        found.also.iter().map(|(place, _)| &yaml[place.start as usize..place.end as usize]).collect();
    assert_eq!(steps, ["b + 1\"", "c - 1\"", "a * 2"]);
}

#[test]
fn a_circle_of_faces_names_the_boards() {
    let yaml = rack(
        "parts:\n  \
         one: {stock: birch, faces: side, left: other.right, front: 0, depth: 12\", bottom: 0, height: 30\"}\n  \
         other: {stock: birch, faces: side, right: one.left, front: 0, depth: 12\", bottom: 0, height: 30\"}",
    );
    assert_eq!(
        fault(&yaml).message,
        "these lean on each other in a circle: one (left, right) -> other (left, right) -> one (left, right)"
    );
}

#[test]
fn a_circle_over_two_assemblies_names_them() {
    let yaml = "assemblies:\n  low:\n    values: {top: high.foot}\n  high:\n    values: {foot: low.top}\n";
    assert_eq!(fault(yaml).message, "these lean on each other in a circle: low.top -> high.foot -> low.top");
}

#[test]
fn an_unknown_name_gets_the_nearest() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: edn.right, right: 20\", front: 0, depth: 12\", bottom: 3\"}",
    );
    let found = fault(&yaml);
    assert_eq!((found.check, found.message.as_str()), ("unknown-name", "nothing here is called `edn`"));
    assert_eq!(found.cures[0].text, "write `end`, if that is meant");
    assert_eq!(pointed(&yaml, &found), "edn.right");

    let yaml = with_part(
        "shelf: {stock: brich, faces: up, left: 0, right: 20\", front: 0, depth: 12\", bottom: 3\"}",
    );
    let found = fault(&yaml);
    assert_eq!(found.message, "there is no stock called `brich`");
    assert_eq!(found.cures[0].text, "write `birch`, if that is meant");
}

/// A length and a count cannot be added; what the fault says of it is the formulas' own affair.
#[test]
fn mixed_dimensions_and_a_wrong_unit() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: end.right + 2, right: 20\", front: 0, depth: 12\", bottom: 3\"}",
    );
    assert_eq!(fault(&yaml).check, "mixed-dimensions");
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: 3 furlongs, right: 20\", front: 0, depth: 12\", bottom: 3\"}",
    );
    assert!(pointed(&yaml, &fault(&yaml)).contains("furlongs"));
}

#[test]
fn a_run_named_without_a_number() {
    let yaml = with_part(
        "divider: {stock: birch, faces: side, count: 4, left: i * 6\", front: 0, depth: 12\", bottom: 0, height: 30\"}\n  \
         shelf: {stock: birch, faces: up, left: divider.left, right: 30\", front: 0, depth: 12\", bottom: divider.top}",
    );
    let found = fault(&yaml);
    assert_eq!(found.check, "which-board");
    assert_eq!(found.message, "divider is 4 boards; say which: `divider[1].left`");
    assert_eq!(pointed(&yaml, &found), "divider.left");
    // The face that all four share needs no number, and its own word is enough.
    let one = yaml.replace("divider.left", "'divider[4].left'");
    assert_eq!(along(board(&good(&one), "rack.shelf"), Axis::Across).0, length("24\""));
    assert_eq!(along(board(&good(&one), "rack.shelf"), Axis::Up).0, length("30\""));
    let none = fault(&yaml.replace("divider.left", "'divider[5].left'"));
    assert_eq!(
        (none.check, none.message.as_str()),
        ("no-such-board", "divider counts 1 to 4; there is no divider[5]")
    );
}

#[test]
fn a_million_bays_are_refused_at_once() {
    let divider = |count: &str| {
        with_part(&format!(
            "divider: {{stock: birch, faces: side, count: {count}, left: i * 6\", front: 0, depth: 12\", bottom: 0, height: 30\"}}"
        ))
    };
    let yaml = divider("1000000");
    let found = fault(&yaml);
    assert_eq!(found.check, "too-many");
    assert_eq!(found.message, "divider would be 1000000 pieces; a job has at most 10000");
    assert_eq!(pointed(&yaml, &found), "1000000");
    // One end and ten thousand dividers: each entry within the bound, all together not.
    let found = fault(&divider("10000"));
    assert_eq!(found.message, "the job would have 10001 boards, 10000 of them divider; the most is 10000");
    assert_eq!(fault(&divider("0 - 2")).check, "negative-count");
    // Through a template the bound of its own parameter speaks first.
    let bench = "include: [shop.yaml]\nassemblies:\n  bench:\n    template: bay-bench\n    with: {width: 72\", bays: 1000000, \
                 carcass: birch, frame: poplar, back_panel: thin_ply, seat: ash}\n";
    assert_eq!(messages(bench), ["bays is 1000000, but the most is 24"]);
}

#[test]
fn parameters_out_of_range_missing_or_of_the_wrong_kind() {
    let with = |given: &str| {
        rack(&format!(
            "with: {{{given}}}\nparameters:\n  \
             high: {{is: length, least: 20\", most: high_most}}\n  \
             shelves: {{is: count, default: 2}}\n  \
             way: {{is: one_of, of: [open, closed], default: open}}\n  \
             sheet: {{is: stock, default: birch}}\n  \
             back: {{is: yes_no, default: yes}}\n\
             values: {{high_most: 90\"}}"
        ))
    };
    assert!(laid(&with("high: 30\"")).1.is_empty());
    assert!(laid(&with("high: 30\", way: closed, sheet: birch, back: no")).1.is_empty());
    assert_eq!(
        fault(&with("high: 12\"")).message,
        "high is 12\" (a length), but the least is 20\"".replace(" (a length)", "")
    );
    assert_eq!(fault(&with("high: 100\"")).message, "high is 100\", but the most is 90\"");
    assert_eq!(fault(&with("")).message, "rack needs `high`");
    assert_eq!(fault(&with("high: 30\", shelves: 0 - 1")).message, "shelves is -1, but the least is 0");
    assert_eq!(fault(&with("high: 30\", shelves: 2.5")).check, "not-a-whole-number");
    assert_eq!(fault(&with("high: 30\", shelves: 3\"")).check, "wrong-kind");
    assert_eq!(fault(&with("high: 30\", back: 3")).check, "wrong-kind");
    let choice = fault(&with("high: 30\", way: close"));
    assert_eq!(choice.message, "way is one of open, closed, not `close`");
    assert_eq!(choice.cures[0].text, "write `closed`");
    assert_eq!(fault(&with("high: 30\", sheet: oak")).message, "there is no stock called `oak`");
}

#[test]
fn several_faults_are_told_at_once_and_what_follows_stays_quiet() {
    let yaml = rack(
        "values:\n  bay: wide / 2\n  half: bay / 2\nparts:\n  \
         end: {stock: birch, faces: side, left: bay, front: 0, depth: 12\", bottom: 0, height: 30\"}\n  \
         shelf: {stock: birch, faces: up, left: end.right, width: half, front: 0, depth: 12\", bottom: end.bottom}\n  \
         rail: {stock: oak, faces: front, left: 0, width: 10\", front: 0, bottom: 0, height: 3\"}\n\
         joints:\n  - {butt: shelf, against: end}\n  - {butt: rail, against: shelv}\n\
         require:\n  - {that: half > 3\", else: \"half is {half}\"}",
    );
    let mut found = messages(&yaml);
    found.sort();
    assert_eq!(
        found,
        [
            "nothing here is called `wide`",
            "rack has no part called `shelv`",
            "there is no stock called `oak`",
        ]
    );
}

#[test]
fn stock_is_held_to_its_form() {
    let stock = |body: &str| messages(&format!("stock:\n  oak: {{{body}}}\n"));
    assert_eq!(stock("sheet: [48\"], thick: 18 mm"), ["oak: a sheet has two sizes, but one is given"]);
    assert_eq!(stock("sheet: [48\", 96\"], thick: 0"), ["oak.thick is 0\"; it must be more than nothing"]);
    assert_eq!(
        stock("sheet: [48\", 96\"], thick: 0 - 3/4\""),
        ["oak.thick is -3/4\"; it must be more than nothing"]
    );
    assert_eq!(stock("thick: 3/4\""), ["oak: neither `sheet` nor `board` says what it is"]);
    assert_eq!(
        stock("sheet: [48\", 96\"], board: yes, thick: 3/4\""),
        ["oak cannot be sheet goods and solid wood at once"]
    );
    assert_eq!(
        stock("sheet: [48\", 96\"], widths: [3\"], thick: 3/4\""),
        ["oak: `widths` is for solid wood, but this is a sheet"]
    );
    assert_eq!(
        stock("sheet: [48\", -96\"], thick: 3/4\""),
        ["length of oak is -96\"; it must be more than nothing"]
    );
    assert_eq!(stock("sheet: [48\", 2 km], thick: 3/4\"").len(), 1);
}

#[test]
fn a_name_that_could_mean_two_things() {
    let found = messages(
        "stock:\n  oak: {board: yes, thick: 1\"}\nthings:\n  oak: {width: 1\", depth: 1\", height: 1\"}\n",
    );
    assert_eq!(found, ["`oak` names a thing and a stock; a formula could mean either"]);
    let found = messages(&rack("parameters: {a: {is: count, default: 1}}\nvalues: {a: 2, min: 3}"));
    assert_eq!(
        found,
        [
            "`a` names a parameter and a value; a formula could mean either",
            "`min` has a meaning of its own, so it cannot name a value",
        ]
    );
    // A value by its bare name and an opening by its faces are told apart.
    let yaml = rack(
        "values: {bay: 10\"}\nopenings:\n  bay: {left: 0, width: bay, front: 0, depth: 5\", bottom: 0, height: bay.width}",
    );
    assert_eq!(
        good(&yaml).openings[0].span.map(|along| along.size()),
        [length("10\""), length("5\""), length("10\"")]
    );
}

#[test]
fn parts_that_are_incomplete_or_face_the_wrong_way() {
    let part = |keys: &str| {
        with_part(&format!("rail: {{{keys}, left: 0, width: 10\", front: 0, bottom: 0, height: 3\"}}"))
    };
    assert_eq!(fault(&part("stock: birch")).message, "rail does not say where its broad faces look");
    assert_eq!(fault(&part("faces: front")).message, "rail does not say what it is cut from");
    let shown = fault(&part("stock: birch, faces: front, show: left"));
    assert_eq!(shown.message, "rail: its left side is an edge, and only a broad face can be the show face");
    assert_eq!(shown.cures[0].text, "write `show: front` or `show: back`");
    assert_eq!(
        fault(&part("stock: birch, faces: front, grain: deep")).message,
        "rail: the grain cannot run `deep`, through the thickness of the board"
    );
}

#[test]
fn a_part_that_is_left_out_is_not_there() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, when: no, left: 0, width: 3\", front: 0, depth: 12\", bottom: 3\"}\n  \
         rail: {stock: birch, faces: front, left: 0, width: 10\", front: 0, bottom: shelf.top, height: 3\"}",
    );
    let found = fault(&yaml);
    assert_eq!(
        (found.check, found.message.as_str()),
        ("part-not-there", "shelf is not there, so it has no top")
    );
    let asked = yaml.replace("bottom: shelf.top", "bottom: 'if(shelf.count > 0, shelf.top, 1\")'");
    assert_eq!(along(board(&good(&asked), "rack.rail"), Axis::Up).0, length("1\""));
    // A joint with it falls away in silence.
    let joined = format!("{asked}    joints:\n      - {{butt: shelf, against: end}}\n");
    assert!(good(&joined).asked.is_empty());
    let kept_out = with_part("shelf: {stock: birch, faces: up, keep: no}");
    assert_eq!(good(&kept_out).boards.len(), 1);
}

#[test]
fn a_length_beyond_all_measure() {
    let yaml = with_part(
        "shelf: {stock: birch, faces: up, left: 900 m, width: 900 m, front: 0, depth: 12\", bottom: 3\"}",
    );
    assert_eq!(fault(&yaml).message, "rack.shelf would reach further than 1 km from its zero");
}

/// Names that lean on names for ever are refused before the stack is.
#[test]
fn a_chain_that_is_too_deep() {
    let values: String = (0..3_000).map(|n| format!("  v{n}: v{} + 1\"\n", n + 1)).collect();
    let found = messages(&rack(&format!("values:\n{values}  v3000: 1\"")));
    assert!(found.iter().any(|message| message.contains("too deep")), "{:?}", found.first());
    // Each link itself as deep as a formula may be.
    let deep = |name: &str| format!("{}{name}{}", "-(min(".repeat(20), ", 1\"))".repeat(20));
    let values: String = (0..300).map(|n| format!("  v{n}: {}\n", deep(&format!("v{}", n + 1)))).collect();
    let found = messages(&rack(&format!("values:\n{values}  v300: 1\"")));
    assert!(found.iter().any(|message| message.contains("too deep")), "{:?}", found.first());
    // Boards that lean on their neighbours, asked for from the far end.
    let yaml = with_part(
        "divider: {stock: birch, faces: side, count: 500, left: 'if(i = 500, 3 m, divider[i + 1].left - 6 mm)', front: 0, depth: 12\", bottom: 0, height: 30\"}",
    );
    let found = messages(&yaml);
    assert!(found.iter().any(|message| message.contains("too deep")), "{:?}", found.first());
    // In order they lean on what is known already.
    let yaml = with_part(
        "divider: {stock: birch, faces: side, count: 500, left: 'if(i = 1, 0, divider[i - 1].left + 6 mm)', front: 0, depth: 12\", bottom: 0, height: 30\"}",
    );
    let boards = good(&yaml);
    assert_eq!(along(board(&boards, "rack.divider[500]"), Axis::Across).0, Length::MM * (499 * 6));
}

#[test]
fn joints_are_held_to_their_words() {
    let joint = |joint: &str| {
        with_part(&format!(
            "divider: {{stock: birch, faces: side, count: 2, left: i * 6\", front: 0, depth: 12\", bottom: 0, height: 30\"}}\n\
             joints:\n  - {{{joint}}}"
        ))
    };
    let said = |text: &str| fault(&joint(text)).message;
    assert_eq!(said("notch: divider"), "`notch` does not say around what");
    assert_eq!(said("notch: divider, with: end"), "`notch` goes with `around`, not with `with`");
    assert_eq!(said("notch: divider, around: end, butt: end"), "`notch` and `butt` stand in one joint");
    assert_eq!(said("around: end"), "this joint does not say what is done to the first board");
    assert_eq!(
        said("butt: divider, against: ends, cut_from: top"),
        "`cut_from` is for a halving, not for a butt"
    );
    assert_eq!(said("house: divider, in: wall"), "the wall cannot stand under `in`");
    assert_eq!(said("butt: end, against: end"), "a butt of a board with itself");
    assert_eq!(said("butt: 'divider[3]', against: end"), "divider counts 1 to 2; there is no divider[3]");
    assert_eq!(said("butt: 'divider[x]', against: end"), "`divider[x]` is no name of a board");
    assert_eq!(said("butt: shelf.end, against: end"), "there is no assembly called `shelf`");
    let near = fault(&joint("butt: divide, against: end"));
    assert_eq!(near.message, "rack has no part called `divide`");
    assert_eq!(near.cures[0].text, "write `divider`, if that is meant");
    assert_eq!(
        said("butt: end, against: divider, fit: 0 - 1 mm"),
        "the fit of a joint is -1 mm; it cannot be less than nothing"
    );
    assert_eq!(
        said("butt: end, against: divider, fix: {by: screws, size: 3\"}"),
        "the size of a screw is its gauge number, 0 to 24, but this is 3\" (a length)"
    );
    assert_eq!(said("butt: end, against: divider, fix: {by: brads, size: 3}"), "a brad has no `size`");
    assert_eq!(
        said("butt: end, against: divider, fix: {by: screws, count: 0}"),
        "0 of one screw in a contact; it must be 1 to 10 000"
    );
}

#[test]
fn conditions_say_their_sentence_with_the_values() {
    let yaml = |condition: &str| rack(&format!("values: {{bay: 11 1/2\"}}\nrequire:\n  - {condition}"));
    let refused = fault(&yaml("{that: bay >= 12\", else: \"a bay is {bay}, {12\\\" - bay} short\"}"));
    assert_eq!((refused.check, refused.message.as_str()), ("require", "a bay is 11 1/2\", 1/2\" short"));
    let warned = fault(&yaml("{that: bay >= 12\", else: short, warn: yes}"));
    assert_eq!(warned.severity, tickstick::diagnose::Severity::Warning);
    assert!(laid(&yaml("{that: bay >= 11\", else: short}")).1.is_empty());
    // A slip in the sentence is told even where the condition holds.
    assert_eq!(fault(&yaml("{that: bay >= 11\", else: \"a bay is {bey}\"}")).check, "unknown-name");
}

/// A check's name is a text of small letters with hyphens, or the first argument of a diagnostic.
fn names_of_checks(room: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for file in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(room)).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        let text = text.split("#[cfg(test)]").next().unwrap_or("");
        let code: Vec<&str> = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        let code = code.join("\n");
        let is_name =
            |text: &str| text.contains('-') && text.chars().all(|c| c.is_ascii_lowercase() || c == '-');
        names.extend(code.split('"').filter(|text| is_name(text) && text.len() > 3).map(str::to_owned));
        for call in code.split("Diagnostic::error(").chain(code.split("Diagnostic::warning(")).skip(1) {
            let name = call.trim_start().strip_prefix('"').and_then(|rest| rest.split('"').next());
            names.extend(name.map(str::to_owned));
        }
    }
    names
}

#[test]
fn every_fault_of_values_and_boards_is_explained() {
    let told: BTreeSet<String> =
        names_of_checks("values").union(&names_of_checks("boards")).cloned().collect();
    assert!(told.len() > 40, "{told:?}");
    let missing: Vec<_> = told.iter().filter(|name| tickstick::explain(name).is_none()).collect();
    assert!(missing.is_empty(), "no row for {missing:?}");
}
