//! Files of sound that no take names: of takes that were removed, and of instruments that are gone. They can be brought back; nothing
//! is deleted from here.

use super::Here;
use crate::background::{Remembered, Stop};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::Selected;
use backrow_core::id::InstrumentId;
use backrow_files::library::{SOUNDS, Unnamed, unnamed_sounds};
use egui::{RichText, Ui};
use std::path::PathBuf;

/// What lies there, remembered by the library's revision.
pub(super) type Memory = Remembered<(u64, PathBuf), Vec<Unnamed>>;

/// Draws the list behind a button, where there is anything in it.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some(folder) = scene.folder.map(PathBuf::from) else { return };
    let library = scene.library;
    let key = (scene.revision, folder.clone());
    let known = view.own.unnamed.get(ui.ctx(), "sounds without a take", &key, || {
        let (folder, library) = (folder.clone(), library.clone());
        move |_: &Stop| unnamed_sounds(&folder, &library)
    });
    let Some(all) = known.value.filter(|all| !all.is_empty()).cloned() else { return };
    let selected = match &view.selected {
        Some(Selected::Instrument(id)) => Some(id.clone()),
        _ => None,
    };
    let button = ui.menu_button(format!("Without a take: {}", all.len()), |ui| {
        let words = format!(
            "Sounds of takes that were removed, and of instruments that are gone, stay in the library’s folder {SOUNDS}. \
             Delete the files there when you are sure."
        );
        ui.set_max_width(460.0);
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
        egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
            for one in &all {
                ui.horizontal(|ui| row(ui, scene, (one, &folder), selected.as_ref()));
            }
        });
    });
    button.response.on_hover_text("Files of sound that no take names");
}

fn row(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    (one, folder): (&Unnamed, &PathBuf),
    selected: Option<&InstrumentId>,
) {
    ui.label(format!("{}/{}, {}\u{202F}kB", one.instrument, one.file, one.bytes.div_ceil(1000)));
    let own = InstrumentId::new(&one.instrument).ok().filter(|id| scene.library.instruments.contains_key(id));
    if let Some(id) = own {
        let hover = format!("As a take of {}", scene.library.instrument_name(&id));
        if ui.small_button("Bring back").on_hover_text(hover).clicked() {
            scene.ask(Intent::Sound(Wish::BringBack(id, one.file.clone())));
            ui.close();
        }
    } else if let Some(id) = selected {
        let words = format!("Import to {}", scene.library.instrument_name(id));
        if ui
            .small_button(words)
            .on_hover_text("A copy of it, as a take of the selected instrument")
            .clicked()
        {
            let path = folder.join(SOUNDS).join(&one.instrument).join(&one.file);
            scene.ask(Intent::Sound(Wish::Import(id.clone(), vec![path])));
            ui.close();
        }
    } else {
        let words = RichText::new("select an instrument to import it to").font(sans(size::NOTE));
        ui.label(words.color(scene.tokens.ink2));
    }
}
