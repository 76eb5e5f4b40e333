//! The keys of what is printed at full size: printers, paper templates, story rods. Part of `language`, which holds the rest.

use super::jigs::RouterTemplateSpec;
use super::language::SideChoice;
use super::read::{BoardName, Formula, Name, OneOrMany, choice, section};

section! {
    /// One of the shop's `printers`.
    pub struct PrinterSpec {
        /// `a4`, `a3`, `a2`, `a1`, `a0`, `letter`, `tabloid`, `arch-c`, `arch-d`, or `roll`.
        pub paper: PrinterPaper,
        /// Width of a roll.
        pub width: Option<Formula>,
        /// Strip along every edge of the paper that the printer leaves blank. Default 6 mm.
        pub margin: Option<Formula>,
        /// What the bars of the test page measured, in order across (A to B), up (A to C) and corner to corner (B to C): the next
        /// print is corrected by them.
        pub measured: OneOrMany<Formula>,
    }
}

choice! {
    /// Paper of a printer.
    pub enum PrinterPaper {
        A4 = "a4", A3 = "a3", A2 = "a2", A1 = "a1", A0 = "a0",
        Letter = "letter", Tabloid = "tabloid", ArchC = "arch-c", ArchD = "arch-d", Roll = "roll",
    }
}

section! {
    /// One of the `templates`: parts to be printed at full size, or a template for the router. A bare word stands for
    /// `paper: WORD`.
    #[bare(paper)]
    pub struct PaperTemplateSpec {
        /// The parts, as formulas name them: `bench.divider`.
        pub paper: OneOrMany<BoardName>,
        /// Which face the paper lies on: `show`, `back` or `both`. Default the faces that are worked. A router template lies
        /// on one; default `show`.
        pub face: Option<TemplateFace>,
        /// `worked_edges` prints only the regions round notches, cut-outs and shaped edges. Default `whole`.
        pub only: Option<TemplateExtent>,
        /// What a router template takes besides.
        #[flat]
        pub routing: RouterTemplateSpec,
    }
}

choice! {
    /// Face that a template lies on.
    pub enum TemplateFace { Show = "show", Back = "back", Both = "both" }
}

choice! {
    /// How much of a part is printed.
    pub enum TemplateExtent { Whole = "whole", WorkedEdges = "worked_edges" }
}

section! {
    /// One of the `rods`: a story rod.
    pub struct RodSpec {
        /// Which way the line runs: `across` (left to right), `deep` (front to back) or `up`.
        pub along: AxisChoice,
        /// The assembly whose boards and openings are marked. Default everything in the room.
        pub of: Option<Name>,
        /// The end that all marks are measured from. Default `left`, `front` or `bottom`.
        pub from: Option<SideChoice>,
    }
}

choice! {
    /// A direction of the room.
    pub enum AxisChoice { Across = "across", Deep = "deep", Up = "up" }
}
