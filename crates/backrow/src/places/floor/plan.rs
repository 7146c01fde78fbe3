//! The hall: grid, floor, risers, areas not to enter, conductor, scale bar.

use super::labels::{Labels, Look};
use super::scale::Scale;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, serif_italic};
use backrow_core::collection::{AreaUse, Point, Venue};
use backrow_core::stage::{Plan, Stood, inside};
use egui::{Align2, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, pos2, vec2};

/// A plan narrower than this has no room for all the words at its foot, points.
const WHOLE_WORDS: f32 = 620.0;
/// Words of an area narrower than this stand beside it, points.
const SMALL: f32 = 40.0;

/// Draws the hall; a drag on empty floor moves the view, the wheel zooms about the pointer.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (venue, plan): (&Venue, &Plan),
    (scale, labels): (&Scale, &mut Labels),
) {
    let tokens = scene.tokens;
    let response = ui.interact(scale.area, ui.scope_id().with("floor"), Sense::click_and_drag());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Canvas, true, format!("Floor of {}", venue.name))
    });
    choose_by_box(ui, scene, view, scale, &response);
    if response.dragged() && view.own.box_from.is_none() {
        let by = response.drag_delta() / scale.a_metre;
        view.own.pan.x -= f64::from(by.x);
        view.own.pan.y -= f64::from(by.y);
    }
    if response.clicked() {
        view.selected = None;
        view.own.also.clear();
    }
    zoom(ui, view, scale);
    let painter = ui.painter().with_clip_rect(scale.area);
    painter.rect_filled(scale.area, 0.0, tokens.raised);
    grid(&painter, scale, &tokens);
    for area in &venue.keep_out {
        let outline = scale.line(&area.outline);
        painter.extend(Shape::dashed_line(&closed(&outline), Stroke::new(1.0, tokens.ink3), 6.0, 4.0));
        if area.kept_for != AreaUse::WayIn {
            hatch(&painter, &outline, &tokens);
        }
        if let Some(middle) = centre(&area.outline) {
            let bounds = Rect::from_points(&outline);
            if bounds.width() < SMALL {
                // Beside it, as it would be hidden.
                labels.words(area.words(), Look::Small, bounds);
            } else {
                let look = Look::Area(bounds.width() - 4.0);
                labels.words_on(area.words(), look, (bounds, scale.pos(middle)));
            }
        }
    }
    labels.keep_clear(back_wall(&painter, scale, venue, &tokens));
    painter.add(Shape::closed_line(scale.line(&venue.floor), Stroke::new(1.5, tokens.ink)));
    let taken: Vec<Rect> = plan.things.iter().map(|stood| room_of(stood, scale)).collect();
    for riser in &venue.risers {
        painter.add(Shape::closed_line(scale.line(&riser.outline), Stroke::new(1.5, tokens.ink)));
        let inner: Vec<Point> = shrunk(&riser.outline);
        painter.add(Shape::closed_line(scale.line(&inner), Stroke::new(1.0, tokens.line)));
        let words = format!("{} +{:.2}\u{202F}m", riser.name, riser.height_m);
        let room = Rect::from_points(&scale.line(&riser.outline)).shrink(8.0);
        let galley = painter.layout(words, sans(size::NOTE), tokens.ink2, room.width().max(40.0));
        let at = free_corner(&riser.outline, galley.size(), &taken, scale);
        labels.keep_clear(Rect::from_min_size(at, galley.size()));
        painter.galley(at, galley, tokens.ink2);
    }
    if let Some(at) = venue.conductor {
        let place = Rect::from_center_size(scale.pos(at), vec2(1.0, 1.0) * scale.a_metre);
        painter.rect_stroke(place, 0.0, Stroke::new(1.0, tokens.ink2), StrokeKind::Inside);
        painter.circle_stroke(place.center(), 4.0, Stroke::new(1.0, tokens.ink2));
        labels.keep_clear(place);
        let words = marks::text(
            &painter,
            place.right_center() + vec2(6.0, 0.0),
            Align2::LEFT_CENTER,
            "conductor",
            sans(size::NOTE),
            tokens.ink2,
        );
        labels.keep_clear(words);
    }
    foot(&painter, scale, &tokens);
    // What stands at the foot: scale, audience, grid.
    labels.keep_clear(Rect::from_min_max(
        scale.area.left_bottom() - vec2(0.0, 34.0),
        scale.area.right_bottom(),
    ));
}

