//! Recording a take of an instrument: the microphone, its level, the strikes that were found, and saving.

mod kept;
mod sound;
mod take;
mod wave;

pub(crate) use sound::FORM;

use crate::background::{Job, Taken};
use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{caution, primary, trouble};
use crate::theme::{sans, serif};
use crate::words::many;
use backrow_core::collection::Loudness;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::sound::Take;
use backrow_sound::capture::{Recorded, SILENCE_DB};
use backrow_sound::device::PortKind;
use egui::{RichText, Ui};
use std::path::PathBuf;
use std::sync::Arc;

/// A take of the library with its samples, or why it cannot be read.
type Opened = Result<(Take, Arc<[f32]>), String>;

/// What the window holds.
#[derive(Default)]
pub struct State {
    instrument: Option<InstrumentId>,
    /// The microphone by its id, once it was chosen.
    port: Option<String>,
    /// The microphone that is open, by its name for people.
    microphone: String,
    /// The take in hand, and those that were left.
    forms: Forms<take::Edited>,
    /// Takes on their way to the disk, with the frames since: one that cannot be written is a draft again.
    saving: Vec<(take::Edited, u32)>,
    /// What the microphone was opened for last: a take that ends when the window closes is of it.
    heard: Option<InstrumentId>,
    /// A take of the library that is being read.
    opening: Option<Job<Opened>>,
    path: String,
    /// Where the sounds of drafts lie.
    drafts: Option<PathBuf>,
    /// Drafts of last time whose sound is still to be read, and the one that is being read.
    waiting: Vec<Slip>,
    reading: Option<kept::Reading>,
}

impl State {
    /// Opens the window for an instrument.
    pub fn open(&mut self, instrument: InstrumentId) {
        self.close();
        self.heard = Some(instrument.clone());
        self.instrument = Some(instrument);
    }

    /// Whether it is open.
    pub const fn is_open(&self) -> bool {
        self.instrument.is_some()
    }

    /// The instrument that is recorded.
    pub const fn instrument(&self) -> Option<&InstrumentId> {
        self.instrument.as_ref()
    }

    /// Leaves the take in hand, if there is one; else closes the window. What was not saved is a draft then.
    pub fn cancel(&mut self) -> Left {
        if self.forms.open().is_none() {
            self.close();
            return Left::Nothing;
        }
        self.forms.leave()
    }

    fn close(&mut self) {
        self.forms.leave();
        (self.instrument, self.opening) = (None, None);
        self.path.clear();
    }

    /// How many takes are not in the library, or changed and not saved.
    pub fn unsaved(&self) -> usize {
        self.forms.unsaved() + self.saving.len() + self.waiting()
    }

    /// Looks through a take that was just ended; one that the closing of the window ended is a draft.
    pub fn take(&mut self, ctx: &egui::Context, library: &Library, recorded: &Recorded) {
        let Some(id) = self.instrument.clone().or(self.heard.clone()) else { return };
        let of = (id.clone(), library.instrument_name(&id));
        let take = take::Edited::recorded(of, &self.microphone, recorded).find(ctx);
        let take = take.keep_in(ctx, self.drafts.as_deref());
        if self.is_open() { self.forms.put(take) } else { self.forms.put_aside(take) }
    }

    /// Reads a take of the library, to change its strikes.
    fn change(&mut self, ctx: &egui::Context, scene: &mut Scene<'_>, take: Take) {
        let Some(folder) = scene.folder.map(std::path::Path::to_owned) else { return };
        let read = move |_: &crate::background::Stop| -> Opened {
            let (samples, rate_hz) = crate::sound::decoded::sound_of(&folder, &take)?;
            Ok((Take { rate_hz, ..take }, samples.into()))
        };
        match Job::start(ctx, "take to be changed", read) {
            Ok(job) => self.opening = Some(job),
            Err(why) => scene.ask(Intent::Fail(format!("The take cannot be opened now: {why}."))),
        }
    }

    /// What was looked for beside the frame, and what became of takes that were saved.
    fn look(&mut self, scene: &mut Scene<'_>) {
        for (take, frames) in std::mem::take(&mut self.saving) {
            if take.is_in(scene.library) {
                continue;
            }
            // The wish is carried out after the frame in which it was asked for.
            if frames > 1 && !scene.sound.is_keeping() {
                self.forms.put_aside(take);
            } else {
                self.saving.push((take, frames + 1));
            }
        }
        match self.opening.as_mut().map(Job::take) {
            Some(Taken::Done(answer)) => {
                self.opening = None;
                match answer {
                    Ok((take, samples)) => {
                        self.forms.put(take::Edited::of_library(scene.library, take, samples));
                    }
                    Err(why) => scene.ask(Intent::Fail(why)),
                }
            }
            Some(Taken::Failed) => self.opening = None,
            Some(Taken::Working) | None => {}
        }
    }
}

