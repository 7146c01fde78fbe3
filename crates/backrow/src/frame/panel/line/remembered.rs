//! What was tried and decided for the line, and for lines of other works that say what it says.

use crate::actions::Action;
use crate::intent::{Intent, Remember};
use crate::memo::Memo;
use crate::scene::Scene;
use crate::terms;
use crate::theme::sans;
use crate::theme::tokens::{size, space};
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::recall::{Item, of_line, strikes_of};
use backrow_core::week::LineRef;
use egui::{RichText, Ui, WidgetInfo};

/// What is told of a line, remembered by the library's revision.
pub(in crate::frame::panel) type State = Memo<(u64, LineRef), Vec<Told>>;

/// So many are told of other works.
const MOST_ALIKE: usize = 4;

/// One thing that is told.
pub(in crate::frame::panel) struct Told {
    words: String,
    /// Where it is from and why it is told; empty where it is about the line itself.
    from: String,
    change: Remember,
    listen: Option<Remember>,
    /// To its candidates' strikes laid over each other, where any was recorded.
    lay: Option<Intent>,
    forget: Edit,
}

fn told(library: &Library, at: &LineRef) -> Vec<Told> {
    let all = of_line(library, at);
    let (own, alike): (Vec<_>, Vec<_>) =
        all.into_iter().partition(|one| one.shared.is_empty() && !one.kind_alone);
    own.into_iter()
        .chain(alike.into_iter().take(MOST_ALIKE))
        .map(|one| {
            let work: WorkId = one.work.id.clone();
            let listen = match one.item {
                Item::Trial(trial) if trial.how.needs_takes() => {
                    Some(Remember::Listen(work.clone(), trial.id.clone()))
                }
                _ => None,
            };
            let lay = match one.item {
                Item::Trial(trial) if strikes_of(library, trial).iter().any(Option::is_some) => {
                    Some(Intent::LayOver(work.clone(), trial.id.clone()))
                }
                _ => None,
            };
            let (change, forget) = match one.item {
                Item::Decision(decision) => (
                    Remember::Change(work.clone(), decision.id.clone()),
                    Edit::RemoveDecision { work, decision: decision.id.clone() },
                ),
                Item::Trial(trial) => (
                    Remember::GoOn(work.clone(), trial.id.clone()),
                    Edit::RemoveTrial { work, trial: trial.id.clone() },
                ),
            };
            let about = one.item.about();
            let from = if one.kind_alone {
                format!("{}, {}, says no more than its kind either", one.work.title, about.name)
            } else if one.shared.is_empty() {
                String::new()
            } else {
                format!("{}, {}, also says “{}”", one.work.title, about.name, one.shared.join(", "))
            };
            Told { words: one.item.words(library), from, change, listen, lay, forget }
        })
        .collect()
}

/// Draws it, with the ways to a new decision and a new trial.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State, at: &LineRef) {
    let (library, tokens) = (scene.library, scene.tokens);
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE));
    ui.add_space(space::XS);
    let head = "Tried and decided";
    terms::about(ui, &tokens, (head, note(head).color(tokens.ink2)), &["trial", "decision"]);
    let told = state.get((scene.revision, at.clone()), || told(library, at));
    let mut asked: Vec<Intent> = Vec::new();
    if told.is_empty() {
        ui.label(note("Nothing yet.").color(tokens.ink));
    }
    for one in told {
        if !one.from.is_empty() {
            ui.add(egui::Label::new(note(&one.from).color(tokens.ink2)).wrap());
        }
        ui.add(egui::Label::new(note(&one.words).color(tokens.ink)).wrap());
        if one.from.is_empty() {
            ui.horizontal_wrapped(|ui| {
                let says = |words: &str| format!("{words}: {}", one.words);
                let listen = one.listen.clone().map(|listen| ("Listen …", Intent::Remember(listen)));
                let others = [
                    ("Edit …", Intent::Remember(one.change.clone())),
                    ("Forget", Intent::Edit(one.forget.clone())),
                ];
                let lay = one.lay.clone().map(|lay| ("Lay over each other", lay));
                for (words, intent) in listen.into_iter().chain(lay).chain(others) {
                    let button = ui.small_button(words);
                    button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, says(words)));
                    if button.clicked() {
                        asked.push(intent);
                    }
                }
            });
        }
    }
    ui.horizontal_wrapped(|ui| {
        let hover = |action: Action| action.key_words();
        if ui.button("Decide …").on_hover_text(hover(Action::Decide)).clicked() {
            asked.push(Intent::Remember(Remember::Decide(at.clone())));
        }
        if ui.button("Try …").on_hover_text(hover(Action::Try)).clicked() {
            asked.push(Intent::Remember(Remember::Try(at.clone())));
        }
    });
    scene.intents.extend(asked);
}
