//! The rows in sight: bars as plain quads, note marks, names and answers.

use super::axis::{Axis, slot, slot_shapes};
use super::measure;
use super::row::Row;
use super::rows::Shown;
use crate::intent::Intent;
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, semibold};
use crate::view::{Carried, Selected};
use backrow_core::compass::{Fit, Reach};
use backrow_core::music::Spelling;
use backrow_core::pitch::KeyNumber;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rect, Sense, Shape, Ui, WidgetInfo, pos2, vec2};

/// Draws the list and returns the sounding key under the pointer or the keyboard's hairline.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    axis: &Axis,
    shown: &Shown,
    list: Rect,
) -> Option<KeyNumber> {
    let rows = shown.rows.as_slice();
    let tokens = scene.tokens;
    scroll(ui, view, rows, list);
    ground(ui, axis, list, &tokens);
    if rows.is_empty() {
        empty(ui, view, list);
    }
    let first = rows.partition_point(|row| row.top + measure::ROW <= view.own.scroll);
    let clipped = ui.painter().with_clip_rect(list);
    let mut bars = Mesh::default();
    let mut shapes: Vec<Shape> = Vec::new();
    for (at, row) in rows.iter().enumerate().skip(first) {
        let top = list.top() + row.top - view.own.scroll;
        if top > list.bottom() {
            break;
        }
        let place = Rect::from_min_size(pos2(list.left(), top), vec2(list.width(), measure::ROW));
        interact(ui, scene, view, row, place.intersect(list));
        if row.first_of_kind && at > 0 {
            marks::hairline(&clipped, place.x_range(), top - measure::GAP / 2.0, tokens.line);
        }
        words(&clipped, scene, row, place);
        row_bars(&mut bars, axis, row, place, &tokens);
        beyond(&mut shapes, axis, row, place, &tokens);
        if let Some(reach) = &row.reach {
            answer(&clipped, row, (reach, &shown.spelling), place, &tokens);
            if reach.reached.len() * 3 >= reach.reached.union(reach.lacking()).len() {
                notes(&mut shapes, axis, reach, place, &tokens);
            } else {
                heads(&mut shapes, axis, reach.reached, place, &tokens);
            }
        } else if !row.bars.is_empty() || row.answer.is_empty() {
            // Its bars speak, or there is nothing to say.
        } else {
            let ink = if row.near == 0 { tokens.ink } else { tokens.ink2 };
            let room = Rect::from_min_max(pos2(axis.area.left() + space::M, place.top()), place.max);
            marks::text_within(&clipped, room, Align2::LEFT_CENTER, &row.answer, sans(size::NOTE), ink);
        }
    }
    let inside = clipped.with_clip_rect(Rect::from_x_y_ranges(axis.area.x_range(), list.y_range()));
    inside.add(Shape::mesh(bars));
    inside.extend(shapes);
    brackets(ui, scene, view, shown, list);
    scroll_bar(ui, view, rows, list, &tokens);
    hair(ui, view, axis, rows, list)
}

/// A hook at the end of a row that has bars beyond it: the keyboard can be pushed there.
fn beyond(shapes: &mut Vec<Shape>, axis: &Axis, row: &Row, place: Rect, tokens: &Tokens) {
    let (before, after) = axis.hides(row.bars);
    let area = axis.area;
    for (side, x, _) in [(-1.0, area.left() + 6.0, before), (1.0, area.right() - 6.0, after)]
        .into_iter()
        .filter(|(_, _, hides)| *hides)
    {
        let (tip, arm) = (pos2(x + side * 2.0, place.center().y), vec2(-side * 4.0, 5.0));
        let ground = Rect::from_center_size(pos2(x, tip.y), vec2(11.0, 16.0));
        shapes.push(Shape::rect_filled(ground, 2.0, tokens.raised));
        let points = vec![tip + vec2(arm.x, -arm.y), tip, tip + arm];
        shapes.push(Shape::line(points, egui::Stroke::new(1.6, tokens.ink2)));
    }
}

