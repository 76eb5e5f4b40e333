//! A router template to DXF, to have it cut. What is drawn is decided in [`crate::cutting::jigs`].

use super::write;
use crate::cutting::jigs::{contents, decimal};
use crate::files::cutting::of_the_job;
use crate::jigs::Jig;
use crate::parts::Made;
use crate::values::CuttingShop;

/// The file of a template.
///
/// # Errors
/// Where a number is not finite or the writer fails.
pub fn write_jig(made: &Made, jig: &Jig) -> Result<Vec<u8>, String> {
    write(&contents(made, jig), &CuttingShop::usual())
}

/// Where it lies in the job's folder.
pub fn path(made: &Made, jig: &Jig) -> String {
    format!("dxf/jigs/{}.dxf", crate::files::safe(&file_name(made, jig)))
}

/// Its name: job, template, part, thickness, revision.
pub fn file_name(made: &Made, jig: &Jig) -> String {
    let thick = format!("{}mm", decimal(jig.thick));
    let pieces = [
        of_the_job(made, "job"),
        Some(jig.id.clone()),
        Some(thick),
        Some("x1".to_owned()),
        of_the_job(made, "revision").map(|revision| format!("rev{revision}")),
    ];
    pieces.into_iter().flatten().collect::<Vec<_>>().join("_")
}
