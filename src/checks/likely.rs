//! Figures of the shop that no shop has: told where they are read, explained here.

use super::Row;
use super::table::told;
use crate::diagnose::Severity::Warning;

const fn unlikely(name: &'static str, meaning: &'static str, cure: &'static str) -> Row {
    Row { severity: Warning, ..told(name, meaning, cure) }
}

/// Reading the shop.
pub(super) const LIKELY: [Row; 4] = [
    unlikely(
        "kerf-unlikely",
        "The saw's cut is said to be wider than 1/2\" (12.7 mm). A full-kerf blade cuts 1/8\" (3.2 mm), a thin one 3/32\" (2.4 mm).",
        "Cut a scrap and measure the slot.",
    ),
    unlikely(
        "machine-unlikely",
        "A jointer or planer is said to be narrower than any that is made (4\", 100 mm), so that every piece would count as too wide for it.",
        "Give the width that it planes, or leave it out.",
    ),
    unlikely(
        "offcut-sides-swapped",
        "The least offcut to keep is given as [short side, long side], and the first is the longer one.",
        "Turn the two round.",
    ),
    unlikely(
        "collar-unlikely",
        "A guide collar is said to be larger than 2\" (50.8 mm) outside, and the shop lists no collars. The offset of the template goes by this figure.",
        "Measure the collar with a caliper, and list it under the shop's `collars`.",
    ),
];
