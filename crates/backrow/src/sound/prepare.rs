//! Making a line ready to be heard: its notes, and of every candidate the strikes that play them. Runs beside the frame.

use super::How;
use super::candidates::{Beyond, Candidate};
use super::decoded::decoded;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::music::{Dynamic, Line, Timeline};
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Strike, Take};
use backrow_core::week::LineRef;
use backrow_sound::device::RATE;
use backrow_sound::level::{self, Loud};
use backrow_sound::model::{self, Blow};
use backrow_sound::passage::{self, Note, Sample};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

/// The longest that a strike rings in a passage, seconds: a tam-tam or a low bell is heard to its end but for a whisper.
const RINGS_S: f64 = 15.0;

/// The shortest and the longest that a model's strikes are cut to in a passage, seconds; the more there are, the shorter.
const MODEL_RINGS_S: (f64, f64) = (2.5, 12.0);

/// What a model makes for one candidate, seconds in all.
const MODELLED_S: f64 = 240.0;

/// The most different strikes that a model makes for one candidate.
const MOST_MODELLED: usize = 160;

/// One candidate, ready.
#[derive(Clone, Debug)]
pub struct Ready {
    /// "Anvil 1, steel hammer".
    pub label: String,
    /// "31 of 44 bars recorded; 4 shifted", or why it is silent.
    pub words: String,
    /// Whether a model made any of it.
    pub by_model: bool,
    /// One channel at [`RATE`]: its own sound alone.
    pub sound: Arc<[f32]>,
    pub(super) loud: Option<Loud>,
}

/// By how much each candidate is louder or softer, dB. Candidates are matched by their own sound alone.
pub(super) fn gains_db(ready: &[Ready], as_recorded: bool) -> Vec<f64> {
    let louds: Vec<Option<Loud>> = ready.iter().map(|ready| ready.loud).collect();
    if as_recorded { level::as_recorded_db(&louds) } else { level::matched_db(&louds) }
}

/// What a line is made ready from.
pub struct Asked {
    /// The library.
    pub library: Library,
    /// Where its sound lies; `None` for one that is not on disk.
    pub folder: Option<PathBuf>,
    /// The current programme.
    pub programme: Option<ProgrammeId>,
    /// The line.
    pub line: LineRef,
    /// How it is heard.
    pub how: How,
    /// On what.
    pub candidates: Vec<Candidate>,
    /// How many more there are.
    pub beyond: Beyond,
}

/// A stretch of a movement, seconds from its start.
pub(super) type Span = (f64, f64);

pub(super) fn notes(line: &Line, timeline: &Timeline, (from_s, to_s): Span) -> Vec<Note> {
    let within = |at: f64| at >= from_s - 1e-6 && at <= to_s + 1e-6;
    let strokes = line.strokes(timeline);
    let heard = strokes.iter().filter(|stroke| within(stroke.struck.at_s()));
    heard
        .map(|stroke| Note {
            at_s: stroke.struck.at_s() - from_s,
            key: stroke.note().map(|(_, key)| key),
            dynamic: stroke.struck.dynamic,
            rolled_s: if stroke.struck.rolled {
                f64::from(stroke.struck.lasts_us.unwrap_or(0)) / 1e6
            } else {
                0.0
            },
        })
        .collect()
}

