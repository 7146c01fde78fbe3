//! The orchestra: its name, its A and temperature, and the section's habits for moves.

mod figures;
mod form;

pub(super) use form::Form;

use crate::drafts::{Forms, Outcome, Refusal, Typed};
use crate::scene::Scene;
use crate::terms;
use crate::theme::tokens::space;
use crate::theme::widgets::{primary, trouble};
use backrow_core::collection::Side;
use backrow_core::days::{Clock, Days, Order};
use backrow_core::edit::Edit;
use backrow_core::library::Orchestra;
use backrow_core::timpani::Aim;
use egui::{RichText, Ui};
use figures::Figure;
use jiff::civil::date;

/// Draws the form; it is always open here, as there is one orchestra.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, forms: &mut Forms<Form>) {
    // What was typed stays whatever else changes; what was not follows the library.
    forms.resume();
    let form = forms.take().filter(|form| !form.is_of_before(scene.library));
    let mut form = form.unwrap_or_else(|| Form::of(&scene.library.orchestra));
    let mut saves = head(ui, scene, &mut form);
    form.error.ui(ui, &scene.tokens, || form.slip());
    ui.add_space(space::XS);
    egui::ScrollArea::vertical().id_salt("orchestra").auto_shrink([false, false]).show(ui, |ui| {
        saves |= fields(ui, scene, &mut form);
    });
    if saves {
        save(scene, &mut form);
    }
    forms.end(form, Outcome::GoesOn);
}

/// The buttons, above what scrolls, so that they are in sight in a window of any height. Whether it is saved.
fn head(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) -> bool {
    let keyed = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
    let clicked = ui.horizontal(|ui| {
        let hover = "Enter in the name, or Ctrl Enter";
        let saves = primary(ui, &scene.tokens, "Save").on_hover_text(hover).clicked();
        if form.has_changed() {
            ui.label(RichText::new("Not saved yet").color(scene.tokens.care));
            if ui.button("Discard what was typed").clicked() {
                *form = Form::of(&scene.library.orchestra);
            }
        }
        if ui.button("Restore defaults").clicked() {
            form.restore_defaults();
        }
        saves
    });
    keyed || clicked.inner
}

fn save(scene: &mut Scene<'_>, form: &mut Form) {
    let saved = form.read().and_then(|orchestra| {
        scene.try_edit(Edit::SetOrchestra(orchestra.clone()))?;
        Ok(orchestra)
    });
    match saved {
        Ok(orchestra) => *form = Form::of(&orchestra),
        Err(why) => form.error = Refusal::of(why, &form.slip()),
    }
}

/// The fields; whether Enter in a line saves them.
fn fields(ui: &mut Ui, scene: &mut Scene<'_>, form: &mut Form) -> bool {
    let mut saves = false;
    egui::Grid::new("orchestra").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
        let orchestra = &mut form.orchestra;
        for (word, text, width, note) in [
            ("Orchestra", &mut orchestra.name, 280.0, ""),
            ("Currency", &mut orchestra.currency, 64.0, "of what hires cost: EUR, £"),
        ] {
            let label = ui.label(word);
            ui.horizontal(|ui| {
                let field = ui.add(egui::TextEdit::singleline(text).desired_width(width));
                let field = field.labelled_by(label.id);
                saves |= field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
                note_beside(ui, scene, note);
            });
            ui.end_row();
        }
        let label = ui.label("Time zone");
        ui.horizontal(|ui| {
            if let Some(zone) = crate::zone_choice::zone_choice(ui, "Time zone", &orchestra.zone, label.id) {
                orchestra.zone = zone;
            }
            note_beside(ui, scene, "of calendars in and out");
        });
        ui.end_row();
        days(ui, scene, orchestra);
        saves |= rows(ui, scene, form, figures::PITCH);
        saves |= rows(ui, scene, form, figures::MOVES);
    });
    saves |= timpani(ui, scene, form);
    saves |= wishes(ui, scene, form);
    ui.add_space(space::M);
    saves
}

