//! Takes in hand as they are kept on disk: what was typed on slips like any other form's, and read again at the next start.

use super::State;
use super::sound::Sound;
use super::take::Edited;
use crate::background::{Job, Taken};
use crate::drafts::shelf::Slip;
use crate::intent::Intent;
use crate::scene::Scene;
use backrow_core::library::Library;
use backrow_core::sound::Take;
use backrow_files::library::Held;
use backrow_files::sound::read_file;
use std::path::{Path, PathBuf};

/// A draft that is being read again.
pub(super) struct Reading {
    slip: Slip,
    job: Job<Result<(Vec<f32>, u32), String>>,
}

impl State {
    /// Where the sounds of drafts lie, from now on; nowhere with `None`.
    pub fn keep_in(&mut self, folder: Option<PathBuf>) {
        self.drafts = folder;
    }

    /// How many takes would be lost by a kill.
    pub fn would_be_lost(&self) -> usize {
        self.held().filter(|take| !take.is_kept()).count()
    }

    /// Takes that hold something, those on their way into the library with them.
    fn held(&self) -> impl Iterator<Item = &Edited> {
        self.forms.held().chain(self.saving.iter().map(|(take, _)| take))
    }

    /// As they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let waiting = self.waiting.iter().chain(self.reading.as_ref().map(|reading| &reading.slip));
        self.held().filter_map(Edited::slip).chain(waiting.cloned()).collect()
    }

    /// Puts a take that was kept on disk among the drafts, as soon as its sound has been read.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        let Some(Held::Take(take)) = slip.held() else { return false };
        let there = if Edited::is_of_library(slip) {
            library.takes.contains_key(&take.key())
        } else {
            library.instruments.contains_key(&take.instrument)
        };
        if there {
            self.waiting.push(slip.clone());
        }
        there
    }

    /// How many drafts of last time wait to be read.
    pub(super) fn waiting(&self) -> usize {
        self.waiting.len() + usize::from(self.reading.is_some())
    }

    /// Reads the drafts of last time, one after the other.
    pub(super) fn look_at_drafts(&mut self, ctx: &egui::Context, scene: &mut Scene<'_>) {
        for take in self.forms.each_mut() {
            take.look_at_sound();
        }
        if let Some(mut reading) = self.reading.take() {
            match reading.job.take() {
                Taken::Working => self.reading = Some(reading),
                Taken::Done(Ok((samples, rate_hz))) => {
                    let name = reading.slip.field(crate::drafts::shelf::SOUND);
                    let sound = (!name.is_empty()).then(|| Sound::there(name));
                    let read = (samples.into(), rate_hz);
                    if let Some(take) = Edited::of_slip(ctx, scene.library, &reading.slip, read, sound) {
                        self.forms.put_aside(take);
                    }
                }
                Taken::Done(Err(why)) => {
                    scene.ask(Intent::Fail(format!("A take that was not saved cannot be read again: {why}")));
                }
                Taken::Failed => {}
            }
        }
        if self.reading.is_none()
            && let Some(slip) = self.waiting.pop()
        {
            self.reading = read(ctx, scene, self.drafts.clone(), slip);
        }
    }
}

/// Begins to read the sound of a draft.
fn read(ctx: &egui::Context, scene: &Scene<'_>, drafts: Option<PathBuf>, slip: Slip) -> Option<Reading> {
    let Some(Held::Take(take)) = slip.held() else { return None };
    let of_library = Edited::is_of_library(&slip);
    let library = scene.folder.map(Path::to_owned);
    let name = Path::new(slip.field(crate::drafts::shelf::SOUND)).file_name().map(PathBuf::from);
    let saved: Option<Take> = scene.library.takes.get(&take.key()).map(|take| (**take).clone());
    let work = move |_: &crate::background::Stop| {
        if of_library {
            let (folder, take) = library.zip(saved).ok_or("it is not in the library any more.")?;
            return crate::sound::decoded::sound_of(&folder, &take);
        }
        let file = drafts.zip(name).map(|(folder, name)| folder.join(name)).ok_or("it has no sound.")?;
        let recording = read_file(&file).map_err(|problem| problem.to_string())?;
        Ok((recording.sound, recording.rate_hz))
    };
    Some(Reading { job: Job::start(ctx, "draft of a take", work).ok()?, slip })
}
