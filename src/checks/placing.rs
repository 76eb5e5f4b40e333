//! Findings of the stages that work out values and place boards: told there, explained here.

use super::Row;
use crate::diagnose::Severity::Error;

const fn told(name: &'static str, meaning: &'static str, cure: &'static str) -> Row {
    Row { name, severity: Error, meaning, cure, check: None }
}

/// Working out formulas and values.
pub(super) const VALUES: [Row; 29] = [
    told(
        "circle",
        "Values or faces of boards lean on each other in a circle, so that none of them can be worked out. The message prints the circle, and every step of it is marked.",
        "Give one of them a value that needs none of the others.",
    ),
    told(
        "division-by-zero",
        "A formula divides by zero, or rounds to a step of zero.",
        "Look at the value that becomes zero, or ask first: if(n > 0, width / n, 0).",
    ),
    told(
        "formula-syntax",
        "The text is no formula: a sign, a parenthesis or a value is missing or one too many.",
        "Write it as the message says. A subtraction has a space on both sides of its minus.",
    ),
    told(
        "leans-too-deep",
        "Each value needs the next, in a chain so long that it is refused before the machine's memory is.",
        "Work a run out from its start: i * pitch, or the board before, divider[i - 1].",
    ),
    told(
        "length-notation",
        "A number is written in a way that is no length, or finer than a rule or a caliper can show.",
        "Write it as the trade does: 3/4\", 1 1/4\", 5' 4-1/2\", 0.709\", 18 mm.",
    ),
    told(
        "mixed-dimensions",
        "A formula adds or compares a length with a plain number, or makes a measure that there is none of.",
        "Give the number a unit, or divide one length by another.",
    ),
    told(
        "name-said-twice",
        "Two things have one name where a formula could mean either. A bare name is a value, a parameter, a stock or a fit; a name with a dot is a part, an opening, a thing, a stock or an assembly.",
        "Give one of them another name.",
    ),
    told(
        "negative-count",
        "A count or a number of pieces is below what there can be.",
        "Keep it from falling below: max(bays - 1, 0).",
    ),
    told("negative-step", "A value is rounded to a step below zero.", "Write the step without its minus."),
    told(
        "not-a-condition",
        "A formula that must be yes or no is something else.",
        "Write yes, no or a comparison such as bay >= 12\".",
    ),
    told(
        "not-a-stock",
        "A part is to be cut from a parameter that is no stock.",
        "Declare the parameter with `is: stock`, or name a stock.",
    ),
    told(
        "not-a-whole-number",
        "A count or the number of a board is broken.",
        "Round it: round_down(width / 12\", 1).",
    ),
    told(
        "not-given",
        "A formula asks for a figure of the shop or of a stock that the spec does not give.",
        "Add the figure, or write the size itself.",
    ),
    told(
        "not-positive",
        "A size that must be more than nothing, or a gap that cannot be less than nothing, is.",
        "Give the size as it was measured.",
    ),
    told(
        "number-too-large",
        "A value is longer than 1 km, or has more digits than there is room for. Every value is exact, so such a formula is refused and never rounded.",
        "Look for a slip of the pen.",
    ),
    told(
        "parameter-choice",
        "The value is none of the words that the parameter can be.",
        "Choose one of them.",
    ),
    told(
        "parameter-missing",
        "A parameter has no value: it was not given and has no default, or its default names a stock that the job does not have.",
        "Give it under `with`.",
    ),
    told(
        "parameter-out-of-range",
        "A value lies outside the bounds that the template sets for the parameter.",
        "Choose a value within the bounds, or change the bound in a template of your own.",
    ),
    told(
        "printer-measured",
        "Three bars of the test page correct a printer: across, up, and corner to corner. Fewer do not tell, and a bar that is off by more than 5 % was scaled by a setting of the print dialogue.",
        "Print the test page at 100 %, measure A to B, A to C and B to C, and write the three in this order.",
    ),
    told(
        "printer-no-room",
        "The paper of a printer, less its margins and the check bars, leaves no room for a drawing.",
        "Print on larger paper, or give the printer's true margin.",
    ),
    told(
        "printer-paper",
        "A printer has either sheets, which have no width, or a roll, which has nothing else.",
        "Write one of the sheets, or `paper: roll` with the width of the roll.",
    ),
    told(
        "reserved-name",
        "The name has a meaning of its own in formulas or joints: `i`, `min`, `shop`, `wall` and the like.",
        "Choose another name.",
    ),
    told(
        "rod-end",
        "A story rod is measured from one of the two ends of its own line.",
        "Write `from` with a side of the line: left or right, front or back, bottom or top.",
    ),
    told(
        "section-plane",
        "A section of the sheets is one plane of one assembly: the assembly named where there are several, and one of across, deep and up.",
        "Name the assembly with `of`, and give one place; write a second section as a second entry.",
    ),
    told(
        "stock-form",
        "A stock is neither sheet goods nor solid wood, is both, or has keys of the other.",
        "Write `sheet: [width, length]` for sheet goods, or `board: yes` for solid wood.",
    ),
    told(
        "too-long",
        "Something would lie or reach further than 1 km from the zero of the room.",
        "Look for a slip of the pen in the formula.",
    ),
    told("unknown-function", "There is no such function.", "Take one of those that the message lists."),
    told(
        "unknown-name",
        "A formula names something that is no parameter, value, stock, thing or board here.",
        "Take the name that is suggested, or define it under values.",
    ),
    told(
        "which-board",
        "A run of boards is named without a number, and the face or size that is asked for differs from board to board.",
        "Say which board: divider[1].left.",
    ),
];

