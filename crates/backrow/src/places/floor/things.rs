//! What stands on the floor: outlines, bars, numbers, people; moved and turned with the pointer.

use super::many::is_chosen;
use super::scale::Scale;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, semibold};
use crate::view::{Carried, Selected, View};
use backrow_core::collection::{Instrument, Layout, Point, Shape as Outline};
use backrow_core::edit::Edit;
use backrow_core::pitch::KeyNumber;
use backrow_core::stage::{Checks, Plan, Snap, Stood, snap, to_floor};
use backrow_core::week::Placement;
use egui::{Align2, CursorIcon, Painter, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// How near an edge must be for a thing to be drawn to it, metres.
const EDGE_REACH_M: f64 = 0.10;

/// To the grid of 5 cm and 15 degrees, and to nothing else.
const SNAP: Snap<'static> = Snap { grid: true, outlines: &[], reach_m: 0.0 };

/// Draws everything on the floor, worst last, and takes drags.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut View,
    (plan, checks): (&Plan, &Checks),
    scale: &Scale,
) {
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(scale.area);
    if view.floor.shown.standing {
        for stood in plan.things.iter().filter(|stood| !stood.played_by.is_empty()) {
            let room = scale.line(&stood.standing.room);
            let line: Vec<_> = room.iter().chain(room.first()).copied().collect();
            painter.extend(Shape::dotted_line(&line, tokens.ink2, 4.0, 0.8));
        }
    }
    for stood in &plan.things {
        thing(ui, scene, view, stood, scale, &painter);
    }
    troubles(&painter, scene, (plan, checks), scale);
    for stood in &plan.things {
        number(&painter, view, stood, scale, &tokens);
        people(&painter, scene, stood, scale);
    }
    selected(ui, scene, view, plan, scale);
    drop_in(ui, scene, view, scale);
    key(&painter, scene, plan, scale, view.floor.shown.loads);
}

fn thing(ui: &Ui, scene: &mut Scene<'_>, view: &mut View, stood: &Stood, scale: &Scale, painter: &Painter) {
    let tokens = scene.tokens;
    let Some(instrument) = scene.library.instruments.get(&stood.instrument).cloned() else { return };
    let outline = scale.line(&stood.figure.outline);
    let bounds = Rect::from_points(&outline);
    let place =
        bounds.expand2(vec2((24.0 - bounds.width()).max(0.0), (24.0 - bounds.height()).max(0.0)) / 2.0);
    let response = ui.interact(
        place.intersect(scale.area),
        ui.scope_id().with(("stood", instrument.id.as_str())),
        Sense::click_and_drag(),
    );
    let here = is_chosen(view, &instrument.id);
    let label = format!(
        "{} {} at {:.2}, {:.2}, turned {:.0}°",
        stood.placement.number,
        instrument.name,
        stood.placement.at.x,
        stood.placement.at.y,
        stood.placement.turn_deg
    );
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, &label));
    let line = if here || response.has_focus() { tokens.accent } else { tokens.ink };
    let fill = if here { tokens.soft } else { tokens.raised };
    painter.add(Shape::convex_polygon(outline, fill, Stroke::new(1.2, line)));
    inside(painter, &instrument, stood, scale, &tokens);
    if let Some(low) = stood.low_end {
        wedge(painter, scale, &instrument, stood, low, &tokens);
    }
    let response = response
        .on_hover_text(format!("{}. {}", stood.placement.number, instrument.name))
        .on_hover_cursor(CursorIcon::Grab);
    if response.clicked() {
        if ui.input(|i| i.modifiers.command) {
            super::many::toggle(view, &instrument.id);
        } else {
            view.floor.also.clear();
            scene.ask(Intent::Select(Some(Selected::Instrument(instrument.id.clone()))));
        }
    }
    move_it(ui, scene, view, stood, scale, &response);
}

