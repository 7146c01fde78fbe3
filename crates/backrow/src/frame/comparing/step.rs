//! What a listener hears and answers: two, two and an unknown, or several at once.

use super::{Session, answer, pressed};
use crate::intent::{Intent, Sounded};
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold};
use backrow_core::edit::candidate_words;
use backrow_core::trial::{Answer, Choice, Grade, Step, Trial};
use egui::{Key, RichText, Ui, WidgetInfo, vec2};

/// Draws the step that is next.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    (trial, listener, step): (&Trial, usize, Step),
    session: &mut Session,
) {
    let steps = trial.steps(listener);
    let done = trial.listeners.get(listener).map_or(0, |one| one.answers.len());
    let who = trial.listeners.get(listener).map_or("", |one| one.name.as_str());
    let words = match step {
        Step::Grade { .. } => who.to_owned(),
        _ => format!("{who}: {} of {}", done + 1, steps.len()),
    };
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    ui.add_space(space::S);
    match step {
        Step::Pair(one, other) => pair(ui, scene, (trial, listener), (one, other), session),
        Step::Abx(was) => abx(ui, scene, (trial, listener), was, session),
        Step::Grade { .. } => grades(ui, scene, (trial, listener), (&steps, done), session),
    }
}

/// A sound that is heard under a word; whether all have been heard.
fn sounds(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    trial: &Trial,
    rows: &[(String, usize)],
    session: &mut Session,
) -> bool {
    heard(scene, session, rows.len());
    let keys = [Key::Num1, Key::Num2, Key::Num3];
    ui.horizontal(|ui| {
        for (nth, (word, candidate)) in rows.iter().enumerate() {
            let words = RichText::new(format!("Play {word}")).font(semibold(size::TEXT));
            let button = ui.add(egui::Button::new(words).min_size(vec2(110.0, 40.0)));
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Play {word}")));
            let key = keys.get(nth).is_some_and(|key| pressed(ui, *key));
            if button.on_hover_text(format!("{}", nth + 1)).clicked() || key {
                play(scene, session, trial, (nth, *candidate));
            }
        }
    });
    if !trial.blind {
        let names: Vec<String> = rows
            .iter()
            .filter_map(|(word, at)| {
                Some(format!("{word}: {}", candidate_words(scene.library, trial.candidates.get(*at)?)))
            })
            .collect();
        ui.label(RichText::new(names.join("; ")).font(sans(size::NOTE)).color(scene.tokens.ink2));
    }
    ui.add_space(space::S);
    session.heard.iter().all(|heard| *heard)
}

/// What was asked has been heard once it has begun to sound: pressing alone is not hearing.
fn heard(scene: &Scene<'_>, session: &mut Session, rows: usize) {
    session.heard.resize(rows, false);
    let begun = scene.sound.now().begun;
    if let Some((nth, before)) = session.asked
        && begun > before
    {
        session.asked = None;
        if let Some(heard) = session.heard.get_mut(nth) {
            *heard = true;
        }
    }
}

fn play(scene: &mut Scene<'_>, session: &mut Session, trial: &Trial, (nth, candidate): (usize, usize)) {
    session.asked = Some((nth, scene.sound.now().begun));
    let sounded = Sounded { work: session.work.clone(), trial: trial.id.clone(), candidate };
    scene.ask(Intent::HearCandidate(sounded));
}

/// Buttons for the answers; which was given. Open only when everything has been heard.
fn answers(ui: &mut Ui, is_open: bool, rows: &[(&str, Key, &str)]) -> Option<usize> {
    let mut given = None;
    ui.horizontal(|ui| {
        for (nth, (words, key, key_word)) in rows.iter().enumerate() {
            let button = ui.add_enabled(is_open, egui::Button::new(*words).min_size(vec2(110.0, 32.0)));
            let clicked =
                button.on_hover_text(*key_word).on_disabled_hover_text("Hear all of them first").clicked();
            if clicked || (is_open && pressed(ui, *key)) {
                given = Some(nth);
            }
        }
    });
    given
}

fn pair(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    at: (&Trial, usize),
    (one, other): (usize, usize),
    session: &mut Session,
) {
    let rows = [("the first".to_owned(), one), ("the second".to_owned(), other)];
    let is_open = sounds(ui, scene, at.0, &rows, session);
    let words = [
        ("The first", Key::ArrowLeft, "Left"),
        ("The second", Key::ArrowRight, "Right"),
        ("Neither", Key::ArrowDown, "Down"),
    ];
    let said = answers(ui, is_open, &words).and_then(|nth| Choice::ALL.get(nth).copied());
    if let Some(said) = said {
        answer(scene, session, at, vec![Answer::Pair { one, other, said }]);
    }
}

fn abx(ui: &mut Ui, scene: &mut Scene<'_>, at: (&Trial, usize), was: usize, session: &mut Session) {
    let rows = [("A".to_owned(), 0), ("B".to_owned(), 1), ("X".to_owned(), was)];
    // What X is must not be told by its name.
    let is_open = sounds(ui, scene, &Trial { blind: true, ..at.0.clone() }, &rows, session);
    let words = [("X is A", Key::ArrowLeft, "Left"), ("X is B", Key::ArrowRight, "Right")];
    if let Some(said) = answers(ui, is_open, &words) {
        answer(scene, session, at, vec![Answer::Abx { was, said }]);
    }
}

fn grades(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    at: (&Trial, usize),
    (steps, done): (&[Step], usize),
    session: &mut Session,
) {
    let rows: Vec<(usize, bool)> = steps
        .iter()
        .skip(done)
        .filter_map(|step| match step {
            Step::Grade { candidate, again } => Some((*candidate, *again)),
            _ => None,
        })
        .collect();
    heard(scene, session, rows.len());
    session.grades.resize(rows.len(), super::MIDDLE);
    for (nth, (candidate, _)) in rows.iter().enumerate() {
        ui.horizontal(|ui| {
            let word = format!("Play {}", nth + 1);
            if ui.button(&word).clicked() {
                play(scene, session, at.0, (nth, *candidate));
            }
            if let Some(grade) = session.grades.get_mut(nth) {
                let slider = ui.add(egui::Slider::new(grade, 0.0..=100.0).step_by(1.0).show_value(true));
                let at = *grade;
                slider.widget_info(|| WidgetInfo::slider(true, at, format!("Grade {}", nth + 1)));
            }
            let is_heard = session.heard.get(nth).copied().unwrap_or_default();
            let words = if is_heard { "heard" } else { "not heard yet" };
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
        });
    }
    ui.add_space(space::S);
    let all = session.heard.iter().all(|heard| *heard);
    let words = "Done";
    let clicked = if all {
        primary(ui, &scene.tokens, words).clicked()
    } else {
        ui.add_enabled(false, egui::Button::new(words))
            .on_disabled_hover_text("Hear all of them first")
            .clicked()
    };
    if clicked {
        let given = rows.iter().zip(&session.grades);
        let given = given.map(|((candidate, again), grade)| {
            Answer::Grade(Grade { candidate: *candidate, grade: *grade, again: *again })
        });
        let given: Vec<Answer> = given.collect();
        answer(scene, session, at, given);
    }
}