/// With Shift a drag on empty floor chooses what lies in a box.
fn choose_by_box(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>, scale: &Scale, response: &egui::Response) {
    if response.drag_started() && ui.input(|i| i.modifiers.shift) {
        view.own.box_from = ui.input(|i| i.pointer.press_origin());
    }
    let Some(from) = view.own.box_from else { return };
    let Some(now) = ui.input(|i| i.pointer.hover_pos()) else { return };
    let area = Rect::from_two_pos(from, now);
    let painter =
        ui.ctx().layer_painter(egui::LayerId::new(egui::Order::Middle, egui::Id::unique("box on the floor")));
    painter.rect_stroke(area, 0.0, Stroke::new(1.0, scene.tokens.accent), StrokeKind::Inside);
    if response.drag_stopped() {
        view.own.box_from = None;
        let Some(programme) = view.own.shown() else { return };
        let inside = programme.setup.places().filter(|(_, at)| area.contains(scale.pos(at.at)));
        let ids: std::collections::BTreeSet<_> = inside.map(|(id, _)| id.clone()).collect();
        view.selected = ids.first().cloned().map(crate::view::Selected::Instrument);
        view.own.also = ids;
    }
}

/// A band along the back edge, where the floor begins.
fn back_wall(painter: &egui::Painter, scale: &Scale, venue: &Venue, tokens: &Tokens) -> Rect {
    let bounds = Rect::from_points(&scale.line(&venue.floor));
    let wall = Rect::from_x_y_ranges(bounds.x_range(), bounds.top() - 16.0..=bounds.top());
    painter.rect_filled(wall, 0.0, tokens.sunken);
    let font = sans(size::NOTE);
    marks::text(painter, wall.center(), Align2::CENTER_CENTER, "back wall", font, tokens.ink2)
}

/// A thing with the room of whoever plays it.
fn room_of(stood: &Stood, scale: &Scale) -> Rect {
    let standing = [Some(stood.standing), stood.across].into_iter().flatten();
    let rooms = standing.filter(|_| !stood.played_by.is_empty()).flat_map(|standing| standing.room);
    let points: Vec<Point> = stood.figure.outline.iter().copied().chain(rooms).collect();
    Rect::from_points(&scale.line(&points))
}

/// Where words of that size hide least of what stands there, near a corner inside the outline; the highest first.
fn free_corner(outline: &[Point], size: Vec2, taken: &[Rect], scale: &Scale) -> Pos2 {
    let inset = vec2(8.0, 6.0);
    let near = |corner: Pos2| {
        [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)].map(|(x, y)| {
            let middle = corner + vec2(x, y) * (size / 2.0 + inset);
            Rect::from_center_size(middle, size)
        })
    };
    let within = |rect: &Rect| {
        let corners = [rect.left_top(), rect.right_top(), rect.left_bottom(), rect.right_bottom()];
        corners.iter().all(|corner| inside(scale.point(*corner), outline))
    };
    let hidden = |rect: &Rect| -> f32 {
        taken
            .iter()
            .map(|thing| thing.intersect(*rect))
            .filter(Rect::is_positive)
            .map(|part| part.area())
            .sum()
    };
    let mut best: Option<((f32, f32, f32), Pos2)> = None;
    for rect in outline.iter().flat_map(|corner| near(scale.pos(*corner))).filter(within) {
        let cost = (hidden(&rect), rect.top(), rect.left());
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, rect.min));
        }
    }
    best.map_or_else(|| Rect::from_points(&scale.line(outline)).min + inset, |(_, at)| at)
}

fn zoom(ui: &Ui, view: &mut Here<'_>, scale: &Scale) {
    if !ui.rect_contains_pointer(scale.area) {
        return;
    }
    let (wheel, pointer) =
        ui.input(|i| (i.smooth_scroll_delta().y + 40.0 * (i.zoom_delta() - 1.0), i.pointer.hover_pos()));
    let step = if wheel > 4.0 {
        1
    } else if wheel < -4.0 {
        -1
    } else {
        0
    };
    let next = (view.own.zoom + step).clamp(-3, 10);
    if let (Some(at), true) = (pointer, next != view.own.zoom) {
        // The point under the pointer stays there.
        let under = scale.point(at);
        let middle = scale.point(scale.area.center());
        let keep = 1.0 - 1.0 / 1.25_f64.powi(next - view.own.zoom);
        view.own.pan.x += (under.x - middle.x) * keep;
        view.own.pan.y += (under.y - middle.y) * keep;
        view.own.zoom = next;
    }
}

