//! Strikes of the library ready to be heard: one as it was recorded, or several equally loud.

use super::decoded::decoded;
use super::prepare;
use crate::background::Stop;
use backrow_core::library::Library;
use backrow_core::sound::{Strike, StrikeKey, Take, TakeKey};
use backrow_sound::level::{self, Loud};
use backrow_sound::mix::Track;
use std::path::PathBuf;
use std::sync::Arc;

/// What is heard of a strike that the pointer rests on, as a share of it: 6 dB less.
pub(super) const SOFTLY: f32 = 0.5;

/// Strikes to be fetched.
pub(super) struct Asked {
    pub(super) folder: PathBuf,
    pub(super) strikes: Vec<(StrikeKey, Arc<Take>, Strike)>,
}

impl Asked {
    /// `None` where one of them is not in the library.
    pub(super) fn of(library: &Library, folder: PathBuf, keys: &[StrikeKey]) -> Option<Self> {
        let one = |key: &StrikeKey| {
            let name = TakeKey { instrument: key.instrument.clone(), take: key.take.clone() };
            let take = library.takes.get(&name)?;
            Some((key.clone(), Arc::clone(take), take.strikes.get(key.number)?.clone()))
        };
        let strikes = keys.iter().map(one).collect::<Option<Vec<_>>>()?;
        Some(Self { folder, strikes })
    }

    /// Their sounds, as they were recorded.
    fn sounds(&self, stop: &Stop) -> Result<Vec<Arc<[f32]>>, String> {
        let mut sounds = Vec::new();
        for (_, take, strike) in &self.strikes {
            if stop.is_asked() {
                break;
            }
            let (sound, rate) = decoded(&self.folder, take)?;
            sounds.push(prepare::piece(&sound, rate, (strike.from_s, strike.to_s)).into());
        }
        Ok(sounds)
    }

    /// One behind the other, each multiplied by that much.
    pub(super) fn tracks(&self, gain: f32, stop: &Stop) -> Result<Vec<Track>, String> {
        let sounds = self.sounds(stop)?;
        Ok(sounds.into_iter().map(|samples| Track::new(samples, gain)).collect())
    }

    /// All as loud as the softest of them, measured here: whether anybody has measured them before makes no difference.
    pub(super) fn matched(&self, stop: &Stop) -> Result<Vec<Track>, String> {
        let sounds = self.sounds(stop)?;
        let louds: Vec<Option<Loud>> = sounds.iter().map(|sound| level::loud(sound)).collect();
        let gains = level::matched_db(&louds);
        let track = |(samples, db)| Track::new(samples, level::factor(db));
        Ok(sounds.into_iter().zip(gains).map(track).collect())
    }
}
