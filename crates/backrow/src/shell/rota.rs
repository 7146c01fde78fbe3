//! `backrow rota`: the fewest players, and who plays what.

use super::Said;
use backrow_core::id::ProgrammeId;
use backrow_core::moves::Timetable;
use backrow_core::rota::programme::Asked;
use backrow_core::rota::table::problem_of;
use backrow_core::rota::text::demand_words;
use backrow_core::rota::{Answer, Best, Demand, Effort, Fewest, Habits, Impossible, Problem, Rota};
use serde_json::{Map, Value, json};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

/// What to ask. Times are seconds, ways are metres.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The library, a folder; with --programme.
    #[arg(required_unless_present = "table", conflicts_with = "table", requires = "programme")]
    library: Option<PathBuf>,
    /// The programme's id.
    #[arg(long, value_name = "ID", conflicts_with = "table")]
    programme: Option<String>,
    /// A table in comma-separated values, a row a passage: call, instrument, `from_s`, `to_s`, `x_m`, `y_m`, beaters;
    /// optional players, together, kind.
    #[arg(long, value_name = "FILE")]
    table: Option<PathBuf>,
    /// The answer as JSON.
    #[arg(long)]
    json: bool,
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
    /// How many half-made share-outs are kept while the best is looked for; more is slower and surer.
    #[arg(long, default_value_t = 60)]
    width: usize,
    /// Whether to say as well how many are enough when calls may be split by passages between players.
    #[arg(long)]
    split: bool,
}

/// Answers the question.
pub(super) fn run(args: &Args) -> Result<Said, String> {
    let (problem, remarks) = match (&args.table, &args.library, &args.programme) {
        (Some(table), ..) => from_table(args, table)?,
        (None, Some(library), Some(programme)) => from_library(args, library, programme)?,
        _ => {
            return Err(
                "Name a table (--table FILE), or a library and a programme (LIBRARY --programme ID).".into(),
            );
        }
    };
    let started = Instant::now();
    let rota = Rota::new(problem).map_err(|faults| told(&faults))?;
    let effort = Effort { width: args.width, ..Effort::default() };
    let answer = rota.fewest(effort);
    let seconds = started.elapsed().as_secs_f64();
    let split =
        if args.split { Some(rota.fewest_when_split(effort).map_err(|faults| told(&faults))?) } else { None };
    let reply = Reply { rota: &rota, seconds, split: split.as_ref(), remarks: &remarks };
    let (answer, code) = match &answer {
        Answer::Found(found) => {
            let best = rota.best(found.players, Some(&found.share_out), effort);
            (reply.found(found, best.as_ref(), args.json), ExitCode::SUCCESS)
        }
        Answer::Impossible(no) => (reply.impossible(no, args.json), ExitCode::from(1)),
        Answer::GaveUp { at_least } => (reply.gave_up(*at_least, args.json), ExitCode::from(1)),
    };
    Ok(Said { answer, remarks, code })
}

fn told<T: ToString>(faults: &[T]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn from_table(args: &Args, table: &std::path::Path) -> Result<(Problem, Vec<String>), String> {
    let (rows, problems) = backrow_files::tables::rota::read(table).map_err(|why| why.to_string())?;
    let mut remarks: Vec<String> = problems.iter().map(ToString::to_string).collect();
    let habits = Habits {
        pace_m_s: args.pace,
        settle_s: args.settle,
        change_s: args.change,
        default_distance_m: args.distance,
    };
    let (problem, faults) = problem_of(&rows, habits);
    remarks.extend(faults.iter().map(|f| format!("{}, line {}: {}", table.display(), f.line, f.what)));
    Ok((problem, remarks))
}

fn from_library(
    args: &Args,
    folder: &std::path::Path,
    programme: &str,
) -> Result<(Problem, Vec<String>), String> {
    let kinds = backrow_files::kinds::standard().map_err(|why| why.to_string())?;
    let opened = backrow_files::library::open(folder, &kinds);
    let id = ProgrammeId::new(programme).map_err(|why| why.to_string())?;
    let library = &opened.library;
    let Some(programme) = library.programme(&id) else {
        let known: Vec<&str> = library.programmes().map(|(_, p)| p.id.as_str()).collect();
        return Err(format!("{} has no programme {id}; it has: {}", folder.display(), known.join(", ")));
    };
    let timetable = Timetable::on_its_floor(library, programme);
    let asked = Asked::of(library, programme, &timetable, args.extras);
    Ok((asked.problem, opened.problems.iter().map(ToString::to_string).collect()))
}

/// What is needed to say the answer.
struct Reply<'a> {
    rota: &'a Rota,
    seconds: f64,
    split: Option<&'a Answer>,
    remarks: &'a [String],
}

