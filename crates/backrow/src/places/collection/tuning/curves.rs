//! Surveys as curves along the compass: cents from the target with the tolerance as a band, or the second partial from its usual
//! place. The newest is drawn whole, older ones broken, so that they are told apart without colour.

use super::super::bench::Bench;
use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::{Tokens, size};
use backrow_core::care::{Bar, Care, Survey};
use backrow_core::collection::Instrument;
use backrow_core::days::Days;
use backrow_core::id::InstrumentId;
use backrow_core::pitch::{KeyNumber, signed};
use backrow_core::tuning::usual;
use backrow_core::upkeep::target;
use egui::{RichText, Ui, WidgetInfo};
use egui_plot::{Axis, GridMark, HLine, Line, LineStyle, MarkerShape, Plot, PlotPoints, Points, Span};

/// Curves by their days, the oldest first.
type Drawn = Vec<(String, Vec<(Bar, f64)>)>;

/// Curves of an instrument, remembered by the library's revision, by whether they are of the second partial, and by the survey that
/// was chosen.
pub(in crate::places::collection) type Curves = Memo<(u64, InstrumentId, bool, usize), Drawn>;

/// As many surveys are drawn at once: the newest, and one that was chosen among older ones.
const MOST: usize = 5;

/// A band outside which a second partial is told, as a multiple of the tolerance.
const SECOND: f64 = backrow_core::care::UPPER_TOLERANCE;

/// Draws the curves and the line that chooses between them.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench, (thing, care): (&Instrument, &Care)) {
    let usual = usual::of_kind(thing.kind.as_str());
    let has_second =
        usual.is_some() && care.surveys.iter().any(|s| s.readings.iter().any(|r| r.second_hz.is_some()));
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Curve of").color(scene.tokens.ink2));
        ui.selectable_value(&mut bench.second, false, "first partial");
        ui.add_enabled_ui(has_second, |ui| {
            ui.selectable_value(&mut bench.second, true, "second partial");
        });
        ui.add_space(12.0);
        ui.label(RichText::new("Survey").color(scene.tokens.ink2));
        let latest = care.surveys.len().saturating_sub(1);
        let chosen = bench.survey.filter(|at| *at <= latest).unwrap_or(latest);
        for (at, survey) in care.surveys.iter().enumerate() {
            if ui.selectable_label(at == chosen, scene.library.days().day(survey.on)).clicked() {
                bench.survey = (at != latest).then_some(at);
            }
        }
    });
    let second = bench.second && has_second;
    let a = target(scene.library, thing);
    let usual = usual.filter(|_| second);
    let latest = care.surveys.len().saturating_sub(1);
    let chosen = bench.survey.filter(|at| *at <= latest).unwrap_or(latest);
    let key = (scene.revision, thing.id.clone(), second, chosen);
    let curves = bench.curves.get(key, || {
        of_surveys(scene.library.days(), care, chosen, |survey| match usual {
            Some(usual) => survey.second_curve(usual.second),
            None => survey.curve(a),
        })
    });
    let band = care.tolerance() * if second { SECOND } else { 1.0 };
    draw(ui, &scene.tokens, &thing.name, (curves, band));
    let words = match usual {
        Some(usual) => format!(
            "Second partial against {} times the first, the usual place ({}). Band: {band:.0} cents.",
            usual.second, usual.source
        ),
        None => format!(
            "First partial against A {}\u{202F}Hz in equal temperament. Band: tolerance, {band:.0} cents.",
            a.value()
        ),
    };
    let words = format!("{words} {}", legend(curves));
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
}

/// Which of so many surveys are drawn, the oldest first: the newest, and in the place of the oldest of them a chosen older one.
fn drawn(surveys: usize, chosen: usize) -> Vec<usize> {
    let first = surveys.saturating_sub(MOST);
    let rest = if chosen < first { first + 1 } else { first };
    (chosen < first).then_some(chosen).into_iter().chain(rest..surveys).collect()
}

/// Those surveys by their days, each as a curve.
fn of_surveys(days: Days, care: &Care, chosen: usize, curve: impl Fn(&Survey) -> Vec<(Bar, f64)>) -> Drawn {
    let all = drawn(care.surveys.len(), chosen).into_iter().filter_map(|at| care.surveys.get(at));
    all.map(|survey| (days.day(survey.on), curve(survey))).collect()
}

/// Which curve is which, in words: the plot needs no box for it.
fn legend(curves: &Drawn) -> String {
    let ways = ["Drawn whole", "long dashes", "short dashes", "close dots", "wide dots"];
    let words = ways.iter().zip(curves.iter().rev()).map(|(way, (day, _))| format!("{way}: {day}"));
    format!("{}. A red diamond lies outside the band.", words.collect::<Vec<_>>().join("; "))
}

