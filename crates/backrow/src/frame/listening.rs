//! The strip under the places while a line is heard: which passage, on what, how loud.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::candidates::DOZEN;
use crate::sound::stretches::stretches;
use crate::sound::{How, Wish};
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold};
use backrow_sound::device::PortKind;
use egui::{RichText, Ui};

/// How high the strip is, points.
pub const HEIGHT: f32 = 64.0;

/// What the switch does.
const FROM_PLACES: &str = "Left and right as the conductor hears them: by the angle at which each instrument stands on the floor, \
     constant power between the loudspeakers, 45° and more wholly at one side";

/// Whether there is anything to show.
pub fn is_shown(scene: &Scene<'_>) -> bool {
    scene.sound.line().is_some()
}

/// Draws the strip.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>) {
    let full = ui.max_rect();
    marks::hairline(ui.painter(), full.x_range(), full.top(), scene.tokens.line);
    let inner = full.shrink2(egui::vec2(space::L, 4.0));
    let mut ui = ui.new_child(egui::UiBuilder::new().max_rect(inner));
    ui.spacing_mut().item_spacing = egui::vec2(8.0, 4.0);
    ui.horizontal(|ui| head(ui, scene));
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            // Always in sight, however far the candidates reach.
            more(ui, scene);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                egui::ScrollArea::horizontal().id_salt("candidates").show(ui, |ui| {
                    ui.horizontal(|ui| candidates(ui, scene));
                });
            });
        });
    });
}

fn head(ui: &mut Ui, scene: &mut Scene<'_>) {
    let Some(at) = scene.sound.line().cloned() else { return };
    let library = scene.library;
    let Some((_, row)) = library.line(&at) else { return };
    let (how, now) = (scene.sound.how(), scene.sound.now());
    let words = if now.plays { "Stop" } else { "Play" };
    let hover = format!("{} ({})", Action::HearLine.label(), Action::HearLine.key_words());
    if ui.button(words).on_hover_text(hover).clicked() {
        scene.ask(Intent::Sound(Wish::StopOrPlay));
    }
    ui.label(RichText::new(library.line_name(row)).font(semibold(size::TEXT)).color(scene.tokens.ink));
    let timeline =
        library.works.get(&at.work).and_then(|work| work.movement(&row.movement)).map(|m| &m.timeline);
    let passages = timeline.map_or(0, |timeline| stretches(row, timeline, how.whole).len());
    for (sign, name, next) in [
        ("‹", "Previous passage", how.passage.checked_sub(1)),
        ("›", "Next passage", how.passage.checked_add(1)),
    ] {
        let next = next.filter(|next| *next < passages);
        let button = ui.add_enabled(next.is_some(), egui::Button::new(sign).small()).on_hover_text(name);
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, next.is_some(), name));
        if let (true, Some(passage)) = (button.clicked(), next) {
            scene.ask(Intent::Sound(Wish::Again(How { passage, ..how })));
        }
    }
    let state = if scene.sound.is_working() {
        "being made ready …".to_owned()
    } else {
        format!("{}, {:.0}\u{202F}s", scene.sound.ready().0, scene.sound.at_s())
    };
    ui.label(RichText::new(state).font(sans(size::NOTE)).color(scene.tokens.ink2));
    let mut as_recorded = how.as_recorded;
    let hover =
        "Otherwise all are brought down to the softest, by their greatest momentary loudness (ITU-R BS.1770)";
    if ui.checkbox(&mut as_recorded, "As recorded").on_hover_text(hover).changed() {
        scene.ask(Intent::Sound(Wish::Again(How { as_recorded, ..how })));
    }
    let mut whole = how.whole;
    let hover = "Everything from the first measure on, rests too; long movements and passages come in parts of three minutes";
    if ui.checkbox(&mut whole, "The whole movement").on_hover_text(hover).changed() {
        scene.ask(Intent::Sound(Wish::Again(How { whole, passage: 0, ..how })));
    }
    let mut together = how.together;
    let hover = "Every line of its player in this movement, each on what it is assigned to";
    if ui.checkbox(&mut together, "With the player’s other lines").on_hover_text(hover).changed() {
        scene.ask(Intent::Sound(Wish::Again(How { together, ..how })));
    }
    if together {
        let mut from_places = how.from_places;
        if ui.checkbox(&mut from_places, "From where they stand").on_hover_text(FROM_PLACES).changed() {
            scene.ask(Intent::Sound(Wish::Again(How { from_places, ..how })));
        }
    }
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        if ui.button("Close").clicked() {
            scene.ask(Intent::Sound(Wish::Away));
        }
        volume(ui, scene);
        loudspeaker(ui, scene);
    });
}

