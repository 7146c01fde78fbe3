//! What came of a trial: the order with its uncertainty, in a small drawing and in words.

use crate::intent::{Intent, Remember};
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::{size, space};
use backrow_core::edit::candidate_words;
use backrow_core::id::WorkId;
use backrow_core::recall::figures;
use backrow_core::trial::{Outcome, Trial};
use egui::{Align2, RichText, Sense, Stroke, Ui, pos2, vec2};

/// How many standard deviations a bar reaches to either side: one in twenty lies outside.
const REACH: f64 = 1.96;

/// Draws it.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, work: &WorkId, trial: &Trial) {
    let tokens = scene.tokens;
    let outcome = trial.outcome();
    let rows: Vec<(usize, f64, f64)> = match &outcome {
        Outcome::Ranked(ranking) => {
            ranking.places.iter().map(|place| (place.candidate, place.strength, REACH * place.sd)).collect()
        }
        Outcome::Graded { grades, own_error } => grades
            .iter()
            .map(|one| (one.candidate, one.mean, REACH * one.sd.or(*own_error).unwrap_or(0.0)))
            .collect(),
        _ => Vec::new(),
    };
    bars(ui, scene, trial, &rows);
    for words in figures(scene.library, trial) {
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    }
    ui.add_space(space::S);
    let best = rows.first().map(|row| row.0);
    let words = best.and_then(|at| trial.candidates.get(at)).map(|one| candidate_words(scene.library, one));
    let words = words.map_or_else(|| "Decide …".to_owned(), |name| format!("Decide on {name} …"));
    ui.horizontal(|ui| {
        if ui.button(words).clicked() {
            scene.ask(Intent::Remember(Remember::DecideFrom(work.clone(), trial.id.clone(), best)));
        }
        let hover = "Partials, decay, waves, spectrograms and figures of the candidates, in Sounds";
        if ui.button("Lay over each other").on_hover_text(hover).clicked() {
            scene.ask(Intent::LayOver(work.clone(), trial.id.clone()));
        }
    });
}

/// A row a candidate: where it stands, and how far that is uncertain.
fn bars(ui: &mut Ui, scene: &Scene<'_>, trial: &Trial, rows: &[(usize, f64, f64)]) {
    let tokens = scene.tokens;
    let low = rows.iter().map(|(_, at, reach)| at - reach).fold(f64::INFINITY, f64::min);
    let high = rows.iter().map(|(_, at, reach)| at + reach).fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high > low) {
        return;
    }
    for (candidate, at, reach) in rows {
        let name = trial
            .candidates
            .get(*candidate)
            .map(|one| candidate_words(scene.library, one))
            .unwrap_or_default();
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::hover());
        let (left, right) = rect.split_left_right_at_fraction(0.45);
        let painter = ui.painter();
        crate::theme::marks::text_within(
            painter,
            left,
            Align2::LEFT_CENTER,
            &name,
            sans(size::TEXT),
            tokens.ink,
        );
        #[expect(clippy::cast_possible_truncation, reason = "a share of the width")]
        let x =
            |value: f64| right.left() + right.width() * (0.04 + 0.92 * ((value - low) / (high - low))) as f32;
        let y = right.center().y;
        let ends = [pos2(x(at - reach), y), pos2(x(at + reach), y)];
        painter.line_segment(ends, Stroke::new(2.0, tokens.ink2));
        for end in ends {
            painter.line_segment([end - vec2(0.0, 4.0), end + vec2(0.0, 4.0)], Stroke::new(2.0, tokens.ink2));
        }
        painter.circle_filled(pos2(x(*at), y), 4.5, tokens.ink);
    }
    let words = "Bars reach as far as one in twenty lies outside.";
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
}
