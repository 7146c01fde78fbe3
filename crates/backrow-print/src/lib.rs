//! Backrow's paper: a sheet's data in, typeset pages out.
//!
//! The crate works nothing out about music. Names, spellings, seconds, sums, states and the words of every line come in the
//! data; what it decides is what paper decides: the scale of a plan, where a number fits, where a page ends. It reads no file,
//! no clock and no font of the system: the templates of `assets/print` and the fonts of `assets/fonts` are built in, and
//! a library's own template text may stand in for a built-in one.
//!
//! ```
//! use backrow_print::{Paper, Press, Templates, plan::PlanSheet};
//! let press = Press::new();
//! let pages = press.plan(&PlanSheet::default(), Paper::A4, &Templates::default())?;
//! assert!(pages.pdf()?.starts_with(b"%PDF"));
//! # Ok::<(), backrow_print::PrintError>(())
//! ```

pub mod caution;
mod error;
mod guard;
pub mod labels;
pub mod list;
pub mod load;
pub mod plan;
pub mod player;
mod press;
mod sheet;
mod signs;
mod templates;
mod world;

pub use error::{PrintError, TemplateProblem};
pub use guard::{Guard, try_job};
pub use press::{Pages, Picture, Press, Remark};
pub use sheet::{Date, Head, Orientation, Paper, Version};
pub use signs::MissingSign;
pub use templates::Templates;

/// Sets a stage plan and writes it as PDF, with a press of its own. Who prints more than one sheet keeps a [`Press`].
///
/// # Errors
/// As [`Press::plan`].
pub fn plan_pdf(sheet: &plan::PlanSheet, paper: Paper, templates: &Templates) -> Result<Vec<u8>, PrintError> {
    Press::new().plan(sheet, paper, templates)?.pdf()
}

/// Sets a player's sheet and writes it as PDF, with a press of its own.
///
/// # Errors
/// As [`Press::player`].
pub fn player_pdf(
    sheet: &player::PlayerSheet,
    paper: Paper,
    templates: &Templates,
) -> Result<Vec<u8>, PrintError> {
    Press::new().player(sheet, paper, templates)?.pdf()
}

/// Sets a load list and writes it as PDF, with a press of its own.
///
/// # Errors
/// As [`Press::load`].
pub fn load_pdf(sheet: &load::LoadSheet, paper: Paper, templates: &Templates) -> Result<Vec<u8>, PrintError> {
    Press::new().load(sheet, paper, templates)?.pdf()
}
