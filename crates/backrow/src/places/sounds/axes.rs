//! The map's two axes: which measure, on which scale, and its figures.

use backrow_core::sound::{Definition, Measure, Measures};
use egui::{Ui, WidgetInfo};
use egui_plot::{GridInput, GridMark};

/// Where a strike stands on an axis; `None` where the measure was not heard.
pub(super) fn place(measure: Measure, measures: &Measures) -> Option<f64> {
    let value = measure.of(measures)?.value;
    let at = if measure.by_ratio() { value.log2() } else { value };
    at.is_finite().then_some(at)
}

/// The figure that stands there, with the unit's usual number of places.
pub(super) fn figure(measure: Measure, at: f64) -> String {
    let value = if measure.by_ratio() { at.exp2() } else { at };
    let size = value.abs();
    match () {
        () if size >= 99.95 => format!("{value:.0}"),
        () if size >= 10.0 => format!("{value:.1}"),
        () if size >= 0.1 || size <= 0.0 => format!("{value:.2}"),
        // Too small for four places: nought to as many.
        () if size < 0.000_05 => "0.0000".to_owned(),
        () => format!("{value:.4}").trim_end_matches('0').to_owned(),
    }
}

/// The words of an axis: "Brightness, Hz".
pub(super) fn words(measure: Measure) -> String {
    let definition = measure.definition();
    if definition.unit.is_empty() {
        definition.name.to_owned()
    } else {
        format!("{}, {}", definition.name, definition.unit)
    }
}

/// Lines at 1, 2, 5 and their tenfolds on a scale of doublings.
#[expect(clippy::needless_pass_by_value, reason = "the plot asks so")]
pub(super) fn doublings(input: GridInput) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    if !(low.is_finite() && high.is_finite()) || high - low > 80.0 {
        return Vec::new();
    }
    let decade = std::f64::consts::LOG2_10;
    let (mut marks, mut tens) = (Vec::new(), (low / decade).floor());
    while tens * decade <= high {
        for (share, step_size) in [
            (1.0, decade),
            (2.0, 1.0),
            (3.0, 0.4),
            (4.0, 0.4),
            (5.0, 1.0),
            (6.0, 0.2),
            (7.0, 0.2),
            (8.0, 0.2),
            (9.0, 0.2),
        ] {
            let value = tens * decade + f64::log2(share);
            if value >= low && value <= high {
                marks.push(GridMark { value, step_size });
            }
        }
        tens += 1.0;
    }
    marks
}

/// A choice of a measure, with its definition on demand; whether it changed.
pub(super) fn choice(ui: &mut Ui, label: &str, now: &mut Measure) -> bool {
    let before = *now;
    let combo = egui::ComboBox::from_id_salt(("sounds", label))
        .selected_text(format!("{label} {}", now.definition().name))
        .height(400.0)
        .show_ui(ui, |ui| {
            for measure in Measure::ALL {
                ui.selectable_value(now, measure, measure.definition().name)
                    .on_hover_text(definition(measure));
            }
        });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Axis {label}")));
    combo.response.on_hover_text(definition(*now));
    *now != before
}

/// A measure's definition, uncertainty and source, to be read on demand.
pub(super) fn definition(measure: Measure) -> String {
    said(&words(measure), measure.definition())
}

/// As [`definition`], of anything that has one.
pub(super) fn said(name: &str, own: &Definition) -> String {
    format!("{name}\n\n{}\n\nUncertainty: {}\nSource: {}.", own.what, own.uncertainty, own.source)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case(0.000_013_4, "0.0000")]
    #[case(0.0747, "0.0747")]
    #[case(0.05, "0.05")]
    #[case(0.0, "0.00")]
    #[case(123.4, "123")]
    fn a_figure_never_ends_in_a_point(#[case] value: f64, #[case] expected: &str) {
        assert_eq!(figure(Measure::Clarity, value), expected);
    }

    #[test]
    fn lines_stand_at_round_figures() {
        let marks =
            doublings(GridInput { bounds: (f64::log2(95.0), f64::log2(1100.0)), base_step_size: 1.0 });
        let figures: Vec<String> = marks.iter().map(|mark| figure(Measure::Brightness, mark.value)).collect();
        assert_eq!(figures.first().map(String::as_str), Some("100"));
        assert_eq!(figures.last().map(String::as_str), Some("1000"));
        assert_eq!(figures.len(), 10);
        let endless = GridInput { bounds: (f64::NEG_INFINITY, 1.0), base_step_size: 1.0 };
        assert!(doublings(endless).is_empty());
    }
}
