//! `backrow read SCORE`: what a score's percussion calls for.

use super::answer::{Answer, count};
use backrow_files::problem::Problem;
use backrow_files::score::{
    GatheredWork, MusicFiles, NoteCount, Piece, ReadLine, ReadOptions, ScoreReading, gather, music_in,
    read_music, reading_json, roman,
};
use clap::Args;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Reads scores and says what their percussion calls for: instruments, notes, measures and seconds.
#[derive(Args, Debug)]
pub(super) struct Read {
    /// A `MusicXML` file, plain or compressed, a standard MIDI file, a table of lines (.csv), or a folder of them.
    score: PathBuf,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
    /// A passage ends at a rest of at least so many seconds.
    #[arg(long, value_name = "SECONDS", default_value_t = ReadOptions::default().rest_s)]
    rest: f64,
    /// What a fermata adds, seconds.
    #[arg(long, value_name = "SECONDS", default_value_t = ReadOptions::default().fermata_s)]
    fermata: f64,
}

impl Read {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let kinds = backrow_files::kinds::standard()?;
        if self.score.is_dir() {
            return self.folder(&kinds);
        }
        let reading = self.one(&self.score, &kinds)?;
        Ok(Answer::new(facts(&reading), reading_json(&reading), reading.problems))
    }

    fn one(&self, path: &Path, kinds: &Kinds) -> Result<ScoreReading, Problem> {
        let options = ReadOptions { rest_s: self.rest, fermata_s: self.fermata, ..ReadOptions::default() };
        let bytes = backrow_files::limits::read_plain(path, backrow_files::limits::MOST_BYTES)
            .map_err(|why| not_there(path, &why))?;
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        read_music(&name, &bytes, kinds, &options).map_err(|error| *error.0)
    }

    /// Every score of a folder; one that cannot be read is told and costs only itself.
    fn folder(&self, kinds: &Kinds) -> Result<Answer, Problem> {
        let MusicFiles { files, problems: left_out } =
            music_in(&self.score).map_err(|why| not_there(&self.score, &why))?;
        if files.is_empty() {
            return Err(Problem {
                code: "score-folder",
                place: self.score.display().to_string(),
                what: "the folder holds no scores".to_owned(),
                remedy: "name a folder with .musicxml, .xml, .mxl, .mid or .csv files".to_owned(),
            });
        }
        let (mut said, mut told, mut problems, mut lines) = (Vec::new(), Vec::new(), left_out, 0);
        let mut readings = Vec::new();
        for path in &files {
            let name = path.strip_prefix(&self.score).unwrap_or(path).display().to_string();
            match self.one(path, kinds) {
                Ok(reading) => {
                    lines += reading.lines.len();
                    said.extend(facts(&reading).into_iter().take(1));
                    told.push(json!({ "file": name.clone(), "reading": reading_json(&reading) }));
                    problems.extend(reading.problems.iter().cloned());
                    readings.push(ScoreReading { file: name, ..reading });
                }
                Err(problem) => {
                    told.push(json!({ "file": name, "reading": null }));
                    problems.push(problem);
                }
            }
        }
        let read = told.iter().filter(|one| !one["reading"].is_null()).count();
        said.push(format!(
            "{} read of {}, {} in all",
            read,
            count(files.len(), "file"),
            count(lines, "line")
        ));
        let works = together(&readings, &mut said);
        let value = json!({ "files": told, "read": read, "lines": lines, "works": works });
        Ok(Answer::new(said, value, problems))
    }
}

/// The files put together as works, for scripts; a line for each work of several movements.
fn together(readings: &[ScoreReading], said: &mut Vec<String>) -> Vec<Value> {
    let all: Vec<&ScoreReading> = readings.iter().collect();
    let gathered = gather(&all);
    let piece = |piece: &Piece| {
        let read = all.get(piece.reading);
        json!({
            "number": piece.number.map(roman),
            "title": read.map(|read| read.movement_title.clone()),
            "file": read.map(|read| read.file.clone()),
            "why": piece.why,
        })
    };
    for work in gathered.works.iter().filter(|work| work.pieces.len() > 1) {
        said.push(format!(
            "{}: {} in {}",
            work.title,
            count(work.pieces.len(), "movement"),
            count(work.pieces.len(), "file")
        ));
    }
    let work = |work: &GatheredWork| {
        let movements: Vec<Value> = work.pieces.iter().map(piece).collect();
        json!({ "title": work.title, "composer": work.composer, "movements": movements })
    };
    gathered.works.iter().map(work).collect()
}

type Kinds = backrow_core::library::Shared<backrow_core::id::KindId, backrow_core::collection::Kind>;

fn not_there(score: &Path, why: &std::io::Error) -> Problem {
    Problem {
        code: "score-file",
        place: score.display().to_string(),
        what: format!("it cannot be read: {why}"),
        remedy: "check the name, and that you may read it".to_owned(),
    }
}

fn facts(reading: &ScoreReading) -> Vec<String> {
    let mut rows = vec![format!(
        "{}: {}, {}\u{202F}s as played, {}",
        reading.title,
        count(reading.measures, "measure"),
        reading.timeline.end_s.round(),
        count(reading.lines.len(), "line"),
    )];
    for line in &reading.lines {
        rows.push(format!("  {}", fact(line)));
    }
    rows
}

fn fact(line: &ReadLine) -> String {
    let kind = line.kind.as_ref().map_or("open", |kind| kind.as_str());
    let compass = match (line.notes.first(), line.notes.last()) {
        (Some(low), Some(high)) => {
            let name = |note: &NoteCount| note.written.moved_to(note.sounding);
            format!(", sounding {} to {}", name(low), name(high))
        }
        _ => String::new(),
    };
    let pitched = line.notes.iter().map(|note| note.count);
    let attacks: u32 = pitched.chain(line.unpitched.iter().map(|note| note.count)).sum();
    let passages = count(line.passages.len(), "passage");
    let degree = line.degree.word();
    let printed = if line.printed.is_empty() { &line.part_name } else { &line.printed };
    format!("{kind} (\"{printed}\", part {}, {degree}): {attacks} attacks in {passages}{compass}", line.part)
}
