//! The map: every strike where two measures place it. The wheel zooms, the drag moves, a click chooses and plays.

use super::axes;
use super::dots::{Dot, Shapes, around, shape_word};
use super::known::Sounds;
use super::path::Path;
use super::{Here, Laid};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::Selected;
use crate::words::many;
use backrow_core::collection::Material;
use backrow_core::sound::{Measure, StrikeKey};
use egui::epaint::Mesh;
use egui::{Color32, Key, Modifiers, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};
use egui_plot::{Plot, PlotPoint, PlotTransform};
use std::collections::BTreeSet;

/// A mark's size, points from its middle.
const RADIUS: f32 = 4.5;
/// So near the pointer must be, points.
const NEAR: f32 = 10.0;

/// So long the pointer rests on a mark before it is played, seconds.
const RESTS_S: f64 = 0.35;

/// What the pointer rests on, since when, and whether it was played.
#[derive(Default)]
pub(super) struct Under(Option<(StrikeKey, f64, bool)>);

/// What the map draws.
pub(super) struct Shown<'a> {
    pub(super) sounds: &'a Sounds,
    pub(super) dots: &'a [Dot],
    /// Places of what the search found, the best first.
    pub(super) found: &'a [usize],
    /// The bars that are joined.
    pub(super) path: Option<&'a Path>,
}

/// Draws the map in what is left of the height.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, shown: &Shown<'_>, height: f32) {
    let (x, y) = (view.own.x, view.own.y);
    let tokens = scene.tokens;
    let mut plot = Plot::new("map of strikes")
        .height(height)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(true)
        .show_x(false)
        .show_y(false)
        .grid_color(tokens.line)
        .set_margin_fraction(vec2(0.06, 0.08))
        .x_axis_label(RichText::new(axes::words(x)).font(sans(size::NOTE)))
        .y_axis_label(RichText::new(axes::words(y)).font(sans(size::NOTE)))
        .x_axis_formatter(move |mark, _| axes::figure(x, mark.value))
        .y_axis_formatter(move |mark, _| axes::figure(y, mark.value))
        .label_formatter(|_| None);
    if x.by_ratio() {
        plot = plot.x_grid_spacer(axes::doublings);
    }
    if y.by_ratio() {
        plot = plot.y_grid_spacer(axes::doublings);
    }
    if let Some([(left, right), (low, high)]) = reach(shown.dots) {
        plot = plot.include_x(left).include_x(right).include_y(low).include_y(high);
    }
    if std::mem::take(&mut view.own.fits) {
        plot = plot.reset();
    }
    let drawn = plot.show(ui, |plot| plot.response().rect);
    let (rect, transform) = (drawn.inner, drawn.transform);
    let response = drawn.response;
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Image, true, format!("Map of {}", many(shown.dots.len(), "strike")))
    });
    let hovered = response.hover_pos().and_then(|at| nearest(shown.dots, &transform, at));
    paint(ui, scene, view, shown, (rect, &transform));
    under(ui, scene, view, shown, hovered);
    if let Some(dot) = hovered {
        tip(ui, &response, shown, dot, (x, y));
        if response.clicked() {
            let adds = ui.input(|i| i.modifiers.command || i.modifiers.shift);
            choose(scene, view, shown, dot, adds);
        }
    }
    if response.clicked() || response.has_focus() || view.own.has_map_keys {
        view.own.has_map_keys = true;
    }
    keys(ui, scene, view, shown, &transform);
    if shown.dots.is_empty() {
        let words = "No strike has both measures within these filters.";
        ui.painter().text(rect.center(), egui::Align2::CENTER_CENTER, words, sans(size::TEXT), tokens.ink2);
    }
}

/// Plays what the pointer has rested on for a short while, softly and once, where that is wished.
fn under(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, shown: &Shown<'_>, hovered: Option<&Dot>) {
    let key = hovered.filter(|_| view.own.plays_under && !ui.input(|i| i.pointer.any_down()));
    let key = key.and_then(|dot| shown.sounds.heard.all().get(dot.at)).map(|known| known.key.clone());
    let now = ui.input(|i| i.time);
    let Under(rests) = &mut view.own.under;
    let Some(key) = key else { return *rests = None };
    match rests {
        Some((of, since, played)) if *of == key => {
            if !*played && now - *since >= RESTS_S {
                *played = true;
                scene.ask(Intent::Sound(Wish::Softly(key)));
            } else if !*played {
                let left = std::time::Duration::from_secs_f64((*since + RESTS_S - now).max(0.0) + 0.01);
                ui.ctx().request_repaint_after(left);
            }
        }
        _ => {
            *rests = Some((key, now, false));
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(RESTS_S + 0.01));
        }
    }
}