pub(super) fn one(asked: &Asked, candidate: &Candidate, notes: &[Note]) -> Ready {
    let Found { samples, source, without_bar, cut_at_s } = samples(asked, candidate, notes);
    let played = passage::play(notes, &samples);
    let (words, by_model) = match source {
        Source::Takes(made) => of_takes(&played, &made),
        Source::Model if without_bar > 0 => ("by model".to_owned(), true),
        Source::Model if has_takes(&asked.library, candidate) => {
            ("no take with this beater yet: by model".to_owned(), true)
        }
        Source::Model => ("no takes yet: by model".to_owned(), true),
        Source::Nothing(why) => (why, false),
    };
    let words = match without_bar {
        0 => words,
        1 => format!("{words}; 1 strike has no bar yet (Up the keyboard)"),
        more => format!("{words}; {more} strikes have no bar yet (Up the keyboard)"),
    };
    let words =
        cut_at_s.map_or_else(|| words.clone(), |at_s| format!("{words}; rings cut at {at_s:.0}\u{202F}s"));
    // Candidates are matched by their own sound; what goes along does not count.
    let loud = level::loud(&played.sound);
    Ready { label: candidate.label.clone(), words, by_model, sound: played.sound.into(), loud }
}

fn has_takes(library: &Library, candidate: &Candidate) -> bool {
    candidate.instruments.iter().any(|id| library.takes_of(id).next().is_some())
}

/// What is said of takes that are heard, and whether a model made any of them. Nobody recorded what a model made.
fn of_takes(played: &passage::Passage, made: &[bool]) -> (String, bool) {
    let of_models = played.used.iter().filter(|at| made.get(**at).copied().unwrap_or_default()).count();
    match of_models {
        0 => (played.words(), false),
        all if all == played.used.len() => (played.words().replace("recorded", "made by model"), true),
        _ => (format!("{}; partly by model", played.words()), true),
    }
}

/// A candidate's strikes.
pub(super) struct Found {
    pub(super) samples: Vec<Sample>,
    source: Source,
    /// Strikes of an instrument with bars that nobody has told the bar of: they would sound at any pitch.
    without_bar: usize,
    /// Some would ring longer, and are cut after so many seconds.
    cut_at_s: Option<f64>,
}

/// Where a candidate's strikes come from.
enum Source {
    /// Takes; whether a model made each strike.
    Takes(Vec<bool>),
    Model,
    Nothing(String),
}

pub(super) fn samples(asked: &Asked, candidate: &Candidate, notes: &[Note]) -> Found {
    let library = &asked.library;
    let takes: Vec<&Take> = candidate.instruments.iter().flat_map(|id| library.takes_of(id)).collect();
    let asks_bars = notes.iter().any(|note| note.key.is_some());
    let (mut troubles, mut without_bar) = (Vec::new(), 0);
    let (mut found, mut made, mut cut_at_s) = (Vec::new(), Vec::new(), None);
    for take in &takes {
        let with = |strike: &&Strike| candidate.beater.is_none() || strike.beater == candidate.beater;
        let has_bars =
            library.instruments.get(&take.instrument).is_some_and(|thing| asks_bars && thing.is_pitched());
        let (strikes, untold): (Vec<&Strike>, Vec<&Strike>) =
            take.strikes.iter().filter(with).partition(|strike| !has_bars || strike.bar.is_some());
        without_bar += untold.len();
        if strikes.is_empty() {
            continue;
        }
        match asked.folder.as_deref().map(|folder| decoded(folder, take)) {
            Some(Ok((sound, rate))) => {
                cut_at_s =
                    cut_at_s.or(strikes.iter().any(|s| s.to_s - s.from_s > RINGS_S).then_some(RINGS_S));
                made.extend(strikes.iter().map(|_| take.by_model));
                found.extend(strikes.into_iter().map(|strike| cut(&sound, rate, strike)));
            }
            Some(Err(why)) => troubles.push(why),
            None => {}
        }
    }
    if !found.is_empty() {
        return Found { samples: found, source: Source::Takes(made), without_bar, cut_at_s };
    }
    let (modelled, cut_at_s) = modelled(library, candidate, notes);
    let (samples, source) = match (modelled.is_empty(), troubles.into_iter().next()) {
        (false, None) => (modelled, Source::Model),
        (_, Some(why)) => (Vec::new(), Source::Nothing(why)),
        (true, None) if without_bar > 0 => (Vec::new(), Source::Nothing("silent".to_owned())),
        (true, None) => {
            (Vec::new(), Source::Nothing("no takes yet, and no model of such a thing".to_owned()))
        }
    };
    Found { samples, source, without_bar, cut_at_s }
}