/// The number on the audience's side, over everything that stands.
fn number(painter: &Painter, view: &View, stood: &Stood, scale: &Scale, tokens: &Tokens) {
    let here = matches!(&view.selected, Some(Selected::Instrument(id)) if *id == stood.instrument);
    let line = if here { tokens.accent } else { tokens.ink };
    let front = to_floor(&stood.placement, Point::new(0.0, stood.shape.extent().1 / 2.0));
    let (front, middle) = (scale.pos(front), scale.pos(stood.placement.at));
    let at = middle + (front - middle) * 0.82;
    marks::ring(painter, at, &stood.placement.number.to_string(), tokens.raised, line);
}

fn move_it(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut View,
    stood: &Stood,
    scale: &Scale,
    response: &egui::Response,
) {
    if stood.placement.locked {
        return;
    }
    if response.drag_started() && !is_chosen(view, &stood.instrument) {
        view.floor.also.clear();
        view.selected = Some(Selected::Instrument(stood.instrument.clone()));
    }
    if response.dragged() {
        drag(ui, scene, view, stood, scale);
    }
    if response.drag_stopped() {
        let moved = std::mem::take(&mut view.floor.preview);
        let Some(programme) = view.programme.clone() else { return };
        for (instrument, placement) in &moved {
            let Some(thing) = scene.library.instruments.get(instrument) else { continue };
            if let Some(why) = refusal(scene, view, thing.footprint.shape, placement) {
                scene.ask(Intent::Say(format!("{} stays where it was: {why}.", thing.name)));
                return;
            }
        }
        match moved.as_slice() {
            [] => {}
            [(instrument, placement)] => {
                let instrument = instrument.clone();
                scene.edit(Edit::Stand { programme, instrument, placement: *placement });
            }
            many => {
                let words = format!("Move {} things", many.len());
                scene.edit(super::many::stand_all(&programme, words, many.to_vec()));
            }
        }
    }
}

/// Everything that is chosen goes with the pointer; the one in hand snaps, the others keep their distance to it.
fn drag(ui: &Ui, scene: &Scene<'_>, view: &mut View, stood: &Stood, scale: &Scale) {
    let Some(programme) = view.floor.shown_programme.clone() else { return };
    let placements = &programme.setup.placements;
    let (Some(base), Some(origin), Some(now)) = (
        placements.get(&stood.instrument).copied(),
        ui.input(|i| i.pointer.press_origin()),
        ui.input(|i| i.pointer.hover_pos()),
    ) else {
        return;
    };
    let (from, to) = (scale.point(origin), scale.point(now));
    let moved = Placement { at: Point::new(base.at.x + to.x - from.x, base.at.y + to.y - from.y), ..base };
    let free = ui.input(|i| i.modifiers.shift) || !view.floor.snap;
    let chosen = super::many::chosen(view);
    let moved = if free { moved } else { snapped(scene, &programme, &chosen, stood, &moved) };
    let (x, y) = (moved.at.x - base.at.x, moved.at.y - base.at.y);
    let others = chosen.into_iter().filter(|id| *id != stood.instrument).filter_map(|id| {
        let other = placements.get(&id).filter(|other| !other.locked)?;
        Some((id, Placement { at: Point::new(other.at.x + x, other.at.y + y), ..*other }))
    });
    view.floor.preview =
        std::iter::once((stood.instrument.clone(), moved)).chain(others.collect::<Vec<_>>()).collect();
}

/// To an edge of the floor, of a riser or of a neighbour within reach; else to the grid.
fn snapped(
    scene: &Scene<'_>,
    programme: &backrow_core::week::Programme,
    chosen: &[backrow_core::id::InstrumentId],
    stood: &Stood,
    moved: &Placement,
) -> Placement {
    let venue = programme.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    let near: Vec<Vec<Point>> = programme
        .setup
        .placements
        .iter()
        .filter(|(id, at)| !chosen.contains(id) && at.at.distance(moved.at) < 4.0)
        .filter_map(|(id, at)| {
            let shape = scene.library.instruments.get(id)?.footprint.shape;
            Some(backrow_core::stage::figure(shape, at).outline)
        })
        .collect();
    let halls = venue.iter().flat_map(|venue| {
        std::iter::once(venue.floor.as_slice())
            .chain(venue.risers.iter().map(|riser| riser.outline.as_slice()))
    });
    let outlines: Vec<&[Point]> = halls.chain(near.iter().map(Vec::as_slice)).collect();
    snap(stood.shape, moved, &Snap { grid: true, outlines: &outlines, reach_m: EDGE_REACH_M })
}

