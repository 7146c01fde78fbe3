//! Instruments and beaters proposed for every line of the programme: a table by line with reason and next best, taken whole or
//! row by row.

mod rows;

use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::dialog::dialog;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, serif};
use backrow_core::choose::{Ask, Choice, edits, propose};
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use egui::{RichText, Ui};
use std::collections::BTreeSet;

/// What is shown, and what the user made of it.
#[derive(Default)]
pub struct State {
    open: bool,
    /// Rows whose tick is not as proposed.
    turned: BTreeSet<LineRef>,
    /// Rows whose next best instrument, or beaters, stand in the stead of the first.
    rather: BTreeSet<(LineRef, What)>,
    choices: Memo<(u64, ProgrammeId), Vec<Choice>>,
}

/// Which half of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    On,
    With,
}

impl State {
    /// Shows what is proposed as the library stands now.
    pub fn open(&mut self) {
        *self = Self { open: true, ..Self::default() };
    }

    /// Whether it is shown.
    pub const fn is_open(&self) -> bool {
        self.open
    }

    /// Shows it no more; nothing is kept.
    pub fn close(&mut self) {
        *self = Self::default();
    }
}

/// What the core proposes for a programme.
pub fn proposed(library: &Library, programme: &ProgrammeId) -> Vec<Choice> {
    let wanted = backrow_files::kinds::wanted;
    library.programme(programme).map_or_else(Vec::new, |programme| {
        propose(&Ask { library, programme, wanted: &|words: &[String]| wanted(words) })
    })
}

/// Draws it over the window while it is open.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, programme: Option<&ProgrammeId>, state: &mut State) {
    if !state.open {
        return;
    }
    let modal = dialog(ui, "proposed instruments");
    let mut closes = false;
    let response = modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 64.0).clamp(600.0, 1240.0));
        closes = head(ui, scene);
        let Some(programme) = programme else {
            ui.label("Choose a programme first; Week makes one.");
            return;
        };
        let library = scene.library;
        let mut remembered = std::mem::take(&mut state.choices);
        let choices =
            remembered.get((scene.revision, programme.clone()), || proposed(library, programme)).clone();
        state.choices = remembered;
        table(ui, scene, programme, state, &choices, (room.y - 230.0).max(160.0));
    });
    if closes || response.should_close() {
        state.close();
    }
}

/// Title and the button that closes; whether it was pressed.
fn head(ui: &mut Ui, scene: &Scene<'_>) -> bool {
    let mut closes = false;
    ui.horizontal(|ui| {
        ui.label(RichText::new("Propose instruments").font(serif(size::TITLE)).color(scene.tokens.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            closes = ui.button("Close").on_hover_text("Esc").clicked();
        });
    });
    let words = "For every line that has no instrument or no beaters. What was chosen by hand stays. Nothing changes until you \
                 accept it; rows that need somebody’s agreement are not ticked.";
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
    ui.add_space(space::S);
    closes
}

fn table(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    programme: &ProgrammeId,
    state: &mut State,
    choices: &[Choice],
    height: f32,
) {
    if choices.is_empty() {
        ui.label("Every line of this programme has its instruments and beaters.");
        return;
    }
    let ticked: Vec<Choice> = choices
        .iter()
        .filter(|choice| state.is_ticked(choice))
        .map(|choice| state.as_turned(choice))
        .collect();
    let changes: Vec<Edit> = ticked.iter().flat_map(|choice| edits(programme, choice)).collect();
    ui.horizontal(|ui| {
        let words = match ticked.len() {
            1 => "Accept the ticked row".to_owned(),
            count => format!("Accept {count} ticked rows"),
        };
        let accept = ui.add_enabled_ui(!changes.is_empty(), |ui| primary(ui, &scene.tokens, &words)).inner;
        let enter =
            ui.memory(|memory| memory.focused().is_none()) && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if accept.on_hover_text("One step of undo (Enter)").clicked() || (enter && !changes.is_empty()) {
            let words = match ticked.len() {
                1 => "Choose instruments and beaters for 1 line".to_owned(),
                count => format!("Choose instruments and beaters for {count} lines"),
            };
            scene.edit(Edit::Together { words, edits: changes });
        }
        let open = choices.len() - ticked.len();
        if open > 0 {
            let words = format!("{open} not ticked");
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
    });
    ui.add_space(space::S);
    rows::ui(ui, scene, programme, state, choices, height);
}

impl State {
    /// A row is ticked when it proposes something and nobody must agree first; a click turns it.
    fn is_ticked(&self, choice: &Choice) -> bool {
        let on = choice.instruments.as_ref().map(|pick| (!pick.chosen.is_empty(), pick.asks));
        let with = choice.beaters.as_ref().map(|pick| (!pick.chosen.is_empty(), pick.asks));
        let halves = [on, with];
        let proposes = halves.iter().flatten().any(|(chosen, _)| *chosen);
        let asks = halves.iter().flatten().any(|(chosen, asks)| *chosen && *asks);
        // One that somebody must agree to is ticked only when it was turned.
        proposes && asks == self.turned.contains(&choice.line)
    }

    /// The choice with the next best where the user would rather have that.
    fn as_turned(&self, choice: &Choice) -> Choice {
        let mut turned = choice.clone();
        if self.rather.contains(&(choice.line.clone(), What::On)) {
            turned.instruments = turned.instruments.map(turned_pick);
        }
        if self.rather.contains(&(choice.line.clone(), What::With)) {
            turned.beaters = turned.beaters.map(turned_pick);
        }
        turned
    }
}

fn turned_pick<T>(pick: backrow_core::choose::Pick<T>) -> backrow_core::choose::Pick<T> {
    backrow_core::choose::Pick {
        chosen: pick.next,
        reason: pick.next_reason,
        next: pick.chosen,
        next_reason: pick.reason,
        asks: pick.asks,
    }
}