fn cut(sound: &[f32], rate: u32, strike: &Strike) -> Sample {
    let to_s = strike.to_s.min(strike.from_s + RINGS_S);
    let piece = piece(sound, rate, (strike.from_s, to_s));
    Sample { key: strike.bar, how_hard: strike.how_hard, sound: piece.into() }
}

/// A piece of a sound at [`RATE`], its last hundredth of a second fading.
pub fn piece(sound: &[f32], rate: u32, (from_s, to_s): (f64, f64)) -> Vec<f32> {
    let frame = |s: f64| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of frames")]
        let frame = (s.clamp(0.0, 1e5) * f64::from(rate)).round() as usize;
        frame.min(sound.len())
    };
    let (from, to) = (frame(from_s), frame(to_s));
    let mut piece =
        backrow_sound::rate::at_rate(sound.get(from..to.max(from)).unwrap_or_default(), rate, RATE);
    let fade = 480.min(piece.len());
    for (n, value) in piece.iter_mut().rev().take(fade).enumerate() {
        *value *= n as f32 / fade as f32;
    }
    piece
}

/// Every bar that the notes ask for, at every dynamic, made by the model of the first instrument that has the bar; and after how
/// many seconds those are cut that would ring longer.
fn modelled(library: &Library, candidate: &Candidate, notes: &[Note]) -> (Vec<Sample>, Option<f64>) {
    let wanted: BTreeSet<(Option<KeyNumber>, Dynamic)> =
        notes.iter().map(|note| (note.key, note.dynamic.unwrap_or(Dynamic::Mf))).collect();
    let most_s = MODELLED_S / wanted.len().clamp(1, MOST_MODELLED) as f64;
    let most_s = most_s.clamp(MODEL_RINGS_S.0, MODEL_RINGS_S.1);
    let mut cut_at_s = None;
    let make = |(key, dynamic): (Option<KeyNumber>, Dynamic)| {
        let things = candidate.instruments.iter().filter_map(|id| library.instruments.get(id));
        let thing = things.min_by_key(|thing| !key.is_none_or(|key| thing.compass().contains(key)))?;
        let kind = library.kinds.get(&thing.kind)?;
        let bar = key.filter(|key| !thing.is_pitched() || thing.compass().contains(*key));
        if bar.is_none() && key.is_some() && thing.is_pitched() {
            return None;
        }
        let body = model::body_of(thing, kind, bar)?;
        let blow = match candidate.beater.as_ref().and_then(|id| library.beaters.get(id)) {
            Some(beater) => Blow::with_beater(beater, dynamic, model::seed_of(thing.id.as_str())),
            None => model::stand_in::usual(kind, dynamic, model::seed_of(thing.id.as_str())),
        };
        if model::length_s(&body) > most_s {
            cut_at_s = Some(most_s);
        }
        let sound = model::strike(&body, &blow, RATE, most_s);
        Some(Sample { key, how_hard: Some(dynamic), sound: sound.into() })
    };
    let samples = wanted.into_iter().take(MOST_MODELLED).filter_map(make).collect();
    (samples, cut_at_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_model_made_is_marked_by_what_is_heard() {
        let played = passage::Passage {
            bars: 3,
            recorded: 3,
            used: BTreeSet::from([0, 2]),
            ..passage::Passage::default()
        };
        let said = |made: &[bool]| of_takes(&played, made);
        assert_eq!(said(&[false, true, false]), ("3 of 3 bars recorded".to_owned(), false));
        assert_eq!(said(&[true, false, true]), ("3 of 3 bars made by model".to_owned(), true));
        assert_eq!(said(&[true, false, false]), ("3 of 3 bars recorded; partly by model".to_owned(), true));
    }
}
