//! Notes of a line that its instruments do not have, each with what is decided about it.

use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::lacking::{Lack, lacking};
use backrow_core::library::Library;
use backrow_core::week::{Assignment, Instead, LineRef};
use egui::{RichText, Ui};

/// Draws a row for each note that lacks; nothing when none does.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, programme: &ProgrammeId, at: &LineRef) {
    let library = scene.library;
    let Some((_, line)) = library.line(at) else { return };
    let Some(given) = library.programme(programme).map(|own| own.assignment(at)) else { return };
    let lacks = lacking(library, line, &given);
    if lacks.is_empty() {
        return;
    }
    ui.label(RichText::new("Missing notes").font(sans(size::NOTE)).color(scene.tokens.ink2));
    for lack in &lacks {
        if let Some(Chosen(instead)) = row(ui, scene, &given, lack) {
            scene.edit(Edit::Decide {
                programme: programme.clone(),
                line: at.clone(),
                key: lack.key,
                instead,
            });
        }
    }
}

/// What was chosen: a decision, or that it is open again.
struct Chosen(Option<Instead>);

/// One note with its menu; what was chosen, when something was.
fn row(ui: &mut Ui, scene: &Scene<'_>, given: &Assignment, lack: &Lack) -> Option<Chosen> {
    let library = scene.library;
    let mut chosen = None;
    ui.horizontal(|ui| {
        let dead = if lack.dead { ", dead" } else { "" };
        ui.label(format!("{}, {}{dead}", lack.written, lack.measures_words()));
        let words = |instead: &Instead| instead.words(|id| library.instrument_name(id));
        let now = lack.decided.as_ref().map_or_else(|| "not decided".to_owned(), words);
        let combo = egui::ComboBox::from_id_salt(("missing", lack.key.number()))
            .selected_text(now)
            .width(130.0)
            .truncate()
            .show_ui(ui, |ui| {
                if ui.selectable_label(lack.decided.is_none(), "not decided").clicked() {
                    chosen = Some(Chosen(None));
                }
                for instead in choices(library, given, lack) {
                    let is = lack.decided.as_ref() == Some(&instead);
                    if ui.selectable_label(is, words(&instead)).clicked() {
                        chosen = Some(Chosen(Some(instead)));
                    }
                }
            });
        let label = format!("What happens to {}", lack.written);
        combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, label.as_str()));
    });
    chosen.filter(|chosen| chosen.0 != lack.decided)
}

/// Left out; octaves in which the line's own instruments have the note; other instruments of its kinds that have it.
fn choices(library: &Library, given: &Assignment, lack: &Lack) -> Vec<Instead> {
    let own = || given.instruments.iter().filter_map(|id| library.instruments.get(id));
    let mut all = vec![Instead::LeftOut];
    for octaves in [-1, 1, -2, 2_i8] {
        let moved = lack.key.up(i32::from(octaves) * 12);
        if moved.is_some_and(|key| own().any(|thing| thing.compass().contains(key))) {
            all.push(Instead::Octaves(octaves));
        }
    }
    let others = library.instruments.values().filter(|thing| !given.instruments.contains(&thing.id));
    let fit = others.filter(|thing| thing.compass().contains(lack.key));
    all.extend(
        fit.filter(|thing| own().any(|mine| mine.kind == thing.kind))
            .map(|thing| Instead::On(thing.id.clone())),
    );
    all
}
