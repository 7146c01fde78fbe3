//! One field that finds or does anything: works, calls, instruments, players, beaters, places, and every action with its key.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::{Place, Selected};
use backrow_core::id::slug_of;
use backrow_core::library::Library;
use backrow_core::week::CallRef;
use egui::{Key, Modifiers, RichText, Ui, vec2};

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
    hits: crate::memo::Memo<(u64, String), Vec<Hit>>,
}

/// A row of the list: words, a note beside them, and what choosing it asks for.
#[derive(Clone, Debug)]
struct Hit {
    words: String,
    beside: String,
    ask: Vec<Intent>,
}

const MOST: usize = 14;

/// Draws the field, and its list beneath while it is open.
pub fn field(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
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
    let hits = state.hits.get((scene.revision, state.text.clone()), || hits(library, &state.text)).clone();
    let last = hits.len().saturating_sub(1);
    state.row = if down {
        state.row + 1
    } else if up {
        state.row.saturating_sub(1)
    } else {
        state.row
    }
    .min(last);
    let mut chosen = enter.then_some(state.row);
    list(ui, scene, &response, &hits, state.row, &mut chosen);
    let done = chosen.and_then(|row| hits.get(row));
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
    hits: &[Hit],
    row: usize,
    chosen: &mut Option<usize>,
) {
    let tokens = scene.tokens;
    let at = field.rect.right_bottom() + vec2(0.0, 4.0);
    egui::Area::new(egui::Id::unique("find or do list"))
        .order(egui::Order::Foreground)
        .pivot(egui::Align2::RIGHT_TOP)
        .fixed_pos(at)
        .show(ui.ctx(), |ui| {
            egui::Frame::new()
                .fill(tokens.raised)
                .stroke(egui::Stroke::new(1.0, tokens.line))
                .inner_margin(4)
                .show(ui, |ui| {
                    ui.set_width(420.0);
                    if hits.is_empty() {
                        ui.label(
                            RichText::new(
                                "Nothing has that name. Try a kind, a player, a work or an action.",
                            )
                            .color(tokens.ink2),
                        );
                    }
                    for (at, hit) in hits.iter().enumerate() {
                        let fill = if at == row { tokens.soft } else { tokens.raised };
                        let line = egui::Frame::new()
                            .fill(fill)
                            .inner_margin(egui::Margin::symmetric(8, 2))
                            .show(ui, |ui| {
                                ui.set_width(404.0);
                                ui.horizontal(|ui| {
                                    ui.label(RichText::new(&hit.words).color(tokens.ink));
                                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                                        ui.label(
                                            RichText::new(&hit.beside)
                                                .font(sans(size::NOTE))
                                                .color(tokens.ink2),
                                        );
                                    });
                                });
                            });
                        let response = line.response.interact(egui::Sense::click());
                        response.widget_info(|| {
                            egui::WidgetInfo::labeled(
                                egui::Role::Button,
                                true,
                                format!("{} {}", hit.words, hit.beside),
                            )
                        });
                        if response.clicked() {
                            *chosen = Some(at);
                        }
                    }
                });
        });
}

/// Everything whose name holds each typed word, names that begin with the text first.
fn hits(library: &Library, text: &str) -> Vec<Hit> {
    let wanted: Vec<String> = text.split_whitespace().map(slug_of).collect();
    let whole = slug_of(text);
    let mut ranked: Vec<(u8, usize, Hit)> = Vec::new();
    for hit in everything(library) {
        let name = slug_of(&hit.words);
        let beside = slug_of(&hit.beside);
        if text.trim().is_empty() || wanted.iter().all(|word| name.contains(word) || beside.contains(word)) {
            let rank = if name.starts_with(&whole) {
                0
            } else if name.contains(&whole) {
                1
            } else {
                2
            };
            ranked.push((rank, ranked.len(), hit));
        }
    }
    ranked.sort_by_key(|(rank, order, _)| (*rank, *order));
    ranked.into_iter().take(MOST).map(|(_, _, hit)| hit).collect()
}

fn everything(library: &Library) -> Vec<Hit> {
    let hit = |words: &str, beside: &str, ask: Vec<Intent>| Hit {
        words: words.to_owned(),
        beside: beside.to_owned(),
        ask,
    };
    let mut all: Vec<Hit> = Action::ALL
        .iter()
        .filter(|action| **action != Action::Find)
        .map(|action| hit(action.label(), &action.key_words(), vec![Intent::Do(*action)]))
        .collect();
    for work in library.works.values() {
        all.push(hit(&work.title, &format!("work, {}", work.composer), vec![Intent::Work(work.id.clone())]));
        for call in &work.calls {
            let at = CallRef { work: work.id.clone(), call: call.id.clone() };
            let beside = format!("call, {} {}", work.title, call.measures());
            all.push(hit(&library.call_name(call), &beside, vec![Intent::Call(at)]));
        }
    }
    for thing in library.instruments.values() {
        let ask =
            vec![Intent::Select(Some(Selected::Instrument(thing.id.clone()))), Intent::Go(Place::Compass)];
        all.push(hit(&thing.name, &library.kind_name(&thing.kind), ask));
    }
    for player in library.roster() {
        let ask = vec![Intent::Select(Some(Selected::Player(player.id.clone()))), Intent::Go(Place::Section)];
        all.push(hit(&player.name, &player.role, ask));
    }
    for beater in library.beaters.values() {
        let ask =
            vec![Intent::Select(Some(Selected::Beater(beater.id.clone()))), Intent::Go(Place::Collection)];
        all.push(hit(&beater.name, "beater", ask));
    }
    for (_, programme) in library.programmes() {
        all.push(hit(&programme.title, "programme", vec![Intent::Programme(programme.id.clone())]));
    }
    all
}
