//! What is selected: its corners, and the handle that turns it.

use super::super::labels::{Labels, Look};
use super::super::scale::Scale;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::view::Selected;
use backrow_core::collection::Point;
use backrow_core::edit::Edit;
use backrow_core::stage::{Plan, to_floor};
use backrow_core::week::Placement;
use egui::{Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};

/// Corner squares and the turn handle of what is selected.
pub(super) fn selected(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    plan: &Plan,
    (scale, labels): (&Scale, &mut Labels),
) {
    let tokens = scene.tokens;
    let Some(Selected::Instrument(id)) = view.selected.clone() else { return };
    let Some(stood) = plan.thing(&id) else { return };
    let (width, depth) = stood.shape.extent();
    let at = |x: f64, y: f64| scale.pos(to_floor(&stood.placement, Point::new(x, y)));
    let box_corners =
        [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(x, y)| at(x * width, y * depth));
    // Keyboards taper: their own corners; round things have none, so those of their box.
    let own = scale.line(&stood.figure.outline);
    let corners = if own.len() == 4 { own } else { box_corners.to_vec() };
    for corner in corners {
        let corner = Rect::from_center_size(corner, vec2(6.0, 6.0));
        ui.painter().rect(corner, 0.0, tokens.raised, Stroke::new(1.2, tokens.accent), StrokeKind::Inside);
    }
    let (edge, grip) = (at(0.0, depth / 2.0), at(0.0, depth / 2.0 + 0.35));
    ui.painter().line_segment([edge, grip], Stroke::new(1.2, tokens.accent));
    ui.painter().circle(grip, 5.0, tokens.raised, Stroke::new(1.5, tokens.accent));
    let handle = ui.interact(
        Rect::from_center_size(grip, vec2(24.0, 24.0)),
        ui.scope_id().with("turn"),
        Sense::drag(),
    );
    handle.widget_info(|| {
        WidgetInfo::labeled(
            egui::Role::Slider,
            true,
            format!("Turn, {:.0} degrees", stood.placement.turn_deg),
        )
    });
    // Drawn with the other words, on a ground of its own and clear of discs and numbers.
    let of = Rect::from_center_size(grip, vec2(12.0, 12.0));
    labels.words(format!("turn {:.0}°", stood.placement.turn_deg), Look::Plain, of);
    labels.keep_clear(of);
    let Some(programme) = view.programme.clone() else { return };
    if handle.dragged()
        && !stood.placement.locked
        && let Some(now) = ui.input(|i| i.pointer.hover_pos())
    {
        let to = scale.point(now);
        // At 0 the handle points to the audience, the way of growing y; turning is clockwise as seen.
        let angle = (to.y - stood.placement.at.y).atan2(to.x - stood.placement.at.x).to_degrees() - 90.0;
        let step = if ui.input(|i| i.modifiers.shift) || !view.own.snap { 1.0 } else { 15.0 };
        let turned =
            Placement { turn_deg: ((angle / step).round() * step).rem_euclid(360.0), ..stood.placement };
        view.own.preview = vec![(id.clone(), turned)];
    }
    if handle.drag_stopped()
        && let Some((instrument, placement)) = view.own.preview.pop()
    {
        view.own.preview.clear();
        scene.edit(Edit::Stand { programme: programme.clone(), instrument, placement });
    }
}
