//! The parts of the venue as a list, with the figures of the one that is chosen.

use super::{Drawing, Part};
use crate::drafts::Outcome;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{marks, sans, serif};
use backrow_core::collection::{AreaUse, Point};
use backrow_core::stage::{CAUTION, curved_front, fan, rectangle};
use egui::{DragValue, Key, Modifiers, Rect, RichText, Ui, WidgetInfo, vec2};

/// Draws the list; what becomes of the board.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &Here<'_>,
    drawing: &mut Drawing,
    rect: Rect,
) -> Outcome {
    let tokens = scene.tokens;
    ui.painter().rect_filled(rect, 0.0, tokens.raised);
    marks::upright(ui.painter(), rect.left(), rect.y_range(), tokens.line);
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect.shrink2(vec2(space::M, space::S))));
    let ui = &mut inner;
    ui.label(RichText::new("The venue").font(serif(size::HEADING)).color(tokens.ink));
    let mut outcome = Outcome::GoesOn;
    ui.horizontal(|ui| {
        let enter = ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        if primary(ui, &scene.tokens, "Save").on_hover_text("Ctrl Enter").clicked() || enter {
            match drawing.edit(scene, view).and_then(|edit| scene.try_edit(edit)) {
                Ok(()) => outcome = Outcome::Saved,
                Err(why) => drawing.refused = Some((why, drawing.venue.clone())),
            }
        }
        let hover = "Esc; what you drew stays as a draft";
        if ui.button("Cancel").on_hover_text(hover).clicked() {
            outcome = Outcome::Left;
        }
        let back = ui.add_enabled(!drawing.before.is_empty(), egui::Button::new("Undo here"));
        if back.on_hover_text("Ctrl Z").clicked() {
            drawing.back();
        }
    });
    drawing.refused.take_if(|(_, of)| *of != drawing.venue);
    let refused = drawing.refused.as_ref().map(|(why, _)| why.as_str()).filter(|why| *why != drawing.error);
    for why in [drawing.error.as_str()].into_iter().chain(refused).filter(|why| !why.is_empty()) {
        let words = RichText::new(why).font(sans(size::NOTE)).color(tokens.clash);
        ui.add(egui::Label::new(words).wrap());
    }
    let label = ui.label("Name");
    let name = egui::TextEdit::singleline(&mut drawing.venue.name).desired_width(220.0);
    let name = ui.add(name).labelled_by(label.id);
    if std::mem::take(&mut drawing.fresh) {
        name.request_focus();
    }
    egui::ScrollArea::vertical().id_salt("parts").auto_shrink([false, false]).show(ui, |ui| {
        list(ui, drawing);
        ui.separator();
        figures(ui, scene, drawing);
        ui.separator();
        let label = ui.label("What a loader must know");
        ui.add(egui::TextEdit::multiline(&mut drawing.venue.remark).desired_rows(2).desired_width(220.0))
            .labelled_by(label.id);
    });
    outcome
}

fn list(ui: &mut Ui, drawing: &mut Drawing) {
    let mut parts = vec![(Part::Floor, "floor".to_owned())];
    for (at, riser) in drawing.venue.risers.iter().enumerate() {
        parts.push((Part::Riser(at), format!("{}, +{:.2}\u{202F}m", riser.name, riser.height_m)));
    }
    for (at, area) in drawing.venue.keep_out.iter().enumerate() {
        parts.push((Part::Area(at), area.words()));
    }
    for (part, words) in parts {
        if ui.selectable_label(drawing.part == part, words).clicked() {
            drawing.choose(part);
        }
    }
    ui.horizontal_wrapped(|ui| {
        if ui.small_button("Add a riser").clicked() {
            drawing.add_riser();
        }
        if ui.small_button("Add an area not to enter").clicked() {
            drawing.add_area("orchestra", AreaUse::NotToEnter, (4.0, 2.0));
        }
        if ui.small_button("Add an obstacle").clicked() {
            drawing.add_area("pillar", AreaUse::Fixed, (0.6, 0.6));
        }
        if ui.small_button("Add a way in").clicked() {
            drawing.add_area("way in", AreaUse::WayIn, (1.5, 1.5));
        }
        let there = drawing.venue.conductor.is_some();
        if ui.small_button(if there { "No conductor" } else { "Add the conductor" }).clicked() {
            drawing.step();
            drawing.venue.conductor = (!there).then_some(Point::new(0.0, 6.0));
        }
    });
}

