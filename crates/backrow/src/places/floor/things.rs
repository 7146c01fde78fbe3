//! What stands on the floor: outlines, bars, numbers, people; moved and turned with the pointer.

mod inside;
pub(super) mod key;
mod moving;
mod numbers;
mod selected;
mod troubles;

pub(super) use moving::{free_spot, stand};

use super::many::is_chosen;
use super::scale::Scale;
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans};
use crate::view::Selected;
use backrow_core::collection::{Player, Venue};
use backrow_core::stage::{Checks, Plan, Standing, Stood};
use egui::{Align2, CursorIcon, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};

/// How wide a player's disc is, points.
const DISC: f32 = 18.0;

/// Draws everything on the floor, worst last, and takes drags.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (venue, plan, checks): (&Venue, &Plan, &Checks),
    scale: &Scale,
) {
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(scale.area);
    if view.own.shown.standing {
        let own = |stood: &Stood| [Some(stood.standing), stood.across];
        let played = plan.things.iter().filter(|stood| stood.on.is_none() && !stood.played_by.is_empty());
        for standing in played.flat_map(own).flatten() {
            let room = scale.line(&standing.room);
            let line: Vec<_> = room.iter().chain(room.first()).copied().collect();
            painter.extend(Shape::dotted_line(&line, tokens.ink2, 4.0, 0.8));
        }
    }
    // What bears lies under what it bears.
    let (below, above): (Vec<&Stood>, Vec<&Stood>) = plan.things.iter().partition(|stood| stood.on.is_none());
    for stood in below.iter().chain(&above) {
        thing(ui, scene, view, stood, scale, &painter);
    }
    let people: Vec<_> = below.iter().flat_map(|stood| people(scene, stood, scale)).collect();
    let discs: Vec<_> = people.iter().map(|(at, _)| *at).collect();
    troubles::troubles(&painter, scene, (venue, plan, checks), scale, &discs);
    let things = [below, above].concat();
    let here =
        |stood: &Stood| matches!(&view.selected, Some(Selected::Instrument(id)) if *id == stood.instrument);
    numbers::ui(&painter, (&things, &discs), here, scale, &tokens);
    for (at, player) in people {
        marks::disc(&painter, at, DISC, player);
    }
    if plan.things.is_empty() {
        let words = "Nothing stands here yet. Drag the largest first, from below.";
        let middle = scale.area.center();
        marks::text(&painter, middle, Align2::CENTER_CENTER, words, sans(size::TEXT), tokens.ink2);
    }
    selected::selected(ui, scene, view, plan, scale);
    moving::drop_in(ui, scene, view, scale);
}

fn thing(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    stood: &Stood,
    scale: &Scale,
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
    let line = if here || response.has_focus() { tokens.accent } else { tokens.ink };
    let fill = if here { tokens.soft } else { tokens.raised };
    painter.add(Shape::convex_polygon(outline, fill, Stroke::new(1.2, line)));
    let low_drum = scene.library.orchestra.timpani.low_drum;
    inside::inside(painter, (&instrument, low_drum), stood, scale, &tokens);
    if let Some(low) = stood.low_end.filter(|_| !instrument.is_set()) {
        inside::wedge(painter, scale, &instrument, stood, low, &tokens);
    }
    let response = response
        .on_hover_text(format!("{}. {}", stood.placement.number, instrument.name))
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

/// Who plays it, and where on the screen they stand.
fn people<'a>(scene: &Scene<'a>, stood: &Stood, scale: &Scale) -> Vec<(Pos2, &'a Player)> {
    let library = scene.library;
    let mut beside: Vec<Standing> = Vec::new();
    let players = stood.played_by.iter().filter_map(|id| library.players.get(id));
    players
        .map(|player| {
            let standing = stood.standing_of(&player.id);
            let at = beside.iter().filter(|other| **other == standing).count();
            beside.push(standing);
            (scale.pos(standing.place) + vec2((DISC - 2.0) * at as f32, 0.0), &**player)
        })
        .collect()
}