/// Why a thing may not stand there: more than half of it off the floor, or in an area not to enter.
fn refusal(scene: &Scene<'_>, view: &View, shape: Outline, placement: &Placement) -> Option<String> {
    let programme = view.floor.shown_programme.clone()?;
    let venue = scene.library.venues.get(programme.venue.as_ref()?)?;
    let figure = backrow_core::stage::figure(shape, placement);
    let half = figure.area_m2() / 2.0;
    if backrow_core::stage::outside(&figure, &venue.floor).is_some_and(|out| out.area_m2 > half) {
        return Some("that is off the floor".to_owned());
    }
    let within = venue.keep_out.iter().find(|area| {
        backrow_core::stage::intrusion(&figure, &area.outline).is_some_and(|part| part.area_m2 > half)
    })?;
    Some(format!("that is not to enter ({})", within.name))
}

/// Bars in their true rows, drum heads, racks.
fn inside(painter: &Painter, instrument: &Instrument, stood: &Stood, scale: &Scale, tokens: &Tokens) {
    let at = |x: f64, y: f64| scale.pos(to_floor(&stood.placement, Point::new(x, y)));
    match stood.shape {
        Outline::Round { diameter_m } => {
            let ink = Tokens::mix(tokens.raised, tokens.material(instrument.material), 0.55);
            let radius = crate::app::to_f32(diameter_m / 2.0) * scale.a_metre;
            painter.circle(at(0.0, 0.0), radius * 0.84, ink, Stroke::new(1.0, tokens.ink2));
        }
        Outline::Hung { width_m, .. } => {
            let bar = [at(-width_m * 0.43, 0.0), at(width_m * 0.43, 0.0)];
            painter.line_segment(bar, Stroke::new(3.0, tokens.material(instrument.material)));
        }
        Outline::Box { width_m, depth_m } if instrument.is_pitched() => {
            let count = instrument.bar_count().max(1);
            for bar in 0..count {
                let x = width_m * ((f64::from(bar) + 0.5) / f64::from(count) - 0.5) * 0.9;
                let y = if bar % 2 == 0 { -depth_m * 0.15 } else { depth_m * 0.15 };
                painter.circle_filled(at(x, y), 2.0, tokens.material(instrument.material));
            }
        }
        Outline::Box { .. } => {}
        Outline::Keyboard { width_m, low_m, high_m } => {
            keyboard(painter, instrument, (width_m, low_m, high_m), &at, tokens);
        }
    }
}

fn keyboard(
    painter: &Painter,
    instrument: &Instrument,
    (width, low_m, high_m): (f64, f64, f64),
    at: &impl Fn(f64, f64) -> egui::Pos2,
    tokens: &Tokens,
) {
    let bars: Vec<KeyNumber> = instrument.bars().iter().collect();
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return };
    let natural = |key: &KeyNumber| f64::from(key.number()) * 7.0 / 12.0;
    let (from, span) = (natural(first), natural(last) - natural(first) + 1.0);
    let ink = tokens.material(instrument.material);
    for key in &bars {
        // The low end is at the right of an unturned plan.
        let share = (natural(key) - from + 0.5) / span;
        let x = width * (0.5 - share) * 0.95;
        let depth = low_m + (high_m - low_m) * share;
        let two = instrument.layout == Layout::TwoRows;
        let (near, far) = match (two, key.is_natural()) {
            (true, true) => (-0.45, 0.0),
            (true, false) => (0.04, 0.45),
            (false, _) => (-0.4, 0.4),
        };
        let half = (width / span * 0.38).min(0.05);
        let corners = [(x - half, near), (x + half, near), (x + half, far), (x - half, far)]
            .map(|(x, y)| at(x, y * depth))
            .to_vec();
        painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
    }
}

