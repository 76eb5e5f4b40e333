//! Rows for what the stages before the waist tell where they find it: formulas and values, and the placing of boards. What
//! reading the files can find is explained in its own room.

use super::Row;
use super::table::told;

/// Working out formulas and values.
pub(super) const VALUES: [Row; 22] = [
    told(
        "circle",
        "Values need one another in a ring, so none of them can be worked out first. The message prints the ring.",
        "Give one of them a value of its own.",
    ),
    told(
        "division-by-zero",
        "A formula divides by something that is zero here.",
        "Ask first with if(), or change the value that is zero.",
    ),
    told(
        "formula-syntax",
        "A formula breaks off, or something stands in it that cannot stand there.",
        "Look at brackets and signs; a minus needs a space on both sides, and inch marks go in single quotes.",
    ),
    told(
        "length-notation",
        "A length is written in a way that could be misread or not read at all.",
        "Write it as the message shows: 3/4\", 1 1/4\", 5' 4 1/2\", 0.709\", 18 mm.",
    ),
    told(
        "mixed-dimensions",
        "A formula adds, compares or gives out things of different kinds: a length and a count, a length and an area.",
        "Give the plain number a unit, or multiply instead of adding.",
    ),
    told(
        "name-said-twice",
        "One name is given to two things that formulas could mean.",
        "Give one of them another name.",
    ),
    told(
        "negative-count",
        "There cannot be fewer than none of something.",
        "Keep the count from falling below 0 with max(…, 0).",
    ),
    told(
        "negative-step",
        "A value is to be rounded to a step that is not above 0.",
        "Write the step without its minus.",
    ),
    told(
        "not-a-condition",
        "Something that must be true or false is a length or a number.",
        "Compare it with something, as in `width >= 10\"`.",
    ),
    told(
        "not-a-stock",
        "A name stands where a stock must be, and is another kind of value.",
        "Name a stock, or declare the parameter with `is: stock`.",
    ),
    told(
        "not-a-whole-number",
        "A count comes out with a fraction.",
        "Use round_up(), round_down() or nearest().",
    ),
    told(
        "not-given",
        "A formula asks for something that its owner does not have: the widths of a sheet, the kerf of a shop that gives none.",
        "Add it where the message says.",
    ),
    told(
        "not-positive",
        "A size that was measured must be more than nothing.",
        "Give the size as it was measured.",
    ),
    told(
        "number-too-large",
        "A number is larger than any length or count a job can hold.",
        "Look for a slip of the pen.",
    ),
    told(
        "parameter-choice",
        "A parameter takes one of a few words, and this is none of them.",
        "Take one of the words that are listed.",
    ),
    told(
        "parameter-missing",
        "The template needs a value for this parameter and has no default.",
        "Give it under `with`.",
    ),
    told(
        "parameter-out-of-range",
        "A parameter lies below its least or above its most value.",
        "Take a value between the two that are named.",
    ),
    told(
        "reserved-name",
        "The name belongs to the language: a function, a unit, a side.",
        "Call it by another word.",
    ),
    told(
        "stock-form",
        "A stock is either sheet goods (`sheet`) or solid wood (`board: yes`), each with its own keys.",
        "Give one of the two, and leave the keys of the other out.",
    ),
    told("too-long", "A length is more than 1 km: a slip of the pen.", "Look at the units and the formula."),
    told(
        "unknown-function",
        "The formulas have no function of this name.",
        "Take the function that is suggested.",
    ),
    told(
        "unknown-name",
        "A formula names something that is no parameter, value, stock, thing or board here.",
        "Take the name that is suggested, or define it under `values`.",
    ),
];

/// Placing boards.
pub(super) const BOARDS: [Row; 26] = [
    told(
        "corner",
        "A corner cannot be shaped as asked: it is no corner of this board, or the shape is larger than the sides that meet there.",
        "Name two sides that meet, and give sizes that fit.",
    ),
    told(
        "cut-out",
        "An opening or a recess cannot be cut as asked.",
        "Leave `deep` out where it goes through, and keep the radius within half of the smaller size.",
    ),
    told(
        "edge-profile",
        "An edge cannot take this profile: the profile is larger than the board, two are given, or the edge is not straight.",
        "Keep one of them, within the thickness.",
    ),
    told(
        "fixing-size",
        "`size` means the gauge of a screw or the diameter of a dowel; this is neither.",
        "Write `size: 8` for a #8 screw, or a length for a dowel.",
    ),
    told(
        "hole",
        "A hole cannot be drilled as asked.",
        "Leave `depth` out where it goes through, or make it shallower.",
    ),
    told(
        "joint-words",
        "A joint line is not one of `notch … around`, `halve … with`, `house … in`, `butt … against`, `mitre … with`, or holds a key of another kind of joint.",
        "Write it as one of the five.",
    ),
    told(
        "leaves-the-board",
        "An opening, a recess or a hole reaches over the edge of its board.",
        "Move it in; for a cut from the edge use a step of `corners`, a `path` or a notch.",
    ),
    told(
        "no-size",
        "A board, an opening or a space has no width, depth or height, or a negative one.",
        "Change one of the two sides that are named.",
    ),
    told("no-such-board", "A run has no board of this number.", "Take a number that the run has."),
    told(
        "not-a-face",
        "`show` names a side that is an edge of this board.",
        "Name one of the two broad faces.",
    ),
    told("not-an-edge", "The side that is named is no edge of this board.", "Name one of its four edges."),
    told(
        "part-incomplete",
        "A part lacks its stock, or which way its broad faces look.",
        "Add `stock` and `faces`.",
    ),
    told(
        "part-not-there",
        "A formula asks for a board that is left out here: its `when` is no or its count is 0.",
        "Ask first with if().",
    ),
    told(
        "path",
        "A free path is no outline: it crosses itself, has too few points, or does not touch all four sides.",
        "Give its points in order round the board.",
    ),
    told(
        "placement-disagrees",
        "Left, right and width (or front, back and depth, or bottom, top and height) do not agree; the message says by how much.",
        "Drop one of the three.",
    ),
    told(
        "repeat-twice",
        "A part says in two ways how many there are or where they stand.",
        "Keep one of count, spread, centres and halves.",
    ),
    told(
        "require",
        "A condition of the job or of its template does not hold.",
        "Change one of the sizes that the message names.",
    ),
    told(
        "run-too-full",
        "The boards of a run do not fit into it side by side.",
        "Take fewer boards, thinner stock or a longer run.",
    ),
    told(
        "shape",
        "The outline cannot be made: its shapes run into each other.",
        "Give the shapes less room.",
    ),
    told(
        "shaped-twice",
        "Two shapes are asked for at one corner or one edge.",
        "Keep one of them, or draw the outline with `path`.",
    ),
    told(
        "thickness-disagrees",
        "The size across the broad faces is not the thickness of the stock.",
        "Leave it out; the stock gives it.",
    ),
    told(
        "too-little-given",
        "Two of left, right and width are needed (one where the stock gives the thickness), and so for the other directions.",
        "Add one of the words that are named.",
    ),
    told(
        "too-many",
        "More boards, openings, holes or pairs than a job can hold: a slip of the pen in a count.",
        "Look at the counts.",
    ),
    told(
        "unknown-part",
        "A joint, a step or an opening names a part or an assembly that is not there.",
        "Take the name that is suggested.",
    ),
    told(
        "which-board",
        "A formula asks for a face of a run without saying of which board.",
        "Write the number in square brackets.",
    ),
    told(
        "unwritable",
        "The files could not be made of what is otherwise sound. A fault of the program.",
        "Keep the spec and report it.",
    ),
];