fn grid(painter: &egui::Painter, scale: &Scale, tokens: &Tokens) {
    let ink = Tokens::mix(tokens.raised, tokens.line, 0.5);
    let (from, to) = (scale.point(scale.area.min), scale.point(scale.area.max));
    let (mut x, mut y) = (from.x.ceil(), from.y.ceil());
    while x <= to.x {
        marks::upright(painter, scale.pos(Point::new(x, 0.0)).x, scale.area.y_range(), ink);
        x += 1.0;
    }
    while y <= to.y {
        marks::hairline(painter, scale.area.x_range(), scale.pos(Point::new(0.0, y)).y, ink);
        y += 1.0;
    }
}

fn foot(painter: &egui::Painter, scale: &Scale, tokens: &Tokens) {
    let left = scale.area.left_bottom() + vec2(space::M, -space::M);
    for metre in 0..4_u8 {
        let bar = Rect::from_min_size(
            left + vec2(f32::from(metre) * scale.a_metre, -4.0),
            vec2(scale.a_metre, 4.0),
        );
        let fill = if metre % 2 == 0 { tokens.ink } else { tokens.raised };
        painter.rect(bar, 0.0, fill, Stroke::new(1.0, tokens.ink), StrokeKind::Inside);
    }
    for (metre, words) in [(0.0, "0"), (1.0, "1"), (2.0, "2"), (4.0, "4\u{202f}m")] {
        marks::text(
            painter,
            left + vec2(metre * scale.a_metre, -6.0),
            Align2::LEFT_BOTTOM,
            words,
            sans(size::NOTE),
            tokens.ink2,
        );
    }
    let bottom = scale.area.center_bottom() - vec2(0.0, 6.0);
    marks::text(painter, bottom, Align2::CENTER_BOTTOM, "audience", serif_italic(size::TEXT), tokens.ink2);
    // In a narrow plan the long words would lie over the audience.
    let right = scale.area.right_bottom() - vec2(space::M, 6.0);
    let long = "grid 1\u{202f}m; left and right as the audience sees";
    let words = if scale.area.width() < WHOLE_WORDS { "grid 1\u{202f}m" } else { long };
    marks::text(painter, right, Align2::RIGHT_BOTTOM, words, sans(size::NOTE), tokens.ink2);
    painter.rect_stroke(scale.area, 0.0, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
}

fn closed(points: &[egui::Pos2]) -> Vec<egui::Pos2> {
    points.iter().chain(points.first()).copied().collect()
}

/// Slanting hairlines inside an outline.
fn hatch(painter: &egui::Painter, outline: &[egui::Pos2], tokens: &Tokens) {
    let bounds = Rect::from_points(outline);
    let mut start = bounds.left() - bounds.height();
    while start < bounds.right() {
        // Where the slant x = start + (y - top) crosses the outline, in pairs.
        let offset = |p: &egui::Pos2| (p.x - start) - (p.y - bounds.top());
        let mut cuts: Vec<f32> = Vec::new();
        for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
            let (u, v) = (offset(a), offset(b));
            if (u < 0.0) != (v < 0.0) {
                cuts.push(a.y + (b.y - a.y) * u / (u - v));
            }
        }
        cuts.sort_by(f32::total_cmp);
        for pair in cuts.chunks_exact(2) {
            if let [from, to] = pair {
                let at = |y: f32| pos2(start + y - bounds.top(), y);
                painter.line_segment([at(*from), at(*to)], Stroke::new(1.0, tokens.line));
            }
        }
        start += 14.0;
    }
}

fn centre(points: &[Point]) -> Option<Point> {
    let count = points.len() as f64;
    (count > 0.0).then(|| {
        Point::new(
            points.iter().map(|p| p.x).sum::<f64>() / count,
            points.iter().map(|p| p.y).sum::<f64>() / count,
        )
    })
}

/// The outline drawn 8 cm towards its middle, for the second line of a step.
fn shrunk(points: &[Point]) -> Vec<Point> {
    let Some(middle) = centre(points) else { return Vec::new() };
    let toward = |p: &Point| {
        let far = p.distance(middle).max(0.1);
        let keep = 1.0 - (0.08 / far).min(0.5);
        Point::new(middle.x + (p.x - middle.x) * keep, middle.y + (p.y - middle.y) * keep)
    };
    points.iter().map(toward).collect()
}