/// Which loudspeaker plays; they are asked for when the list is opened.
fn loudspeaker(ui: &mut Ui, scene: &mut Scene<'_>) {
    let ports = scene.sound.now().ports;
    let all: Vec<_> = ports.iter().filter(|port| port.kind == PortKind::Loudspeaker).collect();
    let on = scene.sound.on();
    let words =
        all.iter().find(|port| Some(port.id.as_str()) == on).map_or("the usual", |port| port.name.as_str());
    let combo = egui::ComboBox::from_id_salt("loudspeaker").selected_text(words).width(120.0).truncate();
    let mut chosen = None;
    let shown = combo.show_ui(ui, |ui| {
        if ui.selectable_label(on.is_none(), "the usual").clicked() {
            chosen = Some(None);
        }
        for port in &all {
            if ui.selectable_label(on == Some(port.id.as_str()), &port.name).clicked() {
                chosen = Some(Some(port.id.clone()));
            }
        }
    });
    shown.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Loudspeaker"));
    if shown.response.clicked() {
        scene.ask(Intent::Sound(Wish::Ports));
    }
    if let Some(id) = chosen {
        scene.ask(Intent::Sound(Wish::On(id)));
    }
    ui.label(RichText::new("Loudspeaker").font(sans(size::NOTE)).color(scene.tokens.ink2));
}

fn volume(ui: &mut Ui, scene: &mut Scene<'_>) {
    let mut volume = scene.sound.volume() * 100.0;
    ui.spacing_mut().slider_width = 90.0;
    let slider = ui.add(egui::Slider::new(&mut volume, 0.0..=100.0).show_value(false));
    slider.widget_info(|| egui::WidgetInfo::slider(true, f64::from(volume), "Volume"));
    if slider.changed() {
        scene.ask(Intent::Sound(Wish::Volume(volume / 100.0)));
    }
    slider.on_hover_text("Playing begins softly each time the program starts");
    ui.label(RichText::new("Volume").font(sans(size::NOTE)).color(scene.tokens.ink2));
}

fn candidates(ui: &mut Ui, scene: &mut Scene<'_>) {
    if let Some(why) = scene.sound.now().why_not {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 16.0), egui::Sense::hover());
        marks::mark(ui.painter(), rect.center(), marks::Mark::Care, &scene.tokens);
        ui.label(RichText::new(why).color(scene.tokens.ink));
    }
    let chosen = scene.sound.chosen();
    let mut asked = None;
    for (number, ready) in scene.sound.ready().1.iter().enumerate() {
        let words = format!("{} ({})", ready.label, ready.words);
        let hover = format!("{} goes to the next at the same place", Action::NextCandidate.key_words());
        if ui.selectable_label(number == chosen, words).on_hover_text(hover).clicked() {
            asked = Some(number);
        }
    }
    if let Some(number) = asked {
        scene.ask(Intent::Sound(Wish::Candidate(number)));
    }
}

/// Candidates beyond those that are ready, counted, and the way to them.
fn more(ui: &mut Ui, scene: &mut Scene<'_>) {
    let (how, beyond) = (scene.sound.how(), scene.sound.beyond());
    let next = Action::NextCandidate.key_words();
    let ways = [
        (beyond.after, format!("and {} more", beyond.after), how.dozen + 1),
        (beyond.before, format!("back to the {DOZEN} before"), how.dozen.saturating_sub(1)),
    ];
    for (count, words, dozen) in ways {
        let hover = format!(
            "Makes a dozen ready at a time, at the same place; {next} at the last one goes on to them"
        );
        if count > 0 && ui.button(words).on_hover_text(hover).clicked() {
            scene.ask(Intent::Sound(Wish::Again(How { dozen, ..how })));
        }
    }
}
