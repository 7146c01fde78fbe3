//! What stands on the floor: outlines, bars, numbers, people; moved and turned with the pointer.

mod furniture;
mod inside;
pub(super) mod key;
mod moving;
mod numbers;
mod people;
mod selected;
mod troubles;

pub(super) use moving::{free_spot, stand};

use super::chosen::is_chosen;
use super::labels::Labels;
use super::scale::Scale;
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::Tokens;
use crate::theme::tokens::size;
use crate::theme::{marks, sans};
use crate::view::Selected;
use backrow_core::collection::Venue;
use backrow_core::id::{PlayerId, listed};
use backrow_core::stage::{Checks, Furniture, Plan, Stood};
use egui::{Align2, CursorIcon, Painter, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};
use people::playing;
use std::collections::BTreeSet;

/// Draws everything on the floor, worst last, and takes drags; what is to be read goes into the layer of labels.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (venue, floor, furniture): (&Venue, (&Plan, &Checks), &[Furniture]),
    (scale, labels): (&Scale, &mut Labels),
) {
    let tokens = scene.tokens;
    let (plan, checks) = floor;
    let painter = ui.painter().with_clip_rect(scale.area);
    let playing = playing(scene, view, plan);
    if view.own.shown.standing {
        rooms(&painter, plan, &playing, scale, &tokens);
    }
    stations(&painter, view, plan, scale, &tokens);
    if view.own.shown.furniture {
        furniture::draw(&painter, furniture, scale, &tokens);
    }
    // What bears lies under what it bears.
    let (below, above): (Vec<usize>, Vec<usize>) =
        (0..plan.things.len()).partition(|at| plan.things.get(*at).is_some_and(|stood| stood.on.is_none()));
    for stood in below.iter().chain(&above).filter_map(|at| plan.things.get(*at)) {
        thing(ui, scene, view, stood, (scale, labels), &painter);
    }
    troubles::troubles(&painter, scene, (venue, plan, checks), scale, labels);
    for (at, stands, player) in people::discs(scene, plan, &playing, scale) {
        if at.distance(stands) > people::DISC / 2.0 {
            // It gave way to another disc: a line says where the player stands, as on paper.
            painter.line_segment([at, stands], Stroke::new(1.0, tokens.ink2));
            painter.circle_filled(stands, 2.0, tokens.ink2);
        }
        labels.keep_clear(Rect::from_center_size(at, vec2(people::DISC, people::DISC)));
        marks::disc(&painter, at, people::DISC, player);
    }
    for stood in &plan.things {
        let here = matches!(&view.selected, Some(Selected::Instrument(id)) if *id == stood.instrument);
        let ink = if here { tokens.accent } else { tokens.ink };
        let outline = Rect::from_points(&scale.line(&stood.figure.outline));
        labels.number(stood.placement.number, outline, numbers::wish(stood, scale), ink);
    }
    if plan.things.is_empty() && view.own.proposal.is_none() {
        let words = "Nothing stands here yet. Drag the largest first, from below.";
        let middle = scale.area.center();
        marks::text(&painter, middle, Align2::CENTER_CENTER, words, sans(size::TEXT), tokens.ink2);
    }
    selected::selected(ui, scene, view, plan, (scale, labels));
    moving::drop_in(ui, scene, view, scale);
}

/// A line round what stands as one, stronger where one of it is chosen.
fn stations(painter: &Painter, view: &Here<'_>, plan: &Plan, scale: &Scale, tokens: &Tokens) {
    for station in plan.stations() {
        let mut things = station.iter().filter_map(|at| plan.things.get(*at));
        let here = things.any(|stood| is_chosen(view, &stood.instrument));
        let round = scale.line(&plan.station_outline(&station));
        let line: Vec<_> = round.iter().chain(round.first()).copied().collect();
        let (ink, width) = if here { (tokens.accent, 2.0) } else { (tokens.ink3, 1.0) };
        painter.extend(Shape::dashed_line(&line, Stroke::new(width, ink), 3.0, 3.0));
    }
}

/// The rooms of those who play in the current work; those of other works quieter.
fn rooms(painter: &Painter, plan: &Plan, playing: &[BTreeSet<PlayerId>], scale: &Scale, tokens: &Tokens) {
    let things = plan.things.iter().zip(playing);
    for (stood, now) in things.filter(|(stood, _)| stood.on.is_none() && !stood.played_by.is_empty()) {
        let ink = if now.is_empty() { tokens.line } else { tokens.ink2 };
        for standing in [Some(stood.standing), stood.across].into_iter().flatten() {
            let room = scale.line(&standing.room);
            let line: Vec<_> = room.iter().chain(room.first()).copied().collect();
            painter.extend(Shape::dotted_line(&line, ink, 4.0, 0.8));
        }
    }
}

/// "3. Snare drum; stands as one with Xylophone 1".
fn hover_words(scene: &Scene<'_>, view: &Here<'_>, stood: &Stood, name: &str) -> String {
    let mut words = format!("{}. {name}", stood.placement.number);
    let programme = view.own.shown();
    let setup = programme.as_ref().map(|programme| &programme.setup);
    let peers: Vec<String> = setup
        .into_iter()
        .flat_map(|setup| setup.peers(&stood.instrument))
        .map(|id| scene.library.instrument_name(id))
        .collect();
    if !peers.is_empty() {
        words.push_str("; stands as one with ");
        words.push_str(&listed(&peers));
        words.push_str(". Alt and a drag move it alone");
    }
    words
}

fn thing(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    stood: &Stood,
    (scale, labels): (&Scale, &mut Labels),
    painter: &Painter,
) {
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
    labels.spare(bounds);
    let line = if here || response.has_focus() { tokens.accent } else { tokens.ink };
    let fill = if here { tokens.soft } else { tokens.raised };
    let width = if response.hovered() || response.has_focus() { 2.0 } else { 1.2 };
    painter.add(Shape::convex_polygon(outline, fill, Stroke::new(width, line)));
    let low_drum = scene.library.orchestra.timpani.low_drum;
    inside::inside(painter, (&instrument, low_drum), stood, scale, (labels, &tokens));
    if let Some(low) = stood.low_end.filter(|_| !instrument.is_set()) {
        inside::wedge(painter, scale, &instrument, stood, low, (labels, &tokens));
    }
    let response = response
        .on_hover_text(hover_words(scene, view, stood, &instrument.name))
        .on_hover_cursor(CursorIcon::Grab);
    if response.clicked() {
        if ui.input(|i| i.modifiers.command) {
            super::many::toggle(view, &instrument.id);
        } else {
            view.own.also.clear();
            scene.ask(Intent::Select(Some(Selected::Instrument(instrument.id.clone()))));
        }
    }
    moving::move_it(ui, scene, view, stood, scale, &response);
}
