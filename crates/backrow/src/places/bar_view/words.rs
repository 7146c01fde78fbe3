//! The field, the answer in words, and the steps before and after.

use super::Shown;
use super::asked::Asked;
use crate::places::bar_view::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold};
use backrow_core::collection::bar_place;
use backrow_core::music::{LineNote, Timeline};
use egui::{Align2, Rect, Ui, WidgetInfo, pos2, vec2};

/// The field for the written note, with its sounding name and frequency.
pub(super) fn ask(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, answer: &Asked, rect: Rect, big: f32) {
    let tokens = scene.tokens;
    marks::text(ui.painter(), rect.min, Align2::LEFT_TOP, "written", sans(size::HEADING), tokens.ink2);
    let field = Rect::from_min_size(rect.min + vec2(0.0, 24.0), vec2(176.0 * big, 72.0 * big));
    let id = egui::Id::unique("written note");
    let edit = egui::TextEdit::singleline(&mut view.own.text)
        .id(id)
        .font(semibold(48.0 * big))
        .margin(egui::Margin::symmetric(12, 4))
        .desired_width(field.width() - 24.0);
    let response = ui.put(field, edit);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Written note"));
    if std::mem::take(&mut view.own.wants_focus) {
        response.request_focus();
        if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), id) {
            let all = egui::text::CCursorRange::two(
                egui::text::CCursor::new(0),
                egui::text::CCursor::new(view.own.text.chars().count()),
            );
            state.cursor.set_char_range(Some(all));
            state.store(ui.ctx(), id);
        }
    }
    if response.changed() {
        view.own.note = None;
        view.own.step = None;
    }
    let left = field.right() + space::XL;
    marks::text(
        ui.painter(),
        pos2(left, rect.top()),
        Align2::LEFT_TOP,
        "sounding",
        sans(size::HEADING),
        tokens.ink2,
    );
    if let Some(key) = answer.sounding {
        marks::text(
            ui.painter(),
            pos2(left, field.top()),
            Align2::LEFT_TOP,
            &key.to_string(),
            sans(48.0 * big),
            tokens.ink2,
        );
        let hz = answer.hz.map_or_else(String::new, |hz| format!("{hz:.1}\u{202F}Hz"));
        marks::text(
            ui.painter(),
            pos2(left, field.bottom() + 10.0),
            Align2::LEFT_BOTTOM,
            &hz,
            sans(size::HEADING),
            tokens.ink2,
        );
    }
}

/// Where the bar is, readable at two metres.
pub(super) fn place(ui: &mut Ui, scene: &Scene<'_>, shown: &Shown, answer: &Asked, rect: Rect, big: f32) {
    let tokens = scene.tokens;
    let left = rect.left() + 380.0 * big;
    let ink = if answer.missing { tokens.clash } else { tokens.ink };
    let width = rect.right() - left;
    let head = Rect::from_min_size(pos2(left, rect.top() - 4.0), vec2(width, 52.0 * big));
    marks::upright(
        ui.painter(),
        left - space::L,
        rect.top()..=rect.bottom() - space::M,
        if answer.missing { tokens.clash } else { tokens.accent },
    );
    marks::text_within(ui.painter(), head, Align2::LEFT_CENTER, &answer.head, semibold(44.0 * big), ink);
    let mut top = head.bottom() + 2.0;
    for (at, line) in answer.lines.iter().enumerate() {
        let (font, tall) = if at == 0 { (sans(26.0 * big), 32.0 * big) } else { (sans(size::HEADING), 23.0) };
        let place = Rect::from_min_size(pos2(left, top), vec2(width, tall));
        if place.bottom() > rect.bottom() {
            break;
        }
        marks::text_within(
            ui.painter(),
            place,
            Align2::LEFT_CENTER,
            line,
            font,
            if at == 0 { tokens.ink } else { tokens.ink2 },
        );
        top = place.bottom();
    }
    let label = format!("{} {}", answer.head, answer.lines.join(", "));
    let response = ui.interact(
        Rect::from_min_max(head.min, rect.max),
        ui.scope_id().with("answer"),
        egui::Sense::hover(),
    );
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Label, true, format!("{}: {label}", shown.instrument.name))
    });
}