/// A way back to takes that were left, while the window is not open.
pub fn left(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    if state.is_open() {
        return;
    }
    state.forms.ui(ui, &scene.tokens);
    // One that was resumed opens the window.
    if let Some(take) = state.forms.open() {
        state.instrument = Some(take.instrument().clone());
    }
}

/// Draws the window while it is open.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    state.look(scene);
    state.look_at_drafts(ui.ctx(), scene);
    if !state.is_open() {
        return;
    }
    // A draft that was resumed may be of another instrument.
    if let Some(take) = state.forms.open() {
        state.instrument = Some(take.instrument().clone());
    }
    let Some(id) = state.instrument.clone() else { return };
    let mut closes = false;
    let frame = egui::Frame::popup(ui.style()).inner_margin(egui::Margin::same(16));
    let modal = egui::Modal::new(egui::Id::unique("recording")).frame(frame);
    modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 160.0).clamp(480.0, 900.0));
        // The button first: the title has what is left.
        let height = ui.spacing().interact_size.y;
        let line = egui::vec2(ui.available_width(), height);
        ui.allocate_ui_with_layout(line, egui::Layout::right_to_left(egui::Align::Center), |ui| {
            closes = ui.button("Close").on_hover_text("Esc").clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let title = format!("Record a take of {}", scene.library.instrument_name(&id));
                let title = RichText::new(title).font(serif(size::TITLE)).color(scene.tokens.ink);
                ui.add(egui::Label::new(title).truncate());
            });
        });
        warn(ui, scene, &id);
        microphone(ui, scene, state);
        ui.add_space(space::S);
        in_hand(ui, scene, state, &id);
        state.forms.ui(ui, &scene.tokens);
    });
    if closes {
        let left = state.forms.leave();
        state.close();
        tell(scene, left);
    }
}

/// The take in hand, or what the instrument has.
fn in_hand(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State, id: &InstrumentId) {
    let Some(mut take) = state.forms.take() else { return files(ui, scene, state, id) };
    match take::ui(ui, scene, &mut take) {
        take::Became::A(outcome) => {
            let left = state.forms.end(take, outcome);
            tell(scene, left);
        }
        take::Became::Written => {
            state.saving.push((take, 0));
            ui.ctx().request_repaint();
        }
        take::Became::Thrown => {}
    }
}

fn tell(scene: &mut Scene<'_>, left: Left) {
    if let Some(words) = left.words() {
        scene.ask(Intent::Say(words.to_owned()));
    }
}

/// Loud instruments at arm's length in a small room hurt ears.
fn warn(ui: &mut Ui, scene: &Scene<'_>, id: &InstrumentId) {
    let kind = scene.library.instruments.get(id).and_then(|thing| scene.library.kinds.get(&thing.kind));
    let words = match kind.and_then(|kind| kind.loud) {
        Some(Loudness::VeryLoud | Loudness::Bang) => {
            "Very loud at arm’s length, more so in a store room: wear ear protection, warn those near you, and follow your \
             local rules on noise."
        }
        _ => crate::words::LOUD_NEAR,
    };
    caution(ui, &scene.tokens, words);
}

fn microphone(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let now = scene.sound.now();
    ui.horizontal(|ui| {
        ui.label(RichText::new("Microphone").font(sans(size::NOTE)).color(scene.tokens.ink2));
        let all: Vec<_> = now.ports.iter().filter(|port| port.kind != PortKind::Loudspeaker).collect();
        let own = all.iter().find(|port| state.port.as_ref() == Some(&port.id));
        let chosen = own.or(all.iter().find(|port| port.kind == PortKind::Microphone)).copied();
        let words = chosen.map_or_else(|| "none".to_owned(), |port| port.name.clone());
        if let Some(port) = chosen.filter(|_| now.recording_s.is_none()) {
            state.microphone.clone_from(&port.name);
        }
        let combo = egui::ComboBox::from_id_salt("microphone").selected_text(words).width(280.0).truncate();
        let shown = combo.show_ui(ui, |ui| {
            for port in &all {
                let what = if port.kind == PortKind::Monitor { " (what is played)" } else { "" };
                let held = chosen.is_some_and(|one| one.id == port.id);
                if ui.selectable_label(held, format!("{}{what}", port.name)).clicked() {
                    state.port = Some(port.id.clone());
                    scene.ask(Intent::Sound(Wish::Listen(state.port.clone())));
                }
            }
        });
        shown.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Microphone"));
        if let Some(meter) = now.meter {
            level(ui, scene, meter.level_db(), meter.held_db());
        }
    });
    if let Some(why) = &now.why_not {
        trouble(ui, &scene.tokens, why);
    }
    ui.horizontal(|ui| record_button(ui, scene, state, &now));
}

