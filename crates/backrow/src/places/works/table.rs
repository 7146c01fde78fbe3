//! The lines of a work: one table for all its movements. Words that can be changed become fields under the pointer; the first column
//! stays where the others are pushed aside.

use super::State;
use super::editor::{called, octave_choice};
use crate::intent::Intent;
use crate::kind_choice::{Asked, kind_choice};
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::{row_has, shows_actions};
use crate::theme::{marks, sans, semibold};
use backrow_core::edit::Edit;
use backrow_core::music::{Degree, Line, Work};
use backrow_core::week::LineRef;
use egui::{Align, Align2, Layout, Rect, RichText, Sense, Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2};

/// The first column, which is never pushed aside, points.
const NAME: f32 = 122.0;
/// A row, points.
const ROW: f32 = 28.0;
/// Between two columns, points.
const GAP: f32 = 6.0;
/// The others, points: kind, octave, measures, notes, player.
const WIDTHS: [(&str, f32); 5] =
    [("kind", 100.0), ("octave", 128.0), ("measures", 54.0), ("notes", 86.0), ("player", 34.0)];
/// So much more the kind takes where there is room, points.
const GROWS: f32 = 34.0;
/// So much more the measures take where there is room: "1–24 and 180–190", points.
const SPREADS: f32 = 62.0;
/// Less than this of a column tells nothing, points.
const LEAST: f32 = 24.0;
/// What the button of a row takes at its end, points.
const DROP: f32 = 56.0;
/// A field narrower than this cannot be used, points.
const USABLE: f32 = 60.0;
/// The part as printed, where there is room for it, points.
const PART: f32 = 150.0;

/// How the columns lie.
pub(super) struct Columns {
    width: f32,
    /// Points by which all but the first are pushed to the left.
    across: f32,
    /// How far they can be.
    most: f32,
    part: f32,
    /// What the kind gets of the room to spare.
    grown: f32,
    /// What the measures get of it.
    spread: f32,
}

impl Columns {
    /// For so wide a table; what is pushed aside is held within what there is.
    pub(super) fn of(width: f32, across: &mut f32) -> Self {
        let all: f32 = WIDTHS.iter().map(|(_, width)| width + GAP).sum();
        let spare = width - NAME - GAP - all;
        // Measures and kinds are whole before the part has its column.
        let spread = spare.clamp(0.0, SPREADS);
        let grown = (spare - spread).clamp(0.0, GROWS);
        let left = spare - spread - grown;
        let part = if left >= PART { left } else { 0.0 };
        let most = (-spare).max(0.0);
        *across = across.clamp(0.0, most);
        Self { width, across: *across, most, part, grown, spread }
    }

    fn cells(&self, row: Rect) -> impl Iterator<Item = Rect> {
        let mut left = row.left() + NAME + GAP - self.across;
        let part = (self.part > 0.0).then_some(self.part);
        let width = |(word, width): &(&str, f32)| match *word {
            "kind" => width + self.grown,
            "measures" => width + self.spread,
            _ => *width,
        };
        WIDTHS.iter().map(width).chain(part).map(move |width| {
            let cell = Rect::from_min_size(pos2(left, row.top()), vec2(width, row.height()));
            left += width + GAP;
            cell
        })
    }
}

/// Where the columns after the first are seen.
fn window(row: Rect) -> Rect {
    row.with_min_x(row.left() + NAME + GAP)
}

/// A cell that ends before the button of its row, where enough of it is left.
fn before(window: Rect, cell: Rect) -> Rect {
    if cell.left() + USABLE <= window.right() {
        cell.with_max_x(cell.right().min(window.right()))
    } else {
        cell
    }
}

