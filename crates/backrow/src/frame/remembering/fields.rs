//! Fields that both forms have: what is played on, with and where; a word and its text.

use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::collection::Kind;
use backrow_core::id::{BeaterId, InstrumentId, KindId, TakeId};
use backrow_core::library::Library;
use backrow_core::recall;
use backrow_core::sound::{Strike, StrikeKey, Take, TakeKey};
use backrow_core::trial::Candidate;
use backrow_core::week::{Assignment, LineRef};
use egui::{RichText, Ui, WidgetInfo, vec2};

/// The width of the words before the fields, points.
const WORDS: f32 = 124.0;

/// Two candidates' ways to the same thing: A, B, C ...
pub(super) fn letter(at: usize) -> String {
    let letter = u8::try_from(at).ok().and_then(|at| b'A'.checked_add(at)).filter(u8::is_ascii_uppercase);
    letter.map_or_else(|| (at + 1).to_string(), |letter| char::from(letter).to_string())
}

/// A line with its word at the left.
pub(super) fn row<T>(ui: &mut Ui, scene: &Scene<'_>, word: &str, add: impl FnOnce(&mut Ui) -> T) -> T {
    ui.horizontal(|ui| {
        let middle = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(vec2(WORDS, 24.0), middle, |ui| {
            ui.set_min_width(WORDS);
            ui.label(RichText::new(word).font(sans(size::NOTE)).color(scene.tokens.ink2));
        });
        add(ui)
    })
    .inner
}

/// A line of text under its word; whether Enter ended it.
pub(super) fn text(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (word, hint): (&str, &str),
    text: &mut String,
    focus: bool,
) -> bool {
    row(ui, scene, word, |ui| {
        let hint = RichText::new(hint).color(scene.tokens.ink2);
        let field = ui
            .add(egui::TextEdit::singleline(text).hint_text(hint).desired_width(ui.available_width() - 12.0));
        field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, word));
        if focus {
            field.request_focus();
        }
        field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))
    })
}

/// On what, with what and where, in one line; `who` names it for those who do not see it.
pub(super) fn candidate(
    ui: &mut Ui,
    library: &Library,
    kind: Option<&KindId>,
    who: &str,
    candidate: &mut Candidate,
) {
    instruments(ui, library, kind, (who, &mut candidate.instruments));
    beaters(ui, library, kind, (who, &mut candidate.beaters));
    let on = ui.is_enabled();
    let field =
        egui::TextEdit::singleline(&mut candidate.spot).hint_text("struck where").desired_width(110.0);
    let field = ui.add(field);
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, on, format!("{who}: struck where")));
}

fn shown(names: &[String], none: &str) -> String {
    if names.is_empty() { none.to_owned() } else { names.join("; ") }
}

fn instruments(
    ui: &mut Ui,
    library: &Library,
    kind: Option<&KindId>,
    (who, chosen): (&str, &mut Vec<InstrumentId>),
) {
    let names: Vec<String> = chosen.iter().map(|id| library.instrument_name(id)).collect();
    let kind = kind.and_then(|id| library.kinds.get(id)).map(|kind| &**kind);
    let near = |of: &KindId| match kind {
        Some(kind) if kind.id == *of => 0,
        Some(kind) if kind.like.contains(of) => 1,
        _ => 2,
    };
    let on = ui.is_enabled();
    let combo = ui
        .scope(|ui| {
            // Cut short, it would take all that is left of the row.
            ui.set_max_width(220.0);
            egui::ComboBox::from_id_salt(("instruments of", who))
                .selected_text(shown(&names, "choose an instrument"))
                .width(220.0)
                .truncate()
                .show_ui(ui, |ui| {
                    let mut all: Vec<_> = library.instruments.values().collect();
                    all.sort_by_key(|thing| (near(&thing.kind), thing.name.clone()));
                    for thing in all {
                        toggle(ui, chosen, &thing.id, &thing.name);
                    }
                })
        })
        .inner;
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, on, format!("{who}: on")));
}