fn scroll(ui: &Ui, view: &mut Here<'_>, rows: &[Row], list: Rect) {
    let height = rows.last().map_or(0.0, |row| row.top + measure::ROW + space::M);
    let over = ui.rect_contains_pointer(list.expand2(vec2(0.0, measure::AXIS)));
    let state = &mut *view.own;
    if over {
        let (wheel, zoom) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
        state.scroll -= wheel.y;
        if zoom > 1.01 {
            state.zoom = (state.zoom + 1).min(5);
        } else if zoom < 0.99 {
            state.zoom = (state.zoom - 1).max(-2);
        }
        if wheel.x.abs() > 4.0 {
            state.pushed = (state.pushed - if wheel.x > 0.0 { 1 } else { -1 }).clamp(-3, 6);
        }
    }
    state.scroll = state.scroll.clamp(0.0, (height - list.height()).max(0.0));
}

fn scroll_bar(ui: &Ui, view: &Here<'_>, rows: &[Row], list: Rect, tokens: &Tokens) {
    let height = rows.last().map_or(0.0, |row| row.top + measure::ROW + space::M);
    if height <= list.height() {
        return;
    }
    let bar =
        Rect::from_min_max(pos2(list.right() + 4.0, list.top()), pos2(list.right() + 8.0, list.bottom()));
    ui.painter().rect_filled(bar, 0.0, tokens.sunken);
    let top = bar.top() + bar.height() * view.own.scroll / height;
    let thumb = Rect::from_min_size(pos2(bar.left(), top), vec2(4.0, bar.height() * list.height() / height));
    ui.painter().rect_filled(thumb, 0.0, tokens.line);
}

fn ground(ui: &Ui, axis: &Axis, list: Rect, tokens: &Tokens) {
    let area = Rect::from_x_y_ranges(axis.area.x_range(), list.y_range());
    let painter = ui.painter().with_clip_rect(area);
    painter.rect_filled(area, 0.0, tokens.raised);
    let middle = Rect::from_x_y_ranges(
        axis.x(KeyNumber::MIDDLE_C)..=axis.x(KeyNumber::MIDDLE_C) + axis.octave,
        area.y_range(),
    );
    painter.rect_filled(middle, 0.0, tokens.sunken);
    let mut left = area.left();
    while left < area.right() {
        marks::upright(&painter, left, area.y_range(), tokens.line);
        left += axis.octave;
    }
    marks::upright(ui.painter(), area.left() - 1.0, area.y_range(), tokens.line);
}

fn empty(ui: &mut Ui, view: &mut Here<'_>, list: Rect) {
    let rect = Rect::from_min_size(list.min + vec2(measure::NAMES + space::M, space::M), vec2(420.0, 80.0));
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect));
    inner.label("No instrument matches the filters.");
    if inner.button("Show all again").clicked() {
        view.own.filters = super::Filters::default();
    }
}

/// Joins the rows of a kind, as staves are joined in a score; a click folds them into one row and back.
fn brackets(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown, list: Rect) {
    let tokens = scene.tokens;
    for group in &shown.groups {
        let y = |at: f32| list.top() + at - view.own.scroll;
        let place = Rect::from_min_max(
            pos2(list.left() - 12.0, y(group.top) + 2.0),
            pos2(list.left() - 1.0, y(group.bottom) - 2.0),
        );
        let seen = place.intersect(list.expand2(vec2(12.0, 0.0)));
        if seen.height() < 2.0 {
            continue;
        }
        let id = ui.scope_id().with(("bracket", group.kind.as_str()));
        let response = ui.interact(seen, id, Sense::click());
        let verb = if group.folded { "Unfold" } else { "Fold" };
        response
            .widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("{verb} {}", group.name)));
        let ink = if response.hovered() || response.has_focus() { tokens.accent } else { tokens.ink3 };
        let painter = ui.painter().with_clip_rect(list.expand2(vec2(12.0, 0.0)).intersect(ui.clip_rect()));
        let x = place.left() + 3.0;
        if group.folded {
            let middle = place.center();
            for (from, to) in [((-3.0, 0.0), (3.0, 0.0)), ((0.0, -3.0), (0.0, 3.0))] {
                let stroke = egui::Stroke::new(1.2, ink);
                painter.line_segment([middle + vec2(from.0, from.1), middle + vec2(to.0, to.1)], stroke);
            }
        } else {
            marks::upright(&painter, x, place.y_range(), ink);
            for y in [place.top(), place.bottom() - 1.0] {
                marks::hairline(&painter, x..=x + 5.0, y, ink);
            }
        }
        if response.clicked() {
            let folded = &mut view.own.filters.folded;
            if !folded.remove(&group.kind) {
                folded.insert(group.kind.clone());
            }
        }
        response.on_hover_text(format!("{verb} {}", group.name));
    }
}