fn draw(ui: &mut Ui, tokens: &Tokens, name: &str, (curves, band): (&Drawn, f64)) {
    let t = *tokens;
    let plot = Plot::new(("survey", name.to_owned()))
        .height(230.0)
        .allow_scroll(false)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .include_y(-band * 1.6)
        .include_y(band * 1.6)
        .y_axis_label("cents")
        .y_grid_spacer(egui_plot::uniform_grid_spacer(move |_| [band * 4.0, band, band / 5.0]))
        .y_axis_formatter(|mark, _| signed(mark.value, 0))
        .grid_color(t.line)
        .x_grid_spacer(|input| octaves(input.bounds))
        .x_axis_formatter(|mark, _| key_of(mark.value).map_or_else(String::new, |key| key.to_string()))
        .label_formatter(label);
    let newest = curves.len().saturating_sub(1);
    let shown = plot.show(ui, |plot| {
        plot.span(
            Span::new("", -band..=band).axis(Axis::Y).fill(t.sunken).border_width(0.0).border_color(t.line),
        );
        plot.hline(HLine::new("target", 0.0).color(t.ink3).width(1.0).allow_hover(false));
        for (at, (day, curve)) in curves.iter().enumerate() {
            let points = || -> PlotPoints<'_> {
                curve.iter().map(|(bar, cents)| [f64::from(bar.key.number()), *cents]).collect()
            };
            let age = newest - at;
            let (ink, width) = if age == 0 { (t.ink, 2.0) } else { (t.ink2, 1.2) };
            plot.line(Line::new(day.clone(), points()).color(ink).width(width).style(style(age)));
            if age == 0 {
                plot.points(
                    Points::new(day.clone(), points()).color(ink).radius(2.6).shape(MarkerShape::Circle),
                );
                let outside: PlotPoints<'_> = curve
                    .iter()
                    .filter(|(_, cents)| cents.abs() > band)
                    .map(|(bar, cents)| [f64::from(bar.key.number()), *cents])
                    .collect();
                let marks =
                    Points::new("outside", outside).color(t.clash).radius(5.0).shape(MarkerShape::Diamond);
                plot.points(marks);
            }
        }
    });
    let outside =
        curves.last().map_or(0, |(_, curve)| curve.iter().filter(|(_, cents)| cents.abs() > band).count());
    let says =
        format!("Curves of {name}: {} surveys, {outside} bars of the latest outside the band", curves.len());
    shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, says.clone()));
}

/// Older curves are broken, each in its own way.
const fn style(age: usize) -> LineStyle {
    match age {
        0 => LineStyle::Solid,
        1 => LineStyle::Dashed { length: 8.0 },
        2 => LineStyle::Dashed { length: 4.0 },
        3 => LineStyle::Dotted { spacing: 5.0 },
        _ => LineStyle::Dotted { spacing: 11.0 },
    }
}

fn key_of(value: f64) -> Option<KeyNumber> {
    #[expect(clippy::cast_possible_truncation, reason = "a key number on the axis, or none")]
    let number = value.round() as i32;
    KeyNumber::new(number).ok()
}

/// A mark at every C, and finer ones at F♯.
fn octaves((from, to): (f64, f64)) -> Vec<GridMark> {
    let keys = KeyNumber::MIN.through(KeyNumber::MAX).filter(|key| key.pitch_class() == 0);
    let values = keys.map(|key| f64::from(key.number())).filter(|value| (from..=to).contains(value));
    values.map(|value| GridMark { value, step_size: 12.0 }).collect()
}

fn label(at: &egui_plot::HoverPosition<'_>) -> Option<String> {
    match at {
        egui_plot::HoverPosition::NearDataPoint { plot_name, position, .. } => {
            let key = key_of(position.x)?;
            Some(format!("{plot_name}\n{key}: {} cents", signed(position.y, 1)))
        }
        egui_plot::HoverPosition::Elsewhere { .. } => None,
    }
}

#[cfg(test)]
mod tests {
    use super::drawn;

    #[rstest::rstest]
    #[case(3, 2, &[0, 1, 2])]
    #[case(5, 0, &[0, 1, 2, 3, 4])]
    #[case(7, 6, &[2, 3, 4, 5, 6])]
    #[case(7, 2, &[2, 3, 4, 5, 6])]
    #[case(7, 1, &[1, 3, 4, 5, 6])]
    #[case(0, 0, &[])]
    fn a_chosen_older_survey_is_drawn_too(
        #[case] surveys: usize,
        #[case] chosen: usize,
        #[case] at: &[usize],
    ) {
        assert_eq!(drawn(surveys, chosen), at);
    }
}
