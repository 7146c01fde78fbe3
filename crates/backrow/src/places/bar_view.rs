//! Bar view: one instrument, large, as it stands before the player; the written note asked for, and its bar lit.

mod asked;
mod drawing;
mod drums;
mod keys;
mod words;

use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::serif_italic;
use crate::theme::tokens::space;
use crate::view::{Selected, View};
use asked::Asked;
use backrow_core::collection::{Instrument, Side};
use backrow_core::id::InstrumentId;
use backrow_core::music::Line;
use backrow_core::pitch::{KeyNumber, Octave, Reading, Spelled};
use backrow_core::week::LineRef;
use drums::Drums;
use egui::{Rect, RichText, Ui, pos2, vec2};
use std::sync::Arc;

pub use keys::KEYS;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    /// What stands in the field: a written note.
    text: String,
    /// The note that was stepped to or clicked, with its sounding pitch; what is typed takes its place.
    note: Option<(Spelled, KeyNumber)>,
    /// Which note of the line is stepped to.
    step: Option<usize>,
    /// Rail and panel are away.
    full: bool,
    /// The note that was asked for by a click, when it differs from the text.
    asked: Memo<AskedKey, Asked>,
    wants_focus: bool,
}

type AskedKey =
    (u64, String, Option<(Spelled, KeyNumber)>, Option<LineRef>, Option<InstrumentId>, Option<usize>);

impl State {
    /// Asks for a note by its spelling and its sounding pitch, whatever the reading of the field.
    fn ask(&mut self, written: Spelled, sounding: KeyNumber, reading: Reading) {
        self.text = written.named(reading);
        self.note = Some((written, sounding));
    }

    /// Whether rail and panel are away.
    pub const fn fills_window(&self) -> bool {
        self.full
    }

    /// Brings rail and panel back.
    pub const fn leave_full(&mut self) {
        self.full = false;
    }
}

/// What is shown: an instrument, and the line whose notes lie on it.
struct Shown {
    instrument: Arc<Instrument>,
    line: Option<(LineRef, Line)>,
    octave: Octave,
    drums: Option<Drums>,
    low_drum: Side,
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let whole = ui.max_rect();
    let full =
        Rect::from_min_max(whole.min + vec2(space::L, page::HEAD), whole.max - vec2(space::L, space::XS));
    let mut shown = shown(scene, view);
    if let Some(shown) = &mut shown {
        shown.drums = drums::drums(scene, view, shown);
    }
    heading(ui, scene, view, shown.as_ref(), page::slot(whole));
    let Some(shown) = shown else {
        let what_for = "Here you see one instrument as its player does, and find a written note on it.";
        return page::empty_below(ui, scene, whole, what_for);
    };
    keys::act(ui, scene, view, &shown);
    let big = if full.width() > 1200.0 {
        1.5
    } else if full.width() > 700.0 {
        1.0
    } else {
        0.75
    };
    let top = Rect::from_min_size(full.min, vec2(full.width(), 150.0 * big));
    let foot = Rect::from_min_max(pos2(full.left(), full.bottom() - 64.0), full.max);
    let middle = Rect::from_min_max(pos2(full.left(), top.bottom()), pos2(full.right(), foot.top()));
    let note = view.own.note;
    let text = view.own.text.clone();
    let at = shown.line.as_ref().map(|(at, _)| at.clone());
    let key = (scene.revision, text.clone(), note, at, Some(shown.instrument.id.clone()), view.own.step);
    let (library, reading) = (scene.library, scene.settings.note_reading());
    let answer = view.own.asked.get(key, || asked::asked(library, &shown, (&text, reading), note)).clone();
    words::ask(ui, scene, view, &answer, top, big);
    words::place(ui, scene, &shown, &answer, top, big);
    let drawn = drawing::ui(ui, scene, view, &shown, &answer, middle);
    if let Some(key) = drawn.clicked
        && let Some(written) = drawing::written_name(&shown, key)
    {
        view.own.ask(written, key, reading);
        view.own.step = None;
    }
    words::steps(ui, scene, view, &shown, foot, &drawn);
}

