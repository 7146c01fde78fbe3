//! Carrying out what is asked of the sound.

use super::App;
use crate::intent::Sounded;
use crate::places::sounds::MOST_LAID;
use crate::sound::{Around, Done, Wish};
use crate::view::Place;
use backrow_core::id::{TrialId, WorkId};
use backrow_core::recall;
use backrow_core::sound::StrikeKey;
use backrow_core::week::LineRef;
use egui::Context;

impl App {
    /// Measures every strike while Sounds is looked at; nothing is measured before.
    pub(super) fn measure(&mut self, ctx: &Context) {
        if self.view.place != Place::Sounds {
            return;
        }
        // A library that is nowhere on disk has no sound.
        let Some(folder) = self.store.as_ref().map(|store| store.folder.clone()) else { return };
        let known = self.measures.of(ctx, self.history.now(), Some(&folder));
        if let Some(measured) = known.value {
            self.places.sounds.measured(&measured.strikes, &measured.troubles, known.is_current);
        }
    }

    /// Plays a candidate of a trial as loud as the others: all are brought down to the softest.
    pub(super) fn hear_candidate(&mut self, ctx: &Context, asked: &Sounded) {
        let library = self.history.now();
        let trial = library.works.get(&asked.work).and_then(|work| work.memory.trial(&asked.trial));
        let strikes = trial.map(|trial| recall::strikes_of(library, trial)).unwrap_or_default();
        // Those that were not recorded are no reference for the others.
        let heard: Vec<StrikeKey> = strikes.iter().flatten().cloned().collect();
        let before = strikes.iter().take(asked.candidate).flatten().count();
        if strikes.get(asked.candidate).is_none_or(Option::is_none) {
            self.view.fails("Nothing was recorded of this candidate: record a take of it first, in the instrument’s panel.");
            return;
        }
        self.wish(ctx, Wish::Matched(heard, before));
    }

    /// Searches for what a line's words say.
    pub(super) fn search_for(&mut self, at: &LineRef) {
        let library = self.history.now();
        let said = library.line(at).map(|(_, line)| recall::said_of(line).join(", ")).unwrap_or_default();
        self.view.turn_to_line(library, at);
        self.places.sounds.search_in_words(said);
        self.go(Place::Sounds);
    }

    /// Lays the strikes of a trial's candidates over each other.
    pub(super) fn lay_over(&mut self, work: &WorkId, trial: &TrialId) {
        let library = self.history.now();
        let Some(trial) = library.works.get(work).and_then(|work| work.memory.trial(trial)) else { return };
        if trial.hides_names() {
            self.view.fails(
                "The names are hidden until everybody who began has ended; then the strikes can be laid over each other.",
            );
            return;
        }
        let all = recall::strikes_of(library, trial);
        let strikes: Vec<StrikeKey> = all.iter().flatten().cloned().collect();
        if strikes.is_empty() {
            self.view.fails("Nothing was recorded of these candidates: record takes of them first, in the instruments’ panels.");
            return;
        }
        let (laid, of) = (strikes.len().min(MOST_LAID), all.len());
        if laid < of {
            self.view.said = format!(
                "{laid} of {of} candidates are laid over each other; the others have no take, or are too many."
            );
        }
        let line = LineRef { work: work.clone(), line: trial.about.line.clone() };
        self.view.turn_to_line(library, &line);
        self.places.sounds.lay_over(strikes);
        self.shell.comparing.close();
        self.go(Place::Sounds);
    }

    /// Another sound device, for tests.
    pub fn with_device(&mut self, device: Box<dyn backrow_sound::device::Device>) {
        self.sound = crate::sound::Session::with(device);
    }

    pub(super) fn wish(&mut self, ctx: &Context, wish: Wish) {
        if let Wish::Record(id) = &wish {
            self.places.sounds.give_up_the_microphone();
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
            if self.places.sounds.owns_the_take() {
                self.places.sounds.take(ctx, recorded);
            } else {
                let library = self.history.now().clone();
                self.shell.recording.take(ctx, &library, &recorded);
            }
        }
        if self.view.place != Place::Sounds {
            self.places.sounds.leave_the_microphone();
        }
        // A microphone is open only as long as somebody looks at it.
        let looks = self.shell.recording.is_open() || self.places.sounds.is_listening();
        if !looks && self.sound.now().meter.is_some() {
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

    /// Hears the current line, or stops it.
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
