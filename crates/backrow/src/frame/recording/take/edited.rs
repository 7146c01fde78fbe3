//! A take in hand: one that was just recorded, or one of the library whose strikes are changed.

use super::super::sound::{FORM, Sound};
use super::super::wave;
use crate::background::{Job, Taken};
use crate::drafts::Typed;
use crate::drafts::shelf::{SOUND, Slip};
use backrow_core::id::{InstrumentId, TakeId};
use backrow_core::library::Library;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Strike, Take, TakeFault, TakeKey};
use backrow_files::library::Held;
use backrow_sound::capture::Recorded;
use std::path::Path;
use std::sync::Arc;

/// The shortest strike that can be made by hand, seconds.
const SHORTEST_S: f64 = 0.01;

/// A current take.
pub(in super::super) struct Edited {
    pub(super) instrument: InstrumentId,
    /// What the instrument is called, for the draft's title.
    thing: String,
    /// The take of the library that is changed; `None` for one that was just recorded.
    pub(super) saved: Option<Take>,
    pub(super) samples: Arc<[f32]>,
    pub(super) rate: u32,
    /// The microphone's name for people; empty where it was not told, and for a take of the library.
    pub(super) device: String,
    lost: u64,
    /// What went wrong while it was recorded, sentences.
    pub(super) troubles: Vec<String>,
    pub(super) wave: wave::Wave,
    /// Which part of it is seen.
    pub(super) seen: wave::Seen,
    pub(super) strikes: Vec<Strike>,
    /// The strikes of a recording are looked for beside the frame.
    finding: Option<Job<Vec<Strike>>>,
    pub(super) chosen: usize,
    /// The strikes as they were, for a step back.
    pub(super) steps: super::steps::Steps,
    pub(super) name: String,
    pub(super) note: String,
    pub(super) walk: super::walk::Walking,
    /// Under which name it goes into the library, once it was saved.
    pub(super) goes_as: Option<TakeKey>,
    /// Its sound as a draft, where it is in no library yet.
    sound: Option<Sound>,
}

impl Typed for Edited {
    /// A recording that is not in the library would be lost whatever was typed.
    fn has_changed(&self) -> bool {
        match &self.saved {
            Some(take) => take.strikes != self.strikes || take.note != self.note,
            None => !self.samples.is_empty(),
        }
    }

    fn title(&self) -> String {
        match &self.saved {
            Some(take) => format!("strikes of {} of {}", take.id, self.thing),
            None => format!("take of {}, {:.0}\u{202F}s", self.thing, self.length_s()),
        }
    }
}

impl Edited {
    /// One that was just recorded.
    pub(in super::super) fn recorded(of: (InstrumentId, String), by: &str, recorded: &Recorded) -> Self {
        let mut take = Self::on(of, recorded.samples.as_slice().into(), recorded.rate);
        by.clone_into(&mut take.device);
        (take.lost, take.troubles) = (recorded.lost, recorded.troubles());
        take
    }

    /// Has its strikes looked for.
    pub(in super::super) fn find(mut self, ctx: &egui::Context) -> Self {
        let (samples, rate) = (Arc::clone(&self.samples), self.rate);
        self.finding =
            Job::start(ctx, "strikes", move |_| crate::sound::import::strikes(&samples, rate)).ok();
        self
    }

    /// Has its sound written beside the drafts, so that it outlives the program.
    pub(in super::super) fn keep_in(mut self, ctx: &egui::Context, folder: Option<&Path>) -> Self {
        self.sound = folder.and_then(|folder| Sound::keep(ctx, folder, &self.samples, self.rate));
        self
    }

    /// Whether it would be there after a kill: what is of the library has its sound there.
    pub(in super::super) fn is_kept(&self) -> bool {
        self.saved.is_some() || self.sound.as_ref().is_some_and(Sound::is_there)
    }

    /// Looks whether its sound has been written.
    pub(in super::super) fn look_at_sound(&mut self) {
        self.troubles.extend(self.sound.as_mut().and_then(Sound::look));
    }

    /// Whether a slip is of a take of the library, and not of a new one.
    pub(in super::super) fn is_of_library(slip: &Slip) -> bool {
        slip.field(SOUND).is_empty()
    }