fn shown(scene: &Scene<'_>, view: &Here<'_>) -> Option<Shown> {
    let library = scene.library;
    let line = view.line.clone().and_then(|at| library.line(&at).map(|(_, line)| (at.clone(), line.clone())));
    let pitched = |id: &InstrumentId| library.instruments.get(id).filter(|thing| thing.is_pitched()).cloned();
    let selected = match &view.selected {
        Some(Selected::Instrument(id)) => pitched(id),
        _ => None,
    };
    let given = || {
        let at = line.as_ref().map(|(at, _)| at)?;
        view.programme_in(library)?.assignment(at).instruments.iter().find_map(pitched)
    };
    let of_kind = || {
        let kind = line.as_ref().and_then(|(_, line)| line.kind.clone())?;
        library.instruments.values().find(|thing| thing.kind == kind && thing.is_pitched()).cloned()
    };
    let any = || library.instruments.values().find(|thing| thing.is_pitched()).cloned();
    let instrument = selected.or_else(given).or_else(of_kind).or_else(any)?;
    let usual = library.kinds.get(&instrument.kind).and_then(|kind| kind.octave).unwrap_or_default();
    // A call for another kind lends its notes only where it is played on this instrument.
    let line = line.filter(|(at, line)| {
        line.is_pitched()
            && (line.kind.as_ref() == Some(&instrument.kind)
                || view
                    .programme_in(library)
                    .is_some_and(|p| p.assignment(at).instruments.contains(&instrument.id)))
    });
    let octave = line.as_ref().map_or(usual, |(_, line)| line.octave);
    Some(Shown { instrument, line, octave, drums: None, low_drum: library.orchestra.timpani.low_drum })
}

fn heading(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, shown: Option<&Shown>, rect: Rect) {
    let tokens = scene.tokens;
    page::heading(ui, rect, &tokens, "Bar view", |line| heading_line(line, scene, view, shown));
}

fn heading_line(line: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, shown: Option<&Shown>) {
    if shown.is_none() {
        return;
    }
    let name = shown.map_or_else(|| "no instrument".to_owned(), |shown| shown.instrument.name.clone());
    let combo = egui::ComboBox::from_id_salt("bar view instrument")
        .selected_text(name)
        .width((line.available_width() * 0.28).clamp(90.0, 190.0))
        .truncate()
        .height(420.0)
        .show_ui(line, |ui| {
            for thing in scene.library.instruments.values().filter(|thing| thing.is_pitched()) {
                let here = shown.is_some_and(|shown| shown.instrument.id == thing.id);
                if ui.selectable_label(here, &thing.name).clicked() {
                    view.selected = Some(Selected::Instrument(thing.id.clone()));
                }
            }
        });
    combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Instrument"));
    lines(line, scene, view, shown);
    line.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let words = if view.own.full { "Esc returns to the full window" } else { "Fill the window" };
        if ui.button(words).on_hover_text("F11").clicked() {
            view.own.full = !view.own.full;
        }
        if let Some(at) = &view.line
            && ui.button("Hear the line").on_hover_text("Ctrl H").clicked()
        {
            scene.ask(crate::intent::Intent::Sound(crate::sound::Wish::Line(at.clone())));
        }
    });
}

/// The line whose notes are stepped through: any pitched line of the current work.
fn lines(row: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, shown: Option<&Shown>) {
    let library = scene.library;
    let Some(work) = view.work.as_ref().and_then(|id| library.works.get(id)).cloned() else { return };
    let words = |line: &Line| {
        let number = work.movement(&line.movement).map_or("", |m| &m.number);
        let gap = if number.is_empty() { "" } else { "  " };
        format!("{}{gap}{number}  {}", library.line_name(line), line.where_played())
    };
    let now = shown.and_then(|shown| shown.line.as_ref()).filter(|(at, _)| at.work == work.id);
    let selected = now.map_or_else(|| "no line chosen".to_owned(), |(_, line)| words(line));
    let combo = egui::ComboBox::from_id_salt("bar view line")
        .selected_text(RichText::new(selected).font(serif_italic(15.0)))
        .width((row.available_width() - 160.0).clamp(90.0, 260.0))
        .height(420.0)
        .truncate()
        .show_ui(row, |ui| {
            ui.label(RichText::new(&work.title).font(serif_italic(15.0)).color(scene.tokens.ink2));
            for line in work.lines.iter().filter(|line| line.is_pitched()) {
                let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                if ui.selectable_label(now.is_some_and(|(now, _)| *now == at), words(line)).clicked() {
                    // The line brings its own instrument, unless the one in view is of its kind.
                    let keeps = shown.is_some_and(|shown| line.kind.as_ref() == Some(&shown.instrument.kind));
                    if !keeps {
                        view.selected = None;
                    }
                    view.own.step = None;
                    view.line = Some(at);
                }
            }
        });
    combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Line"));
}
