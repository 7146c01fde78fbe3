//! What was measured of the takes of the current instrument: beside the frame, and remembered while they stay as they are.

use crate::background::{Remembered, Stop};
use crate::scene::Scene;
use crate::sound::measured::{cache, measure};
use backrow_core::id::InstrumentId;
use backrow_core::sound::{Measures, Strike, Take};
use std::path::PathBuf;
use std::sync::Arc;

/// A strike of a take with its measures.
pub(in crate::places::collection) struct Heard {
    pub(in crate::places::collection) take: Arc<Take>,
    pub(in crate::places::collection) strike: Strike,
    pub(in crate::places::collection) measures: Measures,
}

/// Every strike of the instrument's takes, and what could not be read.
#[derive(Default)]
pub(in crate::places::collection) struct AllHeard {
    pub(in crate::places::collection) strikes: Vec<Heard>,
    pub(in crate::places::collection) troubles: Vec<String>,
}

/// The takes as they stand; `None` for a library that is not on disk.
type Key = (Option<PathBuf>, Vec<Arc<Take>>);

/// The memory of it.
#[derive(Default)]
pub(in crate::places::collection) struct Memory(Remembered<Key, AllHeard>);

impl Memory {
    /// What was heard of an instrument; nothing while it is measured, or where nothing was recorded.
    pub(in crate::places::collection) fn of(
        &mut self,
        ctx: &egui::Context,
        scene: &Scene<'_>,
        id: &InstrumentId,
    ) -> Option<&AllHeard> {
        let takes: Vec<Arc<Take>> =
            scene.library.takes.values().filter(|take| take.instrument == *id).map(Arc::clone).collect();
        if takes.is_empty() {
            return None;
        }
        let key = (scene.folder.map(PathBuf::from), takes);
        let known = self.0.get(ctx, "measures of an instrument", &key, || {
            let (folder, takes) = key.clone();
            move |stop: &Stop| listen(folder, &takes, stop)
        });
        known.value.filter(|_| known.is_current)
    }
}

fn listen(folder: Option<PathBuf>, takes: &[Arc<Take>], stop: &Stop) -> AllHeard {
    let mut all = AllHeard::default();
    let Some(folder) = folder else { return all };
    for take in takes {
        if stop.is_asked() {
            break;
        }
        match measure(take, &folder, cache().as_deref()) {
            Ok(measures) => {
                let heard = take.strikes.iter().zip(measures).map(|(strike, measures)| Heard {
                    take: Arc::clone(take),
                    strike: strike.clone(),
                    measures,
                });
                all.strikes.extend(heard);
            }
            Err(why) => all.troubles.push(why),
        }
    }
    all
}
