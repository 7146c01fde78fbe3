//! Backrow plans an orchestra's percussion section. Without a command it opens its window.

use backrow::app::{self, App};
use backrow::settings::Settings;
use backrow::store;
use std::process::ExitCode;

fn main() -> ExitCode {
    backrow::shell::run(window)
}

/// Opens the window on what was asked for.
fn window(asked: Option<std::path::PathBuf>) -> Result<(), String> {
    let file = store::settings_file();
    let settings = file.as_deref().map(Settings::read).unwrap_or_default();
    app::run(App::start(asked, settings, file))
}