fn wedge(
    painter: &Painter,
    scale: &Scale,
    instrument: &Instrument,
    stood: &Stood,
    low: Point,
    tokens: &Tokens,
) {
    let (tip, middle) = (scale.pos(low), scale.pos(stood.placement.at));
    let out = (tip - middle).normalized();
    let side = vec2(-out.y, out.x);
    let base = tip + out * 3.0;
    let corners = vec![base + side * 4.0, base + out * 7.0, base - side * 4.0];
    painter.add(Shape::convex_polygon(corners, tokens.ink, Stroke::NONE));
    if let Some(key) = instrument.bars().lowest() {
        marks::text(
            painter,
            base + out * 18.0,
            Align2::CENTER_CENTER,
            &key.to_string(),
            sans(11.0),
            tokens.ink2,
        );
    }
}

fn people(painter: &Painter, scene: &Scene<'_>, stood: &Stood, scale: &Scale) {
    for (at, player) in stood.played_by.iter().filter_map(|id| scene.library.players.get(id)).enumerate() {
        let place = scale.pos(stood.standing.place) + vec2(16.0 * at as f32, 0.0);
        marks::disc(painter, place, 18.0, player);
    }
}

fn troubles(painter: &Painter, scene: &Scene<'_>, (plan, checks): (&Plan, &Checks), scale: &Scale) {
    let tokens = scene.tokens;
    for over in &checks.overlaps {
        let common = scale.line(&over.overlap.common);
        let bounds = Rect::from_points(&common);
        painter.add(Shape::convex_polygon(common, tokens.clash, Stroke::NONE));
        let words = format!("overlap {:.2} m", over.overlap.depth_m);
        flag(painter, bounds.left_bottom() + vec2(0.0, 6.0), &words, &tokens);
    }
    for trouble in &checks.troubles {
        let piece = scale.line(&trouble.intrusion.piece);
        let bounds = Rect::from_points(&piece);
        painter.add(Shape::closed_line(piece, Stroke::new(2.0, tokens.clash)));
        let words = if trouble.area.is_some() { "not to enter" } else { "off the floor" };
        flag(painter, bounds.left_bottom() + vec2(0.0, 4.0), words, &tokens);
    }
    for hidden in &checks.hidden {
        let (Some(stood), Some(other)) = (plan.things.get(hidden.thing), plan.things.get(hidden.by)) else {
            continue;
        };
        let line = [scale.pos(stood.standing.place), scale.pos(other.placement.at)];
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.2, tokens.care), 5.0, 4.0));
        let at = line[0] + (line[1] - line[0]) * 0.5;
        marks::mark(painter, at, marks::Mark::Care, &tokens);
        let words = at + vec2(10.0, 0.0);
        marks::text(
            painter,
            words,
            Align2::LEFT_CENTER,
            "conductor hidden",
            semibold(size::NOTE),
            tokens.care,
        );
    }
    for away in &checks.away {
        let Some(stood) = plan.things.get(away.thing) else { continue };
        let at = scale.pos(stood.standing.place) + vec2(0.0, 14.0);
        marks::mark(painter, at, marks::Mark::Care, &tokens);
        let words = at + vec2(10.0, 0.0);
        marks::text(
            painter,
            words,
            Align2::LEFT_CENTER,
            "turned backwards",
            semibold(size::NOTE),
            tokens.care,
        );
    }
    for narrow in &checks.narrow {
        let (from, to) = (scale.pos(narrow.gap.from), scale.pos(narrow.gap.to));
        painter.line_segment([from, to], Stroke::new(1.5, tokens.care));
        let at = from + (to - from) * 0.5 + vec2(10.0, 8.0);
        marks::mark(painter, at, marks::Mark::Care, &tokens);
        marks::text(
            painter,
            at + vec2(10.0, 0.0),
            Align2::LEFT_CENTER,
            &format!("{:.2} m", narrow.gap.metres),
            semibold(size::NOTE),
            tokens.care,
        );
    }
}