fn figures(ui: &mut Ui, scene: &Scene<'_>, drawing: &mut Drawing) {
    let ink = scene.tokens.ink2;
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(ink);
    match drawing.part {
        Part::Floor => templates(ui, drawing),
        Part::Riser(at) => {
            if let Some(riser) = drawing.venue.risers.get_mut(at) {
                let label = ui.label(note("Riser"));
                ui.add(egui::TextEdit::singleline(&mut riser.name).desired_width(220.0))
                    .labelled_by(label.id);
                ui.horizontal(|ui| {
                    let label = ui.label(note("Height, m"));
                    let height = DragValue::new(&mut riser.height_m).range(0.0..=5.0).speed(0.01);
                    ui.add(height).labelled_by(label.id);
                });
                ui.horizontal(|ui| {
                    let mut stated = riser.rated_kn_m2.is_some();
                    if ui.checkbox(&mut stated, note("The venue states its load, kN/m²")).changed() {
                        riser.rated_kn_m2 = stated.then_some(5.0);
                    }
                    if let Some(rated) = &mut riser.rated_kn_m2 {
                        let stated = ui.add(DragValue::new(rated).range(0.1..=50.0).speed(0.1));
                        let words = "Load that the venue states, kN/m²";
                        stated.widget_info(|| WidgetInfo::labeled(egui::Role::SpinButton, true, words));
                    }
                });
                ui.add(egui::Label::new(note(CAUTION)).wrap());
                crate::terms::term(ui, &scene.tokens, "riser");
            }
        }
        Part::Area(at) => {
            if let Some(area) = drawing.venue.keep_out.get_mut(at) {
                let label = ui.label(note("Area"));
                ui.add(egui::TextEdit::singleline(&mut area.name).desired_width(220.0)).labelled_by(label.id);
                let mut kept_for = area.kept_for;
                for one in AreaUse::ALL {
                    ui.radio_value(&mut kept_for, one, explained(one));
                }
                if kept_for != area.kept_for {
                    drawing.keep_for(at, kept_for);
                }
            }
        }
    }
    if drawing.part != Part::Floor && ui.small_button("Remove this part").clicked() {
        drawing.remove();
    }
    ui.add_space(space::XS);
    let label = ui.label(note("Corners: right of the middle, from the back; m"));
    let rows = drawing.outline().len().clamp(3, 10);
    let field = ui
        .add(
            // An id of its own: what is wrong with the corners is told above, and must not take the keyboard away.
            egui::TextEdit::multiline(&mut drawing.text)
                .id(egui::Id::unique("venue corners"))
                .desired_rows(rows)
                .desired_width(220.0),
        )
        .labelled_by(label.id);
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Corners"));
    if field.gained_focus() {
        drawing.step();
    }
    if field.changed() {
        drawing.take_text();
    }
    ui.label(note(
        "Drag a corner, or the middle of a side for a new one; Shift leaves the grid; Delete removes.",
    ));
}

const fn explained(kept_for: AreaUse) -> &'static str {
    match kept_for {
        AreaUse::NotToEnter => "not to enter: others sit there",
        AreaUse::Fixed => "fixed: players walk round it",
        AreaUse::WayIn => "way in: kept clear",
    }
}

/// How wide and how deep an outline is, metres.
fn size_of(outline: &[Point]) -> Option<(f64, f64)> {
    let reach = |of: fn(&Point) -> f64| {
        let ends = outline.iter().map(of);
        let (low, high) =
            ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
        (high > low).then_some(high - low)
    };
    Some((reach(|p| p.x)?, reach(|p| p.y)?))
}

/// Floors to begin from, by typed metres.
fn templates(ui: &mut Ui, drawing: &mut Drawing) {
    let id = ui.scope_id().with(("template metres", drawing.venue.id.as_str()));
    let mut metres: [f64; 4] = ui.data_mut(|data| data.get_temp(id)).unwrap_or_else(|| {
        let (width, depth) = size_of(&drawing.venue.floor).unwrap_or((14.0, 9.0));
        [width, depth, 1.5, width * 0.7]
    });
    let [width, depth, bulge, back] = &mut metres;
    egui::Grid::new("metres of a floor to begin from").num_columns(2).show(ui, |ui| {
        for (words, value) in [
            ("Width", &mut *width),
            ("Depth", &mut *depth),
            ("Bulge of a curved front", &mut *bulge),
            ("Width of a fan at the back", &mut *back),
        ] {
            let label = ui.label(RichText::new(words).font(sans(size::NOTE)));
            let field = DragValue::new(value).range(0.0..=100.0).speed(0.1).max_decimals(2);
            ui.add(field).labelled_by(label.id);
            ui.end_row();
        }
    });
    let (width, depth, bulge, back) = (width.max(1.0), depth.max(1.0), *bulge, back.max(1.0));
    ui.horizontal_wrapped(|ui| {
        if ui.small_button("Rectangle").clicked() {
            drawing.set_outline(rectangle(width, depth));
        }
        if ui.small_button("Curved front").clicked() {
            drawing.set_outline(curved_front(width, depth, bulge));
        }
        if ui.small_button("Fan").clicked() {
            drawing.set_outline(fan(back, width, depth));
        }
    });
    ui.data_mut(|data| data.insert_temp(id, metres));
}
