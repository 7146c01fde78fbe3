//! The chosen strikes laid over each other: their partials, and how each falls.

use super::known::{Fact, Sounds};
use super::look::{look, plot};
use super::{Here, axes, letter};
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::pitch::{ReferenceA, signed};
use backrow_core::sound::{Known, Measure, Measures, PARTIALS, Partial, PitchHeard};
use egui::{RichText, Ui};
use egui_plot::{Line, PlotPoints};

/// What is drawn of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub(super) enum Drawn {
    /// Each partial's frequency and level at the strike.
    #[default]
    Partials,
    /// The level of all partials together in time, from their decays.
    Decay,
    /// The waves over each other, from their recordings.
    Wave,
    /// The spectrograms over each other.
    Spectrogram,
    /// Every measure as a figure.
    Figures,
}

impl Drawn {
    const ALL: [Self; 5] = [Self::Partials, Self::Decay, Self::Wave, Self::Spectrogram, Self::Figures];

    const fn word(self) -> &'static str {
        match self {
            Self::Partials => "Partials",
            Self::Decay => "Decay",
            Self::Wave => "Wave",
            Self::Spectrogram => "Spectrogram",
            Self::Figures => "Figures",
        }
    }
}

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, sounds: &Sounds, height: f32) {
    let laid: Vec<(&Known, &Fact)> = view
        .own
        .laid
        .iter()
        .filter_map(|laid| sounds.find(&laid.key))
        .map(|(_, known, fact)| (known, fact))
        .collect();
    ui.horizontal_wrapped(|ui| {
        for drawn in Drawn::ALL {
            ui.selectable_value(&mut view.own.drawn, drawn, drawn.word());
        }
        for (nth, (known, fact)) in laid.iter().enumerate() {
            let words =
                format!("{} {}{}", letter(nth), fact.name, if known.by_model { " (model)" } else { "" });
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink));
        }
    });
    match view.own.drawn {
        Drawn::Partials => partials(ui, scene, &laid, height),
        Drawn::Decay => decay(ui, scene, &laid, height),
        Drawn::Wave | Drawn::Spectrogram => {
            super::pictures::ui(ui, scene, view, (view.own.drawn == Drawn::Wave, height));
        }
        Drawn::Figures => figures(ui, scene, &laid, height),
    }
}

fn partials(ui: &mut Ui, scene: &Scene<'_>, laid: &[(&Known, &Fact)], height: f32) {
    let plot = plot("partials of strikes", height, ("Hz", "dB at the strike"), scene.tokens.line)
        .x_grid_spacer(axes::doublings)
        .x_axis_formatter(|mark, _| axes::figure(Measure::Pitch, mark.value));
    let floor = laid
        .iter()
        .flat_map(|(known, _)| &known.measures.partials)
        .map(|partial| partial.db)
        .fold(0.0_f64, f64::min)
        - 6.0;
    plot.show(ui, |plot| {
        for (nth, (known, fact)) in laid.iter().enumerate() {
            let (ink, style) = look(nth);
            // Strikes share frequencies: each stands a little beside the others.
            let aside = nth as f64 * 0.012;
            for partial in &known.measures.partials {
                // Drawn one by one: joined, they would fill what lies between them.
                let at = partial.hz.log2() + aside;
                let points = PlotPoints::from(vec![[at, floor], [at, partial.db]]);
                plot.line(Line::new(fact.name.clone(), points).color(ink).style(style).width(2.0));
            }
        }
    });
}

/// The level of all partials together at a time, dB; the noise of the recording is not in it.
pub(super) fn level(measures: &Measures, at_s: f64) -> Option<f64> {
    let sum: f64 = measures
        .partials
        .iter()
        .map(|partial| {
            let fall = partial.t60_s.map_or(0.0, |t60| 60.0 * at_s / t60.value.max(1e-3));
            10_f64.powf((partial.db - fall) / 10.0)
        })
        .sum();
    (sum > 0.0).then(|| 10.0 * sum.log10())
}

fn decay(ui: &mut Ui, scene: &Scene<'_>, laid: &[(&Known, &Fact)], height: f32) {
    let longest = laid
        .iter()
        .filter_map(|(known, _)| known.measures.ring_s.or(known.measures.early_ring_s))
        .map(|ring| ring.value)
        .fold(0.5_f64, f64::max);
    let plot = plot("decay of strikes", height, ("s", "dB"), scene.tokens.line);
    plot.show(ui, |plot| {
        for (nth, (known, fact)) in laid.iter().enumerate() {
            let (ink, style) = look(nth);
            let points: Vec<[f64; 2]> = (0..=120)
                .filter_map(|step| {
                    let at_s = longest * f64::from(step) / 120.0;
                    Some([at_s, level(&known.measures, at_s)?.max(-120.0)])
                })
                .collect();
            plot.line(
                Line::new(fact.name.clone(), PlotPoints::from(points)).color(ink).style(style).width(2.0),
            );
        }
    });
}