    /// As it is kept on disk; `None` for a recording that cannot be.
    pub(in super::super) fn slip(&self) -> Option<Slip> {
        let take = match &self.saved {
            Some(take) => Take { strikes: self.strikes.clone(), note: self.note.clone(), ..take.clone() },
            None => Take {
                id: TakeId::fresh("draft", |_| false),
                instrument: self.instrument.clone(),
                file: String::new(),
                content: String::new(),
                when: None,
                device: self.device.clone(),
                rate_hz: self.rate,
                length_s: self.length_s(),
                note: self.note.clone(),
                faults: Vec::new(),
                by_model: false,
                strikes: self.strikes.clone(),
            },
        };
        let slip = Slip::of(FORM, &Held::Take(Box::new(take)))?;
        if self.saved.is_some() {
            return Some(slip);
        }
        let slip = slip.with(SOUND, &self.sound.as_ref()?.name).with("name", &self.name);
        let slip = slip.with("lost", self.lost).with("troubles", self.troubles.join("\n"));
        Some(slip.with("strikes", if self.finding.is_some() { "not yet" } else { "found" }))
    }

    /// What was kept on disk, with its sound as it was read.
    pub(in super::super) fn of_slip(
        ctx: &egui::Context,
        library: &Library,
        slip: &Slip,
        (samples, rate): (Arc<[f32]>, u32),
        sound: Option<Sound>,
    ) -> Option<Self> {
        let Held::Take(kept) = slip.held()? else { return None };
        if Self::is_of_library(slip) {
            let saved = library.takes.get(&kept.key())?;
            let mut take = Self::of_library(library, Take { rate_hz: rate, ..(**saved).clone() }, samples);
            (take.strikes, take.note) = (kept.strikes, kept.note);
            return Some(take);
        }
        let of = (kept.instrument.clone(), library.instrument_name(&kept.instrument));
        let mut take = Self::on(of, samples, rate);
        (take.device, take.strikes, take.note, take.sound) = (kept.device, kept.strikes, kept.note, sound);
        take.steps.begin(&take.strikes);
        slip.field("name").clone_into(&mut take.name);
        take.lost = slip.field("lost").parse().unwrap_or(0);
        take.troubles = slip.field("troubles").lines().map(str::to_owned).collect();
        Some(if slip.field("strikes") == "not yet" { take.find(ctx) } else { take })
    }

    /// Whether they are still looked for.
    pub(super) fn is_looking(&mut self) -> bool {
        match self.finding.as_mut().map(Job::take) {
            Some(Taken::Working) => return true,
            Some(Taken::Done(strikes)) => {
                self.steps.begin(&strikes);
                self.strikes = strikes;
            }
            Some(Taken::Failed) | None => {}
        }
        self.finding = None;
        false
    }

    /// One of the library.
    pub(in super::super) fn of_library(library: &Library, take: Take, samples: Arc<[f32]>) -> Self {
        let of = (take.instrument.clone(), library.instrument_name(&take.instrument));
        let mut edited = Self::on(of, samples, take.rate_hz);
        (edited.strikes, edited.note) = (take.strikes.clone(), take.note.clone());
        edited.steps.begin(&edited.strikes);
        edited.saved = Some(take);
        edited
    }

    /// Of which instrument.
    pub(in super::super) const fn instrument(&self) -> &InstrumentId {
        &self.instrument
    }

    /// Whether what was saved has arrived.
    pub(in super::super) fn is_in(&self, library: &Library) -> bool {
        self.goes_as.as_ref().is_some_and(|key| library.takes.contains_key(key))
    }

    fn on((instrument, thing): (InstrumentId, String), samples: Arc<[f32]>, rate: u32) -> Self {
        Self {
            instrument,
            thing,
            saved: None,
            wave: wave::Wave::of(&samples, rate),
            seen: wave::Seen::default(),
            steps: super::steps::Steps::default(),
            samples,
            rate,
            device: String::new(),
            lost: 0,
            troubles: Vec::new(),
            strikes: Vec::new(),
            finding: None,
            chosen: 0,
            name: "take".to_owned(),
            note: String::new(),
            walk: super::walk::Walking::default(),
            goes_as: None,
            sound: None,
        }
    }

    /// How long it is, seconds.
    pub(super) fn length_s(&self) -> f64 {
        self.samples.len() as f64 / f64::from(self.rate.max(1))
    }

