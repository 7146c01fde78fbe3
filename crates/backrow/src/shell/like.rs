//! `backrow like LIBRARY FILE`: what in the library sounds like a recording.

use super::answer::{Answer, count};
use super::{open, sound};
use crate::places::sounds::known::{self, Measured, Sounds};
use crate::shares;
use crate::sound::measured::{cache, measure};
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::sound::{Answers, Asked, Measures, Quality, Take};
use backrow_files::problem::Problem;
use backrow_files::sound::read_file;
use backrow_sound::Analyser;
use clap::Args;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Ranks what the library has recordings of by how like a recording it sounds, with the reasons.
#[derive(Args, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is an option of the command line")]
pub(super) struct Like {
    /// The library's folder.
    library: PathBuf,
    /// An audio file with the sound that is wanted.
    file: PathBuf,
    /// Which of the file's strikes, from 1.
    #[arg(long, value_name = "N", default_value_t = 1)]
    strike: usize,
    /// Words that the sound should fit as well, in English, Italian, German or French: "metal, dull".
    #[arg(long, value_name = "WORDS", default_value = "")]
    words: String,
    /// How many answers.
    #[arg(long, value_name = "N", default_value_t = 12)]
    most: usize,
    /// But brighter.
    #[arg(long, conflicts_with = "darker")]
    brighter: bool,
    /// But darker.
    #[arg(long)]
    darker: bool,
    /// But ringing longer.
    #[arg(long, conflicts_with = "shorter")]
    longer: bool,
    /// But ringing shorter.
    #[arg(long)]
    shorter: bool,
    /// But higher.
    #[arg(long, conflicts_with = "lower")]
    higher: bool,
    /// But lower.
    #[arg(long)]
    lower: bool,
    /// But of clearer pitch.
    #[arg(long)]
    clearer: bool,
    /// But noisier.
    #[arg(long)]
    noisier: bool,
    /// But with a harder stroke.
    #[arg(long, conflicts_with = "softer")]
    harder: bool,
    /// But with a softer stroke.
    #[arg(long)]
    softer: bool,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

impl Like {
    fn but(&self) -> Vec<Quality> {
        let asked = [
            (self.brighter, Quality::Brighter),
            (self.darker, Quality::Darker),
            (self.longer, Quality::Longer),
            (self.shorter, Quality::Shorter),
            (self.higher, Quality::Higher),
            (self.lower, Quality::Lower),
            (self.clearer, Quality::Clearer),
            (self.noisier, Quality::Noisier),
            (self.harder, Quality::Harder),
            (self.softer, Quality::Softer),
        ];
        asked.into_iter().filter(|(asked, _)| *asked).map(|(_, quality)| quality).collect()
    }

    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, mut problems) = open::library(&self.library)?;
        let (like, faults) = self.wanted()?;
        problems.extend(faults);
        let (measured, troubles) = measure_all(&self.library, &library);
        problems.extend(troubles);
        if measured.is_empty() {
            problems.push(Problem {
                code: "no-takes",
                place: self.library.display().to_string(),
                what: "no strike of the library’s instruments has been recorded".to_owned(),
                remedy: "make a recording in the window, or import audio files there".to_owned(),
            });
        }
        let sounds = known::of(&library, &measured, &[]);
        let asked =
            Asked { like: Some(Arc::new(like)), itself: None, but: self.but(), words: self.words.clone() };
        let answers = sounds.heard.ask(&asked, self.most);
        let lines = lines(&library, &sounds, &answers);
        Ok(Answer::new(lines, answer_json(&library, &sounds, &asked, &answers), problems))
    }

    /// The strike that is wanted.
    fn wanted(&self) -> Result<(Measures, Vec<Problem>), Problem> {
        let recording = read_file(&self.file)?;
        let nothing = |what: String, remedy: &str| Problem {
            code: "no-strike",
            place: self.file.display().to_string(),
            what,
            remedy: remedy.to_owned(),
        };
        let analyser = Analyser::new(&recording.sound, f64::from(recording.rate_hz));
        let spans =
            analyser.as_ref().map(|one| one.strikes(backrow_sound::SENSITIVITY_DB)).unwrap_or_default();
        let span = self.strike.checked_sub(1).and_then(|at| spans.get(at));
        match (analyser, span) {
            (Some(analyser), Some(span)) => {
                Ok((analyser.measure(*span), sound::faults(&self.file, &recording)))
            }
            _ if spans.is_empty() => Err(nothing(
                "no strike was found in it".to_owned(),
                "`backrow sound` with --rise 6 finds softer ones",
            )),
            _ => Err(nothing(
                format!("it has {}", count(spans.len(), "strike")),
                "name one of them by --strike",
            )),
        }
    }
}

