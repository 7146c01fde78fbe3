//! The head of the review: title and composer, what is kept, the movements with their tempo lines, and what was not read.

use super::keep::keep;
use super::{Editor, Origin};
use crate::drafts::Outcome;
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::reorder::{Way, moved};
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold, serif};
use crate::words::minutes;
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo};

/// Draws the head and says what becomes of the review.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, editor: &mut Editor) -> Outcome {
    let tokens = scene.tokens;
    ui.horizontal(|ui| {
        for (word, text) in [("Title", &mut editor.work.title), ("Composer", &mut editor.work.composer)] {
            let label = ui.label(RichText::new(word).color(tokens.ink2));
            let field = ui.add(egui::TextEdit::singleline(text).desired_width(230.0)).labelled_by(label.id);
            if std::mem::take(&mut editor.wants_title) {
                field.request_focus();
            }
        }
        if let Origin::Score(file) = &editor.origin {
            ui.label(RichText::new(format!("read from {file}")).font(sans(size::NOTE)).color(tokens.ink2));
        }
    });
    let mut outcome = Outcome::GoesOn;
    ui.horizontal_wrapped(|ui| {
        let taken = editor.taken();
        let lines = if taken == 1 { "1 line".to_owned() } else { format!("{taken} lines") };
        let update = editor.against.as_ref().is_some_and(|against| against.update);
        let words = match &editor.origin {
            Origin::Score(_) if update => format!("Update with {lines}"),
            Origin::Score(_) => format!("Import {lines}"),
            Origin::Library(_) => "Save the changes".to_owned(),
            Origin::New => format!("Add the work with {lines}"),
        };
        let enter = ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        if primary(ui, &scene.tokens, &words).on_hover_text("Ctrl Enter").clicked() || enter {
            outcome = if keep(scene, view, editor) { Outcome::Saved } else { Outcome::GoesOn };
        }
        if ui
            .button("Cancel")
            .on_hover_text("Esc: nothing enters the library; you can resume later")
            .clicked()
        {
            outcome = Outcome::Left;
        }
        let back = ui.add_enabled(!editor.before.is_empty(), egui::Button::new("Undo here"));
        if back.on_hover_text("Ctrl Z: undoes the last change made here").clicked() {
            editor.back();
        }
        let unclear = editor.unclear();
        if unclear > 0 {
            let words = match unclear {
                1 => "1 line has no kind yet: choose it".to_owned(),
                n => format!("{n} lines have no kind yet: choose them"),
            };
            ui.label(RichText::new(words).font(semibold(size::NOTE)).color(tokens.care));
        }
        if !editor.said.is_empty() {
            ui.label(RichText::new(&editor.said).font(sans(size::NOTE)).color(tokens.ink));
        }
    });
    against(ui, scene, editor);
    ui.add_space(space::XS);
    outcome
}

/// The work that the library has already, what differs, and what would be lost.
fn against(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor) {
    let Some(against) = &mut editor.against else { return };
    let tokens = scene.tokens;
    let line = |ui: &mut Ui, words: &str, ink| {
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(ink)).wrap());
    };
    ui.horizontal_wrapped(|ui| {
        let lines = match against.differs.len() + against.lost.len() {
            0 => "what it has of this reading is the same".to_owned(),
            1 => "1 line differs".to_owned(),
            n => format!("{n} lines differ"),
        };
        let words = format!("The library has {} already; {lines}.", against.title);
        ui.label(RichText::new(words).font(semibold(size::NOTE)).color(tokens.ink));
        let keeps =
            "Movement by movement: what is assigned stays with its line, other movements stay as they are";
        ui.radio_value(&mut against.update, true, "Update it").on_hover_text(keeps);
        ui.radio_value(&mut against.update, false, "Import as a separate work");
    });
    if !against.movements.is_empty() {
        line(ui, &against.movements, tokens.ink2);
    }
    for differs in &against.differs {
        line(ui, differs, tokens.ink2);
    }
    if against.update && !against.lost.is_empty() {
        line(ui, "The reading does not hold these lines; updating the work removes them:", tokens.care);
        for lost in &against.lost {
            line(ui, lost, tokens.care);
        }
    }
}

