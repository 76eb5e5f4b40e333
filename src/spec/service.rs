//! The keys of what the wood does in service: moisture of the shop and the room, how a stock was sawn, what a part carries.
//! Part of `language`, which holds the rest.

use super::read::{Formula, OneOrMany, Words, choice, section};

section! {
    /// `service`: where the finished work stands and what is asked of it.
    pub struct ServiceSpec {
        /// Relative humidity of the room over the year, driest and wettest: `[30%, 60%]`, which is the default.
        pub humidity: OneOrMany<Words>,
        /// Temperature of the room: `70 F` or `21 C`. Default 70 °F.
        pub temperature: Option<Words>,
        /// Moisture of the wood in the room over the year, driest and wettest, where it is known better than from the air.
        pub moisture: OneOrMany<Words>,
        /// Under what stays a span may sag by so small a part of its length: `600` stands for span/600, which is the default.
        pub sag: Option<Formula>,
        /// Species of the studs that screws into a wall end in.
        pub studs: Option<Words>,
        /// Thickness of what covers the studs. Default 1/2", the trade's wallboard.
        pub wallboard: Option<Formula>,
        /// Heavier than this a piece is marked for two people: `50 lb`, which is the default, or `20 kg`.
        pub lift: Option<Words>,
    }
}

section! {
    /// What a stock is as wood.
    pub struct WoodSpec {
        /// Solid wood: its moisture at the shop. Default 8 %.
        pub moisture: Option<Words>,
        /// Solid wood: how it is sawn: `flat`, `quarter`, or `mixed`. Default `mixed`, which reckons with whichever moves more.
        pub cut: Option<CutChoice>,
        /// A tabulated species or kind of sheet whose figures stand in where its own are not tabulated.
        pub like: Option<Words>,
        /// Mass per volume: `640 kg/m3` or `40 lb/ft3`. Default from the table of species and sheets.
        pub density: Option<Words>,
        /// Modulus of elasticity along the grain: `1.6e6 psi` or `11 GPa`. Default from the table of species and sheets.
        pub modulus: Option<Words>,
    }
}

choice! {
    /// How solid wood is sawn.
    pub enum CutChoice { Flat = "flat", Quarter = "quarter", Mixed = "mixed" }
}

section! {
    /// What a part bears.
    pub struct BearsSpec {
        /// What the part carries: `250 lb` or `1.1 kN` at its weakest place, `25 lb/ft` or `35 kg/m` along it, `books` (25 lb/ft), or
        /// `seat` (250 lb anywhere).
        pub load: Option<Words>,
    }
}
