//! The keys of what is bought, at which price, and how rough wood is made into strips. Part of `language`, which holds the rest.

use super::language::FixingChoice;
use super::read::{Formula, Named, OneOrMany, Words, choice, section};

section! {
    /// How a stock is sold; these keys stand among those of the stock.
    pub struct SupplySpec {
        /// Solid wood: rough thickness as it is sold: `6/4`, or a length. Default what `called` says, else the thinnest that surfaces to `thick`.
        pub rough: Option<Words>,
        /// Solid wood of random widths: the narrowest and the widest board that can be had.
        pub random_width: OneOrMany<Formula>,
        /// Solid wood: what is added for knots, checks and sap, as a share of the net measure: `20%`. Default by the grade, else 20%.
        pub waste: Option<Words>,
        /// Solid wood: `fas`, `selects`, `common_1`, `common_2` or `common_3`; sets the waste.
        pub grade: Option<GradeChoice>,
        /// Solid wood: how strips are laid in a glued-up panel: `match` the show faces, or `alternate` the rings. Default `match`.
        pub strips: Option<StripsChoice>,
        /// Solid wood: `boards`, to be sawn to width; or `sticks`, mouldings and trims that are only cut to length. Default `boards`.
        pub sold: Option<SoldChoice>,
        /// Sticks: how a run longer than the longest stick is joined: `scarf`, at 45° through the thickness. Without it such a run is an error.
        pub joined: Option<JoinedChoice>,
        /// Price of one: `92` or `6.80`; of sheet goods one of the size under `sheet`.
        pub price: Option<Words>,
        /// What the price is for: `sheet`, `board_foot`, `cubic_metre`, `foot`, `metre`. Default `sheet` for sheet goods, else `board_foot`
        /// (`cubic_metre` in a metric spec), for sticks `foot` (`metre`).
        pub per: Option<PerChoice>,
    }
}

choice! {
    /// Grades of hardwood.
    pub enum GradeChoice {
        Fas = "fas", Selects = "selects", Common1 = "common_1", Common2 = "common_2", Common3 = "common_3",
    }
}

choice! {
    /// How strips are laid.
    pub enum StripsChoice { Match = "match", Alternate = "alternate" }
}

choice! {
    /// How solid wood is sold.
    pub enum SoldChoice { Boards = "boards", Sticks = "sticks" }
}

choice! {
    /// How sticks are joined end to end.
    pub enum JoinedChoice { Scarf = "scarf" }
}

choice! {
    /// What a price is for.
    pub enum PerChoice {
        Sheet = "sheet", BoardFoot = "board_foot", CubicMetre = "cubic_metre", Foot = "foot", Metre = "metre",
    }
}

section! {
    /// How the shop makes rough wood into parts; these keys stand among those of the shop.
    pub struct MillingSpec {
        /// Widest face that the jointer flattens; no strip of a glued-up panel is wider.
        pub jointer: Option<Formula>,
        /// Widest panel that goes through the planer.
        pub planer: Option<Formula>,
        /// Taken off each edge by jointing. Default 1/16" or 1.5 mm.
        pub jointing: Option<Formula>,
        /// Taken off each face by flattening and planing. Default 1/16" or 1.5 mm.
        pub planing: Option<Formula>,
        /// Lost at each end of a board to checks and snipe. Default 1" or 25 mm.
        pub end_loss: Option<Formula>,
        /// Left on the length of each piece until the final cut. Default 1" or 25 mm; for sticks 2" or 50 mm.
        pub over_length: Option<Formula>,
    }
}

section! {
    /// `buy`: what the buying list needs to know. Everything may be left out; without prices there is no total.
    pub struct BuySpec {
        /// Sign before sums of money: `$`.
        pub currency: Option<Words>,
        /// Fixings to spare. Default 10%.
        pub spares: Option<Words>,
        /// Fixings as they are sold.
        pub boxes: Vec<BoxSpec>,
        /// Finishes by the name that parts give under `finish`.
        pub finishes: Vec<Named<FinishSpec>>,
        /// Glue as it is sold.
        pub glue: Option<GlueSpec>,
        /// Sandpaper.
        pub abrasives: Option<AbrasivesSpec>,
        /// Price of a box extender; how many are needed is counted from the cut-outs for electrical boxes.
        pub extender: Option<Words>,
        /// Things that are on no drawing: hinges, slides, hooks.
        pub hardware: Vec<HardwareSpec>,
        /// Added to the sum: `15%`.
        pub margin: Option<Words>,
        /// Tax on the sum with its margin: `8.25%`.
        pub tax: Option<Words>,
    }
}

section! {
    /// One of the `boxes` of fixings. Without length or size it serves all that no other box fits better.
    pub struct BoxSpec {
        /// What is in it.
        pub of: FixingChoice,
        /// Length of the fixing.
        pub length: Option<Formula>,
        /// Gauge of a screw as a number.
        pub gauge: Option<Formula>,
        /// How many are in it.
        pub count: Formula,
        /// Price of the box.
        pub price: Option<Words>,
    }
}

section! {
    /// One of the `finishes`. The label of the can wins over every default.
    pub struct FinishSpec {
        /// `paint`, `primer` or `clear`; sets the defaults. Default `paint`.
        pub kind: Option<FinishKind>,
        /// What is covered in one coat: `350 ft2/gal` or `10 m2/l`. Default the low end of the usual: paint 350, primer 200, clear 300 ft2/gal.
        pub spread: Option<Words>,
        /// Coats. Default 2; primer 1, clear 3.
        pub coats: Option<Formula>,
        /// What a can holds: `1 gal`, `1 qt`, `1 pt`, `2.5 l` or `750 ml`. Default `1 qt` or `1 l`.
        pub can: Option<Words>,
        /// What stays in the brush, the tray and the can. Default 10%.
        pub extra: Option<Words>,
        /// Faces that are coated: `both` or `show`; edges always are. Default `both`.
        pub faces: Option<FinishFaces>,
        /// Words under `finish` of a part that also ask for this one: a primer is for `[paint]`.
        pub r#for: OneOrMany<Words>,
        /// Price of a can.
        pub price: Option<Words>,
    }
}

choice! {
    /// Kinds of finish.
    pub enum FinishKind { Paint = "paint", Primer = "primer", Clear = "clear" }
}

choice! {
    /// Faces that a finish goes on.
    pub enum FinishFaces { Both = "both", Show = "show" }
}

section! {
    /// `glue`.
    pub struct GlueSpec {
        /// Area of joints glued with one measure: `200 ft2/gal` or `5 m2/l`. Default 200 ft2/gal.
        pub spread: Option<Words>,
        /// What a bottle holds, as for a can of finish. Default `1 pt` or `500 ml`.
        pub bottle: Option<Words>,
        /// Price of a bottle.
        pub price: Option<Words>,
    }
}

section! {
    /// `abrasives`.
    pub struct AbrasivesSpec {
        /// Grits in order: `[120, 150, 180]`.
        pub grits: OneOrMany<Formula>,
        /// Area that one sheet or disc sands: `10 ft2` or `1 m2`.
        pub covers: Words,
        /// Price of a sheet or disc.
        pub price: Option<Words>,
    }
}

section! {
    /// One line of `hardware`.
    pub struct HardwareSpec {
        /// What it is.
        pub item: Words,
        /// How many. Default 1.
        pub count: Option<Formula>,
        /// Price of one.
        pub price: Option<Words>,
    }
}
