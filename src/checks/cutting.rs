//! Findings about what cutting shops are sent: told where the drawings for their machines are made, explained here.

use super::Row;
use super::table::told;

/// What a machine cannot cut, or a shop could misread.
pub(super) const CUTTING: [Row; 7] = [
    told(
        "cutting-shop",
        "What is said of a cutting shop cannot be: a name in braces that stands for nothing, two operations with one layer, names of files that are all the same, a relief without a bit, tabs as high as the wood is thick.",
        "Write it as the message says, and ask the shop where you are not sure.",
    ),
    told(
        "cutting-layers",
        "Two operations would come to one layer, so that the machine could not tell them apart, or the name of a layer is longer than the version allows (31 characters in R12).",
        "Put {depth}, {diameter} or {face} into the name of the layer, or shorten it.",
    ),
    told(
        "corner-relief",
        "The relief of an inside corner has no room: it would run into the next one, past the end of its wall, into another side, or come within 2 mm of an edge.",
        "Take a smaller bit, relieve into the other wall, or make the cut wider.",
    ),
    told(
        "curve-tighter-than-bit",
        "A hollow curve has a smaller radius than the bit, which would leave it rounder than it is drawn.",
        "Give the curve at least the radius of the bit, or take a smaller bit.",
    ),
    told(
        "thin-bridge",
        "Less than 2 mm of wood would be left between two cuts right through, reliefs included, or in a finger beside one: it breaks under the bit. 2 mm is what cutting shops publish as their least.",
        "Move the cuts apart, or make one of the two.",
    ),
    told(
        "cut-unclean",
        "A line would cross or touch itself, two shapes of one layer would lie over each other, or a segment has next to no length. Machines stop at such lines or cut them twice, so nothing is written.",
        "Move what lies there apart, or cut it another way.",
    ),
    told(
        "parts-closer-than-bit",
        "Parts on a sheet are laid apart by the kerf of the saw, or by the bit of a shop that is sent whole sheets of that stock where it is wider. A layout with less between them would be cut into.",
        "Give the shop a kerf as wide as that bit, or send that shop the parts one by one.",
    ),
];
