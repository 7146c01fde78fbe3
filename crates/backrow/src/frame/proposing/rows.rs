//! The rows of the table: line, on what, with what, each with its reason and what would be next.

use super::{State, What};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans, semibold, serif_italic};
use backrow_core::choose::{Choice, Pick, edits};
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use egui::{Align2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// How high a row is, points: two lines for each half.
const ROW: f32 = 52.0;
/// Widths of tick and of the button at the right.
const TICK: f32 = 28.0;
const BUTTON: f32 = 72.0;

/// Where the columns stand.
struct Columns {
    line: Rect,
    on: Rect,
    with: Rect,
}

impl Columns {
    fn of(row: Rect) -> Self {
        let (left, right) = (row.left() + TICK, row.right() - BUTTON);
        let width = right - left;
        let at = |from: f32, to: f32| {
            Rect::from_min_max(
                pos2(left + width * from, row.top() + 3.0),
                pos2(left + width * to - 10.0, row.bottom() - 3.0),
            )
        };
        Self { line: at(0.0, 0.24), on: at(0.24, 0.64), with: at(0.64, 1.0) }
    }
}

/// Draws head and rows.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    programme: &ProgrammeId,
    state: &mut State,
    choices: &[Choice],
    height: f32,
) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let columns = Columns::of(rect);
    for (column, words) in [(columns.line, "Line"), (columns.on, "On"), (columns.with, "With")] {
        let painter = ui.painter();
        marks::text_within(
            painter,
            column,
            Align2::LEFT_CENTER,
            words,
            serif_italic(size::NOTE),
            scene.tokens.ink2,
        );
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    let height = height.min(ROW * choices.len() as f32);
    let scroll = egui::ScrollArea::vertical().id_salt("proposed rows").auto_shrink(false);
    let scroll = scroll.max_height(height).min_scrolled_height(height);
    scroll.show_rows(ui, ROW, choices.len(), |ui, shown| {
        for choice in choices.get(shown).unwrap_or_default() {
            ui.push_id((choice.line.work.as_str(), choice.line.line.as_str()), |ui| {
                row(ui, scene, programme, state, choice);
            });
        }
    });
}

fn row(ui: &mut Ui, scene: &mut Scene<'_>, programme: &ProgrammeId, state: &mut State, choice: &Choice) {
    let library = scene.library;
    let Some((work, line)) = library.line(&choice.line) else { return };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let columns = Columns::of(rect);
    let tokens = scene.tokens;
    let name = library.line_name(line);
    let turned = state.as_turned(choice);
    let on = turned.instruments.as_ref().map(|pick| said(library, pick, Library::instrument_name));
    let with = turned.beaters.as_ref().map(|pick| said(library, pick, beater_name));
    let says = format!(
        "{name}, {}: {}; {}",
        work.title,
        on.as_ref().map_or("its instrument stays", |said| said.what.as_str()),
        with.as_ref().map_or("its beaters stay", |said| said.what.as_str())
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ListItem, true, &says));
    marks::hairline(ui.painter(), rect.x_range(), rect.top(), tokens.line);
    let (top, bottom) = halves(columns.line);
    marks::text_within(ui.painter(), top, Align2::LEFT_CENTER, &name, semibold(size::TEXT), tokens.ink);
    let where_it_is =
        format!("{}, {}", backrow_core::assign::where_it_stands(library, &choice.line), line.where_played());
    marks::text_within(
        ui.painter(),
        bottom,
        Align2::LEFT_CENTER,
        &where_it_is,
        sans(size::NOTE),
        tokens.ink2,
    );
    half(ui, scene, state, (choice, What::On), columns.on, on.as_ref());
    half(ui, scene, state, (choice, What::With), columns.with, with.as_ref());
    tick_and_button(ui, scene, programme, state, choice, (rect, name.as_str()));
    if response.clicked() {
        scene.ask(Intent::Line(choice.line.clone()));
    }
}

/// What a half of a row says.
struct Said {
    what: String,
    why: String,
    next: String,
    next_why: String,
    asks: bool,
    nothing: bool,
}

fn said<T>(library: &Library, pick: &Pick<T>, name: impl Fn(&Library, &T) -> String) -> Said {
    let names = |ids: &[T]| ids.iter().map(|id| name(library, id)).collect::<Vec<_>>().join(" + ");
    Said {
        what: if pick.chosen.is_empty() { "nothing to propose".to_owned() } else { names(&pick.chosen) },
        why: pick.reason.clone(),
        next: names(&pick.next),
        next_why: pick.next_reason.clone(),
        asks: pick.asks && !pick.chosen.is_empty(),
        nothing: pick.chosen.is_empty(),
    }
}

