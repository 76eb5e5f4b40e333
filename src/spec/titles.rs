//! The keys of the title block. Part of `language`, which holds the rest.

use super::read::{Words, section};

section! {
    /// `job`: fields of the title block (ISO 7200).
    pub struct JobSpec {
        /// Title of the job.
        pub title: Option<Words>,
        /// The shop's number of the job; also begins file names.
        pub number: Option<Words>,
        /// For whom.
        pub client: Option<Words>,
        /// Where it is installed.
        pub site: Option<Words>,
        /// Date of issue as it is to be printed. The program never asks the clock.
        pub date: Option<Words>,
        /// Revision letter.
        pub revision: Option<Words>,
        /// The shop that owns the drawings.
        pub shop: Option<Words>,
        /// Who drew it.
        pub drawn_by: Option<Words>,
        /// When the room was measured. What stands against walls and floor is not released for cutting without it.
        pub measured: Option<Words>,
        /// Who approved it. Where it is given with a date, the room is measured and nothing is wrong, the sheets are marked RELEASED FOR CUTTING.
        pub approved_by: Option<Words>,
    }
}
