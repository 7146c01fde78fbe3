//! A line made heard: its strokes at their moments, each from a strike of one candidate.

use crate::device::RATE;
use crate::rate::shifted;
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The most that a strike is shifted to stand for a bar that nobody recorded, semitones: beyond it a bar sounds like another one
/// played too fast. Ours.
pub const MOST_SHIFT: u8 = 3;

/// Between two dynamics, dB, where a strike was made at another than the part asks; as for models.
const STEP_DB: f64 = 5.0;

/// Strokes a second of a roll; common practice, no source.
const ROLL_HZ: f64 = 13.0;

/// The longest that is made heard at once, seconds.
pub const LONGEST_S: f64 = 180.0;

/// One attack that a part asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Note {
    /// Seconds from the start of what is heard.
    pub at_s: f64,
    /// The sounding pitch; `None` for what has none.
    pub key: Option<KeyNumber>,
    /// How loud; mezzo-forte where the part says nothing.
    pub dynamic: Option<Dynamic>,
    /// A roll that lasts so long, seconds; 0 for a single stroke.
    pub rolled_s: f64,
}

/// One strike that can be played.
#[derive(Clone, Debug)]
pub struct Sample {
    /// The bar that was struck.
    pub key: Option<KeyNumber>,
    /// How hard.
    pub how_hard: Option<Dynamic>,
    /// One channel at [`RATE`], from the strike on.
    pub sound: Arc<[f32]>,
}

/// A line made heard, and what it was made of.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Passage {
    /// One channel at [`RATE`].
    pub sound: Vec<f32>,
    /// Different bars that the part asks for; 1 for a line without pitch.
    pub bars: usize,
    /// Of these, recorded themselves.
    pub recorded: usize,
    /// Of these, played by a neighbour.
    pub shifted: usize,
    /// Of these, with no strike near enough: silent.
    pub silent: usize,
    /// The strikes that are heard, as places among those that were there.
    pub used: BTreeSet<usize>,
}

impl Passage {
    /// What was made of what: "31 of 44 bars recorded; 4 shifted; 9 silent".
    pub fn words(&self) -> String {
        let recorded = match (self.bars, self.recorded) {
            (1, 1) => "recorded".to_owned(),
            (bars, recorded) => format!("{recorded} of {bars} bars recorded"),
        };
        let more = [(self.shifted, "shifted"), (self.silent, "silent")];
        let more =
            more.into_iter().filter(|(count, _)| *count > 0).map(|(count, how)| format!("{count} {how}"));
        std::iter::once(recorded).chain(more).collect::<Vec<_>>().join("; ")
    }
}

/// How a bar is played.
#[derive(Clone, Copy, PartialEq)]
enum By {
    Itself(KeyNumber),
    Neighbour(KeyNumber),
    Any,
    Nothing,
}

/// Plays notes on the strikes of one candidate. Nearest bars stand in for those that nobody recorded, shifted by at most
/// [`MOST_SHIFT`]; the strike whose dynamic is nearest is taken, and made as much softer or louder as is left.
pub fn play(notes: &[Note], samples: &[Sample]) -> Passage {
    let keys: BTreeSet<Option<KeyNumber>> = notes.iter().map(|note| note.key).collect();
    let by: BTreeMap<Option<KeyNumber>, By> = keys.iter().map(|key| (*key, by(*key, samples))).collect();
    let count = |wanted: &dyn Fn(&By) -> bool| by.values().filter(|by| wanted(by)).count();
    let mut passage = Passage {
        sound: Vec::new(),
        bars: by.len(),
        recorded: count(&|by| matches!(by, By::Itself(_) | By::Any)),
        shifted: count(&|by| matches!(by, By::Neighbour(_))),
        silent: count(&|by| *by == By::Nothing),
        used: BTreeSet::new(),
    };
    let mut moved: BTreeMap<(usize, i16), Arc<[f32]>> = BTreeMap::new();
    for note in notes.iter().filter(|note| note.at_s.is_finite() && (0.0..LONGEST_S).contains(&note.at_s)) {
        let wanted = note.dynamic.unwrap_or(Dynamic::Mf);
        let by = by.get(&note.key).copied().unwrap_or(By::Nothing);
        let Some((number, sample)) = nearest(samples, by, wanted) else { continue };
        passage.used.insert(number);
        let step = match (by, note.key) {
            (By::Neighbour(from), Some(to)) => i16::from(to.number()) - i16::from(from.number()),
            _ => 0,
        };
        let sound = moved.entry((number, step)).or_insert_with(|| {
            if step == 0 { Arc::clone(&sample.sound) } else { shifted(&sample.sound, f64::from(step)).into() }
        });
        let gain = gain(wanted, sample.how_hard.unwrap_or(Dynamic::Mf));
        for (n, at_s) in strokes(note).enumerate() {
            // Strokes of a roll are softer than one that stands alone, or a roll would be louder than its dynamic.
            let soft = if n == 0 && note.rolled_s <= 0.0 { 1.0 } else { 0.6 };
            add(&mut passage.sound, sound, at_s, gain * soft);
        }
    }
    passage
}

/// Louder by a step a step; never by more than two, which would bring up noise.
fn gain(wanted: Dynamic, made: Dynamic) -> f32 {
    let place = |dynamic| Dynamic::ALL.iter().position(|one| *one == dynamic).unwrap_or(0) as f64;
    let db = ((place(wanted) - place(made)) * STEP_DB).min(2.0 * STEP_DB);
    #[expect(clippy::cast_possible_truncation, reason = "a gain of a few units")]
    let gain = 10f64.powf(db / 20.0) as f32;
    gain
}