/// The heads of the columns; where not all are in sight, a way to the others.
pub(super) fn head(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, columns: &Columns) {
    let tokens = scene.tokens;
    let (row, _) = ui.allocate_exact_size(vec2(columns.width, 22.0), Sense::hover());
    let painter = ui.painter().with_clip_rect(row.intersect(ui.clip_rect()));
    let word = |painter: &egui::Painter, cell: Rect, words: &str| {
        marks::text_within(painter, cell, Align2::LEFT_CENTER, words, sans(size::NOTE), tokens.ink2);
    };
    word(&painter, row.with_max_x(row.left() + NAME).translate(vec2(space::S, 0.0)), "line");
    let window = window(row);
    let clipped = painter.with_clip_rect(window.intersect(painter.clip_rect()));
    let words = WIDTHS.iter().map(|(word, _)| *word).chain(["printed"]);
    for (cell, words) in columns.cells(row).zip(words) {
        let terms: &[&str] = match words {
            "octave" => &["octave", "written, sounding"],
            "printed" => &["printed part"],
            _ => &[],
        };
        if terms.is_empty() || !window.contains_rect(cell) {
            word(&clipped, cell, words);
            continue;
        }
        let text = RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
        ui.put(cell, |ui: &mut Ui| {
            let layout = egui::Layout::left_to_right(egui::Align::Center);
            ui.with_layout(layout, |ui| crate::terms::about(ui, &tokens, (words, text), terms)).response
        });
    }
    marks::hairline(ui.painter(), row.x_range(), row.bottom() - 1.0, tokens.line);
    let ways = [
        ("‹", "Columns to the left", -1.0, columns.across > 0.5),
        ("›", "Columns to the right", 1.0, columns.across < columns.most - 0.5),
    ];
    for (sign, says, way, able) in ways.into_iter().filter(|(_, _, _, able)| *able) {
        let side = if way < 0.0 { window.left() + 10.0 } else { window.right() - 10.0 };
        let place = Rect::from_center_size(pos2(side, row.center().y), vec2(20.0, 20.0));
        let button = ui.put(place, egui::Button::new(sign).small());
        button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, able, says));
        if button.on_hover_text(says).clicked() {
            state.across += way * 160.0;
        }
    }
    if ui.rect_contains_pointer(row) {
        state.across -= ui.input(|i| i.smooth_scroll_delta().x);
    }
}

/// A line of the work.
pub(super) fn row(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (work, line): (&Work, &Line),
    columns: &Columns,
) {
    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
    let chosen = view.line.as_ref() == Some(&at);
    let id = egui::Id::unique(("row of a line", work.id.as_str(), line.id.as_str()));
    ui.scope_builder(UiBuilder::new().id_salt(id), |ui| {
        let shows = shows_actions(ui, id, chosen);
        let (rect, _) = ui.allocate_exact_size(vec2(columns.width, ROW), Sense::hover());
        if shows && !chosen {
            ui.painter().rect_filled(rect, 2.0, scene.tokens.raised);
        }
        if ui.rect_contains_pointer(rect) {
            view.own.across -= ui.input(|i| i.smooth_scroll_delta().x);
        }
        let name = name(ui, scene, (line, chosen), rect);
        if name.clicked() {
            scene.ask(Intent::Line(at.clone()));
        }
        let mut drop = false;
        name.context_menu(|ui| drop |= ui.button("Drop the line").clicked());
        // Nothing lies under the button of the row.
        let seen = window(rect).with_max_x(if shows { rect.right() - DROP } else { rect.right() });
        fields(ui, scene, (work, line), (columns, rect, seen));
        facts(ui, scene, view, (&at, line), (columns, rect, seen));
        let mut own = vec![name];
        if shows {
            let place =
                Rect::from_min_max(pos2(rect.right() - 52.0, rect.top() + 2.0), rect.max - vec2(2.0, 2.0));
            let button = ui.put(place, egui::Button::new("Drop"));
            button.widget_info(|| {
                WidgetInfo::labeled(egui::Role::Button, true, format!("Drop {}", called(scene.library, line)))
            });
            let button = button.on_hover_text("Drops the line from the work; undo brings it back");
            drop |= button.clicked();
            own.push(button);
        }
        row_has(ui, id, &own.iter().collect::<Vec<_>>());
        if drop {
            let edit = Edit::RemoveLine { work: work.id.clone(), line: line.id.clone() };
            scene.ask(Intent::Edit(edit));
        }
    });
}