/// Words on a bar of clash.
fn flag(painter: &Painter, at: egui::Pos2, words: &str, tokens: &Tokens) {
    let galley = painter.layout_no_wrap(words.to_owned(), semibold(size::NOTE), tokens.on_fill());
    let rect = Rect::from_min_size(at, galley.size() + vec2(10.0, 3.0));
    painter.rect_filled(rect, 0.0, tokens.clash);
    painter.galley(rect.min + vec2(5.0, 1.0), galley, tokens.on_fill());
}

/// Corner squares, the turn handle, and the figures of what is selected.
fn selected(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, plan: &Plan, scale: &Scale) {
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
    let words = format!("turn {:.0}°", stood.placement.turn_deg);
    marks::text(
        ui.painter(),
        grip + vec2(10.0, 0.0),
        Align2::LEFT_CENTER,
        &words,
        semibold(size::NOTE),
        tokens.accent,
    );
    let Some(programme) = view.programme.clone() else { return };
    if handle.dragged()
        && !stood.placement.locked
        && let Some(now) = ui.input(|i| i.pointer.hover_pos())
    {
        let to = scale.point(now);
        // At 0 the handle points to the audience, the way of growing y; turning is clockwise as seen.
        let angle = (to.y - stood.placement.at.y).atan2(to.x - stood.placement.at.x).to_degrees() - 90.0;
        let step = if ui.input(|i| i.modifiers.shift) || !view.floor.snap { 1.0 } else { 15.0 };
        let turned =
            Placement { turn_deg: ((angle / step).round() * step).rem_euclid(360.0), ..stood.placement };
        view.floor.preview = vec![(id.clone(), turned)];
    }
    if handle.drag_stopped()
        && let Some((instrument, placement)) = view.floor.preview.pop()
    {
        view.floor.preview.clear();
        scene.edit(Edit::Stand { programme: programme.clone(), instrument, placement });
    }
    super::figures::ui(ui, scene, view, stood, scale);
}

/// An instrument carried over the plan stands where it is let go, if that is on the floor.
fn drop_in(ui: &Ui, scene: &mut Scene<'_>, view: &mut View, scale: &Scale) {
    let carried = egui::DragAndDrop::payload::<Carried>(ui.ctx());
    let Some(Carried::Instrument(id)) = carried.as_deref() else { return };
    let Some(at) = ui.input(|i| i.pointer.hover_pos()).filter(|at| scale.area.contains(*at)) else { return };
    let Some(thing) = scene.library.instruments.get(id) else { return };
    ui.painter().rect_stroke(scale.area, 0.0, Stroke::new(2.0, scene.tokens.accent), StrokeKind::Inside);
    let placement = Placement { at: scale.point(at), turn_deg: 0.0, number: 0, locked: false };
    let shape = thing.footprint.shape;
    let outline = scale.line(&backrow_core::stage::figure(shape, &placement).outline);
    let why = refusal(scene, view, shape, &placement);
    let (fill, line) = match &why {
        Some(_) => (Tokens::mix(scene.tokens.raised, scene.tokens.clash, 0.16), scene.tokens.clash),
        None => (scene.tokens.soft, scene.tokens.accent),
    };
    let painter = ui.painter().with_clip_rect(scale.area);
    painter.add(Shape::convex_polygon(outline, fill, Stroke::new(1.5, line)));
    if let Some(why) = why {
        flag(&painter, at + vec2(12.0, 12.0), &format!("No: {why}"), &scene.tokens);
    }
    if ui.input(|i| i.pointer.any_released()) {
        egui::DragAndDrop::clear_payload(ui.ctx());
        let id = id.clone();
        stand(scene, view, &id, placement.at);
    }
}

