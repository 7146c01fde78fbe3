//! Writes every kind of sheet with invented data into a folder, to be looked at: `cargo run --example proofs -- FOLDER`.
//! A second folder may hold templates to try instead of the built-in ones.

#[path = "../tests/data/mod.rs"]
mod data;

use std::error::Error;
use std::path::Path;

use backrow_print::plan::{PlanSheet, View};
use backrow_print::{Pages, Paper, Press, PrintError, Templates};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("name a folder to write into")?;
    let folder = Path::new(&folder);
    let press = Press::new();
    let mut own = Templates::default();
    if let Some(theirs) = std::env::args().nth(2) {
        for name in Templates::names() {
            if let Ok(text) = std::fs::read_to_string(Path::new(&theirs).join(name)) {
                own = own.with(name, text);
            }
        }
    }
    let write = |name: &str, pages: Result<Pages, PrintError>| -> Result<(), Box<dyn Error>> {
        let pages = pages?;
        if let Some(warning) = pages.warnings().first() {
            return Err(format!("{name}: {warning}").into());
        }
        std::fs::write(folder.join(format!("{name}.pdf")), pages.pdf()?)?;
        Ok(())
    };
    for (paper, suffix) in [(Paper::A4, ""), (Paper::Letter, "-letter")] {
        for (name, sheet) in [
            ("plan", data::plan()),
            ("long", data::long_names()),
            ("sixty", data::sixty()),
            ("empty", PlanSheet::default()),
        ] {
            write(&format!("{name}{suffix}"), press.plan(&sheet, paper, &own))?;
        }
        let part = PlanSheet { view: View::Part { from: [-5.0, 0.0], to: [1.5, 3.0] }, ..data::plan() };
        write(&format!("part{suffix}"), press.plan(&part, paper, &own))?;
        for (name, sheet) in [("player", data::player()), ("player-long", data::long_player())] {
            write(&format!("{name}{suffix}"), press.player(&sheet, paper, &own))?;
        }
        for (name, sheet) in [("load", data::load()), ("load-long", data::long_load())] {
            write(&format!("{name}{suffix}"), press.load(&sheet, paper, &own))?;
        }
    }
    Ok(())
}
