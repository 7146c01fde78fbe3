//! Backrow plans an orchestra's percussion section. Without a command it opens its window.

use backrow::app::App;
use backrow::settings::Settings;
use backrow::store;
use std::process::ExitCode;

fn main() -> ExitCode {
    backrow::shell::run(window)
}

/// Opens the window on a library's folder; without one on the library opened last, or the user's copy of the demo.
fn window(folder: Option<std::path::PathBuf>) -> Result<(), String> {
    let file = store::settings_file();
    let settings = file.as_deref().map(Settings::read).unwrap_or_default();
    // A file is opened as if it had been dropped on the window, over the library that was open last.
    let (folder, file_to_open) = match folder {
        Some(path) if path.is_file() => (None, Some(std::path::absolute(&path).unwrap_or(path))),
        other => (other, None),
    };
    let first = folder.is_none() && settings.library.is_none();
    let mut app = match store::to_open(folder, settings.library.as_deref()) {
        Ok(folder) => {
            let mut app = App::open(&folder, settings, file);
            if first {
                app.welcome();
            }
            app
        }
        Err(why) => App::without_library(why, settings, file),
    };
    if let Some(file) = file_to_open {
        app.ask_to_open(file);
    }
    backrow::app::run(app)
}
