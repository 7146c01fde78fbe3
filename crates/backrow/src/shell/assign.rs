//! `backrow assign`: the fewest players, and who plays what.

mod reply;

use super::answer::Answer as Said;
use super::open;
use crate::evenings::evening_apart;
use backrow_core::assign::{Asked, Terms};
use backrow_core::library::Library;
use backrow_core::rota::table::problem_of;
use backrow_core::rota::words::describe;
use backrow_core::rota::{Answer, BadInput, Effort, Rota as Ready, Staffed, Staffing};
use backrow_core::seconds::Habits;
use backrow_files::problem::Problem;
use reply::Reply;
use std::path::{Path, PathBuf};
use std::time::Instant;

/// The fewest players that a programme or a plain table of passages needs, with the reason, and who plays what. Times in
/// seconds, distances in metres.
#[derive(Debug, clap::Args)]
pub(super) struct Assign {
    /// The library, a folder; with --programme.
    #[arg(required_unless_present = "table", conflicts_with = "table", requires = "programme")]
    library: Option<PathBuf>,
    /// The programme's id.
    #[arg(long, value_name = "ID", conflicts_with = "table")]
    programme: Option<String>,
    /// A table in comma-separated values, a row a passage: line, instrument, `from_s`, `to_s`, `x_m`, `y_m`, beaters;
    /// optional players, together, kind.
    #[arg(long, value_name = "FILE")]
    table: Option<PathBuf>,
    /// Walking pace in metres a second; for tables, as are the next three.
    #[arg(long, default_value_t = Habits::default().pace_m_s)]
    pace: f64,
    /// Seconds to settle after a walk.
    #[arg(long, default_value_t = Habits::default().settle_s)]
    settle: f64,
    /// Seconds to change beaters.
    #[arg(long, default_value_t = Habits::default().change_s)]
    change: f64,
    /// Metres between places that are not known.
    #[arg(long, default_value_t = Habits::default().default_distance_m)]
    distance: f64,
    /// The most extras beside the players of the library.
    #[arg(long, default_value_t = 8)]
    extras: usize,
    /// How many half-made sets of assignments are kept while the best is looked for; more is slower and surer.
    #[arg(long, default_value_t = 60)]
    width: usize,
    /// Says as well how many are enough when lines may be split by passages between players.
    #[arg(long)]
    split: bool,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

/// What is asked: the lines as the rota takes them, where they come from, and what could not be read of them.
struct Question {
    asked: backrow_core::rota::Problem,
    /// The library and the programme's own lines, when it is not a table.
    of: Option<(Library, Asked)>,
    place: String,
    problems: Vec<Problem>,
}

impl Assign {
    pub(super) fn run(&self) -> Result<Said, Problem> {
        let question = match (&self.table, &self.library, &self.programme) {
            (Some(table), ..) => self.of_table(table)?,
            (None, Some(library), Some(programme)) => self.of_programme(library, programme)?,
            _ => {
                return Err(Problem {
                    code: "command-line",
                    place: "assign".to_owned(),
                    what: "nothing to assign is named".to_owned(),
                    remedy:
                        "name a table (--table FILE), or a library and a programme (LIBRARY --programme ID)"
                            .to_owned(),
                });
            }
        };
        let Question { asked, of, place, mut problems } = question;
        let faulty = |faults: Vec<BadInput>| Problem {
            code: "assign",
            place: place.clone(),
            what: faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "),
            remedy: "fix it and run the command again".to_owned(),
        };
        let started = Instant::now();
        let rota = Ready::new(asked).map_err(faulty)?;
        let effort = Effort { width: self.width, ..Effort::default() };
        // Those engaged come first; a table has only extras.
        let (rota, answer, why_more) = match rota.staffed(effort) {
            Staffing::Enough(staffed) => {
                let Staffed { rota, fewest, why_more, .. } = *staffed;
                (rota, Answer::Found(Box::new(fewest)), why_more)
            }
            Staffing::NotEnough(no) => (rota, no, None),
        };
        let seconds = started.elapsed().as_secs_f64();
        let reply = Reply { rota: &rota, of: of.as_ref(), why_more: why_more.as_ref(), seconds };
        let (lines, value) = match &answer {
            Answer::Found(found) => {
                let split = if self.split { reply.split(effort).map_err(faulty)? } else { None };
                let best = rota.best(found.players, Some(&found.assignments), effort);
                reply.found(found, best.as_ref(), split.as_ref())
            }
            Answer::Impossible(no) => reply.impossible(no),
            Answer::GaveUp { at_least } => reply.gave_up(*at_least),
        };
        let wrong = match &answer {
            Answer::Found(found) if found.proven() => None,
            Answer::Found(_) | Answer::GaveUp { .. } => {
                Some(("not-searched-to-the-end", "fewer may be enough; lock some lines or ask about fewer"))
            }
            Answer::Impossible(_) => Some(("impossible", "drop one of these rules, or allow more players")),
        };
        problems.extend(wrong.map(|(code, remedy)| Problem {
            code,
            place: place.clone(),
            what: describe(rota.problem(), &answer),
            remedy: remedy.to_owned(),
        }));
        Ok(Said::new(lines, value, problems))
    }

    fn of_table(&self, table: &Path) -> Result<Question, Problem> {
        let (rows, mut problems) = backrow_files::tables::rota::read(table)?;
        let habits = Habits {
            pace_m_s: self.pace,
            settle_s: self.settle,
            change_s: self.change,
            default_distance_m: self.distance,
            ..Habits::default()
        };
        let (asked, faults) = problem_of(&rows, habits);
        let place = table.display().to_string();
        problems.extend(faults.into_iter().map(|fault| Problem {
            code: "table-row",
            place: format!("{place}, line {}", fault.row),
            what: fault.what.trim_end_matches('.').to_owned(),
            remedy: "correct the row; it was skipped".to_owned(),
        }));
        Ok(Question { asked, of: None, place, problems })
    }

    fn of_programme(&self, folder: &Path, programme: &str) -> Result<Question, Problem> {
        let (library, problems) = open::library(folder)?;
        let known = || library.programmes().map(|(_, programme)| programme);
        let programme = known().find(|known| known.id.as_str() == programme).ok_or_else(|| {
            open::unknown(folder, "programme", programme, known().map(|programme| &programme.id))
        })?;
        let place = programme.id.to_string();
        let asked = Asked::of(
            &library,
            programme,
            evening_apart(&library, programme).timetable(),
            Terms { extras: self.extras, ..Terms::USUAL },
        );
        Ok(Question { asked: asked.problem.clone(), of: Some((library, asked)), place, problems })
    }
}
