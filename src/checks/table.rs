//! The table of findings. A new check is a function in this room and a row here; a finding of another stage is a row here.

use super::{Check, Row, capacity, clash, cutting_planes, fixing, meeting, passing, species, thickness};
use crate::diagnose::Severity::{Error, Warning};
use crate::diagnose::{Faults, Severity};
use crate::parts::Made;

pub(super) const fn told(name: &'static str, meaning: &'static str, cure: &'static str) -> Row {
    Row { name, severity: Error, meaning, cure, check: None }
}

pub(super) const fn looked_for(
    name: &'static str,
    severity: Severity,
    check: fn(&Made, &mut Faults),
    meaning: &'static str,
    cure: &'static str,
) -> Row {
    Row { name, severity, meaning, cure, check: Some(Check::Made(check)) }
}

/// Working out joints.
pub(super) const JOINTS: [Row; 20] = [
    told(
        "joint-does-not-meet",
        "A joint line names two boards that have nothing to join: they are apart, touch where they should overlap, or cross only where there is no wood. A line that names several boards asks only that each meets one of the others.",
        "Move or lengthen one of the boards, or take it out of the line.",
    ),
    told(
        "joined-twice",
        "Two lines say how the same two boards meet, and not both are butts (two butts of one pair are two ways of fixing it).",
        "Keep one of the two lines.",
    ),
    told(
        "notch-not-through",
        "A notch lets another board pass right through; this one goes in only part of the way.",
        "Make it a housing, or let the board pass through.",
    ),
    told(
        "joint-parts-board",
        "The cut would leave the board in two pieces.",
        "Let the other board stop inside the edges, or make two boards of this one.",
    ),
    told("joint-takes-all", "The cut would take the whole board away.", "Check where the two boards lie."),
    told(
        "cut-unsound",
        "The outline after the cut does not have the area that it must have, so nothing is built from it.",
        "Move the cut a little, or simplify the outline where it lies; and report the case.",
    ),
    told(
        "fit-too-large",
        "The gap asked for on each side is so large that the sides of the cut run into each other.",
        "Give a fit between 0 and 1/64\" (0.4 mm).",
    ),
    told(
        "halving-does-not-cross",
        "A halving needs two boards that cross, each passing right through the other's thickness.",
        "Let both run through, or house one in the other.",
    ),
    told(
        "halving-wrong-side",
        "The side given with cut_from is not one along which the two boards can be slid together.",
        "Give one of the two sides that are named.",
    ),
    told(
        "halving-not-open",
        "One of the two halves would not open at an edge, so the boards could not be slid together.",
        "Cut from the other side, or let both boards end on one line there.",
    ),
    told(
        "housing-goes-through",
        "A housing must leave wood under it; this board passes right through.",
        "Write a notch, or let the board reach in less far.",
    ),
    told(
        "housing-not-open",
        "The board lies wholly inside the thickness of the other and reaches neither of its faces. A housing or groove is entered from a face, not from an edge.",
        "Let it come out at one of the faces.",
    ),
    told(
        "stop-across-housing",
        "A housing can stop short only of the sides that it runs to.",
        "Give one of the sides that are named.",
    ),
    told(
        "stops-leave-nothing",
        "The stops take the whole length of the housing.",
        "Let it stop less far from the sides.",
    ),
    told(
        "mitre-not-at-corner",
        "Two boards can be mitred where each ends at the outer face of the other, so that their faces meet at the corner. A frame whose boards lie flat in one plane is not mitred.",
        "Lengthen or shorten the board to the position that is named, or butt the two.",
    ),
    told(
        "fixing-from-wrong-side",
        "The side given with from is not one that the two boards can be driven together from.",
        "Give one of the two sides that are named.",
    ),
    told(
        "fixing-side-unknown",
        "A board fixed to a wall needs to know which of its sides the wall is at.",
        "Add from: with the side that the fixings are driven from.",
    ),
    told(
        "fixing-cannot-hold",
        "This kind of fixing cannot join boards that lie like these.",
        "Take the kind that is proposed.",
    ),
    told(
        "fixing-no-room",
        "The distances from the ends leave no room on the contact, or so many fixings are asked for in one row that a figure must be wrong.",
        "Change ends:, spacing: or count: as the message says.",
    ),
    told(
        "unknown-gauge",
        "Wood screws are sold in certain gauges only (ASME B18.6.1 sizes).",
        "Take one of the gauges that are named.",
    ),
];

/// Comparing with an earlier state of the job.
pub(super) const REVISING: [Row; 1] = [Row {
    severity: Warning,
    ..told(
        "revision-unchanged",
        "Parts differ from those of the state that is compared, but the revision letter is the same. Two drawings of one part under one letter cannot be told apart in the shop.",
        "Write the next letter under job: revision, and the date of issue beside it.",
    )
}];

