//! The shell commands, for scripts; the same core as the window.

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Plans an orchestra's percussion section.
#[derive(Parser, Debug)]
#[command(name = "backrow", version, about, args_conflicts_with_subcommands = true)]
struct Line {
    /// The folder of a library to open in the window.
    library: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand, Debug)]
enum Command {}

/// Runs what the command line says; without a command, `window` with the folder that was given.
pub fn run(window: impl FnOnce(Option<PathBuf>) -> Result<(), String>) -> ExitCode {
    let line = Line::parse();
    match line.command {
        Some(command) => match command {},
        None => match window(line.library) {
            Ok(()) => ExitCode::SUCCESS,
            Err(_why) => ExitCode::from(2),
        },
    }
}
