//! The current line on every instrument of its kind: which is closer in tune tonight. Timpani have a table of their own.

use crate::scene::Scene;
use crate::theme::semibold;
use crate::theme::tokens::{size, space};
use crate::view::View;
use backrow_core::collection::Instrument;
use backrow_core::sets::is_for_timpani;
use backrow_core::tonight::{Hall, better};
use egui::{RichText, Ui};

/// Draws it where the current line is one for this kind of instrument.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &View, thing: &Instrument, hall: Hall) {
    let library = scene.library;
    let Some((work, line)) = view.line.as_ref().and_then(|at| library.line(at)) else { return };
    let Some(movement) = work.movement(&line.movement).filter(|_| line.kind.as_ref() == Some(&thing.kind))
    else {
        return;
    };
    if is_for_timpani(library, &thing.kind) {
        return;
    }
    ui.add_space(space::S);
    let title =
        format!("{} in {} {}: which is closer in tune", library.line_name(line), work.title, movement.number);
    ui.label(RichText::new(title).font(semibold(size::TEXT)).color(scene.tokens.ink));
    if thing.is_tuned_by_ear() {
        let pitches =
            line.sounding().iter().map(|key| format!("{key} {:.1}\u{202F}Hz", hall.a.frequency(key).value()));
        let words = format!("At the concert’s A: {}.", pitches.collect::<Vec<_>>().join(", "));
        ui.add(egui::Label::new(words).wrap());
        return;
    }
    let alike = library.instruments.values().map(|other| &**other).filter(|other| other.kind == thing.kind);
    let fits = better(library, (line, &movement.timeline), alike, hall);
    let asked = line.sounding().len();
    egui::Grid::new("which is closer in tune").num_columns(4).spacing([14.0, 3.0]).show(ui, |ui| {
        for fit in fits {
            let name = library.instrument_name(&fit.instrument);
            let own = fit.instrument == thing.id;
            let name = if own { RichText::new(name).font(semibold(size::TEXT)) } else { RichText::new(name) };
            ui.label(name);
            ui.label(format!("{} of {asked} pitches", fit.reached));
            ui.label(match fit.cents {
                Some(cents) => format!("{cents:.1} cents from {} in the middle", fit.whom()),
                None => "tuning not known".to_owned(),
            });
            ui.label(match fit.heard {
                0 => "no note heard out of tune".to_owned(),
                1 => "one note heard out of tune".to_owned(),
                n => format!("{n} notes heard out of tune"),
            });
            ui.end_row();
        }
    });
}
