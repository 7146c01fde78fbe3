//! Backrow plans an orchestra's percussion section. Without a command it opens its window.

use backrow::app::{self, App};
use backrow::store;
use std::process::ExitCode;

fn main() -> ExitCode {
    backrow::shell::run(window)
}

/// Opens the window on what was asked for.
fn window(asked: Option<std::path::PathBuf>) -> Result<(), String> {
    let mut app = App::start_with(asked, store::settings_file());
    app.live_in(backrow::dates::of_account());
    app::run(app)
}