/// What can be measured of the library's takes, on as many threads as there are cores.
fn measure_all(folder: &Path, library: &Library) -> (Measured, Vec<Problem>) {
    let takes: Vec<&Take> = library.takes.values().map(|take| &**take).collect();
    let cache = cache();
    let one = |take: &&Take| match measure(take, folder, cache.as_deref()) {
        Ok(all) => {
            Ok(take.keyed().map(|(key, _)| key).zip(all.into_iter().map(Arc::new)).collect::<Vec<_>>())
        }
        Err(why) => Err(unread(take, why)),
    };
    let (mut all, mut problems) = (Measured::new(), Vec::new());
    for one in shares::each(&takes, 0, one) {
        match one {
            Ok(measured) => all.extend(measured),
            Err(problem) => problems.push(problem),
        }
    }
    (all, problems)
}

fn unread(take: &Take, what: String) -> Problem {
    Problem {
        code: "take-unread",
        place: take.key().to_string(),
        what,
        remedy: "put the recording back beside its record, or remove the take".to_owned(),
    }
}

fn lines(library: &Library, sounds: &Sounds, answers: &Answers) -> Vec<String> {
    let mut lines: Vec<String> = answers.otherwise.iter().map(|one| format!("heard so far, {one}")).collect();
    let before = lines.len();
    for (rank, answer) in answers.found.iter().enumerate() {
        let Some(fact) = sounds.facts.get(answer.at) else { continue };
        lines.push(format!("{}. {}: {}", rank + 1, fact.name, answer.reasons.join("; ")));
        lines.extend(answer.disagreements.iter().map(|one| format!("     {one}")));
    }
    if lines.len() == before {
        lines.push("nothing in the library answers this".to_owned());
    }
    let unmeasured: Vec<String> =
        answers.unmeasured.iter().map(|one| library.instrument_name(&one.instrument)).collect();
    if !unmeasured.is_empty() {
        lines.push(format!("not recorded yet: {}", listed(&unmeasured)));
    }
    if !answers.unknown.is_empty() {
        lines.push(format!("these words say nothing here: {}", answers.unknown.join(", ")));
    }
    lines
}

fn answer_json(library: &Library, sounds: &Sounds, asked: &Asked, answers: &Answers) -> Value {
    let found = answers.found.iter().filter_map(|answer| {
        let (known, fact) = (sounds.heard.all().get(answer.at)?, sounds.facts.get(answer.at)?);
        Some(json!({
            "instrument": known.key.instrument.as_str(),
            "take": known.key.take.as_str(),
            "strike": known.key.number + 1,
            "name": fact.name,
            "bar": fact.bar,
            "distance": answer.distance,
            "by_model": known.by_model,
            "reasons": answer.reasons,
            "disagreements": answer.disagreements,
        }))
    });
    let unmeasured = answers
        .unmeasured
        .iter()
        .map(|one| json!({ "instrument": one.instrument.as_str(), "fits": one.fits }));
    // Cents are told from what the orchestra tunes to.
    let a = library.orchestra.a;
    let like = asked.like.as_ref().map(|like| sound::in_words(like, a));
    json!({
        "a4_hz": a.value(),
        "like": like,
        "but": asked.but.iter().map(|quality| quality.word()).collect::<Vec<_>>(),
        "words": asked.words,
        "found": found.collect::<Vec<_>>(),
        "unmeasured": unmeasured.collect::<Vec<_>>(),
        "unknown_words": answers.unknown,
        "used_otherwise": answers.otherwise,
    })
}
