//! A take that is looked through before it is saved: its strikes, and what was struck with what.

mod edited;
mod steps;
mod walk;

use super::wave::{self, Touched};
use crate::drafts::Outcome;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::{primary, trouble};
use crate::words::many;
use backrow_core::edit::Edit;
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use backrow_core::recall::put_strikes;
use backrow_core::sound::{Strike, Take};
pub(super) use edited::Edited;
use egui::{Key, Modifiers, RichText, Ui};
use std::collections::BTreeSet;
use std::sync::Arc;

/// What became of a take in a frame.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Became {
    /// As a form: it goes on, was saved, or is left and becomes a draft.
    A(Outcome),
    /// It goes to the disk.
    Written,
    /// Thrown away on purpose.
    Thrown,
}

/// Draws the take.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, take: &mut Edited) -> Became {
    for words in &take.troubles {
        trouble(ui, &scene.tokens, words);
    }
    // What is looked for comes in the place of every strike: nothing is changed or saved before.
    let looking = take.is_looking();
    take.settle(ui);
    match wave::ui(ui, scene, (&mut take.wave, &mut take.seen), (&take.strikes, take.chosen)) {
        Some(Touched::At(at_s)) => {
            if let Some(number) = take.strikes.iter().rposition(|strike| strike.from_s <= at_s) {
                take.chosen = number;
                play(scene, take);
            }
        }
        Some(Touched::Moved(number, to_s)) => take.shift(number, to_s),
        None => {}
    }
    let words = match (looking, take.strikes.len()) {
        (true, _) => "Strikes are being looked for …".to_owned(),
        (false, 0) => "No strike was found. Split adds one, or record again.".to_owned(),
        (false, found) => format!(
            "{} found. Drag a line to move a strike; click to hear it. The wheel, + and - zoom; drag beside a line to scroll.",
            many(found, "strike")
        ),
    };
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    keys(ui, scene, take, looking);
    buttons(ui, scene, take, looking);
    walk::ui(ui, scene, take);
    what(ui, scene, take);
    let mut became = Became::A(Outcome::GoesOn);
    ui.horizontal(|ui| {
        let label = ui.label("Name");
        let name = egui::TextEdit::singleline(&mut take.name).desired_width(140.0);
        // A take that is saved keeps its id, which others name.
        match &take.saved {
            Some(saved) => ui.label(saved.id.as_str()),
            None => ui.add(name).labelled_by(label.id),
        };
        let label = ui.label("Note");
        ui.add(egui::TextEdit::singleline(&mut take.note).desired_width(240.0)).labelled_by(label.id);
        let words = if take.saved.is_some() { "Save the strikes" } else { "Save the take" };
        let saves = ui.add_enabled_ui(!looking, |ui| primary(ui, &scene.tokens, words)).inner;
        if saves.on_disabled_hover_text("The strikes are still being looked for").clicked() {
            became = save(scene, take);
        }
        let hover = "It stays here as a draft and can be resumed; the library does not change";
        if ui.button("Later").on_hover_text(hover).clicked() {
            became = Became::A(Outcome::Left);
        }
        if ui.button("Throw away").clicked() {
            became = Became::Thrown;
        }
    });
    became
}

fn play(scene: &mut Scene<'_>, take: &Edited) {
    if let Some(strike) = take.strikes.get(take.chosen) {
        let span = (strike.from_s, strike.to_s);
        scene.ask(Intent::Sound(Wish::Piece(Arc::clone(&take.samples), take.rate, span)));
    }
}

