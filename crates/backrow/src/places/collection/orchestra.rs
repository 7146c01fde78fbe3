//! The orchestra: its name, its A and temperature, and the section's habits for moves.

use crate::drafts::shelf::Slip;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::terms;
use crate::theme::tokens::space;
use crate::theme::widgets::primary;
use backrow_core::collection::Side;
use backrow_core::days::{Clock, Days, Order};
use backrow_core::edit::Edit;
use backrow_core::library::{Habits, Library, Orchestra, TimpaniHabits};
use backrow_core::pitch::ReferenceA;
use backrow_core::rota::Wishes;
use backrow_core::timpani::Aim;
use backrow_files::library::Held;
use egui::{RichText, Ui};
use jiff::civil::date;

/// The fields as typed, until they are kept.
pub(super) struct Draft {
    /// The settings that it began with.
    began: Orchestra,
    orchestra: Orchestra,
    a: f64,
}

impl Draft {
    fn of(orchestra: &Orchestra) -> Self {
        Self { began: orchestra.clone(), a: orchestra.a.value(), orchestra: orchestra.clone() }
    }

    /// As it is kept on disk.
    pub(super) fn slip(&self) -> Option<Slip> {
        let slip = Slip::of("orchestra", &Held::Orchestra(Box::new(self.orchestra.clone())))?;
        Some(slip.with("a", self.a))
    }

    /// What was kept on disk.
    pub(super) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let Held::Orchestra(orchestra) = slip.held()? else { return None };
        let a = slip.field("a").parse().unwrap_or_else(|_bad| orchestra.a.value());
        Some(Self { began: (*library.orchestra).clone(), orchestra: *orchestra, a })
    }

    /// Whether something was typed that the library does not have.
    pub(super) fn has_changed(&self) -> bool {
        self.orchestra != self.began || (self.a - self.began.a.value()).abs() > 1e-9
    }
}

/// Draws the fields.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut Option<Draft>) {
    // What was typed stays whatever else changes; what was not follows the library.
    let follows =
        state.as_ref().is_none_or(|draft| !draft.has_changed() && draft.began != *scene.library.orchestra);
    if follows {
        *state = Some(Draft::of(&scene.library.orchestra));
    }
    let Some(draft) = state else { return };
    let mut saves = head(ui, scene, draft);
    ui.add_space(space::XS);
    egui::ScrollArea::vertical().id_salt("orchestra").auto_shrink([false, false]).show(ui, |ui| {
        saves |= fields(ui, scene, draft);
    });
    if saves {
        save(scene, draft);
    }
}

/// The buttons, above what scrolls, so that they are in sight in a window of any height. Whether it is saved.
fn head(ui: &mut Ui, scene: &Scene<'_>, draft: &mut Draft) -> bool {
    let keyed = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
    let clicked = ui.horizontal(|ui| {
        let hover = "Enter in the name, or Ctrl Enter";
        let saves = primary(ui, &scene.tokens, "Save").on_hover_text(hover).clicked();
        if draft.has_changed() {
            ui.label(RichText::new("Not saved yet").color(scene.tokens.care));
            if ui.button("Discard what was typed").clicked() {
                *draft = Draft::of(&scene.library.orchestra);
            }
        }
        if ui.button("Restore defaults").clicked() {
            draft.orchestra.habits = Habits::default();
            draft.orchestra.wishes = Wishes::default();
            draft.orchestra.timpani = TimpaniHabits::default();
        }
        saves
    });
    keyed || clicked.inner
}

fn save(scene: &mut Scene<'_>, draft: &mut Draft) {
    let saved = ReferenceA::new(draft.a).map_err(|why| why.to_string()).and_then(|a| {
        let orchestra = Orchestra { a, ..draft.orchestra.clone() };
        scene.try_edit(Edit::SetOrchestra(orchestra.clone()))?;
        Ok(orchestra)
    });
    match saved {
        Ok(orchestra) => *draft = Draft::of(&orchestra),
        Err(why) => scene.ask(Intent::Fail(why)),
    }
}

/// The fields; whether Enter in a line saves them.
fn fields(ui: &mut Ui, scene: &mut Scene<'_>, draft: &mut Draft) -> bool {
    let orchestra = &mut draft.orchestra;
    let mut saves = false;
    egui::Grid::new("orchestra").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
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
        figures(ui, scene, (&mut *orchestra, &mut draft.a));
    });
    timpani(ui, scene, &mut orchestra.timpani);
    wishes(ui, scene, &mut orchestra.wishes);
    ui.add_space(space::M);
    saves
}