    /// Chooses a strike and brings it into sight.
    pub(super) fn choose(&mut self, number: usize) {
        self.chosen = number;
        if let Some(strike) = self.strikes.get(number) {
            self.seen.show(strike.from_s, self.length_s());
        }
    }

    /// Zooms around the chosen strike, where it is in sight.
    pub(super) fn zoom(&mut self, factor: f64) {
        let around = self.strikes.get(self.chosen).map(|strike| strike.from_s);
        self.seen.zoom(factor, around, self.length_s());
    }

    /// Remembers what was changed as one step, once nobody drags or types any more.
    pub(super) fn settle(&mut self, ui: &egui::Ui) {
        if !ui.ctx().text_edit_focused() && !ui.input(|input| input.pointer.any_down()) {
            self.steps.settle(&self.strikes);
        }
    }

    /// Whether there is a step back, or forth again.
    pub(super) fn can_step(&self, back: bool) -> bool {
        self.steps.can_step(back, &self.strikes)
    }

    /// One step back, or forth again.
    pub(super) fn step(&mut self, back: bool) {
        if let Some(strikes) = self.steps.step(back, &self.strikes) {
            self.strikes = strikes;
            self.chosen = self.chosen.min(self.strikes.len().saturating_sub(1));
        }
    }

    /// Moves a strike's beginning, no further than its neighbours allow.
    pub(super) fn shift(&mut self, number: usize, to_s: f64) {
        let before =
            number.checked_sub(1).and_then(|n| self.strikes.get(n)).map_or(0.0, |s| s.from_s + SHORTEST_S);
        let Some(strike) = self.strikes.get_mut(number) else { return };
        strike.from_s = to_s.max(before).min((strike.to_s - SHORTEST_S).max(before));
        let begins = strike.from_s;
        if let Some(last) = number.checked_sub(1).and_then(|n| self.strikes.get_mut(n)) {
            last.to_s = last.to_s.min(begins);
        }
        self.chosen = number;
    }

    /// Moves the chosen strike's beginning by a little.
    pub(super) fn nudge(&mut self, by_s: f64) {
        let from = self.strikes.get(self.chosen).map_or(0.0, |strike| strike.from_s);
        self.shift(self.chosen, from + by_s);
    }

    /// One strike becomes two at a moment.
    fn split(&mut self, at_s: f64) {
        let within = |strike: &Strike| {
            strike.from_s + 2.0 * SHORTEST_S < at_s && at_s < strike.to_s - 2.0 * SHORTEST_S
        };
        let Some(number) = self.strikes.iter().position(within) else { return };
        let second = self.strikes.get_mut(number).map(|strike| {
            let second = Strike { from_s: at_s, bar: None, ..strike.clone() };
            strike.to_s = at_s;
            second
        });
        if let Some(second) = second {
            self.strikes.insert(number + 1, second);
            self.chosen = number + 1;
        }
    }

    /// Splits the chosen strike in its middle; where there is none, the whole take is one.
    pub(super) fn split_chosen(&mut self) {
        match self.strikes.get(self.chosen).map(|strike| f64::midpoint(strike.from_s, strike.to_s)) {
            Some(at_s) => self.split(at_s),
            None => self.strikes.push(Strike { from_s: 0.0, to_s: self.length_s(), ..Strike::default() }),
        }
    }

    /// The chosen strike and the next become one.
    pub(super) fn join(&mut self) {
        if self.chosen + 1 < self.strikes.len() {
            let next = self.strikes.remove(self.chosen + 1);
            if let Some(strike) = self.strikes.get_mut(self.chosen) {
                strike.to_s = next.to_s;
            }
        }
    }

    /// The chosen strike is none.
    pub(super) fn drop_chosen(&mut self) {
        if self.chosen < self.strikes.len() {
            self.strikes.remove(self.chosen);
            self.chosen = self.chosen.min(self.strikes.len().saturating_sub(1));
        }
    }

    /// The strikes get the instrument's bars in order, from the bar of the chosen one up: for what has no clear pitch.
    pub(super) fn in_order(&mut self, bars: &[KeyNumber]) {
        let first = self.strikes.get(self.chosen).and_then(|strike| strike.bar);
        let from = first.and_then(|bar| bars.iter().position(|one| *one == bar)).unwrap_or(0);
        for (strike, bar) in self.strikes.iter_mut().skip(self.chosen).zip(bars.iter().skip(from)) {
            strike.bar = Some(*bar);
        }
    }