fn by(key: Option<KeyNumber>, samples: &[Sample]) -> By {
    let Some(key) = key else { return if samples.is_empty() { By::Nothing } else { By::Any } };
    let near =
        samples.iter().filter_map(|sample| sample.key).min_by_key(|bar| bar.number().abs_diff(key.number()));
    match near {
        Some(bar) if bar == key => By::Itself(bar),
        Some(bar) if bar.number().abs_diff(key.number()) <= MOST_SHIFT => By::Neighbour(bar),
        Some(_) => By::Nothing,
        // A thing without bars sounds as it sounds, whatever the part writes.
        None if samples.is_empty() => By::Nothing,
        None => By::Any,
    }
}

fn nearest(samples: &[Sample], by: By, wanted: Dynamic) -> Option<(usize, &Sample)> {
    let fits = |sample: &Sample| match by {
        By::Itself(bar) | By::Neighbour(bar) => sample.key == Some(bar),
        By::Any => true,
        By::Nothing => false,
    };
    let place = |dynamic| Dynamic::ALL.iter().position(|one| *one == dynamic).unwrap_or(0);
    let fitting = samples.iter().enumerate().filter(|(_, sample)| fits(sample));
    fitting.min_by_key(|(_, sample)| place(sample.how_hard.unwrap_or(Dynamic::Mf)).abs_diff(place(wanted)))
}

/// The moments of a note's strokes: one, or those of a roll.
fn strokes(note: &Note) -> impl Iterator<Item = f64> {
    let lasts_s = if note.rolled_s.is_finite() { note.rolled_s.clamp(0.0, LONGEST_S) } else { 0.0 };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand at most")]
    let more = (lasts_s * ROLL_HZ) as u32;
    let from_s = note.at_s;
    (0..=more).map(move |n| from_s + f64::from(n) / ROLL_HZ)
}

fn add(sum: &mut Vec<f32>, sound: &[f32], at_s: f64, gain: f32) {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of frames")]
    let from = (at_s.clamp(0.0, LONGEST_S) * f64::from(RATE)).round() as usize;
    let until = from + sound.len();
    if sum.len() < until {
        sum.resize(until, 0.0);
    }
    for (value, more) in sum.iter_mut().skip(from).zip(sound) {
        *value += more * gain;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(number: i32) -> KeyNumber {
        KeyNumber::new(number).unwrap()
    }

    fn sample(number: Option<i32>, how_hard: Dynamic, level: f32) -> Sample {
        Sample { key: number.map(key), how_hard: Some(how_hard), sound: vec![level; 480].into() }
    }

    fn note(at_s: f64, number: Option<i32>, dynamic: Dynamic) -> Note {
        Note { at_s, key: number.map(key), dynamic: Some(dynamic), rolled_s: 0.0 }
    }

    #[test]
    fn bars_are_recorded_shifted_or_silent() {
        let samples = [sample(Some(60), Dynamic::Mf, 0.1), sample(Some(64), Dynamic::Mf, 0.2)];
        let notes: Vec<Note> = [60, 61, 64, 67, 68, 60]
            .into_iter()
            .enumerate()
            .map(|(n, k)| note(n as f64, Some(k), Dynamic::Mf))
            .collect();
        let passage = play(&notes, &samples);
        assert_eq!((passage.bars, passage.recorded, passage.shifted, passage.silent), (5, 2, 2, 1));
        assert_eq!(passage.words(), "2 of 5 bars recorded; 2 shifted; 1 silent");
        let at = |s: usize| passage.sound[s * 48_000 + 100];
        assert!((at(0) - 0.1).abs() < 1e-6 && (at(2) - 0.2).abs() < 1e-6 && at(4).abs() < 1e-9);
        assert!((at(3) - 0.2).abs() < 1e-4, "shifted, as loud as its neighbour");
    }

    #[test]
    fn the_nearest_dynamic_is_taken_and_scaled() {
        let samples = [sample(None, Dynamic::P, 0.01), sample(None, Dynamic::F, 0.1)];
        let passage = play(&[note(0.0, None, Dynamic::Ff), note(1.0, None, Dynamic::P)], &samples);
        assert!((passage.sound[100] - 0.1 * 10f32.powf(0.25)).abs() < 1e-5, "forte, 5 dB louder");
        assert!((passage.sound[48_100] - 0.01).abs() < 1e-6);
        assert_eq!(passage.words(), "recorded");
        assert_eq!(passage.used.len(), 2);
        let passage = play(&[note(0.0, None, Dynamic::F)], &samples);
        assert_eq!(passage.used.into_iter().collect::<Vec<_>>(), [1], "the loud one alone is heard");
    }

    #[test]
    fn a_roll_is_many_strokes() {
        let roll = Note { rolled_s: 1.0, ..note(0.0, None, Dynamic::Mf) };
        let passage = play(&[roll], &[sample(None, Dynamic::Mf, 0.1)]);
        let strokes = passage.sound.windows(2).filter(|w| w[0] == 0.0 && w[1] > 0.0).count();
        assert_eq!(strokes, 13, "beside the first");
    }

    #[test]
    fn nothing_recorded_is_silence() {
        let passage = play(&[note(0.0, Some(60), Dynamic::F), note(f64::NAN, None, Dynamic::F)], &[]);
        assert_eq!((passage.silent, passage.sound.len()), (2, 0));
    }
}
