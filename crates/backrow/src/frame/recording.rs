//! Recording a take of an instrument: the microphone, its level, the strikes that were found, and saving.

mod take;
mod wave;

use crate::background::{Job, Taken};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{caution, primary, trouble};
use crate::theme::{sans, serif};
use backrow_core::collection::Loudness;
use backrow_core::id::InstrumentId;
use backrow_core::sound::Strike;
use backrow_sound::capture::{Recorded, SILENCE_DB};
use backrow_sound::device::PortKind;
use egui::{RichText, Ui};
use std::sync::Arc;

/// What the window holds.
#[derive(Default)]
pub struct State {
    instrument: Option<InstrumentId>,
    /// The microphone by its id, once it was chosen.
    port: Option<String>,
    take: Option<take::Edited>,
    finding: Option<Job<Vec<Strike>>>,
    path: String,
}

impl State {
    /// Opens the window for an instrument.
    pub fn open(&mut self, instrument: InstrumentId) {
        *self = Self { instrument: Some(instrument), port: self.port.take(), ..Self::default() };
    }

    /// Whether it is open.
    pub const fn is_open(&self) -> bool {
        self.instrument.is_some()
    }

    /// The instrument that is recorded.
    pub const fn instrument(&self) -> Option<&InstrumentId> {
        self.instrument.as_ref()
    }

    /// Puts a take that was not saved away first, and then closes.
    pub fn close(&mut self) {
        if self.take.take().is_none() {
            *self = Self { port: self.port.take(), ..Self::default() };
        }
    }

    /// Looks through a take that was just ended.
    pub fn take(&mut self, ctx: &egui::Context, recorded: &Arc<Recorded>) {
        if !self.is_open() {
            return;
        }
        let samples: Arc<[f32]> = recorded.samples.as_slice().into();
        let (found, rate) = (Arc::clone(&samples), recorded.rate);
        self.finding = Job::start(ctx, "strikes", move |_| crate::sound::import::strikes(&found, rate)).ok();
        self.take = Some(take::Edited::new(recorded, samples));
    }
}

/// Draws the window while it is open.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let Some(id) = state.instrument.clone() else { return };
    if let Some(Taken::Done(strikes)) = state.finding.as_mut().map(Job::take) {
        state.finding = None;
        if let Some(take) = &mut state.take {
            take.strikes = strikes;
        }
    }
    let mut closes = false;
    let frame = egui::Frame::popup(ui.style()).inner_margin(egui::Margin::same(16));
    let modal = egui::Modal::new(egui::Id::unique("recording")).frame(frame);
    modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 160.0).clamp(480.0, 900.0));
        ui.horizontal(|ui| {
            let title = format!("Record a take of {}", scene.library.instrument_name(&id));
            ui.label(RichText::new(title).font(serif(size::TITLE)).color(scene.tokens.ink));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                closes = ui.button("Close").on_hover_text("Esc").clicked();
            });
        });
        warn(ui, scene, &id);
        microphone(ui, scene, state);
        ui.add_space(space::S);
        match &mut state.take {
            Some(take) => {
                if take::ui(ui, scene, &id, take, state.finding.is_some()) {
                    state.take = None;
                }
            }
            None => files(ui, scene, state, &id),
        }
    });
    if closes {
        state.take = None;
        state.close();
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
        _ => {
            "Struck loudly at arm’s length in a small room, any instrument can hurt ears: use ear protection as your local \
             rules on noise ask."
        }
    };
    caution(ui, &scene.tokens, words);
}

fn microphone(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let now = scene.sound.now();
    ui.horizontal(|ui| {
        ui.label(RichText::new("Microphone").font(sans(size::NOTE)).color(scene.tokens.ink2));
        let all: Vec<_> = now.ports.iter().filter(|port| port.kind != PortKind::Loudspeaker).collect();
        let chosen = all.iter().find(|port| state.port.as_ref() == Some(&port.id)).or(all.first()).copied();
        let words = chosen.map_or_else(|| "none".to_owned(), |port| port.name.clone());
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
            ui.label(format!("Recording, {seconds:.0} s"));
            if now.clipped {
                ui.label(RichText::new("Clipped").color(scene.tokens.clash));
            }
        }
        None if now.meter.is_some() => {
            if primary(ui, &scene.tokens, "Record").on_hover_text("Space").clicked() || space(ui) {
                state.take = None;
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
    let words = if held_db <= SILENCE_DB { "silence".to_owned() } else { format!("{held_db:.0} dB peak") };
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
            ui.push_id(take.id.as_str(), |ui| one_take(ui, scene, take));
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

fn one_take(ui: &mut Ui, scene: &mut Scene<'_>, take: &backrow_core::sound::Take) {
    ui.horizontal(|ui| {
        let made = if take.by_model { "by model, " } else { "" };
        ui.label(format!("{}: {made}{} strikes, {:.1} s", take.id, take.strikes.len(), take.length_s));
        let first = take.keyed().next().map(|(key, _)| key);
        if let (Some(key), true) = (first, ui.small_button("Play").clicked()) {
            scene.ask(Intent::Sound(Wish::Strike(key)));
        }
        if ui.small_button("Remove").clicked() {
            scene.edit(backrow_core::edit::Edit::RemoveTake(take.key()));
        }
        for fault in &take.faults {
            ui.label(RichText::new(fault.to_string()).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
    });
}
