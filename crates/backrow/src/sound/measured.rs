//! The measures of every strike of the library, worked out beside the frame, and remembered by what the recordings hold.

use super::decoded::sound_of;
use crate::background::{Known, Remembered, Stop};
use backrow_core::library::Library;
use backrow_core::sound::{Measures, Strike, StrikeKey, Take, TakeKey};
use backrow_files::sound::{recall, remember};
use backrow_sound::{ANALYSER_VERSION, Analyser};
use egui::Context;
use std::collections::BTreeMap;
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

/// The library's takes, shared.
type Takes = Arc<BTreeMap<TakeKey, Arc<Take>>>;

/// Remembers the measures of the current library.
#[derive(Default)]
pub struct Memory {
    answers: Remembered<(u64, Option<PathBuf>), Measured>,
    seen: Option<(Takes, u64)>,
}

impl Memory {
    /// The measures, or those of before while they are worked out. Nothing happens while the takes stay as they are.
    pub fn of(&mut self, ctx: &Context, library: &Library, folder: Option<&Path>) -> Known<'_, Measured> {
        let same = self.seen.as_ref().is_some_and(|(takes, _)| Arc::ptr_eq(takes, &library.takes));
        if !same {
            let number = self.seen.as_ref().map_or(0, |(_, number)| number + 1);
            self.seen = Some((Arc::clone(&library.takes), number));
        }
        let number = self.seen.as_ref().map_or(0, |(_, number)| *number);
        let key = (number, folder.map(Path::to_owned));
        self.answers.get(ctx, "measures of takes", &key, || {
            let (takes, folder) = (Arc::clone(&library.takes), folder.map(Path::to_owned));
            move |stop: &Stop| measure_all(&takes, folder.as_deref(), cache().as_deref(), stop)
        })
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