fn interact(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, row: &Row, place: Rect) {
    let tokens = scene.tokens;
    if row.folds > 0 {
        let id = ui.scope_id().with(("folded", row.kind.as_str()));
        let response = ui.interact(place, id, Sense::click_and_drag());
        let words = format!("{}, {}, {}", row.name, row.beside, row.answer);
        response.widget_info(|| WidgetInfo::labeled(egui::Role::ListItem, true, &words));
        if response.clicked() {
            view.own.filters.folded.remove(&row.kind);
        }
        if response.drag_started() {
            let words = format!(
                "{} stands for {}. Click it open, then drag the one that is meant.",
                row.name, row.beside
            );
            scene.ask(Intent::Say(words));
        }
        return;
    }
    let response = ui.interact(place, ui.scope_id().with(("row", row.id.as_str())), Sense::click_and_drag());
    let selected = view.selected == Some(Selected::Instrument(row.id.clone()));
    let answer = if row.answer.is_empty() { String::new() } else { format!(", {}", row.answer) };
    response.widget_info(|| {
        WidgetInfo::selected(egui::Role::ListItem, true, selected, format!("{}{answer}", row.name))
    });
    response.dnd_set_drag_payload(Carried::Instrument(row.id.clone()));
    let carried = response.dragged() || view.in_hand == Some(Carried::Instrument(row.id.clone()));
    if carried || selected {
        ui.painter().rect_filled(place, 0.0, tokens.soft);
    } else if response.hovered() {
        ui.painter().rect_filled(place, 0.0, tokens.raised);
    }
    if carried {
        ui.painter().rect_stroke(place, 0.0, egui::Stroke::new(1.0, tokens.accent), egui::StrokeKind::Inside);
        slip(ui, row, &tokens);
    }
    crate::theme::widgets::focus_ring(ui, &response, &tokens);
    if response.clicked() {
        scene.ask(Intent::Select(Some(Selected::Instrument(row.id.clone()))));
    }
    if response.double_clicked() {
        scene.ask(Intent::Go(crate::view::Place::BarView));
    }
    // The picture, where the instrument has one: what one looks for in the store.
    let thing = scene.library.instruments.get(&row.id).filter(|thing| !thing.picture.is_empty());
    if let Some(thing) = thing.filter(|_| !carried) {
        response.on_hover_ui(|ui| {
            let most = crate::pictures::Pictures::in_panel(220.0);
            scene.pictures.show(ui, &tokens, (&thing.picture, &thing.name), most);
        });
    }
}

/// The slip under the pointer while a row is carried.
fn slip(ui: &Ui, row: &Row, tokens: &Tokens) {
    let Some(at) = ui.input(|i| i.pointer.hover_pos()) else { return };
    let layer = egui::LayerId::new(egui::Order::Tooltip, egui::Id::unique("carried row"));
    let painter = ui.ctx().layer_painter(layer);
    let words =
        if row.answer.is_empty() { row.name.clone() } else { format!("{}   {}", row.name, row.answer) };
    let galley = painter.layout_no_wrap(words, semibold(size::NOTE), tokens.ink);
    let rect = Rect::from_min_size(at + vec2(12.0, 8.0), galley.size() + vec2(16.0, 10.0));
    painter.rect(rect, 2.0, tokens.raised, egui::Stroke::new(2.0, tokens.accent), egui::StrokeKind::Inside);
    painter.galley(rect.min + vec2(8.0, 5.0), galley, tokens.ink);
}

fn words(painter: &Painter, scene: &Scene<'_>, row: &Row, place: Rect) {
    let tokens = scene.tokens;
    let right = place.left() + measure::NAMES - space::S;
    let name = painter.layout_no_wrap(row.name.clone(), sans(size::TEXT), tokens.ink);
    let name_width = name.size().x.min(measure::NAMES - 40.0);
    let name_rect = Rect::from_min_max(place.min, pos2(place.left() + name_width + 1.0, place.bottom()));
    marks::text_within(painter, name_rect, Align2::LEFT_CENTER, &row.name, sans(size::TEXT), tokens.ink);
    let mut left = name_rect.right() + space::S;
    if row.elsewhere.is_some() {
        marks::mark(painter, pos2(left + 2.0, place.center().y), marks::Mark::Clash, &tokens);
        left += 10.0;
    }
    let beside = Rect::from_min_max(pos2(left, place.top()), pos2(right, place.bottom()));
    if beside.width() > 16.0 {
        marks::text_within(painter, beside, Align2::RIGHT_CENTER, &row.beside, sans(size::NOTE), tokens.ink2);
    }
}

