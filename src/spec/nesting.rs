//! The keys of how sheet goods are cut up: sizes sold, the rack of offcuts, the effort. Part of `language`, which holds the rest.

use super::read::{Formula, Name, OneOrMany, section};

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
