//! The search: like this, but brighter, in the part's words; each alone or all together, with the reasons of every answer.

use super::known::Sounds;
use super::{Here, map};
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::{size, space};
use crate::view::Selected;
use backrow_core::recall::said_of;
use backrow_core::sound::{Answers, Asked, Quality};
use egui::{Key, Modifiers, RichText, Sense, Ui, WidgetInfo, vec2};
use std::sync::Arc;

/// Draws what is asked.
pub(super) fn question(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, sounds: &Sounds) {
    let tokens = scene.tokens;
    let line = view.line.clone().and_then(|at| scene.library.line(&at).map(|(_, line)| line.clone()));
    ui.horizontal(|ui| {
        let hint = RichText::new("in words: metal plate, large and dull").color(tokens.ink2);
        let field = egui::TextEdit::singleline(&mut view.own.words).hint_text(hint).desired_width(230.0);
        let field = ui.add(field.id(egui::Id::unique("sounds in words")));
        field.widget_info(|| WidgetInfo::labeled(egui::Role::SearchInput, true, "Sound in words"));
        if std::mem::take(&mut view.own.to_words) {
            field.request_focus();
        }
        if let Some(line) = &line {
            let said = said_of(line).join(", ");
            let hover = format!("“{said}”");
            if ui.button("As the line says").on_hover_text(hover).clicked() {
                view.own.words = said;
            }
        }
        super::like::button(ui, view);
        if view.own.asks() && ui.button("Clear").on_hover_text("Esc").clicked() {
            view.own.clear();
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.checkbox(&mut view.own.plays_under, "Play under the pointer")
                .on_hover_text("Plays softly what the pointer rests on; a click plays in any case");
        });
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::XS;
        let of_strike =
            || view.own.like.as_ref().and_then(|key| sounds.find(key)).map(|(_, _, fact)| fact.name.clone());
        let like = view.own.made.heard().map(|(name, _)| name.clone()).or_else(of_strike);
        let words = like.map_or_else(|| "But".to_owned(), |name| format!("Like {name}, but"));
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        for quality in Quality::ALL {
            let on = view.own.but.contains(&quality);
            if ui.selectable_label(on, RichText::new(quality.word()).font(sans(size::NOTE))).clicked() {
                view.own.but.retain(|other| *other != quality && *other != quality.opposite());
                if !on {
                    view.own.but.push(quality);
                }
            }
        }
    });
}

/// What the place's state asks.
pub(super) fn asked(own: &super::State, sounds: &Sounds) -> Asked {
    let like = own.like.as_ref().and_then(|key| sounds.find(key));
    let made = own.made.heard().map(|(_, measures)| Arc::clone(measures));
    Asked {
        itself: own.like.clone().filter(|_| made.is_none()),
        like: made.or_else(|| like.map(|(_, known, _)| known.measures.clone())),
        but: own.but.clone(),
        words: own.words.clone(),
    }
}

/// Draws the answers; `at` in the list of all that was heard.
pub(super) fn answers(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (sounds, found): (&Sounds, &Answers),
) {
    let tokens = scene.tokens;
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    if !found.unknown.is_empty() {
        ui.label(note(&format!("Says nothing here: {}.", found.unknown.join(", "))));
    }
    for words in &found.otherwise {
        let words =
            RichText::new(format!("Heard so far, {words}.")).font(sans(size::NOTE)).color(tokens.care);
        ui.add(egui::Label::new(words).wrap());
    }
    if found.found.is_empty() {
        ui.label(note("Nothing that was recorded answers this within the filters."));
    }
    for (nth, answer) in found.found.iter().enumerate() {
        let (Some(known), Some(fact)) = (sounds.heard.all().get(answer.at), sounds.facts.get(answer.at))
        else {
            continue;
        };
        let is_laid = view.own.laid.iter().any(|laid| laid.key == known.key);
        let fill = if is_laid { tokens.soft } else { tokens.raised };
        let frame = egui::Frame::new().fill(fill).inner_margin(egui::Margin::symmetric(6, 3));
        let row = frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            let name = format!("{}  {}", nth + 1, fact.name);
            ui.add(egui::Label::new(RichText::new(name).color(tokens.ink)).truncate());
            let reasons = answer.reasons.join("; ");
            ui.add(egui::Label::new(note(&reasons)).wrap());
            for words in &answer.disagreements {
                ui.add(
                    egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.care)).wrap(),
                );
            }
        });
        let response = row.response.interact(Sense::CLICK);
        let says = format!("{}: {}", fact.name, answer.reasons.join("; "));
        response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, is_laid, says.clone()));
        let goes = response.has_focus() && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter));
        if response.clicked() || goes {
            let adds = ui.input(|i| i.modifiers.command || i.modifiers.shift);
            let key = known.key.clone();
            map::take(scene, view, &key, adds);
        }
    }
    if found.beyond > 0 {
        let next = found.beyond.min(super::MORE_ANSWERS);
        if ui.button(format!("Show {next} more of {}", found.beyond)).clicked() {
            view.own.most += super::MORE_ANSWERS;
        }
    }
    unmeasured(ui, scene, view, found);
}

/// Those that nobody has recorded, by the words that fit them.
fn unmeasured(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, found: &Answers) {
    if found.unmeasured.is_empty() {
        return;
    }
    let tokens = scene.tokens;
    ui.add_space(space::S);
    let words = format!("Not recorded: {}", found.unmeasured.len());
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    for one in found.unmeasured.iter().take(view.own.most) {
        let name = scene.library.instrument_name(&one.instrument);
        let fits = if one.fits.is_empty() { String::new() } else { format!(" ({})", one.fits.join(", ")) };
        let link = ui.link(RichText::new(format!("{name}{fits}")).font(sans(size::NOTE)));
        if link.clicked() {
            view.selected = Some(Selected::Instrument(one.instrument.clone()));
        }
    }
    let beyond = found.unmeasured.len().saturating_sub(view.own.most);
    if beyond > 0
        && ui.button(format!("Show {} more not recorded", beyond.min(super::MORE_ANSWERS))).clicked()
    {
        view.own.most += super::MORE_ANSWERS;
    }
    ui.allocate_space(vec2(1.0, space::XS));
}
