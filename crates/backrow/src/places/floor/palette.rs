//! Still to place: instruments that the programme uses and that do not stand yet; then any other, by search.

use super::things::stand;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold, serif};
use crate::view::Carried;
use backrow_core::collection::Point;
use backrow_core::id::{InstrumentId, is_found};
use backrow_core::stage::figure;
use backrow_core::week::{Placement, Programme};
use egui::{Align2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Draws the palette.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, programme: &Programme, rect: Rect) {
    let tokens = scene.tokens;
    ui.painter().rect_filled(rect, 0.0, tokens.sunken);
    marks::hairline(ui.painter(), rect.x_range(), rect.top(), tokens.line);
    let head = rect.min + vec2(space::L, space::XS);
    marks::text(ui.painter(), head, Align2::LEFT_TOP, "Still to place", serif(size::HEADING), tokens.ink);
    let hint = "Drag onto the plan. R turns,\narrows nudge.";
    marks::text(ui.painter(), head + vec2(0.0, 22.0), Align2::LEFT_TOP, hint, sans(11.0), tokens.ink2);
    let field = Rect::from_min_size(head + vec2(0.0, 56.0), vec2(132.0, 24.0));
    let edit = egui::TextEdit::singleline(&mut view.own.search).hint_text("Find …").desired_width(120.0);
    let response = ui.put(field, edit);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Find in the collection"));
    let list = Rect::from_min_max(
        pos2(rect.left() + 160.0, rect.top() + space::S),
        rect.max - vec2(space::M, space::XS),
    );
    let ids = ids(scene, programme, &view.own.search);
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(list));
    egui::ScrollArea::horizontal().id_salt("palette").auto_shrink([false, false]).show(&mut inner, |ui| {
        ui.horizontal(|ui| {
            if ids.is_empty() {
                let nothing = programme.used().is_empty();
                ui.label(if !view.own.search.trim().is_empty() {
                    "Nothing in the collection has that in its name."
                } else if nothing {
                    "No instrument is chosen for a line of this programme yet. Ctrl Shift P proposes them."
                } else {
                    "Everything this programme uses is on the floor. Find anything else at the left."
                });
            }
            for id in ids {
                card(ui, scene, view, &id);
            }
        });
    });
}

fn ids(scene: &Scene<'_>, programme: &Programme, search: &str) -> Vec<InstrumentId> {
    let placed_anywhere = programme.standing_anywhere();
    let used = programme.used();
    let mut ids: Vec<InstrumentId> = if search.trim().is_empty() {
        used.into_iter()
            .filter(|id| !placed_anywhere.contains(id) && scene.library.instruments.contains_key(*id))
            .cloned()
            .collect()
    } else {
        let stands = |id: &InstrumentId| programme.setup.place(id).is_some();
        let names = scene.library.instruments.values().filter(|thing| !stands(&thing.id));
        names.filter(|thing| is_found(&thing.name, search)).map(|thing| thing.id.clone()).take(24).collect()
    };
    let area = |id: &InstrumentId| {
        let (width, depth) =
            scene.library.instruments.get(id).map_or((0.0, 0.0), |thing| thing.footprint.shape.extent());
        width * depth
    };
    ids.sort_by(|a, b| area(b).total_cmp(&area(a)));
    ids
}

fn card(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, id: &InstrumentId) {
    let tokens = scene.tokens;
    let Some(thing) = scene.library.instruments.get(id).cloned() else { return };
    let (rect, response) = ui.allocate_exact_size(vec2(166.0, 66.0), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Place {}", thing.name)));
    response.dnd_set_drag_payload(Carried::Instrument(id.clone()));
    let line = if response.hovered() || response.has_focus() || response.dragged() {
        tokens.accent
    } else {
        tokens.line
    };
    ui.painter().rect(rect, 2.0, tokens.raised, Stroke::new(1.0, line), StrokeKind::Inside);
    let (width, depth) = thing.footprint.shape.extent();
    let scale = (44.0 / crate::theme::to_f32(width.max(depth))).min(40.0);
    let middle = rect.left_center() + vec2(30.0, 0.0);
    let nowhere = Placement { at: Point::default(), turn_deg: 0.0, number: 0, locked: false };
    let outline = figure(thing.footprint.shape, &nowhere).outline;
    let corner = |p: &Point| middle + vec2(crate::theme::to_f32(p.x), crate::theme::to_f32(p.y)) * scale;
    ui.painter().add(Shape::convex_polygon(
        outline.iter().map(corner).collect(),
        tokens.material(thing.material),
        Stroke::new(1.0, tokens.ink),
    ));
    let words = Rect::from_min_max(rect.min + vec2(58.0, 6.0), rect.max - vec2(6.0, 6.0));
    marks::text_within(ui.painter(), words, Align2::LEFT_TOP, &thing.name, semibold(size::NOTE), tokens.ink);
    let size_words = format!("{width:.2} × {depth:.2}\u{202F}m");
    marks::text(
        ui.painter(),
        words.left_center(),
        Align2::LEFT_CENTER,
        &size_words,
        sans(size::NOTE),
        tokens.ink2,
    );
    let mass = thing.whole_mass().map_or_else(String::new, crate::words::mass);
    marks::text(ui.painter(), words.left_bottom(), Align2::LEFT_BOTTOM, &mass, sans(size::NOTE), tokens.ink2);
    if response.double_clicked() || (response.has_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))) {
        let at = super::things::free_spot(scene, view, id);
        stand(scene, view, id, at);
    }
}
