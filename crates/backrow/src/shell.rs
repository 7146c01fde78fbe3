//! The shell commands, for scripts; the same core as the window.
//!
//! A command's answer goes to the standard output, as text or with `--json` as one object; problems go to the standard
//! error, and with `--json` into the object as well. Exit codes: 0 done, 1 done with problems, 2 failed.

mod answer;
mod assign;
mod bar;
mod check;
mod cover;
mod like;
mod open;
mod own;
mod plan;
mod read;
mod set_job;
mod sheets;
mod sound;
mod tables;

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Plans an orchestra's percussion section. Without a command it opens its window.
#[derive(Parser, Debug)]
#[command(name = "backrow", version, about, args_conflicts_with_subcommands = true)]
#[command(after_help = "Exit codes of the commands: 0 done, 1 done with problems, 2 failed.")]
struct CommandLine {
    /// What to open in the window: the folder of a library, a library in one file (.backrow.zip), a score, a table or a calendar.
    library: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand, Debug)]
enum Command {
    Check(check::Check),
    Read(read::Read),
    Plan(plan::Plan),
    Cover(cover::Cover),
    Bar(bar::Bar),
    Sheets(sheets::Sheets),
    Tables(tables::Tables),
    #[command(alias = "take-in")]
    Import(tables::Import),
    #[command(alias = "rota")]
    Assign(assign::Assign),
    Sound(sound::Sound),
    Like(like::Like),
    /// Writes the manual page; for packagers.
    #[command(name = "manual", hide = true)]
    Manual,
    /// Writes completions for a shell; for packagers.
    #[command(name = "completions", hide = true)]
    Completions(own::Completions),
    /// Copies the invented orchestra into a folder; for trials of a package.
    #[command(name = "copy-demo", hide = true)]
    CopyDemo(own::CopyDemo),
    /// Tries a sheet that stands in the standard input; for the program itself.
    #[command(name = "try-sheet", hide = true)]
    TrySheet,
}

/// Runs what the command line says; without a command, `window` with the folder that was given.
///
/// A command line that cannot be read, and `--help`, end the program here, with 2 and 0.
pub fn run(window: impl FnOnce(Option<PathBuf>) -> Result<(), String>) -> ExitCode {
    let line = CommandLine::parse();
    match line.command {
        Some(Command::Check(command)) => answer::give(command.run(), command.json),
        Some(Command::Read(command)) => answer::give(command.run(), command.json),
        Some(Command::Plan(command)) => answer::give(command.run(), command.json),
        Some(Command::Cover(command)) => answer::give(command.run(), command.json),
        Some(Command::Bar(command)) => answer::give(command.run(), command.json),
        Some(Command::Tables(command)) => answer::give(command.run(), command.json),
        Some(Command::Import(command)) => answer::give(command.run(), command.json),
        Some(Command::Sheets(command)) => answer::give(command.run(), command.json),
        Some(Command::Assign(command)) => answer::give(command.run(), command.json),
        Some(Command::Sound(command)) => answer::give(command.run(), command.json),
        Some(Command::Like(command)) => answer::give(command.run(), command.json),
        Some(Command::Manual) => own::manual(),
        Some(Command::Completions(command)) => command.run(),
        Some(Command::CopyDemo(command)) => command.run(),
        Some(Command::TrySheet) => set_job::run(),
        None => match window(line.library) {
            Ok(()) => ExitCode::SUCCESS,
            Err(why) => {
                answer::put(&mut std::io::stderr(), &format!("The window cannot be opened: {why}\n"));
                ExitCode::from(2)
            }
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_well_made() {
        CommandLine::command().debug_assert();
    }

    #[test]
    fn a_folder_alone_opens_the_window() {
        let line = CommandLine::try_parse_from(["backrow", "some/library"]).unwrap();
        assert_eq!(line.library, Some(PathBuf::from("some/library")));
        assert!(line.command.is_none());
        assert!(CommandLine::try_parse_from(["backrow"]).unwrap().library.is_none());
    }

    #[test]
    fn a_negative_octave_is_a_number() {
        assert!(CommandLine::try_parse_from(["backrow", "bar", "lib", "x", "C4", "--octave", "-12"]).is_ok());
    }
}
