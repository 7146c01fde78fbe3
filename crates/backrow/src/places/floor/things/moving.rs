//! Things under way: dragged over the floor or in from below, snapped, refused where they may not stand.

use super::super::chosen::is_chosen;
use super::super::scale::Scale;
use super::troubles::flag;
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::places::floor::between::own_work;
use crate::scene::Scene;
use crate::theme::tokens::Tokens;
use crate::view::{Carried, Selected};
use backrow_core::collection::{Point, Shape as Outline};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::stage::{Side, Snap, Stood, snap, standing};
use backrow_core::week::Placement;
use egui::{Shape, Stroke, StrokeKind, Ui, vec2};

/// How near an edge must be for a thing to be drawn to it, metres.
const EDGE_REACH_M: f64 = 0.10;

/// To the grid of 5 cm, and to nothing else; a thing keeps its turn.
const SNAP: Snap<'static> = Snap { grid: true, outlines: &[], places: &[], reach_m: 0.0 };

pub(super) fn move_it(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    stood: &Stood,
    scale: &Scale,
    response: &egui::Response,
) {
    if stood.placement.locked {
        return;
    }
    if response.drag_started() && !is_chosen(view, &stood.instrument) {
        view.own.also.clear();
        view.selected = Some(Selected::Instrument(stood.instrument.clone()));
    }
    if response.dragged() {
        drag(ui, scene, view, stood, scale);
    }
    if response.drag_stopped() {
        let moved = std::mem::take(&mut view.own.preview);
        let Some(programme) = view.programme.clone() else { return };
        for (instrument, placement) in &moved {
            let Some(thing) = scene.library.instruments.get(instrument) else { continue };
            if let Some(why) = refusal(scene, view, thing.footprint.shape, placement) {
                scene.ask(Intent::Fail(format!("{} stays where it was: {why}.", thing.name)));
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
                let words = format!("Move {} instruments", many.len());
                scene.edit(super::super::many::stand_all(&programme, words, many.to_vec()));
            }
        }
    }
}

/// Everything that is chosen goes with the pointer; the one in hand snaps, the others keep their distance to it.
fn drag(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>, stood: &Stood, scale: &Scale) {
    let Some(programme) = view.own.shown() else { return };
    let setup = &programme.setup;
    let (Some(base), Some(origin), Some(now)) = (
        setup.place(&stood.instrument).copied(),
        ui.input(|i| i.pointer.press_origin()),
        ui.input(|i| i.pointer.hover_pos()),
    ) else {
        return;
    };
    let (from, to) = (scale.point(origin), scale.point(now));
    let moved = Placement { at: Point::new(base.at.x + to.x - from.x, base.at.y + to.y - from.y), ..base };
    let free = ui.input(|i| i.modifiers.shift) || !view.own.snap;
    let chosen = super::super::chosen::chosen(view);
    let moved = if free { moved } else { snapped(scene, &programme, &chosen, stood, &moved) };
    let (x, y) = (moved.at.x - base.at.x, moved.at.y - base.at.y);
    let others = chosen.into_iter().filter(|id| *id != stood.instrument).filter_map(|id| {
        let other = setup.place(&id).filter(|other| !other.locked)?;
        Some((id, Placement { at: Point::new(other.at.x + x, other.at.y + y), ..*other }))
    });
    view.own.preview =
        std::iter::once((stood.instrument.clone(), moved)).chain(others.collect::<Vec<_>>()).collect();
}

