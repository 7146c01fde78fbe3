//! `backrow cover LIBRARY --work ID`: which instruments reach the lines of a work.

use super::answer::Answer;
use super::open;
use backrow_core::compass::{Fit, PitchSet};
use backrow_core::cover::{Cover as Covered, InstrumentFit, cover};
use backrow_core::id::{InstrumentId, KindId};
use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::pitch::KeyNumber;
use backrow_files::problem::Problem;
use clap::Args;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Says for each line of a work which instruments reach its notes: whole, at another octave or in part, best first; and
/// the fewest that do together where no single one does. A line that nothing reaches is an answer, not a problem.
#[derive(Args, Debug)]
pub(super) struct Cover {
    /// The library's folder.
    library: PathBuf,
    /// The work's id; `backrow check` lists them.
    #[arg(long, value_name = "ID")]
    work: String,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

impl Cover {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, problems) = open::library(&self.library)?;
        let work = library
            .works
            .values()
            .find(|work| work.id.as_str() == self.work)
            .ok_or_else(|| open::unknown(&self.library, "work", &self.work, library.works.keys()))?;
        let mut rows = vec![work.title.clone()];
        let mut lines = Vec::new();
        for line in &work.lines {
            let covered = cover(&library, line);
            rows.extend(line_lines(&library, line, &covered));
            lines.push(line_json(line, &covered));
        }
        let value = json!({ "work": work.id.as_str(), "title": work.title, "lines": lines });
        Ok(Answer::new(rows, value, problems))
    }
}

fn word(fit: Fit) -> &'static str {
    match fit {
        Fit::Whole => "whole",
        Fit::Octave(_) => "octave",
        Fit::Part => "part",
        Fit::None => "none",
    }
}

/// The sounding notes without a bar, for a fit in part only: put an octave away, none is missing.
fn missing(fit: &InstrumentFit) -> PitchSet {
    if fit.reach.fit == Fit::Part { fit.reach.lacking() } else { PitchSet::EMPTY }
}

const fn octaves(fit: Fit) -> i8 {
    if let Fit::Octave(octaves) = fit { octaves } else { 0 }
}

fn line_json(line: &Line, covered: &Covered) -> Value {
    let numbers = |set: PitchSet| set.iter().map(KeyNumber::number).collect::<Vec<_>>();
    let fit = |fit: &InstrumentFit| {
        json!({
            "instrument": fit.instrument.as_str(),
            "fit": word(fit.reach.fit),
            "octaves": octaves(fit.reach.fit),
            "missing": numbers(missing(fit)),
        })
    };
    let reaching = covered.fits.iter().filter(|one| one.reach.fit != Fit::None);
    let together: Vec<&str> = covered.together.iter().map(InstrumentId::as_str).collect();
    json!({
        "line": line.id.as_str(),
        "movement": line.movement.as_str(),
        "kind": line.kind.as_ref().map(KindId::as_str),
        "printed": line.printed,
        "part": line.part,
        "octave": line.octave.semitones(),
        "sounding": numbers(line.sounding()),
        "beyond_the_keys": covered.beyond.iter().map(|note| note.written.ascii()).collect::<Vec<_>>(),
        "fits": reaching.map(fit).collect::<Vec<_>>(),
        "together": if together.is_empty() { Vec::new() } else { vec![together] },
        "together_is_fewest": covered.fewest,
    })
}

fn line_lines(library: &Library, line: &Line, covered: &Covered) -> Vec<String> {
    let asks = if line.is_pitched() { format!(", {}", line.sounding_words()) } else { String::new() };
    let mut lines =
        vec![format!("  {} ({}, {}{asks})", library.line_name(line), line.id, line.where_played())];
    let mut any = false;
    for fit in covered.fits.iter().filter(|one| one.reach.fit != Fit::None) {
        any = true;
        let how = match fit.reach.fit {
            Fit::Octave(n) if n.unsigned_abs() == 1 => {
                format!("whole, one octave {}", if n < 0 { "lower" } else { "higher" })
            }
            Fit::Octave(n) => {
                format!("whole, {} octaves {}", n.unsigned_abs(), if n < 0 { "lower" } else { "higher" })
            }
            Fit::Part if missing(fit).is_empty() => "part: it cannot be retuned in time".to_owned(),
            Fit::Part => format!("part, without {}", missing(fit)),
            Fit::Whole | Fit::None => word(fit.reach.fit).to_owned(),
        };
        lines.push(format!("    {how}: {}", library.instrument_name(&fit.instrument)));
    }
    if !covered.together.is_empty() {
        let names: Vec<String> = covered.together.iter().map(|id| library.instrument_name(id)).collect();
        lines.push(format!("    whole together: {}", names.join(" + ")));
    }
    if !any {
        let why = if line.kind.is_none() {
            "the part leaves the instrument open"
        } else {
            "no instrument reaches it"
        };
        lines.push(format!("    {why}"));
    }
    lines
}