/// The movements as tabs, the one that is shown with its number, title and tempo lines.
pub(super) fn movement(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor) {
    let tokens = scene.tokens;
    ui.horizontal_wrapped(|ui| {
        let (mut to, mut by) = (None, None);
        let count = editor.work.movements.len();
        for (at, movement) in editor.work.movements.iter().enumerate() {
            let heading = movement.heading();
            let heading = if heading.is_empty() { "whole work".to_owned() } else { heading };
            let words = format!("{heading}  {}", minutes(movement.timeline.end_s));
            let text = RichText::new(words).font(serif(15.0));
            let tab =
                egui::Button::selectable(at == editor.movement, text).sense(egui::Sense::click_and_drag());
            let response = ui.add(tab);
            response.widget_info(|| {
                WidgetInfo::selected(
                    egui::Role::Tab,
                    true,
                    at == editor.movement,
                    format!("Movement {heading}"),
                )
            });
            let list = (egui::Id::unique("movements under review"), Way::Across);
            by = by.or(moved(ui, list, (at, count), &response, &tokens));
            if response.on_hover_text("Drag it to another place, or Alt with the arrows").clicked() {
                to = Some(at);
            }
        }
        if let Some((from, to)) = by {
            editor.step();
            editor.work.move_movement(from, to);
            editor.turn_to(to);
        }
        if let Some(to) = to {
            editor.turn_if_read(to);
        }
        if ui.button("Add a movement").clicked() {
            editor.add_movement();
        }
        let several = editor.work.movements.len() > 1;
        let remove = ui.add_enabled(several, egui::Button::new("Remove it"));
        if remove.on_hover_text("With its lines; Undo here brings it back").clicked() {
            editor.remove_movement();
        }
        let follows = editor.movement + 1 < editor.work.movements.len();
        let merge = ui.add_enabled(follows, egui::Button::new("Merge with the next"));
        if merge.on_hover_text("The two become one movement, with the name of this one").clicked() {
            editor.merge_movement();
        }
    });
    let at = editor.movement;
    if let Some(movement) = editor.work.movements.get_mut(at) {
        ui.horizontal(|ui| {
            for (word, text, width) in
                [("Number", &mut movement.number, 60.0), ("Movement’s title", &mut movement.title, 260.0)]
            {
                let label = ui.label(RichText::new(word).color(tokens.ink2));
                ui.add(egui::TextEdit::singleline(text).desired_width(width)).labelled_by(label.id);
            }
        });
    }
    cut(ui, scene, editor);
    tempo(ui, scene, editor);
}

/// Where the shown movement is to be cut in two.
fn cut(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor) {
    if editor.shown().is_some_and(|movement| movement.timeline.measures.len() > 1) {
        ui.horizontal(|ui| {
            let label = ui.label(RichText::new("Cut the movement before measure").color(scene.tokens.ink2));
            let field = egui::TextEdit::singleline(&mut editor.cut_at).desired_width(60.0);
            let field = ui.add(field).labelled_by(label.id);
            let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            let may = !editor.cut_at.trim().is_empty();
            let cut = ui.add_enabled(may, egui::Button::new("Cut it there"));
            if (cut.clicked() || enter) && may {
                editor.cut_movement();
            }
        });
    }
}

fn tempo(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor) {
    let tokens = scene.tokens;
    let measures = editor.shown().map_or(0, |m| m.timeline.measures.len());
    let words = if measures == 0 {
        "Tempo lines: none yet".to_owned()
    } else {
        format!("Tempo lines: {measures} measures as played")
    };
    let open = measures == 0 || !editor.tempo_error.is_empty();
    egui::CollapsingHeader::new(words).id_salt(("tempo", editor.movement)).default_open(open).show(
        ui,
        |ui| {
            let rows = editor.tempo.lines().count().clamp(2, 8);
            let field = egui::TextEdit::multiline(&mut editor.tempo)
                .desired_rows(rows)
                .desired_width(ui.available_width() - 24.0)
                .hint_text("1-64 4/4 1/4=112 Allegro pesante [A]");
            let response = ui.add(field);
            response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Tempo lines"));
            if response.gained_focus() {
                editor.step();
            }
            if response.lost_focus() || (response.changed() && editor.tempo_error.is_empty()) {
                let old = editor.tempo_error.clone();
                editor.take_tempo();
                // While one types, only what was right before is called wrong.
                if response.has_focus() && old.is_empty() && !editor.tempo_error.is_empty() {
                    editor.tempo_error.clear();
                }
            }
            if editor.tempo_error.is_empty() {
                let hint = "One line per section, in playing order: measures, metre, tempo (1/4=112; 1/4.=56 dotted), [rehearsal letter], \
                            +2s for a hold, words. Anything left out carries over; type a repeat again.";
                ui.label(RichText::new(hint).font(sans(size::NOTE)).color(tokens.ink2));
            } else {
                ui.label(RichText::new(&editor.tempo_error).font(sans(size::NOTE)).color(tokens.clash));
            }
        },
    );
}

/// What was not read, or guessed.
pub(super) fn problems(ui: &mut Ui, scene: &Scene<'_>, editor: &Editor) {
    if editor.problems.is_empty() {
        return;
    }
    ui.add_space(space::M);
    ui.label(RichText::new("Not read, or guessed").font(serif(size::HEADING)).color(scene.tokens.ink));
    for problem in &editor.problems {
        let words = RichText::new(problem).font(sans(size::NOTE)).color(scene.tokens.ink2);
        ui.add(egui::Label::new(words).wrap());
    }
}
