//! `backrow sound FILE..`: the strikes in recordings, and what is measured of each.

use super::answer::{Answer, count};
use backrow_core::pitch::{ReferenceA, signed};
use backrow_core::sound::{Figure, Measure, Measures, Strike};
use backrow_files::problem::Problem;
use backrow_files::sound::{Recording, read_file};
use backrow_sound::{ANALYSER_VERSION, Analyser, SENSITIVITY_DB};
use clap::Args;
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};

/// Finds the strikes in recordings and measures each: partials, pitch, brightness, ring, attack and loudness, with their
/// uncertainty.
#[derive(Args, Debug)]
pub(super) struct Sound {
    /// Audio files: WAV, AIFF, FLAC, Ogg Vorbis, MP3, M4A, CAF.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
    /// The A4 that keys and cents are told by, Hz.
    #[arg(long, value_name = "HZ", default_value_t = 440.0)]
    a: f64,
    /// How far a sound must rise above what rang before to be a strike, dB; 6 finds softer ones in a noisy room.
    #[arg(long, value_name = "DB", default_value_t = SENSITIVITY_DB)]
    rise: f64,
}

impl Sound {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let a =
            ReferenceA::new(self.a).map_err(|why| asked("--a", why.to_string(), "name an A such as 442"))?;
        if !(1.0..=60.0).contains(&self.rise) {
            let what = format!("{}\u{202F}dB is out of range", self.rise);
            return Err(asked("--rise", what, "name 1 to 60 dB; 8 is usual, 6 finds softer strikes"));
        }
        let (mut lines, mut files, mut problems) = (Vec::new(), Vec::new(), Vec::new());
        for path in &self.files {
            match read_file(path) {
                Ok(recording) => {
                    problems.extend(faults(path, &recording));
                    let strikes = strikes(&recording, self.rise);
                    lines.extend(said(path, &recording, &strikes, a));
                    files.push(file_json(path, &recording, &strikes, a));
                }
                Err(problem) => problems.push(problem),
            }
        }
        if files.is_empty() {
            return Err(problems.into_iter().next().unwrap_or_else(|| {
                asked("sound", "no file was named".to_owned(), "name at least one audio file")
            }));
        }
        Ok(Answer::new(
            lines,
            json!({ "analyser": ANALYSER_VERSION, "a4_hz": self.a, "files": files }),
            problems,
        ))
    }
}

fn asked(place: &str, what: String, remedy: &str) -> Problem {
    Problem { code: "asked", place: place.to_owned(), what, remedy: remedy.to_owned() }
}

/// The strikes of a recording, each with its measures.
fn strikes(recording: &Recording, rise_db: f64) -> Vec<(Strike, Measures)> {
    let Some(analyser) = Analyser::new(&recording.sound, f64::from(recording.rate_hz)) else {
        return Vec::new();
    };
    let spans = analyser.strikes(rise_db);
    spans.into_iter().map(|span| (analyser.strike(span), analyser.measure(span))).collect()
}

/// What is wrong with the recording itself.
pub(super) fn faults(path: &Path, recording: &Recording) -> Vec<Problem> {
    let problem = |code, what: String, remedy: &str| Problem {
        code,
        place: path.display().to_string(),
        what,
        remedy: remedy.to_owned(),
    };
    let clipped = (recording.clipped > 0).then(|| {
        let samples = count(usize::try_from(recording.clipped).unwrap_or(usize::MAX), "sample");
        problem("audio-clipped", format!("{samples} at full scale"), "record it again with less gain")
    });
    let cut = recording.cut_short.then(|| {
        let what = "the file ends before it says that it does, is damaged, or is longer than half an hour"
            .to_owned();
        problem("audio-cut-short", what, "what was there has been measured; look whether a strike is missing")
    });
    clipped.into_iter().chain(cut).collect()
}

fn said(path: &Path, recording: &Recording, strikes: &[(Strike, Measures)], a: ReferenceA) -> Vec<String> {
    let length = recording.sound.len() as f64 / f64::from(recording.rate_hz);
    let found = count(strikes.len(), "strike");
    let mut lines =
        vec![format!("{}: {length:.1}\u{202F}s at {}\u{202F}Hz, {found}", path.display(), recording.rate_hz)];
    for (strike, measures) in strikes {
        lines.push(format!("  {:.3}\u{202F}s: {}", strike.from_s, in_words(measures, a)));
        lines.extend(measures.doubts.iter().map(|doubt| format!("    {doubt}")));
    }
    lines
}

