//! The measures of every strike of the library, worked out beside the frame, and remembered by what the recordings hold.

use super::decoded::sound_of;
use crate::background::{Known, Remembered, Stop};
use backrow_core::library::Library;
use backrow_core::sound::{Measures, Strike, StrikeKey, Take, TakeKey};
use backrow_files::library::find_sound;
use backrow_files::sound::{recall, remember};
use backrow_sound::{ANALYSER_VERSION, Analyser};
use egui::Context;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The measures of strikes, and what could not be read.
#[derive(Clone, Debug, Default)]
pub struct Measured {
    /// Of every strike that could be read.
    pub strikes: BTreeMap<StrikeKey, Arc<Measures>>,
    /// Recordings that could not be read, each with what helps.
    pub troubles: Vec<(TakeKey, String)>,
}

/// The library's takes, the same where they are shared.
#[derive(Clone)]
struct Takes(Arc<BTreeMap<TakeKey, Arc<Take>>>);

impl PartialEq for Takes {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// Remembers the measures of the current library.
#[derive(Default)]
pub struct Memory {
    answers: Remembered<(Takes, Option<PathBuf>), Measured>,
}

impl Memory {
    /// The measures, or those of before while they are worked out. Nothing happens while the takes stay as they are.
    pub fn of(&mut self, ctx: &Context, library: &Library, folder: Option<&Path>) -> Known<'_, Measured> {
        let key = (Takes(Arc::clone(&library.takes)), folder.map(Path::to_owned));
        self.answers.get(ctx, "measures of takes", &key, || {
            let (takes, folder) = (Arc::clone(&library.takes), folder.map(Path::to_owned));
            move |stop: &Stop| measure_all(&takes, folder.as_deref(), cache().as_deref(), stop)
        })
    }
}

/// Takes whose file is not where their record says, looked for beside the frame.
#[derive(Default)]
pub struct Missing {
    answers: Remembered<(Takes, PathBuf), BTreeSet<TakeKey>>,
    none: BTreeSet<TakeKey>,
}

impl Missing {
    /// Those of the current library, or those of before while they are looked for.
    pub fn of(&mut self, ctx: &Context, library: &Library, folder: Option<&Path>) -> &BTreeSet<TakeKey> {
        let Some(folder) = folder.filter(|_| !library.takes.is_empty()) else { return &self.none };
        let key = (Takes(Arc::clone(&library.takes)), folder.to_owned());
        let known = self.answers.get(ctx, "files of takes", &key, || {
            let (Takes(takes), folder) = key.clone();
            move |stop: &Stop| {
                let asked = takes.iter().take_while(|_| !stop.is_asked());
                let gone = asked.filter(|(_, take)| find_sound(&folder, take).is_err());
                gone.map(|(key, _)| key.clone()).collect()
            }
        });
        known.value.unwrap_or(&self.none)
    }
}

/// Where this user's programs remember what can be worked out again.
pub fn cache() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "backrow").map(|dirs| dirs.cache_dir().to_owned())
}

/// Measures every strike of every take, or recalls it.
pub fn measure_all(
    takes: &BTreeMap<TakeKey, Arc<Take>>,
    folder: Option<&Path>,
    cache: Option<&Path>,
    stop: &Stop,
) -> Measured {
    let mut done = Measured::default();
    let Some(folder) = folder else { return done };
    for (key, take) in takes {
        if stop.is_asked() {
            break;
        }
        match measure(take, folder, cache) {
            Ok(all) => {
                done.strikes.extend(take.keyed().map(|(key, _)| key).zip(all.into_iter().map(Arc::new)));
            }
            Err(why) => done.troubles.push((key.clone(), why)),
        }
    }
    done
}

/// The measures of a take's strikes, in their order.
///
/// # Errors
/// Why its sound cannot be read.
pub fn measure(take: &Take, folder: &Path, cache: Option<&Path>) -> Result<Vec<Measures>, String> {
    // What is remembered of a sound that is gone would pass for what can be heard.
    find_sound(folder, take).map_err(|problem| problem.to_string())?;
    let known =
        cache.map_or_else(Vec::new, |cache| recall(cache, &take.content, ANALYSER_VERSION, &take.strikes));
    if !known.is_empty() && known.iter().all(Option::is_some) {
        return Ok(known.into_iter().flatten().collect());
    }
    let (sound, rate) = sound_of(folder, take)?;
    let Some(analyser) = Analyser::new(&sound, f64::from(rate)) else {
        return Err(format!(
            "{}: at {rate}\u{202F}Hz nothing can be measured; record it at 48\u{202F}000\u{202F}Hz",
            take.key()
        ));
    };
    let of = |strike: &Strike| analyser.measure(analyser.span(strike));
    let all: Vec<(Strike, Measures)> =
        take.strikes.iter().map(|strike| (strike.clone(), of(strike))).collect();
    if let Some(cache) = cache {
        remember(cache, &take.content, ANALYSER_VERSION, &all);
    }
    Ok(all.into_iter().map(|(_, measures)| measures).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::import::keep;
    use backrow_core::id::{InstrumentId, TakeId};

    #[test]
    fn what_is_remembered_of_a_sound_that_is_gone_is_not_told() {
        let (folder, cache) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let take = Take {
            id: TakeId::new("t").unwrap(),
            instrument: InstrumentId::new("anvil").unwrap(),
            file: String::new(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: 0.5,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes: vec![Strike { to_s: 0.5, ..Strike::default() }],
        };
        let take = keep(folder.path(), take, &vec![0.25; 24_000]).unwrap();
        let ask = || measure(&take, folder.path(), Some(cache.path()));
        assert_eq!(ask().unwrap().len(), 1);
        assert!(std::fs::read_dir(cache.path()).unwrap().next().is_some(), "remembered");
        std::fs::remove_file(folder.path().join("sounds/anvil").join(&take.file)).unwrap();
        assert!(ask().unwrap_err().contains("it is not there"));
    }
}
