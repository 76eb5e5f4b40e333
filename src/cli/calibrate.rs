//! `tickstick calibrate`: a printer's test page, and from what it measured the lines for the shop's file.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{FAULTS, GOOD, NOT_WRITTEN, WRONG_USE, opened, output, print, report, tell, tell_found};
use crate::{Calibrated, Calibrating};

/// Folder of the test pages below the output folder.
const FOLDER: &str = "test-pages";

#[derive(Args)]
pub struct Calibration {
    /// A spec, or the shop's own file: whichever lists `shop: printers`
    spec: PathBuf,
    /// The printer. Default all of them; with --measured the only one
    #[arg(long, value_name = "NAME")]
    printer: Option<String>,
    /// What A–B, A–C and B–C measure on the printed page, in mm unless a unit is given, as in 99.6,100.2,141.2
    #[arg(long, value_name = "AB,AC,BC")]
    measured: Option<String>,
    /// Folder in which `test-pages` is made
    #[arg(short, long, value_name = "DIR", default_value = "out")]
    output: PathBuf,
}

/// Writes the test pages, or prints the lines; gives the exit code.
pub fn run(asked: &Calibration) -> u8 {
    let folder = match opened(&asked.spec) {
        Ok(folder) => folder,
        Err(code) => return code,
    };
    let wanted = Calibrating { printer: asked.printer.as_deref(), measured: asked.measured.as_deref() };
    let (found, calibrated) = crate::calibrate(&folder, &folder.spec, &wanted);
    if found.has_errors() {
        tell_found(&found, &folder.shown);
        return FAULTS;
    }
    match calibrated {
        Err(fault) => {
            tell(&format!("error: {}", report::plain(&fault)));
            WRONG_USE
        }
        Ok(Calibrated::Lines(lines)) => print(&lines),
        Ok(Calibrated::Pages(files)) => write(&asked.output, &files),
    }
}

fn write(out: &Path, files: &[crate::File]) -> u8 {
    match output::write(out, FOLDER, files) {
        Ok(path) => {
            for file in files {
                tell(&format!("{}/{}", report::plain(&path.to_string_lossy()), file.name));
            }
            tell(
                "print at 100 %, measure A–B, A–C and B–C, then run calibrate again with --measured AB,AC,BC",
            );
            GOOD
        }
        Err(error) => {
            tell(&format!("error: {}", report::plain(&error.to_string())));
            NOT_WRITTEN
        }
    }
}
