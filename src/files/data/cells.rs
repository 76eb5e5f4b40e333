//! Cells of CSV lists.

use num_rational::Ratio;

use crate::trade::money::show_number;

/// Text that a spreadsheet shows and does not work out: what begins like a formula gets an apostrophe before it.
pub(super) fn guarded(text: &str) -> String {
    if text.trim_start().starts_with(['=', '+', '-', '@']) || text.starts_with(['\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// A quantity with at most three decimals.
pub(super) fn quantity(number: Option<Ratio<i128>>) -> String {
    number.map(show_number).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn what_begins_like_a_formula_is_shown_as_text() {
        for text in ["=1+1", "+1", "-1", "@sum", " =1", "\t=1"] {
            assert_eq!(guarded(text), format!("'{text}"));
        }
        for text in ["birch", "1/4 birch ply", "#8 × 1 1/4\""] {
            assert_eq!(guarded(text), text);
        }
    }
}