/// A strike in one line: "A4 +12 cents (443.1 Hz ±0.1, clarity 0.93), ...".
pub(super) fn in_words(measures: &Measures, a: ReferenceA) -> String {
    let mut words = Vec::new();
    match measures.pitch {
        Some(pitch) => {
            let key = pitch.key(a).map_or_else(String::new, |(key, cents)| {
                format!("{key} {} cents, ", signed(cents.value(), 0))
            });
            words.push(format!("{key}{:.2}\u{202F}Hz, clarity {:.2}", pitch.hz.value, pitch.clarity.value));
        }
        None => words.push("no pitch stands out".to_owned()),
    }
    let figure = |figure: Option<Figure>, say: &dyn Fn(Figure) -> String| figure.map(say);
    words.extend(figure(measures.brightness_hz, &|f| format!("brightness {:.0}\u{202F}Hz", f.value)));
    words.extend(figure(measures.ring_s, &|f| format!("rings {:.2}\u{202F}s (±{:.2})", f.value, f.sd)));
    words.extend(figure(measures.attack_s, &|f| format!("attack {:.1}\u{202F}ms", f.value * 1000.0)));
    words
        .extend(measures.beating.map(|beating| format!("beats {:.1} times a second", beating.rate_hz.value)));
    words.extend(figure(measures.loudness_lufs, &|f| format!("{:.1} LUFS", f.value)));
    words.push(count(measures.partials.len(), "partial"));
    words.join("; ")
}

fn file_json(path: &Path, recording: &Recording, strikes: &[(Strike, Measures)], a: ReferenceA) -> Value {
    let strikes: Vec<Value> =
        strikes.iter().map(|(strike, measures)| strike_json(strike, measures, a)).collect();
    json!({
        "file": path.display().to_string(),
        "rate_hz": recording.rate_hz,
        "length_s": recording.sound.len() as f64 / f64::from(recording.rate_hz),
        "channels": recording.channels,
        "clipped": recording.clipped,
        "cut_short": recording.cut_short,
        "strikes": strikes,
    })
}

/// A strike with its figures; the uncertainty of each stands beside it, with `_sd` behind its name.
pub(super) fn strike_json(strike: &Strike, measures: &Measures, a: ReferenceA) -> Value {
    let mut fields = Map::new();
    fields.insert("from_s".to_owned(), json!(strike.from_s));
    fields.insert("to_s".to_owned(), json!(strike.to_s));
    for measure in Measure::ALL {
        put(&mut fields, measure.word(), measure.of(measures));
    }
    let key = measures.pitch.and_then(|pitch| pitch.key(a));
    fields.insert("key".to_owned(), json!(key.map(|(key, _)| key.number())));
    fields.insert("note".to_owned(), json!(key.map(|(key, _)| key.to_string())));
    let cents = key
        .zip(measures.pitch)
        .map(|((_, cents), pitch)| Figure { value: cents.value(), sd: pitch.cents_sd() });
    put(&mut fields, "cents", cents);
    let partials = measures.partials.iter().map(|partial| {
        let mut fields = Map::new();
        put(&mut fields, "hz", Figure::new(partial.hz, partial.hz_sd));
        put(&mut fields, "db", Figure::new(partial.db, partial.db_sd));
        put(&mut fields, "t60_s", partial.t60_s);
        fields.insert("bend_db".to_owned(), json!(partial.bend_db));
        Value::Object(fields)
    });
    fields.insert("partials".to_owned(), partials.collect());
    let doubts: Vec<String> = measures.doubts.iter().map(ToString::to_string).collect();
    fields.insert("doubts".to_owned(), json!(doubts));
    Value::Object(fields)
}

fn put(fields: &mut Map<String, Value>, name: &str, figure: Option<Figure>) {
    fields.insert(name.to_owned(), json!(figure.map(|figure| figure.value)));
    fields.insert(format!("{name}_sd"), json!(figure.map(|figure| figure.sd)));
}
