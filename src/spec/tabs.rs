//! The keys of the tabs that hold small parts. Part of `language`, which holds the rest.

use super::read::{Flag, Formula, Words, section};

section! {
    /// `tabs` of a cutting shop: short bridges of wood at the bottom of the outline that hold a small part in its sheet until it is broken out. A bare `yes` stands for the defaults, `no` for none.
    #[bare(wanted)]
    pub struct TabsSpec {
        /// `no` leaves them out. Default `yes`.
        pub wanted: Option<Flag>,
        /// Length of a tab along the edge. Default 6 mm.
        pub width: Option<Formula>,
        /// Wood left under the bit, less than the stock is thick. Default 1 mm.
        pub height: Option<Formula>,
        /// Parts whose face is smaller than this get tabs, as `0.05 m2` or `0.5 ft2`. Default 0.05 m2.
        pub below: Option<Words>,
        /// One tab for each such length of the outline, begun ones counted, two at least. Default 200 mm.
        pub every: Option<Formula>,
    }
}