/// A hairline from a bar's foot to the words that speak of it.
fn leader(ui: &Ui, bar: Option<Rect>, words: Rect, ink: egui::Color32) {
    let Some(bar) = bar.filter(|_| words.width() > 4.0) else { return };
    let (from, to) = (bar.center_bottom() + vec2(0.0, 1.0), pos2(words.left() + 10.0, words.top() - 1.0));
    let turn = words.top() - 12.0;
    marks::upright(ui.painter(), from.x, from.y..=turn, ink);
    marks::hairline(ui.painter(), from.x.min(to.x)..=from.x.max(to.x) + 1.0, turn, ink);
    marks::upright(ui.painter(), to.x, turn..=to.y, ink);
}

/// The notes before and after, in the line's order.
pub(super) fn steps(
    ui: &mut Ui,
    scene: &Scene<'_>,
    view: &mut Here<'_>,
    shown: &Shown,
    rect: Rect,
    drawn: &super::drawing::Outcome,
) {
    let tokens = scene.tokens;
    let Some((at, line)) = &shown.line else {
        let words = "Choose a line above to step through its notes with Left and Right.";
        marks::text(
            ui.painter(),
            rect.left_center(),
            Align2::LEFT_CENTER,
            words,
            sans(size::TEXT),
            tokens.ink2,
        );
        return;
    };
    let notes: Vec<&LineNote> = line.notes_in_time();
    let reading = scene.settings.note_reading();
    let movement = scene.library.line(at).and_then(|(work, line)| work.movement(&line.movement));
    let timeline = movement.map(|movement| &movement.timeline);
    let describe = |note: &LineNote| {
        let place = line.sounding_of(note).and_then(|key| bar_place(&shown.instrument, key));
        let row = place.map_or("no bar", |place| match place.row {
            backrow_core::collection::Row::Only => "",
            row => row.word(),
        });
        format!(
            "{}  {row}{} {}",
            note.written.named(reading),
            if row == "lower" || row == "upper" { " row," } else { "" },
            when(note, timeline)
        )
    };
    let builder =
        egui::UiBuilder::new().max_rect(rect).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    // The buttons on both sides keep their room; in a small window the words give way.
    let width = ((rect.width() - 460.0) / 2.0).clamp(60.0, 320.0);
    let now = view.own.step;
    let before = now.and_then(|at| at.checked_sub(1)).and_then(|at| notes.get(at));
    let next = notes.get(now.map_or(0, |at| at + 1));
    let count = now
        .map_or_else(|| format!("{} notes", notes.len()), |at| format!("note {} of {}", at + 1, notes.len()));
    if line
        .add_enabled(before.is_some(), egui::Button::new("← Previous").min_size(vec2(80.0, 32.0)))
        .clicked()
    {
        super::keys::step(scene, view, shown, false);
    }
    let said = told(&mut line, width, &before.map_or_else(String::new, |n| describe(n)), tokens.ink2);
    leader(ui, drawn.before, said.rect, tokens.ink2);
    line.add_space(space::L);
    if line.add_enabled(next.is_some(), egui::Button::new("Next →").min_size(vec2(80.0, 32.0))).clicked() {
        super::keys::step(scene, view, shown, true);
    }
    let said = told(&mut line, width, &next.map_or_else(String::new, |n| describe(n)), tokens.ink);
    leader(ui, drawn.next, said.rect, tokens.ink);
    line.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        ui.label(egui::RichText::new(count).color(tokens.ink2));
        for (words, name, forth) in [("m. ›", "Next measure", true), ("‹ m.", "Previous measure", false)]
        {
            let button = ui.button(words).on_hover_text(if forth { "Down" } else { "Up" });
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
            if button.clicked() {
                super::keys::step_measure(scene, view, shown, forth);
            }
        }
    });
}

/// What a note is, no wider than that, points; whole under the pointer where it is cut.
fn told(line: &mut Ui, width: f32, words: &str, ink: egui::Color32) -> egui::Response {
    let text = egui::RichText::new(words).font(sans(size::HEADING)).color(ink);
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    line.allocate_ui_with_layout(vec2(width, 32.0), layout, |ui| {
        ui.add(egui::Label::new(text).truncate()).on_hover_text(words)
    })
    .inner
}

/// "m. 41, beat 2.5": where a note is struck, as far as that is known. Beats are those of the time signature.
fn when(note: &LineNote, timeline: Option<&Timeline>) -> String {
    let Some(struck) = note.struck else { return format!("m. {}", note.measure) };
    let beat = timeline.map_or_else(|| struck.quarter(), |timeline| timeline.beat(&struck));
    let beat = format!("{beat:.2}");
    format!("m. {}, beat {}", note.measure, beat.trim_end_matches('0').trim_end_matches('.'))
}