fn keys(ui: &Ui, scene: &mut Scene<'_>, take: &mut Edited, looking: bool) {
    if ui.ctx().text_edit_focused() || egui::Popup::is_any_open(ui.ctx()) {
        return;
    }
    let pressed = |key: Key| ui.input(|input| input.key_pressed(key));
    if pressed(Key::ArrowRight) && take.chosen + 1 < take.strikes.len() {
        take.choose(take.chosen + 1);
        play(scene, take);
    }
    if pressed(Key::ArrowLeft) && take.chosen > 0 {
        take.choose(take.chosen - 1);
        play(scene, take);
    }
    for (key, factor) in [(Key::Plus, 0.5), (Key::Equals, 0.5), (Key::Minus, 2.0)] {
        if pressed(key) {
            take.zoom(factor);
        }
    }
    let with = |modifiers, key| ui.input_mut(|input| input.consume_key(modifiers, key));
    if with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z) || with(Modifiers::COMMAND, Key::Y) {
        take.step(false);
    } else if with(Modifiers::COMMAND, Key::Z) {
        take.step(true);
    }
    if looking {
        return;
    }
    if pressed(Key::Delete) {
        take.drop_chosen();
    }
    if pressed(Key::J) {
        take.join();
    }
    if pressed(Key::S) {
        take.split_chosen();
    }
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, take: &mut Edited, looking: bool) {
    let some = !take.strikes.is_empty();
    let button = |ui: &mut Ui, enabled: bool, words: &str, hover: &str| {
        ui.add_enabled(enabled, egui::Button::new(words)).on_hover_text(hover).clicked()
    };
    ui.horizontal_wrapped(|ui| {
        if button(ui, some, "Play", "The chosen strike; left and right go to the next") {
            play(scene, take);
        }
        if button(ui, some, "5 ms earlier", "Moves the chosen strike’s beginning") {
            take.nudge(-0.005);
        }
        if button(ui, some, "5 ms later", "Moves the chosen strike’s beginning") {
            take.nudge(0.005);
        }
        if button(ui, !looking, "Split", "S: in the middle of the chosen strike; then move it") {
            take.split_chosen();
        }
        if button(ui, some, "Join with the next", "J") {
            take.join();
        }
        if button(ui, some, "Drop", "Delete") {
            take.drop_chosen();
        }
        for (back, words, hover) in [(true, "Undo", "Ctrl Z"), (false, "Redo", "Ctrl Y")] {
            if button(ui, take.can_step(back), words, hover) {
                take.step(back);
            }
        }
        for (factor, words, hover) in [(0.5, "Closer", "+, or the wheel"), (2.0, "Wider", "-, or the wheel")] {
            if button(ui, true, words, hover) {
                take.zoom(factor);
            }
        }
        let thing = scene.library.instruments.get(&take.instrument);
        let bars: Vec<KeyNumber> = thing.map(|thing| thing.compass().iter().collect()).unwrap_or_default();
        if bars.is_empty() {
            return;
        }
        let hover = "Every strike gets its bar by its pitch; doubts are asked about, dead and missing bars are listed";
        if button(ui, some && !take.walk.is_working(), "Up the keyboard", hover) {
            walk::begin(ui.ctx(), scene, take);
        }
        let hover =
            "From the chosen strike on, one bar after the other from its bar up; dead bars are left out";
        if button(ui, some, "Bars in order", hover) {
            take.in_order(&bars);
        }
    });
}

/// Bar, beater, dynamic and place of the chosen strike; all but the bar may go to every strike.
fn what(ui: &mut Ui, scene: &Scene<'_>, take: &mut Edited) {
    let (chosen, id) = (take.chosen, take.instrument.clone());
    let Some(strike) = take.strikes.get_mut(chosen) else { return };
    let mut all = None;
    ui.horizontal_wrapped(|ui| {
        ui.label(format!("Strike {}", chosen + 1));
        choices(ui, scene, &id, strike);
        let label = ui.label("Where");
        let field =
            egui::TextEdit::singleline(&mut strike.spot).desired_width(90.0).hint_text("edge, centre");
        ui.add(field).labelled_by(label.id);
        let label = ui.label("Sounds");
        let mut words = strike.words.join(", ");
        let field = egui::TextEdit::singleline(&mut words).desired_width(140.0).hint_text("dry, bright");
        if ui.add(field).labelled_by(label.id).on_hover_text("In your words; they teach the search").changed()
        {
            strike.words = words_typed(&words);
        }
        if ui.button("Same for all").on_hover_text("Beater, dynamic and place; bars stay").clicked() {
            all = Some((strike.beater.clone(), strike.how_hard, strike.spot.clone()));
        }
    });
    if let Some((beater, how_hard, spot)) = all {
        for strike in &mut take.strikes {
            (strike.beater, strike.how_hard, strike.spot) = (beater.clone(), how_hard, spot.clone());
        }
    }
}

