//! What packagers ask the program for: its manual page, completions for shells, and a copy of the demo library.

use clap::{Args, CommandFactory};
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

/// Completions for a shell.
#[derive(Args, Debug)]
pub(super) struct Completions {
    /// Which shell.
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

/// The user's own copy of the invented orchestra.
#[derive(Args, Debug)]
pub(super) struct CopyDemo {
    /// A folder that is empty or not there yet.
    folder: PathBuf,
}

impl Completions {
    pub(super) fn run(&self) -> ExitCode {
        let mut out = Vec::new();
        clap_complete::generate(self.shell, &mut super::CommandLine::command(), "backrow", &mut out);
        put(&out)
    }
}

impl CopyDemo {
    pub(super) fn run(&self) -> ExitCode {
        match backrow_files::library::copy_demo(&self.folder) {
            Ok(()) => ExitCode::SUCCESS,
            Err(problem) => {
                super::answer::put(&mut std::io::stderr(), &format!("{problem}\n"));
                ExitCode::from(2)
            }
        }
    }
}

/// The manual page, with every command in it.
pub(super) fn manual() -> ExitCode {
    let mut out = Vec::new();
    match pages(&mut out) {
        Ok(()) => put(&out),
        Err(_full) => ExitCode::from(2),
    }
}

fn pages(out: &mut Vec<u8>) -> std::io::Result<()> {
    let command = super::CommandLine::command();
    clap_mangen::Man::new(command.clone()).render(out)?;
    for one in command.get_subcommands().filter(|one| !one.is_hide_set()) {
        let name = format!("backrow {}", one.get_name());
        writeln!(out, ".SH {}", name.to_uppercase())?;
        let page = clap_mangen::Man::new(one.clone().bin_name(name));
        page.render_synopsis_section(out)?;
        page.render_description_section(out)?;
        page.render_options_section(out)?;
    }
    Ok(())
}

fn put(bytes: &[u8]) -> ExitCode {
    // Nobody listens any more where that fails.
    match std::io::stdout().write_all(bytes) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_closed) => ExitCode::from(2),
    }
}
