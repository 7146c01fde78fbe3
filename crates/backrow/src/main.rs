//! Backrow plans an orchestra's percussion section.

use std::process::ExitCode;

fn main() -> ExitCode {
    let app = backrow::app::App::on_library(backrow::sample::small(), backrow::settings::Settings::default());
    match backrow::app::run(app) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_why) => ExitCode::from(2),
    }
}