fn beaters(ui: &mut Ui, library: &Library, kind: Option<&KindId>, (who, chosen): (&str, &mut Vec<BeaterId>)) {
    let name =
        |id: &BeaterId| library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone());
    let names: Vec<String> = chosen.iter().map(name).collect();
    let on = ui.is_enabled();
    let combo = ui
        .scope(|ui| {
            // Cut short, it would take all that is left of the row.
            ui.set_max_width(200.0);
            egui::ComboBox::from_id_salt(("beaters of", who))
                .selected_text(shown(&names, "choose beaters"))
                .width(200.0)
                .truncate()
                .show_ui(ui, |ui| {
                    let mut all: Vec<_> = library.beaters.values().collect();
                    all.sort_by_key(|beater| {
                        (!kind.is_some_and(|kind| beater.suits.contains(kind)), beater.name.clone())
                    });
                    for beater in all {
                        toggle(ui, chosen, &beater.id, &beater.name);
                    }
                })
        })
        .inner;
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, on, format!("{who}: with")));
}

/// Which of its recorded strikes is heard; the first that was played so, where none is chosen.
pub(super) fn strike(ui: &mut Ui, scene: &Scene<'_>, who: &str, candidate: &mut Candidate) {
    let library = scene.library;
    let thing = candidate.instruments.first().and_then(|id| library.instruments.get(id));
    let name = |key: &StrikeKey, strike: &Strike| {
        let name = thing
            .map_or_else(String::new, |thing| crate::places::sounds::known::name(library, thing, strike));
        let take = TakeKey { instrument: key.instrument.clone(), take: key.take.clone() };
        if scene.missing.contains(&take) {
            format!("{name} (its file is missing)")
        } else if recall::is_by_model(library, key) {
            format!("{name} (model)")
        } else {
            name
        }
    };
    let all: Vec<_> =
        thing.into_iter().flat_map(|thing| library.takes_of(&thing.id)).flat_map(Take::keyed).collect();
    let is = |chosen: &Option<(TakeId, usize)>, key: &StrikeKey| {
        chosen.as_ref().is_some_and(|(take, number)| *take == key.take && *number == key.number)
    };
    let now = all.iter().find(|(key, _)| is(&candidate.strike, key)).map(|(key, strike)| name(key, strike));
    let none = if all.is_empty() { "nothing recorded yet" } else { "the first strike played so" };
    ui.label(RichText::new("heard by").font(sans(size::NOTE)));
    let on = ui.is_enabled();
    let combo = egui::ComboBox::from_id_salt(("strike of", who))
        .selected_text(now.unwrap_or_else(|| none.to_owned()))
        .width(360.0)
        .truncate()
        .show_ui(ui, |ui| {
            if ui.selectable_label(candidate.strike.is_none(), none).clicked() {
                candidate.strike = None;
            }
            for (key, strike) in &all {
                let words = format!("{}, {} {}", name(key, strike), key.take, key.number + 1);
                if ui.selectable_label(is(&candidate.strike, key), words).clicked() {
                    candidate.strike = Some((key.take.clone(), key.number));
                    candidate.beaters = strike.beater.clone().into_iter().collect();
                    candidate.spot.clone_from(&strike.spot);
                }
            }
        });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, on, format!("{who}: heard by")));
}

fn toggle<T: PartialEq + Clone>(ui: &mut Ui, chosen: &mut Vec<T>, id: &T, name: &str) {
    let held = chosen.contains(id);
    if ui.selectable_label(held, name).clicked() {
        if held {
            chosen.retain(|other| other != id);
        } else {
            chosen.push(id.clone());
        }
    }
}

/// What a line is played on now, as a candidate.
pub(super) fn as_assigned(given: &Assignment) -> Candidate {
    Candidate {
        instruments: given.instruments.clone(),
        beaters: given.beaters.clone(),
        ..Candidate::default()
    }
}

/// Whether there is anything in it.
pub(super) fn says_something(candidate: &Candidate) -> bool {
    !candidate.instruments.is_empty() || !candidate.beaters.is_empty() || !candidate.spot.trim().is_empty()
}

/// The kind that a line asks for.
pub(super) fn kind_of<'a>(library: &'a Library, at: &LineRef) -> Option<&'a Kind> {
    let (_, line) = library.line(at)?;
    line.kind.as_ref().and_then(|id| library.kinds.get(id)).map(|kind| &**kind)
}
