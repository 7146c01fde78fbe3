//! Carrying out what is asked of the sound.

use super::App;
use crate::intent::Sounded;
use crate::sound::{Around, Done, Wish};
use crate::view::Place;
use backrow_core::recall;
use backrow_core::sound::StrikeKey;
use egui::Context;

impl App {
    /// Measures every strike while Sounds or a comparison is looked at; nothing is measured before.
    pub(super) fn measure(&mut self, ctx: &Context) {
        if self.view.place != Place::Sounds && !self.shell.comparing.is_open() {
            return;
        }
        let folder = self.store.as_ref().map(|store| store.folder.clone());
        let known = self.measures.of(ctx, self.history.now(), folder.as_deref());
        if let Some(measured) = known.value {
            self.places.sounds.measured(&measured.strikes, known.is_current);
        }
    }

    /// Plays a candidate of a trial as loud as the others: all are brought down to the softest.
    pub(super) fn hear_candidate(&mut self, ctx: &Context, asked: &Sounded) {
        let library = self.history.now();
        let trial = library.works.get(&asked.work).and_then(|work| work.memory.trial(&asked.trial));
        let strikes = trial.map(|trial| recall::strikes_of(library, trial)).unwrap_or_default();
        let Some(Some(key)) = strikes.get(asked.candidate).cloned() else {
            self.view.fails("Nothing was recorded of this candidate: record a take of it first, in the instrument’s panel.");
            return;
        };
        let loudness = |key: &StrikeKey| {
            let measures = self.places.sounds.measures(key)?;
            measures.loudness_lufs.map(|figure| figure.value)
        };
        let all: Vec<Option<f64>> = strikes.iter().map(|key| loudness(key.as_ref()?)).collect();
        let gain = backrow_core::trial::gain(&all, asked.candidate);
        self.wish(ctx, Wish::Matched(key, gain));
    }

    /// Another sound device, for tests.
    pub fn with_device(&mut self, device: Box<dyn backrow_sound::device::Device>) {
        self.sound = crate::sound::Desk::with(device);
    }

    pub(super) fn wish(&mut self, ctx: &Context, wish: Wish) {
        if let Wish::Record(id) = &wish {
            self.shell.recording.open(id.clone());
            self.wish(ctx, Wish::Listen(None));
            return;
        }
        let folder = self.store.as_ref().map(|store| store.folder.clone());
        let around = Around {
            library: self.history.now(),
            folder: folder.as_deref(),
            programme: self.view.programme.as_ref(),
        };
        let done = self.sound.wish(ctx, &around, wish);
        self.take_done(ctx, done);
    }

    /// What has been made ready, recorded or imported since the last frame.
    pub(super) fn take_sound(&mut self, ctx: &Context) {
        let done = self.sound.look(ctx, self.history.now());
        self.take_done(ctx, done);
        if let Some(recorded) = self.sound.recorded() {
            self.shell.recording.take(ctx, &recorded);
        }
        // A microphone is open only as long as somebody looks at it.
        if !self.shell.recording.is_open() && self.sound.now().meter.is_some() {
            self.wish(ctx, Wish::Deaf);
        }
    }

    fn take_done(&mut self, ctx: &Context, done: Vec<Done>) {
        for one in done {
            match one {
                Done::Edit(edit) => self.edit(ctx, &edit),
                Done::Said(words) => self.view.said = words,
                Done::Failed(words) => self.view.fails(words),
            }
        }
    }

    /// Hears the line at hand, or stops it.
    pub(super) fn hear_line(&mut self, ctx: &Context) {
        let Some(at) = self.view.line.clone() else {
            self.view.fails("Choose a line first: then it can be heard.");
            return;
        };
        let same = self.sound.line() == Some(&at) && !self.sound.ready().1.is_empty();
        self.wish(ctx, if same { Wish::StopOrPlay } else { Wish::Line(at) });
    }

    /// Recordings that were dropped on the window: of the instrument that is recorded or selected.
    pub(super) fn import_recordings(&mut self, ctx: &Context, paths: Vec<std::path::PathBuf>) {
        let selected = match &self.view.selected {
            Some(crate::view::Selected::Instrument(id)) => Some(id),
            _ => None,
        };
        match self.shell.recording.instrument().or(selected).cloned() {
            Some(id) => self.wish(ctx, Wish::Import(id, paths)),
            None => {
                self.view.fails("Select the instrument that these recordings are of, then drop them again.");
            }
        }
    }

    /// Records the instrument that is selected, or the one that the selected line is assigned to.
    pub(super) fn record(&mut self, ctx: &Context) {
        let library = self.history.now();
        let id = match &self.view.selected {
            Some(crate::view::Selected::Instrument(id)) => Some(id.clone()),
            Some(crate::view::Selected::Line(at)) => {
                self.view.programme_in(library).and_then(|p| p.assignment(at).instruments.first().cloned())
            }
            _ => None,
        };
        match id {
            Some(id) => self.wish(ctx, Wish::Record(id)),
            None => self
                .view
                .fails("Select an instrument first: on Collection or Compass, or in the field that finds."),
        }
    }
}
