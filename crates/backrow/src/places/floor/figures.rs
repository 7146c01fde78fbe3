//! Place, turn and number of what is selected, as figures to type or drag.

use super::scale::Scale;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans};
use crate::view::Selected;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::stage::Plan;
use backrow_core::week::{Placement, Programme};
use egui::{Align2, DragValue, RichText, Ui};

/// Draws the figures of what is selected above the plan; a drag on one is shown at once and is one change when it ends.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, plan: &Plan, scale: &Scale) {
    let stood = match &view.selected {
        Some(Selected::Instrument(id)) => plan.thing(id),
        _ => None,
    };
    let Some(stood) = stood else {
        let words = "Drag instruments in from below; click one for its position.";
        let (at, ink) = (scale.above.left_center(), scene.tokens.ink2);
        marks::text(ui.painter(), at, Align2::LEFT_CENTER, words, sans(size::NOTE), ink);
        return;
    };
    let builder =
        egui::UiBuilder::new().max_rect(scale.above).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    let mut next = stood.placement;
    let (mut under_way, mut done) = (false, false);
    let ink = scene.tokens.ink2;
    let mut figure = |line: &mut Ui, label: &str, value: DragValue<'_>| {
        let words = line.label(RichText::new(label).font(sans(size::NOTE)).color(ink));
        let field = line.add_enabled(!stood.placement.locked, value.update_while_editing(false));
        let field = field.labelled_by(words.id);
        under_way |= field.dragged() && field.changed();
        done |= field.drag_stopped() || (field.changed() && !field.dragged());
    };
    figure(&mut line, "Number", DragValue::new(&mut next.number).speed(0.05).range(1..=999));
    let metres = |value| DragValue::new(value).speed(0.05).max_decimals(2);
    figure(&mut line, "Right of middle, m", metres(&mut next.at.x).range(-60.0..=60.0));
    figure(&mut line, "From the back, m", metres(&mut next.at.y).range(-5.0..=60.0));
    figure(&mut line, "Turn, °", DragValue::new(&mut next.turn_deg).range(0.0..=359.0).max_decimals(1));
    done |= line
        .checkbox(&mut next.locked, "Lock in place")
        .on_hover_text("Neither pointer nor keys move it")
        .changed();
    let own = view.own.for_work.then(|| view.work.clone()).flatten();
    if let (Some(work), Some(programme)) = (own, view.programme_in(scene.library))
        && programme.setup.own_of(&work).is_some_and(|own| own.place(&stood.instrument).is_some())
        && line.small_button("Same as all works").on_hover_text("Same place as in the other works").clicked()
    {
        let (programme, instrument) = (programme.id.clone(), stood.instrument.clone());
        scene.edit(Edit::AsBase { programme, work, instrument });
    }
    if under_way {
        view.own.preview = vec![(stood.instrument.clone(), next)];
    }
    let Some(programme) = view.own.shown().filter(|_| done) else { return };
    if programme.setup.place(&stood.instrument) != Some(&next) {
        let edit = stand(scene.library, &programme, &stood.instrument, next);
        scene.edit(edit);
    }
    view.own.preview.clear();
}

/// Stands an instrument; when another bears its number, that one takes the number it had.
fn stand(library: &Library, programme: &Programme, instrument: &InstrumentId, placement: Placement) -> Edit {
    let one = |id: &InstrumentId, placement| Edit::Stand {
        programme: programme.id.clone(),
        instrument: id.clone(),
        placement,
    };
    let before = programme.setup.place(instrument).map(|old| old.number);
    let other = programme.setup.places().find(|(id, at)| *id != instrument && at.number == placement.number);
    match (other, before) {
        (Some((other, at)), Some(number)) => Edit::Together {
            words: format!("Number {} as {}", library.instrument_name(instrument), placement.number),
            edits: vec![one(instrument, placement), one(other, Placement { number, ..*at })],
        },
        _ => one(instrument, placement),
    }
}
