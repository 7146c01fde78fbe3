//! A line in the right panel: what it asks for, and who plays it on what with what.

mod missing;
mod remembered;
mod rules;
mod tuning;

use super::{fact, rule};
use crate::actions::Action;
use crate::frame::playing_on;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, serif, serif_italic};
use crate::view::{Carried, Place, View};
use backrow_core::edit::Edit;
use backrow_core::music::Line;
use backrow_core::week::LineRef;
use egui::{RichText, Ui};

pub(super) use remembered::State as Remembered;

/// Draws the line.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut View,
    (at, told): (&LineRef, &mut Remembered),
) {
    let library = scene.library;
    let Some((work, line)) = library.line(at) else { return };
    let tokens = scene.tokens;
    ui.add(
        egui::Label::new(RichText::new(library.line_name(line)).font(serif(size::HEADING)).color(tokens.ink))
            .wrap(),
    );
    let movement =
        work.movement(&line.movement).map(backrow_core::music::Movement::heading).unwrap_or_default();
    ui.add(
        egui::Label::new(
            RichText::new(format!("{} {movement}", work.title)).font(serif_italic(13.0)).color(tokens.ink2),
        )
        .wrap(),
    );
    rule(ui, scene);
    let part = match (line.part.trim(), line.printed.trim()) {
        ("", printed) => format!("printed “{printed}”"),
        (part, "") => part.to_owned(),
        (part, printed) => format!("{part}, printed “{printed}”"),
    };
    fact(ui, scene, "Part", part);
    fact(ui, scene, "Measures", line.measures());
    notes(ui, scene, line);
    if !line.beaters.is_empty() {
        fact(ui, scene, "Part asks", RichText::new(line.beaters.join(", ")).font(serif_italic(size::NOTE)));
    }
    if line.degree != backrow_core::music::Degree::Sure {
        fact(ui, scene, "Reading", line.degree.word());
        for row in &line.evidence {
            fact(ui, scene, "", row.as_str());
        }
    }
    let hover = format!("On its candidates, one after the other ({})", Action::HearLine.key_words());
    if ui.button("Hear the line").on_hover_text(hover).clicked() {
        scene.ask(Intent::Sound(crate::sound::Wish::Line(at.clone())));
    }
    rule(ui, scene);
    match view.programme.clone() {
        Some(programme) => assignment(ui, scene, view, &programme, at),
        None => {
            ui.label(RichText::new("Choose a programme to assign the line to a player.").color(tokens.ink2));
        }
    }
    remembered::ui(ui, scene, told, at);
}

fn notes(ui: &mut Ui, scene: &Scene<'_>, line: &Line) {
    if line.is_pitched() {
        let counts = line.written_counts();
        let low = counts.first().map_or_else(String::new, |(note, _)| note.written.to_string());
        let high = counts.last().map_or_else(String::new, |(note, _)| note.written.to_string());
        fact(
            ui,
            scene,
            "Notes",
            format!("{}, written {low}–{high}, sounding {}", counts.len(), line.octave.words()),
        );
    } else {
        let strokes: u32 = line.passages.iter().flat_map(|p| &p.unpitched).map(|u| u.count).sum();
        fact(ui, scene, "Strokes", format!("{strokes}, without pitch"));
    }
    if let Some(dynamics) = line.dynamics() {
        fact(ui, scene, "Dynamics", dynamics.to_string());
    }
}

fn assignment(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut View,
    programme: &backrow_core::id::ProgrammeId,
    at: &LineRef,
) {
    let library = scene.library;
    let Some(given) = library.programme(programme).map(|p| p.assignment(at)) else { return };
    let mut edits: Vec<Edit> = Vec::new();
    ui.horizontal(|ui| {
        caption(ui, scene, "Player");
        let now =
            given.player.as_ref().map_or_else(|| "not assigned".to_owned(), |id| library.player_name(id));
        let combo = egui::ComboBox::from_id_salt("player of line")
            .selected_text(now)
            .width(150.0)
            .truncate()
            .show_ui(ui, |ui| {
                for player in library.roster() {
                    if ui.selectable_label(given.player.as_ref() == Some(&player.id), &player.name).clicked()
                    {
                        edits.push(Edit::Assign {
                            programme: programme.clone(),
                            line: at.clone(),
                            player: Some(player.id.clone()),
                        });
                    }
                }
                if given.player.is_some() && ui.selectable_label(false, "nobody").clicked() {
                    edits.push(Edit::Assign { programme: programme.clone(), line: at.clone(), player: None });
                }
            });
        combo
            .response
            .widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Player of this line"));
    });
    played_on(ui, scene, (programme, at), &given, &mut edits);
    if given.instruments.is_empty() {
        ui.horizontal_wrapped(|ui| {
            caption(ui, scene, "On");
            choose(ui, scene, view, at);
        });
    }
    missing::ui(ui, scene, programme, at);
    beaters(ui, scene, programme, at, &given, &mut edits);
    ui.add_space(space::XS);
    ui.horizontal_wrapped(|ui| {
        let mut locked = given.locked;
        let hover = "Proposals leave the line with this player (P)";
        let able = given.player.is_some();
        let lock = ui.add_enabled(able, egui::Checkbox::new(&mut locked, "Locked")).on_hover_text(hover);
        if lock.on_disabled_hover_text("Assign it to a player first").changed() {
            edits.push(Edit::Lock { programme: programme.clone(), line: at.clone(), locked });
        }
        rules::exposed(ui, scene, at, &mut edits);
    });
    ui.horizontal_wrapped(|ui| {
        rules::add(ui, scene, programme, at, &mut edits);
        if ui.button("Pick up").on_hover_text("Then 1 to 8 assigns it to a player; Esc cancels").clicked() {
            view.in_hand = Some(Carried::Line(at.clone()));
        }
    });
    for edit in edits {
        scene.edit(edit);
    }
    tuning::ui(ui, scene, view, programme, at);
    rules::ui(ui, scene, programme, at);
}