/// Each drum's range of a set, as a hairline with ends; neighbours at two heights, as ranges overlap.
fn drum_ranges(mesh: &mut Mesh, axis: &Axis, row: &Row, place: Rect, tokens: &Tokens) {
    if row.drums.len() < 2 {
        return;
    }
    for (at, (low, high)) in row.drums.iter().enumerate() {
        let left = (axis.x(*low) + 1.0).max(axis.area.left());
        let right = (axis.x(*high) + axis.lane() - 1.0).min(axis.area.right());
        if right <= left {
            continue;
        }
        let y = if at % 2 == 0 { place.top() } else { place.top() + 2.0 };
        marks::quad(mesh, Rect::from_min_max(pos2(left, y), pos2(right, y + 1.0)), tokens.ink2);
        for x in [left, right - 1.0] {
            marks::quad(mesh, Rect::from_min_max(pos2(x, y), pos2(x + 1.0, y + 3.0)), tokens.ink2);
        }
    }
}

fn row_bars(mesh: &mut Mesh, axis: &Axis, row: &Row, place: Rect, tokens: &Tokens) {
    drum_ranges(mesh, axis, row, place, tokens);
    let ink = tokens.material(row.material);
    let outline = tokens.is_pale(row.material).then(|| tokens.edge(ink));
    let width = (axis.lane() - 2.0).max(2.0);
    for key in row.bars.iter() {
        let left = axis.x(key) + 1.0;
        if left + width < axis.area.left() || left > axis.area.right() {
            continue;
        }
        let height = if key.is_natural() { 16.0 } else { 10.0 };
        let taken = row.reach.as_ref().is_some_and(|reach| reach.reached.contains(key));
        // A bar that is asked for gives up its foot to the head.
        let height = if taken { height - 7.0 } else { height };
        let bar = Rect::from_min_size(pos2(left, place.top() + 3.0), vec2(width, height));
        if row.dead.contains(key) {
            marks::quad(mesh, Rect::from_min_size(bar.min, vec2(width, 3.0)), ink);
            marks::quad(
                mesh,
                Rect::from_min_size(pos2(bar.left(), bar.bottom() - 3.0), vec2(width, 3.0)),
                ink,
            );
            marks::quad(mesh, Rect::from_center_size(bar.center(), vec2(1.0, height)), ink);
            continue;
        }
        if let Some(outline) = outline {
            marks::quad(mesh, bar, outline);
            marks::quad(mesh, bar.shrink(1.0), ink);
        } else {
            marks::quad(mesh, bar, ink);
        }
    }
}

fn heads(
    shapes: &mut Vec<Shape>,
    axis: &Axis,
    keys: backrow_core::compass::PitchSet,
    place: Rect,
    tokens: &Tokens,
) {
    let scale = (axis.octave / 84.0).clamp(0.8, 1.5);
    for key in keys.iter() {
        let foot = if key.is_natural() { 15.5 } else { 9.5 };
        let at = pos2(axis.x(key) + axis.lane() / 2.0, place.top() + foot);
        // A halo of the ground, as the head may lie on a dark bar.
        shapes.push(Shape::convex_polygon(
            marks::head_outline(at, scale * 0.95),
            tokens.ink,
            egui::Stroke::new(2.0, tokens.raised),
        ));
        shapes.push(Shape::convex_polygon(
            marks::head_outline(at, scale * 0.95),
            tokens.ink,
            egui::Stroke::NONE,
        ));
    }
}

fn notes(shapes: &mut Vec<Shape>, axis: &Axis, reach: &Reach, place: Rect, tokens: &Tokens) {
    heads(shapes, axis, reach.reached, place, tokens);
    let scale = (axis.octave / 84.0).clamp(0.8, 1.5);
    for (keys, lower) in [(reach.lower, true), (reach.higher, false)] {
        for key in keys.iter() {
            let at = pos2(axis.x(key) + axis.lane() / 2.0, place.center().y + if lower { -4.0 } else { 4.0 });
            let ring = marks::head_outline(at, scale * 0.85);
            let halo = egui::Stroke::new(3.0, tokens.raised);
            shapes.push(Shape::convex_polygon(ring.clone(), tokens.raised, halo));
            shapes.push(Shape::closed_line(ring, egui::Stroke::new(1.1, tokens.ink)));
            let eight = at + vec2(0.0, if lower { 8.0 } else { -8.0 });
            shapes.extend(small_eight(eight, tokens));
        }
    }
    for key in reach.missing.iter() {
        let middle = pos2(axis.x(key) + axis.lane() / 2.0, place.center().y);
        shapes.extend(slot_shapes(Rect::from_center_size(middle, vec2(6.0, 16.0)), tokens));
    }
}