/// The proposed place where there is one, else the middle of what is seen.
pub(super) fn free_spot(scene: &Scene<'_>, view: &View, id: &backrow_core::id::InstrumentId) -> Point {
    let middle = Point::new(view.floor.pan.x, 3.0 + view.floor.pan.y);
    let Some(programme) = view.floor.shown_programme.clone() else { return middle };
    let venue = programme.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    // Only this one is asked about: the rest of the share-out finds its place later.
    let mut alone = (*programme).clone();
    alone.share_out.retain(|_, given| given.instruments.contains(id));
    for given in alone.share_out.values_mut() {
        given.instruments.retain(|other| other == id);
    }
    if alone.share_out.is_empty() {
        alone.share_out.insert(
            backrow_core::week::CallRef {
                work: backrow_core::id::WorkId::fresh("any", |_| false),
                call: backrow_core::id::CallId::fresh("any", |_| false),
            },
            backrow_core::week::Assignment { instruments: vec![id.clone()], ..Default::default() },
        );
    }
    let found = venue.and_then(|venue| {
        backrow_core::stage::propose(scene.library, &alone, venue).get(id).map(|placement| placement.at)
    });
    found.unwrap_or(middle)
}

/// Stands an instrument at a place; outside the floor it is refused with its reason.
pub(super) fn stand(scene: &mut Scene<'_>, view: &mut View, id: &backrow_core::id::InstrumentId, at: Point) {
    let Some(programme) = view.floor.shown_programme.clone() else { return };
    let Some(thing) = scene.library.instruments.get(id) else { return };
    let old = programme.setup.placements.get(id).copied();
    let whole = view.programme_in(scene.library).map(|whole| &whole.setup);
    let number = whole.map_or(1, |setup| setup.number_of(id).unwrap_or_else(|| setup.next_number()));
    let placement = Placement { at, turn_deg: old.map_or(0.0, |old| old.turn_deg), number, locked: false };
    let placement = if view.floor.snap { snap(thing.footprint.shape, &placement, &SNAP) } else { placement };
    if let Some(why) = refusal(scene, view, thing.footprint.shape, &placement) {
        scene.ask(Intent::Say(format!("{} was not put there: {why}.", thing.name)));
        return;
    }
    view.in_hand = None;
    let (programme, instrument) = (programme.id.clone(), id.clone());
    scene.ask(Intent::Select(Some(Selected::Instrument(instrument.clone()))));
    scene.edit(Edit::Stand { programme, instrument, placement });
}

/// Numbers and names in the plan's empty corners; only in the left one while the loads take the right.
fn key(painter: &Painter, scene: &Scene<'_>, plan: &Plan, scale: &Scale, left_only: bool) {
    let tokens = scene.tokens;
    if plan.things.is_empty() {
        let words = "Nothing stands here yet. Drag the largest first, from below.";
        marks::text(
            painter,
            scale.area.center(),
            Align2::CENTER_CENTER,
            words,
            sans(size::TEXT),
            tokens.ink2,
        );
        return;
    }
    let mut things: Vec<&Stood> = plan.things.iter().collect();
    things.sort_by_key(|stood| stood.placement.number);
    let rows = 6;
    for (at, stood) in things.iter().enumerate() {
        let (column, row) = (at / rows, at % rows);
        if left_only && column > 1 {
            break;
        }
        let bottom = scale.area.bottom() - 40.0 - 17.0 * (rows - 1 - row) as f32;
        // Two columns at the left, the rest at the right, clear of the conductor.
        let x = if column < 2 {
            scale.area.left() + space::M + 150.0 * column as f32
        } else {
            scale.area.right() - 165.0 * (column - 1) as f32
        };
        let words =
            format!("{}  {}", stood.placement.number, scene.library.instrument_name(&stood.instrument));
        let rect = Rect::from_min_size(pos2(x, bottom - 15.0), vec2(145.0, 15.0));
        if rect.left() > scale.area.center().x - 60.0 || column < 2 {
            let wide = painter.layout_no_wrap(words.clone(), sans(size::NOTE), tokens.ink2).size().x;
            let ground = Rect::from_min_size(rect.min, vec2(wide.min(rect.width()) + 4.0, 15.0));
            painter.rect_filled(ground, 0.0, tokens.raised);
            marks::text_within(painter, rect, Align2::LEFT_CENTER, &words, sans(size::NOTE), tokens.ink2);
        }
    }
}