impl Reply<'_> {
    fn labels(&self, calls: &[usize]) -> Vec<&str> {
        calls.iter().map(|&c| self.rota.problem().call_label(c)).collect()
    }

    fn demands(&self, demands: &[Demand]) -> Vec<String> {
        demands.iter().map(|d| demand_words(self.rota.problem(), d)).collect()
    }

    /// The fewest when calls may be split, when that was asked.
    fn split_players(&self) -> Option<usize> {
        match self.split {
            Some(Answer::Found(found)) => Some(found.players),
            _ => None,
        }
    }

    fn found(&self, found: &Fewest, best: Option<&Best>, as_json: bool) -> String {
        let problem = self.rota.problem();
        let share_out = best.map_or(&found.share_out, |b| &b.share_out);
        let cost = self.rota.cost(share_out, found.players);
        let calls = || (0..problem.calls.len()).filter_map(|c| Some((c, share_out.player(c)?)));
        if !as_json {
            let mut lines =
                vec![backrow_core::rota::text::describe(problem, &Answer::Found(Box::new(found.clone())))];
            lines.extend(calls().map(|(c, p)| format!("  {}: {}", problem.call_label(c), self.player(p))));
            lines.push(format!("walks: {:.1} m", self.rota.walk_m(share_out)));
            for (player, step) in self.rota.tightest_moves(share_out, 5) {
                let (from, to) = (problem.call_label(step.from.call), problem.call_label(step.to.call));
                lines.push(format!("{}, {from} to {to}: {}", self.player(player), step.in_words()));
            }
            lines.extend(self.split_players().map(|n| format!("{n} players when calls may be split")));
            return lines.join("\n");
        }
        let proof = &found.proof;
        let numbers: Map<String, Value> =
            calls().map(|(c, p)| (problem.call_label(c).to_owned(), json!(p + 1))).collect();
        let names: Map<String, Value> =
            calls().map(|(c, p)| (problem.call_label(c).to_owned(), json!(self.player(p)))).collect();
        pretty(&json!({
            "players": found.players,
            "at_least": found.at_least,
            "proved": found.proved(),
            "proof": {
                "shape": proof.shape.word(),
                "calls": self.labels(&proof.calls),
                "beside_ring": self.labels(&proof.beside_ring),
                "at_s": proof.at_s,
                "demands": self.demands(&proof.demands),
            },
            "share_out": numbers,
            "names": names,
            "share_out_proved": best.is_some_and(Best::proved),
            "share_out_gap_points": best.map(Best::gap_points),
            "points": cost.points(),
            "walk_m": self.rota.walk_m(share_out),
            "players_when_split": self.split_players(),
            "seconds": self.seconds,
            "remarks": self.remarks,
        }))
    }

    fn player(&self, player: usize) -> String {
        let problem = self.rota.problem();
        if problem.players.is_empty() {
            format!("player {}", player + 1)
        } else {
            problem.player_label(player)
        }
    }

    fn impossible(&self, no: &Impossible, as_json: bool) -> String {
        if !as_json {
            return backrow_core::rota::text::describe(self.rota.problem(), &Answer::Impossible(no.clone()));
        }
        pretty(&json!({
            "players": null,
            "proved": true,
            "impossible": {
                "calls": self.labels(&no.calls),
                "demands": self.demands(&no.demands),
                "players": no.players,
            },
            "seconds": self.seconds,
            "remarks": self.remarks,
        }))
    }

    fn gave_up(&self, at_least: usize, as_json: bool) -> String {
        if !as_json {
            return format!("Not found in the steps allowed; at least {at_least} players are needed.");
        }
        pretty(
            &json!({ "players": null, "at_least": at_least, "proved": false, "seconds": self.seconds, "remarks": self.remarks }),
        )
    }
}

fn pretty(value: &Value) -> String {
    serde_json::to_string_pretty(value).unwrap_or_else(|why| why.to_string())
}