/// An 8 of two rings, small enough for a lane.
fn small_eight(at: egui::Pos2, tokens: &Tokens) -> [Shape; 2] {
    let stroke = egui::Stroke::new(0.9, tokens.ink);
    [
        Shape::circle_stroke(at - vec2(0.0, 1.5), 1.4, stroke),
        Shape::circle_stroke(at + vec2(0.0, 1.6), 1.7, stroke),
    ]
}

fn answer(
    painter: &Painter,
    row: &Row,
    (reach, spelling): (&Reach, &Spelling),
    place: Rect,
    tokens: &Tokens,
) {
    let mut x = place.right() - measure::ANSWERS + space::M;
    let middle = place.center().y;
    let all = reach.reached.union(reach.lacking()).len();
    let text = |x: f32, words: &str, font, ink| {
        marks::text(painter, pos2(x, middle), Align2::LEFT_CENTER, words, font, ink).right()
    };
    if reach.fit == Fit::Whole {
        marks::head(painter, pos2(x + 4.0, middle), 1.0, tokens.ink);
        text(x + 12.0, &format!("all {all}"), semibold(size::NOTE), tokens.ink);
    } else if reach.reached.is_empty() && !matches!(reach.fit, Fit::Octave(_)) {
        text(x + 12.0, "none", sans(size::NOTE), tokens.ink2);
    } else if reach.reached.len() * 3 < all && !matches!(reach.fit, Fit::Octave(_)) {
        text(x + 12.0, &format!("{} of {all}", reach.reached.len()), sans(size::NOTE), tokens.ink2);
    } else {
        if !reach.reached.is_empty() {
            marks::head(painter, pos2(x + 4.0, middle), 1.0, tokens.ink);
            x = text(x + 12.0, &reach.reached.len().to_string(), sans(size::NOTE), tokens.ink) + space::S;
        }
        let away = reach.lower.union(reach.higher).len();
        if away > 0 {
            marks::hollow_head(painter, pos2(x + 4.0, middle), 1.0, tokens.ink);
            x = text(x + 12.0, &away.to_string(), sans(size::NOTE), tokens.ink) + space::S;
        }
        if !reach.missing.is_empty() {
            slot(painter, Rect::from_center_size(pos2(x + 3.0, middle), vec2(6.0, 14.0)), tokens);
            let names: Vec<String> =
                reach.missing.iter().take(3).map(|key| spelling.of(key).to_string()).collect();
            let more = reach.missing.len().saturating_sub(3);
            let words = if more > 0 { format!("{} +{more}", names.join(" ")) } else { names.join(" ") };
            let rect = Rect::from_min_max(pos2(x + 9.0, place.top()), place.max);
            marks::text_within(
                painter,
                rect,
                Align2::LEFT_CENTER,
                &words,
                semibold(size::NOTE),
                tokens.clash,
            );
        }
    }
    if let Some((order, initials)) = &row.player {
        let chip = Rect::from_center_size(pos2(place.right() - 16.0, middle), vec2(22.0, 16.0));
        painter.rect_filled(chip, 2.0, Tokens::player(*order));
        marks::text(
            painter,
            chip.center(),
            Align2::CENTER_CENTER,
            initials,
            semibold(11.0),
            Tokens::on_player(*order),
        );
    }
}

fn hair(ui: &Ui, view: &mut Here<'_>, axis: &Axis, rows: &[Row], list: Rect) -> Option<KeyNumber> {
    let pointer = ui.input(|i| i.pointer.hover_pos()).filter(|at| {
        list.expand2(vec2(0.0, measure::AXIS)).contains(*at)
            && ui.ctx().layer_id_at(*at).is_none_or(|layer| layer == ui.layer_id())
    });
    let under = pointer.and_then(|at| {
        rows.iter()
            .find(|row| (row.top..row.top + measure::ROW).contains(&(at.y - list.top() + view.own.scroll)))
    });
    view.own.hair_octave = under.map(|row| row.octave);
    pointer.and_then(|at| axis.key_at(at.x)).or(view.own.hair)
}