/// What the line is called; its part as printed beneath the pointer.
fn name(ui: &mut Ui, scene: &Scene<'_>, (line, chosen): (&Line, bool), row: Rect) -> egui::Response {
    let place = row.with_max_x(row.left() + NAME);
    let builder = UiBuilder::new().max_rect(place).layout(Layout::left_to_right(Align::Center));
    let mut inner = ui.new_child(builder);
    inner.set_clip_rect(place.intersect(ui.clip_rect()));
    let words = scene.library.line_name(line);
    let text = RichText::new(&words).font(semibold(size::TEXT)).color(scene.tokens.ink);
    let button = inner.add(egui::Button::selectable(chosen, text).truncate());
    if line.degree == Degree::Unclear {
        marks::mark(
            inner.painter(),
            pos2(place.right() - 8.0, place.center().y),
            marks::Mark::Care,
            &scene.tokens,
        );
    }
    let mut says = vec![part(line), format!("{}.", line.degree.word())];
    says.extend(line.evidence.iter().cloned());
    button.on_hover_text(says.join("\n"))
}

/// "Percussion 2 “Gran cassa”".
fn part(line: &Line) -> String {
    format!("{} “{}”", line.part, line.printed)
}

/// A place in the row for a control that looks like words until the pointer or the focus is on it. One that is cut off cannot be
/// used, and shows what it says as far as there is room; the way to it stands at the head.
fn cell<R>(
    ui: &mut Ui,
    tokens: &Tokens,
    (place, window): (Rect, Rect),
    says: &str,
    add: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let seen = place.intersect(window);
    if seen.width() < place.width() - 1.0 {
        // Of a column that is pushed aside to the left nothing is left to begin with.
        if seen.width() > LEAST && seen.left() < place.left() + 1.0 {
            let words = seen.with_min_x(seen.left() + 4.0);
            marks::text_within(ui.painter(), words, Align2::LEFT_CENTER, says, sans(size::NOTE), tokens.ink);
        }
        return None;
    }
    let builder = UiBuilder::new().max_rect(place).layout(Layout::left_to_right(Align::Center));
    let mut inner = ui.new_child(builder);
    let quiet = &mut inner.visuals_mut().widgets.inactive;
    quiet.bg_stroke = Stroke::NONE;
    quiet.bg_fill = tokens.ground.gamma_multiply(0.0);
    quiet.weak_bg_fill = tokens.ground.gamma_multiply(0.0);
    // Words until the pointer or the focus is there: then a field with its border and its arrow.
    quiet.fg_stroke.color = tokens.ground.gamma_multiply(0.0);
    inner.spacing_mut().button_padding.x = 4.0;
    inner.spacing_mut().icon_width = 10.0;
    inner.spacing_mut().icon_spacing = 2.0;
    inner.style_mut().text_styles.insert(egui::TextStyle::Button, sans(size::NOTE));
    inner.style_mut().text_styles.insert(egui::TextStyle::Body, sans(size::NOTE));
    Some(add(&mut inner))
}

