//! The keys of sections through an assembly. Part of `language`, which holds the rest.

use super::read::{Formula, Name, section};

section! {
    /// One of the `sections` of the sheets: a plane through an assembly, at one of `across`, `deep` and `up`.
    pub struct SectionSpec {
        /// The assembly that is cut. Needed where the job has several.
        pub of: Option<Name>,
        /// The plane lies this far to the right of the assembly's own zero; what is cut is seen from the side.
        pub across: Option<Formula>,
        /// The plane lies this far behind the assembly's own zero; what is cut is seen from the front.
        pub deep: Option<Formula>,
        /// The plane lies this far above the assembly's own zero; what is cut is seen from above.
        pub up: Option<Formula>,
    }
}