/// The least and the greatest of all marks, so that the axes reach them.
fn reach(dots: &[Dot]) -> Option<[(f64, f64); 2]> {
    let first = dots.first()?;
    let mut both = [(first.x, first.x), (first.y, first.y)];
    for dot in dots {
        for ((low, high), at) in both.iter_mut().zip([dot.x, dot.y]) {
            (*low, *high) = (low.min(at), high.max(at));
        }
    }
    Some(both)
}

fn position(transform: &PlotTransform, dot: &Dot) -> Pos2 {
    transform.position_from_point(&PlotPoint::new(dot.x, dot.y))
}

fn nearest<'a>(dots: &'a [Dot], transform: &PlotTransform, at: Pos2) -> Option<&'a Dot> {
    let far = |dot: &&Dot| position(transform, dot).distance_sq(at);
    dots.iter().filter(|dot| far(dot) < NEAR * NEAR).min_by(|one, other| far(one).total_cmp(&far(other)))
}

fn paint(
    ui: &Ui,
    scene: &Scene<'_>,
    view: &Here<'_>,
    shown: &Shown<'_>,
    (rect, transform): (Rect, &PlotTransform),
) {
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(rect);
    if let Some(path) = shown.path {
        let dot = |at: &usize| shown.dots.iter().find(|dot| dot.at == *at);
        let points = path.at.iter().filter_map(dot).map(|dot| position(transform, dot)).collect();
        painter.add(Shape::line(points, Stroke::new(1.2, tokens.ink2)));
    }
    let shapes = Shapes::new(&tokens, RADIUS);
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(shown.dots.len() * 8);
    mesh.reserve_triangles(shown.dots.len() * 8);
    for dot in shown.dots {
        let at = position(transform, dot);
        if rect.contains(at) {
            shapes.add(&mut mesh, at, dot.material, dot.hollow);
        }
    }
    let found: BTreeSet<usize> = shown.found.iter().copied().collect();
    for dot in shown.dots.iter().filter(|dot| found.contains(&dot.at)) {
        around(&mut mesh, position(transform, dot), RADIUS + 3.0, tokens.accent);
    }
    painter.add(Shape::mesh(mesh));
    for (nth, laid) in view.own.laid.iter().enumerate() {
        let Some((at, ..)) = shown.sounds.find(&laid.key) else { continue };
        let Some(dot) = shown.dots.iter().find(|dot| dot.at == at) else { continue };
        let middle = position(transform, dot);
        painter.circle_stroke(middle, RADIUS + 4.5, Stroke::new(2.0, tokens.ink));
        let ink: Color32 = tokens.ink;
        let letter = super::letter(nth);
        painter.text(
            middle + vec2(0.0, -RADIUS - 6.0),
            egui::Align2::CENTER_BOTTOM,
            letter,
            sans(size::NOTE),
            ink,
        );
    }
}

fn tip(ui: &Ui, response: &egui::Response, shown: &Shown<'_>, dot: &Dot, (x, y): (Measure, Measure)) {
    let Some(fact) = shown.sounds.facts.get(dot.at) else { return };
    let mut words = format!(
        "{}\n{}: {}\n{}: {}",
        fact.name,
        axes::words(x),
        axes::figure(x, dot.x),
        axes::words(y),
        axes::figure(y, dot.y)
    );
    if dot.hollow {
        words.push_str("\nMade by a model, not recorded.");
    }
    if !ui.input(|i| i.pointer.any_down()) {
        response.clone().on_hover_text_at_pointer(words);
    }
}

/// Chooses a strike, alone or beside the others, and plays it.
pub(super) fn choose(scene: &mut Scene<'_>, view: &mut Here<'_>, shown: &Shown<'_>, dot: &Dot, adds: bool) {
    let Some(known) = shown.sounds.heard.all().get(dot.at) else { return };
    take(scene, view, &known.key, adds);
}

