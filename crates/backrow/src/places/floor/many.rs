//! Several things at once: chosen with Ctrl or a box, moved together, lined up, spread, mirrored, kept.

use super::chosen::chosen;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::view::Selected;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, ProgrammeId};
use backrow_core::stage::{Line, Placed, Plan, align, mirrored, spread};
use backrow_core::week::Placement;
use egui::Ui;

/// Chooses a thing beside what is chosen, or lets it go.
pub(super) fn toggle(view: &mut Here<'_>, id: &InstrumentId) {
    if let Some(Selected::Instrument(now)) = view.selected.clone() {
        view.own.also.insert(now);
    }
    if view.own.also.remove(id) {
        if view.selected == Some(Selected::Instrument(id.clone())) {
            view.selected = view.own.also.first().cloned().map(Selected::Instrument);
        }
    } else {
        view.own.also.insert(id.clone());
        view.selected = Some(Selected::Instrument(id.clone()));
    }
}

/// The chosen things that are on the floor and not kept where they are.
fn free(view: &Here<'_>, plan: &Plan) -> Vec<(InstrumentId, Placed)> {
    let own = |id: InstrumentId| {
        let stood = plan.thing(&id).filter(|stood| !stood.placement.locked)?;
        Some((id, (stood.shape, stood.placement)))
    };
    chosen(view).into_iter().filter_map(own).collect()
}

/// Several places as one step.
pub(super) fn stand_all(
    programme: &ProgrammeId,
    words: String,
    all: impl IntoIterator<Item = (InstrumentId, Placement)>,
) -> Edit {
    let stand = |(instrument, placement)| Edit::Stand { programme: programme.clone(), instrument, placement };
    Edit::Together { words, edits: all.into_iter().map(stand).collect() }
}

/// Every chosen thing changed in the same way, as one step; nothing when nothing is free.
pub(super) fn change(
    view: &Here<'_>,
    plan: &Plan,
    words: &str,
    next: impl Fn(&Placement) -> Placement,
) -> Option<Edit> {
    let programme = view.programme.as_ref()?;
    let free = free(view, plan);
    let count = free.len();
    let words = format!("{words} {count} instruments");
    let all = free.into_iter().map(|(id, (_, placement))| (id, next(&placement)));
    (count > 0).then(|| stand_all(programme, words, all.collect::<Vec<_>>()))
}

/// The menu for what is chosen.
pub(super) fn menu(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, plan: &Plan) {
    let things = free(view, plan);
    let Some(programme) = view.programme.clone() else { return };
    let placed: Vec<Placed> = things.iter().map(|(_, placed)| *placed).collect();
    let ids = || things.iter().map(|(id, _)| id.clone());
    let mut asked = None;
    let count = chosen(view).len();
    if count == 0 {
        return;
    }
    let words = if count == 1 { "Arrange …".to_owned() } else { format!("Arrange {count} …") };
    let button = ui.add_enabled_ui(count > 0, |ui| {
        ui.menu_button(words, |ui| {
            ui.add_enabled_ui(things.len() > 1, |ui| {
                for line in Line::ALL {
                    if ui.button(line.words()).clicked() {
                        asked = Some((line.words().to_owned(), align(&placed, line)));
                        ui.close();
                    }
                }
            });
            ui.add_enabled_ui(things.len() > 2, |ui| {
                for (words, across) in
                    [("Spread from left to right", true), ("Spread from back to front", false)]
                {
                    if ui.button(words).clicked() {
                        asked = Some((words.to_owned(), spread(&placed, across)));
                        ui.close();
                    }
                }
            });
            ui.separator();
            if ui.button("Mirror about the middle").clicked() {
                let next = placed.iter().map(|(_, placement)| mirrored(placement)).collect();
                asked = Some(("Mirror about the middle".to_owned(), next));
                ui.close();
            }
            let lay = "On what is under it, or by itself (O)";
            if ui.add_enabled(count == 1, egui::Button::new(lay)).clicked() {
                super::bearing::toggle(scene, view);
                ui.close();
            }
            if ui.button("As one station, or apart (G)").clicked() {
                super::bearing::toggle_station(scene, view);
                ui.close();
            }
            let all_kept = things.is_empty();
            if ui.button(if all_kept { "Unlock them" } else { "Lock them in place" }).clicked() {
                let keep = keep(view, plan, &programme, !all_kept);
                scene.edit(keep);
                ui.close();
            }
            if ui.button("Take them off the floor").clicked() {
                let off = |(instrument, _): &(InstrumentId, Placed)| Edit::TakeOff {
                    programme: programme.clone(),
                    instrument: instrument.clone(),
                };
                let words =
                    format!("Remove {} from the floor", crate::words::many(things.len(), "instrument"));
                scene.edit(Edit::Together { words, edits: things.iter().map(off).collect() });
                ui.close();
            }
        })
    });
    button.response.on_hover_text(
        "Ctrl-click adds one; Shift-drag on the floor selects those in a box; Alt-drag moves one thing within its station",
    );
    if let Some((words, next)) = asked {
        scene.edit(stand_all(&programme, words, ids().zip(next).collect::<Vec<_>>()));
    }
}

fn keep(view: &Here<'_>, plan: &Plan, programme: &ProgrammeId, locked: bool) -> Edit {
    let own = |id: InstrumentId| {
        let placement = plan.thing(&id)?.placement;
        Some((id, Placement { locked, ..placement }))
    };
    let words = if locked { "Lock instruments in place" } else { "Unlock instruments" };
    let all: Vec<_> = chosen(view).into_iter().filter_map(own).collect();
    stand_all(programme, words.to_owned(), all)
}