/// How days and hours are shown, on screen and on paper.
fn days(ui: &mut Ui, scene: &Scene<'_>, orchestra: &mut Orchestra) {
    let at = date(2027, 10, 12).at(19, 30, 0, 0);
    let here = scene.library.here.lasting();
    ui.label("Days");
    ui.horizontal_wrapped(|ui| {
        let words = format!("as on this computer ({})", here.day(at.date()));
        ui.radio_value(&mut orchestra.order, None, words);
        for order in Order::ALL {
            ui.radio_value(&mut orchestra.order, Some(order), Days { order, ..here }.day(at.date()));
        }
    });
    ui.end_row();
    ui.label("Hours");
    ui.horizontal_wrapped(|ui| {
        let words = format!("as on this computer ({})", here.hour(at.time()));
        ui.radio_value(&mut orchestra.clock, None, words);
        for clock in Clock::ALL {
            ui.radio_value(&mut orchestra.clock, Some(clock), Days { clock, ..here }.hour(at.time()));
        }
    });
    ui.end_row();
}

/// What is to be known of a field, in the same cell, so that a wide field in another row does not push it away.
fn note_beside(ui: &mut Ui, scene: &Scene<'_>, note: &str) {
    ui.add(egui::Label::new(RichText::new(note).color(scene.tokens.ink2)).wrap());
}

/// A row for each figure, with what is wrong with it beside it; whether Enter in one saves.
fn rows(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form, figures: &[Figure]) -> bool {
    let mut saves = false;
    for figure in figures {
        let label = ui.label(figure.word);
        ui.horizontal_wrapped(|ui| {
            let edit = egui::TextEdit::singleline(form.text(figure)).desired_width(64.0);
            let field = ui.add(edit).labelled_by(label.id);
            saves |= field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            // Half a figure is no mistake yet.
            match form.trouble(figure).filter(|_| !field.has_focus()) {
                Some(why) => trouble(ui, &scene.tokens, &why),
                None => note_beside(ui, scene, figure.note),
            }
            if let Some(word) = terms::of_figure(figure.key) {
                terms::term(ui, &scene.tokens, word);
            }
        });
        ui.end_row();
    }
    saves
}

fn heading(ui: &mut Ui, scene: &Scene<'_>, words: &str) {
    ui.add_space(space::M);
    let font = crate::theme::serif(crate::theme::tokens::size::HEADING);
    ui.label(RichText::new(words).font(font).color(scene.tokens.ink));
}

/// How timpani stand, how long they take to retune, and what a tuning plan puts first.
fn timpani(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) -> bool {
    heading(ui, scene, "Timpani");
    ui.add_space(space::XS);
    let mut saves = false;
    egui::Grid::new("timpani habits").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
        saves = rows(ui, scene, form, figures::TIMPANI);
        let habits = &mut form.orchestra.timpani;
        ui.label("The low drum stands at the player’s");
        ui.horizontal(|ui| {
            for side in Side::ALL {
                ui.radio_value(&mut habits.low_drum, side, side.word());
            }
        });
        ui.end_row();
        terms::field(ui, "A tuning plan has the");
        ui.horizontal(|ui| {
            for aim in Aim::ALL {
                ui.radio_value(&mut habits.aim, aim, aim.word());
            }
        });
        ui.end_row();
    });
    saves
}

/// What assignments should be like, in points: fewer are better.
fn wishes(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) -> bool {
    heading(ui, scene, "What assignments should be like");
    let words = "Penalty points. The proposal with the fewest is shown; 0 switches a preference off.";
    ui.label(RichText::new(words).color(scene.tokens.ink2));
    ui.add_space(space::XS);
    let grid = egui::Grid::new("wishes").num_columns(2).spacing([16.0, 6.0]);
    grid.show(ui, |ui| rows(ui, scene, form, figures::WISHES)).inner
}
