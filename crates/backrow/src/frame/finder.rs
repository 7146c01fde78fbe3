//! One field that finds or does anything: works, lines, instruments, players, beaters, places, and every action with its key.

mod hits;

use crate::actions::Action;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{Tokens, sans};
use crate::view::View;
use backrow_core::id::{ProgrammeId, WorkId};
use egui::{Key, Modifiers, RichText, Ui, vec2};
use hits::{Found, Hit};

/// What the list follows from: the library, what was typed, and what is current.
type Asked = (u64, String, (Option<ProgrammeId>, Option<WorkId>));

/// The field's state.
#[derive(Default)]
pub struct State {
    /// What was typed.
    pub text: String,
    /// Whether the list is open.
    pub open: bool,
    /// The chosen row.
    row: usize,
    /// Asks for the focus at the next frame.
    pub wants_focus: bool,
    found: crate::memo::Memo<Asked, Found>,
}

/// Draws the field, and its list beneath while it is open.
pub fn field(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, state: &mut State) {
    let width = ui.available_width().max(80.0);
    let id = egui::Id::unique("find or do");
    let (up, down, enter) = if state.open && ui.memory(|m| m.has_focus(id)) {
        ui.input_mut(|i| {
            (
                i.consume_key(Modifiers::NONE, Key::ArrowUp),
                i.consume_key(Modifiers::NONE, Key::ArrowDown),
                i.consume_key(Modifiers::NONE, Key::Enter),
            )
        })
    } else {
        (false, false, false)
    };
    let hint = format!("Find or do …  {}", Action::Find.key_words());
    let edit = egui::TextEdit::singleline(&mut state.text)
        .id(id)
        .hint_text(RichText::new(hint).color(scene.tokens.ink2).font(sans(size::NOTE)))
        .font(sans(size::NOTE))
        .margin(egui::Margin::symmetric(8, 4))
        .desired_width(width - 16.0);
    let response = ui.add_sized(vec2(width, 24.0), edit);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::SearchInput, true, "Find or do"));
    if std::mem::take(&mut state.wants_focus) {
        response.request_focus();
    }
    if response.gained_focus() || response.changed() {
        state.open = true;
        state.row = 0;
    }
    if !state.open {
        return;
    }
    let library = scene.library;
    let current = (view.programme.clone(), view.work.clone());
    let key = (scene.revision, state.text.clone(), current);
    let found = state.found.get(key, || hits::find(library, view, &state.text)).clone();
    let last = found.hits.len().saturating_sub(1);
    state.row = if down {
        state.row + 1
    } else if up {
        state.row.saturating_sub(1)
    } else {
        state.row
    }
    .min(last);
    let mut chosen = enter.then_some(state.row);
    list(ui, scene, &response, &found, state.row, &mut chosen);
    let done = chosen.and_then(|row| found.hits.get(row));
    if let Some(hit) = done {
        scene.intents.extend(hit.ask.iter().cloned());
    }
    if done.is_some()
        || (response.lost_focus() && !ui.input(|i| i.pointer.any_down() || i.pointer.any_released()))
    {
        state.close();
        response.surrender_focus();
    }
}

impl State {
    /// Shuts the list and empties the field.
    pub fn close(&mut self) {
        self.open = false;
        self.text.clear();
        self.row = 0;
    }
}

fn list(
    ui: &Ui,
    scene: &Scene<'_>,
    field: &egui::Response,
    found: &Found,
    row: usize,
    chosen: &mut Option<usize>,
) {
    let tokens = scene.tokens;
    let at = field.rect.right_bottom() + vec2(0.0, 4.0);
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    egui::Area::new(egui::Id::unique("find or do list"))
        .order(egui::Order::Foreground)
        .pivot(egui::Align2::RIGHT_TOP)
        .fixed_pos(at)
        .show(ui.ctx(), |ui| {
            let frame = egui::Frame::new().fill(tokens.raised).stroke(egui::Stroke::new(1.0, tokens.line));
            frame.inner_margin(4).show(ui, |ui| {
                ui.set_width(460.0);
                ui.spacing_mut().item_spacing.y = 0.0;
                if found.hits.is_empty() {
                    let words = "Nothing has that name. Try a kind, a player, a work or an action.";
                    ui.label(RichText::new(words).color(tokens.ink2));
                }
                let mut group = None;
                for (at, hit) in found.hits.iter().enumerate() {
                    if group != Some(hit.group) {
                        group = Some(hit.group);
                        ui.label(note(hit.group.word()));
                    }
                    if line(ui, &tokens, hit, at == row) {
                        *chosen = Some(at);
                    }
                }
                if found.more > 0 {
                    ui.label(note(&format!("and {} more: type another letter", found.more)));
                }
            });
        });
}

/// One row; whether it was clicked.
fn line(ui: &mut Ui, tokens: &Tokens, hit: &Hit, chosen: bool) -> bool {
    let fill = if chosen { tokens.soft } else { tokens.raised };
    let frame = egui::Frame::new().fill(fill).inner_margin(egui::Margin::symmetric(8, 2));
    let shown = frame.show(ui, |ui| {
        ui.set_width(444.0);
        ui.horizontal(|ui| {
            let beside = RichText::new(&hit.beside).font(sans(size::NOTE)).color(tokens.ink2);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.set_max_width(436.0);
                ui.add(egui::Label::new(beside).truncate());
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(RichText::new(&hit.words).color(tokens.ink)).truncate());
                });
            });
        });
    });
    // Not to be reached with Tab: the arrows choose, and the list goes when the field is left.
    let response = shown.response.interact(egui::Sense::CLICK);
    let says = format!("{} {}", hit.words, hit.beside);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, says.clone()));
    response.clicked()
}