/// To an edge of the floor, of a riser or of a neighbour, or to where a player stands already, within reach; else to the
/// grid.
fn snapped(
    scene: &Scene<'_>,
    programme: &backrow_core::week::Programme,
    chosen: &[InstrumentId],
    stood: &Stood,
    moved: &Placement,
) -> Placement {
    let venue = programme.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    let setup = &programme.setup;
    let goes_along =
        |id: &InstrumentId| chosen.contains(id) || setup.bearer_of(id).is_some_and(|by| chosen.contains(by));
    let near: Vec<(Outline, &Placement)> = setup
        .places()
        .filter(|(id, at)| !goes_along(id) && at.at.distance(moved.at) < 4.0)
        .filter_map(|(id, at)| Some((scene.library.instruments.get(id)?.footprint.shape, at)))
        .collect();
    let sides: Vec<Vec<Point>> =
        near.iter().map(|(shape, at)| backrow_core::stage::figure(*shape, at).outline).collect();
    let places: Vec<Point> =
        near.iter().map(|(shape, at)| standing(*shape, at, Side::Playing).place).collect();
    let halls = venue.iter().flat_map(|venue| {
        std::iter::once(venue.floor.as_slice())
            .chain(venue.risers.iter().map(|riser| riser.outline.as_slice()))
    });
    let outlines: Vec<&[Point]> = halls.chain(sides.iter().map(Vec::as_slice)).collect();
    snap(
        stood.shape,
        moved,
        &Snap { grid: true, outlines: &outlines, places: &places, reach_m: EDGE_REACH_M },
    )
}

/// Why a thing may not stand there: more than half of it off the floor, or in an area not to enter.
fn refusal(scene: &Scene<'_>, view: &Here<'_>, shape: Outline, placement: &Placement) -> Option<String> {
    let programme = view.own.shown()?;
    let venue = scene.library.venues.get(programme.venue.as_ref()?)?;
    let figure = backrow_core::stage::figure(shape, placement);
    let half = figure.area_m2() / 2.0;
    if backrow_core::stage::outside(&figure, &venue.floor).is_some_and(|out| out.area_m2 > half) {
        return Some("that is off the floor".to_owned());
    }
    let within = venue.keep_out.iter().find(|area| {
        backrow_core::stage::intrusion(&figure, &area.outline).is_some_and(|part| part.area_m2 > half)
    })?;
    Some(format!("that is taken ({})", within.words()))
}

/// An instrument carried over the plan stands where it is let go, if that is on the floor.
pub(super) fn drop_in(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, scale: &Scale) {
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
pub(in crate::places::floor) fn free_spot(
    scene: &Scene<'_>,
    view: &Here<'_>,
    id: &backrow_core::id::InstrumentId,
) -> Point {
    let middle = Point::new(view.own.pan.x, 3.0 + view.own.pan.y);
    let Some(programme) = view.own.shown() else { return middle };
    let venue = programme.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    // Only this one is asked about: the rest finds its place later.
    let place = venue.and_then(|venue| {
        let work = own_work(&programme, view);
        scene.derived.present()?.place_for(work, id, venue)
    });
    place.map_or(middle, |placement| placement.at)
}

/// Stands an instrument at a place; outside the floor it is refused with its reason.
pub(in crate::places::floor) fn stand(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    id: &backrow_core::id::InstrumentId,
    at: Point,
) {
    let Some(programme) = view.own.shown() else { return };
    let Some(thing) = scene.library.instruments.get(id) else { return };
    let old = programme.setup.place(id).copied();
    let whole = view.programme_in(scene.library).map(|whole| &whole.setup);
    let number = whole.map_or(1, |setup| setup.number_of(id).unwrap_or_else(|| setup.next_number()));
    let placement = Placement { at, turn_deg: old.map_or(0.0, |old| old.turn_deg), number, locked: false };
    let placement = if view.own.snap { snap(thing.footprint.shape, &placement, &SNAP) } else { placement };
    if let Some(why) = refusal(scene, view, thing.footprint.shape, &placement) {
        scene.ask(Intent::Fail(format!("{} was not put there: {why}.", thing.name)));
        return;
    }
    view.in_hand = None;
    let (programme, instrument) = (programme.id.clone(), id.clone());
    scene.ask(Intent::Select(Some(Selected::Instrument(instrument.clone()))));
    scene.edit(Edit::Stand { programme, instrument, placement });
}