/// Placing boards.
pub(super) const BOARDS: [Row; 26] = [
    told(
        "corner",
        "A corner cannot be worked as it is described: its two sides do not meet, or it is not said in one way what is done to it.",
        "Name two sides that meet, and give one of `cut`, `radius` and `step`.",
    ),
    told(
        "cut-out",
        "A cut-out or a recess cannot be: its corners are too round for it, it is as deep as the board is thick, or two of them run into each other.",
        "Change its size or its place as the message says.",
    ),
    told(
        "edge-profile",
        "The shape of an edge takes more than the board has, is given in two ways, or would follow a curve.",
        "Take a smaller one, keep one, or leave the edge straight.",
    ),
    told(
        "fixing-size",
        "A fixing has a size that its kind does not have.",
        "Write the gauge number of a screw or the diameter of a dowel.",
    ),
    told(
        "grain",
        "The grain would run through the thickness of the board.",
        "Let it run along one of the two sizes of the face.",
    ),
    told(
        "hole",
        "A hole is as deep as the board is thick, or is placed through its thickness.",
        "Leave `depth` out if it is to go through.",
    ),
    told(
        "joint-words",
        "A joint does not say one thing that is done to one board and another: notch … around, halve … with, house … in, butt … against, mitre … with.",
        "Write one of the five, with its own partner.",
    ),
    told(
        "leaves-the-board",
        "A cut-out or a hole lies partly outside the board, or touches its edge, so that it would be a notch.",
        "Move it, or cut the edge with a step of `corners`, a `path` or a joint.",
    ),
    told(
        "no-size",
        "A board or a cut-out would have no size, or less than none.",
        "Change one of its measures.",
    ),
    told(
        "no-such-board",
        "A joint, a formula or a step names a board of a run that is not there.",
        "Take a number that there is, or take the board out of the line.",
    ),
    told(
        "not-a-board-name",
        "A joint or a step names boards in a way that is none.",
        "Write `divider`, `divider[2]` or `wall.panel`.",
    ),
    told("not-a-face", "The show face is to be an edge of the board.", "Name one of the two broad faces."),
    told(
        "not-an-edge",
        "A shape is asked for on a broad face, or on an edge that does not meet the other.",
        "Name one of the four edges.",
    ),
    told(
        "part-incomplete",
        "A part does not say what it is cut from, where its faces look, or how many it is.",
        "Add the key that the message names.",
    ),
    told(
        "part-not-there",
        "A formula asks for a face of a part that is left out, because its `when` is no or its count is 0.",
        "Ask first: if(shelf.count > 0, shelf.top, 0).",
    ),
    told(
        "path",
        "A free outline encloses nothing, runs into itself, or is not as large as the board.",
        "Give its points in order round the board, touching all four sides.",
    ),
    told(
        "placement-disagrees",
        "Two sides and a size are given, and they do not add up.",
        "Drop one of the three.",
    ),
    told(
        "repeat-twice",
        "Two keys say where the boards of a run lie, or how many there are.",
        "Leave one of them out.",
    ),
    told(
        "require",
        "A condition of the spec or of its template does not hold; the sentence is its own.",
        "Change one of the sizes that the condition names.",
    ),
    told(
        "run-too-full",
        "More boards stand in a run than there is room for, or a single one has to stand at both its ends.",
        "Take fewer boards or a longer run.",
    ),
    told(
        "shape",
        "The shapes of a board need more than its edges have, or run into each other.",
        "Make them smaller or the board larger.",
    ),
    told(
        "shaped-twice",
        "One edge or one corner is shaped twice.",
        "Leave one of the two out, or draw the outline with `path`.",
    ),
    told(
        "thickness-disagrees",
        "A board is given a thickness that its stock does not have.",
        "Leave the thickness to the stock; give the stock what the caliper says.",
    ),
    told(
        "too-little-given",
        "Along one direction a board, a cut-out or a hole is not fully placed.",
        "Add the measure that is missing.",
    ),
    told(
        "too-many",
        "There would be more boards, openings, holes or pairs of boards than a job can have.",
        "Look for a slip of the pen in a count.",
    ),
    told(
        "unknown-part",
        "A joint or a step names a part or an assembly that there is none of.",
        "Take the name that is suggested.",
    ),
];