/// Looking at what is made.
pub(super) const CHECKS: [Row; 20] = [
    looked_for(
        "clash",
        Error,
        clash::clash,
        "Two boards claim the same space after all joints. Proved on the final solids, by another engine than the one that cut them.",
        "Say how the two meet in a joint line, or move one of them.",
    ),
    looked_for(
        "loose-board",
        Error,
        clash::loose_board,
        "No chain of joints leads from the board to something that reaches the floor or a wall.",
        "Join it to a board that is held, or write held_by: wall.",
    ),
    looked_for(
        "gap-at-butt",
        Error,
        clash::gap_at_butt,
        "Boards that are to butt are apart, overlap, or share no area where they should touch. Closer than 0.0001\" (2.5 µm) they touch.",
        "Move the face that is named by the size that is named.",
    ),
    looked_for(
        "weak-notch",
        Warning,
        capacity::weak_notch,
        "A notch or a slot leaves less wood beside or under it than the shop's least_wood, or than the stock is thick where the shop gives none (common practice).",
        "Move the cut, or let it run out at the edge.",
    ),
    looked_for(
        "slot-narrower-than-bit",
        Error,
        capacity::slot_narrower_than_bit,
        "A slot, a housing or a cut-out is narrower than the shop's bit, which is a warning, as there is a saw beside it, or than that of a cutting shop, which is an error.",
        "Use a thinner bit, or saw it.",
    ),
    looked_for(
        "part-larger-than-stock",
        Error,
        capacity::larger_than_stock,
        "The part does not come out of one sheet or board of its stock, grain respected and scribing allowance included.",
        "Turn the grain, allow glueing up, make two parts, or take larger stock.",
    ),
    looked_for(
        "beyond-the-saw",
        Warning,
        capacity::beyond_the_saw,
        "The part is wider than the shop's saw can rip or crosscut in one pass.",
        "Break it down with a track saw first.",
    ),
    looked_for(
        "grain-across",
        Warning,
        capacity::grain_across,
        "Solid wood more than twice as long across its grain as along it (common practice): it bends, moves and breaks across.",
        "Turn the grain.",
    ),
    looked_for(
        "fixing-comes-through",
        Error,
        fixing::comes_through,
        "The point of a fixing comes through a face or an edge, or leaves less than 1/16\" (common practice) over it. Computed from the fixing's axis, its length and the actual thickness.",
        "Use a shorter one.",
    ),
    looked_for(
        "head-pulls-through",
        Warning,
        fixing::head_pulls_through,
        "A countersunk head (82°, ASME B18.6.1) leaves less than 1/16\" (common practice) of the board under it.",
        "Use a smaller gauge, or staples or brads.",
    ),
    looked_for(
        "fixing-meets-cut",
        Error,
        meeting::meets_cut,
        "A fixing runs into a notch, a slot, a housing, a recess or a cut-out, or passes within 1/16\" (common practice) of one.",
        "Move it with ends:, spacing: or count:.",
    ),
    looked_for(
        "fixing-meets-fixing",
        Error,
        meeting::meets_fixing,
        "Two fixings meet in the wood, or pass within 1/16\" (common practice) of each other.",
        "Move one of them.",
    ),
    looked_for(
        "fixing-near-edge",
        Warning,
        fixing::near_edge,
        "A screw nearer to an edge than one and a half times its shank, or a staple or brad nearer than 1/8\" (common practice): the wood splits.",
        "Move it in, or use a thinner fixing.",
    ),
    looked_for(
        "section-cuts-nothing",
        Error,
        cutting_planes::cuts_nothing,
        "A section is asked for on a plane that meets no board of the assembly: it lies beyond it, or in a space between boards.",
        "Give a place within the reach of the assembly that is named, where there is wood.",
    ),
    looked_for(
        "species-unknown",
        Warning,
        species::unknown,
        "Solid wood is of a species that no table here has: its movement, weight and stiffness are not known, and nothing that hangs on them is checked.",
        "Name a species of the table, or one that behaves alike with `like`.",
    ),
    looked_for(
        "thickness-unlikely",
        Warning,
        thickness::unlikely,
        "A stock is thinner or thicker than any that is sold: under 1 mm, over 60 mm for sheet goods or 250 mm for solid wood (common practice). Mostly a bare number that was read in the spec's other unit.",
        "Write the unit behind the figure.",
    ),
    looked_for(
        "thing-does-not-pass",
        Error,
        passing::does_not_pass,
        "A thing at its largest, with its clearance, cannot pass from the front into the opening that is to hold it: face frame and whatever else stands before it counted.",
        "Widen the clear opening by the size that is named.",
    ),
    told(
        "nothing-to-build",
        "The spec is read and names no assembly: the drawings would be a cover and nothing behind it.",
        "Add an assembly under `assemblies`; `tickstick new bay-bench` prints a spec to begin with.",
    ),
    told(
        "unwritable",
        "The files could not be made of what is otherwise sound: a fault of the program.",
        "Keep the spec and report it.",
    ),
    // Told together with fixing-comes-through.
    told(
        "fixing-too-short",
        "A fixing does not reach the second board, or bites less than 3/8\" (common practice) into it.",
        "Use a longer one.",
    ),
];