fn figures(ui: &mut Ui, scene: &Scene<'_>, laid: &[(&Known, &Fact)], height: f32) {
    let tokens = scene.tokens;
    let note = |words: String| RichText::new(words).font(sans(size::NOTE));
    egui::ScrollArea::vertical().max_height(height).id_salt("figures").show(ui, |ui| {
        egui::Grid::new("figures of strikes").striped(true).show(ui, |ui| {
            ui.label("");
            for nth in 0..laid.len() {
                ui.label(note(letter(nth)).strong());
            }
            ui.end_row();
            for measure in Measure::ALL {
                ui.label(note(axes::words(measure)).color(tokens.ink2))
                    .on_hover_text(axes::definition(measure));
                for (known, _) in laid {
                    ui.label(note(figure_words(measure, &known.measures, scene.library.orchestra.a)));
                }
                ui.end_row();
            }
        });
        for (nth, (known, _)) in laid.iter().enumerate() {
            listed(ui, scene, (nth, known));
        }
        for (nth, (known, _)) in laid.iter().enumerate() {
            for doubt in &known.measures.doubts {
                let words = note(format!("{}: {doubt}.", letter(nth))).color(tokens.ink2);
                ui.add(egui::Label::new(words).wrap());
            }
        }
    });
}

/// The partials of a strike, each with its figures.
fn listed(ui: &mut Ui, scene: &Scene<'_>, (nth, known): (usize, &Known)) {
    if known.measures.partials.is_empty() {
        return;
    }
    let tokens = scene.tokens;
    let note = |words: String| RichText::new(words).font(sans(size::NOTE));
    ui.add_space(size::NOTE);
    ui.label(note(format!("{} of {}", PARTIALS.name, letter(nth))).color(tokens.ink2))
        .on_hover_text(axes::said(PARTIALS.name, &PARTIALS));
    egui::Grid::new(("figures of partials", nth)).striped(true).show(ui, |ui| {
        for head in ["Hz", "Uncertainty, cents", "dB at the strike", "s to fall by 60\u{202f}dB"] {
            ui.label(note(head.to_owned()).color(tokens.ink2));
        }
        ui.end_row();
        for partial in &known.measures.partials {
            for words in partial_words(partial) {
                ui.label(note(words));
            }
            ui.end_row();
        }
    });
}

/// "523.251", "± 0.04", "−12.3 ± 0.3", "1.82 ± 0.03".
fn partial_words(partial: &Partial) -> [String; 4] {
    let cents = partial.cents_sd();
    let t60 = partial
        .t60_s
        .map_or_else(|| "no fall heard".to_owned(), |t60| with_sd(t60.value, t60.sd, places(t60.sd, 2)));
    [
        format!("{:.*}", places(partial.hz_sd, 2), partial.hz),
        format!("± {cents:.*}", places(cents, 1)),
        format!(
            "{} ± {:.*}",
            signed(partial.db, places(partial.db_sd, 1)),
            places(partial.db_sd, 1),
            partial.db_sd
        ),
        t60,
    ]
}

/// So many decimals that the first figure of an uncertainty is told, no fewer than `least` and no more than four.
fn places(sd: f64, least: usize) -> usize {
    (least..4)
        .find(|places| sd <= 0.0 || sd * 10_f64.powi(i32::try_from(*places).unwrap_or(4)) >= 1.0)
        .unwrap_or(4)
}

fn with_sd(value: f64, sd: f64, places: usize) -> String {
    if sd > 0.0 { format!("{value:.places$} ± {sd:.places$}") } else { format!("{value:.places$}") }
}

/// "523.25 ± 0.01, C5 +0.3 cents".
fn pitch_words(pitch: PitchHeard, a: ReferenceA) -> String {
    let hz = with_sd(pitch.hz.value, pitch.hz.sd, places(pitch.hz.sd, 2));
    let key = pitch.key(a).map(|(key, cents)| {
        let off = signed(cents.value(), places(pitch.cents_sd(), 1));
        let off = if off.starts_with('0') { "0".to_owned() } else { off };
        format!(", {key} {off} cents")
    });
    format!("{hz}{}", key.unwrap_or_default())
}

/// "2400 ± 12"; "not heard".
fn figure_words(measure: Measure, measures: &Measures, a: ReferenceA) -> String {
    if let (Measure::Pitch, Some(pitch)) = (measure, measures.pitch) {
        return pitch_words(pitch, a);
    }
    let Some(figure) = measure.of(measures) else { return "not heard".to_owned() };
    let at = |value: f64| if measure.by_ratio() { value.max(1e-9).log2() } else { value };
    let sd =
        if figure.sd > 0.0 { format!(" ± {}", axes::figure(measure, at(figure.sd))) } else { String::new() };
    format!("{}{sd}", axes::figure(measure, at(figure.value)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::sound::Figure;

    #[test]
    fn pitch_is_told_as_finely_as_it_was_heard() {
        let figure = |value: f64, sd: f64| Figure::new(value, sd).expect("a figure");
        let pitch = |hz: f64, sd: f64| PitchHeard { hz: figure(hz, sd), clarity: figure(0.9, 0.0) };
        let a = ReferenceA::new(442.0).expect("an A");
        assert_eq!(pitch_words(pitch(884.204, 0.003), a), "884.204 ± 0.003, A5 +0.399 cents");
        assert_eq!(pitch_words(pitch(880.0, 1.4), a), "880.00 ± 1.40, A5 −7.9 cents");
    }

    #[test]
    fn every_partial_is_told_with_its_uncertainty() {
        let partial = Partial {
            hz: 523.2511,
            hz_sd: 0.012,
            db: -12.34,
            db_sd: 0.27,
            t60_s: Figure::new(1.823, 0.031),
            bend_db: 0.0,
            heard_db: 30.0,
        };
        assert_eq!(partial_words(&partial), ["523.25", "± 0.04", "−12.3 ± 0.3", "1.82 ± 0.03"]);
        assert_eq!(partial_words(&Partial { t60_s: None, ..partial })[3], "no fall heard");
    }
}