    pub(super) fn faults(&self) -> Vec<TakeFault> {
        let mut faults = crate::sound::import::faults(&self.samples, TakeFault::clipped(self.samples.iter()));
        if self.lost > 0 {
            faults.push(TakeFault::Lost(self.lost));
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edited() -> Edited {
        let recorded = Recorded { samples: vec![0.1; 48_000], rate: 48_000, ..Recorded::default() };
        let of = (InstrumentId::new("anvil-1").unwrap(), "Anvil 1".to_owned());
        let mut take = Edited::recorded(of, "", &recorded);
        for (from_s, to_s) in [(0.1, 0.4), (0.4, 0.6), (0.7, 1.0)] {
            take.strikes.push(Strike { from_s, to_s, ..Strike::default() });
        }
        take
    }

    fn spans(take: &Edited) -> Vec<(String, String)> {
        take.strikes.iter().map(|s| (format!("{:.2}", s.from_s), format!("{:.2}", s.to_s))).collect()
    }

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
    }

    #[test]
    fn strikes_are_moved_split_joined_and_dropped() {
        let mut take = edited();
        take.shift(1, 0.3);
        assert_eq!(spans(&take), pairs(&[("0.10", "0.30"), ("0.30", "0.60"), ("0.70", "1.00")]));
        take.shift(1, 0.0);
        assert_eq!(spans(&take)[1].0, "0.11", "no further than its neighbour");
        take.split(0.8);
        assert_eq!(spans(&take)[2..], pairs(&[("0.70", "0.80"), ("0.80", "1.00")]));
        assert_eq!(take.chosen, 3);
        take.chosen = 2;
        take.join();
        assert_eq!(spans(&take)[2..], pairs(&[("0.70", "1.00")]));
        take.drop_chosen();
        assert_eq!(take.strikes.len(), 2);
        take.split(0.65);
        assert_eq!(take.strikes.len(), 2, "between strikes there is none to split");
    }

    #[test]
    fn every_change_of_strikes_is_one_step() {
        let mut take = edited();
        take.steps.begin(&take.strikes);
        let first = take.strikes.clone();
        assert!(!take.can_step(true));
        let changes: [fn(&mut Edited); 4] =
            [|take| take.shift(1, 0.45), Edited::split_chosen, Edited::join, Edited::drop_chosen];
        let mut seen = vec![first];
        for change in changes {
            change(&mut take);
            take.steps.settle(&take.strikes);
            seen.push(take.strikes.clone());
        }
        let last = seen.pop().unwrap();
        for before in seen.iter().rev() {
            take.step(true);
            assert_eq!(take.strikes, *before);
        }
        assert!(!take.can_step(true));
        for _ in changes {
            take.step(false);
        }
        assert_eq!(take.strikes, last);
        assert!(!take.can_step(false));
        // What was changed this moment is a step too, before it was settled.
        take.drop_chosen();
        take.step(true);
        assert_eq!(take.strikes, last);
    }

    #[test]
    fn bars_go_in_order() {
        let mut take = edited();
        let bars: Vec<KeyNumber> = (60..65).map(|n| KeyNumber::new(n).unwrap()).collect();
        take.strikes[0].bar = Some(bars[2]);
        take.in_order(&bars);
        let named: Vec<_> = take.strikes.iter().map(|strike| strike.bar).collect();
        assert_eq!(named, [Some(bars[2]), Some(bars[3]), Some(bars[4])]);
    }

    #[test]
    fn a_recording_is_never_left_behind_unnoticed() {
        let mut take = edited();
        assert!(take.has_changed() && take.title().contains("Anvil 1"));
        let id = backrow_core::id::TakeId::new("soft").unwrap();
        let saved = Take {
            id,
            instrument: take.instrument.clone(),
            file: String::new(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: 1.0,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes: take.strikes.clone(),
        };
        take.saved = Some(saved);
        assert!(!take.has_changed());
        take.join();
        assert!(take.has_changed() && take.title().starts_with("strikes of soft"));
    }
}
