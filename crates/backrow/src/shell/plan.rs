//! `backrow plan FOLDER --library L --venue V --out DIR`: from a folder of scores to a programme with everything proposed,
//! printed. The library on disk is not changed.

mod answer;
mod propose;

use super::answer::{Answer, count};
use super::open;
use crate::evenings::evening_apart;
use crate::sheets::{Plans, Printer, Sheet};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{ProgrammeId, VenueId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Week};
use backrow_files::limits::{MOST_BYTES, read_plain};
use backrow_files::problem::Problem;
use backrow_files::score::{Gathered, ReadOptions, ScoreReading, gather, music_in, read_music, take_all};
use backrow_print::{Paper, Press};
use clap::Args;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Reads a folder of scores, makes a programme of them, proposes who plays what on what and where, and prints the pack. Everything is a
/// proposal; the library itself stays as it is.
#[derive(Args, Debug)]
pub(super) struct Plan {
    /// The folder with the scores.
    folder: PathBuf,
    /// The library's folder.
    #[arg(long, value_name = "LIBRARY")]
    library: PathBuf,
    /// The venue's id; `backrow check` counts them.
    #[arg(long, value_name = "ID")]
    venue: String,
    /// The folder for the sheets.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// What the programme is called; the folder's name unless set.
    #[arg(long, value_name = "TITLE")]
    title: Option<String>,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

/// What was read.
struct Read {
    readings: Vec<ScoreReading>,
    gathered: Gathered,
    problems: Vec<Problem>,
}

impl Plan {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, mut problems) = open::library(&self.library)?;
        let venue = library.venues.keys().find(|id| id.as_str() == self.venue).cloned();
        // A library without any venue can still say who plays what on what.
        if venue.is_none() && library.venues.is_empty() {
            problems.push(Problem {
                code: "no-venue",
                place: self.library.display().to_string(),
                what: "the library has no venue, so that nothing is placed on a floor".to_owned(),
                remedy: "draw the venue in the window, or copy its file into the library, and run the command again"
                    .to_owned(),
            });
        } else if venue.is_none() {
            return Err(open::unknown(&self.library, "venue", &self.venue, library.venues.keys()));
        }
        let read = self.read(&library)?;
        let (library, programme) = self.programme(&library, &read, venue)?;
        problems.extend(read.problems);
        let proposed = propose::all(library, &programme).map_err(|why| failed(&self.out, why))?;
        let (files, mut told) = self.print(&proposed.library, &programme)?;
        problems.append(&mut told);
        let value = answer::json(&proposed, &programme, &files);
        Ok(Answer::new(answer::lines(&proposed, &programme, &files), value, problems))
    }

    /// Every score of the folder, put together as works; one that cannot be read costs only itself.
    fn read(&self, library: &Library) -> Result<Read, Problem> {
        let unlisted = |why: std::io::Error| Problem {
            code: "score-folder",
            place: self.folder.display().to_string(),
            what: format!("it cannot be listed: {why}"),
            remedy: "check the name, and that you may read it".to_owned(),
        };
        let (mut readings, mut problems) = (Vec::new(), Vec::new());
        let found = music_in(&self.folder).map_err(unlisted)?;
        problems.extend(found.problems);
        for path in found.files {
            let name = path.strip_prefix(&self.folder).unwrap_or(&path).display().to_string();
            let read = read_plain(&path, MOST_BYTES).map_err(|why| Problem {
                code: "score-file",
                place: name.clone(),
                what: format!("it cannot be read: {why}"),
                remedy: "check that you may read it".to_owned(),
            });
            let read = read.and_then(|bytes| {
                read_music(&name, &bytes, &library.kinds, &ReadOptions::default()).map_err(|error| *error.0)
            });
            match read {
                Ok(reading) => readings.push(reading),
                Err(problem) => problems.push(problem),
            }
        }
        problems.extend(readings.iter().flat_map(|reading| reading.problems.iter().cloned()));
        let gathered = gather(&readings.iter().collect::<Vec<_>>());
        if gathered.works.is_empty() {
            return Err(Problem {
                code: "score-folder",
                place: self.folder.display().to_string(),
                what: "the folder holds no scores that can be read".to_owned(),
                remedy: "name a folder with .musicxml, .xml, .mxl, .mid or .csv files".to_owned(),
            });
        }
        Ok(Read { readings, gathered, problems })
    }

    /// The library with the works and a programme of them in the venue.
    fn programme(
        &self,
        library: &Library,
        read: &Read,
        venue: Option<VenueId>,
    ) -> Result<(Library, ProgrammeId), Problem> {
        let (mut edits, works): (Vec<Edit>, Vec<WorkId>) =
            take_all(library, &read.gathered, &read.readings, &|_| true);
        let name = self.folder.file_name().map(|name| name.to_string_lossy().into_owned());
        let title = self.title.clone().or(name).unwrap_or_else(|| "Programme".to_owned());
        let week = WeekId::fresh("plan", |id| library.weeks.contains_key(id));
        let id = ProgrammeId::fresh(&title, |id| library.programme(id).is_some());
        let mut programme = Programme::new(id.clone(), title.clone());
        (programme.works, programme.venue) = (works, venue);
        edits.push(Edit::PutWeek(Week {
            id: week.clone(),
            title: title.clone(),
            programmes: Vec::new(),
            services: Vec::new(),
        }));
        edits.push(Edit::PutProgramme { week, programme });
        let edit = Edit::Together { words: format!("Plan {title}"), edits };
        let library = apply(library, &edit).map_err(|why| failed(&self.folder, why.to_string()))?;
        Ok((library, id))
    }

    fn print(
        &self,
        library: &Library,
        programme: &ProgrammeId,
    ) -> Result<(Vec<String>, Vec<Problem>), Problem> {
        let failed = |why: String| failed(&self.out, why);
        let programme = crate::sheets::programme(library, programme).map_err(failed)?;
        let evening = evening_apart(library, programme);
        let templates = crate::sheets::templates(Some(&self.library));
        let printer = Printer {
            evening: &evening,
            paper: Paper::A4,
            templates: &templates,
            today: crate::sheets::today_of(library),
            // The programme is in no library, so nothing of it is remembered there.
            remembers: None,
            plans: Plans::default(),
        };
        let sheets = Sheet::of(library, programme);
        let printed = printer.print(&Press::new(), &sheets, &self.out, false).map_err(failed)?;
        let problem = |code, what: String| Problem {
            code,
            place: programme.title.clone(),
            what,
            remedy: "look at the sheet before it is handed out".to_owned(),
        };
        let signs = printed.signs.into_iter().map(|sign| problem("missing-sign", sign));
        let remarks = printed.remarks.into_iter().filter(|remark| !remark.as_asked);
        let remarks = remarks.map(|remark| problem("scale", remark.words));
        let files = printed.files.iter().map(|file| file.display().to_string()).collect();
        Ok((files, signs.chain(remarks).collect()))
    }
}

fn failed(place: &Path, why: String) -> Problem {
    Problem {
        code: "plan",
        place: place.display().to_string(),
        what: why,
        remedy: "then run the command again".to_owned(),
    }
}

/// "3 works, 12 lines".
fn counted(works: usize, lines: usize) -> String {
    format!("{}, {}", count(works, "work"), count(lines, "line"))
}

/// The fields of an object; nothing for another value.
fn object(value: Value) -> serde_json::Map<String, Value> {
    match value {
        Value::Object(fields) => fields,
        _ => serde_json::Map::new(),
    }
}
