//! Choosing a line's kind and its octave convention.

pub(in crate::places::works) use crate::kind_choice::KindChange;
pub(super) use crate::kind_choice::kinds_named;

use crate::kind_choice::Asked;
use backrow_core::id::KindId;
use backrow_core::library::Library;
use backrow_core::pitch::Octave;
use egui::Ui;

/// A choice among all kinds, found by their names in four languages; "open" is none. Those of `first` stand before the others until
/// something is typed.
pub(in crate::places::works) fn kind_choice(
    ui: &mut Ui,
    library: &Library,
    (label, first, width): (&str, &[KindId], f32),
    now: Option<&KindId>,
    changed: &mut Option<KindChange>,
) {
    let asked = Asked { label, now, none: Some("open"), among: None, first, width };
    crate::kind_choice::kind_choice(ui, library, &asked, changed);
}

/// A choice among the usual conventions.
pub(in crate::places::works) fn octave_choice(ui: &mut Ui, (label, width): (&str, f32), octave: &mut Octave) {
    let combo = egui::ComboBox::from_id_salt(label)
        .selected_text(egui::RichText::new(octave.words()).color(ui.visuals().text_color()))
        .width(width)
        .truncate()
        .show_ui(ui, |ui| {
            for semitones in [0, 12, 24, 36, -12, -24] {
                if let Ok(choice) = Octave::new(semitones) {
                    ui.selectable_value(octave, choice, choice.words());
                }
            }
        });
    combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, label));
}
