//! The shell commands, for scripts; the same core as the window.

mod rota;

use clap::{Parser, Subcommand};
use std::io::Write;
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
enum Command {
    /// The fewest players that a programme or a plain table of passages needs, with a proof, and who plays what.
    Rota(rota::Args),
}

/// Runs what the command line says; without a command, `window` with the folder that was given.
pub fn run(window: impl FnOnce(Option<PathBuf>) -> Result<(), String>) -> ExitCode {
    let line = Line::parse();
    match line.command {
        Some(Command::Rota(args)) => say(rota::run(&args)),
        None => match window(line.library) {
            Ok(()) => ExitCode::SUCCESS,
            Err(_why) => ExitCode::from(2),
        },
    }
}

/// What a command says and how it ends.
struct Said {
    /// For standard output.
    answer: String,
    /// For standard error.
    remarks: Vec<String>,
    code: ExitCode,
}

/// Prints what a command said; an error ends with 2.
fn say(said: Result<Said, String>) -> ExitCode {
    let said = said.unwrap_or_else(|why| Said {
        answer: String::new(),
        remarks: vec![why],
        code: ExitCode::from(2),
    });
    let told = said.remarks.iter().all(|remark| writeln!(std::io::stderr(), "{remark}").is_ok());
    // A reader who has seen enough may close the pipe.
    let printed = said.answer.is_empty() || writeln!(std::io::stdout(), "{}", said.answer).is_ok();
    if told && printed { said.code } else { ExitCode::FAILURE }
}
