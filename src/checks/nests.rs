//! Findings about sheet goods and how they are cut up: told where they are planned, explained here.

use super::Row;
use super::table::told;

/// Working out what is asked of the layouts, and planning them.
pub(super) const NESTS: [Row; 7] = [
    told(
        "two-sizes",
        "An offcut, a sheet or the least offcut to keep is given by two sizes; one is missing or there is one too many.",
        "Write the two sizes in brackets, in the order that the message says.",
    ),
    told(
        "figure-out-of-range",
        "A number without a unit is smaller or larger than makes sense for this key.",
        "Write a whole number within the range that the message gives.",
    ),
    told(
        "grain-match",
        "Boards that share a name under grain_match are cut side by side from one piece of sheet goods, so that the grain runs on from one to the next. That needs one stock, one show face, one grain, one row, and one common size across the row.",
        "Take the board that differs out of the set, or make it like the others.",
    ),
    told(
        "larger-than-trimmed-sheet",
        "A part would fit the whole sheet, but not what is left of it within the edge trims; or a set of parts that are cut from one piece is larger than any sheet.",
        "Take less off the edges, make the part smaller, take larger stock, or make two sets.",
    ),
    told(
        "edge-trim-takes-all",
        "The strips that come off the factory edges are so wide that nothing of the sheet is left.",
        "Give a smaller edge_trim.",
    ),
    told(
        "sheet-out-of-range",
        "A sheet is longer than any that is made (about 13 m), so nothing is laid out on it.",
        "Look for a slip of the pen in the size or its unit.",
    ),
    told(
        "sheets-not-laid-out",
        "The parts of a stock cannot be laid out on its sheets for a reason that no other check names.",
        "Look at the shop's kerf, edge trim and sheet sizes.",
    ),
];
