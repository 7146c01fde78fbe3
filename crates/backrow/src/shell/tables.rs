//! `backrow tables LIBRARY --out FILE`: the library's tables; `backrow import LIBRARY FILE`: a table or calendar into it.

use super::answer::{Answer, count};
use super::open;
use crate::words::owner_words;
use backrow_core::edit::{Edit, apply};
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::problem::Problem;
use backrow_files::tables::collection::{Column, Fate};
use backrow_files::{calendar, tables};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Saves the collection, the season, and a programme's lines, assignments and loads as a workbook or as CSV.
#[derive(Args, Debug)]
pub(super) struct Tables {
    /// The library's folder.
    library: PathBuf,
    /// The programme's id; without one the collection and the season alone are saved.
    #[arg(long, value_name = "ID")]
    programme: Option<String>,
    /// A workbook that ends with .xlsx, a calendar of the services that ends with .ics, or a folder for .csv files.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

fn failed(place: &std::path::Path, what: String) -> Problem {
    let remedy = "correct it and run the command again".to_owned();
    Problem { code: "tables", place: place.display().to_string(), what, remedy }
}

impl Tables {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, problems) = open::library(&self.library)?;
        let known = || library.programmes().map(|(_, programme)| programme);
        let programme = match &self.programme {
            None => None,
            Some(id) => Some(known().find(|programme| programme.id.as_str() == id).ok_or_else(|| {
                open::unknown(&self.library, "programme", id, known().map(|programme| &programme.id))
            })?),
        };
        if self.out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ics")) {
            let file =
                crate::tables::save_services(&library, &self.out).map_err(|why| failed(&self.out, why))?;
            let files = vec![file.display().to_string()];
            let value = json!({ "files": files, "tables": ["Services"] });
            return Ok(Answer::new(files, value, problems));
        }
        let all = crate::tables::all(&library, programme);
        let files = crate::tables::save(&all, &self.out).map_err(|why| failed(&self.out, why))?;
        let files: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
        let names: Vec<&str> = all.iter().map(|table| table.name.as_str()).collect();
        let value = json!({ "files": files, "tables": names });
        Ok(Answer::new(files, value, problems))
    }
}

/// Imports a table of instruments (.csv, .xlsx) or a calendar (.ics). Without --save it only shows what would
/// happen, how columns and events are matched, and what cannot be read.
#[derive(Args, Debug)]
pub(super) struct Import {
    /// The library's folder.
    library: PathBuf,
    /// The table or calendar.
    file: PathBuf,
    /// The zone in which a calendar's hours are meant, such as Europe/Berlin; else the calendar's own.
    #[arg(long)]
    zone: Option<String>,
    /// Changes the library.
    #[arg(long, alias = "keep")]
    save: bool,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

/// What a file would do: lines for people, the change, and what cannot be read.
type Shown = (Vec<String>, Option<Edit>, Vec<Problem>);

impl Import {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        // What is saved and what is known of the disk come from one opening: whatever changes on the disk from here on, or
        // could not be read, is found to be somebody else's and is left alone.
        let (mut store, library, mut problems) = open::store(&self.library)?;
        let bytes = crate::tables::read(&self.file).map_err(|why| failed(&self.file, why))?;
        let calendar = self.file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ics"));
        let (mut lines, edit, more) =
            if calendar { self.calendar(&library, &bytes)? } else { self.table(&library, &bytes)? };
        problems.extend(more);
        let edit = edit.filter(|_| self.save);
        let saved = edit.is_some();
        if let Some(edit) = edit {
            if let Some(why) = &store.read_only {
                return Err(failed(&self.library, why.clone()));
            }
            let next = apply(&library, &edit).map_err(|why| failed(&self.file, why.to_string()))?;
            let outcome = store.save(&next);
            if let Some(why) = outcome.failed {
                return Err(failed(&self.library, why));
            }
            problems.extend(outcome.told.map(|told| failed(&self.library, told)));
            lines.push(format!("saved: {}", outcome.written.join(", ")));
        } else if !self.save {
            lines.push("nothing was changed; --save imports it".to_owned());
        }
        let value = json!({ "saved": saved, "shown": lines });
        Ok(Answer::new(lines, value, problems))
    }

    fn table(&self, library: &Library, bytes: &[u8]) -> Result<Shown, Problem> {
        let grid = tables::collection::read(&self.file, bytes).map_err(|why| failed(&self.file, why))?;
        let import = tables::collection::Import::new(library, grid, None, Reading::English);
        let taken = tables::collection::take(library, &import);
        let column = |column: &Option<Column>| {
            column.map_or_else(
                || "left out".to_owned(),
                |Column { field, unit }| {
                    let unit = unit.map_or_else(String::new, |unit| format!(" in {}", unit.sign()));
                    format!("{}{unit}", field.bare_word())
                },
            )
        };
        let mut lines: Vec<String> = vec![format!("headings in row {}", import.grid.heads_row())];
        lines.extend(import.grid.encoding.map(|encoding| format!("letters {}", encoding.word())));
        let columns = import.grid.heads.iter().zip(&import.columns);
        lines.extend(columns.map(|(head, of)| format!("column {head}: {}", column(of))));
        let owners = import.owners.iter();
        lines.extend(owners.map(|(word, owner)| format!("owner {word}: {}", owner_words(library, owner))));
        lines.push(format!(
            "{}, of them {} new, {} changed",
            import.subject.counted(taken.things.len()),
            taken.count(Fate::New),
            taken.count(Fate::Changes)
        ));
        let edit = taken.edit(&import.grid.file);
        Ok((lines, edit, taken.troubles.into_iter().map(|trouble| trouble.problem).collect()))
    }

    fn calendar(&self, library: &Library, bytes: &[u8]) -> Result<Shown, Problem> {
        let name = self.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let orchestra = Some(library.orchestra.zone.as_str()).filter(|zone| !zone.is_empty());
        let calendar = calendar::read(&name, bytes, self.zone.as_deref().or(orchestra))?;
        let proposals = calendar::propose(library, &calendar);
        let mut lines: Vec<String> = proposals
            .iter()
            .map(|proposal| {
                let event = &proposal.event;
                let title = proposal
                    .programme
                    .as_ref()
                    .and_then(|id| library.programme(id))
                    .map_or("–", |p| &p.title);
                let when = event.start.strftime("%Y-%m-%d %H:%M");
                format!(
                    "{when}, {}\u{202F}min, {}: {title}, {}, {}",
                    event.minutes,
                    event.summary,
                    proposal.kind.word(),
                    proposal.words(library)
                )
            })
            .collect();
        let zone = if calendar.zone.is_empty() { "as written" } else { &calendar.zone };
        lines.push(format!("{}, hours {zone}", count(proposals.len(), "event")));
        Ok((lines, calendar::edit(library, &name, &proposals), calendar.problems))
    }
}