fn choices(ui: &mut Ui, scene: &Scene<'_>, id: &backrow_core::id::InstrumentId, strike: &mut Strike) {
    let library = scene.library;
    let named = |response: &egui::Response, words: &'static str| {
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, words));
    };
    if let Some(thing) = library.instruments.get(id).filter(|thing| thing.is_pitched()) {
        let words = strike.bar.map_or_else(|| "bar not said".to_owned(), |bar| bar.to_string());
        let combo = egui::ComboBox::from_id_salt("bar").selected_text(words).width(90.0);
        let shown = combo.show_ui(ui, |ui| {
            for bar in thing.bars().iter() {
                ui.selectable_value(&mut strike.bar, Some(bar), bar.to_string());
            }
        });
        named(&shown.response, "Bar");
    }
    let name =
        strike.beater.as_ref().and_then(|id| library.beaters.get(id)).map(|beater| beater.name.clone());
    let combo = egui::ComboBox::from_id_salt("beater").truncate().width(180.0);
    let shown = combo.selected_text(name.unwrap_or_else(|| "beater not said".to_owned())).show_ui(ui, |ui| {
        for beater in library.beaters.values() {
            ui.selectable_value(&mut strike.beater, Some(beater.id.clone()), &beater.name);
        }
    });
    named(&shown.response, "Beater");
    let words = strike.how_hard.map_or("dynamic not said", Dynamic::sign);
    let combo = egui::ComboBox::from_id_salt("how hard").selected_text(words).width(110.0);
    let shown = combo.show_ui(ui, |ui| {
        for dynamic in Dynamic::ALL {
            ui.selectable_value(&mut strike.how_hard, Some(dynamic), dynamic.sign());
        }
    });
    named(&shown.response, "How hard");
}

/// Words with commas between; while one is typed, what stands behind its comma is kept.
fn words_typed(text: &str) -> Vec<String> {
    if text.is_empty() {
        Vec::new()
    } else {
        text.split(',').map(|word| word.trim_start().to_owned()).collect()
    }
}

fn save(scene: &mut Scene<'_>, take: &mut Edited) -> Became {
    for strike in &mut take.strikes {
        strike.words =
            strike.words.iter().map(|word| word.trim().to_owned()).filter(|word| !word.is_empty()).collect();
    }
    if let Some(saved) = take.saved.clone() {
        let name = scene.library.instrument_name(&saved.instrument);
        let words = format!("Change the strikes of {} of {name}", saved.id);
        let next = Take { strikes: take.strikes.clone(), note: take.note.clone(), ..saved };
        scene.edit(Edit::Together { words, edits: put_strikes(scene.library, next) });
        return Became::A(Outcome::Saved);
    }
    let id = &take.instrument;
    let record = Take {
        id: crate::sound::import::fresh(scene.library, &BTreeSet::new(), id, &take.name),
        instrument: id.clone(),
        file: String::new(),
        content: String::new(),
        when: Some(crate::sound::import::this_minute()),
        device: take.device.clone(),
        rate_hz: take.rate,
        length_s: take.length_s(),
        note: take.note.clone(),
        faults: take.faults(),
        by_model: false,
        strikes: take.strikes.clone(),
    };
    take.goes_as = Some(record.key());
    scene.ask(Intent::Sound(Wish::Keep(Box::new(record), Arc::clone(&take.samples))));
    Became::Written
}
