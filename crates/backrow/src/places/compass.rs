//! Compass: every pitched instrument as a row of bars against the keyboard, with a line's notes laid over.

mod axis;
mod filters;
mod keys;
mod line_card;
mod paint;
mod row;
mod rows;

use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, serif};
use crate::view::View;
use axis::Axis;
use backrow_core::pitch::KeyNumber;
use egui::{Align2, Rect, Ui, pos2, vec2};
use filters::Filters;
use rows::{RowsKey, Shown};

pub use keys::KEYS;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    filters: Filters,
    /// Rows stand at the written pitch of the line's convention.
    written: bool,
    /// Steps of zoom from the width that fits.
    zoom: i32,
    /// Octaves that are pushed off at the left.
    pushed: i32,
    /// The line that was brought into sight last: from then on the keyboard stays as it is pushed.
    brought: Option<backrow_core::week::LineRef>,
    /// The key under the keyboard's hairline.
    hair: Option<KeyNumber>,
    /// The usual convention of the row under the pointer.
    hair_octave: Option<backrow_core::pitch::Octave>,
    scroll: f32,
    /// The keyboard goes to the filters next.
    to_filters: bool,
    rows: Memo<RowsKey, Shown>,
}

impl State {
    /// By how many octaves the keyboard is pushed to the left.
    pub const fn pushed(&self) -> i32 {
        self.pushed
    }
}

/// Widths and heights of the place, points.
mod measure {
    /// Names, owners and places.
    pub(super) const NAMES: f32 = 172.0;
    /// Answers to the line.
    pub(super) const ANSWERS: f32 = 148.0;
    /// Title and line card.
    pub(super) const HEAD: f32 = crate::page::HEAD;
    /// Filters.
    pub(super) const FILTERS: f32 = 30.0;
    /// Written names, heads, keyboard, sounding names, reading line.
    pub(super) const AXIS: f32 = 84.0;
    /// A row.
    pub(super) const ROW: f32 = 24.0;
    /// Between two kinds.
    pub(super) const GAP: f32 = 4.0;
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let full = ui.max_rect();
    if scene.library.instruments.is_empty() {
        page::heading(ui, page::slot(full), &scene.tokens, "Compass", |_| ());
        let what_for = "Here every instrument’s bars stand against the keyboard, with what a line asks for.";
        return page::empty_below(ui, scene, full, what_for);
    }
    keys::act(ui, scene, view);
    let left = full.left() + space::L;
    let right = full.right() - space::M;
    let head = Rect::from_min_size(pos2(left, full.top()), vec2(measure::NAMES, measure::HEAD));
    let card = Rect::from_min_max(
        pos2(head.right(), head.top() + space::XS),
        pos2(right, head.bottom() - space::XS),
    );
    title(ui, scene, head);
    line_card::ui(ui, scene, view, card);
    let filters = Rect::from_min_size(pos2(left, head.bottom()), vec2(right - left, measure::FILTERS));
    filters::ui(ui, scene, view, filters);
    let key = RowsKey::new(scene, view);
    let library = scene.library;
    // The rows are held apart while they are drawn, as drawing changes the rest of the state.
    let mut rows = std::mem::take(&mut view.own.rows);
    let all = rows
        .get(key, || rows::shown(library, view.line.as_ref(), view.programme.as_ref(), &view.own.filters));
    counted(ui, scene, (head, filters), all.rows.iter().map(|row| row.folds.max(1)).sum());
    // Answers are for a line: without one the bars have their room too.
    let answers = if view.line.is_some() { measure::ANSWERS } else { space::S };
    let bars = Rect::from_min_max(
        pos2(left + measure::NAMES, filters.bottom()),
        pos2(right - answers, full.bottom()),
    );
    bring_line(view, scene, bars);
    let axis = Axis::new(bars, view, scene);
    let list = Rect::from_min_max(pos2(left, filters.bottom() + measure::AXIS), pos2(right, full.bottom()));
    let above = Rect::from_min_max(pos2(left, filters.bottom()), pos2(right, list.top()));
    axis::ui(ui, scene, view, &axis, above);
    if let Some(key) = paint::ui(ui, scene, view, &axis, all, list) {
        axis::reading(ui, scene, view, &axis, key, above);
    }
    view.own.rows = rows;
}

/// Pushes the keyboard when another line comes to hand and does not lie in sight.
fn bring_line(view: &mut Here<'_>, scene: &Scene<'_>, area: Rect) {
    if view.own.brought == view.shared.line {
        return;
    }
    view.own.brought.clone_from(&view.shared.line);
    let line = view.line.as_ref().and_then(|at| scene.library.line(at)).map(|(_, line)| line.sounding());
    if let Some((low, high)) = line.and_then(|keys| Some((keys.lowest()?, keys.highest()?))) {
        view.own.pushed += Axis::new(area, view, scene).pushes_for(low, high);
    }
}

fn title(ui: &mut Ui, scene: &Scene<'_>, rect: Rect) {
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let mut line =
        ui.new_child(egui::UiBuilder::new().max_rect(rect.translate(vec2(0.0, -1.0))).layout(layout));
    let words = egui::RichText::new("Compass").font(serif(size::TITLE)).color(scene.tokens.ink);
    crate::terms::title(&mut line, &scene.tokens, "Compass", words);
}

/// How many rows there are of how many instruments.
fn counted(ui: &Ui, scene: &Scene<'_>, (rect, filters): (Rect, Rect), shown: usize) {
    let words = format!("{shown} of {} instruments", scene.library.instruments.len());
    // At the end of the filters where there is room, else below the title.
    let (at, anchor) = if filters.width() > 1045.0 {
        (filters.right_center(), Align2::RIGHT_CENTER)
    } else {
        (rect.left_bottom() + vec2(0.0, 3.0), Align2::LEFT_BOTTOM)
    };
    let place = marks::text(ui.painter(), at, anchor, &words, sans(size::NOTE), scene.tokens.ink2);
    let response = ui.interact(place, ui.scope_id().with("shown"), egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
}