/// Kind and octave, to be changed.
fn fields(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    (work, line): (&Work, &Line),
    (columns, row, window): (&Columns, Rect, Rect),
) {
    let tokens = scene.tokens;
    let mut cells = columns.cells(row).map(|cell| before(window, cell));
    let called = called(scene.library, line);
    let (mut changed, mut octave) = (None, line.octave);
    if let Some(place) = cells.next() {
        let label = format!("Kind of {called}");
        let library = scene.library;
        let width = place.width() - 8.0;
        let asked = Asked {
            label: &label,
            now: line.kind.as_ref(),
            none: Some("open"),
            among: None,
            first: &[],
            width,
        };
        let says = line.kind.as_ref().map_or_else(|| "open".to_owned(), |id| library.kind_name(id));
        cell(ui, &tokens, (place, window), &says, |ui| kind_choice(ui, library, &asked, &mut changed));
    }
    if let Some(place) = cells.next() {
        let label = format!("Octave of {called}");
        let width = place.width() - 8.0;
        let says = octave.words();
        cell(ui, &tokens, (place, window), &says, |ui| octave_choice(ui, (&label, width), &mut octave));
    }
    let kind = changed.map_or_else(|| line.kind.clone(), |change| change.0);
    if kind != line.kind || octave != line.octave {
        let line = Line { octave, ..line.clone() };
        let name = kind.as_ref().map(|id| scene.library.kind_name(id));
        let line = if kind == line.kind { line } else { line.with_kind(kind, name.as_deref()) };
        scene.ask(Intent::Edit(Edit::PutLine { work: work.id.clone(), line }));
    }
}

/// Measures, notes, player, and the part as printed.
fn facts(
    ui: &Ui,
    scene: &Scene<'_>,
    view: &Here<'_>,
    (at, line): (&LineRef, &Line),
    (columns, row, window): (&Columns, Rect, Rect),
) {
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(window.intersect(ui.clip_rect()));
    let mut cells = columns.cells(row).skip(2);
    let text = |cell: Rect, words: &str| {
        let cell = cell.with_max_x(cell.right().min(window.right()));
        if cell.width() < LEAST {
            return;
        }
        marks::text_within(&painter, cell, Align2::LEFT_CENTER, words, sans(size::NOTE), tokens.ink2);
    };
    for words in [line.measures(), notes_words(line)] {
        if let Some(place) = cells.next() {
            text(place, &words);
        }
    }
    let player = view.programme_in(scene.library).and_then(|programme| programme.assignment(at).player);
    if let Some(place) = cells.next() {
        match player.and_then(|id| scene.library.players.get(&id)) {
            Some(player) => marks::disc(&painter, place.left_center() + vec2(11.0, 0.0), 20.0, player),
            None => text(place, "–"),
        }
    }
    if let Some(place) = cells.next() {
        text(place, &part(line));
    }
}

/// "19 notes, E4–B6" or "24 strokes".
fn notes_words(line: &Line) -> String {
    let counts = line.written_counts();
    if let (Some((low, _)), Some((high, _))) = (counts.first(), counts.last()) {
        let notes = if counts.len() == 1 { "note" } else { "notes" };
        return format!("{} {notes}, {}–{}", counts.len(), low.written, high.written);
    }
    let strokes: u32 = line.passages.iter().flat_map(|p| &p.unpitched).map(|u| u.count).sum();
    if strokes == 1 { "1 stroke".to_owned() } else { format!("{strokes} strokes") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_columns_are_in_sight_where_they_fit_and_can_be_reached_where_not() {
        let mut across = 40.0;
        let wide = Columns::of(900.0, &mut across);
        assert!(across <= 0.0 && wide.most <= 0.0 && wide.part > 0.0);
        let usual = Columns::of(560.0, &mut across);
        assert!(usual.most <= 0.0, "whole in a window of 1280");
        assert!(wide.grown > 30.0, "the longest octave is whole in a wide window");
        let cells: Vec<Rect> = wide.cells(Rect::from_min_size(pos2(0.0, 0.0), vec2(900.0, ROW))).collect();
        assert!(cells.windows(2).all(|two| two[0].right() < two[1].left()), "{cells:?}");
        assert!(cells.last().is_some_and(|last| last.right() <= 900.1), "{cells:?}");
        let mut across = 9_999.0;
        let small = Columns::of(320.0, &mut across);
        assert!(small.most > 0.0 && (across - small.most).abs() < 0.1);
        let row = Rect::from_min_size(pos2(0.0, 0.0), vec2(320.0, ROW));
        let last = small.cells(row).last().unwrap_or(Rect::NOTHING);
        assert!(last.right() <= 321.0, "the last comes into sight: {last:?}");
    }
}