fn beater_name(library: &Library, id: &backrow_core::id::BeaterId) -> String {
    library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone())
}

fn halves(rect: Rect) -> (Rect, Rect) {
    let middle = rect.center().y;
    (
        Rect::from_min_max(rect.min, pos2(rect.right(), middle)),
        Rect::from_min_max(pos2(rect.left(), middle), rect.max),
    )
}

fn half(
    ui: &mut Ui,
    scene: &Scene<'_>,
    state: &mut State,
    (choice, what): (&Choice, What),
    rect: Rect,
    said: Option<&Said>,
) {
    let tokens = scene.tokens;
    let (top, bottom) = halves(rect);
    let Some(said) = said else {
        let words = match what {
            What::On => "chosen already",
            What::With => "none needed, or chosen already",
        };
        marks::text_within(ui.painter(), top, Align2::LEFT_CENTER, words, sans(size::NOTE), tokens.ink2);
        return;
    };
    let (font, ink) =
        if said.nothing { (sans(size::TEXT), tokens.ink2) } else { (semibold(size::TEXT), tokens.ink) };
    let mut top = top;
    if said.asks || said.nothing {
        let degree = if said.asks { marks::Mark::Care } else { marks::Mark::Note };
        marks::mark(ui.painter(), pos2(top.left() + 7.0, top.center().y), degree, &tokens);
        top.min.x += 18.0;
    }
    marks::text_within(ui.painter(), top, Align2::LEFT_CENTER, &said.what, font, ink);
    let why = if said.asks { format!("ask first: {}", said.why) } else { said.why.clone() };
    let next = if said.next.is_empty() { String::new() } else { format!("  Next: {}", said.next) };
    let room = bottom.shrink2(vec2(if said.next.is_empty() { 0.0 } else { 84.0 }, 0.0));
    let room = Rect::from_min_max(pos2(bottom.left(), bottom.top()), room.max);
    let words = format!("{why}.{next}");
    let cut =
        marks::text_within(ui.painter(), room, Align2::LEFT_CENTER, &words, sans(size::NOTE), tokens.ink2);
    let hover = ui.interact(rect, ui.scope_id().with(("half", what as u8)), Sense::hover());
    if cut || !said.next_why.is_empty() {
        let tail = if said.next.is_empty() {
            String::new()
        } else {
            format!("\nNext: {}, {}.", said.next, said.next_why)
        };
        hover.on_hover_text(format!("{}: {why}.{tail}", said.what));
    }
    if said.next.is_empty() {
        return;
    }
    let place = Rect::from_min_size(pos2(bottom.right() - 80.0, bottom.top()), vec2(80.0, bottom.height()));
    let swap = ui.put(
        place,
        egui::Button::new(egui::RichText::new("Use instead").font(sans(size::NOTE)))
            .small()
            .wrap_mode(egui::TextWrapMode::Extend),
    );
    swap.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Use {} instead", said.next)));
    if swap.on_hover_text(format!("Use {} instead: {}", said.next, said.next_why)).clicked() {
        let key = (choice.line.clone(), what);
        if !state.rather.remove(&key) {
            state.rather.insert(key);
        }
    }
}

fn tick_and_button(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    programme: &ProgrammeId,
    state: &mut State,
    choice: &Choice,
    (rect, name): (Rect, &str),
) {
    let turned = state.as_turned(choice);
    let changes = edits(programme, &turned);
    let mut ticked = state.is_ticked(choice);
    let place = Rect::from_min_size(rect.min + vec2(2.0, 14.0), vec2(24.0, 24.0));
    let tick = ui
        .add_enabled_ui(!changes.is_empty(), |ui| ui.put(place, egui::Checkbox::without_text(&mut ticked)))
        .inner;
    tick.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, ticked, format!("Tick {name}")));
    if tick.changed() && !state.turned.remove(&choice.line) {
        state.turned.insert(choice.line.clone());
    }
    if changes.is_empty() {
        return;
    }
    let place =
        Rect::from_min_max(pos2(rect.right() - BUTTON + 4.0, rect.top() + 13.0), rect.max - vec2(8.0, 13.0));
    let accept = ui.put(place, egui::Button::new("Accept"));
    accept.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Accept {name}")));
    if accept.clicked() {
        let words = format!("Choose instruments and beaters for {name}");
        scene.edit(Edit::Together { words, edits: changes });
    }
}
