//! The keys of how sheet goods are cut up: sizes sold, the rack of offcuts, the effort. Part of `language`, which holds the rest.

use super::read::{Formula, Name, OneOrMany, Words, section};

/// More effort than this is a slip of the pen: hours.
pub const MOST_EFFORT: i64 = 100_000;

section! {
    /// `nests`: how hard the program looks for a good layout of parts on sheets.
    pub struct NestsSpec {
        /// Steps of work; twice the effort takes about twice the time. Default 10.
        pub effort: Option<Formula>,
        /// Another whole number gives another layout, as good on average. Default 1.
        pub seed: Option<Formula>,
    }
}

section! {
    /// One of a stock's `other_sizes`: a sheet that is sold beside the usual one.
    pub struct SheetSizeSpec {
        /// Width and length of a whole sheet, as in the stock's `sheet`.
        pub size: OneOrMany<Formula>,
        /// Price of one; the stock's own `price` is for its `sheet`. Where every size has one, the cheapest set of sheets is taken, else the
        /// least area.
        pub price: Option<Words>,
    }
}

section! {
    /// One of the shop's `offcuts`: equal pieces in the rack, their edges sawn already.
    pub struct OffcutSpec {
        /// The stock they are of.
        pub stock: Name,
        /// Size across the grain, then along it.
        pub size: OneOrMany<Formula>,
        /// How many there are. Default 1.
        pub count: Option<Formula>,
    }
}
