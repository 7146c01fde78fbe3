//! `backrow read SCORE`: what a score's percussion calls for.

use super::answer::{Answer, count};
use backrow_files::problem::Problem;
use backrow_files::score::{ReadCall, ReadOptions, ScoreReading, read_score, reading_json};
use clap::Args;
use std::path::{Path, PathBuf};

/// Reads a score and says what its percussion calls for: instruments, notes, measures and seconds.
#[derive(Args, Debug)]
pub(super) struct Read {
    /// A MusicXML file, plain or compressed, or a standard MIDI file.
    score: PathBuf,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

impl Read {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let bytes = std::fs::read(&self.score).map_err(|why| not_there(&self.score, &why))?;
        let name = self.score.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let kinds = backrow_files::kinds::standard()?;
        let reading = read_score(&name, &bytes, &kinds, &ReadOptions::default()).map_err(|error| *error.0)?;
        Ok(Answer::new(lines(&reading), reading_json(&reading), reading.problems))
    }
}

fn not_there(score: &Path, why: &std::io::Error) -> Problem {
    Problem {
        code: "score-file",
        place: score.display().to_string(),
        what: format!("the file cannot be read: {why}"),
        remedy: "check the name, and that you may read it".to_owned(),
    }
}

fn lines(reading: &ScoreReading) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: {}, {} s as played, {}",
        reading.title,
        count(reading.measures, "measure"),
        reading.timeline.end_s.round(),
        count(reading.calls.len(), "call"),
    )];
    for call in &reading.calls {
        lines.push(format!("  {}", line(call)));
    }
    lines
}

fn line(call: &ReadCall) -> String {
    let kind = call.kind.as_ref().map_or("open", |kind| kind.as_str());
    let compass = match (call.notes.first(), call.notes.last()) {
        (Some(low), Some(high)) => format!(", sounding {} to {}", low.sounding, high.sounding),
        _ => String::new(),
    };
    let pitched = call.notes.iter().map(|note| note.count);
    let attacks: u32 = pitched.chain(call.unpitched.iter().map(|note| note.count)).sum();
    let passages = count(call.passages.len(), "passage");
    let degree = call.degree.word();
    let printed = if call.printed.is_empty() { &call.part_name } else { &call.printed };
    format!("{kind} (\"{printed}\", part {}, {degree}): {attacks} attacks in {passages}{compass}", call.part)
}