fn record_button(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State, now: &crate::sound::Now) {
    match now.recording_s {
        Some(seconds) => {
            if primary(ui, &scene.tokens, "Stop").on_hover_text("Space").clicked() || space(ui) {
                scene.ask(Intent::Sound(Wish::End));
            }
            ui.label(format!("Recording, {seconds:.0}\u{202F}s"));
            if now.clipped {
                ui.label(RichText::new("Clipped").color(scene.tokens.clash));
            }
        }
        None if now.meter.is_some() => {
            if primary(ui, &scene.tokens, "Record").on_hover_text("Space").clicked() || space(ui) {
                let left = state.forms.leave();
                tell(scene, left);
                scene.ask(Intent::Sound(Wish::Begin));
            }
            let words =
                "The second before you start is kept. Let each strike ring out; one every few seconds.";
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
        None => {
            if ui.button("Look for a microphone again").clicked() {
                scene.ask(Intent::Sound(Wish::Listen(state.port.clone())));
            }
        }
    }
}

fn space(ui: &Ui) -> bool {
    !ui.ctx().text_edit_focused()
        && ui.memory(|memory| memory.focused().is_none())
        && ui.input(|input| input.key_pressed(egui::Key::Space))
}

/// The level with its peak held, as a bar and in figures.
fn level(ui: &mut Ui, scene: &Scene<'_>, level_db: f64, held_db: f64) {
    let (rect, response) = ui.allocate_exact_size(egui::vec2(180.0, 14.0), egui::Sense::hover());
    #[expect(clippy::cast_possible_truncation, reason = "0 to 1")]
    let part = |db: f64| ((db + 60.0) / 60.0).clamp(0.0, 1.0) as f32;
    let painter = ui.painter();
    painter.rect_filled(rect, 2.0, scene.tokens.sunken);
    let mut bar = rect;
    bar.set_width(rect.width() * part(level_db));
    painter.rect_filled(bar, 2.0, scene.tokens.ink2);
    let x = rect.left() + rect.width() * part(held_db);
    crate::theme::marks::upright(painter, x, rect.y_range(), scene.tokens.ink);
    let words =
        if held_db <= SILENCE_DB { "silence".to_owned() } else { format!("{held_db:.0}\u{202F}dB peak") };
    let label = format!("Level, {words}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &label));
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
}

/// What the instrument has, and recordings from files.
fn files(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State, id: &InstrumentId) {
    let takes: Vec<_> = scene.library.takes_of(id).cloned().collect();
    if takes.is_empty() {
        ui.label("There are no takes of it yet.");
    }
    egui::ScrollArea::vertical().max_height(220.0).show(ui, |ui| {
        for take in &takes {
            ui.push_id(take.id.as_str(), |ui| {
                if one_take(ui, scene, take) {
                    state.change(ui.ctx(), scene, take.clone());
                }
            });
        }
    });
    ui.separator();
    ui.horizontal(|ui| {
        let label = ui.label("Import from a file or a folder");
        let hint = "a whole path; or drop files on the window";
        let field = egui::TextEdit::singleline(&mut state.path).desired_width(360.0).hint_text(hint);
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        if ui.button("Import").clicked() || entered {
            match crate::paths::whole(&state.path, &crate::paths::Homes::of_account()) {
                Ok(path) => scene.ask(Intent::Sound(Wish::Import(id.clone(), vec![path]))),
                Err(why) => scene.ask(Intent::Fail(why)),
            }
        }
    });
    let words = "WAV, AIFF, FLAC, Ogg Vorbis, MP3, M4A or CAF. The strikes in them are found, and each file becomes a take.";
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
}

/// One take of the library; whether its strikes are to be changed.
fn one_take(ui: &mut Ui, scene: &mut Scene<'_>, take: &Take) -> bool {
    let row = ui.horizontal(|ui| {
        let which = if take.by_model { "Made by a model".to_owned() } else { take.id.to_string() };
        let by = if take.device.is_empty() { String::new() } else { format!(", by {}", take.device) };
        let (strikes, length) = (many(take.strikes.len(), "strike"), take.length_s);
        ui.label(format!("{which}: {strikes}, {length:.1}\u{202F}s{by}"));
        let first = take.keyed().next().map(|(key, _)| key);
        let there = !scene.missing.contains(&take.key());
        let gone = "Put the recording back beside its record, or remove the take";
        let play = ui.add_enabled(there, egui::Button::new("Play").small()).on_disabled_hover_text(gone);
        if let (Some(key), true) = (first, play.clicked()) {
            scene.ask(Intent::Sound(Wish::Strike(key)));
        }
        let hover = "Moves, splits, joins or drops them, and says what each was struck with";
        let changes = ui.add_enabled(there, egui::Button::new("Change the strikes").small());
        let changes = changes.on_hover_text(hover).on_disabled_hover_text(gone).clicked();
        if ui.small_button("Remove").clicked() {
            scene.edit(backrow_core::edit::Edit::RemoveTake(take.key()));
        }
        if !there {
            let words = format!("Its file {} is missing.", take.file);
            crate::theme::widgets::trouble(ui, &scene.tokens, &words);
        }
        for fault in &take.faults {
            ui.label(RichText::new(fault.to_string()).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
        changes
    });
    row.inner
}