/// How days and hours are shown, on screen and on paper.
fn days(ui: &mut Ui, scene: &Scene<'_>, orchestra: &mut Orchestra) {
    let at = date(2027, 10, 12).at(19, 30, 0, 0);
    let here = scene.library.here.lasting();
    ui.label("Days");
    ui.horizontal(|ui| {
        let words = format!("as on this computer ({})", here.day(at.date()));
        ui.radio_value(&mut orchestra.order, None, words);
        for order in Order::ALL {
            ui.radio_value(&mut orchestra.order, Some(order), Days { order, ..here }.day(at.date()));
        }
    });
    ui.end_row();
    ui.label("Hours");
    ui.horizontal(|ui| {
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
    ui.label(RichText::new(note).color(scene.tokens.ink2));
}

/// The A, the temperature and the section's habits for moves.
fn figures(ui: &mut Ui, scene: &Scene<'_>, (orchestra, a): (&mut Orchestra, &mut f64)) {
    let h = &mut orchestra.habits;
    let rows: [(&str, &mut f64, std::ops::RangeInclusive<f64>, &str); 12] = [
        ("A, Hz", a, 380.0..=500.0, ""),
        ("On stage, °C", &mut orchestra.celsius, -10.0..=45.0, ""),
        ("Walking pace, m/s", &mut h.pace_m_s, 0.1..=5.0, "1.2 is the fast end of players’ rule of thumb"),
        ("To settle after a walk, s", &mut h.settle_s, 0.0..=30.0, "common practice"),
        ("To change beaters, s", &mut h.change_s, 0.0..=30.0, "players’ rule of thumb, 1 to 2"),
        (
            "To pick up cymbals or put them down, s",
            &mut h.cymbals_s,
            0.0..=30.0,
            "without a sound; players’ rule of thumb, 2 to 4",
        ),
        (
            "Between two and four mallets, s",
            &mut h.four_mallets_s,
            0.0..=30.0,
            "players’ rule of thumb, 3 to 5",
        ),
        ("To pick up a bow or put it down, s", &mut h.bow_s, 0.0..=30.0, "players’ rule of thumb, 2 to 3"),
        ("To put on gloves or take them off, s", &mut h.gloves_s, 0.0..=60.0, "our own figure, no source"),
        (
            "Where there is no floor plan, m",
            &mut h.default_distance_m,
            0.0..=30.0,
            "used where nothing is known, and marked as assumed",
        ),
        ("Narrowest gangway, m", &mut h.way_m, 0.3..=3.0, "local rules may ask for more"),
        (
            "Reach with a stick, m",
            &mut h.reach_m,
            0.3..=2.0,
            "from the middle of the body; our own figure, no source",
        ),
    ];
    for (word, value, range, note) in rows {
        let label = ui.label(word);
        ui.horizontal(|ui| {
            ui.add(egui::DragValue::new(value).range(range).speed(0.1).max_decimals(2)).labelled_by(label.id);
            note_beside(ui, scene, note);
            if word.contains("gangway") {
                terms::term(ui, &scene.tokens, "gangway");
            }
        });
        ui.end_row();
    }
}

/// How timpani stand, how long they take to retune, and what a tuning plan puts first.
fn timpani(ui: &mut Ui, scene: &Scene<'_>, habits: &mut TimpaniHabits) {
    ui.add_space(space::M);
    ui.label(
        RichText::new("Timpani")
            .font(crate::theme::serif(crate::theme::tokens::size::HEADING))
            .color(scene.tokens.ink),
    );
    ui.add_space(space::XS);
    egui::Grid::new("timpani habits").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
        let rows: [(&str, &mut f64, &str); 2] = [
            ("To retune a drum by pedal, s", &mut habits.pedal_s, "players’ rule of thumb, 1 to 2"),
            ("To retune a drum by hand screws, s", &mut habits.screws_s, "players’ rule of thumb, 10 to 20"),
        ];
        for (word, value, note) in rows {
            let label = ui.label(word);
            ui.horizontal(|ui| {
                ui.add(egui::DragValue::new(value).range(0.1..=300.0).speed(0.1).max_decimals(1))
                    .labelled_by(label.id);
                note_beside(ui, scene, note);
            });
            ui.end_row();
        }
        ui.label("The low drum stands at the player’s");
        ui.horizontal(|ui| {
            for side in Side::ALL {
                ui.radio_value(&mut habits.low_drum, side, side.word());
            }
        });
        ui.end_row();
        ui.label("A tuning plan has the");
        ui.horizontal(|ui| {
            for aim in Aim::ALL {
                ui.radio_value(&mut habits.aim, aim, aim.word());
            }
        });
        ui.end_row();
    });
}

/// What assignments should be like, in points: fewer are better.
fn wishes(ui: &mut Ui, scene: &Scene<'_>, wishes: &mut Wishes) {
    ui.add_space(space::M);
    ui.label(
        RichText::new("What assignments should be like")
            .font(crate::theme::serif(crate::theme::tokens::size::HEADING))
            .color(scene.tokens.ink),
    );
    let words = "Penalty points. The proposal with the fewest is shown; 0 switches a preference off.";
    ui.label(RichText::new(words).color(scene.tokens.ink2));
    ui.add_space(space::XS);
    egui::Grid::new("wishes").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
        let rows: [(&str, &mut u32); 9] = [
            ("An instrument passes to another player", &mut wishes.stay),
            ("A printed part passes to another player", &mut wishes.part),
            ("A line is not with the player who had it last time", &mut wishes.last_time),
            ("A line goes to another player than it has now", &mut wishes.near),
            ("A line that you assigned by hand goes to another player", &mut wishes.by_hand),
            ("A metre walked", &mut wishes.walk),
            ("A minute that the busiest player plays above the average", &mut wishes.load),
            ("An exposed line above the average", &mut wishes.exposure),
            ("An extra engaged", &mut wishes.extra),
        ];
        for (word, value) in rows {
            let label = ui.label(word);
            ui.add(egui::DragValue::new(value).range(0..=1000)).labelled_by(label.id);
            ui.end_row();
        }
    });
}