/// The keyboard comes to a mark: what is kept stays laid, and the mark is laid over it.
fn step_to(scene: &mut Scene<'_>, view: &mut Here<'_>, shown: &Shown<'_>, dot: &Dot) {
    let Some(known) = shown.sounds.heard.all().get(dot.at) else { return };
    let kept = view.own.kept;
    view.own.laid.truncate(kept);
    if view.own.laid.iter().any(|laid| laid.key == known.key) {
        // It is laid already: it is come to, and goes to the end.
        view.own.laid.retain(|laid| laid.key != known.key);
        view.own.kept = view.own.laid.len();
    }
    let kept = view.own.kept;
    take(scene, view, &known.key, kept > 0);
    view.own.kept = kept;
}

/// As [`choose`], by its key.
pub(super) fn take(scene: &mut Scene<'_>, view: &mut Here<'_>, key: &StrikeKey, adds: bool) {
    view.own.lay(Laid { key: key.clone() }, adds);
    view.selected = Some(Selected::Instrument(key.instrument.clone()));
    scene.ask(Intent::Sound(Wish::Strike(key.clone())));
}

/// The arrows go to the nearest mark that way; with Shift, or after Space, what was chosen before stays laid. Enter plays, L asks for
/// what is like it.
fn keys(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, shown: &Shown<'_>, transform: &PlotTransform) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let ways = [
        (Key::ArrowRight, vec2(1.0, 0.0)),
        (Key::ArrowLeft, vec2(-1.0, 0.0)),
        (Key::ArrowUp, vec2(0.0, -1.0)),
        (Key::ArrowDown, vec2(0.0, 1.0)),
    ];
    for (key, way) in ways {
        let keeps = ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, key));
        if keeps || ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            if keeps {
                view.own.keep();
            }
            let here = view.own.laid.last().and_then(|laid| shown.sounds.find(&laid.key)).map(|(at, ..)| at);
            let next = match here.and_then(|at| shown.dots.iter().find(|dot| dot.at == at)) {
                Some(dot) => towards(shown.dots, transform, dot, way),
                None => shown.dots.first(),
            };
            if let Some(dot) = next {
                step_to(scene, view, shown, dot);
            }
        }
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let Some(last) = view.own.laid.last().map(|laid| laid.key.clone()) else { return };
    if pressed(Key::Enter) {
        scene.ask(Intent::Sound(Wish::Strike(last.clone())));
    }
    if pressed(Key::Space) {
        view.own.keep();
    }
    if pressed(Key::L) {
        view.own.like_strike(last);
    }
}

/// The nearest mark within an eighth of a turn to either side of a way; marks further aside count as further.
fn towards<'a>(dots: &'a [Dot], transform: &PlotTransform, from: &Dot, way: egui::Vec2) -> Option<&'a Dot> {
    let here = position(transform, from);
    let far = |dot: &&Dot| {
        let step = position(transform, dot) - here;
        let along = step.dot(way);
        let aside = (step - way * along).length();
        (along > 0.5 && aside <= along).then_some(along + aside)
    };
    let near = dots.iter().filter_map(|dot| Some((far(&dot)?, dot)));
    near.min_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, dot)| dot)
}

/// The materials that are shown, each with its shape, and what is hollow.
pub(super) fn legend(ui: &mut Ui, scene: &Scene<'_>, dots: &[Dot], path: Option<&Path>) {
    let tokens = scene.tokens;
    let there: Vec<Material> =
        Material::ALL.into_iter().filter(|one| dots.iter().any(|dot| dot.material == *one)).collect();
    let shapes = Shapes::new(&tokens, RADIUS);
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    let entry = |ui: &mut Ui, material: Material, hollow: bool, words: &str| {
        let (rect, _) = ui.allocate_exact_size(vec2(12.0, 16.0), Sense::hover());
        let mut mesh = Mesh::default();
        shapes.add(&mut mesh, rect.center(), material, hollow);
        ui.painter().add(Shape::mesh(mesh));
        ui.label(note(words));
    };
    ui.horizontal_wrapped(|ui| {
        for material in there {
            entry(ui, material, false, material.word());
        }
        if let Some(dot) = dots.iter().find(|dot| dot.hollow) {
            entry(ui, dot.material, true, "hollow: made by a model");
        }
    })
    .response
    .on_hover_text(Material::ALL.map(|one| format!("{}: {}", one.word(), shape_word(one))).join("\n"));
    if let Some(path) = path {
        ui.label(note(&path.words));
    }
}
