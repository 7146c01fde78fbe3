//! What every place has alike: the slot of its heading, and what stands there while the library is empty.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::terms;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::primary;
use crate::theme::{marks, sans, semibold, serif};
use egui::{Align, Layout, Rect, RichText, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

/// How high the slot of the heading is, points.
pub const HEAD: f32 = 56.0;

/// The slot of the heading at the top of a place.
pub fn slot(full: Rect) -> Rect {
    let min = full.min + vec2(space::L, 0.0);
    Rect::from_min_max(min, pos2(full.right() - space::M, full.top() + HEAD))
}

/// The heading of a place in its slot: the title, then what belongs to it, from the left; the actions come last.
pub fn heading<R>(
    ui: &mut Ui,
    slot: Rect,
    tokens: &Tokens,
    title: &str,
    add: impl FnOnce(&mut Ui) -> R,
) -> R {
    let builder = UiBuilder::new().max_rect(slot).layout(Layout::left_to_right(Align::Center));
    let mut line = ui.new_child(builder);
    line.set_clip_rect(ui.clip_rect().intersect(slot.expand2(vec2(space::XS, 0.0))));
    terms::title(&mut line, tokens, title, RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
    line.add_space(space::S);
    add(&mut line)
}

/// The same where the place lays itself out from above: the slot is taken from what is left.
pub fn head<R>(ui: &mut Ui, tokens: &Tokens, title: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    let (slot, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEAD), Sense::hover());
    heading(ui, slot, tokens, title, add)
}

/// One of the steps to a library that can be worked with.
struct Step {
    done: bool,
    name: &'static str,
    why: &'static str,
    words: &'static str,
    ask: Vec<Intent>,
}

fn steps(scene: &Scene<'_>) -> [Step; 3] {
    let library = scene.library;
    [
        Step {
            done: !library.instruments.is_empty(),
            name: "Instruments",
            why: "What you own, borrow or hire, with its bars and its place in store.",
            words: "Add instruments",
            ask: vec![Intent::AddTo(crate::intent::Kept::Instruments)],
        },
        Step {
            done: !library.players.is_empty(),
            name: "Players",
            why: "Who plays, and what each does not play.",
            words: "Add players",
            ask: vec![Intent::AddTo(crate::intent::Kept::Players)],
        },
        Step {
            done: !library.works.is_empty(),
            name: "A score",
            why: "Its percussion lines are read; a work can be entered by hand in Works too.",
            words: "Read a score …",
            ask: vec![Intent::Do(Action::ReadScore)],
        },
    ]
}

/// What a place is for, and the steps that lead to something in it, the next one with the filled button.
pub fn empty(ui: &mut Ui, scene: &mut Scene<'_>, what_for: &str) {
    let mut room = ui.available_rect_before_wrap();
    room.set_width(room.width().min(560.0));
    ui.scope_builder(UiBuilder::new().max_rect(room), |ui| empty_within(ui, scene, what_for));
}

fn empty_within(ui: &mut Ui, scene: &mut Scene<'_>, what_for: &str) {
    let tokens = scene.tokens;
    ui.add(egui::Label::new(RichText::new(what_for).color(tokens.ink)).wrap());
    ui.add_space(space::M);
    let steps = steps(scene);
    let next = steps.iter().position(|step| !step.done);
    for (at, step) in steps.into_iter().enumerate() {
        row(ui, scene, at + 1, &step, next == Some(at));
        ui.add_space(space::S);
    }
    let programme = Step {
        done: scene.library.programmes().next().is_some(),
        name: "A programme",
        why: "Its works in order, its hall and its services.",
        words: "New programme",
        ask: vec![Intent::Do(Action::NewProgramme)],
    };
    if next.is_none() && !programme.done {
        row(ui, scene, 4, &programme, true);
        ui.add_space(space::S);
    }
    let read = Action::ImportTable;
    if scene.library.instruments.is_empty() && ui.link(read.label()).clicked() {
        scene.ask(Intent::Do(read));
    }
}

/// A step: its number or a tick, what it is, and the way to do it.
fn row(ui: &mut Ui, scene: &mut Scene<'_>, number: usize, step: &Step, filled: bool) {
    let tokens = scene.tokens;
    ui.horizontal_top(|ui| {
        let (rect, sign) = ui.allocate_exact_size(vec2(28.0, 24.0), Sense::hover());
        let says =
            if step.done { format!("{}: done", step.name) } else { format!("Step {number}: {}", step.name) };
        sign.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &says));
        if step.done {
            marks::verdict(ui.painter(), rect.center(), true, tokens.accent);
        } else {
            marks::ring(ui.painter(), rect.center(), &number.to_string(), tokens.raised, tokens.ink2);
        }
        let room = (ui.available_width() - 150.0).max(160.0);
        ui.allocate_ui_with_layout(vec2(room, 24.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(room);
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(RichText::new(step.name).font(semibold(size::TEXT)).color(tokens.ink));
            let why = RichText::new(step.why).font(sans(size::NOTE)).color(tokens.ink2);
            ui.add(egui::Label::new(why).wrap());
        });
        let clicked = if step.done {
            ui.label(RichText::new("done").font(sans(size::NOTE)).color(tokens.ink2));
            false
        } else if filled {
            primary(ui, &tokens, step.words).clicked()
        } else {
            ui.button(step.words).clicked()
        };
        if clicked {
            scene.intents.extend(step.ask.iter().cloned());
        }
    });
}

/// The same for a place that draws itself freely: below the slot of its heading.
pub fn empty_below(ui: &mut Ui, scene: &mut Scene<'_>, full: Rect, what_for: &str) {
    let at = full.min + vec2(space::L, HEAD + space::S);
    let rect = Rect::from_min_max(at, pos2(full.right() - space::L, full.bottom()));
    empty(&mut ui.new_child(UiBuilder::new().max_rect(rect)), scene, what_for);
}
