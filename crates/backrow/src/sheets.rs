//! From the library to the data of sheets: names, numbers, places and cautions. `backrow-print` sets them.

mod heading;
mod stage_plan;

pub use heading::head;
pub use stage_plan::stage_plan;

use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_print::{Paper, Press, Templates};
use std::path::{Path, PathBuf};

/// Prints a programme's sheets into a folder, which is made if it is missing. Returns the files, or what is wrong and what helps.
pub fn print(
    library: &Library,
    programme: &ProgrammeId,
    paper: Paper,
    folder: &Path,
    today: Option<jiff::civil::Date>,
) -> Result<Vec<PathBuf>, String> {
    let programme = library.programme(programme).ok_or_else(|| {
        format!("The library has no programme \"{programme}\"; `backrow check` lists what it has.")
    })?;
    let sheet = stage_plan(library, programme, today);
    let pages = Press::new()
        .plan(&sheet, paper, &Templates::default())
        .map_err(|e| format!("The stage plan cannot be set: {e}"))?;
    let bytes = pages.pdf().map_err(|e| format!("The stage plan cannot be written as PDF: {e}"))?;
    let file = folder.join(format!("{}-stage-plan.pdf", programme.id));
    let say = |e: std::io::Error, what: &Path| {
        format!(
            "{} cannot be written: {e}. Choose another folder, or close the program that holds the file.",
            what.display()
        )
    };
    std::fs::create_dir_all(folder).map_err(|e| say(e, folder))?;
    write_whole(&file, &bytes).map_err(|e| say(e, &file))?;
    Ok(vec![file])
}

/// A new file beside the old one, renamed over it, so that a reader never sees half a sheet.
fn write_whole(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let half = file.with_extension("pdf.part");
    std::fs::write(&half, bytes)?;
    std::fs::rename(&half, file).inspect_err(|_why| {
        drop(std::fs::remove_file(&half));
    })
}

/// Today by the machine's clock, in UTC; `None` when the clock is before 1970.
pub fn today() -> Option<jiff::civil::Date> {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).ok()?;
    let seconds = i64::try_from(since.as_secs()).ok()?;
    let stamp = jiff::Timestamp::from_second(seconds).ok()?;
    Some(jiff::tz::TimeZone::UTC.to_datetime(stamp).date())
}