/// The ways to an instrument where there is none.
fn choose(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, at: &LineRef) {
    if ui.button("Choose on Compass").clicked() {
        view.line = Some(at.clone());
        scene.intents.push(Intent::Go(Place::Compass));
    }
    let hover = format!("For every line that has none ({})", Action::Propose.key_words());
    if ui.button("Propose …").on_hover_text(hover).clicked() {
        scene.intents.push(Intent::Do(Action::Propose));
    }
}

/// The word before a choice.
fn caption(ui: &mut Ui, scene: &Scene<'_>, words: &str) {
    let middle = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(egui::vec2(64.0, 24.0), middle, |ui| {
        ui.set_min_width(64.0);
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    });
}

/// What it is played on; a long name gives way to its button, so that the panel keeps its width.
fn played_on(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (programme, at): (&backrow_core::id::ProgrammeId, &LineRef),
    given: &backrow_core::week::Assignment,
    edits: &mut Vec<Edit>,
) {
    for id in &given.instruments {
        ui.horizontal(|ui| {
            caption(ui, scene, "On");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let name = scene.library.instrument_name(id);
                let button = ui.small_button("Remove");
                button.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::Button,
                        true,
                        format!("Remove {name} from the line"),
                    )
                });
                if button.clicked() {
                    let left = given.instruments.iter().filter(|other| *other != id).cloned().collect();
                    edits.push(Edit::UseInstruments {
                        programme: programme.clone(),
                        line: at.clone(),
                        instruments: left,
                    });
                }
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(scene.library.instrument_name(id)).truncate());
                });
            });
        });
        let asked = scene.library.line(at).map(|(_, line)| line);
        if let Some(words) = asked.and_then(|line| playing_on::instead(scene.library, line, id)) {
            fact(ui, scene, "", words);
        }
    }
}

fn beaters(
    ui: &mut Ui,
    scene: &Scene<'_>,
    programme: &backrow_core::id::ProgrammeId,
    at: &LineRef,
    given: &backrow_core::week::Assignment,
    edits: &mut Vec<Edit>,
) {
    let library = scene.library;
    let kind = library.line(at).and_then(|(_, line)| line.kind.clone());
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            egui::vec2(64.0, 24.0),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(64.0);
                ui.label(RichText::new("With").font(sans(size::NOTE)).color(scene.tokens.ink2));
            },
        );
        let names: Vec<&str> =
            given.beaters.iter().filter_map(|id| library.beaters.get(id)).map(|b| b.name.as_str()).collect();
        let now = if names.is_empty() { "no beaters yet".to_owned() } else { names.join("; ") };
        let combo = egui::ComboBox::from_id_salt("beaters of line")
            .selected_text(now)
            .width(160.0)
            .truncate()
            .show_ui(ui, |ui| {
                let mut all: Vec<_> = library.beaters.values().collect();
                all.sort_by_key(|b| (!kind.as_ref().is_some_and(|k| b.suits.contains(k)), b.name.clone()));
                for beater in all {
                    let held = given.beaters.contains(&beater.id);
                    if ui.selectable_label(held, &beater.name).clicked() {
                        let mut beaters = given.beaters.clone();
                        if held {
                            beaters.retain(|id| *id != beater.id);
                        } else {
                            beaters.push(beater.id.clone());
                        }
                        edits.push(Edit::UseBeaters {
                            programme: programme.clone(),
                            line: at.clone(),
                            beaters,
                        });
                    }
                }
            });
        combo
            .response
            .widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Beaters of this line"));
    });
}
